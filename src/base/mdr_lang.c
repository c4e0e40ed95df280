#include "base/mdr_lang.h"

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

int mdr_lang_fill(char *out, size_t out_size, const char *key, const char *const *params,
                  int n_params)
{
    if (out_size == 0) {
        return 0;
    }
    const char *text = mdr_lang_text(key);
    sink s = {out, out_size, 0};
    if (text == NULL) {
        put(&s, key, strlen(key));
        out[s.n] = '\0';
        return (int)s.n;
    }
    for (const char *p = text; *p != '\0';) {
        const size_t plain = strcspn(p, "{");
        put(&s, p, plain);
        p += plain;
        if (*p == '\0') {
            break;
        }
        const int index = p[1] - '0';
        if (p[1] == '{') {
            put(&s, "{", 1);
            p += 2;
        } else if (index >= 0 && index < n_params && p[2] == '}') {
            put(&s, params[index], strlen(params[index]));
            p += 3;
        } else {
            /* a parameter that was not given stays visible */
            put(&s, p, 1);
            p++;
        }
    }
    out[s.n] = '\0';
    return (int)s.n;
}
