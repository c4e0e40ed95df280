#include "card/mdr_chart.h"

#include <math.h>
#include <stdio.h>

#include "card/mdr_digits.h"

/* The temperature panel runs a little below its lowest label, for cold water. */
static const double TEMP_LOW_C = 8.0, TEMP_HIGH_C = 144.0, TEMP_STEP_C = 20.0;
static const double GUTTER = 32.0; /* names of the lanes, numbers of the axis */
static const double TEMP_H = 214.0, BATH_H = 15.0, STEP_H = 12.0, DOSE_H = 47.0, CHECK_H = 19.0,
                    LEVEL_H = 30.0, AXIS_H = 13.0, GAP = 3.0;

static const mdr_style AXIS = {
    .size_pt = 7.0, .weight = 400, .ink = 0.2, .align = MDR_RIGHT, .lines = 1};
static const mdr_style CLOCK = {
    .size_pt = 7.0, .weight = 500, .ink = 0.0, .align = MDR_CENTRE, .lines = 1};
static const mdr_style HOLD = {.size_pt = 7.5, .weight = 700, .ink = 0.0, .lines = 1};
static const mdr_style RATE = {.size_pt = 6.5, .weight = 400, .ink = 0.2, .lines = 1};

double mdr_chart_x(const mdr_chart *chart, double t_min)
{
    return chart->x + chart->width * t_min / chart->end_min;
}

double mdr_chart_y(const mdr_chart *chart, double temp_c)
{
    const double c =
        temp_c < TEMP_LOW_C ? TEMP_LOW_C : (temp_c > TEMP_HIGH_C ? TEMP_HIGH_C : temp_c);
    return chart->temp_top + chart->temp_height * (TEMP_HIGH_C - c) / (TEMP_HIGH_C - TEMP_LOW_C);
}

static double figure(const mdr_chart *chart, mdr_fig_id id)
{
    return mdr_fig_value(&chart->plan->figs, id);
}

static void temp_grid(const mdr_chart *chart)
{
    char text[MDR_DIGITS_MAX];
    enum { LINES = 7 }; /* 20 to 140 degC */
    for (int i = 0; i < LINES; i++) {
        const double c = 20.0 + TEMP_STEP_C * i;
        const double y = mdr_chart_y(chart, c);
        mdr_ink_line(chart->doc, chart->x, y, chart->x + chart->width, y, 0.35, 0.75);
        mdr_digits_fixed(text, c, 0);
        (void)mdr_text_base(chart->doc, &AXIS, chart->x - GUTTER, y + 2.5, GUTTER - 5.0, text);
    }
    (void)mdr_text_base(chart->doc, &AXIS, chart->x - GUTTER, mdr_chart_y(chart, 128.0),
                        GUTTER - 5.0, "\u00b0C");
}

static double clock_step(const mdr_chart *chart)
{
    static const double STEPS[] = {5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 240.0};
    const double room = 26.0 / chart->width * chart->end_min; /* a label needs 26 pt */
    for (size_t i = 0; i < sizeof STEPS / sizeof STEPS[0]; i++) {
        if (STEPS[i] >= room) {
            return STEPS[i];
        }
    }
    return 480.0 * ceil(room / 480.0);
}

static void time_grid(const mdr_chart *chart)
{
    char text[MDR_DIGITS_MAX];
    const double step = clock_step(chart);
    for (int i = 0; i * step <= chart->end_min + 1e-9; i++) {
        const double x = mdr_chart_x(chart, i * step);
        mdr_ink_line(chart->doc, x, chart->temp_top, x, chart->axis_top + 2.0, 0.35, 0.75);
        mdr_digits_clock(text, i * step);
        (void)mdr_text_base(chart->doc, &CLOCK, x - 20.0, chart->axis_top + 9.5, 40.0, text);
    }
    (void)mdr_text_base(chart->doc, &AXIS, chart->x - GUTTER, chart->axis_top + 9.5, GUTTER - 12.0,
                        "h:mm");
}

static void temp_line(const mdr_chart *chart)
{
    cairo_t *cr = chart->doc->cr;
    if (chart->doc->dry || chart->plan->n_points == 0) {
        return;
    }
    cairo_new_path(cr);
    for (int i = 0; i < chart->plan->n_points; i++) {
        const mdr_plan_point *p = &chart->plan->curve[i];
        cairo_line_to(cr, mdr_chart_x(chart, p->t_min), mdr_chart_y(chart, p->temp_c));
    }
    cairo_set_source_rgb(cr, 0.0, 0.0, 0.0);
    cairo_set_line_width(cr, 1.9);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
    cairo_stroke(cr);
}

static bool on_curve(const mdr_chart *chart, mdr_box box)
{
    for (int i = 1; i < chart->plan->n_points; i++) {
        const mdr_plan_point *p = &chart->plan->curve[i - 1], *q = &chart->plan->curve[i];
        if (mdr_box_crossed(box, mdr_chart_x(chart, p->t_min), mdr_chart_y(chart, p->temp_c),
                            mdr_chart_x(chart, q->t_min), mdr_chart_y(chart, q->temp_c))) {
            return true;
        }
    }
    return false;
}

/* Sets the text with its middle at x, y when nothing is there. */
static bool try_label(mdr_chart *chart, const mdr_style *style, double x, double y,
                      const char *text)
{
    const double w = mdr_text_width(chart->doc, style, text, NULL), h = style->size_pt;
    const mdr_box box = {x - w / 2.0 - 1.0, y - h / 2.0, w + 2.0, h};
    const bool outside = box.x < chart->x || box.x + box.w > chart->x + chart->width ||
                         box.y < chart->temp_top ||
                         box.y + box.h > chart->temp_top + chart->temp_height;
    if (outside || on_curve(chart, box) || !mdr_chart_take(chart, box)) {
        return false;
    }
    mdr_ink_fill(chart->doc, box, 1.0);
    (void)mdr_text_base(chart->doc, style, x - w / 2.0, y + h * 0.36, w + 4.0, text);
    return true;
}

/* "98deg 60'": a hold's temperature and minutes, above its line, else below, else a line higher. */
static void hold_label(mdr_chart *chart, const mdr_plan_step *step)
{
    static const double AWAY[] = {-7.5, 8.5, -16.0};
    char temp[MDR_DIGITS_MAX], minutes[MDR_DIGITS_MAX], text[2 * MDR_DIGITS_MAX];
    const double c = figure(chart, step->temp_end_c);
    mdr_digits_fixed(temp, c, 0);
    mdr_digits_fixed(minutes, figure(chart, step->minutes), 0);
    (void)snprintf(text, sizeof text, "%.20s\u00b0 %.20s\u2032", temp, minutes);
    const double x =
        mdr_chart_x(chart, (figure(chart, step->start_min) + figure(chart, step->end_min)) / 2.0);
    for (size_t i = 0; i < sizeof AWAY / sizeof AWAY[0]; i++) {
        if (try_label(chart, &HOLD, x, mdr_chart_y(chart, c) + AWAY[i], text)) {
            return;
        }
    }
}

static void rate_label(mdr_chart *chart, const mdr_plan_step *step)
{
    char number[MDR_DIGITS_MAX], text[2 * MDR_DIGITS_MAX];
    const double from = figure(chart, step->temp_start_c), to = figure(chart, step->temp_end_c);
    const double minutes = figure(chart, step->minutes);
    if (!(minutes > 0.0) || fabs(to - from) < 5.0) {
        return;
    }
    mdr_digits_fixed(number, fabs(to - from) / minutes, 1);
    (void)snprintf(text, sizeof text, "%.20s\u00b0/\u2032", number);
    const double w = mdr_text_width(chart->doc, &RATE, text, NULL);
    const double x = mdr_chart_x(chart, figure(chart, step->start_min) + minutes / 2.0);
    const double y = mdr_chart_y(chart, (from + to) / 2.0);
    if (!try_label(chart, &RATE, x - w / 2.0 - 6.0, y, text)) {
        (void)try_label(chart, &RATE, x + w / 2.0 + 6.0, y, text);
    }
}

/* The longest holds first: where room is short they are what matters. */
static void temp_labels(mdr_chart *chart)
{
    static const double AT_LEAST[] = {40.0, 20.0, 10.0, 0.0};
    double below = (double)INFINITY;
    for (size_t pass = 0; pass < sizeof AT_LEAST / sizeof AT_LEAST[0]; pass++) {
        for (int b = 0; b < chart->plan->n_baths; b++) {
            const mdr_plan_bath *bath = &chart->plan->baths[b];
            for (int s = 0; s < bath->n_steps; s++) {
                const double minutes = figure(chart, bath->steps[s].minutes);
                if (bath->steps[s].asked->kind == MDR_STEP_HOLD && minutes >= AT_LEAST[pass] &&
                    minutes < below) {
                    hold_label(chart, &bath->steps[s]);
                }
            }
        }
        below = AT_LEAST[pass];
    }
    for (int b = 0; b < chart->plan->n_baths; b++) {
        const mdr_plan_bath *bath = &chart->plan->baths[b];
        for (int s = 0; s < bath->n_steps; s++) {
            const mdr_step_kind kind = bath->steps[s].asked->kind;
            if (kind == MDR_STEP_HEAT || kind == MDR_STEP_COOL) {
                rate_label(chart, &bath->steps[s]);
            }
        }
    }
}

static double place_lanes(mdr_chart *chart, double y)
{
    chart->temp_top = y;
    chart->temp_height = TEMP_H;
    chart->bath_top = y + TEMP_H;
    chart->step_top = chart->bath_top + BATH_H;
    chart->dose_top = chart->step_top + STEP_H + GAP;
    chart->check_top = chart->dose_top + DOSE_H + GAP;
    chart->level_top = chart->check_top + CHECK_H + GAP;
    chart->axis_top = chart->level_top + LEVEL_H;
    return chart->axis_top + AXIS_H - y;
}

double mdr_chart_draw(mdr_doc *doc, double x, double y, double width)
{
    mdr_chart chart = {.doc = doc, .plan = doc->plan, .x = x + GUTTER, .width = width - GUTTER};
    const double height = place_lanes(&chart, y);
    const double total = mdr_fig_value(&doc->plan->figs, doc->plan->total_min);
    chart.end_min = total > 1.0 ? total : 1.0;
    if (doc->dry) {
        return height;
    }
    time_grid(&chart);
    temp_grid(&chart);
    mdr_chart_bands(&chart);
    mdr_chart_level(&chart);
    mdr_chart_doses(&chart);
    mdr_chart_checks(&chart);
    temp_line(&chart);
    temp_labels(&chart);
    return height;
}
