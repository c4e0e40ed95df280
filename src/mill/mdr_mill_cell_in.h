/*
 * mdr_mill_cell_in.h - what reading cells from CSV and from the database share.
 *
 * Layer: mill, inside only.
 */
#ifndef MDR_MILL_CELL_IN_H
#define MDR_MILL_CELL_IN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/mdr_err.h"
#include "mill/mdr_table.h"

/* A spreadsheet would compute it: it begins with = + - @, or with apostrophes before one. */
bool mdr_mill_is_formula(const char *text, size_t len);

/* Of a number column, in database units. */
int64_t mdr_mill_per_unit(const mdr_col *col);
int64_t mdr_mill_least(const mdr_col *col);
int64_t mdr_mill_most(const mdr_col *col);
mdr_code mdr_mill_check_range(const mdr_col *col, int64_t units, mdr_err *err) MDR_MUST_CHECK;
/* "0.1 to 5000 kilograms, or empty" */
void mdr_mill_range_words(const mdr_col *col, char *out, size_t size);

/* Ids with spaces between -> bits. */
mdr_code mdr_mill_read_set(const mdr_col *col, const char *text, size_t len, int64_t *out,
                           mdr_err *err) MDR_MUST_CHECK;

/* "2026-12-15" <-> UTC ms of its midnight, 2000-01-01 to 2099-12-31. */
enum { MDR_MILL_DATE_TEXT = 11, MDR_MILL_DAY_MS = 86400000 };
#define MDR_MILL_DATE_LEAST_MS INT64_C(946684800000)  /* 2000-01-01 */
#define MDR_MILL_DATE_MOST_MS  INT64_C(4102358400000) /* 2099-12-31 */
bool mdr_mill_date_read(const char *text, size_t len, int64_t *out);
void mdr_mill_date_write(int64_t utc_ms, char out[MDR_MILL_DATE_TEXT]);

#endif
