/*
 * mdr_lot_report_in.h - what the parts of the lot report share: styles, words of a row, its tables.
 *
 * Layer: card, internal.
 */
#ifndef MDR_LOT_REPORT_IN_H
#define MDR_LOT_REPORT_IN_H

#include "card/mdr_lot_report.h"
#include "card/mdr_parts.h"

static const double MDR_REPORT_LEAST_PT = 6.0;
static const mdr_style MDR_REPORT_LABEL = {.size_pt = 7.0, .weight = 400, .ink = 0.25, .lines = 1};
static const mdr_style MDR_REPORT_CELL = {.size_pt = 9.0, .weight = 400, .lines = 1};
static const mdr_style MDR_REPORT_LONG = {.size_pt = 9.0, .weight = 400, .lines = 12};

static inline const mdr_lot_report_print *mdr_report_of(const mdr_row *row)
{
    return row->in;
}

/* "12.5 kg" */
const char *mdr_report_amount(mdr_doc *doc, double value, int decimals, const char *unit);
/* Date and time of the mill; "" for 0. */
const char *mdr_report_when(mdr_doc *doc, const mdr_lot_report_print *p, int64_t utc_ms);
/* A group begins; labels_row NULL: without labels of columns. */
void mdr_report_heading(mdr_rows *rows, const char *text, mdr_row_draw labels_row);
/* All tables, those with nothing in them left out. */
void mdr_report_tables(mdr_rows *rows, const mdr_lot_report_print *p);

#endif
