/*
 * mdr_shade_words.h - a colour difference in the words of the trade: "darker, redder, duller".
 *
 * Rule (docs/methods/shade.md#words)
 *   lighter, darker      by dL*
 *   brighter, duller     by dC*: more or less chroma
 *   redder .. bluer      by dH*: towards which of the four the hue has turned. Turning with rising
 *                        angle goes red, yellow, green, blue, red; which comes next is told by the
 *                        standard's own hue.
 * A colour below MDR_GREY_CHROMA (mean of both) has no hue to turn and no brightness to lose: there
 * the cast is named by da* (redder, greener) and db* (yellower, bluer) instead.
 * A part is named when its weighted size is at least MDR_WORD_SHARE of the difference and at least
 * MDR_WORD_LEAST; the largest comes first.
 *
 * Layer: core/colour (pure). Source: common practice; the limits are invented.
 */
#ifndef MDR_SHADE_WORDS_H
#define MDR_SHADE_WORDS_H

#include "core/colour/mdr_difference.h"

#define MDR_GREY_CHROMA 5.0 /* C*, invented: below it a difference of hue is one of cast */
#define MDR_WORD_SHARE  0.3 /* of the difference, invented */
#define MDR_WORD_LEAST  0.1 /* weighted, invented: below what an eye sees */

typedef enum mdr_shade_word {
    MDR_WORD_LIGHTER,
    MDR_WORD_DARKER,
    MDR_WORD_BRIGHTER,
    MDR_WORD_DULLER,
    MDR_WORD_REDDER,
    MDR_WORD_GREENER,
    MDR_WORD_YELLOWER,
    MDR_WORD_BLUER,
    MDR_WORD_COUNT
} mdr_shade_word;

enum { MDR_WORDS_MOST = 3 };

typedef struct mdr_shade_words {
    int n;
    mdr_shade_word word[MDR_WORDS_MOST];
} mdr_shade_words;

/* "redder"; an id for the language catalogue as well. */
const char *mdr_shade_word_id(mdr_shade_word word);
/* What the sample is, seen from the standard; `d` from mdr_difference_of for the same two. */
mdr_shade_words mdr_shade_words_of(mdr_lab standard, mdr_lab sample, const mdr_difference *d);

#endif
