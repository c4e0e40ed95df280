/*
 * dye_known_kit.h - dyes, and the numbers that their rates give.
 */
#ifndef DYE_KNOWN_KIT_H
#define DYE_KNOWN_KIT_H

#include "t.h"

#include <string.h>

#include "core/exhaust/mdr_dye_known.h"

#define SRC_SELF "D: the numbers were made with known rates"

static mdr_arena *arena;

static int make_room(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)1 << 26);
    return arena == NULL;
}

static int clear_room(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

static mdr_dye_known reactive(mdr_dye_group g, double s, double e, double r, double f)
{
    mdr_dye_known k = mdr_dye_known_of("D", g, MDR_WAY_REACTIVE);
    k.number[MDR_NUMBER_PRIMARY] = s;
    k.number[MDR_NUMBER_EXHAUSTION] = e;
    k.number[MDR_NUMBER_FIRST] = r;
    k.number[MDR_NUMBER_FIXATION] = f;
    return k;
}

static const mdr_dye_fit *fit_of(const mdr_dye_known *k)
{
    const mdr_dye_fit *fit = NULL;
    mdr_err err;
    if (mdr_dye_known_rates(k, arena, &fit, &err) != MDR_OK) {
        fail_msg("%s: %s (%s)", err.place, err.msg, err.value);
    }
    return fit;
}

static void numbers_of(const mdr_dye_rates *rates, const mdr_dye_known *k, double *n)
{
    const mdr_dyeing *run = NULL;
    mdr_arena *own = mdr_arena_new((size_t)1 << 22);
    assert_int_equal(mdr_dye_standard_run(rates, &k->standard, k->way, 0.5, own, &run, NULL),
                     MDR_OK);
    mdr_dye_standard_numbers(run, &k->standard, k->way, n);
    mdr_arena_free(own);
}

#endif
