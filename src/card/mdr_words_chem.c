/* What the chemistry of the plan tells an operator: of a bath, of a check, of a step. */
#include <math.h>

#include "card/mdr_digits.h"
#include "card/mdr_sentence.h"
#include "card/mdr_words.h"

static double value(const mdr_plan *plan, mdr_fig_id id)
{
    return mdr_fig_value(&plan->figs, id);
}

/* " ± 0.1": up to the next tenth, so that it never claims more than is known. */
static void say_uncertainty(mdr_sentence *s, double ph)
{
    static const double TENTHS = 10.0;
    char text[MDR_DIGITS_MAX];
    mdr_digits_fixed(text, ceil(ph * TENTHS - 1e-9) / TENTHS, 1);
    mdr_sentence_add(s, " \u00b1\u00a0%s", text);
}

/* Where the pH of the end was reckoned. */
static double uncertainty_at_the_end(const mdr_plan_bath *bath)
{
    double last = 0.0;
    for (int i = 0; i < bath->n_steps; i++) {
        if (bath->steps[i].ph != MDR_FIG_NONE) {
            last = bath->steps[i].ph_uncertainty;
        }
    }
    return last;
}

static void say_ph(mdr_sentence *s, const mdr_plan *plan, const mdr_plan_bath *bath)
{
    if (bath->ph_start == MDR_FIG_NONE && bath->ph_end == MDR_FIG_NONE) {
        return;
    }
    static const double TENTHS = 10.0; /* as far as it is printed */
    const double start = value(plan, bath->ph_start), end = value(plan, bath->ph_end);
    mdr_sentence_add(s, "pH\u00a0");
    if (bath->ph_start != MDR_FIG_NONE && lround(start * TENTHS) != lround(end * TENTHS)) {
        mdr_sentence_number(s, start, 1, 1, "");
        mdr_sentence_add(s, "%s", bath->ph_end != MDR_FIG_NONE ? "\u00a0\u2192\u00a0" : " filled");
    }
    if (bath->ph_end != MDR_FIG_NONE) {
        mdr_sentence_number(s, end, 1, 1, "");
        say_uncertainty(s, uncertainty_at_the_end(bath));
    }
}

static void say_trace(mdr_sentence *s, const mdr_plan *plan, const char *words, mdr_fig_id id,
                      const char *unit)
{
    if (id != MDR_FIG_NONE) {
        mdr_sentence_part(s);
        mdr_sentence_add(s, "%s ", words);
        mdr_sentence_trace(s, value(plan, id), unit);
    }
}

void mdr_words_bath(const mdr_plan *plan, const mdr_plan_bath *bath, char out[MDR_WORDS_MAX])
{
    mdr_sentence s = mdr_sentence_begin(out);
    say_ph(&s, plan, bath);
    if (mdr_plan_bath_gives_dye(bath)) {
        say_trace(&s, plan, "free hardness", bath->hardness_dh, "\u00b0dH");
    }
    if (mdr_plan_bath_soaps(&plan->figs, bath)) {
        say_trace(&s, plan, "begins with salt and alkali", bath->electrolyte_g_per_l, "g/L");
    }
    if (mdr_plan_bath_gives(bath, MDR_SUB_H2O2)) {
        say_trace(&s, plan, "peroxide left", bath->peroxide_mg_per_l, "mg/L");
    }
    if (mdr_plan_bath_gives(bath, MDR_SUB_DITHIONITE)) {
        say_trace(&s, plan, "dithionite left", bath->dithionite_g_per_l, "g/L");
    }
    if (mdr_plan_bath_last_loose(plan, bath)) {
        say_trace(&s, plan, "loose dye left", bath->loose_mg_per_kg, "mg/kg");
    }
}

static void say_reserve(mdr_sentence *s, const mdr_plan *plan, const mdr_plan_bath *bath,
                        const mdr_plan_step *step)
{
    if (step->dithionite_g_per_l != MDR_FIG_NONE && mdr_plan_bath_gives(bath, MDR_SUB_DITHIONITE)) {
        mdr_sentence_part(s);
        mdr_sentence_add(s, "Reduction reserve ");
        mdr_sentence_trace(s, value(plan, step->dithionite_g_per_l), "g/L");
    }
}

static void expect_ph(mdr_sentence *s, const mdr_plan *plan, const mdr_plan_step *step)
{
    const bool cooled = step->asked->check.cooled;
    const mdr_fig_id ph = cooled ? step->ph_cold : step->ph;
    if (ph == MDR_FIG_NONE) {
        return;
    }
    mdr_sentence_add(s, "Expect ");
    mdr_sentence_number(s, value(plan, ph), 1, 1, "");
    say_uncertainty(s, step->ph_uncertainty);
    if (cooled) {
        mdr_sentence_add(s, " cooled to %.0f\u00a0\u00b0C", MDR_PLAN_COLD_C);
    } else if (step->asked->check.kind == MDR_CHECK_PH) {
        mdr_sentence_add(s, " in the bath");
    }
}

void mdr_words_expected(const mdr_plan *plan, const mdr_plan_bath *bath, const mdr_plan_step *step,
                        char out[MDR_WORDS_MAX])
{
    mdr_sentence s = mdr_sentence_begin(out);
    switch (step->asked->check.kind) {
    case MDR_CHECK_PH:
    case MDR_CHECK_CORE_PH:
        expect_ph(&s, plan, step);
        break;
    case MDR_CHECK_PEROXIDE:
        say_trace(&s, plan, "Expect", step->peroxide_mg_per_l, "mg/L");
        break;
    case MDR_CHECK_HARDNESS:
        say_trace(&s, plan, "Expect", bath->hardness_total_dh, "\u00b0dH");
        break;
    case MDR_CHECK_REDUCTION:
    case MDR_CHECK_REDOX:
        say_reserve(&s, plan, bath, step);
        break;
    case MDR_CHECK_ABSORBENCY:
    case MDR_CHECK_WHITENESS:
    case MDR_CHECK_WEIGHT_LOSS:
    case MDR_CHECK_LEVEL:
    case MDR_CHECK_SHADE:
    case MDR_CHECK_SALT:
    case MDR_CHECK_WASH_OFF:
    case MDR_CHECK_MOISTURE:
    case MDR_CHECK_SAMPLE:
        break;
    }
}

void mdr_words_after(const mdr_plan *plan, const mdr_plan_bath *bath, const mdr_plan_step *step,
                     char out[MDR_WORDS_MAX])
{
    mdr_sentence s = mdr_sentence_begin(out);
    const mdr_step_kind kind = step->asked->kind;
    const bool alkali =
        mdr_plan_step_gives(step, MDR_SUB_NAOH) || mdr_plan_step_gives(step, MDR_SUB_NA2CO3);
    if (kind == MDR_STEP_DOSE && alkali && step->ph != MDR_FIG_NONE) {
        mdr_sentence_add(&s, "Ends at pH\u00a0");
        mdr_sentence_number(&s, value(plan, step->ph), 1, 1, "");
        say_uncertainty(&s, step->ph_uncertainty);
    }
    if (kind == MDR_STEP_DOSE || kind == MDR_STEP_HOLD) {
        say_reserve(&s, plan, bath, step);
    }
}
