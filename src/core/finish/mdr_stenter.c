#include "core/finish/mdr_stenter.h"

#include "core/finish/mdr_bound.h"
#include "core/finish/mdr_psychro.h"

static const double KJ_PER_MJ = 1000.0, MJ_PER_KWH = 3.6;
static const double COTTON_KJ_PER_KG_K = 1.34; /* [perry-heat], dry */
static const double WATER_KJ_PER_KG_K = 4.19;  /* [perry-heat], of the liquid that goes through */

static mdr_code infeasible(mdr_err *err, const char *field, double value, double limit,
                           const char *msg)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_INFEAS, field, "%s", msg);
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "limit %g", limit);
    mdr_err_remedy(err, "check the reading and its unit (kg per kg of dry air or fabric, not %%)");
    return rc;
}

/* Air below boiling holds so much and no more. */
static mdr_code check_saturation(const mdr_stenter_in *in, mdr_err *err)
{
    double full_pa = 0.0;
    MDR_TRY(mdr_psychro_saturation_pa(in->exhaust_c, &full_pa, err));
    const double vapour_pa = mdr_psychro_vapour_pa(in->exhaust_kg_per_kg, in->pressure_pa);
    if (vapour_pa > full_pa) {
        return infeasible(err, "exhaust_kg_per_kg", in->exhaust_kg_per_kg,
                          mdr_psychro_kg_per_kg(full_pa, in->pressure_pa),
                          "exhaust of this temperature cannot hold this much vapour");
    }
    return MDR_OK;
}

static mdr_code check(const mdr_stenter_in *in, mdr_err *err)
{
    const mdr_bound all[] = {
        {"dry_kg_per_h", in->dry_kg_per_h, 0.1, 20000.0},
        {"moisture_in_kg_per_kg", in->moisture_in_kg_per_kg, 0.0, 5.0},
        {"moisture_out_kg_per_kg", in->moisture_out_kg_per_kg, 0.0, 5.0},
        {"fresh_kg_per_kg", in->fresh_kg_per_kg, 0.0, 0.1},
        {"fresh_c", in->fresh_c, -20.0, 60.0},
        {"exhaust_kg_per_kg", in->exhaust_kg_per_kg, 0.0, 10.0},
        {"exhaust_c", in->exhaust_c, 0.0, MDR_PSYCHRO_MAX_C},
        {"fabric_in_c", in->fabric_in_c, -20.0, 300.0},
        {"fabric_out_c", in->fabric_out_c, -20.0, 300.0},
        {"loss_fraction", in->loss_fraction, 0.0, 0.9},
        {"pressure_pa", in->pressure_pa, MDR_PSYCHRO_MIN_PA, MDR_PSYCHRO_MAX_PA},
    };
    MDR_TRY(mdr_bound_check(all, (int)(sizeof all / sizeof all[0]),
                            "a stenter cannot be balanced with this", err));
    if (!(in->moisture_out_kg_per_kg < in->moisture_in_kg_per_kg)) {
        return infeasible(err, "moisture_out_kg_per_kg", in->moisture_out_kg_per_kg,
                          in->moisture_in_kg_per_kg, "the fabric leaves no drier than it comes");
    }
    if (!(in->exhaust_kg_per_kg > in->fresh_kg_per_kg)) {
        return infeasible(err, "exhaust_kg_per_kg", in->exhaust_kg_per_kg, in->fresh_kg_per_kg,
                          "the exhaust is no more humid than the fresh air, so no water leaves");
    }
    if (!(in->exhaust_c >= in->fresh_c)) {
        return infeasible(err, "exhaust_c", in->exhaust_c, in->fresh_c,
                          "the exhaust is cooler than the fresh air");
    }
    return check_saturation(in, err);
}

mdr_code mdr_stenter_balance(const mdr_stenter_in *in, mdr_stenter *out, mdr_err *err)
{
    MDR_TRY(check(in, err));
    const double evaporated =
        in->dry_kg_per_h * (in->moisture_in_kg_per_kg - in->moisture_out_kg_per_kg);
    const double air = evaporated / (in->exhaust_kg_per_kg - in->fresh_kg_per_kg);
    const double vapour_kj_per_kg = MDR_PSYCHRO_H_VAP + MDR_PSYCHRO_CP_VAP * in->exhaust_c -
                                    WATER_KJ_PER_KG_K * in->fabric_in_c;
    const double air_kj_per_kg = (MDR_PSYCHRO_CP_AIR + MDR_PSYCHRO_CP_VAP * in->fresh_kg_per_kg) *
                                 (in->exhaust_c - in->fresh_c);
    const double fabric_kj_per_kg =
        (COTTON_KJ_PER_KG_K + WATER_KJ_PER_KG_K * in->moisture_out_kg_per_kg) *
        (in->fabric_out_c - in->fabric_in_c);
    mdr_stenter s = {
        .evaporated_kg_per_h = evaporated,
        .air_kg_per_h = air,
        .evaporation_mj_per_h = evaporated * vapour_kj_per_kg / KJ_PER_MJ,
        .air_mj_per_h = air * air_kj_per_kg / KJ_PER_MJ,
        .fabric_mj_per_h = in->dry_kg_per_h * fabric_kj_per_kg / KJ_PER_MJ,
    };
    const double used = s.evaporation_mj_per_h + s.air_mj_per_h + s.fabric_mj_per_h;
    s.heat_mj_per_h = used / (1.0 - in->loss_fraction);
    s.loss_mj_per_h = s.heat_mj_per_h * in->loss_fraction;
    s.mj_per_kg_evaporated = s.heat_mj_per_h / evaporated;
    s.kwh_per_kg_evaporated = s.mj_per_kg_evaporated / MJ_PER_KWH;
    s.mj_per_kg_dry = s.heat_mj_per_h / in->dry_kg_per_h;
    *out = s;
    return MDR_OK;
}

double mdr_stenter_saving_fraction(const mdr_stenter *now, const mdr_stenter *changed)
{
    return 1.0 - changed->mj_per_kg_dry / now->mj_per_kg_dry;
}
