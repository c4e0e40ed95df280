/* The dyeing again with something else than planned, and with other rates. */
#include <math.h>

#include "app/mdr_app_dyeing_in.h"
#include "core/exhaust/mdr_dye_margin.h"

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
        mdr_dye_margin_coarsen(c);
    }
    return c;
}

static void read_rerun(const mdr_dyer *d, const mdr_dyeing_result *r, rerun *out)
{
    out->answers = r->answers;
    out->fixation_pct = r->answers.fixation_pct;
    out->strike_pct = r->answers.strike_most_pct;
    out->loose_mg_per_kg = r->answers.loose_mg_per_kg;
    out->de_most = mdr_dyer_de(d, r, mdr_dyer_stays(r), r->dyeing->n_samples - 1).most;
}

static mdr_code run(const mdr_dyer *d, const mdr_dyeing_case *c, rerun *out, mdr_err *err)
{
    mdr_dyeing_result r;
    MDR_TRY(mdr_dyeing_case_run(c, d->table, d->arena, &r, err));
    read_rerun(d, &r, out);
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

enum { FIXATION, DE_MOST, STRIKE, DE_SHADE, NUMBERS };

typedef struct reader {
    const mdr_dyer *d;
    rerun *base; /* read first */
} reader;

static void read_numbers(void *about, const mdr_dyeing_result *r, int direction, double *numbers)
{
    const reader *of = about;
    rerun now;
    double dl = 0.0;
    read_rerun(of->d, r, direction < 0 ? of->base : &now);
    const rerun *is = direction < 0 ? of->base : &now;
    numbers[FIXATION] = is->fixation_pct;
    numbers[DE_MOST] = is->de_most;
    numbers[STRIKE] = is->strike_pct;
    numbers[DE_SHADE] =
        mdr_dyer_between(mdr_dyer_mean(of->d, &of->base->answers, &of->base->answers),
                         mdr_dyer_mean(of->d, &is->answers, &of->base->answers), &dl);
}

static void pair(double *out, double value, double margin, double least, double most)
{
    out[0] = fmax(least, value - margin);
    out[1] = fmin(most, value + margin);
}

/* By the way the run with the usual rates, which the effects are told against. */
static mdr_code margin(mdr_dyer *d, rerun *base, mdr_err *err)
{
    mdr_dyeing_margin *m = MDR_NEW(d->arena, mdr_dyeing_margin);
    mdr_dye_away away;
    double by[NUMBERS];
    reader about = {d, base};
    if (m == NULL) {
        return no_memory(err);
    }
    MDR_TRY(mdr_dye_away_of(d->fits, d->study->programme.n_dyes, d->arena, &away, err));
    const mdr_margin_in in = {.study = d->study,
                              .away = &away,
                              .table = d->table,
                              .read = read_numbers,
                              .about = &about,
                              .n_numbers = NUMBERS};
    MDR_TRY(mdr_dye_margin_of(&in, d->arena, by, err));
    const mdr_dyeing_answers *a = &d->out->result.answers;
    pair(m->fixation_pct, a->fixation_pct, by[FIXATION], 0.0, 100.0);
    pair(m->de_most, d->out->end.de_most, by[DE_MOST], 0.0, HUGE_VAL);
    pair(m->strike_pct, a->strike_most_pct, by[STRIKE], 0.0, HUGE_VAL);
    m->de_shade = by[DE_SHADE];
    m->words =
        "95 % range of the rates of all dyes, moved together; the model itself, the zone and "
        "the flow are not in it.";
    d->out->margin = m;
    return MDR_OK;
}

mdr_code mdr_dyer_study(mdr_dyer *d, mdr_err *err)
{
    rerun base = {0};
    MDR_TRY(margin(d, &base, err));
    return effects(d, &base, err);
}
