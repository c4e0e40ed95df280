/*
 * mdr_dyeing_run.h - a dyeing on its way: state of bath and rope, and its step; for the files of
 * this folder only.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust.md#steps
 */
#ifndef MDR_DYEING_RUN_H
#define MDR_DYEING_RUN_H

#include "core/exhaust/mdr_dyeing_parts.h"

enum { MDR_DRIFT_SETS = 128, MDR_HEAT_SETS = 32, MDR_BLOCKS = 64 }; /* powers of two */

/* Tables of all dyes for one length of step, temperature, pH and pace. */
typedef struct mdr_drift_set {
    double dt_min, temp_c, ph, pace;
    mdr_drift *dye; /* [dye] */
} mdr_drift_set;

/* What of them hangs on the temperature alone: while alkali is dosed, the greater part. */
typedef struct mdr_heat_set {
    double dt_min, temp_c, pace;
    mdr_drift_heat *dye; /* [dye] */
} mdr_heat_set;

/* One dye in the free liquor, and what has come. */
typedef struct mdr_bath_dye {
    double active_mol, hydrolysed_mol;
    double given_mol, programme_mol;
    double rope_mol; /* in all slices, liquor and fibre */
} mdr_bath_dye;

/* The zone is cut into stations, each held for part of the time in the zone. */
typedef struct mdr_tube {
    double cycle_min, slice_kg;
    double station_min; /* time of a slice in one */
    double *next_min;   /* [station]: when the next slice is in the middle of it */
    int *slice;         /* [station]: that slice, within the tube */
    mdr_drift_set zone; /* the tables of an even slice at a station */
} mdr_tube;

/* A slice's way: where its stores stand, and the charge that its fibre cannot lose: that of its
 * carboxyl groups and of all dye on it. */
typedef struct mdr_way {
    double at_min;
    double charge_mol_per_kg;
    double alone_per_min, zone_per_min; /* how it rose when last alone, when last in the zone */
    double
        guess_mol_per_kg; /* what it was thought to be in the middle of the last step in the zone */
    double near_mol_per_kg;  /* what off that still counts as right */
    double reach_mol_per_kg; /* charge of the dye within reach then */
    double sodium_mol_per_l; /* in the liquor then */
    bool sure;               /* and it was right */
} mdr_way;

/* Temperature and pH of the middle of a span of block_min. */
typedef struct mdr_block {
    double number; /* whole; negative: none */
    double temp_c, ph, hydroxide;
} mdr_block;

/* Of one dye at a sample: sums over the slices that were seen so far. */
typedef struct mdr_seen {
    double held_mol, on_fibre_mol, fixed_mol, hydrolysed_mol;
    double least, most; /* on the fibre, mol/kg */
    int slices;
} mdr_seen;

/* Of one dye in a slice, mol/kg. */
typedef struct mdr_sight {
    double held, on, fixed, hydrolysed;
} mdr_sight;

/* A slice's last stay at a station: as it came and as it went. */
typedef struct mdr_stay {
    double from_min, to_min;
    int after; /* the first sample that was taken after bath and slice were reckoned */
} mdr_stay;

/* The samples. Those that a slice has not come to yet are seen when it is moved on. */
typedef struct mdr_watch {
    double *t_min, *contacts;                      /* [sample] */
    double *given, *bath_active, *bath_hydrolysed; /* [sample][dye]: of all that is given */
    mdr_seen *seen;                                /* [sample][dye] */
    float *map;                                    /* [sample][slice][dye], kg/kg on the fibre */
    float *fixed_map;                              /* likewise, of it fixed */
    int *next;                                     /* [slice]: the first it was not seen at */
    mdr_stay *stay;                                /* [slice] */
    mdr_sight *came, *went;                        /* [slice][dye] */
    double *end;                                   /* [2][dye][stride] */
    int n;                                         /* whose time has come */
} mdr_watch;

typedef struct mdr_run {
    const mdr_dyeing_in *in;
    mdr_cylinder fibre;
    mdr_tube tube[MDR_DYEING_TUBES_MAX];
    mdr_bath_dye bath[MDR_DYEING_DYES_MAX];
    mdr_drift_set set[MDR_DRIFT_SETS];
    mdr_drift_set *last; /* asked for */
    mdr_heat_set heat[MDR_HEAT_SETS];
    mdr_block block[MDR_BLOCKS];
    double hydrolysis_per_min[MDR_DYEING_DYES_MAX]; /* in the bath, at */
    double bath_temp_c, bath_ph;
    double t_min, contacts, mass_error;
    double alone_turns;          /* longest stretch that a slice is left alone in one go */
    double block_min, per_block; /* rates are those of the middle of such a span; 1 over it */
    double *store;               /* [slice][dye][stride] */
    double *content;  /* [slice][dye]: liquor and fibre, mol/kg, when it was last in the zone */
    mdr_way *way;     /* [slice] */
    double *spare;    /* [dye][stride]: a slice tried out */
    double *in_kg;    /* [dose] */
    int *touched;     /* the slices at a station at this time */
    mdr_stage *stage; /* [touched][dye] */
    mdr_watch *watch;
    int n_slices, n_stations, n_touched, stride, piece, steps;
    bool closed; /* oxidised: nothing goes onto the fibre any more */
} mdr_run;

/* `in` checked. */
mdr_code mdr_run_make(const mdr_dyeing_in *in, mdr_arena *arena, mdr_run **out,
                      mdr_err *err) MDR_MUST_CHECK;
/* Doses that fall at this very time, and the oxidation. */
void mdr_run_events(mdr_run *r);
/* To a time up to which no moment and no dose begins or ends. */
void mdr_run_to(mdr_run *r, double to_min);

/* That of a slice. One rope stands for all that are alike, so that there is mostly one: no division then. */
static inline int mdr_run_tube(const mdr_run *r, int slice)
{
    return r->in->rope.tubes == 1 ? 0 : slice / r->in->slices;
}
/* Store of one slice and dye. */
double *mdr_run_store(const mdr_run *r, int slice, int dye);
/* Dye of all forms on a kg of fibre, mol. */
double mdr_run_on_fibre(const mdr_run *r, const double *store);
/* A slice left alone with its own liquor until then, seen on its way. */
void mdr_run_alone(mdr_run *r, int slice, double until_min);
/* What it would be at the time of the run, from `store`, a copy of its own of all dyes, [dye][stride]:
 * between times of a grid that slices share, on a straight line. `spare` is as large as `store`. */
void mdr_run_look(mdr_run *r, int slice, double *store, double *spare);

/* A slice alone went from `before` to `after`, [dye][stride]. */
typedef struct mdr_leg {
    double from_min, to_min;
    const double *before, *after;
    const mdr_stage *halves; /* [dye]: what was in its liquor half-way; NULL: not known */
} mdr_leg;
/* What of the samples lies on its way. */
void mdr_watch_way(mdr_run *r, int slice, const mdr_leg *leg);
/* It comes to a station; after `mdr_way.at_min`, when it is left there, it has gone. */
void mdr_watch_come(mdr_run *r, int slice, double from_min);
void mdr_watch_go(mdr_run *r, int slice);
/* It stood as it is for all samples until now. */
void mdr_watch_still(mdr_run *r, int slice);
/* The run is over: every slice at every sample. */
void mdr_watch_end(mdr_run *r);

#endif
