/* One dyeing, run in an arena that lives as long as a test. */
#ifndef DYEING_RUN_H
#define DYEING_RUN_H

#include "core/exhaust/mdr_dyeing.h"
#include "t.h"

static mdr_arena *arena;

static inline int fresh(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)512 << 20);
    return arena == NULL;
}

static inline int clear(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

static inline const mdr_dyeing *run(const mdr_dyeing_in *in)
{
    mdr_err err = {0};
    const mdr_dyeing *d = NULL;
    if (mdr_dyeing_run(in, arena, &d, &err) != MDR_OK) {
        fail_msg("%s: %s (%s)", err.place, err.msg, err.value);
    }
    assert_true(d->mass_error < 1e-10);
    return d;
}

#endif
