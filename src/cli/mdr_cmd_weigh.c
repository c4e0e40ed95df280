/* weigh: the queue of the weigh room, a weighing judged, a label read or printed. */
#define _POSIX_C_SOURCE 200809L
#include "cli/mdr_cmd_weigh.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "app/mdr_app_weigh.h"
#include "cli/mdr_cmd_document.h"
#include "cli/mdr_files.h"
#include "cli/mdr_term.h"

#define JUDGE (1u << MDR_WEIGH_ASK_JUDGE)
#define LABEL (1u << MDR_WEIGH_ASK_LABEL)

enum { OPT_TARGET, OPT_NET, OPT_SCALE, OPT_STEP };
const mdr_own_opt mdr_weigh_options[] = {
    [OPT_TARGET] = {"target-g", "G", "what was asked for", "target_mg", JUDGE, false},
    [OPT_NET] = {"net-g", "G", "what lies on the scale, the container taken off", "mass_mg", JUDGE,
                 false},
    [OPT_SCALE] = {"scale", "ID", "on which scale", "scale_id", JUDGE, true},
    [OPT_STEP] = {"step", "KEY", "labels of this dose only, as 3.4", "step", LABEL, true},
    {NULL, NULL, NULL, NULL, 0, false},
};

static const char *const WORKS[MDR_WEIGH_ASK_COUNT] = {
    [MDR_WEIGH_ASK_LIST] = "list",
    [MDR_WEIGH_ASK_JUDGE] = "judge",
    [MDR_WEIGH_ASK_SCAN] = "scan",
    [MDR_WEIGH_ASK_LABEL] = "label",
};
static const char *const ARGUMENTS[MDR_WEIGH_ASK_COUNT] = {
    [MDR_WEIGH_ASK_JUDGE] = "MATERIAL",
    [MDR_WEIGH_ASK_SCAN] = "TEXT",
    [MDR_WEIGH_ASK_LABEL] = "BATCH",
};

static void notes(void)
{
    (void)puts("\nWorks, and what each needs:\n"
               "  list             nothing: what is to be weighed, first what is needed first\n"
               "  judge MATERIAL   --target-g --net-g: within its tolerance?\n"
               "  scan TEXT        what a scanner typed: which label, of what\n"
               "  label BATCH      a PDF of labels; --step for one dose\n"
               "Example:  madder weigh judge RY-1 --target-g 419 --net-g 420.5 --scale S1");
}

static const char *first(int i)
{
    return i < MDR_WEIGH_ASK_COUNT ? WORKS[i] : NULL;
}

const mdr_command_more mdr_weigh_more = {notes, first};

static int check_arguments(mdr_cli *c, int work)
{
    if (ARGUMENTS[work] != NULL && c->n_args < 2) {
        return mdr_cli_misuse(c, "`madder help weigh` shows how", "`madder weigh %s` needs a %s",
                              WORKS[work], ARGUMENTS[work]);
    }
    if (ARGUMENTS[work] == NULL && c->n_args > 1) {
        return mdr_cli_misuse(c, "leave it out", "`madder weigh %s` has no use for the argument %s",
                              WORKS[work], c->args[1]);
    }
    for (int i = 0; mdr_weigh_options[i].name != NULL; i++) {
        if (c->own[i] != NULL && (mdr_weigh_options[i].of & (1u << work)) == 0) {
            return mdr_cli_misuse(c, "`madder help weigh` lists its options",
                                  "`madder weigh %s` has no option --%s", WORKS[work],
                                  mdr_weigh_options[i].name);
        }
    }
    if (work == MDR_WEIGH_ASK_JUDGE && (c->own[OPT_TARGET] == NULL || c->own[OPT_NET] == NULL)) {
        return mdr_cli_misuse(c, "give --target-g and --net-g", "what was asked for and weighed?");
    }
    return MDR_EXIT_DONE;
}

/* -- documents -- */

/* In grams, as a scale shows it; false after having said what is wrong. */
static bool read_mg(mdr_cli *c, int option, double *out_mg)
{
    static const double MG_PER_G = 1e3, MOST_G = (double)MDR_WEIGH_MOST_MG / 1e3;
    double g = 0;
    if (!mdr_cli_number_of(c, mdr_weigh_options[option].name, c->own[option], &g)) {
        return false;
    }
    *out_mg = round(g * MG_PER_G);
    if (*out_mg >= 1.0 && g <= MOST_G) {
        return true;
    }
    (void)mdr_cli_misuse(c, "give 0.001 to 1000000000 g, the container taken off",
                         "--%s: %s g cannot be weighed", mdr_weigh_options[option].name,
                         c->own[option]);
    return false;
}

static bool put_mg(mdr_cli *c, mdr_jout *j, int option)
{
    double mg = 0;
    if (!read_mg(c, option, &mg)) {
        return false;
    }
    mdr_jout_number(j, mdr_weigh_options[option].key, mg);
    return true;
}

static bool put_judge(mdr_cli *c, mdr_jout *j, const void *about)
{
    (void)about;
    mdr_jout_text(j, "material_id", c->args[1]);
    if (c->own[OPT_SCALE] != NULL) {
        mdr_jout_text(j, "scale_id", c->own[OPT_SCALE]);
    }
    return put_mg(c, j, OPT_TARGET) && put_mg(c, j, OPT_NET);
}

static bool put_scan(mdr_cli *c, mdr_jout *j, const void *about)
{
    (void)about;
    mdr_jout_text(j, "text", c->args[1]);
    return true;
}

/* -- list -- */

enum { DUE = 13, LOT = 16, STEP = 6, NAME = 28, MASS = 12 }; /* columns of the list */

static void put_head(void)
{
    (void)printf("%-*s %-*s %-*s %-*s %*s  state\n", DUE, "due", LOT, "batch", STEP, "step", NAME,
                 "material", MASS, "mass");
}

static void put_line(const mdr_app_weigh_list *list, const mdr_app_weigh_line *l)
{
    char due[32], mass[32];
    const double minutes = round((double)(l->turn.due_utc_ms - list->now_utc_ms) / 60000.0);
    (void)snprintf(due, sizeof due, minutes < 0.0 ? "%.0f min late" : "in %.0f min", fabs(minutes));
    (void)snprintf(mass, sizeof mass, "%.3f kg", (double)l->item->mass_mg / 1e6);
    (void)printf("%-*s %-*s %-*s ", DUE, due, LOT, l->batch->batch_id, STEP, l->step->asked->key);
    mdr_text_pad(l->item->name, NAME);
    (void)printf(" %*s  %s%s\n", MASS, mass, mdr_weigh_state_words(l->state),
                 l->stock.short_by_mg > 0 ? ", short in stock" : "");
}

static int list(mdr_cli *c, const mdr_app_run_ask *ask)
{
    mdr_app_weigh_list list;
    mdr_blob out = {0};
    if (c->json) {
        return mdr_app_weighing_json(c->app, ask, c->arena, &out, &c->err) == MDR_OK
                   ? mdr_cli_put_json(c, out)
                   : mdr_cli_fail(c);
    }
    if (mdr_app_weigh_lines(c->app, ask->now_utc_ms, c->arena, &list, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    if (list.n > 0) {
        put_head();
    }
    for (int i = 0; i < list.n; i++) {
        put_line(&list, &list.lines[i]);
    }
    (void)printf("%d to be weighed\n", list.n);
    return MDR_EXIT_DONE;
}

/* -- label -- */

static int label(mdr_cli *c, const mdr_app_run_ask *ask)
{
    char name[160], now[40];
    mdr_blob pdf = {0};
    const char *path = c->opts[MDR_OPT_OUT];
    if (path == NULL) {
        if (strchr(c->args[1], '/') != NULL) {
            return mdr_cli_misuse(c, "`madder weigh list` shows them", "%s is no batch",
                                  c->args[1]);
        }
        (void)snprintf(name, sizeof name, "%s-labels.pdf", c->args[1]);
        path = name;
    }
    if (mdr_file_is_stdout(path) && c->json) {
        return mdr_cli_misuse(c, "leave out --json, or name a file",
                              "a PDF and JSON cannot share the standard output");
    }
    mdr_cli_now(now, sizeof now);
    if (mdr_file_may_write(path, c->opts[MDR_OPT_FORCE] != NULL, &c->err) != MDR_OK ||
        mdr_app_weigh_labels(c->app, ask, c->own[OPT_STEP] != NULL ? c->own[OPT_STEP] : "", now,
                             c->arena, &pdf, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    return mdr_cli_put_pdf(c, path, pdf);
}

/* -- questions -- */

typedef mdr_code question(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                          mdr_err_list *found, mdr_blob *out, mdr_err *err);

static int ask_and_put(mdr_cli *c, mdr_app_run_ask ask, mdr_put_members *put, question *answer)
{
    mdr_blob out = {0};
    const int made = mdr_cli_document(c, put, NULL, &ask.body);
    if (made != MDR_EXIT_DONE) {
        return made;
    }
    return answer(c->app, &ask, c->arena, &c->found, &out, &c->err) == MDR_OK
               ? mdr_cli_put_json(c, out)
               : mdr_cli_fail(c);
}

static double grams(int64_t mg)
{
    return (double)mg / 1e3;
}

static void say_judged(const mdr_cli *c, const mdr_weigh_judged *v)
{
    (void)printf("%s: %s\n", c->args[1], mdr_weigh_verdict_words(v->verdict));
    (void)printf("  asked for  %.3f g, from %.3f to %.3f g allowed\n", grams(v->target_mg),
                 grams(v->window.low_mg), grams(v->window.high_mg));
    (void)printf("  weighed    %.3f g", grams(v->net_mg));
    if (v->off_mg != 0) {
        (void)printf(", %.3f g or %.2f %% %s", fabs(grams(v->off_mg)), fabs(v->off_pct),
                     v->off_mg > 0 ? "too much" : "too little");
    }
    (void)putchar('\n');
    if (v->needs_reason) {
        (void)puts("  Weigh again, or say why it stays like that.");
    }
    if (v->needs_second) {
        (void)puts("  Another person checks it.");
    }
    if (v->too_fine) {
        (void)puts("  The tolerance is finer than this scale shows: take a finer one.");
    }
}

static int judge(mdr_cli *c, const mdr_app_run_ask *ask)
{
    double target = 0, net = 0;
    mdr_weigh_judged v;
    const char *class_id = "";
    if (c->json) {
        return ask_and_put(c, *ask, put_judge, mdr_app_weigh_judge);
    }
    if (!read_mg(c, OPT_TARGET, &target) || !read_mg(c, OPT_NET, &net)) {
        return MDR_EXIT_USAGE;
    }
    const mdr_app_weigh_question q = {.material_id = c->args[1],
                                      .scale_id =
                                          c->own[OPT_SCALE] != NULL ? c->own[OPT_SCALE] : "",
                                      .target_mg = (int64_t)target,
                                      .mass_mg = (int64_t)net};
    if (mdr_app_weigh_verdict(c->app, &q, c->arena, &v, &class_id, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    say_judged(c, &v);
    return MDR_EXIT_DONE;
}

static void say_goods(const mdr_scan *s)
{
    char day[16];
    (void)printf("%s\n  article    %s\n", mdr_scan_kind_words(s->kind), s->gtin);
    if (s->supplier_lot[0] != '\0') {
        (void)printf("  lot        %s\n", s->supplier_lot);
    }
    if (s->serial[0] != '\0') {
        (void)printf("  serial no. %s\n", s->serial);
    }
    if (s->mass_mg > 0) {
        (void)printf("  net        %.3f kg\n", grams(s->mass_mg) / 1e3);
    }
    if (s->has_made) {
        (void)printf("  made       %s\n", mdr_text_day(s->made_utc_ms, day));
    }
    if (s->has_expiry) {
        (void)printf("  use until  %s\n", mdr_text_day(s->expiry_utc_ms, day));
    }
}

static bool can_be_named(mdr_scan_kind kind)
{
    return kind == MDR_SCAN_MACHINE || kind == MDR_SCAN_PRODUCT || kind == MDR_SCAN_STOCK;
}

static int scan(mdr_cli *c, const mdr_app_run_ask *ask)
{
    mdr_app_scan_found of;
    if (c->json) {
        return ask_and_put(c, *ask, put_scan, mdr_app_scan);
    }
    if (mdr_app_scanned(c->app, c->args[1], ask->now_utc_ms, c->arena, &of, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const mdr_scan *s = &of.scan;
    if (s->kind == MDR_SCAN_GOODS) {
        say_goods(s);
        return MDR_EXIT_DONE;
    }
    (void)printf("%s %s", mdr_scan_kind_words(s->kind), s->id);
    if (s->kind == MDR_SCAN_WEIGHING) {
        (void)printf(", step %s, no. %d", s->step, s->item);
    } else if (of.name != NULL) {
        (void)printf(": %s", of.name);
    } else if (can_be_named(s->kind)) {
        (void)printf(": not in this mill");
    }
    (void)putchar('\n');
    return MDR_EXIT_DONE;
}

int mdr_cmd_weigh(mdr_cli *c)
{
    static const mdr_who NOBODY = {.person_id = "", .name = ""};
    struct timespec t = {0};
    const int work = mdr_cli_word(c, WORKS, MDR_WEIGH_ASK_COUNT, "work");
    int status = work < 0 ? MDR_EXIT_USAGE : check_arguments(c, work);
    if (status == MDR_EXIT_DONE) {
        status = mdr_cli_open(c, false);
    }
    if (status != MDR_EXIT_DONE) {
        return status;
    }
    (void)clock_gettime(CLOCK_REALTIME, &t);
    const mdr_app_run_ask ask = {.id = c->n_args > 1 ? c->args[1] : "",
                                 .who = &NOBODY,
                                 .now_utc_ms = (int64_t)t.tv_sec * 1000 + t.tv_nsec / 1000000};
    switch (work) {
    case MDR_WEIGH_ASK_JUDGE:
        return judge(c, &ask);
    case MDR_WEIGH_ASK_SCAN:
        return scan(c, &ask);
    case MDR_WEIGH_ASK_LABEL:
        return label(c, &ask);
    default:
        return list(c, &ask);
    }
}
