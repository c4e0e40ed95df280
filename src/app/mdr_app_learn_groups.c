/* Right first time by shade, machine, dye set, article and month. */
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_learn_in.h"
#include "core/quality/mdr_right_first.h"

typedef enum grouping {
    BY_SHADE,
    BY_MACHINE,
    BY_DYE_SET,
    BY_ARTICLE,
    BY_MONTH,
    GROUPINGS
} grouping;

static const char *const BY[GROUPINGS] = {"shade", "machine", "dye_set", "article", "month"};
static const char *const BY_WORDS[GROUPINGS] = {"shade", "machine", "dye set", "article", "month"};

static const mdr_sheet_column GROUPINGS_COLUMNS[] = {
    {"by", "by", 0},         {"groups", "groups", 0},
    {"lots", "lots", 0},     {"alike", "they differ", 0},
    {"chi_square", NULL, 1}, {"worth_lots", "mill worth, lots", 1},
};
static const mdr_sheet_column GROUP_COLUMNS[] = {
    {"by", "by", 0},
    {"id", "which", 0},
    {"lots", "lots", 0},
    {"right_first", "right", 0},
    {"rate_pct", "%", 0},
    {"low_pct", "low", 0},
    {"high_pct", "high", 0},
    {"expected_pct", "expect", 0},
    {"own_weight_pct", NULL, 0},
    {"lost_lots", "lost", 1},
    {"rank", NULL, 0},
    {"verdict", "verdict", 0},
};
#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))

/* Dyes of a lot whose set has no name, in the order of their ids: "RB-1+RY-1"; "" without dyes. */
static const char *set_of(mdr_learn_desk *d, const mdr_learn_lot *l)
{
    const char *text = "", *last = "";
    for (int i = 0; i < l->n_dyes; i++) {
        const char *next = NULL;
        for (int k = 0; k < l->n_dyes; k++) {
            const char *id = l->dyes[k].dye_id;
            next = strcmp(id, last) > 0 && (next == NULL || strcmp(id, next) < 0) ? id : next;
        }
        if (next != NULL) {
            text = mdr_sheet_text(d->sheet, "%s%s%s", text, text[0] != '\0' ? "+" : "", next);
            last = next;
        }
    }
    return text;
}

/* A lot's group; NULL: not known. */
static const char *id_of(mdr_learn_desk *d, const mdr_learn_lot *l, grouping by)
{
    const char *id = NULL;
    switch (by) {
    case BY_SHADE:
        id = l->shade_id;
        break;
    case BY_MACHINE:
        id = l->machine_id;
        break;
    case BY_DYE_SET:
        id = l->dye_set != NULL && l->dye_set[0] != '\0' ? l->dye_set : set_of(d, l);
        break;
    case BY_ARTICLE:
        id = l->article_id;
        break;
    case BY_MONTH:
        return mdr_sheet_text(
            d->sheet, "%.7s",
            mdr_learn_day(d, l->ended_utc_ms + (int64_t)d->in->offset_min * 60000));
    case GROUPINGS:
        break;
    }
    return id != NULL && id[0] != '\0' ? id : NULL;
}

static int by_id(const void *a, const void *b)
{
    return strcmp(((const mdr_rft_count *)a)->id, ((const mdr_rft_count *)b)->id);
}

/* Lots as counts of one, sorted, then added up in place; returns how many groups. */
static int count(mdr_learn_desk *d, grouping by, mdr_rft_count *counts)
{
    int n = 0, groups = 0;
    for (int i = 0; i < d->in->n; i++) {
        const mdr_learn_lot *l = &d->in->lots[i];
        const char *id = id_of(d, l, by);
        if (id != NULL) {
            counts[n++] = (mdr_rft_count){id, 1, l->right_first};
        }
    }
    qsort(counts, (size_t)n, sizeof *counts, by_id);
    for (int i = 0; i < n; i++) {
        if (groups > 0 && strcmp(counts[groups - 1].id, counts[i].id) == 0) {
            counts[groups - 1].lots++;
            counts[groups - 1].right += counts[i].right;
        } else {
            counts[groups++] = counts[i];
        }
    }
    return groups;
}

static void put_grouping(mdr_sheet_table *t, grouping by, const mdr_rft *a)
{
    mdr_sheet_cell_put(t, mdr_cell_text(BY[by], BY_WORDS[by]));
    mdr_sheet_cell_put(t, mdr_cell_number(a->n));
    mdr_sheet_cell_put(t, mdr_cell_number(a->lots));
    mdr_sheet_cell_put(t, mdr_cell_flag(a->alike, "no more than chance", "more than chance"));
    mdr_sheet_cell_put(t, mdr_cell_number(a->chi_square));
    mdr_sheet_cell_put(t, a->alike ? mdr_cell_none() : mdr_cell_number(a->worth_lots));
}

static void put_group(mdr_sheet_table *t, grouping by, const mdr_rft_group *g)
{
    mdr_sheet_cell_put(t, mdr_cell_text(BY[by], BY_WORDS[by]));
    mdr_sheet_cell_put(t, mdr_cell_text(g->id, g->id));
    mdr_sheet_cell_put(t, mdr_cell_number(g->lots));
    mdr_sheet_cell_put(t, mdr_cell_number(g->right));
    const double pct[] = {g->rate, g->range.low, g->range.high, g->expected_rate, g->own_weight};
    for (int i = 0; i < N_OF(pct); i++) {
        mdr_sheet_cell_put(t, mdr_cell_number(100.0 * pct[i]));
    }
    mdr_sheet_cell_put(t, mdr_cell_number(g->lost_lots));
    mdr_sheet_cell_put(t, mdr_cell_number(g->rank));
    mdr_sheet_cell_put(
        t, mdr_cell_text(mdr_rft_verdict_id(g->verdict), g->verdict == MDR_RFT_CHANCE  ? ""
                                                         : g->verdict == MDR_RFT_WORSE ? "worse"
                                                                                       : "better"));
}

mdr_code mdr_learn_groups(mdr_learn_desk *d, mdr_err *err)
{
    mdr_rft by[GROUPINGS];
    int n_groupings = 0, n_groups = 0;
    mdr_rft_count *counts = MDR_NEW_N(d->arena, mdr_rft_count, (size_t)d->in->n);
    if (counts == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many lots");
    }
    for (int i = 0; i < GROUPINGS; i++) {
        const int n = count(d, (grouping)i, counts);
        by[i] = (mdr_rft){.n = 0};
        if (n > 0) {
            const mdr_code rc = mdr_rft_of(counts, n, d->arena, &by[i], err);
            if (rc != MDR_OK) {
                mdr_err_within(err, "%s.", BY[i]);
                return rc;
            }
        }
        n_groupings += n > 0;
        const mdr_learn_slice told = mdr_learn_slice_of(d, by[i].n);
        n_groups += told.last - told.first;
    }
    mdr_sheet_table *groupings =
        mdr_sheet_table_open(d->sheet, &(mdr_sheet_table){.key = "groupings",
                                                          .label = "Do the groups differ?",
                                                          .columns = GROUPINGS_COLUMNS,
                                                          .n_columns = N_OF(GROUPINGS_COLUMNS),
                                                          .n_rows = n_groupings});
    mdr_sheet_table *groups =
        mdr_sheet_table_open(d->sheet, &(mdr_sheet_table){.key = "groups",
                                                          .label = "Right first time",
                                                          .columns = GROUP_COLUMNS,
                                                          .n_columns = N_OF(GROUP_COLUMNS),
                                                          .n_rows = n_groups});
    for (int i = 0; i < GROUPINGS; i++) {
        if (by[i].n > 0) {
            put_grouping(groupings, (grouping)i, &by[i]);
        }
        const mdr_learn_slice told = mdr_learn_slice_of(d, by[i].n);
        for (int k = told.first; k < told.last; k++) {
            put_group(groups, (grouping)i, &by[i].groups[k]);
        }
    }
    mdr_learn_because(d, MDR_LEARN_WHY_EXPECTED);
    return MDR_OK;
}
