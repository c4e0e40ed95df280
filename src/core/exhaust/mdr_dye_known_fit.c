#include <math.h>
#include <string.h>

#include "core/exhaust/mdr_dye_known_parts.h"

static const double R_KJ_PER_MOL_K = 8.314462618e-3; /* CODATA */
static const double G_PER_KG = 1000.0;
static const double ZERO_C_K = 273.15; /* definition */
/* The numbers are met as if they were read this well, % points and min: far below what counts, so
 * that the pull of the placeholders is not seen in them. Invented. */
static const double CLOSE = 0.02;
static const double LIMIT_SPREADS =
    4.0; /* rates further from the group's are not sought; invented */
static const double NUDGE_SPREADS = 1e-4;
static const double MOVED = 0.02;     /* of the group's spread; invented */
static const double SAMPLE_MIN = 0.5; /* a straight line over it is 0.01 % off */
/* Behind an exact answer, what was sought is held by the numbers alone: its own spread counts for
 * next to nothing. */
static const double LOOSE = 10.0;
enum { CALLS_MAX = 150, START_ROUNDS = 3 };

/* -- the standard dyeing as a function of the unknowns ---------------------------------------- */

mdr_dye_rates mdr_known_rates_at(const mdr_known_search *s, const double *x)
{
    mdr_dye_rates r = s->base;
    r.affinity_kj_per_mol = x[MDR_SEEK_AFFINITY];
    r.hydrolysed_affinity_kj_per_mol = x[MDR_SEEK_AFFINITY] + x[MDR_SEEK_GAP];
    r.diffusion_per_min = exp(x[MDR_SEEK_LN_DIFFUSION]);
    r.enthalpy_kj_per_mol = x[MDR_SEEK_ENTHALPY];
    r.diffusion_ea_kj_per_mol = x[MDR_SEEK_DIFFUSION_EA];
    if (s->known->way == MDR_WAY_REACTIVE) {
        r.fix_per_min = exp(x[MDR_SEEK_LN_FIX]);
        r.hydrolysis_per_min = exp(x[MDR_SEEK_LN_FIX] + x[MDR_SEEK_LN_RATIO]);
        r.fix_ea_kj_per_mol = x[MDR_SEEK_FIX_EA];
        r.hydrolysis_ea_kj_per_mol = x[MDR_SEEK_HYDROLYSIS_EA];
    }
    return r;
}

/* Each run leaves curves that nobody looks at again. */
static mdr_code run_at(mdr_known_search *s, const double *x, mdr_err *err)
{
    const mdr_dye_rates rates = mdr_known_rates_at(s, x);
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

static double error_of(const mdr_known_search *s, int number)
{
    return number == MDR_NUMBER_HALF ? s->error_min : s->error_pct;
}

/* First the known numbers, each over its error, then how far the unknowns lie from the group. */
static mdr_code residuals(void *context, const double *x, double *r, mdr_err *err)
{
    mdr_known_search *s = context;
    MDR_TRY(run_at(s, x, err));
    int row = 0;
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        if (s->known->number[n] > 0.0) {
            r[row++] = (s->number[n] - s->known->number[n]) / error_of(s, n);
        }
    }
    for (int j = 0; j < MDR_SEEK_COUNT; j++) {
        r[row++] = s->weight[j] * (x[j] - s->centre[j]) / s->spread[j];
    }
    return MDR_OK;
}

static int rows_of(const mdr_known_search *s)
{
    int rows = MDR_SEEK_COUNT;
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        rows += s->known->number[n] > 0.0;
    }
    return rows;
}

/* -- the search ------------------------------------------------------------------------------- */

static void centre_on(mdr_known_search *s)
{
    const mdr_dye_rates *g = &s->base;
    const mdr_group_spread *w = &MDR_GROUP_SPREAD;
    const bool reactive = s->known->way == MDR_WAY_REACTIVE;
    const double centre[MDR_SEEK_COUNT] = {
        [MDR_SEEK_AFFINITY] = g->affinity_kj_per_mol,
        [MDR_SEEK_LN_DIFFUSION] = log(g->diffusion_per_min),
        [MDR_SEEK_LN_FIX] = reactive ? log(g->fix_per_min) : 0.0,
        [MDR_SEEK_LN_RATIO] = reactive ? log(g->hydrolysis_per_min / g->fix_per_min) : 0.0,
        [MDR_SEEK_GAP] = g->hydrolysed_affinity_kj_per_mol - g->affinity_kj_per_mol,
        [MDR_SEEK_ENTHALPY] = g->enthalpy_kj_per_mol,
        [MDR_SEEK_DIFFUSION_EA] = g->diffusion_ea_kj_per_mol,
        [MDR_SEEK_FIX_EA] = g->fix_ea_kj_per_mol,
        [MDR_SEEK_HYDROLYSIS_EA] = g->hydrolysis_ea_kj_per_mol};
    const double spread[MDR_SEEK_COUNT] = {[MDR_SEEK_AFFINITY] = w->affinity_kj_per_mol,
                                           [MDR_SEEK_LN_DIFFUSION] = w->ln_diffusion,
                                           [MDR_SEEK_LN_FIX] = w->ln_fix,
                                           [MDR_SEEK_LN_RATIO] = w->ln_hydrolysis,
                                           [MDR_SEEK_GAP] = w->hydrolysed_kj_per_mol,
                                           [MDR_SEEK_ENTHALPY] = w->enthalpy_kj_per_mol,
                                           [MDR_SEEK_DIFFUSION_EA] = w->ea_kj_per_mol,
                                           [MDR_SEEK_FIX_EA] = w->ea_kj_per_mol,
                                           [MDR_SEEK_HYDROLYSIS_EA] = w->ea_kj_per_mol};
    memcpy(s->centre, centre, sizeof centre);
    memcpy(s->spread, spread, sizeof spread);
}

/* Which unknown each known number frees. */
static void freed_by_numbers(const mdr_dye_known *k, bool *freed)
{
    const bool s = k->number[MDR_NUMBER_PRIMARY] > 0.0, e = k->number[MDR_NUMBER_EXHAUSTION] > 0.0;
    const bool r = k->number[MDR_NUMBER_FIRST] > 0.0, half = k->number[MDR_NUMBER_HALF] > 0.0;
    const bool reactive = k->way == MDR_WAY_REACTIVE;
    freed[MDR_SEEK_AFFINITY] = s || e;
    freed[MDR_SEEK_GAP] = s && e;
    freed[MDR_SEEK_LN_FIX] = r || (half && reactive);
    freed[MDR_SEEK_LN_DIFFUSION] = half && (r || !reactive);
    freed[MDR_SEEK_LN_RATIO] = k->number[MDR_NUMBER_FIXATION] > 0.0;
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
static void better_start(const mdr_known_search *s, const bool *freed, double *x)
{
    const double *want = s->known->number, *got = s->number;
    const double rt = R_KJ_PER_MOL_K * (s->known->standard.temp_c + ZERO_C_K);
    const int goes_on = want[MDR_NUMBER_PRIMARY] > 0.0 ? MDR_NUMBER_PRIMARY : MDR_NUMBER_EXHAUSTION;
    double to[MDR_SEEK_COUNT] = {0};
    memcpy(to, x, sizeof to);
    to[MDR_SEEK_AFFINITY] += rt * (logit(want[goes_on]) - logit(got[goes_on]));
    to[MDR_SEEK_GAP] +=
        rt * (logit(want[MDR_NUMBER_EXHAUSTION]) - logit(got[MDR_NUMBER_EXHAUSTION])) -
        (to[MDR_SEEK_AFFINITY] - x[MDR_SEEK_AFFINITY]);
    to[MDR_SEEK_LN_RATIO] -= logit(want[MDR_NUMBER_FIXATION]) - logit(got[MDR_NUMBER_FIXATION]);
    if (want[MDR_NUMBER_FIRST] > 0.0) {
        const double last =
            want[MDR_NUMBER_FIXATION] > 0.0 ? want[MDR_NUMBER_FIXATION] : got[MDR_NUMBER_FIXATION];
        to[MDR_SEEK_LN_FIX] += ln_haste(want[MDR_NUMBER_FIRST], last) -
                               ln_haste(got[MDR_NUMBER_FIRST], got[MDR_NUMBER_FIXATION]);
    } else if (want[MDR_NUMBER_HALF] > 0.0) {
        to[MDR_SEEK_LN_FIX] += log(got[MDR_NUMBER_HALF] / want[MDR_NUMBER_HALF]);
    }
    if (want[MDR_NUMBER_HALF] > 0.0 && s->known->way != MDR_WAY_REACTIVE) {
        to[MDR_SEEK_LN_DIFFUSION] += log(got[MDR_NUMBER_HALF] / want[MDR_NUMBER_HALF]);
    }
    for (int j = 0; j < MDR_SEEK_FREE; j++) {
        const double reach = LIMIT_SPREADS * s->spread[j];
        x[j] = freed[j] ? fmin(fmax(to[j], s->centre[j] - reach), s->centre[j] + reach) : x[j];
    }
}

/* From x, with these unknowns free; calls 1: only the slopes there. */
static mdr_code search_from(mdr_known_search *s, const bool *freed, const double *x, int calls,
                            mdr_lm_answer *out, mdr_err *err)
{
    double least[MDR_SEEK_COUNT], most[MDR_SEEK_COUNT], nudge[MDR_SEEK_COUNT];
    for (int j = 0; j < MDR_SEEK_COUNT; j++) {
        const double reach = freed[j] ? LIMIT_SPREADS * s->spread[j] : 0.0;
        least[j] = freed[j] ? s->centre[j] - reach : x[j];
        most[j] = freed[j] ? s->centre[j] + reach : x[j];
        nudge[j] = NUDGE_SPREADS * s->spread[j];
    }
    const mdr_lm p = {.of = residuals,
                      .context = s,
                      .unknowns = MDR_SEEK_COUNT,
                      .rows = rows_of(s),
                      .least = least,
                      .most = most,
                      .nudge = nudge,
                      .small = 1e-4,
                      .calls_max = calls};
    return mdr_lm_solve(&p, x, out, err);
}

/* Largest gap of a known number from the last run, in its own unit or (by_error) in errors. */
static double worst_gap(const mdr_known_search *s, bool by_error, int *which)
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

static void begin(mdr_known_search *s, const mdr_dye_known *k)
{
    const mdr_dye_group group =
        k->group == MDR_GROUP_UNSTATED ? mdr_dye_group_usual(k->way) : k->group;
    *s = (mdr_known_search){.known = k, .group = group, .base = mdr_dye_group_rates(group)};
    s->base.dye_id = k->dye_id;
    s->base.molar_kg_per_mol =
        k->molar_g_per_mol > 0.0 ? k->molar_g_per_mol / G_PER_KG : s->base.molar_kg_per_mol;
    s->base.charge = k->charge > 0.0 ? k->charge : s->base.charge;
    for (int j = 0; j < MDR_SEEK_COUNT; j++) {
        s->weight[j] = 1.0;
    }
    centre_on(s);
}

static void read_well(mdr_known_search *s, bool as_measured)
{
    const mdr_dye_known *k = s->known;
    s->error_pct = !as_measured ? CLOSE : k->error_pct > 0.0 ? k->error_pct : MDR_KNOWN_ERROR_PCT;
    s->error_min = !as_measured ? CLOSE : k->error_min > 0.0 ? k->error_min : MDR_KNOWN_ERROR_MIN;
}

/* Only what the numbers speak of, to meet them. Writes x and, by the last run, s->number. */
static mdr_code meet(mdr_known_search *s, const bool *freed, double *x, mdr_err *err)
{
    mdr_lm_answer found;
    read_well(s, false);
    for (int i = 0; i < START_ROUNDS; i++) {
        MDR_TRY(run_at(s, x, err));
        better_start(s, freed, x);
    }
    MDR_TRY(search_from(s, freed, x, CALLS_MAX, &found, err));
    memcpy(x, found.x, MDR_SEEK_COUNT * sizeof *x);
    return run_at(s, x, err);
}

/* Everything, as likely as can be. */
static mdr_code approach(mdr_known_search *s, double *x, mdr_err *err)
{
    const bool reactive = s->known->way == MDR_WAY_REACTIVE;
    const bool all[MDR_SEEK_COUNT] = {[MDR_SEEK_AFFINITY] = true,
                                      [MDR_SEEK_LN_DIFFUSION] = true,
                                      [MDR_SEEK_LN_FIX] = reactive,
                                      [MDR_SEEK_LN_RATIO] = reactive,
                                      [MDR_SEEK_GAP] = reactive};
    mdr_lm_answer found;
    read_well(s, true);
    MDR_TRY(search_from(s, all, x, CALLS_MAX, &found, err));
    memcpy(x, found.x, MDR_SEEK_COUNT * sizeof *x);
    return run_at(s, x, err);
}

static mdr_code find(mdr_known_search *s, bool *moved, double *x, mdr_dye_fit *fit, mdr_err *err)
{
    int which = -1;
    freed_by_numbers(s->known, moved);
    memcpy(x, s->centre, sizeof s->centre);
    MDR_TRY(meet(s, moved, x, err));
    if (worst_gap(s, false, &which) <= MDR_KNOWN_MET) {
        for (int j = 0; j < MDR_SEEK_COUNT; j++) {
            s->weight[j] = moved[j] ? 1.0 / LOOSE : 1.0;
        }
        read_well(s, true);
    } else {
        memcpy(x, s->centre, sizeof s->centre);
        MDR_TRY(approach(s, x, err));
        for (int j = 0; j < MDR_SEEK_FREE; j++) {
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
    static const bool EVERYTHING[MDR_SEEK_COUNT] = {true, true, true, true, true,
                                                    true, true, true, true};
    bool moved[MDR_SEEK_COUNT] = {false};
    double x[MDR_SEEK_COUNT];
    mdr_lm_answer about;
    mdr_lm_covariance cov;
    mdr_known_search s;
    MDR_TRY(mdr_dye_known_check(known, err));
    mdr_dye_fit *fit = MDR_NEW(arena, mdr_dye_fit);
    if (fit == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the rates of a dye");
    }
    begin(&s, known);
    s.arena = arena;
    MDR_TRY(find(&s, moved, x, fit, err));
    fit->rates = mdr_known_rates_at(&s, x);
    fit->group = s.group;
    fit->group_assumed = known->group == MDR_GROUP_UNSTATED;
    MDR_TRY(search_from(&s, EVERYTHING, x, 1, &about, err));
    if (!mdr_lm_covariance_of(&about, rows_of(&s), MDR_SEEK_COUNT, &cov)) {
        MDR_UNREACHABLE(); /* the rows of the spread alone tell every unknown apart */
    }
    mdr_known_stand(&s, &cov, moved, fit);
    mdr_known_lead_away(&s, &cov, x, fit);
    fit->runs = s.runs;
    *out = fit;
    return MDR_OK;
}
