/* Everything inconsistent in the mill, also what only a plan of each lot shows. */
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_in.h"
#include "core/plan/mdr_say.h"
#include "wire/mdr_json.h"

enum { LOT_BYTES = 32 << 20, FINDINGS_MOST = 2000 };

static void check_routes(mdr_app *app, mdr_err_list *found)
{
    for (int i = 0; i < app->n_routes; i++) {
        const char *id = app->routes[i].doc.route_id;
        const int from = found->count;
        const mdr_route *whole = NULL;
        mdr_err e = {0};
        mdr_arena *arena = mdr_arena_new(LOT_BYTES);
        if (arena == NULL) {
            return;
        }
        if (mdr_app_route_resolved(app, id, &whole, &e) != MDR_OK) {
            mdr_err_list_add(found, &e);
        } else {
            mdr_app_shelf shelf = {.app = app};
            char place[64];
            if (mdr_app_route_verify(&shelf, whole, arena, found, NULL, &e) != MDR_OK &&
                found->count == from) {
                mdr_err_list_add(found, &e);
            }
            (void)snprintf(place, sizeof place, "route %s", id);
            mdr_err_list_within(found, from, place);
        }
        mdr_arena_free(arena);
    }
}

/* What does not fit the message is what to do about it, and goes to the remedy: never half a word. */
static void put_sentences(mdr_err *e, const char *place, const char *text)
{
    size_t end = strlen(text);
    while (end >= sizeof e->msg) {
        do {
            end--;
        } while (end > 0 && !(text[end - 1] == '.' && text[end] == ' '));
    }
    (void)MDR_FAIL(e, MDR_E_INFEAS, place, "%.*s", end > 0 ? (int)end : (int)strlen(text), text);
    if (end > 0 && text[end] == ' ') {
        mdr_err_remedy(e, "%s", text + end + 1);
    }
}

static void add_warning(mdr_err_list *found, const mdr_plan *plan, const mdr_warn *warn,
                        mdr_arena *arena)
{
    char place[128];
    const char *text = mdr_say_warn(warn, arena);
    int n = snprintf(place, sizeof place, "lot %s", plan->lot->lot_id);
    if (warn->at.bath > 0 && n > 0 && (size_t)n < sizeof place) {
        n += snprintf(place + n, sizeof place - (size_t)n, ", bath %d", warn->at.bath);
    }
    if (warn->at.step > 0 && n > 0 && (size_t)n < sizeof place) {
        (void)snprintf(place + n, sizeof place - (size_t)n, ", step %d", warn->at.step);
    }
    mdr_err e;
    put_sentences(&e, place, text != NULL ? text : mdr_warn_text_id(warn->id));
    mdr_err_list_add(found, &e);
}

static void check_plan(mdr_app *app, const char *lot_id, mdr_err_list *found)
{
    mdr_arena *arena = mdr_arena_new(LOT_BYTES);
    const mdr_plan *plan = NULL;
    mdr_err e = {0};
    if (arena == NULL) {
        return;
    }
    if (mdr_app_plan(app, lot_id, (mdr_blob){0}, arena, NULL, &plan, &e) != MDR_OK) {
        mdr_err_within(&e, "lot %s", lot_id);
        mdr_err_list_add(found, &e);
    } else {
        for (int i = 0; i < plan->n_warns; i++) {
            if (mdr_warn_severity(plan->warns[i].id) >= MDR_SEV_WARNING) {
                add_warning(found, plan, &plan->warns[i], arena);
            }
        }
    }
    mdr_arena_free(arena);
}

mdr_code mdr_app_check(mdr_app *app, mdr_err_list *found, mdr_err *err)
{
    const mdr_lots_ask open = {.most = 0}; /* what is done is not planned any more */
    mdr_lots_page page = {0};
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(mdr_mill_check(app->mill, found, err));
    check_routes(app, found);
    mdr_arena *arena = mdr_arena_new(LOT_BYTES);
    if (arena == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to list the lots");
    }
    const mdr_code rc = mdr_mill_lots_some(app->mill, &app->masters, &open, arena, &page, err);
    for (int i = 0; rc == MDR_OK && i < page.n; i++) {
        const mdr_lot *lot = &page.lines[i].full.lot;
        if (lot->n_rolls > 0 || lot->weighed_kg > 0.0) { /* else already found */
            check_plan(app, lot->lot_id, found);
        }
    }
    mdr_arena_free(arena);
    return rc;
}

mdr_code mdr_app_check_json(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    mdr_err_list found = mdr_err_list_make(arena, FINDINGS_MOST);
    MDR_TRY(mdr_app_check(app, &found, err));
    mdr_json j = mdr_json_make(arena, 4096, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "findings");
    for (int i = 0; i < found.count; i++) {
        const mdr_err *e = &found.items[i];
        mdr_json_object(&j, NULL);
        mdr_json_text(&j, "place", e->place);
        mdr_json_text(&j, "message", e->msg);
        mdr_json_text(&j, "value", e->value);
        mdr_json_text(&j, "allowed", e->allowed);
        mdr_json_text(&j, "remedy", e->remedy);
        mdr_json_end_object(&j);
    }
    mdr_json_end_array(&j);
    mdr_json_int(&j, "total", found.total);
    mdr_json_end_object(&j);
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}
