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
 * "dithionite". NULL: no such. */
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

/* Steps. */
mdr_route_step kit_fill(double temp_c);
mdr_route_step kit_heat(double temp_c, double rate_c_per_min);
mdr_route_step kit_cool(double temp_c, double rate_c_per_min);
mdr_route_step kit_hold(double minutes);
mdr_route_step kit_rinse(double minutes, double flow_l_per_min);
mdr_route_step kit_drain(void);
mdr_route_step kit_dose(const mdr_route_item *item, double minutes);
mdr_route_item kit_item(const char *material_id, mdr_basis basis, double amount);

#endif
