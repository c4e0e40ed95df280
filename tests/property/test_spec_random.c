/* 10 000 random specifications: what the answer says is held against the two relations alone. */
#include "t.h"

#include <stdbool.h>
#include <stdint.h>

#include "core/knit/mdr_spec.h"

enum { SPECIFICATIONS = 10000, TRIES = 60 };

static uint64_t seed = 6180339887;
static double uniform(double low, double high)
{
    seed = seed * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * ((double)(seed >> 11) / 9007199254740992.0);
}

static mdr_spec_in random_in(void)
{
    /* one draw a statement: the order of arguments is the compiler's */
    mdr_spec_in in = {.relaxed = {.gsm = uniform(90, 400)}};
    in.relaxed.width_cm = uniform(80, 240);
    const double width_shrink = uniform(-0.02, 0.10), length_shrink = uniform(-0.02, 0.10);
    const mdr_spec_point p = mdr_spec_at_shrink(in.relaxed, width_shrink, length_shrink);
    mdr_spec_demand *d = &in.demand;
    d->gsm = p.gsm * uniform(0.94, 1.06);
    d->width_cm = p.width_cm * uniform(0.97, 1.03);
    d->gsm_tol_pct = uniform(0, 1) < 0.1 ? 0 : uniform(0, 6);
    d->width_tol_cm = uniform(0, 1) < 0.1 ? 0 : uniform(0, 4);
    d->length_shrink_max_frac = uniform(0.01, 0.10);
    d->width_shrink_max_frac = uniform(0.01, 0.10);
    d->length_shrink_min_frac = uniform(-0.05, 0.0);
    d->width_shrink_min_frac = uniform(-0.05, 0.0);
    assert_int_equal(mdr_spec_check(&in, NULL), MDR_OK);
    return in;
}

static bool feasible(const mdr_spec_in *in)
{
    return mdr_spec_answer_of(in).feasible;
}

static double strain_of(double low, double high, double at)
{
    return fabs(2 * at - low - high) / (high - low);
}

/* The largest part of any tolerance, in logarithms as the answer means it. */
static double strain_at(const mdr_spec_in *in, double width_shrink, double length_shrink)
{
    const mdr_spec_demand *d = &in->demand;
    const double a = log(1 - width_shrink), b = log(1 - length_shrink), tol = d->gsm_tol_pct / 100;
    const double gsm = log(d->gsm / in->relaxed.gsm), width = log(in->relaxed.width_cm);
    const double of_shrink =
        fmax(strain_of(log(1 - d->width_shrink_max_frac), log(1 - d->width_shrink_min_frac), a),
             strain_of(log(1 - d->length_shrink_max_frac), log(1 - d->length_shrink_min_frac), b));
    const double of_width = strain_of(width - log(d->width_cm + d->width_tol_cm),
                                      width - log(d->width_cm - d->width_tol_cm), a);
    const double of_gsm = strain_of(gsm + log(1 - tol), gsm + log(1 + tol), a + b);
    return fmax(of_shrink, fmax(of_width, of_gsm));
}

static void check_best(const mdr_spec_in *in, const mdr_spec_answer *a)
{
    const mdr_spec_demand *d = &in->demand;
    const mdr_spec_point again = mdr_spec_at(in->relaxed, a->best.width_cm, a->best.gsm);
    CHECK_NEAR(again.width_shrink_frac, a->best.width_shrink_frac, 1e-13, "D: invert and re-apply");
    CHECK_NEAR(again.length_shrink_frac, a->best.length_shrink_frac, 1e-13, "D: same");
    /* relaxed mass of a finished metre, two ways */
    CHECK_NEAR(a->best.gsm * a->best.width_cm,
               in->relaxed.gsm * in->relaxed.width_cm * (1 - a->best.length_shrink_frac), 1e-8,
               "D: mass balance");
    if (d->gsm_tol_pct > 0.1 && d->width_tol_cm > 0.1) {
        CHECK_NEAR(strain_at(in, a->best.width_shrink_frac, a->best.length_shrink_frac), a->strain,
                   1e-8, "D: the strain is that of the point");
        for (int i = 0; i < TRIES; i++) {
            const double sw = a->best.width_shrink_frac + uniform(-0.02, 0.02);
            const double sl = a->best.length_shrink_frac + uniform(-0.02, 0.02);
            const double at = strain_at(in, sw, sl);
            assert_true(at >= a->strain - 1e-9);
        }
    }
}

/* Width, g/m2 and shrinkages are extreme at a corner. */
static void check_corners(const mdr_spec_in *in, const mdr_spec_answer *a)
{
    assert_in_range(a->n_corners, 1, MDR_SPEC_CORNERS_MAX);
    mdr_spec_range w = {1e9, -1e9}, g = w, sw = w, sl = w;
    for (int i = 0; i < a->n_corners; i++) {
        const mdr_spec_point *p = &a->corners[i];
        assert_true(mdr_spec_meets(&in->demand, p, 1e-12));
        w = (mdr_spec_range){fmin(w.low, p->width_cm), fmax(w.high, p->width_cm)};
        g = (mdr_spec_range){fmin(g.low, p->gsm), fmax(g.high, p->gsm)};
        sw = (mdr_spec_range){fmin(sw.low, p->width_shrink_frac),
                              fmax(sw.high, p->width_shrink_frac)};
        sl = (mdr_spec_range){fmin(sl.low, p->length_shrink_frac),
                              fmax(sl.high, p->length_shrink_frac)};
    }
    const char *src = "D: linear in logarithms, so extreme at a corner";
    CHECK_NEAR(w.low, a->width_cm.low, 1e-9, src);
    CHECK_NEAR(w.high, a->width_cm.high, 1e-9, src);
    CHECK_NEAR(g.low, a->gsm.low, 1e-9, src);
    CHECK_NEAR(g.high, a->gsm.high, 1e-9, src);
    CHECK_NEAR(sw.low, a->width_shrink_frac.low, 1e-12, src);
    CHECK_NEAR(sw.high, a->width_shrink_frac.high, 1e-12, src);
    CHECK_NEAR(sl.low, a->length_shrink_frac.low, 1e-12, src);
    CHECK_NEAR(sl.high, a->length_shrink_frac.high, 1e-12, src);
}

/* Tries a grid of the box of shrinkages: the answer may not overlook a point, nor the ranges. */
static void check_grid(const mdr_spec_in *in, const mdr_spec_answer *a)
{
    const mdr_spec_demand *d = &in->demand;
    for (int i = 0; i <= TRIES; i++) {
        const double sw = d->width_shrink_min_frac +
                          (d->width_shrink_max_frac - d->width_shrink_min_frac) * i / TRIES;
        for (int j = 0; j <= TRIES; j++) {
            const double sl = d->length_shrink_min_frac +
                              (d->length_shrink_max_frac - d->length_shrink_min_frac) * j / TRIES;
            const mdr_spec_point p = mdr_spec_at_shrink(in->relaxed, sw, sl);
            if (mdr_spec_meets(d, &p, 0)) {
                assert_true(a->feasible);
                assert_true(p.width_cm >= a->width_cm.low - 1e-9 &&
                            p.width_cm <= a->width_cm.high + 1e-9);
                assert_true(p.gsm >= a->gsm.low - 1e-9 && p.gsm <= a->gsm.high + 1e-9);
                assert_true(sl >= a->length_shrink_frac.low - 1e-12 &&
                            sl <= a->length_shrink_frac.high + 1e-12);
            }
        }
    }
}

static int check_gives(const mdr_spec_in *in, const mdr_spec_answer *a)
{
    int tried = 0;
    for (int i = 0; i < MDR_SPEC_DEMANDS; i++) {
        const mdr_spec_give *g = &a->give[i];
        if (!g->cures || g->by < 1e-4) {
            continue;
        }
        tried++;
        const mdr_spec_in given = mdr_spec_given_way(in, (mdr_spec_which)i, g);
        assert_true(feasible(&given));
        mdr_spec_give less = *g;
        less.limit += (g->upper ? -1e-6 : 1e-6) * g->by;
        const mdr_spec_in still = mdr_spec_given_way(in, (mdr_spec_which)i, &less);
        assert_false(feasible(&still));
    }
    return tried;
}

static int check_cures(const mdr_spec_in *in, const mdr_spec_answer *a)
{
    int tried = 0;
    for (int i = 0; i < MDR_SPEC_CHANGES; i++) {
        const mdr_spec_cure *c = &a->cure[i];
        if (!c->cures) {
            for (int step = -40; step <= 40; step++) {
                const mdr_spec_in changed =
                    mdr_spec_changed(in, (mdr_spec_change)i, exp(0.01 * step));
                assert_false(feasible(&changed));
            }
            continue;
        }
        const mdr_spec_in cured = mdr_spec_changed(in, (mdr_spec_change)i, c->factor);
        assert_true(feasible(&cured));
        CHECK_NEAR(c->change_pct, 100 * (c->factor - 1), 1e-9, "D: the same in per cent");
        const double z = log(c->factor);
        if (fabs(z) > 1e-4) {
            tried++;
            const mdr_spec_in less = mdr_spec_changed(in, (mdr_spec_change)i, exp(z * (1 - 1e-6)));
            assert_false(feasible(&less));
            const mdr_spec_in other = mdr_spec_changed(in, (mdr_spec_change)i, exp(-z));
            assert_false(feasible(&other)); /* the other way is not nearer */
        }
    }
    return tried;
}

static void ten_thousand(void **state)
{
    (void)state;
    int met = 0, gives = 0, cures = 0, six = 0;
    for (int i = 0; i < SPECIFICATIONS; i++) {
        const mdr_spec_in in = random_in();
        const mdr_spec_answer a = mdr_spec_answer_of(&in);
        met += a.feasible;
        check_best(&in, &a);
        if (a.feasible) {
            assert_true(a.strain <= 1 + 1e-9);
            assert_true(mdr_spec_meets(&in.demand, &a.best, 1e-12));
            check_corners(&in, &a);
            six += a.n_corners >= 5;
        } else {
            assert_true(a.strain > 1);
            assert_false(mdr_spec_meets(&in.demand, &a.best, 1e-13));
        }
        if (i % 10 == 0) {
            check_grid(&in, &a);
        }
        gives += check_gives(&in, &a);
        cures += check_cures(&in, &a);
    }
    print_message("%d met, %d demands gave way, %d cures, %d with five corners or six\n", met,
                  gives, cures, six);
    assert_true(met > 2000 && met < 8000 && gives > 3000 && cures > 3000 && six > 50);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(ten_thousand)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
