#include "core/knit/mdr_inspect.h"

#include <math.h>

static const double CM2_PER_M2 = 1e4;
static const double YD2_IN_INCH_YD = 3600.0; /* 100 yd2 x 36 inch/yd */
static const double M2_IN_MM_M = 1e5;        /* 100 m2 x 1000 mm/m */
static const double AT_MAX = 1e6;            /* invented: no piece is as long */

enum { CLASSES = 3 };

/* [astm-d5430]; the metric classes from memory */
static const double INCH_UP_TO[CLASSES] = {3.0, 6.0, 9.0};
static const double MM_UP_TO[CLASSES] = {75.0, 150.0, 230.0};
static const double SMALL_HOLE_INCH = 1.0, SMALL_HOLE_MM = 25.0;
enum { SMALL_HOLE_POINTS = 2 };

double mdr_inspect_change_pct(double before_cm, double after_cm)
{
    return 100.0 * (after_cm - before_cm) / before_cm;
}

double mdr_inspect_residual_pct(double shrink_pct, double ratio)
{
    return 100.0 - (100.0 - shrink_pct) / ratio;
}

double mdr_inspect_gsm_after(double gsm, double length_ratio, double width_ratio)
{
    return gsm / (length_ratio * width_ratio);
}

double mdr_inspect_gsm_of_sample(double mass_g, double area_cm2)
{
    return mass_g * CM2_PER_M2 / area_cm2;
}

double mdr_inspect_bow_pct(double distance_cm, double width_cm)
{
    return 100.0 * distance_cm / width_cm;
}

double mdr_inspect_skew_pct(double ac_cm, double bd_cm)
{
    return 200.0 * (ac_cm - bd_cm) / (ac_cm + bd_cm);
}

int mdr_inspect_points(mdr_inspect_unit unit, double length, bool hole)
{
    const bool inch = unit == MDR_INSPECT_INCH;
    if (!(length > 0.0)) {
        return 0;
    }
    if (hole) {
        const double small = inch ? SMALL_HOLE_INCH : SMALL_HOLE_MM;
        return length <= small ? SMALL_HOLE_POINTS : MDR_INSPECT_POINTS_MAX;
    }
    const double *up_to = inch ? INCH_UP_TO : MM_UP_TO;
    int points = 1;
    while (points <= CLASSES && length > up_to[points - 1]) {
        points++;
    }
    return points;
}

static mdr_code refuse(mdr_err *err, int i, const char *field, double value, const char *allowed)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, field, "not a possible defect");
    mdr_err_within(err, "defects[%d]", i);
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    mdr_err_remedy(err, "read the inspection sheet again");
    return rc;
}

static mdr_code check(const mdr_inspect_defect *defects, int n, mdr_err *err)
{
    if (n < 0 || n > MDR_INSPECT_DEFECTS_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "defects", "too many defects for one piece");
        mdr_err_value(err, "%d", n);
        mdr_err_allowed(err, "0 to %d", MDR_INSPECT_DEFECTS_MAX);
        mdr_err_remedy(err, "give each piece its own list");
        return rc;
    }
    for (int i = 0; i < n; i++) {
        if (!(defects[i].at >= 0.0 && defects[i].at <= AT_MAX)) {
            return refuse(err, i, "at", defects[i].at, "0 to 1e6");
        }
        if (!(defects[i].length > 0.0 && isfinite(defects[i].length))) {
            return refuse(err, i, "length", defects[i].length, "more than 0");
        }
    }
    return MDR_OK;
}

static int points_of(mdr_inspect_unit unit, const mdr_inspect_defect *d)
{
    return mdr_inspect_points(unit, d->length, d->hole);
}

/* Points of the yard that defect i is the first to name; 0 when another came before it. */
static int yard_of(mdr_inspect_unit unit, const mdr_inspect_defect *defects, int n, int i)
{
    const double yard = floor(defects[i].at);
    for (int j = 0; j < i; j++) {
        if (floor(defects[j].at) == yard) {
            return 0;
        }
    }
    int points = 0;
    for (int j = i; j < n; j++) {
        points += floor(defects[j].at) == yard ? points_of(unit, &defects[j]) : 0;
    }
    return points < MDR_INSPECT_POINTS_MAX ? points : MDR_INSPECT_POINTS_MAX;
}

mdr_code mdr_inspect_total(mdr_inspect_unit unit, const mdr_inspect_defect *defects, int n,
                           int *points, mdr_err *err)
{
    MDR_TRY(check(defects, n, err));
    int total = 0;
    for (int i = 0; i < n; i++) {
        total += yard_of(unit, defects, n, i);
    }
    *points = total;
    return MDR_OK;
}

double mdr_inspect_per_100_yd2(double points, double length_yd, double width_inch)
{
    return YD2_IN_INCH_YD * points / (length_yd * width_inch);
}

double mdr_inspect_per_100_m2(double points, double length_m, double width_mm)
{
    return M2_IN_MM_M * points / (length_m * width_mm);
}

bool mdr_inspect_passes(double points_per_100, double limit_per_100)
{
    return points_per_100 <= limit_per_100;
}
