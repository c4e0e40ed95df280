/* Questions about measured cloth. */
#include "cli/mdr_cmd_colour.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/mdr_files.h"
#include "cli/mdr_show_sheet.h"

enum { FILE_BYTES_MAX = 32 << 20 }; /* as the reader of spectra takes */

static void notes(void)
{
    (void)puts("\nQuestions; files are CSV, CGATS or CxF3 (docs/formats.md#spectra):\n"
               "  read FILE                      L*, a*, b*, C*, h of every sample, swatch\n"
               "  difference STANDARD [SAMPLES]  verdict under every light, parts, metamerism\n"
               "  whiteness FILE                 CIE whiteness and tint, yellowness\n"
               "  strength STANDARD [SAMPLES]    % of the standard, three ways; --substrate\n"
               "  fastness ORIGINAL [TESTED]     grades of change, or --staining\n"
               "  group FILE --max DE            fewest groups of rolls, order to cut, codes\n"
               "  level FILE                     spread, worst pair, end to end, side to side\n"
               "One file may hold standard and samples. Colours without a file:\n"
               "--standard-lab and --sample-lab.\n"
               "Example:  madder colour difference --standard-lab 40,20,-12 \\\n"
               "              --sample-lab 40.4,20.9,-12.3");
}

static const char *first(int i)
{
    return i < MDR_COLOUR_QUESTION_COUNT ? mdr_colour_question_id((mdr_colour_question)i) : NULL;
}

const mdr_command_more mdr_colour_more = {notes, first};

static bool which_question(mdr_cli *c, mdr_colour_question *out)
{
    int best = -1, least = 3; /* more than two typing errors is another word */
    for (int i = 0; i < MDR_COLOUR_QUESTION_COUNT; i++) {
        const int d = mdr_word_distance(c->args[0], mdr_colour_question_id((mdr_colour_question)i));
        if (d == 0) {
            *out = (mdr_colour_question)i;
            return true;
        }
        if (d < least) {
            least = d;
            best = i;
        }
    }
    char remedy[80] = "`madder help colour` lists the questions";
    if (best >= 0) {
        (void)snprintf(remedy, sizeof remedy, "did you mean `madder colour %s`?",
                       mdr_colour_question_id((mdr_colour_question)best));
    }
    (void)mdr_cli_misuse(c, remedy, "unknown question %s", c->args[0]);
    return false;
}

/* "0.5,0.3,0.4" */
static bool list_of(mdr_cli *c, const mdr_own_opt *o, const char *text, mdr_colour_list *out)
{
    out->n = 0;
    for (const char *at = text;; at++) {
        char number[32];
        const size_t len = strcspn(at, ",");
        char *end = NULL;
        (void)snprintf(number, sizeof number, "%.*s", (int)len, at);
        const double v = strtod(number, &end);
        const bool plain = number[strspn(number, "+-.0123456789eE")] == '\0';
        if (len == 0 || len >= sizeof number || *end != '\0' || !plain || !isfinite(v) ||
            out->n == MDR_COLOUR_LIST_MAX) {
            (void)mdr_cli_misuse(c,
                                 "give numbers such as 0.5, with commas between several, and no "
                                 "spaces or units",
                                 "--%s: %s cannot be read", o->name, text);
            return false;
        }
        out->v[out->n++] = v;
        at += len;
        if (*at == '\0') {
            return true;
        }
    }
}

static bool check_options(mdr_cli *c, mdr_colour_question question)
{
    for (int i = 0; i < MDR_COLOUR_OPT_COUNT; i++) {
        if (c->own[i] != NULL && (mdr_colour_options[i].of & (1u << question)) == 0) {
            (void)mdr_cli_misuse(c, "`madder help colour` lists its options",
                                 "`madder colour %s` has no option --%s", c->args[0],
                                 mdr_colour_options[i].name);
            return false;
        }
    }
    if (c->own[MDR_COLOUR_OPT_ILLUMINANT] != NULL && c->own[MDR_COLOUR_WORD_ILLUMINANTS] != NULL) {
        (void)mdr_cli_misuse(c, "give one of them",
                             "--illuminant and --illuminants are the same option");
        return false;
    }
    return true;
}

static bool options_of(mdr_cli *c, mdr_colour_ask *ask)
{
    if (!check_options(c, ask->question)) {
        return false;
    }
    for (int i = 0; i < MDR_COLOUR_WORD_COUNT; i++) {
        ask->word[i] = c->own[i];
    }
    if (c->own[MDR_COLOUR_OPT_ILLUMINANT] != NULL) {
        ask->word[MDR_COLOUR_WORD_ILLUMINANTS] = c->own[MDR_COLOUR_OPT_ILLUMINANT];
    }
    for (int i = 0; i < MDR_COLOUR_NUMBER_COUNT; i++) {
        const int at = MDR_COLOUR_OPT_NUMBERS + i;
        if (c->own[at] != NULL &&
            !list_of(c, &mdr_colour_options[at], c->own[at], &ask->number[i])) {
            return false;
        }
    }
    for (int i = 0; i < MDR_COLOUR_SWITCH_COUNT; i++) {
        ask->is[i] = c->own[MDR_COLOUR_OPT_SWITCHES + i] != NULL;
    }
    return true;
}

static bool check_files(mdr_cli *c, mdr_colour_question question)
{
    const bool two = question == MDR_COLOUR_DIFFERENCE || question == MDR_COLOUR_STRENGTH ||
                     question == MDR_COLOUR_FASTNESS;
    const bool labs = question == MDR_COLOUR_DIFFERENCE || question == MDR_COLOUR_FASTNESS;
    if (c->n_args < 2 && !labs) {
        (void)mdr_cli_misuse(c, "name it: madder colour QUESTION FILE", "which file?");
        return false;
    }
    if (c->n_args > 2 && !two) {
        (void)mdr_cli_misuse(c, "leave it out", "`madder colour %s` has no use for the argument %s",
                             c->args[0], c->args[2]);
        return false;
    }
    if (c->n_args > 2 && strcmp(c->args[1], "-") == 0 && strcmp(c->args[2], "-") == 0) {
        (void)mdr_cli_misuse(c, "give one of them a name",
                             "the standard input cannot be both files");
        return false;
    }
    return true;
}

static mdr_code read_files(mdr_cli *c, mdr_colour_ask *ask)
{
    for (int i = 1; i < c->n_args; i++) {
        mdr_colour_file *f = &ask->file[ask->n_files++];
        f->name = strcmp(c->args[i], "-") == 0 ? "standard input" : c->args[i];
        MDR_TRY(mdr_file_read(c->args[i], FILE_BYTES_MAX, c->arena, &f->text, &c->err));
    }
    return MDR_OK;
}

/* A person at a terminal knows the option, not the member. */
static int fail(mdr_cli *c)
{
    for (int i = 0; i < MDR_COLOUR_OPT_COUNT && !c->json; i++) {
        const mdr_own_opt *o = &mdr_colour_options[i];
        if (strcmp(o->key, c->err.place) == 0) {
            (void)snprintf(c->err.place, sizeof c->err.place, "--%s", o->name);
        }
    }
    return mdr_cli_fail(c);
}

int mdr_cmd_colour(mdr_cli *c)
{
    mdr_colour_ask ask = {.n_files = 0};
    if (!which_question(c, &ask.question) || !options_of(c, &ask) ||
        !check_files(c, ask.question)) {
        return MDR_EXIT_USAGE;
    }
    if (read_files(c, &ask) != MDR_OK) {
        return fail(c);
    }
    if (c->json) {
        mdr_blob out = {0};
        return mdr_app_colour_json(&ask, c->arena, &c->found, &out, &c->err) == MDR_OK
                   ? mdr_cli_put_json(c, out)
                   : fail(c);
    }
    const mdr_sheet *sheet = NULL;
    if (mdr_app_colour(&ask, c->arena, &c->found, &sheet, &c->err) != MDR_OK) {
        return fail(c);
    }
    const mdr_term term = mdr_term_look();
    mdr_show_sheet(sheet, &term);
    return MDR_EXIT_DONE;
}
