/*
 * plan_kit.h - small parts for building lots, machines and routes in tests. Everything invented.
 */
#ifndef PLAN_KIT_H
#define PLAN_KIT_H

#include "core/plan/mdr_plan.h"

/* A one-tonne winch, a jersey of 160 g/m2 and 1.80 m, a site with steam of 4 bar g. */
mdr_machine kit_machine(void);
mdr_article kit_article(void);
mdr_site kit_site(void);

/* Materials by name: "dye", "salt" (Na2SO4), "glauber10" (decahydrate), "soda", "caustic" (50 %),
 * "caustic38be", "peroxide" (50 %), "acid" (acetic 80 %), "soap" (a liquid auxiliary),
 * "dithionite"; "nacl", "formic" (85 %), "citric", "sulphuric" (50 %), "seq" (120 mg CaCO3/g),
 * "demin" (90 mg CaCO3/g and 3 mol acid/kg), "catalase" (1500 mg H2O2/g). Dyes of other classes,
 * for recipes: "turquoise" (reactive), "vat-in", "vat-iw", "direct-a", "direct-b", "direct-c".
 * NULL: no such. */
const mdr_material *kit_material(const char *material_id);
extern const mdr_material *const kit_materials[];
extern const int kit_materials_count;
extern const mdr_dose_table *const kit_tables[];
extern const int kit_tables_count;

/* A lot of this mass on one roll with a shade of 2 % of "dye" (or white). */
typedef struct kit_lot {
    mdr_article article;
    mdr_recipe_dye dyes[1];
    mdr_shade shade;
    mdr_roll roll[1];
    mdr_lot lot;
} kit_lot;
void kit_lot_make(kit_lot *out, double kg, double ratio_l_per_kg, bool white);

/* A bench for lots of several stages: set up, add stages and their baths, run. */
typedef struct kit_bench {
    mdr_machine machine;
    mdr_site site;
    kit_lot lot;
    mdr_recipe_dye dyes[8]; /* used when lot.shade.dyes points here */
    const mdr_material *materials[32];
    const mdr_dose_table *tables[4];
    int n_materials, n_tables;
    mdr_route_bath baths[12];
    mdr_route_stage stages[4];
    mdr_route route;
    int n_baths;
    mdr_arena *arena;
    const mdr_plan *plan; /* NULL when it was refused */
    mdr_err err;
} kit_bench;
/* 2 % of one dye of this class ("dye", "direct-a", "vat-in"), none for MDR_CLASS_NONE; all kit
 * materials and tables; one stage of dyeing. */
void kit_bench_ready(kit_bench *b, double kg, double ratio_l_per_kg, mdr_dye_class dye_class);
/* The baths that follow belong to a new stage; the first call renames the stage that is there. */
void kit_bench_stage(kit_bench *b, mdr_stage_kind kind);
/* The steps are copied, their items must outlive the plan. */
void kit_bench_bath(kit_bench *b, const mdr_route_step *steps, int n);
mdr_code kit_bench_run(kit_bench *b);
void kit_bench_free(kit_bench *b);
double kit_bench_value(const kit_bench *b, mdr_fig_id id);
/* The first warning of this id, or NULL. */
const mdr_warn *kit_bench_warned(const kit_bench *b, mdr_warn_id id);

/* Steps. */
mdr_route_step kit_fill(double temp_c);
mdr_route_step kit_heat(double temp_c, double rate_c_per_min);
mdr_route_step kit_cool(double temp_c, double rate_c_per_min);
mdr_route_step kit_hold(double minutes);
mdr_route_step kit_rinse(double minutes, double flow_l_per_min);
mdr_route_step kit_drain(void);
mdr_route_step kit_check(mdr_check_kind kind, double low, double high); /* below 0: no limit */
mdr_route_step kit_dose(const mdr_route_item *item, double minutes);
mdr_route_item kit_item(const char *material_id, mdr_basis basis, double amount);

#endif
