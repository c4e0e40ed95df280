#include "t.h"

#include <string.h>

#include "core/colour/mdr_shade_block.h"

static const mdr_lab STANDARD = {50, 30, 0};

static mdr_block_spec usual(void)
{
    return (mdr_block_spec){
        .axes = MDR_BLOCK_LCH, .formula = {MDR_DE_CMC, 2, 1, 1}, .width = {0.5, 0.3, 0.4}};
}

/* P: the standard is 555; "356" is two blocks off in the first axis, one in the third. */
static void codes(void **state)
{
    (void)state;
    const mdr_block_spec s = usual();
    static const struct {
        double dl, dc;
        const char *code;
        bool beyond;
    } ROWS[] = {
        {0, 0, "555", false},       {-1, 0, "355", false},        {0.24, 0.14, "555", false},
        {0.26, 0.16, "665", false}, {-0.26, -0.16, "445", false}, {2.2, 0, "955", false},
        {2.3, 0, "955", true},      {-9, 0, "155", true},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_block b =
            mdr_block_of(STANDARD, (mdr_lab){50 + ROWS[i].dl, 30 + ROWS[i].dc, 0}, &s);
        assert_string_equal(b.code, ROWS[i].code);
        assert_int_equal(b.beyond[0], ROWS[i].beyond);
        CHECK_NEAR(b.part[0], ROWS[i].dl, 1e-12, "D");
        assert_false(b.hue_is_weak);
    }
}

/* Edges belong inward or outward as agreed; 0.1 + 0.15 is the edge of 0.5 as 0.25 is. */
static void edges(void **state)
{
    (void)state;
    mdr_block_spec s = usual();
    static const double ON_EDGE[] = {0.25, 0.75, 1.25, 1.75};
    for (size_t i = 0; i < N_OF(ON_EDGE); i++) {
        for (int sign = -1; sign <= 1; sign += 2) {
            for (int wobble = -1; wobble <= 1; wobble++) {
                const double dl = sign * (ON_EDGE[i] + wobble * 1e-12);
                s.edge_outward = false;
                assert_int_equal(mdr_block_of(STANDARD, (mdr_lab){50 + dl, 30, 0}, &s).digit[0],
                                 5 + sign * (int)i);
                s.edge_outward = true;
                assert_int_equal(mdr_block_of(STANDARD, (mdr_lab){50 + dl, 30, 0}, &s).digit[0],
                                 5 + sign * (int)(i + 1));
            }
        }
    }
    s.edge_outward = true; /* the far edge of the last block */
    const mdr_block b = mdr_block_of(STANDARD, (mdr_lab){52.25, 30, 0}, &s);
    assert_true(b.digit[0] == 9 && b.beyond[0]);
}

static void axes_and_directions(void **state)
{
    (void)state;
    mdr_block_spec s = usual();
    const mdr_lab sample = {50.5, 29.7, 0.8};
    assert_string_equal(mdr_block_of(STANDARD, sample, &s).code, "647"); /* dH 0.804 of 0.4 */
    s.axes = MDR_BLOCK_LAB;
    assert_string_equal(mdr_block_of(STANDARD, sample, &s).code, "647"); /* da -0.3, db 0.8 */
    s.falls[0] = true;
    s.falls[2] = true;
    assert_string_equal(mdr_block_of(STANDARD, sample, &s).code, "443");
    s = usual();
    s.axes = MDR_BLOCK_FORMULA;
    const mdr_difference d = mdr_difference_of(STANDARD, sample, &s.formula);
    const mdr_block b = mdr_block_of(STANDARD, sample, &s);
    CHECK_NEAR(b.part[0], d.wl, 0, "D");
    CHECK_NEAR(b.part[1], d.wc, 0, "D");
    CHECK_NEAR(b.part[2], d.wh, 0, "D");
}

static void greys_have_no_hue(void **state)
{
    (void)state;
    mdr_block_spec s = usual();
    const mdr_lab grey = {50, 1, 0};
    assert_true(mdr_block_of(grey, grey, &s).hue_is_weak);
    s.axes = MDR_BLOCK_LAB;
    assert_false(mdr_block_of(grey, grey, &s).hue_is_weak);
}

static void refused(void **state)
{
    (void)state;
    mdr_err err;
    mdr_block_spec s = usual();
    assert_int_equal(mdr_block_check(&s, &err), MDR_OK);
    static const double BAD[] = {0, -1, 101, (double)NAN};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        s = usual();
        s.width[1] = BAD[i];
        assert_int_equal(mdr_block_check(&s, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "width[1]");
    }
    s = usual();
    s.axes = MDR_BLOCK_FORMULA;
    s.formula.l = 0;
    assert_int_equal(mdr_block_check(&s, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "l");
    s.axes = (mdr_block_axes)7;
    assert_int_equal(mdr_block_check(&s, &err), MDR_E_ARG);
    assert_string_equal(err.place, "axes");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(codes), cmocka_unit_test(edges), cmocka_unit_test(axes_and_directions),
        cmocka_unit_test(greys_have_no_hue), cmocka_unit_test(refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
