/* Laboratory-to-bulk factors, dye by dye: as tables, and offered for one recipe. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_learn_in.h"

static const mdr_sheet_column FACTOR_COLUMNS[] = {
    {"dye_id", "dye", 0},         {"level", NULL, 0},      {"shade_id", "shade", 0},
    {"machine_id", "machine", 0}, {"factor", "factor", 3}, {"low", "low", 3},
    {"high", "high", 3},          {"lots", "lots", 0},     {"own_weight_pct", "weigh %", 0},
    {"multiply", NULL, 3},        {"if_asked", NULL, 0},   {"words", "if asked for", 0},
};
static const mdr_sheet_column DYE_COLUMNS[] = {
    {"dye_id", "dye", 0},
    {"lots", "lots", 0},
    {"left_out", "odd", 0},
    {"lot_spread_pct", "lot to lot, %", 1},
    {"cell_spread_pct", "shades, %", 1},
    {"machine_spread_pct", "machines, %", 1},
    {"lot_df", NULL, 0},
    {"cell_df", NULL, 0},
    {"machine_df", NULL, 0},
};
#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))

typedef struct pair {
    const mdr_learn_lot *lot;
    const mdr_learn_dye *dye;
} pair;

/* A dye with its lots and what they teach. */
typedef struct dye_work {
    const pair *pairs;
    mdr_bulk bulk;
    int n;
} dye_work;

typedef struct factors {
    mdr_learn_desk *desk;
    pair *pairs;
    mdr_bulk_lot *lots;              /* like pairs */
    const char **shades, **machines; /* known ids, sorted */
    dye_work *dyes;
    int n_pairs, n_shades, n_machines, n_dyes;
} factors;

static bool known(const char *id)
{
    return id != NULL && id[0] != '\0';
}

static int by_text(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static int unique(const char **ids, int n)
{
    int kept = 0;
    qsort((void *)ids, (size_t)n, sizeof *ids, by_text);
    for (int i = 0; i < n; i++) {
        if (kept == 0 || strcmp(ids[kept - 1], ids[i]) != 0) {
            ids[kept++] = ids[i];
        }
    }
    return kept;
}

static int number_of(const char *const *ids, int n, const char *id)
{
    const char *const *at =
        bsearch((const void *)&id, (const void *)ids, (size_t)n, sizeof *ids, by_text);
    return at == NULL ? 0 : (int)(at - ids);
}

static int by_dye(const void *a, const void *b)
{
    const pair *x = a, *y = b;
    const int order = strcmp(x->dye->dye_id, y->dye->dye_id);
    return order != 0 ? order : strcmp(x->lot->lot_id, y->lot->lot_id);
}

static void notice(mdr_sheet *s, const pair *p, const char *words)
{
    mdr_err e = {.code = MDR_OK};
    (void)mdr_err_set(&e, MDR_OK, "", NULL, 0, "%s", words);
    mdr_err_within(&e, "%s, dye %s", p->lot->lot_id, p->dye->dye_id);
    mdr_err_value(&e, "%g of %g %% owf", p->dye->found_pct, p->dye->planned_pct);
    mdr_err_list_add(&s->notices, &e);
}

/* Pairs that can be learned from; what cannot is said. */
static void gather(factors *f)
{
    const mdr_learn_in *in = f->desk->in;
    for (int i = 0; i < in->n; i++) {
        const mdr_learn_lot *l = &in->lots[i];
        for (int k = 0; known(l->shade_id) && known(l->machine_id) && k < l->n_dyes; k++) {
            const pair p = {l, &l->dyes[k]};
            const mdr_bulk_lot lot = {0, 0, p.dye->planned_pct, p.dye->found_pct};
            if (mdr_bulk_can(&lot)) {
                f->shades[f->n_pairs] = l->shade_id;
                f->machines[f->n_pairs] = l->machine_id;
                f->pairs[f->n_pairs++] = p;
            } else {
                notice(f->desk->sheet, &p, "not learned from: it tells of no factor");
            }
        }
    }
    f->n_shades = unique(f->shades, f->n_pairs);
    f->n_machines = unique(f->machines, f->n_pairs);
    qsort(f->pairs, (size_t)f->n_pairs, sizeof *f->pairs, by_dye);
}

static mdr_code make_room(factors *f, mdr_err *err)
{
    mdr_arena *a = f->desk->arena;
    size_t n = 1;
    for (int i = 0; i < f->desk->in->n; i++) {
        n += (size_t)f->desk->in->lots[i].n_dyes;
    }
    f->pairs = MDR_NEW_N(a, pair, n);
    f->lots = MDR_NEW_N(a, mdr_bulk_lot, n);
    f->shades = mdr_arena_alloc(a, n, sizeof *f->shades);
    f->machines = mdr_arena_alloc(a, n, sizeof *f->machines);
    if (f->pairs == NULL || f->lots == NULL || f->shades == NULL || f->machines == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many lots");
    }
    return MDR_OK;
}

/* One dye's run of pairs from `first` on. */
static mdr_code learn_dye(factors *f, int first, dye_work *out, mdr_err *err)
{
    const pair *p = &f->pairs[first];
    const mdr_bulk_prior usual = mdr_bulk_usual();
    int n = 0;
    for (; first + n < f->n_pairs && strcmp(p[n].dye->dye_id, p[0].dye->dye_id) == 0; n++) {
        f->lots[first + n] =
            (mdr_bulk_lot){number_of(f->shades, f->n_shades, p[n].lot->shade_id),
                           number_of(f->machines, f->n_machines, p[n].lot->machine_id),
                           p[n].dye->planned_pct, p[n].dye->found_pct};
    }
    out->pairs = p;
    out->n = n;
    const mdr_code rc = mdr_bulk_of(&f->lots[first], n, &usual, f->desk->arena, &out->bulk, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "%s: ", p[0].dye->dye_id);
        return rc;
    }
    for (int i = 0; i < n; i++) {
        if (out->bulk.left_out[i]) {
            notice(f->desk->sheet, &p[i], "left out: it does not belong to its shade and machine");
        }
    }
    return MDR_OK;
}

static mdr_code learn(factors *f, mdr_err *err)
{
    int dyes = 0;
    for (int i = 0; i < f->n_pairs; i++) {
        dyes += i == 0 || strcmp(f->pairs[i].dye->dye_id, f->pairs[i - 1].dye->dye_id) != 0;
    }
    f->dyes = MDR_NEW_N(f->desk->arena, dye_work, (size_t)dyes + 1);
    if (f->dyes == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many dyes");
    }
    for (int i = 0; i < f->n_pairs;) {
        MDR_TRY(learn_dye(f, i, &f->dyes[f->n_dyes], err));
        i += f->dyes[f->n_dyes++].n;
    }
    return MDR_OK;
}

/* -- writing -- */

typedef struct row {
    const char *dye_id, *shade_id, *machine_id;
    const mdr_bulk_known *known;
} row;

static void put_factor(const factors *f, mdr_sheet_table *t, const row *r)
{
    const mdr_bulk_known *k = r->known;
    const mdr_bulk_use use = mdr_bulk_use_of(k, true, f->desk->in->unproven_too);
    mdr_sheet_cell_put(t, mdr_cell_text(r->dye_id, r->dye_id));
    mdr_sheet_cell_put(t,
                       mdr_cell_text(mdr_bulk_level_id(k->level), mdr_bulk_level_words(k->level)));
    mdr_sheet_cell_put(t, mdr_cell_text(r->shade_id, r->shade_id[0] != '\0' ? r->shade_id : "all"));
    mdr_sheet_cell_put(
        t, mdr_cell_text(r->machine_id, r->machine_id[0] != '\0' ? r->machine_id : "all"));
    mdr_sheet_cell_put(t, mdr_cell_number(k->factor));
    mdr_sheet_cell_put(t, mdr_cell_number(k->low));
    mdr_sheet_cell_put(t, mdr_cell_number(k->high));
    mdr_sheet_cell_put(t, mdr_cell_number(k->lots));
    mdr_sheet_cell_put(t, mdr_cell_number(100.0 * k->own_weight));
    mdr_sheet_cell_put(t, mdr_cell_number(use.multiply));
    mdr_sheet_cell_put(t, mdr_cell_text(mdr_bulk_use_id(use.verdict), ""));
    mdr_sheet_cell_put(t, mdr_cell_text(mdr_bulk_use_words(use.verdict),
                                        use.verdict == MDR_BULK_APPLIED    ? "applied"
                                        : use.verdict == MDR_BULK_UNPROVEN ? "no: may be 1"
                                                                           : "no: too far from 1"));
}

static void put_dye(const factors *f, mdr_sheet_table *t, const dye_work *w)
{
    const char *dye_id = w->pairs[0].dye->dye_id;
    const mdr_bulk *b = &w->bulk;
    put_factor(f, t, &(row){dye_id, "", "", &b->mill});
    for (int m = 0, c = 0; m < b->n_machines; m++) {
        const char *machine = f->machines[b->machines[m].machine];
        put_factor(f, t, &(row){dye_id, "", machine, &b->machines[m].known});
        for (; c < b->n_cells && b->cells[c].machine == b->machines[m].machine; c++) {
            put_factor(f, t,
                       &(row){dye_id, f->shades[b->cells[c].shade], machine, &b->cells[c].known});
        }
    }
}

static void put_spreads(mdr_sheet_table *t, const dye_work *w)
{
    const mdr_bulk *b = &w->bulk;
    mdr_sheet_cell_put(t, mdr_cell_text(w->pairs[0].dye->dye_id, w->pairs[0].dye->dye_id));
    mdr_sheet_cell_put(t, mdr_cell_number(b->mill.lots));
    mdr_sheet_cell_put(t, mdr_cell_number(b->n_left_out));
    mdr_sheet_cell_put(t, mdr_cell_number(100.0 * b->lot_spread));
    mdr_sheet_cell_put(t, mdr_cell_number(100.0 * b->cell_spread));
    mdr_sheet_cell_put(t, mdr_cell_number(100.0 * b->machine_spread));
    mdr_sheet_cell_put(t, mdr_cell_number(b->lot_df));
    mdr_sheet_cell_put(t, mdr_cell_number(b->cell_df));
    mdr_sheet_cell_put(t, mdr_cell_number(b->machine_df));
}

static void put_all(const factors *f)
{
    int rows = 0;
    for (int i = 0; i < f->n_dyes; i++) {
        rows += 1 + f->dyes[i].bulk.n_machines + f->dyes[i].bulk.n_cells;
    }
    mdr_sheet_table *dyes = mdr_sheet_table_open(
        f->desk->sheet, &(mdr_sheet_table){.key = "dyes",
                                           .label = "Laboratory to bulk: how it scatters",
                                           .columns = DYE_COLUMNS,
                                           .n_columns = N_OF(DYE_COLUMNS),
                                           .n_rows = f->n_dyes});
    mdr_sheet_table *table = mdr_sheet_table_open(
        f->desk->sheet,
        &(mdr_sheet_table){.key = "factors",
                           .label = "Laboratory to bulk: times the laboratory's depth",
                           .columns = FACTOR_COLUMNS,
                           .n_columns = N_OF(FACTOR_COLUMNS),
                           .n_rows = rows});
    for (int i = 0; i < f->n_dyes; i++) {
        put_spreads(dyes, &f->dyes[i]);
        put_dye(f, table, &f->dyes[i]);
    }
    mdr_learn_cut(f->desk, table);
}

mdr_code mdr_learn_factors(mdr_learn_desk *d, mdr_err *err)
{
    factors f = {.desk = d};
    MDR_TRY(make_room(&f, err));
    gather(&f);
    MDR_TRY(learn(&f, err));
    put_all(&f);
    if (f.n_dyes > 0) {
        mdr_learn_because(d, MDR_LEARN_WHY_FACTORS);
        mdr_learn_because(d, MDR_LEARN_WHY_USE);
        mdr_sheet_note(d->sheet, "No factor is applied to a recipe by itself.");
    }
    return MDR_OK;
}

/* -- offered for one recipe -- */

/* A number that no lot has: mdr_bulk_at then answers by the next wider group. */
static int number_or_none(const char *const *ids, int n, const char *id)
{
    const int at = number_of(ids, n, id);
    return n > 0 && strcmp(ids[at], id) == 0 ? at : MDR_BULK_NUMBER_MAX;
}

static const double STEPS_PER_UNIT = 1000.0; /* three decimals: as it is shown and typed */

mdr_code mdr_learn_offers(mdr_learn_desk *d, mdr_bulk_offers *out, mdr_err *err)
{
    factors f = {.desk = d};
    MDR_TRY(make_room(&f, err));
    gather(&f);
    MDR_TRY(learn(&f, err));
    mdr_bulk_offer *of = MDR_NEW_N(d->arena, mdr_bulk_offer, (size_t)f.n_dyes + 1);
    if (of == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many dyes");
    }
    const int shade = number_or_none(f.shades, f.n_shades, out->asked.shade_id);
    const int machine = number_or_none(f.machines, f.n_machines, out->asked.machine_id);
    for (int i = 0; i < f.n_dyes; i++) {
        mdr_bulk_offer *o = &of[i];
        o->dye_id = mdr_arena_text(d->arena, f.dyes[i].pairs[0].dye->dye_id);
        o->known = mdr_bulk_at(&f.dyes[i].bulk, shade, machine);
        o->use = mdr_bulk_use_of(&o->known, true, out->asked.best_guess);
        o->multiply = round(o->use.multiply * STEPS_PER_UNIT) / STEPS_PER_UNIT;
        o->words = mdr_bulk_say(&o->known, &o->use, d->arena);
        if (o->words == NULL || o->dye_id == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the factors");
        }
    }
    out->of = of;
    out->n = f.n_dyes;
    out->lots = d->in->n;
    return MDR_OK;
}
