#include "card/mdr_digits.h"
#include "card/mdr_parts.h"
#include "card/mdr_words.h"

static const double A6_W = 105.0 * MDR_MM, A6_H = 148.0 * MDR_MM, MARGIN = 7.0 * MDR_MM;
static const double QR_MODULE = 0.8 * MDR_MM;
static const double LOT_LEAST_PT = 8.0, CODE_LEAST_PT = 4.0;
static const double FIELD_W = 22.0 * MDR_MM, FIELD_H = 9.0 * MDR_MM, TICK = 6.0 * MDR_MM;

static const mdr_style KICKER = {.size_pt = 7.5, .weight = 600, .ink = 0.25, .lines = 1};
static const mdr_style BATH_NUMBER = {
    .size_pt = 15.0, .weight = 700, .ink = 1.0, .align = MDR_CENTRE, .lines = 1};
static const mdr_style LOT = {.size_pt = 27.0, .weight = 700, .lines = 1};
static const mdr_style BATH_NAME = {.size_pt = 13.0, .weight = 700};
static const mdr_style LINE = {.size_pt = 8.5, .weight = 500};
static const mdr_style CODE = {.size_pt = 7.0, .weight = 500, .align = MDR_CENTRE, .lines = 1};
static const mdr_style DOSE = {.size_pt = 8.5, .weight = 600, .lines = 1};
static const mdr_style NAME = {.size_pt = 10.5, .weight = 600};
static const mdr_style LITRES = {
    .size_pt = 11.0, .weight = 500, .align = MDR_RIGHT, .lines = 1, .even = true};
static const mdr_style ASKED = {.size_pt = 7.5, .weight = 400, .ink = 0.2, .lines = 3};
static const mdr_style MASS = {.size_pt = 20.0, .weight = 700, .lines = 1, .even = true};
static const mdr_style WEAR = {.size_pt = 9.0, .weight = 600, .lines = 3};
static const mdr_style SHEET = {.size_pt = 7.0, .weight = 400, .ink = 0.2, .lines = 1};

static double figure(const mdr_doc *doc, mdr_fig_id id)
{
    return mdr_fig_value(&doc->plan->figs, id);
}

static int items_in(const mdr_plan_bath *bath)
{
    int n = 0;
    for (int s = 0; s < bath->n_steps; s++) {
        n += bath->steps[s].n_items;
    }
    return n;
}

static void slip_lot(mdr_doc *doc, double y, double width)
{
    const char *lot_id = doc->plan->lot->lot_id;
    const mdr_style style = mdr_text_fit(doc, &LOT, LOT_LEAST_PT, width, lot_id);
    (void)mdr_text_base(doc, &style, doc->margin - 1.0, y, width, lot_id);
}

static double head_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_bath *bath = row->what;
    const mdr_plan *plan = doc->plan;
    const double x = doc->margin, w = mdr_part_width(doc), quiet = 4.0 * QR_MODULE;
    const char *code = mdr_doc_say(doc, "%s/b%d", plan->lot->lot_id, bath->number);
    const double side = mdr_ink_qr_side(code, QR_MODULE), code_x = x + w - (side - quiet);
    const double left = w - side;
    const double code_y = y + 4.5 - quiet;
    if (side > 0.0) {
        mdr_ink_qr(doc, code, code_x, code_y, QR_MODULE);
        const mdr_style under = mdr_text_fit(doc, &CODE, CODE_LEAST_PT, side, code);
        (void)mdr_text_base(doc, &under, code_x, code_y + side + 5.2, side, code);
    }
    (void)mdr_text_base(doc, &KICKER, x, y + 8.0, left,
                        doc->parts > 1 ? mdr_doc_say(doc, "WEIGH SLIP, %d of %d of this bath",
                                                     doc->part, doc->parts)
                                       : "WEIGH SLIP");
    slip_lot(doc, y + 33.0, left);
    double words = 38.5;
    words += mdr_text(doc, &LINE, x, y + words, left,
                      mdr_doc_say(doc, "%s  %s", plan->machine->machine_id, plan->machine->name));
    words += mdr_text(doc, &LINE, x, y + words + 1.0, left, plan->lot->shade->name) + 7.0;
    const double under_code = side - quiet + 13.0;
    const double bath_y = y + (under_code > words ? under_code : words);
    mdr_ink_line(doc, x, bath_y, x + w, bath_y, 1.6, 0.0);
    mdr_ink_fill(doc, (mdr_box){x, bath_y, 24.0, 22.0}, 0.0);
    (void)mdr_text_base(doc, &BATH_NUMBER, x, bath_y + 16.5, 24.0,
                        mdr_doc_say(doc, "%d", bath->number));
    const double name =
        mdr_text_base(doc, &BATH_NAME, x + 30.0, bath_y + 16.0, w - 30.0, bath->asked->name);
    return bath_y + 16.0 + name + 3.0 - y;
}

static double dose_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_bath *bath = row->in;
    const mdr_plan_step *step = row->what;
    char start[MDR_DIGITS_MAX], temp[MDR_DIGITS_MAX], minutes[MDR_DIGITS_MAX];
    mdr_digits_clock(start, figure(doc, step->start_min));
    mdr_digits_fixed(temp, figure(doc, step->temp_start_c), 0);
    mdr_digits_trim(minutes, figure(doc, step->minutes), 0, 1);
    mdr_ink_line(doc, doc->margin, y + 1.0, doc->margin + mdr_part_width(doc), y + 1.0, 0.8, 0.0);
    (void)mdr_text_base(doc, &DOSE, doc->margin, y + 11.5, mdr_part_width(doc),
                        mdr_doc_say(doc,
                                    "%d.%d  at %s  \u00b7  %s\u00a0\u00b0C  \u00b7  dosed over "
                                    "%s\u00a0min",
                                    bath->number, row->number, start, temp, minutes));
    return 14.0;
}

static double item_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_plan_step *step = row->in;
    const mdr_plan_item *item = row->what;
    const double x = doc->margin, w = mdr_part_width(doc);
    const double left = w - FIELD_W - TICK - 12.0;
    const bool last = item == &step->items[step->n_items - 1];
    char mass[MDR_DIGITS_MAX], litres[MDR_DIGITS_MAX], asked[MDR_WORDS_MAX];
    double at = y + 12.0 + mdr_text_base(doc, &NAME, x, y + 12.0, left, item->material->name);
    mdr_digits_mass(mass, figure(doc, item->mass_kg));
    (void)mdr_text_base(doc, &MASS, x, at + 17.0, left, mass);
    mdr_words_amount(doc->plan, step, item, asked);
    if (item->volume_l != MDR_FIG_NONE) {
        mdr_digits_volume(litres, figure(doc, item->volume_l));
        (void)mdr_text_base(doc, &LITRES, x, at + 17.0, left, litres);
    }
    at += 28.5 +
          mdr_text_base(doc, &ASKED, x, at + 28.5, left,
                        mdr_doc_say(doc, "%s  \u00b7  %s", item->material->material_id, asked));
    mdr_ink_field(doc, (mdr_box){x + w - TICK - 6.0 - FIELD_W, y + 5.0, FIELD_W, FIELD_H},
                  "container no.");
    mdr_ink_tick(doc, x + w - TICK, y + 5.0, TICK);
    if (!last) {
        mdr_ink_line(doc, x, at + 3.0, x + w, at + 3.0, 0.3, 0.55);
    }
    return at + 4.0 - y;
}

/* Dangers of all that is weighed for the bath, and what to wear; row->number is the set. Above
 * what is weighed, and on each slip of the bath: it is read first, and slips part ways. */
static double wear_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const double x = doc->margin, w = mdr_part_width(doc);
    char wear[MDR_WORDS_MAX];
    double at = y + 1.0;
    at += mdr_part_cautions(doc, (uint32_t)row->number, x, at, w);
    mdr_words_wear((uint32_t)row->number, wear);
    if (wear[0] != '\0') {
        at += mdr_text(doc, &WEAR, x, at + 1.0, w, mdr_doc_say(doc, "Wear: %s.", wear)) + 1.0;
    }
    at += mdr_text(doc, &SHEET, x, at, w, "The safety data sheet goes before this slip.");
    return at + 3.0 - y;
}

static uint32_t cautions_in(const mdr_plan_bath *bath)
{
    uint32_t cautions = 0;
    for (int s = 0; s < bath->n_steps; s++) {
        for (int i = 0; i < bath->steps[s].n_items; i++) {
            cautions |= bath->steps[s].items[i].material->cautions;
        }
    }
    return cautions;
}

static void add_bath(mdr_rows *rows, const mdr_plan_bath *bath)
{
    rows->group++;
    mdr_row *row = mdr_rows_add(rows, head_row, bath, NULL);
    row->begin = MDR_BEGIN_PAGE;
    row->head = row->glue = true;
    row = mdr_rows_add(rows, wear_row, NULL, NULL);
    row->number = (int)cautions_in(bath);
    row->head = row->glue = true;
    for (int s = 0; s < bath->n_steps; s++) {
        const mdr_plan_step *step = &bath->steps[s];
        if (step->n_items == 0) {
            continue;
        }
        row = mdr_rows_add(rows, dose_row, step, bath);
        row->number = s + 1;
        row->glue = row->lead = true;
        for (int i = 0; i < step->n_items; i++) {
            row = mdr_rows_add(rows, item_row, &step->items[i], step);
            row->glue = i + 1 < step->n_items;
        }
    }
}

static mdr_code find_baths(const mdr_plan *plan, int bath, mdr_rows *rows, mdr_err *err)
{
    bool there = bath == 0;
    int slips = 0;
    for (int b = 0; b < plan->n_baths; b++) {
        const mdr_plan_bath *candidate = &plan->baths[b];
        if (bath != 0 && candidate->number != bath) {
            continue;
        }
        there = true;
        if (items_in(candidate) > 0) {
            add_bath(rows, candidate);
            slips++;
        }
    }
    if (slips > 0) {
        return MDR_OK;
    }
    const mdr_code rc = there ? MDR_FAIL(err, MDR_E_NOTFOUND, "bath", "there is nothing to weigh")
                              : MDR_FAIL(err, MDR_E_NOTFOUND, "bath", "the lot has no such bath");
    mdr_err_value(err, "%d", bath);
    mdr_err_allowed(err, "1 to %d, or 0 for all", plan->n_baths);
    mdr_err_remedy(err, "choose a bath with a dose; the batch card lists them");
    return rc;
}

mdr_code mdr_card_slips(const mdr_plan *plan, int bath, const mdr_card_print *print,
                        mdr_arena *arena, unsigned char **pdf, size_t *len, mdr_err *err)
{
    mdr_doc doc = {.plan = plan, .print = print, .arena = arena, .margin = MARGIN};
    mdr_rows rows = {.arena = arena};
    MDR_TRY(find_baths(plan, bath, &rows, err));
    const char *title = mdr_arena_printf(arena, "Weigh slips %s", plan->lot->lot_id);
    if (title == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "document", "no memory left for the document");
    }
    MDR_TRY(mdr_doc_open(&doc, A6_W, A6_H, title, err));
    const mdr_code rc = mdr_rows_print(&rows, &doc, err);
    if (rc != MDR_OK) {
        (void)mdr_doc_close(&doc, NULL, NULL, NULL);
        return rc;
    }
    return mdr_doc_close(&doc, pdf, len, err);
}
