/* The points of the trade-off: which are looked for, from where, and which are worth telling. */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "core/exhaust/mdr_shorten_parts.h"

/* Invented: enough for a dozen steps. */
enum { RUNS_USUAL = 350, MISSES_MAX = 2, AGAIN_MAX = 4 };
static const double FACTOR_RATIO = 1.4142135623730951; /* from limit to limit; 1 is among them */

static mdr_code refuse(mdr_err *err, mdr_code code, const char *place, double got,
                       const char *range)
{
    const mdr_code rc = MDR_FAIL(err, code, place, "the search cannot be made with this");
    mdr_err_value(err, "%.15g", got);
    mdr_err_allowed(err, "%s", range);
    return rc;
}

static mdr_code check(const mdr_shorten_in *in, mdr_err *err)
{
    if (in->points < 1 || in->points > MDR_SHORTEN_POINTS_MAX) {
        return refuse(err, MDR_E_ARG, "points", in->points, "1 to 8");
    }
    if (in->away.n < 0 || in->away.n > MDR_FIT_AWAY_MAX) {
        return refuse(err, MDR_E_ARG, "away", in->away.n, "0 to 9");
    }
    if (!(in->strike_limit_pct > 0.0 && in->strike_limit_pct <= 100.0)) {
        return refuse(err, MDR_E_RANGE, "strike_limit_pct", in->strike_limit_pct, "above 0 to 100");
    }
    if (!(in->spread_limit > 0.0 && in->spread_limit <= 2.0)) {
        return refuse(err, MDR_E_RANGE, "spread_limit", in->spread_limit, "above 0 to 2");
    }
    if (!(in->spread_fixing_limit > 0.0 && in->spread_fixing_limit <= 4.0)) {
        return refuse(err, MDR_E_RANGE, "spread_fixing_limit", in->spread_fixing_limit,
                      "above 0 to 4");
    }
    if (!(in->fixation_allowance >= 0.0 && in->fixation_allowance <= 1.0)) {
        return refuse(err, MDR_E_RANGE, "fixation_allowance", in->fixation_allowance, "0 to 1");
    }
    if (!(in->fixation_allowance_worst >= 0.0 && in->fixation_allowance_worst <= 1.0)) {
        return refuse(err, MDR_E_RANGE, "fixation_allowance_worst", in->fixation_allowance_worst,
                      "0 to 1");
    }
    return mdr_dye_programme_check(in->base, err);
}

static mdr_code begin(mdr_shorten_search *s, mdr_shorten_out *out)
{
    mdr_dye_detail d;
    mdr_moves_of(s->in, &s->moves);
    if (s->moves.n == 0) {
        return refuse(s->err, MDR_E_ARG, "base", 0, "at least one step that may be changed");
    }
    mdr_shorten_matters(s);
    MDR_TRY(mdr_shorten_trails(s->in, s->arena, &s->trails, s->err));
    const mdr_shorten_eye eye = {.trails = s->trails};
    MDR_TRY(mdr_shorten_look(s->in, s->in->base, &s->in->usual, &eye, s->arena, &d, s->err));
    memcpy(s->coarse_fixed, d.effect.fixed, sizeof s->coarse_fixed);
    mdr_shorten_point *base = MDR_NEW(s->arena, mdr_shorten_point);
    if (base == NULL) {
        return MDR_FAIL(s->err, MDR_E_NOMEM, "base", "no memory for the search");
    }
    s->runs = 1;
    MDR_TRY(mdr_shorten_judge(s, s->in->base, true, base));
    mdr_shorten_learn(s, &d.effect, base);
    out->base = base->effect;
    out->base_worst = base->worst;
    out->base_kept = mdr_shorten_keeps(s->in, base, 1.0);
    out->wanted = out->as_level = -1;
    return MDR_OK;
}

/* Whether nobody would take b: no shorter than a, and looked for with limits no stricter. */
static bool outdone(const mdr_shorten_point *b, const mdr_shorten_point *a)
{
    return a->as_now == b->as_now && a->effect.minutes <= b->effect.minutes + 1e-6 &&
           a->factor <= b->factor;
}

/* In the order of minutes. */
static void insert(mdr_shorten_out *out, const mdr_shorten_point *point)
{
    int n = 0;
    for (int i = 0; i < out->n_points; i++) {
        if (outdone(point, &out->points[i])) {
            return;
        }
    }
    for (int i = 0; i < out->n_points; i++) {
        if (!outdone(&out->points[i], point)) {
            out->points[n++] = out->points[i];
        }
    }
    int at = n;
    while (at > 0 && out->points[at - 1].effect.minutes > point->effect.minutes) {
        out->points[at] = out->points[at - 1];
        at--;
    }
    out->points[at] = *point;
    out->n_points = n + 1;
}

static void number(mdr_shorten_out *out, const mdr_dye_effect *base)
{
    for (int i = 0; i < out->n_points; i++) {
        const mdr_shorten_point *p = &out->points[i];
        if (out->wanted < 0 && p->kept) {
            out->wanted = i;
        }
        if (out->as_level < 0 && !p->less_level && p->effect.minutes < base->minutes - 1e-6) {
            out->as_level = i;
        }
    }
}

/* The shortest that is nowhere less level than base: once found, looked for from there again as long as that helps. A
 * descent may end far from the least when it began far from it. */
static mdr_code find_level(mdr_shorten_search *s, const mdr_shorten_wish *as_now, int each,
                           double *x, mdr_shorten_point *point, mdr_shorten_out *out)
{
    double there[MDR_MOVES_MAX];
    bool found = false;
    memcpy(there, x, sizeof there);
    MDR_TRY(mdr_shorten_find(s, as_now, 2 * each, there, point, &found));
    for (int again = 0; again < AGAIN_MAX && found; again++) {
        const double minutes = point->effect.minutes;
        insert(out, point);
        if (again == 0) { /* the others are looked for from here */
            memcpy(x, there, sizeof there);
        }
        MDR_TRY(mdr_shorten_find(s, as_now, each, there, point, &found));
        if (!(point->effect.minutes < minutes - 0.5)) {
            break;
        }
    }
    return MDR_OK;
}

static mdr_code search_points(mdr_shorten_search *s, mdr_shorten_out *out)
{
    const mdr_shorten_in *in = s->in;
    const mdr_dye_effect *base = &s->base;
    const int each = (in->runs_max > 0 ? in->runs_max : RUNS_USUAL) / (in->points + 2);
    mdr_shorten_point *point = MDR_NEW(s->arena, mdr_shorten_point);
    double x[MDR_MOVES_MAX];
    if (point == NULL) {
        return MDR_FAIL(s->err, MDR_E_NOMEM, "points", "no memory for the search");
    }
    memcpy(x, s->moves.base, sizeof x);
    for (int i = 0; i < s->moves.n; i++) { /* a quick rope is never less level */
        if (s->moves.move[i].kind == MDR_MOVE_SPEED) {
            x[i] = s->moves.high[i];
        }
    }
    const mdr_dye_effect now = mdr_shorten_as_level(in, base);
    const mdr_shorten_wish as_now = {1.0,
                                     {now.strike_pct_per_contact, now.spread_before,
                                      now.spread_fixing, now.spread_end, in->fixation_allowance},
                                     true};
    MDR_TRY(find_level(s, &as_now, each, x, point, out));
    int missed = 0; /* one after the other: still stricter limits are not worth the time */
    for (int i = 1; i < in->points && missed < MISSES_MAX && !s->stopped; i++) {
        const int steps_up = (in->points - 1) / 2 + 1 - i;
        const double f = pow(FACTOR_RATIO, steps_up);
        bool found = false;
        const mdr_shorten_wish w = {f,
                                    {f * in->strike_limit_pct, f * in->spread_limit,
                                     f * in->spread_fixing_limit, f * in->spread_limit,
                                     in->fixation_allowance},
                                    false};
        MDR_TRY(mdr_shorten_find(s, &w, each, x, point, &found));
        if (found) {
            insert(out, point);
        }
        missed = found ? 0 : missed + 1;
    }
    number(out, base);
    return MDR_OK;
}

mdr_code mdr_dye_shorten(const mdr_shorten_in *in, mdr_arena *arena, const mdr_shorten_out **out,
                         mdr_err *err)
{
    MDR_TRY(check(in, err));
    mdr_shorten_search *s = MDR_NEW(arena, mdr_shorten_search);
    mdr_shorten_out *o = MDR_NEW(arena, mdr_shorten_out);
    mdr_dye_programme *room = MDR_NEW(arena, mdr_dye_programme);
    mdr_shorten_known *known = MDR_NEW_N(arena, mdr_shorten_known, MDR_SHORTEN_KNOWN);
    if (s == NULL || o == NULL || room == NULL || known == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "base", "no memory for the search");
    }
    *s = (mdr_shorten_search){
        .in = in, .arena = arena, .err = err, .tried = room, .known = known, .rc = MDR_OK};
    MDR_TRY(begin(s, o));
    MDR_TRY(search_points(s, o));
    o->runs = s->runs;
    o->stopped = s->stopped;
    *out = o;
    return MDR_OK;
}

const char *mdr_shorten_reason_id(mdr_shorten_reason r)
{
#define ID(name, id) id,
    static const char *const IDS[] = {MDR_SHORTEN_REASONS(ID)};
#undef ID
    return (int)r >= 0 && (size_t)r < sizeof IDS / sizeof IDS[0] ? IDS[r] : NULL;
}

void mdr_shorten_usual(mdr_shorten_in *in)
{
    in->strike_limit_pct = 1.0; /* [strike-per-contact] */
    in->spread_limit =
        0.08; /* common practice: a wave whose K/S scatters by 3 % goes 8 % from end to end */
    in->spread_fixing_limit = MDR_FIXING_LIMIT_TIMES * in->spread_limit;
    in->fixation_allowance = 0.005;      /* invented: below what a sample can show */
    in->fixation_allowance_worst = 0.02; /* invented: what the shade of a lot scatters by anyway */
    in->run_least_min = 5.0;             /* invented: time to look */
    in->turns_least[MDR_GIVES_SALT] = 5.0;
    in->turns_least[MDR_GIVES_DYE] = 10.0; /* common practice, both */
    in->turns_least[MDR_GIVES_ALKALI] = 15.0;
    in->points = 5;
}
