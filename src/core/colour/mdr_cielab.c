#include "core/colour/mdr_cielab.h"

#include <math.h>

/* [cie-15] 8.2.1.1 */
static const double KNEE = (24.0 / 116.0) * (24.0 / 116.0) * (24.0 / 116.0);
static const double SLOPE = 841.0 / 108.0;
static const double OFFSET = 16.0 / 116.0;

static const double DEG_OF_RAD = 57.295779513082320877; /* 180 / pi */
static const double GRID_SLACK = 1e-9;                  /* invented: nm */

static mdr_xyz sum_up(const double *v, const double *x, const double *y, const double *z, int n)
{
    mdr_xyz sum = {0.0, 0.0, 0.0};
    for (int i = 0; i < n; i++) {
        sum.x += v[i] * x[i];
        sum.y += v[i] * y[i];
        sum.z += v[i] * z[i];
    }
    return sum;
}

mdr_xyz mdr_xyz_of_curve(const mdr_curve *c, const mdr_weights *w)
{
    return sum_up(c->v, w->x, w->y, w->z, MDR_BANDS);
}

mdr_xyz mdr_white_of(const mdr_weights *w)
{
    return (mdr_xyz){w->white_x, w->white_y, w->white_z};
}

mdr_xyz mdr_white_of_grid(const mdr_grid_weights *w)
{
    return (mdr_xyz){w->white_x, w->white_y, w->white_z};
}

mdr_code mdr_xyz_of_spectrum(const mdr_spectrum *s, const mdr_grid_weights *w, mdr_xyz *out,
                             mdr_err *err)
{
    if (s->n != w->n || fabs(s->start_nm - w->start_nm) > GRID_SLACK ||
        fabs(s->step_nm - w->step_nm) > GRID_SLACK) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "spectrum",
                                     "the weights were made for other wavelengths");
        mdr_err_value(err, "%d values, %g nm, every %g nm", s->n, s->start_nm, s->step_nm);
        mdr_err_allowed(err, "%d values, %g nm, every %g nm", w->n, w->start_nm, w->step_nm);
        return rc;
    }
    *out = sum_up(s->v, w->x, w->y, w->z, s->n);
    return MDR_OK;
}

static double compress(double t)
{
    return t > KNEE ? cbrt(t) : SLOPE * t + OFFSET;
}

static double expand(double f)
{
    return f > 24.0 / 116.0 ? f * f * f : (f - OFFSET) / SLOPE;
}

mdr_lab mdr_lab_of_xyz(mdr_xyz xyz, mdr_xyz white)
{
    const double fx = compress(xyz.x / white.x);
    const double fy = compress(xyz.y / white.y);
    const double fz = compress(xyz.z / white.z);
    return (mdr_lab){116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)};
}

mdr_xyz mdr_xyz_of_lab(mdr_lab lab, mdr_xyz white)
{
    const double fy = (lab.l + 16.0) / 116.0;
    return (mdr_xyz){white.x * expand(fy + lab.a / 500.0), white.y * expand(fy),
                     white.z * expand(fy - lab.b / 200.0)};
}

mdr_lab mdr_lab_of_curve(const mdr_curve *c, const mdr_weights *w)
{
    return mdr_lab_of_xyz(mdr_xyz_of_curve(c, w), mdr_white_of(w));
}

mdr_lab mdr_lab_of_spectrum(const mdr_spectrum *s, mdr_illuminant illuminant, mdr_observer observer)
{
    mdr_grid_weights w;
    mdr_grid_weights_of(illuminant, observer, s, &w);
    return mdr_lab_of_xyz(sum_up(s->v, w.x, w.y, w.z, s->n), mdr_white_of_grid(&w));
}

double mdr_hue_deg(double a, double b)
{
    const double h_deg = atan2(b, a) * DEG_OF_RAD;
    if (h_deg >= 0.0) {
        return h_deg;
    }
    /* a hair below 0 would round up to 360, which is 0 */
    return h_deg + 360.0 < 360.0 ? h_deg + 360.0 : 0.0;
}

mdr_lch mdr_lch_of_lab(mdr_lab lab)
{
    return (mdr_lch){lab.l, hypot(lab.a, lab.b), mdr_hue_deg(lab.a, lab.b)};
}

mdr_lab mdr_lab_of_lch(mdr_lch lch)
{
    const double h_rad = lch.h_deg / DEG_OF_RAD;
    return (mdr_lab){lch.l, lch.c * cos(h_rad), lch.c * sin(h_rad)};
}
