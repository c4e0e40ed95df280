/* Every fault that a route can have by itself, made one at a time in a route that is in order. */
#include "route_bench_kit.h"

static const char LONG[] = /* 310 bytes */
    "0123456789012345678901234567890123456789012345678901234567890123456789012345678901234567890123"
    "4567890123456789012345678901234567890123456789012345678901234567890123456789012345678901234567"
    "8901234567890123456789012345678901234567890123456789012345678901234567890123456789012345678901"
    "2345678901234567890123456789";

#define CASE(name, ...)        \
    static void name(bench *b) \
    {                          \
        __VA_ARGS__            \
    }

CASE(nothing, (void)b;)
CASE(no_id, b->route.route_id = "";)
CASE(bad_id, b->route.route_id = "a b";)
CASE(no_name, b->route.name = "";)
CASE(two_lines, b->route.name = "a\nb";)
CASE(long_name, b->route.name = LONG;)
CASE(version_0, b->route.version = 0;)
CASE(no_stages, b->route.n_stages = 0;)
CASE(many_passes, b->route.n_passes = MDR_ROUTE_PASSES_MAX + 1;)
CASE(long_pass, b->passes[0].note = LONG;)
static void check_pass(bench *b, mdr_route_pass_kind kind, mdr_check_kind check, double high)
{
    b->passes[0].kind = kind;
    b->passes[0].has_check = true;
    b->passes[0].check = (mdr_route_check){
        .kind = check, .has_high = true, .high = high, .method = "", .remedy = ""};
}

CASE(check_of_ph_behind, check_pass(b, MDR_ROUTE_PASS_STENTER, MDR_CHECK_PH, 7);)
CASE(check_behind_no_dryer, check_pass(b, MDR_ROUTE_PASS_COMPACT, MDR_CHECK_MOISTURE, 9);)
CASE(check_behind_too_high, check_pass(b, MDR_ROUTE_PASS_DRY, MDR_CHECK_MOISTURE, 301);)
CASE(check_behind_no_limit, check_pass(b, MDR_ROUTE_PASS_HEAT_SET, MDR_CHECK_MOISTURE, 9);
     b->passes[0].check.has_high = false;)
CASE(moisture_of_a_bath, b->steps[CHECK].check.kind = MDR_CHECK_MOISTURE;)
CASE(same_names, b->stages[1].name = b->stages[0].name;)
CASE(no_baths, b->stages[0].n_baths = 0;)
CASE(half_taken, b->stages[0].n_baths = 0; b->stages[0].from_stage = "S";)
CASE(taken_from_nowhere, b->stages[0].n_baths = 0; b->stages[0].from_route = "R2";)
CASE(no_steps, b->baths[0].n_steps = 0;)
CASE(no_bath_name, b->baths[0].name = "";)
CASE(long_note, b->steps[HOLD].note = LONG;)

CASE(fill_nan, b->steps[FILL].temp_c = (double)NAN;)
CASE(fill_cold, b->steps[FILL].temp_c = 0;)
CASE(fill_ratio, b->steps[FILL].ratio_l_per_kg = 41;)
CASE(fill_ratio_below_0, b->steps[FILL].ratio_l_per_kg = -8;)
CASE(fill_level, b->steps[FILL].level_l = 50001;)
CASE(fill_twice_told, b->steps[FILL].level_l = 4000; b->steps[FILL].ratio_l_per_kg = 8;)
CASE(heat_nowhere, b->steps[HEAT].has_temp = false;)
CASE(heat_too_hot, b->steps[HEAT].temp_c = 140.5;)
CASE(heat_backwards, b->steps[HEAT].temp_c = 39;)
CASE(heat_rate, b->steps[HEAT].rate_c_per_min = 11;)
CASE(heat_rate_below_0, b->steps[HEAT].rate_c_per_min = -1;)
CASE(cool_upwards, b->steps[HEAT].kind = MDR_STEP_COOL;)
CASE(hold_inf, b->steps[HOLD].minutes = HUGE_VAL;)
CASE(hold_days, b->steps[HOLD].minutes = 1441;)
CASE(hold_elsewhere, b->steps[HOLD].has_temp = true; b->steps[HOLD].temp_c = 61;)
CASE(hold_there, b->steps[HOLD].has_temp = true; b->steps[HOLD].temp_c = 60;)
CASE(rinse_flow, b->steps[RINSE].flow_l_per_min = 10001;)
CASE(rinse_no_time, b->steps[RINSE].minutes = 0;)
CASE(unload_days, b->last[0].minutes = 1441;)

CASE(dose_nothing, b->steps[DOSE].n_items = 0;)
CASE(dose_many, b->steps[DOSE].n_items = MDR_ROUTE_ITEMS_MAX + 1;)
CASE(dose_twelve, b->steps[DOSE].n_items = MDR_ROUTE_ITEMS_MAX;)
CASE(dose_no_time, b->steps[DOSE].minutes = 0;)
CASE(dose_no_share, b->steps[DOSE].share_pct = 0;)
CASE(dose_share, b->steps[DOSE].share_pct = 100.5;)
CASE(dose_offset, b->steps[DOSE].offset_min = 5;)
CASE(dose_beside, b->steps[DOSE].with_next = true; b->steps[DOSE].offset_min = 5;)
CASE(dose_outlives, b->steps[DOSE].with_next = true; b->steps[DOSE].minutes = 44;)
CASE(dose_just_fits, b->steps[DOSE].with_next = true; b->steps[DOSE].minutes = 43;)
CASE(curve_flat, b->steps[DOSE].curve = MDR_CURVE_PROGRESSIVE; b->steps[DOSE].exponent = 1;)
CASE(curve_up, b->steps[DOSE].curve = MDR_CURVE_DEGRESSIVE; b->steps[DOSE].exponent = 1;)
CASE(curve_nan, b->steps[DOSE].curve = MDR_CURVE_DEGRESSIVE; b->steps[DOSE].exponent = (double)NAN;)
CASE(one_portion, b->steps[DOSE].curve = MDR_CURVE_PORTIONS; b->steps[DOSE].portions = 1;)
CASE(many_portions, b->steps[DOSE].curve = MDR_CURVE_PORTIONS; b->steps[DOSE].portions = 21;)
CASE(item_no_id, b->items[0].material_id = "";)
CASE(item_amount, b->items[0].amount = 501;)
CASE(item_below_0, b->items[0].amount = -1;)
CASE(item_pct, b->items[0].basis = MDR_BASIS_PCT_OWF; b->items[0].amount = 100.5;)
CASE(item_factor, b->items[0].basis = MDR_BASIS_NEUTRALISE; b->items[0].amount = 11;)
CASE(need_below_0, b->items[0].basis = MDR_BASIS_SEQUESTER; b->items[0].amount = -1;)
CASE(need_of_nothing, b->items[0].basis = MDR_BASIS_CATALASE; b->items[0].amount = 0;)
CASE(need_too_much, b->items[0].basis = MDR_BASIS_OXIDISE; b->items[0].amount = 10.5;)
CASE(need_ten_times, b->items[0].basis = MDR_BASIS_OXIDISE; b->items[0].amount = 10;)
CASE(need_no_id, b->items[0] = kit_item("", MDR_BASIS_SEQUESTER, 1);)
CASE(ph_least, b->items[0] = kit_item("acid", MDR_BASIS_NEUTRALISE, 1); b->items[0].to_ph = 3;)
CASE(ph_most, ph_least(b); b->items[0].to_ph = 9;)
CASE(ph_usual, ph_least(b); b->items[0].to_ph = 0;)
CASE(ph_low, ph_least(b); b->items[0].to_ph = 2.99;)
CASE(ph_high, ph_least(b); b->items[0].to_ph = 9.01;)
CASE(ph_below_0, ph_least(b); b->items[0].to_ph = -1;)
CASE(ph_nan, ph_least(b); b->items[0].to_ph = (double)NAN;)
/* the same acid coarse before the enzyme and fine after it */
static void twice_neutralised(bench *b, double first_ph, double second_ph)
{
    for (int i = 0; i < 2; i++) {
        b->items[i] = kit_item("acid", MDR_BASIS_NEUTRALISE, 1);
        b->items[i].to_ph = i == 0 ? first_ph : second_ph;
    }
    b->steps[MORE] = kit_dose(&b->items[1], 5);
}
CASE(two_ph, twice_neutralised(b, 7, 6.5);)
CASE(same_ph, twice_neutralised(b, 5.5, 5.5);)
CASE(same_ph_unsaid, twice_neutralised(b, 0, MDR_ROUTE_TO_PH);)
CASE(item_no_table, b->items[0].basis = MDR_BASIS_TABLE; b->items[0].amount = 1;)
CASE(item_recipe_id, b->items[0].basis = MDR_BASIS_RECIPE; b->items[0].amount = 1;)
CASE(item_recipe_white, b->items[0] = kit_item("", MDR_BASIS_RECIPE, 1);
     b->route.dye_class = MDR_CLASS_NONE;)
CASE(shares, b->steps[MORE] = b->steps[DOSE]; b->steps[DOSE].share_pct = 60;
     b->steps[MORE].share_pct = 41;)
CASE(shares_fit, b->steps[MORE] = b->steps[DOSE]; b->steps[DOSE].share_pct = 60;
     b->steps[MORE].share_pct = 40;)

CASE(check_crossed, b->steps[CHECK].check.low = 7;)
CASE(check_below, b->steps[CHECK].check.low = -0.5;)
CASE(check_above, b->steps[CHECK].check.high = 14.5;)
CASE(check_nan, b->steps[CHECK].check.high = (double)NAN;)
CASE(check_idle, b->steps[CHECK].check.has_low = b->steps[CHECK].check.has_high = false;)
CASE(check_sample, b->steps[CHECK].check.kind = MDR_CHECK_SAMPLE;
     b->steps[CHECK].check.has_low = b->steps[CHECK].check.has_high = false;)
CASE(check_one_value, b->steps[CHECK].check.low = 6.5;)
CASE(check_no_time, b->steps[CHECK].minutes = 0;)
CASE(check_long, b->steps[CHECK].check.remedy = LONG;)

CASE(dry, b->baths[0].steps++; b->baths[0].n_steps--;)
CASE(taken_but_dry, dry(b); b->stages[0].from_route = "R2"; b->stages[0].from_stage = "S";)
CASE(fill_late, b->steps[MORE] = b->steps[FILL];)
CASE(after_drain, b->steps[MORE] = b->steps[DRAIN];)
CASE(after_unload, b->steps[MORE] = b->last[0];)
CASE(not_drained, b->baths[0].n_steps--; b->last[0] = b->steps[FILL]; b->last[1] = kit_drain();
     b->baths[1].n_steps = 2;)
CASE(drained_and_unloaded, b->steps[MORE] = b->steps[DRAIN]; b->steps[DRAIN] = b->last[0];)

#define S(n, field) "stages[0].baths[0].steps[" #n "]." field
#define I(field)    S(1, "items[0]." field)
#define OK(make)          \
    {                     \
#make, make, NULL \
    }
#define AT(make, at)    \
    {                   \
#make, make, at \
    }

/* Limits: common practice (src/core/plan/mdr_route_check_step.c); order and sums: derived. */
static const struct {
    const char *name;
    void (*make)(bench *b);
    const char *place; /* of the first fault; NULL: none */
} CASES[] = {
    OK(nothing),
    AT(no_id, "route_id"),
    AT(bad_id, "route_id"),
    AT(no_name, "name"),
    AT(two_lines, "name"),
    AT(long_name, "name"),
    AT(version_0, "version"),
    AT(no_stages, "stages"),
    AT(many_passes, "passes"),
    AT(long_pass, "passes[0].note"),
    AT(check_of_ph_behind, "passes[0].check.kind"),
    AT(check_behind_no_dryer, "passes[0].check"),
    AT(check_behind_too_high, "passes[0].check.high"),
    AT(check_behind_no_limit, "passes[0].check"),
    AT(moisture_of_a_bath, S(4, "check.kind")),
    AT(same_names, "stages[1].name"),
    AT(no_baths, "stages[0].baths"),
    AT(half_taken, "stages[0].from_route"),
    AT(taken_from_nowhere, "stages[0].from_stage"),
    AT(no_steps, "stages[0].baths[0].steps"),
    AT(no_bath_name, "stages[0].baths[0].name"),
    AT(long_note, S(3, "note")),
    AT(fill_nan, S(0, "temp_c")),
    AT(fill_cold, S(0, "temp_c")),
    AT(fill_ratio, S(0, "ratio_l_per_kg")),
    AT(fill_ratio_below_0, S(0, "ratio_l_per_kg")),
    AT(fill_level, S(0, "level_l")),
    AT(fill_twice_told, S(0, "level_l")),
    AT(heat_nowhere, S(2, "temp_c")),
    AT(heat_too_hot, S(2, "temp_c")),
    AT(heat_backwards, S(2, "temp_c")),
    AT(heat_rate, S(2, "rate_c_per_min")),
    AT(heat_rate_below_0, S(2, "rate_c_per_min")),
    AT(cool_upwards, S(2, "temp_c")),
    AT(hold_inf, S(3, "minutes")),
    AT(hold_days, S(3, "minutes")),
    AT(hold_elsewhere, S(3, "temp_c")),
    OK(hold_there),
    AT(rinse_flow, S(5, "flow_l_per_min")),
    AT(rinse_no_time, S(5, "minutes")),
    AT(unload_days, "stages[1].baths[0].steps[0].minutes"),
    AT(dose_nothing, S(1, "items")),
    AT(dose_many, S(1, "items")),
    OK(dose_twelve),
    AT(dose_no_time, S(1, "minutes")),
    AT(dose_no_share, S(1, "share_pct")),
    AT(dose_share, S(1, "share_pct")),
    AT(dose_offset, S(1, "offset_min")),
    OK(dose_beside),
    AT(dose_outlives, S(1, "minutes")), /* 20 K at 2 K/min, 20 + 3 + 5 + 5 min: 43 */
    OK(dose_just_fits),
    AT(curve_flat, S(1, "curve.exponent")),
    AT(curve_up, S(1, "curve.exponent")),
    AT(curve_nan, S(1, "curve.exponent")),
    AT(one_portion, S(1, "curve.portions")),
    AT(many_portions, S(1, "curve.portions")),
    AT(item_no_id, I("material_id")),
    AT(item_amount, I("amount")),
    AT(item_below_0, I("amount")),
    AT(item_pct, I("amount")),
    AT(item_factor, I("amount")),
    AT(need_below_0, I("amount")),
    AT(need_of_nothing, I("amount")),
    AT(need_too_much, I("amount")),
    OK(need_ten_times),
    AT(need_no_id, I("material_id")),
    OK(ph_least),
    OK(ph_most),
    OK(ph_usual),
    AT(ph_low, I("to_ph")),
    AT(ph_high, I("to_ph")),
    AT(ph_below_0, I("to_ph")),
    AT(ph_nan, I("to_ph")),
    OK(two_ph),
    AT(same_ph, S(6, "share_pct")),
    AT(same_ph_unsaid, S(6, "share_pct")),
    AT(item_no_table, I("table_id")),
    AT(item_recipe_id, I("material_id")),
    AT(item_recipe_white, I("basis")),
    AT(shares, S(6, "share_pct")),
    OK(shares_fit),
    AT(check_crossed, S(4, "check.low")),
    AT(check_below, S(4, "check.low")),
    AT(check_above, S(4, "check.high")),
    AT(check_nan, S(4, "check.high")),
    AT(check_idle, S(4, "check")),
    OK(check_sample),
    OK(check_one_value),
    AT(check_no_time, S(4, "minutes")),
    AT(check_long, S(4, "check.remedy")),
    AT(dry, S(0, "do")),
    AT(taken_but_dry, S(0, "do")), /* baths that are there are looked at, wherever from */
    AT(fill_late, S(6, "do")),
    AT(after_drain, S(7, "do")),
    AT(after_unload, S(7, "do")),
    AT(not_drained, "stages[1].baths[0].steps[0].do"),
    OK(drained_and_unloaded),
};

static void one_fault_at_a_time(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(CASES); i++) {
        static bench b;
        mdr_arena *arena = mdr_arena_new(ARENA);
        assert_non_null(arena);
        mdr_err_list found = mdr_err_list_make(arena, 50);
        mdr_err err = {.code = MDR_OK};
        set_up_bench(&b);
        CASES[i].make(&b);
        const mdr_code rc = mdr_route_check_all(&b.route, &found, &err);
        const mdr_code want = CASES[i].place != NULL ? MDR_E_RANGE : MDR_OK;
        if (rc != want) {
            fail_msg("%s: %s at %s: %s", CASES[i].name, mdr_code_id(rc), err.place, err.msg);
        }
        if (rc != MDR_OK) {
            if (strcmp(err.place, CASES[i].place) != 0) {
                fail_msg("%s: at %s, want %s", CASES[i].name, err.place, CASES[i].place);
            }
            assert_true(err.msg[0] != '\0' && (err.allowed[0] != '\0' || err.remedy[0] != '\0'));
            assert_true(found.count >= 1 && strcmp(found.items[0].place, err.place) == 0);
            assert_int_equal(mdr_route_check_all(&b.route, NULL, NULL), MDR_E_RANGE);
        }
        assert_int_equal(found.total == 0, rc == MDR_OK);
        mdr_arena_free(arena);
    }
}

/* Faults that have nothing to do with each other are all found at once. */
static void all_at_once(void **state)
{
    (void)state;
    static bench b;
    mdr_arena *arena = mdr_arena_new(ARENA);
    assert_non_null(arena);
    mdr_err_list found = mdr_err_list_make(arena, 50);
    set_up_bench(&b);
    no_name(&b);
    fill_ratio(&b);
    item_amount(&b);
    heat_rate(&b);
    hold_days(&b);
    check_crossed(&b);
    unload_days(&b);
    long_pass(&b);
    assert_int_equal(mdr_route_check_all(&b.route, &found, NULL), MDR_E_RANGE);
    assert_int_equal(found.total, 8);
    mdr_arena_free(arena);
}

static bool is_found(const mdr_err_list *found, const char *msg, const char *where)
{
    for (int i = 0; i < found->count; i++) {
        if (strcmp(found->items[i].msg, msg) == 0 && strstr(found->items[i].place, where) != NULL) {
            return true;
        }
    }
    return false;
}

/* Where nothing was filled, what works in liquor is refused, one kind as the other. */
static void nothing_works_in_an_empty_vessel(void **state)
{
    (void)state;
    static const int WET[] = {DOSE, HEAT, HOLD, RINSE, DRAIN};
    static bench b;
    for (size_t i = 0; i <= N_OF(WET); i++) {
        mdr_arena *arena = mdr_arena_new(ARENA);
        mdr_err_list found = mdr_err_list_make(arena, 50);
        set_up_bench(&b);
        b.steps[FILL] = i < N_OF(WET) ? b.steps[WET[i]] : kit_cool(30, 2);
        assert_int_equal(mdr_route_check_all(&b.route, &found, NULL), MDR_E_RANGE);
        assert_true(is_found(&found, "there is no liquor in the vessel", "steps[0]"));
        mdr_arena_free(arena);
    }
}

/* What a check looks at has limits; exactly on them is still possible. */
static void every_check_at_its_limits(void **state)
{
    (void)state;
    for (int kind = MDR_CHECK_PH; kind <= (int)MDR_CHECK_SAMPLE; kind++) {
        static bench b;
        set_up_bench(&b);
        mdr_route_check *c = &b.steps[CHECK].check;
        c->kind = (mdr_check_kind)kind;
        if (kind == MDR_CHECK_MOISTURE) {
            continue; /* of a pass */
        }
        c->low = mdr_check_least(c->kind);
        c->high = mdr_check_most(c->kind);
        if (kind == MDR_CHECK_SAMPLE) { /* 0 and 1 are all there is: both may not pass */
            assert_int_equal(mdr_route_check_all(&b.route, NULL, NULL), MDR_E_RANGE);
            c->low = c->high;
        }
        assert_int_equal(mdr_route_check_all(&b.route, NULL, NULL), MDR_OK);
        c->high = mdr_check_most(c->kind) * 1.001;
        assert_int_equal(mdr_route_check_all(&b.route, NULL, NULL), MDR_E_RANGE);
        c->high = mdr_check_most(c->kind);
        c->low = mdr_check_least(c->kind) - 0.001;
        assert_int_equal(mdr_route_check_all(&b.route, NULL, NULL), MDR_E_RANGE);
    }
}

/* Where the fabric is dried in air its moisture can be checked. */
static void moisture_behind_a_dryer(void **state)
{
    (void)state;
    int n = 0;
    for (int kind = MDR_ROUTE_PASS_SLIT; kind <= (int)MDR_ROUTE_PASS_SPREAD; kind++) {
        static bench b;
        set_up_bench(&b);
        check_pass(&b, (mdr_route_pass_kind)kind, MDR_CHECK_MOISTURE, 300);
        const bool in_order = mdr_route_check_all(&b.route, NULL, NULL) == MDR_OK;
        assert_int_equal(in_order, mdr_route_pass_dries((mdr_route_pass_kind)kind));
        n += in_order ? 1 : 0;
    }
    assert_int_equal(n, 3);
}

/* A need is met whole, whichever it is; every other amount may be given in parts. */
static void needs_are_whole(void **state)
{
    (void)state;
    for (int basis = MDR_BASIS_G_PER_L; basis <= (int)MDR_BASIS_OXIDISE; basis++) {
        static bench b;
        set_up_bench(&b);
        const bool recipe = basis == (int)MDR_BASIS_RECIPE;
        const bool need = basis == (int)MDR_BASIS_NEUTRALISE || basis == (int)MDR_BASIS_SEQUESTER ||
                          basis == (int)MDR_BASIS_CATALASE || basis == (int)MDR_BASIS_OXIDISE;
        b.items[0] = kit_item(recipe ? "" : "stuff", (mdr_basis)basis, 1);
        b.items[0].table_id = "T";
        assert_int_equal(mdr_route_check_all(&b.route, NULL, NULL), MDR_OK);
        b.steps[DOSE].share_pct = 99.5;
        mdr_err err = {.code = MDR_OK};
        const mdr_code rc = mdr_route_check_all(&b.route, NULL, &err);
        assert_int_equal(rc, need ? MDR_E_RANGE : MDR_OK);
        if (need) {
            assert_string_equal(err.place, S(1, "share_pct"));
            assert_string_equal(err.value, "99.5 %");
            assert_non_null(strstr(err.msg, mdr_basis_words((mdr_basis)basis)));
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(one_fault_at_a_time),
                                       cmocka_unit_test(all_at_once),
                                       cmocka_unit_test(nothing_works_in_an_empty_vessel),
                                       cmocka_unit_test(every_check_at_its_limits),
                                       cmocka_unit_test(moisture_behind_a_dryer),
                                       cmocka_unit_test(needs_are_whole)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
