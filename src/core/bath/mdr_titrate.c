#include "core/bath/mdr_titrate.h"

#include <math.h>
#include <stdbool.h>

#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

/* invented: beyond these a decimal point has slipped */
static const double SAMPLE_MAX_ML = 10000.0, TITRANT_MAX_ML = 1000.0, TITRANT_MAX_EQ_PER_L = 20.0;

/* electrons one mole gives to the titrant, [stoichiometry] */
static const double H2O2_ELECTRONS = 2.0;       /* to O2 */
static const double DITHIONITE_ELECTRONS = 4.0; /* its sulphoxylate half to sulphate */
static const double MG_PER_G = 1000.0, G_PER_KG = 1000.0;

/* NaN fails both comparisons, infinity the second. */
static bool over_0_up_to(double value, double most)
{
    return value > 0.0 && value <= most;
}

static bool from_0_to(double value, double most)
{
    return value >= 0.0 && value <= most;
}

static mdr_code refuse(mdr_err *err, const char *place, double value, const char *allowed,
                       const char *remedy)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "not a possible titration");
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

static mdr_code check_flask(double sample_ml, double titrant_eq_per_l, mdr_err *err)
{
    if (!over_0_up_to(sample_ml, SAMPLE_MAX_ML)) {
        return refuse(err, "sample_ml", sample_ml, "more than 0, up to 10000 mL",
                      "give the bath pipetted into the flask; of a diluted bath the part that is "
                      "bath");
    }
    if (!over_0_up_to(titrant_eq_per_l, TITRANT_MAX_EQ_PER_L)) {
        return refuse(err, "titrant_eq_per_l", titrant_eq_per_l, "more than 0, up to 20 eq/L",
                      "give the normality on the titrant's label");
    }
    return MDR_OK;
}

static mdr_code check_burette(const char *place, double ml, mdr_err *err)
{
    if (!from_0_to(ml, TITRANT_MAX_ML)) {
        return refuse(err, place, ml, "0 to 1000 mL", "read the burette again");
    }
    return MDR_OK;
}

mdr_code mdr_titrate_eq_per_l(const mdr_titrate_in *in, double *eq_per_l, mdr_err *err)
{
    MDR_TRY(check_flask(in->sample_ml, in->titrant_eq_per_l, err));
    MDR_TRY(check_burette("titrant_ml", in->titrant_ml, err));
    *eq_per_l = in->titrant_ml * in->titrant_eq_per_l / in->sample_ml;
    return MDR_OK;
}

/* Grams per litre of a substance of which this many grams are one equivalent. */
static mdr_code grams_per_l(const mdr_titrate_in *in, double g_per_eq, double *g_per_l,
                            mdr_err *err)
{
    double eq_per_l = 0.0;
    MDR_TRY(mdr_titrate_eq_per_l(in, &eq_per_l, err));
    *g_per_l = eq_per_l * g_per_eq;
    return MDR_OK;
}

static double g_per_alkali_eq(int substance)
{
    return G_PER_KG / mdr_substance_alkali_mol_per_kg(substance);
}

/* 5 H2O2 + 2 MnO4- + 6 H+ = 5 O2 + 2 Mn++ + 8 H2O */
mdr_code mdr_titrate_peroxide_mg_per_l(const mdr_titrate_in *in, double *mg_per_l, mdr_err *err)
{
    double g_per_l = 0.0;
    MDR_TRY(grams_per_l(in, mdr_substance_molar_g_per_mol(MDR_SUB_H2O2) / H2O2_ELECTRONS, &g_per_l,
                        err));
    *mg_per_l = g_per_l * MG_PER_G;
    return MDR_OK;
}

mdr_code mdr_titrate_alkali_g_per_l(const mdr_titrate_in *in, int substance, double *g_per_l,
                                    mdr_err *err)
{
    if (!(mdr_substance_alkali_mol_per_kg(substance) > 0.0)) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, "substance", "this substance takes up no acid");
        const char *id = mdr_substance_id((mdr_substance)substance);
        mdr_err_value(err, "%s", id != NULL ? id : "unknown");
        mdr_err_allowed(err, "NaOH, Na2CO3 or NaHCO3");
        mdr_err_remedy(err, "say which alkali the bath was made with");
        return rc;
    }
    return grams_per_l(in, g_per_alkali_eq(substance), g_per_l, err);
}

/* Na2S2O4 + 2 HCHO + H2O = HOCH2SO3Na + HOCH2SO2Na; only the second takes iodine:
 * HOCH2SO2Na + 2 I2 + 2 H2O = NaHSO4 + HCHO + 4 HI */
mdr_code mdr_titrate_dithionite_g_per_l(const mdr_titrate_in *in, double *g_per_l, mdr_err *err)
{
    return grams_per_l(in, mdr_substance_molar_g_per_mol(MDR_SUB_DITHIONITE) / DITHIONITE_ELECTRONS,
                       g_per_l, err);
}

/* Ag+ + Cl- = AgCl */
mdr_code mdr_titrate_salt_g_per_l(const mdr_titrate_in *in, double *g_per_l, mdr_err *err)
{
    return grams_per_l(in, mdr_substance_molar_g_per_mol(MDR_SUB_NACL), g_per_l, err);
}

static mdr_code check_two(const mdr_titrate_two *in, mdr_err *err)
{
    MDR_TRY(check_flask(in->sample_ml, in->titrant_eq_per_l, err));
    MDR_TRY(check_burette("methyl_orange_ml", in->methyl_orange_ml, err));
    MDR_TRY(check_burette("phenolphthalein_ml", in->phenolphthalein_ml, err));
    if (in->phenolphthalein_ml > in->methyl_orange_ml) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "phenolphthalein_ml",
                                     "the first end point lies beyond the second");
        mdr_err_value(err, "%g", in->phenolphthalein_ml);
        mdr_err_allowed(err, "0 to %g mL", in->methyl_orange_ml);
        mdr_err_remedy(err, "give all the acid to the second end point, not what was added after "
                            "the first");
        return rc;
    }
    return MDR_OK;
}

/* Down to phenolphthalein NaOH and the first half of soda have reacted, from there to methyl
 * orange the second half of soda and what was hydrogen carbonate from the start. */
mdr_code mdr_titrate_two_alkalis(const mdr_titrate_two *in, mdr_titrate_alkalis *out, mdr_err *err)
{
    MDR_TRY(check_two(in, err));
    const double p_ml = in->phenolphthalein_ml, m_ml = in->methyl_orange_ml;
    const bool caustic = p_ml > m_ml / 2.0;
    const double eq_per_l_per_ml = in->titrant_eq_per_l / in->sample_ml;
    const double naoh_ml = caustic ? 2.0 * p_ml - m_ml : 0.0;
    const double soda_ml = caustic ? 2.0 * (m_ml - p_ml) : 2.0 * p_ml;
    const double bicarbonate_ml = caustic ? 0.0 : m_ml - 2.0 * p_ml;
    *out = (mdr_titrate_alkalis){
        .naoh_g_per_l = naoh_ml * eq_per_l_per_ml * g_per_alkali_eq(MDR_SUB_NAOH),
        .na2co3_g_per_l = soda_ml * eq_per_l_per_ml * g_per_alkali_eq(MDR_SUB_NA2CO3),
        .nahco3_g_per_l = bicarbonate_ml * eq_per_l_per_ml * g_per_alkali_eq(MDR_SUB_NAHCO3)};
    return MDR_OK;
}

mdr_code mdr_titrate_acid_kg(double eq_per_l, double liquor_l, double acid_mol_per_kg,
                             double *acid_kg, mdr_err *err)
{
    if (!(eq_per_l >= 0.0 && isfinite(eq_per_l))) {
        return refuse(err, "eq_per_l", eq_per_l, "0 or more", "titrate again");
    }
    if (!(liquor_l >= 0.0 && isfinite(liquor_l))) {
        return refuse(err, "liquor_l", liquor_l, "0 or more", "give the liquor of the bath");
    }
    if (!(acid_mol_per_kg > 0.0 && isfinite(acid_mol_per_kg))) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, "acid_mol_per_kg", "this product is not an acid");
        mdr_err_value(err, "%g", acid_mol_per_kg);
        mdr_err_allowed(err, "more than 0 mol/kg");
        mdr_err_remedy(err, "choose an acid, or give the acid of the product in mol per kg");
        return rc;
    }
    *acid_kg = eq_per_l * liquor_l / acid_mol_per_kg;
    return MDR_OK;
}
