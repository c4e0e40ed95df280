/* Remedies of the shade: an addition by its size, what stripping comes after. */
#include "t.h"

#include "hold_kit.h"

static const mdr_material DYES[] = {
    {.material_id = "Y",
     .name = "Y",
     .group = "",
     .is_dye = true,
     .substance = MDR_SUB_DYE,
     .strength_pct = 100,
     .form = MDR_FORM_POWDER,
     .solubility_g_per_l = 80,
     .price_minor_per_kg = 1200},
    {.material_id = "B",
     .name = "B",
     .group = "",
     .is_dye = true,
     .substance = MDR_SUB_DYE,
     .strength_pct = 150,
     .form = MDR_FORM_POWDER,
     .solubility_g_per_l = 80,
     .price_minor_per_kg = 1500,
     .nature = MDR_NATURE_PHTHALOCYANINE},
};

static void shade_open(hold_kit *k, mdr_hold_shade *s, double add_part)
{
    *s = (mdr_hold_shade){.n = 2,
                          .dye = {&DYES[0], &DYES[1]},
                          .depth_pct_owf = {1.0, 1.0},
                          .add_pct_owf = {0.0, 2.0 * add_part},
                          .after_de = 0.4,
                          .dl = 1.1,
                          .strength_pct = 90,
                          .way = MDR_WAY_ADD};
    hold_kit_open(k, MDR_CHECK_SHADE, 60, 1.8);
    hold_kit_limits(k, HOLD_NONE, 1.0);
    k->state.dyed = k->state.dyebath = k->state.fixing = true;
    k->state.fix_temp_c = 60;
    k->in.shade = s;
}

static void addition_by_its_size(void **state)
{
    (void)state;
    static const struct {
        double part;
        int approve; /* -1: none */
    } ROWS[] = {{0.04, MDR_HOLD_BY_TECHNOLOGIST},
                {0.0999, MDR_HOLD_BY_TECHNOLOGIST},
                {0.11, MDR_HOLD_BY_QUALITY},
                {0.1999, MDR_HOLD_BY_QUALITY},
                {0.21, -1}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        hold_kit k;
        mdr_hold_shade s;
        shade_open(&k, &s, ROWS[i].part);
        hold_kit_judge(&k);
        const mdr_remedy *r = hold_kit_remedy(&k, MDR_REMEDY_SHADE_ADD);
        assert_int_equal(r != NULL ? (int)r->approve : -1, ROWS[i].approve);
        assert_int_equal(k.hold->verdict, r != NULL ? MDR_HOLD_CORRECT : MDR_HOLD_STOP);
        if (r != NULL) {
            CHECK_NEAR(hold_kit_kg(r, "B"), 20 * ROWS[i].part / 1.5, 1e-6,
                       "D: % owf x 1000 kg / 100, strength 150 %");
            CHECK_NEAR(hold_kit_kg(r, "Y"), 0, 0, "D: none of it is wanted");
            CHECK_NEAR(r->steps[0].temp_end_c, 45, 1e-9, "P: 40 to 50 degC");
            CHECK_NEAR(r->steps[r->n_steps - 1].temp_end_c, 60, 1e-9, "contract: back to fix");
            CHECK_NEAR(r->expected, 0.4, 1e-12, "contract: what the colour engine predicts");
        } else {
            (void)must(&k, MDR_REMEDY_STRIP_FULL);
        }
        mdr_arena_free(k.arena);
    }
}

static void two_additions_are_enough(void **state)
{
    (void)state;
    hold_kit k;
    mdr_hold_shade s;
    shade_open(&k, &s, 0.05);
    s.n_additions = 1;
    hold_kit_judge(&k);
    (void)must(&k, MDR_REMEDY_SHADE_ADD);
    s.n_additions = 2;
    is_stop(&k, 2);
    assert_null(hold_kit_remedy(&k, MDR_REMEDY_SHADE_ADD));
    assert_non_null(strstr(k.hold->missing[0], "Shading addition: 2 are made"));
    s.n_additions = 0;
    s.after_de = 1.3; /* it would not do */
    is_stop(&k, 0);
    assert_non_null(strstr(k.hold->missing[0], "still be dE 1.30 from"));
    s.after_de = 0.4;
    k.state.dyebath = false;
    is_stop(&k, 0);
    s.way = MDR_WAY_ACCEPT;
    is_stop(&k, 0);
    k.in.shade = NULL; /* a difference without a measurement says not what to add */
    is_stop(&k, 0);
    assert_int_equal(k.hold->n_missing, 1);
    k.in.shade_unknown = "there is no ladder of this dye: Y"; /* measured, and nothing follows */
    is_stop(&k, 0);
    assert_string_equal(k.hold->missing[0], k.in.shade_unknown);
    mdr_arena_free(k.arena);
}

static void colour_off(void **state)
{
    (void)state;
    hold_kit k;
    mdr_hold_shade s;
    shade_open(&k, &s, 0.0);
    s.way = MDR_WAY_STRIP;
    s.dl = -0.9;
    s.strength_pct = 104;
    is_stop(&k, 3);
    assert_int_equal(k.hold->remedies[0].kind, MDR_REMEDY_SOAP);
    CHECK_NEAR(hold_kit_kg(&k.hold->remedies[0], "SOAP"), 8, 1e-6, "P: 1 g/L");
    const mdr_remedy *part = must(&k, MDR_REMEDY_STRIP_PART),
                     *full = must(&k, MDR_REMEDY_STRIP_FULL);
    CHECK_NEAR(hold_kit_kg(part, "ACETIC") * 0.8 / 8, 7.5, 0.01,
               "S: 5 to 10 parts of acetic in 1000");
    CHECK_NEAR(hold_kit_kg(full, "DITHIONITE") * 0.88 / 8, 6.5, 0.2, "P: dithionite 5 to 8 g/L");
    CHECK_NEAR(hold_kit_kg(full, "CAUSTIC") * 0.5 / 8, 4.5, 0.2, "P: caustic 3 to 6 g/L");
    assert_true(full->minutes > part->minutes && full->cost_minor > part->cost_minor);
    assert_int_equal(full->approve, MDR_HOLD_BY_QUALITY);
    assert_non_null(strstr(full->cautions[0], "strength"));
    assert_non_null(strstr(full->cautions[1], "Phthalocyanine"));
    s.strength_pct = 108; /* more than soaping takes */
    is_stop(&k, 2);
    s.strength_pct = 104;
    s.dl = 0.5; /* not darker: soaping is no help */
    is_stop(&k, 2);
    mdr_arena_free(k.arena);
}

static void from_the_correction(void **state)
{
    (void)state;
    const mdr_recipe_dye recipe[] = {{&DYES[0], 1.5}, {&DYES[1], 0.5}};
    mdr_correct c = {.n = 2, .way = MDR_WAY_ADD_LARGE};
    c.dye[0].strength = 0.8;
    c.dye[1].strength = 1.2;
    c.add_pct_owf[0] = 0.3;
    c.after.de = 0.5;
    c.before.dl = 0.7;
    const mdr_hold_shade s = mdr_hold_shade_of(&c, recipe, 1);
    CHECK_NEAR(s.strength_pct, 90, 1e-9, "D: (1.5 x 0.8 + 0.5 x 1.2) / 2");
    CHECK_NEAR(s.add_pct_owf[0], 0.3, 0, "contract: handed on");
    CHECK_NEAR(s.after_de, 0.5, 0, "contract: handed on");
    CHECK_NEAR(s.dl, 0.7, 0, "contract: handed on");
    assert_string_equal(mdr_remedy_words_of("shade-add"), "Shading addition");
    assert_string_equal(mdr_remedy_words_of(""), "");
    assert_true(s.dye[1] == &DYES[1] && s.way == MDR_WAY_ADD_LARGE && s.n_additions == 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(addition_by_its_size),
        cmocka_unit_test(two_additions_are_enough),
        cmocka_unit_test(colour_off),
        cmocka_unit_test(from_the_correction),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
