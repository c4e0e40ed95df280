/*
 * mdr_hold.h - a reading at a hold point: go on, correct or stop; and each correction as steps with
 * kilograms, litres, minutes and degrees, reckoned from the reading.
 *
 * Layer: core/run (pure). For the operator at the machine (what do I do now), the technologist (who
 * approves it and asks why) and the desk without a batch.
 * Methods: docs/methods/hold-points.md
 *
 * A verdict is a result, never an error. A remedy is reckoned on a model of the vessel: what the plan
 * says is in it, corrected so that it reads what was read; each step then changes it, and what the
 * check is expected to read afterwards is read off the model. Nothing here is done by itself: a
 * remedy is an offer that a person approves.
 *
 * The steps of a remedy end before the check is read again; the check itself stays in the plan.
 *
 * Sources (keys of docs/sources.md): each figure names its own; limits and times that no source has
 * printed are [common-practice], [from-memory] or [invented] and say so.
 * Symbols: kg of the product as delivered, L, min, degC, g/L of 100 % substance.
 */
#ifndef MDR_HOLD_H
#define MDR_HOLD_H

#include "core/recipe/mdr_correct.h"
#include "core/run/mdr_control.h"

/* Every sentence of a hold stands in the catalogue, data/lang/hold.csv: hold.verdict.pass ... */
#define MDR_HOLD_VERDICTS(X)       \
    X(MDR_HOLD_PASS, "pass")       \
    X(MDR_HOLD_CORRECT, "correct") \
    X(MDR_HOLD_STOP, "stop")

/* Who may approve a remedy: X(enumerator, id, word). */
#define MDR_HOLD_ROLES(X)                                       \
    X(MDR_HOLD_BY_OPERATOR, "operator", "Operator")             \
    X(MDR_HOLD_BY_TECHNOLOGIST, "technologist", "Technologist") \
    X(MDR_HOLD_BY_QUALITY, "quality", "Quality")

/* Their titles: remedy.acid ..., data/lang/en.csv. */
#define MDR_REMEDIES(X)                          \
    X(MDR_REMEDY_RUN_ON, "run-on")               \
    X(MDR_REMEDY_ACID, "acid")                   \
    X(MDR_REMEDY_ALKALI, "alkali")               \
    X(MDR_REMEDY_RINSE, "rinse")                 \
    X(MDR_REMEDY_CATALASE, "catalase")           \
    X(MDR_REMEDY_SEQUESTER, "sequester")         \
    X(MDR_REMEDY_DEMINERALISE, "demineralise")   \
    X(MDR_REMEDY_SALT, "salt")                   \
    X(MDR_REMEDY_DILUTE, "dilute")               \
    X(MDR_REMEDY_RESCOUR, "re-scour")            \
    X(MDR_REMEDY_REBLEACH, "re-bleach")          \
    X(MDR_REMEDY_INACTIVATE, "inactivate")       \
    X(MDR_REMEDY_DYE_MASS, "dye-mass")           \
    X(MDR_REMEDY_LEVEL_HEAT, "level-heat")       \
    X(MDR_REMEDY_LEVEL_AGENT, "level-agent")     \
    X(MDR_REMEDY_REDUCER, "reducer")             \
    X(MDR_REMEDY_HOT_BATHS, "hot-baths")         \
    X(MDR_REMEDY_FIXING, "fixing")               \
    X(MDR_REMEDY_SHADE_ADD, "shade-add")         \
    X(MDR_REMEDY_SOAP, "soap-down")              \
    X(MDR_REMEDY_STRIP_PART, "strip-part")       \
    X(MDR_REMEDY_STRIP_FULL, "strip-full")       \
    X(MDR_REMEDY_DRY_AGAIN, "dry-again")         \
    X(MDR_REMEDY_DRY_SPEED, "dry-speed")         \
    X(MDR_REMEDY_TAKE_MOISTURE, "take-moisture") \
    X(MDR_REMEDY_STEAM, "steam")

typedef enum mdr_hold_verdict { MDR_HOLD_VERDICTS(MDR_ENUM_MEMBER) } mdr_hold_verdict;
typedef enum mdr_hold_role { MDR_HOLD_ROLES(MDR_ENUM_MEMBER) } mdr_hold_role;
typedef enum mdr_remedy_kind { MDR_REMEDIES(MDR_ENUM_MEMBER) MDR_REMEDY_COUNT } mdr_remedy_kind;

/* Id and words of each; NULL for a value outside the list. */
const char *mdr_hold_verdict_id(mdr_hold_verdict k);
const char *mdr_hold_verdict_words(mdr_hold_verdict k);
const char *mdr_hold_role_id(mdr_hold_role k);
const char *mdr_hold_role_words(mdr_hold_role k);
const char *mdr_remedy_id(mdr_remedy_kind k);
const char *mdr_remedy_words(mdr_remedy_kind k);
/* Words of the remedy with this id; the id itself when there is none ("" of old records). */
const char *mdr_remedy_words_of(const char *id);

/* Rules of the hold points; those of a plan (mdr_rules.def) are named by their own ids beside them. */
typedef enum mdr_hold_rule {
#define MDR_HOLD_RULE(name, id, title, words, source, anchor) name,
#include "core/run/mdr_hold_rules.def"
#undef MDR_HOLD_RULE
    MDR_HOLD_RULE_COUNT
} mdr_hold_rule;

/* Why a figure is what it is: the rule, and the rule with this remedy's numbers in it. */
typedef struct mdr_hold_why {
    const char *id, *title, *words, *source, *anchor; /* anchor below docs/methods */
    const char *working; /* "(25 - 1) mg/L x 8000 L / 1500 mg/g = 0.128 kg" */
} mdr_hold_why;
/* Without working; NULL for a value outside the list. */
const mdr_hold_why *mdr_hold_rule_of(mdr_hold_rule rule);

/* What the colour engine found on the sample (mdr_correct.h), as far as a decision needs it. */
typedef struct mdr_hold_shade {
    int n; /* dyes of the recipe; 1 .. MDR_COMBO_MAX */
    const mdr_material *dye[MDR_COMBO_MAX];
    double depth_pct_owf[MDR_COMBO_MAX]; /* of the recipe */
    double add_pct_owf[MDR_COMBO_MAX];   /* best addition */
    double after_de;                     /* predicted, after it */
    double dl;                           /* of the sample from the standard; below 0: darker */
    double strength_pct;                 /* dye that works on the cloth, % of the recipe */
    mdr_way way;
    int n_additions; /* made already */
} mdr_hold_shade;

/* From the correction and the recipe it was asked for: `c->n` dyes. */
mdr_hold_shade mdr_hold_shade_of(const mdr_correct *c, const mdr_recipe_dye *recipe,
                                 int n_additions);

enum { MDR_HOLD_STEPS_MAX = 48, MDR_HOLD_REMEDIES_MAX = 4, MDR_HOLD_LINES_MAX = 10 };

typedef struct mdr_hold_in {
    const mdr_control_check *check;
    const mdr_control_state *state;
    const mdr_machine *machine;
    const mdr_site *site;
    const mdr_material *const *materials; /* at hand */
    int n_materials;
    const mdr_hold_shade *shade; /* shade: NULL while the sample has not been measured */
    const char *shade_unknown;   /* it was, and nothing follows from it: why, one line; else NULL */
    double reading;
    double ph; /* peroxide: pH of the bath where it was read, else 0: as the plan reckons */
    int64_t reading_seq, judged_seq; /* event of this reading; of the last one judged; 0: none */
    int n_failed;                    /* times this check failed before this reading */
    int bath;                        /* number of the bath */
    int remedy_number; /* 1..: the batch's next remedy, in the keys of the steps "R2.1" */
} mdr_hold_in;

typedef struct mdr_remedy {
    mdr_remedy_kind kind;
    mdr_hold_role approve;
    const char *words; /* one sentence, with its numbers */
    const mdr_control_step *steps;
    int n_steps;
    double minutes, water_l;
    double cost_minor; /* products and water at the prices that are known */
    bool has_expected; /* else no model says what the check will read */
    double expected;   /* in the unit of the check */
    double expected_low, expected_high;
    double dye_factor; /* on every dye that is still to be weighed; 0: as planned */
    const char *const *cautions;
    int n_cautions;
    const mdr_hold_why *why;
    int n_why;
} mdr_remedy;

typedef struct mdr_hold {
    mdr_hold_verdict verdict;
    const char *words;          /* why this verdict */
    const mdr_remedy *remedies; /* best first */
    int n_remedies;
    const char *const *missing; /* what keeps other remedies from being offered */
    int n_missing;
} mdr_hold;

/*
 * Judges one reading. About 1 ms where equilibria are solved.
 *   errors  MDR_E_RANGE  the reading is not finite or outside what the quantity can be ("reading");
 *                        the event was judged already ("reading_seq"); a field of state, machine or
 *                        a material that cannot be ("state.temp_c", "machine.liquor_max_l",
 *                        "materials[3].strength_pct", of moisture "state.drying.dry_kg")
 *           MDR_E_ARG    check, state, machine or site missing
 *           MDR_E_NOMEM
 */
mdr_code mdr_hold_judge(const mdr_hold_in *in, mdr_arena *arena, const mdr_hold **out,
                        mdr_err *err) MDR_MUST_CHECK;

/* The bath when this step of a remedy has been run: what the next reading is judged with. Total; of
 * `in` materials and site are looked at. What reacts meanwhile (peroxide) is read anew. */
void mdr_hold_after(mdr_control_state *state, const mdr_control_step *step, const mdr_hold_in *in);

#endif
