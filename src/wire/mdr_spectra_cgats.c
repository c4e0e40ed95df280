/* Text of CGATS.17 and ISO 28178 and its many relatives: words separated by blanks, quotes around
 * words with blanks, comments from # to the end of the line. What must hold is a format of fields
 * and data that fit it; counts, declarations and order are taken as hints. */
#include <string.h>

#include "wire/mdr_real.h"
#include "wire/mdr_spectra_in.h"

enum { FIELDS_MAX = 1000 };

typedef struct word {
    const char *text;
    size_t len;
    int line, column;
    bool quoted, ends_line; /* nothing but blanks and comment behind it */
} word;

typedef enum field_kind {
    FIELD_OTHER,
    FIELD_NAME,
    FIELD_ID,
    FIELD_L,
    FIELD_A,
    FIELD_B,
    FIELD_WAVELENGTH, /* the column's name holds it */
    FIELD_NM,         /* a pair of columns: the wavelength, then the value */
    FIELD_NM_PERCENT,
    FIELD_NM_FRACTION
} field_kind;

typedef struct field {
    field_kind kind;
    double nm;
} field;

typedef struct table {
    mdr_spectra_build *b;
    const char *text;
    size_t len, at, line_start;
    int line;
    int n_fields, said_fields, said_sets; /* said: 0 when the file does not */
    bool percent_named;
    mdr_spectra_scale norm;
    mdr_specular specular;
    bool has_illuminant, has_observer;
    mdr_illuminant illuminant;
    mdr_observer observer;
    field fields[FIELDS_MAX];
} table;

/* -- words ------------------------------------------------------------------------------------ */

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

static void pass_comment(table *t)
{
    while (t->at < t->len && t->text[t->at] != '\n') {
        t->at++;
    }
}

/* Over blanks, comments and ends of lines; false at the end of the text. */
static bool pass_blanks(table *t)
{
    while (t->at < t->len) {
        const char c = t->text[t->at];
        if (c == '\n') {
            t->at++;
            t->line++;
            t->line_start = t->at;
        } else if (c == '#') {
            pass_comment(t);
        } else if (is_blank(c)) {
            t->at++;
        } else {
            return true;
        }
    }
    return false;
}

static bool rest_is_blank(const table *t)
{
    size_t at = t->at;
    while (at < t->len && is_blank(t->text[at])) {
        at++;
    }
    return at == t->len || t->text[at] == '\n' || t->text[at] == '#';
}

static bool next_word(table *t, word *w)
{
    if (!pass_blanks(t)) {
        return false;
    }
    *w = (word){.line = t->line, .column = (int)(t->at - t->line_start) + 1};
    w->quoted = t->text[t->at] == '"';
    t->at += w->quoted;
    w->text = t->text + t->at;
    for (; t->at < t->len; t->at++) {
        const char c = t->text[t->at];
        if (c == '\n' || (w->quoted ? c == '"' : is_blank(c))) {
            break;
        }
    }
    w->len = (size_t)(t->text + t->at - w->text);
    if (w->quoted) {
        if (t->at == t->len || t->text[t->at] != '"') {
            mdr_build_fault(t->b, MDR_E_PARSE, w->line, w->column, w->text, w->len,
                            "a quote is opened and not closed on its line");
        } else {
            t->at++;
        }
    }
    w->ends_line = rest_is_blank(t);
    return true;
}

static bool is(const word *w, const char *text)
{
    return mdr_same_word(w->text, w->len, text);
}

static const char *text_of(const table *t, const word *w)
{
    char *copy = mdr_arena_text_n(t->b->arena, w->text, w->len);
    if (copy == NULL) {
        t->b->no_memory = true;
        return "";
    }
    for (char *c = copy; *c != '\0'; c++) {
        /* the standard knows seven bits; what more there is may be of any code page */
        *c = (char)((unsigned char)*c < 0x80u ? *c : '?');
    }
    return copy;
}

/* -- what stands before the data -------------------------------------------------------------- */

static int count_of(const word *w)
{
    double n = 0.0;
    return mdr_real_read(w->text, w->len, &n) && n >= 0.0 && n < 1e9 ? (int)n : 0;
}

static void light_of(table *t, const word *w)
{
    static const char PREFIX[] = "Illumination=";
    const size_t n = sizeof PREFIX - 1;
    for (size_t i = 0; i + n < w->len; i++) {
        if (mdr_same_word(w->text + i, n, PREFIX)) {
            size_t len = 0;
            while (i + n + len < w->len && !is_blank(w->text[i + n + len])) {
                len++;
            }
            t->has_illuminant =
                mdr_illuminant_of_name(w->text + i + n, len, &t->illuminant, NULL) == MDR_OK;
        }
    }
    static const char OBSERVER[] = "ObserverAngle=";
    const size_t m = sizeof OBSERVER - 1;
    for (size_t i = 0; i + m < w->len; i++) {
        if (mdr_same_word(w->text + i, m, OBSERVER)) {
            t->has_observer = mdr_observer_of_text(w->text + i + m, w->len - i - m, &t->observer);
        }
    }
}

static void norm_of(table *t, const word *w)
{
    double norm = 0.0;
    if (mdr_real_read(w->text, w->len, &norm)) {
        t->norm = norm == 100.0 ? MDR_SCALE_PERCENT
                  : norm == 1.0 ? MDR_SCALE_FRACTION
                                : MDR_SCALE_UNKNOWN;
    }
}

static void keyword(table *t, const word *key, const word *value)
{
    if (is(key, "NUMBER_OF_FIELDS")) {
        t->said_fields = count_of(value);
    } else if (is(key, "NUMBER_OF_SETS")) {
        t->said_sets = count_of(value);
    } else if (is(key, "SPECTRAL_NORM")) {
        norm_of(t, value);
    } else if (is(key, "ILLUMINANT") || is(key, "ILLUMINATION_NAME")) {
        t->has_illuminant =
            mdr_illuminant_of_name(value->text, value->len, &t->illuminant, NULL) == MDR_OK;
    } else if (is(key, "OBSERVER") || is(key, "OBSERVER_ANGLE")) {
        t->has_observer = mdr_observer_of_text(value->text, value->len, &t->observer);
    } else if (is(key, "MEASUREMENT_SOURCE") || is(key, "MEASUREMENT_GEOMETRY")) {
        light_of(t, value);
        t->specular = mdr_specular_of_text(value->text, value->len);
    }
}

static field field_of(table *t, const word *w)
{
    field f = {FIELD_OTHER, 0.0};
    bool percent = false;
    if (is(w, "SAMPLE_NAME") || is(w, "SAMPLENAME")) {
        f.kind = FIELD_NAME;
    } else if (is(w, "SAMPLE_ID") || is(w, "SAMPLEID") || is(w, "SAMPLE_LOC")) {
        f.kind = FIELD_ID;
    } else if (is(w, "LAB_L")) {
        f.kind = FIELD_L;
    } else if (is(w, "LAB_A")) {
        f.kind = FIELD_A;
    } else if (is(w, "LAB_B")) {
        f.kind = FIELD_B;
    } else if (is(w, "SPECTRAL_NM")) {
        f.kind = FIELD_NM;
    } else if (is(w, "SPECTRAL_PCT")) {
        f.kind = FIELD_NM_PERCENT;
    } else if (is(w, "SPECTRAL_DEC")) {
        f.kind = FIELD_NM_FRACTION;
    } else if (mdr_name_is_wavelength(w->text, w->len, &f.nm, &percent)) {
        f.kind = FIELD_WAVELENGTH;
        t->percent_named = t->percent_named || percent;
    }
    return f;
}

static bool read_format(table *t, const word *begin)
{
    word w;
    t->n_fields = 0;
    t->percent_named = false;
    while (next_word(t, &w)) {
        if (is(&w, "END_DATA_FORMAT")) {
            if (t->said_fields > 0 && t->said_fields != t->n_fields) {
                mdr_build_notice(t->b, w.line, "NUMBER_OF_FIELDS says %d, the format has %d",
                                 t->said_fields, t->n_fields);
            }
            return true;
        }
        if (t->n_fields == FIELDS_MAX) {
            mdr_build_fault(t->b, MDR_E_RANGE, w.line, w.column, NULL, 0,
                            "more than 1000 fields in a format");
            return false;
        }
        t->fields[t->n_fields] = field_of(t, &w);
        t->n_fields++;
    }
    mdr_build_fault(t->b, MDR_E_PARSE, begin->line, begin->column, NULL, 0,
                    "BEGIN_DATA_FORMAT without its end: the file is cut off");
    return false;
}

/* -- data ------------------------------------------------------------------------------------- */

typedef struct record {
    mdr_sample *sample;
    const char *id;
    double nm; /* of a pair, waiting for its value; 0: none */
    int labs;
} record;

static bool number(const table *t, const word *w, double *out)
{
    if (mdr_real_read(w->text, w->len, out)) {
        return true;
    }
    mdr_build_fault(t->b, MDR_E_PARSE, w->line, w->column, w->text, w->len, "this is no number");
    return false;
}

static void take_value(const table *t, record *r, const word *w, double nm, mdr_spectra_scale scale)
{
    double v = 0.0;
    if (number(t, w, &v)) {
        r->sample->scale = scale != MDR_SCALE_UNKNOWN ? scale : r->sample->scale;
        mdr_build_point(t->b, r->sample, (mdr_sample_point){nm, v, w->line, w->column});
    }
}

static void take_lab(const table *t, record *r, const word *w, double *to)
{
    r->labs += number(t, w, to);
}

static void take(const table *t, record *r, const field *f, const word *w)
{
    switch (f->kind) {
    case FIELD_OTHER:
        break;
    case FIELD_NAME:
        r->sample->name = text_of(t, w);
        break;
    case FIELD_ID:
        r->sample->id = text_of(t, w);
        break;
    case FIELD_L:
        take_lab(t, r, w, &r->sample->lab.l);
        break;
    case FIELD_A:
        take_lab(t, r, w, &r->sample->lab.a);
        break;
    case FIELD_B:
        take_lab(t, r, w, &r->sample->lab.b);
        break;
    case FIELD_WAVELENGTH:
        take_value(t, r, w, f->nm, MDR_SCALE_UNKNOWN);
        break;
    case FIELD_NM:
        (void)number(t, w, &r->nm);
        break;
    case FIELD_NM_PERCENT:
        take_value(t, r, w, r->nm, MDR_SCALE_PERCENT);
        break;
    case FIELD_NM_FRACTION:
        take_value(t, r, w, r->nm, MDR_SCALE_FRACTION);
        break;
    }
}

static bool begin_record(table *t, record *r, const word *w)
{
    *r = (record){.sample = mdr_build_sample(t->b, w->line)};
    if (r->sample == NULL) {
        return false;
    }
    r->sample->specular = t->specular;
    r->sample->scale = t->percent_named ? MDR_SCALE_PERCENT : t->norm;
    r->sample->has_light = t->has_illuminant && t->has_observer;
    r->sample->illuminant = t->illuminant;
    r->sample->observer = t->observer;
    return true;
}

static void end_record(record *r)
{
    mdr_sample *s = r->sample;
    s->has_lab = r->labs == 3;
    s->has_light = s->has_light && s->has_lab;
    s->name = s->name[0] != '\0' ? s->name : s->id;
}

static bool read_data(table *t, const word *begin)
{
    word w;
    record r = {.sample = NULL};
    int at = 0, sets = 0;
    if (t->n_fields == 0) {
        mdr_build_fault(t->b, MDR_E_PARSE, begin->line, begin->column, NULL, 0,
                        "data without a format before them");
        return false;
    }
    while (next_word(t, &w)) {
        if (!w.quoted && is(&w, "END_DATA")) {
            if (at > 0) {
                mdr_build_fault(t->b, MDR_E_PARSE, w.line, w.column, NULL, 0,
                                "the last set of data has too few values");
            } else if (t->said_sets > 0 && t->said_sets != sets) {
                mdr_build_notice(t->b, w.line, "NUMBER_OF_SETS says %d, there are %d", t->said_sets,
                                 sets);
            }
            return at == 0;
        }
        if (at == 0 && !begin_record(t, &r, &w)) {
            return false;
        }
        take(t, &r, &t->fields[at], &w);
        if (++at == t->n_fields) {
            end_record(&r);
            at = 0;
            sets++;
        }
    }
    mdr_build_fault(t->b, MDR_E_PARSE, begin->line, begin->column, NULL, 0,
                    "BEGIN_DATA without END_DATA: the file is cut off");
    return false;
}

/* The rest of a keyword's line; its first word is the value. */
static void read_keyword(table *t, const word *key)
{
    word w = *key;
    for (bool first = true; !w.ends_line && next_word(t, &w); first = false) {
        if (first) {
            keyword(t, key, &w);
        }
    }
}

void mdr_spectra_read_cgats(mdr_spectra_build *b, const char *text, size_t len)
{
    table *t = MDR_NEW(b->arena, table);
    if (t == NULL) {
        b->no_memory = true;
        return;
    }
    t->b = b;
    t->text = text;
    t->len = len;
    t->line = 1;
    if (len >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        t->at = 3;
    }
    word w;
    bool going = true;
    while (going && !b->no_memory && next_word(t, &w)) {
        if (is(&w, "BEGIN_DATA_FORMAT")) {
            going = read_format(t, &w);
        } else if (is(&w, "BEGIN_DATA")) {
            going = read_data(t, &w);
            t->said_sets = 0;
        } else {
            read_keyword(t, &w);
        }
    }
}
