/* The footprint of a lot as text: by stage, as bars, in all and per kg, against bands and against
 * another route. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/mdr_cmd_footprint.h"
#include "core/bath/mdr_drain_load.h"

enum { NAME_WIDE = 30, CELL_WIDE = 10, BAR_WIDE = 50 };

static double value(const mdr_plan *plan, mdr_fig_id id)
{
    return mdr_fig_value(&plan->figs, id);
}

static const double MINOR = 100.0; /* in one of the currency */

/* -- quantities -- */

typedef enum foot_qty {
    QTY_WATER,
    QTY_STEAM,
    QTY_POWER,
    QTY_PRODUCTS,
    QTY_COST,
    QTY_EFFLUENT,
    QTY_SALT,
    QTY_DYE,
    QTY_COD,
    QTY_SOLIDS,
    QTY_CO2,
    QTY_COUNT
} foot_qty;

static const struct {
    const char *label, *head, *unit; /* unit NULL: the currency */
    int decimals;
} QTYS[QTY_COUNT] = {
    [QTY_WATER] = {"Water", "water", "L", 0},
    [QTY_STEAM] = {"Steam", "steam", "kg", 0},
    [QTY_POWER] = {"Power", "power", "kWh", 0},
    [QTY_PRODUCTS] = {"Products", "products", "kg", 1},
    [QTY_COST] = {"Cost", "cost", NULL, 2},
    [QTY_EFFLUENT] = {"Effluent", "effluent", "L", 0},
    [QTY_SALT] = {"Salt to the drain", "salt", "kg", 1},
    [QTY_DYE] = {"Dye to the drain", "dye", "kg", 2},
    [QTY_COD] = {"Oxygen demand (COD)", "COD", "kg", 1},
    [QTY_SOLIDS] = {"Dissolved solids", "solids", "kg", 1},
    [QTY_CO2] = {"Carbon dioxide", "CO2", "kg", 1},
};
enum { TAKES_FROM = QTY_WATER, GIVES_FROM = QTY_EFFLUENT };

static const char *unit_of(const mdr_plan *plan, foot_qty qty)
{
    return QTYS[qty].unit != NULL ? QTYS[qty].unit : plan->site->currency;
}

static double amount(const mdr_plan *plan, const mdr_plan_foot *f, foot_qty qty)
{
    const mdr_fig_id ids[QTY_COUNT] = {
        [QTY_WATER] = f->water_l,   [QTY_STEAM] = f->steam_kg,
        [QTY_POWER] = f->power_kwh, [QTY_PRODUCTS] = f->chemicals_kg,
        [QTY_COST] = f->cost_minor, [QTY_EFFLUENT] = f->effluent_l,
        [QTY_SALT] = f->salt_kg,    [QTY_DYE] = f->dye_kg,
        [QTY_COD] = f->cod_kg,      [QTY_SOLIDS] = f->solids_kg,
        [QTY_CO2] = f->co2_kg,
    };
    return value(plan, ids[qty]) / (qty == QTY_COST ? MINOR : 1.0);
}

/* "1 037.66" */
static const char *digits(double v, int decimals, char out[32])
{
    char plain[32];
    char whole[32];
    (void)snprintf(plain, sizeof plain, "%.*f", decimals, fabs(v));
    const size_t point = strcspn(plain, ".");
    const char *sign = v < 0.0 && strspn(plain, "0.") < strlen(plain) ? "-" : "";
    (void)mdr_text_whole(trunc(strtod(plain, NULL)), whole);
    (void)snprintf(out, 32, "%.1s%.20s%.8s", sign, whole, plain + point);
    return out;
}

static const char *stage_name(const mdr_plan_foot *f)
{
    return f->stage != NULL ? f->stage->name : "Whole lot";
}

/* -- by stage -- */

static void put_stage(const mdr_plan *plan, const mdr_plan_foot *f, foot_qty from, foot_qty end)
{
    char text[32];
    (void)fputs("  ", stdout);
    mdr_text_pad(stage_name(f), NAME_WIDE);
    for (int i = (int)from; i < (int)end; i++) {
        mdr_text_pad(digits(amount(plan, f, (foot_qty)i), QTYS[i].decimals, text), -CELL_WIDE);
    }
    (void)putchar('\n');
}

static void put_stages(const mdr_plan *plan, const char *title, foot_qty from, foot_qty end,
                       const mdr_term *t)
{
    mdr_term_put(t, MDR_TINT_STRONG, "\n  ");
    mdr_text_pad(title, NAME_WIDE);
    for (int i = (int)from; i < (int)end; i++) {
        mdr_text_pad(QTYS[i].head, -CELL_WIDE);
    }
    (void)printf("\n  %*s", NAME_WIDE, "");
    for (int i = (int)from; i < (int)end; i++) {
        mdr_text_pad(unit_of(plan, (foot_qty)i), -CELL_WIDE);
    }
    (void)putchar('\n');
    for (int i = 0; i < plan->foot.n_stages; i++) {
        put_stage(plan, &plan->foot.stages[i], from, end);
    }
    put_stage(plan, &plan->foot.total, from, end);
}

/* -- bars -- */

static const foot_qty BARS[MDR_FOOT_BAR_COUNT] = {
    [MDR_FOOT_WATER] = QTY_WATER, [MDR_FOOT_STEAM] = QTY_STEAM,   [MDR_FOOT_POWER] = QTY_POWER,
    [MDR_FOOT_COD] = QTY_COD,     [MDR_FOOT_SOLIDS] = QTY_SOLIDS, [MDR_FOOT_CO2] = QTY_CO2,
    [MDR_FOOT_COST] = QTY_COST,
};

/* From `before` on, `more` wide; both of `whole`, which the widest bar shows. */
static void put_bar(double before, double more, double whole, const mdr_term *t)
{
    const int from = whole > 0.0 ? (int)lround(before / whole * BAR_WIDE) : 0;
    const int to = whole > 0.0 ? (int)lround((before + more) / whole * BAR_WIDE) : 0;
    for (int i = 0; i < BAR_WIDE; i++) {
        const bool thin = more > 0.0 && from == to && i == (from < BAR_WIDE ? from : from - 1);
        const char *full = t->utf8 ? "\u2588" : "#";
        const char *line = t->utf8 ? "\u258f" : "|";
        (void)fputs(i >= from && i < to ? full : thin ? line : " ", stdout);
    }
}

static void put_bar_line(const mdr_plan *plan, const mdr_plan_foot *f, foot_qty qty, double before,
                         double whole, const mdr_term *t)
{
    char text[32];
    (void)fputs("  ", stdout);
    mdr_text_pad(stage_name(f), NAME_WIDE);
    (void)putchar(' ');
    put_bar(before, amount(plan, f, qty), whole, t);
    mdr_text_pad(digits(amount(plan, f, qty), QTYS[qty].decimals, text), -(CELL_WIDE + 2));
    (void)putchar('\n');
}

static void put_bars(const mdr_plan *plan, foot_qty qty, double whole, const mdr_term *t)
{
    char head[80];
    (void)snprintf(head, sizeof head, "\n  %s by %s, %s\n", QTYS[qty].label, plan->route->route_id,
                   unit_of(plan, qty));
    mdr_term_put(t, MDR_TINT_STRONG, head);
    double before = 0.0;
    for (int i = 0; i < plan->foot.n_stages; i++) {
        put_bar_line(plan, &plan->foot.stages[i], qty, before, whole, t);
        before += amount(plan, &plan->foot.stages[i], qty);
    }
    put_bar_line(plan, &plan->foot.total, qty, 0.0, whole, t);
}

/* -- in all, per kg, beside another route -- */

/* One line; `b` and what differs only beside another plan. */
static void put_pair(const char *label, const char *unit, int decimals, double a, const double *b)
{
    char text[32];
    (void)fputs("  ", stdout);
    mdr_text_pad(label, NAME_WIDE - 8);
    mdr_text_pad(unit, 8);
    mdr_text_pad(digits(a, decimals, text), -(CELL_WIDE + 4));
    if (b != NULL) {
        static const double SAME = 1e-9; /* rounding of sums */
        const double more = fabs(*b - a) > SAME * fabs(a) ? *b - a : 0.0;
        char signed_text[40];
        mdr_text_pad(digits(*b, decimals, text), -(CELL_WIDE + 4));
        (void)snprintf(signed_text, sizeof signed_text, "%s%s", more > 0.0 ? "+" : "",
                       digits(more, decimals, text));
        mdr_text_pad(signed_text, -(CELL_WIDE + 4));
        if (a > 0.0) {
            (void)snprintf(signed_text, sizeof signed_text, "%+.1f %%", more / a * 100.0);
            mdr_text_pad(more != 0.0 ? signed_text : "same", -(CELL_WIDE + 2));
        } else {
            mdr_text_pad(more != 0.0 ? "-" : "same", -(CELL_WIDE + 2));
        }
    }
    (void)putchar('\n');
}

static void put_pair_head(const mdr_plan *plan, const mdr_plan *other, const char *title,
                          const mdr_term *t)
{
    mdr_term_put(t, MDR_TINT_STRONG, "\n  ");
    mdr_term_put(t, MDR_TINT_STRONG, title);
    if (other != NULL) {
        mdr_text_pad("", NAME_WIDE - mdr_text_columns(title));
        mdr_text_pad(plan->route->route_id, -(CELL_WIDE + 4));
        mdr_text_pad(other->route->route_id, -(CELL_WIDE + 4));
        mdr_text_pad("difference", -(CELL_WIDE + 4));
        mdr_text_pad("%", -(CELL_WIDE + 2));
    }
    (void)putchar('\n');
}

static void put_totals(const mdr_plan *plan, const mdr_plan *other, const mdr_term *t)
{
    put_pair_head(plan, other, "Whole lot", t);
    for (int i = 0; i < QTY_COUNT; i++) {
        const double b = other != NULL ? amount(other, &other->foot.total, (foot_qty)i) : 0.0;
        put_pair(QTYS[i].label, unit_of(plan, (foot_qty)i), QTYS[i].decimals,
                 amount(plan, &plan->foot.total, (foot_qty)i), other != NULL ? &b : NULL);
    }
    const double hours = other != NULL ? value(other, other->total_min) / 60.0 : 0.0;
    put_pair("Time", "h", 2, value(plan, plan->total_min) / 60.0, other != NULL ? &hours : NULL);
}

enum { PER_KG_COUNT = 7 };

static void per_kg(const mdr_plan *plan, double out[PER_KG_COUNT])
{
    const mdr_plan_footprint *f = &plan->foot;
    const double values[PER_KG_COUNT] = {
        value(plan, f->water_l_per_kg),           value(plan, f->steam_kg_per_kg),
        value(plan, f->power_kwh_per_kg),         value(plan, f->cod_g_per_kg),
        value(plan, f->solids_kg_per_kg),         value(plan, f->co2_kg_per_kg),
        value(plan, f->cost_minor_per_kg) / MINOR};
    for (int i = 0; i < PER_KG_COUNT; i++) {
        out[i] = values[i];
    }
}

static void put_per_kg(const mdr_plan *plan, const mdr_plan *other, const mdr_term *t)
{
    static const struct {
        const char *label, *unit;
        int decimals;
    } ROWS[PER_KG_COUNT] = {{"Water", "L", 1},
                            {"Steam", "kg", 2},
                            {"Power", "kWh", 2},
                            {"Oxygen demand (COD)", "g", 1},
                            {"Dissolved solids", "kg", 3},
                            {"Carbon dioxide", "kg", 2},
                            {"Cost", NULL, 2}};
    double a[PER_KG_COUNT];
    double b[PER_KG_COUNT] = {0};
    per_kg(plan, a);
    if (other != NULL) {
        per_kg(other, b);
    }
    put_pair_head(plan, other, "Per kg of fabric", t);
    for (int i = 0; i < PER_KG_COUNT; i++) {
        put_pair(ROWS[i].label, ROWS[i].unit != NULL ? ROWS[i].unit : plan->site->currency,
                 ROWS[i].decimals, a[i], other != NULL ? &b[i] : NULL);
    }
}

/* Products in no sum. */
static void put_unknown(const mdr_plan *plan)
{
    const double cod_kg = value(plan, plan->foot.unknown_cod_kg);
    const double co2_kg = value(plan, plan->foot.unknown_co2_kg);
    if (cod_kg > 0.0 || co2_kg > 0.0) {
        char a[32];
        char b[32];
        char line[200];
        (void)snprintf(line, sizeof line,
                       "%s: products that nobody gave a figure for and that are in no sum: %s kg "
                       "for oxygen demand, %s kg for carbon dioxide",
                       plan->route->route_id, mdr_text_kg(cod_kg, a), mdr_text_kg(co2_kg, b));
        (void)fputs("\n  ", stdout);
        mdr_text_wrap(line, 2, MDR_TERM_WIDTH - 2);
    }
}

/* -- bands -- */

/* Water of these stages, L per kg of load; -1: the lot has none of the first kind. */
static double water_of(const mdr_plan *plan, mdr_stage_kind kind, mdr_stage_kind with)
{
    double water_l = 0.0;
    bool any = false;
    for (int i = 0; i < plan->foot.n_stages; i++) {
        const mdr_plan_foot *f = &plan->foot.stages[i];
        any = any || f->stage->kind == kind;
        if (f->stage->kind == kind || f->stage->kind == with) {
            water_l += value(plan, f->water_l);
        }
    }
    return any ? water_l / value(plan, plan->load_kg) : -1.0;
}

/* What of the lot a band is held against, as the JSON has it; -1: nothing. */
static double held_against(const mdr_plan *plan, mdr_band_id band)
{
    switch (band) {
    case MDR_BAND_WATER_BLEACH:
        return water_of(plan, MDR_STAGE_PREPARE, MDR_STAGE_PREPARE);
    case MDR_BAND_WATER_DYE:
        return water_of(plan, MDR_STAGE_DYEING, MDR_STAGE_AFTER);
    case MDR_BAND_WATER_LOT:
        return value(plan, plan->foot.water_l_per_kg);
    case MDR_BAND_STEAM_LOT:
        return value(plan, plan->foot.steam_kg_per_kg);
    case MDR_BAND_POWER_LOT:
        return value(plan, plan->foot.power_kwh_per_kg);
    case MDR_BAND_WATER_SCOUR:
    case MDR_BAND_COD_DISCHARGE:
    case MDR_BAND_COUNT:
        break;
    }
    return -1.0;
}

static void put_band(const mdr_plan *plan, mdr_band_id id, const mdr_band *band)
{
    static const char *const VERDICTS[] = {
        [MDR_BAND_BELOW] = "below", [MDR_BAND_WITHIN] = "within", [MDR_BAND_ABOVE] = "above"};
    const double held = held_against(plan, id);
    char a[32];
    char low[32];
    char high[32];
    char line[200];
    if (held < 0.0) {
        return;
    }
    (void)fputs("  ", stdout);
    mdr_text_pad(band->what, NAME_WIDE);
    mdr_text_pad(digits(held, 1, a), -8);
    (void)putchar(' ');
    mdr_text_pad(band->unit, 8);
    mdr_text_pad(VERDICTS[mdr_drain_band_verdict(band, held)], 8);
    (void)snprintf(line, sizeof line, "%s to %s, [%s]%s", mdr_text_number(band->low, 1, low),
                   mdr_text_number(band->high, 1, high), band->source,
                   band->to_confirm ? " to be confirmed from the official text" : "");
    enum { LINE_AT = NAME_WIDE + 27 };
    mdr_text_wrap(line, LINE_AT, MDR_TERM_WIDTH - LINE_AT);
}

static void put_bands(const mdr_plan *plan, const mdr_term *t)
{
    char head[80];
    int n = 0;
    const mdr_band *bands = mdr_drain_bands(&n);
    (void)snprintf(head, sizeof head, "\n  %s held against what is usual\n", plan->route->route_id);
    mdr_term_put(t, MDR_TINT_STRONG, head);
    for (int i = 0; i < n; i++) {
        put_band(plan, (mdr_band_id)i, &bands[i]);
    }
}

/* -- all -- */

static void put_side(const mdr_plan *plan, const mdr_term *t)
{
    char head[320];
    const int stops = mdr_plan_stops(plan);
    (void)snprintf(head, sizeof head, "\n%s  %s", plan->route->route_id, plan->route->name);
    mdr_term_put(t, MDR_TINT_STRONG, head);
    if (stops > 0) {
        (void)printf("   (%d STOP: cannot be run like this)", stops);
    }
    (void)putchar('\n');
    put_stages(plan, "Takes", (foot_qty)TAKES_FROM, (foot_qty)GIVES_FROM, t);
    put_stages(plan, "Gives off", (foot_qty)GIVES_FROM, QTY_COUNT, t);
}

void mdr_show_footprint(const mdr_plan *plan, const mdr_plan *other, mdr_foot_bar bar,
                        const mdr_term *t)
{
    char load[32];
    const foot_qty qty = BARS[bar];
    double whole = amount(plan, &plan->foot.total, qty);
    mdr_term_put(t, MDR_TINT_STRONG, plan->lot->lot_id);
    (void)printf("  %s kg of %s, %s on %s%s\n",
                 mdr_text_number(value(plan, plan->load_kg), 1, load), plan->lot->article->name,
                 plan->lot->shade->name, plan->machine->machine_id,
                 plan->site->invented ? "   (invented demo data)" : "");
    put_side(plan, t);
    if (other != NULL) {
        put_side(other, t);
        whole = fmax(whole, amount(other, &other->foot.total, qty));
    }
    put_bars(plan, qty, whole, t);
    if (other != NULL) {
        put_bars(other, qty, whole, t);
    }
    put_totals(plan, other, t);
    put_per_kg(plan, other, t);
    put_unknown(plan);
    if (other != NULL) {
        put_unknown(other);
    }
    put_bands(plan, t);
    if (other != NULL) {
        put_bands(other, t);
    }
}
