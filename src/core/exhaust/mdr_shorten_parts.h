/*
 * mdr_shorten_parts.h - inside of the search for a shorter programme.
 *
 * Layer: core/exhaust (pure).
 */
#ifndef MDR_SHORTEN_PARTS_H
#define MDR_SHORTEN_PARTS_H

#include "core/exhaust/mdr_dye_shorten.h"

/* An effect, and what only the search needs. */
typedef struct mdr_dye_detail {
    mdr_dye_effect effect;
    double strike_of_step[MDR_DYE_STEPS_MAX]; /* most while the step runs */
    double turns_short[MDR_DYE_STEPS_MAX]; /* by what part the dose has too few turns of the rope */
    double alkali_min;                     /* when it begins; below 0: never */
    bool cut_short; /* it strikes faster than was asked for: the rest was not looked at */
} mdr_dye_detail;

/* How it is looked at. */
typedef struct mdr_shorten_eye {
    bool fine;               /* as it is judged; else as the search sees it, and then: */
    double strike_most_pct;  /* no further than where it strikes faster; 0: to the end */
    mdr_rope_trails *trails; /* of what was looked at before; NULL: none */
} mdr_shorten_eye;

mdr_code mdr_shorten_look(const mdr_shorten_in *in, const mdr_dye_programme *p,
                          const mdr_dye_case *rates, const mdr_shorten_eye *eye, mdr_arena *arena,
                          mdr_dye_detail *out, mdr_err *err) MDR_MUST_CHECK;
/* Room for what is looked at in one search. */
mdr_code mdr_shorten_trails(const mdr_shorten_in *in, mdr_arena *arena, mdr_rope_trails **out,
                            mdr_err *err) MDR_MUST_CHECK;
/* By what part each dose has too few turns of the rope: needs no looking. */
void mdr_shorten_turns(const mdr_shorten_in *in, const mdr_dye_programme *p, double *short_by);

/* The numbers of a run of p. */
void mdr_shorten_read(const mdr_shorten_in *in, const mdr_dye_programme *p,
                      const mdr_dyeing_result *r, mdr_dye_detail *out);

/* -- what can be moved -- */

enum { MDR_MOVES_MAX = 40 };

typedef enum mdr_move_kind {
    MDR_MOVE_MINUTES, /* logarithm */
    MDR_MOVE_CURVE,   /* logarithm of the exponent */
    MDR_MOVE_RATE,    /* logarithm */
    MDR_MOVE_SPEED    /* logarithm */
} mdr_move_kind;

typedef struct mdr_move {
    mdr_move_kind kind;
    int step;                 /* -1: of the whole */
    mdr_shorten_reason least; /* what its lower limit stands for */
} mdr_move;

typedef struct mdr_moves {
    mdr_move move[MDR_MOVES_MAX];
    double low[MDR_MOVES_MAX], high[MDR_MOVES_MAX], base[MDR_MOVES_MAX];
    int n;
} mdr_moves;

void mdr_moves_of(const mdr_shorten_in *in, mdr_moves *out);
/* The programme with these logarithms. */
void mdr_moves_apply(const mdr_moves *m, const mdr_dye_programme *base, const double *x,
                     mdr_dye_programme *out);
/* To what is set on a machine: minutes up to whole ones, rates down to 0.1 degC/min, exponents to
 * 0.1, speed to 1 m/min; where that leaves the limits, the limit. */
void mdr_moves_round(const mdr_moves *m, double *x);

/* -- one search -- */

#define MDR_SHORTEN_WITHIN 1e-3 /* a limit counts as kept up to this part of it; invented */

/* What the coarse rope must keep with the usual rates. */
typedef struct mdr_shorten_target {
    double strike, before, fixing, end;
    double less; /* a dye may be fixed less than by base, part */
} mdr_shorten_target;

/* What was simulated on the coarse rope, and what came of it: whole minutes are tried more than once. */
enum { MDR_SHORTEN_KNOWN = 1024 }; /* the last so many */
typedef struct mdr_shorten_known {
    double x[MDR_MOVES_MAX];
    mdr_dye_detail detail;
} mdr_shorten_known;

typedef struct mdr_shorten_search {
    const mdr_shorten_in *in;
    mdr_arena *arena;
    mdr_err *err;
    mdr_dye_programme *tried; /* room for one */
    mdr_moves moves;
    mdr_shorten_target aim;
    double strike_part; /* the strike on the coarse rope, of what it was last judged by */
    double coarse_fixed[MDR_DYE_DYES_MAX]; /* of base */
    mdr_dye_effect base;                   /* fine, usual rates */
    /* of base, on the margin's rope: usual rates first, then each direction */
    double fixed_away[MDR_FIT_AWAY_MAX + 1][MDR_DYE_DYES_MAX];
    mdr_shorten_known *known; /* [MDR_SHORTEN_KNOWN], in a ring */
    mdr_rope_trails *trails;
    mdr_code rc; /* of a simulation that failed */
    int runs, n_known;
    bool matters[MDR_MOVES_MAX]; /* the move does something to the dyeing but to begin it later */
    bool stopped;                /* no longer wanted */
} mdr_shorten_search;

#define MDR_SHORTEN_SAMPLE_MIN 1.0 /* of the coarse rope */

/* Simulates on the coarse rope with these logarithms, or says what came of it before. False: s->rc says why, or s->stopped. */
bool mdr_shorten_try(mdr_shorten_search *s, const double *x, mdr_dye_detail *d);
/* The same for who drops what strikes faster than so much: it may be told no more of that (cut_short). */
bool mdr_shorten_try_until(mdr_shorten_search *s, const double *x, double strike_most_pct,
                           mdr_dye_detail *d);
/* Says which moves do anything to the dyeing; before the first try. */
void mdr_shorten_matters(mdr_shorten_search *s);
/* No more simulations: nobody wants them. Then all below return MDR_OK with x anywhere. */
bool mdr_shorten_stopped(mdr_shorten_search *s);
/* By what part each limit is passed: turns of each step, its strike, the spreads, each dye. Returns how many there are. */
enum { MDR_SHORTEN_CONDITIONS = 2 * MDR_DYE_STEPS_MAX + 3 + MDR_DYE_DYES_MAX };
int mdr_shorten_conditions(const mdr_shorten_search *s, const mdr_dye_detail *d, double *g);
bool mdr_shorten_takes_time(const mdr_shorten_search *s, int move);
/* One step quicker by `by` minutes, or its ramp steeper by by/10 degC/min; slower. False: the limit forbids. */
bool mdr_shorten_quicker(const mdr_shorten_search *s, int move, double by, double *x);
bool mdr_shorten_slower(const mdr_shorten_search *s, int move, double by, double *x);
/* By what part the limit of s->aim that is passed most is passed there; 0: none is. */
double mdr_shorten_passed_by(mdr_shorten_search *s, const double *x);
/* Whether all of s->aim is kept there. */
bool mdr_shorten_kept(mdr_shorten_search *s, const double *x);
/* Shortest under s->aim from x on. */
mdr_code mdr_shorten_descend(mdr_shorten_search *s, int runs_max, double *x) MDR_MUST_CHECK;
/* What rounding has broken: each time the minute that mends most. Ends when no minute mends any. */
mdr_code mdr_shorten_mend(mdr_shorten_search *s, double *x) MDR_MUST_CHECK;
/* Minute by minute until nothing can be taken off any step: then each says why. */
mdr_code mdr_shorten_whittle(mdr_shorten_search *s, double *x,
                             mdr_shorten_reason *why) MDR_MUST_CHECK;

/* Minutes of one step given for fewer of another, as long as that takes off any; x must keep s->aim. */
mdr_code mdr_shorten_trade(mdr_shorten_search *s, double *x) MDR_MUST_CHECK;

/* -- one point -- */

/* What the limits are for each number with its margin. */
typedef struct mdr_shorten_wish {
    double factor;
    mdr_shorten_target limit;
    bool of_base; /* limits are those of base with the usual rates: the margin goes along */
} mdr_shorten_wish;

/* Shortest under the wish: x is where to begin, and where it ended; nothing when stopped. `found`: the point is
 * granted, on the fine rope and with its margin. */
mdr_code mdr_shorten_find(mdr_shorten_search *s, const mdr_shorten_wish *w, int runs_max, double *x,
                          mdr_shorten_point *point, bool *found) MDR_MUST_CHECK;
/* Keeps what part the strike on the coarse rope is of the judged one. */
void mdr_shorten_learn(mdr_shorten_search *s, const mdr_dye_effect *coarse,
                       const mdr_shorten_point *judged);

/* -- judging -- */

/* How it is simulated, and each number with its margin. Base is judged in any case: it is what all else is
 * told against. When it is stopped, the point is half judged. */
mdr_code mdr_shorten_judge(mdr_shorten_search *s, const mdr_dye_programme *p, bool of_base,
                           mdr_shorten_point *point) MDR_MUST_CHECK;
/* By what part of a dye too much is given up; 0 or less: within both allowances. */
double mdr_shorten_given_up(const mdr_shorten_in *in, const mdr_shorten_point *p);
/* The limits times `factor`, with the margin. */
bool mdr_shorten_keeps(const mdr_shorten_in *in, const mdr_shorten_point *p, double factor);
/* What base may be overstepped by without anyone seeing it. */
mdr_dye_effect mdr_shorten_as_level(const mdr_shorten_in *in, const mdr_dye_effect *base);
bool mdr_shorten_less_level(const mdr_shorten_in *in, const mdr_dye_effect *one,
                            const mdr_dye_effect *base);

#endif
