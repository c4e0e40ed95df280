#include <stdio.h>
#include <string.h>

#include "app/mdr_app_in.h"
#include "card/mdr_card.h"
#include "wire/mdr_near.h"
#include "wire/mdr_wire.h"

enum { MATERIALS_MOST = MDR_ROUTE_BATHS_MAX * MDR_ROUTE_STEPS_MAX };

/* -- gathering what a plan is made from -- */

static void apply(const mdr_what_if *w, mdr_lot_full *full)
{
    full->machine_id = w->machine_id != NULL ? w->machine_id : full->machine_id;
    full->route_id = w->route_id != NULL ? w->route_id : full->route_id;
    full->lot.weighed_kg = w->has_load ? w->load_kg : full->lot.weighed_kg;
    full->lot.ratio_l_per_kg = w->has_ratio ? w->ratio_l_per_kg : full->lot.ratio_l_per_kg;
    full->lot.speed_m_per_min = w->has_speed ? w->speed_m_per_min : full->lot.speed_m_per_min;
    full->lot.tubes_used = w->has_tubes ? w->tubes_used : full->lot.tubes_used;
}

static mdr_code machine_of(mdr_app *app, const char *id, const mdr_machine **out, mdr_err *err)
{
    *out = mdr_masters_machine(&app->masters, id);
    if (*out != NULL) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "machine_id", "there is no such machine");
    mdr_err_value(err, "%s", id);
    char ids[96] = "";
    size_t n = 0;
    for (int i = 0; i < app->masters.n_machines; i++) {
        const char *each = app->masters.machines[i].machine_id;
        if (n + strlen(each) + 2 < sizeof ids) {
            n += (size_t)snprintf(ids + n, sizeof ids - n, "%s%s", n > 0 ? " " : "", each);
        }
    }
    mdr_err_allowed(err, "%s", ids);
    return rc;
}

/* The route asked for: a whole one in the request, or the stored one. */
static mdr_code route_of(mdr_app *app, const mdr_what_if *w, const char *route_id, mdr_arena *arena,
                         mdr_err_list *found, const mdr_route **out, mdr_err *err)
{
    if (w->route == NULL) {
        return mdr_app_route_resolved(app, route_id, out, err);
    }
    mdr_app_shelf shelf = {.app = app};
    const int from = found != NULL ? found->count : 0;
    const mdr_code rc = mdr_app_route_verify(&shelf, w->route, arena, found, out, err);
    if (rc != MDR_OK) {
        if (found != NULL) {
            mdr_err_list_within(found, from, "route");
        }
        mdr_err_within(err, "route");
    }
    return rc;
}

/* Pointers to the records named, each once; what is unknown is left for the planner to say. */
typedef struct gather {
    const mdr_masters *masters;
    const mdr_material **materials;
    const mdr_dose_table **tables;
    int n_materials, n_tables, room;
} gather;

static void take_material(gather *g, const char *id)
{
    const mdr_material *m = mdr_masters_material(g->masters, id);
    for (int i = 0; i < g->n_materials; i++) {
        if (g->materials[i] == m) {
            return;
        }
    }
    if (m != NULL && g->n_materials < g->room) {
        g->materials[g->n_materials++] = m;
    }
}

static void take_bath(gather *g, const mdr_route_bath *bath)
{
    for (int s = 0; s < bath->n_steps; s++) {
        for (int i = 0; i < bath->steps[s].n_items; i++) {
            take_material(g, bath->steps[s].items[i].material_id);
        }
    }
}

static mdr_code gather_for(mdr_app *app, const mdr_route *route, mdr_arena *arena, mdr_plan_in *in,
                           mdr_err *err)
{
    const mdr_masters *m = &app->masters;
    gather g = {.masters = m, .room = m->n_materials};
    g.materials = MDR_NEW_N(arena, const mdr_material *, (size_t)m->n_materials + 1);
    g.tables = MDR_NEW_N(arena, const mdr_dose_table *, (size_t)m->n_dose_tables + 1);
    if (g.materials == NULL || g.tables == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to gather the materials");
    }
    for (int i = 0; i < route->n_stages; i++) {
        for (int k = 0; k < route->stages[i].n_baths; k++) {
            take_bath(&g, &route->stages[i].baths[k]);
        }
    }
    /* the few tables there are: all of them */
    for (int i = 0; i < m->n_dose_tables; i++) {
        g.tables[g.n_tables++] = &m->dose_tables[i];
    }
    in->materials = g.materials;
    in->n_materials = g.n_materials;
    in->tables = g.tables;
    in->n_tables = g.n_tables;
    in->finishers = m->finishers;
    in->n_finishers = m->n_finishers;
    in->articles = m->articles;
    in->n_articles = m->n_articles;
    return MDR_OK;
}

static mdr_code stored_lot(mdr_app *app, const char *lot_id, mdr_arena *arena, mdr_lot_full *out,
                           mdr_err *err)
{
    MDR_TRY(mdr_app_refresh(app, err));
    if (app->masters.site == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "site", "the mill has no site record");
        mdr_err_remedy(err, "import the table site: water temperatures, steam pressure, prices");
        return rc;
    }
    return mdr_mill_lot(app->mill, &app->masters, lot_id, arena, out, err);
}

mdr_code mdr_app_desk_set(mdr_app *app, const char *lot_id, mdr_blob what_if, mdr_arena *arena,
                          mdr_err_list *found, mdr_app_desk *out, mdr_err *err)
{
    mdr_app_desk *d = MDR_NEW(arena, mdr_app_desk);
    if (d == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to plan the lot");
    }
    MDR_TRY(stored_lot(app, lot_id, arena, &d->full, err));
    mdr_what_if w;
    MDR_TRY(mdr_wire_what_if_read(what_if.bytes, what_if.len, arena, found, &w, err));
    apply(&w, &d->full);
    MDR_TRY(machine_of(app, d->full.machine_id, &d->in.machine, err));
    MDR_TRY(route_of(app, &w, d->full.route_id, arena, found, &d->in.route, err));
    MDR_TRY(gather_for(app, d->in.route, arena, &d->in, err));
    d->in.lot = &d->full.lot;
    d->in.readings = w.readings;
    d->in.n_readings = w.n_readings;
    d->in.site = app->masters.site;
    *out = *d;
    return MDR_OK;
}

mdr_code mdr_app_desk_gather(mdr_app *app, mdr_app_desk *desk, mdr_arena *arena, mdr_err *err)
{
    return gather_for(app, desk->in.route, arena, &desk->in, err);
}

/* -- plans and what is made of them -- */

mdr_code mdr_app_plan(mdr_app *app, const char *lot_id, mdr_blob what_if, mdr_arena *arena,
                      mdr_err_list *found, const mdr_plan **out, mdr_err *err)
{
    mdr_app_desk desk;
    MDR_TRY(mdr_app_desk_set(app, lot_id, what_if, arena, found, &desk, err));
    return mdr_plan_make(&desk.in, arena, out, err);
}
