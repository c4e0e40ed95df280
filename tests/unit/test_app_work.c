/* Calculations in two parts, on the demo mill: the same bytes as in one, also when the records change in
 * between; and what is said when the second part was not wanted to its end. Grades: D throughout. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_dyeing.h"
#include "app/mdr_app_recipe.h"
#include "app/mdr_app_shorten.h"
#include "app/mdr_app_work.h"
#include "demo_kit.h"

static const char LOT[] = "L26-0105";
static const char CALIBRATE[] = "{\"do\":\"calibrate\",\"from\":{\"substrate\":\"J18-ISO60\"}}";

static mdr_blob blob(const char *text)
{
    return (mdr_blob){text, strlen(text)};
}

static mdr_arena *roomy(void)
{
    return mdr_arena_new((size_t)256 << 20);
}

/* All records are read anew with the next question. */
static void renew_records(void)
{
    mdr_arena *arena = roomy();
    mdr_err_list found = mdr_err_list_make(arena, 10);
    mdr_blob csv, plan;
    int rows = 0;
    assert_int_equal(mdr_app_export(kit_app, "machine", arena, &csv, NULL), MDR_OK);
    assert_int_equal(mdr_app_import(kit_app, "machine", "machine.csv", csv, &found, &rows, NULL),
                     MDR_OK);
    assert_true(rows > 5);
    assert_int_equal(mdr_app_plan_json(kit_app, LOT, (mdr_blob){0}, arena, &found, &plan, NULL),
                     MDR_OK);
    mdr_arena_free(arena);
}

static void same(mdr_blob a, mdr_blob b)
{
    assert_int_equal(a.len, b.len);
    assert_memory_equal(a.bytes, b.bytes, a.len);
}

static void dyeing_outlives_its_records(void **state)
{
    (void)state;
    mdr_arena *arena = roomy(), *other = roomy();
    mdr_app_work *work = NULL, *never = NULL;
    mdr_blob whole, parts;
    const mdr_blob ask = blob("{\"slices\":8}");
    assert_int_equal(mdr_app_dyeing_begin(kit_app, LOT, ask, arena, NULL, &work, NULL), MDR_OK);
    assert_int_equal(mdr_app_dyeing_begin(kit_app, LOT, ask, other, NULL, &never, NULL), MDR_OK);
    renew_records();
    renew_records();
    assert_int_equal(mdr_app_work_run(work, NULL, &parts, NULL), MDR_OK);
    assert_int_equal(mdr_app_dyeing_json(kit_app, LOT, ask, other, NULL, &whole, NULL), MDR_OK);
    same(parts, whole);
    mdr_app_work_end(kit_app, work);
    mdr_app_work_end(kit_app, never); /* begun and not run */
    mdr_app_work_end(kit_app, NULL);
    mdr_arena_free(arena);
    mdr_arena_free(other);
}

/* What was fitted is kept for the next question, unless the samples may have changed since. */
static void recipe_in_two_parts(void **state)
{
    (void)state;
    for (int renewed = 0; renewed < 2; renewed++) {
        mdr_arena *arena = roomy(), *other = roomy();
        mdr_app_work *work = NULL;
        mdr_err err = {0};
        mdr_blob parts, whole;
        if (mdr_app_recipe_begin(kit_app, blob(CALIBRATE), arena, NULL, &work, &err) != MDR_OK) {
            fail_msg("%s: %s", err.place, err.msg);
        }
        if (renewed == 1) {
            renew_records();
        }
        if (mdr_app_work_run(work, NULL, &parts, &err) != MDR_OK) {
            fail_msg("%s: %s", err.place, err.msg);
        }
        mdr_app_work_end(kit_app, work);
        assert_int_equal(mdr_app_recipe_json(kit_app, blob(CALIBRATE), other, NULL, &whole, NULL),
                         MDR_OK);
        same(parts, whole);
        mdr_arena_free(arena);
        mdr_arena_free(other);
    }
}

static bool until_none_is_left(void *about)
{
    int *left = about;
    return (*left)-- > 0;
}

static void shorten_says_that_it_was_stopped(void **state)
{
    (void)state;
    static const int LOOKS[] = {0, 1, 30};
    for (size_t i = 0; i < N_OF(LOOKS); i++) {
        mdr_arena *arena = roomy();
        mdr_app_work *work = NULL;
        mdr_blob out;
        int left = LOOKS[i];
        const mdr_go_on go_on = {until_none_is_left, &left};
        assert_int_equal(
            mdr_app_shorten_begin(kit_app, LOT, (mdr_blob){0}, arena, NULL, &work, NULL), MDR_OK);
        assert_int_equal(mdr_app_work_run(work, &go_on, &out, NULL), MDR_OK);
        assert_non_null(strstr(out.bytes, "\"stopped\":true"));
        assert_non_null(strstr(out.bytes, "\"points\":[]"));
        assert_non_null(strstr(out.bytes, "The time was over before"));
        assert_non_null(strstr(out.bytes, "it is not complete"));
        assert_null(strstr(out.bytes, "Nothing shorter was found"));
        mdr_app_work_end(kit_app, work);
        mdr_arena_free(arena);
    }
}

static void refused_in_the_first_part(void **state)
{
    (void)state;
    mdr_arena *arena = roomy();
    mdr_app_work *work = NULL;
    mdr_err err = {0};
    assert_int_equal(
        mdr_app_shorten_begin(kit_app, LOT, blob("{\"points\":9}"), arena, NULL, &work, &err),
        MDR_E_RANGE);
    assert_string_equal(err.place, "points");
    assert_int_equal(
        mdr_app_dyeing_begin(kit_app, "L99-0001", (mdr_blob){0}, arena, NULL, &work, &err),
        MDR_E_NOTFOUND);
    assert_int_equal(mdr_app_recipe_begin(kit_app, blob("{\"do\":"), arena, NULL, &work, &err),
                     MDR_E_PARSE);
    assert_null(work);
    mdr_arena_free(arena);
}

static int make_for_writing(void **state)
{
    if (kit_demo_make(state) != 0) {
        return -1;
    }
    mdr_app_close(kit_app);
    return mdr_app_open(kit_path, true, &kit_app, NULL) == MDR_OK ? 0 : -1;
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(dyeing_outlives_its_records),
                                       cmocka_unit_test(recipe_in_two_parts),
                                       cmocka_unit_test(shorten_says_that_it_was_stopped),
                                       cmocka_unit_test(refused_in_the_first_part)};
    return cmocka_run_group_tests(tests, make_for_writing, kit_demo_drop);
}
