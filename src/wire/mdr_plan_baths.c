#include "wire/mdr_plan_out.h"

/* A quantity of a record that holds it under the same name. */
#define QUANTITY(record, member) mdr_out_quantity(o, #member, (record)->member)

static void put_item(mdr_plan_out *o, const mdr_plan_item *item)
{
    mdr_json *j = &o->j;
    const mdr_material *m = item->material;
    mdr_json_object(j, NULL);
    mdr_json_text(j, "material_id", m->material_id);
    mdr_json_text(j, "name", m->name);
    mdr_json_text(j, "form", mdr_form_words((mdr_form)m->form));
    mdr_json_text(j, "basis", mdr_basis_id(item->asked->basis));
    mdr_json_text(j, "basis_words", mdr_basis_words(item->asked->basis));
    mdr_json_bool(j, "of_active", item->asked->of_active);
    mdr_json_text(j, "table_id", item->asked->table_id);
    QUANTITY(item, amount);
    QUANTITY(item, active_kg);
    QUANTITY(item, mass_kg);
    QUANTITY(item, volume_l);
    QUANTITY(item, conc_g_per_l);
    QUANTITY(item, cost_minor);
    mdr_out_cautions(o, m->cautions);
    mdr_json_end_object(j);
}

static void put_check(mdr_plan_out *o, const mdr_plan_bath *bath, const mdr_plan_step *step)
{
    mdr_out_check(o, &step->asked->check, mdr_plan_expected(bath, step));
}

static void put_curve(mdr_json *j, const mdr_route_step *s)
{
    if (s->kind != MDR_STEP_DOSE) {
        mdr_json_null(j, "curve");
        return;
    }
    mdr_json_object(j, "curve");
    mdr_json_text(j, "kind", mdr_curve_id(s->curve));
    mdr_json_text(j, "words", mdr_curve_words(s->curve));
    mdr_json_number(j, "exponent", s->exponent);
    mdr_json_int(j, "portions", s->portions);
    mdr_json_end_object(j);
}

/* Where the step stands in the route: stage, bath in it, step in it; 0-based. */
static void put_place(mdr_plan_out *o, const mdr_plan_bath *bath, const mdr_plan_step *step)
{
    mdr_json_array(&o->j, "at");
    mdr_json_int(&o->j, NULL, bath->stage - o->plan->route->stages);
    mdr_json_int(&o->j, NULL, bath->asked - bath->stage->baths);
    mdr_json_int(&o->j, NULL, step->asked - bath->asked->steps);
    mdr_json_end_array(&o->j);
}

static void put_step(mdr_plan_out *o, const mdr_plan_bath *bath, const mdr_plan_step *s)
{
    mdr_json *j = &o->j;
    mdr_json_object(j, NULL);
    mdr_json_text(j, "kind", mdr_step_kind_id(s->asked->kind));
    mdr_json_text(j, "words", mdr_step_kind_words(s->asked->kind));
    mdr_json_text(j, "note", s->asked->note);
    put_place(o, bath, s);
    QUANTITY(s, start_min);
    QUANTITY(s, minutes);
    QUANTITY(s, end_min);
    QUANTITY(s, temp_start_c);
    QUANTITY(s, temp_end_c);
    QUANTITY(s, volume_l);
    QUANTITY(s, water_temp_c);
    QUANTITY(s, steam_kg);
    QUANTITY(s, kept_fraction);
    QUANTITY(s, tank_water_l);
    QUANTITY(s, tank_loads);
    QUANTITY(s, least_minutes);
    QUANTITY(s, cycles);
    QUANTITY(s, ph);
    QUANTITY(s, ph_cold);
    QUANTITY(s, peroxide_mg_per_l);
    QUANTITY(s, dithionite_g_per_l);
    if (s->ph != MDR_FIG_NONE) {
        mdr_json_number(j, "uncertainty_ph", s->ph_uncertainty);
    } else {
        mdr_json_null(j, "uncertainty_ph");
    }
    mdr_json_bool(j, "beside", s->beside);
    mdr_json_number(j, "liquor_start_l", s->liquor_start_l);
    mdr_json_number(j, "liquor_end_l", s->liquor_end_l);
    mdr_json_number(j, "rate_c_per_min", s->asked->rate_c_per_min);
    mdr_out_cautions(o, s->cautions);
    put_curve(j, s->asked);
    mdr_json_number(j, "share_pct", s->asked->share_pct);
    mdr_json_array(j, "items");
    for (int i = 0; i < s->n_items; i++) {
        put_item(o, &s->items[i]);
    }
    mdr_json_end_array(j);
    if (s->asked->kind == MDR_STEP_CHECK) {
        put_check(o, bath, s);
    } else {
        mdr_json_null(j, "check");
    }
    mdr_json_end_object(j);
}

static void put_mass(mdr_json *j, const mdr_plan_mass *m)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "material_id", m->material->material_id);
    mdr_json_number(j, "carried_in_kg", m->carried_in_kg);
    mdr_json_number(j, "fibre_in_kg", m->fibre_in_kg);
    mdr_json_number(j, "dosed_kg", m->dosed_kg);
    mdr_json_number(j, "consumed_kg", m->consumed_kg);
    mdr_json_number(j, "rinsed_kg", m->rinsed_kg);
    mdr_json_number(j, "drained_kg", m->drained_kg);
    mdr_json_number(j, "fixed_kg", m->fixed_kg);
    mdr_json_number(j, "fibre_out_kg", m->fibre_out_kg);
    mdr_json_number(j, "carried_out_kg", m->carried_out_kg);
    mdr_json_end_object(j);
}

static void put_dissolved(mdr_plan_out *o, const mdr_plan_bath *b)
{
    mdr_json *j = &o->j;
    mdr_json_array(j, "dissolved");
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        if (b->start_g_per_l[i] == MDR_FIG_NONE && b->end_g_per_l[i] == MDR_FIG_NONE) {
            continue;
        }
        const mdr_substance substance = mdr_dissolved_substance((mdr_dissolved)i);
        mdr_json_object(j, NULL);
        mdr_json_text(j, "substance", mdr_substance_id(substance));
        mdr_json_text(j, "words", mdr_substance_words(substance));
        mdr_out_quantity(o, "start_g_per_l", b->start_g_per_l[i]);
        mdr_out_quantity(o, "end_g_per_l", b->end_g_per_l[i]);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

static void put_bath(mdr_plan_out *o, const mdr_plan_bath *b)
{
    mdr_json *j = &o->j;
    mdr_json_object(j, NULL);
    mdr_json_int(j, "number", b->number);
    mdr_json_object(j, "stage");
    mdr_json_text(j, "kind", mdr_stage_kind_id(b->stage->kind));
    mdr_json_text(j, "words", mdr_stage_kind_words(b->stage->kind));
    mdr_json_text(j, "name", b->stage->name);
    mdr_json_end_object(j);
    mdr_json_text(j, "name", b->asked->name);
    mdr_json_bool(j, "continues", b->continues);
    QUANTITY(b, ratio_l_per_kg);
    QUANTITY(b, liquor_l);
    QUANTITY(b, carried_l);
    QUANTITY(b, additions_l);
    QUANTITY(b, fill_l);
    QUANTITY(b, final_l);
    QUANTITY(b, carried_alkali_mol);
    QUANTITY(b, carried_acid_mol);
    QUANTITY(b, drained_l);
    QUANTITY(b, retained_l);
    QUANTITY(b, rinse_l);
    QUANTITY(b, water_l);
    QUANTITY(b, steam_kg);
    QUANTITY(b, power_kwh);
    QUANTITY(b, ph_start);
    QUANTITY(b, ph_end);
    QUANTITY(b, electrolyte_g_per_l);
    QUANTITY(b, hardness_total_dh);
    QUANTITY(b, hardness_dh);
    QUANTITY(b, peroxide_mg_per_l);
    QUANTITY(b, dithionite_g_per_l);
    QUANTITY(b, loose_mg_per_kg);
    put_dissolved(o, b);
    QUANTITY(b, minutes);
    QUANTITY(b, start_min);
    QUANTITY(b, end_min);
    mdr_json_array(j, "steps");
    for (int i = 0; i < b->n_steps; i++) {
        put_step(o, b, &b->steps[i]);
    }
    mdr_json_end_array(j);
    mdr_json_array(j, "masses");
    for (int i = 0; i < b->n_masses; i++) {
        put_mass(j, &b->masses[i]);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

void mdr_out_baths(mdr_plan_out *o)
{
    mdr_json_array(&o->j, "baths");
    for (int i = 0; i < o->plan->n_baths; i++) {
        put_bath(o, &o->plan->baths[i]);
    }
    mdr_json_end_array(&o->j);
}
