/* Measured samples by name. */
#include "app/mdr_app_spectra.h"

#include <stdio.h>
#include <string.h>

#include "wire/mdr_near.h"

mdr_code mdr_app_spectra_read(const mdr_spectra_file *file, const mdr_spectra_options *o,
                              mdr_arena *arena, mdr_spectra_report report, const mdr_spectra **out,
                              mdr_err *err)
{
    return mdr_spectra_read(file, o, arena, report, out, err);
}

/* -- by name -- */

enum { NAMES_BYTES = 90, NAME_SHOWN = 40 };

/* As many names as fit, and how many more there are; with `only`, those of this name by number and
 * what tells them apart. */
static void list_names(const mdr_spectra *s, const char *only, char out[NAMES_BYTES])
{
    size_t len = 0;
    out[0] = '\0';
    for (int i = 0; i < s->n; i++) {
        const mdr_spectra_item *item = &s->items[i];
        char one[NAMES_BYTES];
        if (only == NULL) {
            (void)snprintf(one, sizeof one, "%.*s", NAME_SHOWN, item->name);
        } else if (strcmp(item->name, only) == 0 || strcmp(item->id, only) == 0) {
            (void)snprintf(one, sizeof one, "#%d %.*s%s%s", i + 1, NAME_SHOWN / 2, item->condition,
                           item->condition[0] != '\0' ? " " : "",
                           mdr_app_specular_words(item->specular));
        } else {
            continue;
        }
        enum { END_BYTES = 6 }; /* room for ", ..." and the end */
        if (len + strlen(one) + 2 + END_BYTES > NAMES_BYTES) {
            (void)snprintf(out + len, NAMES_BYTES - len, ", ...");
            return;
        }
        len += (size_t)snprintf(out + len, NAMES_BYTES - len, "%s%s", len > 0 ? ", " : "", one);
    }
}

static const char *nearest(const mdr_spectra *s, const char *sample)
{
    const char *best = NULL;
    int least = 0;
    for (int i = 0; i < s->n; i++) {
        const int d = mdr_near_distance(sample, s->items[i].name);
        if (mdr_near_enough(sample, d) && (best == NULL || d < least)) {
            best = s->items[i].name;
            least = d;
        }
    }
    return best;
}

/* "#7" is 7; anything else 0. */
static int number_of(const char *sample)
{
    enum { DIGITS_MAX = 6 };
    int n = 0;
    if (sample[0] != '#' || strlen(sample) > DIGITS_MAX) {
        return 0;
    }
    for (const char *p = sample + 1; *p != '\0'; p++) {
        if (*p < '0' || *p > '9') {
            return 0;
        }
        n = n * 10 + (*p - '0');
    }
    return n;
}

typedef struct match {
    int n, first;
} match;

/* Names go before ids: an id may be the name of another sample. */
static match match_of(const mdr_spectra *s, const char *sample)
{
    match name = {0}, id = {0};
    for (int i = 0; i < s->n; i++) {
        if (strcmp(s->items[i].name, sample) == 0) {
            name.first = name.n++ == 0 ? i : name.first;
        } else if (strcmp(s->items[i].id, sample) == 0) {
            id.first = id.n++ == 0 ? i : id.first;
        }
    }
    if (name.n > 0 || id.n > 0) {
        return name.n > 0 ? name : id;
    }
    const int number = number_of(sample);
    return number >= 1 && number <= s->n ? (match){1, number - 1} : (match){0};
}

static mdr_code not_one(const mdr_spectra *s, const char *file_name, const char *sample, int n,
                        mdr_err *err)
{
    char names[NAMES_BYTES];
    const char *near = NULL;
    if (sample == NULL) {
        (void)MDR_FAIL(err, MDR_E_CONFLICT, file_name, "the file has %d samples", s->n);
        mdr_err_remedy(err, "name the one that is meant, or give its number as #1");
        list_names(s, NULL, names);
        mdr_err_allowed(err, "%s", names);
        return MDR_E_CONFLICT;
    }
    if (n > 1) {
        (void)MDR_FAIL(err, MDR_E_CONFLICT, file_name, "%d samples of the file are called so", n);
        mdr_err_remedy(err, "give the number of the one that is meant");
        list_names(s, sample, names);
    } else {
        near = nearest(s, sample);
        (void)MDR_FAIL(err, MDR_E_NOTFOUND, file_name, "the file has no sample of this name");
        if (near != NULL) {
            mdr_err_remedy(err, "did you mean %s?", near);
        } else {
            mdr_err_remedy(err, "give a name or an id of the file, or a number as #1");
        }
        list_names(s, NULL, names);
    }
    mdr_err_value(err, "%s", sample);
    mdr_err_allowed(err, "%s", names);
    return n > 1 ? MDR_E_CONFLICT : MDR_E_NOTFOUND;
}

mdr_code mdr_app_spectra_find(const mdr_spectra *s, const char *file_name, const char *sample,
                              const mdr_spectra_item **out, mdr_err *err)
{
    const match m = sample == NULL ? (match){s->n, 0} : match_of(s, sample);
    if (m.n != 1) {
        return not_one(s, file_name, sample, m.n, err);
    }
    *out = &s->items[m.first];
    return MDR_OK;
}

/* -- specular -- */

const char *mdr_app_specular_words(mdr_specular specular)
{
    switch (specular) {
    case MDR_SPECULAR_INCLUDED:
        return "specular included";
    case MDR_SPECULAR_EXCLUDED:
        return "specular excluded";
    case MDR_SPECULAR_NONE:
        return "45/0";
    case MDR_SPECULAR_UNKNOWN:
        break;
    }
    return "specular not said";
}

const char *mdr_app_specular_id(mdr_specular specular)
{
    switch (specular) {
    case MDR_SPECULAR_INCLUDED:
        return "included";
    case MDR_SPECULAR_EXCLUDED:
        return "excluded";
    case MDR_SPECULAR_NONE:
        return "none";
    case MDR_SPECULAR_UNKNOWN:
        break;
    }
    return "unknown";
}
