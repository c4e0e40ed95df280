#include "core/recipe/mdr_rope_colour.h"

#include <math.h>
#include <string.h>

/* Reflectances of the wide bands that have a K/S: below, a black would need infinitely much dye;
 * above, there is none. Numerical. */
static const double R_LEAST = 1e-3, R_MOST = 0.995;
/* K/S of bleached cotton in a wide band, reflectance 0.85: common practice. */
static const double BARE_R = 0.85;
static const mdr_xyz UNIT_WHITE = {1.0, 1.0, 1.0};

static double within(double r)
{
    return fmin(R_MOST, fmax(R_LEAST, r));
}

static void bands_of(mdr_xyz v, double *r)
{
    r[0] = within(v.x);
    r[1] = within(v.y);
    r[2] = within(v.z);
}

/* -- swatches -- */

static int hex_digit(char c)
{
    static const char DIGITS[] = "0123456789abcdef0123456789ABCDEF";
    const char *found = c != '\0' ? strchr(DIGITS, c) : NULL;
    return found != NULL ? (int)((found - DIGITS) % 16) : -1;
}

static double linear(double v) /* [srgb] transfer curve */
{
    return v <= 0.04045 ? v / 12.92 : pow((v + 0.055) / 1.055, 2.4);
}

/* X/Xn, Y/Yn, Z/Zn of "#rrggbb"; a grey when it is none. */
static void bands_of_swatch(const char *swatch, double *r)
{
    double rgb[3] = {0.5, 0.5, 0.5};
    if (strlen(swatch) == 7 && swatch[0] == '#') {
        for (int i = 0; i < 3; i++) {
            const int high = hex_digit(swatch[1 + 2 * i]), low = hex_digit(swatch[2 + 2 * i]);
            rgb[i] = high >= 0 && low >= 0 ? (16.0 * high + low) / 255.0 : rgb[i];
        }
    }
    for (int i = 0; i < 3; i++) {
        rgb[i] = linear(rgb[i]);
    }
    /* rows of the [srgb] matrix over their sums, so that white is 1 in every band */
    r[0] = within((0.4124 * rgb[0] + 0.3576 * rgb[1] + 0.1805 * rgb[2]) / 0.9505);
    r[1] = within(0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2]);
    r[2] = within((0.0193 * rgb[0] + 0.1192 * rgb[1] + 0.9505 * rgb[2]) / 1.0890);
}

void mdr_rope_colour_of_shade(mdr_lab shade, const mdr_rope_dye *dyes, int n, mdr_rope_colour *out)
{
    double r[MDR_WIDE_BANDS], swatch[MDR_RECIPE_DYES_MAX][MDR_WIDE_BANDS];
    *out = (mdr_rope_colour){.from = MDR_COLOUR_OF_SHADE, .n = n};
    bands_of(mdr_xyz_of_lab(shade, UNIT_WHITE), r);
    for (int i = 0; i < n; i++) {
        bands_of_swatch(dyes[i].swatch, swatch[i]);
    }
    for (int b = 0; b < MDR_WIDE_BANDS; b++) {
        double sum = 0.0;
        out->ks[b] = mdr_km_ks_of_r(r[b]);
        out->bare[b] = fmin(mdr_km_ks_of_r(BARE_R), 0.5 * out->ks[b]); /* a pale shade on white */
        for (int i = 0; i < n; i++) {
            out->share[b][i] = dyes[i].depth_pct_owf * mdr_km_ks_of_r(swatch[i][b]);
            sum += out->share[b][i];
        }
        for (int i = 0; i < n; i++) {
            out->share[b][i] = sum > 0.0 ? out->share[b][i] / sum : 1.0 / n;
        }
    }
}

mdr_code mdr_rope_colour_of_ladders(const mdr_cloth *cloth, const mdr_weights *weights,
                                    const mdr_part *parts, int n, mdr_rope_colour *out,
                                    mdr_err *err)
{
    mdr_mixture m;
    MDR_TRY(mdr_mixture_of(cloth, parts, n, &m, err));
    *out = (mdr_rope_colour){
        .from = MDR_COLOUR_OF_LADDERS, .n = n, .cloth = cloth, .weights = weights};
    for (int i = 0; i < n; i++) {
        out->parts[i] = parts[i];
    }
    return MDR_OK;
}

static mdr_lab of_shade(const mdr_rope_colour *c, const double *factor)
{
    double r[MDR_WIDE_BANDS];
    for (int b = 0; b < MDR_WIDE_BANDS; b++) {
        double part = 0.0;
        for (int i = 0; i < c->n; i++) {
            part += c->share[b][i] * factor[i];
        }
        r[b] = mdr_km_r_of_ks(c->bare[b] + (c->ks[b] - c->bare[b]) * part);
    }
    return mdr_lab_of_xyz((mdr_xyz){r[0], r[1], r[2]}, UNIT_WHITE);
}

static mdr_lab of_ladders(const mdr_rope_colour *c, const double *factor)
{
    mdr_curve ks = c->cloth->ks, measured;
    for (int i = 0; i < c->n; i++) {
        double added[MDR_BANDS];
        mdr_ladder_ks(c->parts[i].ladder,
                      c->parts[i].depth_pct_owf * c->parts[i].strength_factor * factor[i], added,
                      NULL);
        for (int b = 0; b < MDR_BANDS; b++) {
            ks.v[b] += added[b];
        }
    }
    mdr_km_measured(&ks, &c->cloth->surface, &measured);
    return mdr_lab_of_curve(&measured, c->weights);
}

mdr_lab mdr_rope_colour_at(const mdr_rope_colour *c, const double *factor)
{
    return c->from == MDR_COLOUR_OF_LADDERS ? of_ladders(c, factor) : of_shade(c, factor);
}
