#include "core/colour/mdr_verdict.h"

#include <math.h>

const char *mdr_axis_name(mdr_axis axis)
{
    static const char *const NAMES[MDR_AXIS_COUNT] = {"dL", "da", "db", "dC", "dH"};
    if ((int)axis < 0 || axis >= MDR_AXIS_COUNT) {
        MDR_UNREACHABLE();
    }
    return NAMES[axis];
}

mdr_tolerance mdr_tolerance_simple(mdr_difference_formula formula, double most_de)
{
    return (mdr_tolerance){.spec = mdr_difference_usual(formula),
                           .n_lights = 1,
                           .light = {{MDR_ILL_D65, MDR_OBSERVER_10, most_de}}};
}

static mdr_code check_axis(const mdr_axis_limit *limit, mdr_axis axis, mdr_err *err)
{
    if (limit->set &&
        !(isfinite(limit->least) && isfinite(limit->most) && limit->least <= limit->most)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, mdr_axis_name(axis),
                                     "the lower limit of an axis lies above the upper one");
        mdr_err_within(err, "limit");
        mdr_err_value(err, "%g to %g", limit->least, limit->most);
        return rc;
    }
    return MDR_OK;
}

static mdr_code check_light(const mdr_tolerance *t, int i, mdr_err *err)
{
    const mdr_light *light = &t->light[i];
    if (!(light->most_de > 0.0 && light->most_de <= 1000.0)) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "most_de", "no limit of a colour difference");
        mdr_err_within(err, "light[%d]", i);
        mdr_err_value(err, "%g", light->most_de);
        mdr_err_allowed(err, "above 0, up to 1000");
        return rc;
    }
    for (int k = 0; k < i; k++) {
        if (t->light[k].illuminant == light->illuminant &&
            t->light[k].observer == light->observer) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "", "the same light is there twice");
            mdr_err_within(err, "light[%d]", i);
            mdr_err_value(err, "%s", mdr_illuminant_name(light->illuminant));
            return rc;
        }
    }
    return MDR_OK;
}

mdr_code mdr_tolerance_check(const mdr_tolerance *t, mdr_err *err)
{
    MDR_TRY(mdr_difference_check(&t->spec, err));
    if (t->n_lights < 1 || t->n_lights > MDR_LIGHTS_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "n_lights", "a verdict needs a light");
        mdr_err_value(err, "%d", t->n_lights);
        mdr_err_allowed(err, "1 to 8");
        return rc;
    }
    for (int i = 0; i < t->n_lights; i++) {
        MDR_TRY(check_light(t, i, err));
    }
    for (int a = 0; a < MDR_AXIS_COUNT; a++) {
        MDR_TRY(check_axis(&t->limit[a], (mdr_axis)a, err));
    }
    return MDR_OK;
}

mdr_verdict_light mdr_verdict_under(mdr_lab standard, mdr_lab sample, const mdr_tolerance *t, int i)
{
    mdr_verdict_light v = {.standard = standard, .sample = sample};
    v.difference = mdr_difference_of(standard, sample, &t->spec);
    v.words = mdr_shade_words_of(standard, sample, &v.difference);
    v.over_de = v.difference.de > t->light[i].most_de + MDR_LIMIT_SLACK;
    v.passes = !v.over_de;
    const mdr_difference *d = &v.difference;
    const double parts[MDR_AXIS_COUNT] = {d->dl, d->da, d->db, d->dc, d->dh};
    for (int a = 0; a < MDR_AXIS_COUNT && i == 0; a++) {
        const mdr_axis_limit *limit = &t->limit[a];
        v.over_axis[a] = limit->set && (parts[a] < limit->least - MDR_LIMIT_SLACK ||
                                        parts[a] > limit->most + MDR_LIMIT_SLACK);
        v.passes = v.passes && !v.over_axis[a];
    }
    return v;
}

static void sum_up(const mdr_tolerance *t, mdr_verdict *v)
{
    double worst = -1.0;
    v->passes = true;
    v->n_lights = t->n_lights;
    for (int i = 0; i < t->n_lights; i++) {
        const double share = v->light[i].difference.de / t->light[i].most_de;
        v->passes = v->passes && v->light[i].passes;
        if (share > worst) {
            worst = share;
            v->worst = i;
        }
    }
}

mdr_code mdr_verdict_of_labs(const mdr_lab *standard, const mdr_lab *sample, const mdr_tolerance *t,
                             mdr_verdict *out, mdr_err *err)
{
    MDR_TRY(mdr_tolerance_check(t, err));
    mdr_verdict v = {.worst = 0};
    for (int i = 0; i < t->n_lights; i++) {
        v.light[i] = mdr_verdict_under(standard[i], sample[i], t, i);
    }
    sum_up(t, &v);
    *out = v;
    return MDR_OK;
}

mdr_code mdr_verdict_of(const mdr_spectrum *standard, const mdr_spectrum *sample,
                        const mdr_tolerance *t, mdr_verdict *out, mdr_err *err)
{
    mdr_lab standards[MDR_LIGHTS_MAX], samples[MDR_LIGHTS_MAX];
    MDR_TRY(mdr_tolerance_check(t, err));
    for (int i = 0; i < t->n_lights; i++) {
        const mdr_light *light = &t->light[i];
        standards[i] = mdr_lab_of_spectrum(standard, light->illuminant, light->observer);
        samples[i] = mdr_lab_of_spectrum(sample, light->illuminant, light->observer);
    }
    return mdr_verdict_of_labs(standards, samples, t, out, err);
}
