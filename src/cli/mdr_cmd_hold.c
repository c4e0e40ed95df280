/* A reading at a hold point, without a batch. */
#include "cli/mdr_cmd_hold.h"

#include <stdio.h>

#include "app/mdr_app_hold.h"
#include "cli/mdr_cmd_ask.h"

/* name, value, words, key, questions, a word */
const mdr_own_opt mdr_hold_options[] = {
    {"check", "KIND", "what was looked at; kinds and usual limits below", "check", MDR_HOLD_ASK_ALL,
     true},
    {"reading", "N", "what was read", "reading", MDR_HOLD_ASK_ALL, false},
    {"liquor", "L", "liquor in the vessel; all but moisture", "liquor_l", MDR_HOLD_ASK_ALL, false},
    {"low", "N", "least that passes (the usual limits)", "low", MDR_HOLD_ASK_ALL, false},
    {"high", "N", "most that passes", "high", MDR_HOLD_ASK_ALL, false},
    {"expected", "N", "what the plan foresees", "expected", MDR_HOLD_ASK_ALL, false},
    {"failed", "TIMES", "how often it failed before (0)", "failed", MDR_HOLD_ASK_ALL, false},
    {"temp", "C", "temperature of the bath (50)", "temp_c", MDR_HOLD_ASK_ALL, false},
    {"load", "KG", "fabric (an eighth of the liquor)", "load_kg", MDR_HOLD_ASK_ALL, false},
    {"retained", "L/KG", "liquor the drained rope keeps (2.5)", "retained_l_per_kg",
     MDR_HOLD_ASK_ALL, false},
    {"reading-is", "WHERE", "pH: cold (cooled sample) or bath", "reading_is", MDR_HOLD_ASK_ALL,
     true},
    {"bath-ph", "PH", "peroxide: pH of the bath", "ph", MDR_HOLD_ASK_ALL, false},
    {"stage", "STAGE", "before (the dye), dyeing, fixing or after", "stage", MDR_HOLD_ASK_ALL,
     true},
    {"class", "CLASS", "dye: reactive, direct or vat", "dye_class", MDR_HOLD_ASK_ALL, true},
    {"soda", "G/L", "in the bath as planned, 100 %", "na2co3_g_per_l", MDR_HOLD_ASK_ALL, false},
    {"caustic", "G/L", "likewise", "naoh_g_per_l", MDR_HOLD_ASK_ALL, false},
    {"bicarb", "G/L", "likewise", "nahco3_g_per_l", MDR_HOLD_ASK_ALL, false},
    {"salt", "G/L", "likewise, common salt", "nacl_g_per_l", MDR_HOLD_ASK_ALL, false},
    {"sulphate", "G/L", "likewise, sodium sulphate", "na2so4_g_per_l", MDR_HOLD_ASK_ALL, false},
    {"acetic", "G/L", "likewise", "acetic_g_per_l", MDR_HOLD_ASK_ALL, false},
    {"peroxide", "G/L", "likewise", "h2o2_g_per_l", MDR_HOLD_ASK_ALL, false},
    {"dithionite", "G/L", "likewise", "dithionite_g_per_l", MDR_HOLD_ASK_ALL, false},
    {"alkalinity", "MMOL/L", "hydrogen carbonate of the water (0)", "alkalinity_mmol_per_l",
     MDR_HOLD_ASK_ALL, false},
    {"water-dh", "DH", "hardness of the water (0)", "water_dh", MDR_HOLD_ASK_ALL, false},
    {"acid", "ACID", "at hand: acetic, formic, citric or h2so4 (acetic)", "acid", MDR_HOLD_ASK_ALL,
     true},
    {"strength", "%", "of the acid as delivered (80)", "acid_strength_pct", MDR_HOLD_ASK_ALL,
     false},
    {"catalase", "MG/G", "at hand: H2O2 that 1 g destroys", "catalase_mg_per_g", MDR_HOLD_ASK_ALL,
     false},
    {"sequestrant", "MG/G", "at hand: CaCO3 that 1 g holds", "sequestrant_mg_per_g",
     MDR_HOLD_ASK_ALL, false},
    {"loose", "MG/KG", "wash-off: loose dye by the plan", "loose_mg_per_kg", MDR_HOLD_ASK_ALL,
     false},
    {"left", "MIN", "redox: to the end of the bath", "minutes_left", MDR_HOLD_ASK_ALL, false},
    {"liquor-max", "L", "most the machine holds (a quarter more)", "liquor_max_l", MDR_HOLD_ASK_ALL,
     false},
    {"temp-max", "C", "hottest of the machine (98)", "temp_max_c", MDR_HOLD_ASK_ALL, false},
    {"fabric", "M", "moisture: length of the lot (3 m a kg)", "fabric_m", MDR_HOLD_ASK_ALL, false},
    {"moisture-in", "%", "moisture: into the dryer, on bone dry (75)", "moisture_in_pct",
     MDR_HOLD_ASK_ALL, false},
    {"moisture-out", "%", "moisture: wanted behind it (7)", "moisture_out_pct", MDR_HOLD_ASK_ALL,
     false},
    {"speed", "M/MIN", "moisture: of the dryer (25)", "speed_m_per_min", MDR_HOLD_ASK_ALL, false},
    {"speed-max", "M/MIN", "moisture: fastest of the dryer (60)", "speed_max_m_per_min",
     MDR_HOLD_ASK_ALL, false},
    {"oven", "M", "moisture: heated length", "oven_m", MDR_HOLD_ASK_ALL, false},
    {"air", "C", "moisture: air of the dryer (150)", "air_c", MDR_HOLD_ASK_ALL, false},
    {"heat", "MJ/KG", "moisture: heat for a kg of water (5)", "mj_per_kg", MDR_HOLD_ASK_ALL, false},
    {NULL, NULL, NULL, NULL, 0, false},
};

static void notes(void)
{
    (void)puts("\nKinds, and the limits when none are given:\n"
               "  ph, core-ph   6 to 7            level        at most 0.5 CMC(2:1)\n"
               "  peroxide      at most 5 mg/L    shade        at most 1.0 CMC(2:1)\n"
               "  absorbency    at most 5 s       reduction    at least grade 4\n"
               "  whiteness     at least W10 60   redox        at most -750 mV\n"
               "  hardness      at most 5 dH      salt         none: give --low or --high, g/L\n"
               "  weight-loss   3 to 6 %          wash-off     at least grade 4\n"
               "  moisture      6 to 9 %\n"
               "Example:  madder hold --check ph --reading 9.5 --liquor 8000 --temp 45");
}

const mdr_command_more mdr_hold_more = {notes, NULL};

static const char *const PLACES[] = {"hold"};
static const mdr_ask_desk DESK = {.command = "hold",
                                  .places = PLACES,
                                  .n_places = 1,
                                  .options = mdr_hold_options,
                                  .answer = mdr_app_hold,
                                  .json = mdr_app_hold_json};

int mdr_cmd_hold(mdr_cli *c)
{
    return mdr_cmd_ask(c, &DESK, 0);
}
