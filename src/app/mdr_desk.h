/*
 * mdr_desk.h - how answers are put together. Layer: app, inside only.
 */
#ifndef MDR_DESK_H
#define MDR_DESK_H

#include "app/mdr_answer.h"

/* An answer in the making. */
typedef struct mdr_desk {
    mdr_arena *arena;
    mdr_answer *a;
    const char *group, *group_label; /* for the next lines */
} mdr_desk;

/* An empty answer. */
mdr_code mdr_desk_open(mdr_desk *d, mdr_arena *arena, const char *question, const char *words,
                       mdr_err *err) MDR_MUST_CHECK;
/* Of the lines that follow; NULL: of none. */
void mdr_desk_group(mdr_desk *d, const char *key, const char *label);
void mdr_desk_number(mdr_desk *d, const char *key, const char *label, const char *unit,
                     double value);
void mdr_desk_text(mdr_desk *d, const char *key, const char *label, const char *text,
                   const char *words);
void mdr_desk_none(mdr_desk *d, const char *key, const char *label, const char *unit);
void mdr_desk_because(mdr_desk *d, const mdr_answer_why *why);
void mdr_desk_note(mdr_desk *d, const char *note);
/* Makes room for n_rows; cells are then written row by row. */
mdr_code mdr_desk_table(mdr_desk *d, const char *key, const char *label,
                        const mdr_answer_column *columns, int n_columns, int n_rows,
                        mdr_err *err) MDR_MUST_CHECK;
/* The same with words in some of its cells. */
mdr_code mdr_desk_table_of_words(mdr_desk *d, const char *key, const char *label,
                                 const mdr_answer_column *columns, int n_columns, int n_rows,
                                 mdr_err *err) MDR_MUST_CHECK;

#endif
