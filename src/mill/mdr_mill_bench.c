/* Samples and dips out of the mill, and measured samples into it. */
#include <stdlib.h>
#include <string.h>

#include "core/plan/mdr_pick.h"
#include "mill/mdr_bench.h"
#include "mill/mdr_mill_cell_in.h"
#include "mill/mdr_mill_rows.h"
#include "mill/mdr_table_in.h"

MDR_PICK(mdr_bench_kind_id, mdr_bench_kind, MDR_BENCH_KINDS(MDR_PICK_ID))
MDR_PICK(mdr_dip_state_id, mdr_dip_state, MDR_DIP_STATES(MDR_PICK_ID))
MDR_PICK(mdr_dip_state_words, mdr_dip_state, MDR_DIP_STATES(MDR_PICK_WORDS))

bool mdr_bench_day(const char *text, int64_t *utc_ms)
{
    return mdr_mill_date_read(text, strlen(text), utc_ms);
}

/* -- finding -- */

static int by_sample(const void *id, const void *record)
{
    return strcmp(id, ((const mdr_bench_sample *)record)->sample_id);
}

static int by_dip(const void *id, const void *record)
{
    return strcmp(id, ((const mdr_dip *)record)->dip_id);
}

const mdr_bench_sample *mdr_bench_sample_of(const mdr_bench *b, const char *sample_id)
{
    return b->n_samples == 0 ? NULL
                             : bsearch(sample_id, b->samples, (size_t)b->n_samples,
                                       sizeof *b->samples, by_sample);
}

const mdr_dip *mdr_bench_dip_of(const mdr_bench *b, const char *dip_id)
{
    return b->n_dips == 0 ? NULL
                          : bsearch(dip_id, b->dips, (size_t)b->n_dips, sizeof *b->dips, by_dip);
}

const mdr_bench_sample *mdr_bench_cloth_of(const mdr_bench *b, const char *substrate)
{
    for (int i = 0; i < b->n_samples; i++) {
        const mdr_bench_sample *s = &b->samples[i];
        if (s->kind == MDR_BENCH_CLOTH && strcmp(s->substrate, substrate) == 0) {
            return s;
        }
    }
    return NULL;
}

const mdr_bench_sample *mdr_bench_standard_of(const mdr_bench *b, const char *shade_id)
{
    for (int i = 0; i < b->n_samples; i++) {
        const mdr_bench_sample *s = &b->samples[i];
        if (s->kind == MDR_BENCH_STANDARD && strcmp(s->shade_id, shade_id) == 0) {
            return s;
        }
    }
    return NULL;
}

/* -- loading -- */

static mdr_code load(mdr_mill *mill, const char *table, mdr_arena *arena, mdr_mill_rows *out,
                     mdr_err *err)
{
    return mdr_mill_load(mill, &(mdr_mill_query){.table = mdr_table_find(table)}, arena, out, err);
}

/* Readings that make no spectrum leave the sample without one: the check of the mill tells. */
static mdr_code spectrum_of(const mdr_row_lab_reading *rows, int n, mdr_arena *arena,
                            const mdr_spectrum **out, mdr_err *err)
{
    mdr_spectral_point points[MDR_SPECTRUM_MAX];
    bool resampled = false;
    *out = NULL;
    if (n == 0 || n > MDR_SPECTRUM_MAX) {
        return MDR_OK;
    }
    for (int i = 0; i < n; i++) {
        points[i] = (mdr_spectral_point){rows[i].wavelength_nm, rows[i].reflectance_pct / 100.0};
    }
    mdr_spectrum *s = MDR_NEW(arena, mdr_spectrum);
    if (s == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, rows->sample_id, "no memory for its readings");
    }
    const mdr_code rc = mdr_spectrum_of_points(points, n, arena, s, &resampled, err);
    *out = rc == MDR_OK ? s : NULL;
    return rc == MDR_E_NOMEM ? rc : MDR_OK;
}

static mdr_code load_samples(mdr_mill *mill, mdr_arena *arena, mdr_bench *b, mdr_err *err)
{
    mdr_mill_rows samples, rows;
    int r = 0;
    MDR_TRY(load(mill, "lab_sample", arena, &samples, err));
    MDR_TRY(load(mill, "lab_reading", arena, &rows, err));
    mdr_bench_sample *all = samples.items;
    const mdr_row_lab_reading *reading = rows.items;
    for (int i = 0; i < samples.count; i++) { /* both by sample */
        const int first = r;
        while (r < rows.count && strcmp(reading[r].sample_id, all[i].sample_id) == 0) {
            r++;
        }
        MDR_TRY(spectrum_of(r > first ? &reading[first] : NULL, r - first, arena, &all[i].spectrum,
                            err));
    }
    b->samples = all;
    b->n_samples = samples.count;
    return MDR_OK;
}

static mdr_code load_revisions(mdr_mill *mill, mdr_dip *dips, int n, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    bool row = true;
    mdr_code rc = mdr_mill_sql_prepare(mill, "SELECT \"revision\" FROM \"dip\" ORDER BY \"dip_id\"",
                                       &stmt, err);
    for (int i = 0; i < n && row && rc == MDR_OK; i++) {
        rc = mdr_mill_sql_step(mill, stmt, &row, err);
        if (rc == MDR_OK && row) {
            dips[i].revision = sqlite3_column_int(stmt, 0);
        }
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

static mdr_code load_dips(mdr_mill *mill, mdr_arena *arena, mdr_bench *b, mdr_err *err)
{
    mdr_mill_rows dips, rows;
    int r = 0;
    MDR_TRY(load(mill, "dip", arena, &dips, err));
    MDR_TRY(load(mill, "dip_dye", arena, &rows, err));
    mdr_dip *all = dips.items;
    const mdr_dip_dye *dyes = rows.items;
    MDR_TRY(load_revisions(mill, all, dips.count, err));
    for (int i = 0; i < dips.count; i++) { /* both by dip */
        all[i].dyes = rows.count > r ? &dyes[r] : NULL;
        for (; r < rows.count && strcmp(dyes[r].dip_id, all[i].dip_id) == 0; r++) {
            all[i].n_dyes++;
        }
    }
    b->dips = all;
    b->n_dips = dips.count;
    return MDR_OK;
}

mdr_code mdr_mill_bench(mdr_mill *mill, mdr_arena *arena, mdr_bench *out, mdr_err *err)
{
    mdr_bench b = {0};
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    mdr_code rc = load_samples(mill, arena, &b, err);
    rc = rc == MDR_OK ? load_dips(mill, arena, &b, err) : rc;
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_OK) {
        *out = b;
    }
    return rc;
}

/* -- storing a sample -- */

/* Of these kinds there is one a substrate or a shade. */
static mdr_code check_alone(mdr_mill *mill, const mdr_bench_sample *s, mdr_err *err)
{
    static const struct {
        int kind;
        const char *column, *sql, *msg;
    } ALONE[] = {
        {MDR_BENCH_CLOTH, "substrate",
         "SELECT count(*) FROM \"lab_sample\" WHERE \"kind\"='cloth' AND \"substrate\"=?1",
         "the substrate has its undyed cloth already"},
        {MDR_BENCH_STANDARD, "shade_id",
         "SELECT count(*) FROM \"lab_sample\" WHERE \"kind\"='standard' AND \"shade_id\"=?1",
         "the shade has its standard already"},
    };
    for (size_t i = 0; i < sizeof ALONE / sizeof ALONE[0]; i++) {
        const char *of = i == 0 ? s->substrate : s->shade_id;
        int64_t all = 0, same = 0;
        if (ALONE[i].kind != s->kind) {
            continue;
        }
        MDR_TRY(mdr_mill_sql_number(mill, ALONE[i].sql, of, &all, err));
        MDR_TRY(mdr_mill_sql_number(
            mill,
            "SELECT count(*) FROM \"lab_sample\" WHERE \"sample_id\"=?1 AND \"kind\" IN"
            " ('cloth', 'standard')",
            s->sample_id, &same, err));
        if (all > 0 && same == 0) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, ALONE[i].column, "%s", ALONE[i].msg);
            mdr_err_value(err, "%s", of);
            mdr_err_remedy(err, "measure again under the number of the sample that is there");
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code clear_readings(mdr_mill *mill, const char *sample_id, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    mdr_code rc = mdr_mill_sql_prepare(mill, "DELETE FROM \"lab_reading\" WHERE \"sample_id\"=?1",
                                       &stmt, err);
    if (rc == MDR_OK) {
        const int bound = mdr_mill_sql_bind_text(stmt, 1, sample_id, strlen(sample_id));
        rc = bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                                : mdr_mill_sql_fail(mill, bound, err);
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

enum { READING_SAMPLE, READING_NM, READING_PCT };

static mdr_code put_reading(mdr_mill *mill, const mdr_bench_sample *sample, int i,
                            sqlite3_stmt *stmt, mdr_err *err)
{
    const mdr_spectrum *s = sample->spectrum;
    const double value[] = {
        [READING_NM] = s->start_nm + s->step_nm * i, [READING_PCT] = s->v[i] * 100.0};
    bool row = false;
    (void)sqlite3_reset(stmt);
    int bound = mdr_mill_sql_bind_text(stmt, 1, sample->sample_id, strlen(sample->sample_id));
    for (int k = READING_NM; k <= READING_PCT && bound == SQLITE_OK; k++) {
        mdr_mill_cell cell;
        MDR_TRY(mdr_mill_cell_number(&mdr_cols_lab_reading[k], value[k], &cell, err));
        bound = mdr_mill_cell_bind(&mdr_cols_lab_reading[k], &cell, stmt, k + 1);
    }
    return bound == SQLITE_OK ? mdr_mill_sql_step(mill, stmt, &row, err)
                              : mdr_mill_sql_fail(mill, bound, err);
}

static mdr_code put_readings(mdr_mill *mill, const mdr_bench_sample *sample, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    MDR_TRY(clear_readings(mill, sample->sample_id, err));
    mdr_code rc = mdr_mill_upsert(mill, mdr_table_find("lab_reading"), &stmt, err);
    for (int i = 0; i < sample->spectrum->n && rc == MDR_OK; i++) {
        rc = put_reading(mill, sample, i, stmt, err);
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

mdr_code mdr_mill_sample_put(mdr_mill *mill, const mdr_bench_sample *sample, mdr_err *err)
{
    MDR_TRY(mdr_mill_begin(mill, err));
    mdr_code rc = check_alone(mill, sample, err);
    rc = rc == MDR_OK ? mdr_mill_row_put(mill, mdr_table_find("lab_sample"), sample, err) : rc;
    rc = rc == MDR_OK && sample->spectrum != NULL ? put_readings(mill, sample, err) : rc;
    if (rc != MDR_OK) {
        mdr_mill_rollback(mill);
        return rc;
    }
    return mdr_mill_commit(mill, err);
}
