#include "wire/mdr_route_shape.h"
#include "wire/mdr_wire.h"

/* The route says how much; else it is computed and 1 is the factor that goes without saying. */
static bool is_stated(mdr_basis basis)
{
    return basis == MDR_BASIS_G_PER_L || basis == MDR_BASIS_ML_PER_L ||
           basis == MDR_BASIS_PCT_OWF || basis == MDR_BASIS_KG_PER_LOAD;
}

static void put_item(mdr_json *j, const mdr_route_item *item)
{
    mdr_json_flat_object(j, NULL);
    if (item->basis != MDR_BASIS_RECIPE) {
        mdr_json_text(j, "material_id", item->material_id);
    }
    mdr_json_text(j, "basis", mdr_basis_id(item->basis));
    if (is_stated(item->basis) || item->amount != 1) {
        mdr_json_number(j, "amount", item->amount);
    }
    if (item->of_active) {
        mdr_json_bool(j, "of_active", true);
    }
    if (item->basis == MDR_BASIS_TABLE) {
        mdr_json_text(j, "table_id", item->table_id);
    }
    if (item->basis == MDR_BASIS_WHITEN) {
        mdr_json_number(j, "to_whiteness", item->to_whiteness);
    }
    if (item->basis == MDR_BASIS_NEUTRALISE && item->to_ph != 0) {
        mdr_json_number(j, "to_ph", item->to_ph);
    }
    if (item->basis == MDR_BASIS_DYE_TABLE) {
        mdr_json_text(j, "dye_table", mdr_dye_table_id(item->dye_table));
    }
    mdr_json_end_object(j);
}

static void put_curve(mdr_json *j, const mdr_route_step *s)
{
    mdr_json_flat_object(j, "curve");
    mdr_json_text(j, "kind", mdr_curve_id(s->curve));
    if (s->curve == MDR_CURVE_PROGRESSIVE || s->curve == MDR_CURVE_DEGRESSIVE) {
        mdr_json_number(j, "exponent", s->exponent);
    }
    if (s->curve == MDR_CURVE_PORTIONS) {
        mdr_json_int(j, "portions", s->portions);
    }
    mdr_json_end_object(j);
}

static void put_dose(mdr_json *j, const mdr_route_step *s)
{
    mdr_json_array(j, "items");
    for (int i = 0; i < s->n_items; i++) {
        put_item(j, &s->items[i]);
    }
    mdr_json_end_array(j);
    if (s->share_pct != 100) {
        mdr_json_number(j, "share_pct", s->share_pct);
    }
    if (s->curve != MDR_CURVE_LINEAR) {
        put_curve(j, s);
    }
    if (s->with_next) {
        mdr_json_bool(j, "with_next", true);
    }
    if (s->offset_min != 0) {
        mdr_json_number(j, "offset_min", s->offset_min);
    }
}

static void put_text_if(mdr_json *j, const char *key, const char *text)
{
    if (text[0] != '\0') {
        mdr_json_text(j, key, text);
    }
}

static void put_number_if(mdr_json *j, const char *key, double v)
{
    if (v != 0) {
        mdr_json_number(j, key, v);
    }
}

static void put_check(mdr_json *j, const mdr_route_check *c)
{
    mdr_json_object(j, "check");
    mdr_json_text(j, "kind", mdr_check_id(c->kind));
    if (c->has_low) {
        mdr_json_number(j, "low", c->low);
    }
    if (c->has_high) {
        mdr_json_number(j, "high", c->high);
    }
    if (c->cooled) {
        mdr_json_bool(j, "cooled", true);
    }
    put_text_if(j, "method", c->method);
    mdr_json_text(j, "on_fail", mdr_on_fail_id(c->on_fail));
    put_text_if(j, "remedy", c->remedy);
    mdr_json_end_object(j);
}

static void put_step(mdr_json *j, const mdr_route_step *s)
{
    /* a dose has a list inside; everything else reads best in one line */
    if (s->kind == MDR_STEP_DOSE) {
        mdr_json_object(j, NULL);
    } else {
        mdr_json_flat_object(j, NULL);
    }
    mdr_json_text(j, "do", mdr_step_kind_id(s->kind));
    put_text_if(j, "note", s->note);
    if (s->has_temp) {
        mdr_json_number(j, "temp_c", s->temp_c);
    }
    put_number_if(j, "rate_c_per_min", s->rate_c_per_min);
    put_number_if(j, "minutes", s->minutes);
    put_number_if(j, "ratio_l_per_kg", s->ratio_l_per_kg);
    put_number_if(j, "level_l", s->level_l);
    put_number_if(j, "flow_l_per_min", s->flow_l_per_min);
    if (s->kind == MDR_STEP_DOSE) {
        put_dose(j, s);
    }
    if (s->kind == MDR_STEP_CHECK) {
        put_check(j, &s->check);
    }
    mdr_json_end_object(j);
}

static void put_bath(mdr_json *j, const mdr_route_bath *bath)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "name", bath->name);
    mdr_json_array(j, "steps");
    for (int i = 0; i < bath->n_steps; i++) {
        put_step(j, &bath->steps[i]);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

static void put_stage(mdr_json *j, const mdr_route_stage *stage)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "kind", mdr_stage_kind_id(stage->kind));
    mdr_json_text(j, "name", stage->name);
    put_text_if(j, "from_route", stage->from_route);
    put_text_if(j, "from_stage", stage->from_stage);
    if (stage->n_baths > 0) {
        mdr_json_array(j, "baths");
        for (int i = 0; i < stage->n_baths; i++) {
            put_bath(j, &stage->baths[i]);
        }
        mdr_json_end_array(j);
    }
    mdr_json_end_object(j);
}

void mdr_wire_put_route(mdr_json *j, const char *key, const mdr_route *route)
{
    mdr_json_object(j, key);
    mdr_json_text(j, "format", MDR_ROUTE_FORMAT);
    mdr_json_text(j, "route_id", route->route_id);
    mdr_json_text(j, "name", route->name);
    put_text_if(j, "purpose", route->purpose);
    mdr_json_int(j, "version", route->version);
    mdr_json_text(j, "dye_class", mdr_dye_class_id(route->dye_class));
    if (route->invented) {
        mdr_json_bool(j, "invented", true);
    }
    mdr_json_array(j, "stages");
    for (int i = 0; i < route->n_stages; i++) {
        put_stage(j, &route->stages[i]);
    }
    mdr_json_end_array(j);
    mdr_json_array(j, "passes");
    for (int i = 0; i < route->n_passes; i++) {
        mdr_json_flat_object(j, NULL);
        mdr_json_text(j, "kind", mdr_route_pass_id(route->passes[i].kind));
        put_text_if(j, "note", route->passes[i].note);
        if (route->passes[i].has_check) {
            put_check(j, &route->passes[i].check);
        }
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

mdr_code mdr_wire_route_write(const mdr_route *route, mdr_arena *arena, char **text, size_t *len,
                              mdr_err *err)
{
    enum { USUAL_BYTES = 32 * 1024 };
    mdr_json j = mdr_json_make(arena, USUAL_BYTES, true);
    j.exact = true; /* a limit that was met must still be met when the document is read again */
    mdr_wire_put_route(&j, NULL, route);
    return mdr_json_done(&j, text, len, err);
}
