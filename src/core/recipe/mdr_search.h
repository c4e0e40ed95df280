/*
 * mdr_search.h - all recipes of up to four dyes for a standard, the useful ones first; and when none
 * reaches it, how near one comes and what is in the way.
 *
 * Layer: core/recipe (pure, no threads). Methods: docs/methods/recipe-search.md#ranking
 *
 * A caller with several threads makes the search, runs the sets of one size in parts
 * (mdr_search_span, mdr_search_run), waits, goes on to the next size, and then ranks. One
 * call, mdr_search_recipes, does all of it on one thread.
 *
 * Symbols: depth % owf as weighed; money of whatever kind the prices are in.
 *
 * Sources (keys of docs/sources.md)
 *   [definition]       differences, cost, spreads
 *   [common-practice]  what makes dyes go well together: like exhaustion, like fixation
 */
#ifndef MDR_SEARCH_H
#define MDR_SEARCH_H

#include "core/recipe/mdr_match.h"

enum { MDR_SEARCH_SHOWN_MAX = 500, MDR_CHOICES_MAX = 64 };

/* What is known of a dye besides its colour. Fastness by grade: light 1 .. 8, others 1 .. 5. */
typedef enum mdr_fastness {
    MDR_FASTNESS_LIGHT,
    MDR_FASTNESS_WASH,
    MDR_FASTNESS_RUB,
    MDR_FASTNESS_COUNT
} mdr_fastness;

typedef struct mdr_dye_facts {
    double price_per_kg;                 /* as delivered; 0: not known */
    double exhaustion_pct, fixation_pct; /* 0: not known */
    double fastness[MDR_FASTNESS_COUNT]; /* 0: not known */
    double stock_kg;
    bool stock_known;
} mdr_dye_facts;

typedef enum mdr_choice_rule { MDR_CHOICE_MAY, MDR_CHOICE_MUST, MDR_CHOICE_NEVER } mdr_choice_rule;

typedef struct mdr_choice {
    mdr_dye dye;
    mdr_dye_facts facts[MDR_COMBO_MAX]; /* of each part */
    mdr_choice_rule rule;
} mdr_choice;

/* What counts how much in the order: points for one unit of each. Defaults invented. */
typedef struct mdr_rank_weights {
    double difference;           /* of D1; 1 */
    double metamerism;           /* of the worst difference under another light; 0.3 */
    double cost;                 /* of money per kg of fabric; 0: not counted */
    double exhaustion, fixation; /* of 1 % of spread; 0.01 each */
    double dye;                  /* of every dye in the recipe; 0.05 */
} mdr_rank_weights;
mdr_rank_weights mdr_rank_weights_usual(void);

typedef struct mdr_search_in {
    const mdr_cloth *cloth;
    const mdr_target *shade;
    const mdr_choice *choices;
    int n;
    int dyes_max;               /* in one recipe, parts counted; 1 .. 4 */
    double tolerance;           /* of D1 */
    double weigh_least_pct_owf; /* least that can be weighed for this lot; 0: anything */
    double lot_kg;              /* for the stock; 0: stock is not looked at */
    double fastness_least[MDR_FASTNESS_COUNT]; /* 0: not asked */
    mdr_rank_weights weights;
} mdr_search_in;

/* What speaks against a recipe; a set of bits. id of each for JSON and catalogue. */
#define MDR_RECIPE_FLAGS(X)                              \
    X(MDR_RECIPE_OFF_SHADE, "off_shade")                 \
    X(MDR_RECIPE_NOT_WEIGHABLE, "below_least_weighable") \
    X(MDR_RECIPE_SHORT_STOCK, "short_of_stock")          \
    X(MDR_RECIPE_FASTNESS, "fastness_below_asked")       \
    X(MDR_RECIPE_BEYOND, "beyond_last_rung")             \
    X(MDR_RECIPE_AT_LIMIT, "at_depth_limit")             \
    X(MDR_RECIPE_UNSETTLED, "not_converged")
#define X(name, id) name##_BIT,
typedef enum mdr_recipe_bit { MDR_RECIPE_FLAGS(X) MDR_RECIPE_BIT_COUNT } mdr_recipe_bit;
#undef X
#define X(name, id) name = 1 << name##_BIT,
typedef enum mdr_recipe_flag { MDR_RECIPE_FLAGS(X) } mdr_recipe_flag;
#undef X
/* id of one bit, 0 .. MDR_RECIPE_BIT_COUNT - 1; NULL outside. */
const char *mdr_recipe_flag_id(int bit);

typedef struct mdr_recipe {
    int n;                               /* choices in it */
    int choice[MDR_COMBO_MAX];           /* index into in->choices, rising */
    double depth_pct_owf[MDR_COMBO_MAX]; /* of each one's first part */
    mdr_curve curve;                     /* predicted */
    double de[MDR_LIGHTS_MAX];           /* under every light of the shade */
    double worst_other_de;               /* 0 with one light only */
    int worst_light;
    double objective, tie;
    double cost_per_kg; /* of fabric; parts without a price add nothing, see price_missing */
    bool price_missing;
    double exhaustion_spread_pct, fixation_spread_pct; /* largest less least that are known */
    double fastness[MDR_FASTNESS_COUNT]; /* worst of the dyes that are known; 0: none is */
    double least_depth_pct_owf;          /* smallest dose of any part */
    unsigned flags;                      /* of mdr_recipe_flag */
    double score;                        /* least is best, among recipes with as many flags */
} mdr_recipe;

/* What stands between the nearest recipe and the standard. */
#define MDR_OBSTACLES(X)                             \
    X(MDR_OBSTACLE_NONE, "none")                     \
    X(MDR_OBSTACLE_DEPTH, "depth_limit")             \
    X(MDR_OBSTACLE_CLOTH, "cloth_darker_than_shade") \
    X(MDR_OBSTACLE_LIGHTER, "cannot_get_lighter")    \
    X(MDR_OBSTACLE_DARKER, "cannot_get_darker")      \
    X(MDR_OBSTACLE_BRIGHTER, "cannot_get_brighter")  \
    X(MDR_OBSTACLE_DULLER, "cannot_get_duller")      \
    X(MDR_OBSTACLE_HUE, "hue_out_of_reach")
#define X(name, id) name,
typedef enum mdr_obstacle { MDR_OBSTACLES(X) MDR_OBSTACLE_COUNT } mdr_obstacle;
#undef X
const char *mdr_obstacle_id(mdr_obstacle o); /* NULL for a value outside the list */

typedef struct mdr_search_out {
    int sets;      /* solved */
    int reached;   /* within the tolerance, permitted, every dye of use */
    int unsettled; /* of all sets: not converged */
    int shown;
    mdr_recipe *recipes; /* in the arena, best first: fewest flags, then least score */
    mdr_recipe nearest;  /* of all permitted ones the least D1; without dye when none is of use */
    mdr_difference nearest_parts;
    mdr_obstacle obstacle; /* MDR_OBSTACLE_NONE when the tolerance is met */
    int obstacle_choice;   /* for MDR_OBSTACLE_DEPTH: which choice is at its limit; else -1 */
} mdr_search_out;

typedef struct mdr_search mdr_search;

/*
 *   errors  MDR_E_ARG    n or dyes_max ("choices", "dyes_max"); more dyes that must be in it than
 *                        may be, or none left ("choices"); and those of mdr_match_dyes, where
 *                        i of "dyes[i]" counts the choices that are not forbidden
 *           MDR_E_RANGE  tolerance not in (0, 100], a mass or a depth below 0
 *           MDR_E_NOMEM
 */
mdr_code mdr_search_make(const mdr_search_in *in, mdr_arena *arena, mdr_search **out,
                         mdr_err *err) MDR_MUST_CHECK;
/* Numbers of the sets with this many choices: from *first to before *last. */
void mdr_search_span(const mdr_search *s, int size, int *first, int *last);
/* Solves sets first .. last - 1; all smaller sizes must be done. Any part by any thread. */
void mdr_search_run(mdr_search *s, int first, int last);
/* After all sizes. shown 1 .. MDR_SEARCH_SHOWN_MAX, else MDR_E_ARG ("shown"). What is shown has
 * been solved once more from every start. */
mdr_code mdr_search_rank(mdr_search *s, int shown, mdr_arena *arena, mdr_search_out *out,
                         mdr_err *err) MDR_MUST_CHECK;
/* All of it, on one thread. 30 dyes: under 0.1 s by CMC. */
mdr_code mdr_search_recipes(const mdr_search_in *in, int shown, mdr_arena *arena,
                            mdr_search_out *out, mdr_err *err) MDR_MUST_CHECK;

#endif
