/*
 * mdr_pick.h - id and words of an enumerator, made from its X-macro list.
 *
 * Layer: core/plan, for the .c files that define such functions. The lists start at 0 and have
 * no gaps, so an array indexed by the enumerator is enough.
 */
#ifndef MDR_PICK_H
#define MDR_PICK_H

#include <stddef.h>

#define MDR_PICK_ID(name, id, ...)      id,
#define MDR_PICK_WORDS(name, id, words) words,

/* const char *function(type): the member of the list, NULL for a value outside it. */
#define MDR_PICK(function, type, ...)                                \
    const char *function(type k)                                     \
    {                                                                \
        static const char *const TEXTS[] = {__VA_ARGS__};            \
        const size_t i = (size_t)k;                                  \
        return i < sizeof TEXTS / sizeof TEXTS[0] ? TEXTS[i] : NULL; \
    }

#endif
