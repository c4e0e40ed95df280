#include "card/mdr_weigh_label.h"

#include <string.h>

#include "card/mdr_digits.h"
#include "card/mdr_parts.h"
#include "card/mdr_words.h"

static const double LABEL_W = 100.0 * MDR_MM, LABEL_H = 80.0 * MDR_MM, MARGIN = 4.0 * MDR_MM;
static const double QR_MODULE = 0.75 * MDR_MM;
static const double NAME_LEAST_PT = 9.0, LOT_LEAST_PT = 9.0, CODE_LEAST_PT = 4.0;

static const mdr_style NAME = {.size_pt = 15.0, .weight = 700, .lines = 2};
static const mdr_style MASS = {.size_pt = 24.0, .weight = 700, .lines = 1, .even = true};
static const mdr_style LOT = {.size_pt = 17.0, .weight = 700, .lines = 1};
static const mdr_style LINE = {.size_pt = 9.0, .weight = 500, .lines = 1};
static const mdr_style STEP = {.size_pt = 12.0, .weight = 600, .lines = 1};
static const mdr_style CODE = {.size_pt = 7.0, .weight = 500, .align = MDR_CENTRE, .lines = 1};
static const mdr_style WEAR = {.size_pt = 9.5, .weight = 600, .lines = 3};
/* Of a product with every danger there is. */
static const mdr_style WEAR_MUCH = {.size_pt = 7.5, .weight = 600, .lines = 2};
enum { WEAR_LETTERS = 80 };

/* Returns the width that the code takes at the right. */
static double code_at_right(mdr_doc *doc, const char *code, double y, double *bottom)
{
    const double side = code[0] == '\0' ? 0.0 : mdr_ink_qr_side(code, QR_MODULE);
    const double quiet = 4.0 * QR_MODULE;
    if (!(side > 0.0)) {
        return 0.0;
    }
    const double x = doc->margin + mdr_part_width(doc) - (side - quiet);
    mdr_ink_qr(doc, code, x, y - quiet, QR_MODULE);
    const mdr_style under = mdr_text_fit(doc, &CODE, CODE_LEAST_PT, side - quiet, code);
    (void)mdr_text_base(doc, &under, x, y - quiet + side + 4.0, side - quiet, code);
    *bottom = y - quiet + side + 8.0;
    return side;
}

static double label_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_weigh_label *l = row->what;
    const double x = doc->margin, w = mdr_part_width(doc);
    char mass[MDR_DIGITS_MAX], wear[MDR_WORDS_MAX];
    double code_bottom = y;
    const double left = w - code_at_right(doc, l->code, y + 2.0, &code_bottom) - 4.0;
    const mdr_style name = mdr_text_fit(doc, &NAME, NAME_LEAST_PT, left, l->name);
    double at = y + 15.0;
    at += mdr_text_base(doc, &name, x, at, left, l->name) + 23.0;
    mdr_digits_mass(mass, (double)(l->weighed_mg > 0 ? l->weighed_mg : l->mass_mg) / 1e6);
    (void)mdr_text_base(doc, &MASS, x, at, left, mass);
    at += 4.0;
    /* a mass that is asked for looks like one that was weighed */
    at += mdr_text(
        doc, &LINE, x, at, left,
        mdr_doc_say(doc, "%s  \u00b7  %s", l->weighed_mg > 0 ? "weighed" : "to be weighed",
                    l->numbers > 1 ? mdr_doc_say(doc, "portion %d of %d", l->number, l->numbers)
                                   : l->material_id));
    if (l->numbers > 1) {
        at += mdr_text(doc, &LINE, x, at, left, l->material_id);
    }
    at = (at > code_bottom ? at : code_bottom) + 16.0;
    const char *lot = mdr_doc_say(doc, "%s  \u00b7  %s", l->lot_id, l->machine_id);
    const mdr_style lot_style = mdr_text_fit(doc, &LOT, LOT_LEAST_PT, w, lot);
    (void)mdr_text_base(doc, &lot_style, x, at, w, lot);
    at += 4.0;
    at += mdr_text(doc, &STEP, x, at, w, mdr_doc_say(doc, "%s  %s", l->step, l->bath)) + 4.0;
    at += mdr_part_cautions(doc, l->cautions, x, at, w);
    mdr_words_wear(l->cautions, wear);
    if (wear[0] != '\0') {
        at += mdr_text(doc, strlen(wear) > WEAR_LETTERS ? &WEAR_MUCH : &WEAR, x, at + 1.0, w,
                       mdr_doc_say(doc, "Wear: %s.", wear));
    }
    return at - y;
}

mdr_code mdr_card_weigh_labels(const mdr_weigh_labels *what, const mdr_card_print *print,
                               mdr_arena *arena, unsigned char **pdf, size_t *len, mdr_err *err)
{
    const mdr_doc_about about = {
        .id = what->batch_id, .words = "", .place = what->place, .invented = what->invented};
    mdr_doc doc = {.about = &about, .print = print, .arena = arena, .margin = MARGIN};
    mdr_rows rows = {.arena = arena};
    if (what->n == 0) {
        (void)MDR_FAIL(err, MDR_E_NOTFOUND, "step", "there is nothing to label");
        mdr_err_remedy(err, "choose a dose that has not begun");
        return MDR_E_NOTFOUND;
    }
    for (int i = 0; i < what->n; i++) {
        rows.group++;
        mdr_rows_add(&rows, label_row, &what->labels[i], NULL)->begin = MDR_BEGIN_PAGE;
    }
    const char *title = mdr_arena_printf(arena, "Labels %s", what->batch_id);
    if (title == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "document", "no memory left for the document");
    }
    MDR_TRY(mdr_doc_open(&doc, LABEL_W, LABEL_H, title, err));
    const mdr_code rc = mdr_rows_print(&rows, &doc, err);
    if (rc != MDR_OK) {
        (void)mdr_doc_close(&doc, NULL, NULL, NULL);
        return rc;
    }
    return mdr_doc_close(&doc, pdf, len, err);
}
