/* Putting sheets together, and writing them. */
#include "app/mdr_sheet.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>

#include "wire/mdr_json.h"

/* -- putting one together -- */

mdr_code mdr_sheet_new(mdr_arena *arena, const char *question, const char *words, mdr_sheet **out,
                       mdr_err *err)
{
    enum { NOTICES_MAX = 200 };
    mdr_sheet *s = MDR_NEW(arena, mdr_sheet);
    if (s == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the answer");
    }
    s->arena = arena;
    s->question = question;
    s->words = words;
    s->caption = "";
    s->notices = mdr_err_list_make(arena, NOTICES_MAX);
    *out = s;
    return MDR_OK;
}

mdr_cell mdr_cell_number(double value)
{
    return (mdr_cell){.kind = MDR_CELL_NUMBER, .value = value, .text = "", .words = ""};
}

mdr_cell mdr_cell_text(const char *text, const char *words)
{
    return (mdr_cell){.kind = MDR_CELL_TEXT, .text = text, .words = words};
}

mdr_cell mdr_cell_flag(bool value, const char *yes, const char *no)
{
    return (mdr_cell){
        .kind = MDR_CELL_FLAG, .value = value ? 1.0 : 0.0, .text = "", .words = value ? yes : no};
}

mdr_cell mdr_cell_none(void)
{
    return (mdr_cell){.kind = MDR_CELL_NONE, .text = "", .words = ""};
}

void mdr_sheet_line_put(mdr_sheet *s, const char *key, const char *label, const char *unit,
                        int decimals, mdr_cell cell)
{
    assert(s->n_lines < MDR_SHEET_LINES);
    s->lines[s->n_lines++] = (mdr_sheet_line){key, label, unit, cell, decimals};
}

const char *mdr_sheet_text(mdr_sheet *s, const char *fmt, ...)
{
    va_list ap, again;
    va_start(ap, fmt);
    va_copy(again, ap);
    const int len = vsnprintf(NULL, 0, fmt, ap);
    va_end(ap);
    const size_t size = len >= 0 ? (size_t)len + 1 : 1;
    char *text = mdr_arena_alloc(s->arena, size, 1);
    if (text != NULL) {
        (void)vsnprintf(text, size, fmt, again);
    }
    va_end(again);
    s->no_memory = s->no_memory || text == NULL;
    return text != NULL ? text : "";
}

mdr_sheet_table *mdr_sheet_table_open(mdr_sheet *s, const mdr_sheet_table *like)
{
    assert(s->n_tables < MDR_SHEET_TABLES && like->n_columns > 0 && like->n_rows >= 0);
    mdr_sheet_table *t = &s->tables[s->n_tables++];
    *t = *like;
    t->at = 0;
    t->cells = MDR_NEW_N(s->arena, mdr_cell, (size_t)like->n_columns * ((size_t)like->n_rows + 1));
    s->no_memory = s->no_memory || t->cells == NULL;
    return t;
}

void mdr_sheet_cell_put(mdr_sheet_table *t, mdr_cell cell)
{
    assert(t->at < t->n_rows * t->n_columns);
    if (t->cells != NULL) {
        t->cells[t->at++] = cell;
    }
}

mdr_code mdr_sheet_done(const mdr_sheet *s, mdr_err *err)
{
    return s->no_memory ? MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the answer") : MDR_OK;
}

void mdr_sheet_because(mdr_sheet *s, const mdr_answer_why *why)
{
    assert(s->n_whys < MDR_ANSWER_WHYS);
    s->whys[s->n_whys++] = why;
}

void mdr_sheet_note(mdr_sheet *s, const char *note)
{
    for (int i = 0; i < s->n_notes; i++) {
        if (s->notes[i] == note) {
            return;
        }
    }
    assert(s->n_notes < MDR_ANSWER_NOTES);
    s->notes[s->n_notes++] = note;
}

/* -- writing -- */

static void put_cell(mdr_json *j, const char *key, const mdr_cell *c)
{
    switch (c->kind) {
    case MDR_CELL_NONE:
        mdr_json_null(j, key);
        break;
    case MDR_CELL_NUMBER:
        mdr_json_number(j, key, c->value);
        break;
    case MDR_CELL_TEXT:
        mdr_json_text(j, key, c->text);
        break;
    case MDR_CELL_FLAG:
        mdr_json_bool(j, key, c->value != 0.0);
        break;
    }
}

static void put_table(mdr_json *j, const mdr_sheet_table *t)
{
    mdr_json_array(j, t->key);
    for (int row = 0; row < t->n_rows; row++) {
        mdr_json_object(j, NULL);
        for (int col = 0; col < t->n_columns; col++) {
            put_cell(j, t->columns[col].key, &t->cells[row * t->n_columns + col]);
        }
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

static void put_whys(mdr_json *j, const mdr_sheet *s)
{
    mdr_json_array(j, "why");
    for (int i = 0; i < s->n_whys; i++) {
        mdr_json_object(j, NULL);
        mdr_json_text(j, "label", s->whys[i]->label);
        mdr_json_text(j, "words", s->whys[i]->words);
        mdr_json_text(j, "source", s->whys[i]->source);
        mdr_json_text(j, "anchor", s->whys[i]->anchor);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

static void put_notices(mdr_json *j, const mdr_err_list *notices)
{
    mdr_json_array(j, "notices");
    for (int i = 0; i < notices->count; i++) {
        mdr_json_object(j, NULL);
        mdr_json_text(j, "message", notices->items[i].msg);
        mdr_json_text(j, "place", notices->items[i].place);
        mdr_json_text(j, "value", notices->items[i].value);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

mdr_code mdr_sheet_json(const mdr_sheet *s, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    enum { SHEET_BYTES = 8 * 1024 };
    mdr_json j = mdr_json_make(arena, SHEET_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_text(&j, "do", s->question);
    mdr_json_text(&j, "caption", s->caption);
    mdr_json_object(&j, "result");
    for (int i = 0; i < s->n_lines; i++) {
        put_cell(&j, s->lines[i].key, &s->lines[i].cell);
    }
    for (int i = 0; i < s->n_tables; i++) {
        put_table(&j, &s->tables[i]);
    }
    mdr_json_end_object(&j);
    put_whys(&j, s);
    mdr_json_array(&j, "notes");
    for (int i = 0; i < s->n_notes; i++) {
        mdr_json_text(&j, NULL, s->notes[i]);
    }
    mdr_json_end_array(&j);
    put_notices(&j, &s->notices);
    mdr_json_end_object(&j);
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}
