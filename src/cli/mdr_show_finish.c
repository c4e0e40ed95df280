/* The finishing of a lot in the terminal: what to set, and what to measure behind each pass. */
#include <stdio.h>

#include "cli/mdr_show.h"

static double value(const mdr_plan *plan, mdr_fig_id id)
{
    return mdr_fig_value(&plan->figs, id);
}

static void put(const mdr_plan *plan, mdr_fig_id id, const char *before, int decimals,
                const char *after)
{
    if (id != MDR_FIG_NONE) {
        (void)printf("%s%.*f%s", before, decimals, value(plan, id), after);
    }
}

static void put_fabric(const mdr_plan *plan, const mdr_plan_finish *f)
{
    (void)printf("  Fully relaxed: ");
    put(plan, f->relaxed_width_cm, "", 1, " cm, ");
    put(plan, f->relaxed_gsm, "", 1, " g/m2, ");
    put(plan, f->relaxed_courses_per_cm, "", 2, " courses/cm");
    (void)printf(" (%s", mdr_relaxed_from_words(f->from));
    if (f->n_samples > 0) {
        (void)printf(", %d", f->n_samples);
    }
    (void)printf(")\n  Aim at: ");
    put(plan, f->aim_width_cm, "", 1, " cm, ");
    put(plan, f->aim_gsm, "", 1, " g/m2, ");
    put(plan, f->aim_courses_per_cm, "", 2, " courses/cm; left to shrink ");
    put(plan, f->aim_length_pct, "", 1, " % in length, ");
    put(plan, f->aim_across_pct, "", 1, " % in width\n");
}

static void put_pass(const mdr_plan *plan, const mdr_plan_pass *pass, const mdr_term *t)
{
    (void)printf("  %s. ", pass->number);
    mdr_term_put(t, MDR_TINT_STRONG, mdr_route_pass_words(pass->asked->kind));
    if (pass->machine != NULL) {
        (void)printf(" on %s, %s", pass->machine->finisher_id, pass->machine->name);
    }
    (void)putchar('\n');
    if (pass->shapes) {
        (void)printf("     set:    ");
        put(plan, pass->overfeed_pct, "overfeed ", 1, " %");
        put(plan, pass->length_loss_pct, " (", 1, " % of length)");
        put(plan, pass->set_layflat_cm != MDR_FIG_NONE ? pass->set_layflat_cm : pass->set_width_cm,
            pass->set_layflat_cm != MDR_FIG_NONE ? ", flat width " : ", width ", 1, " cm");
        put(plan, pass->temp_c, ", ", 0, " °C");
        put(plan, pass->dwell_s, " for ", 0, " s");
        put(plan, pass->speed_m_per_min, ", ", 1, " m/min");
        put(plan, pass->minutes, ", ", 0, " min");
        (void)putchar('\n');
    }
    (void)printf("     behind: ");
    put(plan, pass->layflat_cm != MDR_FIG_NONE ? pass->layflat_cm : pass->width_cm, "", 1,
        pass->layflat_cm != MDR_FIG_NONE ? " cm flat" : " cm");
    put(plan, pass->courses_per_cm, ", ", 2, " courses/cm");
    put(plan, pass->moisture_pct, ", moisture ", 0, " %");
    put(plan, pass->wet_gsm, ",\n             ", 1, " g/m2 as it is");
    put(plan, pass->conditioned_gsm, ", ", 1, " conditioned");
    put(plan, pass->length_m, ", ", 0, " m\n");
    if (pass->read != NULL) {
        (void)printf("     read:   %.1f cm%s, %.2f courses/cm, moisture %.0f %%",
                     pass->read->lies_cm, pass->layflat_cm != MDR_FIG_NONE ? " flat" : "",
                     pass->read->courses_per_cm, pass->read->moisture_pct);
        put(plan, pass->weighed_off_pct, ", weighed ", 1, " % off what the counts say");
        (void)putchar('\n');
    }
    if (pass->asked->note[0] != '\0') {
        (void)printf("     ");
        mdr_text_wrap(pass->asked->note, 5, MDR_TERM_WIDTH - 5);
    }
}

static void put_outcome(const mdr_plan *plan, const mdr_plan_finish *f, const mdr_term *t)
{
    (void)printf("  Ends with:\n");
    for (int i = 0; i < MDR_DEMAND_COUNT; i++) {
        const mdr_plan_outcome *o = &f->outcome[i];
        const char *unit = mdr_plan_demand_unit((mdr_plan_demand)i);
        (void)printf("     ");
        mdr_text_pad(mdr_plan_demand_words((mdr_plan_demand)i), 26);
        if (o->value == MDR_FIG_NONE) {
            (void)printf("not known");
        } else {
            (void)printf("%.1f %s", value(plan, o->value), unit);
        }
        (void)printf(", allowed %.1f to %.1f: ", o->low, o->high);
        if (o->value == MDR_FIG_NONE) {
            (void)printf("measure it\n");
        } else if (o->off < 0.0 || o->off > 0.0) {
            mdr_term_put(t, MDR_TINT_WARN, "off");
            (void)printf(" by %.1f %s\n", o->off < 0.0 ? -o->off : o->off, unit);
        } else {
            (void)printf("met\n");
        }
    }
}

void mdr_show_finish(const mdr_plan *plan, const mdr_term *t)
{
    const mdr_plan_finish *f = plan->finish;
    if (f == NULL) {
        return;
    }
    mdr_term_put(t, MDR_TINT_STRONG, "\nFinishing\n");
    put_fabric(plan, f);
    for (int i = 0; i < f->n_passes; i++) {
        put_pass(plan, &f->passes[i], t);
    }
    put_outcome(plan, f, t);
    put(plan, f->minutes, "  Together ", 0, " min");
    put(plan, f->evaporated_kg, ", ", 0, " kg of water evaporated");
    put(plan, f->heat_mj, ", ", 0, " MJ of heat");
    put(plan, f->power_kwh, ", ", 0, " kWh\n");
}

void mdr_show_finish_alone(const mdr_plan *plan, mdr_arena *arena, const mdr_term *t)
{
    (void)printf("%s, %s: %s\n", plan->lot->lot_id, plan->lot->article->article_id,
                 plan->lot->article->name);
    if (plan->finish == NULL) {
        (void)printf("There is nothing to finish: the route has no passes, or the article lacks "
                     "what it takes.\n");
    }
    mdr_show_warnings(plan, true, arena, t);
    mdr_show_finish(plan, t);
}
