#include "core/run/mdr_clash.h"

#include "base/mdr_lang.h"
#include "core/plan/mdr_pick.h"

MDR_PICK(mdr_clash_group_id, mdr_clash_group, MDR_CLASH_GROUPS(MDR_PICK_ID))
MDR_PICK(mdr_clash_group_words, mdr_clash_group, MDR_CLASH_GROUPS(MDR_PICK_WORDS))

/* -- pairs ------------------------------------------------------------------------------------ */

#define DANGER  true
#define SPOILS  false
#define RESIDUE true
#define MIXED   false

/* common practice, all of them; dangers first */
const mdr_clash_pair mdr_clash_pairs[MDR_CLASH_PAIRS] = {
    {"peroxide-caustic", MDR_CLASH_PEROXIDE, MDR_CLASH_CAUSTIC, DANGER, RESIDUE},
    {"peroxide-reducer", MDR_CLASH_PEROXIDE, MDR_CLASH_REDUCER, DANGER, RESIDUE},
    {"peroxide-oxidiser", MDR_CLASH_PEROXIDE, MDR_CLASH_OXIDISER, DANGER, RESIDUE},
    {"oxidiser-acid", MDR_CLASH_OXIDISER, MDR_CLASH_ACID, DANGER, RESIDUE},
    {"oxidiser-reducer", MDR_CLASH_OXIDISER, MDR_CLASH_REDUCER, DANGER, RESIDUE},
    {"reducer-acid", MDR_CLASH_REDUCER, MDR_CLASH_ACID, DANGER, RESIDUE},
    {"caustic-acid", MDR_CLASH_CAUSTIC, MDR_CLASH_ACID, DANGER, RESIDUE},
    {"peroxide-catalase", MDR_CLASH_PEROXIDE, MDR_CLASH_CATALASE, DANGER, MIXED},
    {"soda-acid", MDR_CLASH_SODA, MDR_CLASH_ACID, SPOILS, MIXED},
    {"enzyme-caustic", MDR_CLASH_ENZYME, MDR_CLASH_CAUSTIC, SPOILS, MIXED},
    {"enzyme-peroxide", MDR_CLASH_ENZYME, MDR_CLASH_PEROXIDE, SPOILS, MIXED},
    {"catalase-caustic", MDR_CLASH_CATALASE, MDR_CLASH_CAUSTIC, SPOILS, MIXED},
    {"dye-caustic", MDR_CLASH_DYE, MDR_CLASH_CAUSTIC, SPOILS, MIXED},
    {"dye-soda", MDR_CLASH_DYE, MDR_CLASH_SODA, SPOILS, MIXED},
    {"dye-peroxide", MDR_CLASH_DYE, MDR_CLASH_PEROXIDE, SPOILS, MIXED},
    {"dye-oxidiser", MDR_CLASH_DYE, MDR_CLASH_OXIDISER, SPOILS, MIXED},
    {"dye-reducer", MDR_CLASH_DYE, MDR_CLASH_REDUCER, SPOILS, MIXED},
};

/* What a product of unknown substance is taken for, by its cautions. */
static mdr_clash_group by_caution(uint32_t cautions)
{
    if ((cautions & 1u << MDR_CAUTION_CORROSIVE_ALKALI) != 0) {
        return MDR_CLASH_CAUSTIC;
    }
    if ((cautions & 1u << MDR_CAUTION_CORROSIVE_ACID) != 0) {
        return MDR_CLASH_ACID;
    }
    if ((cautions & 1u << MDR_CAUTION_OXIDISER) != 0) {
        return MDR_CLASH_OXIDISER;
    }
    return (cautions & 1u << MDR_CAUTION_REDUCER) != 0 ? MDR_CLASH_REDUCER : MDR_CLASH_OTHER;
}

mdr_clash_group mdr_clash_group_of(const mdr_control_item *item)
{
    if (item->dye) {
        return MDR_CLASH_DYE;
    }
    switch (item->substance) {
    case MDR_SUB_NAOH:
        return MDR_CLASH_CAUSTIC;
    case MDR_SUB_NA2CO3:
    case MDR_SUB_NAHCO3:
        return MDR_CLASH_SODA;
    case MDR_SUB_HAC:
    case MDR_SUB_FORMIC:
    case MDR_SUB_CITRIC:
    case MDR_SUB_H2SO4:
        return MDR_CLASH_ACID;
    case MDR_SUB_H2O2:
        return MDR_CLASH_PEROXIDE;
    case MDR_SUB_DITHIONITE:
        return MDR_CLASH_REDUCER;
    case MDR_SUB_ENZYME:
        return MDR_CLASH_ENZYME;
    case MDR_SUB_CATALASE:
        return MDR_CLASH_CATALASE;
    default:
        return by_caution(item->cautions);
    }
}

const mdr_clash_pair *mdr_clash_find(mdr_clash_group a, mdr_clash_group b)
{
    for (int i = 0; i < MDR_CLASH_PAIRS; i++) {
        const mdr_clash_pair *p = &mdr_clash_pairs[i];
        if ((p->a == a && p->b == b) || (p->a == b && p->b == a)) {
            return p;
        }
    }
    return NULL;
}

/* The first item of each group; -1: none. */
typedef struct firsts {
    int of[MDR_CLASH_GROUP_COUNT];
} firsts;

static firsts firsts_of(const mdr_control_item *items, int n)
{
    firsts f;
    for (int g = 0; g < MDR_CLASH_GROUP_COUNT; g++) {
        f.of[g] = -1;
    }
    for (int i = n - 1; i >= 0; i--) {
        f.of[mdr_clash_group_of(&items[i])] = i;
    }
    return f;
}

static int add(mdr_clash *out, int n, const mdr_clash_pair *pair, int first, int second)
{
    if (first < 0 || second < 0) {
        return n;
    }
    out[n] = (mdr_clash){pair, first, second};
    return n + 1;
}

int mdr_clash_within(const mdr_control_item *items, int n, mdr_clash out[MDR_CLASH_PAIRS])
{
    const firsts f = firsts_of(items, n);
    int found = 0;
    for (int i = 0; i < MDR_CLASH_PAIRS; i++) {
        const mdr_clash_pair *p = &mdr_clash_pairs[i];
        found = add(out, found, p, f.of[p->a], f.of[p->b]);
    }
    return found;
}

int mdr_clash_after(const mdr_control_item *before, int n_before, const mdr_control_item *then,
                    int n_then, mdr_clash out[MDR_CLASH_PAIRS])
{
    const firsts a = firsts_of(before, n_before), b = firsts_of(then, n_then);
    int found = 0;
    for (int i = 0; i < MDR_CLASH_PAIRS; i++) {
        const mdr_clash_pair *p = &mdr_clash_pairs[i];
        if (!p->residue) {
            continue;
        }
        const bool straight = a.of[p->a] >= 0 && b.of[p->b] >= 0;
        found = straight ? add(out, found, p, a.of[p->a], b.of[p->b])
                         : add(out, found, p, a.of[p->b], b.of[p->a]);
    }
    return found;
}

/* -- what to wear ----------------------------------------------------------------------------- */

#define GEAR_ID(name, id)  id,
#define GEAR_KEY(name, id) "gear." id,
MDR_PICK(mdr_gear_id, mdr_gear, MDR_GEARS(GEAR_ID))
static MDR_PICK(key_of, mdr_gear, MDR_GEARS(GEAR_KEY))

    const char *mdr_gear_words(mdr_gear k)
{
    const char *key = key_of(k);
    return key == NULL ? NULL : mdr_lang_text(key);
}

#define SHIELD   (1u << MDR_GEAR_SHIELD)
#define GOGGLES  (1u << MDR_GEAR_GOGGLES)
#define GLOVES   (1u << MDR_GEAR_GLOVES)
#define APRON    (1u << MDR_GEAR_APRON)
#define BOOTS    (1u << MDR_GEAR_BOOTS)
#define MASK     (1u << MDR_GEAR_MASK)
#define SLEEVES  (1u << MDR_GEAR_SLEEVES)
#define EXHAUST  (1u << MDR_GEAR_EXHAUST)
#define NO_FLAME (1u << MDR_GEAR_NO_FLAME)

/* common practice; the product's own safety data sheet goes first */
static uint32_t gear_of(mdr_caution caution)
{
    switch (caution) {
    case MDR_CAUTION_CORROSIVE_ALKALI:
    case MDR_CAUTION_CORROSIVE_ACID:
    case MDR_CAUTION_OXIDISER:
        return SHIELD | GLOVES | APRON | BOOTS;
    case MDR_CAUTION_REDUCER:
        return GOGGLES | GLOVES | EXHAUST;
    case MDR_CAUTION_DUST:
        return MASK | GLOVES | EXHAUST;
    case MDR_CAUTION_SENSITISER:
        return MASK | GLOVES | SLEEVES;
    case MDR_CAUTION_IRRITANT:
        return GOGGLES | GLOVES;
    case MDR_CAUTION_FLAMMABLE:
        return EXHAUST | NO_FLAME;
    case MDR_CAUTION_HOT_LIQUOR:
        return SHIELD | GLOVES;
    case MDR_CAUTION_PRESSURE:
    case MDR_CAUTION_ROTATING:
    case MDR_CAUTION_COUNT:
        return 0;
    }
    return 0;
}

uint32_t mdr_gear_of(uint32_t cautions)
{
    uint32_t gear = 0;
    for (int c = 0; c < MDR_CAUTION_COUNT; c++) {
        gear |= (cautions & (1u << c)) != 0 ? gear_of((mdr_caution)c) : 0;
    }
    return (gear & SHIELD) != 0 ? gear & ~GOGGLES : gear;
}
