#include <math.h>

#include "core/exhaust/mdr_donnan.h"
#include "core/exhaust/mdr_dyeing_run.h"
#include "core/exhaust/mdr_dyeing_slice.h"

/* A slice's time in the liquor of its own is cut into so many parts a turn at the usual steps;
 * more of them change the uptake of a whole programme by less than 0.1 % of the dye
 * (docs/methods/exhaust.md#accuracy). */
static const double PARTS_PER_TURN = 3.0;
/* Step lengths that differ by rounding share their tables. */
static const double TICK_MIN = 1.0 / 1073741824.0;

const mdr_drift *mdr_slice_tables(mdr_run *r, const mdr_dyeing_moment *m, double dt_min,
                                  double pace)
{
    const double dt = fmax(rint(dt_min / TICK_MIN), 1.0) * TICK_MIN;
    for (int i = 0; i < MDR_DRIFT_SETS; i++) {
        const mdr_drift_set *s = &r->set[i];
        /* bit for bit the same conditions: what else could be told apart is told apart */
        if (!(s->dt_min < dt || s->dt_min > dt || s->temp_c < m->temp_c || s->temp_c > m->temp_c ||
              s->ph < m->ph || s->ph > m->ph || s->pace < pace || s->pace > pace)) {
            return s->dye;
        }
    }
    mdr_drift_set *s = &r->set[r->next_set];
    r->next_set = (r->next_set + 1) % MDR_DRIFT_SETS;
    s->dt_min = dt;
    s->temp_c = m->temp_c;
    s->ph = m->ph;
    s->pace = pace;
    const double hydroxide = mdr_dye_hydroxide(m->temp_c, m->ph);
    for (int i = 0; i < r->in->n_dyes; i++) {
        const mdr_dye_rates *dye = &r->in->dyes[i];
        const mdr_dye_rates_at rates = mdr_dye_rates_when(dye, m->temp_c, hydroxide);
        s->dye[i] = mdr_drift_make(dye, &rates, &r->fibre, dt, pace);
    }
    return s->dye;
}

double mdr_slice_pace(const mdr_run *r, int slice)
{
    return r->in->rope.slice_uptake == NULL ? 1.0 : r->in->rope.slice_uptake[slice];
}

double mdr_slice_charge(const mdr_run *r, const double *store)
{
    double z = 0.0;
    for (int i = 0; i < r->in->n_dyes; i++) {
        z += r->in->dyes[i].charge * mdr_run_on_fibre(r, store + (size_t)i * (size_t)r->stride);
    }
    return z;
}

void mdr_slice_partitions(const mdr_run *r, const mdr_drift *tables, double sodium_mol_per_l,
                          double charge_mol_per_kg, mdr_stage *stage)
{
    const bool salted = sodium_mol_per_l > 0.0;
    double ln_space = 0.0; /* of a charge of one, over V */
    if (salted) {
        const double v = MDR_DONNAN_COTTON_L_PER_KG;
        const double x =
            mdr_donnan_sodium_mol_per_kg(charge_mol_per_kg, v, sodium_mol_per_l, sodium_mol_per_l);
        ln_space = log(v * sodium_mol_per_l / x);
    }
    for (int i = 0; i < r->in->n_dyes; i++) {
        const double z = tables[i].charge;
        const double space = r->closed || (z > 0.0 && !salted) ? 0.0
                             : z > 0.0                         ? exp(z * ln_space)
                                                               : 1.0;
        stage[i].partition = tables[i].affinity_l_per_kg * space;
        stage[i].hydrolysed_partition = tables[i].hydrolysed_affinity_l_per_kg * space;
    }
}

double mdr_slice_predict(double charge_mol_per_kg, double slope, double dt_min)
{
    return fmax(charge_mol_per_kg + 0.5 * slope * dt_min, 0.0);
}

static void parts(mdr_run *r, const mdr_drift *tables, mdr_stage *stage, int n, double *store)
{
    const double held = r->in->rope.held_l_per_kg;
    for (int i = 0; i < r->in->n_dyes; i++) {
        double *s = store + (size_t)i * (size_t)r->stride;
        stage[i].swap = 0.0;
        for (int k = 0; k < n; k++) {
            mdr_stage_begin(&stage[i], &tables[i], s, held);
            mdr_stage_active(&stage[i], &tables[i], s, held, 0.0);
            if (tables[i].turns) {
                mdr_stage_hydrolysed(&stage[i], &tables[i], s, 0.0);
            }
        }
    }
}

void mdr_run_alone(mdr_run *r, int slice, double from_min, double to_min, double *store,
                   double *slope)
{
    const double all_min = to_min - from_min;
    const double turn_min = r->tube[slice / r->in->slices].cycle_min * r->alone_turns;
    if (!(all_min > TICK_MIN)) {
        return;
    }
    const int stretches = (int)ceil(all_min / turn_min - 1e-6);
    const double dt_min = all_min / stretches;
    const int n = (int)ceil(PARTS_PER_TURN * dt_min / turn_min - 1e-6);
    mdr_stage stage[MDR_DYEING_DYES_MAX];
    double charge = mdr_slice_charge(r, store);
    for (int k = 0; k < stretches; k++) {
        const double middle_min = from_min + (k + 0.5) * dt_min;
        const int piece = mdr_course_piece(r->in, middle_min, r->piece);
        const mdr_dyeing_moment m = mdr_course_at(r->in, piece, middle_min);
        const mdr_drift *tables = mdr_slice_tables(r, &m, dt_min / n, mdr_slice_pace(r, slice));
        mdr_slice_partitions(r, tables, m.sodium_mol_per_l,
                             mdr_slice_predict(charge, *slope, dt_min), stage);
        parts(r, tables, stage, n, store);
        const double now = mdr_slice_charge(r, store);
        *slope = (now - charge) / dt_min;
        charge = now;
    }
}
