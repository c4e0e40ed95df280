#include <stdio.h>
#include <string.h>

#include "cli/mdr_show.h"

typedef struct walk {
    const mdr_plan *plan;
    const mdr_term *term;
    unsigned char *shown; /* by figure: already explained above */
} walk;

static void put_value(const mdr_fig *f)
{
    (void)printf("%.6g%s%s", f->value, f->unit[0] != '\0' ? " " : "", f->unit);
}

static void put_input(const mdr_fig *f)
{
    if (strcmp(f->table, "const") == 0) {
        (void)printf("   constant [%s]\n", f->record_id);
    } else {
        (void)printf("   from %s%s%s, field %s\n", f->table, f->record_id[0] != '\0' ? " " : "",
                     f->record_id, f->field);
    }
}

/* How deep a plan's chains go is bounded by its rules; this only bounds the indent. */
static int indent_of(int depth)
{
    return 2 * (depth < 20 ? depth : 20);
}

static void put_rule(const walk *w, const mdr_fig *f, int indent)
{
    const mdr_rule_info *rule = mdr_rule_of((mdr_rule)f->rule);
    char line[600];
    (void)printf("\n%*s", indent + 2, "");
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
    char key[160];
    (void)mdr_fig_key(&w->plan->figs, id, key, sizeof key);
    (void)printf("%*s", indent_of(depth), "");
    mdr_term_put(w->term, depth == 0 ? MDR_TINT_STRONG : MDR_TINT_NONE, f->label);
    (void)printf("  %s = ", key);
    put_value(f);
    if (f->rule < 0) {
        put_input(f);
        return;
    }
    if (w->shown[id] != 0) {
        (void)printf("   (shown above)\n");
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
