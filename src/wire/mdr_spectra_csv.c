/* Spectra as CSV, in three layouts told apart by the header:
 *   rows     name,specular,400,410,...        one sample a row
 *   columns  wavelength_nm,blue,blue (2)...   one sample a column
 *   values   name,wavelength_nm,reflectance   one value a row, those of a sample together */
#include <string.h>

#include "base/mdr_csv.h"
#include "wire/mdr_real.h"
#include "wire/mdr_spectra_in.h"

typedef struct sheet {
    mdr_spectra_build *b;
    mdr_csv csv;
    int name, id, specular, wavelength, value; /* columns, or -1 */
    int n_wavelengths;                         /* columns named for one */
    bool percent;
    double nm[MDR_CSV_CELLS_MAX]; /* of the column; 0: none */
} sheet;

typedef enum role {
    ROLE_NAME,
    ROLE_ID,
    ROLE_SPECULAR,
    ROLE_WAVELENGTH,
    ROLE_VALUE,
    ROLE_NONE
} role;

static role role_of(const mdr_csv_cell *c)
{
    static const struct {
        const char *word;
        role role;
    } WORDS[] = {
        {"name", ROLE_NAME},
        {"sample", ROLE_NAME},
        {"sample_name", ROLE_NAME},
        {"sample name", ROLE_NAME},
        {"standard", ROLE_NAME},
        {"id", ROLE_ID},
        {"sample_id", ROLE_ID},
        {"sample id", ROLE_ID},
        {"specular", ROLE_SPECULAR},
        {"mode", ROLE_SPECULAR},
        {"geometry", ROLE_SPECULAR},
        {"wavelength_nm", ROLE_WAVELENGTH},
        {"wavelength", ROLE_WAVELENGTH},
        {"wavelength (nm)", ROLE_WAVELENGTH},
        {"wavelength [nm]", ROLE_WAVELENGTH},
        {"nm", ROLE_WAVELENGTH},
        {"lambda", ROLE_WAVELENGTH},
        {"wl", ROLE_WAVELENGTH},
        {"reflectance", ROLE_VALUE},
        {"reflectance_pct", ROLE_VALUE},
        {"reflectance [%]", ROLE_VALUE},
        {"reflectance (%)", ROLE_VALUE},
        {"value", ROLE_VALUE},
        {"r", ROLE_VALUE},
        {"r%", ROLE_VALUE},
    };
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        if (mdr_same_word(c->text, c->len, WORDS[i].word)) {
            return WORDS[i].role;
        }
    }
    return ROLE_NONE;
}

static void look_at_header(sheet *s)
{
    int *const columns[ROLE_NONE] = {&s->name, &s->id, &s->specular, &s->wavelength, &s->value};
    for (int r = 0; r < ROLE_NONE; r++) {
        *columns[r] = -1;
    }
    for (int i = 0; i < s->csv.n_cells; i++) {
        const mdr_csv_cell *c = &s->csv.header[i];
        const role r = role_of(c);
        if (r != ROLE_NONE && *columns[r] < 0) {
            *columns[r] = i;
        } else if (mdr_name_is_wavelength(c->text, c->len, &s->nm[i], &s->percent)) {
            s->n_wavelengths++;
        }
    }
    if (s->value >= 0) {
        const mdr_csv_cell *c = &s->csv.header[s->value];
        s->percent = memchr(c->text, '%', c->len) != NULL ||
                     mdr_same_word(c->text, c->len, "reflectance_pct");
    }
}

/* Column counted from 1, for places. */
static bool number(const sheet *s, int i, double *out)
{
    const mdr_csv_cell *c = &s->csv.cells[i];
    size_t from = 0, to = c->len;
    while (from < to && c->text[from] == ' ') {
        from++;
    }
    while (to > from && c->text[to - 1] == ' ') {
        to--;
    }
    if (mdr_real_read(c->text + from, to - from, out)) {
        return true;
    }
    mdr_build_fault(s->b, MDR_E_PARSE, s->csv.line, i + 1, c->text, c->len,
                    to == from ? "a value is missing" : "this is no number");
    mdr_build_remedy(s->b,
                     "write numbers with a point, such as 0.123; commas are between cells only");
    return false;
}

static const char *cell_text(const sheet *s, int i)
{
    return i < 0 ? "" : mdr_build_text(s->b, s->csv.cells[i].text, s->csv.cells[i].len);
}

static mdr_sample *new_sample(const sheet *s)
{
    mdr_sample *sample = mdr_build_sample(s->b, s->csv.line);
    if (sample == NULL) {
        return NULL;
    }
    sample->id = cell_text(s, s->id);
    sample->name = s->name >= 0 ? cell_text(s, s->name) : sample->id;
    sample->scale = s->percent ? MDR_SCALE_PERCENT : MDR_SCALE_UNKNOWN;
    if (s->specular >= 0) {
        const mdr_csv_cell *c = &s->csv.cells[s->specular];
        sample->specular = mdr_specular_of_text(c->text, c->len);
    }
    return sample;
}

static void row_of_sample(sheet *s)
{
    mdr_sample *sample = new_sample(s);
    for (int i = 0; i < s->csv.n_cells && sample != NULL; i++) {
        double v = 0.0;
        if (s->nm[i] > 0.0 && number(s, i, &v)) {
            mdr_build_point(s->b, sample, (mdr_sample_point){s->nm[i], v, s->csv.line, i + 1});
        }
    }
}

/* The sample goes on while its name and condition stay the same. */
static void row_of_value(sheet *s)
{
    const mdr_csv_cell *name = s->name >= 0 ? &s->csv.cells[s->name] : NULL;
    const mdr_specular specular =
        s->specular < 0
            ? MDR_SPECULAR_UNKNOWN
            : mdr_specular_of_text(s->csv.cells[s->specular].text, s->csv.cells[s->specular].len);
    mdr_sample *sample = s->b->n > 0 ? s->b->samples[s->b->n - 1] : NULL;
    const bool same = sample != NULL && sample->specular == specular &&
                      (name == NULL || (strlen(sample->name) == name->len &&
                                        memcmp(sample->name, name->text, name->len) == 0));
    if (!same) {
        sample = new_sample(s);
    }
    double nm = 0.0, v = 0.0;
    if (sample != NULL && number(s, s->wavelength, &nm) && number(s, s->value, &v)) {
        mdr_build_point(s->b, sample, (mdr_sample_point){nm, v, s->csv.line, s->value + 1});
    }
}

static void row_of_wavelength(sheet *s)
{
    double nm = 0.0;
    if (!number(s, s->wavelength, &nm)) {
        return;
    }
    for (int i = 0, k = 0; i < s->csv.n_cells; i++) {
        double v = 0.0;
        if (i != s->wavelength && number(s, i, &v)) {
            mdr_build_point(s->b, s->b->samples[k], (mdr_sample_point){nm, v, s->csv.line, i + 1});
        }
        k += i != s->wavelength;
    }
}

static bool samples_of_header(sheet *s)
{
    for (int i = 0; i < s->csv.n_cells; i++) {
        if (i != s->wavelength) {
            const mdr_csv_cell *c = &s->csv.header[i];
            mdr_sample *sample = mdr_build_sample(s->b, s->csv.header_line);
            if (sample == NULL) {
                return false;
            }
            sample->name = mdr_build_text(s->b, c->text, c->len);
            sample->scale =
                memchr(c->text, '%', c->len) != NULL ? MDR_SCALE_PERCENT : MDR_SCALE_UNKNOWN;
        }
    }
    return true;
}

static void unknown_columns(const sheet *s)
{
    for (int i = 0; i < s->csv.n_cells; i++) {
        const bool known = s->nm[i] > 0.0 || i == s->name || i == s->id || i == s->specular ||
                           i == s->wavelength || i == s->value;
        if (!known) {
            mdr_build_notice(s->b, s->csv.header_line, "column \"%.*s\" is not read",
                             (int)(s->csv.header[i].len < 60 ? s->csv.header[i].len : 60),
                             s->csv.header[i].text);
        }
    }
}

static void read_rows(sheet *s, void (*row)(sheet *))
{
    bool got = true;
    while (got && !s->csv.broken && !s->b->no_memory) {
        mdr_err err;
        if (mdr_csv_next(&s->csv, &got, &err) != MDR_OK) {
            s->b->no_memory = s->b->no_memory || err.code == MDR_E_NOMEM;
            mdr_build_keep(s->b, &err);
            got = true;
        } else if (got) {
            row(s);
        }
    }
}

void mdr_spectra_read_csv(mdr_spectra_build *b, const char *text, size_t len)
{
    mdr_err err;
    sheet *s = MDR_NEW(b->arena, sheet);
    if (s == NULL) {
        b->no_memory = true;
        return;
    }
    s->b = b;
    if (mdr_csv_open(&s->csv, b->file, text, len, b->arena, &err) != MDR_OK) {
        b->no_memory = err.code == MDR_E_NOMEM;
        mdr_build_keep(b, &err);
        return;
    }
    look_at_header(s);
    if (s->n_wavelengths >= 4) {
        unknown_columns(s);
        read_rows(s, row_of_sample);
    } else if (s->wavelength >= 0 && s->value >= 0) {
        unknown_columns(s);
        read_rows(s, row_of_value);
    } else if (s->wavelength >= 0) {
        if (samples_of_header(s)) {
            read_rows(s, row_of_wavelength);
        }
    } else {
        mdr_build_fault(b, MDR_E_PARSE, s->csv.header_line, 0, NULL, 0,
                        "the header names no wavelengths");
        mdr_build_remedy(b, "name,400,410,... or wavelength_nm,sample,... in the first line");
    }
}
