/*
 * mdr_weigh_ask.h - what the weigh room is asked: a weighing judged, a label read, a delivery booked.
 *
 * Layer: wire. Members and ranges: docs/api.md. Every wrong member is reported.
 */
#ifndef MDR_WEIGH_ASK_H
#define MDR_WEIGH_ASK_H

#include <stddef.h>
#include <stdint.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"

enum { MDR_WEIGH_DOC_MAX = 4096 };

/* Texts are "" when not given. */
typedef struct mdr_judge_ask {
    const char *material_id, *scale_id;
    int64_t target_mg, mass_mg;
} mdr_judge_ask;
typedef struct mdr_scan_ask {
    const char *text;
} mdr_scan_ask;
typedef struct mdr_receive_ask {
    const char *entry_id, *stock_lot_id, *material_id, *supplier_lot, *expiry, *remark;
    int64_t mass_mg;
} mdr_receive_ask;

/* errors: MDR_E_PARSE; place: the member */
mdr_code mdr_wire_judge_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                             mdr_judge_ask *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_wire_scan_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                            mdr_scan_ask *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_wire_receive_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                               mdr_receive_ask *out, mdr_err *err) MDR_MUST_CHECK;

#endif
