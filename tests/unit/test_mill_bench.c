/* The laboratory in the mill: samples and dips as they are read, checked, imported; samples stored. */
#include "mill_bench_kit.h"

/* -- reading -- */

static void samples_with_readings(void **state)
{
    const fixture *f = *state;
    const mdr_bench *b = &f->bench;
    assert_int_equal(b->n_samples, 5);
    const mdr_bench_sample *rung = mdr_bench_sample_of(b, "RED.2");
    assert_non_null(rung);
    assert_int_equal(rung->kind, MDR_BENCH_RUNG);
    assert_int_equal(rung->specular, MDR_SPECULAR_INCLUDED);
    assert_string_equal(rung->substrate, "Jersey, 60");
    CHECK_NEAR(rung->depth_pct_owf, 2.5, 0, KIT_SRC);
    const mdr_bench_sample *cloth = mdr_bench_cloth_of(b, "Jersey, 60");
    assert_non_null(cloth);
    assert_string_equal(cloth->remark, "=undyed");
    assert_non_null(cloth->spectrum);
    assert_int_equal(cloth->spectrum->n, 14);
    CHECK_NEAR(cloth->spectrum->start_nm, 400, 0, KIT_SRC);
    CHECK_NEAR(cloth->spectrum->step_nm, 20, 0, KIT_SRC);
    CHECK_NEAR(cloth->spectrum->v[0], 0.44, 1e-15, KIT_SRC);
    CHECK_NEAR(cloth->spectrum->v[13], 0.606, 1e-15, KIT_SRC);
    assert_null(mdr_bench_cloth_of(b, "Rib"));
    assert_string_equal(mdr_bench_standard_of(b, "BORDEAUX")->sample_id, "BORDEAUX.S");
    assert_null(mdr_bench_standard_of(b, "WHITE"));
    assert_null(mdr_bench_sample_of(b, "NONE"));
    assert_null(mdr_bench_dip_of(b, "NONE"));
    assert_string_equal(mdr_bench_sample_of(b, "BORDEAUX.B")->lot_id, "L26-0003");
}

static void dips_with_dyes(void **state)
{
    const fixture *f = *state;
    const mdr_dip *a = mdr_bench_dip_of(&f->bench, "B-1A"),
                  *b = mdr_bench_dip_of(&f->bench, "B-2A");
    assert_int_equal(f->bench.n_dips, 2);
    assert_int_equal(a->n_dyes, 2);
    assert_string_equal(mdr_dip_recipe_text(a->dyes, a->n_dyes, f->arena),
                        "RED=2.35,BLUE=0.000125");
    assert_int_equal(a->state, MDR_DIP_APPROVED);
    assert_string_equal(a->decided_by, "R., dyehouse");
    assert_int_equal(b->n_dyes, 1);
    assert_string_equal(mdr_dip_recipe_text(b->dyes, b->n_dyes, f->arena), "RED=2.4");
    assert_string_equal(b->sample_id, "");
    assert_true(b->decided_utc_ms == 0);
    assert_int_equal(b->revision, 1);
    assert_string_equal(mdr_dip_recipe_text(NULL, 0, f->arena), "");
    assert_string_equal(mdr_shade_recipe_text(mdr_masters_shade(&f->masters, "BORDEAUX"), f->arena),
                        "RED=2.35,BLUE=0.000125");
}

/* Readings that make no spectrum: the sample is there without one, and the check says so. */
static void readings_that_make_no_spectrum(void **state)
{
    fixture *f = *state;
    mdr_err err;
    KIT_OK(kit_import(f->mill, "lab_reading",
                      "sample_id,wavelength_nm,reflectance_pct\nRED.2,440,20\nRED.2,660,30\n", NULL,
                      &err),
           &err);
    reload(f);
    assert_null(mdr_bench_sample_of(&f->bench, "RED.2")->spectrum);
    mdr_err_list found = mdr_err_list_make(f->arena, 10);
    KIT_OK(mdr_mill_check(f->mill, &found, &err), &err);
    assert_int_equal(found.total, 2); /* and the kit's violet has no price */
    bool told = false;
    for (int i = 0; i < found.count; i++) {
        told = told || strcmp(found.items[i].place, "lab_sample RED.2") == 0;
    }
    assert_true(told);
}

/* -- the check of the mill -- */

static void the_check_finds(void **state)
{
    static const struct {
        const char *sql, *place;
    } TRIES[] = {
        {"DELETE FROM lab_reading WHERE sample_id = 'JERSEY'", "lab_sample JERSEY"},
        {"UPDATE lab_sample SET substrate = 'Rib' WHERE sample_id = 'RED.2'", "lab_sample RED.2"},
        {"UPDATE lab_sample SET shade_id = 'WHITE' WHERE sample_id = 'BORDEAUX.B'",
         "lab_sample BORDEAUX.B"},
        {"UPDATE dip SET sample_id = 'RED.2' WHERE dip_id = 'B-2A'", "dip B-2A"},
        {"UPDATE dip SET substrate = 'Rib' WHERE dip_id = 'B-1A'", "dip B-1A"},
        {"DELETE FROM dip_dye WHERE dip_id = 'B-2A'", "dip B-2A"},
        {"UPDATE dip_dye SET dye_id = 'VIOLET' WHERE dip_id = 'B-2A'", "dip B-2A"},
        {"UPDATE dip_dye SET dye_id = 'RED' WHERE dip_id = 'B-1A'", "dip B-1A"},
    };
    const fixture *f = *state;
    for (size_t i = 0; i < N_OF(TRIES); i++) {
        mdr_err err;
        bool told = false;
        const kit_dir d = kit_dir_make();
        mdr_mill *mill = kit_mill(&d);
        mdr_err_list found = mdr_err_list_make(f->arena, 20);
        assert_int_equal(sqlite3_exec(mill->db, TRIES[i].sql, NULL, NULL, NULL), SQLITE_OK);
        KIT_OK(mdr_mill_check(mill, &found, &err), &err);
        for (int k = 0; k < found.count; k++) {
            told = told || strcmp(found.items[k].place, TRIES[i].place) == 0;
        }
        if (!told) {
            fail_msg("%s: not found", TRIES[i].sql);
        }
        mdr_mill_close(mill);
        kit_dir_remove(&d);
    }
}

/* -- import -- */

#define SAMPLE_HEAD                                                                         \
    "sample_id,kind,name,substrate,dye_id,depth_pct_owf,shade_id,lot_id,measured,specular," \
    "remark\n"

static void import_refuses(void **state)
{
    static const struct {
        const char *table, *text;
        mdr_code code;
        const char *place;
    } TRIES[] = {
        {"lab_sample", SAMPLE_HEAD "X,rung,x,S,,1,,,2026-10-05,included,\n", MDR_E_PARSE,
         "test.csv:2:dye_id"},
        {"lab_sample", SAMPLE_HEAD "X,rung,x,S,RED,,,,2026-10-05,included,\n", MDR_E_PARSE,
         "test.csv:2:depth_pct_owf"},
        {"lab_sample", SAMPLE_HEAD "X,cloth,x,S,RED,,,,2026-10-05,included,\n", MDR_E_PARSE,
         "test.csv:2:dye_id"},
        {"lab_sample", SAMPLE_HEAD "X,standard,x,S,,,,,2026-10-05,included,\n", MDR_E_PARSE,
         "test.csv:2:shade_id"},
        {"lab_sample", SAMPLE_HEAD "X,bulk,x,S,,,WHITE,,2026-10-05,included,\n", MDR_E_PARSE,
         "test.csv:2:lot_id"},
        {"lab_sample", SAMPLE_HEAD "X,dip,x,,,,WHITE,,2026-10-05,included,\n", MDR_E_PARSE,
         "test.csv:2:substrate"},
        {"lab_sample", SAMPLE_HEAD "X,standard,x,,,,PINK,,2026-10-05,included,\n", MDR_E_NOTFOUND,
         "test.csv:2:shade_id"},
        {"lab_sample", SAMPLE_HEAD "X,cloth,x,\"Jersey, 60\",,,,,2026-10-05,included,\n",
         MDR_E_CONFLICT, "test.csv:2"},
        {"dip",
         "dip_id,shade_id,substrate,round,made,sample_id,state,decided_by,decided,remark\n"
         "X,BORDEAUX,S,1,2026-10-05,,approved,,,\n",
         MDR_E_PARSE, "test.csv:2:decided_by"},
        {"dip",
         "dip_id,shade_id,substrate,round,made,sample_id,state,decided_by,decided,remark\n"
         "X,BORDEAUX,S,1,2026-10-05,,submitted,R,2026-10-06,\n",
         MDR_E_PARSE, "test.csv:2:decided_by"},
        {"dip",
         "dip_id,shade_id,substrate,round,made,sample_id,state,decided_by,decided,remark\n"
         "X,BORDEAUX,S,1,2026-10-05,,approved,R,2026-10-06,\n",
         MDR_E_CONFLICT, "test.csv:2"},
        {"lab_reading", "sample_id,wavelength_nm,reflectance_pct\nRED.2,400,150.1\n", MDR_E_RANGE,
         "test.csv:2:reflectance_pct"},
    };
    const fixture *f = *state;
    for (size_t i = 0; i < N_OF(TRIES); i++) {
        mdr_err err;
        const mdr_code rc = kit_import(f->mill, TRIES[i].table, TRIES[i].text, NULL, &err);
        expect(rc, &err, TRIES[i].code, TRIES[i].place);
    }
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM lab_reading"), 70);
}

/* -- storing a sample -- */

static void a_sample_comes_back(void **state)
{
    fixture *f = *state;
    mdr_err err;
    const mdr_spectrum long_one = ramp(36), short_one = ramp(31);
    mdr_bench_sample s = NEW_DIP;
    s.spectrum = &long_one;
    KIT_OK(mdr_mill_sample_put(f->mill, &s, &err), &err);
    s.spectrum = &short_one; /* what it was measured with before goes */
    KIT_OK(mdr_mill_sample_put(f->mill, &s, &err), &err);
    reload(f);
    const mdr_bench_sample *back = mdr_bench_sample_of(&f->bench, "BORDEAUX.2");
    assert_non_null(back);
    assert_int_equal(back->spectrum->n, 31);
    CHECK_NEAR(back->spectrum->start_nm, 380, 0, "D: as stored");
    for (int i = 0; i < 31; i++) {
        CHECK_NEAR(back->spectrum->v[i], short_one.v[i], 1e-12, "D: as stored");
    }
    assert_true(back->measured_utc_ms == DAY(0));
}

static void a_sample_is_refused(void **state)
{
    static const struct {
        mdr_bench_sample change; /* what is not NULL or 0 in it */
        mdr_code code;
        const char *place;
    } TRIES[] = {
        {{.sample_id = "a b"}, MDR_E_PARSE, "sample_id"},
        {{.dye_id = "RED"}, MDR_E_PARSE, "dye_id"},
        {{.shade_id = "PINK"}, MDR_E_NOTFOUND, "shade_id"},
        {{.measured_utc_ms = 1}, MDR_E_RANGE, "measured"},
        {{.depth_pct_owf = 31}, MDR_E_RANGE, "depth_pct_owf"},
        {{.kind = MDR_BENCH_STANDARD}, MDR_E_CONFLICT, "shade_id"},
        {{.kind = MDR_BENCH_BULK}, MDR_E_PARSE, "lot_id"},
    };
    const fixture *f = *state;
    const mdr_spectrum curve = ramp(31);
    const int64_t before = kit_count(f->mill, "SELECT count(*) FROM lab_sample");
    for (size_t i = 0; i < N_OF(TRIES); i++) {
        mdr_err err;
        const mdr_bench_sample *c = &TRIES[i].change;
        mdr_bench_sample s = NEW_DIP;
        s.sample_id = c->sample_id != NULL ? c->sample_id : s.sample_id;
        s.dye_id = c->dye_id != NULL ? c->dye_id : s.dye_id;
        s.shade_id = c->shade_id != NULL ? c->shade_id : s.shade_id;
        s.measured_utc_ms = c->measured_utc_ms != 0 ? c->measured_utc_ms : s.measured_utc_ms;
        s.depth_pct_owf = c->depth_pct_owf;
        s.kind = c->kind != 0 ? c->kind : s.kind;
        s.spectrum = &curve;
        expect(mdr_mill_sample_put(f->mill, &s, &err), &err, TRIES[i].code, TRIES[i].place);
    }
    mdr_err err;
    mdr_spectrum bright = curve;
    bright.v[3] = 1.6; /* refused while its readings are written: the sample goes too */
    mdr_bench_sample s = NEW_DIP;
    s.spectrum = &bright;
    expect(mdr_mill_sample_put(f->mill, &s, &err), &err, MDR_E_RANGE, "reflectance_pct");
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM lab_sample"), before);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(samples_with_readings, setup, teardown),
        cmocka_unit_test_setup_teardown(dips_with_dyes, setup, teardown),
        cmocka_unit_test_setup_teardown(readings_that_make_no_spectrum, setup, teardown),
        cmocka_unit_test_setup_teardown(the_check_finds, setup, teardown),
        cmocka_unit_test_setup_teardown(import_refuses, setup, teardown),
        cmocka_unit_test_setup_teardown(a_sample_comes_back, setup, teardown),
        cmocka_unit_test_setup_teardown(a_sample_is_refused, setup, teardown)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
