/* The finishing of a lot as JSON: passes with their settings, and what comes of them. */
#include "wire/mdr_plan_out.h"
#include "wire/mdr_wire.h"

/* A quantity of a record that holds it under the same name. */
#define QUANTITY(record, member) mdr_out_quantity(o, #member, (record)->member)

static void put_relaxed(mdr_plan_out *o, const mdr_plan_finish *f)
{
    mdr_json *j = &o->j;
    mdr_json_object(j, "relaxed");
    mdr_json_text(j, "from", mdr_relaxed_from_id(f->from));
    mdr_json_text(j, "from_words", mdr_relaxed_from_words(f->from));
    mdr_json_int(j, "samples", f->n_samples);
    mdr_out_quantity(o, "courses_per_cm", f->relaxed_courses_per_cm);
    mdr_out_quantity(o, "wales_per_cm", f->relaxed_wales_per_cm);
    mdr_out_quantity(o, "gsm", f->relaxed_gsm);
    mdr_out_quantity(o, "width_cm", f->relaxed_width_cm);
    mdr_json_end_object(j);
}

static void put_aim(mdr_plan_out *o, const mdr_plan_finish *f)
{
    mdr_json *j = &o->j;
    mdr_json_object(j, "aim");
    mdr_json_bool(j, "feasible", f->feasible);
    mdr_out_quantity(o, "width_cm", f->aim_width_cm);
    mdr_out_quantity(o, "gsm", f->aim_gsm);
    mdr_out_quantity(o, "courses_per_cm", f->aim_courses_per_cm);
    mdr_out_quantity(o, "length_shrinkage_pct", f->aim_length_pct);
    mdr_out_quantity(o, "width_shrinkage_pct", f->aim_across_pct);
    mdr_out_quantity(o, "strain_pct", f->aim_strain_pct);
    mdr_json_end_object(j);
}

static void put_start(mdr_plan_out *o, const mdr_plan_finish *f)
{
    mdr_json_object(&o->j, "start");
    mdr_out_quantity(o, "width_cm", f->start_width_cm);
    mdr_out_quantity(o, "courses_per_cm", f->start_courses_per_cm);
    mdr_out_quantity(o, "wales_per_cm", f->start_wales_per_cm);
    mdr_out_quantity(o, "moisture_pct", f->start_moisture_pct);
    mdr_out_quantity(o, "length_m", f->start_length_m);
    mdr_json_end_object(&o->j);
}

static void put_read(mdr_plan_out *o, const mdr_plan_pass *pass)
{
    mdr_json *j = &o->j;
    const mdr_pass_reading *r = pass->read;
    if (r == NULL) {
        mdr_json_null(j, "read");
        return;
    }
    mdr_json_object(j, "read");
    mdr_json_number(j, "lies_cm", r->lies_cm);
    mdr_json_number(j, "courses_per_cm", r->courses_per_cm);
    mdr_json_number(j, "moisture_pct", r->moisture_pct);
    if (r->wet_gsm > 0.0) {
        mdr_json_number(j, "wet_gsm", r->wet_gsm);
    } else {
        mdr_json_null(j, "wet_gsm");
    }
    mdr_out_quantity(o, "weighed_off_pct", pass->weighed_off_pct);
    mdr_json_end_object(j);
}

static void put_pass(mdr_plan_out *o, const mdr_plan_pass *pass)
{
    mdr_json *j = &o->j;
    mdr_json_object(j, NULL);
    mdr_json_text(j, "kind", mdr_route_pass_id(pass->asked->kind));
    mdr_json_text(j, "words", mdr_route_pass_words(pass->asked->kind));
    mdr_json_text(j, "note", pass->asked->note);
    mdr_json_text(j, "finisher_id", pass->machine != NULL ? pass->machine->finisher_id : NULL);
    mdr_json_text(j, "finisher", pass->machine != NULL ? pass->machine->name : NULL);
    mdr_json_bool(j, "shapes", pass->shapes);
    mdr_json_object(j, "set");
    mdr_out_quantity(o, "width_cm", pass->set_width_cm);
    mdr_out_quantity(o, "layflat_cm", pass->set_layflat_cm);
    QUANTITY(pass, overfeed_pct);
    QUANTITY(pass, length_loss_pct);
    QUANTITY(pass, temp_c);
    QUANTITY(pass, dwell_s);
    QUANTITY(pass, speed_m_per_min);
    mdr_json_end_object(j);
    mdr_json_object(j, "behind");
    QUANTITY(pass, width_cm);
    QUANTITY(pass, layflat_cm);
    QUANTITY(pass, courses_per_cm);
    QUANTITY(pass, wales_per_cm);
    QUANTITY(pass, wet_gsm);
    QUANTITY(pass, conditioned_gsm);
    QUANTITY(pass, moisture_pct);
    QUANTITY(pass, length_m);
    mdr_json_end_object(j);
    if (pass->asked->has_check) {
        mdr_out_check(o, &pass->asked->check, pass->moisture_pct);
    } else {
        mdr_json_null(j, "check");
    }
    put_read(o, pass);
    QUANTITY(pass, minutes);
    QUANTITY(pass, power_kwh);
    QUANTITY(pass, evaporated_kg);
    QUANTITY(pass, heat_mj);
    mdr_json_end_object(j);
}

static void put_outcome(mdr_plan_out *o, const mdr_plan_finish *f)
{
    mdr_json *j = &o->j;
    mdr_json_array(j, "outcome");
    for (int i = 0; i < MDR_DEMAND_COUNT; i++) {
        const mdr_plan_outcome *at = &f->outcome[i];
        mdr_json_object(j, NULL);
        mdr_json_text(j, "what", mdr_plan_demand_id((mdr_plan_demand)i));
        mdr_json_text(j, "words", mdr_plan_demand_words((mdr_plan_demand)i));
        mdr_json_text(j, "unit", mdr_plan_demand_unit((mdr_plan_demand)i));
        mdr_json_number(j, "low", at->low);
        mdr_json_number(j, "high", at->high);
        QUANTITY(at, value);
        mdr_json_number(j, "off", at->off);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

void mdr_out_finish(mdr_plan_out *o)
{
    const mdr_plan_finish *f = o->plan->finish;
    mdr_json *j = &o->j;
    if (f == NULL) {
        mdr_json_null(j, "finish");
        return;
    }
    mdr_json_object(j, "finish");
    mdr_json_bool(j, "met", f->met);
    mdr_json_bool(j, "tube", f->tube);
    QUANTITY(f, needles);
    QUANTITY(f, finished_kg);
    put_relaxed(o, f);
    put_aim(o, f);
    put_start(o, f);
    mdr_json_array(j, "passes");
    for (int i = 0; i < f->n_passes; i++) {
        put_pass(o, &f->passes[i]);
    }
    mdr_json_end_array(j);
    put_outcome(o, f);
    QUANTITY(f, minutes);
    QUANTITY(f, power_kwh);
    QUANTITY(f, evaporated_kg);
    QUANTITY(f, heat_mj);
    mdr_json_end_object(j);
}

mdr_code mdr_wire_finish(const mdr_plan *plan, int revision, mdr_arena *arena, char **text,
                         size_t *len, mdr_err *err)
{
    enum { USUAL_BYTES = 128 * 1024 };
    mdr_plan_out o;
    MDR_TRY(mdr_plan_out_make(plan, arena, USUAL_BYTES, &o, err));
    o.wanted = MDR_NEW_N(arena, bool, (size_t)plan->figs.count + 1);
    if (o.wanted == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to write the finishing");
    }
    mdr_json_object(&o.j, NULL);
    mdr_out_lot(&o, revision);
    mdr_out_finish(&o);
    mdr_out_warnings(&o, true);
    mdr_out_figures(&o);
    mdr_out_rules(&o);
    mdr_json_end_object(&o.j);
    return mdr_json_done(&o.j, text, len, err);
}
