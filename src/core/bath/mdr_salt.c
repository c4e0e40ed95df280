#include "core/bath/mdr_salt.h"

#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

/* mol of ionic strength from one mol, half the sum of c z^2: NaCl (1 + 1)/2, Na2SO4 (2 + 4)/2 */
static const double NACL_IONIC = 1.0, NA2SO4_IONIC = 3.0;
static const double G_PER_KG = 1000.0;
/* Depths are kept to a millionth of a percent; a sum of them in binary may come out a hair above
 * the edge of a band that it meets: 0.1 + 0.2 is more than 0.3. */
static const double DEPTH_ROUNDING_PCT = 1e-9;

typedef struct table {
    const mdr_dose_band *bands;
    int n;
    bool less;
} table;

static double amount_of(const table *t, int band)
{
    return t->bands[t->less && band > 0 ? band - 1 : band].amount_g_per_l;
}

/* The depth at which a band's amount holds exactly. */
static double stands_at(const table *t, int band)
{
    const double low = band > 0 ? t->bands[band - 1].depth_max_pct_owf : 0.0;
    return band == t->n - 1 ? low : 0.5 * (low + t->bands[band].depth_max_pct_owf);
}

static mdr_salt_knots one(const table *t, int band)
{
    const double depth = stands_at(t, band);
    const double amount = amount_of(t, band);
    return (mdr_salt_knots){depth, amount, depth, amount};
}

static mdr_salt_knots in_steps(const table *t, double depth)
{
    int band = 0;
    while (band < t->n - 1 && depth > t->bands[band].depth_max_pct_owf + DEPTH_ROUNDING_PCT) {
        band++;
    }
    return one(t, band);
}

static mdr_salt_knots in_proportion(const table *t, double depth)
{
    int right = 0; /* first band that stands at this depth or beyond */
    while (right < t->n && stands_at(t, right) < depth) {
        right++;
    }
    if (right == 0 || right == t->n) {
        return one(t, right == 0 ? 0 : t->n - 1);
    }
    return (mdr_salt_knots){stands_at(t, right - 1), amount_of(t, right - 1), stands_at(t, right),
                            amount_of(t, right)};
}

mdr_salt_knots mdr_salt_knots_at(const mdr_dose_band *bands, int n, double depth_pct_owf,
                                 bool linear, bool band_less)
{
    const table t = {bands, n, band_less};
    return linear ? in_proportion(&t, depth_pct_owf) : in_steps(&t, depth_pct_owf);
}

double mdr_salt_between(const mdr_salt_knots *k, double depth_pct_owf)
{
    const double width = k->depth_above_pct_owf - k->depth_below_pct_owf;
    return width > 0.0 ? k->below_g_per_l + (k->above_g_per_l - k->below_g_per_l) *
                                                (depth_pct_owf - k->depth_below_pct_owf) / width
                       : k->below_g_per_l;
}

double mdr_salt_of_depth(const mdr_dose_band *bands, int n, double depth_pct_owf, bool linear,
                         bool band_less)
{
    const mdr_salt_knots k = mdr_salt_knots_at(bands, n, depth_pct_owf, linear, band_less);
    return mdr_salt_between(&k, depth_pct_owf);
}

/* mol/kg */
static double ionic_of(int substance)
{
    if (substance == MDR_SUB_NACL) {
        return NACL_IONIC * G_PER_KG / mdr_substance_molar_g_per_mol(substance);
    }
    if (substance == MDR_SUB_NA2SO4) {
        return NA2SO4_IONIC * G_PER_KG / mdr_substance_molar_g_per_mol(substance);
    }
    return 0.0;
}

double mdr_salt_swap_factor(int from_substance, int to_substance, int swap)
{
    if (from_substance == to_substance) {
        return 1.0;
    }
    /* only the two salts have an ionic strength here */
    if (!(ionic_of(from_substance) > 0.0 && ionic_of(to_substance) > 0.0)) {
        return 0.0;
    }
    if (swap == MDR_SWAP_MASS) {
        return 1.0;
    }
    if (swap == MDR_SWAP_SODIUM) {
        return mdr_substance_sodium_mol_per_kg(from_substance) /
               mdr_substance_sodium_mol_per_kg(to_substance);
    }
    if (swap == MDR_SWAP_IONIC) {
        return ionic_of(from_substance) / ionic_of(to_substance);
    }
    return 0.0;
}

double mdr_salt_sodium_mol_per_l(int substance, double conc_g_per_l)
{
    return mdr_substance_sodium_mol_per_kg(substance) * conc_g_per_l / G_PER_KG;
}

double mdr_salt_ionic_mol_per_l(int substance, double conc_g_per_l)
{
    return ionic_of(substance) * conc_g_per_l / G_PER_KG;
}
