/* Rates of the dyes of a shade, from what the mill's records know of them. Seeking them takes longer
 * than all the rest of an answer, so they are kept as long as the records are. */
#include <string.h>

#include "app/mdr_app_dyeing_in.h"
#include "core/plan/mdr_material_known.h"

struct mdr_app_dye_fit {
    const char *material_id;
    const mdr_dye_fit *fit;
    mdr_app_dye_fit *next;
};

static mdr_code fit_of(mdr_app *app, const mdr_material *m, const mdr_dye_fit **out, mdr_err *err)
{
    for (const mdr_app_dye_fit *f = app->dye_fits; f != NULL; f = f->next) {
        if (strcmp(f->material_id, m->material_id) == 0) {
            *out = f->fit;
            return MDR_OK;
        }
    }
    const mdr_dye_known known = mdr_material_known(m);
    mdr_app_dye_fit *f = MDR_NEW(app->cache, mdr_app_dye_fit);
    if (f == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the rates of the dyes");
    }
    const mdr_code rc = mdr_dye_known_rates(&known, app->cache, &f->fit, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "material.%s", m->material_id);
        return rc;
    }
    f->material_id = m->material_id;
    f->next = app->dye_fits;
    app->dye_fits = f;
    *out = f->fit;
    return MDR_OK;
}

/* Those that decide what is shown. */
static const mdr_rate MATTER[] = {MDR_RATE_AFFINITY, MDR_RATE_DIFFUSION, MDR_RATE_FIX,
                                  MDR_RATE_HYDROLYSIS};

static mdr_dyeing_verdict basis_of(const mdr_dye_fit *fit, mdr_dye_way way)
{
    int fitted = 0, usual = 0;
    for (size_t k = 0; k < sizeof MATTER / sizeof MATTER[0]; k++) {
        if (mdr_rate_applies(MATTER[k], way)) {
            const bool placeholder = fit->standing[MATTER[k]].basis == MDR_BASIS_PLACEHOLDER;
            fitted += placeholder ? 0 : 1;
            usual += placeholder ? 1 : 0;
        }
    }
    if (fit->verdict == MDR_FIT_APART) {
        return (mdr_dyeing_verdict){"partly",
                                    "no rates fit what the record says of it; the nearest "
                                    "are taken"};
    }
    if (fitted == 0) {
        return (mdr_dyeing_verdict){"placeholder", "the record says nothing: rates usual of its "
                                                   "group"};
    }
    return usual > 0 ? (mdr_dyeing_verdict){"partly",
                                            "the rates fit what the record says; the rest is usual "
                                            "of the group"}
                     : (mdr_dyeing_verdict){"fitted", "the rates fit what the record says of it"};
}

mdr_code mdr_dyer_rates(mdr_dyer *d, mdr_err *err)
{
    const int n = d->study->programme.n_dyes;
    mdr_dye_rates *rates = MDR_NEW_N(d->arena, mdr_dye_rates, (size_t)n);
    if (rates == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the rates of the dyes");
    }
    for (int i = 0; i < n; i++) {
        const mdr_material *m = d->out->dyes[i].material;
        MDR_TRY(fit_of(d->app, m, &d->fits[i], err));
        rates[i] = d->fits[i]->rates;
        d->out->dyes[i].rates = basis_of(d->fits[i], mdr_class_way(m->dye_class));
    }
    d->study->rates = rates;
    return MDR_OK;
}
