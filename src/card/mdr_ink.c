#include "card/mdr_doc.h"

#include <math.h>

static void set_ink(mdr_doc *doc, double ink)
{
    cairo_set_source_rgb(doc->cr, ink, ink, ink);
}

void mdr_ink_line(mdr_doc *doc, double x1, double y1, double x2, double y2, double thick_pt,
                  double ink)
{
    if (doc->dry) {
        return;
    }
    set_ink(doc, ink);
    cairo_set_line_width(doc->cr, thick_pt);
    cairo_move_to(doc->cr, x1, y1);
    cairo_line_to(doc->cr, x2, y2);
    cairo_stroke(doc->cr);
}

void mdr_ink_fill(mdr_doc *doc, mdr_box box, double ink)
{
    if (doc->dry) {
        return;
    }
    set_ink(doc, ink);
    cairo_rectangle(doc->cr, box.x, box.y, box.w, box.h);
    cairo_fill(doc->cr);
}

void mdr_ink_frame(mdr_doc *doc, mdr_box box, double thick_pt, double ink)
{
    if (doc->dry) {
        return;
    }
    set_ink(doc, ink);
    cairo_set_line_width(doc->cr, thick_pt);
    /* The line lies inside the box: boxes side by side keep their measure. */
    cairo_rectangle(doc->cr, box.x + thick_pt / 2.0, box.y + thick_pt / 2.0, box.w - thick_pt,
                    box.h - thick_pt);
    cairo_stroke(doc->cr);
}

void mdr_ink_tick(mdr_doc *doc, double x, double y, double side)
{
    mdr_ink_frame(doc, (mdr_box){x, y, side, side}, 0.9, 0.0);
}

void mdr_ink_field(mdr_doc *doc, mdr_box box, const char *word)
{
    static const mdr_style WORD = {.size_pt = 6.5, .weight = 400, .ink = 0.3, .lines = 1};
    mdr_ink_frame(doc, box, 0.7, 0.0);
    (void)mdr_text(doc, &WORD, box.x + 3.0, box.y + 2.0, box.w - 6.0, word);
}

/* Corners on a circle, the first at `turn` of a right angle from the top. */
static void polygon(mdr_doc *doc, mdr_box box, int corners, double turn)
{
    const double quarter = 1.57079632679489662;
    const double cx = box.x + box.w / 2.0, cy = box.y + box.h / 2.0, r = box.w / 2.0;
    for (int i = 0; i < corners; i++) {
        const double angle = quarter * (turn - 1.0 + 4.0 * i / corners);
        cairo_line_to(doc->cr, cx + r * cos(angle), cy + r * sin(angle));
    }
    cairo_close_path(doc->cr);
}

static void letter(mdr_doc *doc, mdr_box box, const char *text, double ink)
{
    const mdr_style style = {
        .size_pt = box.h * 0.62, .weight = 700, .ink = ink, .align = MDR_CENTRE, .lines = 1};
    (void)mdr_text_base(doc, &style, box.x, box.y + box.h * 0.72, box.w, text);
}

void mdr_ink_severity(mdr_doc *doc, mdr_severity severity, double x, double y, double side)
{
    if (doc->dry) {
        return;
    }
    const mdr_box box = {x, y, side, side};
    cairo_new_path(doc->cr);
    set_ink(doc, 0.0);
    cairo_set_line_width(doc->cr, 0.9);
    switch (severity) {
    case MDR_SEV_STOP:
        polygon(doc, box, 8, 0.25);
        cairo_fill(doc->cr);
        mdr_ink_fill(doc, (mdr_box){x + side * 0.22, y + side * 0.42, side * 0.56, side * 0.16},
                     1.0);
        return;
    case MDR_SEV_WARNING:
        polygon(doc, (mdr_box){x - side * 0.06, y + side * 0.04, side * 1.12, side * 1.12}, 3, 0.0);
        cairo_stroke(doc->cr);
        letter(doc, (mdr_box){x, y + side * 0.10, side, side}, "!", 0.0);
        return;
    case MDR_SEV_NOTE:
        polygon(doc, (mdr_box){x + 0.5, y + 0.5, side - 1.0, side - 1.0}, 48, 0.0);
        cairo_stroke(doc->cr);
        letter(doc, box, "i", 0.0);
        return;
    }
}

void mdr_ink_caution(mdr_doc *doc, mdr_caution caution, double x, double y, double side)
{
    static const char *const LETTER[MDR_CAUTION_COUNT] = {[MDR_CAUTION_CORROSIVE_ALKALI] = "L",
                                                          [MDR_CAUTION_CORROSIVE_ACID] = "A",
                                                          [MDR_CAUTION_OXIDISER] = "O",
                                                          [MDR_CAUTION_REDUCER] = "R",
                                                          [MDR_CAUTION_DUST] = "D",
                                                          [MDR_CAUTION_SENSITISER] = "S",
                                                          [MDR_CAUTION_IRRITANT] = "I",
                                                          [MDR_CAUTION_FLAMMABLE] = "F",
                                                          [MDR_CAUTION_HOT_LIQUOR] = "H",
                                                          [MDR_CAUTION_PRESSURE] = "P",
                                                          [MDR_CAUTION_ROTATING] = "M"};
    if (doc->dry) {
        return;
    }
    const mdr_box box = {x, y, side, side};
    cairo_new_path(doc->cr);
    set_ink(doc, 0.0);
    polygon(doc, box, 4, 0.0);
    cairo_fill(doc->cr);
    letter(doc, (mdr_box){x, y + side * 0.11, side, side * 0.8}, LETTER[caution], 1.0);
}
