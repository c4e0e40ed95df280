/*
 * mdr_chart.h - the process curve: temperature over time, and under it lanes for baths, steps,
 * doses, checks and level on the same time axis.
 *
 * Layer: card, internal. Temperature axis fixed (20 to 140 degC), so that the shapes of two cards
 * compare. Labels are set most important first; one that would lie on another, or on the curve,
 * tries its other places and is then left out: the tables hold every number.
 */
#ifndef MDR_CHART_H
#define MDR_CHART_H

#include "card/mdr_doc.h"

enum { MDR_CHART_LABELS = 400 };

typedef struct mdr_chart {
    mdr_doc *doc;
    const mdr_plan *plan;
    double x, width, end_min;     /* the time axis */
    double temp_top, temp_height; /* the temperature panel */
    double bath_top, step_top, dose_top, check_top, level_top, axis_top;
    mdr_box taken[MDR_CHART_LABELS];
    int n_taken;
} mdr_chart;

double mdr_chart_x(const mdr_chart *chart, double t_min);
double mdr_chart_y(const mdr_chart *chart, double temp_c);
/* True, and taken from now on, when `box` overlaps nothing that is taken. */
bool mdr_chart_take(mdr_chart *chart, mdr_box box);
bool mdr_box_overlap(mdr_box a, mdr_box b);
/* Whether the line from (x1, y1) to (x2, y2) touches the box. */
bool mdr_box_crossed(mdr_box box, double x1, double y1, double x2, double y2);

void mdr_chart_bands(mdr_chart *chart);
void mdr_chart_doses(mdr_chart *chart);
void mdr_chart_checks(mdr_chart *chart);
void mdr_chart_level(mdr_chart *chart);

/* Draws the whole curve with its top left at x, y; returns its height. */
double mdr_chart_draw(mdr_doc *doc, double x, double y, double width);

#endif
