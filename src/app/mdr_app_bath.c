/* Questions about a bath: read, answered, written. */
#include "app/mdr_app_bath.h"

#include "app/mdr_app_bath_in.h"

static mdr_bath_answer *const ANSWERS[MDR_BATH_COUNT] = {
    [MDR_BATH_PH] = mdr_answer_ph,
    [MDR_BATH_DOSE] = mdr_answer_dose,
    [MDR_BATH_PROBE] = mdr_answer_probe,
    [MDR_BATH_SAME_PH] = mdr_answer_same_ph,
    [MDR_BATH_NEUTRALISE] = mdr_answer_neutralise,
    [MDR_BATH_TITRATE] = mdr_answer_titrate,
    [MDR_BATH_HARDNESS] = mdr_answer_hardness,
    [MDR_BATH_SALT] = mdr_answer_salt,
    [MDR_BATH_VAT] = mdr_answer_vat,
    [MDR_BATH_RINSE] = mdr_answer_rinse,
};

mdr_code mdr_app_bath(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                      const mdr_answer **out, mdr_err *err)
{
    mdr_bath_ask q;
    MDR_TRY(mdr_wire_bath_ask_read(question.bytes, question.len, arena, found, &q, err));
    mdr_bath_desk d = {.q = &q};
    MDR_TRY(mdr_desk_open(&d.desk, arena, mdr_bath_question_id(q.question),
                          mdr_bath_question_words(q.question), err));
    MDR_TRY(ANSWERS[q.question](&d, err));
    *out = d.desk.a;
    return MDR_OK;
}

mdr_code mdr_app_bath_json(mdr_blob question, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                           mdr_err *err)
{
    const mdr_answer *a = NULL;
    MDR_TRY(mdr_app_bath(question, arena, found, &a, err));
    return mdr_answer_json(a, arena, out, err);
}
