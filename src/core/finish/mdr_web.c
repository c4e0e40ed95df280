#include "core/finish/mdr_web.h"

#include "core/finish/mdr_bound.h"

static const double CM_PER_M = 100.0, G_PER_KG = 1000.0, MIN_PER_H = 60.0;

/* Wide enough for every knit, narrow enough to catch a wrong unit. Invented. */
enum { WIDTH_MAX_CM = 1000, LOOPS_MAX_PER_CM = 100, GSM_MAX = 2000, MOISTURE_MAX = 5 };
static const double LOOPS_MIN_PER_CM = 0.5;

mdr_code mdr_web_check(const mdr_web *web, mdr_err *err)
{
    const mdr_bound all[] = {
        {"width_cm", web->width_cm, 1.0, WIDTH_MAX_CM},
        {"courses_per_cm", web->courses_per_cm, LOOPS_MIN_PER_CM, LOOPS_MAX_PER_CM},
        {"wales_per_cm", web->wales_per_cm, LOOPS_MIN_PER_CM, LOOPS_MAX_PER_CM},
        {"dry_gsm", web->dry_gsm, 10.0, GSM_MAX},
        {"moisture_kg_per_kg", web->moisture_kg_per_kg, 0.0, MOISTURE_MAX},
        {"speed_m_per_min", web->speed_m_per_min, 0.0, 500.0},
        {"length_m", web->length_m, 0.01, 1e6},
        {"temp_c", web->temp_c, -20.0, 300.0},
    };
    return mdr_bound_check(all, (int)(sizeof all / sizeof all[0]), "no knit fabric measures this",
                           err);
}

double mdr_web_needles(const mdr_web *web)
{
    return web->wales_per_cm * web->width_cm;
}

double mdr_web_courses(const mdr_web *web)
{
    return web->courses_per_cm * web->length_m * CM_PER_M;
}

/* bone dry kg in one metre of length */
static double dry_kg_per_m(const mdr_web *web)
{
    return web->dry_gsm * web->width_cm / (CM_PER_M * G_PER_KG);
}

double mdr_web_dry_kg(const mdr_web *web)
{
    return dry_kg_per_m(web) * web->length_m;
}

double mdr_web_dry_kg_per_h(const mdr_web *web)
{
    return dry_kg_per_m(web) * web->speed_m_per_min * MIN_PER_H;
}

double mdr_web_wet_gsm(const mdr_web *web)
{
    return web->dry_gsm * (1.0 + web->moisture_kg_per_kg);
}

double mdr_web_conditioned_gsm(const mdr_web *web, double regain_kg_per_kg)
{
    return web->dry_gsm * (1.0 + regain_kg_per_kg);
}

double mdr_web_dry_gsm_of(double conditioned_gsm, double regain_kg_per_kg)
{
    return conditioned_gsm / (1.0 + regain_kg_per_kg);
}

mdr_web_measure mdr_web_measured(const mdr_web *web, double regain_kg_per_kg)
{
    return (mdr_web_measure){
        .width_cm = web->width_cm,
        .layflat_cm = 0.5 * web->width_cm,
        .courses_per_cm = web->courses_per_cm,
        .wales_per_cm = web->wales_per_cm,
        .wet_gsm = mdr_web_wet_gsm(web),
        .conditioned_gsm = mdr_web_conditioned_gsm(web, regain_kg_per_kg),
        .moisture_kg_per_kg = web->moisture_kg_per_kg,
    };
}

double mdr_web_moisture_of_pickup(double pickup_kg_per_kg, double regain_kg_per_kg)
{
    return (1.0 + regain_kg_per_kg) * (1.0 + pickup_kg_per_kg) - 1.0;
}

double mdr_web_pickup_of_moisture(double moisture_kg_per_kg, double regain_kg_per_kg)
{
    return (1.0 + moisture_kg_per_kg) / (1.0 + regain_kg_per_kg) - 1.0;
}

double mdr_web_loss_of_overfeed(double overfeed_fraction)
{
    return overfeed_fraction / (1.0 + overfeed_fraction);
}

double mdr_web_overfeed_of_loss(double loss_fraction)
{
    return loss_fraction / (1.0 - loss_fraction);
}

mdr_web mdr_web_overfed(const mdr_web *web, double overfeed_fraction, double width_out_cm)
{
    const double shorter = 1.0 + overfeed_fraction;
    const double wider = width_out_cm / web->width_cm;
    mdr_web out = *web;
    out.width_cm = width_out_cm;
    out.courses_per_cm = web->courses_per_cm * shorter;
    out.wales_per_cm = web->wales_per_cm / wider;
    out.dry_gsm = web->dry_gsm * shorter / wider;
    out.speed_m_per_min = web->speed_m_per_min / shorter;
    out.length_m = web->length_m / shorter;
    return out;
}

mdr_residual mdr_web_residual(const mdr_web *web, const mdr_relaxed *relaxed)
{
    return (mdr_residual){1.0 - web->courses_per_cm / relaxed->courses_per_cm,
                          1.0 - web->wales_per_cm / relaxed->wales_per_cm};
}

double mdr_web_residual_after(double residual_fraction, double ratio)
{
    return 1.0 - (1.0 - residual_fraction) / ratio;
}

mdr_web mdr_web_with_residual(const mdr_web *web, const mdr_relaxed *relaxed, mdr_residual residual)
{
    const double courses = relaxed->courses_per_cm * (1.0 - residual.length_fraction);
    const double wales = relaxed->wales_per_cm * (1.0 - residual.width_fraction);
    return mdr_web_overfed(web, courses / web->courses_per_cm - 1.0, mdr_web_needles(web) / wales);
}

mdr_code mdr_web_read(const mdr_web *web, const mdr_web_reading *reading, mdr_web *out,
                      double *weighed_off_fraction, mdr_err *err)
{
    const mdr_bound all[] = {
        {"width_cm", reading->width_cm, 1.0, WIDTH_MAX_CM},
        {"courses_per_cm", reading->courses_per_cm, LOOPS_MIN_PER_CM, LOOPS_MAX_PER_CM},
        {"moisture_kg_per_kg", reading->moisture_kg_per_kg, 0.0, MOISTURE_MAX},
        /* wet fabric weighs up to (1 + moisture) times as much */
        {"wet_gsm", reading->wet_gsm, 0.0, GSM_MAX * (1.0 + MOISTURE_MAX)},
    };
    MDR_TRY(mdr_bound_check(all, (int)(sizeof all / sizeof all[0]), "no knit fabric measures this",
                            err));
    mdr_web is = mdr_web_overfed(web, reading->courses_per_cm / web->courses_per_cm - 1.0,
                                 reading->width_cm);
    is.moisture_kg_per_kg = reading->moisture_kg_per_kg;
    *weighed_off_fraction =
        reading->wet_gsm > 0.0 ? reading->wet_gsm / mdr_web_wet_gsm(&is) - 1.0 : 0.0;
    *out = is;
    return MDR_OK;
}
