/*
 * mdr_lang.h - the language catalogue: sentences by key, filled with parameters.
 *
 * Layer: base. Sentences stand in data/lang/ (key,text: en.csv, those of the hold points in hold.csv)
 * and are compiled in. In a sentence {0}, {1} ... stand for the parameters, in any order; "{{" is a
 * brace. What a language counts by (one bath, two baths) are keys of their own.
 */
#ifndef MDR_LANG_H
#define MDR_LANG_H

#include "base/mdr_arena.h"

/* The sentence of this key, or NULL. */
const char *mdr_lang_text(const char *key);

typedef enum mdr_lang_kind { MDR_LANG_END, MDR_LANG_STR, MDR_LANG_NUM } mdr_lang_kind;

/* A parameter: a text, or a number that is written with so many decimals. */
typedef struct mdr_lang_arg {
    mdr_lang_kind kind;
    int decimals;
    double number;
    const char *text;
} mdr_lang_arg;

static inline mdr_lang_arg mdr_lang_num(double number, int decimals)
{
    return (mdr_lang_arg){.kind = MDR_LANG_NUM, .number = number, .decimals = decimals};
}

static inline mdr_lang_arg mdr_lang_str(const char *text)
{
    return (mdr_lang_arg){.kind = MDR_LANG_STR, .text = text};
}

static inline mdr_lang_arg mdr_lang_end(void)
{
    return (mdr_lang_arg){.kind = MDR_LANG_END};
}

/* mdr_lang_say(arena, key, parameters ...): the sentence filled, whole however long; NULL: no memory.
 * Without places it is the catalogue's own text, and costs none. An unknown key gives the key, a
 * parameter that is not given stays visible: tests/cli/sentences.test.mjs finds both in the sources. */
const char *mdr_lang_say_args(mdr_arena *arena, const char *key, const mdr_lang_arg *args);
#define mdr_lang_say(arena, ...) MDR_LANG_SAY((arena), __VA_ARGS__, mdr_lang_end())
#define MDR_LANG_SAY(arena, key, ...) \
    mdr_lang_say_args((arena), (key), (const mdr_lang_arg[]){__VA_ARGS__})

#endif
