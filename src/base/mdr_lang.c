#include "base/mdr_lang.h"

#include <stdbool.h>
#include <string.h>

#include "base/mdr_lang_table.h"

const char *mdr_lang_text(const char *key)
{
    int low = 0;
    int high = mdr_lang_count;
    while (low < high) {
        const int mid = low + (high - low) / 2;
        const int order = strcmp(key, mdr_lang_entries[mid].key);
        if (order == 0) {
            return mdr_lang_entries[mid].text;
        }
        if (order < 0) {
            high = mid;
        } else {
            low = mid + 1;
        }
    }
    return NULL;
}

typedef struct sink {
    char *out;
    size_t size, n;
} sink;

static void put(sink *s, const char *text, size_t len)
{
    const size_t room = s->size - 1 - s->n;
    size_t take = len;
    if (len > room) {
        /* Back to the border of a character; and nothing may follow a cut. */
        take = room;
        while (take > 0 && ((unsigned char)text[take] & 0xC0u) == 0x80u) {
            take--;
        }
        s->size = s->n + take + 1;
    }
    memcpy(s->out + s->n, text, take);
    s->n += take;
}

/* The next piece of a sentence: plain text up to a brace, or a parameter; *index is -1 for plain. */
static const char *piece(const char *p, int n_params, size_t *len, int *index)
{
    *index = -1;
    *len = strcspn(p, "{");
    if (*len > 0) {
        return p + *len;
    }
    *len = 1;
    if (p[1] == '{') {
        return p + 2;
    }
    const int place = p[1] - '0';
    if (place >= 0 && place < n_params && p[2] == '}') {
        *index = place;
        return p + 3;
    }
    return p + 1; /* a parameter that was not given stays visible */
}

static void fill(sink *s, const char *text, const char *const *params, int n_params)
{
    for (const char *p = text; *p != '\0';) {
        size_t len = 0;
        int index = -1;
        const char *next = piece(p, n_params, &len, &index);
        if (index >= 0) {
            put(s, params[index], strlen(params[index]));
        } else {
            put(s, p, len);
        }
        p = next;
    }
    s->out[s->n] = '\0';
}

int mdr_lang_fill(char *out, size_t out_size, const char *key, const char *const *params,
                  int n_params)
{
    if (out_size == 0) {
        return 0;
    }
    const char *text = mdr_lang_text(key);
    sink s = {out, out_size, 0};
    if (text != NULL) {
        fill(&s, text, params, n_params);
    } else {
        put(&s, key, strlen(key));
        out[s.n] = '\0';
    }
    return (int)s.n;
}

/* -- whole sentences in an arena -- */

enum { PARAMS_MAX = 10 }; /* {0}..{9}; lang2c refuses others */

/* As texts; false: no memory. */
static bool texts_of(mdr_arena *arena, const mdr_lang_arg *args, int n, const char **texts)
{
    for (int i = 0; i < n; i++) {
        texts[i] = args[i].kind == MDR_LANG_NUM
                       ? mdr_arena_printf(arena, "%.*f", args[i].decimals, args[i].number)
                   : args[i].text != NULL ? args[i].text
                                          : "";
        if (texts[i] == NULL) {
            return false;
        }
    }
    return true;
}

static size_t filled_len(const char *text, const char *const *params, int n_params)
{
    size_t sum = 0;
    for (const char *p = text; *p != '\0';) {
        size_t len = 0;
        int index = -1;
        p = piece(p, n_params, &len, &index);
        sum += index >= 0 ? strlen(params[index]) : len;
    }
    return sum;
}

const char *mdr_lang_say_args(mdr_arena *arena, const char *key, const mdr_lang_arg *args)
{
    const char *text = mdr_lang_text(key), *texts[PARAMS_MAX];
    int n = 0;
    while (n < PARAMS_MAX && args[n].kind != MDR_LANG_END) {
        n++;
    }
    if (text == NULL) {
        return key;
    }
    if (strchr(text, '{') == NULL) {
        return text;
    }
    if (!texts_of(arena, args, n, texts)) {
        return NULL;
    }
    sink s = {.size = filled_len(text, texts, n) + 1};
    s.out = MDR_NEW_N(arena, char, s.size);
    if (s.out != NULL) {
        fill(&s, text, texts, n);
    }
    return s.out;
}
