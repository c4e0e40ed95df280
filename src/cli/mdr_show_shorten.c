/* The search for a shorter dyeing in the terminal: the trade-off, and the wanted programme step by
 * step. */
#include <stdio.h>

#include "cli/mdr_cmd_simulate.h"

enum { NAME_WIDE = 40, WHY_AT = 65 }; /* columns */

static void title(const mdr_term *t, const char *text)
{
    (void)putchar('\n');
    mdr_term_put(t, MDR_TINT_STRONG, text);
    (void)putchar('\n');
}

static const char *standing(const mdr_shorten_point *p)
{
    return p->kept         ? p->less_level ? "within the limits" : "within, level as now"
           : p->less_level ? "passes the limits"
                           : "level as now, not within";
}

static void put_row(const mdr_shorten_answer *a, const mdr_dye_effect *e, double speed,
                    const char *words)
{
    /* a colour difference of two decimals would be 0.00 all the way down */
    (void)printf("%8.0f %10.2f %9.3f %9.3f %9.3f %7.0f  %s\n", e->minutes,
                 e->strike_pct_per_contact, a->de_per_spread * e->spread_before,
                 a->de_per_spread * e->spread_fixing, a->de_per_spread * e->spread_end, speed,
                 words);
}

static void put_trade(const mdr_shorten_answer *a, const mdr_term *t)
{
    const mdr_shorten_out *o = a->out;
    title(t, "Minutes against unlevelness");
    (void)printf("       %8s %10s %9s %9s %9s %7s\n", "min", "%/contact", "dE before", "fixing",
                 "dE end", "m/min");
    (void)printf("  now  ");
    put_row(a, &o->base, a->in->base->speed_m_per_min,
            o->base_kept ? "within the limits" : "passes the limits");
    for (int i = 0; i < o->n_points; i++) {
        (void)printf("  %s%-4d ", i == o->wanted ? ">" : " ", i + 1);
        put_row(a, &o->points[i].effect, o->points[i].programme.speed_m_per_min,
                standing(&o->points[i]));
    }
    (void)printf(
        "  limits: %.2f %% per contact, dE %.2f CMC(2:1) (%.1f %% spread), %.2f while dye is being "
        "fixed\n",
        a->in->strike_limit_pct, a->de_limit, 100.0 * a->in->spread_limit, a->fixing_limit_de);
}

static void put_steps(const mdr_shorten_answer *a, int at, const mdr_term *t)
{
    const mdr_shorten_offer *o = &a->offers[at];
    const mdr_dye_programme *p = &o->point->programme;
    mdr_dye_time now[MDR_DYE_STEPS_MAX];
    (void)mdr_dye_programme_times(p, now);
    char line[80];
    (void)snprintf(line, sizeof line, "Programme %d, step by step", at + 1);
    title(t, line);
    for (int i = 0; i < p->n_steps; i++) {
        const mdr_dye_time *was = &a->dyeing->times[i];
        (void)printf("  %4d  ", p->steps[i].number);
        mdr_text_pad(a->dyeing->step_words[i], NAME_WIDE);
        (void)printf("%7.1f (%5.1f)  ", now[i].end_min - now[i].start_min,
                     was->end_min - was->start_min);
        mdr_text_wrap(o->why_words[i], WHY_AT, MDR_TERM_WIDTH - WHY_AT);
    }
    for (int i = 0; i < o->n_changes; i++) {
        (void)printf("  - ");
        mdr_text_wrap(o->changes[i], 4, MDR_TERM_WIDTH - 4);
    }
}

void mdr_show_shorten(const mdr_shorten_answer *a, const mdr_term *t)
{
    const mdr_no_dyeing missing = a->dyeing->planned->missing;
    if (missing != MDR_DYEING_IS_THERE) {
        (void)printf("%s\n", mdr_no_dyeing_words(missing));
        return;
    }
    (void)printf("%s: %s\n", a->dyeing->plan->lot->lot_id, a->words);
    put_trade(a, t);
    const int shown = a->out->wanted >= 0 ? a->out->wanted : a->out->as_level;
    if (shown >= 0) {
        put_steps(a, shown, t);
    }
    (void)putchar('\n');
    for (int i = 0; i < a->n_notes; i++) {
        (void)printf("  ");
        mdr_text_wrap(a->notes[i], 2, MDR_TERM_WIDTH - 2);
    }
}
