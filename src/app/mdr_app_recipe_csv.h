/*
 * mdr_app_recipe_csv.h - the tables that come beside the spectra: columns by name, cells with their
 * place. Layer: app, inside.
 */
#ifndef MDR_APP_RECIPE_CSV_H
#define MDR_APP_RECIPE_CSV_H

#include "app/mdr_app_recipe_in.h"
#include "base/mdr_csv.h"

enum { MDR_LAB_CSV_COLUMNS = 16 };

typedef struct mdr_lab_csv {
    mdr_csv csv;
    int column[MDR_LAB_CSV_COLUMNS]; /* by place in the list of names; -1: there is none */
} mdr_lab_csv;

/* errors: MDR_E_PARSE a column that is not among the names, or twice */
mdr_code mdr_lab_csv_open(mdr_dyelab *lab, mdr_recipe_file_kind kind, const char *const *names,
                          int n_names, mdr_lab_csv *out, mdr_err *err) MDR_MUST_CHECK;
/* Column that must be there. */
mdr_code mdr_lab_csv_needs(const mdr_lab_csv *s, int k, const char *name,
                           mdr_err *err) MDR_MUST_CHECK;
/* Of the present row; NULL where there is no such column. */
const mdr_csv_cell *mdr_lab_csv_cell(const mdr_lab_csv *s, int k);
/* Says that a cell is not what it can be, and where it stands. */
mdr_code mdr_lab_csv_bad(const mdr_lab_csv *s, const char *column, const mdr_csv_cell *cell,
                         const char *allowed, mdr_err *err);
mdr_code mdr_lab_csv_each(mdr_dyelab *lab, mdr_lab_csv *s,
                          mdr_code (*take)(mdr_dyelab *, const mdr_lab_csv *, mdr_err *),
                          mdr_err *err) MDR_MUST_CHECK;

/* mdr_app_recipe_salt.c: what a row of the dyes says of salt and alkali: id, nature, table of the
 * salt, table of the alkali; NULL where there is no such column. */
enum { MDR_DYELAB_WORDS = 4 };
mdr_code mdr_dyelab_add_material(mdr_dyelab *lab, const mdr_lab_csv *s,
                                 const mdr_csv_cell *const words[MDR_DYELAB_WORDS],
                                 mdr_err *err) MDR_MUST_CHECK;

#endif
