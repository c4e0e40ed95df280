/* A hold point on the test machine, and a second model of the vessel that runs a remedy's steps by
 * themselves: what the steps say must do what the remedy promises. Include after t.h. */
#ifndef HOLD_KIT_H
#define HOLD_KIT_H

#include <stdio.h>
#include <string.h>

#include "core/bath/mdr_equil.h"
#include "core/run/mdr_hold.h"
#include "core/units/mdr_strength.h"
#include "plan_kit.h"

#define HOLD_STUFF(id_, group_, substance_, strength_, form_, density_, solubility_, capacity_,    \
                   acid_)                                                                          \
    {                                                                                              \
        .material_id = id_, .name = id_, .group = group_, .substance = substance_,                 \
        .strength_pct = strength_, .form = form_, .density_kg_per_l = density_,                    \
        .solubility_g_per_l = solubility_, .capacity_mg_per_g = capacity_,                         \
        .acid_mol_per_kg = acid_, .price_minor_per_kg = 100, .salt_table = "", .alkali_table = "", \
        .swatch = "", .remark = ""                                                                 \
    }

enum { HOLD_STUFF_MAX = 24 };
/* I: invented products. */
static const mdr_material HOLD_PRODUCTS[] = {
    HOLD_STUFF("ACETIC", "acid", MDR_SUB_HAC, 80, MDR_FORM_LIQUID, 1.07, 0, 0, 0),
    HOLD_STUFF("FORMIC", "acid", MDR_SUB_FORMIC, 85, MDR_FORM_LIQUID, 1.195, 0, 0, 0),
    HOLD_STUFF("CAUSTIC", "alkali", MDR_SUB_NAOH, 50, MDR_FORM_LIQUID, 1.525, 0, 0, 0),
    HOLD_STUFF("SODA", "alkali", MDR_SUB_NA2CO3, 99, MDR_FORM_POWDER, 0, 180, 0, 0),
    HOLD_STUFF("BICARB", "alkali", MDR_SUB_NAHCO3, 99, MDR_FORM_POWDER, 0, 70, 0, 0),
    HOLD_STUFF("SALT", "salt", MDR_SUB_NACL, 99, MDR_FORM_CRYSTAL, 0, 300, 0, 0),
    HOLD_STUFF("GLAUBER", "salt", MDR_SUB_NA2SO4, 99, MDR_FORM_POWDER, 0, 300, 0, 0),
    HOLD_STUFF("PEROX", "bleach", MDR_SUB_H2O2, 50, MDR_FORM_LIQUID, 1.196, 0, 0, 0),
    HOLD_STUFF("DEMIN", "sequestrant", MDR_SUB_SEQUESTRANT, 100, MDR_FORM_LIQUID, 1.18, 0, 90, 3),
    HOLD_STUFF("SEQ", "sequestrant", MDR_SUB_SEQUESTRANT, 100, MDR_FORM_LIQUID, 1.15, 0, 120, 0),
    HOLD_STUFF("CATALASE", "enzyme", MDR_SUB_CATALASE, 100, MDR_FORM_LIQUID, 1.05, 0, 1500, 0),
    HOLD_STUFF("DITHIONITE", "reducing agent", MDR_SUB_DITHIONITE, 88, MDR_FORM_POWDER, 0, 200, 0,
               0),
    HOLD_STUFF("WETTING", "surfactant", MDR_SUB_OTHER, 100, MDR_FORM_LIQUID, 1.02, 0, 0, 0),
    HOLD_STUFF("LEVEL", "levelling", MDR_SUB_OTHER, 100, MDR_FORM_LIQUID, 1.06, 0, 0, 0),
    HOLD_STUFF("SOAP", "washing", MDR_SUB_OTHER, 100, MDR_FORM_LIQUID, 1.08, 0, 0, 0),
    HOLD_STUFF("FIX", "fixing", MDR_SUB_OTHER, 100, MDR_FORM_LIQUID, 1.1, 0, 0, 0),
};

typedef struct hold_kit {
    mdr_arena *arena;
    mdr_control_check check;
    mdr_control_state state;
    mdr_machine machine;
    mdr_site site;
    const mdr_material *materials[HOLD_STUFF_MAX];
    mdr_hold_in in;
    const mdr_hold *hold;
} hold_kit;

/* 1000 kg in 8000 L at this temperature, the rope keeps 2.5 L/kg; everything is at hand. */
static inline void hold_kit_open(hold_kit *k, mdr_check_kind kind, double temp_c, double reading)
{
    *k =
        (hold_kit){.arena = mdr_arena_new((size_t)1 << 22),
                   .machine = kit_machine(),
                   .site = kit_site(),
                   .check = {.kind = kind, .method = "", .remedy = "", .on_fail = MDR_FAIL_CORRECT},
                   .state = {.load_kg = 1000,
                             .liquor_l = 8000,
                             .temp_c = temp_c,
                             .retained_l_per_kg = 2.5,
                             .dye_class = MDR_CLASS_REACTIVE}};
    assert_non_null(k->arena);
    for (size_t i = 0; i < N_OF(HOLD_PRODUCTS); i++) {
        k->materials[i] = &HOLD_PRODUCTS[i];
    }
    k->in = (mdr_hold_in){
        .reading = reading, .n_materials = (int)N_OF(HOLD_PRODUCTS), .bath = 3, .remedy_number = 1};
}

static inline void hold_kit_limits(hold_kit *k, double low, double high) /* below -1e4: none */
{
    static const double NONE = -1e4;
    k->check.has_low = low > NONE;
    k->check.has_high = high > NONE;
    k->check.low = low;
    k->check.high = high;
}
#define HOLD_NONE (-1e5)

/* Takes a product away. */
static inline void hold_kit_lack(hold_kit *k, const char *material_id)
{
    int n = 0;
    for (int i = 0; i < k->in.n_materials; i++) {
        if (strcmp(k->materials[i]->material_id, material_id) != 0) {
            k->materials[n++] = k->materials[i];
        }
    }
    assert_int_equal(n, k->in.n_materials - 1);
    k->in.n_materials = n;
}

static inline mdr_code hold_kit_ask(hold_kit *k, mdr_err *err)
{
    k->in.check = &k->check;
    k->in.state = &k->state;
    k->in.machine = &k->machine;
    k->in.site = &k->site;
    k->in.materials = k->materials;
    k->hold = NULL;
    return mdr_hold_judge(&k->in, k->arena, &k->hold, err);
}

/* Kilograms are there, times run, the machine is not overfilled, and every figure can be asked why. */
static inline void hold_kit_sound(const hold_kit *k)
{
    for (int r = 0; r < k->hold->n_remedies; r++) {
        const mdr_remedy *m = &k->hold->remedies[r];
        double at_min = 0.0;
        assert_true(m->n_why > 0 && m->words != NULL && m->words[0] != '\0');
        assert_true(m->water_l >= 0.0 && m->cost_minor >= 0.0);
        for (int i = 0; i < m->n_steps; i++) {
            const mdr_control_step *s = &m->steps[i];
            char key[MDR_CONTROL_KEY_MAX];
            (void)snprintf(key, sizeof key, "R%d.%d", k->in.remedy_number, i + 1);
            assert_string_equal(s->key, key);
            CHECK_NEAR(s->start_min, at_min, 1e-9, "D: one step after the other");
            assert_true(s->minutes >= 0.0 && isfinite(s->minutes));
            assert_true(k->check.kind == MDR_CHECK_MOISTURE
                            ? s->liquor_l <= 0.0
                            : s->liquor_l > 0.0 && s->liquor_l <= k->machine.liquor_max_l + 1e-9);
            assert_true(s->temp_end_c <=
                        (k->check.kind == MDR_CHECK_MOISTURE ? 200.0 : k->machine.temp_max_c));
            assert_true(s->kind != MDR_STEP_DRAIN ||
                        s->temp_start_c <= k->machine.drain_temp_max_c);
            for (int n = 0; n < s->n_items; n++) {
                assert_true(s->items[n].mass_mg >= 1);
            }
            at_min += s->minutes;
        }
        CHECK_NEAR(m->minutes, at_min, 1e-9, "D: the sum of its steps");
        assert_true(!m->has_expected ||
                    (m->expected_low <= m->expected && m->expected <= m->expected_high));
    }
}

static inline void hold_kit_judge(hold_kit *k)
{
    mdr_err err = {0};
    if (hold_kit_ask(k, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    hold_kit_sound(k);
}

static inline const mdr_remedy *hold_kit_remedy(const hold_kit *k, mdr_remedy_kind kind)
{
    for (int i = 0; i < k->hold->n_remedies; i++) {
        if (k->hold->remedies[i].kind == kind) {
            return &k->hold->remedies[i];
        }
    }
    return NULL;
}

static inline double hold_kit_kg(const mdr_remedy *r, const char *material_id)
{
    double kg = 0.0;
    for (int i = 0; i < r->n_steps; i++) {
        for (int n = 0; n < r->steps[i].n_items; n++) {
            if (strcmp(r->steps[i].items[n].material_id, material_id) == 0) {
                kg += (double)r->steps[i].items[n].mass_mg / 1e6;
            }
        }
    }
    return kg;
}

static inline int hold_kit_steps(const mdr_remedy *r, mdr_step_kind kind)
{
    int n = 0;
    for (int i = 0; i < r->n_steps; i++) {
        n += r->steps[i].kind == kind;
    }
    return n;
}

/* A vessel of its own, by g per litre as the test wants it to be. */
typedef struct hold_vessel {
    double liquor_l, dissolved_kg[MDR_DISSOLVED_COUNT];
} hold_vessel;

static inline double hold_vessel_ph(const hold_vessel *v, double temp_c)
{
    mdr_mix mix = {.temp_c = temp_c};
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        mdr_mix_add(&mix, (int)mdr_dissolved_substance((mdr_dissolved)i),
                    v->dissolved_kg[i] * 1000.0 / v->liquor_l);
    }
    return mdr_equil_ph(&mix);
}

static inline void hold_vessel_dose(hold_vessel *v, const mdr_control_item *item)
{
    const int what = mdr_dissolved_of(item->substance);
    for (size_t i = 0; i < N_OF(HOLD_PRODUCTS) && what >= 0; i++) {
        if (strcmp(HOLD_PRODUCTS[i].material_id, item->material_id) == 0) {
            v->dissolved_kg[what] +=
                (double)item->mass_mg / 1e6 * HOLD_PRODUCTS[i].strength_pct / 100.0;
        }
    }
}

/* Runs the steps as they are written on the card. */
static inline void hold_vessel_run(hold_vessel *v, const mdr_remedy *r, const mdr_site *site)
{
    for (int i = 0; i < r->n_steps; i++) {
        const mdr_control_step *s = &r->steps[i];
        if (s->kind == MDR_STEP_DOSE) {
            for (int n = 0; n < s->n_items; n++) {
                hold_vessel_dose(v, &s->items[n]);
            }
            v->liquor_l += s->volume_l;
        } else if (s->kind == MDR_STEP_FILL) {
            v->dissolved_kg[MDR_IN_NAHCO3] +=
                s->volume_l * site->alkalinity_mmol_per_l * 84.0066 / 1e6;
            v->liquor_l += s->volume_l;
        } else if (s->kind == MDR_STEP_DRAIN) {
            for (int k = 0; k < MDR_DISSOLVED_COUNT; k++) {
                v->dissolved_kg[k] *= 1.0 - s->volume_l / v->liquor_l;
            }
            v->liquor_l -= s->volume_l;
        }
    }
}

/* Judged, and it is a stop with so many remedies that somebody else may take. */
static inline void is_stop(hold_kit *k, int remedies)
{
    hold_kit_judge(k);
    assert_int_equal(k->hold->verdict, MDR_HOLD_STOP);
    assert_int_equal(k->hold->n_remedies, remedies);
    assert_true(k->hold->words != NULL && k->hold->words[0] != '\0');
}

static inline const mdr_remedy *must(const hold_kit *k, mdr_remedy_kind kind)
{
    const mdr_remedy *r = hold_kit_remedy(k, kind);
    if (r == NULL) {
        fail_msg("no remedy %s", mdr_remedy_id(kind));
    }
    return r;
}

/* Highest temperature of the steps. */
static inline double hottest(const mdr_remedy *r)
{
    double c = 0.0;
    for (int i = 0; i < r->n_steps; i++) {
        c = fmax(c, r->steps[i].temp_end_c);
    }
    return c;
}

#endif
