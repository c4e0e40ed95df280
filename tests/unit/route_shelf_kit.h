/*
 * route_shelf_kit.h - routes found by their id, as a mill would.
 */
#ifndef ROUTE_SHELF_KIT_H
#define ROUTE_SHELF_KIT_H

#include <string.h>

#include "core/plan/mdr_route.h"

typedef struct shelf {
    const mdr_route *routes[64];
    int n;
} shelf;

static const mdr_route *look_up(void *ctx, const char *route_id)
{
    const shelf *s = ctx;
    for (int i = 0; i < s->n; i++) {
        if (strcmp(s->routes[i]->route_id, route_id) == 0) {
            return s->routes[i];
        }
    }
    return NULL;
}

#endif
