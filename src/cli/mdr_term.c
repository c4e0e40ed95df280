#define _POSIX_C_SOURCE 200809L
#include "cli/mdr_term.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static bool set(const char *name)
{
    const char *v = getenv(name);
    return v != NULL && v[0] != '\0';
}

/* The locale's character set, by the rule of POSIX: LC_ALL, else LC_CTYPE, else LANG. */
static bool locale_is_utf8(void)
{
    const char *v = set("LC_ALL")     ? getenv("LC_ALL")
                    : set("LC_CTYPE") ? getenv("LC_CTYPE")
                                      : getenv("LANG");
    return v != NULL && (strstr(v, "UTF-8") != NULL || strstr(v, "utf8") != NULL ||
                         strstr(v, "UTF8") != NULL || strstr(v, "utf-8") != NULL);
}

mdr_term mdr_term_look(void)
{
    const char *kind = getenv("TERM");
    const bool dumb = kind == NULL || strcmp(kind, "dumb") == 0;
    return (mdr_term){.colour = isatty(STDOUT_FILENO) == 1 && !set("NO_COLOR") && !dumb,
                      .utf8 = locale_is_utf8()};
}

void mdr_term_put(const mdr_term *t, mdr_tint tint, const char *text)
{
    static const char *const CODES[] = {[MDR_TINT_NONE] = "",
                                        [MDR_TINT_STRONG] = "\x1b[1m",
                                        [MDR_TINT_FAINT] = "\x1b[2m",
                                        [MDR_TINT_WARN] = "\x1b[33m",
                                        [MDR_TINT_STOP] = "\x1b[1;31m"};
    const bool tinted = t->colour && tint != MDR_TINT_NONE;
    (void)printf("%s%s%s", tinted ? CODES[tint] : "", text, tinted ? "\x1b[0m" : "");
}

static bool continues(char c)
{
    return ((unsigned char)c & 0xC0u) == 0x80u;
}

/* Combining diacritical marks U+0300..036F take no column of their own. */
static bool combining(const char *p)
{
    const unsigned char a = (unsigned char)p[0];
    const unsigned char b = (unsigned char)p[1];
    return a == 0xCC || (a == 0xCD && b < 0xB0);
}

int mdr_text_columns(const char *text)
{
    int n = 0;
    for (const char *p = text; *p != '\0'; p++) {
        n += !continues(*p) && !combining(p) ? 1 : 0;
    }
    return n;
}

/* Bytes of the longest beginning that takes at most `width` columns. */
static size_t bytes_within(const char *text, int width)
{
    int n = 0;
    size_t i = 0;
    for (; text[i] != '\0'; i++) {
        if (!continues(text[i]) && !combining(text + i) && ++n > width) {
            break;
        }
    }
    return i;
}

void mdr_text_pad(const char *text, int width)
{
    const int room = abs(width);
    const size_t n = bytes_within(text, room);
    const int fill = room - (text[n] == '\0' ? mdr_text_columns(text) : room);
    if (width < 0) {
        (void)printf("%*s%.*s", fill, "", (int)n, text);
    } else {
        (void)printf("%.*s%*s", (int)n, text, fill, "");
    }
}

void mdr_text_cut(const char *text, int width)
{
    size_t n = bytes_within(text, width);
    while (n > 0 && text[n - 1] == ' ') {
        n--;
    }
    (void)printf("%.*s", (int)n, text);
}

void mdr_text_wrap(const char *text, int indent, int width)
{
    const char *p = text;
    for (bool first = true; first || *p != '\0'; first = false) {
        size_t n = bytes_within(p, width);
        if (p[n] != '\0' && p[n] != ' ') {
            size_t back = n;
            while (back > 0 && p[back - 1] != ' ') {
                back--;
            }
            n = back > 0 ? back : n;
        }
        size_t shown = n;
        while (shown > 0 && p[shown - 1] == ' ') {
            shown--;
        }
        (void)printf("%*s%.*s\n", first ? 0 : indent, "", (int)shown, p);
        p += n;
        p += strspn(p, " ");
    }
}

const char *mdr_text_day(int64_t utc_ms, char out[16])
{
    const time_t seconds = (time_t)(utc_ms / 1000);
    struct tm parts;
    if (gmtime_r(&seconds, &parts) == NULL || strftime(out, 16, "%Y-%m-%d", &parts) == 0) {
        out[0] = '\0';
    }
    return out;
}

const char *mdr_text_clock(double minutes, char out[32])
{
    const long whole = lround(minutes);
    (void)snprintf(out, 32, "%ld:%02ld", whole / 60, labs(whole % 60));
    return out;
}

const char *mdr_text_whole(double value, char out[32])
{
    char digits[32];
    (void)snprintf(digits, sizeof digits, "%.0f", value);
    const size_t n = strlen(digits);
    size_t to = 0;
    for (size_t i = 0; i < n && to + 2 < 32; i++) {
        const size_t left = n - i;
        if (i > 0 && left % 3 == 0 && digits[i - 1] != '-') {
            out[to++] = ' ';
        }
        out[to++] = digits[i];
    }
    out[to] = '\0';
    return out;
}

const char *mdr_text_kg(double kg, char out[32])
{
    const int decimals = kg < 10 ? 3 : kg < 100 ? 2 : 1;
    (void)snprintf(out, 32, "%.*f", decimals, kg);
    return out;
}

const char *mdr_text_number(double value, int decimals, char out[32])
{
    int n = snprintf(out, 32, "%.*f", decimals, value);
    if (n < 0 || n >= 32) {
        out[31] = '\0';
        return out;
    }
    if (decimals > 0) {
        while (n > 0 && out[n - 1] == '0') {
            n--;
        }
        n -= n > 0 && out[n - 1] == '.' ? 1 : 0;
        out[n] = '\0';
    }
    return out;
}
