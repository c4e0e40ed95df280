/* The setting sheet of the finishing line: what to set on each machine, what to measure behind it
 * and room to write down what was read, and what the fabric ends with against what is allowed. */
#include "base/mdr_lang.h"
#include "card/mdr_digits.h"
#include "card/mdr_parts.h"
#include "card/mdr_setting_cells.h"
#include "card/mdr_words.h"

/* Columns, from the left margin; the width of a page is 538.6 pt. */
static const double SET_X = 34.0, SET_W = 158.0, VALUE_W = 74.0, READ_X = 212.0, PLAN_X = 330.0,
                    PLAN_W = 58.0, FIELD_X = 400.0, FIELD_W = 66.0, FIELD_H = 14.0;
static const double LINE_H = 16.5, SIGN_X = 474.0, SIGN_W = 64.0, SIGN_H = 12.0 * MDR_MM;
static const double DONE_X = 4.0, DONE_SIDE = 16.0, REMARKS_H = 7.0 * MDR_MM;
static const double QR_MODULE = 0.8 * MDR_MM, LOT_LEAST_PT = 12.0, CODE_LEAST_PT = 4.0,
                    VERDICT_LEAST_PT = 7.0, NAME_LEAST_PT = 6.0;

/* From, until and initials stand beside so many lines, remarks below so many unused settings. */
enum { SIGN_LINES = 6, REMARKS_LINES = 2 };

static const mdr_style KICKER = {.size_pt = 9.0, .weight = 600, .ink = 0.25, .lines = 1};
static const mdr_style LOT = {.size_pt = 27.0, .weight = 700, .lines = 1};
static const mdr_style ABOUT = {.size_pt = 10.5, .weight = 500, .lines = 3};
static const mdr_style CODE = {.size_pt = 7.0, .weight = 500, .align = MDR_CENTRE, .lines = 1};

static const mdr_style PASS_NUMBER = {
    .size_pt = 14.0, .weight = 700, .ink = 1.0, .align = MDR_CENTRE, .lines = 1};
static const mdr_style PASS_NAME = {.size_pt = 13.0, .weight = 700, .lines = 1};
static const mdr_style MACHINE = {.size_pt = 10.0, .weight = 600, .align = MDR_RIGHT, .lines = 1};
static const mdr_style LABEL = {.size_pt = 7.0, .weight = 400, .ink = 0.25, .lines = 1};
static const mdr_style LABEL_RIGHT = {
    .size_pt = 7.0, .weight = 400, .ink = 0.25, .align = MDR_RIGHT, .lines = 1};
static const mdr_style WHAT = {.size_pt = 9.5, .weight = 400, .lines = 1};
static const mdr_style SETTING = {
    .size_pt = 13.0, .weight = 700, .align = MDR_RIGHT, .lines = 1, .even = true};
static const mdr_style READING = {
    .size_pt = 11.0, .weight = 600, .align = MDR_RIGHT, .lines = 1, .even = true};
static const mdr_style NOTE = {.size_pt = 9.0, .weight = 400, .ink = 0.1, .lines = 3};
static const mdr_style AIM = {.size_pt = 11.5, .weight = 600, .lines = 2};
static const mdr_style VERDICT = {.size_pt = 10.0, .weight = 700, .lines = 1};

/* The unit as the trade writes it. */
static const char *printed(const char *unit)
{
    return unit[0] == 'g' ? "g/m\u00b2" : unit;
}

static double larger(double a, double b)
{
    return a > b ? a : b;
}

static double figure(const mdr_doc *doc, mdr_fig_id id)
{
    return mdr_fig_value(&doc->plan->figs, id);
}

static const char *number(mdr_doc *doc, mdr_fig_id id, int decimals, const char *unit)
{
    char digits[MDR_DIGITS_MAX];
    mdr_digits_fixed(digits, figure(doc, id), decimals);
    return mdr_doc_say(doc, "%s%s%s", digits, unit[0] != '\0' ? "\u00a0" : "", unit);
}

/* -- what it is about -- */

/* The sheet by itself: what stands on the first page of a card. */
static double title_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const mdr_plan *plan = doc->plan;
    const mdr_lot *lot = plan->lot;
    const double x = doc->margin, w = mdr_part_width(doc), quiet = 4.0 * QR_MODULE;
    const double side = mdr_ink_qr_side(lot->lot_id, QR_MODULE), left = w - side - 4.0;
    if (side > 0.0) {
        const double code_x = x + w - (side - quiet);
        mdr_ink_qr(doc, lot->lot_id, code_x, y + 4.0 - quiet, QR_MODULE);
        const mdr_style under = mdr_text_fit(doc, &CODE, CODE_LEAST_PT, side, lot->lot_id);
        (void)mdr_text_base(doc, &under, code_x, y + 8.0 - quiet + side, side, lot->lot_id);
    }
    (void)mdr_text_base(doc, &KICKER, x, y + 9.0, left, "SETTING SHEET: finishing line");
    const mdr_style style = mdr_text_fit(doc, &LOT, LOT_LEAST_PT, left, lot->lot_id);
    (void)mdr_text_base(doc, &style, x - 1.0, y + 35.0, left, lot->lot_id);
    const double words =
        41.0 + mdr_text(doc, &ABOUT, x, y + 41.0, left,
                        mdr_doc_say(doc, "%s  %s  \u00b7  %s  \u00b7  %s  \u00b7  %d %s",
                                    lot->article->article_id, lot->article->name, lot->shade->name,
                                    number(doc, plan->load_kg, 0, "kg"), lot->n_rolls,
                                    lot->n_rolls == 1 ? "roll" : "rolls"));
    return larger(words, side - quiet + 12.0) + 4.0;
}

static double fabric_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const mdr_plan_finish *f = doc->plan->finish;
    const double x = doc->margin, w = mdr_part_width(doc);
    double h = 10.0;
    h += mdr_text_base(
        doc, &AIM, x, y + h, w,
        mdr_doc_say(doc, "Finish at %s%s, %s, %s", number(doc, f->aim_width_cm, 1, "cm"),
                    f->tube ? " (flat: half of that)" : "", number(doc, f->aim_gsm, 0, "g/m\u00b2"),
                    number(doc, f->aim_courses_per_cm, 2, "courses/cm")));
    h += 12.0;
    h += mdr_text_base(
        doc, &NOTE, x, y + h, w,
        mdr_doc_say(
            doc, "Fully relaxed %s, %s, %s (%s).  Left to shrink: length\u00a0%s, width\u00a0%s.",
            number(doc, f->relaxed_width_cm, 1, "cm"), number(doc, f->relaxed_gsm, 1, "g/m\u00b2"),
            number(doc, f->relaxed_courses_per_cm, 2, "courses/cm"),
            mdr_relaxed_from_words(f->from), number(doc, f->aim_length_pct, 1, "%"),
            number(doc, f->aim_across_pct, 1, "%")));
    return h + 3.0;
}

static double caution_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const double side = 11.0, x = doc->margin;
    mdr_ink_caution(doc, MDR_CAUTION_ROTATING, x, y + 1.0, side);
    return larger(side, mdr_text(doc, &NOTE, x + side + 6.0, y, mdr_part_width(doc) - side - 6.0,
                                 mdr_lang_text("card.finishing-line"))) +
           4.0;
}

/* -- one pass -- */

static double pass_name_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_pass *pass = row->what;
    const double x = doc->margin, w = mdr_part_width(doc);
    mdr_ink_line(doc, x, y + 7.0, x + w, y + 7.0, 1.4, 0.0);
    mdr_ink_fill(doc, (mdr_box){x, y + 7.0, 24.0, 20.0}, 0.0);
    (void)mdr_text_base(doc, &PASS_NUMBER, x, y + 22.0, 24.0, pass->number);
    (void)mdr_text_base(doc, &PASS_NAME, x + SET_X, y + 22.0, 210.0,
                        mdr_route_pass_words(pass->asked->kind));
    const char *machine =
        pass->machine != NULL
            ? mdr_doc_say(doc, "%s  \u00b7  %s", pass->machine->finisher_id, pass->machine->name)
        : pass->shapes ? "no machine known: usual settings"
                       : "";
    const mdr_style style = mdr_text_fit(doc, &MACHINE, NAME_LEAST_PT, w - 250.0, machine);
    (void)mdr_text_base(doc, &style, x + 250.0, y + 21.5, w - 250.0, machine);
    return 29.0;
}

static double note_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_pass *pass = row->what;
    return mdr_text(doc, &NOTE, doc->margin + SET_X, y, mdr_part_width(doc) - SET_X,
                    mdr_doc_tied(doc, pass->asked->note)) +
           2.0;
}

/* How the moisture is read and what to do when it is outside: the limits stand at the reading. */
static double check_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_pass *pass = row->what;
    const mdr_route_check *c = &pass->asked->check;
    return mdr_text(doc, &NOTE, doc->margin + SET_X, y + 2.0, mdr_part_width(doc) - SET_X,
                    mdr_doc_say(doc, "Moisture on bone dry: %s%s%s", c->method,
                                c->remedy[0] != '\0' ? ". If outside: " : "", c->remedy)) +
           4.0;
}

static double head_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const double x = doc->margin;
    (void)mdr_text_base(doc, &LABEL, x + SET_X, y + 8.0, SET_W, "set");
    (void)mdr_text_base(doc, &LABEL, x + READ_X, y + 8.0, 120.0, "measure behind it");
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + PLAN_X, y + 8.0, PLAN_W, "should be");
    (void)mdr_text_base(doc, &LABEL, x + FIELD_X, y + 8.0, FIELD_W, "read");
    return 10.0;
}

/* "moisture, on bone dry" and what the route allows it to be. */
static const char *what_of(mdr_doc *doc, const mdr_plan_pass *pass, const mdr_setting_cell *read)
{
    char limits[MDR_WORDS_MAX];
    if (read->id != pass->moisture_pct || !pass->asked->has_check) {
        return read->what;
    }
    mdr_words_limits(&pass->asked->check, limits);
    return mdr_doc_say(doc, "moisture (%s)", limits);
}

static bool signed_beside(const mdr_plan_pass *pass)
{
    return mdr_setting_lines(pass) >= SIGN_LINES;
}

static bool remarks_below_settings(const mdr_plan_pass *pass)
{
    return mdr_setting_lines(pass) - mdr_setting_count(pass) >= REMARKS_LINES;
}

/* Beside and below what is there: from, until, initials; remarks; done. Drawn with the first line,
 * over the height of all: they are not parted. */
static void sign_beside(mdr_doc *doc, const mdr_plan_pass *pass, double y)
{
    static const char *const WORDS[] = {"from", "until", "initials"};
    const double x = doc->margin, all = LINE_H * mdr_setting_lines(pass), third = all / 3.0;
    for (int i = 0; signed_beside(pass) && i < 3; i++) {
        mdr_ink_field(doc, (mdr_box){x + SIGN_X, y + 1.5 + third * i, SIGN_W, third - 2.5},
                      WORDS[i]);
    }
    const double used = LINE_H * mdr_setting_count(pass);
    if (remarks_below_settings(pass)) {
        mdr_ink_field(doc, (mdr_box){x + SET_X, y + used + 3.0, SET_W, all - used - 4.0},
                      "remarks");
    }
    mdr_ink_tick(doc, x + DONE_X, y + 1.5, DONE_SIDE);
    (void)mdr_text_base(doc, &LABEL, x + DONE_X, y + DONE_SIDE + 9.0, SET_X - DONE_X, "done");
}

/* Line row->number of settings and readings side by side. */
static double line_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_pass *pass = row->what;
    const double x = doc->margin, base = y + 12.5;
    mdr_setting_cell settings[MDR_SETTING_CELLS], readings[MDR_SETTING_CELLS];
    mdr_setting_values(pass, settings);
    mdr_setting_readings(pass, readings);
    const mdr_setting_cell *set = pass->shapes ? mdr_setting_nth(settings, row->number) : NULL;
    const mdr_setting_cell *read = mdr_setting_nth(readings, row->number);
    if (row->number == 0) {
        sign_beside(doc, pass, y);
    }
    if (set != NULL) {
        (void)mdr_text_base(doc, &WHAT, x + SET_X, base, SET_W - VALUE_W, set->what);
        (void)mdr_text_base(doc, &SETTING, x + SET_X + SET_W - VALUE_W - 6.0, base, VALUE_W + 6.0,
                            number(doc, set->id, set->decimals, set->unit));
    }
    if (read != NULL) {
        (void)mdr_text_base(doc, &WHAT, x + READ_X, base, PLAN_X - READ_X - 4.0,
                            what_of(doc, pass, read));
        (void)mdr_text_base(doc, &READING, x + PLAN_X - 14.0, base, PLAN_W + 14.0,
                            number(doc, read->id, read->decimals, read->unit));
        mdr_ink_frame(doc, (mdr_box){x + FIELD_X, y + 1.5, FIELD_W, FIELD_H}, 0.5, 0.4);
    }
    return LINE_H;
}

/* From, until, initials and remarks, as far as they have no room beside and below the numbers. */
static double sign_row(mdr_doc *doc, const mdr_row *row, double y)
{
    static const char *const WORDS[] = {"from", "until", "initials"};
    const mdr_plan_pass *pass = row->what;
    const double end = doc->margin + mdr_part_width(doc);
    const bool beside = signed_beside(pass);
    const double high = beside ? REMARKS_H : SIGN_H;
    double x = doc->margin + SET_X;
    for (int i = 0; !beside && i < 3; i++) {
        mdr_ink_field(doc, (mdr_box){x, y + 3.0, SIGN_W, high}, WORDS[i]);
        x += SIGN_W + 6.0;
    }
    if (!remarks_below_settings(pass)) {
        mdr_ink_field(doc, (mdr_box){x, y + 3.0, end - x, high}, "remarks");
    }
    if (mdr_setting_lines(pass) == 0) {
        mdr_ink_tick(doc, doc->margin + DONE_X, y + 3.0, DONE_SIDE);
    }
    return high + 6.0;
}

static void add_pass(mdr_rows *rows, const mdr_plan_pass *pass)
{
    rows->group++;
    mdr_row *row = mdr_rows_add(rows, pass_name_row, pass, NULL);
    row->head = row->glue = true;
    if (pass->asked->note[0] != '\0') {
        mdr_rows_add(rows, note_row, pass, NULL)->glue = true;
    }
    mdr_rows_add(rows, head_row, pass, NULL)->glue = true;
    for (int i = 0; i < mdr_setting_lines(pass); i++) {
        row = mdr_rows_add(rows, line_row, pass, NULL);
        row->number = i;
        row->glue = true;
    }
    if (pass->asked->has_check) {
        row = mdr_rows_add(rows, check_row, pass, NULL);
        row->glue = true;
    }
    if (signed_beside(pass) && remarks_below_settings(pass)) {
        row->glue = false;
        return;
    }
    (void)mdr_rows_add(rows, sign_row, pass, NULL);
}

/* -- what it ends with -- */

static double outcome_head_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const double x = doc->margin;
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + 150.0, y + 8.0, 100.0, "allowed");
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + 260.0, y + 8.0, 66.0, "expected");
    (void)mdr_text_base(doc, &LABEL, x + FIELD_X + 2.0, y + 8.0, 130.0, "measured");
    mdr_ink_line(doc, x, y + 11.0, x + mdr_part_width(doc), y + 11.0, 0.8, 0.0);
    return 12.0;
}

static double outcome_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_outcome *o = row->what;
    const char *unit = printed(mdr_plan_demand_unit((mdr_plan_demand)row->number));
    const double x = doc->margin, base = y + 12.5;
    char low[MDR_DIGITS_MAX], high[MDR_DIGITS_MAX], off[MDR_DIGITS_MAX];
    mdr_digits_fixed(low, o->low, 1);
    mdr_digits_fixed(high, o->high, 1);
    mdr_digits_fixed(off, o->off < 0.0 ? -o->off : o->off, 1);
    (void)mdr_text_base(doc, &WHAT, x, base, 124.0,
                        mdr_plan_demand_words((mdr_plan_demand)row->number));
    const char *allowed = mdr_doc_say(doc, "%s to %s\u00a0%s", low, high, unit);
    const mdr_style narrow = mdr_text_fit(doc, &READING, VERDICT_LEAST_PT, 126.0, allowed);
    (void)mdr_text_base(doc, &narrow, x + 124.0, base, 126.0, allowed);
    const bool known = o->value != MDR_FIG_NONE, met = !(o->off < 0.0 || o->off > 0.0);
    (void)mdr_text_base(doc, &READING, x + 256.0, base, 70.0,
                        known ? number(doc, o->value, 1, unit) : "\u2013");
    const char *verdict = !known ? "measure it"
                          : met  ? "met"
                                 : mdr_doc_say(doc, "off by %s\u00a0%s", off, unit);
    const mdr_style said = mdr_text_fit(doc, &VERDICT, VERDICT_LEAST_PT, 64.0, verdict);
    (void)mdr_text_base(doc, &said, x + 334.0, base, 64.0, verdict);
    mdr_ink_frame(doc, (mdr_box){x + FIELD_X, y + 1.5, mdr_part_width(doc) - FIELD_X, FIELD_H}, 0.5,
                  0.4);
    return LINE_H;
}

static void heading(mdr_rows *rows, const char *text, mdr_row_begin begin)
{
    rows->group++;
    mdr_row *row = mdr_rows_add(rows, mdr_part_heading, text, NULL);
    row->head = row->glue = true;
    row->begin = begin;
}

static void sheet(mdr_rows *rows, const mdr_plan_finish *f)
{
    (void)mdr_rows_add(rows, fabric_row, NULL, NULL);
    (void)mdr_rows_add(rows, caution_row, NULL, NULL);
    for (int i = 0; i < f->n_passes; i++) {
        add_pass(rows, &f->passes[i]);
    }
    heading(rows,
            f->met ? "Ends within the specification" : "Does not end within the specification",
            MDR_BEGIN_HERE);
    mdr_row *row = mdr_rows_add(rows, outcome_head_row, NULL, NULL);
    row->head = row->glue = true;
    for (int i = 0; i < MDR_DEMAND_COUNT; i++) {
        mdr_rows_add(rows, outcome_row, &f->outcome[i], NULL)->number = i;
    }
}

void mdr_part_finish(mdr_rows *rows, mdr_doc *doc)
{
    if (doc->plan->finish != NULL) {
        heading(rows, "Setting sheet: finishing line", MDR_BEGIN_PAGE);
        sheet(rows, doc->plan->finish);
    }
}

void mdr_part_settings(mdr_rows *rows, mdr_doc *doc)
{
    rows->group++;
    (void)mdr_rows_add(rows, title_row, NULL, NULL);
    sheet(rows, doc->plan->finish);
}
