/* learn: right first time, control charts, laboratory-to-bulk factors. */
#include "cli/mdr_cmd_learn.h"

#include <string.h>

#include "app/mdr_app_learn.h"
#include "base/mdr_csv.h"
#include "cli/mdr_files.h"
#include "cli/mdr_show_sheet.h"

enum { FROM_FILE, BASE, RULES, ROWS, AFTER };

const mdr_own_opt mdr_learn_options[] = {
    [FROM_FILE] = {"file", "FILE",
                   "lots from this table (CSV) in place of the mill's; - reads standard input",
                   NULL, MDR_LEARN_ASK_ALL, true},
    [BASE] = {"base", "N", "the first N points of a chart give its limits (all)", "base",
              MDR_LEARN_ASK_ALL, false},
    [RULES] = {"rules", "WORD", "short, four rules, or long, eight (short)", "rules",
               MDR_LEARN_ASK_ALL, true},
    [ROWS] = {"rows", "N", "rows of a long table, newest points (500)", "rows", MDR_LEARN_ASK_ALL,
              false},
    [AFTER] = {"after", "N", "rows behind the first N: rows_next of the answer before", "after",
               MDR_LEARN_ASK_ALL, false},
    {NULL, NULL, NULL, NULL, 0, false},
};

static int bad_rules(mdr_cli *c)
{
    return mdr_cli_misuse(c, "short or long", "--rules: there is no list %s", c->own[RULES]);
}

/* A whole number of rows; false after a mistake that was told. */
static bool rows_option(mdr_cli *c, int option, int *out)
{
    const char *name = mdr_learn_options[option].name, *text = c->own[option];
    double v = 0.0;
    if (text != NULL && !mdr_cli_number_of(c, name, text, &v)) {
        return false;
    }
    if (v < 0.0 || v > INT32_MAX || (double)(int)v < v) {
        (void)mdr_cli_misuse(c, "a whole number, 0 or more", "--%s: %s is not a number of rows",
                             name, text);
        return false;
    }
    *out = (int)v;
    return true;
}

/* What the options say beside the lots. */
static int options_of(mdr_cli *c, mdr_learn_in *in)
{
    const char *rules = c->own[RULES];
    double base = 0.0;
    if (rules != NULL && strcmp(rules, "short") != 0 && strcmp(rules, "long") != 0) {
        return bad_rules(c);
    }
    if (c->own[BASE] != NULL && !mdr_cli_number_of(c, "base", c->own[BASE], &base)) {
        return MDR_EXIT_USAGE;
    }
    if (base < 0.0 || base > MDR_LEARN_LOTS_MAX || (double)(int)base < base) {
        return mdr_cli_misuse(c, "a whole number from 2 to 20000; 0: all points",
                              "--base: %s is not a number of points", c->own[BASE]);
    }
    if (!rows_option(c, ROWS, &in->rows) || !rows_option(c, AFTER, &in->from)) {
        return MDR_EXIT_USAGE;
    }
    in->long_list = rules != NULL && strcmp(rules, "long") == 0;
    in->base = (int)base;
    return MDR_EXIT_DONE;
}

static mdr_code from_file(mdr_cli *c, mdr_learn_in *in)
{
    const char *path = c->own[FROM_FILE];
    const char *name = strcmp(path, "-") == 0 ? "standard input" : path;
    mdr_blob csv;
    MDR_TRY(mdr_file_read(path, MDR_CSV_BYTES_MAX, c->arena, &csv, &c->err));
    return mdr_app_learn_read(name, csv, c->arena, &c->found, in, &c->err);
}

int mdr_cmd_learn(mdr_cli *c)
{
    mdr_learn_in asked = {.n = 0}, in = {.n = 0};
    const mdr_sheet *sheet = NULL;
    const int usage = options_of(c, &asked);
    if (usage != MDR_EXIT_DONE) {
        return usage;
    }
    if (c->own[FROM_FILE] != NULL) {
        if (from_file(c, &in) != MDR_OK) {
            return mdr_cli_fail(c);
        }
        in.long_list = asked.long_list;
        in.base = asked.base;
        in.rows = asked.rows;
        in.from = asked.from;
        if (mdr_app_learn(&in, c->arena, &sheet, &c->err) != MDR_OK) {
            return mdr_cli_fail(c);
        }
    } else {
        const int opened = mdr_cli_open(c, false);
        if (opened != MDR_EXIT_DONE) {
            return opened;
        }
        if (mdr_app_learn_mill(c->app, &asked, c->arena, &sheet, &c->err) != MDR_OK) {
            return mdr_cli_fail(c);
        }
    }
    if (c->json) {
        mdr_blob out = {0};
        return mdr_sheet_json(sheet, c->arena, &out, &c->err) == MDR_OK ? mdr_cli_put_json(c, out)
                                                                        : mdr_cli_fail(c);
    }
    const mdr_term term = mdr_term_look();
    mdr_show_sheet(sheet, &term);
    return MDR_EXIT_DONE;
}
