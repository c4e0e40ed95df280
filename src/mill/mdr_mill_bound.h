/*
 * mdr_mill_bound.h - statements with their parameters, for tables that are no master tables.
 *
 * Layer: mill, inside only.
 */
#ifndef MDR_MILL_BOUND_H
#define MDR_MILL_BOUND_H

#include "mill/mdr_mill_in.h"

/* One parameter: a text (NULL is stored as such) or a number. */
typedef struct mdr_bound {
    const char *text;
    int64_t number;
    bool is_number;
} mdr_bound;
#define MDR_BOUND_TEXT(value)   ((mdr_bound){.text = (value)})
#define MDR_BOUND_NUMBER(value) ((mdr_bound){.number = (value), .is_number = true})

typedef struct mdr_mill_call {
    const char *sql;
    mdr_bound at[12];
    int n;
} mdr_mill_call;

/* Prepared and bound; finalise it with sqlite3_finalize, also after an error. */
mdr_code mdr_mill_call_open(mdr_mill *mill, const mdr_mill_call *call, sqlite3_stmt **out,
                            mdr_err *err) MDR_MUST_CHECK;
/* Runs a statement without rows, aside: it does not count in mdr_mill_state. *changed (may be NULL):
 * rows touched. */
mdr_code mdr_mill_call_aside(mdr_mill *mill, const mdr_mill_call *call, int *changed,
                             mdr_err *err) MDR_MUST_CHECK;
/* A column as text in the arena; NULL is NULL, and so is want of memory (*ok becomes false). */
const char *mdr_mill_column_text(sqlite3_stmt *stmt, int column, mdr_arena *arena, bool *ok);

#endif
