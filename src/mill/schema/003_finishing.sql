-- Schema 3: machines of the finishing line, washed samples, the customer's own tolerances.
--
-- Written like 001_first.sql; the new columns as in 002_effluent.sql.

-- Articles
ALTER TABLE "article" ADD COLUMN "gsm_tol_mpct" INTEGER
    CHECK ("gsm_tol_mpct" BETWEEN 100 AND 50000);
ALTER TABLE "article" ADD COLUMN "width_tol_um" INTEGER
    CHECK ("width_tol_um" BETWEEN 1000 AND 500000);

-- Machines of the finishing line
CREATE TABLE "finisher" (
    "finisher_id"              TEXT NOT NULL CHECK (length("finisher_id") BETWEEN 1 AND 40 AND
        ltrim("finisher_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 200),
    "kind"                     TEXT NOT NULL
        CHECK ("kind" IN ('dewatering', 'padder', 'stenter', 'compactor', 'balloon-squeeze',
            'spreader', 'relax-dryer', 'tube-compactor')),
    "width_min_um"             INTEGER NOT NULL CHECK ("width_min_um" BETWEEN 100000 AND 5000000),
    "width_max_um"             INTEGER NOT NULL CHECK ("width_max_um" BETWEEN 100000 AND 5000000),
    "overfeed_min_mpct"        INTEGER NOT NULL CHECK ("overfeed_min_mpct" BETWEEN -30000 AND 60000),
    "overfeed_mpct"            INTEGER NOT NULL CHECK ("overfeed_mpct" BETWEEN -30000 AND 60000),
    "overfeed_max_mpct"        INTEGER NOT NULL CHECK ("overfeed_max_mpct" BETWEEN -30000 AND 60000),
    "width_change_mpct"        INTEGER NOT NULL CHECK ("width_change_mpct" BETWEEN -30000 AND 50000),
    "moisture_out_mpct"        INTEGER NOT NULL CHECK ("moisture_out_mpct" BETWEEN 1000 AND 150000),
    "temp_mc"                  INTEGER CHECK ("temp_mc" BETWEEN 20000 AND 200000),
    "speed_mm_per_min"         INTEGER NOT NULL CHECK ("speed_mm_per_min" BETWEEN 500 AND 200000),
    "speed_max_mm_per_min"     INTEGER NOT NULL CHECK ("speed_max_mm_per_min" BETWEEN 500 AND 200000),
    "oven_mm"                  INTEGER CHECK ("oven_mm" BETWEEN 100 AND 100000),
    "h_mw_per_m2_k"            INTEGER CHECK ("h_mw_per_m2_k" BETWEEN 5000 AND 500000),
    "exhaust_g_per_kg"         INTEGER CHECK ("exhaust_g_per_kg" BETWEEN 10 AND 1000),
    "power_w"                  INTEGER NOT NULL CHECK ("power_w" BETWEEN 0 AND 1000000),
    "remark"                   TEXT NOT NULL CHECK (length("remark") <= 200),
    PRIMARY KEY ("finisher_id")
) STRICT;

-- Washed samples
CREATE TABLE "wash_sample" (
    "sample_id"                TEXT NOT NULL CHECK (length("sample_id") BETWEEN 1 AND 40 AND
        ltrim("sample_id",
            'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "article_id"               TEXT NOT NULL REFERENCES "article" ("article_id"),
    "washed_utc_ms"            INTEGER NOT NULL
        CHECK ("washed_utc_ms" BETWEEN 946684800000 AND 4102358400000 AND
            "washed_utc_ms" % 86400000 = 0),
    "loop_um"                  INTEGER NOT NULL CHECK ("loop_um" BETWEEN 1000 AND 12000),
    "courses_m_per_cm"         INTEGER NOT NULL CHECK ("courses_m_per_cm" BETWEEN 2000 AND 60000),
    "wales_m_per_cm"           INTEGER NOT NULL CHECK ("wales_m_per_cm" BETWEEN 2000 AND 60000),
    "mgsm"                     INTEGER NOT NULL CHECK ("mgsm" BETWEEN 40000 AND 900000),
    "spirality_mpct"           INTEGER CHECK ("spirality_mpct" BETWEEN 0 AND 60000),
    "remark"                   TEXT NOT NULL CHECK (length("remark") <= 200),
    PRIMARY KEY ("sample_id")
) STRICT;

CREATE INDEX "sample_of_article" ON "wash_sample" ("article_id");
