#include <string.h>

#include "app/mdr_app_in.h"
#include "wire/mdr_near.h"
#include "wire/mdr_wire.h"

mdr_app_route *mdr_app_route_find(mdr_app *app, const char *route_id)
{
    for (int i = 0; i < app->n_routes; i++) {
        if (strcmp(app->routes[i].doc.route_id, route_id) == 0) {
            return &app->routes[i];
        }
    }
    return NULL;
}

static mdr_code read_document(mdr_app *app, mdr_app_route *r)
{
    mdr_route_doc doc;
    MDR_TRY(mdr_mill_route(app->mill, r->doc.route_id, r->doc.version, app->cache, &doc, &r->err));
    r->doc.text = doc.text;
    r->doc.text_len = doc.text_len;
    const mdr_code rc =
        mdr_wire_route_read(doc.text, doc.text_len, app->cache, NULL, &r->stored, &r->err);
    if (rc != MDR_OK) {
        r->stored = NULL;
        mdr_err_within(&r->err, "route %s", r->doc.route_id);
    }
    return rc;
}

/* Text and document, once. What lacked memory or the disk may go well the next time. */
static void read_once(mdr_app *app, mdr_app_route *r)
{
    if (!r->read) {
        const mdr_code rc = read_document(app, r);
        r->read = rc != MDR_E_NOMEM && rc != MDR_E_IO;
    }
}

const mdr_route *mdr_app_shelf_route(void *shelf, const char *route_id)
{
    mdr_app_shelf *s = shelf;
    for (int i = 0; i < s->n_fresh; i++) {
        if (strcmp(s->fresh[i]->route_id, route_id) == 0) {
            return s->fresh[i];
        }
    }
    mdr_app_route *r = mdr_app_route_find(s->app, route_id);
    if (r == NULL) {
        return NULL;
    }
    read_once(s->app, r);
    if (r->stored == NULL) {
        s->failed = &r->err;
    }
    return r->stored;
}

/* A route that is there but cannot be read is not called missing. */
static mdr_code resolve(mdr_app_shelf *shelf, const mdr_route *route, mdr_arena *arena,
                        const mdr_route **whole, mdr_err *err)
{
    shelf->failed = NULL;
    const mdr_code rc = mdr_route_resolve(route, mdr_app_shelf_route, shelf, arena, whole, err);
    if (rc != MDR_E_NOTFOUND || shelf->failed == NULL) {
        return rc;
    }
    if (err != NULL) {
        *err = *shelf->failed;
    }
    return shelf->failed->code;
}

static mdr_code no_route(mdr_app *app, const char *route_id, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "route_id", "there is no such route");
    mdr_err_value(err, "%s", route_id);
    const char *near = NULL;
    int least = 0;
    for (int i = 0; i < app->n_routes; i++) {
        const int d = mdr_near_distance(route_id, app->routes[i].doc.route_id);
        if (near == NULL || d < least) {
            near = app->routes[i].doc.route_id;
            least = d;
        }
    }
    if (near == NULL) {
        mdr_err_remedy(err, "the mill has no routes yet; import one");
    } else {
        mdr_err_remedy(err, "the nearest of the %d routes is %s", app->n_routes, near);
    }
    return rc;
}

mdr_code mdr_app_route_read(mdr_app *app, const char *route_id, mdr_app_route **out, mdr_err *err)
{
    mdr_app_route *r = mdr_app_route_find(app, route_id);
    if (r == NULL) {
        return no_route(app, route_id, err);
    }
    read_once(app, r);
    if (r->stored == NULL) {
        if (err != NULL) {
            *err = r->err;
        }
        return r->err.code;
    }
    *out = r;
    return MDR_OK;
}

mdr_code mdr_app_route_resolved(mdr_app *app, const char *route_id, const mdr_route **out,
                                mdr_err *err)
{
    mdr_app_route *r = NULL;
    MDR_TRY(mdr_app_route_read(app, route_id, &r, err));
    if (r == NULL) { /* never: a route that was read is there */
        return MDR_E_NOTFOUND;
    }
    if (!r->resolving_done) {
        mdr_app_shelf shelf = {.app = app};
        const mdr_route *whole = NULL;
        mdr_code rc = resolve(&shelf, r->stored, app->cache, &whole, &r->err);
        rc = rc == MDR_OK ? mdr_route_check_all(whole, NULL, &r->err) : rc;
        if (rc == MDR_OK) {
            r->resolved = whole;
        } else {
            mdr_err_within(&r->err, "route %s", route_id);
        }
        r->resolving_done = rc != MDR_E_NOMEM && rc != MDR_E_IO;
    }
    if (r->resolved == NULL) {
        if (err != NULL) {
            *err = r->err;
        }
        return r->err.code;
    }
    *out = r->resolved;
    return MDR_OK;
}

/* -- what a route names -- */

typedef struct name_walk {
    const mdr_masters *masters;
    mdr_err_list *found;
    mdr_err first;
    int count;
} name_walk;

static void unknown(name_walk *w, const char *place, const char *what, const char *id)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_NOTFOUND, place, "there is no such %s", what);
    mdr_err_value(&e, "%s", id);
    mdr_err_remedy(&e, "correct the number, or import the %s first", what);
    if (w->count++ == 0) {
        w->first = e;
    }
    if (w->found != NULL) {
        mdr_err_list_add(w->found, &e);
    }
}

static void names_of_bath(name_walk *w, const mdr_route_bath *bath, const char *place)
{
    for (int s = 0; s < bath->n_steps; s++) {
        for (int i = 0; bath->steps[s].kind == MDR_STEP_DOSE && i < bath->steps[s].n_items; i++) {
            const mdr_route_item *item = &bath->steps[s].items[i];
            mdr_err at = {.code = MDR_OK};
            mdr_err_within(&at, "%s.steps[%d].items[%d]", place, s, i);
            if (item->material_id[0] != '\0' &&
                mdr_masters_material(w->masters, item->material_id) == NULL) {
                unknown(w, at.place, "material", item->material_id);
            }
            if (item->basis == MDR_BASIS_TABLE &&
                mdr_masters_dose_table(w->masters, item->table_id) == NULL) {
                unknown(w, at.place, "dose table", item->table_id);
            }
        }
    }
}

static void names_of(name_walk *w, const mdr_route *route)
{
    for (int i = 0; i < route->n_stages; i++) {
        for (int k = 0; k < route->stages[i].n_baths; k++) {
            mdr_err at = {.code = MDR_OK};
            mdr_err_within(&at, "stages[%d].baths[%d]", i, k);
            names_of_bath(w, &route->stages[i].baths[k], at.place);
        }
    }
}

mdr_code mdr_app_route_verify(mdr_app_shelf *shelf, const mdr_route *route, mdr_arena *arena,
                              mdr_err_list *found, const mdr_route **resolved, mdr_err *err)
{
    const mdr_route *whole = NULL;
    MDR_TRY(resolve(shelf, route, arena, &whole, err));
    MDR_TRY(mdr_route_check_all(whole, found, err));
    name_walk w = {.masters = &shelf->app->masters, .found = found};
    names_of(&w, whole);
    if (w.count > 0) {
        if (err != NULL) {
            *err = w.first;
        }
        return w.first.code;
    }
    if (resolved != NULL) {
        *resolved = whole;
    }
    return MDR_OK;
}

mdr_code mdr_app_route_store(mdr_app *app, const mdr_route *route, int version, mdr_arena *arena,
                             mdr_err *err)
{
    mdr_route copy = *route;
    copy.version = version;
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_wire_route_write(&copy, arena, &text, &len, err));
    const mdr_route_doc doc = {.route_id = route->route_id,
                               .name = route->name,
                               .dye_class = (int)route->dye_class,
                               .version = version,
                               .text = text,
                               .text_len = len};
    return mdr_mill_route_put(app->mill, &doc, err);
}
