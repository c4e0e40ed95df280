/* Lots into cells, and which of them do not belong. */
#include <math.h>
#include <stddef.h>

#include "core/quality/mdr_bulk_work.h"

static const double DEPTH_LEAST_PCT = 1e-4, DEPTH_MOST_PCT = 20.0; /* invented: a wrong unit */
static const double APART_MOST = 5.0; /* times; invented: another dye or another lot */
static const double SPREAD_LEAST = 1e-3, SPREAD_MOST = 2.0; /* invented */
/* [modified-z], but the distance must count for the dyer too, more so between shades, and a group of
 * which more than one in five would go has no odd lots; all but the first two invented. */
static const double ODD_Z = 3.5, MAD_TO_SD = 0.6745;
static const double ODD_LEAST = 0.0953;          /* ln 1.1 */
static const double ODD_LEAST_OF_SMALL = 0.2231; /* ln 1.25 */
enum { ODD_ONE_IN = 5, ODD_GROUP_LEAST = 5 };

/* -- what is asked -- */

static mdr_code refuse(mdr_err *err, int lot, const char *field, double value, const char *allowed)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "", "no factor can be learned from this");
    if (lot >= 0) {
        mdr_err_within(err, "lots[%d].%s", lot, field);
    } else {
        mdr_err_within(err, "prior.%s", field);
    }
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    return rc;
}

static bool is_depth(double pct)
{
    return pct >= DEPTH_LEAST_PCT && pct <= DEPTH_MOST_PCT;
}

static bool is_number(int number)
{
    return number >= 0 && number <= MDR_BULK_NUMBER_MAX;
}

static mdr_code check_lot(const mdr_bulk_lot *l, int i, mdr_err *err)
{
    if (!is_number(l->shade)) {
        return refuse(err, i, "shade", l->shade, "0 to 1000000");
    }
    if (!is_number(l->machine)) {
        return refuse(err, i, "machine", l->machine, "0 to 1000000");
    }
    if (!is_depth(l->planned_pct)) {
        return refuse(err, i, "planned_pct", l->planned_pct, "0.0001 to 20 % owf");
    }
    if (!is_depth(l->found_pct) || l->found_pct > APART_MOST * l->planned_pct ||
        l->planned_pct > APART_MOST * l->found_pct) {
        return refuse(err, i, "found_pct", l->found_pct,
                      "0.0001 to 20 % owf, within fivefold of planned_pct");
    }
    return MDR_OK;
}

bool mdr_bulk_can(const mdr_bulk_lot *lot)
{
    return check_lot(lot, 0, NULL) == MDR_OK;
}

static mdr_code check_spread(double spread, const char *field, mdr_err *err)
{
    return spread >= SPREAD_LEAST && spread <= SPREAD_MOST
               ? MDR_OK
               : refuse(err, -1, field, spread, "0.001 to 2");
}

static mdr_code check_prior(const mdr_bulk_prior *prior, mdr_err *err)
{
    const bool nothing_of_mill = prior->mill >= 0.0 && prior->mill <= 0.0;
    MDR_TRY(check_spread(prior->lot, "lot", err));
    MDR_TRY(check_spread(prior->cell, "cell", err));
    MDR_TRY(check_spread(prior->machine, "machine", err));
    return nothing_of_mill ? MDR_OK : check_spread(prior->mill, "mill", err);
}

mdr_code mdr_bulk_check(const mdr_bulk_lot *lots, int n, const mdr_bulk_prior *prior, mdr_err *err)
{
    if (n < 1 || n > MDR_BULK_LOTS_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "n", "that is more lots than can be taken");
        mdr_err_value(err, "%d", n);
        mdr_err_allowed(err, "1 to %d", MDR_BULK_LOTS_MAX);
        return rc;
    }
    MDR_TRY(check_prior(prior, err));
    for (int i = 0; i < n; i++) {
        MDR_TRY(check_lot(&lots[i], i, err));
    }
    return MDR_OK;
}

/* -- lots in the order of their cells -- */

static bool above(mdr_bulk_item a, mdr_bulk_item b)
{
    return a.key > b.key || (a.key >= b.key && a.at > b.at);
}

/* Shell's sort: the core has no library to sort with. */
static void sort(mdr_bulk_item *items, int n)
{
    for (int gap = n / 2; gap > 0; gap = gap == 2 ? 1 : (int)(gap / 2.2)) {
        for (int i = gap; i < n; i++) {
            const mdr_bulk_item keep = items[i];
            int k = i;
            for (; k >= gap && above(items[k - gap], keep); k -= gap) {
                items[k] = items[k - gap];
            }
            items[k] = keep;
        }
    }
}

static double median(const mdr_bulk_item *sorted, int n)
{
    return 0.5 * (sorted[(n - 1) / 2].key + sorted[n / 2].key);
}

void mdr_bulk_into_cells(mdr_bulk_work *w)
{
    const double machine_step = MDR_BULK_NUMBER_MAX + 1.0;
    for (int i = 0; i < w->n; i++) {
        w->by_cell[i] = (mdr_bulk_item){w->lots[i].machine * machine_step + w->lots[i].shade, i};
        w->y[i] = log(w->lots[i].found_pct / w->lots[i].planned_pct);
    }
    sort(w->by_cell, w->n);
    int n_cells = 0;
    for (int i = 0; i < w->n; i++) {
        if (i == 0 || w->by_cell[i].key > w->by_cell[i - 1].key) {
            const mdr_bulk_lot *l = &w->lots[w->by_cell[i].at];
            w->b->cells[n_cells] = (mdr_bulk_cell){.shade = l->shade, .machine = l->machine};
            w->cells[n_cells++] = (mdr_bulk_cell_work){.first = i};
        }
        w->cells[n_cells - 1].lots++;
    }
    w->b->n_cells = n_cells;
}

/* -- lots that do not belong -- */

static double y_of(const mdr_bulk_work *w, const mdr_bulk_cell_work *g, int i)
{
    return w->y[w->order[g->first + i]];
}

static double median_of(const mdr_bulk_work *w, const mdr_bulk_cell_work *g)
{
    for (int i = 0; i < g->lots; i++) {
        w->scratch[i] = (mdr_bulk_item){y_of(w, g, i), i};
    }
    sort(w->scratch, g->lots);
    return median(w->scratch, g->lots);
}

/* Median distance from the groups' medians; a lot that is the median itself says nothing of it. */
static double usual_distance(const mdr_bulk_work *w, int n_groups)
{
    int n = 0;
    for (int k = 0; k < n_groups; k++) {
        for (int i = 0; i < w->groups[k].lots; i++) {
            const double off = fabs(y_of(w, &w->groups[k], i) - w->groups[k].mean);
            if (off > 0.0) {
                w->scratch[n] = (mdr_bulk_item){off, n};
                n++;
            }
        }
    }
    sort(w->scratch, n);
    return n > 0 ? median(w->scratch, n) : 0.0;
}

static void leave_out(mdr_bulk_work *w, const mdr_bulk_cell_work *g, double beyond)
{
    int odd = 0;
    for (int i = 0; i < g->lots; i++) {
        odd += fabs(y_of(w, g, i) - g->mean) > beyond;
    }
    for (int i = 0; odd * ODD_ONE_IN <= g->lots && i < g->lots; i++) {
        const bool out = fabs(y_of(w, g, i) - g->mean) > beyond;
        w->b->left_out[w->order[g->first + i]] = out;
        w->b->n_left_out += out;
    }
}

/* Of these groups the lots that are far from their median by the usual distance, and by `least`. */
static void leave_out_of(mdr_bulk_work *w, int n_groups, double least)
{
    for (int k = 0; k < n_groups; k++) {
        w->groups[k].mean = median_of(w, &w->groups[k]);
    }
    const double beyond = fmax(ODD_Z / MAD_TO_SD * usual_distance(w, n_groups), least);
    for (int k = 0; k < n_groups; k++) {
        leave_out(w, &w->groups[k], beyond);
    }
}

static void add_lots(mdr_bulk_work *w, mdr_bulk_cell_work *g, const mdr_bulk_cell_work *cell)
{
    for (int i = 0; i < cell->lots; i++) {
        w->order[g->first + g->lots++] = w->by_cell[cell->first + i].at;
    }
}

static int large_cells(mdr_bulk_work *w)
{
    int n = 0, used = 0;
    for (int c = 0; c < w->b->n_cells; c++) {
        if (w->cells[c].lots >= ODD_GROUP_LEAST) {
            w->groups[n] = (mdr_bulk_cell_work){.first = used};
            add_lots(w, &w->groups[n], &w->cells[c]);
            used += w->groups[n++].lots;
        }
    }
    return n;
}

/* Cells too small to tell which of their lots is odd, by machine. */
static int small_cells(mdr_bulk_work *w)
{
    int n = 0, used = 0;
    for (int c = 0; c < w->b->n_cells;) {
        const int machine = w->b->cells[c].machine;
        mdr_bulk_cell_work g = {.first = used};
        for (; c < w->b->n_cells && w->b->cells[c].machine == machine; c++) {
            if (w->cells[c].lots < ODD_GROUP_LEAST) {
                add_lots(w, &g, &w->cells[c]);
            }
        }
        if (g.lots >= ODD_GROUP_LEAST) {
            w->groups[n++] = g;
            used += g.lots;
        }
    }
    return n;
}

static bool has_lots(const mdr_bulk_work *w, const mdr_bulk_cell_work *cell)
{
    for (int i = 0; i < cell->lots; i++) {
        if (!w->b->left_out[w->by_cell[cell->first + i].at]) {
            return true;
        }
    }
    return false;
}

void mdr_bulk_leave_out_odd(mdr_bulk_work *w)
{
    leave_out_of(w, large_cells(w), ODD_LEAST);
    leave_out_of(w, small_cells(w), ODD_LEAST_OF_SMALL);
    int kept = 0; /* cells that have a lot left */
    for (int c = 0; c < w->b->n_cells; c++) {
        if (has_lots(w, &w->cells[c])) {
            w->cells[kept] = w->cells[c];
            w->b->cells[kept++] = w->b->cells[c];
        }
    }
    w->b->n_cells = kept;
}
