/*
 * mdr_app_lab_load.h - samples of a file on their way into the mill. Layer: app, inside only.
 */
#ifndef MDR_APP_LAB_LOAD_H
#define MDR_APP_LAB_LOAD_H

#include "app/mdr_app_lab_in.h"
#include "wire/mdr_bench_ask.h"

typedef struct mdr_lab_load {
    mdr_app *app;
    const mdr_bench *bench;
    const mdr_bench_post *post;
    const mdr_spectra *spectra;
    mdr_arena *arena;
    mdr_err_list *found;
    mdr_err first;
    mdr_bench_sample *samples; /* that will be stored */
    const char **dips;         /* beside them: the dip that a sample belongs to, or "" */
    int64_t day_utc_ms;
    int n, faults;
} mdr_lab_load;

/* mdr_app_lab_take.c: one more sample, as it is listed. Nothing is stored yet.
 *   errors  place: a member of the list, or the file; MDR_E_NOMEM */
mdr_code mdr_lab_load_take(mdr_lab_load *l, const mdr_bench_as *as, mdr_err *err) MDR_MUST_CHECK;

#endif
