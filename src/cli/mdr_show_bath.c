#include <stdio.h>
#include <string.h>

#include "cli/mdr_show.h"
#include "core/plan/mdr_say.h"

/* Columns of the table of steps: start, minutes, step, temperature, what to do, kg. */
enum { WHAT_AT = 37, WHAT_WIDE = 46, KG_WIDE = 11 };

static double value(const mdr_plan *plan, mdr_fig_id id)
{
    return mdr_fig_value(&plan->figs, id);
}

static const char *short_kind(mdr_step_kind kind)
{
    return kind == MDR_STEP_RINSE ? "Rinse" : mdr_step_kind_words(kind);
}

static void temps(const mdr_plan *plan, const mdr_plan_step *s, char *out, size_t size)
{
    char a[32];
    char b[32];
    (void)mdr_text_number(value(plan, s->temp_start_c), 0, a);
    (void)mdr_text_number(value(plan, s->temp_end_c), 0, b);
    if (s->temp_end_c == MDR_FIG_NONE) {
        out[0] = '\0';
    } else if (s->temp_start_c == MDR_FIG_NONE || strcmp(a, b) == 0) {
        (void)snprintf(out, size, "%s", b);
    } else {
        (void)snprintf(out, size, "%s > %s", a, b);
    }
}

static void say_limits(const mdr_route_check *k, char *out, size_t size)
{
    char low[32];
    char high[32];
    (void)mdr_text_number(k->low, 2, low);
    (void)mdr_text_number(k->high, 2, high);
    const char *unit = mdr_check_unit(k->kind);
    if (strcmp(unit, "pH") == 0) {
        unit = ""; /* what is measured says it already: "pH of the bath 6 to 6.5" */
    }
    const char *gap = unit[0] != '\0' ? " " : "";
    if (k->has_low && k->has_high) {
        (void)snprintf(out, size, "%s to %s%s%s", low, high, gap, unit);
    } else if (k->has_low) {
        (void)snprintf(out, size, "at least %s%s%s", low, gap, unit);
    } else if (k->has_high) {
        (void)snprintf(out, size, "at most %s%s%s", high, gap, unit);
    } else {
        out[0] = '\0';
    }
}

static void say_check(const mdr_route_check *k, const char *expected, char *out, size_t size)
{
    char limits[80];
    const bool expects = expected[0] != '\0';
    const char *gap = k->method[0] == '\0' ? "" : expects ? "; " : ", ";
    say_limits(k, limits, sizeof limits);
    (void)snprintf(out, size, "%s%s%s%s%s%s%s; if not: %s%s%s", mdr_check_words(k->kind),
                   limits[0] != '\0' ? " " : "", limits, expects ? ", " : "", expected, gap,
                   k->method, mdr_on_fail_words(k->on_fail), k->remedy[0] != '\0' ? ": " : "",
                   k->remedy);
}

static void say_dose(const mdr_plan *plan, const mdr_plan_step *s, char *out, size_t size)
{
    char share[48] = "";
    char loads[64] = "";
    const double n = value(plan, s->tank_loads);
    if (s->asked->share_pct < 100) {
        char number[32];
        (void)snprintf(share, sizeof share, "%s %% of it, ",
                       mdr_text_number(s->asked->share_pct, 1, number));
    }
    if (s->tank_loads != MDR_FIG_NONE && n > 0) {
        (void)snprintf(loads, sizeof loads, ", %.0f tank load%s", n, n > 1.5 ? "s" : "");
    }
    (void)snprintf(out, size, "%s%s%s%s", share, mdr_curve_words(s->asked->curve), loads,
                   s->beside ? ", beside what follows" : "");
}

static void say_volume(const mdr_plan *plan, mdr_fig_id id, const char *words, char *out,
                       size_t size)
{
    char litres[32];
    (void)snprintf(out, size, "%s L %s", mdr_text_whole(value(plan, id), litres), words);
}

static void append(char *out, size_t size, const char *more)
{
    const size_t n = strlen(out);
    if (more[0] != '\0' && n + 3 < size) {
        (void)snprintf(out + n, size - n, "%s%s", n > 0 ? "; " : "", more);
    }
}

/* What to do, in one line before wrapping. */
static void say_step(const mdr_plan *plan, const mdr_plan_bath *bath, const mdr_plan_step *s,
                     char *out, size_t size)
{
    char number[32];
    char chemistry[160];
    mdr_show_step_chemistry(plan, bath, s, chemistry, sizeof chemistry);
    out[0] = '\0';
    switch (s->asked->kind) {
    case MDR_STEP_FILL:
        (void)mdr_text_number(value(plan, s->water_temp_c), 0, number);
        say_volume(plan, s->volume_l, "fresh water", out, size);
        if (s->water_temp_c != MDR_FIG_NONE) {
            const size_t n = strlen(out);
            (void)snprintf(out + n, size - n, " at %s °C", number);
        }
        break;
    case MDR_STEP_DOSE:
        say_dose(plan, s, out, size);
        break;
    case MDR_STEP_HEAT:
    case MDR_STEP_COOL:
        if (s->asked->rate_c_per_min > 0) {
            (void)snprintf(out, size, "at %s °C/min",
                           mdr_text_number(s->asked->rate_c_per_min, 2, number));
        } else {
            (void)snprintf(out, size, "as fast as the machine can");
        }
        break;
    case MDR_STEP_CHECK:
        say_check(&s->asked->check, chemistry, out, size);
        break;
    case MDR_STEP_RINSE:
        say_volume(plan, s->volume_l, "through", out, size);
        break;
    case MDR_STEP_DRAIN:
        say_volume(plan, s->volume_l, "out", out, size);
        break;
    case MDR_STEP_LOAD:
    case MDR_STEP_HOLD:
    case MDR_STEP_UNLOAD:
        break;
    }
    if (s->asked->kind != MDR_STEP_CHECK) {
        append(out, size, chemistry);
    }
    append(out, size, s->asked->note);
}

/* The mass of such a product follows from what it is for, which is said instead. */
static bool is_need(mdr_basis basis)
{
    return basis != MDR_BASIS_G_PER_L && basis != MDR_BASIS_ML_PER_L &&
           basis != MDR_BASIS_PCT_OWF && basis != MDR_BASIS_KG_PER_LOAD &&
           basis != MDR_BASIS_TABLE && basis != MDR_BASIS_DYE_TABLE && basis != MDR_BASIS_RECIPE;
}

static void say_amount(const mdr_plan *plan, const mdr_plan_item *it, char *out, size_t size)
{
    char number[32];
    const mdr_route_item *asked = it->asked;
    if (asked->basis == MDR_BASIS_NEUTRALISE) {
        const double ph = asked->to_ph > 0.0 ? asked->to_ph : MDR_ROUTE_TO_PH;
        (void)snprintf(out, size, "to reach pH %s", mdr_text_number(ph, 2, number));
        return;
    }
    if (it->amount == MDR_FIG_NONE || is_need(asked->basis)) {
        (void)snprintf(out, size, "%s", mdr_basis_words(asked->basis));
        return;
    }
    const mdr_fig *f = mdr_fig_at(&plan->figs, it->amount);
    (void)snprintf(out, size, "%s %s%s", mdr_text_number(f->value, 3, number), f->unit,
                   asked->of_active ? " of 100 %" : "");
}

static void put_item(const mdr_plan *plan, const mdr_plan_item *it)
{
    char amount[64];
    char kg[32];
    char litres[48] = "";
    enum { AMOUNT_WIDE = 17 };
    say_amount(plan, it, amount, sizeof amount);
    const int columns = mdr_text_columns(amount);
    const int wide = columns > AMOUNT_WIDE ? columns : AMOUNT_WIDE;
    (void)printf("%*s", WHAT_AT, "");
    mdr_text_pad(it->material->name, WHAT_WIDE - wide - 1);
    (void)putchar(' ');
    mdr_text_pad(amount, wide);
    (void)snprintf(litres, sizeof litres, "%s kg", mdr_text_kg(value(plan, it->mass_kg), kg));
    mdr_text_pad(litres, -(KG_WIDE + 1));
    (void)putchar('\n');
}

static void put_step(const mdr_plan *plan, const mdr_plan_bath *bath, const mdr_plan_step *s)
{
    char clock[32];
    char number[32];
    char temp[72];
    char what[720];
    temps(plan, s, temp, sizeof temp);
    say_step(plan, bath, s, what, sizeof what);
    (void)printf("  %6s %5s  ", mdr_text_clock(value(plan, s->start_min), clock),
                 mdr_text_number(value(plan, s->minutes), 0, number));
    mdr_text_pad(short_kind(s->asked->kind), 8);
    (void)putchar(' ');
    if (what[0] == '\0') {
        (void)puts(temp);
    } else {
        mdr_text_pad(temp, WHAT_AT - 25);
        mdr_text_wrap(what, WHAT_AT, MDR_TERM_WIDTH - WHAT_AT);
    }
    for (int i = 0; i < s->n_items; i++) {
        put_item(plan, &s->items[i]);
    }
}

static void put_balance(const mdr_plan *plan, const mdr_plan_bath *b, const mdr_term *t)
{
    char a[32];
    char f[32];
    char d[32];
    char e[32];
    char line[240];
    if (b->final_l == MDR_FIG_NONE) {
        return;
    }
    (void)snprintf(
        line, sizeof line, "  liquor: %s %s L + fresh %s L + with the doses %s L = %s L\n",
        b->continues ? "stays" : "in the fabric", mdr_text_whole(value(plan, b->carried_l), a),
        mdr_text_whole(value(plan, b->fill_l), f), mdr_text_whole(value(plan, b->additions_l), d),
        mdr_text_whole(value(plan, b->final_l), e));
    mdr_term_put(t, MDR_TINT_FAINT, line);
}

static void put_chemistry(const mdr_plan *plan, const mdr_plan_bath *b)
{
    enum { INDENT = 13 };
    char line[240];
    mdr_show_bath_chemistry(plan, b, line, sizeof line);
    if (line[0] != '\0') {
        (void)fputs("  chemistry: ", stdout);
        mdr_text_wrap(line, INDENT, MDR_TERM_WIDTH - INDENT);
    }
}

void mdr_show_bath(const mdr_plan *plan, const mdr_plan_bath *b, const mdr_term *t)
{
    char from[32];
    char to[32];
    char head[320];
    (void)snprintf(head, sizeof head, "\nBath %d  %s  (%s)   %s - %s\n", b->number, b->asked->name,
                   b->stage->name, mdr_text_clock(value(plan, b->start_min), from),
                   mdr_text_clock(value(plan, b->end_min), to));
    mdr_term_put(t, MDR_TINT_STRONG, head);
    put_balance(plan, b, t);
    put_chemistry(plan, b);
    for (int i = 0; i < b->n_steps; i++) {
        put_step(plan, b, &b->steps[i]);
    }
}
