/*
 * mdr_route_walk.h - where a route check stands, and how it reports; shared by the files of
 * mdr_route_check_all. Layer: core/plan.
 */
#ifndef MDR_ROUTE_WALK_H
#define MDR_ROUTE_WALK_H

#include "base/mdr_list.h"
#include "core/plan/mdr_route.h"

/* Indices are 0-based, -1: not inside one. */
typedef struct mdr_route_walk {
    const mdr_route *route;
    mdr_err_list *found; /* may be NULL */
    mdr_err first;
    int count;
    int stage, bath, step, item, pass;
} mdr_route_walk;

/* Puts the place of `field` (or of the element itself, when NULL) before the record and keeps
 * it. */
void mdr_walk_add(mdr_route_walk *w, const char *field, mdr_err *err);

/* Reports when v is not finite or not within [least, most]; with `open`, least itself is not
 * allowed. */
typedef struct mdr_walk_range {
    double least, most;
    bool open;
    const char *unit;
} mdr_walk_range;
bool mdr_walk_number(mdr_route_walk *w, const char *field, double v, mdr_walk_range range);
/* Reports a text that is shorter or longer than this, or has control characters. */
void mdr_walk_text(mdr_route_walk *w, const char *field, const char *text, size_t least,
                   size_t most);
void mdr_walk_id(mdr_route_walk *w, const char *field, const char *id);

/* Everything that can be said of one step by itself; w->step is its index. */
void mdr_walk_step(mdr_route_walk *w, const mdr_route_step *step);
/* A check of a step or of a pass, its fields below "check". */
void mdr_walk_check(mdr_route_walk *w, const mdr_route_check *check);
/* What the steps of one bath say together: order, doses that outlive it, temperatures nothing
 * reaches, shares. `vessel` goes from bath to bath. */
typedef enum mdr_liquor { MDR_LIQUOR_NONE, MDR_LIQUOR_SOME, MDR_LIQUOR_UNKNOWN } mdr_liquor;
typedef enum mdr_warmth { MDR_WARMTH_COLD, MDR_WARMTH_KNOWN, MDR_WARMTH_UNKNOWN } mdr_warmth;
typedef struct mdr_vessel {
    mdr_liquor liquor;
    mdr_warmth warmth;
    double temp_c; /* KNOWN */
} mdr_vessel;
void mdr_walk_bath(mdr_route_walk *w, const mdr_route_bath *bath, mdr_vessel *vessel);

#endif
