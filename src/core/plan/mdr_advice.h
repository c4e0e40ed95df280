/*
 * mdr_advice.h - loading advice: an order split into equal lots over the machines that can run it.
 *
 * Layer: core/plan, pure. Equal lots, because equal load, ratio and rope cycle are what makes the
 * lots of one order come out alike. Methods: docs/methods/loading.md#splitting-an-order
 */
#ifndef MDR_ADVICE_H
#define MDR_ADVICE_H

#include "core/plan/mdr_plan.h"
#include "core/plan/mdr_records.h"

/* Grey kilograms that give so many finished ones: finished / (1 - loss). finished_kg >= 0,
 * loss_pct in [0, 40]. Source: definition; losses divide, they never multiply. */
double mdr_grey_need_kg(double finished_kg, double loss_pct);

/* One way to run the order. */
typedef struct mdr_advice {
    const mdr_machine *machine;
    int lots; /* equal lots, one after the other or on sister machines */
    double lot_kg;
    double fill_pct;       /* of the machine's largest load, 0..100 */
    double ratio_l_per_kg; /* it will really run at */
    double liquor_l;       /* water of one bath, all lots together */
    double rope_m, cycle_min;
    bool suits;          /* false: see reasons */
    mdr_warn reasons[6]; /* why it is good, or why not; sentences "advice.<id>" */
    int n_reasons;
} mdr_advice;

typedef struct mdr_advice_in {
    double order_kg; /* grey kg, > 0 */
    const mdr_article *article;
    double ratio_l_per_kg;      /* wanted; 0: the machine's least */
    bool leave_sample_machines; /* do not offer machines of kind sample */
    const mdr_machine *machines;
    int n_machines;
} mdr_advice_in;

/*
 * One entry a machine, best first: those that suit before those that do not, then fewer lots,
 * then less water, then fuller.
 *   errors   MDR_E_RANGE order_kg or an article field; MDR_E_NOMEM
 */
mdr_code mdr_advice_make(const mdr_advice_in *in, mdr_arena *arena, mdr_advice **out, int *n_out,
                         mdr_err *err) MDR_MUST_CHECK;

#endif
