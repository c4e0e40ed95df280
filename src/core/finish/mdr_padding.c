#include "core/finish/mdr_padding.h"

#include "core/finish/mdr_bound.h"

double mdr_padding_add_on_kg_per_kg(double bath_kg_per_kg, double pickup_kg_per_kg)
{
    return bath_kg_per_kg * pickup_kg_per_kg;
}

mdr_code mdr_padding_make(double add_on_kg_per_kg, double pickup_in_kg_per_kg,
                          double pickup_out_kg_per_kg, double fabric_kg, mdr_padding *out,
                          mdr_err *err)
{
    const mdr_bound all[] = {
        {"add_on_kg_per_kg", add_on_kg_per_kg, 0.0, 1.0},
        {"pickup_in_kg_per_kg", pickup_in_kg_per_kg, 0.0, 3.0},
        {"pickup_out_kg_per_kg", pickup_out_kg_per_kg, 0.0, 3.0},
        {"fabric_kg", fabric_kg, 0.0, 1e6},
    };
    MDR_TRY(mdr_bound_check(all, (int)(sizeof all / sizeof all[0]),
                            "a padder cannot be worked out with this", err));
    const double taken_up_kg_per_kg = pickup_out_kg_per_kg - pickup_in_kg_per_kg;
    if (!(taken_up_kg_per_kg > 0.0)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_INFEAS, "pickup_out_kg_per_kg",
                                     "the fabric leaves the padder no wetter than it comes");
        mdr_err_value(err, "%g", pickup_out_kg_per_kg);
        mdr_err_allowed(err, "more than %g", pickup_in_kg_per_kg);
        mdr_err_remedy(err, "squeeze harder before the padder, or less behind it");
        return rc;
    }
    const double feed_kg_per_kg = add_on_kg_per_kg / taken_up_kg_per_kg;
    if (feed_kg_per_kg > 1.0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_INFEAS, "add_on_kg_per_kg",
                                     "the feed would be stronger than the product itself");
        mdr_err_value(err, "%g", add_on_kg_per_kg);
        mdr_err_allowed(err, "at most %g", taken_up_kg_per_kg);
        mdr_err_remedy(err, "squeeze harder before the padder, or ask for less product");
        return rc;
    }
    *out = (mdr_padding){
        .trough_kg_per_kg = add_on_kg_per_kg / pickup_out_kg_per_kg,
        .feed_kg_per_kg = feed_kg_per_kg,
        .feed_kg = taken_up_kg_per_kg * fabric_kg,
        .product_kg = add_on_kg_per_kg * fabric_kg,
    };
    return MDR_OK;
}
