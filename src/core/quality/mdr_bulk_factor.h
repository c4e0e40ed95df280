/*
 * mdr_bulk_factor.h - laboratory to bulk: by how much the depth of a dye found right on the machine
 * differs from the recipe of the laboratory, by shade and machine, when the lots are few.
 *
 * Layer: core/quality (pure). Methods: docs/methods/laboratory-to-bulk.md
 *
 * One dye at a time. Every lot gives a pair: depth planned (the laboratory's), and depth found right
 * (with the additions, or what a recipe model makes of the measured colour). The logarithm of their
 * quotient is a cell's factor (shade x machine) and the lot's own scatter; cells scatter round their
 * machine, machines round the mill, the mill round 1. Each is drawn to the next by how much is known
 * of it, and says how much of it are its own lots.
 *
 * Nothing is applied here: mdr_bulk_use says what a recipe would be multiplied by when somebody asks
 * for it, and refuses factors that are no laboratory factor any more.
 *
 * Sources (keys of docs/sources.md)
 *   [dersimonian-laird]  spread between groups by moments
 *   [normal-normal]      drawing towards the mean, and what is left unknown
 *   [modified-z]         a lot that does not belong
 *   [common-practice]    what factors can be
 *
 * Symbols: y = ln(found/planned); s spread of a lot, tau spreads of cells and machines, all of y; a
 * factor multiplies the laboratory's depth.
 */
#ifndef MDR_BULK_FACTOR_H
#define MDR_BULK_FACTOR_H

#include <stdbool.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"

enum {
    MDR_BULK_LOTS_MAX = 20000,
    MDR_BULK_NUMBER_MAX = 1000000,
};

typedef struct mdr_bulk_lot {
    int shade, machine;            /* numbers of the caller, 0 .. MDR_BULK_NUMBER_MAX */
    double planned_pct, found_pct; /* % owf of the dye */
} mdr_bulk_lot;

/* Spreads to go by while the lots do not tell, each worth three degrees of freedom against what the
 * lots show. Standard deviations of y. */
typedef struct mdr_bulk_prior {
    double lot, cell, machine;
    double mill; /* of the mill's factor round 1; 0: nothing is known beforehand */
} mdr_bulk_prior;

/* 0.05, 0.05, 0.05, 0.15: invented, to be replaced as lots come in. */
mdr_bulk_prior mdr_bulk_usual(void);

/* X(enumerator, id, words): whose lots a factor rests on in the first place */
#define MDR_BULK_LEVELS(X)                                            \
    X(MDR_BULK_CELL, "cell", "of this shade on this machine")         \
    X(MDR_BULK_MACHINE, "machine", "of other shades on this machine") \
    X(MDR_BULK_MILL, "mill", "of other machines")

#define MDR_BULK_MEMBER(name, ...) name,
typedef enum mdr_bulk_level {
    MDR_BULK_LEVELS(MDR_BULK_MEMBER) MDR_BULK_LEVEL_COUNT
} mdr_bulk_level;
#undef MDR_BULK_MEMBER

const char *mdr_bulk_level_id(mdr_bulk_level l);
const char *mdr_bulk_level_words(mdr_bulk_level l);

/* How well a factor is known. */
typedef struct mdr_bulk_known {
    double factor, low, high; /* 95 % */
    double own_weight; /* of the lots of that level, 0 .. 1; the rest is what it is drawn to */
    int lots;          /* of that level, counted */
    mdr_bulk_level level;
} mdr_bulk_known;

typedef struct mdr_bulk_machine {
    mdr_bulk_known known; /* of the machine as such */
    mdr_bulk_known next;  /* of a shade that it has not dyed yet */
    int machine;
} mdr_bulk_machine;

typedef struct mdr_bulk_cell {
    mdr_bulk_known known;
    int shade, machine;
} mdr_bulk_cell;

typedef struct mdr_bulk {
    mdr_bulk_cell *cells;       /* by machine, then shade */
    mdr_bulk_machine *machines; /* by number */
    bool *left_out;             /* by lot: it does not belong to its shade or machine */
    mdr_bulk_known mill;        /* as such */
    mdr_bulk_known next;        /* of a machine that has not dyed yet */
    double lot_spread, cell_spread, machine_spread; /* of y */
    int lot_df, cell_df,
        machine_df; /* degrees of freedom they rest on, besides the prior's three */
    int n_cells, n_machines, n_left_out;
} mdr_bulk;

/* Whether a lot can be learned from: mdr_bulk_of refuses those that cannot. */
bool mdr_bulk_can(const mdr_bulk_lot *lot);

/*
 *   errors  MDR_E_ARG    n not 1 .. MDR_BULK_LOTS_MAX (place "n")
 *           MDR_E_RANGE  place "lots[i].field": depths not 0.0001 .. 20 % owf, more than fivefold
 *                        apart ("lots[i].found_pct"), a number outside; "prior.field": a spread not
 *                        0.001 .. 2; mill also 0
 *           MDR_E_NOMEM
 *   cost    O(n log n)
 */
mdr_code mdr_bulk_of(const mdr_bulk_lot *lots, int n, const mdr_bulk_prior *prior, mdr_arena *arena,
                     mdr_bulk *out, mdr_err *err) MDR_MUST_CHECK;

/* What is known of this shade on this machine: of the cell, else of the machine, else of the mill. */
mdr_bulk_known mdr_bulk_at(const mdr_bulk *bulk, int shade, int machine);

/* -- use -- */

/* X(enumerator, id, words) */
#define MDR_BULK_USES(X)                                                           \
    X(MDR_BULK_NOT_ASKED, "not_asked", "not applied: nobody asked for it")         \
    X(MDR_BULK_APPLIED, "applied", "applied")                                      \
    X(MDR_BULK_UNPROVEN, "unproven",                                               \
      "not applied: its 95 % range holds 1, the laboratory may be right as it is") \
    X(MDR_BULK_BEYOND, "beyond",                                                   \
      "not applied: so far from 1 is no factor; look for the cause in the laboratory")

#define MDR_BULK_MEMBER(name, ...) name,
typedef enum mdr_bulk_use_verdict {
    MDR_BULK_USES(MDR_BULK_MEMBER) MDR_BULK_USE_COUNT
} mdr_bulk_use_verdict;
#undef MDR_BULK_MEMBER

const char *mdr_bulk_use_id(mdr_bulk_use_verdict v);
const char *mdr_bulk_use_words(mdr_bulk_use_verdict v);

/* Factors that are applied; common practice. */
#define MDR_BULK_LEAST 0.7
#define MDR_BULK_MOST  1.4

typedef struct mdr_bulk_use {
    double multiply; /* 1 unless applied */
    mdr_bulk_use_verdict verdict;
} mdr_bulk_use;

/* `unproven_too`: whoever asks takes the best guess even when its range holds 1. */
mdr_bulk_use mdr_bulk_use_of(const mdr_bulk_known *known, bool asked, bool unproven_too);

/* The factor, its range, what it rests on and what became of it, in a sentence. NULL: no memory. */
const char *mdr_bulk_say(const mdr_bulk_known *known, const mdr_bulk_use *use, mdr_arena *arena);

#endif
