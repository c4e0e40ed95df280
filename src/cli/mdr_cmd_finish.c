/* finish: how to set the finishing line, and again from what was read behind a pass. */
#include "cli/mdr_cmd_finish.h"

#include <string.h>

#include "cli/mdr_show.h"

enum { BEHIND, WIDTH, COURSES, MOISTURE, GSM, READINGS };

const mdr_own_opt mdr_finish_options[] = {
    [BEHIND] = {"behind", "PASS", "number of the pass that was read behind", "pass",
                MDR_FINISH_ASK_ALL, false},
    [WIDTH] = {"width", "CM", "width read there, as the fabric lies: open, or flat for a tube",
               "lies_cm", MDR_FINISH_ASK_ALL, false},
    [COURSES] = {"courses", "N/CM", "courses counted there, one face", "courses_per_cm",
                 MDR_FINISH_ASK_ALL, false},
    [MOISTURE] = {"moisture", "%", "moisture read there, on bone dry", "moisture_pct",
                  MDR_FINISH_ASK_ALL, false},
    [GSM] = {"gsm", "G/M2", "weighed there as it came out; may be left out", "wet_gsm",
             MDR_FINISH_ASK_ALL, false},
    {NULL, NULL, NULL, NULL, 0, false},
};

/* The reading as a what-if; empty without one. False after a complaint. */
static bool reading(mdr_cli *c, mdr_blob *out)
{
    const char *json = "{\"readings\": [{";
    int given = 0;
    for (int i = 0; i < READINGS && json != NULL; i++) {
        const mdr_own_opt *o = &mdr_finish_options[i];
        double v = 0;
        if (c->own[i] == NULL) {
            continue;
        }
        if (!mdr_cli_number_of(c, o->name, c->own[i], &v)) {
            return false;
        }
        json =
            mdr_arena_printf(c->arena, "%s%s\"%s\": %.17g", json, given > 0 ? ", " : "", o->key, v);
        given++;
    }
    if (given == 0) {
        return true;
    }
    for (int i = BEHIND; i <= MOISTURE; i++) {
        if (c->own[i] == NULL) {
            (void)mdr_cli_misuse(c, "a reading is --behind PASS --width --courses --moisture",
                                 "--%s is missing", mdr_finish_options[i].name);
            return false;
        }
    }
    json = json != NULL ? mdr_arena_printf(c->arena, "%s}]}", json) : NULL;
    if (json == NULL) {
        (void)MDR_FAIL(&c->err, MDR_E_NOMEM, "command line", "no memory");
        (void)mdr_cli_fail(c);
        return false;
    }
    *out = (mdr_blob){json, strlen(json)};
    return true;
}

int mdr_cmd_finish(mdr_cli *c)
{
    mdr_blob read = {0}, out = {0};
    if (!reading(c, &read)) {
        return MDR_EXIT_USAGE;
    }
    const int opened = mdr_cli_open(c, false);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    if (c->json) {
        return mdr_app_finish_json(c->app, c->args[0], read, c->arena, &c->found, &out, &c->err) ==
                       MDR_OK
                   ? mdr_cli_put_json(c, out)
                   : mdr_cli_fail(c);
    }
    const mdr_plan *plan = NULL;
    if (mdr_app_plan(c->app, c->args[0], read, c->arena, &c->found, &plan, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const mdr_term term = mdr_term_look();
    mdr_show_finish_alone(plan, c->arena, &term);
    return MDR_EXIT_DONE;
}
