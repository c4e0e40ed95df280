/* lots, orders, machines, routes: lists, one line a record. */
#include <stdio.h>
#include <stdlib.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_jread.h"
#include "cli/mdr_term.h"

typedef struct column {
    const char *head, *key;
    int width; /* negative: right-aligned, a number */
} column;

typedef mdr_code list_fn(mdr_app *app, mdr_arena *arena, mdr_blob *out, mdr_err *err);

static void put_head(const mdr_term *t, const column *cols)
{
    for (const column *k = cols; k->head != NULL; k++) {
        char text[40];
        /* printf pads to the left for a positive width, a column to the right */
        (void)snprintf(text, sizeof text, "%*s ", -k->width, k->head);
        mdr_term_put(t, MDR_TINT_STRONG, text);
    }
    (void)putchar('\n');
}

static int list(mdr_cli *c, list_fn *make, const column *cols)
{
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    mdr_blob json = {0};
    if (make(c->app, c->arena, &json, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    if (c->json) {
        return mdr_cli_put_json(c, json);
    }
    const mdr_term term = mdr_term_look();
    int n = 0;
    put_head(&term, cols);
    for (const char *e = mdr_jread_first(json.bytes); e != NULL; e = mdr_jread_next(e)) {
        n++;
        for (const column *k = cols; k->head != NULL; k++) {
            char number[32];
            const char *text = mdr_jread_shown(mdr_jread_member(e, k->key), c->arena);
            if (text != NULL && k->width < 0 && text[0] != '\0') {
                text = mdr_text_number(strtod(text, NULL), 1, number);
            }
            mdr_text_pad(text != NULL ? text : "", k->width);
            (void)putchar(' ');
        }
        (void)putchar('\n');
    }
    if (n == 0) {
        (void)puts("(none)");
    }
    return MDR_EXIT_DONE;
}

int mdr_cmd_lots(mdr_cli *c)
{
    static const column COLS[] = {
        {"lot", "lot_id", 10},  {"due", "due", 10},           {"stage", "stage_words", 15},
        {"kg", "load_kg", -7},  {"machine", "machine_id", 8}, {"route", "route_id", 12},
        {"shade", "shade", 14}, {"article", "article", 13},   {NULL, NULL, 0}};
    return list(c, mdr_app_lots_json, COLS);
}

int mdr_cmd_orders(mdr_cli *c)
{
    static const column COLS[] = {{"order", "order_id", 10},      {"due", "due", 10},
                                  {"finished", "ordered_kg", -8}, {"grey kg", "grey_kg", -8},
                                  {"shade", "shade", 16},         {"article", "article", 18},
                                  {"customer", "customer", 18},   {NULL, NULL, 0}};
    return list(c, mdr_app_orders_json, COLS);
}

int mdr_cmd_machines(mdr_cli *c)
{
    static const column COLS[] = {{"machine", "machine_id", 9},
                                  {"name", "name", 24},
                                  {"kind", "kind_words", 14},
                                  {"tubes", "tubes", -5},
                                  {"from kg", "load_min_kg", -8},
                                  {"to kg", "load_max_kg", -8},
                                  {"L/kg", "ratio_min_l_per_kg", -6},
                                  {"degC", "temp_max_c", -6},
                                  {NULL, NULL, 0}};
    return list(c, mdr_app_machines_json, COLS);
}

int mdr_cmd_routes(mdr_cli *c)
{
    static const column COLS[] = {{"route", "route_id", 16}, {"version", "version", -7},
                                  {"class", "dye_class", 9}, {"lots", "lots", -5},
                                  {"name", "name", 54},      {NULL, NULL, 0}};
    return list(c, mdr_app_routes_json, COLS);
}
