/* Reading a text of spectra in a test: what came out, and the first fault or notice in one line. */
#ifndef SPECTRA_KIT_H
#define SPECTRA_KIT_H

#include <stdio.h>
#include <string.h>

#include "t.h"
#include "wire/mdr_spectra.h"

typedef struct spectra_try {
    mdr_arena *arena;
    mdr_err_list found, notices;
    const mdr_spectra *got; /* NULL: refused */
    mdr_code code;
    mdr_err err;
} spectra_try;

static inline spectra_try spectra_try_n(const char *text, size_t len, mdr_spectra_options options)
{
    spectra_try t = {.arena = mdr_arena_new(64 << 20)};
    const mdr_spectra_file file = {"f", text, len};
    t.found = mdr_err_list_make(t.arena, 20);
    t.notices = mdr_err_list_make(t.arena, 20);
    t.code = mdr_spectra_read(&file, &options, t.arena, (mdr_spectra_report){&t.found, &t.notices},
                              &t.got, &t.err);
    assert_int_equal(t.code == MDR_OK, t.got != NULL); /* nothing in part */
    assert_int_equal(t.code == MDR_OK, t.found.total == 0);
    if (t.code != MDR_OK) {
        assert_string_equal(t.found.items[0].msg, t.err.msg);
        assert_true(t.err.msg[0] != '\0');
    }
    return t;
}

static inline spectra_try spectra_try_text(const char *text)
{
    return spectra_try_n(text, strlen(text), (mdr_spectra_options){MDR_SCALE_UNKNOWN, false});
}

static inline void spectra_done(spectra_try *t)
{
    mdr_arena_free(t->arena);
}

/* Fails unless read. */
static inline spectra_try spectra_read(const char *text)
{
    spectra_try t = spectra_try_text(text);
    if (t.code != MDR_OK) {
        fail_msg("%s: %s (%s)", t.err.place, t.err.msg, t.err.value);
    }
    return t;
}

static inline int spectra_has_notice(const spectra_try *t, const char *part)
{
    for (int i = 0; i < t->notices.count; i++) {
        if (strstr(t->notices.items[i].msg, part) != NULL) {
            return 1;
        }
    }
    return 0;
}

#endif
