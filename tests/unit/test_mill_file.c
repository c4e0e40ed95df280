/* The mill file: making, opening, refusing, locking, telling changes. */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>

#include "t.h"

#include "mill_kit.h"

static void write_file(const char *path, const char *bytes, size_t n)
{
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(bytes, 1, n, f), n);
    assert_int_equal(fclose(f), 0);
}

static void run_sql(const char *path, const char *sql)
{
    sqlite3 *db;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
}

/* Each refusal names the file, says one thing, and what to do. */
static void expect_refusal(const char *path, bool for_writing, mdr_code code, const char *msg)
{
    mdr_err err = {0};
    mdr_mill *mill = NULL;
    const mdr_code rc = mdr_mill_open(path, for_writing, &mill, &err);
    if (rc != code || strstr(err.msg, msg) == NULL) {
        kit_print(&err);
        fail_msg("%s: got %s, want %s", path, mdr_code_id(rc), mdr_code_id(code));
    }
    assert_null(mill);
    assert_string_equal(err.place, path);
    assert_true(strlen(err.remedy) > 0);
    assert_int_equal(mdr_mill_open(path, for_writing, &mill, NULL), code); /* err may be NULL */
}

static void creates_once(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *mill = kit_mill(&d);
    mdr_mill_close(mill);
    assert_int_equal(mdr_mill_create(d.file, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, d.file);
    assert_int_equal(mdr_mill_create(d.path, &err), MDR_E_CONFLICT); /* a folder */
    KIT_OK(mdr_mill_open(d.file, false, &mill, &err), &err);         /* it was not harmed */
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM machine"), 2);
    mdr_mill_close(mill);
    mdr_mill_close(NULL);
    kit_dir_remove(&d);
}

static void create_says_what_is_wrong(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err = {0};
    char path[160];
    (void)snprintf(path, sizeof path, "%s/none/x.mill", d.path);
    assert_int_equal(mdr_mill_create(path, &err), MDR_E_IO);
    assert_string_equal(err.place, path);
    assert_string_equal(err.remedy, "make its folder first");
    assert_int_equal(mdr_mill_create("", &err), MDR_E_ARG);
    kit_dir_remove(&d);
}

static void sets_what_the_file_says_of_itself(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_mill *mill = kit_empty(&d);
    assert_int_equal(kit_count(mill, "PRAGMA application_id"), 0x4D445231);
    assert_int_equal(kit_count(mill, "PRAGMA user_version"), MDR_MILL_SCHEMA);
    assert_int_equal(kit_count(mill, "PRAGMA foreign_keys"), 1);
    assert_int_equal(kit_count(mill, "PRAGMA synchronous"), 2); /* FULL */
    assert_int_equal(kit_count(mill, "PRAGMA trusted_schema"), 0);
    assert_int_equal(kit_count(mill, "PRAGMA cell_size_check"), 1);
    assert_int_equal(kit_count(mill, "PRAGMA busy_timeout"), 5000);
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM pragma_journal_mode WHERE "
                                     "journal_mode = 'delete'"),
                     1);
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM pragma_table_list WHERE schema = 'main' "
                                     "AND name NOT LIKE 'sqlite%' AND strict = 0"),
                     0);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

static void refuses_what_is_no_mill(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    char text[5000];
    expect_refusal(d.file, false, MDR_E_NOTFOUND, "no such mill file");
    expect_refusal(d.file, true, MDR_E_NOTFOUND, "no such mill file");
    expect_refusal(d.path, true, MDR_E_PARSE, "folder");
    write_file(d.file, "", 0);
    expect_refusal(d.file, true, MDR_E_PARSE, "not a mill file");
    memset(text, 'x', sizeof text);
    write_file(d.file, text, sizeof text);
    expect_refusal(d.file, false, MDR_E_PARSE, "not a mill file");
    expect_refusal(d.file, true, MDR_E_PARSE, "not a mill file");
    (void)unlink(d.file);
    run_sql(d.file, "CREATE TABLE t (a); PRAGMA user_version = 1");
    expect_refusal(d.file, true, MDR_E_PARSE, "not a mill file");
    (void)unlink(d.file);
    (void)snprintf(text, sizeof text,
                   "PRAGMA application_id = 1296323121; PRAGMA user_version = %d",
                   (int)MDR_MILL_SCHEMA);
    run_sql(d.file, text);
    mdr_mill *mill;
    mdr_err err;
    mdr_masters masters;
    KIT_OK(mdr_mill_open(d.file, false, &mill, &err), &err); /* says so at the first reading */
    mdr_arena *arena = mdr_arena_new(4096);
    assert_int_equal(mdr_mill_masters(mill, arena, &masters, &err), MDR_E_PARSE);
    assert_non_null(strstr(err.msg, "tables"));
    mdr_arena_free(arena);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

static void refuses_a_newer_schema(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err;
    mdr_mill *mill;
    mdr_mill_close(kit_empty(&d));
    char sql[64], shown[64];
    (void)snprintf(sql, sizeof sql, "PRAGMA user_version = %d", (int)MDR_MILL_SCHEMA + 1);
    (void)snprintf(shown, sizeof shown, "schema %d", (int)MDR_MILL_SCHEMA + 1);
    run_sql(d.file, sql);
    expect_refusal(d.file, false, MDR_E_VERSION, "newer version");
    expect_refusal(d.file, true, MDR_E_VERSION, "newer version");
    assert_int_equal(mdr_mill_open(d.file, true, &mill, &err), MDR_E_VERSION);
    assert_string_equal(err.value, shown);
    kit_dir_remove(&d);
}

/* Root may write everything: it becomes nobody for the time of these tests. */
static void drop_root(const kit_dir *d)
{
    if (geteuid() == 0) {
        assert_int_equal(chown(d->path, 65534, 65534), 0);
        assert_true(chown(d->file, 65534, 65534) == 0 || errno == ENOENT);
        assert_int_equal(seteuid(65534), 0);
    }
}

static void be_root_again(void)
{
    if (getuid() == 0) {
        assert_int_equal(seteuid(0), 0);
    }
}

static void read_only_file_and_folder(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_mill *mill;
    mdr_err err = {0};
    mdr_mill_close(kit_mill(&d));
    drop_root(&d);
    assert_int_equal(chmod(d.file, 0444), 0);
    expect_refusal(d.file, true, MDR_E_IO, "mill file is read-only");
    KIT_OK(mdr_mill_open(d.file, false, &mill, &err), &err); /* reading works */
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM roll"), 5);
    assert_int_equal(kit_import(mill, "machine", kit_text("machine"), NULL, &err), MDR_E_IO);
    assert_non_null(strstr(err.msg, "read-only"));
    assert_string_equal(err.place, d.file);
    mdr_mill_close(mill);
    assert_int_equal(chmod(d.file, 0644), 0);
    assert_int_equal(chmod(d.path, 0555), 0);
    expect_refusal(d.file, true, MDR_E_IO, "folder of the mill file is read-only");
    KIT_OK(mdr_mill_open(d.file, false, &mill, &err), &err);
    mdr_mill_close(mill);
    char other[160];
    (void)snprintf(other, sizeof other, "%s/other.mill", d.path);
    assert_int_equal(mdr_mill_create(other, &err), MDR_E_IO);
    assert_int_equal(chmod(d.path, 0755), 0);
    assert_int_equal(chmod(d.file, 0000), 0);
    expect_refusal(d.file, false, MDR_E_IO, "may not be read");
    be_root_again();
    kit_dir_remove(&d);
}

static void says_when_another_program_writes(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *mill = kit_mill(&d);
    sqlite3 *other;
    (void)sqlite3_busy_timeout(mill->db, 50);
    assert_int_equal(sqlite3_open(d.file, &other), SQLITE_OK);
    assert_int_equal(sqlite3_exec(other, "BEGIN EXCLUSIVE", NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(kit_import(mill, "roll", kit_text("roll"), NULL, &err), MDR_E_IO);
    assert_string_equal(err.place, d.file);
    assert_non_null(strstr(err.msg, "another program"));
    assert_non_null(strstr(err.remedy, "wait"));
    assert_int_equal(mill->depth, 0);
    assert_int_equal(sqlite3_exec(other, "COMMIT", NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_close(other), SQLITE_OK);
    KIT_OK(kit_import(mill, "roll", kit_text("roll"), NULL, &err), &err);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

/* Who begins first changes first; the other is told at once, before it has done any work. */
static void a_change_begins_with_the_lock(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *a = kit_mill(&d), *b;
    KIT_OK(mdr_mill_open(d.file, true, &b, &err), &err);
    (void)sqlite3_busy_timeout(b->db, 50);
    KIT_OK(mdr_mill_begin(a, &err), &err);
    assert_int_equal(mdr_mill_begin(b, &err), MDR_E_IO);
    assert_int_equal(kit_count(b, "SELECT count(*) FROM roll"), 5); /* reading goes on */
    KIT_OK(mdr_mill_commit(a, &err), &err);
    KIT_OK(mdr_mill_begin(b, &err), &err);
    mdr_mill_rollback(b);
    mdr_mill_close(a);
    mdr_mill_close(b);
    kit_dir_remove(&d);
}

/* ":memory:" and "file:" are names of files here, not words for SQLite. */
static void names_are_names(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    char cwd[500];
    mdr_err err;
    mdr_mill *mill;
    static const char *const NAMES[] = {":memory:", "file:x?mode=memory", "a b'c\"d.mill"};
    assert_non_null(getcwd(cwd, sizeof cwd));
    assert_int_equal(chdir(d.path), 0);
    for (size_t i = 0; i < N_OF(NAMES); i++) {
        KIT_OK(mdr_mill_create(NAMES[i], &err), &err);
        KIT_OK(mdr_mill_open(NAMES[i], true, &mill, &err), &err);
        kit_put_route(mill, "R-1", "One");
        mdr_mill_close(mill);
        KIT_OK(mdr_mill_open(NAMES[i], false, &mill, &err), &err);
        assert_int_equal(kit_count(mill, "SELECT count(*) FROM route"), 1);
        mdr_mill_close(mill);
        assert_int_equal(unlink(NAMES[i]), 0);
    }
    assert_int_equal(chdir(cwd), 0);
    kit_dir_remove(&d);
}

static int64_t state_of(mdr_mill *mill)
{
    mdr_err err;
    int64_t s = 0;
    KIT_OK(mdr_mill_state(mill, &s, &err), &err);
    return s;
}

static void state_tells_changes(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err;
    mdr_mill *a = kit_mill(&d), *b;
    KIT_OK(mdr_mill_open(d.file, true, &b, &err), &err);
    const int64_t a0 = state_of(a), b0 = state_of(b);
    assert_int_equal(state_of(a), a0);
    free(kit_export(a, mdr_table_find("roll"))); /* reading changes nothing */
    KIT_OK(kit_import(a, "machine", kit_text("machine"), NULL, &err), &err); /* the same again */
    assert_int_equal(state_of(a), a0);
    KIT_OK(kit_import(a, "roll", "roll_id,article_id,lot_id,grey_kg\nG9,RIB,,20\n", NULL, &err),
           &err);
    assert_true(state_of(a) != a0); /* by itself */
    assert_true(state_of(b) != b0); /* by another */
    const int64_t a1 = state_of(a);
    KIT_OK(kit_import(b, "roll", "roll_id,article_id,lot_id,grey_kg\nG9,RIB,,21\n", NULL, &err),
           &err);
    assert_true(state_of(a) != a1);
    mdr_mill_close(a);
    mdr_mill_close(b);
    kit_dir_remove(&d);
}

static void changes_nest_and_undo(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err;
    mdr_mill *mill = kit_mill(&d);
    static const char HEAD[] = "roll_id,article_id,lot_id,grey_kg\n";
    char good[200], bad[200];
    (void)snprintf(good, sizeof good, "%sN1,RIB,,20\n", HEAD);
    (void)snprintf(bad, sizeof bad, "%sN2,RIB,,20\nN3,RIB,,0\n", HEAD);
    /* outer undone: nothing stays */
    KIT_OK(mdr_mill_begin(mill, &err), &err);
    KIT_OK(kit_import(mill, "roll", good, NULL, &err), &err);
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM roll"), 6);
    mdr_mill_rollback(mill);
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM roll"), 5);
    /* an inner failure undoes only itself */
    KIT_OK(mdr_mill_begin(mill, &err), &err);
    KIT_OK(mdr_mill_begin(mill, &err), &err);
    KIT_OK(kit_import(mill, "roll", good, NULL, &err), &err);
    assert_int_equal(kit_import(mill, "roll", bad, NULL, &err), MDR_E_RANGE);
    KIT_OK(mdr_mill_commit(mill, &err), &err);
    KIT_OK(mdr_mill_commit(mill, &err), &err);
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM roll"), 6);
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM roll WHERE roll_id = 'N2'"), 0);
    assert_int_equal(mdr_mill_commit(mill, &err), MDR_E_ARG);
    mdr_mill_rollback(mill); /* harmless without a change */
    for (int i = 0; i < MDR_MILL_DEPTH_MAX; i++) {
        KIT_OK(mdr_mill_begin(mill, &err), &err);
    }
    assert_int_equal(mdr_mill_begin(mill, &err), MDR_E_ARG);
    mdr_mill_close(mill); /* closing undoes what is open */
    KIT_OK(mdr_mill_open(d.file, false, &mill, &err), &err);
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM roll"), 6);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(creates_once),
                                       cmocka_unit_test(create_says_what_is_wrong),
                                       cmocka_unit_test(sets_what_the_file_says_of_itself),
                                       cmocka_unit_test(refuses_what_is_no_mill),
                                       cmocka_unit_test(refuses_a_newer_schema),
                                       cmocka_unit_test(read_only_file_and_folder),
                                       cmocka_unit_test(says_when_another_program_writes),
                                       cmocka_unit_test(a_change_begins_with_the_lock),
                                       cmocka_unit_test(names_are_names),
                                       cmocka_unit_test(state_tells_changes),
                                       cmocka_unit_test(changes_nest_and_undo)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
