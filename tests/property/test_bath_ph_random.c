/* Any bath: the solver converges, charges balance, titration curves rise. */
#include "core/bath/mdr_equil.h"
#include "core/plan/mdr_records.h"
#include "t.h"

/* xorshift64*, a fixed seed: the same baths on every machine */
static uint64_t seed = 88172645463325252u;

static double uniform(void)
{
    seed ^= seed >> 12;
    seed ^= seed << 25;
    seed ^= seed >> 27;
    return (double)((seed * 2685821657736338717u) >> 11) / 9007199254740992.0;
}

static double sometimes(double most)
{
    return uniform() < 0.5 ? 0.0 : most * uniform() * uniform();
}

static const struct {
    int substance;
    double most_g_per_kg;
} PARTS[] = {{MDR_SUB_NAOH, 20},  {MDR_SUB_NA2CO3, 40},    {MDR_SUB_NAHCO3, 20},
             {MDR_SUB_NACL, 100}, {MDR_SUB_NA2SO4, 100},   {MDR_SUB_H2O2, 15},
             {MDR_SUB_HAC, 20},   {MDR_SUB_FORMIC, 20},    {MDR_SUB_CITRIC, 20},
             {MDR_SUB_H2SO4, 5},  {MDR_SUB_DITHIONITE, 20}};

static mdr_mix any_mix(void)
{
    mdr_mix mix = {.temp_c = 100.0 * uniform()};
    for (size_t i = 0; i < N_OF(PARTS); i++) {
        mdr_mix_add(&mix, PARTS[i].substance, sometimes(PARTS[i].most_g_per_kg));
    }
    return mix;
}

static void converges(void **state)
{
    (void)state;
    enum { BATHS = 100000 };
    int most = 0;
    for (int i = 0; i < BATHS; i++) {
        const mdr_mix mix = any_mix();
        assert_true(mdr_mix_valid(&mix));
        const mdr_equil_model model = mdr_equil_model_at(mix.temp_c);
        mdr_equil e, again;
        mdr_equil_solve(&model, &mix, -1.0, &e);
        if (!(e.charge_residue < 1e-12) || !(e.ph > -2.0 && e.ph < 15.0) || e.iterations >= 60) {
            fail_msg("bath %d: pH %.6f, residue %g, %d iterations", i, e.ph, e.charge_residue,
                     e.iterations);
        }
        double sum = 0.0, all = 0.0;
        for (int k = 0; k < MDR_ION_CHARGED; k++) {
            sum += mdr_ion_charge((mdr_ion)k) * e.mol_per_kg[k];
            all += fabs((double)mdr_ion_charge((mdr_ion)k)) * e.mol_per_kg[k];
        }
        CHECK_NEAR(e.charge_residue, fabs(sum / all), 1e-15, "D: the proof itself");
        mdr_equil_solve(&model, &mix, 14.0 * uniform(), &again);
        CHECK_NEAR(again.ph, e.ph, 1e-8, "the same bath from another start");
        most = e.iterations > most ? e.iterations : most;
    }
    print_message("most iterations: %d\n", most);
}

/* Mass: what went in is found again in the forms. */
static void forms_add_up(void **state)
{
    (void)state;
    for (int i = 0; i < 2000; i++) {
        const mdr_mix mix = any_mix();
        const mdr_equil_model model = mdr_equil_model_at(mix.temp_c);
        mdr_equil e;
        mdr_equil_solve(&model, &mix, -1.0, &e);
        const double *m = e.mol_per_kg, *t = mix.mol_per_kg;
        const double near = 1e-12;
        CHECK_NEAR(m[MDR_ION_CO3] + m[MDR_ION_HCO3] + m[MDR_ION_CO2], t[MDR_TOTAL_CARBONATE], near,
                   "mass balance");
        CHECK_NEAR(m[MDR_ION_SO4] + m[MDR_ION_HSO4], t[MDR_TOTAL_SO4], near, "mass balance");
        CHECK_NEAR(m[MDR_ION_ACETATE] + e.acetic_mol_per_kg, t[MDR_TOTAL_ACETATE], near,
                   "mass balance");
        CHECK_NEAR(m[MDR_ION_HO2] + e.peroxide_mol_per_kg, t[MDR_TOTAL_PEROXIDE], near,
                   "mass balance");
        CHECK_NEAR(m[MDR_ION_CIT] + m[MDR_ION_HCIT] + m[MDR_ION_H2CIT] + e.citric_mol_per_kg,
                   t[MDR_TOTAL_CITRATE], near, "mass balance");
    }
}

/* More caustic never lowers the pH, more acid never raises it. */
static void titration_is_monotone(void **state)
{
    (void)state;
    static const struct {
        int substance;
        double sign;
    } TITRANTS[] = {{MDR_SUB_NAOH, 1.0},
                    {MDR_SUB_HAC, -1.0},
                    {MDR_SUB_FORMIC, -1.0},
                    {MDR_SUB_CITRIC, -1.0},
                    {MDR_SUB_H2SO4, -1.0}};
    for (int i = 0; i < 1000; i++) {
        const mdr_mix start = any_mix();
        const mdr_equil_model model = mdr_equil_model_at(start.temp_c);
        const size_t which = (size_t)i % N_OF(TITRANTS);
        double before = 0.0;
        for (int step = 0; step <= 60; step++) {
            mdr_mix mix = start;
            mdr_equil e;
            mdr_mix_add(&mix, TITRANTS[which].substance, 0.15 * step);
            mdr_equil_solve(&model, &mix, -1.0, &e);
            if (step > 0 && !(TITRANTS[which].sign * (e.ph - before) > 0.0)) {
                fail_msg("mix %d, titrant %zu, step %d at %.1f degC: pH %.9f after %.9f", i, which,
                         step, start.temp_c, e.ph, before);
            }
            before = e.ph;
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(converges),
        cmocka_unit_test(forms_add_up),
        cmocka_unit_test(titration_is_monotone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
