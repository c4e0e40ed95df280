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

static const mdr_material NACL = SOLID("nacl", MDR_SUB_NACL, 100, 300, 15);
static const mdr_material FORMIC = LIQUID("formic", MDR_SUB_FORMIC, 85, 0, 1.195, 95);
static const mdr_material CITRIC = SOLID("citric", MDR_SUB_CITRIC, 100, 500, 120);
static const mdr_material SULPHURIC = LIQUID("sulphuric", MDR_SUB_H2SO4, 50, 0, 1.395, 20);
#define HOLDS(id, sub, capacity, acid)                                                     \
    {                                                                                      \
        .material_id = id, .name = "Test " id, .group = "test", .substance = sub,          \
        .form = MDR_FORM_LIQUID, .strength_pct = 100, .density_kg_per_l = 1.1,             \
        .capacity_mg_per_g = capacity, .acid_mol_per_kg = acid, .price_minor_per_kg = 150, \
        .stock_kg = 5000, .salt_table = "", .alkali_table = "", .swatch = "", .remark = "" \
    }
static const mdr_material SEQ = HOLDS("seq", MDR_SUB_SEQUESTRANT, 120, 0);
static const mdr_material DEMIN = HOLDS("demin", MDR_SUB_SEQUESTRANT, 90, 3);
static const mdr_material CATALASE = HOLDS("catalase", MDR_SUB_CATALASE, 1500, 0);
#define COLOUR(id, its_class, its_group, its_nature, salt, alkali)                                 \
    {                                                                                              \
        .material_id = id, .name = "Test " id, .is_dye = true, .dye_class = its_class,             \
        .group = its_group, .substance = MDR_SUB_DYE, .form = MDR_FORM_POWDER,                     \
        .strength_pct = 100, .solubility_g_per_l = 80, .price_minor_per_kg = 900, .stock_kg = 500, \
        .nature = its_nature, .salt_table = salt, .alkali_table = alkali, .swatch = "#204080",     \
        .remark = ""                                                                               \
    }
static const mdr_material TURQUOISE =
    COLOUR("turquoise", MDR_CLASS_REACTIVE, "test", MDR_NATURE_PHTHALOCYANINE, "T-SALT", "T-SODA");
static const mdr_material VAT_IN = COLOUR("vat-in", MDR_CLASS_VAT, "IN", MDR_NATURE_USUAL, "", "");
static const mdr_material VAT_IW = COLOUR("vat-iw", MDR_CLASS_VAT, "IW", MDR_NATURE_USUAL, "", "");
static const mdr_material DIRECT_A =
    COLOUR("direct-a", MDR_CLASS_DIRECT, "A", MDR_NATURE_USUAL, "T-SALT", "");
static const mdr_material DIRECT_B =
    COLOUR("direct-b", MDR_CLASS_DIRECT, "B", MDR_NATURE_USUAL, "T-SALT", "");
static const mdr_material DIRECT_C =
    COLOUR("direct-c", MDR_CLASS_DIRECT, "C", MDR_NATURE_USUAL, "T-SALT", "");

const mdr_material *const kit_materials[] = {
    &SALT,     &GLAUBER10, &SODA,   &DITHIONITE, &CAUSTIC,  &CAUSTIC38, &PEROXIDE, &ACID,
    &SOAP,     &DYE,       &NACL,   &FORMIC,     &CITRIC,   &SULPHURIC, &SEQ,      &DEMIN,
    &CATALASE, &TURQUOISE, &VAT_IN, &VAT_IW,     &DIRECT_A, &DIRECT_B,  &DIRECT_C};
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

void kit_bench_ready(kit_bench *b, double kg, double ratio_l_per_kg, mdr_dye_class dye_class)
{
    memset(b, 0, sizeof *b);
    b->machine = kit_machine();
    b->site = kit_site();
    kit_lot_make(&b->lot, kg, ratio_l_per_kg, dye_class == MDR_CLASS_NONE);
    b->lot.shade.dye_class = (int)dye_class;
    b->dyes[0] = (mdr_recipe_dye){dye_class == MDR_CLASS_VAT      ? &VAT_IN
                                  : dye_class == MDR_CLASS_DIRECT ? &DIRECT_A
                                                                  : &DYE,
                                  2.0};
    b->lot.shade.dyes = b->dyes;
    for (int i = 0; i < kit_materials_count; i++) {
        b->materials[b->n_materials++] = kit_materials[i];
    }
    for (int i = 0; i < kit_tables_count; i++) {
        b->tables[b->n_tables++] = kit_tables[i];
    }
    b->stages[0] = (mdr_route_stage){.kind = MDR_STAGE_DYEING,
                                     .name = "Test",
                                     .from_route = "",
                                     .from_stage = "",
                                     .baths = b->baths};
    b->route = (mdr_route){.route_id = "R1",
                           .name = "Test",
                           .purpose = "",
                           .version = 1,
                           .dye_class = dye_class,
                           .stages = b->stages,
                           .n_stages = 1};
    b->arena = mdr_arena_new(16u << 20);
}

void kit_bench_stage(kit_bench *b, mdr_stage_kind kind)
{
    if (b->stages[b->route.n_stages - 1].n_baths > 0) {
        b->stages[b->route.n_stages++] = b->stages[0];
    }
    mdr_route_stage *s = &b->stages[b->route.n_stages - 1];
    s->kind = kind;
    s->baths = &b->baths[b->n_baths];
    s->n_baths = 0;
}

void kit_bench_bath(kit_bench *b, const mdr_route_step *steps, int n)
{
    mdr_route_step *mine = MDR_NEW_N(b->arena, mdr_route_step, (size_t)n);
    memcpy(mine, steps, (size_t)n * sizeof *mine);
    b->baths[b->n_baths++] = (mdr_route_bath){.name = "Bath", .steps = mine, .n_steps = n};
    b->stages[b->route.n_stages - 1].n_baths++;
}

mdr_code kit_bench_run(kit_bench *b)
{
    const mdr_plan_in in = {.lot = &b->lot.lot,
                            .machine = &b->machine,
                            .route = &b->route,
                            .site = &b->site,
                            .materials = b->materials,
                            .n_materials = b->n_materials,
                            .tables = b->tables,
                            .n_tables = b->n_tables};
    b->plan = NULL;
    return mdr_plan_make(&in, b->arena, &b->plan, &b->err);
}

void kit_bench_free(kit_bench *b)
{
    mdr_arena_free(b->arena);
}

double kit_bench_value(const kit_bench *b, mdr_fig_id id)
{
    return mdr_fig_value(&b->plan->figs, id);
}

const mdr_warn *kit_bench_warned(const kit_bench *b, mdr_warn_id id)
{
    for (int i = 0; i < b->plan->n_warns; i++) {
        if (b->plan->warns[i].id == id) {
            return &b->plan->warns[i];
        }
    }
    return NULL;
}

mdr_route_step kit_check(mdr_check_kind kind, double low, double high)
{
    return (mdr_route_step){.kind = MDR_STEP_CHECK,
                            .note = "",
                            .minutes = 3,
                            .check = {.kind = kind,
                                      .has_low = low >= 0,
                                      .low = low,
                                      .has_high = high >= 0,
                                      .high = high,
                                      .method = "",
                                      .remedy = ""}};
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
