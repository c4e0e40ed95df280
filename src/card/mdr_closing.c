#include "card/mdr_digits.h"
#include "card/mdr_parts.h"

static const mdr_style NAME = {.size_pt = 10.0, .weight = 500};
static const mdr_style IDENT = {.size_pt = 8.0, .weight = 400, .ink = 0.2, .lines = 3};
static const mdr_style MASS = {
    .size_pt = 11.5, .weight = 700, .align = MDR_RIGHT, .lines = 1, .even = true};
static const mdr_style SMALL = {.size_pt = 8.5, .weight = 400};

static const mdr_style FOOT_LABEL = {
    .size_pt = 7.5, .weight = 400, .ink = 0.2, .align = MDR_RIGHT, .lines = 1};
static const mdr_style FOOT_NAME = {.size_pt = 9.0, .weight = 500};
static const mdr_style FOOT_TOTAL = {.size_pt = 9.0, .weight = 700, .lines = 1};
static const mdr_style FOOT_NUMBER = {
    .size_pt = 9.0, .weight = 400, .align = MDR_RIGHT, .lines = 1, .even = true};
static const mdr_style FOOT_SUM = {
    .size_pt = 9.0, .weight = 700, .align = MDR_RIGHT, .lines = 1, .even = true};

static const double PASS_H = 15.0 * MDR_MM;
enum { ROLLS_ACROSS = 5 };

static double larger(double a, double b)
{
    return a > b ? a : b;
}

static double total_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_total *total = row->what;
    const double x = doc->margin, w = mdr_part_width(doc), base = y + 11.5;
    char text[MDR_DIGITS_MAX];
    const double name = mdr_text_base(doc, &NAME, x, base, 236.0, total->material->name);
    const double ident =
        mdr_text_base(doc, &IDENT, x + 244.0, base, 74.0, total->material->material_id);
    (void)mdr_text_base(doc, &IDENT, x + 322.0, base, 70.0,
                        mdr_form_words((mdr_form)total->material->form));
    mdr_digits_mass(text, mdr_fig_value(&doc->plan->figs, total->mass_kg));
    (void)mdr_text_base(doc, &MASS, x + w - 130.0, base, 100.0, text);
    mdr_ink_tick(doc, x + w - 12.0, y + 2.2, 11.0);
    const double h = 12.5 + larger(3.0, larger(name, ident));
    mdr_ink_line(doc, x, y + h, x + w, y + h, 0.25, 0.55);
    return h;
}

static double sum_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const mdr_plan *plan = doc->plan;
    const double x = doc->margin, w = mdr_part_width(doc), base = y + 12.0;
    char mass[MDR_DIGITS_MAX], water[MDR_DIGITS_MAX], steam[MDR_DIGITS_MAX];
    mdr_digits_mass(mass, mdr_fig_value(&plan->figs, plan->chemicals_kg));
    mdr_digits_volume(water, mdr_fig_value(&plan->figs, plan->water_l));
    mdr_digits_whole(steam, mdr_fig_value(&plan->figs, plan->steam_kg));
    (void)mdr_text_base(
        doc, &NAME, x, base, w - 140.0,
        mdr_doc_say(doc, "All together  \u00b7  water %s  \u00b7  steam %s\u00a0kg", water, steam));
    (void)mdr_text_base(doc, &MASS, x + w - 130.0, base, 100.0, mass);
    return 20.0;
}

/* -- footprint -- */

static const double STAGE_W = 170.0, FOOT_STEP = 61.0, FOOT_W = 56.0;
enum { FOOT_COLUMNS = 6 };

/* Numbers right-aligned, in columns from STAGE_W on. */
static void foot_line(mdr_doc *doc, const mdr_style *style, double base,
                      const char *const texts[FOOT_COLUMNS])
{
    for (int i = 0; i < FOOT_COLUMNS; i++) {
        const double x = doc->margin + STAGE_W + FOOT_STEP * (i + 1) - FOOT_W;
        (void)mdr_text_base(doc, style, x, base, FOOT_W, texts[i]);
    }
}

static double foot_head_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    static const char *const NAMES[FOOT_COLUMNS] = {"water", "steam",          "power",
                                                    "COD",   "carbon dioxide", "cost"};
    const char *const units[FOOT_COLUMNS] = {
        "L/kg", "kg/kg", "kWh/kg",
        "g/kg", "kg/kg", mdr_doc_say(doc, "%s/kg", doc->plan->site->currency)};
    foot_line(doc, &FOOT_LABEL, y + 8.0, NAMES);
    foot_line(doc, &FOOT_LABEL, y + 17.0, units);
    mdr_ink_line(doc, doc->margin, y + 20.0, doc->margin + mdr_part_width(doc), y + 20.0, 0.8, 0.0);
    return 20.5;
}

/* Of a stage, or of the whole lot: per kg of its load, as the totals of the plan are. */
static double foot_row(mdr_doc *doc, const mdr_row *row, double y)
{
    static const double G_PER_KG = 1000.0, MINOR = 100.0;
    static const int DECIMALS[FOOT_COLUMNS] = {1, 2, 2, 1, 2, 2};
    const mdr_plan_foot *foot = row->what;
    const mdr_figs *figs = &doc->plan->figs;
    const bool whole = foot->stage == NULL;
    const double load_kg = mdr_fig_value(figs, doc->plan->load_kg);
    const double values[FOOT_COLUMNS] = {
        mdr_fig_value(figs, foot->water_l),   mdr_fig_value(figs, foot->steam_kg),
        mdr_fig_value(figs, foot->power_kwh), mdr_fig_value(figs, foot->cod_kg) * G_PER_KG,
        mdr_fig_value(figs, foot->co2_kg),    mdr_fig_value(figs, foot->cost_minor) / MINOR};
    char digits[FOOT_COLUMNS][MDR_DIGITS_MAX];
    const char *texts[FOOT_COLUMNS] = {NULL};
    for (int i = 0; i < FOOT_COLUMNS; i++) {
        mdr_digits_fixed(digits[i], values[i] / load_kg, DECIMALS[i]);
        texts[i] = digits[i];
    }
    const double x = doc->margin, base = y + 10.0;
    const double below = mdr_text_base(doc, whole ? &FOOT_TOTAL : &FOOT_NAME, x, base,
                                       STAGE_W - 4.0, whole ? "Whole lot" : foot->stage->name);
    foot_line(doc, whole ? &FOOT_SUM : &FOOT_NUMBER, base, texts);
    const double h = 10.0 + larger(3.0, below + 0.5);
    mdr_ink_line(doc, x, y + h, x + mdr_part_width(doc), y + h, 0.25, 0.55);
    return h;
}

/* What is in no sum. */
static double unknown_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const mdr_plan *plan = doc->plan;
    char cod[MDR_DIGITS_MAX], co2[MDR_DIGITS_MAX];
    mdr_digits_mass_brief(cod, mdr_fig_value(&plan->figs, plan->foot.unknown_cod_kg));
    mdr_digits_mass_brief(co2, mdr_fig_value(&plan->figs, plan->foot.unknown_co2_kg));
    return mdr_text(doc, &SMALL, doc->margin, y + 2.0, mdr_part_width(doc),
                    mdr_doc_say(doc,
                                "Products without a figure, in no sum: %s for COD, %s for carbon "
                                "dioxide",
                                cod, co2)) +
           3.0;
}

static double pass_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_route_pass *pass = row->what;
    const double x = doc->margin, w = mdr_part_width(doc);
    double h = 15.0;
    h += mdr_text_base(doc, &NAME, x, y + h, 165.0,
                       mdr_doc_say(doc, "%d  %s", row->number, mdr_route_pass_words(pass->kind)));
    h += mdr_text(doc, &SMALL, x + 10.0, y + h + 1.0, 155.0, pass->note) + 1.0;
    mdr_ink_field(doc, (mdr_box){x + 172.0, y + 3.0, 192.0, PASS_H - 4.0}, "remarks");
    mdr_ink_field(doc, (mdr_box){x + 368.0, y + 3.0, 25.0 * MDR_MM, PASS_H - 4.0}, "machine, time");
    mdr_ink_field(doc,
                  (mdr_box){x + w - 25.0 * MDR_MM - 24.0, y + 3.0, 25.0 * MDR_MM, PASS_H - 4.0},
                  "initials");
    mdr_ink_tick(doc, x + w - 15.6, y + 3.0, 15.6);
    return larger(PASS_H, h) + 2.0;
}

/* A line of rolls: number of the first in row->number. */
static double rolls_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lot *lot = doc->plan->lot;
    const double step = mdr_part_width(doc) / (double)ROLLS_ACROSS;
    double h = 0.0;
    for (int i = 0; i < ROLLS_ACROSS && row->number + i < lot->n_rolls; i++) {
        const mdr_roll *roll = &lot->rolls[row->number + i];
        const double x = doc->margin + step * i;
        char kg[MDR_DIGITS_MAX];
        mdr_digits_trim(kg, roll->grey_kg, 1, 2);
        mdr_ink_tick(doc, x, y + 2.0, 8.5);
        h = larger(h, mdr_text_base(doc, &SMALL, x + 12.0, y + 9.5, step - 16.0,
                                    mdr_doc_say(doc, "%s  %s\u00a0kg", roll->roll_id, kg)));
    }
    return 9.5 + larger(4.5, h + 2.0);
}

static void heading(mdr_rows *rows, const char *text)
{
    rows->group++;
    mdr_row *row = mdr_rows_add(rows, mdr_part_heading, text, NULL);
    row->head = row->glue = true;
}

static void add_footprint(mdr_rows *rows, const mdr_plan *plan)
{
    const mdr_plan_footprint *foot = &plan->foot;
    heading(rows, "Footprint, per kg of fabric");
    mdr_row *row = mdr_rows_add(rows, foot_head_row, NULL, NULL);
    row->head = row->glue = true;
    for (int i = 0; i < foot->n_stages; i++) {
        (void)mdr_rows_add(rows, foot_row, &foot->stages[i], NULL);
    }
    (void)mdr_rows_add(rows, foot_row, &foot->total, NULL);
    if (mdr_fig_value(&plan->figs, foot->unknown_cod_kg) > 0.0 ||
        mdr_fig_value(&plan->figs, foot->unknown_co2_kg) > 0.0) {
        (void)mdr_rows_add(rows, unknown_row, NULL, NULL);
    }
}

void mdr_part_closing(mdr_rows *rows, mdr_doc *doc)
{
    const mdr_plan *plan = doc->plan;
    heading(rows, "Materials of the lot, in order of first use");
    for (int i = 0; i < plan->n_totals; i++) {
        (void)mdr_rows_add(rows, total_row, &plan->totals[i], NULL);
    }
    (void)mdr_rows_add(rows, sum_row, NULL, NULL);
    const int unreckoned = plan->finish == NULL ? plan->route->n_passes : 0;
    if (unreckoned > 0) {
        heading(rows, "Finishing passes");
    }
    for (int i = 0; i < unreckoned; i++) {
        mdr_rows_add(rows, pass_row, &plan->route->passes[i], NULL)->number = i + 1;
    }
    if (plan->lot->n_rolls > 0) {
        heading(rows, "Rolls of the lot");
    }
    for (int i = 0; i < plan->lot->n_rolls; i += ROLLS_ACROSS) {
        mdr_rows_add(rows, rolls_row, NULL, NULL)->number = i;
    }
    add_footprint(rows, plan);
}
