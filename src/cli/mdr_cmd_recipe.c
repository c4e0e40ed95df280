/* recipe: the options become the question, the files come beside it. */
#include "cli/mdr_cmd_recipe.h"

#include <stdio.h>
#include <string.h>

#include "app/mdr_app_recipe.h"
#include "cli/mdr_cmd_ask.h"
#include "cli/mdr_cmd_document.h"
#include "cli/mdr_files.h"

#define CALIBRATE (1u << MDR_RECIPE_ASK_CALIBRATE)
#define PREDICT   (1u << MDR_RECIPE_ASK_PREDICT)
#define FIND      (1u << MDR_RECIPE_ASK_FIND)
#define CORRECT   (1u << MDR_RECIPE_ASK_CORRECT)
#define DISPENSE  (1u << MDR_RECIPE_ASK_DISPENSE)
#define COLOUR    (PREDICT | FIND | CORRECT)
#define MEASURED  (CALIBRATE | COLOUR)
#define DOSED     (PREDICT | FIND | DISPENSE)

enum { FILES = MDR_RECIPE_FILE_COUNT, SUBSTRATE = FILES, SHADE, MACHINE, BEST_GUESS };

/* The files first, in the order of mdr_recipe_file_kind: they have no member of the question. */
const mdr_own_opt mdr_recipe_options[] = {
    {"spectra", "FILE", "measured samples: CSV, CGATS or CxF3", NULL, MEASURED, true},
    {"ladder", "FILE", "CSV dye_id,depth_pct_owf,sample; without it samples are called DYE@DEPTH",
     NULL, MEASURED, true},
    {"dyes", "FILE", "CSV of what is known of the dyes: price, uptake, fastness, strength", NULL,
     MEASURED | DISPENSE, true},
    {"standard-file", "FILE", "where the standard is, when not in --spectra", NULL, COLOUR, true},
    {"sample-file", "FILE", "where the sample is, when not in --spectra", NULL, PREDICT | CORRECT,
     true},
    {"dose-table", "FILE", "dose tables of the dyes: salt and alkali by depth", NULL, DOSED, true},
    {"dose-band", "FILE", "their bands", NULL, DOSED, true},
    {"substrate", "NAME", "samples of this substrate of the mill, in place of files", NULL,
     MEASURED, true},
    {"shade", "ID", "of this shade: its class, standard, tolerance, dips; heads the sheet", NULL,
     MEASURED | DISPENSE, true},
    {"machine", "ID", "and what lots of the mill taught of the shade on it, offered beside", NULL,
     FIND, true},
    {"best-guess", NULL, "offer factors whose range holds 1 too", NULL, FIND, true},
    {"cloth", "NAME", "sample that is the undyed cloth (substrate)", "cloth", MEASURED | DISPENSE,
     true},
    {"standard", "NAME", "sample that is the standard", "standard", COLOUR, true},
    {"sample", "NAME", "sample that came out", "sample", PREDICT | CORRECT, true},
    {"recipe", "DYE=DEPTH,...", "dyes and % owf: R-1=1.2,B-2=0.4; dips apart by ;", "recipe",
     PREDICT | CORRECT | DISPENSE, true},
    {"must", "DYE,...", "dyes that every recipe holds", "must", FIND, true},
    {"never", "DYE,...", "dyes that none holds", "never", FIND, true},
    {"limits", "DYE=DEPTH,...", "deepest dose of these dyes", "limits", FIND, true},
    {"ratios", "DYE=PART,...", "dyes that go only together, in this ratio; others behind ;",
     "ratios", FIND, true},
    {"lights", "NAME,...", "illuminants, the first decides (D65,A,F11)", "lights", MEASURED, true},
    {"observer", "2|10", "degree (10)", "observer", MEASURED, false},
    {"formula", "WORD", "cmc, ciede2000, cie94, cie76 or din99 (cmc)", "formula", COLOUR, true},
    {"l", "N", "its weight of lightness (CMC 2)", "l", COLOUR, false},
    {"c", "N", "its weight of chroma (1)", "c", COLOUR, false},
    {"tolerance", "N", "difference that is good enough (1)", "tolerance", FIND | CORRECT, false},
    {"surface", "WORD", "fit, none, limit or saunderson (fit)", "surface", MEASURED, true},
    {"k1", "N", "reflected outside, for limit and saunderson", "k1", MEASURED, false},
    {"k2", "N", "sent back inside, for saunderson", "k2", MEASURED, false},
    {"beyond", "N", "deepest allowed over deepest sample (1.25)", "beyond", MEASURED, false},
    {"scale", "WORD", "of the spectra: auto, fraction or percent (auto)", "scale", MEASURED, true},
    {"dyes-max", "N", "dyes in one recipe, 1 to 4 (3)", "dyes_max", FIND, false},
    {"show", "N", "recipes to show (10)", "shown", FIND, false},
    {"tie", "WORD", "what decides between equals: lights or spectrum (lights)", "tie", FIND, true},
    {"weigh-least", "% OWF", "least that can be weighed for this lot", "weigh_least_pct_owf", FIND,
     false},
    {"lot", "KG", "for the stock", "lot_kg", FIND, false},
    {"wise", "%", "largest wise addition, of the dye in the recipe (15)", "wise_pct", CORRECT,
     false},
    {"wise-count", "N", "additions that are wise (2)", "wise_count", CORRECT, false},
    {"done", "N", "additions made so far (0)", "done_count", CORRECT, false},
    {"strength-sd", "N", "usual scatter of strength and dose, part of 1 (0.15)", "strength_sd",
     CORRECT, false},
    {"sample-g", "G", "mass of the laboratory sample", "sample_g", DISPENSE, false},
    {"ratio", "L/KG", "liquor ratio (10)", "ratio_l_per_kg", DOSED, false},
    {"vessel", "ML", "what the pot holds", "vessel_ml", DISPENSE, false},
    {"stock", "G/L", "strength of the stock solutions (10)", "stock_g_per_l", DISPENSE, false},
    {"pipette-least", "ML", "least that is pipetted (0.5)", "pipette_least_ml", DISPENSE, false},
    {"pipette-step", "ML", "step of the pipette (0.05)", "pipette_step_ml", DISPENSE, false},
    {"salt", "G/L", "salt of the dyeing", "salt_g_per_l", DISPENSE, false},
    {"alkali", "G/L", "alkali of the dyeing", "alkali_g_per_l", DISPENSE, false},
    {"round", "N", "which round of dips of this shade", "round", DISPENSE, false},
    {"dips", "NAME,...", "numbers of the dips, in their order", "dips", DISPENSE, true},
    {"programme", "LINE;...", "lines of the dyeing programme, for the sheet", "programme", DISPENSE,
     true},
    {"pdf", "FILE", "write the laboratory sheet; - is the standard output", NULL, DISPENSE, true},
    {NULL, NULL, NULL, NULL, 0, false},
};

static const char *const PLACES[MDR_RECIPE_ASK_COUNT] = {
    [MDR_RECIPE_ASK_CALIBRATE] = "calibrate", [MDR_RECIPE_ASK_PREDICT] = "predict",
    [MDR_RECIPE_ASK_FIND] = "find",           [MDR_RECIPE_ASK_CORRECT] = "correct",
    [MDR_RECIPE_ASK_DISPENSE] = "dispense",
};

static void notes(void)
{
    (void)puts("\nQuestions, and what each needs besides --spectra, or --mill and --substrate:\n"
               "  calibrate     nothing: each dyed sample as the others predict it\n"
               "  predict       --recipe; --sample to hold against it\n"
               "  find          --standard\n"
               "  correct       --recipe as dyed, --standard, --sample as it came out\n"
               "  dispense      --recipe --sample-g --ratio, no spectra; --pdf FILE: the sheet\n"
               "Salt and alkali by depth: --dyes with nature, salt_table, alkali_table;\n"
               "--dose-table and --dose-band.\n"
               "Example:  madder recipe dispense --recipe R-1=1.2,B-2=0.04 --sample-g 5 \\\n"
               "              --ratio 10");
}

static const char *first(int i)
{
    return i < MDR_RECIPE_ASK_COUNT ? PLACES[i] : NULL;
}

const mdr_command_more mdr_recipe_more = {notes, first};

/* -- the question -- */

static bool write_member(mdr_cli *c, mdr_jout *j, int i, int place)
{
    const mdr_own_opt *o = &mdr_recipe_options[i];
    double v = 0;
    if ((o->of & (1u << place)) == 0) {
        (void)mdr_cli_misuse(c, "`madder help recipe` lists its options",
                             "`madder recipe %s` has no option --%s", PLACES[place], o->name);
        return false;
    }
    if (o->key == NULL) {
        return true;
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

static bool put_question(mdr_cli *c, mdr_jout *j, const void *about)
{
    const int place = *(const int *)about;
    mdr_jout_text(j, "do", PLACES[place]);
    for (int i = 0; mdr_recipe_options[i].name != NULL; i++) {
        if (c->own[i] != NULL && !write_member(c, j, i, place)) {
            return false;
        }
    }
    if (place == MDR_RECIPE_ASK_DISPENSE && c->own[SHADE] != NULL) {
        mdr_jout_text(j, "shade", c->own[SHADE]);
    }
    return true;
}

/* -- the files -- */

enum { FILE_MAX_BYTES = 32 << 20 };

static mdr_code read_files(mdr_cli *c, mdr_recipe_case *asked)
{
    for (int i = 0; i < FILES; i++) {
        const char *path = c->own[i];
        if (path == NULL) {
            continue;
        }
        const char *shown = strrchr(path, '/');
        asked->files[i].name = shown != NULL ? shown + 1 : path;
        MDR_TRY(mdr_file_read(path, FILE_MAX_BYTES, c->arena, &asked->files[i].text, &c->err));
    }
    return MDR_OK;
}

/* Samples come as files or from the mill, not both; the shade of a dispensing is for its sheet. */
static int check_sources(mdr_cli *c, int place)
{
    if (c->own[SUBSTRATE] == NULL && c->own[SHADE] != NULL && place != MDR_RECIPE_ASK_DISPENSE) {
        return mdr_cli_misuse(c, "add --substrate NAME; `madder lab list` lists them",
                              "--shade needs the substrate whose samples are meant");
    }
    if (c->own[MACHINE] != NULL && c->own[SHADE] == NULL) {
        return mdr_cli_misuse(c, "add --substrate NAME --shade ID",
                              "--machine: factors of a machine are those of a shade on it");
    }
    if (c->own[BEST_GUESS] != NULL && c->own[MACHINE] == NULL) {
        return mdr_cli_misuse(c, "add --machine ID, or leave it out",
                              "--best-guess goes with --machine");
    }
    for (int i = 0; i < FILES && c->own[SUBSTRATE] != NULL; i++) {
        if (c->own[i] != NULL) {
            return mdr_cli_misuse(c, "leave out one of them",
                                  "--substrate takes the samples of the mill, --%s a file",
                                  mdr_recipe_options[i].name);
        }
    }
    return MDR_EXIT_DONE;
}

static mdr_code ask(mdr_cli *c, mdr_recipe_case *asked, const mdr_answer **out)
{
    if (c->own[SUBSTRATE] == NULL) {
        return mdr_app_recipe(asked, c->arena, &c->found, out, &c->err);
    }
    const mdr_recipe_from from = {.substrate = c->own[SUBSTRATE],
                                  .shade_id = c->own[SHADE] != NULL ? c->own[SHADE] : "",
                                  .machine_id = c->own[MACHINE] != NULL ? c->own[MACHINE] : "",
                                  .best_guess = c->own[BEST_GUESS] != NULL};
    return mdr_app_recipe_of_mill(c->app, &from, asked->question, c->arena, &c->found, out,
                                  &c->err);
}

/* -- the sheet -- */

static const char *pdf_path(const mdr_cli *c)
{
    for (int i = 0; mdr_recipe_options[i].name != NULL; i++) {
        if (strcmp(mdr_recipe_options[i].name, "pdf") == 0) {
            return c->own[i];
        }
    }
    return NULL;
}

static bool may_print(mdr_cli *c, const char *path)
{
    if (path == NULL && c->opts[MDR_OPT_FORCE] != NULL) {
        (void)mdr_cli_misuse(c, "leave it out, or give --pdf FILE",
                             "--force: there is no file to write");
        return false;
    }
    if (path != NULL && mdr_file_is_stdout(path) && c->json) {
        (void)mdr_cli_misuse(c, "leave out --json, or name a file",
                             "a PDF and JSON cannot share the standard output");
        return false;
    }
    return true;
}

static int print_sheet(mdr_cli *c, const mdr_recipe_case *asked, const char *path)
{
    char now[40];
    mdr_blob pdf = {0};
    mdr_cli_now(now, sizeof now);
    const mdr_recipe_paper paper = {.place = "", .printed_at = now};
    if (mdr_file_may_write(path, c->opts[MDR_OPT_FORCE] != NULL, &c->err) != MDR_OK ||
        mdr_app_recipe_sheet(asked, &paper, c->arena, &c->found, &pdf, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    return mdr_cli_put_pdf(c, path, pdf);
}

int mdr_cmd_recipe(mdr_cli *c)
{
    mdr_recipe_case asked = {.stock = NULL};
    const mdr_answer *a = NULL;
    mdr_blob out = {0};
    const int place = mdr_cli_word(c, PLACES, MDR_RECIPE_ASK_COUNT, "question");
    const char *path = pdf_path(c);
    if (place < 0 || !may_print(c, path)) {
        return MDR_EXIT_USAGE;
    }
    int rc = check_sources(c, place);
    rc = rc == MDR_EXIT_DONE ? mdr_cli_document(c, put_question, &place, &asked.question) : rc;
    if (rc == MDR_EXIT_DONE && c->own[SUBSTRATE] != NULL) {
        rc = mdr_cli_open(c, false);
    }
    if (rc != MDR_EXIT_DONE) {
        return rc;
    }
    if (read_files(c, &asked) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    if (path != NULL) {
        return print_sheet(c, &asked, path);
    }
    if (ask(c, &asked, &a) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    if (!c->json) {
        mdr_cmd_ask_put(c, a);
        return MDR_EXIT_DONE;
    }
    return mdr_answer_json(a, c->arena, &out, &c->err) == MDR_OK ? mdr_cli_put_json(c, out)
                                                                 : mdr_cli_fail(c);
}
