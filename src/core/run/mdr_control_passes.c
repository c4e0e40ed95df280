/* Checks behind the passes of the finishing line: the fabric and the dryer out of the plan. */
#include "core/finish/mdr_stenter.h"
#include "core/run/mdr_control.h"

static const double LOOK_MIN = 3.0, HALL_C = 25.0; /* common practice */

int mdr_control_passes(const mdr_plan *plan)
{
    int n = 0;
    for (int i = 0; i < plan->route->n_passes; i++) {
        n += plan->route->passes[i].has_check ? 1 : 0;
    }
    return n;
}

static bool compacts_after(const mdr_plan_finish *f, int pass)
{
    for (int i = pass + 1; i < f->n_passes; i++) {
        if (f->passes[i].compacts) {
            return true;
        }
    }
    return false;
}

static mdr_control_drying drying_of(const mdr_plan *plan, int pass)
{
    const mdr_plan_finish *f = plan->finish;
    const mdr_figs *figs = &plan->figs;
    if (f == NULL || pass >= f->n_passes) {
        return (mdr_control_drying){0};
    }
    const mdr_plan_pass *p = &f->passes[pass];
    const mdr_finisher *m = p->machine;
    const double water_kg = mdr_fig_value(figs, p->evaporated_kg);
    return (mdr_control_drying){
        .dry_kg = mdr_fig_value(figs, f->dry_kg),
        .length_m = mdr_fig_value(figs, p->length_m),
        .in_pct = mdr_fig_value(figs, pass > 0 ? f->passes[pass - 1].moisture_pct
                                               : f->start_moisture_pct),
        .out_pct = mdr_fig_value(figs, p->moisture_pct),
        .speed_m_per_min = mdr_fig_value(figs, p->speed_m_per_min),
        .speed_max_m_per_min = m != NULL ? m->speed_max_m_per_min : 0.0,
        .oven_m = m != NULL ? m->oven_m : 0.0,
        .air_c = mdr_fig_value(figs, p->temp_c),
        .air_kg_per_kg = m == NULL                    ? 0.0
                         : m->exhaust_kg_per_kg > 0.0 ? m->exhaust_kg_per_kg
                                                      : MDR_STENTER_EXHAUST_POOR_KG_PER_KG,
        .mj_per_kg = water_kg > 0.0 ? mdr_fig_value(figs, p->heat_mj) / water_kg : 0.0,
        .steams = compacts_after(f, pass)};
}

static mdr_control_check check_of(const mdr_route_check *asked, const mdr_control_drying *d)
{
    return (mdr_control_check){.kind = asked->kind,
                               .has_low = asked->has_low,
                               .has_high = asked->has_high,
                               .has_expected = d->dry_kg > 0.0,
                               .low = asked->low,
                               .high = asked->high,
                               .expected = d->out_pct,
                               .method = asked->method,
                               .remedy = asked->remedy,
                               .on_fail = asked->on_fail};
}

mdr_code mdr_control_take_passes(const mdr_plan *plan, int number, mdr_arena *arena,
                                 mdr_control_bath *bath, mdr_control_step *steps, mdr_err *err)
{
    int n = 0;
    *bath = (mdr_control_bath){.number = number, .name = "Finishing", .stage = "finishing"};
    for (int i = 0; i < plan->route->n_passes; i++) {
        const mdr_route_pass *pass = &plan->route->passes[i];
        if (!pass->has_check) {
            continue;
        }
        mdr_control_state *state = MDR_NEW(arena, mdr_control_state);
        const char *key = mdr_arena_printf(arena, "%d.%d", number, n + 1);
        if (state == NULL || key == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the control recipe");
        }
        *state = (mdr_control_state){.load_kg = mdr_fig_value(&plan->figs, plan->load_kg),
                                     .temp_c = HALL_C,
                                     .dye_class = plan->lot->shade->dye_class,
                                     .dyed = true,
                                     .drying = drying_of(plan, i)};
        steps[n++] = (mdr_control_step){.key = key,
                                        .bath = number,
                                        .kind = MDR_STEP_CHECK,
                                        .note = mdr_route_pass_words(pass->kind),
                                        .start_min = mdr_fig_value(&plan->figs, plan->total_min),
                                        .minutes = LOOK_MIN,
                                        .temp_start_c = HALL_C,
                                        .temp_end_c = HALL_C,
                                        .check = check_of(&pass->check, &state->drying),
                                        .state = state};
    }
    return MDR_OK;
}
