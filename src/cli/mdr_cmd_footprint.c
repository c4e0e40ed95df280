/* footprint: what a lot takes and gives off, beside the same lot on another route. */
#include "cli/mdr_cmd_footprint.h"

#include <stdio.h>
#include <string.h>

enum { AGAINST, OF };

const mdr_own_opt mdr_footprint_options[] = {
    [AGAINST] = {"against", "ROUTE", "beside the same lot by this route", "against",
                 MDR_FOOTPRINT_ASK_ALL, true},
    [OF] = {"of", "QUANTITY", "bars of water, steam, power, cod, solids, co2 or cost (cost)", "of",
            MDR_FOOTPRINT_ASK_ALL, true},
    {NULL, NULL, NULL, NULL, 0, false},
};

static const char *const WORDS[MDR_FOOT_BAR_COUNT] = {
#define WORD(member, word, label) [member] = (word),
    MDR_FOOT_BARS(WORD)
#undef WORD
};

static bool bar_of(mdr_cli *c, mdr_foot_bar *out)
{
    const char *typed = c->own[OF];
    int best = -1, least = 3; /* more than two typing errors is another word */
    if (typed == NULL) {
        *out = MDR_FOOT_COST;
        return true;
    }
    for (int i = 0; i < MDR_FOOT_BAR_COUNT; i++) {
        const int d = mdr_word_distance(typed, WORDS[i]);
        if (d == 0) {
            *out = (mdr_foot_bar)i;
            return true;
        }
        if (d < least) {
            least = d;
            best = i;
        }
    }
    char remedy[80] = "one of water, steam, power, cod, solids, co2, cost";
    if (best >= 0) {
        (void)snprintf(remedy, sizeof remedy, "did you mean --of %s?", WORDS[best]);
    }
    (void)mdr_cli_misuse(c, remedy, "--of: there is no quantity %s", typed);
    return false;
}

int mdr_cmd_footprint(mdr_cli *c)
{
    mdr_foot_bar bar = MDR_FOOT_COST;
    const char *against = c->own[AGAINST];
    if (!bar_of(c, &bar)) {
        return MDR_EXIT_USAGE;
    }
    if (against != NULL && against[0] == '\0') {
        return mdr_cli_misuse(c, "`madder routes` lists them", "--against: which route?");
    }
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    if (c->json) {
        mdr_blob out = {0};
        if (mdr_app_footprint_json(c->app, c->args[0], against, c->arena, &out, &c->err) !=
            MDR_OK) {
            return mdr_cli_fail(c);
        }
        return mdr_cli_put_json(c, out);
    }
    const mdr_plan *plan = NULL;
    const mdr_plan *other = NULL;
    if (mdr_app_compare(c->app, c->args[0], against, c->arena, &plan, &other, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const mdr_term term = mdr_term_look();
    mdr_show_footprint(plan, other, bar, &term);
    return MDR_EXIT_DONE;
}
