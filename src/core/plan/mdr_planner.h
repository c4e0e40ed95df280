/*
 * mdr_planner.h - what the rooms of the planner share; not for callers.
 *
 * Bath after bath: amounts, liquor and chemistry in the order of the steps (mdr_plan_bath.c,
 * _dose.c, _need.c, _table.c, _chem*.c, _react.c), then temperature and time of each step
 * (mdr_plan_step.c, _ramp.c), then what is wrong with it (_judge.c) and what the rope carries on.
 * In the end totals and footprint (_total.c, _foot.c). Memory that runs out sets figs.failed or
 * `failed`; the passes go on harmlessly and mdr_plan_make reports it once.
 */
#ifndef MDR_PLANNER_H
#define MDR_PLANNER_H

#include "core/bath/mdr_equil.h"
#include "core/plan/mdr_plan.h"

/* Thresholds of judgement, all common practice. */
#define MDR_DOSE_CYCLES_LEAST     3.0  /* fewer rope cycles cannot come out level */
#define MDR_DOSE_CYCLES_GOOD      10.0 /* dye and alkali: fewer deserve a remark */
#define MDR_TANK_LOADS_MANY       6.0
#define MDR_LEVEL_TOLERANCE       0.02 /* a level gauge does not tell less than this apart */
#define MDR_COOL_CREASE_C_PER_MIN 2.0  /* faster cooling above MDR_COOL_CREASE_C sets creases */
#define MDR_COOL_CREASE_C         70.0
#define MDR_DOSE_OPEN_MAX_C       85.0 /* hotter: splashes, boils up; pressure pump above 98 */
#define MDR_HOT_LIQUOR_C          60.0
#define MDR_PRESSURE_C            98.0
#define MDR_TEMP_TOLERANCE_C      0.5

/* Figures read from records, made once. */
typedef struct mdr_plan_inputs {
    mdr_fig_id zero;
    mdr_fig_id gsm, width_cm, retained_l_per_kg;
    mdr_fig_id ratio, speed, tubes;
    mdr_fig_id liquor_min_l, exchanger, circulation, steam_max, steel;
    mdr_fig_id heat_max, cool_max, fill_flow, drain_flow, rinse_flow;
    mdr_fig_id tank_l, tank_flow, tank_prepare, load_time, unload_time, power;
    mdr_fig_id cold, hot, cooling, room;
    mdr_fig_id water_price, effluent_price, steam_price, power_price;
    mdr_fig_id dilution; /* L of water per L of a liquid product, in the tank */
    mdr_fig_id whole;    /* 100 %, 1: nothing more to say */
    mdr_fig_id steam_c, steam_kj_per_kg, ua;
    /* chemistry */
    mdr_fig_id absent; /* 0: stands in for what is not in the bath */
    mdr_fig_id water_bicarbonate_g_per_l, water_hardness_mmol_per_l;
    mdr_fig_id cold_reading;
    /* finishing */
    mdr_fig_id regain_kg_per_kg;
} mdr_plan_inputs;

/* One material with its figures, and how much of its active substance is in the liquor now. */
typedef struct mdr_plan_stuff {
    const mdr_material *material;
    mdr_fig_id strength, density, solubility, price;
    double in_liquor_kg;
    double loose_kg; /* dye on the fibre, not fixed */
    bool used;
} mdr_plan_stuff;

typedef struct mdr_planner {
    const mdr_plan_in *in;
    mdr_plan *plan;
    mdr_figs *f;
    mdr_arena *arena;
    mdr_err *err;
    mdr_plan_inputs i;
    mdr_plan_stuff *stuff;
    int n_stuff;
    int warn_room;
    bool failed;
    mdr_fig_id depth; /* total depth of the shade */
    /* liquor pass: state between baths */
    mdr_fig_id carried_l;
    bool undrained; /* the bath before was not drained: its liquor stays */
    /* chemistry: state between steps and baths */
    mdr_fig_id chem_temp; /* of the bath, by the route: see mdr_plan_chem_temp.c */
    mdr_fig_id dissolved[MDR_DISSOLVED_COUNT]; /* kg in the liquor; NONE: never there */
    mdr_fig_id hardness_mmol, binding_mmol;    /* Ca + Mg, and what sequestrants can hold */
    mdr_fig_id fabric_mmol_per_kg;             /* Ca + Mg still in the fabric */
    mdr_fig_id loose_kg;                       /* dye on the fibre, not fixed */
    mdr_fig_id pigment_kg, leuco_kg;           /* vat dye not reduced yet, and reduced */
    mdr_fig_id air_loss;                       /* dithionite that the air takes in this bath */
    mdr_fig_id oxygen_takes;                   /* the oxygen of its fresh water; NONE: taken */
    mdr_fig_id ph;                             /* of the bath now; NONE: not known */
    mdr_mix mix;                               /* what that pH is of */
    /* time pass: state between steps */
    mdr_fig_id now, temp, liquor;
    double tank_until_min; /* the addition tank is giving a dose until then */
    mdr_fig_id beside_end; /* latest end of the doses running beside, or NONE */
    int point_room;
} mdr_planner;

/* mdr_plan_inputs.c */
mdr_code mdr_plan_validate(const mdr_plan_in *in, mdr_err *err) MDR_MUST_CHECK;
void mdr_plan_read_inputs(mdr_planner *p);
mdr_code mdr_plan_read_stuff(mdr_planner *p) MDR_MUST_CHECK;
mdr_plan_stuff *mdr_plan_stuff_of(mdr_planner *p, const char *material_id); /* NULL: unknown */
/* A number of the route at this place; field as in the route document. */
mdr_fig_id mdr_plan_route_input(mdr_planner *p, double value, const char *unit, const char *label,
                                const char *field, mdr_where at);

/* mdr_plan.c: depth of a dye of the recipe; laboratory's depth times factor when one was chosen. `at`
 * zero: of the shade as such. */
mdr_fig_id mdr_plan_depth(mdr_planner *p, const mdr_recipe_dye *dye, mdr_where at);

/* A constant of nature or practice, with its source; a field of the lot's article. */
mdr_fig_id mdr_plan_constant(mdr_planner *p, double value, const char *unit, const char *label,
                             const char *source, const char *field);
mdr_fig_id mdr_plan_of_article(mdr_planner *p, double value, const char *unit, const char *label,
                               const char *field);

/* mdr_plan_dose.c: amounts of one dose. */
mdr_code mdr_plan_dose(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step,
                       mdr_where at) MDR_MUST_CHECK;

/* One item of a dose while it is worked out. */
typedef struct mdr_plan_work {
    mdr_planner *p;
    const mdr_plan_bath *bath;
    const mdr_route_step *step;
    const mdr_route_item *asked;
    mdr_plan_stuff *stuff;
    mdr_plan_item *item;
    mdr_fig_id share;
    mdr_where at;
} mdr_plan_work;
/* Completes the place of an error that has none yet; returns rc. */
mdr_code mdr_plan_place(const mdr_plan_work *w, mdr_code rc, const char *field);
/* Mass in the sense the amount was stated (active or product) -> both. */
void mdr_plan_settle(mdr_plan_work *w, mdr_fig_id stated, bool of_active);

/* mdr_plan_table.c: g/L of the item from a dose table, into item->amount. */
mdr_code mdr_plan_table_amount(mdr_plan_work *w) MDR_MUST_CHECK;
/* mdr_plan_need.c: amounts that follow from what is in the bath. */
mdr_code mdr_plan_need(mdr_plan_work *w) MDR_MUST_CHECK;
/* Peroxide by the whiteness that the bleach is to reach. */
mdr_code mdr_plan_whiten(mdr_plan_work *w) MDR_MUST_CHECK;

/* mdr_plan_chem_begin.c */
/* Loading and unloading handle the rope, not the liquor. */
bool mdr_plan_works_in_liquor(const mdr_route_bath *bath);
void mdr_plan_chem_begin(mdr_planner *p, mdr_plan_bath *bath, mdr_where at);
/* mdr_plan_chem_temp.c */
/* The bath begins as warm as its fill is asked for; else as the water and what it meets mix. */
void mdr_plan_chem_fill_temp(mdr_planner *p, const mdr_plan_bath *bath, mdr_where at);
/* Minutes of the step for what reacts in it; moves p->chem_temp to its end. */
mdr_fig_id mdr_plan_chem_interval(mdr_planner *p, const mdr_plan_bath *bath,
                                  const mdr_plan_step *step, mdr_where at);
/* mdr_plan_chem.c: what is dissolved, pH, hardness; in the order of the steps. */
void mdr_plan_chem_lot(mdr_planner *p);
void mdr_plan_chem_item(mdr_planner *p, const mdr_plan_item *item, mdr_where at);
void mdr_plan_chem_rinse(mdr_planner *p, const mdr_plan_bath *bath, mdr_fig_id kept, mdr_where at);
/* At the end of each step: pH, catalase at work, what a check would read. */
void mdr_plan_chem_step(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at);
/* pH of the bath at this temperature; NONE when nothing is dissolved or it is not known. */
mdr_fig_id mdr_plan_ph(mdr_planner *p, mdr_qty qty, mdr_where at, mdr_fig_id temp,
                       mdr_fig_id liquor);
/* kg in the liquor as inputs of a rule, absent ones included. */
void mdr_plan_dissolved_inputs(const mdr_planner *p, mdr_fig_id *out);
mdr_mix mdr_plan_mix(const mdr_planner *p, double temp_c, double liquor_l);
/* Sets what is dissolved of one substance after a reaction, and keeps the ledger of products. */
void mdr_plan_replace(mdr_planner *p, mdr_plan_bath *bath, mdr_dissolved what, mdr_fig_id after);
/* A substance's figure belongs to it: "substance.NaOH.b3.s2.dissolved_kg". */
void mdr_plan_of_substance(mdr_planner *p, mdr_fig_id id, mdr_dissolved what);
/* What the ledger of products loses when `left` of this substance stays after a reaction. */
void mdr_plan_consume(mdr_planner *p, mdr_plan_bath *bath, int substance, double left);

/* mdr_plan_bath.c: liquor balance of one bath; and what becomes of the dissolved at its drain. */
mdr_code mdr_plan_bath_liquor(mdr_planner *p, mdr_plan_bath *bath) MDR_MUST_CHECK;
void mdr_plan_bath_close(mdr_planner *p, mdr_plan_bath *bath);

/* mdr_plan_react.c: what reacts, step by step. */
void mdr_plan_react_begin(mdr_planner *p, mdr_plan_bath *bath, mdr_where at);
/* Over the minutes of the step, from its first to its last temperature; says whether the pH
 * may have moved. */
bool mdr_plan_react_step(mdr_planner *p, mdr_plan_bath *bath, mdr_plan_step *step, mdr_where at,
                         mdr_fig_id from, mdr_fig_id minutes);
/* mdr_plan_uptake.c: what goes onto the fibre and comes off it, when the bath is over. */
void mdr_plan_uptake(mdr_planner *p, mdr_plan_bath *bath);
/* % of this dye that stays bound: its own, or the usual of its class. */
mdr_fig_id mdr_plan_fixation(mdr_planner *p, const mdr_material *m);
/* mdr_plan_judge.c: what the chemistry says against the bath. */
void mdr_plan_judge(mdr_planner *p, const mdr_plan_bath *bath);
void mdr_plan_judge_lot(mdr_planner *p);
/* mdr_plan_foot.c */
void mdr_plan_footprint_make(mdr_planner *p);

/* mdr_plan_step.c: temperature and time of all steps of one bath. */
void mdr_plan_bath_time(mdr_planner *p, mdr_plan_bath *bath);

/* mdr_plan_total.c */
void mdr_plan_totals(mdr_planner *p);

/* mdr_plan_relaxed.c: the fabric when nothing shrinks any more. False: it cannot be said, and a warning tells what is missing. */
bool mdr_plan_relaxed(mdr_planner *p, mdr_plan_finish *finish);
/* mdr_plan_aim.c: what of the specification to aim at, and what to say when it cannot be met. */
void mdr_plan_aim(mdr_planner *p, mdr_plan_finish *finish);
/* What the specification allows of it. */
mdr_plan_outcome mdr_plan_allowed(const mdr_article *a, mdr_plan_demand which);
/* mdr_plan_finish.c: from the wet rope to the finished fabric. */
void mdr_plan_finish_make(mdr_planner *p);
/* A figure of the lot's finishing ("finish.KEY"), of one pass ("pass.N.KEY"); a field of the
 * pass's machine. */
mdr_fig_id mdr_plan_of_finish(mdr_planner *p, mdr_qty qty, mdr_rule rule, const mdr_fig_id *in,
                              int n);
#define MDR_FINISH_FIG(p, qty, rule, ...)                                     \
    mdr_plan_of_finish((p), (qty), (rule), (const mdr_fig_id[]){__VA_ARGS__}, \
                       (int)(sizeof((const mdr_fig_id[]){__VA_ARGS__}) / sizeof(mdr_fig_id)))
mdr_fig_id mdr_plan_of_pass(mdr_planner *p, const mdr_plan_pass *pass, mdr_qty qty, mdr_rule rule,
                            const mdr_fig_id *in, int n);
#define MDR_PASS_FIG(p, pass, qty, rule, ...)                                       \
    mdr_plan_of_pass((p), (pass), (qty), (rule), (const mdr_fig_id[]){__VA_ARGS__}, \
                     (int)(sizeof((const mdr_fig_id[]){__VA_ARGS__}) / sizeof(mdr_fig_id)))
mdr_fig_id mdr_plan_of_finisher(mdr_planner *p, const mdr_finisher *m, double value,
                                const char *unit, const char *label, const char *field);
/* mdr_plan_outcome.c: what the line ends with, against the specification, and what it takes. */
/* The fabric between two passes, as figures. */
typedef struct mdr_plan_web {
    mdr_fig_id width_cm, courses_per_cm, wales_per_cm, dry_gsm, moisture_pct, length_m;
    mdr_fig_id wet_gsm, conditioned_gsm;
} mdr_plan_web;
void mdr_plan_outcome_make(mdr_planner *p, mdr_plan_finish *finish, const mdr_plan_web *end);
/* mdr_plan_drying.c: speed, time and heat of one pass. */
void mdr_plan_pass_drying(mdr_planner *p, const mdr_plan_finish *finish, mdr_plan_pass *pass,
                          mdr_fig_id moisture_before);

/* mdr_plan_warn.c */
mdr_arg mdr_arg_number(double value, int decimals);
mdr_arg mdr_arg_text(const char *text);
/* Words out of the catalogue: "part.steam". */
mdr_arg mdr_arg_part(const char *key);
void mdr_plan_warn_add(mdr_planner *p, mdr_warn_id id, mdr_where at, mdr_fig_id fig, int n_args,
                       const mdr_arg *args);
#define MDR_PLAN_WARN(p, id, at, fig, ...)                                             \
    mdr_plan_warn_add((p), (id), (at), (fig),                                          \
                      (int)(sizeof((const mdr_arg[]){__VA_ARGS__}) / sizeof(mdr_arg)), \
                      (const mdr_arg[]){__VA_ARGS__})
void mdr_plan_warn_loading(mdr_planner *p);
void mdr_plan_warn_bath(mdr_planner *p, const mdr_plan_bath *bath);
void mdr_plan_warn_dose(mdr_planner *p, const mdr_plan_step *step, mdr_where at);
/* At the end of the lot: a dose that still runs. */
void mdr_plan_end(mdr_planner *p);
void mdr_plan_warn_materials(mdr_planner *p);

#endif
