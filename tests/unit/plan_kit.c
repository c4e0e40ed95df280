#include "plan_kit.h"

#include <string.h>

mdr_machine kit_machine(void)
{
    return (mdr_machine){.machine_id = "T1",
                         .name = "Test winch",
                         .kind = MDR_MACHINE_WINCH,
                         .tubes = 4,
                         .load_min_kg = 300,
                         .load_max_kg = 1100,
                         .liquor_min_l = 4000,
                         .liquor_max_l = 12000,
                         .ratio_min_l_per_kg = 6,
                         .speed_min_m_per_min = 100,
                         .speed_max_m_per_min = 300,
                         .cycle_max_min = 3.5,
                         .temp_max_c = 98,
                         .drain_temp_max_c = 80,
                         .exchanger_kw_per_k = 20,
                         .circulation_l_per_min = 0,
                         .steam_max_kg_per_h = 3500,
                         .steel_kg = 3000,
                         .heat_max_c_per_min = 3,
                         .cool_max_c_per_min = 3,
                         .fill_l_per_min = 800,
                         .drain_l_per_min = 1000,
                         .rinse_l_per_min = 300,
                         .tank_l = 800,
                         .tank_flow_l_per_min = 100,
                         .tank_prepare_min = 4,
                         .tank_water = MDR_TANK_FRESH,
                         .load_time_min = 20,
                         .unload_time_min = 15,
                         .power_kw = 18};
}

mdr_article kit_article(void)
{
    return (mdr_article){.article_id = "A1",
                         .name = "Test jersey",
                         .construction = MDR_KNIT_SINGLE_JERSEY,
                         .yarn_ne = 30,
                         .loop_mm = 2.8,
                         .gauge_per_inch = 24,
                         .diameter_inch = 30,
                         .feeders = 90,
                         .grey_gsm = 160,
                         .grey_width_cm = 180,
                         .finished_gsm = 165,
                         .finished_width_cm = 175,
                         .shrink_length_max_pct = 5,
                         .shrink_width_max_pct = 5,
                         .spirality_max_pct = 5,
                         .retained_l_per_kg = 2.5,
                         .finish_line = MDR_LINE_OPEN,
                         .remark = ""};
}

mdr_site kit_site(void)
{
    return (mdr_site){.name = "Test mill",
                      .currency = "EUR",
                      .invented = true,
                      .cold_water_c = 15,
                      .hot_water_c = 60,
                      .cooling_water_c = 18,
                      .room_c = 25,
                      .hardness_dh = 3,
                      .steam_barg = 4,
                      .water_minor_per_m3 = 180,
                      .effluent_minor_per_m3 = 240,
                      .steam_minor_per_t = 3800,
                      .power_minor_per_mwh = 14000};
}

#define SOLID(id, sub, strength, sol, price)                                                 \
    {                                                                                        \
        .material_id = id, .name = "Test " id, .group = "test", .substance = sub,            \
        .form = MDR_FORM_POWDER, .strength_pct = strength, .solubility_g_per_l = sol,        \
        .price_minor_per_kg = price, .stock_kg = 5000, .salt_table = "", .alkali_table = "", \
        .swatch = "", .remark = ""                                                           \
    }
#define LIQUID(id, sub, strength, be, density, price)                               \
    {                                                                               \
        .material_id = id, .name = "Test " id, .group = "test", .substance = sub,   \
        .form = MDR_FORM_LIQUID, .strength_pct = strength, .baume = be,             \
        .density_kg_per_l = density, .price_minor_per_kg = price, .stock_kg = 5000, \
        .salt_table = "", .alkali_table = "", .swatch = "", .remark = ""            \
    }

static const mdr_material SALT = SOLID("salt", MDR_SUB_NA2SO4, 100, 200, 30);
static const mdr_material GLAUBER10 = SOLID("glauber10", MDR_SUB_NA2SO4, 44.0844, 300, 20);
static const mdr_material SODA = SOLID("soda", MDR_SUB_NA2CO3, 100, 150, 40);
static const mdr_material DITHIONITE = SOLID("dithionite", MDR_SUB_DITHIONITE, 88, 150, 160);
static const mdr_material CAUSTIC = LIQUID("caustic", MDR_SUB_NAOH, 50, 0, 1.5253, 45);
static const mdr_material CAUSTIC38 = LIQUID("caustic38be", MDR_SUB_NAOH, 0, 38, 0, 35);
static const mdr_material PEROXIDE = LIQUID("peroxide", MDR_SUB_H2O2, 50, 0, 1.196, 70);
static const mdr_material ACID = LIQUID("acid", MDR_SUB_HAC, 80, 0, 1.07, 90);
static const mdr_material SOAP = LIQUID("soap", MDR_SUB_OTHER, 30, 0, 1.05, 210);
static const mdr_material DYE = {.material_id = "dye",
                                 .name = "Test dye",
                                 .is_dye = true,
                                 .dye_class = MDR_CLASS_REACTIVE,
                                 .group = "test",
                                 .substance = MDR_SUB_DYE,
                                 .form = MDR_FORM_POWDER,
                                 .strength_pct = 100,
                                 .solubility_g_per_l = 80,
                                 .price_minor_per_kg = 900,
                                 .stock_kg = 500,
                                 .salt_table = "T-SALT",
                                 .alkali_table = "T-SODA",
                                 .cautions = 1u << MDR_CAUTION_DUST,
                                 .swatch = "#204080",
                                 .remark = ""};

const mdr_material *const kit_materials[] = {&SALT,      &GLAUBER10, &SODA, &DITHIONITE, &CAUSTIC,
                                             &CAUSTIC38, &PEROXIDE,  &ACID, &SOAP,       &DYE};
const int kit_materials_count = (int)(sizeof kit_materials / sizeof kit_materials[0]);

static const mdr_dose_band SALT_BANDS[] = {{0.5, 20}, {1.5, 40}, {3, 60}, {100, 80}};
static const mdr_dose_band SODA_BANDS[] = {{0.5, 5}, {1.5, 10}, {3, 15}, {100, 20}};
static const mdr_dose_table SALT_TABLE = {.table_id = "T-SALT",
                                          .title = "Salt",
                                          .source = "invented for tests",
                                          .bands = SALT_BANDS,
                                          .n_bands = 4};
static const mdr_dose_table SODA_TABLE = {.table_id = "T-SODA",
                                          .title = "Soda",
                                          .source = "invented for tests",
                                          .bands = SODA_BANDS,
                                          .n_bands = 4};
const mdr_dose_table *const kit_tables[] = {&SALT_TABLE, &SODA_TABLE};
const int kit_tables_count = 2;

const mdr_material *kit_material(const char *material_id)
{
    for (int i = 0; i < kit_materials_count; i++) {
        if (strcmp(kit_materials[i]->material_id, material_id) == 0) {
            return kit_materials[i];
        }
    }
    return NULL;
}

void kit_lot_make(kit_lot *out, double kg, double ratio_l_per_kg, bool white)
{
    out->article = kit_article();
    out->dyes[0] = (mdr_recipe_dye){&DYE, 2.0};
    out->shade = (mdr_shade){.shade_id = "S1",
                             .name = "Test shade",
                             .dye_class = white ? MDR_CLASS_NONE : MDR_CLASS_REACTIVE,
                             .lab_l = 40,
                             .lab_a = 5,
                             .lab_b = -30,
                             .tolerance_de = 1,
                             .dyes = out->dyes,
                             .n_dyes = white ? 0 : 1};
    out->roll[0] = (mdr_roll){"R1", 22.0};
    out->lot = (mdr_lot){.lot_id = "L1",
                         .order_id = "O1",
                         .customer = "Test",
                         .article = &out->article,
                         .shade = &out->shade,
                         .rolls = out->roll,
                         .n_rolls = 1,
                         .weighed_kg = kg,
                         .ratio_l_per_kg = ratio_l_per_kg,
                         .stage = MDR_LOT_READY};
}

mdr_route_step kit_fill(double temp_c)
{
    return (mdr_route_step){
        .kind = MDR_STEP_FILL, .note = "", .has_temp = temp_c > 0, .temp_c = temp_c};
}

mdr_route_step kit_heat(double temp_c, double rate_c_per_min)
{
    return (mdr_route_step){.kind = MDR_STEP_HEAT,
                            .note = "",
                            .has_temp = true,
                            .temp_c = temp_c,
                            .rate_c_per_min = rate_c_per_min};
}

mdr_route_step kit_cool(double temp_c, double rate_c_per_min)
{
    return (mdr_route_step){.kind = MDR_STEP_COOL,
                            .note = "",
                            .has_temp = true,
                            .temp_c = temp_c,
                            .rate_c_per_min = rate_c_per_min};
}

mdr_route_step kit_hold(double minutes)
{
    return (mdr_route_step){.kind = MDR_STEP_HOLD, .note = "", .minutes = minutes};
}

mdr_route_step kit_rinse(double minutes, double flow_l_per_min)
{
    return (mdr_route_step){
        .kind = MDR_STEP_RINSE, .note = "", .minutes = minutes, .flow_l_per_min = flow_l_per_min};
}

mdr_route_step kit_drain(void)
{
    return (mdr_route_step){.kind = MDR_STEP_DRAIN, .note = ""};
}

mdr_route_step kit_dose(const mdr_route_item *item, double minutes)
{
    return (mdr_route_step){.kind = MDR_STEP_DOSE,
                            .note = "",
                            .minutes = minutes,
                            .items = item,
                            .n_items = 1,
                            .share_pct = 100};
}

mdr_route_item kit_item(const char *material_id, mdr_basis basis, double amount)
{
    return (mdr_route_item){
        .material_id = material_id, .basis = basis, .amount = amount, .table_id = ""};
}
