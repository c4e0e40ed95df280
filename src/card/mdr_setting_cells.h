/*
 * mdr_setting_cells.h - what is set on a pass of the finishing line and what is read behind it.
 * Layer: card, internal.
 */
#ifndef MDR_SETTING_CELLS_H
#define MDR_SETTING_CELLS_H

#include "core/plan/mdr_plan.h"

enum { MDR_SETTING_CELLS = 6 };

typedef struct mdr_setting_cell {
    const char *what, *unit;
    mdr_fig_id id; /* MDR_FIG_NONE: not on this pass */
    int decimals;
} mdr_setting_cell;

void mdr_setting_values(const mdr_plan_pass *pass, mdr_setting_cell out[MDR_SETTING_CELLS]);
void mdr_setting_readings(const mdr_plan_pass *pass, mdr_setting_cell out[MDR_SETTING_CELLS]);
/* The n-th of these that there is, or NULL. */
const mdr_setting_cell *mdr_setting_nth(const mdr_setting_cell *cells, int n);
/* Settings there are; lines of settings and readings side by side. */
int mdr_setting_count(const mdr_plan_pass *pass);
int mdr_setting_lines(const mdr_plan_pass *pass);

#endif
