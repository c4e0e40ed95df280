/* What the lot takes and gives off, stage by stage: water, heat, power, products, load to the
 * drain, carbon dioxide, money. Counted where it is caused: salt goes to the drain from many
 * baths, but the stage that gave it answers for it. */
#include "core/bath/mdr_drain_load.h"
#include "core/plan/mdr_planner.h"

/* Figures gathered for one sum; more than there is room for is not possible in a checked route,
 * and would set `failed`. */
typedef struct parts {
    mdr_fig_id *ids;
    int n, room;
} parts;

typedef struct gather {
    mdr_planner *p;
    mdr_plan_foot *foot;
    const char *record_id; /* of the stage */
    parts water, effluent, steam, power, mass, salt, dye, cod, solids, co2, cost;
    parts unknown_cod, unknown_co2;
} gather;

static bool make(mdr_planner *p, parts *list, int room)
{
    list->ids = MDR_NEW_N(p->arena, mdr_fig_id, (size_t)room);
    list->room = room;
    p->failed = p->failed || list->ids == NULL;
    return list->ids != NULL;
}

static void put(parts *list, mdr_fig_id id)
{
    if (id != MDR_FIG_NONE && list->n < list->room) {
        list->ids[list->n++] = id;
    }
}

static void put_pair(parts *list, mdr_fig_id amount, mdr_fig_id factor)
{
    if (list->n + 1 < list->room) {
        list->ids[list->n++] = amount;
        list->ids[list->n++] = factor;
    }
}

static mdr_fig_id of_material(mdr_planner *p, const mdr_material *m, double value, const char *unit,
                              const char *label, const char *field)
{
    return mdr_fig_input(
        p->f, value, unit, label,
        (mdr_fig_source){.table = "material", .record_id = m->material_id, .field = field});
}

static mdr_fig_id site_factor(mdr_planner *p, double value, const char *unit, const char *label,
                              const char *field)
{
    return mdr_fig_input(
        p->f, value, unit, label,
        (mdr_fig_source){.table = "site", .record_id = p->in->site->name, .field = field});
}

/* -- one product -- */

static void cod_of(gather *g, const mdr_plan_item *item, mdr_fig_id drained_kg)
{
    mdr_planner *p = g->p;
    const mdr_material *m = item->material;
    double per_g = 0.0;
    if (m->cod_g_per_g > 0.0) {
        put_pair(&g->cod, m->is_dye ? drained_kg : item->mass_kg,
                 of_material(p, m, m->cod_g_per_g, "g/g", "Oxygen demand", "cod_g_per_g"));
    } else if (mdr_drain_cod_g_per_g(m->substance, &per_g)) {
        if (per_g > 0.0) {
            put_pair(&g->cod, item->active_kg,
                     of_material(p, m, per_g, "g/g", "Oxygen demand, by formula",
                                 "theoretical_cod_g_per_g"));
        }
    } else {
        put(&g->unknown_cod, item->mass_kg);
    }
}

static void co2_of(gather *g, const mdr_plan_item *item)
{
    const mdr_material *m = item->material;
    if (m->co2_kg_per_kg > 0.0) {
        put_pair(&g->co2, item->mass_kg,
                 of_material(g->p, m, m->co2_kg_per_kg, "kg/kg", "Carbon dioxide of making it",
                             "co2_kg_per_kg"));
    } else {
        put(&g->unknown_co2, item->mass_kg);
    }
}

static void take_item(gather *g, const mdr_plan_item *item, mdr_where at)
{
    mdr_planner *p = g->p;
    const mdr_material *m = item->material;
    mdr_fig_id drained_kg = MDR_FIG_NONE;
    put(&g->mass, item->mass_kg);
    put(&g->cost, item->cost_minor);
    if (m->is_dye) {
        drained_kg = MDR_FIG(p->f, MDR_QTY_DYE_DRAIN, at, MDR_RULE_UNFIXED, item->active_kg,
                             mdr_plan_fixation(p, m));
        put(&g->dye, drained_kg);
    }
    if (m->substance == MDR_SUB_NACL || m->substance == MDR_SUB_NA2SO4) {
        put(&g->salt, item->active_kg);
    }
    if (mdr_drain_solids_fraction(m->substance) > 0.0) {
        put(&g->solids, item->active_kg);
    }
    cod_of(g, item, drained_kg);
    co2_of(g, item);
}

/* -- one bath -- */

static bool scours(const mdr_planner *p, const mdr_plan_bath *bath)
{
    static const double HOT_C = 80.0;
    bool alkali = false, hot = false, enzyme = false;
    for (int s = 0; s < bath->n_steps; s++) {
        hot = hot || mdr_fig_value(p->f, bath->steps[s].temp_end_c) >= HOT_C;
        for (int i = 0; i < bath->steps[s].n_items; i++) {
            const int substance = bath->steps[s].items[i].material->substance;
            alkali = alkali || substance == MDR_SUB_NAOH || substance == MDR_SUB_NA2CO3;
            enzyme = enzyme || substance == MDR_SUB_ENZYME;
        }
    }
    return ((alkali && hot) || enzyme) && bath->stage->kind == MDR_STAGE_PREPARE;
}

static void take_bath(gather *g, mdr_plan_bath *bath, bool *scoured)
{
    mdr_planner *p = g->p;
    mdr_where at = {.bath = (int16_t)bath->number};
    bath->power_kwh = MDR_FIG(p->f, MDR_QTY_POWER, at, MDR_RULE_POWER, p->i.power, bath->minutes);
    put(&g->water, bath->water_l);
    put(&g->effluent, bath->drained_l);
    put(&g->effluent, bath->rinse_l);
    put(&g->steam, bath->steam_kg);
    put(&g->power, bath->power_kwh);
    for (int s = 0; s < bath->n_steps; s++) {
        for (int i = 0; i < bath->steps[s].n_items; i++) {
            at.step = (int16_t)(s + 1);
            at.item = (int16_t)(i + 1);
            take_item(g, &bath->steps[s].items[i], at);
        }
    }
    if (!*scoured && scours(p, bath)) {
        *scoured = true;
        put_pair(&g->cod, p->plan->load_kg,
                 mdr_fig_input(p->f, MDR_DRAIN_COTTON_COD_G_PER_KG / 1000.0, "kg/kg",
                               "Oxygen demand of what scouring takes off the cotton",
                               (mdr_fig_source){.table = "const",
                                                .record_id = "common-practice",
                                                .field = "cotton_cod_kg_per_kg"}));
    }
}

/* -- one stage -- */

static mdr_fig_id of_stage(gather *g, mdr_fig_id id)
{
    if (g->record_id != NULL) {
        mdr_fig_belongs(g->p->f, id, "stage", g->record_id);
    }
    return id;
}

static mdr_fig_id sum(gather *g, mdr_qty qty, mdr_rule rule, const parts *list)
{
    return of_stage(g, mdr_fig_rule(g->p->f, qty, (mdr_where){0}, rule, list->ids, list->n));
}

static mdr_fig_id priced(gather *g, mdr_qty qty, mdr_fig_id amount, mdr_fig_id price)
{
    return of_stage(g, MDR_FIG(g->p->f, qty, (mdr_where){0}, MDR_RULE_PER_THOUSAND, amount, price));
}

static void close_stage(gather *g)
{
    mdr_planner *p = g->p;
    mdr_plan_foot *f = g->foot;
    const mdr_site *s = p->in->site;
    f->water_l = sum(g, MDR_QTY_WATER, MDR_RULE_SUM, &g->water);
    f->effluent_l = sum(g, MDR_QTY_EFFLUENT, MDR_RULE_SUM, &g->effluent);
    f->steam_kg = sum(g, MDR_QTY_STEAM, MDR_RULE_SUM, &g->steam);
    f->power_kwh = sum(g, MDR_QTY_POWER, MDR_RULE_SUM, &g->power);
    f->chemicals_kg = sum(g, MDR_QTY_CHEMICALS, MDR_RULE_SUM, &g->mass);
    f->salt_kg = sum(g, MDR_QTY_SALT_DRAIN, MDR_RULE_SUM, &g->salt);
    f->dye_kg = sum(g, MDR_QTY_DYE_DRAIN, MDR_RULE_SUM, &g->dye);
    f->cod_kg = sum(g, MDR_QTY_COD, MDR_RULE_WEIGHTED, &g->cod);
    f->solids_kg = sum(g, MDR_QTY_SOLIDS, MDR_RULE_SUM, &g->solids);
    g->co2.ids[0] = f->steam_kg;
    g->co2.ids[1] = site_factor(p, s->steam_co2_kg_per_t, "kg/t", "Carbon dioxide of steam",
                                "steam_co2_kg_per_t");
    g->co2.ids[2] = f->power_kwh;
    g->co2.ids[3] = site_factor(p, s->power_co2_kg_per_mwh, "kg/MWh",
                                "Carbon dioxide of electricity", "power_co2_kg_per_mwh");
    g->co2.ids[4] = f->water_l;
    g->co2.ids[5] = site_factor(p, s->water_co2_kg_per_m3, "kg/m3",
                                "Carbon dioxide of water and effluent", "water_co2_kg_per_m3");
    f->co2_kg = sum(g, MDR_QTY_CO2, MDR_RULE_CO2_OF, &g->co2);
    f->water_minor = priced(g, MDR_QTY_WATER_COST, f->water_l, p->i.water_price);
    f->effluent_minor = priced(g, MDR_QTY_EFFLUENT_COST, f->effluent_l, p->i.effluent_price);
    f->steam_minor = priced(g, MDR_QTY_STEAM_COST, f->steam_kg, p->i.steam_price);
    f->power_minor = priced(g, MDR_QTY_POWER_COST, f->power_kwh, p->i.power_price);
    f->chemicals_minor = sum(g, MDR_QTY_CHEMICALS_COST, MDR_RULE_SUM, &g->cost);
    f->cost_minor =
        of_stage(g, MDR_FIG(p->f, MDR_QTY_COST, (mdr_where){0}, MDR_RULE_SUM, f->water_minor,
                            f->effluent_minor, f->steam_minor, f->power_minor, f->chemicals_minor));
}

static const char *const STAGE_IDS[MDR_ROUTE_STAGES_MAX] = {
    "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12", "13", "14", "15", "16"};

static void empty(gather *g)
{
    parts *const lists[] = {&g->water, &g->effluent, &g->steam,  &g->power, &g->mass, &g->salt,
                            &g->dye,   &g->cod,      &g->solids, &g->co2,   &g->cost};
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        lists[i]->n = 0;
    }
    g->co2.n = 6; /* steam, power and water come first */
}

static int count_items(const mdr_plan *plan)
{
    int n = 0;
    for (int b = 0; b < plan->n_baths; b++) {
        for (int s = 0; s < plan->baths[b].n_steps; s++) {
            n += plan->baths[b].steps[s].n_items;
        }
    }
    return n;
}

/* One list is filled anew for each stage: figures keep their inputs in a pool of their own. */
static bool prepare(mdr_planner *p, gather *g)
{
    const int items = count_items(p->plan);
    const int room = 2 * items + 2 * p->plan->n_baths + 16;
    parts *const lists[] = {&g->water, &g->effluent,    &g->steam,      &g->power,  &g->mass,
                            &g->salt,  &g->dye,         &g->cod,        &g->solids, &g->co2,
                            &g->cost,  &g->unknown_cod, &g->unknown_co2};
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        if (!make(p, lists[i], room)) {
            return false;
        }
    }
    return true;
}

/* -- the lot: its stages added up -- */

typedef mdr_fig_id (*pick)(const mdr_plan_foot *f);
#define PICK(member)                                        \
    static mdr_fig_id pick_##member(const mdr_plan_foot *f) \
    {                                                       \
        return f->member;                                   \
    }
PICK(salt_kg)
PICK(dye_kg)
PICK(cod_kg)
PICK(solids_kg)
PICK(co2_kg)
#undef PICK

static mdr_fig_id total(mdr_planner *p, mdr_qty qty, pick which)
{
    const mdr_plan_footprint *foot = &p->plan->foot;
    mdr_fig_id ids[MDR_ROUTE_STAGES_MAX];
    for (int i = 0; i < foot->n_stages; i++) {
        ids[i] = which(&foot->stages[i]);
    }
    return mdr_fig_rule(p->f, qty, (mdr_where){0}, MDR_RULE_SUM, ids, foot->n_stages);
}

static void totals(mdr_planner *p, gather *g)
{
    mdr_plan *plan = p->plan;
    mdr_figs *f = p->f;
    const mdr_where lot = {0};
    mdr_plan_foot *t = &plan->foot.total;
    *t = (mdr_plan_foot){.water_l = plan->water_l,
                         .steam_kg = plan->steam_kg,
                         .power_kwh = plan->power_kwh,
                         .chemicals_kg = plan->chemicals_kg,
                         .chemicals_minor = plan->chemicals_minor,
                         .cost_minor = plan->cost_minor,
                         .effluent_l = plan->effluent_l,
                         .water_minor = plan->water_minor,
                         .effluent_minor = plan->effluent_minor,
                         .steam_minor = plan->steam_minor,
                         .power_minor = plan->power_minor};
    t->salt_kg = total(p, MDR_QTY_SALT_DRAIN, pick_salt_kg);
    t->dye_kg = total(p, MDR_QTY_DYE_DRAIN, pick_dye_kg);
    t->cod_kg = total(p, MDR_QTY_COD, pick_cod_kg);
    t->solids_kg = total(p, MDR_QTY_SOLIDS, pick_solids_kg);
    t->co2_kg = total(p, MDR_QTY_CO2, pick_co2_kg);
    mdr_plan_footprint *foot = &plan->foot;
    foot->water_l_per_kg = plan->water_l_per_kg;
    foot->cost_minor_per_kg = plan->cost_minor_per_kg;
    foot->steam_kg_per_kg =
        MDR_FIG(f, MDR_QTY_STEAM_PER_KG, lot, MDR_RULE_PER_KG, plan->steam_kg, plan->load_kg);
    foot->power_kwh_per_kg =
        MDR_FIG(f, MDR_QTY_POWER_PER_KG, lot, MDR_RULE_PER_KG, plan->power_kwh, plan->load_kg);
    foot->cod_g_per_kg =
        MDR_FIG(f, MDR_QTY_COD_PER_KG, lot, MDR_RULE_G_PER_KG, t->cod_kg, plan->load_kg);
    foot->cod_mg_per_l =
        MDR_FIG(f, MDR_QTY_COD_MEAN, lot, MDR_RULE_MEAN_MG_PER_L, t->cod_kg, plan->effluent_l);
    foot->solids_kg_per_kg =
        MDR_FIG(f, MDR_QTY_SOLIDS_PER_KG, lot, MDR_RULE_PER_KG, t->solids_kg, plan->load_kg);
    foot->co2_kg_per_kg =
        MDR_FIG(f, MDR_QTY_CO2_PER_KG, lot, MDR_RULE_PER_KG, t->co2_kg, plan->load_kg);
    foot->unknown_cod_kg = mdr_fig_rule(f, MDR_QTY_UNKNOWN_COD, lot, MDR_RULE_SUM,
                                        g->unknown_cod.ids, g->unknown_cod.n);
    foot->unknown_co2_kg = mdr_fig_rule(f, MDR_QTY_UNKNOWN_CO2, lot, MDR_RULE_SUM,
                                        g->unknown_co2.ids, g->unknown_co2.n);
}

void mdr_plan_footprint_make(mdr_planner *p)
{
    mdr_plan *plan = p->plan;
    gather g = {.p = p};
    plan->foot.stages = MDR_NEW_N(p->arena, mdr_plan_foot, (size_t)plan->route->n_stages + 1);
    if (plan->foot.stages == NULL || !prepare(p, &g) || p->f->failed) {
        p->failed = p->failed || plan->foot.stages == NULL;
        return;
    }
    bool scoured = false;
    for (int s = 0; s < plan->route->n_stages && s < MDR_ROUTE_STAGES_MAX; s++) {
        g.foot = &plan->foot.stages[plan->foot.n_stages++];
        *g.foot = (mdr_plan_foot){.stage = &plan->route->stages[s]};
        g.record_id = STAGE_IDS[s];
        empty(&g);
        for (int b = 0; b < plan->n_baths; b++) {
            if (plan->baths[b].stage == &plan->route->stages[s]) {
                take_bath(&g, &plan->baths[b], &scoured);
            }
        }
        close_stage(&g);
    }
    totals(p, &g);
}
