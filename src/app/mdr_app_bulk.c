/* Factors from laboratory to bulk, offered for a shade on a machine. */
#include "app/mdr_app_bulk.h"

#include <math.h>
#include <string.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_learn_in.h"

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the factors from laboratory to bulk");
}

mdr_code mdr_app_bulk_offers(const mdr_learn_in *in, const mdr_bulk_ask *ask, mdr_arena *arena,
                             const mdr_bulk_offers **out, mdr_err *err)
{
    mdr_learn_desk d = {.in = in, .arena = arena};
    mdr_bulk_offers *offers = MDR_NEW(arena, mdr_bulk_offers);
    if (offers == NULL) {
        return no_memory(err);
    }
    offers->asked = *ask;
    MDR_TRY(mdr_learn_check(in, err));
    MDR_TRY(mdr_sheet_new(arena, "learn", "", &d.sheet, err)); /* takes what is noticed */
    MDR_TRY(mdr_learn_offers(&d, offers, err));
    MDR_TRY(mdr_sheet_done(d.sheet, err));
    *out = offers;
    return MDR_OK;
}

static mdr_code nothing_of(const char *place, const char *id, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, place, "there is no such %s", place);
    mdr_err_value(err, "%s", id);
    mdr_err_remedy(err, "choose one that exists, or leave it out");
    return rc;
}

mdr_code mdr_app_bulk_offers_mill(mdr_app *app, const mdr_bulk_ask *ask, mdr_arena *arena,
                                  const mdr_bulk_offers **out, mdr_err *err)
{
    mdr_learn_in in;
    mdr_bulk_ask kept = *ask;
    MDR_TRY(mdr_app_refresh(app, err));
    if (mdr_masters_shade(&app->masters, ask->shade_id) == NULL) {
        return nothing_of("shade", ask->shade_id, err);
    }
    if (mdr_masters_machine(&app->masters, ask->machine_id) == NULL) {
        return nothing_of("machine", ask->machine_id, err);
    }
    kept.shade_id = mdr_arena_text(arena, ask->shade_id);
    kept.machine_id = mdr_arena_text(arena, ask->machine_id);
    if (kept.shade_id == NULL || kept.machine_id == NULL) {
        return no_memory(err);
    }
    MDR_TRY(mdr_learn_gather(app, arena, &in, err));
    return mdr_app_bulk_offers(&in, &kept, arena, out, err);
}

const mdr_bulk_offer *mdr_bulk_offer_of(const mdr_bulk_offers *offers, const char *dye_id)
{
    for (int i = 0; offers != NULL && i < offers->n; i++) {
        if (strcmp(offers->of[i].dye_id, dye_id) == 0) {
            return &offers->of[i];
        }
    }
    return NULL;
}

double mdr_bulk_offered(const mdr_bulk_offers *offers, const char *dye_id)
{
    const mdr_bulk_offer *offer = mdr_bulk_offer_of(offers, dye_id);
    return offer != NULL ? offer->multiply : 1.0;
}

double mdr_bulk_depth(double depth_pct_owf, double factor)
{
    static const double STEPS_PER_PCT = 1e6; /* as a mill stores depths */
    return round(depth_pct_owf * factor * STEPS_PER_PCT) / STEPS_PER_PCT;
}
