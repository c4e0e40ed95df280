/* What must not meet, and what to wear. */
#include "t.h"

#include <stdio.h>
#include <string.h>

#include "base/mdr_lang.h"
#include "core/run/mdr_clash.h"

#define CHEMICAL(sub, caution)                    \
    {                                             \
        .substance = (sub), .cautions = (caution) \
    }
static const mdr_control_item DYE = {.dye = true, .substance = MDR_SUB_DYE};
static const mdr_control_item CAUSTIC = CHEMICAL(MDR_SUB_NAOH, 0);
static const mdr_control_item PEROXIDE = CHEMICAL(MDR_SUB_H2O2, 1u << MDR_CAUTION_OXIDISER);
static const mdr_control_item DITHIONITE = CHEMICAL(MDR_SUB_DITHIONITE, 0);
static const mdr_control_item ACETIC = CHEMICAL(MDR_SUB_HAC, 0);
static const mdr_control_item SODA = CHEMICAL(MDR_SUB_NA2CO3, 0);
static const mdr_control_item SALT = CHEMICAL(MDR_SUB_NACL, 0);
static const mdr_control_item BLEACH = CHEMICAL(MDR_SUB_OTHER, 1u << MDR_CAUTION_OXIDISER);

static void groups(void **state)
{
    (void)state;
    static const struct {
        mdr_control_item item;
        mdr_clash_group want; /* P: what everybody in the trade calls it */
    } ROWS[] = {
        {{.dye = true, .substance = MDR_SUB_NAOH}, MDR_CLASH_DYE},
        {CHEMICAL(MDR_SUB_NAOH, 0), MDR_CLASH_CAUSTIC},
        {CHEMICAL(MDR_SUB_NA2CO3, 1u << MDR_CAUTION_IRRITANT), MDR_CLASH_SODA},
        {CHEMICAL(MDR_SUB_NAHCO3, 0), MDR_CLASH_SODA},
        {CHEMICAL(MDR_SUB_HAC, 0), MDR_CLASH_ACID},
        {CHEMICAL(MDR_SUB_FORMIC, 0), MDR_CLASH_ACID},
        {CHEMICAL(MDR_SUB_CITRIC, 0), MDR_CLASH_ACID},
        {CHEMICAL(MDR_SUB_H2SO4, 0), MDR_CLASH_ACID},
        {CHEMICAL(MDR_SUB_H2O2, 1u << MDR_CAUTION_CORROSIVE_ACID), MDR_CLASH_PEROXIDE},
        {CHEMICAL(MDR_SUB_DITHIONITE, 0), MDR_CLASH_REDUCER},
        {CHEMICAL(MDR_SUB_ENZYME, 0), MDR_CLASH_ENZYME},
        {CHEMICAL(MDR_SUB_CATALASE, 0), MDR_CLASH_CATALASE},
        {CHEMICAL(MDR_SUB_NACL, 0), MDR_CLASH_OTHER},
        {CHEMICAL(MDR_SUB_SEQUESTRANT, 0), MDR_CLASH_OTHER},
        {CHEMICAL(MDR_SUB_OTHER, 1u << MDR_CAUTION_OXIDISER), MDR_CLASH_OXIDISER},
        {CHEMICAL(MDR_SUB_OTHER, 1u << MDR_CAUTION_REDUCER), MDR_CLASH_REDUCER},
        {CHEMICAL(MDR_SUB_OTHER, 1u << MDR_CAUTION_CORROSIVE_ACID), MDR_CLASH_ACID},
        {CHEMICAL(-1, 1u << MDR_CAUTION_CORROSIVE_ALKALI), MDR_CLASH_CAUSTIC},
        {CHEMICAL(-1, 1u << MDR_CAUTION_DUST), MDR_CLASH_OTHER},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        assert_int_equal(mdr_clash_group_of(&ROWS[i].item), ROWS[i].want);
    }
}

static void table_is_whole(void **state)
{
    (void)state;
    bool spoils = false;
    for (int i = 0; i < MDR_CLASH_PAIRS; i++) {
        const mdr_clash_pair *p = &mdr_clash_pairs[i];
        char key[64];
        (void)snprintf(key, sizeof key, "clash.%s", p->id);
        assert_non_null(mdr_lang_text(key));
        assert_true(p->a != MDR_CLASH_OTHER && p->b != MDR_CLASH_OTHER && p->a != p->b);
        assert_ptr_equal(mdr_clash_find(p->a, p->b), p); /* none stands twice */
        assert_ptr_equal(mdr_clash_find(p->b, p->a), p);
        spoils = spoils || !p->danger;
        assert_true(!spoils || !p->danger); /* dangers first */
        assert_true(p->danger || !p->residue);
    }
    assert_null(mdr_clash_find(MDR_CLASH_DYE, MDR_CLASH_OTHER));
    assert_null(mdr_clash_find(MDR_CLASH_ACID, MDR_CLASH_PEROXIDE)); /* vat dyes are oxidised so */
    assert_null(mdr_clash_find(MDR_CLASH_CAUSTIC, MDR_CLASH_REDUCER)); /* every vat */
}

/* P: the pairs that every safety sheet names. */
static void in_one_tank(void **state)
{
    (void)state;
    static const struct {
        mdr_control_item items[4];
        int n;
        const char *want; /* ids in order */
    } ROWS[] = {
        {{{0}}, 0, ""},
        {{CHEMICAL(MDR_SUB_H2O2, 0)}, 1, ""},
        {{CHEMICAL(MDR_SUB_H2O2, 0), CHEMICAL(MDR_SUB_H2O2, 0)}, 2, ""},
        {{CHEMICAL(MDR_SUB_NACL, 0), CHEMICAL(MDR_SUB_NA2CO3, 0)}, 2, ""},
        {{CHEMICAL(MDR_SUB_NAOH, 0), CHEMICAL(MDR_SUB_H2O2, 0)}, 2, "peroxide-caustic "},
        {{CHEMICAL(MDR_SUB_HAC, 0), CHEMICAL(MDR_SUB_DITHIONITE, 0)}, 2, "reducer-acid "},
        {{CHEMICAL(MDR_SUB_OTHER, 1u << MDR_CAUTION_OXIDISER), CHEMICAL(MDR_SUB_FORMIC, 0)},
         2,
         "oxidiser-acid "},
        {{CHEMICAL(MDR_SUB_H2O2, 0), CHEMICAL(MDR_SUB_DITHIONITE, 0)}, 2, "peroxide-reducer "},
        {{CHEMICAL(MDR_SUB_NAOH, 0), CHEMICAL(MDR_SUB_HAC, 0)}, 2, "caustic-acid "},
        {{{.dye = true},
          CHEMICAL(MDR_SUB_NA2CO3, 0),
          CHEMICAL(MDR_SUB_HAC, 0),
          CHEMICAL(MDR_SUB_H2O2, 0)},
         4,
         "soda-acid dye-soda dye-peroxide "},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_clash out[MDR_CLASH_PAIRS];
        char got[400] = "";
        const int n = mdr_clash_within(ROWS[i].items, ROWS[i].n, out);
        for (int k = 0; k < n; k++) {
            const size_t used = strlen(got);
            (void)snprintf(got + used, sizeof got - used, "%s ", out[k].pair->id);
            const mdr_clash_group a = mdr_clash_group_of(&ROWS[i].items[out[k].first]);
            const mdr_clash_group b = mdr_clash_group_of(&ROWS[i].items[out[k].second]);
            assert_ptr_equal(mdr_clash_find(a, b), out[k].pair);
        }
        assert_string_equal(got, ROWS[i].want);
    }
}

static int after(mdr_control_item before, mdr_control_item then, mdr_clash out[MDR_CLASH_PAIRS])
{
    return mdr_clash_after(&before, 1, &then, 1, out);
}

static void one_after_the_other(void **state)
{
    (void)state;
    mdr_clash out[MDR_CLASH_PAIRS];
    assert_int_equal(after(CAUSTIC, PEROXIDE, out), 1); /* P */
    assert_string_equal(out[0].pair->id, "peroxide-caustic");
    assert_int_equal(after(PEROXIDE, CAUSTIC, out), 1);
    assert_int_equal(after(DITHIONITE, ACETIC, out), 1);
    assert_string_equal(out[0].pair->id, "reducer-acid");
    assert_int_equal(after(BLEACH, ACETIC, out), 1);
    assert_int_equal(after(SODA, ACETIC, out), 0); /* residues only foam */
    assert_int_equal(after(SODA, DYE, out), 0);
    assert_int_equal(after(SALT, CAUSTIC, out), 0);
    assert_int_equal(after(CAUSTIC, CAUSTIC, out), 0);
    const mdr_control_item before[] = {SALT, PEROXIDE}, then[] = {SODA, DYE, DITHIONITE};
    assert_int_equal(mdr_clash_after(before, 2, then, 3, out), 1);
    assert_true(out[0].first == 1 && out[0].second == 2);
    assert_int_equal(mdr_clash_after(NULL, 0, then, 3, out), 0);
}

/* P: usual; the data sheet decides. */
static void what_to_wear(void **state)
{
    (void)state;
    assert_int_equal(mdr_gear_of(0), 0);
    assert_int_equal(mdr_gear_of(1u << MDR_CAUTION_DUST),
                     1u << MDR_GEAR_MASK | 1u << MDR_GEAR_GLOVES | 1u << MDR_GEAR_EXHAUST);
    assert_int_equal(mdr_gear_of(1u << MDR_CAUTION_IRRITANT | 1u << MDR_CAUTION_CORROSIVE_ALKALI),
                     1u << MDR_GEAR_SHIELD | 1u << MDR_GEAR_GLOVES | 1u << MDR_GEAR_APRON |
                         1u << MDR_GEAR_BOOTS); /* no goggles under a shield */
    assert_int_equal(mdr_gear_of(1u << MDR_CAUTION_PRESSURE | 1u << MDR_CAUTION_ROTATING), 0);
    for (int i = 0; i < MDR_GEAR_COUNT; i++) {
        assert_non_null(mdr_gear_words((mdr_gear)i));
        assert_non_null(mdr_gear_id((mdr_gear)i));
    }
    assert_null(mdr_gear_words(MDR_GEAR_COUNT));
    assert_string_equal(mdr_gear_words(MDR_GEAR_MASK), "P3 mask");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(groups), cmocka_unit_test(table_is_whole), cmocka_unit_test(in_one_tank),
        cmocka_unit_test(one_after_the_other), cmocka_unit_test(what_to_wear)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
