/*
 * mdr_bench_ask.h - what pages ask of the laboratory: samples out of a file, a dip, a step of a dip,
 * the recipe of a shade. docs/api.md.
 *
 * Layer: wire. Every wrong key, type and word is reported; what ids and numbers may be is the
 * business of the mill.
 */
#ifndef MDR_BENCH_ASK_H
#define MDR_BENCH_ASK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"

enum { MDR_BENCH_POST_MAX = 1 << 20 };

/* Texts are "" when not given; words are places in the lists of mill/mdr_bench.h. */
typedef struct mdr_bench_as {
    const char *sample; /* name in the file */
    const char *sample_id, *name, *dye_id, *shade_id, *lot_id, *dip_id, *remark;
    double depth_pct_owf; /* 0: not given */
    int kind;
} mdr_bench_as;

typedef struct mdr_bench_post {
    const char *file_name, *text;
    const char *substrate, *measured;
    const mdr_bench_as *as;
    int n_as;
    int specular; /* unknown: what the file says */
    int scale;    /* mdr_spectra_scale */
    bool replace, has_as;
} mdr_bench_post;

typedef struct mdr_dip_post {
    const char *shade_id, *substrate, *recipe, *made, *dip_id, *remark;
    int round; /* 0: not given */
} mdr_dip_post;

/* NULL: not given. */
typedef struct mdr_dip_put {
    const char *by, *sample_id, *remark, *was;
    int revision, state; /* state -1: not given */
    bool recipe_of_shade;
} mdr_dip_put;

/* machine_id "": the recipe as it is; else times what its lots taught, `factors` being what was seen
 * ("RB-1=1.1"; "" not looked at). */
typedef struct mdr_recipe_put {
    const char *recipe, *was;
    const char *machine_id, *factors;
    bool best_guess;
} mdr_recipe_put;

/* Every fault goes to `found` (may be NULL), the first one to err.
 *   errors  MDR_E_PARSE, MDR_E_RANGE (place: the member); MDR_E_NOMEM */
mdr_code mdr_wire_bench_post_read(const char *text, size_t len, mdr_arena *arena,
                                  mdr_err_list *found, mdr_bench_post *out,
                                  mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_wire_dip_post_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                                mdr_dip_post *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_wire_dip_put_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                               mdr_dip_put *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_wire_recipe_put_read(const char *text, size_t len, mdr_arena *arena,
                                  mdr_err_list *found, mdr_recipe_put *out,
                                  mdr_err *err) MDR_MUST_CHECK;

#endif
