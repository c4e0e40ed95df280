/*
 * mdr_dyeing_slice.h - what a step of one slice needs, alone or in the zone; for the files of this
 * folder only.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust.md#steps
 */
#ifndef MDR_DYEING_SLICE_H
#define MDR_DYEING_SLICE_H

#include "core/exhaust/mdr_dyeing_run.h"

/* What a slice finds in its liquor. */
typedef struct mdr_climate {
    double temp_c, ph, hydroxide, sodium_mol_per_l;
} mdr_climate;

/* Tables of all dyes, [dye]; made when they are not at hand. They last until others are asked for. */
const mdr_drift *mdr_slice_tables(mdr_run *r, const mdr_climate *m, double dt_min, double pace);
/* The same for a slice at a station. */
const mdr_drift *mdr_slice_zone_tables(mdr_run *r, const mdr_climate *m, int slice);
/* The course at the middle of a span as the slices see it: temperature and pH of the block it falls
 * in, so that slices that follow each other share tables; sodium of the very time. */
mdr_climate mdr_slice_climate(mdr_run *r, double middle_min);
double mdr_slice_pace(const mdr_run *r, int slice);
/* Charge of the fibre's carboxyl groups and of all dye on it, mol/kg. */
double mdr_slice_charge(const mdr_run *r, const double *store);
/* What a slice at a station meets. */
typedef struct mdr_step_bath {
    double swap_l_per_kg, dt_min;
    double active_mol_per_l[MDR_DYEING_DYES_MAX], hydrolysed_mol_per_l[MDR_DYEING_DYES_MAX];
} mdr_step_bath;
/* That charge in the middle of a step at a station, so that the partition of the step fits to what it
 * leads to. `stage` is for scratch. */
double mdr_slice_middle(mdr_run *r, int slice, const mdr_drift *tables, double sodium_mol_per_l,
                        const mdr_step_bath *bath, mdr_stage *stage);
/* Sets the partitions of stage[dye]. */
void mdr_slice_partitions(const mdr_run *r, const mdr_drift *tables, double sodium_mol_per_l,
                          double charge_mol_per_kg, mdr_stage *stage);

#endif
