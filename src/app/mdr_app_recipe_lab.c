/* A laboratory dyeing in millilitres. */
#include "app/mdr_app_recipe_in.h"
#include "core/recipe/mdr_dispense.h"

enum { AUX_SALT, AUX_ALKALI, AUX_COUNT };

static const char *level_words(mdr_dyelab *lab, const char *dye, int level)
{
    const char *text = level == 0 ? mdr_arena_printf(lab->desk.arena, "%s stock", dye)
                                  : mdr_arena_printf(lab->desk.arena, "%s diluted %d", dye, level);
    return text != NULL ? text : dye;
}

static mdr_code put_solutions(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe,
                              const mdr_lab_sheet *sheet, mdr_err *err)
{
    enum { COLUMNS_COUNT = 6 };
    static const mdr_answer_column COLUMNS[COLUMNS_COUNT] = {
        {"solution", "solution", ""},
        {"g_per_l", "strength", "g/L"},
        {"weigh_g", "weigh", "g"},
        {"take_ml", "or take of the one above", "mL"},
        {"flask_ml", "into a flask of", "mL"},
        {"needed_ml", "needed", "mL"}};
    MDR_TRY(mdr_desk_table_of_words(&lab->desk, "solutions", "Solutions, in the order to make them",
                                    COLUMNS, COLUMNS_COUNT, sheet->solutions, err));
    for (int i = 0; i < sheet->solutions; i++) {
        const mdr_lab_solution *s = &sheet->solution[i];
        double *cell = &lab->desk.a->table.cells[(size_t)i * COLUMNS_COUNT];
        const char *name = level_words(lab, recipe->dye_id[s->dye], s->level);
        lab->desk.a->table.texts[(size_t)i * COLUMNS_COUNT] = (mdr_answer_word){name, name};
        cell[1] = s->g_per_l;
        cell[2] = s->weigh_g;
        cell[3] = s->take_ml;
        cell[4] = s->flask_ml;
        cell[5] = s->needed_ml;
    }
    return MDR_OK;
}

static void put_dose(mdr_dyelab *lab, const char *key, const char *label, const mdr_lab_dose *d)
{
    mdr_desk_group(&lab->desk, key, label);
    if (d->ml > 0.0) {
        mdr_desk_number(&lab->desk, "ml", "pipette", "mL", d->ml);
        mdr_desk_number(&lab->desk, "error_pct", "off by rounding", "%", d->error_pct);
    }
    mdr_desk_number(&lab->desk, "g", d->ml > 0.0 ? "which holds" : "weigh in", "g", d->g);
    mdr_desk_group(&lab->desk, NULL, NULL);
}

mdr_code mdr_recipe_dispense(mdr_dyelab *lab, mdr_err *err)
{
    mdr_dyelab_recipe recipe;
    MDR_TRY(mdr_dyelab_recipe_read(lab, &recipe, err));
    const mdr_recipe_ask *q = lab->q;
    mdr_lab_dye dyes[MDR_LAB_DYES_MAX];
    const mdr_lab_aux aux[AUX_COUNT] = {{0.0}, {0.0}}; /* weighed in as they are */
    mdr_lab_pot pot = {.sample_g = q->sample_g,
                       .ratio_l_per_kg = q->ratio_l_per_kg,
                       .vessel_ml = q->has_vessel ? q->vessel_ml : q->sample_g * q->ratio_l_per_kg,
                       .aux_g_per_l = {q->salt_g_per_l, q->alkali_g_per_l}};
    for (int i = 0; i < recipe.n; i++) {
        dyes[i] = (mdr_lab_dye){q->stock_g_per_l};
        pot.depth_pct_owf[i] = recipe.depth_pct_owf[i];
    }
    mdr_lab_in in = {.tools = mdr_lab_tools_usual(),
                     .dyes = dyes,
                     .aux = aux,
                     .pots = &pot,
                     .n_dyes = recipe.n,
                     .n_aux = AUX_COUNT,
                     .n_pots = 1};
    in.tools.pipette_least_ml = q->pipette_least_ml;
    in.tools.pipette_step_ml = q->pipette_step_ml;
    mdr_lab_sheet sheet;
    MDR_TRY(mdr_lab_dispense(&in, lab->desk.arena, &sheet, err));
    const mdr_lab_pot_sheet *p = &sheet.pot[0];
    mdr_desk_number(&lab->desk, "liquor_ml", "liquor", "mL", p->liquor_ml);
    for (int i = 0; i < recipe.n; i++) {
        put_dose(lab, recipe.dye_id[i], level_words(lab, recipe.dye_id[i], p->dye[i].level),
                 &p->dye[i]);
    }
    if (q->salt_g_per_l > 0.0) {
        put_dose(lab, "salt", "Salt", &p->aux[AUX_SALT]);
    }
    if (q->alkali_g_per_l > 0.0) {
        put_dose(lab, "alkali", "Alkali", &p->aux[AUX_ALKALI]);
    }
    mdr_desk_number(&lab->desk, "water_ml", "water to top it up", "mL", p->water_ml);
    MDR_TRY(put_solutions(lab, &recipe, &sheet, err));
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_DISPENSE);
    mdr_desk_note(&lab->desk,
                  "Dye powder: weigh under the exhaust with gloves and mask. The safety "
                  "data sheet and the rules of the laboratory decide.");
    return MDR_OK;
}
