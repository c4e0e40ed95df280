/* The dyeing again with something else than planned, and with other rates. */
#include <math.h>

#include "app/mdr_app_dyeing_in.h"

/* Coarser than what is shown: these are differences. Fixation is the same to 0.01 %, strike to 1 %
 * of itself; docs/methods/exhaust-answers.md#sensitivity. */
enum { SLICES = 8, SAMPLES = 80 };

typedef struct rerun {
    double fixation_pct, de_most, strike_pct, loose_mg_per_kg;
    mdr_dyeing_answers answers;
} rerun;

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the reruns of the dyeing");
}

static mdr_dyeing_case *coarse(const mdr_dyer *d)
{
    mdr_dyeing_case *c = MDR_NEW(d->arena, mdr_dyeing_case);
    if (c != NULL) {
        *c = *d->study;
        c->slices = c->slices < SLICES ? c->slices : SLICES;
        c->sample_min = fmax(c->sample_min, d->out->result.course.minutes / SAMPLES);
    }
    return c;
}

static mdr_code run(const mdr_dyer *d, const mdr_dyeing_case *c, rerun *out, mdr_err *err)
{
    mdr_dyeing_result r;
    double end[MDR_DYE_DYES_MAX], de_tubes = 0.0;
    MDR_TRY(mdr_dyeing_case_run(c, d->table, d->arena, &r, err));
    mdr_dyer_end(&r, end);
    out->answers = r.answers;
    out->fixation_pct = r.answers.fixation_pct;
    out->strike_pct = r.answers.strike_most_pct;
    out->loose_mg_per_kg = r.answers.loose_mg_per_kg;
    mdr_dyer_de(d, &r, end, r.dyeing->n_samples - 1, &out->de_most, &de_tubes);
    return MDR_OK;
}

static mdr_dyeing_effect effect_of(const mdr_dyer *d, mdr_mishap m, const rerun *now,
                                   const rerun *base)
{
    mdr_dyeing_effect e = {.mishap = m,
                           .fixation_pct = now->fixation_pct - base->fixation_pct,
                           .de_most = now->de_most - base->de_most,
                           .strike_pct = now->strike_pct - base->strike_pct,
                           .loose_mg_per_kg = now->loose_mg_per_kg - base->loose_mg_per_kg};
    e.de = mdr_dyer_between(mdr_dyer_mean(d, &base->answers, &base->answers),
                            mdr_dyer_mean(d, &now->answers, &base->answers), &e.dl);
    return e;
}

static mdr_code effects(mdr_dyer *d, const rerun *base, mdr_err *err)
{
    mdr_dyeing_effect *list = MDR_NEW_N(d->arena, mdr_dyeing_effect, MDR_MISHAP_COUNT);
    int n = 0;
    if (list == NULL) {
        return no_memory(err);
    }
    for (int m = 0; m < MDR_MISHAP_COUNT; m++) {
        mdr_dyeing_case *c = coarse(d);
        rerun now;
        if (c == NULL) {
            return no_memory(err);
        }
        if (!mdr_dyeing_mishap(c, (mdr_mishap)m)) {
            continue;
        }
        MDR_TRY(run(d, c, &now, err));
        list[n++] = effect_of(d, (mdr_mishap)m, &now, base);
    }
    d->out->effects = list;
    d->out->n_effects = n;
    return MDR_OK;
}

/* -- margin -- */

/* All dyes with their rates away in this direction; one that has none stays. */
static mdr_code away(const mdr_dyer *d, int direction, rerun *out, mdr_err *err)
{
    mdr_dyeing_case *c = coarse(d);
    const int n = d->study->programme.n_dyes;
    mdr_dye_rates *rates = MDR_NEW_N(d->arena, mdr_dye_rates, (size_t)n);
    *out = (rerun){0};
    if (c == NULL || rates == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < n; i++) {
        rates[i] = direction < d->fits[i]->n_away ? d->fits[i]->away[direction] : d->fits[i]->rates;
    }
    c->rates = rates;
    return run(d, c, out, err);
}

static void pair(double *out, double value, double square, double least, double most)
{
    out[0] = fmax(least, value - sqrt(square));
    out[1] = fmin(most, value + sqrt(square));
}

static double square(double v)
{
    return v * v;
}

static mdr_code margin(mdr_dyer *d, const rerun *base, mdr_err *err)
{
    mdr_dyeing_margin *m = MDR_NEW(d->arena, mdr_dyeing_margin);
    double fixation = 0.0, de = 0.0, strike = 0.0, shade = 0.0, dl = 0.0;
    const mdr_lab standard = mdr_dyer_mean(d, &base->answers, &base->answers);
    int directions = 0;
    if (m == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < d->study->programme.n_dyes; i++) {
        directions = d->fits[i]->n_away > directions ? d->fits[i]->n_away : directions;
    }
    for (int k = 0; k < directions; k++) {
        rerun now;
        MDR_TRY(away(d, k, &now, err));
        fixation += square(now.fixation_pct - base->fixation_pct);
        de += square(now.de_most - base->de_most);
        strike += square(now.strike_pct - base->strike_pct);
        shade +=
            square(mdr_dyer_between(standard, mdr_dyer_mean(d, &now.answers, &base->answers), &dl));
    }
    const mdr_dyeing_answers *a = &d->out->result.answers;
    pair(m->fixation_pct, a->fixation_pct, fixation, 0.0, 100.0);
    pair(m->de_most, d->out->end.de_most, de, 0.0, HUGE_VAL);
    pair(m->strike_pct, a->strike_most_pct, strike, 0.0, HUGE_VAL);
    m->de_shade = sqrt(shade);
    m->words =
        "95 % range of the rates of all dyes, moved together; the model itself, the zone and "
        "the flow are not in it.";
    d->out->margin = m;
    return MDR_OK;
}

mdr_code mdr_dyer_study(mdr_dyer *d, mdr_err *err)
{
    const mdr_dyeing_case *c = coarse(d);
    rerun base;
    if (c == NULL) {
        return no_memory(err);
    }
    MDR_TRY(run(d, c, &base, err));
    MDR_TRY(effects(d, &base, err));
    return margin(d, &base, err);
}
