/*
 * mdr_hold_ask.h - a reading at a hold point without a batch, as it is asked:
 * {"do": "hold", "check": "ph", "reading": 9.5, "liquor_l": 8000, "low": 6, "high": 7, ...}.
 *
 * Layer: wire. Keys and ranges: docs/api.md, POST /api/hold. Every wrong key, type and range is
 * reported. g/L are of the 100 % substance in the bath, as the plan would have it.
 */
#ifndef MDR_HOLD_ASK_H
#define MDR_HOLD_ASK_H

#include "core/run/mdr_hold.h"
#include "wire/mdr_bath_ask.h"

/* How far the dyeing is: X(enumerator, id, words) */
#define MDR_HOLD_STAGES(X)                            \
    X(MDR_HOLD_BEFORE, "before", "before the dye")    \
    X(MDR_HOLD_DYEING, "dyeing", "dye in the bath")   \
    X(MDR_HOLD_FIXING, "fixing", "alkali on the dye") \
    X(MDR_HOLD_AFTER, "after", "dyed, bath drained")
typedef enum mdr_hold_stage { MDR_HOLD_STAGES(MDR_BATH_MEMBER) } mdr_hold_stage;

/* Members that were not given hold their defaults. has_*: given. */
typedef struct mdr_hold_ask {
    int question; /* "hold" */
    mdr_check_kind check;
    double reading, low, high, expected;
    double liquor_l, load_kg, temp_c, retained_l_per_kg;
    double part_g_per_l[MDR_PART_COUNT];
    double ph; /* peroxide: of the bath */
    double loose_mg_per_kg, minutes_left, fix_temp_c;
    double liquor_max_l, temp_max_c;
    double alkalinity_mmol_per_l, water_dh; /* of the water */
    double acid_strength_pct, catalase_mg_per_g, sequestrant_mg_per_g;
    /* moisture: lot and dryer; 0: not known */
    double fabric_m, moisture_in_pct, moisture_out_pct, speed_m_per_min, speed_max_m_per_min;
    double oven_m, air_c, mj_per_kg;
    int failed; /* times before */
    mdr_bath_part acid;
    mdr_bath_reading reading_is;
    mdr_hold_stage stage;
    int dye_class; /* mdr_dye_class */
    bool has_low, has_high, has_expected, has_liquor, has_load, has_fabric, has_liquor_max,
        has_catalase, has_sequestrant;
} mdr_hold_ask;

/* Reads a question. Every fault goes to `found` (may be NULL), the first one to err.
 *   errors  MDR_E_PARSE, MDR_E_RANGE (place: the key); MDR_E_NOMEM */
mdr_code mdr_wire_hold_ask_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                                mdr_hold_ask *out, mdr_err *err) MDR_MUST_CHECK;

#endif
