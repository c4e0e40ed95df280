/* The map as it is drawn: every point where the two relations put it. */
#include "t.h"

#include "core/knit/mdr_spec_draw.h"

/* Round numbers to count with: relaxed 160 g/m2 and 150 cm. */
static mdr_spec_in asked(double gsm, double width_cm, double length_max, double width_max)
{
    return (mdr_spec_in){.relaxed = {160, 150},
                         .demand = {.gsm = gsm,
                                    .gsm_tol_pct = 5,
                                    .width_cm = width_cm,
                                    .width_tol_cm = 2,
                                    .length_shrink_max_frac = length_max,
                                    .width_shrink_max_frac = width_max,
                                    .length_shrink_min_frac = -0.02,
                                    .width_shrink_min_frac = -0.02}};
}

static void a_line(void **state)
{
    (void)state;
    const mdr_spec_relaxed r = {160, 150};
    const mdr_spec_window w = {.width_cm = {100, 200}, .gsm = {120, 180}};
    const mdr_spec_line line = mdr_spec_line_in(r, 0.05, &w);
    assert_int_equal(line.n, MDR_SPEC_LINE_POINTS);
    CHECK_NEAR(line.points[0].width_cm, 22800.0 / 180, 1e-9, "D: 160 x 150 x 0.95 g in a metre");
    CHECK_NEAR(line.points[line.n - 1].width_cm, 22800.0 / 120, 1e-9, "D: leaves at 120 g/m2");
    for (int i = 0; i < line.n; i++) {
        const mdr_spec_point *p = &line.points[i];
        CHECK_NEAR(p->gsm * p->width_cm, 22800, 1e-8, "D: the mass of a metre");
        CHECK_NEAR(p->length_shrink_frac, 0.05, 1e-12, "D: all of one length shrinkage");
        assert_true(i == 0 || p->width_cm > line.points[i - 1].width_cm);
        assert_true(p->gsm <= w.gsm.high + 1e-9 && p->gsm >= w.gsm.low - 1e-9);
    }
    /* enters at the left edge when it is high enough there */
    const mdr_spec_window narrow = {.width_cm = {140, 200}, .gsm = {120, 180}};
    CHECK_NEAR(mdr_spec_line_in(r, 0.05, &narrow).points[0].width_cm, 140, 0, "D: the edge");
    assert_int_equal(mdr_spec_line_in(r, 0.5, &w).n, 0); /* D: 12000 g: below 120 at 100 cm */
    assert_int_equal(mdr_spec_line_in(r, -1.0, &w).n, 0);
}

static void around_what_can_be_had(void **state)
{
    (void)state;
    const mdr_spec_in in = asked(148, 154, 0.06, 0.06);
    const mdr_spec_answer a = mdr_spec_answer_of(&in);
    const mdr_spec_outline out = mdr_spec_outline_of(in.relaxed, &a);
    assert_true(a.feasible && out.n > a.n_corners && out.n <= MDR_SPEC_OUTLINE_MAX);
    int at = 0;
    for (int i = 0; i < out.n; i++) {
        assert_true(mdr_spec_meets(&in.demand, &out.points[i], 1e-9));
        at += at < a.n_corners && fabs(out.points[i].width_cm - a.corners[at].width_cm) < 1e-12 &&
              fabs(out.points[i].gsm - a.corners[at].gsm) < 1e-12;
    }
    assert_int_equal(at, a.n_corners); /* every corner, in turn */
    int points = a.n_corners; /* D: a side along an edge of the map is straight, others need more */
    for (int i = 0; i < a.n_corners; i++) {
        const mdr_spec_point *p = &a.corners[i], *q = &a.corners[(i + 1) % a.n_corners];
        points += fabs(p->width_cm - q->width_cm) > 1e-6 && fabs(p->gsm - q->gsm) > 1e-6
                      ? MDR_SPEC_SIDE_POINTS - 1
                      : 0;
    }
    assert_int_equal(out.n, points);
    assert_true(points > a.n_corners && points < a.n_corners * MDR_SPEC_SIDE_POINTS);
    const mdr_spec_in no = asked(160, 160, 0.05, 0.04);
    const mdr_spec_answer none = mdr_spec_answer_of(&no);
    assert_int_equal(mdr_spec_outline_of(no.relaxed, &none).n, 0);
}

static void a_tolerance_of_nothing(void **state)
{
    (void)state;
    mdr_spec_in in = asked(148, 154, 0.06, 0.06);
    in.demand.width_tol_cm = 0;
    in.demand.gsm_tol_pct = 0;
    const mdr_spec_answer a = mdr_spec_answer_of(&in);
    const mdr_spec_outline out = mdr_spec_outline_of(in.relaxed, &a);
    assert_int_equal(a.n_corners, 1);
    assert_int_equal(out.n, 1);
    CHECK_NEAR(out.points[0].width_cm, 154, 1e-9, "D: the one point asked for");
    CHECK_NEAR(out.points[0].gsm, 148, 1e-9, "D: the one point asked for");
}

static void around_what_the_shrinkages_allow(void **state)
{
    (void)state;
    const mdr_spec_in in = asked(160, 160, 0.05, 0.04);
    const mdr_spec_outline out = mdr_spec_allowed(&in);
    assert_true(out.n > 4 && out.n <= MDR_SPEC_OUTLINE_MAX);
    double widest = 0, lightest = 1e9;
    for (int i = 0; i < out.n; i++) {
        const mdr_spec_point *p = &out.points[i];
        assert_true(p->width_shrink_frac <= 0.04 + 1e-12 && p->width_shrink_frac >= -0.02 - 1e-12);
        assert_true(p->length_shrink_frac <= 0.05 + 1e-12 &&
                    p->length_shrink_frac >= -0.02 - 1e-12);
        const bool side =
            fabs(p->width_shrink_frac - 0.04) < 1e-9 || fabs(p->width_shrink_frac + 0.02) < 1e-9 ||
            fabs(p->length_shrink_frac - 0.05) < 1e-9 || fabs(p->length_shrink_frac + 0.02) < 1e-9;
        assert_true(side); /* none inside */
        widest = fmax(widest, p->width_cm);
        lightest = fmin(lightest, p->gsm);
    }
    CHECK_NEAR(widest, 156.25, 1e-9, "D: 150/0.96");
    CHECK_NEAR(lightest, 145.92, 1e-9, "D: 160 x 0.95 x 0.96");
}

static const struct {
    double gsm, width_cm, length_max, width_max;
    mdr_spec_clash which;
    double by;
    bool above;
    const char *src;
} APART[] = {
    {160, 160, 0.05, 0.04, MDR_SPEC_WIDTH_AGAINST_SHRINK, 1.75, true, "D: 158 - 156.25"},
    {160, 140, 0.05, 0.04, MDR_SPEC_WIDTH_AGAINST_SHRINK, 150 / 1.02 - 142, false,
     "D: 142, and 150/1.02 is the narrowest"},
    {160, 154, 0.05, 0.04, MDR_SPEC_WIDTH_AGAINST_SHRINK, 0, false, "D: 152 to 156 within"},
    {200, 154, 0.05, 0.04, MDR_SPEC_GSM_AGAINST_WIDTH, 190 - 24480 / 152.0, true,
     "D: 24 480 g in a metre that grows 2 %, at 152 cm"},
    {120, 154, 0.05, 0.04, MDR_SPEC_GSM_AGAINST_WIDTH, 22800 / 156.0 - 126, false,
     "D: 22 800 g in a metre, at 156 cm"},
    {200, 154, 0.05, 0.04, MDR_SPEC_GSM_AGAINST_SHRINKAGE, 190 - 160 * 1.02 * 1.02, true, "D"},
    {120, 154, 0.05, 0.04, MDR_SPEC_GSM_AGAINST_SHRINKAGE, 145.92 - 126, false, "D"},
};

static void how_far_apart(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(APART); i++) {
        const mdr_spec_in in =
            asked(APART[i].gsm, APART[i].width_cm, APART[i].length_max, APART[i].width_max);
        const mdr_spec_apart a = mdr_spec_apart_of(&in, APART[i].which);
        CHECK_NEAR(a.by, APART[i].by, 1e-9, APART[i].src);
        assert_int_equal(a.above, APART[i].above);
        /* the part and the amount tell of one gap */
        const mdr_spec_answer s = mdr_spec_answer_of(&in);
        const mdr_spec_window box = mdr_spec_box(&in.demand);
        const bool of_width = APART[i].which == MDR_SPEC_WIDTH_AGAINST_SHRINK;
        const mdr_spec_range mine = of_width ? box.width_cm : box.gsm;
        const double frac = a.above ? a.by / (mine.low - a.by) : a.by / mine.high;
        CHECK_NEAR(s.clash_frac[APART[i].which], frac, 1e-12, "D: exp(gap) - 1");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_line),
        cmocka_unit_test(around_what_can_be_had),
        cmocka_unit_test(a_tolerance_of_nothing),
        cmocka_unit_test(around_what_the_shrinkages_allow),
        cmocka_unit_test(how_far_apart),
    };
    return cmocka_run_group_tests_name("knit: map of a specification", tests, NULL, NULL);
}
