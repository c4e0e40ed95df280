#include "cli/mdr_jread.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

static const char *blanks(const char *p)
{
    return p + strspn(p, " \t\r\n");
}

/* Behind the closing quote of the text at p. */
static const char *behind_text(const char *p)
{
    for (p++; *p != '\0' && *p != '"'; p++) {
        if (*p == '\\' && p[1] != '\0') {
            p++;
        }
    }
    return *p == '"' ? p + 1 : p;
}

/* Behind the value at p, whatever it holds. */
static const char *behind(const char *p)
{
    int depth = 0;
    do {
        if (*p == '\0') {
            return p;
        }
        if (*p == '"') {
            p = behind_text(p);
        } else if (*p == '{' || *p == '[') {
            depth++;
            p++;
        } else if (*p == '}' || *p == ']') {
            depth--;
            p++;
        } else if (depth > 0) {
            p++;
        } else {
            p += strcspn(p, ",]} \t\r\n");
        }
    } while (depth > 0);
    return p;
}

const char *mdr_jread_first(const char *text)
{
    const char *p = blanks(text);
    if (*p == '{') {
        for (p = blanks(p + 1); *p == '"';) {
            p = blanks(behind_text(p));
            p = blanks(*p == ':' ? p + 1 : p);
            if (*p == '[') {
                break;
            }
            p = blanks(behind(p));
            p = blanks(*p == ',' ? p + 1 : p);
        }
    }
    if (*p != '[') {
        return NULL;
    }
    p = blanks(p + 1);
    return *p == ']' || *p == '\0' ? NULL : p;
}

const char *mdr_jread_next(const char *element)
{
    const char *p = blanks(behind(element));
    return *p == ',' ? blanks(p + 1) : NULL;
}

const char *mdr_jread_member(const char *object, const char *key)
{
    const size_t n = strlen(key);
    const char *p = blanks(object);
    if (*p != '{') {
        return NULL;
    }
    for (p = blanks(p + 1); *p == '"';) {
        const bool here = strncmp(p + 1, key, n) == 0 && p[n + 1] == '"';
        p = blanks(behind_text(p));
        p = blanks(*p == ':' ? p + 1 : p);
        if (here) {
            return p;
        }
        p = blanks(behind(p));
        p = blanks(*p == ',' ? p + 1 : p);
    }
    return NULL;
}

/* \uXXXX below the surrogates; app writes other characters as they are. */
static size_t put_escaped(char *to, const char *hex)
{
    const char digits[5] = {hex[0], hex[1], hex[2], hex[3], '\0'};
    const unsigned long code = strtoul(digits, NULL, 16);
    if (code < 0x20 || code == 0x7F) {
        to[0] = ' ';
        return 1;
    }
    if (code < 0x80) {
        to[0] = (char)code;
        return 1;
    }
    if (code < 0x800) {
        to[0] = (char)(0xC0u | code >> 6);
        to[1] = (char)(0x80u | (code & 0x3Fu));
        return 2;
    }
    to[0] = (char)(0xE0u | code >> 12);
    to[1] = (char)(0x80u | (code >> 6 & 0x3Fu));
    to[2] = (char)(0x80u | (code & 0x3Fu));
    return 3;
}

static const char *unquoted(const char *p, mdr_arena *arena)
{
    const char *end = behind_text(p);
    char *out = mdr_arena_alloc(arena, (size_t)(end - p) + 1, 1);
    size_t n = 0;
    if (out == NULL) {
        return NULL;
    }
    for (p++; p < end - 1; p++) {
        if (*p != '\\') {
            out[n++] = *p;
        } else if (p[1] == 'u' && end - p > 6) {
            n += put_escaped(out + n, p + 2);
            p += 5;
        } else {
            p++;
            out[n++] = *p;
            if (strchr("ntrbf", *p) != NULL) {
                out[n - 1] = ' '; /* a list has one line a record */
            }
        }
    }
    out[n] = '\0';
    return out;
}

const char *mdr_jread_shown(const char *value, mdr_arena *arena)
{
    if (value == NULL || strncmp(value, "null", 4) == 0) {
        return "";
    }
    if (*value == '"') {
        return unquoted(value, arena);
    }
    if (strncmp(value, "true", 4) == 0) {
        return "yes";
    }
    if (strncmp(value, "false", 5) == 0) {
        return "no";
    }
    return mdr_arena_text_n(arena, value, (size_t)(behind(value) - value));
}
