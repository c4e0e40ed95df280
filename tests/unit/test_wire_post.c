/* Questions that carry their files, as they are parted: recipes and colour. Everything invented (I). */
#include "t.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "wire/mdr_colour_ask.h"
#include "wire/mdr_recipe_post.h"

enum { ROOM = 8 << 20 };

static mdr_arena *arena;

static int set_up(void **state)
{
    (void)state;
    arena = mdr_arena_new(ROOM);
    return arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

static mdr_recipe_post recipe_of(const char *text)
{
    mdr_recipe_post post;
    mdr_err err = {0};
    if (mdr_wire_recipe_post_read(text, strlen(text), arena, NULL, &post, &err) != MDR_OK) {
        fail_msg("%s: %s: %s", text, err.place, err.msg);
    }
    return post;
}

static void a_recipe_is_parted(void **state)
{
    (void)state;
    mdr_recipe_post p =
        recipe_of("{\"tolerance\":0.1,\"files\":{\"dyes\":{\"name\":\"d.csv\",\"text\":\"x\\ny\"},"
                  "\"dose_band\":{\"name\":\"\",\"text\":\"\"},\"ladder\":null},\"do\":\"find\"}");
    /* the number keeps every digit on its way through */
    assert_non_null(strstr(p.question, "\"tolerance\":0.1"));
    assert_non_null(strstr(p.question, "\"do\":\"find\""));
    assert_null(strstr(p.question, "files"));
    assert_int_equal(p.question_len, strlen(p.question));
    assert_string_equal(p.files[MDR_RECIPE_TEXT_DYES].name, "d.csv");
    assert_string_equal(p.files[MDR_RECIPE_TEXT_DYES].text, "x\ny");
    assert_string_equal(p.files[MDR_RECIPE_TEXT_DOSE_BAND].name, "dose_band");
    assert_null(p.files[MDR_RECIPE_TEXT_LADDER].name);
    assert_null(p.files[MDR_RECIPE_TEXT_SPECTRA].name);
    p = recipe_of("{}");
    assert_string_equal(p.question, "{}");
    assert_null(p.files[MDR_RECIPE_TEXT_DYES].name);
}

static mdr_colour_post colour_of(const char *text)
{
    mdr_colour_post post;
    mdr_err err = {0};
    if (mdr_wire_colour_post_read(text, strlen(text), arena, NULL, &post, &err) != MDR_OK) {
        fail_msg("%s: %s: %s", text, err.place, err.msg);
    }
    return post;
}

static void a_question_of_colour_is_read(void **state)
{
    (void)state;
    mdr_colour_post p = colour_of(
        "{\"do\":\"difference\",\"standard\":\"S\",\"tolerance\":[1,1.5],\"l\":2,\"observer\":10,"
        "\"limit_dl\":[-0.5,0.25],\"repeats\":true,\"illuminants\":\"D65,A\",\"formula\":null,"
        "\"files\":{\"samples\":{\"name\":\"s.csv\",\"text\":\"t\"},"
        "\"standard_file\":{\"name\":\"\",\"text\":\"u\"}}}");
    assert_int_equal(p.question, MDR_COLOUR_DIFFERENCE);
    assert_string_equal(p.word[MDR_COLOUR_WORD_STANDARD], "S");
    assert_string_equal(p.word[MDR_COLOUR_WORD_ILLUMINANTS], "D65,A");
    assert_null(p.word[MDR_COLOUR_WORD_FORMULA]);
    assert_int_equal(p.number[MDR_COLOUR_NUMBER_TOLERANCE].n, 2);
    assert_float_equal(p.number[MDR_COLOUR_NUMBER_TOLERANCE].v[1], 1.5, 0);
    assert_int_equal(p.number[MDR_COLOUR_NUMBER_L].n, 1);
    assert_float_equal(p.number[MDR_COLOUR_NUMBER_L].v[0], 2, 0);
    assert_float_equal(p.number[MDR_COLOUR_NUMBER_OBSERVER].v[0], 10, 0);
    assert_float_equal(p.number[MDR_COLOUR_NUMBER_LIMIT_DL].v[0], -0.5, 0);
    assert_int_equal(p.number[MDR_COLOUR_NUMBER_C].n, 0);
    assert_true(p.is[MDR_COLOUR_SWITCH_REPEATS]);
    assert_false(p.is[MDR_COLOUR_SWITCH_STAINING]);
    assert_string_equal(p.samples.name, "s.csv");
    assert_string_equal(p.standard_file.name, "standard_file");
    assert_string_equal(p.standard_file.text, "u");
    /* every question by its word, and nothing of one stands in the next */
    static const char *const WORDS[] = {
#define X(member, word, words) word,
        MDR_COLOUR_QUESTIONS(X)
#undef X
    };
    for (int q = 0; q < MDR_COLOUR_QUESTION_COUNT; q++) {
        char text[40];
        (void)snprintf(text, sizeof text, "{\"do\":\"%s\"}", WORDS[q]);
        p = colour_of(text);
        assert_int_equal(p.question, q);
        assert_null(p.samples.name);
    }
}

typedef struct refusal {
    const char *text, *place;
    mdr_code code;
    bool colour;
} refusal;

#define LONG_NAME                                                                                \
    "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx" \
    "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"

static const refusal REFUSALS[] = {
    {"", "", MDR_E_PARSE, false},
    {"[]", "the document", MDR_E_PARSE, false},
    {"{\"files\":7}", "files", MDR_E_PARSE, false},
    {"{\"files\":{\"spectra\":[]}}", "files.spectra", MDR_E_PARSE, false},
    {"{\"files\":{\"spectra\":{\"name\":\"a\"}}}", "files.spectra.text", MDR_E_PARSE, false},
    {"{\"files\":{\"spectra\":{\"text\":\"a\"}}}", "files.spectra.name", MDR_E_PARSE, false},
    {"{\"files\":{\"spectra\":{\"name\":\"a\",\"text\":1}}}", "files.spectra.text", MDR_E_PARSE,
     false},
    {"{\"files\":{\"dose_bands\":{\"name\":\"a\",\"text\":\"\"}}}", "files.dose_bands", MDR_E_PARSE,
     false},
    {"{\"files\":{\"dyes\":{\"name\":\"" LONG_NAME "\",\"text\":\"\"}}}", "files.dyes.name",
     MDR_E_RANGE, false},
    {"", "", MDR_E_PARSE, true},
    {"{}", "do", MDR_E_PARSE, true},
    {"{\"do\":\"red\"}", "do", MDR_E_PARSE, true},
    {"{\"do\":7}", "do", MDR_E_PARSE, true},
    {"{\"do\":\"read\",\"tolerance\":1}", "tolerance", MDR_E_PARSE, true}, /* of another question */
    {"{\"do\":\"level\",\"repeats\":true}", "repeats", MDR_E_PARSE, true},
    {"{\"do\":\"fastness\",\"observer\":10}", "observer", MDR_E_PARSE, true},
    {"{\"do\":\"difference\",\"staining\":true}", "staining", MDR_E_PARSE, true},
    {"{\"do\":\"difference\",\"l\":\"2\"}", "l", MDR_E_PARSE, true},
    {"{\"do\":\"difference\",\"tolerance\":[1,\"2\"]}", "tolerance[1]", MDR_E_PARSE, true},
    {"{\"do\":\"difference\",\"tolerance\":[1,1,1,1,1,1,1,1,1]}", "tolerance", MDR_E_RANGE, true},
    {"{\"do\":\"difference\",\"standard\":1}", "standard", MDR_E_PARSE, true},
    {"{\"do\":\"read\",\"repeats\":1}", "repeats", MDR_E_PARSE, true},
    {"{\"do\":\"read\",\"files\":{\"samples\":\"a\"}}", "files.samples", MDR_E_PARSE, true},
    {"{\"do\":\"read\",\"files\":{\"sample\":{}}}", "files.sample", MDR_E_PARSE, true},
    {"{\"do\":\"difference\",\"files\":{\"standard_file\":{\"name\":\"a\",\"text\":\"\"}}}",
     "files.samples", MDR_E_PARSE, true},
    {"{\"do\":\"read\",\"files\":{\"samples\":{\"name\":\"" LONG_NAME "\",\"text\":\"\"}}}",
     "files.samples.name", MDR_E_RANGE, true},
};

static mdr_code read_any(const char *text, size_t len, bool colour, mdr_arena *in, mdr_err *err)
{
    mdr_recipe_post recipe;
    mdr_colour_post of_colour;
    return colour ? mdr_wire_colour_post_read(text, len, in, NULL, &of_colour, err)
                  : mdr_wire_recipe_post_read(text, len, in, NULL, &recipe, err);
}

static void refusals(void **state)
{
    (void)state;
    int wrong = 0;
    for (size_t i = 0; i < N_OF(REFUSALS); i++) {
        const refusal *r = &REFUSALS[i];
        mdr_err err = {0};
        const mdr_code rc = read_any(r->text, strlen(r->text), r->colour, arena, &err);
        if (rc != r->code || strcmp(err.place, r->place) != 0) {
            print_message("%s: %d at \"%s\" (%s)\n", r->text, (int)rc, err.place, err.msg);
            wrong++;
        }
    }
    assert_int_equal(wrong, 0);
}

static void every_fault_is_told(void **state)
{
    (void)state;
    static const char TEXT[] = "{\"do\":\"read\",\"tolerance\":1,\"repeats\":1,\"scale\":2}";
    mdr_err_list found = mdr_err_list_make(arena, 10);
    mdr_colour_post post;
    mdr_err err = {0};
    assert_int_equal(mdr_wire_colour_post_read(TEXT, sizeof TEXT - 1, arena, &found, &post, &err),
                     MDR_E_PARSE);
    assert_int_equal(found.count, 3);
}

static void too_large(void **state)
{
    (void)state;
    const size_t n = (size_t)MDR_FILE_POST_MAX + 1;
    char *text = malloc(n);
    assert_non_null(text);
    memset(text, ' ', n);
    memcpy(text, "{\"do\":\"read\"}", 13);
    for (int colour = 0; colour < 2; colour++) {
        mdr_err err = {0};
        assert_int_not_equal(read_any(text, n, colour == 1, arena, &err), MDR_OK);
        assert_int_equal(read_any(text, n - 1, colour == 1, arena, &err), MDR_OK);
    }
    free(text);
}

static void no_memory(void **state)
{
    (void)state;
    static const char *const TEXTS[] = {
        "{\"do\":\"find\",\"files\":{\"spectra\":{\"name\":\"a.csv\",\"text\":\"some text\"}}}",
        "{\"do\":\"read\",\"scale\":\"percent\",\"files\":{\"samples\":{\"name\":\"a.csv\","
        "\"text\":\"some text\"}}}"};
    int failed = 0;
    for (int colour = 0; colour < 2; colour++) {
        bool done = false;
        for (unsigned n = 1; !done; n++) {
            mdr_arena *little = mdr_arena_new(ROOM);
            mdr_err err = {0};
            assert_non_null(little);
            mdr_arena_fail_at(n);
            const mdr_code rc =
                read_any(TEXTS[colour], strlen(TEXTS[colour]), colour == 1, little, &err);
            mdr_arena_fail_at(0);
            done = rc == MDR_OK;
            assert_true(done || rc == MDR_E_NOMEM);
            failed += done ? 0 : 1;
            mdr_arena_free(little);
        }
    }
    assert_true(failed >= 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_recipe_is_parted), cmocka_unit_test(a_question_of_colour_is_read),
        cmocka_unit_test(refusals),           cmocka_unit_test(every_fault_is_told),
        cmocka_unit_test(too_large),          cmocka_unit_test(no_memory),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
