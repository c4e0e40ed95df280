/*
 * mdr_weigh.h - weighing: on which scale, in what way, was it right, what comes first, what runs
 * short.
 *
 * Masses are whole milligrams, as they are stored and shown; a target is 1 mg .. MDR_WEIGH_MOST_MG.
 * Layer: core/run (pure). Methods: docs/methods/weighing.md
 *
 * Sources (keys of docs/sources.md)
 *   [oiml-r76]         class III: 0.5 e up to 500 e, 1 e up to 2000 e, 1.5 e up to 10 000 e at
 *                      verification, twice that in service
 *   [common-practice]  a tolerance in per cent and one in grams, the greater counts; at least k
 *                      divisions, 100 unless set; portions; solutions of 1, 2, 5 times a power of ten
 */
#ifndef MDR_WEIGH_H
#define MDR_WEIGH_H

#include "core/run/mdr_batch.h"

#define MDR_WEIGH_MOST_MG INT64_C(1000000000000) /* 1000 t; invented: more is a typing error */

typedef struct mdr_scale {
    const char *scale_id, *name;
    double capacity_kg;            /* most it can carry, container included */
    double division_g;             /* d: step of its display */
    double interval_g;             /* e: verification interval; 0: the division */
    double container_kg;           /* that usually stands on it; 0: none */
    int64_t verified_until_utc_ms; /* 0: not verified */
    const char *remark;
} mdr_scale;

/* How a material is to be weighed; chosen by mdr_material.weigh_class. */
typedef struct mdr_weigh_class {
    const char *class_id, *name;
    double tolerance_pct, tolerance_g; /* both ways; the greater counts */
    double least_divisions;            /* k: a target below k divisions is not weighed as it is */
    double lead_min;                   /* weighed this long before the step needs it */
    bool two_persons;                  /* another person checks each weighing */
    const char *remark;
} mdr_weigh_class;

/* Of a material without a class: 1 % or 1 g, 100 divisions, 30 min, one person (invented). */
mdr_weigh_class mdr_weigh_class_usual(void);

/* -- limits and judging -- */

typedef struct mdr_weigh_window {
    int64_t low_mg, high_mg; /* within: low <= net <= high; low is at least 1 */
    int64_t tolerance_mg;
} mdr_weigh_window;
/* The whole milligrams inside the tolerance. All 0 for a target out of range. */
mdr_weigh_window mdr_weigh_window_of(const mdr_weigh_class *class, int64_t target_mg);

#define MDR_WEIGH_VERDICTS(X)                 \
    X(MDR_WEIGH_BELOW, "below", "Too little") \
    X(MDR_WEIGH_WITHIN, "within", "Within")   \
    X(MDR_WEIGH_ABOVE, "above", "Too much")
typedef enum mdr_weigh_verdict { MDR_WEIGH_VERDICTS(MDR_ENUM_MEMBER) } mdr_weigh_verdict;
const char *mdr_weigh_verdict_id(mdr_weigh_verdict k);
const char *mdr_weigh_verdict_words(mdr_weigh_verdict k);

typedef struct mdr_weigh_judged {
    mdr_weigh_verdict verdict;
    int64_t target_mg, net_mg;
    mdr_weigh_window window;
    int64_t off_mg;    /* net - target */
    double off_pct;    /* of the target */
    bool needs_reason; /* outside: why it is left like that */
    bool needs_second; /* above, or the class asks for it: another person checks */
    bool too_fine;     /* the tolerance is less than a division: this scale cannot show it */
} mdr_weigh_judged;
/*
 * `scale` NULL: not known.
 *   errors  MDR_E_RANGE (place "target_mg", "mass_mg") less than 1 mg or more than
 *           MDR_WEIGH_MOST_MG
 */
mdr_code mdr_weigh_judge(const mdr_weigh_class *class, const mdr_scale *scale, int64_t target_mg,
                         int64_t net_mg, mdr_weigh_judged *out, mdr_err *err) MDR_MUST_CHECK;
/* Whether it may be stored with this reason (may be NULL or blank). errors: MDR_E_ARG "text" */
mdr_code mdr_weigh_may_store(const mdr_weigh_judged *j, const char *reason,
                             mdr_err *err) MDR_MUST_CHECK;
/* Whether this person may check it. errors: MDR_E_ARG "by" nobody; MDR_E_CONFLICT "by" the same */
mdr_code mdr_weigh_may_check(const char *weighed_by, const char *by, mdr_err *err) MDR_MUST_CHECK;

/* -- scales -- */

/* Most that the scale may be off at this net mass, mg; up to 10 000 e and beyond 1.5 e. */
double mdr_scale_error_mg(const mdr_scale *scale, int64_t mass_mg, bool in_service);
/* What it can carry besides the container, mg; 0: nothing. */
int64_t mdr_scale_room_mg(const mdr_scale *scale);
bool mdr_scale_verified(const mdr_scale *scale, int64_t now_utc_ms);

#define MDR_WEIGH_WAYS(X)                                           \
    X(MDR_WEIGH_ONCE, "once", "Weigh it in one")                    \
    X(MDR_WEIGH_PORTIONS, "portions", "Weigh it in equal portions") \
    X(MDR_WEIGH_SOLUTION, "solution", "Weigh it out of a solution") \
    X(MDR_WEIGH_NO_SCALE, "no-scale", "No scale of the mill can weigh it")
typedef enum mdr_weigh_way_kind { MDR_WEIGH_WAYS(MDR_ENUM_MEMBER) } mdr_weigh_way_kind;
const char *mdr_weigh_way_id(mdr_weigh_way_kind k);
const char *mdr_weigh_way_words(mdr_weigh_way_kind k);

enum { MDR_WEIGH_PORTIONS_MAX = 20 }; /* invented: more is work for a flow meter */

typedef struct mdr_weigh_ask {
    int64_t target_mg;
    const mdr_weigh_class *class;
    const mdr_scale *scales;
    int n_scales;
    int64_t now_utc_ms;
    double dissolves_g_per_kg; /* most that goes into a kilogram of solution; 0: must not be
                                  dissolved beforehand */
    double tank_kg;            /* solution that the addition has room for */
} mdr_weigh_ask;

typedef struct mdr_weigh_way {
    mdr_weigh_way_kind kind;
    int scale;          /* index; -1: none */
    int portions;       /* PORTIONS: of portion_mg each, the last takes what is left; else 1 */
    int64_t portion_mg; /* ONCE, PORTIONS: what goes onto the scale at a time */
    /* SOLUTION: product_mg of product, filled up to solution_mg with water, and take_mg of that */
    double conc_g_per_kg;
    int64_t product_mg, solution_mg, take_mg;
    int64_t error_mg;   /* of the product: what the scale may be off in service, all portions */
    bool few_divisions; /* ONCE: below k divisions, and no solution does better */
    bool unsure;        /* error_mg is more than the tolerance */
    bool unverified;    /* only a scale whose verification has run out does it */
} mdr_weigh_way;
/*
 * The finest scale that carries it; a solution when it is below k divisions there; portions when
 * none carries it. Verified scales go first. Total; target in range.
 */
mdr_weigh_way mdr_weigh_way_of(const mdr_weigh_ask *ask);
/* g of it in a kilogram of solution that can be made beforehand; 0: not beforehand. Liquids (form)
 * mix, solids as far as they dissolve; dithionite spoils in water. */
double mdr_weigh_dissolves_g_per_kg(int substance, int form, double solubility_g_per_l);

/* -- what comes first -- */

typedef struct mdr_weigh_turn {
    int64_t due_utc_ms; /* needed - lead */
    int64_t needed_utc_ms;
    const char *batch_id;
    int step, item; /* index of the step in the batch; number in the step */
} mdr_weigh_turn;
/* < 0: a goes first. By due time, then batch, step, item. */
int mdr_weigh_turn_compare(const mdr_weigh_turn *a, const mdr_weigh_turn *b);
/* When the step will begin if nothing else happens: what runs takes at least what is left of its
 * time, steps between take what was planned, those beside others take none. A step that has begun
 * or is over: when it began; left out: now. */
int64_t mdr_weigh_needed_ms(const mdr_batch *b, int step, int64_t now_utc_ms);

/* -- stock -- */

typedef struct mdr_stock_need {
    int64_t due_utc_ms;
    int64_t mass_mg;
} mdr_stock_need;
typedef struct mdr_stock_view {
    int64_t stock_mg, needed_mg, after_mg; /* after: stock - needed, may be below 0 */
    int64_t short_by_mg;                   /* 0: enough */
    int64_t runs_out_utc_ms;               /* due time of the first need not covered; 0: enough */
} mdr_stock_view;
/* `needs` in the order they are weighed, due times after 1970. */
mdr_stock_view mdr_stock_view_of(int64_t stock_mg, const mdr_stock_need *needs, int n);

#endif
