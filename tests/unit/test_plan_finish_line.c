/* The finishing of a plan: limits of machines, machines that are missing, lines that cannot work. */
#include "t.h"

#include "plan_finish_kit.h"

static void machines(void **state)
{
    (void)state;
    bench b;
    ready(&b, false); /* none at all: usual settings, no limits, no speed */
    b.in.n_finishers = 0;
    run(&b);
    assert_true(b.f->met);
    assert_int_equal(warned(&b, MDR_WARN_FINISHER_NONE), 4);
    assert_true(b.f->passes[2].speed_m_per_min == MDR_FIG_NONE);
    expect_kept(&b);
    over(&b);
    ready(&b, false); /* a stenter too narrow for the cloth: the width is missed, and said */
    mdr_finisher few[N_OF(FINISHERS)];
    memcpy(few, FINISHERS, sizeof few);
    few[3].width_max_cm = 120;
    b.in.finishers = few;
    run(&b);
    assert_true(b.f->feasible && !b.f->met);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_WIDTH), 1);
    assert_true(warned(&b, MDR_WARN_FINISH_MISS) >= 1);
    assert_true(b.f->outcome[MDR_DEMAND_WIDTH].off < 0);
    over(&b);
    memcpy(few, FINISHERS,
           sizeof few); /* the gripping pass at its limit: the compactor takes over */
    few[3].overfeed_min_pct = few[3].overfeed_pct = few[3].overfeed_max_pct = 7;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_OVERFEED), 1);
    assert_true(b.f->met);
    expect_settled(&b);
    over(&b);
    memcpy(few, FINISHERS, sizeof few); /* a stenter that leaves it wet spoils the compacting */
    few[3].moisture_out_pct = 30;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_COMPACT_MOISTURE), 1);
    over(&b);
    memcpy(few, FINISHERS, sizeof few); /* a padder drier than what comes in */
    few[1].moisture_out_pct = 60;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_MOISTURE), 1);
    CHECK_NEAR(val(&b, b.f->passes[1].moisture_pct), 84, 0, "D: as it came");
    over(&b);
    memcpy(few, FINISHERS, sizeof few); /* drier than this air ever makes it */
    few[3].moisture_out_pct = 1;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_DRYING), 1);
    over(&b);
    memcpy(few, FINISHERS, sizeof few); /* an oven that would take days: not in one pass */
    for (size_t i = 0; i < N_OF(few); i++) {
        if (few[i].kind == (int)MDR_PASS_STENTER) {
            few[i].oven_m = 0.1;
            few[i].h_w_per_m2_k = 5;
        }
    }
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_DRYING), 1);
    over(&b);
}

static void routes(void **state)
{
    (void)state;
    static const mdr_route_pass RAISED[] = {{.kind = MDR_ROUTE_PASS_SLIT, .note = ""},
                                            {.kind = MDR_ROUTE_PASS_HEAT_SET, .note = ""},
                                            {.kind = MDR_ROUTE_PASS_BRUSH, .note = ""},
                                            {.kind = MDR_ROUTE_PASS_COMPACT, .note = ""}};
    static const mdr_route_pass LOOSE[] = {{.kind = MDR_ROUTE_PASS_SLIT, .note = ""}};
    bench b;
    ready(&b, false);
    b.route.passes = RAISED;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_RAISED), 1);
    assert_true(b.f->passes[2].width_cm == b.f->passes[1].width_cm && !b.f->passes[2].shapes);
    CHECK_NEAR(val(&b, b.f->passes[1].dwell_s), 35, 0, "P: 30 to 45 s");
    assert_true(b.f->met);
    expect_kept(&b);
    const double set_m_per_min = val(&b, b.f->passes[1].speed_m_per_min);
    over(&b);
    ready(&b, false);
    run(&b); /* without the dwell it runs faster */
    assert_true(val(&b, b.f->passes[2].speed_m_per_min) > set_m_per_min);
    over(&b);
    ready(&b, false);
    b.route.passes = LOOSE;
    b.route.n_passes = 1;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_UNSET), 2);
    over(&b);
    ready(&b, false);
    b.route.n_passes = 0;
    run(&b);
    assert_null(b.f);
    over(&b);
    ready(&b, false);
    b.article.loop_mm = 0;
    run(&b);
    assert_null(b.f);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_LACKS), 1);
    over(&b);
}

/* Lines that cannot work are told apart from lines that miss. */
static void odd_lines(void **state)
{
    (void)state;
    static const mdr_route_pass WET[] = {{.kind = MDR_ROUTE_PASS_SLIT, .note = ""},
                                         {.kind = MDR_ROUTE_PASS_STENTER, .note = ""},
                                         {.kind = MDR_ROUTE_PASS_PAD, .note = ""}};
    static const mdr_route_pass SET_DRY[] = {{.kind = MDR_ROUTE_PASS_SLIT, .note = ""},
                                             {.kind = MDR_ROUTE_PASS_STENTER, .note = ""},
                                             {.kind = MDR_ROUTE_PASS_HEAT_SET, .note = ""},
                                             {.kind = MDR_ROUTE_PASS_COMPACT, .note = ""}};
    bench b;
    ready(&b, false); /* padded last and not dried: not finished */
    b.route.passes = WET;
    b.route.n_passes = 3;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_WET), 1);
    assert_true(!b.f->met);
    over(&b);
    ready(&b, false); /* set dry: the dwell still holds the speed down */
    b.route.passes = SET_DRY;
    mdr_finisher few[N_OF(FINISHERS)];
    memcpy(few, FINISHERS, sizeof few);
    few[3].oven_m = 6;
    few[3].speed_m_per_min = few[3].speed_max_m_per_min = 60;
    b.in.finishers = few;
    run(&b);
    const double m_per_min = val(&b, b.f->passes[2].speed_m_per_min);
    assert_true(60 * 6 / m_per_min >= 35); /* in the oven for longer than the dwell */
    assert_true(m_per_min > 0.5);
    over(&b);
    few[3].h_w_per_m2_k = 0; /* nobody knows how it heats: said */
    run(&b);
    assert_true(warned(&b, MDR_WARN_FINISH_DRYING) >= 1);
    over(&b);
    ready(&b, true); /* a tube on the line of open fabric */
    b.route.passes = OPEN;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_LINE), 1);
    over(&b);
    ready(&b, false);
    b.route.passes = TUBE;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_LINE), 1);
    over(&b);
    ready(&b, false); /* samples of another loop */
    b.article.loop_mm = 3;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_LOOP), 1);
    over(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(machines),
        cmocka_unit_test(routes),
        cmocka_unit_test(odd_lines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
