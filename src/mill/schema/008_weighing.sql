-- Schema 8: weighing: scales, weighing classes, containers of deliveries, and what is taken from them.
--
-- Written like 001_first.sql. Stock is what the tables of dyes and chemicals say (the opening stock) and
-- the sum of all moves since. A move is never changed or taken away; a wrong one is made good by another.

-- Weighing classes
CREATE TABLE "weighing_class" (
    "class_id"                 TEXT NOT NULL CHECK (length("class_id") BETWEEN 1 AND 40 AND
        ltrim("class_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "tolerance_mpct"           INTEGER NOT NULL CHECK ("tolerance_mpct" BETWEEN 10 AND 20000),
    "tolerance_mg"             INTEGER NOT NULL CHECK ("tolerance_mg" BETWEEN 0 AND 100000000),
    "least_divisions"          INTEGER NOT NULL CHECK ("least_divisions" BETWEEN 10 AND 10000),
    "two_persons"              INTEGER NOT NULL CHECK ("two_persons" IN (0, 1)),
    "lead_ms"                  INTEGER NOT NULL CHECK ("lead_ms" BETWEEN 0 AND 172800000),
    "remark"                   TEXT NOT NULL CHECK (length("remark") <= 200),
    PRIMARY KEY ("class_id")
) STRICT;

-- Scales
CREATE TABLE "scale" (
    "scale_id"                 TEXT NOT NULL CHECK (length("scale_id") BETWEEN 1 AND 40 AND
        ltrim("scale_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "capacity_mg"              INTEGER NOT NULL CHECK ("capacity_mg" BETWEEN 10000 AND 20000000000),
    "division_mg"              INTEGER NOT NULL CHECK ("division_mg" BETWEEN 1 AND 10000000),
    "interval_mg"              INTEGER CHECK ("interval_mg" BETWEEN 1 AND 10000000),
    "container_mg"             INTEGER CHECK ("container_mg" BETWEEN 0 AND 1000000000),
    "verified_until_utc_ms"    INTEGER
        CHECK ("verified_until_utc_ms" BETWEEN 946684800000 AND 4102358400000 AND
            "verified_until_utc_ms" % 86400000 = 0),
    "remark"                   TEXT NOT NULL CHECK (length("remark") <= 200),
    PRIMARY KEY ("scale_id")
) STRICT;

-- Dyes and chemicals: how and where
ALTER TABLE "dye" ADD COLUMN "weigh_class" TEXT REFERENCES "weighing_class" ("class_id");
ALTER TABLE "dye" ADD COLUMN "storage" TEXT NOT NULL DEFAULT '' CHECK (length("storage") <= 200);
ALTER TABLE "chemical" ADD COLUMN "weigh_class" TEXT REFERENCES "weighing_class" ("class_id");
ALTER TABLE "chemical" ADD COLUMN "storage" TEXT NOT NULL DEFAULT ''
    CHECK (length("storage") <= 200);

-- Containers as they were delivered. What they held, and hold, say the moves.
CREATE TABLE "stock_lot" (
    "stock_lot_id"             TEXT NOT NULL CHECK (length("stock_lot_id") BETWEEN 1 AND 40 AND
        ltrim("stock_lot_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "material_id"              TEXT NOT NULL, -- of a dye or a chemical
    "supplier_lot"             TEXT NOT NULL CHECK (length("supplier_lot") <= 200),
    "expiry_utc_ms"            INTEGER,
    "remark"                   TEXT NOT NULL CHECK (length("remark") <= 200),
    PRIMARY KEY ("stock_lot_id")
) STRICT;

CREATE INDEX "stock_lot_of_material" ON "stock_lot" ("material_id");

-- Moves of stock
CREATE TABLE "stock_move" (
    "seq"                      INTEGER NOT NULL CHECK ("seq" >= 1),
    "entry_id"                 TEXT NOT NULL CHECK (length("entry_id") BETWEEN 8 AND 80),
    "kind"                     TEXT NOT NULL CHECK ("kind" IN ('received', 'weighed', 'adjusted')),
    "material_id"              TEXT NOT NULL,
    "stock_lot_id"             TEXT REFERENCES "stock_lot" ("stock_lot_id"),
    "mass_mg"                  INTEGER NOT NULL
        CHECK ("mass_mg" BETWEEN -1000000000000 AND 1000000000000 AND "mass_mg" <> 0),
    "at_utc_ms"                INTEGER NOT NULL CHECK ("at_utc_ms" > 0),
    "by"                       TEXT NOT NULL CHECK (length("by") BETWEEN 1 AND 200),
    "batch_id"                 TEXT NOT NULL CHECK (length("batch_id") <= 48), -- '': none
    "text"                     TEXT NOT NULL CHECK (length("text") <= 200),
    PRIMARY KEY ("seq"),
    UNIQUE ("entry_id"),
    CHECK ("kind" <> 'received' OR ("mass_mg" > 0 AND "stock_lot_id" IS NOT NULL)),
    CHECK ("kind" <> 'weighed' OR "mass_mg" < 0),
    CHECK ("kind" <> 'adjusted' OR length("text") > 0)
) STRICT;

CREATE INDEX "stock_move_of_material" ON "stock_move" ("material_id");
CREATE INDEX "stock_move_of_lot" ON "stock_move" ("stock_lot_id");

CREATE TRIGGER "stock_move_is_never_changed" BEFORE UPDATE ON "stock_move"
BEGIN
    SELECT RAISE(ABORT, 'a move of stock is never changed');
END;

CREATE TRIGGER "stock_move_is_never_taken_away" BEFORE DELETE ON "stock_move"
BEGIN
    SELECT RAISE(ABORT, 'a move of stock is never taken away');
END;
