/*
 * mdr_bath_ask.h - a question about a bath as it is asked: {"do": "ph", "temp_c": 60, ...}.
 *
 * Layer: wire. The command line and the HTTP server ask with the same document, so that what is
 * refused, and in which words, is the same for both. Keys and ranges: docs/api.md.
 * Every wrong key, type and range is reported; cross-checks that need chemistry are not made here.
 *
 * Units stand in the names; all g/L are of the 100 % substance in the bath.
 */
#ifndef MDR_BATH_ASK_H
#define MDR_BATH_ASK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"

/* X(enumerator, id, words) */
#define MDR_BATH_QUESTIONS(X)                                                  \
    X(MDR_BATH_PH, "ph", "pH of a bath")                                       \
    X(MDR_BATH_DOSE, "dose", "pH during a dose")                               \
    X(MDR_BATH_PROBE, "probe", "What a pH reading says")                       \
    X(MDR_BATH_SAME_PH, "same_ph", "Mixed alkali of the same pH")              \
    X(MDR_BATH_NEUTRALISE, "neutralise", "Acid that neutralises a bath")       \
    X(MDR_BATH_TITRATE, "titrate", "What a burette reading says")              \
    X(MDR_BATH_HARDNESS, "hardness", "Hardness of a bath and its sequestrant") \
    X(MDR_BATH_SALT, "salt", "One salt in place of another")                   \
    X(MDR_BATH_VAT, "vat", "Reserve of a vat")                                 \
    X(MDR_BATH_RINSE, "rinse", "Rinsing by fills or by overflow")

/* X(enumerator, word and beginning of its key, mdr_substance, words) */
#define MDR_BATH_PARTS(X)                                              \
    X(MDR_PART_NAOH, "naoh", MDR_SUB_NAOH, "caustic soda")             \
    X(MDR_PART_NA2CO3, "na2co3", MDR_SUB_NA2CO3, "soda")               \
    X(MDR_PART_NAHCO3, "nahco3", MDR_SUB_NAHCO3, "hydrogen carbonate") \
    X(MDR_PART_NACL, "nacl", MDR_SUB_NACL, "common salt")              \
    X(MDR_PART_NA2SO4, "na2so4", MDR_SUB_NA2SO4, "sodium sulphate")    \
    X(MDR_PART_H2SO4, "h2so4", MDR_SUB_H2SO4, "sulphuric acid")        \
    X(MDR_PART_ACETIC, "acetic", MDR_SUB_HAC, "acetic acid")           \
    X(MDR_PART_FORMIC, "formic", MDR_SUB_FORMIC, "formic acid")        \
    X(MDR_PART_CITRIC, "citric", MDR_SUB_CITRIC, "citric acid")        \
    X(MDR_PART_H2O2, "h2o2", MDR_SUB_H2O2, "peroxide")                 \
    X(MDR_PART_DITHIONITE, "dithionite", MDR_SUB_DITHIONITE, "dithionite")

#define MDR_BATH_CURVES(X)                                 \
    X(MDR_BATH_LINEAR, "linear", "evenly")                 \
    X(MDR_BATH_PROGRESSIVE, "progressive", "slowly first") \
    X(MDR_BATH_DEGRESSIVE, "degressive", "quickly first")

#define MDR_BATH_TITRATIONS(X)                                           \
    X(MDR_TITRATE_PEROXIDE, "peroxide", "peroxide by permanganate")      \
    X(MDR_TITRATE_ALKALI, "alkali", "alkali by acid")                    \
    X(MDR_TITRATE_TWO_ALKALIS, "two_alkalis", "two alkalis by two ends") \
    X(MDR_TITRATE_DITHIONITE, "dithionite", "dithionite by iodine")      \
    X(MDR_TITRATE_SALT, "salt", "common salt by silver")

#define MDR_BATH_SALTS(X)                           \
    X(MDR_SALT_NACL, "nacl", "common salt")         \
    X(MDR_SALT_NA2SO4, "na2so4", "sodium sulphate") \
    X(MDR_SALT_GLAUBER, "na2so4_10h2o", "Glauber's salt crystals")

#define MDR_BATH_MEMBER(name, ...) name,
typedef enum mdr_bath_question {
    MDR_BATH_QUESTIONS(MDR_BATH_MEMBER) MDR_BATH_COUNT
} mdr_bath_question;
typedef enum mdr_bath_part { MDR_BATH_PARTS(MDR_BATH_MEMBER) MDR_PART_COUNT } mdr_bath_part;
typedef enum mdr_bath_curve {
    MDR_BATH_CURVES(MDR_BATH_MEMBER) MDR_BATH_CURVE_COUNT
} mdr_bath_curve;
typedef enum mdr_bath_titration {
    MDR_BATH_TITRATIONS(MDR_BATH_MEMBER) MDR_TITRATION_COUNT
} mdr_bath_titration;
typedef enum mdr_bath_salt { MDR_BATH_SALTS(MDR_BATH_MEMBER) MDR_SALT_COUNT } mdr_bath_salt;
typedef enum mdr_bath_reading {
    MDR_READING_COLD,
    MDR_READING_BATH,
    MDR_READING_COUNT
} mdr_bath_reading;

/* Fields that a question does not have hold their defaults. has_*: given. */
typedef struct mdr_bath_ask {
    mdr_bath_question question;
    mdr_bath_part dose; /* dose: what is given */
    double temp_c, cold_c;
    double part_g_per_l[MDR_PART_COUNT];
    /* dose */
    double amount_g_per_l; /* salt too */
    int points;
    mdr_bath_curve curve;
    double exponent;
    double minutes; /* vat too */
    /* probe */
    double ph; /* what was read */
    mdr_bath_reading reading_is;
    mdr_bath_part unknown;
    /* same_ph */
    double soda_only_g_per_l, soda_mixed_g_per_l;
    /* neutralise, titrate */
    double liquor_l, strength_pct, target_ph;
    mdr_bath_part acid;
    /* titrate */
    mdr_bath_titration kind;
    double sample_ml, titrant_ml, titrant_eq_per_l, phenolphthalein_ml, methyl_orange_ml;
    /* titrate: mg H2O2 per g of catalase; hardness: mg CaCO3 per g of sequestrant */
    double capacity_mg_per_g;
    mdr_bath_part substance; /* which alkali the result counts */
    int machine_kind;        /* vat: mdr_machine_kind */
    /* hardness */
    double water_dh, calcium_mg_per_kg, magnesium_mg_per_kg, released_part, product_g_per_l;
    double allowed_dh, ratio_l_per_kg;
    /* salt */
    mdr_bath_salt from, to;
    /* vat */
    double dye_g_per_l, load_kg, water_c, air_g_o2_per_kg_h, reserve_g_per_l;
    double dithionite_per_dye_g_per_g;
    /* rinse */
    double retained_l_per_kg, start_g_per_l, target_g_per_l, flow_l_per_min, fill_l_per_min;
    double drain_l_per_min, run_min;
    bool has_exponent, has_minutes, has_liquor, has_acid, has_strength, has_capacity, has_ratio,
        has_air;
} mdr_bath_ask;

/* Reads a question. Every fault goes to `found` (may be NULL), the first one to err.
 *   errors  MDR_E_PARSE, MDR_E_RANGE (place: the key); MDR_E_NOMEM */
mdr_code mdr_wire_bath_ask_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                                mdr_bath_ask *out, mdr_err *err) MDR_MUST_CHECK;

/* Id, words, substance of each; NULL or MDR_SUB_OTHER for a value outside the list. */
const char *mdr_bath_question_id(mdr_bath_question q);
const char *mdr_bath_question_words(mdr_bath_question q);
const char *mdr_bath_part_id(mdr_bath_part p);
const char *mdr_bath_part_words(mdr_bath_part p);
int mdr_bath_part_substance(mdr_bath_part p);
const char *mdr_bath_salt_id(mdr_bath_salt s);
const char *mdr_bath_salt_words(mdr_bath_salt s);
const char *mdr_bath_curve_id(mdr_bath_curve c);
const char *mdr_bath_curve_words(mdr_bath_curve c);
const char *mdr_bath_titration_id(mdr_bath_titration t);
const char *mdr_bath_titration_words(mdr_bath_titration t);

#endif
