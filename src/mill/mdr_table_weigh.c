/* Columns of the weigh room's tables. */
#include "mill/mdr_stock.h"
#include "mill/mdr_table_in.h"

const mdr_col mdr_cols_weighing_class[MDR_COLS_WEIGHING_CLASS] = {
    ID(mdr_weigh_class, class_id, "Number of the class"),
    TXT(mdr_weigh_class, name, MUST, "What it is for"),
    QTY(mdr_weigh_class, tolerance_pct, "tolerance_mpct", MILLI, 0.01, 20, MUST,
        "Tolerance both ways, % of what is to be weighed; the greater of the two counts"),
    QTY(mdr_weigh_class, tolerance_g, "tolerance_mg", 1e3, 0, 100000, MUST,
        "Tolerance both ways, g; the greater of the two counts"),
    QTY(mdr_weigh_class, least_divisions, "least_divisions", 1, 10, 10000, MUST,
        "Divisions of the scale that a weighing has at least"),
    YES(mdr_weigh_class, two_persons, "yes: another person checks every weighing"),
    QTY(mdr_weigh_class, lead_min, "lead_ms", 60000, 0, 2880, MUST,
        "Weighed this long before the step needs it"),
    TXT(mdr_weigh_class, remark, 0, "Remark"),
};

const mdr_col mdr_cols_scale[MDR_COLS_SCALE] = {
    ID(mdr_scale, scale_id, "Number of the scale"),
    TXT(mdr_scale, name, MUST, "What people call it"),
    QTY(mdr_scale, capacity_kg, "capacity_mg", MG, 0.01, 20000, MUST,
        "Most it carries, container included"),
    QTY(mdr_scale, division_g, "division_mg", 1e3, 0.001, 10000, MUST, "Step of its display"),
    QTY(mdr_scale, interval_g, "interval_mg", 1e3, 0.001, 10000, 0,
        "Verification interval e; empty: the step of its display"),
    QTY(mdr_scale, container_kg, "container_mg", MG, 0, 1000, 0,
        "Container that usually stands on it; empty: none"),
    DAT_OPEN(mdr_scale, verified_until_utc_ms, "verified_until",
             "Last day of its verification; empty: not verified"),
    TXT(mdr_scale, remark, 0, "Remark"),
};
