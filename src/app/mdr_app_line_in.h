/*
 * mdr_app_line_in.h - how the answers of the finishing desk are put together. Layer: app, inside
 * only.
 */
#ifndef MDR_APP_LINE_IN_H
#define MDR_APP_LINE_IN_H

#include "app/mdr_app_line.h"
#include "app/mdr_desk_spec.h"
#include "core/quality/mdr_aim.h"
#include "wire/mdr_line_ask.h"

/* What answers rest on. Order of the table in mdr_app_line.c. */
typedef enum mdr_line_why {
    MDR_WHY_SETTLE,
    MDR_WHY_RESIDUAL,
    MDR_WHY_USUAL,
    MDR_WHY_AIM,
    MDR_WHY_FEASIBLE,
    MDR_WHY_GIVE,
    MDR_WHY_READ,
    MDR_WHY_BALANCE,
    MDR_WHY_EXHAUST,
    MDR_WHY_DRYING,
    MDR_WHY_SPEED,
    MDR_WHY_FIT,
    MDR_WHY_PADDING,
    MDR_WHY_READINGS,
    MDR_WHY_PROPERTY,
    MDR_WHY_LOT,
    MDR_WHY_POINTS,
    MDR_WHY_GREY,
    MDR_WHY_LOTS,
    MDR_LINE_WHY_COUNT
} mdr_line_why;

/* A question and its answer in the making. */
typedef struct mdr_line_desk {
    mdr_desk desk;
    const mdr_line_ask *q;
} mdr_line_desk;

void mdr_line_because(mdr_line_desk *d, mdr_line_why why);

/* One a question. */
typedef mdr_code mdr_line_answer(mdr_line_desk *d, mdr_err *err);
mdr_line_answer mdr_answer_settings, mdr_answer_read, mdr_answer_dry, mdr_answer_fit,
    mdr_answer_pad, mdr_answer_result, mdr_answer_inspect, mdr_answer_grey;

/* -- what the questions about a line share -- */

bool mdr_line_is_tube(const mdr_line_ask *q);
/* The usual line of this kind with what was given put in. */
mdr_line mdr_line_asked(const mdr_line_ask *q);
mdr_line_limits mdr_line_limits_asked(const mdr_line_ask *q);
mdr_spec_demand mdr_line_demand_asked(const mdr_line_ask *q);

/* A width, flat for a tube: `width` or `layflat` is the key. */
void mdr_line_put_width(mdr_line_desk *d, const char *width, const char *layflat, const char *label,
                        double width_cm);
/* A group a pass: what to set, and what to measure behind it. */
void mdr_line_put_passes(mdr_line_desk *d, const mdr_settled *s);
/* Group finished: where the fabric ends. */
void mdr_line_put_finished(mdr_line_desk *d, const mdr_web *web, mdr_residual residual);
/* Groups width_miss, length_miss: the limit that is in the way. */
void mdr_line_put_misses(mdr_line_desk *d, const mdr_settled *s);
/* Cautions about settings out of the usual, and moisture at the compactor. */
void mdr_line_note_settings(mdr_line_desk *d, const mdr_settled *s);
const char *mdr_line_limit_id(mdr_line_limit limit);
const char *mdr_line_limit_words(mdr_line_limit limit);

/* The place of a fault as the member that was asked with. first: passes of the line that are not
 * in the one that was settled. Returns rc. */
mdr_code mdr_line_blame(const mdr_line_ask *q, int first, mdr_code rc, mdr_err *err);

#endif
