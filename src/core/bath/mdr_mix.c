/* What a bath is made of, in totals. */
#include <math.h>

#include "core/bath/mdr_equil.h"
#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

static const double MOST_IONIC = 6.0; /* mol/kg: the parameters were fitted up to there */

/* Totals in one mole of a substance. */
typedef struct parts {
    double of[MDR_TOTAL_COUNT];
} parts;

static parts parts_of(int substance)
{
    switch ((mdr_substance)substance) {
    case MDR_SUB_NAOH:
        return (parts){{[MDR_TOTAL_NA] = 1}};
    case MDR_SUB_NA2CO3:
        return (parts){{[MDR_TOTAL_NA] = 2, [MDR_TOTAL_CARBONATE] = 1}};
    case MDR_SUB_NAHCO3:
        return (parts){{[MDR_TOTAL_NA] = 1, [MDR_TOTAL_CARBONATE] = 1}};
    case MDR_SUB_NACL:
        return (parts){{[MDR_TOTAL_NA] = 1, [MDR_TOTAL_CL] = 1}};
    case MDR_SUB_NA2SO4:
    case MDR_SUB_DITHIONITE:
        return (parts){{[MDR_TOTAL_NA] = 2, [MDR_TOTAL_SO4] = 1}};
    case MDR_SUB_H2SO4:
        return (parts){{[MDR_TOTAL_SO4] = 1}};
    case MDR_SUB_HAC:
        return (parts){{[MDR_TOTAL_ACETATE] = 1}};
    case MDR_SUB_FORMIC:
        return (parts){{[MDR_TOTAL_FORMATE] = 1}};
    case MDR_SUB_CITRIC:
        return (parts){{[MDR_TOTAL_CITRATE] = 1}};
    case MDR_SUB_H2O2:
        return (parts){{[MDR_TOTAL_PEROXIDE] = 1}};
    case MDR_SUB_OTHER:
    case MDR_SUB_DYE:
    case MDR_SUB_ENZYME:
    case MDR_SUB_SEQUESTRANT:
    case MDR_SUB_CATALASE:
        break;
    }
    return (parts){{0}};
}

void mdr_mix_add(mdr_mix *mix, int substance, double g_per_kg)
{
    const double molar = mdr_substance_molar_g_per_mol(substance);
    if (!(molar > 0.0)) {
        return;
    }
    const parts p = parts_of(substance);
    for (int i = 0; i < MDR_TOTAL_COUNT; i++) {
        mix->mol_per_kg[i] += p.of[i] * g_per_kg / molar;
    }
}

/* Ionic strength if everything were dissociated as far as alkali goes. */
static double most_ionic(const mdr_mix *mix)
{
    static const double Z2[MDR_TOTAL_COUNT] = {
        [MDR_TOTAL_NA] = 1,        [MDR_TOTAL_CL] = 1,      [MDR_TOTAL_SO4] = 4,
        [MDR_TOTAL_CARBONATE] = 4, [MDR_TOTAL_ACETATE] = 1, [MDR_TOTAL_FORMATE] = 1,
        [MDR_TOTAL_CITRATE] = 9,   [MDR_TOTAL_PEROXIDE] = 1};
    double sum = 0.0;
    for (int i = 0; i < MDR_TOTAL_COUNT; i++) {
        sum += 0.5 * Z2[i] * mix->mol_per_kg[i];
    }
    return sum;
}

bool mdr_mix_valid(const mdr_mix *mix)
{
    for (int i = 0; i < MDR_TOTAL_COUNT; i++) {
        if (!(mix->mol_per_kg[i] >= 0.0)) {
            return false;
        }
    }
    return mix->temp_c >= 0.0 && mix->temp_c <= 100.0 && most_ionic(mix) <= MOST_IONIC;
}

bool mdr_mix_known(const mdr_mix *mix)
{
    static const double TOO_THIN_MOL_PER_KG = 1e-5;
    double all = 0.0;
    for (int i = 0; i < MDR_TOTAL_COUNT; i++) {
        all += mix->mol_per_kg[i];
    }
    return all >= TOO_THIN_MOL_PER_KG && mdr_mix_valid(mix);
}

mdr_code mdr_mix_check(const mdr_mix *mix, mdr_err *err)
{
    static const char *const NAMES[MDR_TOTAL_COUNT] = {
        [MDR_TOTAL_NA] = "sodium",       [MDR_TOTAL_CL] = "chloride",
        [MDR_TOTAL_SO4] = "sulphate",    [MDR_TOTAL_CARBONATE] = "carbonate",
        [MDR_TOTAL_ACETATE] = "acetate", [MDR_TOTAL_FORMATE] = "formate",
        [MDR_TOTAL_CITRATE] = "citrate", [MDR_TOTAL_PEROXIDE] = "peroxide"};
    if (!(mix->temp_c >= 0.0 && mix->temp_c <= 100.0)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "temp_c",
                                     "the equilibria are known from 0 to 100 degC only");
        mdr_err_value(err, "%g", mix->temp_c);
        mdr_err_allowed(err, "0 to 100 degC");
        mdr_err_remedy(err, "ask for a temperature below boiling");
        return rc;
    }
    for (int i = 0; i < MDR_TOTAL_COUNT; i++) {
        if (!(mix->mol_per_kg[i] >= 0.0)) {
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_RANGE, NAMES[i], "a bath cannot hold less than 0");
            mdr_err_value(err, "%g mol/kg", mix->mol_per_kg[i]);
            mdr_err_allowed(err, "0 or more");
            mdr_err_remedy(err, "correct the amount");
            return rc;
        }
    }
    const double ionic = most_ionic(mix);
    if (!(ionic <= MOST_IONIC)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "ionic strength",
                                     "the bath is more concentrated than the model knows");
        mdr_err_value(err, "%g mol/kg", ionic);
        mdr_err_allowed(err, "0 to %g mol/kg", MOST_IONIC);
        mdr_err_remedy(err, "check the amounts: they are g per litre of bath, not of the tank");
        return rc;
    }
    return MDR_OK;
}

/* How much of the carbonate is hydrogen carbonate by the count of charges: 0 soda .. 1 bicarb. */
static double bicarbonate_share(const double *t)
{
    const double acids = t[MDR_TOTAL_CL] + 2.0 * t[MDR_TOTAL_SO4] + t[MDR_TOTAL_ACETATE] +
                         t[MDR_TOTAL_FORMATE] + 3.0 * t[MDR_TOTAL_CITRATE];
    if (!(t[MDR_TOTAL_CARBONATE] > 0.0)) {
        return 0.0;
    }
    return fmin(1.0, fmax(0.0, 2.0 - (t[MDR_TOTAL_NA] - acids) / t[MDR_TOTAL_CARBONATE]));
}

double mdr_equil_uncertainty_ph(const mdr_mix *mix)
{
    static const double BICARBONATE = 0.085, SODA = 0.03, SULPHATE = 0.10, CHLORIDE = 0.16;
    static const double BEYOND = 1.5, COVERED_G_PER_KG = 50.0;
    /* no model was compared on these: the constants are from memory */
    static const double PEROXIDE = 0.15, CITRATE = 0.10, SOME_MOL_PER_KG = 1e-3;
    const double *t = mix->mol_per_kg;
    double base = SODA + (BICARBONATE - SODA) * bicarbonate_share(t);
    if (t[MDR_TOTAL_PEROXIDE] > SOME_MOL_PER_KG) {
        base = fmax(base, PEROXIDE);
    }
    if (t[MDR_TOTAL_CITRATE] > SOME_MOL_PER_KG) {
        base = fmax(base, CITRATE);
    }
    const double all = most_ionic(mix);
    if (!(all > 0.0)) {
        return base;
    }
    /* a salt brings its anion's share and that of the sodium with it */
    const double chloride = fmin(1.0, t[MDR_TOTAL_CL] / all);
    const double sulphate = fmin(1.0, 3.0 * t[MDR_TOTAL_SO4] / all);
    const double both =
        base + fmax(0.0, CHLORIDE - base) * chloride + fmax(0.0, SULPHATE - base) * sulphate;
    const double salt_g = t[MDR_TOTAL_CL] * mdr_substance_molar_g_per_mol(MDR_SUB_NACL) +
                          t[MDR_TOTAL_SO4] * mdr_substance_molar_g_per_mol(MDR_SUB_NA2SO4);
    const bool covered =
        salt_g <= COVERED_G_PER_KG * (1.0 + 1e-9) && mix->temp_c >= 20.0 && mix->temp_c <= 80.0;
    return covered ? both : BEYOND * both;
}

/* -- how much of one substance brings the mix to a pH -- */

typedef struct search {
    mdr_equil_model model;
    mdr_mix mix;
    int substance;
} search;

static double ph_with(const search *s, double g_per_kg)
{
    mdr_mix mix = s->mix;
    mdr_equil result;
    mdr_mix_add(&mix, s->substance, g_per_kg);
    mdr_equil_solve(&s->model, &mix, -1.0, &result);
    return result.ph;
}

static const double CLOSE_PH = 1e-7;

static mdr_code not_reached(double target_ph, double ph, double most_g_per_kg, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_INFEAS, "target_ph", "this amount does not bring the bath there");
    mdr_err_value(err, "pH %.2f at %g g/L", ph, most_g_per_kg);
    mdr_err_allowed(err, "pH %.2f was asked for", target_ph);
    mdr_err_remedy(err, "take a stronger one, or allow more of it");
    return rc;
}

mdr_code mdr_equil_need(const mdr_mix *mix, int substance, double target_ph, double most_g_per_kg,
                        double *g_per_kg, mdr_err *err)
{
    const bool acid = mdr_substance_acid_mol_per_kg(substance) > 0.0;
    if (!acid && !(mdr_substance_alkali_mol_per_kg(substance) > 0.0)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "substance", "it is neither acid nor alkali");
        mdr_err_allowed(err, "an acid or an alkali");
        return rc;
    }
    search s = {.mix = *mix, .substance = substance};
    mdr_mix most = *mix;
    mdr_mix_add(&most, substance, most_g_per_kg);
    MDR_TRY(mdr_mix_check(&most, err));
    s.model = mdr_equil_model_at(mix->temp_c);
    const double sign = acid ? -1.0 : 1.0; /* pH rises with alkali, falls with acid */
    if (sign * (ph_with(&s, 0.0) - target_ph) > -CLOSE_PH) { /* there already */
        *g_per_kg = 0.0;
        return MDR_OK;
    }
    const parts p = parts_of(substance);
    const double molar = mdr_substance_molar_g_per_mol(substance);
    const double need =
        molar * mdr_equil_amount_mol_per_kg(&s.model, mix, p.of, target_ph, most_g_per_kg / molar);
    if (need > 0.0 && need <= most_g_per_kg && fabs(ph_with(&s, need) - target_ph) < CLOSE_PH) {
        *g_per_kg = need;
        return MDR_OK;
    }
    const double there = ph_with(&s, most_g_per_kg);
    if (sign * (there - target_ph) < 0.0) {
        return not_reached(target_ph, there, most_g_per_kg, err);
    }
    double low = 0.0, high = most_g_per_kg; /* not expected: slow and sure */
    for (int i = 0; i < 60 && high - low > 1e-9 * high; i++) {
        const double middle = 0.5 * (low + high);
        if (sign * (ph_with(&s, middle) - target_ph) < 0.0) {
            low = middle;
        } else {
            high = middle;
        }
    }
    *g_per_kg = high;
    return MDR_OK;
}
