#include "card/mdr_rows.h"

#include <string.h>

static const double BREAK_ROOM = 0.3; /* of a page; more room than that is used, not left */

typedef struct place {
    const mdr_row *row;
    int page;
    double y;
} place;

/* Where the next row goes, and all that are placed so far. */
typedef struct layout {
    mdr_doc *doc;
    const mdr_rows *rows;
    place *places;
    int count;
    int page;
    double y;
} layout;

mdr_row *mdr_rows_add(mdr_rows *rows, mdr_row_draw draw, const void *what, const void *in)
{
    static mdr_row lost;
    if (rows->count == rows->room) {
        const int bigger = rows->room == 0 ? 128 : rows->room * 2;
        mdr_row *more = MDR_NEW_N(rows->arena, mdr_row, (size_t)bigger);
        if (more == NULL) {
            rows->no_memory = true;
            return &lost;
        }
        if (rows->count > 0) {
            memcpy(more, rows->items, (size_t)rows->count * sizeof *more);
        }
        rows->items = more;
        rows->room = bigger;
    }
    mdr_row *row = &rows->items[rows->count++];
    *row = (mdr_row){.draw = draw, .what = what, .in = in, .group = rows->group};
    return row;
}

static void next_page(layout *at)
{
    at->page++;
    at->y = mdr_page_top(at->doc, at->page);
}

static void put(layout *at, const mdr_row *row)
{
    at->places[at->count++] = (place){row, at->page, at->y};
    at->y += row->height;
}

/* Height of row i and of everything glued below it. */
static double glued_height(const mdr_rows *rows, int i, int end)
{
    double height = rows->items[i].height;
    while (rows->items[i].glue && i + 1 < end) {
        height += rows->items[++i].height;
    }
    return height;
}

/* A group longer than a page: row after row, its heads again on each further page. */
static void put_long(layout *at, int begin, int end)
{
    const mdr_rows *rows = at->rows;
    for (int i = begin; i < end;) {
        if (at->y + glued_height(rows, i, end) > mdr_page_bottom(at->doc)) {
            next_page(at);
            for (int h = begin; h < i; h++) {
                if (rows->items[h].head) {
                    put(at, &rows->items[h]);
                }
            }
        }
        bool glue = true;
        while (glue && i < end) {
            glue = rows->items[i].glue;
            put(at, &rows->items[i++]);
        }
    }
}

static void put_group(layout *at, int begin, int end)
{
    const mdr_row *rows = at->rows->items;
    double need = 0.0;
    for (int i = begin; i < end; i++) {
        need += rows[i].height;
    }
    const double bottom = mdr_page_bottom(at->doc);
    const bool fresh = at->y <= mdr_page_top(at->doc, at->page);
    const bool wanted = rows[begin].begin == MDR_BEGIN_PAGE ||
                        (rows[begin].begin == MDR_BEGIN_AFTER_FIRST_PAGE && at->page == 1);
    /* A bath in one piece reads best, but not at the price of half an empty page. */
    const double top_next = mdr_page_top(at->doc, at->page + 1);
    const bool much_left = bottom - at->y > BREAK_ROOM * (bottom - top_next);
    const bool better_next = at->y + need > bottom && top_next + need <= bottom && !much_left;
    if (!fresh && (wanted || better_next)) {
        next_page(at);
    }
    if (at->y + need <= bottom) {
        for (int i = begin; i < end; i++) {
            put(at, &rows[i]);
        }
    } else {
        put_long(at, begin, end);
    }
}

static mdr_code measure(mdr_rows *rows, mdr_doc *doc, mdr_err *err)
{
    doc->dry = true;
    const double room = mdr_page_bottom(doc) - mdr_page_top(doc, 1);
    for (int i = 0; i < rows->count; i++) {
        mdr_row *row = &rows->items[i];
        row->height = row->draw(doc, row, 0.0);
        if (!(row->height <= room)) {
            return MDR_FAIL(err, MDR_E_RANGE, "document", "one row is %.0f pt high, a page %.0f pt",
                            row->height, room);
        }
    }
    return MDR_OK;
}

static void draw_pages(const layout *at)
{
    mdr_doc *doc = at->doc;
    doc->dry = false;
    for (int i = 0; i < at->count;) {
        doc->page = at->places[i].page;
        mdr_page_frame(doc);
        for (; i < at->count && at->places[i].page == doc->page; i++) {
            (void)at->places[i].row->draw(doc, at->places[i].row, at->places[i].y);
        }
        mdr_doc_show_page(doc);
    }
}

mdr_code mdr_rows_print(mdr_rows *rows, mdr_doc *doc, mdr_err *err)
{
    if (rows->no_memory) {
        return MDR_FAIL(err, MDR_E_NOMEM, "document", "no memory left for the document");
    }
    MDR_TRY(measure(rows, doc, err));
    /* Heads are repeated at most once for each row that opens a page: twice the rows is enough
     * as long as a group has no more heads than a page has other rows; each has at most three. */
    layout at = {.doc = doc, .rows = rows, .page = 1, .y = mdr_page_top(doc, 1)};
    at.places = MDR_NEW_N(doc->arena, place, (size_t)rows->count * 4 + 4);
    if (at.places == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "document", "no memory left for the document");
    }
    for (int i = 0; i < rows->count;) {
        int end = i + 1;
        while (end < rows->count && rows->items[end].group == rows->items[i].group) {
            end++;
        }
        put_group(&at, i, end);
        i = end;
    }
    doc->pages = at.page;
    draw_pages(&at);
    return MDR_OK;
}
