/* Two plans of a lot of the demo mill, before and after a change, held against each other figure by figure:
 * which quantities moved, from which bath on and in which direction. Include after t.h. */
#ifndef PLAN_CHANGE_KIT_H
#define PLAN_CHANGE_KIT_H

#include "demo_kit.h"

/* -- two plans, figure by figure -- */

enum { KEY_SIZE = 96 };

typedef struct row {
    char key[KEY_SIZE];
    double value;
    int qty, bath;
    bool decays; /* peroxide: it feels every minute that a fill takes longer */
} row;

typedef struct all_rows {
    row *items;
    int n;
} all_rows;

static inline int by_key(const void *a, const void *b)
{
    return strcmp(((const row *)a)->key, ((const row *)b)->key);
}

/* The computed figures of a plan, by key. */
static inline all_rows rows_of(const mdr_plan *p, mdr_arena *arena)
{
    all_rows r = {.items = MDR_NEW_N(arena, row, (size_t)p->figs.count)};
    assert_non_null(r.items);
    for (mdr_fig_id id = 0; id < p->figs.count; id++) {
        const mdr_fig *fig = mdr_fig_at(&p->figs, id);
        if (fig->rule < 0) {
            continue;
        }
        row *x = &r.items[r.n++];
        assert_true(mdr_fig_key(&p->figs, id, x->key, KEY_SIZE) < KEY_SIZE);
        x->value = fig->value;
        x->qty = fig->qty;
        x->bath = fig->at.bath;
        x->decays = strncmp(x->key, "substance.H2O2.", 15) == 0 || fig->qty == MDR_QTY_PEROXIDE;
    }
    qsort(r.items, (size_t)r.n, sizeof *r.items, by_key);
    return r;
}

/* What became of one quantity, over all its figures. */
typedef struct moved {
    int up, down;    /* figures that rose and fell */
    double most;     /* largest change, as part of the larger value */
    int first_bath;  /* that has one moved; 0: of the lot or a stage */
    int new_or_gone; /* figures that only one plan has */
} moved;

typedef struct diff {
    moved of[MDR_QTY_COUNT];
} diff;

static inline void note_change(diff *d, const row *before, const row *after)
{
    static const double ROUNDING = 1e-9, HAIR = 1e-5;
    const row *x = before != NULL ? before : after;
    moved *m = &d->of[x->qty];
    if (before == NULL || after == NULL) {
        m->new_or_gone++;
        return;
    }
    const double change = after->value - before->value;
    const double scale = fmax(fabs(after->value), fabs(before->value));
    if (fabs(change) <= (x->decays ? HAIR : ROUNDING) * fmax(scale, 1e-6)) {
        return;
    }
    m->up += change > 0 ? 1 : 0;
    m->down += change < 0 ? 1 : 0;
    m->most = fmax(m->most, fabs(change) / scale);
    m->first_bath = m->first_bath == 0 || x->bath < m->first_bath ? x->bath : m->first_bath;
}

static inline diff compare(const mdr_plan *before, const mdr_plan *after, mdr_arena *arena)
{
    const all_rows a = rows_of(before, arena), b = rows_of(after, arena);
    diff d = {0};
    for (int i = 0, j = 0; i < a.n || j < b.n;) {
        const int order = i == a.n ? 1 : j == b.n ? -1 : by_key(&a.items[i], &b.items[j]);
        note_change(&d, order <= 0 ? &a.items[i] : NULL, order >= 0 ? &b.items[j] : NULL);
        i += order <= 0 ? 1 : 0;
        j += order >= 0 ? 1 : 0;
    }
    return d;
}

/* -- what may move -- */

typedef enum way { UP = 1, DOWN = 2, EITHER = 3 } way;

/* A quantity that a change moves: which way, at most by this part (1: any), and whether it must. */
typedef struct rule {
    mdr_qty qty;
    way way;
    double most;
    bool must;
} rule;

/* A product is dosed more: it, its cost, its load. */
static const rule MORE_PRODUCT[] = {{MDR_QTY_ACTIVE_MASS, UP, 1, true},
                                    {MDR_QTY_MASS, UP, 1, true},
                                    {MDR_QTY_PRODUCT_VOLUME, UP, 1, true},
                                    {MDR_QTY_CONC, UP, 1, true},
                                    {MDR_QTY_ITEM_COST, UP, 1, true},
                                    {MDR_QTY_ITEM_WATER, UP, 1, true},
                                    {MDR_QTY_DISSOLVING, UP, 1, true},
                                    {MDR_QTY_TANK_VOLUME, UP, 1, true},
                                    {MDR_QTY_ADDED, UP, 1, true},
                                    {MDR_QTY_DOSE_LEAST, UP, 1, true},
                                    {MDR_QTY_ADDITIONS, UP, 1, true},
                                    {MDR_QTY_MATERIAL_MASS, UP, 1, true},
                                    {MDR_QTY_MATERIAL_COST, UP, 1, true},
                                    {MDR_QTY_CHEMICALS, UP, 1, true},
                                    {MDR_QTY_CHEMICALS_COST, UP, 1, true},
                                    {MDR_QTY_COST, UP, 1, true},
                                    {MDR_QTY_COST_PER_KG, UP, 1, true},
                                    {MDR_QTY_COD, UP, 1, true},
                                    {MDR_QTY_COD_PER_KG, UP, 1, true},
                                    {MDR_QTY_COD_MEAN, UP, 1, true},
                                    {MDR_QTY_CO2, UP, 1, true},
                                    {MDR_QTY_CO2_PER_KG, UP, 1, true}};
/* Its volume takes the place of fresh water: less to fill, a hair sooner done. */
static const rule LESS_FILL[] = {
    {MDR_QTY_FILL, DOWN, 0.01, true},          {MDR_QTY_WATER, DOWN, 0.01, true},
    {MDR_QTY_WATER_PER_KG, DOWN, 0.01, true},  {MDR_QTY_WATER_COST, DOWN, 0.01, true},
    {MDR_QTY_FLOW_TIME, DOWN, 0.01, true},     {MDR_QTY_LIQUOR_NOW, DOWN, 0.01, true},
    {MDR_QTY_WATER_TEMP, EITHER, 0.01, false}, {MDR_QTY_MINUTES, DOWN, 1e-3, true},
    {MDR_QTY_START, DOWN, 1e-3, false},        {MDR_QTY_END, DOWN, 1e-3, true},
    {MDR_QTY_TOTAL_TIME, DOWN, 1e-3, true},    {MDR_QTY_POWER, DOWN, 1e-3, true},
    {MDR_QTY_POWER_COST, DOWN, 1e-3, true},    {MDR_QTY_POWER_PER_KG, DOWN, 1e-3, true},
    {MDR_QTY_UTILITIES_COST, DOWN, 1e-3, true}};

typedef struct rules {
    bool known[MDR_QTY_COUNT];
    rule of[MDR_QTY_COUNT];
} rules;

static inline void allow(rules *r, const rule *list, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        r->known[list[i].qty] = true;
        r->of[list[i].qty] = list[i];
    }
}
#define ALLOW(r, list) allow((r), (list), N_OF(list))

/* These may move a little, either way. */
static inline void allow_hair(rules *r, const rule *list, size_t n, double most)
{
    for (size_t i = 0; i < n; i++) {
        r->known[list[i].qty] = true;
        r->of[list[i].qty] = (rule){list[i].qty, EITHER, most, false};
    }
}

static const char *const KEYS[MDR_QTY_COUNT] = {
#define MDR_QTY(name, key, unit, label) [name] = (key),
#include "core/plan/mdr_quantities.def"
#undef MDR_QTY
};

/* Exactly these quantities moved, and as they may. */
static inline void moved_only(const diff *d, const rules *r, const char *what)
{
    for (int q = 0; q < MDR_QTY_COUNT; q++) {
        const moved *m = &d->of[q];
        const rule *may = &r->of[q];
        if (m->new_or_gone > 0) {
            fail_msg("%s: %s is only in one of the plans", what, KEYS[q]);
        }
        if (m->up + m->down == 0) {
            if (r->known[q] && may->must) {
                fail_msg("%s: %s did not move", what, KEYS[q]);
            }
            continue;
        }
        if (!r->known[q] || (m->up > 0 && may->way == DOWN) || (m->down > 0 && may->way == UP) ||
            m->most > may->most) {
            fail_msg("%s: %s moved: %d up, %d down, by %g at most", what, KEYS[q], m->up, m->down,
                     m->most);
        }
    }
}

/* -- changing a lot -- */

typedef void (*change)(kit_desk *d);

/* The lot before and after; both plans stay until the desk is closed. */
static inline const mdr_plan *before_and_after(kit_desk *d, const char *lot_id, change prepare,
                                               change it)
{
    assert_true(kit_desk_open(d, lot_id));
    if (prepare != NULL) {
        prepare(d);
    }
    kit_desk_plan(d);
    const mdr_plan *before = d->plan;
    it(d);
    kit_desk_plan(d);
    return before;
}

static inline double val(const mdr_plan *p, mdr_fig_id id)
{
    return mdr_fig_value(&p->figs, id);
}

#define REACTIVE "L26-0107" /* one tonne on a winch that makes additions with liquor of the bath */
#define VAT      "L26-0113"

/* Calls `edit` for every item of a copy of the route's baths. */
static inline void edit_route(kit_desk *d, void (*edit)(mdr_route_item *item))
{
    const mdr_route *from = d->in.route;
    mdr_route *route = MDR_NEW(d->arena, mdr_route);
    mdr_route_stage *stages = MDR_NEW_N(d->arena, mdr_route_stage, (size_t)from->n_stages);
    *route = *from;
    route->stages = stages;
    for (int g = 0; g < from->n_stages; g++) {
        const mdr_route_stage *was = &from->stages[g];
        mdr_route_bath *baths = MDR_NEW_N(d->arena, mdr_route_bath, (size_t)was->n_baths);
        stages[g] = *was;
        stages[g].baths = baths;
        for (int b = 0; b < was->n_baths; b++) {
            const int n = was->baths[b].n_steps;
            mdr_route_step *steps = MDR_NEW_N(d->arena, mdr_route_step, (size_t)n);
            baths[b] = was->baths[b];
            baths[b].steps = steps;
            for (int s = 0; s < n; s++) {
                steps[s] = was->baths[b].steps[s];
                const size_t items = (size_t)steps[s].n_items;
                mdr_route_item *item = MDR_NEW_N(d->arena, mdr_route_item, items + 1);
                for (size_t i = 0; i < items; i++) {
                    item[i] = steps[s].items[i];
                    edit(&item[i]);
                }
                steps[s].items = item;
            }
        }
    }
    d->in.route = route;
    mdr_err err = {0};
    assert_int_equal(mdr_app_desk_gather(kit_app, &d->desk, d->arena, &err), MDR_OK);
}

static inline const mdr_plan_item *item_of(const mdr_plan *p, const char *id, int *bath)
{
    for (int b = 0; b < p->n_baths; b++) {
        for (int s = 0; s < p->baths[b].n_steps; s++) {
            for (int i = 0; i < p->baths[b].steps[s].n_items; i++) {
                const mdr_plan_item *item = &p->baths[b].steps[s].items[i];
                if (strcmp(item->material->material_id, id) == 0) {
                    *bath = b + 1;
                    return item;
                }
            }
        }
    }
    fail_msg("%s is not in the plan", id);
    return NULL;
}

/* Nothing of the baths before this one. */
static inline void same_before(const mdr_plan *a, const mdr_plan *b, mdr_arena *arena, int bath)
{
    const all_rows x = rows_of(a, arena), y = rows_of(b, arena);
    int seen = 0;
    for (int i = 0; i < x.n; i++) {
        if (x.items[i].bath == 0 || x.items[i].bath >= bath ||
            strncmp(x.items[i].key, "stage.", 6) == 0) {
            continue;
        }
        const row *found = bsearch(&x.items[i], y.items, (size_t)y.n, sizeof *y.items, by_key);
        assert_non_null(found);
        CHECK_NEAR(found->value, x.items[i].value, 0, "D: nothing before it");
        seen++;
    }
    assert_true(seen > 20);
}

#endif
