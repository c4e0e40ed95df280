/* What a planned bath is about: questions that card, screen and judgement all ask. */
#include "core/plan/mdr_plan.h"

/* A bath of the after-treatment at or above this is a soap; common practice. */
static const double SOAP_C = 85.0;

bool mdr_plan_step_gives(const mdr_plan_step *step, int substance)
{
    for (int i = 0; i < step->n_items; i++) {
        if (step->items[i].material->substance == substance) {
            return true;
        }
    }
    return false;
}

bool mdr_plan_bath_gives(const mdr_plan_bath *bath, int substance)
{
    for (int s = 0; s < bath->n_steps; s++) {
        if (mdr_plan_step_gives(&bath->steps[s], substance)) {
            return true;
        }
    }
    return false;
}

bool mdr_plan_step_gives_dye(const mdr_plan_step *step)
{
    for (int i = 0; i < step->n_items; i++) {
        if (step->items[i].material->is_dye) {
            return true;
        }
    }
    return false;
}

bool mdr_plan_bath_gives_dye(const mdr_plan_bath *bath)
{
    for (int s = 0; s < bath->n_steps; s++) {
        if (mdr_plan_step_gives_dye(&bath->steps[s])) {
            return true;
        }
    }
    return false;
}

double mdr_plan_bath_hottest_c(const mdr_figs *figs, const mdr_plan_bath *bath)
{
    double most_c = 0.0;
    for (int i = 0; i < bath->n_steps; i++) {
        const double temp_c = mdr_fig_value(figs, bath->steps[i].temp_end_c);
        most_c = temp_c > most_c ? temp_c : most_c;
    }
    return most_c;
}

bool mdr_plan_bath_soaps(const mdr_figs *figs, const mdr_plan_bath *bath)
{
    return bath->stage->kind == MDR_STAGE_AFTER && mdr_plan_bath_hottest_c(figs, bath) >= SOAP_C;
}

bool mdr_plan_bath_last_loose(const mdr_plan *plan, const mdr_plan_bath *bath)
{
    if (bath->loose_mg_per_kg == MDR_FIG_NONE) {
        return false;
    }
    for (int b = 0; b < plan->n_baths; b++) {
        if (plan->baths[b].number > bath->number &&
            plan->baths[b].loose_mg_per_kg != MDR_FIG_NONE) {
            return false;
        }
    }
    return true;
}
