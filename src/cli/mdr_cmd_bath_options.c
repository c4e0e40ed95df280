/* The options of `madder bath`: each a member of the question (docs/api.md). */

#include "cli/mdr_cmd_bath.h"

#define BIT(k)   (1u << (k))
#define PH       BIT(MDR_ASK_PH)
#define DOSE     BIT(MDR_ASK_DOSE)
#define PROBE    BIT(MDR_ASK_PROBE)
#define SAME     BIT(MDR_ASK_SAME_PH)
#define NEUTRAL  BIT(MDR_ASK_NEUTRALISE)
#define TITRATE  BIT(MDR_ASK_TITRATE)
#define HARDNESS BIT(MDR_ASK_HARDNESS)
#define SALT     BIT(MDR_ASK_SALT)
#define VAT      BIT(MDR_ASK_VAT)
#define RINSE    BIT(MDR_ASK_RINSE)
#define MIX      (PH | DOSE | PROBE | SAME | NEUTRAL)

/* name, value, words, key, questions, a word */
const mdr_own_opt mdr_bath_options[] = {
    {"temp", "C", "temperature of the bath", "temp_c", MIX | VAT, false},
    {"cold", "C", "temperature of the cooled sample (25)", "cold_c", PH | PROBE, false},
    {"soda", "G/L", "sodium carbonate; all g/L are of 100 %", "na2co3_g_per_l", MIX & ~SAME, false},
    {"soda", "G/L", "same-ph: soda alone", "soda_only_g_per_l", SAME, false},
    {"caustic", "G/L", "sodium hydroxide", "naoh_g_per_l", MIX | VAT, false},
    {"bicarb", "G/L", "sodium hydrogen carbonate", "nahco3_g_per_l", MIX, false},
    {"salt", "G/L", "common salt", "nacl_g_per_l", MIX, false},
    {"sulphate", "G/L", "sodium sulphate", "na2so4_g_per_l", MIX, false},
    {"sulphuric", "G/L", "sulphuric acid", "h2so4_g_per_l", MIX, false},
    {"acetic", "G/L", "acetic acid", "acetic_g_per_l", MIX, false},
    {"formic", "G/L", "formic acid", "formic_g_per_l", MIX, false},
    {"citric", "G/L", "citric acid", "citric_g_per_l", MIX, false},
    {"peroxide", "G/L", "hydrogen peroxide", "h2o2_g_per_l", MIX, false},
    {"dithionite", "G/L", "sodium dithionite", "dithionite_g_per_l", MIX | VAT, false},
    {"dose", "WHAT", "dose: naoh, na2co3, acetic, ...", "dose", DOSE, true},
    {"amount", "G/L", "dose: of the whole dose; salt: to be replaced", "amount_g_per_l",
     DOSE | SALT, false},
    {"points", "N", "dose: points of the curve (21)", "points", DOSE, false},
    {"curve", "CURVE", "dose: linear, progressive or degressive", "curve", DOSE, true},
    {"exponent", "X", "dose: of the curve (2 or 0.5)", "exponent", DOSE, false},
    {"minutes", "MIN", "dose, vat: how long", "minutes", DOSE | VAT, false},
    {"reading", "PH", "probe: what was read", "ph", PROBE, false},
    {"reading-is", "WHERE", "probe: cold (cooled sample) or bath", "reading_is", PROBE, true},
    {"unknown", "WHAT", "probe: naoh, na2co3, acetic, formic, citric or h2so4", "unknown", PROBE,
     true},
    {"mixed-soda", "G/L", "same-ph: soda of the mixed alkali", "soda_mixed_g_per_l", SAME, false},
    {"acid", "ACID", "acetic, formic, citric or h2so4", "acid", NEUTRAL | TITRATE, true},
    {"strength", "%", "of the acid as delivered (100)", "strength_pct", NEUTRAL | TITRATE, false},
    {"target-ph", "PH", "neutralise: the pH wanted (6.3)", "target_ph", NEUTRAL, false},
    {"liquor", "L", "liquor of the bath", "liquor_l", NEUTRAL | TITRATE | VAT, false},
    {"kind", "KIND", "titrate: peroxide, alkali, two_alkalis, dithionite or salt", "kind", TITRATE,
     true},
    {"sample", "ML", "titrate: bath in the flask", "sample_ml", TITRATE, false},
    {"titrant", "ML", "titrate: from the burette", "titrant_ml", TITRATE, false},
    {"normality", "EQ/L", "titrate: of the titrant", "titrant_eq_per_l", TITRATE, false},
    {"first-end", "ML", "titrate two_alkalis: up to phenolphthalein", "phenolphthalein_ml", TITRATE,
     false},
    {"second-end", "ML", "titrate two_alkalis: from the start to methyl orange", "methyl_orange_ml",
     TITRATE, false},
    {"substance", "WHAT", "titrate alkali: counted as naoh, na2co3 or nahco3", "substance", TITRATE,
     true},
    {"capacity", "MG/G", "of catalase: H2O2; of sequestrant: CaCO3", "capacity_mg_per_g",
     TITRATE | HARDNESS, false},
    {"water-dh", "DH", "hardness: of the water (0)", "water_dh", HARDNESS, false},
    {"calcium", "MG/KG", "hardness: of the cotton", "calcium_mg_per_kg", HARDNESS, false},
    {"magnesium", "MG/KG", "hardness: of the cotton", "magnesium_mg_per_kg", HARDNESS, false},
    {"released", "PART", "hardness: part that comes off, 0 to 1 (0.3)", "released_part", HARDNESS,
     false},
    {"product", "G/L", "hardness: sequestrant in the bath", "product_g_per_l", HARDNESS, false},
    {"allowed-dh", "DH", "hardness: free hardness allowed (0)", "allowed_dh", HARDNESS, false},
    {"ratio", "L/KG", "liquor ratio", "ratio_l_per_kg", HARDNESS | SALT | RINSE, false},
    {"from", "SALT", "salt: nacl, na2so4 or na2so4_10h2o", "from", SALT, true},
    {"to", "SALT", "salt: the one to take instead", "to", SALT, true},
    {"dye", "G/L", "vat: dye as delivered", "dye_g_per_l", VAT, false},
    {"load", "KG", "fabric", "load_kg", VAT | RINSE, false},
    {"machine", "KIND", "vat: winch, overflow, jet, air-flow or sample", "machine_kind", VAT, true},
    {"water-temp", "C", "vat: of the water let in (20)", "water_c", VAT, false},
    {"air", "G/KG/H", "vat: oxygen the rope draws in, g per kg and hour", "air_g_o2_per_kg_h", VAT,
     false},
    {"reserve", "G/L", "vat: dithionite to be left (1)", "reserve_g_per_l", VAT, false},
    {"dye-takes", "G/G", "vat: dithionite for 1 g of the dye (0.105)", "dithionite_per_dye_g_per_g",
     VAT, false},
    {"retained", "L/KG", "rinse: what the drained rope keeps", "retained_l_per_kg", RINSE, false},
    {"from", "G/L", "rinse: in the rope's liquor before", "start_g_per_l", RINSE, false},
    {"to", "G/L", "rinse: allowed after", "target_g_per_l", RINSE, false},
    {"flow", "L/MIN", "rinse: overflow", "flow_l_per_min", RINSE, false},
    {"fill", "L/MIN", "rinse: filling", "fill_l_per_min", RINSE, false},
    {"drain", "L/MIN", "rinse: draining", "drain_l_per_min", RINSE, false},
    {"run", "MIN", "rinse: circulation of each bath", "run_min", RINSE, false},
    {NULL, NULL, NULL, NULL, 0, false},
};
