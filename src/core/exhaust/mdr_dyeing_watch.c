/* What is seen of the slices at the times of the samples. A slice is not moved on for being looked at: when
 * it is moved anyway, the samples that lie on its way are taken from a curve through where it was, where
 * it was half-way, and where it is. What it holds in all stays what it is. */
#include <math.h>
#include <string.h>

#include "core/exhaust/mdr_dyeing_run.h"
#include "core/exhaust/mdr_dyeing_slice.h"

static mdr_sight sight_of(const mdr_run *r, const double *store)
{
    const double held = r->in->rope.held_l_per_kg;
    const int modes = r->fibre.modes;
    const double *a = store + MDR_STORE_A, *b = a + modes;
    double active = 0.0, hydrolysed = 0.0;
    for (int p = 0; p < modes; p++) {
        active += a[p];
        hydrolysed += b[p];
    }
    return (mdr_sight){held * (store[MDR_STORE_LIQUOR] + store[MDR_STORE_HYDROLYSED]),
                       store[MDR_STORE_FIXED] + active + hydrolysed, store[MDR_STORE_FIXED],
                       held * store[MDR_STORE_HYDROLYSED] + hydrolysed};
}

/* Within the first step a slice drinks as by a hyperbola whose two steps were in this ratio: between the
 * root of time, as which diffusion begins, and a single exponential. From `EVEN` on it goes over to a line.
 * Numerical choices. */
static const double STEEP = 0.15, EVEN = 0.4;

/* Part of a step that is done at a part `at` of its time, when the next one is `ratio` of it; hyperbola. */
static double done(double ratio, double at)
{
    return at * (1.0 + ratio) / (2.0 * ratio + (1.0 - ratio) * at);
}

/* Through three points at 0, 1 and 2. */
static double along(double y0, double y1, double y2, double at)
{
    const double first = y1 - y0, second = y2 - y1;
    const double ratio = first != 0.0 ? mdr_less(second / first, 1.0) : 1.0;
    if (at < 1.0) {
        const double even = mdr_more((ratio - EVEN) / (1.0 - EVEN), 0.0);
        return y0 + first * done(STEEP + (1.0 - STEEP) * even, at);
    }
    const double q = ratio > 0.0 ? ratio : 1.0, past = at - 1.0;
    return y1 + second * past * 2.0 / (1.0 + q + (1.0 - q) * past);
}

static void note(mdr_run *r, int slice, int dye, int sample, const mdr_sight *s)
{
    const mdr_dyeing_in *in = r->in;
    mdr_watch *w = r->watch;
    const double kg = r->tube[mdr_run_tube(r, slice)].slice_kg;
    mdr_seen *seen = &w->seen[(size_t)sample * (size_t)in->n_dyes + (size_t)dye];
    seen->held_mol += kg * s->held;
    seen->on_fibre_mol += kg * s->on;
    seen->fixed_mol += kg * s->fixed;
    seen->hydrolysed_mol += kg * s->hydrolysed;
    seen->least = seen->slices > 0 ? mdr_less(seen->least, s->on) : s->on;
    seen->most = mdr_more(seen->most, s->on);
    seen->slices++;
    const size_t at =
        ((size_t)sample * (size_t)r->n_slices + (size_t)slice) * (size_t)in->n_dyes + (size_t)dye;
    w->map[at] = (float)(s->on * in->dyes[dye].molar_kg_per_mol);
    w->fixed_map[at] = (float)(s->fixed * in->dyes[dye].molar_kg_per_mol);
}

/* At a station, on a straight line. What it holds in all changes in the middle, when bath and slice are
 * reckoned, and no more can be on the fibre. */
static mdr_sight at_station(const mdr_run *r, int slice, int dye, int sample)
{
    const mdr_stay *stay = &r->watch->stay[slice];
    const size_t at = (size_t)slice * (size_t)r->in->n_dyes + (size_t)dye;
    const mdr_sight *a = &r->watch->came[at], *b = &r->watch->went[at];
    const double part =
        (r->watch->t_min[sample] - stay->from_min) / (stay->to_min - stay->from_min);
    mdr_sight s = sample < stay->after ? *a : *b;
    const double all = s.held + s.on;
    s.on = mdr_less(a->on + part * (b->on - a->on), all);
    s.fixed = mdr_less(a->fixed + part * (b->fixed - a->fixed), s.on);
    s.held = all - s.on;
    return s;
}

static void note_until(mdr_run *r, int slice, int to, const mdr_leg *leg)
{
    mdr_watch *w = r->watch;
    /* differences of sums: below 0 by the last digits where there is nothing */
    const double all_min = leg->to_min - leg->from_min, held = r->in->rope.held_l_per_kg;
    for (int i = 0; i < r->in->n_dyes; i++) {
        const size_t at = (size_t)i * (size_t)r->stride;
        const mdr_sight a = sight_of(r, leg->before + at), b = sight_of(r, leg->after + at);
        const double half = leg->halves != NULL
                                ? a.held + a.on - held * leg->halves[i].half_mol_per_l
                                : 0.5 * (a.on + b.on);
        for (int k = w->next[slice]; k < to; k++) {
            if (w->t_min[k] < w->stay[slice].to_min && w->t_min[k] >= w->stay[slice].from_min) {
                const mdr_sight s = at_station(r, slice, i, k);
                note(r, slice, i, k, &s);
                continue;
            }
            const double way = all_min > 0.0 ? (w->t_min[k] - leg->from_min) / all_min : 1.0;
            const double part = mdr_less(mdr_more(way, 0.0), 1.0);
            mdr_sight s = {.fixed = a.fixed + part * (b.fixed - a.fixed),
                           .hydrolysed = a.hydrolysed + part * (b.hydrolysed - a.hydrolysed),
                           .on = mdr_more(along(a.on, half, b.on, 2.0 * part), 0.0)};
            s.held = mdr_more(a.held + a.on - s.on, 0.0);
            note(r, slice, i, k, &s);
        }
    }
    w->next[slice] = to;
}

void mdr_watch_way(mdr_run *r, int slice, const mdr_leg *leg)
{
    const mdr_watch *w = r->watch;
    int to = w->next[slice];
    while (to < w->n && w->t_min[to] <= leg->to_min) {
        to++;
    }
    if (to > w->next[slice]) {
        note_until(r, slice, to, leg);
    }
}

/* Samples until then at the latest. */
static void note_still(mdr_run *r, int slice, double until_min)
{
    const mdr_watch *w = r->watch;
    int to = w->next[slice];
    while (to < w->n && w->t_min[to] <= until_min) {
        to++;
    }
    if (to > w->next[slice]) {
        const double *store = mdr_run_store(r, slice, 0);
        note_until(r, slice, to, &(mdr_leg){until_min, until_min, store, store, NULL});
    }
}

static void see(const mdr_run *r, int slice, mdr_sight *sights)
{
    for (int i = 0; i < r->in->n_dyes; i++) {
        sights[slice * r->in->n_dyes + i] = sight_of(r, mdr_run_store(r, slice, i));
    }
}

void mdr_watch_come(mdr_run *r, int slice, double from_min)
{
    note_still(r, slice, from_min); /* of the stay before, when it comes from the next station */
    mdr_watch *w = r->watch;
    const double to_min = 2.0 * r->t_min - from_min;
    const double due_min = r->in->course[0].t_min + r->in->sample_min * w->n;
    w->stay[slice].from_min = from_min;
    w->stay[slice].to_min = from_min; /* none that is looked at */
    w->stay[slice].after = w->n;
    if (w->next[slice] < w->n || due_min <= to_min ||
        r->in->course[r->in->n_moments - 1].t_min <= to_min) {
        w->stay[slice].to_min = to_min;
        see(r, slice, w->came);
    }
}

void mdr_watch_go(mdr_run *r, int slice)
{
    if (r->watch->stay[slice].to_min > r->watch->stay[slice].from_min) {
        see(r, slice, r->watch->went);
        note_still(r, slice, r->t_min);
    }
}

void mdr_watch_still(mdr_run *r, int slice)
{
    if (r->watch->next[slice] < r->watch->n) {
        const double *store = mdr_run_store(r, slice, 0);
        note_until(r, slice, r->watch->n, &(mdr_leg){r->t_min, r->t_min, store, store, NULL});
    }
}

void mdr_watch_end(mdr_run *r)
{
    const size_t n = (size_t)r->in->n_dyes * (size_t)r->stride;
    for (int s = 0; s < r->n_slices; s++) {
        double *end = r->watch->end;
        const double *store = mdr_run_store(r, s, 0);
        memcpy(end, store, n * sizeof *end);
        mdr_run_look(r, s, end, end + n);
        note_until(r, s, r->watch->n, &(mdr_leg){r->way[s].at_min, r->t_min, store, end, NULL});
    }
}
