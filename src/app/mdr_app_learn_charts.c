/* Control charts of the lots: wrong by week, colour differences, additions. */
#include <stddef.h>

#include "app/mdr_app_learn_in.h"
#include "core/quality/mdr_right_first.h"

static const double EWMA_WEIGHT = 0.2; /* common practice: 0.2 to 0.3 */
enum { LOTS_A_COUNT = 10, CHARTS = 4, BASE_MIN = 2 };

/* A chart and when its points were: all of them, or none because there are too few. */
typedef struct drawn {
    const char *id, *words, *unit;
    mdr_chart chart; /* n 0: not drawn */
    int64_t *at_ms;  /* local time of a point */
} drawn;

static const mdr_sheet_column CHART_COLUMNS[] = {
    {"chart", NULL, 0},      {"words", "chart", 0},    {"kind", NULL, 0},       {"unit", NULL, 0},
    {"points", "points", 0}, {"base", "base", 0},      {"centre", "centre", 3}, {"sigma", NULL, 3},
    {"out", "out", 0},       {"provisional", NULL, 0}, {"state", "state", 0},
};
static const mdr_sheet_column POINT_COLUMNS[] = {
    {"chart", NULL, 0}, {"at", NULL, 0},    {"value", NULL, 3}, {"lower", NULL, 3},
    {"upper", NULL, 3}, {"lots", NULL, 0},  {"z", NULL, 2},     {"in_base", NULL, 0},
    {"few", NULL, 0},   {"rules", NULL, 0},
};
static const mdr_sheet_column SIGNAL_COLUMNS[] = {
    {"at", "when", 0},   {"chart", NULL, 0}, {"words", "chart", 0},     {"value", "value", 3},
    {"centre", NULL, 3}, {"rule", NULL, 0},  {"because", "because", 0},
};
static const mdr_sheet_column RULE_COLUMNS[] = {
    {"rule", NULL, 0}, {"words", NULL, 0}, {"points", NULL, 0}, {"source", NULL, 0}};
#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))

static int64_t local_ms(const mdr_learn_desk *d, const mdr_learn_lot *l)
{
    return l->ended_utc_ms + (int64_t)d->in->offset_min * 60000;
}

/* The base asked for, or all when there are not so many points. */
static mdr_chart_base base_of(const mdr_learn_desk *d, int n)
{
    const int asked = d->in->base;
    return (mdr_chart_base){.n_points = asked < BASE_MIN || asked > n ? 0 : asked};
}

static unsigned rules_of(const mdr_learn_desk *d)
{
    return d->in->long_list ? MDR_CHART_LONG_LIST : MDR_CHART_SHORT_LIST;
}

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "there are too many lots");
}

static mdr_code weeks(mdr_learn_desk *d, drawn *out, mdr_err *err)
{
    const int64_t week_ms = 7 * (int64_t)86400000;
    const int n = d->in->n;
    mdr_rft_weeks w;
    mdr_rft_lot *lots = MDR_NEW_N(d->arena, mdr_rft_lot, (size_t)n);
    if (lots == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < n; i++) {
        lots[i] = (mdr_rft_lot){d->in->lots[i].ended_utc_ms, d->in->lots[i].right_first};
    }
    MDR_TRY(mdr_rft_by_week(lots, n, d->in->offset_min, d->arena, &w, err));
    out->at_ms = MDR_NEW_N(d->arena, int64_t, (size_t)w.n);
    if (out->at_ms == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < w.n; i++) {
        out->at_ms[i] = w.first_utc_ms + (int64_t)d->in->offset_min * 60000 + i * week_ms;
    }
    const mdr_chart_base base = base_of(d, w.n);
    return w.n < BASE_MIN
               ? MDR_OK
               : mdr_chart_fraction(w.parts, w.n, &base, rules_of(d), d->arena, &out->chart, err);
}

/* Differences of the lots that have one, the last MDR_CHART_POINTS_MAX of them. */
static mdr_code differences(mdr_learn_desk *d, drawn *single, drawn *mean, mdr_err *err)
{
    int have = 0, n = 0;
    for (int i = 0; i < d->in->n; i++) {
        have += d->by_end[i]->has_de;
    }
    const int skip = have > MDR_CHART_POINTS_MAX ? have - MDR_CHART_POINTS_MAX : 0;
    double *de = MDR_NEW_N(d->arena, double, (size_t)have + 1);
    single->at_ms = mean->at_ms = MDR_NEW_N(d->arena, int64_t, (size_t)have + 1);
    if (de == NULL || single->at_ms == NULL) {
        return no_memory(err);
    }
    for (int i = 0, seen = 0; i < d->in->n; i++) {
        const mdr_learn_lot *l = d->by_end[i];
        if (l->has_de && seen++ >= skip) {
            de[n] = l->de;
            single->at_ms[n++] = local_ms(d, l);
        }
    }
    if (n < BASE_MIN) {
        return MDR_OK;
    }
    if (skip > 0) {
        mdr_sheet_note(d->sheet, "Charts of single lots show the last 5000.");
    }
    const mdr_chart_base base = base_of(d, n);
    MDR_TRY(mdr_chart_individuals(de, n, &base, rules_of(d), d->arena, &single->chart, err));
    return mdr_chart_ewma(de, n, &base, EWMA_WEIGHT, d->arena, &mean->chart, err);
}

/* Additions of every ten lots; the last few that make no ten wait. */
static mdr_code additions(mdr_learn_desk *d, drawn *out, mdr_err *err)
{
    const int tens = d->in->n / LOTS_A_COUNT;
    int *counts = MDR_NEW_N(d->arena, int, (size_t)tens + 1);
    out->at_ms = MDR_NEW_N(d->arena, int64_t, (size_t)tens + 1);
    if (counts == NULL || out->at_ms == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < tens * LOTS_A_COUNT; i++) {
        counts[i / LOTS_A_COUNT] += d->by_end[i]->additions;
        out->at_ms[i / LOTS_A_COUNT] = local_ms(d, d->by_end[i]);
    }
    const mdr_chart_base base = base_of(d, tens);
    return tens < BASE_MIN
               ? MDR_OK
               : mdr_chart_counts(counts, tens, &base, rules_of(d), d->arena, &out->chart, err);
}

/* -- writing -- */

static mdr_cell limit(bool has, double value)
{
    return has ? mdr_cell_number(value) : mdr_cell_none();
}

static void put_chart(mdr_sheet_table *t, const drawn *w)
{
    const mdr_chart *c = &w->chart;
    mdr_sheet_cell_put(t, mdr_cell_text(w->id, w->id));
    mdr_sheet_cell_put(t, mdr_cell_text(w->words, w->words));
    mdr_sheet_cell_put(t, mdr_cell_text(mdr_chart_kind_id(c->kind), mdr_chart_kind_words(c->kind)));
    mdr_sheet_cell_put(t, mdr_cell_text(w->unit, w->unit));
    mdr_sheet_cell_put(t, mdr_cell_number(c->n));
    mdr_sheet_cell_put(t, mdr_cell_number(c->n_base));
    mdr_sheet_cell_put(t, mdr_cell_number(c->centre));
    mdr_sheet_cell_put(t, mdr_cell_number(c->sigma));
    mdr_sheet_cell_put(t, mdr_cell_number(c->n_out));
    mdr_sheet_cell_put(t, mdr_cell_flag(c->provisional, "for the time being", "settled"));
    mdr_sheet_cell_put(
        t, mdr_cell_text(mdr_chart_state_id(c->state), mdr_chart_state_words(c->state)));
}

/* Ids of the rules, with spaces between them; "" for none. */
static const char *ids_of(mdr_sheet *s, unsigned rules)
{
    const char *text = "";
    for (int r = 0; r < MDR_CHART_RULE_COUNT; r++) {
        if ((rules & MDR_CHART_BIT(r)) != 0U) {
            text = mdr_sheet_text(s, "%s%s%s", text, text[0] != '\0' ? " " : "",
                                  mdr_chart_rule_id((mdr_chart_rule)r));
        }
    }
    return text;
}

/* What is charted is never below nought, and so is no limit. */
static void put_points(mdr_learn_desk *d, mdr_sheet_table *t, const drawn *w)
{
    const mdr_learn_slice told = mdr_learn_newest_of(d, w->chart.n);
    for (int i = told.first; i < told.last; i++) {
        const mdr_chart_point *p = &w->chart.points[i];
        const char *at = mdr_learn_day(d, w->at_ms[i]), *rules = ids_of(d->sheet, p->rules);
        mdr_sheet_cell_put(t, mdr_cell_text(w->id, w->id));
        mdr_sheet_cell_put(t, mdr_cell_text(at, at));
        mdr_sheet_cell_put(t, limit(p->has_value, p->value));
        mdr_sheet_cell_put(t, limit(p->has_value && p->has_lower && p->lower > 0.0, p->lower));
        mdr_sheet_cell_put(t, limit(p->has_value && p->has_upper, p->upper));
        mdr_sheet_cell_put(t, limit(w->chart.kind == MDR_CHART_FRACTION, p->of));
        mdr_sheet_cell_put(t, limit(p->has_value, p->z));
        mdr_sheet_cell_put(t, mdr_cell_flag(p->in_base, "", ""));
        mdr_sheet_cell_put(t, mdr_cell_flag(p->thin, "", ""));
        mdr_sheet_cell_put(t, mdr_cell_text(rules, rules));
    }
}

/* The first rule of a point is the strongest. */
static mdr_chart_rule first_rule(unsigned rules)
{
    int r = 0;
    while ((rules & MDR_CHART_BIT(r)) == 0U) {
        r++;
    }
    return (mdr_chart_rule)r;
}

static void put_signals(mdr_learn_desk *d, mdr_sheet_table *t, const drawn *w)
{
    for (int i = 0; i < w->chart.n; i++) {
        const mdr_chart_point *p = &w->chart.points[i];
        if (p->rules != 0U) {
            const char *at = mdr_learn_day(d, w->at_ms[i]);
            const mdr_chart_rule rule = first_rule(p->rules);
            mdr_sheet_cell_put(t, mdr_cell_text(at, at));
            mdr_sheet_cell_put(t, mdr_cell_text(w->id, w->id));
            mdr_sheet_cell_put(t, mdr_cell_text(w->words, w->words));
            mdr_sheet_cell_put(t, mdr_cell_number(p->value));
            mdr_sheet_cell_put(t, mdr_cell_number(w->chart.centre));
            mdr_sheet_cell_put(t, mdr_cell_text(mdr_chart_rule_id(rule), mdr_chart_rule_id(rule)));
            mdr_sheet_cell_put(
                t, mdr_cell_text(mdr_chart_rule_words(rule), mdr_chart_rule_words(rule)));
        }
    }
}

static void put_rules(mdr_sheet *s)
{
    mdr_sheet_table *t =
        mdr_sheet_table_open(s, &(mdr_sheet_table){.key = "rules",
                                                   .columns = RULE_COLUMNS,
                                                   .n_columns = N_OF(RULE_COLUMNS),
                                                   .n_rows = MDR_CHART_RULE_COUNT});
    for (int r = 0; r < MDR_CHART_RULE_COUNT; r++) {
        const mdr_chart_rule rule = (mdr_chart_rule)r;
        mdr_sheet_cell_put(t, mdr_cell_text(mdr_chart_rule_id(rule), ""));
        mdr_sheet_cell_put(t, mdr_cell_text(mdr_chart_rule_words(rule), ""));
        mdr_sheet_cell_put(t, mdr_cell_number(mdr_chart_rule_points(rule)));
        mdr_sheet_cell_put(t, mdr_cell_text(mdr_chart_rule_source(rule), ""));
    }
}

static void put_all(mdr_learn_desk *d, const drawn *w)
{
    int charts = 0, points = 0, signals = 0;
    bool provisional = false;
    for (int i = 0; i < CHARTS; i++) {
        charts += w[i].chart.n > 0;
        const mdr_learn_slice told = mdr_learn_newest_of(d, w[i].chart.n);
        points += told.last - told.first;
        signals += w[i].chart.n_out;
        provisional = provisional || w[i].chart.provisional;
    }
    mdr_sheet_table *of_charts =
        mdr_sheet_table_open(d->sheet, &(mdr_sheet_table){.key = "charts",
                                                          .label = "Control charts",
                                                          .columns = CHART_COLUMNS,
                                                          .n_columns = N_OF(CHART_COLUMNS),
                                                          .n_rows = charts});
    mdr_sheet_table *of_points =
        mdr_sheet_table_open(d->sheet, &(mdr_sheet_table){.key = "points",
                                                          .columns = POINT_COLUMNS,
                                                          .n_columns = N_OF(POINT_COLUMNS),
                                                          .n_rows = points});
    mdr_sheet_table *of_signals =
        mdr_sheet_table_open(d->sheet, &(mdr_sheet_table){.key = "signals",
                                                          .label = "Points that are out",
                                                          .columns = SIGNAL_COLUMNS,
                                                          .n_columns = N_OF(SIGNAL_COLUMNS),
                                                          .n_rows = signals});
    for (int i = 0; i < CHARTS; i++) {
        if (w[i].chart.n > 0) {
            put_chart(of_charts, &w[i]);
        }
        put_points(d, of_points, &w[i]);
        put_signals(d, of_signals, &w[i]);
    }
    mdr_learn_cut(d, of_signals);
    if (provisional) {
        mdr_sheet_note(d->sheet, "A base period of fewer than 20 points gives limits for the time "
                                 "being only.");
    }
}

mdr_code mdr_learn_charts(mdr_learn_desk *d, mdr_err *err)
{
    drawn w[CHARTS] = {
        {.id = "wrong_by_week", .words = "lots gone wrong, by week", .unit = "part"},
        {.id = "difference", .words = "colour difference", .unit = "dE"},
        {.id = "difference_mean", .words = "difference, weighted", .unit = "dE"},
        {.id = "additions", .words = "additions in ten lots", .unit = "additions"},
    };
    MDR_TRY(weeks(d, &w[0], err));
    MDR_TRY(differences(d, &w[1], &w[2], err));
    MDR_TRY(additions(d, &w[3], err));
    put_all(d, w);
    put_rules(d->sheet);
    mdr_learn_because(d, MDR_LEARN_WHY_CHARTS);
    mdr_learn_because(d, MDR_LEARN_WHY_RULES);
    mdr_learn_because(d, MDR_LEARN_WHY_FEW);
    return MDR_OK;
}
