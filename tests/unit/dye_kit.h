/* Invented dyes, cloths and mills for tests of recipes: absorption bands as skewed bells, no
 * product's. Everything here is grade I. */
#ifndef DYE_KIT_H
#define DYE_KIT_H

#include <math.h>
#include <stdint.h>

#include "core/recipe/mdr_ladder.h"

enum { KIT_DYES = 30, KIT_RUNGS = 6 };

static const double KIT_DEPTHS[KIT_RUNGS] = {0.1, 0.3, 0.8, 1.6, 3.0, 5.0};
static const mdr_surface KIT_SURFACE = {.kind = MDR_SURFACE_SAUNDERSON, .k1 = 0.035, .k2 = 0.5};

/* xorshift64*, a fixed seed each test */
static inline double kit_uniform(uint64_t *seed)
{
    *seed ^= *seed >> 12;
    *seed ^= *seed << 25;
    *seed ^= *seed >> 27;
    return (double)((*seed * 2685821657736338717u) >> 11) / 9007199254740992.0;
}

/* sum of twelve: near enough to normal */
static inline double kit_normal(uint64_t *seed)
{
    double sum = -6.0;
    for (int i = 0; i < 12; i++) {
        sum += kit_uniform(seed);
    }
    return sum;
}

/* K/S that dye d adds, of % owf that are fixed; peaks from violet to far red, golden-ratio order so
 * that any few neighbours are unlike */
static inline double kit_unit_ks(int dye, int band)
{
    const double at = fmod(0.13 + 0.6180339887 * dye, 1.0);
    const double peak_nm = 400.0 + 265.0 * at, nm = mdr_km_band_nm(band);
    const double spread_nm = nm < peak_nm ? 48.0 + 7.0 * (dye % 5) : 30.0 + 5.0 * (dye % 4);
    const double bell = (nm - peak_nm) / spread_nm;
    const double side = (nm - 405.0) / 60.0; /* every dye has a little blue absorption */
    return (3.0 + 0.35 * (dye % 7)) * exp(-bell * bell) + 0.25 * exp(-side * side) + 0.01;
}

/* What is fixed of what was given: less and less. */
static inline double kit_fixed(int dye, double depth_pct_owf)
{
    return depth_pct_owf / (1.0 + depth_pct_owf / (14.0 + dye % 6));
}

static inline mdr_curve kit_cloth_ks(void)
{
    mdr_curve ks;
    for (int b = 0; b < MDR_BANDS; b++) {
        ks.v[b] = 0.004 + 0.05 * exp(-b / 6.0); /* half-bleached cotton, a little yellow */
    }
    return ks;
}

static inline mdr_curve kit_measured(const mdr_curve *ks)
{
    mdr_curve m;
    const mdr_surface_form form = mdr_surface_form_of(&KIT_SURFACE);
    mdr_km_measured(ks, &form, &m);
    return m;
}

static inline mdr_curve kit_cloth(void)
{
    const mdr_curve ks = kit_cloth_ks();
    return kit_measured(&ks);
}

/* A cloth dyed with this, as measured. */
static inline mdr_curve kit_dyed(const int *dyes, const double *depth_pct_owf, int n)
{
    mdr_curve ks = kit_cloth_ks();
    for (int i = 0; i < n; i++) {
        for (int b = 0; b < MDR_BANDS; b++) {
            ks.v[b] += kit_fixed(dyes[i], depth_pct_owf[i]) * kit_unit_ks(dyes[i], b);
        }
    }
    return kit_measured(&ks);
}

static inline void kit_rungs(int dye, mdr_rung rungs[KIT_RUNGS])
{
    for (int i = 0; i < KIT_RUNGS; i++) {
        rungs[i].depth_pct_owf = KIT_DEPTHS[i];
        rungs[i].curve = kit_dyed(&dye, &KIT_DEPTHS[i], 1);
    }
}

static inline mdr_ladder_in kit_ladder_in(const mdr_rung *rungs, int n)
{
    return (mdr_ladder_in){
        .rungs = rungs, .n = n, .substrate = kit_cloth(), .surface = KIT_SURFACE, .beyond = 1.25};
}

#endif
