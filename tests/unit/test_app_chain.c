/* The look through the chain beside the server: whole, or where it is not and what is refused then.
 * Grades: D throughout; ids and texts I. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "app/mdr_app_run_in.h"
#include "mill/mdr_mill_in.h"

enum { EVENTS = 1 + 2 + 700 }; /* more than two pieces, and no whole number of them */

static char folder[] = "/tmp/madder-chain-XXXXXX";
static char path[64];

static int folder_make(void **state)
{
    (void)state;
    if (mkdtemp(folder) == NULL) {
        return -1;
    }
    (void)snprintf(path, sizeof path, "%s/demo.mill", folder);
    return 0;
}

static int folder_drop(void **state)
{
    (void)state;
    return rmdir(folder);
}

static void must(mdr_code rc, const mdr_err *err)
{
    if (rc != MDR_OK) {
        fail_msg("%s: %s", err->place, err->msg);
    }
}

static void append(mdr_mill *mill, const char *batch_id, const char *kind, const char *body, int i)
{
    mdr_err err = {0};
    char entry[32];
    (void)snprintf(entry, sizeof entry, "entry-%06d", i);
    mdr_event_row row = {.batch_id = batch_id,
                         .kind = kind,
                         .at_utc_ms = 1795674519603 + i,
                         .by = "anna",
                         .entry_id = entry,
                         .body = body};
    must(mdr_record_append(mill, &row, &err), &err);
    assert_int_equal(row.seq, i);
}

static void make_batch(mdr_mill *mill, const char *batch_id, int number, int seq)
{
    mdr_err err = {0};
    char recipe[64], body[128];
    (void)snprintf(recipe, sizeof recipe, "{\"batch_id\":\"%s\"}", batch_id);
    mdr_batch_row row = {.batch_id = batch_id,
                         .lot_id = "L26-0101",
                         .number = number,
                         .machine_id = "J1",
                         .made_utc_ms = 1795674519603,
                         .recipe = recipe,
                         .recipe_len = strlen(recipe)};
    mdr_mill_sql_exec(mill, "PRAGMA foreign_keys=OFF", &err) == MDR_OK ? (void)0 : fail();
    must(mdr_record_batch_add(mill, &row, &err), &err);
    (void)snprintf(body, sizeof body, "{\"recipe_sha256\":\"%s\"}", row.recipe_sha256);
    append(mill, batch_id, "batch-made", body, seq);
}

/* Three batches: the first events make them, then remarks to the first and the second in turn. The
 * changes are made as whoever has the file could make them. */
static mdr_app *app_with(const char *changes)
{
    mdr_err err = {0};
    mdr_app *app = NULL;
    must(mdr_app_new(path, true, &err), &err);
    must(mdr_app_open(path, true, &app, &err), &err);
    must(mdr_mill_begin(app->mill, &err), &err);
    make_batch(app->mill, "L26-0101.1", 1, 1);
    make_batch(app->mill, "L26-0101.2", 2, 2);
    make_batch(app->mill, "L26-0101.3", 3, 3);
    for (int i = 4; i <= EVENTS; i++) {
        append(app->mill, i % 2 == 0 ? "L26-0101.1" : "L26-0101.2", "remark", "{\"text\":\"x\"}",
               i);
    }
    must(mdr_mill_commit(app->mill, &err), &err);
    must(mdr_mill_sql_exec(app->mill,
                           "DROP TRIGGER event_stays; DROP TRIGGER event_kept;"
                           "DROP TRIGGER batch_stays; DROP TRIGGER batch_kept;",
                           &err),
         &err);
    must(mdr_mill_sql_exec(app->mill, changes, &err), &err);
    return app;
}

static void drop(mdr_app *app)
{
    mdr_app_close(app);
    (void)unlink(path);
}

static mdr_app_chain_seen looked_through(mdr_app *app)
{
    enum { MOST_WAITS = 20000 };
    mdr_err err = {0};
    must(mdr_app_chain_start(app, false, &err), &err);
    for (int i = 0; i < MOST_WAITS; i++) {
        const mdr_app_chain_seen seen = mdr_app_chain_look(app);
        if (seen.state != MDR_CHAIN_CHECKING) {
            return seen;
        }
        (void)nanosleep(&(struct timespec){.tv_nsec = 1000000}, NULL);
    }
    fail_msg("it never came to an end");
    return (mdr_app_chain_seen){.state = MDR_CHAIN_UNSEEN};
}

static void refuses(mdr_app *app, const char *batch_id, const char *place)
{
    mdr_err err = {0};
    assert_int_equal(mdr_app_chain_may_write(app, batch_id, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, place);
    assert_non_null(strstr(err.remedy, "backup"));
}

static const char *json_of(mdr_app *app, mdr_arena *arena)
{
    mdr_blob out = {0};
    assert_int_equal(mdr_app_chain_json(app, arena, &out, NULL), MDR_OK);
    return out.bytes;
}

static void a_whole_record(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 16);
    mdr_app *app = app_with("");
    assert_int_equal(mdr_app_chain_look(app).state, MDR_CHAIN_UNSEEN);
    assert_int_equal(mdr_app_chain_may_write(app, "L26-0101.1", NULL), MDR_OK);
    assert_non_null(strstr(json_of(app, arena), "\"state\":\"unseen\""));
    const mdr_app_chain_seen seen = looked_through(app);
    assert_int_equal(seen.state, MDR_CHAIN_SEEN);
    assert_int_equal(seen.checked, EVENTS);
    assert_int_equal(seen.of, EVENTS);
    assert_int_equal(mdr_app_chain_may_write(app, "L26-0101.1", NULL), MDR_OK);
    assert_non_null(strstr(json_of(app, arena), "\"state\":\"whole\""));
    assert_non_null(strstr(json_of(app, arena), "\"checked\":703,\"of\":703"));
    mdr_err err = {0};
    assert_int_equal(mdr_app_chain_start(app, false, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, "record");
    drop(app);
    mdr_arena_free(arena);
}

static const struct {
    const char *change;
    mdr_chain_fault fault;
    int64_t seq, checked;
} CLOSED[] = {
    {"UPDATE event SET body='{\"text\":\"y\"}' WHERE seq=703", MDR_CHAIN_CHANGED, EVENTS,
     EVENTS - 1},
    {"UPDATE event SET by_id='otto' WHERE seq=257", MDR_CHAIN_CHANGED, 257, 256},
    {"UPDATE event SET hash=zeroblob(32) WHERE seq=1", MDR_CHAIN_CHANGED, 1, 0},
    {"DELETE FROM event WHERE seq=513", MDR_CHAIN_GAP, 514, 512},
    /* what comes after a changed plan is looked at too, and weighs more */
    {"UPDATE batch SET recipe='{\"batch_id\":0}' WHERE batch_id='L26-0101.3';"
     "UPDATE event SET at_utc_ms=at_utc_ms+1 WHERE seq=600",
     MDR_CHAIN_CHANGED, 600, 599},
};

static void a_broken_chain_closes_the_record(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(CLOSED); i++) {
        char place[32];
        mdr_arena *arena = mdr_arena_new(1 << 16);
        mdr_app *app = app_with(CLOSED[i].change);
        const mdr_app_chain_seen seen = looked_through(app);
        assert_int_equal(seen.state, MDR_CHAIN_BROKEN);
        assert_int_equal(seen.report.fault, CLOSED[i].fault);
        assert_int_equal(seen.report.seq, CLOSED[i].seq);
        assert_int_equal(seen.checked, CLOSED[i].checked);
        (void)snprintf(place, sizeof place, "event %d", (int)CLOSED[i].seq);
        refuses(app, "L26-0101.1", place);
        refuses(app, "L26-0101.3", place);
        refuses(app, "", place);
        const char *json = json_of(app, arena);
        assert_non_null(strstr(json, "\"state\":\"broken\""));
        assert_non_null(strstr(json, mdr_chain_fault_words(CLOSED[i].fault)));
        (void)snprintf(place, sizeof place, "\"seq\":%d,", (int)CLOSED[i].seq);
        assert_non_null(strstr(json, place));
        drop(app);
        mdr_arena_free(arena);
    }
}

static void a_changed_plan_closes_its_batch(void **state)
{
    (void)state;
    static const char *const CHANGES[] = {
        "UPDATE batch SET recipe='{\"batch_id\":0}' WHERE batch_id='L26-0101.2'",
        "PRAGMA foreign_keys=OFF; DELETE FROM batch WHERE batch_id='L26-0101.2'",
    };
    for (size_t i = 0; i < N_OF(CHANGES); i++) {
        mdr_app *app = app_with(CHANGES[i]);
        const mdr_app_chain_seen seen = looked_through(app);
        assert_int_equal(seen.state, MDR_CHAIN_BROKEN);
        assert_int_equal(seen.report.fault, MDR_CHAIN_RECIPE);
        assert_int_equal(seen.checked, EVENTS); /* the chain itself holds */
        refuses(app, "L26-0101.2", "event 2");
        assert_int_equal(mdr_app_chain_may_write(app, "L26-0101.1", NULL), MDR_OK);
        assert_int_equal(mdr_app_chain_may_write(app, "", NULL), MDR_OK);
        drop(app);
    }
}

static void two_changed_plans_close_the_record(void **state)
{
    (void)state;
    mdr_app *app = app_with("UPDATE batch SET recipe='{\"batch_id\":0}' WHERE number>1");
    const mdr_app_chain_seen seen = looked_through(app);
    assert_int_equal(seen.plans, 2);
    assert_string_equal(seen.report.batch_id, "L26-0101.2");
    refuses(app, "L26-0101.1", "event 2");
    drop(app);
}

static void a_file_that_cannot_be_read(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 16);
    mdr_app *app = app_with("");
    assert_int_equal(unlink(path), 0);
    const mdr_app_chain_seen seen = looked_through(app);
    assert_int_equal(seen.state, MDR_CHAIN_FAILED);
    assert_int_equal(seen.err.code, MDR_E_NOTFOUND);
    assert_int_equal(mdr_app_chain_may_write(app, "L26-0101.1", NULL), MDR_OK);
    assert_non_null(strstr(json_of(app, arena), "\"state\":\"failed\""));
    drop(app);
    mdr_arena_free(arena);
}

/* Zeros over the page that holds the entry. */
static void spoil(const char *entry_id)
{
    enum { PAGE = 4096 };
    static char page[PAGE];
    FILE *f = fopen(path, "r+b");
    assert_non_null(f);
    for (long at = 0; fread(page, 1, PAGE, f) == PAGE; at += PAGE) {
        for (size_t i = 0; page[0] == 13 && i + strlen(entry_id) < PAGE;
             i++) { /* a leaf of a table */
            if (memcmp(page + i, entry_id, strlen(entry_id)) == 0) {
                memset(page, 0, PAGE);
                assert_int_equal(fseek(f, at, SEEK_SET), 0);
                assert_int_equal(fwrite(page, 1, PAGE, f), PAGE);
                assert_int_equal(fclose(f), 0);
                return;
            }
        }
    }
    fail_msg("no page holds %s", entry_id);
}

static void a_damaged_page_closes_the_record(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(1 << 16);
    mdr_app *app = app_with("");
    spoil("entry-000300");
    const mdr_app_chain_seen seen = looked_through(app);
    assert_int_equal(seen.state, MDR_CHAIN_FAILED);
    assert_int_equal(seen.err.code, MDR_E_PARSE);
    assert_in_range(seen.checked, 256, 299);
    refuses(app, "L26-0101.1", "record");
    const char *json = json_of(app, arena);
    assert_non_null(strstr(json, "\"state\":\"broken\""));
    assert_non_null(strstr(json, "damaged"));
    assert_non_null(strstr(json, "\"batch_id\":null"));
    drop(app);
    mdr_arena_free(arena);
}

/* With its pauses it takes a while; ending it in the middle does not. */
static void ended_in_the_middle(void **state)
{
    (void)state;
    mdr_err err = {0};
    mdr_app *app = app_with("");
    must(mdr_app_chain_start(app, true, &err), &err);
    mdr_app_chain_stop(app);
    assert_int_equal(mdr_app_chain_look(app).state, MDR_CHAIN_UNSEEN);
    mdr_app_chain_stop(app); /* nothing is left to end */
    must(mdr_app_chain_start(app, true, &err), &err);
    drop(app);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_whole_record),
        cmocka_unit_test(a_broken_chain_closes_the_record),
        cmocka_unit_test(a_changed_plan_closes_its_batch),
        cmocka_unit_test(two_changed_plans_close_the_record),
        cmocka_unit_test(a_file_that_cannot_be_read),
        cmocka_unit_test(a_damaged_page_closes_the_record),
        cmocka_unit_test(ended_in_the_middle),
    };
    return cmocka_run_group_tests(tests, folder_make, folder_drop);
}
