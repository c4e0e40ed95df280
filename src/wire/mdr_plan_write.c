#include "core/plan/mdr_say.h"
#include "wire/mdr_plan_out.h"
#include "wire/mdr_records_out.h"
#include "wire/mdr_route_shape.h"
#include "wire/mdr_wire.h"

#define QUANTITY(record, member) mdr_out_quantity(o, #member, (record)->member)

void mdr_out_lot(mdr_plan_out *o, int revision)
{
    mdr_json *j = &o->j;
    const mdr_lot *lot = o->plan->lot;
    mdr_json_object(j, "lot");
    mdr_json_text(j, "lot_id", lot->lot_id);
    mdr_json_text(j, "order_id", lot->order_id);
    mdr_json_text(j, "customer", lot->customer);
    mdr_wire_put_article(j, "article", lot->article);
    mdr_wire_put_shade(j, "shade", lot->shade);
    mdr_json_text(j, "stage", mdr_lot_stage_id((mdr_lot_stage)lot->stage));
    mdr_json_text(j, "stage_words", mdr_lot_stage_words((mdr_lot_stage)lot->stage));
    mdr_json_date(j, "due", lot->due_utc_ms);
    mdr_json_int(j, "n_rolls", lot->n_rolls);
    mdr_json_number(j, "weighed_kg", lot->weighed_kg);
    mdr_json_number(j, "ratio_l_per_kg", lot->ratio_l_per_kg);
    mdr_json_number(j, "speed_m_per_min", lot->speed_m_per_min);
    mdr_json_int(j, "tubes_used", lot->tubes_used);
    mdr_json_int(j, "revision", revision);
    mdr_json_end_object(j);
}

static void put_headline(mdr_plan_out *o)
{
    const mdr_plan *p = o->plan;
    mdr_json_object(&o->j, "headline");
    QUANTITY(p, load_kg);
    QUANTITY(p, ratio_l_per_kg);
    QUANTITY(p, liquor_nominal_l);
    QUANTITY(p, liquor_l);
    QUANTITY(p, fabric_m);
    QUANTITY(p, rope_m);
    QUANTITY(p, speed_m_per_min);
    QUANTITY(p, cycle_min);
    QUANTITY(p, total_min);
    QUANTITY(p, water_l);
    QUANTITY(p, water_l_per_kg);
    QUANTITY(p, steam_kg);
    QUANTITY(p, power_kwh);
    QUANTITY(p, chemicals_kg);
    QUANTITY(p, depth_pct_owf);
    QUANTITY(p, chemicals_minor);
    QUANTITY(p, utilities_minor);
    QUANTITY(p, cost_minor);
    QUANTITY(p, cost_minor_per_kg);
    mdr_json_end_object(&o->j);
}

static void put_totals(mdr_plan_out *o)
{
    mdr_json_array(&o->j, "totals");
    for (int i = 0; i < o->plan->n_totals; i++) {
        const mdr_plan_total *t = &o->plan->totals[i];
        mdr_json_object(&o->j, NULL);
        mdr_json_text(&o->j, "material_id", t->material->material_id);
        mdr_json_text(&o->j, "name", t->material->name);
        mdr_json_bool(&o->j, "is_dye", t->material->is_dye);
        QUANTITY(t, mass_kg);
        QUANTITY(t, cost_minor);
        mdr_json_number(&o->j, "stock_kg", t->material->stock_kg);
        mdr_json_end_object(&o->j);
    }
    mdr_json_end_array(&o->j);
}

static void put_or_null(mdr_json *j, const char *key, int number)
{
    if (number > 0) {
        mdr_json_int(j, key, number);
    } else {
        mdr_json_null(j, key);
    }
}

void mdr_out_warnings(mdr_plan_out *o, bool of_finishing)
{
    mdr_json *j = &o->j;
    mdr_json_array(j, "warnings");
    for (int i = 0; i < o->plan->n_warns; i++) {
        const mdr_warn *w = &o->plan->warns[i];
        if (of_finishing && !mdr_warn_of_finishing(w->id)) {
            continue;
        }
        const char *text = mdr_say_warn(w, j->arena);
        j->no_memory = j->no_memory || text == NULL;
        mdr_json_object(j, NULL);
        mdr_json_text(j, "id", mdr_warn_text_id(w->id));
        mdr_json_text(j, "severity", mdr_severity_id(mdr_warn_severity(w->id)));
        mdr_json_text(j, "text", text);
        put_or_null(j, "bath", w->at.bath);
        put_or_null(j, "step", w->at.step);
        put_or_null(j, "item", w->at.item);
        mdr_json_text(j, "figure", w->fig != MDR_FIG_NONE ? o->keys[w->fig] : NULL);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

static void put_curve(mdr_json *j, const mdr_plan *p)
{
    mdr_json_array(j, "curve");
    for (int i = 0; i < p->n_points; i++) {
        mdr_json_array(j, NULL);
        mdr_json_number(j, NULL, p->curve[i].t_min);
        mdr_json_number(j, NULL, p->curve[i].temp_c);
        mdr_json_number(j, NULL, p->curve[i].liquor_l);
        mdr_json_end_array(j);
    }
    mdr_json_end_array(j);
}

static void put_passes(mdr_json *j, const mdr_route *r)
{
    mdr_json_array(j, "passes");
    for (int i = 0; i < r->n_passes; i++) {
        mdr_json_object(j, NULL);
        mdr_json_text(j, "kind", mdr_route_pass_id(r->passes[i].kind));
        mdr_json_text(j, "words", mdr_route_pass_words(r->passes[i].kind));
        mdr_json_text(j, "note", r->passes[i].note);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

mdr_code mdr_wire_plan(const mdr_plan *plan, int revision, mdr_arena *arena, char **text,
                       size_t *len, mdr_err *err)
{
    /* a figure takes about 200 bytes where it stands and where it is used */
    const size_t usual = (size_t)64 * 1024 + 256 * (size_t)plan->figs.count;
    mdr_plan_out o;
    MDR_TRY(mdr_plan_out_make(plan, arena, usual, &o, err));
    mdr_json_object(&o.j, NULL);
    mdr_out_lot(&o, revision);
    mdr_wire_put_machine(&o.j, "machine", plan->machine);
    mdr_wire_put_route(&o.j, "route", plan->route);
    mdr_wire_put_site(&o.j, "site", plan->site);
    put_headline(&o);
    mdr_out_baths(&o);
    mdr_out_footprint(&o);
    put_totals(&o);
    mdr_out_warnings(&o, false);
    put_curve(&o.j, plan);
    put_passes(&o.j, plan->route);
    mdr_out_finish(&o);
    mdr_out_figures(&o);
    mdr_out_rules(&o);
    mdr_out_caution_texts(&o);
    mdr_json_end_object(&o.j);
    return mdr_json_done(&o.j, text, len, err);
}
