/* Can the dyed samples be trusted; and what colour a recipe gives. */
#include <math.h>
#include <string.h>

#include "app/mdr_app_recipe_in.h"
#include "wire/mdr_json.h"

static void put_surface(mdr_dyelab *lab)
{
    static const char *const IDS[] = {"none", "limit", "saunderson"};
    mdr_desk_group(&lab->desk, "surface", "Surface correction");
    mdr_desk_text(&lab->desk, "kind", "kind", IDS[lab->surface.kind], IDS[lab->surface.kind]);
    mdr_desk_number(&lab->desk, "k1", "reflected outside, k1", "", lab->surface.k1);
    mdr_desk_number(&lab->desk, "k2", "sent back inside, k2", "", lab->surface.k2);
    if (lab->fit.left_out > 0) {
        mdr_desk_number(&lab->desk, "cmc_rms", "CMC(2:1) of samples left out, root mean square", "",
                        lab->fit.cmc_rms);
        mdr_desk_number(&lab->desk, "cmc_rms_none", "the same without a correction", "",
                        lab->fit.cmc_rms_none);
        mdr_dyelab_because(lab, MDR_RECIPE_WHY_SURFACE);
    }
    mdr_desk_group(&lab->desk, NULL, NULL);
}

/* -- calibrate -- */

static const char *fault_words(mdr_rung_fault f)
{
    static const char *const WORDS[MDR_RUNG_FAULT_COUNT] = {
        [MDR_RUNG_GOOD] = "fits",
        [MDR_RUNG_WRONG_DOSE] = "has another dose",
        [MDR_RUNG_NOISY] = "noisy reading",
        [MDR_RUNG_ODD] = "another shade",
        [MDR_RUNG_UNSURE] = "does not fit, cannot tell",
    };
    return WORDS[f];
}

static const char *action_words(mdr_rung_action a)
{
    static const char *const WORDS[MDR_RUNG_ACTION_COUNT] = {
        [MDR_RUNG_KEEP] = "keep",
        [MDR_RUNG_MEASURE_AGAIN] = "measure again",
        [MDR_RUNG_DYE_AGAIN] = "dye again",
        [MDR_RUNG_DYE_MORE] = "dye more depths",
    };
    return WORDS[a];
}

enum { RUNG_COLUMNS = 6 };

static void put_rung(mdr_dyelab *lab, const mdr_dyelab_ladder *d, int i, const mdr_rung_verdict *v,
                     int row)
{
    mdr_answer_table *t = &lab->desk.a->table;
    double *cell = &t->cells[(size_t)row * RUNG_COLUMNS];
    mdr_answer_word *word = &t->texts[(size_t)row * RUNG_COLUMNS];
    word[0] = (mdr_answer_word){d->samples[i], d->samples[i]};
    cell[1] = d->rungs[i].depth_pct_owf;
    cell[2] = v->left.cmc;
    cell[3] = v->left.dose_error_pct;
    word[4] = (mdr_answer_word){mdr_rung_fault_id(v->fault), fault_words(v->fault)};
    word[5] = (mdr_answer_word){mdr_rung_action_id(v->action), action_words(v->action)};
}

/* Judges all rungs of one dye into the table from `row` on. */
static mdr_code judge_dye(mdr_dyelab *lab, const mdr_dyelab_ladder *d, int row, double *squares,
                          int *counted, mdr_err *err)
{
    mdr_rung_verdict verdicts[MDR_RUNGS_MAX];
    const mdr_ladder_in in = {.rungs = d->rungs,
                              .n = d->n,
                              .substrate = lab->cloth_curve,
                              .surface = lab->surface,
                              .beyond = lab->q->beyond};
    MDR_TRY(mdr_ladder_judge(&in, &lab->lights[0], lab->desk.arena, verdicts, err));
    for (int i = 0; i < d->n; i++) {
        put_rung(lab, d, i, &verdicts[i], row + i);
        if (d->n > 1) {
            *squares += verdicts[i].left.cmc * verdicts[i].left.cmc;
            (*counted)++;
        }
    }
    return MDR_OK;
}

mdr_code mdr_recipe_calibrate(mdr_dyelab *lab, mdr_err *err)
{
    static const mdr_answer_column COLUMNS[RUNG_COLUMNS] = {
        {"sample", "sample", ""},   {"depth_pct_owf", "depth", "% owf"},
        {"cmc", "CMC(2:1)", ""},    {"dose_error_pct", "dose off", "%"},
        {"verdict", "verdict", ""}, {"action", "what to do", ""}};
    int rungs = 0, row = 0, counted = 0;
    double squares = 0.0;
    for (int i = 0; i < lab->n_dyes; i++) {
        rungs += lab->dyes[i].n;
    }
    put_surface(lab);
    mdr_desk_number(&lab->desk, "dyes", "dyes", "", lab->n_dyes);
    mdr_desk_number(&lab->desk, "samples", "dyed samples", "", rungs);
    MDR_TRY(mdr_desk_table_of_words(&lab->desk, "rungs", "Each sample as the others predict it",
                                    COLUMNS, RUNG_COLUMNS, rungs, err));
    for (int i = 0; i < lab->n_dyes; i++) {
        MDR_TRY(judge_dye(lab, &lab->dyes[i], row, &squares, &counted, err));
        row += lab->dyes[i].n;
    }
    if (counted > 0) {
        mdr_desk_number(&lab->desk, "cmc_rms", "CMC(2:1) of all left out in turn, root mean square",
                        "", sqrt(squares / counted));
    }
    MDR_TRY(mdr_dyelab_list(lab, err));
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_LEFT_OUT);
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_LADDER);
    mdr_desk_note(&lab->desk,
                  "A ladder predicts what was dyed like it: the same cloth, process and "
                  "instrument setting.");
    return MDR_OK;
}

/* -- predict -- */

typedef struct curves {
    const mdr_dyelab *lab;
    const mdr_curve *predicted, *sample; /* sample may be NULL */
    mdr_dyelab_doses doses;
} curves;

static void put_curve(mdr_json *j, const char *key, const mdr_curve *c)
{
    mdr_json_array(j, key);
    for (int b = 0; b < MDR_BANDS; b++) {
        mdr_json_number(j, NULL, c->v[b]);
    }
    mdr_json_end_array(j);
}

/* "curves": reflectance from 400 to 700 nm every 10. */
static void write_curves(struct mdr_json *json, const void *more)
{
    mdr_json *j = json;
    const curves *c = more;
    mdr_json_object(j, "curves");
    mdr_json_number(j, "start_nm", MDR_BAND_START_NM);
    mdr_json_number(j, "step_nm", MDR_BAND_STEP_NM);
    put_curve(j, "predicted", c->predicted);
    if (c->sample != NULL) {
        put_curve(j, "sample", c->sample);
    }
    mdr_dyelab_put_seen(j, c->lab, c->predicted, c->sample);
    mdr_json_end_object(j);
    if (c->lab->known.n_tables > 0) {
        mdr_json_object(j, "doses");
        mdr_dyelab_put_doses(j, &c->doses);
        mdr_json_end_object(j);
    }
}

static void put_lab(mdr_dyelab *lab, const char *key, const char *label, const mdr_curve *curve)
{
    mdr_desk_group(&lab->desk, key, label);
    const mdr_lab of = mdr_lab_of_curve(curve, &lab->lights[0]);
    mdr_desk_number(&lab->desk, "l", "L*", "", of.l);
    mdr_desk_number(&lab->desk, "a", "a*", "", of.a);
    mdr_desk_number(&lab->desk, "b", "b*", "", of.b);
    mdr_desk_group(&lab->desk, NULL, NULL);
}

/* Under each light, the sample (or standard) against what is predicted. */
static void put_differences(mdr_dyelab *lab, const mdr_curve *standard, const mdr_curve *sample)
{
    mdr_desk_group(&lab->desk, "difference", "Difference, by light");
    for (int i = 0; i < lab->n_lights; i++) {
        const char *name = mdr_illuminant_name(lab->illuminants[i]);
        const mdr_difference d =
            mdr_difference_of(mdr_lab_of_curve(standard, &lab->lights[i]),
                              mdr_lab_of_curve(sample, &lab->lights[i]), &lab->formula);
        mdr_desk_number(&lab->desk, name, name, "", d.de);
    }
    mdr_desk_group(&lab->desk, NULL, NULL);
}

/* Dye for a kilogram of fabric, without what has no price. */
static void put_cost(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe)
{
    static const double PERCENT = 100.0;
    double cost_per_kg = 0.0;
    bool missing = false;
    for (int i = 0; i < recipe->n; i++) {
        const int d = mdr_dyelab_dye_of(lab, recipe->dye_id[i], strlen(recipe->dye_id[i]));
        const double price_per_kg = d >= 0 ? lab->dyes[d].facts.price_per_kg : 0.0;
        cost_per_kg += recipe->depth_pct_owf[i] / PERCENT * price_per_kg;
        missing = missing || price_per_kg == 0.0;
    }
    mdr_desk_number(&lab->desk, "cost_per_kg", "dye per kg of fabric", "", cost_per_kg);
    mdr_desk_text(&lab->desk, "price_missing", "a price is missing", missing ? "yes" : "no",
                  missing ? "yes" : "no");
}

static void put_doses(mdr_dyelab *lab, const mdr_dyelab_doses *doses)
{
    static const char *const LABELS[MDR_LAB_AUXES] = {"salt", "alkali"};
    bool any = false;
    for (int k = 0; k < MDR_LAB_AUXES; k++) {
        if (doses->of[k].known) {
            mdr_desk_number(&lab->desk, mdr_dyelab_dose_key(k), LABELS[k], "g/L",
                            doses->of[k].g_per_l);
            any = true;
        }
    }
    if (any) {
        mdr_dyelab_because(lab, MDR_RECIPE_WHY_SALT);
    }
}

mdr_code mdr_recipe_predict(mdr_dyelab *lab, mdr_err *err)
{
    mdr_dyelab_recipe recipe;
    mdr_part parts[MDR_RECIPE_DYES_MAX];
    mdr_mixture *m = MDR_NEW(lab->desk.arena, mdr_mixture);
    mdr_curve *sample = MDR_NEW(lab->desk.arena, mdr_curve);
    curves *c = MDR_NEW(lab->desk.arena, curves);
    if (m == NULL || sample == NULL || c == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "recipe", "no memory for the curve");
    }
    MDR_TRY(mdr_dyelab_recipe_read(lab, &recipe, err));
    MDR_TRY(mdr_dyelab_parts(lab, &recipe, parts, err));
    const mdr_code rc = mdr_mixture_of(&lab->cloth, parts, recipe.n, m, err);
    if (rc != MDR_OK) {
        mdr_err_within(err, "recipe");
        return rc;
    }
    mdr_dyelab_caption(lab);
    put_lab(lab, "predicted", "Predicted", &m->curve);
    *c = (curves){.lab = lab, .predicted = &m->curve};
    if (lab->q->sample[0] != '\0') {
        MDR_TRY(mdr_dyelab_sample(lab, MDR_RECIPE_FILE_SAMPLE, lab->q->sample, "the sample", sample,
                                  err));
        put_lab(lab, "measured", "Measured", sample);
        put_differences(lab, sample, &m->curve);
        c->sample = sample;
    }
    put_cost(lab, &recipe);
    MDR_TRY(mdr_dyelab_doses_of(lab, &recipe, lab->q->ratio_l_per_kg, &c->doses, err));
    put_doses(lab, &c->doses);
    put_surface(lab);
    if (m->any_beyond) {
        mdr_desk_note(&lab->desk,
                      "A dose lies beyond the deepest dyed sample of its dye: a straight "
                      "line goes on from there, less sure.");
    }
    lab->desk.a->put_more = write_curves;
    lab->desk.a->more = c;
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_MIXTURE);
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_LADDER);
    return MDR_OK;
}
