#include "core/run/mdr_weigh.h"

#include <math.h>
#include <string.h>

#include "core/plan/mdr_pick.h"

MDR_PICK(mdr_weigh_verdict_id, mdr_weigh_verdict, MDR_WEIGH_VERDICTS(MDR_PICK_ID))
MDR_PICK(mdr_weigh_verdict_words, mdr_weigh_verdict, MDR_WEIGH_VERDICTS(MDR_PICK_WORDS))

static const double MG_PER_G = 1e3;

mdr_weigh_class mdr_weigh_class_usual(void)
{
    return (mdr_weigh_class){.class_id = "",
                             .name = "",
                             .remark = "",
                             .tolerance_pct = 1.0,     /* invented */
                             .tolerance_g = 1.0,       /* invented */
                             .least_divisions = 100.0, /* common practice: a display of 1 % */
                             .lead_min = 30.0};        /* invented */
}

static bool in_range(int64_t mass_mg)
{
    return mass_mg >= 1 && mass_mg <= MDR_WEIGH_MOST_MG;
}

mdr_weigh_window mdr_weigh_window_of(const mdr_weigh_class *class, int64_t target_mg)
{
    if (!in_range(target_mg)) {
        return (mdr_weigh_window){0};
    }
    const double share = (double)target_mg * class->tolerance_pct / 100.0;
    const double fixed = class->tolerance_g * MG_PER_G;
    /* a rounding error of the product must not take the milligram on the limit away */
    const int64_t tolerance = (int64_t)floor(fmax(share, fixed) + 1e-6);
    const int64_t low = target_mg - tolerance;
    return (mdr_weigh_window){low < 1 ? 1 : low, target_mg + tolerance, tolerance};
}

static mdr_code check_mass(const char *place, int64_t mass_mg, mdr_err *err)
{
    if (in_range(mass_mg)) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_RANGE, place, "this mass cannot be weighed");
    mdr_err_value(err, "%lld", (long long)mass_mg);
    mdr_err_allowed(err, "1 to %lld mg", (long long)MDR_WEIGH_MOST_MG);
    mdr_err_remedy(err, "enter the net mass, the container taken off");
    return MDR_E_RANGE;
}

mdr_code mdr_weigh_judge(const mdr_weigh_class *class, const mdr_scale *scale, int64_t target_mg,
                         int64_t net_mg, mdr_weigh_judged *out, mdr_err *err)
{
    MDR_TRY(check_mass("target_mg", target_mg, err));
    MDR_TRY(check_mass("mass_mg", net_mg, err));
    const mdr_weigh_window w = mdr_weigh_window_of(class, target_mg);
    mdr_weigh_judged j = {.verdict = MDR_WEIGH_WITHIN,
                          .target_mg = target_mg,
                          .net_mg = net_mg,
                          .window = w,
                          .off_mg = net_mg - target_mg};
    if (net_mg < w.low_mg) {
        j.verdict = MDR_WEIGH_BELOW;
    } else if (net_mg > w.high_mg) {
        j.verdict = MDR_WEIGH_ABOVE;
    }
    j.off_pct = 100.0 * (double)j.off_mg / (double)target_mg;
    j.needs_reason = j.verdict != MDR_WEIGH_WITHIN;
    j.needs_second = j.verdict == MDR_WEIGH_ABOVE || class->two_persons;
    j.too_fine = scale != NULL && (double)w.tolerance_mg < scale->division_g * MG_PER_G;
    *out = j;
    return MDR_OK;
}

static bool is_blank(const char *text)
{
    return text == NULL || text[strspn(text, " \t\r\n")] == '\0';
}

mdr_code mdr_weigh_may_store(const mdr_weigh_judged *j, const char *reason, mdr_err *err)
{
    if (!j->needs_reason || !is_blank(reason)) {
        return MDR_OK;
    }
    const bool above = j->verdict == MDR_WEIGH_ABOVE;
    (void)MDR_FAIL(err, MDR_E_ARG, "text", "%s was weighed, and no reason is given",
                   above ? "too much" : "too little");
    mdr_err_value(err, "%lld mg", (long long)j->net_mg);
    mdr_err_allowed(err, "%lld to %lld mg", (long long)j->window.low_mg,
                    (long long)j->window.high_mg);
    mdr_err_remedy(err, above ? "take some out, or say why it stays and have it checked"
                              : "add to it, or say why it stays");
    return MDR_E_ARG;
}

mdr_code mdr_weigh_may_check(const char *weighed_by, const char *by, mdr_err *err)
{
    if (is_blank(by)) {
        (void)MDR_FAIL(err, MDR_E_ARG, "by",
                       "the name of the person who checks the weighing is missing");
        mdr_err_remedy(err, "sign in, or scan the badge of the person who checks");
        return MDR_E_ARG;
    }
    if (weighed_by != NULL && strcmp(weighed_by, by) == 0) {
        (void)MDR_FAIL(err, MDR_E_CONFLICT, "by", "who weighed cannot check the same weighing");
        mdr_err_value(err, "%s", by);
        mdr_err_remedy(err, "another person looks at the scale and the label, and confirms");
        return MDR_E_CONFLICT;
    }
    return MDR_OK;
}
