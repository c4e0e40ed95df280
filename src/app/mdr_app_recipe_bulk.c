/* What the lots taught from laboratory to bulk, offered beside the recipes that were found. */
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_recipe_in.h"
#include "wire/mdr_json.h"

static const mdr_bulk_offers *offers_of(const mdr_dyelab *lab)
{
    return lab->asked->stock != NULL ? lab->asked->stock->bulk : NULL;
}

static void put_offer(mdr_json *j, const mdr_bulk_offer *o)
{
    static const double PCT = 100.0;
    mdr_json_object(j, NULL);
    mdr_json_text(j, "dye_id", o->dye_id);
    mdr_json_number(j, "multiply", o->multiply);
    mdr_json_number(j, "factor", o->known.factor);
    mdr_json_number(j, "low", o->known.low);
    mdr_json_number(j, "high", o->known.high);
    mdr_json_text(j, "level", mdr_bulk_level_id(o->known.level));
    mdr_json_int(j, "lots", o->known.lots);
    mdr_json_number(j, "own_weight_pct", PCT * o->known.own_weight);
    mdr_json_text(j, "use", mdr_bulk_use_id(o->use.verdict));
    mdr_json_text(j, "words", o->words);
    mdr_json_end_object(j);
}

void mdr_dyelab_put_bulk(mdr_json *j, const mdr_dyelab *lab)
{
    const mdr_bulk_offers *offers = offers_of(lab);
    if (offers == NULL) {
        return;
    }
    mdr_json_object(j, "bulk");
    mdr_json_text(j, "shade_id", offers->asked.shade_id);
    mdr_json_text(j, "machine_id", offers->asked.machine_id);
    mdr_json_bool(j, "best_guess", offers->asked.best_guess);
    mdr_json_int(j, "lots", offers->lots);
    mdr_json_array(j, "dyes");
    for (int i = 0; i < offers->n; i++) {
        put_offer(j, &offers->of[i]);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

static bool is_multiplied(const mdr_bulk_offers *offers, const mdr_dyelab_recipe *recipe)
{
    bool any = false;
    for (int i = 0; i < recipe->n; i++) {
        any = any || mdr_bulk_offered(offers, recipe->dye_id[i]) != 1.0;
    }
    return any;
}

void mdr_dyelab_put_recipe_bulk(mdr_json *j, const mdr_dyelab *lab, const mdr_dyelab_recipe *recipe)
{
    const mdr_bulk_offers *offers = offers_of(lab);
    if (offers == NULL) {
        return;
    }
    mdr_json_object(j, "bulk");
    mdr_json_bool(j, "differs", is_multiplied(offers, recipe));
    mdr_json_array(j, "dyes");
    for (int i = 0; i < recipe->n; i++) {
        const double factor = mdr_bulk_offered(offers, recipe->dye_id[i]);
        mdr_json_object(j, NULL);
        mdr_json_text(j, "dye_id", recipe->dye_id[i]);
        mdr_json_number(j, "laboratory_pct_owf", recipe->depth_pct_owf[i]);
        mdr_json_number(j, "multiply", factor);
        mdr_json_number(j, "depth_pct_owf", mdr_bulk_depth(recipe->depth_pct_owf[i], factor));
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

static const char *recipe_words(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe)
{
    const mdr_bulk_offers *offers = offers_of(lab);
    char text[200] = "";
    for (int i = 0; i < recipe->n; i++) {
        const size_t used = strlen(text);
        const double factor = mdr_bulk_offered(offers, recipe->dye_id[i]);
        (void)snprintf(text + used, sizeof text - used, "%s%s %.4g", i > 0 ? " + " : "",
                       recipe->dye_id[i], mdr_bulk_depth(recipe->depth_pct_owf[i], factor));
    }
    const char *kept = mdr_arena_text(lab->desk.arena, text);
    return kept != NULL ? kept : "";
}

void mdr_dyelab_say_bulk(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe)
{
    const mdr_bulk_offers *offers = offers_of(lab);
    if (offers == NULL || recipe->n == 0) {
        return;
    }
    mdr_desk_group(&lab->desk, "bulk", "Laboratory to bulk, offered");
    mdr_desk_text(&lab->desk, "machine", "machine", offers->asked.machine_id,
                  offers->asked.machine_id);
    mdr_desk_number(&lab->desk, "lots", "lots of the mill", "", offers->lots);
    if (is_multiplied(offers, recipe)) {
        const char *words = recipe_words(lab, recipe);
        mdr_desk_text(&lab->desk, "recipe", "best recipe times the factors, % owf", words, words);
    }
    for (int i = 0; i < recipe->n; i++) {
        const mdr_bulk_offer *o = mdr_bulk_offer_of(offers, recipe->dye_id[i]);
        const char *words = o != NULL ? o->words : "no lot was dyed with it";
        mdr_desk_text(&lab->desk, recipe->dye_id[i], recipe->dye_id[i], words, words);
    }
    mdr_desk_group(&lab->desk, NULL, NULL);
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_BULK);
    mdr_desk_note(&lab->desk,
                  "No factor is in the recipes above: take it with the recipe, or not.");
}
