/* The tables of the lot report: hold points, what else happened, signatures, weighings, steps. */
#include <string.h>

#include "card/mdr_digits.h"
#include "card/mdr_lot_report_in.h"
#include "card/mdr_words.h"
#include "core/run/mdr_hold.h"

static const double LINE_H = 13.0, TEXT_BASE = 10.0;
enum { TIME_TEXT = 40 };

/* Columns, from the left margin; the width of a page is 538.6 pt. Right-aligned ones: their end. */
typedef struct column {
    double x, w;
    bool right;
} column;
static const column STEP_COLS[] = {{0, 34, false},   {38, 96, false}, {138, 82, false},
                                   {224, 50, true},  {278, 50, true}, {336, 62, true},
                                   {406, 132, false}};
static const column WEIGH_COLS[] = {{0, 34, false},  {38, 150, false}, {192, 60, true},
                                    {256, 60, true}, {320, 46, true},  {376, 60, false},
                                    {440, 98, false}};
static const column READ_COLS[] = {{0, 34, false},   {38, 108, false}, {148, 74, true},
                                   {232, 98, false}, {336, 92, false}, {432, 106, false}};
static const column EVENT_COLS[] = {
    {0, 30, false}, {34, 82, false}, {120, 104, false}, {228, 310, false}};

static const column SIGN_COLS[] = {{0, 30, false},    {34, 130, false},  {168, 34, false},
                                   {206, 120, false}, {330, 120, false}, {454, 84, false}};

static const mdr_style LABEL_RIGHT = {
    .size_pt = 7.0, .weight = 400, .ink = 0.25, .align = MDR_RIGHT, .lines = 1};
static const mdr_style CELL_RIGHT = {
    .size_pt = 9.0, .weight = 400, .align = MDR_RIGHT, .lines = 1, .even = true};
static const mdr_style STRONG = {.size_pt = 9.0, .weight = 700, .lines = 1};

const char *mdr_report_amount(mdr_doc *doc, double value, int decimals, const char *unit)
{
    char digits[MDR_DIGITS_MAX];
    mdr_digits_fixed(digits, value, decimals);
    return mdr_doc_say(doc, "%s%s%s", digits, unit[0] != '\0' ? "\u00a0" : "", unit);
}

const char *mdr_report_when(mdr_doc *doc, const mdr_lot_report_print *p, int64_t utc_ms)
{
    char text[TIME_TEXT] = "";
    if (utc_ms == 0) {
        return "";
    }
    p->time_words(utc_ms, text, sizeof text);
    return mdr_doc_say(doc, "%s", text);
}

static void cell(mdr_doc *doc, const column *c, double y, const mdr_style *style, const char *text)
{
    mdr_style s = c->right ? CELL_RIGHT : *style;
    s.weight = style->weight;
    const mdr_style fit = mdr_text_fit(doc, &s, MDR_REPORT_LEAST_PT, c->w, text);
    (void)mdr_text_base(doc, &fit, doc->margin + c->x, y + TEXT_BASE, c->w, text);
}

static double labels(mdr_doc *doc, const column *cols, const char *const *words, int n, double y)
{
    for (int i = 0; i < n; i++) {
        (void)mdr_text_base(doc, cols[i].right ? &LABEL_RIGHT : &MDR_REPORT_LABEL,
                            doc->margin + cols[i].x, y + 8.0, cols[i].w, words[i]);
    }
    return 11.0;
}

static void rule_under(mdr_doc *doc, double y)
{
    mdr_ink_line(doc, doc->margin, y, doc->margin + mdr_part_width(doc), y, 0.25, 0.75);
}

void mdr_report_heading(mdr_rows *rows, const char *text, mdr_row_draw labels_row)
{
    rows->group++;
    mdr_row *row = mdr_rows_add(rows, mdr_part_heading, text, NULL);
    row->head = row->glue = row->loose = true;
    if (labels_row != NULL) {
        row = mdr_rows_add(rows, labels_row, NULL, NULL);
        row->head = row->glue = true;
    }
}

/* -- steps -- */

static double step_labels(mdr_doc *doc, const mdr_row *row, double y)
{
    static const char *const WORDS[] = {
        "step", "what", "begun", "planned min", "taken min", "\u00b0C (planned)", "state"};
    (void)row;
    return labels(doc, STEP_COLS, WORDS, 7, y);
}

/* As recorded, blank where nobody did; in brackets as planned. */
static const char *temp_words(mdr_doc *doc, const mdr_report_step *line)
{
    const char *planned = mdr_report_amount(doc, line->step->asked->temp_end_c, 0, "");
    const char *ended =
        line->has_temp_ended ? mdr_report_amount(doc, line->temp_ended_c, 0, "") : "\u2013";
    return line->has_temp_begun
               ? mdr_doc_say(doc, "%s to %s (%s)",
                             mdr_report_amount(doc, line->temp_begun_c, 0, ""), ended, planned)
           : line->has_temp_ended ? mdr_doc_say(doc, "%s (%s)", ended, planned)
                                  : mdr_doc_say(doc, "(%s)", planned);
}

static double step_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lot_report_print *p = mdr_report_of(row);
    const mdr_report_step *line = row->what;
    const mdr_batch_step *s = line->step;
    const mdr_style *style = s->remedy > 0 ? &STRONG : &MDR_REPORT_CELL;
    cell(doc, &STEP_COLS[0], y, style, s->asked->key);
    cell(doc, &STEP_COLS[1], y, style, mdr_step_kind_words(s->asked->kind));
    cell(doc, &STEP_COLS[2], y, &MDR_REPORT_CELL, mdr_report_when(doc, p, s->begun_utc_ms));
    cell(doc, &STEP_COLS[3], y, &MDR_REPORT_CELL, mdr_report_amount(doc, s->asked->minutes, 1, ""));
    cell(doc, &STEP_COLS[4], y, &MDR_REPORT_CELL,
         line->timed ? mdr_report_amount(doc, line->actual_min, 1, "") : "");
    cell(doc, &STEP_COLS[5], y, &MDR_REPORT_CELL, temp_words(doc, line));
    cell(doc, &STEP_COLS[6], y, style,
         s->remedy > 0
             ? mdr_doc_say(doc, "%s, remedy %d", mdr_step_state_words(s->state), s->remedy)
             : mdr_step_state_words(s->state));
    rule_under(doc, y + LINE_H);
    return LINE_H;
}

/* -- weighings -- */

static double weigh_labels(mdr_doc *doc, const mdr_row *row, double y)
{
    static const char *const WORDS[] = {"step",  "material",  "planned kg",    "weighed kg",
                                        "off %", "container", "by, checked by"};
    (void)row;
    return labels(doc, WEIGH_COLS, WORDS, 7, y);
}

static double weigh_row(mdr_doc *doc, const mdr_row *row, double y)
{
    static const double MG_PER_KG = 1e6;
    const mdr_report_item *line = row->what;
    const mdr_batch_item *w = line->done;
    const bool weighed = w->weighed_mg > 0;
    const char *name = line->weighings > 1 ? mdr_doc_say(doc, "%s (weighed %d times)",
                                                         line->asked->name, line->weighings)
                                           : line->asked->name;
    cell(doc, &WEIGH_COLS[0], y, &MDR_REPORT_CELL, line->step->asked->key);
    const double high = mdr_text(doc, &MDR_REPORT_LONG, doc->margin + WEIGH_COLS[1].x, y + 1.0,
                                 WEIGH_COLS[1].w, name);
    cell(doc, &WEIGH_COLS[2], y, &MDR_REPORT_CELL,
         mdr_report_amount(doc, (double)line->asked->mass_mg / MG_PER_KG, 3, ""));
    cell(doc, &WEIGH_COLS[3], y, &MDR_REPORT_CELL,
         weighed ? mdr_report_amount(doc, (double)w->weighed_mg / MG_PER_KG, 3, "") : "\u2013");
    cell(doc, &WEIGH_COLS[4], y, &MDR_REPORT_CELL,
         weighed ? mdr_report_amount(doc, line->off_pct, 2, "") : "");
    cell(doc, &WEIGH_COLS[5], y, &MDR_REPORT_CELL, w->stock_lot);
    cell(doc, &WEIGH_COLS[6], y, &MDR_REPORT_CELL,
         mdr_doc_say(doc, "%s%s%s", w->weighed_by, w->checked_by[0] != '\0' ? ", " : "",
                     w->checked_by));
    const double below = high + 2.0 > LINE_H ? high + 2.0 : LINE_H;
    rule_under(doc, y + below);
    return below;
}

/* -- readings -- */

static double read_labels(mdr_doc *doc, const mdr_row *row, double y)
{
    static const char *const WORDS[] = {"step",    "hold point", "reading",
                                        "allowed", "decision",   "read by, when"};
    (void)row;
    return labels(doc, READ_COLS, WORDS, 6, y);
}

/* As the limits stand on the batch card; the words are the same. */
static mdr_route_check asked_of(const mdr_control_check *c)
{
    return (mdr_route_check){.kind = c->kind,
                             .has_low = c->has_low,
                             .has_high = c->has_high,
                             .low = c->low,
                             .high = c->high};
}

static const char *allowed(mdr_doc *doc, const mdr_control_check *c)
{
    char words[MDR_WORDS_MAX];
    const mdr_route_check asked = asked_of(c);
    if (c->kind == MDR_CHECK_SAMPLE || (!c->has_low && !c->has_high)) {
        return c->kind == MDR_CHECK_SAMPLE ? "looked at" : "no limits";
    }
    mdr_words_limits(&asked, words);
    return mdr_doc_say(doc, "%s", words);
}

static const char *reading(mdr_doc *doc, const mdr_report_reading *line)
{
    char words[MDR_WORDS_MAX];
    const mdr_route_check asked = asked_of(line->check);
    mdr_words_reading(&asked, line->value, words);
    return mdr_doc_say(doc, "%s%s", words, line->corrected ? " (corrected)" : "");
}

/* A sample is told from another by its parts, not by its difference alone. */
static const char *measured_words(mdr_doc *doc, const mdr_measured *m)
{
    const mdr_difference d = mdr_measured_see(m).difference;
    return mdr_doc_say(doc, "Measured: %s against %s, %s: dL* %s, dC* %s, dH* %s",
                       m->sample_id[0] != '\0' ? m->sample_id : m->name, m->standard_id,
                       MDR_MEASURED_CAPTION, mdr_report_amount(doc, d.dl, 2, ""),
                       mdr_report_amount(doc, d.dc, 2, ""), mdr_report_amount(doc, d.dh, 2, ""));
}

/* A remedy that was approved is a decision, too. */
static const char *decided_words(const mdr_run_report *r, const mdr_report_reading *line)
{
    if (line->decision != NULL) {
        return mdr_decision_words(line->decision->decision);
    }
    for (int i = 0; i < r->n_events; i++) {
        const mdr_event *e = &r->events[i];
        if (e->kind == MDR_EVENT_REMEDY && e->of_seq == line->event->seq) {
            return mdr_event_words(MDR_EVENT_REMEDY);
        }
    }
    return "waiting for a decision";
}

static double read_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lot_report_print *p = mdr_report_of(row);
    const mdr_report_reading *line = row->what;
    const mdr_event *d = line->decision;
    const mdr_style *style = line->inside ? &MDR_REPORT_CELL : &STRONG;
    cell(doc, &READ_COLS[0], y, style, line->event->step);
    cell(doc, &READ_COLS[1], y, style, mdr_check_words(line->check->kind));
    cell(doc, &READ_COLS[2], y, style, reading(doc, line));
    cell(doc, &READ_COLS[3], y, &MDR_REPORT_CELL, allowed(doc, line->check));
    cell(doc, &READ_COLS[4], y, style, decided_words(p->report, line));
    cell(doc, &READ_COLS[5], y, &MDR_REPORT_CELL,
         mdr_doc_say(doc, "%s, %s", line->event->by,
                     mdr_report_when(doc, p, line->event->happened_utc_ms)));
    double below = LINE_H;
    if (d != NULL && d->text[0] != '\0') {
        below += mdr_text(doc, &MDR_REPORT_LONG, doc->margin + READ_COLS[1].x, y + below,
                          mdr_part_width(doc) - READ_COLS[1].x,
                          mdr_doc_say(doc, "%s: %s", mdr_event_person(d), d->text));
    }
    if (line->event->measured != NULL) {
        below += mdr_text(doc, &MDR_REPORT_LONG, doc->margin + READ_COLS[1].x, y + below,
                          mdr_part_width(doc) - READ_COLS[1].x,
                          measured_words(doc, line->event->measured));
    }
    rule_under(doc, y + below);
    return below;
}

/* -- what else happened -- */

static double event_labels(mdr_doc *doc, const mdr_row *row, double y)
{
    static const char *const WORDS[] = {"no.", "when", "what", "by, words"};
    (void)row;
    return labels(doc, EVENT_COLS, WORDS, 4, y);
}

static bool worth_a_line(const mdr_event *e)
{
    return e->kind != MDR_EVENT_STEP_BEGUN && e->kind != MDR_EVENT_STEP_ENDED &&
           e->kind != MDR_EVENT_WEIGHED && e->kind != MDR_EVENT_WEIGHING_CHECKED &&
           e->kind != MDR_EVENT_DOSED && e->kind != MDR_EVENT_READING &&
           !(e->kind == MDR_EVENT_DECISION && e->decision == MDR_DECISION_PASS);
}

static const char *details(mdr_doc *doc, const mdr_event *e)
{
    if (e->kind == MDR_EVENT_INTERRUPTED) {
        return mdr_interrupt_words(e->interrupt);
    }
    if (e->kind == MDR_EVENT_DECISION) {
        return mdr_decision_words(e->decision);
    }
    if (e->kind == MDR_EVENT_CORRECTED) {
        return mdr_doc_say(doc, "no. %lld, %s: %s", (long long)e->of_seq, e->field, e->is);
    }
    if (e->kind == MDR_EVENT_REMEDY) {
        return mdr_doc_say(doc, "%s%s%d step%s before %s", mdr_remedy_words_of(e->remedy_id),
                           e->remedy_id[0] != '\0' ? ", " : "", e->n_steps,
                           e->n_steps == 1 ? "" : "s", e->step);
    }
    return e->kind == MDR_EVENT_STEP_SKIPPED ? e->step : "";
}

/* An entry that waited on its device: told with the time it was stored. */
static const char *late_words(mdr_doc *doc, const mdr_lot_report_print *p, const mdr_event *e)
{
    static const int64_t LATE_MS = 60000; /* invented: less is the way of any entry */
    return e->at_utc_ms - e->happened_utc_ms >= LATE_MS
               ? mdr_doc_say(doc, " (waited on its device, stored %s)",
                             mdr_report_when(doc, p, e->at_utc_ms))
               : "";
}

static double event_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lot_report_print *p = mdr_report_of(row);
    const mdr_event *e = row->what;
    const char *more = details(doc, e);
    cell(doc, &EVENT_COLS[0], y, &MDR_REPORT_CELL, mdr_doc_say(doc, "%lld", (long long)e->seq));
    cell(doc, &EVENT_COLS[1], y, &MDR_REPORT_CELL, mdr_report_when(doc, p, e->happened_utc_ms));
    cell(doc, &EVENT_COLS[2], y, &STRONG, mdr_event_words(e->kind));
    const double high =
        mdr_text(doc, &MDR_REPORT_LONG, doc->margin + EVENT_COLS[3].x, y + 1.0, EVENT_COLS[3].w,
                 mdr_doc_say(doc, "%s%s%s%s%s%s", e->by, more[0] != '\0' ? ": " : "", more,
                             e->text[0] != '\0' ? ": " : "", e->text, late_words(doc, p, e)));
    const double below = high + 2.0 > LINE_H ? high + 2.0 : LINE_H;
    rule_under(doc, y + below);
    return below;
}

static void add_lines(mdr_rows *rows, mdr_row_draw draw, const void *what,
                      const mdr_lot_report_print *p)
{
    (void)mdr_rows_add(rows, draw, what, p);
}

/* -- signatures -- */

static double sign_labels(mdr_doc *doc, const mdr_row *row, double y)
{
    static const char *const WORDS[] = {"no.", "meaning", "step", "name", "as", "when"};
    (void)row;
    return labels(doc, SIGN_COLS, WORDS, 6, y);
}

static double sign_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lot_report_print *p = mdr_report_of(row);
    const mdr_event *e = row->what;
    cell(doc, &SIGN_COLS[0], y, &MDR_REPORT_CELL, mdr_doc_say(doc, "%lld", (long long)e->seq));
    cell(doc, &SIGN_COLS[1], y, &STRONG, e->meaning);
    cell(doc, &SIGN_COLS[2], y, &MDR_REPORT_CELL, e->step);
    cell(doc, &SIGN_COLS[3], y, &MDR_REPORT_CELL,
         mdr_doc_say(doc, "%s (%s)", e->signed_name, e->signed_by));
    cell(doc, &SIGN_COLS[4], y, &MDR_REPORT_CELL, e->signed_as);
    cell(doc, &SIGN_COLS[5], y, &MDR_REPORT_CELL, mdr_report_when(doc, p, e->signed_utc_ms));
    rule_under(doc, y + LINE_H);
    return LINE_H;
}

static void signature_parts(mdr_rows *rows, const mdr_lot_report_print *p)
{
    const mdr_run_report *r = p->report;
    bool any = false;
    for (int i = 0; i < r->n_events; i++) {
        if (r->events[i].signed_by[0] != '\0') {
            if (!any) {
                mdr_report_heading(rows, "Signatures", sign_labels);
            }
            any = true;
            add_lines(rows, sign_row, &r->events[i], p);
        }
    }
}

void mdr_report_tables(mdr_rows *rows, const mdr_lot_report_print *p)
{
    const mdr_run_report *r = p->report;
    if (r->n_readings > 0) {
        mdr_report_heading(rows, "Hold points", read_labels);
        for (int i = 0; i < r->n_readings; i++) {
            add_lines(rows, read_row, &r->readings[i], p);
        }
    }
    mdr_report_heading(rows, "What else happened", event_labels);
    for (int i = 0; i < r->n_events; i++) {
        if (worth_a_line(&r->events[i])) {
            add_lines(rows, event_row, &r->events[i], p);
        }
    }
    signature_parts(rows, p);
    if (r->n_items > 0) {
        mdr_report_heading(rows, "Weighed", weigh_labels);
        for (int i = 0; i < r->n_items; i++) {
            add_lines(rows, weigh_row, &r->items[i], p);
        }
    }
    mdr_report_heading(rows, "Steps", step_labels);
    for (int i = 0; i < r->batch->n_steps; i++) {
        add_lines(rows, step_row, &r->steps[i], p);
    }
}
