/*
 * mdr_rope_mark.h - states of a rope on its way through a dyeing, so that another dyeing which begins in
 * the same way need not be reckoned from its beginning.
 *
 * For a search that tries one change after another: most of them leave the beginning as it was.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-shorten.md#what-a-try-costs
 *
 * A dyeing leaves a trail of marks: its inputs, and what bath and rope were at some of its samples. The
 * next one is compared with the trails that are there, number by number; it goes on from the latest mark
 * that lies before the first difference, by more than a rope looks ahead (two blocks of its steps, see
 * docs/methods/exhaust.md#steps). What comes out is what would have come out from the beginning, to the
 * last bit (test_rope_mark): nobody has to say, and nobody can say wrongly, what two dyeings share.
 *
 * Begun anew: another rope, speed, preparation, kind of step; anything that differs before the first mark.
 * The trail that was of no use for longest makes room.
 *
 * Symbols: times min, as in the course of the dyeing.
 */
#ifndef MDR_ROPE_MARK_H
#define MDR_ROPE_MARK_H

#include "core/exhaust/mdr_dyeing.h"

/* For what there is room: dyeings that need more are reckoned from the beginning and leave nothing. */
typedef struct mdr_rope_room {
    int slices; /* of all tubes */
    int tubes, dyes, doses;
    int modes;    /* of the fibre */
    int stations; /* of the zone: zone_fraction x steps_per_turn, upwards */
    int samples;  /* behind them no marks are left */
} mdr_rope_room;

/*
 * For mdr_dyeing_in.trails. The rates that a dyeing was given must stay where and as they are as long as
 * trails are used.
 *   errors  MDR_E_ARG    a count below 1 ("room")
 *           MDR_E_NOMEM
 */
mdr_code mdr_rope_trails_make(const mdr_rope_room *room, mdr_arena *arena, mdr_rope_trails **out,
                              mdr_err *err) MDR_MUST_CHECK;

/* Minutes of dyeing that were not reckoned again so far. */
double mdr_rope_spared_min(const mdr_rope_trails *t);

#endif
