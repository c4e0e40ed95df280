#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/mdr_show.h"
#include "core/plan/mdr_say.h"

static double value(const mdr_plan *plan, mdr_fig_id id)
{
    return mdr_fig_value(&plan->figs, id);
}

static void put_headline(const mdr_plan *plan, const mdr_term *t)
{
    const mdr_lot *lot = plan->lot;
    char line[600], depth[48] = "";
    char number[32];
    if (plan->depth_pct_owf != MDR_FIG_NONE && value(plan, plan->depth_pct_owf) > 0) {
        (void)snprintf(depth, sizeof depth, ", %s %% owf",
                       mdr_text_number(value(plan, plan->depth_pct_owf), 3, number));
    }
    mdr_term_put(t, MDR_TINT_STRONG, lot->lot_id);
    (void)printf("  order %s, %s%s\n", lot->order_id, lot->customer,
                 plan->site->invented ? "   (invented demo data)" : "");
    (void)printf("  %s, %s%s\n", lot->article->name, lot->shade->name, depth);
    (void)snprintf(line, sizeof line, "on %s %s, by %s version %d: %s", plan->machine->machine_id,
                   plan->machine->name, plan->route->route_id, plan->route->version,
                   plan->route->name);
    (void)printf("  ");
    mdr_text_wrap(line, 2, MDR_TERM_WIDTH - 2);
}

/* One cell of the block of totals: label and figure. Width 0: the last of its line. */
static void cell(const char *label, const char *text, int width)
{
    (void)printf("  ");
    mdr_text_pad(label, 9);
    if (width == 0) {
        (void)puts(text);
    } else {
        mdr_text_pad(text, width - 11);
    }
}

static void put_sizes(const mdr_plan *plan)
{
    char a[80];
    char n[32];
    char m[32];
    (void)snprintf(a, sizeof a, "%s kg", mdr_text_number(value(plan, plan->load_kg), 1, n));
    cell("Load", a, 30);
    (void)snprintf(a, sizeof a, "1 : %s, %s L",
                   mdr_text_number(value(plan, plan->ratio_l_per_kg), 2, n),
                   mdr_text_whole(value(plan, plan->liquor_l), m));
    cell("Liquor", a, 32);
    (void)snprintf(a, sizeof a, "%s m in each tube", mdr_text_whole(value(plan, plan->rope_m), n));
    cell("Rope", a, 0);
    (void)snprintf(a, sizeof a, "%s h", mdr_text_clock(value(plan, plan->total_min), n));
    cell("Time", a, 30);
    (void)snprintf(a, sizeof a, "%s L, %s L/kg", mdr_text_whole(value(plan, plan->water_l), n),
                   mdr_text_number(value(plan, plan->water_l_per_kg), 1, m));
    cell("Water", a, 32);
    (void)snprintf(a, sizeof a, "%s min at %s m/min",
                   mdr_text_number(value(plan, plan->cycle_min), 2, n),
                   mdr_text_number(value(plan, plan->speed_m_per_min), 0, m));
    cell("Cycle", a, 0);
}

static void put_use(const mdr_plan *plan)
{
    char a[80];
    char n[32];
    char m[32];
    (void)snprintf(a, sizeof a, "%s kg", mdr_text_whole(value(plan, plan->steam_kg), n));
    cell("Steam", a, 30);
    (void)snprintf(a, sizeof a, "%s kg", mdr_text_number(value(plan, plan->chemicals_kg), 1, n));
    cell("Products", a, 32);
    (void)snprintf(a, sizeof a, "%.2f %s, %.2f/kg", value(plan, plan->cost_minor) / 100,
                   plan->site->currency, value(plan, plan->cost_minor_per_kg) / 100);
    cell("Cost", a, 0);
    (void)snprintf(m, sizeof m, "%.0f kWh", value(plan, plan->power_kwh));
    cell("Power", m, 0);
}

/* "Bath 5, step 3: ", or nothing when it is about the whole lot. */
static void say_place(const mdr_plan *plan, mdr_where at, char *out, size_t size)
{
    out[0] = '\0';
    if (at.bath < 1 || at.bath > plan->n_baths) {
        return;
    }
    const mdr_plan_bath *bath = &plan->baths[at.bath - 1];
    if (at.step >= 1 && at.step <= bath->n_steps) {
        char clock[32];
        const mdr_plan_step *step = &bath->steps[at.step - 1];
        (void)snprintf(out, size, "Bath %d %s, step %d at %s: ", at.bath, bath->asked->name,
                       at.step, mdr_text_clock(value(plan, step->start_min), clock));
    } else {
        (void)snprintf(out, size, "Bath %d %s: ", at.bath, bath->asked->name);
    }
}

void mdr_show_warnings(const mdr_plan *plan, bool of_finishing, mdr_arena *arena, const mdr_term *t)
{
    static const mdr_tint TINTS[] = {[MDR_SEV_NOTE] = MDR_TINT_FAINT,
                                     [MDR_SEV_WARNING] = MDR_TINT_WARN,
                                     [MDR_SEV_STOP] = MDR_TINT_STOP};
    static const char *const WORDS[] = {[MDR_SEV_NOTE] = "  note     ",
                                        [MDR_SEV_WARNING] = "! warning  ",
                                        [MDR_SEV_STOP] = "X STOP     "};
    for (int severity = MDR_SEV_STOP; severity >= MDR_SEV_NOTE; severity--) {
        for (int i = 0; i < plan->n_warns; i++) {
            const mdr_severity is = mdr_warn_severity(plan->warns[i].id);
            if ((int)is != severity ||
                (of_finishing && !mdr_warn_of_finishing(plan->warns[i].id))) {
                continue;
            }
            char place[300];
            say_place(plan, plan->warns[i].at, place, sizeof place);
            const char *said = mdr_say_warn(&plan->warns[i], arena);
            const char *text = said != NULL ? mdr_arena_printf(arena, "%s%s", place, said) : NULL;
            mdr_term_put(t, TINTS[is], WORDS[is]);
            mdr_text_wrap(text != NULL ? text : "no memory", 11, MDR_TERM_WIDTH - 11);
        }
    }
}

static void put_cautions(const mdr_plan *plan, const mdr_term *t)
{
    uint32_t all = 0;
    for (int b = 0; b < plan->n_baths; b++) {
        for (int s = 0; s < plan->baths[b].n_steps; s++) {
            all |= plan->baths[b].steps[s].cautions;
        }
    }
    if (all == 0) {
        return;
    }
    mdr_term_put(t, MDR_TINT_STRONG, "\nCautions\n");
    for (int i = 0; i < MDR_CAUTION_COUNT; i++) {
        if ((all & (1u << i)) != 0) {
            (void)printf("  - ");
            mdr_text_wrap(mdr_say_caution((mdr_caution)i), 4, MDR_TERM_WIDTH - 4);
        }
    }
}

static void put_totals(const mdr_plan *plan, const mdr_term *t)
{
    if (plan->n_totals == 0) {
        return;
    }
    mdr_term_put(t, MDR_TINT_STRONG, "\nTo weigh for the whole lot\n");
    for (int i = 0; i < plan->n_totals; i++) {
        const mdr_plan_total *x = &plan->totals[i];
        char kg[32];
        (void)printf("  ");
        mdr_text_pad(x->material->material_id, 14);
        (void)putchar(' ');
        mdr_text_pad(x->material->name, 34);
        (void)putchar(' ');
        mdr_text_pad(mdr_text_kg(value(plan, x->mass_kg), kg), -11);
        (void)printf(" kg\n");
    }
}

void mdr_show_plan(const mdr_plan *plan, mdr_arena *arena, const mdr_term *t)
{
    put_headline(plan, t);
    (void)putchar('\n');
    put_sizes(plan);
    put_use(plan);
    if (plan->n_warns > 0) {
        (void)putchar('\n');
        mdr_show_warnings(plan, false, arena, t);
    }
    (void)putchar('\n');
    mdr_show_curve(plan, t);
    for (int i = 0; i < plan->n_baths; i++) {
        mdr_show_bath(plan, &plan->baths[i], t);
    }
    put_totals(plan, t);
    mdr_show_finish(plan, t);
    put_cautions(plan, t);
    (void)printf("\nAny number can be asked why:  madder why %s total_min   (or b1.liquor_l, "
                 "b2.s3.i1.mass_kg)\n",
                 plan->lot->lot_id);
}
