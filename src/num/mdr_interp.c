#include "num/mdr_interp.h"

#include <stddef.h>

#include "base/mdr_err.h"

int mdr_interp_band(const double *x, int n, int stride, double at)
{
    int low = 0, high = n - 1;
    /* written so that NaN stops too */
    if (n < 2 || !(at >= x[0] && at <= x[(size_t)high * (size_t)stride])) {
        MDR_UNREACHABLE();
    }
    while (high - low > 1) {
        const int middle = low + (high - low) / 2;
        if (at < x[(size_t)middle * (size_t)stride]) {
            high = middle;
        } else {
            low = middle;
        }
    }
    return low;
}

double mdr_interp_linear(const double *x, const double *y, int n, int stride, double at)
{
    const int low = mdr_interp_band(x, n, stride, at) * stride, high = low + stride;
    const double share = (at - x[low]) / (x[high] - x[low]);
    /* this form gives both end values exactly */
    return (1.0 - share) * y[low] + share * y[high];
}
