/*
 * mdr_records.h - what a mill knows: machines, articles, materials, shades, lots, site.
 *
 * Layer: core/plan (pure data; no functions that can fail). The mill store fills these from
 * its tables, the planner reads them; every physical field ends in its unit, the same name
 * stands in the CSV header and in JSON.
 * Lifetime: text pointers live in the arena that loaded the record and are never NULL ("" when
 * nothing was given). Optional numbers are 0 when not given, where 0 is not a possible value;
 * the field comment says so.
 */
#ifndef MDR_RECORDS_H
#define MDR_RECORDS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "core/exhaust/mdr_dye_group.h"
#include "core/finish/mdr_pass.h"

/* X(enumerator, text id used in CSV, JSON and SQL, words) */
#define MDR_MACHINE_KINDS(X)                        \
    X(MDR_MACHINE_WINCH, "winch", "Winch")          \
    X(MDR_MACHINE_OVERFLOW, "overflow", "Overflow") \
    X(MDR_MACHINE_JET, "jet", "Jet")                \
    X(MDR_MACHINE_AIRFLOW, "air-flow", "Air-flow")  \
    X(MDR_MACHINE_SAMPLE, "sample", "Sample machine")

/* Where the water that dissolves an addition in the side tank comes from. */
#define MDR_TANK_WATERS(X)                    \
    X(MDR_TANK_FRESH, "fresh", "fresh water") \
    X(MDR_TANK_BATH, "bath", "liquor drawn from the bath")

#define MDR_CONSTRUCTIONS(X)                                    \
    X(MDR_KNIT_SINGLE_JERSEY, "single-jersey", "Single jersey") \
    X(MDR_KNIT_RIB_1X1, "rib-1x1", "1x1 rib")                   \
    X(MDR_KNIT_INTERLOCK, "interlock", "Interlock")             \
    X(MDR_KNIT_PIQUE, "pique", "Pique")                         \
    X(MDR_KNIT_FLEECE, "fleece", "Fleece")

#define MDR_DYE_CLASSES(X)                        \
    X(MDR_CLASS_NONE, "none", "No dye")           \
    X(MDR_CLASS_REACTIVE, "reactive", "Reactive") \
    X(MDR_CLASS_DIRECT, "direct", "Direct")       \
    X(MDR_CLASS_VAT, "vat", "Vat")

#define MDR_FORMS(X)                           \
    X(MDR_FORM_POWDER, "powder", "powder")     \
    X(MDR_FORM_GRANULE, "granule", "granules") \
    X(MDR_FORM_CRYSTAL, "crystal", "crystals") \
    X(MDR_FORM_LIQUID, "liquid", "liquid")     \
    X(MDR_FORM_PASTE, "paste", "paste")

/* The active substance, as far as its stoichiometry matters to a rule. */
#define MDR_SUBSTANCES(X)                                     \
    X(MDR_SUB_OTHER, "other", "proprietary or mixed product") \
    X(MDR_SUB_DYE, "dye", "dye")                              \
    X(MDR_SUB_NAOH, "NaOH", "sodium hydroxide")               \
    X(MDR_SUB_NA2CO3, "Na2CO3", "sodium carbonate")           \
    X(MDR_SUB_NAHCO3, "NaHCO3", "sodium hydrogen carbonate")  \
    X(MDR_SUB_NACL, "NaCl", "sodium chloride")                \
    X(MDR_SUB_NA2SO4, "Na2SO4", "sodium sulphate")            \
    X(MDR_SUB_H2O2, "H2O2", "hydrogen peroxide")              \
    X(MDR_SUB_HAC, "CH3COOH", "acetic acid")                  \
    X(MDR_SUB_FORMIC, "HCOOH", "formic acid")                 \
    X(MDR_SUB_CITRIC, "citric", "citric acid")                \
    X(MDR_SUB_DITHIONITE, "Na2S2O4", "sodium dithionite")     \
    X(MDR_SUB_ENZYME, "enzyme", "enzyme")                     \
    X(MDR_SUB_SEQUESTRANT, "sequestrant", "sequestrant")      \
    X(MDR_SUB_CATALASE, "catalase", "catalase")               \
    X(MDR_SUB_H2SO4, "H2SO4", "sulphuric acid")

/* Dyes that ask for another treatment than the usual dye of their class. */
#define MDR_NATURES(X)                                                           \
    X(MDR_NATURE_USUAL, "usual", "usual")                                        \
    X(MDR_NATURE_PHTHALOCYANINE, "phthalocyanine", "phthalocyanine (turquoise)") \
    X(MDR_NATURE_BLACK, "black", "black")

/* How a dose table is read between two of its depths. */
#define MDR_BETWEENS(X)                                   \
    X(MDR_BETWEEN_STEP, "step", "the amount of the band") \
    X(MDR_BETWEEN_LINEAR, "linear", "in proportion between the depths")

/* What a short liquor ratio changes in the amount a dose table gives. */
#define MDR_RATIO_RULES(X)                                    \
    X(MDR_RATIO_RULE_NONE, "none", "the same at every ratio") \
    X(MDR_RATIO_RULE_BAND_LESS, "band-less-below-6", "one band less below 6 L/kg")

/* How an amount is turned into another salt than the one the table counts. */
#define MDR_SWAPS(X)                                \
    X(MDR_SWAP_MASS, "mass", "the same mass")       \
    X(MDR_SWAP_SODIUM, "sodium", "the same sodium") \
    X(MDR_SWAP_IONIC, "ionic-strength", "the same ionic strength")

/* Dangers of a product, for the cautions on cards and screens. The sentence of each stands in
 * the language catalogue under caution.<id>. Bits of a set: 1u << enumerator. */
#define MDR_CAUTIONS(X)                                 \
    X(MDR_CAUTION_CORROSIVE_ALKALI, "corrosive-alkali") \
    X(MDR_CAUTION_CORROSIVE_ACID, "corrosive-acid")     \
    X(MDR_CAUTION_OXIDISER, "oxidiser")                 \
    X(MDR_CAUTION_REDUCER, "reducer")                   \
    X(MDR_CAUTION_DUST, "dust")                         \
    X(MDR_CAUTION_SENSITISER, "sensitiser")             \
    X(MDR_CAUTION_IRRITANT, "irritant")                 \
    X(MDR_CAUTION_FLAMMABLE, "flammable")               \
    X(MDR_CAUTION_HOT_LIQUOR, "hot-liquor")             \
    X(MDR_CAUTION_PRESSURE, "pressure")                 \
    X(MDR_CAUTION_ROTATING, "rotating")

#define MDR_LOT_STAGES(X)                              \
    X(MDR_LOT_OPEN, "open", "Waiting for grey fabric") \
    X(MDR_LOT_READY, "ready", "Grey ready")            \
    X(MDR_LOT_PLANNED, "planned", "Planned")           \
    X(MDR_LOT_DYEING, "dyeing", "On the machine")      \
    X(MDR_LOT_FINISHING, "finishing", "Finishing")     \
    X(MDR_LOT_DONE, "done", "Done")

#define MDR_FINISH_LINES(X)                      \
    X(MDR_LINE_OPEN, "open-width", "Open width") \
    X(MDR_LINE_TUBULAR, "tubular", "Tubular")

/* Machines of the finishing line, by the pass they make: those of mdr_pass_kind, in its order. */
#define MDR_FINISHER_KINDS(X)                                   \
    X(MDR_PASS_DEWATER, "dewatering", "Squeezing and slitting") \
    X(MDR_PASS_PAD, "padder", "Padding")                        \
    X(MDR_PASS_STENTER, "stenter", "Stenter")                   \
    X(MDR_PASS_COMPACT, "compactor", "Compacting")              \
    X(MDR_PASS_BALLOON, "balloon-squeeze", "Balloon squeeze")   \
    X(MDR_PASS_SPREAD, "spreader", "Spreading")                 \
    X(MDR_PASS_RELAX_DRY, "relax-dryer", "Relaxed drying")      \
    X(MDR_PASS_TUBE_COMPACT, "tube-compactor", "Compacting the tube")

#define MDR_ENUM_MEMBER(name, ...) name,
typedef enum mdr_machine_kind { MDR_MACHINE_KINDS(MDR_ENUM_MEMBER) } mdr_machine_kind;
typedef enum mdr_tank_water { MDR_TANK_WATERS(MDR_ENUM_MEMBER) } mdr_tank_water;
typedef enum mdr_construction { MDR_CONSTRUCTIONS(MDR_ENUM_MEMBER) } mdr_construction;
typedef enum mdr_dye_class { MDR_DYE_CLASSES(MDR_ENUM_MEMBER) } mdr_dye_class;
typedef enum mdr_form { MDR_FORMS(MDR_ENUM_MEMBER) } mdr_form;
typedef enum mdr_substance { MDR_SUBSTANCES(MDR_ENUM_MEMBER) } mdr_substance;
typedef enum mdr_nature { MDR_NATURES(MDR_ENUM_MEMBER) } mdr_nature;
typedef enum mdr_between { MDR_BETWEENS(MDR_ENUM_MEMBER) } mdr_between;
typedef enum mdr_ratio_rule { MDR_RATIO_RULES(MDR_ENUM_MEMBER) } mdr_ratio_rule;
typedef enum mdr_swap { MDR_SWAPS(MDR_ENUM_MEMBER) } mdr_swap;
typedef enum mdr_caution { MDR_CAUTIONS(MDR_ENUM_MEMBER) MDR_CAUTION_COUNT } mdr_caution;
typedef enum mdr_lot_stage { MDR_LOT_STAGES(MDR_ENUM_MEMBER) } mdr_lot_stage;
typedef enum mdr_finish_line { MDR_FINISH_LINES(MDR_ENUM_MEMBER) } mdr_finish_line;

/* Text id and words of each; NULL for a value outside the list. */
const char *mdr_machine_kind_id(mdr_machine_kind k);
const char *mdr_machine_kind_words(mdr_machine_kind k);
const char *mdr_tank_water_id(mdr_tank_water k);
const char *mdr_tank_water_words(mdr_tank_water k);
const char *mdr_construction_id(mdr_construction k);
const char *mdr_construction_words(mdr_construction k);
const char *mdr_dye_class_id(mdr_dye_class k);
const char *mdr_dye_class_words(mdr_dye_class k);
const char *mdr_form_words(mdr_form k);
const char *mdr_substance_id(mdr_substance k);
const char *mdr_substance_words(mdr_substance k);
const char *mdr_nature_id(mdr_nature k);
const char *mdr_nature_words(mdr_nature k);
const char *mdr_between_id(mdr_between k);
const char *mdr_between_words(mdr_between k);
const char *mdr_ratio_rule_id(mdr_ratio_rule k);
const char *mdr_ratio_rule_words(mdr_ratio_rule k);
const char *mdr_swap_id(mdr_swap k);
const char *mdr_swap_words(mdr_swap k);
const char *mdr_caution_id(mdr_caution k);
const char *mdr_lot_stage_id(mdr_lot_stage k);
const char *mdr_lot_stage_words(mdr_lot_stage k);
const char *mdr_finish_line_id(mdr_finish_line k);
const char *mdr_finisher_kind_id(mdr_pass_kind k);
const char *mdr_finisher_kind_words(mdr_pass_kind k);
/* Solids must be dissolved, liquids only diluted. */
bool mdr_form_is_liquid(mdr_form k);
/* Whether the text can be the id of a record: 1..40 of A-Z a-z 0-9 - _ . */
bool mdr_id_valid(const char *id);

typedef struct mdr_machine {
    const char *machine_id, *name;
    int kind;  /* mdr_machine_kind */
    int tubes; /* ropes (chambers) side by side, 1..16 */
    double load_min_kg, load_max_kg;
    double liquor_min_l, liquor_max_l;               /* circulation works between these */
    double ratio_min_l_per_kg;                       /* least liquor per kg it can run with */
    double speed_min_m_per_min, speed_max_m_per_min; /* rope speed: reel or nozzle */
    double cycle_max_min;                            /* rope cycle the mill allows on it */
    double temp_max_c;
    double drain_temp_max_c;      /* above this the drain is interlocked */
    double exchanger_kw_per_k;    /* UA of the heat exchanger */
    double circulation_l_per_min; /* pump flow through the exchanger; 0: not limiting */
    double steam_max_kg_per_h;    /* what its steam valve passes */
    double steel_kg;              /* metal that is heated with the bath */
    double heat_max_c_per_min, cool_max_c_per_min; /* steepest ramps the control allows */
    double fill_l_per_min, drain_l_per_min, rinse_l_per_min;
    double tank_l;              /* usable volume of the addition tank */
    double tank_flow_l_per_min; /* its dosing pump at full speed */
    double tank_prepare_min;    /* filling and dissolving one tank load */
    int tank_water;             /* mdr_tank_water */
    double load_time_min, unload_time_min;
    double power_kw;          /* pumps, reel and blower while running */
    double air_g_o2_per_kg_h; /* oxygen the running rope draws from the air; 0: the usual of
                                 the kind */
} mdr_machine;

/* A machine of the finishing line: what it can be set to, and what it is usually set to. */
typedef struct mdr_finisher {
    const char *finisher_id, *name;
    int kind; /* mdr_pass_kind */
    /* of the fabric as it lies: full open width, or the flat width of a tube */
    double width_min_cm, width_max_cm;
    double overfeed_min_pct, overfeed_pct, overfeed_max_pct; /* the middle one: usual */
    double width_change_pct; /* usual; a machine that sets the width: not looked at */
    double moisture_out_pct; /* usual, % on bone dry; a spreader: not looked at */
    double temp_c;           /* of air, felt or shoe; 0: cold */
    double speed_m_per_min, speed_max_m_per_min; /* usual, and fastest */
    double oven_m;                               /* heated length; 0: dries nothing */
    double h_w_per_m2_k;      /* heat transfer of each face, fitted; 0: not fitted yet */
    double exhaust_kg_per_kg; /* humidity of what its fan blows out; 0: not measured */
    double power_kw;
    const char *remark;
} mdr_finisher;

/* A piece of the finished article, washed and tumbled until nothing shrinks any more, and
 * conditioned. */
typedef struct mdr_wash_sample {
    const char *sample_id, *article_id;
    int64_t washed_utc_ms;
    double loop_mm;                      /* unroved from it, or as knitted */
    double courses_per_cm, wales_per_cm; /* of one face */
    double gsm;
    double spirality_pct; /* run of the wale line per rise; 0: none, or not measured */
    const char *remark;
} mdr_wash_sample;

typedef struct mdr_article {
    const char *article_id, *name;
    int construction; /* mdr_construction */
    double yarn_ne;   /* English cotton count of the ground yarn */
    double loop_mm;   /* loop length of the ground */
    int gauge_per_inch;
    double diameter_inch;
    int feeders;
    double elastane_pct;  /* of the fabric mass; 0: none */
    double grey_gsm;      /* g/m2, grey */
    double grey_width_cm; /* full open width, grey (twice the flat width of a tube) */
    double finished_gsm, finished_width_cm; /* specification */
    double shrink_length_max_pct, shrink_width_max_pct, spirality_max_pct;
    double retained_l_per_kg;                      /* liquor the drained rope keeps */
    double calcium_mg_per_kg, magnesium_mg_per_kg; /* in the raw fabric; 0: the middle of the
                                                      published range */
    int finish_line;                               /* mdr_finish_line */
    double gsm_tol_pct, width_tol_cm;              /* both ways; 0: the usual */
    const char *remark;
    const mdr_wash_sample *samples; /* washed samples of it, by their number */
    int n_samples;
} mdr_article;

/* A dye or a chemical as delivered. Money is in the minor unit of the mill's currency. */
typedef struct mdr_material {
    const char *material_id, *name;
    bool is_dye;
    int dye_class;             /* mdr_dye_class; NONE for a chemical */
    const char *group;         /* dyes: family within the class; chemicals: what it does */
    int substance;             /* mdr_substance */
    int form;                  /* mdr_form */
    double strength_pct;       /* active substance, % w/w of the product as delivered (dyes: % of
                              the standard strength, may exceed 100); 0 when baume is given */
    double baume;              /* degree Baume (145 - 145/SG) instead of strength; 0: not given */
    double density_kg_per_l;   /* liquids and pastes; 0 for solids, or when baume gives it */
    double solubility_g_per_l; /* g of product per litre in the addition tank; solids: > 0;
                                  liquids: 0, added as they are */
    double price_minor_per_kg; /* 0: no price known */
    double stock_kg;           /* opening stock and all moves since */
    double cod_g_per_g;        /* chemical oxygen demand of 1 g as delivered; 0: not known */
    double co2_kg_per_kg;      /* footprint of making it; 0: not counted */
    /* chemicals: what 1 g of the product takes up: a sequestrant mg of CaCO3, a catalase mg of
     * H2O2; 0: not given, or neither of the two */
    double capacity_mg_per_g;
    /* chemicals: acid of a proprietary product as delivered, counted like acetic acid; 0: none */
    double acid_mol_per_kg;
    /* dyes: of the dye used, what leaves the bath and what stays bound after the soaping;
     * 0: the usual of the class; fixation <= exhaustion */
    double exhaustion_pct, fixation_pct;
    /* dyes, in the standard dyeing of their group (core/exhaust/mdr_dye_standard.h); 0: not known.
     * The first two and the minutes of the second: reactive dyes only */
    double primary_exhaustion_pct, fix_first_pct, fix_first_min, half_dyeing_min;
    double molar_g_per_mol, charge; /* dyes: of the product, negative charges; 0: not known */
    int dyeing_group;               /* dyes: mdr_dye_group, of the dye's class or UNSTATED */
    int nature;                     /* dyes: mdr_nature */
    const char *salt_table, *alkali_table; /* dyes: dose tables by depth, "" when none */
    uint32_t cautions;                     /* set of 1u << mdr_caution */
    const char *swatch;                    /* dyes: "#rrggbb" for the screen, or "" */
    const char *weigh_class, *storage;     /* how it is weighed, where it stands; "" */
    const char *remark;
} mdr_material;

/* One band of a dose table: up to and including this depth, this much. */
typedef struct mdr_dose_band {
    double depth_max_pct_owf;
    double amount_g_per_l;
} mdr_dose_band;

typedef struct mdr_dose_table {
    const char *table_id, *title, *source;
    const mdr_dose_band *bands; /* depth_max strictly increasing */
    int n_bands;
    int counted_as; /* mdr_substance the amounts count, at 100 %; OTHER: the product as the route
                       names it */
    int between;    /* mdr_between */
    int ratio_rule; /* mdr_ratio_rule */
    int swap;       /* mdr_swap */
} mdr_dose_table;

typedef struct mdr_recipe_dye {
    const mdr_material *dye;
    double depth_pct_owf;
} mdr_recipe_dye;

enum { MDR_RECIPE_LINES_MAX = 8 };

/* What somebody chose to multiply a laboratory's recipe by (quality/mdr_bulk_factor.h), line by line;
 * the depths of the recipe are the products. */
typedef struct mdr_recipe_bulk {
    const char *machine_id;                  /* whose lots taught it */
    double factor[MDR_RECIPE_LINES_MAX];     /* 1: of this dye the laboratory's depth */
    const char *words[MDR_RECIPE_LINES_MAX]; /* range and lots as they were then; may be "" */
} mdr_recipe_bulk;

typedef struct mdr_shade {
    const char *shade_id, *name;
    int dye_class;               /* mdr_dye_class; NONE for full white */
    double lab_l, lab_a, lab_b;  /* CIELAB of the standard, D65, 10 degree observer */
    double tolerance_de;         /* CMC(2:1) */
    const mdr_recipe_dye *dyes;  /* the recipe; none for white */
    int n_dyes;                  /* 0..MDR_RECIPE_LINES_MAX */
    const mdr_recipe_bulk *bulk; /* NULL: the depths are the laboratory's */
} mdr_shade;

typedef struct mdr_roll {
    const char *roll_id;
    double grey_kg;
} mdr_roll;

/* A lot as the planner needs it. */
typedef struct mdr_lot {
    const char *lot_id, *order_id, *customer;
    const mdr_article *article;
    const mdr_shade *shade;
    const mdr_roll *rolls;
    int n_rolls;
    double weighed_kg;      /* mass at loading; 0: not weighed, the rolls are added up */
    double ratio_l_per_kg;  /* liquor ratio the lot asks for */
    double speed_m_per_min; /* rope speed; 0: the machine's fastest */
    int tubes_used;         /* 0: all of the machine's */
    double loss_pct;        /* from grey to finished, % of grey: by the order */
    int stage;              /* mdr_lot_stage */
    int64_t due_utc_ms;
} mdr_lot;

/* What a customer asked for. Finished kilograms; the grey need follows from the loss. */
typedef struct mdr_order {
    const char *order_id, *customer, *article_id, *shade_id;
    double ordered_kg;
    double loss_pct; /* grey to finished, of the grey mass */
    int64_t due_utc_ms;
    const char *remark;
} mdr_order;

/* Water, steam and prices of the site. */
typedef struct mdr_site {
    const char *name, *currency; /* ISO 4217 */
    bool invented;               /* demo mill: every page and card says so */
    bool release_by_other;       /* whoever accepted outside the limits does not release the lot */
    double cold_water_c;
    double hot_water_c; /* <= cold_water_c: the site has no hot water tank */
    double cooling_water_c;
    double room_c;
    double hardness_dh; /* of the process water, degree German */
    double steam_barg;
    double water_minor_per_m3, effluent_minor_per_m3, steam_minor_per_t, power_minor_per_mwh;
    double alkalinity_mmol_per_l; /* hydrogen carbonate of the process water; 0: none */
    /* footprint of each; water: supply and effluent treatment together; 0: not counted */
    double steam_co2_kg_per_t, power_co2_kg_per_mwh, water_co2_kg_per_m3;
} mdr_site;

#endif
