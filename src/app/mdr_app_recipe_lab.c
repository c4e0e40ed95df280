/* A laboratory dyeing in millilitres: one dip, or a round of them from the same solutions. */
#include <string.h>

#include "app/mdr_app_recipe_in.h"
#include "wire/mdr_json.h"

/* -- what is asked -- */

/* Piece i of a list; false: there is none. An empty list has no pieces. */
static bool piece_of(const char *list, char between, int i, const char **at, size_t *len)
{
    const char *p = list;
    for (; i > 0; i--) {
        p = strchr(p, between);
        if (p == NULL) {
            return false;
        }
        p++;
    }
    *at = p;
    const char *end = strchr(p, between);
    *len = end != NULL ? (size_t)(end - p) : strlen(p);
    return list[0] != '\0';
}

static mdr_code too_many(const char *place, const char *what, int most, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "more %s than a sheet takes", what);
    mdr_err_allowed(err, "up to %d", most);
    mdr_err_remedy(err, "spread them over several sheets");
    return rc;
}

/* Place of the dye among those of the sheet; a new one goes behind them. */
static int place_of(mdr_dyelab_round *r, const char *dye_id)
{
    for (int j = 0; j < r->n_dyes; j++) {
        if (strcmp(r->dye_id[j], dye_id) == 0) {
            return j;
        }
    }
    if (r->n_dyes == MDR_LAB_DYES_MAX) {
        return -1;
    }
    r->dye_id[r->n_dyes] = dye_id;
    return r->n_dyes++;
}

static mdr_code name_of(mdr_dyelab *lab, int i, const char **out, mdr_err *err)
{
    const char *at = NULL;
    size_t len = 0;
    *out = "";
    if (piece_of(lab->q->dips, ',', i, &at, &len)) {
        *out = mdr_arena_text_n(lab->desk.arena, at, len);
    }
    return *out != NULL ? MDR_OK : MDR_FAIL(err, MDR_E_NOMEM, "dips", "no memory for the dips");
}

/* What was asked for goes before what the tables say. */
static void set_aux(mdr_dyelab_round *r, int i, int which, bool given, double g_per_l)
{
    const mdr_dyelab_dose *d = &r->doses[i].of[which];
    mdr_lab_dip *dip = &r->dips[i];
    dip->aux_g_per_l[which] = given ? g_per_l : d->known ? d->g_per_l : 0.0;
    dip->aux_why[which] = !given && d->known ? d->weighed : "";
}

static mdr_code read_dip(mdr_dyelab *lab, mdr_dyelab_round *r, const char *text, size_t len,
                         mdr_err *err)
{
    const mdr_recipe_ask *q = lab->q;
    const int i = r->n_dips;
    mdr_lab_dip *dip = &r->dips[i];
    mdr_dyelab_recipe recipe;
    MDR_TRY(mdr_dyelab_recipe_of(lab, text, len, &recipe, err));
    MDR_TRY(name_of(lab, i, &dip->id, err));
    dip->sample_g = q->sample_g;
    dip->ratio_l_per_kg = q->ratio_l_per_kg;
    for (int k = 0; k < recipe.n; k++) {
        const int j = place_of(r, recipe.dye_id[k]);
        if (j < 0) {
            return too_many("recipe", "dyes", MDR_LAB_DYES_MAX, err);
        }
        dip->depth_pct_owf[j] = recipe.depth_pct_owf[k];
    }
    MDR_TRY(mdr_dyelab_doses_of(lab, &recipe, q->ratio_l_per_kg, &r->doses[i], err));
    set_aux(r, i, MDR_LAB_SALT, q->has_salt, q->salt_g_per_l);
    set_aux(r, i, MDR_LAB_ALKALI, q->has_alkali, q->alkali_g_per_l);
    r->n_dips++;
    return MDR_OK;
}

static mdr_code read_dips(mdr_dyelab *lab, mdr_dyelab_round *r, mdr_err *err)
{
    const char *at = NULL;
    size_t len = 0;
    for (int i = 0; piece_of(lab->q->recipe, ';', i, &at, &len); i++) {
        if (r->n_dips == MDR_LAB_DIPS_MAX) {
            return too_many("recipe", "dips", MDR_LAB_DIPS_MAX, err);
        }
        MDR_TRY(read_dip(lab, r, at, len, err));
    }
    if (r->n_dips == 0) {
        return mdr_dyelab_recipe_read(lab, &(mdr_dyelab_recipe){0}, err); /* says what is wrong */
    }
    if (piece_of(lab->q->dips, ',', r->n_dips, &at, &len)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "dips", "more names than there are dips");
        mdr_err_value(err, "%.*s", (int)len, at);
        mdr_err_allowed(err, "up to %d", r->n_dips);
        mdr_err_remedy(err, "a name for each recipe, in the same order");
        return rc;
    }
    return MDR_OK;
}

/* A place in the reckoning's own terms as that of the question. */
static mdr_code asked_at(mdr_code rc, mdr_err *err)
{
    if (err != NULL &&
        (strncmp(err->place, "pots[", 5) == 0 || strncmp(err->place, "dyes", 4) == 0)) {
        const char *member = strstr(err->place, "vessel_ml") != NULL ? "vessel_ml"
                             : err->place[0] == 'd'                  ? "stock_g_per_l"
                                                                     : "recipe";
        (void)memcpy(err->place, member, strlen(member) + 1);
    }
    return rc;
}

mdr_code mdr_dyelab_dispense(mdr_dyelab *lab, mdr_dyelab_round *out, mdr_err *err)
{
    const mdr_recipe_ask *q = lab->q;
    mdr_dyelab_round *r = out;
    mdr_lab_pot pots[MDR_LAB_DIPS_MAX] = {{0}};
    mdr_lab_dye dyes[MDR_LAB_DYES_MAX];
    const mdr_lab_aux aux[MDR_LAB_AUXES] = {{0.0}, {0.0}}; /* weighed in as they are */
    MDR_TRY(mdr_dyelab_read_known(lab, err));
    MDR_TRY(read_dips(lab, r, err));
    for (int i = 0; i < r->n_dips; i++) {
        const mdr_lab_dip *d = &r->dips[i];
        pots[i].sample_g = d->sample_g;
        pots[i].ratio_l_per_kg = d->ratio_l_per_kg;
        pots[i].vessel_ml = q->has_vessel ? q->vessel_ml : d->sample_g * d->ratio_l_per_kg;
        memcpy(pots[i].depth_pct_owf, d->depth_pct_owf, sizeof d->depth_pct_owf);
        memcpy(pots[i].aux_g_per_l, d->aux_g_per_l, sizeof d->aux_g_per_l);
    }
    for (int j = 0; j < r->n_dyes; j++) {
        dyes[j] = (mdr_lab_dye){q->stock_g_per_l};
        r->stock_g_per_l[j] = q->stock_g_per_l;
    }
    mdr_lab_in in = {.tools = mdr_lab_tools_usual(),
                     .dyes = dyes,
                     .aux = aux,
                     .pots = pots,
                     .n_dyes = r->n_dyes,
                     .n_aux = MDR_LAB_AUXES,
                     .n_pots = r->n_dips};
    in.tools.pipette_least_ml = q->pipette_least_ml;
    in.tools.pipette_step_ml = q->pipette_step_ml;
    const mdr_code rc = mdr_lab_dispense(&in, lab->desk.arena, &r->sheet, err);
    return rc == MDR_OK ? rc : asked_at(rc, err);
}

/* -- the answer -- */

static const char *level_words(mdr_dyelab *lab, const char *dye, int level)
{
    const char *text = level == 0 ? mdr_arena_printf(lab->desk.arena, "%s stock", dye)
                                  : mdr_arena_printf(lab->desk.arena, "%s diluted %d", dye, level);
    return text != NULL ? text : dye;
}

static mdr_code put_solutions(mdr_dyelab *lab, const mdr_dyelab_round *r, mdr_err *err)
{
    enum { COLUMNS_COUNT = 6 };
    static const mdr_answer_column COLUMNS[COLUMNS_COUNT] = {
        {"solution", "solution", ""},      {"g_per_l", "strength", "g/L"},
        {"weigh_g", "weigh", "g"},         {"take_ml", "or of the one above", "mL"},
        {"flask_ml", "in flask of", "mL"}, {"needed_ml", "needed", "mL"}};
    MDR_TRY(mdr_desk_table_of_words(&lab->desk, "solutions", "Solutions, in the order to make them",
                                    COLUMNS, COLUMNS_COUNT, r->sheet.solutions, err));
    for (int i = 0; i < r->sheet.solutions; i++) {
        const mdr_lab_solution *s = &r->sheet.solution[i];
        double *cell = &lab->desk.a->table.cells[(size_t)i * COLUMNS_COUNT];
        const char *name = level_words(lab, r->dye_id[s->dye], s->level);
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

static const char *const AUX_KEYS[MDR_LAB_AUXES] = {"salt", "alkali"};
static const char *const AUX_LABELS[MDR_LAB_AUXES] = {"Salt", "Alkali"};

static void put_why(mdr_dyelab *lab, const mdr_lab_dip *dip, const mdr_dyelab_doses *doses, int k)
{
    if (dip->aux_why[k][0] != '\0') {
        mdr_desk_group(&lab->desk, AUX_KEYS[k], AUX_LABELS[k]);
        mdr_desk_text(&lab->desk, "from", "from", doses->of[k].words, doses->of[k].words);
        mdr_desk_group(&lab->desk, NULL, NULL);
    }
}

static void put_one(mdr_dyelab *lab, const mdr_dyelab_round *r)
{
    const mdr_lab_pot_sheet *p = &r->sheet.pot[0];
    mdr_desk_number(&lab->desk, "liquor_ml", "liquor", "mL", p->liquor_ml);
    for (int j = 0; j < r->n_dyes; j++) {
        put_dose(lab, r->dye_id[j], level_words(lab, r->dye_id[j], p->dye[j].level), &p->dye[j]);
    }
    for (int k = 0; k < MDR_LAB_AUXES; k++) {
        if (r->dips[0].aux_g_per_l[k] > 0.0) {
            put_dose(lab, AUX_KEYS[k], AUX_LABELS[k], &p->aux[k]);
            put_why(lab, &r->dips[0], &r->doses[0], k);
        }
    }
    mdr_desk_number(&lab->desk, "water_ml", "water to top it up", "mL", p->water_ml);
}

static const char *said(mdr_dyelab *lab, const char *text)
{
    return text != NULL ? text : lab->desk.a->question;
}

/* One line each: a round has many. */
static void put_each(mdr_dyelab *lab, const mdr_dyelab_round *r)
{
    mdr_arena *arena = lab->desk.arena;
    for (int i = 0; i < r->n_dips; i++) {
        const mdr_lab_pot_sheet *p = &r->sheet.pot[i];
        const char *key = said(lab, mdr_arena_printf(arena, "dip_%d", i + 1));
        const char *label =
            said(lab, r->dips[i].id[0] != '\0'
                          ? mdr_arena_printf(arena, "Dip %d, %s", i + 1, r->dips[i].id)
                          : mdr_arena_printf(arena, "Dip %d", i + 1));
        mdr_desk_group(&lab->desk, key, label);
        for (int j = 0; j < r->n_dyes; j++) {
            if (p->dye[j].ml > 0.0) {
                mdr_desk_number(
                    &lab->desk, said(lab, mdr_arena_printf(arena, "%s_ml", r->dye_id[j])),
                    level_words(lab, r->dye_id[j], p->dye[j].level), "mL", p->dye[j].ml);
            }
        }
        for (int k = 0; k < MDR_LAB_AUXES; k++) {
            if (r->dips[i].aux_g_per_l[k] > 0.0) {
                mdr_desk_number(&lab->desk, k == MDR_LAB_SALT ? "salt_g" : "alkali_g",
                                AUX_LABELS[k], "g", p->aux[k].g);
            }
        }
        mdr_desk_number(&lab->desk, "water_ml", "water to top it up", "mL", p->water_ml);
    }
    mdr_desk_group(&lab->desk, NULL, NULL);
}

static void write_dose(mdr_json *j, const char *dye_id, double depth_pct_owf, const mdr_lab_dose *d)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "dye_id", dye_id);
    mdr_json_number(j, "depth_pct_owf", depth_pct_owf);
    mdr_json_number(j, "level", d->level);
    mdr_json_number(j, "ml", d->ml);
    mdr_json_number(j, "exact_ml", d->exact_ml);
    mdr_json_number(j, "error_pct", d->error_pct);
    mdr_json_number(j, "g", d->g);
    mdr_json_end_object(j);
}

static void write_dip(mdr_json *j, const mdr_dyelab_round *r, int i)
{
    static const char *const GRAMS[MDR_LAB_AUXES] = {"salt_g", "alkali_g"};
    const mdr_lab_pot_sheet *p = &r->sheet.pot[i];
    const mdr_lab_dip *dip = &r->dips[i];
    mdr_json_object(j, NULL);
    mdr_json_text(j, "dip_id", dip->id);
    mdr_json_number(j, "liquor_ml", p->liquor_ml);
    mdr_json_array(j, "dyes");
    for (int k = 0; k < r->n_dyes; k++) {
        if (dip->depth_pct_owf[k] > 0.0) {
            write_dose(j, r->dye_id[k], dip->depth_pct_owf[k], &p->dye[k]);
        }
    }
    mdr_json_end_array(j);
    for (int k = 0; k < MDR_LAB_AUXES; k++) {
        mdr_json_number(j, GRAMS[k], p->aux[k].g);
    }
    mdr_json_number(j, "water_ml", p->water_ml);
    mdr_dyelab_put_doses(j, &r->doses[i]);
    mdr_json_end_object(j);
}

/* "dips": what goes into each pot. */
static void write_dips(struct mdr_json *json, const void *more)
{
    const mdr_dyelab_round *r = more;
    mdr_json *j = json;
    mdr_json_array(j, "dips");
    for (int i = 0; i < r->n_dips; i++) {
        write_dip(j, r, i);
    }
    mdr_json_end_array(j);
}

mdr_code mdr_recipe_dispense(mdr_dyelab *lab, mdr_err *err)
{
    mdr_dyelab_round *r = MDR_NEW(lab->desk.arena, mdr_dyelab_round);
    if (r == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "recipe", "no memory for the dips");
    }
    MDR_TRY(mdr_dyelab_dispense(lab, r, err));
    if (r->n_dips == 1) {
        put_one(lab, r);
    } else {
        put_each(lab, r);
    }
    MDR_TRY(put_solutions(lab, r, err));
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_DISPENSE);
    if (lab->known.n_tables > 0) {
        mdr_dyelab_because(lab, MDR_RECIPE_WHY_SALT);
    }
    mdr_desk_note(&lab->desk,
                  "Dye powder: weigh under the exhaust with gloves and mask. The safety "
                  "data sheet and the rules of the laboratory decide.");
    lab->desk.a->put_more = write_dips;
    lab->desk.a->more = r;
    return MDR_OK;
}
