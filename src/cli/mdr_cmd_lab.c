/* lab: samples, dips and recipes of the mill's laboratory. The options become the document. */
#include "cli/mdr_cmd_lab.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

#include "app/mdr_app_lab.h"
#include "cli/mdr_cmd_document.h"
#include "cli/mdr_files.h"
#include "cli/mdr_term.h"

#define ADD     (1u << MDR_LAB_ASK_ADD)
#define DIP     (1u << MDR_LAB_ASK_DIP)
#define SUBMIT  (1u << MDR_LAB_ASK_SUBMIT)
#define APPROVE (1u << MDR_LAB_ASK_APPROVE)
#define REJECT  (1u << MDR_LAB_ASK_REJECT)
#define PICK    (1u << MDR_LAB_ASK_PICK)

/* What `add` says of one sample stands in the list "as", the rest beside it. */
enum { OPT_SAMPLE, OPT_KIND, OPT_DYE, OPT_DEPTH, OPT_LOT, OPT_DIP, OPT_SHADE, OPT_ID, OPT_REMARK };
enum { AS_OPTIONS = OPT_REMARK + 1, OPT_RECIPE = AS_OPTIONS, OPT_PICK, OPT_MACHINE, OPT_GUESS };

const mdr_own_opt mdr_lab_options[] = {
    [OPT_SAMPLE] = {"sample", "NAME", "only this sample of the file, with --kind", "sample", ADD,
                    true},
    [OPT_KIND] = {"kind", "WORD", "what it is: cloth, rung, standard, dip or bulk", "kind", ADD,
                  true},
    [OPT_DYE] = {"dye", "ID", "a rung: its dye; else as DYE@DEPTH says", "dye_id", ADD, true},
    [OPT_DEPTH] = {"depth", "% OWF", "a rung: its depth", "depth_pct_owf", ADD, false},
    [OPT_LOT] = {"lot", "ID", "a cutting: its lot", "lot_id", ADD, true},
    [OPT_DIP] = {"dip", "ID", "add: the dip that was measured; pick: take its recipe", "dip_id",
                 ADD | PICK, true},
    [OPT_SHADE] = {"shade", "ID", "a standard or a dip: its shade", "shade_id", ADD | DIP, true},
    [OPT_ID] = {"id", "ID", "its number; else made from what it is", "sample_id", ADD | DIP, true},
    [OPT_REMARK] = {"remark", "TEXT", "what else is to be said", "remark",
                    ADD | DIP | SUBMIT | APPROVE | REJECT, true},
    [OPT_RECIPE] = {"recipe", "DYE=DEPTH,...", "dyes and % owf: R-1=1.2,B-2=0.4", "recipe",
                    DIP | PICK, true},
    [OPT_PICK] = {"pick", NULL, "and make it the recipe of the shade", NULL, APPROVE, true},
    [OPT_MACHINE] = {"machine", "ID", "times what its lots taught of the shade, laboratory to bulk",
                     "machine_id", PICK, true},
    [OPT_GUESS] = {"best-guess", NULL, "with --machine: factors whose range holds 1 too", NULL,
                   PICK, true},
    {"substrate", "NAME", "cloth and process together, as of the ladders", "substrate", ADD | DIP,
     true},
    {"measured", "DATE", "day of the readings (today)", "measured", ADD, true},
    {"specular", "WORD", "included or excluded, when the file does not say", "specular", ADD, true},
    {"scale", "WORD", "of the readings: auto, fraction or percent (auto)", "scale", ADD, true},
    {"replace", NULL, "put it in place of samples of the same number", "replace", ADD, true},
    {"made", "DATE", "day of the dyeing (today)", "made", DIP, true},
    {"round", "N", "round of dips (the one that is open, else the next)", "round", DIP, false},
    {"by", "WHO", "who decided", "by", APPROVE | REJECT, true},
    {NULL, NULL, NULL, NULL, 0, false},
};

static const char *const WORKS[MDR_LAB_ASK_COUNT] = {
    [MDR_LAB_ASK_LIST] = "list",       [MDR_LAB_ASK_ADD] = "add",
    [MDR_LAB_ASK_DIP] = "dip",         [MDR_LAB_ASK_SUBMIT] = "submit",
    [MDR_LAB_ASK_APPROVE] = "approve", [MDR_LAB_ASK_REJECT] = "reject",
    [MDR_LAB_ASK_PICK] = "pick",
};
static const char *const ARGUMENTS[MDR_LAB_ASK_COUNT] = {
    [MDR_LAB_ASK_ADD] = "FILE",   [MDR_LAB_ASK_SUBMIT] = "DIP", [MDR_LAB_ASK_APPROVE] = "DIP",
    [MDR_LAB_ASK_REJECT] = "DIP", [MDR_LAB_ASK_PICK] = "SHADE",
};

static void notes(void)
{
    (void)puts("\nWorks, and what each needs:\n"
               "  list                nothing: substrates with their ladders, dips by shade\n"
               "  add FILE            --substrate; samples called DYE@DEPTH and cloth, or one of\n"
               "                      them by --sample and --kind\n"
               "  dip                 --shade --substrate --recipe\n"
               "  submit DIP          nothing: it went to the customer\n"
               "  approve DIP         --by; --pick makes it the recipe of the shade\n"
               "  reject DIP          --by\n"
               "  pick SHADE          --recipe or --dip: the recipe of the shade from now on;\n"
               "                      --machine: times what the lots on it taught\n"
               "Example:  madder lab add dip.csv --sample 7 --kind dip --dip S-201.1A \\\n"
               "              --specular included");
}

static const char *first(int i)
{
    return i < MDR_LAB_ASK_COUNT ? WORKS[i] : NULL;
}

const mdr_command_more mdr_lab_more = {notes, first};

/* -- the work and its options -- */

static int check_arguments(mdr_cli *c, int work)
{
    const char *wanted = ARGUMENTS[work];
    if (wanted != NULL && c->n_args < 2) {
        return mdr_cli_misuse(c, "`madder help lab` shows how", "`madder lab %s` needs a %s",
                              WORKS[work], wanted);
    }
    if (wanted == NULL && c->n_args > 1) {
        return mdr_cli_misuse(c, "leave it out", "`madder lab %s` has no use for the argument %s",
                              WORKS[work], c->args[1]);
    }
    for (int i = 0; mdr_lab_options[i].name != NULL; i++) {
        if (c->own[i] != NULL && (mdr_lab_options[i].of & (1u << work)) == 0) {
            return mdr_cli_misuse(c, "`madder help lab` lists its options",
                                  "`madder lab %s` has no option --%s", WORKS[work],
                                  mdr_lab_options[i].name);
        }
    }
    if (work == MDR_LAB_ASK_ADD && (c->own[OPT_SAMPLE] == NULL) != (c->own[OPT_KIND] == NULL)) {
        return mdr_cli_misuse(c, "give both, or neither: then names say what the samples are",
                              "--sample and --kind go together");
    }
    if (work == MDR_LAB_ASK_PICK && (c->own[OPT_RECIPE] == NULL) == (c->own[OPT_DIP] == NULL)) {
        return mdr_cli_misuse(c, "give --recipe DYE=DEPTH,... or --dip ID",
                              "which recipe is to be taken?");
    }
    return MDR_EXIT_DONE;
}

/* -- the document -- */

static bool write_option(mdr_cli *c, mdr_jout *j, int i, const char *key)
{
    const mdr_own_opt *o = &mdr_lab_options[i];
    double v = 0;
    if (c->own[i] == NULL || key == NULL) {
        return true;
    }
    if (o->value == NULL) {
        mdr_jout_bool(j, key, true);
    } else if (o->is_word) {
        mdr_jout_text(j, key, c->own[i]);
    } else if (mdr_cli_number_of(c, o->name, c->own[i], &v)) {
        mdr_jout_number(j, key, v);
    } else {
        return false;
    }
    return true;
}

static bool write_add(mdr_cli *c, mdr_jout *j, mdr_blob file)
{
    const char *shown = strrchr(c->args[1], '/');
    bool fine = true;
    mdr_jout_begin(j, "file", '{');
    mdr_jout_text(j, "name", shown != NULL ? shown + 1 : c->args[1]);
    mdr_jout_text(j, "text", file.bytes);
    mdr_jout_end(j, '}');
    if (c->own[OPT_SAMPLE] != NULL) {
        mdr_jout_begin(j, "as", '[');
        mdr_jout_begin(j, NULL, '{');
        for (int i = 0; i < AS_OPTIONS && fine; i++) {
            fine = write_option(c, j, i, mdr_lab_options[i].key);
        }
        mdr_jout_end(j, '}');
        mdr_jout_end(j, ']');
    }
    for (int i = AS_OPTIONS; mdr_lab_options[i].name != NULL && fine; i++) {
        fine = write_option(c, j, i, mdr_lab_options[i].key);
    }
    return fine;
}

static bool write_dip(mdr_cli *c, mdr_jout *j)
{
    bool fine = true;
    for (int i = 0; mdr_lab_options[i].name != NULL && fine; i++) {
        fine = write_option(c, j, i, i == OPT_ID ? "dip_id" : mdr_lab_options[i].key);
    }
    return fine;
}

/* Who types has not read a page: what stands in the mill now is taken for what was seen. */
typedef struct seen {
    const char *recipe, *was;
    int revision;
} seen;

static bool write_state(mdr_cli *c, mdr_jout *j, int work, const seen *s)
{
    static const char *const STATES[MDR_LAB_ASK_COUNT] = {[MDR_LAB_ASK_SUBMIT] = "submitted",
                                                          [MDR_LAB_ASK_APPROVE] = "approved",
                                                          [MDR_LAB_ASK_REJECT] = "rejected"};
    bool fine = true;
    mdr_jout_text(j, "state", STATES[work]);
    mdr_jout_number(j, "revision", s->revision);
    if (c->own[OPT_PICK] != NULL) {
        mdr_jout_bool(j, "recipe_of_shade", true);
        mdr_jout_text(j, "was", s->was);
    }
    for (int i = OPT_REMARK; mdr_lab_options[i].name != NULL && fine; i++) {
        fine = i == OPT_PICK || write_option(c, j, i, mdr_lab_options[i].key);
    }
    return fine;
}

static bool write_pick(mdr_cli *c, mdr_jout *j, const seen *s)
{
    const bool guess = c->own[OPT_GUESS] != NULL;
    if (guess && c->own[OPT_MACHINE] == NULL) {
        (void)mdr_cli_misuse(c, "add --machine ID, or leave it out",
                             "--best-guess goes with --machine");
        return false;
    }
    mdr_jout_text(j, "recipe", s->recipe);
    mdr_jout_text(j, "was", s->was);
    if (guess) {
        mdr_jout_bool(j, "best_guess", true);
    }
    return write_option(c, j, OPT_MACHINE, "machine_id");
}

static bool write_work(mdr_cli *c, mdr_jout *j, int work, const seen *s, mdr_blob file)
{
    switch (work) {
    case MDR_LAB_ASK_ADD:
        return write_add(c, j, file);
    case MDR_LAB_ASK_DIP:
        return write_dip(c, j);
    case MDR_LAB_ASK_PICK:
        return write_pick(c, j, s);
    default:
        return write_state(c, j, work, s);
    }
}

typedef struct asking {
    int which;
    const seen *seen;
    mdr_blob file;
} asking;

static bool put_work(mdr_cli *c, mdr_jout *j, const void *about)
{
    const asking *w = about;
    return write_work(c, j, w->which, w->seen, w->file);
}

/* -- what stands in the mill now -- */

static const mdr_app_lab_dip *dip_of(const mdr_app_lab_lines *lines, const char *dip_id)
{
    for (int i = 0; i < lines->n_dips; i++) {
        if (strcmp(lines->dips[i].dip_id, dip_id) == 0) {
            return &lines->dips[i];
        }
    }
    return NULL;
}

static mdr_code no_dip(const char *dip_id, const char *msg, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "dip_id", "%s", msg);
    mdr_err_value(err, "%s", dip_id);
    mdr_err_remedy(err, "`madder lab list` shows the dips");
    return rc;
}

static mdr_code look_dip(mdr_cli *c, seen *s)
{
    mdr_app_lab_lines lines;
    MDR_TRY(mdr_app_lab_list(c->app, c->arena, &lines, &c->err));
    const mdr_app_lab_dip *dip = dip_of(&lines, c->args[1]);
    if (dip == NULL) {
        return no_dip(c->args[1], "there is no such dip", &c->err);
    }
    s->revision = dip->revision;
    return mdr_app_lab_recipe_now(c->app, dip->shade_id, c->arena, &s->was, &c->err);
}

static mdr_code look_shade(mdr_cli *c, seen *s)
{
    mdr_app_lab_lines lines;
    MDR_TRY(mdr_app_lab_recipe_now(c->app, c->args[1], c->arena, &s->was, &c->err));
    s->recipe = c->own[OPT_RECIPE];
    if (s->recipe != NULL) {
        return MDR_OK;
    }
    MDR_TRY(mdr_app_lab_list(c->app, c->arena, &lines, &c->err));
    const mdr_app_lab_dip *dip = dip_of(&lines, c->own[OPT_DIP]);
    if (dip == NULL || strcmp(dip->shade_id, c->args[1]) != 0) {
        return no_dip(c->own[OPT_DIP], "the shade has no such dip", &c->err);
    }
    s->recipe = dip->recipe;
    return MDR_OK;
}

static mdr_code look(mdr_cli *c, int work, seen *s)
{
    if (work == MDR_LAB_ASK_PICK) {
        return look_shade(c, s);
    }
    return work == MDR_LAB_ASK_ADD || work == MDR_LAB_ASK_DIP ? MDR_OK : look_dip(c, s);
}

/* -- doing -- */

static void local_day(char *out, size_t size)
{
    const time_t now = time(NULL);
    struct tm parts;
    if (localtime_r(&now, &parts) == NULL || strftime(out, size, "%Y-%m-%d", &parts) == 0) {
        out[0] = '\0';
    }
}

static int run(mdr_cli *c, int work, mdr_blob document)
{
    static mdr_code (*const CALLS[MDR_LAB_ASK_COUNT])(
        mdr_app *, const mdr_app_lab_ask *, mdr_arena *, mdr_err_list *, mdr_blob *,
        mdr_err *) = {[MDR_LAB_ASK_ADD] = mdr_app_lab_samples,
                      [MDR_LAB_ASK_DIP] = mdr_app_lab_dip_new,
                      [MDR_LAB_ASK_SUBMIT] = mdr_app_lab_dip_change,
                      [MDR_LAB_ASK_APPROVE] = mdr_app_lab_dip_change,
                      [MDR_LAB_ASK_REJECT] = mdr_app_lab_dip_change,
                      [MDR_LAB_ASK_PICK] = mdr_app_lab_recipe};
    char today[16];
    const char *said = "";
    mdr_blob out = {0};
    local_day(today, sizeof today);
    const mdr_app_lab_ask ask = {
        .body = document, .id = c->n_args > 1 ? c->args[1] : "", .today = today, .said = &said};
    if (CALLS[work](c->app, &ask, c->arena, &c->found, &out, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    if (c->json) {
        return mdr_cli_put_json(c, out);
    }
    (void)puts(said);
    return MDR_EXIT_DONE;
}

/* -- list -- */

static void put_dip(const mdr_app_lab_dip *d)
{
    char day[16], difference[32] = "";
    enum { ID = 14, STATE = 10, DAY = 11, DIFFERENCE = 8, REST = 47 };
    if (d->has_difference) {
        (void)snprintf(difference, sizeof difference, "%.2f%s", d->difference,
                       d->within ? "" : " !");
    }
    (void)fputs("  ", stdout);
    mdr_text_pad(d->dip_id, ID);
    (void)putchar(' ');
    mdr_text_pad(d->state, STATE);
    (void)putchar(' ');
    mdr_text_pad(mdr_text_day(d->made_utc_ms, day), DAY);
    (void)putchar(' ');
    mdr_text_pad(difference, DIFFERENCE);
    (void)putchar(' ');
    mdr_text_cut(d->recipe, REST);
    (void)putchar('\n');
}

static int list(mdr_cli *c)
{
    const mdr_term term = mdr_term_look();
    mdr_app_lab_lines lines;
    mdr_blob out = {0};
    if (c->json) {
        return mdr_app_lab_json(c->app, c->arena, &out, &c->err) == MDR_OK
                   ? mdr_cli_put_json(c, out)
                   : mdr_cli_fail(c);
    }
    if (mdr_app_lab_list(c->app, c->arena, &lines, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    mdr_term_put(&term, MDR_TINT_STRONG, "Substrates, their dyed samples by dye\n");
    for (int i = 0; i < lines.n_substrates; i++) {
        const mdr_app_lab_substrate *s = &lines.substrates[i];
        const char *line = mdr_arena_printf(c->arena, "  %s: %s%s", s->substrate, s->dyes,
                                            s->cloth[0] != '\0' ? "" : "; no undyed cloth");
        mdr_text_wrap(line != NULL ? line : "", 4, MDR_TERM_WIDTH);
    }
    mdr_term_put(&term, MDR_TINT_STRONG,
                 "Dips by shade; CMC(2:1) from the standard, ! beyond the tolerance\n");
    for (int i = 0; i < lines.n_dips; i++) {
        const mdr_app_lab_dip *d = &lines.dips[i];
        if (i == 0 || strcmp(d->shade_id, lines.dips[i - 1].shade_id) != 0) {
            (void)printf(" %s %s\n", d->shade_id, d->shade);
        }
        put_dip(d);
    }
    if (lines.n_substrates + lines.n_dips == 0) {
        (void)puts("(none)");
    }
    return MDR_EXIT_DONE;
}

int mdr_cmd_lab(mdr_cli *c)
{
    enum { FILE_MAX_BYTES = 1 << 20 };
    mdr_blob document = {0}, file = {0};
    seen s = {.recipe = "", .was = ""};
    const int which = mdr_cli_word(c, WORKS, MDR_LAB_ASK_COUNT, "work");
    if (which < 0) {
        return MDR_EXIT_USAGE;
    }
    int rc = check_arguments(c, which);
    if (rc != MDR_EXIT_DONE) {
        return rc;
    }
    if (which == MDR_LAB_ASK_ADD &&
        mdr_file_read(c->args[1], FILE_MAX_BYTES, c->arena, &file, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    rc = mdr_cli_open(c, which != MDR_LAB_ASK_LIST);
    if (rc != MDR_EXIT_DONE || which == MDR_LAB_ASK_LIST) {
        return rc == MDR_EXIT_DONE ? list(c) : rc;
    }
    if (look(c, which, &s) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    const asking asked = {which, &s, file};
    rc = mdr_cli_document(c, put_work, &asked, &document);
    return rc == MDR_EXIT_DONE ? run(c, which, document) : rc;
}
