#include "t.h"

#include "core/exhaust/mdr_donnan.h"

static const double V = MDR_DONNAN_COTTON_L_PER_KG, COO = MDR_DONNAN_COTTON_CARBOXYL_MOL_PER_KG;

/* Part on the fibre with the dye's own sodium counted in the bath, its co-ion not. */
static double with_own_sodium(double kj, double z, double coo, double nacl, double dye,
                              double ratio)
{
    double low = 0, high = 1;
    for (int i = 0; i < 60; i++) {
        const double part = 0.5 * (low + high), c = dye * (1 - part) / ratio;
        const double na = nacl + z * c;
        const double x = mdr_donnan_sodium_mol_per_kg(coo + z * dye * part, V, na, nacl);
        const double on = mdr_donnan_affinity(kj, 60) * exp(mdr_donnan_ln_space(z, V, na, x)) * c;
        *(on > dye * part ? &low : &high) = part;
    }
    return 0.5 * (low + high);
}

/* 60 degC, 10 L/kg, 0.02 mol/kg unless it says otherwise. Leaving the dye's own sodium out, as the
 * dyebath does, moves the result by less than 0.012, and by less than 0.003 from 0.25 mol/L on. */
static void table(void **state)
{
    (void)state;
    static const struct {
        double z, kj, nacl, ratio, dye, part, coo;
    } ROWS[] = {{2, 12, 0.1, 10, 0.02, 0.4412, 0},      {2, 12, 0.25, 10, 0.02, 0.5345, 0},
                {2, 12, 0.5, 10, 0.02, 0.5768, 0},      {2, 12, 1, 10, 0.02, 0.6006, 0},
                {2, 16, 0.1, 10, 0.02, 0.6891, 0},      {2, 16, 0.25, 10, 0.02, 0.8005, 0},
                {2, 16, 0.5, 10, 0.02, 0.8398, 0},      {2, 16, 1, 10, 0.02, 0.8587, 0},
                {3, 16, 0.1, 10, 0.02, 0.5155, 0},      {3, 16, 0.25, 10, 0.02, 0.7012, 0},
                {3, 16, 0.5, 10, 0.02, 0.7897, 0},      {3, 16, 1, 10, 0.02, 0.8348, 0},
                {2, 14, 0.5, 5, 0.02, 0.8363, 0},       {2, 14, 0.5, 10, 0.02, 0.7264, 0},
                {2, 14, 0.5, 20, 0.02, 0.5829, 0},      {2, 14, 0.5, 10, 0.005, 0.7629, 0},
                {2, 14, 0.5, 10, 0.05, 0.6584, 0},      {2, 14, 0.1, 10, 0.02, 0.4987, 0.01},
                {2, 14, 0.1, 10, 0.02, 0.3743, 0.03},   {2, 14, 0.1, 10, 0.02, 0.2349, 0.06},
                {2, 14, 0.5, 10, 0.02, 0.6745, 0.03},   {3, 16, 0.5, 10, 0.02, 0.7271, 0.03},
                {3, 16, 0.25, 10, 0.001, 0.7489, 0.03}, {3, 16, 1, 10, 0.001, 0.8504, 0.03},
                {4, 18, 0.5, 10, 0.0002, 0.8933, 0.03}, {4, 18, 0.1, 10, 0.0002, 0.1432, 0.06}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const double part = with_own_sodium(ROWS[i].kj, ROWS[i].z, ROWS[i].coo, ROWS[i].nacl,
                                            ROWS[i].dye, ROWS[i].ratio);
        CHECK_NEAR(part, ROWS[i].part, 6e-5, "O: the same equations in Python");
        CHECK_NEAR(mdr_donnan_exhaustion(mdr_donnan_affinity(ROWS[i].kj, 60), ROWS[i].z, V,
                                         ROWS[i].coo, ROWS[i].nacl, ROWS[i].dye, ROWS[i].ratio),
                   part, ROWS[i].nacl < 0.2 ? 0.012 : 0.003, "D: the dye's own sodium is little");
    }
}

static void electroneutrality(void **state)
{
    (void)state;
    for (double z = 0; z < 0.5; z += 0.07) {
        for (double na = 0.001; na < 3; na *= 3) {
            const double x = mdr_donnan_sodium_mol_per_kg(z, V, na, 0.8 * na);
            const double cl = V * V * na * 0.8 * na / x;
            CHECK_NEAR(x, z + cl, 1e-12, "D: sodium balances dye and co-ion in the fibre");
        }
    }
    CHECK_NEAR(mdr_donnan_sodium_mol_per_kg(0.03, V, 0, 0), 0.03, 1e-17, "D: only the dye's own");
    CHECK_NEAR(mdr_donnan_sodium_mol_per_kg(0, V, 0.5, 0.5), V * 0.5, 1e-16,
               "D: bare fibre holds the bath");
}

static void partition(void **state)
{
    (void)state;
    const double k = mdr_donnan_affinity(15, 60);
    CHECK_NEAR(k, exp(15 / (8.314462618e-3 * 333.15)), 1e-9 * k, "D: definition");
    CHECK_NEAR(mdr_donnan_partition_l_per_kg(k, 0, V, 0.3, 0.1), k * V, 1e-12 * k,
               "D: no charge, no salt");
    CHECK_NEAR(mdr_donnan_partition_l_per_kg(k, 2, V, 0, 0.1), 0, 0, "D: no sodium, no dye");
    CHECK_NEAR(mdr_donnan_partition_l_per_kg(k, 2, V, 0, 0), 0, 0, "D: nor with a bare fibre");
    CHECK_NEAR(mdr_donnan_partition_l_per_kg(k, 2, V, 0.4, 0), k * V, 1e-12 * k,
               "D: bare fibre, salt of any strength");
    const double x = mdr_donnan_sodium_mol_per_kg(0.06, V, 0.4, 0.4);
    CHECK_NEAR(mdr_donnan_partition_l_per_kg(k, 3, V, 0.4, 0.06), k * pow(V, 4) * pow(0.4 / x, 3),
               1e-12 * k, "D: the formula of the header");
    CHECK_NEAR(exp(mdr_donnan_ln_space(3, V, 0.4, x)), pow(V, 4) * pow(0.4 / x, 3), 1e-14,
               "D: the formula of the header");
}

/* More salt, shorter liquor, less dye: more on the fibre. Another dye there: less. */
static void directions(void **state)
{
    (void)state;
    const double k = mdr_donnan_affinity(14, 60);
    double before = 0;
    for (double na = 0.02; na < 2; na *= 1.5) {
        const double part = mdr_donnan_exhaustion(k, 3, V, COO, na, 0.02, 10);
        assert_true(part > before && part < 1);
        before = part;
    }
    assert_true(mdr_donnan_exhaustion(k, 2, V, COO, 0.5, 0.02, 5) >
                mdr_donnan_exhaustion(k, 2, V, COO, 0.5, 0.02, 10));
    assert_true(mdr_donnan_exhaustion(k, 2, V, COO, 0.5, 0.01, 10) >
                mdr_donnan_exhaustion(k, 2, V, COO, 0.5, 0.02, 10));
    assert_true(mdr_donnan_partition_l_per_kg(k, 2, V, 0.3, 0.02) >
                mdr_donnan_partition_l_per_kg(k, 2, V, 0.3, 0.08));
    assert_true(mdr_donnan_affinity(14, 40) > mdr_donnan_affinity(14, 80));
}

/* Cotton with more carboxyl groups took up less of a direct dye at pH 7, and the less salt the more so; S:
 * abstract of chrysophenine-oxycellulose, which prints no numbers. */
static void carboxyl_repels(void **state)
{
    (void)state;
    const double k = mdr_donnan_affinity(18, 60);
    double ratio_before = 0;
    for (double na = 0.02; na < 2; na *= 2) {
        const double cotton = mdr_donnan_exhaustion(k, 2, V, 0.01, na, 0.002, 20);
        const double oxidised = mdr_donnan_exhaustion(k, 2, V, 0.1, na, 0.002, 20);
        assert_true(oxidised < cotton);
        assert_true(oxidised / cotton > ratio_before);
        ratio_before = oxidised / cotton;
    }
}

/* What pale shades turn on: the paler, the more of salt's work is done against the fibre's own charge. With
 * none, salt would do nothing to the last trace of dye. */
static void salt_works_on_a_trace(void **state)
{
    (void)state;
    const double k = mdr_donnan_affinity(14, 60);
    const double thin = 0.2, thick = 0.4, trace = 1e-9;
    const double vt = V * thin, vk = V * thick;
    const double xt = 0.5 * (COO + sqrt(COO * COO + 4 * vt * vt));
    const double xk = 0.5 * (COO + sqrt(COO * COO + 4 * vk * vk));
    const double pt = k * V * pow(vt / xt, 3), pk = k * V * pow(vk / xk, 3);
    CHECK_NEAR(mdr_donnan_exhaustion(k, 3, V, COO, thin, trace, 10), pt / (pt + 10), 1e-7,
               "D: by hand, the dye's own charge is nothing");
    CHECK_NEAR(mdr_donnan_exhaustion(k, 3, V, COO, thick, trace, 10), pk / (pk + 10), 1e-7,
               "D: the same");
    CHECK_NEAR(mdr_donnan_exhaustion(k, 3, V, 0, thick, trace, 10),
               mdr_donnan_exhaustion(k, 3, V, 0, thin, trace, 10), 1e-6,
               "D: without the fibre's charge salt does nothing to a trace");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(carboxyl_repels), cmocka_unit_test(salt_works_on_a_trace),
        cmocka_unit_test(table),           cmocka_unit_test(electroneutrality),
        cmocka_unit_test(partition),       cmocka_unit_test(directions)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
