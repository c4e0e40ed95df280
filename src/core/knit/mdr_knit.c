#include "core/knit/mdr_knit.h"

#include <math.h>

/* data/units/knit_constants.csv */
enum { CONSTRUCTION, STATE, KC, KW, BEDS, GSM_FACTOR, GRADE, KNIT_COLS };
extern const double knit_constants[][KNIT_COLS];
extern const int knit_constants_rows;

static const double PI = 3.14159265358979323846;
static const double DEG_PER_HALF_TURN = 180.0;
static const double CM_PER_M = 100.0, G_PER_KG = 1000.0, M_PER_KM = 1000.0, MIN_PER_H = 60.0;
/* loops/cm2 x cm x g/km: 1e4 cm2/m2 x 1e-2 m/cm x 1e-3 km/m */
static const double GSM_PER_LOOP_CM_TEX = 0.1;

mdr_knit_constants mdr_knit_constants_of(mdr_construction construction, mdr_relax state)
{
    const int row = (int)construction * MDR_RELAX_STATES + (int)state;
    if ((int)state < 0 || (int)state >= MDR_RELAX_STATES || row < 0 || row >= knit_constants_rows) {
        MDR_UNREACHABLE();
    }
    const double *v = knit_constants[row];
    return (mdr_knit_constants){.kc_cm = v[KC],
                                .kw_cm = v[KW],
                                .beds = v[BEDS],
                                .gsm_factor = v[GSM_FACTOR],
                                .length_factor = 1.0,
                                .width_factor = 1.0,
                                .grade = (mdr_knit_grade)(int)v[GRADE]};
}

double mdr_knit_ks_eff(const mdr_knit_constants *c)
{
    return c->kc_cm * c->kw_cm * c->beds * c->gsm_factor;
}

double mdr_knit_courses_per_cm(const mdr_knit *k, const mdr_knit_constants *c)
{
    return c->kc_cm / (k->loop_cm * c->length_factor);
}

double mdr_knit_wales_per_cm(const mdr_knit *k, const mdr_knit_constants *c)
{
    return c->kw_cm / (k->loop_cm * c->width_factor);
}

double mdr_knit_loops_per_cm2(const mdr_knit *k, const mdr_knit_constants *c)
{
    return mdr_knit_courses_per_cm(k, c) * mdr_knit_wales_per_cm(k, c);
}

static double yarn_part(const mdr_knit *k)
{
    return 1.0 - k->elastane_pct / 100.0;
}

/* g/m2 x loop / tex of this fabric, elastane and contraction included */
static double gsm_cm_per_tex(const mdr_knit *k, const mdr_knit_constants *c)
{
    return GSM_PER_LOOP_CM_TEX * mdr_knit_ks_eff(c) /
           (yarn_part(k) * c->length_factor * c->width_factor);
}

double mdr_knit_gsm(const mdr_knit *k, const mdr_knit_constants *c)
{
    return gsm_cm_per_tex(k, c) * k->yarn.g_per_km / k->loop_cm;
}

double mdr_knit_width_cm(const mdr_knit *k, const mdr_knit_constants *c)
{
    return (double)k->needles / mdr_knit_wales_per_cm(k, c);
}

double mdr_knit_tightness(const mdr_knit *k)
{
    return sqrt(k->yarn.g_per_km) / k->loop_cm;
}

int mdr_knit_needles(double diameter_inch, double gauge_per_inch)
{
    return 2 * (int)lround(PI * diameter_inch * gauge_per_inch / 2.0);
}

double mdr_knit_diameter_inch(double needles, double gauge_per_inch)
{
    return needles / (PI * gauge_per_inch);
}

double mdr_knit_course_m(const mdr_knit *k)
{
    return (double)k->needles * k->loop_cm / CM_PER_M;
}

double mdr_knit_output_kg_per_h(const mdr_knit *k, double rev_per_min)
{
    const double m_per_min = rev_per_min * (double)k->feeders * mdr_knit_course_m(k);
    return m_per_min * MIN_PER_H / M_PER_KM * k->yarn.g_per_km / G_PER_KG;
}

double mdr_knit_feeder_drop_pct(const mdr_knit *k, const mdr_knit_constants *c)
{
    return 100.0 * (double)k->feeders * mdr_knit_wales_per_cm(k, c) /
           ((double)k->needles * mdr_knit_courses_per_cm(k, c));
}

double mdr_knit_feeder_drop_deg(const mdr_knit *k, const mdr_knit_constants *c)
{
    return mdr_knit_deg_of_pct(mdr_knit_feeder_drop_pct(k, c));
}

double mdr_knit_pct_of_deg(double deg)
{
    return 100.0 * tan(deg * PI / DEG_PER_HALF_TURN);
}

double mdr_knit_deg_of_pct(double pct)
{
    return atan(pct / 100.0) * DEG_PER_HALF_TURN / PI;
}

double mdr_knit_ks_of_gsm(const mdr_knit *k, const mdr_knit_constants *c, double gsm)
{
    return gsm * k->loop_cm * yarn_part(k) * c->length_factor * c->width_factor /
           (GSM_PER_LOOP_CM_TEX * k->yarn.g_per_km);
}

double mdr_knit_loop_cm_of_gsm(const mdr_knit *k, const mdr_knit_constants *c, double gsm)
{
    return gsm_cm_per_tex(k, c) * k->yarn.g_per_km / gsm;
}

mdr_tex mdr_knit_tex_of_gsm(const mdr_knit *k, const mdr_knit_constants *c, double gsm)
{
    return (mdr_tex){gsm * k->loop_cm / gsm_cm_per_tex(k, c)};
}

double mdr_knit_elastane_pct(const mdr_knit *k, const mdr_knit_elastane *e)
{
    const double elastane = e->feeders_share * e->loop_cm * e->count.g_per_km / e->draft;
    return 100.0 * elastane / (elastane + k->loop_cm * k->yarn.g_per_km);
}
