/*
 * mdr_shorten_ask.h - what a shorter dyeing is looked for with: {"de_limit": 0.5, "keep_speed": true, ...}
 * beside the members of a changed dyeing (mdr_dyeing_ask.h), which then is the one to be shortened.
 *
 * Layer: wire. Keys and ranges: docs/api.md, POST /api/lots/{id}/shorten.
 */
#ifndef MDR_SHORTEN_ASK_H
#define MDR_SHORTEN_ASK_H

#include "wire/mdr_dyeing_ask.h"

typedef struct mdr_shorten_ask {
    mdr_dyeing_ask dyeing; /* strike_limit_pct_per_contact is the limit here too */
    double de_limit;       /* CMC(2:1); 0: that of the route's check */
    double fixation_allowance_pct, fixation_allowance_worst_pct, run_least_min;
    double turns_least_salt, turns_least_dye, turns_least_alkali;
    int points;
    bool keep_speed;
} mdr_shorten_ask;

/* Reads it; len 0: the usual. Errors as mdr_wire_dyeing_ask_read. */
mdr_code mdr_wire_shorten_ask_read(const char *text, size_t len, mdr_arena *arena,
                                   mdr_err_list *found, mdr_shorten_ask *out,
                                   mdr_err *err) MDR_MUST_CHECK;

#endif
