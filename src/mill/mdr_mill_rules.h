/*
 * mdr_mill_rules.h - rules between the columns of one row, for import and for check.
 *
 * Layer: mill, inside only. The schema holds the same rules; here they get words.
 */
#ifndef MDR_MILL_RULES_H
#define MDR_MILL_RULES_H

#include "mill/mdr_mill_cell.h"

/* Takes a fault: place is the name of the column. */
typedef struct mdr_mill_sink {
    void (*take)(void *context, mdr_err *fault);
    void *context;
} mdr_mill_sink;

/* `cells` in the order of the descriptor. Cells marked `bad` take part in no rule. */
void mdr_mill_rules(const mdr_table *table, const mdr_mill_cell *cells, mdr_mill_sink sink);

#endif
