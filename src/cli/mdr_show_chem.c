/* What the chemistry of the plan predicts, in the words of the batch card, for a terminal. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "cli/mdr_show.h"

static double value(const mdr_plan *plan, mdr_fig_id id)
{
    return mdr_fig_value(&plan->figs, id);
}

/* What follows a comma when something stands before. */
static void add(char *out, size_t size, const char *fmt, ...) MDR_PRINTF(3, 4);
static void add(char *out, size_t size, const char *fmt, ...)
{
    const size_t n = strlen(out);
    va_list ap;
    if (n + 3 >= size) {
        return;
    }
    const int gap = n > 0 ? snprintf(out + n, size - n, ", ") : 0;
    va_start(ap, fmt);
    (void)vsnprintf(out + n + gap, size - n - (size_t)gap, fmt, ap);
    va_end(ap);
}

/* One decimal; what is there, but would print as 0, is "under 0.1". */
static const char *trace(double v, char out[32])
{
    static const double NOTHING = 1e-6, SHOWN = 0.05, WHOLE = 10.0;
    if (v > NOTHING && v < SHOWN) {
        (void)snprintf(out, 32, "under 0.1");
        return out;
    }
    return mdr_text_number(v > NOTHING ? v : 0.0, v < WHOLE ? 1 : 0, out);
}

/* Up to the next tenth, so that it never claims more than is known. */
static double tenths_up(double v)
{
    return ceil(v * 10.0 - 1e-9) / 10.0;
}

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

static void say_ph(const mdr_plan *plan, const mdr_plan_bath *b, char *out, size_t size)
{
    const double start = value(plan, b->ph_start), end = value(plan, b->ph_end);
    const double off = tenths_up(uncertainty_at_the_end(b));
    const bool same = lround(start * 10.0) == lround(end * 10.0); /* as far as it is printed */
    if (!same && b->ph_start != MDR_FIG_NONE && b->ph_end != MDR_FIG_NONE) {
        add(out, size, "pH %.1f > %.1f +- %.1f", start, end, off);
    } else if (b->ph_end != MDR_FIG_NONE) {
        add(out, size, "pH %.1f +- %.1f", end, off);
    } else if (b->ph_start != MDR_FIG_NONE) {
        add(out, size, "pH %.1f filled", start);
    }
}

void mdr_show_bath_chemistry(const mdr_plan *plan, const mdr_plan_bath *b, char *out, size_t size)
{
    char n[32];
    out[0] = '\0';
    say_ph(plan, b, out, size);
    if (b->hardness_dh != MDR_FIG_NONE && mdr_plan_bath_gives_dye(b)) {
        add(out, size, "free hardness %s dH", trace(value(plan, b->hardness_dh), n));
    }
    if (b->electrolyte_g_per_l != MDR_FIG_NONE && mdr_plan_bath_soaps(&plan->figs, b)) {
        add(out, size, "begins with salt and alkali %s g/L",
            trace(value(plan, b->electrolyte_g_per_l), n));
    }
    if (b->peroxide_mg_per_l != MDR_FIG_NONE && mdr_plan_bath_gives(b, MDR_SUB_H2O2)) {
        add(out, size, "peroxide left %s mg/L", trace(value(plan, b->peroxide_mg_per_l), n));
    }
    if (b->dithionite_g_per_l != MDR_FIG_NONE && mdr_plan_bath_gives(b, MDR_SUB_DITHIONITE)) {
        add(out, size, "dithionite left %s g/L", trace(value(plan, b->dithionite_g_per_l), n));
    }
    if (mdr_plan_bath_last_loose(plan, b)) {
        add(out, size, "loose dye left %s mg/kg", trace(value(plan, b->loose_mg_per_kg), n));
    }
}

static void say_reserve(const mdr_plan *plan, const mdr_plan_bath *b, const mdr_plan_step *s,
                        char *out, size_t size)
{
    char n[32];
    if (s->dithionite_g_per_l != MDR_FIG_NONE && mdr_plan_bath_gives(b, MDR_SUB_DITHIONITE)) {
        add(out, size, "reduction reserve %s g/L", trace(value(plan, s->dithionite_g_per_l), n));
    }
}

static void expect_ph(const mdr_plan *plan, const mdr_plan_step *s, char *out, size_t size)
{
    char how[40] = "";
    const mdr_route_check *check = &s->asked->check;
    const mdr_fig_id ph = check->cooled ? s->ph_cold : s->ph;
    if (ph == MDR_FIG_NONE) {
        return;
    }
    if (check->cooled) {
        (void)snprintf(how, sizeof how, " cooled to %.0f °C", MDR_PLAN_COLD_C);
    } else if (check->kind == MDR_CHECK_PH) {
        (void)snprintf(how, sizeof how, " in the bath");
    }
    add(out, size, "expect %.1f +- %.1f%s", value(plan, ph), tenths_up(s->ph_uncertainty), how);
}

static void expect(const mdr_plan *plan, const mdr_plan_bath *b, const mdr_plan_step *s, char *out,
                   size_t size)
{
    char n[32];
    const mdr_route_check *check = &s->asked->check;
    if (check->kind == MDR_CHECK_PH || check->kind == MDR_CHECK_CORE_PH) {
        expect_ph(plan, s, out, size);
    } else if (check->kind == MDR_CHECK_PEROXIDE && s->peroxide_mg_per_l != MDR_FIG_NONE) {
        add(out, size, "expect %s mg/L", trace(value(plan, s->peroxide_mg_per_l), n));
    } else if (check->kind == MDR_CHECK_HARDNESS && b->hardness_total_dh != MDR_FIG_NONE) {
        add(out, size, "expect %s dH", trace(value(plan, b->hardness_total_dh), n));
    } else if (check->kind == MDR_CHECK_REDUCTION || check->kind == MDR_CHECK_REDOX) {
        say_reserve(plan, b, s, out, size);
    }
}

void mdr_show_step_chemistry(const mdr_plan *plan, const mdr_plan_bath *b, const mdr_plan_step *s,
                             char *out, size_t size)
{
    const mdr_step_kind kind = s->asked->kind;
    out[0] = '\0';
    if (kind == MDR_STEP_CHECK) {
        expect(plan, b, s, out, size);
        return;
    }
    const bool alkali =
        mdr_plan_step_gives(s, MDR_SUB_NAOH) || mdr_plan_step_gives(s, MDR_SUB_NA2CO3);
    if (kind == MDR_STEP_DOSE && alkali && s->ph != MDR_FIG_NONE) {
        add(out, size, "ends at pH %.1f +- %.1f", value(plan, s->ph), tenths_up(s->ph_uncertainty));
    }
    if (kind == MDR_STEP_DOSE || kind == MDR_STEP_HOLD) {
        say_reserve(plan, b, s, out, size);
    }
}
