/* Questions about measured cloth that cannot be answered, and want of memory. */
#include "colour_kit.h"

static colour_kit kit;

static int set_up(void **state)
{
    (void)state;
    kit.arena = mdr_arena_new(64 << 20);
    return kit.arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    mdr_arena_free(kit.arena);
    return 0;
}

/* -- refusals -- */

typedef struct refusal {
    mdr_colour_question question;
    mdr_colour_number number;
    double v[2];
    int n;
    mdr_code code;
    const char *place, *message;
} refusal;

static const refusal BAD_NUMBERS[] = {
    {MDR_COLOUR_READ, MDR_COLOUR_NUMBER_OBSERVER, {5}, 1, MDR_E_RANGE, "observer", "observer"},
    {MDR_COLOUR_READ, MDR_COLOUR_NUMBER_OBSERVER, {2.5}, 1, MDR_E_RANGE, "observer", "observer"},
    {MDR_COLOUR_READ, MDR_COLOUR_NUMBER_OBSERVER, {2, 10}, 2, MDR_E_ARG, "observer", "count"},
    {MDR_COLOUR_GROUP, MDR_COLOUR_NUMBER_MOST, {0}, 1, MDR_E_RANGE, "most_de", "out of range"},
    {MDR_COLOUR_GROUP,
     MDR_COLOUR_NUMBER_MOST,
     {(double)NAN},
     1,
     MDR_E_RANGE,
     "most_de",
     "out of range"},
    {MDR_COLOUR_GROUP,
     MDR_COLOUR_NUMBER_MOST,
     {(double)INFINITY},
     1,
     MDR_E_RANGE,
     "most_de",
     "out of range"},
    {MDR_COLOUR_GROUP, MDR_COLOUR_NUMBER_L, {1}, 1, MDR_E_ARG, "most_de", "missing"},
    {MDR_COLOUR_DIFFERENCE, MDR_COLOUR_NUMBER_L, {0.05}, 1, MDR_E_RANGE, "l", "out of range"},
    {MDR_COLOUR_DIFFERENCE, MDR_COLOUR_NUMBER_H, {1}, 1, MDR_E_ARG, "h", "no such weight"},
    {MDR_COLOUR_DIFFERENCE,
     MDR_COLOUR_NUMBER_TOLERANCE,
     {1, 2},
     2,
     MDR_E_ARG,
     "tolerance",
     "one limit"},
    {MDR_COLOUR_DIFFERENCE,
     MDR_COLOUR_NUMBER_LIMIT_DC,
     {1, -1},
     2,
     MDR_E_RANGE,
     "limit_dc",
     "lower limit"},
    {MDR_COLOUR_DIFFERENCE,
     MDR_COLOUR_NUMBER_STANDARD_LAB,
     {50, 1},
     2,
     MDR_E_ARG,
     "standard_lab",
     "count"},
    {MDR_COLOUR_LEVEL, MDR_COLOUR_NUMBER_SIDE, {1}, 1, MDR_E_ARG, "side_de", "nothing to hold"},
};

static void bad_numbers(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(BAD_NUMBERS); i++) {
        const refusal *r = &BAD_NUMBERS[i];
        colour_begin(&kit, r->question);
        colour_flat(&kit, "a,SCI,0.2;b,SCI,0.3");
        colour_numbers(&kit, r->number, r->n, r->v);
        colour_refused(&kit, r->code, r->place, r->message);
    }
}

static void bad_words(void **state)
{
    (void)state;
    static const struct {
        mdr_colour_question question;
        mdr_colour_word word;
        const char *text;
        mdr_code code;
        const char *place;
    } ROWS[] = {
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_ILLUMINANTS, "D66", MDR_E_NOTFOUND, "illuminants"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_ILLUMINANTS, "D65,", MDR_E_NOTFOUND, "illuminants"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_ILLUMINANTS, "", MDR_E_NOTFOUND, "illuminants"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_ILLUMINANTS, "F2,fl2", MDR_E_CONFLICT, "illuminants"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_ILLUMINANTS, "A,C,F1,F2,F3,F4,F5,F6,F7", MDR_E_RANGE,
         "illuminants"},
        {MDR_COLOUR_GROUP, MDR_COLOUR_WORD_ILLUMINANTS, "D65,A", MDR_E_ARG, "illuminants"},
        {MDR_COLOUR_WHITENESS, MDR_COLOUR_WORD_ILLUMINANTS, "A", MDR_E_ARG, "illuminants"},
        {MDR_COLOUR_FASTNESS, MDR_COLOUR_WORD_ILLUMINANTS, "A", MDR_E_ARG, "illuminants"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_FORMULA, "cie2000", MDR_E_NOTFOUND, "formula"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_SCALE, "pct", MDR_E_NOTFOUND, "scale"},
        {MDR_COLOUR_DIFFERENCE, MDR_COLOUR_WORD_STANDARD, "x", MDR_E_NOTFOUND, "one.csv"},
        {MDR_COLOUR_STRENGTH, MDR_COLOUR_WORD_SAMPLE, "b", MDR_E_CONFLICT, "one.csv"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        colour_begin(&kit, ROWS[i].question);
        colour_flat(&kit, "a,SCI,0.2;b,SCI,0.3");
        kit.ask.word[ROWS[i].word] = ROWS[i].text;
        colour_number(&kit, MDR_COLOUR_NUMBER_MOST, 1);
        colour_refused(&kit, ROWS[i].code, ROWS[i].place, "");
    }
}

static void bad_samples(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_READ);
    colour_refused(&kit, MDR_E_ARG, "file", "no file");
    colour_begin(&kit, MDR_COLOUR_READ); /* between the scales: the question is put back */
    colour_flat(&kit, "a,SCI,3");
    colour_refused(&kit, MDR_E_RANGE, "one.csv:2:3", "fractions or per cent");
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_flat(&kit, "a,SCI,0.2;b,SCE,0.2");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    colour_refused(&kit, MDR_E_NOTFOUND, "one.csv", "no sample to hold");
    kit.ask.word[MDR_COLOUR_WORD_SAMPLE] = "b";
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:3", "specular mode");
    const double lab[] = {50, 0, 0};
    colour_numbers(&kit, MDR_COLOUR_NUMBER_SAMPLE_LAB, 3, lab);
    colour_refused(&kit, MDR_E_ARG, "sample_lab", "both");
    colour_begin(&kit, MDR_COLOUR_LEVEL);
    colour_flat(&kit, "a,SCI,0.2;b,SCE,0.2");
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:3", "specular mode");
    colour_begin(&kit, MDR_COLOUR_LEVEL);
    colour_flat(&kit, "a,SCI,0.2");
    colour_refused(&kit, MDR_E_RANGE, "one.csv.n", "");
    colour_begin(&kit, MDR_COLOUR_GROUP);
    colour_flat(&kit, "a,SCI,0.2");
    colour_number(&kit, MDR_COLOUR_NUMBER_MOST, 1);
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    colour_refused(&kit, MDR_E_NOTFOUND, "one.csv", "no roll");
    kit.ask.is[MDR_COLOUR_SWITCH_CODES] = true;
    colour_refused(&kit, MDR_E_ARG, "widths", "missing");
}

/* What needs a curve, or a light, that a sample has not. */
static void not_by_colour_alone(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_STRENGTH);
    colour_labs(&kit, "D65 10", "a 50 0 0\nb 51 0 0");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:8", "colour only");
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_labs(&kit, "D50 2", "a 50 0 0\nb 51 0 0");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:8", "another light");
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE); /* the right light, but another eye */
    colour_labs(&kit, "D65 2", "a 50 0 0\nb 51 0 0");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:8", "another light");
    colour_begin(&kit, MDR_COLOUR_STRENGTH); /* fluorescent: no K/S */
    colour_flat(&kit, "a,SCI,0.2;b,SCI,1.1");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    colour_refused(&kit, MDR_E_RANGE, "one.csv:3.sample.v[0]", "");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "b";
    colour_refused(&kit, MDR_E_RANGE, "one.csv:3.standard.v[0]", "");
}

/* -- memory -- */

static void ask_all(int which)
{
    const double widths[] = {0.5, 0.3, 0.4};
    colour_begin(&kit, (mdr_colour_question)which);
    colour_flat(&kit, "a,SCI,0.2;b,SCI,0.21;b,SCI,0.22;c,SCE,0.3");
    if (which == MDR_COLOUR_GROUP || which == MDR_COLOUR_LEVEL) {
        kit.ask.n_files = 0;
        colour_flat(&kit, "a,SCI,0.2;b,SCI,0.21;b,SCI,0.22;c,SCI,0.3");
    } else {
        kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    }
    if (which == MDR_COLOUR_READ || which == MDR_COLOUR_DIFFERENCE) {
        kit.ask.word[MDR_COLOUR_WORD_ILLUMINANTS] = "D65,A";
    }
    kit.ask.is[MDR_COLOUR_SWITCH_REPEATS] = true;
    kit.ask.is[MDR_COLOUR_SWITCH_CODES] = true;
    colour_number(&kit, MDR_COLOUR_NUMBER_MOST, 0.5);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_WIDTHS, 3, widths);
}

/* Every allocation is made to fail once: want of memory and nothing else, and nothing answered. */
static void no_memory(void **state)
{
    (void)state;
    for (int q = 0; q < MDR_COLOUR_QUESTION_COUNT; q++) {
        ask_all(q);
        mdr_code rc = MDR_E_NOMEM;
        unsigned n = 0;
        while (rc != MDR_OK) {
            mdr_arena *a = mdr_arena_new(32 << 20);
            mdr_blob out = {0};
            mdr_err err = {0};
            assert_non_null(a);
            mdr_arena_fail_at(++n);
            rc = mdr_app_colour_json(&kit.ask, a, NULL, &out, &err);
            mdr_arena_fail_at(0);
            if (rc != MDR_OK && rc != MDR_E_NOMEM) {
                fail_msg("%s: %s %s", mdr_colour_question_id(kit.ask.question), err.place, err.msg);
            }
            assert_int_equal(rc == MDR_OK, out.len > 0);
            mdr_arena_free(a);
        }
        assert_true(n > 1);
    }
}

/* The same with an arena that grows by little: every allocation, not every block, meets its end. */
static void little_memory(void **state)
{
    (void)state;
    enum { STEP_BYTES = 2048 };
    for (int q = 0; q < MDR_COLOUR_QUESTION_COUNT; q++) {
        ask_all(q);
        mdr_code rc = MDR_E_NOMEM;
        int failed = 0;
        for (size_t room = STEP_BYTES; rc != MDR_OK; room += STEP_BYTES) {
            mdr_arena *a = mdr_arena_new(room);
            mdr_blob out = {0};
            assert_non_null(a);
            rc = mdr_app_colour_json(&kit.ask, a, NULL, &out, NULL);
            assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
            failed += rc != MDR_OK;
            mdr_arena_free(a);
        }
        assert_true(failed > 5);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bad_numbers), cmocka_unit_test(bad_words),
        cmocka_unit_test(bad_samples), cmocka_unit_test(not_by_colour_alone),
        cmocka_unit_test(no_memory),   cmocka_unit_test(little_memory),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
