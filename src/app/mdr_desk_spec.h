/*
 * mdr_desk_spec.h - what several desks say about a specification. Layer: app, inside only.
 */
#ifndef MDR_DESK_SPEC_H
#define MDR_DESK_SPEC_H

#include "app/mdr_desk.h"
#include "core/knit/mdr_spec.h"

/* Group clash_pct: which demands clash, and by how much. */
void mdr_desk_clashes(mdr_desk *d, const mdr_spec_answer *s);
/* Group limit_wanted: each limit as it would have to be, all others kept. */
void mdr_desk_limits_wanted(mdr_desk *d, const mdr_spec_answer *s);

#endif
