/* A dyeing as a list of steps: when each runs, what the machine holds it to, the course of the bath,
 * and the pH from the table against the equilibrium itself. */
#include "t.h"

#include "programme_kit.h"

static mdr_arena *arena;

static int make(void **state)
{
    (void)state;
    arena = mdr_arena_new(32u << 20);
    return arena != NULL ? 0 : -1;
}

static int drop(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

static mdr_ph_table *table_of(const mdr_dye_programme *p)
{
    mdr_ph_table *t = NULL;
    mdr_err err = {0};
    assert_int_equal(mdr_ph_table_make(p, arena, &t, &err), MDR_OK);
    return t;
}

static mdr_dye_course course_of(const mdr_dye_programme *p, mdr_ph_table *t)
{
    mdr_dye_course c = {0};
    mdr_err err = {0};
    if (mdr_dye_programme_course(p, t, arena, &c, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return c;
}

/* -- when -- */

static void steps_follow_one_another(void **state)
{
    (void)state;
    const mdr_dye_programme *p = kit_programme(arena, 1);
    mdr_dye_time t[MDR_DYE_STEPS_MAX];
    const double start[] = {0, 20, 50, 70, 80, 110};
    CHECK_NEAR(mdr_dye_programme_times(p, t), 170, 1e-9, "D: 20+30+20+10+30+60");
    for (int i = 0; i < KIT_STEPS; i++) {
        CHECK_NEAR(t[i].start_min, start[i], 1e-9, "D: sum of the steps before");
        assert_int_equal(t[i].limit, MDR_DYE_AS_ASKED);
        assert_null(mdr_dye_limit_id(t[i].limit));
    }
    CHECK_NEAR(t[KIT_RAMP].rate_c_per_min, 1, 1e-12, "D: as asked");
    CHECK_NEAR(t[KIT_RUN].from_c, 60, 1e-12, "D: where the ramp ended");
}

static void a_dose_beside_takes_no_time(void **state)
{
    (void)state;
    mdr_dye_programme *p = kit_programme(arena, 1);
    mdr_dye_time t[MDR_DYE_STEPS_MAX];
    p->steps[KIT_DYE].beside = true;
    p->steps[KIT_DYE].offset_min = 5;
    CHECK_NEAR(mdr_dye_programme_times(p, t), 140, 1e-9, "D: without the 30 min");
    CHECK_NEAR(t[KIT_DYE].start_min, 25, 1e-9, "D: 5 min after the ramp began");
    CHECK_NEAR(t[KIT_RAMP].start_min, 20, 1e-9, "D: at once");
    assert_int_equal(t[KIT_SODA].limit, MDR_DYE_LIMIT_TANK_BUSY); /* at 50, the dye until 55 */
    p->steps[KIT_FIX].minutes = 1;
    p->steps[KIT_SODA].beside = true;
    (void)mdr_dye_programme_times(p, t);
    assert_int_equal(t[KIT_SODA].limit, MDR_DYE_LIMIT_OUTLIVES);
}

static void what_the_machine_cannot_do(void **state)
{
    (void)state;
    mdr_dye_time t[MDR_DYE_STEPS_MAX];
    mdr_dye_programme *p = kit_programme(arena, 1);
    p->steps[KIT_DYE].minutes = 4.9;
    p->steps[KIT_RAMP].rate_c_per_min = 8;
    (void)mdr_dye_programme_times(p, t);
    assert_int_equal(t[KIT_DYE].limit, MDR_DYE_LIMIT_TANK);
    assert_int_equal(t[KIT_RAMP].limit, MDR_DYE_LIMIT_RATE);
    CHECK_NEAR(t[KIT_RAMP].end_min - t[KIT_RAMP].start_min, 5, 1e-9, "D: 20 degC at 4");
    p->steps[KIT_RAMP].rate_c_per_min = 0; /* as fast as it can */
    (void)mdr_dye_programme_times(p, t);
    assert_int_equal(t[KIT_RAMP].limit, MDR_DYE_AS_ASKED);
    CHECK_NEAR(t[KIT_RAMP].rate_c_per_min, 4, 1e-9, "D: the control's most");
    p->vessel.ua_kw_per_k = 1; /* 90 kW for 4.6 MJ/K: a degree takes 50 s and more */
    p->steps[KIT_RAMP].rate_c_per_min = 3;
    (void)mdr_dye_programme_times(p, t);
    assert_int_equal(t[KIT_RAMP].limit, MDR_DYE_LIMIT_HEAT);
    const double c = mdr_heat_capacity_kj_per_k(100, 1000, 500);
    CHECK_NEAR(t[KIT_RAMP].end_min - t[KIT_RAMP].start_min, c / 60.0 * log(110.0 / 90.0), 1e-6,
               "D: C/UA ln((Ts-T0)/(Ts-T1)), the dye's 20 L in it");
    p->steps[KIT_RAMP].to_c = 149.9;
    (void)mdr_dye_programme_times(p, t);
    assert_int_equal(t[KIT_RAMP].limit, MDR_DYE_LIMIT_UNREACHED);
    p->steps[KIT_RAMP].to_c = 35; /* heats only */
    (void)mdr_dye_programme_times(p, t);
    assert_int_equal(t[KIT_RAMP].limit, MDR_DYE_LIMIT_NOTHING);
    CHECK_NEAR(t[KIT_RUN].from_c, 40, 0, "D: it stays where it is");
    p->steps[KIT_RAMP].toward = 0;
    p->vessel.ua_kw_per_k = 50;
    p->steps[KIT_RAMP].rate_c_per_min = 1;
    (void)mdr_dye_programme_times(p, t);
    CHECK_NEAR(t[KIT_RUN].from_c, 35, 0, "D: either way");
    CHECK_NEAR(t[KIT_RAMP].end_min - t[KIT_RAMP].start_min, 5, 1e-9, "D: 5 degC at 1");
}

static void a_dose_by_its_curve(void **state)
{
    (void)state;
    mdr_dye_step s = kit_step(MDR_DYE_DOSE, 1);
    CHECK_NEAR(mdr_dye_step_given(&s, 0.25, 0), 0.25, 0, "D: evenly");
    s.exponent = 2;
    CHECK_NEAR(mdr_dye_step_given(&s, 0.5, 0), 0.25, 1e-15, "D: tau^2");
    s.portions = 4;
    CHECK_NEAR(mdr_dye_step_given(&s, 0.0, 0), 0, 0, "D: nothing yet");
    CHECK_NEAR(mdr_dye_step_given(&s, 0.1, 0), 0.25, 1e-15, "D: the first");
    CHECK_NEAR(mdr_dye_step_given(&s, 0.26, 0), 0.5, 1e-15, "D: the second");
    CHECK_NEAR(mdr_dye_step_given(&s, 0.26, 0.02), 0.375, 1e-12, "D: half of the second");
    CHECK_NEAR(mdr_dye_step_given(&s, 0.99, 0), 1, 1e-15, "D: all");
    CHECK_NEAR(mdr_dye_step_given(&s, 7, 0), 1, 0, "D: all");
    assert_string_equal(mdr_dye_gives_id(MDR_GIVES_ALKALI), "alkali");
    assert_null(mdr_dye_gives_id((mdr_dye_gives)99));
}

/* -- pH -- */

static double solved_ph(const mdr_dye_programme *p, const double *given, double temp_c)
{
    mdr_mix mix = {.temp_c = temp_c};
    for (int t = 0; t < MDR_TOTAL_COUNT; t++) {
        mix.mol_per_kg[t] = p->start_mol[t];
        for (int i = 0; i < p->n_steps; i++) {
            mix.mol_per_kg[t] += given[i] * p->steps[i].amount * p->steps[i].mol[t];
        }
        mix.mol_per_kg[t] /= p->conc_l;
    }
    return mdr_equil_ph(&mix);
}

static void ph_of_the_table(void **state)
{
    (void)state;
    mdr_dye_programme *p = kit_programme(arena, 1);
    /* some acid from before: the dose goes through its end point */
    p->start_mol[MDR_TOTAL_ACETATE] = 8.0;
    mdr_ph_table *t = table_of(p);
    double worst = 0, sour = 0;
    for (int k = 0; k <= 200; k++) {
        for (double temp_c = 22; temp_c < 100; temp_c += 11) {
            double given[KIT_STEPS] = {1, 1, 1, 1, k / 200.0, 0};
            const double ph = solved_ph(p, given, temp_c);
            double *of = ph < 6 ? &sour : &worst;
            *of = fmax(*of, fabs(mdr_ph_table_at(t, p, given, temp_c) - ph));
            given[KIT_SALT] = k / 200.0;
            given[KIT_DYE] = given[KIT_RAMP] = given[KIT_RUN] = given[KIT_SODA] = 0;
            sour = fmax(sour,
                        fabs(mdr_ph_table_at(t, p, given, temp_c) - solved_ph(p, given, temp_c)));
        }
    }
    CHECK_NEAR(worst, 0, 0.015, "O: mdr_equil, soda through the end point of the acid");
    CHECK_NEAR(sour, 0, 0.02, "O: mdr_equil, salt into acid");
    /* overlapping doses, other amounts: no table, no error */
    const double both[KIT_STEPS] = {0.5, 1, 1, 1, 0.5, 0}, all[KIT_STEPS] = {1, 1, 1, 1, 1, 1};
    CHECK_NEAR(mdr_ph_table_at(t, p, both, 60), solved_ph(p, both, 60), 1e-9, "O: mdr_equil");
    p->steps[KIT_SODA].amount = 1.3;
    CHECK_NEAR(mdr_ph_table_at(t, p, all, 60), solved_ph(p, all, 60), 1e-9, "O: mdr_equil");
    CHECK_NEAR(mdr_ph_table_at(t, p, all, 130), solved_ph(p, all, 100), 1e-9, "D: known to 100");
    mdr_dye_programme *water = kit_programme(arena, 1);
    water->n_steps = 1;
    water->steps[0] = kit_step(MDR_DYE_RUN, 1);
    water->start_mol[MDR_TOTAL_NA] = water->start_mol[MDR_TOTAL_CARBONATE] = 0;
    mdr_ph_table *none = table_of(water);
    const double nothing[1] = {1};
    CHECK_NEAR(mdr_ph_table_at(none, water, nothing, 40), 7, 0, "D: nothing dissolved");
}

static void variants_cost_no_equilibrium(void **state)
{
    (void)state;
    mdr_dye_programme *p = kit_programme(arena, 1);
    mdr_ph_table *t = table_of(p);
    (void)course_of(p, t);
    const long solved = mdr_ph_table_solved(t);
    p->steps[KIT_SODA].minutes = 55;
    p->steps[KIT_SODA].exponent = 3;
    p->steps[KIT_SALT].portions = 4;
    p->steps[KIT_RUN].minutes = 25;
    p->speed_m_per_min = 150;
    (void)course_of(p, t);
    /* the new curve asks between the same nodes at the same temperatures */
    assert_int_equal(mdr_ph_table_solved(t), solved);
    assert_true(solved < 400);
    /* a table that is made for more soda knows that bath */
    p->steps[KIT_SODA].amount = 1.3;
    mdr_ph_table *more = table_of(p);
    const mdr_dye_course c = course_of(p, more);
    const long once = mdr_ph_table_solved(more);
    (void)course_of(p, more);
    assert_int_equal(mdr_ph_table_solved(more), once);
    CHECK_NEAR(c.moments[c.n_moments - 1].sodium_mol_per_l, 1e-3 + 0.1 / 0.14204 + 0.039 / 0.10599,
               1e-9, "D: 1.3 x 15 g/L Na2CO3");
    CHECK_NEAR(c.alkali_g_per_l[c.n_moments - 1], 19.5, 1e-9, "D: 1.3 x 15 g/L");
}

/* -- the course -- */

static const mdr_dyeing_moment *at_min(const mdr_dye_course *c, double t_min)
{
    for (int i = 0; i < c->n_moments; i++) {
        if (fabs(c->moments[i].t_min - t_min) < 1e-9) {
            return &c->moments[i];
        }
    }
    fail_msg("no corner at %g min", t_min);
    return NULL;
}

static void the_bath_over_time(void **state)
{
    (void)state;
    const mdr_dye_programme *p = kit_programme(arena, 2);
    const mdr_dye_course c = course_of(p, table_of(p));
    CHECK_NEAR(c.minutes, 170, 1e-9, "D: the steps");
    CHECK_NEAR(c.dye_min, 20, 1e-9, "D: behind the salt");
    CHECK_NEAR(c.alkali_min, 80, 1e-9, "D: behind the run");
    for (int i = 1; i < c.n_moments; i++) {
        assert_true(c.moments[i].t_min > c.moments[i - 1].t_min);
        assert_true(c.moments[i].liquor_l >= c.moments[i - 1].liquor_l - 1e-9);
    }
    CHECK_NEAR(c.moments[0].liquor_l, 980, 0, "D: start");
    CHECK_NEAR(at_min(&c, 50)->liquor_l, 1000, 1e-9, "D: the dye's 20 L");
    CHECK_NEAR(at_min(&c, 20)->sodium_mol_per_l, 1e-3 + 0.1 / 0.14204, 1e-9, "D: 50 g/L Na2SO4");
    CHECK_NEAR(at_min(&c, 110)->sodium_mol_per_l, 1e-3 + 0.1 / 0.14204 + 0.03 / 0.10599, 1e-9,
               "D: and 15 g/L Na2CO3");
    CHECK_NEAR(at_min(&c, 60)->temp_c, 50, 1e-9, "D: half of the ramp");
    CHECK_NEAR(c.salt_g_per_l[c.n_moments - 1], 50, 1e-9, "D: given");
    CHECK_NEAR(c.alkali_g_per_l[c.n_moments - 1], 15, 1e-9, "D: given");
    assert_int_equal(c.n_doses, 2);
    assert_int_equal(c.doses[1].dye, 1);
    CHECK_NEAR(c.doses[1].kg, 2, 0, "D: given");
    CHECK_NEAR(c.doses[0].start_min, 20, 1e-9, "D: its step");
    assert_true(!c.moments[c.n_moments - 1].oxidises);
}

static void portions_in_the_course(void **state)
{
    (void)state;
    mdr_dye_programme *p = kit_programme(arena, 1);
    p->steps[KIT_SALT].portions = 4;
    p->steps[KIT_DYE].portions = 3;
    const mdr_dye_course c = course_of(p, table_of(p));
    const double per_l = 0.1 / 0.14204;
    CHECK_NEAR(at_min(&c, 5)->sodium_mol_per_l, 1e-3 + per_l / 4, 1e-9, "D: one of four");
    CHECK_NEAR(at_min(&c, 5 + MDR_DYE_JUMP_MIN)->sodium_mol_per_l, 1e-3 + per_l / 2, 1e-9,
               "D: two of four");
    assert_int_equal(c.doses[0].portions, 3);
}

/* Pigment has no affinity: it goes on when it is reduced. */
static void vat_dye_waits_for_its_reducer(void **state)
{
    (void)state;
    mdr_dye_programme *p = kit_programme(arena, 1);
    p->oxidises = true;
    p->steps[KIT_SODA].reduces = true;
    mdr_dye_course c = course_of(p, table_of(p));
    CHECK_NEAR(c.doses[0].start_min, 80, 1e-9, "D: with the reducer");
    CHECK_NEAR(c.doses[0].minutes, 30, 0, "D: with the reducer");
    assert_true(c.moments[c.n_moments - 1].oxidises);
    p->steps[KIT_SALT].reduces = true;
    c = course_of(p, table_of(p));
    CHECK_NEAR(c.doses[0].start_min, 20, 1e-9, "D: the bath reduces already");
}

/* -- errors -- */

static void bad(const mdr_dye_programme *p, const char *place)
{
    mdr_err err = {0};
    assert_int_not_equal(mdr_dye_programme_check(p, &err), MDR_OK);
    assert_string_equal(err.place, place);
    mdr_ph_table *t = NULL;
    assert_int_not_equal(mdr_ph_table_make(p, arena, &t, NULL), MDR_OK);
    assert_null(t);
}

#define BAD(member, v, place)                            \
    do {                                                 \
        mdr_dye_programme *p_ = kit_programme(arena, 1); \
        p_->member = (v);                                \
        bad(p_, (place));                                \
    } while (0)

static void what_a_programme_cannot_be(void **state)
{
    (void)state;
    BAD(n_steps, 0, "n_steps");
    BAD(n_steps, MDR_DYE_STEPS_MAX + 1, "n_steps");
    BAD(n_dyes, 0, "n_dyes");
    BAD(n_dyes, MDR_DYE_DYES_MAX + 1, "n_dyes");
    BAD(start_c, (double)NAN, "start_c");
    BAD(start_l, 0, "start_l");
    BAD(conc_l, -1, "conc_l");
    BAD(start_mol[2], -1e-9, "start_mol");
    BAD(speed_m_per_min, 99, "speed_m_per_min");
    BAD(speed_m_per_min, 301, "speed_m_per_min");
    BAD(vessel.load_kg, 0, "vessel.load_kg");
    BAD(vessel.steel_kg, -1, "vessel.steel_kg");
    BAD(vessel.ua_kw_per_k, 0, "vessel.ua_kw_per_k");
    BAD(vessel.steam_c, 20, "vessel.steam_c");
    BAD(vessel.cooling_c, 99, "vessel.cooling_c");
    BAD(vessel.steam_max_kw, -1, "vessel.steam_max_kw");
    BAD(vessel.heat_max_c_per_min, 0, "vessel.heat_max_c_per_min");
    BAD(vessel.cool_max_c_per_min, (double)INFINITY, "vessel.cool_max_c_per_min");
    BAD(steps[KIT_SODA].minutes, 0, "steps[4].minutes");
    BAD(steps[KIT_RUN].minutes, -1, "steps[3].minutes");
    BAD(steps[KIT_SODA].exponent, 0, "steps[4].exponent");
    BAD(steps[KIT_SODA].portions, 1, "steps[4].portions");
    BAD(steps[KIT_SODA].amount, 3.5, "steps[4].amount");
    BAD(steps[KIT_SODA].offset_min, -1, "steps[4].offset_min");
    BAD(steps[KIT_SODA].volume_l, -1, "steps[4].volume_l");
    BAD(steps[KIT_DYE].amount, 0.9, "steps[1].amount");
    BAD(steps[KIT_DYE].dye_kg[0], (double)NAN, "steps[1].dye_kg");
    BAD(steps[KIT_RAMP].to_c, 151, "steps[2].to_c");
    BAD(steps[KIT_RAMP].rate_c_per_min, -1, "steps[2].rate_c_per_min");
    BAD(steps[KIT_FIX].mol[0], (double)INFINITY, "steps[5].mol");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steps_follow_one_another),
        cmocka_unit_test(a_dose_beside_takes_no_time),
        cmocka_unit_test(what_the_machine_cannot_do),
        cmocka_unit_test(a_dose_by_its_curve),
        cmocka_unit_test(ph_of_the_table),
        cmocka_unit_test(variants_cost_no_equilibrium),
        cmocka_unit_test(the_bath_over_time),
        cmocka_unit_test(portions_in_the_course),
        cmocka_unit_test(vat_dye_waits_for_its_reducer),
        cmocka_unit_test(what_a_programme_cannot_be),
    };
    return cmocka_run_group_tests(tests, make, drop);
}
