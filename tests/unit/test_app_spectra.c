/* A sample out of a file by its name: found, not found, ambiguous. All texts invented. */
#include "t.h"

#include <stdio.h>
#include <string.h>

#include "app/mdr_app_spectra.h"

static mdr_arena *arena;

static int set_up(void **state)
{
    (void)state;
    arena = mdr_arena_new(8 << 20);
    return arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

#define HEAD "name,id,specular,400,420,440,460,480,500,520,540,560,580,600,620,640,660,680,700\n"
#define ROW  ",0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2\n"

static const mdr_spectra *read_text(const char *text)
{
    const mdr_spectra_file file = {"s.csv", text, strlen(text)};
    const mdr_spectra_options o = {MDR_SCALE_FRACTION, false};
    const mdr_spectra *s = NULL;
    mdr_err err = {0};
    if (mdr_app_spectra_read(&file, &o, arena, (mdr_spectra_report){0}, &s, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return s;
}

/* "blue" is the name of the first and the id of the third. */
static const char THREE[] =
    HEAD "blue,A1,SCI" ROW "blue,A2,SCE" ROW "turquoise,blue,SCI" ROW "navy,A4,SCI" ROW;

static void found(void **state)
{
    (void)state;
    static const struct {
        const char *sample;
        int place;
    } ROWS[] = {{"turquoise", 2}, {"A2", 1}, {"#1", 0}, {"#4", 3}, {"navy", 3}};
    const mdr_spectra *s = read_text(THREE);
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_spectra_item *item = NULL;
        assert_int_equal(mdr_app_spectra_find(s, "s.csv", ROWS[i].sample, &item, NULL), MDR_OK);
        assert_ptr_equal(item, &s->items[ROWS[i].place]);
    }
    const mdr_spectra_item *only = NULL;
    const mdr_spectra *one = read_text(HEAD "blue,A1,SCE" ROW);
    assert_int_equal(mdr_app_spectra_find(one, "s.csv", NULL, &only, NULL), MDR_OK);
    assert_int_equal(only->specular, MDR_SPECULAR_EXCLUDED);
}

static void refused(void **state)
{
    (void)state;
    static const struct {
        const char *sample;
        mdr_code code;
        const char *allowed, *remedy;
    } ROWS[] = {
        {"turqoise", MDR_E_NOTFOUND, "navy", "did you mean turquoise?"},
        {"TURQUOIS", MDR_E_NOTFOUND, "navy", "a name or an id"},
        {"blue", MDR_E_CONFLICT, "#1 specular included, #2 specular excluded", "number"},
        {NULL, MDR_E_CONFLICT, "blue, blue, turquoise, navy", "name the one"},
        {"#0", MDR_E_NOTFOUND, "navy", "a name"},
        {"#5", MDR_E_NOTFOUND, "navy", "a name"},
        {"#", MDR_E_NOTFOUND, "navy", "a name"},
        {"#1x", MDR_E_NOTFOUND, "navy", "a name"},
        {"#99999999999", MDR_E_NOTFOUND, "navy", "a name"},
        {"", MDR_E_NOTFOUND, "navy", ""},
    };
    const mdr_spectra *s = read_text(THREE);
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_spectra_item *item = NULL;
        mdr_err err = {0};
        assert_int_equal(mdr_app_spectra_find(s, "s.csv", ROWS[i].sample, &item, &err),
                         ROWS[i].code);
        assert_null(item);
        assert_string_equal(err.place, "s.csv");
        if (strstr(err.allowed, ROWS[i].allowed) == NULL ||
            strstr(err.remedy, ROWS[i].remedy) == NULL || err.remedy[0] == '\0') {
            fail_msg("%s: allowed %s, remedy %s", ROWS[i].sample, err.allowed, err.remedy);
        }
    }
}

/* More names than a line holds are cut, and the cut is shown. */
static void many_names(void **state)
{
    (void)state;
    char text[8192] = HEAD;
    for (int i = 0; i < 40; i++) {
        const size_t len = strlen(text);
        (void)snprintf(text + len, sizeof text - len, "roll %d,,SCI" ROW, i);
    }
    const mdr_spectra_item *item = NULL;
    mdr_err err = {0};
    assert_int_equal(mdr_app_spectra_find(read_text(text), "s.csv", NULL, &item, &err),
                     MDR_E_CONFLICT);
    const size_t len = strlen(err.allowed);
    assert_true(len > 60 && strcmp(err.allowed + len - 5, ", ...") == 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(found),
        cmocka_unit_test(refused),
        cmocka_unit_test(many_names),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
