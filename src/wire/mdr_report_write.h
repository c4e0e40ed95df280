/*
 * mdr_report_write.h - a lot report as JSON. docs/api.md, GET /api/batches/{id}/report.
 * Layer: wire.
 */
#ifndef MDR_REPORT_WRITE_H
#define MDR_REPORT_WRITE_H

#include "core/run/mdr_run_report.h"
#include "wire/mdr_json.h"

/* `head_hex`: hash of the newest event of the mill. */
mdr_code mdr_wire_report(const mdr_run_report *r, int64_t now_utc_ms, const char *head_hex,
                         mdr_arena *arena, char **text, size_t *len, mdr_err *err) MDR_MUST_CHECK;

#endif
