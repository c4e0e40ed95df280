/*
 * mdr_wire.h - JSON in and out: routes, plans, lists, errors.
 *
 * Layer: wire; the only folder that sees jansson. No file, no database: text to records and
 * records to text. Texts live in the arena given. Shapes are described in docs/formats.md and
 * docs/route.schema.json.
 */
#ifndef MDR_WIRE_H
#define MDR_WIRE_H

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"
#include "core/plan/mdr_advice.h"
#include "core/plan/mdr_plan.h"
#include "core/plan/mdr_route.h"

enum { MDR_WIRE_ROUTE_MAX = 1 << 20 }; /* bytes of one route document */

/*
 * Reads a route. Reports every unknown key, missing key, wrong type and wrong word in `found`
 * (place "stages[2].baths[0].steps[3].to_c"; for broken JSON "line:column"), then what
 * mdr_route_check_all finds.
 *   errors  MDR_E_PARSE, MDR_E_RANGE (the first of `found`); MDR_E_NOMEM
 */
mdr_code mdr_wire_route_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                             const mdr_route **out, mdr_err *err) MDR_MUST_CHECK;
/* The same document, canonical order of keys, indented. */
mdr_code mdr_wire_route_write(const mdr_route *route, mdr_arena *arena, char **text, size_t *len,
                              mdr_err *err) MDR_MUST_CHECK;

/* What a request may change of a lot before planning it; from JSON, unknown keys refused.
 * has_* false or NULL: as stored. */
typedef struct mdr_what_if {
    const char *machine_id, *route_id;
    const mdr_route *route; /* a whole route instead of the stored one */
    bool has_load, has_ratio, has_speed, has_tubes;
    double load_kg, ratio_l_per_kg, speed_m_per_min;
    int tubes_used;
    int revision;                     /* 0: not given */
    const mdr_pass_reading *readings; /* of finishing passes that were run */
    int n_readings;
} mdr_what_if;
mdr_code mdr_wire_what_if_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                               mdr_what_if *out, mdr_err *err) MDR_MUST_CHECK;

/* The whole plan: every quantity as {"value", "unit", "figure"}, every figure with its rule and
 * inputs, the warnings as sentences. `revision` of the stored lot. */
mdr_code mdr_wire_plan(const mdr_plan *plan, int revision, mdr_arena *arena, char **text,
                       size_t *len, mdr_err *err) MDR_MUST_CHECK;
/* The finishing alone: {"lot", "finish", "warnings", "figures", "rules"}, with the figures it rests
 * on. */
mdr_code mdr_wire_finish(const mdr_plan *plan, int revision, mdr_arena *arena, char **text,
                         size_t *len, mdr_err *err) MDR_MUST_CHECK;
/* pH and what is dissolved over the time of the lot: {"columns": [...], "points": [[...]], "baths",
 * "doses", "checks"}; docs/api.md. */
mdr_code mdr_wire_chemistry(const mdr_plan *plan, mdr_arena *arena, char **text, size_t *len,
                            mdr_err *err) MDR_MUST_CHECK;
/* The footprints of two plans side by side; b may be NULL. */
mdr_code mdr_wire_footprint(const mdr_plan *a, const mdr_plan *b, mdr_arena *arena, char **text,
                            size_t *len, mdr_err *err) MDR_MUST_CHECK;
/* One figure and all it rests on, as a tree cut at figures already shown. */
mdr_code mdr_wire_why(const mdr_plan *plan, mdr_fig_id figure, mdr_arena *arena, char **text,
                      size_t *len, mdr_err *err) MDR_MUST_CHECK;
/* {"error": {"code", "message", "place", "value", "allowed", "remedy", "more": [...], "total"}};
 * `found` may be NULL. Never fails: falls back to a fixed text. */
const char *mdr_wire_error(const mdr_err *err, const mdr_err_list *found, mdr_arena *arena);

#endif
