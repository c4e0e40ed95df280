/*
 * mdr_clash.h - what must not meet in one tank or container, and what must not follow in it without
 * a rinse; what to wear.
 *
 * Reminders of what everybody in the trade knows, from the group a product belongs to; the safety
 * data sheet of the product and the rules of the site decide, and every text says so. A pair that is
 * not in the table is not thereby safe.
 *
 * Layer: core/run (pure). Methods: docs/methods/weighing.md#what-must-not-meet, #what-to-wear
 * Sources: common-practice
 */
#ifndef MDR_CLASH_H
#define MDR_CLASH_H

#include "core/run/mdr_control.h"

/* What a product does to others: X(enumerator, id, words) */
#define MDR_CLASH_GROUPS(X)                                                \
    X(MDR_CLASH_OTHER, "other", "nothing known")                           \
    X(MDR_CLASH_DYE, "dye", "dye")                                         \
    X(MDR_CLASH_CAUSTIC, "caustic", "caustic alkali")                      \
    X(MDR_CLASH_SODA, "soda", "carbonate")                                 \
    X(MDR_CLASH_ACID, "acid", "acid")                                      \
    X(MDR_CLASH_PEROXIDE, "peroxide", "hydrogen peroxide")                 \
    X(MDR_CLASH_OXIDISER, "oxidiser", "another oxidiser, as hypochlorite") \
    X(MDR_CLASH_REDUCER, "reducer", "dithionite or another reducer")       \
    X(MDR_CLASH_ENZYME, "enzyme", "enzyme")                                \
    X(MDR_CLASH_CATALASE, "catalase", "catalase")
typedef enum mdr_clash_group {
    MDR_CLASH_GROUPS(MDR_ENUM_MEMBER) MDR_CLASH_GROUP_COUNT
} mdr_clash_group;
const char *mdr_clash_group_id(mdr_clash_group k);
const char *mdr_clash_group_words(mdr_clash_group k);
/* By substance, else by its cautions. */
mdr_clash_group mdr_clash_group_of(const mdr_control_item *item);

typedef struct mdr_clash_pair {
    const char *id; /* the sentence is "clash.<id>" of the language catalogue */
    mdr_clash_group a, b;
    bool danger;  /* to people; else it spoils the goods or the product */
    bool residue; /* also what is left in a tank that was not rinsed */
} mdr_clash_pair;
enum { MDR_CLASH_PAIRS = 17 };
extern const mdr_clash_pair mdr_clash_pairs[MDR_CLASH_PAIRS];
/* NULL: not in the table. Order does not matter. */
const mdr_clash_pair *mdr_clash_find(mdr_clash_group a, mdr_clash_group b);

/* Two of the items, by index; each pair of the table is told once. */
typedef struct mdr_clash {
    const mdr_clash_pair *pair;
    int first, second;
} mdr_clash;
/* In one tank or container; returns how many, dangers first. */
int mdr_clash_within(const mdr_control_item *items, int n, mdr_clash out[MDR_CLASH_PAIRS]);
/* `then` follows `before` in the same side tank without a rinse. */
int mdr_clash_after(const mdr_control_item *before, int n_before, const mdr_control_item *then,
                    int n_then, mdr_clash out[MDR_CLASH_PAIRS]);

/* What to wear and mind: X(enumerator, id); the words are "gear.<id>" of the language catalogue.
 * Bits of a set: 1u << enumerator. */
#define MDR_GEARS(X)               \
    X(MDR_GEAR_SHIELD, "shield")   \
    X(MDR_GEAR_GOGGLES, "goggles") \
    X(MDR_GEAR_GLOVES, "gloves")   \
    X(MDR_GEAR_APRON, "apron")     \
    X(MDR_GEAR_BOOTS, "boots")     \
    X(MDR_GEAR_MASK, "mask")       \
    X(MDR_GEAR_SLEEVES, "sleeves") \
    X(MDR_GEAR_EXHAUST, "exhaust") \
    X(MDR_GEAR_NO_FLAME, "no-flame")
typedef enum mdr_gear { MDR_GEARS(MDR_ENUM_MEMBER) MDR_GEAR_COUNT } mdr_gear;
const char *mdr_gear_id(mdr_gear k);
const char *mdr_gear_words(mdr_gear k);
/* Of a set of cautions; a face shield covers the eyes too, so goggles are left out beside it. */
uint32_t mdr_gear_of(uint32_t cautions);

#endif
