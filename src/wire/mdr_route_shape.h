/*
 * mdr_route_shape.h - the route document as a table of fields, for whoever reads one.
 * Layer: wire.
 */
#ifndef MDR_ROUTE_SHAPE_H
#define MDR_ROUTE_SHAPE_H

#include "core/plan/mdr_route.h"
#include "wire/mdr_json.h"
#include "wire/mdr_shape.h"

#define MDR_ROUTE_FORMAT "madder-route-1"

extern const mdr_shape mdr_route_shape;

/* Writes the document as a member of something larger. */
void mdr_wire_put_route(mdr_json *j, const char *key, const mdr_route *route);

#endif
