-- Schema 6: batches and what happens to them. Both tables only grow: triggers refuse every change of
-- a row, and each event carries the SHA-256 of itself and of the one before.

-- Batches: a lot's plan as it was frozen, by which it is run
CREATE TABLE "batch" (
    "batch_id"                 TEXT NOT NULL CHECK (length("batch_id") BETWEEN 1 AND 48 AND
        ltrim("batch_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "lot_id"                   TEXT NOT NULL REFERENCES "lot" ("lot_id"),
    "number"                   INTEGER NOT NULL CHECK ("number" BETWEEN 1 AND 99),
    "machine_id"               TEXT NOT NULL REFERENCES "machine" ("machine_id"),
    "made_utc_ms"              INTEGER NOT NULL
        CHECK ("made_utc_ms" BETWEEN 946684800000 AND 4102444800000),
    "recipe"                   TEXT NOT NULL CHECK (length("recipe") > 1),
    "recipe_sha256"            TEXT NOT NULL CHECK (length("recipe_sha256") = 64),
    PRIMARY KEY ("batch_id")
) STRICT;

CREATE UNIQUE INDEX "batch_of_lot" ON "batch" ("lot_id", "number");

-- Events; the kinds are those of core/run/mdr_event.h
CREATE TABLE "event" (
    "seq"                      INTEGER PRIMARY KEY CHECK ("seq" >= 1),
    "batch_id"                 TEXT NOT NULL REFERENCES "batch" ("batch_id"),
    "kind"                     TEXT NOT NULL CHECK (length("kind") BETWEEN 1 AND 40),
    "at_utc_ms"                INTEGER NOT NULL
        CHECK ("at_utc_ms" BETWEEN 946684800000 AND 4102444800000),
    "device_utc_ms"            INTEGER NOT NULL CHECK ("device_utc_ms" >= 0),
    "happened_utc_ms"          INTEGER NOT NULL CHECK ("happened_utc_ms" >= 0),
    "by_id"                    TEXT NOT NULL CHECK (length("by_id") BETWEEN 1 AND 200),
    "entry_id"                 TEXT NOT NULL CHECK (length("entry_id") BETWEEN 1 AND 80),
    "body"                     TEXT NOT NULL CHECK (length("body") BETWEEN 2 AND 1000000),
    "hash"                     BLOB NOT NULL CHECK (length("hash") = 32)
) STRICT;

CREATE UNIQUE INDEX "event_entry" ON "event" ("entry_id");
CREATE INDEX "event_of_batch" ON "event" ("batch_id");
CREATE UNIQUE INDEX "batch_over" ON "event" ("batch_id")
    WHERE "kind" IN ('batch-stopped', 'batch-released', 'batch-rejected');

CREATE TRIGGER "event_follows" BEFORE INSERT ON "event"
    WHEN NEW."seq" <> (SELECT coalesce(max("seq"), 0) + 1 FROM "event")
    BEGIN SELECT RAISE(ABORT, 'events are numbered without gaps'); END;
CREATE TRIGGER "event_stays" BEFORE UPDATE ON "event"
    BEGIN SELECT RAISE(ABORT, 'an event is never changed'); END;
CREATE TRIGGER "event_kept" BEFORE DELETE ON "event"
    BEGIN SELECT RAISE(ABORT, 'an event is never taken away'); END;
CREATE TRIGGER "batch_stays" BEFORE UPDATE ON "batch"
    BEGIN SELECT RAISE(ABORT, 'a batch is never changed'); END;
CREATE TRIGGER "batch_kept" BEFORE DELETE ON "batch"
    BEGIN SELECT RAISE(ABORT, 'a batch is never taken away'); END;
