#include "wire/mdr_spectra.h"

#include <stdio.h>
#include <string.h>

#include "wire/mdr_spectra_in.h"

/* Scale by the largest value, see the header. Invented; test_spectra shows the borders. */
static const double FRACTION_MOST = 1.5, PERCENT_LEAST = 5.0, PERCENT_MOST = 150.0;

/* -- scale ------------------------------------------------------------------------------------ */

static const mdr_sample_point *largest(const mdr_spectra_build *b)
{
    const mdr_sample_point *most = NULL;
    for (int i = 0; i < b->n; i++) {
        for (int k = 0; k < b->samples[i]->n; k++) {
            const mdr_sample_point *p = &b->samples[i]->points[k];
            most = most == NULL || p->v > most->v ? p : most;
        }
    }
    return most;
}

static mdr_spectra_scale by_largest(mdr_spectra_build *b, const mdr_sample_point *most)
{
    if (most->v <= FRACTION_MOST) {
        mdr_build_notice(b, 0, "read as fractions: the largest value is %g", most->v);
        return MDR_SCALE_FRACTION;
    }
    if (most->v >= PERCENT_LEAST && most->v <= PERCENT_MOST) {
        mdr_build_notice(b, 0, "read as per cent: the largest value is %g", most->v);
        return MDR_SCALE_PERCENT;
    }
    char text[32];
    const int n = snprintf(text, sizeof text, "%g", most->v);
    mdr_build_fault(b, MDR_E_RANGE, most->line, most->column, text, n > 0 ? (size_t)n : 0,
                    most->v > PERCENT_MOST
                        ? "no reflectance, neither as fraction nor as per cent"
                        : "fractions or per cent? the largest value could be both");
    mdr_build_remedy(b, "say which scale the file has");
    return MDR_SCALE_UNKNOWN;
}

/* What the samples declare, when all that do agree. */
static mdr_spectra_scale declared(mdr_spectra_build *b)
{
    mdr_spectra_scale scale = MDR_SCALE_UNKNOWN;
    for (int i = 0; i < b->n; i++) {
        const mdr_sample *s = b->samples[i];
        if (s->n > 0 && s->scale != MDR_SCALE_UNKNOWN) {
            if (scale != MDR_SCALE_UNKNOWN && s->scale != scale) {
                mdr_build_fault(b, MDR_E_CONFLICT, s->line, 0, NULL, 0,
                                "fractions and per cent in one file");
            }
            scale = s->scale;
        }
    }
    return scale;
}

static mdr_spectra_scale scale_of(mdr_spectra_build *b, mdr_spectra_format format,
                                  mdr_spectra_scale wanted)
{
    const mdr_sample_point *most = largest(b);
    if (most == NULL) {
        return MDR_SCALE_UNKNOWN;
    }
    if (format == MDR_SPECTRA_CXF) {
        return MDR_SCALE_FRACTION;
    }
    const mdr_spectra_scale said = wanted != MDR_SCALE_UNKNOWN ? wanted : declared(b);
    if (said == MDR_SCALE_UNKNOWN) {
        return by_largest(b, most);
    }
    mdr_build_notice(b, 0, "read as %s: %s", said == MDR_SCALE_PERCENT ? "per cent" : "fractions",
                     wanted != MDR_SCALE_UNKNOWN ? "as asked" : "as the file says");
    return said;
}

/* -- samples become items --------------------------------------------------------------------- */

/* Every value looked at with its place; false when one is wrong. */
static bool check_values(mdr_spectra_build *b, const mdr_sample *s, double per)
{
    const long before = b->faults;
    for (int k = 0; k < s->n; k++) {
        const mdr_sample_point *p = &s->points[k];
        const double v = p->v / per;
        if (!(v >= 0.0 && v <= MDR_REFLECTANCE_MOST)) {
            char text[32];
            const int n = snprintf(text, sizeof text, "%g", p->v);
            mdr_build_fault(b, MDR_E_RANGE, p->line, p->column, text, n > 0 ? (size_t)n : 0,
                            v < 0.0 ? "a reflectance below 0" : "a reflectance above 150 %");
            mdr_build_remedy(b, v < 0.0 ? "calibrate black again, or take this sample out"
                                        : "check whether the file is in per cent");
        }
    }
    return b->faults == before;
}

static void to_spectrum(mdr_spectra_build *b, const mdr_sample *s, double per,
                        mdr_spectra_item *item)
{
    if (s->n == 0 || !check_values(b, s, per)) {
        return;
    }
    mdr_spectral_point *points = MDR_NEW_N(b->arena, mdr_spectral_point, (size_t)s->n);
    mdr_spectrum *spectrum = MDR_NEW(b->arena, mdr_spectrum);
    if (points == NULL || spectrum == NULL) {
        b->no_memory = true;
        return;
    }
    for (int k = 0; k < s->n; k++) {
        points[k] = (mdr_spectral_point){s->points[k].wavelength_nm, s->points[k].v / per};
    }
    mdr_err err;
    if (mdr_spectrum_of_points(points, s->n, b->arena, spectrum, &item->resampled, &err) !=
        MDR_OK) {
        b->no_memory = b->no_memory || err.code == MDR_E_NOMEM;
        mdr_build_place(b, s->line, 0, err.place, sizeof err.place);
        mdr_build_keep(b, &err);
        return;
    }
    if (item->resampled) {
        mdr_build_notice(b, s->line, "irregular wavelengths of %s brought to every %g nm", s->name,
                         spectrum->step_nm);
    }
    item->spectrum = spectrum;
}

static void to_item(mdr_spectra_build *b, int i, double per, mdr_spectra_item *item)
{
    mdr_sample *s = b->samples[i];
    if (s->name[0] == '\0') {
        s->name = mdr_arena_printf(b->arena, "%d", i + 1);
        if (s->name == NULL) {
            b->no_memory = true;
            s->name = "";
        }
    }
    *item = (mdr_spectra_item){.name = s->name,
                               .id = s->id,
                               .kind = s->kind,
                               .condition = s->condition,
                               .line = s->line,
                               .specular = s->specular,
                               .has_lab = s->has_lab,
                               .lab = s->lab,
                               .has_light = s->has_light,
                               .illuminant = s->illuminant,
                               .observer = s->observer};
    if (s->n == 0 && !s->has_lab) {
        mdr_build_fault(b, MDR_E_PARSE, s->line, 0, s->name, strlen(s->name),
                        "a sample with neither spectrum nor CIELAB");
    }
    to_spectrum(b, s, per, item);
}

static int compare(const mdr_sample *a, const mdr_sample *b)
{
    const int by_name = strcmp(a->name, b->name);
    const int by_condition = by_name != 0 ? by_name : strcmp(a->condition, b->condition);
    return by_condition != 0 ? by_condition : (int)a->specular - (int)b->specular;
}

/* By name (Shell's sort, on a copy), then neighbours. */
static void check_twice(mdr_spectra_build *b)
{
    mdr_sample **sorted = MDR_NEW_N(b->arena, mdr_sample *, (size_t)b->n);
    if (sorted == NULL) {
        b->no_memory = true;
        return;
    }
    memcpy(sorted, b->samples, (size_t)b->n * sizeof(mdr_sample *));
    for (int gap = b->n / 2; gap > 0; gap /= 2) {
        for (int i = gap; i < b->n; i++) {
            mdr_sample *moving = sorted[i];
            int k = i;
            for (; k >= gap && compare(sorted[k - gap], moving) > 0; k -= gap) {
                sorted[k] = sorted[k - gap];
            }
            sorted[k] = moving;
        }
    }
    for (int i = 1; i < b->n; i++) {
        if (compare(sorted[i - 1], sorted[i]) == 0) {
            const mdr_sample *later =
                sorted[i]->line > sorted[i - 1]->line ? sorted[i] : sorted[i - 1];
            mdr_build_fault(b, MDR_E_CONFLICT, later->line, 0, later->name, strlen(later->name),
                            "two samples have the same name");
            mdr_build_remedy(b, "rename one, or read them as repeated readings");
        }
    }
}

/* -- the file --------------------------------------------------------------------------------- */

static bool starts(const char *text, size_t len, const char *with)
{
    const size_t n = strlen(with);
    return len >= n && memcmp(text, with, n) == 0;
}

static bool holds(const char *text, size_t len, const char *word)
{
    const size_t n = strlen(word);
    for (size_t i = 0; i + n <= len; i++) {
        const char *hit = memchr(text + i, word[0], len - n + 1 - i);
        if (hit == NULL) {
            return false;
        }
        i = (size_t)(hit - text);
        if (memcmp(hit, word, n) == 0) {
            return true;
        }
    }
    return false;
}

static mdr_spectra_format format_of(const char *text, size_t len)
{
    size_t at = starts(text, len, "\xEF\xBB\xBF") ? 3 : 0;
    while (at < len &&
           (text[at] == ' ' || text[at] == '\t' || text[at] == '\r' || text[at] == '\n')) {
        at++;
    }
    if (at < len && text[at] == '<') {
        return MDR_SPECTRA_CXF;
    }
    return holds(text, len, "BEGIN_DATA") ? MDR_SPECTRA_CGATS : MDR_SPECTRA_CSV;
}

static bool check_text(mdr_spectra_build *b, const char *text, size_t len)
{
    if (len > MDR_SPECTRA_BYTES_MAX) {
        mdr_build_fault(b, MDR_E_RANGE, 0, 0, NULL, 0, "the file is larger than 32 MiB");
        return false;
    }
    const char *nul = len > 0 ? memchr(text, 0, len) : NULL;
    if (nul != NULL) {
        int line = 1;
        for (const char *p = text; p < nul; p++) {
            line += *p == '\n';
        }
        mdr_build_fault(b, MDR_E_PARSE, line, 0, NULL, 0, "a NUL byte: this is no UTF-8 text file");
        mdr_build_remedy(b, "export it again as text; a spreadsheet or UTF-16 file is not taken");
        return false;
    }
    return true;
}

static void read_as(mdr_spectra_build *b, mdr_spectra_format format, const char *text, size_t len)
{
    switch (format) {
    case MDR_SPECTRA_CSV:
        mdr_spectra_read_csv(b, text, len);
        break;
    case MDR_SPECTRA_CGATS:
        mdr_spectra_read_cgats(b, text, len);
        break;
    case MDR_SPECTRA_CXF:
        mdr_spectra_read_cxf(b, text, len);
        break;
    }
}

static void finish(mdr_spectra_build *b, const mdr_spectra_options *options, mdr_spectra *out,
                   mdr_spectra_item *items)
{
    out->scale = scale_of(b, out->format, options->scale);
    const double per = out->scale == MDR_SCALE_PERCENT ? 100.0 : 1.0;
    if (b->dropped > 0) {
        mdr_build_notice(b, 0, "%ld values outside 340 to 830 nm left out", b->dropped);
    }
    const bool scale_is_known = b->faults == 0;
    for (int i = 0; i < b->n && scale_is_known && !b->no_memory; i++) {
        to_item(b, i, per, &items[i]);
    }
    if (b->faults == 0 && !options->repeats) {
        check_twice(b);
    }
    out->n = b->n;
    out->items = items;
}

/* What went wrong, if anything. */
static mdr_code outcome(const mdr_spectra_build *b, mdr_err *err)
{
    if (b->faults > 0) {
        if (err != NULL) {
            *err = b->first;
        }
        return b->first.code;
    }
    return b->no_memory ? MDR_FAIL(err, MDR_E_NOMEM, b->file, "no memory for the file") : MDR_OK;
}

static bool good(const mdr_spectra_build *b)
{
    return b->faults == 0 && !b->no_memory;
}

mdr_code mdr_spectra_read(const mdr_spectra_file *file, const mdr_spectra_options *options,
                          mdr_arena *arena, mdr_spectra_report report, const mdr_spectra **out,
                          mdr_err *err)
{
    mdr_spectra_build b = {
        .file = file->name, .arena = arena, .found = report.found, .notices = report.notices};
    mdr_spectra *read = MDR_NEW(arena, mdr_spectra);
    if (read == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, file->name, "no memory for the file");
    }
    if (check_text(&b, file->text, file->len)) {
        read->format = format_of(file->text, file->len);
        read_as(&b, read->format, file->text, file->len);
    }
    if (good(&b) && b.n == 0) {
        mdr_build_fault(&b, MDR_E_PARSE, 0, 0, NULL, 0, "no sample was found in this file");
        mdr_build_remedy(&b, "see the formats of spectra in the manual");
    }
    if (good(&b)) {
        mdr_spectra_item *items = MDR_NEW_N(arena, mdr_spectra_item, (size_t)b.n);
        b.no_memory = items == NULL;
        if (items != NULL) {
            finish(&b, options, read, items);
        }
    }
    MDR_TRY(outcome(&b, err));
    *out = read;
    return MDR_OK;
}
