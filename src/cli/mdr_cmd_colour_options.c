#include "cli/mdr_cmd_colour.h"

/* Which questions know it: as the document with the same members. */
enum {
#define X(member, key, of) OF_WORD_##member = (of),
    MDR_COLOUR_WORDS(X)
#undef X
#define X(member, key, least, most, n_least, n_most, of) OF_NUMBER_##member = (of),
        MDR_COLOUR_NUMBERS(X)
#undef X
#define X(member, key, of) OF_SWITCH_##member = (of),
            MDR_COLOUR_SWITCHES(X)
#undef X
};

#define WORD(member)   [MDR_COLOUR_WORD_##member]
#define NUMBER(member) [MDR_COLOUR_OPT_NUMBERS + MDR_COLOUR_NUMBER_##member]
#define SWITCH(member) [MDR_COLOUR_OPT_SWITCHES + MDR_COLOUR_SWITCH_##member]

/* name, value, words, key, questions, a word */
const mdr_own_opt mdr_colour_options[] = {
    WORD(STANDARD) = {"standard", "NAME", "the standard: name, id or #number in its file",
                      "standard", OF_WORD_STANDARD, true},
    WORD(SAMPLE) = {"sample", "NAME", "the sample, likewise; all (usual): every one", "sample",
                    OF_WORD_SAMPLE, true},
    WORD(SUBSTRATE) = {"substrate", "NAME", "strength: undyed fabric in the standard's file",
                       "substrate", OF_WORD_SUBSTRATE, true},
    WORD(SCALE) = {"scale", "SCALE", "fraction or percent, when the file leaves it open", "scale",
                   OF_WORD_SCALE, true},
    WORD(ILLUMINANTS) = {"illuminants", "D65,A", "lights, the main one first (D65)", "illuminants",
                         OF_WORD_ILLUMINANTS, true},
    WORD(FORMULA) = {"formula", "NAME", "cmc (usual), ciede2000, cie76, cie94 or din99", "formula",
                     OF_WORD_FORMULA, true},
    WORD(AXES) = {"axes", "AXES", "codes by lch (usual), lab or formula", "axes", OF_WORD_AXES,
                  true},
    NUMBER(OBSERVER) = {"observer", "DEGREE", "2 or 10 (10)", "observer", OF_NUMBER_OBSERVER,
                        false},
    NUMBER(L) = {"l", "L", "weight of lightness in the formula (cmc: 2)", "l", OF_NUMBER_L, false},
    NUMBER(C) = {"c", "C", "weight of chroma (1)", "c", OF_NUMBER_C, false},
    NUMBER(H) = {"h", "H", "weight of hue, where there is one (1)", "h", OF_NUMBER_H, false},
    NUMBER(TOLERANCE) = {"tolerance", "DE,DE", "limit, one or one for each light (1)", "tolerance",
                         OF_NUMBER_TOLERANCE, false},
    NUMBER(LIMIT_DL) = {"limit-l", "LOW,HIGH", "limits of dL* under the first light", "limit_dl",
                        OF_NUMBER_LIMIT_DL, false},
    NUMBER(LIMIT_DA) = {"limit-a", "LOW,HIGH", "of da*", "limit_da", OF_NUMBER_LIMIT_DA, false},
    NUMBER(LIMIT_DB) = {"limit-b", "LOW,HIGH", "of db*", "limit_db", OF_NUMBER_LIMIT_DB, false},
    NUMBER(LIMIT_DC) = {"limit-c", "LOW,HIGH", "of dC*", "limit_dc", OF_NUMBER_LIMIT_DC, false},
    NUMBER(LIMIT_DH) = {"limit-h", "LOW,HIGH", "of dH*", "limit_dh", OF_NUMBER_LIMIT_DH, false},
    NUMBER(STANDARD_LAB) = {"standard-lab", "L,A,B", "the standard's colour, without a file",
                            "standard_lab", OF_NUMBER_STANDARD_LAB, false},
    NUMBER(SAMPLE_LAB) = {"sample-lab", "L,A,B", "the sample's colour, without a file",
                          "sample_lab", OF_NUMBER_SAMPLE_LAB, false},
    NUMBER(MOST) = {"max", "DE", "group: largest difference within a group", "most_de",
                    OF_NUMBER_MOST, false},
    NUMBER(WIDTHS) = {"widths", "L,C,H", "codes: whole widths of a block along the axes", "widths",
                      OF_NUMBER_WIDTHS, false},
    NUMBER(FALLS) = {"falls", "1,2,3", "codes: axes whose digit falls as the value rises", "falls",
                     OF_NUMBER_FALLS, false},
    NUMBER(SPREAD) = {"max-spread", "DE", "level: limit of the distance from the mean", "spread_de",
                      OF_NUMBER_SPREAD, false},
    NUMBER(PAIR) = {"max-pair", "DE", "level: limit of the worst pair", "pair_de", OF_NUMBER_PAIR,
                    false},
    NUMBER(END) = {"max-end", "DE", "level: limit from end to end", "end_de", OF_NUMBER_END, false},
    NUMBER(SIDE) = {"max-side", "DE", "level: limit from side to side", "side_de", OF_NUMBER_SIDE,
                    false},
    SWITCH(REPEATS) = {"repeats", NULL, "samples of one name are readings to be averaged",
                       "repeats", OF_SWITCH_REPEATS, false},
    SWITCH(CODES) = {"codes", NULL, "three-digit codes too, with --widths", "codes",
                     OF_SWITCH_CODES, false},
    SWITCH(OUTWARD) = {"outward", NULL, "codes: on an edge, to the block further out", "outward",
                       OF_SWITCH_OUTWARD, false},
    SWITCH(STAINING) = {"staining", NULL, "fastness: staining of undyed fabric, not change",
                        "staining", OF_SWITCH_STAINING, false},
    [MDR_COLOUR_OPT_ILLUMINANT] = {"illuminant", "D65", "the same as --illuminants", "illuminants",
                                   OF_WORD_ILLUMINANTS, true},
    [MDR_COLOUR_OPT_COUNT] = {NULL, NULL, NULL, NULL, 0, false},
};
