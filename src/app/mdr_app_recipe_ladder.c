/* Which sample holds which dye at which depth, and what is known of the dyes. */
#include <string.h>

#include "app/mdr_app_recipe_in.h"
#include "base/mdr_csv.h"
#include "wire/mdr_real.h"

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "spectra", "no memory for the ladders");
}

/* -- rungs -- */

static mdr_code too_many(const char *place, const char *id, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "too many dyes, or depths of one dye");
    mdr_err_value(err, "%s", id);
    mdr_err_allowed(err, "%d dyes, %d samples of each", MDR_CHOICES_MAX, MDR_RUNGS_MAX);
    mdr_err_remedy(err, "leave out what is not needed");
    return rc;
}

/* One more rung of this dye, which may be new. */
static mdr_code add_rung(mdr_dyelab *lab, const char *place, const char *id, size_t len,
                         const char *sample, const mdr_rung *rung, mdr_err *err)
{
    int d = mdr_dyelab_dye_of(lab, id, len);
    const char *name = mdr_arena_text_n(lab->desk.arena, id, len);
    if (name == NULL) {
        return no_memory(err);
    }
    if (d < 0 && lab->n_dyes == MDR_CHOICES_MAX) {
        return too_many(place, name, err);
    }
    if (d < 0) {
        d = lab->n_dyes++;
        lab->dyes[d] = (mdr_dyelab_ladder){.dye_id = name, .strength_factor = 1.0};
    }
    mdr_dyelab_ladder *l = &lab->dyes[d];
    if (l->n == MDR_RUNGS_MAX) {
        return too_many(place, name, err);
    }
    l->samples[l->n] = sample;
    l->rungs[l->n++] = *rung;
    return MDR_OK;
}

static bool is_depth(double depth_pct_owf)
{
    return depth_pct_owf > 0.0 && depth_pct_owf <= MDR_DEPTH_MAX_PCT_OWF;
}

/* "R-1@2", "R-1@0.5%": dye and depth in the name of the sample. */
bool mdr_app_rung_name(const char *name, size_t *id_len, double *depth_pct_owf)
{
    const char *at = strrchr(name, '@');
    if (at == NULL || at == name) {
        return false;
    }
    size_t n = strlen(at + 1);
    while (n > 0 && (at[n] == '%' || at[n] == ' ')) {
        n--;
    }
    *id_len = (size_t)(at - name);
    return mdr_real_read(at + 1, n, depth_pct_owf) && is_depth(*depth_pct_owf);
}

/* Readings of one sample under one name are one rung. */
static bool seen_before(const mdr_spectra *s, int i)
{
    for (int k = 0; k < i; k++) {
        if (s->items[k].spectrum != NULL && strcmp(s->items[k].name, s->items[i].name) == 0) {
            return true;
        }
    }
    return false;
}

static mdr_code by_names(mdr_dyelab *lab, mdr_err *err)
{
    const mdr_spectra *s = lab->spectra[MDR_RECIPE_FILE_SPECTRA];
    const char *place = lab->asked->files[MDR_RECIPE_FILE_SPECTRA].name;
    for (int i = 0; i < s->n; i++) {
        const mdr_spectra_item *item = &s->items[i];
        size_t len = 0;
        mdr_rung rung;
        if (item->spectrum == NULL || !mdr_app_rung_name(item->name, &len, &rung.depth_pct_owf) ||
            seen_before(s, i)) {
            continue;
        }
        MDR_TRY(mdr_dyelab_sample(lab, MDR_RECIPE_FILE_SPECTRA, item->name, "a dyed sample",
                                  &rung.curve, err));
        MDR_TRY(add_rung(lab, place, item->name, len, item->name, &rung, err));
    }
    return MDR_OK;
}

static mdr_code by_stock(mdr_dyelab *lab, mdr_err *err)
{
    const mdr_recipe_stock *stock = lab->asked->stock;
    for (int i = 0; i < stock->n_rungs; i++) {
        const mdr_recipe_rung *r = &stock->rungs[i];
        mdr_rung rung = {.depth_pct_owf = r->depth_pct_owf};
        MDR_TRY(mdr_dyelab_sample(lab, MDR_RECIPE_FILE_SPECTRA, r->sample, "a dyed sample",
                                  &rung.curve, err));
        MDR_TRY(add_rung(lab, r->sample, r->dye_id, strlen(r->dye_id), r->sample, &rung, err));
    }
    return MDR_OK;
}

/* -- CSV beside the spectra -- */

typedef struct sheet {
    mdr_csv csv;
    int column[12]; /* by place in the list of names; -1: there is none */
} sheet;

static mdr_code open_sheet(mdr_dyelab *lab, mdr_recipe_file_kind kind, const char *const *names,
                           int n_names, sheet *out, mdr_err *err)
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
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_PARSE, f->name,
                         found < 0 ? "a column that it cannot have" : "a column that stands twice");
            mdr_err_value(err, "%.*s", (int)head->len, head->text);
            mdr_err_remedy(err, "docs/formats.md, Recipes at the command line, lists the columns");
            return rc;
        }
        out->column[found] = i;
    }
    return MDR_OK;
}

static mdr_code bad_cell(const sheet *s, const char *column, const mdr_csv_cell *cell,
                         const char *allowed, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "", "a cell is not what it can be");
    mdr_err_within(err, "%s:%d:%s", s->csv.name, s->csv.line, column);
    mdr_err_value(err, "%.*s", (int)cell->len, cell->text);
    mdr_err_allowed(err, "%s", allowed);
    mdr_err_remedy(err, "correct the cell");
    return rc;
}

/* Column that must be there. */
static mdr_code needs(const sheet *s, int k, const char *name, mdr_err *err)
{
    if (s->column[k] >= 0) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_PARSE, s->csv.name, "a column is missing");
    mdr_err_value(err, "%s", name);
    mdr_err_remedy(err, "add the column %s", name);
    return rc;
}

static const mdr_csv_cell *cell_of(const sheet *s, int k)
{
    return s->column[k] < 0 ? NULL : &s->csv.cells[s->column[k]];
}

static mdr_code each_row(mdr_dyelab *lab, sheet *s,
                         mdr_code (*take)(mdr_dyelab *, const sheet *, mdr_err *), mdr_err *err)
{
    for (bool got = true; got;) {
        MDR_TRY(mdr_csv_next(&s->csv, &got, err));
        if (got) {
            MDR_TRY(take(lab, s, err));
        }
    }
    return MDR_OK;
}

enum { ROW_DYE, ROW_DEPTH, ROW_SAMPLE, ROW_COLUMNS };

static mdr_code rung_of_row(mdr_dyelab *lab, const sheet *s, mdr_err *err)
{
    const mdr_csv_cell *id = &s->csv.cells[s->column[ROW_DYE]];
    const mdr_csv_cell *depth = &s->csv.cells[s->column[ROW_DEPTH]];
    const mdr_csv_cell *name = &s->csv.cells[s->column[ROW_SAMPLE]];
    mdr_rung rung;
    if (id->len == 0) {
        return bad_cell(s, "dye_id", id, "the number of a dye", err);
    }
    if (!mdr_real_read(depth->text, depth->len, &rung.depth_pct_owf) ||
        !is_depth(rung.depth_pct_owf)) {
        return bad_cell(s, "depth_pct_owf", depth, "above 0 to 30", err);
    }
    const char *sample = mdr_arena_text_n(lab->desk.arena, name->text, name->len);
    if (sample == NULL) {
        return no_memory(err);
    }
    const mdr_code rc =
        mdr_dyelab_sample(lab, MDR_RECIPE_FILE_SPECTRA, sample, "a dyed sample", &rung.curve, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "%s:%d:sample", s->csv.name, s->csv.line);
        return rc;
    }
    return add_rung(lab, s->csv.name, id->text, id->len, sample, &rung, err);
}

static mdr_code by_sheet(mdr_dyelab *lab, mdr_err *err)
{
    static const char *const NAMES[ROW_COLUMNS] = {"dye_id", "depth_pct_owf", "sample"};
    sheet s;
    MDR_TRY(open_sheet(lab, MDR_RECIPE_FILE_LADDER, NAMES, ROW_COLUMNS, &s, err));
    for (int k = 0; k < ROW_COLUMNS; k++) {
        MDR_TRY(needs(&s, k, NAMES[k], err));
    }
    return each_row(lab, &s, rung_of_row, err);
}

mdr_code mdr_dyelab_read_ladders(mdr_dyelab *lab, mdr_err *err)
{
    lab->dyes = MDR_NEW_N(lab->desk.arena, mdr_dyelab_ladder, MDR_CHOICES_MAX);
    if (lab->dyes == NULL) {
        return no_memory(err);
    }
    if (lab->asked->stock != NULL) {
        MDR_TRY(by_stock(lab, err));
    } else {
        MDR_TRY(lab->asked->files[MDR_RECIPE_FILE_LADDER].name != NULL ? by_sheet(lab, err)
                                                                       : by_names(lab, err));
    }
    if (lab->n_dyes > 0) {
        return MDR_OK;
    }
    if (lab->asked->stock != NULL) {
        const mdr_code none = MDR_FAIL(err, MDR_E_NOTFOUND, "from.substrate",
                                       "no dye of this class has dyed samples on the substrate");
        mdr_err_remedy(err, "add its ladders to the laboratory");
        return none;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, lab->asked->files[0].name,
                                 "no sample says which dye it holds at which depth");
    mdr_err_remedy(err, "call the samples DYE@DEPTH (R-1@0.5), or give a ladder file: "
                        "dye_id,depth_pct_owf,sample");
    return rc;
}

/* -- facts -- */

enum {
    FACT_DYE,
    FACT_PRICE,
    FACT_EXHAUSTION,
    FACT_FIXATION,
    FACT_LIGHT,
    FACT_WASH,
    FACT_RUB,
    FACT_STOCK,
    FACT_STRENGTH,
    FACT_LIMIT,
    FACT_COLUMNS
};

typedef struct fact {
    const char *name;
    double least, most;
    const char *allowed;
    double absent; /* what an empty cell stands for */
} fact;

static const fact FACTS[FACT_COLUMNS] = {
    [FACT_DYE] = {"dye_id", 0, 0, "", 0},
    [FACT_PRICE] = {"price_per_kg", 0, 1e6, "0 to 1000000", 0},
    [FACT_EXHAUSTION] = {"exhaustion_pct", 0, 100, "0 to 100", 0},
    [FACT_FIXATION] = {"fixation_pct", 0, 100, "0 to 100", 0},
    [FACT_LIGHT] = {"light_grade", 1, 8, "1 to 8", 0},
    [FACT_WASH] = {"wash_grade", 1, 5, "1 to 5", 0},
    [FACT_RUB] = {"rub_grade", 1, 5, "1 to 5", 0},
    [FACT_STOCK] = {"stock_kg", 0, 1e6, "0 to 1000000", -1},
    [FACT_STRENGTH] = {"strength_pct", 10, 1000, "10 to 1000", 100},
    [FACT_LIMIT] = {"limit_pct_owf", 0, MDR_DEPTH_MAX_PCT_OWF, "0 to 30", 0},
};

/* The cell as a number; `absent` where it is empty or not there. */
static mdr_code fact_of(const sheet *s, int k, double absent, double *out, mdr_err *err)
{
    const mdr_csv_cell *cell = cell_of(s, k);
    *out = absent;
    if (cell == NULL || cell->len == 0) {
        return MDR_OK;
    }
    if (!mdr_real_read(cell->text, cell->len, out) || *out < FACTS[k].least ||
        *out > FACTS[k].most) {
        return bad_cell(s, FACTS[k].name, cell, FACTS[k].allowed, err);
    }
    return MDR_OK;
}

static mdr_code facts_of_row(mdr_dyelab *lab, const sheet *s, mdr_err *err)
{
    const mdr_csv_cell *id = &s->csv.cells[s->column[FACT_DYE]];
    const int d = mdr_dyelab_dye_of(lab, id->text, id->len);
    if (d < 0) {
        return MDR_OK; /* the list may know more dyes than were dyed */
    }
    mdr_dyelab_ladder *l = &lab->dyes[d];
    mdr_dye_facts *f = &l->facts;
    double v[FACT_COLUMNS];
    for (int k = FACT_PRICE; k < FACT_COLUMNS; k++) {
        MDR_TRY(fact_of(s, k, FACTS[k].absent, &v[k], err));
    }
    *f = (mdr_dye_facts){.price_per_kg = v[FACT_PRICE],
                         .exhaustion_pct = v[FACT_EXHAUSTION],
                         .fixation_pct = v[FACT_FIXATION],
                         .fastness = {[MDR_FASTNESS_LIGHT] = v[FACT_LIGHT],
                                      [MDR_FASTNESS_WASH] = v[FACT_WASH],
                                      [MDR_FASTNESS_RUB] = v[FACT_RUB]},
                         .stock_known = v[FACT_STOCK] >= 0.0,
                         .stock_kg = v[FACT_STOCK] >= 0.0 ? v[FACT_STOCK] : 0.0};
    l->limit_pct_owf = v[FACT_LIMIT];
    l->strength_factor = v[FACT_STRENGTH] / 100.0;
    return MDR_OK;
}

/* Depths of a mill are those of dye of standard strength: what is delivered is weighed for. */
static void facts_of_stock(mdr_dyelab *lab)
{
    const mdr_recipe_stock *stock = lab->asked->stock;
    for (int i = 0; i < stock->n_facts; i++) {
        const char *id = stock->facts[i].dye_id;
        const int d = mdr_dyelab_dye_of(lab, id, strlen(id));
        if (d >= 0) {
            lab->dyes[d].facts = stock->facts[i].facts;
        }
    }
}

mdr_code mdr_dyelab_read_facts(mdr_dyelab *lab, mdr_err *err)
{
    const char *names[FACT_COLUMNS];
    sheet s;
    if (lab->asked->stock != NULL) {
        facts_of_stock(lab);
        return MDR_OK;
    }
    if (lab->asked->files[MDR_RECIPE_FILE_DYES].name == NULL) {
        return MDR_OK;
    }
    for (int k = 0; k < FACT_COLUMNS; k++) {
        names[k] = FACTS[k].name;
    }
    MDR_TRY(open_sheet(lab, MDR_RECIPE_FILE_DYES, names, FACT_COLUMNS, &s, err));
    MDR_TRY(needs(&s, FACT_DYE, names[FACT_DYE], err));
    return each_row(lab, &s, facts_of_row, err);
}
