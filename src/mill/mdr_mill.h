/*
 * mdr_mill.h - one mill, one file: opening, reading, changing, CSV in and out.
 *
 * Layer: mill; the only folder that sees sqlite3. One connection per mdr_mill; one thread at a
 * time. Every change is one transaction: after an error the file is as it was before.
 */
#ifndef MDR_MILL_H
#define MDR_MILL_H

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"
#include "core/plan/mdr_records.h"
#include "mill/mdr_table.h"

typedef struct mdr_mill mdr_mill;

enum { MDR_MILL_SCHEMA = 10 }; /* newest schema this program writes and reads */

/* An empty mill in a new file.
 *   errors  MDR_E_CONFLICT path exists already; MDR_E_IO cannot be written */
mdr_code mdr_mill_create(const char *path, mdr_err *err) MDR_MUST_CHECK;

/* Opens and, when it is older, migrates.
 *   errors  MDR_E_NOTFOUND no such file; MDR_E_PARSE not a mill file; MDR_E_VERSION schema newer
 *           than this program; MDR_E_IO unreadable, or read-only and `for_writing` */
mdr_code mdr_mill_open(const char *path, bool for_writing, mdr_mill **out,
                       mdr_err *err) MDR_MUST_CHECK;
void mdr_mill_close(mdr_mill *mill); /* NULL is allowed */
/* As it was opened; lives as long as the mill. */
const char *mdr_mill_path(const mdr_mill *mill);

/* Changes whenever anything in the file was changed, by whomever: a cache may be kept while it
 * stays the same. */
mdr_code mdr_mill_state(mdr_mill *mill, int64_t *out, mdr_err *err) MDR_MUST_CHECK;

/* Everything but orders, lots and rolls. Arrays are sorted by id. */
typedef struct mdr_masters {
    const mdr_site *site; /* NULL while the site table is empty */
    const mdr_machine *machines;
    int n_machines;
    const mdr_article *articles; /* with their washed samples */
    int n_articles;
    const mdr_finisher *finishers;
    int n_finishers;
    const mdr_material *materials; /* dyes and chemicals together */
    int n_materials;
    const mdr_dose_table *dose_tables;
    int n_dose_tables;
    const mdr_shade *shades; /* with their recipes */
    int n_shades;
} mdr_masters;

mdr_code mdr_mill_masters(mdr_mill *mill, mdr_arena *arena, mdr_masters *out,
                          mdr_err *err) MDR_MUST_CHECK;
/* NULL when there is none. */
const mdr_machine *mdr_masters_machine(const mdr_masters *m, const char *machine_id);
const mdr_article *mdr_masters_article(const mdr_masters *m, const char *article_id);
const mdr_material *mdr_masters_material(const mdr_masters *m, const char *material_id);
const mdr_dose_table *mdr_masters_dose_table(const mdr_masters *m, const char *table_id);
const mdr_shade *mdr_masters_shade(const mdr_masters *m, const char *shade_id);

/* One lot with its rolls and what it refers to. */
typedef struct mdr_lot_full {
    mdr_lot lot;
    const char *machine_id, *route_id;
    int revision;
} mdr_lot_full;
/* errors: MDR_E_NOTFOUND lot (the remedy names the lots there are, up to five) */
mdr_code mdr_mill_lot(mdr_mill *mill, const mdr_masters *masters, const char *lot_id,
                      mdr_arena *arena, mdr_lot_full *out, mdr_err *err) MDR_MUST_CHECK;
/* All lots, by due date then id; rolls are counted and added up but not listed
 * (lot.n_rolls, grey_kg). */
typedef struct mdr_lot_line {
    mdr_lot_full full; /* full.lot.rolls is NULL */
    double grey_kg;    /* sum of the rolls */
} mdr_lot_line;
mdr_code mdr_mill_lots(mdr_mill *mill, const mdr_masters *masters, mdr_arena *arena,
                       mdr_lot_line **out, int *n_out, mdr_err *err) MDR_MUST_CHECK;
/* Years of lots are not read for one page: those that are not done, and of the done ones the last
 * entered. */
typedef struct mdr_lots_ask {
    const char *before; /* only those done that were entered before this lot; NULL: from the last */
    const char *words;  /* only lots, done or not, in whose id, order, customer, article, shade,
                           machine and stage each of these occurs: a JSON array of texts; NULL: no
                           words. Letters beyond ASCII must match in case. */
    int most;           /* of those done, with words of all; 0: none that is done */
} mdr_lots_ask;
typedef struct mdr_lots_page {
    mdr_lot_line *lines; /* sorted as those of mdr_mill_lots */
    int n;
    const char *earlier; /* to be asked for as `before`; NULL: that was all */
    int all;             /* lots in the mill */
} mdr_lots_page;
/* errors: MDR_E_NOTFOUND lot (before) */
mdr_code mdr_mill_lots_some(mdr_mill *mill, const mdr_masters *masters, const mdr_lots_ask *ask,
                            mdr_arena *arena, mdr_lots_page *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_mill_orders(mdr_mill *mill, mdr_arena *arena, mdr_order **out, int *n_out,
                         mdr_err *err) MDR_MUST_CHECK;

/* What a page may change of a lot; NULL / negative members stay as they are, 0 empties where a
 * field may be empty. errors: MDR_E_CONFLICT when `revision` is not the lot's any more. */
typedef struct mdr_lot_change {
    const char *machine_id, *route_id;
    double weighed_kg, ratio_l_per_kg, speed_m_per_min;
    int tubes_used;
    int revision;
} mdr_lot_change;
mdr_code mdr_mill_lot_change(mdr_mill *mill, const char *lot_id, const mdr_lot_change *change,
                             mdr_err *err) MDR_MUST_CHECK;

/* mdr_lot_stage; the revision stays: it counts what people change. */
mdr_code mdr_mill_lot_stage(mdr_mill *mill, const char *lot_id, int stage,
                            mdr_err *err) MDR_MUST_CHECK;

/* Routes are kept as versions of a document (JSON text, checked by the caller); a version is
 * never changed. */
typedef struct mdr_route_doc {
    const char *route_id, *name;
    int dye_class; /* mdr_dye_class */
    int version;
    const char *text; /* NULL in listings */
    size_t text_len;
    int lots; /* lots that run on it */
} mdr_route_doc;
mdr_code mdr_mill_routes(mdr_mill *mill, mdr_arena *arena, mdr_route_doc **out, int *n_out,
                         mdr_err *err) MDR_MUST_CHECK; /* newest version of each, no text */
/* version 0: the newest. errors: MDR_E_NOTFOUND */
mdr_code mdr_mill_route(mdr_mill *mill, const char *route_id, int version, mdr_arena *arena,
                        mdr_route_doc *out, mdr_err *err) MDR_MUST_CHECK;
/* Stores doc->text as version doc->version, which must be the newest + 1 (1 for a new route).
 * errors: MDR_E_CONFLICT another version came first */
mdr_code mdr_mill_route_put(mdr_mill *mill, const mdr_route_doc *doc, mdr_err *err) MDR_MUST_CHECK;

/*
 * Imports one table from CSV: rows with a known key replace, others are added; all or nothing.
 * Lines of a recipe and bands of a dose table replace all there were of every shade or table that
 * the file names, and the one row of the site replaces whatever was there. Rows that stay as they
 * are change nothing, not even mdr_mill_state.
 * Every bad cell goes to `found` with place "FILE:LINE:COLUMN", value, allowed, remedy.
 *   file_name  for messages only
 *   found      may be NULL
 *   errors     MDR_E_PARSE / MDR_E_RANGE / MDR_E_NOTFOUND (the first of `found`); MDR_E_IO
 */
mdr_code mdr_mill_import(mdr_mill *mill, const mdr_table *table, const char *file_name,
                         const char *text, size_t text_len, mdr_err_list *found, int *rows,
                         mdr_err *err) MDR_MUST_CHECK;
/* The table as CSV (UTF-8, LF, header first, rows by key; cells that a spreadsheet would take
 * for a formula are quoted with a leading apostrophe, which import takes away again). */
mdr_code mdr_mill_export(mdr_mill *mill, const mdr_table *table, mdr_arena *arena, char **text,
                         size_t *text_len, mdr_err *err) MDR_MUST_CHECK;

/* Several changes as one transaction; nests once. */
mdr_code mdr_mill_begin(mdr_mill *mill, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_mill_commit(mdr_mill *mill, mdr_err *err) MDR_MUST_CHECK;
void mdr_mill_rollback(mdr_mill *mill);

/*
 * What is inconsistent within the tables: an order of an article without grey width, a lot
 * without rolls, rolls of another article than their lot's, a dye without price, a material
 * without strength or solubility, a shade without recipe, recipe dyes of another class, a machine
 * whose least load exceeds the greatest, dose tables without bands, negative stock ...
 * (what needs a route or a plan is found in app). Returns MDR_OK also when something was found.
 */
mdr_code mdr_mill_check(mdr_mill *mill, mdr_err_list *found, mdr_err *err) MDR_MUST_CHECK;

#endif
