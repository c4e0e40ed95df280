/* What was measured: samples of files, repeats averaged, chosen by name. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_colour_in.h"

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the samples");
}

mdr_code mdr_colour_fail(const mdr_colour_sample *s, mdr_err *err, mdr_code code, const char *what,
                         const char *remedy)
{
    char place[sizeof err->place] = "";
    if (s->file != NULL) {
        (void)snprintf(place, sizeof place, "%.*s:%d", (int)sizeof place - 16, s->file,
                       s->item->line);
    }
    (void)MDR_FAIL(err, code, place, "%s", what);
    mdr_err_value(err, "%s", s->name);
    mdr_err_remedy(err, "%s", remedy);
    return code;
}

/* -- repeated readings -- */

/* By what makes two readings one sample; then by place in the file. */
static int by_sample(const void *a, const void *b)
{
    const mdr_spectra_item *x = *(const mdr_spectra_item *const *)a;
    const mdr_spectra_item *y = *(const mdr_spectra_item *const *)b;
    int order = strcmp(x->name, y->name);
    order = order != 0 ? order : strcmp(x->condition, y->condition);
    order = order != 0 ? order : (int)x->specular - (int)y->specular;
    return order != 0 ? order : x < y ? -1 : 1;
}

static bool same_sample(const mdr_spectra_item *x, const mdr_spectra_item *y)
{
    return strcmp(x->name, y->name) == 0 && strcmp(x->condition, y->condition) == 0 &&
           x->specular == y->specular;
}

/* n readings of one sample as one. */
static mdr_code average(mdr_colour_desk *d, const mdr_spectra_item *const *run, int n,
                        const char *file, const mdr_readings **out, mdr_err *err)
{
    mdr_reading *readings = MDR_NEW_N(d->arena, mdr_reading, (size_t)n);
    if (readings == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < n; i++) {
        if (run[i]->spectrum == NULL) {
            const mdr_colour_sample s = {.file = file, .name = run[i]->name, .item = run[i]};
            return mdr_colour_fail(&s, err, MDR_E_CONFLICT,
                                   "repeated readings without curves cannot be averaged",
                                   "give them names of their own, or export the curves");
        }
        readings[i] = (mdr_reading){run[i]->spectrum, run[i]->specular};
    }
    const mdr_reading_light light = {d->light[0], d->observer, d->spec};
    const mdr_code rc = mdr_readings_of(readings, n, &light, d->arena, out, err);
    if (rc != MDR_OK && rc != MDR_E_NOMEM) {
        mdr_err_within(err, "%.60s:%d", file, run[0]->line);
        mdr_err_remedy(err, "readings of one sample come from one instrument, set up one way");
    }
    return rc;
}

/* The first reading of each sample stands for it, in the order of the file. */
static void keep_first(const mdr_spectra *s, const bool *later, const mdr_readings **first,
                       mdr_spectra_item *items, mdr_colour_samples *out)
{
    out->n = 0;
    for (int i = 0; i < s->n; i++) {
        if (later[i]) {
            continue;
        }
        mdr_spectra_item item = s->items[i];
        if (first[i] != NULL) {
            item.spectrum = &first[i]->mean;
            item.has_lab = false; /* that of one reading is not that of their mean */
        }
        first[out->n] = first[i];
        items[out->n++] = item;
    }
    out->found.items = items;
    out->found.n = out->n;
    out->readings = first;
}

static mdr_code merge(mdr_colour_desk *d, const mdr_spectra *s, mdr_colour_samples *out,
                      mdr_err *err)
{
    const mdr_spectra_item **sorted = MDR_NEW_N(d->arena, const mdr_spectra_item *, (size_t)s->n);
    const mdr_readings **first = MDR_NEW_N(d->arena, const mdr_readings *, (size_t)s->n);
    bool *later = MDR_NEW_N(d->arena, bool, (size_t)s->n);
    mdr_spectra_item *items = MDR_NEW_N(d->arena, mdr_spectra_item, (size_t)s->n);
    if (sorted == NULL || first == NULL || later == NULL || items == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < s->n; i++) {
        sorted[i] = &s->items[i];
    }
    qsort(sorted, (size_t)s->n, sizeof(const mdr_spectra_item *), by_sample);
    for (int i = 0, k = 0; i < s->n; i = k) {
        for (k = i + 1; k < s->n && same_sample(sorted[i], sorted[k]); k++) {
            later[sorted[k] - s->items] = true;
        }
        if (k - i > 1) {
            MDR_TRY(average(d, sorted + i, k - i, out->file, &first[sorted[i] - s->items], err));
        }
    }
    keep_first(s, later, first, items, out);
    return MDR_OK;
}

mdr_code mdr_colour_samples_read(mdr_colour_desk *d, int file, mdr_colour_repeats repeats,
                                 mdr_colour_samples *out, mdr_err *err)
{
    const mdr_colour_file *f = &d->ask->file[file < d->ask->n_files ? file : 0];
    if (d->ask->n_files == 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "file", "no file was given");
        mdr_err_remedy(err, "name a file of measured samples");
        return rc;
    }
    const mdr_spectra_file text = {f->name, f->text.bytes, f->text.len};
    const mdr_spectra_options options = {d->scale, repeats != MDR_REPEATS_REFUSED};
    const mdr_spectra *s = NULL;
    MDR_TRY(mdr_app_spectra_read(&text, &options, d->arena,
                                 (mdr_spectra_report){d->found, &d->sheet->notices}, &s, err));
    *out = (mdr_colour_samples){.found = *s, .file = f->name, .n = s->n};
    return repeats == MDR_REPEATS_AVERAGED ? merge(d, s, out, err) : MDR_OK;
}

mdr_colour_sample mdr_colour_sample_at(const mdr_colour_samples *all, int place)
{
    return (mdr_colour_sample){.file = all->file,
                               .name = all->found.items[place].name,
                               .item = &all->found.items[place],
                               .readings = all->readings != NULL ? all->readings[place] : NULL};
}

/* -- choosing -- */

static int place_of(const mdr_colour_samples *all, const mdr_spectra_item *item)
{
    return (int)(item - all->found.items);
}

mdr_code mdr_colour_standard_of(const mdr_colour_samples *all, const char *name,
                                mdr_colour_sample *out, mdr_err *err)
{
    const mdr_spectra_item *item = NULL;
    int standards = 0;
    for (int i = 0; name == NULL && i < all->n; i++) {
        const bool is = strcmp(all->found.items[i].kind, "Standard") == 0;
        item = is ? &all->found.items[i] : item;
        standards += is;
    }
    if (standards != 1) {
        MDR_TRY(mdr_app_spectra_find(&all->found, all->file, name, &item, err));
    }
    *out = mdr_colour_sample_at(all, place_of(all, item));
    return MDR_OK;
}

/* Two modes that are known and not the same. */
static bool unlike(const mdr_spectra_item *a, const mdr_spectra_item *b)
{
    return a->specular != MDR_SPECULAR_UNKNOWN && b->specular != MDR_SPECULAR_UNKNOWN &&
           a->specular != b->specular;
}

static mdr_code other_mode(const mdr_colour_sample *s, mdr_err *err)
{
    MDR_TRY(mdr_colour_fail(s, err, MDR_E_CONFLICT,
                            "measured with another specular mode than the one it is held against",
                            "measure both the same way, or name the reading of the same mode"));
    return MDR_OK;
}

static void note_left_out(mdr_colour_desk *d, int n)
{
    if (n > 0) {
        mdr_sheet_note(d->sheet, mdr_sheet_text(d->sheet,
                                                "%d sample%s left out: measured with another "
                                                "specular mode than the standard.",
                                                n, n == 1 ? " was" : "s were"));
    }
}

static mdr_code all_against(mdr_colour_desk *d, const mdr_colour_samples *all,
                            const mdr_colour_sample *standard, mdr_colour_chosen *out, mdr_err *err)
{
    int left_out = 0;
    for (int i = 0; i < all->n; i++) {
        const mdr_colour_sample s = mdr_colour_sample_at(all, i);
        /* one file may be read twice: the standard is known by where it stands */
        if (s.file == standard->file && s.item->line == standard->item->line &&
            strcmp(s.name, standard->name) == 0 &&
            strcmp(s.item->condition, standard->item->condition) == 0 &&
            s.item->specular == standard->item->specular) {
            continue;
        }
        if (unlike(s.item, standard->item)) {
            left_out++;
        } else {
            out->samples[out->n++] = s;
        }
    }
    if (out->n == 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, all->file,
                                     "the file has no sample to hold against the standard");
        mdr_err_remedy(err, "measure the sample the way the standard was measured");
        return rc;
    }
    note_left_out(d, left_out);
    return MDR_OK;
}

mdr_code mdr_colour_samples_against(mdr_colour_desk *d, const mdr_colour_samples *all,
                                    const mdr_colour_sample *standard, mdr_colour_chosen *out,
                                    mdr_err *err)
{
    const char *name = d->ask->word[MDR_COLOUR_WORD_SAMPLE];
    const mdr_spectra_item *item = NULL;
    mdr_colour_chosen got = {MDR_NEW_N(d->arena, mdr_colour_sample, (size_t)all->n), 0};
    if (got.samples == NULL) {
        return no_memory(err);
    }
    const bool named =
        name != NULL && (strcmp(name, "all") != 0 ||
                         mdr_app_spectra_find(&all->found, all->file, name, &item, NULL) == MDR_OK);
    if (!named) {
        MDR_TRY(all_against(d, all, standard, &got, err));
    } else {
        MDR_TRY(mdr_app_spectra_find(&all->found, all->file, name, &item, err));
        got.samples[got.n++] = mdr_colour_sample_at(all, place_of(all, item));
        if (unlike(item, standard->item)) {
            return other_mode(&got.samples[0], err);
        }
    }
    *out = got;
    return MDR_OK;
}

mdr_code mdr_colour_samples_alike(mdr_colour_desk *d, const mdr_colour_samples *all,
                                  const mdr_spectra_item *but, mdr_colour_chosen *out, mdr_err *err)
{
    mdr_colour_chosen got = {MDR_NEW_N(d->arena, mdr_colour_sample, (size_t)all->n), 0};
    if (got.samples == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < all->n; i++) {
        const mdr_colour_sample s = mdr_colour_sample_at(all, i);
        if (s.item == but) {
            continue;
        }
        got.samples[got.n++] = s;
        if (unlike(s.item, got.samples[0].item)) {
            return other_mode(&s, err);
        }
    }
    *out = got;
    return MDR_OK;
}

mdr_colour_sample mdr_colour_sample_of_lab(const mdr_colour_desk *d, mdr_colour_number number,
                                           const char *name, mdr_spectra_item *item)
{
    const double *v = d->ask->number[number].v;
    *item = (mdr_spectra_item){.name = name,
                               .id = "",
                               .kind = "",
                               .condition = "",
                               .has_lab = true,
                               .lab = {v[0], v[1], v[2]},
                               .has_light = true,
                               .illuminant = d->light[0],
                               .observer = d->observer};
    return (mdr_colour_sample){.name = name, .item = item};
}

static mdr_code two_labs(mdr_colour_desk *d, mdr_colour_sample *standard,
                         mdr_colour_chosen *samples, mdr_err *err)
{
    MDR_TRY(mdr_colour_need(d, MDR_COLOUR_NUMBER_STANDARD_LAB,
                            "give both colours as L*,a*,b*, or two files", err));
    MDR_TRY(mdr_colour_need(d, MDR_COLOUR_NUMBER_SAMPLE_LAB,
                            "give both colours as L*,a*,b*, or two files", err));
    MDR_TRY(mdr_colour_one_light(d, err));
    mdr_spectra_item *items = MDR_NEW_N(d->arena, mdr_spectra_item, 2);
    mdr_colour_sample *sample = MDR_NEW(d->arena, mdr_colour_sample);
    if (items == NULL || sample == NULL) {
        return no_memory(err);
    }
    *standard = mdr_colour_sample_of_lab(d, MDR_COLOUR_NUMBER_STANDARD_LAB, "standard", &items[0]);
    *sample = mdr_colour_sample_of_lab(d, MDR_COLOUR_NUMBER_SAMPLE_LAB, "sample", &items[1]);
    *samples = (mdr_colour_chosen){sample, 1};
    return MDR_OK;
}

mdr_code mdr_colour_pair_read(mdr_colour_desk *d, mdr_colour_sample *standard,
                              mdr_colour_chosen *samples, mdr_err *err)
{
    mdr_colour_samples of_standard = {.n = 0}, of_samples;
    if (d->ask->n_files == 0) {
        return two_labs(d, standard, samples, err);
    }
    for (mdr_colour_number n = MDR_COLOUR_NUMBER_STANDARD_LAB; n <= MDR_COLOUR_NUMBER_SAMPLE_LAB;
         n++) {
        if (mdr_colour_given(d, n)) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, mdr_colour_number_key(n),
                                         "give files or colours, not both");
            mdr_err_remedy(err, "leave one out");
            return rc;
        }
    }
    const mdr_colour_repeats repeats =
        d->ask->is[MDR_COLOUR_SWITCH_REPEATS] ? MDR_REPEATS_AVERAGED : MDR_REPEATS_REFUSED;
    MDR_TRY(mdr_colour_samples_read(d, 0, repeats, &of_standard, err));
    MDR_TRY(mdr_colour_standard_of(&of_standard, d->ask->word[MDR_COLOUR_WORD_STANDARD], standard,
                                   err));
    of_samples = of_standard;
    if (d->ask->n_files > 1) {
        MDR_TRY(mdr_colour_samples_read(d, 1, repeats, &of_samples, err));
    }
    return mdr_colour_samples_against(d, &of_samples, standard, samples, err);
}
