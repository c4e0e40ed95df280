#include "card/mdr_doc.h"

/* Heights of what stands on every page. */
static const double BANNER_H = 15.0, HEAD_H = 30.0, FOOT_H = 16.0;
static const double LOT_LEAST_PT = 9.0, WHAT_LEAST_PT = 6.0;

static const mdr_style BANNER = {
    .size_pt = 8.0, .weight = 700, .ink = 0.0, .align = MDR_CENTRE, .lines = 1};
static const mdr_style LOT = {.size_pt = 17.0, .weight = 700, .lines = 1};
static const mdr_style WHAT = {.size_pt = 9.5, .weight = 500, .lines = 1};
static const mdr_style PAGE = {.size_pt = 13.0, .weight = 600, .align = MDR_RIGHT, .lines = 1};
static const mdr_style FOOT = {.size_pt = 7.0, .weight = 400, .ink = 0.25, .lines = 1};
static const mdr_style FOOT_RIGHT = {
    .size_pt = 7.0, .weight = 600, .ink = 0.0, .align = MDR_RIGHT, .lines = 1};

static bool is_slip(const mdr_doc *doc)
{
    return doc->width < 400.0;
}

static bool is_invented(const mdr_doc *doc)
{
    return doc->about != NULL ? doc->about->invented : doc->plan->site->invented;
}

static double banner_height(const mdr_doc *doc)
{
    return is_invented(doc) ? BANNER_H + 5.0 : 0.0;
}

double mdr_page_top(const mdr_doc *doc, int page)
{
    const bool headed = page > 1 && !is_slip(doc);
    return doc->margin + banner_height(doc) + (headed ? HEAD_H : 0.0);
}

double mdr_page_bottom(const mdr_doc *doc)
{
    return doc->height - doc->margin - FOOT_H;
}

static void banner(mdr_doc *doc)
{
    const double w = doc->width - 2.0 * doc->margin;
    const mdr_box box = {doc->margin, doc->margin, w, BANNER_H};
    mdr_ink_frame(doc, box, 1.0, 0.0);
    const double base = box.y + 10.6;
    (void)mdr_text_base(doc, &BANNER, box.x, base, w,
                        is_slip(doc) ? "INVENTED DEMO DATA"
                                     : "INVENTED DEMO DATA \u2014 no real mill, order or customer");
}

/* Machine and shade by what people call them; by their identifiers where that is too long. */
static const char *plan_words(mdr_doc *doc, double width)
{
    const mdr_machine *machine = doc->plan->machine;
    const mdr_shade *shade = doc->plan->lot->shade;
    const char *words =
        mdr_doc_say(doc, "%s  %s  \u00b7  %s", machine->machine_id, machine->name, shade->name);
    if (mdr_text_width(doc, &WHAT, words, NULL) > width) {
        words = mdr_doc_say(doc, "%s  \u00b7  %s", machine->machine_id, shade->shade_id);
    }
    return words;
}

static void head_words(mdr_doc *doc, double x, double base, double width)
{
    const char *words = doc->about != NULL ? doc->about->words : plan_words(doc, width);
    const mdr_style style = mdr_text_fit(doc, &WHAT, WHAT_LEAST_PT, width, words);
    (void)mdr_text_base(doc, &style, x, base, width, words);
}

static void head(mdr_doc *doc)
{
    const double x = doc->margin, w = doc->width - 2.0 * doc->margin;
    const double base = doc->margin + banner_height(doc) + 15.0;
    const char *lot_id = doc->about != NULL ? doc->about->id : doc->plan->lot->lot_id;
    const mdr_style lot = mdr_text_fit(doc, &LOT, LOT_LEAST_PT, w * 0.5 - 2.0, lot_id);
    const double natural = mdr_text_width(doc, &lot, lot_id, NULL) + 2.0;
    const double lot_room = natural < w * 0.7 ? natural : w * 0.7; /* names of shades may be long */
    (void)mdr_text_base(doc, &lot, x, base, lot_room, lot_id);
    head_words(doc, x + lot_room + 12.0, base, w - lot_room - 12.0 - 70.0);
    (void)mdr_text_base(doc, &PAGE, x + w - 66.0, base, 66.0,
                        mdr_doc_say(doc, "%d / %d", doc->page, doc->pages));
    mdr_ink_line(doc, x, base + 6.5, x + w, base + 6.5, 0.8, 0.0);
}

static const char *footer_words(mdr_doc *doc)
{
    const mdr_card_print *print = doc->print;
    const char *by = print->printed_by[0] != '\0' ? " by " : "";
    if (doc->wanted_glyphs > 0) {
        return mdr_doc_say(doc, "%d letters have no font on this computer: install fonts-noto",
                           doc->wanted_glyphs);
    }
    if (is_slip(doc)) {
        return mdr_doc_say(doc, "printed %s%s%s", print->printed_at, by, print->printed_by);
    }
    const char *place = doc->about != NULL ? doc->about->place : doc->plan->site->name;
    return mdr_doc_say(doc, "%s%sprinted %s%s%s  \u00b7  madder %s", place,
                       place[0] != '\0' ? "  \u00b7  " : "", print->printed_at, by,
                       print->printed_by, print->version);
}

static void footer(mdr_doc *doc)
{
    const double x = doc->margin, w = doc->width - 2.0 * doc->margin;
    const double base = doc->height - doc->margin - 1.0, count_w = is_slip(doc) ? 40.0 : 85.0;
    mdr_ink_line(doc, x, base - 9.5, x + w, base - 9.5, 0.4, 0.3);
    (void)mdr_text_base(doc, &FOOT, x, base, w - count_w - 5.0, footer_words(doc));
    (void)mdr_text_base(
        doc, &FOOT_RIGHT, x + w - count_w, base, count_w,
        mdr_doc_say(doc, "%s%d / %d", is_slip(doc) ? "" : "page ", doc->page, doc->pages));
}

void mdr_page_frame(mdr_doc *doc)
{
    if (is_invented(doc)) {
        banner(doc);
    }
    if (doc->page > 1 && !is_slip(doc)) {
        head(doc);
    }
    footer(doc);
}
