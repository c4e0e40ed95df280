/* What pages may store: changes of a lot, new versions of a route. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "wire/mdr_json.h"
#include "wire/mdr_wire.h"

static mdr_code whole_route_refused(mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_ARG, "route", "a lot keeps the number of its route, not a whole route");
    mdr_err_remedy(err, "save the route first, then the lot with its route_id");
    return rc;
}

static mdr_code readings_refused(mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "readings",
                                 "readings of the finishing are not stored with the lot");
    mdr_err_remedy(err, "ask for the plan with them, and leave them out when saving");
    return rc;
}

static mdr_code revision_needed(mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "revision", "the revision of the lot is missing");
    mdr_err_allowed(err, "the revision that came with the lot");
    mdr_err_remedy(err, "read the lot again, then save");
    return rc;
}

mdr_code mdr_app_lot_save(mdr_app *app, const char *lot_id, mdr_blob what_if, mdr_arena *arena,
                          mdr_err_list *found, mdr_blob *plan_json, mdr_err *err)
{
    enum { KEEP = -1 };
    mdr_app_desk desk;
    mdr_what_if w;
    const mdr_plan *plan = NULL;
    MDR_TRY(mdr_wire_what_if_read(what_if.bytes, what_if.len, arena, found, &w, err));
    if (w.route != NULL) {
        return whole_route_refused(err);
    }
    if (w.n_readings > 0) {
        return readings_refused(err);
    }
    if (w.revision <= 0) {
        return revision_needed(err);
    }
    /* Only what can be planned is stored. */
    MDR_TRY(mdr_app_desk_set(app, lot_id, what_if, arena, found, &desk, err));
    MDR_TRY(mdr_plan_make(&desk.in, arena, &plan, err));
    const mdr_lot_change change = {.machine_id = w.machine_id,
                                   .route_id = w.route_id,
                                   .weighed_kg = w.has_load ? w.load_kg : KEEP,
                                   .ratio_l_per_kg = w.has_ratio ? w.ratio_l_per_kg : KEEP,
                                   .speed_m_per_min = w.has_speed ? w.speed_m_per_min : KEEP,
                                   .tubes_used = w.has_tubes ? w.tubes_used : KEEP,
                                   .revision = w.revision};
    MDR_TRY(mdr_mill_lot_change(app->mill, lot_id, &change, err));
    return mdr_app_plan_json(app, lot_id, (mdr_blob){0}, arena, NULL, plan_json, err);
}

/* Whether two stages hold the same baths: their documents are the same text. */
static mdr_code same_baths(const mdr_route_stage *a, const mdr_route_stage *b, mdr_arena *arena,
                           bool *out, mdr_err *err)
{
    char *text[2] = {NULL, NULL};
    size_t len[2] = {0, 0};
    const mdr_route_stage *stages[2] = {a, b};
    for (int i = 0; i < 2; i++) {
        const mdr_route_stage bare = {.kind = MDR_STAGE_PREPARE,
                                      .name = "",
                                      .from_route = "",
                                      .from_stage = "",
                                      .baths = stages[i]->baths,
                                      .n_baths = stages[i]->n_baths};
        const mdr_route route = {.route_id = "x",
                                 .name = "",
                                 .purpose = "",
                                 .version = 1,
                                 .stages = &bare,
                                 .n_stages = 1};
        MDR_TRY(mdr_wire_route_write(&route, arena, &text[i], &len[i], err));
    }
    *out = len[0] == len[1] && memcmp(text[0], text[1], len[0]) == 0;
    return MDR_OK;
}

/* A page sends every stage with its baths. Those that are as in the route they were taken from
 * stay taken from there; changed ones become this route's own. */
static mdr_code keep_reference(mdr_app *app, const mdr_route *sent, mdr_route_stage *stage,
                               mdr_arena *arena, mdr_err *err)
{
    mdr_app_shelf shelf = {.app = app};
    mdr_route_stage taken = *stage;
    taken.baths = NULL;
    taken.n_baths = 0;
    mdr_route probe = *sent;
    probe.stages = &taken;
    probe.n_stages = 1;
    const mdr_route *whole = NULL;
    bool same = false;
    const mdr_code rc = mdr_route_resolve(&probe, mdr_app_shelf_route, &shelf, arena, &whole, err);
    if (rc == MDR_E_NOMEM) {
        return rc;
    }
    if (shelf.failed != NULL &&
        (shelf.failed->code == MDR_E_NOMEM || shelf.failed->code == MDR_E_IO)) {
        if (err != NULL) {
            *err = *shelf.failed;
        }
        return shelf.failed->code; /* not known now, so not to be decided now */
    }
    if (rc == MDR_OK) {
        MDR_TRY(same_baths(stage, &whole->stages[0], arena, &same, err));
    }
    if (same) {
        *stage = taken;
    } else {
        stage->from_route = "";
        stage->from_stage = "";
    }
    return MDR_OK;
}

static mdr_code keep_references(mdr_app *app, const mdr_route *sent, mdr_arena *arena,
                                mdr_route *out, mdr_err *err)
{
    mdr_route_stage *stages = MDR_NEW_N(arena, mdr_route_stage, (size_t)sent->n_stages + 1);
    if (stages == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to store the route");
    }
    for (int i = 0; i < sent->n_stages; i++) {
        stages[i] = sent->stages[i];
        if (stages[i].from_route[0] != '\0' && stages[i].n_baths > 0) {
            MDR_TRY(keep_reference(app, sent, &stages[i], arena, err));
        }
    }
    *out = *sent;
    out->stages = stages;
    return MDR_OK;
}

/* Routes that take a stage from this one must still be whole and in order with the new version.
 * One that was not so before is left alone, or nothing could be repaired. */
static mdr_code others_still_whole(mdr_app *app, const mdr_route *fresh, mdr_arena *arena,
                                   mdr_err *err)
{
    mdr_app_shelf shelf = {.app = app, .fresh = &fresh, .n_fresh = 1};
    for (int i = 0; i < app->n_routes; i++) {
        const mdr_app_route *other = &app->routes[i];
        const mdr_route *whole = NULL;
        if (strcmp(other->doc.route_id, fresh->route_id) == 0 ||
            mdr_app_route_resolved(app, other->doc.route_id, &whole, NULL) != MDR_OK) {
            continue;
        }
        mdr_code rc =
            mdr_route_resolve(other->stored, mdr_app_shelf_route, &shelf, arena, &whole, err);
        rc = rc == MDR_OK ? mdr_route_check_all(whole, NULL, err) : rc;
        if (rc == MDR_E_NOMEM) {
            return rc;
        }
        if (rc == MDR_E_NOTFOUND) { /* what was asked for is there; a stage it needs would not be */
            rc = MDR_E_CONFLICT;
            if (err != NULL) {
                err->code = rc;
            }
        }
        if (rc != MDR_OK) {
            mdr_err_within(err, "route %s", other->doc.route_id);
            mdr_err_remedy(err,
                           "route %s takes a stage from here: keep that stage fit for it, or "
                           "change that route first",
                           other->doc.route_id);
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code version_conflict(const mdr_route *route, int newest, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_CONFLICT, "version", "another version of the route came first");
    mdr_err_value(err, "%d", route->version);
    mdr_err_allowed(err, "%d, the newest", newest);
    mdr_err_remedy(err, "read the route again and repeat the change there");
    return rc;
}

/* Is it the route that the address names, and made from the newest version? */
static mdr_code check_identity(mdr_app *app, const char *route_id, const mdr_route *sent,
                               mdr_err *err)
{
    if (route_id[0] != '\0' && strcmp(route_id, sent->route_id) != 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "route_id",
                                     "the route in the document is not the one in the address");
        mdr_err_value(err, "%s", sent->route_id);
        mdr_err_allowed(err, "%s", route_id);
        mdr_err_remedy(err, "save a copy under its own name: there, not here");
        return rc;
    }
    const mdr_app_route *known = mdr_app_route_find(app, sent->route_id);
    return known != NULL && sent->version != known->doc.version
               ? version_conflict(sent, known->doc.version, err)
               : MDR_OK;
}

static mdr_code saved_answer(const char *route_id, int version, int lots, mdr_arena *arena,
                             mdr_blob *out, mdr_err *err)
{
    enum { ANSWER_BYTES = 256 };
    char *text = NULL;
    size_t len = 0;
    mdr_json j = mdr_json_make(arena, ANSWER_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_text(&j, "route_id", route_id);
    mdr_json_int(&j, "version", version);
    mdr_json_int(&j, "lots", lots);
    mdr_json_end_object(&j);
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

static mdr_code store_next(mdr_app *app, const mdr_route *route, mdr_arena *arena, mdr_blob *out,
                           mdr_err *err)
{
    const mdr_app_route *known = mdr_app_route_find(app, route->route_id);
    const int version = known != NULL ? known->doc.version + 1 : 1;
    const int lots = known != NULL ? known->doc.lots : 0;
    MDR_TRY(mdr_app_route_store(app, route, version, arena, err));
    return saved_answer(route->route_id, version, lots, arena, out, err);
}

mdr_code mdr_app_route_save(mdr_app *app, const char *route_id, mdr_blob doc, mdr_arena *arena,
                            mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    const mdr_route *sent = NULL;
    mdr_route route = {.route_id = ""};
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_wire_route_read(doc.bytes, doc.len, arena, found, &sent, err));
    MDR_TRY(check_identity(app, route_id, sent, err));
    MDR_TRY(keep_references(app, sent, arena, &route, err));
    mdr_app_shelf shelf = {.app = app};
    MDR_TRY(mdr_app_route_verify(&shelf, &route, arena, found, NULL, err));
    MDR_TRY(others_still_whole(app, &route, arena, err));
    return store_next(app, &route, arena, out, err);
}
