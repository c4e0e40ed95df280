/*
 * mill_lots_kit.h - a mill with its masters read.
 */
#ifndef MILL_LOTS_KIT_H
#define MILL_LOTS_KIT_H

#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "mill_kit.h"

typedef struct fixture {
    kit_dir dir;
    mdr_mill *mill;
    mdr_arena *arena;
    mdr_masters masters;
} fixture;

static int setup(void **state)
{
    mdr_err err;
    fixture *f = calloc(1, sizeof *f);
    assert_non_null(f);
    f->dir = kit_dir_make();
    f->mill = kit_mill(&f->dir);
    f->arena = mdr_arena_new((size_t)8 << 20);
    KIT_OK(mdr_mill_masters(f->mill, f->arena, &f->masters, &err), &err);
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

#define KIT_SRC "I: tests/unit/mill_kit.h"

#define T(f) cmocka_unit_test_setup_teardown(f, setup, teardown)

#endif
