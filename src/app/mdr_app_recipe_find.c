/* Recipes for a standard, the useful ones first; or how near one comes and what is in the way. */
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_recipe_in.h"
#include "app/mdr_search_threads.h"
#include "wire/mdr_json.h"

/* -- what is found -- */

typedef struct found {
    mdr_dyelab *lab;
    const mdr_dyelab_choices *choices;
    const mdr_search_out *out;
    const mdr_curve *standard;
    mdr_dyelab_doses *doses; /* of each recipe shown, and of the nearest */
} found;

static void put_numbers(mdr_json *j, const char *key, const mdr_curve *c)
{
    mdr_json_array(j, key);
    for (int b = 0; b < MDR_BANDS; b++) {
        mdr_json_number(j, NULL, c->v[b]);
    }
    mdr_json_end_array(j);
}

static void put_recipe(mdr_json *j, const char *key, const found *f, const mdr_recipe *r,
                       const mdr_dyelab_doses *doses)
{
    const mdr_dyelab_recipe dyes = mdr_dyelab_recipe_found(f->lab, f->choices, r);
    mdr_json_object(j, key);
    mdr_json_array(j, "dyes");
    for (int i = 0; i < dyes.n; i++) {
        mdr_json_object(j, NULL);
        mdr_json_text(j, "dye_id", dyes.dye_id[i]);
        mdr_json_number(j, "depth_pct_owf", dyes.depth_pct_owf[i]);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
    mdr_json_object(j, "difference");
    for (int i = 0; i < f->lab->n_lights; i++) {
        mdr_json_number(j, mdr_illuminant_name(f->lab->illuminants[i]), r->de[i]);
    }
    mdr_json_end_object(j);
    mdr_json_number(j, "cost_per_kg", r->cost_per_kg);
    mdr_json_bool(j, "price_missing", r->price_missing);
    mdr_json_number(j, "exhaustion_spread_pct", r->exhaustion_spread_pct);
    mdr_json_number(j, "fixation_spread_pct", r->fixation_spread_pct);
    mdr_json_array(j, "against");
    for (int b = 0; b < MDR_RECIPE_BIT_COUNT; b++) {
        if ((r->flags >> b & 1u) != 0) {
            mdr_json_text(j, NULL, mdr_recipe_flag_id(b));
        }
    }
    mdr_json_end_array(j);
    mdr_dyelab_put_doses(j, doses);
    mdr_dyelab_put_recipe_bulk(j, f->lab, &dyes);
    put_numbers(j, "curve", &r->curve);
    mdr_dyelab_put_seen(j, f->lab, &r->curve, NULL);
    mdr_json_end_object(j);
}

/* "recipes", best first; "nearest"; the standard's curve. */
static void write_recipes(struct mdr_json *json, const void *more)
{
    mdr_json *j = json;
    const found *f = more;
    mdr_json_object(j, "found");
    mdr_json_number(j, "start_nm", MDR_BAND_START_NM);
    mdr_json_number(j, "step_nm", MDR_BAND_STEP_NM);
    put_numbers(j, "standard", f->standard);
    mdr_dyelab_put_lights(j, f->lab, f->standard);
    mdr_dyelab_put_bulk(j, f->lab);
    mdr_json_array(j, "recipes");
    for (int i = 0; i < f->out->shown; i++) {
        put_recipe(j, NULL, f, &f->out->recipes[i], &f->doses[i]);
    }
    mdr_json_end_array(j);
    put_recipe(j, "nearest", f, &f->out->nearest, &f->doses[f->out->shown]);
    mdr_json_end_object(j);
}

static mdr_code doses_of(const found *f, const mdr_recipe *r, mdr_dyelab_doses *out, mdr_err *err)
{
    const mdr_dyelab_recipe recipe = mdr_dyelab_recipe_found(f->lab, f->choices, r);
    return mdr_dyelab_doses_of(f->lab, &recipe, f->lab->q->ratio_l_per_kg, out, err);
}

static mdr_code all_doses(found *f, mdr_err *err)
{
    const mdr_search_out *out = f->out;
    f->doses = MDR_NEW_N(f->lab->desk.arena, mdr_dyelab_doses, (size_t)out->shown + 1);
    if (f->doses == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "standard", "no memory for salt and alkali");
    }
    for (int i = 0; i < out->shown; i++) {
        MDR_TRY(doses_of(f, &out->recipes[i], &f->doses[i], err));
    }
    return doses_of(f, &out->nearest, &f->doses[out->shown], err);
}

static const char *recipe_words(const found *f, const mdr_recipe *r)
{
    const mdr_dyelab_recipe dyes = mdr_dyelab_recipe_found(f->lab, f->choices, r);
    char text[200] = "";
    for (int i = 0; i < dyes.n; i++) {
        const size_t used = strlen(text);
        (void)snprintf(text + used, sizeof text - used, "%s%s %.4g", i > 0 ? " + " : "",
                       dyes.dye_id[i], dyes.depth_pct_owf[i]);
    }
    const char *kept = mdr_arena_text(f->lab->desk.arena, text);
    return kept != NULL ? kept : "";
}

static const char *against_words(mdr_dyelab *lab, const mdr_recipe *r)
{
    static const char *const WORDS[MDR_RECIPE_BIT_COUNT] = {
        "off shade",         "too little to weigh", "short of stock", "fastness",
        "beyond last depth", "at its depth limit",  "not settled"};
    char text[160] = "";
    for (int b = 0; b < MDR_RECIPE_BIT_COUNT; b++) {
        const size_t used = strlen(text);
        if ((r->flags >> b & 1u) != 0) {
            (void)snprintf(text + used, sizeof text - used, "%s%s", used > 0 ? ", " : "", WORDS[b]);
        }
    }
    const char *kept = mdr_arena_text(lab->desk.arena, text[0] != '\0' ? text : "-");
    return kept != NULL ? kept : "";
}

enum { FIND_COLUMNS = 5, WITH_SALT = 7 };

static void put_dose_cell(mdr_dyelab *lab, int at, const mdr_dyelab_dose *d)
{
    lab->desk.a->table.cells[at] = d->g_per_l;
    if (!d->known) {
        lab->desk.a->table.texts[at] = (mdr_answer_word){"-", "-"};
    }
}

static mdr_code put_table(mdr_dyelab *lab, const found *f, mdr_err *err)
{
    static const mdr_answer_column COLUMNS[WITH_SALT] = {{"recipe", "recipe, % owf", ""},
                                                         {"difference", "difference", ""},
                                                         {"worst_other", "worst other light", ""},
                                                         {"cost_per_kg", "cost per kg", ""},
                                                         {"against", "against it", ""},
                                                         {"salt_g_per_l", "salt", "g/L"},
                                                         {"alkali_g_per_l", "alkali", "g/L"}};
    const mdr_search_out *out = f->out;
    const int columns = lab->known.n_tables > 0 ? WITH_SALT : FIND_COLUMNS;
    if (out->shown == 0) {
        return MDR_OK; /* the cloth itself comes nearest */
    }
    MDR_TRY(mdr_desk_table_of_words(&lab->desk, "ranked", "Best first", COLUMNS, columns,
                                    out->shown, err));
    for (int i = 0; i < out->shown; i++) {
        const mdr_recipe *r = &out->recipes[i];
        const int at = i * columns;
        double *cell = &lab->desk.a->table.cells[at];
        mdr_answer_word *word = &lab->desk.a->table.texts[at];
        const char *recipe = recipe_words(f, r), *against = against_words(lab, r);
        word[0] = (mdr_answer_word){recipe, recipe};
        cell[1] = r->de[0];
        cell[2] = r->worst_other_de;
        cell[3] = r->cost_per_kg;
        word[4] = (mdr_answer_word){against, against};
        for (int k = 0; k < columns - FIND_COLUMNS; k++) {
            put_dose_cell(lab, at + FIND_COLUMNS + k, &f->doses[i].of[k]);
        }
    }
    return MDR_OK;
}

static const char *obstacle_words(mdr_obstacle o)
{
    static const char *const WORDS[MDR_OBSTACLE_COUNT] = {
        [MDR_OBSTACLE_NONE] = "nothing is in the way",
        [MDR_OBSTACLE_DEPTH] = "a dye stands at its depth limit",
        [MDR_OBSTACLE_CLOTH] = "the cloth is darker than the standard",
        [MDR_OBSTACLE_LIGHTER] = "these dyes cannot get lighter",
        [MDR_OBSTACLE_DARKER] = "these dyes cannot get darker",
        [MDR_OBSTACLE_BRIGHTER] = "these dyes cannot get brighter",
        [MDR_OBSTACLE_DULLER] = "these dyes cannot get duller",
        [MDR_OBSTACLE_HUE] = "the hue is out of reach of these dyes",
    };
    return WORDS[o];
}

static void put_verdict(mdr_dyelab *lab, const found *f)
{
    const mdr_search_out *out = f->out;
    const bool reached = out->reached > 0;
    mdr_dyelab_caption(lab);
    const bool cloth = out->nearest.n == 0 && out->nearest.de[0] <= lab->q->tolerance;
    mdr_desk_text(&lab->desk, "verdict", "verdict",
                  reached ? "reached"
                  : cloth ? "undyed"
                          : "not_reached",
                  reached ? "recipes reach the standard"
                  : cloth ? "the undyed cloth is within the tolerance: no dye is needed"
                          : "no set of dyes reaches the standard");
    mdr_desk_number(&lab->desk, "sets", "sets of dyes solved", "", out->sets);
    mdr_desk_number(&lab->desk, "reached", "within the tolerance", "", out->reached);
    mdr_desk_number(&lab->desk, "tolerance", "tolerance", "", lab->q->tolerance);
    if (reached) {
        return;
    }
    const char *nearest =
        out->nearest.n > 0 ? recipe_words(f, &out->nearest) : "no dye: the cloth as it is";
    mdr_desk_group(&lab->desk, "nearest", "Nearest");
    mdr_desk_text(&lab->desk, "recipe", "recipe, % owf", nearest, nearest);
    mdr_desk_number(&lab->desk, "difference", "difference", "", out->nearest.de[0]);
    if (cloth) {
        mdr_desk_group(&lab->desk, NULL, NULL);
        return;
    }
    mdr_desk_text(&lab->desk, "limited_by", "limited by", mdr_obstacle_id(out->obstacle),
                  obstacle_words(out->obstacle));
    if (out->obstacle_choice >= 0) {
        const char *dye = lab->dyes[f->choices->dye[out->obstacle_choice][0]].dye_id;
        mdr_desk_text(&lab->desk, "limited_dye", "namely", dye, dye);
    }
    mdr_desk_group(&lab->desk, NULL, NULL);
}

static void put_reasons(mdr_dyelab *lab, const found *f)
{
    lab->desk.a->put_more = write_recipes;
    lab->desk.a->more = f;
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_SEARCH);
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_RANK);
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_LADDER);
    if (lab->known.n_tables > 0) {
        mdr_dyelab_because(lab, MDR_RECIPE_WHY_SALT);
    }
}

static mdr_code search(mdr_dyelab *lab, const mdr_target *target, const mdr_dyelab_choices *c,
                       mdr_search_out *out, mdr_err *err)
{
    const mdr_search_in in = {.cloth = &lab->cloth,
                              .shade = target,
                              .choices = c->choice,
                              .n = c->n,
                              .dyes_max =
                                  lab->q->dyes_max < lab->n_dyes ? lab->q->dyes_max : lab->n_dyes,
                              .tolerance = lab->q->tolerance,
                              .weigh_least_pct_owf = lab->q->weigh_least_pct_owf,
                              .lot_kg = lab->q->lot_kg,
                              .weights = mdr_rank_weights_usual()};
    return mdr_search_on_threads(&in, lab->q->shown, mdr_search_threads_usual(), lab->desk.arena,
                                 out, err);
}

mdr_code mdr_recipe_find(mdr_dyelab *lab, mdr_err *err)
{
    mdr_target *target = MDR_NEW(lab->desk.arena, mdr_target);
    mdr_dyelab_choices *choices = MDR_NEW(lab->desk.arena, mdr_dyelab_choices);
    mdr_search_out *out = MDR_NEW(lab->desk.arena, mdr_search_out);
    found *f = MDR_NEW(lab->desk.arena, found);
    if (target == NULL || choices == NULL || out == NULL || f == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "standard", "no memory for the search");
    }
    MDR_TRY(mdr_dyelab_target(lab, target, err));
    MDR_TRY(mdr_dyelab_choices_of(lab, choices, err));
    MDR_TRY(search(lab, target, choices, out, err));
    *f = (found){.lab = lab, .choices = choices, .out = out, .standard = &target->standard};
    put_verdict(lab, f);
    MDR_TRY(all_doses(f, err));
    MDR_TRY(put_table(lab, f, err));
    put_reasons(lab, f);
    const mdr_dyelab_recipe best =
        mdr_dyelab_recipe_found(lab, choices, out->shown > 0 ? &out->recipes[0] : &out->nearest);
    mdr_dyelab_say_bulk(lab, &best);
    mdr_desk_note(&lab->desk,
                  "A small difference of the curves does not tell the doses to the same "
                  "accuracy: dye a sample before the lot.");
    return MDR_OK;
}
