#include "core/recipe/mdr_lattice.h"

#include <math.h>
#include <string.h>

/* A first drop that lowers F^2 by less than this per % owf is of no use: F would fall by less than
 * what the search stops at. */
static const double NO_USE = 1e-9;
static const double FAR_SQUARE = 4.0; /* D1^2 from which a rough start is tried as well; measured */
static const double NEAR_SQUARE = 1.0; /* D1^2 up to which a set counts as reaching the shade */
enum { PROFILE = 16, AT_REST = 2 };    /* evaluations within which a start has not moved */

int mdr_lattice_choose(int n, int size)
{
    int64_t c = 1;
    for (int i = 1; i <= size; i++) {
        c = c * (n - size + i) / i;
    }
    return n < size ? 0 : (int)c;
}

int mdr_lattice_number(const mdr_lattice *l, const uint8_t *dyes, int size)
{
    int number = l->first[size];
    for (int i = 0; i < size; i++) {
        number += l->choose[dyes[i]][i + 1];
    }
    return number;
}

mdr_code mdr_lattice_make(const mdr_kernel *k, int size_max, mdr_arena *arena, mdr_lattice **out,
                          mdr_err *err)
{
    mdr_lattice *l = MDR_NEW(arena, mdr_lattice);
    if (l == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "dyes", "no memory for the search");
    }
    l->kernel = k;
    l->eval = mdr_kernel_best();
    l->n = k->n_dyes;
    l->size_max = size_max < l->n ? size_max : l->n;
    for (int i = 0; i <= MDR_LATTICE_DYES_MAX; i++) {
        for (int s = 0; s <= MDR_COMBO_MAX; s++) {
            l->choose[i][s] = mdr_lattice_choose(i, s);
        }
    }
    for (int s = 1; s <= l->size_max; s++) {
        l->first[s + 1] = l->first[s] + mdr_lattice_choose(l->n, s);
    }
    const int all = l->first[l->size_max + 1], below = l->first[l->size_max];
    l->sets = MDR_NEW_N(arena, mdr_set, (size_t)all);
    l->pull = (double(*)[MDR_LANES])mdr_arena_alloc(arena, (size_t)below + 1, sizeof *l->pull);
    if (l->sets == NULL || l->pull == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOMEM, "dyes", "too many sets of dyes");
        mdr_err_value(err, "%d", all);
        mdr_err_remedy(err, "fewer dyes to choose from, or fewer in a recipe");
        return rc;
    }
    *out = l;
    return MDR_OK;
}

/* The set with this number among those of its size: largest dye first, greedily. */
static void name_dyes(const mdr_lattice *l, int number, int size, uint8_t *dyes)
{
    int d = l->n - 1;
    for (int i = size; i >= 1; i--) {
        while (l->choose[d][i] > number) {
            d--;
        }
        number -= l->choose[d][i];
        dyes[i - 1] = (uint8_t)d;
    }
}

/* The same set without its i-th dye. */
static const mdr_set *without(const mdr_lattice *l, const mdr_set *s, int i, int *number)
{
    uint8_t dyes[MDR_COMBO_MAX];
    int n = 0;
    for (int k = 0; k < s->size; k++) {
        if (k != i) {
            dyes[n++] = s->dye[k];
        }
    }
    *number = mdr_lattice_number(l, dyes, n);
    return &l->sets[*number];
}

/* The doses of a smaller set, with none of the i-th dye of this one. */
static void doses_without(const mdr_set *small, int gap, int size, double *depth_pct_owf)
{
    for (int k = 0, from = 0; k < size; k++) {
        depth_pct_owf[k] = k == gap ? 0.0 : small->depth_pct_owf[from++];
    }
}

/* One more start; what it finds is kept when it is better. */
static void try_from(mdr_lattice *l, int number, const double *depth_pct_owf)
{
    mdr_set *s = &l->sets[number];
    int dyes[MDR_COMBO_MAX];
    mdr_solve found = {{0}, 0, false};
    mdr_kernel_point at;
    for (int i = 0; i < s->size; i++) {
        dyes[i] = s->dye[i];
        found.depth_pct_owf[i] = depth_pct_owf[i];
    }
    mdr_solve_from(l->kernel, l->eval, dyes, s->size, &found, &at);
    s->evaluations = (uint16_t)(s->evaluations + found.evaluations);
    if (at.square < s->square) {
        memcpy(s->depth_pct_owf, found.depth_pct_owf, sizeof s->depth_pct_owf);
        s->square = at.square;
        s->square_first = at.square_first;
        s->converged = found.converged;
        if (number < l->first[l->size_max]) {
            mdr_kernel_pull_on_ks(&at, l->pull[number]);
        }
    }
}

/* Far from the shade there may be several places of rest: pale, black, or neutral. */
static void try_rough(mdr_lattice *l, int number)
{
    mdr_set *s = &l->sets[number];
    int dyes[MDR_COMBO_MAX];
    double depth[MDR_COMBO_MAX] = {0};
    for (int i = 0; i < s->size; i++) {
        dyes[i] = s->dye[i];
    }
    if (mdr_solve_start(l->kernel, dyes, s->size, depth)) {
        try_from(l, number, depth);
    }
}

static void try_deep(mdr_lattice *l, int number, double part)
{
    mdr_set *s = &l->sets[number];
    double depth[MDR_COMBO_MAX] = {0};
    for (int i = 0; i < s->size; i++) {
        depth[i] = part * l->kernel->dyes[s->dye[i]].limit_pct_owf;
    }
    try_from(l, number, depth);
}

static void solve_single(mdr_lattice *l, int number)
{
    l->sets[number].square = (double)INFINITY;
    try_rough(l, number);
    try_deep(l, number, 0.01);
    try_deep(l, number, 1.0);
}

bool mdr_lattice_dips(const double end[2], const double slope[2])
{
    for (int i = 1; i < PROFILE; i++) {
        const double t = (double)i / PROFILE, u = 1.0 - t;
        const double at = end[0] * u * u * (1.0 + 2.0 * t) + slope[0] * t * u * u +
                          end[1] * t * t * (3.0 - 2.0 * t) - slope[1] * t * t * u;
        if (at < end[1]) {
            return true;
        }
    }
    return false;
}

/* The set's best smaller set: which dye it leaves out, and its number. */
typedef struct parent {
    const mdr_set *set;
    int gap, number;
} parent;

static parent best_parent(const mdr_lattice *l, const mdr_set *s)
{
    parent best = {.gap = 0};
    best.set = without(l, s, 0, &best.number);
    for (int i = 1; i < s->size; i++) {
        int number;
        const mdr_set *small = without(l, s, i, &number);
        if (small->square < best.set->square) {
            best = (parent){small, i, number};
        }
    }
    return best;
}

static void try_other_ends(mdr_lattice *l, int number, const parent *best, double drop)
{
    mdr_set *s = &l->sets[number];
    for (int i = 0; i < s->size; i++) {
        int other;
        double here[MDR_COMBO_MAX] = {0}, there[MDR_COMBO_MAX] = {0};
        const mdr_set *small = without(l, s, i, &other);
        if (i == best->gap || small->square_first > NEAR_SQUARE) {
            continue;
        }
        const double other_drop = mdr_kernel_first_drop(l->kernel, s->dye[i], l->pull[other]);
        doses_without(small, i, s->size, there);
        doses_without(best->set, best->gap, s->size, here);
        const double end[2] = {small->square, best->set->square};
        const double slope[2] = {2.0 * other_drop * here[i], -2.0 * drop * there[best->gap]};
        if (other_drop < -NO_USE && mdr_lattice_dips(end, slope)) {
            try_from(l, number, there);
        }
    }
}

static void solve_from_smaller(mdr_lattice *l, int number)
{
    mdr_set *s = &l->sets[number];
    const parent best = best_parent(l, s);
    const double drop = mdr_kernel_first_drop(l->kernel, s->dye[best.gap], l->pull[best.number]);
    doses_without(best.set, best.gap, s->size, s->depth_pct_owf);
    s->square = best.set->square;
    s->square_first = best.set->square_first;
    s->converged = best.set->converged;
    if (number < l->first[l->size_max]) {
        memcpy(l->pull[number], l->pull[best.number], sizeof l->pull[number]);
    }
    if (drop < -NO_USE) {
        double start[MDR_COMBO_MAX];
        memcpy(start, s->depth_pct_owf, sizeof start);
        try_from(l, number, start);
    }
    if (s->size == 2) {
        try_rough(l, number);
        try_deep(l, number, 0.1);
        try_deep(l, number, 1.0);
    } else if (s->size == 3 && s->square_first > FAR_SQUARE) {
        try_rough(l, number);
    } else if (s->size == MDR_COMBO_MAX && s->square_first < NEAR_SQUARE &&
               s->evaluations <= AT_REST) {
        try_other_ends(l, number, &best, drop);
    }
}

void mdr_lattice_polish(mdr_lattice *l, int number)
{
    mdr_set *s = &l->sets[number];
    for (int i = 0; s->size > 1 && i < s->size; i++) {
        int other;
        double start[MDR_COMBO_MAX];
        doses_without(without(l, s, i, &other), i, s->size, start);
        try_from(l, number, start);
    }
    try_rough(l, number);
    try_deep(l, number, 0.1);
    try_deep(l, number, 1.0);
}

void mdr_lattice_solve(mdr_lattice *l, int first, int last)
{
    int size = 1;
    for (int number = first; number < last; number++) {
        mdr_set *s = &l->sets[number];
        while (number >= l->first[size + 1]) {
            size++;
        }
        memset(s, 0, sizeof *s);
        s->size = (uint8_t)size;
        name_dyes(l, number - l->first[size], size, s->dye);
        if (size == 1) {
            solve_single(l, number);
        } else {
            solve_from_smaller(l, number);
        }
    }
}
