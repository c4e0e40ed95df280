/* The dyebath against exact solutions. Levelness and wrong questions: test_dyeing_level.c,
 * test_dyeing_ask.c; other programs: oracle/test_dyeing_cvode.c. */
#include "t.h"

#include "core/exhaust/mdr_donnan.h"
#include "core/exhaust/mdr_dyeing.h"
#include "dyeing_kit.h"
#include "dyeing_run.h"

enum { ROOT_UPTAKE, ROOT_Q1, ROOT_COLS = 7 };
extern const double crank_roots[][ROOT_COLS];
extern const int crank_roots_rows;
enum { UPTAKE_END, UPTAKE_AT, TIMES = 14, UPTAKE_HALF = UPTAKE_AT + TIMES, UPTAKE_COLS };
extern const double crank_uptake[][UPTAKE_COLS];
static const double TAU[TIMES] = {0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05,
                                  0.1,    0.15,  0.2,   0.3,   0.4,  0.5,  1};

static const double RT = 8.314462618e-3 * 333.15, V = MDR_DONNAN_COTTON_L_PER_KG,
                    COO = MDR_DONNAN_COTTON_CARBOXYL_MOL_PER_KG;

/* 1 kg of fabric at 10 L/kg, all dye at once at the beginning, 60 degC. */
static mdr_dyeing_moment flat[2];
static mdr_dyeing_dose shot;
static mdr_dyeing_in beaker(const mdr_dye_rates *dye, double minutes, double sodium, double ph)
{
    flat[0] = (mdr_dyeing_moment){
        .t_min = 0, .temp_c = 60, .liquor_l = 10, .sodium_mol_per_l = sodium, .ph = ph};
    flat[1] = flat[0];
    flat[1].t_min = minutes;
    shot = (mdr_dyeing_dose){.kg = 0.01};
    return (mdr_dyeing_in){.dyes = dye,
                           .course = flat,
                           .doses = &shot,
                           .rope = {.load_kg = 1,
                                    .tube_share = {1},
                                    .held_l_per_kg = 2.5,
                                    .cycle_min = 1,
                                    .zone_fraction = 1,
                                    .exchange_per_min = 1e3,
                                    .tubes = 1},
                           .sample_min = minutes,
                           .n_dyes = 1,
                           .n_moments = 2,
                           .n_doses = 1,
                           .slices = 1};
}

/* No charge, so a constant partition, which takes up `part` of the dye in the end. */
static mdr_dye_rates uncharged(double part, double ratio)
{
    mdr_dye_rates d = kit_direct();
    d.charge = 0;
    d.affinity_kj_per_mol = RT * log(part / (1 - part) * ratio / V);
    return d;
}

/* A stirred bath of limited volume, unmoved: Crank's series. */
static void limited_bath(void **state)
{
    (void)state;
    for (int i = 1; i < crank_roots_rows; i++) {
        const double end = crank_uptake[i][UPTAKE_END] / 100;
        mdr_dye_rates dye = uncharged(end, 10);
        dye.diffusion_per_min = 0.01;
        mdr_dyeing_in in = beaker(&dye, 100, 0.5, 7);
        in.modes = MDR_CYLINDER_MODES_MAX;
        in.steps_per_turn = 20;
        in.sample_min = 0.05;
        const mdr_dyeing *d = run(&in);
        for (int k = 0; k < TIMES; k++) {
            if (TAU[k] > 0.004) {
                const int s = (int)lround(TAU[k] / (dye.diffusion_per_min * in.sample_min));
                CHECK_NEAR(d->t_min[s], TAU[k] / dye.diffusion_per_min, 1e-9, "D: sample");
                CHECK_NEAR(d->on_fibre[s] / end, crank_uptake[i][UPTAKE_AT + k], 3e-3,
                           "O: Crank's series");
            }
        }
        /* the end of it is one exponential, with the first root */
        const int a = 400, b = 600;
        const double gap = log((end - d->on_fibre[a]) / (end - d->on_fibre[b]));
        const double q = crank_roots[i][ROOT_Q1];
        CHECK_NEAR(sqrt(gap / (dye.diffusion_per_min * (d->t_min[b] - d->t_min[a]))), q, 4e-3 * q,
                   "D: Crank's first root");
    }
}

/* What is left when nothing moves any more: the equilibrium, alone and of two dyes. */
static void at_the_end(void **state)
{
    (void)state;
    mdr_dye_rates dyes[2] = {kit_direct(), kit_direct()};
    dyes[0].diffusion_per_min = dyes[1].diffusion_per_min = 0.2;
    mdr_dyeing_in in = beaker(dyes, 300, 0.3, 7);
    const mdr_dyeing *one = run(&in);
    const double k = mdr_donnan_affinity(dyes[0].affinity_kj_per_mol, 60);
    const double want =
        mdr_donnan_exhaustion(k, 2, V, COO, 0.3, 0.01 / dyes[0].molar_kg_per_mol, 10);
    CHECK_NEAR(mdr_dyeing_last(one, one->on_fibre, 0), want, 1e-8, "D: equilibrium of the load");
    /* twice the same dye is one dye of twice the amount */
    mdr_dyeing_dose both[2] = {{.kg = 0.005}, {.kg = 0.005, .dye = 1}};
    in.n_dyes = 2;
    in.doses = both;
    in.n_doses = 2;
    const mdr_dyeing *two = run(&in);
    CHECK_NEAR(mdr_dyeing_last(two, two->on_fibre, 0), want, 1e-8, "D: share and share alike");
    CHECK_NEAR(mdr_dyeing_last(two, two->on_fibre, 1), want, 1e-8, "D: share and share alike");
    /* and a weaker one loses more by company than by itself */
    dyes[1].affinity_kj_per_mol = 16;
    in.n_doses = 2;
    const mdr_dyeing *mixed = run(&in);
    mdr_dyeing_in alone = beaker(&dyes[1], 300, 0.3, 7);
    shot.kg = 0.005;
    const mdr_dyeing *weak = run(&alone);
    assert_true(mdr_dyeing_last(mixed, mixed->on_fibre, 1) + 0.01 <
                mdr_dyeing_last(weak, weak->on_fibre, 0));
}

/* All active dye is at its equilibrium at any time, so F = r phi / (r phi + 1 - phi). */
static void fixed_or_hydrolysed(void **state)
{
    (void)state;
    for (double part = 0.2; part < 0.95; part += 0.15) {
        mdr_dye_rates dye = uncharged(part, 10);
        dye.diffusion_per_min = 90;
        dye.fix_per_min = 0.06;
        dye.hydrolysis_per_min = 0.02;
        dye.hydrolysed_affinity_kj_per_mol = 12;
        mdr_dyeing_in in = beaker(&dye, 2000, 0.5, 11);
        in.steps_per_turn = 10;
        const mdr_dyeing *d = run(&in);
        const double f = mdr_dyeing_last(d, d->fixed, 0);
        CHECK_NEAR(f, mdr_dye_fixed_part(3, part), 1e-3, "D: closed form");
        CHECK_NEAR(mdr_dyeing_last(d, d->hydrolysed, 0), 1 - f, 1e-9, "D: nothing is left active");
        /* the hydrolysed dye is at an equilibrium of its own */
        const double kappa = mdr_donnan_affinity(12, 60) * V;
        CHECK_NEAR(mdr_dyeing_last(d, d->on_fibre, 0) - f, (1 - f) * kappa / (kappa + 10), 1e-6,
                   "D: equilibrium");
        /* in the fibre as well: all dye goes one way or the other where it sits */
        dye.fibre_hydrolysis = 0.5;
        const mdr_dyeing *e = run(&in);
        CHECK_NEAR(mdr_dyeing_last(e, e->fixed, 0), 3 * part / (3 * part + 0.5 * part + 1 - part),
                   1e-3, "D: closed form");
    }
}

/* I1(m)/I0(m) by their series. */
static double bessel_ratio(double m)
{
    double i0 = 1, i1 = 1, term0 = 1, term1 = 1;
    for (int k = 1; k < 80; k++) {
        term0 *= m * m / 4 / (k * (double)k);
        term1 *= m * m / 4 / (k * (k + 1.0));
        i0 += term0;
        i1 += term1;
    }
    return m / 2 * i1 / i0;
}

/* A bath without end and a reaction faster than diffusion: dye fixes near the surface only. */
static void fixing_while_diffusing(void **state)
{
    (void)state;
    for (double m = 2; m < 11; m += 4) { /* Thiele modulus r sqrt(k/D) */
        mdr_dye_rates dye = uncharged(0.5, 10);
        dye.diffusion_per_min = 0.004;
        dye.fix_per_min = 0.004 * m * m;
        mdr_dyeing_in in = beaker(&dye, 800, 0.5, 11);
        flat[0].liquor_l = flat[1].liquor_l = 1e7;
        shot.kg = 1e4;
        in.modes = MDR_CYLINDER_MODES_MAX;
        in.sample_min = 400;
        in.steps_per_turn = 1;
        const mdr_dyeing *d = run(&in);
        const double per_min =
            (d->fixed[2] - d->fixed[1]) / 400 * shot.kg / dye.molar_kg_per_mol; /* mol/kg */
        const double surface = 10 * shot.kg / dye.molar_kg_per_mol / 1e7; /* partition 10 L/kg */
        CHECK_NEAR(per_min / (2 * surface * dye.diffusion_per_min * m * bessel_ratio(m)), 1, 2e-3,
                   "D: cylinder, reaction of first order");
        if (m > 9) {
            const double danckwerts = 2 * surface * sqrt(dye.diffusion_per_min * dye.fix_per_min);
            CHECK_NEAR(per_min / danckwerts, 1 - 0.5 / m, 0.01,
                       "D: Danckwerts, less the curvature of the surface");
        }
    }
}

/* Without salt no dye goes on: liquor and bath exchange, two stores with one eigenvalue. */
static void two_stores(void **state)
{
    (void)state;
    const mdr_dye_rates dye = kit_direct();
    mdr_dyeing_in in = beaker(&dye, 6, 0, 7);
    in.rope.exchange_per_min = 0.4;
    in.sample_min = 0.5;
    for (int n = 1; n <= 8; n *= 8) { /* slices that are all alike change nothing */
        in.slices = n;
        const mdr_dyeing *d = run(&in);
        for (int s = 0; s < d->n_samples; s++) {
            CHECK_NEAR(d->held[s], 0.25 * -expm1(-0.4 * (1 + 2.5 / 7.5) * d->t_min[s]),
                       n == 1 ? 3e-4 : 5e-3, "D: 2.5 L and 7.5 L");
            CHECK_NEAR(d->held[s] + d->bath_active[s], 1, 1e-12, "D: nothing else");
            CHECK_NEAR(d->on_fibre[s], 0, 0, "D: no sodium");
        }
    }
    in.slices = 1;
    in.steps_per_turn = 200;
    const mdr_dyeing *fine = run(&in);
    for (int s = 0; s < fine->n_samples; s++) {
        CHECK_NEAR(fine->held[s], 0.25 * -expm1(-0.4 * (1 + 2.5 / 7.5) * fine->t_min[s]), 2e-4,
                   "D: 2.5 L and 7.5 L");
    }
}

/* A nozzle with a bath so large that it does not change: a slice takes up 1 - exp(-x) each turn. */
static void nozzle(void **state)
{
    (void)state;
    const mdr_dye_rates dye = kit_direct();
    mdr_dyeing_in in = beaker(&dye, 10, 0, 7);
    flat[0].liquor_l = flat[1].liquor_l = 1e6;
    in.rope.cycle_min = 2;
    in.rope.zone_fraction = 0.05;
    in.rope.exchange_per_min = 8; /* x = 0.8 */
    in.slices = 20;
    in.sample_min = 2;
    const mdr_dyeing *d = run(&in);
    for (int s = 0; s < d->n_samples; s++) {
        CHECK_NEAR(d->held[s] * (1e6 / 2.5), 1 - exp(-0.8 * s), 2e-4, "D: s turns");
    }
}

/* The one slice of the beaker, step by step with Runge and Kutta. State: c, h, fixed, a, b; the bath is
 * the liquor. */
enum { MODES = 3, C = 0, H, F, A, B = A + MODES, STATE = B + MODES };

static mdr_dyeing_moment at(const mdr_dyeing_moment *m, int n, double t)
{
    int i = 0;
    while (i + 2 < n && m[i + 1].t_min <= t) {
        i++;
    }
    const double p = (t - m[i].t_min) / (m[i + 1].t_min - m[i].t_min);
    mdr_dyeing_moment now = m[i];
    now.temp_c += p * (m[i + 1].temp_c - m[i].temp_c);
    now.ph += p * (m[i + 1].ph - m[i].ph);
    now.sodium_mol_per_l += p * (m[i + 1].sodium_mol_per_l - m[i].sodium_mol_per_l);
    return now;
}

static void slopes(const mdr_dyeing_in *in, double t, const double *y, double *dy)
{
    const mdr_dye_rates *dye = in->dyes;
    const mdr_dyeing_moment m = at(in->course, in->n_moments, t);
    const mdr_dye_rates_at r = mdr_dye_rates_when(dye, m.temp_c, mdr_dye_hydroxide(m.temp_c, m.ph));
    const mdr_cylinder fibre = mdr_cylinder_of(MODES);
    double charge = y[F];
    for (int p = 0; p < 2 * MODES; p++) {
        charge += y[A + p];
    }
    const double na = m.sodium_mol_per_l, z = dye->charge;
    const double ka = mdr_donnan_partition_l_per_kg(r.affinity, z, V, na, COO + z * charge);
    const double kb =
        mdr_donnan_partition_l_per_kg(r.hydrolysed_affinity, z, V, na, COO + z * charge);
    const double ratio = m.liquor_l / in->rope.load_kg;
    dy[C] = -r.hydrolysis_per_min * y[C];
    dy[H] = r.hydrolysis_per_min * y[C];
    dy[F] = 0;
    for (int p = 0; p < MODES; p++) {
        const double fill = fibre.rate[p] * r.diffusion_per_min;
        const double a = fill * (fibre.weight[p] * ka * y[C] - y[A + p]);
        const double b = fill * (fibre.weight[p] * kb * y[H] - y[B + p]);
        const double turns = r.fibre_hydrolysis_per_min * y[A + p];
        dy[A + p] = a - r.fix_per_min * y[A + p] - turns;
        dy[B + p] = b + turns;
        dy[F] += r.fix_per_min * y[A + p];
        dy[C] -= a / ratio;
        dy[H] -= b / ratio;
    }
}

static void runge_kutta(const mdr_dyeing_in *in, double *y, double t, double h)
{
    double k[4][STATE], z[STATE];
    slopes(in, t, y, k[0]);
    for (int s = 1; s < 4; s++) {
        const double f = s == 3 ? h : 0.5 * h;
        for (int i = 0; i < STATE; i++) {
            z[i] = y[i] + f * k[s - 1][i];
        }
        slopes(in, t + f, z, k[s]);
    }
    for (int i = 0; i < STATE; i++) {
        y[i] += h / 6 * (k[0][i] + 2 * k[1][i] + 2 * k[2][i] + k[3][i]);
    }
}

/* Everything at once: ramp, salt, alkali, three charges, fixation, hydrolysis in liquor and fibre. */
static void plain_equations(void **state)
{
    (void)state;
    mdr_dye_rates dye = kit_reactive();
    dye.fibre_hydrolysis = 0.2;
    mdr_dyeing_in in = beaker(&dye, 90, 0.5, 7);
    const mdr_dyeing_moment course[] = {{0, 40, 10, 0.05, 7, false},
                                        {20, 60, 10, 0.6, 7, false},
                                        {30, 60, 10, 0.6, 9.5, false},
                                        {45, 60, 10, 0.8, 11.2, false},
                                        {90, 65, 10, 0.8, 11, false}};
    in.course = course;
    in.n_moments = 5;
    in.modes = MODES;
    in.sample_min = 5;
    in.steps_per_turn = 40;
    const mdr_dyeing *d = run(&in);
    double y[STATE] = {[C] = 0.01 / dye.molar_kg_per_mol / 10};
    const double all = y[C] * 10;
    for (int s = 1; s < d->n_samples; s++) {
        for (int k = 0; k < 2500; k++) {
            runge_kutta(&in, y, 5 * (s - 1) + k * 0.002, 0.002);
        }
        double on = y[F];
        for (int p = 0; p < 2 * MODES; p++) {
            on += y[A + p];
        }
        CHECK_NEAR(d->on_fibre[s], on / all, 2e-4, "O: Runge-Kutta of the plain equations");
        CHECK_NEAR(d->fixed[s], y[F] / all, 2e-4, "O: Runge-Kutta of the plain equations");
        CHECK_NEAR(d->bath_active[s] / 0.75, y[C] * 10 / all, 2e-4,
                   "O: Runge-Kutta of the plain equations");
        CHECK_NEAR(d->bath_hydrolysed[s] / 0.75, y[H] * 10 / all, 2e-4,
                   "O: Runge-Kutta of the plain equations");
    }
    assert_true(mdr_dyeing_last(d, d->fixed, 0) > 0.3); /* the course has come to something */
}

/* A dyeing that keeps its rate: the isoreactive course of temperature, for a dye whose uptake is the
 * one slow step: one mode, unlimited affinity. */
static void isoreactive(void **state)
{
    (void)state;
    enum { N = 86 };
    static mdr_dyeing_moment course[N];
    mdr_dye_rates dye = uncharged(0.9, 10);
    dye.enthalpy_kj_per_mol = -dye.affinity_kj_per_mol; /* K the same at every temperature */
    dye.diffusion_ea_kj_per_mol = 80;
    /* dE/dt = 8 D (kappa c - E) = 8 D (1 + kappa / 10) (0.9 - E) with one mode */
    dye.diffusion_per_min = 0.05 / (8 * (1 + 9));
    mdr_dyeing_in in = beaker(&dye, 1, 0.5, 7);
    for (int i = 0; i < N; i++) {
        course[i] = flat[0];
        course[i].t_min = i;
        course[i].temp_c = mdr_dye_isoreactive_c(0.05, 80, 0.9, 0.01, i);
    }
    /* no enthalpy in K(T) = exp(-dmu/RT) means -dmu in proportion to T */
    dye.enthalpy_kj_per_mol = 0;
    in.course = course;
    in.n_moments = N;
    in.modes = 1;
    in.sample_min = 10;
    const mdr_dyeing *d = run(&in);
    for (int s = 0; s < d->n_samples; s++) {
        CHECK_NEAR(d->on_fibre[s], 0.01 * d->t_min[s], 1e-3, "D: 1 % a minute");
    }
}

/* The oxidation of a vat dyeing: what is on stays, what is in the bath goes nowhere. */
static void oxidation(void **state)
{
    (void)state;
    const mdr_dye_rates dye = kit_direct();
    mdr_dyeing_in in = beaker(&dye, 60, 0.3, 12);
    const mdr_dyeing_moment course[] = {
        {0, 50, 10, 0.3, 12, false}, {30, 50, 10, 0.3, 12, true}, {60, 80, 10, 0.3, 9, false}};
    in.course = course;
    in.n_moments = 3;
    in.sample_min = 15;
    const mdr_dyeing *d = run(&in);
    assert_int_equal(d->n_samples, 5);
    CHECK_NEAR(d->fixed[1], 0, 0, "D: leuco dye is not fixed");
    assert_true(d->on_fibre[2] > d->on_fibre[1]);
    for (int s = 2; s < 5; s++) {
        CHECK_NEAR(d->fixed[s], d->on_fibre[2], 1e-14, "D: all of it, and it stays");
        CHECK_NEAR(d->on_fibre[s], d->on_fibre[2], 1e-14, "D: no more comes");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(limited_bath, fresh, clear),
        cmocka_unit_test_setup_teardown(at_the_end, fresh, clear),
        cmocka_unit_test_setup_teardown(fixed_or_hydrolysed, fresh, clear),
        cmocka_unit_test_setup_teardown(fixing_while_diffusing, fresh, clear),
        cmocka_unit_test_setup_teardown(two_stores, fresh, clear),
        cmocka_unit_test_setup_teardown(nozzle, fresh, clear),
        cmocka_unit_test_setup_teardown(plain_equations, fresh, clear),
        cmocka_unit_test_setup_teardown(isoreactive, fresh, clear),
        cmocka_unit_test_setup_teardown(oxidation, fresh, clear)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
