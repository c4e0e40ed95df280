#include "core/run/mdr_control.h"

#include <math.h>

#include "core/units/mdr_steam.h"
#include "core/units/mdr_swatch.h"

#define MG_PER_KG 1e6
/* What an int64 counts of a mass and a double still holds exactly: 2^53 mg, nine thousand tonnes. */
static const double MASS_MOST_KG = 9007199254.0;

typedef struct taking {
    const mdr_plan *plan;
    mdr_arena *arena;
    mdr_control_step *steps;
    int n;
} taking;

static double value(const mdr_plan *plan, mdr_fig_id id)
{
    return mdr_fig_value(&plan->figs, id);
}

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the control recipe");
}

static mdr_code take_mass(const mdr_plan *plan, const mdr_plan_item *from, int64_t *out,
                          mdr_err *err)
{
    const double kg = value(plan, from->mass_kg);
    if (!(kg * MG_PER_KG >= 0.5) || !(kg <= MASS_MOST_KG)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "mass_kg", "%s cannot be weighed",
                                     from->material->material_id);
        mdr_err_value(err, "%.9g kg", kg);
        mdr_err_allowed(err, "1 mg to %.0f kg", MASS_MOST_KG);
        mdr_err_remedy(err, "take the material out of the dose, or give more of it");
        return rc;
    }
    *out = llround(kg * MG_PER_KG);
    return MDR_OK;
}

/* 0: the dye is weighed as the laboratory found it. */
static double bulk_factor(const mdr_shade *shade, const mdr_material *dye)
{
    for (int i = 0; shade->bulk != NULL && i < shade->n_dyes && i < MDR_RECIPE_LINES_MAX; i++) {
        if (shade->dyes[i].dye == dye && shade->bulk->factor[i] != 1.0) {
            return shade->bulk->factor[i];
        }
    }
    return 0.0;
}

static mdr_code take_items(const taking *t, const mdr_plan_step *from, mdr_control_step *to,
                           mdr_err *err)
{
    mdr_control_item *items = MDR_NEW_N(t->arena, mdr_control_item, (size_t)from->n_items + 1);
    if (items == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < from->n_items; i++) {
        const mdr_plan_item *item = &from->items[i];
        const mdr_material *m = item->material;
        items[i] = (mdr_control_item){.material_id = m->material_id,
                                      .name = m->name,
                                      .volume_l = value(t->plan, item->volume_l),
                                      .dye = m->is_dye,
                                      .substance = m->is_dye ? (int)MDR_SUB_DYE : m->substance,
                                      .cautions = m->cautions,
                                      .price_minor_per_kg = m->price_minor_per_kg,
                                      .bulk_factor = bulk_factor(t->plan->lot->shade, m)};
        const mdr_code rc = take_mass(t->plan, item, &items[i].mass_mg, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "items[%d]", i);
            return rc;
        }
    }
    to->items = items;
    to->n_items = from->n_items;
    return MDR_OK;
}

/* The plan foresees these two readings only. */
static mdr_fig_id expected_of(const mdr_plan_step *s)
{
    const mdr_route_check *check = &s->asked->check;
    if (check->kind == MDR_CHECK_PH) {
        return check->cooled ? s->ph_cold : s->ph;
    }
    return check->kind == MDR_CHECK_PEROXIDE ? s->peroxide_mg_per_l : MDR_FIG_NONE;
}

static mdr_control_check take_check(const mdr_plan *plan, const mdr_plan_step *from)
{
    const mdr_route_check *asked = &from->asked->check;
    const mdr_fig_id expected = expected_of(from);
    return (mdr_control_check){.kind = asked->kind,
                               .has_low = asked->has_low,
                               .has_high = asked->has_high,
                               .has_expected = expected != MDR_FIG_NONE,
                               .low = asked->low,
                               .high = asked->high,
                               .expected = value(plan, expected),
                               .cooled = asked->cooled,
                               .method = asked->method != NULL ? asked->method : "",
                               .remedy = asked->remedy != NULL ? asked->remedy : "",
                               .on_fail = asked->on_fail};
}

static mdr_code take_step(taking *t, const mdr_plan_bath *bath, int number, mdr_err *err)
{
    const mdr_plan *p = t->plan;
    const mdr_plan_step *from = &bath->steps[number - 1];
    const mdr_route_step *asked = from->asked;
    mdr_control_step *to = &t->steps[t->n];
    *to = (mdr_control_step){
        .key = mdr_arena_printf(t->arena, "%d.%d", bath->number, number),
        .bath = bath->number,
        .kind = asked->kind,
        .note = asked->note != NULL ? asked->note : "",
        .start_min = value(p, from->start_min),
        .minutes = value(p, from->minutes),
        .temp_start_c = value(p, from->temp_start_c),
        .temp_end_c = value(p, from->temp_end_c),
        .volume_l = value(p, from->volume_l),
        .water_temp_c = value(p, from->water_temp_c),
        .flow_l_per_min = value(p, from->rinse_flow_l_per_min),
        .liquor_l = from->liquor_end_l,
        .steam_kg = value(p, from->steam_kg),
        .beside = from->beside,
        .curve = asked->curve,
        .exponent = asked->exponent,
        .portions = asked->portions,
        .cautions = from->cautions,
    };
    if (to->key == NULL) {
        return no_memory(err);
    }
    if (asked->kind == MDR_STEP_CHECK) {
        mdr_control_state *state = MDR_NEW(t->arena, mdr_control_state);
        if (state == NULL) {
            return no_memory(err);
        }
        *state = mdr_control_state_at(p, bath->number, number);
        to->check = take_check(p, from);
        to->state = state;
    }
    const mdr_code rc = take_items(t, from, to, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "baths[%d].steps[%d]", bath->number - 1, number - 1);
        return rc;
    }
    t->n++;
    return MDR_OK;
}

static mdr_code take_steps(taking *t, mdr_control_bath *baths, mdr_err *err)
{
    const mdr_plan *p = t->plan;
    for (int b = 0; b < p->n_baths; b++) {
        const mdr_plan_bath *bath = &p->baths[b];
        baths[b] = (mdr_control_bath){.number = bath->number,
                                      .name = bath->asked->name,
                                      .stage = mdr_stage_kind_id(bath->stage->kind),
                                      .liquor_l = value(p, bath->liquor_l)};
        for (int s = 1; s <= bath->n_steps; s++) {
            MDR_TRY(take_step(t, bath, s, err));
        }
    }
    return MDR_OK;
}

static mdr_code refuse_stops(const mdr_plan *plan, mdr_err *err)
{
    for (int i = 0; i < plan->n_warns; i++) {
        if (mdr_warn_severity(plan->warns[i].id) == MDR_SEV_STOP) {
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_INFEAS, "plan", "the plan cannot be run as it is");
            mdr_err_value(err, "%s", mdr_warn_text_id(plan->warns[i].id));
            mdr_err_remedy(err, "look at the stops of the plan and change it until there is none");
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_control *take_head(const mdr_plan *p, int lot_revision, mdr_arena *arena)
{
    mdr_control *c = MDR_NEW(arena, mdr_control);
    if (c == NULL) {
        return NULL;
    }
    *c = (mdr_control){.lot_id = p->lot->lot_id,
                       .order_id = p->lot->order_id,
                       .article_id = p->lot->article->article_id,
                       .shade_id = p->lot->shade->shade_id,
                       .machine_id = p->machine->machine_id,
                       .route_id = p->route->route_id,
                       .route_version = p->route->version,
                       .lot_revision = lot_revision,
                       .load_kg = value(p, p->load_kg),
                       .ratio_l_per_kg = value(p, p->ratio_l_per_kg),
                       .liquor_l = value(p, p->liquor_l),
                       .fabric_m = value(p, p->fabric_m),
                       .cycle_min = value(p, p->cycle_min),
                       .total_min = value(p, p->total_min),
                       .cost_minor = llround(value(p, p->cost_minor)),
                       .water_l = value(p, p->water_l),
                       .steam_kg = value(p, p->steam_kg),
                       .power_kwh = value(p, p->power_kwh),
                       .steel_kg = p->machine->steel_kg,
                       .steam_kj_per_kg = mdr_steam_hfg_kj_per_kg(p->site->steam_barg),
                       .curve = p->curve,
                       .n_points = p->n_points};
    const mdr_shade *shade = p->lot->shade;
    bool in_gamut;
    mdr_swatch_hex(shade->lab_l, shade->lab_a, shade->lab_b, c->swatch, &in_gamut);
    return c;
}

bool mdr_check_inside(const mdr_control_check *check, double value)
{
    static const double HALF = 0.5;
    if (check->kind == MDR_CHECK_SAMPLE && !check->has_low && !check->has_high) {
        return value > HALF;
    }
    return !(check->has_low && value < check->low) && !(check->has_high && value > check->high);
}

mdr_code mdr_control_make(const mdr_plan *plan, int lot_revision, mdr_arena *arena,
                          const mdr_control **out, mdr_err *err)
{
    MDR_TRY(refuse_stops(plan, err));
    size_t n = 0;
    for (int b = 0; b < plan->n_baths; b++) {
        n += (size_t)plan->baths[b].n_steps;
    }
    mdr_control *c = take_head(plan, lot_revision, arena);
    const int behind = mdr_control_passes(plan);
    mdr_control_bath *baths = MDR_NEW_N(arena, mdr_control_bath, (size_t)plan->n_baths + 1);
    taking t = {plan, arena, MDR_NEW_N(arena, mdr_control_step, n + (size_t)behind + 1), 0};
    if (c == NULL || baths == NULL || t.steps == NULL) {
        return no_memory(err);
    }
    MDR_TRY(take_steps(&t, baths, err));
    if (behind > 0) {
        MDR_TRY(mdr_control_take_passes(plan, plan->n_baths + 1, arena, &baths[plan->n_baths],
                                        &t.steps[t.n], err));
    }
    c->baths = baths;
    c->n_baths = plan->n_baths + (behind > 0 ? 1 : 0);
    c->steps = t.steps;
    c->n_steps = t.n + behind;
    *out = c;
    return MDR_OK;
}
