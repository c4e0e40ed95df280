#include "core/colour/mdr_difference.h"

#include <math.h>
#include <stdbool.h>

static const double RAD_OF_DEG = 0.017453292519943295769; /* pi / 180 */
static const double GREY_BELOW = 1e-9;     /* invented: a chroma that only rounding has made */
static const double TIE_WITHIN_DEG = 1e-9; /* invented, see the header */

static const double TEXTILE_K1 = 0.048, TEXTILE_K2 = 0.014; /* [cie-15] CIE94, textiles */

const char *mdr_difference_name(mdr_difference_formula formula)
{
    static const char *const NAMES[MDR_DE_COUNT] = {"CIE76", "CMC", "CIE94", "CIEDE2000", "DIN99"};
    if ((int)formula < 0 || formula >= MDR_DE_COUNT) {
        MDR_UNREACHABLE();
    }
    return NAMES[formula];
}

mdr_difference_spec mdr_difference_usual(mdr_difference_formula formula)
{
    const bool light_counts_half = formula == MDR_DE_CMC || formula == MDR_DE_94;
    return (mdr_difference_spec){formula, light_counts_half ? 2.0 : 1.0, 1.0, 1.0};
}

mdr_code mdr_difference_check(const mdr_difference_spec *spec, mdr_err *err)
{
    const double k[3] = {spec->l, spec->c, spec->h};
    static const char *const PLACES[3] = {"l", "c", "h"};
    for (int i = 0; i < 3; i++) {
        if (!(k[i] >= 0.1 && k[i] <= 10.0)) { /* invented: beyond any agreement seen */
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_RANGE, PLACES[i], "no weight of a colour difference");
            mdr_err_value(err, "%g", k[i]);
            mdr_err_allowed(err, "0.1 to 10");
            return rc;
        }
    }
    return MDR_OK;
}

/* The chord between two hues at the mean chroma, signed. [seve-hue] where the hues are less than a
 * right angle apart; beyond it the square root has nothing to lose. */
static double hue_difference(double a1, double b1, double a2, double b2)
{
    const double c1c2 = sqrt((a1 * a1 + b1 * b1) * (a2 * a2 + b2 * b2));
    const double along = a1 * a2 + b1 * b2;
    const double across = a1 * b2 - b1 * a2;
    if (c1c2 == 0.0) {
        return 0.0;
    }
    if (along >= 0.0) {
        return across / sqrt(0.5 * (c1c2 + along));
    }
    return copysign(sqrt(2.0 * (c1c2 - along)), across);
}

static mdr_difference plain(mdr_lab p, mdr_lab q)
{
    mdr_difference d = {.dl = q.l - p.l, .da = q.a - p.a, .db = q.b - p.b};
    d.dc = hypot(q.a, q.b) - hypot(p.a, p.b);
    d.dh = hue_difference(p.a, p.b, q.a, q.b);
    return d;
}

static mdr_difference weighted(mdr_difference d, double sl, double sc, double sh)
{
    d.wl = d.dl / sl;
    d.wc = d.dc / sc;
    d.wh = d.dh / sh;
    d.de = sqrt(d.wl * d.wl + d.wc * d.wc + d.wh * d.wh);
    return d;
}

static double squares(double x, double y, double z)
{
    return sqrt(x * x + y * y + z * z);
}

double mdr_difference_76(mdr_lab standard, mdr_lab sample)
{
    return squares(sample.l - standard.l, sample.a - standard.a, sample.b - standard.b);
}

/* [iso-105-j03] */
mdr_cmc mdr_cmc_from(mdr_lab standard, double l, double c)
{
    const mdr_lch lch = mdr_lch_of_lab(standard);
    const double c2 = lch.c * lch.c;
    const double f = c2 / sqrt(c2 * c2 + 1900.0);
    const bool red_to_yellow = lch.h_deg < 164.0 || lch.h_deg > 345.0;
    const double t = red_to_yellow ? 0.36 + fabs(0.4 * cos((lch.h_deg + 35.0) * RAD_OF_DEG))
                                   : 0.56 + fabs(0.2 * cos((lch.h_deg + 168.0) * RAD_OF_DEG));
    const double sl = lch.l < 16.0 ? 0.511 : 0.040975 * lch.l / (1.0 + 0.01765 * lch.l);
    const double sc = 0.0638 * lch.c / (1.0 + 0.0131 * lch.c) + 0.638;
    const double sh = sc * (f * t + 1.0 - f);
    return (mdr_cmc){standard, lch.c, 1.0 / (l * sl), 1.0 / (c * sc), 1.0 / sh};
}

double mdr_cmc_to(const mdr_cmc *from, mdr_lab q)
{
    const double dc = sqrt(q.a * q.a + q.b * q.b) - from->c_standard;
    const double dh = hue_difference(from->standard.a, from->standard.b, q.a, q.b);
    return squares((q.l - from->standard.l) * from->over_l, dc * from->over_c, dh * from->over_h);
}

double mdr_difference_cmc(mdr_lab standard, mdr_lab sample, double l, double c)
{
    const mdr_cmc from = mdr_cmc_from(standard, l, c);
    return mdr_cmc_to(&from, sample);
}

double mdr_difference_94(mdr_lab p, mdr_lab q, double kl, double k1, double k2)
{
    const double c1 = hypot(p.a, p.b);
    const double dc = hypot(q.a, q.b) - c1;
    const double dh = hue_difference(p.a, p.b, q.a, q.b);
    return squares((q.l - p.l) / kl, dc / (1.0 + k1 * c1), dh / (1.0 + k2 * c1));
}

bool mdr_difference_fixed(mdr_lab standard, const mdr_difference_spec *k, double over[3])
{
    if (k->formula == MDR_DE_CMC) {
        const mdr_cmc from = mdr_cmc_from(standard, k->l, k->c);
        over[0] = 1.0 / from.over_l;
        over[1] = 1.0 / from.over_c;
        over[2] = k->h / from.over_h;
    } else if (k->formula == MDR_DE_94) {
        const double c1 = hypot(standard.a, standard.b);
        over[0] = k->l;
        over[1] = k->c * (1.0 + TEXTILE_K1 * c1);
        over[2] = k->h * (1.0 + TEXTILE_K2 * c1);
    } else if (k->formula == MDR_DE_76) {
        over[0] = over[1] = over[2] = 1.0;
    } else {
        return false;
    }
    return true;
}

static mdr_difference of_fixed(mdr_lab p, mdr_lab q, const mdr_difference_spec *k)
{
    double over[3];
    if (!mdr_difference_fixed(p, k, over)) {
        MDR_UNREACHABLE();
    }
    return weighted(plain(p, q), over[0], over[1], over[2]);
}

/* [din-6176] lightness and colour plane stretched so that plain distances will do. */
static mdr_lab din99_of(mdr_lab p, double ke, double kch)
{
    const double cos16 = cos(16.0 * RAD_OF_DEG), sin16 = sin(16.0 * RAD_OF_DEG);
    const double e = p.a * cos16 + p.b * sin16;
    const double f = 0.7 * (p.b * cos16 - p.a * sin16);
    const double g = hypot(e, f);
    const double k = 0.045 * kch * ke;
    const double shrink = g > 0.0 ? log1p(k * g) / (k * g) : 1.0;
    /* the logarithm of DIN 6176 has no value below L* = -63; CIELAB has none below 0 */
    return (mdr_lab){105.509 * log1p(0.0158 * fmax(p.l, 0.0)) / ke, e * shrink, f * shrink};
}

static mdr_difference of_din99(mdr_lab p, mdr_lab q, const mdr_difference_spec *k)
{
    const mdr_lab p99 = din99_of(p, k->l, k->c);
    const mdr_lab q99 = din99_of(q, k->l, k->c);
    const mdr_difference own = plain(p99, q99);
    mdr_difference d = plain(p, q);
    d.wl = own.dl;
    d.wc = own.dc;
    d.wh = own.dh;
    d.de = squares(d.wl, d.wc, d.wh);
    return d;
}

double mdr_difference_din99(mdr_lab one, mdr_lab other, double ke, double kch)
{
    return mdr_difference_76(din99_of(one, ke, kch), din99_of(other, ke, kch));
}

/* Mean of two hues on the shorter way round, and their difference (other - one). */
typedef struct hues {
    double mean_deg, difference_deg;
} hues;

/* A hair below 360 is 0: the mean of opposite hues, and the rotation term, have a step there. */
static double snap(double h_deg)
{
    return h_deg < 360.0 - TIE_WITHIN_DEG ? h_deg : 0.0;
}

static hues hues_of(double h1, double h2, bool grey1, bool grey2)
{
    if (grey1 || grey2) {
        return (hues){!grey1 ? h1 : grey2 ? 0.0 : h2, 0.0};
    }
    const double d = h2 - h1;
    const double half = 0.5 * (h1 + h2);
    if (fabs(d) <= 180.0 + TIE_WITHIN_DEG) {
        return (hues){half, d};
    }
    return (hues){snap(half < 180.0 ? half + 180.0 : half - 180.0),
                  d > 0.0 ? d - 360.0 : d + 360.0};
}

/* [sharma-ciede2000] equations 2 to 7: a* stretched near grey. */
static double stretch(double c_mean)
{
    const double c7 = pow(c_mean, 7.0);
    return 1.5 - 0.5 * sqrt(c7 / (c7 + 6103515625.0)); /* 25^7 */
}

/* [sharma-ciede2000] equation 21 */
static double rotation_of(double c_mean, double h_mean_deg)
{
    const double from_275 = (h_mean_deg - 275.0) / 25.0;
    const double angle_deg = 30.0 * exp(-from_275 * from_275);
    const double c7 = pow(c_mean, 7.0);
    return -2.0 * sqrt(c7 / (c7 + 6103515625.0)) * sin(2.0 * angle_deg * RAD_OF_DEG);
}

/* [sharma-ciede2000] equation 15 */
static double hue_factor(double h_mean_deg)
{
    return 1.0 - 0.17 * cos((h_mean_deg - 30.0) * RAD_OF_DEG) +
           0.24 * cos(2.0 * h_mean_deg * RAD_OF_DEG) +
           0.32 * cos((3.0 * h_mean_deg + 6.0) * RAD_OF_DEG) -
           0.20 * cos((4.0 * h_mean_deg - 63.0) * RAD_OF_DEG);
}

static mdr_difference of_2000(mdr_lab p, mdr_lab q, const mdr_difference_spec *k)
{
    const double g = stretch(0.5 * (hypot(p.a, p.b) + hypot(q.a, q.b)));
    const double c1 = hypot(g * p.a, p.b), c2 = hypot(g * q.a, q.b);
    const hues h = hues_of(snap(mdr_hue_deg(g * p.a, p.b)), snap(mdr_hue_deg(g * q.a, q.b)),
                           c1 < GREY_BELOW, c2 < GREY_BELOW);
    const double c_mean = 0.5 * (c1 + c2);
    const double from_50 = 0.5 * (p.l + q.l) - 50.0;
    const double sl = 1.0 + 0.015 * from_50 * from_50 / sqrt(20.0 + from_50 * from_50);
    const double sc = 1.0 + 0.045 * c_mean;
    const double sh = 1.0 + 0.015 * c_mean * hue_factor(h.mean_deg);
    mdr_difference d = plain(p, q);
    d.wl = d.dl / (k->l * sl);
    d.wc = (c2 - c1) / (k->c * sc);
    d.wh = 2.0 * sqrt(c1 * c2) * sin(0.5 * h.difference_deg * RAD_OF_DEG) / (k->h * sh);
    d.rotation = rotation_of(c_mean, h.mean_deg);
    const double square = d.wl * d.wl + d.wc * d.wc + d.wh * d.wh + d.rotation * d.wc * d.wh;
    d.de = sqrt(fmax(square, 0.0)); /* |RT| < 2, so below 0 only by rounding */
    return d;
}

double mdr_difference_2000(mdr_lab one, mdr_lab other, double kl, double kc, double kh)
{
    const mdr_difference_spec spec = {MDR_DE_2000, kl, kc, kh};
    return of_2000(one, other, &spec).de;
}

mdr_difference mdr_difference_of(mdr_lab standard, mdr_lab sample, const mdr_difference_spec *spec)
{
    switch (spec->formula) {
    case MDR_DE_76:
    case MDR_DE_CMC:
    case MDR_DE_94:
        return of_fixed(standard, sample, spec);
    case MDR_DE_2000:
        return of_2000(standard, sample, spec);
    case MDR_DE_DIN99:
        return of_din99(standard, sample, spec);
    case MDR_DE_COUNT:
        break;
    }
    MDR_UNREACHABLE();
}
