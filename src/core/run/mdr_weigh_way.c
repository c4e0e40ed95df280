/* On which scale, and whether at once, in portions or out of a solution. */
#include <math.h>

#include "core/plan/mdr_pick.h"
#include "core/run/mdr_weigh.h"

MDR_PICK(mdr_weigh_way_id, mdr_weigh_way_kind, MDR_WEIGH_WAYS(MDR_PICK_ID))
MDR_PICK(mdr_weigh_way_words, mdr_weigh_way_kind, MDR_WEIGH_WAYS(MDR_PICK_WORDS))

static const double MG_PER_KG = 1e6, MG_PER_G = 1e3;

double mdr_scale_error_mg(const mdr_scale *scale, int64_t mass_mg, bool in_service)
{
    const double e_mg =
        (scale->interval_g > 0.0 ? scale->interval_g : scale->division_g) * MG_PER_G;
    const double intervals = (double)mass_mg / e_mg;
    const double share = intervals <= 500.0    ? 0.5
                         : intervals <= 2000.0 ? 1.0
                                               : 1.5; /* [oiml-r76] */
    return share * e_mg * (in_service ? 2.0 : 1.0);
}

int64_t mdr_scale_room_mg(const mdr_scale *scale)
{
    const double room = floor((scale->capacity_kg - scale->container_kg) * MG_PER_KG + 1e-3);
    return room > 0.0 ? (int64_t)room : 0;
}

bool mdr_scale_verified(const mdr_scale *scale, int64_t now_utc_ms)
{
    const int64_t day_ms = 86400000; /* verified until the end of that day */
    return scale->verified_until_utc_ms != 0 && now_utc_ms < scale->verified_until_utc_ms + day_ms;
}

double mdr_weigh_dissolves_g_per_kg(int substance, int form, double solubility_g_per_l)
{
    /* common practice: stronger stock solutions are not made by hand */
    static const double STRONGEST_G_PER_KG = 200.0;
    if (substance == MDR_SUB_DITHIONITE) {
        return 0.0;
    }
    return mdr_form_is_liquid((mdr_form)form) ? STRONGEST_G_PER_KG
                                              : fmin(solubility_g_per_l, STRONGEST_G_PER_KG);
}

/* Least that is weighed on it: k divisions. */
static double least_mg(const mdr_weigh_ask *ask, const mdr_scale *scale)
{
    return ask->class->least_divisions * scale->division_g * MG_PER_G;
}

typedef enum which { VERIFIED, ANY } which;

/* The finest that carries the target; -1: none. */
static int finest(const mdr_weigh_ask *ask, which w)
{
    int best = -1;
    for (int i = 0; i < ask->n_scales; i++) {
        const mdr_scale *s = &ask->scales[i];
        if (mdr_scale_room_mg(s) < ask->target_mg ||
            (w == VERIFIED && !mdr_scale_verified(s, ask->now_utc_ms))) {
            continue;
        }
        const mdr_scale *b = best < 0 ? NULL : &ask->scales[best];
        if (b == NULL || s->division_g < b->division_g ||
            (s->division_g <= b->division_g && s->capacity_kg < b->capacity_kg)) {
            best = i;
        }
    }
    return best;
}

static int largest(const mdr_weigh_ask *ask, which w)
{
    int best = -1;
    for (int i = 0; i < ask->n_scales; i++) {
        const mdr_scale *s = &ask->scales[i];
        if (w == VERIFIED && !mdr_scale_verified(s, ask->now_utc_ms)) {
            continue;
        }
        if (best < 0 || mdr_scale_room_mg(s) > mdr_scale_room_mg(&ask->scales[best])) {
            best = i;
        }
    }
    return best;
}

/* The solution of this strength: the least that makes do, and whether it can be weighed. */
static bool solution_of(const mdr_weigh_ask *ask, const mdr_scale *scale, double conc_g_per_kg,
                        mdr_weigh_way *way)
{
    static const double MADE_KG[] = {0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0};
    static const double SPARE = 1.2; /* common practice: a fifth more than is taken */
    const double least = least_mg(ask, scale), room = (double)mdr_scale_room_mg(scale);
    const double take = (double)ask->target_mg * MG_PER_G / conc_g_per_kg;
    if (take < least || take > room || take > ask->tank_kg * MG_PER_KG) {
        return false;
    }
    for (size_t i = 0; i < sizeof MADE_KG / sizeof MADE_KG[0]; i++) {
        const double made = MADE_KG[i] * MG_PER_KG, product = made * conc_g_per_kg / MG_PER_G;
        if (made >= SPARE * take && product >= least && made <= room) {
            way->kind = MDR_WEIGH_SOLUTION;
            way->conc_g_per_kg = conc_g_per_kg;
            way->product_mg = llround(product);
            way->solution_mg = llround(made);
            way->take_mg = llround(take);
            return true;
        }
    }
    return false;
}

/* The strongest that can be weighed: the least water. */
static void try_solution(const mdr_weigh_ask *ask, const mdr_scale *scale, mdr_weigh_way *way)
{
    static const double CONC_G_PER_KG[] = {200, 100, 50, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1};
    for (size_t i = 0; i < sizeof CONC_G_PER_KG / sizeof CONC_G_PER_KG[0]; i++) {
        if (CONC_G_PER_KG[i] <= ask->dissolves_g_per_kg &&
            solution_of(ask, scale, CONC_G_PER_KG[i], way)) {
            return;
        }
    }
}

/* In service, of the product: three weighings make a solution, so many make the portions. */
static double error_of(const mdr_weigh_way *way, const mdr_scale *scale)
{
    if (way->kind != MDR_WEIGH_SOLUTION) {
        return (double)way->portions * mdr_scale_error_mg(scale, way->portion_mg, true);
    }
    const double product = (double)way->take_mg * way->conc_g_per_kg / MG_PER_G;
    const double relative =
        mdr_scale_error_mg(scale, way->product_mg, true) / (double)way->product_mg +
        mdr_scale_error_mg(scale, way->solution_mg, true) / (double)way->solution_mg +
        mdr_scale_error_mg(scale, way->take_mg, true) / (double)way->take_mg;
    return product * relative;
}

static mdr_weigh_way with(const mdr_weigh_ask *ask, which w)
{
    mdr_weigh_way way = {.kind = MDR_WEIGH_NO_SCALE, .scale = finest(ask, w), .portions = 1};
    if (way.scale >= 0) {
        const mdr_scale *scale = &ask->scales[way.scale];
        way.kind = MDR_WEIGH_ONCE;
        way.portion_mg = ask->target_mg;
        way.few_divisions = (double)ask->target_mg < least_mg(ask, scale);
        if (way.few_divisions) {
            try_solution(ask, scale, &way);
        }
        if (way.kind == MDR_WEIGH_SOLUTION) {
            way.portion_mg = 0;
            way.few_divisions = false;
        }
        return way;
    }
    const int big = largest(ask, w);
    const int64_t room = big < 0 ? 0 : mdr_scale_room_mg(&ask->scales[big]);
    const int64_t portions = room == 0 ? 0 : (ask->target_mg + room - 1) / room;
    if (portions > 0 && portions <= MDR_WEIGH_PORTIONS_MAX) {
        way.kind = MDR_WEIGH_PORTIONS;
        way.scale = big;
        way.portions = (int)portions;
        way.portion_mg = (ask->target_mg + portions - 1) / portions;
    }
    return way;
}

mdr_weigh_way mdr_weigh_way_of(const mdr_weigh_ask *ask)
{
    mdr_weigh_way way = with(ask, VERIFIED);
    if (way.kind == MDR_WEIGH_NO_SCALE) {
        way = with(ask, ANY);
        way.unverified = way.kind != MDR_WEIGH_NO_SCALE;
    }
    if (way.kind != MDR_WEIGH_NO_SCALE) {
        const double error = error_of(&way, &ask->scales[way.scale]);
        way.error_mg = (int64_t)ceil(error - 1e-6);
        way.unsure = way.error_mg > mdr_weigh_window_of(ask->class, ask->target_mg).tolerance_mg;
    }
    return way;
}
