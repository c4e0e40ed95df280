/* Minutes of one step for fewer of another: what no step can give by itself, two may give together. */
#include <math.h>
#include <string.h>

#include "core/exhaust/mdr_shorten_parts.h"

/* Invented: how many are tried that look well, and how many minutes go at once at most. */
enum { TRIES = 12, MOST_MIN = 8 };
static const double LEAST_MIN = 1e-6;

/* What a minute more or less of each step does to each limit, and to the whole time, near x. */
typedef struct slopes {
    double at[MDR_SHORTEN_CONDITIONS];
    double less[MDR_MOVES_MAX][MDR_SHORTEN_CONDITIONS], more[MDR_MOVES_MAX][MDR_SHORTEN_CONDITIONS];
    double less_min[MDR_MOVES_MAX], more_min[MDR_MOVES_MAX]; /* 0: it cannot be moved */
    double minutes;
    int n;
} slopes;

typedef struct trade {
    double gain_min;
    int from, to, gives, takes; /* minutes, or tenths of a degC/min */
} trade;

static bool slope_of(mdr_shorten_search *s, const double *there, const slopes *of, double *g,
                     double *minutes)
{
    mdr_dye_detail d;
    if (!mdr_shorten_try(s, there, &d)) {
        return false;
    }
    *minutes = d.effect.minutes - of->minutes;
    (void)mdr_shorten_conditions(s, &d, g);
    for (int k = 0; k < of->n; k++) {
        g[k] -= of->at[k];
    }
    return true;
}

static bool slopes_at(mdr_shorten_search *s, const double *x, slopes *of)
{
    mdr_dye_detail d;
    if (!mdr_shorten_try(s, x, &d)) {
        return false;
    }
    of->minutes = d.effect.minutes;
    of->n = mdr_shorten_conditions(s, &d, of->at);
    for (int i = 0; i < s->moves.n; i++) {
        double there[MDR_MOVES_MAX];
        of->less_min[i] = of->more_min[i] = 0.0;
        if (!mdr_shorten_takes_time(s, i)) {
            continue;
        }
        memcpy(there, x, sizeof there);
        if (mdr_shorten_quicker(s, i, 1.0, there) &&
            !slope_of(s, there, of, of->less[i], &of->less_min[i])) {
            return false;
        }
        memcpy(there, x, sizeof there);
        if (mdr_shorten_slower(s, i, 1.0, there) &&
            !slope_of(s, there, of, of->more[i], &of->more_min[i])) {
            return false;
        }
    }
    return true;
}

static bool looks_kept(const slopes *of, const trade *t)
{
    bool kept = true;
    for (int k = 0; k < of->n && kept; k++) {
        kept = of->at[k] + t->gives * of->less[t->from][k] + t->takes * of->more[t->to][k] <=
               MDR_SHORTEN_WITHIN;
    }
    return kept;
}

/* The best of the trades between two steps: of those that look kept and take off less than `below_min`. */
static void best_of_two(const slopes *of, int from, int to, double below_min, trade *best)
{
    for (int gives = 1; gives <= MOST_MIN; gives++) {
        for (int takes = 1; takes <= gives; takes++) {
            const double gain_min = -gives * of->less_min[from] - takes * of->more_min[to];
            const trade t = {gain_min, from, to, gives, takes};
            if (gain_min > best->gain_min && gain_min < below_min && looks_kept(of, &t)) {
                *best = t;
            }
        }
    }
}

static trade best_trade(const slopes *of, int moves, double below_min)
{
    trade best = {.gain_min = LEAST_MIN};
    for (int i = 0; i < moves; i++) {
        for (int j = 0; j < moves; j++) {
            if (i != j && of->less_min[i] < 0.0 && of->more_min[j] > 0.0) {
                best_of_two(of, i, j, below_min, &best);
            }
        }
    }
    return best;
}

/* x after the trade if it is kept and shorter there, else as it was. */
static bool make(mdr_shorten_search *s, const slopes *of, const trade *t, double *x)
{
    double there[MDR_MOVES_MAX];
    mdr_dye_detail d;
    memcpy(there, x, sizeof there);
    if (!mdr_shorten_quicker(s, t->from, t->gives, there) ||
        !mdr_shorten_slower(s, t->to, t->takes, there) || !mdr_shorten_try(s, there, &d) ||
        !(d.effect.minutes < of->minutes - LEAST_MIN) || !mdr_shorten_kept(s, there)) {
        return false;
    }
    memcpy(x, there, sizeof there);
    return true;
}

mdr_code mdr_shorten_trade(mdr_shorten_search *s, double *x)
{
    const mdr_arena_mark here = mdr_arena_here(s->arena);
    slopes *of = MDR_NEW(s->arena, slopes);
    if (of == NULL) {
        return MDR_FAIL(s->err, MDR_E_NOMEM, "points", "no memory for the search");
    }
    bool anew = true;
    double below_min = HUGE_VAL;
    for (int n = 0; n < TRIES && s->rc == MDR_OK && !s->stopped; n++) {
        if (anew && !slopes_at(s, x, of)) {
            break;
        }
        const trade t = best_trade(of, s->moves.n, below_min);
        if (!(t.gain_min > LEAST_MIN)) {
            break;
        }
        anew = make(s, of, &t, x);
        below_min = anew ? HUGE_VAL : t.gain_min;
    }
    mdr_arena_back(s->arena, here);
    return s->rc;
}
