/* Samples, faults and notices as a file of spectra is read. */
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "wire/mdr_spectra_in.h"

const char *mdr_build_text(mdr_spectra_build *b, const char *text, size_t len)
{
    const char *copy = mdr_arena_text_n(b->arena, text, len);
    b->no_memory = b->no_memory || copy == NULL;
    return copy != NULL ? copy : "";
}

void mdr_build_place(const mdr_spectra_build *b, int line, int column, char *out, size_t size)
{
    if (line > 0 && column > 0) {
        (void)snprintf(out, size, "%s:%d:%d", b->file, line, column);
    } else if (line > 0) {
        (void)snprintf(out, size, "%s:%d", b->file, line);
    } else {
        (void)snprintf(out, size, "%s", b->file);
    }
}

void mdr_build_keep(mdr_spectra_build *b, const mdr_err *err)
{
    if (b->faults++ == 0) {
        b->first = *err;
    }
    if (b->found != NULL) {
        mdr_err_list_add(b->found, err);
    }
}

void mdr_build_fault(mdr_spectra_build *b, mdr_code code, int line, int column, const char *text,
                     size_t len, const char *message)
{
    mdr_err err;
    char place[sizeof err.place];
    mdr_build_place(b, line, column, place, sizeof place);
    (void)MDR_FAIL(&err, code, place, "%s", message);
    if (text != NULL) {
        mdr_err_value(&err, "%.*s", (int)(len < 60 ? len : 60), text);
    }
    /* unless mdr_build_remedy knows better */
    mdr_err_remedy(&err, "export the file again; see the formats of spectra in the manual");
    mdr_build_keep(b, &err);
}

void mdr_build_remedy(mdr_spectra_build *b, const char *remedy)
{
    if (b->faults == 1) {
        mdr_err_remedy(&b->first, "%s", remedy);
    }
    if (b->found != NULL && b->found->count > 0 && b->found->total == b->found->count) {
        mdr_err_remedy(&b->found->items[b->found->count - 1], "%s", remedy);
    }
}

void mdr_build_notice(mdr_spectra_build *b, int line, const char *fmt, ...)
{
    mdr_err err;
    char place[sizeof err.place], text[sizeof err.msg];
    va_list args;
    if (b->notices == NULL) {
        return;
    }
    va_start(args, fmt);
    (void)vsnprintf(text, sizeof text, fmt, args);
    va_end(args);
    mdr_build_place(b, line, 0, place, sizeof place);
    (void)MDR_FAIL(&err, MDR_OK, place, "%s", text);
    mdr_err_list_add(b->notices, &err);
}

static bool grow_samples(mdr_spectra_build *b)
{
    const int room = b->room == 0 ? 64 : 2 * b->room;
    mdr_sample **wider = MDR_NEW_N(b->arena, mdr_sample *, (size_t)room);
    if (wider == NULL) {
        return false;
    }
    if (b->n > 0) {
        memcpy(wider, b->samples, (size_t)b->n * sizeof(mdr_sample *));
    }
    b->samples = wider;
    b->room = room;
    return true;
}

mdr_sample *mdr_build_sample(mdr_spectra_build *b, int line)
{
    if (b->n == MDR_SPECTRA_MAX) {
        mdr_build_fault(b, MDR_E_RANGE, line, 0, NULL, 0, "more than 20000 samples in one file");
        b->no_memory = true; /* the readers stop here as they do without memory */
        return NULL;
    }
    mdr_sample *s = MDR_NEW(b->arena, mdr_sample);
    if (s == NULL || (b->n == b->room && !grow_samples(b))) {
        b->no_memory = true;
        return NULL;
    }
    *s = (mdr_sample){.name = "", .id = "", .kind = "", .condition = "", .line = line};
    b->samples[b->n++] = s;
    return s;
}

void mdr_build_point(mdr_spectra_build *b, mdr_sample *s, mdr_sample_point p)
{
    if (p.wavelength_nm < MDR_SPECTRUM_LEAST_NM || p.wavelength_nm > MDR_SPECTRUM_MOST_NM) {
        b->dropped++;
        return;
    }
    if (s->n == s->room) {
        const int room = s->room == 0 ? 48 : 2 * s->room;
        mdr_sample_point *wider = MDR_NEW_N(b->arena, mdr_sample_point, (size_t)room);
        if (wider == NULL) {
            b->no_memory = true;
            return;
        }
        if (s->n > 0) {
            memcpy(wider, s->points, (size_t)s->n * sizeof *wider);
        }
        s->points = wider;
        s->room = room;
    }
    s->points[s->n++] = p;
}
