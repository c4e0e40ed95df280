/* Shade of the sample: an addition, soaping down, or colour off and dyed again. */
#include <math.h>
#include <stddef.h>

#include "core/run/mdr_hold_work.h"

static const double G_PER_KG = 1000.0;
static const double RUN_MIN = 10.0;                       /* common practice */
static const double FREE_PCT = 10.0, APPROVED_PCT = 20.0; /* of the depth; common practice */
static const double OPENED_C = 50.0, DRAINED_C = 78.0;    /* common practice */
enum { ADDITIONS_MOST = 2 };                              /* common practice */

mdr_hold_shade mdr_hold_shade_of(const mdr_correct *c, const mdr_recipe_dye *recipe,
                                 int n_additions)
{
    mdr_hold_shade s = {.n = c->n,
                        .after_de = c->after.de,
                        .dl = c->before.dl,
                        .way = c->way,
                        .n_additions = n_additions};
    double asked = 0.0, works = 0.0;
    for (int i = 0; i < c->n; i++) {
        s.dye[i] = recipe[i].dye;
        s.depth_pct_owf[i] = recipe[i].depth_pct_owf;
        s.add_pct_owf[i] = c->add_pct_owf[i];
        asked += recipe[i].depth_pct_owf;
        works += recipe[i].depth_pct_owf * c->dye[i].strength;
    }
    s.strength_pct = asked > 0.0 ? 100.0 * works / asked : 0.0;
    return s;
}

/* The addition, % of the depth of the recipe. */
static double addition_pct(const mdr_hold_shade *s)
{
    double depth = 0.0, add = 0.0;
    for (int i = 0; i < s->n; i++) {
        depth += s->depth_pct_owf[i];
        add += s->add_pct_owf[i];
    }
    return depth > 0.0 ? 100.0 * add / depth : HUGE_VAL;
}

/* -- addition -- */

static int weigh_dyes(mdr_hold_work *w, const mdr_hold_shade *s, mdr_hold_dose *doses)
{
    int n = 0;
    for (int i = 0; i < s->n; i++) {
        if (s->add_pct_owf[i] > 0.0) {
            const double kg = s->add_pct_owf[i] / 100.0 * w->in->state->load_kg;
            doses[n++] = (mdr_hold_dose){s->dye[i], mdr_hold_product_kg(s->dye[i], kg)};
            mdr_hold_because(w, MDR_HOLD_RULE_ADD_KG,
                             mdr_hold_say(w, "hold.shade.dye-working",
                                          mdr_lang_num(s->add_pct_owf[i], 4),
                                          mdr_lang_num(w->in->state->load_kg, 1),
                                          mdr_lang_num(mdr_hold_strength_pct(s->dye[i]), 0),
                                          mdr_lang_num(doses[n - 1].product_kg, 3),
                                          mdr_lang_str(s->dye[i]->name)));
        }
    }
    return n;
}

static void add_steps(mdr_hold_work *w, const mdr_hold_dose *doses, int n)
{
    static const double COOL_C = 45.0, DOSE_MIN = 20.0, FIX_MIN = 30.0, RATE_C_PER_MIN = 1.0;
    const mdr_control_state *s = w->in->state;
    const double back_c = s->fix_temp_c > 0.0 ? s->fix_temp_c : s->temp_c;
    mdr_hold_to_temp(w, fmin(COOL_C, w->now.temp_c));
    mdr_hold_give(w, doses, n, DOSE_MIN, MDR_CURVE_PROGRESSIVE);
    mdr_hold_run(w, RUN_MIN, "");
    mdr_hold_to_temp_at(w, back_c, RATE_C_PER_MIN);
    mdr_hold_run(w, FIX_MIN, mdr_hold_say(w, "hold.shade.fixes-note"));
}

static void addition(mdr_hold_work *w, const mdr_hold_shade *s, double pct)
{
    mdr_hold_dose doses[MDR_COMBO_MAX];
    mdr_hold_begin(w, MDR_REMEDY_SHADE_ADD);
    mdr_hold_because(w, MDR_HOLD_RULE_SHADE_ADD,
                     mdr_hold_say(w, "hold.shade.add-working", mdr_lang_num(pct, 1),
                                  mdr_lang_num(s->n_additions + 1, 0)));
    const int n = weigh_dyes(w, s, doses);
    if (n == 0) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.nothing-to-add"));
    } else if (!w->in->state->dyebath) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.drained"));
    } else if (w->in->check->has_high && s->after_de > w->in->check->high) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.still-off", mdr_lang_num(s->after_de, 2)));
    } else {
        add_steps(w, doses, n);
    }
    mdr_hold_expect(w, 0.0, s->after_de, fmax(s->after_de, w->in->check->high));
    if (w->in->state->fixing) {
        mdr_hold_caution(w, mdr_hold_say(w, "hold.shade.at-once"));
    }
    mdr_hold_caution(w, mdr_hold_say(w, "hold.shade.no-salt"));
    mdr_hold_end(w, pct > FREE_PCT ? MDR_HOLD_BY_QUALITY : MDR_HOLD_BY_TECHNOLOGIST,
                 mdr_hold_say(w, "hold.shade.add", mdr_lang_num(s->n_additions + 1, 0),
                              mdr_lang_num(ADDITIONS_MOST, 0), mdr_lang_num(pct, 1),
                              mdr_lang_num(s->after_de, 2)));
}

/* -- colour off -- */

static void fresh_bath(mdr_hold_work *w)
{
    mdr_hold_drain(w);
    mdr_hold_fill(w, OPENED_C);
}

static void rinse_out(mdr_hold_work *w)
{
    mdr_hold_to_temp(w, fmin(DRAINED_C, w->in->machine->drain_temp_max_c));
    fresh_bath(w);
    mdr_hold_run(w, RUN_MIN, "");
}

static void soap_down(mdr_hold_work *w, const mdr_hold_shade *s)
{
    static const double TEMP_C = 97.0, MINUTES = 15.0, SOAP_G_PER_L = 1.0; /* common practice */
    const mdr_material *soap = mdr_hold_find_group(w, "washing");
    mdr_hold_begin(w, MDR_REMEDY_SOAP);
    mdr_hold_because(w, MDR_HOLD_RULE_SOAP,
                     mdr_hold_say(w, "hold.shade.soap-working", mdr_lang_num(s->strength_pct, 1),
                                  mdr_lang_num(0.95 * s->strength_pct, 1),
                                  mdr_lang_num(0.98 * s->strength_pct, 1)));
    fresh_bath(w);
    if (soap != NULL) {
        mdr_hold_give_one(w, soap, SOAP_G_PER_L * w->now.liquor_l / G_PER_KG, RUN_MIN);
    }
    mdr_hold_to_temp(w, fmin(TEMP_C, w->in->machine->temp_max_c));
    mdr_hold_run(w, MINUTES, "");
    rinse_out(w);
    mdr_hold_end(
        w, MDR_HOLD_BY_TECHNOLOGIST,
        mdr_hold_say(w, "hold.shade.soap", mdr_lang_num(TEMP_C, 0), mdr_lang_num(MINUTES, 0)));
}

static void warn_of_stripping(mdr_hold_work *w, const mdr_hold_shade *s)
{
    mdr_hold_caution(w, mdr_hold_say(w, "hold.shade.costs"));
    for (int i = 0; i < s->n; i++) {
        if (s->dye[i]->nature == MDR_NATURE_PHTHALOCYANINE) {
            mdr_hold_caution(w, mdr_hold_say(w, "hold.shade.phthalocyanine"));
        }
    }
}

static void strip_part(mdr_hold_work *w, const mdr_hold_shade *s)
{
    static const double ACETIC_G_PER_L = 7.5, FORMIC_G_PER_L = 6.0, TEMP_C = 90.0, MINUTES = 30.0;
    const mdr_material *acid = mdr_hold_find(w, MDR_SUB_HAC);
    const bool acetic = acid != NULL;
    acid = acetic ? acid : mdr_hold_find(w, MDR_SUB_FORMIC);
    if (acid == NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.shade.no-acid"));
        return;
    }
    const double g_per_l = acetic ? ACETIC_G_PER_L : FORMIC_G_PER_L;
    mdr_hold_begin(w, MDR_REMEDY_STRIP_PART);
    mdr_hold_because(w, MDR_HOLD_RULE_STRIP_PART,
                     mdr_hold_say(w, "hold.shade.part-working", mdr_lang_num(g_per_l, 1),
                                  mdr_lang_num(TEMP_C, 0), mdr_lang_num(MINUTES, 0)));
    fresh_bath(w);
    mdr_hold_give_one(w, acid, mdr_hold_product_kg(acid, g_per_l * w->now.liquor_l / G_PER_KG),
                      RUN_MIN);
    mdr_hold_to_temp(w, TEMP_C);
    mdr_hold_run(w, MINUTES, "");
    rinse_out(w);
    warn_of_stripping(w, s);
    mdr_hold_end(w, MDR_HOLD_BY_QUALITY,
                 mdr_hold_say(w, "hold.shade.part", mdr_lang_str(acid->name),
                              mdr_lang_num(w->remedy.minutes, 0),
                              mdr_lang_num(w->remedy.water_l, 0)));
}

static void strip_full(mdr_hold_work *w, const mdr_hold_shade *s)
{
    static const double CAUSTIC_G_PER_L = 4.5, DITHIONITE_G_PER_L = 6.5; /* common practice */
    static const double DOSE_C = 75.0, TEMP_C = 90.0, MINUTES = 40.0, NEUTRAL_PH = 6.5;
    const mdr_material *caustic = mdr_hold_find(w, MDR_SUB_NAOH);
    const mdr_material *dithionite = mdr_hold_find(w, MDR_SUB_DITHIONITE);
    if (caustic == NULL || dithionite == NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.shade.no-full"));
        return;
    }
    mdr_hold_begin(w, MDR_REMEDY_STRIP_FULL);
    mdr_hold_because(w, MDR_HOLD_RULE_STRIP_FULL,
                     mdr_hold_say(w, "hold.shade.full-working", mdr_lang_num(CAUSTIC_G_PER_L, 1),
                                  mdr_lang_num(DITHIONITE_G_PER_L, 1), mdr_lang_num(TEMP_C, 0),
                                  mdr_lang_num(MINUTES, 0)));
    fresh_bath(w);
    mdr_hold_give_one(w, caustic,
                      mdr_hold_product_kg(caustic, CAUSTIC_G_PER_L * w->now.liquor_l / G_PER_KG),
                      RUN_MIN);
    mdr_hold_to_temp(w, DOSE_C);
    mdr_hold_give_one(
        w, dithionite,
        mdr_hold_product_kg(dithionite, DITHIONITE_G_PER_L * w->now.liquor_l / G_PER_KG), RUN_MIN);
    mdr_hold_to_temp(w, TEMP_C);
    mdr_hold_run(w, MINUTES, "");
    rinse_out(w);
    fresh_bath(w);
    if (!mdr_hold_acid_to(w, NEUTRAL_PH, w->now.temp_c, RUN_MIN)) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.neutralise"));
    }
    mdr_hold_run(w, RUN_MIN, "");
    warn_of_stripping(w, s);
    mdr_hold_caution(w, mdr_hold_say(w, "hold.shade.dithionite"));
    mdr_hold_end(w, MDR_HOLD_BY_QUALITY,
                 mdr_hold_say(w, "hold.shade.full", mdr_lang_num(w->remedy.minutes, 0),
                              mdr_lang_num(w->remedy.water_l, 0)));
}

/* -- the room -- */

static void colour_off(mdr_hold_work *w, const mdr_hold_shade *s)
{
    static const double SOAP_MOST_PCT = 105.0; /* common practice: soaping takes 2 to 5 % */
    if (s->dl < 0.0 && s->strength_pct > 100.0 && s->strength_pct <= SOAP_MOST_PCT) {
        soap_down(w, s);
    }
    strip_part(w, s);
    strip_full(w, s);
}

void mdr_hold_shade_of_sample(mdr_hold_work *w)
{
    const mdr_hold_shade *s = w->in->shade;
    if (!mdr_hold_above(w)) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.shade.closer"));
        return;
    }
    if (s == NULL && w->in->shade_unknown != NULL) {
        mdr_hold_missing(w, w->in->shade_unknown);
        mdr_hold_stop(w, mdr_hold_say(w, "hold.shade.not-known"));
        return;
    }
    if (s == NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.shade.measurement"));
        mdr_hold_stop(w, mdr_hold_say(w, "hold.shade.measure"));
        return;
    }
    const double pct = addition_pct(s);
    if (s->way == MDR_WAY_ACCEPT) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.shade.within"));
        return;
    }
    const bool by_addition = s->way == MDR_WAY_ADD || s->way == MDR_WAY_ADD_LARGE;
    if (by_addition && pct <= APPROVED_PCT && s->n_additions < ADDITIONS_MOST) {
        addition(w, s, pct);
        mdr_hold_settle(w, mdr_hold_say(w, "hold.shade.drained"));
        return;
    }
    if (by_addition && s->n_additions >= ADDITIONS_MOST) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.shade.no-further",
                                         mdr_lang_str(mdr_remedy_words(MDR_REMEDY_SHADE_ADD)),
                                         mdr_lang_num(s->n_additions, 0)));
    }
    colour_off(w, s);
    const char *const why = s->way == MDR_WAY_OVER_DYE ? "hold.shade.darker"
                            : by_addition && s->n_additions >= ADDITIONS_MOST
                                ? "hold.shade.two-made"
                            : by_addition ? "hold.shade.too-much"
                                          : "hold.shade.no-addition";
    mdr_hold_stop(w, mdr_hold_say(w, why));
}
