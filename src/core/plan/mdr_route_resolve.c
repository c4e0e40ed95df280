#include <stdio.h>
#include <string.h>

#include "core/plan/mdr_route.h"

enum { CHAIN_MAX = 32 };

/* A stage that is being followed to where its baths really stand. */
typedef struct chain {
    const mdr_route *route[CHAIN_MAX];
    const mdr_route_stage *stage[CHAIN_MAX];
    int n;
} chain;

static const mdr_route_stage *stage_named(const mdr_route *route, const char *name)
{
    for (int i = 0; i < route->n_stages; i++) {
        if (strcmp(route->stages[i].name, name) == 0) {
            return &route->stages[i];
        }
    }
    return NULL;
}

static mdr_code no_stage(const mdr_route *route, const char *wanted, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_NOTFOUND, "from_stage", "route %s has no such stage", route->route_id);
    mdr_err_value(err, "%.60s", wanted);
    char names[96] = "";
    size_t n = 0;
    for (int i = 0; i < route->n_stages && n + 1 < sizeof names; i++) {
        n += (size_t)snprintf(names + n, sizeof names - n, "%s%s", i > 0 ? ", " : "",
                              route->stages[i].name);
    }
    mdr_err_allowed(err, "%s", names);
    return rc;
}

/* "A / Scour -> B / Scour -> A / Scour" */
static mdr_code circle(const chain *c, const char *place, mdr_err *err)
{
    char text[180] = "";
    size_t n = 0;
    for (int i = 0; i < c->n && n + 1 < sizeof text; i++) {
        n += (size_t)snprintf(text + n, sizeof text - n, "%s%s / %s", i > 0 ? " -> " : "",
                              c->route[i]->route_id, c->stage[i]->name);
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, place, "stages lead in a circle: %s", text);
    mdr_err_remedy(err, "give one of these stages baths of its own");
    return rc;
}

static bool seen(const chain *c, const mdr_route *route, const mdr_route_stage *stage)
{
    for (int i = 0; i < c->n; i++) {
        if (strcmp(c->route[i]->route_id, route->route_id) == 0 &&
            strcmp(c->stage[i]->name, stage->name) == 0) {
            return true;
        }
    }
    return false;
}

typedef struct resolver {
    const mdr_route *route;
    mdr_route_lookup lookup;
    void *ctx;
} resolver;

/* The route itself is found even when it is not stored yet, or stored otherwise. */
static const mdr_route *route_of(const resolver *r, const char *id)
{
    return strcmp(id, r->route->route_id) == 0 ? r->route : r->lookup(r->ctx, id);
}

/* Follows one stage until it has baths. */
static mdr_code follow(const resolver *r, const mdr_route_stage *start, const mdr_route_stage **out,
                       mdr_err *err)
{
    chain c = {.n = 1};
    c.route[0] = r->route;
    c.stage[0] = start;
    const mdr_route_stage *stage = start;
    while (stage->n_baths == 0 && stage->from_route[0] != '\0') {
        const mdr_route *next = route_of(r, stage->from_route);
        if (next == NULL) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "from_route", "no such route");
            mdr_err_value(err, "%.60s", stage->from_route);
            mdr_err_remedy(err, "import that route first, or correct the number");
            return rc;
        }
        const mdr_route_stage *there = stage_named(next, stage->from_stage);
        if (there == NULL) {
            return no_stage(next, stage->from_stage, err);
        }
        const bool again = seen(&c, next, there) || c.n == CHAIN_MAX - 1;
        c.route[c.n] = next;
        c.stage[c.n++] = there;
        if (again) {
            return circle(&c, "from_route", err);
        }
        stage = there;
    }
    *out = stage;
    return MDR_OK;
}

mdr_code mdr_route_resolve(const mdr_route *route, mdr_route_lookup lookup, void *ctx,
                           mdr_arena *arena, const mdr_route **out, mdr_err *err)
{
    mdr_route *copy = MDR_NEW(arena, mdr_route);
    mdr_route_stage *stages = MDR_NEW_N(arena, mdr_route_stage, (size_t)route->n_stages);
    if (copy == NULL || (stages == NULL && route->n_stages > 0)) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to resolve route %s", route->route_id);
    }
    const resolver r = {route, lookup, ctx};
    for (int i = 0; i < route->n_stages; i++) {
        const mdr_route_stage *source = NULL;
        const mdr_code rc = follow(&r, &route->stages[i], &source, err);
        if (rc != MDR_OK || source == NULL) {
            mdr_err_within(err, "stages[%d]", i);
            return rc;
        }
        stages[i] = route->stages[i];
        stages[i].baths = source->baths;
        stages[i].n_baths = source->n_baths;
    }
    *copy = *route;
    copy->stages = stages;
    *out = copy;
    return MDR_OK;
}
