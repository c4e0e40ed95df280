/* simulate: what the dyeing of a lot does, as planned or with changes; shorten: the shortest one that
 * stays safe. Both are asked with the same changes. */
#include "cli/mdr_cmd_simulate.h"

#include <stdio.h>
#include <string.h>

#include "cli/mdr_cmd_document.h"

/* Behind OF_STEP they belong to the step that --step names. */
enum { STEP = 19, OF_STEP };

enum { SHORTEN = MDR_SHORTEN_ASK_ALL, BOTH = MDR_SIMULATE_ASK_ALL | MDR_SHORTEN_ASK_ALL };
static const char YES_NO[] = "yes|no";

const mdr_own_opt mdr_simulate_options[] = {
    {"dose-salt-min", "MIN", "all salt within so many minutes of dosing", "dose_salt_min", BOTH,
     false},
    {"dose-dye-min", "MIN", "all dye", "dose_dye_min", BOTH, false},
    {"dose-alkali-min", "MIN", "all alkali", "dose_alkali_min", BOTH, false},
    {"salt", "%", "salt, of what is planned (100)", "salt_pct", BOTH, false},
    {"alkali", "%", "alkali, of what is planned (100)", "alkali_pct", BOTH, false},
    {"warmer", "C", "the whole dyeing warmer, below 0 colder", "temp_shift_c", BOTH, false},
    {"uneven", "%", "uptake of the prepared fabric, + and - along each rope",
     "uneven_preparation_pct", BOTH, false},
    {"shares", "%,..", "of the load in each rope", "tube_share_pct", BOTH, false},
    {"strike-limit", "%", "per contact (1.0)", "strike_limit_pct_per_contact", BOTH, false},
    {"fixing-limit", "DE",
     "off the mean while dye is being fixed, CMC(2:1) (twice that of the end)", "fixing_limit_de",
     BOTH, false},
    {"slices", "N", "along each rope, 8 to 100 (40)", "slices", MDR_SIMULATE_ASK_ALL, false},
    {"de-limit", "DE", "unlevelness that is accepted, CMC(2:1) (of the route's check, or 0.5)",
     "de_limit", SHORTEN, false},
    {"fixed-less", "%", "any dye may be fixed less by so much (0.5)", "fixation_allowance_pct",
     SHORTEN, false},
    {"fixed-less-worst", "%", "the same with the margin of that difference (2)",
     "fixation_allowance_worst_pct", SHORTEN, false},
    {"least-run", "MIN", "least minutes of a step that only runs (5)", "run_least_min", SHORTEN,
     false},
    {"salt-turns", "N", "least turns of the rope in a dose of salt (5)", "turns_least_salt",
     SHORTEN, false},
    {"dye-turns", "N", "of dye (10)", "turns_least_dye", SHORTEN, false},
    {"alkali-turns", "N", "of alkali (15)", "turns_least_alkali", SHORTEN, false},
    {"keep-speed", YES_NO, "leave the rope's speed as it is (no)", "keep_speed", SHORTEN, true},
    [STEP] = {"step", "N", "number of a step in its bath, to be changed by what follows", "step",
              BOTH, false},
    [OF_STEP] = {"minutes", "MIN", "of a dose or a run", "minutes", BOTH, false},
    {"curve", "WORD", "of a dose: linear, progressive, degressive, portions", "curve", BOTH, true},
    {"exponent", "N", "of a progressive or degressive dose", "exponent", BOTH, false},
    {"portions", "N", "of a dose in portions", "portions", BOTH, false},
    {"amount", "%", "of salt or alkali of the step, of what is planned", "amount_pct", BOTH, false},
    {"to", "C", "temperature a ramp goes to", "to_c", BOTH, false},
    {"rate", "C/MIN", "of a ramp", "rate_c_per_min", BOTH, false},
    {NULL, NULL, NULL, NULL, 0, false},
};

static bool put_list(mdr_cli *c, mdr_jout *j, const mdr_own_opt *o, const char *text)
{
    mdr_jout_begin(j, o->key, '[');
    for (const char *at = text;; at++) {
        char number[32];
        double v = 0;
        const size_t n = strcspn(at, ",");
        (void)snprintf(number, sizeof number, "%.*s", (int)n, at);
        if (!mdr_cli_number_of(c, o->name, number, &v)) {
            return false;
        }
        mdr_jout_number(j, NULL, v);
        at += n;
        if (*at == '\0') {
            break;
        }
    }
    mdr_jout_end(j, ']');
    return true;
}

static bool put_yes_no(mdr_cli *c, mdr_jout *j, const mdr_own_opt *o, const char *text)
{
    if (strcmp(text, "yes") != 0 && strcmp(text, "no") != 0) {
        (void)mdr_cli_misuse(c, "write yes or no", "--%s is neither yes nor no: %s", o->name, text);
        return false;
    }
    mdr_jout_bool(j, o->key, strcmp(text, "yes") == 0);
    return true;
}

static bool put_member(mdr_cli *c, mdr_jout *j, int i)
{
    const mdr_own_opt *o = &mdr_simulate_options[i];
    double v = 0;
    if (c->own[i] == NULL) {
        return true;
    }
    if (strchr(o->value, ',') != NULL) {
        return put_list(c, j, o, c->own[i]);
    }
    if (o->value == YES_NO) {
        return put_yes_no(c, j, o, c->own[i]);
    }
    if (o->is_word) {
        mdr_jout_text(j, o->key, c->own[i]);
        return true;
    }
    if (!mdr_cli_number_of(c, o->name, c->own[i], &v)) {
        return false;
    }
    mdr_jout_number(j, o->key, v);
    return true;
}

static bool put_step(mdr_cli *c, mdr_jout *j)
{
    bool any = false, fine = true;
    for (int i = OF_STEP; mdr_simulate_options[i].name != NULL; i++) {
        any = any || c->own[i] != NULL;
    }
    if (c->own[STEP] == NULL) {
        if (any) {
            (void)mdr_cli_misuse(c, "`madder simulate LOT` lists the steps with their numbers",
                                 "which step? --step N is missing");
        }
        return !any;
    }
    mdr_jout_begin(j, "steps", '[');
    mdr_jout_begin(j, NULL, '{');
    for (int i = STEP; fine && mdr_simulate_options[i].name != NULL; i++) {
        fine = put_member(c, j, i);
    }
    mdr_jout_end(j, '}');
    mdr_jout_end(j, ']');
    return fine;
}

/* How the lot is planned: as for `madder plan`. */
static bool put_lot(mdr_cli *c, mdr_jout *j)
{
    static const struct {
        const char *key;
        mdr_opt opt;
        bool is_word;
    } OPTS[] = {{"machine_id", MDR_OPT_MACHINE, true},
                {"route_id", MDR_OPT_ROUTE, true},
                {"load_kg", MDR_OPT_LOAD, false},
                {"ratio_l_per_kg", MDR_OPT_RATIO, false},
                {"tubes_used", MDR_OPT_TUBES, false}};
    mdr_jout_begin(j, "lot", '{');
    for (size_t i = 0; i < sizeof OPTS / sizeof OPTS[0]; i++) {
        double v = 0;
        if (c->opts[OPTS[i].opt] == NULL) {
            continue;
        }
        if (OPTS[i].is_word) {
            mdr_jout_text(j, OPTS[i].key, c->opts[OPTS[i].opt]);
        } else if (!mdr_cli_number(c, OPTS[i].opt, &v)) {
            return false;
        } else {
            mdr_jout_number(j, OPTS[i].key, v);
        }
    }
    mdr_jout_end(j, '}');
    return true;
}

static bool put_all(mdr_cli *c, mdr_jout *j, const void *about)
{
    double speed = 0;
    long bath = 0;
    (void)about;
    bool fine = put_lot(c, j);
    if (fine && c->opts[MDR_OPT_SPEED] != NULL) {
        fine = mdr_cli_number(c, MDR_OPT_SPEED, &speed);
        mdr_jout_number(j, "speed_m_per_min", speed);
    }
    if (fine && c->opts[MDR_OPT_BATH] != NULL) {
        fine = mdr_cli_whole(c, MDR_OPT_BATH, 1, MDR_ROUTE_BATHS_MAX, &bath);
        mdr_jout_number(j, "bath", (double)bath);
    }
    for (int i = 0; fine && i < STEP; i++) {
        fine = put_member(c, j, i);
    }
    return fine && put_step(c, j);
}

/* The question, and the mill open. */
static int begin(mdr_cli *c, mdr_blob *asked)
{
    const int rc = mdr_cli_document(c, put_all, NULL, asked);
    return rc == MDR_EXIT_DONE ? mdr_cli_open(c, false) : rc;
}

int mdr_cmd_simulate(mdr_cli *c)
{
    mdr_blob asked = {0}, out = {0};
    const mdr_dyeing_out *o = NULL;
    const int rc = begin(c, &asked);
    if (rc != MDR_EXIT_DONE) {
        return rc;
    }
    if (c->json) {
        return mdr_app_dyeing_json(c->app, c->args[0], asked, c->arena, &c->found, &out, &c->err) ==
                       MDR_OK
                   ? mdr_cli_put_json(c, out)
                   : mdr_cli_fail(c);
    }
    if (mdr_app_dyeing(c->app, c->args[0], asked, c->arena, &c->found, &o, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const mdr_term term = mdr_term_look();
    mdr_show_dyeing(o, &term);
    return MDR_EXIT_DONE;
}

int mdr_cmd_shorten(mdr_cli *c)
{
    mdr_blob asked = {0}, out = {0};
    const mdr_shorten_answer *a = NULL;
    const int rc = begin(c, &asked);
    if (rc != MDR_EXIT_DONE) {
        return rc;
    }
    if (c->json) {
        return mdr_app_shorten_json(c->app, c->args[0], asked, c->arena, &c->found, &out,
                                    &c->err) == MDR_OK
                   ? mdr_cli_put_json(c, out)
                   : mdr_cli_fail(c);
    }
    if (mdr_app_shorten(c->app, c->args[0], asked, c->arena, &c->found, &a, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const mdr_term term = mdr_term_look();
    mdr_show_shorten(a, &term);
    return MDR_EXIT_DONE;
}
