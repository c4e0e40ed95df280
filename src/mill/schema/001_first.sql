-- Schema 1: masters, routes, orders, lots, rolls.
--
-- Quantities are integers in the unit that the name ends in (mg, ml, mc = thousandths of a degree
-- Celsius, ms, mpct = thousandths of a percent), so that sums are exact. Bounds are those of the
-- descriptors in mdr_table.c; a test holds the two together. Enumerations and sets are the words
-- of the CSV files. Ids are made by the program. Dates are UTC milliseconds of midnight.
--
-- PostgreSQL 15 takes this file after replacing ") STRICT" by ")" and INTEGER by BIGINT; every
-- name is quoted because "group" is a word of SQL. ltrim(id, characters) = '' says that an id
-- holds no others.

-- Site, water and utilities
CREATE TABLE "site" (
    "only"                     INTEGER NOT NULL DEFAULT 1 UNIQUE CHECK ("only" = 1), -- a single row
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "currency"                 TEXT NOT NULL CHECK (length("currency") = 3),
    "invented"                 INTEGER NOT NULL CHECK ("invented" IN (0, 1)),
    "cold_water_mc"            INTEGER NOT NULL CHECK ("cold_water_mc" BETWEEN 1000 AND 40000),
    "hot_water_mc"             INTEGER NOT NULL CHECK ("hot_water_mc" BETWEEN 0 AND 95000),
    "cooling_water_mc"         INTEGER NOT NULL CHECK ("cooling_water_mc" BETWEEN 1000 AND 40000),
    "room_mc"                  INTEGER NOT NULL CHECK ("room_mc" BETWEEN 0 AND 50000),
    "hardness_mdh"             INTEGER NOT NULL CHECK ("hardness_mdh" BETWEEN 0 AND 60000),
    "steam_mbarg"              INTEGER NOT NULL CHECK ("steam_mbarg" BETWEEN 500 AND 12000),
    "water_minor_per_m3"       INTEGER NOT NULL CHECK ("water_minor_per_m3" BETWEEN 0 AND 10000000),
    "effluent_minor_per_m3"    INTEGER NOT NULL
        CHECK ("effluent_minor_per_m3" BETWEEN 0 AND 10000000),
    "steam_minor_per_t"        INTEGER NOT NULL CHECK ("steam_minor_per_t" BETWEEN 0 AND 100000000),
    "power_minor_per_mwh"      INTEGER NOT NULL
        CHECK ("power_minor_per_mwh" BETWEEN 0 AND 100000000),
    PRIMARY KEY ("name")
) STRICT;

-- Machines
CREATE TABLE "machine" (
    "machine_id"               TEXT NOT NULL CHECK (length("machine_id") BETWEEN 1 AND 40 AND
        ltrim("machine_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "kind"                     TEXT NOT NULL
        CHECK ("kind" IN ('winch', 'overflow', 'jet', 'air-flow', 'sample')),
    "tubes"                    INTEGER NOT NULL CHECK ("tubes" BETWEEN 1 AND 16),
    "load_min_mg"              INTEGER NOT NULL CHECK ("load_min_mg" BETWEEN 100000 AND 5000000000),
    "load_max_mg"              INTEGER NOT NULL CHECK ("load_max_mg" BETWEEN 100000 AND 5000000000),
    "liquor_min_ml"            INTEGER NOT NULL CHECK ("liquor_min_ml" BETWEEN 500 AND 50000000),
    "liquor_max_ml"            INTEGER NOT NULL CHECK ("liquor_max_ml" BETWEEN 1000 AND 50000000),
    "ratio_min_ml_per_kg"      INTEGER NOT NULL
        CHECK ("ratio_min_ml_per_kg" BETWEEN 2000 AND 40000),
    "speed_min_mm_per_min"     INTEGER NOT NULL
        CHECK ("speed_min_mm_per_min" BETWEEN 1000 AND 1000000),
    "speed_max_mm_per_min"     INTEGER NOT NULL
        CHECK ("speed_max_mm_per_min" BETWEEN 1000 AND 1000000),
    "cycle_max_ms"             INTEGER NOT NULL CHECK ("cycle_max_ms" BETWEEN 12000 AND 1800000),
    "temp_max_mc"              INTEGER NOT NULL CHECK ("temp_max_mc" BETWEEN 50000 AND 140000),
    "drain_temp_max_mc"        INTEGER NOT NULL
        CHECK ("drain_temp_max_mc" BETWEEN 30000 AND 140000),
    "exchanger_w_per_k"        INTEGER NOT NULL CHECK ("exchanger_w_per_k" BETWEEN 10 AND 500000),
    "circulation_ml_per_min"   INTEGER NOT NULL
        CHECK ("circulation_ml_per_min" BETWEEN 0 AND 50000000),
    "steam_max_g_per_h"        INTEGER NOT NULL
        CHECK ("steam_max_g_per_h" BETWEEN 1000 AND 20000000),
    "steel_mg"                 INTEGER NOT NULL CHECK ("steel_mg" BETWEEN 1000000 AND 50000000000),
    "heat_max_mc_per_min"      INTEGER NOT NULL CHECK ("heat_max_mc_per_min" BETWEEN 100 AND 10000),
    "cool_max_mc_per_min"      INTEGER NOT NULL CHECK ("cool_max_mc_per_min" BETWEEN 100 AND 10000),
    "fill_ml_per_min"          INTEGER NOT NULL CHECK ("fill_ml_per_min" BETWEEN 500 AND 10000000),
    "drain_ml_per_min"         INTEGER NOT NULL CHECK ("drain_ml_per_min" BETWEEN 500 AND 10000000),
    "rinse_ml_per_min"         INTEGER NOT NULL CHECK ("rinse_ml_per_min" BETWEEN 500 AND 10000000),
    "tank_ml"                  INTEGER NOT NULL CHECK ("tank_ml" BETWEEN 500 AND 5000000),
    "tank_flow_ml_per_min"     INTEGER NOT NULL
        CHECK ("tank_flow_ml_per_min" BETWEEN 100 AND 1000000),
    "tank_prepare_ms"          INTEGER NOT NULL CHECK ("tank_prepare_ms" BETWEEN 0 AND 3600000),
    "tank_water"               TEXT NOT NULL CHECK ("tank_water" IN ('fresh', 'bath')),
    "load_time_ms"             INTEGER NOT NULL CHECK ("load_time_ms" BETWEEN 0 AND 14400000),
    "unload_time_ms"           INTEGER NOT NULL CHECK ("unload_time_ms" BETWEEN 0 AND 14400000),
    "power_w"                  INTEGER NOT NULL CHECK ("power_w" BETWEEN 0 AND 1000000),
    PRIMARY KEY ("machine_id"),
    CHECK ("load_min_mg" <= "load_max_mg"),
    CHECK ("liquor_min_ml" <= "liquor_max_ml"),
    CHECK ("speed_min_mm_per_min" <= "speed_max_mm_per_min")
) STRICT;

-- Articles
CREATE TABLE "article" (
    "article_id"               TEXT NOT NULL CHECK (length("article_id") BETWEEN 1 AND 40 AND
        ltrim("article_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "construction"             TEXT NOT NULL
        CHECK ("construction" IN ('single-jersey', 'rib-1x1', 'interlock', 'pique', 'fleece')),
    "yarn_mne"                 INTEGER NOT NULL CHECK ("yarn_mne" BETWEEN 4000 AND 120000),
    "loop_um"                  INTEGER NOT NULL CHECK ("loop_um" BETWEEN 1000 AND 12000),
    "gauge_per_inch"           INTEGER NOT NULL CHECK ("gauge_per_inch" BETWEEN 5 AND 60),
    "diameter_minch"           INTEGER NOT NULL CHECK ("diameter_minch" BETWEEN 7000 AND 60000),
    "feeders"                  INTEGER NOT NULL CHECK ("feeders" BETWEEN 1 AND 200),
    "elastane_mpct"            INTEGER NOT NULL CHECK ("elastane_mpct" BETWEEN 0 AND 30000),
    "grey_mgsm"                INTEGER NOT NULL CHECK ("grey_mgsm" BETWEEN 40000 AND 800000),
    "grey_width_um"            INTEGER NOT NULL CHECK ("grey_width_um" BETWEEN 200000 AND 4000000),
    "finished_mgsm"            INTEGER NOT NULL CHECK ("finished_mgsm" BETWEEN 40000 AND 800000),
    "finished_width_um"        INTEGER NOT NULL
        CHECK ("finished_width_um" BETWEEN 200000 AND 4000000),
    "shrink_length_max_mpct"   INTEGER NOT NULL
        CHECK ("shrink_length_max_mpct" BETWEEN 0 AND 30000),
    "shrink_width_max_mpct"    INTEGER NOT NULL CHECK ("shrink_width_max_mpct" BETWEEN 0 AND 30000),
    "spirality_max_mpct"       INTEGER NOT NULL CHECK ("spirality_max_mpct" BETWEEN 0 AND 30000),
    "retained_ml_per_kg"       INTEGER NOT NULL CHECK ("retained_ml_per_kg" BETWEEN 300 AND 6000),
    "finish_line"              TEXT NOT NULL CHECK ("finish_line" IN ('open-width', 'tubular')),
    "remark"                   TEXT NOT NULL CHECK (length("remark") <= 200),
    PRIMARY KEY ("article_id")
) STRICT;

-- Dose tables
CREATE TABLE "dose_table" (
    "table_id"                 TEXT NOT NULL CHECK (length("table_id") BETWEEN 1 AND 40 AND
        ltrim("table_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "title"                    TEXT NOT NULL CHECK (length("title") BETWEEN 1 AND 200),
    "source"                   TEXT NOT NULL CHECK (length("source") BETWEEN 1 AND 200),
    PRIMARY KEY ("table_id")
) STRICT;

-- Bands of the dose tables
CREATE TABLE "dose_band" (
    "table_id"                 TEXT NOT NULL REFERENCES "dose_table" ("table_id"),
    "depth_max_upct"           INTEGER NOT NULL CHECK ("depth_max_upct" BETWEEN 100 AND 100000000),
    "amount_ug_per_l"          INTEGER NOT NULL CHECK ("amount_ug_per_l" BETWEEN 0 AND 400000000),
    PRIMARY KEY ("table_id", "depth_max_upct")
) STRICT;

-- Dyes
CREATE TABLE "dye" (
    "dye_id"                   TEXT NOT NULL CHECK (length("dye_id") BETWEEN 1 AND 40 AND
        ltrim("dye_id", 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "dye_class"                TEXT NOT NULL
        CHECK ("dye_class" IN ('none', 'reactive', 'direct', 'vat')),
    "group"                    TEXT NOT NULL CHECK (length("group") BETWEEN 1 AND 200),
    "strength_mpct"            INTEGER NOT NULL CHECK ("strength_mpct" BETWEEN 5000 AND 400000),
    "salt_table"               TEXT REFERENCES "dose_table" ("table_id"),
    "alkali_table"             TEXT REFERENCES "dose_table" ("table_id"),
    "swatch"                   TEXT NOT NULL CHECK ("swatch" = '' OR (length("swatch") = 7 AND
        substr("swatch", 1, 1) = '#' AND
        ltrim(lower(substr("swatch", 2)), '0123456789abcdef') = '')),
    "form"                     TEXT NOT NULL
        CHECK ("form" IN ('powder', 'granule', 'crystal', 'liquid', 'paste')),
    "density_g_per_l"          INTEGER CHECK ("density_g_per_l" BETWEEN 500 AND 2500),
    "solubility_mg_per_l"      INTEGER CHECK ("solubility_mg_per_l" BETWEEN 1000 AND 2000000),
    "price_minor_per_kg"       INTEGER CHECK ("price_minor_per_kg" BETWEEN 0 AND 100000000),
    "stock_mg"                 INTEGER CHECK ("stock_mg" BETWEEN 0 AND 1000000000000),
    "cautions"                 TEXT NOT NULL CHECK (length("cautions") <= 200),
    "remark"                   TEXT NOT NULL CHECK (length("remark") <= 200),
    PRIMARY KEY ("dye_id"),
    CHECK ("dye_class" <> 'none'),
    CHECK ("form" NOT IN ('liquid', 'paste') OR "density_g_per_l" IS NOT NULL),
    CHECK ("form" IN ('liquid', 'paste') OR "solubility_mg_per_l" IS NOT NULL)
) STRICT;

-- Chemicals
CREATE TABLE "chemical" (
    "chemical_id"              TEXT NOT NULL CHECK (length("chemical_id") BETWEEN 1 AND 40 AND
        ltrim("chemical_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "group"                    TEXT NOT NULL CHECK (length("group") BETWEEN 1 AND 200),
    "substance"                TEXT NOT NULL
        CHECK ("substance" IN ('other', 'dye', 'NaOH', 'Na2CO3', 'NaHCO3', 'NaCl', 'Na2SO4',
            'H2O2', 'CH3COOH', 'HCOOH', 'citric', 'Na2S2O4', 'enzyme')),
    "strength_mpct"            INTEGER CHECK ("strength_mpct" BETWEEN 100 AND 100000),
    "baume_m"                  INTEGER CHECK ("baume_m" BETWEEN 100 AND 55000),
    "form"                     TEXT NOT NULL
        CHECK ("form" IN ('powder', 'granule', 'crystal', 'liquid', 'paste')),
    "density_g_per_l"          INTEGER CHECK ("density_g_per_l" BETWEEN 500 AND 2500),
    "solubility_mg_per_l"      INTEGER CHECK ("solubility_mg_per_l" BETWEEN 1000 AND 2000000),
    "price_minor_per_kg"       INTEGER CHECK ("price_minor_per_kg" BETWEEN 0 AND 100000000),
    "stock_mg"                 INTEGER CHECK ("stock_mg" BETWEEN 0 AND 1000000000000),
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

-- Shades
CREATE TABLE "shade" (
    "shade_id"                 TEXT NOT NULL CHECK (length("shade_id") BETWEEN 1 AND 40 AND
        ltrim("shade_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "dye_class"                TEXT NOT NULL
        CHECK ("dye_class" IN ('none', 'reactive', 'direct', 'vat')),
    "lab_l_m"                  INTEGER NOT NULL CHECK ("lab_l_m" BETWEEN 0 AND 110000),
    "lab_a_m"                  INTEGER NOT NULL CHECK ("lab_a_m" BETWEEN -150000 AND 150000),
    "lab_b_m"                  INTEGER NOT NULL CHECK ("lab_b_m" BETWEEN -150000 AND 150000),
    "tolerance_mde"            INTEGER NOT NULL CHECK ("tolerance_mde" BETWEEN 100 AND 10000),
    PRIMARY KEY ("shade_id")
) STRICT;

-- Recipes of the shades
CREATE TABLE "recipe" (
    "shade_id"                 TEXT NOT NULL REFERENCES "shade" ("shade_id"),
    "line"                     INTEGER NOT NULL CHECK ("line" BETWEEN 1 AND 8),
    "dye_id"                   TEXT NOT NULL REFERENCES "dye" ("dye_id"),
    "depth_upct"               INTEGER NOT NULL CHECK ("depth_upct" BETWEEN 100 AND 20000000),
    PRIMARY KEY ("shade_id", "line")
) STRICT;

-- Routes: documents in versions; a version is never changed
CREATE TABLE "route" (
    "route_id"                 TEXT NOT NULL CHECK (length("route_id") BETWEEN 1 AND 40 AND
        ltrim("route_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    PRIMARY KEY ("route_id")
) STRICT;

CREATE TABLE "route_version" (
    "route_id"                 TEXT NOT NULL REFERENCES "route" ("route_id"),
    "version"                  INTEGER NOT NULL CHECK ("version" >= 1),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "dye_class"                TEXT NOT NULL
        CHECK ("dye_class" IN ('none', 'reactive', 'direct', 'vat')),
    "document"                 TEXT NOT NULL CHECK (length("document") >= 2),
    PRIMARY KEY ("route_id", "version")
) STRICT;

-- Orders
CREATE TABLE "customer_order" (
    "order_id"                 TEXT NOT NULL CHECK (length("order_id") BETWEEN 1 AND 40 AND
        ltrim("order_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "customer"                 TEXT NOT NULL CHECK (length("customer") BETWEEN 1 AND 200),
    "article_id"               TEXT NOT NULL REFERENCES "article" ("article_id"),
    "shade_id"                 TEXT NOT NULL REFERENCES "shade" ("shade_id"),
    "ordered_mg"               INTEGER NOT NULL
        CHECK ("ordered_mg" BETWEEN 100000 AND 1000000000000),
    "loss_mpct"                INTEGER NOT NULL CHECK ("loss_mpct" BETWEEN 0 AND 40000),
    "due_utc_ms"               INTEGER NOT NULL
        CHECK ("due_utc_ms" BETWEEN 946684800000 AND 4102358400000 AND "due_utc_ms" % 86400000 = 0),
    "remark"                   TEXT NOT NULL CHECK (length("remark") <= 200),
    PRIMARY KEY ("order_id")
) STRICT;

-- Lots
CREATE TABLE "lot" (
    "lot_id"                   TEXT NOT NULL CHECK (length("lot_id") BETWEEN 1 AND 40 AND
        ltrim("lot_id", 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "order_id"                 TEXT NOT NULL REFERENCES "customer_order" ("order_id"),
    "machine_id"               TEXT NOT NULL REFERENCES "machine" ("machine_id"),
    "route_id"                 TEXT NOT NULL REFERENCES "route" ("route_id"),
    "weighed_mg"               INTEGER CHECK ("weighed_mg" BETWEEN 100000 AND 5000000000),
    "ratio_ml_per_kg"          INTEGER NOT NULL CHECK ("ratio_ml_per_kg" BETWEEN 2000 AND 40000),
    "speed_mm_per_min"         INTEGER CHECK ("speed_mm_per_min" BETWEEN 1000 AND 1000000),
    "tubes_used"               INTEGER CHECK ("tubes_used" BETWEEN 1 AND 16),
    "stage"                    TEXT NOT NULL
        CHECK ("stage" IN ('open', 'ready', 'planned', 'dyeing', 'finishing', 'done')),
    "revision"                 INTEGER NOT NULL DEFAULT 1 CHECK ("revision" >= 1),
    PRIMARY KEY ("lot_id")
) STRICT;

-- Rolls of grey fabric
CREATE TABLE "roll" (
    "roll_id"                  TEXT NOT NULL CHECK (length("roll_id") BETWEEN 1 AND 40 AND
        ltrim("roll_id", 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "article_id"               TEXT NOT NULL REFERENCES "article" ("article_id"),
    "lot_id"                   TEXT REFERENCES "lot" ("lot_id"),
    "grey_mg"                  INTEGER NOT NULL CHECK ("grey_mg" BETWEEN 100000 AND 200000000),
    PRIMARY KEY ("roll_id")
) STRICT;

CREATE INDEX "roll_of_lot" ON "roll" ("lot_id");
CREATE INDEX "lot_of_order" ON "lot" ("order_id");
