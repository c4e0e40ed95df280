/*
 * mdr_app_learn.h - what the lots that were dyed teach: right first time by shade, machine, dye set,
 * article and month; control charts; laboratory-to-bulk factors.
 *
 * Layer: app. Pure: the lots are given, from a mill's records or from a table of an older book. The
 * numbers come from core/quality. As JSON: docs/formats.md#what-the-lots-teach.
 */
#ifndef MDR_APP_LEARN_H
#define MDR_APP_LEARN_H

#include "app/mdr_sheet.h"
#include "core/quality/mdr_bulk_factor.h"

/* ROWS_USUAL (invented): what one screen or page of a report can use, of each long table */
enum {
    MDR_LEARN_LOTS_MAX = 20000,
    MDR_LEARN_ROWS_USUAL = 500,
    MDR_LEARN_TEXT_MAX = 40,
    MDR_LEARN_ADDITIONS_MOST = 99
};
#define MDR_LEARN_DE_MOST 100.0

typedef struct mdr_learn_dye {
    const char *dye_id;
    double planned_pct, found_pct; /* % owf: of the laboratory's recipe; of all that went in until
                                      the shade was right. 0 planned: it was no part of the recipe */
} mdr_learn_dye;

typedef struct mdr_learn_lot {
    const char *lot_id;
    const char *shade_id, *machine_id, *dye_set, *article_id; /* "" or NULL: not known */
    const mdr_learn_dye *dyes;
    int64_t ended_utc_ms;
    double de; /* colour difference from the standard, when has_de */
    int n_dyes, additions;
    bool right_first, has_de;
} mdr_learn_lot;

typedef struct mdr_learn_in {
    const mdr_learn_lot *lots; /* in any order */
    int n;
    int offset_min;    /* the mill's clock ahead of UTC */
    int base;          /* points of a chart's base period; 0: all */
    bool long_list;    /* the longer list of rules */
    bool unproven_too; /* factors whose range holds 1 would be applied too */
    /* Of the long tables (groups of each kind, points of each chart, signals, factors) so many rows are
     * told, from this one on; points and signals newest last, so from the end. rows 0: as usual. */
    int rows, from;
    int left_out; /* lots of the mill that were not looked at, oldest first; it is said */
} mdr_learn_in;

/*
 *   errors  MDR_E_ARG    n not 0 .. MDR_LEARN_LOTS_MAX (place "lots"), base below 0 (place "base"),
 *                        rows or from below 0 (place "rows", "from")
 *           MDR_E_RANGE  a lot that cannot be: "lots[i].ended_utc_ms" (1970 to 2199), ".de" (0 .. 100),
 *                        ".additions" (0 .. 99)
 *           MDR_E_NOMEM
 */
mdr_code mdr_app_learn(const mdr_learn_in *in, mdr_arena *arena, const mdr_sheet **out,
                       mdr_err *err) MDR_MUST_CHECK;
/* The same as JSON. */
mdr_code mdr_app_learn_json(const mdr_learn_in *in, mdr_arena *arena, mdr_blob *out,
                            mdr_err *err) MDR_MUST_CHECK;

/* What the lots of the mill teach, asked as in `asked` (its lots are not looked at): without lots
 * that were run it says so. The newest MDR_LEARN_LOTS_MAX batches; that it is not all of them is said. */
mdr_code mdr_app_learn_mill(mdr_app *app, const mdr_learn_in *asked, mdr_arena *arena,
                            const mdr_sheet **out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_learn_mill_json(mdr_app *app, const mdr_learn_in *asked, mdr_arena *arena,
                                 mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/*
 * Lots from a table (docs/formats.md#lots-of-an-older-book). Days and times are those of the mill's
 * clock, so offset_min is 0 with them. `found` (may be NULL) takes every fault.
 *   errors  the first fault: MDR_E_PARSE, MDR_E_RANGE, MDR_E_CONFLICT with place FILE:LINE:COLUMN;
 *           MDR_E_NOMEM
 */
mdr_code mdr_app_learn_read(const char *name, mdr_blob csv, mdr_arena *arena, mdr_err_list *found,
                            mdr_learn_in *out, mdr_err *err) MDR_MUST_CHECK;

/* Everything it rests on, for the test of the methods' pages. */
const mdr_answer_why *mdr_app_learn_whys(int *n);

#endif
