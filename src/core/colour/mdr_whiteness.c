#include "core/colour/mdr_whiteness.h"

#include <math.h>
#include <stddef.h>

/* xn, yn as printed by [cie-15]; Cx, Cz by [astm-e313] */
typedef struct white {
    mdr_illuminant illuminant;
    mdr_observer observer;
    double x, y, cx, cz;
} white;

static const white WHITES[] = {
    {MDR_ILL_D65, MDR_OBSERVER_10, 0.3138, 0.3310, 1.3013, 1.1498},
    {MDR_ILL_D65, MDR_OBSERVER_2, 0.3127, 0.3290, 1.2985, 1.1335},
    {MDR_ILL_C, MDR_OBSERVER_10, 0.3104, 0.3191, 1.2871, 1.0781},
    {MDR_ILL_C, MDR_OBSERVER_2, 0.3101, 0.3161, 1.2769, 1.0592},
};

/* From memory: where whiteness and tint count. */
static const double LEAST_W = 40.0, TINT_LOW = -4.0, TINT_HIGH = 2.0;

static double most_w(double y)
{
    return 5.0 * y - 280.0;
}

static const white *white_of(mdr_illuminant illuminant, mdr_observer observer)
{
    for (size_t i = 0; i < sizeof WHITES / sizeof WHITES[0]; i++) {
        if (WHITES[i].illuminant == illuminant && WHITES[i].observer == observer) {
            return &WHITES[i];
        }
    }
    return NULL;
}

mdr_code mdr_whiteness_of(mdr_xyz xyz, mdr_illuminant illuminant, mdr_observer observer,
                          mdr_whiteness *out, mdr_err *err)
{
    const white *n = white_of(illuminant, observer);
    if (n == NULL) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, "illuminant", "whiteness is not defined for this light");
        mdr_err_value(err, "%s", mdr_illuminant_name(illuminant));
        mdr_err_allowed(err, "D65 or C");
        return rc;
    }
    if (!isfinite(xyz.x) || !isfinite(xyz.z) || !isfinite(xyz.y) || xyz.y <= 0.0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "y", "black has no whiteness");
        mdr_err_value(err, "%g", xyz.y);
        mdr_err_allowed(err, "above 0");
        return rc;
    }
    const double sum = xyz.x + xyz.y + xyz.z;
    const double dx = n->x - xyz.x / sum, dy = n->y - xyz.y / sum;
    const double by_x = observer == MDR_OBSERVER_10 ? 900.0 : 1000.0;
    out->whiteness = xyz.y + 800.0 * dx + 1700.0 * dy;
    out->tint = by_x * dx - 650.0 * dy;
    out->yellowness = 100.0 * (n->cx * xyz.x - n->cz * xyz.z) / xyz.y;
    out->too_grey = out->whiteness <= LEAST_W;
    out->too_strong = out->whiteness >= most_w(xyz.y);
    out->too_tinted = out->tint <= TINT_LOW || out->tint >= TINT_HIGH;
    return MDR_OK;
}

bool mdr_whiteness_counts(const mdr_whiteness *w)
{
    return !w->too_grey && !w->too_strong && !w->too_tinted;
}
