/* One arena a test, made and freed around it. Include after t.h. */
#ifndef ARENA_KIT_H
#define ARENA_KIT_H

#include "base/mdr_arena.h"

static mdr_arena *arena;

static inline int set_up(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)64 << 20);
    return arena == NULL;
}

static inline int tear_down(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

#endif
