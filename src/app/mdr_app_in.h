/*
 * mdr_app_in.h - what the rooms of app share: the open mill and what is kept of it in memory.
 * Layer: app, inside only.
 */
#ifndef MDR_APP_IN_H
#define MDR_APP_IN_H

#include "app/mdr_app.h"
#include "app/mdr_app_work.h"
#include "core/recipe/mdr_calibrate.h"
#include "mill/mdr_bench.h"
#include "mill/mdr_mill.h"

enum { MDR_APP_CACHE_BYTES = 128 << 20, MDR_APP_FIT_KEY = 512 };

/* The newest version of a stored route. Read when first asked for; what went wrong is kept too. */
typedef struct mdr_app_route {
    mdr_route_doc doc; /* text is NULL before it is read */
    bool read, resolving_done;
    const mdr_route *stored;   /* as it stands in the document, or NULL: `err` says why */
    const mdr_route *resolved; /* every stage with its baths, or NULL: `err` says why */
    mdr_err err;
} mdr_app_route;

/* The surface fitted last to samples of the mill: most of the work of a question that is asked again
 * at every step of a slider. */
typedef struct mdr_app_fit {
    char key[MDR_APP_FIT_KEY]; /* of what it was fitted to; "": nothing is kept */
    mdr_surface_fit fit;
} mdr_app_fit;

/* What was found of a dye's rates; kept by mdr_app_dyeing_rates.c. */
typedef struct mdr_app_dye_fit mdr_app_dye_fit;
/* Batches that are not over; kept by mdr_app_runs.c. */
typedef struct mdr_app_runs mdr_app_runs;
/* The look through the chain of events; kept by mdr_app_chain.c. */
typedef struct mdr_app_chain mdr_app_chain;
/* What batches teach; kept by mdr_app_learn_record.c. */
typedef struct mdr_app_taught mdr_app_taught;

/* What was read of the mill, for as long as somebody uses it. */
typedef struct mdr_app_records {
    mdr_arena *arena;
    int users;
} mdr_app_records;

struct mdr_app {
    mdr_mill *mill;
    mdr_app_records *records; /* masters and routes, while the file does not change */
    mdr_arena *cache;         /* theirs */
    bool loaded;
    int64_t state;
    mdr_masters masters;
    mdr_app_route *routes; /* sorted by id */
    int n_routes;
    bool bench_loaded;
    mdr_bench bench;        /* read when first asked for */
    const char **next_lots; /* by machine, read when first asked for; in the cache */
    mdr_app_fit fit;
    mdr_app_dye_fit *dye_fits; /* in the cache, NULL: none yet */
    mdr_app_runs *runs;        /* NULL: none read yet */
    mdr_app_chain *chain;      /* NULL: nobody looks */
    mdr_app_taught *taught;    /* NULL: none read yet */
};

/* Brings the cache up to date. Every use case begins with it. */
mdr_code mdr_app_refresh(mdr_app *app, mdr_err *err) MDR_MUST_CHECK;

/* -- mdr_app_work.c -- */

/* One user. NULL: no memory. */
mdr_app_records *mdr_app_records_new(void);
/* One user less; the last one takes them along. NULL is allowed. */
void mdr_app_records_drop(mdr_app_records *r);

/* What the second part of a calculation does; it may not touch the app. */
typedef struct mdr_app_work_part {
    mdr_code (*run)(void *about, const mdr_go_on *go_on, mdr_blob *out, mdr_err *err);
    /* NULL, or what of it is worth keeping; called while the records are still those of the first
     * part, also when it was not run */
    void (*keep)(mdr_app *app, const void *about);
    void *about;
} mdr_app_work_part;
/* Its first part is done; app may be NULL. */
mdr_code mdr_app_work_make(mdr_app *app, mdr_arena *arena, const mdr_app_work_part *part,
                           mdr_app_work **out, mdr_err *err) MDR_MUST_CHECK;

/* The laboratory, up to date; the cache is refreshed for it. */
mdr_code mdr_app_bench(mdr_app *app, const mdr_bench **out, mdr_err *err) MDR_MUST_CHECK;

/* -- mdr_app_routes.c -- */

/* NULL: there is no such route. */
mdr_app_route *mdr_app_route_find(mdr_app *app, const char *route_id);
/* With its text. errors: MDR_E_NOTFOUND; what reading it gives */
mdr_code mdr_app_route_read(mdr_app *app, const char *route_id, mdr_app_route **out,
                            mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_route_resolved(mdr_app *app, const char *route_id, const mdr_route **out,
                                mdr_err *err) MDR_MUST_CHECK;

/* Routes that are not stored yet, and behind them the stored ones. */
typedef struct mdr_app_shelf {
    mdr_app *app;
    const mdr_route *const *fresh;
    int n_fresh;
    const mdr_err *failed; /* why a stored route could not be read, or NULL */
} mdr_app_shelf;
/* A mdr_route_lookup; ctx is a mdr_app_shelf. */
const mdr_route *mdr_app_shelf_route(void *shelf, const char *route_id);

/* Resolves and checks a route against the shelf, and that its materials and tables are known.
 * Every finding goes to `found` (may be NULL). */
mdr_code mdr_app_route_verify(mdr_app_shelf *shelf, const mdr_route *route, mdr_arena *arena,
                              mdr_err_list *found, const mdr_route **resolved,
                              mdr_err *err) MDR_MUST_CHECK;
/* Stores it as this version, in the canonical form. */
mdr_code mdr_app_route_store(mdr_app *app, const mdr_route *route, int version, mdr_arena *arena,
                             mdr_err *err) MDR_MUST_CHECK;

/* -- mdr_app_plan.c -- */

/* Everything a plan is made from; points into the cache and the arena. */
typedef struct mdr_app_desk {
    mdr_lot_full full;
    mdr_plan_in in;
} mdr_app_desk;
mdr_code mdr_app_desk_set(mdr_app *app, const char *lot_id, mdr_blob what_if, mdr_arena *arena,
                          mdr_err_list *found, mdr_app_desk *out, mdr_err *err) MDR_MUST_CHECK;
/* Gathers what the desk's route names, after the route was changed. */
mdr_code mdr_app_desk_gather(mdr_app *app, mdr_app_desk *desk, mdr_arena *arena,
                             mdr_err *err) MDR_MUST_CHECK;

#endif
