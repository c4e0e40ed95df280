/* The laboratory of a mill: a change and its answer stand or fall together, memory may run out
 * anywhere, hostile texts change nothing. What is answered and refused: tests/http/bench.test.mjs.
 * Everything invented: the demo mill. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "app/mdr_app_lab.h"
#include "app/mdr_app_recipe.h"
#include "demo_kit.h"

enum { BANDS = 31, ROOM = 4096 };

static char one_sample[ROOM];

/* A grey slope under a name, as a document: {"file": ..., MORE}. */
static const char *samples_document(const char *name, const char *more)
{
    int n = snprintf(one_sample, ROOM, "{\"file\":{\"name\":\"run.csv\",\"text\":\"name");
    for (int b = 0; b < BANDS; b++) {
        n += snprintf(one_sample + n, (size_t)(ROOM - n), ",%d", 400 + 10 * b);
    }
    n += snprintf(one_sample + n, (size_t)(ROOM - n), "\\n%s", name);
    for (int b = 0; b < BANDS; b++) {
        n += snprintf(one_sample + n, (size_t)(ROOM - n), ",%.1f", 20 + 0.5 * b);
    }
    (void)snprintf(one_sample + n, (size_t)(ROOM - n),
                   "\\n\"},\"substrate\":\"J18-ISO60\",\"specular\":\"included\"%s}", more);
    return one_sample;
}

typedef mdr_code (*lab_call)(mdr_app *app, const mdr_app_lab_ask *ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err);

typedef struct work {
    lab_call call;
    const char *id, *document;
} work;

static mdr_code try(mdr_app *app, const work *w, size_t room, mdr_err *err)
{
    mdr_blob out = {0};
    mdr_arena *arena = mdr_arena_new(room);
    assert_non_null(arena);
    const mdr_app_lab_ask ask = {
        .body = {w->document, strlen(w->document)}, .id = w->id, .today = "2026-11-26"};
    const mdr_code rc = w->call(app, &ask, arena, NULL, &out, err);
    assert_true(rc != MDR_OK || out.len > 2);
    mdr_arena_free(arena);
    return rc;
}

/* All of the laboratory and the recipes as text; free it. */
static char *all_of(mdr_app *app)
{
    mdr_err err = {0};
    mdr_blob out = {0};
    mdr_arena *arena = mdr_arena_new((size_t)32 << 20);
    assert_int_equal(mdr_app_lab_json(app, arena, &out, &err), MDR_OK);
    char *text = strndup(out.bytes, out.len);
    assert_non_null(text);
    mdr_arena_free(arena);
    return text;
}

static mdr_app *open_writing(void)
{
    mdr_err err = {0};
    mdr_app *app = NULL;
    mdr_app_close(kit_app); /* one connection changes the file */
    kit_app = NULL;
    assert_int_equal(mdr_app_open(kit_path, true, &app, &err), MDR_OK);
    return app;
}

static const char DIP[] = "{\"shade_id\":\"S-201\",\"substrate\":\"J18-ISO60\",\"recipe\":"
                          "\"RB-1=0.06,RV-1=0.7\"}";
static const char RECIPE[] = "{\"recipe\":\"RG-1=0.1\",\"was\":\"RG-1=0.34,RR-1=0.12,RB-1=0.33\"}";
static const char APPROVED[] =
    "{\"revision\":1,\"state\":\"approved\",\"by\":\"N\",\"recipe_of_shade\":"
    "true,\"was\":\"RV-1=0.3,RB-1=0.12\"}";

/* The room grows until it is enough: before that nothing is changed, then once. */
static void memory_runs_out(void **state)
{
    (void)state;
    const work works[] = {
        {mdr_app_lab_dip_new, "", DIP},
        {mdr_app_lab_dip_change, "S-205.2A", APPROVED},
        {mdr_app_lab_recipe, "S-212", RECIPE},
        {mdr_app_lab_samples, "", samples_document("RT-1@1", "")},
    };
    mdr_app *app = open_writing();
    int failed = 0;
    for (size_t i = 0; i < N_OF(works); i++) {
        char *before = all_of(app);
        mdr_code rc = MDR_E_NOMEM;
        for (size_t room = 512; rc != MDR_OK; room += room / 3) {
            mdr_err err = {0};
            rc = try(app, &works[i], room, &err);
            if (rc != MDR_OK && rc != MDR_E_NOMEM) {
                fail_msg("work %zu: %s: %s", i, err.place, err.msg);
            }
            char *now = all_of(app);
            assert_true((strcmp(before, now) == 0) == (rc != MDR_OK));
            free(now);
            failed += rc != MDR_OK ? 1 : 0;
        }
        free(before);
    }
    assert_true(failed > 20);
    mdr_app_close(app);
}

static void hostile(void **state)
{
    (void)state;
    static const char *const TEXTS[] = {"",
                                        "{",
                                        "[]",
                                        "null",
                                        "{\"file\":1}",
                                        "{\"recipe\":5,\"was\":5}",
                                        "{\"revision\":\"x\"}",
                                        "{\"shade_id\":{},\"substrate\":[],\"recipe\":null}",
                                        "{\"as\":[1,2]}",
                                        "{\"file\":{\"name\":\"\",\"text\":\"\"},\"as\":[]}",
                                        "{\"recipe\":\"=,=\",\"was\":\"\"}",
                                        "{\"recipe\":\"RB-1=NaN\",\"was\":\"\"}",
                                        "{\"revision\":1,\"revision\":2}",
                                        "{\"revision\":1e99}",
                                        "{\"other\":1}"};
    static const lab_call CALLS[] = {mdr_app_lab_samples, mdr_app_lab_dip_new,
                                     mdr_app_lab_dip_change, mdr_app_lab_recipe};
    mdr_app *app = open_writing();
    char *before = all_of(app);
    for (size_t i = 0; i < N_OF(TEXTS); i++) {
        for (size_t k = 0; k < N_OF(CALLS); k++) {
            mdr_err err = {0};
            const work w = {CALLS[k], "S-212.2A", TEXTS[i]};
            assert_int_not_equal(try(app, &w, (size_t)8 << 20, &err), MDR_OK);
            assert_true(err.msg[0] != '\0');
        }
    }
    char *after = all_of(app);
    assert_string_equal(before, after);
    free(before);
    free(after);
    mdr_app_close(app);
}

/* The surface that is kept is that of these ladders, this cloth and this light. */
static void the_kept_surface(void **state)
{
    (void)state;
    static const struct {
        const char *substrate, *shade, *question;
    } ROWS[] = {
        {"J18-ISO60", "", "{\"do\":\"predict\",\"recipe\":\"RB-1=1\"}"},
        {"J18-ISO60", "S-212", "{\"do\":\"predict\",\"recipe\":\"RB-1=1\"}"},
        {"J18-ISO60", "", "{\"do\":\"predict\",\"recipe\":\"RB-1=1\",\"lights\":\"A\"}"},
        {"J18-ISO60", "", "{\"do\":\"predict\",\"recipe\":\"RB-1=1\",\"observer\":2}"},
        {"TWO", "", "{\"do\":\"predict\",\"recipe\":\"RB-1=1\"}"},
        {"TWO", "S-212", "{\"do\":\"predict\",\"recipe\":\"RB-1=1\"}"},
        {"TWO", "S-501", "{\"do\":\"predict\",\"recipe\":\"DB-1=1\"}"},
    };
    mdr_app *app = open_writing();
    mdr_err err = {0};
    char document[2 * ROOM];
    /* a second substrate, whose surface is another: all readings 3 % higher */
    int n = snprintf(document, sizeof document, "{\"file\":{\"name\":\"two.csv\",\"text\":\"name");
    const char *const NAMES[] = {"cloth",  "RB-1@1", "RB-1@2", "RB-1@4",
                                 "DB-1@1", "DB-1@2", "DB-1@4"};
    for (int b = 0; b < BANDS; b++) {
        n += snprintf(document + n, sizeof document - (size_t)n, ",%d", 400 + 10 * b);
    }
    for (int k = 0; k < (int)N_OF(NAMES); k++) {
        n += snprintf(document + n, sizeof document - (size_t)n, "\\n%s", NAMES[k]);
        for (int b = 0; b < BANDS; b++) {
            /* the second dye is read through a film: its surface is another */
            const double at = k < 4 ? k : (k - 3) * 3 + 8;
            const double ks = 0.05 + (b > 15 ? 2.0 * at * at : 0.1 * at);
            n += snprintf(document + n, sizeof document - (size_t)n, ",%.4f",
                          3 + 97 * (1 + ks - sqrt(ks * ks + 2 * ks)));
        }
    }
    (void)snprintf(document + n, sizeof document - (size_t)n, "\\n\"},\"substrate\":\"TWO\"}");
    const work add = {mdr_app_lab_samples, "", document};
    assert_int_equal(try(app, &add, (size_t)8 << 20, &err), MDR_OK);
    for (size_t i = 0; i < N_OF(ROWS) * N_OF(ROWS); i++) { /* each after each */
        const size_t pair[2] = {i / N_OF(ROWS), i % N_OF(ROWS)};
        char *got[3] = {NULL, NULL, NULL};
        for (int k = 0; k < 3; k++) { /* alone; after the other; and again */
            const size_t r = k == 0 ? pair[1] : pair[k - 1];
            mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
            const mdr_answer *a = NULL;
            mdr_blob json = {0};
            const mdr_recipe_from from = {.substrate = ROWS[r].substrate,
                                          .shade_id = ROWS[r].shade};
            app->fit.key[0] = k == 2 ? app->fit.key[0] : '\0';
            assert_int_equal(mdr_app_recipe_of_mill(
                                 app, &from, (mdr_blob){ROWS[r].question, strlen(ROWS[r].question)},
                                 arena, NULL, &a, &err),
                             MDR_OK);
            assert_int_equal(mdr_answer_json(a, arena, &json, &err), MDR_OK);
            got[k] = strndup(json.bytes, json.len);
            mdr_arena_free(arena);
        }
        assert_string_equal(got[0], got[2]);
        for (int k = 0; k < 3; k++) {
            free(got[k]);
        }
    }
    mdr_app_close(app);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(memory_runs_out), cmocka_unit_test(hostile),
                                       cmocka_unit_test(the_kept_surface)};
    return cmocka_run_group_tests(tests, kit_demo_make, kit_demo_drop);
}
