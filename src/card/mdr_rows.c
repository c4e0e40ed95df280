#include "card/mdr_rows.h"

#include <string.h>

/* How much of a page may stay empty below a group so that the next one is in one piece. In one
 * piece it reads best; the first of these that makes the fewest pages is taken. */
static const double MAY_LEAVE[] = {1.0, 0.3, 0.2, 0.1, 0.0};

typedef struct place {
    const mdr_row *row;
    int page;
    double y;
    int part; /* of its group: 1, and 2 on when the group goes on on further pages */
    int parts;
} place;

/* Where the next row goes, and all that are placed so far. */
typedef struct layout {
    mdr_doc *doc;
    const mdr_rows *rows;
    place *places;
    double may_leave;
    int count;
    int page;
    int part;
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
    at->places[at->count++] = (place){row, at->page, at->y, at->part, 1};
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

/* The row that leads what row i is glued to; NULL when none does. */
static const mdr_row *lead_of(const mdr_row *rows, int begin, int i)
{
    for (int h = i - 1; h >= begin && rows[h].glue; h--) {
        if (rows[h].lead) {
            return &rows[h];
        }
    }
    return NULL;
}

/* The group goes on with row i on the next page, below its heads - unless they would leave no room
 * for it: names of hundreds of wide letters on a small slip. */
static void turn_page(layout *at, int begin, int i)
{
    const mdr_row *rows = at->rows->items;
    const mdr_row *lead = lead_of(rows, begin, i);
    double heads = lead != NULL ? lead->height : 0.0;
    for (int h = begin; h < i; h++) {
        heads += rows[h].head ? rows[h].height : 0.0;
    }
    next_page(at);
    at->part += i > begin;
    if (at->y + heads + rows[i].height > mdr_page_bottom(at->doc)) {
        return;
    }
    for (int h = begin; h < i; h++) {
        if (rows[h].head) {
            put(at, &rows[h]);
        }
    }
    if (lead != NULL) {
        put(at, lead);
    }
}

/* A group that is broken: row after row, its heads again on each further page. What is glued
 * stays together unless it is longer than a page. */
static void put_long(layout *at, int begin, int end)
{
    const mdr_row *rows = at->rows->items;
    const double bottom = mdr_page_bottom(at->doc);
    for (int i = begin; i < end;) {
        const bool fresh = at->y <= mdr_page_top(at->doc, at->page);
        if (!fresh && at->y + glued_height(at->rows, i, end) > bottom) {
            turn_page(at, begin, i);
        }
        bool on = true;
        while (on) {
            put(at, &rows[i]);
            on = rows[i].glue && i + 1 < end && at->y + rows[i + 1].height <= bottom;
            i++;
        }
    }
}

static void put_group(layout *at, int begin, int end)
{
    const mdr_row *rows = at->rows->items;
    const int first = at->count;
    at->part = 1;
    double need = 0.0;
    for (int i = begin; i < end; i++) {
        need += rows[i].height;
    }
    const double bottom = mdr_page_bottom(at->doc);
    const bool fresh = at->y <= mdr_page_top(at->doc, at->page);
    const bool wanted = rows[begin].begin == MDR_BEGIN_PAGE ||
                        (rows[begin].begin == MDR_BEGIN_AFTER_FIRST_PAGE && at->page == 1);
    const double top_next = mdr_page_top(at->doc, at->page + 1);
    const bool much_left = bottom - at->y > at->may_leave * (bottom - top_next);
    const bool better_next =
        at->y + need > bottom && top_next + need <= bottom && !much_left && !rows[begin].loose;
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
    for (int i = first; i < at->count; i++) {
        at->places[i].parts = at->part;
    }
}

static void lay_out(layout *at, double may_leave)
{
    const mdr_rows *rows = at->rows;
    at->may_leave = may_leave;
    at->count = 0;
    at->page = 1;
    at->y = mdr_page_top(at->doc, 1);
    for (int i = 0; i < rows->count;) {
        int end = i + 1;
        while (end < rows->count && rows->items[end].group == rows->items[i].group) {
            end++;
        }
        put_group(at, i, end);
        i = end;
    }
}

static void lay_out_best(layout *at)
{
    double best = MAY_LEAVE[0];
    int fewest = 0;
    for (size_t i = 0; i < sizeof MAY_LEAVE / sizeof MAY_LEAVE[0]; i++) {
        lay_out(at, MAY_LEAVE[i]);
        if (i == 0 || at->page < fewest) {
            fewest = at->page;
            best = MAY_LEAVE[i];
        }
    }
    lay_out(at, best);
}

static mdr_code measure(mdr_rows *rows, mdr_doc *doc, mdr_err *err)
{
    doc->dry = true;
    doc->part = doc->parts = 1;
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
            doc->part = at->places[i].part;
            doc->parts = at->places[i].parts;
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
    /* Each row that opens a page brings at most the three heads and one lead along. */
    layout at = {.doc = doc, .rows = rows};
    at.places = MDR_NEW_N(doc->arena, place, (size_t)rows->count * 5 + 5);
    if (at.places == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "document", "no memory left for the document");
    }
    lay_out_best(&at);
    doc->pages = at.page;
    draw_pages(&at);
    return MDR_OK;
}
