/* Salt and alkali from dose tables: how a table is read at a depth and a ratio, which dye's table
 * counts, one salt for another, and what is refused. Bands of the kit: up to 0.5, 1.5, 3 and 100 %
 * owf 20, 40, 60 and 80 g/L of salt, 5, 10, 15 and 20 of soda (invented). */
#include "t.h"

#include <stdio.h>
#include <string.h>

#include "plan_kit.h"

/* One dose by a table into 1000 kg. */
typedef struct ask {
    double depth_pct_owf, ratio_l_per_kg;
    int between, ratio_rule, counted_as, swap;
    const char *product;
    double factor;
} ask;

static const ask PLAIN = {
    2, 8, MDR_BETWEEN_STEP, MDR_RATIO_RULE_NONE, MDR_SUB_OTHER, MDR_SWAP_MASS, "salt", 1};

static mdr_dose_table table;
static mdr_route_item item;

static void set(kit_bench *b, const ask *a)
{
    kit_bench_ready(b, 1000, a->ratio_l_per_kg, MDR_CLASS_REACTIVE);
    table = *kit_tables[0];
    table.between = a->between;
    table.ratio_rule = a->ratio_rule;
    table.counted_as = a->counted_as;
    table.swap = a->swap;
    b->tables[0] = &table;
    b->dyes[0].depth_pct_owf = a->depth_pct_owf;
    item = kit_item(a->product, MDR_BASIS_TABLE, a->factor);
    item.table_id = "T-SALT";
    const mdr_route_step steps[] = {kit_fill(0), kit_dose(&item, 30), kit_drain()};
    kit_bench_bath(b, steps, 3);
}

static double dosed_kg(const ask *a, bool *less)
{
    kit_bench b;
    set(&b, a);
    if (kit_bench_run(&b) != MDR_OK) {
        fail_msg("%s (%s)", b.err.msg, b.err.place);
    }
    *less = kit_bench_warned(&b, MDR_WARN_BAND_LESS) != NULL;
    const mdr_plan_item *dosed = &b.plan->baths[0].steps[1].items[0];
    const double kg = kit_bench_value(&b, dosed->mass_kg);
    const double liquor_l = kit_bench_value(&b, b.plan->baths[0].liquor_l);
    CHECK_NEAR(kit_bench_value(&b, dosed->amount) * liquor_l / 1000,
               kit_bench_value(&b, dosed->active_kg), 1e-9, "D: the amount is that of the dose");
    kit_bench_free(&b);
    return kg;
}

#define KG(want, src, ...)                                                                      \
    do {                                                                                        \
        ask a_ = PLAIN;                                                                         \
        bool less_ = false;                                                                     \
        __VA_ARGS__;                                                                            \
        CHECK_NEAR(dosed_kg(&a_, &less_), (want), 1e-4 * (want), (src));                        \
        assert_int_equal(less_,                                                                 \
                         a_.ratio_rule == MDR_RATIO_RULE_BAND_LESS && a_.ratio_l_per_kg < 6.0); \
    } while (0)

static void by_depth(void **state)
{
    (void)state;
    KG(60 * 8, "D: the band of 2 %", (void)0);
    KG(40 * 8, "D: a band holds its upper end", a_.depth_pct_owf = 1.5);
    /* the amounts stand at 0.25, 1, 2.25 and 3 % */
    KG(56 * 8, "D: 40 + 20 x (2 - 1)/1.25", a_.between = MDR_BETWEEN_LINEAR);
    KG(20 * 8, "D: constant before the first", a_.between = MDR_BETWEEN_LINEAR;
       a_.depth_pct_owf = 0.2);
    KG(80 * 8, "D: and from the last on", a_.between = MDR_BETWEEN_LINEAR; a_.depth_pct_owf = 7);
    KG(70 * 8, "D: 60 + 20 x (2.625 - 2.25)/0.75", a_.between = MDR_BETWEEN_LINEAR;
       a_.depth_pct_owf = 2.625);
    KG(0.9 * 60 * 8, "D: the route's factor", a_.factor = 0.9);
}

static void short_ratio(void **state)
{
    (void)state;
    KG(40 * 5.9, "P: one band less below 6 L/kg", a_.ratio_l_per_kg = 5.9;
       a_.ratio_rule = MDR_RATIO_RULE_BAND_LESS);
    KG(60 * 6, "P: not at 6", a_.ratio_l_per_kg = 6; a_.ratio_rule = MDR_RATIO_RULE_BAND_LESS);
    KG(60 * 5.9, "D: not when the table does not say so", a_.ratio_l_per_kg = 5.9);
    KG(36 * 5.9, "D: 20 + 20 x (2 - 1)/1.25", a_.ratio_l_per_kg = 5.9;
       a_.ratio_rule = MDR_RATIO_RULE_BAND_LESS; a_.between = MDR_BETWEEN_LINEAR);
}

/* Anhydrous masses; a decahydrate weighs 322.20/142.04 times as much. */
static void one_salt_for_another(void **state)
{
    (void)state;
    static const double SODIUM = 142.042 / (2 * 58.443), IONIC = 142.042 / (3 * 58.443);
    const struct {
        int counted_as, swap;
        const char *product;
        double factor;
    } rows[] = {{MDR_SUB_NACL, MDR_SWAP_MASS, "salt", 1},
                {MDR_SUB_NACL, MDR_SWAP_SODIUM, "salt", SODIUM},
                {MDR_SUB_NACL, MDR_SWAP_IONIC, "salt", IONIC},
                {MDR_SUB_NA2SO4, MDR_SWAP_MASS, "nacl", 1},
                {MDR_SUB_NA2SO4, MDR_SWAP_SODIUM, "nacl", 1 / SODIUM},
                {MDR_SUB_NA2SO4, MDR_SWAP_IONIC, "nacl", 1 / IONIC},
                {MDR_SUB_NA2SO4, MDR_SWAP_IONIC, "salt", 1},
                {MDR_SUB_NA2SO4, MDR_SWAP_IONIC, "glauber10", 100 / 44.0844},
                {MDR_SUB_NACL, MDR_SWAP_SODIUM, "glauber10", SODIUM * 100 / 44.0844},
                {MDR_SUB_OTHER, MDR_SWAP_SODIUM, "nacl", 1},
                {MDR_SUB_NA2CO3, MDR_SWAP_MASS, "soda", 1}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        KG(480 * rows[i].factor, "D: docs/methods/salt-and-alkali.md#one-salt-for-another",
           a_.counted_as = rows[i].counted_as;
           a_.swap = rows[i].swap; a_.product = rows[i].product);
    }
    CHECK_NEAR(100 / 44.0844, 2.2684, 5e-5, "D: 322.20/142.04");
    KG(480 * SODIUM * 0.5, "D: swapped, then the factor", a_.counted_as = MDR_SUB_NACL;
       a_.swap = MDR_SWAP_SODIUM; a_.factor = 0.5);
}

static void refused(const ask *a, double last_pct_owf, mdr_code code, const char *field)
{
    kit_bench b;
    set(&b, a);
    const mdr_dose_band bands[] = {{0.5, 20}, {last_pct_owf, 40}};
    table.bands = bands;
    table.n_bands = last_pct_owf > 0 ? 2 : 0;
    assert_int_equal(kit_bench_run(&b), code);
    if (code != MDR_OK) {
        char place[80];
        (void)snprintf(place, sizeof place, "bath 1 \"Bath\", step 2, item 1, %s", field);
        assert_string_equal(b.err.place, place);
        assert_true(b.err.value[0] != '\0' && b.err.allowed[0] != '\0' && b.err.remedy[0] != '\0');
        assert_null(b.plan);
    }
    kit_bench_free(&b);
}

static void refusals(void **state)
{
    (void)state;
    ask a = PLAIN;
    refused(&a, 1.9, MDR_E_RANGE, "table_id");
    refused(&a, 0, MDR_E_RANGE, "table_id"); /* no bands at all */
    refused(&a, 2, MDR_OK, "");
    a.depth_pct_owf = 0.1 + 0.2; /* binary: a hair above 0.3 */
    kit_bench b;
    set(&b, &a);
    const mdr_dose_band edge = {0.3, 20};
    table.bands = &edge;
    table.n_bands = 1;
    assert_int_equal(kit_bench_run(&b), MDR_OK);
    kit_bench_free(&b);
    a = PLAIN;
    a.counted_as = MDR_SUB_NACL;
    a.product = "soda";
    refused(&a, 100, MDR_E_CONFLICT, "material_id");
    a.counted_as = MDR_SUB_NA2CO3;
    a.product = "salt";
    refused(&a, 100, MDR_E_CONFLICT, "material_id");
    a.product = "caustic";
    a.counted_as = MDR_SUB_NACL;
    refused(&a, 100, MDR_E_CONFLICT, "material_id");
}

/* -- which dye's table -- */

static mdr_route_item dye_item;

/* Two dyes, the second with the other table (20 to 80 instead of 5 to 20 g/L). */
static mdr_code two_dyes(kit_bench *b, mdr_material *other, double first, double second)
{
    kit_bench_ready(b, 1000, 8, MDR_CLASS_REACTIVE);
    b->dyes[0] = (mdr_recipe_dye){kit_material("dye"), first};
    b->dyes[1] = (mdr_recipe_dye){other, second};
    b->lot.shade.n_dyes = 2;
    dye_item = kit_item("soda", MDR_BASIS_DYE_TABLE, 1);
    dye_item.dye_table = MDR_DYE_TABLE_ALKALI;
    const mdr_route_step steps[] = {kit_fill(0), kit_dose(&dye_item, 30), kit_drain()};
    kit_bench_bath(b, steps, 3);
    return kit_bench_run(b);
}

/* The deepest decides, unless a phthalocyanine has at least 30 % of the shade. */
static void which_dye_decides(void **state)
{
    (void)state;
    const struct {
        const char *base;
        double first, second, g_per_l; /* 2 % in all: 15 of T-SODA, 60 of T-SALT */
    } rows[] = {{"dye", 1.2, 0.8, 15},
                {"dye", 0.8, 1.2, 60},
                {"turquoise", 1.2, 0.8, 60},
                {"turquoise", 1.4, 0.6, 60},
                {"turquoise", 1.42, 0.58, 15}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        kit_bench b;
        mdr_material other = *kit_material(rows[i].base);
        other.material_id = "other";
        other.alkali_table = "T-SALT";
        assert_int_equal(two_dyes(&b, &other, rows[i].first, rows[i].second), MDR_OK);
        CHECK_NEAR(kit_bench_value(&b, b.plan->baths[0].steps[1].items[0].active_kg),
                   rows[i].g_per_l * 8, 1e-9, "P: who decides");
        assert_non_null(kit_bench_warned(&b, MDR_WARN_TABLES_DIFFER));
        kit_bench_free(&b);
    }
    kit_bench b;
    mdr_material same = *kit_material("dye");
    same.material_id = "other";
    assert_int_equal(two_dyes(&b, &same, 1, 1), MDR_OK);
    assert_null(kit_bench_warned(&b, MDR_WARN_TABLES_DIFFER));
    kit_bench_free(&b);
    same.alkali_table = "";
    assert_int_equal(two_dyes(&b, &same, 0.5, 1.5), MDR_E_NOTFOUND);
    assert_string_equal(b.err.place, "bath 1 \"Bath\", step 2, item 1, dye_table");
    assert_string_equal(b.err.value, "other");
    kit_bench_free(&b);
}

/* Each of the two tables of a dye by its name. */
static void salt_or_alkali(void **state)
{
    (void)state;
    for (int salt = 0; salt < 2; salt++) {
        kit_bench b;
        kit_bench_ready(&b, 1000, 8, MDR_CLASS_REACTIVE);
        dye_item = kit_item(salt == 1 ? "salt" : "soda", MDR_BASIS_DYE_TABLE, 1);
        dye_item.dye_table = salt == 1 ? MDR_DYE_TABLE_SALT : MDR_DYE_TABLE_ALKALI;
        const mdr_route_step steps[] = {kit_fill(0), kit_dose(&dye_item, 30), kit_drain()};
        kit_bench_bath(&b, steps, 3);
        assert_int_equal(kit_bench_run(&b), MDR_OK);
        CHECK_NEAR(kit_bench_value(&b, b.plan->baths[0].steps[1].items[0].active_kg),
                   salt == 1 ? 480 : 120, 1e-9, "D: 60 and 15 g/L in 8000 L");
        kit_bench_free(&b);
    }
}

static void no_dyes(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_NONE);
    dye_item = kit_item("soda", MDR_BASIS_DYE_TABLE, 1);
    const mdr_route_step steps[] = {kit_fill(0), kit_dose(&dye_item, 30), kit_drain()};
    kit_bench_bath(&b, steps, 3);
    assert_int_equal(kit_bench_run(&b), MDR_E_CONFLICT);
    assert_string_equal(b.err.place, "bath 1 \"Bath\", step 2, item 1, basis");
    kit_bench_free(&b);
}

/* Chloride with a phthalocyanine, and neither alone. */
static void chloride(void **state)
{
    (void)state;
    for (int i = 0; i < 4; i++) {
        kit_bench b;
        kit_bench_ready(&b, 1000, 8, MDR_CLASS_REACTIVE);
        b.dyes[1] = (mdr_recipe_dye){kit_material((i & 1) != 0 ? "turquoise" : "dye"), 0.1};
        mdr_material second = *b.dyes[1].dye;
        second.material_id = "second";
        b.dyes[1].dye = &second;
        b.lot.shade.n_dyes = 2;
        dye_item = kit_item((i & 2) != 0 ? "nacl" : "salt", MDR_BASIS_DYE_TABLE, 1);
        dye_item.dye_table = MDR_DYE_TABLE_SALT;
        const mdr_route_step steps[] = {kit_fill(0), kit_dose(&dye_item, 30), kit_drain()};
        kit_bench_bath(&b, steps, 3);
        assert_int_equal(kit_bench_run(&b), MDR_OK);
        const mdr_warn *w = kit_bench_warned(&b, MDR_WARN_CHLORIDE);
        assert_int_equal(w != NULL, i == 3);
        assert_true(w == NULL || (w->at.bath == 1 && w->at.step == 2 && w->at.item == 1));
        kit_bench_free(&b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(by_depth),
                                       cmocka_unit_test(short_ratio),
                                       cmocka_unit_test(one_salt_for_another),
                                       cmocka_unit_test(refusals),
                                       cmocka_unit_test(which_dye_decides),
                                       cmocka_unit_test(salt_or_alkali),
                                       cmocka_unit_test(no_dyes),
                                       cmocka_unit_test(chloride)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
