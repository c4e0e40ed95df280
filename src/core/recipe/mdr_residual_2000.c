#include "core/recipe/mdr_residual_2000.h"

#include <math.h>
#include <stdbool.h>

static const double DEG_OF_RAD = 57.295779513082320877; /* 180 / pi */
static const double TURN_DEG = 360.0;
static const double GREY_BELOW = 1e-9, TIE_WITHIN_DEG = 1e-9; /* as core/colour/mdr_difference.c */
static const double POW_25_7 = 6103515625.0;

/* A number with its slopes with a* and with b* of the sample, and theirs. */
typedef struct sloped {
    double v, a, b, aa, ab, bb;
} sloped;

/* f(x) with df/dx and d2f/dx2 */
static inline sloped through(double value, double rate, double bend, sloped x)
{
    return (sloped){value,
                    rate * x.a,
                    rate * x.b,
                    rate * x.aa + bend * x.a * x.a,
                    rate * x.ab + bend * x.a * x.b,
                    rate * x.bb + bend * x.b * x.b};
}

static inline sloped constant(double v)
{
    return (sloped){v, 0.0, 0.0, 0.0, 0.0, 0.0};
}

static inline sloped sum(double p, sloped x, double q, sloped y)
{
    return (sloped){p * x.v + q * y.v,   p * x.a + q * y.a,   p * x.b + q * y.b,
                    p * x.aa + q * y.aa, p * x.ab + q * y.ab, p * x.bb + q * y.bb};
}

static inline sloped times(sloped x, sloped y)
{
    return (sloped){x.v * y.v,
                    x.a * y.v + x.v * y.a,
                    x.b * y.v + x.v * y.b,
                    x.aa * y.v + 2.0 * x.a * y.a + x.v * y.aa,
                    x.ab * y.v + x.a * y.b + x.b * y.a + x.v * y.ab,
                    x.bb * y.v + 2.0 * x.b * y.b + x.v * y.bb};
}

static inline sloped over(sloped x, sloped y)
{
    const double one = 1.0 / y.v;
    return times(x, through(one, -one * one, 2.0 * one * one * one, y));
}

/* Of 0 the slope is taken as 0: nothing else is finite there. */
static inline sloped root(sloped x)
{
    const double v = sqrt(x.v), half = v > 0.0 ? 0.5 / v : 0.0;
    return through(v, half, v > 0.0 ? -0.5 * half / x.v : 0.0, x);
}

static inline sloped length(sloped x, sloped y)
{
    return root(sum(1.0, times(x, x), 1.0, times(y, y)));
}

/* sqrt(c^7 / (c^7 + 25^7)); its logarithm has the slope 3.5 k / c, k = 25^7 / (c^7 + 25^7), and k the
 * slope -7 k (1 - k) / c */
static sloped of_seventh(sloped c)
{
    const double c2 = c.v * c.v, c7 = c2 * c2 * c2 * c.v;
    const double k = POW_25_7 / (c7 + POW_25_7), v = sqrt(c7 / (c7 + POW_25_7));
    const double one = c.v > 0.0 ? 1.0 / c.v : 0.0;
    const double lean = 3.5 * k * one;
    return through(v, v * lean, v * (lean * lean - 7.0 * lean * (1.0 - k) * one - lean * one), c);
}

/* 0 to 360 degrees; a hair below 360 is 0 as in the difference itself. The slope is that of
 * atan(y / x), turned so that it does not divide by a small number. */
static sloped hue_deg(sloped x, sloped y, double chroma)
{
    if (chroma < GREY_BELOW) {
        return constant(0.0);
    }
    const double deg = atan2(y.v, x.v) * DEG_OF_RAD;
    const double turned = deg < 0.0 ? deg + TURN_DEG : deg;
    const bool steep = fabs(y.v) > fabs(x.v);
    const sloped t = steep ? over(x, y) : over(y, x);
    const double inner = 1.0 / (1.0 + t.v * t.v), sign = steep ? -DEG_OF_RAD : DEG_OF_RAD;
    return through(turned < TURN_DEG - TIE_WITHIN_DEG ? turned : 0.0, sign * inner,
                   -2.0 * sign * t.v * inner * inner, t);
}

typedef struct hues {
    sloped mean_deg, difference_deg;
} hues;

/* [sharma-ciede2000] equations 10 and 14 */
static hues hues_of(sloped h1, sloped h2, bool grey1, bool grey2)
{
    if (grey1 || grey2) {
        return (hues){!grey1 ? h1 : grey2 ? constant(0.0) : h2, constant(0.0)};
    }
    hues h = {sum(0.5, h1, 0.5, h2), sum(1.0, h2, -1.0, h1)};
    const double d = h.difference_deg.v;
    if (fabs(d) > 180.0 + TIE_WITHIN_DEG) {
        const double mean = h.mean_deg.v < 180.0 ? h.mean_deg.v + 180.0 : h.mean_deg.v - 180.0;
        h.mean_deg.v = mean < TURN_DEG - TIE_WITHIN_DEG ? mean : 0.0;
        h.difference_deg.v = d > 0.0 ? d - TURN_DEG : d + TURN_DEG;
    }
    return h;
}

/* [sharma-ciede2000] equation 15: part of the m-th multiple of the mean hue, and its shift. The
 * multiples come from the first by the angle sums. */
static sloped hue_factor(sloped mean_deg)
{
    static const double PART[4] = {-0.17, 0.24, 0.32, -0.20};
    static const double COS[4] = {0.86602540378443864676, 1.0, 0.99452189536827333692,
                                  0.45399049973954674656}; /* of -30, 0, 6, -63 degrees */
    static const double SIN[4] = {-0.5, 0.0, 0.10452846326765347140, -0.89100652418836786236};
    const double c1 = cos(mean_deg.v / DEG_OF_RAD), s1 = sin(mean_deg.v / DEG_OF_RAD);
    double c = c1, s = s1, v = 1.0, rate = 0.0, bend = 0.0;
    for (int i = 0; i < 4; i++) {
        const double m = i + 1.0, turned = c * c1 - s * s1;
        const double here = PART[i] * (c * COS[i] - s * SIN[i]);
        v += here;
        rate -= PART[i] * m * (s * COS[i] + c * SIN[i]);
        bend -= here * m * m;
        s = s * c1 + c * s1;
        c = turned;
    }
    return through(v, rate / DEG_OF_RAD, bend / (DEG_OF_RAD * DEG_OF_RAD), mean_deg);
}

/* [sharma-ciede2000] equation 21 */
static sloped rotation_of(sloped c_mean, sloped mean_deg)
{
    const double u = (mean_deg.v - 275.0) / 25.0, du = 1.0 / 25.0;
    const double twice = 60.0 / DEG_OF_RAD * exp(-u * u);
    const sloped angle =
        through(twice, -2.0 * u * du * twice, (4.0 * u * u - 2.0) * du * du * twice, mean_deg);
    const sloped sine = through(sin(twice), cos(twice), -sin(twice), angle);
    return times(times(constant(-2.0), of_seventh(c_mean)), sine);
}

/* r^2 and half of its slopes, added to the residual */
static void add_square(sloped r, mdr_residual *out)
{
    out->square += r.v * r.v;
    out->slope[1] += r.v * r.a;
    out->slope[2] += r.v * r.b;
    out->curve[1][1] += r.a * r.a + r.v * r.aa;
    out->curve[1][2] += r.a * r.b + r.v * r.ab;
    out->curve[2][2] += r.b * r.b + r.v * r.bb;
}

/* The part of a* and b*. */
static void plane(mdr_lab p, mdr_lab q, const mdr_difference_spec *k, mdr_residual *out)
{
    const sloped a1 = constant(p.a), b1 = constant(p.b), one = constant(1.0);
    const sloped a2 = {.v = q.a, .a = 1.0}, b2 = {.v = q.b, .b = 1.0};
    const sloped plain_mean = sum(0.5, length(a1, b1), 0.5, length(a2, b2));
    const sloped g = sum(1.5, one, -0.5, of_seventh(plain_mean));
    const sloped x1 = times(g, a1), x2 = times(g, a2);
    const sloped c1 = length(x1, b1), c2 = length(x2, b2);
    const hues h =
        hues_of(hue_deg(x1, b1, c1.v), hue_deg(x2, b2, c2.v), c1.v < GREY_BELOW, c2.v < GREY_BELOW);
    const sloped c_mean = sum(0.5, c1, 0.5, c2);
    const sloped sc = sum(k->c, one, k->c * 0.045, c_mean);
    const sloped sh = sum(k->h, one, k->h * 0.015, times(c_mean, hue_factor(h.mean_deg)));
    const double half = 0.5 * h.difference_deg.v / DEG_OF_RAD, du = 0.5 / DEG_OF_RAD;
    const sloped chord = through(2.0 * sin(half), 2.0 * du * cos(half), -2.0 * du * du * sin(half),
                                 h.difference_deg);
    const sloped wc = over(sum(1.0, c2, -1.0, c1), sc);
    const sloped wh = over(times(root(times(c1, c2)), chord), sh);
    const sloped turn = rotation_of(c_mean, h.mean_deg);
    /* wc^2 + wh^2 + RT wc wh as two squares; |RT| < 2 */
    add_square(sum(1.0, wc, 0.5, times(turn, wh)), out);
    add_square(times(root(sum(1.0, one, -0.25, times(turn, turn))), wh), out);
}

/* Half of the second derivative in a*, b* with what goes below 0 taken out. */
static void lift(double m[3][3])
{
    const double p = m[1][1], q = m[2][2], r = m[1][2];
    const double middle = 0.5 * (p + q), reach = sqrt(0.25 * (p - q) * (p - q) + r * r);
    const double low = middle - reach, high = middle + reach;
    if (low < 0.0 && reach > 0.0) {
        const double keep =
            high > 0.0 ? high / (2.0 * reach) : 0.0; /* high (M - low I) / 2 reach */
        m[1][1] = keep * (p - low);
        m[2][2] = keep * (q - low);
        m[1][2] = keep * r;
    }
    m[2][1] = m[1][2];
}

void mdr_residual_2000(mdr_lab p, mdr_lab q, const mdr_difference_spec *spec, mdr_residual *out)
{
    const double f = 0.5 * (p.l + q.l) - 50.0;
    const double inner = 20.0 + f * f, length_f = sqrt(inner);
    const double sl = 1.0 + 0.015 * f * f / length_f;
    const double sl_slope = 0.5 * 0.015 * f * (inner + 20.0) / (inner * length_f);
    const double wl = (q.l - p.l) / (spec->l * sl);
    const double wl_slope = (1.0 / spec->l - wl * sl_slope) / sl;
    *out = (mdr_residual){.square = wl * wl, .slope = {wl * wl_slope}};
    out->curve[0][0] = wl_slope * wl_slope;
    plane(p, q, spec, out);
    lift(out->curve);
}
