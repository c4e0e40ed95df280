/* lots, orders, machines, routes: lists, one line a record. */
#include <stdio.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_term.h"

typedef struct column {
    const char *head;
    int width; /* negative: right-aligned, a number */
} column;

/* A table under way: cells are put from left to right. */
typedef struct table {
    const column *columns;
    int next;
} table;

/* A number that people type is never cut: its column becomes as wide as the longest. */
static void widen(column *k, const char *id)
{
    const int wide = mdr_text_columns(id);
    k->width = wide > k->width ? wide : k->width;
}

static table begin(const column *columns)
{
    const mdr_term term = mdr_term_look();
    for (const column *k = columns; k->head != NULL; k++) {
        char text[40];
        const bool last = k[1].head == NULL;
        /* printf pads to the left for a positive width, a column to the right */
        const int width = last && k->width > 0 ? 0 : -k->width;
        (void)snprintf(text, sizeof text, "%*s%s", width, k->head, last ? "" : " ");
        mdr_term_put(&term, MDR_TINT_STRONG, text);
    }
    (void)putchar('\n');
    return (table){.columns = columns};
}

static void put_text(table *t, const char *text)
{
    const int width = t->columns[t->next++].width;
    if (t->columns[t->next].head != NULL) {
        mdr_text_pad(text, width);
        (void)putchar(' ');
        return;
    }
    if (width > 0) {
        mdr_text_cut(text, width);
    } else {
        mdr_text_pad(text, width);
    }
    (void)putchar('\n');
    t->next = 0;
}

static void put_number(table *t, double value)
{
    char text[32];
    put_text(t, mdr_text_number(value, 1, text));
}

static int end(int n)
{
    if (n == 0) {
        (void)puts("(none)");
    }
    return MDR_EXIT_DONE;
}

/* Opens the mill and answers --json; *done: nothing is left to print. */
typedef mdr_code json_fn(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err);

static int open_for(mdr_cli *c, json_fn *json, bool *done)
{
    *done = true;
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    if (!c->json) {
        *done = false;
        return MDR_EXIT_DONE;
    }
    mdr_blob out = {0};
    return json(c->app, c->arena, &out, &c->err) == MDR_OK ? mdr_cli_put_json(c, out)
                                                           : mdr_cli_fail(c);
}

int mdr_cmd_lots(mdr_cli *c)
{
    column cols[] = {{"lot", 10},   {"due", 10},   {"stage", 16},   {"kg", -7}, {"machine", 8},
                     {"route", 13}, {"shade", 13}, {"article", 12}, {NULL, 0}};
    bool done = true;
    mdr_app_lot *lots = NULL;
    int n = 0;
    const int opened = open_for(c, mdr_app_lots_json, &done);
    if (done) {
        return opened;
    }
    if (mdr_app_lots(c->app, c->arena, &lots, &n, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    for (int i = 0; i < n; i++) {
        widen(&cols[0], lots[i].lot_id);
        widen(&cols[4], lots[i].machine_id);
        widen(&cols[5], lots[i].route_id);
    }
    table t = begin(cols);
    for (int i = 0; i < n; i++) {
        char day[16];
        put_text(&t, lots[i].lot_id);
        put_text(&t, mdr_text_day(lots[i].due_utc_ms, day));
        put_text(&t, lots[i].stage_words);
        put_number(&t, lots[i].load_kg);
        put_text(&t, lots[i].machine_id);
        put_text(&t, lots[i].route_id);
        put_text(&t, lots[i].shade);
        put_text(&t, lots[i].article);
    }
    return end(n);
}

int mdr_cmd_orders(mdr_cli *c)
{
    column cols[] = {{"order", 10}, {"due", 10},     {"finished", -8}, {"grey kg", -8},
                     {"shade", 14}, {"article", 20}, {"customer", 20}, {NULL, 0}};
    bool done = true;
    mdr_app_order *orders = NULL;
    int n = 0;
    const int opened = open_for(c, mdr_app_orders_json, &done);
    if (done) {
        return opened;
    }
    if (mdr_app_orders(c->app, c->arena, &orders, &n, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    for (int i = 0; i < n; i++) {
        widen(&cols[0], orders[i].order->order_id);
    }
    table t = begin(cols);
    for (int i = 0; i < n; i++) {
        char day[16];
        put_text(&t, orders[i].order->order_id);
        put_text(&t, mdr_text_day(orders[i].order->due_utc_ms, day));
        put_number(&t, orders[i].order->ordered_kg);
        put_number(&t, orders[i].grey_kg);
        put_text(&t, orders[i].shade);
        put_text(&t, orders[i].article);
        put_text(&t, orders[i].order->customer);
    }
    return end(n);
}

int mdr_cmd_machines(mdr_cli *c)
{
    column cols[] = {{"machine", 9}, {"name", 26}, {"kind", 14},  {"tubes", -5}, {"from kg", -8},
                     {"to kg", -8},  {"L/kg", -6}, {"deg C", -6}, {NULL, 0}};
    bool done = true;
    const mdr_machine *machines = NULL;
    int n = 0;
    const int opened = open_for(c, mdr_app_machines_json, &done);
    if (done) {
        return opened;
    }
    if (mdr_app_machines(c->app, &machines, &n, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    for (int i = 0; i < n; i++) {
        widen(&cols[0], machines[i].machine_id);
    }
    table t = begin(cols);
    for (int i = 0; i < n; i++) {
        const mdr_machine *m = &machines[i];
        put_text(&t, m->machine_id);
        put_text(&t, m->name);
        put_text(&t, mdr_machine_kind_words((mdr_machine_kind)m->kind));
        put_number(&t, m->tubes);
        put_number(&t, m->load_min_kg);
        put_number(&t, m->load_max_kg);
        put_number(&t, m->ratio_min_l_per_kg);
        put_number(&t, m->temp_max_c);
    }
    return end(n);
}

int mdr_cmd_routes(mdr_cli *c)
{
    column cols[] = {{"route", 16}, {"version", -7}, {"class", 9},
                     {"lots", -5},  {"name", 54},    {NULL, 0}};
    bool done = true;
    mdr_app_route_line *routes = NULL;
    int n = 0;
    const int opened = open_for(c, mdr_app_routes_json, &done);
    if (done) {
        return opened;
    }
    if (mdr_app_routes(c->app, c->arena, &routes, &n, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    for (int i = 0; i < n; i++) {
        widen(&cols[0], routes[i].route_id);
    }
    table t = begin(cols);
    for (int i = 0; i < n; i++) {
        put_text(&t, routes[i].route_id);
        put_number(&t, routes[i].version);
        put_text(&t, routes[i].dye_class);
        put_number(&t, routes[i].lots);
        put_text(&t, routes[i].name);
    }
    return end(n);
}
