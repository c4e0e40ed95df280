#include "core/exhaust/mdr_dye_standard.h"

#include <math.h>

#include "core/bath/mdr_equil.h"
#include "core/bath/mdr_salt.h"
#include "core/plan/mdr_records.h"

/* Common practice of a laboratory dyeing of middle depth. */
static const mdr_dye_standard WARM = {.ratio_l_per_kg = 10,
                                      .depth_pct_owf = 2,
                                      .temp_c = 60,
                                      .salt_g_per_l = 50,
                                      .soda_g_per_l = 15,
                                      .before_min = 30,
                                      .after_min = 60,
                                      .first_min = 10};
static const mdr_dye_standard HOT = {.ratio_l_per_kg = 10,
                                     .depth_pct_owf = 2,
                                     .temp_c = 80,
                                     .salt_g_per_l = 60,
                                     .soda_g_per_l = 15,
                                     .before_min = 30,
                                     .after_min = 60,
                                     .first_min = 10};
static const mdr_dye_standard BOIL = {
    .ratio_l_per_kg = 10, .depth_pct_owf = 2, .temp_c = 95, .salt_g_per_l = 20, .after_min = 60};
/* NaOH and temperature of the three ways of vatting; the sodium of dithionite is not counted */
static const mdr_dye_standard VAT_IN = {
    .ratio_l_per_kg = 10, .depth_pct_owf = 2, .temp_c = 60, .caustic_g_per_l = 8, .after_min = 45};
static const mdr_dye_standard VAT_IW = {.ratio_l_per_kg = 10,
                                        .depth_pct_owf = 2,
                                        .temp_c = 48,
                                        .salt_g_per_l = 10,
                                        .caustic_g_per_l = 6,
                                        .after_min = 45};
static const mdr_dye_standard VAT_IK = {.ratio_l_per_kg = 10,
                                        .depth_pct_owf = 2,
                                        .temp_c = 25,
                                        .salt_g_per_l = 20,
                                        .caustic_g_per_l = 4,
                                        .after_min = 45};

mdr_dye_standard mdr_dye_standard_of(mdr_dye_group g)
{
    switch (g) {
    case MDR_GROUP_MONOCHLOROTRIAZINE:
    case MDR_GROUP_BIS_TRIAZINE:
        return HOT;
    case MDR_GROUP_DIRECT_A:
    case MDR_GROUP_DIRECT_B:
    case MDR_GROUP_DIRECT_C:
        return BOIL;
    case MDR_GROUP_VAT_IN:
        return VAT_IN;
    case MDR_GROUP_VAT_IW:
        return VAT_IW;
    case MDR_GROUP_VAT_IK:
        return VAT_IK;
    case MDR_GROUP_UNSTATED:
    case MDR_GROUP_VINYL_SULPHONE:
    case MDR_GROUP_BIFUNCTIONAL:
    case MDR_GROUP_COUNT:
        break;
    }
    return WARM;
}

static mdr_code within(const char *place, double value, double least, double most, mdr_err *err)
{
    if (value >= least && value <= most) { /* false for NaN */
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "outside what a dyeing can be");
    mdr_err_value(err, "%g", value);
    mdr_err_allowed(err, "%g to %g", least, most);
    mdr_err_remedy(err, "give the conditions under which the numbers were measured");
    return rc;
}

static mdr_code check_reactive(const mdr_dye_standard *s, mdr_err *err)
{
    MDR_TRY(within("before_min", s->before_min, 1, 240, err));
    if (!(s->soda_g_per_l + s->caustic_g_per_l > 0.0)) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, "soda_g_per_l", "a reactive dye is not fixed without alkali");
        mdr_err_value(err, "0");
        mdr_err_allowed(err, "soda or caustic above 0 g/L");
        mdr_err_remedy(err, "give the alkali of the dyeing that was measured");
        return rc;
    }
    if (!(s->first_min > 0.0 && s->first_min < s->after_min)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "first_min",
                                     "the first fixation is read while the dye is being fixed");
        mdr_err_value(err, "%g", s->first_min);
        mdr_err_allowed(err, "above 0, below %g", s->after_min);
        mdr_err_remedy(err, "give the minutes after the alkali, usually 10");
        return rc;
    }
    return MDR_OK;
}

mdr_code mdr_dye_standard_check(const mdr_dye_standard *s, mdr_dye_way way, mdr_err *err)
{
    const struct {
        const char *place;
        double value, least, most;
    } of_all[] = {{"ratio_l_per_kg", s->ratio_l_per_kg, 3, 100},
                  {"depth_pct_owf", s->depth_pct_owf, 0.01, 15},
                  {"temp_c", s->temp_c, 10, 100},
                  {"salt_g_per_l", s->salt_g_per_l, 0, 150},
                  {"soda_g_per_l", s->soda_g_per_l, 0, 40},
                  {"caustic_g_per_l", s->caustic_g_per_l, 0, 40},
                  {"after_min", s->after_min, 1, 480}};
    for (size_t i = 0; i < sizeof of_all / sizeof of_all[0]; i++) {
        MDR_TRY(within(of_all[i].place, of_all[i].value, of_all[i].least, of_all[i].most, err));
    }
    return way == MDR_WAY_REACTIVE ? check_reactive(s, err) : MDR_OK;
}

double mdr_dye_standard_ph(const mdr_dye_standard *s, mdr_dye_way way)
{
    mdr_mix mix = {.temp_c = s->temp_c};
    mdr_mix_add(&mix, MDR_SUB_NA2SO4, s->salt_g_per_l);
    mdr_mix_add(&mix, MDR_SUB_NA2CO3, s->soda_g_per_l);
    mdr_mix_add(&mix, MDR_SUB_NAOH, s->caustic_g_per_l);
    const bool alkaline = way != MDR_WAY_DIRECT && s->soda_g_per_l + s->caustic_g_per_l > 0.0;
    return alkaline ? mdr_equil_ph(&mix) : 7.0;
}

double mdr_dye_standard_sodium_mol_per_l(const mdr_dye_standard *s, mdr_dye_way way,
                                         bool with_alkali)
{
    const double salt = mdr_salt_sodium_mol_per_l(MDR_SUB_NA2SO4, s->salt_g_per_l);
    const double alkali = mdr_salt_sodium_mol_per_l(MDR_SUB_NA2CO3, s->soda_g_per_l) +
                          mdr_salt_sodium_mol_per_l(MDR_SUB_NAOH, s->caustic_g_per_l);
    return salt + (with_alkali || way != MDR_WAY_REACTIVE ? alkali : 0.0);
}

/* A beaker: what the fabric holds is stirred into the rest many times a minute. */
static const double HELD_L_PER_KG = 2.0, STIRRED_PER_MIN = 60.0;
static const double LOAD_KG = 1.0, TURN_MIN = 1.0;
enum { STEPS_PER_TURN = 8 };            /* the numbers are 0.01 % off those of endlessly many */
static const double ALKALI_MIN = 0.001; /* "at once": a course has no two moments at one time */

mdr_code mdr_dye_standard_run(const mdr_dye_rates *rates, const mdr_dye_standard *s,
                              mdr_dye_way way, double sample_min, mdr_arena *arena,
                              const mdr_dyeing **out, mdr_err *err)
{
    MDR_TRY(mdr_dye_standard_check(s, way, err));
    const double before = way == MDR_WAY_REACTIVE ? s->before_min : 0.0;
    const double liquor = s->ratio_l_per_kg * LOAD_KG;
    const double salt_only = mdr_dye_standard_sodium_mol_per_l(s, way, false);
    const double sodium = mdr_dye_standard_sodium_mol_per_l(s, way, true);
    const double ph = mdr_dye_standard_ph(s, way);
    const mdr_dyeing_moment at_once[] = {{0, s->temp_c, liquor, sodium, ph, false},
                                         {s->after_min, s->temp_c, liquor, sodium, ph, false}};
    const mdr_dyeing_moment alkali_later[] = {
        {0, s->temp_c, liquor, salt_only, 7.0, false},
        {before, s->temp_c, liquor, salt_only, 7.0, false},
        {before + ALKALI_MIN, s->temp_c, liquor, sodium, ph, false},
        {before + s->after_min, s->temp_c, liquor, sodium, ph, false}};
    const mdr_dyeing_dose dose = {.kg = s->depth_pct_owf / 100.0 * LOAD_KG, .exponent = 1.0};
    const bool later = way == MDR_WAY_REACTIVE;
    const mdr_dyeing_in in = {.dyes = rates,
                              .n_dyes = 1,
                              .course = later ? alkali_later : at_once,
                              .n_moments = later ? 4 : 2,
                              .doses = &dose,
                              .n_doses = 1,
                              .rope = {.load_kg = LOAD_KG,
                                       .tubes = 1,
                                       .tube_share = {1.0},
                                       .held_l_per_kg = HELD_L_PER_KG,
                                       .cycle_min = TURN_MIN,
                                       .zone_fraction = 1.0,
                                       .exchange_per_min = STIRRED_PER_MIN},
                              .slices = 1,
                              .steps_per_turn = STEPS_PER_TURN,
                              .sample_min = sample_min};
    return mdr_dyeing_run(&in, arena, out, err);
}

const char *mdr_dye_number_id(mdr_dye_number n)
{
    static const char *const IDS[MDR_NUMBER_COUNT] = {"primary_exhaustion_pct", "exhaustion_pct",
                                                      "fix_first_pct", "fixation_pct",
                                                      "half_dyeing_min"};
    return (unsigned)n < MDR_NUMBER_COUNT ? IDS[n] : NULL;
}

bool mdr_dye_number_applies(mdr_dye_number n, mdr_dye_way way)
{
    return way == MDR_WAY_REACTIVE || n == MDR_NUMBER_EXHAUSTION || n == MDR_NUMBER_HALF;
}

/* Value at a time, straight between samples; the run covers it. */
static double at_time(const mdr_dyeing *run, const double *of, double t_min)
{
    for (int i = 1; i < run->n_samples; i++) {
        const double from = run->t_min[i - 1], to = run->t_min[i];
        if (t_min <= to && to > from) {
            return of[i - 1] + (of[i] - of[i - 1]) * (t_min - from) / (to - from);
        }
    }
    return of[run->n_samples - 1];
}

/* The first time at which a value is reached, from `from_min` on. */
static double time_of(const mdr_dyeing *run, const double *of, double from_min, double value)
{
    for (int i = 1; i < run->n_samples; i++) {
        const double from = run->t_min[i - 1], to = run->t_min[i];
        if (to > from_min && of[i] >= value && of[i] > of[i - 1]) {
            return from + (to - from) * (value - of[i - 1]) / (of[i] - of[i - 1]);
        }
    }
    return run->t_min[run->n_samples - 1];
}

void mdr_dye_standard_numbers(const mdr_dyeing *run, const mdr_dye_standard *s, mdr_dye_way way,
                              double *out)
{
    const int last = run->n_samples - 1;
    const double on = run->on_fibre[last], fixed = run->fixed[last];
    const bool reactive = way == MDR_WAY_REACTIVE;
    const double from = reactive ? s->before_min : 0.0;
    out[MDR_NUMBER_EXHAUSTION] = 100.0 * on;
    out[MDR_NUMBER_PRIMARY] = reactive ? 100.0 * at_time(run, run->on_fibre, from) : 0.0;
    out[MDR_NUMBER_FIRST] = reactive ? 100.0 * at_time(run, run->fixed, from + s->first_min) : 0.0;
    out[MDR_NUMBER_FIXATION] = reactive ? 100.0 * fixed : 0.0;
    out[MDR_NUMBER_HALF] =
        time_of(run, reactive ? run->fixed : run->on_fibre, from, 0.5 * (reactive ? fixed : on)) -
        from;
}
