/*
 * mdr_dye_programme.h - the dyeing of a lot as a list of steps that can be changed: what is dosed
 * when and how, how warm the bath is, how fast the rope runs; and what of it the machine can do.
 *
 * For the person who looks for a better programme, and for the search that does the same: a
 * programme is plain data without pointers, so a variant is a copy. mdr_dye_programme_course turns
 * one into the course of the bath that mdr_dyeing_run takes.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-answers.md#programme, #ph-of-a-programme
 *
 * Steps follow one another; a dose may run beside the steps behind it instead. A ramp takes the
 * time that heat exchanger and valve need (mdr_heat.h). Salt, alkali, acid and what reacts in the
 * bath come as the change they make to its totals (mdr_equil.h), counted over conc_l litres as in
 * the plan; the volume of the bath rises as the doses flow in.
 *
 * The pH comes from a table along the planned order of the doses, filled as it is used: a variant
 * that only moves times, curves and temperatures costs no equilibrium. Doses that overlap, and
 * amounts that differ from the table's, are solved one by one. Above 100 degC the equilibria are
 * not known: the pH is that at 100 degC.
 *
 * Symbols: tau of a dose = time since it began / its minutes; given = tau^exponent, or portions.
 *
 * Sources (keys of docs/sources.md)
 *   [lumped-heating]  ramps           [definition]  dose curves
 *   pH: see mdr_equil.h
 */
#ifndef MDR_DYE_PROGRAMME_H
#define MDR_DYE_PROGRAMME_H

#include <stdbool.h>

#include "base/mdr_arena.h"
#include "core/bath/mdr_equil.h"
#include "core/bath/mdr_heat.h"
#include "core/exhaust/mdr_dyeing.h"

enum { MDR_DYE_STEPS_MAX = 64, MDR_DYE_DYES_MAX = 8, MDR_DYE_PORTIONS_MAX = 20 };
/* Most of what is planned of salt or alkali: common practice, with room. */
#define MDR_DYE_AMOUNT_MOST 3.0

typedef enum mdr_dye_step_kind {
    MDR_DYE_RUN,  /* circulation at the temperature that is there */
    MDR_DYE_RAMP, /* to a temperature */
    MDR_DYE_DOSE
} mdr_dye_step_kind;

/* What a dose is for: X(enumerator, text id, words) */
#define MDR_DYE_GIVINGS(X)                     \
    X(MDR_GIVES_NOTHING, "nothing", "nothing") \
    X(MDR_GIVES_SALT, "salt", "salt")          \
    X(MDR_GIVES_DYE, "dye", "dye")             \
    X(MDR_GIVES_ALKALI, "alkali", "alkali")    \
    X(MDR_GIVES_OTHER, "other", "something else")
#define MDR_DYE_GIVING(name, ...) name,
typedef enum mdr_dye_gives { MDR_DYE_GIVINGS(MDR_DYE_GIVING) } mdr_dye_gives;
#undef MDR_DYE_GIVING
const char *mdr_dye_gives_id(mdr_dye_gives gives);

typedef struct mdr_dye_step {
    mdr_dye_step_kind kind;
    mdr_dye_gives gives;
    int number;            /* the caller's: in messages and answers */
    int portions;          /* DOSE: 2..20 equal ones at equal times; 0: the exponent counts */
    bool beside;           /* DOSE: the bath does not wait for it */
    double offset_min;     /* beside: begins so long after the step behind it, or before it
                                would (below 0 is refused) */
    double minutes;        /* DOSE, RUN */
    double exponent;       /* DOSE: given = tau^exponent */
    double amount;         /* factor on what it gives, 0 to MDR_DYE_AMOUNT_MOST; of dye only 1 */
    int toward;            /* RAMP: 1 heats only, -1 cools only, 0 either */
    double to_c;           /* RAMP */
    double rate_c_per_min; /* RAMP; 0: as fast as the machine can */
    /* what it brings with amount 1 */
    double volume_l; /* new in the bath; does not follow the amount: the fill makes it up */
    double dye_kg[MDR_DYE_DYES_MAX]; /* of standard strength */
    double
        mol[MDR_TOTAL_COUNT];  /* added to the totals of the bath in its minutes; below 0: taken */
    double salt_kg, alkali_kg; /* of 100 %, for who reads it */
    double least_min;          /* DOSE: what the addition tank needs; 0: no limit known */
    bool reduces;              /* DOSE: vat dye that is in goes into solution while this flows in */
} mdr_dye_step;

/* What heats and cools. */
typedef struct mdr_dye_vessel {
    double load_kg, steel_kg;
    double ua_kw_per_k, steam_c, steam_max_kw, cooling_c;
    double heat_max_c_per_min, cool_max_c_per_min;
} mdr_dye_vessel;

typedef struct mdr_dye_programme {
    mdr_dye_step steps[MDR_DYE_STEPS_MAX];
    int n_steps, n_dyes;
    double start_c, start_l;           /* when it begins */
    double start_mol[MDR_TOTAL_COUNT]; /* dissolved then */
    double conc_l;                     /* litres that concentrations are counted over */
    double speed_m_per_min, speed_least_m_per_min, speed_most_m_per_min;
    mdr_dye_vessel vessel;
    bool oxidises; /* vat: what is on the fibre at the end is oxidised there */
} mdr_dye_programme;

/* errors: MDR_E_ARG counts; MDR_E_RANGE a number that cannot be ("steps[3].minutes"). What a
 * machine cannot do is no error: see mdr_dye_time.limit. */
mdr_code mdr_dye_programme_check(const mdr_dye_programme *p, mdr_err *err) MDR_MUST_CHECK;

typedef enum mdr_dye_limit {
    MDR_DYE_AS_ASKED,
    MDR_DYE_LIMIT_TANK,      /* the tank needs longer than the dose has */
    MDR_DYE_LIMIT_TANK_BUSY, /* the dose before is not through: there is one tank */
    MDR_DYE_LIMIT_RATE,      /* steeper than the control allows: it is held to that */
    MDR_DYE_LIMIT_HEAT,      /* exchanger or valve are slower than the rate asked for */
    MDR_DYE_LIMIT_UNREACHED, /* beyond what steam or cooling water can reach */
    MDR_DYE_LIMIT_NOTHING,   /* a ramp that is there already */
    MDR_DYE_LIMIT_OUTLIVES   /* the dose is not in when the steps are over */
} mdr_dye_limit;
/* "tank", ...; NULL for AS_ASKED. */
const char *mdr_dye_limit_id(mdr_dye_limit limit);

typedef struct mdr_dye_time {
    double start_min, end_min, from_c, to_c;
    double rate_c_per_min; /* RAMP: mean */
    mdr_heat_ramp ramp;    /* RAMP with time */
    mdr_dye_limit limit;
    bool straight; /* RAMP: at one rate, ramp not looked at */
} mdr_dye_time;

/* When each step runs; returns the minutes of the whole. Total for a programme that was checked. */
double mdr_dye_programme_times(const mdr_dye_programme *p, mdr_dye_time *times);
/* The step whose dose brings this one's dye into solution: itself, or for a vat dye that is in before its
 * reducer the first dose of that: then how it was given itself does not matter. */
int mdr_dye_dissolved_by(const mdr_dye_programme *p, const mdr_dye_time *times, int step);
/* Part of a dose that is in at tau in [0, 1]; a portion takes `jump` of the time. */
double mdr_dye_step_given(const mdr_dye_step *step, double tau, double jump);

/* -- pH -- */

typedef struct mdr_ph_table mdr_ph_table;

/* For this programme and its variants. Made in about a millisecond.   errors: MDR_E_NOMEM */
mdr_code mdr_ph_table_make(const mdr_dye_programme *p, mdr_arena *arena, mdr_ph_table **out,
                           mdr_err *err) MDR_MUST_CHECK;
/*
 * pH when part given[i] of step i is in. 7 where pH says nothing (hardly anything dissolved).
 * Against the equilibrium itself: 0.015 between 20 and 100 degC, 0.02 below pH 6.
 */
double mdr_ph_table_at(mdr_ph_table *table, const mdr_dye_programme *p, const double *given,
                       double temp_c);
/* Where the pH of this step bends: parts of it, rising from 0 to 1; 0: the step moves no pH. */
int mdr_ph_table_nodes(const mdr_ph_table *table, int step, const double **given);
/* Equilibria solved so far: to see that variants cost none. */
long mdr_ph_table_solved(const mdr_ph_table *table);

/* -- the course -- */

/* A portion, and whatever else comes at once, takes this long in the course: a jump cannot be
 * drawn with lines that go on. Numerical choice. */
#define MDR_DYE_JUMP_MIN 0.01

typedef struct mdr_dye_course {
    const mdr_dyeing_moment *moments;
    int n_moments;
    const mdr_dyeing_dose *doses;
    int n_doses;
    const double *salt_g_per_l, *alkali_g_per_l; /* at each moment, of what the steps gave */
    double minutes;    /* of the steps; the course is longer when a dose outlives them */
    double alkali_min; /* begin of the first alkali dose that the dye meets; below 0: none */
    double dye_min;    /* begin of the first dye dose; below 0: none */
} mdr_dye_course;

/* errors: as mdr_dye_programme_check; MDR_E_NOMEM */
mdr_code mdr_dye_programme_course(const mdr_dye_programme *p, mdr_ph_table *table, mdr_arena *arena,
                                  mdr_dye_course *out, mdr_err *err) MDR_MUST_CHECK;

#endif
