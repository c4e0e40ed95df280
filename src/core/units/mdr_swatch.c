#include "core/units/mdr_swatch.h"

#include <math.h>
#include <stddef.h>

/* White of [SRGB]: x 0.3127, y 0.3290, Y 1. */
static const double WHITE_X = 0.3127 / 0.3290;
static const double WHITE_Z = (1.0 - 0.3127 - 0.3290) / 0.3290;

/* [SRGB] XYZ -> linear RGB; four digits are all the standard prints. They take its own white only
 * to within 2e-4 of (1, 1, 1), so each channel is divided by what it makes of white: greys stay
 * grey. */
static const double RGB_OF_XYZ[3][3] = {
    {3.2406, -1.5372, -0.4986}, {-0.9689, 1.8758, 0.0415}, {0.0557, -0.2040, 1.0570}};

static const double GAMUT_SLACK = 5e-4; /* less over the edge is those four digits, no clip */

/* [CIE15] 8.2.1.2: inverse of f(t) = cbrt(t), with its straight part below (6/29)^3. */
static double lab_inverse(double f)
{
    const double knee = 6.0 / 29.0;
    return f > knee ? f * f * f : 3.0 * knee * knee * (f - 4.0 / 29.0);
}

/* [SRGB] transfer curve. */
static double encode(double linear)
{
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1.0 / 2.4) - 0.055;
}

static void put_byte(char *out, double linear)
{
    static const char HEX[] = "0123456789abcdef";
    /* written so that a NaN, from a colour beyond all numbers, ends as black */
    const double cut = linear > 0.0 ? (linear < 1.0 ? linear : 1.0) : 0.0;
    const int byte = (int)(encode(cut) * 255.0 + 0.5);
    out[0] = HEX[byte / 16];
    out[1] = HEX[byte % 16];
}

void mdr_swatch_hex(double lab_l, double lab_a, double lab_b, char out[8], bool *in_gamut)
{
    const bool known = isfinite(lab_l) && isfinite(lab_a) && isfinite(lab_b);
    const double fy = ((known ? lab_l : 53.585) + 16.0) / 116.0; /* L* 53.585 is #808080 */
    const double fx = fy + (known ? lab_a : 0.0) / 500.0;
    const double fz = fy - (known ? lab_b : 0.0) / 200.0;
    const double xyz[3] = {WHITE_X * lab_inverse(fx), lab_inverse(fy), WHITE_Z * lab_inverse(fz)};

    bool inside = known;
    out[0] = '#';
    for (int i = 0; i < 3; i++) {
        const double *m = RGB_OF_XYZ[i];
        const double white = m[0] * WHITE_X + m[1] + m[2] * WHITE_Z;
        const double linear = (m[0] * xyz[0] + m[1] * xyz[1] + m[2] * xyz[2]) / white;
        inside = inside && linear >= -GAMUT_SLACK && linear <= 1.0 + GAMUT_SLACK;
        put_byte(out + 1 + (size_t)i * 2, linear);
    }
    out[7] = '\0';
    if (in_gamut != NULL) {
        *in_gamut = inside;
    }
}
