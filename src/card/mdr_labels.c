#include "card/mdr_chart.h"

bool mdr_box_overlap(mdr_box a, mdr_box b)
{
    return a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;
}

/* One side of the box: narrows the part [*in, *out] of the line that may lie inside. */
static bool clip(double delta, double room, double *in, double *out)
{
    if (delta == 0.0) {
        return room >= 0.0;
    }
    const double at = room / delta;
    if (delta < 0.0 && at > *in) {
        *in = at;
    } else if (delta > 0.0 && at < *out) {
        *out = at;
    }
    return *in <= *out;
}

/* Liang-Barsky: the line as a parameter 0..1, cut at the four sides. */
bool mdr_box_crossed(mdr_box box, double x1, double y1, double x2, double y2)
{
    double in = 0.0, out = 1.0;
    const double dx = x2 - x1, dy = y2 - y1;
    return clip(-dx, x1 - box.x, &in, &out) && clip(dx, box.x + box.w - x1, &in, &out) &&
           clip(-dy, y1 - box.y, &in, &out) && clip(dy, box.y + box.h - y1, &in, &out);
}

bool mdr_chart_take(mdr_chart *chart, mdr_box box)
{
    if (chart->n_taken == MDR_CHART_LABELS) {
        return false;
    }
    for (int i = 0; i < chart->n_taken; i++) {
        if (mdr_box_overlap(chart->taken[i], box)) {
            return false;
        }
    }
    chart->taken[chart->n_taken++] = box;
    return true;
}
