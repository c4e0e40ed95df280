/* Words by which files of spectra name wavelengths and conditions. */
#include <string.h>

#include "wire/mdr_real.h"
#include "wire/mdr_spectra_in.h"

static const double LEAST_NM = 300.0,
                    MOST_NM = 1100.0; /* invented: what a column may be named for */

static char lower(char c)
{
    return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

bool mdr_same_word(const char *text, size_t len, const char *word)
{
    for (size_t i = 0; i < len; i++) {
        if (word[i] == '\0' || lower(text[i]) != lower(word[i])) {
            return false;
        }
    }
    return word[len] == '\0';
}

static bool contains(const char *text, size_t len, const char *word)
{
    const size_t n = strlen(word);
    for (size_t i = 0; i + n <= len; i++) {
        if (mdr_same_word(text + i, n, word)) {
            return true;
        }
    }
    return false;
}

/* Blanks, brackets and the like count for nothing in a name. */
static bool is_filling(char c)
{
    return c == ' ' || c == '_' || c == '[' || c == ']' || c == '(' || c == ')' || c == '%' ||
           c == '\t';
}

static void pass_filling(const char *text, size_t *from, size_t *to)
{
    while (*from < *to && is_filling(text[*from])) {
        (*from)++;
    }
    while (*to > *from && is_filling(text[*to - 1])) {
        (*to)--;
    }
}

static void pass_prefix(const char *text, size_t *from, size_t to)
{
    static const char *const PREFIXES[] = {"spectral", "spec", "reflectance", "lambda",
                                           "nm",       "wl",   "r",           "w"};
    for (size_t i = 0; i < sizeof PREFIXES / sizeof PREFIXES[0]; i++) {
        const size_t n = strlen(PREFIXES[i]);
        size_t end = to;
        if (to - *from > n && mdr_same_word(text + *from, n, PREFIXES[i])) {
            *from += n;
            pass_filling(text, from, &end);
        }
    }
}

bool mdr_name_is_wavelength(const char *text, size_t len, double *nm, bool *percent)
{
    size_t from = 0, to = len;
    pass_filling(text, &from, &to);
    pass_prefix(text, &from, to);
    if (to - from > 2 && mdr_same_word(text + to - 2, 2, "nm")) {
        to -= 2;
        pass_filling(text, &from, &to);
    }
    double value = 0.0;
    if (from >= to || text[from] < '0' || text[from] > '9' ||
        !mdr_real_read(text + from, to - from, &value) || value < LEAST_NM || value > MOST_NM) {
        return false;
    }
    *nm = value;
    *percent = *percent || memchr(text, '%', len) != NULL;
    return true;
}

mdr_specular mdr_specular_of_text(const char *text, size_t len)
{
    static const struct {
        const char *word;
        mdr_specular specular;
    } WORDS[] = {
        {"included", MDR_SPECULAR_INCLUDED}, {"spin", MDR_SPECULAR_INCLUDED},
        {"sci", MDR_SPECULAR_INCLUDED},      {"rsin", MDR_SPECULAR_INCLUDED},
        {"excluded", MDR_SPECULAR_EXCLUDED}, {"spex", MDR_SPECULAR_EXCLUDED},
        {"sce", MDR_SPECULAR_EXCLUDED},      {"rsex", MDR_SPECULAR_EXCLUDED},
        {"45/0", MDR_SPECULAR_NONE},         {"0/45", MDR_SPECULAR_NONE},
        {"45:0", MDR_SPECULAR_NONE},         {"0:45", MDR_SPECULAR_NONE},
    };
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        if (contains(text, len, WORDS[i].word)) {
            return WORDS[i].specular;
        }
    }
    return MDR_SPECULAR_UNKNOWN;
}

bool mdr_observer_of_text(const char *text, size_t len, mdr_observer *out)
{
    size_t at = 0;
    while (at < len && (text[at] < '0' || text[at] > '9')) {
        at++;
    }
    int degree = 0;
    for (; at < len && text[at] >= '0' && text[at] <= '9' && degree < 100; at++) {
        degree = degree * 10 + (text[at] - '0');
    }
    return mdr_observer_of_degree(degree, out, NULL) == MDR_OK;
}
