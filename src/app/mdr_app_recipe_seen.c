/* Colours as they are shown: CIELAB and a swatch under each light, the tolerance drawn to scale. */
#include <math.h>
#include <string.h>

#include "app/mdr_app_recipe_in.h"
#include "core/units/mdr_swatch.h"
#include "wire/mdr_json.h"

/* What is drawn needs no more: a hundredth of a pixel at any scale. */
static double drawn(double v)
{
    return round(v * 1e4) / 1e4;
}

void mdr_dyelab_put_colour(mdr_json *j, const mdr_lab *lab)
{
    char swatch[8];
    bool in_gamut = false;
    const mdr_lch polar = mdr_lch_of_lab(*lab);
    mdr_swatch_hex(lab->l, lab->a, lab->b, swatch, &in_gamut);
    mdr_json_number(j, "l", drawn(lab->l));
    mdr_json_number(j, "a", drawn(lab->a));
    mdr_json_number(j, "b", drawn(lab->b));
    mdr_json_number(j, "c", drawn(polar.c));
    mdr_json_number(j, "h_deg", drawn(polar.h_deg));
    mdr_json_text(j, "swatch", swatch);
    mdr_json_bool(j, "in_gamut", in_gamut);
}

void mdr_dyelab_put_seen(mdr_json *j, const mdr_dyelab *lab, const mdr_curve *curve,
                         const mdr_curve *standard)
{
    mdr_json_object(j, "seen");
    for (int i = 0; i < lab->n_lights; i++) {
        const mdr_lab of = mdr_lab_of_curve(curve, &lab->lights[i]);
        mdr_json_object(j, mdr_illuminant_name(lab->illuminants[i]));
        mdr_dyelab_put_colour(j, &of);
        if (standard != NULL) {
            const mdr_difference d =
                mdr_difference_of(mdr_lab_of_curve(standard, &lab->lights[i]), of, &lab->formula);
            mdr_json_number(j, "difference", d.de);
        }
        mdr_json_end_object(j);
    }
    mdr_json_end_object(j);
}

/* -- how far the tolerance goes -- */

typedef struct ray {
    mdr_lab from;
    double l, a, b; /* per step along it */
} ray;

static mdr_lab along(const ray *r, double t)
{
    return (mdr_lab){r->from.l + t * r->l, r->from.a + t * r->a, r->from.b + t * r->b};
}

/* Where the difference reaches the tolerance: it grows along every ray from the standard. */
static double reach(const ray *r, const mdr_difference_spec *formula, double tolerance)
{
    enum { DOUBLINGS = 12, HALVINGS = 30 };
    double low = 0.0, high = 1.0;
    for (int i = 0; i < DOUBLINGS; i++) {
        if (mdr_difference_of(r->from, along(r, high), formula).de >= tolerance) {
            break;
        }
        low = high;
        high *= 2.0;
    }
    for (int i = 0; i < HALVINGS; i++) {
        const double middle = 0.5 * (low + high);
        if (mdr_difference_of(r->from, along(r, middle), formula).de < tolerance) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return 0.5 * (low + high);
}

static void put_point(mdr_json *j, double x, double y)
{
    mdr_json_array(j, NULL);
    mdr_json_number(j, NULL, drawn(x));
    mdr_json_number(j, NULL, drawn(y));
    mdr_json_end_array(j);
}

/* Ring in a*b* at the standard's lightness, or in C*L* at its hue. A chroma below 0 is the opposite
 * hue. */
static void put_ring(mdr_json *j, const char *key, bool polar, const mdr_dyelab *lab,
                     const mdr_lab *standard)
{
    enum { POINTS = 48 };
    static const double TURN = 6.283185307179586;
    const mdr_lch of = mdr_lch_of_lab(*standard);
    const mdr_lab way = mdr_lab_of_lch((mdr_lch){0.0, 1.0, of.h_deg});
    mdr_json_array(j, key);
    for (int i = 0; i < POINTS; i++) {
        const double x = cos(TURN * i / POINTS), y = sin(TURN * i / POINTS);
        const ray r = polar ? (ray){*standard, y, x * way.a, x * way.b} : (ray){*standard, 0, x, y};
        const double t = reach(&r, &lab->formula, lab->q->tolerance);
        if (polar) {
            put_point(j, of.c + t * x, of.l + t * y);
        } else {
            put_point(j, standard->a + t * x, standard->b + t * y);
        }
    }
    mdr_json_end_array(j);
}

void mdr_dyelab_put_lights(mdr_json *j, const mdr_dyelab *lab, const mdr_curve *standard)
{
    mdr_json_array(j, "lights");
    for (int i = 0; i < lab->n_lights; i++) {
        const mdr_lab of = mdr_lab_of_curve(standard, &lab->lights[i]);
        const char *caption = mdr_dyelab_caption_of(lab, i);
        mdr_json_object(j, NULL);
        mdr_json_text(j, "light", mdr_illuminant_name(lab->illuminants[i]));
        mdr_json_text(j, "caption", caption);
        mdr_json_object(j, "standard");
        mdr_dyelab_put_colour(j, &of);
        mdr_json_end_object(j);
        put_ring(j, "within_ab", false, lab, &of);
        put_ring(j, "within_cl", true, lab, &of);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

/* -- what is in the files -- */

typedef struct listed {
    const char *name, *file, *kind;
    mdr_curve curve;
    bool alike; /* measured like the cloth: it has a colour here */
} listed;

typedef struct list {
    const mdr_dyelab *lab;
    listed *samples;
    int n;
} list;

static void put_sample(mdr_json *j, const mdr_dyelab *lab, const listed *s)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "name", s->name);
    mdr_json_text(j, "file", s->file);
    mdr_json_text(j, "kind", s->kind);
    if (s->alike) {
        const mdr_lab of = mdr_lab_of_curve(&s->curve, &lab->lights[0]);
        mdr_dyelab_put_colour(j, &of);
    }
    mdr_json_end_object(j);
}

static void write_list(struct mdr_json *json, const void *more)
{
    mdr_json *j = json;
    const list *l = more;
    mdr_json_object(j, "laboratory");
    mdr_json_array(j, "samples");
    for (int i = 0; i < l->n; i++) {
        put_sample(j, l->lab, &l->samples[i]);
    }
    mdr_json_end_array(j);
    mdr_json_array(j, "dyes");
    for (int i = 0; i < l->lab->n_dyes; i++) {
        const mdr_dyelab_ladder *d = &l->lab->dyes[i];
        const double most = d->ladder->limit_pct_owf;
        mdr_json_object(j, NULL);
        mdr_json_text(j, "dye_id", d->dye_id);
        mdr_json_number(j, "most_pct_owf", d->limit_pct_owf > 0.0 ? d->limit_pct_owf : most);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

static const char *kind_of(const mdr_dyelab *lab, const char *name)
{
    if (strcmp(name, lab->cloth_name) == 0) {
        return "cloth";
    }
    for (int d = 0; d < lab->n_dyes; d++) {
        for (int i = 0; i < lab->dyes[d].n; i++) {
            if (strcmp(lab->dyes[d].samples[i], name) == 0) {
                return "dyed";
            }
        }
    }
    return "other";
}

/* The first reading of a name stands for all of them. */
static bool is_first(const mdr_spectra *s, int i)
{
    for (int k = 0; k < i; k++) {
        if (s->items[k].spectrum != NULL && strcmp(s->items[k].name, s->items[i].name) == 0) {
            return false;
        }
    }
    return s->items[i].spectrum != NULL;
}

mdr_code mdr_dyelab_list(mdr_dyelab *lab, mdr_err *err)
{
    static const struct {
        mdr_recipe_file_kind kind;
        const char *key;
    } FILES[] = {{MDR_RECIPE_FILE_SPECTRA, "spectra"},
                 {MDR_RECIPE_FILE_STANDARD, "standard_file"},
                 {MDR_RECIPE_FILE_SAMPLE, "sample_file"}};
    enum { N_FILES = sizeof FILES / sizeof FILES[0] };
    size_t room = 1;
    list *l = MDR_NEW(lab->desk.arena, list);
    for (int f = 0; f < N_FILES; f++) {
        room += lab->spectra[FILES[f].kind] != NULL ? (size_t)lab->spectra[FILES[f].kind]->n : 0;
    }
    listed *samples = MDR_NEW_N(lab->desk.arena, listed, room);
    if (l == NULL || samples == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "spectra", "no memory for the list of samples");
    }
    *l = (list){.lab = lab, .samples = samples};
    for (int f = 0; f < N_FILES; f++) {
        const mdr_spectra *s = lab->spectra[FILES[f].kind];
        for (int i = 0; s != NULL && i < s->n; i++) {
            if (!is_first(s, i)) {
                continue;
            }
            listed *one = &samples[l->n++];
            one->name = s->items[i].name;
            one->file = lab->asked->stock != NULL ? "mill" : FILES[f].key;
            one->kind = f == 0 ? kind_of(lab, one->name) : "other";
            one->alike = mdr_dyelab_sample(lab, FILES[f].kind, one->name, "a sample", &one->curve,
                                           NULL) == MDR_OK;
        }
    }
    lab->desk.a->put_more = write_list;
    lab->desk.a->more = l;
    return MDR_OK;
}
