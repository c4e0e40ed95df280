/* Everything but orders, lots and rolls: rows become the records of the planner. */
#include <stdlib.h>
#include <string.h>

#include "mill/mdr_mill_rows.h"

/* -- finding ---------------------------------------------------------------------------------- */

/* Every record begins with its id. */
static const char *id_of(const void *record)
{
    const char *id;
    memcpy(&id, record, sizeof id);
    return id;
}

static int compare_id(const void *id, const void *record)
{
    return strcmp(id, id_of(record));
}

static int compare_records(const void *a, const void *b)
{
    return strcmp(id_of(a), id_of(b));
}

static const void *find(const void *items, int n, size_t size, const char *id)
{
    return n == 0 || id == NULL ? NULL : bsearch(id, items, (size_t)n, size, compare_id);
}

const mdr_machine *mdr_masters_machine(const mdr_masters *m, const char *machine_id)
{
    return find(m->machines, m->n_machines, sizeof *m->machines, machine_id);
}

const mdr_article *mdr_masters_article(const mdr_masters *m, const char *article_id)
{
    return find(m->articles, m->n_articles, sizeof *m->articles, article_id);
}

const mdr_material *mdr_masters_material(const mdr_masters *m, const char *material_id)
{
    return find(m->materials, m->n_materials, sizeof *m->materials, material_id);
}

const mdr_dose_table *mdr_masters_dose_table(const mdr_masters *m, const char *table_id)
{
    return find(m->dose_tables, m->n_dose_tables, sizeof *m->dose_tables, table_id);
}

const mdr_shade *mdr_masters_shade(const mdr_masters *m, const char *shade_id)
{
    return find(m->shades, m->n_shades, sizeof *m->shades, shade_id);
}

/* -- loading ---------------------------------------------------------------------------------- */

static mdr_code load(mdr_mill *mill, const char *table, mdr_arena *arena, mdr_mill_rows *out,
                     mdr_err *err)
{
    return mdr_mill_load(mill, &(mdr_mill_query){.table = mdr_table_find(table)}, arena, out, err);
}

static int by_article(const void *a, const void *b)
{
    const mdr_wash_sample *x = a, *y = b;
    const int order = strcmp(x->article_id, y->article_id);
    return order != 0 ? order : strcmp(x->sample_id, y->sample_id);
}

static mdr_code load_samples(mdr_mill *mill, mdr_arena *arena, mdr_article *articles, int n,
                             mdr_err *err)
{
    mdr_mill_rows rows;
    MDR_TRY(load(mill, "wash_sample", arena, &rows, err));
    mdr_wash_sample *all = rows.items;
    if (rows.count > 0) {
        qsort(all, (size_t)rows.count, sizeof *all, by_article);
    }
    int s = 0;
    for (int i = 0; i < n; i++) { /* both by article now */
        articles[i].samples = rows.count > 0 ? all + s : NULL;
        for (; s < rows.count && strcmp(all[s].article_id, articles[i].article_id) == 0; s++) {
            articles[i].n_samples++;
        }
    }
    return MDR_OK;
}

static mdr_code load_plain(mdr_mill *mill, mdr_arena *arena, mdr_masters *m, mdr_err *err)
{
    mdr_mill_rows rows;
    MDR_TRY(load(mill, "site", arena, &rows, err));
    m->site = rows.items;
    MDR_TRY(load(mill, "machine", arena, &rows, err));
    m->machines = rows.items;
    m->n_machines = rows.count;
    MDR_TRY(load(mill, "article", arena, &rows, err));
    m->articles = rows.items;
    m->n_articles = rows.count;
    MDR_TRY(load_samples(mill, arena, rows.items, rows.count, err));
    MDR_TRY(load(mill, "finisher", arena, &rows, err));
    m->finishers = rows.items;
    m->n_finishers = rows.count;
    return MDR_OK;
}

/* What dyes and chemicals have no column for. */
static void complete_material(mdr_material *m, bool is_dye)
{
    m->is_dye = is_dye;
    if (is_dye) {
        m->substance = MDR_SUB_DYE;
    } else {
        m->dye_class = MDR_CLASS_NONE;
        m->salt_table = m->alkali_table = m->swatch = "";
    }
}

/* What came and went since the opening stock of the tables. */
static mdr_code add_moves(mdr_mill *mill, mdr_material *all, int n, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    bool row = n > 0;
    mdr_code rc = mdr_mill_sql_prepare(
        mill, "SELECT \"material_id\", sum(\"mass_mg\") FROM \"stock_move\" GROUP BY 1", &stmt,
        err);
    while (rc == MDR_OK && row) {
        rc = mdr_mill_sql_step(mill, stmt, &row, err);
        if (rc == MDR_OK && row) {
            mdr_material *m = bsearch((const char *)sqlite3_column_text(stmt, 0), all, (size_t)n,
                                      sizeof *all, compare_id);
            if (m != NULL) { /* else it was taken out of its table since */
                m->stock_kg += (double)sqlite3_column_int64(stmt, 1) / 1e6;
            }
        }
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

static mdr_code load_materials(mdr_mill *mill, mdr_arena *arena, mdr_masters *m, mdr_err *err)
{
    mdr_mill_rows dyes, chemicals;
    MDR_TRY(load(mill, "dye", arena, &dyes, err));
    MDR_TRY(load(mill, "chemical", arena, &chemicals, err));
    const int n = dyes.count + chemicals.count;
    if (n == 0) {
        return MDR_OK;
    }
    mdr_material *all = MDR_NEW_N(arena, mdr_material, (size_t)n);
    if (all == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    for (int i = 0; i < n; i++) {
        const bool is_dye = i < dyes.count;
        const mdr_material *from = is_dye ? (const mdr_material *)dyes.items + i
                                          : (const mdr_material *)chemicals.items + i - dyes.count;
        all[i] = *from;
        complete_material(&all[i], is_dye);
    }
    qsort(all, (size_t)n, sizeof *all, compare_records);
    m->materials = all;
    m->n_materials = n;
    return add_moves(mill, all, n, err);
}

static mdr_code load_dose_tables(mdr_mill *mill, mdr_arena *arena, mdr_masters *m, mdr_err *err)
{
    mdr_mill_rows heads, rows;
    MDR_TRY(load(mill, "dose_table", arena, &heads, err));
    MDR_TRY(load(mill, "dose_band", arena, &rows, err));
    if (heads.count == 0) {
        return MDR_OK;
    }
    mdr_dose_table *tables = MDR_NEW_N(arena, mdr_dose_table, (size_t)heads.count);
    mdr_dose_band *bands = MDR_NEW_N(arena, mdr_dose_band, rows.count > 0 ? (size_t)rows.count : 1);
    if (tables == NULL || bands == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    /* Both are sorted by table, so that the bands of a table follow each other. */
    const mdr_row_dose_table *head = heads.items;
    const mdr_row_dose_band *row = rows.items;
    int b = 0;
    for (int i = 0; i < heads.count; i++) {
        tables[i] = (mdr_dose_table){.table_id = head[i].table_id,
                                     .title = head[i].title,
                                     .source = head[i].source,
                                     .counted_as = head[i].counted_as,
                                     .between = head[i].between,
                                     .ratio_rule = head[i].ratio_rule,
                                     .swap = head[i].swap,
                                     .bands = bands + b};
        for (; b < rows.count && strcmp(row[b].table_id, head[i].table_id) == 0; b++) {
            bands[b] = (mdr_dose_band){row[b].depth_max_pct_owf, row[b].amount_g_per_l};
            tables[i].n_bands++;
        }
    }
    m->dose_tables = tables;
    m->n_dose_tables = heads.count;
    return MDR_OK;
}

/* What the lines of one shade say of laboratory and bulk; *out stays NULL when nothing was chosen. */
static mdr_code bulk_of(mdr_mill *mill, const mdr_row_recipe *rows, int n, mdr_arena *arena,
                        const mdr_recipe_bulk **out, mdr_err *err)
{
    static const double PCT = 100.0;
    mdr_recipe_bulk *bulk = NULL;
    for (int i = 0; i < n && i < MDR_RECIPE_LINES_MAX; i++) {
        if (rows[i].bulk_pct == 0.0) {
            continue;
        }
        if (bulk == NULL) {
            bulk = MDR_NEW(arena, mdr_recipe_bulk);
            if (bulk == NULL) {
                return mdr_mill_no_memory(mill, err);
            }
            for (int k = 0; k < MDR_RECIPE_LINES_MAX; k++) {
                bulk->factor[k] = 1.0;
                bulk->words[k] = "";
            }
        }
        bulk->machine_id = rows[i].bulk_machine_id;
        bulk->factor[i] = rows[i].bulk_pct / PCT;
        bulk->words[i] = rows[i].bulk_words;
    }
    *out = bulk;
    return MDR_OK;
}

static mdr_code dye_of(const mdr_masters *m, const mdr_row_recipe *row, const mdr_material **out,
                       mdr_err *err)
{
    const mdr_material *dye = mdr_masters_material(m, row->dye_id);
    if (dye == NULL || !dye->is_dye) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_PARSE, row->shade_id, "the recipe names a dye that does not exist");
        mdr_err_value(err, "%s", row->dye_id);
        mdr_err_remedy(err, "import the dye, or correct the recipe");
        return rc;
    }
    *out = dye;
    return MDR_OK;
}

typedef struct recipe_lines {
    const mdr_row_recipe *rows;
    mdr_recipe_dye *dyes; /* like rows */
    int n, at;            /* the next one */
} recipe_lines;

/* Those of one shade: they stand together. */
static mdr_code take_lines(mdr_mill *mill, const mdr_masters *m, recipe_lines *l, mdr_shade *shade,
                           mdr_arena *arena, mdr_err *err)
{
    shade->dyes = l->dyes + l->at;
    const mdr_row_recipe *first = l->n > 0 ? l->rows + l->at : NULL;
    for (; l->at < l->n && strcmp(l->rows[l->at].shade_id, shade->shade_id) == 0; l->at++) {
        const mdr_material *dye = NULL;
        MDR_TRY(dye_of(m, &l->rows[l->at], &dye, err));
        l->dyes[l->at] = (mdr_recipe_dye){dye, l->rows[l->at].depth_pct_owf};
        shade->n_dyes++;
    }
    return first != NULL ? bulk_of(mill, first, shade->n_dyes, arena, &shade->bulk, err) : MDR_OK;
}

static mdr_code load_shades(mdr_mill *mill, mdr_arena *arena, mdr_masters *m, mdr_err *err)
{
    mdr_mill_rows shades, rows;
    MDR_TRY(load(mill, "shade", arena, &shades, err));
    MDR_TRY(load(mill, "recipe", arena, &rows, err));
    mdr_recipe_dye *dyes =
        MDR_NEW_N(arena, mdr_recipe_dye, rows.count > 0 ? (size_t)rows.count : 1);
    if (dyes == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    mdr_shade *shade = shades.items;
    recipe_lines lines = {.rows = rows.items, .dyes = dyes, .n = rows.count};
    for (int i = 0; i < shades.count; i++) {
        MDR_TRY(take_lines(mill, m, &lines, &shade[i], arena, err));
    }
    m->shades = shade;
    m->n_shades = shades.count;
    return MDR_OK;
}

mdr_code mdr_mill_masters(mdr_mill *mill, mdr_arena *arena, mdr_masters *out, mdr_err *err)
{
    mdr_masters m = {0};
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    mdr_code rc = load_plain(mill, arena, &m, err);
    if (rc == MDR_OK) {
        rc = load_materials(mill, arena, &m, err);
    }
    if (rc == MDR_OK) {
        rc = load_dose_tables(mill, arena, &m, err);
    }
    if (rc == MDR_OK) {
        rc = load_shades(mill, arena, &m, err);
    }
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_OK) {
        *out = m;
    }
    return rc;
}
