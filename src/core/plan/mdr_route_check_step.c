#include <stdio.h>
#include <string.h>

#include "core/plan/mdr_route_walk.h"

/* Ranges are wide enough for every rope machine built; common practice. 140 degC is the design
 * temperature of pressure jets, 40 L/kg a small winch. */
static const mdr_walk_range TEMP = {.least = 1, .most = 140, .unit = "degC"};
static const mdr_walk_range RATE = {.least = 0.05, .most = 10, .unit = "K/min"};
static const mdr_walk_range MINUTES = {.least = 0, .most = 1440, .open = true, .unit = "min"};
static const mdr_walk_range MINUTES_OR_0 = {.least = 0, .most = 1440, .unit = "min"};
static const mdr_walk_range RATIO = {.least = 2, .most = 40, .unit = "L/kg"};
static const mdr_walk_range LEVEL = {.least = 0, .most = 50000, .open = true, .unit = "L"};
static const mdr_walk_range FLOW = {.least = 0, .most = 10000, .open = true, .unit = "L/min"};
static const mdr_walk_range SHARE = {.least = 0, .most = 100, .open = true, .unit = "%"};
static const mdr_walk_range PROGRESSIVE = {.least = 1, .most = 10, .open = true, .unit = ""};
static const mdr_walk_range TO_WHITENESS = {.least = 40, .most = 85, .unit = "W10"};
/* Stronger acid harms the cotton that dries with it; above the most nothing is neutralised; common
 * practice. */
static const mdr_walk_range TO_PH = {.least = 3, .most = 9, .unit = "pH"};
static const mdr_walk_range PORTIONS = {.least = 2, .most = 20, .unit = ""};

enum { LINE_MAX_BYTES = 300 };

static mdr_walk_range amount_range(mdr_basis basis)
{
    switch (basis) {
    case MDR_BASIS_G_PER_L:
        return (mdr_walk_range){.least = 0, .most = 500, .open = true, .unit = "g/L"};
    case MDR_BASIS_ML_PER_L:
        return (mdr_walk_range){.least = 0, .most = 500, .open = true, .unit = "mL/L"};
    case MDR_BASIS_PCT_OWF:
        return (mdr_walk_range){.least = 0, .most = 100, .open = true, .unit = "% owf"};
    case MDR_BASIS_KG_PER_LOAD:
        return (mdr_walk_range){.least = 0, .most = 5000, .open = true, .unit = "kg"};
    case MDR_BASIS_TABLE:
    case MDR_BASIS_DYE_TABLE:
    case MDR_BASIS_RECIPE:
    case MDR_BASIS_NEUTRALISE:
    case MDR_BASIS_SEQUESTER:
    case MDR_BASIS_CATALASE:
    case MDR_BASIS_OXIDISE:
    case MDR_BASIS_WHITEN:
        break;
    }
    return (mdr_walk_range){.least = 0, .most = 10, .open = true, .unit = "times the computed"};
}

static void by_the_shade(mdr_route_walk *w, const mdr_route_item *item)
{
    const bool needs = item->basis == MDR_BASIS_RECIPE || item->basis == MDR_BASIS_DYE_TABLE;
    if (needs && w->route->dye_class == MDR_CLASS_NONE) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "a route of dye class none has no recipe to dose by");
        mdr_err_value(&e, "%s", mdr_basis_id(item->basis));
        mdr_err_remedy(&e, "give the route its dye class, or state the amount otherwise");
        mdr_walk_add(w, "basis", &e);
    }
}

static void one_item(mdr_route_walk *w, const mdr_route_item *item)
{
    if (item->basis != MDR_BASIS_RECIPE) {
        mdr_walk_id(w, "material_id", item->material_id);
    } else if (item->material_id[0] != '\0') {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "by the recipe, all dyes of the shade are given");
        mdr_err_value(&e, "%.60s", item->material_id);
        mdr_err_remedy(&e, "leave material_id out");
        mdr_walk_add(w, "material_id", &e);
    }
    if (item->basis == MDR_BASIS_TABLE) {
        mdr_walk_id(w, "table_id", item->table_id);
    }
    if (item->basis == MDR_BASIS_NEUTRALISE && item->to_ph != 0) {
        (void)mdr_walk_number(w, "to_ph", item->to_ph, TO_PH);
    }
    if (item->basis == MDR_BASIS_WHITEN) {
        (void)mdr_walk_number(w, "to_whiteness", item->to_whiteness, TO_WHITENESS);
    }
    (void)mdr_walk_number(w, "amount", item->amount, amount_range(item->basis));
    by_the_shade(w, item);
}

static void curve_of(mdr_route_walk *w, const mdr_route_step *s)
{
    if (s->curve == MDR_CURVE_PROGRESSIVE) {
        (void)mdr_walk_number(w, "curve.exponent", s->exponent, PROGRESSIVE);
    }
    if (s->curve == MDR_CURVE_DEGRESSIVE && !(s->exponent > 0 && s->exponent < 1)) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "curve.exponent is out of range");
        mdr_err_value(&e, "%.15g", s->exponent);
        mdr_err_allowed(&e, "above 0, below 1");
        mdr_err_remedy(&e, "below 1 it begins quickly: 0.5, for example");
        mdr_walk_add(w, "curve.exponent", &e);
    }
    if (s->curve == MDR_CURVE_PORTIONS) {
        (void)mdr_walk_number(w, "curve.portions", s->portions, PORTIONS);
    }
}

static void dose(mdr_route_walk *w, const mdr_route_step *s)
{
    if (s->n_items < 1 || s->n_items > MDR_ROUTE_ITEMS_MAX) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "a dose of %d materials", s->n_items);
        mdr_err_value(&e, "%d", s->n_items);
        mdr_err_allowed(&e, "1 to %d", MDR_ROUTE_ITEMS_MAX);
        mdr_walk_add(w, "items", &e);
    }
    for (int i = 0; i < s->n_items && i < MDR_ROUTE_ITEMS_MAX; i++) {
        w->item = i;
        one_item(w, &s->items[i]);
    }
    w->item = -1;
    (void)mdr_walk_number(w, "minutes", s->minutes, MINUTES);
    (void)mdr_walk_number(w, "share_pct", s->share_pct, SHARE);
    (void)mdr_walk_number(w, "offset_min", s->offset_min, MINUTES_OR_0);
    curve_of(w, s);
    if (s->offset_min > 0 && !s->with_next) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "an offset needs a step to run beside");
        mdr_err_value(&e, "%.15g", s->offset_min);
        mdr_err_remedy(&e, "set with_next to true, or leave offset_min out");
        mdr_walk_add(w, "offset_min", &e);
    }
}

/* A limit that lies outside what the quantity can be. */
static void limit(mdr_route_walk *w, const char *field, const mdr_route_check *c, double v)
{
    const mdr_walk_range possible = {.least = mdr_check_least(c->kind),
                                     .most = mdr_check_most(c->kind),
                                     .unit = mdr_check_unit(c->kind)};
    (void)mdr_walk_number(w, field, v, possible);
}

static bool passes(const mdr_route_check *c, double value)
{
    return !(c->has_low && value < c->low) && !(c->has_high && value > c->high);
}

/* A sample that is looked at is read as 1, as it should be, or 0, not: one of them passes, the other does not. */
static void check_of_a_look(mdr_route_walk *w, const mdr_route_check *c)
{
    mdr_err e;
    if ((!c->has_low && !c->has_high) || passes(c, 0.0) != passes(c, 1.0)) {
        return;
    }
    (void)MDR_FAIL(&e, MDR_E_RANGE, "", "these limits do not tell a good sample from a bad one");
    mdr_err_allowed(&e, "low 1 or high 0: 1 is as it should be, 0 is not");
    mdr_err_remedy(&e, "leave the limits out: then as it should be passes");
    mdr_walk_add(w, "check", &e);
}

void mdr_walk_check(mdr_route_walk *w, const mdr_route_check *c)
{
    mdr_walk_text(w, "check.method", c->method, 0, LINE_MAX_BYTES);
    mdr_walk_text(w, "check.remedy", c->remedy, 0, LINE_MAX_BYTES);
    if (c->has_low) {
        limit(w, "check.low", c, c->low);
    }
    if (c->has_high) {
        limit(w, "check.high", c, c->high);
    }
    mdr_err e;
    if (c->has_low && c->has_high && c->low > c->high) {
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "the check can never pass: low lies above high");
        mdr_err_value(&e, "%.15g to %.15g %s", c->low, c->high, mdr_check_unit(c->kind));
        mdr_err_allowed(&e, "low not above high");
        mdr_err_remedy(&e, "swap the two limits, or leave one out");
        mdr_walk_add(w, "check.low", &e);
    }
    if (!c->has_low && !c->has_high && c->kind != MDR_CHECK_SAMPLE) {
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "the check has no limit, so it can never fail");
        mdr_err_allowed(&e, "low, high or both, %g to %g %s", mdr_check_least(c->kind),
                        mdr_check_most(c->kind), mdr_check_unit(c->kind));
        mdr_walk_add(w, "check", &e);
    }
    if (c->kind == MDR_CHECK_SAMPLE) {
        check_of_a_look(w, c);
    }
}

/* What is read behind the dryer is no reading of a bath. */
static void not_of_a_bath(mdr_route_walk *w, const mdr_route_check *c)
{
    if (c->kind == MDR_CHECK_MOISTURE) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "moisture is read behind a dryer, not in a bath");
        mdr_err_value(&e, "%s", mdr_check_id(c->kind));
        mdr_err_remedy(&e, "put the check into the pass of the route that dries");
        mdr_walk_add(w, "check.kind", &e);
    }
}

static void temperature(mdr_route_walk *w, const mdr_route_step *s)
{
    const bool ramp = s->kind == MDR_STEP_HEAT || s->kind == MDR_STEP_COOL;
    if (s->has_temp) {
        (void)mdr_walk_number(w, "temp_c", s->temp_c, TEMP);
    } else if (ramp) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "%s needs a temperature to go to",
                       mdr_step_kind_words(s->kind));
        mdr_err_allowed(&e, "%g to %g degC", TEMP.least, TEMP.most);
        mdr_walk_add(w, "temp_c", &e);
    }
    if (ramp && s->rate_c_per_min != 0) {
        (void)mdr_walk_number(w, "rate_c_per_min", s->rate_c_per_min, RATE);
    }
}

static void fill(mdr_route_walk *w, const mdr_route_step *s)
{
    if (s->ratio_l_per_kg != 0) {
        (void)mdr_walk_number(w, "ratio_l_per_kg", s->ratio_l_per_kg, RATIO);
    }
    if (s->level_l != 0) {
        (void)mdr_walk_number(w, "level_l", s->level_l, LEVEL);
    }
    if (s->ratio_l_per_kg != 0 && s->level_l != 0) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "a fill to a ratio and to a level at once");
        mdr_err_remedy(&e, "leave ratio_l_per_kg or level_l out");
        mdr_walk_add(w, "level_l", &e);
    }
}

void mdr_walk_step(mdr_route_walk *w, const mdr_route_step *s)
{
    mdr_walk_text(w, "note", s->note, 0, LINE_MAX_BYTES);
    temperature(w, s);
    switch (s->kind) {
    case MDR_STEP_FILL:
        fill(w, s);
        break;
    case MDR_STEP_DOSE:
        dose(w, s);
        break;
    case MDR_STEP_CHECK:
        mdr_walk_check(w, &s->check);
        not_of_a_bath(w, &s->check);
        (void)mdr_walk_number(w, "minutes", s->minutes, MINUTES);
        break;
    case MDR_STEP_RINSE:
        if (s->flow_l_per_min != 0) {
            (void)mdr_walk_number(w, "flow_l_per_min", s->flow_l_per_min, FLOW);
        }
        (void)mdr_walk_number(w, "minutes", s->minutes, MINUTES);
        break;
    case MDR_STEP_HOLD:
        (void)mdr_walk_number(w, "minutes", s->minutes, MINUTES);
        break;
    case MDR_STEP_LOAD:
    case MDR_STEP_UNLOAD:
        (void)mdr_walk_number(w, "minutes", s->minutes, MINUTES_OR_0);
        break;
    case MDR_STEP_HEAT:
    case MDR_STEP_COOL:
    case MDR_STEP_DRAIN:
        break;
    }
}
