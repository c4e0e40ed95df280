/*
 * mdr_lang.h - the language catalogue: sentences by key, filled with parameters.
 *
 * Layer: base. Sentences stand in data/lang/en.csv (key,text) and are compiled in. In a sentence
 * {0}, {1} ... stand for the parameters; "{{" is a brace.
 */
#ifndef MDR_LANG_H
#define MDR_LANG_H

#include <stddef.h>

/* The sentence of this key, or NULL. */
const char *mdr_lang_text(const char *key);
/* Fills the sentence of `key` with the parameters, always terminated; returns the length written
 * (cut at a character border when out_size is short). An unknown key gives the key itself. */
int mdr_lang_fill(char *out, size_t out_size, const char *key, const char *const *params,
                  int n_params);

#endif
