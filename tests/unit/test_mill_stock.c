/* Containers and moves of stock: booked once, never changed, refused with their place. */
#include "mill_lots_kit.h"

#include "mill/mdr_stock.h"

#define T0 INT64_C(1795000000000)

static const mdr_stock_lot DRUM = {.stock_lot_id = "C1",
                                   .material_id = "RED",
                                   .supplier_lot = "7/A",
                                   .remark = "",
                                   .expiry_utc_ms = INT64_C(1830000000000)};

static mdr_stock_move move(const char *entry_id, mdr_stock_kind kind, int64_t mass_mg)
{
    return (mdr_stock_move){.entry_id = entry_id,
                            .kind = kind,
                            .material_id = "RED",
                            .stock_lot_id = "",
                            .mass_mg = mass_mg,
                            .at_utc_ms = T0,
                            .by = "ann",
                            .batch_id = "",
                            .text = ""};
}

static void receive(fixture *f)
{
    mdr_err err;
    bool again = true;
    const mdr_stock_move m = move("receive-1", MDR_STOCK_RECEIVED, 25000000);
    KIT_OK(mdr_mill_stock_receive(f->mill, &DRUM, &m, &again, &err), &err);
    assert_false(again);
}

static void book(fixture *f, mdr_stock_move m)
{
    mdr_err err;
    bool again = true;
    KIT_OK(mdr_mill_stock_book(f->mill, &m, &again, &err), &err);
    assert_false(again);
}

static double stock_kg(fixture *f, const char *material_id)
{
    mdr_masters masters;
    mdr_err err;
    KIT_OK(mdr_mill_masters(f->mill, f->arena, &masters, &err), &err);
    return mdr_masters_material(&masters, material_id)->stock_kg;
}

static void scales_and_classes(void **state)
{
    fixture *f = *state;
    mdr_weighing w;
    mdr_masters masters;
    mdr_err err;
    KIT_OK(mdr_mill_weighing(f->mill, f->arena, &w, &err), &err);
    assert_true(w.n_scales == 2 && w.n_classes == 2 && w.n_lots == 0);
    const mdr_scale *s = mdr_weighing_scale(&w, "S1");
    CHECK_NEAR(s->capacity_kg, 6.2, 1e-12, "I: the kit");
    CHECK_NEAR(s->division_g, 0.01, 1e-12, "I: the kit");
    CHECK_NEAR(s->interval_g, 0.1, 1e-12, "I: the kit");
    CHECK_NEAR(s->container_kg, 0.35, 1e-12, "I: the kit");
    assert_true(mdr_scale_verified(s, INT64_C(1814400000000) - 1)); /* D: 2027-07-01 */
    assert_false(mdr_scale_verified(s, INT64_C(1814400000000)));
    assert_int_equal(mdr_weighing_scale(&w, "S2")->verified_until_utc_ms, 0);
    const mdr_weigh_class *c = mdr_weighing_class(&w, "FINE");
    CHECK_NEAR(c->tolerance_g, 0.25, 1e-12, "I: the kit");
    CHECK_NEAR(c->lead_min, 45.5, 1e-12, "I: the kit");
    assert_true(c->two_persons && !mdr_weighing_class(&w, "SACK")->two_persons);
    assert_null(mdr_weighing_class(&w, "NONE"));
    assert_null(mdr_weighing_scale(&w, ""));
    assert_null(mdr_weighing_lot(&w, "C1"));
    KIT_OK(mdr_mill_masters(f->mill, f->arena, &masters, &err), &err);
    assert_string_equal(mdr_masters_material(&masters, "RED")->weigh_class, "FINE");
    assert_string_equal(mdr_masters_material(&masters, "RED")->storage, "Shelf 3");
    assert_string_equal(mdr_masters_material(&masters, "WET")->weigh_class, "");
    assert_string_equal(mdr_masters_material(&masters, "LYE")->storage, "=Tank, 2");
}

static void what_came_and_went(void **state)
{
    fixture *f = *state;
    mdr_weighing w;
    mdr_err err;
    receive(f);
    mdr_stock_move m = move("weigh-001", MDR_STOCK_WEIGHED, -1500001);
    m.stock_lot_id = "C1";
    m.at_utc_ms = T0 + 5;
    m.batch_id = "B26-1";
    book(f, m);
    book(f, move("weigh-002", MDR_STOCK_WEIGHED, -2000)); /* out of no container */
    m = move("count-001", MDR_STOCK_ADJUSTED, -499999);
    m.stock_lot_id = "C1";
    m.text = "spilt";
    book(f, m);
    KIT_OK(mdr_mill_weighing(f->mill, f->arena, &w, &err), &err);
    const mdr_stock_lot *lot = mdr_weighing_lot(&w, "C1");
    assert_string_equal(lot->material_id, "RED");
    assert_string_equal(lot->supplier_lot, "7/A");
    assert_int_equal(lot->expiry_utc_ms, DRUM.expiry_utc_ms);
    assert_int_equal(lot->received_mg, 25000000);
    assert_int_equal(lot->left_mg, 23000000); /* D */
    assert_int_equal(lot->received_utc_ms, T0);
    assert_int_equal(lot->opened_utc_ms, T0 + 5);
    CHECK_NEAR(stock_kg(f, "RED"), 120.25 + 25 - 1.500001 - 0.002 - 0.499999, 1e-9,
               "D: opening stock of the kit and all moves");
    CHECK_NEAR(stock_kg(f, "SALT"), 5000, 0, "I: the kit");
}

static void sent_twice(void **state)
{
    fixture *f = *state;
    mdr_err err;
    bool again = false;
    receive(f);
    mdr_stock_move m = move("receive-1", MDR_STOCK_RECEIVED, 25000000);
    m.at_utc_ms = T0 + 9; /* a device that tries again later */
    KIT_OK(mdr_mill_stock_receive(f->mill, &DRUM, &m, &again, &err), &err);
    assert_true(again);
    m.mass_mg = 25000001;
    assert_int_equal(mdr_mill_stock_receive(f->mill, &DRUM, &m, &again, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, "entry_id");
    m = move("weigh-001", MDR_STOCK_WEIGHED, -7);
    book(f, m);
    KIT_OK(mdr_mill_stock_book(f->mill, &m, &again, &err), &err);
    assert_true(again);
    m.stock_lot_id = "C1"; /* was without a container */
    assert_int_equal(mdr_mill_stock_book(f->mill, &m, &again, &err), MDR_E_CONFLICT);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM stock_move"), 2);
}

static void refused(void **state)
{
    fixture *f = *state;
    const mdr_stock_move good = move("weigh-001", MDR_STOCK_WEIGHED, -7);
    static const struct {
        const char *field, *value;
        int64_t mass_mg;
        mdr_stock_kind kind;
        mdr_code code;
        const char *place;
    } ROWS[] = {
        {"entry_id", "short", -7, MDR_STOCK_WEIGHED, MDR_E_ARG, "entry_id"},
        {"entry_id", "with blank", -7, MDR_STOCK_WEIGHED, MDR_E_ARG, "entry_id"},
        {"by", "", -7, MDR_STOCK_WEIGHED, MDR_E_ARG, "by"},
        {"by", "a\nb", -7, MDR_STOCK_WEIGHED, MDR_E_ARG, "by"},
        {"text", "a\x7F", -7, MDR_STOCK_WEIGHED, MDR_E_ARG, "text"},
        {"text", "", -7, MDR_STOCK_ADJUSTED, MDR_E_ARG, "text"},
        {"", "", 7, MDR_STOCK_WEIGHED, MDR_E_RANGE, "mass_mg"},
        {"", "", 0, MDR_STOCK_WEIGHED, MDR_E_RANGE, "mass_mg"},
        {"text", "counted", 0, MDR_STOCK_ADJUSTED, MDR_E_RANGE, "mass_mg"},
        {"", "", -MDR_WEIGH_MOST_MG - 1, MDR_STOCK_WEIGHED, MDR_E_RANGE, "mass_mg"},
        {"material_id", "PINK", -7, MDR_STOCK_WEIGHED, MDR_E_NOTFOUND, "material_id"},
        {"stock_lot_id", "C9", -7, MDR_STOCK_WEIGHED, MDR_E_NOTFOUND, "stock_lot"},
        {"material_id", "SALT", -7, MDR_STOCK_WEIGHED, MDR_E_CONFLICT, "stock_lot"},
    };
    receive(f);
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_err err = {0};
        bool again = true;
        mdr_stock_move m = good;
        m.kind = ROWS[i].kind;
        m.mass_mg = ROWS[i].mass_mg;
        m.stock_lot_id = ROWS[i].code == MDR_E_CONFLICT ? "C1" : "";
        const char **to = strcmp(ROWS[i].field, "entry_id") == 0       ? &m.entry_id
                          : strcmp(ROWS[i].field, "by") == 0           ? &m.by
                          : strcmp(ROWS[i].field, "text") == 0         ? &m.text
                          : strcmp(ROWS[i].field, "material_id") == 0  ? &m.material_id
                          : strcmp(ROWS[i].field, "stock_lot_id") == 0 ? &m.stock_lot_id
                                                                       : NULL;
        if (to != NULL) {
            *to = ROWS[i].value;
        }
        const mdr_code rc = mdr_mill_stock_book(f->mill, &m, &again, &err);
        if (rc != ROWS[i].code || strcmp(err.place, ROWS[i].place) != 0) {
            fail_msg("row %zu: %s at %s", i, mdr_code_id(rc), err.place);
        }
        assert_true(again); /* untouched */
    }
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM stock_move"), 1);
}

static void deliveries_refused(void **state)
{
    fixture *f = *state;
    mdr_err err;
    bool again;
    receive(f);
    mdr_stock_lot lot = DRUM;
    const mdr_stock_move m = move("receive-2", MDR_STOCK_RECEIVED, 5);
    assert_int_equal(mdr_mill_stock_receive(f->mill, &lot, &m, &again, &err), MDR_E_CONFLICT);
    assert_string_equal(err.place, "stock_lot");
    lot.stock_lot_id = "no id";
    assert_int_equal(mdr_mill_stock_receive(f->mill, &lot, &m, &again, &err), MDR_E_ARG);
    assert_string_equal(err.place, "stock_lot");
    lot.stock_lot_id = "C2";
    lot.material_id = "PINK";
    assert_int_equal(mdr_mill_stock_receive(f->mill, &lot, &m, &again, &err), MDR_E_NOTFOUND);
    assert_string_equal(err.place, "material_id");
    lot.material_id = "BLUE";
    lot.supplier_lot = "a\tb";
    assert_int_equal(mdr_mill_stock_receive(f->mill, &lot, &m, &again, &err), MDR_E_ARG);
    const mdr_stock_move none = move("receive-3", MDR_STOCK_RECEIVED, 0);
    lot.supplier_lot = "";
    assert_int_equal(mdr_mill_stock_receive(f->mill, &lot, &none, &again, &err), MDR_E_RANGE);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM stock_lot"), 1); /* all or nothing */
}

/* Also by raw SQL. */
static void never_changed(void **state)
{
    fixture *f = *state;
    static const char *const TRIES[] = {"UPDATE stock_move SET mass_mg = 1",
                                        "DELETE FROM stock_move",
                                        "INSERT OR REPLACE INTO stock_move SELECT seq, entry_id, "
                                        "kind, material_id, stock_lot_id, 1,"
                                        " at_utc_ms, \"by\", batch_id, text FROM stock_move",
                                        "DELETE FROM stock_lot WHERE stock_lot_id = 'C1'"};
    receive(f);
    for (size_t i = 0; i < N_OF(TRIES); i++) {
        mdr_err err;
        assert_int_equal(mdr_mill_sql_exec(f->mill, TRIES[i], &err), MDR_E_CONFLICT);
        assert_int_equal(kit_count(f->mill, "SELECT sum(mass_mg) FROM stock_move"), 25000000);
    }
}

static void inside_another_change(void **state)
{
    fixture *f = *state;
    mdr_err err;
    KIT_OK(mdr_mill_begin(f->mill, &err), &err);
    receive(f);
    mdr_mill_rollback(f->mill);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM stock_lot"), 0);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM stock_move"), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(scales_and_classes, setup, teardown),
        cmocka_unit_test_setup_teardown(what_came_and_went, setup, teardown),
        cmocka_unit_test_setup_teardown(sent_twice, setup, teardown),
        cmocka_unit_test_setup_teardown(refused, setup, teardown),
        cmocka_unit_test_setup_teardown(deliveries_refused, setup, teardown),
        cmocka_unit_test_setup_teardown(never_changed, setup, teardown),
        cmocka_unit_test_setup_teardown(inside_another_change, setup, teardown),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
