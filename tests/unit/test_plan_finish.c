/* The finishing of a plan: settings and fabric against mdr_line_settle, which reckons them another
 * way; what stays, stays. */
#include "t.h"

#include "plan_finish_kit.h"

enum { RANDOM_LOTS = 10000 };

static void open_width(void **state)
{
    (void)state;
    bench b;
    ready(&b, false);
    run(&b);
    assert_non_null(b.f);
    assert_true(b.f->feasible && b.f->met && !b.f->tube);
    assert_int_equal(b.f->from, MDR_RELAXED_SAMPLES);
    CHECK_NEAR(val(&b, b.f->relaxed_courses_per_cm), 19.8, 1e-12, "D: mean of the samples");
    CHECK_NEAR(val(&b, b.f->relaxed_gsm), 163, 1e-12, "D: mean of the samples");
    CHECK_NEAR(val(&b, b.f->relaxed_width_cm), 2262 / 15.1, 1e-9, "D: 2262 needles");
    CHECK_NEAR(val(&b, b.f->finished_kg), 460, 1e-9, "D: 8 % of 500 kg are lost");
    CHECK_NEAR(val(&b, b.f->outcome[MDR_DEMAND_SPIRALITY].value), 3.2, 1e-12, "D: of two samples");
    assert_string_equal(b.f->passes[2].machine->finisher_id,
                        "ST"); /* the narrow one is too narrow */
    expect_settled(&b);
    expect_kept(&b);
    /* the last pass ends at the aim */
    CHECK_NEAR(val(&b, b.f->passes[3].width_cm), val(&b, b.f->aim_width_cm), 1e-9, "D: the aim");
    CHECK_NEAR(val(&b, b.f->passes[3].conditioned_gsm), val(&b, b.f->aim_gsm), 1e-9, "D: the aim");
    over(&b);
}

static void tubular(void **state)
{
    (void)state;
    bench b;
    ready(&b, true);
    run(&b);
    assert_non_null(b.f);
    assert_true(b.f->tube);
    expect_settled(&b);
    expect_kept(&b);
    const mdr_plan_pass *spread = &b.f->passes[1];
    CHECK_NEAR(val(&b, spread->set_layflat_cm), val(&b, spread->set_width_cm) / 2, 1e-12,
               "D: half");
    CHECK_NEAR(val(&b, spread->layflat_cm), val(&b, spread->width_cm) / 2, 1e-12, "D: half");
    CHECK_NEAR(val(&b, spread->moisture_pct), val(&b, b.f->passes[0].moisture_pct), 0, "D: stays");
    assert_true(spread->evaporated_kg == MDR_FIG_NONE);
    CHECK_NEAR(val(&b, b.f->passes[2].evaporated_kg), val(&b, b.f->dry_kg) * 0.83, 1e-9,
               "D: 90 to 7 %");
    over(&b);
}

static double between(double low, double high)
{
    return low + (high - low) * ((double)rand() / (double)RAND_MAX); /* NOLINT: a test's dice */
}

/* Met demands are met, missed ones are off; every lot is settled as mdr_line_settle would. */
static void random_lots(void **state)
{
    (void)state;
    int feasible = 0, met = 0;
    srand(11); /* NOLINT */
    for (int i = 0; i < RANDOM_LOTS; i++) {
        bench b;
        ready(&b, i % 2 == 1);
        mdr_wash_sample sample = SAMPLES[0];
        sample.courses_per_cm = between(8, 30);
        sample.wales_per_cm = between(9, 22);
        sample.gsm = between(90, 350);
        b.article.samples = &sample;
        b.article.n_samples = 1;
        const double width_cm = 2262 / sample.wales_per_cm;
        b.article.finished_width_cm = width_cm * between(0.97, 1.12);
        b.article.finished_gsm = sample.gsm * between(0.82, 1.02);
        b.article.shrink_length_max_pct = between(2, 10);
        b.article.shrink_width_max_pct = between(2, 10);
        b.article.width_tol_cm = between(0.5, 5);
        b.article.gsm_tol_pct = between(1, 8);
        run(&b);
        expect_settled(&b);
        expect_kept(&b);
        feasible += b.f->feasible ? 1 : 0;
        met += b.f->met ? 1 : 0;
        assert_true(b.f->feasible || !b.f->met); /* what cannot be met is not met */
        assert_int_equal(warned(&b, MDR_WARN_SPEC_CLASH), b.f->feasible ? 0 : 1);
        for (int k = 0; k < (int)MDR_DEMAND_SPIRALITY; k++) {
            const mdr_plan_outcome *o = &b.f->outcome[k];
            const double v = val(&b, o->value), hair = 1e-7;
            assert_true(o->off > 0   ? fabs(v - o->high - o->off) < hair
                        : o->off < 0 ? fabs(v - o->low - o->off) < hair
                                     : v >= o->low - hair && v <= o->high + hair);
        }
        over(&b);
    }
    print_message("%d lots: %d could be met, %d are\n", RANDOM_LOTS, feasible, met);
    assert_true(feasible > RANDOM_LOTS / 10 && feasible < RANDOM_LOTS * 9 / 10 && met > 100);
}

/* Every figure can be found by its key, and a key leads to one figure. */
static void keys(void **state)
{
    (void)state;
    bench b;
    ready(&b, true);
    run(&b);
    const mdr_figs *figs = &b.plan->figs;
    assert_true(mdr_fig_find(figs, "finish.relaxed_gsm") == b.f->relaxed_gsm);
    assert_true(mdr_fig_find(figs, "pass.2.set_layflat_cm") == b.f->passes[1].set_layflat_cm);
    assert_true(mdr_fig_find(figs, "pass.4.overfeed_pct") == b.f->passes[3].overfeed_pct);
    assert_true(mdr_fig_find(figs, "wash_sample.W2.gsm") != MDR_FIG_NONE);
    assert_true(mdr_fig_find(figs, "finisher.TC.overfeed_max_pct") != MDR_FIG_NONE);
    for (mdr_fig_id i = 0; i < figs->count; i++) {
        char key[128];
        if (mdr_fig_at(figs, i)->rule >= 0) {
            (void)mdr_fig_key(figs, i, key, sizeof key);
            if (mdr_fig_find(figs, key) != i) {
                fail_msg("two figures are called %s", key);
            }
        }
    }
    over(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(open_width),
        cmocka_unit_test(tubular),
        cmocka_unit_test(random_lots),
        cmocka_unit_test(keys),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
