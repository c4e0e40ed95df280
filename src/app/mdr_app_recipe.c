/* Questions about recipes: read and answered. */
#include "app/mdr_app_recipe.h"

#include "app/mdr_app_recipe_in.h"

static const mdr_answer_why WHYS[MDR_RECIPE_WHY_COUNT] = {
    [MDR_RECIPE_WHY_LADDER] = {"Ladder",
                               "K/S that a dye adds at every band, a monotone cubic of its depth "
                               "through every dyed sample",
                               "fritsch-carlson", "recipe-model.md#ladder"},
    [MDR_RECIPE_WHY_MIXTURE] = {"Mixture", "K/S of the cloth and of the dyes add up",
                                "kubelka-munk", "recipe-model.md#mixture"},
    [MDR_RECIPE_WHY_SURFACE] = {"Surface",
                                "k1 under which the samples, each left out in turn, are "
                                "predicted best",
                                "saunderson", "recipe-model.md#surface-from-the-samples"},
    [MDR_RECIPE_WHY_LEFT_OUT] = {"Each sample from the others",
                                 "ladder made without it, held against it", "definition",
                                 "recipe-model.md#leave-one-out"},
    [MDR_RECIPE_WHY_SEARCH] = {"Search",
                               "every set of dyes brought to the least difference under the first "
                               "light, within its limits",
                               "levenberg-marquardt", "recipe-search.md#objective"},
    [MDR_RECIPE_WHY_RANK] = {"Order",
                             "difference, worst other light, cost, spread of exhaustion and "
                             "fixation, number of dyes",
                             "common-practice", "recipe-search.md#ranking"},
    [MDR_RECIPE_WHY_CORRECT] = {"Apparent strengths",
                                "what explains the sample best while staying near what is usual",
                                "ridge-prior", "recipe-correct.md#apparent-strength"},
    [MDR_RECIPE_WHY_DISPENSE] = {"Solutions",
                                 "the strongest of which the pipette takes the dose with little "
                                 "rounding",
                                 "common-practice",
                                 "recipe-dispense.md#stock-solutions-and-dilutions"},
    [MDR_RECIPE_WHY_SALT] = {"Salt and alkali",
                             "the dose table of the dye that decides, at the depth of the recipe",
                             "dose-table", "salt-and-alkali.md#amount-at-a-depth"},
    [MDR_RECIPE_WHY_BULK] = {"Laboratory to bulk",
                             "depth of the laboratory times what the lots of the machine needed, "
                             "drawn to machine and mill by how little is known; only when chosen",
                             "normal-normal", "laboratory-to-bulk.md#with-the-recipe"},
};

const mdr_answer_why *mdr_app_recipe_whys(int *n)
{
    *n = MDR_RECIPE_WHY_COUNT;
    return WHYS;
}

void mdr_dyelab_because(mdr_dyelab *lab, mdr_recipe_why why)
{
    mdr_desk_because(&lab->desk, &WHYS[why]);
}

static mdr_code answer(mdr_dyelab *lab, mdr_err *err)
{
    switch (lab->q->question) {
    case MDR_RECIPE_CALIBRATE:
        return mdr_recipe_calibrate(lab, err);
    case MDR_RECIPE_PREDICT:
        return mdr_recipe_predict(lab, err);
    case MDR_RECIPE_FIND:
        return mdr_recipe_find(lab, err);
    case MDR_RECIPE_CORRECT:
        return mdr_recipe_correct(lab, err);
    case MDR_RECIPE_DISPENSE:
        return mdr_recipe_dispense(lab, err);
    case MDR_RECIPE_QUESTION_COUNT:
        break;
    }
    return MDR_FAIL(err, MDR_E_ARG, "do", "there is no such question");
}

mdr_code mdr_dyelab_start(mdr_dyelab *lab, const mdr_recipe_case *asked, mdr_arena *arena,
                          mdr_err_list *found, mdr_err *err)
{
    mdr_recipe_ask *q = MDR_NEW(arena, mdr_recipe_ask);
    if (q == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the laboratory");
    }
    MDR_TRY(
        mdr_wire_recipe_ask_read(asked->question.bytes, asked->question.len, arena, found, q, err));
    lab->q = q;
    lab->asked = asked;
    lab->found = found;
    return mdr_desk_open(&lab->desk, arena, mdr_recipe_question_id(q->question),
                         mdr_recipe_question_words(q->question), err);
}

mdr_code mdr_app_recipe(const mdr_recipe_case *asked, mdr_arena *arena, mdr_err_list *found,
                        const mdr_answer **out, mdr_err *err)
{
    /* in the arena: the answer is written when this has returned, and draws the tolerance */
    mdr_dyelab *lab = MDR_NEW(arena, mdr_dyelab);
    if (lab == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the laboratory");
    }
    MDR_TRY(mdr_dyelab_start(lab, asked, arena, found, err));
    if (lab->q->question != MDR_RECIPE_DISPENSE) {
        MDR_TRY(mdr_dyelab_open(lab, err));
    }
    MDR_TRY(answer(lab, err));
    *out = lab->desk.a;
    return MDR_OK;
}
