/* Residual peroxide: catalase where it can work, else water. */
#include <math.h>

#include "core/bath/mdr_peroxide.h"
#include "core/run/mdr_hold_work.h"

static const double MG_PER_KG = 1e6;
static const double WORK_C = 50.0, WARM_C = 40.0, WORK_PH = 7.0;    /* well inside the window */
static const double DOSE_MIN = 5.0, WORK_MIN = 15.0, RUN_MIN = 5.0; /* common practice */
static const double CAPACITY_OFF = 0.1; /* part by which a capacity may be off; invented */
enum { ROUNDS = 2, RINSES_MOST = 6 };

static double peroxide_mg_per_l(const mdr_hold_vessel *v)
{
    return v->dissolved_kg[MDR_IN_H2O2] * MG_PER_KG / v->liquor_l;
}

/* 1 mg/L, or half the limit where that is less. */
static double aim_of(const mdr_hold_work *w)
{
    return fmin(MDR_PEROXIDE_AIM_MG_PER_L, 0.5 * w->in->check->high);
}

/* Into the window of the enzyme, in temperature and pH. */
static void prepare(mdr_hold_work *w)
{
    double ph = WORK_PH;
    if (!mdr_peroxide_catalase_temp_fits(w->now.temp_c)) {
        mdr_hold_to_temp(w, w->now.temp_c > MDR_PEROXIDE_CATALASE_MAX_C ? WORK_C : WARM_C);
    }
    (void)mdr_hold_ph_of(&w->now, w->now.temp_c, &ph);
    mdr_hold_because(w, MDR_HOLD_RULE_WINDOW,
                     mdr_hold_say(w, "hold.peroxide.window-working", mdr_lang_num(w->now.temp_c, 0),
                                  mdr_lang_num(ph, 1)));
    if (mdr_peroxide_catalase_ph_fits(ph)) {
        return;
    }
    const bool gets_there = ph > WORK_PH ? mdr_hold_acid_to(w, WORK_PH, w->now.temp_c, DOSE_MIN)
                                         : mdr_hold_alkali_to(w, WORK_PH, w->now.temp_c, DOSE_MIN);
    if (!gets_there) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.catalase-ph"));
        return;
    }
    mdr_hold_run(w, RUN_MIN, "");
    mdr_hold_look(w, MDR_CHECK_PH, MDR_PEROXIDE_CATALASE_PH_MIN, MDR_PEROXIDE_CATALASE_PH_MAX,
                  mdr_hold_say(w, "hold.peroxide.strip-method"));
}

static void catalase(mdr_hold_work *w)
{
    const mdr_material *m = mdr_hold_find(w, MDR_SUB_CATALASE);
    if (m == NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.peroxide.no-catalase"));
        return;
    }
    mdr_hold_begin(w, MDR_REMEDY_CATALASE);
    prepare(w);
    const double from = peroxide_mg_per_l(&w->now), aim = aim_of(w), liquor_l = w->now.liquor_l;
    const double kg = mdr_peroxide_catalase_kg(from, aim, liquor_l, m->capacity_mg_per_g);
    mdr_hold_because_plan(w, MDR_RULE_CATALASE,
                          mdr_hold_say(w, "hold.peroxide.catalase-working", mdr_lang_num(from, 1),
                                       mdr_lang_num(aim, 1), mdr_lang_num(liquor_l, 0),
                                       mdr_lang_num(m->capacity_mg_per_g, 0), mdr_lang_num(kg, 3)));
    mdr_hold_give_one(w, m, kg, DOSE_MIN);
    mdr_hold_run(w, WORK_MIN, mdr_hold_say(w, "hold.peroxide.enzyme-note"));
    const double left =
        mdr_peroxide_after_catalase_mg_per_l(from, kg, liquor_l, m->capacity_mg_per_g) * liquor_l /
        w->now.liquor_l;
    mdr_hold_expect(w, fmax(0.0, left - CAPACITY_OFF * (from - left)), left,
                    left + CAPACITY_OFF * (from - left));
    mdr_hold_end(w, w->in->n_failed > 0 ? MDR_HOLD_BY_TECHNOLOGIST : MDR_HOLD_BY_OPERATOR,
                 mdr_hold_say(w, "hold.give.product", mdr_lang_str(mdr_hold_mass(w, kg)),
                              mdr_lang_str(m->name), mdr_lang_num(WORK_MIN, 0)));
}

static void rinse(mdr_hold_work *w)
{
    const mdr_control_state *s = w->in->state;
    if (s->dyebath) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.rinse.dye-in-bath"));
        return;
    }
    const double aim = 0.5 * w->in->check->high; /* the strip is read by eye */
    int n = 0;
    mdr_hold_begin(w, MDR_REMEDY_RINSE);
    while (peroxide_mg_per_l(&w->now) > aim && n < RINSES_MOST) {
        mdr_hold_drain(w);
        mdr_hold_refill(w, s->temp_c);
        mdr_hold_run(w, RUN_MIN, "");
        n++;
    }
    mdr_hold_to_temp(w, s->temp_c);
    const double left = peroxide_mg_per_l(&w->now);
    mdr_hold_because(
        w, MDR_HOLD_RULE_REFILL,
        mdr_hold_say(w, "hold.peroxide.rinses-working", mdr_lang_num(w->in->reading, 1),
                     mdr_lang_num(s->retained_l_per_kg * s->load_kg, 0),
                     mdr_lang_num(s->liquor_l, 0), mdr_lang_num(n, 0), mdr_lang_num(left, 2)));
    if (left > w->in->check->high) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.six-rinses"));
    }
    mdr_hold_expect(w, left, left, w->in->check->high);
    mdr_hold_caution(w, mdr_hold_say(w, "hold.rinse.dose-again"));
    mdr_hold_end(w, MDR_HOLD_BY_TECHNOLOGIST,
                 mdr_hold_say(w, n == 1 ? "hold.peroxide.rinse" : "hold.peroxide.rinses",
                              mdr_lang_num(n, 0)));
}

void mdr_hold_peroxide(mdr_hold_work *w)
{
    double g_per_l = 0.0;
    if (!mdr_hold_above(w)) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.peroxide.below"));
        return;
    }
    if (w->in->ph > 0.0) {
        (void)mdr_hold_fit_ph(&w->start, fmin(w->start.temp_c, 100.0), w->in->ph, MDR_SUB_NAOH,
                              &g_per_l);
    }
    w->start.dissolved_kg[MDR_IN_H2O2] = w->in->reading * w->start.liquor_l / MG_PER_KG;
    if (w->in->n_failed < ROUNDS) {
        catalase(w);
    } else {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.peroxide.spent"));
    }
    rinse(w);
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.peroxide.twice"));
        return;
    }
    mdr_hold_settle(w, mdr_hold_say(w, "hold.peroxide.nothing"));
}
