/*
 * mdr_app_colour.h - questions about measured cloth that need no mill: what colour it has, how far it
 * is from its standard, how white, how strong, how fast, which rolls go together, whether a lot is
 * level.
 *
 * Layer: app. Pure: what files hold is given. The numbers come from core/colour; every answer says
 * under which light, for which eye and by which formula. Answers as JSON: docs/formats.md#colour-as-json.
 */
#ifndef MDR_APP_COLOUR_H
#define MDR_APP_COLOUR_H

#include "app/mdr_sheet.h"
#include "core/colour/mdr_verdict.h"

/* X(member, word, what is answered) */
#define MDR_COLOUR_QUESTIONS(X)                                 \
    X(READ, "read", "Measured colours")                         \
    X(DIFFERENCE, "difference", "Difference from the standard") \
    X(WHITENESS, "whiteness", "Whiteness, tint and yellowness") \
    X(STRENGTH, "strength", "Strength against the standard")    \
    X(FASTNESS, "fastness", "Grey scale grades by measurement") \
    X(GROUP, "group", "Rolls that go together")                 \
    X(LEVEL, "level", "Level along and across the lot")

/* X(member, key): words that were given */
#define MDR_COLOUR_WORDS(X)   \
    X(STANDARD, "standard")   \
    X(SAMPLE, "sample")       \
    X(SUBSTRATE, "substrate") \
    X(SCALE, "scale") X(ILLUMINANTS, "illuminants") X(FORMULA, "formula") X(AXES, "axes")

/* X(member, key, least, most, how many numbers at least, at most); the key is also the place of a
 * fault */
#define MDR_COLOUR_NUMBERS(X)                        \
    X(OBSERVER, "observer", 2, 10, 1, 1)             \
    X(L, "l", 0.1, 10, 1, 1)                         \
    X(C, "c", 0.1, 10, 1, 1)                         \
    X(H, "h", 0.1, 10, 1, 1)                         \
    X(TOLERANCE, "tolerance", 1e-3, 100, 1, 8)       \
    X(LIMIT_DL, "limit_dl", -200, 200, 2, 2)         \
    X(LIMIT_DA, "limit_da", -200, 200, 2, 2)         \
    X(LIMIT_DB, "limit_db", -200, 200, 2, 2)         \
    X(LIMIT_DC, "limit_dc", -200, 200, 2, 2)         \
    X(LIMIT_DH, "limit_dh", -200, 200, 2, 2)         \
    X(STANDARD_LAB, "standard_lab", -200, 200, 3, 3) \
    X(SAMPLE_LAB, "sample_lab", -200, 200, 3, 3)     \
    X(MOST, "most_de", 1e-3, 100, 1, 1)              \
    X(WIDTHS, "widths", 1e-3, 100, 3, 3)             \
    X(FALLS, "falls", 1, 3, 1, 3)                    \
    X(SPREAD, "spread_de", 1e-3, 100, 1, 1)          \
    X(PAIR, "pair_de", 1e-3, 100, 1, 1)              \
    X(END, "end_de", 1e-3, 100, 1, 1)                \
    X(SIDE, "side_de", 1e-3, 100, 1, 1)

/* X(member, key): what is on or off */
#define MDR_COLOUR_SWITCHES(X) \
    X(REPEATS, "repeats") X(CODES, "codes") X(OUTWARD, "outward") X(STAINING, "staining")

typedef enum mdr_colour_question {
#define X(member, word, words) MDR_COLOUR_##member,
    MDR_COLOUR_QUESTIONS(X)
#undef X
        MDR_COLOUR_QUESTION_COUNT
} mdr_colour_question;

typedef enum mdr_colour_word {
#define X(member, key) MDR_COLOUR_WORD_##member,
    MDR_COLOUR_WORDS(X)
#undef X
        MDR_COLOUR_WORD_COUNT
} mdr_colour_word;

typedef enum mdr_colour_number {
#define X(member, key, least, most, n_least, n_most) MDR_COLOUR_NUMBER_##member,
    MDR_COLOUR_NUMBERS(X)
#undef X
        MDR_COLOUR_NUMBER_COUNT
} mdr_colour_number;

typedef enum mdr_colour_switch {
#define X(member, key) MDR_COLOUR_SWITCH_##member,
    MDR_COLOUR_SWITCHES(X)
#undef X
        MDR_COLOUR_SWITCH_COUNT
} mdr_colour_switch;

enum { MDR_COLOUR_LIST_MAX = 8, MDR_COLOUR_FILES_MAX = 2 };

typedef struct mdr_colour_list {
    double v[MDR_COLOUR_LIST_MAX];
    int n; /* 0: not given */
} mdr_colour_list;

typedef struct mdr_colour_file {
    const char *name; /* for messages */
    mdr_blob text;
} mdr_colour_file;

typedef struct mdr_colour_ask {
    mdr_colour_file file[MDR_COLOUR_FILES_MAX]; /* one: standard and samples are in it */
    const char *word[MDR_COLOUR_WORD_COUNT];    /* NULL: not given */
    mdr_colour_list number[MDR_COLOUR_NUMBER_COUNT];
    bool is[MDR_COLOUR_SWITCH_COUNT];
    mdr_colour_question question;
    int n_files;
} mdr_colour_ask;

/* "read"; members that a question does not know are not looked at. */
const char *mdr_colour_question_id(mdr_colour_question question);

/*
 * Answers one question. `found` (may be NULL) takes every fault of the files.
 *   errors  MDR_E_PARSE, MDR_E_RANGE, MDR_E_CONFLICT of a file: place FILE:LINE:COLUMN
 *           MDR_E_ARG, MDR_E_RANGE, MDR_E_NOTFOUND, MDR_E_CONFLICT of the question: place the key
 *           MDR_E_NOMEM
 */
mdr_code mdr_app_colour(const mdr_colour_ask *ask, mdr_arena *arena, mdr_err_list *found,
                        const mdr_sheet **out, mdr_err *err) MDR_MUST_CHECK;
/* The same as JSON. */
mdr_code mdr_app_colour_json(const mdr_colour_ask *ask, mdr_arena *arena, mdr_err_list *found,
                             mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* Everything an answer can rest on, for the test of the methods' pages. */
const mdr_answer_why *mdr_app_colour_whys(int *n);

#endif
