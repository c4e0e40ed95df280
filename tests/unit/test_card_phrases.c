/* What papers say of a reading, a danger, a number at the end of a line. The texts are the program's own
 * wording (definition). */
#include "t.h"

#include "card/mdr_doc.h"
#include "card/mdr_words.h"

#define NB "\u00a0"

/* What the end of a line would part: "run 10 / min". */
static void numbers_keep_their_units(void **state)
{
    static const struct {
        const char *text, *want;
    } ROWS[] = {
        {"run 10 min, measure", "run 10" NB "min, measure"},
        {"0.1 g/L", "0.1" NB "g/L"},
        {"to 98 \u00b0C again", "to 98" NB "\u00b0C again"},
        {"up to 10 % of it", "up to 10" NB "% of it"},
        {"1 minute, 3 samples, 2 gauges", "1 minute, 3 samples, 2 gauges"},
        {"10 per cent", "10 per cent"},
        {"", ""},
        {"5 ", "5 "},
    };
    (void)state;
    mdr_doc doc = {.arena = mdr_arena_new(1 << 16)};
    assert_non_null(doc.arena);
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        assert_string_equal(mdr_doc_tied(&doc, ROWS[i].text), ROWS[i].want);
    }
    mdr_arena_free(doc.arena);
}

static void wear(void **state)
{
    (void)state;
    char out[MDR_WORDS_MAX];
    mdr_words_wear(0, out);
    assert_string_equal(out, "");
    mdr_words_wear(1u << MDR_CAUTION_IRRITANT, out);
    assert_string_equal(out, "goggles, gloves");
    mdr_words_wear(1u << MDR_CAUTION_IRRITANT | 1u << MDR_CAUTION_CORROSIVE_ALKALI, out);
    assert_string_equal(out, "face shield, gloves, apron, boots"); /* each once */
    mdr_words_wear((1u << MDR_CAUTION_COUNT) - 1u, out);
    assert_non_null(strstr(out, "no flame or spark"));
    mdr_words_caution(MDR_CAUTION_CORROSIVE_ACID, out);
    assert_string_equal(out, "corrosive acid");
}

static void cautions(void **state)
{
    (void)state;
    char out[MDR_WORDS_MAX];
    mdr_words_caution(MDR_CAUTION_ROTATING, out);
    assert_string_equal(out, "moving parts");
    mdr_words_caution(MDR_CAUTION_REDUCER, out);
    assert_string_equal(out, "reducing agent");
    mdr_words_caution(MDR_CAUTION_HOT_LIQUOR, out);
    assert_string_equal(out, "hot liquor");
}

static void reads(mdr_route_check check, double value, const char *want)
{
    char out[MDR_WORDS_MAX];
    mdr_words_reading(&check, value, out);
    assert_string_equal(out, want);
}

/* As the limits are written; a sample that is looked at has no number. */
static void readings(void **state)
{
    (void)state;
    reads((mdr_route_check){.kind = MDR_CHECK_PH}, 9.45, "9.45");
    reads((mdr_route_check){.kind = MDR_CHECK_PH}, 6.0, "6.0");
    reads((mdr_route_check){.kind = MDR_CHECK_HARDNESS}, 58.0, "58" NB "\u00b0dH");
    reads((mdr_route_check){.kind = MDR_CHECK_REDOX}, -750.0, "-750" NB "mV");
    reads((mdr_route_check){.kind = MDR_CHECK_SAMPLE}, 1.0, "as it should be");
    reads((mdr_route_check){.kind = MDR_CHECK_SAMPLE}, 0.0, "not as it should be");
    reads((mdr_route_check){.kind = MDR_CHECK_SAMPLE, .has_high = true}, 0.0, "as it should be");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(readings), cmocka_unit_test(cautions),
                                       cmocka_unit_test(wear),
                                       cmocka_unit_test(numbers_keep_their_units)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
