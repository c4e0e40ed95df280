#include "wire/mdr_hold_out.h"

#include "wire/mdr_run_doc.h"

static void number_or_null(mdr_json *j, const char *key, bool there, double value)
{
    if (there) {
        mdr_json_number(j, key, value);
    } else {
        mdr_json_null(j, key);
    }
}

static void put_expected(mdr_json *j, const mdr_remedy *r, mdr_check_kind kind)
{
    if (!r->has_expected) {
        mdr_json_null(j, "expected");
        return;
    }
    mdr_json_object(j, "expected");
    mdr_json_number(j, "value", r->expected);
    mdr_json_number(j, "low", r->expected_low);
    mdr_json_number(j, "high", r->expected_high);
    mdr_json_text(j, "unit", mdr_check_unit(kind));
    mdr_json_end_object(j);
}

static void put_why(mdr_json *j, const mdr_remedy *r)
{
    mdr_json_array(j, "why");
    for (int i = 0; i < r->n_why; i++) {
        const mdr_hold_why *w = &r->why[i];
        mdr_json_object(j, NULL);
        mdr_json_text(j, "rule", w->id);
        mdr_json_text(j, "title", w->title);
        mdr_json_text(j, "words", w->words);
        mdr_json_text(j, "working", w->working);
        mdr_json_text(j, "source", w->source);
        mdr_json_text(j, "anchor", w->anchor);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

static void put_texts(mdr_json *j, const char *key, const char *const *texts, int n)
{
    mdr_json_array(j, key);
    for (int i = 0; i < n; i++) {
        mdr_json_text(j, NULL, texts[i]);
    }
    mdr_json_end_array(j);
}

static void put_remedy(mdr_json *j, const mdr_remedy *r, mdr_check_kind kind)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "remedy_id", mdr_remedy_id(r->kind));
    mdr_json_text(j, "title", mdr_remedy_words(r->kind));
    mdr_json_text(j, "words", r->words);
    mdr_json_text(j, "approve", mdr_hold_role_id(r->approve));
    mdr_json_text(j, "approve_words", mdr_hold_role_words(r->approve));
    mdr_json_number(j, "minutes", r->minutes);
    mdr_json_number(j, "water_l", r->water_l);
    mdr_json_number(j, "cost_minor", r->cost_minor);
    put_expected(j, r, kind);
    number_or_null(j, "dye_factor", r->dye_factor > 0.0, r->dye_factor);
    mdr_json_array(j, "steps");
    for (int i = 0; i < r->n_steps; i++) {
        mdr_wire_put_step(j, &r->steps[i]);
    }
    mdr_json_end_array(j);
    put_texts(j, "cautions", r->cautions, r->n_cautions);
    put_why(j, r);
    mdr_json_end_object(j);
}

void mdr_hold_write(mdr_json *j, const mdr_hold *h, mdr_check_kind kind)
{
    mdr_json_text(j, "verdict", mdr_hold_verdict_id(h->verdict));
    mdr_json_text(j, "verdict_words", mdr_hold_verdict_words(h->verdict));
    mdr_json_text(j, "words", h->words);
    mdr_json_array(j, "remedies");
    for (int i = 0; i < h->n_remedies; i++) {
        put_remedy(j, &h->remedies[i], kind);
    }
    mdr_json_end_array(j);
    put_texts(j, "missing", h->missing, h->n_missing);
}

mdr_code mdr_wire_hold(const mdr_hold *h, mdr_check_kind kind, mdr_arena *arena, char **text,
                       size_t *len, mdr_err *err)
{
    enum { USUAL_BYTES = 8192 };
    mdr_json j = mdr_json_make(arena, USUAL_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_hold_write(&j, h, kind);
    mdr_json_end_object(&j);
    return mdr_json_done(&j, text, len, err);
}
