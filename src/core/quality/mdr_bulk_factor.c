#include "core/quality/mdr_bulk_factor.h"

#include <math.h>
#include <stddef.h>

#include "core/quality/mdr_bulk_work.h"
#include "core/quality/mdr_tail.h"

/* Worth of the spreads given beforehand, degrees of freedom; invented. */
static const double PRIOR_DF = 3.0;

static const struct {
    const char *id, *words;
} LEVELS[MDR_BULK_LEVEL_COUNT] = {
#define X(name, id, words) {id, words},
    MDR_BULK_LEVELS(X)
#undef X
};

const char *mdr_bulk_level_id(mdr_bulk_level l)
{
    return LEVELS[l].id;
}

const char *mdr_bulk_level_words(mdr_bulk_level l)
{
    return LEVELS[l].words;
}

mdr_bulk_prior mdr_bulk_usual(void)
{
    return (mdr_bulk_prior){.lot = 0.05, .cell = 0.05, .machine = 0.05, .mill = 0.15};
}

static mdr_code make_room(mdr_bulk_work *w, mdr_arena *arena, mdr_err *err)
{
    const size_t n = (size_t)w->n;
    w->by_cell = MDR_NEW_N(arena, mdr_bulk_item, n);
    w->scratch = MDR_NEW_N(arena, mdr_bulk_item, n);
    w->y = MDR_NEW_N(arena, double, n);
    w->cells = MDR_NEW_N(arena, mdr_bulk_cell_work, n);
    w->pool = MDR_NEW_N(arena, mdr_pool_in, n);
    w->order = MDR_NEW_N(arena, int, n);
    w->groups = MDR_NEW_N(arena, mdr_bulk_cell_work, n);
    w->b->left_out = MDR_NEW_N(arena, bool, n);
    w->b->cells = MDR_NEW_N(arena, mdr_bulk_cell, n);
    w->b->machines = MDR_NEW_N(arena, mdr_bulk_machine, n);
    if (w->by_cell == NULL || w->scratch == NULL || w->y == NULL || w->cells == NULL ||
        w->pool == NULL || w->order == NULL || w->groups == NULL || w->b->left_out == NULL ||
        w->b->cells == NULL || w->b->machines == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many lots");
    }
    return MDR_OK;
}

/* -- spreads -- */

/* What was found and what was given beforehand, by their degrees of freedom. */
static double blend(double variance, int df, double prior_spread)
{
    return (df * variance + PRIOR_DF * prior_spread * prior_spread) / (df + PRIOR_DF);
}

static void mean_of_cell(mdr_bulk_work *w, mdr_bulk_cell_work *c)
{
    double sum = 0.0;
    c->kept = 0;
    for (int i = 0; i < c->lots; i++) {
        const int at = w->by_cell[c->first + i].at;
        sum += w->b->left_out[at] ? 0.0 : w->y[at];
        c->kept += !w->b->left_out[at];
    }
    c->mean = sum / c->kept; /* at most a fifth is left out */
    c->squares = 0.0;
    for (int i = 0; i < c->lots; i++) {
        const int at = w->by_cell[c->first + i].at;
        const double off = w->b->left_out[at] ? 0.0 : w->y[at] - c->mean;
        c->squares += off * off;
    }
}

static void spread_of_lots(mdr_bulk_work *w, const mdr_bulk_prior *prior)
{
    double squares = 0.0;
    for (int c = 0; c < w->b->n_cells; c++) {
        mean_of_cell(w, &w->cells[c]);
        squares += w->cells[c].squares;
        w->b->lot_df += w->cells[c].kept - 1;
    }
    const double found = w->b->lot_df > 0 ? squares / w->b->lot_df : 0.0;
    w->b->lot_spread = sqrt(blend(found, w->b->lot_df, prior->lot));
    for (int c = 0; c < w->b->n_cells; c++) {
        w->pool[c] =
            (mdr_pool_in){w->cells[c].mean, w->b->lot_spread * w->b->lot_spread / w->cells[c].kept};
    }
}

/* Cells of the machine whose first cell this is. */
static int cells_of_machine(const mdr_bulk *b, int first)
{
    int n = 1;
    while (first + n < b->n_cells && b->cells[first + n].machine == b->cells[first].machine) {
        n++;
    }
    return n;
}

static void spread_of_cells(mdr_bulk_work *w, const mdr_bulk_prior *prior)
{
    mdr_pool_q all = {0};
    for (int c = 0; c < w->b->n_cells;) {
        const int n = cells_of_machine(w->b, c);
        const mdr_pool_q q = mdr_pool_q_of(&w->pool[c], n);
        all.q += q.q;
        all.room += q.room;
        all.df += q.df;
        c += n;
    }
    w->b->cell_df = all.df;
    w->b->cell_spread = sqrt(blend(mdr_pool_tau2(all), all.df, prior->cell));
}

/* -- what is known -- */

static mdr_bulk_known known(double mean, double variance)
{
    const double reach = MDR_NORMAL_95 * sqrt(variance);
    return (mdr_bulk_known){
        .factor = exp(mean), .low = exp(mean - reach), .high = exp(mean + reach)};
}

/* Normal about a centre that is itself not quite known [normal-normal]: value and its variance. */
static mdr_pool_mean drawn(mdr_pool_in own, double tau2, mdr_pool_mean centre)
{
    const double away = own.variance / (own.variance + tau2);
    return (mdr_pool_mean){(1.0 - away) * own.mean + away * centre.mean,
                           (1.0 - away) * own.variance + away * away * centre.variance};
}

static double weight_of(mdr_pool_in own, double tau2)
{
    return tau2 / (own.variance + tau2);
}

static void tell_cells(mdr_bulk_work *w, int first, int n, mdr_pool_mean machine)
{
    const double tau2 = w->b->cell_spread * w->b->cell_spread;
    for (int c = first; c < first + n; c++) {
        const mdr_pool_mean m = drawn(w->pool[c], tau2, machine);
        mdr_bulk_known *k = &w->b->cells[c].known;
        *k = known(m.mean, m.variance);
        k->own_weight = weight_of(w->pool[c], tau2);
        k->lots = w->cells[c].kept;
        k->level = MDR_BULK_CELL;
    }
}

/* Everything of a machine from its own mean, how well that is known, and the mill. */
static void tell_machine(mdr_bulk_work *w, mdr_bulk_machine *out, int first, mdr_pool_in own,
                         mdr_pool_mean mill)
{
    const int n = cells_of_machine(w->b, first);
    const double cell2 = w->b->cell_spread * w->b->cell_spread,
                 machine2 = w->b->machine_spread * w->b->machine_spread;
    const mdr_pool_mean m = drawn(own, machine2, mill);
    out->machine = w->b->cells[first].machine;
    out->known = known(m.mean, m.variance);
    out->known.level = MDR_BULK_MACHINE;
    out->known.own_weight = weight_of(own, machine2);
    for (int c = first; c < first + n; c++) {
        out->known.lots += w->cells[c].kept;
    }
    out->next = known(m.mean, m.variance + cell2);
    out->next.level = MDR_BULK_MACHINE;
    out->next.own_weight = out->known.own_weight;
    out->next.lots = out->known.lots;
    tell_cells(w, first, n, m);
}

static void tell_mill(mdr_bulk_work *w, const mdr_bulk_prior *prior, mdr_pool_mean *mill)
{
    const bool from_one = prior->mill > 0.0;
    const double away =
        from_one ? mill->variance / (mill->variance + prior->mill * prior->mill) : 0.0;
    *mill = (mdr_pool_mean){(1.0 - away) * mill->mean, (1.0 - away) * mill->variance};
    const double cell2 = w->b->cell_spread * w->b->cell_spread,
                 machine2 = w->b->machine_spread * w->b->machine_spread;
    w->b->mill = known(mill->mean, mill->variance);
    w->b->next = known(mill->mean, mill->variance + machine2 + cell2);
    w->b->mill.own_weight = w->b->next.own_weight = 1.0 - away;
    w->b->mill.lots = w->b->next.lots = w->n - w->b->n_left_out;
    w->b->mill.level = w->b->next.level = MDR_BULK_MILL;
}

static mdr_code tell(mdr_bulk_work *w, const mdr_bulk_prior *prior, mdr_arena *arena, mdr_err *err)
{
    mdr_bulk *b = w->b;
    const double cell2 = b->cell_spread * b->cell_spread;
    mdr_pool_in *machines = MDR_NEW_N(arena, mdr_pool_in, (size_t)b->n_cells);
    if (machines == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many lots");
    }
    for (int c = 0; c < b->n_cells; c += cells_of_machine(b, c)) {
        const mdr_pool_mean m = mdr_pool_mean_of(&w->pool[c], cells_of_machine(b, c), cell2);
        machines[b->n_machines++] = (mdr_pool_in){m.mean, m.variance};
    }
    const mdr_pool_q q = mdr_pool_q_of(machines, b->n_machines);
    b->machine_df = q.df;
    b->machine_spread = sqrt(blend(mdr_pool_tau2(q), q.df, prior->machine));
    mdr_pool_mean mill =
        mdr_pool_mean_of(machines, b->n_machines, b->machine_spread * b->machine_spread);
    tell_mill(w, prior, &mill);
    int i = 0;
    for (int c = 0; c < b->n_cells; c += cells_of_machine(b, c)) {
        tell_machine(w, &b->machines[i], c, machines[i], mill);
        i++;
    }
    return MDR_OK;
}

mdr_code mdr_bulk_of(const mdr_bulk_lot *lots, int n, const mdr_bulk_prior *prior, mdr_arena *arena,
                     mdr_bulk *out, mdr_err *err)
{
    MDR_TRY(mdr_bulk_check(lots, n, prior, err));
    mdr_bulk b = {0};
    mdr_bulk_work w = {.lots = lots, .n = n, .b = &b};
    MDR_TRY(make_room(&w, arena, err));
    mdr_bulk_into_cells(&w);
    mdr_bulk_leave_out_odd(&w);
    spread_of_lots(&w, prior);
    spread_of_cells(&w, prior);
    MDR_TRY(tell(&w, prior, arena, err));
    *out = b;
    return MDR_OK;
}

mdr_bulk_known mdr_bulk_at(const mdr_bulk *bulk, int shade, int machine)
{
    for (int c = 0; c < bulk->n_cells; c++) {
        if (bulk->cells[c].shade == shade && bulk->cells[c].machine == machine) {
            return bulk->cells[c].known;
        }
    }
    for (int m = 0; m < bulk->n_machines; m++) {
        if (bulk->machines[m].machine == machine) {
            return bulk->machines[m].next;
        }
    }
    return bulk->next;
}
