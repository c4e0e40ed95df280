/* What the records hand on of a dye. */
#include "t.h"

#include <string.h>

#include "core/plan/mdr_material_known.h"

#define SRC "contract: as the record has it"

static const mdr_material RECORD = {.material_id = "R-1",
                                    .is_dye = true,
                                    .dye_class = MDR_CLASS_REACTIVE,
                                    .dyeing_group = MDR_GROUP_MONOCHLOROTRIAZINE,
                                    .exhaustion_pct = 85,
                                    .fixation_pct = 74,
                                    .primary_exhaustion_pct = 55,
                                    .fix_first_pct = 30,
                                    .half_dyeing_min = 13,
                                    .molar_g_per_mol = 850,
                                    .charge = 4};

static void all_of_a_reactive_dye(void **state)
{
    (void)state;
    static const double WANT[MDR_NUMBER_COUNT] = {55, 85, 30, 74, 13};
    mdr_material dye = RECORD;
    mdr_dye_known k = mdr_material_known(&dye);
    assert_string_equal(k.dye_id, "R-1");
    assert_int_equal(k.group, MDR_GROUP_MONOCHLOROTRIAZINE);
    assert_int_equal(k.way, MDR_WAY_REACTIVE);
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        CHECK_NEAR(k.number[n], WANT[n], 0, SRC);
    }
    CHECK_NEAR(k.molar_g_per_mol, 850, 0, SRC);
    CHECK_NEAR(k.charge, 4, 0, SRC);
    CHECK_NEAR(k.standard.temp_c, 80, 0, "contract: the standard dyeing of the group");
    CHECK_NEAR(k.standard.first_min, 10, 0, "contract: 10 minutes when not given");
    assert_int_equal(mdr_dye_known_check(&k, NULL), MDR_OK);
    dye.fix_first_min = 7.5;
    k = mdr_material_known(&dye);
    CHECK_NEAR(k.standard.first_min, 7.5, 0, SRC);
}

/* A fixation of a direct dye is what soaping leaves: it must not be taken for fixing by alkali. */
static void other_classes(void **state)
{
    (void)state;
    static const struct {
        int dye_class;
        mdr_dye_way way;
        double temp_c;
    } ROWS[] = {{MDR_CLASS_DIRECT, MDR_WAY_DIRECT, 95}, {MDR_CLASS_VAT, MDR_WAY_VAT, 60}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_material dye = RECORD;
        dye.dye_class = ROWS[i].dye_class;
        dye.dyeing_group = MDR_GROUP_UNSTATED;
        const mdr_dye_known k = mdr_material_known(&dye);
        assert_int_equal(k.way, ROWS[i].way);
        CHECK_NEAR(k.standard.temp_c, ROWS[i].temp_c, 0, "contract: of the usual group");
        CHECK_NEAR(k.number[MDR_NUMBER_EXHAUSTION], 85, 0, SRC);
        CHECK_NEAR(k.number[MDR_NUMBER_HALF], 13, 0, SRC);
        CHECK_NEAR(k.number[MDR_NUMBER_FIXATION] + k.number[MDR_NUMBER_PRIMARY] +
                       k.number[MDR_NUMBER_FIRST],
                   0, 0, "contract: not handed on");
        assert_int_equal(mdr_dye_known_check(&k, NULL), MDR_OK);
    }
    assert_int_equal(mdr_class_way(MDR_CLASS_NONE), MDR_WAY_REACTIVE);
}

int main(void)
{
    static const struct CMUnitTest TESTS[] = {
        cmocka_unit_test(all_of_a_reactive_dye),
        cmocka_unit_test(other_classes),
    };
    return cmocka_run_group_tests(TESTS, NULL, NULL);
}
