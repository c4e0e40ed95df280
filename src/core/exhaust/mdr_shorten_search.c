/* Inside one search: conditions, the descent, and whole minutes. */
#include <math.h>
#include <string.h>

#include "core/exhaust/mdr_shorten_parts.h"
#include "num/mdr_minimise.h"

enum { MEND_ROUNDS = 6 };
/* Mending goes on while the rounds that are left, each as good as the last, take off a third of what is passed:
 * the next descent begins there. Invented. */
static const double MEND_REACH = 3.0;
static const double SLOPE_STEP = 0.02; /* of a logarithm's range: above the noise of the samples */
static const double FIXED_SCALE =
    0.05; /* a part of a dye that weighs as much as a limit kept or not */

/* -- conditions -- */

enum { G_BEFORE, G_FIXING, G_END, G_DYES };

int mdr_shorten_conditions(const mdr_shorten_search *s, const mdr_dye_detail *d, double *g)
{
    const mdr_dye_programme *p = s->in->base;
    int n = 0;
    for (int i = 0; i < p->n_steps; i++) {
        g[n++] = d->turns_short[i];
    }
    for (int i = 0; i < p->n_steps; i++) {
        g[n++] = d->strike_of_step[i] / s->aim.strike - 1.0;
    }
    g[n++] = d->effect.spread_before / s->aim.before - 1.0;
    g[n++] = d->effect.spread_fixing / s->aim.fixing - 1.0;
    g[n++] = d->effect.spread_end / s->aim.end - 1.0;
    for (int k = 0; k < p->n_dyes; k++) {
        g[n++] = (s->coarse_fixed[k] - s->aim.less - d->effect.fixed[k]) / FIXED_SCALE;
    }
    return n;
}

bool mdr_shorten_stopped(mdr_shorten_search *s)
{
    s->stopped = s->stopped || !mdr_wanted(&s->in->go_on);
    return s->stopped;
}

/* Whether as much is known of it as is asked for; what strikes too fast for a lower limit does so for it only. */
static bool known(const mdr_shorten_known *k, double strike_most_pct)
{
    return !k->detail.cut_short ||
           (strike_most_pct > 0.0 && strike_most_pct <= k->detail.effect.strike_pct_per_contact);
}

/* Moves of what is over before the first dye comes shift the dyeing, and change nothing else of it. What runs beside
 * other steps might still be on: then each counts. */
void mdr_shorten_matters(mdr_shorten_search *s)
{
    const mdr_dye_programme *p = s->in->base;
    int first = 0;
    bool dyed = false, beside = false;
    while (first < p->n_steps && !dyed) {
        for (int k = 0; k < p->n_dyes; k++) {
            dyed = dyed || p->steps[first].dye_kg[k] > 0.0;
        }
        beside = beside || p->steps[first].beside;
        first += !dyed;
    }
    for (int i = 0; i < s->moves.n; i++) {
        const mdr_move *m = &s->moves.move[i];
        s->matters[i] = beside || m->kind == MDR_MOVE_SPEED || m->step >= first;
    }
}

static bool same_dyeing(const mdr_shorten_search *s, const double *a, const double *b)
{
    for (int i = 0; i < s->moves.n; i++) {
        if (s->matters[i] && a[i] != b[i]) {
            return false;
        }
    }
    return true;
}

/* What is known of the same dyeing that began sooner or later. */
static void shifted(const mdr_shorten_search *s, const double *x, mdr_dye_detail *d)
{
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    mdr_moves_apply(&s->moves, s->in->base, x, s->tried);
    const double minutes = mdr_dye_programme_times(s->tried, times);
    const double later_min = minutes - d->effect.minutes;
    d->effect.minutes = minutes;
    d->effect.strike_min += later_min;
    d->alkali_min += d->alkali_min >= 0.0 ? later_min : 0.0;
    mdr_shorten_turns(s->in, s->tried, d->turns_short);
}

bool mdr_shorten_try_until(mdr_shorten_search *s, const double *x, double strike_most_pct,
                           mdr_dye_detail *d)
{
    if (mdr_shorten_stopped(s)) {
        return false;
    }
    const size_t all = (size_t)s->moves.n * sizeof *x;
    mdr_shorten_known *to = &s->known[s->n_known % MDR_SHORTEN_KNOWN];
    for (int i = 0; i < s->n_known && i < MDR_SHORTEN_KNOWN; i++) {
        if (!same_dyeing(s, s->known[i].x, x)) {
            continue;
        }
        if (known(&s->known[i], strike_most_pct)) {
            *d = s->known[i].detail;
            if (memcmp(s->known[i].x, x, all) != 0) {
                shifted(s, x, d);
            }
            return true;
        }
        to = &s->known[i];
    }
    mdr_moves_apply(&s->moves, s->in->base, x, s->tried);
    s->runs++;
    const mdr_shorten_eye eye = {.strike_most_pct = strike_most_pct, .trails = s->trails};
    s->rc = mdr_shorten_look(s->in, s->tried, &s->in->usual, &eye, s->arena, d, s->err);
    if (s->rc != MDR_OK) {
        return false;
    }
    s->n_known += to == &s->known[s->n_known % MDR_SHORTEN_KNOWN];
    memcpy(to->x, x, all);
    to->detail = *d;
    return true;
}

bool mdr_shorten_try(mdr_shorten_search *s, const double *x, mdr_dye_detail *d)
{
    return mdr_shorten_try_until(s, x, 0.0, d);
}

static bool value(void *about, const double *x, double *f, double *g)
{
    mdr_shorten_search *s = about;
    mdr_dye_detail d;
    if (!mdr_shorten_try(s, x, &d)) {
        return false;
    }
    *f = d.effect.minutes / s->base.minutes;
    (void)mdr_shorten_conditions(s, &d, g);
    return true;
}

/* The condition that is passed most, or -1. */
static int passed(const mdr_shorten_search *s, const mdr_dye_detail *d)
{
    double g[MDR_SHORTEN_CONDITIONS], most = MDR_SHORTEN_WITHIN;
    int which = -1;
    const int n = mdr_shorten_conditions(s, d, g);
    for (int j = 0; j < n; j++) {
        if (g[j] > most) {
            most = g[j];
            which = j;
        }
    }
    return which;
}

static mdr_shorten_reason reason_of(const mdr_shorten_search *s, int condition)
{
    static const mdr_shorten_reason SPREADS[G_DYES] = {[G_BEFORE] = MDR_SHORTEN_BEFORE,
                                                       [G_FIXING] = MDR_SHORTEN_FIXING,
                                                       [G_END] = MDR_SHORTEN_END};
    const int steps = s->in->base->n_steps, rest = condition - 2 * steps;
    return condition < 0       ? MDR_SHORTEN_NOTHING
           : condition < steps ? MDR_SHORTEN_TURNS
           : rest < 0          ? MDR_SHORTEN_STRIKE
           : rest < G_DYES     ? SPREADS[rest]
                               : MDR_SHORTEN_FIXATION;
}

bool mdr_shorten_kept(mdr_shorten_search *s, const double *x)
{
    mdr_dye_detail d;
    return mdr_shorten_try(s, x, &d) && passed(s, &d) < 0;
}

mdr_code mdr_shorten_descend(mdr_shorten_search *s, int runs_max, double *x)
{
    mdr_minimise_result r;
    const mdr_minimise_problem p = {.n = s->moves.n,
                                    .m = 2 * s->in->base->n_steps + G_DYES + s->in->base->n_dyes,
                                    .low = s->moves.low,
                                    .high = s->moves.high,
                                    .difference = SLOPE_STEP,
                                    .within = MDR_SHORTEN_WITHIN,
                                    .values_max = runs_max,
                                    .value = value,
                                    .about = s};
    const mdr_arena_mark here = mdr_arena_here(s->arena);
    mdr_err err = {0}; /* one that is stopped fails as well, and has nothing to say */
    const mdr_code rc = mdr_minimise(&p, s->arena, x, &r, &err);
    mdr_arena_back(s->arena, here);
    if (s->rc != MDR_OK || s->stopped || rc == MDR_OK) {
        return s->rc;
    }
    if (s->err != NULL) {
        *s->err = err;
    }
    return rc;
}

/* -- whole minutes -- */

bool mdr_shorten_quicker(const mdr_shorten_search *s, int i, double by, double *x)
{
    const mdr_move_kind kind = s->moves.move[i].kind;
    const double now = exp(x[i]);
    const double to = kind == MDR_MOVE_MINUTES ? ceil(now - 1e-9) - by : now + by / 10.0;
    const double room = kind == MDR_MOVE_MINUTES ? s->moves.low[i] : s->moves.high[i];
    if (kind == MDR_MOVE_MINUTES ? to < exp(room) - 1e-9 : to > exp(room) + 1e-9) {
        return false;
    }
    x[i] = log(to);
    return true;
}

bool mdr_shorten_slower(const mdr_shorten_search *s, int i, double by, double *x)
{
    const mdr_move_kind kind = s->moves.move[i].kind;
    const double now = exp(x[i]);
    const double to = kind == MDR_MOVE_MINUTES ? floor(now + 1e-9) + by : now - by / 10.0;
    if (kind == MDR_MOVE_MINUTES ? to > exp(s->moves.high[i]) + 1e-9
                                 : to < exp(s->moves.low[i]) - 1e-9) {
        return false;
    }
    x[i] = log(to);
    return true;
}

bool mdr_shorten_takes_time(const mdr_shorten_search *s, int i)
{
    return s->moves.move[i].kind == MDR_MOVE_MINUTES || s->moves.move[i].kind == MDR_MOVE_RATE;
}

/* By what part too few turns there are in a dose, of the dose that is shortest of them; known without looking. */
static double turns_short(mdr_shorten_search *s, const double *x)
{
    double short_by[MDR_DYE_STEPS_MAX], most = -1.0;
    mdr_moves_apply(&s->moves, s->in->base, x, s->tried);
    mdr_shorten_turns(s->in, s->tried, short_by);
    for (int i = 0; i < s->in->base->n_steps; i++) {
        most = fmax(most, short_by[i]);
    }
    return most;
}

/* Tries to make move i quicker; keeps it when all conditions hold and the whole gets shorter. Says in
 * `why` what stood in the way. */
static bool try_quicker(mdr_shorten_search *s, int i, double by, double *x, double *minutes,
                        mdr_shorten_reason *why)
{
    double there[MDR_MOVES_MAX];
    mdr_dye_detail d;
    memcpy(there, x, sizeof there);
    if (!mdr_shorten_quicker(s, i, by, there)) {
        *why = s->moves.move[i].least;
        return false;
    }
    if (turns_short(s, there) > MDR_SHORTEN_WITHIN) {
        *why = MDR_SHORTEN_TURNS;
        return false;
    }
    const double strike_most_pct = s->aim.strike * (1.0 + MDR_SHORTEN_WITHIN);
    if (!mdr_shorten_try_until(s, there, strike_most_pct, &d)) {
        return false;
    }
    const int against = passed(s, &d);
    *why = reason_of(s, against);
    if (against >= 0 || !(d.effect.minutes < *minutes - 1e-6)) {
        return false;
    }
    memcpy(x, there, sizeof there);
    *minutes = d.effect.minutes;
    return true;
}

static double most_passed(const mdr_shorten_search *s, const mdr_dye_detail *d)
{
    double g[MDR_SHORTEN_CONDITIONS], most = 0.0;
    const int n = mdr_shorten_conditions(s, d, g);
    for (int j = 0; j < n; j++) {
        most = fmax(most, g[j]);
    }
    return most;
}

double mdr_shorten_passed_by(mdr_shorten_search *s, const double *x)
{
    mdr_dye_detail d;
    return mdr_shorten_try(s, x, &d) ? most_passed(s, &d) : 0.0;
}

/* When what a condition speaks of is over: what happens later cannot mend it. */
static double over_min(const mdr_shorten_search *s, const mdr_dye_detail *d, int condition,
                       const mdr_dye_time *times)
{
    const int steps = s->in->base->n_steps, rest = condition - 2 * steps;
    return condition < steps  ? times[condition].end_min
           : rest < 0         ? times[condition - steps].end_min + MDR_SHORTEN_SAMPLE_MIN
           : rest == G_BEFORE ? d->alkali_min + MDR_SHORTEN_SAMPLE_MIN
                              : HUGE_VAL;
}

/* The step that, a minute longer, mends most of what is passed, into `best`. False: none does. */
static bool mend_most(mdr_shorten_search *s, const mdr_dye_detail *d, const double *x, double *best)
{
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    double least = most_passed(s, d);
    bool any = false;
    mdr_moves_apply(&s->moves, s->in->base, x, s->tried);
    (void)mdr_dye_programme_times(s->tried, times);
    const double until_min = over_min(s, d, passed(s, d), times);
    for (int i = 0; i < s->moves.n && s->rc == MDR_OK && !s->stopped; i++) {
        double there[MDR_MOVES_MAX];
        mdr_dye_detail now;
        memcpy(there, x, sizeof there);
        if (!mdr_shorten_takes_time(s, i) || times[s->moves.move[i].step].start_min >= until_min ||
            !mdr_shorten_slower(s, i, 1.0, there) || turns_short(s, there) >= least ||
            !mdr_shorten_try_until(s, there, s->aim.strike * (1.0 + least), &now)) {
            continue;
        }
        if (!now.cut_short && most_passed(s, &now) < least) {
            least = most_passed(s, &now);
            memcpy(best, there, sizeof there);
            any = true;
        }
    }
    return any;
}

/* What rounding has broken: each time the minute that mends most. Ends when no minute mends any. */
mdr_code mdr_shorten_mend(mdr_shorten_search *s, double *x)
{
    mdr_dye_detail d;
    double best[MDR_MOVES_MAX];
    if (!mdr_shorten_try(s, x, &d)) {
        return s->rc;
    }
    for (int round = 0; round < MEND_ROUNDS && passed(s, &d) >= 0; round++) {
        if (!mend_most(s, &d, x, best) || s->rc != MDR_OK || s->stopped) {
            return s->rc;
        }
        const double before = most_passed(s, &d);
        memcpy(x, best, sizeof best);
        if (!mdr_shorten_try(s, x, &d)) { /* known */
            return s->rc;
        }
        const double now = most_passed(s, &d);
        if (MEND_REACH * (before - now) * (MEND_ROUNDS - 1 - round) < now) {
            break;
        }
    }
    return MDR_OK;
}

/* Minute by minute until nothing can be taken off any step: then each says why. */
mdr_code mdr_shorten_whittle(mdr_shorten_search *s, double *x, mdr_shorten_reason *why)
{
    static const double BY_MIN[] = {4.0, 2.0, 1.0};
    mdr_dye_detail d;
    if (!mdr_shorten_try(s, x, &d)) {
        return s->rc;
    }
    double minutes = d.effect.minutes;
    const bool begins_kept = passed(s, &d) < 0;
    for (size_t b = 0; b < sizeof BY_MIN / sizeof BY_MIN[0]; b++) {
        bool gained = true;
        while (gained && s->rc == MDR_OK && !s->stopped) {
            gained = false;
            for (int i = 0; i < s->moves.n && s->rc == MDR_OK && !s->stopped; i++) {
                mdr_shorten_reason because = MDR_SHORTEN_NOTHING;
                if (!mdr_shorten_takes_time(s, i)) {
                    continue;
                }
                gained |= try_quicker(s, i, BY_MIN[b], x, &minutes, &because);
                why[s->moves.move[i].step] = because;
            }
            gained = gained && begins_kept;
        }
    }
    return s->rc;
}
