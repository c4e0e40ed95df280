/* One point of the trade-off: looked for on the coarse rope, judged on the fine one, the limits drawn in until it
 * keeps them there, and let out where that was too much. */
#include <math.h>
#include <string.h>

#include "core/exhaust/mdr_shorten_parts.h"

enum { TIGHTEN_ROUNDS = 5, LET_OUT_ROUNDS = 2 };
/* What passes its limits on the coarse rope by more than that is not judged; and where a round takes less off that
 * than a tenth, it is not looked for any longer. Invented. */
static const double HOPELESS = 0.1, NEARER = 0.9;

/* -- limits of the coarse rope -- */

/* The one that leaves the judged number at its limit, if both move alike. */
static double at_limit(double coarse, double judged, double limit)
{
    return coarse * limit / judged * (1.0 - MDR_SHORTEN_WITHIN);
}

static double drawn_in(double aim, double coarse, double judged, double limit)
{
    return judged > limit ? fmin(aim, at_limit(coarse, judged, limit)) : aim;
}

static double drawn_out(double aim, double coarse, double judged, double limit)
{
    return judged > 0.0 ? fmax(aim, at_limit(coarse, judged, limit)) : limit;
}

typedef double draw(double aim, double coarse, double judged, double limit);

static void draw_all(draw *by, const mdr_shorten_target *limit, const mdr_dye_effect *coarse,
                     const mdr_dye_effect *judged, mdr_shorten_target *aim)
{
    aim->strike = by(aim->strike, coarse->strike_pct_per_contact, judged->strike_pct_per_contact,
                     limit->strike);
    aim->before = by(aim->before, coarse->spread_before, judged->spread_before, limit->before);
    aim->fixing = by(aim->fixing, coarse->spread_fixing, judged->spread_fixing, limit->fixing);
    aim->end = by(aim->end, coarse->spread_end, judged->spread_end, limit->end);
}

static void draw_in(mdr_shorten_search *s, const mdr_shorten_wish *w,
                    const mdr_shorten_point *point, const mdr_dye_effect *coarse)
{
    const mdr_dye_effect *judged = w->of_base ? &point->effect : &point->worst;
    draw_all(drawn_in, &w->limit, coarse, judged, &s->aim);
    s->aim.less -= fmax(mdr_shorten_given_up(s->in, point), 0.0);
}

static bool same_aim(const mdr_shorten_target *a, const mdr_shorten_target *b)
{
    return a->strike == b->strike && a->before == b->before && a->fixing == b->fixing &&
           a->end == b->end && a->less == b->less;
}

void mdr_shorten_learn(mdr_shorten_search *s, const mdr_dye_effect *coarse,
                       const mdr_shorten_point *judged)
{
    const double worst_pct = judged->worst.strike_pct_per_contact;
    s->strike_part = worst_pct > 0.0 ? fmin(coarse->strike_pct_per_contact / worst_pct, 1.0) : 1.0;
}

/* -- looked for, and judged -- */

static bool granted(const mdr_shorten_search *s, const mdr_shorten_wish *w,
                    const mdr_shorten_point *point)
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

/* Shortest on the coarse rope, as it can be set on a machine. `again`: once before, under wider limits. */
static mdr_code attempt(mdr_shorten_search *s, int runs_max, bool again, double *x,
                        mdr_shorten_reason *why)
{
    bool mended = false;
    if (again) {
        MDR_TRY(mend_again(s, x, &mended));
    }
    if (!mended && !s->stopped) {
        MDR_TRY(look_anew(s, runs_max, x));
    }
    for (int i = 0; i < MDR_DYE_STEPS_MAX; i++) {
        why[i] = MDR_SHORTEN_KEPT;
    }
    return mdr_shorten_whittle(s, x, why);
}

/* Judges what is at x, and keeps what that says of the limits. */
static mdr_code judge_there(mdr_shorten_search *s, const mdr_shorten_wish *w, const double *x,
                            mdr_shorten_point *point, bool *found)
{
    mdr_dye_detail coarse;
    mdr_moves_apply(&s->moves, s->in->base, x, &point->programme);
    MDR_TRY(mdr_shorten_judge(s, &point->programme, false, point));
    *found = granted(s, w, point);
    if (s->stopped || !mdr_shorten_try(s, x, &coarse)) {
        return s->rc;
    }
    if (!w->of_base) {
        mdr_shorten_learn(s, &coarse.effect, point);
    }
    if (!*found) {
        draw_in(s, w, point, &coarse.effect);
    }
    return MDR_OK;
}

/* Whether it would certainly not be granted, for the strike will be judged by about as much more as the last one was.
 * Then that is what the limit is drawn in by. */
static bool hopeless(mdr_shorten_search *s, const mdr_shorten_wish *w, const double *x)
{
    const double aim_pct = s->aim.strike;
    if (w->of_base) {
        return false;
    }
    s->aim.strike = fmin(aim_pct, w->limit.strike * s->strike_part);
    if (mdr_shorten_passed_by(s, x) > HOPELESS) {
        return true;
    }
    s->aim.strike = aim_pct;
    return false;
}

/* One round; the last is judged in any case. */
static mdr_code tighten_once(mdr_shorten_search *s, const mdr_shorten_wish *w, int runs, int round,
                             double *x, mdr_shorten_point *point, bool *found)
{
    const bool again = round > 0 && !w->of_base;
    MDR_TRY(attempt(s, runs, again, x, point->why));
    return round == TIGHTEN_ROUNDS || !hopeless(s, w, x) ? judge_there(s, w, x, point, found)
                                                         : s->rc;
}

/* Round after round under limits that are drawn in. */
static mdr_code tighten(mdr_shorten_search *s, const mdr_shorten_wish *w, int runs_max, double *x,
                        mdr_shorten_point *point, bool *found)
{
    double passed_by = HUGE_VAL;
    for (int round = 0; round <= TIGHTEN_ROUNDS && !*found && !s->stopped; round++) {
        const mdr_shorten_target aim = s->aim;
        const double before = passed_by;
        MDR_TRY(tighten_once(s, w, round == 0 ? runs_max : runs_max / 3, round, x, point, found));
        passed_by = mdr_shorten_passed_by(s, x);
        /* the same once more would come to the same */
        if (round > 0 && same_aim(&aim, &s->aim) && passed_by > NEARER * before) {
            break;
        }
    }
    return s->rc;
}

/* -- let out -- */

static mdr_code take_off_and_trade(mdr_shorten_search *s, double *x, mdr_shorten_reason *why)
{
    MDR_TRY(mdr_shorten_whittle(s, x, why));
    MDR_TRY(mdr_shorten_trade(s, x));
    return mdr_shorten_whittle(s, x, why);
}

/* What the wider limits let go: more where it is the point that is asked for. */
static mdr_code take_off(mdr_shorten_search *s, const mdr_shorten_wish *w, int runs_max, double *x,
                         mdr_shorten_reason *why)
{
    if (w->of_base) {
        return take_off_and_trade(s, x, why);
    }
    if (w->factor == 1.0) {
        MDR_TRY(look_anew(s, runs_max, x));
    }
    return mdr_shorten_whittle(s, x, why);
}

/* The limits may have been drawn in too far: they are let out to where the judged point comes to its own, and the
 * shorter one is taken if it is granted. */
static mdr_code let_out(mdr_shorten_search *s, const mdr_shorten_wish *w, int runs_max, double *x,
                        mdr_shorten_point *point)
{
    mdr_dye_detail coarse;
    double there[MDR_MOVES_MAX];
    mdr_shorten_point *better = MDR_NEW(s->arena, mdr_shorten_point);
    if (better == NULL) {
        return MDR_FAIL(s->err, MDR_E_NOMEM, "points", "no memory for the search");
    }
    if (!mdr_shorten_try(s, x, &coarse)) {
        return s->rc;
    }
    if (!w->of_base) {
        draw_all(drawn_out, &w->limit, &coarse.effect, &point->worst, &s->aim);
    }
    memcpy(there, x, sizeof there);
    *better = *point;
    bool found = false;
    for (int round = 0; round < LET_OUT_ROUNDS && !found; round++) {
        MDR_TRY(take_off(s, w, runs_max, there, better->why));
        if (s->stopped || !mdr_shorten_try(s, there, &coarse) ||
            coarse.effect.minutes > point->effect.minutes - 1e-6) {
            return s->rc;
        }
        MDR_TRY(judge_there(s, w, there, better, &found));
    }
    if (found && better->effect.minutes < point->effect.minutes) {
        memcpy(x, there, sizeof there);
        *point = *better;
    }
    return MDR_OK;
}

mdr_code mdr_shorten_find(mdr_shorten_search *s, const mdr_shorten_wish *w, int runs_max, double *x,
                          mdr_shorten_point *point, bool *found)
{
    *found = false;
    s->aim = w->limit;
    MDR_TRY(tighten(s, w, runs_max, x, point, found));
    if (*found) {
        MDR_TRY(let_out(s, w, runs_max, x, point));
    }
    point->factor = w->factor;
    point->as_now = w->of_base;
    point->kept = mdr_shorten_keeps(s->in, point, 1.0);
    point->less_level = mdr_shorten_less_level(s->in, &point->effect, &s->base);
    return MDR_OK;
}
