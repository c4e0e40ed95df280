/* The store when memory, writing or the disk fails: each call reports, nothing is half-written,
 * nothing leaks (the sanitizer builds watch), and the file is whole afterwards. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/t.h"

#include "sqlite_fault_kit.h"

#define ROLL_HEAD "roll_id,article_id,lot_id,grey_kg\n"

/* -- jobs ------------------------------------------------------------------------------------- */

typedef mdr_code (*job)(mdr_mill *mill, const char *path, mdr_err *err);

static mdr_code import_rolls(mdr_mill *mill, const char *path, mdr_err *err)
{
    (void)path;
    char text[4000];
    size_t n = (size_t)sprintf(text, ROLL_HEAD);
    for (int i = 0; i < 100; i++) { /* enough keys to make the table of keys grow */
        n += (size_t)sprintf(text + n, "\"N%d\",RIB,L26-0002,2%d\n", i, i % 10);
    }
    return kit_import(mill, "roll", text, NULL, err);
}

static mdr_code import_recipe(mdr_mill *mill, const char *path, mdr_err *err)
{
    (void)path;
    return kit_import(mill, "recipe", "shade_id,line,dye_id,depth_pct_owf\nBORDEAUX,1,BLUE,3\n",
                      NULL, err);
}

/* Faults are found: with too little memory for the list they are counted, not kept. */
static mdr_code import_faulty(mdr_mill *mill, const char *path, mdr_err *err)
{
    (void)path;
    mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
    if (arena == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "memory");
    }
    mdr_err_list found = mdr_err_list_make(arena, 100);
    mdr_code rc = kit_import(mill, "dye", "dye_id,name\n\"a \"\"b\",x\n", &found, err);
    assert_int_not_equal(rc, MDR_OK);
    assert_true(rc == MDR_E_NOMEM || found.total > 5);
    mdr_arena_free(arena);
    return rc == MDR_E_NOMEM ? rc : MDR_OK;
}

static mdr_code read_all(mdr_mill *mill, const char *path, mdr_err *err)
{
    (void)path;
    mdr_masters m;
    mdr_lot_full lot;
    mdr_lot_line *lines;
    mdr_order *orders;
    mdr_route_doc *routes, doc;
    int n;
    int64_t at;
    mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
    if (arena == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "memory");
    }
    mdr_code rc = mdr_mill_masters(mill, arena, &m, err);
    rc = rc != MDR_OK ? rc : mdr_mill_lot(mill, &m, "L26-0001", arena, &lot, err);
    rc = rc != MDR_OK ? rc : mdr_mill_lots(mill, &m, arena, &lines, &n, err);
    rc = rc != MDR_OK ? rc : mdr_mill_orders(mill, arena, &orders, &n, err);
    rc = rc != MDR_OK ? rc : mdr_mill_routes(mill, arena, &routes, &n, err);
    rc = rc != MDR_OK ? rc : mdr_mill_route(mill, "R-MED", 0, arena, &doc, err);
    rc = rc != MDR_OK ? rc : mdr_mill_state(mill, &at, err);
    mdr_arena_free(arena);
    return rc;
}

static mdr_code export_all(mdr_mill *mill, const char *path, mdr_err *err)
{
    (void)path;
    mdr_code rc = MDR_OK;
    mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
    if (arena == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "memory");
    }
    for (int t = 0; t < mdr_tables_count && rc == MDR_OK; t++) {
        char *text;
        size_t len;
        rc = mdr_mill_export(mill, &mdr_tables[t], arena, &text, &len, err);
    }
    mdr_arena_free(arena);
    return rc;
}

static mdr_code change_lot(mdr_mill *mill, const char *path, mdr_err *err)
{
    (void)path;
    const mdr_lot_change c = {.machine_id = "W-1",
                              .weighed_kg = 100,
                              .ratio_l_per_kg = -1,
                              .speed_m_per_min = 0,
                              .tubes_used = -1,
                              .revision = 1};
    return mdr_mill_lot_change(mill, "L26-0003", &c, err);
}

static mdr_code put_route(mdr_mill *mill, const char *path, mdr_err *err)
{
    (void)path;
    const mdr_route_doc doc = {"R-NEW", "New", MDR_CLASS_VAT, 1, "{}", 2, 0};
    return mdr_mill_route_put(mill, &doc, err);
}

static mdr_code check_all(mdr_mill *mill, const char *path, mdr_err *err)
{
    (void)path;
    mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
    if (arena == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "memory");
    }
    mdr_err_list found = mdr_err_list_make(arena, 100);
    const mdr_code rc = mdr_mill_check(mill, &found, err);
    mdr_arena_free(arena);
    return rc;
}

static mdr_code open_again(mdr_mill *mill, const char *path, mdr_err *err)
{
    (void)mill;
    mdr_mill *other = NULL;
    const mdr_code rc = mdr_mill_open(path, true, &other, err);
    assert_true((rc == MDR_OK) == (other != NULL));
    mdr_mill_close(other);
    return rc;
}

static mdr_code create_another(mdr_mill *mill, const char *path, mdr_err *err)
{
    (void)mill;
    char name[120];
    (void)snprintf(name, sizeof name, "%s.new", path);
    const mdr_code rc = mdr_mill_create(name, err);
    struct stat st;
    assert_true((rc == MDR_OK) == (stat(name, &st) == 0)); /* nothing is left behind */
    (void)unlink(name);
    return rc;
}

static const struct {
    const char *name;
    job run;
    bool writes;
} JOBS[] = {{"import_rolls", import_rolls, true},    {"import_recipe", import_recipe, true},
            {"import_faulty", import_faulty, false}, {"read_all", read_all, false},
            {"export_all", export_all, false},       {"change_lot", change_lot, true},
            {"put_route", put_route, true},          {"check_all", check_all, false},
            {"open_again", open_again, false},       {"create_another", create_another, true}};

/* -- the loop --------------------------------------------------------------------------------- */

/* All tables and routes as one text; free it. */
static char *everything(mdr_mill *mill)
{
    char *all = calloc(1, 200000);
    assert_non_null(all);
    for (int t = 0; t < mdr_tables_count; t++) {
        char *text = kit_export(mill, &mdr_tables[t]);
        (void)strcat(all, text);
        free(text);
    }
    (void)sprintf(all + strlen(all), "%lld routes, revisions %lld\n",
                  (long long)kit_count(mill, "SELECT count(*) FROM route"),
                  (long long)kit_count(mill, "SELECT sum(revision) FROM lot"));
    return all;
}

/* A copy of the file at `path` made once; each run starts from it. */
static char *template_bytes;
static size_t template_len;

static void make_template(const kit_dir *d)
{
    mdr_mill_close(kit_mill(d));
    FILE *f = fopen(d->file, "rb");
    assert_non_null(f);
    template_bytes = malloc((size_t)1 << 20);
    assert_non_null(template_bytes);
    template_len = fread(template_bytes, 1, (size_t)1 << 20, f);
    assert_int_equal(fclose(f), 0);
}

static mdr_mill *open_template(const kit_dir *d)
{
    mdr_err err;
    mdr_mill *mill = NULL;
    FILE *f = fopen(d->file, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(template_bytes, 1, template_len, f), template_len);
    assert_int_equal(fclose(f), 0);
    KIT_OK(mdr_mill_open(d->file, true, &mill, &err), &err);
    return mill;
}

typedef struct fault {
    void (*arm)(unsigned n);
    bool writes_only;
    mdr_code codes[2]; /* what a failed call may answer */
    unsigned step;     /* every so many-th fault, to bound the time */
} fault;

static void arm_arena(unsigned n)
{
    mdr_arena_fail_at(n);
}
static void arm_sqlite(unsigned n)
{
    sqlite_fails_on = false;
    sqlite_countdown = n;
}
static void arm_sqlite_for_good(unsigned n)
{
    sqlite_fails_on = true;
    sqlite_countdown = n;
}
static void arm_write_error(unsigned n)
{
    write_failure = SQLITE_IOERR_WRITE;
    write_countdown = n;
}
static void arm_write_full(unsigned n)
{
    write_failure = SQLITE_FULL;
    write_countdown = n;
}

/* Under a sanitizer, several times slower, every third of the faults that are not all taken. */
#if defined(__SANITIZE_ADDRESS__)
#define SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZED 1
#endif
#endif
#ifdef SANITIZED
enum { THINNER = 3 };
#else
enum { THINNER = 1 };
#endif

/* Runs one job with the n-th fault for every n until it succeeds; returns how often it failed. */
static unsigned run_job(const fault *f, size_t j, const kit_dir *d)
{
    unsigned n = 0;
    mdr_mill *whole = open_template(d);
    char *before = everything(whole); /* each run begins with this */
    mdr_mill_close(whole);
    for (mdr_code rc = MDR_E_NOMEM; rc != MDR_OK;) {
        mdr_err err = {0};
        mdr_mill *mill = open_template(d);
        n += f->step;
        f->arm(n);
        rc = JOBS[j].run(mill, d->file, &err);
        f->arm(0);
        if (rc != MDR_OK && rc != f->codes[0] && rc != f->codes[1]) {
            kit_print(&err);
            fail_msg("%s, fault %u: %s", JOBS[j].name, n, mdr_code_id(rc));
        }
        assert_true(rc == MDR_OK || err.msg[0] != '\0');
        assert_int_equal(mill->depth, 0);
        if (rc != MDR_OK) { /* as before: for this connection, and after opening anew */
            char *after = everything(mill);
            assert_string_equal(before, after);
            free(after);
            mdr_mill_close(mill);
            KIT_OK(mdr_mill_open(d->file, true, &mill, &err), &err);
            after = everything(mill);
            assert_string_equal(before, after);
            free(after);
        }
        assert_int_equal(kit_count(mill, "SELECT count(*) FROM pragma_integrity_check WHERE "
                                         "integrity_check = 'ok'"),
                         1);
        mdr_mill_close(mill);
    }
    free(before);
    return n / f->step - 1;
}

static void run_jobs(const fault *f, unsigned least)
{
    const kit_dir d = kit_dir_make();
    unsigned total = 0;
    make_template(&d);
    for (size_t j = 0; j < N_OF(JOBS); j++) {
        if (JOBS[j].writes || !f->writes_only) {
            total += run_job(f, j, &d);
        }
    }
    print_message("%u faults\n", total);
    assert_true(total >= least); /* the jobs did meet faults */
    free(template_bytes);
    kit_dir_remove(&d);
}

static void every_allocation_of_ours(void **state)
{
    (void)state;
    run_jobs(&(fault){arm_arena, false, {MDR_E_NOMEM, MDR_E_NOMEM}, 1}, 30);
}

static void every_allocation_of_sqlite(void **state)
{
    (void)state;
    run_jobs(&(fault){arm_sqlite, false, {MDR_E_NOMEM, MDR_E_IO}, 17 * THINNER}, 500 / THINNER);
}

/* No memory any more: undoing must not need any. */
static void memory_that_stays_short(void **state)
{
    (void)state;
    run_jobs(&(fault){arm_sqlite_for_good, false, {MDR_E_NOMEM, MDR_E_IO}, 71 * THINNER},
             100 / THINNER);
}

static void every_write_fails(void **state)
{
    (void)state;
    run_jobs(&(fault){arm_write_error, true, {MDR_E_IO, MDR_E_IO}, 1}, 50);
}

static void every_write_finds_a_full_disk(void **state)
{
    (void)state;
    run_jobs(&(fault){arm_write_full, true, {MDR_E_IO, MDR_E_IO}, 1}, 50);
}

/* -- a disk that stays full -------------------------------------------------------------------- */

static char *many_rolls(void)
{
    char *text = malloc(400000);
    assert_non_null(text);
    size_t n = (size_t)sprintf(text, ROLL_HEAD);
    for (int i = 0; i < 10000; i++) {
        n += (size_t)sprintf(text + n, "N%05d,RIB,,20\n", i);
    }
    return text;
}

static void a_full_disk_is_said_and_nothing_changed(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *mill = kit_mill(&d);
    char *text = many_rolls();
    char sql[80];
    (void)snprintf(sql, sizeof sql, "PRAGMA max_page_count=%lld",
                   (long long)kit_count(mill, "PRAGMA page_count") + 4);
    KIT_OK(mdr_mill_sql_exec(mill, sql, &err), &err);
    assert_int_equal(kit_import(mill, "roll", text, NULL, &err), MDR_E_IO);
    assert_non_null(strstr(err.msg, "disk is full"));
    assert_non_null(strstr(err.remedy, "free some space"));
    assert_string_equal(err.place, d.file);
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM roll"), 5);
    /* within a larger change: either all of it is lost, and commit says so, or the rest stands */
    KIT_OK(mdr_mill_begin(mill, &err), &err);
    KIT_OK(kit_import(mill, "roll", ROLL_HEAD "X,RIB,,20\n", NULL, &err), &err);
    assert_int_equal(kit_import(mill, "roll", text, NULL, &err), MDR_E_IO);
    const mdr_code rc = mdr_mill_commit(mill, &err);
    assert_true(rc == MDR_OK || rc == MDR_E_IO);
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM roll"), rc == MDR_OK ? 6 : 5);
    assert_int_equal(mill->depth, 0);
    free(text);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

/* After the store undid a change by itself, what follows is not written on its own. */
static void a_lost_change_is_not_continued(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err = {0};
    mdr_mill *mill = kit_mill(&d);
    KIT_OK(mdr_mill_begin(mill, &err), &err);
    KIT_OK(mdr_mill_sql_exec(mill, "ROLLBACK", &err), &err); /* as SQLite does after a failure */
    assert_int_equal(kit_import(mill, "roll", ROLL_HEAD "X,RIB,,20\n", NULL, &err), MDR_E_IO);
    assert_int_equal(mdr_mill_commit(mill, &err), MDR_E_IO);
    assert_non_null(strstr(err.msg, "undone"));
    assert_int_equal(kit_count(mill, "SELECT count(*) FROM roll"), 5);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

/* A program died in the middle of a commit: the journal beside the file is hot. */
static void a_hot_journal(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err = {0};
    char journal[120];
    make_template(&d);
    mdr_mill *mill = open_template(&d);
    char *before = everything(mill);
    char *text = many_rolls();
    (void)snprintf(journal, sizeof journal, "%s-journal", d.file);
    /* Many pages are spilt into the file before the commit; copies of both files are what a
     * crash would leave. */
    KIT_OK(mdr_mill_sql_exec(mill, "PRAGMA cache_size=5", &err), &err);
    KIT_OK(mdr_mill_begin(mill, &err), &err);
    KIT_OK(kit_import(mill, "roll", text, NULL, &err), &err);
    char command[500];
    (void)snprintf(command, sizeof command, "cp '%s' '%s.c' && cp '%s' '%s.c-journal'", d.file,
                   d.file, journal, d.file);
    assert_int_equal(system(command), 0);
    mdr_mill_rollback(mill);
    mdr_mill_close(mill);
    (void)snprintf(command, sizeof command, "%s.c", d.file);
    KIT_OK(mdr_mill_open(command, true, &mill, &err), &err);
    char *after = everything(mill);
    assert_string_equal(before, after);
    mdr_mill_close(mill);
    (void)unlink(command);
    free(before);
    free(after);
    free(text);
    free(template_bytes);
    kit_dir_remove(&d);
}

int main(void)
{
    install_memory();
    install_files();
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_allocation_of_ours),
                                       cmocka_unit_test(every_allocation_of_sqlite),
                                       cmocka_unit_test(memory_that_stays_short),
                                       cmocka_unit_test(every_write_fails),
                                       cmocka_unit_test(every_write_finds_a_full_disk),
                                       cmocka_unit_test(a_full_disk_is_said_and_nothing_changed),
                                       cmocka_unit_test(a_lost_change_is_not_continued),
                                       cmocka_unit_test(a_hot_journal)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
