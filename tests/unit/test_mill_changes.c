/* Changes of a lot, and routes in versions. */
#include "mill_lots_kit.h"

/* -- changes ---------------------------------------------------------------------------------- */

static const mdr_lot_change NOTHING = {
    .weighed_kg = -1, .ratio_l_per_kg = -1, .speed_m_per_min = -1, .tubes_used = -1, .revision = 1};

static void a_change_touches_what_it_names(void **state)
{
    const fixture *f = *state;
    mdr_err err;
    mdr_lot_full l;
    mdr_lot_change c = NOTHING;
    c.machine_id = "W-1";
    c.weighed_kg = 45.5;
    c.tubes_used = 3;
    KIT_OK(mdr_mill_lot_change(f->mill, "L26-0001", &c, &err), &err);
    KIT_OK(mdr_mill_lot(f->mill, &f->masters, "L26-0001", f->arena, &l, &err), &err);
    assert_string_equal(l.machine_id, "W-1");
    assert_string_equal(l.route_id, "R-MED");
    CHECK_NEAR(l.lot.weighed_kg, 45.5, 0, "D: as changed");
    CHECK_NEAR(l.lot.ratio_l_per_kg, 6, 0, "D: as before");
    assert_int_equal(l.lot.tubes_used, 3);
    assert_int_equal(l.revision, 2);
    assert_int_equal(mdr_mill_lot_change(f->mill, "L26-0001", &c, &err), MDR_E_CONFLICT);
    assert_string_equal(err.value, "1"); /* what the caller had seen */
    assert_string_equal(err.allowed, "2");
    c = NOTHING; /* 0 empties */
    c.revision = 2;
    c.weighed_kg = 0;
    c.tubes_used = 0;
    c.speed_m_per_min = 55.125;
    c.ratio_l_per_kg = 7.25;
    c.route_id = "R-WHITE";
    KIT_OK(mdr_mill_lot_change(f->mill, "L26-0001", &c, &err), &err);
    KIT_OK(mdr_mill_lot(f->mill, &f->masters, "L26-0001", f->arena, &l, &err), &err);
    CHECK_NEAR(l.lot.weighed_kg, 0, 0, "contract: 0 empties");
    CHECK_NEAR(l.lot.speed_m_per_min, 55.125, 0, "D: as changed");
    CHECK_NEAR(l.lot.ratio_l_per_kg, 7.25, 0, "D: as changed");
    assert_int_equal(l.lot.tubes_used, 0);
    assert_string_equal(l.route_id, "R-WHITE");
    assert_int_equal(l.revision, 3);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM lot WHERE weighed_mg IS NULL AND "
                                        "tubes_used IS NULL AND lot_id = 'L26-0001'"),
                     1);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM lot WHERE revision = 1"), 2);
}

static void a_change_is_refused(void **state)
{
    const fixture *f = *state;
    struct {
        mdr_lot_change change;
        mdr_code code;
        const char *place;
    } tries[10];
    size_t n = 0;
#define TRY_CHANGE(field, value_, code_, place_) \
    do {                                         \
        tries[n].change = NOTHING;               \
        tries[n].change.field = (value_);        \
        tries[n].code = (code_);                 \
        tries[n++].place = (place_);             \
    } while (0)
    TRY_CHANGE(machine_id, "X9", MDR_E_NOTFOUND, "machine_id");
    TRY_CHANGE(machine_id, "", MDR_E_PARSE, "machine_id");
    TRY_CHANGE(machine_id, "a b", MDR_E_PARSE, "machine_id");
    TRY_CHANGE(route_id, "R-9", MDR_E_NOTFOUND, "route_id");
    TRY_CHANGE(ratio_l_per_kg, 0, MDR_E_RANGE, "ratio_l_per_kg"); /* may not be empty */
    TRY_CHANGE(ratio_l_per_kg, 40.001, MDR_E_RANGE, "ratio_l_per_kg");
    TRY_CHANGE(weighed_kg, (double)NAN, MDR_E_RANGE, "weighed_kg");
    TRY_CHANGE(speed_m_per_min, (double)INFINITY, MDR_E_RANGE, "speed_m_per_min");
    TRY_CHANGE(tubes_used, 17, MDR_E_RANGE, "tubes_used");
    TRY_CHANGE(revision, 7, MDR_E_CONFLICT, "revision");
    char *before = kit_export(f->mill, mdr_table_find("lot"));
    for (size_t i = 0; i < n; i++) {
        mdr_err err = {0};
        const mdr_code rc = mdr_mill_lot_change(f->mill, "L26-0001", &tries[i].change, &err);
        if (rc != tries[i].code || strcmp(err.place, tries[i].place) != 0 ||
            err.remedy[0] == '\0') {
            kit_print(&err);
            fail_msg("try %zu: %s", i, mdr_code_id(rc));
        }
        assert_int_equal(f->mill->depth, 0);
    }
    mdr_err err;
    assert_int_equal(mdr_mill_lot_change(f->mill, "L99", &NOTHING, &err), MDR_E_NOTFOUND);
    char *after = kit_export(f->mill, mdr_table_find("lot"));
    assert_string_equal(before, after);
    assert_int_equal(kit_count(f->mill, "SELECT max(revision) FROM lot"), 1);
    free(before);
    free(after);
}

static void an_import_counts_as_a_change(void **state)
{
    const fixture *f = *state;
    mdr_err err;
    KIT_OK(kit_import(f->mill, "lot", kit_text("lot"), NULL, &err), &err);
    assert_int_equal(kit_count(f->mill, "SELECT max(revision) FROM lot"), 1); /* nothing new */
    char text[1000];
    (void)snprintf(text, sizeof text, "%s", kit_text("lot"));
    char *cell = strstr(text, ",6.5,200");
    cell[3] = '7';
    KIT_OK(kit_import(f->mill, "lot", text, NULL, &err), &err);
    assert_int_equal(kit_count(f->mill, "SELECT revision FROM lot WHERE lot_id = 'L26-0003'"), 2);
    assert_int_equal(kit_count(f->mill, "SELECT sum(revision) FROM lot"), 4);
}

/* -- routes ----------------------------------------------------------------------------------- */

static void routes_in_versions(void **state)
{
    const fixture *f = *state;
    mdr_err err;
    mdr_route_doc *list, doc;
    int n = 0;
    mdr_route_doc put = {.route_id = "R-MED",
                         .name = "Medium, softer",
                         .dye_class = MDR_CLASS_VAT,
                         .version = 2,
                         .text = "{\"v\":2}",
                         .text_len = 7};
    KIT_OK(mdr_mill_route_put(f->mill, &put, &err), &err);
    KIT_OK(mdr_mill_routes(f->mill, f->arena, &list, &n, &err), &err);
    assert_int_equal(n, 2);
    assert_string_equal(list[0].route_id, "R-MED");
    assert_string_equal(list[0].name, "Medium, softer");
    assert_int_equal(list[0].version, 2);
    assert_int_equal(list[0].dye_class, MDR_CLASS_VAT);
    assert_int_equal(list[0].lots, 2);
    assert_null(list[0].text);
    KIT_OK(mdr_mill_route(f->mill, "R-MED", 0, f->arena, &doc, &err), &err);
    assert_int_equal(doc.version, 2);
    assert_string_equal(doc.text, "{\"v\":2}");
    assert_int_equal(doc.text_len, 7);
    assert_int_equal(doc.lots, 2);
    KIT_OK(mdr_mill_route(f->mill, "R-MED", 1, f->arena, &doc, &err), &err);
    assert_string_equal(doc.name, "Medium");
    assert_string_equal(doc.text, "{\"invented\":true}");
    /* refused */
    assert_int_equal(mdr_mill_route_put(f->mill, &put, &err), MDR_E_CONFLICT); /* 2 is there */
    assert_string_equal(err.place, "route R-MED.version");
    assert_string_equal(err.allowed, "3, the one after the newest");
    put.version = 4;
    assert_int_equal(mdr_mill_route_put(f->mill, &put, &err), MDR_E_CONFLICT);
    put.version = 2;
    put.route_id = "R-NEW";
    assert_int_equal(mdr_mill_route_put(f->mill, &put, &err), MDR_E_CONFLICT); /* begins at 1 */
    put.version = 1;
    put.route_id = "R NEW";
    assert_int_equal(mdr_mill_route_put(f->mill, &put, &err), MDR_E_PARSE);
    put.route_id = "R-NEW";
    put.name = "";
    assert_int_equal(mdr_mill_route_put(f->mill, &put, &err), MDR_E_PARSE);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM route"), 2);
    assert_int_equal(mdr_mill_route(f->mill, "R-X", 0, f->arena, &doc, &err), MDR_E_NOTFOUND);
    assert_int_equal(mdr_mill_route(f->mill, "R-MED", 3, f->arena, &doc, &err), MDR_E_NOTFOUND);
    assert_string_equal(err.allowed, "1 to 2");
    assert_int_equal(mdr_mill_route(f->mill, "R-MED", -1, f->arena, &doc, &err), MDR_E_NOTFOUND);
}

int main(void)
{
    const struct CMUnitTest tests[] = {T(a_change_touches_what_it_names), T(a_change_is_refused),
                                       T(an_import_counts_as_a_change), T(routes_in_versions)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
