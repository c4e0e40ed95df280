/*
 * mdr_rows.h - what stands under each other on the pages of a document: measured, broken into
 * pages, drawn.
 *
 * Layer: card, internal. A row draws itself at a height and says how high it is; rows of one group
 * stay on one page when a page can hold them, unless parting some groups saves a page. The heads of
 * a parted group stand again on each further page; doc->part and doc->parts say where a row is.
 */
#ifndef MDR_ROWS_H
#define MDR_ROWS_H

#include "card/mdr_doc.h"

typedef struct mdr_row mdr_row;
/* Where a group may begin. */
typedef enum mdr_row_begin {
    MDR_BEGIN_HERE,
    MDR_BEGIN_AFTER_FIRST_PAGE,
    MDR_BEGIN_PAGE
} mdr_row_begin;
/* Draws the row with its top at y (nothing while doc->dry); returns its height, which may not
 * depend on doc->part and doc->parts: they are not known while it is measured. */
typedef double (*mdr_row_draw)(mdr_doc *doc, const mdr_row *row, double y);

struct mdr_row {
    mdr_row_draw draw;
    const void *what, *in; /* the draw function's own: what it shows, and what that is part of */
    int number;
    int group;
    bool head;           /* repeated when its group goes on on the next page */
    bool glue;           /* not parted from the row below, unless a page cannot hold both */
    bool lead;           /* repeated when what is glued below it goes on on the next page */
    bool loose;          /* its group: begins here and is parted where the page ends */
    mdr_row_begin begin; /* of its group */
    double height;       /* measured */
};

typedef struct mdr_rows {
    mdr_arena *arena;
    mdr_row *items;
    int count, room;
    int group; /* of the rows added now; the caller counts it up */
    bool no_memory;
} mdr_rows;

/* Adds a row to the present group; a row that is thrown away when the arena is full. */
mdr_row *mdr_rows_add(mdr_rows *rows, mdr_row_draw draw, const void *what, const void *in);
/* Measures, sets doc->pages, then draws every page with its frame.
 * errors: MDR_E_NOMEM; MDR_E_RANGE a row higher than a page */
mdr_code mdr_rows_print(mdr_rows *rows, mdr_doc *doc, mdr_err *err) MDR_MUST_CHECK;

#endif
