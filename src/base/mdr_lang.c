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

enum { PARAMS_MAX = 10 }; /* {0}..{9}; lang2c refuses others */

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

/* Writes the sentence without its end where `out` is not NULL; returns its length. */
static size_t fill(char *out, const char *text, const char *const *params, int n_params)
{
    size_t sum = 0;
    for (const char *p = text; *p != '\0';) {
        size_t len = 0;
        int index = -1;
        const char *from = p;
        p = piece(p, n_params, &len, &index);
        if (index >= 0) {
            from = params[index];
            len = strlen(from);
        }
        if (out != NULL) {
            memcpy(out + sum, from, len);
        }
        sum += len;
    }
    return sum;
}

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

const char *mdr_lang_say_args(mdr_arena *arena, const char *key, const mdr_lang_arg *args)
{
    const char *text = mdr_lang_text(key), *texts[PARAMS_MAX];
    int n = 0;
    while (n < PARAMS_MAX && args[n].kind != MDR_LANG_END) {
        n++;
    }
    if (text == NULL) {
        return mdr_arena_text(arena, key);
    }
    if (strchr(text, '{') == NULL) {
        return text;
    }
    if (!texts_of(arena, args, n, texts)) {
        return NULL;
    }
    const size_t len = fill(NULL, text, texts, n);
    char *said = MDR_NEW_N(arena, char, len + 1); /* zeroed: ended */
    if (said != NULL) {
        (void)fill(said, text, texts, n);
    }
    return said;
}
