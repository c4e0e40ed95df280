#include "card/mdr_lot_report.h"

#include <string.h>

#include "card/mdr_lot_report_in.h"

static const double A4_W = 210.0 * MDR_MM, A4_H = 297.0 * MDR_MM, MARGIN = 10.0 * MDR_MM;
static const double QR_MODULE = 0.8 * MDR_MM;

static const mdr_style KICKER = {.size_pt = 9.0, .weight = 600, .ink = 0.25, .lines = 1};
static const mdr_style NAME = {.size_pt = 27.0, .weight = 700, .lines = 1};
static const mdr_style ABOUT = {.size_pt = 10.5, .weight = 500, .lines = 3};
static const mdr_style VERDICT = {.size_pt = 13.0, .weight = 700, .lines = 2};
static const mdr_style FACT = {.size_pt = 13.0, .weight = 600, .lines = 1, .even = true};
static const mdr_style HASH = {.size_pt = 8.0, .weight = 500, .lines = 2};
static const mdr_style SMALL = {.size_pt = 8.0, .weight = 400, .ink = 0.2, .lines = 4};

/* -- what it is about -- */

static const char *verdict_words(mdr_doc *doc, const mdr_run_report *r)
{
    const mdr_batch *b = r->batch;
    const char *why = "";
    if (r->right_first) {
        return mdr_doc_say(doc, "%s. Right first time.", mdr_batch_state_words(b->state));
    }
    if (r->not_first == 1u << MDR_NOT_FIRST_OPEN) { /* nothing has gone wrong so far */
        return mdr_doc_say(doc, "%s. The batch is not over.", mdr_batch_state_words(b->state));
    }
    for (unsigned k = 0; k < MDR_NOT_FIRST_COUNT; k++) {
        if ((r->not_first >> k & 1u) != 0) {
            why = mdr_doc_say(doc, "%s%s%s", why, why[0] != '\0' ? ", " : "",
                              mdr_not_first_words((mdr_not_first)k));
        }
    }
    return mdr_doc_say(doc, "%s. Not right first time: %s.", mdr_batch_state_words(b->state), why);
}

static double title_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lot_report_print *p = mdr_report_of(row);
    const mdr_batch *b = p->report->batch;
    const mdr_control *c = b->control;
    const double x = doc->margin, w = mdr_part_width(doc), quiet = 4.0 * QR_MODULE;
    const double side = mdr_ink_qr_side(b->batch_id, QR_MODULE);
    mdr_ink_qr(doc, b->batch_id, x + w - side + quiet, y, QR_MODULE);
    const double left = w - side - 4.0;
    (void)mdr_text_base(doc, &KICKER, x, y + 11.0, left, "LOT REPORT");
    const mdr_style name = mdr_text_fit(doc, &NAME, MDR_REPORT_LEAST_PT, left, b->batch_id);
    (void)mdr_text_base(doc, &name, x - 1.0, y + 38.0, left, b->batch_id);
    double at = 45.0;
    at += mdr_text(doc, &ABOUT, x, y + at, left,
                   mdr_doc_say(doc, "Order %s  \u00b7  %s  \u00b7  shade %s  \u00b7  %s on %s",
                               c->order_id, c->article_id, c->shade_id,
                               mdr_report_amount(doc, c->load_kg, 1, "kg"), c->machine_id));
    at += mdr_text(doc, &ABOUT, x, y + at, left,
                   mdr_doc_say(doc, "Route %s, version %d", c->route_id, c->route_version));
    at += 4.0 + mdr_text(doc, &VERDICT, x, y + at + 4.0, w - side, verdict_words(doc, p->report));
    return (at > side ? at : side) + 6.0;
}

typedef struct fact {
    const char *label, *value, *planned, *more;
} fact;

/* What of the sums rests on records, and what on the plan. */
static const char *recorded_words(mdr_doc *doc, const mdr_run_report *r)
{
    const char *water =
        mdr_doc_say(doc, "Water: %d of %d fills and rinses run, as much as planned.",
                    r->n_water_run, r->n_watering);
    if (!r->has_steam || r->n_heating == 0) {
        return water;
    }
    if (r->n_heat_recorded == 0) {
        return mdr_doc_say(doc,
                           "%s Steam: %d steps took it, as much as planned; no temperature was "
                           "recorded.",
                           water, r->n_heating);
    }
    return mdr_doc_say(doc,
                       "%s Steam: %d steps took it; of %d the temperature was recorded, the "
                       "others as planned.",
                       water, r->n_heating, r->n_heat_recorded);
}

static void put_fit(mdr_doc *doc, const mdr_style *style, double x, double base, double w,
                    const char *text)
{
    const mdr_style fit = mdr_text_fit(doc, style, MDR_REPORT_LEAST_PT, w, text);
    (void)mdr_text_base(doc, &fit, x, base, w, text);
}

static void put_fact(mdr_doc *doc, const fact *f, double x, double y, double w)
{
    put_fit(doc, &MDR_REPORT_LABEL, x, y + 9.0, w, f->label);
    put_fit(doc, &FACT, x, y + 24.0, w, f->value);
    put_fit(doc, &MDR_REPORT_CELL, x, y + 36.0, w, f->planned);
    put_fit(doc, &MDR_REPORT_CELL, x, y + 47.0, w, f->more);
}

static double facts_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lot_report_print *p = mdr_report_of(row);
    const mdr_run_report *r = p->report;
    const mdr_batch *b = r->batch;
    const fact facts[] = {
        {"minutes", mdr_report_amount(doc, r->actual_min, 0, "min"),
         mdr_doc_say(doc, "planned %s", mdr_report_amount(doc, r->planned_min, 0, "min")),
         mdr_doc_say(doc, "interrupted %s", mdr_report_amount(doc, r->interrupted_min, 0, "min"))},
        {"products weighed", mdr_report_amount(doc, r->weighed_kg, 2, "kg"),
         mdr_doc_say(doc, "planned %s", mdr_report_amount(doc, r->planned_kg, 2, "kg")), ""},
        {"water", mdr_report_amount(doc, r->actual_water_l, 0, "L"),
         mdr_doc_say(doc, "planned %s", mdr_report_amount(doc, r->planned_water_l, 0, "L")), ""},
        {"steam", r->has_steam ? mdr_report_amount(doc, r->actual_steam_kg, 0, "kg") : "\u2013",
         mdr_doc_say(doc, "planned %s", mdr_report_amount(doc, r->planned_steam_kg, 0, "kg")), ""},
        {"products, cost", mdr_report_amount(doc, r->actual_products_minor / 100.0, 2, p->currency),
         mdr_doc_say(doc, "planned %s",
                     mdr_report_amount(doc, r->planned_products_minor / 100.0, 2, p->currency)),
         r->all_priced ? "" : "some without price"},
        {"begun, ended", mdr_report_when(doc, p, b->begun_utc_ms),
         mdr_report_when(doc, p, b->ended_utc_ms), ""},
    };
    const int n = (int)(sizeof facts / sizeof facts[0]);
    const double w = mdr_part_width(doc) / n;
    for (int i = 0; i < n; i++) {
        put_fact(doc, &facts[i], doc->margin + w * i, y, w - 6.0);
    }
    return 55.0 + mdr_text(doc, &MDR_REPORT_LONG, doc->margin, y + 53.0, mdr_part_width(doc),
                           recorded_words(doc, r));
}

/* -- the chain -- */

static double chain_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lot_report_print *p = mdr_report_of(row);
    const double x = doc->margin, w = mdr_part_width(doc);
    double at = y + 2.0;
    at += mdr_text(doc, &HASH, x, at, w, p->head_hex);
    at +=
        mdr_text(doc, &SMALL, x, at + 2.0, w,
                 "Newest seal of the mill's record when this was printed. The record is whole when "
                 "madder verify comes to this seal again; keep this sheet away from the "
                 "record. The report shows what was entered; it replaces no signature that the "
                 "law asks for.");
    return at + 6.0 - y;
}

static void report_parts(mdr_rows *rows, const mdr_lot_report_print *p)
{
    rows->group++;
    (void)mdr_rows_add(rows, title_row, NULL, p);
    (void)mdr_rows_add(rows, facts_row, NULL, p);
    mdr_report_tables(rows, p);
    mdr_report_heading(rows, "The record", NULL);
    (void)mdr_rows_add(rows, chain_row, NULL, p);
}

mdr_code mdr_card_lot_report(const mdr_lot_report_print *what, const mdr_card_print *print,
                             mdr_arena *arena, unsigned char **pdf, size_t *len, mdr_err *err)
{
    const char *batch_id = what->report->batch->batch_id;
    const char *title = mdr_arena_printf(arena, "Lot report %s", batch_id);
    if (title == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "document", "no memory left for the document");
    }
    const mdr_doc_about about = {
        .id = batch_id, .words = "lot report", .place = what->place, .invented = what->invented};
    mdr_doc doc = {.about = &about, .print = print, .arena = arena, .margin = MARGIN};
    MDR_TRY(mdr_doc_open(&doc, A4_W, A4_H, title, err));
    mdr_rows rows = {.arena = arena};
    report_parts(&rows, what);
    const mdr_code rc = mdr_rows_print(&rows, &doc, err);
    if (rc != MDR_OK) {
        (void)mdr_doc_close(&doc, NULL, NULL, NULL);
        return rc;
    }
    return mdr_doc_close(&doc, pdf, len, err);
}
