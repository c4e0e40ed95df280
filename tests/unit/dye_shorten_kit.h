/*
 * dye_shorten_kit.h - the usual search, made once.
 */
#ifndef DYE_SHORTEN_KIT_H
#define DYE_SHORTEN_KIT_H

#define _XOPEN_SOURCE 700
#include "shorten_search_kit.h"

#include <math.h>

#include "core/exhaust/mdr_rope_mark.h"

static mdr_arena *arena;
static mdr_dye_programme *base;
static const mdr_shorten_out *usual; /* of the kit, made once */
static mdr_shorten_in usual_in;

static const mdr_shorten_out *shorten(const mdr_shorten_in *in)
{
    const mdr_shorten_out *out = NULL;
    mdr_err err = {0};
    if (mdr_dye_shorten(in, arena, &out, &err) != MDR_OK) {
        fail_msg("%s: %s (%s)", err.place, err.msg, err.value);
    }
    return out;
}

static int setup(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)512 << 20);
    base = MDR_NEW(arena, mdr_dye_programme);
    kit_programme(base);
    usual_in = kit_shorten(base, arena);
    usual = shorten(&usual_in);
    return 0;
}

static int teardown(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

#endif
