#include "t.h"

#include "core/bath/mdr_neutralise.h"
#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

static double acid_for(double liquor_l, double g_per_l, int alkali, int acid)
{
    const double mol =
        mdr_neutralise_carried_mol(liquor_l, g_per_l, mdr_substance_alkali_mol_per_kg(alkali));
    return mdr_neutralise_acid_kg(mol, mdr_substance_acid_mol_per_kg(acid));
}

static void printed_examples(void **state)
{
    (void)state;
    CHECK_NEAR(acid_for(2500, 1, MDR_SUB_NAOH, MDR_SUB_HAC), 3.754, 5e-4, "D: E28");
    CHECK_NEAR(mdr_strength_delivered(acid_for(2500, 1, MDR_SUB_NAOH, MDR_SUB_HAC), 80), 4.69,
               0.005, "D: E28, of 80 % acid");
    CHECK_NEAR(acid_for(1000, 1, MDR_SUB_NA2CO3, MDR_SUB_HAC), 1.133, 5e-4,
               "D: E28 remark, soda to the second end-point");
    CHECK_NEAR(acid_for(1000, 1, MDR_SUB_NAOH, MDR_SUB_FORMIC), 1.1507, 5e-5, "D: 46.025/39.997");
    CHECK_NEAR(acid_for(1000, 1, MDR_SUB_NAOH, MDR_SUB_CITRIC), 1.60115, 5e-6,
               "D: 192.124/3/39.997");
}

static void acid_already_there_counts(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_neutralise_open_mol(62.5, 20), 42.5, 0, "D: by hand");
    CHECK_NEAR(mdr_neutralise_open_mol(20, 62.5), 0, 0, "contract: never negative");
    CHECK_NEAR(acid_for(0, 1, MDR_SUB_NAOH, MDR_SUB_HAC), 0, 0, "D: nothing carried");
}

/* Back and forth: the acid found brings exactly the equivalents that were carried. */
static void closes(void **state)
{
    (void)state;
    static const int ALKALI[] = {MDR_SUB_NAOH, MDR_SUB_NA2CO3, MDR_SUB_NAHCO3};
    static const int ACID[] = {MDR_SUB_HAC, MDR_SUB_FORMIC, MDR_SUB_CITRIC};
    for (size_t i = 0; i < N_OF(ALKALI); i++) {
        for (size_t j = 0; j < N_OF(ACID); j++) {
            const double kg = acid_for(1234, 2.5, ALKALI[i], ACID[j]);
            CHECK_NEAR(kg * mdr_substance_acid_mol_per_kg(ACID[j]),
                       1.234 * 2.5 * mdr_substance_alkali_mol_per_kg(ALKALI[i]), 1e-10,
                       "D: charge balance");
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(printed_examples),
                                       cmocka_unit_test(acid_already_there_counts),
                                       cmocka_unit_test(closes)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
