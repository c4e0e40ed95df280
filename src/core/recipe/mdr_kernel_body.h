/* Body of the kernel, compiled once for each kind of processor under the name MDR_KERNEL_NAME.
 * Loops run over whole registers of eight so that every build adds in the same order. */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "core/recipe/mdr_kernel.h"

enum { LANES = MDR_LANES, WIDTH = 8, DYES = MDR_COMBO_MAX, ROWS = 3 };

/* Eight at once, in whatever registers there are; from memory of any alignment. */
typedef double eight __attribute__((vector_size(WIDTH * sizeof(double)), aligned(8), may_alias));

static inline double dot(const double *a, const double *b)
{
    const eight *x = (const eight *)(const void *)a, *y = (const eight *)(const void *)b;
    const eight s = (x[0] * y[0] + x[1] * y[1]) + (x[2] * y[2] + x[3] * y[3]);
    return ((s[0] + s[4]) + (s[2] + s[6])) + ((s[1] + s[5]) + (s[3] + s[7]));
}

/* Adds the dye's K/S to `ks`; its first and second slope with depth. */
static inline void add_dye(const mdr_kernel_dye *dye, double depth, double *restrict ks,
                           double *restrict slope, double *restrict bend)
{
    int piece = 0;
    while (piece + 1 < dye->pieces && dye->from_pct_owf[piece + 1] <= depth) {
        piece++;
    }
    const double t = depth - dye->from_pct_owf[piece];
    const double *restrict c0 = dye->coef + (size_t)piece * 4 * LANES;
    const double *restrict c1 = c0 + LANES, *restrict c2 = c1 + LANES, *restrict c3 = c2 + LANES;
    for (int i = 0; i < LANES; i++) {
        const double t3 = 3.0 * t * c3[i];
        ks[i] += c0[i] + t * (c1[i] + t * (c2[i] + t * c3[i]));
        slope[i] = c1[i] + t * (2.0 * c2[i] + t3);
        bend[i] = 2.0 * (c2[i] + t3);
    }
}

/* Reflectance as measured, first and second slope with K/S.
 * inside: R = 1/S with S = 1 + f + root, root = sqrt(f^2 + 2f); dR/df = -R/root, d2R/df2 = 1/root^3.
 * surface: k1 + gain R / (1 - k2 R), and 1 / (1 - k2 R) = S / (S - k2).
 * All three quotients come from one division. */
static inline void reflect(const mdr_kernel *k, const double *restrict ks,
                           double *restrict measured, double *restrict slope, double *restrict bend)
{
    const double k1 = k->surface.k1, gain = k->surface.gain, k2 = k->surface.k2;
    for (int i = 0; i < LANES; i++) {
        const double root = sqrt(ks[i] * (ks[i] + 2.0));
        const double sum = 1.0 + ks[i] + root, less = sum - k2;
        const double both = root * less, one = 1.0 / (sum * both);
        const double inside = both * one, over_root = sum * less * one;
        const double over = sum * sum * root * one;
        const double first = gain * over * over, down = inside * over_root;
        measured[i] = k1 + gain * over * inside;
        slope[i] = -first * down;
        bend[i] = first * (over_root * over_root * over_root + 2.0 * k2 * over * down * down);
    }
}

/* t^(-1/3) of a normal number above 0, within 4 units of the last place: minus a third of the
 * exponent is within 4 %, each Newton step squares that twice over; no division. */
static inline double over_cube_root(double t)
{
    enum { STEPS = 4 };
    uint64_t bits;
    double y;
    memcpy(&bits, &t, sizeof bits);
    bits = UINT64_C(0x553EF0FF289DD796) - bits / 3; /* 4/3 of the exponent's bias, and a bit */
    memcpy(&y, &bits, sizeof y);
    for (int i = 0; i < STEPS; i++) {
        y += y * (1.0 - t * (y * y * y)) * (1.0 / 3.0);
    }
    return y;
}

/* CIELAB's f of a fraction of white, first and second slope. */
static inline void lab_f(double t, double f[3])
{
    const double linear = 841.0 / 108.0; /* [cie-15], (29/6)^2/3 */
    if (t > 216.0 / 24389.0) {
        const double y = over_cube_root(t), square = y * y;
        f[0] = t * square;
        f[1] = square * (1.0 / 3.0);
        f[2] = square * square * y * (-2.0 / 9.0);
    } else {
        f[0] = linear * t + 4.0 / 29.0;
        f[1] = linear;
        f[2] = 0.0;
    }
}

/* The square of the difference under light j, with X, Y, Z: half slope, half second derivative as
 * far as it comes from slopes, and the rest of it, which is diagonal. */
typedef struct verdict {
    double square, slope[3], curve[3][3], bend[3];
} verdict;

/* L*, a*, b* = TO_LAB f */
static const double TO_LAB[3][3] = {{0.0, 116.0, 0.0}, {500.0, -500.0, 0.0}, {0.0, 200.0, -200.0}};

static inline void judge(const mdr_kernel *k, int j, const double xyz[3], verdict *out)
{
    double f[3][3], half[3][3];
    mdr_residual res;
    for (int a = 0; a < 3; a++) {
        lab_f(xyz[a] * k->over_white[j][a], f[a]);
        f[a][1] *= k->over_white[j][a];
        f[a][2] *= k->over_white[j][a] * k->over_white[j][a];
    }
    mdr_residual_to(
        &k->from[j],
        (mdr_lab){116.0 * f[1][0] - 16.0, 500.0 * (f[0][0] - f[1][0]), 200.0 * (f[1][0] - f[2][0])},
        &res);
    out->square = res.square * k->light_scale[j];
    for (int i = 0; i < 3; i++) {
        for (int a = 0; a < 3; a++) {
            half[i][a] = res.curve[i][0] * TO_LAB[0][a] + res.curve[i][1] * TO_LAB[1][a] +
                         res.curve[i][2] * TO_LAB[2][a];
        }
    }
    for (int a = 0; a < 3; a++) {
        const double pull = (res.slope[0] * TO_LAB[0][a] + res.slope[1] * TO_LAB[1][a] +
                             res.slope[2] * TO_LAB[2][a]) *
                            k->light_scale[j];
        out->slope[a] = pull * f[a][1];
        out->bend[a] = pull * f[a][2];
        for (int b = 0; b < 3; b++) {
            out->curve[a][b] = (TO_LAB[0][a] * half[0][b] + TO_LAB[1][a] * half[1][b] +
                                TO_LAB[2][a] * half[2][b]) *
                               f[a][1] * f[b][1] * k->light_scale[j];
        }
    }
}

static inline void add_light(const mdr_kernel *k, int light, const double *restrict measured,
                             double (*restrict per_dose)[LANES], int n, mdr_kernel_point *out)
{
    double xyz[3], moves[DYES][3];
    verdict v;
    for (int a = 0; a < 3; a++) {
        xyz[a] = dot(k->weight[light][a], measured);
        for (int d = 0; d < n; d++) {
            moves[d][a] = dot(k->weight[light][a], per_dose[d]);
        }
    }
    judge(k, light, xyz, &v);
    out->square += v.square;
    for (int i = 0; i < LANES; i++) {
        out->pull[i] += v.slope[0] * k->weight[light][0][i] + v.slope[1] * k->weight[light][1][i] +
                        v.slope[2] * k->weight[light][2][i];
    }
    for (int d = 0; d < n; d++) {
        const double *m = moves[d];
        double to[3], bent[3];
        for (int a = 0; a < 3; a++) {
            to[a] = v.curve[a][0] * m[0] + v.curve[a][1] * m[1] + v.curve[a][2] * m[2];
            bent[a] = v.bend[a] * m[a];
        }
        out->gradient[d] += v.slope[0] * m[0] + v.slope[1] * m[1] + v.slope[2] * m[2];
        for (int e = 0; e <= d; e++) {
            const double *o = moves[e];
            out->matrix[d][e] += to[0] * o[0] + to[1] * o[1] + to[2] * o[2];
            out->bend[d][e] += bent[0] * o[0] + bent[1] * o[1] + bent[2] * o[2];
        }
    }
}

static inline void add_spectrum(const mdr_kernel *k, const double *restrict measured,
                                double (*restrict per_dose)[LANES], int n, mdr_kernel_point *out)
{
    double miss[LANES], scaled[LANES];
    for (int i = 0; i < LANES; i++) {
        miss[i] = measured[i] - k->standard[i];
        scaled[i] = miss[i] * k->band_scale[i];
        out->pull[i] += scaled[i];
    }
    out->square += dot(miss, scaled);
    for (int a = 0; a < n; a++) {
        out->gradient[a] += dot(scaled, per_dose[a]);
    }
    for (int a = 0; a < n; a++) {
        for (int i = 0; i < LANES; i++) {
            scaled[i] = per_dose[a][i] * k->band_scale[i];
        }
        for (int b = 0; b <= a; b++) {
            out->matrix[a][b] += dot(scaled, per_dose[b]);
        }
    }
}

/* What comes from the curvature of reflectance over K/S and of K/S over depth. */
static inline void add_bends(const double *restrict bend, double (*restrict slope)[LANES],
                             double (*restrict second)[LANES], int n, mdr_kernel_point *out)
{
    double pull_ks[LANES], scaled[LANES];
    for (int i = 0; i < LANES; i++) {
        pull_ks[i] = out->pull[i] * out->slope[i];
    }
    for (int a = 0; a < n; a++) {
        for (int i = 0; i < LANES; i++) {
            scaled[i] = out->pull[i] * bend[i] * slope[a][i];
        }
        for (int b = 0; b <= a; b++) {
            out->bend[a][b] += dot(scaled, slope[b]);
        }
        out->bend[a][a] += dot(pull_ks, second[a]);
    }
}

void MDR_KERNEL_NAME(const mdr_kernel *k, const int *dyes, const double *depth, int n,
                     mdr_kernel_point *out)
{
    double ks[LANES], measured[LANES], bend[LANES];
    double slope[DYES][LANES], second[DYES][LANES], per_dose[DYES][LANES];
    memcpy(ks, k->cloth_ks, sizeof ks);
    for (int d = 0; d < n; d++) {
        add_dye(&k->dyes[dyes[d]], depth[d], ks, slope[d], second[d]);
    }
    reflect(k, ks, measured, out->slope, bend);
    for (int d = 0; d < n; d++) {
        for (int i = 0; i < LANES; i++) {
            per_dose[d][i] = slope[d][i] * out->slope[i];
        }
    }
    out->square = 0.0;
    memset(out->gradient, 0, sizeof out->gradient);
    memset(out->matrix, 0, sizeof out->matrix);
    memset(out->bend, 0, sizeof out->bend);
    memset(out->pull, 0, sizeof out->pull);
    add_light(k, 0, measured, per_dose, n, out);
    out->square_first = out->square;
    for (int j = 1; j < k->lights; j++) {
        add_light(k, j, measured, per_dose, n, out);
    }
    if (k->spectrum) {
        add_spectrum(k, measured, per_dose, n, out);
    }
    add_bends(bend, slope, second, n, out);
    for (int a = 0; a < n; a++) {
        for (int b = 0; b < a; b++) {
            out->matrix[b][a] = out->matrix[a][b];
            out->bend[b][a] = out->bend[a][b];
        }
    }
}
