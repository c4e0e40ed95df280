#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "core/knit/mdr_grey.h"

static const double SAME_FRAC = 1e-12;                    /* rounding of sums of masses */
static const double ROLL_MAX_KG = 1e5, LOAD_MAX_KG = 1e6; /* invented: beyond these a slip */
enum { NO_ROLL = -1 };

typedef struct packing {
    const mdr_grey_rolls *in;
    int order[MDR_GREY_ROLLS_MAX]; /* heaviest first */
    int *lot_of;
    double *lot_kg;
    int n_lots, lots_max;
} packing;

/* A roll comes into a lot and another may go back where it came from. */
typedef struct exchange {
    int lot, comes, goes;
    double gain_kg; /* of the lot */
} exchange;

static double kg_of(const packing *p, int roll)
{
    return roll == NO_ROLL ? 0.0 : p->in->roll_kg[roll];
}

static bool not_over(const packing *p, double kg)
{
    return kg <= p->in->lot_max_kg * (1.0 + SAME_FRAC);
}

static bool not_under(const packing *p, double kg)
{
    return kg >= p->in->lot_min_kg * (1.0 - SAME_FRAC);
}

static void sort(packing *p)
{
    for (int i = 0; i < p->in->n; i++) {
        int at = i;
        for (; at > 0 && kg_of(p, p->order[at - 1]) < kg_of(p, i); at--) {
            p->order[at] = p->order[at - 1];
        }
        p->order[at] = i;
    }
}

static void put(packing *p, int roll, int lot)
{
    const int from = p->lot_of[roll];
    if (from != MDR_GREY_LEFT_OVER) {
        p->lot_kg[from] -= kg_of(p, roll);
    }
    if (lot != MDR_GREY_LEFT_OVER) {
        p->lot_kg[lot] += kg_of(p, roll);
    }
    p->lot_of[roll] = lot;
}

static int open_lot(packing *p)
{
    p->lot_kg[p->n_lots] = 0.0;
    return p->n_lots++;
}

static void dissolve(packing *p, int lot)
{
    const int last = p->n_lots - 1;
    for (int i = 0; i < p->in->n; i++) {
        if (p->lot_of[i] == lot) {
            p->lot_of[i] = MDR_GREY_LEFT_OVER;
        } else if (p->lot_of[i] == last) {
            p->lot_of[i] = lot;
        }
    }
    p->lot_kg[lot] = p->lot_kg[last];
    p->n_lots = last;
}

/* The first lot with room for the roll, a new one if none has; -1: neither. */
static int first_fit(packing *p, int roll)
{
    for (int lot = 0; lot < p->n_lots; lot++) {
        if (not_over(p, p->lot_kg[lot] + kg_of(p, roll))) {
            return lot;
        }
    }
    return p->n_lots < p->lots_max && not_over(p, kg_of(p, roll)) ? open_lot(p)
                                                                  : MDR_GREY_LEFT_OVER;
}

static void first_fit_decreasing(packing *p)
{
    for (int i = 0; i < p->in->n; i++) {
        p->lot_of[i] = MDR_GREY_LEFT_OVER;
    }
    for (int i = 0; i < p->in->n; i++) {
        const int lot = first_fit(p, p->order[i]);
        if (lot != MDR_GREY_LEFT_OVER) {
            put(p, p->order[i], lot);
        }
    }
}

/* Each roll into the lightest of so many lots: lots of about equal mass. Heaviest roll first is the
 * more even, lightest first leaves other remainders to improve on. */
static void equal_lots(packing *p, int lots, bool heaviest_first)
{
    for (int i = 0; i < p->in->n; i++) {
        p->lot_of[i] = MDR_GREY_LEFT_OVER;
    }
    while (p->n_lots < lots) {
        (void)open_lot(p);
    }
    for (int i = 0; i < p->in->n; i++) {
        const int roll = p->order[heaviest_first ? i : p->in->n - 1 - i];
        int lightest = 0;
        for (int lot = 1; lot < lots; lot++) {
            lightest = p->lot_kg[lot] < p->lot_kg[lightest] ? lot : lightest;
        }
        if (not_over(p, p->lot_kg[lightest] + kg_of(p, roll))) {
            put(p, roll, lightest);
        }
    }
}

static void carry_out(packing *p, const exchange *x)
{
    const int from = p->lot_of[x->comes];
    put(p, x->comes, x->lot);
    if (x->goes != NO_ROLL) {
        put(p, x->goes, from);
    }
}

/* The lot becomes heavier but not too heavy, and the lot it is taken from does not become too
 * light. */
static bool allowed(const packing *p, const exchange *x)
{
    const int from = p->lot_of[x->comes];
    if (from == x->lot || !(x->gain_kg > p->in->lot_max_kg * SAME_FRAC) ||
        !not_over(p, p->lot_kg[x->lot] + x->gain_kg)) {
        return false;
    }
    return from == MDR_GREY_LEFT_OVER || not_under(p, p->lot_kg[from] - x->gain_kg);
}

static void consider(const packing *p, exchange x, exchange *best)
{
    x.gain_kg = kg_of(p, x.comes) - kg_of(p, x.goes);
    if (allowed(p, &x) && x.gain_kg > best->gain_kg) {
        *best = x;
    }
}

/* The best exchange that makes this lot heavier; false: there is none. */
static bool best_for_lot(const packing *p, int lot, bool left_over_only, exchange *best)
{
    const double before_kg = best->gain_kg;
    for (int comes = 0; comes < p->in->n; comes++) {
        if (left_over_only && p->lot_of[comes] != MDR_GREY_LEFT_OVER) {
            continue;
        }
        consider(p, (exchange){lot, comes, NO_ROLL, 0.0}, best);
        for (int goes = 0; goes < p->in->n; goes++) {
            if (p->lot_of[goes] == lot) {
                consider(p, (exchange){lot, comes, goes, 0.0}, best);
            }
        }
    }
    return best->gain_kg != before_kg;
}

static void recount(packing *p)
{
    for (int lot = 0; lot < p->n_lots; lot++) {
        p->lot_kg[lot] = 0.0;
    }
    for (int i = 0; i < p->in->n; i++) {
        if (p->lot_of[i] != MDR_GREY_LEFT_OVER) {
            p->lot_kg[p->lot_of[i]] += kg_of(p, i);
        }
    }
}

static bool raise_by_steps(packing *p, int lot)
{
    for (int step = 0; step < p->in->n && !not_under(p, p->lot_kg[lot]); step++) {
        exchange best = {lot, NO_ROLL, NO_ROLL, 0.0};
        if (!best_for_lot(p, lot, false, &best)) {
            return false;
        }
        carry_out(p, &best);
    }
    return not_under(p, p->lot_kg[lot]);
}

/* Makes the lot heavy enough for the machine; false: it cannot be, and nothing has changed. */
static bool raise_lot(packing *p, int lot)
{
    int before[MDR_GREY_ROLLS_MAX] = {0};
    memcpy(before, p->lot_of, sizeof before[0] * (size_t)p->in->n);
    if (raise_by_steps(p, lot)) {
        return true;
    }
    memcpy(p->lot_of, before, sizeof before[0] * (size_t)p->in->n);
    recount(p);
    return false;
}

/* The lightest lot that is too light for the machine, or -1. */
static int lightest_under(const packing *p)
{
    int found = -1;
    for (int lot = 0; lot < p->n_lots; lot++) {
        if (!not_under(p, p->lot_kg[lot]) && (found < 0 || p->lot_kg[lot] < p->lot_kg[found])) {
            found = lot;
        }
    }
    return found;
}

static void raise_or_dissolve(packing *p)
{
    for (int lot = lightest_under(p); lot >= 0; lot = lightest_under(p)) {
        if (!raise_lot(p, lot)) {
            dissolve(p, lot);
        }
    }
}

/* The one exchange with what is left over that places the most; false: there is none. */
static bool place_more(packing *p)
{
    exchange best = {-1, NO_ROLL, NO_ROLL, 0.0};
    for (int lot = 0; lot < p->n_lots; lot++) {
        (void)best_for_lot(p, lot, true, &best);
    }
    if (best.comes == NO_ROLL) {
        return false;
    }
    carry_out(p, &best);
    return true;
}

/* One more lot from what is left over, with help from the others. Lightest first: the heavy ones
 * that stay out are the better ones to exchange with. */
static bool one_more_lot(packing *p)
{
    if (p->n_lots >= p->lots_max) {
        return false;
    }
    const int lot = open_lot(p);
    for (int i = p->in->n - 1; i >= 0; i--) {
        const int roll = p->order[i];
        if (p->lot_of[roll] == MDR_GREY_LEFT_OVER && not_over(p, p->lot_kg[lot] + kg_of(p, roll))) {
            put(p, roll, lot);
        }
    }
    if (p->lot_kg[lot] > 0.0 && raise_lot(p, lot)) {
        return true;
    }
    dissolve(p, lot);
    return false;
}

static int count_left_over(const packing *p)
{
    int n = 0;
    for (int i = 0; i < p->in->n; i++) {
        n += p->lot_of[i] == MDR_GREY_LEFT_OVER;
    }
    return n;
}

static void improve(packing *p)
{
    raise_or_dissolve(p);
    /* every turn places more mass, so it ends; the count is a second fence */
    for (int turn = 0; turn < 4 * p->in->n && count_left_over(p) > 0; turn++) {
        if (!place_more(p) && !one_more_lot(p)) {
            return;
        }
    }
}

/* The least that can be left over of so much, if rolls could be cut at will. */
static double least_remainder_kg(const packing *p, double sum_kg)
{
    double most_kg = 0.0;
    for (int lots = 1; lots <= p->lots_max; lots++) {
        if (lots * p->in->lot_min_kg * (1.0 - SAME_FRAC) > sum_kg) {
            break;
        }
        most_kg = fmax(most_kg, fmin(sum_kg, lots * p->in->lot_max_kg));
    }
    return sum_kg - most_kg;
}

static void report(packing *p, mdr_grey_lots *out)
{
    recount(p); /* without the rounding of all the moves */
    *out = (mdr_grey_lots){.n_lots = p->n_lots, .n_left_over = count_left_over(p)};
    double fitting_kg = 0.0;
    for (int i = 0; i < p->in->n; i++) {
        const bool too_heavy = !not_over(p, kg_of(p, i));
        const bool left_over = p->lot_of[i] == MDR_GREY_LEFT_OVER;
        out->n_too_heavy += too_heavy;
        fitting_kg += too_heavy ? 0.0 : kg_of(p, i);
        *(left_over ? &out->remainder_kg : &out->placed_kg) += kg_of(p, i);
    }
    out->bound_lots = (int)ceil(fitting_kg / p->in->lot_max_kg * (1.0 - SAME_FRAC));
    out->bound_remainder_kg = least_remainder_kg(p, fitting_kg);
}

/* Less left over; with as much left over, fewer lots. */
static bool is_better(const mdr_grey_lots *a, const mdr_grey_lots *b, double same_kg)
{
    if (fabs(a->remainder_kg - b->remainder_kg) > same_kg) {
        return a->remainder_kg < b->remainder_kg;
    }
    return a->n_lots < b->n_lots;
}

/* What is there now, if it is better than the best so far. */
static void keep_best(packing *p, int *best_of, mdr_grey_lots *best)
{
    mdr_grey_lots now = {0};
    report(p, &now);
    if (is_better(&now, best, SAME_FRAC * (now.placed_kg + now.remainder_kg))) {
        *best = now;
        memcpy(best_of, p->lot_of, sizeof best_of[0] * (size_t)p->in->n);
    }
}

/* From several starts: first-fit decreasing, and lots of equal mass, as many as the bound says and
 * one or two more or fewer, each with the rolls from either end. The best of them all stays. */
static void from_every_start(packing *p, mdr_grey_lots *out)
{
    enum { AROUND = 2 };
    int best_of[MDR_GREY_ROLLS_MAX] = {0};
    *out = (mdr_grey_lots){.remainder_kg = HUGE_VAL};
    first_fit_decreasing(p);
    improve(p);
    keep_best(p, best_of, out);
    const int bound = out->bound_lots;
    for (int start = 0; start < 2 * (2 * AROUND + 1); start++) {
        const int lots = bound - AROUND + start / 2;
        const bool no_better_there_is =
            out->n_lots <= bound && out->n_left_over == out->n_too_heavy;
        if (no_better_there_is || lots < 1 || lots > p->lots_max) {
            continue;
        }
        p->n_lots = 0;
        equal_lots(p, lots, start % 2 == 0);
        improve(p);
        keep_best(p, best_of, out);
    }
    memcpy(p->lot_of, best_of, sizeof best_of[0] * (size_t)p->in->n);
    p->n_lots = out->n_lots;
    recount(p);
}

static mdr_code refuse(mdr_err *err, mdr_code code, const char *place, double value,
                       const char *allowed)
{
    (void)MDR_FAIL(err, code, place, "rolls cannot be gathered into lots like this");
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    mdr_err_remedy(err, "give the mass of each roll and the machine's least and greatest load");
    return code;
}

static mdr_code check(const mdr_grey_rolls *in, mdr_err *err)
{
    if (in->n < 1 || in->n > MDR_GREY_ROLLS_MAX) {
        return refuse(err, MDR_E_ARG, "n", in->n, "1 to 500");
    }
    if (in->lots_max < 0) {
        return refuse(err, MDR_E_ARG, "lots_max", in->lots_max, "0 or more");
    }
    if (!(in->lot_max_kg > 0.0 && in->lot_max_kg <= LOAD_MAX_KG)) {
        return refuse(err, MDR_E_RANGE, "lot_max_kg", in->lot_max_kg, "more than 0, up to 1e6");
    }
    if (!(in->lot_min_kg >= 0.0 && in->lot_min_kg <= in->lot_max_kg)) {
        return refuse(err, MDR_E_RANGE, "lot_min_kg", in->lot_min_kg, "0 to lot_max_kg");
    }
    for (int i = 0; i < in->n; i++) {
        if (!(in->roll_kg[i] > 0.0 && in->roll_kg[i] <= ROLL_MAX_KG)) {
            const mdr_code rc =
                refuse(err, MDR_E_RANGE, "", in->roll_kg[i], "more than 0, up to 1e5");
            mdr_err_within(err, "roll_kg[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

mdr_code mdr_grey_rolls_to_lots(const mdr_grey_rolls *rolls, int *lot_of, double *lot_kg,
                                mdr_grey_lots *out, mdr_err *err)
{
    MDR_TRY(check(rolls, err));
    const bool any_number = rolls->lots_max == 0 || rolls->lots_max > rolls->n;
    packing p = {.in = rolls, .lots_max = any_number ? rolls->n : rolls->lots_max};
    p.lot_of = lot_of;
    p.lot_kg = lot_kg;
    sort(&p);
    from_every_start(&p, out);
    return MDR_OK;
}
