#include <math.h>
#include <string.h>

#include "core/plan/mdr_planner.h"
#include "core/units/mdr_strength.h"

typedef struct limit {
    const char *place;
    double value, least, most;
} limit;

static mdr_code check_limits(const limit *limits, int n, mdr_err *err)
{
    for (int i = 0; i < n; i++) {
        const limit *l = &limits[i];
        if (!(l->value >= l->least && l->value <= l->most)) { /* also catches NaN */
            const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, l->place, "a value is out of range");
            mdr_err_value(err, "%g", l->value);
            mdr_err_allowed(err, "%g to %g", l->least, l->most);
            mdr_err_remedy(err, "correct it where it is kept: %s", l->place);
            return rc;
        }
    }
    return MDR_OK;
}

#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))

/* Of the finishing passes; the ranges of mdr_web_check. */
static mdr_code validate_readings(const mdr_plan_in *in, mdr_err *err)
{
    for (int i = 0; i < in->n_readings; i++) {
        const mdr_pass_reading *r = &in->readings[i];
        const limit limits[] = {
            {"pass", r->pass, 1, in->route->n_passes},
            {"lies_cm", r->lies_cm, 1, 1000},
            {"courses_per_cm", r->courses_per_cm, 0.5, 100},
            {"moisture_pct", r->moisture_pct, 0, 500},
            {"wet_gsm", r->wet_gsm, 0, 10000},
        };
        mdr_code rc = check_limits(limits, N_OF(limits), err);
        if (rc != MDR_OK) {
            mdr_err_remedy(err, "read it again behind that pass of the route, and give that");
        }
        for (int k = 0; rc == MDR_OK && k < i; k++) {
            if (in->readings[k].pass == r->pass) {
                rc = MDR_FAIL(err, MDR_E_CONFLICT, "pass", "two readings behind one pass");
                mdr_err_value(err, "%d", r->pass);
                mdr_err_remedy(err, "keep the one that counts");
            }
        }
        if (rc != MDR_OK) {
            mdr_err_within(err, "readings[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code validate_machine(const mdr_machine *m, mdr_err *err)
{
    const limit limits[] = {
        {"machine.tubes", m->tubes, 1, 16},
        {"machine.load_max_kg", m->load_max_kg, 0.1, 5000},
        {"machine.liquor_min_l", m->liquor_min_l, 0.5, 50000},
        {"machine.liquor_max_l", m->liquor_max_l, m->liquor_min_l, 50000},
        {"machine.ratio_min_l_per_kg", m->ratio_min_l_per_kg, 1, 40},
        {"machine.speed_max_m_per_min", m->speed_max_m_per_min, 1, 1000},
        {"machine.temp_max_c", m->temp_max_c, 50, 140},
        {"machine.exchanger_kw_per_k", m->exchanger_kw_per_k, 0.01, 500},
        {"machine.circulation_l_per_min", m->circulation_l_per_min, 0, 50000},
        {"machine.steam_max_kg_per_h", m->steam_max_kg_per_h, 1, 20000},
        {"machine.steel_kg", m->steel_kg, 1, 50000},
        {"machine.heat_max_c_per_min", m->heat_max_c_per_min, 0.1, 10},
        {"machine.cool_max_c_per_min", m->cool_max_c_per_min, 0.1, 10},
        {"machine.fill_l_per_min", m->fill_l_per_min, 0.5, 10000},
        {"machine.drain_l_per_min", m->drain_l_per_min, 0.5, 10000},
        {"machine.rinse_l_per_min", m->rinse_l_per_min, 0.5, 10000},
        {"machine.tank_l", m->tank_l, 0.5, 5000},
        {"machine.tank_flow_l_per_min", m->tank_flow_l_per_min, 0.1, 1000},
        {"machine.tank_prepare_min", m->tank_prepare_min, 0, 60},
        {"machine.load_time_min", m->load_time_min, 0, 240},
        {"machine.unload_time_min", m->unload_time_min, 0, 240},
        {"machine.power_kw", m->power_kw, 0, 1000},
    };
    return check_limits(limits, N_OF(limits), err);
}

static mdr_code validate_lot(const mdr_lot *lot, const mdr_machine *m, mdr_err *err)
{
    const limit limits[] = {
        {"article.grey_gsm", lot->article->grey_gsm, 40, 800},
        {"article.grey_width_cm", lot->article->grey_width_cm, 20, 400},
        {"article.retained_l_per_kg", lot->article->retained_l_per_kg, 0.3, 6},
        {"lot.weighed_kg", lot->weighed_kg, 0, 5000},
        {"lot.ratio_l_per_kg", lot->ratio_l_per_kg, 2, 40},
        {"lot.speed_m_per_min", lot->speed_m_per_min, 0, 1000},
        {"lot.tubes_used", lot->tubes_used, 0, m->tubes},
    };
    MDR_TRY(check_limits(limits, N_OF(limits), err));
    if (lot->weighed_kg <= 0.0 && lot->n_rolls == 0) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "lot.rolls", "the lot has no rolls and no weighed mass");
        mdr_err_allowed(err, "at least one roll, or a weighed mass of 0.1 to 5000 kg");
        mdr_err_remedy(err, "gather rolls into the lot, or enter its weighed mass");
        return rc;
    }
    for (int i = 0; i < lot->n_rolls; i++) {
        const limit roll = {"roll.grey_kg", lot->rolls[i].grey_kg, 0.1, 200};
        MDR_TRY(check_limits(&roll, 1, err));
    }
    for (int i = 0; i < lot->shade->n_dyes; i++) {
        const limit depth = {"recipe.depth_pct_owf", lot->shade->dyes[i].depth_pct_owf, 1e-4, 20};
        MDR_TRY(check_limits(&depth, 1, err));
    }
    return MDR_OK;
}

static mdr_code validate_site(const mdr_site *s, mdr_err *err)
{
    const limit limits[] = {
        {"site.cold_water_c", s->cold_water_c, 1, 40},
        {"site.hot_water_c", s->hot_water_c, 0, 95},
        {"site.cooling_water_c", s->cooling_water_c, 1, 40},
        {"site.room_c", s->room_c, 0, 50},
        {"site.steam_barg", s->steam_barg, 0.5, 12},
        {"site.hardness_dh", s->hardness_dh, 0, 60},
        {"site.alkalinity_mmol_per_l", s->alkalinity_mmol_per_l, 0, 20},
    };
    return check_limits(limits, N_OF(limits), err);
}

static mdr_code validate_classes(const mdr_plan_in *in, mdr_err *err)
{
    const mdr_dye_class route = in->route->dye_class;
    const mdr_shade *shade = in->lot->shade;
    if (route != (mdr_dye_class)shade->dye_class) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "lot.route_id",
                                     "route %s is for the class \"%s\", but shade %s is \"%s\"",
                                     in->route->route_id, mdr_dye_class_id(route), shade->shade_id,
                                     mdr_dye_class_id((mdr_dye_class)shade->dye_class));
        mdr_err_value(err, "%s", in->route->route_id);
        mdr_err_allowed(err, "a route for the class \"%s\"",
                        mdr_dye_class_id((mdr_dye_class)shade->dye_class));
        mdr_err_remedy(err, "choose another route for the lot, or correct the shade");
        return rc;
    }
    if (route != MDR_CLASS_NONE && shade->n_dyes == 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "shade.recipe", "shade %s has no recipe",
                                     shade->shade_id);
        mdr_err_value(err, "0 dyes");
        mdr_err_allowed(err, "1 to 8 dyes");
        mdr_err_remedy(err, "enter the recipe of the shade");
        return rc;
    }
    return MDR_OK;
}

mdr_code mdr_plan_validate(const mdr_plan_in *in, mdr_err *err)
{
    MDR_TRY(validate_machine(in->machine, err));
    MDR_TRY(validate_lot(in->lot, in->machine, err));
    MDR_TRY(validate_site(in->site, err));
    MDR_TRY(validate_readings(in, err));
    return validate_classes(in, err);
}

/* field is the last part of &rec->member: one word for struct, CSV, JSON and figure. */
#define READ(table_, id_, rec_, member_, unit_, label_)      \
    mdr_fig_input(f, (double)(rec_)->member_, unit_, label_, \
                  (mdr_fig_source){.table = (table_), .record_id = (id_), .field = #member_})

static void read_machine(mdr_planner *p)
{
    mdr_figs *f = p->f;
    const mdr_machine *m = p->in->machine;
    const char *id = m->machine_id;
    mdr_plan_inputs *i = &p->i;
    i->liquor_min_l = READ("machine", id, m, liquor_min_l, "L", "Least liquor that circulates");
    i->exchanger = READ("machine", id, m, exchanger_kw_per_k, "kW/K", "Heat exchanger, UA");
    i->circulation =
        READ("machine", id, m, circulation_l_per_min, "L/min", "Pump flow through the exchanger");
    i->steam_max = READ("machine", id, m, steam_max_kg_per_h, "kg/h", "Steam the valve passes");
    i->steel = READ("machine", id, m, steel_kg, "kg", "Metal heated with the bath");
    i->heat_max = READ("machine", id, m, heat_max_c_per_min, "degC/min", "Steepest heating");
    i->cool_max = READ("machine", id, m, cool_max_c_per_min, "degC/min", "Steepest cooling");
    i->fill_flow = READ("machine", id, m, fill_l_per_min, "L/min", "Filling");
    i->drain_flow = READ("machine", id, m, drain_l_per_min, "L/min", "Draining");
    i->rinse_flow = READ("machine", id, m, rinse_l_per_min, "L/min", "Overflow rinsing");
    i->tank_l = READ("machine", id, m, tank_l, "L", "Usable volume of the addition tank");
    i->tank_flow =
        READ("machine", id, m, tank_flow_l_per_min, "L/min", "Dosing pump at full speed");
    i->tank_prepare = READ("machine", id, m, tank_prepare_min, "min", "Preparing one tank load");
    i->load_time = READ("machine", id, m, load_time_min, "min", "Loading");
    i->unload_time = READ("machine", id, m, unload_time_min, "min", "Unloading");
    i->power = READ("machine", id, m, power_kw, "kW", "Power while running");
}

static void read_site(mdr_planner *p)
{
    mdr_figs *f = p->f;
    const mdr_site *s = p->in->site;
    mdr_plan_inputs *i = &p->i;
    i->cold = READ("site", s->name, s, cold_water_c, "degC", "Cold process water");
    i->hot = s->hot_water_c > s->cold_water_c
                 ? READ("site", s->name, s, hot_water_c, "degC", "Hot water tank")
                 : i->cold;
    i->cooling = READ("site", s->name, s, cooling_water_c, "degC", "Cooling water");
    i->room = READ("site", s->name, s, room_c, "degC", "The hall, and the grey fabric");
    i->water_price = READ("site", s->name, s, water_minor_per_m3, "minor/m3", "Price of water");
    i->effluent_price =
        READ("site", s->name, s, effluent_minor_per_m3, "minor/m3", "Cost of effluent");
    i->steam_price = READ("site", s->name, s, steam_minor_per_t, "minor/t", "Cost of steam");
    i->power_price =
        READ("site", s->name, s, power_minor_per_mwh, "minor/MWh", "Price of electricity");
    const mdr_fig_id barg = READ("site", s->name, s, steam_barg, "bar g", "Steam pressure");
    const mdr_where lot = {0};
    i->steam_c = MDR_FIG(f, MDR_QTY_STEAM_TEMP, lot, MDR_RULE_STEAM_TEMP, barg);
    i->steam_kj_per_kg = MDR_FIG(f, MDR_QTY_STEAM_HEAT, lot, MDR_RULE_STEAM_HEAT, barg);
    i->ua = MDR_FIG(f, MDR_QTY_UA, lot, MDR_RULE_UA, i->exchanger, i->circulation);
    const mdr_fig_id dh = READ("site", s->name, s, hardness_dh, "dH", "Hardness of the water");
    i->water_hardness_mmol_per_l =
        MDR_FIG(f, MDR_QTY_WATER_HARDNESS, lot, MDR_RULE_HARDNESS_OF_WATER, dh);
    i->water_bicarbonate_g_per_l =
        s->alkalinity_mmol_per_l > 0.0
            ? MDR_FIG(f, MDR_QTY_WATER_BICARBONATE, lot, MDR_RULE_BICARBONATE,
                      READ("site", s->name, s, alkalinity_mmol_per_l, "mmol/L",
                           "Hydrogen carbonate of the water"))
            : MDR_FIG_NONE;
}

static void read_lot(mdr_planner *p)
{
    mdr_figs *f = p->f;
    const mdr_lot *lot = p->in->lot;
    const mdr_article *a = lot->article;
    const mdr_machine *m = p->in->machine;
    mdr_plan_inputs *i = &p->i;
    i->gsm = READ("article", a->article_id, a, grey_gsm, "g/m2", "Grey mass per area");
    i->width_cm = READ("article", a->article_id, a, grey_width_cm, "cm", "Grey open width");
    i->retained_l_per_kg = READ("article", a->article_id, a, retained_l_per_kg, "L/kg",
                                "Liquor the drained rope keeps");
    i->ratio = READ("lot", lot->lot_id, lot, ratio_l_per_kg, "L/kg", "Liquor ratio asked for");
    i->speed =
        lot->speed_m_per_min > 0.0
            ? READ("lot", lot->lot_id, lot, speed_m_per_min, "m/min", "Rope speed")
            : READ("machine", m->machine_id, m, speed_max_m_per_min, "m/min", "Fastest rope speed");
    i->tubes = lot->tubes_used > 0
                   ? READ("lot", lot->lot_id, lot, tubes_used, "", "Ropes used")
                   : READ("machine", m->machine_id, m, tubes, "", "Ropes side by side");
}

mdr_fig_id mdr_plan_constant(mdr_planner *p, double value, const char *unit, const char *label,
                             const char *source, const char *field)
{
    return mdr_fig_input(p->f, value, unit, label,
                         (mdr_fig_source){.table = "const", .record_id = source, .field = field});
}

/* Litres of water a liquid product is thinned with in the addition tank: common practice. */
static const double DILUTION_L_PER_L = 1.0;

void mdr_plan_read_inputs(mdr_planner *p)
{
    p->i.zero = mdr_plan_constant(p, 0.0, "min", "Start", "definition", "zero");
    p->i.whole = mdr_plan_constant(p, 100.0, "%", "All of it", "definition", "whole_pct");
    p->i.dilution =
        mdr_plan_constant(p, DILUTION_L_PER_L, "L/L", "Water per litre of a liquid product",
                          "common-practice", "dilution_l_per_l");
    p->i.absent = mdr_plan_constant(p, 0.0, "kg", "Not in the bath", "definition", "absent");
    p->i.cold_reading = mdr_plan_constant(p, MDR_PLAN_COLD_C, "degC", "Sample cooled to",
                                          "common-practice", "cold_reading_c");
    p->i.regain_kg_per_kg = mdr_plan_constant(p, MDR_WEB_REGAIN_KG_PER_KG, "kg/kg",
                                              "Moisture of commercially dry cotton",
                                              "cotton-regain", "regain_kg_per_kg");
    read_machine(p);
    read_site(p);
    read_lot(p);
}

mdr_fig_id mdr_plan_route_input(mdr_planner *p, double value, const char *unit, const char *label,
                                const char *field, mdr_where at)
{
    return mdr_fig_input(
        p->f, value, unit, label,
        (mdr_fig_source){
            .table = "route", .record_id = p->in->route->route_id, .field = field, .at = at});
}

static mdr_rule baume_rule(int substance)
{
    switch (substance) {
    case MDR_SUB_NAOH:
        return MDR_RULE_BAUME_NAOH;
    case MDR_SUB_NACL:
        return MDR_RULE_BAUME_NACL;
    default:
        return MDR_RULE_BAUME_NA2SO4;
    }
}

static mdr_code bad_material(const mdr_material *m, const char *field, const char *msg,
                             const char *remedy, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "", "%s", msg);
    if (err != NULL) {
        mdr_err_within(err, "material.%s.%s", m->material_id, field);
    }
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

/* What a figure of this material would divide by or look up must be there. */
static mdr_code validate_material(const mdr_material *m, mdr_err *err)
{
    const bool liquid = mdr_form_is_liquid((mdr_form)m->form);
    if (m->baume > 0.0) {
        double strength_pct = 0.0;
        double density_kg_per_l = 0.0;
        MDR_TRY(
            mdr_strength_of_baume(m->substance, m->baume, &strength_pct, &density_kg_per_l, err));
    } else if (!(m->strength_pct > 0.0 && m->strength_pct <= 400.0)) {
        return bad_material(m, "strength_pct", "the product has no strength",
                            "enter its active substance in % (0 to 100; dyes to 400), or baume",
                            err);
    }
    if (liquid && m->baume <= 0.0 && !(m->density_kg_per_l > 0.0)) {
        return bad_material(m, "density_kg_per_l", "the liquid has no density",
                            "enter its density, 0.5 to 2.5 kg/L", err);
    }
    if (!liquid && !(m->solubility_g_per_l > 0.0)) {
        return bad_material(m, "solubility_g_per_l", "the solid has no solubility",
                            "enter how many g dissolve well in a litre of the tank, 1 to 2000",
                            err);
    }
    return MDR_OK;
}

static void read_material(mdr_planner *p, mdr_plan_stuff *s)
{
    mdr_figs *f = p->f;
    const mdr_material *m = s->material;
    const char *id = m->material_id;
    const mdr_where lot = {0};
    const bool liquid = mdr_form_is_liquid((mdr_form)m->form);
    s->density = s->solubility = s->price = MDR_FIG_NONE;
    mdr_fig_id baume = MDR_FIG_NONE;
    if (m->baume > 0.0) {
        baume = READ("material", id, m, baume, "degBe", "Degree Baume");
        s->strength = MDR_FIG(f, MDR_QTY_STRENGTH, lot, baume_rule(m->substance), baume);
        mdr_fig_belongs(f, s->strength, "material", id);
    } else {
        s->strength = READ("material", id, m, strength_pct, "%", "Strength as delivered");
    }
    if (m->density_kg_per_l > 0.0) {
        s->density = READ("material", id, m, density_kg_per_l, "kg/L", "Density");
    } else if (baume != MDR_FIG_NONE) {
        s->density = MDR_FIG(f, MDR_QTY_DENSITY, lot, MDR_RULE_BAUME_DENSITY, baume);
        mdr_fig_belongs(f, s->density, "material", id);
    }
    if (!liquid) {
        s->solubility =
            READ("material", id, m, solubility_g_per_l, "g/L", "Dissolves well in the tank");
    }
    s->price = READ("material", id, m, price_minor_per_kg, "minor/kg", "Price");
}

mdr_plan_stuff *mdr_plan_stuff_of(mdr_planner *p, const char *material_id)
{
    for (int i = 0; i < p->n_stuff; i++) {
        if (strcmp(p->stuff[i].material->material_id, material_id) == 0) {
            return &p->stuff[i];
        }
    }
    return NULL;
}

static mdr_code add_stuff(mdr_planner *p, const mdr_material *m)
{
    if (mdr_plan_stuff_of(p, m->material_id) != NULL) {
        return MDR_OK;
    }
    MDR_TRY(validate_material(m, p->err));
    mdr_plan_stuff *s = &p->stuff[p->n_stuff++];
    *s = (mdr_plan_stuff){.material = m};
    read_material(p, s);
    return MDR_OK;
}

static bool named_by_route(const mdr_route *route, const char *material_id)
{
    for (int s = 0; s < route->n_stages; s++) {
        for (int b = 0; b < route->stages[s].n_baths; b++) {
            const mdr_route_bath *bath = &route->stages[s].baths[b];
            for (int k = 0; k < bath->n_steps; k++) {
                for (int i = 0; i < bath->steps[k].n_items; i++) {
                    if (strcmp(bath->steps[k].items[i].material_id, material_id) == 0) {
                        return true;
                    }
                }
            }
        }
    }
    return false;
}

mdr_code mdr_plan_read_stuff(mdr_planner *p)
{
    const mdr_shade *shade = p->in->lot->shade;
    const int most = p->in->n_materials + shade->n_dyes;
    if (most == 0) {
        return MDR_OK;
    }
    p->stuff = MDR_NEW_N(p->arena, mdr_plan_stuff, (size_t)most);
    if (p->stuff == NULL) {
        p->failed = true;
        return MDR_OK;
    }
    for (int i = 0; i < p->in->n_materials; i++) {
        if (named_by_route(p->in->route, p->in->materials[i]->material_id)) {
            MDR_TRY(add_stuff(p, p->in->materials[i]));
        }
    }
    for (int i = 0; i < shade->n_dyes; i++) {
        MDR_TRY(add_stuff(p, shade->dyes[i].dye));
    }
    return MDR_OK;
}

mdr_fig_id mdr_plan_of_article(mdr_planner *p, double value, const char *unit, const char *label,
                               const char *field)
{
    return mdr_fig_input(p->f, value, unit, label,
                         (mdr_fig_source){.table = "article",
                                          .record_id = p->in->lot->article->article_id,
                                          .field = field});
}
