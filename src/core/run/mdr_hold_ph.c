/* pH of the bath or of the core of the rope: acid or alkali by the reading, or a rinse. */
#include <math.h>

#include "core/run/mdr_hold_work.h"

static const double HALF_WINDOW_PH = 0.3; /* inside a limit that stands alone; invented */
static const double READ_MOST_C = 100.0;  /* hottest that the equilibria are known for */
static const double DOSE_MIN = 10.0, RUN_MIN = 10.0, CORE_MIN = 15.0; /* common practice */
static const double BATH_SALT_G_PER_L = 5.0; /* more of it: a dyebath; invented */
enum { ROUNDS = 3 };                         /* common practice */

/* How a bath can be off from the plan: two alkalis, as one reading cannot tell them apart. */
typedef struct guess {
    mdr_hold_vessel vessel; /* that reads what was read */
    int unknown;            /* mdr_substance */
    double unknown_g_per_l;
    bool known;
} guess;

static double read_c(const mdr_hold_work *w)
{
    return w->in->check->cooled ? MDR_PLAN_COLD_C : w->in->state->temp_c;
}

/* Water of the mill, where the plan knows of nothing dissolved. */
static void something_in_it(mdr_hold_work *w, mdr_hold_vessel *v, double temp_c)
{
    double ph = 0.0;
    if (!mdr_hold_ph_of(v, temp_c, &ph)) {
        v->dissolved_kg[MDR_IN_NAHCO3] += mdr_hold_bicarbonate_kg(w->in->site, v->liquor_l);
    }
}

/* Liquor of the rope as it reads, the rest as planned. */
static void mix_core(const mdr_hold_work *w, mdr_hold_vessel *v, const mdr_hold_vessel *plan)
{
    const double part =
        fmin(1.0, w->in->state->retained_l_per_kg * w->in->state->load_kg / w->in->state->liquor_l);
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        v->dissolved_kg[i] = part * v->dissolved_kg[i] + (1.0 - part) * plan->dissolved_kg[i];
    }
}

static guess guess_with(mdr_hold_work *w, int substance, double ph, bool core)
{
    guess g = {.vessel = w->start, .unknown = substance};
    something_in_it(w, &g.vessel, read_c(w));
    const mdr_hold_vessel plan = g.vessel;
    g.known = mdr_hold_fit_ph(&g.vessel, read_c(w), ph, substance, &g.unknown_g_per_l);
    if (g.known && core) {
        mix_core(w, &g.vessel, &plan);
    }
    return g;
}

/* -- by acid or alkali -- */

/* Product that this guess asks for; nothing is changed but the remedy in the making. */
static double asked_mg(mdr_hold_work *w, const guess *g, double aim, bool acid)
{
    double mg = 0.0;
    w->start = g->vessel;
    mdr_hold_begin(w, acid ? MDR_REMEDY_ACID : MDR_REMEDY_ALKALI);
    const bool gets_there = acid ? mdr_hold_acid_to(w, aim, read_c(w), DOSE_MIN)
                                 : mdr_hold_alkali_to(w, aim, read_c(w), DOSE_MIN);
    if (!gets_there || w->broken != NULL) {
        return HUGE_VAL;
    }
    for (int i = 0; i < w->remedy.n_steps; i++) {
        for (int k = 0; k < w->steps[i].n_items; k++) {
            mg += (double)w->steps[i].items[k].mass_mg;
        }
    }
    return mg;
}

/* pH when the dose reckoned for one guess falls into the bath of the other. */
static double ph_in_other(const mdr_hold_work *w, const guess *mine, const guess *other,
                          double otherwise)
{
    double ph = otherwise;
    mdr_hold_vessel v = other->vessel;
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        v.dissolved_kg[i] += w->now.dissolved_kg[i] - mine->vessel.dissolved_kg[i];
    }
    v.liquor_l = w->now.liquor_l;
    (void)mdr_hold_ph_of(&v, read_c(w), &ph);
    return ph;
}

static void expect_ph(mdr_hold_work *w, const guess *mine, const guess *other, double aim)
{
    double ph = aim;
    (void)mdr_hold_ph_of(&w->now, read_c(w), &ph);
    const mdr_mix mix = mdr_hold_mix(&w->now, read_c(w));
    const double unsure = mdr_equil_uncertainty_ph(&mix);
    const double other_ph = other->known ? ph_in_other(w, mine, other, ph) : ph;
    mdr_hold_expect(w, fmin(ph, other_ph) - unsure, ph, fmax(ph, other_ph) + unsure);
}

static void warn_of_acid(mdr_hold_work *w)
{
    if (w->now.dissolved_kg[MDR_IN_DITHIONITE] > 0.0) {
        mdr_hold_caution(w, mdr_hold_say(w, "hold.ph.sulphur-dioxide"));
    }
    if (w->in->state->fixing && w->in->state->dyebath) {
        mdr_hold_caution(w, mdr_hold_say(w, "hold.ph.fixation"));
    }
}

static void say_reading(mdr_hold_work *w, const guess *g)
{
    const mdr_lang_arg ph = mdr_lang_num(w->in->reading, 2), at = mdr_lang_num(read_c(w), 0),
                       more = mdr_lang_num(fabs(g->unknown_g_per_l), 3);
    const char *what = mdr_substance_words((mdr_substance)g->unknown);
    mdr_hold_because(
        w, MDR_HOLD_RULE_READ,
        g->unknown_g_per_l >= 0.0
            ? mdr_hold_say(w, "hold.ph.alkali-working", ph, at, more, mdr_lang_str(what))
            : mdr_hold_say(w, "hold.ph.acid-working", ph, at, more));
}

/* What an operator may give without asking. */
static bool first_and_small(const mdr_hold_work *w)
{
    static const double SMALL_G_PER_L = 1.0; /* of product; common practice */
    double mg = 0.0;
    for (int i = 0; i < w->remedy.n_steps; i++) {
        mg += w->steps[i].n_items > 0 ? (double)w->steps[i].items[0].mass_mg : 0.0;
    }
    return w->in->n_failed == 0 && !w->in->state->fixing &&
           mg / 1000.0 <= SMALL_G_PER_L * w->in->state->liquor_l;
}

static void dose_remedy(mdr_hold_work *w, const guess *mine, const guess *other, bool core)
{
    const bool acid = mdr_hold_above(w);
    const double aim = mdr_hold_aim(w, HALF_WINDOW_PH);
    w->start = mine->vessel;
    mdr_hold_begin(w, acid ? MDR_REMEDY_ACID : MDR_REMEDY_ALKALI);
    say_reading(w, mine);
    mdr_hold_because(w, MDR_HOLD_RULE_PH_AIM,
                     mdr_hold_say(w, "hold.ph.aim-working", mdr_lang_num(aim, 2)));
    const bool gets_there = acid ? mdr_hold_acid_to(w, aim, read_c(w), DOSE_MIN)
                                 : mdr_hold_alkali_to(w, aim, read_c(w), DOSE_MIN);
    if (!gets_there) {
        mdr_hold_break(w, mdr_hold_say(w, acid ? "hold.cannot.acid" : "hold.cannot.alkali"));
    }
    if (gets_there && w->remedy.n_steps == 0) {
        return; /* all mixed it is there already */
    }
    if (core) {
        mdr_hold_because(
            w, MDR_HOLD_RULE_CORE,
            mdr_hold_say(w, "hold.ph.core-working",
                         mdr_lang_num(w->in->state->retained_l_per_kg * w->in->state->load_kg, 0),
                         mdr_lang_num(w->in->state->liquor_l, 0)));
    }
    mdr_hold_run(w, core ? CORE_MIN : RUN_MIN, "");
    mdr_hold_because(
        w, MDR_HOLD_RULE_RUN_ON,
        mdr_hold_say(w, "hold.run-on.working", mdr_lang_num(core ? CORE_MIN : RUN_MIN, 0)));
    expect_ph(w, mine, other, aim);
    if (acid) {
        warn_of_acid(w);
    }
    mdr_hold_end(w, first_and_small(w) ? MDR_HOLD_BY_OPERATOR : MDR_HOLD_BY_TECHNOLOGIST,
                 mdr_hold_say(w, acid ? "hold.ph.acid" : "hold.ph.alkali", mdr_lang_num(aim, 1),
                              mdr_lang_num(core ? CORE_MIN : RUN_MIN, 0)));
}

/* -- by water -- */

/* One rinse, and acid or alkali for what it leaves. */
static void rinse_remedy(mdr_hold_work *w, const guess *g)
{
    const mdr_control_state *s = w->in->state;
    if (s->dyebath || mdr_hold_g_per_l(&g->vessel, MDR_IN_NACL) > BATH_SALT_G_PER_L ||
        mdr_hold_g_per_l(&g->vessel, MDR_IN_NA2SO4) > BATH_SALT_G_PER_L) {
        return; /* what is in this bath is wanted there */
    }
    const double aim = mdr_hold_aim(w, HALF_WINDOW_PH);
    double ph = w->in->reading;
    w->start = g->vessel;
    mdr_hold_begin(w, MDR_REMEDY_RINSE);
    say_reading(w, g);
    mdr_hold_drain(w);
    mdr_hold_fill(w, s->temp_c);
    mdr_hold_run(w, RUN_MIN, "");
    mdr_hold_because(
        w, MDR_HOLD_RULE_REFILL,
        mdr_hold_say(w, "hold.rinse.stays-working",
                     mdr_lang_num(s->retained_l_per_kg * s->load_kg, 0),
                     mdr_lang_num(s->liquor_l, 0),
                     mdr_lang_num(100.0 * s->retained_l_per_kg * s->load_kg / s->liquor_l, 0)));
    (void)mdr_hold_ph_of(&w->now, read_c(w), &ph);
    if (!mdr_check_inside(w->in->check, ph)) {
        const bool gets_there = ph > aim ? mdr_hold_acid_to(w, aim, read_c(w), DOSE_MIN)
                                         : mdr_hold_alkali_to(w, aim, read_c(w), DOSE_MIN);
        if (!gets_there) {
            mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.water-ph"));
        }
        mdr_hold_run(w, RUN_MIN, "");
        (void)mdr_hold_ph_of(&w->now, read_c(w), &ph);
    }
    const mdr_mix mix = mdr_hold_mix(&w->now, read_c(w));
    const double unsure = mdr_equil_uncertainty_ph(&mix);
    mdr_hold_expect(w, ph - unsure, ph, ph + unsure);
    mdr_hold_caution(w, mdr_hold_say(w, "hold.rinse.dose-again"));
    mdr_hold_end(
        w, MDR_HOLD_BY_TECHNOLOGIST,
        mdr_hold_say(w, mdr_hold_above(w) ? "hold.ph.rinse-alkali" : "hold.ph.rinse-acid"));
}

/* -- the rooms -- */

static void run_on(mdr_hold_work *w, const guess *g, double ph)
{
    w->start = g->vessel;
    mdr_hold_begin(w, MDR_REMEDY_RUN_ON);
    mdr_hold_run(w, CORE_MIN, mdr_hold_say(w, "hold.ph.core-note"));
    mdr_hold_because(w, MDR_HOLD_RULE_CORE,
                     mdr_hold_say(w, "hold.ph.mixed-working", mdr_lang_num(w->in->reading, 2),
                                  mdr_lang_num(ph, 2)));
    mdr_hold_because(w, MDR_HOLD_RULE_RUN_ON,
                     mdr_hold_say(w, "hold.run-on.working", mdr_lang_num(CORE_MIN, 0)));
    const mdr_mix mix = mdr_hold_mix(&w->now, read_c(w));
    const double unsure = mdr_equil_uncertainty_ph(&mix);
    mdr_hold_expect(w, ph - unsure, ph, ph + unsure);
    mdr_hold_end(w, MDR_HOLD_BY_OPERATOR, mdr_hold_say(w, "hold.ph.run-on"));
}

static void judge(mdr_hold_work *w, bool core)
{
    if (!w->in->check->cooled && w->in->state->temp_c > READ_MOST_C) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.ph.too-hot"));
        return;
    }
    const guess soda = guess_with(w, MDR_SUB_NA2CO3, w->in->reading, core);
    const guess caustic = guess_with(w, MDR_SUB_NAOH, w->in->reading, core);
    if (!soda.known && !caustic.known) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.ph.probe"));
        return;
    }
    const guess *first = soda.known ? &soda : &caustic, *second = &caustic;
    const double aim = mdr_hold_aim(w, HALF_WINDOW_PH);
    const bool acid = mdr_hold_above(w);
    double ph = 0.0;
    if (core && w->in->n_failed == 0 && mdr_hold_ph_of(&first->vessel, read_c(w), &ph) &&
        mdr_check_inside(w->in->check, ph)) {
        run_on(w, first, ph);
    }
    /* the smaller of the two doses first, lest it overshoots; the larger once that did not do */
    if (soda.known && caustic.known) {
        const bool soda_asks_more =
            asked_mg(w, &soda, aim, acid) > asked_mg(w, &caustic, aim, acid);
        const bool larger = w->in->n_failed > 0;
        first = soda_asks_more == larger ? &soda : &caustic;
        second = first == &soda ? &caustic : &soda;
    }
    dose_remedy(w, first, second, core);
    rinse_remedy(w, first);
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.ph.three-times"));
        return;
    }
    mdr_hold_settle(w, mdr_hold_say(w, "hold.ph.nothing"));
}

void mdr_hold_ph(mdr_hold_work *w)
{
    judge(w, false);
}

void mdr_hold_core_ph(mdr_hold_work *w)
{
    judge(w, true);
}
