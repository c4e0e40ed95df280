#include "cli/mdr_show_sheet.h"

#include <math.h>
#include <stdio.h>

enum {
    TEXT_MOST = 28,
    BETWEEN = 2,
    LABEL_WIDTH = 34,
    INDENT = 8,
    COLUMNS_MAX = 24,
    TEXT_BYTES = 256
};

/* C0 and C1 control characters: bytes, or after 0xC2 in UTF-8. */
static bool is_control(const char *text, size_t at)
{
    const unsigned char here = (unsigned char)text[at];
    const unsigned char next = here == '\0' ? 0 : (unsigned char)text[at + 1];
    const unsigned char last = at == 0 ? 0 : (unsigned char)text[at - 1];
    return here < 0x20 || here == 0x7F || (here == 0xC2 && (next & 0xE0) == 0x80) ||
           (last == 0xC2 && (here & 0xE0) == 0x80);
}

/* Names come out of files: what is no plain character would steer the terminal. */
static const char *plain(const char *text, char out[TEXT_BYTES])
{
    size_t n = 0;
    for (; text[n] != '\0' && n + 1 < TEXT_BYTES; n++) {
        out[n] = text[n];
        if (is_control(text, n)) {
            out[n] = '?';
        }
    }
    while (n > 0 && text[n] != '\0' && ((unsigned char)text[n] & 0xC0) == 0x80) {
        n--; /* cut at a character's border */
    }
    out[n] = '\0';
    return n > 0 ? out : "-";
}

static const char *text_of(const mdr_cell *c, int decimals, char out[TEXT_BYTES])
{
    switch (c->kind) {
    case MDR_CELL_NONE:
        return "-";
    case MDR_CELL_NUMBER: {
        /* -0.00 says no more than 0.00 */
        const bool nothing = fabs(c->value) < 0.5 * pow(10.0, -decimals);
        (void)snprintf(out, TEXT_BYTES, "%.*f", decimals, nothing ? 0.0 : c->value);
        return out;
    }
    case MDR_CELL_TEXT:
    case MDR_CELL_FLAG:
        break;
    }
    return plain(c->words, out);
}

static void put_lines(const mdr_sheet *s)
{
    for (int i = 0; i < s->n_lines; i++) {
        char number[TEXT_BYTES];
        const mdr_sheet_line *line = &s->lines[i];
        const char *text = text_of(&line->cell, line->decimals, number);
        if (line->label == NULL) {
            continue;
        }
        (void)fputs("  ", stdout);
        mdr_text_pad(line->label, LABEL_WIDTH);
        (void)printf("  %s%s%s\n", text, line->unit[0] != '\0' ? " " : "", line->unit);
    }
}

/* How a column stands: columns of text to the left, of numbers to the right. */
typedef struct shape {
    int width;
    bool is_text;
} shape;

static shape shape_of(const mdr_sheet_table *t, int col)
{
    shape s = {mdr_text_columns(t->columns[col].label), false};
    for (int row = 0; row < t->n_rows; row++) {
        char number[TEXT_BYTES];
        const mdr_cell *c = &t->cells[row * t->n_columns + col];
        const int width = mdr_text_columns(text_of(c, t->columns[col].decimals, number));
        s.width = width > s.width ? width : s.width;
        s.is_text = s.is_text || c->kind == MDR_CELL_TEXT || c->kind == MDR_CELL_FLAG;
    }
    return s;
}

/* Only what stands in the document: a column without a label, or one that has nothing to show. */
static bool is_shown(const mdr_sheet_table *t, int col)
{
    if (t->columns[col].label == NULL) {
        return false;
    }
    for (int row = 0; row < t->n_rows; row++) {
        const mdr_cell *c = &t->cells[row * t->n_columns + col];
        if (c->kind == MDR_CELL_NUMBER || (c->kind != MDR_CELL_NONE && c->words[0] != '\0')) {
            return true;
        }
    }
    return false;
}

typedef struct layout {
    shape shape[COLUMNS_MAX];
    bool shown[COLUMNS_MAX];
    int last;
} layout;

/* Texts give way so that a row fits: each to TEXT_MOST, the last one to what is left. */
static void cut(layout *l)
{
    int used = 0;
    for (int col = 0; col <= l->last; col++) {
        shape *s = &l->shape[col];
        const int most = col == l->last ? MDR_TERM_WIDTH - BETWEEN - used : TEXT_MOST;
        s->width = s->is_text && s->width > most && most > 0 ? most : s->width;
        used += l->shown[col] ? BETWEEN + s->width : 0;
    }
}

static layout layout_of(const mdr_sheet_table *t)
{
    layout l = {.last = -1};
    for (int col = 0; col < t->n_columns && col < COLUMNS_MAX; col++) {
        l.shown[col] = is_shown(t, col);
        if (l.shown[col]) {
            l.shape[col] = shape_of(t, col);
            l.last = col;
        }
    }
    cut(&l);
    return l;
}

/* row below 0: the head. */
static void put_row(const mdr_sheet_table *t, const layout *l, int row)
{
    for (int col = 0; col <= l->last; col++) {
        char number[TEXT_BYTES];
        if (!l->shown[col]) {
            continue;
        }
        const shape *s = &l->shape[col];
        const char *text = row < 0 ? t->columns[col].label
                                   : text_of(&t->cells[row * t->n_columns + col],
                                             t->columns[col].decimals, number);
        (void)printf("%*s", BETWEEN, "");
        if (!s->is_text) {
            mdr_text_pad(text, -s->width);
        } else if (col == l->last) {
            mdr_text_cut(text, s->width);
        } else {
            mdr_text_pad(text, s->width);
        }
    }
    (void)puts("");
}

static void put_table(const mdr_sheet_table *t)
{
    if (t->label == NULL || t->n_rows == 0) {
        return;
    }
    const layout l = layout_of(t);
    (void)printf("\n  %s\n", t->label);
    for (int row = -1; row < t->n_rows; row++) {
        put_row(t, &l, row);
    }
}

static void put_notice(const mdr_err *e)
{
    char text[sizeof e->place + sizeof e->msg + sizeof e->value + 8];
    (void)snprintf(text, sizeof text, "%s%s%s%s%s%s", e->place, e->place[0] != '\0' ? ": " : "",
                   e->msg, e->value[0] != '\0' ? " (" : "", e->value,
                   e->value[0] != '\0' ? ")" : "");
    (void)fputs("  File  ", stdout);
    mdr_text_wrap(text, INDENT, MDR_TERM_WIDTH - INDENT);
}

static void put_words(const mdr_sheet *s)
{
    (void)puts("");
    if (s->n_whys > 0) {
        char text[512];
        const mdr_answer_why *w = s->whys[0];
        (void)snprintf(text, sizeof text, "%s: %s (%s; docs/methods/%s)", w->label, w->words,
                       w->source, w->anchor);
        (void)fputs("  Why   ", stdout);
        mdr_text_wrap(text, INDENT, MDR_TERM_WIDTH - INDENT);
    }
    for (int i = 0; i < s->n_notes; i++) {
        (void)fputs("  Note  ", stdout);
        mdr_text_wrap(s->notes[i], INDENT, MDR_TERM_WIDTH - INDENT);
    }
    for (int i = 0; i < s->notices.count; i++) {
        put_notice(&s->notices.items[i]);
    }
    if (s->notices.total > s->notices.count) {
        (void)printf("  File  ... and %ld more\n", s->notices.total - s->notices.count);
    }
}

void mdr_show_sheet(const mdr_sheet *s, const mdr_term *t)
{
    mdr_term_put(t, MDR_TINT_STRONG, s->words);
    (void)printf("  (%s)\n", s->caption);
    put_lines(s);
    for (int i = 0; i < s->n_tables; i++) {
        put_table(&s->tables[i]);
    }
    put_words(s);
}
