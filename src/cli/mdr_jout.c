#include "cli/mdr_jout.h"

#include <stdlib.h>
#include <string.h>

/* Bytes that a UTF-8 character with this first byte has; 0: none begins so (RFC 3629). */
static int length_by_first(unsigned char first)
{
    if (first < 0x80) {
        return 1;
    }
    if (first < 0xC2 || first > 0xF4) {
        return 0;
    }
    return first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
}

/* Length of the UTF-8 character at p, 0 when the bytes are none. */
static int utf8_len(const unsigned char *p)
{
    const int n = length_by_first(p[0]);
    for (int i = 1; i < n; i++) {
        if ((p[i] & 0xC0) != 0x80) {
            return 0;
        }
    }
    /* RFC 3629 section 4: no overlong forms, no surrogates, nothing above U+10FFFF */
    const bool forbidden = (p[0] == 0xE0 && p[1] < 0xA0) || (p[0] == 0xF0 && p[1] < 0x90) ||
                           (p[0] == 0xED && p[1] >= 0xA0) || (p[0] == 0xF4 && p[1] >= 0x90);
    return forbidden ? 0 : n;
}

static void put_string(FILE *to, const char *text)
{
    (void)fputc('"', to);
    for (const unsigned char *p = (const unsigned char *)text; *p != '\0';) {
        const int n = utf8_len(p);
        if (n == 0) {
            (void)fputs("\\ufffd", to); /* a file name may be anything; JSON may not */
            p++;
            continue;
        }
        if (*p == '"' || *p == '\\') {
            (void)fprintf(to, "\\%c", *p);
        } else if (*p == '\n') {
            (void)fputs("\\n", to);
        } else if (*p < 0x20 || *p == 0x7F) {
            (void)fprintf(to, "\\u%04x", (unsigned)*p);
        } else {
            (void)fwrite(p, 1, (size_t)n, to);
        }
        p += n;
    }
    (void)fputc('"', to);
}

static void before(mdr_jout *j, const char *key)
{
    if (j->comma) {
        (void)fputs(", ", j->to);
    }
    if (key != NULL) {
        put_string(j->to, key);
        (void)fputs(": ", j->to);
    }
    j->comma = true;
}

void mdr_jout_begin(mdr_jout *j, const char *key, char bracket)
{
    before(j, key);
    (void)fputc(bracket, j->to);
    j->comma = false;
}

void mdr_jout_end(mdr_jout *j, char bracket)
{
    (void)fputc(bracket, j->to);
    j->comma = true;
}

void mdr_jout_text(mdr_jout *j, const char *key, const char *text)
{
    before(j, key);
    put_string(j->to, text);
}

void mdr_jout_number(mdr_jout *j, const char *key, double number)
{
    char text[40] = "";
    for (int digits = 15; digits <= 17; digits++) {
        (void)snprintf(text, sizeof text, "%.*g", digits, number);
        if (strtod(text, NULL) == number) {
            break;
        }
    }
    before(j, key);
    (void)fputs(text, j->to);
}

void mdr_jout_bool(mdr_jout *j, const char *key, bool value)
{
    before(j, key);
    (void)fputs(value ? "true" : "false", j->to);
}
