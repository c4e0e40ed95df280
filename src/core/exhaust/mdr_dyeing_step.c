#include <math.h>

#include "core/exhaust/mdr_dyeing_run.h"
#include "core/exhaust/mdr_dyeing_slice.h"

/* Slices that are less than this part of a step in the zone stay alone in it. */
static const double HARDLY = 1e-9;

typedef struct step {
    mdr_dyeing_moment begin, middle, end; /* of one piece of the course */
    double h_min;
} step;

/* Sum over the slices: exchanged = gives - takes C, L and mol. */
typedef struct swap {
    double takes_l, gives_mol;
} swap;

static size_t index_of(const mdr_run *r, int slice)
{
    return (size_t)slice * (size_t)r->in->n_dyes;
}

double *mdr_run_store(const mdr_run *r, int slice, int dye)
{
    return r->store + (index_of(r, slice) + (size_t)dye) * (size_t)r->stride;
}

double mdr_run_on_fibre(const mdr_run *r, const double *store)
{
    double sum = store[MDR_STORE_FIXED];
    for (int p = 0; p < 2 * r->fibre.modes; p++) {
        sum += store[MDR_STORE_A + p];
    }
    return sum;
}

static double all_of(const mdr_run *r, const double *store)
{
    return mdr_run_on_fibre(r, store) +
           r->in->rope.held_l_per_kg * (store[MDR_STORE_LIQUOR] + store[MDR_STORE_HYDROLYSED]);
}

static void oxidise(mdr_run *r)
{
    for (int s = 0; s < r->n_slices; s++) {
        double *store = mdr_run_store(r, s, 0);
        mdr_run_alone(r, s, r->store_min[s], r->t_min, store,
                      &r->slope[s * MDR_SLOPES + MDR_SLOPE_ALONE]);
        r->store_min[s] = r->t_min;
        for (int i = 0; i < r->in->n_dyes; i++) {
            double *d = store + (size_t)i * (size_t)r->stride;
            d[MDR_STORE_FIXED] = mdr_run_on_fibre(r, d);
            for (int p = 0; p < 2 * r->fibre.modes; p++) {
                d[MDR_STORE_A + p] = 0.0;
            }
        }
    }
    r->closed = true;
}

void mdr_run_events(mdr_run *r)
{
    const mdr_dyeing_in *in = r->in;
    for (int k = 0; k < in->n_doses; k++) {
        const mdr_dyeing_dose *d = &in->doses[k];
        if (mdr_course_at_once(d)) {
            const double kg = mdr_course_given_kg(d, r->t_min + MDR_DYEING_HAIR_MIN);
            const double mol = (kg - r->in_kg[k]) / in->dyes[d->dye].molar_kg_per_mol;
            r->bath[d->dye].active_mol += mol;
            r->bath[d->dye].given_mol += mol;
            r->in_kg[k] = kg;
        }
    }
    r->piece = mdr_course_piece(in, r->t_min, r->piece);
    if (!r->closed && mdr_course_at(in, r->piece, r->t_min).oxidises) {
        oxidise(r);
    }
}

static void flow_doses(mdr_run *r, double to_min)
{
    const mdr_dyeing_in *in = r->in;
    for (int i = 0; i < in->n_dyes; i++) {
        r->bath[i].dose_mol = 0.0;
    }
    for (int k = 0; k < in->n_doses; k++) {
        const mdr_dyeing_dose *d = &in->doses[k];
        if (!mdr_course_at_once(d)) {
            const double kg = mdr_course_given_kg(d, to_min);
            r->bath[d->dye].dose_mol += (kg - r->in_kg[k]) / in->dyes[d->dye].molar_kg_per_mol;
            r->in_kg[k] = kg;
        }
    }
}

static void begin_slice(mdr_run *r, const step *now, int slice, double part)
{
    const mdr_dyeing_in *in = r->in;
    double *store = mdr_run_store(r, slice, 0);
    mdr_stage *stage = r->stage + index_of(r, r->n_touched);
    mdr_run_alone(r, slice, r->store_min[slice], r->t_min, store,
                  &r->slope[slice * MDR_SLOPES + MDR_SLOPE_ALONE]);
    r->store_min[slice] = r->t_min;
    r->touched[r->n_touched] = slice;
    const double charge = mdr_slice_charge(r, store);
    const double slope = r->slope[slice * MDR_SLOPES + MDR_SLOPE_ZONE];
    r->charge[r->n_touched] = charge;
    const mdr_drift *tables =
        mdr_slice_tables(r, &now->middle, now->h_min, mdr_slice_pace(r, slice));
    mdr_slice_partitions(r, tables, now->middle.sodium_mol_per_l,
                         mdr_slice_predict(charge, slope, now->h_min), stage);
    for (int i = 0; i < in->n_dyes; i++) {
        stage[i].swap = in->rope.held_l_per_kg * in->rope.exchange_per_min * part * now->h_min;
        mdr_stage_begin(&stage[i], &tables[i], store + (size_t)i * (size_t)r->stride,
                        in->rope.held_l_per_kg);
    }
    r->n_touched++;
}

/* The slices that meet the zone in this step are neighbours on the ring. */
static void begin_tube(mdr_run *r, const step *now, int tube)
{
    const int n = r->in->slices;
    const double zone = r->in->rope.zone_fraction, length = 1.0 / n;
    const double way = now->h_min / r->tube[tube].cycle_min;
    const double turns = (r->t_min - r->in->course[0].t_min) / r->tube[tube].cycle_min;
    const double ahead = turns - floor(turns); /* of slice 0 */
    const double reach = (zone + length + way) * n;
    const int most = reach < n - 1 ? (int)reach + 2 : n;
    const int first = (int)ceil((1.0 - length - way - ahead) * n) - 1;
    for (int k = 0; k < most; k++) {
        const int j = ((first + k) % n + n) % n;
        const double at = ahead + (double)j / n;
        const double part = mdr_zone_part(at - floor(at), length, way, zone);
        if (part > HARDLY) {
            begin_slice(r, now, tube * n + j, part);
        }
    }
}

static swap swap_of(const mdr_run *r, int dye)
{
    swap sum = {0.0, 0.0};
    for (int k = 0; k < r->n_touched; k++) {
        const mdr_stage *g = &r->stage[index_of(r, k) + (size_t)dye];
        const double kg = r->tube[r->touched[k] / r->in->slices].slice_kg;
        const double end = 1.0 - 0.5 * g->s;
        sum.takes_l += kg * g->swap * (1.0 - end * g->swap / g->holds);
        sum.gives_mol += kg * g->swap * (0.5 * g->s * g->c0 + end * g->has / g->holds);
    }
    return sum;
}

/* Bath over the step: its amount becomes the one at the end; returns its mean concentration. The
 * part `loss_l` (of the mean concentration) turns into something else. */
static double bath_step(const step *now, const swap *w, double more_mol, double loss_l,
                        double *amount_mol, double held_l)
{
    const double begin_l = now->begin.liquor_l - held_l, end_l = now->end.liquor_l - held_l;
    const double half = 0.5 * (w->takes_l + loss_l), c0 = *amount_mol / begin_l;
    const double s = mdr_stage_weight(half / begin_l);
    const double c1 =
        (*amount_mol + more_mol + w->gives_mol - half * s * c0) / (end_l + half + (1.0 - s) * half);
    *amount_mol = c1 * end_l;
    return 0.5 * (s * c0 + (2.0 - s) * c1);
}

static const mdr_drift *of_slice(mdr_run *r, const step *now, int slice, int dye)
{
    return &mdr_slice_tables(r, &now->middle, now->h_min, mdr_slice_pace(r, slice))[dye];
}

static void solve_bath(mdr_run *r, const step *now, int dye)
{
    const mdr_dyeing_in *in = r->in;
    const double held_l = in->rope.held_l_per_kg * in->rope.load_kg;
    const double free_l = 0.5 * (now->begin.liquor_l + now->end.liquor_l) - held_l;
    mdr_bath_dye *b = &r->bath[dye];
    const mdr_drift *t =
        &mdr_slice_tables(r, &now->middle, now->h_min, 1.0)[dye]; /* pace is of the fibre only */
    const bool even = in->rope.slice_uptake == NULL;
    const bool turns = t->turns;
    const double loss_l = t->hydrolysis * free_l;
    const swap active = swap_of(r, dye);
    const double mean = bath_step(now, &active, b->dose_mol, loss_l, &b->active_mol, held_l);
    b->given_mol += b->dose_mol;
    for (int k = 0; k < r->n_touched; k++) {
        const int slice = r->touched[k];
        const mdr_drift *tables = even ? t : of_slice(r, now, slice, dye);
        mdr_stage_active(&r->stage[index_of(r, k) + (size_t)dye], tables,
                         mdr_run_store(r, slice, dye), in->rope.held_l_per_kg, mean);
    }
    if (!turns) {
        return;
    }
    const swap hydrolysed = swap_of(r, dye);
    const double turned =
        bath_step(now, &hydrolysed, loss_l * mean, 0.0, &b->hydrolysed_mol, held_l);
    for (int k = 0; k < r->n_touched; k++) {
        const int slice = r->touched[k];
        const mdr_drift *tables = even ? t : of_slice(r, now, slice, dye);
        mdr_stage_hydrolysed(&r->stage[index_of(r, k) + (size_t)dye], tables,
                             mdr_run_store(r, slice, dye), turned);
    }
}

/* What the touched slices hold now; the gap to what was given. */
static void account(mdr_run *r, double h_min)
{
    for (int k = 0; k < r->n_touched; k++) {
        const int slice = r->touched[k];
        const double kg = r->tube[slice / r->in->slices].slice_kg;
        for (int i = 0; i < r->in->n_dyes; i++) {
            double *was = &r->content[index_of(r, slice) + (size_t)i];
            const double is = all_of(r, mdr_run_store(r, slice, i));
            r->bath[i].rope_mol += kg * (is - *was);
            *was = is;
        }
        r->slope[slice * MDR_SLOPES + MDR_SLOPE_ZONE] =
            (mdr_slice_charge(r, mdr_run_store(r, slice, 0)) - r->charge[k]) / h_min;
        r->store_min[slice] = r->t_min;
    }
    for (int i = 0; i < r->in->n_dyes; i++) {
        const mdr_bath_dye *b = &r->bath[i];
        const double gap = b->active_mol + b->hydrolysed_mol + b->rope_mol - b->given_mol;
        r->mass_error = fmax(r->mass_error, fabs(gap) / b->programme_mol);
    }
}

void mdr_run_step(mdr_run *r, double to_min)
{
    const mdr_dyeing_in *in = r->in;
    const double h_min = to_min - r->t_min, middle_min = r->t_min + 0.5 * h_min;
    r->piece = mdr_course_piece(in, middle_min, r->piece);
    const step now = {.begin = mdr_course_at(in, r->piece, r->t_min),
                      .middle = mdr_course_at(in, r->piece, middle_min),
                      .end = mdr_course_at(in, r->piece, to_min),
                      .h_min = h_min};
    flow_doses(r, to_min);
    r->n_touched = 0;
    for (int k = 0; k < in->rope.tubes; k++) {
        begin_tube(r, &now, k);
    }
    for (int i = 0; i < in->n_dyes; i++) {
        solve_bath(r, &now, i);
    }
    r->t_min = to_min;
    r->contacts +=
        h_min / in->rope.cycle_min + h_min * in->rope.flow_l_per_min / now.middle.liquor_l;
    r->steps++;
    account(r, h_min);
}
