#include "t.h"

#include <string.h>

#include "core/knit/mdr_spec.h"

/* Round numbers to count with: relaxed 160 g/m2 and 150 cm. */
static mdr_spec_in asked(double gsm, double gsm_tol_pct, double width_cm, double width_tol_cm,
                         double length_max, double width_max)
{
    return (mdr_spec_in){.relaxed = {160, 150},
                         .demand = {.gsm = gsm,
                                    .gsm_tol_pct = gsm_tol_pct,
                                    .width_cm = width_cm,
                                    .width_tol_cm = width_tol_cm,
                                    .length_shrink_max_frac = length_max,
                                    .width_shrink_max_frac = width_max,
                                    .length_shrink_min_frac = -0.02,
                                    .width_shrink_min_frac = -0.02}};
}

static mdr_spec_answer answer(const mdr_spec_in *in)
{
    assert_int_equal(mdr_spec_check(in, NULL), MDR_OK);
    return mdr_spec_answer_of(in);
}

static void check_give(const mdr_spec_give *g, bool upper, double limit, double by, double tol)
{
    assert_true(g->cures);
    assert_int_equal(g->upper, upper);
    CHECK_NEAR(g->limit, limit, tol, "D: by hand from the two relations");
    CHECK_NEAR(g->by, by, tol, "D: by hand from the two relations");
}

static void relations(void **state)
{
    (void)state;
    const mdr_spec_relaxed r = {162.4, 150.8};
    const mdr_spec_point p = mdr_spec_at_shrink(r, 0.05, 0.04);
    CHECK_NEAR(p.width_cm, 158.737, 1e-3, "D: 150.8/0.95");
    CHECK_NEAR(p.gsm, 148.109, 1e-3, "D: 162.4 x 0.95 x 0.96");
    const mdr_spec_point back = mdr_spec_at(r, p.width_cm, p.gsm);
    CHECK_NEAR(back.width_shrink_frac, 0.05, 1e-15, "D: there and back");
    CHECK_NEAR(back.length_shrink_frac, 0.04, 1e-15, "D: there and back");
    CHECK_NEAR(mdr_spec_gsm_on_line(r, 0.04, p.width_cm), p.gsm, 1e-12, "D: the same line");
    CHECK_NEAR(mdr_spec_gsm_on_line(r, 0.04, 150.8), 162.4 * 0.96, 1e-12, "D: no width shrinkage");
    CHECK_NEAR(mdr_spec_tol_cm_of_pct(160, 5), 8, 1e-12, "D");
    CHECK_NEAR(mdr_spec_usual_min_frac(), -0.02, 0, "I: growth accepted");
    const mdr_spec_demand d = mdr_spec_usual_demand(145, 151, 0.06, 0.07);
    CHECK_NEAR(d.gsm_tol_pct, 5, 0, "P: +- 5 %");
    CHECK_NEAR(d.width_tol_cm, 2.54, 0, "P: +- 1 inch");
    CHECK_NEAR(d.gsm + d.width_cm, 145 + 151, 0, "contract");
    CHECK_NEAR(d.length_shrink_max_frac, 0.06, 0, "contract");
    CHECK_NEAR(d.width_shrink_max_frac, 0.07, 0, "contract");
    CHECK_NEAR(d.length_shrink_min_frac + d.width_shrink_min_frac, -0.04, 0, "I: growth");

    mdr_knit k = {
        .construction = MDR_KNIT_SINGLE_JERSEY, .loop_cm = 0.28, .needles = 2262, .feeders = 90};
    assert_int_equal(mdr_yarn_to_tex(30, MDR_YARN_NE, &k.yarn, NULL), MDR_OK);
    const mdr_knit_constants full = mdr_knit_constants_of(k.construction, MDR_RELAX_FULL);
    const mdr_spec_relaxed of = mdr_spec_relaxed_of_knit(&k, &full);
    CHECK_NEAR(of.gsm, 162.4, 0.05, "D: Ne 30, 0.28 cm");
    CHECK_NEAR(of.width_cm, 150.8, 0.05, "D: 2262 x 0.28/4.2");
}

static void met(void **state)
{
    (void)state;
    /* width 154 +- 2 leaves sW 1.32 to 3.85 %; g/m2 148 +- 5 % and sL -2 to 6 % */
    const mdr_spec_in in = asked(148, 5, 154, 2, 0.06, 0.06);
    const mdr_spec_answer a = answer(&in);
    assert_true(a.feasible);
    assert_true(a.strain < 1);
    assert_true(mdr_spec_meets(&in.demand, &a.best, 1e-12));
    CHECK_NEAR(a.width_shrink_frac.low, 1 - 150.0 / 152, 1e-12, "D: 150/152");
    CHECK_NEAR(a.width_shrink_frac.high, 1 - 150.0 / 156, 1e-12, "D: 150/156");
    CHECK_NEAR(a.width_cm.low, 152, 1e-9, "D: tolerance");
    CHECK_NEAR(a.width_cm.high, 156, 1e-9, "D: tolerance");
    CHECK_NEAR(a.length_shrink_frac.high, 0.06, 1e-12, "D: 160 x 0.9615 x 0.94 is above 140.6");
    CHECK_NEAR(a.length_shrink_frac.low, 1 - 155.4 / (160 * 150.0 / 156), 1e-12,
               "D: 155.4 g/m2 at 156 cm");
    CHECK_NEAR(a.gsm.low, 160 * 0.94 * 150 / 156, 1e-9, "D: lightest corner");
    CHECK_NEAR(a.gsm.high, 155.4, 1e-9, "D: tolerance");
    for (int i = 0; i < MDR_SPEC_DEMANDS; i++) {
        assert_true(a.give[i].cures);
        CHECK_NEAR(a.give[i].by, 0, 0, "contract: nothing to give");
    }
    for (int i = 0; i < MDR_SPEC_CHANGES; i++) {
        assert_true(a.cure[i].cures);
        CHECK_NEAR(a.cure[i].factor, 1, 0, "contract: nothing to cure");
        CHECK_NEAR(a.cure[i].change_pct, 0, 0, "contract: nothing to cure");
    }
    for (int i = 0; i < MDR_SPEC_CLASHES; i++) {
        CHECK_NEAR(a.clash_frac[i], 0, 0, "contract: no clash");
    }
    /* the box cut by the line of 155.4 g/m2: two corners on it */
    assert_int_equal(a.n_corners, 4);
    int on_line = 0;
    for (int i = 0; i < a.n_corners; i++) {
        assert_true(mdr_spec_meets(&in.demand, &a.corners[i], 1e-12));
        on_line += fabs(a.corners[i].gsm - 155.4) < 1e-9;
    }
    assert_int_equal(on_line, 2);
}

/* Without a tolerance the polygon is a line or a point. */
static void few_corners(void **state)
{
    (void)state;
    const mdr_spec_in line = asked(148, 5, 154, 0, 0.06, 0.06);
    const mdr_spec_answer l = answer(&line);
    assert_int_equal(l.n_corners, 2);
    CHECK_NEAR(fmin(l.corners[0].gsm, l.corners[1].gsm), 160 * 0.94 * 150 / 154, 1e-9, "D: sL 6 %");
    CHECK_NEAR(fmax(l.corners[0].gsm, l.corners[1].gsm), 155.4, 1e-9, "D: tolerance");
    const mdr_spec_in point = asked(148, 0, 154, 0, 0.06, 0.06);
    const mdr_spec_answer p = answer(&point);
    assert_int_equal(p.n_corners, 1);
    CHECK_NEAR(p.corners[0].width_cm, 154, 1e-9, "D: the only point");
    CHECK_NEAR(p.corners[0].gsm, 148, 1e-9, "D: the only point");
    CHECK_NEAR(p.best.gsm, 148, 1e-9, "D: the only point");
}

/* When the middle of every demand is the same point, that point is best and strains nothing. */
static void middle_is_best(void **state)
{
    (void)state;
    mdr_spec_in in = asked(160, 5, 150, 3, 0.02, 0.02);
    in.demand.length_shrink_min_frac = 1 - 1 / 0.98;
    in.demand.width_shrink_min_frac = 1 - 1 / 0.98;
    in.demand.gsm_tol_pct = 0;
    in.demand.width_tol_cm = 0;
    const mdr_spec_answer a = answer(&in);
    CHECK_NEAR(a.strain, 0, 1e-12, "D: symmetry");
    CHECK_NEAR(a.best.width_cm, 150, 1e-9, "D: symmetry");
    CHECK_NEAR(a.best.gsm, 160, 1e-9, "D: symmetry");
    /* g/m2 off its middle by half of what the length may give; the width is held */
    in.demand.gsm = 160 * pow(0.98, 0.5);
    CHECK_NEAR(answer(&in).strain, 0.5, 1e-12, "D: all of it in the length");
    /* the width let go: half of that half each */
    in.demand.width_cm = 150 * (1.25 + 0.8) / 2;
    in.demand.width_tol_cm = 150 * (1.25 - 0.8) / 2;
    CHECK_NEAR(answer(&in).strain, 0.25, 1e-12, "D: shared by length and width");
    CHECK_NEAR(answer(&in).best.width_shrink_frac, 1 - pow(0.98, 0.25), 1e-12, "D: shared");
    CHECK_NEAR(answer(&in).best.length_shrink_frac, 1 - pow(0.98, 0.25), 1e-12, "D: shared");
}

static void width_against_its_shrinkage(void **state)
{
    (void)state;
    const mdr_spec_in in = asked(145, 5, 160, 2, 0.06, 0.04);
    const mdr_spec_answer a = answer(&in);
    assert_false(a.feasible);
    assert_true(a.strain > 1);
    CHECK_NEAR(a.clash_frac[MDR_SPEC_WIDTH_AGAINST_SHRINK], 158 / 156.25 - 1, 1e-12,
               "D: 150/0.96 is 156.25 cm");
    CHECK_NEAR(a.clash_frac[MDR_SPEC_GSM_AGAINST_WIDTH], 0, 0, "D: none");
    CHECK_NEAR(a.clash_frac[MDR_SPEC_GSM_AGAINST_SHRINKAGE], 0, 0, "D: none");
    check_give(&a.give[MDR_SPEC_WIDTH], false, 156.25, 1.75, 1e-9);
    check_give(&a.give[MDR_SPEC_WIDTH_SHRINK], true, 1 - 150.0 / 158, 1 - 150.0 / 158 - 0.04,
               1e-12);
    assert_false(a.give[MDR_SPEC_GSM].cures);
    assert_false(a.give[MDR_SPEC_LENGTH_SHRINK].cures);
    CHECK_NEAR(a.cure[MDR_SPEC_LOOP].factor, 158 / 156.25, 1e-12, "D: width goes with the loop");
    CHECK_NEAR(a.cure[MDR_SPEC_LOOP].change_pct, 1.12, 1e-9, "D: 158/156.25");
    CHECK_NEAR(a.cure[MDR_SPEC_NEEDLES].factor, 158 / 156.25, 1e-12, "D: and with the needles");
    assert_false(a.cure[MDR_SPEC_YARN].cures);
    assert_int_equal(a.n_corners, 0);
    CHECK_NEAR(a.width_cm.low, a.best.width_cm, 0, "contract: ranges of the fairest miss");
    CHECK_NEAR(a.gsm.high, a.best.gsm, 0, "contract");
    CHECK_NEAR(a.width_shrink_frac.high, a.best.width_shrink_frac, 0, "contract");
    CHECK_NEAR(a.length_shrink_frac.low, a.best.length_shrink_frac, 0, "contract");

    const mdr_spec_in narrow = asked(165, 5, 145, 1, 0.06, 0.04); /* 146 cm grow by 2.7 % */
    const mdr_spec_answer n = answer(&narrow);
    check_give(&n.give[MDR_SPEC_WIDTH], true, 150 / 1.02, 150 / 1.02 - 146, 1e-9);
    check_give(&n.give[MDR_SPEC_WIDTH_SHRINK], false, 1 - 150.0 / 146, 150.0 / 146 - 1.02, 1e-12);
    CHECK_NEAR(n.cure[MDR_SPEC_NEEDLES].factor, 146 * 1.02 / 150, 1e-12, "D: fewer needles");
}

static void gsm_against_width(void **state)
{
    (void)state;
    /* too heavy: at 154 cm and sL 5 % there are 148.05 g/m2, asked for are 142.8 at most */
    const mdr_spec_in in = asked(140, 2, 153, 1, 0.05, 0.08);
    const double least = 160 * 0.95 * 150 / 154;
    const mdr_spec_answer a = answer(&in);
    assert_false(a.feasible);
    CHECK_NEAR(a.clash_frac[MDR_SPEC_WIDTH_AGAINST_SHRINK], 0, 0, "D: none");
    CHECK_NEAR(a.clash_frac[MDR_SPEC_GSM_AGAINST_WIDTH], least / 142.8 - 1, 1e-12,
               "D: 148.05/142.8");
    CHECK_NEAR(a.clash_frac[MDR_SPEC_GSM_AGAINST_SHRINKAGE], 0, 0, "D: 160 x 0.95 x 0.92 is less");
    check_give(&a.give[MDR_SPEC_GSM], true, least, least - 142.8, 1e-9);
    check_give(&a.give[MDR_SPEC_WIDTH], true, 160 * 0.95 * 150 / 142.8,
               160 * 0.95 * 150 / 142.8 - 154, 1e-9);
    check_give(&a.give[MDR_SPEC_LENGTH_SHRINK], true, 1 - 142.8 * 154 / 24000,
               0.95 - 142.8 * 154 / 24000, 1e-12);
    assert_false(a.give[MDR_SPEC_WIDTH_SHRINK].cures);
    assert_false(a.cure[MDR_SPEC_LOOP].cures); /* mass per metre does not change with the loop */
    CHECK_NEAR(a.cure[MDR_SPEC_YARN].factor, 142.8 / least, 1e-12, "D: finer yarn");
    CHECK_NEAR(a.cure[MDR_SPEC_NEEDLES].factor, 142.8 / least, 1e-12, "D: fewer needles");
    /* with 5 % of width shrinkage at most, the width cannot go up that far */
    const mdr_spec_in stiff = asked(140, 2, 153, 1, 0.05, 0.05);
    assert_false(answer(&stiff).give[MDR_SPEC_WIDTH].cures);
}

static void gsm_against_shrinkages(void **state)
{
    (void)state;
    /* too light: grown by 2 % both ways it has 166.46 g/m2, asked for are 171 at least */
    const mdr_spec_in in = asked(180, 5, 150, 3.1, 0.05, 0.05);
    const double most = 160 * 1.02 * 1.02;
    const mdr_spec_answer a = answer(&in);
    assert_false(a.feasible);
    CHECK_NEAR(a.clash_frac[MDR_SPEC_GSM_AGAINST_SHRINKAGE], 171 / most - 1, 1e-12,
               "D: 171/166.46");
    CHECK_NEAR(a.clash_frac[MDR_SPEC_GSM_AGAINST_WIDTH], 171 / (160 * 1.02 * 150 / 146.9) - 1,
               1e-12, "D: 171 over 166.65");
    check_give(&a.give[MDR_SPEC_GSM], false, most, 171 - most, 1e-9);
    assert_false(a.give[MDR_SPEC_WIDTH].cures);
    assert_false(a.give[MDR_SPEC_WIDTH_SHRINK].cures);
    check_give(&a.give[MDR_SPEC_LENGTH_SHRINK], false, 1 - 171 / (160 * 1.02),
               171 / (160 * 1.02) - 1.02, 1e-12);
    CHECK_NEAR(a.cure[MDR_SPEC_YARN].factor, 171 / most, 1e-12, "D: coarser yarn");
    assert_false(a.cure[MDR_SPEC_LOOP].cures);
    assert_false(a.cure[MDR_SPEC_NEEDLES].cures);

    const mdr_spec_in loop = asked(180, 5, 146, 3, 0.05, 0.05); /* with a narrower width it helps */
    const mdr_spec_answer l = answer(&loop);
    assert_false(l.feasible);
    CHECK_NEAR(l.cure[MDR_SPEC_LOOP].factor, most / 171, 1e-12, "D: shorter loop");
}

static void cures_in_words(void **state)
{
    (void)state;
    mdr_knit k = {.yarn = {20}, .loop_cm = 0.28, .needles = 2000, .feeders = 90};
    const mdr_spec_in wide = asked(145, 5, 160, 2, 0.06, 0.04); /* factor 1.0112 */
    mdr_spec_answer a = answer(&wide);
    mdr_spec_cured_knit c = mdr_spec_cure_knit(&wide, &a, &k, 24);
    CHECK_NEAR(c.loop_cm, 0.28 * 1.0112, 1e-12, "D: 158/156.25");
    CHECK_NEAR(c.needles, 2022.4, 1e-9, "D: 158/156.25");
    CHECK_NEAR(c.diameter_inch, 2022.4 / (24 * acos(-1.0)), 1e-9, "D: N/(pi G)");
    assert_int_equal(c.needles_whole, 2024);
    assert_true(c.whole_cures);
    CHECK_NEAR(c.tex + c.ne, 0, 0, "contract: 0 where it does not help");

    const mdr_spec_in heavy = asked(140, 2, 153, 1, 0.05, 0.08);
    a = answer(&heavy);
    c = mdr_spec_cure_knit(&heavy, &a, &k, 24);
    const double factor = 142.8 / (160 * 0.95 * 150 / 154);
    CHECK_NEAR(c.tex, 20 * factor, 1e-12, "D: finer yarn");
    CHECK_NEAR(c.ne, 590.5412 / (20 * factor), 1e-4, "D: tex x Ne is 590.54");
    CHECK_NEAR(c.needles, 2000 * factor, 1e-9, "D: fewer needles"); /* 1929.05 */
    assert_int_equal(c.needles_whole, 1928);
    assert_true(c.whole_cures);
    CHECK_NEAR(c.loop_cm, 0, 0, "contract: 0 where it does not help");

    /* one needle more or less is a jump when the machine is small and the tolerances are none */
    const mdr_spec_in exact = {.relaxed = {160, 150},
                               .demand = {.gsm = 160,
                                          .gsm_tol_pct = 9,
                                          .width_cm = 151,
                                          .length_shrink_max_frac = 0.05,
                                          .length_shrink_min_frac = -0.05,
                                          .width_shrink_max_frac = 0.0001,
                                          .width_shrink_min_frac = -0.0001}};
    a = answer(&exact);
    k.needles = 20;
    c = mdr_spec_cure_knit(&exact, &a, &k, 24);
    assert_true(a.cure[MDR_SPEC_NEEDLES].cures);
    assert_int_equal(c.needles_whole, 22);
    assert_false(c.whole_cures);

    const mdr_spec_in fine = asked(148, 5, 154, 2, 0.06, 0.06);
    a = answer(&fine);
    k.needles = 2001;
    c = mdr_spec_cure_knit(&fine, &a, &k, 24);
    assert_int_equal(c.needles_whole, 2001); /* nothing to cure, nothing is rounded */
    assert_true(c.whole_cures);
}

static void map(void **state)
{
    (void)state;
    const mdr_spec_in in = asked(148, 5, 154, 2, 0.06, 0.06);
    const mdr_spec_window box = mdr_spec_box(&in.demand);
    CHECK_NEAR(box.width_cm.low, 152, 1e-12, "D");
    CHECK_NEAR(box.width_cm.high, 156, 1e-12, "D");
    CHECK_NEAR(box.gsm.low, 140.6, 1e-12, "D");
    CHECK_NEAR(box.gsm.high, 155.4, 1e-12, "D");
    const mdr_spec_window w = {{150, 160}, {130, 160}, 3, 4};
    mdr_spec_point p[12] = {{0, 0, 0, 0}};
    bool meets[12] = {false};
    mdr_spec_map(&in, &w, p, meets);
    CHECK_NEAR(p[0].width_cm, 150, 0, "D: first corner");
    CHECK_NEAR(p[0].gsm, 130, 0, "D: first corner");
    CHECK_NEAR(p[1].width_cm, 155, 1e-12, "D: width runs fastest");
    CHECK_NEAR(p[3].gsm, 140, 1e-12, "D: then g/m2");
    CHECK_NEAR(p[11].width_cm, 160, 1e-12, "D: last corner");
    CHECK_NEAR(p[11].gsm, 160, 1e-12, "D: last corner");
    CHECK_NEAR(p[7].width_shrink_frac, 1 - 150.0 / 155, 1e-15, "D");
    CHECK_NEAR(p[7].length_shrink_frac, 1 - 150.0 * 155 / 24000, 1e-15, "D: mass balance");
    for (int i = 0; i < 12; i++) {
        assert_int_equal(meets[i], i == 7); /* 155 cm, 150 g/m2: sL 3.1 %; 140 g/m2 is sL 9.6 % */
    }
    const mdr_spec_window one = {{150, 160}, {130, 160}, 1, 1};
    mdr_spec_map(&in, &one, p, NULL);
    CHECK_NEAR(p[0].width_cm, 150, 0, "contract: one point is the low end");
    CHECK_NEAR(p[0].gsm, 130, 0, "contract: one point is the low end");
    assert_true(
        mdr_spec_meets(&in.demand, &p[0], 0.2)); /* slack: 12 % of g/m2, sL 19 against 6 % */
    assert_false(mdr_spec_meets(&in.demand, &p[0], 0.1));
}

static void meets_every_demand(void **state)
{
    (void)state;
    const mdr_spec_demand d = asked(148, 5, 154, 2, 0.06, 0.05).demand;
    const mdr_spec_point good = {154, 148, 0.01, 0.01};
    assert_true(mdr_spec_meets(&d, &good, 0));
    const mdr_spec_point bad[] = {{156.1, 148, 0.01, 0.01}, {151.9, 148, 0.01, 0.01},
                                  {154, 155.5, 0.01, 0.01}, {154, 140.5, 0.01, 0.01},
                                  {154, 148, 0.051, 0.01},  {154, 148, -0.021, 0.01},
                                  {154, 148, 0.01, 0.061},  {154, 148, 0.01, -0.021}};
    for (size_t i = 0; i < N_OF(bad); i++) {
        assert_false(mdr_spec_meets(&d, &bad[i], 0));
        assert_true(mdr_spec_meets(&d, &bad[i], 0.0011));
    }
}

static void spirality(void **state)
{
    (void)state;
    const mdr_knit k = {.yarn = {20}, .loop_cm = 0.28, .needles = 2262, .feeders = 90};
    const mdr_knit_constants full = mdr_knit_constants_of(MDR_KNIT_SINGLE_JERSEY, MDR_RELAX_FULL);
    const mdr_spec_spirality s = mdr_spec_spirality_of(&k, &full, 0, 5);
    CHECK_NEAR(s.feeder_pct, 3.0383, 1e-4, "D: 9000 x 4.2/(2262 x 5.5)");
    CHECK_NEAR(s.total_pct, s.feeder_pct, 0, "D: no torque given");
    assert_true(s.met);
    CHECK_NEAR(s.over_pct, 0, 0, "contract");
    const mdr_spec_spirality t = mdr_spec_spirality_of(&k, &full, 2.5, 5);
    CHECK_NEAR(t.torque_pct, 2.5, 0, "contract");
    CHECK_NEAR(t.total_pct, s.feeder_pct + 2.5, 1e-12, "D: sum");
    assert_false(t.met);
    CHECK_NEAR(t.over_pct, s.feeder_pct - 2.5, 1e-12, "D: over 5");
}

static void refused(void **state)
{
    (void)state;
    static const struct {
        size_t at;
        const char *place;
        double low, high;
    } FIELDS[] = {
        {offsetof(mdr_spec_in, relaxed.gsm), "relaxed.gsm", 9.9, 2001},
        {offsetof(mdr_spec_in, relaxed.width_cm), "relaxed.width_cm", 0.9, 1001},
        {offsetof(mdr_spec_in, demand.gsm), "demand.gsm", 9.9, 2001},
        {offsetof(mdr_spec_in, demand.gsm_tol_pct), "demand.gsm_tol_pct", -0.001, 50.1},
        {offsetof(mdr_spec_in, demand.width_cm), "demand.width_cm", 0.9, 1001},
        {offsetof(mdr_spec_in, demand.width_tol_cm), "demand.width_tol_cm", -0.001, 77.1},
        {offsetof(mdr_spec_in, demand.length_shrink_min_frac), "demand.length_shrink_min_frac",
         -0.501, 0.501},
        {offsetof(mdr_spec_in, demand.width_shrink_min_frac), "demand.width_shrink_min_frac",
         -0.501, 0.501},
        {offsetof(mdr_spec_in, demand.length_shrink_max_frac), "demand.length_shrink_max_frac",
         -0.02, 5},
        {offsetof(mdr_spec_in, demand.width_shrink_max_frac), "demand.width_shrink_max_frac", -0.02,
         5},
    };
    mdr_err err = {0};
    for (size_t i = 0; i < N_OF(FIELDS); i++) {
        const double bad[] = {FIELDS[i].low, FIELDS[i].high, (double)NAN, (double)INFINITY};
        for (size_t b = 0; b < N_OF(bad); b++) {
            mdr_spec_in in = asked(148, 5, 154, 2, 0.06, 0.06);
            memcpy((char *)&in + FIELDS[i].at, &bad[b], sizeof bad[b]);
            assert_int_equal(mdr_spec_check(&in, &err), MDR_E_RANGE);
            assert_string_equal(err.place, FIELDS[i].place);
            assert_true(strlen(err.value) > 0 && strlen(err.allowed) > 0 && strlen(err.remedy) > 0);
            assert_int_equal(mdr_spec_check(&in, NULL), MDR_E_RANGE);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(relations),
        cmocka_unit_test(met),
        cmocka_unit_test(few_corners),
        cmocka_unit_test(middle_is_best),
        cmocka_unit_test(width_against_its_shrinkage),
        cmocka_unit_test(gsm_against_width),
        cmocka_unit_test(gsm_against_shrinkages),
        cmocka_unit_test(cures_in_words),
        cmocka_unit_test(map),
        cmocka_unit_test(meets_every_demand),
        cmocka_unit_test(spirality),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
