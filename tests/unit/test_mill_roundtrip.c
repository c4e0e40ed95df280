/* Export, import into a fresh mill, export: the same text, for every table. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "mill_kit.h"

static void same_after_a_journey(mdr_mill *from)
{
    const kit_dir d = kit_dir_make();
    mdr_err err;
    mdr_mill *to = kit_empty(&d);
    mdr_route_doc *routes;
    int n = 0;
    mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
    KIT_OK(mdr_mill_routes(from, arena, &routes, &n, &err), &err);
    for (int i = 0; i < n; i++) {
        kit_put_route(to, routes[i].route_id, routes[i].name);
    }
    for (int t = 0; t < mdr_tables_count; t++) {
        char *text = kit_export(from, &mdr_tables[t]);
        KIT_OK(kit_import(to, mdr_tables[t].name, text, NULL, &err), &err);
        char *back = kit_export(to, &mdr_tables[t]);
        assert_string_equal(text, back);
        /* once more into the same mill: nothing changes, not even a revision */
        int64_t before, after;
        KIT_OK(mdr_mill_state(to, &before, &err), &err);
        KIT_OK(kit_import(to, mdr_tables[t].name, text, NULL, &err), &err);
        KIT_OK(mdr_mill_state(to, &after, &err), &err);
        const bool part = (mdr_tables[t].cols[0].flags & MDR_COL_KEY) != 0 &&
                          mdr_tables[t].cols[0].kind == MDR_COL_REF;
        assert_true(before == after || part);
        free(back);
        free(text);
    }
    assert_int_equal(kit_count(to, "SELECT coalesce(max(revision), 1) FROM lot"), 1);
    mdr_arena_free(arena);
    mdr_mill_close(to);
    kit_dir_remove(&d);
}

static void every_table(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_mill *mill = kit_mill(&d);
    for (int t = 0; t < mdr_tables_count; t++) { /* each has rows to travel */
        char *text = kit_export(mill, &mdr_tables[t]);
        assert_non_null(strchr(strchr(text, '\n') + 1, '\n'));
        assert_null(strchr(text, '\r'));
        free(text);
    }
    same_after_a_journey(mill);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

static void an_empty_mill(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_mill *mill = kit_empty(&d);
    char *text = kit_export(mill, mdr_table_find("roll"));
    assert_string_equal(text, "roll_id,article_id,lot_id,grey_kg\n");
    free(text);
    same_after_a_journey(mill);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

/* What was typed comes back as it was typed, where that was the shortest form already. */
static void typed_text_comes_back(void **state)
{
    (void)state;
    static const char *const SAME[] = {"dose_table", "dose_band", "recipe", "roll"};
    const kit_dir d = kit_dir_make();
    mdr_mill *mill = kit_mill(&d);
    for (size_t i = 0; i < N_OF(SAME); i++) {
        char *text = kit_export(mill, mdr_table_find(SAME[i]));
        assert_string_equal(text, kit_text(SAME[i]));
        free(text);
    }
    char *machines = kit_export(mill, mdr_table_find("machine"));
    assert_non_null(strstr(machines, "W-1,'=Winch,winch,4,300.5,")); /* disarmed */
    assert_non_null(strstr(machines, ",0.33333,"));                  /* 20 s in minutes */
    free(machines);
    char *site = kit_export(mill, mdr_table_find("site"));
    assert_non_null(strstr(site, "\n\"Mill \"\"North\"\", invented\",EUR,yes,"));
    free(site);
    char *dyes = kit_export(mill, mdr_table_find("dye"));
    assert_non_null(strstr(dyes, ",dust sensitiser,"));
    free(dyes);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

/* Every day of the dates allowed, through the text form. */
static void all_dates(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err;
    mdr_mill *mill = kit_mill(&d);
    /* D: `date -u -d 2026-12-15 +%s` = 1797292800 (GNU coreutils) */
    assert_int_equal(
        kit_count(mill, "SELECT due_utc_ms FROM customer_order WHERE order_id = 'O-1'"),
        INT64_C(1797292800000));
    KIT_OK(mdr_mill_sql_exec(
               mill,
               "WITH RECURSIVE day(n) AS (SELECT 0 UNION ALL SELECT n + 1 FROM day WHERE n < "
               "36524) INSERT INTO customer_order SELECT printf('D%05d', n), "
               "strftime('%Y-%m-%d', 946684800 + n * 86400, 'unixepoch'), 'RIB', 'WHITE', "
               "100000000, 0, (946684800 + n * 86400) * 1000, '' FROM day",
               &err),
           &err);
    /* O: SQLite's own calendar wrote the customer; the export must write the same as due. */
    char *out = kit_export(mill, mdr_table_find("order"));
    int days = 0;
    for (const char *p = strstr(out, "\nD00000,"); p != NULL; p = strstr(p, "\nD")) {
        const char *customer = strchr(p, ',') + 1;
        if (strncmp(strstr(p, ",100,0,") + 7, customer, 10) != 0) {
            fail_msg("%.60s", p);
        }
        days++;
        p++;
    }
    assert_int_equal(days, 36525); /* D: 100 years of 365 days and 25 leap days */
    KIT_OK(kit_import(mill, "order", out, NULL, &err), &err);
    char *back = kit_export(mill, mdr_table_find("order"));
    assert_string_equal(out, back);
    free(back);
    free(out);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_table), cmocka_unit_test(an_empty_mill),
        cmocka_unit_test(typed_text_comes_back), cmocka_unit_test(all_dates)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
