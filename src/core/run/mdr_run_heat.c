#include "core/run/mdr_run_heat.h"

#include <math.h>
#include <stddef.h>

#include "core/bath/mdr_heat.h"

static const double KJ_PER_MJ = 1000.0;

const char *mdr_heat_from_id(mdr_heat_from k)
{
    return k == MDR_HEAT_FROM_RECORD ? "record" : k == MDR_HEAT_FROM_PLAN ? "plan" : NULL;
}

static double steam_kg(const mdr_control *c, const mdr_control_step *s, double rise_c)
{
    return mdr_heat_steam_kg(mdr_heat_capacity_kj_per_k(c->load_kg, s->liquor_l, c->steel_kg),
                             rise_c, c->steam_kj_per_kg);
}

/* A remedy was never planned: by the same rule as the plan's. */
static double foreseen_kg(const mdr_control *c, const mdr_batch_step *s)
{
    const mdr_control_step *asked = s->asked;
    return s->remedy == 0 ? asked->steam_kg
           : asked->kind == MDR_STEP_HEAT
               ? fmax(0.0, steam_kg(c, asked, asked->temp_end_c - asked->temp_start_c))
               : 0.0;
}

/* How much hotter than planned it began: as it was recorded, else as the step just before it in the
 * same bath was left; else as planned. */
static double began_off_c(const mdr_run_report *r, int at)
{
    const mdr_report_step *line = &r->steps[at];
    const mdr_control_step *asked = line->step->asked;
    if (line->has_temp_begun) {
        return line->temp_begun_c - asked->temp_start_c;
    }
    const mdr_report_step *before = at > 0 ? &r->steps[at - 1] : NULL;
    return before != NULL && before->has_temp_ended && before->step->asked->bath == asked->bath
               ? before->temp_ended_c - asked->temp_start_c
               : 0.0;
}

/* A ramp, and a fill that steam brings to its temperature, say by their ends what they took. */
static double taken_kg(const mdr_run_report *r, int at, double foreseen)
{
    const mdr_report_step *line = &r->steps[at];
    const mdr_control_step *asked = line->step->asked;
    const double ended_off_c = line->has_temp_ended ? line->temp_ended_c - asked->temp_end_c : 0.0;
    const double off_c = asked->kind == MDR_STEP_HEAT   ? ended_off_c - began_off_c(r, at)
                         : asked->kind == MDR_STEP_FILL ? ended_off_c
                                                        : 0.0;
    return fmax(0.0, foreseen + steam_kg(r->batch->control, asked, off_c));
}

static void heat_line(mdr_run_report *r, int at)
{
    mdr_report_step *line = &r->steps[at];
    const mdr_batch_step *s = line->step;
    const double foreseen = foreseen_kg(r->batch->control, s);
    const bool heats = foreseen > 0.0 || s->asked->kind == MDR_STEP_HEAT;
    line->planned_steam_kg = s->remedy == 0 ? s->asked->steam_kg : 0.0;
    if (!heats || (s->state != MDR_STEP_DONE && s->state != MDR_STEP_RUNS)) {
        return;
    }
    line->actual_steam_kg = taken_kg(r, at, foreseen);
    line->heat_from = line->has_temp_ended && s->asked->kind != MDR_STEP_DOSE ? MDR_HEAT_FROM_RECORD
                                                                              : MDR_HEAT_FROM_PLAN;
    r->actual_steam_kg += line->actual_steam_kg;
    r->n_heating++;
    r->n_heat_recorded += line->heat_from == MDR_HEAT_FROM_RECORD ? 1 : 0;
}

void mdr_run_report_heat(mdr_run_report *r)
{
    const mdr_control *c = r->batch->control;
    r->has_steam = c->steam_kj_per_kg > 0.0;
    r->planned_steam_kg = c->steam_kg;
    if (!r->has_steam) {
        return;
    }
    for (int i = 0; i < r->batch->n_steps; i++) {
        heat_line(r, i);
    }
    r->planned_heat_mj = r->planned_steam_kg * c->steam_kj_per_kg / KJ_PER_MJ;
    r->actual_heat_mj = r->actual_steam_kg * c->steam_kj_per_kg / KJ_PER_MJ;
}
