/* A mill of an older schema, made by the SQL of then, comes to the newest schema with all it held. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "base/mdr_embedded.h"
#include "mill_kit.h"

extern const mdr_embedded mdr_embed_schema[];

enum { FIRST = 1 };

/* In the order of references. */
static const char *const TABLES[] = {
    "site",  "machine", "article", "dose_table",    "dose_band",      "dye", "chemical",
    "shade", "recipe",  "route",   "route_version", "customer_order", "lot", "roll"};

static void exec(sqlite3 *db, const char *sql)
{
    char *msg = NULL;
    if (sqlite3_exec(db, sql, NULL, NULL, &msg) != SQLITE_OK) {
        fail_msg("%s: %s", sql, msg);
    }
}

static int64_t number(sqlite3 *db, const char *sql)
{
    sqlite3_stmt *stmt;
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &stmt, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(stmt), SQLITE_ROW);
    const int64_t n = sqlite3_column_int64(stmt, 0);
    assert_int_equal(sqlite3_finalize(stmt), SQLITE_OK);
    return n;
}

/* The columns of a table, quoted, with commas between. */
static void columns(sqlite3 *db, const char *table, char *out, size_t size)
{
    sqlite3_stmt *stmt;
    assert_int_equal(sqlite3_prepare_v2(
                         db, "SELECT group_concat('\"' || name || '\"') FROM pragma_table_info(?1)",
                         -1, &stmt, NULL),
                     SQLITE_OK);
    assert_int_equal(sqlite3_bind_text(stmt, 1, table, -1, SQLITE_STATIC), SQLITE_OK);
    assert_int_equal(sqlite3_step(stmt), SQLITE_ROW);
    const int n = snprintf(out, size, "%s", (const char *)sqlite3_column_text(stmt, 0));
    assert_true(n > 0 && (size_t)n < size);
    assert_int_equal(sqlite3_finalize(stmt), SQLITE_OK);
}

typedef struct old_mill {
    kit_dir dir, now; /* schema 1; the same records in the newest schema */
    char cols[N_OF(TABLES)][1500];
} old_mill;

/* A mill of an older schema with the records of the kit, as far as schema 1 can hold them. */
static void make_of(old_mill *o, int schema)
{
    sqlite3 *db;
    char sql[4000];
    o->dir = kit_dir_make();
    o->now = kit_dir_make();
    mdr_mill *mill = kit_empty(&o->now);
    kit_fill(mill);
    exec(mill->db, "UPDATE chemical SET substance = 'other' WHERE substance = 'sequestrant'");
    /* the classes are no table of then */
    exec(mill->db, "UPDATE dye SET weigh_class = NULL; UPDATE chemical SET weigh_class = NULL");
    mdr_mill_close(mill);
    assert_int_equal(sqlite3_open(o->dir.file, &db), SQLITE_OK);
    for (int v = FIRST; v <= schema; v++) {
        assert_int_equal(strtol(mdr_embed_schema[v - FIRST].name, NULL, 10), v);
        exec(db, (const char *)mdr_embed_schema[v - FIRST].bytes);
    }
    (void)snprintf(sql, sizeof sql,
                   "PRAGMA application_id = 1296323121; PRAGMA user_version = %d", /* "MDR1" */
                   schema);
    exec(db, sql);
    (void)snprintf(sql, sizeof sql, "ATTACH '%s' AS now", o->now.file);
    exec(db, sql);
    if (schema >= 8) { /* from then on materials name how they are weighed */
        exec(db, "INSERT INTO main.weighing_class SELECT * FROM now.weighing_class");
    }
    for (size_t i = 0; i < N_OF(TABLES); i++) {
        columns(db, TABLES[i], o->cols[i], sizeof o->cols[i]);
        (void)snprintf(sql, sizeof sql, "INSERT INTO main.\"%s\" (%s) SELECT %s FROM now.\"%s\"",
                       TABLES[i], o->cols[i], o->cols[i], TABLES[i]);
        exec(db, sql);
        (void)snprintf(sql, sizeof sql, "SELECT count(*) FROM main.\"%s\"", TABLES[i]);
        assert_true(number(db, sql) > 0); /* each has something to lose */
    }
    exec(db, "UPDATE lot SET revision = 7 WHERE lot_id = 'L26-0001';"
             "UPDATE now.lot SET revision = 7 WHERE lot_id = 'L26-0001'");
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
}

static void make_old(old_mill *o)
{
    make_of(o, FIRST);
}

static void drop_old(const old_mill *o)
{
    kit_dir_remove(&o->dir);
    kit_dir_remove(&o->now);
}

/* Every row of schema 1 is there, and no other. */
static void expect_nothing_lost(mdr_mill *mill, const old_mill *o)
{
    char sql[4000];
    (void)snprintf(sql, sizeof sql, "ATTACH '%s' AS now", o->now.file);
    exec(mill->db, sql);
    for (size_t i = 0; i < N_OF(TABLES); i++) {
        for (int side = 0; side < 2; side++) {
            (void)snprintf(sql, sizeof sql,
                           "SELECT count(*) FROM (SELECT %s FROM %s.\"%s\" EXCEPT SELECT %s FROM "
                           "%s.\"%s\")",
                           o->cols[i], side == 0 ? "now" : "main", TABLES[i], o->cols[i],
                           side == 0 ? "main" : "now", TABLES[i]);
            if (number(mill->db, sql) != 0) {
                fail_msg("%s: rows %s", TABLES[i], side == 0 ? "lost" : "added");
            }
        }
    }
    exec(mill->db, "DETACH now");
}

static int64_t findings(mdr_mill *mill)
{
    mdr_err err;
    mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
    mdr_err_list found = mdr_err_list_make(arena, 100);
    KIT_OK(mdr_mill_check(mill, &found, &err), &err);
    const int64_t n = found.total;
    for (int i = 0; i < found.count; i++) {
        print_message("%s: %s\n", found.items[i].place, found.items[i].msg);
    }
    mdr_arena_free(arena);
    return n;
}

static void nothing_is_lost(void **state)
{
    (void)state;
    mdr_err err;
    mdr_mill *mill;
    old_mill *o = calloc(1, sizeof *o);
    assert_non_null(o);
    make_old(o);
    for (int opened = 0; opened < 2; opened++) { /* the second time there is nothing to do */
        KIT_OK(mdr_mill_open(o->dir.file, true, &mill, &err), &err);
        assert_int_equal(kit_count(mill, "PRAGMA user_version"), MDR_MILL_SCHEMA);
        assert_int_equal(kit_count(mill, "SELECT count(*) FROM pragma_foreign_key_check"), 0);
        expect_nothing_lost(mill, o);
        assert_int_equal(findings(mill), 1); /* the kit's violet has no price */
        mdr_mill_close(mill);
    }
    KIT_OK(mdr_mill_open(o->dir.file, false, &mill, &err), &err);
    mdr_mill_close(mill);
    drop_old(o);
    free(o);
}

/* A mill of any schema that was ever written. */
static void from_every_schema(void **state)
{
    (void)state;
    mdr_err err;
    mdr_mill *mill;
    for (int schema = FIRST; schema < MDR_MILL_SCHEMA; schema++) {
        old_mill *o = calloc(1, sizeof *o);
        assert_non_null(o);
        make_of(o, schema);
        KIT_OK(mdr_mill_open(o->dir.file, true, &mill, &err), &err);
        assert_int_equal(kit_count(mill, "PRAGMA user_version"), MDR_MILL_SCHEMA);
        assert_int_equal(kit_count(mill, "SELECT count(*) FROM pragma_foreign_key_check"), 0);
        expect_nothing_lost(mill, o);
        /* tables that came later take their records */
        for (size_t i = 0; i < N_OF(KIT); i++) {
            KIT_OK(kit_import(mill, KIT[i].table, KIT[i].text, NULL, &err), &err);
        }
        mdr_mill_close(mill);
        drop_old(o);
        free(o);
    }
}

/* What schema 1 did not know is not given, or the first choice. */
static void new_columns_are_empty(void **state)
{
    (void)state;
    mdr_err err;
    mdr_mill *mill;
    int tried = 0;
    old_mill *o = calloc(1, sizeof *o);
    assert_non_null(o);
    make_old(o);
    KIT_OK(mdr_mill_open(o->dir.file, true, &mill, &err), &err);
    for (int t = 0; t < mdr_tables_count; t++) {
        for (int c = 0; c < mdr_tables[t].n_cols; c++) {
            const mdr_col *col = &mdr_tables[t].cols[c];
            char sql[300], want[80] = "IS NULL";
            if ((col->flags & MDR_COL_LATER) == 0) {
                continue;
            }
            if (col->kind == MDR_COL_TEXT) {
                (void)snprintf(want, sizeof want, "= ''");
            } else if (col->kind == MDR_COL_ENUM) {
                (void)snprintf(want, sizeof want, "= '%.*s'", (int)strcspn(col->choices, "|"),
                               col->choices);
            }
            (void)snprintf(sql, sizeof sql, "SELECT count(*) FROM \"%s\" WHERE NOT \"%s\" %s",
                           mdr_tables[t].sql, col->sql, want);
            assert_int_equal(kit_count(mill, sql), 0);
            tried++;
        }
    }
    assert_true(tried >= 20);
    mdr_mill_close(mill);
    drop_old(o);
    free(o);
}

/* The tables are those of a mill made today, indexes and keys too. */
static void the_schema_is_that_of_a_new_mill(void **state)
{
    (void)state;
    mdr_err err;
    mdr_mill *mill;
    char sql[400];
    old_mill *o = calloc(1, sizeof *o);
    assert_non_null(o);
    make_old(o);
    KIT_OK(mdr_mill_open(o->dir.file, true, &mill, &err), &err);
    (void)snprintf(sql, sizeof sql, "ATTACH '%s' AS now", o->now.file);
    exec(mill->db, sql);
    assert_int_equal(number(mill->db,
                            "SELECT count(*) FROM (SELECT type, name, tbl_name, sql FROM "
                            "now.sqlite_master EXCEPT SELECT type, name, tbl_name, sql FROM "
                            "main.sqlite_master)"),
                     0);
    assert_int_equal(number(mill->db, "SELECT count(*) FROM main.sqlite_master"),
                     number(mill->db, "SELECT count(*) FROM now.sqlite_master"));
    /* the words that schema 1 refused */
    KIT_OK(kit_import(mill, "weighing_class", kit_text("weighing_class"), NULL, &err), &err);
    KIT_OK(kit_import(mill, "chemical", kit_text("chemical"), NULL, &err), &err);
    assert_int_equal(
        kit_count(mill, "SELECT count(*) FROM chemical WHERE substance = 'sequestrant'"), 1);
    mdr_mill_close(mill);
    drop_old(o);
    free(o);
}

static void reading_alone_does_not_migrate(void **state)
{
    (void)state;
    mdr_err err;
    mdr_mill *mill;
    sqlite3 *db;
    old_mill *o = calloc(1, sizeof *o);
    assert_non_null(o);
    make_old(o);
    assert_int_equal(mdr_mill_open(o->dir.file, false, &mill, &err), MDR_E_IO);
    assert_non_null(strstr(err.msg, "older schema"));
    assert_non_null(strstr(err.remedy, "bring it up to date"));
    assert_int_equal(sqlite3_open(o->dir.file, &db), SQLITE_OK);
    assert_int_equal(number(db, "PRAGMA user_version"), FIRST);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    drop_old(o);
    free(o);
}

/* A row that another program wrote against the rules stops the migration: all stays as it was. */
static void a_refused_row_leaves_the_file_as_it_was(void **state)
{
    (void)state;
    mdr_err err;
    mdr_mill *mill;
    sqlite3 *db;
    old_mill *o = calloc(1, sizeof *o);
    assert_non_null(o);
    make_old(o);
    assert_int_equal(sqlite3_open(o->dir.file, &db), SQLITE_OK);
    exec(db, "PRAGMA ignore_check_constraints=ON;"
             "UPDATE chemical SET substance = 'water' WHERE chemical_id = 'WET'");
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    assert_int_equal(mdr_mill_open(o->dir.file, true, &mill, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, o->dir.file);
    assert_int_equal(sqlite3_open(o->dir.file, &db), SQLITE_OK);
    assert_int_equal(number(db, "PRAGMA user_version"), FIRST);
    assert_int_equal(number(db, "SELECT count(*) FROM chemical"), 3);
    assert_int_equal(number(db, "SELECT count(*) FROM pragma_table_info('site') WHERE name = "
                                "'steam_co2_g_per_t'"),
                     0);
    exec(db, "UPDATE chemical SET substance = 'other' WHERE chemical_id = 'WET'");
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    KIT_OK(mdr_mill_open(o->dir.file, true, &mill, &err), &err);
    expect_nothing_lost(mill, o);
    mdr_mill_close(mill);
    drop_old(o);
    free(o);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(nothing_is_lost),
                                       cmocka_unit_test(from_every_schema),
                                       cmocka_unit_test(new_columns_are_empty),
                                       cmocka_unit_test(the_schema_is_that_of_a_new_mill),
                                       cmocka_unit_test(reading_alone_does_not_migrate),
                                       cmocka_unit_test(a_refused_row_leaves_the_file_as_it_was)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
