/*
 * mdr_chart_rules.h - the standard rules, looked for in the points of a chart. Layer: core/quality,
 * inside only; mdr_control_chart.h says which there are.
 */
#ifndef MDR_CHART_RULES_H
#define MDR_CHART_RULES_H

#include "core/quality/mdr_control_chart.h"

/* Limits in standard deviations, and the zones between them and the centre. */
#define MDR_CHART_LIMIT  3.0
#define MDR_CHART_ZONE_A 2.0
#define MDR_CHART_ZONE_B 1.0

/* Marks every point with the rules of c->rules that it completes, and counts them. A point without
 * value or left out ends every run. */
void mdr_chart_apply_rules(mdr_chart *c);

#endif
