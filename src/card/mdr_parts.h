/*
 * mdr_parts.h - the parts a batch card is made of; each adds its rows.
 * Layer: card, internal.
 */
#ifndef MDR_PARTS_H
#define MDR_PARTS_H

#include "card/mdr_rows.h"

/* Page 1: lot, shade, load, process curve, warnings, cautions. */
void mdr_part_cover(mdr_rows *rows, mdr_doc *doc);
void mdr_part_warnings(mdr_rows *rows, mdr_doc *doc);
/* One table a bath. */
void mdr_part_baths(mdr_rows *rows, mdr_doc *doc);
/* The setting sheet of the finishing line, on a page of its own; nothing without one. */
void mdr_part_finish(mdr_rows *rows, mdr_doc *doc);
/* The same by itself, with the lot above it; the plan has a finishing line. */
void mdr_part_settings(mdr_rows *rows, mdr_doc *doc);
/* Totals, finishing passes that nobody has reckoned, rolls. */
void mdr_part_closing(mdr_rows *rows, mdr_doc *doc);

/* Heading of a section, with a rule above. `what` is the text. */
double mdr_part_heading(mdr_doc *doc, const mdr_row *row, double y);
/* Lozenges and words of a set of cautions in one line; returns its height, 0 for none. */
double mdr_part_cautions(mdr_doc *doc, uint32_t cautions, double x, double y, double width);
/* Width between the margins. */
double mdr_part_width(const mdr_doc *doc);

#endif
