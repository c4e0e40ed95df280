#include "core/knit/mdr_grey.h"

#include <stdbool.h>

static const double MASS_MAX_KG = 1e9; /* invented: beyond it a slip */

static bool part_of_100(double pct)
{
    return pct >= 0.0 && pct < 100.0; /* false for NaN */
}

static mdr_code refuse(mdr_err *err, const char *place, double value, const char *allowed)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "not a possible loss or mass");
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    mdr_err_remedy(err, "give losses in per cent of what goes in, masses in kg");
    return rc;
}

static mdr_code check(const char *place, double mass_kg, const mdr_grey_losses *losses,
                      mdr_err *err)
{
    static const char PCT[] = "0 to less than 100";
    if (!(mass_kg >= 0.0 && mass_kg <= MASS_MAX_KG)) {
        return refuse(err, place, mass_kg, "0 to 1e9 kg");
    }
    if (losses->n_losses < 0 || losses->n_losses > MDR_GREY_LOSSES_MAX) {
        return refuse(err, "losses.n_losses", losses->n_losses, "0 to 16");
    }
    if (!part_of_100(losses->reject_pct)) {
        return refuse(err, "losses.reject_pct", losses->reject_pct, PCT);
    }
    if (!part_of_100(losses->knit_waste_pct)) {
        return refuse(err, "losses.knit_waste_pct", losses->knit_waste_pct, PCT);
    }
    for (int i = 0; i < losses->n_losses; i++) {
        if (!part_of_100(losses->loss_pct[i])) {
            const mdr_code rc = refuse(err, "", losses->loss_pct[i], PCT);
            mdr_err_within(err, "losses.loss_pct[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

static double kept(double loss_pct)
{
    return 1.0 - loss_pct / 100.0;
}

static double kept_by_all(const mdr_grey_losses *losses)
{
    double part = 1.0;
    for (int i = 0; i < losses->n_losses; i++) {
        part *= kept(losses->loss_pct[i]);
    }
    return part;
}

mdr_code mdr_grey_of_finished(double finished_kg, const mdr_grey_losses *losses, mdr_grey_need *out,
                              mdr_err *err)
{
    MDR_TRY(check("finished_kg", finished_kg, losses, err));
    out->finished_kg = finished_kg;
    out->inspected_kg = finished_kg / kept(losses->reject_pct);
    out->grey_kg = out->inspected_kg / kept_by_all(losses);
    out->yarn_kg = out->grey_kg / kept(losses->knit_waste_pct);
    return MDR_OK;
}

mdr_code mdr_grey_to_finished(double grey_kg, const mdr_grey_losses *losses, mdr_grey_need *out,
                              mdr_err *err)
{
    MDR_TRY(check("grey_kg", grey_kg, losses, err));
    out->grey_kg = grey_kg;
    out->yarn_kg = grey_kg / kept(losses->knit_waste_pct);
    out->inspected_kg = grey_kg * kept_by_all(losses);
    out->finished_kg = out->inspected_kg * kept(losses->reject_pct);
    return MDR_OK;
}

double mdr_grey_mass_at_regain_kg(double mass_kg, double regain_now_pct, double regain_then_pct)
{
    return mass_kg * (100.0 + regain_then_pct) / (100.0 + regain_now_pct);
}

double mdr_grey_regain_of_content_pct(double content_pct)
{
    return 100.0 * content_pct / (100.0 - content_pct);
}
