#include <stdio.h>
#include <string.h>

#include "cli/mdr_show.h"

typedef struct walk {
    const mdr_plan *plan;
    const mdr_term *term;
    unsigned char *shown; /* by figure: already explained above */
} walk;

enum { LINE = 600 };

/* Where a figure is from that no rule made; "" for the others. */
static const char *input_of(const mdr_fig *f, bool shown, char out[LINE])
{
    out[0] = '\0';
    if (f->rule >= 0) {
        return shown ? "   (shown above)" : "";
    }
    if (strcmp(f->table, "const") == 0) {
        (void)snprintf(out, LINE, "   constant [%s]", f->record_id);
    } else {
        (void)snprintf(out, LINE, "   from %s%s%s, field %s", f->table,
                       f->record_id[0] != '\0' ? " " : "", f->record_id, f->field);
    }
    return out;
}

/* How deep a plan's chains go is bounded by its rules; this only bounds the indent. */
static int indent_of(int depth)
{
    return 2 * (depth < 12 ? depth : 12);
}

/* "Label  key = value unit   from ...": what does not fit the line stands on the next. */
static void put_figure(const walk *w, mdr_fig_id id, int depth)
{
    const mdr_fig *f = mdr_fig_at(&w->plan->figs, id);
    const int indent = indent_of(depth);
    char key[160], line[LINE], from[LINE];
    (void)mdr_fig_key(&w->plan->figs, id, key, sizeof key);
    (void)snprintf(line, sizeof line, "  %s = %.6g%s%s%s", key, f->value,
                   f->unit[0] != '\0' ? " " : "", f->unit, input_of(f, w->shown[id] != 0, from));
    (void)printf("%*s", indent, "");
    mdr_term_put(w->term, depth == 0 ? MDR_TINT_STRONG : MDR_TINT_NONE, f->label);
    if (indent + mdr_text_columns(f->label) + mdr_text_columns(line) <= MDR_TERM_WIDTH) {
        (void)printf("%s\n", line);
        return;
    }
    (void)printf("\n%*s", indent + 4, "");
    mdr_text_wrap(line + 2, indent + 4, MDR_TERM_WIDTH - indent - 4);
}

static void put_rule(const walk *w, const mdr_fig *f, int indent)
{
    const mdr_rule_info *rule = mdr_rule_of((mdr_rule)f->rule);
    char line[LINE];
    (void)printf("%*s", indent + 2, "");
    (void)snprintf(line, sizeof line, "= %s: %s", rule->title, rule->words);
    mdr_text_wrap(line, indent + 4, MDR_TERM_WIDTH - indent - 4);
    (void)snprintf(line, sizeof line, "%*s[%s; docs/methods/%s]\n", indent + 4, "", rule->source,
                   rule->anchor);
    mdr_term_put(w->term, MDR_TINT_FAINT, line);
}

enum { ALIKE_SHOWN = 3, ALIKE_MANY = 8 };

/* Inputs alike from `first` on, such as the rolls of a lot: same label, none computed. */
static int alike(const walk *w, const mdr_fig *f, int first)
{
    const mdr_figs *figs = &w->plan->figs;
    const mdr_fig *a = mdr_fig_at(figs, figs->pool[f->inputs + first]);
    int n = 0;
    for (int i = first; i < f->n_inputs; i++, n++) {
        const mdr_fig *b = mdr_fig_at(figs, figs->pool[f->inputs + i]);
        if (b->rule >= 0 || strcmp(a->label, b->label) != 0) {
            break;
        }
    }
    return n;
}

// NOLINTNEXTLINE(misc-no-recursion): depth is that of the derivation, each figure opened once
static void explain(walk *w, mdr_fig_id id, int depth)
{
    const mdr_fig *f = mdr_fig_at(&w->plan->figs, id);
    put_figure(w, id, depth);
    if (f->rule < 0 || w->shown[id] != 0) {
        return;
    }
    w->shown[id] = 1;
    put_rule(w, f, indent_of(depth));
    for (int i = 0; i < f->n_inputs; i++) {
        const int n = alike(w, f, i);
        const int shown = n > ALIKE_MANY ? ALIKE_SHOWN : 1;
        for (int k = 0; k < shown; k++) {
            explain(w, w->plan->figs.pool[f->inputs + i + k], depth + 1);
        }
        if (n > ALIKE_MANY) {
            (void)printf("%*s... and %d more like these (--json lists them all)\n",
                         indent_of(depth + 1), "", n - ALIKE_SHOWN);
            i += n - 1;
        }
    }
}

void mdr_show_why(const mdr_plan *plan, mdr_fig_id id, mdr_arena *arena, const mdr_term *t)
{
    walk w = {plan, t, MDR_NEW_N(arena, unsigned char, (size_t)plan->figs.count)};
    if (w.shown == NULL) {
        (void)fputs("madder: no memory\n", stderr);
        return;
    }
    explain(&w, id, 0);
}
