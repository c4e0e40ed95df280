/* How well each rate is known, and the rates as far away as that lets them be. */
#include <assert.h>
#include <math.h>

#include "core/exhaust/mdr_dye_known_parts.h"

static const double NORMAL_95 = 1.959964;   /* two-sided 95 % of the normal distribution */
static const double DETERMINED_BELOW = 0.5; /* of the group's spread; invented */

/* Standard deviation of the sum of two unknowns; once more for one alone. */
static double deviation(const mdr_lm_covariance *cov, int a, int b)
{
    return a == b ? sqrt(cov->of[a][a])
                  : sqrt(fmax(cov->of[a][a] + cov->of[b][b] + 2.0 * cov->of[a][b], 0.0));
}

/* Which unknowns a rate is made of (the same twice: one), and whether as a logarithm. */
typedef struct made_of {
    int a, b;
    bool ln;
} made_of;

static bool unknowns_of(mdr_rate r, made_of *out)
{
    static const made_of MADE[MDR_RATE_COUNT] = {
        [MDR_RATE_AFFINITY] = {MDR_SEEK_AFFINITY, MDR_SEEK_AFFINITY, false},
        [MDR_RATE_ENTHALPY] = {MDR_SEEK_ENTHALPY, MDR_SEEK_ENTHALPY, false},
        [MDR_RATE_DIFFUSION] = {MDR_SEEK_LN_DIFFUSION, MDR_SEEK_LN_DIFFUSION, true},
        [MDR_RATE_DIFFUSION_EA] = {MDR_SEEK_DIFFUSION_EA, MDR_SEEK_DIFFUSION_EA, false},
        [MDR_RATE_FIX] = {MDR_SEEK_LN_FIX, MDR_SEEK_LN_FIX, true},
        [MDR_RATE_FIX_EA] = {MDR_SEEK_FIX_EA, MDR_SEEK_FIX_EA, false},
        [MDR_RATE_HYDROLYSIS] = {MDR_SEEK_LN_FIX, MDR_SEEK_LN_RATIO, true},
        [MDR_RATE_HYDROLYSIS_EA] = {MDR_SEEK_HYDROLYSIS_EA, MDR_SEEK_HYDROLYSIS_EA, false},
        [MDR_RATE_HYDROLYSED_AFFINITY] = {MDR_SEEK_AFFINITY, MDR_SEEK_GAP, false}};
    *out = MADE[r];
    return r != MDR_RATE_MOLAR && r != MDR_RATE_CHARGE && r != MDR_RATE_FIBRE_HYDROLYSIS;
}

void mdr_known_stand(const mdr_known_search *s, const mdr_lm_covariance *cov, const bool *moved,
                     mdr_dye_fit *fit)
{
    for (int i = 0; i < MDR_RATE_COUNT; i++) {
        const mdr_rate r = (mdr_rate)i;
        const double v = mdr_rate_of(&fit->rates, r);
        mdr_rate_standing *to = &fit->standing[i];
        made_of of;
        *to = (mdr_rate_standing){.least = v, .most = v, .basis = MDR_BASIS_PLACEHOLDER};
        if (!unknowns_of(r, &of) || !mdr_rate_applies(r, s->known->way)) {
            continue;
        }
        const double reach = NORMAL_95 * deviation(cov, of.a, of.b);
        const double before =
            of.a == of.b ? s->spread[of.a] : hypot(s->spread[of.a], s->spread[of.b]);
        to->least = of.ln ? v * exp(-reach) : v - reach;
        to->most = of.ln ? v * exp(reach) : v + reach;
        to->determined = reach < NORMAL_95 * DETERMINED_BELOW * before;
        to->basis = moved[of.b] ? MDR_BASIS_FITTED : MDR_BASIS_PLACEHOLDER;
    }
    const bool given[] = {s->known->molar_g_per_mol > 0.0, s->known->charge > 0.0};
    for (int i = MDR_RATE_MOLAR; i <= MDR_RATE_CHARGE; i++) {
        fit->standing[i].basis = given[i] ? MDR_BASIS_GIVEN : MDR_BASIS_PLACEHOLDER;
        fit->standing[i].determined = given[i];
    }
}

static_assert((int)MDR_SEEK_COUNT <= (int)MDR_FIT_AWAY_MAX, "a direction each");

/* One column of the root of the covariance (Cholesky); the columns before it are there. 0 when
 * nothing is left in its direction. */
static void root_column(const mdr_lm_covariance *cov, double root[MDR_SEEK_COUNT][MDR_SEEK_COUNT],
                        int k)
{
    double square = cov->of[k][k];
    for (int m = 0; m < k; m++) {
        square -= root[k][m] * root[k][m];
    }
    root[k][k] = sqrt(fmax(square, 0.0));
    for (int i = k + 1; i < MDR_SEEK_COUNT; i++) {
        double sum = cov->of[i][k];
        for (int m = 0; m < k; m++) {
            sum -= root[i][m] * root[k][m];
        }
        root[i][k] = root[k][k] > 0.0 ? sum / root[k][k] : 0.0;
    }
}

/* A direction that leads to rates that cannot be is turned round, else gone half as far. */
static mdr_dye_rates inside(const mdr_known_search *s, const double *x, const double *step)
{
    double reach = NORMAL_95;
    for (int i = 0; i < 2 * 8; i++) {
        double to[MDR_SEEK_COUNT];
        for (int j = 0; j < MDR_SEEK_COUNT; j++) {
            to[j] = x[j] + reach * step[j];
        }
        const mdr_dye_rates r = mdr_known_rates_at(s, to);
        if (mdr_dye_rates_check(&r, NULL) == MDR_OK) {
            return r;
        }
        reach = i % 2 == 0 ? -reach : -0.5 * reach;
    }
    return mdr_known_rates_at(s, x);
}

void mdr_known_lead_away(const mdr_known_search *s, const mdr_lm_covariance *cov, const double *x,
                         mdr_dye_fit *fit)
{
    double root[MDR_SEEK_COUNT][MDR_SEEK_COUNT] = {{0.0}};
    for (int k = 0; k < MDR_SEEK_COUNT; k++) {
        double step[MDR_SEEK_COUNT];
        root_column(cov, root, k);
        const bool applies = s->known->way == MDR_WAY_REACTIVE || k == MDR_SEEK_AFFINITY ||
                             k == MDR_SEEK_LN_DIFFUSION || k == MDR_SEEK_ENTHALPY ||
                             k == MDR_SEEK_DIFFUSION_EA;
        for (int j = 0; j < MDR_SEEK_COUNT; j++) {
            step[j] = root[j][k];
        }
        if (applies && root[k][k] > 0.0) {
            fit->away[fit->n_away++] = inside(s, x, step);
        }
    }
}
