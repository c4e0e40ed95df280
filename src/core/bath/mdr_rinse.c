#include "core/bath/mdr_rinse.h"

#include <math.h>
#include <stddef.h>

#include "core/bath/mdr_liquor.h"

/* a power and its logarithm may end a hair above a whole number */
static const double RINSE_SLACK = 1e-9;

static mdr_code out_of_range(mdr_err *err, const char *field, double value, const char *remedy)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, field, "a rinse cannot be worked out with this");
    mdr_err_value(err, "%g", value);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

/* A rope that keeps more than this of the bath is not rinsed by filling and draining. */
static const double MOST_RETAINED = 0.95;

mdr_code mdr_rinse_check(const mdr_rinse_in *in, mdr_err *err)
{
    const struct {
        const char *field;
        double value;
    } all[] = {{"load_kg", in->load_kg},
               {"ratio_l_per_kg", in->ratio_l_per_kg},
               {"retained_l_per_kg", in->retained_l_per_kg},
               {"start_g_per_l", in->start_g_per_l},
               {"target_g_per_l", in->target_g_per_l},
               {"flow_l_per_min", in->flow_l_per_min},
               {"fill_l_per_min", in->fill_l_per_min},
               {"drain_l_per_min", in->drain_l_per_min},
               {"run_min", in->run_min}};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        if (!(isfinite(all[i].value) && all[i].value > 0.0)) {
            const mdr_code rc =
                out_of_range(err, all[i].field, all[i].value, "give a number above 0");
            mdr_err_allowed(err, "more than 0");
            return rc;
        }
    }
    if (!(in->retained_l_per_kg <= MOST_RETAINED * in->ratio_l_per_kg)) {
        const mdr_code rc =
            out_of_range(err, "retained_l_per_kg", in->retained_l_per_kg,
                         "give the rinse more liquor than the drained rope keeps, or weigh a "
                         "drained piece again");
        mdr_err_allowed(err, "more than 0, at most %g %% of the ratio of %g L/kg",
                        100.0 * MOST_RETAINED, in->ratio_l_per_kg);
        return rc;
    }
    if (!(in->target_g_per_l < in->start_g_per_l)) {
        const mdr_code rc = out_of_range(err, "target_g_per_l", in->target_g_per_l,
                                         "no rinse is needed, or the target is not what was meant");
        mdr_err_allowed(err, "more than 0, less than the start of %g g/L", in->start_g_per_l);
        return rc;
    }
    return MDR_OK;
}

/* Fresh water of one fill onto the drained rope, L. */
static double fill_l(const mdr_rinse_in *in)
{
    return mdr_liquor_fresh_fill_l(mdr_liquor_wanted_l(in->load_kg, in->ratio_l_per_kg),
                                   mdr_liquor_retained_l(in->load_kg, in->retained_l_per_kg), 0.0);
}

static double fill_and_drain_min(const mdr_rinse_in *in, double volume_l)
{
    return volume_l / in->fill_l_per_min + volume_l / in->drain_l_per_min;
}

mdr_rinse_way mdr_rinse_fill_drain(const mdr_rinse_in *in)
{
    const double needed = mdr_liquor_rinses_needed(in->retained_l_per_kg, in->ratio_l_per_kg,
                                                   in->target_g_per_l / in->start_g_per_l);
    const double baths = ceil(needed - RINSE_SLACK);
    const double water = baths * fill_l(in);
    return (mdr_rinse_way){
        .baths = baths,
        .end_g_per_l = in->start_g_per_l *
                       mdr_liquor_rinses_kept(in->retained_l_per_kg, in->ratio_l_per_kg, baths),
        .water_l = water,
        .water_l_per_kg = water / in->load_kg,
        .minutes = fill_and_drain_min(in, water) + baths * in->run_min,
    };
}

mdr_rinse_way mdr_rinse_overflow(const mdr_rinse_in *in)
{
    const double liquor = mdr_liquor_wanted_l(in->load_kg, in->ratio_l_per_kg);
    const double filled_g_per_l =
        in->start_g_per_l * mdr_liquor_rinses_kept(in->retained_l_per_kg, in->ratio_l_per_kg, 1.0);
    /* overflow_kept solved for the time; nothing flows when the fill has done it already */
    const double flow_min =
        fmax(liquor / in->flow_l_per_min * log(filled_g_per_l / in->target_g_per_l), 0.0);
    const double water = fill_l(in) + in->flow_l_per_min * flow_min;
    return (mdr_rinse_way){
        .baths = 1.0,
        .end_g_per_l =
            filled_g_per_l * mdr_liquor_overflow_kept(in->flow_l_per_min, flow_min, liquor),
        .water_l = water,
        .water_l_per_kg = water / in->load_kg,
        .minutes = fill_and_drain_min(in, fill_l(in)) + fmax(flow_min, in->run_min),
    };
}
