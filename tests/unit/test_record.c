/* The record of batches: appended, never changed, whole or said to be broken; copies of it. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "mill/mdr_backup.h"
#include "mill_kit.h"

static void exec(mdr_mill *mill, const char *sql, bool works)
{
    mdr_err err = {0};
    const mdr_code rc = mdr_mill_sql_exec(mill, sql, &err);
    if ((rc == MDR_OK) != works) {
        fail_msg("%s: %s", sql, err.msg);
    }
}

static void add_batch(mdr_mill *mill, const char *batch_id, int number)
{
    mdr_err err = {0};
    static const char RECIPE[] = "{\"lot_id\":\"L-1\"}";
    mdr_batch_row row = {.batch_id = batch_id,
                         .lot_id = "L26-0001",
                         .number = number,
                         .machine_id = "J1",
                         .made_utc_ms = 1795674519603,
                         .recipe = RECIPE,
                         .recipe_len = strlen(RECIPE)};
    if (mdr_record_batch_add(mill, &row, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
}

static mdr_event_row row_of(const char *batch_id, const char *kind, int i)
{
    static char entry[32], body[64];
    (void)snprintf(entry, sizeof entry, "entry-%06d", i);
    (void)snprintf(body, sizeof body, "{\"text\":\"%d\"}", i);
    return (mdr_event_row){.batch_id = batch_id,
                           .kind = kind,
                           .at_utc_ms = 1795674519603 + i,
                           .device_utc_ms = 5,
                           .happened_utc_ms = 1795674519000 + i,
                           .by = "anna",
                           .entry_id = entry,
                           .body = body};
}

static void append(mdr_mill *mill, const char *batch_id, int i)
{
    mdr_err err = {0};
    mdr_event_row row = row_of(batch_id, "remark", i);
    if (mdr_record_append(mill, &row, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    assert_int_equal(row.seq, i);
}

enum { EVENTS = 20 };

static mdr_mill *with_events(kit_dir *dir)
{
    mdr_mill *mill = kit_mill(dir);
    add_batch(mill, "L-1.1", 1);
    for (int i = 1; i <= EVENTS; i++) {
        append(mill, "L-1.1", i);
    }
    return mill;
}

static mdr_chain_report verified(mdr_mill *mill)
{
    mdr_err err = {0};
    mdr_chain_report r = {.fault = MDR_CHAIN_WHOLE};
    assert_int_equal(mdr_record_verify(mill, NULL, 0, &r, &err), MDR_OK);
    return r;
}

static void whole_and_in_pieces(void **state)
{
    (void)state;
    kit_dir dir = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *mill = with_events(&dir);
    const mdr_chain_report all = verified(mill);
    assert_int_equal(all.fault, MDR_CHAIN_WHOLE);
    assert_int_equal(all.checked, EVENTS);
    mdr_record_head head;
    assert_int_equal(mdr_record_head_get(mill, &head, &err), MDR_OK);
    assert_int_equal(head.seq, EVENTS);
    assert_memory_equal(head.hash, all.head.hash, sizeof head.hash);
    mdr_chain_report part = {.fault = MDR_CHAIN_WHOLE};
    assert_int_equal(mdr_record_verify(mill, NULL, 7, &part, &err), MDR_OK);
    assert_int_equal(part.checked, 7);
    const mdr_record_head seventh = part.head;
    assert_int_equal(mdr_record_verify(mill, &seventh, 0, &part, &err), MDR_OK);
    assert_int_equal(part.checked, EVENTS - 7);
    assert_memory_equal(part.head.hash, all.head.hash, sizeof head.hash);
    mdr_mill_close(mill);
    kit_dir_remove(&dir);
}

static void tables_refuse_changes(void **state)
{
    (void)state;
    kit_dir dir = kit_dir_make();
    mdr_mill *mill = with_events(&dir);
    exec(mill, "UPDATE event SET body='{}' WHERE seq=3", false);
    exec(mill, "DELETE FROM event WHERE seq=20", false);
    exec(mill, "UPDATE batch SET recipe='{}'", false);
    exec(mill, "DELETE FROM batch", false);
    exec(mill,
         "INSERT INTO event SELECT seq+5,batch_id,kind,at_utc_ms,0,0,by_id,'entry-new1',body,"
         "hash FROM event WHERE seq=20",
         false);
    exec(mill,
         "INSERT OR REPLACE INTO event SELECT seq,batch_id,kind,at_utc_ms,0,0,by_id,"
         "'entry-new2',body,hash FROM event WHERE seq=20",
         false);
    assert_int_equal(verified(mill).fault, MDR_CHAIN_WHOLE);
    mdr_mill_close(mill);
    kit_dir_remove(&dir);
}

/* Whoever has the file can take the triggers away; the chain then tells. */
static void every_field_is_chained(void **state)
{
    (void)state;
    static const char *const CHANGES[] = {
        "UPDATE event SET body='{\"text\":\"9\"}' WHERE seq=4",
        "UPDATE event SET kind='reading' WHERE seq=4",
        "UPDATE event SET batch_id='L-1.2' WHERE seq=4",
        "UPDATE event SET at_utc_ms=at_utc_ms+1 WHERE seq=4",
        "UPDATE event SET device_utc_ms=6 WHERE seq=4",
        "UPDATE event SET happened_utc_ms=happened_utc_ms-1 WHERE seq=4",
        "UPDATE event SET by_id='otto' WHERE seq=4",
        "UPDATE event SET entry_id='entry-000099' WHERE seq=4",
        "UPDATE event SET hash=zeroblob(32) WHERE seq=4",
    };
    for (size_t i = 0; i < N_OF(CHANGES); i++) {
        kit_dir dir = kit_dir_make();
        mdr_mill *mill = with_events(&dir);
        add_batch(mill, "L-1.2", 2);
        exec(mill, "DROP TRIGGER event_stays", true);
        exec(mill, CHANGES[i], true);
        const mdr_chain_report r = verified(mill);
        assert_int_equal(r.fault, MDR_CHAIN_CHANGED);
        assert_int_equal(r.seq, 4);
        assert_int_equal(r.checked, 3);
        mdr_mill_close(mill);
        kit_dir_remove(&dir);
    }
}

static void gaps_and_recipes_are_seen(void **state)
{
    (void)state;
    kit_dir dir = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *mill = with_events(&dir);
    exec(mill, "DROP TRIGGER event_kept", true);
    exec(mill, "DELETE FROM event WHERE seq=11", true);
    mdr_chain_report r = verified(mill);
    assert_int_equal(r.fault, MDR_CHAIN_GAP);
    assert_int_equal(r.seq, 12);
    mdr_mill_close(mill);
    kit_dir_remove(&dir);

    dir = kit_dir_make();
    mill = kit_mill(&dir);
    add_batch(mill, "L-1.1", 1);
    mdr_batch_row batch;
    mdr_arena *arena = mdr_arena_new(1 << 20);
    assert_int_equal(mdr_record_batch(mill, "L-1.1", arena, &batch, &err), MDR_OK);
    mdr_event_row made = row_of("L-1.1", "batch-made", 1);
    made.body = mdr_arena_printf(arena, "{\"recipe_sha256\":\"%s\"}", batch.recipe_sha256);
    assert_int_equal(mdr_record_append(mill, &made, &err), MDR_OK);
    assert_int_equal(verified(mill).fault, MDR_CHAIN_WHOLE);
    exec(mill, "DROP TRIGGER batch_stays", true);
    exec(mill, "UPDATE batch SET recipe='{\"lot_id\":\"L-2\"}'", true);
    assert_int_equal(verified(mill).fault, MDR_CHAIN_RECIPE);
    mdr_arena_free(arena);
    mdr_mill_close(mill);
    kit_dir_remove(&dir);
}

static mdr_code count_up(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    (void)err;
    assert_non_null(row->body);
    *(int *)ctx += 1;
    return MDR_OK;
}

static void batches_are_found(void **state)
{
    (void)state;
    kit_dir dir = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *mill = with_events(&dir);
    mdr_arena *arena = mdr_arena_new(1 << 20);
    add_batch(mill, "L-1.2", 2);
    mdr_event_row over = row_of("L-1.1", "batch-released", EVENTS + 1);
    assert_int_equal(mdr_record_append(mill, &over, &err), MDR_OK);
    mdr_batch_row *rows;
    int n, number;
    assert_int_equal(mdr_record_batches(mill, MDR_RECORD_OPEN, arena, &rows, &n, &err), MDR_OK);
    assert_int_equal(n, 1);
    assert_string_equal(rows[0].batch_id, "L-1.2");
    assert_int_equal(mdr_record_batches(mill, MDR_RECORD_ALL, arena, &rows, &n, &err), MDR_OK);
    assert_int_equal(n, 2);
    assert_int_equal(mdr_record_batches_of_lot(mill, "L26-0001", &number, &err), MDR_OK);
    assert_int_equal(number, 2);
    int seen = 0;
    const mdr_event_query q = {.batch_id = "L-1.1", .after_seq = 15, .most = 4};
    assert_int_equal(mdr_record_events(mill, &q, count_up, &seen, &err), MDR_OK);
    assert_int_equal(seen, 4);
    mdr_event_row row;
    bool there;
    assert_int_equal(mdr_record_entry(mill, "entry-000003", arena, &row, &there, &err), MDR_OK);
    assert_true(there);
    assert_int_equal(row.seq, 3);
    assert_int_equal(mdr_record_entry(mill, "entry-none00", arena, &row, &there, &err), MDR_OK);
    assert_false(there);
    over = row_of("L-1.1", "batch-rejected", EVENTS + 2);
    assert_int_equal(mdr_record_append(mill, &over, &err), MDR_E_CONFLICT); /* over once */
    over = row_of("L-1.1", "remark", 3);
    assert_int_equal(mdr_record_append(mill, &over, &err), MDR_E_CONFLICT); /* an entry once */
    assert_int_equal(mdr_record_batch(mill, "none", arena, &rows[0], &err), MDR_E_NOTFOUND);
    assert_string_equal(err.place, "batch_id");
    mdr_arena_free(arena);
    mdr_mill_close(mill);
    kit_dir_remove(&dir);
}

static void no_row_differs(mdr_mill *copy, const char *name)
{
    char sql[400];
    static const char *const SIDES[] = {"main", "a"};
    for (int i = 0; i < 2; i++) {
        (void)snprintf(sql, sizeof sql,
                       "SELECT count(*) FROM (SELECT * FROM %s.\"%s\" EXCEPT SELECT * FROM "
                       "%s.\"%s\")",
                       SIDES[i], name, SIDES[1 - i], name);
        assert_int_equal(kit_count(copy, sql), 0);
    }
}

/* More than two pieces of what only grows; all the other tables as well, row by row, in their order. */
static void backups_hold_every_row(void **state)
{
    (void)state;
    enum { MANY = 700, TABLES_LEAST = 25 };
    kit_dir dir = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *mill = with_events(&dir), *copy = NULL;
    add_batch(mill, "A-FIRST.1", 2); /* by its letters before the other, by its age behind it */
    for (int i = EVENTS + 1; i <= MANY; i++) {
        append(mill, "A-FIRST.1", i);
    }
    char path[300], sql[400];
    mdr_backup_report r;
    (void)snprintf(path, sizeof path, "%s.backup", dir.file);
    KIT_OK(mdr_mill_backup(mill, path, &r, &err), &err);
    mdr_mill_close(mill);
    assert_int_equal(r.events, MANY);
    KIT_OK(mdr_mill_open(path, true, &copy, &err), &err);
    (void)snprintf(sql, sizeof sql, "ATTACH '%s' AS a", dir.file);
    exec(copy, sql, true);
    sqlite3_stmt *stmt;
    bool row = false;
    int n = 0;
    KIT_OK(mdr_mill_sql_prepare(copy,
                                "SELECT name FROM a.sqlite_schema WHERE type='table' AND name NOT "
                                "LIKE 'sqlite%'",
                                &stmt, &err),
           &err);
    while (mdr_mill_sql_step(copy, stmt, &row, &err) == MDR_OK && row) {
        no_row_differs(copy, (const char *)sqlite3_column_text(stmt, 0));
        n++;
    }
    (void)sqlite3_finalize(stmt);
    assert_true(n >= TABLES_LEAST);
    assert_int_equal(kit_count(copy, "SELECT count(*) FROM roll") > 0, 1);
    assert_int_equal(kit_count(copy, "SELECT number FROM batch ORDER BY rowid LIMIT 1"), 1);
    assert_int_equal(kit_count(copy,
                               "SELECT count(*) FROM (SELECT type,name,sql FROM a.sqlite_schema "
                               "EXCEPT SELECT type,name,sql FROM main.sqlite_schema)"),
                     0);
    mdr_mill_close(copy);
    assert_int_equal(unlink(path), 0);
    kit_dir_remove(&dir);
}

static void backups_of_a_record_with_a_gap(void **state)
{
    (void)state;
    kit_dir dir = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *mill = with_events(&dir);
    char path[300];
    mdr_backup_report r;
    (void)snprintf(path, sizeof path, "%s.backup", dir.file);
    exec(mill, "DROP TRIGGER event_kept; DELETE FROM event WHERE seq=4", true);
    assert_int_equal(mdr_mill_backup(mill, path, &r, &err), MDR_E_PARSE);
    assert_string_equal(err.place, dir.file);
    assert_non_null(strstr(err.msg, "gaps"));
    mdr_mill_close(mill);
    assert_int_equal(unlink(dir.file), 0);
    assert_int_equal(rmdir(dir.path), 0);
}

static int mode_of(const char *path)
{
    struct stat st;
    assert_int_equal(stat(path, &st), 0);
    return (int)(st.st_mode & 0777u);
}

/* It holds what passwords are checked by: whatever the umask says, nobody else reads it. */
static void files_are_their_owners_alone(void **state)
{
    (void)state;
    const mode_t before = umask(0);
    kit_dir dir = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *mill = with_events(&dir);
    char path[300], journal[300];
    mdr_backup_report r;
    (void)snprintf(path, sizeof path, "%s.backup", dir.file);
    (void)snprintf(journal, sizeof journal, "%s-journal", dir.file);
    KIT_OK(mdr_mill_backup(mill, path, &r, &err), &err);
    assert_int_equal(mode_of(dir.file), 0600);
    assert_int_equal(mode_of(path), 0600);
    KIT_OK(mdr_mill_begin(mill, &err), &err);
    append(mill, "L-1.1", EVENTS + 1);
    assert_int_equal(mode_of(journal), 0600);
    mdr_mill_rollback(mill);
    mdr_mill_close(mill);
    assert_int_equal(unlink(path), 0);
    kit_dir_remove(&dir);
    (void)umask(before);
}

static void backups_are_whole(void **state)
{
    (void)state;
    kit_dir dir = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *mill = with_events(&dir), *copy = NULL;
    char path[300];
    mdr_backup_report r;
    (void)snprintf(path, sizeof path, "%s.backup", dir.file);
    assert_int_equal(mdr_mill_backup(mill, path, &r, &err), MDR_OK);
    assert_int_equal(r.events, EVENTS);
    assert_true(r.bytes > 4096);
    assert_int_equal(mdr_mill_backup(mill, path, &r, &err), MDR_E_CONFLICT);
    assert_int_equal(mdr_mill_open(path, true, &copy, &err), MDR_OK); /* and it can be worked on */
    assert_int_equal(verified(copy).checked, EVENTS);
    append(copy, "L-1.1", EVENTS + 1);
    mdr_mill_close(copy);
    assert_int_equal(unlink(path), 0);
    /* one that is not whole is never given out */
    exec(mill, "DROP TRIGGER event_stays", true);
    exec(mill, "UPDATE event SET by_id='otto' WHERE seq=4", true);
    assert_int_equal(mdr_mill_backup(mill, path, &r, &err), MDR_E_PARSE);
    assert_string_equal(err.value, "event 4");
    assert_int_not_equal(access(path, F_OK), 0);
    assert_int_equal(mdr_mill_backup(mill, "/proc/none/x.mill", &r, &err), MDR_E_IO);
    mdr_mill_close(mill);
    assert_int_equal(unlink(dir.file), 0);
    assert_int_equal(rmdir(dir.path), 0); /* nothing was left behind */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(whole_and_in_pieces),
                                       cmocka_unit_test(tables_refuse_changes),
                                       cmocka_unit_test(every_field_is_chained),
                                       cmocka_unit_test(gaps_and_recipes_are_seen),
                                       cmocka_unit_test(batches_are_found),
                                       cmocka_unit_test(backups_are_whole),
                                       cmocka_unit_test(backups_hold_every_row),
                                       cmocka_unit_test(backups_of_a_record_with_a_gap),
                                       cmocka_unit_test(files_are_their_owners_alone)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
