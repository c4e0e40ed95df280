/*
 * mdr_fig.h - figures: every number of a plan, with the rule, the inputs and the source it
 * comes from.
 *
 * Layer: core/plan. A figure is either an INPUT (a field of a record, a constant) or the result
 * of a RULE applied to other figures. The rule is the code: mdr_fig_rule() computes the value by
 * calling the rule's own function on the values of the input figures, so the explanation cannot
 * drift from the number. Rules stand in mdr_rules.def (name, formula in words, source, section
 * of docs/methods), quantities in mdr_quantities.def (key, unit, label).
 *
 * A figure's key is stable and can be typed: "liquor_l" of bath 3 is "b3.liquor_l", of the
 * second step there "b3.s2.volume_l", of that dose's first item "b3.s2.i1.mass_kg"; an input is
 * "machine.tank_l", "material.SODA.strength_pct", "route.b3.s2.rate_c_per_min".
 */
#ifndef MDR_FIG_H
#define MDR_FIG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/mdr_arena.h"

typedef enum mdr_qty {
#define MDR_QTY(name, key, unit, label) name,
#include "core/plan/mdr_quantities.def"
#undef MDR_QTY
    MDR_QTY_COUNT
} mdr_qty;

typedef enum mdr_rule {
#define MDR_RULE(name, id, title, words, source, anchor, function) name,
#include "core/plan/mdr_rules.def"
#undef MDR_RULE
    MDR_RULE_COUNT
} mdr_rule;

typedef struct mdr_rule_info {
    const char *id;     /* "rope-length" */
    const char *title;  /* "Length of fabric" */
    const char *words;  /* formula in words */
    const char *source; /* key of docs/sources.md, or "common practice", "definition" */
    const char *anchor; /* "loading.md#rope-length", below docs/methods/ */
    double (*compute)(const double *in, int n);
} mdr_rule_info;

const mdr_rule_info *mdr_rule_of(mdr_rule rule);

typedef int32_t mdr_fig_id; /* index of a figure in its plan; MDR_FIG_NONE: there is none */
enum { MDR_FIG_NONE = -1 };

/* Where in the plan a figure stands; 1-based, 0 = not at that depth. */
typedef struct mdr_where {
    int16_t bath, step, item;
} mdr_where;

typedef struct mdr_fig {
    double value;
    const char *unit;  /* "L", "kg", "min", "degC", "g/L", "" ... */
    const char *label; /* "Liquor in the bath" */
    /* a computed figure */
    int32_t rule;             /* mdr_rule, or -1: this is an input */
    int32_t inputs, n_inputs; /* slice of the pool */
    int16_t qty;              /* mdr_qty of a computed figure */
    mdr_where at;
    /* an input: the record it was read from, "machine", "M-04", "tank_l"; a computed figure that
     * belongs to a record rather than to a place in the plan: table and record_id, no field */
    const char *table, *record_id, *field;
} mdr_fig;

typedef struct mdr_figs {
    mdr_arena *arena;
    mdr_fig *items;
    int count, room;
    mdr_fig_id *pool;
    int pool_count, pool_room;
    bool failed; /* the arena was full once; every later call is harmless, the result is void */
} mdr_figs;

mdr_figs mdr_figs_make(mdr_arena *arena);

typedef struct mdr_fig_source {
    const char *table, *record_id, *field;
    mdr_where at; /* route inputs: the place in the plan; else zeros */
} mdr_fig_source;

/* A number read from a record. table "const": a constant of nature or practice, `record_id` is
 * then its source key. All texts must outlive the figures (string literals, record texts). */
mdr_fig_id mdr_fig_input(mdr_figs *f, double value, const char *unit, const char *label,
                         mdr_fig_source source);

/* The rule's result on these figures; value from mdr_rule_of(rule)->compute. */
mdr_fig_id mdr_fig_rule(mdr_figs *f, mdr_qty qty, mdr_where at, mdr_rule rule,
                        const mdr_fig_id *inputs, int n_inputs);
#define MDR_FIG(f, qty, at, rule, ...)                                        \
    mdr_fig_rule((f), (qty), (at), (rule), (const mdr_fig_id[]){__VA_ARGS__}, \
                 (int)(sizeof((const mdr_fig_id[]){__VA_ARGS__}) / sizeof(mdr_fig_id)))

/* Says that a computed figure belongs to a record: its key is then "material.SODA.total_kg". */
void mdr_fig_belongs(mdr_figs *f, mdr_fig_id id, const char *table, const char *record_id);

/* 0 for MDR_FIG_NONE. */
double mdr_fig_value(const mdr_figs *f, mdr_fig_id id);
const mdr_fig *mdr_fig_at(const mdr_figs *f, mdr_fig_id id);

/* Writes the key, always terminated; returns its length. */
int mdr_fig_key(const mdr_figs *f, mdr_fig_id id, char *out, size_t out_size);
/* The figure of this key, or MDR_FIG_NONE. */
mdr_fig_id mdr_fig_find(const mdr_figs *f, const char *key);

#endif
