/*
 * mdr_sentence.h - a sentence that is put together piece by piece.
 * Layer: card, internal. Terminated after every call; what has no room is left out.
 */
#ifndef MDR_SENTENCE_H
#define MDR_SENTENCE_H

#include "base/mdr_err.h"
#include "card/mdr_words.h"

typedef struct mdr_sentence {
    char *out; /* MDR_WORDS_MAX */
    size_t used;
} mdr_sentence;

/* Empty. */
mdr_sentence mdr_sentence_begin(char *out);
void mdr_sentence_add(mdr_sentence *s, const char *fmt, ...) MDR_PRINTF(2, 3);
/* " · " when something stands before. */
void mdr_sentence_part(mdr_sentence *s);
/* With `least` to `most` decimals; a no-break space before the unit, "" for none. */
void mdr_sentence_number(mdr_sentence *s, double value, int least, int most, const char *unit);
/* The same with one decimal; what is there, but would print as 0, is "under 0.1". */
void mdr_sentence_trace(mdr_sentence *s, double value, const char *unit);
void mdr_sentence_volume(mdr_sentence *s, const mdr_plan *plan, mdr_fig_id id);

#endif
