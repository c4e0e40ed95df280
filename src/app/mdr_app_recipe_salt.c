/* Salt and alkali of a recipe: the tables of the dyes, read at its depth as the planner reads them. */
#include <string.h>

#include "app/mdr_app_recipe_csv.h"
#include "core/bath/mdr_salt.h"
#include "core/plan/mdr_deciding_dye.h"
#include "wire/mdr_json.h"
#include "wire/mdr_real.h"

enum { MATERIALS_MAX = 500, TABLES_MAX = 200, BANDS_MAX = 40 };

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "dose_table", "no memory for the dose tables");
}

static mdr_code too_many(const mdr_lab_csv *s, const char *what, int most, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, s->csv.name, "too many %s", what);
    mdr_err_allowed(err, "%d", most);
    mdr_err_remedy(err, "leave out what is not needed");
    return rc;
}

static bool is_text(const mdr_csv_cell *cell, const char *text)
{
    return strlen(text) == cell->len && memcmp(text, cell->text, cell->len) == 0;
}

/* The cell as a text of the arena; "" where there is no such column. */
static const char *text_of(mdr_dyelab *lab, const mdr_csv_cell *cell)
{
    return cell == NULL ? "" : mdr_arena_text_n(lab->desk.arena, cell->text, cell->len);
}

/* -- the dyes -- */

static bool nature_of(const mdr_csv_cell *cell, int *out)
{
    *out = MDR_NATURE_USUAL;
    if (cell == NULL || cell->len == 0) {
        return true;
    }
    for (int k = 0; mdr_nature_id((mdr_nature)k) != NULL; k++) {
        if (is_text(cell, mdr_nature_id((mdr_nature)k))) {
            *out = k;
            return true;
        }
    }
    return false;
}

mdr_code mdr_dyelab_add_material(mdr_dyelab *lab, const mdr_lab_csv *s,
                                 const mdr_csv_cell *const words[MDR_DYELAB_WORDS], mdr_err *err)
{
    if (lab->materials == NULL) {
        lab->materials = MDR_NEW_N(lab->desk.arena, mdr_material, MATERIALS_MAX);
    }
    if (lab->materials == NULL) {
        return no_memory(err);
    }
    if (lab->n_materials == MATERIALS_MAX) {
        return too_many(s, "dyes", MATERIALS_MAX, err);
    }
    mdr_material *m = &lab->materials[lab->n_materials];
    m->material_id = text_of(lab, words[0]);
    m->salt_table = text_of(lab, words[2]);
    m->alkali_table = text_of(lab, words[3]);
    if (m->material_id == NULL || m->salt_table == NULL || m->alkali_table == NULL) {
        return no_memory(err);
    }
    if (!nature_of(words[1], &m->nature)) {
        return mdr_lab_csv_bad(s, "nature", words[1], "usual, phthalocyanine, black", err);
    }
    lab->n_materials++;
    return MDR_OK;
}

/* -- the tables -- */

enum {
    TABLE_ID,
    TABLE_TITLE,
    TABLE_SOURCE,
    TABLE_COUNTED,
    TABLE_BETWEEN,
    TABLE_RATIO,
    TABLE_SWAP,
    TABLE_COLUMNS
};
static const char *const TABLE_NAMES[TABLE_COLUMNS] = {
    "table_id", "title", "source", "counted_as", "between", "ratio_rule", "swap"};

typedef const char *id_of(int k);
static const char *substance_id(int k)
{
    return mdr_substance_id((mdr_substance)k);
}
static const char *between_id(int k)
{
    return mdr_between_id((mdr_between)k);
}
static const char *ratio_id(int k)
{
    return mdr_ratio_rule_id((mdr_ratio_rule)k);
}
static const char *swap_id(int k)
{
    return mdr_swap_id((mdr_swap)k);
}

/* Word of the list; the first of it where the cell is empty or not there. */
static mdr_code word_of(const mdr_lab_csv *s, int column, id_of *id, int *out, mdr_err *err)
{
    const mdr_csv_cell *cell = mdr_lab_csv_cell(s, column);
    *out = 0;
    if (cell == NULL || cell->len == 0) {
        return MDR_OK;
    }
    for (int k = 0; id(k) != NULL; k++) {
        if (is_text(cell, id(k))) {
            *out = k;
            return MDR_OK;
        }
    }
    return mdr_lab_csv_bad(s, TABLE_NAMES[column], cell,
                           "as in the table dose_table of docs/formats.md", err);
}

static mdr_code table_of_row(mdr_dyelab *lab, const mdr_lab_csv *s, mdr_err *err)
{
    if (lab->n_tables == TABLES_MAX) {
        return too_many(s, "dose tables", TABLES_MAX, err);
    }
    mdr_dose_table *t = &lab->tables[lab->n_tables];
    t->table_id = text_of(lab, mdr_lab_csv_cell(s, TABLE_ID));
    t->title = text_of(lab, mdr_lab_csv_cell(s, TABLE_TITLE));
    t->source = text_of(lab, mdr_lab_csv_cell(s, TABLE_SOURCE));
    mdr_dose_band *bands = MDR_NEW_N(lab->desk.arena, mdr_dose_band, BANDS_MAX);
    if (t->table_id == NULL || t->title == NULL || t->source == NULL || bands == NULL) {
        return no_memory(err);
    }
    t->bands = bands;
    MDR_TRY(word_of(s, TABLE_COUNTED, substance_id, &t->counted_as, err));
    MDR_TRY(word_of(s, TABLE_BETWEEN, between_id, &t->between, err));
    MDR_TRY(word_of(s, TABLE_RATIO, ratio_id, &t->ratio_rule, err));
    MDR_TRY(word_of(s, TABLE_SWAP, swap_id, &t->swap, err));
    lab->bands[lab->n_tables++] = bands;
    return MDR_OK;
}

enum { BAND_TABLE, BAND_DEPTH, BAND_AMOUNT, BAND_COLUMNS };

static mdr_code band_of_row(mdr_dyelab *lab, const mdr_lab_csv *s, mdr_err *err)
{
    const mdr_csv_cell *id = mdr_lab_csv_cell(s, BAND_TABLE);
    const mdr_csv_cell *depth = mdr_lab_csv_cell(s, BAND_DEPTH);
    const mdr_csv_cell *amount = mdr_lab_csv_cell(s, BAND_AMOUNT);
    int t = 0;
    while (t < lab->n_tables && !is_text(id, lab->tables[t].table_id)) {
        t++;
    }
    if (t == lab->n_tables) {
        return mdr_lab_csv_bad(s, "table_id", id, "a table of the file of dose tables", err);
    }
    mdr_dose_table *table = &lab->tables[t];
    const double below =
        table->n_bands > 0 ? table->bands[table->n_bands - 1].depth_max_pct_owf : 0;
    mdr_dose_band b;
    if (!mdr_real_read(depth->text, depth->len, &b.depth_max_pct_owf) ||
        !(b.depth_max_pct_owf > below && b.depth_max_pct_owf <= 100.0)) {
        return mdr_lab_csv_bad(s, "depth_max_pct_owf", depth, "above the band before it, up to 100",
                               err);
    }
    if (!mdr_real_read(amount->text, amount->len, &b.amount_g_per_l) ||
        !(b.amount_g_per_l >= 0.0 && b.amount_g_per_l <= 300.0)) {
        return mdr_lab_csv_bad(s, "amount_g_per_l", amount, "0 to 300", err);
    }
    if (table->n_bands == BANDS_MAX) {
        return too_many(s, "bands of a table", BANDS_MAX, err);
    }
    lab->bands[t][table->n_bands++] = b;
    return MDR_OK;
}

static mdr_code need_all(const mdr_lab_csv *s, const char *const *names, int n, mdr_err *err)
{
    for (int k = 0; k < n; k++) {
        MDR_TRY(mdr_lab_csv_needs(s, k, names[k], err));
    }
    return MDR_OK;
}

static mdr_code alone(const char *given, const char *missing, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_ARG, missing, "dose tables and their bands are two files");
    mdr_err_value(err, "%s alone", given);
    mdr_err_remedy(err, "give both: dose_table and dose_band");
    return rc;
}

static mdr_code read_bands(mdr_dyelab *lab, mdr_err *err)
{
    static const char *const NAMES[BAND_COLUMNS] = {"table_id", "depth_max_pct_owf",
                                                    "amount_g_per_l"};
    mdr_lab_csv s;
    MDR_TRY(mdr_lab_csv_open(lab, MDR_RECIPE_FILE_DOSE_BAND, NAMES, BAND_COLUMNS, &s, err));
    MDR_TRY(need_all(&s, NAMES, BAND_COLUMNS, err));
    return mdr_lab_csv_each(lab, &s, band_of_row, err);
}

static mdr_code read_tables(mdr_dyelab *lab, mdr_err *err)
{
    mdr_lab_csv s;
    lab->tables = MDR_NEW_N(lab->desk.arena, mdr_dose_table, TABLES_MAX);
    lab->bands = MDR_NEW_N(lab->desk.arena, mdr_dose_band *, TABLES_MAX);
    if (lab->tables == NULL || lab->bands == NULL) {
        return no_memory(err);
    }
    MDR_TRY(mdr_lab_csv_open(lab, MDR_RECIPE_FILE_DOSE_TABLE, TABLE_NAMES, TABLE_COLUMNS, &s, err));
    MDR_TRY(need_all(&s, TABLE_NAMES, 1, err));
    return mdr_lab_csv_each(lab, &s, table_of_row, err);
}

mdr_code mdr_dyelab_read_known(mdr_dyelab *lab, mdr_err *err)
{
    const bool tables = lab->asked->files[MDR_RECIPE_FILE_DOSE_TABLE].name != NULL;
    const bool bands = lab->asked->files[MDR_RECIPE_FILE_DOSE_BAND].name != NULL;
    MDR_TRY(mdr_dyelab_read_facts(lab, err));
    if (tables != bands) {
        return tables ? alone("dose_table", "dose_band", err)
                      : alone("dose_band", "dose_table", err);
    }
    if (!tables) {
        lab->known = lab->asked->mill;
        return MDR_OK;
    }
    MDR_TRY(read_tables(lab, err));
    MDR_TRY(read_bands(lab, err));
    lab->known = (mdr_recipe_mill){lab->materials, lab->tables, lab->n_materials, lab->n_tables};
    return MDR_OK;
}

/* -- what they say -- */

static const mdr_material *material_of(const mdr_dyelab *lab, const char *dye_id)
{
    for (int i = 0; i < lab->known.n_materials; i++) {
        if (strcmp(lab->known.materials[i].material_id, dye_id) == 0) {
            return &lab->known.materials[i];
        }
    }
    return NULL;
}

static const mdr_dose_table *table_named(const mdr_dyelab *lab, const char *table_id)
{
    for (int i = 0; i < lab->known.n_tables; i++) {
        if (table_id[0] != '\0' && strcmp(lab->known.tables[i].table_id, table_id) == 0) {
            return &lab->known.tables[i];
        }
    }
    return NULL;
}

static void read_table(mdr_dyelab *lab, const mdr_dose_table *t, double depth_pct_owf,
                       double ratio_l_per_kg, mdr_dyelab_dose *out)
{
    const double last = t->n_bands > 0 ? t->bands[t->n_bands - 1].depth_max_pct_owf : 0.0;
    out->table = t;
    if (t->n_bands == 0 || depth_pct_owf > last) {
        out->words =
            mdr_arena_printf(lab->desk.arena, "%s ends at %g %% owf, the recipe has %.4g %%",
                             t->table_id, last, depth_pct_owf);
        return;
    }
    const bool less =
        t->ratio_rule == MDR_RATIO_RULE_BAND_LESS && ratio_l_per_kg < MDR_SALT_SHORT_RATIO_L_PER_KG;
    const mdr_salt_knots k = mdr_salt_knots_at(t->bands, t->n_bands, depth_pct_owf,
                                               t->between == MDR_BETWEEN_LINEAR, less);
    const char *substance = mdr_substance_id((mdr_substance)t->counted_as);
    const bool other = t->counted_as == MDR_SUB_OTHER;
    out->known = true;
    out->g_per_l = mdr_salt_between(&k, depth_pct_owf);
    out->weighed = mdr_arena_printf(lab->desk.arena, "%s%s, by %s", other ? "product" : substance,
                                    other ? "" : " 100 %", t->table_id);
    out->words =
        mdr_arena_printf(lab->desk.arena, "%s at %.4g %% owf in all, by %s%s%s%s", t->table_id,
                         depth_pct_owf, out->decided_by, less ? ", one band less" : "",
                         other ? "" : ", as ", other ? "" : substance);
}

mdr_code mdr_dyelab_doses_of(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe,
                             double ratio_l_per_kg, mdr_dyelab_doses *out, mdr_err *err)
{
    mdr_recipe_dye dyes[MDR_RECIPE_DYES_MAX];
    double depth_pct_owf = 0.0;
    int n = 0;
    *out = (mdr_dyelab_doses){{{0}}};
    if (recipe->n == 0) {
        return MDR_OK; /* the cloth as it is */
    }
    for (int i = 0; i < recipe->n; i++) {
        const mdr_material *m = material_of(lab, recipe->dye_id[i]);
        if (m == NULL || lab->known.n_tables == 0) {
            return MDR_OK; /* of this recipe nothing is known */
        }
        dyes[n++] = (mdr_recipe_dye){m, recipe->depth_pct_owf[i]};
        depth_pct_owf += recipe->depth_pct_owf[i];
    }
    const mdr_material *decides = mdr_deciding_dye(dyes, n, depth_pct_owf)->dye;
    const char *const ids[MDR_LAB_AUXES] = {decides->salt_table, decides->alkali_table};
    for (int k = 0; k < MDR_LAB_AUXES; k++) {
        const mdr_dose_table *t = table_named(lab, ids[k]);
        mdr_dyelab_dose *d = &out->of[k];
        if (t == NULL) {
            continue;
        }
        d->decided_by = decides->material_id;
        read_table(lab, t, depth_pct_owf, ratio_l_per_kg, d);
        if (d->words == NULL || (d->known && d->weighed == NULL)) {
            return no_memory(err);
        }
    }
    return MDR_OK;
}

/* -- written -- */

const char *mdr_dyelab_dose_key(int which)
{
    static const char *const KEYS[MDR_LAB_AUXES] = {"salt_g_per_l", "alkali_g_per_l"};
    return KEYS[which];
}

void mdr_dyelab_put_doses(struct mdr_json *j, const mdr_dyelab_doses *doses)
{
    static const char *const KEYS[MDR_LAB_AUXES] = {"salt", "alkali"};
    for (int k = 0; k < MDR_LAB_AUXES; k++) {
        const mdr_dyelab_dose *d = &doses->of[k];
        if (d->table == NULL) {
            continue;
        }
        if (d->known) {
            mdr_json_number(j, mdr_dyelab_dose_key(k), d->g_per_l);
        } else {
            mdr_json_null(j, mdr_dyelab_dose_key(k));
        }
        mdr_json_object(j, KEYS[k]);
        mdr_json_text(j, "table_id", d->table->table_id);
        mdr_json_text(j, "title", d->table->title);
        mdr_json_text(j, "source", d->table->source);
        mdr_json_text(j, "counted_as", mdr_substance_id((mdr_substance)d->table->counted_as));
        mdr_json_text(j, "decided_by", d->decided_by);
        mdr_json_text(j, "words", d->words);
        mdr_json_end_object(j);
    }
}
