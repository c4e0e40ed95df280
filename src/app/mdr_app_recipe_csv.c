#include "app/mdr_app_recipe_csv.h"

#include <string.h>

mdr_code mdr_lab_csv_open(mdr_dyelab *lab, mdr_recipe_file_kind kind, const char *const *names,
                          int n_names, mdr_lab_csv *out, mdr_err *err)
{
    const mdr_recipe_file *f = &lab->asked->files[kind];
    MDR_TRY(mdr_csv_open(&out->csv, f->name, f->text.bytes, f->text.len, lab->desk.arena, err));
    for (int k = 0; k < n_names; k++) {
        out->column[k] = -1;
    }
    for (int i = 0; i < out->csv.n_cells; i++) {
        const mdr_csv_cell *head = &out->csv.header[i];
        int found = -1;
        for (int k = 0; k < n_names; k++) {
            if (strlen(names[k]) == head->len && memcmp(names[k], head->text, head->len) == 0) {
                found = k;
            }
        }
        if (found < 0 || out->column[found] >= 0) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_PARSE, f->name,
                                         found < 0 ? "a column that it cannot have"
                                                   : "a column that is there twice");
            mdr_err_value(err, "%.*s", (int)head->len, head->text);
            mdr_err_remedy(err, "docs/formats.md, Recipes at the command line, lists the columns");
            return rc;
        }
        out->column[found] = i;
    }
    return MDR_OK;
}

mdr_code mdr_lab_csv_bad(const mdr_lab_csv *s, const char *column, const mdr_csv_cell *cell,
                         const char *allowed, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "", "a cell has a value it cannot have");
    mdr_err_within(err, "%s:%d:%s", s->csv.name, s->csv.line, column);
    mdr_err_value(err, "%.*s", (int)cell->len, cell->text);
    mdr_err_allowed(err, "%s", allowed);
    mdr_err_remedy(err, "correct the cell");
    return rc;
}

mdr_code mdr_lab_csv_needs(const mdr_lab_csv *s, int k, const char *name, mdr_err *err)
{
    if (s->column[k] >= 0) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_PARSE, s->csv.name, "a column is missing");
    mdr_err_value(err, "%s", name);
    mdr_err_remedy(err, "add the column %s", name);
    return rc;
}

const mdr_csv_cell *mdr_lab_csv_cell(const mdr_lab_csv *s, int k)
{
    return s->column[k] < 0 ? NULL : &s->csv.cells[s->column[k]];
}

mdr_code mdr_lab_csv_each(mdr_dyelab *lab, mdr_lab_csv *s,
                          mdr_code (*take)(mdr_dyelab *, const mdr_lab_csv *, mdr_err *),
                          mdr_err *err)
{
    for (bool got = true; got;) {
        MDR_TRY(mdr_csv_next(&s->csv, &got, err));
        if (got) {
            MDR_TRY(take(lab, s, err));
        }
    }
    return MDR_OK;
}
