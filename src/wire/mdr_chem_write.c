/* Chemistry of the lot over time as JSON: columns once, then rows of numbers. */
#include "core/plan/mdr_chem_curve.h"
#include "wire/mdr_plan_out.h"
#include "wire/mdr_wire.h"

static const char *const COLUMNS[] = {"t_min",
                                      "temp_c",
                                      "ph",
                                      "ph_low",
                                      "ph_high",
                                      "salt_g_per_l",
                                      "soda_g_per_l",
                                      "caustic_g_per_l",
                                      "acid_g_per_l",
                                      "peroxide_g_per_l",
                                      "dithionite_g_per_l",
                                      "hardness_dh"};

static void put_columns(mdr_json *j)
{
    mdr_json_array(j, "columns");
    for (size_t i = 0; i < sizeof COLUMNS / sizeof COLUMNS[0]; i++) {
        mdr_json_text(j, NULL, COLUMNS[i]);
    }
    mdr_json_end_array(j);
}

static void put_point(mdr_json *j, const mdr_chem_point *p)
{
    mdr_json_array(j, NULL);
    mdr_json_number(j, NULL, p->t_min);
    mdr_json_number(j, NULL, p->temp_c);
    if (p->ph_known) {
        mdr_json_number(j, NULL, p->ph);
        mdr_json_number(j, NULL, p->ph - p->ph_uncertainty);
        mdr_json_number(j, NULL, p->ph + p->ph_uncertainty);
    } else {
        mdr_json_null(j, NULL);
        mdr_json_null(j, NULL);
        mdr_json_null(j, NULL);
    }
    mdr_json_number(j, NULL, p->salt_g_per_l);
    mdr_json_number(j, NULL, p->soda_g_per_l);
    mdr_json_number(j, NULL, p->caustic_g_per_l);
    mdr_json_number(j, NULL, p->acid_g_per_l);
    mdr_json_number(j, NULL, p->peroxide_g_per_l);
    mdr_json_number(j, NULL, p->dithionite_g_per_l);
    mdr_json_number(j, NULL, p->hardness_dh);
    mdr_json_end_array(j);
}

static void put_bath(mdr_json *j, const mdr_plan *plan, const mdr_plan_bath *b)
{
    mdr_json_object(j, NULL);
    mdr_json_int(j, "number", b->number);
    mdr_json_text(j, "name", b->asked->name);
    mdr_json_text(j, "stage", mdr_stage_kind_id(b->stage->kind));
    mdr_json_number(j, "start_min", mdr_fig_value(&plan->figs, b->start_min));
    mdr_json_number(j, "end_min", mdr_fig_value(&plan->figs, b->end_min));
    mdr_json_end_object(j);
}

static void put_dose(mdr_json *j, const mdr_plan *plan, const mdr_plan_bath *b, int s)
{
    const mdr_plan_step *step = &b->steps[s];
    mdr_json_object(j, NULL);
    mdr_json_int(j, "bath", b->number);
    mdr_json_int(j, "step", s + 1);
    mdr_json_number(j, "start_min", mdr_fig_value(&plan->figs, step->start_min));
    mdr_json_number(j, "end_min", mdr_fig_value(&plan->figs, step->end_min));
    mdr_json_text(j, "text", step->n_items > 0 ? step->items[0].material->name : "");
    mdr_json_int(j, "more", step->n_items > 1 ? step->n_items - 1 : 0);
    mdr_json_end_object(j);
}

static void put_number_or_null(mdr_json *j, const char *key, bool given, double value)
{
    if (given) {
        mdr_json_number(j, key, value);
    } else {
        mdr_json_null(j, key);
    }
}

static void put_check(mdr_json *j, const mdr_plan *plan, const mdr_plan_bath *b, int s)
{
    const mdr_plan_step *step = &b->steps[s];
    const mdr_route_check *c = &step->asked->check;
    const mdr_fig_id value = mdr_plan_expected(b, step);
    mdr_json_object(j, NULL);
    mdr_json_int(j, "bath", b->number);
    mdr_json_int(j, "step", s + 1);
    mdr_json_number(j, "t_min", mdr_fig_value(&plan->figs, step->start_min));
    mdr_json_text(j, "kind", mdr_check_id(c->kind));
    mdr_json_text(j, "words", mdr_check_words(c->kind));
    mdr_json_text(j, "unit", mdr_check_unit(c->kind));
    put_number_or_null(j, "low", c->has_low, c->low);
    put_number_or_null(j, "high", c->has_high, c->high);
    mdr_json_bool(j, "cooled", c->cooled);
    put_number_or_null(j, "value", value != MDR_FIG_NONE, mdr_fig_value(&plan->figs, value));
    mdr_json_end_object(j);
}

static void each_step(mdr_json *j, const mdr_plan *plan, const char *key, mdr_step_kind kind,
                      void (*put)(mdr_json *, const mdr_plan *, const mdr_plan_bath *, int))
{
    mdr_json_array(j, key);
    for (int b = 0; b < plan->n_baths; b++) {
        for (int s = 0; s < plan->baths[b].n_steps; s++) {
            const mdr_plan_step *step = &plan->baths[b].steps[s];
            if (step->asked->kind == kind && (kind != MDR_STEP_DOSE || step->n_items > 0)) {
                put(j, plan, &plan->baths[b], s);
            }
        }
    }
    mdr_json_end_array(j);
}

mdr_code mdr_wire_chemistry(const mdr_plan *plan, mdr_arena *arena, char **text, size_t *len,
                            mdr_err *err)
{
    mdr_chem_curve curve;
    MDR_TRY(mdr_chem_curve_make(plan, arena, &curve, err));
    mdr_json j = mdr_json_make(arena, (size_t)64 * 1024, false);
    mdr_json_object(&j, NULL);
    mdr_json_text(&j, "lot_id", plan->lot->lot_id);
    mdr_json_text(&j, "route_id", plan->route->route_id);
    mdr_json_number(&j, "cold_c", MDR_PLAN_COLD_C);
    put_columns(&j);
    mdr_json_array(&j, "points");
    for (int i = 0; i < curve.n; i++) {
        put_point(&j, &curve.points[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_array(&j, "baths");
    for (int b = 0; b < plan->n_baths; b++) {
        put_bath(&j, plan, &plan->baths[b]);
    }
    mdr_json_end_array(&j);
    each_step(&j, plan, "doses", MDR_STEP_DOSE, put_dose);
    each_step(&j, plan, "checks", MDR_STEP_CHECK, put_check);
    mdr_json_end_object(&j);
    return mdr_json_done(&j, text, len, err);
}
