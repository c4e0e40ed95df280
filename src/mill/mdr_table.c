#include "mill/mdr_table.h"

#include <string.h>

#include "core/plan/mdr_records.h"
#include "mill/mdr_stock.h"
#include "mill/mdr_table_in.h"

static const mdr_col SITE[] = {
    {.name = "name",
     .sql = "name",
     .kind = MDR_COL_TEXT,
     .flags = MDR_COL_KEY | MUST,
     .offset = offsetof(mdr_site, name),
     .what = "Name of the mill; one row only"},
    TXT(mdr_site, currency, MUST, "ISO 4217 code of all prices"),
    YES(mdr_site, invented, "yes: demo data, and every page and card says so"),
    QTY(mdr_site, cold_water_c, "cold_water_mc", MILLI, 1, 40, MUST,
        "Temperature of cold process water"),
    QTY(mdr_site, hot_water_c, "hot_water_mc", MILLI, 0, 95, MUST,
        "Temperature of the hot water tank; not above the cold water: there is none"),
    QTY(mdr_site, cooling_water_c, "cooling_water_mc", MILLI, 1, 40, MUST,
        "Cooling water into the exchanger"),
    QTY(mdr_site, room_c, "room_mc", MILLI, 0, 50, MUST,
        "Temperature of the hall, and of the grey fabric"),
    QTY(mdr_site, hardness_dh, "hardness_mdh", MILLI, 0, 60, MUST,
        "Total hardness of the process water, degree German"),
    QTY(mdr_site, steam_barg, "steam_mbarg", MILLI, 0.5, 12, MUST,
        "Steam pressure at the machines, gauge"),
    QTY(mdr_site, water_minor_per_m3, "water_minor_per_m3", 1, 0, 1e7, MUST,
        "Price of process water"),
    QTY(mdr_site, effluent_minor_per_m3, "effluent_minor_per_m3", 1, 0, 1e7, MUST,
        "Cost of treating effluent"),
    QTY(mdr_site, steam_minor_per_t, "steam_minor_per_t", 1, 0, 1e8, MUST, "Cost of steam"),
    QTY(mdr_site, power_minor_per_mwh, "power_minor_per_mwh", 1, 0, 1e8, MUST,
        "Price of electricity"),
    QTY(mdr_site, alkalinity_mmol_per_l, "alkalinity_umol_per_l", 1e3, 0, 20, LATER,
        "Hydrogen carbonate of the process water; empty: none"),
    QTY(mdr_site, steam_co2_kg_per_t, "steam_co2_g_per_t", 1e3, 0, 5000, LATER,
        "Carbon dioxide of a tonne of steam; empty: not counted"),
    QTY(mdr_site, power_co2_kg_per_mwh, "power_co2_g_per_mwh", 1e3, 0, 5000, LATER,
        "Carbon dioxide of electricity; empty: not counted"),
    QTY(mdr_site, water_co2_kg_per_m3, "water_co2_g_per_m3", 1e3, 0, 100, LATER,
        "Carbon dioxide of water, supply and effluent together; empty: not counted"),
    {.name = "release_by_other",
     .sql = "release_by_other",
     .kind = MDR_COL_BOOL,
     .flags = LATER,
     .offset = offsetof(mdr_site, release_by_other),
     .what =
         "yes: whoever accepted a reading outside its limits does not release the lot; empty: no"},
};

static const mdr_col MACHINE[] = {
    ID(mdr_machine, machine_id, "Number of the machine on the floor"),
    TXT(mdr_machine, name, MUST, "What people call it"),
    ENM(mdr_machine, kind, MDR_MACHINE_KINDS, "Type"),
    CNT(mdr_machine, tubes, 1, 16, MUST, "Ropes side by side"),
    QTY(mdr_machine, load_min_kg, "load_min_mg", MG, 0.1, 5000, MUST, "Least load that runs well"),
    QTY(mdr_machine, load_max_kg, "load_max_mg", MG, 0.1, 5000, MUST, "Greatest load"),
    QTY(mdr_machine, liquor_min_l, "liquor_min_ml", ML, 0.5, 50000, MUST,
        "Least liquor that circulates"),
    QTY(mdr_machine, liquor_max_l, "liquor_max_ml", ML, 1, 50000, MUST, "Liquor when full"),
    QTY(mdr_machine, ratio_min_l_per_kg, "ratio_min_ml_per_kg", ML, 2, 40, MUST,
        "Least liquor ratio"),
    QTY(mdr_machine, speed_min_m_per_min, "speed_min_mm_per_min", MILLI, 1, 1000, MUST,
        "Slowest rope speed"),
    QTY(mdr_machine, speed_max_m_per_min, "speed_max_mm_per_min", MILLI, 1, 1000, MUST,
        "Fastest rope speed"),
    QTY(mdr_machine, cycle_max_min, "cycle_max_ms", 60000, 0.2, 30, MUST,
        "Longest rope cycle allowed"),
    QTY(mdr_machine, temp_max_c, "temp_max_mc", MILLI, 50, 140, MUST, "Highest bath temperature"),
    QTY(mdr_machine, drain_temp_max_c, "drain_temp_max_mc", MILLI, 30, 140, MUST,
        "Drain interlocked above this"),
    QTY(mdr_machine, exchanger_kw_per_k, "exchanger_w_per_k", 1e3, 0.01, 500, MUST,
        "UA of the heat exchanger"),
    QTY(mdr_machine, circulation_l_per_min, "circulation_ml_per_min", ML, 0, 50000, MUST,
        "Pump flow through the exchanger; 0: does not limit"),
    QTY(mdr_machine, steam_max_kg_per_h, "steam_max_g_per_h", 1e3, 1, 20000, MUST,
        "Steam its valve passes"),
    QTY(mdr_machine, steel_kg, "steel_mg", MG, 1, 50000, MUST, "Metal heated with the bath"),
    QTY(mdr_machine, heat_max_c_per_min, "heat_max_mc_per_min", MILLI, 0.1, 10, MUST,
        "Steepest heating"),
    QTY(mdr_machine, cool_max_c_per_min, "cool_max_mc_per_min", MILLI, 0.1, 10, MUST,
        "Steepest cooling"),
    QTY(mdr_machine, fill_l_per_min, "fill_ml_per_min", ML, 0.5, 10000, MUST, "Filling"),
    QTY(mdr_machine, drain_l_per_min, "drain_ml_per_min", ML, 0.5, 10000, MUST, "Draining"),
    QTY(mdr_machine, rinse_l_per_min, "rinse_ml_per_min", ML, 0.5, 10000, MUST, "Overflow rinsing"),
    QTY(mdr_machine, tank_l, "tank_ml", ML, 0.5, 5000, MUST, "Usable volume of the addition tank"),
    QTY(mdr_machine, tank_flow_l_per_min, "tank_flow_ml_per_min", ML, 0.1, 1000, MUST,
        "Dosing pump at full speed"),
    QTY(mdr_machine, tank_prepare_min, "tank_prepare_ms", 60000, 0, 60, MUST,
        "Filling and dissolving one tank load"),
    ENM(mdr_machine, tank_water, MDR_TANK_WATERS, "What dissolves an addition"),
    QTY(mdr_machine, load_time_min, "load_time_ms", 60000, 0, 240, MUST, "Loading"),
    QTY(mdr_machine, unload_time_min, "unload_time_ms", 60000, 0, 240, MUST, "Unloading"),
    QTY(mdr_machine, power_kw, "power_w", 1e3, 0, 1000, MUST, "Power while running"),
    QTY(mdr_machine, air_g_o2_per_kg_h, "air_mg_o2_per_kg_h", 1e3, 0, 100, LATER,
        "Oxygen the running rope draws from the air; empty: the usual of its kind"),
};

static const mdr_col ARTICLE[] = {
    ID(mdr_article, article_id, "Article number"),
    TXT(mdr_article, name, MUST, "Name"),
    ENM(mdr_article, construction, MDR_CONSTRUCTIONS, "Knit construction"),
    QTY(mdr_article, yarn_ne, "yarn_mne", MILLI, 4, 120, MUST,
        "English cotton count of the ground yarn"),
    QTY(mdr_article, loop_mm, "loop_um", 1e3, 1, 12, MUST, "Loop length of the ground"),
    CNT(mdr_article, gauge_per_inch, 5, 60, MUST, "Needles per inch"),
    QTY(mdr_article, diameter_inch, "diameter_minch", MILLI, 7, 60, MUST,
        "Diameter of the knitting machine"),
    CNT(mdr_article, feeders, 1, 200, MUST, "Feeders"),
    QTY(mdr_article, elastane_pct, "elastane_mpct", MILLI, 0, 30, MUST,
        "Elastane, % of the fabric"),
    QTY(mdr_article, grey_gsm, "grey_mgsm", MILLI, 40, 800, MUST, "Grey mass per area, g/m2"),
    QTY(mdr_article, grey_width_cm, "grey_width_um", 1e4, 20, 400, MUST,
        "Grey open width (twice the flat width of a tube)"),
    QTY(mdr_article, finished_gsm, "finished_mgsm", MILLI, 40, 800, MUST,
        "Finished mass per area, g/m2"),
    QTY(mdr_article, finished_width_cm, "finished_width_um", 1e4, 20, 400, MUST,
        "Finished open width"),
    QTY(mdr_article, shrink_length_max_pct, "shrink_length_max_mpct", MILLI, 0, 30, MUST,
        "Length shrinkage allowed"),
    QTY(mdr_article, shrink_width_max_pct, "shrink_width_max_mpct", MILLI, 0, 30, MUST,
        "Width shrinkage allowed"),
    QTY(mdr_article, spirality_max_pct, "spirality_max_mpct", MILLI, 0, 30, MUST,
        "Spirality allowed"),
    QTY(mdr_article, retained_l_per_kg, "retained_ml_per_kg", ML, 0.3, 6, MUST,
        "Liquor the drained rope keeps"),
    QTY(mdr_article, calcium_mg_per_kg, "calcium_ug_per_kg", 1e3, 0, 5000, LATER,
        "Calcium in the raw fabric; empty: the middle of the published range"),
    QTY(mdr_article, magnesium_mg_per_kg, "magnesium_ug_per_kg", 1e3, 0, 5000, LATER,
        "Magnesium in the raw fabric; empty: the middle of the published range"),
    ENM(mdr_article, finish_line, MDR_FINISH_LINES, "Finishing line"),
    QTY(mdr_article, gsm_tol_pct, "gsm_tol_mpct", MILLI, 0.1, 50, LATER,
        "Tolerance of the finished mass per area, both ways; empty: the usual 5"),
    QTY(mdr_article, width_tol_cm, "width_tol_um", 1e4, 0.1, 50, LATER,
        "Tolerance of the finished open width, both ways; empty: the usual 2.54"),
    TXT(mdr_article, remark, 0, "Remark"),
};

static const mdr_col FINISHER[] = {
    ID(mdr_finisher, finisher_id, "Number of the machine on the floor"),
    TXT(mdr_finisher, name, MUST, "What people call it"),
    ENM(mdr_finisher, kind, MDR_FINISHER_KINDS, "What it does to the fabric"),
    QTY(mdr_finisher, width_min_cm, "width_min_um", 1e4, 10, 500, MUST,
        "Least width of the fabric as it lies: open, or the flat width of a tube"),
    QTY(mdr_finisher, width_max_cm, "width_max_um", 1e4, 10, 500, MUST, "Greatest width"),
    QTY(mdr_finisher, overfeed_min_pct, "overfeed_min_mpct", MILLI, -30, 60, MUST,
        "Least overfeed: speed in over speed out, less one; below 0 it stretches"),
    QTY(mdr_finisher, overfeed_pct, "overfeed_mpct", MILLI, -30, 60, MUST, "Usual overfeed"),
    QTY(mdr_finisher, overfeed_max_pct, "overfeed_max_mpct", MILLI, -30, 60, MUST,
        "Greatest overfeed"),
    QTY(mdr_finisher, width_change_pct, "width_change_mpct", MILLI, -30, 50, MUST,
        "Usual change of the width, where the machine does not set it"),
    QTY(mdr_finisher, moisture_out_pct, "moisture_out_mpct", MILLI, 1, 150, MUST,
        "Usual moisture behind it, % on bone dry; a spreader leaves it as it is"),
    QTY(mdr_finisher, temp_c, "temp_mc", MILLI, 20, 200, 0,
        "Usual temperature of air, felt or shoe; empty: cold"),
    QTY(mdr_finisher, speed_m_per_min, "speed_mm_per_min", MILLI, 0.5, 200, MUST, "Usual speed"),
    QTY(mdr_finisher, speed_max_m_per_min, "speed_max_mm_per_min", MILLI, 0.5, 200, MUST,
        "Fastest speed"),
    QTY(mdr_finisher, oven_m, "oven_mm", 1e3, 0.1, 100, 0,
        "Heated length; empty: it dries nothing"),
    QTY(mdr_finisher, h_w_per_m2_k, "h_mw_per_m2_k", 1e3, 5, 500, 0,
        "Heat transfer of each face, fitted from a run; empty: not known"),
    QTY(mdr_finisher, exhaust_kg_per_kg, "exhaust_g_per_kg", 1e3, 0.01, 1, 0,
        "Water in its exhaust air, per kg of dry air; empty: not measured"),
    QTY(mdr_finisher, power_kw, "power_w", 1e3, 0, 1000, MUST, "Power while running"),
    TXT(mdr_finisher, remark, 0, "Remark"),
};

static const mdr_col WASH_SAMPLE[] = {
    ID(mdr_wash_sample, sample_id, "Number of the sample"),
    REF(mdr_wash_sample, article_id, "article", MUST, "Article"),
    DAT(mdr_wash_sample, washed_utc_ms, "washed", "Day it was washed"),
    QTY(mdr_wash_sample, loop_mm, "loop_um", 1e3, 1, 12, MUST,
        "Loop length, unroved from it or as knitted"),
    QTY(mdr_wash_sample, courses_per_cm, "courses_m_per_cm", MILLI, 2, 60, MUST,
        "Courses, one face, washed, tumbled and conditioned"),
    QTY(mdr_wash_sample, wales_per_cm, "wales_m_per_cm", MILLI, 2, 60, MUST,
        "Wales, one face, washed, tumbled and conditioned"),
    QTY(mdr_wash_sample, gsm, "mgsm", MILLI, 40, 900, MUST,
        "Weight, washed, tumbled and conditioned"),
    QTY(mdr_wash_sample, spirality_pct, "spirality_mpct", MILLI, 0, 60, 0,
        "Run of the wale line per rise after washing; empty: not measured"),
    TXT(mdr_wash_sample, remark, 0, "Remark"),
};

/* Dyes and chemicals share everything but the first lines. */
#define MATERIAL_TAIL                                                                           \
    ENM(mdr_material, form, MDR_FORMS, "Form as delivered"),                                    \
        QTY(mdr_material, density_kg_per_l, "density_g_per_l", 1e3, 0.5, 2.5, 0,                \
            "Liquids and pastes: density at 20 degC; empty for solids"),                        \
        QTY(mdr_material, solubility_g_per_l, "solubility_mg_per_l", 1e3, 1, 2000, 0,           \
            "Solids: g per litre that dissolves well in the addition tank; empty for liquids"), \
        QTY(mdr_material, price_minor_per_kg, "price_minor_per_kg", 1, 0, 1e8, 0,               \
            "Price per kg; empty: not known"),                                                  \
        QTY(mdr_material, stock_kg, "stock_mg", MG, 0, 1e6, 0,                                  \
            "In stock at the start; what came and went since is booked on it"),                 \
        QTY(mdr_material, cod_g_per_g, "cod_mg_per_g", 1e3, 0, 5, LATER,                        \
            "Chemical oxygen demand of 1 g as delivered; empty: not known"),                    \
        QTY(mdr_material, co2_kg_per_kg, "co2_g_per_kg", 1e3, 0, 100, LATER,                    \
            "Carbon dioxide of making it; empty: not counted"),                                 \
        SET(mdr_material, cautions, MDR_CAUTIONS, "Dangers, with spaces between"),              \
        REF(mdr_material, weigh_class, "weighing_class", LATER,                                 \
            "How it is weighed; empty: as usual"),                                              \
        TXT(mdr_material, storage, LATER, "Where it stands"),                                   \
        TXT(mdr_material, remark, 0, "Remark")

#define MATERIAL_KEY(name_, what_)                                                        \
    {                                                                                     \
        .name = (name_), .sql = (name_), .kind = MDR_COL_ID, .flags = MDR_COL_KEY | MUST, \
        .offset = offsetof(mdr_material, material_id), .what = (what_)                    \
    }

static const mdr_col DYE[] = {
    MATERIAL_KEY("dye_id", "Number of the dye"),
    TXT(mdr_material, name, MUST, "Name"),
    ENM(mdr_material, dye_class, MDR_DYE_CLASSES, "Class"),
    TXT(mdr_material, group, MUST, "Family within the class"),
    QTY(mdr_material, strength_pct, "strength_mpct", MILLI, 5, 400, MUST,
        "Strength of this delivery, % of standard"),
    QTY(mdr_material, exhaustion_pct, "exhaustion_mpct", MILLI, 0, 100, LATER,
        "Of the dye used, what leaves the bath; empty: usual for the class"),
    QTY(mdr_material, fixation_pct, "fixation_mpct", MILLI, 0, 100, LATER,
        "Of the dye used, what stays bound after soaping; empty: usual for the class"),
    ENM_LATER(mdr_material, dyeing_group, MDR_DYE_GROUPS, "How it dyes, alike within a group"),
    QTY(mdr_material, primary_exhaustion_pct, "primary_exhaustion_mpct", MILLI, 0, 100, LATER,
        "Reactive: on the fabric after the salt, before the alkali; empty: not known"),
    QTY(mdr_material, fix_first_pct, "fix_first_mpct", MILLI, 0, 100, LATER,
        "Reactive: fixed soon after the alkali; empty: not known"),
    QTY(mdr_material, fix_first_min, "fix_first_ms", 60000, 1, 120, LATER,
        "How soon; empty: 10 minutes"),
    QTY(mdr_material, half_dyeing_min, "half_dyeing_ms", 60000, 0, 480, LATER,
        "Reactive: from the alkali to half of the fixation, else from the start to half of the "
        "exhaustion; empty: not known"),
    QTY(mdr_material, molar_g_per_mol, "molar_mg_per_mol", MILLI, 100, 5000, LATER,
        "Mass of the product that holds one mole of dye; empty: not known"),
    QTY(mdr_material, charge, "charge", 1, 1, 12, LATER,
        "Negative charges of the dye; empty: not known"),
    ENM_LATER(mdr_material, nature, MDR_NATURES, "What sets it apart within the class"),
    {.name = "salt_table",
     .sql = "salt_table",
     .kind = MDR_COL_REF,
     .ref = "dose_table",
     .offset = offsetof(mdr_material, salt_table),
     .what = "Salt by depth"},
    {.name = "alkali_table",
     .sql = "alkali_table",
     .kind = MDR_COL_REF,
     .ref = "dose_table",
     .offset = offsetof(mdr_material, alkali_table),
     .what = "Alkali by depth"},
    TXT(mdr_material, swatch, 0, "Colour on the screen, #rrggbb"),
    MATERIAL_TAIL,
};

static const mdr_col CHEMICAL[] = {
    MATERIAL_KEY("chemical_id", "Number of the product"),
    TXT(mdr_material, name, MUST, "Name"),
    TXT(mdr_material, group, MUST, "What it does"),
    ENM(mdr_material, substance, MDR_SUBSTANCES, "Active substance"),
    QTY(mdr_material, strength_pct, "strength_mpct", MILLI, 0.1, 100, 0,
        "Active substance, % w/w as delivered; or give baume"),
    QTY(mdr_material, baume, "baume_m", MILLI, 0.1, 55, 0,
        "Degree Baume (145 - 145/SG) instead of strength; NaOH, NaCl and Na2SO4 only"),
    QTY(mdr_material, capacity_mg_per_g, "capacity_ug_per_g", 1e3, 0, 1e6, LATER,
        "Sequestrant: CaCO3 that 1 g of product binds; catalase: H2O2 that it destroys"),
    QTY(mdr_material, acid_mol_per_kg, "acid_mmol_per_kg", 1e3, 0, 30, LATER,
        "Acid of a proprietary product as delivered, counted like acetic acid; empty: none"),
    MATERIAL_TAIL,
};

static const mdr_col DOSE_TABLE[] = {
    ID(mdr_row_dose_table, table_id, "Number of the table"),
    TXT(mdr_row_dose_table, title, MUST, "What it gives"),
    TXT(mdr_row_dose_table, source, MUST, "Where it comes from"),
    ENM_LATER(mdr_row_dose_table, counted_as, MDR_SUBSTANCES,
              "Substance that the amounts count; other: the product as the route names it"),
    ENM_LATER(mdr_row_dose_table, between, MDR_BETWEENS, "Between two depths"),
    ENM_LATER(mdr_row_dose_table, ratio_rule, MDR_RATIO_RULES, "At a short liquor ratio"),
    ENM_LATER(mdr_row_dose_table, swap, MDR_SWAPS, "How an amount is turned into another salt"),
};

static const mdr_col DOSE_BAND[] = {
    {.name = "table_id",
     .sql = "table_id",
     .kind = MDR_COL_REF,
     .flags = MDR_COL_KEY | MUST,
     .ref = "dose_table",
     .offset = offsetof(mdr_row_dose_band, table_id),
     .what = "Table"},
    QTY(mdr_row_dose_band, depth_max_pct_owf, "depth_max_upct", MICRO, 0.0001, 100,
        MDR_COL_KEY | MUST, "Up to and including this depth"),
    QTY(mdr_row_dose_band, amount_g_per_l, "amount_ug_per_l", 1e6, 0, 400, MUST,
        "Active substance per litre"),
};

static const mdr_col SHADE[] = {
    ID(mdr_shade, shade_id, "Number of the shade"),
    TXT(mdr_shade, name, MUST, "Name"),
    ENM(mdr_shade, dye_class, MDR_DYE_CLASSES, "Class; none for white"),
    QTY(mdr_shade, lab_l, "lab_l_m", MILLI, 0, 110, MUST,
        "CIELAB L* of the standard, D65, 10 degree"),
    QTY(mdr_shade, lab_a, "lab_a_m", MILLI, -150, 150, MUST, "a*"),
    QTY(mdr_shade, lab_b, "lab_b_m", MILLI, -150, 150, MUST, "b*"),
    QTY(mdr_shade, tolerance_de, "tolerance_mde", MILLI, 0.1, 10, MUST, "Tolerance, CMC(2:1)"),
};

static const mdr_col RECIPE[] = {
    {.name = "shade_id",
     .sql = "shade_id",
     .kind = MDR_COL_REF,
     .flags = MDR_COL_KEY | MUST,
     .ref = "shade",
     .offset = offsetof(mdr_row_recipe, shade_id),
     .what = "Shade"},
    CNT(mdr_row_recipe, line, 1, 8, MDR_COL_KEY | MUST, "Line of the recipe"),
    REF(mdr_row_recipe, dye_id, "dye", MUST, "Dye"),
    QTY(mdr_row_recipe, depth_pct_owf, "depth_upct", MICRO, 0.0001, 20, MUST,
        "Dye of standard strength, % on mass of fabric"),
    QTY(mdr_row_recipe, bulk_pct, "bulk_mpct", MILLI, 70, 140, LATER,
        "The depth in per cent of the laboratory's; empty: it is the laboratory's"),
    REF(mdr_row_recipe, bulk_machine_id, "machine", LATER, "Machine whose lots taught it"),
    TXT(mdr_row_recipe, bulk_words, LATER, "What it rested on when it was chosen"),
};

static const mdr_col ORDER[] = {
    ID(mdr_order, order_id, "Order number"),
    TXT(mdr_order, customer, MUST, "Customer"),
    REF(mdr_order, article_id, "article", MUST, "Article"),
    REF(mdr_order, shade_id, "shade", MUST, "Shade"),
    QTY(mdr_order, ordered_kg, "ordered_mg", MG, 0.1, 1e6, MUST, "Finished kilograms"),
    QTY(mdr_order, loss_pct, "loss_mpct", MILLI, 0, 40, MUST,
        "Loss from grey to finished, % of grey"),
    DAT(mdr_order, due_utc_ms, "due", "Due date"),
    TXT(mdr_order, remark, 0, "Remark"),
};

static const mdr_col LOT[] = {
    ID(mdr_row_lot, lot_id, "Lot number"),
    REF(mdr_row_lot, order_id, "order", MUST, "Order"),
    REF(mdr_row_lot, machine_id, "machine", MUST, "Machine"),
    REF(mdr_row_lot, route_id, "route", MUST, "Route"),
    QTY(mdr_row_lot, weighed_kg, "weighed_mg", MG, 0.1, 5000, 0,
        "Mass at loading; empty: the rolls are added up"),
    QTY(mdr_row_lot, ratio_l_per_kg, "ratio_ml_per_kg", ML, 2, 40, MUST, "Liquor ratio"),
    QTY(mdr_row_lot, speed_m_per_min, "speed_mm_per_min", MILLI, 1, 1000, 0,
        "Rope speed; empty: the machine's fastest"),
    CNT(mdr_row_lot, tubes_used, 1, 16, 0, "Ropes used; empty: all"),
    ENM(mdr_row_lot, stage, MDR_LOT_STAGES, "Where it stands"),
};

static const mdr_col ROLL[] = {
    ID(mdr_row_roll, roll_id, "Roll number"),
    REF(mdr_row_roll, article_id, "article", MUST, "Article"),
    REF(mdr_row_roll, lot_id, "lot", 0, "Lot it was gathered into; empty: in the grey store"),
    QTY(mdr_row_roll, grey_kg, "grey_mg", MG, 0.1, 200, MUST, "Grey mass"),
};

#define TABLE(name_, sql_, title_, rec, cols_)                                             \
    {                                                                                      \
        name_, sql_, title_, sizeof(rec), cols_, (int)(sizeof(cols_) / sizeof((cols_)[0])) \
    }

const mdr_table mdr_tables[] = {
    TABLE("site", "site", "Site, water and utilities", mdr_site, SITE),
    TABLE("machine", "machine", "Machines", mdr_machine, MACHINE),
    TABLE("article", "article", "Articles", mdr_article, ARTICLE),
    TABLE("finisher", "finisher", "Machines of the finishing line", mdr_finisher, FINISHER),
    TABLE("wash_sample", "wash_sample", "Washed samples of the articles", mdr_wash_sample,
          WASH_SAMPLE),
    TABLE("weighing_class", "weighing_class", "How materials are weighed", mdr_weigh_class,
          mdr_cols_weighing_class),
    TABLE("scale", "scale", "Scales of the weigh room", mdr_scale, mdr_cols_scale),
    TABLE("dose_table", "dose_table", "Dose tables", mdr_row_dose_table, DOSE_TABLE),
    TABLE("dose_band", "dose_band", "Bands of the dose tables", mdr_row_dose_band, DOSE_BAND),
    TABLE("dye", "dye", "Dyes", mdr_material, DYE),
    TABLE("chemical", "chemical", "Chemicals", mdr_material, CHEMICAL),
    TABLE("shade", "shade", "Shades", mdr_shade, SHADE),
    TABLE("recipe", "recipe", "Recipes of the shades", mdr_row_recipe, RECIPE),
    TABLE("order", "customer_order", "Orders", mdr_order, ORDER),
    TABLE("lot", "lot", "Lots", mdr_row_lot, LOT),
    TABLE("roll", "roll", "Rolls of grey fabric", mdr_row_roll, ROLL),
    TABLE("lab_sample", "lab_sample", "Measured samples of the laboratory", mdr_bench_sample,
          mdr_cols_lab_sample),
    TABLE("lab_reading", "lab_reading", "Readings of the measured samples", mdr_row_lab_reading,
          mdr_cols_lab_reading),
    TABLE("dip", "dip", "Laboratory dips of the shades", mdr_dip, mdr_cols_dip),
    TABLE("dip_dye", "dip_dye", "Dyes of the laboratory dips", mdr_dip_dye, mdr_cols_dip_dye),
};
const int mdr_tables_count = (int)(sizeof mdr_tables / sizeof mdr_tables[0]);

const mdr_table *mdr_table_find(const char *name)
{
    for (int i = 0; i < mdr_tables_count; i++) {
        if (strcmp(mdr_tables[i].name, name) == 0) {
            return &mdr_tables[i];
        }
    }
    return NULL;
}
