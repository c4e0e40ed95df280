#include "core/colour/mdr_grey_scale.h"

#include <math.h>
#include <stddef.h>

#include "core/colour/mdr_difference.h"

const char *mdr_grey_name(int half_grades)
{
    static const char *const NAMES[] = {"1", "1-2", "2", "2-3", "3", "3-4", "4", "4-5", "5"};
    if (half_grades < MDR_GRADE_WORST || half_grades > MDR_GRADE_BEST) {
        MDR_UNREACHABLE();
    }
    return NAMES[half_grades - MDR_GRADE_WORST];
}

/* [iso-105-a05] the mean of two hues on the shorter way, and its pull towards 280 degree. */
static double blue_pull(double h1_deg, double h2_deg)
{
    double mean = 0.5 * (h1_deg + h2_deg);
    if (fabs(h1_deg - h2_deg) > 180.0) {
        mean += mean < 180.0 ? 180.0 : -180.0;
    }
    const double away = fabs(mean - 280.0);
    const double x = (away <= 180.0 ? away : 360.0 - away) / 30.0;
    return exp(-x * x);
}

/* [iso-105-a05] upper ends, not included, of the bands from 5 down to 1-2 */
static int change_band(double difference)
{
    static const double ENDS[] = {0.40, 1.25, 2.10, 2.95, 4.10, 5.80, 8.20, 11.60};
    int grade = MDR_GRADE_BEST;
    for (size_t i = 0; i < sizeof ENDS / sizeof ENDS[0] && difference >= ENDS[i]; i++) {
        grade--;
    }
    return grade;
}

mdr_grey_grade mdr_grey_change(mdr_lab original, mdr_lab tested)
{
    const mdr_difference_spec plain = mdr_difference_usual(MDR_DE_76);
    const mdr_difference d = mdr_difference_of(original, tested, &plain);
    const mdr_lch one = mdr_lch_of_lab(original), other = mdr_lch_of_lab(tested);
    const double mean_c = 0.5 * (one.c + other.c);
    const double shift = d.dc * mean_c * blue_pull(one.h_deg, other.h_deg) / 100.0;
    const double by_c = 20.0 * mean_c / 1000.0, by_h = 10.0 * mean_c / 1000.0;
    const double dc = (d.dc - shift) / (1.0 + by_c * by_c);
    const double dh = (d.dh - shift) / (1.0 + by_h * by_h);
    mdr_grey_grade g = {.difference = sqrt(d.dl * d.dl + dc * dc + dh * dh)};
    g.rating = g.difference <= 3.4 ? 5.0 - g.difference / 1.7 : 5.0 - log2(g.difference / 0.85);
    g.half_grades = change_band(g.difference);
    return g;
}

mdr_grey_grade mdr_grey_staining(mdr_lab undyed, mdr_lab stained)
{
    const double de = mdr_difference_76(undyed, stained);
    const double dl = stained.l - undyed.l;
    mdr_grey_grade g = {.difference = de - 0.4 * sqrt(fmax(de * de - dl * dl, 0.0))};
    const double near = 5.0 - 0.23 * g.difference;
    const double far = g.difference > 0.0 ? 6.1 - 1.45 * log(g.difference) : near;
    g.rating = far > 4.0 ? near : far;
    /* common practice: to the nearest half grade, from the middle upwards to the better one */
    const double halves = floor(2.0 * g.rating + 0.5);
    g.half_grades = (int)fmin(fmax(halves, MDR_GRADE_WORST), MDR_GRADE_BEST);
    return g;
}
