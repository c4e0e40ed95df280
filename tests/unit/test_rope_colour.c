/* The colour of a slice that got more or less dye: meets the shade when it got what it should, goes
 * darker and lighter and toward the dye that is too much; by ladders it is the mixture itself. */
#include "t.h"

#include "core/colour/mdr_difference.h"
#include "core/recipe/mdr_rope_colour.h"
#include "dye_kit.h"

static mdr_lab at(const mdr_rope_colour *c, double a, double b)
{
    const double factor[2] = {a, b};
    return mdr_rope_colour_at(c, factor);
}

static void meets_the_shade(void **state)
{
    (void)state;
    const mdr_lab shades[] = {
        {27, 31.5, 8.5}, {88.5, 1.6, 11}, {15.2, 0.1, -1.2}, {57.5, -30, -27}};
    const mdr_rope_dye dyes[] = {{2.25, "#b3163c"}, {0.65, "#e59a12"}};
    for (size_t i = 0; i < N_OF(shades); i++) {
        mdr_rope_colour c;
        mdr_rope_colour_of_shade(shades[i], dyes, 2, &c);
        assert_int_equal(c.from, MDR_COLOUR_OF_SHADE);
        const mdr_lab same = at(&c, 1, 1);
        CHECK_NEAR(same.l, shades[i].l, 1e-9, "D: nothing is off");
        CHECK_NEAR(same.a, shades[i].a, 1e-9, "D: nothing is off");
        CHECK_NEAR(same.b, shades[i].b, 1e-9, "D: nothing is off");
        assert_true(at(&c, 1.1, 1.1).l < shades[i].l && at(&c, 0.9, 0.9).l > shades[i].l);
    }
}

/* Red and blue: too much red is redder, too much blue bluer. */
static void goes_toward_the_dye(void **state)
{
    (void)state;
    const mdr_rope_dye dyes[] = {{1, "#c01030"}, {1, "#1040b0"}};
    mdr_rope_colour c;
    mdr_rope_colour_of_shade((mdr_lab){35, 15, -15}, dyes, 2, &c);
    const mdr_lab shade = at(&c, 1, 1), red = at(&c, 1.2, 1), blue = at(&c, 1, 1.2);
    assert_true(red.a > shade.a && red.b > shade.b);
    assert_true(blue.a < shade.a && blue.b < shade.b);
    for (int b = 0; b < MDR_WIDE_BANDS; b++) {
        CHECK_NEAR(c.share[b][0] + c.share[b][1], 1, 1e-12, "D: all of it");
    }
}

/* Without dye the cloth is left, nearly white; a swatch that is none counts as grey. */
static void bare_cloth_and_odd_swatches(void **state)
{
    (void)state;
    const char *const odd[] = {"", "red", "#12345", "#gg0000", "#1234567"};
    for (size_t i = 0; i < N_OF(odd); i++) {
        const mdr_rope_dye dyes[] = {{1, odd[i]}, {3, "#808080"}};
        mdr_rope_colour c;
        mdr_rope_colour_of_shade((mdr_lab){40, 10, 5}, dyes, 2, &c);
        const mdr_lab bare = at(&c, 0, 0);
        assert_true(bare.l > 90 && bare.l < 100 && fabs(bare.a) < 3 && fabs(bare.b) < 3);
    }
    /* a colour that no dyed cloth can have is still answered */
    const mdr_rope_dye one[] = {{1, "#ffffff"}};
    mdr_rope_colour c;
    const double factor[1] = {1.3};
    mdr_rope_colour_of_shade((mdr_lab){99.9, 0, -60}, one, 1, &c);
    assert_true(isfinite(mdr_rope_colour_at(&c, factor).l));
    mdr_rope_colour_of_shade((mdr_lab){0, 0, 0}, one, 1, &c);
    assert_true(isfinite(mdr_rope_colour_at(&c, factor).l));
}

/* K/S of one dye in a grey: by hand. */
static void in_proportion(void **state)
{
    (void)state;
    const mdr_rope_dye one[] = {{1, "#808080"}};
    mdr_rope_colour c;
    const double factor[1] = {2};
    mdr_rope_colour_of_shade((mdr_lab){50, 0, 0}, one, 1, &c);
    const double y = pow((50 + 16) / 116.0, 3), ks = (1 - y) * (1 - y) / (2 * y);
    const double bare = 0.15 * 0.15 / (2 * 0.85), twice = bare + 2 * (ks - bare);
    const double r = 1 + twice - sqrt(twice * twice + 2 * twice);
    CHECK_NEAR(mdr_rope_colour_at(&c, factor).l, 116 * cbrt(r) - 16, 1e-9,
               "D: K/S doubled but for the cloth");
}

static void by_ladders_it_is_the_mixture(void **state)
{
    (void)state;
    static mdr_rung rungs[2][KIT_RUNGS];
    static mdr_ladder ladders[2];
    const mdr_curve measured = kit_cloth();
    const mdr_surface surface = KIT_SURFACE;
    mdr_cloth cloth;
    const mdr_weights d65 = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    mdr_err err = {0};
    assert_int_equal(mdr_cloth_make(&measured, &surface, &cloth, &err), MDR_OK);
    for (int i = 0; i < 2; i++) {
        kit_rungs(i, rungs[i]);
        const mdr_ladder_in in = kit_ladder_in(rungs[i], KIT_RUNGS);
        assert_int_equal(mdr_ladder_make(&in, &ladders[i], &err), MDR_OK);
    }
    mdr_part parts[2] = {{&ladders[0], 0.8, 1.0}, {&ladders[1], 0.5, 1.1}};
    mdr_rope_colour c;
    assert_int_equal(mdr_rope_colour_of_ladders(&cloth, &d65, parts, 2, &c, &err), MDR_OK);
    assert_int_equal(c.from, MDR_COLOUR_OF_LADDERS);
    for (double f = 0.5; f < 1.6; f += 0.25) {
        mdr_part off[2] = {parts[0], parts[1]};
        mdr_mixture m;
        off[0].depth_pct_owf *= f;
        assert_int_equal(mdr_mixture_of(&cloth, off, 2, &m, &err), MDR_OK);
        const mdr_lab want = mdr_lab_of_curve(&m.curve, &d65), got = at(&c, f, 1);
        CHECK_NEAR(got.l, want.l, 1e-9, "O: mdr_mixture");
        CHECK_NEAR(got.a, want.a, 1e-9, "O: mdr_mixture");
        CHECK_NEAR(got.b, want.b, 1e-9, "O: mdr_mixture");
    }
    parts[1].depth_pct_owf = -1;
    assert_int_equal(mdr_rope_colour_of_ladders(&cloth, &d65, parts, 2, &c, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "parts[1].depth_pct_owf");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(meets_the_shade),
        cmocka_unit_test(goes_toward_the_dye),
        cmocka_unit_test(bare_cloth_and_odd_swatches),
        cmocka_unit_test(in_proportion),
        cmocka_unit_test(by_ladders_it_is_the_mixture),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
