/* A programme run, and run again with something off: what each mishap changes, and that the answers
 * move the way a dyer would say. */
#include "t.h"

#include "programme_kit.h"

static mdr_arena *arena;

static int make(void **state)
{
    (void)state;
    arena = mdr_arena_new(256u << 20);
    return arena != NULL ? 0 : -1;
}

static int drop(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

static mdr_dyeing_case *case_of(int tubes)
{
    static mdr_dye_rates rates[2];
    mdr_dyeing_case *c = MDR_NEW(arena, mdr_dyeing_case);
    assert_non_null(c);
    rates[0] = kit_rates("A");
    rates[1] = kit_rates("B");
    rates[1].affinity_kj_per_mol = 12;
    c->programme = *kit_programme(arena, 2);
    c->rope = kit_rope(tubes);
    c->rope_m = 400;
    c->rates = rates;
    c->limit_pct_per_contact = 1.0;
    c->sample_min = 2;
    c->slices = 12;
    c->reactive = true;
    return c;
}

static mdr_dyeing_result run(const mdr_dyeing_case *c)
{
    mdr_ph_table *table = NULL;
    mdr_dyeing_result r = {.dyeing = NULL};
    mdr_err err = {0};
    if (mdr_ph_table_make(&c->programme, arena, &table, &err) != MDR_OK ||
        mdr_dyeing_case_run(c, table, arena, &r, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return r;
}

static void a_dyeing_runs(void **state)
{
    (void)state;
    const mdr_dyeing_result r = run(case_of(1));
    CHECK_NEAR(r.rope.cycle_min, 2, 1e-12, "D: 400 m at 200 m/min");
    assert_true(!r.one_for_all);
    assert_true(r.dyeing->mass_error < 1e-9);
    for (int i = 0; i < 2; i++) {
        const mdr_dye_answer *a = &r.answers.dyes[i];
        CHECK_NEAR(a->kg, 2, 1e-12, "D: given");
        CHECK_NEAR(a->exhaustion_pct + a->left_pct, 100, 1e-6, "D: it is somewhere");
        assert_true(a->fixation_pct > 30 && a->fixation_pct < a->exhaustion_pct);
        assert_true(a->before_alkali_pct > 0 && a->before_alkali_pct < a->exhaustion_pct);
    }
    assert_true(r.answers.dyes[1].before_alkali_pct > r.answers.dyes[0].before_alkali_pct);
    assert_true(r.answers.has_before);
    CHECK_NEAR(r.course.alkali_min, 80, 1e-9, "D: programme");
}

/* Ropes that are alike are run as one: the same as the one rope they would make. */
static void ropes_alike(void **state)
{
    (void)state;
    const mdr_dyeing_result one = run(case_of(1));
    const mdr_dyeing_result four = run(case_of(4));
    assert_true(four.one_for_all);
    assert_int_equal(four.dyeing->n_slices, 12);
    CHECK_NEAR(four.answers.fixation_pct, one.answers.fixation_pct, 1e-9, "D: the same");
    mdr_dyeing_case *c = case_of(2);
    c->rope.tube_share[0] = 0.7;
    c->rope.tube_share[1] = 0.3;
    const mdr_dyeing_result unlike = run(c);
    assert_true(!unlike.one_for_all);
    assert_int_equal(unlike.dyeing->n_slices, 24);
    assert_true(unlike.answers.before.between_pct > 0.01);
    CHECK_NEAR(one.answers.before.between_pct, 0, 1e-12, "D: one rope");
}

static void uneven_preparation_shows(void **state)
{
    (void)state;
    mdr_dyeing_case *c = case_of(1);
    const double even = run(c).answers.before.along_pct;
    c->uneven_pct = 30;
    assert_true(run(c).answers.before.along_pct > even + 0.2);
    mdr_ph_table *table = NULL;
    mdr_dyeing_result r;
    mdr_err err = {0};
    assert_int_equal(mdr_ph_table_make(&c->programme, arena, &table, &err), MDR_OK);
    c->uneven_pct = 91;
    assert_int_equal(mdr_dyeing_case_run(c, table, arena, &r, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "uneven_pct");
}

static void what_each_mishap_does(void **state)
{
    (void)state;
    mdr_dyeing_case *c = case_of(1);
    const mdr_dye_programme *p = &c->programme;
    assert_true(mdr_dyeing_mishap(c, MDR_MISHAP_WARM));
    CHECK_NEAR(p->start_c, 45, 0, "D: 5 degC");
    CHECK_NEAR(p->steps[KIT_RAMP].to_c, 65, 0, "D: 5 degC");
    c = case_of(1);
    p = &c->programme;
    assert_true(mdr_dyeing_mishap(c, MDR_MISHAP_COLD));
    CHECK_NEAR(p->steps[KIT_RAMP].to_c, 55, 0, "D: 5 degC");
    assert_true(mdr_dyeing_mishap(c, MDR_MISHAP_SALT_MORE));
    CHECK_NEAR(p->steps[KIT_SALT].amount, 1.1, 1e-12, "D: 10 %");
    CHECK_NEAR(p->steps[KIT_SODA].amount, 1, 0, "D: salt alone");
    assert_true(mdr_dyeing_mishap(c, MDR_MISHAP_ALKALI_LATE));
    CHECK_NEAR(p->steps[KIT_RUN].minutes, 25, 0, "D: 15 min more");
    assert_int_equal(p->n_steps, KIT_STEPS);
    assert_true(mdr_dyeing_mishap(c, MDR_MISHAP_ALKALI_FAST));
    CHECK_NEAR(p->steps[KIT_SODA].minutes, 15, 0, "D: half");
    CHECK_NEAR(p->steps[KIT_FIX].minutes, 75, 0, "D: as long as before");
    assert_true(mdr_dyeing_mishap(c, MDR_MISHAP_SLOW_REEL));
    CHECK_NEAR(p->speed_m_per_min, 160, 1e-12, "D: a fifth");
    const double exchange = c->rope.exchange_per_min;
    assert_true(mdr_dyeing_mishap(c, MDR_MISHAP_LOW_FLOW));
    CHECK_NEAR(c->rope.exchange_per_min, exchange * 2 / 3, 1e-12, "D: a third less");
}

static void what_cannot_happen(void **state)
{
    (void)state;
    mdr_dyeing_case *c = case_of(1);
    c->programme.steps[KIT_RAMP].to_c = 98;
    assert_true(!mdr_dyeing_mishap(c, MDR_MISHAP_WARM));
    c = case_of(1);
    c->programme.steps[KIT_SALT].amount = MDR_DYE_AMOUNT_MOST; /* a programme may have no more */
    assert_true(!mdr_dyeing_mishap(c, MDR_MISHAP_SALT_MORE));
    c->programme.steps[KIT_SALT].gives = MDR_GIVES_OTHER;
    assert_true(!mdr_dyeing_mishap(c, MDR_MISHAP_SALT_LESS));
    c->reactive = false;
    assert_true(!mdr_dyeing_mishap(c, MDR_MISHAP_ALKALI_LATE));
    c->rope.flow_l_per_min = 0;
    assert_true(!mdr_dyeing_mishap(c, MDR_MISHAP_LOW_FLOW));
    assert_true(!mdr_dyeing_mishap(c, MDR_MISHAP_COUNT));
    assert_null(mdr_mishap_id(MDR_MISHAP_COUNT));
    assert_string_equal(mdr_mishap_id(MDR_MISHAP_SLOW_REEL), "slow_reel");
    /* no run in front of the alkali: one is put there */
    c = case_of(1);
    c->programme.steps[KIT_RUN].kind = MDR_DYE_RAMP;
    c->programme.steps[KIT_RUN].to_c = 61;
    assert_true(mdr_dyeing_mishap(c, MDR_MISHAP_ALKALI_LATE));
    assert_int_equal(c->programme.n_steps, KIT_STEPS + 1);
    assert_int_equal(c->programme.steps[KIT_SODA].kind, MDR_DYE_RUN);
    assert_int_equal(c->programme.steps[KIT_SODA + 1].gives, MDR_GIVES_ALKALI);
    CHECK_NEAR(run(c).course.minutes, 170 - 10 + 0.25 + 15, 1e-6, "D: a degree at 4");
}

/* More salt, more on; hotter, less; slower reel, more a turn. */
static void the_way_it_goes(void **state)
{
    (void)state;
    const mdr_dyeing_answers base = run(case_of(1)).answers;
    mdr_dyeing_answers a[MDR_MISHAP_COUNT];
    for (int m = 0; m < MDR_MISHAP_COUNT; m++) {
        mdr_dyeing_case *c = case_of(1);
        assert_true(mdr_dyeing_mishap(c, (mdr_mishap)m));
        a[m] = run(c).answers;
    }
    assert_true(a[MDR_MISHAP_SALT_MORE].exhaustion_pct > base.exhaustion_pct);
    assert_true(a[MDR_MISHAP_SALT_LESS].exhaustion_pct < base.exhaustion_pct);
    assert_true(a[MDR_MISHAP_WARM].dyes[0].before_alkali_pct < base.dyes[0].before_alkali_pct);
    assert_true(a[MDR_MISHAP_COLD].dyes[0].before_alkali_pct > base.dyes[0].before_alkali_pct);
    assert_true(a[MDR_MISHAP_SLOW_REEL].contacts_per_min < base.contacts_per_min);
    assert_true(a[MDR_MISHAP_SLOW_REEL].strike_most_pct > base.strike_most_pct);
    assert_true(a[MDR_MISHAP_LOW_FLOW].strike_most_pct > base.strike_most_pct);
}

/* Every allocation that fails is said. */
static void memory_runs_out(void **state)
{
    (void)state;
    const mdr_dyeing_case *c = case_of(2);
    for (size_t bytes = 4096; bytes < (1u << 20); bytes *= 3) {
        mdr_arena *small = mdr_arena_new(bytes);
        mdr_ph_table *table = NULL;
        mdr_dyeing_result r = {.dyeing = NULL};
        mdr_err err = {0};
        mdr_code rc = mdr_ph_table_make(&c->programme, small, &table, &err);
        if (rc == MDR_OK) {
            rc = mdr_dyeing_case_run(c, table, small, &r, &err);
        }
        assert_true(rc == MDR_E_NOMEM || rc == MDR_OK);
        assert_true(rc == MDR_OK || r.dyeing == NULL);
        mdr_arena_free(small);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_dyeing_runs),
        cmocka_unit_test(ropes_alike),
        cmocka_unit_test(uneven_preparation_shows),
        cmocka_unit_test(what_each_mishap_does),
        cmocka_unit_test(what_cannot_happen),
        cmocka_unit_test(the_way_it_goes),
        cmocka_unit_test(memory_runs_out),
    };
    return cmocka_run_group_tests(tests, make, drop);
}
