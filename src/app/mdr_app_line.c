/* Questions to the finishing desk: read, answered, written. */
#include "app/mdr_app_line.h"

#include "app/mdr_app_line_in.h"

static const mdr_answer_why WHYS[MDR_LINE_WHY_COUNT] = {
    [MDR_WHY_SETTLE] = {"Settings",
                        "width from needles and wales wanted, less what later passes change; "
                        "overfeeds together = courses wanted / courses now",
                        "finishing-steps", "finishing.md#settings-backwards"},
    [MDR_WHY_RESIDUAL] = {"Residual shrinkage",
                          "1 - courses / relaxed courses; 1 - wales / relaxed wales",
                          "mass-balance", "finishing.md#residual-shrinkage"},
    [MDR_WHY_USUAL] = {"Passes", "what each does to width, courses, moisture; usual settings",
                       "finishing-settings", "finishing.md#passes"},
    [MDR_WHY_AIM] = {"Aim",
                     "farthest from all limits of the specification, of what the machines reach",
                     "definition", "fabric-results.md#aim-within-the-machines"},
    [MDR_WHY_FEASIBLE] = {"Specification",
                          "two of width, weight and the two shrinkages can be chosen; the other "
                          "two follow",
                          "definition", "specification.md#feasible-or-not"},
    [MDR_WHY_GIVE] = {"Cures", "the least that one limit has to move", "definition",
                      "specification.md#giving-way-and-cures"},
    [MDR_WHY_READ] = {"Reading",
                      "width and courses as read, wales and weight from needles and mass that stay",
                      "mass-balance", "finishing.md#measured-state"},
    [MDR_WHY_BALANCE] = {"Heat",
                         "water out of the fabric = water into the air; heat of evaporation, air, "
                         "fabric and loss",
                         "mass-balance", "drying.md#stenter-balance"},
    [MDR_WHY_EXHAUST] = {"Saving",
                         "1 - heat per kg of fabric then / now; exhaust 0.10 to 0.15 "
                         "kg/kg is good, 0.05 often found",
                         "eu-bref-2003", "drying.md#saving"},
    [MDR_WHY_DRYING] = {"Drying time",
                        "constant rate 2 h (air - wet bulb) / heat of evaporation, "
                        "then falling with the moisture",
                        "two-period-drying", "drying.md#drying-time"},
    [MDR_WHY_SPEED] = {"Speed", "oven length / (entry + drying + warm-up + dwell); the least binds",
                       "two-period-drying", "drying.md#speed-limits"},
    [MDR_WHY_FIT] = {"Fitted h", "time at h = 1 / (time in the oven - entry)", "two-period-drying",
                     "drying.md#fitted-coefficient"},
    [MDR_WHY_PADDING] = {"Padding",
                         "feed = add-on / (pick-up out - in); trough = add-on / pick-up "
                         "out",
                         "mass-balance", "finishing.md#padding"},
    [MDR_WHY_READINGS] = {"Readings", "100 (after - before)/before of each mark; the mean counts",
                          "iso-5077", "fabric-results.md#readings"},
    [MDR_WHY_PROPERTY] = {"Verdict on a property",
                          "missed: the mean lies beyond; near: a reading does, or the limit is "
                          "nearer than the standard deviation",
                          "definition", "fabric-results.md#verdict-on-a-property"},
    [MDR_WHY_LOT] = {"Verdict on the lot",
                     "width, weight and both shrinkages are brought in together or not at all; "
                     "the rest is no matter of finishing",
                     "mass-balance", "fabric-results.md#verdict-on-the-lot"},
    [MDR_WHY_POINTS] = {"Points",
                        "1 to 4 by length, holes 2 or 4, at most 4 in a metre (yard); per "
                        "area",
                        "astm-d5430", "specification.md#inspection"},
    [MDR_WHY_GREY] = {"Need", "each loss is a part of what goes in, so it divides", "mass-balance",
                      "specification.md#grey-need"},
    [MDR_WHY_LOTS] = {"Lots", "first-fit decreasing, improved by moves and exchanges",
                      "bin-packing", "specification.md#rolls-to-lots"},
};

const mdr_answer_why *mdr_app_line_whys(int *n)
{
    *n = MDR_LINE_WHY_COUNT;
    return WHYS;
}

void mdr_line_because(mdr_line_desk *d, mdr_line_why why)
{
    mdr_desk_because(&d->desk, &WHYS[why]);
}

static mdr_line_answer *const ANSWERS[MDR_LINE_QUESTION_COUNT] = {
    [MDR_LINE_SETTINGS] = mdr_answer_settings, [MDR_LINE_READ] = mdr_answer_read,
    [MDR_LINE_DRY] = mdr_answer_dry,           [MDR_LINE_FIT] = mdr_answer_fit,
    [MDR_LINE_PAD] = mdr_answer_pad,           [MDR_LINE_RESULT] = mdr_answer_result,
    [MDR_LINE_INSPECT] = mdr_answer_inspect,   [MDR_LINE_GREY] = mdr_answer_grey,
};

mdr_code mdr_app_line(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                      const mdr_answer **out, mdr_err *err)
{
    mdr_line_ask q;
    MDR_TRY(mdr_wire_line_ask_read(question.bytes, question.len, arena, found, &q, err));
    mdr_line_desk d = {.q = &q};
    MDR_TRY(mdr_desk_open(&d.desk, arena, mdr_line_question_id(q.question),
                          mdr_line_question_words(q.question), err));
    MDR_TRY(ANSWERS[q.question](&d, err));
    *out = d.desk.a;
    return MDR_OK;
}

mdr_code mdr_app_line_json(mdr_blob question, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                           mdr_err *err)
{
    const mdr_answer *a = NULL;
    MDR_TRY(mdr_app_line(question, arena, found, &a, err));
    return mdr_answer_json(a, arena, out, err);
}
