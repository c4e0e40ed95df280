#include <math.h>
#include <string.h>

#include "core/plan/mdr_route_walk.h"

/* A hold is at its temperature within this, K. Above the second one no cold water gets, degC
 * (the greatest a site's cold water may have). */
static const double SAME_TEMP_K = 0.5;
static const double COLD_MOST_C = 40.0;
/* Shares are typed in percent; this only forgives the rounding of their sum. */
static const double SHARE_SLACK_PCT = 1e-6;

static bool works_in_liquor(mdr_step_kind kind)
{
    return kind == MDR_STEP_DOSE || kind == MDR_STEP_HEAT || kind == MDR_STEP_COOL ||
           kind == MDR_STEP_HOLD || kind == MDR_STEP_RINSE || kind == MDR_STEP_DRAIN;
}

static void order_fault(mdr_route_walk *w, const char *msg, const char *remedy)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "", "%s", msg);
    mdr_err_remedy(&e, "%s", remedy);
    mdr_walk_add(w, "do", &e);
}

/* -- order: fill first, nothing after the drain -- */

/* One step in its place; false: what follows is not looked at. */
typedef struct order {
    bool drained, unloaded, wet;
} order;

static bool step_in_order(mdr_route_walk *w, mdr_step_kind kind, order *o, mdr_liquor *liquor)
{
    if (o->unloaded) {
        order_fault(w, "a step after unloading", "move it before the unload");
        return false;
    }
    if (o->drained && kind != MDR_STEP_UNLOAD) {
        order_fault(w, "a step after the drain", "begin a new bath with this step");
        return false;
    }
    if (kind == MDR_STEP_FILL && o->wet) {
        order_fault(w, "the fill is not the first step of its bath",
                    "move the fill to the front, or begin a new bath");
    } else if (kind == MDR_STEP_FILL && *liquor == MDR_LIQUOR_SOME) {
        order_fault(w, "a fill although the bath before was not drained",
                    "end the bath before with a drain");
    }
    if (works_in_liquor(kind) && *liquor == MDR_LIQUOR_NONE) {
        order_fault(w, "there is no liquor in the vessel", "put a fill before it");
        *liquor = MDR_LIQUOR_UNKNOWN; /* say it once */
    }
    return true;
}

static void order_of(mdr_route_walk *w, const mdr_route_bath *bath, mdr_liquor *liquor)
{
    order o = {0};
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_step_kind kind = bath->steps[i].kind;
        w->step = i;
        if (!step_in_order(w, kind, &o, liquor)) {
            break;
        }
        o.wet = o.wet || works_in_liquor(kind);
        o.drained = o.drained || kind == MDR_STEP_DRAIN;
        o.unloaded = kind == MDR_STEP_UNLOAD;
        if (kind == MDR_STEP_FILL) {
            *liquor = MDR_LIQUOR_SOME;
        } else if (kind == MDR_STEP_DRAIN) {
            *liquor = MDR_LIQUOR_NONE;
        }
    }
    w->step = -1;
}

/* -- temperatures -- */

static void ramp(mdr_route_walk *w, const mdr_route_step *s, const mdr_vessel *v)
{
    const bool heat = s->kind == MDR_STEP_HEAT;
    if (v->warmth != MDR_WARMTH_KNOWN || (heat ? s->temp_c >= v->temp_c : s->temp_c <= v->temp_c)) {
        return;
    }
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "",
                   heat ? "heating to a temperature below the bath's"
                        : "cooling to a temperature above the bath's");
    mdr_err_value(&e, "%.15g degC", s->temp_c);
    mdr_err_allowed(&e, heat ? "at least %.15g degC" : "at most %.15g degC", v->temp_c);
    mdr_walk_add(w, "temp_c", &e);
}

static void hold(mdr_route_walk *w, const mdr_route_step *s, const mdr_vessel *v)
{
    const bool reached =
        v->warmth == MDR_WARMTH_UNKNOWN ||
        (v->warmth == MDR_WARMTH_COLD && s->temp_c <= COLD_MOST_C) ||
        (v->warmth == MDR_WARMTH_KNOWN && fabs(s->temp_c - v->temp_c) <= SAME_TEMP_K);
    if (reached) {
        return;
    }
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "", "nothing brings the bath to this temperature");
    mdr_err_value(&e, "%.15g degC", s->temp_c);
    if (v->warmth == MDR_WARMTH_KNOWN) {
        mdr_err_allowed(&e, "%.15g degC", v->temp_c);
    }
    mdr_err_remedy(&e, "put a heat or a cool before it, or change temp_c");
    mdr_walk_add(w, "temp_c", &e);
}

static void set_temp(mdr_vessel *v, const mdr_route_step *s, mdr_warmth without)
{
    v->warmth = s->has_temp ? MDR_WARMTH_KNOWN : without;
    v->temp_c = s->has_temp ? s->temp_c : 0.0;
}

/* Follows the temperature through one step. */
static void warm(mdr_route_walk *w, const mdr_route_step *s, mdr_vessel *v)
{
    switch (s->kind) {
    case MDR_STEP_FILL:
        set_temp(v, s, MDR_WARMTH_COLD);
        break;
    case MDR_STEP_RINSE:
        set_temp(v, s, MDR_WARMTH_UNKNOWN);
        break;
    case MDR_STEP_HEAT:
    case MDR_STEP_COOL:
        if (s->has_temp) {
            ramp(w, s, v);
            set_temp(v, s, MDR_WARMTH_UNKNOWN);
        }
        break;
    case MDR_STEP_HOLD:
        if (s->has_temp) {
            hold(w, s, v);
            set_temp(v, s, MDR_WARMTH_UNKNOWN);
        }
        break;
    case MDR_STEP_LOAD:
    case MDR_STEP_DOSE:
    case MDR_STEP_CHECK:
    case MDR_STEP_DRAIN:
    case MDR_STEP_UNLOAD:
        break;
    }
}

/* -- doses beside other steps -- */

/* Minutes of a step on the main line; without limit when only the machine knows. */
static double minutes_of(const mdr_route_step *s, const mdr_vessel *v)
{
    switch (s->kind) {
    case MDR_STEP_HEAT:
    case MDR_STEP_COOL:
        return v->warmth == MDR_WARMTH_KNOWN && s->rate_c_per_min > 0
                   ? fabs(s->temp_c - v->temp_c) / s->rate_c_per_min
                   : HUGE_VAL;
    case MDR_STEP_DOSE:
        return s->with_next ? 0.0 : s->minutes;
    case MDR_STEP_HOLD:
    case MDR_STEP_CHECK:
    case MDR_STEP_RINSE:
        return s->minutes;
    case MDR_STEP_LOAD:
    case MDR_STEP_UNLOAD:
        return s->minutes > 0 ? s->minutes : HUGE_VAL;
    case MDR_STEP_FILL:
    case MDR_STEP_DRAIN:
        break;
    }
    return HUGE_VAL;
}

/* Time that the steps after `from` leave for a dose beside them. */
static double time_beside(const mdr_route_bath *bath, int from, mdr_vessel v)
{
    double minutes = 0;
    for (int i = from + 1; i < bath->n_steps; i++) {
        const mdr_route_step *s = &bath->steps[i];
        if (s->kind == MDR_STEP_DRAIN || s->kind == MDR_STEP_UNLOAD) {
            break;
        }
        minutes += minutes_of(s, &v);
        if (s->kind == MDR_STEP_HEAT || s->kind == MDR_STEP_COOL || s->kind == MDR_STEP_RINSE) {
            set_temp(&v, s, MDR_WARMTH_UNKNOWN);
        }
    }
    return minutes;
}

static void beside(mdr_route_walk *w, const mdr_route_bath *bath, const mdr_vessel *v)
{
    const mdr_route_step *s = &bath->steps[w->step];
    if (s->kind != MDR_STEP_DOSE || !s->with_next) {
        return;
    }
    const double has = time_beside(bath, w->step, *v);
    const double needs = s->offset_min + s->minutes;
    if (needs <= has + 1e-9) {
        return;
    }
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "", "the dose outlives its bath");
    mdr_err_value(&e, "%.15g min", needs);
    mdr_err_allowed(&e, "at most the %.15g min of the steps after it", has);
    mdr_err_remedy(&e, "shorten the dose, lengthen the steps after it, or set with_next to false");
    mdr_walk_add(w, "minutes", &e);
}

/* -- shares -- */

/* What is computed from what the bath holds, not from what the route says. */
static bool is_need(mdr_basis basis)
{
    return basis == MDR_BASIS_NEUTRALISE || basis == MDR_BASIS_SEQUESTER ||
           basis == MDR_BASIS_CATALASE || basis == MDR_BASIS_OXIDISE;
}

/* A pH that is left out is the usual one, not another. */
static double to_ph(const mdr_route_item *item)
{
    return item->to_ph != 0 ? item->to_ph : MDR_ROUTE_TO_PH;
}

/* Two items that ask for the same amount of the same material. A second acid to another pH is
 * another amount: coarse before the enzyme, fine after it. */
static bool same_amount(const mdr_route_item *a, const mdr_route_item *b)
{
    return a->basis == b->basis && a->amount == b->amount && a->of_active == b->of_active &&
           a->dye_table == b->dye_table && to_ph(a) == to_ph(b) &&
           a->to_whiteness == b->to_whiteness && strcmp(a->material_id, b->material_id) == 0 &&
           strcmp(a->table_id, b->table_id) == 0;
}

/* Shares of this item in the steps 0..last. */
static double shares_until(const mdr_route_bath *bath, int last, const mdr_route_item *item)
{
    double sum = 0;
    for (int i = 0; i <= last; i++) {
        const mdr_route_step *s = &bath->steps[i];
        for (int k = 0; s->kind == MDR_STEP_DOSE && k < s->n_items; k++) {
            sum += same_amount(&s->items[k], item) ? s->share_pct : 0.0;
        }
    }
    return sum;
}

/* A need is met whole: what one part leaves open would be parted again by the next. */
static void whole_need(mdr_route_walk *w, const mdr_route_step *s, const mdr_route_item *item)
{
    if (!is_need(item->basis) || s->share_pct == 100.0) {
        return;
    }
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "", "a part of what is needed %s",
                   mdr_basis_words(item->basis));
    mdr_err_value(&e, "%g %%", s->share_pct);
    mdr_err_allowed(&e, "100 %%");
    mdr_err_remedy(&e, "give it in one dose, or state the parts in g/L");
    mdr_walk_add(w, "share_pct", &e);
}

static void shares(mdr_route_walk *w, const mdr_route_bath *bath)
{
    const mdr_route_step *s = &bath->steps[w->step];
    for (int k = 0; s->kind == MDR_STEP_DOSE && k < s->n_items && k < MDR_ROUTE_ITEMS_MAX; k++) {
        whole_need(w, s, &s->items[k]);
        const double sum = shares_until(bath, w->step, &s->items[k]);
        /* reported where the sum first passes 100 */
        if (!(sum > 100.0 + SHARE_SLACK_PCT) || sum - s->share_pct > 100.0 + SHARE_SLACK_PCT) {
            continue;
        }
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_RANGE, "",
                       "the shares of %.60s in this bath add up to more than 100 %%",
                       s->items[k].material_id[0] != '\0' ? s->items[k].material_id : "the recipe");
        mdr_err_value(&e, "%.15g %%", sum);
        mdr_err_allowed(&e, "at most 100 %% together");
        mdr_err_remedy(&e, "lower share_pct here or in a dose before it");
        mdr_walk_add(w, "share_pct", &e);
    }
}

void mdr_walk_bath(mdr_route_walk *w, const mdr_route_bath *bath, mdr_vessel *vessel)
{
    order_of(w, bath, &vessel->liquor);
    for (int i = 0; i < bath->n_steps; i++) {
        w->step = i;
        beside(w, bath, vessel);
        shares(w, bath);
        warm(w, &bath->steps[i], vessel);
    }
    w->step = -1;
}
