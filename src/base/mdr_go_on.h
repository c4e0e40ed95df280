/*
 * mdr_go_on.h - whether a long calculation is still wanted.
 *
 * Layer: base. Who asks for the calculation answers, from a clock, or because nobody waits for it any
 * more; who calculates asks between two parts of it, and stops with what there is when it is not.
 */
#ifndef MDR_GO_ON_H
#define MDR_GO_ON_H

#include <stdbool.h>
#include <stddef.h>

typedef struct mdr_go_on {
    bool (*wanted)(void *about); /* NULL: always. Once false it stays so. */
    void *about;
} mdr_go_on;

/* `go_on` may be NULL: always. */
static inline bool mdr_wanted(const mdr_go_on *go_on)
{
    return go_on == NULL || go_on->wanted == NULL || go_on->wanted(go_on->about);
}

#endif
