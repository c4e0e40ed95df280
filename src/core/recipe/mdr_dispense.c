#include "core/recipe/mdr_dispense.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "core/finish/mdr_bound.h"

static const double PERCENT = 100.0, ML_PER_L = 1000.0;
static const double SAMPLE_MOST_G = 1000.0, RATIO_MOST = 100.0, DEPTH_MOST = 30.0,
                    G_PER_L_MOST = 500.0;
static const double TINY = 1e-9; /* rounding of the reckoning itself */
/* Common practice of dyeing laboratories. */
static const double USUAL_FLASK_ML[] = {100.0, 250.0, 500.0, 1000.0};
enum { USUAL_FLASKS = 4, USUAL_LEVELS = 3, FLASKS_EACH_MAX = 99 };

mdr_lab_tools mdr_lab_tools_usual(void)
{
    mdr_lab_tools t = {.pipette_least_ml = 0.5,
                       .pipette_step_ml = 0.05,
                       .balance_least_g = 0.2,
                       .balance_step_g = 0.01,
                       .dilution = 10.0,
                       .error_most_pct = 2.0,
                       .spare = 1.2,
                       .flasks = USUAL_FLASKS,
                       .levels = USUAL_LEVELS}; /* common practice */
    memcpy(t.flask_ml, USUAL_FLASK_ML, sizeof USUAL_FLASK_ML);
    return t;
}

static mdr_code bad_count(const char *place, int value, int most, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, place, "that is more than can be dispensed");
    mdr_err_value(err, "%d", value);
    mdr_err_allowed(err, "up to %d", most);
    return rc;
}

static mdr_code check_counts(const mdr_lab_in *in, mdr_err *err)
{
    const struct {
        const char *place;
        int value, least, most;
    } all[] = {{"dyes", in->n_dyes, 1, MDR_LAB_DYES_MAX},
               {"aux", in->n_aux, 0, MDR_LAB_AUX_MAX},
               {"pots", in->n_pots, 1, MDR_LAB_POTS_MAX},
               {"tools.flasks", in->tools.flasks, 1, MDR_LAB_FLASKS_MAX},
               {"tools.levels", in->tools.levels, 1, MDR_LAB_LEVELS_MAX}};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        if (all[i].value < all[i].least || all[i].value > all[i].most) {
            return bad_count(all[i].place, all[i].value, all[i].most, err);
        }
    }
    return MDR_OK;
}

static mdr_code check_tools(const mdr_lab_tools *t, mdr_err *err)
{
    const mdr_bound all[] = {{"tools.pipette_least_ml", t->pipette_least_ml, 1e-3, 100.0},
                             {"tools.pipette_step_ml", t->pipette_step_ml, 1e-4, 10.0},
                             {"tools.balance_least_g", t->balance_least_g, 1e-4, 100.0},
                             {"tools.balance_step_g", t->balance_step_g, 1e-5, 10.0},
                             {"tools.dilution", t->dilution, 1.5, 1000.0},
                             {"tools.error_most_pct", t->error_most_pct, 0.01, 50.0},
                             {"tools.spare", t->spare, 1.0, 10.0}}; /* invented: slipped decimals */
    MDR_TRY(mdr_bound_check(all, (int)(sizeof all / sizeof all[0]), "tool cannot be right", err));
    for (int i = 0; i < t->flasks; i++) {
        const mdr_bound flask = {"tools.flask_ml", t->flask_ml[i], i > 0 ? t->flask_ml[i - 1] : 1.0,
                                 1e5};
        MDR_TRY(mdr_bound_check(&flask, 1, "flasks from small to large", err));
    }
    return MDR_OK;
}

static mdr_code check_pot(const mdr_lab_in *in, const mdr_lab_pot *p, mdr_err *err)
{
    const mdr_bound all[] = {{"sample_g", p->sample_g, 1e-3, SAMPLE_MOST_G},
                             {"ratio_l_per_kg", p->ratio_l_per_kg, 1.0, RATIO_MOST}};
    MDR_TRY(mdr_bound_check(all, 2, "laboratory dyeing cannot be right", err));
    for (int j = 0; j < in->n_dyes; j++) {
        const mdr_bound depth = {"depth_pct_owf", p->depth_pct_owf[j], 0.0, DEPTH_MOST};
        MDR_TRY(mdr_bound_check(&depth, 1, "depth cannot be right", err));
    }
    for (int j = 0; j < in->n_aux; j++) {
        const mdr_bound aux = {"aux_g_per_l", p->aux_g_per_l[j], 0.0, G_PER_L_MOST};
        MDR_TRY(mdr_bound_check(&aux, 1, "concentration cannot be right", err));
    }
    const double liquor_ml = p->sample_g * p->ratio_l_per_kg;
    if (!(liquor_ml <= p->vessel_ml)) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "vessel_ml", "liquor does not fit the vessel");
        mdr_err_value(err, "%g", p->vessel_ml);
        mdr_err_allowed(err, "%g mL or more", liquor_ml);
        mdr_err_remedy(err, "a smaller sample, or a shorter ratio");
        return rc;
    }
    return MDR_OK;
}

static mdr_code check_stocks(const mdr_lab_in *in, mdr_err *err)
{
    for (int j = 0; j < in->n_dyes; j++) {
        const mdr_bound stock = {"dyes.stock_g_per_l", in->dyes[j].stock_g_per_l, 0.01,
                                 G_PER_L_MOST};
        MDR_TRY(mdr_bound_check(&stock, 1, "stock solution cannot be right", err));
    }
    for (int j = 0; j < in->n_aux; j++) {
        const mdr_bound stock = {"aux.stock_g_per_l", in->aux[j].stock_g_per_l, 0.0, G_PER_L_MOST};
        MDR_TRY(mdr_bound_check(&stock, 1, "stock solution cannot be right", err));
    }
    return MDR_OK;
}

static mdr_code check(const mdr_lab_in *in, mdr_err *err)
{
    MDR_TRY(check_counts(in, err));
    MDR_TRY(check_tools(&in->tools, err));
    MDR_TRY(check_stocks(in, err));
    for (int i = 0; i < in->n_pots; i++) {
        const mdr_code rc = check_pot(in, &in->pots[i], err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "pots[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

static double to_step(double value, double step)
{
    return round(value / step) * step;
}

static double off_pct(double rounded, double exact)
{
    return PERCENT * (rounded / exact - 1.0);
}

/* Volume of a solution that holds g, as the pipette takes it. */
static mdr_lab_dose pipette(const mdr_lab_tools *t, double g, double g_per_l, int level)
{
    mdr_lab_dose d = {.g = g, .level = level, .exact_ml = g / g_per_l * ML_PER_L};
    d.ml = to_step(d.exact_ml, t->pipette_step_ml);
    d.error_pct = off_pct(d.ml, d.exact_ml);
    return d;
}

static bool fine_enough(const mdr_lab_tools *t, const mdr_lab_dose *d)
{
    return d->ml >= t->pipette_least_ml - TINY && fabs(d->error_pct) <= t->error_most_pct + TINY;
}

static mdr_code dose_dye(const mdr_lab_in *in, const mdr_lab_pot *p, int j, mdr_lab_dose *out,
                         mdr_err *err)
{
    double g_per_l = in->dyes[j].stock_g_per_l;
    const double g = p->sample_g * p->depth_pct_owf[j] / PERCENT;
    *out = (mdr_lab_dose){0};
    if (!(g > 0.0)) {
        return MDR_OK;
    }
    for (int level = 0; level < in->tools.levels; level++) {
        *out = pipette(&in->tools, g, g_per_l, level);
        if (fine_enough(&in->tools, out)) {
            return MDR_OK;
        }
        g_per_l /= in->tools.dilution;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_INFEAS, "", "dose too small for the weakest solution");
    mdr_err_within(err, "depth_pct_owf[%d]", j);
    mdr_err_value(err, "%g %% owf, %.3g mL", p->depth_pct_owf[j], out->exact_ml);
    mdr_err_allowed(err, "%g mL or more, within %g %%", in->tools.pipette_least_ml,
                    in->tools.error_most_pct);
    mdr_err_remedy(err, "one more dilution, a weaker stock, or a larger sample");
    return rc;
}

static mdr_lab_dose dose_aux(const mdr_lab_in *in, int j, double g)
{
    if (in->aux[j].stock_g_per_l > 0.0 && g > 0.0) {
        return pipette(&in->tools, g, in->aux[j].stock_g_per_l, 0);
    }
    mdr_lab_dose d = {.g = to_step(g, in->tools.balance_step_g)};
    d.error_pct = g > 0.0 ? off_pct(d.g, g) : 0.0;
    return d;
}

static mdr_code fill_pot(const mdr_lab_in *in, const mdr_lab_pot *p, mdr_lab_pot_sheet *s,
                         mdr_err *err)
{
    double used_ml = 0.0;
    s->liquor_ml = p->sample_g * p->ratio_l_per_kg;
    for (int j = 0; j < in->n_dyes; j++) {
        MDR_TRY(dose_dye(in, p, j, &s->dye[j], err));
        used_ml += s->dye[j].ml;
    }
    for (int j = 0; j < in->n_aux; j++) {
        s->aux[j] = dose_aux(in, j, p->aux_g_per_l[j] * s->liquor_ml / ML_PER_L);
        used_ml += s->aux[j].ml;
    }
    s->water_ml = s->liquor_ml - used_ml;
    if (s->water_ml < -TINY) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_INFEAS, "", "the solutions alone are more than the liquor");
        mdr_err_value(err, "%.2f mL", used_ml);
        mdr_err_allowed(err, "%.2f mL", s->liquor_ml);
        mdr_err_remedy(err, "stronger stocks, salt and alkali weighed in, or a longer ratio");
        return rc;
    }
    s->water_ml = fmax(s->water_ml, 0.0);
    return MDR_OK;
}

/* Smallest flask from which on `need_ml` is held and at least `least_ml` fills a share of 1/part of
 * it; several of the largest when none holds it. False: not even the largest has that share. */
static bool choose_flask(const mdr_lab_tools *t, double need_ml, double least_fill_ml,
                         mdr_lab_solution *s)
{
    for (int f = 0; f < t->flasks; f++) {
        const bool last = f == t->flasks - 1;
        if (t->flask_ml[f] >= least_fill_ml - TINY && (t->flask_ml[f] >= need_ml || last)) {
            s->flask_ml = t->flask_ml[f];
            s->flasks = (int)fmin(fmax(ceil(need_ml / s->flask_ml - TINY), 1.0), FLASKS_EACH_MAX);
            return true;
        }
    }
    return false;
}

static mdr_code cannot_make(int dye, const char *msg, const char *remedy, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_INFEAS, "", "%s", msg);
    mdr_err_within(err, "dyes[%d]", dye);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

/* The solutions of one dye, from the weakest up: each is needed for doses and for the next weaker. */
static mdr_code make_solutions(const mdr_lab_in *in, int j, const double *doses_ml,
                               mdr_lab_solution *out, int *n, mdr_err *err)
{
    const mdr_lab_tools *t = &in->tools;
    double for_weaker_ml = 0.0;
    *n = 0;
    for (int level = t->levels - 1; level >= 0; level--) {
        mdr_lab_solution s = {.dye = j, .level = level};
        s.g_per_l = in->dyes[j].stock_g_per_l / pow(t->dilution, level);
        s.needed_ml = doses_ml[level] + for_weaker_ml;
        if (!(s.needed_ml > 0.0)) {
            continue;
        }
        const double least_fill_ml = level == 0 ? t->balance_least_g / s.g_per_l * ML_PER_L
                                                : t->pipette_least_ml * t->dilution;
        if (!choose_flask(t, s.needed_ml * t->spare, least_fill_ml, &s)) {
            return level == 0 ? cannot_make(j, "too little of the stock to weigh in any flask",
                                            "a stronger stock, or a larger flask", err)
                              : cannot_make(j, "too little of the dilution to pipette in any flask",
                                            "a smaller dilution, or a larger flask", err);
        }
        s.take_ml = level == 0 ? 0.0 : s.flask_ml / t->dilution;
        for_weaker_ml = s.take_ml * s.flasks;
        if (level == 0) {
            const double exact_g = s.g_per_l * s.flask_ml / ML_PER_L;
            s.weigh_g = to_step(exact_g, t->balance_step_g);
            s.error_pct = off_pct(s.weigh_g, exact_g);
        }
        out[(*n)++] = s;
    }
    for (int a = 0, b = *n - 1; a < b; a++, b--) { /* strongest first */
        const mdr_lab_solution swap = out[a];
        out[a] = out[b];
        out[b] = swap;
    }
    return MDR_OK;
}

static mdr_code all_solutions(const mdr_lab_in *in, mdr_lab_sheet *sheet, mdr_err *err)
{
    for (int j = 0; j < in->n_dyes; j++) {
        double doses_ml[MDR_LAB_LEVELS_MAX] = {0};
        int n;
        for (int i = 0; i < in->n_pots; i++) {
            doses_ml[sheet->pot[i].dye[j].level] += sheet->pot[i].dye[j].ml;
        }
        MDR_TRY(make_solutions(in, j, doses_ml, &sheet->solution[sheet->solutions], &n, err));
        sheet->solutions += n;
    }
    return MDR_OK;
}

mdr_code mdr_lab_dispense(const mdr_lab_in *in, mdr_arena *arena, mdr_lab_sheet *out, mdr_err *err)
{
    MDR_TRY(check(in, err));
    mdr_lab_sheet s = {.pots = in->n_pots};
    s.pot = MDR_NEW_N(arena, mdr_lab_pot_sheet, (size_t)in->n_pots);
    s.solution = MDR_NEW_N(arena, mdr_lab_solution, (size_t)in->n_dyes * (size_t)in->tools.levels);
    if (s.pot == NULL || s.solution == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "pots", "no memory for the sheet");
    }
    for (int i = 0; i < in->n_pots; i++) {
        const mdr_code rc = fill_pot(in, &in->pots[i], &s.pot[i], err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "pots[%d]", i);
            return rc;
        }
    }
    MDR_TRY(all_solutions(in, &s, err));
    *out = s;
    return MDR_OK;
}
