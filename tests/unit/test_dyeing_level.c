/* The dyebath on a moving rope: what makes it level, how the numerics converge, circulation theory. */
#include "t.h"

#include "core/exhaust/mdr_donnan.h"
#include "core/exhaust/mdr_dyeing.h"
#include "dyeing_jet.h"

static const double V = MDR_DONNAN_COTTON_L_PER_KG, COO = MDR_DONNAN_COTTON_CARBOXYL_MOL_PER_KG;

static double most(const mdr_dyeing *d, const double *v)
{
    double m = 0;
    for (int s = 0; s < d->n_samples; s++) {
        m = fmax(m, v[s]);
    }
    return m;
}

static void slower_dose(void **state)
{
    (void)state;
    double before = HUGE_VAL;
    for (double minutes = 2.5; minutes < 50; minutes *= 2) {
        const mdr_dyeing_in in = jet(minutes);
        const double now = unlevel(run(&in));
        assert_true(now < 0.9 * before);
        before = now;
    }
}

static void machine(void **state)
{
    (void)state;
    mdr_dyeing_in in = jet(10);
    const double usual = unlevel(run(&in));
    in.rope.cycle_min = 1.5; /* a faster reel, or a shorter rope */
    in.rope.exchange_per_min = 150;
    assert_true(unlevel(run(&in)) < 0.8 * usual);
    in.rope.cycle_min = 5; /* a longer rope */
    assert_true(unlevel(run(&in)) > 1.3 * usual);
    /* more flow, when the flow is what is short: all of the rope comes through equally, but takes more at a
     * time from a bath that is not yet even */
    in = jet(10);
    in.rope.exchange_per_min = 5;
    const mdr_dyeing *slow = run(&in);
    in.rope.exchange_per_min = 40;
    const mdr_dyeing *fast = run(&in);
    assert_true(mdr_dyeing_last(fast, fast->spread, 0) <
                0.9 * mdr_dyeing_last(slow, slow->spread, 0));
    assert_true(most(fast, fast->on_fibre) > most(slow, slow->on_fibre));
}

/* The same uptake in time, once steered by salt, once by dye: the salt is more level, for the liquor in
 * the rope then is as even as the bath. */
static void salt_is_more_level_than_dye(void **state)
{
    (void)state;
    mdr_dyeing_in in = jet(40);
    in.steps_per_turn = 48; /* what is seen of a slice on its way is 8 % off with the usual ones */
    const mdr_dyeing *by_dye = run(&in);
    /* all dye is in and even before the salt comes, in such steps that the equilibrium rises as the dose
     * did, a little faster */
    enum { KNOTS = 21 };
    static mdr_dyeing_moment salt[KNOTS + 2];
    const double k = mdr_donnan_affinity(dye.affinity_kj_per_mol, 60);
    const double all = dose.kg / dye.molar_kg_per_mol / 200;
    const double end = mdr_donnan_exhaustion(k, 2, V, COO, 0.3, all, 8);
    salt[0] = course[0];
    salt[0].sodium_mol_per_l = 0;
    for (int i = 0; i < KNOTS; i++) {
        double low = 0, high = 0.3;
        for (int j = 0; j < 40; j++) {
            const double na = 0.5 * (low + high);
            const double part = mdr_donnan_exhaustion(k, 2, V, COO, na, all, 8);
            *(part < end * i / (KNOTS - 1) ? &low : &high) = na;
        }
        salt[i + 1] = salt[0];
        salt[i + 1].t_min = 10 + 36.0 * i / (KNOTS - 1);
        salt[i + 1].sodium_mol_per_l = high;
    }
    salt[KNOTS + 1] = salt[KNOTS];
    salt[KNOTS + 1].t_min = 70;
    dose.minutes = 0;
    in.course = salt;
    in.n_moments = KNOTS + 2;
    const mdr_dyeing *by_salt = run(&in);
    const double pace_dye = most(by_dye, by_dye->strike_per_contact_pct);
    const double pace_salt = most(by_salt, by_salt->strike_per_contact_pct);
    assert_true(pace_salt > 1.2 * pace_dye); /* the faster one, and yet */
    assert_true(unlevel(by_salt) < 0.9 * unlevel(by_dye));
}

static void unequal_tubes(void **state)
{
    (void)state;
    mdr_dyeing_in in = jet(10);
    in.rope.tubes = 2;
    in.rope.tube_share[0] = in.rope.tube_share[1] = 0.5;
    const mdr_dyeing *even = run(&in);
    for (int s = 0; s < even->n_samples; s++) {
        for (int j = 0; j < 25; j++) {
            const float *map = even->map + s * 50;
            CHECK_NEAR((double)map[j], (double)map[25 + j], 1e-9, "D: the tubes are alike");
        }
    }
    in.rope.tube_share[0] = 0.4;
    in.rope.tube_share[1] = 0.6;
    const mdr_dyeing *uneven = run(&in);
    double mean[2] = {0, 0};
    const float *map = uneven->map + 12 * 50; /* soon after the dose */
    for (int j = 0; j < 50; j++) {
        mean[j / 25] += (double)map[j] / 25;
    }
    assert_true(mean[0] > 1.1 * mean[1]); /* the shorter rope comes round more often */
    assert_true(unlevel(uneven) > unlevel(even));
    /* shares weigh: the mass of dye is the whole */
    const double on = (0.4 * mean[0] + 0.6 * mean[1]) * in.rope.load_kg / dose.kg;
    CHECK_NEAR(on, uneven->on_fibre[12], 1e-6, "D: mass balance");
    /* as one rope, it is the rope */
    in.rope.tubes = 1;
    in.rope.tube_share[0] = 1;
    const mdr_dyeing *one = run(&in);
    CHECK_NEAR(mdr_dyeing_last(one, one->on_fibre, 0), mdr_dyeing_last(even, even->on_fibre, 0),
               1e-9, "D: two equal tubes are one");
}

static void uneven_preparation(void **state)
{
    (void)state;
    static double pace[25];
    mdr_dyeing_in in = jet(10);
    for (int j = 0; j < 25; j++) {
        pace[j] = j < 5 ? 0.5 : 1;
    }
    in.rope.slice_uptake = pace;
    const mdr_dyeing *d = run(&in);
    const float *map = d->map + 20 * 25;
    for (int j = 5; j < 25; j++) {
        for (int k = 0; k < 5; k++) {
            assert_true((double)map[k] < 0.9 * (double)map[j]);
        }
    }
    for (int j = 0; j < 25; j++) {
        pace[j] = 1;
    }
    const mdr_dyeing *even = run(&in);
    in.rope.slice_uptake = NULL;
    const mdr_dyeing *none = run(&in);
    CHECK_NEAR(mdr_dyeing_last(even, even->on_fibre, 0), mdr_dyeing_last(none, none->on_fibre, 0),
               0, "D: all alike is none");
}

/* With dye that the fibre drinks up whenever it can, the uptake is what rope and pump bring: the liquor of
 * the rope once a turn when the fibre only drinks outside the zone; the flow of the pump when it
 * drinks at once. */
static void circulation(void **state)
{
    (void)state;
    mdr_dyeing_in in = jet(0);
    dye.affinity_kj_per_mol = 50;
    dye.charge = 0;
    course[1].t_min = 10;
    in.slices = 100;
    in.steps_per_turn = 200;
    in.rope.zone_fraction = 0.002;
    in.rope.exchange_per_min = 3000; /* 5 ms of 0.005 min: x = 15 */
    dye.diffusion_per_min = 1e-8;    /* times a partition of 1.5e7 L/kg */
    const mdr_dyeing *rope = run(&in);
    for (int s = 1; s < rope->n_samples; s++) {
        const double per_turn = 500.0 / (1600 - 500);
        CHECK_NEAR(rope->bath_active[s], exp(-per_turn * rope->t_min[s] / 2.5), 0.03,
                   "D: circulation theory, one liquor of the rope a turn");
    }
    in.rope.zone_fraction = 0.02;
    in.rope.exchange_per_min = 4; /* x = 0.2: 40 L/min */
    dye.diffusion_per_min = 1e-3;
    const mdr_dyeing *pump = run(&in);
    for (int s = 0; s < pump->n_samples; s++) {
        CHECK_NEAR(pump->bath_active[s], exp(-40.0 / 1100 * pump->t_min[s]), 2e-3,
                   "D: circulation theory, flow over volume");
    }
    /* contacts count both */
    CHECK_NEAR(pump->contacts[4], 4 / 2.5 + 4 * 1500.0 / 1600, 1e-9, "D: turns of rope and bath");
    CHECK_NEAR(pump->strike_per_contact_pct[4],
               100 * (pump->on_fibre[4] - pump->on_fibre[3]) / (1 / 2.5 + 1500.0 / 1600), 1e-9,
               "D: definition, of one minute");
}

static double apart(const mdr_dyeing *a, const mdr_dyeing *b)
{
    return fabs(mdr_dyeing_last(a, a->on_fibre, 0) - mdr_dyeing_last(b, b->on_fibre, 0));
}

/* Over the whole course, what comes and goes with single slices evened out. */
static double apart_all_along(const mdr_dyeing *a, const mdr_dyeing *b)
{
    double sum = 0;
    for (int s = 0; s < a->n_samples; s++) {
        sum += fabs(a->on_fibre[s] - b->on_fibre[s]);
    }
    return sum / a->n_samples;
}

static void convergence(void **state)
{
    (void)state;
    double error[3];
    mdr_dyeing_in in = jet(10);
    course[1].t_min = 30;
    in.sample_min = 4.73; /* off the times at which slices come to the zone */
    in.rope.zone_fraction = 0.25;
    in.rope.exchange_per_min = 6;
    in.slices = 8;
    in.modes = 3;
    in.steps_per_turn = 1536;
    const mdr_dyeing *exact = run(&in);
    for (int i = 0; i < 3; i++) {
        in.steps_per_turn = 48 << i;
        error[i] = apart(run(&in), exact);
    }
    assert_true(error[0] < 1e-4);
    order("steps", error, 3, 2, 1.8);

    in.steps_per_turn = 96;
    in.slices = 400;
    in.sample_min = 0.37;
    exact = run(&in);
    for (int i = 0; i < 3; i++) {
        in.slices = 5 << i;
        error[i] = apart_all_along(run(&in), exact);
    }
    assert_true(error[2] < 1e-4);
    order("slices", error, 3, 2, 1.2);

    in.slices = 10;
    in.steps_per_turn = 96;
    in.modes = MDR_CYLINDER_MODES_MAX;
    exact = run(&in);
    for (int i = 0; i < 3; i++) {
        in.modes = 2 << i;
        error[i] = apart_all_along(run(&in), exact);
    }
    assert_true(error[1] < 8e-3 && error[2] < 1e-3);
    order("modes", error, 3, 2, 1.8);
}

/* Portions and doses at once fall when they should, also at the very ends. */
static void doses(void **state)
{
    (void)state;
    mdr_dyeing_in in = jet(10);
    mdr_dyeing_dose list[] = {{.start_min = 10, .minutes = 20, .kg = 1, .portions = 4},
                              {.start_min = 5, .kg = 0.5},
                              {.start_min = 20, .minutes = 10, .kg = 2, .exponent = 2},
                              {.start_min = 60, .kg = 0.5}};
    in.doses = list;
    in.n_doses = 4;
    const mdr_dyeing *d = run(&in);
    static const struct {
        int t;
        double kg;
    } G[] = {{0, 0},     {4, 0},     {5, 0.5}, {9, 0.5},  {10, 0.75}, {14, 0.75}, {15, 1},
             {20, 1.25}, {22, 1.33}, {25, 2},  {30, 3.5}, {59, 3.5},  {60, 4}};
    for (size_t i = 0; i < N_OF(G); i++) {
        CHECK_NEAR(d->given[G[i].t] * 4, G[i].kg, 1e-9, "D: by hand");
    }
    for (int s = 0; s < d->n_samples; s++) {
        CHECK_NEAR(d->bath_active[s] + d->bath_hydrolysed[s] + d->held[s] + d->on_fibre[s],
                   d->given[s], 1e-9, "D: mass balance");
    }
}

/* Portions are doses at once: the same to the last digits, also between two samples. */
static void portions_are_doses(void **state)
{
    (void)state;
    mdr_dyeing_in in = jet(10);
    mdr_dyeing_dose one = {.start_min = 0.3, .minutes = 10, .kg = 4, .portions = 4};
    mdr_dyeing_dose four[4];
    for (int i = 0; i < 4; i++) {
        four[i] = (mdr_dyeing_dose){.start_min = 0.3 + 2.5 * i, .kg = 1};
    }
    in.sample_min = 7;
    in.doses = &one;
    const mdr_dyeing *a = run(&in);
    in.doses = four;
    in.n_doses = 4;
    const mdr_dyeing *b = run(&in);
    for (int s = 0; s < a->n_samples; s++) {
        CHECK_NEAR(a->given[s], b->given[s], 1e-12, "D: the same");
        CHECK_NEAR(a->on_fibre[s], b->on_fibre[s], 1e-6, "D: the same");
    }
}

/* A bath that no rope touches, heated at one pH: the integral of its rate. */
static void bath_by_itself(void **state)
{
    (void)state;
    mdr_dyeing_in in = jet(0);
    dye = kit_reactive();
    course[0].temp_c = 40;
    course[0].ph = course[1].ph = 10.8;
    course[1].temp_c = 80;
    in.rope.exchange_per_min = 0;
    in.sample_min = 20;
    const mdr_dyeing *d = run(&in);
    double area = 0;
    for (int i = 0; i <= 600; i++) { /* Simpson */
        const double t = i * 0.1, c = 40 + t * 40 / 60;
        const double k = mdr_dye_rates_when(&dye, c, mdr_dye_hydroxide(c, 10.8)).hydrolysis_per_min;
        area += (i == 0 || i == 600 ? 1 : i % 2 == 1 ? 4 : 2) * k * 0.1 / 3;
    }
    CHECK_NEAR(mdr_dyeing_last(d, d->bath_active, 0), exp(-area), 1e-5, "D: integral of the rate");
    CHECK_NEAR(mdr_dyeing_last(d, d->bath_hydrolysed, 0), 1 - exp(-area), 1e-5, "D: the rest");
    assert_true(exp(-area) < 0.5);
}

/* Liquor that comes later thins the bath. */
static void more_liquor(void **state)
{
    (void)state;
    mdr_dyeing_in in = jet(0);
    course[0].sodium_mol_per_l = 0; /* no uptake */
    course[1] = course[2] = course[3] = course[0];
    course[1].t_min = course[2].t_min = 30;
    course[2].liquor_l = 2000; /* at once */
    course[3].liquor_l = 2200;
    course[3].t_min = 90;
    in.n_moments = 4;
    const mdr_dyeing *d = run(&in);
    CHECK_NEAR(d->held[29], 500.0 / 1600, 2e-3, "D: everywhere alike");
    CHECK_NEAR(d->held[90], 500.0 / 2200, 4e-3, "D: thinner everywhere");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(slower_dose, fresh, clear),
        cmocka_unit_test_setup_teardown(machine, fresh, clear),
        cmocka_unit_test_setup_teardown(salt_is_more_level_than_dye, fresh, clear),
        cmocka_unit_test_setup_teardown(unequal_tubes, fresh, clear),
        cmocka_unit_test_setup_teardown(uneven_preparation, fresh, clear),
        cmocka_unit_test_setup_teardown(circulation, fresh, clear),
        cmocka_unit_test_setup_teardown(convergence, fresh, clear),
        cmocka_unit_test_setup_teardown(doses, fresh, clear),
        cmocka_unit_test_setup_teardown(portions_are_doses, fresh, clear),
        cmocka_unit_test_setup_teardown(bath_by_itself, fresh, clear),
        cmocka_unit_test_setup_teardown(more_liquor, fresh, clear)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
