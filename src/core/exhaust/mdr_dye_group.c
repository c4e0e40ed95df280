#include "core/exhaust/mdr_dye_group.h"

#include <stddef.h>

/* All of it from memory or invented: the header says so. Affinity, rates and diffusion are those
 * with which the group's standard dyeing gives its typical numbers (test_dye_group). */
typedef struct group {
    const char *id, *words;
    mdr_dye_way way;
    mdr_group_numbers numbers;
    mdr_dye_rates rates;
} group;

/* [dye-group-numbers], from memory, weak */
#define ENTHALPY_REACTIVE (-35.0)
#define ENTHALPY_DIRECT   (-50.0)
#define ENTHALPY_VAT      (-45.0)
#define EA_DIFFUSION      55.0
#define EA_FIX            70.0
#define EA_HYDROLYSIS     82.0

/* S, E, R, F in % and the half-dyeing time: [dye-group-numbers] for S, E, F of the reactive groups;
 * R, the times, and everything of direct and vat dyes invented. */
#define REACTIVE(molar, z, a, d, kf, kh, ah)                                                       \
    {                                                                                              \
        .molar_kg_per_mol = (molar), .charge = (z), .affinity_kj_per_mol = (a),                    \
        .enthalpy_kj_per_mol = ENTHALPY_REACTIVE, .diffusion_per_min = (d),                        \
        .diffusion_ea_kj_per_mol = EA_DIFFUSION, .fix_per_min = (kf), .fix_ea_kj_per_mol = EA_FIX, \
        .hydrolysis_per_min = (kh), .hydrolysis_ea_kj_per_mol = EA_HYDROLYSIS,                     \
        .hydrolysed_affinity_kj_per_mol = (ah)                                                     \
    }
#define HELD(molar, z, a, dh, d)                                                         \
    {                                                                                    \
        .molar_kg_per_mol = (molar), .charge = (z), .affinity_kj_per_mol = (a),          \
        .enthalpy_kj_per_mol = (dh), .diffusion_per_min = (d),                           \
        .diffusion_ea_kj_per_mol = EA_DIFFUSION, .fix_ea_kj_per_mol = EA_FIX,            \
        .hydrolysis_ea_kj_per_mol = EA_HYDROLYSIS, .hydrolysed_affinity_kj_per_mol = (a) \
    }

static const group GROUPS[MDR_GROUP_COUNT] = {
    [MDR_GROUP_VINYL_SULPHONE] = {.way = MDR_WAY_REACTIVE,
                                  .numbers = {30, 80, 36, 68, 0},
                                  .rates = REACTIVE(0.8, 3, 9.65, 0.02, 0.4061, 0.05313, 11.12)},
    [MDR_GROUP_BIFUNCTIONAL] = {.way = MDR_WAY_REACTIVE,
                                .numbers = {45, 88, 44, 80, 0},
                                .rates = REACTIVE(0.95, 4, 12.46, 0.015, 0.3032, 0.04623, 12.22)},
    [MDR_GROUP_MONOCHLOROTRIAZINE] = {.way = MDR_WAY_REACTIVE,
                                      .numbers = {55, 85, 30, 74, 0},
                                      .rates = REACTIVE(0.85, 4, 15.53, 0.012, 0.02248, 0.006083,
                                                        13.76)},
    [MDR_GROUP_BIS_TRIAZINE] = {.way = MDR_WAY_REACTIVE,
                                .numbers = {77, 88, 30, 75, 0},
                                .rates = REACTIVE(1.3, 5, 19.19, 0.008, 0.01593, 0.01381, 14.56)},
    [MDR_GROUP_DIRECT_A] = {.way = MDR_WAY_DIRECT,
                            .numbers = {0, 85, 0, 0, 1.5},
                            .rates = HELD(0.65, 2, 26.19, ENTHALPY_DIRECT, 4.812e-5)},
    [MDR_GROUP_DIRECT_B] = {.way = MDR_WAY_DIRECT,
                            .numbers = {0, 88, 0, 0, 2},
                            .rates = HELD(0.8, 3, 30.68, ENTHALPY_DIRECT, 1.105e-5)},
    [MDR_GROUP_DIRECT_C] = {.way = MDR_WAY_DIRECT,
                            .numbers = {0, 90, 0, 0, 3},
                            .rates = HELD(0.95, 4, 34.56, ENTHALPY_DIRECT, 2.971e-6)},
    [MDR_GROUP_VAT_IN] = {.way = MDR_WAY_VAT,
                          .numbers = {0, 92, 0, 0, 2},
                          .rates = HELD(0.45, 2, 27.44, ENTHALPY_VAT, 4.425e-5)},
    [MDR_GROUP_VAT_IW] = {.way = MDR_WAY_VAT,
                          .numbers = {0, 90, 0, 0, 3},
                          .rates = HELD(0.4, 2, 23.96, ENTHALPY_VAT, 8.43e-5)},
    [MDR_GROUP_VAT_IK] = {.way = MDR_WAY_VAT,
                          .numbers = {0, 87, 0, 0, 5},
                          .rates = HELD(0.35, 2, 19.40, ENTHALPY_VAT, 2.817e-4)},
};

const mdr_group_spread MDR_GROUP_SPREAD = {
    .affinity_kj_per_mol = 3.0,
    .hydrolysed_kj_per_mol = 2.0,
    .ln_diffusion = 1.1, /* three times faster or slower */
    .ln_fix = 1.1,
    .ln_hydrolysis = 1.1,
    .enthalpy_kj_per_mol = 12.0, /* [dye-group-numbers]: -20 to -60 */
    .ea_kj_per_mol = 8.0,        /* [dye-group-numbers]: 60 to 80, 75 to 90, 50 to 60 */
};

static const struct {
    const char *id, *words;
} NAMES[MDR_GROUP_COUNT] = {
#define X(name, id, words) [name] = {id, words},
    MDR_DYE_GROUPS(X)
#undef X
};

const char *mdr_dye_group_id(mdr_dye_group g)
{
    return (unsigned)g < MDR_GROUP_COUNT ? NAMES[g].id : NULL;
}

const char *mdr_dye_group_words(mdr_dye_group g)
{
    return (unsigned)g < MDR_GROUP_COUNT ? NAMES[g].words : NULL;
}

mdr_dye_group mdr_dye_group_usual(mdr_dye_way way)
{
    switch (way) {
    case MDR_WAY_REACTIVE:
        return MDR_GROUP_VINYL_SULPHONE;
    case MDR_WAY_DIRECT:
        return MDR_GROUP_DIRECT_B;
    case MDR_WAY_VAT:
        return MDR_GROUP_VAT_IN;
    }
    MDR_UNREACHABLE();
}

static const group *group_of(mdr_dye_group g)
{
    return &GROUPS[g == MDR_GROUP_UNSTATED ? MDR_GROUP_VINYL_SULPHONE : g];
}

mdr_dye_way mdr_dye_group_way(mdr_dye_group g)
{
    return group_of(g)->way;
}

mdr_group_numbers mdr_dye_group_numbers(mdr_dye_group g)
{
    return group_of(g)->numbers;
}

mdr_dye_rates mdr_dye_group_rates(mdr_dye_group g)
{
    mdr_dye_rates rates = group_of(g)->rates;
    rates.dye_id = mdr_dye_group_id(g);
    return rates;
}
