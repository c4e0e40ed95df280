#include "base/mdr_arena.h"

#include <stdalign.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif

/* Builds with -DMDR_ARENA_EXACT (asan, valgrind) give every allocation a block of its own and
 * of its exact size, so that the tools see an overrun which a shared chunk would hide. */
#ifdef MDR_ARENA_EXACT
enum { CHUNK_BYTES = 0, ALIGN = 1 };
#else
enum { CHUNK_BYTES = 16 * 1024, ALIGN = alignof(max_align_t) };
#endif

typedef struct chunk {
    struct chunk *next;
    size_t cap;
    size_t used;
    alignas(max_align_t) unsigned char bytes[];
} chunk;

struct mdr_arena {
    chunk *head;
    size_t limit;
    size_t used;
};

/* Fault injection; the only mutable static in base, and tests alone set it. */
static unsigned fail_countdown;

void mdr_arena_fail_at(unsigned n)
{
    fail_countdown = n;
}

static void *sys_alloc(size_t n)
{
    if (fail_countdown != 0 && --fail_countdown == 0) {
        return NULL;
    }
    return calloc(1, n);
}

mdr_arena *mdr_arena_new(size_t limit_bytes)
{
    mdr_arena *a = sys_alloc(sizeof *a);
    if (a != NULL) {
        a->limit = limit_bytes;
    }
    return a;
}

void mdr_arena_free(mdr_arena *a)
{
    if (a == NULL) {
        return;
    }
    for (chunk *c = a->head; c != NULL;) {
        chunk *next = c->next;
        free(c);
        c = next;
    }
    free(a);
}

static size_t round_up(size_t n)
{
    const size_t m = ALIGN - 1;
    return (n + m) & ~m;
}

/* A chunk with room for n bytes at the head of the list, or NULL. */
static chunk *chunk_for(mdr_arena *a, size_t n)
{
    if (a->head != NULL && a->head->cap - a->head->used >= n) {
        return a->head;
    }
    const size_t cap = n > CHUNK_BYTES ? n : CHUNK_BYTES;
    chunk *c = sys_alloc(sizeof *c + cap);
    if (c == NULL) {
        return NULL;
    }
    c->cap = cap;
    c->next = a->head;
    a->head = c;
    return c;
}

void *mdr_arena_alloc(mdr_arena *a, size_t count, size_t size)
{
    if (count == 0 || size == 0 || count > (SIZE_MAX - 64) / size) {
        return NULL;
    }
    const size_t n = round_up(count * size);
    if (n > a->limit - a->used) {
        return NULL;
    }
    chunk *c = chunk_for(a, n);
    if (c == NULL) {
        return NULL;
    }
    void *p = c->bytes + c->used;
    c->used += n;
    a->used += n;
    return p;
}

void mdr_arena_keep_memory(void)
{
#ifdef __GLIBC__
    enum { KEPT_BYTES = 16 << 20, AHEAD_BYTES = 1 << 20, OWN_MAPPING_BYTES = 8 << 20 };
    (void)mallopt(M_TRIM_THRESHOLD, KEPT_BYTES);
    (void)mallopt(M_TOP_PAD, AHEAD_BYTES);
    (void)mallopt(M_MMAP_THRESHOLD, OWN_MAPPING_BYTES); /* fixed, once the others are set */
#endif
}

size_t mdr_arena_used(const mdr_arena *a)
{
    return a->used;
}

mdr_arena_mark mdr_arena_here(const mdr_arena *a)
{
    return (mdr_arena_mark){a->head, a->head != NULL ? a->head->used : 0, a->used};
}

void mdr_arena_back(mdr_arena *a, mdr_arena_mark mark)
{
    while (a->head != mark.chunk) {
        chunk *next = a->head->next;
        free(a->head);
        a->head = next;
    }
    if (a->head != NULL) { /* what is handed out next must be zeroed */
        memset(a->head->bytes + mark.chunk_used, 0, a->head->used - mark.chunk_used);
        a->head->used = mark.chunk_used;
    }
    a->used = mark.used;
}

char *mdr_arena_text_n(mdr_arena *a, const char *text, size_t n)
{
    char *p = mdr_arena_alloc(a, n + 1, 1);
    if (p != NULL && n > 0) {
        memcpy(p, text, n);
    }
    return p;
}

char *mdr_arena_text(mdr_arena *a, const char *text)
{
    return mdr_arena_text_n(a, text, strlen(text));
}

char *mdr_arena_printf(mdr_arena *a, const char *fmt, ...)
{
    va_list ap, again;
    va_start(ap, fmt);
    va_copy(again, ap);
    const int n = vsnprintf(NULL, 0, fmt, ap);
    va_end(ap);
    char *p = n < 0 ? NULL : mdr_arena_alloc(a, (size_t)n + 1, 1);
    if (p != NULL) {
        (void)vsnprintf(p, (size_t)n + 1, fmt, again);
    }
    va_end(again);
    return p;
}
