#include "base/mdr_list.h"

#include <string.h>

mdr_err_list mdr_err_list_make(mdr_arena *arena, int cap)
{
    return (mdr_err_list){.arena = arena, .cap = cap};
}

static int grow(mdr_err_list *list)
{
    int room = list->room == 0 ? 8 : list->room * 2;
    room = room < list->cap ? room : list->cap;
    mdr_err *more = MDR_NEW_N(list->arena, mdr_err, (size_t)room);
    if (more == NULL) {
        return 0;
    }
    if (list->count > 0) {
        memcpy(more, list->items, (size_t)list->count * sizeof *more);
    }
    list->items = more;
    list->room = room;
    return 1;
}

void mdr_err_list_add(mdr_err_list *list, const mdr_err *err)
{
    list->total++;
    if (list->count >= list->cap) {
        return;
    }
    if (list->count == list->room && !grow(list)) {
        return;
    }
    list->items[list->count++] = *err;
}

void mdr_err_list_within(mdr_err_list *list, int from, const char *prefix)
{
    for (int i = from; i < list->count; i++) {
        mdr_err_within(&list->items[i], "%s", prefix);
    }
}
