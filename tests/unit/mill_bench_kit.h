/*
 * mill_bench_kit.h - a mill with its laboratory read, and a sample for it.
 */
#ifndef MILL_BENCH_KIT_H
#define MILL_BENCH_KIT_H

#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "mill/mdr_bench.h"
#include "mill_kit.h"

#define KIT_SRC "I: tests/unit/mill_kit.h"
#define DAY(n)  ((int64_t)(20000 + (n)) * 86400000) /* 2024-10-04 and later */

typedef struct fixture {
    kit_dir dir;
    mdr_mill *mill;
    mdr_arena *arena;
    mdr_masters masters;
    mdr_bench bench;
} fixture;

static void reload(fixture *f)
{
    mdr_err err;
    KIT_OK(mdr_mill_masters(f->mill, f->arena, &f->masters, &err), &err);
    KIT_OK(mdr_mill_bench(f->mill, f->arena, &f->bench, &err), &err);
}

static int setup(void **state)
{
    fixture *f = calloc(1, sizeof *f);
    assert_non_null(f);
    f->dir = kit_dir_make();
    f->mill = kit_mill(&f->dir);
    f->arena = mdr_arena_new((size_t)16 << 20);
    reload(f);
    *state = f;
    return 0;
}

static int teardown(void **state)
{
    fixture *f = *state;
    mdr_mill_close(f->mill);
    mdr_arena_free(f->arena);
    kit_dir_remove(&f->dir);
    free(f);
    return 0;
}

static void expect(mdr_code got, const mdr_err *err, mdr_code want, const char *place)
{
    if (got != want || strcmp(err->place, place) != 0) {
        kit_print(err);
        fail_msg("got %d at '%s', want %d at '%s'", (int)got, err->place, (int)want, place);
    }
}

static mdr_spectrum ramp(int n)
{
    mdr_spectrum s = {.start_nm = 380, .step_nm = 10, .n = n};
    for (int i = 0; i < n; i++) {
        s.v[i] = 0.1 + 0.01 * i;
    }
    return s;
}

static const mdr_bench_sample NEW_DIP = {.sample_id = "BORDEAUX.2",
                                         .name = "second",
                                         .substrate = "Jersey, 60",
                                         .dye_id = "",
                                         .shade_id = "BORDEAUX",
                                         .lot_id = "",
                                         .remark = "",
                                         .measured_utc_ms = DAY(0),
                                         .kind = MDR_BENCH_DIP,
                                         .specular = MDR_SPECULAR_INCLUDED};

#endif
