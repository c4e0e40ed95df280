/* What stands in the vessel at a hold point, out of the plan. */
#include <math.h>

#include "core/run/mdr_control.h"

/* How far the dyeing is when a step of a bath is reached. */
typedef struct progress {
    bool dyed, dyebath, fixing;
} progress;

static bool gives_alkali(const mdr_plan_step *s)
{
    return mdr_plan_step_gives(s, MDR_SUB_NA2CO3) || mdr_plan_step_gives(s, MDR_SUB_NAOH);
}

/* Steps are walked as they stand: a dose beside others counts from where it begins. */
static void walk(const mdr_plan_bath *bath, int until, progress *p)
{
    if (!bath->continues) {
        p->dyebath = p->fixing = false;
    }
    for (int i = 0; i < until; i++) {
        const mdr_plan_step *s = &bath->steps[i];
        p->fixing = p->fixing || (p->dyebath && gives_alkali(s));
        if (mdr_plan_step_gives_dye(s)) {
            p->dyed = p->dyebath = true;
        }
        if (s->asked->kind == MDR_STEP_DRAIN) {
            p->dyebath = p->fixing = false;
        }
    }
}

mdr_control_state mdr_control_state_at(const mdr_plan *plan, int bath, int step)
{
    const mdr_figs *f = &plan->figs;
    const mdr_plan_bath *b = &plan->baths[bath - 1];
    const mdr_plan_step *s = &b->steps[step - 1];
    progress p = {0};
    for (int i = 0; i < bath - 1; i++) {
        walk(&plan->baths[i], plan->baths[i].n_steps, &p);
    }
    walk(b, step - 1, &p);
    const int dye_class = plan->lot->shade->dye_class;
    mdr_control_state out = {
        .load_kg = mdr_fig_value(f, plan->load_kg),
        .liquor_l = s->liquor_end_l,
        .temp_c = mdr_fig_value(f, s->temp_end_c),
        .retained_l_per_kg = plan->lot->article->retained_l_per_kg,
        .loose_mg_per_kg = mdr_fig_value(f, b->loose_mg_per_kg),
        .fix_temp_c = mdr_plan_bath_hottest_c(f, b),
        .minutes_left = fmax(0.0, mdr_fig_value(f, b->end_min) - mdr_fig_value(f, s->end_min)),
        .dye_class = dye_class,
        .dyed = p.dyed,
        .dyebath = p.dyebath,
        .fixing = p.fixing && dye_class == MDR_CLASS_REACTIVE};
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        out.dissolved_kg[i] = mdr_fig_value(f, s->dissolved_kg[i]);
    }
    return out;
}
