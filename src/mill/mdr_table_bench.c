/* Columns of the laboratory's tables. */
#include "mill/mdr_table_in.h"

const mdr_col mdr_cols_lab_sample[MDR_COLS_LAB_SAMPLE] = {
    ID(mdr_bench_sample, sample_id, "Number of the sample"),
    ENM(mdr_bench_sample, kind, MDR_BENCH_KINDS, "What was measured"),
    TXT(mdr_bench_sample, name, MUST, "Name in the file of the instrument"),
    TXT(mdr_bench_sample, substrate, 0,
        "Cloth and process together; empty only for a standard that is no cloth of ours"),
    REF(mdr_bench_sample, dye_id, "dye", 0, "Rungs: the dye"),
    QTY(mdr_bench_sample, depth_pct_owf, "depth_upct", MICRO, 0.0001, 30, 0,
        "Rungs: dye of standard strength, % on mass of fabric"),
    REF(mdr_bench_sample, shade_id, "shade", 0, "Standards, dips, cuttings of a lot: the shade"),
    REF(mdr_bench_sample, lot_id, "lot", 0, "Cuttings: the lot"),
    DAT(mdr_bench_sample, measured_utc_ms, "measured", "Day it was measured"),
    ENM(mdr_bench_sample, specular, MDR_BENCH_SPECULARS, "Gloss of the surface"),
    TXT(mdr_bench_sample, remark, 0, "Remark"),
};

const mdr_col mdr_cols_lab_reading[MDR_COLS_LAB_READING] = {
    {.name = "sample_id",
     .sql = "sample_id",
     .kind = MDR_COL_REF,
     .flags = MDR_COL_KEY | MUST,
     .ref = "lab_sample",
     .offset = offsetof(mdr_row_lab_reading, sample_id),
     .what = "Sample"},
    QTY(mdr_row_lab_reading, wavelength_nm, "wavelength_pm", 1e3, 340, 830, MDR_COL_KEY | MUST,
        "Wavelength"),
    QTY(mdr_row_lab_reading, reflectance_pct, "reflectance_upct", MICRO, 0, 150, MUST,
        "Reflectance factor, as read"),
};

const mdr_col mdr_cols_dip[MDR_COLS_DIP] = {
    ID(mdr_dip, dip_id, "Number of the dip"),
    REF(mdr_dip, shade_id, "shade", MUST, "Shade"),
    TXT(mdr_dip, substrate, MUST, "Cloth and process together, as of the ladders"),
    CNT(mdr_dip, round, 1, 99, MUST, "Round of dips for the shade"),
    DAT(mdr_dip, made_utc_ms, "made", "Day it was dyed"),
    REF(mdr_dip, sample_id, "lab_sample", 0, "Its measured sample; empty: not measured"),
    ENM(mdr_dip, state, MDR_DIP_STATES, "Where it stands"),
    TXT(mdr_dip, decided_by, 0, "Who approved or rejected it"),
    DAT_OPEN(mdr_dip, decided_utc_ms, "decided", "Day it was approved or rejected"),
    TXT(mdr_dip, remark, 0, "Remark"),
};

const mdr_col mdr_cols_dip_dye[MDR_COLS_DIP_DYE] = {
    {.name = "dip_id",
     .sql = "dip_id",
     .kind = MDR_COL_REF,
     .flags = MDR_COL_KEY | MUST,
     .ref = "dip",
     .offset = offsetof(mdr_dip_dye, dip_id),
     .what = "Dip"},
    CNT(mdr_dip_dye, line, 1, 8, MDR_COL_KEY | MUST, "Line of its mix"),
    REF(mdr_dip_dye, dye_id, "dye", MUST, "Dye"),
    QTY(mdr_dip_dye, depth_pct_owf, "depth_upct", MICRO, 0.0001, 20, MUST,
        "Dye of standard strength, % on mass of fabric"),
};
