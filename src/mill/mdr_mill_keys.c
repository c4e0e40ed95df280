#include "mill/mdr_mill_keys.h"

#include <string.h>

enum { FIRST_ROOM = 64 };

typedef struct mdr_mill_key_slot slot;

/* FNV-1a, 64 bit (Fowler, Noll, Vo; draft-eastlake-fnv; constants from memory). A file that was
 * made to collide is slow, not wrong: keys are compared in full. */
static uint64_t hash_of(const char *key, size_t len)
{
    uint64_t h = UINT64_C(14695981039346656037);
    for (size_t i = 0; i < len; i++) {
        h = (h ^ (unsigned char)key[i]) * UINT64_C(1099511628211);
    }
    return h;
}

static slot *find(const mdr_mill_keys *keys, uint64_t hash, const char *key, size_t len)
{
    size_t i = hash & (keys->room - 1);
    while (keys->slots[i].key != NULL) {
        const slot *s = &keys->slots[i];
        if (s->hash == hash && s->len == len && memcmp(s->key, key, len) == 0) {
            break;
        }
        i = (i + 1) & (keys->room - 1);
    }
    return &keys->slots[i];
}

static int grow(mdr_mill_keys *keys)
{
    mdr_mill_keys more = *keys;
    more.room = keys->room == 0 ? FIRST_ROOM : keys->room * 2;
    more.slots = MDR_NEW_N(keys->arena, slot, more.room);
    if (more.slots == NULL) {
        return 0;
    }
    for (size_t i = 0; i < keys->room; i++) {
        const slot *s = &keys->slots[i];
        if (s->key != NULL) {
            *find(&more, s->hash, s->key, s->len) = *s;
        }
    }
    *keys = more;
    return 1;
}

int mdr_mill_keys_put(mdr_mill_keys *keys, const char *key, size_t len, int line)
{
    if (keys->count * 2 >= keys->room && !grow(keys)) {
        return -1;
    }
    const uint64_t hash = hash_of(key, len);
    slot *s = find(keys, hash, key, len);
    if (s->key != NULL) {
        return s->line;
    }
    const char *copy = mdr_arena_text_n(keys->arena, key, len);
    if (copy == NULL) {
        return -1;
    }
    *s = (slot){hash, copy, len, line};
    keys->count++;
    return 0;
}
