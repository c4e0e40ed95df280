/* The map of a fabric question, worked out. */
#include "app/mdr_app_fabric_map.h"

#include <math.h>
#include <stddef.h>

static const double PCT = 100.0;

/* -- what the map shows -- */

static mdr_spec_range reached(mdr_spec_range r, double v)
{
    return (mdr_spec_range){fmin(r.low, v), fmax(r.high, v)};
}

/* Room about it for what moves, ends in round numbers. */
static mdr_spec_range roomy(mdr_spec_range r, double moves_frac)
{
    static const double GRID = 5.0;                     /* cm, g/m2 */
    static const double LEAST_FRAC = 0.04, SHARE = 0.6; /* invented: by eye */
    const double room = fmax(LEAST_FRAC, SHARE * moves_frac) * 0.5 * (r.low + r.high);
    return (mdr_spec_range){GRID * fmax(1.0, floor((r.low - room) / GRID)),
                            GRID * ceil((r.high + room) / GRID)};
}

/* All that was asked for and all that is allowed, with room for the loops. */
static mdr_spec_window window_of(const mdr_fabric_case *c, const mdr_spec_outline *allowed)
{
    const mdr_fabric_ask *q = c->ask;
    if (q->has_window) {
        return (mdr_spec_window){.width_cm = {q->map_width_low_cm, q->map_width_high_cm},
                                 .gsm = {q->map_gsm_low, q->map_gsm_high}};
    }
    mdr_spec_window w = mdr_spec_box(&c->in.demand);
    for (int i = 0; i < allowed->n; i++) {
        w.width_cm = reached(w.width_cm, allowed->points[i].width_cm);
        w.gsm = reached(w.gsm, allowed->points[i].gsm);
    }
    const double moves_frac = q->map_frames > 1 ? q->map_loop_pct / PCT : 0.0;
    w.width_cm = roomy(w.width_cm, moves_frac);
    w.gsm = roomy(w.gsm, moves_frac);
    return w;
}

/* -- lines -- */

/* The step of round per cents that gives not too many lines. */
static double step_pct(double low_frac, double high_frac)
{
    static const double STEPS[] = {1, 2, 5, 10, 20};
    enum { N = (int)(sizeof STEPS / sizeof STEPS[0]) };
    int i = 0;
    while (i < N - 1 && PCT * (high_frac - low_frac) / STEPS[i] > MDR_FABRIC_LINES_USUAL) {
        i++;
    }
    return STEPS[i];
}

/* Its multiples between two shrinkages. Returns how many; what is beyond `out` is left out, and
 * that is a window of many times the fabric. */
static int multiples(double step, double low_frac, double high_frac, double out[MDR_FABRIC_LINES])
{
    const double first = ceil(PCT * low_frac / step), last = floor(PCT * high_frac / step);
    int n = 0;
    while (n < MDR_FABRIC_LINES && first + n <= last) {
        out[n] = step * (first + n);
        n++;
    }
    return n;
}

static mdr_spec_range length_shrinks(mdr_spec_relaxed r, const mdr_spec_window *w)
{
    return (mdr_spec_range){mdr_spec_at(r, w->width_cm.high, w->gsm.high).length_shrink_frac,
                            mdr_spec_at(r, w->width_cm.low, w->gsm.low).length_shrink_frac};
}

static mdr_spec_range width_shrinks(mdr_spec_relaxed r, const mdr_spec_window *w)
{
    return (mdr_spec_range){mdr_spec_at(r, w->width_cm.low, w->gsm.low).width_shrink_frac,
                            mdr_spec_at(r, w->width_cm.high, w->gsm.low).width_shrink_frac};
}

static void put_lines(const mdr_fabric_case *c, mdr_fabric_map *m)
{
    double pct[MDR_FABRIC_LINES];
    const mdr_spec_range s = length_shrinks(c->in.relaxed, &m->window);
    const int n = multiples(step_pct(s.low, s.high), s.low, s.high, pct);
    for (int i = 0; i < n; i++) {
        const mdr_spec_line line = mdr_spec_line_in(c->in.relaxed, pct[i] / PCT, &m->window);
        if (line.n > 0) {
            m->lines[m->n_lines++] = (mdr_fabric_line){.shrink_pct = pct[i], .line = line};
        }
    }
    const mdr_spec_range w = width_shrinks(c->in.relaxed, &m->window);
    m->width_step_pct = step_pct(w.low, w.high);
}

/* -- frames -- */

double mdr_fabric_measured(double v)
{
    static const double PARTS = 100.0;
    return round(v * PARTS) / PARTS;
}

/* The question with the loop changed; false: it could not be asked. */
static bool frame_of(const mdr_fabric_case *c, double change_pct, mdr_fabric_frame *f)
{
    static const double LOOP_STEP_CM = 1e-4; /* finer than a loop can be set */
    *f = (mdr_fabric_frame){.change_pct = change_pct};
    double factor = 1.0 + change_pct / PCT;
    if (c->knit != NULL) {
        f->loop_cm = c->knit->loop_cm;
        if (change_pct != 0.0) { /* as asked it stays as it was asked */
            f->loop_cm = LOOP_STEP_CM * round(factor * c->knit->loop_cm / LOOP_STEP_CM);
            factor = f->loop_cm / c->knit->loop_cm;
            f->change_pct = PCT * (factor - 1.0);
        }
        f->sets[f->n_sets++] = (mdr_fabric_set){.key = "loop_cm", .value = f->loop_cm};
    }
    f->in = mdr_spec_changed(&c->in, MDR_SPEC_LOOP, factor);
    if (c->knit == NULL) {
        if (change_pct != 0.0) {
            f->in.relaxed.gsm = mdr_fabric_measured(f->in.relaxed.gsm);
            f->in.relaxed.width_cm = mdr_fabric_measured(f->in.relaxed.width_cm);
        }
        f->sets[f->n_sets++] = (mdr_fabric_set){.key = "relaxed_gsm", .value = f->in.relaxed.gsm};
        f->sets[f->n_sets++] =
            (mdr_fabric_set){.key = "relaxed_width_cm", .value = f->in.relaxed.width_cm};
    }
    for (int i = 0; i < f->n_sets; i++) {
        if (!mdr_wire_fabric_takes(f->sets[i].key, f->sets[i].value)) {
            return false;
        }
    }
    return mdr_spec_check(&f->in, NULL) == MDR_OK;
}

static void work_out(const mdr_fabric_case *c, const mdr_fabric_map *m, mdr_fabric_frame *f)
{
    f->answer = mdr_spec_answer_of(&f->in);
    f->allowed = mdr_spec_allowed(&f->in);
    f->feasible = mdr_spec_outline_of(f->in.relaxed, &f->answer);
    for (int i = 0; i < MDR_SPEC_CLASHES; i++) {
        f->apart[i] = mdr_spec_apart_of(&f->in, (mdr_spec_clash)i);
    }
    if (c->ask->has_spirality) {
        mdr_knit k = *c->knit;
        k.loop_cm = f->loop_cm;
        f->spirality =
            mdr_spec_spirality_of(&k, c->constants, c->ask->torque_pct, c->ask->spirality_pct);
    }
    const mdr_spec_range w = width_shrinks(f->in.relaxed, &m->window);
    f->n_width_lines = multiples(m->width_step_pct, w.low, w.high, f->width_lines_pct);
    mdr_fabric_cures_find(c, f);
}

mdr_code mdr_fabric_map_make(const mdr_fabric_case *c, mdr_arena *arena, const mdr_fabric_map **out,
                             mdr_err *err)
{
    const int n = c->ask->map_frames, middle = n / 2;
    mdr_fabric_map *m = MDR_NEW(arena, mdr_fabric_map);
    mdr_fabric_frame *frames = MDR_NEW_N(arena, mdr_fabric_frame, (size_t)n);
    if (m == NULL || frames == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the map");
    }
    m->frames = frames;
    const mdr_spec_outline allowed = mdr_spec_allowed(&c->in);
    m->box = mdr_spec_box(&c->in.demand);
    m->window = window_of(c, &allowed);
    m->has_spirality = c->ask->has_spirality;
    put_lines(c, m);
    for (int i = 0; i < n; i++) {
        const double change_pct = middle > 0 ? c->ask->map_loop_pct * (i - middle) / middle : 0.0;
        mdr_fabric_frame *f = &frames[m->n_frames];
        if (frame_of(c, change_pct, f)) {
            work_out(c, m, f);
            m->now = i == middle ? m->n_frames : m->now;
            m->n_frames++;
        }
    }
    *out = m;
    return MDR_OK;
}
