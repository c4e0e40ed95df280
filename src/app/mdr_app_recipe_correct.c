/* From an off-shade sample: what each dye really did, what to add, how to begin next time. */
#include "app/mdr_app_recipe_in.h"
#include "core/recipe/mdr_correct.h"
#include "wire/mdr_json.h"

const char *mdr_recipe_way_words(mdr_way w)
{
    static const char *const WORDS[MDR_WAY_COUNT] = {
        [MDR_WAY_ACCEPT] = "accept: within the tolerance",
        [MDR_WAY_ADD] = "add to this bath",
        [MDR_WAY_ADD_LARGE] = "an addition would do, but is more than wise",
        [MDR_WAY_OVER_DYE] = "not by addition to this shade: over-dye darker",
        [MDR_WAY_STRIP] = "not by addition: strip and dye again",
        [MDR_WAY_OTHER_DYES] = "not by these dyes: their mixture cannot reach the standard",
    };
    return WORDS[w];
}

static void put_difference(mdr_dyelab *lab, const char *key, const char *label,
                           const mdr_difference *d)
{
    mdr_desk_group(&lab->desk, key, label);
    mdr_desk_number(&lab->desk, "difference", "difference", "", d->de);
    mdr_desk_number(&lab->desk, "dl", "lightness, dL*", "", d->dl);
    mdr_desk_number(&lab->desk, "dc", "chroma, dC*", "", d->dc);
    mdr_desk_number(&lab->desk, "dh", "hue, dH*", "", d->dh);
    mdr_desk_group(&lab->desk, NULL, NULL);
}

static void put_dye(mdr_dyelab *lab, const char *dye_id, const mdr_correct *c, int i)
{
    mdr_desk_group(&lab->desk, dye_id, dye_id);
    mdr_desk_number(&lab->desk, "strength_pct", "worked like", "% of the recipe",
                    100.0 * c->dye[i].strength);
    mdr_desk_number(&lab->desk, "strength_low_pct", "at least", "%", 100.0 * c->dye[i].low);
    mdr_desk_number(&lab->desk, "strength_high_pct", "at most", "%", 100.0 * c->dye[i].high);
    mdr_desk_text(&lab->desk, "known", "told by the sample", c->dye[i].known ? "yes" : "no",
                  c->dye[i].known ? "yes" : "no: by what is usual");
    mdr_desk_number(&lab->desk, "add_pct_owf", "add", "% owf", c->add_pct_owf[i]);
    mdr_desk_number(&lab->desk, "add_low_pct_owf", "add, at least", "% owf", c->add_low_pct_owf[i]);
    mdr_desk_number(&lab->desk, "add_high_pct_owf", "add, at most", "% owf",
                    c->add_high_pct_owf[i]);
    mdr_desk_number(&lab->desk, "next_pct_owf", "next time", "% owf", c->next_pct_owf[i]);
    mdr_desk_number(&lab->desk, "next_low_pct_owf", "next time, at least", "% owf",
                    c->next_low_pct_owf[i]);
    mdr_desk_number(&lab->desk, "next_high_pct_owf", "next time, at most", "% owf",
                    c->next_high_pct_owf[i]);
    mdr_desk_group(&lab->desk, NULL, NULL);
}

static void put_answer(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe, const mdr_correct *c)
{
    mdr_dyelab_caption(lab);
    mdr_desk_text(&lab->desk, "way", "what to do", mdr_way_id(c->way),
                  mdr_recipe_way_words(c->way));
    mdr_desk_number(&lab->desk, "tolerance", "tolerance", "", lab->q->tolerance);
    put_difference(lab, "before", "The sample, from the standard", &c->before);
    put_difference(lab, "after", "After the addition, predicted", &c->after);
    mdr_desk_number(&lab->desk, "add_total_pct", "addition, of the dye in the recipe", "%",
                    c->add_total_pct);
    mdr_desk_number(&lab->desk, "expected", "the recipe was thought to give", "", c->expected_de);
    mdr_desk_number(&lab->desk, "unexplained", "what no strength explains", "", c->unexplained);
    mdr_desk_number(&lab->desk, "next", "next time, predicted", "", c->next_de);
    for (int i = 0; i < recipe->n; i++) {
        put_dye(lab, recipe->dye_id[i], c, i);
    }
}

typedef struct fields {
    const mdr_dyelab *lab;
    const mdr_curve *standard, *sample, *after;
} fields;

/* "colours": what stands side by side. */
static void write_fields(struct mdr_json *json, const void *more)
{
    mdr_json *j = json;
    const fields *f = more;
    mdr_json_object(j, "colours");
    mdr_json_object(j, "standard");
    mdr_dyelab_put_seen(j, f->lab, f->standard, NULL);
    mdr_json_end_object(j);
    mdr_json_object(j, "sample");
    mdr_dyelab_put_seen(j, f->lab, f->sample, f->standard);
    mdr_json_end_object(j);
    mdr_json_object(j, "after");
    mdr_dyelab_put_seen(j, f->lab, f->after, f->standard);
    mdr_json_end_object(j);
    mdr_json_end_object(j);
}

mdr_code mdr_dyelab_correct(mdr_dyelab *lab, const mdr_dyelab_recipe *recipe,
                            const mdr_target *target, const mdr_curve *sample, mdr_correct *out,
                            mdr_err *err)
{
    mdr_part parts[MDR_RECIPE_DYES_MAX];
    MDR_TRY(mdr_dyelab_parts(lab, recipe, parts, err));
    mdr_correct_in in = mdr_correct_usual();
    in.cloth = &lab->cloth;
    in.parts = parts;
    in.n = recipe->n;
    in.sample = *sample;
    in.shade = target;
    in.tolerance = lab->q->tolerance;
    in.strength_sd = lab->q->strength_sd;
    in.wise_pct = lab->q->wise_pct;
    in.wise_count = lab->q->wise_count;
    in.done_count = lab->q->done_count;
    return mdr_correct_bath(&in, lab->desk.arena, out, err);
}

mdr_code mdr_recipe_correct(mdr_dyelab *lab, mdr_err *err)
{
    mdr_dyelab_recipe recipe;
    mdr_target *target = MDR_NEW(lab->desk.arena, mdr_target);
    mdr_correct *c = MDR_NEW(lab->desk.arena, mdr_correct);
    mdr_curve *sample = MDR_NEW(lab->desk.arena, mdr_curve);
    fields *f = MDR_NEW(lab->desk.arena, fields);
    if (target == NULL || c == NULL || sample == NULL || f == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "recipe", "no memory for the correction");
    }
    MDR_TRY(mdr_dyelab_recipe_read(lab, &recipe, err));
    MDR_TRY(mdr_dyelab_target(lab, target, err));
    MDR_TRY(
        mdr_dyelab_sample(lab, MDR_RECIPE_FILE_SAMPLE, lab->q->sample, "the sample", sample, err));
    MDR_TRY(mdr_dyelab_correct(lab, &recipe, target, sample, c, err));
    put_answer(lab, &recipe, c);
    *f = (fields){lab, &target->standard, sample, &c->after_curve};
    lab->desk.a->put_more = write_fields;
    lab->desk.a->more = f;
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_CORRECT);
    mdr_dyelab_because(lab, MDR_RECIPE_WHY_MIXTURE);
    mdr_desk_note(&lab->desk, "For judgement look at the cloth. A sample must be soaped, dried and "
                              "conditioned like the standard before it is measured.");
    return MDR_OK;
}
