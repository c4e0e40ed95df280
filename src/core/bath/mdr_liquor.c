#include "core/bath/mdr_liquor.h"

#include <math.h>

double mdr_liquor_wanted_l(double load_kg, double ratio_l_per_kg)
{
    return load_kg * ratio_l_per_kg;
}

double mdr_liquor_ratio_l_per_kg(double liquor_l, double load_kg)
{
    return liquor_l / load_kg;
}

double mdr_liquor_retained_l(double load_kg, double retained_l_per_kg)
{
    return load_kg * retained_l_per_kg;
}

double mdr_liquor_fresh_fill_l(double wanted_l, double carried_l, double additions_l)
{
    return wanted_l - carried_l - additions_l;
}

double mdr_liquor_drain_kept(double retained_l, double liquor_l)
{
    return retained_l / liquor_l;
}

double mdr_liquor_overflow_kept(double flow_l_per_min, double minutes, double liquor_l)
{
    return exp(-flow_l_per_min * minutes / liquor_l);
}

double mdr_liquor_rinses_kept(double retained_l_per_kg, double ratio_l_per_kg, double rinses)
{
    return pow(retained_l_per_kg / ratio_l_per_kg, rinses);
}

double mdr_liquor_rinses_needed(double retained_l_per_kg, double ratio_l_per_kg, double kept)
{
    return log(kept) / log(retained_l_per_kg / ratio_l_per_kg);
}
