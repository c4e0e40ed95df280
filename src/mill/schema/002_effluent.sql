-- Schema 2: effluent, carbon dioxide, oxygen drawn from the air, hardness in the fabric, dyes apart
-- from the usual, how a dose table is read.
--
-- Every new column may be empty; a word stands at its first choice instead. Nothing that schema 1
-- holds changes its meaning. Written like 001_first.sql.

-- Site
ALTER TABLE "site" ADD COLUMN "alkalinity_umol_per_l" INTEGER
    CHECK ("alkalinity_umol_per_l" BETWEEN 0 AND 20000);
ALTER TABLE "site" ADD COLUMN "steam_co2_g_per_t" INTEGER
    CHECK ("steam_co2_g_per_t" BETWEEN 0 AND 5000000);
ALTER TABLE "site" ADD COLUMN "power_co2_g_per_mwh" INTEGER
    CHECK ("power_co2_g_per_mwh" BETWEEN 0 AND 5000000);
ALTER TABLE "site" ADD COLUMN "water_co2_g_per_m3" INTEGER
    CHECK ("water_co2_g_per_m3" BETWEEN 0 AND 100000);

-- Machines
ALTER TABLE "machine" ADD COLUMN "air_mg_o2_per_kg_h" INTEGER
    CHECK ("air_mg_o2_per_kg_h" BETWEEN 0 AND 100000);

-- Articles
ALTER TABLE "article" ADD COLUMN "calcium_ug_per_kg" INTEGER
    CHECK ("calcium_ug_per_kg" BETWEEN 0 AND 5000000);
ALTER TABLE "article" ADD COLUMN "magnesium_ug_per_kg" INTEGER
    CHECK ("magnesium_ug_per_kg" BETWEEN 0 AND 5000000);

-- Dose tables
ALTER TABLE "dose_table" ADD COLUMN "counted_as" TEXT NOT NULL
    CHECK ("counted_as" IN ('other', 'dye', 'NaOH', 'Na2CO3', 'NaHCO3', 'NaCl', 'Na2SO4', 'H2O2',
        'CH3COOH', 'HCOOH', 'citric', 'Na2S2O4', 'enzyme', 'sequestrant', 'catalase', 'H2SO4'))
    DEFAULT 'other';
ALTER TABLE "dose_table" ADD COLUMN "between" TEXT NOT NULL
    CHECK ("between" IN ('step', 'linear')) DEFAULT 'step';
ALTER TABLE "dose_table" ADD COLUMN "ratio_rule" TEXT NOT NULL
    CHECK ("ratio_rule" IN ('none', 'band-less-below-6')) DEFAULT 'none';
ALTER TABLE "dose_table" ADD COLUMN "swap" TEXT NOT NULL
    CHECK ("swap" IN ('mass', 'sodium', 'ionic-strength')) DEFAULT 'mass';

-- Dyes; what never left the bath cannot be bound
ALTER TABLE "dye" ADD COLUMN "exhaustion_mpct" INTEGER
    CHECK ("exhaustion_mpct" BETWEEN 0 AND 100000);
ALTER TABLE "dye" ADD COLUMN "fixation_mpct" INTEGER
    CHECK ("fixation_mpct" BETWEEN 0 AND 100000) CHECK ("exhaustion_mpct" >= "fixation_mpct");
ALTER TABLE "dye" ADD COLUMN "nature" TEXT NOT NULL
    CHECK ("nature" IN ('usual', 'phthalocyanine', 'black')) DEFAULT 'usual';
ALTER TABLE "dye" ADD COLUMN "cod_mg_per_g" INTEGER CHECK ("cod_mg_per_g" BETWEEN 0 AND 5000);
ALTER TABLE "dye" ADD COLUMN "co2_g_per_kg" INTEGER CHECK ("co2_g_per_kg" BETWEEN 0 AND 100000);

-- Chemicals: a CHECK cannot be altered, and there are more substances now. The table is made anew;
-- nothing refers to it.
CREATE TABLE "chemical_new" (
    "chemical_id"              TEXT NOT NULL CHECK (length("chemical_id") BETWEEN 1 AND 40 AND
        ltrim("chemical_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "group"                    TEXT NOT NULL CHECK (length("group") BETWEEN 1 AND 200),
    "substance"                TEXT NOT NULL
        CHECK ("substance" IN ('other', 'dye', 'NaOH', 'Na2CO3', 'NaHCO3', 'NaCl', 'Na2SO4',
            'H2O2', 'CH3COOH', 'HCOOH', 'citric', 'Na2S2O4', 'enzyme', 'sequestrant', 'catalase',
            'H2SO4')),
    "strength_mpct"            INTEGER CHECK ("strength_mpct" BETWEEN 100 AND 100000),
    "baume_m"                  INTEGER CHECK ("baume_m" BETWEEN 100 AND 55000),
    "capacity_ug_per_g"        INTEGER CHECK ("capacity_ug_per_g" BETWEEN 0 AND 1000000000),
    "acid_mmol_per_kg"         INTEGER CHECK ("acid_mmol_per_kg" BETWEEN 0 AND 30000),
    "form"                     TEXT NOT NULL
        CHECK ("form" IN ('powder', 'granule', 'crystal', 'liquid', 'paste')),
    "density_g_per_l"          INTEGER CHECK ("density_g_per_l" BETWEEN 500 AND 2500),
    "solubility_mg_per_l"      INTEGER CHECK ("solubility_mg_per_l" BETWEEN 1000 AND 2000000),
    "price_minor_per_kg"       INTEGER CHECK ("price_minor_per_kg" BETWEEN 0 AND 100000000),
    "stock_mg"                 INTEGER CHECK ("stock_mg" BETWEEN 0 AND 1000000000000),
    "cod_mg_per_g"             INTEGER CHECK ("cod_mg_per_g" BETWEEN 0 AND 5000),
    "co2_g_per_kg"             INTEGER CHECK ("co2_g_per_kg" BETWEEN 0 AND 100000),
    "cautions"                 TEXT NOT NULL CHECK (length("cautions") <= 200),
    "remark"                   TEXT NOT NULL CHECK (length("remark") <= 200),
    PRIMARY KEY ("chemical_id"),
    CHECK ("substance" <> 'dye'),
    CHECK (("strength_mpct" IS NULL) <> ("baume_m" IS NULL)),
    CHECK ("baume_m" IS NULL OR "substance" IN ('NaOH', 'NaCl', 'Na2SO4')),
    CHECK ("form" NOT IN ('liquid', 'paste') OR "density_g_per_l" IS NOT NULL OR
        "baume_m" IS NOT NULL),
    CHECK ("form" IN ('liquid', 'paste') OR "solubility_mg_per_l" IS NOT NULL)
) STRICT;

INSERT INTO "chemical_new" (
    "chemical_id", "name", "group", "substance", "strength_mpct", "baume_m", "form",
    "density_g_per_l", "solubility_mg_per_l", "price_minor_per_kg", "stock_mg", "cautions",
    "remark"
) SELECT
    "chemical_id", "name", "group", "substance", "strength_mpct", "baume_m", "form",
    "density_g_per_l", "solubility_mg_per_l", "price_minor_per_kg", "stock_mg", "cautions",
    "remark"
FROM "chemical";

DROP TABLE "chemical";

ALTER TABLE "chemical_new" RENAME TO "chemical";
