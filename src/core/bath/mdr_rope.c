#include "core/bath/mdr_rope.h"

static const double G_PER_KG = 1000.0;

double mdr_rope_fabric_m(double load_kg, double gsm, double width_m)
{
    return G_PER_KG * load_kg / (gsm * width_m);
}

double mdr_rope_per_tube_m(double fabric_m, double tubes)
{
    return fabric_m / tubes;
}

double mdr_rope_cycle_min(double rope_m, double speed_m_per_min)
{
    return rope_m / speed_m_per_min;
}

double mdr_rope_speed_m_per_min(double rope_m, double cycle_min)
{
    return rope_m / cycle_min;
}

double mdr_rope_load_kg(double rope_m, double tubes, double gsm, double width_m)
{
    return rope_m * tubes * gsm * width_m / G_PER_KG;
}
