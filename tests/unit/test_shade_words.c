#include "t.h"

#include <string.h>

#include "core/colour/mdr_shade_words.h"

static const char *words(mdr_lab p, mdr_lab q, const mdr_difference_spec *spec)
{
    static char text[64];
    const mdr_difference d = mdr_difference_of(p, q, spec);
    const mdr_shade_words w = mdr_shade_words_of(p, q, &d);
    text[0] = '\0';
    for (int i = 0; i < w.n; i++) {
        strcat(text, i > 0 ? " " : "");
        strcat(text, mdr_shade_word_id(w.word[i]));
    }
    return text;
}

/* D: which of red (0), yellow (90), green (180), blue (270) comes next on the way. */
static void hues(void **state)
{
    (void)state;
    static const struct {
        double h_deg, turn_deg;
        const char *word;
    } ROWS[] = {
        {0, 5, "yellower"},    {0, -5, "bluer"},   {30, 5, "yellower"},   {30, -5, "redder"},
        {89, 5, "yellower"},   {90, 5, "greener"}, {90, -5, "redder"},    {135, 5, "greener"},
        {135, -5, "yellower"}, {180, 5, "bluer"},  {180, -5, "yellower"}, {225, 5, "bluer"},
        {225, -5, "greener"},  {270, 5, "redder"}, {270, -5, "greener"},  {300, 5, "redder"},
        {300, -5, "bluer"},    {359, 5, "redder"}, {359, -5, "bluer"},
    };
    const mdr_difference_spec plain = mdr_difference_usual(MDR_DE_76);
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_lab p = mdr_lab_of_lch((mdr_lch){50, 40, ROWS[i].h_deg});
        if (ROWS[i].h_deg == 90 || ROWS[i].h_deg == 270) {
            p.a = 0; /* exactly on the axis */
        }
        if (ROWS[i].h_deg == 180) {
            p.b = 0;
        }
        const mdr_lab q = mdr_lab_of_lch((mdr_lch){50, 40, ROWS[i].h_deg + ROWS[i].turn_deg});
        assert_string_equal(words(p, q, &plain), ROWS[i].word);
    }
}

static void order_and_limits(void **state)
{
    (void)state;
    const mdr_difference_spec plain = mdr_difference_usual(MDR_DE_76);
    static const struct {
        mdr_lab p, q;
        const char *words;
        const char *why;
    } ROWS[] = {
        {{50, 40, 0}, {52, 40, 0}, "lighter", "D"},
        {{50, 40, 0}, {49, 43, 0}, "brighter darker", "D: the larger first"},
        {{50, 40, 0}, {47, 39, 0}, "darker duller", "D: 1 of 3.16 is 31.6 %"},
        {{50, 40, 0}, {46.8, 39, 0}, "darker", "D: 1 of 3.35 is 29.8 %"},
        {{50, 40, 0}, {50, 40, 0}, "", "D: no difference, no word"},
        {{50, 40, 0}, {50.09, 40, 0}, "", "D: below 0.1"},
        {{50, 40, 0}, {50.11, 40, 0}, "lighter", "D: above 0.1"},
        {{50, 40, 0}, {51, 41, 1}, "brighter lighter yellower", "D: dC 1.012, dL 1, dH 0.988"},
        {{50, 1, 1}, {50, 3, 1}, "redder", "D: grey: the cast"},
        {{50, 1, 1}, {50, 1, -2}, "bluer", "D: grey: the cast"},
        {{50, 0, 0}, {49, -1, 1}, "darker greener yellower", "D: grey, from the middle"},
        {{50, 4, 0}, {50, 5.9, 0}, "redder", "D: mean chroma 4.95"},
        {{50, 4, 0}, {50, 6.1, 0}, "brighter", "D: mean chroma 5.05"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const char *got = words(ROWS[i].p, ROWS[i].q, &plain);
        if (strcmp(got, ROWS[i].words) != 0) {
            fail_msg("row %zu: got \"%s\", want \"%s\"\n    source: %s", i, got, ROWS[i].words,
                     ROWS[i].why);
        }
    }
}

/* With CMC 2:1 lightness counts half of what it does with 1:1; the words follow. D. */
static void weights_count(void **state)
{
    (void)state;
    mdr_difference_spec cmc = {MDR_DE_CMC, 1, 1, 1};
    const mdr_lab p = {50, 0, 20}, q = {51.2, 0, 21.4};
    assert_string_equal(words(p, q, &cmc), "lighter brighter");
    cmc.l = 5;
    assert_string_equal(words(p, q, &cmc), "brighter");
    /* grey: the cast by the weight of chroma, which is more than 1 there */
    cmc.l = 1;
    assert_string_equal(words((mdr_lab){50, 0, 0}, (mdr_lab){51, 0.9, 0}, &cmc), "redder lighter");
    cmc.c = 0.1; /* a customer who sees every cast of a grey */
    const mdr_lab grey = {50, 0, 0};
    assert_string_equal(words(grey, (mdr_lab){50, 0.05, 0}, &cmc), "redder");
    assert_string_equal(words(grey, (mdr_lab){50, -0.05, 0}, &cmc), "greener");
    assert_string_equal(words(grey, (mdr_lab){50, 0, 0.05}, &cmc), "yellower");
    assert_string_equal(words(grey, (mdr_lab){50, 0, -0.05}, &cmc), "bluer");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(hues), cmocka_unit_test(order_and_limits),
                                       cmocka_unit_test(weights_count)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
