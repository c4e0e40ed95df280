/*
 * mdr_csv.h - reads CSV text (RFC 4180) row by row.
 *
 * Layer: base. Commas between cells, quotes around cells that need them, doubled quotes inside,
 * lines ended by LF or CRLF, UTF-8 with or without its mark at the start. Beyond the standard:
 * the first line is the header, lines starting with '#' before it are comments, empty lines are
 * skipped, every row has as many cells as the header.
 * Cells point into the text where they can; only cells with doubled quotes are copied, so a
 * reader takes at most as much of the arena as the text is long.
 */
#ifndef MDR_CSV_H
#define MDR_CSV_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"

enum {
    MDR_CSV_BYTES_MAX = 32 * 1024 * 1024,
    MDR_CSV_ROWS_MAX = 100000,
    MDR_CSV_CELLS_MAX = 200,
    MDR_CSV_PLACE_NAME = 64 /* a longer file name is cut at its front in places */
};

typedef struct mdr_csv_cell {
    const char *text; /* not terminated */
    size_t len;
} mdr_csv_cell;

typedef struct mdr_csv {
    /* for the caller to read */
    char name[MDR_CSV_PLACE_NAME + 4]; /* of the file, as it stands in places */
    const mdr_csv_cell *header;
    int n_cells;         /* in the header and in every row */
    int header_line;     /* counted from 1 */
    mdr_csv_cell *cells; /* the row read last; overwritten by the next */
    int line;            /* where it starts */
    int rows;            /* read so far */
    bool broken;         /* reading cannot go on */
    /* the reader's own */
    const char *text;
    size_t len, at;
    int at_line;
    mdr_arena *arena;
} mdr_csv;

/* Checks the text as a whole and reads the header. `name` is for messages only; text and arena
 * must outlive *csv.
 *   errors  MDR_E_RANGE larger than 32 MiB; MDR_E_PARSE with place "NAME:LINE" */
mdr_code mdr_csv_open(mdr_csv *csv, const char *name, const char *text, size_t len,
                      mdr_arena *arena, mdr_err *err) MDR_MUST_CHECK;
/* The next row into csv->cells; *got is false after the last. After an error the next call goes
 * on with the row behind the faulty one, unless csv->broken. */
mdr_code mdr_csv_next(mdr_csv *csv, bool *got, mdr_err *err) MDR_MUST_CHECK;

#endif
