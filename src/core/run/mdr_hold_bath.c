/* The bath a remedy works on: what is dissolved, what the reading says of it, what moves it. */
#include <math.h>
#include <string.h>

#include "core/run/mdr_hold_work.h"
#include "core/units/mdr_strength.h"

static const double G_PER_KG = 1000.0, MG_PER_KG = 1e6;

/* -- materials at hand -- */

static bool takes_up(int substance)
{
    return substance == MDR_SUB_SEQUESTRANT || substance == MDR_SUB_CATALASE;
}

const mdr_material *mdr_hold_find(const mdr_hold_work *w, int substance)
{
    const mdr_material *sour = NULL;
    for (int i = 0; i < w->in->n_materials; i++) {
        const mdr_material *m = w->in->materials[i];
        if (m->is_dye || m->substance != substance ||
            (takes_up(substance) && !(m->capacity_mg_per_g > 0.0))) {
            continue;
        }
        if (!(m->acid_mol_per_kg > 0.0)) { /* a sour sequestrant moves the pH: only as a last one */
            return m;
        }
        sour = sour != NULL ? sour : m;
    }
    return sour;
}

const mdr_material *mdr_hold_find_group(const mdr_hold_work *w, const char *group)
{
    for (int i = 0; i < w->in->n_materials; i++) {
        const mdr_material *m = w->in->materials[i];
        if (!m->is_dye && strcmp(m->group, group) == 0) {
            return m;
        }
    }
    return NULL;
}

double mdr_hold_strength_pct(const mdr_material *m)
{
    double strength_pct = m->strength_pct, density_kg_per_l = 0.0;
    if (m->baume > 0.0 && mdr_strength_of_baume(m->substance, m->baume, &strength_pct,
                                                &density_kg_per_l, NULL) != MDR_OK) {
        return 0.0;
    }
    return strength_pct;
}

double mdr_hold_product_kg(const mdr_material *m, double active_kg)
{
    return mdr_strength_delivered(active_kg, mdr_hold_strength_pct(m));
}

/* -- what is dissolved -- */

double mdr_hold_bicarbonate_kg(const mdr_site *site, double water_l)
{
    return site->alkalinity_mmol_per_l * water_l * mdr_substance_molar_g_per_mol(MDR_SUB_NAHCO3) /
           MG_PER_KG;
}

double mdr_hold_g_per_l(const mdr_hold_vessel *v, mdr_dissolved what)
{
    return v->dissolved_kg[what] * G_PER_KG / v->liquor_l;
}

void mdr_hold_add(mdr_hold_vessel *v, int substance, double active_kg)
{
    const int what = mdr_dissolved_of(substance);
    if (what >= 0) {
        v->dissolved_kg[what] += active_kg;
    }
}

mdr_mix mdr_hold_mix(const mdr_hold_vessel *v, double temp_c)
{
    mdr_mix mix = {.temp_c = temp_c};
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        mdr_mix_add(&mix, (int)mdr_dissolved_substance((mdr_dissolved)i),
                    mdr_hold_g_per_l(v, (mdr_dissolved)i));
    }
    return mix;
}

bool mdr_hold_ph_of(const mdr_hold_vessel *v, double temp_c, double *ph)
{
    const mdr_mix mix = mdr_hold_mix(v, temp_c);
    if (!mdr_mix_known(&mix)) {
        return false;
    }
    *ph = mdr_equil_ph(&mix);
    return true;
}

bool mdr_hold_fit_ph(mdr_hold_vessel *v, double temp_c, double ph, int substance, double *g_per_l)
{
    static const double PURE_WATER = 7.0;
    const mdr_mix mix = mdr_hold_mix(v, temp_c);
    double now = PURE_WATER, need = 0.0;
    if (!mdr_mix_valid(&mix)) {
        return false;
    }
    (void)mdr_hold_ph_of(v, temp_c, &now);
    const bool more = ph > now;
    const int what = more ? substance : MDR_SUB_H2SO4;
    if (mdr_equil_need(&mix, what, ph, MDR_EQUIL_NEED_MOST_G_PER_KG, &need, NULL) != MDR_OK) {
        return false;
    }
    mdr_hold_add(v, what, need * v->liquor_l / G_PER_KG);
    *g_per_l = more ? need : -need;
    return true;
}

double mdr_hold_electrolyte_g_per_l(const mdr_hold_vessel *v)
{
    return mdr_hold_g_per_l(v, MDR_IN_NACL) + mdr_hold_g_per_l(v, MDR_IN_NA2SO4) +
           mdr_hold_g_per_l(v, MDR_IN_NA2CO3) + mdr_hold_g_per_l(v, MDR_IN_NAOH) +
           mdr_hold_g_per_l(v, MDR_IN_NAHCO3);
}

/* -- to a pH -- */

static mdr_rule acid_rule(int substance)
{
    return substance == MDR_SUB_FORMIC   ? MDR_RULE_NEED_FORMIC
           : substance == MDR_SUB_CITRIC ? MDR_RULE_NEED_CITRIC
           : substance == MDR_SUB_H2SO4  ? MDR_RULE_NEED_SULPHURIC
                                         : MDR_RULE_NEED_ACETIC;
}

static void say_need(mdr_hold_work *w, const mdr_material *m, double g_per_l, double target_ph)
{
    const char *working = mdr_hold_say(
        w, "hold.ph.need-working", mdr_lang_num(g_per_l, 3),
        mdr_lang_str(mdr_substance_words((mdr_substance)m->substance)),
        mdr_lang_num(w->now.liquor_l, 0), mdr_lang_num(g_per_l * w->now.liquor_l / G_PER_KG, 3),
        mdr_lang_num(mdr_hold_product_kg(m, g_per_l * w->now.liquor_l / G_PER_KG), 3),
        mdr_lang_str(m->name), mdr_lang_num(target_ph, 2));
    if (mdr_substance_acid_mol_per_kg(m->substance) > 0.0) {
        mdr_hold_because_plan(w, acid_rule(m->substance), working);
    } else {
        mdr_hold_because(w, MDR_HOLD_RULE_ALKALI, working);
    }
}

/* The first of these at hand that gets there. */
static bool give_to(mdr_hold_work *w, const int *substances, int n, double target_ph, double read_c,
                    double minutes)
{
    const mdr_mix mix = mdr_hold_mix(&w->now, read_c);
    for (int i = 0; i < n && mdr_mix_valid(&mix); i++) {
        const mdr_material *m = mdr_hold_find(w, substances[i]);
        double g_per_l = 0.0;
        if (m == NULL || mdr_equil_need(&mix, substances[i], target_ph,
                                        MDR_EQUIL_NEED_MOST_G_PER_KG, &g_per_l, NULL) != MDR_OK) {
            continue;
        }
        if (g_per_l > 0.0) {
            say_need(w, m, g_per_l, target_ph);
            mdr_hold_give_one(w, m, mdr_hold_product_kg(m, g_per_l * w->now.liquor_l / G_PER_KG),
                              minutes);
        }
        return true;
    }
    return false;
}

bool mdr_hold_acid_to(mdr_hold_work *w, double target_ph, double read_c, double minutes)
{
    /* the weak ones first: a little too much of them does little */
    static const int ACIDS[] = {MDR_SUB_HAC, MDR_SUB_FORMIC, MDR_SUB_CITRIC, MDR_SUB_H2SO4};
    return give_to(w, ACIDS, (int)(sizeof ACIDS / sizeof ACIDS[0]), target_ph, read_c, minutes);
}

bool mdr_hold_alkali_to(mdr_hold_work *w, double target_ph, double read_c, double minutes)
{
    /* hydrogen carbonate alone stands at pH 8.3 */
    static const double MILD_PH = 8.0;
    static const int MILD[] = {MDR_SUB_NAHCO3, MDR_SUB_NA2CO3, MDR_SUB_NAOH};
    static const int STRONG[] = {MDR_SUB_NA2CO3, MDR_SUB_NAOH};
    return target_ph < MILD_PH ? give_to(w, MILD, 3, target_ph, read_c, minutes)
                               : give_to(w, STRONG, 2, target_ph, read_c, minutes);
}

/* -- a remedy that was run -- */

static void dosed(mdr_control_state *s, const mdr_control_step *step, const mdr_hold_in *in)
{
    for (int i = 0; i < step->n_items; i++) {
        const int what = mdr_dissolved_of(step->items[i].substance);
        for (int m = 0; m < in->n_materials && what >= 0; m++) {
            if (strcmp(in->materials[m]->material_id, step->items[i].material_id) == 0) {
                s->dissolved_kg[what] +=
                    mdr_strength_active((double)step->items[i].mass_mg / MG_PER_KG,
                                        mdr_hold_strength_pct(in->materials[m]));
            }
        }
    }
    s->liquor_l += step->volume_l;
}

void mdr_hold_after(mdr_control_state *state, const mdr_control_step *step, const mdr_hold_in *in)
{
    state->temp_c = step->temp_end_c;
    switch (step->kind) {
    case MDR_STEP_DOSE:
        dosed(state, step, in);
        break;
    case MDR_STEP_FILL:
        state->dissolved_kg[MDR_IN_NAHCO3] += mdr_hold_bicarbonate_kg(in->site, step->volume_l);
        state->liquor_l += step->volume_l;
        break;
    case MDR_STEP_DRAIN:
        for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
            state->dissolved_kg[i] *= 1.0 - fmin(1.0, step->volume_l / state->liquor_l);
        }
        state->liquor_l = fmax(0.0, state->liquor_l - step->volume_l);
        break;
    case MDR_STEP_LOAD:
    case MDR_STEP_HEAT:
    case MDR_STEP_COOL:
    case MDR_STEP_HOLD:
    case MDR_STEP_CHECK:
    case MDR_STEP_RINSE:
    case MDR_STEP_UNLOAD:
        break;
    }
}
