/* Recipes from measured samples: what an answer rests on can be read up, memory may run out anywhere,
 * hostile texts are refused. What is answered: tests/cli/recipe.test.mjs. Everything invented. */
#include "t.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_recipe.h"
#include "why_kit.h"

enum { BANDS = 31, ROOM = 16 * 1024 };

/* A cloth and two dyes of three depths: straight bands of K/S. */
static char spectra[ROOM];

static void add_row(const char *name, double depth, int from, int to)
{
    size_t n = strlen(spectra);
    n += (size_t)snprintf(spectra + n, ROOM - n, "%s", name);
    for (int b = 0; b < BANDS; b++) {
        const double ks = 0.04 + (b >= from && b < to ? 5.0 * depth : 0.0);
        n += (size_t)snprintf(spectra + n, ROOM - n, ",%.6f", 1 + ks - sqrt(ks * ks + 2 * ks));
    }
    (void)snprintf(spectra + n, ROOM - n, "\n");
}

static int set_up(void **state)
{
    (void)state;
    size_t n = (size_t)snprintf(spectra, ROOM, "name");
    for (int b = 0; b < BANDS; b++) {
        n += (size_t)snprintf(spectra + n, ROOM - n, ",%d", 400 + 10 * b);
    }
    (void)snprintf(spectra + n, ROOM - n, "\n");
    add_row("substrate", 0, 0, 0);
    add_row("A@0.5", 0.5, 0, 12);
    add_row("A@1", 1, 0, 12);
    add_row("A@2", 2, 0, 12);
    add_row("B@0.5", 0.5, 14, 26);
    add_row("B@1", 1, 14, 26);
    add_row("B@2", 2, 14, 26);
    add_row("S", 0.8, 0, 12);
    add_row("bleached", -0.006, 0, BANDS); /* lighter than the cloth */
    return 0;
}

static mdr_recipe_case asked(const char *question)
{
    mdr_recipe_case c = {.question = {question, strlen(question)}};
    c.files[MDR_RECIPE_FILE_SPECTRA] = (mdr_recipe_file){"samples.csv", {spectra, strlen(spectra)}};
    return c;
}

static const char *const QUESTIONS[] = {
    "{\"do\":\"calibrate\"}",
    "{\"do\":\"predict\",\"recipe\":\"A=0.8\",\"sample\":\"S\"}",
    "{\"do\":\"find\",\"standard\":\"S\"}",
    "{\"do\":\"correct\",\"standard\":\"S\",\"sample\":\"A@1\",\"recipe\":\"A=0.8\"}",
    "{\"do\":\"dispense\",\"recipe\":\"A=1\",\"sample_g\":5,\"ratio_l_per_kg\":10}",
};

static void answers(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(QUESTIONS); i++) {
        mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
        const mdr_recipe_case c = asked(QUESTIONS[i]);
        const mdr_answer *a = NULL;
        mdr_err err = {0};
        if (mdr_app_recipe(&c, arena, NULL, &a, &err) != MDR_OK) {
            fail_msg("%s: %s %s", QUESTIONS[i], err.place, err.msg);
        }
        assert_true(a->n_whys > 0 && a->n_lines > 0);
        mdr_blob json;
        assert_int_equal(mdr_answer_json(a, arena, &json, &err), MDR_OK);
        assert_true(json.len > 100);
        mdr_arena_free(arena);
    }
}

static void no_memory(void **state)
{
    (void)state;
    int failed = 0;
    for (size_t i = 0; i < N_OF(QUESTIONS); i++) {
        mdr_code rc = MDR_E_NOMEM;
        for (size_t room = 4096; rc != MDR_OK; room += room / 4) {
            mdr_arena *little = mdr_arena_new(room);
            const mdr_recipe_case c = asked(QUESTIONS[i]);
            const mdr_answer *a = NULL;
            mdr_err err = {0};
            assert_non_null(little);
            rc = mdr_app_recipe(&c, little, NULL, &a, &err);
            assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
            failed += rc != MDR_OK ? 1 : 0;
            mdr_arena_free(little);
        }
    }
    assert_true(failed > 10);
}

/* A standard that no dye leads to is answered, not refused. */
static void lighter_than_the_cloth(void **state)
{
    (void)state;
    static const struct {
        const char *question, *says;
    } ROWS[] = {
        {"{\"do\":\"find\",\"standard\":\"bleached\",\"tolerance\":0.1}",
         "\"limited_by\":\"cloth_darker_than_shade\""},
        {"{\"do\":\"find\",\"standard\":\"substrate\"}", "\"verdict\":\"undyed\""},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
        const mdr_recipe_case c = asked(ROWS[i].question);
        const mdr_answer *a = NULL;
        mdr_err err = {0};
        mdr_blob json;
        assert_int_equal(mdr_app_recipe(&c, arena, NULL, &a, &err), MDR_OK);
        assert_int_equal(mdr_answer_json(a, arena, &json, &err), MDR_OK);
        const char *text = mdr_arena_text_n(arena, json.bytes, json.len);
        assert_non_null(text);
        if (strstr(text, ROWS[i].says) == NULL) {
            fail_msg("%s: %s", ROWS[i].question, text);
        }
        mdr_arena_free(arena);
    }
}

static void hostile(void **state)
{
    (void)state;
    static const char *const TEXTS[] = {"",
                                        "{",
                                        "[]",
                                        "{\"do\":\"find\",\"standard\":5}",
                                        "{\"do\":\"find\",\"standard\":\"S\",\"tolerance\":0}",
                                        "{\"do\":\"find\",\"standard\":\"S\",\"must\":\",\"}",
                                        ("{\"do\":\"find\",\"standard\":\"S\",\"must\":\"A\","
                                         "\"never\":\"A\"}"),
                                        "{\"do\":\"predict\",\"recipe\":\"=,=\"}",
                                        "{\"do\":\"predict\",\"recipe\":\"A=NaN\"}",
                                        "{\"do\":\"predict\",\"recipe\":\"A=1e999\"}"};
    for (size_t i = 0; i < N_OF(TEXTS); i++) {
        mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
        const mdr_recipe_case c = asked(TEXTS[i]);
        const mdr_answer *a = NULL;
        mdr_err err = {0};
        assert_int_not_equal(mdr_app_recipe(&c, arena, NULL, &a, &err), MDR_OK);
        assert_true(err.msg[0] != '\0');
        assert_null(a);
        mdr_arena_free(arena);
    }
}

static void whys_can_be_read(void **state)
{
    (void)state;
    int n = 0;
    const mdr_answer_why *whys = mdr_app_recipe_whys(&n);
    why_kit_check(whys, n);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(answers),
        cmocka_unit_test(no_memory),
        cmocka_unit_test(lighter_than_the_cloth),
        cmocka_unit_test(hostile),
        cmocka_unit_test(whys_can_be_read),
    };
    return cmocka_run_group_tests(tests, set_up, NULL);
}
