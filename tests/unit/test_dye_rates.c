#include "t.h"

#include <stddef.h>
#include <string.h>

#include "core/bath/mdr_equil.h"
#include "core/exhaust/mdr_donnan.h"
#include "core/exhaust/mdr_dye_rates.h"
#include "dyeing_kit.h"

static mdr_dye_rates_at when(const mdr_dye_rates *d, double temp_c, double ph)
{
    return mdr_dye_rates_when(d, temp_c, mdr_dye_hydroxide(temp_c, ph));
}

static void at_the_reference(void **state)
{
    (void)state;
    mdr_dye_rates d = kit_reactive();
    d.fibre_hydrolysis = 0.3;
    const mdr_dye_rates_at r = when(&d, MDR_EXHAUST_REF_C, MDR_EXHAUST_REF_PH);
    CHECK_NEAR(r.diffusion_per_min, d.diffusion_per_min, 1e-15, "D: reference");
    CHECK_NEAR(r.fix_per_min, d.fix_per_min, 1e-12, "D: reference");
    CHECK_NEAR(r.hydrolysis_per_min, d.hydrolysis_per_min, 1e-12, "D: reference");
    CHECK_NEAR(r.fibre_hydrolysis_per_min, 0.3 * d.hydrolysis_per_min, 1e-12, "D: reference");
    CHECK_NEAR(r.affinity, mdr_donnan_affinity(16, 60), 1e-9, "D: reference");
    CHECK_NEAR(r.hydrolysed_affinity, mdr_donnan_affinity(15, 60), 1e-9, "D: reference");
}

static void hydroxide(void **state)
{
    (void)state;
    for (double t = 0; t <= 100; t += 12.5) {
        CHECK_NEAR(log10(mdr_dye_hydroxide(t, 10.5)), 10.5 + mdr_equil_constants_at(t).water, 1e-12,
                   "D: pH - pKw");
    }
    CHECK_NEAR(log10(mdr_dye_hydroxide(60, 11)), 11 - 13.015, 6e-4, "S: pKw of 60 degC");
}

static void temperature(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_dye_arrhenius(80, 60), 1, 0, "D: reference");
    CHECK_NEAR(mdr_dye_arrhenius(80, 70), exp(80 / 8.314462618e-3 * (1 / 333.15 - 1 / 343.15)),
               1e-12, "D: Arrhenius");
    CHECK_NEAR(mdr_dye_arrhenius(0, 20), 1, 0, "D: no activation");
    /* 0.0101 at 70 and 0.0599 at 95 degC give 75 kJ/mol */
    CHECK_NEAR(mdr_dye_arrhenius(74.8, 95) / mdr_dye_arrhenius(74.8, 70), 0.0599 / 0.0101, 0.02,
               "S: hydrolysis of a monochlorotriazine dye, abstract");
    /* d ln K / d(1/T) = -dH/R */
    const double h = -35, t = 50, e = 1e-3;
    const double up =
        mdr_dye_affinity_kj_per_mol(15, h, t + e) / (8.314462618e-3 * (273.15 + t + e));
    const double down =
        mdr_dye_affinity_kj_per_mol(15, h, t - e) / (8.314462618e-3 * (273.15 + t - e));
    CHECK_NEAR((up - down) / (1 / (273.15 + t + e) - 1 / (273.15 + t - e)), -h / 8.314462618e-3,
               1e-3, "D: van 't Hoff");
    assert_true(mdr_dye_affinity_kj_per_mol(15, h, 80) < 15);
    const mdr_dye_rates d = kit_reactive();
    assert_true(when(&d, 80, 10).affinity < when(&d, 60, 10).affinity);
    assert_true(when(&d, 80, 10).diffusion_per_min > when(&d, 60, 10).diffusion_per_min);
}

static void alkali(void **state)
{
    (void)state;
    const mdr_dye_rates d = kit_reactive();
    CHECK_NEAR(when(&d, 60, 9).fix_per_min / when(&d, 60, 8).fix_per_min, 10, 0.02,
               "M: ten times a pH while little is ionised");
    CHECK_NEAR(when(&d, 60, 10).hydrolysis_per_min / when(&d, 60, 8).hydrolysis_per_min, 100, 1e-9,
               "D: in proportion");
    const double rise = when(&d, 60, 12).fix_per_min / when(&d, 60, 11).fix_per_min;
    assert_true(rise > 4 && rise < 8); /* M: levels off above 11 */
    const double pkw = -mdr_equil_constants_at(60).water;
    const double half = when(&d, 60, pkw + log10(MDR_CELLULOSATE_HALF)).fix_per_min;
    CHECK_NEAR(half / when(&d, 60, 14).fix_per_min, 0.5 * (9.66 + 0.1) / 9.66, 2e-3,
               "D: half ionised there; a = 9.66 at pH 14");
    const mdr_dye_rates direct = kit_direct();
    CHECK_NEAR(when(&direct, 90, 12).fix_per_min, 0, 0, "D: a direct dye fixes nothing");
    CHECK_NEAR(when(&direct, 90, 12).hydrolysis_per_min, 0, 0, "D: nor hydrolyses");
}

static void closed_forms(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_dye_fixed_part(2, 0.6), 0.75, 1e-15, "O: handbook example");
    CHECK_NEAR(mdr_dye_fixed_part(5, 0.8), 0.95238, 1e-5, "O: handbook example");
    CHECK_NEAR(mdr_dye_fixed_part(3, 1), 1, 0, "D: all on the fibre");
    CHECK_NEAR(mdr_dye_fixed_part(3, 0), 0, 0, "D: none on the fibre");
    static const struct {
        double t_min, temp_c;
    } ISO[] = {{0, 43.51}, {20, 46.15}, {40, 49.76}, {60, 55.39}, {70, 60.00}, {80, 68.19}};
    for (size_t i = 0; i < N_OF(ISO); i++) {
        CHECK_NEAR(mdr_dye_isoreactive_c(0.05, 80, 0.9, 0.01, ISO[i].t_min), ISO[i].temp_c, 6e-3,
                   "D: k 0.05, 80 kJ, end 0.9, 1 % a minute");
    }
    /* and the rate is what was asked for */
    for (double t = 0; t < 85; t += 7) {
        const double c = mdr_dye_isoreactive_c(0.05, 80, 0.9, 0.01, t);
        CHECK_NEAR(0.05 * mdr_dye_arrhenius(80, c) * (0.9 - 0.01 * t), 0.01, 1e-14, "D: dE/dt");
    }
}

static void wrong_numbers(void **state)
{
    (void)state;
    static const struct {
        size_t offset;
        const char *name;
        double bad[3];
    } B[] = {
#define ROW(m, a, b)                    \
    {                                   \
        offsetof(mdr_dye_rates, m), #m, \
        {                               \
            a, b, NAN                   \
        }                               \
    }
        ROW(molar_kg_per_mol, 0.04, 800),
        ROW(charge, -1, 13),
        ROW(affinity_kj_per_mol, -21, 81),
        ROW(enthalpy_kj_per_mol, -201, 201),
        ROW(diffusion_per_min, 0, 101),
        ROW(diffusion_ea_kj_per_mol, -1, 201),
        ROW(fix_per_min, -1e-9, 1001),
        ROW(fix_ea_kj_per_mol, -1, 201),
        ROW(hydrolysis_per_min, -1e-9, INFINITY),
        ROW(hydrolysis_ea_kj_per_mol, -1, 201),
        ROW(fibre_hydrolysis, -0.01, 1.01),
        ROW(hydrolysed_affinity_kj_per_mol, -21, 81),
#undef ROW
    };
    mdr_err err;
    mdr_dye_rates d = kit_reactive();
    assert_int_equal(mdr_dye_rates_check(&d, NULL), MDR_OK);
    for (size_t i = 0; i < N_OF(B); i++) {
        for (size_t k = 0; k < 3; k++) {
            d = kit_reactive();
            memcpy((char *)&d + B[i].offset, &B[i].bad[k], sizeof(double));
            memset(&err, 0, sizeof err);
            assert_int_equal(mdr_dye_rates_check(&d, &err), MDR_E_RANGE);
            assert_string_equal(err.place, B[i].name);
            assert_true(err.allowed[0] != '\0' && err.value[0] != '\0');
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(at_the_reference), cmocka_unit_test(hydroxide),
        cmocka_unit_test(temperature),      cmocka_unit_test(alkali),
        cmocka_unit_test(closed_forms),     cmocka_unit_test(wrong_numbers)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
