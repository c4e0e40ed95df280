/* The use cases where something goes wrong: a full disk, no memory, two at once, nothing there. */
#define _POSIX_C_SOURCE 200809L
#include "demo_made.h"
#include "t.h"

#include <dirent.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/mdr_app.h"

static const char LOT[] = "L26-0107"; /* docs/demo.md */
enum { ARENA = 96 << 20 };

static char folder[64], mill[96];

static int make_folder(void **state)
{
    (void)state;
    (void)snprintf(folder, sizeof folder, "/tmp/madder-app-XXXXXX");
    if (mkdtemp(folder) == NULL) {
        return -1;
    }
    (void)snprintf(mill, sizeof mill, "%s/a.mill", folder);
    return 0;
}

static int drop_folder(void **state)
{
    (void)state;
    (void)unlink(mill);
    return rmdir(folder); /* fails when anything else was left behind */
}

static int make_demo(void **state)
{
    mdr_err err = {0};
    return make_folder(state) == 0 ? demo_made(mdr_app_new(mill, true, &err), &err) : -1;
}

static int files_left(void)
{
    int n = 0;
    DIR *dir = opendir(folder);
    assert_non_null(dir);
    for (const struct dirent *e = readdir(dir); e != NULL; e = readdir(dir)) {
        n += e->d_name[0] == '.' ? 0 : 1;
    }
    (void)closedir(dir);
    return n;
}

static mdr_blob blob_of(const char *text)
{
    return (mdr_blob){.bytes = text, .len = strlen(text)};
}

static mdr_app *open_mill(bool for_writing)
{
    mdr_app *app = NULL;
    mdr_err err = {.code = MDR_OK};
    if (mdr_app_open(mill, for_writing, &app, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return app;
}

/* -- a new mill -- */

/* A disk that is full after so many bytes: nothing is left, neither the mill nor half of it. */
static void full_disk(void **state)
{
    (void)state;
    static const rlim_t ROOM[] = {0, 1, 512, 4096, 40000, 150000};
    struct rlimit before;
    (void)signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    for (size_t i = 0; i < N_OF(ROOM); i++) {
        mdr_err err = {.code = MDR_OK};
        struct rlimit small = {.rlim_cur = ROOM[i], .rlim_max = before.rlim_max};
        assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
        const mdr_code rc = mdr_app_new(mill, true, &err);
        assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
        if (rc != MDR_E_IO) {
            fail_msg("with %ld bytes: %s: %s", (long)ROOM[i], mdr_code_id(rc), err.msg);
        }
        assert_true(err.msg[0] != '\0' && err.place[0] != '\0');
        assert_int_equal(files_left(), 0);
    }
    mdr_err err = {.code = MDR_OK};
    assert_int_equal(mdr_app_new(mill, true, &err), MDR_OK); /* and with room it works */
    assert_int_equal(files_left(), 1);
}

static void something_in_the_way(void **state)
{
    (void)state;
    mdr_err err = {.code = MDR_OK};
    FILE *f = fopen(mill, "wb");
    assert_non_null(f);
    assert_int_equal(fputs("mine", f) >= 0, 1);
    assert_int_equal(fclose(f), 0);
    assert_int_equal(mdr_app_new(mill, true, &err), MDR_E_CONFLICT);
    assert_int_equal(mdr_app_new(mill, false, &err), MDR_E_CONFLICT);
    struct stat st;
    assert_int_equal(stat(mill, &st), 0);
    assert_int_equal(st.st_size, 4);
    assert_int_equal(unlink(mill), 0);
    assert_int_equal(symlink("/nowhere/at/all", mill), 0); /* leads nowhere, but has the name */
    assert_int_equal(mdr_app_new(mill, false, &err), MDR_E_CONFLICT);
    assert_int_equal(unlink(mill), 0);
    assert_int_equal(mkdir(mill, 0700), 0);
    assert_int_equal(mdr_app_new(mill, false, &err), MDR_E_CONFLICT);
    assert_int_equal(rmdir(mill), 0);
    assert_int_equal(files_left(), 0);
}

static void an_empty_mill(void **state)
{
    (void)state;
    mdr_err err = {.code = MDR_OK};
    assert_int_equal(mdr_app_new(mill, false, &err), MDR_OK);
    mdr_app *app = open_mill(false);
    mdr_arena *arena = mdr_arena_new(ARENA);
    mdr_blob out = {.len = 0};
    assert_int_equal(mdr_app_lots_json(app, arena, &out, &err), MDR_OK);
    assert_string_equal(out.bytes, "{\"lots\":[]}");
    assert_int_equal(mdr_app_routes_json(app, arena, &out, &err), MDR_OK);
    assert_string_equal(out.bytes, "{\"routes\":[]}");
    assert_int_equal(mdr_app_mill_json(app, arena, &out, &err), MDR_OK);
    for (int i = 0; mdr_app_table_name(i) != NULL; i++) {
        assert_int_equal(mdr_app_export(app, mdr_app_table_name(i), arena, &out, &err), MDR_OK);
        const char *line = memchr(out.bytes, '\n', out.len);
        assert_true(line != NULL && line + 1 == out.bytes + out.len); /* the header alone */
    }
    assert_null(mdr_app_table_name(-1));
    const mdr_plan *plan = NULL;
    const mdr_code rc = mdr_app_plan(app, LOT, (mdr_blob){.len = 0}, arena, NULL, &plan, &err);
    assert_int_equal(rc, MDR_E_NOTFOUND);
    assert_true(err.remedy[0] != '\0');
    assert_null(plan);
    assert_int_equal(mdr_app_route_json(app, "R", arena, &out, &err), MDR_E_NOTFOUND);
    mdr_arena_free(arena);
    mdr_app_close(app);
}

/* -- memory -- */

static mdr_code plan_json(mdr_app *app, const char *what_if, size_t arena_bytes, char **copy)
{
    mdr_blob out = {.len = 0};
    mdr_err err = {.code = MDR_OK};
    mdr_arena *arena = mdr_arena_new(arena_bytes);
    if (arena == NULL) {
        return MDR_E_NOMEM;
    }
    mdr_err_list found = mdr_err_list_make(arena, 50);
    const mdr_code rc = mdr_app_plan_json(app, LOT, blob_of(what_if), arena, &found, &out, &err);
    assert_true(rc == MDR_OK || err.msg[0] != '\0');
    *copy = rc == MDR_OK ? strdup(out.bytes) : NULL;
    mdr_arena_free(arena);
    return rc;
}

/* Whichever allocation fails, the answer is a reason or the whole plan, and the next one is the
 * whole plan again. */
static void any_allocation_fails(void **state)
{
    (void)state;
    char *want = NULL;
    mdr_app *app = open_mill(false);
    assert_int_equal(plan_json(app, "", ARENA, &want), MDR_OK);
    int refused = 0;
    for (unsigned n = 1; n <= 60; n++) {
        char *got = NULL;
        if (n > 30) { /* with the cache to be built anew */
            mdr_app_close(app);
            app = open_mill(false);
        }
        mdr_arena_fail_at(n > 30 ? n - 30 : n);
        const mdr_code rc = plan_json(app, "", ARENA, &got);
        mdr_arena_fail_at(0);
        refused += rc != MDR_OK ? 1 : 0;
        if (rc == MDR_OK) {
            assert_string_equal(got, want);
        }
        free(got);
        assert_int_equal(plan_json(app, "", ARENA, &got), MDR_OK);
        assert_string_equal(got, want);
        free(got);
    }
    assert_true(refused >= 10); /* D: the arena of the plan grows block by block */
    free(want);
    mdr_app_close(app);
}

/* A request may not take more than its share, whatever it asks for. */
static void any_cap_holds(void **state)
{
    (void)state;
    char *want = NULL;
    mdr_app *app = open_mill(false);
    assert_int_equal(plan_json(app, "{\"load_kg\":900}", ARENA, &want), MDR_OK);
    bool fits = false;
    for (size_t bytes = 1 << 10; bytes <= (size_t)64 << 20; bytes *= 2) {
        char *got = NULL;
        const mdr_code rc = plan_json(app, "{\"load_kg\":900}", bytes, &got);
        assert_true(rc != MDR_OK || strcmp(got, want) == 0);
        assert_true(!fits || rc == MDR_OK); /* what fits once fits in more */
        fits = rc == MDR_OK;
        free(got);
    }
    assert_true(fits);
    free(want);
    mdr_app_close(app);
}

static int revision_of(mdr_app *app)
{
    mdr_app_lot *lots = NULL;
    int n = 0;
    int revision = -1;
    mdr_arena *arena = mdr_arena_new(ARENA);
    assert_int_equal(mdr_app_lots(app, arena, &lots, &n, NULL), MDR_OK);
    for (int i = 0; i < n; i++) {
        revision = strcmp(lots[i].lot_id, LOT) == 0 ? lots[i].revision : revision;
    }
    mdr_arena_free(arena);
    return revision;
}

static mdr_code save(mdr_app *app, int revision, const char *ratio, mdr_err *err)
{
    char text[128];
    mdr_blob out = {.len = 0};
    (void)snprintf(text, sizeof text, "{\"revision\":%d,\"ratio_l_per_kg\":%s}", revision, ratio);
    mdr_arena *arena = mdr_arena_new(ARENA);
    if (arena == NULL) {
        return MDR_E_NOMEM;
    }
    const mdr_code rc = mdr_app_lot_save(app, LOT, blob_of(text), arena, NULL, &out, err);
    mdr_arena_free(arena);
    return rc;
}

/* Saved or not: never half, and the revision tells. */
static void saving_without_memory(void **state)
{
    (void)state;
    mdr_app *app = open_mill(true);
    for (unsigned n = 1; n <= 40; n++) {
        const int before = revision_of(app);
        mdr_err e = {.code = MDR_OK};
        mdr_arena_fail_at(n);
        const mdr_code rc = save(app, before, n % 2 == 0 ? "8" : "9", &e);
        mdr_arena_fail_at(0);
        const int after = revision_of(app);
        assert_true(rc == MDR_OK ? after == before + 1 : after == before || after == before + 1);
    }
    mdr_err err = {.code = MDR_OK};
    if (save(app, revision_of(app), "8.5", &err) != MDR_OK) {
        fail_msg("%s: %s %s", err.place, err.msg, err.value);
    }
    mdr_app_close(app);
}

/* -- saving -- */

static void saving_twice_from_the_same(void **state)
{
    (void)state;
    mdr_err err = {.code = MDR_OK};
    mdr_app *app = open_mill(true);
    const int first = revision_of(app);
    assert_int_equal(save(app, first, "9", &err), MDR_OK);
    assert_int_equal(save(app, first, "10", &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, "revision");
    assert_true(err.remedy[0] != '\0');
    assert_int_equal(revision_of(app), first + 1);
    mdr_app_close(app);
    app = open_mill(false); /* kept, and not to be changed by who only reads */
    assert_int_equal(revision_of(app), first + 1);
    const mdr_code rc = save(app, first + 1, "10", &err);
    assert_true(rc != MDR_OK && err.msg[0] != '\0');
    mdr_app_close(app);
}

/* A full disk while saving: the lot is as it was. */
static void saving_on_a_full_disk(void **state)
{
    (void)state;
    struct rlimit before;
    struct rlimit small;
    mdr_err err = {.code = MDR_OK};
    (void)signal(SIGXFSZ, SIG_IGN);
    mdr_app *app = open_mill(true);
    const int first = revision_of(app);
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    small = (struct rlimit){.rlim_cur = 100, .rlim_max = before.rlim_max};
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    const mdr_code rc = save(app, first, "9", &err);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    assert_int_equal(rc, MDR_E_IO);
    assert_int_equal(revision_of(app), first);
    assert_int_equal(save(app, first, "9", &err), MDR_OK);
    assert_int_equal(revision_of(app), first + 1);
    mdr_app_close(app);
}

static void what_a_save_may_not_hold(void **state)
{
    (void)state;
    static const struct {
        const char *json;
        mdr_code code;
        const char *place;
    } ROWS[] = {
        {"{\"ratio_l_per_kg\":9}", MDR_E_ARG, "revision"},
        {"", MDR_E_ARG, "revision"},
        {"{\"revision\":1,\"machine_id\":\"NONE\"}", MDR_E_NOTFOUND, "machine_id"},
        {"{\"revision\":1,\"route_id\":\"NONE\"}", MDR_E_NOTFOUND, "route_id"},
        {"{\"revision\":1,\"ratio_l_per_kg\":99}", MDR_E_RANGE, "ratio_l_per_kg"},
        {"{\"revision\":1,\"lot_id\":\"X\"}", MDR_E_PARSE, "lot_id"},
        {"{\"revision\":77,\"ratio_l_per_kg\":9}", MDR_E_CONFLICT, "revision"},
    };
    mdr_app *app = open_mill(true);
    const int first = revision_of(app);
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_arena *arena = mdr_arena_new(ARENA);
        mdr_blob out = {.len = 0};
        mdr_err err = {.code = MDR_OK};
        const mdr_code rc =
            mdr_app_lot_save(app, LOT, blob_of(ROWS[i].json), arena, NULL, &out, &err);
        if (rc != ROWS[i].code || strcmp(err.place, ROWS[i].place) != 0) {
            fail_msg("%s: %s at %s: %s", ROWS[i].json, mdr_code_id(rc), err.place, err.msg);
        }
        assert_null(out.bytes);
        mdr_arena_free(arena);
    }
    assert_int_equal(revision_of(app), first);
    mdr_app_close(app);
}

/* Twenty-five lots; those with rolls can be planned (docs/demo.md). */
static void every_lot_with_rolls_has_a_plan(void **state)
{
    (void)state;
    mdr_app *app = open_mill(false);
    mdr_arena *arena = mdr_arena_new(ARENA);
    mdr_app_lot *lots = NULL;
    int n = 0;
    int planned = 0;
    assert_int_equal(mdr_app_lots(app, arena, &lots, &n, NULL), MDR_OK);
    assert_int_equal(n, 25);
    for (int i = 0; i < n; i++) {
        mdr_arena *scratch = mdr_arena_new(ARENA);
        const mdr_plan *plan = NULL;
        mdr_err err = {.code = MDR_OK};
        char id[48];
        (void)snprintf(id, sizeof id, "%s", lots[i].lot_id);
        const int rolls = lots[i].n_rolls;
        const mdr_code rc = mdr_app_plan(app, id, (mdr_blob){.len = 0}, scratch, NULL, &plan, &err);
        if ((rc == MDR_OK) != (rolls > 0)) {
            fail_msg("%s with %d rolls: %s: %s", id, rolls, mdr_code_id(rc), err.msg);
        }
        if (plan != NULL) {
            planned++;
            assert_true(mdr_fig_value(&plan->figs, plan->total_min) > 0);
            assert_true(plan->n_baths > 0 && plan->n_points > 1);
        }
        mdr_arena_free(scratch);
    }
    assert_int_equal(planned, 24);
    mdr_arena_free(arena);
    mdr_app_close(app);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(full_disk, make_folder, drop_folder),
        cmocka_unit_test_setup_teardown(something_in_the_way, make_folder, drop_folder),
        cmocka_unit_test_setup_teardown(an_empty_mill, make_folder, drop_folder),
        cmocka_unit_test_setup_teardown(any_allocation_fails, make_demo, drop_folder),
        cmocka_unit_test_setup_teardown(any_cap_holds, make_demo, drop_folder),
        cmocka_unit_test_setup_teardown(saving_without_memory, make_demo, drop_folder),
        cmocka_unit_test_setup_teardown(saving_twice_from_the_same, make_demo, drop_folder),
        cmocka_unit_test_setup_teardown(saving_on_a_full_disk, make_demo, drop_folder),
        cmocka_unit_test_setup_teardown(what_a_save_may_not_hold, make_demo, drop_folder),
        cmocka_unit_test_setup_teardown(every_lot_with_rolls_has_a_plan, make_demo, drop_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
