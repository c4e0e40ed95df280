/* mdr_mill_check: each kind of inconsistency is made once and must be found, and nothing else. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "mill_kit.h"

static const char CLEAN[] = /* what the kit leaves open on purpose */
    "UPDATE dye SET price_minor_per_kg = 900 WHERE dye_id = 'VIOLET';";

static const struct {
    const char *sql, *place, *msg, *value;
} FINDINGS[] = {
    {"DELETE FROM site", "site", "no site", ""},
    {"UPDATE roll SET lot_id = NULL WHERE lot_id = 'L26-0002'", "lot L26-0002",
     "a lot without rolls", ""},
    {"UPDATE roll SET lot_id = 'L26-0003' WHERE roll_id = 'G5'", "roll G5", "another article",
     "RIB"},
    {"UPDATE lot SET tubes_used = 5 WHERE lot_id = 'L26-0002'", "lot L26-0002", "more tubes", "5"},
    {"UPDATE dye SET price_minor_per_kg = NULL WHERE dye_id = 'RED'", "dye RED",
     "a dye without price", ""},
    {"UPDATE chemical SET price_minor_per_kg = NULL WHERE chemical_id = 'WET'", "chemical WET",
     "a chemical without price", ""},
    {"UPDATE chemical SET chemical_id = 'RED' WHERE chemical_id = 'WET'", "dye RED", "same number",
     ""},
    {"DELETE FROM recipe", "shade BORDEAUX", "a shade without recipe", "reactive"},
    {"UPDATE recipe SET dye_id = 'VIOLET' WHERE line = 2", "shade BORDEAUX", "another class",
     "VIOLET (vat)"},
    {"UPDATE recipe SET dye_id = 'RED' WHERE line = 2", "shade BORDEAUX", "same dye twice", "RED"},
    {"DELETE FROM dose_band WHERE table_id = 'SODA'", "dose table SODA", "without bands", ""},
    {"INSERT INTO route VALUES ('R-X')", "route R-X", "without a document", ""},
    /* what only a program that bypasses the constraints can write */
    {"PRAGMA ignore_check_constraints=ON; UPDATE machine SET load_min_mg = load_max_mg + 1 WHERE "
     "machine_id = 'J1'",
     "machine J1.load_min_kg", "the least exceeds the greatest", "400.000001"},
    {"PRAGMA ignore_check_constraints=ON; UPDATE dye SET stock_mg = -1000000 WHERE dye_id = 'RED'",
     "dye RED.stock_kg", "outside the allowed range", "-1"},
    {"PRAGMA ignore_check_constraints=ON; UPDATE chemical SET baume_m = NULL WHERE chemical_id = "
     "'LYE'; UPDATE chemical SET density_g_per_l = 1400 WHERE chemical_id = 'LYE'",
     "chemical LYE.strength_pct", "neither strength nor degree Baume", ""},
    {"PRAGMA ignore_check_constraints=ON; UPDATE machine SET name = printf('%0300d', 1) WHERE "
     "machine_id = 'J1'; PRAGMA ignore_check_constraints=OFF",
     "", "a row breaks a rule of its table: CHECK constraint failed in machine", ""},
    {"PRAGMA foreign_keys=OFF; UPDATE lot SET route_id = 'R-GONE' WHERE lot_id = 'L26-0001'", "lot",
     "refers to a record of table route", ""},
};

static void finds_each(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(FINDINGS); i++) {
        const kit_dir d = kit_dir_make();
        mdr_err err;
        mdr_mill *mill = kit_mill(&d);
        KIT_OK(mdr_mill_sql_exec(mill, CLEAN, &err), &err);
        KIT_OK(mdr_mill_sql_exec(mill, FINDINGS[i].sql, &err), &err);
        mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
        mdr_err_list found = mdr_err_list_make(arena, 100);
        KIT_OK(mdr_mill_check(mill, &found, &err), &err);
        const mdr_err *e = found.count > 0 ? &found.items[0] : &err;
        const char *place = FINDINGS[i].place[0] != '\0' ? FINDINGS[i].place : d.file;
        if (found.total != 1 || strcmp(e->place, place) != 0 ||
            strstr(e->msg, FINDINGS[i].msg) == NULL || strcmp(e->value, FINDINGS[i].value) != 0 ||
            e->remedy[0] == '\0') {
            for (int k = 0; k < found.count; k++) {
                kit_print(&found.items[k]);
            }
            fail_msg("%s: %ld findings", FINDINGS[i].sql, found.total);
        }
        mdr_arena_free(arena);
        mdr_mill_close(mill);
        kit_dir_remove(&d);
    }
}

static void finds_nothing_in_order(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err;
    mdr_mill *mill = kit_mill(&d);
    mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
    mdr_err_list found = mdr_err_list_make(arena, 100);
    KIT_OK(mdr_mill_sql_exec(mill, CLEAN, &err), &err);
    KIT_OK(mdr_mill_check(mill, &found, &err), &err);
    assert_int_equal(found.total, 0);
    mdr_arena_free(arena);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

static void a_value_beyond_its_range_is_named(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err;
    mdr_masters m;
    mdr_mill *mill = kit_mill(&d);
    mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
    KIT_OK(mdr_mill_sql_exec(mill,
                             "PRAGMA ignore_check_constraints=ON;"
                             "UPDATE dye SET stock_mg = -1000000 WHERE dye_id = 'RED';"
                             "UPDATE machine SET kind = 'kettle' WHERE machine_id = 'W-1'",
                             &err),
           &err);
    assert_int_equal(mdr_mill_masters(mill, arena, &m, &err), MDR_E_PARSE);
    assert_string_equal(err.place, "machine W-1.kind");
    assert_string_equal(err.value, "kettle");
    KIT_OK(mdr_mill_sql_exec(mill, "UPDATE machine SET kind = 'jet'", &err), &err);
    assert_int_equal(mdr_mill_masters(mill, arena, &m, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "dye RED.stock_kg");
    assert_string_equal(err.value, "-1");
    mdr_arena_free(arena);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

/* A page overwritten on the disk. */
static void damage_is_a_finding(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err;
    mdr_mill *mill = kit_mill(&d);
    mdr_mill_close(mill);
    FILE *f = fopen(d.file, "r+b");
    assert_non_null(f);
    char noise[4096];
    memset(noise, 0x5A, sizeof noise);
    assert_int_equal(fseek(f, 4096 * 5, SEEK_SET), 0);
    assert_int_equal(fwrite(noise, 1, sizeof noise, f), sizeof noise);
    assert_int_equal(fclose(f), 0);
    KIT_OK(mdr_mill_open(d.file, false, &mill, &err), &err);
    mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
    mdr_err_list found = mdr_err_list_make(arena, 100);
    KIT_OK(mdr_mill_check(mill, &found, &err), &err);
    assert_true(found.total >= 1);
    assert_non_null(strstr(found.items[0].msg, "damaged"));
    assert_non_null(strstr(found.items[0].remedy, "backup"));
    mdr_arena_free(arena);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(finds_each), cmocka_unit_test(finds_nothing_in_order),
        cmocka_unit_test(a_value_beyond_its_range_is_named), cmocka_unit_test(damage_is_a_finding)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
