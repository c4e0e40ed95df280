#include "core/colour/mdr_shade_order.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

static const double GAIN_LEAST = 1e-12; /* invented: less is rounding, and would go on for ever */
enum { MOVED_MOST = 3 };

static double step(const mdr_shade_matrix *m, const int *path, int i, int k)
{
    /* beyond the ends there is nothing to step to */
    return i < 0 || k >= m->n ? 0.0 : mdr_shade_de(m, path[i], path[k]);
}

static double length(const mdr_shade_matrix *m, const int *path)
{
    double sum = 0.0;
    for (int i = 1; i < m->n; i++) {
        sum += mdr_shade_de(m, path[i - 1], path[i]);
    }
    return sum;
}

static bool holds(uint32_t set, int roll)
{
    return (set >> roll & 1u) != 0;
}

/* The shortest path through `before` and then to `last`. */
static double arrive(const mdr_shade_matrix *m, const double *cost, uint32_t before, int last)
{
    double least = before == 0 ? 0.0 : HUGE_VAL;
    for (int k = 0; k < m->n; k++) {
        if (holds(before, k)) {
            least =
                fmin(least, cost[before * (uint32_t)m->n + (uint32_t)k] + mdr_shade_de(m, k, last));
        }
    }
    return least;
}

/* Of the rolls in the set, the one to stand last when `next` (-1: nothing) comes behind it. */
static int best_last(const mdr_shade_matrix *m, const double *cost, uint32_t set, int next)
{
    int best = 0;
    double least = HUGE_VAL;
    for (int last = 0; last < m->n; last++) {
        if (holds(set, last)) {
            const double sum = cost[set * (uint32_t)m->n + (uint32_t)last] +
                               (next < 0 ? 0.0 : mdr_shade_de(m, last, next));
            best = sum < least ? last : best;
            least = fmin(least, sum);
        }
    }
    return best;
}

/* [held-karp] cost[set][last]: the shortest path through the set that ends at last. */
static void exact(const mdr_shade_matrix *m, double *cost, int *path)
{
    const uint32_t n = (uint32_t)m->n, all = (1u << n) - 1u;
    for (uint32_t set = 1; set <= all; set++) {
        for (int last = 0; last < m->n; last++) {
            if (holds(set, last)) {
                cost[set * n + (uint32_t)last] = arrive(m, cost, set & ~(1u << last), last);
            }
        }
    }
    uint32_t set = all;
    int next = -1;
    for (int place = m->n - 1; place >= 0; place--) {
        next = best_last(m, cost, set, next);
        path[place] = next;
        set &= ~(1u << next);
    }
}

static void nearest_first(const mdr_shade_matrix *m, int start, bool *used, int *path)
{
    memset(used, 0, (size_t)m->n * sizeof *used);
    path[0] = start;
    used[start] = true;
    for (int i = 1; i < m->n; i++) {
        int next = -1;
        for (int k = 0; k < m->n; k++) {
            if (!used[k] && (next < 0 || mdr_shade_de(m, path[i - 1], k) <
                                             mdr_shade_de(m, path[i - 1], next))) {
                next = k;
            }
        }
        path[i] = next;
        used[next] = true;
    }
}

static void turn_round(int *path, int from, int to)
{
    for (; from < to; from++, to--) {
        const int kept = path[from];
        path[from] = path[to];
        path[to] = kept;
    }
}

/* Turns one stretch round where that makes the path shorter. */
static bool mend_by_turning(const mdr_shade_matrix *m, int *path)
{
    bool any = false;
    for (int i = 0; i < m->n - 1; i++) {
        for (int k = i + 1; k < m->n; k++) {
            const double now = step(m, path, i - 1, i) + step(m, path, k, k + 1);
            const double then = (i > 0 ? mdr_shade_de(m, path[i - 1], path[k]) : 0.0) +
                                (k + 1 < m->n ? mdr_shade_de(m, path[i], path[k + 1]) : 0.0);
            if (then < now - GAIN_LEAST) {
                turn_round(path, i, k);
                any = true;
            }
        }
    }
    return any;
}

/* Moves the rolls path[i .. i+size-1] to stand behind place `to` (outside of them; -1: in front). */
static void move(int *path, int i, int size, int to)
{
    /* a move is three turns: of both parts, then of the whole */
    if (to > i) {
        turn_round(path, i, i + size - 1);
        turn_round(path, i + size, to);
        turn_round(path, i, to);
    } else {
        turn_round(path, to + 1, i - 1);
        turn_round(path, i, i + size - 1);
        turn_round(path, to + 1, i + size - 1);
    }
}

static double move_gain(const mdr_shade_matrix *m, const int *path, int i, int size, int to)
{
    const int last = i + size - 1;
    const double bridge =
        i > 0 && last + 1 < m->n ? mdr_shade_de(m, path[i - 1], path[last + 1]) : 0.0;
    const double out = step(m, path, i - 1, i) + step(m, path, last, last + 1) - bridge;
    const double in = (to >= 0 ? mdr_shade_de(m, path[to], path[i]) : 0.0) +
                      (to + 1 < m->n ? mdr_shade_de(m, path[last], path[to + 1]) : 0.0) -
                      step(m, path, to, to + 1);
    return out - in;
}

static bool mend_by_moving(const mdr_shade_matrix *m, int *path)
{
    bool any = false;
    for (int size = 1; size <= MOVED_MOST; size++) {
        for (int i = 0; i + size <= m->n; i++) {
            for (int to = -1; to < m->n; to++) {
                const bool inside = to >= i - 1 && to < i + size;
                if (!inside && move_gain(m, path, i, size, to) > GAIN_LEAST) {
                    move(path, i, size, to);
                    any = true;
                    break;
                }
            }
        }
    }
    return any;
}

static void mend(const mdr_shade_matrix *m, int *path)
{
    bool any = true;
    while (any) {
        const bool turned = mend_by_turning(m, path);
        any = mend_by_moving(m, path) || turned;
    }
}

/* From every roll when they are few, from 32 of them when not. */
static void mended(const mdr_shade_matrix *m, bool *used, int *trial, int *path)
{
    double best = HUGE_VAL;
    const int apart = m->n > 32 ? m->n / 32 : 1;
    for (int start = 0; start < m->n; start += apart) {
        nearest_first(m, start, used, trial);
        mend(m, trial);
        const double sum = length(m, trial);
        if (sum < best - GAIN_LEAST) {
            best = sum;
            memcpy(path, trial, (size_t)m->n * sizeof *path);
        }
    }
}

/* Prim: the shortest tree, grown by the roll nearest to it. */
static double shortest_tree(const mdr_shade_matrix *m, bool *in, double *near)
{
    double sum = 0.0;
    for (int i = 0; i < m->n; i++) {
        in[i] = i == 0;
        near[i] = mdr_shade_de(m, 0, i);
    }
    for (int joined = 1; joined < m->n; joined++) {
        int next = -1;
        for (int i = 0; i < m->n; i++) {
            if (!in[i] && (next < 0 || near[i] < near[next])) {
                next = i;
            }
        }
        sum += near[next];
        in[next] = true;
        for (int i = 0; i < m->n; i++) {
            near[i] = fmin(near[i], mdr_shade_de(m, next, i));
        }
    }
    return sum;
}

static void describe(const mdr_shade_matrix *m, int *path, mdr_shade_order *out)
{
    if (path[0] > path[m->n - 1]) {
        turn_round(path, 0, m->n - 1);
    }
    out->n = m->n;
    out->roll = path;
    out->total_de = length(m, path);
    for (int i = 1; i < m->n; i++) {
        const double de = mdr_shade_de(m, path[i - 1], path[i]);
        if (de > out->widest_de) {
            out->widest_de = de;
            out->widest = path[i - 1];
        }
    }
}

mdr_code mdr_shade_order_of(const mdr_shade_matrix *m, mdr_arena *arena,
                            const mdr_shade_order **out, mdr_err *err)
{
    if (m->n > MDR_ORDER_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "n", "too many rolls to be put in order");
        mdr_err_value(err, "%d", m->n);
        mdr_err_allowed(err, "1 to 400");
        mdr_err_remedy(err, "group them first, and order each group");
        return rc;
    }
    const size_t n = (size_t)m->n;
    const bool few = m->n <= MDR_ORDER_EXACT;
    mdr_shade_order *order = MDR_NEW(arena, mdr_shade_order);
    int *path = MDR_NEW_N(arena, int, n);
    int *trial = MDR_NEW_N(arena, int, n);
    bool *used = MDR_NEW_N(arena, bool, n);
    double *cost = MDR_NEW_N(arena, double, few ? n << n : n);
    if (order == NULL || path == NULL || trial == NULL || used == NULL || cost == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for %d rolls", m->n);
    }
    if (few) {
        exact(m, cost, path);
    } else {
        mended(m, used, trial, path);
    }
    describe(m, path, order);
    order->least_de = few ? order->total_de : shortest_tree(m, used, cost);
    order->proven = few || order->total_de <= order->least_de + GAIN_LEAST;
    *out = order;
    return MDR_OK;
}
