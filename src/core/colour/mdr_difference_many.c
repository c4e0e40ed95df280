/* Compiled with flags of its own (CMakeLists.txt): errno and traps of floating point are not looked
 * at here, so that square roots and choices may be computed side by side. No digit changes by it. */
#include "core/colour/mdr_difference_many.h"

#include <math.h>

/* A call would end the side by side. */
#define INLINE static inline __attribute__((always_inline))

enum { BLOCK = 64 }; /* pairs at a time: 3.5 kB of columns stay in the nearest cache */

static const double K25 = 6103515625.0; /* 25^7 [sharma-ciede2000] */
static const double GREY_BELOW = 1e-9;  /* as in mdr_difference.c */
static const double TIE_WITHIN =
    1.7453292519943296e-11; /* sine of 1e-9 degree, as in mdr_difference.c */
static const double COS_275 = 0.08715574274765817;
static const double SIN_275 = -0.99619469809174555;
static const double COS_75 = 0.25881904510252074;   /* beyond 150 degree the term is below 1e-14 */
static const double WIDTH_RAD = 0.4363323129985824; /* 25 degree */
static const double TWICE_30_RAD = 1.0471975511965976;

/* acos(1 - u)^2 = u A(u) for u in [0, 0.7412], within 4e-13; by interpolation at the zeros of a
 * Chebyshev polynomial in extended precision, like the next two. */
INLINE double acos_squared(double u)
{
    double s = 0.00021030010224389325;
    s = s * u - 0.0004667229296797739;
    s = s * u + 0.0007892562426882975;
    s = s * u - 0.0002712213942830202;
    s = s * u + 0.0008873628532286758;
    s = s * u + 0.0014353385897927118;
    s = s * u + 0.0038664859279092653;
    s = s * u + 0.010156262890970928;
    s = s * u + 0.028571621522647223;
    s = s * u + 0.08888888113755711;
    s = s * u + 0.3333333334547258;
    return u * (s * u + 1.9999999999996858);
}

/* exp(x) for x in [-36, 0], within 1e-12 of its value: exp(x/32) by a polynomial, squared five
 * times. */
INLINE double exp_falling(double x)
{
    const double y = x * 0.03125;
    double s = 1.5804641103748517e-07;
    s = s * y + 2.4716478698034214e-06;
    s = s * y + 2.4393604403949552e-05;
    s = s * y + 0.00019804126658886745;
    s = s * y + 0.0013886693723974741;
    s = s * y + 0.008333249510364732;
    s = s * y + 0.041666646635195044;
    s = s * y + 0.16666666386662002;
    s = s * y + 0.49999999979886844;
    s = s * y + 0.9999999999943551;
    s = s * y + 0.9999999999999738;
    const double s2 = s * s, s4 = s2 * s2, s8 = s4 * s4, s16 = s8 * s8;
    return s16 * s16;
}

/* sin(x) for x in [0, pi/3], within 2e-13. */
INLINE double sin_small(double x)
{
    const double z = x * x;
    double s = -2.4528893916005066e-08;
    s = s * z + 2.7550884179290667e-06;
    s = s * z - 0.0001984123329957421;
    s = s * z + 0.008333333239463546;
    s = s * z - 0.16666666665784183;
    return x * (s * z + 0.9999999999998652);
}

INLINE double seventh(double x)
{
    const double x2 = x * x, x4 = x2 * x2;
    return x4 * x2 * x;
}

/* T of the mean hue whose cosine and sine are c, s: sums of angles instead of angles. */
INLINE double hue_factor(double c, double s)
{
    const double c2 = 2.0 * c * c - 1.0, s2 = 2.0 * s * c;
    const double c3 = c2 * c - s2 * s, s3 = s2 * c + c2 * s;
    const double c4 = 2.0 * c2 * c2 - 1.0, s4 = 2.0 * s2 * c2;
    /* 0.17 cos(h - 30), 0.32 cos(3h + 6), 0.20 cos(4h - 63) taken apart */
    return 1.0 - (0.14722431864335458 * c + 0.085 * s) + 0.24 * c2 +
           (0.3182470065178475 * c3 - 0.03344910824564911 * s3) -
           (0.09079809994790937 * c4 + 0.17820130483767357 * s4);
}

/* sin(2 dtheta) of the mean hue: 0 to sin 60 degree. Hues from 0 to 90 lie more than 180 degree
 * before 275; a hair below 360 counts as 0, as in mdr_difference.c. */
INLINE double rotation_sine(double c, double s)
{
    const double towards = c * COS_275 + s * SIN_275;
    const double half_square = 0.5 + 0.5 * towards;
    const double half = sqrt(half_square > 0.0 ? half_square : 0.0);
    const double u = 1.0 - (half > COS_75 ? half : COS_75);
    const double square = 4.0 * acos_squared(u > 0.0 ? u : 0.0);
    const double bell = exp_falling(square * (-1.0 / (WIDTH_RAD * WIDTH_RAD)));
    const double right = s >= -TIE_WITHIN ? c : -1.0;
    const double near = right > 0.0 ? 0.0 : bell;
    return sin_small(TWICE_30_RAD * near);
}

/* Two colours in the plane of a' and b', grey ones moved to the middle. */
typedef struct plane {
    double a1, b1, c1, a2, b2, c2;
} plane;

INLINE plane plane_of(mdr_lab p, mdr_lab q)
{
    const double b1 = p.b * p.b, b2 = q.b * q.b;
    const double c7 = seventh(0.5 * (sqrt(p.a * p.a + b1) + sqrt(q.a * q.a + b2)));
    const double g = 1.5 - 0.5 * sqrt(c7 / (c7 + K25));
    const double a1 = g * p.a, a2 = g * q.a;
    const double c1 = sqrt(a1 * a1 + b1), c2 = sqrt(a2 * a2 + b2);
    const double keep1 = c1 < GREY_BELOW ? 0.0 : 1.0, keep2 = c2 < GREY_BELOW ? 0.0 : 1.0;
    return (plane){a1 * keep1, p.b * keep1, c1 * keep1, a2 * keep2, q.b * keep2, c2 * keep2};
}

/* Signed chord between the hues, and the direction of the mean hue. */
typedef struct bearing {
    double dh, cos_mean, sin_mean;
} bearing;

INLINE bearing bearing_of(plane v)
{
    const double p = v.c1 * v.c2;
    const double dot = v.a1 * v.a2 + v.b1 * v.b2;
    const double cross = v.a1 * v.b2 - v.b1 * v.a2;
    /* both at length p */
    const double x1 = v.a1 * v.c2, y1 = v.b1 * v.c2, x2 = v.a2 * v.c1, y2 = v.b2 * v.c1;
    const double dx = x1 - x2, dy = y1 - y2;
    /* Less than a right angle apart their sum points half way. Beyond, it gets short, and it is
     * their difference, turned by a right angle, that does; to which side, the cross product
     * says. Opposite hues: half way from the smaller of the two angles in [0, 360) to the other. */
    const double side1 = v.b1 >= -TIE_WITHIN * v.c1 ? 1.0 : -1.0;
    const double side2 = v.b2 >= -TIE_WITHIN * v.c2 ? 1.0 : -1.0;
    const double same_side = side1 * dx;
    const double first_is_smaller = side1 * side2 < 0.0 ? side1 : same_side;
    const double opposite = first_is_smaller > 0.0 ? 1.0 : -1.0;
    const double tied = fabs(cross) <= TIE_WITHIN * p ? 1.0 : 0.0;
    const double crossed = cross > 0.0 ? 1.0 : -1.0;
    const double turn = tied > 0.0 ? opposite : crossed;
    const double acute = dot >= 0.0 ? 1.0 : 0.0;
    const double coloured = p > 0.0 ? 1.0 : 0.0;
    const double long_x = acute > 0.0 ? x1 + x2 : -dy * turn;
    const double long_y = acute > 0.0 ? y1 + y2 : dx * turn;
    /* with one of them grey, the hue of the other; with both, 0 */
    const double x = coloured > 0.0 ? long_x : v.a1 + v.a2;
    const double y = coloured > 0.0 ? long_y : v.b1 + v.b2;
    const double square = x * x + y * y;
    const double inverse = 1.0 / sqrt(square > 0.0 ? square : 1.0);
    const double across = acute > 0.0 ? cross : turn * (p - dot);
    return (bearing){2.0 * sqrt(p) * across * inverse * coloured, square > 0.0 ? x * inverse : 1.0,
                     y * inverse};
}

INLINE double pair_2000(mdr_lab p, mdr_lab q, double kl, double kc, double kh)
{
    const plane v = plane_of(p, q);
    const bearing h = bearing_of(v);
    const double c_mean = 0.5 * (v.c1 + v.c2);
    const double from_50 = 0.5 * (p.l + q.l) - 50.0;
    const double m = from_50 * from_50, root = sqrt(20.0 + m);
    const double c7 = seventh(c_mean), c7_k = c7 + K25;
    /* One division for all: dL'/(kL SL) = dL' root/(kL (root + 0.015 m)), RC = 2 sqrt(c7 c7_k)/c7_k */
    const double sl = kl * (root + 0.015 * m);
    const double sc = kc * (1.0 + 0.045 * c_mean);
    const double sh = kh * (1.0 + 0.015 * c_mean * hue_factor(h.cos_mean, h.sin_mean));
    const double sl_sc = sl * sc, sh_c7 = sh * c7_k;
    const double inverse = 1.0 / (sl_sc * sh_c7);
    const double wl = (q.l - p.l) * root * inverse * sc * sh_c7;
    const double wc = (v.c2 - v.c1) * inverse * sl * sh_c7;
    const double wh = h.dh * inverse * sl_sc * c7_k;
    const double rc = 2.0 * sqrt(c7 * c7_k) * inverse * sl_sc * sh;
    const double rt = -rc * rotation_sine(h.cos_mean, h.sin_mean);
    const double square = wl * wl + wc * wc + wh * wh + rt * wc * wh;
    return sqrt(square > 0.0 ? square : 0.0);
}

typedef struct columns {
    double l1[BLOCK], a1[BLOCK], b1[BLOCK], l2[BLOCK], a2[BLOCK], b2[BLOCK], de[BLOCK];
} columns;

/* Where the system can choose between two versions of a function as it loads the program, one for
 * registers of four numbers is built as well. Same operations, same digits. */
#if defined(__x86_64__) && defined(__ELF__) && defined(__gnu_linux__) && !defined(__clang__)
__attribute__((target_clones("avx2", "default")))
#endif
static void
block_2000(columns *restrict c, double kl, double kc, double kh)
{
    for (int i = 0; i < BLOCK; i++) {
        c->de[i] = pair_2000((mdr_lab){c->l1[i], c->a1[i], c->b1[i]},
                             (mdr_lab){c->l2[i], c->a2[i], c->b2[i]}, kl, kc, kh);
    }
}

void mdr_difference_2000_many(const mdr_lab *standard, const mdr_lab *sample, size_t n, double kl,
                              double kc, double kh, double *de)
{
    columns c = {.de = {0}}; /* the rest of the last block is black against black */
    for (size_t from = 0; from < n; from += BLOCK) {
        const size_t m = n - from < BLOCK ? n - from : BLOCK;
        for (size_t i = 0; i < m; i++) {
            c.l1[i] = standard[from + i].l;
            c.a1[i] = standard[from + i].a;
            c.b1[i] = standard[from + i].b;
            c.l2[i] = sample[from + i].l;
            c.a2[i] = sample[from + i].a;
            c.b2[i] = sample[from + i].b;
        }
        block_2000(&c, kl, kc, kh);
        for (size_t i = 0; i < m; i++) {
            de[from + i] = c.de[i];
        }
    }
}
