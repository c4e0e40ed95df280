/* The points of the trade-off: each looked for on the coarse rope, judged on the fine one. */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "core/exhaust/mdr_shorten_parts.h"

/* Invented: enough for a dozen steps. */
enum { RUNS_USUAL = 350, TIGHTEN_ROUNDS = 3, MISSES_MAX = 2, AGAIN_MAX = 4 };
static const double FACTOR_RATIO = 1.4142135623730951; /* from limit to limit; 1 is among them */

/* -- one point -- */

/* What the limits are for each number with its margin. */
typedef struct wish {
    double factor;
    mdr_shorten_target limit;
    bool of_base; /* limits are those of base with the usual rates: the margin goes along */
} wish;

/* The limit for the coarse rope that leaves the judged one at its limit, if both move alike. */
static double drawn(double aim, double coarse, double judged, double limit)
{
    return judged > limit ? fmin(aim, coarse * limit / judged * (1.0 - MDR_SHORTEN_WITHIN)) : aim;
}

static void draw_in(const mdr_shorten_search *s, const wish *w, const mdr_shorten_point *point,
                    const mdr_dye_effect *coarse, mdr_shorten_target *aim)
{
    const mdr_dye_effect *seen = w->of_base ? &point->effect : &point->worst;
    aim->strike = drawn(aim->strike, coarse->strike_pct_per_contact, seen->strike_pct_per_contact,
                        w->limit.strike);
    aim->before = drawn(aim->before, coarse->spread_before, seen->spread_before, w->limit.before);
    aim->fixing = drawn(aim->fixing, coarse->spread_fixing, seen->spread_fixing, w->limit.fixing);
    aim->end = drawn(aim->end, coarse->spread_end, seen->spread_end, w->limit.end);
    aim->less -= fmax(mdr_shorten_given_up(s->in, point), 0.0);
}

static bool granted(const mdr_shorten_search *s, const wish *w, const mdr_shorten_point *point)
{
    if (s->stopped) {
        return false; /* it may be half judged */
    }
    return w->of_base ? !mdr_shorten_less_level(s->in, &point->effect, &s->base) &&
                            mdr_shorten_given_up(s->in, point) <= MDR_SHORTEN_WITHIN
                      : mdr_shorten_keeps(s->in, point, w->factor);
}

/* To the drawn limits by minutes alone, where a few are enough: x was the shortest a little outside them. */
static mdr_code mend_again(mdr_shorten_search *s, double *x, bool *mended)
{
    double there[MDR_MOVES_MAX];
    memcpy(there, x, sizeof there);
    MDR_TRY(mdr_shorten_mend(s, there));
    *mended = mdr_shorten_kept(s, there);
    if (*mended) {
        memcpy(x, there, sizeof there);
    }
    return s->rc;
}

static mdr_code look_anew(mdr_shorten_search *s, int runs_max, double *x)
{
    MDR_TRY(mdr_shorten_descend(s, runs_max, x));
    mdr_moves_round(&s->moves, x);
    return mdr_shorten_mend(s, x);
}

/* Shortest on the coarse rope, as it can be set on a machine, and judged. `again`: once before, under wider
 * limits. */
static mdr_code attempt(mdr_shorten_search *s, int runs_max, bool again, double *x,
                        mdr_shorten_point *point)
{
    bool mended = false;
    if (again) {
        MDR_TRY(mend_again(s, x, &mended));
    }
    if (!mended && !s->stopped) {
        MDR_TRY(look_anew(s, runs_max, x));
    }
    for (int i = 0; i < MDR_DYE_STEPS_MAX; i++) {
        point->why[i] = MDR_SHORTEN_KEPT;
    }
    MDR_TRY(mdr_shorten_whittle(s, x, point->why));
    mdr_moves_apply(&s->moves, s->in->base, x, &point->programme);
    return mdr_shorten_judge(s, &point->programme, false, point);
}

static bool same_aim(const mdr_shorten_target *a, const mdr_shorten_target *b)
{
    return a->strike == b->strike && a->before == b->before && a->fixing == b->fixing &&
           a->end == b->end && a->less == b->less;
}

/* Shortest under the wish; x is where to begin, and what was found; nothing when stopped. */
static mdr_code find(mdr_shorten_search *s, const wish *w, int runs_max, double *x,
                     mdr_shorten_point *point)
{
    mdr_dye_detail coarse;
    double before[MDR_MOVES_MAX];
    s->aim = w->limit;
    for (int round = 0; round <= TIGHTEN_ROUNDS; round++) {
        const mdr_shorten_target aim = s->aim;
        memcpy(before, x, sizeof before);
        MDR_TRY(
            attempt(s, round == 0 ? runs_max : runs_max / 3, round > 0 && !w->of_base, x, point));
        if (s->stopped || granted(s, w, point)) {
            break;
        }
        if (!mdr_shorten_try(s, x, &coarse)) {
            return s->rc;
        }
        draw_in(s, w, point, &coarse.effect, &s->aim);
        /* the same once more would come to the same */
        if (round > 0 && same_aim(&aim, &s->aim) &&
            memcmp(before, x, (size_t)s->moves.n * sizeof *x) == 0) {
            break;
        }
    }
    point->factor = w->factor;
    point->as_now = w->of_base;
    point->kept = mdr_shorten_keeps(s->in, point, 1.0);
    point->less_level = mdr_shorten_less_level(s->in, &point->effect, &s->base);
    return MDR_OK;
}

/* -- the whole -- */

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
static mdr_code find_level(mdr_shorten_search *s, const wish *as_now, int each, double *x,
                           mdr_shorten_point *point, mdr_shorten_out *out)
{
    double there[MDR_MOVES_MAX];
    memcpy(there, x, sizeof there);
    MDR_TRY(find(s, as_now, 2 * each, there, point));
    for (int again = 0; again < AGAIN_MAX && granted(s, as_now, point); again++) {
        const double minutes = point->effect.minutes;
        insert(out, point);
        if (again == 0) { /* the others are looked for from here */
            memcpy(x, there, sizeof there);
        }
        MDR_TRY(find(s, as_now, each, there, point));
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
    const wish as_now = {1.0,
                         {now.strike_pct_per_contact, now.spread_before, now.spread_fixing,
                          now.spread_end, in->fixation_allowance},
                         true};
    MDR_TRY(find_level(s, &as_now, each, x, point, out));
    int missed = 0; /* one after the other: still stricter limits are not worth the time */
    for (int i = 1; i < in->points && missed < MISSES_MAX && !s->stopped; i++) {
        const int steps_up = (in->points - 1) / 2 + 1 - i;
        const double f = pow(FACTOR_RATIO, steps_up);
        const wish w = {f,
                        {f * in->strike_limit_pct, f * in->spread_limit,
                         f * in->spread_fixing_limit, f * in->spread_limit, in->fixation_allowance},
                        false};
        MDR_TRY(find(s, &w, each, x, point));
        const bool found = granted(s, &w, point);
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
