/* Putting answers together, and writing them. */
#include "app/mdr_answer.h"

#include <assert.h>
#include <string.h>

#include "app/mdr_desk.h"
#include "wire/mdr_json.h"

/* -- putting an answer together -- */

mdr_code mdr_desk_open(mdr_desk *d, mdr_arena *arena, const char *question, const char *words,
                       mdr_err *err)
{
    *d = (mdr_desk){.arena = arena, .a = MDR_NEW(arena, mdr_answer)};
    if (d->a == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the answer");
    }
    d->a->question = question;
    d->a->words = words;
    return MDR_OK;
}

static mdr_answer_line *next_line(mdr_desk *d, const char *key, const char *label)
{
    assert(d->a->n_lines < MDR_ANSWER_LINES);
    mdr_answer_line *line = &d->a->lines[d->a->n_lines++];
    *line = (mdr_answer_line){.group = d->group,
                              .group_label = d->group_label,
                              .key = key,
                              .label = label,
                              .unit = "",
                              .text = "",
                              .words = ""};
    return line;
}

void mdr_desk_group(mdr_desk *d, const char *key, const char *label)
{
    d->group = key;
    d->group_label = label;
}

void mdr_desk_number(mdr_desk *d, const char *key, const char *label, const char *unit,
                     double value)
{
    mdr_answer_line *line = next_line(d, key, label);
    line->kind = MDR_ANSWER_NUMBER;
    line->unit = unit;
    line->value = value;
}

void mdr_desk_text(mdr_desk *d, const char *key, const char *label, const char *text,
                   const char *words)
{
    mdr_answer_line *line = next_line(d, key, label);
    line->kind = MDR_ANSWER_TEXT;
    line->text = text;
    line->words = words;
}

void mdr_desk_none(mdr_desk *d, const char *key, const char *label, const char *unit)
{
    mdr_answer_line *line = next_line(d, key, label);
    line->kind = MDR_ANSWER_NONE;
    line->unit = unit;
}

void mdr_desk_because(mdr_desk *d, const mdr_answer_why *why)
{
    assert(d->a->n_whys < MDR_ANSWER_WHYS);
    d->a->whys[d->a->n_whys++] = why;
}

void mdr_desk_note(mdr_desk *d, const char *note)
{
    assert(d->a->n_notes < MDR_ANSWER_NOTES);
    d->a->notes[d->a->n_notes++] = note;
}

mdr_code mdr_desk_table(mdr_desk *d, const char *key, const char *label,
                        const mdr_answer_column *columns, int n_columns, int n_rows, mdr_err *err)
{
    assert(n_columns > 0 && n_columns <= MDR_ANSWER_COLUMNS && n_rows > 0);
    mdr_answer_table *t = &d->a->table;
    t->cells = MDR_NEW_N(d->arena, double, (size_t)n_rows *(size_t)n_columns);
    if (t->cells == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the answer");
    }
    t->key = key;
    t->label = label;
    t->n_columns = n_columns;
    t->n_rows = n_rows;
    memcpy(t->columns, columns, (size_t)n_columns * sizeof *columns);
    return MDR_OK;
}

mdr_code mdr_desk_table_of_words(mdr_desk *d, const char *key, const char *label,
                                 const mdr_answer_column *columns, int n_columns, int n_rows,
                                 mdr_err *err)
{
    MDR_TRY(mdr_desk_table(d, key, label, columns, n_columns, n_rows, err));
    mdr_answer_table *t = &d->a->table;
    t->texts = MDR_NEW_N(d->arena, mdr_answer_word, (size_t)n_rows * (size_t)n_columns);
    return t->texts != NULL ? MDR_OK : MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the answer");
}

/* -- writing -- */

static void put_line(mdr_json *j, const mdr_answer_line *line)
{
    switch (line->kind) {
    case MDR_ANSWER_NUMBER:
        mdr_json_number(j, line->key, line->value);
        break;
    case MDR_ANSWER_TEXT:
        mdr_json_text(j, line->key, line->text);
        break;
    case MDR_ANSWER_NONE:
        mdr_json_null(j, line->key);
        break;
    }
}

static bool same_group(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

static void put_lines(mdr_json *j, const mdr_answer *a)
{
    const char *group = NULL;
    for (int i = 0; i < a->n_lines; i++) {
        const mdr_answer_line *line = &a->lines[i];
        if (!same_group(group, line->group)) {
            if (group != NULL) {
                mdr_json_end_object(j);
            }
            if (line->group != NULL) {
                mdr_json_object(j, line->group);
            }
            group = line->group;
        }
        put_line(j, line);
    }
    if (group != NULL) {
        mdr_json_end_object(j);
    }
}

static void put_cell(mdr_json *j, const mdr_answer_table *t, const char *key, int at)
{
    if (t->texts != NULL && t->texts[at].text != NULL) {
        mdr_json_text(j, key, t->texts[at].text);
    } else {
        mdr_json_number(j, key, t->cells[at]);
    }
}

static void put_table(mdr_json *j, const mdr_answer_table *t)
{
    if (t->n_columns == 0) {
        return;
    }
    mdr_json_array(j, t->key);
    for (int row = 0; row < t->n_rows; row++) {
        mdr_json_object(j, NULL);
        for (int col = 0; col < t->n_columns; col++) {
            put_cell(j, t, t->columns[col].key, row * t->n_columns + col);
        }
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

static void put_whys(mdr_json *j, const mdr_answer *a)
{
    mdr_json_array(j, "why");
    for (int i = 0; i < a->n_whys; i++) {
        mdr_json_object(j, NULL);
        mdr_json_text(j, "label", a->whys[i]->label);
        mdr_json_text(j, "words", a->whys[i]->words);
        mdr_json_text(j, "source", a->whys[i]->source);
        mdr_json_text(j, "anchor", a->whys[i]->anchor);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

mdr_code mdr_answer_json(const mdr_answer *a, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    enum { ANSWER_BYTES = 4 * 1024 };
    mdr_json j = mdr_json_make(arena, ANSWER_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_text(&j, "do", a->question);
    mdr_json_object(&j, "result");
    put_lines(&j, a);
    put_table(&j, &a->table);
    if (a->has_uncertainty) {
        mdr_json_number(&j, "uncertainty_ph", a->uncertainty_ph);
    }
    mdr_json_end_object(&j);
    put_whys(&j, a);
    mdr_json_array(&j, "notes");
    for (int i = 0; i < a->n_notes; i++) {
        mdr_json_text(&j, NULL, a->notes[i]);
    }
    mdr_json_end_array(&j);
    if (a->put_more != NULL) {
        a->put_more(&j, a->more);
    }
    mdr_json_end_object(&j);
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}
