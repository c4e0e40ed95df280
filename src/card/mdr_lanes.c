#include <stdio.h>

#include "card/mdr_chart.h"
#include "card/mdr_digits.h"
#include "card/mdr_words.h"

static const mdr_style LANE = {.size_pt = 7.0, .weight = 500, .ink = 0.2, .lines = 1};
static const mdr_style BATH = {.size_pt = 9.0, .weight = 700, .ink = 0.0, .lines = 1};
static const mdr_style NAME = {.size_pt = 7.5, .weight = 500, .ink = 0.0, .lines = 1};
static const mdr_style STEP = {.size_pt = 6.2, .weight = 500, .ink = 0.0, .lines = 1};
static const mdr_style TAG = {.size_pt = 6.2, .weight = 500, .ink = 0.0, .lines = 1};

static const double BATH_H = 15.0, STEP_H = 12.0, DOSE_H = 47.0, WEDGE_H = 22.0, CHECK_H = 19.0,
                    LEVEL_H = 30.0, TAG_H = 8.0;

static double figure(const mdr_chart *chart, mdr_fig_id id)
{
    return mdr_fig_value(&chart->plan->figs, id);
}

static void lane_name(const mdr_chart *chart, double baseline, const char *name)
{
    (void)mdr_text_base(chart->doc, &LANE, chart->x - 32.0, baseline, 31.0, name);
}

/* The box of a stretch of time in a lane. */
static mdr_box stretch(const mdr_chart *chart, mdr_fig_id start, mdr_fig_id end, double top,
                       double height)
{
    const double x1 = mdr_chart_x(chart, figure(chart, start));
    return (mdr_box){x1, top, mdr_chart_x(chart, figure(chart, end)) - x1, height};
}

static bool put_if_fits(const mdr_chart *chart, const mdr_style *style, mdr_box box,
                        const char *text)
{
    const double w = mdr_text_width(chart->doc, style, text, NULL);
    if (w > box.w) {
        return false;
    }
    (void)mdr_text_base(chart->doc, style, box.x, box.y, w + 2.0, text);
    return true;
}

static void bath_band(const mdr_chart *chart, const mdr_plan_bath *bath)
{
    const mdr_box box = stretch(chart, bath->start_min, bath->end_min, chart->bath_top, BATH_H);
    char number[16];
    (void)snprintf(number, sizeof number, "%d", bath->number);
    mdr_ink_fill(chart->doc, box, bath->number % 2 == 0 ? 0.93 : 0.80);
    mdr_ink_line(chart->doc, box.x, chart->temp_top, box.x, chart->axis_top, 0.5, 0.45);
    const double w = mdr_text_width(chart->doc, &BATH, number, NULL);
    const double baseline = box.y + 10.8;
    if (put_if_fits(chart, &BATH, (mdr_box){box.x + 2.5, baseline, box.w - 3.0, 0.0}, number)) {
        const mdr_box rest = {box.x + w + 6.0, baseline, box.w - w - 8.0, 0.0};
        (void)put_if_fits(chart, &NAME, rest, bath->asked->name);
    }
}

static void step_band(const mdr_chart *chart, const mdr_plan_step *step, int number)
{
    const mdr_box box = stretch(chart, step->start_min, step->end_min, chart->step_top, STEP_H);
    char text[80];
    mdr_ink_fill(chart->doc, box, number % 2 == 0 ? 1.0 : 0.90);
    mdr_ink_line(chart->doc, box.x, box.y, box.x, box.y + box.h, 0.3, 0.5);
    const mdr_box inside = {box.x + 1.2, box.y + 8.4, box.w - 1.6, 0.0};
    (void)snprintf(text, sizeof text, "%d %.60s", number, mdr_step_kind_words(step->asked->kind));
    if (!put_if_fits(chart, &STEP, inside, text)) {
        (void)snprintf(text, sizeof text, "%d", number);
        (void)put_if_fits(chart, &STEP, inside, text);
    }
}

void mdr_chart_bands(mdr_chart *chart)
{
    lane_name(chart, chart->bath_top + 10.5, "Bath");
    lane_name(chart, chart->step_top + 8.6, "Step");
    for (int b = 0; b < chart->plan->n_baths; b++) {
        const mdr_plan_bath *bath = &chart->plan->baths[b];
        bath_band(chart, bath);
        for (int s = 0; s < bath->n_steps; s++) {
            if (!bath->steps[s].beside) { /* those stand in the dose lane only */
                step_band(chart, &bath->steps[s], s + 1);
            }
        }
    }
    mdr_ink_frame(chart->doc, (mdr_box){chart->x, chart->bath_top, chart->width, BATH_H + STEP_H},
                  0.5, 0.3);
}

/* One box of a lane's label rows: the first row with room from the left edge of the mark. */
static bool put_tag(mdr_chart *chart, double x, double top, int rows, const char *text)
{
    const double w = mdr_text_width(chart->doc, &TAG, text, NULL);
    const double far = chart->x + chart->width - w - 1.0;
    const double left = x < far ? x : far;
    for (int row = 0; row < rows; row++) {
        const mdr_box box = {left - 1.0, top + row * TAG_H, w + 3.0, TAG_H};
        if (mdr_chart_take(chart, box)) {
            mdr_ink_fill(chart->doc, box, 1.0);
            (void)mdr_text_base(chart->doc, &TAG, left, box.y + 6.3, w + 2.0, text);
            return true;
        }
    }
    return false;
}

static double curve_temp(const mdr_plan *plan, double t_min)
{
    double temp = 20.0;
    for (int i = 0; i < plan->n_points && plan->curve[i].t_min <= t_min; i++) {
        temp = plan->curve[i].temp_c;
    }
    return temp;
}

static void wedge(const mdr_chart *chart, const mdr_plan_step *step, double base)
{
    enum { CUTS = 48 };
    cairo_t *cr = chart->doc->cr;
    const mdr_box box = stretch(chart, step->start_min, step->end_min, base - WEDGE_H, WEDGE_H);
    const double w = box.w > 1.0 ? box.w : 1.0; /* a dose at once is still a stroke */
    cairo_new_path(cr);
    cairo_move_to(cr, box.x, base);
    for (int i = 0; i <= CUTS; i++) {
        const double u = (double)i / CUTS;
        if (step->asked->curve == MDR_CURVE_PORTIONS && i > 0) {
            const double before = mdr_words_dose_share(step->asked, (double)(i - 1) / CUTS);
            cairo_line_to(cr, box.x + w * u, base - WEDGE_H * before);
        }
        cairo_line_to(cr, box.x + w * u, base - WEDGE_H * mdr_words_dose_share(step->asked, u));
    }
    cairo_line_to(cr, box.x + w, base);
    cairo_close_path(cr);
    cairo_set_source_rgb(cr, 0.72, 0.72, 0.72);
    cairo_fill_preserve(cr);
    cairo_set_source_rgb(cr, 0.0, 0.0, 0.0);
    cairo_set_line_width(cr, 0.7);
    cairo_stroke(cr);
}

/* From the dose up to the temperature it is given at. */
static void drop_line(const mdr_chart *chart, const mdr_plan_step *step)
{
    const double start = figure(chart, step->start_min);
    const double x = mdr_chart_x(chart, start);
    const double dashes[] = {1.2, 2.0};
    cairo_save(chart->doc->cr);
    cairo_set_dash(chart->doc->cr, dashes, 2, 0.0);
    mdr_ink_line(chart->doc, x, mdr_chart_y(chart, curve_temp(chart->plan, start + 0.01)), x,
                 chart->bath_top, 0.5, 0.35);
    cairo_restore(chart->doc->cr);
}

static void dose_tag(mdr_chart *chart, const mdr_plan_bath *bath, int s)
{
    const mdr_plan_step *step = &bath->steps[s];
    const double x = mdr_chart_x(chart, figure(chart, step->start_min));
    const char *number = mdr_doc_say(chart->doc, "%d.%d", bath->number, s + 1);
    if (step->n_items > 0) {
        char mass[MDR_DIGITS_MAX];
        double kg = 0.0;
        for (int i = 0; i < step->n_items; i++) {
            kg += figure(chart, step->items[i].mass_kg);
        }
        mdr_digits_mass_brief(mass, kg);
        const char *full =
            mdr_doc_say(chart->doc, "%s %s%s %s", number, step->items[0].material->name,
                        step->n_items > 1 ? " \u2026" : "", mass);
        if (put_tag(chart, x, chart->dose_top, 3, full) ||
            put_tag(chart, x, chart->dose_top, 3, mdr_doc_say(chart->doc, "%s %s", number, mass))) {
            return;
        }
    }
    (void)put_tag(chart, x, chart->dose_top, 3, number);
}

void mdr_chart_doses(mdr_chart *chart)
{
    const double base = chart->dose_top + DOSE_H;
    lane_name(chart, base - 7.0, "Dose");
    mdr_ink_line(chart->doc, chart->x, base, chart->x + chart->width, base, 0.6, 0.2);
    for (int b = 0; b < chart->plan->n_baths; b++) {
        const mdr_plan_bath *bath = &chart->plan->baths[b];
        for (int s = 0; s < bath->n_steps; s++) {
            if (bath->steps[s].asked->kind == MDR_STEP_DOSE) {
                wedge(chart, &bath->steps[s], base);
                drop_line(chart, &bath->steps[s]);
                dose_tag(chart, bath, s);
            }
        }
    }
}

static void diamond(const mdr_chart *chart, double x, double y, double half)
{
    cairo_t *cr = chart->doc->cr;
    cairo_new_path(cr);
    cairo_move_to(cr, x, y - half);
    cairo_line_to(cr, x + half, y);
    cairo_line_to(cr, x, y + half);
    cairo_line_to(cr, x - half, y);
    cairo_close_path(cr);
    cairo_set_source_rgb(cr, 0.0, 0.0, 0.0);
    cairo_fill(cr);
}

/* Its number always, its name when that ends before the next check. */
static void check_tag(mdr_chart *chart, const char *number, const char *name, double x, double next)
{
    const char *both = mdr_doc_say(chart->doc, "%s %s", number, name);
    const bool fits = x - 4.0 + mdr_text_width(chart->doc, &TAG, both, NULL) + 5.0 < next;
    (void)put_tag(chart, x - 4.0, chart->check_top, 1, fits ? both : number);
}

void mdr_chart_checks(mdr_chart *chart)
{
    const double middle = chart->check_top + CHECK_H - 5.0;
    double next = chart->x + chart->width + 4.0;
    lane_name(chart, middle + 2.4, "Check");
    for (int b = chart->plan->n_baths - 1; b >= 0; b--) {
        const mdr_plan_bath *bath = &chart->plan->baths[b];
        for (int s = bath->n_steps - 1; s >= 0; s--) {
            const mdr_plan_step *step = &bath->steps[s];
            if (step->asked->kind == MDR_STEP_CHECK) {
                const double x = mdr_chart_x(chart, figure(chart, step->start_min));
                diamond(chart, x, middle, 4.2);
                check_tag(chart, mdr_doc_say(chart->doc, "%d.%d", bath->number, s + 1),
                          mdr_check_words(step->asked->check.kind), x, next);
                next = x - 4.0;
            }
        }
    }
}

static double most_liquor(const mdr_plan *plan)
{
    double most = 1.0;
    for (int i = 0; i < plan->n_points; i++) {
        most = plan->curve[i].liquor_l > most ? plan->curve[i].liquor_l : most;
    }
    return most;
}

static void level_area(const mdr_chart *chart, double base, double scale)
{
    const mdr_plan *plan = chart->plan;
    cairo_t *cr = chart->doc->cr;
    if (plan->n_points == 0) {
        return;
    }
    cairo_new_path(cr);
    cairo_move_to(cr, mdr_chart_x(chart, plan->curve[0].t_min), base);
    for (int i = 0; i < plan->n_points; i++) {
        cairo_line_to(cr, mdr_chart_x(chart, plan->curve[i].t_min),
                      base - plan->curve[i].liquor_l * scale);
    }
    cairo_line_to(cr, mdr_chart_x(chart, plan->curve[plan->n_points - 1].t_min), base);
    cairo_close_path(cr);
    cairo_set_source_rgb(cr, 0.86, 0.86, 0.86);
    cairo_fill_preserve(cr);
    cairo_set_source_rgb(cr, 0.25, 0.25, 0.25);
    cairo_set_line_width(cr, 0.6);
    cairo_stroke(cr);
}

/* Where the bath stands nearly as high as it will: between its fill and its drain. */
static mdr_box full_stretch(const mdr_chart *chart, const mdr_plan_bath *bath)
{
    const double begin = figure(chart, bath->start_min), end = figure(chart, bath->end_min);
    const double enough = 0.9 * figure(chart, bath->final_l);
    double first = end, last = begin;
    for (int i = 0; i < chart->plan->n_points; i++) {
        const mdr_plan_point *p = &chart->plan->curve[i];
        if (p->t_min >= begin && p->t_min <= end && p->liquor_l >= enough) {
            first = p->t_min < first ? p->t_min : first;
            last = p->t_min > last ? p->t_min : last;
        }
    }
    const double x = mdr_chart_x(chart, first);
    return (mdr_box){x, 0.0, mdr_chart_x(chart, last) - x, 0.0};
}

void mdr_chart_level(mdr_chart *chart)
{
    const double base = chart->level_top + LEVEL_H, most = most_liquor(chart->plan);
    level_area(chart, base, (LEVEL_H - 2.0) / most);
    lane_name(chart, base - 12.0, "Level");
    mdr_ink_line(chart->doc, chart->x, base, chart->x + chart->width, base, 0.6, 0.2);
    for (int b = 0; b < chart->plan->n_baths; b++) {
        const mdr_plan_bath *bath = &chart->plan->baths[b];
        const mdr_box box = full_stretch(chart, bath);
        const double litres = figure(chart, bath->final_l);
        char text[MDR_DIGITS_MAX];
        mdr_digits_volume(text, litres);
        const double w = mdr_text_width(chart->doc, &STEP, text, NULL);
        if (w <= box.w && litres > 0.4 * most) { /* lower, the words would leave the area */
            (void)mdr_text_base(chart->doc, &STEP, box.x + (box.w - w) / 2.0, base - 6.0, w + 2.0,
                                text);
        }
    }
}
