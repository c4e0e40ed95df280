/*
 * mdr_mill_keys.h - which keys a file has shown so far, and in which line.
 *
 * Layer: mill, inside only.
 */
#ifndef MDR_MILL_KEYS_H
#define MDR_MILL_KEYS_H

#include <stddef.h>
#include <stdint.h>

#include "base/mdr_arena.h"

typedef struct mdr_mill_keys {
    mdr_arena *arena;
    struct mdr_mill_key_slot {
        uint64_t hash;
        const char *key; /* NULL: free */
        size_t len;
        int line;
    } * slots;
    size_t room, count; /* room is a power of two */
} mdr_mill_keys;

/* The line that showed this key before, 0 when it is new (and noted now), -1 when memory is
 * short. */
int mdr_mill_keys_put(mdr_mill_keys *keys, const char *key, size_t len, int line);

#endif
