/* The finishing of a plan: what the fabric is known by, and demands that clash. */
#include "t.h"

#include "plan_finish_kit.h"

static void without_samples(void **state)
{
    (void)state;
    bench b;
    ready(&b, false);
    b.article.n_samples = 0;
    run(&b);
    assert_int_equal(b.f->from, MDR_RELAXED_TABLE);
    CHECK_NEAR(val(&b, b.f->relaxed_courses_per_cm), 20, 1e-9, "Knapton: 5.5 / 0.275 cm");
    CHECK_NEAR(val(&b, b.f->relaxed_wales_per_cm), 4.2 / 0.275, 1e-9, "Knapton: 4.2 / 0.275 cm");
    assert_int_equal(warned(&b, MDR_WARN_FINISH_TABLE), 1);
    over(&b);
    ready(&b, false); /* another article of its kind was washed */
    mdr_article both[2] = {b.article, b.article};
    both[0].n_samples = 0;
    both[0].loop_mm = 3;
    b.lot.article = &both[0];
    both[1].article_id = "B";
    b.in.articles = both;
    b.in.n_articles = 2;
    run(&b);
    assert_int_equal(b.f->from, MDR_RELAXED_ALIKE);
    assert_int_equal(b.f->n_samples, 3);
    const double kc = (19.8 * 2.75 + 19.6 * 2.77 + 20 * 2.73) / 30;
    CHECK_NEAR(val(&b, b.f->relaxed_courses_per_cm), kc / 0.3, 1e-9, "D: mean of C l over 0.3 cm");
    over(&b);
    both[1].elastane_pct = 5; /* elastane pulls together: not of its kind */
    run(&b);
    assert_int_equal(b.f->from, MDR_RELAXED_TABLE);
    over(&b);
    ready(&b, false); /* a construction that nobody has measured */
    b.article.n_samples = 0;
    b.article.construction = (int)MDR_KNIT_PIQUE;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_INVENTED), 1);
    over(&b);
}

/* What is said to rest on so many samples does. */
static void many_samples(void **state)
{
    (void)state;
    enum { WASHED = 30, TAKEN = 24 };
    mdr_wash_sample washed[WASHED];
    bench b;
    ready(&b, false);
    for (int i = 0; i < WASHED; i++) {
        washed[i] = SAMPLES[0];
    }
    b.article.samples = washed;
    b.article.n_samples = WASHED;
    run(&b);
    assert_int_equal(b.f->n_samples, TAKEN);
    over(&b);
}

static void clash(void **state)
{
    (void)state;
    bench b;
    ready(&b, false);
    b.article.finished_width_cm = 170; /* 149.8 cm relaxed: 11.9 % where 6 % are allowed */
    run(&b);
    assert_true(!b.f->feasible && !b.f->met);
    assert_int_equal(warned(&b, MDR_WARN_SPEC_CLASH), 1);
    assert_true(warned(&b, MDR_WARN_SPEC_GIVE) >= 2); /* the width, or its shrinkage */
    assert_true(warned(&b, MDR_WARN_SPEC_KNIT) >= 1);
    assert_true(b.f->outcome[MDR_DEMAND_ACROSS].off > 0);
    assert_int_equal(warned(&b, MDR_WARN_FINISH_MISS), 0); /* said once */
    over(&b);
}

static void spirality(void **state)
{
    (void)state;
    bench b;
    ready(&b, false);
    b.article.spirality_max_pct = 3;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_SPIRALITY), 1);
    CHECK_NEAR(b.f->outcome[MDR_DEMAND_SPIRALITY].off, 0.2, 1e-12, "D: 3.2 of 3");
    assert_true(!b.f->met);
    over(&b);
    ready(&b, false);
    b.article.samples = &SAMPLES[2]; /* not measured: of the feeders alone */
    b.article.n_samples = 1;
    run(&b);
    assert_int_equal(warned(&b, MDR_WARN_SPIRALITY_DROP), 1);
    CHECK_NEAR(val(&b, b.f->outcome[MDR_DEMAND_SPIRALITY].value), 100 * 90 * 15.2 / (2262 * 20.0),
               1e-9, "knit.md: F W / (N C)");
    over(&b);
    ready(&b, false);
    b.article.construction = (int)MDR_KNIT_INTERLOCK; /* balanced: nothing to say */
    b.article.samples = &SAMPLES[2];
    b.article.n_samples = 1;
    run(&b);
    assert_true(b.f->outcome[MDR_DEMAND_SPIRALITY].value == MDR_FIG_NONE);
    over(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_samples),
        cmocka_unit_test(clash),
        cmocka_unit_test(many_samples),
        cmocka_unit_test(spirality),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
