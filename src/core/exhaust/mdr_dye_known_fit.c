#include <assert.h>
#include <math.h>
#include <string.h>

#include "core/exhaust/mdr_dye_known.h"
#include "num/mdr_lm.h"

/* The unknowns of the search. Hydrolysis is sought as its ratio to fixation and the hydrolysed
 * dye's affinity as its gap to the other, because that is what F and E speak of. */
typedef enum unknown {
    AFFINITY,
    LN_DIFFUSION,
    LN_FIX,
    LN_RATIO,
    GAP,
    SOUGHT, /* what follows is never sought, but its spread widens the ranges */
    ENTHALPY = SOUGHT,
    DIFFUSION_EA,
    FIX_EA,
    HYDROLYSIS_EA,
    UNKNOWNS
} unknown;

static const double R_KJ_PER_MOL_K = 8.314462618e-3; /* CODATA */
static const double G_PER_KG = 1000.0;
static const double ZERO_C_K = 273.15; /* definition */
/* The numbers are met as if they were read this well, % points and min: far below what counts, so
 * that the pull of the placeholders is not seen in them. Invented. */
static const double CLOSE = 0.02;
static const double LIMIT_SPREADS =
    4.0; /* rates further from the group's are not sought; invented */
static const double NUDGE_SPREADS = 1e-4;
static const double NORMAL_95 = 1.959964;   /* two-sided 95 % of the normal distribution */
static const double DETERMINED_BELOW = 0.5; /* of the group's spread; invented */
static const double MOVED = 0.02;           /* of the group's spread; invented */
static const double SAMPLE_MIN = 0.5;       /* a straight line over it is 0.01 % off */
/* Behind an exact answer, what was sought is held by the numbers alone: its own spread counts for
 * next to nothing. */
static const double LOOSE = 10.0;
enum { CALLS_MAX = 150, START_ROUNDS = 3 };

typedef struct search {
    const mdr_dye_known *known;
    mdr_arena *arena;
    mdr_dye_group group;
    mdr_dye_rates base;
    double centre[UNKNOWNS], spread[UNKNOWNS];
    double weight[UNKNOWNS]; /* of the pull back to the group, 1 in the search */
    double error_pct, error_min;
    double number[MDR_NUMBER_COUNT]; /* of the last run */
    int runs;
} search;

/* -- the standard dyeing as a function of the unknowns ---------------------------------------- */

static mdr_dye_rates rates_at(const search *s, const double *x)
{
    mdr_dye_rates r = s->base;
    r.affinity_kj_per_mol = x[AFFINITY];
    r.hydrolysed_affinity_kj_per_mol = x[AFFINITY] + x[GAP];
    r.diffusion_per_min = exp(x[LN_DIFFUSION]);
    r.enthalpy_kj_per_mol = x[ENTHALPY];
    r.diffusion_ea_kj_per_mol = x[DIFFUSION_EA];
    if (s->known->way == MDR_WAY_REACTIVE) {
        r.fix_per_min = exp(x[LN_FIX]);
        r.hydrolysis_per_min = exp(x[LN_FIX] + x[LN_RATIO]);
        r.fix_ea_kj_per_mol = x[FIX_EA];
        r.hydrolysis_ea_kj_per_mol = x[HYDROLYSIS_EA];
    }
    return r;
}

/* Each run leaves curves that nobody looks at again. */
static mdr_code run_at(search *s, const double *x, mdr_err *err)
{
    const mdr_dye_rates rates = rates_at(s, x);
    const mdr_dyeing *run = NULL;
    const mdr_arena_mark here = mdr_arena_here(s->arena);
    const mdr_dye_known *k = s->known;
    const mdr_code rc =
        mdr_dye_standard_run(&rates, &k->standard, k->way, SAMPLE_MIN, s->arena, &run, err);
    if (rc == MDR_OK) {
        mdr_dye_standard_numbers(run, &k->standard, k->way, s->number);
        s->runs++;
    }
    mdr_arena_back(s->arena, here);
    return rc;
}

static double error_of(const search *s, int number)
{
    return number == MDR_NUMBER_HALF ? s->error_min : s->error_pct;
}

/* First the known numbers, each over its error, then how far the unknowns lie from the group. */
static mdr_code residuals(void *context, const double *x, double *r, mdr_err *err)
{
    search *s = context;
    MDR_TRY(run_at(s, x, err));
    int row = 0;
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        if (s->known->number[n] > 0.0) {
            r[row++] = (s->number[n] - s->known->number[n]) / error_of(s, n);
        }
    }
    for (int j = 0; j < UNKNOWNS; j++) {
        r[row++] = s->weight[j] * (x[j] - s->centre[j]) / s->spread[j];
    }
    return MDR_OK;
}

static int rows_of(const search *s)
{
    int rows = UNKNOWNS;
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        rows += s->known->number[n] > 0.0;
    }
    return rows;
}

/* -- the search ------------------------------------------------------------------------------- */

static void centre_on(search *s)
{
    const mdr_dye_rates *g = &s->base;
    const mdr_group_spread *w = &MDR_GROUP_SPREAD;
    const bool reactive = s->known->way == MDR_WAY_REACTIVE;
    const double centre[UNKNOWNS] = {
        [AFFINITY] = g->affinity_kj_per_mol,
        [LN_DIFFUSION] = log(g->diffusion_per_min),
        [LN_FIX] = reactive ? log(g->fix_per_min) : 0.0,
        [LN_RATIO] = reactive ? log(g->hydrolysis_per_min / g->fix_per_min) : 0.0,
        [GAP] = g->hydrolysed_affinity_kj_per_mol - g->affinity_kj_per_mol,
        [ENTHALPY] = g->enthalpy_kj_per_mol,
        [DIFFUSION_EA] = g->diffusion_ea_kj_per_mol,
        [FIX_EA] = g->fix_ea_kj_per_mol,
        [HYDROLYSIS_EA] = g->hydrolysis_ea_kj_per_mol};
    const double spread[UNKNOWNS] = {[AFFINITY] = w->affinity_kj_per_mol,
                                     [LN_DIFFUSION] = w->ln_diffusion,
                                     [LN_FIX] = w->ln_fix,
                                     [LN_RATIO] = w->ln_hydrolysis,
                                     [GAP] = w->hydrolysed_kj_per_mol,
                                     [ENTHALPY] = w->enthalpy_kj_per_mol,
                                     [DIFFUSION_EA] = w->ea_kj_per_mol,
                                     [FIX_EA] = w->ea_kj_per_mol,
                                     [HYDROLYSIS_EA] = w->ea_kj_per_mol};
    memcpy(s->centre, centre, sizeof centre);
    memcpy(s->spread, spread, sizeof spread);
}

/* Which unknown each known number frees. */
static void freed_by_numbers(const mdr_dye_known *k, bool *freed)
{
    const bool s = k->number[MDR_NUMBER_PRIMARY] > 0.0, e = k->number[MDR_NUMBER_EXHAUSTION] > 0.0;
    const bool r = k->number[MDR_NUMBER_FIRST] > 0.0, half = k->number[MDR_NUMBER_HALF] > 0.0;
    const bool reactive = k->way == MDR_WAY_REACTIVE;
    freed[AFFINITY] = s || e;
    freed[GAP] = s && e;
    freed[LN_FIX] = r || (half && reactive);
    freed[LN_DIFFUSION] = half && (r || !reactive);
    freed[LN_RATIO] = k->number[MDR_NUMBER_FIXATION] > 0.0;
}

static double logit(double pct)
{
    const double part = fmin(fmax(pct / 100.0, 1e-3), 1.0 - 1e-3);
    return log(part / (1.0 - part));
}

/* How fast a first-order course would be that has come to `first` of `last` in a given time. */
static double ln_haste(double first_pct, double last_pct)
{
    return log(-log1p(-fmin(first_pct / last_pct, 0.999)));
}

/* Moves each freed unknown by what its number alone would ask for: a distribution between fibre and
 * liquor, two reactions that compete, a first-order course. */
static void better_start(const search *s, const bool *freed, double *x)
{
    const double *want = s->known->number, *got = s->number;
    const double rt = R_KJ_PER_MOL_K * (s->known->standard.temp_c + ZERO_C_K);
    const int goes_on = want[MDR_NUMBER_PRIMARY] > 0.0 ? MDR_NUMBER_PRIMARY : MDR_NUMBER_EXHAUSTION;
    double to[UNKNOWNS] = {0};
    memcpy(to, x, sizeof to);
    to[AFFINITY] += rt * (logit(want[goes_on]) - logit(got[goes_on]));
    to[GAP] += rt * (logit(want[MDR_NUMBER_EXHAUSTION]) - logit(got[MDR_NUMBER_EXHAUSTION])) -
               (to[AFFINITY] - x[AFFINITY]);
    to[LN_RATIO] -= logit(want[MDR_NUMBER_FIXATION]) - logit(got[MDR_NUMBER_FIXATION]);
    if (want[MDR_NUMBER_FIRST] > 0.0) {
        const double last =
            want[MDR_NUMBER_FIXATION] > 0.0 ? want[MDR_NUMBER_FIXATION] : got[MDR_NUMBER_FIXATION];
        to[LN_FIX] += ln_haste(want[MDR_NUMBER_FIRST], last) -
                      ln_haste(got[MDR_NUMBER_FIRST], got[MDR_NUMBER_FIXATION]);
    } else if (want[MDR_NUMBER_HALF] > 0.0) {
        to[LN_FIX] += log(got[MDR_NUMBER_HALF] / want[MDR_NUMBER_HALF]);
    }
    if (want[MDR_NUMBER_HALF] > 0.0 && s->known->way != MDR_WAY_REACTIVE) {
        to[LN_DIFFUSION] += log(got[MDR_NUMBER_HALF] / want[MDR_NUMBER_HALF]);
    }
    for (int j = 0; j < SOUGHT; j++) {
        const double reach = LIMIT_SPREADS * s->spread[j];
        x[j] = freed[j] ? fmin(fmax(to[j], s->centre[j] - reach), s->centre[j] + reach) : x[j];
    }
}

/* From x, with these unknowns free; calls 1: only the slopes there. */
static mdr_code search_from(search *s, const bool *freed, const double *x, int calls,
                            mdr_lm_answer *out, mdr_err *err)
{
    double least[UNKNOWNS], most[UNKNOWNS], nudge[UNKNOWNS];
    for (int j = 0; j < UNKNOWNS; j++) {
        const double reach = freed[j] ? LIMIT_SPREADS * s->spread[j] : 0.0;
        least[j] = freed[j] ? s->centre[j] - reach : x[j];
        most[j] = freed[j] ? s->centre[j] + reach : x[j];
        nudge[j] = NUDGE_SPREADS * s->spread[j];
    }
    const mdr_lm p = {.of = residuals,
                      .context = s,
                      .unknowns = UNKNOWNS,
                      .rows = rows_of(s),
                      .least = least,
                      .most = most,
                      .nudge = nudge,
                      .small = 1e-4,
                      .calls_max = calls};
    return mdr_lm_solve(&p, x, out, err);
}

/* Largest gap of a known number from the last run, in its own unit or (by_error) in errors. */
static double worst_gap(const search *s, bool by_error, int *which)
{
    double worst = 0.0;
    *which = -1;
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        const double gap =
            fabs(s->number[n] - s->known->number[n]) / (by_error ? error_of(s, n) : 1.0);
        if (s->known->number[n] > 0.0 && (*which < 0 || gap > worst)) {
            worst = gap;
            *which = n;
        }
    }
    return worst;
}

/* -- the answer ------------------------------------------------------------------------------- */

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
        [MDR_RATE_AFFINITY] = {AFFINITY, AFFINITY, false},
        [MDR_RATE_ENTHALPY] = {ENTHALPY, ENTHALPY, false},
        [MDR_RATE_DIFFUSION] = {LN_DIFFUSION, LN_DIFFUSION, true},
        [MDR_RATE_DIFFUSION_EA] = {DIFFUSION_EA, DIFFUSION_EA, false},
        [MDR_RATE_FIX] = {LN_FIX, LN_FIX, true},
        [MDR_RATE_FIX_EA] = {FIX_EA, FIX_EA, false},
        [MDR_RATE_HYDROLYSIS] = {LN_FIX, LN_RATIO, true},
        [MDR_RATE_HYDROLYSIS_EA] = {HYDROLYSIS_EA, HYDROLYSIS_EA, false},
        [MDR_RATE_HYDROLYSED_AFFINITY] = {AFFINITY, GAP, false}};
    *out = MADE[r];
    return r != MDR_RATE_MOLAR && r != MDR_RATE_CHARGE && r != MDR_RATE_FIBRE_HYDROLYSIS;
}

static void stand(const search *s, const mdr_lm_covariance *cov, const bool *moved,
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

static_assert((int)UNKNOWNS <= (int)MDR_FIT_AWAY_MAX, "a direction each");

/* One column of the root of the covariance (Cholesky); the columns before it are there. 0 when
 * nothing is left in its direction. */
static void root_column(const mdr_lm_covariance *cov, double root[UNKNOWNS][UNKNOWNS], int k)
{
    double square = cov->of[k][k];
    for (int m = 0; m < k; m++) {
        square -= root[k][m] * root[k][m];
    }
    root[k][k] = sqrt(fmax(square, 0.0));
    for (int i = k + 1; i < UNKNOWNS; i++) {
        double sum = cov->of[i][k];
        for (int m = 0; m < k; m++) {
            sum -= root[i][m] * root[k][m];
        }
        root[i][k] = root[k][k] > 0.0 ? sum / root[k][k] : 0.0;
    }
}

/* A direction that leads to rates that cannot be is turned round, else gone half as far. */
static mdr_dye_rates inside(const search *s, const double *x, const double *step)
{
    double reach = NORMAL_95;
    for (int i = 0; i < 2 * 8; i++) {
        double to[UNKNOWNS];
        for (int j = 0; j < UNKNOWNS; j++) {
            to[j] = x[j] + reach * step[j];
        }
        const mdr_dye_rates r = rates_at(s, to);
        if (mdr_dye_rates_check(&r, NULL) == MDR_OK) {
            return r;
        }
        reach = i % 2 == 0 ? -reach : -0.5 * reach;
    }
    return rates_at(s, x);
}

static void lead_away(const search *s, const mdr_lm_covariance *cov, const double *x,
                      mdr_dye_fit *fit)
{
    double root[UNKNOWNS][UNKNOWNS] = {{0.0}};
    for (int k = 0; k < UNKNOWNS; k++) {
        double step[UNKNOWNS];
        root_column(cov, root, k);
        const bool applies = s->known->way == MDR_WAY_REACTIVE || k == AFFINITY ||
                             k == LN_DIFFUSION || k == ENTHALPY || k == DIFFUSION_EA;
        for (int j = 0; j < UNKNOWNS; j++) {
            step[j] = root[j][k];
        }
        if (applies && root[k][k] > 0.0) {
            fit->away[fit->n_away++] = inside(s, x, step);
        }
    }
}

static void begin(search *s, const mdr_dye_known *k)
{
    const mdr_dye_group group =
        k->group == MDR_GROUP_UNSTATED ? mdr_dye_group_usual(k->way) : k->group;
    *s = (search){.known = k, .group = group, .base = mdr_dye_group_rates(group)};
    s->base.dye_id = k->dye_id;
    s->base.molar_kg_per_mol =
        k->molar_g_per_mol > 0.0 ? k->molar_g_per_mol / G_PER_KG : s->base.molar_kg_per_mol;
    s->base.charge = k->charge > 0.0 ? k->charge : s->base.charge;
    for (int j = 0; j < UNKNOWNS; j++) {
        s->weight[j] = 1.0;
    }
    centre_on(s);
}

static void read_well(search *s, bool as_measured)
{
    const mdr_dye_known *k = s->known;
    s->error_pct = !as_measured ? CLOSE : k->error_pct > 0.0 ? k->error_pct : MDR_KNOWN_ERROR_PCT;
    s->error_min = !as_measured ? CLOSE : k->error_min > 0.0 ? k->error_min : MDR_KNOWN_ERROR_MIN;
}

/* Only what the numbers speak of, to meet them. Writes x and, by the last run, s->number. */
static mdr_code meet(search *s, const bool *freed, double *x, mdr_err *err)
{
    mdr_lm_answer found;
    read_well(s, false);
    for (int i = 0; i < START_ROUNDS; i++) {
        MDR_TRY(run_at(s, x, err));
        better_start(s, freed, x);
    }
    MDR_TRY(search_from(s, freed, x, CALLS_MAX, &found, err));
    memcpy(x, found.x, UNKNOWNS * sizeof *x);
    return run_at(s, x, err);
}

/* Everything, as likely as can be. */
static mdr_code approach(search *s, double *x, mdr_err *err)
{
    const bool reactive = s->known->way == MDR_WAY_REACTIVE;
    const bool all[UNKNOWNS] = {[AFFINITY] = true,
                                [LN_DIFFUSION] = true,
                                [LN_FIX] = reactive,
                                [LN_RATIO] = reactive,
                                [GAP] = reactive};
    mdr_lm_answer found;
    read_well(s, true);
    MDR_TRY(search_from(s, all, x, CALLS_MAX, &found, err));
    memcpy(x, found.x, UNKNOWNS * sizeof *x);
    return run_at(s, x, err);
}

static mdr_code find(search *s, bool *moved, double *x, mdr_dye_fit *fit, mdr_err *err)
{
    int which = -1;
    freed_by_numbers(s->known, moved);
    memcpy(x, s->centre, sizeof s->centre);
    MDR_TRY(meet(s, moved, x, err));
    if (worst_gap(s, false, &which) <= MDR_KNOWN_MET) {
        for (int j = 0; j < UNKNOWNS; j++) {
            s->weight[j] = moved[j] ? 1.0 / LOOSE : 1.0;
        }
        read_well(s, true);
    } else {
        memcpy(x, s->centre, sizeof s->centre);
        MDR_TRY(approach(s, x, err));
        for (int j = 0; j < SOUGHT; j++) {
            moved[j] = fabs(x[j] - s->centre[j]) > MOVED * s->spread[j];
        }
    }
    fit->verdict = worst_gap(s, false, &which) <= MDR_KNOWN_MET          ? MDR_FIT_MET
                   : worst_gap(s, true, &which) <= MDR_KNOWN_NEAR_ERRORS ? MDR_FIT_NEAR
                                                                         : MDR_FIT_APART;
    fit->worst_gap = worst_gap(s, false, &fit->worst);
    memcpy(fit->number, s->number, sizeof fit->number);
    return MDR_OK;
}

mdr_code mdr_dye_known_rates(const mdr_dye_known *known, mdr_arena *arena, const mdr_dye_fit **out,
                             mdr_err *err)
{
    static const bool EVERYTHING[UNKNOWNS] = {true, true, true, true, true, true, true, true, true};
    bool moved[UNKNOWNS] = {false};
    double x[UNKNOWNS];
    mdr_lm_answer about;
    mdr_lm_covariance cov;
    search s;
    MDR_TRY(mdr_dye_known_check(known, err));
    mdr_dye_fit *fit = MDR_NEW(arena, mdr_dye_fit);
    if (fit == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the rates of a dye");
    }
    begin(&s, known);
    s.arena = arena;
    MDR_TRY(find(&s, moved, x, fit, err));
    fit->rates = rates_at(&s, x);
    fit->group = s.group;
    fit->group_assumed = known->group == MDR_GROUP_UNSTATED;
    MDR_TRY(search_from(&s, EVERYTHING, x, 1, &about, err));
    if (!mdr_lm_covariance_of(&about, rows_of(&s), UNKNOWNS, &cov)) {
        MDR_UNREACHABLE(); /* the rows of the spread alone tell every unknown apart */
    }
    stand(&s, &cov, moved, fit);
    lead_away(&s, &cov, x, fit);
    fit->runs = s.runs;
    *out = fit;
    return MDR_OK;
}
