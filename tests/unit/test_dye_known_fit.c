/* The rates that a point of the search stands for. */
#include "t.h"

#include <math.h>

#include "core/exhaust/mdr_dye_known_parts.h"
#include "dyeing_kit.h"

static void every_unknown_has_its_rate(void **state)
{
    (void)state;
    mdr_dye_known known = {.way = MDR_WAY_REACTIVE};
    mdr_known_search s = {.known = &known, .base = kit_reactive()};
    /* I: each another number */
    const double x[MDR_SEEK_COUNT] = {
        [MDR_SEEK_AFFINITY] = 14,     [MDR_SEEK_LN_DIFFUSION] = -3, [MDR_SEEK_LN_FIX] = -2,
        [MDR_SEEK_LN_RATIO] = -1,     [MDR_SEEK_GAP] = 2,           [MDR_SEEK_ENTHALPY] = -21,
        [MDR_SEEK_DIFFUSION_EA] = 51, [MDR_SEEK_FIX_EA] = 72,       [MDR_SEEK_HYDROLYSIS_EA] = 83};
    mdr_dye_rates r = mdr_known_rates_at(&s, x);
    CHECK_NEAR(r.affinity_kj_per_mol, 14, 0, "D");
    CHECK_NEAR(r.hydrolysed_affinity_kj_per_mol, 16, 0, "D: by the gap more");
    CHECK_NEAR(r.enthalpy_kj_per_mol, -21, 0, "D");
    CHECK_NEAR(r.diffusion_per_min, exp(-3), 1e-15, "D: its logarithm is sought");
    CHECK_NEAR(r.diffusion_ea_kj_per_mol, 51, 0, "D");
    CHECK_NEAR(r.fix_per_min, exp(-2), 1e-15, "D: its logarithm is sought");
    CHECK_NEAR(r.fix_ea_kj_per_mol, 72, 0, "D");
    CHECK_NEAR(r.hydrolysis_per_min, exp(-3), 1e-15, "D: by the ratio less");
    CHECK_NEAR(r.hydrolysis_ea_kj_per_mol, 83, 0, "D");
    assert_string_equal(r.dye_id, s.base.dye_id);
    CHECK_NEAR(r.molar_kg_per_mol, s.base.molar_kg_per_mol, 0, "D: never sought");
    known.way = MDR_WAY_DIRECT; /* nothing reacts: those rates stay as they are */
    r = mdr_known_rates_at(&s, x);
    CHECK_NEAR(r.affinity_kj_per_mol, 14, 0, "D");
    CHECK_NEAR(r.fix_per_min, s.base.fix_per_min, 0, "D");
    CHECK_NEAR(r.hydrolysis_per_min, s.base.hydrolysis_per_min, 0, "D");
    CHECK_NEAR(r.fix_ea_kj_per_mol, s.base.fix_ea_kj_per_mol, 0, "D");
    CHECK_NEAR(r.hydrolysis_ea_kj_per_mol, s.base.hydrolysis_ea_kj_per_mol, 0, "D");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_unknown_has_its_rate)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
