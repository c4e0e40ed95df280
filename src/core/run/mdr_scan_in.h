/* mdr_scan_in.h - what the two halves of the reader share. Layer: core/run, inside only. */
#ifndef MDR_SCAN_IN_H
#define MDR_SCAN_IN_H

#include <stddef.h>

#include "core/run/mdr_scan.h"

/* The text as it was scanned, without what stands around it. */
typedef struct mdr_scan_text {
    const char *text;
    size_t len;
    size_t before; /* characters dropped in front: places are counted from the first one */
} mdr_scan_text;

/* The place of character `at`, from 0. */
mdr_code mdr_scan_fail(const mdr_scan_text *t, size_t at, mdr_code code, const char *msg,
                       mdr_err *err);
/* Data of GS1 from character `at` on. */
mdr_code mdr_scan_goods(const mdr_scan_text *t, size_t at, int year, mdr_arena *arena,
                        mdr_scan *out, mdr_err *err) MDR_MUST_CHECK;

#endif
