/* Limits, verdicts, scales, portions, solutions, the queue and the stock. */
#include "t.h"

#include <stdlib.h>
#include <string.h>

#include "core/run/mdr_weigh.h"

#define KG INT64_C(1000000)
#define G  INT64_C(1000)
enum { DAY_MS = 86400000, MIN_MS = 60000 };
#define NOW (INT64_C(20783) * DAY_MS)

static const mdr_weigh_class DYES = {
    .class_id = "D", .tolerance_pct = 0.5, .tolerance_g = 0.5, .least_divisions = 100};

/* -- limits and verdicts ---------------------------------------------------------------------- */

static void windows(void **state)
{
    (void)state;
    static const struct {
        double pct, g;
        int64_t target, low, high; /* D: by hand */
    } ROWS[] = {
        {0.5, 0.5, 100 * G, 99500, 100500}, /* both the same */
        {0.5, 0.5, 50 * G, 49500, 50500},   /* grams */
        {0.5, 0.5, 200 * G, 199000, 201000},
        {0.5, 0, 333, 332, 334}, /* 1.665 mg: whole milligrams inside */
        {0, 0, 5, 5, 5},
        {0.1, 0, 1, 1, 1},
        {0, 1, 200, 1, 1200},                  /* nothing at all is never within */
        {0.7, 0, 1000 * G, 993 * G, 1007 * G}, /* 0.7 % in binary is less than 0.7 % */
        {100, 0, MDR_WEIGH_MOST_MG, 1, 2 * MDR_WEIGH_MOST_MG},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_weigh_class c = {.tolerance_pct = ROWS[i].pct, .tolerance_g = ROWS[i].g};
        const mdr_weigh_window w = mdr_weigh_window_of(&c, ROWS[i].target);
        assert_int_equal(w.low_mg, ROWS[i].low);
        assert_int_equal(w.high_mg, ROWS[i].high);
    }
    assert_int_equal(mdr_weigh_window_of(&DYES, 0).high_mg, 0);
    assert_int_equal(mdr_weigh_window_of(&DYES, MDR_WEIGH_MOST_MG + 1).high_mg, 0);
}

static mdr_weigh_judged judge(const mdr_weigh_class *c, const mdr_scale *s, int64_t target,
                              int64_t net)
{
    mdr_weigh_judged j;
    mdr_err err = {0};
    assert_int_equal(mdr_weigh_judge(c, s, target, net, &j, &err), MDR_OK);
    return j;
}

static void verdicts(void **state)
{
    (void)state;
    static const struct {
        int64_t net;
        mdr_weigh_verdict want; /* D: 200 g +- 1 g */
    } ROWS[] = {{198999, MDR_WEIGH_BELOW},  {199000, MDR_WEIGH_WITHIN}, {200000, MDR_WEIGH_WITHIN},
                {201000, MDR_WEIGH_WITHIN}, {201001, MDR_WEIGH_ABOVE},  {1, MDR_WEIGH_BELOW}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_weigh_judged j = judge(&DYES, NULL, 200 * G, ROWS[i].net);
        assert_int_equal(j.verdict, ROWS[i].want);
        assert_int_equal(j.off_mg, ROWS[i].net - 200 * G);
        CHECK_NEAR(j.off_pct, (double)(ROWS[i].net - 200000) / 2000.0, 1e-12, "D");
        assert_int_equal(j.needs_reason, ROWS[i].want != MDR_WEIGH_WITHIN);
        assert_int_equal(j.needs_second, ROWS[i].want == MDR_WEIGH_ABOVE);
        assert_false(j.too_fine);
    }
    mdr_weigh_class strict = DYES;
    strict.two_persons = true;
    assert_true(judge(&strict, NULL, 200 * G, 200 * G).needs_second);
    const mdr_scale coarse = {.division_g = 2, .capacity_kg = 60}, good = {.division_g = 1};
    assert_true(judge(&DYES, &coarse, 200 * G, 200 * G).too_fine);
    assert_false(judge(&DYES, &good, 200 * G, 200 * G).too_fine);
}

static void refused_masses(void **state)
{
    (void)state;
    mdr_weigh_judged j = {.off_mg = 7};
    mdr_err err = {0};
    assert_int_equal(mdr_weigh_judge(&DYES, NULL, 0, 5, &j, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "target_mg");
    assert_int_equal(mdr_weigh_judge(&DYES, NULL, 5, 0, &j, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "mass_mg");
    assert_int_equal(mdr_weigh_judge(&DYES, NULL, 5, -1, &j, &err), MDR_E_RANGE);
    assert_int_equal(mdr_weigh_judge(&DYES, NULL, 5, MDR_WEIGH_MOST_MG + 1, &j, &err), MDR_E_RANGE);
    assert_int_equal(j.off_mg, 7);
}

static void reasons_and_second_persons(void **state)
{
    (void)state;
    const mdr_weigh_judged right = judge(&DYES, NULL, 200 * G, 200 * G);
    const mdr_weigh_judged above = judge(&DYES, NULL, 200 * G, 210 * G);
    const mdr_weigh_judged below = judge(&DYES, NULL, 200 * G, 190 * G);
    mdr_err err = {0};
    assert_int_equal(mdr_weigh_may_store(&right, NULL, &err), MDR_OK);
    assert_int_equal(mdr_weigh_may_store(&above, "lumps", &err), MDR_OK);
    assert_int_equal(mdr_weigh_may_store(&above, " \t", &err), MDR_E_ARG);
    assert_string_equal(err.place, "text");
    assert_non_null(strstr(err.msg, "too much"));
    assert_string_equal(err.allowed, "199000 to 201000 mg");
    assert_int_equal(mdr_weigh_may_store(&below, NULL, &err), MDR_E_ARG);
    assert_non_null(strstr(err.msg, "too little"));
    assert_int_equal(mdr_weigh_may_check("ann", "bob", &err), MDR_OK);
    assert_int_equal(mdr_weigh_may_check("ann", "ann", &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, "by");
    assert_int_equal(mdr_weigh_may_check("ann", "", &err), MDR_E_ARG);
    assert_int_equal(mdr_weigh_may_check("ann", NULL, &err), MDR_E_ARG);
    assert_string_equal(err.place, "by");
}

/* -- scales ----------------------------------------------------------------------------------- */

static void errors_of_a_scale(void **state)
{
    (void)state;
    const mdr_scale s = {.division_g = 1, .capacity_kg = 15};
    static const struct {
        int64_t mass;
        double want_mg;
    } ROWS[] = {{1, 500},       {500 * G, 500},     {500 * G + 1, 1000},
                {2 * KG, 1000}, {2 * KG + 1, 1500}, {10 * KG, 1500}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        CHECK_NEAR(mdr_scale_error_mg(&s, ROWS[i].mass, false), ROWS[i].want_mg, 1e-9,
                   "S, second-hand: OIML R76 class III, from memory of its table 6");
        CHECK_NEAR(mdr_scale_error_mg(&s, ROWS[i].mass, true), 2 * ROWS[i].want_mg, 1e-9,
                   "S, second-hand: twice in service");
    }
    const mdr_scale fine = {.division_g = 0.1, .interval_g = 1, .capacity_kg = 6};
    CHECK_NEAR(mdr_scale_error_mg(&fine, 100 * G, false), 500, 1e-9, "D: by e, not d");
}

static void room_and_verification(void **state)
{
    (void)state;
    mdr_scale s = {.capacity_kg = 30, .container_kg = 1.4, .division_g = 1};
    assert_int_equal(mdr_scale_room_mg(&s), 28600000);
    s.container_kg = 31;
    assert_int_equal(mdr_scale_room_mg(&s), 0);
    assert_false(mdr_scale_verified(&s, NOW));
    s.verified_until_utc_ms = NOW; /* that whole day */
    assert_true(mdr_scale_verified(&s, NOW + DAY_MS - 1));
    assert_false(mdr_scale_verified(&s, NOW + DAY_MS));
}

/* I: a weigh room: a balance, a bench scale, a floor scale. */
static mdr_scale room[] = {
    {.scale_id = "F", .capacity_kg = 300, .container_kg = 20, .division_g = 100},
    {.scale_id = "A", .capacity_kg = 3.2, .container_kg = 0.2, .division_g = 0.1},
    {.scale_id = "B", .capacity_kg = 32, .container_kg = 2, .division_g = 2},
};

static mdr_weigh_ask ask(int64_t target)
{
    for (size_t i = 0; i < N_OF(room); i++) {
        room[i].verified_until_utc_ms = NOW + 100 * (int64_t)DAY_MS;
    }
    return (mdr_weigh_ask){.target_mg = target,
                           .class = &DYES,
                           .scales = room,
                           .n_scales = N_OF(room),
                           .now_utc_ms = NOW,
                           .dissolves_g_per_kg = 80,
                           .tank_kg = 100};
}

static void the_finest_that_carries(void **state)
{
    (void)state;
    static const struct {
        int64_t target;
        int scale;
    } ROWS[] = {{10 * G, 1},  {3 * KG, 1},      {3 * KG + 1, 2},
                {30 * KG, 2}, {30 * KG + 1, 0}, {280 * KG, 0}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_weigh_ask a = ask(ROWS[i].target);
        const mdr_weigh_way w = mdr_weigh_way_of(&a);
        assert_int_equal(w.kind, MDR_WEIGH_ONCE);
        assert_int_equal(w.scale, ROWS[i].scale);
        assert_int_equal(w.portion_mg, ROWS[i].target);
        assert_true(!w.few_divisions && !w.unverified && w.portions == 1);
    }
    /* D: 280 kg are 2800 e: 1.5 e, twice, is 300 g of 1400 g; 3.001 kg are 1501 e: 4 g of 15 g */
    mdr_weigh_ask a = ask(280 * KG);
    assert_int_equal(mdr_weigh_way_of(&a).error_mg, 300 * G);
    assert_false(mdr_weigh_way_of(&a).unsure);
    a = ask(31 * KG); /* 310 e: 100 g of 155 g */
    assert_int_equal(mdr_weigh_way_of(&a).error_mg, 100 * G);
    a.class = &(mdr_weigh_class){.tolerance_pct = 0.1, .least_divisions = 100};
    assert_true(mdr_weigh_way_of(&a).unsure);
}

static void portions(void **state)
{
    (void)state;
    mdr_weigh_ask a = ask(500 * KG);
    mdr_weigh_way w = mdr_weigh_way_of(&a);
    assert_int_equal(w.kind, MDR_WEIGH_PORTIONS);
    assert_int_equal(w.scale, 0);
    assert_int_equal(w.portions, 2);
    assert_int_equal(w.portion_mg, 250 * KG);
    assert_int_equal(w.error_mg, 2 * 300 * G); /* D: each 2500 e */
    a = ask(280 * KG + 1);
    w = mdr_weigh_way_of(&a);
    assert_int_equal(w.portions, 2);
    assert_true(w.portion_mg * w.portions >= a.target_mg);
    a = ask(280 * KG * MDR_WEIGH_PORTIONS_MAX);
    assert_int_equal(mdr_weigh_way_of(&a).portions, MDR_WEIGH_PORTIONS_MAX);
    a.target_mg++;
    w = mdr_weigh_way_of(&a);
    assert_int_equal(w.kind, MDR_WEIGH_NO_SCALE);
    assert_int_equal(w.scale, -1);
    a = ask(5 * G);
    a.n_scales = 0;
    assert_int_equal(mdr_weigh_way_of(&a).kind, MDR_WEIGH_NO_SCALE);
}

static void solutions(void **state)
{
    (void)state;
    /* D: 0.4 g, d 0.1 g: at least 10 g. 50 g/kg would be 8 g, 20 g/kg are 20 g; a fifth more than
     * that, with at least 10 g of product: 500 g. */
    mdr_weigh_ask a = ask(400);
    mdr_weigh_way w = mdr_weigh_way_of(&a);
    assert_int_equal(w.kind, MDR_WEIGH_SOLUTION);
    assert_int_equal(w.scale, 1);
    CHECK_NEAR(w.conc_g_per_kg, 20, 1e-12, "D");
    assert_int_equal(w.product_mg, 10 * G);
    assert_int_equal(w.solution_mg, 500 * G);
    assert_int_equal(w.take_mg, 20 * G);
    assert_false(w.few_divisions);
    /* D: errors in service 0.1 g of 10 g, 0.3 g of 500 g (5000 e), 0.1 g of 20 g; of 400 mg */
    assert_int_equal(w.error_mg, 7); /* 400 x (0.01 + 0.0006 + 0.005) = 6.24 */
    /* what does not dissolve well gives a weaker solution */
    a.dissolves_g_per_kg = 5;
    w = mdr_weigh_way_of(&a);
    CHECK_NEAR(w.conc_g_per_kg, 5, 1e-12, "D");
    assert_int_equal(w.take_mg, 80 * G);
    /* no room for the water, or not beforehand: as it is, with a warning */
    a.tank_kg = 0.079;
    w = mdr_weigh_way_of(&a);
    assert_int_equal(w.kind, MDR_WEIGH_ONCE);
    assert_true(w.few_divisions);
    a = ask(400);
    a.dissolves_g_per_kg = 0;
    w = mdr_weigh_way_of(&a);
    assert_true(w.kind == MDR_WEIGH_ONCE && w.few_divisions && w.portion_mg == 400);
    a = ask(9000); /* D: 180 g of 50 g/kg; 200 g would be there, but not a fifth more */
    w = mdr_weigh_way_of(&a);
    assert_true(w.take_mg == 180 * G && w.solution_mg == 500 * G && w.product_mg == 25 * G);
    a = ask(9999);
    assert_int_equal(mdr_weigh_way_of(&a).kind, MDR_WEIGH_SOLUTION);
    a = ask(10000); /* exactly k divisions */
    assert_int_equal(mdr_weigh_way_of(&a).kind, MDR_WEIGH_ONCE);
}

/* Every way gives the target, on a scale that carries it. */
static void ways_give_the_target(void **state)
{
    (void)state;
    int kinds[4] = {0};
    uint64_t seed = 7;
    for (int i = 0; i < 2000; i++) {
        seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
        const double size = (double)(seed >> 40) / 16777216.0; /* 0..1 */
        mdr_weigh_ask a = ask(1 + (int64_t)pow(10, 11 * size));
        a.dissolves_g_per_kg = (double)(seed >> 20 & 0x7F);
        const mdr_weigh_way w = mdr_weigh_way_of(&a);
        kinds[w.kind]++;
        if (w.kind == MDR_WEIGH_NO_SCALE) {
            assert_true(a.target_mg > 20 * 280 * KG);
            continue;
        }
        const int64_t carries = mdr_scale_room_mg(&room[w.scale]);
        assert_true(w.error_mg > 0);
        if (w.kind == MDR_WEIGH_SOLUTION) {
            const double got = (double)w.take_mg * (double)w.product_mg / (double)w.solution_mg;
            CHECK_NEAR(got, (double)a.target_mg, 0.5 * w.conc_g_per_kg / 1000 + 1e-6,
                       "D: take_mg is a whole milligram");
            assert_true(w.conc_g_per_kg <= a.dissolves_g_per_kg);
            assert_true(w.take_mg <= carries && w.solution_mg <= carries);
            assert_true(w.take_mg < w.solution_mg && w.take_mg >= 10 * G && w.product_mg >= 10 * G);
        } else {
            assert_true(w.portion_mg <= carries && w.portion_mg * w.portions >= a.target_mg);
            assert_true(w.portion_mg * (w.portions - 1) < a.target_mg);
        }
    }
    for (int k = 0; k < 4; k++) {
        assert_true(kinds[k] > 20);
    }
}

static void verified_scales_first(void **state)
{
    (void)state;
    mdr_weigh_ask a = ask(2 * KG);
    room[1].verified_until_utc_ms = 0;
    mdr_weigh_way w = mdr_weigh_way_of(&a);
    assert_int_equal(w.scale, 2); /* coarser, but verified */
    assert_false(w.unverified);
    room[2].verified_until_utc_ms = room[0].verified_until_utc_ms = NOW - DAY_MS;
    w = mdr_weigh_way_of(&a);
    assert_int_equal(w.scale, 1);
    assert_true(w.unverified);
    /* in portions: by the largest that is verified, and where none is by the largest */
    a = ask(400 * KG);
    room[0].verified_until_utc_ms = 0;
    w = mdr_weigh_way_of(&a);
    assert_int_equal(w.kind, MDR_WEIGH_PORTIONS);
    assert_int_equal(w.scale, 2);
    assert_int_equal(w.portions, 14); /* D: of 30 kg at most */
    assert_false(w.unverified);
    room[1].verified_until_utc_ms = room[2].verified_until_utc_ms = 0;
    w = mdr_weigh_way_of(&a);
    assert_int_equal(w.kind, MDR_WEIGH_PORTIONS);
    assert_int_equal(w.scale, 0);
    assert_int_equal(w.portions, 2); /* D: of 280 kg at most */
    assert_true(w.unverified);
}

static void what_dissolves(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_weigh_dissolves_g_per_kg(MDR_SUB_DYE, MDR_FORM_POWDER, 80), 80, 0, "D");
    CHECK_NEAR(mdr_weigh_dissolves_g_per_kg(MDR_SUB_NACL, MDR_FORM_CRYSTAL, 300), 200, 0, "P");
    CHECK_NEAR(mdr_weigh_dissolves_g_per_kg(MDR_SUB_OTHER, MDR_FORM_LIQUID, 0), 200, 0, "P");
    CHECK_NEAR(mdr_weigh_dissolves_g_per_kg(MDR_SUB_DITHIONITE, MDR_FORM_POWDER, 200), 0, 0,
               "P: it spoils in water");
}

/* -- queue and stock -------------------------------------------------------------------------- */

static void turns(void **state)
{
    (void)state;
    static const mdr_weigh_turn IN_ORDER[] = {
        {.due_utc_ms = 5, .batch_id = "B2", .step = 9, .item = 9},
        {.due_utc_ms = 6, .batch_id = "B1", .step = 1, .item = 1},
        {.due_utc_ms = 6, .batch_id = "B1", .step = 1, .item = 2},
        {.due_utc_ms = 6, .batch_id = "B1", .step = 2, .item = 1},
        {.due_utc_ms = 6, .batch_id = "B2", .step = 0, .item = 1},
    };
    for (size_t i = 0; i < N_OF(IN_ORDER); i++) {
        for (size_t k = 0; k < N_OF(IN_ORDER); k++) {
            const int by = mdr_weigh_turn_compare(&IN_ORDER[i], &IN_ORDER[k]);
            assert_true(i < k ? by < 0 : i > k ? by > 0 : by == 0);
        }
    }
}

static void when_a_step_is_needed(void **state)
{
    (void)state;
    const mdr_control_step asked[] = {
        {.minutes = 5}, {.minutes = 10}, {.minutes = 90, .beside = true}, {.minutes = 20}, {0}};
    mdr_batch_step steps[5] = {{0}};
    for (int i = 0; i < 5; i++) {
        steps[i] = (mdr_batch_step){.asked = &asked[i], .state = MDR_STEP_WAITS};
    }
    const mdr_batch b = {.steps = steps, .n_steps = 5};
    const int64_t now = NOW;
    assert_int_equal(mdr_weigh_needed_ms(&b, 0, now), now); /* D: nothing has begun */
    assert_int_equal(mdr_weigh_needed_ms(&b, 3, now), now + 15 * MIN_MS);
    assert_int_equal(mdr_weigh_needed_ms(&b, 4, now), now + 35 * MIN_MS);
    steps[0].state = MDR_STEP_DONE;
    steps[0].begun_utc_ms = now - 30 * MIN_MS;
    steps[1].state = MDR_STEP_RUNS;
    steps[1].begun_utc_ms = now - 4 * MIN_MS;
    assert_int_equal(mdr_weigh_needed_ms(&b, 3, now), now + 6 * MIN_MS);
    assert_int_equal(mdr_weigh_needed_ms(&b, 1, now), now - 4 * MIN_MS);
    assert_int_equal(mdr_weigh_needed_ms(&b, 0, now), now - 30 * MIN_MS);
    steps[1].begun_utc_ms = now - 40 * MIN_MS; /* over its time: any moment */
    assert_int_equal(mdr_weigh_needed_ms(&b, 3, now), now);
    steps[1].state = MDR_STEP_LEFT_OUT;
    assert_int_equal(mdr_weigh_needed_ms(&b, 3, now), now);
    assert_int_equal(mdr_weigh_needed_ms(&b, 1, now), now);
    steps[2].state = MDR_STEP_RUNS; /* beside: keeps nobody waiting */
    steps[2].begun_utc_ms = now - MIN_MS;
    assert_int_equal(mdr_weigh_needed_ms(&b, 4, now), now + 20 * MIN_MS);
}

static void stock(void **state)
{
    (void)state;
    static const mdr_stock_need NEEDS[] = {{1000, 30}, {2000, 50}, {3000, 40}, {4000, 5}};
    mdr_stock_view v = mdr_stock_view_of(125, NEEDS, 4);
    assert_true(v.needed_mg == 125 && v.after_mg == 0 && v.short_by_mg == 0);
    assert_int_equal(v.runs_out_utc_ms, 0);
    v = mdr_stock_view_of(119, NEEDS, 4);
    assert_true(v.stock_mg == 119 && v.after_mg == -6 && v.short_by_mg == 6);
    assert_int_equal(v.runs_out_utc_ms, 3000); /* D: 30 + 50 + 40 > 119 */
    v = mdr_stock_view_of(0, NEEDS, 1);
    assert_true(v.runs_out_utc_ms == 1000 && v.short_by_mg == 30);
    v = mdr_stock_view_of(-10, NEEDS, 1); /* booked out more than was booked in */
    assert_true(v.short_by_mg == 40 && v.after_mg == -40);
    v = mdr_stock_view_of(7, NULL, 0);
    assert_true(v.after_mg == 7 && v.runs_out_utc_ms == 0);
}

static void the_usual_class(void **state)
{
    (void)state;
    const mdr_weigh_class c = mdr_weigh_class_usual();
    const mdr_weigh_window w = mdr_weigh_window_of(&c, 500 * G);
    assert_true(w.low_mg == 495 * G && w.high_mg == 505 * G); /* I: as the header says */
    assert_true(c.least_divisions >= 100 && !c.two_persons && c.lead_min >= 30);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(windows),
        cmocka_unit_test(verdicts),
        cmocka_unit_test(refused_masses),
        cmocka_unit_test(reasons_and_second_persons),
        cmocka_unit_test(errors_of_a_scale),
        cmocka_unit_test(room_and_verification),
        cmocka_unit_test(the_finest_that_carries),
        cmocka_unit_test(portions),
        cmocka_unit_test(solutions),
        cmocka_unit_test(ways_give_the_target),
        cmocka_unit_test(verified_scales_first),
        cmocka_unit_test(what_dissolves),
        cmocka_unit_test(turns),
        cmocka_unit_test(when_a_step_is_needed),
        cmocka_unit_test(stock),
        cmocka_unit_test(the_usual_class),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
