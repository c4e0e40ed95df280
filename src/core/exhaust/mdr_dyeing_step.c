#include <math.h>

#include "core/exhaust/mdr_donnan.h"
#include "core/exhaust/mdr_dyeing_run.h"
#include "core/exhaust/mdr_dyeing_slice.h"
#include "core/exhaust/mdr_dyeing_stage.h"

/* Sum over the slices at a station: what they give to the bath is gives - takes C. */
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
    const double *a = store + MDR_STORE_A, *b = a + r->fibre.modes;
    if (r->fibre.modes == FOUR) {
        const four all = OF(a) + OF(b);
        return store[MDR_STORE_FIXED] + SUM(all);
    }
    double active = store[MDR_STORE_FIXED], hydrolysed = 0.0;
    for (int p = 0; p < r->fibre.modes; p++) {
        active += a[p];
        hydrolysed += b[p];
    }
    return active + hydrolysed;
}

static void oxidise(mdr_run *r)
{
    for (int s = 0; s < r->n_slices; s++) {
        mdr_run_alone(r, s, r->t_min);
        mdr_watch_still(r, s);
        for (int i = 0; i < r->in->n_dyes; i++) {
            double *d = mdr_run_store(r, s, i);
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

/* Rates of hydrolysis in the bath, as long as temperature and pH stay. */
static void heat_bath(mdr_run *r, const mdr_climate *m)
{
    if (r->bath_temp_c == m->temp_c && r->bath_ph == m->ph) {
        return;
    }
    for (int i = 0; i < r->in->n_dyes; i++) {
        r->hydrolysis_per_min[i] =
            mdr_dye_hydrolysis_per_min(&r->in->dyes[i], m->temp_c, m->hydroxide);
    }
    r->bath_temp_c = m->temp_c;
    r->bath_ph = m->ph;
}

/* The bath by itself: doses come, dye hydrolyses. */
static void bath_alone(mdr_run *r, double to_min)
{
    const mdr_dyeing_in *in = r->in;
    const double dt_min = to_min - r->t_min;
    const double middle_min = r->t_min + 0.5 * dt_min;
    const mdr_climate m = mdr_slice_climate(r, middle_min);
    heat_bath(r, &m);
    for (int k = 0; k < in->n_doses; k++) {
        const mdr_dyeing_dose *d = &in->doses[k];
        if (!mdr_course_at_once(d)) {
            const double kg = mdr_course_given_kg(d, to_min);
            const double mol = (kg - r->in_kg[k]) / in->dyes[d->dye].molar_kg_per_mol;
            r->bath[d->dye].active_mol += mol;
            r->bath[d->dye].given_mol += mol;
            r->in_kg[k] = kg;
        }
    }
    for (int i = 0; i < in->n_dyes; i++) {
        mdr_bath_dye *b = &r->bath[i];
        const double lost = mdr_drift_lost(r->hydrolysis_per_min[i] * dt_min);
        b->hydrolysed_mol += lost * b->active_mol;
        b->active_mol -= lost * b->active_mol;
    }
    const double liquor_l =
        mdr_course_liquor_l(in, mdr_course_piece(in, middle_min, r->piece), middle_min);
    r->contacts += dt_min / in->rope.cycle_min + dt_min * in->rope.flow_l_per_min / liquor_l;
    r->t_min = to_min;
}

static void begin_slice(mdr_run *r, int slice, const mdr_climate *m, const mdr_step_bath *bath)
{
    const mdr_dyeing_in *in = r->in;
    mdr_stage *stage = r->stage + index_of(r, r->n_touched);
    mdr_run_alone(r, slice, r->t_min - 0.5 * bath->dt_min);
    mdr_watch_come(r, slice, r->t_min - 0.5 * bath->dt_min);
    const mdr_drift *tables = mdr_slice_zone_tables(r, m, slice);
    const double middle = mdr_slice_middle(r, slice, tables, m->sodium_mol_per_l, bath, stage);
    mdr_slice_partitions(r, tables, m->sodium_mol_per_l, middle, stage);
    for (int i = 0; i < in->n_dyes; i++) {
        stage[i].swap = bath->swap_l_per_kg;
        mdr_stage_begin(&stage[i], &tables[i], mdr_run_store(r, slice, i), in->rope.held_l_per_kg);
    }
    r->touched[r->n_touched] = slice;
    r->n_touched++;
}

/* Slices that are at a station now; the station's next one comes a slice's length later. */
static void begin_slices(mdr_run *r, const mdr_climate *m, double bath_l)
{
    const mdr_dyeing_rope *rope = &r->in->rope;
    const int n = r->in->slices;
    mdr_step_bath bath;
    for (int i = 0; i < r->in->n_dyes; i++) {
        bath.active_mol_per_l[i] = r->bath[i].active_mol / bath_l;
        bath.hydrolysed_mol_per_l[i] = r->bath[i].hydrolysed_mol / bath_l;
    }
    r->n_touched = 0;
    for (int k = 0; k < r->in->rope.tubes; k++) {
        mdr_tube *tube = &r->tube[k];
        bath.dt_min = tube->station_min;
        bath.swap_l_per_kg = rope->held_l_per_kg * rope->exchange_per_min * bath.dt_min;
        for (int i = 0; i < r->n_stations; i++) {
            if (tube->next_min[i] <= r->t_min + MDR_DYEING_HAIR_MIN) {
                begin_slice(r, k * n + tube->slice[i], m, &bath);
                tube->slice[i] = (tube->slice[i] + n - 1) % n;
                tube->next_min[i] += tube->cycle_min / n;
            }
        }
    }
}

static swap swap_of(const mdr_run *r, int dye)
{
    swap sum = {0.0, 0.0};
    for (int k = 0; k < r->n_touched; k++) {
        const mdr_stage *g = &r->stage[index_of(r, k) + (size_t)dye];
        const double kg = r->tube[mdr_run_tube(r, r->touched[k])].slice_kg;
        const double end = (1.0 - 0.5 * g->s) * g->per;
        sum.takes_l += kg * g->swap * (1.0 - end * g->swap);
        sum.gives_mol += kg * g->swap * (0.5 * g->s * g->c0 + end * g->has);
    }
    return sum;
}

/* The amount becomes the one after the exchange; returns the mean concentration in it. */
static double exchange(const swap *w, double bath_l, double per_bath_l, double *amount_mol)
{
    const double half = 0.5 * w->takes_l, c0 = *amount_mol * per_bath_l;
    const double s = mdr_stage_weight_one(half * per_bath_l);
    const double c1 =
        (*amount_mol + w->gives_mol - half * s * c0) / (bath_l + half + (1.0 - s) * half);
    *amount_mol = c1 * bath_l;
    return 0.5 * (s * c0 + (2.0 - s) * c1);
}

/* Those that the slice's step began with. Uneven slices share the room for theirs, so that one may have
 * taken another's. */
static const mdr_drift *tables_of(mdr_run *r, const mdr_climate *m, int slice)
{
    return r->in->rope.slice_uptake == NULL ? r->tube[mdr_run_tube(r, slice)].zone.dye
                                            : mdr_slice_zone_tables(r, m, slice);
}

/* Dye by dye in each of the four parts, and not one dye through all: the divisions of one wait for one another,
 * those of several do not. */
static void end_slices(mdr_run *r, const mdr_climate *m, double bath_l)
{
    const int n = r->in->n_dyes;
    const double held = r->in->rope.held_l_per_kg, per_bath_l = 1.0 / bath_l;
    double mean[MDR_DYEING_DYES_MAX];
    for (int i = 0; i < n; i++) {
        const swap active = swap_of(r, i);
        mean[i] = exchange(&active, bath_l, per_bath_l, &r->bath[i].active_mol);
    }
    for (int k = 0; k < r->n_touched; k++) {
        const mdr_drift *tables = tables_of(r, m, r->touched[k]);
        for (int i = 0; i < n; i++) {
            mdr_stage_active(&r->stage[index_of(r, k) + (size_t)i], &tables[i],
                             mdr_run_store(r, r->touched[k], i), held, mean[i]);
        }
    }
    for (int i = 0; i < n; i++) {
        if (r->in->dyes[i].hydrolysis_per_min > 0.0) {
            const swap hydrolysed = swap_of(r, i);
            mean[i] = exchange(&hydrolysed, bath_l, per_bath_l, &r->bath[i].hydrolysed_mol);
        }
    }
    for (int k = 0; k < r->n_touched; k++) {
        const mdr_drift *tables = tables_of(r, m, r->touched[k]);
        for (int i = 0; i < n; i++) {
            if (tables[i].turns) {
                mdr_stage_hydrolysed(&r->stage[index_of(r, k) + (size_t)i], &tables[i],
                                     mdr_run_store(r, r->touched[k], i), mean[i]);
            }
        }
    }
}

/* What the slices hold now; the gap to what was given. */
static void account(mdr_run *r)
{
    const double held = r->in->rope.held_l_per_kg;
    for (int k = 0; k < r->n_touched; k++) {
        const int slice = r->touched[k];
        const mdr_tube *tube = &r->tube[mdr_run_tube(r, slice)];
        mdr_way *way = &r->way[slice];
        double charge = MDR_DONNAN_COTTON_CARBOXYL_MOL_PER_KG;
        for (int i = 0; i < r->in->n_dyes; i++) {
            const double *store = mdr_run_store(r, slice, i);
            const double on = mdr_run_on_fibre(r, store);
            double *was = &r->content[index_of(r, slice) + (size_t)i];
            const double is = on + held * (store[MDR_STORE_LIQUOR] + store[MDR_STORE_HYDROLYSED]);
            r->bath[i].rope_mol += tube->slice_kg * (is - *was);
            *was = is;
            charge += r->in->dyes[i].charge * on;
        }
        const double middle = 0.5 * (charge + way->charge_mol_per_kg);
        way->sure = fabs(way->guess_mol_per_kg - middle) <= way->near_mol_per_kg;
        way->zone_per_min = (charge - way->charge_mol_per_kg) / tube->station_min;
        way->charge_mol_per_kg = charge;
        way->at_min += tube->station_min;
        mdr_watch_go(r, slice);
    }
    for (int i = 0; i < r->in->n_dyes; i++) {
        const mdr_bath_dye *b = &r->bath[i];
        const double gap = b->active_mol + b->hydrolysed_mol + b->rope_mol - b->given_mol;
        r->mass_error = mdr_more(r->mass_error, fabs(gap) / b->programme_mol);
    }
}

static double next_min(const mdr_run *r)
{
    double next = HUGE_VAL;
    for (int k = 0; k < r->in->rope.tubes; k++) {
        for (int i = 0; i < r->n_stations; i++) {
            next = mdr_less(next, r->tube[k].next_min[i]);
        }
    }
    return next;
}

void mdr_run_to(mdr_run *r, double to_min)
{
    const double held_l = r->in->rope.held_l_per_kg * r->in->rope.load_kg;
    double due_min = next_min(r);
    while (due_min <= to_min) {
        bath_alone(r, mdr_more(due_min, r->t_min));
        const double bath_l = mdr_course_liquor_l(r->in, r->piece, r->t_min) - held_l;
        const mdr_climate m = mdr_slice_climate(r, r->t_min);
        begin_slices(r, &m, bath_l);
        end_slices(r, &m, bath_l);
        account(r);
        r->steps++;
        due_min = next_min(r);
    }
    bath_alone(r, to_min);
}
