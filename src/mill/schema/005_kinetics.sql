-- Schema 5: what a mill knows of how a dye dyes: the numbers of its standard dyeing.
--
-- Every new column may be empty; a dye's group is then not stated. Written like 001_first.sql.

ALTER TABLE "dye" ADD COLUMN "dyeing_group" TEXT NOT NULL
    CHECK ("dyeing_group" IN ('unstated', 'vinyl-sulphone', 'bifunctional', 'monochlorotriazine',
        'bis-monochlorotriazine', 'direct-a', 'direct-b', 'direct-c', 'vat-in', 'vat-iw',
        'vat-ik'))
    DEFAULT 'unstated'
    CHECK ("dyeing_group" = 'unstated' OR "dye_class" = CASE
        WHEN "dyeing_group" LIKE 'direct-%' THEN 'direct'
        WHEN "dyeing_group" LIKE 'vat-%' THEN 'vat' ELSE 'reactive' END);

-- Parts of one and the same dyeing: what is fixed was on the fabric, and more comes with time
ALTER TABLE "dye" ADD COLUMN "primary_exhaustion_mpct" INTEGER
    CHECK ("primary_exhaustion_mpct" BETWEEN 0 AND 100000)
    CHECK ("primary_exhaustion_mpct" IS NULL OR "dye_class" = 'reactive')
    CHECK ("exhaustion_mpct" >= "primary_exhaustion_mpct");
ALTER TABLE "dye" ADD COLUMN "fix_first_mpct" INTEGER
    CHECK ("fix_first_mpct" BETWEEN 0 AND 100000)
    CHECK ("fix_first_mpct" IS NULL OR "dye_class" = 'reactive')
    CHECK ("fixation_mpct" >= "fix_first_mpct")
    CHECK ("exhaustion_mpct" >= "fix_first_mpct");
ALTER TABLE "dye" ADD COLUMN "fix_first_ms" INTEGER
    CHECK ("fix_first_ms" BETWEEN 60000 AND 7200000)
    CHECK ("fix_first_ms" IS NULL OR "dye_class" = 'reactive');
ALTER TABLE "dye" ADD COLUMN "half_dyeing_ms" INTEGER
    CHECK ("half_dyeing_ms" BETWEEN 0 AND 28800000);

ALTER TABLE "dye" ADD COLUMN "molar_mg_per_mol" INTEGER
    CHECK ("molar_mg_per_mol" BETWEEN 100000 AND 5000000);
ALTER TABLE "dye" ADD COLUMN "charge" INTEGER CHECK ("charge" BETWEEN 1 AND 12);
