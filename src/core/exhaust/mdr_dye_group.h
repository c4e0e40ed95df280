/*
 * mdr_dye_group.h - groups of dyes that behave alike, and what stands in for a dye of which
 * nothing but the group is known.
 *
 * Layer: core/exhaust (pure). Methods: docs/methods/exhaust-rates.md#groups
 *
 * Sources (keys of docs/sources.md)
 *   [dye-group-numbers]  typical S, E, F of reactive groups, heats and activation energies: from
 *                        memory, weak; the other placeholders are invented, so that the standard
 *                        dyeing of mdr_dye_standard.h gives the typical numbers
 *
 * Every number here is a placeholder: a place to start, marked as such wherever it is shown.
 */
#ifndef MDR_DYE_GROUP_H
#define MDR_DYE_GROUP_H

#include "core/exhaust/mdr_dye_rates.h"

/* X(enumerator, text id used in CSV, JSON and SQL, words) */
#define MDR_DYE_GROUPS(X)                                                                  \
    X(MDR_GROUP_UNSTATED, "unstated", "not stated")                                        \
    X(MDR_GROUP_VINYL_SULPHONE, "vinyl-sulphone", "vinyl sulphone, 60 °C")                 \
    X(MDR_GROUP_BIFUNCTIONAL, "bifunctional", "two unlike reactive groups, 60 °C")         \
    X(MDR_GROUP_MONOCHLOROTRIAZINE, "monochlorotriazine", "monochlorotriazine, 80 °C")     \
    X(MDR_GROUP_BIS_TRIAZINE, "bis-monochlorotriazine", "twice monochlorotriazine, 80 °C") \
    X(MDR_GROUP_DIRECT_A, "direct-a", "direct, self-levelling")                            \
    X(MDR_GROUP_DIRECT_B, "direct-b", "direct, levelled by salt")                          \
    X(MDR_GROUP_DIRECT_C, "direct-c", "direct, levelled by salt and temperature")          \
    X(MDR_GROUP_VAT_IN, "vat-in", "vat, hot, much caustic")                                \
    X(MDR_GROUP_VAT_IW, "vat-iw", "vat, warm")                                             \
    X(MDR_GROUP_VAT_IK, "vat-ik", "vat, cold, little caustic")

#define X(name, id, words) name,
typedef enum mdr_dye_group { MDR_DYE_GROUPS(X) MDR_GROUP_COUNT } mdr_dye_group;
#undef X

/* What holds the dye: that decides which numbers say anything. */
typedef enum mdr_dye_way { MDR_WAY_REACTIVE, MDR_WAY_DIRECT, MDR_WAY_VAT } mdr_dye_way;

/* NULL for a value outside the list. */
const char *mdr_dye_group_id(mdr_dye_group g);
const char *mdr_dye_group_words(mdr_dye_group g);
/* UNSTATED counts as reactive; see mdr_dye_group_usual. */
mdr_dye_way mdr_dye_group_way(mdr_dye_group g);
/* What to take for a dye whose group is not stated: vinyl sulphone, direct B, vat IN. */
mdr_dye_group mdr_dye_group_usual(mdr_dye_way way);

/* What a mill would know of a typical dye of the group; 0: says nothing in this group. */
typedef struct mdr_group_numbers {
    double primary_pct, exhaustion_pct, first_pct, fixation_pct, half_min;
} mdr_group_numbers;
mdr_group_numbers mdr_dye_group_numbers(mdr_dye_group g);

/* Placeholders of the group; dye_id is the group's. UNSTATED: those of vinyl sulphone. */
mdr_dye_rates mdr_dye_group_rates(mdr_dye_group g);

/* How far dyes of one group lie apart, as a standard deviation: invented, wide on purpose. */
typedef struct mdr_group_spread {
    double affinity_kj_per_mol, hydrolysed_kj_per_mol; /* the latter: of the two affinities' gap */
    double ln_diffusion, ln_fix, ln_hydrolysis;        /* the last: of hydrolysis over fixation */
    double enthalpy_kj_per_mol, ea_kj_per_mol;
} mdr_group_spread;
extern const mdr_group_spread MDR_GROUP_SPREAD;

#endif
