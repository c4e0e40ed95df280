#include "core/bath/mdr_salt.h"

#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

/* mol of ionic strength from one mol, half the sum of c z^2: NaCl (1 + 1)/2, Na2SO4 (2 + 4)/2 */
static const double NACL_IONIC = 1.0, NA2SO4_IONIC = 3.0;
static const double G_PER_KG = 1000.0;
/* Depths are kept to a millionth of a percent; a sum of them in binary may come out a hair above
 * the edge of a band that it meets: 0.1 + 0.2 is more than 0.3. */
static const double DEPTH_ROUNDING_PCT = 1e-9;

typedef struct bands {
    const double *max, *amount;
    int n;
    bool less;
} bands;

static double amount_of(const bands *t, int band)
{
    return t->amount[t->less && band > 0 ? band - 1 : band];
}

static double lower_end(const bands *t, int band)
{
    return band > 0 ? t->max[band - 1] : 0.0;
}

/* The depth at which a band's amount holds exactly. */
static double stands_at(const bands *t, int band)
{
    const double low = lower_end(t, band);
    return band == t->n - 1 ? low : 0.5 * (low + t->max[band]);
}

static double in_steps(const bands *t, double depth)
{
    int band = 0;
    while (band < t->n - 1 && depth > t->max[band] + DEPTH_ROUNDING_PCT) {
        band++;
    }
    return amount_of(t, band);
}

static double in_proportion(const bands *t, double depth)
{
    int right = 0; /* first band that stands at this depth or beyond */
    while (right < t->n && stands_at(t, right) < depth) {
        right++;
    }
    if (right == 0 || right == t->n) {
        return amount_of(t, right == 0 ? 0 : t->n - 1);
    }
    const double from = stands_at(t, right - 1), to = stands_at(t, right);
    const double part = (depth - from) / (to - from);
    const double left = amount_of(t, right - 1);
    return left + part * (amount_of(t, right) - left);
}

double mdr_salt_of_depth(const double *depth_max_pct_owf, const double *amount_g_per_l, int n,
                         double depth_pct_owf, bool linear, bool band_less)
{
    const bands t = {depth_max_pct_owf, amount_g_per_l, n, band_less};
    return linear ? in_proportion(&t, depth_pct_owf) : in_steps(&t, depth_pct_owf);
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
