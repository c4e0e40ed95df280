#include "wire/mdr_cxf_in.h"

#include <string.h>

static const mdr_cxf_spec *spec_of(const mdr_cxf *c, const char *id)
{
    for (int i = 0; i < c->n_specs; i++) {
        if (strcmp(c->specs[i].id, id) == 0) {
            return &c->specs[i];
        }
    }
    return NULL;
}

static void place_points(mdr_cxf *c, const mdr_cxf_waiting *w, const mdr_cxf_spec *spec)
{
    mdr_sample *s = w->sample;
    const double start_nm = w->start_nm > 0.0 ? w->start_nm : spec->start_nm;
    if (start_nm <= 0.0 || spec->increment_nm <= 0.0) {
        mdr_build_notice(c->b, s->line, "%s: a spectrum without wavelengths is left out", s->name);
        s->n = 0;
        return;
    }
    const int n = s->n;
    s->n = 0;
    for (int k = 0; k < n; k++) {
        mdr_sample_point p = s->points[k];
        p.wavelength_nm = start_nm + spec->increment_nm * k;
        mdr_build_point(c->b, s, p);
    }
}

static void place(mdr_cxf *c, const mdr_cxf_waiting *w)
{
    mdr_sample *s = w->sample;
    const mdr_cxf_spec *spec = spec_of(c, w->refers);
    s->has_lab = w->is_lab;
    if (spec == NULL) {
        mdr_build_notice(c->b, s->line, "%s: its colour specification \"%s\" is not in the file",
                         s->name, w->refers);
        s->n = w->is_custom ? s->n : 0;
        return;
    }
    s->specular = spec->specular;
    s->condition = spec->condition;
    s->has_light = spec->has_illuminant && spec->has_observer;
    s->illuminant = spec->illuminant;
    s->observer = spec->observer;
    if (spec->not_reflectance) {
        mdr_build_notice(c->b, s->line, "%s: not a measurement of reflectance, left out", s->name);
        s->n = 0;
        s->has_lab = false;
    } else if (!w->is_lab && !w->is_custom) {
        place_points(c, w, spec);
    }
}

/* The spectrum of the same object under the same specification that has no colour yet. What belongs
 * to one object stands together, from `first` on. */
static mdr_cxf_waiting *partner(mdr_cxf_waiting *first, const mdr_cxf_waiting *lab)
{
    for (mdr_cxf_waiting *k = first; k != NULL && k->object == lab->object; k = k->next) {
        if (!k->is_lab && k->sample->n > 0 && !k->sample->has_lab &&
            strcmp(k->refers, lab->refers) == 0) {
            return k;
        }
    }
    return NULL;
}

/* A colour goes to its spectrum; a sample with neither is dropped, and the rest close up. */
void mdr_cxf_join(mdr_cxf *c)
{
    mdr_cxf_waiting *of_object = c->first;
    for (mdr_cxf_waiting *w = c->first; w != NULL; w = w->next) {
        place(c, w);
    }
    for (mdr_cxf_waiting *w = c->first; w != NULL; w = w->next) {
        of_object = w->object == of_object->object ? of_object : w;
        mdr_cxf_waiting *with = w->is_lab && w->sample->has_lab ? partner(of_object, w) : NULL;
        if (with != NULL) {
            with->sample->has_lab = true;
            with->sample->lab = w->sample->lab;
            w->sample->has_lab = false;
        }
    }
    int n = 0;
    for (int i = 0; i < c->b->n; i++) {
        mdr_sample *s = c->b->samples[i];
        if (s->n > 0 || s->has_lab) {
            c->b->samples[n++] = s;
        }
    }
    c->b->n = n;
}
