#include "app/mdr_app.h"

#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_chain.h"
#include "app/mdr_app_in.h"
#include "app/mdr_app_run_in.h"
#include "wire/mdr_wire.h"

mdr_code mdr_app_open(const char *path, bool for_writing, mdr_app **out, mdr_err *err)
{
    mdr_app *app = calloc(1, sizeof *app);
    if (app == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, path, "no memory to open the mill");
    }
    const mdr_code rc = mdr_mill_open(path, for_writing, &app->mill, err);
    if (rc != MDR_OK) {
        free(app);
        return rc;
    }
    *out = app;
    return MDR_OK;
}

void mdr_app_close(mdr_app *app)
{
    if (app != NULL) {
        mdr_app_chain_stop(app);
        mdr_app_taught_forget(app);
        mdr_app_runs_forget(app);
        mdr_app_records_drop(app->records);
        mdr_mill_close(app->mill);
        free(app);
    }
}

static mdr_code load_routes(mdr_app *app, mdr_err *err)
{
    mdr_route_doc *docs = NULL;
    int n = 0;
    MDR_TRY(mdr_mill_routes(app->mill, app->cache, &docs, &n, err));
    app->routes = MDR_NEW_N(app->cache, mdr_app_route, (size_t)n + 1);
    if (app->routes == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the routes of the mill");
    }
    for (int i = 0; i < n; i++) {
        app->routes[i].doc = docs[i];
    }
    app->n_routes = n;
    return MDR_OK;
}

mdr_code mdr_app_refresh(mdr_app *app, mdr_err *err)
{
    int64_t state = 0;
    MDR_TRY(mdr_mill_state(app->mill, &state, err));
    if (app->loaded && state == app->state) {
        return MDR_OK;
    }
    app->loaded = false;
    app->bench_loaded = false;
    app->next_lots = NULL;
    app->fit.key[0] = '\0';
    app->dye_fits = NULL;
    app->cache = NULL;
    mdr_app_records_drop(app->records);
    app->records = mdr_app_records_new();
    if (app->records == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the records of the mill");
    }
    app->cache = app->records->arena;
    MDR_TRY(mdr_mill_masters(app->mill, app->cache, &app->masters, err));
    MDR_TRY(load_routes(app, err));
    app->state = state;
    app->loaded = true;
    return MDR_OK;
}

mdr_code mdr_app_bench(mdr_app *app, const mdr_bench **out, mdr_err *err)
{
    MDR_TRY(mdr_app_refresh(app, err));
    if (!app->bench_loaded) {
        MDR_TRY(mdr_mill_bench(app->mill, app->cache, &app->bench, err));
        app->bench_loaded = true;
    }
    *out = &app->bench;
    return MDR_OK;
}

const char *mdr_app_error_json(const mdr_err *err, const mdr_err_list *found, mdr_arena *arena)
{
    return mdr_wire_error(err, found, arena);
}

const char *mdr_app_table_name(int index)
{
    return index >= 0 && index < mdr_tables_count ? mdr_tables[index].name : NULL;
}

const char *mdr_app_table_title(int index)
{
    return index >= 0 && index < mdr_tables_count ? mdr_tables[index].title : NULL;
}

static mdr_code table_of(const char *name, const mdr_table **out, mdr_err *err)
{
    *out = mdr_table_find(name);
    if (*out != NULL) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "table", "there is no such table");
    mdr_err_value(err, "%s", name);
    char names[200] = "";
    size_t n = 0;
    for (int i = 0; i < mdr_tables_count; i++) {
        const size_t more = strlen(mdr_tables[i].name) + 2;
        if (n + more < sizeof names) {
            memcpy(names + n, i > 0 ? ", " : "", i > 0 ? 3 : 1);
            n += i > 0 ? 2 : 0;
            memcpy(names + n, mdr_tables[i].name, more - 1);
            n += more - 2;
        }
    }
    mdr_err_remedy(err, "one of: %s", names);
    return rc;
}

mdr_code mdr_app_import(mdr_app *app, const char *table, const char *file_name, mdr_blob csv,
                        mdr_err_list *found, int *rows, mdr_err *err)
{
    const mdr_table *t = NULL;
    MDR_TRY(table_of(table, &t, err));
    return mdr_mill_import(app->mill, t, file_name, csv.bytes, csv.len, found, rows, err);
}

mdr_code mdr_app_export(mdr_app *app, const char *table, mdr_arena *arena, mdr_blob *out,
                        mdr_err *err)
{
    const mdr_table *t = NULL;
    MDR_TRY(table_of(table, &t, err));
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_mill_export(app->mill, t, arena, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}
