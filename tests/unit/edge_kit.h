/* What a number of a record may be: it is taken at both ends of its range and refused beyond either, with
 * its place and the range. Include after t.h. */
#ifndef EDGE_KIT_H
#define EDGE_KIT_H

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/mdr_err.h"

typedef struct kit_edge {
    const char *place;
    size_t at; /* of a double in the record */
    double least, most;
} kit_edge;

/* Asks with what the record says now; its errors. */
typedef mdr_code (*kit_edge_ask)(const void *record, mdr_err *err);

static inline void kit_edge_at(const kit_edge *e, void *record, kit_edge_ask ask, double value,
                               bool refused)
{
    double was;
    char range[64];
    mdr_err err = {0};
    memcpy(&was, (char *)record + e->at, sizeof was);
    memcpy((char *)record + e->at, &value, sizeof value);
    (void)snprintf(range, sizeof range, "%g to %g", e->least, e->most);
    const mdr_code rc = ask(record, &err);
    memcpy((char *)record + e->at, &was, sizeof was);
    /* at an end another rule may speak, but not this one */
    const bool is =
        rc == MDR_E_RANGE && strcmp(err.place, e->place) == 0 && strcmp(err.allowed, range) == 0;
    if (is != refused) {
        fail_msg("%s of %.9g, may be %s: %s at %s, allowed %s", e->place, value, range,
                 mdr_code_id(rc), err.place, err.allowed);
    }
}

static inline void kit_edges(const kit_edge *edges, size_t n, void *record, kit_edge_ask ask)
{
    for (size_t i = 0; i < n; i++) {
        const kit_edge *e = &edges[i];
        const double hair = 1e-6 * (e->most - e->least);
        kit_edge_at(e, record, ask, e->least, false);
        kit_edge_at(e, record, ask, e->most, false);
        kit_edge_at(e, record, ask, e->least - hair, true);
        kit_edge_at(e, record, ask, e->most + hair, true);
        kit_edge_at(e, record, ask, (double)NAN, true);
    }
}

#endif
