#include "core/bath/mdr_washoff.h"

#include <math.h>

#include "core/bath/mdr_liquor.h"

static const double ICE_K = 273.15;                   /* definition */
static const double HOT_C = 95.0, WARM_C = 75.0;      /* [hot-rinse-page] */
static const double HOT_OVER_WARM = 1.3;              /* [hot-rinse-page], of what comes out */
static const double COMPARED_MIN = 10.0;              /* [hot-rinse-page] */
static const double HOT_RELEASED = 0.50;              /* common practice; calibrate */
static const double ELECTROLYTE_HALVES_G_PER_L = 2.0; /* common practice */
/* a quotient of logarithms may end a hair above a whole number */
static const double BATH_SLACK = 1e-9;
/* a sum of depths in binary may miss the edge of a line by a hair */
static const double DEPTH_ROUNDING_PCT = 1e-9;

/* Rate that takes out this part in the time compared, 1/min. */
static double rate_of_released(double part)
{
    return -log1p(-part) / COMPARED_MIN;
}

double mdr_washoff_rate_per_min(double temp_c, double electrolyte_g_per_l)
{
    const double hot = rate_of_released(HOT_RELEASED);
    const double warm = rate_of_released(HOT_RELEASED / HOT_OVER_WARM);
    const double hot_k = HOT_C + ICE_K, warm_k = WARM_C + ICE_K;
    /* activation energy over the gas constant, K: derived, so that both points are met exactly */
    const double activation_k = log(hot / warm) / (1.0 / warm_k - 1.0 / hot_k);
    const double soft = hot * exp(activation_k * (1.0 / hot_k - 1.0 / (temp_c + ICE_K)));
    return soft / (1.0 + electrolyte_g_per_l / ELECTROLYTE_HALVES_G_PER_L);
}

double mdr_washoff_left(double rate_per_min, double minutes)
{
    return exp(-rate_per_min * minutes);
}

double mdr_washoff_baths_needed(double loose_mg_per_kg, double target_mg_per_kg, double temp_c,
                                double minutes, double electrolyte_g_per_l)
{
    if (loose_mg_per_kg <= target_mg_per_kg) {
        return 0.0;
    }
    const double rate = mdr_washoff_rate_per_min(temp_c, electrolyte_g_per_l);
    return ceil(log(loose_mg_per_kg / target_mg_per_kg) / (rate * minutes) - BATH_SLACK);
}

mdr_washoff_usual_baths mdr_washoff_usual(double depth_pct_owf)
{
    /* common practice */
    static const mdr_washoff_usual_baths PALE = {1, 2, 0, 1, 1, 1}, MEDIUM = {2, 2, 1, 1, 1, 2},
                                         DARK = {2, 3, 2, 2, 2, 2}, VERY_DARK = {3, 3, 2, 3, 2, 3};
    if (depth_pct_owf < 0.5 - DEPTH_ROUNDING_PCT) {
        return PALE;
    }
    if (depth_pct_owf <= 2.0 + DEPTH_ROUNDING_PCT) {
        return MEDIUM;
    }
    return depth_pct_owf <= 4.0 + DEPTH_ROUNDING_PCT ? DARK : VERY_DARK;
}
