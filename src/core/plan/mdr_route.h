/*
 * mdr_route.h - a route: stages of baths of steps, as data.
 *
 * Layer: core/plan. A route says what is to be done, in the amounts the trade speaks; the
 * planner turns it into litres, kilograms, degrees and minutes for one lot on one machine.
 * A route is immutable once read; everything it points at lives in the reader's arena.
 *
 * Published form: JSON, described by docs/route.schema.json.
 */
#ifndef MDR_ROUTE_H
#define MDR_ROUTE_H

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "core/plan/mdr_records.h"

/* X(enumerator, text id, words) */
#define MDR_STAGE_KINDS(X)                                   \
    X(MDR_STAGE_LOADING, "loading", "Loading")               \
    X(MDR_STAGE_PREPARE, "preparation", "Preparation")       \
    X(MDR_STAGE_DYEING, "dyeing", "Dyeing")                  \
    X(MDR_STAGE_AFTER, "after-treatment", "After-treatment") \
    X(MDR_STAGE_UNLOADING, "unloading", "Unloading")

#define MDR_STEP_KINDS(X)                        \
    X(MDR_STEP_LOAD, "load", "Load")             \
    X(MDR_STEP_FILL, "fill", "Fill")             \
    X(MDR_STEP_DOSE, "dose", "Dose")             \
    X(MDR_STEP_HEAT, "heat", "Heat")             \
    X(MDR_STEP_COOL, "cool", "Cool")             \
    X(MDR_STEP_HOLD, "hold", "Run")              \
    X(MDR_STEP_CHECK, "check", "Check")          \
    X(MDR_STEP_RINSE, "rinse", "Overflow rinse") \
    X(MDR_STEP_DRAIN, "drain", "Drain")          \
    X(MDR_STEP_UNLOAD, "unload", "Unload")

/* How an amount is stated. */
#define MDR_BASES(X)                                                \
    X(MDR_BASIS_G_PER_L, "g_per_l", "g/L")                          \
    X(MDR_BASIS_ML_PER_L, "ml_per_l", "mL/L")                       \
    X(MDR_BASIS_PCT_OWF, "pct_owf", "% owf")                        \
    X(MDR_BASIS_KG_PER_LOAD, "kg_per_load", "kg per load")          \
    X(MDR_BASIS_TABLE, "table", "by the depth table")               \
    X(MDR_BASIS_DYE_TABLE, "dye_table", "by the table of the dyes") \
    X(MDR_BASIS_RECIPE, "recipe", "by the shade's recipe")          \
    X(MDR_BASIS_NEUTRALISE, "neutralise", "to reach the pH")        \
    X(MDR_BASIS_SEQUESTER, "sequester", "for the hardness")         \
    X(MDR_BASIS_CATALASE, "catalase", "for the peroxide left")      \
    X(MDR_BASIS_OXIDISE, "oxidise", "to oxidise the vat dye")       \
    X(MDR_BASIS_WHITEN, "whiten", "for the whiteness")

/* Which of the two tables a dye carries. */
#define MDR_DYE_TABLES(X)                 \
    X(MDR_DYE_TABLE_SALT, "salt", "salt") \
    X(MDR_DYE_TABLE_ALKALI, "alkali", "alkali")

#define MDR_CURVES(X)                                       \
    X(MDR_CURVE_LINEAR, "linear", "evenly")                 \
    X(MDR_CURVE_PROGRESSIVE, "progressive", "slowly first") \
    X(MDR_CURVE_DEGRESSIVE, "degressive", "quickly first")  \
    X(MDR_CURVE_PORTIONS, "portions", "in portions")

/* What a check looks at: X(enumerator, text id, words, unit, least possible, most possible) */
#define MDR_CHECKS(X)                                                              \
    X(MDR_CHECK_PH, "ph", "pH of the bath", "pH", 0.0, 14.0)                       \
    X(MDR_CHECK_CORE_PH, "core-ph", "pH of the fabric core", "pH", 0.0, 14.0)      \
    X(MDR_CHECK_PEROXIDE, "peroxide", "Residual peroxide", "mg/L", 0.0, 1000.0)    \
    X(MDR_CHECK_ABSORBENCY, "absorbency", "Absorbency, drop test", "s", 0.0, 60.0) \
    X(MDR_CHECK_WHITENESS, "whiteness", "CIE whiteness", "W10", 0.0, 200.0)        \
    X(MDR_CHECK_HARDNESS, "hardness", "Hardness of the bath", "dH", 0.0, 100.0)    \
    X(MDR_CHECK_WEIGHT_LOSS, "weight-loss", "Weight loss", "%", 0.0, 20.0)         \
    X(MDR_CHECK_LEVEL, "level", "Levelness, all ropes", "dE CMC(2:1)", 0.0, 20.0)  \
    X(MDR_CHECK_SHADE, "shade", "Shade to standard", "dE CMC(2:1)", 0.0, 20.0)     \
    X(MDR_CHECK_REDUCTION, "reduction", "Reduction strip", "grade", 0.0, 5.0)      \
    X(MDR_CHECK_REDOX, "redox", "Redox potential", "mV", -1200.0, 600.0)           \
    X(MDR_CHECK_SALT, "salt", "Salt in the bath", "g/L", 0.0, 200.0)               \
    X(MDR_CHECK_WASH_OFF, "wash-off", "Wash-off, bleeding", "grade", 1.0, 5.0)     \
    X(MDR_CHECK_MOISTURE, "moisture", "Moisture, on bone dry", "%", 0.0, 300.0)    \
    X(MDR_CHECK_SAMPLE, "sample", "Sample, looked at", "", 0.0, 1.0)

#define MDR_ON_FAILS(X)                                         \
    X(MDR_FAIL_REPEAT, "repeat", "repeat the treatment")        \
    X(MDR_FAIL_CORRECT, "correct", "correct, then check again") \
    X(MDR_FAIL_STOP, "stop", "stop and call the technologist")

/* Finishing after the rope, by what is done; the plan finds the machines and their settings. */
#define MDR_ROUTE_PASSES(X)                                             \
    X(MDR_ROUTE_PASS_SLIT, "slit", "Dewater and slit")                  \
    X(MDR_ROUTE_PASS_SQUEEZE, "squeeze", "Balloon squeeze")             \
    X(MDR_ROUTE_PASS_STENTER, "stenter", "Stenter")                     \
    X(MDR_ROUTE_PASS_HEAT_SET, "heat-set", "Heat-set on the stenter")   \
    X(MDR_ROUTE_PASS_DRY, "relax-dry", "Relax dryer")                   \
    X(MDR_ROUTE_PASS_BRUSH, "brush", "Raise")                           \
    X(MDR_ROUTE_PASS_COMPACT, "compact", "Compactor")                   \
    X(MDR_ROUTE_PASS_TUBE_COMPACT, "tube-compact", "Tubular compactor") \
    X(MDR_ROUTE_PASS_PAD, "pad", "Pad softener or finish")              \
    X(MDR_ROUTE_PASS_SPREAD, "spread", "Spread the tube")

typedef enum mdr_stage_kind { MDR_STAGE_KINDS(MDR_ENUM_MEMBER) } mdr_stage_kind;
typedef enum mdr_step_kind { MDR_STEP_KINDS(MDR_ENUM_MEMBER) } mdr_step_kind;
typedef enum mdr_basis { MDR_BASES(MDR_ENUM_MEMBER) } mdr_basis;
typedef enum mdr_dye_table { MDR_DYE_TABLES(MDR_ENUM_MEMBER) } mdr_dye_table;
typedef enum mdr_curve_kind { MDR_CURVES(MDR_ENUM_MEMBER) } mdr_curve_kind;
typedef enum mdr_check_kind { MDR_CHECKS(MDR_ENUM_MEMBER) } mdr_check_kind;
typedef enum mdr_on_fail { MDR_ON_FAILS(MDR_ENUM_MEMBER) } mdr_on_fail;
typedef enum mdr_route_pass_kind { MDR_ROUTE_PASSES(MDR_ENUM_MEMBER) } mdr_route_pass_kind;

const char *mdr_stage_kind_id(mdr_stage_kind k);
const char *mdr_stage_kind_words(mdr_stage_kind k);
const char *mdr_step_kind_id(mdr_step_kind k);
const char *mdr_step_kind_words(mdr_step_kind k);
const char *mdr_basis_id(mdr_basis k);
const char *mdr_basis_words(mdr_basis k);
const char *mdr_dye_table_id(mdr_dye_table k);
const char *mdr_curve_id(mdr_curve_kind k);
const char *mdr_curve_words(mdr_curve_kind k);
const char *mdr_check_id(mdr_check_kind k);
const char *mdr_check_words(mdr_check_kind k);
const char *mdr_check_unit(mdr_check_kind k);
double mdr_check_least(mdr_check_kind k);
double mdr_check_most(mdr_check_kind k);
const char *mdr_on_fail_id(mdr_on_fail k);
const char *mdr_on_fail_words(mdr_on_fail k);
const char *mdr_route_pass_id(mdr_route_pass_kind k);
const char *mdr_route_pass_words(mdr_route_pass_kind k);

enum {
    MDR_ROUTE_STAGES_MAX = 16,
    MDR_ROUTE_BATHS_MAX = 60, /* in the whole route */
    MDR_ROUTE_STEPS_MAX = 60, /* in one bath */
    MDR_ROUTE_ITEMS_MAX = 12, /* in one dose */
    MDR_ROUTE_PASSES_MAX = 12
};

/* pH a neutralising dose aims at when the route does not say: the middle of the window 6 to 6.5
 * before dyeing; common practice. */
#define MDR_ROUTE_TO_PH 6.3

/* One material of a dose. */
typedef struct mdr_route_item {
    const char *material_id; /* "" with MDR_BASIS_RECIPE: all dyes of the shade */
    mdr_basis basis;
    double amount;           /* in the basis' unit, > 0; where the amount is computed (TABLE,
                                  DYE_TABLE, RECIPE, NEUTRALISE and the other needs): a factor
                                  on it, 1 unless the route says */
    bool of_active;          /* the amount counts active substance (100 %), else the product
                                  as delivered. Tables and needs always count active. */
    const char *table_id;    /* TABLE */
    double to_whiteness;     /* WHITEN: CIE whiteness W10 without brightener, 40..85 */
    double to_ph;            /* NEUTRALISE: the pH wanted, 3..9; 0: MDR_ROUTE_TO_PH */
    mdr_dye_table dye_table; /* DYE_TABLE */
} mdr_route_item;

typedef struct mdr_route_check {
    mdr_check_kind kind;
    bool has_low, has_high;
    double low, high;   /* pass when low <= reading <= high, as far as given */
    bool cooled;        /* pH only: read on a sample cooled to MDR_PLAN_COLD_C, not in the bath */
    const char *method; /* one line */
    mdr_on_fail on_fail;
    const char *remedy; /* what to do, one or two lines */
} mdr_route_check;

typedef struct mdr_route_step {
    mdr_step_kind kind;
    const char *note; /* words for the operator, "" when none */
    bool has_temp;
    double temp_c;         /* FILL, RINSE: of the bath wanted; HEAT, COOL: target; HOLD: must
                                  have been reached */
    double rate_c_per_min; /* HEAT, COOL; 0: as fast as the machine can */
    double minutes;        /* DOSE, HOLD, CHECK, RINSE > 0; LOAD, UNLOAD 0: the machine's */
    double ratio_l_per_kg; /* FILL; 0: the lot's liquor ratio */
    double level_l;        /* FILL; > 0: to this volume instead of a ratio */
    double flow_l_per_min; /* RINSE; 0: the machine's */
    /* DOSE */
    const mdr_route_item *items;
    int n_items;
    double share_pct; /* part of each amount given here, (0, 100] */
    mdr_curve_kind curve;
    double exponent; /* PROGRESSIVE > 1, DEGRESSIVE in (0,1): V/V0 = (t/T)^exponent */
    int portions;    /* PORTIONS: 2..20 equal ones at equal times */
    bool with_next;  /* runs beside the steps that follow, `offset_min` after the next
                                  of them has begun; otherwise the bath waits for it */
    double offset_min;
    mdr_route_check check; /* CHECK */
} mdr_route_step;

typedef struct mdr_route_bath {
    const char *name;
    const mdr_route_step *steps;
    int n_steps;
} mdr_route_bath;

typedef struct mdr_route_stage {
    mdr_stage_kind kind;
    const char *name;
    const char *from_route;      /* taken whole from this route's stage `from_stage`, or "" */
    const char *from_stage;      /* name of the stage there */
    const mdr_route_bath *baths; /* empty until resolved when from_route is set */
    int n_baths;
} mdr_route_stage;

typedef struct mdr_route_pass {
    mdr_route_pass_kind kind;
    bool has_check;
    const char *note;
    mdr_route_check check; /* of MOISTURE, read as the fabric leaves; passes that dry in air only */
} mdr_route_pass;

/* Stenter, heat-setting, relax dryer: whose moisture behind it can be checked. */
bool mdr_route_pass_dries(mdr_route_pass_kind kind);

typedef struct mdr_route {
    const char *route_id, *name, *purpose;
    int version; /* >= 1 */
    mdr_dye_class dye_class;
    bool invented;
    const mdr_route_stage *stages;
    int n_stages;
    const mdr_route_pass *passes;
    int n_passes;
} mdr_route;

/*
 * Everything that can be said of a route without a lot or a machine: required fields, ranges,
 * order of steps in a bath (fill first, nothing after the drain), a dose that would outlive its
 * bath, a hold at a temperature that nothing reaches, a check that can never pass (limits
 * crossed or outside what the quantity can be), shares of one material in one bath that add up
 * to more than 100 %, too many of anything. Adds every finding to `found`.
 *   errors   MDR_E_RANGE (the first finding) when anything was found; place as
 *            "stages[2].baths[0].steps[3].to_c"
 */
typedef struct mdr_err_list mdr_err_list;
mdr_code mdr_route_check_all(const mdr_route *route, mdr_err_list *found,
                             mdr_err *err) MDR_MUST_CHECK;

/* Gives the route of this id, or NULL. `ctx` is the caller's. */
typedef const mdr_route *(*mdr_route_lookup)(void *ctx, const char *route_id);

/*
 * A copy of `route` in which every stage taken from another route holds that route's baths.
 *   errors   MDR_E_NOTFOUND  route or stage is not there
 *            MDR_E_CONFLICT  a stage leads back to itself: the message names the circle
 *            MDR_E_NOMEM
 */
mdr_code mdr_route_resolve(const mdr_route *route, mdr_route_lookup lookup, void *ctx,
                           mdr_arena *arena, const mdr_route **out, mdr_err *err) MDR_MUST_CHECK;

#endif
