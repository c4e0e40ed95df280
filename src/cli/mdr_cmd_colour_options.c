#include <stdio.h>

#include "cli/mdr_cmd_colour.h"

#define READ       (1u << MDR_COLOUR_READ)
#define DIFFERENCE (1u << MDR_COLOUR_DIFFERENCE)
#define WHITENESS  (1u << MDR_COLOUR_WHITENESS)
#define STRENGTH   (1u << MDR_COLOUR_STRENGTH)
#define FASTNESS   (1u << MDR_COLOUR_FASTNESS)
#define GROUP      (1u << MDR_COLOUR_GROUP)
#define LEVEL      (1u << MDR_COLOUR_LEVEL)
#define ALL        ((unsigned)MDR_COLOUR_ASK_ALL)
#define TWO        (DIFFERENCE | STRENGTH | FASTNESS)
#define JUDGED     (ALL & ~(WHITENESS | FASTNESS)) /* a formula of difference takes part */
#define LIT        (ALL & ~FASTNESS)

#define WORD(member)   [MDR_COLOUR_WORD_##member]
#define NUMBER(member) [MDR_COLOUR_OPT_NUMBERS + MDR_COLOUR_NUMBER_##member]
#define SWITCH(member) [MDR_COLOUR_OPT_SWITCHES + MDR_COLOUR_SWITCH_##member]

/* name, value, words, key, questions, a word */
const mdr_own_opt mdr_colour_options[] = {
    WORD(STANDARD) = {"standard", "NAME", "the standard: name, id or #number in its file",
                      "standard", TWO | GROUP, true},
    WORD(SAMPLE) = {"sample", "NAME", "the sample, likewise; all (usual): every one", "sample", TWO,
                    true},
    WORD(SUBSTRATE) = {"substrate", "NAME", "strength: undyed fabric in the standard's file",
                       "substrate", STRENGTH, true},
    WORD(SCALE) = {"scale", "SCALE", "fraction or percent, when the file leaves it open", "scale",
                   ALL, true},
    WORD(ILLUMINANTS) = {"illuminants", "D65,A", "lights, the main one first (D65)", "illuminants",
                         LIT, true},
    WORD(FORMULA) = {"formula", "NAME", "cmc (usual), ciede2000, cie76, cie94 or din99", "formula",
                     JUDGED, true},
    WORD(AXES) = {"axes", "AXES", "codes by lch (usual), lab or formula", "axes", GROUP, true},
    NUMBER(OBSERVER) = {"observer", "DEGREE", "2 or 10 (10)", "observer", LIT, false},
    NUMBER(L) = {"l", "L", "weight of lightness in the formula (cmc: 2)", "l", JUDGED, false},
    NUMBER(C) = {"c", "C", "weight of chroma (1)", "c", JUDGED, false},
    NUMBER(H) = {"h", "H", "weight of hue, where there is one (1)", "h", JUDGED, false},
    NUMBER(TOLERANCE) = {"tolerance", "DE,DE", "limit, one or one for each light (1)", "tolerance",
                         DIFFERENCE, false},
    NUMBER(LIMIT_DL) = {"limit-l", "LOW,HIGH", "limits of dL* under the first light", "limit_dl",
                        DIFFERENCE, false},
    NUMBER(LIMIT_DA) = {"limit-a", "LOW,HIGH", "of da*", "limit_da", DIFFERENCE, false},
    NUMBER(LIMIT_DB) = {"limit-b", "LOW,HIGH", "of db*", "limit_db", DIFFERENCE, false},
    NUMBER(LIMIT_DC) = {"limit-c", "LOW,HIGH", "of dC*", "limit_dc", DIFFERENCE, false},
    NUMBER(LIMIT_DH) = {"limit-h", "LOW,HIGH", "of dH*", "limit_dh", DIFFERENCE, false},
    NUMBER(STANDARD_LAB) = {"standard-lab", "L,A,B", "the standard's colour, without a file",
                            "standard_lab", DIFFERENCE | FASTNESS | GROUP, false},
    NUMBER(SAMPLE_LAB) = {"sample-lab", "L,A,B", "the sample's colour, without a file",
                          "sample_lab", DIFFERENCE | FASTNESS, false},
    NUMBER(MOST) = {"max", "DE", "group: largest difference within a group", "most_de", GROUP,
                    false},
    NUMBER(WIDTHS) = {"widths", "L,C,H", "codes: whole widths of a block along the axes", "widths",
                      GROUP, false},
    NUMBER(FALLS) = {"falls", "1,2,3", "codes: axes whose digit falls as the value rises", "falls",
                     GROUP, false},
    NUMBER(SPREAD) = {"max-spread", "DE", "level: limit of the distance from the mean", "spread_de",
                      LEVEL, false},
    NUMBER(PAIR) = {"max-pair", "DE", "level: limit of the worst pair", "pair_de", LEVEL, false},
    NUMBER(END) = {"max-end", "DE", "level: limit from end to end", "end_de", LEVEL, false},
    NUMBER(SIDE) = {"max-side", "DE", "level: limit from side to side", "side_de", LEVEL, false},
    SWITCH(REPEATS) = {"repeats", NULL, "samples of one name are readings to be averaged",
                       "repeats", ALL & ~LEVEL, false},
    SWITCH(CODES) = {"codes", NULL, "three-digit codes too, with --widths", "codes", GROUP, false},
    SWITCH(OUTWARD) = {"outward", NULL, "codes: on an edge, to the block further out", "outward",
                       GROUP, false},
    SWITCH(STAINING) = {"staining", NULL, "fastness: staining of undyed fabric, not change",
                        "staining", FASTNESS, false},
    [MDR_COLOUR_OPT_ILLUMINANT] = {"illuminant", "D65", "the same as --illuminants", "illuminants",
                                   LIT, true},
    [MDR_COLOUR_OPT_COUNT] = {NULL, NULL, NULL, NULL, 0, false},
};

void mdr_cmd_colour_questions(void)
{
    (void)puts(
        "\nQuestions; files are CSV, CGATS or CxF3 (docs/formats.md#spectra):\n"
        "  read FILE                        L*, a*, b*, C*, h of every sample, swatch, repeats\n"
        "  difference STANDARD [SAMPLES]    verdict under every light, parts, words, metamerism\n"
        "  whiteness FILE                   CIE whiteness and tint, yellowness\n"
        "  strength STANDARD [SAMPLES]      % of the standard by three definitions, --substrate\n"
        "  fastness ORIGINAL [TESTED]       grades of change, or with --staining of staining\n"
        "  group FILE --max DE              fewest groups of rolls, order for cutting, codes\n"
        "  level FILE                       spread, worst pair, end to end, side to side\n"
        "One file may hold standard and samples. Colours without a file: --standard-lab and "
        "--sample-lab.\n"
        "Example:  madder colour difference --standard-lab 40,20,-12 --sample-lab 40.4,20.9,-12.3");
}
