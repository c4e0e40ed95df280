/*
 * mdr_calibrate_room.h - inside of calibration: one rung predicted from others, with the memory for
 * it made once. Contracts: mdr_calibrate.h. Layer: core/recipe (pure).
 */
#ifndef MDR_CALIBRATE_ROOM_H
#define MDR_CALIBRATE_ROOM_H

#include "core/recipe/mdr_calibrate.h"

/* A ladder of the others, and what predicting from it needs. */
typedef struct mdr_predictor {
    mdr_ladder ladder;
    mdr_curve cloth_ks;
    mdr_surface_form surface;
    const mdr_weights *light;
} mdr_predictor;

typedef struct mdr_workroom {
    mdr_predictor predictor;
    mdr_rung rungs[MDR_RUNGS_MAX];
} mdr_workroom;

mdr_code mdr_workroom_make(mdr_arena *arena, mdr_workroom **out, mdr_err *err) MDR_MUST_CHECK;

/* `keep` says which rungs count at all; `left` is predicted from the others of them. Fills cmc and
 * beyond, and leaves the predictor in `work`. */
mdr_code mdr_workroom_leave_out(const mdr_ladder_in *in, const bool *keep, int left,
                                const mdr_weights *light, mdr_workroom *work, mdr_left_out *out,
                                mdr_err *err) MDR_MUST_CHECK;
/* The rest of *out, by the predictor that leaving out has left. */
void mdr_workroom_find_dose(const mdr_ladder_in *in, int left, const mdr_workroom *work,
                            mdr_left_out *out);

#endif
