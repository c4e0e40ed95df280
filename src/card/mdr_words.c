#include "card/mdr_words.h"

#include <string.h>

#include "card/mdr_digits.h"
#include "card/mdr_sentence.h"
#include "core/bath/mdr_dosing.h"
#include "core/run/mdr_clash.h"

static void say_fill(mdr_sentence *s, const mdr_plan *plan, const mdr_plan_step *step)
{
    mdr_sentence_add(s, "Fill ");
    mdr_sentence_volume(s, plan, step->volume_l);
    if (step->water_temp_c != MDR_FIG_NONE) {
        mdr_sentence_add(s, ", water at ");
        mdr_sentence_number(s, mdr_fig_value(&plan->figs, step->water_temp_c), 0, 0, "\u00b0C");
    }
}

static void say_ramp(mdr_sentence *s, const mdr_route_step *asked)
{
    mdr_sentence_add(s, "%s to ", mdr_step_kind_words(asked->kind));
    mdr_sentence_number(s, asked->temp_c, 0, 1, "\u00b0C");
    if (asked->rate_c_per_min > 0.0) {
        mdr_sentence_add(s, " at ");
        mdr_sentence_number(s, asked->rate_c_per_min, 1, 2, "\u00b0C/min");
    } else {
        mdr_sentence_add(s, " as fast as the machine can");
    }
}

static void say_dose(mdr_sentence *s, const mdr_plan_step *step)
{
    const mdr_route_step *asked = step->asked;
    mdr_sentence_add(s, "Dose ");
    switch (asked->curve) {
    case MDR_CURVE_LINEAR:
        mdr_sentence_add(s, "evenly over ");
        break;
    case MDR_CURVE_PROGRESSIVE:
        mdr_sentence_add(s, "slowly first, then faster, over ");
        break;
    case MDR_CURVE_DEGRESSIVE:
        mdr_sentence_add(s, "quickly first, then slower, over ");
        break;
    case MDR_CURVE_PORTIONS:
        mdr_sentence_add(s, "in %d equal portions over ", asked->portions);
        break;
    }
    mdr_sentence_number(s, asked->minutes, 0, 1, "min");
    if (asked->curve == MDR_CURVE_PROGRESSIVE || asked->curve == MDR_CURVE_DEGRESSIVE) {
        mdr_sentence_add(s, " (time to the power ");
        mdr_sentence_number(s, asked->exponent, 1, 2, "");
        mdr_sentence_add(s, ")");
    }
    if (step->beside) {
        mdr_sentence_add(s, ", beside the next step");
        if (asked->offset_min > 0.0) {
            mdr_sentence_add(s, ", from its minute ");
            mdr_sentence_number(s, asked->offset_min, 0, 1, "");
        }
    }
}

static void say_hold(mdr_sentence *s, const mdr_route_step *asked)
{
    mdr_sentence_add(s, "Run ");
    mdr_sentence_number(s, asked->minutes, 0, 1, "min");
    if (asked->has_temp) {
        mdr_sentence_add(s, " at ");
        mdr_sentence_number(s, asked->temp_c, 0, 1, "\u00b0C");
    }
}

static void say_check(mdr_sentence *s, const mdr_route_check *check)
{
    char limits[MDR_WORDS_MAX];
    mdr_words_limits(check, limits);
    const bool graded = strcmp(mdr_check_unit(check->kind), "grade") == 0;
    const char *between = limits[0] == '\0' ? "" : (graded ? ": grade " : ": ");
    mdr_sentence_add(s, "%s%s%s", mdr_check_words(check->kind), between, limits);
}

static void say_rinse(mdr_sentence *s, const mdr_plan *plan, const mdr_plan_step *step)
{
    mdr_sentence_add(s, "Overflow rinse, ");
    mdr_sentence_volume(s, plan, step->volume_l);
    mdr_sentence_add(s, " through");
    if (step->water_temp_c != MDR_FIG_NONE) {
        mdr_sentence_add(s, ", water at ");
        mdr_sentence_number(s, mdr_fig_value(&plan->figs, step->water_temp_c), 0, 0, "\u00b0C");
    }
}

void mdr_words_step(const mdr_plan *plan, const mdr_plan_step *step, char out[MDR_WORDS_MAX])
{
    mdr_sentence s = mdr_sentence_begin(out);
    switch (step->asked->kind) {
    case MDR_STEP_LOAD:
        mdr_sentence_add(&s, "Load the fabric");
        return;
    case MDR_STEP_UNLOAD:
        mdr_sentence_add(&s, "Unload the fabric");
        return;
    case MDR_STEP_FILL:
        say_fill(&s, plan, step);
        return;
    case MDR_STEP_DOSE:
        say_dose(&s, step);
        return;
    case MDR_STEP_HEAT:
    case MDR_STEP_COOL:
        say_ramp(&s, step->asked);
        return;
    case MDR_STEP_HOLD:
        say_hold(&s, step->asked);
        return;
    case MDR_STEP_CHECK:
        say_check(&s, &step->asked->check);
        return;
    case MDR_STEP_RINSE:
        say_rinse(&s, plan, step);
        return;
    case MDR_STEP_DRAIN:
        mdr_sentence_add(&s, "Drain ");
        mdr_sentence_volume(&s, plan, step->volume_l);
        return;
    }
}

void mdr_words_tank(const mdr_plan *plan, const mdr_plan_step *step, char out[MDR_WORDS_MAX])
{
    mdr_sentence s = mdr_sentence_begin(out);
    if (step->asked->kind != MDR_STEP_DOSE || step->tank_loads == MDR_FIG_NONE) {
        return;
    }
    const double loads = mdr_fig_value(&plan->figs, step->tank_loads);
    mdr_sentence_number(&s, loads, 0, 1, loads > 1.0 ? "tank loads" : "tank load");
    if (mdr_fig_value(&plan->figs, step->volume_l) > 0.0) {
        mdr_sentence_add(&s, " \u00b7 ");
        mdr_sentence_volume(&s, plan, step->volume_l);
        mdr_sentence_add(&s, " made up");
    } else if (plan->machine->tank_water == MDR_TANK_BATH) {
        mdr_sentence_add(&s, " \u00b7 dissolved in liquor from the bath");
    }
    if (step->tank_water_l != MDR_FIG_NONE &&
        mdr_fig_value(&plan->figs, step->tank_water_l) > 0.0) {
        mdr_sentence_add(&s, " with ");
        mdr_sentence_volume(&s, plan, step->tank_water_l);
        mdr_sentence_add(&s, " of fresh water");
    }
    if (step->cycles != MDR_FIG_NONE) {
        mdr_sentence_add(&s, " \u00b7 ");
        mdr_sentence_number(&s, mdr_fig_value(&plan->figs, step->cycles), 1, 1, "rope cycles");
    }
}

/* What a need is reckoned from; its amount stands beside it as mass. False: stated otherwise. */
static bool say_need(mdr_sentence *s, const mdr_route_item *asked)
{
    switch (asked->basis) {
    case MDR_BASIS_NEUTRALISE:
        mdr_sentence_add(s, "to reach pH\u00a0");
        mdr_sentence_number(s, asked->to_ph != 0.0 ? asked->to_ph : MDR_ROUTE_TO_PH, 1, 2, "");
        return true;
    case MDR_BASIS_SEQUESTER:
    case MDR_BASIS_CATALASE:
    case MDR_BASIS_OXIDISE:
    case MDR_BASIS_WHITEN:
        mdr_sentence_add(s, "%s", mdr_basis_words(asked->basis));
        return true;
    case MDR_BASIS_G_PER_L:
    case MDR_BASIS_ML_PER_L:
    case MDR_BASIS_PCT_OWF:
    case MDR_BASIS_KG_PER_LOAD:
    case MDR_BASIS_TABLE:
    case MDR_BASIS_DYE_TABLE:
    case MDR_BASIS_RECIPE:
        break;
    }
    return false;
}

void mdr_words_amount(const mdr_plan *plan, const mdr_plan_step *step, const mdr_plan_item *item,
                      char out[MDR_WORDS_MAX])
{
    mdr_sentence s = mdr_sentence_begin(out);
    const mdr_basis basis = item->asked->basis;
    if (say_need(&s, item->asked)) {
        return;
    }
    if (step->asked->share_pct > 0.0 && step->asked->share_pct < 100.0) {
        mdr_sentence_number(&s, step->asked->share_pct, 0, 1, "% of ");
    }
    const mdr_fig *fig =
        item->amount == MDR_FIG_NONE ? NULL : mdr_fig_at(&plan->figs, item->amount);
    if (fig == NULL) {
        mdr_sentence_add(&s, "%s", mdr_basis_words(basis));
        return;
    }
    const bool stated = basis == MDR_BASIS_G_PER_L || basis == MDR_BASIS_ML_PER_L ||
                        basis == MDR_BASIS_PCT_OWF || basis == MDR_BASIS_KG_PER_LOAD;
    const bool owf = basis == MDR_BASIS_PCT_OWF || basis == MDR_BASIS_RECIPE;
    const bool by_table = basis == MDR_BASIS_TABLE || basis == MDR_BASIS_DYE_TABLE;
    mdr_sentence_number(&s, fig->value, owf ? 1 : 0, by_table ? 3 : 5,
                        stated ? mdr_basis_words(basis) : fig->unit);
    if (item->asked->of_active) {
        mdr_sentence_add(&s, " as 100\u00a0%%");
    }
    if (by_table) {
        mdr_sentence_add(&s, ", by table");
    }
}

/* The unit as people write it; the name of the check says pH already, a grade has no unit. */
static const char *printed_unit(const char *unit)
{
    static const struct {
        const char *plain, *printed;
    } UNITS[] = {
        {"pH", ""}, {"grade", ""}, {"dH", "\u00b0dH"}, {"dE CMC(2:1)", "\u0394E CMC(2:1)"}};
    for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++) {
        if (strcmp(unit, UNITS[i].plain) == 0) {
            return UNITS[i].printed;
        }
    }
    return unit;
}

void mdr_words_limits(const mdr_route_check *check, char out[MDR_WORDS_MAX])
{
    mdr_sentence s = mdr_sentence_begin(out);
    const char *unit = printed_unit(mdr_check_unit(check->kind));
    const int least = unit[0] == '\0' ? 1 : 0;
    if (check->has_low && check->has_high) {
        mdr_sentence_number(&s, check->low, least, 2, "");
        mdr_sentence_add(&s, " to ");
        mdr_sentence_number(&s, check->high, least, 2, unit);
    } else if (check->has_high) {
        mdr_sentence_add(&s, "at most ");
        mdr_sentence_number(&s, check->high, least, 2, unit);
    } else if (check->has_low) {
        mdr_sentence_add(&s, "at least ");
        mdr_sentence_number(&s, check->low, least, 2, unit);
    }
}

void mdr_words_reading(const mdr_route_check *check, double value, char out[MDR_WORDS_MAX])
{
    static const double HALF = 0.5; /* 1: as it should be, 0: not; or the other way by the limits */
    mdr_sentence s = mdr_sentence_begin(out);
    if (check->kind == MDR_CHECK_SAMPLE) {
        const bool good = (value > HALF) == (check->has_low || !check->has_high);
        mdr_sentence_add(&s, "%s", good ? "as it should be" : "not as it should be");
        return;
    }
    const char *unit = printed_unit(mdr_check_unit(check->kind));
    mdr_sentence_number(&s, value, unit[0] == '\0' ? 1 : 0, 2, unit);
}

void mdr_words_caution(mdr_caution caution, char out[MDR_WORDS_MAX])
{
    mdr_sentence s = mdr_sentence_begin(out);
    if (caution == MDR_CAUTION_ROTATING || caution == MDR_CAUTION_REDUCER) {
        /* the sentences below begin so, and the letter of the lozenge is theirs */
        mdr_sentence_add(&s, caution == MDR_CAUTION_ROTATING ? "moving parts" : "reducing agent");
        return;
    }
    const char *id = mdr_caution_id(caution);
    mdr_sentence_add(&s, "%s", id == NULL ? "?" : id);
    for (char *c = out; *c != '\0'; c++) {
        if (*c == '-') {
            *c = ' ';
        }
    }
}

void mdr_words_wear(uint32_t cautions, char out[MDR_WORDS_MAX])
{
    mdr_sentence s = mdr_sentence_begin(out);
    const uint32_t gear = mdr_gear_of(cautions);
    for (int i = 0; i < MDR_GEAR_COUNT; i++) {
        if ((gear & (1u << i)) != 0) {
            mdr_sentence_add(&s, "%s%s", s.used == 0 ? "" : ", ", mdr_gear_words((mdr_gear)i));
        }
    }
}

double mdr_words_dose_share(const mdr_route_step *dose, double u)
{
    switch (dose->curve) {
    case MDR_CURVE_LINEAR:
        return mdr_dosing_linear(u);
    case MDR_CURVE_PROGRESSIVE:
    case MDR_CURVE_DEGRESSIVE:
        return mdr_dosing_power(u, dose->exponent);
    case MDR_CURVE_PORTIONS:
        return mdr_dosing_portions(u, dose->portions);
    }
    return u;
}
