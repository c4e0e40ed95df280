#include "core/recipe/mdr_residual.h"

#include <math.h>
#include <string.h>

#include "core/recipe/mdr_residual_2000.h"

static const double GREY_CHROMA = 1e-9; /* as core/colour/mdr_difference.h */
static const double STEP = 1e-5;        /* of L*, a*, b*: curvature and rounding both leave 1e-6 */

mdr_residual_from mdr_residual_from_standard(mdr_lab standard, const mdr_difference_spec *spec)
{
    mdr_residual_from from = {.standard = standard,
                              .spec = *spec,
                              .chroma = sqrt(standard.a * standard.a + standard.b * standard.b)};
    double weigh[3];
    from.fixed = mdr_difference_fixed(standard, spec, weigh);
    if (from.fixed) {
        from.square_l = 1.0 / (weigh[0] * weigh[0]);
        from.square_c = 1.0 / (weigh[1] * weigh[1]);
        from.square_h = 1.0 / (weigh[2] * weigh[2]);
    }
    /* from a grey standard there is no difference in hue */
    from.square_h = from.chroma < GREY_CHROMA ? from.square_c : from.square_h;
    return from;
}

static void by_fixed_weights(const mdr_residual_from *from, mdr_lab sample, mdr_residual *out)
{
    const double dl = sample.l - from->standard.l, da = sample.a - from->standard.a;
    const double db = sample.b - from->standard.b;
    const double chroma = sqrt(sample.a * sample.a + sample.b * sample.b);
    const double dc = chroma - from->chroma;
    const double over = chroma > GREY_CHROMA ? 1.0 / chroma : 0.0;
    const double ua = sample.a * over, ub = sample.b * over;
    const double h = from->square_h, more = from->square_c - from->square_h;
    /* across u; below 0 only where chroma weighs more than hue and the sample is much greyer */
    const double across = fmax(h + more * dc * over, 0.0), along = from->square_c - across;
    out->square = from->square_l * dl * dl + h * (da * da + db * db) + more * dc * dc;
    out->slope[0] = from->square_l * dl;
    out->slope[1] = h * da + more * dc * ua;
    out->slope[2] = h * db + more * dc * ub;
    memset(out->curve, 0, sizeof out->curve);
    out->curve[0][0] = from->square_l;
    out->curve[1][1] = across + along * ua * ua;
    out->curve[2][2] = across + along * ub * ub;
    out->curve[1][2] = out->curve[2][1] = along * ua * ub;
}

static void parts(const mdr_residual_from *from, mdr_lab sample, double r[3])
{
    const mdr_difference d = mdr_difference_of(from->standard, sample, &from->spec);
    const double half = 0.5 * d.rotation;
    r[0] = d.wl;
    r[1] = d.wc + half * d.wh;
    r[2] = sqrt(1.0 - half * half) * d.wh;
}

static void by_steps(const mdr_residual_from *from, mdr_lab sample, mdr_residual *out)
{
    const mdr_lab at[3] = {{sample.l + STEP, sample.a, sample.b},
                           {sample.l, sample.a + STEP, sample.b},
                           {sample.l, sample.a, sample.b + STEP}};
    double r[3], j[3][3];
    parts(from, sample, r);
    for (int k = 0; k < 3; k++) {
        double next[3];
        parts(from, at[k], next);
        for (int i = 0; i < 3; i++) {
            j[i][k] = (next[i] - r[i]) / STEP;
        }
    }
    out->square = r[0] * r[0] + r[1] * r[1] + r[2] * r[2];
    for (int k = 0; k < 3; k++) {
        out->slope[k] = r[0] * j[0][k] + r[1] * j[1][k] + r[2] * j[2][k];
        for (int m = 0; m < 3; m++) {
            out->curve[k][m] = j[0][k] * j[0][m] + j[1][k] * j[1][m] + j[2][k] * j[2][m];
        }
    }
}

void mdr_residual_to(const mdr_residual_from *from, mdr_lab sample, mdr_residual *out)
{
    if (from->fixed) {
        by_fixed_weights(from, sample, out);
    } else if (from->spec.formula == MDR_DE_2000) {
        mdr_residual_2000(from->standard, sample, &from->spec, out);
    } else {
        by_steps(from, sample, out);
    }
}
