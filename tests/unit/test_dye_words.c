/* Words that stand in answers for what limits a programme, why it cannot be shorter, what went wrong: each
 * has its own, and a number that is none has none. */
#include "t.h"

#include "core/exhaust/mdr_dye_programme.h"
#include "core/exhaust/mdr_dye_shorten.h"
#include "core/exhaust/mdr_dyeing_study.h"

static void limits(void **state)
{
    (void)state;
    static const struct {
        mdr_dye_limit limit;
        const char *id;
    } ROWS[] = {
        /* contract: docs/api.md */
        {MDR_DYE_LIMIT_TANK, "tank"},
        {MDR_DYE_LIMIT_TANK_BUSY, "tank-busy"},
        {MDR_DYE_LIMIT_RATE, "rate"},
        {MDR_DYE_LIMIT_HEAT, "heat"},
        {MDR_DYE_LIMIT_UNREACHED, "not-reached"},
        {MDR_DYE_LIMIT_NOTHING, "nothing-to-do"},
        {MDR_DYE_LIMIT_OUTLIVES, "outlives"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        assert_string_equal(mdr_dye_limit_id(ROWS[i].limit), ROWS[i].id);
    }
    assert_null(mdr_dye_limit_id(MDR_DYE_AS_ASKED));
}

static void reasons(void **state)
{
    (void)state;
    static const struct {
        mdr_shorten_reason reason;
        const char *id;
    } ROWS[] = {
        /* contract: docs/api.md */
        {MDR_SHORTEN_KEPT, "kept"},
        {MDR_SHORTEN_MACHINE, "machine"},
        {MDR_SHORTEN_TURNS, "least-turns"},
        {MDR_SHORTEN_WAIT, "least-wait"},
        {MDR_SHORTEN_STRIKE, "strike"},
        {MDR_SHORTEN_BEFORE, "uneven-before-alkali"},
        {MDR_SHORTEN_FIXING, "uneven-while-fixing"},
        {MDR_SHORTEN_END, "uneven-at-end"},
        {MDR_SHORTEN_FIXATION, "fixation"},
        {MDR_SHORTEN_NOTHING, "nothing"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        assert_string_equal(mdr_shorten_reason_id(ROWS[i].reason), ROWS[i].id);
    }
    assert_null(mdr_shorten_reason_id((mdr_shorten_reason)N_OF(ROWS)));
    assert_null(mdr_shorten_reason_id((mdr_shorten_reason)-1));
}

static void mishaps(void **state)
{
    (void)state;
    static const struct {
        mdr_mishap mishap;
        const char *id, *words;
    } ROWS[] = {
        /* contract: docs/api.md; words of the screens */
        {MDR_MISHAP_WARM, "temp_up", "5 °C warmer"},
        {MDR_MISHAP_COLD, "temp_down", "5 °C colder"},
        {MDR_MISHAP_SALT_MORE, "salt_more", "10 % more salt"},
        {MDR_MISHAP_SALT_LESS, "salt_less", "10 % less salt"},
        {MDR_MISHAP_ALKALI_LATE, "alkali_late", "alkali 15 min late"},
        {MDR_MISHAP_ALKALI_FAST, "alkali_fast", "alkali in half the time"},
        {MDR_MISHAP_SLOW_REEL, "slow_reel", "rope a fifth slower"},
        {MDR_MISHAP_LOW_FLOW, "low_flow", "a third less flow"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        assert_string_equal(mdr_mishap_id(ROWS[i].mishap), ROWS[i].id);
        assert_string_equal(mdr_mishap_words(ROWS[i].mishap), ROWS[i].words);
    }
    assert_int_equal(MDR_MISHAP_COUNT, N_OF(ROWS));
    assert_null(mdr_mishap_id(MDR_MISHAP_COUNT));
    assert_null(mdr_mishap_words(MDR_MISHAP_COUNT));
    assert_null(mdr_mishap_id((mdr_mishap)-1));
}

static void givings(void **state)
{
    (void)state;
    static const struct {
        mdr_dye_gives gives;
        const char *id;
    } ROWS[] = {
        /* contract: docs/api.md */
        {MDR_GIVES_NOTHING, "nothing"}, {MDR_GIVES_SALT, "salt"},   {MDR_GIVES_DYE, "dye"},
        {MDR_GIVES_ALKALI, "alkali"},   {MDR_GIVES_OTHER, "other"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        assert_string_equal(mdr_dye_gives_id(ROWS[i].gives), ROWS[i].id);
    }
    assert_null(mdr_dye_gives_id((mdr_dye_gives)N_OF(ROWS)));
    assert_null(mdr_dye_gives_id((mdr_dye_gives)-1));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(limits),
        cmocka_unit_test(reasons),
        cmocka_unit_test(mishaps),
        cmocka_unit_test(givings),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
