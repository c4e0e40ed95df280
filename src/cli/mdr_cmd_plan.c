/* plan and why. */
#include <stdio.h>

#include "cli/mdr_cmd_document.h"
#include "cli/mdr_show.h"

/* The what-ifs of the command line as the JSON that app takes; false after a complaint. */
static bool write_what_if(mdr_cli *c, mdr_jout *j, const void *about)
{
    (void)about;
    static const struct {
        mdr_opt opt;
        const char *key;
    } TEXTS[] = {{MDR_OPT_MACHINE, "machine_id"}, {MDR_OPT_ROUTE, "route_id"}},
      NUMBERS[] = {{MDR_OPT_LOAD, "load_kg"},
                   {MDR_OPT_RATIO, "ratio_l_per_kg"},
                   {MDR_OPT_SPEED, "speed_m_per_min"},
                   {MDR_OPT_TUBES, "tubes_used"}};
    for (size_t i = 0; i < sizeof TEXTS / sizeof TEXTS[0]; i++) {
        if (c->opts[TEXTS[i].opt] != NULL) {
            mdr_jout_text(j, TEXTS[i].key, c->opts[TEXTS[i].opt]);
        }
    }
    for (size_t i = 0; i < sizeof NUMBERS / sizeof NUMBERS[0]; i++) {
        double v = 0;
        long n = 0;
        if (c->opts[NUMBERS[i].opt] == NULL) {
            continue;
        }
        if (NUMBERS[i].opt == MDR_OPT_TUBES) {
            if (!mdr_cli_whole(c, MDR_OPT_TUBES, 0, 16, &n)) {
                return false;
            }
            v = (double)n;
        } else if (!mdr_cli_number(c, NUMBERS[i].opt, &v)) {
            return false;
        } else if (v == 0.0) {
            (void)mdr_cli_misuse(c, "leave the option out to plan with what is stored",
                                 "--%s 0: there is nothing to plan with",
                                 mdr_opt_name(NUMBERS[i].opt));
            return false;
        }
        mdr_jout_number(j, NUMBERS[i].key, v);
    }
    return true;
}

int mdr_cmd_plan(mdr_cli *c)
{
    mdr_blob changed = {0};
    int rc = mdr_cli_document(c, write_what_if, NULL, &changed);
    if (rc == MDR_EXIT_DONE) {
        rc = mdr_cli_open(c, false);
    }
    if (rc != MDR_EXIT_DONE) {
        return rc;
    }
    if (c->json) {
        mdr_blob out = {0};
        if (mdr_app_plan_json(c->app, c->args[0], changed, c->arena, &c->found, &out, &c->err) !=
            MDR_OK) {
            return mdr_cli_fail(c);
        }
        return mdr_cli_put_json(c, out);
    }
    const mdr_plan *plan = NULL;
    if (mdr_app_plan(c->app, c->args[0], changed, c->arena, &c->found, &plan, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const mdr_term term = mdr_term_look();
    mdr_show_plan(plan, c->arena, &term);
    return MDR_EXIT_DONE;
}

int mdr_cmd_why(mdr_cli *c)
{
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    const mdr_plan *plan = NULL;
    mdr_blob none = {0};
    mdr_fig_id id = MDR_FIG_NONE;
    if (!c->json) {
        if (mdr_app_plan(c->app, c->args[0], none, c->arena, &c->found, &plan, &c->err) != MDR_OK) {
            return mdr_cli_fail(c);
        }
        id = mdr_fig_find(&plan->figs, c->args[1]);
    }
    if (id != MDR_FIG_NONE) {
        const mdr_term term = mdr_term_look();
        mdr_show_why(plan, id, c->arena, &term);
        return MDR_EXIT_DONE;
    }
    mdr_blob out = {0};
    if (mdr_app_why_json(c->app, c->args[0], c->args[1], c->arena, &out, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    return mdr_cli_put_json(c, out);
}
