#include <stdio.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_term.h"
#include "core/plan/mdr_say.h"

enum { INDENT = 4 };

static void put_way(const mdr_advice *a, int rank, mdr_arena *arena, const mdr_term *t)
{
    char line[240];
    char kg[32];
    char litres[32];
    (void)snprintf(line, sizeof line, "%s%d. %s %s: %d lot%s of %s kg\n", a->suits ? "" : "- ",
                   rank, a->machine->machine_id, a->machine->name, a->lots, a->lots == 1 ? "" : "s",
                   mdr_text_number(a->lot_kg, 1, kg));
    mdr_term_put(t, a->suits ? MDR_TINT_STRONG : MDR_TINT_FAINT, line);
    (void)printf("%*s%.0f %% full, ratio 1 : %s, %s L a bath, rope %.0f m, cycle %.2f min\n",
                 INDENT, "", a->fill_pct, mdr_text_number(a->ratio_l_per_kg, 2, kg),
                 mdr_text_whole(a->liquor_l, litres), a->rope_m, a->cycle_min);
    for (int i = 0; i < a->n_reasons; i++) {
        const char *text = mdr_say_warn(&a->reasons[i], arena);
        (void)printf("%*s", INDENT, "");
        mdr_text_wrap(text != NULL ? text : "no memory", INDENT, MDR_TERM_WIDTH - INDENT);
    }
}

int mdr_cmd_advise(mdr_cli *c)
{
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    if (c->json) {
        mdr_blob out = {0};
        if (mdr_app_advice_json(c->app, c->args[0], c->arena, &out, &c->err) != MDR_OK) {
            return mdr_cli_fail(c);
        }
        return mdr_cli_put_json(c, out);
    }
    mdr_advice *ways = NULL;
    int n = 0;
    double grey_kg = 0;
    if (mdr_app_advice(c->app, c->args[0], c->arena, &ways, &n, &grey_kg, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const mdr_term term = mdr_term_look();
    char kg[32];
    (void)printf("Order %s needs %s kg of grey fabric. Best first:\n\n", c->args[0],
                 mdr_text_number(grey_kg, 1, kg));
    for (int i = 0; i < n; i++) {
        put_way(&ways[i], i + 1, c->arena, &term);
    }
    return MDR_EXIT_DONE;
}
