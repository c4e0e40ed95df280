#include "mill/mdr_mill_text.h"

#include <string.h>

enum { FIRST_ROOM = 512 };

static void grow(mdr_mill_text *t, size_t need)
{
    size_t room = t->room == 0 ? FIRST_ROOM : t->room;
    while (room < need) {
        room *= 2;
    }
    char *more = mdr_arena_alloc(t->arena, room, 1);
    if (more == NULL) {
        t->failed = true;
        return;
    }
    if (t->len > 0) {
        memcpy(more, t->bytes, t->len);
    }
    t->bytes = more;
    t->room = room;
}

void mdr_mill_text_add_n(mdr_mill_text *t, const char *text, size_t n)
{
    if (!t->failed && t->len + n + 1 > t->room) {
        grow(t, t->len + n + 1);
    }
    if (t->failed) {
        return;
    }
    if (n > 0) {
        memcpy(t->bytes + t->len, text, n);
    }
    t->len += n;
    t->bytes[t->len] = '\0';
}

void mdr_mill_text_add(mdr_mill_text *t, const char *text)
{
    mdr_mill_text_add_n(t, text, strlen(text));
}

void mdr_mill_text_name(mdr_mill_text *t, const char *name)
{
    mdr_mill_text_add(t, "\"");
    mdr_mill_text_add(t, name);
    mdr_mill_text_add(t, "\"");
}

const char *mdr_mill_text_get(const mdr_mill_text *t)
{
    return t->failed ? NULL : t->bytes;
}
