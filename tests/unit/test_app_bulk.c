/* Factors from laboratory to bulk, offered with a recipe: those that the lots teach, for a shade on a
 * machine, the next wider group where it was not dyed there, and nothing where nothing is known. */
#include "t.h"

#include <math.h>
#include <string.h>

#include "app/mdr_app_bulk.h"
#include "arena_kit.h"

enum { LOTS = 24 };

static mdr_learn_dye dyes[LOTS];
static mdr_learn_lot lots[LOTS];

/* I: B-1 on J1 takes 12 % more in every lot but for a little, on J2 as much as planned; the shades in
 * turn. The little is no lot's own: it adds up to nothing. */
static mdr_learn_in book(void)
{
    for (int i = 0; i < LOTS; i++) {
        const bool pale = i % 2 == 0;
        const double little = i % 4 < 2 ? 0.01 : -0.01;
        dyes[i] = (mdr_learn_dye){"B-1", 1.5, 1.5 * (pale ? 1.12 : 1.0) * (1.0 + little)};
        lots[i] = (mdr_learn_lot){.lot_id = "L",
                                  .shade_id = i % 3 == 0 ? "NAVY" : "SKY",
                                  .machine_id = pale ? "J1" : "J2",
                                  .dyes = &dyes[i],
                                  .n_dyes = 1,
                                  .ended_utc_ms = 1000 * (int64_t)(i + 1)};
    }
    return (mdr_learn_in){.lots = lots, .n = LOTS};
}

static const mdr_bulk_offers *offers(const mdr_learn_in *in, mdr_bulk_ask ask)
{
    const mdr_bulk_offers *out = NULL;
    mdr_err err = {0};
    if (mdr_app_bulk_offers(in, &ask, arena, &out, &err) != MDR_OK) {
        fail_msg("%s at %s (%s)", err.msg, err.place, err.value);
    }
    return out;
}

static void by_shade_and_machine(void **state)
{
    (void)state;
    static const struct {
        const char *shade, *machine;
        bool guess;
        mdr_bulk_level level;
        mdr_bulk_use_verdict use;
        double least, most; /* D: 1.12 and 1 by the book, drawn towards the wider group */
    } ROWS[] = {
        {"NAVY", "J1", false, MDR_BULK_CELL, MDR_BULK_APPLIED, 1.10, 1.121},
        {"SKY", "J1", false, MDR_BULK_CELL, MDR_BULK_APPLIED, 1.10, 1.121},
        {"NAVY", "J2", false, MDR_BULK_CELL, MDR_BULK_UNPROVEN, 1.0, 1.0},
        {"NAVY", "J2", true, MDR_BULK_CELL, MDR_BULK_APPLIED, 1.0, 1.02},
        {"NEW", "J1", true, MDR_BULK_MACHINE, MDR_BULK_APPLIED, 1.09, 1.121},
        {"NAVY", "NEW", true, MDR_BULK_MILL, MDR_BULK_APPLIED, 1.03, 1.08},
    };
    const mdr_learn_in in = book();
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        const mdr_bulk_offers *o =
            offers(&in, (mdr_bulk_ask){ROWS[i].shade, ROWS[i].machine, ROWS[i].guess});
        assert_int_equal(o->n, 1);
        assert_int_equal(o->lots, LOTS);
        const mdr_bulk_offer *b = mdr_bulk_offer_of(o, "B-1");
        assert_non_null(b);
        assert_int_equal(b->known.level, ROWS[i].level);
        assert_int_equal(b->use.verdict, ROWS[i].use);
        if (!(b->multiply >= ROWS[i].least && b->multiply <= ROWS[i].most)) {
            fail_msg("%s on %s: %g", ROWS[i].shade, ROWS[i].machine, b->multiply);
        }
        assert_true(b->multiply == mdr_bulk_offered(o, "B-1"));
        assert_true(fabs(1000.0 * b->multiply - round(1000.0 * b->multiply)) < 1e-9);
        assert_non_null(strstr(b->words, mdr_bulk_level_words(ROWS[i].level)));
    }
}

/* A new shade on a machine is known less well than one that was dyed there. */
static void wider_is_less_sure(void **state)
{
    (void)state;
    const mdr_learn_in in = book();
    const mdr_bulk_known cell =
        mdr_bulk_offer_of(offers(&in, (mdr_bulk_ask){"NAVY", "J1", true}), "B-1")->known;
    const mdr_bulk_known machine =
        mdr_bulk_offer_of(offers(&in, (mdr_bulk_ask){"NEW", "J1", true}), "B-1")->known;
    const mdr_bulk_known mill =
        mdr_bulk_offer_of(offers(&in, (mdr_bulk_ask){"NAVY", "NEW", true}), "B-1")->known;
    assert_true(log(cell.high / cell.low) < log(machine.high / machine.low));
    assert_true(log(machine.high / machine.low) < log(mill.high / mill.low));
    assert_int_equal(cell.lots, 4); /* D: 0, 6, 12, 18 */
    assert_int_equal(machine.lots, LOTS / 2);
    assert_int_equal(mill.lots, LOTS);
}

static void nothing_known(void **state)
{
    (void)state;
    const mdr_learn_in none = {.n = 0}, in = book();
    const mdr_bulk_ask ask = {"NAVY", "J1", true};
    assert_int_equal(offers(&none, ask)->n, 0);
    assert_null(mdr_bulk_offer_of(offers(&none, ask), "B-1"));
    assert_true(mdr_bulk_offered(offers(&in, ask), "R-1") == 1.0);
    assert_true(mdr_bulk_offered(NULL, "B-1") == 1.0);
}

static void depths(void **state)
{
    (void)state;
    assert_true(mdr_bulk_depth(0.3, 1.1) == 0.33);          /* D */
    assert_true(mdr_bulk_depth(0.0893, 1.046) == 0.093408); /* D: 0.0934078 */
    assert_true(mdr_bulk_depth(1.2, 1.0) == 1.2);
}

static void refusals(void **state)
{
    (void)state;
    const mdr_bulk_offers *out = NULL;
    mdr_err err = {0};
    mdr_learn_in in = book();
    const mdr_bulk_ask ask = {"NAVY", "J1", true};
    lots[3].ended_utc_ms = -1;
    assert_int_equal(mdr_app_bulk_offers(&in, &ask, arena, &out, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "lots[3].ended_utc_ms");
    in.n = MDR_LEARN_LOTS_MAX + 1;
    assert_int_equal(mdr_app_bulk_offers(&in, &ask, arena, &out, &err), MDR_E_ARG);
    assert_null(out);
    /* memory may run out anywhere: an error, not a crash */
    in = book();
    int failed = 0;
    for (size_t room = 64; room < 40000; room += 512) {
        mdr_arena *small = mdr_arena_new(room);
        const mdr_bulk_offers *o = NULL;
        const mdr_code rc = mdr_app_bulk_offers(&in, &ask, small, &o, &err);
        assert_true(rc == MDR_OK ? o->n == 1 : rc == MDR_E_NOMEM);
        failed += rc == MDR_E_NOMEM;
        mdr_arena_free(small);
    }
    assert_true(failed > 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(by_shade_and_machine, set_up, tear_down),
        cmocka_unit_test_setup_teardown(wider_is_less_sure, set_up, tear_down),
        cmocka_unit_test_setup_teardown(nothing_known, set_up, tear_down),
        cmocka_unit_test_setup_teardown(depths, set_up, tear_down),
        cmocka_unit_test_setup_teardown(refusals, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
