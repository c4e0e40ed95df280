#include "core/finish/mdr_drying.h"

#include <math.h>

#include "core/finish/mdr_bound.h"
#include "core/finish/mdr_psychro.h"

static const double FACES = 2.0;
static const double G_PER_KG = 1000.0, J_PER_KJ = 1000.0, S_PER_H = 3600.0, S_PER_MIN = 60.0;
/* [perry-heat], as in the balance */
static const double COTTON_KJ_PER_KG_K = 1.34, WATER_KJ_PER_KG_K = 4.19;

static const char *const OUTSIDE = "drying cannot be worked out with this";

static mdr_code infeasible(mdr_err *err, const char *field, double value, const char *msg,
                           const char *remedy)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_INFEAS, field, "%s", msg);
    mdr_err_value(err, "%g", value);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

/* Everything but moisture_out and h. */
static mdr_code check_air_and_fabric(const mdr_drying_in *in, mdr_err *err)
{
    const mdr_bound all[] = {
        {"dry_gsm", in->dry_gsm, 10.0, 2000.0},
        {"moisture_in_kg_per_kg", in->moisture_in_kg_per_kg, 0.0, 5.0},
        {"critical_kg_per_kg", in->critical_kg_per_kg, 0.0, 5.0},
        {"equilibrium_kg_per_kg", in->equilibrium_kg_per_kg, 0.0, 5.0},
        {"air_c", in->air_c, 40.0, MDR_PSYCHRO_MAX_C},
        {"air_kg_per_kg", in->air_kg_per_kg, 0.0, 10.0},
        {"pressure_pa", in->pressure_pa, MDR_PSYCHRO_MIN_PA, MDR_PSYCHRO_MAX_PA},
    };
    MDR_TRY(mdr_bound_check(all, (int)(sizeof all / sizeof all[0]), OUTSIDE, err));
    if (!(in->critical_kg_per_kg > in->equilibrium_kg_per_kg)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "critical_kg_per_kg",
                                     "the critical moisture lies above the equilibrium moisture");
        mdr_err_value(err, "%g", in->critical_kg_per_kg);
        mdr_err_allowed(err, "more than %g", in->equilibrium_kg_per_kg);
        mdr_err_remedy(err, "cotton: 0.22 to 0.30 over about 0.01");
        return rc;
    }
    if (!(in->moisture_in_kg_per_kg > in->equilibrium_kg_per_kg)) {
        return infeasible(err, "moisture_in_kg_per_kg", in->moisture_in_kg_per_kg,
                          "the fabric comes as dry as this air can make it", "nothing to dry");
    }
    return MDR_OK;
}

static mdr_code check_exit(const mdr_drying_in *in, mdr_err *err)
{
    const mdr_bound out = {"moisture_out_kg_per_kg", in->moisture_out_kg_per_kg, 0.0, 5.0};
    MDR_TRY(mdr_bound_check(&out, 1, OUTSIDE, err));
    if (!(in->moisture_out_kg_per_kg > in->equilibrium_kg_per_kg)) {
        return infeasible(err, "moisture_out_kg_per_kg", in->moisture_out_kg_per_kg,
                          "this air never makes the fabric so dry",
                          "ask for more moisture than the equilibrium's");
    }
    if (!(in->moisture_out_kg_per_kg < in->moisture_in_kg_per_kg)) {
        return infeasible(err, "moisture_out_kg_per_kg", in->moisture_out_kg_per_kg,
                          "the fabric is to leave no drier than it comes",
                          "check the moisture before and behind the oven");
    }
    return MDR_OK;
}

/* Seconds that 1 kg/kg takes while the surface is wet: Ls/N; and what goes into it. */
static mdr_code pace(const mdr_drying_in *in, double h_w_per_m2_k, mdr_drying *out,
                     double *s_per_kg_per_kg, mdr_err *err)
{
    double bulb_c = 0.0;
    MDR_TRY(mdr_psychro_wet_bulb_c(in->air_c, in->air_kg_per_kg, in->pressure_pa, &bulb_c, err));
    const double latent = mdr_psychro_latent_kj_per_kg(bulb_c);
    const double rate_kg_per_m2_s =
        FACES * h_w_per_m2_k * (in->air_c - bulb_c) / (latent * J_PER_KJ);
    if (!(rate_kg_per_m2_s > 0.0)) {
        return infeasible(err, "air_kg_per_kg", in->air_kg_per_kg,
                          "the air is full of water already", "raise the exhaust or the heat");
    }
    *out = (mdr_drying){.wet_bulb_c = bulb_c,
                        .latent_kj_per_kg = latent,
                        .rate_kg_per_m2_h = rate_kg_per_m2_s * S_PER_H};
    *s_per_kg_per_kg = in->dry_gsm / G_PER_KG / rate_kg_per_m2_s;
    return MDR_OK;
}

static mdr_code time_at(const mdr_drying_in *in, double h_w_per_m2_k, mdr_drying *out, mdr_err *err)
{
    MDR_TRY(check_air_and_fabric(in, err));
    MDR_TRY(check_exit(in, err));
    mdr_drying d = {0};
    double s_per = 0.0;
    MDR_TRY(pace(in, h_w_per_m2_k, &d, &s_per, err));
    const double xc = in->critical_kg_per_kg, xe = in->equilibrium_kg_per_kg;
    const double x0 = in->moisture_in_kg_per_kg, x1 = in->moisture_out_kg_per_kg;
    if (x0 > xc) {
        d.constant_s = s_per * (x0 - fmax(xc, x1));
    }
    if (x1 < xc) {
        d.falling_s = s_per * (xc - xe) * log((fmin(x0, xc) - xe) / (x1 - xe));
    }
    d.total_s = d.constant_s + d.falling_s;
    *out = d;
    return MDR_OK;
}

static mdr_code check_h(const mdr_drying_in *in, mdr_err *err)
{
    const mdr_bound h = {"h_w_per_m2_k", in->h_w_per_m2_k, 1.0, 1000.0};
    return mdr_bound_check(&h, 1, OUTSIDE, err);
}

mdr_code mdr_drying_time(const mdr_drying_in *in, mdr_drying *out, mdr_err *err)
{
    MDR_TRY(check_h(in, err));
    return time_at(in, in->h_w_per_m2_k, out, err);
}

mdr_code mdr_drying_moisture_after(const mdr_drying_in *in, double seconds, double *kg_per_kg,
                                   mdr_err *err)
{
    const mdr_bound time = {"seconds", seconds, 0.0, 1e6};
    MDR_TRY(mdr_bound_check(&time, 1, OUTSIDE, err));
    MDR_TRY(check_h(in, err));
    MDR_TRY(check_air_and_fabric(in, err));
    mdr_drying d = {0};
    double s_per = 0.0;
    MDR_TRY(pace(in, in->h_w_per_m2_k, &d, &s_per, err));
    *kg_per_kg = mdr_drying_left_kg_per_kg(in->moisture_in_kg_per_kg, seconds / s_per,
                                           in->critical_kg_per_kg, in->equilibrium_kg_per_kg);
    return MDR_OK;
}

double mdr_drying_wet_kg_per_kg(double from_kg_per_kg, double to_kg_per_kg,
                                double critical_kg_per_kg, double equilibrium_kg_per_kg)
{
    const double xc = critical_kg_per_kg, xe = equilibrium_kg_per_kg;
    if (!(to_kg_per_kg < from_kg_per_kg)) {
        return 0.0;
    }
    if (!(to_kg_per_kg > xe)) {
        return (double)INFINITY;
    }
    const double constant = fmax(from_kg_per_kg - fmax(xc, to_kg_per_kg), 0.0);
    return to_kg_per_kg < xc
               ? constant + (xc - xe) * log((fmin(from_kg_per_kg, xc) - xe) / (to_kg_per_kg - xe))
               : constant;
}

double mdr_drying_left_kg_per_kg(double from_kg_per_kg, double wet_kg_per_kg,
                                 double critical_kg_per_kg, double equilibrium_kg_per_kg)
{
    const double xc = critical_kg_per_kg, xe = equilibrium_kg_per_kg;
    const double constant = fmax(from_kg_per_kg - xc, 0.0);
    if (wet_kg_per_kg <= constant) {
        return from_kg_per_kg - wet_kg_per_kg;
    }
    return xe + (fmin(from_kg_per_kg, xc) - xe) * exp(-(wet_kg_per_kg - constant) / (xc - xe));
}

mdr_code mdr_drying_fit_h(const mdr_drying_in *in, double oven_m, double speed_m_per_min,
                          double entry_s, double *h_w_per_m2_k, mdr_err *err)
{
    const mdr_bound run[] = {{"oven_m", oven_m, 0.1, 100.0},
                             {"speed_m_per_min", speed_m_per_min, 0.1, 500.0},
                             {"entry_s", entry_s, 0.0, 60.0}};
    MDR_TRY(mdr_bound_check(run, 3, OUTSIDE, err));
    mdr_drying at_one = {0};
    MDR_TRY(time_at(in, 1.0, &at_one, err));
    const double dried_s = S_PER_MIN * oven_m / speed_m_per_min - entry_s;
    if (!(dried_s > 0.0)) {
        return infeasible(err, "speed_m_per_min", speed_m_per_min,
                          "at this speed the fabric is out before it is warm",
                          "check speed, length of oven and warming time");
    }
    const double h = at_one.total_s / dried_s;
    const double least = 5.0, most = 500.0; /* still air; far above any nozzle. Invented */
    if (!(h >= least && h <= most)) {
        const mdr_code rc = infeasible(err, "h_w_per_m2_k", h, "no dryer blows like that",
                                       "one of speed, moistures, air or oven was misread");
        mdr_err_allowed(err, "%g to %g", least, most);
        return rc;
    }
    *h_w_per_m2_k = h;
    return MDR_OK;
}

mdr_code mdr_drying_warm_up_s(const mdr_drying_in *in, double moisture_kg_per_kg, double from_c,
                              double to_c, double *seconds, mdr_err *err)
{
    const mdr_bound all[] = {
        {"dry_gsm", in->dry_gsm, 10.0, 2000.0},
        {"air_c", in->air_c, 40.0, MDR_PSYCHRO_MAX_C},
        {"moisture_kg_per_kg", moisture_kg_per_kg, 0.0, 5.0},
        {"from_c", from_c, -20.0, 300.0},
        {"to_c", to_c, -20.0, 300.0},
    };
    MDR_TRY(mdr_bound_check(all, (int)(sizeof all / sizeof all[0]), OUTSIDE, err));
    MDR_TRY(check_h(in, err));
    if (!(to_c < in->air_c)) {
        return infeasible(err, "to_c", to_c, "the air is no hotter than the fabric is to become",
                          "set the air above the temperature wanted of the fabric");
    }
    if (from_c >= to_c) {
        *seconds = 0.0;
        return MDR_OK;
    }
    const double kj_per_m2_k =
        in->dry_gsm / G_PER_KG * (COTTON_KJ_PER_KG_K + WATER_KJ_PER_KG_K * moisture_kg_per_kg);
    *seconds = kj_per_m2_k * J_PER_KJ / (FACES * in->h_w_per_m2_k) *
               log((in->air_c - from_c) / (in->air_c - to_c));
    return MDR_OK;
}

static void limit(mdr_speed *s, mdr_speed_limit by, double m_per_min)
{
    if (m_per_min > 0.0 && m_per_min < s->speed_m_per_min) {
        s->speed_m_per_min = m_per_min;
        s->binding = by;
    }
}

mdr_code mdr_drying_speed(const mdr_oven *oven, mdr_speed *out, mdr_err *err)
{
    const mdr_bound all[] = {
        {"length_m", oven->length_m, 0.1, 100.0},
        {"speed_min_m_per_min", oven->speed_min_m_per_min, 0.1, 500.0},
        {"speed_max_m_per_min", oven->speed_max_m_per_min, oven->speed_min_m_per_min, 500.0},
        {"entry_s", oven->entry_s, 0.0, 3600.0},
        {"drying_s", oven->drying_s, 0.0, 3600.0},
        {"set_warm_up_s", oven->set_warm_up_s, 0.0, 3600.0},
        {"set_dwell_s", oven->set_dwell_s, 0.0, 3600.0},
    };
    MDR_TRY(mdr_bound_check(all, (int)(sizeof all / sizeof all[0]), OUTSIDE, err));
    const double m_per_min_s = S_PER_MIN * oven->length_m;
    /* a fabric that comes in dry has no wet surface to warm first */
    const double dry_s = oven->drying_s > 0.0 ? oven->entry_s + oven->drying_s : 0.0;
    const double at_temp_s = dry_s + oven->set_warm_up_s;
    mdr_speed s = {
        .evaporation_m_per_min = dry_s > 0.0 ? m_per_min_s / dry_s : 0.0,
        .dwell_m_per_min =
            oven->set_dwell_s > 0.0 ? m_per_min_s / (at_temp_s + oven->set_dwell_s) : 0.0,
        .machine_m_per_min = oven->speed_max_m_per_min,
        .speed_m_per_min = oven->speed_max_m_per_min,
        .binding = MDR_SPEED_MACHINE,
    };
    limit(&s, MDR_SPEED_EVAPORATION, s.evaporation_m_per_min);
    limit(&s, MDR_SPEED_DWELL, s.dwell_m_per_min);
    s.below_slowest = s.speed_m_per_min < oven->speed_min_m_per_min;
    if (oven->set_dwell_s > 0.0) {
        s.warm_up_m = at_temp_s * s.speed_m_per_min / S_PER_MIN;
        s.dwell_s = S_PER_MIN * (oven->length_m - s.warm_up_m) / s.speed_m_per_min;
    }
    *out = s;
    return MDR_OK;
}
