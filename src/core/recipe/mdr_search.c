#include "core/recipe/mdr_search.h"

#include <math.h>
#include <string.h>

#include "core/recipe/mdr_best.h"
#include "core/recipe/mdr_lattice.h"

/* A dose below this part of its limit is none: the recipe without the dye stands in its place. */
static const double NOTHING = 1e-6;
static const double AT_LIMIT = 1.0 - 1e-9;
static const double PERCENT = 100.0;
static const double TOLERANCE_MOST = 100.0;

struct mdr_search {
    const mdr_search_in *in;
    mdr_lattice *lattice;
    int given[MDR_CHOICES_MAX]; /* choice of each dye of the lattice */
    int must;                   /* how many must be in it */
};

mdr_rank_weights mdr_rank_weights_usual(void)
{
    return (mdr_rank_weights){.difference = 1.0,
                              .metamerism = 0.3,
                              .exhaustion = 0.01,
                              .fixation = 0.01,
                              .dye = 0.05}; /* invented */
}

const char *mdr_recipe_flag_id(int bit)
{
#define X(name, id) id,
    static const char *const IDS[] = {MDR_RECIPE_FLAGS(X)};
#undef X
    return bit >= 0 && bit < MDR_RECIPE_BIT_COUNT ? IDS[bit] : NULL;
}

const char *mdr_obstacle_id(mdr_obstacle o)
{
#define X(name, id) id,
    static const char *const IDS[] = {MDR_OBSTACLES(X)};
#undef X
    return o >= 0 && o < MDR_OBSTACLE_COUNT ? IDS[o] : NULL;
}

static mdr_code check_numbers(const mdr_search_in *in, mdr_err *err)
{
    if (in->n < 1 || in->n > MDR_CHOICES_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "choices", "dyes to choose from");
        mdr_err_value(err, "%d", in->n);
        mdr_err_allowed(err, "1 to %d", MDR_CHOICES_MAX);
        return rc;
    }
    if (in->dyes_max < 1 || in->dyes_max > MDR_COMBO_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "dyes_max", "dyes in one recipe");
        mdr_err_value(err, "%d", in->dyes_max);
        mdr_err_allowed(err, "1 to %d", MDR_COMBO_MAX);
        return rc;
    }
    if (!(in->tolerance > 0.0 && in->tolerance <= TOLERANCE_MOST)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "tolerance", "no tolerance to meet");
        mdr_err_value(err, "%g", in->tolerance);
        mdr_err_allowed(err, "more than 0, up to 100");
        return rc;
    }
    if (!(in->lot_kg >= 0.0 && in->weigh_least_pct_owf >= 0.0)) {
        return MDR_FAIL(err, MDR_E_RANGE, in->lot_kg >= 0.0 ? "weigh_least_pct_owf" : "lot_kg",
                        "below 0");
    }
    return MDR_OK;
}

/* The dyes that may be used, in the order given. */
static mdr_code gather(const mdr_search_in *in, mdr_search *s, mdr_dye *dyes, int *n, mdr_err *err)
{
    int parts = 0;
    *n = 0;
    for (int i = 0; i < in->n; i++) {
        const mdr_choice *c = &in->choices[i];
        if (c->rule == MDR_CHOICE_NEVER) {
            continue;
        }
        if (c->rule == MDR_CHOICE_MUST) {
            s->must++;
            parts += c->dye.parts;
        }
        s->given[*n] = i;
        dyes[(*n)++] = c->dye;
    }
    if (*n == 0 || parts > in->dyes_max) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "choices",
                                     *n == 0 ? "every dye is forbidden"
                                             : "more dyes must be in the recipe than are allowed");
        mdr_err_remedy(err, "free some of them");
        return rc;
    }
    return MDR_OK;
}

mdr_code mdr_search_make(const mdr_search_in *in, mdr_arena *arena, mdr_search **out, mdr_err *err)
{
    int n;
    mdr_kernel *k;
    MDR_TRY(check_numbers(in, err));
    mdr_search *s = MDR_NEW(arena, mdr_search);
    mdr_dye *dyes = MDR_NEW_N(arena, mdr_dye, MDR_CHOICES_MAX);
    if (s == NULL || dyes == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "choices", "no memory for the search");
    }
    s->in = in;
    MDR_TRY(gather(in, s, dyes, &n, err));
    MDR_TRY(mdr_kernel_make(in->cloth, in->shade, dyes, n, arena, &k, err));
    MDR_TRY(mdr_lattice_make(k, in->dyes_max, arena, &s->lattice, err));
    *out = s;
    return MDR_OK;
}

void mdr_search_span(const mdr_search *s, int size, int *first, int *last)
{
    const mdr_lattice *l = s->lattice;
    const bool there = size >= 1 && size <= l->size_max;
    *first = there ? l->first[size] : 0;
    *last = there ? l->first[size + 1] : 0;
}

void mdr_search_run(mdr_search *s, int first, int last)
{
    mdr_lattice_solve(s->lattice, first, last);
}

static const mdr_choice *choice_of(const mdr_search *s, const mdr_set *set, int i)
{
    return &s->in->choices[s->given[set->dye[i]]];
}

/* Every dye of use, those that must be in it are, and no more dyes than may be. */
static bool permitted(const mdr_search *s, const mdr_set *set)
{
    int must = 0, parts = 0;
    for (int i = 0; i < set->size; i++) {
        const mdr_choice *c = choice_of(s, set, i);
        const double limit = s->lattice->kernel->dyes[set->dye[i]].limit_pct_owf;
        if (set->depth_pct_owf[i] <= NOTHING * limit) {
            return false;
        }
        must += c->rule == MDR_CHOICE_MUST;
        parts += c->dye.parts;
    }
    return must == s->must && parts <= s->in->dyes_max;
}

/* Largest and least of what is known. */
typedef struct spread {
    double low, high;
} spread;

static void take(spread *s, double value)
{
    if (value > 0.0) {
        s->high = fmax(s->high, value);
        s->low = s->low > 0.0 ? fmin(s->low, value) : value;
    }
}

static void weigh_part(const mdr_search *s, const mdr_choice *c, int p, double depth, mdr_recipe *r)
{
    const mdr_dye_facts *f = &c->facts[p];
    const double mine = depth * c->dye.share[p];
    r->cost_per_kg += mine / PERCENT * f->price_per_kg;
    r->price_missing = r->price_missing || !(f->price_per_kg > 0.0);
    r->least_depth_pct_owf = fmin(r->least_depth_pct_owf, mine);
    if (f->stock_known && mine / PERCENT * s->in->lot_kg > f->stock_kg) {
        r->flags |= MDR_RECIPE_SHORT_STOCK;
    }
    for (int k = 0; k < MDR_FASTNESS_COUNT; k++) {
        if (f->fastness[k] > 0.0) {
            r->fastness[k] =
                r->fastness[k] > 0.0 ? fmin(r->fastness[k], f->fastness[k]) : f->fastness[k];
        }
        if (f->fastness[k] > 0.0 && f->fastness[k] < s->in->fastness_least[k]) {
            r->flags |= MDR_RECIPE_FASTNESS;
        }
    }
}

/* All that follows from the doses alone; differences as far as the search knows them. */
static void describe(const mdr_search *s, const mdr_set *set, mdr_recipe *r)
{
    const mdr_kernel *k = s->lattice->kernel;
    spread exhaustion = {0}, fixation = {0};
    memset(r, 0, sizeof *r);
    r->n = set->size;
    r->least_depth_pct_owf = (double)INFINITY;
    r->de[0] = sqrt(set->square_first);
    r->objective = sqrt(set->square);
    r->tie = sqrt(fmax(set->square - set->square_first, 0.0) / k->tie_weight);
    for (int i = 0; i < set->size; i++) {
        const mdr_choice *c = choice_of(s, set, i);
        r->choice[i] = s->given[set->dye[i]];
        r->depth_pct_owf[i] = set->depth_pct_owf[i];
        for (int p = 0; p < c->dye.parts; p++) {
            weigh_part(s, c, p, set->depth_pct_owf[i], r);
            take(&exhaustion, c->facts[p].exhaustion_pct);
            take(&fixation, c->facts[p].fixation_pct);
        }
        if (set->depth_pct_owf[i] >= AT_LIMIT * k->dyes[set->dye[i]].limit_pct_owf) {
            r->flags |= MDR_RECIPE_AT_LIMIT;
        }
    }
    r->exhaustion_spread_pct = exhaustion.high - exhaustion.low;
    r->fixation_spread_pct = fixation.high - fixation.low;
    r->flags |= r->de[0] > s->in->tolerance ? MDR_RECIPE_OFF_SHADE : 0u;
    r->least_depth_pct_owf = set->size > 0 ? r->least_depth_pct_owf : 0.0;
    r->flags |= set->size > 0 && r->least_depth_pct_owf < s->in->weigh_least_pct_owf
                    ? MDR_RECIPE_NOT_WEIGHABLE
                    : 0u;
    r->flags |= set->converged ? 0u : MDR_RECIPE_UNSETTLED;
}

static double score_of(const mdr_search *s, const mdr_recipe *r, double other_de)
{
    const mdr_rank_weights *w = &s->in->weights;
    return w->difference * r->de[0] + w->metamerism * other_de + w->cost * r->cost_per_kg +
           w->exhaustion * r->exhaustion_spread_pct + w->fixation * r->fixation_spread_pct +
           w->dye * r->n;
}

/* Curve, and differences under every light. The doses are within limits, so the model has no cause
 * to refuse them; should it all the same, its reason is passed on. */
static mdr_code predict(const mdr_search *s, mdr_recipe *r, mdr_err *err)
{
    const mdr_target *shade = s->in->shade;
    mdr_part parts[MDR_RECIPE_DYES_MAX];
    mdr_mixture m;
    int n = 0;
    for (int i = 0; i < r->n; i++) {
        const mdr_dye *d = &s->in->choices[r->choice[i]].dye;
        for (int p = 0; p < d->parts; p++) {
            const double limit = d->ladder[p]->limit_pct_owf / d->strength_factor[p];
            parts[n++] = (mdr_part){d->ladder[p], fmin(r->depth_pct_owf[i] * d->share[p], limit),
                                    d->strength_factor[p]};
        }
    }
    MDR_TRY(mdr_mixture_of(s->in->cloth, parts, n, &m, err));
    r->curve = m.curve;
    r->flags |= m.any_beyond ? MDR_RECIPE_BEYOND : 0u;
    for (int j = 0; j < shade->lights; j++) {
        r->de[j] = mdr_difference_of(mdr_lab_of_curve(&shade->standard, shade->light[j]),
                                     mdr_lab_of_curve(&m.curve, shade->light[j]), &shade->formula)
                       .de;
        if (j > 0 && r->de[j] > r->worst_other_de) {
            r->worst_other_de = r->de[j];
            r->worst_light = j;
        }
    }
    if (r->de[0] > s->in->tolerance) {
        r->flags |= MDR_RECIPE_OFF_SHADE;
    }
    r->score = score_of(s, r, r->worst_other_de);
    return MDR_OK;
}

static int faults(const mdr_recipe *r)
{
    int n = 0;
    for (unsigned f = r->flags; f != 0; f &= f - 1) {
        n++;
    }
    return n;
}

/* Recipes in place, few: insertion. */
static void sort_recipes(mdr_recipe *r, int n)
{
    for (int i = 1; i < n; i++) {
        const mdr_recipe mine = r[i];
        const mdr_best p = {mine.score, faults(&mine), i};
        int k = i;
        for (; k > 0; k--) {
            const mdr_best q = {r[k - 1].score, faults(&r[k - 1]), k - 1};
            if (!mdr_best_is_worse(&q, &p)) {
                break;
            }
            r[k] = r[k - 1];
        }
        r[k] = mine;
    }
}

static int nearest_and_best(const mdr_search *s, int room, mdr_best *heap, int *nearest,
                            mdr_search_out *out)
{
    const mdr_lattice *l = s->lattice;
    double least = (double)INFINITY;
    int n = 0;
    out->sets = l->first[l->size_max + 1];
    for (int i = 0; i < out->sets; i++) {
        mdr_recipe r;
        const mdr_set *set = &l->sets[i];
        out->unsettled += !set->converged;
        if (!permitted(s, set)) {
            continue;
        }
        describe(s, set, &r);
        out->reached += (r.flags & MDR_RECIPE_OFF_SHADE) == 0;
        if (set->square_first < least) {
            least = set->square_first;
            *nearest = i;
        }
        n = mdr_best_offer(heap, n, room, (mdr_best){score_of(s, &r, r.tie), faults(&r), i});
    }
    return n;
}

static mdr_obstacle largest_part(const mdr_difference *d)
{
    if (fabs(d->wl) >= fabs(d->wc) && fabs(d->wl) >= fabs(d->wh)) {
        return d->dl < 0.0 ? MDR_OBSTACLE_LIGHTER : MDR_OBSTACLE_DARKER;
    }
    if (fabs(d->wc) >= fabs(d->wh)) {
        return d->dc < 0.0 ? MDR_OBSTACLE_BRIGHTER : MDR_OBSTACLE_DULLER;
    }
    return MDR_OBSTACLE_HUE;
}

static void find_obstacle(const mdr_search *s, const mdr_set *set, mdr_search_out *out)
{
    const mdr_target *shade = s->in->shade;
    const mdr_lab standard = mdr_lab_of_curve(&shade->standard, shade->light[0]);
    out->nearest_parts = mdr_difference_of(
        standard, mdr_lab_of_curve(&out->nearest.curve, shade->light[0]), &shade->formula);
    out->obstacle_choice = -1;
    out->obstacle = MDR_OBSTACLE_NONE;
    if (out->nearest.de[0] <= s->in->tolerance) {
        return;
    }
    mdr_curve bare;
    mdr_km_measured(&s->in->cloth->ks, &s->in->cloth->surface, &bare);
    for (int i = 0; i < set->size; i++) {
        if (set->depth_pct_owf[i] >=
            AT_LIMIT * s->lattice->kernel->dyes[set->dye[i]].limit_pct_owf) {
            out->obstacle = MDR_OBSTACLE_DEPTH;
            out->obstacle_choice = s->given[set->dye[i]];
            return;
        }
    }
    out->obstacle = largest_part(&out->nearest_parts);
    if (out->obstacle == MDR_OBSTACLE_LIGHTER &&
        mdr_lab_of_curve(&bare, shade->light[0]).l <= standard.l) {
        out->obstacle = MDR_OBSTACLE_CLOTH;
    }
}

mdr_code mdr_search_rank(mdr_search *s, int shown, mdr_arena *arena, mdr_search_out *out,
                         mdr_err *err)
{
    if (shown < 1 || shown > MDR_SEARCH_SHOWN_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "shown", "recipes to show");
        mdr_err_value(err, "%d", shown);
        mdr_err_allowed(err, "1 to %d", MDR_SEARCH_SHOWN_MAX);
        return rc;
    }
    static const mdr_set NO_DYE = {.converged = true};
    mdr_search_out o = {.shown = 0};
    int nearest = -1;
    mdr_best *heap = MDR_NEW_N(arena, mdr_best, (size_t)shown);
    o.recipes = MDR_NEW_N(arena, mdr_recipe, (size_t)shown);
    if (heap == NULL || o.recipes == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "shown", "no memory for the recipes");
    }
    const int n = nearest_and_best(s, shown, heap, &nearest, &o);
    for (int i = 0; i < n; i++) {
        mdr_lattice_polish(s->lattice, heap[i].number);
        const mdr_set *set = &s->lattice->sets[heap[i].number];
        if (permitted(s, set)) { /* a better answer may have found a dye to be of no use */
            describe(s, set, &o.recipes[o.shown]);
            MDR_TRY(predict(s, &o.recipes[o.shown], err));
            o.shown++;
        }
    }
    sort_recipes(o.recipes, o.shown);
    const mdr_set *near = nearest < 0 ? &NO_DYE : &s->lattice->sets[nearest];
    describe(s, near, &o.nearest);
    MDR_TRY(predict(s, &o.nearest, err));
    find_obstacle(s, near, &o);
    *out = o;
    return MDR_OK;
}

mdr_code mdr_search_recipes(const mdr_search_in *in, int shown, mdr_arena *arena,
                            mdr_search_out *out, mdr_err *err)
{
    mdr_search *s = NULL;
    MDR_TRY(mdr_search_make(in, arena, &s, err));
    if (s == NULL) { /* only to those who cannot see that it was made */
        MDR_UNREACHABLE();
    }
    mdr_search_run(s, 0, s->lattice->first[s->lattice->size_max + 1]);
    return mdr_search_rank(s, shown, arena, out, err);
}
