/*
 * mdr_control.h - the control recipe of a batch: what of a plan the floor needs, taken once and
 * never changed.
 *
 * Layer: core/run (pure). A plan points into the mill's records, which change; a control recipe
 * (ISA-88 word: the copy of a recipe that one batch is run by) stands alone. Masses to be weighed
 * are whole milligrams, as they are stored.
 * Methods: docs/methods/record.md
 */
#ifndef MDR_CONTROL_H
#define MDR_CONTROL_H

#include "core/plan/mdr_plan.h"

enum {
    MDR_CONTROL_STEPS_MAX = MDR_ROUTE_BATHS_MAX * MDR_ROUTE_STEPS_MAX,
    MDR_CONTROL_KEY_MAX = 16 /* "12.34", "R3.2" */
};

/* One material of a dose. */
typedef struct mdr_control_item {
    const char *material_id, *name;
    int64_t mass_mg;           /* of the product as delivered, to be weighed; > 0 */
    double volume_l;           /* the same as a volume; 0: not a liquid */
    bool dye;                  /* else a chemical */
    int substance;             /* mdr_substance; for pairs that must not meet */
    uint32_t cautions;         /* set of 1u << mdr_caution */
    double price_minor_per_kg; /* when the plan was frozen; 0: not known */
    double bulk_factor;        /* dye: laboratory to bulk, contained in the mass; 0: none is */
} mdr_control_item;

/* A hold point. */
typedef struct mdr_control_check {
    mdr_check_kind kind;
    bool has_low, has_high, has_expected;
    double low, high; /* pass when low <= reading <= high, as far as given */
    double expected;  /* what the plan foresees */
    bool cooled;
    const char *method, *remedy; /* one line each, may be "" */
    mdr_on_fail on_fail;
} mdr_control_check;

/* The fabric and the dryer behind which a check of moisture stands; moistures % of bone dry. */
typedef struct mdr_control_drying {
    double dry_kg; /* bone dry; 0: the plan reckons no drying, and no remedy can be reckoned */
    double length_m;
    double in_pct, out_pct; /* into and out of the dryer, as planned */
    double speed_m_per_min; /* as planned; 0: not known */
    double speed_max_m_per_min, oven_m;
    double air_c, air_kg_per_kg; /* blown at the fabric; its water */
    double mj_per_kg;            /* heat for a kg of water as planned */
    bool steams;                 /* a compactor follows, whose steam gives moisture */
} mdr_control_drying;

/* What the plan reckons to stand in the vessel when a hold point is reached: what its remedies are
 * reckoned from (mdr_hold.h). */
typedef struct mdr_control_state {
    double load_kg, liquor_l, temp_c;
    double retained_l_per_kg;                 /* of the drained rope */
    double dissolved_kg[MDR_DISSOLVED_COUNT]; /* 100 %; 0: none */
    double loose_mg_per_kg;                   /* dye on the fibre that is not fixed; 0: not known */
    double fix_temp_c;         /* hottest of the bath so far or to come; 0: not known */
    double minutes_left;       /* to the end of this bath: how long a vat's reserve has to last */
    mdr_control_drying drying; /* CHECK of moisture; else nothing */
    int dye_class;             /* mdr_dye_class of the shade */
    bool dyed;                 /* dye has been given, in this bath or before */
    bool dyebath; /* the liquor still carries it: it cannot be drained and filled anew */
    bool fixing;  /* reactive: alkali has been given on the dye */
} mdr_control_state;

typedef struct mdr_control_step {
    const char *key; /* "3.4": bath 3, step 4; of a remedy "R2.1": the batch's 2nd remedy, step 1 */
    int bath;        /* 1.. number of the bath it runs in */
    mdr_step_kind kind;
    const char *note;          /* "" when none */
    double start_min, minutes; /* from the start of the batch, as planned */
    double temp_start_c, temp_end_c;
    double volume_l;       /* FILL, RINSE, DRAIN: water; DOSE: made in the tank; 0: none */
    double water_temp_c;   /* FILL, RINSE; 0: none */
    double flow_l_per_min; /* RINSE; 0: none */
    double liquor_l;       /* in the vessel at the end */
    double steam_kg;       /* to heat, as planned; 0: none, or of a remedy */
    bool beside;           /* runs beside the steps that follow */
    mdr_curve_kind curve;  /* DOSE */
    double exponent;
    int portions;
    const mdr_control_item *items;
    int n_items;
    mdr_control_check check;        /* CHECK */
    const mdr_control_state *state; /* CHECK; NULL: not reckoned */
    uint32_t cautions;
} mdr_control_step;

typedef struct mdr_control_bath {
    int number; /* 1.. */
    const char *name, *stage;
    double liquor_l;
} mdr_control_bath;

typedef struct mdr_control {
    const char *lot_id, *order_id, *article_id, *shade_id, *machine_id, *route_id;
    int route_version, lot_revision;
    char swatch[8]; /* "#rrggbb": the shade as far as a screen can show it */
    double load_kg, ratio_l_per_kg, liquor_l, fabric_m, cycle_min, total_min;
    int64_t cost_minor;
    double water_l, steam_kg, power_kwh;
    double steel_kg,
        steam_kj_per_kg; /* metal heated with the bath; heat of the steam; 0: not known */
    const mdr_control_bath *baths;
    int n_baths;
    const mdr_control_step *steps; /* in the order of their beginning */
    int n_steps;
    const mdr_plan_point *curve;
    int n_points;
} mdr_control;

/*
 * Takes it out of a plan. Texts point into the plan's records.
 *   errors  MDR_E_RANGE a product would have to be weighed in less than 1 mg, or more than a double
 *           can count in milligrams (place: bath and step); MDR_E_INFEAS the plan has a stop
 *           (MDR_SEV_STOP): it cannot be run like this
 */
mdr_code mdr_control_make(const mdr_plan *plan, int lot_revision, mdr_arena *arena,
                          const mdr_control **out, mdr_err *err) MDR_MUST_CHECK;

/* Checks behind the passes of the plan; the steps stand in one bath more, "Finishing". */
int mdr_control_passes(const mdr_plan *plan);
/*
 * Writes them: `steps` has room for mdr_control_passes, `bath` for the bath, whose number is given.
 *   errors  MDR_E_NOMEM
 */
mdr_code mdr_control_take_passes(const mdr_plan *plan, int number, mdr_arena *arena,
                                 mdr_control_bath *bath, mdr_control_step *steps,
                                 mdr_err *err) MDR_MUST_CHECK;

/* low <= value <= high, as far as the check has them. A sample that is looked at and has none: 1, as it should
 * be, is inside; 0 is not. */
bool mdr_check_inside(const mdr_control_check *check, double value);

/* What the plan reckons to stand in the vessel at a step; bath and step 1.. as in its figures. */
mdr_control_state mdr_control_state_at(const mdr_plan *plan, int bath, int step);

#endif
