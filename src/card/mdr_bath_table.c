#include <stdio.h>

#include "card/mdr_digits.h"
#include "card/mdr_parts.h"
#include "card/mdr_words.h"

/* Columns, from the left margin; the widths of a page are 538.6 pt. */
static const double NUMBER_X = 0.0, WHAT_X = 32.0, WHAT_W = 352.0, TEMP_X = 386.0, MIN_X = 425.0,
                    START_X = 464.0, COLUMN_W = 36.0, TICK_X = 519.0, TICK = 5.5 * MDR_MM;
static const double BATH_NAME_W = 270.0, GOES_ON_W = 70.0, WHEN_W = 155.0;
static const double NAME_W = 164.0, ASKED_X = 204.0, ASKED_W = 112.0, MASS_X = 316.0,
                    MASS_W = 100.0, LITRES_X = 420.0, LITRES_W = 80.0;
static const double SIGN_W = 25.0 * MDR_MM, SIGN_H = 12.0 * MDR_MM;

static const mdr_style BATH_NUMBER = {
    .size_pt = 17.0, .weight = 700, .ink = 1.0, .align = MDR_CENTRE, .lines = 1};
static const mdr_style BATH_NAME = {.size_pt = 16.0, .weight = 700};
static const mdr_style GOES_ON = {.size_pt = 10.5, .weight = 600, .lines = 1};
static const mdr_style STAGE = {.size_pt = 8.5, .weight = 500, .ink = 0.2, .lines = 2};
static const mdr_style WHEN = {.size_pt = 10.5, .weight = 600, .align = MDR_RIGHT, .lines = 1};
static const mdr_style LABEL = {.size_pt = 7.0, .weight = 400, .ink = 0.25, .lines = 1};
static const mdr_style LABEL_RIGHT = {
    .size_pt = 7.0, .weight = 400, .ink = 0.25, .align = MDR_RIGHT, .lines = 1};
static const mdr_style FIGURE = {.size_pt = 12.0, .weight = 600, .lines = 1};
static const mdr_style CHEMISTRY = {.size_pt = 10.5, .weight = 600, .lines = 3};
static const mdr_style EXPECTED = {.size_pt = 9.5, .weight = 700, .lines = 2};
static const double NUMBER_LEAST_PT = 7.0;
static const mdr_style NUMBER = {.size_pt = 10.5, .weight = 700, .lines = 1, .even = true};
static const mdr_style WHAT = {.size_pt = 10.5, .weight = 500, .lines = 4};
static const mdr_style NOTE = {.size_pt = 9.0, .weight = 400, .ink = 0.1, .lines = 8};
static const mdr_style CELL = {
    .size_pt = 10.5, .weight = 500, .align = MDR_RIGHT, .lines = 1, .even = true};
static const mdr_style NAME = {.size_pt = 10.5, .weight = 500};
static const mdr_style ASKED = {.size_pt = 9.5, .weight = 400, .lines = 3};
static const mdr_style MASS = {
    .size_pt = 14.0, .weight = 700, .align = MDR_RIGHT, .lines = 1, .even = true};
static const mdr_style IDENT = {.size_pt = 7.5, .weight = 400, .ink = 0.25, .lines = 2};

static double figure(const mdr_doc *doc, mdr_fig_id id)
{
    return mdr_fig_value(&doc->plan->figs, id);
}

static double larger(double a, double b)
{
    return a > b ? a : b;
}

static double name_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_bath *bath = row->what;
    const double x = doc->margin, w = mdr_part_width(doc);
    char text[300], from[MDR_DIGITS_MAX], to[MDR_DIGITS_MAX], span[MDR_DIGITS_MAX];
    mdr_ink_line(doc, x, y + 10.0, x + w, y + 10.0, 2.0, 0.0);
    mdr_ink_fill(doc, (mdr_box){x, y + 10.0, 26.0, 25.0}, 0.0);
    (void)snprintf(text, sizeof text, "%d", bath->number);
    (void)mdr_text_base(doc, &BATH_NUMBER, x, y + 29.0, 26.0, text);
    const double name_x = x + WHAT_X + 2.0;
    const double below =
        mdr_text_base(doc, &BATH_NAME, name_x, y + 28.5, BATH_NAME_W, bath->asked->name);
    if (doc->part > 1) {
        const double name_w = mdr_text_width(doc, &BATH_NAME, bath->asked->name, NULL) + 8.0;
        (void)mdr_text_base(doc, &GOES_ON, name_x + (name_w < BATH_NAME_W ? name_w : BATH_NAME_W),
                            y + 28.5, GOES_ON_W, "(continued)");
    }
    mdr_digits_clock(from, figure(doc, bath->start_min));
    mdr_digits_clock(to, figure(doc, bath->end_min));
    mdr_digits_span(span, figure(doc, bath->minutes));
    (void)snprintf(text, sizeof text, "%.20s \u2013 %.20s  \u00b7  %.40s", from, to, span);
    (void)mdr_text_base(doc, &WHEN, x + w - WHEN_W, y + 28.0, WHEN_W, text);
    const double stage_y = y + 28.5 + larger(below, 4.0) + 8.5;
    const double under = mdr_text_base(
        doc, &STAGE, name_x, stage_y, w - WHAT_X - 2.0,
        mdr_doc_say(doc, "%s%s", bath->stage->name,
                    bath->continues ? "  \u00b7  goes on in the liquor of the bath before" : ""));
    return stage_y + under + 2.5 - y;
}

static void liquor_cell(mdr_doc *doc, mdr_box box, const char *label, const char *value)
{
    (void)mdr_text_base(doc, &LABEL, box.x, box.y + 8.0, box.w, label);
    (void)mdr_text_base(doc, &FIGURE, box.x, box.y + 22.0, box.w, value);
}

static double liquor_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_bath *bath = row->what;
    const struct {
        const char *label;
        mdr_fig_id id;
    } cells[] = {{"Fresh fill", bath->fill_l},
                 {"In the fabric", bath->carried_l},
                 {"With the doses", bath->additions_l},
                 {"Liquor at the end", bath->final_l},
                 {"Drained", bath->drained_l}};
    const double x = doc->margin + WHAT_X + 2.0, step = 86.0;
    char text[MDR_DIGITS_MAX], ratio[MDR_DIGITS_MAX];
    int n = 0;
    for (size_t i = 0; i < sizeof cells / sizeof cells[0]; i++) {
        if (cells[i].id == MDR_FIG_NONE) {
            continue;
        }
        const double litres = figure(doc, cells[i].id);
        if (litres > 0.0) {
            mdr_digits_volume(text, litres);
        } else {
            (void)snprintf(text, sizeof text, "\u2013");
        }
        liquor_cell(doc, (mdr_box){x + step * n++, y, step - 6.0, 0.0}, cells[i].label, text);
    }
    if (bath->ratio_l_per_kg != MDR_FIG_NONE && !bath->continues) {
        mdr_digits_trim(ratio, figure(doc, bath->ratio_l_per_kg), 0, 2);
        (void)snprintf(text, sizeof text, "1:%.20s", ratio);
        liquor_cell(doc, (mdr_box){x + step * n, y, step - 6.0, 0.0}, "Ratio", text);
    }
    return 28.0;
}

/* What the plan predicts for the bath. */
static double chemistry_row(mdr_doc *doc, const mdr_row *row, double y)
{
    char text[MDR_WORDS_MAX];
    mdr_words_bath(doc->plan, row->what, text);
    const double x = doc->margin + WHAT_X + 2.0, width = mdr_part_width(doc) - WHAT_X - 2.0;
    return 10.0 + mdr_text_base(doc, &CHEMISTRY, x, y + 10.0, width, text) + 2.5;
}

static double columns_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const double x = doc->margin, base = y + 9.0;
    (void)mdr_text_base(doc, &LABEL, x + NUMBER_X, base, 30.0, "step");
    (void)mdr_text_base(doc, &LABEL, x + WHAT_X, base, 200.0, "what to do");
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + TEMP_X, base, COLUMN_W, "\u00b0C");
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + MIN_X, base, COLUMN_W, "min");
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + START_X, base, COLUMN_W, "start");
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + TICK_X - 10.0, base, TICK + 10.0, "done");
    mdr_ink_line(doc, x, y + 12.0, x + mdr_part_width(doc), y + 12.0, 0.8, 0.0);
    return 12.5;
}

static void step_number(mdr_doc *doc, const mdr_row *row, double baseline)
{
    const mdr_plan_bath *bath = row->in;
    char text[40];
    (void)snprintf(text, sizeof text, "%d.%d", bath->number, row->number);
    const double room = WHAT_X - NUMBER_X - 3.0; /* "32.10" is set smaller */
    const mdr_style style = mdr_text_fit(doc, &NUMBER, NUMBER_LEAST_PT, room, text);
    (void)mdr_text_base(doc, &style, doc->margin + NUMBER_X, baseline, room, text);
}

static void step_cells(mdr_doc *doc, const mdr_plan_step *step, double baseline)
{
    const double x = doc->margin;
    char text[MDR_DIGITS_MAX];
    mdr_digits_fixed(text, figure(doc, step->temp_end_c), 0);
    (void)mdr_text_base(doc, &CELL, x + TEMP_X, baseline, COLUMN_W, text);
    mdr_digits_fixed(text, figure(doc, step->minutes), 0);
    (void)mdr_text_base(doc, &CELL, x + MIN_X, baseline, COLUMN_W, text);
    mdr_digits_clock(text, figure(doc, step->start_min));
    (void)mdr_text_base(doc, &CELL, x + START_X, baseline, COLUMN_W, text);
}

static double step_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_step *step = row->what;
    const double x = doc->margin, base = y + 14.0;
    char text[MDR_WORDS_MAX];
    step_number(doc, row, base);
    mdr_words_step(doc->plan, step, text);
    double at = base + mdr_text_base(doc, &WHAT, x + WHAT_X, base, WHAT_W, text);
    mdr_words_after(doc->plan, row->in, step, text);
    at += mdr_text(doc, &EXPECTED, x + WHAT_X, at, WHAT_W, text);
    mdr_words_tank(doc->plan, step, text);
    at += mdr_text(doc, &NOTE, x + WHAT_X, at, WHAT_W, text);
    at += mdr_text(doc, &NOTE, x + WHAT_X, at, WHAT_W, mdr_doc_tied(doc, step->asked->note));
    if (step->asked->kind != MDR_STEP_DOSE) { /* a dose carries them at its materials */
        at += mdr_part_cautions(doc, step->cautions, x + WHAT_X, at + 1.0, WHAT_W);
    }
    step_cells(doc, step, base);
    mdr_ink_tick(doc, x + TICK_X, y + 3.2, TICK);
    const double h = larger(at + 4.0 - y, TICK + 6.5);
    if (!row->glue) {
        mdr_ink_line(doc, x, y + h, x + mdr_part_width(doc), y + h, 0.4, 0.55);
    }
    return h;
}

/* Returns how far it reaches below the baseline. */
static double item_amounts(mdr_doc *doc, const mdr_plan_step *step, const mdr_plan_item *item,
                           double base)
{
    const double x = doc->margin;
    char text[MDR_WORDS_MAX];
    mdr_words_amount(doc->plan, step, item, text);
    const double below = mdr_text_base(doc, &ASKED, x + ASKED_X, base, ASKED_W, text);
    mdr_digits_mass(text, figure(doc, item->mass_kg));
    (void)mdr_text_base(doc, &MASS, x + MASS_X, base, MASS_W, text);
    if (item->volume_l != MDR_FIG_NONE) {
        mdr_digits_volume(text, figure(doc, item->volume_l));
        (void)mdr_text_base(doc, &CELL, x + LITRES_X, base, LITRES_W, text);
    }
    return below;
}

static double item_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_step *step = row->in;
    const mdr_plan_item *item = &step->items[row->number];
    const mdr_material *material = item->material;
    const double x = doc->margin, base = y + 13.5;
    double at =
        base + mdr_text_base(doc, &NAME, x + WHAT_X + 8.0, base, NAME_W - 8.0, material->name);
    at += mdr_text(doc, &IDENT, x + WHAT_X + 8.0, at - 1.0, NAME_W - 8.0,
                   mdr_doc_say(doc, "%s, %s", material->material_id,
                               mdr_form_words((mdr_form)material->form)));
    double right = base + larger(item_amounts(doc, step, item, base), 2.5) + 3.0;
    right += mdr_part_cautions(doc, material->cautions, x + ASKED_X, right, TICK_X - ASKED_X - 8.0);
    at = larger(at, right);
    mdr_ink_tick(doc, x + TICK_X, y + 3.0, TICK);
    const double h = larger(at + 2.0 - y, TICK + 6.0);
    mdr_ink_line(doc, x + WHAT_X + 2.0, y + 1.0, x + WHAT_X + 2.0, y + h - 1.0, 1.2, 0.0);
    mdr_ink_line(doc, x + (row->glue ? WHAT_X + 8.0 : 0.0), y + h, x + mdr_part_width(doc), y + h,
                 row->glue ? 0.25 : 0.4, 0.55);
    return h;
}

static double check_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_step *step = row->what;
    const mdr_route_check *check = &step->asked->check;
    const double x = doc->margin, base = y + 14.0;
    const double fields_x = x + mdr_part_width(doc) - 2.0 * SIGN_W;
    const double width = fields_x - 54.0 - x - WHAT_X;
    char text[MDR_WORDS_MAX], start[MDR_DIGITS_MAX];
    step_number(doc, row, base);
    mdr_words_step(doc->plan, step, text);
    double at = base + mdr_text_base(doc, &WHAT, x + WHAT_X + 14.0, base, width - 14.0, text);
    if (!doc->dry) { /* a diamond, as in the check lane of the curve */
        cairo_new_path(doc->cr);
        cairo_move_to(doc->cr, x + WHAT_X + 5.0, base - 8.6);
        cairo_line_to(doc->cr, x + WHAT_X + 10.0, base - 3.6);
        cairo_line_to(doc->cr, x + WHAT_X + 5.0, base + 1.4);
        cairo_line_to(doc->cr, x + WHAT_X, base - 3.6);
        cairo_close_path(doc->cr);
        cairo_set_source_rgb(doc->cr, 0.0, 0.0, 0.0);
        cairo_fill(doc->cr);
    }
    mdr_words_expected(doc->plan, row->in, step, text);
    at += mdr_text(doc, &EXPECTED, x + WHAT_X + 14.0, at, width - 14.0, text);
    at += mdr_text(doc, &NOTE, x + WHAT_X, at, width, mdr_doc_tied(doc, check->method));
    at += mdr_text(doc, &NOTE, x + WHAT_X, at, width,
                   mdr_doc_say(doc, "If not: %s%s%s", mdr_on_fail_words(check->on_fail),
                               check->remedy[0] == '\0' ? "" : ". ",
                               mdr_doc_tied(doc, check->remedy)));
    at += mdr_text(doc, &NOTE, x + WHAT_X, at, width, mdr_doc_tied(doc, step->asked->note));
    mdr_digits_clock(start, figure(doc, step->start_min));
    (void)mdr_text_base(doc, &CELL, fields_x - 52.0, base, COLUMN_W + 8.0,
                        mdr_doc_say(doc, "at %s", start));
    mdr_ink_field(doc, (mdr_box){fields_x, y + 3.0, SIGN_W, SIGN_H}, "reading");
    mdr_ink_field(doc, (mdr_box){fields_x + SIGN_W - 0.7, y + 3.0, SIGN_W + 0.7, SIGN_H},
                  "initials");
    const double h = larger(at + 4.0 - y, SIGN_H + 6.0);
    mdr_ink_line(doc, x, y + h, x + mdr_part_width(doc), y + h, 0.4, 0.55);
    return h;
}

static void add_step(mdr_rows *rows, const mdr_plan_bath *bath, int s)
{
    const mdr_plan_step *step = &bath->steps[s];
    const bool check = step->asked->kind == MDR_STEP_CHECK;
    mdr_row *row = mdr_rows_add(rows, check ? check_row : step_row, step, bath);
    row->number = s + 1;
    row->glue = row->lead = step->n_items > 0;
    for (int i = 0; i < step->n_items; i++) {
        row = mdr_rows_add(rows, item_row, &step->items[i], step);
        row->number = i;
        row->glue = i + 1 < step->n_items;
    }
}

void mdr_part_baths(mdr_rows *rows, mdr_doc *doc)
{
    for (int b = 0; b < doc->plan->n_baths; b++) {
        const mdr_plan_bath *bath = &doc->plan->baths[b];
        rows->group++;
        mdr_row *row = mdr_rows_add(rows, name_row, bath, NULL);
        row->begin = MDR_BEGIN_AFTER_FIRST_PAGE;
        row->head = row->glue = true;
        mdr_rows_add(rows, liquor_row, bath, NULL)->glue = true;
        char words[MDR_WORDS_MAX];
        mdr_words_bath(doc->plan, bath, words);
        if (words[0] != '\0') {
            mdr_rows_add(rows, chemistry_row, bath, NULL)->glue = true;
        }
        row = mdr_rows_add(rows, columns_row, bath, NULL);
        row->head = row->glue = true;
        for (int s = 0; s < bath->n_steps; s++) {
            add_step(rows, bath, s);
        }
    }
}
