/* Can a fabric meet a specification. */
#include "cli/mdr_cmd_fabric.h"

#include <stdio.h>

#include "app/mdr_app_fabric.h"
#include "cli/mdr_cmd_ask.h"

#define KNITTED   (1u << MDR_FABRIC_ASK_KNITTED)
#define WASHED    (1u << MDR_FABRIC_ASK_WASHED)
#define BOTH      (KNITTED | WASHED)
#define CONSTANTS (1u << MDR_FABRIC_ASK_CONSTANTS)
#define SAMPLES   "N,N,..."

/* name, value, words, key, questions, a word */
const mdr_own_opt mdr_fabric_options[] = {
    {"construction", "WHAT", "single-jersey, rib-1x1, interlock, pique or fleece", "construction",
     KNITTED | CONSTANTS, true},
    {"ne", "NE", "count of the yarn, English; or --tex", "ne", KNITTED | CONSTANTS, false},
    {"tex", "TEX", "count of the yarn, tex", "tex", KNITTED | CONSTANTS, false},
    {"loop", "CM", "loop length of one needle loop", "loop_cm", KNITTED, false},
    {"needles", "N", "of the cylinder; or --gauge and --diameter", "needles", KNITTED, false},
    {"gauge", "N/INCH", "needles per inch", "gauge_per_inch", KNITTED, false},
    {"diameter", "INCH", "of the cylinder", "diameter_inch", KNITTED, false},
    {"feeders", "N", "of the machine, for the spirality", "feeders", KNITTED, false},
    {"elastane", "%", "of the mass of the fabric (0)", "elastane_pct", KNITTED, false},
    {"relaxed-gsm", "G/M2", "washed: weight of the washed and tumbled sample", "relaxed_gsm",
     WASHED, false},
    {"relaxed-width", "CM", "washed: its full open width", "relaxed_width_cm", WASHED, false},
    {"gsm", "G/M2", "weight asked for", "gsm", BOTH, false},
    {"gsm-tol", "%", "its tolerance, both ways (5)", "gsm_tol_pct", BOTH, false},
    {"width", "CM", "full open width asked for", "width_cm", BOTH, false},
    {"width-tol", "CM", "its tolerance, both ways (2.54)", "width_tol_cm", BOTH, false},
    {"length-shrink", "%", "length shrinkage, at most", "length_shrink_pct", BOTH, false},
    {"width-shrink", "%", "width shrinkage, at most", "width_shrink_pct", BOTH, false},
    {"growth", "%", "growth in washing that is accepted (2)", "growth_pct", BOTH, false},
    {"spirality", "%", "spirality, at most", "spirality_pct", KNITTED, false},
    {"torque", "%", "what the twist of the yarn adds to it", "torque_pct", KNITTED, false},
    {"map-frames", "N", "with --json: the map for so many loop lengths, odd", "map_frames", BOTH,
     false},
    {"map-loop", "%", "with --map-frames: so far below and above (10)", "map_loop_pct", BOTH,
     false},
    {"loops", SAMPLES, "constants: loop lengths of the washed samples, cm", "sample_loop_cm",
     CONSTANTS, false},
    {"courses", SAMPLES, "constants: their courses per cm, one face", "sample_courses_per_cm",
     CONSTANTS, false},
    {"wales", SAMPLES, "constants: their wales per cm, one face", "sample_wales_per_cm", CONSTANTS,
     false},
    {"weights", SAMPLES, "constants: their g/m2", "sample_gsm", CONSTANTS, false},
    {"counts", SAMPLES, "constants: their yarns, Ne, when they differ", "sample_ne", CONSTANTS,
     false},
    {NULL, NULL, NULL, NULL, 0, false},
};

static const char *const PLACES[MDR_FABRIC_ASK_COUNT] = {
    [MDR_FABRIC_ASK_KNITTED] = "knitted",
    [MDR_FABRIC_ASK_WASHED] = "washed",
    [MDR_FABRIC_ASK_CONSTANTS] = "constants",
};

static void notes(void)
{
    (void)puts("\nQuestions, and what each needs besides --gsm --width --length-shrink\n"
               "--width-shrink:\n"
               "  knitted       --construction --ne --loop --needles: from how it is knitted\n"
               "  washed        --relaxed-gsm --relaxed-width: from a washed sample, the better\n"
               "  constants     --construction --ne --loops --courses --wales --weights,\n"
               "                nothing else: the mill's own, from washed samples\n"
               "Example:  madder fabric knitted --construction single-jersey --ne 30 \\\n"
               "              --loop 0.29 --needles 2640 --gsm 150 --width 180 \\\n"
               "              --length-shrink 5 --width-shrink 5");
}

static const char *first(int i)
{
    return i < MDR_FABRIC_ASK_COUNT ? PLACES[i] : NULL;
}

const mdr_command_more mdr_fabric_more = {notes, first};

static const mdr_ask_desk DESK = {.command = "fabric",
                                  .places = PLACES,
                                  .n_places = MDR_FABRIC_ASK_COUNT,
                                  .options = mdr_fabric_options,
                                  .answer = mdr_app_fabric,
                                  .json = mdr_app_fabric_json};

int mdr_cmd_fabric(mdr_cli *c)
{
    return mdr_cmd_ask_named(c, &DESK);
}
