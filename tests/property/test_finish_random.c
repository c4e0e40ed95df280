/*
 * 10,000 random fabrics through random lines: needles, courses and dry mass come out as they went
 * in; what the line is settled to, run forwards again, gives what was asked for; what it cannot
 * give, no setting within the limits comes nearer to. 10,000 random ovens: drier, thinner, hotter
 * and stronger blown is never slower.
 */
#include "t.h"

#include "core/finish/mdr_drying.h"
#include "core/finish/mdr_psychro.h"
#include "core/finish/mdr_settle.h"

enum { ROUNDS = 10000 };
static const double SAME = 1e-12;

/* Deterministic: the same everywhere. Numerical Recipes' quick generator. */
static uint32_t seed = 20270117u;
static double draw(double low, double high)
{
    seed = seed * 1664525u + 1013904223u;
    return low + (high - low) * ((double)(seed >> 8) / 16777216.0);
}
static int pick(int n)
{
    return (int)draw(0, n) % n;
}

static void same(double got, double want, const char *what)
{
    CHECK_NEAR(got / want, 1.0, SAME, what);
}

static mdr_web random_web(void)
{
    return (mdr_web){.width_cm = draw(40, 250),
                     .courses_per_cm = draw(8, 28),
                     .wales_per_cm = draw(7, 22),
                     .dry_gsm = draw(80, 400),
                     .moisture_kg_per_kg = draw(0.6, 2.5),
                     .speed_m_per_min = draw(5, 80),
                     .length_m = draw(10, 9000),
                     .temp_c = draw(10, 60)};
}

static mdr_pass random_pass(mdr_pass_kind kind, double moisture)
{
    mdr_pass p = {.kind = kind,
                  .width_cm = draw(60, 260),
                  .width_change_fraction = draw(-0.1, 0.1),
                  .overfeed_fraction = draw(-0.15, 0.4),
                  .temp_c = draw(20, 180),
                  .speed_m_per_min = draw(5, 60)};
    p.moisture_kg_per_kg =
        kind == MDR_PASS_PAD ? moisture + draw(0, 0.5) : moisture * draw(0.1, 1.0);
    return p;
}

static void nothing_is_lost(void **state)
{
    (void)state;
    for (int r = 0; r < ROUNDS; r++) {
        const mdr_web start = random_web();
        mdr_pass passes[MDR_LINE_MAX];
        mdr_web after[MDR_LINE_MAX];
        const int n = 1 + pick(MDR_LINE_MAX);
        double moisture = start.moisture_kg_per_kg;
        for (int i = 0; i < n; i++) {
            passes[i] = random_pass((mdr_pass_kind)pick(MDR_PASS_KINDS), moisture);
            if (passes[i].kind != MDR_PASS_SPREAD) {
                moisture = passes[i].moisture_kg_per_kg;
            }
        }
        assert_int_equal(mdr_pass_run(&start, passes, n, after, NULL), MDR_OK);
        for (int i = 0; i < n; i++) {
            same(mdr_web_needles(&after[i]), mdr_web_needles(&start), "D: needles stay");
            same(mdr_web_courses(&after[i]), mdr_web_courses(&start), "D: courses stay");
            same(mdr_web_dry_kg(&after[i]), mdr_web_dry_kg(&start), "D: dry mass stays");
            /* per metre of the lot as it began */
            same(after[i].dry_gsm * after[i].width_cm * after[i].length_m,
                 start.dry_gsm * start.width_cm * start.length_m, "D: mass a metre stays");
            mdr_web entering = i == 0 ? start : after[i - 1];
            entering.speed_m_per_min = mdr_pass_speed_in_m_per_min(&passes[i]);
            same(mdr_web_dry_kg_per_h(&after[i]), mdr_web_dry_kg_per_h(&entering),
                 "D: mass an hour goes in and comes out");
        }
    }
}

typedef struct trial {
    mdr_web start;
    mdr_line line;
    mdr_goal goal;
    mdr_line_limits limits;
} trial;

static trial random_trial(void)
{
    trial t = {.start = random_web()};
    t.start.moisture_kg_per_kg = 2.5;
    const mdr_line all = pick(2) ? mdr_line_open(150) : mdr_line_tubular(150);
    t.line = mdr_line_rest(&all, pick(2));
    for (int i = 0; i < t.line.n; i++) {
        t.line.passes[i].overfeed_fraction = draw(-0.1, 0.1);
        t.line.passes[i].width_change_fraction = draw(-0.08, 0.08);
        if (t.line.passes[i].kind == MDR_PASS_PAD) {
            t.line.passes[i].moisture_kg_per_kg = 2.5;
        }
    }
    t.goal.relaxed.courses_per_cm = t.start.courses_per_cm * draw(0.95, 1.35);
    t.goal.relaxed.wales_per_cm = t.start.wales_per_cm * draw(0.85, 1.25);
    t.goal.residual = (mdr_residual){draw(-0.02, 0.12), draw(-0.02, 0.12)};
    t.limits = (mdr_line_limits){.width_min_cm = draw(30, 90),
                                 .width_max_cm = draw(140, 260),
                                 .overfeed_min_fraction = draw(-0.05, 0.02),
                                 .overfeed_max_fraction = draw(0.05, 0.40),
                                 .compact_min_fraction = draw(0.0, 0.04),
                                 .compact_max_fraction = draw(0.06, 0.2)};
    t.goal.compact_fraction = draw(t.limits.compact_min_fraction, t.limits.compact_max_fraction);
    return t;
}

static int gripping(const mdr_line *line)
{
    int found = -1;
    for (int i = 0; i < line->n; i++) {
        found = line->passes[i].kind == MDR_PASS_STENTER || line->passes[i].kind == MDR_PASS_SPREAD
                    ? i
                    : found;
    }
    return found;
}

/* Any other settings within the limits: never nearer in length or width than the answer. */
static void no_other_is_nearer(const trial *t, const mdr_settled *s)
{
    mdr_line other = s->line;
    mdr_pass *grip = &other.passes[gripping(&other)], *last = &other.passes[other.n - 1];
    for (int k = 0; k < 5; k++) {
        grip->width_cm = draw(t->limits.width_min_cm, t->limits.width_max_cm);
        grip->overfeed_fraction =
            draw(t->limits.overfeed_min_fraction, t->limits.overfeed_max_fraction);
        last->overfeed_fraction =
            draw(t->limits.compact_min_fraction, t->limits.compact_max_fraction);
        mdr_web after[MDR_LINE_MAX];
        assert_int_equal(mdr_pass_run(&t->start, other.passes, other.n, after, NULL), MDR_OK);
        const mdr_residual got = mdr_web_residual(&after[other.n - 1], &t->goal.relaxed);
        assert_true(fabs(got.length_fraction - t->goal.residual.length_fraction) + SAME >=
                    fabs(s->length.off_fraction));
        assert_true(fabs(got.width_fraction - t->goal.residual.width_fraction) + SAME >=
                    fabs(s->width.off_fraction));
    }
}

static void there_and_back(void **state)
{
    (void)state;
    int met = 0, length_missed = 0, width_missed = 0;
    for (int r = 0; r < ROUNDS; r++) {
        const trial t = random_trial();
        mdr_settled s;
        mdr_err err;
        if (mdr_line_settle(&t.start, &t.line, &t.goal, &t.limits, &s, &err) != MDR_OK) {
            fail_msg("round %d: %s %s", r, err.place, err.msg);
        }
        const int n = s.line.n;
        const mdr_pass *grip = &s.line.passes[gripping(&s.line)], *last = &s.line.passes[n - 1];
        const mdr_line_limits *l = &t.limits;
        assert_true(grip->width_cm >= l->width_min_cm * (1 - SAME) &&
                    grip->width_cm <= l->width_max_cm * (1 + SAME));
        assert_true(grip->overfeed_fraction >= l->overfeed_min_fraction - SAME &&
                    grip->overfeed_fraction <= l->overfeed_max_fraction + SAME);
        assert_true(last->overfeed_fraction >= l->compact_min_fraction - SAME &&
                    last->overfeed_fraction <= l->compact_max_fraction + SAME);
        mdr_web after[MDR_LINE_MAX];
        assert_int_equal(mdr_pass_run(&t.start, s.line.passes, n, after, NULL), MDR_OK);
        const mdr_web *end = &after[n - 1];
        const mdr_residual got = mdr_web_residual(end, &t.goal.relaxed);
        CHECK_NEAR(got.length_fraction, t.goal.residual.length_fraction + s.length.off_fraction,
                   SAME, "D: met, or off by what was said");
        CHECK_NEAR(got.width_fraction, t.goal.residual.width_fraction + s.width.off_fraction, SAME,
                   "D: met, or off by what was said");
        assert_int_equal(s.met, s.length.off_fraction == 0.0 && s.width.off_fraction == 0.0);
        if (s.met) {
            same(end->width_cm, s.goal.width_cm, "D: the width asked for");
            same(end->courses_per_cm, s.goal.courses_per_cm, "D: the courses asked for");
            same(end->dry_gsm, s.goal.dry_gsm, "D: the weight asked for");
        } else {
            no_other_is_nearer(&t, &s);
        }
        met += s.met;
        length_missed += s.length.limit != MDR_LIMIT_NONE;
        width_missed += s.width.limit != MDR_LIMIT_NONE;
    }
    assert_true(met > 1000 && length_missed > 1000 && width_missed > 500); /* all of it was seen */
}

static mdr_drying_in random_drying(void)
{
    return (mdr_drying_in){.dry_gsm = draw(80, 400),
                           .moisture_in_kg_per_kg = draw(0.4, 1.2),
                           .moisture_out_kg_per_kg = draw(0.03, 0.35),
                           .critical_kg_per_kg = draw(0.2, 0.32),
                           .equilibrium_kg_per_kg = draw(0, 0.02),
                           .air_c = draw(110, 195),
                           .air_kg_per_kg = draw(0.01, 0.3),
                           .pressure_pa = draw(70000, 105000),
                           .h_w_per_m2_k = draw(15, 150)};
}

static double speed_of(const mdr_drying_in *in)
{
    mdr_drying d;
    mdr_speed v;
    assert_int_equal(mdr_drying_time(in, &d, NULL), MDR_OK);
    const mdr_oven oven = {.length_m = 24,
                           .speed_min_m_per_min = 0.1,
                           .speed_max_m_per_min = 500,
                           .entry_s = MDR_DRYING_ENTRY_S,
                           .drying_s = d.total_s};
    assert_int_equal(mdr_drying_speed(&oven, &v, NULL), MDR_OK);
    return v.speed_m_per_min;
}

static void drier_is_never_slower(void **state)
{
    (void)state;
    for (int r = 0; r < ROUNDS; r++) {
        const mdr_drying_in in = random_drying();
        const double v = speed_of(&in);
        mdr_drying_in other = in;
        other.dry_gsm *= 0.9;
        assert_true(speed_of(&other) > v);
        other = in;
        other.moisture_in_kg_per_kg += 0.1;
        assert_true(speed_of(&other) < v);
        other = in;
        other.moisture_out_kg_per_kg += 0.02;
        assert_true(speed_of(&other) > v);
        other = in;
        other.h_w_per_m2_k *= 1.1;
        assert_true(speed_of(&other) > v);
        other = in;
        other.air_c += 5;
        assert_true(speed_of(&other) > v);
        other = in;
        other.air_kg_per_kg += 0.05;
        assert_true(speed_of(&other) < v);
        double h = 0;
        assert_int_equal(mdr_drying_fit_h(&in, 24, v, MDR_DRYING_ENTRY_S, &h, NULL), MDR_OK);
        CHECK_NEAR(h / in.h_w_per_m2_k, 1, 1e-11, "D: the run that this h gives");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_lost),
        cmocka_unit_test(there_and_back),
        cmocka_unit_test(drier_is_never_slower),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
