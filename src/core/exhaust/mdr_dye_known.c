#include "core/exhaust/mdr_dye_known.h"

#include <stddef.h>
#include <string.h>

mdr_dye_known mdr_dye_known_of(const char *dye_id, mdr_dye_group group, mdr_dye_way way)
{
    const mdr_dye_group taken = group == MDR_GROUP_UNSTATED ? mdr_dye_group_usual(way) : group;
    return (mdr_dye_known){
        .dye_id = dye_id, .group = group, .way = way, .standard = mdr_dye_standard_of(taken)};
}

static const struct {
    const char *id;
    size_t offset;
} RATES[MDR_RATE_COUNT] = {
#define X(name, field) [name] = {#field, offsetof(mdr_dye_rates, field)},
    MDR_RATES(X)
#undef X
};

const char *mdr_rate_id(mdr_rate r)
{
    return (unsigned)r < MDR_RATE_COUNT ? RATES[r].id : NULL;
}

double mdr_rate_of(const mdr_dye_rates *rates, mdr_rate r)
{
    double value = 0.0;
    memcpy(&value, (const char *)rates + RATES[r].offset, sizeof value);
    return value;
}

bool mdr_rate_applies(mdr_rate r, mdr_dye_way way)
{
    return way == MDR_WAY_REACTIVE || r < MDR_RATE_FIX;
}

const char *mdr_rate_basis_id(mdr_rate_basis b)
{
    static const char *const IDS[] = {"given", "fitted", "placeholder"};
    return (unsigned)b < 3 ? IDS[b] : NULL;
}

static mdr_code check_one(const mdr_dye_known *k, mdr_dye_number n, mdr_err *err)
{
    const double v = k->number[n];
    const char *place = mdr_dye_number_id(n);
    if (v == 0.0) {
        return MDR_OK;
    }
    if (!mdr_dye_number_applies(n, k->way)) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, place, "only a reactive dye is fixed by alkali");
        mdr_err_value(err, "%g", v);
        mdr_err_allowed(err, "nothing for a direct or a vat dye");
        mdr_err_remedy(err, "leave it out; give exhaustion_pct and half_dyeing_min");
        return rc;
    }
    const double most = n == MDR_NUMBER_HALF ? k->standard.after_min : 100.0;
    if (v > 0.0 && v < most) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "not a number that a dyeing can give");
    mdr_err_value(err, "%g", v);
    mdr_err_allowed(err, "above 0, below %g", most);
    mdr_err_remedy(err, "correct it, or leave it out when it is not known");
    return rc;
}

/* Parts of one and the same dyeing: what is fixed was on the fabric, and more comes with time. */
typedef struct part {
    mdr_dye_number less, more;
    const char *msg;
} part;
static const part PARTS[] = {
    {MDR_NUMBER_FIXATION, MDR_NUMBER_EXHAUSTION, "more is fixed than goes on"},
    {MDR_NUMBER_PRIMARY, MDR_NUMBER_EXHAUSTION, "more goes on before the alkali than by the end"},
    {MDR_NUMBER_FIRST, MDR_NUMBER_FIXATION, "more is fixed first than by the end"},
    {MDR_NUMBER_FIRST, MDR_NUMBER_EXHAUSTION, "more is fixed first than goes on"},
};

static mdr_code check_part(const mdr_dye_known *k, const part *p, mdr_err *err)
{
    const double less = k->number[p->less], more = k->number[p->more];
    if (less == 0.0 || more == 0.0 || less <= more) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, mdr_dye_number_id(p->less), "%s", p->msg);
    mdr_err_value(err, "%g", less);
    mdr_err_allowed(err, "at most %g, the value of %s", more, mdr_dye_number_id(p->more));
    mdr_err_remedy(err, "count both on the dye given, in one and the same dyeing");
    return rc;
}

static mdr_code check_between(const char *place, double v, double least, double most, mdr_err *err)
{
    if (v == 0.0 || (v >= least && v <= most)) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "outside the range of dyes");
    mdr_err_value(err, "%g", v);
    mdr_err_allowed(err, "%g to %g, or 0 when it is not known", least, most);
    mdr_err_remedy(err, "correct it, or leave it out");
    return rc;
}

static mdr_code check_rest(const mdr_dye_known *k, mdr_err *err)
{
    const struct {
        const char *place;
        double value, least, most;
    } rest[] = {{"molar_g_per_mol", k->molar_g_per_mol, 100, 5000},
                {"charge", k->charge, 1, 12},
                {"error_pct", k->error_pct, 0.01, 20},
                {"error_min", k->error_min, 0.01, 60}};
    for (size_t i = 0; i < sizeof rest / sizeof rest[0]; i++) {
        MDR_TRY(check_between(rest[i].place, rest[i].value, rest[i].least, rest[i].most, err));
    }
    return MDR_OK;
}

static mdr_code check_group(const mdr_dye_known *k, mdr_err *err)
{
    const bool listed = (unsigned)k->group < MDR_GROUP_COUNT;
    if (listed && (k->group == MDR_GROUP_UNSTATED || mdr_dye_group_way(k->group) == k->way)) {
        return MDR_OK;
    }
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_ARG, "dyeing_group", "the group is of another class than the dye");
    mdr_err_value(err, "%s", listed ? mdr_dye_group_id(k->group) : "outside the list");
    mdr_err_allowed(err, "a group of the dye's class, or unstated");
    mdr_err_remedy(err, "correct the group or the class of the dye");
    return rc;
}

mdr_code mdr_dye_known_check(const mdr_dye_known *k, mdr_err *err)
{
    MDR_TRY(check_group(k, err));
    const mdr_code rc = mdr_dye_standard_check(&k->standard, k->way, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "standard");
        return rc;
    }
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        MDR_TRY(check_one(k, (mdr_dye_number)n, err));
    }
    for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++) {
        MDR_TRY(check_part(k, &PARTS[i], err));
    }
    return check_rest(k, err);
}

static const struct {
    const char *id, *words;
} VERDICTS[MDR_FIT_VERDICT_COUNT] = {
#define X(name, id, words) [name] = {id, words},
    MDR_FIT_VERDICTS(X)
#undef X
};

const char *mdr_fit_verdict_id(mdr_fit_verdict v)
{
    return (unsigned)v < MDR_FIT_VERDICT_COUNT ? VERDICTS[v].id : NULL;
}

const char *mdr_fit_verdict_words(mdr_fit_verdict v)
{
    return (unsigned)v < MDR_FIT_VERDICT_COUNT ? VERDICTS[v].words : NULL;
}
