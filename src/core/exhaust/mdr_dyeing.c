#include "core/exhaust/mdr_dyeing.h"

#include <math.h>
#include <string.h>

#include "core/exhaust/mdr_donnan.h"
#include "core/exhaust/mdr_dyeing_run.h"
#include "core/exhaust/mdr_rope_mark_parts.h"

/* Of a step. Blocks that went into a turn without a rest would always end at the same slices, and make
 * them differ from their neighbours: they shift by the golden ratio. */
static const double BLOCK = 0.9754;

/* Slice j begins at j / slices of a turn, the zone at 0. */
static mdr_code make_tubes(mdr_run *r, mdr_arena *arena, mdr_err *err)
{
    const mdr_dyeing_in *in = r->in;
    const double zone = in->rope.zone_fraction;
    for (int k = 0; k < in->rope.tubes; k++) {
        mdr_tube *t = &r->tube[k];
        const double share = in->rope.tube_share[k];
        t->cycle_min = in->rope.cycle_min * share * in->rope.tubes;
        t->slice_kg = in->rope.load_kg * share / in->slices;
        t->station_min = t->cycle_min * zone / r->n_stations;
        t->next_min = MDR_NEW_N(arena, double, (size_t)r->n_stations);
        t->slice = MDR_NEW_N(arena, int, (size_t)r->n_stations);
        t->zone =
            (mdr_drift_set){.dt_min = -1.0, .dye = MDR_NEW_N(arena, mdr_drift, (size_t)in->n_dyes)};
        if (t->next_min == NULL || t->slice == NULL || t->zone.dye == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the dyeing");
        }
        for (int i = 0; i < r->n_stations; i++) {
            const double at = zone * (i + 0.5) / r->n_stations * in->slices - 0.5;
            const double slice = floor(at); /* its middle comes there first */
            t->slice[i] = ((int)slice + in->slices) % in->slices;
            t->next_min[i] = r->t_min + t->cycle_min * (at - slice) / in->slices;
        }
    }
    return MDR_OK;
}

mdr_code mdr_run_make(const mdr_dyeing_in *in, mdr_arena *arena, mdr_run **out, mdr_err *err)
{
    mdr_run *r = MDR_NEW(arena, mdr_run);
    if (r == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the dyeing");
    }
    const int modes = in->modes > 0 ? in->modes : MDR_DYEING_MODES_USUAL;
    const int steps = in->steps_per_turn > 0 ? in->steps_per_turn : MDR_DYEING_STEPS_USUAL;
    const size_t slices = (size_t)in->slices * (size_t)in->rope.tubes, dyes = (size_t)in->n_dyes;
    r->in = in;
    r->fibre = mdr_cylinder_of(modes);
    r->stride = MDR_STORE_A + 2 * modes;
    r->n_slices = (int)slices;
    r->alone_turns = 0.5 * MDR_DYEING_STEPS_USUAL / steps;
    r->block_min = BLOCK * in->rope.cycle_min / steps;
    r->per_block = 1.0 / r->block_min;
    r->n_stations = (int)ceil(in->rope.zone_fraction * steps - 1e-9);
    r->t_min = in->course[0].t_min;
    r->store = MDR_NEW_N(arena, double, slices * 2 * dyes * (size_t)r->stride);
    r->content = MDR_NEW_N(arena, double, slices *dyes);
    r->way = MDR_NEW_N(arena, mdr_way, slices);
    r->spare = MDR_NEW_N(arena, double, dyes *(size_t)r->stride);
    r->in_kg = MDR_NEW_N(arena, double, (size_t)in->n_doses);
    r->touched = MDR_NEW_N(arena, int, slices);
    r->stage = MDR_NEW_N(arena, mdr_stage, slices * dyes);
    mdr_rope_tables tables = mdr_rope_tables_of(in->trails, in->n_dyes);
    if (tables.drift == NULL) {
        tables.drift = MDR_NEW_N(arena, mdr_drift, MDR_DRIFT_SETS * dyes);
        tables.heat = MDR_NEW_N(arena, mdr_drift_heat, MDR_HEAT_SETS * dyes);
    }
    if (tables.heat == NULL || r->store == NULL || r->content == NULL || r->way == NULL ||
        r->spare == NULL || r->in_kg == NULL || r->touched == NULL || r->stage == NULL ||
        tables.drift == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the dyeing");
    }
    for (size_t i = 0; i < MDR_DRIFT_SETS; i++) {
        r->set[i] = (mdr_drift_set){.dt_min = -1.0, .dye = tables.drift + i * dyes};
    }
    for (size_t i = 0; i < MDR_HEAT_SETS; i++) {
        r->heat[i] = (mdr_heat_set){.dt_min = -1.0, .dye = tables.heat + i * dyes};
    }
    for (size_t i = 0; i < MDR_BLOCKS; i++) {
        r->block[i].number = -1.0;
    }
    r->bath_ph = -1.0;
    for (size_t s = 0; s < slices; s++) {
        r->way[s].at_min = r->t_min;
        r->way[s].charge_mol_per_kg = MDR_DONNAN_COTTON_CARBOXYL_MOL_PER_KG;
    }
    r->last = &r->set[0];
    MDR_TRY(make_tubes(r, arena, err));
    for (int i = 0; i < in->n_doses; i++) {
        const mdr_dyeing_dose *d = &in->doses[i];
        r->bath[d->dye].programme_mol += d->kg / in->dyes[d->dye].molar_kg_per_mol;
    }
    *out = r;
    return MDR_OK;
}

/* The answer while it is written. */
typedef struct answer {
    mdr_dyeing head;
    mdr_watch watch;
    double *held, *on_fibre, *fixed, *hydrolysed, *strike, *spread;
    int summed; /* samples that are */
} answer;

static mdr_code make_answer(const mdr_run *r, mdr_arena *arena, answer *a, mdr_err *err)
{
    const mdr_dyeing_in *in = r->in;
    mdr_watch *w = &a->watch;
    const double all_min = in->course[in->n_moments - 1].t_min - in->course[0].t_min;
    const size_t most = (size_t)(all_min / in->sample_min) + 3, dyes = (size_t)in->n_dyes;
    double **per_dye[] = {&w->given, &w->bath_active, &w->bath_hydrolysed, &a->held,  &a->on_fibre,
                          &a->fixed, &a->hydrolysed,  &a->strike,          &a->spread};
    bool ok = true;
    for (size_t i = 0; i < sizeof per_dye / sizeof per_dye[0]; i++) {
        *per_dye[i] = MDR_NEW_N(arena, double, most *dyes);
        ok = ok && *per_dye[i] != NULL;
    }
    w->contacts = MDR_NEW_N(arena, double, most);
    w->t_min = MDR_NEW_N(arena, double, most);
    w->seen = MDR_NEW_N(arena, mdr_seen, most * dyes);
    w->map = MDR_NEW_N(arena, float, most *(size_t)r->n_slices *dyes);
    w->fixed_map = MDR_NEW_N(arena, float, most *(size_t)r->n_slices *dyes);
    w->next = MDR_NEW_N(arena, int, (size_t)r->n_slices);
    w->stay = MDR_NEW_N(arena, mdr_stay, (size_t)r->n_slices);
    w->came = MDR_NEW_N(arena, mdr_sight, (size_t)r->n_slices * dyes);
    w->went = MDR_NEW_N(arena, mdr_sight, (size_t)r->n_slices * dyes);
    w->end = MDR_NEW_N(arena, double, 2 * dyes * (size_t)r->stride);
    if (!ok || w->contacts == NULL || w->t_min == NULL || w->seen == NULL || w->map == NULL ||
        w->fixed_map == NULL || w->next == NULL || w->stay == NULL || w->came == NULL ||
        w->went == NULL || w->end == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the answer");
    }
    for (int s = 0; s < r->n_slices; s++) {
        w->stay[s].from_min = w->stay[s].to_min = in->course[0].t_min;
    }
    a->head.n_dyes = in->n_dyes;
    a->head.n_slices = r->n_slices;
    return MDR_OK;
}

/* What is known at once; the slices follow. */
static void sample(const mdr_run *r, mdr_watch *w)
{
    const int n = r->in->n_dyes, at = w->n;
    w->t_min[at] = r->t_min;
    w->contacts[at] = r->contacts;
    for (int i = 0; i < n; i++) {
        const mdr_bath_dye *b = &r->bath[i];
        w->given[at * n + i] = b->given_mol / b->programme_mol;
        w->bath_active[at * n + i] = b->active_mol / b->programme_mol;
        w->bath_hydrolysed[at * n + i] = b->hydrolysed_mol / b->programme_mol;
    }
    w->n++;
}

/* Over the last minute, or since the sample before where that is longer. */
static void strike_at(const mdr_run *r, answer *a, int at)
{
    const int n = r->in->n_dyes;
    const double now = a->watch.t_min[at];
    const double from = fmin(now - MDR_STRIKE_WINDOW_MIN, a->watch.t_min[at - 1]);
    int i = at - 1;
    while (i > 0 && a->watch.t_min[i] > from) {
        i--;
    }
    /* before the first sample nothing has happened yet */
    const double step = a->watch.t_min[i + 1] - a->watch.t_min[i];
    const double part = fmax((from - a->watch.t_min[i]) / step, 0.0);
    const double pace = (a->watch.contacts[at] - a->watch.contacts[i]) / (now - a->watch.t_min[i]);
    for (int k = 0; k < n; k++) {
        const double *before = &a->on_fibre[i * n + k];
        const double was = before[0] + part * (before[n] - before[0]);
        a->strike[at * n + k] = 100.0 * (a->on_fibre[at * n + k] - was) / (pace * (now - from));
    }
}

/* All slices have been seen at these samples. */
static void sum_up(const mdr_run *r, answer *a, int until)
{
    const mdr_dyeing_in *in = r->in;
    for (int k = a->summed * in->n_dyes; k < until * in->n_dyes; k++) {
        const mdr_seen *s = &a->watch.seen[k];
        const double all = r->bath[k % in->n_dyes].programme_mol;
        const double mean = s->on_fibre_mol / in->rope.load_kg;
        a->held[k] = s->held_mol / all;
        a->on_fibre[k] = s->on_fibre_mol / all;
        a->fixed[k] = s->fixed_mol / all;
        a->hydrolysed[k] = a->watch.bath_hydrolysed[k] + s->hydrolysed_mol / all;
        a->spread[k] = mean > 0.0 ? (s->most - s->least) / mean : 0.0;
    }
    for (int k = a->summed > 0 ? a->summed : 1; k < until; k++) {
        strike_at(r, a, k);
    }
    a->summed = until;
}

/* Whether a dye strikes too fast at a sample that all slices have been seen at; no later one is summed then. */
static bool strikes_too_fast(const mdr_run *r, answer *a)
{
    const mdr_dyeing_in *in = r->in;
    const size_t dyes = (size_t)in->n_dyes;
    while (in->strike_most_pct > 0.0 && a->summed < a->watch.n &&
           a->watch.seen[(size_t)a->summed * dyes].slices == r->n_slices) {
        const size_t at = (size_t)a->summed * dyes;
        sum_up(r, a, a->summed + 1);
        for (size_t i = 0; i < dyes; i++) {
            if (a->strike[at + i] > in->strike_most_pct) {
                return true;
            }
        }
    }
    return false;
}

static void put_answer(const mdr_run *r, answer *a)
{
    mdr_dyeing *d = &a->head;
    d->t_min = a->watch.t_min;
    d->n_samples = a->summed;
    d->given = a->watch.given;
    d->bath_active = a->watch.bath_active;
    d->bath_hydrolysed = a->watch.bath_hydrolysed;
    d->held = a->held;
    d->on_fibre = a->on_fibre;
    d->fixed = a->fixed;
    d->hydrolysed = a->hydrolysed;
    d->strike_per_contact_pct = a->strike;
    d->spread = a->spread;
    d->contacts = a->watch.contacts;
    d->map = a->watch.map;
    d->fixed_map = a->watch.fixed_map;
    d->mass_error = r->mass_error;
    d->steps = r->steps;
}

/* From the first sample, or from one that was taken up, to the end. */
static void way_through(mdr_run *r, answer *a)
{
    const mdr_dyeing_in *in = r->in;
    const double begin_min = in->course[0].t_min, end_min = in->course[in->n_moments - 1].t_min;
    while (r->t_min < end_min) {
        const double due_min = begin_min + in->sample_min * a->watch.n;
        double stop_min = fmin(mdr_course_next_min(in, r->t_min), due_min);
        if (stop_min > end_min - MDR_DYEING_HAIR_MIN) {
            stop_min = end_min;
        }
        mdr_run_to(r, stop_min);
        mdr_run_events(r);
        if (stop_min >= due_min - MDR_DYEING_HAIR_MIN || stop_min >= end_min) {
            sample(r, &a->watch);
            mdr_rope_mark(in->trails, r);
            a->head.cut_short = strikes_too_fast(r, a);
        }
        if (a->head.cut_short) {
            return;
        }
    }
    mdr_watch_end(r);
    a->head.cut_short = strikes_too_fast(r, a);
    if (!a->head.cut_short) {
        sum_up(r, a, a->watch.n);
    }
}

mdr_code mdr_dyeing_run_base(const mdr_dyeing_in *in, mdr_arena *arena, const mdr_dyeing **out,
                             mdr_err *err)
{
    mdr_run *r = NULL;
    MDR_TRY(mdr_dyeing_check(in, err));
    MDR_TRY(mdr_run_make(in, arena, &r, err));
    if (r == NULL) { /* only to those who cannot see that it was made */
        MDR_UNREACHABLE();
    }
    answer *a = MDR_NEW(arena, answer);
    if (a == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the answer");
    }
    MDR_TRY(make_answer(r, arena, a, err));
    r->watch = &a->watch;
    mdr_run_events(r);
    sample(r, &a->watch);
    mdr_rope_take_up(in->trails, r);
    way_through(r, a);
    mdr_rope_leave(in->trails, r);
    put_answer(r, a);
    *out = &a->head;
    return MDR_OK;
}
