-- Schema 10: a recipe says how far its depths are from those of the laboratory.
--
-- Empty: the depth is the laboratory's. Lots that are dyed by a multiplied depth teach of the
-- laboratory's depth again, so the factor must stand with it. Written like 001_first.sql.

ALTER TABLE "recipe" ADD COLUMN "bulk_mpct" INTEGER
    CHECK ("bulk_mpct" BETWEEN 70000 AND 140000);
ALTER TABLE "recipe" ADD COLUMN "bulk_machine_id" TEXT REFERENCES "machine" ("machine_id")
    CHECK (("bulk_machine_id" IS NULL) = ("bulk_mpct" IS NULL));
ALTER TABLE "recipe" ADD COLUMN "bulk_words" TEXT NOT NULL DEFAULT ''
    CHECK (length("bulk_words") <= 200);
