#include "core/plan/mdr_say.h"

#include <math.h>
#include <stdint.h>

#include "base/mdr_lang.h"

const char *mdr_severity_id(mdr_severity severity)
{
    switch (severity) {
    case MDR_SEV_NOTE:
        return "note";
    case MDR_SEV_WARNING:
        return "warning";
    case MDR_SEV_STOP:
        return "stop";
    }
    return "";
}

/* Appends one character if there is room for it and the end. */
static void put(char *out, size_t size, size_t *n, char c)
{
    if (*n + 1 < size) {
        out[(*n)++] = c;
        out[*n] = '\0';
    }
}

/* A sign that takes more than one byte. */
static void put_sign(char *out, size_t size, size_t *n, const char *sign)
{
    for (const char *c = sign; *c != '\0'; c++) {
        put(out, size, n, *c);
    }
}

/* A number with so many decimals and blanks between the thousands, in every locale. No line breaks at
 * these blanks. */
static void put_number(char *out, size_t size, double value, int decimals)
{
    size_t n = 0;
    const double scale = pow(10.0, decimals);
    const uint64_t units = (uint64_t)llround(fmin(fabs(value), 1e12) * scale);
    uint64_t whole = units / (uint64_t)scale;
    uint64_t part = units % (uint64_t)scale;
    char digits[24];
    int count = 0;
    do {
        digits[count++] = (char)('0' + whole % 10u);
        whole /= 10u;
    } while (whole > 0u);
    if (value < 0.0 && units > 0u) {
        put_sign(out, size, &n, "\u2212");
    }
    while (count > 0) {
        put(out, size, &n, digits[--count]);
        if (count > 0 && count % 3 == 0) {
            put_sign(out, size, &n, "\u00a0");
        }
    }
    if (decimals > 0) {
        put(out, size, &n, '.');
        for (uint64_t step = (uint64_t)scale / 10u; step > 0u; step /= 10u) {
            put(out, size, &n, (char)('0' + part / step));
            part %= step;
        }
    }
}

const char *mdr_say_warn(const mdr_warn *warn, mdr_arena *arena)
{
    enum { MOST = 5, ROOM = 40, KEY = 64 };
    char numbers[MOST][ROOM];
    mdr_lang_arg params[MOST + 1] = {0};
    for (int i = 0; i < warn->n_args && i < MOST; i++) {
        const mdr_arg *arg = &warn->args[i];
        if (arg->text == NULL) {
            put_number(numbers[i], ROOM, arg->number, arg->decimals);
        }
        params[i] = mdr_lang_str(arg->text != NULL ? arg->text : numbers[i]);
        params[i + 1] = mdr_lang_end();
    }
    char key[KEY];
    const char *group = warn->id >= MDR_ADVICE_FITS ? "advice." : "warn.";
    size_t n = 0;
    for (const char *c = group; *c != '\0'; c++) {
        put(key, KEY, &n, *c);
    }
    for (const char *c = mdr_warn_text_id(warn->id); *c != '\0'; c++) {
        put(key, KEY, &n, *c);
    }
    return mdr_lang_say_args(arena, key, params);
}

const char *mdr_say_caution(mdr_caution caution)
{
    enum { KEY = 64 };
    char key[KEY];
    size_t n = 0;
    for (const char *c = "caution."; *c != '\0'; c++) {
        put(key, KEY, &n, *c);
    }
    for (const char *c = mdr_caution_id(caution); c != NULL && *c != '\0'; c++) {
        put(key, KEY, &n, *c);
    }
    const char *text = mdr_lang_text(key);
    return text != NULL ? text : mdr_caution_id(caution);
}
