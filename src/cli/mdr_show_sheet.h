/*
 * mdr_show_sheet.h - an answer of several tables as text on a terminal. Layer: cli.
 */
#ifndef MDR_SHOW_SHEET_H
#define MDR_SHOW_SHEET_H

#include "app/mdr_sheet.h"
#include "cli/mdr_term.h"

void mdr_show_sheet(const mdr_sheet *s, const mdr_term *t);

#endif
