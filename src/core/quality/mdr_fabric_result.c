#include "core/quality/mdr_fabric_result.h"

#include <math.h>

#include "core/knit/mdr_inspect.h"

#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))

typedef struct property_info {
    const char *id, *words, *unit;
    mdr_matter matter;
} property_info;

static const property_info INFO[MDR_PROPERTY_COUNT] = {
#define X(name, id, words, unit, matter) {id, words, unit, matter},
    MDR_PROPERTIES(X)
#undef X
};

/* What a reading can be: wide enough for any knit, narrow enough for a wrong unit. Invented, but
 * for the ends of the scales [iso-105], [iso-12945]. */
static const struct {
    double least, most;
} CAN_BE[MDR_PROPERTY_COUNT] = {
    [MDR_PROPERTY_LENGTH_CHANGE] = {-50.0, 50.0}, [MDR_PROPERTY_WIDTH_CHANGE] = {-50.0, 50.0},
    [MDR_PROPERTY_GSM] = {10.0, 2000.0},          [MDR_PROPERTY_WIDTH] = {1.0, 1000.0},
    [MDR_PROPERTY_BOW] = {-100.0, 100.0},         [MDR_PROPERTY_SKEW] = {-100.0, 100.0},
    [MDR_PROPERTY_TWIST_PCT] = {-100.0, 100.0},   [MDR_PROPERTY_SPIRALITY_DEG] = {-45.0, 45.0},
    [MDR_PROPERTY_PILLING] = {1.0, 5.0},          [MDR_PROPERTY_WASH_CHANGE] = {1.0, 5.0},
    [MDR_PROPERTY_WASH_STAIN] = {1.0, 5.0},       [MDR_PROPERTY_SWEAT_CHANGE] = {1.0, 5.0},
    [MDR_PROPERTY_SWEAT_STAIN] = {1.0, 5.0},      [MDR_PROPERTY_RUB_DRY] = {1.0, 5.0},
    [MDR_PROPERTY_RUB_WET] = {1.0, 5.0},          [MDR_PROPERTY_LIGHT] = {1.0, 8.0},
};

static const struct {
    const char *id, *words;
} VERDICTS[MDR_RESULT_VERDICTS] = {
    [MDR_RESULT_NOT_ASKED] = {"not_asked", "not asked for"},
    [MDR_RESULT_NOT_MEASURED] = {"not_measured", "not measured"},
    [MDR_RESULT_MET] = {"met", "met"},
    [MDR_RESULT_NEAR] = {"near", "met, but near the limit"},
    [MDR_RESULT_MISSED] = {"missed", "missed"},
};

const char *mdr_property_id(mdr_property p)
{
    return INFO[p].id;
}

const char *mdr_property_words(mdr_property p)
{
    return INFO[p].words;
}

const char *mdr_property_unit(mdr_property p)
{
    return INFO[p].unit;
}

mdr_matter mdr_property_matter(mdr_property p)
{
    return INFO[p].matter;
}

bool mdr_property_is_grade(mdr_property p)
{
    return p >= MDR_PROPERTY_PILLING;
}

const char *mdr_result_verdict_id(mdr_result_verdict v)
{
    return VERDICTS[v].id;
}

const char *mdr_result_verdict_words(mdr_result_verdict v)
{
    return VERDICTS[v].words;
}

/* -- from what was read to the unit of the property -- */

static mdr_code refuse(mdr_err *err, const char *field, int i, double value, double least,
                       double most)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "", "this reading is not possible");
    if (i >= 0) {
        mdr_err_within(err, "%s[%d]", field, i);
    } else {
        mdr_err_within(err, "%s", field);
    }
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%g to %g", least, most);
    mdr_err_remedy(err, "read again, and look at the unit");
    return rc;
}

/* One number, or one of a list (i >= 0), within its range. */
static mdr_code within(mdr_err *err, const char *field, int i, double value, double least,
                       double most)
{
    return value >= least && value <= most ? MDR_OK : refuse(err, field, i, value, least, most);
}

static mdr_code check_n(int n, mdr_err *err)
{
    if (n >= 1 && n <= MDR_READINGS_MAX) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "n", "that is more readings than can be taken");
    mdr_err_value(err, "%d", n);
    mdr_err_allowed(err, "1 to %d", MDR_READINGS_MAX);
    return rc;
}

static const double CM_LEAST = 1.0, CM_MOST = 1000.0; /* of a mark or a width */

mdr_code mdr_readings_of_marks(const double *before_cm, const double *after_cm, int n,
                               mdr_readings *out, mdr_err *err)
{
    mdr_readings r = {.n = n};
    MDR_TRY(check_n(n, err));
    for (int i = 0; i < n; i++) {
        MDR_TRY(within(err, "before", i, before_cm[i], CM_LEAST, CM_MOST));
        MDR_TRY(within(err, "after", i, after_cm[i], 0.5 * before_cm[i], 1.5 * before_cm[i]));
        r.values[i] = mdr_inspect_change_pct(before_cm[i], after_cm[i]);
    }
    *out = r;
    return MDR_OK;
}

mdr_code mdr_readings_of_cutter(const double *mass_g, int n, double area_cm2, mdr_readings *out,
                                mdr_err *err)
{
    mdr_readings r = {.n = n};
    MDR_TRY(check_n(n, err));
    MDR_TRY(within(err, "area_cm2", -1, area_cm2, 1.0, 10000.0));
    for (int i = 0; i < n; i++) {
        MDR_TRY(within(err, "mass", i, mass_g[i], 0.01, 1000.0));
        r.values[i] = mdr_inspect_gsm_of_sample(mass_g[i], area_cm2);
    }
    *out = r;
    return MDR_OK;
}

mdr_code mdr_readings_of_bow(const double *distance_cm, int n, double width_cm, mdr_readings *out,
                             mdr_err *err)
{
    mdr_readings r = {.n = n};
    MDR_TRY(check_n(n, err));
    MDR_TRY(within(err, "width_cm", -1, width_cm, CM_LEAST, CM_MOST));
    for (int i = 0; i < n; i++) {
        MDR_TRY(within(err, "distance", i, distance_cm[i], 0.0, 0.5 * width_cm));
        r.values[i] = mdr_inspect_bow_pct(distance_cm[i], width_cm);
    }
    *out = r;
    return MDR_OK;
}

mdr_code mdr_readings_of_squares(const double *ac_cm, const double *bd_cm, int n, mdr_readings *out,
                                 mdr_err *err)
{
    mdr_readings r = {.n = n};
    MDR_TRY(check_n(n, err));
    for (int i = 0; i < n; i++) {
        MDR_TRY(within(err, "ac", i, ac_cm[i], CM_LEAST, CM_MOST));
        MDR_TRY(within(err, "bd", i, bd_cm[i], 0.5 * ac_cm[i], 1.5 * ac_cm[i]));
        r.values[i] = mdr_inspect_skew_pct(ac_cm[i], bd_cm[i]);
    }
    *out = r;
    return MDR_OK;
}

void mdr_result_limit_by(const mdr_spec_demand *d, mdr_result_limit *limits)
{
    const double pct = 100.0;
    const double tol_gsm = d->gsm * d->gsm_tol_pct / pct;
    /* shrinkage is a change below 0 */
    limits[MDR_PROPERTY_LENGTH_CHANGE] = (mdr_result_limit){
        -pct * d->length_shrink_max_frac, -pct * d->length_shrink_min_frac, true, true};
    limits[MDR_PROPERTY_WIDTH_CHANGE] = (mdr_result_limit){
        -pct * d->width_shrink_max_frac, -pct * d->width_shrink_min_frac, true, true};
    limits[MDR_PROPERTY_GSM] = (mdr_result_limit){d->gsm - tol_gsm, d->gsm + tol_gsm, true, true};
    limits[MDR_PROPERTY_WIDTH] = (mdr_result_limit){d->width_cm - d->width_tol_cm,
                                                    d->width_cm + d->width_tol_cm, true, true};
}

/* -- judging -- */

static bool leans(mdr_property p)
{
    return p == MDR_PROPERTY_BOW || p == MDR_PROPERTY_SKEW || p == MDR_PROPERTY_TWIST_PCT ||
           p == MDR_PROPERTY_SPIRALITY_DEG;
}

static mdr_code check(mdr_property p, const mdr_readings *r, const mdr_result_limit *l,
                      mdr_err *err)
{
    const char *id = INFO[p].id;
    if (r->n != 0) {
        MDR_TRY(check_n(r->n, err));
    }
    for (int i = 0; i < r->n; i++) {
        const double v = r->values[i];
        MDR_TRY(within(err, id, i, v, CAN_BE[p].least, CAN_BE[p].most));
        if (mdr_property_is_grade(p) && 2.0 * v != floor(2.0 * v)) {
            const mdr_code rc = refuse(err, id, i, v, CAN_BE[p].least, CAN_BE[p].most);
            mdr_err_remedy(err, "grades go in halves: 4-5 is 4.5");
            return rc;
        }
    }
    if (l->has_low && l->has_high && !(l->low <= l->high)) {
        return refuse(err, id, -1, l->low, CAN_BE[p].least, l->high);
    }
    return MDR_OK;
}

/* A reading of something that leans either way is judged by how much, not by which way. */
static double counted(mdr_property p, double value)
{
    return leans(p) ? fabs(value) : value;
}

static double mean_of(mdr_property p, const mdr_readings *r)
{
    double sum = 0.0;
    for (int i = 0; i < r->n; i++) {
        sum += counted(p, r->values[i]);
    }
    const double mean = sum / r->n;
    /* [iso-12945]: reported to the nearest half; between two halves the worse. */
    return mdr_property_is_grade(p) ? 0.5 * ceil(2.0 * mean - 0.5) : mean;
}

static double deviation(mdr_property p, const mdr_readings *r, double mean)
{
    double squares = 0.0;
    if (r->n < 2) {
        return 0.0;
    }
    for (int i = 0; i < r->n; i++) {
        const double off = counted(p, r->values[i]) - mean;
        squares += off * off;
    }
    return sqrt(squares / (r->n - 1));
}

/* From the value to the nearer limit; below 0: beyond one of them. */
static double margin_of(double value, const mdr_result_limit *l, bool *above)
{
    const double up = l->has_high ? l->high - value : HUGE_VAL;
    const double down = l->has_low ? value - l->low : HUGE_VAL;
    *above = up < down;
    return *above ? up : down;
}

static mdr_property_result judge(mdr_property p, const mdr_readings *r, const mdr_result_limit *l)
{
    const double rounding = 1e-12; /* of the value: no miss */
    const bool asked = l->has_low || l->has_high;
    mdr_property_result out = {.n = r->n};
    if (r->n > 0) {
        out.mean = mean_of(p, r);
        out.spread = deviation(p, r, out.mean);
    }
    if (r->n == 0 || !asked) {
        out.verdict = asked ? MDR_RESULT_NOT_MEASURED : MDR_RESULT_NOT_ASKED;
        return out;
    }
    bool above = false;
    const double slack = rounding * fmax(fabs(l->high), fabs(l->low));
    for (int i = 0; i < r->n; i++) {
        out.n_beyond += margin_of(counted(p, r->values[i]), l, &above) < -slack;
    }
    out.margin = margin_of(out.mean, l, &out.above);
    out.limit = out.above ? l->high : l->low;
    if (out.margin < -slack) {
        out.verdict = MDR_RESULT_MISSED;
    } else if (out.n_beyond > 0 || out.margin + slack < out.spread) {
        out.verdict = MDR_RESULT_NEAR;
    } else {
        out.verdict = MDR_RESULT_MET;
    }
    return out;
}

mdr_code mdr_fabric_result_of(const mdr_result_in *in, mdr_fabric_result *out, mdr_err *err)
{
    mdr_fabric_result all = {.n_met = 0};
    for (int p = 0; p < MDR_PROPERTY_COUNT; p++) {
        MDR_TRY(check((mdr_property)p, &in->readings[p], &in->limits[p], err));
        all.of[p] = judge((mdr_property)p, &in->readings[p], &in->limits[p]);
        const mdr_result_verdict v = all.of[p].verdict;
        all.n_met += v == MDR_RESULT_MET;
        all.n_near += v == MDR_RESULT_NEAR;
        all.n_missed += v == MDR_RESULT_MISSED;
        all.n_not_measured += v == MDR_RESULT_NOT_MEASURED;
    }
    *out = all;
    return MDR_OK;
}
