/*
 * mdr_dyeing_ask.h - what is to be changed of a lot's dyeing before it is reckoned through:
 * {"speed_m_per_min": 200, "steps": [{"step": 8, "minutes": 40}], ...}.
 *
 * Layer: wire. The command line and the HTTP server ask with the same document. Keys and ranges:
 * docs/api.md, POST /api/lots/{id}/dyeing. Every wrong key, type and range is reported; whether a
 * step is there is not known here.
 */
#ifndef MDR_DYEING_ASK_H
#define MDR_DYEING_ASK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"
#include "core/plan/mdr_route.h"

enum { MDR_DYEING_SLICES_LEAST = 8, MDR_DYEING_SLICES_MOST = 100, MDR_DYEING_CHANGES_MOST = 64 };

/* Of one step. has_*: given. */
typedef struct mdr_dyeing_change {
    int step; /* number in its bath */
    mdr_curve_kind curve;
    int portions;
    double minutes, exponent, amount_pct, to_c, rate_c_per_min, offset_min;
    bool has_step, has_curve, has_portions, has_minutes, has_exponent, has_amount, has_to, has_rate,
        has_offset;
} mdr_dyeing_change;

typedef struct mdr_dyeing_ask {
    const char *lot; /* a change of the lot (mdr_what_if) as JSON, or NULL */
    size_t lot_len;
    int bath; /* 0: the one with most dye */
    int slices;
    double speed_m_per_min;
    double dose_salt_min, dose_dye_min, dose_alkali_min;
    double salt_pct, alkali_pct, temp_shift_c;
    double uneven_preparation_pct, strike_limit_pct_per_contact;
    double fixing_limit_de; /* 0: twice the limit of the end */
    const double *tube_share_pct;
    int n_shares;
    const mdr_dyeing_change *steps;
    int n_steps;
    bool has_bath, has_speed, has_salt_min, has_dye_min, has_alkali_min;
    bool sensitivity, map;
} mdr_dyeing_ask;

/* Reads it; len 0: nothing is changed. Every fault goes to `found` (may be NULL), the first one to
 * err.
 *   errors  MDR_E_PARSE, MDR_E_RANGE (place: "steps[0].minutes"); MDR_E_NOMEM */
mdr_code mdr_wire_dyeing_ask_read(const char *text, size_t len, mdr_arena *arena,
                                  mdr_err_list *found, mdr_dyeing_ask *out,
                                  mdr_err *err) MDR_MUST_CHECK;

#endif
