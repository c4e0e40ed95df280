#include "core/exhaust/mdr_dye_rates.h"

#include <math.h>
#include <stddef.h>

#include "core/bath/mdr_equil.h"
#include "core/exhaust/mdr_donnan.h"

static const double GAS_KJ_PER_MOL_K = 8.314462618e-3; /* CODATA 2018 */
static const double KELVIN = 273.15;                   /* definition */
/* mdr_dye_hydroxide at the reference; the test computes it again */
static const double HYDROXIDE_REF = 0.009654292750544895;
static const double LN_10 = 2.302585092994046;

/* Wide enough for any dye, narrow enough to catch a unit taken for another. */
static const struct bound {
    const char *name;
    size_t offset;
    double low, high;
} BOUNDS[] = {
#define ROW(member, low, high)                              \
    {                                                       \
#member, offsetof(mdr_dye_rates, member), low, high \
    }
    ROW(molar_kg_per_mol, 0.05, 10.0),     ROW(charge, 0.0, 12.0),
    ROW(affinity_kj_per_mol, -20.0, 80.0), ROW(enthalpy_kj_per_mol, -200.0, 200.0),
    ROW(diffusion_per_min, 1e-9, 100.0),   ROW(diffusion_ea_kj_per_mol, 0.0, 200.0),
    ROW(fix_per_min, 0.0, 1000.0),         ROW(fix_ea_kj_per_mol, 0.0, 200.0),
    ROW(hydrolysis_per_min, 0.0, 1000.0),  ROW(hydrolysis_ea_kj_per_mol, 0.0, 200.0),
    ROW(fibre_hydrolysis, 0.0, 1.0),       ROW(hydrolysed_affinity_kj_per_mol, -20.0, 80.0),
#undef ROW
};

mdr_code mdr_dye_rates_check(const mdr_dye_rates *dye, mdr_err *err)
{
    for (size_t i = 0; i < sizeof BOUNDS / sizeof BOUNDS[0]; i++) {
        const struct bound *b = &BOUNDS[i];
        const double v = *(const double *)(const void *)((const char *)dye + b->offset);
        if (!(v >= b->low && v <= b->high)) { /* true for NaN */
            const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, b->name, "no rate of a dye");
            mdr_err_value(err, "%g", v);
            mdr_err_allowed(err, "%g to %g", b->low, b->high);
            mdr_err_remedy(err, "check the unit");
            return rc;
        }
    }
    return MDR_OK;
}

double mdr_dye_hydroxide(double temp_c, double ph)
{
    return exp(LN_10 * (mdr_equil_constants_at(temp_c).water + ph));
}

/* 1/RT at the reference less 1/RT */
static double coldness(double temp_c)
{
    return (1.0 / (MDR_EXHAUST_REF_C + KELVIN) - 1.0 / (temp_c + KELVIN)) / GAS_KJ_PER_MOL_K;
}

double mdr_dye_arrhenius(double ea_kj_per_mol, double temp_c)
{
    return exp(ea_kj_per_mol * coldness(temp_c));
}

/* d(-dmu0 / RT)/d(1/T) = -dH0 / R: the affinity over T goes on a straight line in 1/T */
double mdr_dye_affinity_kj_per_mol(double affinity_kj_per_mol, double enthalpy_kj_per_mol,
                                   double temp_c)
{
    const double ratio = (temp_c + KELVIN) / (MDR_EXHAUST_REF_C + KELVIN);
    return affinity_kj_per_mol * ratio - enthalpy_kj_per_mol * (1.0 - ratio);
}

static double ionised(double hydroxide)
{
    return hydroxide / (hydroxide + MDR_CELLULOSATE_HALF);
}

mdr_dye_rates_at mdr_dye_rates_heated(const mdr_dye_rates *dye, double temp_c)
{
    const double h0 = dye->enthalpy_kj_per_mol;
    return (mdr_dye_rates_at){
        .diffusion_per_min =
            dye->diffusion_per_min * mdr_dye_arrhenius(dye->diffusion_ea_kj_per_mol, temp_c),
        .fix_per_min = dye->fix_per_min > 0.0
                           ? dye->fix_per_min * mdr_dye_arrhenius(dye->fix_ea_kj_per_mol, temp_c)
                           : 0.0,
        .hydrolysis_per_min = mdr_dye_hydrolysis_per_min(dye, temp_c, HYDROXIDE_REF),
        .affinity = mdr_donnan_affinity(
            mdr_dye_affinity_kj_per_mol(dye->affinity_kj_per_mol, h0, temp_c), temp_c),
        .hydrolysed_affinity = mdr_donnan_affinity(
            mdr_dye_affinity_kj_per_mol(dye->hydrolysed_affinity_kj_per_mol, h0, temp_c), temp_c)};
}

mdr_dye_rates_at mdr_dye_rates_alkaline(const mdr_dye_rates *dye, const mdr_dye_rates_at *heated,
                                        double hydroxide)
{
    mdr_dye_rates_at r = *heated;
    r.fix_per_min *= ionised(hydroxide) / ionised(HYDROXIDE_REF);
    r.hydrolysis_per_min *= hydroxide / HYDROXIDE_REF;
    r.fibre_hydrolysis_per_min = dye->fibre_hydrolysis * r.hydrolysis_per_min;
    return r;
}

mdr_dye_rates_at mdr_dye_rates_when(const mdr_dye_rates *dye, double temp_c, double hydroxide)
{
    const mdr_dye_rates_at heated = mdr_dye_rates_heated(dye, temp_c);
    return mdr_dye_rates_alkaline(dye, &heated, hydroxide);
}

double mdr_dye_hydrolysis_per_min(const mdr_dye_rates *dye, double temp_c, double hydroxide)
{
    return dye->hydrolysis_per_min > 0.0
               ? dye->hydrolysis_per_min *
                     mdr_dye_arrhenius(dye->hydrolysis_ea_kj_per_mol, temp_c) *
                     (hydroxide / HYDROXIDE_REF)
               : 0.0;
}

double mdr_dye_fixed_part(double ratio, double on_fibre)
{
    return ratio * on_fibre / (ratio * on_fibre + 1.0 - on_fibre);
}

double mdr_dye_isoreactive_c(double k_ref_per_min, double ea_kj_per_mol, double end, double per_min,
                             double t_min)
{
    const double k = per_min / (end - per_min * t_min);
    const double inverse = 1.0 / (MDR_EXHAUST_REF_C + KELVIN) -
                           GAS_KJ_PER_MOL_K / ea_kj_per_mol * log(k / k_ref_per_min);
    return 1.0 / inverse - KELVIN;
}
