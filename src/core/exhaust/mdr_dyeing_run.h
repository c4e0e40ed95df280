/*
 * mdr_dyeing_run.h - a dyeing on its way: state of bath and rope, and its step; for the files of
 * this folder only.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust.md#steps
 */
#ifndef MDR_DYEING_RUN_H
#define MDR_DYEING_RUN_H

#include "core/exhaust/mdr_dyeing_parts.h"

enum { MDR_DRIFT_SETS = 24 };

/* Tables of all dyes for one length of step, temperature, pH and pace. */
typedef struct mdr_drift_set {
    double dt_min, temp_c, ph, pace;
    mdr_drift *dye; /* [dye] */
} mdr_drift_set;

/* One dye in the free liquor, and what has come. */
typedef struct mdr_bath_dye {
    double active_mol, hydrolysed_mol;
    double given_mol, programme_mol;
    double rope_mol; /* in all slices, liquor and fibre */
    double dose_mol; /* coming in the step on its way */
} mdr_bath_dye;

typedef struct mdr_tube {
    double cycle_min, slice_kg;
} mdr_tube;

/* Rise of the charge on a slice's fibre, mol/(kg min), where it was last. */
enum { MDR_SLOPE_ALONE, MDR_SLOPE_ZONE, MDR_SLOPES };

typedef struct mdr_run {
    const mdr_dyeing_in *in;
    mdr_cylinder fibre;
    mdr_tube tube[MDR_DYEING_TUBES_MAX];
    mdr_bath_dye bath[MDR_DYEING_DYES_MAX];
    mdr_drift_set set[MDR_DRIFT_SETS];
    double t_min, contacts, mass_error;
    double alone_turns; /* longest stretch that a slice is left alone in one go */
    double *store;      /* [slice][dye][stride] */
    double *content;    /* [slice][dye]: liquor and fibre, mol/kg, when it was last in the zone */
    double *store_min;  /* [slice]: the time it stands at */
    double *slope;      /* [slice][MDR_SLOPES] */
    double *in_kg;      /* [dose] */
    double *charge;     /* [touched]: of the fibre when the step began, mol/kg */
    int *touched;       /* the slices in the zone in this step */
    mdr_stage *stage;   /* [touched][dye] */
    int n_slices, n_touched, stride, piece, next_set, steps;
    bool closed; /* oxidised: nothing goes onto the fibre any more */
} mdr_run;

/* `in` checked. */
mdr_code mdr_run_make(const mdr_dyeing_in *in, mdr_arena *arena, mdr_run **out,
                      mdr_err *err) MDR_MUST_CHECK;
/* Doses that fall at this very time, and the oxidation. */
void mdr_run_events(mdr_run *r);
/* One step; no moment and no dose begins or ends within it. */
void mdr_run_step(mdr_run *r, double to_min);

/* Store of one slice and dye. */
double *mdr_run_store(const mdr_run *r, int slice, int dye);
/* Dye of all forms on a kg of fibre, mol. */
double mdr_run_on_fibre(const mdr_run *r, const double *store);
/* A slice left alone with its own liquor. `store`: of all its dyes, [dye][stride]; `slope`: of
 * MDR_SLOPE_ALONE, brought up to date. */
void mdr_run_alone(mdr_run *r, int slice, double from_min, double to_min, double *store,
                   double *slope);

#endif
