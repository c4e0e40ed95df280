/* The map of a fabric question as JSON. */
#include <math.h>
#include <stddef.h>

#include "app/mdr_app_fabric_map.h"

static const double PCT = 100.0;

/* What is read or drawn needs no more than this; what is asked again goes out as it is. */
static const double READ_PARTS = 1e4, DRAWN_PARTS = 1e2;

static void number(mdr_json *j, const char *key, double v)
{
    mdr_json_number(j, key, round(v * READ_PARTS) / READ_PARTS);
}

static void drawn(mdr_json *j, double v)
{
    mdr_json_number(j, NULL, round(v * DRAWN_PARTS) / DRAWN_PARTS);
}

static void pair(mdr_json *j, double a, double b)
{
    mdr_json_array(j, NULL);
    drawn(j, a);
    drawn(j, b);
    mdr_json_end_array(j);
}

static void put_range(mdr_json *j, const char *key, mdr_spec_range r)
{
    mdr_json_flat_object(j, key);
    number(j, "low", r.low);
    number(j, "high", r.high);
    mdr_json_end_object(j);
}

static void put_window(mdr_json *j, const char *key, const mdr_spec_window *w)
{
    mdr_json_object(j, key);
    put_range(j, "width_cm", w->width_cm);
    put_range(j, "gsm", w->gsm);
    mdr_json_end_object(j);
}

static void put_points(mdr_json *j, const char *key, const mdr_spec_point *points, int n)
{
    mdr_json_array(j, key);
    for (int i = 0; i < n; i++) {
        pair(j, points[i].width_cm, points[i].gsm);
    }
    mdr_json_end_array(j);
}

static void put_sets(mdr_json *j, const mdr_fabric_set *sets, int n)
{
    mdr_json_object(j, "set");
    for (int i = 0; i < n; i++) {
        if (sets[i].none) {
            mdr_json_null(j, sets[i].key);
        } else {
            mdr_json_number(j, sets[i].key, sets[i].value);
        }
    }
    mdr_json_end_object(j);
}

static void put_cure(mdr_json *j, const mdr_fabric_cure *cure)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "of", cure->of);
    if (cure->is_limit) {
        mdr_json_bool(j, "upper", cure->upper);
        number(j, "limit", cure->limit);
        number(j, "by", cure->by);
    } else {
        number(j, "change_pct", cure->change_pct);
    }
    put_sets(j, cure->sets, cure->n_sets);
    mdr_json_end_object(j);
}

static void put_clashes(mdr_json *j, const mdr_fabric_frame *f)
{
    static const char *const CLASHES[MDR_SPEC_CLASHES] = {
        [MDR_SPEC_WIDTH_AGAINST_SHRINK] = "width_against_shrinkage",
        [MDR_SPEC_GSM_AGAINST_WIDTH] = "gsm_against_width",
        [MDR_SPEC_GSM_AGAINST_SHRINKAGE] = "gsm_against_shrinkage"};
    mdr_json_array(j, "clashes");
    for (int i = 0; i < MDR_SPEC_CLASHES; i++) {
        if (f->answer.clash_frac[i] > 0.0) {
            mdr_json_object(j, NULL);
            mdr_json_text(j, "of", CLASHES[i]);
            number(j, "pct", PCT * f->answer.clash_frac[i]);
            number(j, i == MDR_SPEC_WIDTH_AGAINST_SHRINK ? "by_cm" : "by_gsm", f->apart[i].by);
            mdr_json_bool(j, "above", f->apart[i].above);
            mdr_json_end_object(j);
        }
    }
    mdr_json_end_array(j);
}

static void put_relaxed(mdr_json *j, const mdr_spec_relaxed *r)
{
    mdr_json_object(j, "relaxed");
    number(j, "gsm", r->gsm);
    number(j, "width_cm", r->width_cm);
    mdr_json_end_object(j);
}

static void put_best(mdr_json *j, const mdr_spec_answer *a)
{
    mdr_json_object(j, "best");
    number(j, "width_cm", a->best.width_cm);
    number(j, "gsm", a->best.gsm);
    number(j, "length_shrink_pct", PCT * a->best.length_shrink_frac);
    number(j, "width_shrink_pct", PCT * a->best.width_shrink_frac);
    number(j, "strain_pct", PCT * a->strain);
    mdr_json_end_object(j);
}

static void put_spirality(mdr_json *j, const mdr_spec_spirality *s)
{
    mdr_json_object(j, "spirality");
    number(j, "feeder_pct", s->feeder_pct);
    number(j, "total_pct", s->total_pct);
    number(j, "over_pct", s->over_pct);
    mdr_json_end_object(j);
}

static void put_frame(mdr_json *j, const mdr_fabric_map *m, const mdr_fabric_frame *f)
{
    mdr_json_object(j, NULL);
    number(j, "change_pct", f->change_pct);
    if (f->loop_cm > 0.0) {
        mdr_json_number(j, "loop_cm", f->loop_cm);
    } else {
        mdr_json_null(j, "loop_cm");
    }
    mdr_json_text(j, "verdict", f->answer.feasible ? "met" : "not_met");
    put_relaxed(j, &f->in.relaxed);
    put_best(j, &f->answer);
    put_clashes(j, f);
    if (m->has_spirality) {
        put_spirality(j, &f->spirality);
    }
    mdr_json_array(j, "cures");
    for (int i = 0; i < f->n_cures; i++) {
        put_cure(j, &f->cures[i]);
    }
    mdr_json_end_array(j);
    put_sets(j, f->sets, f->n_sets);
    put_points(j, "allowed", f->allowed.points, f->allowed.n);
    put_points(j, "feasible", f->feasible.points, f->feasible.n);
    mdr_json_array(j, "width_lines");
    for (int i = 0; i < f->n_width_lines; i++) {
        const double pct = f->width_lines_pct[i];
        pair(j, pct, mdr_spec_at_shrink(f->in.relaxed, pct / PCT, 0.0).width_cm);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

void mdr_fabric_map_put(struct mdr_json *j, const void *map)
{
    const mdr_fabric_map *m = map;
    mdr_json_object(j, "map");
    put_window(j, "window", &m->window);
    put_window(j, "box", &m->box);
    mdr_json_array(j, "length_lines");
    for (int i = 0; i < m->n_lines; i++) {
        mdr_json_object(j, NULL);
        number(j, "length_shrink_pct", m->lines[i].shrink_pct);
        put_points(j, "points", m->lines[i].line.points, m->lines[i].line.n);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
    mdr_json_int(j, "now", m->now);
    mdr_json_array(j, "frames");
    for (int i = 0; i < m->n_frames; i++) {
        put_frame(j, m, &m->frames[i]);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}
