/*
 * mdr_run_shape.h - the documents of a batch as tables of fields.
 * Layer: wire, inside only.
 */
#ifndef MDR_RUN_SHAPE_H
#define MDR_RUN_SHAPE_H

#include "wire/mdr_run_doc.h"
#include "wire/mdr_shape.h"

extern const mdr_shape mdr_control_shape, mdr_entry_shape;

/* The bath at a hold point as it is read. What is dissolved stands in the order of mdr_dissolved, which
 * only grows at its end. */
typedef struct mdr_control_state_in {
    const char *step; /* key */
    mdr_control_state state;
    const double *dissolved_kg;
    int n_dissolved;
} mdr_control_state_in;

/* A control recipe as it is read: the curve is a row of numbers, three a point. */
typedef struct mdr_control_in {
    mdr_control c;
    const char *swatch;
    const double *curve;
    int n_curve;
    const mdr_control_state_in *states;
    int n_states;
} mdr_control_in;

#endif
