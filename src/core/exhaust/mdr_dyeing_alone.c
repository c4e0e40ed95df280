#include <math.h>
#include <stdint.h>
#include <string.h>

#include "core/exhaust/mdr_donnan.h"
#include "core/exhaust/mdr_dyeing_run.h"
#include "core/exhaust/mdr_dyeing_slice.h"
#include "core/exhaust/mdr_dyeing_stage.h"

/* A slice's time in the liquor of its own is cut into stretches of at most alone_turns with one
 * partition each, and such a stretch into so many parts (docs/methods/exhaust.md#accuracy). */
static const double PARTS = 2.0;
/* How near the charge in the middle of a step must be to what it leads to, of the fibre's sodium. Where
 * the salt is thin a partition of the charge at its beginning would overshoot by far. */
static const double SETTLED = 0.005;
enum { TRIALS = 15 };
/* A guess is not tried where the last one was right by this part of that, and neither the dye within reach
 * nor the sodium has grown by more. Numerical choices. */
static const double SURE = 0.2, SAME_REACH = 1.25, SAME_SALT = 1.01;
/* Part of a slice's dye in its liquor below which half the steps do. */
static const double DRUNK = 0.02;
/* What part of itself the dye on the fibre may jump by in a stretch because salt comes, and in how many a stretch is
 * cut for it at most. Numerical choices. */
static const double SALT_JUMP = 0.02, SALT_CUTS = 2.0;
/* Step lengths that differ by rounding share their tables. */
static const double TICK_MIN = 1.0 / 1073741824.0;

static bool same(const mdr_drift_set *a, const mdr_drift_set *b)
{
    return a->dt_min == b->dt_min && a->temp_c == b->temp_c && a->ph == b->ph && a->pace == b->pace;
}

/* Where a set of these conditions would stand among so many, a power of two: their bits stirred together. */
static size_t place_of(const double *conditions, size_t n, size_t places)
{
    uint64_t h = 0;
    for (size_t i = 0; i < n; i++) {
        uint64_t bits;
        memcpy(&bits, &conditions[i], sizeof bits);
        h = (h ^ bits) * UINT64_C(0x9e3779b97f4a7c15); /* 2^64 over the golden ratio */
        h ^= h >> 29;
    }
    return (size_t)(h >> 32) & (places - 1);
}

static const mdr_drift_heat *heat_of(mdr_run *r, double dt_min, double temp_c, double pace)
{
    const double of[] = {dt_min, temp_c, pace};
    mdr_heat_set *s = &r->heat[place_of(of, sizeof of / sizeof of[0], MDR_HEAT_SETS)];
    if (s->dt_min == dt_min && s->temp_c == temp_c && s->pace == pace) {
        return s->dye;
    }
    *s = (mdr_heat_set){dt_min, temp_c, pace, s->dye};
    for (int i = 0; i < r->in->n_dyes; i++) {
        const mdr_dye_rates *dye = &r->in->dyes[i];
        const mdr_dye_rates_at heated = mdr_dye_rates_heated(dye, temp_c);
        mdr_drift_heat_make(dye, &heated, &r->fibre, dt_min, pace, &s->dye[i]);
    }
    return s->dye;
}

/* The set for these conditions: as it stands, or made anew. */
static const mdr_drift *refresh(mdr_run *r, const mdr_drift_set *want, double hydroxide,
                                mdr_drift_set *s)
{
    if (same(s, want)) {
        return s->dye;
    }
    mdr_drift *tables = s->dye;
    *s = *want;
    s->dye = tables;
    const mdr_drift_heat *heat = heat_of(r, s->dt_min, s->temp_c, s->pace);
    for (int i = 0; i < r->in->n_dyes; i++) {
        const mdr_dye_rates *dye = &r->in->dyes[i];
        const mdr_dye_rates_at rates = mdr_dye_rates_alkaline(dye, &heat[i].rates, hydroxide);
        mdr_drift_make(dye, &rates, &heat[i], r->fibre.modes, s->dt_min, &tables[i]);
    }
    return tables;
}

static mdr_drift_set conditions(const mdr_climate *m, double dt_min, double pace)
{
    const double ticks = mdr_more(rint(dt_min / TICK_MIN), 1.0);
    return (mdr_drift_set){ticks * TICK_MIN, m->temp_c, m->ph, pace, NULL};
}

const mdr_drift *mdr_slice_tables(mdr_run *r, const mdr_climate *m, double dt_min, double pace)
{
    const mdr_drift_set want = conditions(m, dt_min, pace);
    if (!same(r->last, &want)) {
        const double of[] = {want.dt_min, want.temp_c, want.ph, want.pace};
        r->last = &r->set[place_of(of, sizeof of / sizeof of[0], MDR_DRIFT_SETS)];
    }
    return refresh(r, &want, m->hydroxide, r->last);
}

const mdr_drift *mdr_slice_zone_tables(mdr_run *r, const mdr_climate *m, int slice)
{
    mdr_tube *tube = &r->tube[mdr_run_tube(r, slice)];
    if (r->in->rope.slice_uptake != NULL) {
        return mdr_slice_tables(r, m, tube->station_min, r->in->rope.slice_uptake[slice]);
    }
    const mdr_drift_set want = conditions(m, tube->station_min, 1.0);
    return refresh(r, &want, m->hydroxide, &tube->zone);
}

static mdr_block block_at(const mdr_run *r, double number)
{
    const double begin_min = r->in->course[0].t_min;
    const double end_min = r->in->course[r->in->n_moments - 1].t_min;
    const double block_min = begin_min + (number + 0.5) * r->block_min;
    const double at_min = mdr_less(mdr_more(block_min, begin_min), end_min);
    const int piece = mdr_course_piece(r->in, at_min, r->piece);
    const mdr_dyeing_moment mid = mdr_course_at(r->in, piece, at_min);
    return (mdr_block){number, mid.temp_c, mid.ph, mdr_dye_hydroxide(mid.temp_c, mid.ph)};
}

mdr_climate mdr_slice_climate(mdr_run *r, double middle_min)
{
    /* a slice may begin a little before the course does */
    const double blocks = mdr_more((middle_min - r->in->course[0].t_min) * r->per_block, 0.0);
    const long block = (long)blocks;
    mdr_block *known = &r->block[(unsigned long)block % MDR_BLOCKS];
    if (known->number != (double)block) {
        *known = block_at(r, (double)block);
    }
    const int piece = mdr_course_piece(r->in, middle_min, r->piece);
    const mdr_dyeing_moment *m = &r->in->course[piece];
    const double sodium = m->sodium_mol_per_l, more = m[1].sodium_mol_per_l - sodium;
    return (mdr_climate){known->temp_c, known->ph, known->hydroxide,
                         more == 0.0 ? sodium
                                     : sodium + mdr_course_part(r->in, piece, middle_min) * more};
}

double mdr_slice_pace(const mdr_run *r, int slice)
{
    return r->in->rope.slice_uptake == NULL ? 1.0 : r->in->rope.slice_uptake[slice];
}

double mdr_slice_charge(const mdr_run *r, const double *store)
{
    double z = MDR_DONNAN_COTTON_CARBOXYL_MOL_PER_KG;
    for (int i = 0; i < r->in->n_dyes; i++) {
        z += r->in->dyes[i].charge * mdr_run_on_fibre(r, store + (size_t)i * (size_t)r->stride);
    }
    return z;
}

/* To the power of a dye's charge. */
static double space_of(const mdr_drift *t, double space)
{
    if (t->whole_charge == 0) {
        return t->charge > 0.0 ? pow(space, t->charge) : 1.0;
    }
    double all = space;
    for (int k = 1; k < t->whole_charge; k++) {
        all *= space;
    }
    return all;
}

void mdr_slice_partitions(const mdr_run *r, const mdr_drift *tables, double sodium_mol_per_l,
                          double charge_mol_per_kg, mdr_stage *stage)
{
    const bool salted = sodium_mol_per_l > 0.0;
    const double v = MDR_DONNAN_COTTON_L_PER_KG;
    /* of a charge of one, over V */
    const double space = salted ? v * sodium_mol_per_l /
                                      mdr_donnan_sodium_mol_per_kg(
                                          charge_mol_per_kg, v, sodium_mol_per_l, sodium_mol_per_l)
                                : 0.0;
    for (int i = 0; i < r->in->n_dyes; i++) {
        const double all = r->closed ? 0.0 : space_of(&tables[i], space);
        stage[i].partition = tables[i].affinity_l_per_kg * all;
        stage[i].hydrolysed_partition = tables[i].hydrolysed_affinity_l_per_kg * all;
    }
}

/* A step of a slice tried with a charge of the fibre in its middle. */
typedef struct trial {
    mdr_run *run;
    const mdr_drift *tables;
    const mdr_step_bath *bath; /* NULL: alone */
    const double *store;
    mdr_stage *stage;
    double sodium_mol_per_l, was_mol_per_kg;
    int parts;
} trial;

/* The slice after the step, in the run's spare store; its charge. */
static double charge_after(const trial *t, double middle_mol_per_kg)
{
    mdr_run *r = t->run;
    const double held = r->in->rope.held_l_per_kg;
    memcpy(r->spare, t->store, (size_t)r->in->n_dyes * (size_t)r->stride * sizeof(double));
    mdr_slice_partitions(r, t->tables, t->sodium_mol_per_l, middle_mol_per_kg, t->stage);
    for (int i = 0; i < r->in->n_dyes; i++) {
        double *store = r->spare + (size_t)i * (size_t)r->stride;
        mdr_stage *g = &t->stage[i];
        if (t->bath == NULL) {
            mdr_stage_alone(g, &t->tables[i], store, held, t->parts);
            continue;
        }
        g->swap = t->bath->swap_l_per_kg;
        mdr_stage_begin(g, &t->tables[i], store, held);
        mdr_stage_active(g, &t->tables[i], store, held, t->bath->active_mol_per_l[i]);
        if (t->tables[i].turns) {
            mdr_stage_hydrolysed(g, &t->tables[i], store, t->bath->hydrolysed_mol_per_l[i]);
        }
    }
    return mdr_slice_charge(r, r->spare);
}

static double sodium_in_fibre(const trial *t, double charge_mol_per_kg)
{
    return mdr_donnan_sodium_mol_per_kg(charge_mol_per_kg, MDR_DONNAN_COTTON_L_PER_KG,
                                        t->sodium_mol_per_l, t->sodium_mol_per_l);
}

/* Charge of all dye that the slice could take up in the step. */
static double reach_of(const trial *t)
{
    const mdr_run *r = t->run;
    const double held = r->in->rope.held_l_per_kg;
    double reach = 0.0;
    for (int i = 0; i < r->in->n_dyes; i++) {
        const double *store = t->store + (size_t)i * (size_t)r->stride;
        double near = held * (store[MDR_STORE_LIQUOR] + store[MDR_STORE_HYDROLYSED]);
        if (t->bath != NULL) {
            near += t->bath->swap_l_per_kg *
                    (t->bath->active_mol_per_l[i] + t->bath->hydrolysed_mol_per_l[i]);
        }
        reach += r->in->dyes[i].charge * near;
    }
    return reach;
}

/* The charge in the middle that leads to itself; the run's spare store is as it leads. More of it takes up less, so that it lies between a guess
 * and what the guess leads to; from there by false position, halving when that is slow. */
static double settle(const trial *t, double guess_mol_per_kg)
{
    double g = mdr_more(guess_mol_per_kg, 0.0), low = 0.0, high = 0.0, f_low = 0.0, f_high = 0.0;
    bool has_low = false, has_high = false;
    for (int i = 0; i < TRIALS; i++) {
        const double leads_to = 0.5 * (t->was_mol_per_kg + charge_after(t, g));
        const double f = g - leads_to;
        if (fabs(f) <= SETTLED * sodium_in_fibre(t, g)) {
            return g;
        }
        if (f > 0.0) {
            high = g;
            f_high = f;
            has_high = true;
        } else {
            low = g;
            f_low = f;
            has_low = true;
        }
        if (has_low && has_high) {
            g = i % 3 == 2 ? 0.5 * (low + high) : low - f_low * (high - low) / (f_high - f_low);
        } else {
            g = mdr_more(leads_to, 0.0);
        }
    }
    return g;
}

double mdr_slice_middle(mdr_run *r, int slice, const mdr_drift *tables, double sodium_mol_per_l,
                        const mdr_step_bath *bath, mdr_stage *stage)
{
    mdr_way *way = &r->way[slice];
    const trial t = {r,
                     tables,
                     bath,
                     mdr_run_store(r, slice, 0),
                     stage,
                     sodium_mol_per_l,
                     way->charge_mol_per_kg,
                     1};
    const double guess =
        mdr_more(way->charge_mol_per_kg + 0.5 * way->zone_per_min * bath->dt_min, 0.0);
    const double near = SETTLED * sodium_in_fibre(&t, guess), reach = reach_of(&t);
    /* right last time, with no more dye about now than then, nor salt to drive it: right again */
    const bool known = way->sure && reach <= SAME_REACH * way->reach_mol_per_kg &&
                       sodium_mol_per_l <= SAME_SALT * way->sodium_mol_per_l;
    way->guess_mol_per_kg = guess;
    way->near_mol_per_kg = SURE * near;
    way->reach_mol_per_kg = reach;
    way->sodium_mol_per_l = sodium_mol_per_l;
    /* all dye within reach may leave the partition as it is */
    return known || 0.5 * reach <= near ? guess : settle(&t, guess);
}

/* A slice on its way alone: its own, or a copy to be looked at. */
typedef struct walker {
    int slice;
    bool watched;
    double *store; /* [dye][stride] */
    mdr_way *way;
} walker;

static void stretch(mdr_run *r, const walker *k, double from_min, double dt_min, int parts)
{
    double *store = k->store;
    mdr_way *way = k->way;
    mdr_stage stage[MDR_DYEING_DYES_MAX];
    const mdr_climate m = mdr_slice_climate(r, from_min + 0.5 * dt_min);
    const mdr_drift *tables = mdr_slice_tables(r, &m, dt_min / parts, mdr_slice_pace(r, k->slice));
    const double was = way->charge_mol_per_kg;
    const trial t = {r, tables, NULL, store, stage, m.sodium_mol_per_l, was, parts};
    const double guess = mdr_more(was + 0.5 * way->alone_per_min * dt_min, 0.0);
    if (0.5 * reach_of(&t) <= SETTLED * sodium_in_fibre(&t, guess)) {
        way->charge_mol_per_kg = charge_after(&t, guess);
    } else {
        (void)settle(&t, guess);
        way->charge_mol_per_kg = mdr_slice_charge(r, r->spare);
    }
    if (k->watched) {
        mdr_watch_way(r, k->slice,
                      &(mdr_leg){from_min, from_min + dt_min, store, r->spare,
                                 parts % 2 == 0 ? stage : NULL});
    }
    memcpy(store, r->spare, (size_t)r->in->n_dyes * (size_t)r->stride * sizeof(double));
    way->alone_per_min = (way->charge_mol_per_kg - was) / dt_min;
}

/* Whether so little is left in the liquor that half the steps are as good. */
static bool drunk(const mdr_run *r, const double *store)
{
    const double held = r->in->rope.held_l_per_kg;
    bool all = true;
    for (int i = 0; i < r->in->n_dyes && all; i++) {
        const double *s = store + (size_t)i * (size_t)r->stride;
        all = held * (s[MDR_STORE_LIQUOR] + s[MDR_STORE_HYDROLYSED]) <=
              DRUNK * mdr_run_on_fibre(r, s);
    }
    return all;
}

/* By what part the dye on the fibre follows a part more of sodium, in balance: that of its charge times what of
 * the slice's dye is still in its liquor; of the dye that follows most. */
static double follows(const mdr_run *r, const double *store)
{
    const double held_l_per_kg = r->in->rope.held_l_per_kg;
    double most = 0.0;
    for (int i = 0; i < r->in->n_dyes; i++) {
        const double *s = store + (size_t)i * (size_t)r->stride;
        const double held = held_l_per_kg * (s[MDR_STORE_LIQUOR] + s[MDR_STORE_HYDROLYSED]);
        const double all = held + mdr_run_on_fibre(r, s);
        most = all > 0.0 ? mdr_more(most, r->in->dyes[i].charge * held / all) : most;
    }
    return most;
}

/* In how many each stretch is cut because salt comes meanwhile. A slice in balance with its liquor follows its
 * partition, which a stretch takes for one number: by so much would it seem to jump from stretch to stretch,
 * and slices that are elsewhere on their way to differ. */
static int salted(const mdr_run *r, const walker *w, double until_min, int stretches)
{
    const double from_min = w->way->at_min;
    const int piece = mdr_course_piece(r->in, 0.5 * (from_min + until_min), r->piece);
    const double before = mdr_course_sodium(r->in, piece, from_min);
    const double after = mdr_course_sodium(r->in, piece, until_min);
    if (!(after > before)) {
        return 1;
    }
    const double jump = (after - before) / (after * stretches) * follows(r, w->store);
    return jump > SALT_JUMP ? (int)mdr_less(ceil(jump / SALT_JUMP), SALT_CUTS) : 1;
}

static void walk(mdr_run *r, const walker *w, double until_min)
{
    const double from_min = w->way->at_min, all_min = until_min - from_min;
    const double turn_min = r->tube[mdr_run_tube(r, w->slice)].cycle_min * r->alone_turns;
    if (!(all_min > MDR_DYEING_HAIR_MIN)) {
        return;
    }
    const int most = (int)ceil(all_min / turn_min - 1e-6);
    const int cuts = salted(r, w, until_min, most);
    const bool half = most > 1 && cuts == 1 && drunk(r, w->store);
    const int stretches = half ? (most + 1) / 2 : most * cuts;
    const double dt_min = all_min / stretches;
    const int parts = half       ? (int)PARTS
                      : cuts > 1 ? 1
                                 : (int)ceil(PARTS * dt_min / turn_min - 1e-6);
    for (int k = 0; k < stretches; k++) {
        stretch(r, w, from_min + k * dt_min, dt_min, parts);
    }
    w->way->at_min = until_min;
}

void mdr_run_alone(mdr_run *r, int slice, double until_min)
{
    walk(r, &(walker){slice, true, mdr_run_store(r, slice, 0), &r->way[slice]}, until_min);
}

void mdr_run_look(mdr_run *r, int slice, double *store, double *spare)
{
    mdr_way way = r->way[slice];
    const double all_min = r->t_min - way.at_min;
    const double grid_min = r->tube[mdr_run_tube(r, slice)].cycle_min / MDR_DYEING_STEPS_USUAL;
    const size_t n = (size_t)r->in->n_dyes * (size_t)r->stride;
    if (!(all_min > 0.0)) {
        return;
    }
    const double whole = floor(all_min / grid_min), part = all_min / grid_min - whole;
    walk(r, &(walker){slice, false, store, &way}, way.at_min + whole * grid_min);
    memcpy(spare, store, n * sizeof *spare);
    walk(r, &(walker){slice, false, spare, &way}, way.at_min + grid_min);
    for (size_t i = 0; i < n; i++) {
        store[i] += part * (spare[i] - store[i]);
    }
}
