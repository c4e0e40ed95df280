/*
 * mdr_doc.h - a PDF document under way: its surface, its text, its ink.
 *
 * Layer: card, internal. Lengths are points (1/72 inch), y grows downwards. Everything is placed
 * twice by the same code: once dry (only measured, nothing drawn), once for real; so a page count
 * is known before the first page and a row can never be higher than was reckoned.
 * Text is shaped by pango: "Inter" where it has the letter, else what fontconfig offers; the
 * direction of a paragraph follows its first strong letter.
 * Out of memory inside cairo comes back as its status; glib itself ends the program.
 */
#ifndef MDR_DOC_H
#define MDR_DOC_H

#include <pango/pangocairo.h>
#include <stdbool.h>
#include <stddef.h>

#include "card/mdr_card.h"

#define MDR_MM (72.0 / 25.4)

/* A document larger than this is refused: no lot needs it, and a server must not be filled. */
enum { MDR_DOC_BYTES_MAX = 16 * 1024 * 1024 };

typedef struct mdr_sink_part mdr_sink_part;

/* Takes the bytes of the PDF as they come; in the arena. */
typedef struct mdr_sink {
    mdr_arena *arena;
    mdr_sink_part *first, *last;
    size_t len;
    bool no_memory, too_long;
} mdr_sink;

/* What stands on every page of a document that has no plan. */
typedef struct mdr_doc_about {
    const char *id, *words; /* large and small in the head from page 2 on */
    const char *place;      /* in the footer; "" when not known */
    bool invented;
} mdr_doc_about;

typedef struct mdr_doc {
    const mdr_plan *plan;       /* or NULL, then `about` is there */
    const mdr_doc_about *about; /* or NULL */
    const mdr_card_print *print;
    mdr_arena *arena;
    mdr_sink sink;
    cairo_surface_t *surface;
    cairo_t *cr;
    PangoContext *pango;
    double width, height, margin;
    bool dry;
    int page, pages;
    int part, parts;    /* of the group of rows that is drawn: 1 of 1 when it is in one piece */
    int unknown_glyphs; /* letters no font on this computer has */
    int wanted_glyphs;  /* of them, those met while measuring; known before page 1 */
    int cut_texts;      /* drawn with their end left out */
} mdr_doc;

/* The surface's size is fixed for all pages. `title` and `subject` go into the PDF's metadata. */
mdr_code mdr_doc_open(mdr_doc *doc, double width, double height, const char *title,
                      mdr_err *err) MDR_MUST_CHECK;
/* Ends the page that was drawn. */
void mdr_doc_show_page(mdr_doc *doc);
/* Writes the end of the file, gives back its bytes, frees everything. To be called once after a
 * successful open, also when something failed in between (`out` NULL: throw it away). */
mdr_code mdr_doc_close(mdr_doc *doc, unsigned char **out, size_t *len, mdr_err *err);

/* ---- text ---- */

typedef enum mdr_align { MDR_LEFT, MDR_CENTRE, MDR_RIGHT } mdr_align;

typedef struct mdr_style {
    double size_pt;
    int weight; /* PangoWeight: 400, 500, 600, 700 */
    double ink; /* 0 black .. 1 white */
    mdr_align align;
    int lines; /* at most; what does not fit ends in an ellipsis. 0: 12 */
    bool even; /* figures of equal width, for columns of numbers */
} mdr_style;

/* printf into the document's arena; "" when that is full, and the document then fails. */
const char *mdr_doc_say(mdr_doc *doc, const char *fmt, ...) MDR_PRINTF(2, 3);

/* The text with its numbers tied to their units: "10 min" is not parted by the end of a line. */
const char *mdr_doc_tied(mdr_doc *doc, const char *text);
/* Draws `text` with the top of its first line at y, wrapped within width; returns its height. */
double mdr_text(mdr_doc *doc, const mdr_style *style, double x, double y, double width,
                const char *text);
/* The same with the first baseline at y; returns how far it reaches below the baseline. */
double mdr_text_base(mdr_doc *doc, const mdr_style *style, double x, double baseline, double width,
                     const char *text);
/* The style, smaller (down to `least_pt`) when the text would be wider than `width` in it. */
mdr_style mdr_text_fit(mdr_doc *doc, const mdr_style *style, double least_pt, double width,
                       const char *text);
/* Width of the text in one line; the height goes to *height when not NULL. */
double mdr_text_width(mdr_doc *doc, const mdr_style *style, const char *text, double *height);

/* ---- ink ---- */

typedef struct mdr_box {
    double x, y, w, h;
} mdr_box;

void mdr_ink_line(mdr_doc *doc, double x1, double y1, double x2, double y2, double thick_pt,
                  double ink);
void mdr_ink_fill(mdr_doc *doc, mdr_box box, double ink);
void mdr_ink_frame(mdr_doc *doc, mdr_box box, double thick_pt, double ink);
/* A square to tick, with its top left corner at x, y. */
void mdr_ink_tick(mdr_doc *doc, double x, double y, double side);
/* A framed box with a small word at its top left: for a reading, initials, remarks. */
void mdr_ink_field(mdr_doc *doc, mdr_box box, const char *word);
/* Octagon with a bar, triangle with a mark, circle with a letter. */
void mdr_ink_severity(mdr_doc *doc, mdr_severity severity, double x, double y, double side);
/* Danger: a lozenge with a letter of its own. */
void mdr_ink_caution(mdr_doc *doc, mdr_caution caution, double x, double y, double side);
/* A QR code of `text`, level M, with its quiet zone of 4 modules, top left at x, y. */
void mdr_ink_qr(mdr_doc *doc, const char *text, double x, double y, double module_pt);
/* Side of that code with its quiet zone; 0 when the text is too long for a code. */
double mdr_ink_qr_side(const char *text, double module_pt);

/* ---- on every page ---- */

/* Banner of invented data (when the site is), page head from page 2 on, footer. */
void mdr_page_frame(mdr_doc *doc);
/* Where rows may stand on the page with this number. */
double mdr_page_top(const mdr_doc *doc, int page);
double mdr_page_bottom(const mdr_doc *doc);

#endif
