/* A lot's dyeing in the terminal: programme, uptake over time, verdicts, what if. */
#include <stdio.h>
#include <string.h>

#include "cli/mdr_cmd_simulate.h"

enum { NAME_WIDE = 44, ROWS = 12 };

static void title(const mdr_term *t, const char *text)
{
    (void)putchar('\n');
    mdr_term_put(t, MDR_TINT_STRONG, text);
    (void)putchar('\n');
}

static void put_head(const mdr_dyeing_out *o, const mdr_term *t)
{
    const mdr_dyeing_rope *r = &o->rope;
    char line[160];
    (void)snprintf(line, sizeof line, "%s  bath %d, %s", o->plan->lot->lot_id,
                   o->planned->bath->number, o->planned->bath->asked->name);
    mdr_term_put(t, MDR_TINT_STRONG, line);
    (void)printf("\n  %.0f min (planned %.0f) from minute %.0f of the lot, rope %.0f m/min\n",
                 o->result.course.minutes, o->minutes_planned, o->planned->start_min,
                 o->study->programme.speed_m_per_min);
    (void)printf("  %.0f kg in %d rope%s, turn %.2f min; held %.1f L/kg", r->load_kg, r->tubes,
                 r->tubes == 1 ? "" : "s", o->result.rope.cycle_min, r->held_l_per_kg);
    if (r->flow_l_per_min > 0.0) {
        (void)printf("; bath turns in %.2f min", o->planned->programme.conc_l / r->flow_l_per_min);
    }
    (void)putchar('\n');
}

static void put_programme(const mdr_dyeing_out *o, const mdr_term *t)
{
    title(t, "Programme");
    (void)printf("  step  ");
    mdr_text_pad("what", NAME_WIDE);
    (void)printf("%8s %8s %7s\n", "from", "min", "degC");
    for (int i = 0; i < o->study->programme.n_steps; i++) {
        const mdr_dye_step *s = &o->study->programme.steps[i];
        const mdr_dye_time *at = &o->times[i];
        (void)printf("  %4d  ", s->number);
        mdr_text_pad(o->step_words[i], NAME_WIDE);
        (void)printf("%8.1f %8.1f %7.0f%s%s\n", at->start_min, at->end_min - at->start_min,
                     at->to_c, s->beside ? "  beside" : "", o->changed[i] ? "  changed" : "");
    }
}

static void put_course(const mdr_dyeing_out *o, const mdr_term *t)
{
    const mdr_dyeing *d = o->result.dyeing;
    title(t, "On the fibre, % of the dye");
    (void)printf("  %6s", "min");
    for (int i = 0; i < d->n_dyes; i++) {
        (void)printf(" %8.8s", o->dyes[i].material->material_id);
    }
    (void)printf("  %7s %7s %6s\n", "strike", "spread", "dE");
    for (int row = 0; row <= ROWS; row++) {
        const int k = row * (d->n_samples - 1) / ROWS;
        (void)printf("  %6.0f", d->t_min[k]);
        for (int i = 0; i < d->n_dyes; i++) {
            (void)printf(" %8.1f", 100.0 * d->on_fibre[(size_t)k * (size_t)d->n_dyes + (size_t)i]);
        }
        (void)printf("  %7.2f", o->strike_pct[k]);
        if (o->spread_pct[k] >= 0.0) {
            (void)printf(" %7.1f %6.2f\n", o->spread_pct[k], o->de[k]);
        } else {
            (void)printf(" %7s %6s\n", "-", "-");
        }
    }
    (void)puts("  strike: fastest dye, % per contact; spread: (most - least)/mean, %; dE: from the "
               "mean");
}

static void put_dyes(const mdr_dyeing_out *o, const mdr_term *t)
{
    title(t, "Dyes, % of what is given");
    (void)printf("  ");
    mdr_text_pad("", 30);
    (void)printf("%7s %7s %7s %7s %7s %7s  %s\n", "before", "on", "fixed", "loose", "left", "T50",
                 "rates");
    for (int i = 0; i < o->result.answers.n_dyes; i++) {
        const mdr_dye_answer *a = &o->result.answers.dyes[i];
        (void)printf("  ");
        mdr_text_pad(o->dyes[i].material->name, 30);
        if (a->before_alkali_pct >= 0.0) {
            (void)printf("%7.1f", a->before_alkali_pct);
        } else {
            (void)printf("%7s", "-");
        }
        (void)printf(" %7.1f", a->exhaustion_pct);
        if (o->has_loose) {
            (void)printf(" %7.1f %7.1f", a->fixation_pct, a->loose_pct);
        } else {
            (void)printf(" %7s %7s", "-", "-");
        }
        (void)printf(" %7.1f %7.0f  %s\n", a->left_pct, a->half_min, o->dyes[i].rates.id);
    }
}

static void sentence(const mdr_term *t, const char *label, const char *words, bool bad)
{
    (void)printf("  ");
    mdr_term_put(t, bad ? MDR_TINT_WARN : MDR_TINT_STRONG, label);
    (void)printf(": ");
    mdr_text_wrap(words, 4, MDR_TERM_WIDTH - 4 - (int)strlen(label));
}

static void put_times(const mdr_dyeing_out *o)
{
    char line[200];
    int n = snprintf(line, sizeof line, "dE from the mean: at the end %.2f", o->end.de_most);
    if (o->has_fixing) {
        n += snprintf(line + n, sizeof line - (size_t)n,
                      "; while dye is being fixed %.2f (minute %.0f)", o->fixing.de_most,
                      o->fixing.at_min);
    }
    if (o->has_peak) {
        (void)snprintf(line + n, sizeof line - (size_t)n, "; peak %.2f (minute %.0f)",
                       o->peak.de_most, o->peak.at_min);
    }
    (void)printf("    ");
    mdr_text_wrap(line, 4, MDR_TERM_WIDTH - 4);
}

static void put_verdicts(const mdr_dyeing_out *o, const mdr_term *t)
{
    title(t, "Verdicts");
    sentence(t, "Strike", o->strike.words, strcmp(o->strike.id, "over") == 0);
    sentence(t, "Levelness", o->level.words, strcmp(o->level.id, "level") != 0);
    (void)printf("    at the end: along a rope %.1f %%, between ropes %.1f %%",
                 o->end.even.along_pct, o->end.even.between_pct);
    if (o->has_before) {
        (void)printf("; before the alkali %.1f %% and %.1f %%", o->before.even.along_pct,
                     o->before.even.between_pct);
    }
    (void)putchar('\n');
    put_times(o);
    (void)printf("    ");
    mdr_text_wrap(o->judged_words, 4, MDR_TERM_WIDTH - 4);
    sentence(t, "Tone", o->tone.words, strcmp(o->tone.id, "apart") == 0);
    if (o->has_loose) {
        sentence(t, "Wash-off", o->wash_off_words, o->baths_needed > o->baths_planned);
    }
    sentence(t, "Colour", o->colour_words, false);
}

/* As it is printed: nothing has no sign. */
static double shown(double difference)
{
    static const double LEAST = 0.005; /* of two decimals */
    return difference > -LEAST && difference < LEAST ? 0.0 : difference;
}

static void put_effects(const mdr_dyeing_out *o, const mdr_term *t)
{
    if (o->effects == NULL) {
        return;
    }
    title(t, "When something is off (differences)");
    (void)printf("  ");
    mdr_text_pad("", 28);
    (void)printf("%9s %9s %9s %9s %9s\n", "fixed %", "dE", "dL", "level dE", "strike");
    for (int i = 0; i < o->n_effects; i++) {
        const mdr_dyeing_effect *e = &o->effects[i];
        (void)printf("  ");
        mdr_text_pad(mdr_mishap_words(e->mishap), 28);
        if (o->has_loose) {
            (void)printf("%9.2f", shown(e->fixation_pct));
        } else {
            (void)printf("%9s", "-");
        }
        (void)printf(" %9.2f %9.2f %9.2f %9.2f\n", e->de, shown(e->dl), shown(e->de_most),
                     shown(e->strike_pct));
    }
}

static void put_margin(const mdr_dyeing_out *o, const mdr_term *t)
{
    const mdr_dyeing_margin *m = o->margin;
    if (m == NULL) {
        return;
    }
    title(t, "How sure, with the rates as they are known");
    if (o->has_loose) {
        (void)printf("  fixed %.0f to %.0f %%; ", m->fixation_pct[0], m->fixation_pct[1]);
    } else {
        (void)printf("  ");
    }
    (void)printf("levelness dE %.2f to %.2f; strike %.2f to %.2f %% per contact; shade dE %.1f\n",
                 m->de_most[0], m->de_most[1], m->strike_pct[0], m->strike_pct[1], m->de_shade);
}

void mdr_show_dyeing(const mdr_dyeing_out *o, const mdr_term *t)
{
    if (o->planned->missing != MDR_DYEING_IS_THERE) {
        (void)puts(mdr_no_dyeing_words(o->planned->missing));
        return;
    }
    put_head(o, t);
    put_programme(o, t);
    put_course(o, t);
    put_dyes(o, t);
    put_verdicts(o, t);
    put_effects(o, t);
    put_margin(o, t);
    title(t, "Notes");
    for (int i = 0; i < o->n_notes; i++) {
        (void)printf("  ");
        mdr_text_wrap(o->notes[i], 4, MDR_TERM_WIDTH - 2);
    }
}
