/* How a programme is judged: on the fine rope, each number with its margin. */
#include <math.h>
#include <stddef.h>

#include "core/exhaust/mdr_shorten_parts.h"

static const double UNSEEN = 0.1; /* of a limit: nobody sees so little; invented */

static double largest(double a, double b)
{
    return a > b ? a : b;
}

/* Numbers of the margin: strike, the spreads, what of each dye is fixed, and how much less than by base
 * with the same rates. */
enum { M_STRIKE, M_BEFORE, M_FIXING, M_END, M_FIXED };

typedef struct reader {
    mdr_shorten_search *s;
    const mdr_dye_programme *p;
    bool of_base;
} reader;

static void read_numbers(void *about, const mdr_dyeing_result *r, int direction, double *numbers)
{
    const reader *of = about;
    const int n = of->s->in->base->n_dyes;
    double *base = of->s->fixed_away[direction + 1];
    mdr_dye_detail d;
    of->s->runs++;
    mdr_shorten_read(of->s->in, of->p, r, &d);
    numbers[M_STRIKE] = d.effect.strike_pct_per_contact;
    numbers[M_BEFORE] = d.effect.spread_before;
    numbers[M_FIXING] = d.effect.spread_fixing;
    numbers[M_END] = d.effect.spread_end;
    for (int i = 0; i < n; i++) {
        base[i] = of->of_base ? d.effect.fixed[i] : base[i];
        numbers[M_FIXED + i] = d.effect.fixed[i];
        numbers[M_FIXED + n + i] = base[i] - d.effect.fixed[i];
    }
}

static bool still_wanted(void *about)
{
    return !mdr_shorten_stopped(about);
}

static mdr_code margin_of(mdr_shorten_search *s, const mdr_dye_programme *p, bool of_base,
                          double *by)
{
    const mdr_shorten_in *in = s->in;
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    reader about = {s, p, of_base};
    mdr_dyeing_case *study = MDR_NEW(s->arena, mdr_dyeing_case);
    if (study == NULL) {
        return MDR_FAIL(s->err, MDR_E_NOMEM, "base", "no memory for the margin");
    }
    *study = *in->study;
    study->programme = *p;
    study->rates = in->usual.dyes;
    study->sample_min = mdr_dyeing_sample_min(mdr_dye_programme_times(p, times));
    const mdr_margin_in margin = {.study = study,
                                  .away = &in->away,
                                  .table = in->table,
                                  .read = read_numbers,
                                  .about = &about,
                                  .go_on = {of_base ? NULL : still_wanted, s},
                                  .n_numbers = M_FIXED + 2 * in->base->n_dyes};
    return mdr_dye_margin_of(&margin, s->arena, by, s->err);
}

/* How it is simulated, and each number with its margin. Base is judged in any case: it is what all else is
 * told against. When it is stopped, the point is half judged. */
mdr_code mdr_shorten_judge(mdr_shorten_search *s, const mdr_dye_programme *p, bool of_base,
                           mdr_shorten_point *point)
{
    const mdr_shorten_in *in = s->in;
    const int n = in->base->n_dyes;
    const mdr_arena_mark here = mdr_arena_here(s->arena);
    double by[MDR_MARGIN_NUMBERS_MAX] = {0.0};
    if (!of_base && mdr_shorten_stopped(s)) {
        return MDR_OK;
    }
    MDR_TRY(margin_of(s, p, of_base, by));
    mdr_arena_back(s->arena, here);
    if (!of_base && mdr_shorten_stopped(s)) {
        return MDR_OK;
    }
    MDR_TRY(mdr_dye_effect_of(in, p, &in->usual, true, s->arena, &point->effect, s->err));
    s->runs++;
    s->base = of_base ? point->effect : s->base;
    point->worst = point->effect;
    point->worst.strike_pct_per_contact += by[M_STRIKE];
    point->worst.spread_before += by[M_BEFORE];
    point->worst.spread_fixing += by[M_FIXING];
    point->worst.spread_end += by[M_END];
    point->fixed_less = point->fixed_less_worst = -1.0;
    for (int i = 0; i < n; i++) {
        const double less = s->base.fixed[i] - point->effect.fixed[i];
        point->worst.fixed[i] = largest(point->effect.fixed[i] - by[M_FIXED + i], 0.0);
        point->fixed_less = largest(point->fixed_less, less);
        point->fixed_less_worst = largest(point->fixed_less_worst, less + by[M_FIXED + n + i]);
    }
    return MDR_OK;
}

/* By what part of a dye too much is given up; 0 or less: within both allowances. */
double mdr_shorten_given_up(const mdr_shorten_in *in, const mdr_shorten_point *p)
{
    return fmax(p->fixed_less - in->fixation_allowance,
                p->fixed_less_worst - in->fixation_allowance_worst);
}

bool mdr_shorten_keeps(const mdr_shorten_in *in, const mdr_shorten_point *p, double factor)
{
    const double hair = 1.0 + MDR_SHORTEN_WITHIN;
    return p->worst.strike_pct_per_contact <= in->strike_limit_pct * factor * hair &&
           p->worst.spread_before <= in->spread_limit * factor * hair &&
           p->worst.spread_fixing <= in->spread_fixing_limit * factor * hair &&
           p->worst.spread_end <= in->spread_limit * factor * hair &&
           mdr_shorten_given_up(in, p) <= MDR_SHORTEN_WITHIN;
}

/* What base may be overstepped by without anyone seeing it. */
mdr_dye_effect mdr_shorten_as_level(const mdr_shorten_in *in, const mdr_dye_effect *base)
{
    mdr_dye_effect e = *base;
    e.strike_pct_per_contact = fmax(e.strike_pct_per_contact, UNSEEN * in->strike_limit_pct);
    e.spread_before = fmax(e.spread_before, UNSEEN * in->spread_limit);
    e.spread_fixing = fmax(e.spread_fixing, UNSEEN * in->spread_fixing_limit);
    e.spread_end = fmax(e.spread_end, UNSEEN * in->spread_limit);
    return e;
}

bool mdr_shorten_less_level(const mdr_shorten_in *in, const mdr_dye_effect *one,
                            const mdr_dye_effect *base)
{
    const double hair = 1.0 + MDR_SHORTEN_WITHIN;
    const mdr_dye_effect limit = mdr_shorten_as_level(in, base);
    return one->strike_pct_per_contact > limit.strike_pct_per_contact * hair ||
           one->spread_before > limit.spread_before * hair ||
           one->spread_fixing > limit.spread_fixing * hair ||
           one->spread_end > limit.spread_end * hair;
}
