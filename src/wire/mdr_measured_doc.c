#include "wire/mdr_measured_doc.h"

#include <math.h>
#include <stddef.h>

#include "core/units/mdr_swatch.h"
#include "wire/mdr_spectra.h"

#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))
#define ALWAYS  MDR_FIELD_ALWAYS

/* In the order of mdr_specular and mdr_spectra_scale. */
static const char *const SPECULAR_IDS[] = {"unknown", "included", "excluded", "none"};
static const char *const SCALE_IDS[] = {"auto", "fraction", "percent"};
static const mdr_words SPECULARS = {SPECULAR_IDS, N_OF(SPECULAR_IDS)};
static const mdr_words SCALES = {SCALE_IDS, N_OF(SCALE_IDS)};
_Static_assert(MDR_SPECULAR_EXCLUDED == 2 && MDR_SPECULAR_NONE == 3, "words stand in their order");
_Static_assert(MDR_SCALE_FRACTION == 1 && MDR_SCALE_PERCENT == 2, "words stand in their order");

#define FIELD(rec, key_, kind_, must_, ...)                                      \
    {                                                                            \
        .key = #key_, .kind = MDR_FIELD_##kind_, .may = ALWAYS, .must = (must_), \
        .offset = offsetof(rec, key_), __VA_ARGS__                               \
    }
#define TEXT(rec, key, must)       FIELD(rec, key, TEXT, must, .has = 0)
#define WORD(rec, key, must, list) FIELD(rec, key, WORD, must, .words = &(list))

/* -- as an entry brings it -- */

static const mdr_field ENTRY_FIELDS[] = {
    TEXT(mdr_entry_sample, sample_id, 0),
    FIELD(mdr_entry_sample, file, OBJECT, 0, .shape = &mdr_file_text_shape),
    TEXT(mdr_entry_sample, sample, 0),
    TEXT(mdr_entry_sample, substrate, 0),
    WORD(mdr_entry_sample, specular, 0, SPECULARS),
    WORD(mdr_entry_sample, scale, 0, SCALES),
};
const mdr_entry_sample mdr_no_entry_sample = {.sample_id = "", .sample = "", .substrate = ""};
const mdr_shape mdr_entry_sample_shape = {.what = "a measured sample",
                                          .fields = ENTRY_FIELDS,
                                          .n_fields = N_OF(ENTRY_FIELDS),
                                          .size = sizeof(mdr_entry_sample),
                                          .null_is_absent = true};

/* -- as the record keeps it -- */

static const mdr_field CURVE_FIELDS[] = {
    FIELD(mdr_measured_curve, start_nm, NUMBER, ALWAYS, .has = 0),
    FIELD(mdr_measured_curve, step_nm, NUMBER, ALWAYS, .has = 0),
    FIELD(mdr_measured_curve, reflectance, NUMBERS, ALWAYS,
          .count = offsetof(mdr_measured_curve, n_reflectance), .most = MDR_SPECTRUM_MAX),
};
static const mdr_shape CURVE_SHAPE = {.what = "a curve",
                                      .fields = CURVE_FIELDS,
                                      .n_fields = N_OF(CURVE_FIELDS),
                                      .size = sizeof(mdr_measured_curve)};

static const mdr_field MEASURED_FIELDS[] = {
    TEXT(mdr_measured_in, sample_id, 0),
    TEXT(mdr_measured_in, name, 0),
    TEXT(mdr_measured_in, substrate, 0),
    TEXT(mdr_measured_in, standard_id, 0),
    WORD(mdr_measured_in, specular, 0, SPECULARS),
    FIELD(mdr_measured_in, sample, OBJECT, ALWAYS, .shape = &CURVE_SHAPE),
    FIELD(mdr_measured_in, standard, OBJECT, ALWAYS, .shape = &CURVE_SHAPE),
};
const mdr_measured_in mdr_no_measured_in = {
    .sample_id = "", .name = "", .substrate = "", .standard_id = ""};
const mdr_shape mdr_measured_shape = {.what = "a sample that was measured",
                                      .fields = MEASURED_FIELDS,
                                      .n_fields = N_OF(MEASURED_FIELDS),
                                      .size = sizeof(mdr_measured_in)};

static mdr_code spectrum_of(const mdr_measured_curve *c, const char *place, mdr_arena *arena,
                            const mdr_spectrum **out, mdr_err *err)
{
    mdr_spectrum *s = MDR_NEW(arena, mdr_spectrum);
    if (s == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "measured", "no memory for the sample");
    }
    const mdr_code rc =
        mdr_spectrum_make(c->start_nm, c->step_nm, c->reflectance, c->n_reflectance, s, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "measured.%s", place);
        return rc;
    }
    *out = s;
    return MDR_OK;
}

mdr_code mdr_wire_measured_of(const mdr_measured_in *in, mdr_arena *arena, const mdr_measured **out,
                              mdr_err *err)
{
    mdr_measured *m = MDR_NEW(arena, mdr_measured);
    if (m == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "measured", "no memory for the sample");
    }
    *m = (mdr_measured){.sample_id = in->sample_id,
                        .name = in->name,
                        .substrate = in->substrate,
                        .standard_id = in->standard_id,
                        .specular = (mdr_specular)in->specular};
    MDR_TRY(spectrum_of(&in->sample, "sample", arena, &m->sample, err));
    MDR_TRY(spectrum_of(&in->standard, "standard", arena, &m->standard, err));
    *out = m;
    return MDR_OK;
}

static void put_text(mdr_json *j, const char *key, const char *text)
{
    if (text[0] != '\0') {
        mdr_json_text(j, key, text);
    }
}

static void put_curve(mdr_json *j, const char *key, const mdr_spectrum *s)
{
    mdr_json_object(j, key);
    mdr_json_number(j, "start_nm", s->start_nm);
    mdr_json_number(j, "step_nm", s->step_nm);
    mdr_json_array(j, "reflectance");
    for (int i = 0; i < s->n; i++) {
        mdr_json_number(j, NULL, s->v[i]);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

void mdr_wire_put_measured(mdr_json *j, const mdr_measured *m)
{
    mdr_json_object(j, "measured");
    put_text(j, "sample_id", m->sample_id);
    put_text(j, "name", m->name);
    put_text(j, "substrate", m->substrate);
    put_text(j, "standard_id", m->standard_id);
    mdr_json_text(j, "specular", mdr_words_id(&SPECULARS, (int)m->specular));
    put_curve(j, "sample", m->sample);
    put_curve(j, "standard", m->standard);
    mdr_json_end_object(j);
}

/* -- as it is shown -- */

/* What is looked at needs no more. */
static double shown(double v)
{
    return round(v * 1e4) / 1e4;
}

void mdr_wire_put_lab(mdr_json *j, const mdr_lab *lab)
{
    char swatch[8];
    bool in_gamut = false;
    mdr_swatch_hex(lab->l, lab->a, lab->b, swatch, &in_gamut);
    mdr_json_number(j, "l", shown(lab->l));
    mdr_json_number(j, "a", shown(lab->a));
    mdr_json_number(j, "b", shown(lab->b));
    mdr_json_text(j, "swatch", swatch);
    mdr_json_bool(j, "in_gamut", in_gamut);
}

void mdr_wire_put_difference(mdr_json *j, const mdr_difference *d)
{
    mdr_json_number(j, "difference", shown(d->de));
    mdr_json_number(j, "dl", shown(d->dl));
    mdr_json_number(j, "dc", shown(d->dc));
    mdr_json_number(j, "dh", shown(d->dh));
    mdr_json_number(j, "da", shown(d->da));
    mdr_json_number(j, "db", shown(d->db));
}

static void put_colour(mdr_json *j, const char *key, const mdr_lab *lab)
{
    mdr_json_object(j, key);
    mdr_wire_put_lab(j, lab);
    mdr_json_end_object(j);
}

void mdr_wire_put_measured_look(mdr_json *j, const char *key, const mdr_measured *m)
{
    if (m == NULL) {
        mdr_json_null(j, key);
        return;
    }
    const mdr_measured_look look = mdr_measured_see(m);
    mdr_json_object(j, key);
    mdr_json_text(j, "sample_id", m->sample_id);
    mdr_json_text(j, "name", m->name);
    mdr_json_text(j, "substrate", m->substrate);
    mdr_json_text(j, "standard_id", m->standard_id);
    mdr_json_text(j, "specular", mdr_words_id(&SPECULARS, (int)m->specular));
    mdr_json_text(j, "caption", MDR_MEASURED_CAPTION);
    mdr_wire_put_difference(j, &look.difference);
    put_colour(j, "standard", &look.standard);
    put_colour(j, "sample", &look.sample);
    mdr_json_end_object(j);
}
