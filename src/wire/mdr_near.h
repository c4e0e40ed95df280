/*
 * mdr_near.h - "did you mean": the known word nearest to a mistyped one. Layer: wire.
 */
#ifndef MDR_NEAR_H
#define MDR_NEAR_H

#include <stdbool.h>
#include <stddef.h>

/* Letters to insert, delete, exchange or swap to get from a to b; letters beyond the 64th are not
 * looked at. */
int mdr_near_distance(const char *a, const char *b);
/* Near enough to be offered: at most a third of its letters differ, two at least allowed. */
bool mdr_near_enough(const char *typed, int distance);

#endif
