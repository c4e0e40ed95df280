/* Dips in the mill, through their states, and the recipe that a shade takes from one. */
#include "mill_bench_kit.h"

/* -- dips -- */

static mdr_dip new_dip(const mdr_dip_dye *dyes, int n)
{
    return (mdr_dip){.dip_id = "B-3A",
                     .shade_id = "BORDEAUX",
                     .substrate = "Jersey, 60",
                     .sample_id = "",
                     .decided_by = "",
                     .remark = "",
                     .made_utc_ms = DAY(1),
                     .round = 3,
                     .dyes = dyes,
                     .n_dyes = n};
}

static void a_dip_comes_back(void **state)
{
    fixture *f = *state;
    mdr_err err;
    const mdr_dip_dye dyes[] = {{.dye_id = "BLUE", .depth_pct_owf = 0.125},
                                {.dye_id = "RED", .depth_pct_owf = 2.5}};
    const mdr_dip dip = new_dip(dyes, 2);
    KIT_OK(mdr_mill_dip_add(f->mill, &f->masters, &dip, &err), &err);
    reload(f);
    const mdr_dip *back = mdr_bench_dip_of(&f->bench, "B-3A");
    assert_non_null(back);
    assert_string_equal(mdr_dip_recipe_text(back->dyes, back->n_dyes, f->arena),
                        "BLUE=0.125,RED=2.5");
    assert_int_equal(back->round, 3);
    assert_int_equal(back->revision, 1);
    expect(mdr_mill_dip_add(f->mill, &f->masters, &dip, &err), &err, MDR_E_CONFLICT, "dip_id");
}

static void a_mix_is_refused(void **state)
{
    static const struct {
        const char *shade_id;
        mdr_dip_dye dyes[2];
        int n;
        mdr_code code;
        const char *place;
    } TRIES[] = {
        {"BORDEAUX", {{.dye_id = "RED", .depth_pct_owf = 1}}, 0, MDR_E_RANGE, "recipe"},
        {"BORDEAUX", {{.dye_id = "PINK", .depth_pct_owf = 1}}, 1, MDR_E_NOTFOUND, "recipe"},
        {"BORDEAUX", {{.dye_id = "LYE", .depth_pct_owf = 1}}, 1, MDR_E_NOTFOUND, "recipe"},
        {"BORDEAUX", {{.dye_id = "VIOLET", .depth_pct_owf = 1}}, 1, MDR_E_RANGE, "recipe"},
        {"BORDEAUX", {{.dye_id = "RED", .depth_pct_owf = 20.1}}, 1, MDR_E_RANGE, "recipe"},
        {"BORDEAUX", {{.dye_id = "RED", .depth_pct_owf = 0.00009}}, 1, MDR_E_RANGE, "recipe"},
        {"BORDEAUX",
         {{.dye_id = "RED", .depth_pct_owf = 1}, {.dye_id = "RED", .depth_pct_owf = 2}},
         2,
         MDR_E_RANGE,
         "recipe"},
        {"WHITE", {{.dye_id = "RED", .depth_pct_owf = 1}}, 1, MDR_E_RANGE, "recipe"},
        {"PINK", {{.dye_id = "RED", .depth_pct_owf = 1}}, 1, MDR_E_NOTFOUND, "shade_id"},
    };
    const fixture *f = *state;
    for (size_t i = 0; i < N_OF(TRIES); i++) {
        mdr_err err;
        mdr_dip dip = new_dip(TRIES[i].dyes, TRIES[i].n);
        dip.shade_id = TRIES[i].shade_id;
        expect(mdr_mill_dip_add(f->mill, &f->masters, &dip, &err), &err, TRIES[i].code,
               TRIES[i].place);
        const mdr_shade_mix mix = {TRIES[i].shade_id, TRIES[i].dyes, TRIES[i].n, NULL};
        expect(mdr_mill_recipe_take(f->mill, &f->masters, &mix, "", &err), &err, TRIES[i].code,
               TRIES[i].place);
    }
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM dip"), 2);
}

static mdr_code to(fixture *f, const char *dip_id, int state, mdr_err *err)
{
    const mdr_dip_change c = {.by = "A. Buyer",
                              .today_utc_ms = DAY(9),
                              .state = state,
                              .revision = mdr_bench_dip_of(&f->bench, dip_id)->revision};
    const mdr_code rc = mdr_mill_dip_change(f->mill, &f->bench, dip_id, &c, err);
    reload(f);
    return rc;
}

/* Every step there is, and no other. */
static void states_of_a_dip(void **state)
{
    static const unsigned MAY[] = {
        [MDR_DIP_MADE] = 1u << MDR_DIP_SUBMITTED | 1u << MDR_DIP_REJECTED,
        [MDR_DIP_SUBMITTED] = 1u << MDR_DIP_APPROVED | 1u << MDR_DIP_REJECTED,
        [MDR_DIP_APPROVED] = 1u << MDR_DIP_REJECTED,
        [MDR_DIP_REJECTED] = 0};
    fixture *f = *state;
    mdr_err err;
    KIT_OK(to(f, "B-1A", MDR_DIP_REJECTED, &err), &err); /* nothing is approved now */
    for (int from = MDR_DIP_MADE; from <= MDR_DIP_REJECTED; from++) {
        assert_int_equal(mdr_dip_state_next((mdr_dip_state)from), MAY[from]);
        for (int next = MDR_DIP_MADE; next <= MDR_DIP_REJECTED; next++) {
            char sql[200];
            const bool decided = from >= MDR_DIP_APPROVED;
            (void)snprintf(sql, sizeof sql,
                           "UPDATE dip SET state = '%s', decided_by = '%s', decided_utc_ms = %s "
                           "WHERE dip_id = 'B-2A'",
                           mdr_dip_state_id((mdr_dip_state)from), decided ? "R" : "",
                           decided ? "made_utc_ms" : "NULL");
            assert_int_equal(sqlite3_exec(f->mill->db, sql, NULL, NULL, NULL), SQLITE_OK);
            reload(f);
            const mdr_code rc = to(f, "B-2A", next, &err);
            if (next == from || (MAY[from] >> (unsigned)next & 1u) != 0) {
                assert_int_equal(rc, MDR_OK);
                assert_int_equal(mdr_bench_dip_of(&f->bench, "B-2A")->state, next);
            } else {
                expect(rc, &err, MDR_E_CONFLICT, "state");
                assert_int_equal(mdr_bench_dip_of(&f->bench, "B-2A")->state, from);
            }
        }
    }
}

static void who_decided_and_when(void **state)
{
    fixture *f = *state;
    mdr_err err;
    KIT_OK(to(f, "B-2A", MDR_DIP_SUBMITTED, &err), &err);
    assert_string_equal(mdr_bench_dip_of(&f->bench, "B-2A")->decided_by, "");
    expect(to(f, "B-2A", MDR_DIP_APPROVED, &err), &err, MDR_E_CONFLICT, "state"); /* B-1A is */
    KIT_OK(to(f, "B-1A", MDR_DIP_REJECTED, &err), &err);
    const int revision = mdr_bench_dip_of(&f->bench, "B-2A")->revision;
    assert_int_equal(revision, 2);
    mdr_dip_change c = {.state = MDR_DIP_APPROVED, .today_utc_ms = DAY(9), .revision = revision};
    expect(mdr_mill_dip_change(f->mill, &f->bench, "B-2A", &c, &err), &err, MDR_E_ARG, "by");
    c.by = "";
    expect(mdr_mill_dip_change(f->mill, &f->bench, "B-2A", &c, &err), &err, MDR_E_ARG, "by");
    c.by = "A. Buyer";
    c.revision = 1;
    expect(mdr_mill_dip_change(f->mill, &f->bench, "B-2A", &c, &err), &err, MDR_E_CONFLICT,
           "revision");
    assert_string_equal(err.allowed, "2");
    c.revision = 2;
    KIT_OK(mdr_mill_dip_change(f->mill, &f->bench, "B-2A", &c, &err), &err);
    reload(f);
    const mdr_dip *d = mdr_bench_dip_of(&f->bench, "B-2A");
    assert_string_equal(d->decided_by, "A. Buyer");
    assert_true(d->decided_utc_ms == DAY(9));
    assert_int_equal(d->revision, 3);
    expect(mdr_mill_dip_change(f->mill, &f->bench, "NONE", &c, &err), &err, MDR_E_NOTFOUND,
           "dip_id");
}

static void the_sample_of_a_dip(void **state)
{
    fixture *f = *state;
    mdr_err err;
    const mdr_spectrum curve = ramp(31);
    mdr_bench_sample s = NEW_DIP;
    s.spectrum = &curve;
    KIT_OK(mdr_mill_sample_put(f->mill, &s, &err), &err);
    mdr_bench_sample other = s;
    other.sample_id = "WHITE.1";
    other.shade_id = "WHITE";
    KIT_OK(mdr_mill_sample_put(f->mill, &other, &err), &err);
    other.sample_id = "RIB.1";
    other.shade_id = "BORDEAUX";
    other.substrate = "Rib";
    KIT_OK(mdr_mill_sample_put(f->mill, &other, &err), &err);
    reload(f);
    static const struct {
        const char *sample_id;
        mdr_code code;
    } TRIES[] = {{"NONE", MDR_E_NOTFOUND},       {"RED.2", MDR_E_CONFLICT},
                 {"WHITE.1", MDR_E_CONFLICT},    {"RIB.1", MDR_E_CONFLICT},
                 {"BORDEAUX.S", MDR_E_CONFLICT}, {"BORDEAUX.1", MDR_E_CONFLICT}};
    mdr_dip_change c = {.state = -1, .revision = 1};
    for (size_t i = 0; i < N_OF(TRIES); i++) {
        c.sample_id = TRIES[i].sample_id;
        expect(mdr_mill_dip_change(f->mill, &f->bench, "B-2A", &c, &err), &err, TRIES[i].code,
               "sample_id");
    }
    c.sample_id = "BORDEAUX.2";
    expect(mdr_mill_dip_change(f->mill, &f->bench, "B-1A", &c, &err), &err, MDR_E_CONFLICT,
           "sample_id"); /* approved as it was measured */
    c.remark = "dry now";
    KIT_OK(mdr_mill_dip_change(f->mill, &f->bench, "B-2A", &c, &err), &err);
    reload(f);
    const mdr_dip *d = mdr_bench_dip_of(&f->bench, "B-2A");
    assert_string_equal(d->sample_id, "BORDEAUX.2");
    assert_string_equal(d->remark, "dry now");
    assert_int_equal(d->state, MDR_DIP_MADE);
}

/* -- the recipe of a shade -- */

static void a_recipe_is_taken_whole(void **state)
{
    fixture *f = *state;
    mdr_err err;
    const mdr_dip_dye dyes[] = {{.dye_id = "BLUE", .depth_pct_owf = 0.5}};
    const mdr_shade_mix mix = {"BORDEAUX", dyes, 1, NULL};
    expect(mdr_mill_recipe_take(f->mill, &f->masters, &mix, "RED=2.35", &err), &err, MDR_E_CONFLICT,
           "was");
    assert_string_equal(err.allowed, "RED=2.35,BLUE=0.000125");
    KIT_OK(mdr_mill_recipe_take(f->mill, &f->masters, &mix, "RED=2.35,BLUE=0.000125", &err), &err);
    reload(f);
    assert_string_equal(mdr_shade_recipe_text(mdr_masters_shade(&f->masters, "BORDEAUX"), f->arena),
                        "BLUE=0.5");
}

/* Only while a lot is on the machine. */
static void not_while_a_lot_runs(void **state)
{
    fixture *f = *state;
    mdr_err err;
    static const char *const FREE[] = {"open", "ready", "planned", "finishing", "done"};
    const mdr_dip_dye dyes[] = {{.dye_id = "RED", .depth_pct_owf = 2.35},
                                {.dye_id = "BLUE", .depth_pct_owf = 0.000125}};
    const mdr_shade_mix mix = {"BORDEAUX", dyes, 2, NULL};
    const char *was = "RED=2.35,BLUE=0.000125";
    char sql[100];
    for (size_t i = 0; i < N_OF(FREE); i++) {
        (void)snprintf(sql, sizeof sql, "UPDATE lot SET stage = '%s' WHERE lot_id = 'L26-0003'",
                       FREE[i]);
        assert_int_equal(sqlite3_exec(f->mill->db, sql, NULL, NULL, NULL), SQLITE_OK);
        KIT_OK(mdr_mill_recipe_take(f->mill, &f->masters, &mix, was, &err), &err);
    }
    assert_int_equal(sqlite3_exec(f->mill->db,
                                  "UPDATE lot SET stage = 'dyeing' WHERE lot_id = 'L26-0003'", NULL,
                                  NULL, NULL),
                     SQLITE_OK);
    expect(mdr_mill_recipe_take(f->mill, &f->masters, &mix, was, &err), &err, MDR_E_CONFLICT,
           "shade_id");
    assert_string_equal(err.value, "L26-0003");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_dip_comes_back, setup, teardown),
        cmocka_unit_test_setup_teardown(a_mix_is_refused, setup, teardown),
        cmocka_unit_test_setup_teardown(states_of_a_dip, setup, teardown),
        cmocka_unit_test_setup_teardown(who_decided_and_when, setup, teardown),
        cmocka_unit_test_setup_teardown(the_sample_of_a_dip, setup, teardown),
        cmocka_unit_test_setup_teardown(a_recipe_is_taken_whole, setup, teardown),
        cmocka_unit_test_setup_teardown(not_while_a_lot_runs, setup, teardown)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
