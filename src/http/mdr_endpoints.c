/* What the server answers. One row an endpoint; docs/api.md describes the bodies. */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "app/mdr_app_bath.h"
#include "app/mdr_app_colour.h"
#include "app/mdr_app_dye.h"
#include "app/mdr_app_dyeing.h"
#include "app/mdr_app_fabric.h"
#include "app/mdr_app_hold.h"
#include "app/mdr_app_lab.h"
#include "app/mdr_app_learn.h"
#include "app/mdr_app_line.h"
#include "app/mdr_app_recipe.h"
#include "app/mdr_app_shorten.h"
#include "http/mdr_http_in.h"

static mdr_code json(mdr_reply *reply, mdr_code rc)
{
    return mdr_reply_json(reply, rc);
}

/* -- lists -- */

#define LIST(name, call)                                                 \
    static mdr_code name(mdr_request *q, mdr_reply *reply, mdr_err *err) \
    {                                                                    \
        return json(reply, call(q->app, q->arena, &reply->body, err));   \
    }
LIST(get_mill, mdr_app_mill_json)
LIST(get_orders, mdr_app_orders_json)
LIST(get_machines, mdr_app_machines_json)
LIST(get_articles, mdr_app_articles_json)
LIST(get_routes, mdr_app_routes_json)
LIST(get_tables, mdr_app_tables_json)
LIST(get_check, mdr_app_check_json)
LIST(get_laboratory, mdr_app_lab_json)

static mdr_code get_lots(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    const mdr_app_lots_ask ask = {.before = q->before, .find = q->find};
    return json(reply, mdr_app_lots_page_json(q->app, &ask, q->arena, &reply->body, err));
}

static mdr_code get_route(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply, mdr_app_route_json(q->app, q->id, q->arena, &reply->body, err));
}

static mdr_code get_advice(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply, mdr_app_advice_json(q->app, q->id, q->arena, &reply->body, err));
}

static mdr_code get_dye_rates(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply, mdr_app_dye_json(q->app, q->id, q->arena, &reply->body, err));
}

/* -- plans; what takes long is begun here and calculated beside -- */

/* Also answers a what-if: GET has no body. */
static mdr_code plan(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply,
                mdr_app_plan_json(q->app, q->id, q->body, q->arena, &q->found, &reply->body, err));
}

static mdr_code chemistry(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply, mdr_app_chemistry_json(q->app, q->id, q->body, q->arena, &q->found,
                                              &reply->body, err));
}

static mdr_code finish(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(
        reply, mdr_app_finish_json(q->app, q->id, q->body, q->arena, &q->found, &reply->body, err));
}

static mdr_code post_shorten(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply,
                mdr_app_shorten_begin(q->app, q->id, q->body, q->arena, &q->found, &q->work, err));
}

static mdr_code dyeing(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply,
                mdr_app_dyeing_begin(q->app, q->id, q->body, q->arena, &q->found, &q->work, err));
}

static mdr_code get_footprint(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply,
                mdr_app_footprint_json(q->app, q->id, q->against, q->arena, &reply->body, err));
}

static mdr_code get_why(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    if (q->figure == NULL) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, "figure", "which figure is asked about is missing");
        mdr_err_remedy(err, "add ?figure=KEY, for example ?figure=total_min");
        return rc;
    }
    return json(reply, mdr_app_why_json(q->app, q->id, q->figure, q->arena, &reply->body, err));
}

static mdr_code put_lot(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply,
                mdr_app_lot_save(q->app, q->id, q->body, q->arena, &q->found, &reply->body, err));
}

static mdr_code put_route(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply,
                mdr_app_route_save(q->app, q->id, q->body, q->arena, &q->found, &reply->body, err));
}

/* Needs no mill: nothing is read or stored. */
static mdr_code post_bath(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply, mdr_app_bath_json(q->body, q->arena, &q->found, &reply->body, err));
}

static mdr_code post_hold(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply, mdr_app_hold_json(q->body, q->arena, &q->found, &reply->body, err));
}

static mdr_code post_fabric(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply, mdr_app_fabric_json(q->body, q->arena, &q->found, &reply->body, err));
}

static mdr_code post_line(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply, mdr_app_line_json(q->body, q->arena, &q->found, &reply->body, err));
}

static mdr_code post_recipe(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply, mdr_app_recipe_begin(q->app, q->body, q->arena, &q->found, &q->work, err));
}

static mdr_code post_colour(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply, mdr_app_colour_post(q->body, q->arena, &q->found, &reply->body, err));
}

static mdr_code get_laboratory_demo(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return json(reply, mdr_app_recipe_demo_json(q->arena, &reply->body, err));
}

enum { NOW_TEXT = MDR_LOCAL_TIME_TEXT, DAY_TEXT = 10 };

/* "2026-11-26 14:05" */
void mdr_local_time(char *out, size_t size)
{
    const time_t now = time(NULL);
    struct tm parts;
    if (localtime_r(&now, &parts) == NULL || strftime(out, size, "%Y-%m-%d %H:%M", &parts) == 0) {
        out[0] = '\0';
    }
}

/* -- laboratory -- */

typedef mdr_code (*lab_call)(mdr_app *app, const mdr_app_lab_ask *ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err);

static mdr_code laboratory(mdr_request *q, mdr_reply *reply, lab_call call, mdr_err *err)
{
    char today[NOW_TEXT] = "";
    mdr_local_time(today, sizeof today);
    today[DAY_TEXT] = '\0';
    const mdr_app_lab_ask ask = {.body = q->body,
                                 .id = q->id,
                                 .today = today,
                                 .only_enters = !mdr_roles_may(q->who.roles, MDR_ACT_LAB_APPROVE)};
    return json(reply, call(q->app, &ask, q->arena, &q->found, &reply->body, err));
}

static mdr_code post_samples(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return laboratory(q, reply, mdr_app_lab_samples, err);
}

static mdr_code post_dip(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return laboratory(q, reply, mdr_app_lab_dip_new, err);
}

static mdr_code put_dip(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return laboratory(q, reply, mdr_app_lab_dip_change, err);
}

static mdr_code put_recipe(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return laboratory(q, reply, mdr_app_lab_recipe, err);
}

/* -- documents -- */

static mdr_code pdf(mdr_request *q, mdr_reply *reply, const char *what, mdr_code rc)
{
    reply->status = 200;
    reply->type = "application/pdf";
    reply->file_name = mdr_arena_printf(q->arena, "%s-%s.pdf", q->id, what);
    return rc;
}

static mdr_code post_recipe_sheet(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    char now[32];
    mdr_local_time(now, sizeof now);
    reply->status = 200;
    reply->type = "application/pdf";
    reply->file_name = "laboratory-sheet.pdf";
    return mdr_app_recipe_sheet_json(q->app, q->body, now, q->arena, &q->found, &reply->body, err);
}

static mdr_code get_card(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    char now[32];
    mdr_local_time(now, sizeof now);
    return pdf(q, reply, "card", mdr_app_card(q->app, q->id, now, q->arena, &reply->body, err));
}

static mdr_code get_settings(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    char now[32];
    mdr_local_time(now, sizeof now);
    return pdf(q, reply, "settings",
               mdr_app_settings(q->app, q->id, (mdr_blob){0}, now, q->arena, &reply->body, err));
}

static mdr_code bath_of(const char *text, int *out, mdr_err *err)
{
    char *end = NULL;
    const long n = text != NULL ? strtol(text, &end, 10) : 0;
    if (text != NULL && (end == text || *end != '\0' || n < 1 || n > 999)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "bath", "this is not the number of a bath");
        mdr_err_value(err, "%s", text);
        mdr_err_allowed(err, "1 to the number of baths; leave it out for all");
        return rc;
    }
    *out = (int)n;
    return MDR_OK;
}

static mdr_code get_slips(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    char now[32];
    int bath = 0;
    MDR_TRY(bath_of(q->bath, &bath, err));
    mdr_local_time(now, sizeof now);
    return pdf(q, reply, "slips",
               mdr_app_slips(q->app, q->id, bath, now, q->arena, &reply->body, err));
}

/* -- tables -- */

static mdr_code get_table(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    reply->status = 200;
    reply->type = "text/csv; charset=utf-8";
    reply->file_name = mdr_arena_printf(q->arena, "%s.csv", q->id);
    return mdr_app_export(q->app, q->id, q->arena, &reply->body, err);
}

static mdr_code post_table(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    int rows = 0;
    char name[MDR_PATH_PART_MAX + 8];
    (void)snprintf(name, sizeof name, "%s.csv", q->id);
    MDR_TRY(mdr_app_import(q->app, q->id, name, q->body, &q->found, &rows, err));
    const char *text = mdr_arena_printf(q->arena, "{\"rows\":%d}", rows);
    reply->body = (mdr_blob){.bytes = text, .len = text != NULL ? strlen(text) : 0};
    return json(reply, MDR_OK);
}

#define JSON_BODY "application/json", MDR_BODY_JSON_MAX
#define CSV_BODY  "text/csv", MDR_BODY_CSV_MAX
#define NO_BODY   NULL, 0
/* A method and who may use it: a row without the second does not compile. */
#define GET(action)    MDR_GET, MDR_ACT_##action
#define POST(action)   MDR_POST, MDR_ACT_##action
#define PUT(action)    MDR_PUT, MDR_ACT_##action
#define DELETE(action) MDR_DELETE, MDR_ACT_##action

const mdr_endpoint mdr_endpoints[] = {
    {GET(READ), "/api/mill", get_mill, NO_BODY, "Name, currency, version, counts"},
    {GET(READ), "/api/lots", get_lots, NO_BODY,
     "Lots by due date: those under way and the last done, earlier ones, or those with words"},
    {GET(READ), "/api/orders", get_orders, NO_BODY, "All orders"},
    {GET(READ), "/api/machines", get_machines, NO_BODY, "All machines with all their fields"},
    {GET(READ), "/api/articles", get_articles, NO_BODY,
     "All articles: how they are knitted, what they are to be"},
    {GET(READ), "/api/routes", get_routes, NO_BODY, "The newest version of each route"},
    {GET(READ), "/api/tables", get_tables, NO_BODY, "Names and titles of the master tables"},
    {GET(READ), "/api/check", get_check, NO_BODY, "Everything inconsistent in the mill"},
    {GET(READ), "/api/routes/{id}", get_route, NO_BODY, "One route as a document"},
    {GET(READ), "/api/orders/{id}/advice", get_advice, NO_BODY, "Loading advice of an order"},
    {GET(READ), "/api/dyes/{id}/rates", get_dye_rates, NO_BODY, "What a dye does in the bath"},
    {GET(READ), "/api/lots/{id}/plan", plan, NO_BODY, "The plan of a lot"},
    {POST(READ), "/api/lots/{id}/plan", plan, JSON_BODY,
     "The plan of a lot with changes; nothing is stored"},
    {GET(READ), "/api/learn", mdr_get_learn, NO_BODY,
     "What the lots that were run teach: right first time, control charts, laboratory to bulk"},
    {GET(READ), "/api/lots/{id}/bath", chemistry, NO_BODY,
     "pH and what is dissolved, over the time of the lot"},
    {POST(READ), "/api/lots/{id}/bath", chemistry, JSON_BODY,
     "The same with changes; nothing is stored"},
    {GET(READ), "/api/lots/{id}/finish", finish, NO_BODY,
     "Settings of the finishing line and the fabric behind each pass"},
    {POST(READ), "/api/lots/{id}/finish", finish, JSON_BODY,
     "The same with changes or readings; nothing is stored"},
    {GET(READ), "/api/lots/{id}/dyeing", dyeing, NO_BODY,
     "The dyeing minute by minute: uptake, strike, levelness, what goes wrong"},
    {POST(READ), "/api/lots/{id}/dyeing", dyeing, JSON_BODY,
     "The same with changed doses, ramps, times, speed, ropes; nothing is stored"},
    {POST(READ), "/api/lots/{id}/shorten", post_shorten, JSON_BODY,
     "The shortest dyeing that stays safe, and what more minutes would buy"},
    {GET(READ), "/api/lots/{id}/footprint", get_footprint, NO_BODY,
     "Water, heat, load to the drain and money by stage (?against=ROUTE beside another route)"},
    {POST(RUN_START), "/api/lots/{id}/batches", mdr_post_batch, JSON_BODY,
     "Freezes the plan of a lot into a batch to be run"},
    {GET(READ), "/api/batches", mdr_get_hall, NO_BODY,
     "The hall: every machine and what runs on it"},
    {GET(READ), "/api/batches/{id}", mdr_get_batch, NO_BODY,
     "How a batch stands (?after=SEQ: only when something happened since)"},
    {GET(READ), "/api/batches/{id}/remedies", mdr_get_remedies, NO_BODY,
     "What can be done about the newest reading of a hold point (?step=KEY)"},
    {GET(READ), "/api/batches/{id}/report", mdr_get_report, NO_BODY,
     "What was done to a batch beside what was planned"},
    {GET(READ), "/api/batches/{id}/report.pdf", mdr_get_report_pdf, NO_BODY, "The lot report"},
    {GET(READ), "/api/record", mdr_get_record, NO_BODY,
     "Whether the record is as it was written, as far as it was checked"},
    {GET(RECORD_EXPORT), "/api/record.jsonl", mdr_get_record_lines, NO_BODY,
     "Everything that was entered, a line of JSON each"},
    {GET(RECORD_EXPORT), "/api/record.csv", mdr_get_record_csv, NO_BODY,
     "Everything that was entered, as a table"},
    {GET(READ), "/api/batches/{id}/events", mdr_get_batch_events, NO_BODY,
     "Everything that happened to a batch (?after=SEQ)"},
    {POST(RECORD), "/api/batches/{id}/events", mdr_post_entry, JSON_BODY,
     "One entry into the record of a batch"},
    {GET(READ), "/api/lots/{id}/why", get_why, NO_BODY,
     "One figure (?figure=KEY) and what it rests on"},
    {GET(READ), "/api/batches/{id}/labels.pdf", mdr_get_labels, NO_BODY,
     "Labels of what is weighed for a batch (?step=KEY for one dose)"},
    {GET(READ), "/api/weighing", mdr_get_weighing, NO_BODY,
     "What is to be weighed, first what the floor needs first"},
    {POST(READ), "/api/weighing", mdr_post_judge, JSON_BODY,
     "A weighing judged; nothing is stored"},
    {POST(READ), "/api/scan", mdr_post_scan, JSON_BODY,
     "What a scanner read: which label, of what"},
    {GET(READ), "/api/stock", mdr_get_stock, NO_BODY, "Each dye and chemical with its stock"},
    {POST(WEIGH), "/api/stock", mdr_post_stock, JSON_BODY,
     "A delivery: a container and what it holds"},
    {GET(READ), "/api/lots/{id}/card.pdf", get_card, NO_BODY, "The batch card"},
    {GET(READ), "/api/lots/{id}/slips.pdf", get_slips, NO_BODY,
     "Weigh slips (?bath=N for one bath)"},
    {GET(READ), "/api/lots/{id}/settings.pdf", get_settings, NO_BODY,
     "The setting sheet of the finishing line"},
    {POST(READ), "/api/bath", post_bath, JSON_BODY,
     "What a bath does: pH, doses, titration, rinsing"},
    {POST(READ), "/api/fabric", post_fabric, JSON_BODY,
     "Can a specification be met: width, weight, shrinkage"},
    {POST(READ), "/api/hold", post_hold, JSON_BODY,
     "A reading at a hold point: go on, correct or stop"},
    {POST(READ), "/api/line", post_line, JSON_BODY,
     "Sets the finishing line; drying, padding, results, inspection, grey need"},
    {POST(READ), "/api/colour", post_colour, JSON_BODY,
     "Measured cloth: colour, difference from a standard, white, strength, grades, rolls"},
    {POST(READ), "/api/recipe", post_recipe, JSON_BODY,
     "From measured samples to recipes, colours, corrections and pipettings"},
    {POST(READ), "/api/recipe/sheet.pdf", post_recipe_sheet, JSON_BODY,
     "A round of laboratory dips as the sheet to dye them by"},
    {GET(READ), "/api/laboratory", get_laboratory, NO_BODY,
     "Samples, ladders, standards and dips of the mill"},
    {POST(LAB_ENTER), "/api/laboratory/samples", post_samples, JSON_BODY,
     "Takes measured samples out of a file of spectra, all or none"},
    {POST(LAB_ENTER), "/api/laboratory/dips", post_dip, JSON_BODY, "A new laboratory dip"},
    {PUT(LAB_ENTER), "/api/laboratory/dips/{id}", put_dip, JSON_BODY,
     "Measured, submitted, approved or rejected"},
    {PUT(LAB_APPROVE), "/api/shades/{id}/recipe", put_recipe, JSON_BODY,
     "Replaces the recipe of a shade"},
    {GET(READ), "/api/laboratory/demo", get_laboratory_demo, NO_BODY,
     "Invented samples to try the laboratory with"},
    {GET(READ), "/api/tables/{id}", get_table, NO_BODY, "A master table as CSV"},
    {POST(TABLE_IMPORT), "/api/tables/{id}", post_table, CSV_BODY,
     "Imports a master table, all or nothing"},
    {PUT(PLAN_CHANGE), "/api/lots/{id}", put_lot, JSON_BODY,
     "Stores changes of a lot, answers its plan"},
    {PUT(ROUTE_CHANGE), "/api/routes/{id}", put_route, JSON_BODY,
     "Stores the next version of a route"},
#include "http/mdr_endpoints_people.def"
};
const int mdr_endpoints_count = (int)(sizeof mdr_endpoints / sizeof mdr_endpoints[0]);
