/*
 * mdr_list.h - a list of error records: an import or a check reports every fault, not the first.
 *
 * Layer: base. Lives in the arena given at the start. When the arena or `cap` is full, further
 * records are counted but not kept: `total` says how many there were.
 */
#ifndef MDR_LIST_H
#define MDR_LIST_H

#include "base/mdr_arena.h"
#include "base/mdr_err.h"

typedef struct mdr_err_list {
    mdr_arena *arena;
    mdr_err *items;
    int count;  /* kept */
    int cap;    /* at most this many are kept */
    int room;   /* allocated */
    long total; /* seen */
} mdr_err_list;

/* cap in 1..10000. */
mdr_err_list mdr_err_list_make(mdr_arena *arena, int cap);
/* A copy of *err is kept, if there is room. */
void mdr_err_list_add(mdr_err_list *list, const mdr_err *err);
/* Puts a prefix before the place of every record from `from` on. */
void mdr_err_list_within(mdr_err_list *list, int from, const char *prefix);

#endif
