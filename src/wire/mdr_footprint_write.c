/* The footprint as JSON: within a plan, and of two plans side by side. */
#include "core/bath/mdr_drain_load.h"
#include "wire/mdr_plan_out.h"
#include "wire/mdr_wire.h"

/* A quantity of a record that holds it under the same name. */
#define QUANTITY(record, member) mdr_out_quantity(o, #member, (record)->member)

static void put_foot(mdr_plan_out *o, const char *key, const mdr_plan_foot *f)
{
    mdr_json *j = &o->j;
    mdr_json_object(j, key);
    mdr_json_text(j, "kind", f->stage != NULL ? mdr_stage_kind_id(f->stage->kind) : "lot");
    mdr_json_text(j, "words",
                  f->stage != NULL ? mdr_stage_kind_words(f->stage->kind) : "Whole lot");
    mdr_json_text(j, "name", f->stage != NULL ? f->stage->name : "");
    QUANTITY(f, water_l);
    QUANTITY(f, effluent_l);
    QUANTITY(f, steam_kg);
    QUANTITY(f, power_kwh);
    QUANTITY(f, chemicals_kg);
    QUANTITY(f, salt_kg);
    QUANTITY(f, dye_kg);
    QUANTITY(f, cod_kg);
    QUANTITY(f, solids_kg);
    QUANTITY(f, co2_kg);
    QUANTITY(f, water_minor);
    QUANTITY(f, effluent_minor);
    QUANTITY(f, steam_minor);
    QUANTITY(f, power_minor);
    QUANTITY(f, chemicals_minor);
    QUANTITY(f, cost_minor);
    mdr_json_end_object(j);
}

static const char *verdict_id(mdr_band_verdict verdict)
{
    switch (verdict) {
    case MDR_BAND_BELOW:
        return "below";
    case MDR_BAND_ABOVE:
        return "above";
    case MDR_BAND_WITHIN:
        break;
    }
    return "within";
}

/* Water of the baths of a kind, L per kg; -1 when the lot has none. */
static double water_of_dyeing(const mdr_plan *plan)
{
    double water_l = 0.0;
    bool any = false;
    for (int i = 0; i < plan->foot.n_stages; i++) {
        const mdr_plan_foot *f = &plan->foot.stages[i];
        if (f->stage->kind == MDR_STAGE_DYEING || f->stage->kind == MDR_STAGE_AFTER) {
            any = any || f->stage->kind == MDR_STAGE_DYEING;
            water_l += mdr_fig_value(&plan->figs, f->water_l);
        }
    }
    return any ? water_l / mdr_fig_value(&plan->figs, plan->load_kg) : -1.0;
}

static double water_of_preparation(const mdr_plan *plan)
{
    double water_l = 0.0;
    bool any = false;
    for (int i = 0; i < plan->foot.n_stages; i++) {
        const mdr_plan_foot *f = &plan->foot.stages[i];
        if (f->stage->kind == MDR_STAGE_PREPARE) {
            any = true;
            water_l += mdr_fig_value(&plan->figs, f->water_l);
        }
    }
    return any ? water_l / mdr_fig_value(&plan->figs, plan->load_kg) : -1.0;
}

/* What of the lot a band is held against; -1: nothing of it is. A discharge limit holds for
 * treated water and judges no lot. */
static double held_against(const mdr_plan *plan, mdr_band_id band)
{
    switch (band) {
    case MDR_BAND_WATER_BLEACH:
        return water_of_preparation(plan);
    case MDR_BAND_WATER_DYE:
        return water_of_dyeing(plan);
    case MDR_BAND_WATER_LOT:
        return mdr_fig_value(&plan->figs, plan->water_l_per_kg);
    case MDR_BAND_STEAM_LOT:
        return mdr_fig_value(&plan->figs, plan->foot.steam_kg_per_kg);
    case MDR_BAND_POWER_LOT:
        return mdr_fig_value(&plan->figs, plan->foot.power_kwh_per_kg);
    case MDR_BAND_WATER_SCOUR:
    case MDR_BAND_COD_DISCHARGE:
    case MDR_BAND_COUNT:
        break;
    }
    return -1.0;
}

static void put_bands(mdr_plan_out *o)
{
    mdr_json *j = &o->j;
    int n = 0;
    const mdr_band *bands = mdr_drain_bands(&n);
    mdr_json_array(j, "bands");
    for (int i = 0; i < n; i++) {
        const double value = held_against(o->plan, (mdr_band_id)i);
        if (value < 0.0) {
            continue;
        }
        mdr_json_object(j, NULL);
        mdr_json_text(j, "what", bands[i].what);
        mdr_json_text(j, "unit", bands[i].unit);
        mdr_json_number(j, "low", bands[i].low);
        mdr_json_number(j, "high", bands[i].high);
        mdr_json_number(j, "value", value);
        mdr_json_text(j, "verdict", verdict_id(mdr_drain_band_verdict(&bands[i], value)));
        mdr_json_text(j, "source", bands[i].source);
        mdr_json_bool(j, "to_confirm", bands[i].to_confirm);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

void mdr_out_footprint(mdr_plan_out *o)
{
    const mdr_plan_footprint *f = &o->plan->foot;
    mdr_json *j = &o->j;
    mdr_json_object(j, "footprint");
    mdr_json_array(j, "stages");
    for (int i = 0; i < f->n_stages; i++) {
        put_foot(o, NULL, &f->stages[i]);
    }
    mdr_json_end_array(j);
    put_foot(o, "total", &f->total);
    mdr_json_object(j, "per_kg");
    QUANTITY(f, water_l_per_kg);
    QUANTITY(f, steam_kg_per_kg);
    QUANTITY(f, power_kwh_per_kg);
    QUANTITY(f, cod_g_per_kg);
    QUANTITY(f, cod_mg_per_l);
    QUANTITY(f, solids_kg_per_kg);
    QUANTITY(f, co2_kg_per_kg);
    QUANTITY(f, cost_minor_per_kg);
    mdr_json_end_object(j);
    QUANTITY(f, unknown_cod_kg);
    QUANTITY(f, unknown_co2_kg);
    put_bands(o);
    mdr_json_end_object(j);
}

/* One plan of a comparison; a plan writes into the text of the other. */
static mdr_code put_side(mdr_json *j, const char *key, const mdr_plan *plan, mdr_arena *arena,
                         mdr_err *err)
{
    if (plan == NULL) {
        mdr_json_null(j, key);
        return MDR_OK;
    }
    mdr_plan_out o;
    MDR_TRY(mdr_plan_out_make(plan, arena, 64, &o, err));
    o.j = *j;
    mdr_json_object(&o.j, key);
    mdr_json_text(&o.j, "route_id", plan->route->route_id);
    mdr_json_text(&o.j, "name", plan->route->name);
    mdr_out_quantity(&o, "total_min", plan->total_min);
    mdr_json_int(&o.j, "stops", mdr_plan_stops(plan));
    mdr_out_footprint(&o);
    mdr_json_end_object(&o.j);
    *j = o.j;
    return MDR_OK;
}

mdr_code mdr_wire_footprint(const mdr_plan *a, const mdr_plan *b, mdr_arena *arena, char **text,
                            size_t *len, mdr_err *err)
{
    mdr_json j = mdr_json_make(arena, (size_t)32 * 1024, false);
    mdr_json_object(&j, NULL);
    mdr_json_text(&j, "lot_id", a->lot->lot_id);
    mdr_json_text(&j, "currency", a->site->currency);
    mdr_json_bool(&j, "invented", a->site->invented);
    MDR_TRY(put_side(&j, "a", a, arena, err));
    MDR_TRY(put_side(&j, "b", b, arena, err));
    mdr_json_end_object(&j);
    return mdr_json_done(&j, text, len, err);
}
