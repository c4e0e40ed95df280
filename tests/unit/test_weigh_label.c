/* Labels of weighed portions as a reader and a scanner see them. Everything invented (I). */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "card/mdr_weigh_label.h"
#include "card_look.h"
#include "core/plan/mdr_records.h"
#include "core/run/mdr_scan.h"

static const mdr_card_print PRINT = {"2026-11-26 08:15", "ann", "0.0.0"};

static mdr_weigh_label label(void)
{
    return (mdr_weigh_label){.code = "W-L26-0107.1/2.4/1-K",
                             .name = "Caustic soda 50 %",
                             .material_id = "CAUSTIC-50",
                             .lot_id = "L26-0107",
                             .machine_id = "W1",
                             .bath = "Scour-bleach",
                             .step = "2.4",
                             .mass_mg = 32000000,
                             .cautions = 1u << MDR_CAUTION_CORROSIVE_ALKALI,
                             .number = 1,
                             .numbers = 1};
}

static mdr_code print_labels(const mdr_weigh_label *labels, int n, look *l, mdr_err *err)
{
    mdr_arena *arena = mdr_arena_new((size_t)32 << 20);
    unsigned char *pdf = NULL;
    size_t len = 0;
    const mdr_weigh_labels what = {
        .labels = labels, .n = n, .batch_id = "L26-0107.1", .place = "", .invented = true};
    const mdr_code rc = mdr_card_weigh_labels(&what, &PRINT, arena, &pdf, &len, err);
    if (rc == MDR_OK) {
        *l = look_at(pdf, len);
    }
    mdr_arena_free(arena);
    return rc;
}

static void says_what_and_for_whom(void **state)
{
    (void)state;
    look l = {0};
    mdr_weigh_label two[] = {label(), label()};
    two[1].number = 2;
    two[1].numbers = 3;
    two[1].weighed_mg = 31990000;
    assert_int_equal(print_labels(two, 2, &l, NULL), MDR_OK);
    assert_int_equal(l.pages, 2);
    CHECK_NEAR(l.width, 100 / 25.4 * 72, 0.1, "D: 100 mm");
    CHECK_NEAR(l.height, 80 / 25.4 * 72, 0.1, "D: 80 mm");
    static const char *const FIRST[] = {"Caustic", "32.00", "CAUSTIC-50", "L26-0107",
                                        "W1",      "2.4",   "shield",     "W-L26-0107.1/2.4/1-K"};
    for (size_t i = 0; i < N_OF(FIRST); i++) {
        if (look_count(&l, FIRST[i], 1) == 0) {
            fail_msg("the label lacks %s", FIRST[i]);
        }
    }
    assert_int_equal(look_count(&l, "portion", 1), 0);
    assert_int_equal(look_count(&l, "portion", 2), 1);
    assert_int_equal(look_count(&l, "31.99", 2), 1); /* what was weighed, not what was asked */
    assert_int_equal(look_count(&l, "weighed", 1) * look_count(&l, "be", 1), 1); /* to be */
    assert_int_equal(look_count(&l, "weighed", 2) - look_count(&l, "be", 2), 1);
    assert_int_equal(look_count(&l, "CAUSTIC-50", 2), 1);
    assert_int_equal(look_faults(&l, "labels"), 0);
    look_free(&l);
}

static void long_names_fit(void **state)
{
    (void)state;
    look l = {0};
    mdr_weigh_label long_one = label();
    long_one.name = "Levelling agent for reactive and direct dyes, low in foam, for short ratios";
    long_one.bath = "A bath whose name is as long as somebody cared to write it, and then longer";
    long_one.cautions = (1u << MDR_CAUTION_COUNT) - 1u;
    for (int i = 0; i < 2; i++) {
        assert_int_equal(print_labels(&long_one, 1, &l, NULL), MDR_OK);
        assert_int_equal(look_faults(&l, "a long label"), 0);
        assert_int_equal(l.pages, 1);
        look_free(&l);
        long_one.code = ""; /* without a code */
    }
}

static void nothing_to_label(void **state)
{
    (void)state;
    look l = {0};
    mdr_err err = {0};
    assert_int_equal(print_labels(NULL, 0, &l, &err), MDR_E_NOTFOUND);
    assert_string_equal(err.place, "step");
}

/* The code comes back as it was: scanner and reader agree. */
static void a_scanner_reads_it(void **state)
{
    (void)state;
    mdr_scan s;
    mdr_err err = {0};
    mdr_arena *arena = mdr_arena_new((size_t)1 << 16);
    const mdr_weigh_label l = label();
    assert_int_equal(mdr_scan_read(l.code, strlen(l.code), 2026, arena, &s, &err), MDR_OK);
    assert_string_equal(s.id, "L26-0107.1");
    mdr_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(says_what_and_for_whom), cmocka_unit_test(long_names_fit),
        cmocka_unit_test(nothing_to_label), cmocka_unit_test(a_scanner_reads_it)};
    return cmocka_run_group_tests(tests, look_begin, look_end);
}
