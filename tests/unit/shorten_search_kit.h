/* The inside of a search over the kit's dyeing. */
#ifndef SHORTEN_SEARCH_KIT_H
#define SHORTEN_SEARCH_KIT_H

#include "core/exhaust/mdr_shorten_parts.h"
#include "shorten_kit.h"

/* Only the steps from `first` to `last` may be changed, and the speed stays. */
static inline mdr_shorten_in kit_only(const mdr_shorten_in *usual, int first, int last)
{
    mdr_shorten_in in = *usual;
    for (int i = 0; i < in.base->n_steps; i++) {
        in.keep[i] = i < first || i > last;
    }
    in.keep_speed = true;
    return in;
}

/* Wide limits; each test draws in the one it is about. */
static inline mdr_shorten_search kit_search(const mdr_shorten_in *in, mdr_arena *arena)
{
    mdr_shorten_search s = {.in = in, .arena = arena, .aim = {100.0, 9.0, 9.0, 9.0, 1.0}};
    s.tried = MDR_NEW(arena, mdr_dye_programme);
    s.known = MDR_NEW_N(arena, mdr_shorten_known, MDR_SHORTEN_KNOWN);
    assert_true(s.tried != NULL && s.known != NULL);
    mdr_moves_of(in, &s.moves);
    mdr_shorten_matters(&s);
    assert_int_equal(mdr_shorten_trails(in, arena, &s.trails, NULL), MDR_OK);
    return s;
}

static inline int kit_move_of(const mdr_shorten_search *s, int step, mdr_move_kind kind)
{
    for (int i = 0; i < s->moves.n; i++) {
        if (s->moves.move[i].step == step && s->moves.move[i].kind == kind) {
            return i;
        }
    }
    fail_msg("step %d has no such move", step);
    return 0;
}

#endif
