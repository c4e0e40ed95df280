#include "base/mdr_err.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *mdr_code_id(mdr_code code)
{
    switch (code) {
#define X(name, id, text) \
    case name:            \
        return id;
        MDR_CODES(X)
#undef X
    }
    return "unknown";
}

const char *mdr_code_text(mdr_code code)
{
    switch (code) {
#define X(name, id, text) \
    case name:            \
        return text;
        MDR_CODES(X)
#undef X
    }
    return "unknown error";
}

/* vsnprintf that never leaves half a UTF-8 character at the cut. */
MDR_PRINTF(3, 0) static void put(char *out, size_t size, const char *fmt, va_list ap)
{
    const int n = vsnprintf(out, size, fmt, ap);
    if (n < 0) {
        out[0] = '\0';
        return;
    }
    if ((size_t)n < size) {
        return;
    }
    size_t end = size - 1;
    while (end > 0 && ((unsigned char)out[end - 1] & 0xC0u) == 0x80u) {
        end--;
    }
    if (end > 0 && (unsigned char)out[end - 1] >= 0xC0u) {
        end--;
    }
    out[end] = '\0';
}

static void put_text(char *out, size_t size, const char *fmt, ...) MDR_PRINTF(3, 4);
static void put_text(char *out, size_t size, const char *fmt, ...)
{
    va_list ap;
    va_start(ap, fmt);
    put(out, size, fmt, ap);
    va_end(ap);
}

mdr_code mdr_err_set(mdr_err *err, mdr_code code, const char *place, const char *file, int line,
                     const char *fmt, ...)
{
    if (err == NULL) {
        return code;
    }
    memset(err, 0, sizeof *err);
    err->code = code;
    err->file = file;
    err->line = line;
    put_text(err->place, sizeof err->place, "%s", place != NULL ? place : "");
    va_list ap;
    va_start(ap, fmt);
    put(err->msg, sizeof err->msg, fmt, ap);
    va_end(ap);
    return code;
}

#define PUT_FIELD(field)                                 \
    do {                                                 \
        if (err != NULL) {                               \
            va_list ap;                                  \
            va_start(ap, fmt);                           \
            put(err->field, sizeof err->field, fmt, ap); \
            va_end(ap);                                  \
        }                                                \
    } while (0)

void mdr_err_value(mdr_err *err, const char *fmt, ...)
{
    PUT_FIELD(value);
}

void mdr_err_allowed(mdr_err *err, const char *fmt, ...)
{
    PUT_FIELD(allowed);
}

void mdr_err_remedy(mdr_err *err, const char *fmt, ...)
{
    PUT_FIELD(remedy);
}

void mdr_err_within(mdr_err *err, const char *fmt, ...)
{
    if (err == NULL) {
        return;
    }
    char old[sizeof err->place];
    memcpy(old, err->place, sizeof old);
    va_list ap;
    va_start(ap, fmt);
    put(err->place, sizeof err->place, fmt, ap);
    va_end(ap);
    const size_t n = strlen(err->place);
    if (old[0] != '\0' && n + 1 < sizeof err->place) {
        const char *join = old[0] == '[' || n == 0 ? "" : ".";
        put_text(err->place + n, sizeof err->place - n, "%s%s", join, old);
    }
}

/* Appends one labelled line; returns the new length. */
static int line_of(char *out, int size, int n, const char *label, const char *text)
{
    if (text[0] == '\0' || n >= size - 1) {
        return n;
    }
    const int w = snprintf(out + n, (size_t)(size - n), "\n  %-9s%s", label, text);
    if (w < 0) {
        return n;
    }
    return n + w < size ? n + w : size - 1;
}

int mdr_err_format(const mdr_err *err, char *out, int out_size)
{
    int n = snprintf(out, (size_t)out_size, "%s", err->msg);
    if (n < 0) {
        out[0] = '\0';
        return 0;
    }
    n = n < out_size ? n : out_size - 1;
    n = line_of(out, out_size, n, "where", err->place);
    n = line_of(out, out_size, n, "value", err->value);
    n = line_of(out, out_size, n, "allowed", err->allowed);
    return line_of(out, out_size, n, "remedy", err->remedy);
}
