/*
 * mdr_colour_ask.h - the members of questions about measured cloth, and such a question with its
 * files in one document: {"do": "difference", "standard": "S-12", "tolerance": [1, 1.5],
 * "files": {"samples": {"name", "text"}, "standard_file": {...}}}.
 *
 * Layer: wire. Keys, types and which question knows what are read here; ranges are read where the
 * question is answered (app/mdr_app_colour.h). docs/api.md, POST /api/colour.
 */
#ifndef MDR_COLOUR_ASK_H
#define MDR_COLOUR_ASK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"
#include "wire/mdr_file_text.h"

/* X(member, word, what is answered) */
#define MDR_COLOUR_QUESTIONS(X)                                 \
    X(READ, "read", "Measured colours")                         \
    X(DIFFERENCE, "difference", "Difference from the standard") \
    X(WHITENESS, "whiteness", "Whiteness, tint and yellowness") \
    X(STRENGTH, "strength", "Strength against the standard")    \
    X(FASTNESS, "fastness", "Grey scale grades by measurement") \
    X(GROUP, "group", "Rolls that go together")                 \
    X(LEVEL, "level", "Level along and across the lot")

typedef enum mdr_colour_question {
#define X(member, word, words) MDR_COLOUR_##member,
    MDR_COLOUR_QUESTIONS(X)
#undef X
        MDR_COLOUR_QUESTION_COUNT
} mdr_colour_question;

/* Sets of questions, a bit each. */
enum {
    MDR_COLOUR_OF_READ = 1 << MDR_COLOUR_READ,
    MDR_COLOUR_OF_DIFFERENCE = 1 << MDR_COLOUR_DIFFERENCE,
    MDR_COLOUR_OF_WHITENESS = 1 << MDR_COLOUR_WHITENESS,
    MDR_COLOUR_OF_STRENGTH = 1 << MDR_COLOUR_STRENGTH,
    MDR_COLOUR_OF_FASTNESS = 1 << MDR_COLOUR_FASTNESS,
    MDR_COLOUR_OF_GROUP = 1 << MDR_COLOUR_GROUP,
    MDR_COLOUR_OF_LEVEL = 1 << MDR_COLOUR_LEVEL,
    MDR_COLOUR_OF_ALL = (1 << MDR_COLOUR_QUESTION_COUNT) - 1,
    MDR_COLOUR_OF_TWO = MDR_COLOUR_OF_DIFFERENCE | MDR_COLOUR_OF_STRENGTH | MDR_COLOUR_OF_FASTNESS,
    /* a formula of difference takes part */
    MDR_COLOUR_OF_JUDGED = MDR_COLOUR_OF_ALL & ~(MDR_COLOUR_OF_WHITENESS | MDR_COLOUR_OF_FASTNESS),
    MDR_COLOUR_OF_LIT = MDR_COLOUR_OF_ALL & ~MDR_COLOUR_OF_FASTNESS,
    MDR_COLOUR_OF_LABS = MDR_COLOUR_OF_DIFFERENCE | MDR_COLOUR_OF_FASTNESS
};

/* X(member, key, questions that know it): words that were given */
#define MDR_COLOUR_WORDS(X)                                          \
    X(STANDARD, "standard", MDR_COLOUR_OF_TWO | MDR_COLOUR_OF_GROUP) \
    X(SAMPLE, "sample", MDR_COLOUR_OF_TWO)                           \
    X(SUBSTRATE, "substrate", MDR_COLOUR_OF_STRENGTH)                \
    X(SCALE, "scale", MDR_COLOUR_OF_ALL)                             \
    X(ILLUMINANTS, "illuminants", MDR_COLOUR_OF_LIT)                 \
    X(FORMULA, "formula", MDR_COLOUR_OF_JUDGED)                      \
    X(AXES, "axes", MDR_COLOUR_OF_GROUP)

/* X(member, key, least, most, how many numbers at least, at most, questions that know it); the key
 * is also the place of a fault */
#define MDR_COLOUR_NUMBERS(X)                                                                  \
    X(OBSERVER, "observer", 2, 10, 1, 1, MDR_COLOUR_OF_LIT)                                    \
    X(L, "l", 0.1, 10, 1, 1, MDR_COLOUR_OF_JUDGED)                                             \
    X(C, "c", 0.1, 10, 1, 1, MDR_COLOUR_OF_JUDGED)                                             \
    X(H, "h", 0.1, 10, 1, 1, MDR_COLOUR_OF_JUDGED)                                             \
    X(TOLERANCE, "tolerance", 1e-3, 100, 1, 8, MDR_COLOUR_OF_DIFFERENCE)                       \
    X(LIMIT_DL, "limit_dl", -200, 200, 2, 2, MDR_COLOUR_OF_DIFFERENCE)                         \
    X(LIMIT_DA, "limit_da", -200, 200, 2, 2, MDR_COLOUR_OF_DIFFERENCE)                         \
    X(LIMIT_DB, "limit_db", -200, 200, 2, 2, MDR_COLOUR_OF_DIFFERENCE)                         \
    X(LIMIT_DC, "limit_dc", -200, 200, 2, 2, MDR_COLOUR_OF_DIFFERENCE)                         \
    X(LIMIT_DH, "limit_dh", -200, 200, 2, 2, MDR_COLOUR_OF_DIFFERENCE)                         \
    X(STANDARD_LAB, "standard_lab", -200, 200, 3, 3, MDR_COLOUR_OF_LABS | MDR_COLOUR_OF_GROUP) \
    X(SAMPLE_LAB, "sample_lab", -200, 200, 3, 3, MDR_COLOUR_OF_LABS)                           \
    X(MOST, "most_de", 1e-3, 100, 1, 1, MDR_COLOUR_OF_GROUP)                                   \
    X(WIDTHS, "widths", 1e-3, 100, 3, 3, MDR_COLOUR_OF_GROUP)                                  \
    X(FALLS, "falls", 1, 3, 1, 3, MDR_COLOUR_OF_GROUP)                                         \
    X(SPREAD, "spread_de", 1e-3, 100, 1, 1, MDR_COLOUR_OF_LEVEL)                               \
    X(PAIR, "pair_de", 1e-3, 100, 1, 1, MDR_COLOUR_OF_LEVEL)                                   \
    X(END, "end_de", 1e-3, 100, 1, 1, MDR_COLOUR_OF_LEVEL)                                     \
    X(SIDE, "side_de", 1e-3, 100, 1, 1, MDR_COLOUR_OF_LEVEL)

/* X(member, key, questions that know it): what is on or off */
#define MDR_COLOUR_SWITCHES(X)                                      \
    X(REPEATS, "repeats", MDR_COLOUR_OF_ALL & ~MDR_COLOUR_OF_LEVEL) \
    X(CODES, "codes", MDR_COLOUR_OF_GROUP)                          \
    X(OUTWARD, "outward", MDR_COLOUR_OF_GROUP)                      \
    X(STAINING, "staining", MDR_COLOUR_OF_FASTNESS)

typedef enum mdr_colour_word {
#define X(member, key, of) MDR_COLOUR_WORD_##member,
    MDR_COLOUR_WORDS(X)
#undef X
        MDR_COLOUR_WORD_COUNT
} mdr_colour_word;

typedef enum mdr_colour_number {
#define X(member, key, least, most, n_least, n_most, of) MDR_COLOUR_NUMBER_##member,
    MDR_COLOUR_NUMBERS(X)
#undef X
        MDR_COLOUR_NUMBER_COUNT
} mdr_colour_number;

typedef enum mdr_colour_switch {
#define X(member, key, of) MDR_COLOUR_SWITCH_##member,
    MDR_COLOUR_SWITCHES(X)
#undef X
        MDR_COLOUR_SWITCH_COUNT
} mdr_colour_switch;

enum { MDR_COLOUR_LIST_MAX = 8, MDR_COLOUR_FILES_MAX = 2 };

typedef struct mdr_colour_list {
    double v[MDR_COLOUR_LIST_MAX];
    int n; /* 0: not given */
} mdr_colour_list;

typedef struct mdr_colour_post {
    mdr_file_text samples, standard_file;    /* name NULL: not given */
    const char *word[MDR_COLOUR_WORD_COUNT]; /* NULL: not given */
    mdr_colour_list number[MDR_COLOUR_NUMBER_COUNT];
    bool is[MDR_COLOUR_SWITCH_COUNT];
    mdr_colour_question question;
} mdr_colour_post;

/* A number may stand for a list of one. Every fault goes to `found` (may be NULL), the first one to
 * err.
 *   errors  MDR_E_PARSE, MDR_E_RANGE (place: the key, or files.KEY.name); MDR_E_NOMEM */
mdr_code mdr_wire_colour_post_read(const char *text, size_t len, mdr_arena *arena,
                                   mdr_err_list *found, mdr_colour_post *out,
                                   mdr_err *err) MDR_MUST_CHECK;

#endif
