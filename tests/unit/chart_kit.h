/* An arena a program, charts that must come out, normal values. */
#ifndef CHART_KIT_H
#define CHART_KIT_H

#include "t.h"

#include "core/quality/mdr_control_chart.h"

static mdr_arena *arena; /* of the program, from open_arena */
static const mdr_chart_base ALL = {.n_points = 0};

static inline int open_arena(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)64 << 20);
    return arena == NULL;
}

static inline int close_arena(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

static inline void ok(mdr_code code, const mdr_err *err)
{
    if (code != MDR_OK) {
        fail_msg("%s at %s (%s)", err->msg, err->place, err->value);
    }
}

static inline mdr_chart individuals(const double *values, int n, const mdr_chart_base *base,
                                    unsigned rules)
{
    mdr_chart c;
    mdr_err err = {0};
    ok(mdr_chart_individuals(values, n, base, rules, arena, &c, &err), &err);
    return c;
}

static const mdr_chart_base UNIT = {.given = true, .centre = 0, .sigma = 1};

static inline double uniform(uint64_t *seed) /* xorshift64* */
{
    *seed ^= *seed >> 12;
    *seed ^= *seed << 25;
    *seed ^= *seed >> 27;
    return ((double)((*seed * 2685821657736338717u) >> 11) + 0.5) / 9007199254740992.0;
}

static inline double normal(uint64_t *seed)
{
    const double r = sqrt(-2 * log(uniform(seed)));
    return r * cos(6.283185307179586 * uniform(seed));
}

#endif
