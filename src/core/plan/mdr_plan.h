/*
 * mdr_plan.h - the plan: route + lot + machine + recipe + site -> every litre, gram, degree and
 * minute of every bath.
 *
 * Layer: core/plan, pure. One call, one arena; the result and everything it points at live
 * there, together with the inputs, which must outlive the plan.
 * Methods: docs/methods/ (loading.md, liquor.md, amounts.md, heat.md, time.md, finish-plan.md).
 *
 * What the plan does not know (said on screen too): cotton takes up no alkali or acid, and no
 * product but dye goes onto the fibre; dissolved solids do not add to the volume; the shell loses
 * no heat; the heat of water from the hot tank is not in the steam.
 */
#ifndef MDR_PLAN_H
#define MDR_PLAN_H

#include "core/plan/mdr_fig.h"
#include "core/plan/mdr_records.h"
#include "core/plan/mdr_route.h"

typedef enum mdr_severity {
    MDR_SEV_NOTE,    /* worth knowing */
    MDR_SEV_WARNING, /* will go wrong, or is not as asked */
    MDR_SEV_STOP     /* cannot be run like this */
} mdr_severity;

/* X(enumerator, text id; the sentence is "warn.<id>" of the language catalogue, severity) */
typedef enum mdr_warn_id {
#define MDR_WARN(name, id, severity) name,
#include "core/plan/mdr_warnings.def"
#undef MDR_WARN
    MDR_WARN_COUNT
} mdr_warn_id;

const char *mdr_warn_text_id(mdr_warn_id id);
mdr_severity mdr_warn_severity(mdr_warn_id id);
/* It is about the finishing, not about a bath. */
bool mdr_warn_of_finishing(mdr_warn_id id);

/* Fills {0}, {1} ... of the sentence. */
typedef struct mdr_arg {
    const char *text; /* NULL: the number counts */
    double number;
    int decimals;
} mdr_arg;

typedef struct mdr_warn {
    mdr_warn_id id;
    mdr_where at;
    mdr_arg args[5];
    int n_args;
    mdr_fig_id fig; /* the figure it is about, or NONE */
} mdr_warn;

/* What is dissolved in the bath and followed by its chemistry: X(enumerator, mdr_substance), in the
 * order of the inputs of the pH rule. */
#define MDR_DISSOLVED(X)             \
    X(MDR_IN_NAOH, MDR_SUB_NAOH)     \
    X(MDR_IN_NA2CO3, MDR_SUB_NA2CO3) \
    X(MDR_IN_NAHCO3, MDR_SUB_NAHCO3) \
    X(MDR_IN_NACL, MDR_SUB_NACL)     \
    X(MDR_IN_NA2SO4, MDR_SUB_NA2SO4) \
    X(MDR_IN_HAC, MDR_SUB_HAC)       \
    X(MDR_IN_FORMIC, MDR_SUB_FORMIC) \
    X(MDR_IN_CITRIC, MDR_SUB_CITRIC) \
    X(MDR_IN_H2SO4, MDR_SUB_H2SO4)   \
    X(MDR_IN_H2O2, MDR_SUB_H2O2)     \
    X(MDR_IN_DITHIONITE, MDR_SUB_DITHIONITE)
typedef enum mdr_dissolved { MDR_DISSOLVED(MDR_ENUM_MEMBER) MDR_DISSOLVED_COUNT } mdr_dissolved;

mdr_substance mdr_dissolved_substance(mdr_dissolved what);
/* The other way; -1: not followed. */
int mdr_dissolved_of(int substance);

/* One material in one dose. */
typedef struct mdr_plan_item {
    const mdr_material *material;
    const mdr_route_item *asked;
    mdr_fig_id amount;       /* as stated on the route or found in the table, in the basis' unit */
    mdr_fig_id active_kg;    /* active substance given in this dose */
    mdr_fig_id mass_kg;      /* of the product as delivered, this dose: to be weighed */
    mdr_fig_id volume_l;     /* of the product as delivered; liquids only, else NONE */
    mdr_fig_id conc_g_per_l; /* product per litre of the bath's liquor */
    mdr_fig_id cost_minor;
} mdr_plan_item;

typedef struct mdr_plan_step {
    const mdr_route_step *asked;
    mdr_fig_id start_min, minutes, end_min; /* from the start of the lot */
    mdr_fig_id temp_start_c, temp_end_c;
    mdr_fig_id volume_l;             /* FILL: fresh water; DOSE: liquor made in the tank;
                                RINSE: water through; DRAIN: liquor drained; else NONE */
    mdr_fig_id water_temp_c;         /* FILL, RINSE: of the water that must flow in */
    mdr_fig_id steam_kg;             /* heating in this step, or NONE */
    mdr_fig_id rinse_flow_l_per_min; /* RINSE, else NONE */
    mdr_fig_id kept_fraction;        /* RINSE: of what was dissolved before, else NONE */
    /* chemistry at the end of the step */
    mdr_fig_id dissolved_kg[MDR_DISSOLVED_COUNT]; /* NONE: never there; before time takes any */
    mdr_fig_id ph;                                /* NONE: nothing dissolved, or above 100 degC */
    double ph_uncertainty;
    mdr_fig_id ph_cold;            /* CHECK of pH: what a sample cooled to MDR_PLAN_COLD_C reads */
    mdr_fig_id peroxide_mg_per_l;  /* CHECK of peroxide */
    mdr_fig_id dithionite_g_per_l; /* from the first dithionite of the bath on */
    /* DOSE */
    mdr_plan_item *items;
    int n_items;
    mdr_fig_id tank_water_l; /* fresh water that comes with the addition */
    mdr_fig_id tank_loads;
    mdr_fig_id least_minutes;            /* the side tank needs at least this long */
    mdr_fig_id cycles;                   /* rope cycles during the dose */
    bool beside;                         /* runs beside the steps that follow */
    double liquor_start_l, liquor_end_l; /* in the vessel, for the level lane */
    uint32_t cautions;                   /* set of 1u << mdr_caution */
} mdr_plan_step;

/* Mass of one product in one bath, kg of active substance:
 *   carried_in + fibre_in + dosed = consumed + rinsed + drained + fixed + fibre_out + carried_out
 * carried: in the liquor; fibre: dye on the fibre that is not fixed; consumed: by a reaction. */
typedef struct mdr_plan_mass {
    const mdr_material *material;
    double carried_in_kg, fibre_in_kg, dosed_kg;
    double consumed_kg, rinsed_kg, drained_kg, fixed_kg, fibre_out_kg, carried_out_kg;
} mdr_plan_mass;

/* A sample is read at this temperature. */
#define MDR_PLAN_COLD_C 25.0

typedef struct mdr_plan_bath {
    const mdr_route_stage *stage;
    const mdr_route_bath *asked;
    int number;     /* 1.. */
    bool continues; /* has no fill of its own: the liquor of the bath before stays */
    mdr_plan_step *steps;
    int n_steps;
    mdr_fig_id ratio_l_per_kg;
    mdr_fig_id liquor_l;    /* wanted at the end of all additions */
    mdr_fig_id carried_l;   /* liquor in the fabric when the bath begins */
    mdr_fig_id additions_l; /* volume that comes with all additions */
    mdr_fig_id fill_l;      /* fresh water let in at the fill */
    mdr_fig_id final_l;     /* liquor really there after the last addition */
    mdr_fig_id carried_alkali_mol, carried_acid_mol; /* brought along, as equivalents */
    mdr_fig_id drained_l, retained_l; /* at the drain; NONE when the bath is not drained */
    mdr_fig_id rinse_l;               /* water of overflow rinses */
    mdr_fig_id water_l, steam_kg, power_kwh, minutes, start_min, end_min;
    /* chemistry: NONE where there is nothing to say */
    mdr_fig_id start_g_per_l[MDR_DISSOLVED_COUNT]; /* filled, before any dose */
    mdr_fig_id end_g_per_l[MDR_DISSOLVED_COUNT];   /* before the drain, after reactions */
    mdr_fig_id start_kg[MDR_DISSOLVED_COUNT];
    mdr_fig_id ph_start, ph_end;
    mdr_fig_id electrolyte_g_per_l;                   /* at the start */
    mdr_fig_id hardness_total_dh, hardness_dh;        /* all of it; what no sequestrant holds */
    mdr_fig_id peroxide_mg_per_l, dithionite_g_per_l; /* at the end */
    mdr_fig_id loose_mg_per_kg;                       /* dye not fixed, on the fibre, at the end */
    mdr_plan_mass *masses;
    int n_masses;
} mdr_plan_bath;

typedef struct mdr_plan_point {
    double t_min, temp_c, liquor_l;
} mdr_plan_point;

/* What a stage of the route, or the lot, takes and gives off. */
typedef struct mdr_plan_foot {
    const mdr_route_stage *stage; /* NULL: the whole lot */
    mdr_fig_id water_l, effluent_l, steam_kg, power_kwh, chemicals_kg;
    mdr_fig_id salt_kg, dye_kg; /* to drain, counted where they were given */
    mdr_fig_id cod_kg, solids_kg, co2_kg;
    mdr_fig_id water_minor, effluent_minor, steam_minor, power_minor, chemicals_minor, cost_minor;
} mdr_plan_foot;

typedef struct mdr_plan_footprint {
    mdr_plan_foot *stages;
    int n_stages;
    mdr_plan_foot total;
    mdr_fig_id water_l_per_kg, steam_kg_per_kg, power_kwh_per_kg, cod_g_per_kg, cod_mg_per_l,
        solids_kg_per_kg, co2_kg_per_kg, cost_minor_per_kg;
    mdr_fig_id unknown_cod_kg, unknown_co2_kg; /* products nobody gave a figure for */
} mdr_plan_footprint;

/* One material over the whole lot. */
typedef struct mdr_plan_total {
    const mdr_material *material;
    mdr_fig_id mass_kg, cost_minor;
} mdr_plan_total;

/* Where the plan has the fully relaxed fabric from. X(enumerator, text id, words) */
#define MDR_RELAXED_FROMS(X)                                                            \
    X(MDR_RELAXED_SAMPLES, "samples", "washed samples of the article")                  \
    X(MDR_RELAXED_ALIKE, "alike", "constants of the mill's washed samples of its kind") \
    X(MDR_RELAXED_TABLE, "table", "constants of the literature, or by analogy")
typedef enum mdr_relaxed_from { MDR_RELAXED_FROMS(MDR_ENUM_MEMBER) } mdr_relaxed_from;
const char *mdr_relaxed_from_id(mdr_relaxed_from k);
const char *mdr_relaxed_from_words(mdr_relaxed_from k);

/* What was measured behind a pass that has been run: the rest of the line is set from it. */
typedef struct mdr_pass_reading {
    int pass;       /* 1 .. passes of the route */
    double lies_cm; /* width as it lies: full open, or the flat width of a tube */
    double courses_per_cm;
    double moisture_pct; /* on bone dry */
    double wet_gsm;      /* of a cutter, as it came out; 0: not weighed */
} mdr_pass_reading;

/* One pass of the finishing line. Widths are full open widths; a tube has its flat width too. */
typedef struct mdr_plan_pass {
    const mdr_route_pass *asked;
    const char *number;          /* "1" ..., as in the keys of its figures */
    const mdr_finisher *machine; /* NULL: the mill has none for it, or it only raises */
    bool shapes;                 /* false: raising; the fabric is taken as it came in */
    bool grips, compacts, sets;  /* sets the width; takes length away; heat-sets */
    /* to set */
    mdr_fig_id set_width_cm, set_layflat_cm; /* where it grips, else NONE */
    mdr_fig_id overfeed_pct;
    mdr_fig_id length_loss_pct; /* the same as length taken away; compactors, else NONE */
    mdr_fig_id temp_c;          /* NONE: cold */
    mdr_fig_id dwell_s;         /* heat-setting: of the fabric at temp_c, else NONE */
    mdr_fig_id speed_m_per_min;
    /* what the fabric measures behind it */
    mdr_fig_id width_cm, layflat_cm; /* layflat: tubes, else NONE */
    mdr_fig_id courses_per_cm, wales_per_cm, wet_gsm, conditioned_gsm, moisture_pct, length_m;
    mdr_fig_id dry_gsm;
    /* what it takes */
    mdr_fig_id minutes, power_kwh;
    mdr_fig_id evaporated_kg, heat_mj; /* dryers, else NONE */
    const mdr_pass_reading *read;      /* what was measured behind it, or NULL */
    mdr_fig_id weighed_off_pct;        /* weighed over what loops and mass say; NONE: not weighed */
} mdr_plan_pass;

/* X(enumerator, text id, words, unit) */
#define MDR_PLAN_DEMANDS(X)                                                \
    X(MDR_DEMAND_WIDTH, "width", "Open width", "cm")                       \
    X(MDR_DEMAND_GSM, "gsm", "Weight", "g/m2")                             \
    X(MDR_DEMAND_LENGTH, "length-shrinkage", "Length shrinkage left", "%") \
    X(MDR_DEMAND_ACROSS, "width-shrinkage", "Width shrinkage left", "%")   \
    X(MDR_DEMAND_SPIRALITY, "spirality", "Spirality after washing", "%")
typedef enum mdr_plan_demand { MDR_PLAN_DEMANDS(MDR_ENUM_MEMBER) MDR_DEMAND_COUNT } mdr_plan_demand;
const char *mdr_plan_demand_id(mdr_plan_demand k);
const char *mdr_plan_demand_words(mdr_plan_demand k);
const char *mdr_plan_demand_unit(mdr_plan_demand k);

/* What the specification allows, and what the line is reckoned to reach. */
typedef struct mdr_plan_outcome {
    double low, high;
    mdr_fig_id value; /* NONE: not known */
    double off;       /* 0: met; above 0 too much, below 0 too little, in its unit */
} mdr_plan_outcome;

/* From the wet rope to the finished fabric. */
typedef struct mdr_plan_finish {
    mdr_relaxed_from from;
    int n_samples; /* that it rests on */
    bool tube;
    mdr_fig_id needles;
    mdr_fig_id relaxed_courses_per_cm, relaxed_wales_per_cm, relaxed_gsm, relaxed_width_cm;
    mdr_fig_id finished_kg, dry_kg;
    /* aimed at: farthest from all limits of the specification, or the fairest miss */
    mdr_fig_id aim_length_pct, aim_across_pct, aim_strain_pct;
    mdr_fig_id aim_width_cm, aim_gsm, aim_courses_per_cm;
    bool feasible; /* the fabric can meet it; whether this line can is met */
    /* the wet rope, opened */
    mdr_fig_id start_courses_per_cm, start_wales_per_cm, start_width_cm, start_dry_gsm;
    mdr_fig_id start_moisture_pct, start_length_m;
    mdr_plan_pass *passes; /* as many as the route has */
    int n_passes;
    mdr_plan_outcome outcome[MDR_DEMAND_COUNT];
    bool met; /* every demand that is known */
    mdr_fig_id minutes, power_kwh, heat_mj, evaporated_kg;
} mdr_plan_finish;

typedef struct mdr_plan {
    const mdr_lot *lot;
    const mdr_machine *machine;
    const mdr_route *route;
    const mdr_site *site;
    mdr_figs figs;
    mdr_fig_id load_kg, ratio_l_per_kg, liquor_nominal_l, liquor_l;
    mdr_fig_id fabric_m, rope_m, speed_m_per_min, cycle_min;
    mdr_fig_id total_min, water_l, water_l_per_kg, steam_kg, power_kwh, chemicals_kg;
    mdr_fig_id depth_pct_owf;
    mdr_fig_id chemicals_minor, utilities_minor, cost_minor, cost_minor_per_kg;
    mdr_fig_id effluent_l, water_minor, effluent_minor, steam_minor, power_minor;
    mdr_plan_footprint foot;
    const mdr_plan_finish *finish; /* NULL: the route has no passes, or the article lacks what it
                                      takes (a warning says so) */
    mdr_plan_bath *baths;
    int n_baths;
    mdr_plan_total *totals; /* in the order of first use */
    int n_totals;
    mdr_warn *warns; /* in the order of the plan */
    int n_warns;
    mdr_plan_point *curve; /* t increasing (not strictly: a dose of cold water makes a step) */
    int n_points;
} mdr_plan;

typedef struct mdr_plan_in {
    const mdr_lot *lot;
    const mdr_machine *machine;
    const mdr_route *route; /* resolved, and passed by mdr_route_check_all */
    const mdr_site *site;
    const mdr_material *const *materials; /* every one the route names */
    int n_materials;
    const mdr_dose_table *const *tables; /* every one the route or the dyes name */
    int n_tables;
    const mdr_finisher *finishers; /* all of the mill */
    int n_finishers;
    const mdr_article *articles; /* all of the mill: samples of the same kind count */
    int n_articles;
    const mdr_pass_reading *readings; /* passes that were run, in any order */
    int n_readings;
} mdr_plan_in;

/*
 * Plans the lot. What the machine cannot do is a warning in the plan, never an error, and never
 * changed in silence.
 *   errors   MDR_E_RANGE     a field of lot, machine, article, material or site is outside what
 *                            it can be (place names it)
 *            MDR_E_NOTFOUND  a material or a table that the route names is not among the inputs
 *            MDR_E_CONFLICT  two readings behind one pass; or the route dyes, but the shade has no recipe; or their classes differ;
 *                            or a dose in mL/L of a solid
 *            MDR_E_NOMEM
 */
mdr_code mdr_plan_make(const mdr_plan_in *in, mdr_arena *arena, const mdr_plan **out,
                       mdr_err *err) MDR_MUST_CHECK;

/* What the check of this step is reckoned to read, as it is read (in the bath, or cooled); NONE where
 * the chemistry does not know, or there is no check. */
mdr_fig_id mdr_plan_expected(const mdr_plan_bath *bath, const mdr_plan_step *step);
/* A product of this substance, or a dye, is dosed here. */
bool mdr_plan_step_gives(const mdr_plan_step *step, int substance);
bool mdr_plan_bath_gives(const mdr_plan_bath *bath, int substance);
bool mdr_plan_step_gives_dye(const mdr_plan_step *step);
bool mdr_plan_bath_gives_dye(const mdr_plan_bath *bath);
/* 0 or the end of its hottest step; a hot bath of the after-treatment soaps. */
double mdr_plan_bath_hottest_c(const mdr_figs *figs, const mdr_plan_bath *bath);
bool mdr_plan_bath_soaps(const mdr_figs *figs, const mdr_plan_bath *bath);
/* The last bath that says how much dye is loose. */
bool mdr_plan_bath_last_loose(const mdr_plan *plan, const mdr_plan_bath *bath);
/* Warnings of a plan that forbid running it. */
int mdr_plan_stops(const mdr_plan *plan);

#endif
