/* Importing a faulty text into the small mill: each fault with its place, value and remedy. Include after t.h. */
#ifndef MILL_IMPORT_KIT_H
#define MILL_IMPORT_KIT_H

#include "mill_kit.h"

typedef struct fixture {
    kit_dir dir;
    mdr_mill *mill;
    mdr_arena *arena;
    mdr_err_list found;
} fixture;

static inline int setup(void **state)
{
    fixture *f = calloc(1, sizeof *f);
    assert_non_null(f);
    f->dir = kit_dir_make();
    f->mill = kit_mill(&f->dir);
    f->arena = mdr_arena_new((size_t)8 << 20);
    f->found = mdr_err_list_make(f->arena, 1000);
    *state = f;
    return 0;
}

static inline int teardown(void **state)
{
    fixture *f = *state;
    mdr_mill_close(f->mill);
    mdr_arena_free(f->arena);
    kit_dir_remove(&f->dir);
    free(f);
    return 0;
}

static inline const mdr_err *find_place(const mdr_err_list *found, const char *place)
{
    for (int i = 0; i < found->count; i++) {
        if (strcmp(found->items[i].place, place) == 0) {
            return &found->items[i];
        }
    }
    return NULL;
}

/* One fault that must be among those found; texts are parts. */
typedef struct expected {
    const char *place, *value, *allowed, *remedy;
} expected;

static inline void expect(const mdr_err_list *found, const expected *want, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        const mdr_err *e = find_place(found, want[i].place);
        if (e == NULL || strstr(e->value, want[i].value) == NULL ||
            strstr(e->allowed, want[i].allowed) == NULL ||
            strstr(e->remedy, want[i].remedy) == NULL) {
            for (int k = 0; k < found->count; k++) {
                kit_print(&found->items[k]);
            }
            fail_msg("not found as wanted: %s", want[i].place);
        }
    }
    if (found->total != (long)n) {
        for (int k = 0; k < found->count; k++) {
            kit_print(&found->items[k]);
        }
        fail_msg("%ld faults found, want %zu", found->total, n);
    }
}

/* Imports a faulty text: all faults are as expected, the first is returned, and the table is as
 * it was. */
static inline void refuse(fixture *f, const char *table, const char *text, const expected *want,
                          size_t n)
{
    mdr_err err = {0};
    char *before = kit_export(f->mill, mdr_table_find(table));
    f->found = mdr_err_list_make(f->arena, 1000);
    const mdr_code rc = kit_import(f->mill, table, text, &f->found, &err);
    expect(&f->found, want, n);
    assert_true(rc != MDR_OK);
    assert_int_equal(rc, f->found.items[0].code);
    assert_string_equal(err.place, f->found.items[0].place);
    for (int i = 0; i < f->found.count; i++) {
        assert_true(f->found.items[i].msg[0] != '\0' && f->found.items[i].remedy[0] != '\0');
    }
    char *after = kit_export(f->mill, mdr_table_find(table));
    assert_string_equal(before, after);
    free(before);
    free(after);
    assert_int_equal(kit_import(f->mill, table, text, NULL, NULL), rc); /* both may be NULL */
}

#define ROLL_HEAD "roll_id,article_id,lot_id,grey_kg\n"

#define T(f) cmocka_unit_test_setup_teardown(f, setup, teardown)

#endif
