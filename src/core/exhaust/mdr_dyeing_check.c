#include <math.h>

#include "core/exhaust/mdr_dyeing_parts.h"

/* One complaint: where, how much, what is allowed. */
static mdr_code complain(mdr_err *err, const char *place, double value, const char *allowed,
                         const char *remedy)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "outside what can be calculated");
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%s", allowed);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

static bool within(double v, double low, double high)
{
    return v >= low && v <= high; /* false for NaN */
}

static mdr_code check_moment(const mdr_dyeing_in *in, int i, mdr_err *err)
{
    const mdr_dyeing_moment *m = &in->course[i];
    const double held_l = in->rope.held_l_per_kg * in->rope.load_kg;
    if (!within(m->t_min, -1e6, 1e6)) {
        return complain(err, "t_min", m->t_min, "finite, in minutes", "check the time");
    }
    if (!within(m->temp_c, 0.0, 100.0)) {
        return complain(err, "temp_c", m->temp_c, "0 to 100", "the rates of dyes end there");
    }
    if (!(m->liquor_l > held_l && m->liquor_l <= 1e9)) {
        return complain(err, "liquor_l", m->liquor_l, "more than what the rope holds",
                        "check liquor ratio and held liquor");
    }
    if (!within(m->sodium_mol_per_l, 0.0, 10.0)) {
        return complain(err, "sodium_mol_per_l", m->sodium_mol_per_l, "0 to 10", "check the unit");
    }
    if (!within(m->ph, 0.0, 14.0)) {
        return complain(err, "ph", m->ph, "0 to 14", "7 when there is no alkali");
    }
    if (i > 0 && !(m->t_min >= m[-1].t_min)) {
        return complain(err, "t_min", m->t_min, "not before the moment before it",
                        "sort the course by time");
    }
    if (i > 0 && !(m->liquor_l >= m[-1].liquor_l)) {
        return complain(err, "liquor_l", m->liquor_l, "not less than before",
                        "end the course where the bath is drained");
    }
    return MDR_OK;
}

static mdr_code check_course(const mdr_dyeing_in *in, mdr_err *err)
{
    if (in->n_moments < 2 || in->course == NULL) {
        return MDR_FAIL(err, MDR_E_ARG, "course", "a course needs a beginning and an end");
    }
    for (int i = 0; i < in->n_moments; i++) {
        const mdr_code rc = check_moment(in, i, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "course[%d]", i);
            return rc;
        }
    }
    if (!(in->course[in->n_moments - 1].t_min > in->course[0].t_min)) {
        const mdr_code rc = complain(err, "t_min", in->course[in->n_moments - 1].t_min,
                                     "later than the first moment", "give the course some time");
        mdr_err_within(err, "course[%d]", in->n_moments - 1);
        return rc;
    }
    return MDR_OK;
}

static mdr_code check_dose(const mdr_dyeing_in *in, const mdr_dyeing_dose *d, mdr_err *err)
{
    const double begin_min = in->course[0].t_min, end_min = in->course[in->n_moments - 1].t_min;
    if (d->dye < 0 || d->dye >= in->n_dyes) {
        return complain(err, "dye", d->dye, "one of the dyes", "number dyes from 0");
    }
    if (!within(d->kg, 0.0, 1e6)) {
        return complain(err, "kg", d->kg, "0 or more", "check the amount");
    }
    if (!within(d->start_min, begin_min, end_min)) {
        return complain(err, "start_min", d->start_min, "within the course", "move the dose");
    }
    if (!within(d->minutes, 0.0, end_min - d->start_min)) {
        return complain(err, "minutes", d->minutes, "0 up to the end of the course",
                        "dose faster or start earlier");
    }
    if (d->portions < 0 || d->portions > 1000) {
        return complain(err, "portions", d->portions, "0 to 1000", "0 for a curve");
    }
    if (!mdr_course_at_once(d) && !within(d->exponent, 0.05, 20.0)) {
        return complain(err, "exponent", d->exponent, "0.05 to 20", "1 for an even dose");
    }
    return MDR_OK;
}

static mdr_code check_doses(const mdr_dyeing_in *in, mdr_err *err)
{
    double kg[MDR_DYEING_DYES_MAX] = {0};
    if (in->n_doses < 1 || in->doses == NULL) {
        return MDR_FAIL(err, MDR_E_ARG, "doses", "nothing is dosed");
    }
    for (int i = 0; i < in->n_doses; i++) {
        const mdr_code rc = check_dose(in, &in->doses[i], err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "doses[%d]", i);
            return rc;
        }
        kg[in->doses[i].dye] += in->doses[i].kg;
    }
    for (int i = 0; i < in->n_dyes; i++) {
        if (!(kg[i] > 0.0)) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "", "no dose gives this dye");
            mdr_err_remedy(err, "leave the dye out, or dose it");
            mdr_err_within(err, "dyes[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code check_shares(const mdr_dyeing_rope *rope, mdr_err *err)
{
    double sum = 0.0;
    for (int k = 0; k < rope->tubes; k++) {
        if (!within(rope->tube_share[k], 1e-3, 1.0)) {
            const mdr_code rc = complain(err, "", rope->tube_share[k], "0.001 to 1",
                                         "the shares of all tubes together make 1");
            mdr_err_within(err, "rope.tube_share[%d]", k);
            return rc;
        }
        sum += rope->tube_share[k];
    }
    if (!(fabs(sum - 1.0) <= 1e-9)) {
        return complain(err, "rope.tube_share", sum, "1 in all",
                        "the shares of all tubes together make 1");
    }
    return MDR_OK;
}

static mdr_code check_rope(const mdr_dyeing_in *in, mdr_err *err)
{
    const mdr_dyeing_rope *r = &in->rope;
    const struct {
        const char *place;
        double value, low, high;
        const char *allowed;
    } of[] = {{"rope.load_kg", r->load_kg, 1e-6, 1e6, "more than 0, in kg"},
              {"rope.held_l_per_kg", r->held_l_per_kg, 0.1, 50.0, "0.1 to 50"},
              {"rope.cycle_min", r->cycle_min, 0.01, 1e4, "0.01 to 10000"},
              {"rope.zone_fraction", r->zone_fraction, 1e-4, 1.0, "0.0001 to 1"},
              {"rope.exchange_per_min", r->exchange_per_min, 0.0, 1e4,
               "0 to 10000: there the liquor is the bath"},
              {"rope.flow_l_per_min", r->flow_l_per_min, 0.0, 1e9, "0 or more"}};
    for (size_t i = 0; i < sizeof of / sizeof of[0]; i++) {
        if (!within(of[i].value, of[i].low, of[i].high)) {
            return complain(err, of[i].place, of[i].value, of[i].allowed, "check the machine");
        }
    }
    if (r->tubes < 1 || r->tubes > MDR_DYEING_TUBES_MAX) {
        return complain(err, "rope.tubes", r->tubes, "1 to 16", "check the machine");
    }
    MDR_TRY(check_shares(r, err));
    for (int i = 0; r->slice_uptake != NULL && i < r->tubes * in->slices; i++) {
        if (!within(r->slice_uptake[i], 0.01, 100.0)) {
            const mdr_code rc = complain(err, "", r->slice_uptake[i], "0.01 to 100",
                                         "1 for a slice like the others");
            mdr_err_within(err, "rope.slice_uptake[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code check_dyes(const mdr_dyeing_in *in, mdr_err *err)
{
    if (in->n_dyes < 1 || in->dyes == NULL) {
        return MDR_FAIL(err, MDR_E_ARG, "dyes", "there is no dye");
    }
    if (in->n_dyes > MDR_DYEING_DYES_MAX) {
        return complain(err, "dyes", in->n_dyes, "1 to 16", "leave the least of them out");
    }
    for (int i = 0; i < in->n_dyes; i++) {
        const mdr_code rc = mdr_dye_rates_check(&in->dyes[i], err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "dyes[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

/* Steps and samples that such a programme needs. */
static mdr_code check_size(const mdr_dyeing_in *in, mdr_err *err)
{
    const double all_min = in->course[in->n_moments - 1].t_min - in->course[0].t_min;
    const int per_turn = in->steps_per_turn > 0 ? in->steps_per_turn : MDR_DYEING_STEPS_USUAL;
    if (!(in->sample_min > 0.0 && all_min / in->sample_min <= MDR_DYEING_SAMPLES_MAX - 2)) {
        return complain(err, "sample_min", in->sample_min, "more than 0, at most 4000 samples",
                        "sample less often");
    }
    if (all_min / in->rope.cycle_min * per_turn > MDR_DYEING_STEPS_MAX) {
        return complain(err, "rope.cycle_min", in->rope.cycle_min,
                        "at most 1000000 steps in the whole course", "check times and units");
    }
    return MDR_OK;
}

mdr_code mdr_dyeing_check(const mdr_dyeing_in *in, mdr_err *err)
{
    MDR_TRY(check_dyes(in, err));
    if (in->slices < 1 || in->slices > MDR_DYEING_SLICES_MAX) {
        return complain(err, "slices", in->slices, "1 to 400", "take 100");
    }
    if (in->modes < 0 || in->modes > MDR_CYLINDER_MODES_MAX) {
        return complain(err, "modes", in->modes, "0 to 12", "0 for the usual ones");
    }
    if (in->steps_per_turn < 0 || in->steps_per_turn > 10000) {
        return complain(err, "steps_per_turn", in->steps_per_turn, "0 to 10000",
                        "0 for the usual ones");
    }
    if (!within(in->strike_most_pct, 0.0, HUGE_VAL)) {
        return complain(err, "strike_most_pct", in->strike_most_pct, "0 or more",
                        "0 to go on to the end");
    }
    MDR_TRY(check_rope(in, err));
    MDR_TRY(check_course(in, err));
    MDR_TRY(check_doses(in, err));
    return check_size(in, err);
}
