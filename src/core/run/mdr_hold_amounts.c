/* Hardness and salt: what is missing, or too much, by difference. */
#include <math.h>
#include <stddef.h>

#include "core/bath/mdr_sequester.h"
#include "core/run/mdr_hold_work.h"
#include "core/units/mdr_strength.h"

static const double G_PER_KG = 1000.0;
static const double RUN_MIN = 10.0; /* common practice */
enum { ROUNDS = 2 };

static void stop_after_rounds(mdr_hold_work *w, const char *stopped, const char *none)
{
    if (w->in->n_failed >= ROUNDS) {
        mdr_hold_stop(w, stopped);
    } else {
        mdr_hold_settle(w, none);
    }
}

/* -- hardness -- */

static double as_dh(mdr_hardness h)
{
    return mdr_hardness_in(h, MDR_HARD_DH);
}

static void sequester(mdr_hold_work *w, double aim_dh)
{
    const mdr_material *m = mdr_hold_find(w, MDR_SUB_SEQUESTRANT);
    if (m == NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.hardness.no-sequestrant"));
        return;
    }
    const mdr_hardness read = mdr_hardness_of(w->in->reading, MDR_HARD_DH);
    const double g_per_l = mdr_sequester_need_g_per_l(read, mdr_hardness_of(aim_dh, MDR_HARD_DH),
                                                      m->capacity_mg_per_g);
    const double kg = g_per_l * w->start.liquor_l / G_PER_KG;
    mdr_hold_begin(w, MDR_REMEDY_SEQUESTER);
    mdr_hold_because(w, MDR_HOLD_RULE_HARDNESS,
                     mdr_hold_say(w, "hold.hardness.aim-working", mdr_lang_num(aim_dh, 1)));
    mdr_hold_because_plan(w, MDR_RULE_SEQUESTER,
                          mdr_hold_say(w, "hold.hardness.sequester-working",
                                       mdr_lang_num(w->in->reading, 1), mdr_lang_num(aim_dh, 1),
                                       mdr_lang_num(w->start.liquor_l, 0),
                                       mdr_lang_num(m->capacity_mg_per_g, 0), mdr_lang_num(kg, 2)));
    if (m->acid_mol_per_kg > 0.0) {
        mdr_hold_caution(w, mdr_hold_say(w, "hold.hardness.sour"));
    }
    mdr_hold_give_one(w, m, kg, RUN_MIN);
    mdr_hold_run(w, RUN_MIN, "");
    /* the water of the tank adds none: it is small, and its hardness is held as well */
    const mdr_hardness held =
        mdr_sequester_bound(kg * G_PER_KG / w->start.liquor_l, m->capacity_mg_per_g);
    const double left = as_dh(mdr_sequester_free(read, held)) * w->start.liquor_l / w->now.liquor_l;
    mdr_hold_expect(w, 0.0, left, w->in->check->high);
    mdr_hold_end(w, MDR_HOLD_BY_OPERATOR,
                 mdr_hold_say(w, "hold.give.product", mdr_lang_str(mdr_hold_mass(w, kg)),
                              mdr_lang_str(m->name), mdr_lang_num(RUN_MIN, 0)));
}

/* Once more from the beginning: out of the cotton, down the drain. */
static void demineralise(mdr_hold_work *w)
{
    static const double G_PER_L = 0.75, TEMP_C = 55.0, MINUTES = 20.0; /* common practice */
    const mdr_control_state *s = w->in->state;
    const mdr_material *sour = NULL;
    for (int i = 0; i < w->in->n_materials; i++) {
        const mdr_material *m = w->in->materials[i];
        if (m->substance == MDR_SUB_SEQUESTRANT && m->acid_mol_per_kg > 0.0) {
            sour = m;
        }
    }
    if (sour == NULL || s->dyed) {
        return;
    }
    const double part = s->retained_l_per_kg * s->load_kg / s->liquor_l;
    const double left = part * w->in->reading + (1.0 - part) * w->in->site->hardness_dh;
    mdr_hold_begin(w, MDR_REMEDY_DEMINERALISE);
    mdr_hold_because(
        w, MDR_HOLD_RULE_DEMINERALISE,
        mdr_hold_say(w, "hold.hardness.demineralise-working", mdr_lang_num(G_PER_L, 2)));
    mdr_hold_give_one(w, sour, G_PER_L * w->start.liquor_l / G_PER_KG, RUN_MIN);
    mdr_hold_to_temp(w, TEMP_C);
    mdr_hold_run(w, MINUTES, "");
    mdr_hold_drain(w);
    mdr_hold_fill(w, s->temp_c);
    mdr_hold_run(w, RUN_MIN, "");
    mdr_hold_because(w, MDR_HOLD_RULE_REFILL,
                     mdr_hold_say(w, "hold.hardness.refill-working", mdr_lang_num(part, 2),
                                  mdr_lang_num(w->in->reading, 1), mdr_lang_num(1.0 - part, 2),
                                  mdr_lang_num(w->in->site->hardness_dh, 1)));
    if (left > w->in->check->high) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.water-hardness", mdr_lang_num(left, 1)));
    }
    mdr_hold_expect(w, 0.0, left, w->in->check->high);
    mdr_hold_end(w, MDR_HOLD_BY_TECHNOLOGIST,
                 mdr_hold_say(w, "hold.hardness.demineralise", mdr_lang_num(G_PER_L, 2),
                              mdr_lang_str(sour->name), mdr_lang_num(TEMP_C, 0),
                              mdr_lang_num(MINUTES, 0)));
}

void mdr_hold_hardness(mdr_hold_work *w)
{
    if (!mdr_hold_above(w)) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.hardness.softer"));
        return;
    }
    sequester(w, 0.5 * w->in->check->high);
    demineralise(w);
    stop_after_rounds(w, mdr_hold_say(w, "hold.hardness.twice"),
                      mdr_hold_say(w, "hold.hardness.nothing"));
}

/* -- salt -- */

/* The salt that is in the bath, else common salt. */
static int salt_of(const mdr_hold_work *w)
{
    return w->start.dissolved_kg[MDR_IN_NA2SO4] > w->start.dissolved_kg[MDR_IN_NACL]
               ? MDR_SUB_NA2SO4
               : MDR_SUB_NACL;
}

/* What the plan foresees where that lies inside the limits. */
static double wanted(const mdr_hold_work *w)
{
    const mdr_control_check *c = w->in->check;
    return c->has_expected && mdr_check_inside(c, c->expected) ? c->expected
           : mdr_hold_above(w)                                 ? c->high
                                                               : c->low;
}

/* Made up with fresh water it brings the liquor up, and has to be a little more; solved for the
 * liquor that is there afterwards by going round until it stands. */
static void more_salt(mdr_hold_work *w, double want)
{
    enum { TURNS = 8 };
    static const double READING_OFF = 0.02; /* part by which a density reads wrong; invented */
    const double dose_min = w->in->state->dyed ? 20.0 : RUN_MIN; /* common practice */
    const mdr_material *m = mdr_hold_find(w, salt_of(w));
    m = m != NULL ? m : mdr_hold_find(w, MDR_SUB_NACL);
    m = m != NULL ? m : mdr_hold_find(w, MDR_SUB_NA2SO4);
    if (m == NULL) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.salt.none"));
        return;
    }
    const double there_kg = w->in->reading * w->start.liquor_l / G_PER_KG;
    double liquor_l = w->start.liquor_l, kg = 0.0;
    for (int i = 0; i < TURNS; i++) {
        kg = want * liquor_l / G_PER_KG - there_kg;
        mdr_hold_begin(w, MDR_REMEDY_SALT);
        mdr_hold_give(w, &(mdr_hold_dose){m, mdr_hold_product_kg(m, kg)}, 1, dose_min,
                      w->in->state->dyed ? MDR_CURVE_PROGRESSIVE : MDR_CURVE_LINEAR);
        liquor_l = w->now.liquor_l;
    }
    mdr_hold_because(w, MDR_HOLD_RULE_SALT,
                     mdr_hold_say(w, "hold.salt.missing-working", mdr_lang_num(want, 1),
                                  mdr_lang_num(liquor_l, 0), mdr_lang_num(w->in->reading, 1),
                                  mdr_lang_num(w->start.liquor_l, 0), mdr_lang_num(kg, 1)));
    mdr_hold_because_plan(w, MDR_RULE_DELIVERED,
                          mdr_hold_say(w, "hold.salt.delivered-working", mdr_lang_num(kg, 1),
                                       mdr_lang_num(mdr_hold_strength_pct(m), 1),
                                       mdr_lang_num(mdr_hold_product_kg(m, kg), 1),
                                       mdr_lang_str(m->name)));
    mdr_hold_run(w, RUN_MIN, "");
    const double after = (there_kg + kg) * G_PER_KG / w->now.liquor_l;
    mdr_hold_expect(w, after * (1.0 - READING_OFF), after, after * (1.0 + READING_OFF));
    if (w->in->state->dyed) {
        mdr_hold_caution(w, mdr_hold_say(w, "hold.salt.strike"));
    }
    mdr_hold_end(w, MDR_HOLD_BY_OPERATOR,
                 mdr_hold_say(w, "hold.give.product",
                              mdr_lang_str(mdr_hold_mass(w, mdr_hold_product_kg(m, kg))),
                              mdr_lang_str(m->name), mdr_lang_num(RUN_MIN, 0)));
}

static void dilute(mdr_hold_work *w, double want)
{
    if (!(want > 0.0)) {
        mdr_hold_missing(w, mdr_hold_say(w, "hold.salt.to-nothing"));
        return;
    }
    const double water_l = w->start.liquor_l * (w->in->reading / want - 1.0);
    mdr_hold_begin(w, MDR_REMEDY_DILUTE);
    mdr_hold_because(w, MDR_HOLD_RULE_DILUTE,
                     mdr_hold_say(w, "hold.salt.dilute-working", mdr_lang_num(w->start.liquor_l, 0),
                                  mdr_lang_num(w->in->reading, 1), mdr_lang_num(want, 1),
                                  mdr_lang_num(water_l, 0)));
    mdr_hold_top_up(w, water_l);
    mdr_hold_run(w, RUN_MIN, "");
    const double after = w->in->reading * w->start.liquor_l / w->now.liquor_l;
    mdr_hold_expect(w, after, after, after);
    mdr_hold_caution(w, mdr_hold_say(w, "hold.salt.more-liquor"));
    mdr_hold_end(
        w, MDR_HOLD_BY_TECHNOLOGIST,
        mdr_hold_say(w, "hold.salt.dilute", mdr_lang_num(water_l, 0), mdr_lang_num(RUN_MIN, 0)));
}

void mdr_hold_salt(mdr_hold_work *w)
{
    const double want = wanted(w);
    if (mdr_hold_above(w)) {
        dilute(w, want);
    } else {
        more_salt(w, want);
    }
    stop_after_rounds(w, mdr_hold_say(w, "hold.salt.twice"), mdr_hold_say(w, "hold.salt.nothing"));
}
