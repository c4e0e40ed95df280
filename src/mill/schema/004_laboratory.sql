-- Schema 4: the laboratory: measured samples with their readings, dips of the shades.
--
-- Written like 001_first.sql. A reflectance is stored in millionths of a per cent and its wavelength in
-- picometres, so that whatever start and step the instrument has are kept.

-- Measured samples
CREATE TABLE "lab_sample" (
    "sample_id"                TEXT NOT NULL CHECK (length("sample_id") BETWEEN 1 AND 40 AND
        ltrim("sample_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "kind"                     TEXT NOT NULL
        CHECK ("kind" IN ('cloth', 'rung', 'standard', 'dip', 'bulk')),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "substrate"                TEXT NOT NULL CHECK (length("substrate") <= 200),
    "dye_id"                   TEXT REFERENCES "dye" ("dye_id"),
    "depth_upct"               INTEGER CHECK ("depth_upct" BETWEEN 100 AND 30000000),
    "shade_id"                 TEXT REFERENCES "shade" ("shade_id"),
    "lot_id"                   TEXT REFERENCES "lot" ("lot_id"),
    "measured_utc_ms"          INTEGER NOT NULL
        CHECK ("measured_utc_ms" BETWEEN 946684800000 AND 4102358400000 AND
            "measured_utc_ms" % 86400000 = 0),
    "specular"                 TEXT NOT NULL
        CHECK ("specular" IN ('unknown', 'included', 'excluded', 'none')),
    "remark"                   TEXT NOT NULL CHECK (length("remark") <= 200),
    PRIMARY KEY ("sample_id"),
    CHECK (("kind" = 'rung') = ("dye_id" IS NOT NULL)),
    CHECK (("kind" = 'rung') = ("depth_upct" IS NOT NULL)),
    CHECK (("kind" IN ('standard', 'dip', 'bulk')) = ("shade_id" IS NOT NULL)),
    CHECK (("kind" = 'bulk') = ("lot_id" IS NOT NULL)),
    CHECK ("kind" = 'standard' OR length("substrate") > 0)
) STRICT;

CREATE UNIQUE INDEX "cloth_of_substrate" ON "lab_sample" ("substrate") WHERE "kind" = 'cloth';
CREATE UNIQUE INDEX "standard_of_shade" ON "lab_sample" ("shade_id") WHERE "kind" = 'standard';

-- Readings of the samples
CREATE TABLE "lab_reading" (
    "sample_id"                TEXT NOT NULL REFERENCES "lab_sample" ("sample_id"),
    "wavelength_pm"            INTEGER NOT NULL CHECK ("wavelength_pm" BETWEEN 340000 AND 830000),
    "reflectance_upct"         INTEGER NOT NULL CHECK ("reflectance_upct" BETWEEN 0 AND 150000000),
    PRIMARY KEY ("sample_id", "wavelength_pm")
) STRICT;

-- Laboratory dips
CREATE TABLE "dip" (
    "dip_id"                   TEXT NOT NULL CHECK (length("dip_id") BETWEEN 1 AND 40 AND
        ltrim("dip_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "shade_id"                 TEXT NOT NULL REFERENCES "shade" ("shade_id"),
    "substrate"                TEXT NOT NULL CHECK (length("substrate") BETWEEN 1 AND 200),
    "round"                    INTEGER NOT NULL CHECK ("round" BETWEEN 1 AND 99),
    "made_utc_ms"              INTEGER NOT NULL
        CHECK ("made_utc_ms" BETWEEN 946684800000 AND 4102358400000 AND
            "made_utc_ms" % 86400000 = 0),
    "sample_id"                TEXT REFERENCES "lab_sample" ("sample_id"),
    "state"                    TEXT NOT NULL
        CHECK ("state" IN ('made', 'submitted', 'approved', 'rejected')),
    "decided_by"               TEXT NOT NULL CHECK (length("decided_by") <= 200),
    "decided_utc_ms"           INTEGER
        CHECK ("decided_utc_ms" BETWEEN 946684800000 AND 4102358400000 AND
            "decided_utc_ms" % 86400000 = 0),
    "remark"                   TEXT NOT NULL CHECK (length("remark") <= 200),
    "revision"                 INTEGER NOT NULL DEFAULT 1 CHECK ("revision" >= 1),
    PRIMARY KEY ("dip_id"),
    CHECK (("state" IN ('approved', 'rejected')) = (length("decided_by") > 0)),
    CHECK (("state" IN ('approved', 'rejected')) = ("decided_utc_ms" IS NOT NULL))
) STRICT;

CREATE UNIQUE INDEX "approved_of_shade" ON "dip" ("shade_id") WHERE "state" = 'approved';
CREATE UNIQUE INDEX "dip_of_sample" ON "dip" ("sample_id");
CREATE INDEX "dip_of_shade" ON "dip" ("shade_id");

-- Dyes of the dips
CREATE TABLE "dip_dye" (
    "dip_id"                   TEXT NOT NULL REFERENCES "dip" ("dip_id"),
    "line"                     INTEGER NOT NULL CHECK ("line" BETWEEN 1 AND 8),
    "dye_id"                   TEXT NOT NULL REFERENCES "dye" ("dye_id"),
    "depth_upct"               INTEGER NOT NULL CHECK ("depth_upct" BETWEEN 100 AND 20000000),
    PRIMARY KEY ("dip_id", "line")
) STRICT;
