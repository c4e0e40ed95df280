#include "wire/mdr_hold_out.h"

static void put_cautions(mdr_json *j, uint32_t cautions)
{
    mdr_json_array(j, "cautions");
    for (int i = 0; i < MDR_CAUTION_COUNT; i++) {
        if ((cautions & (1u << i)) != 0) {
            mdr_json_text(j, NULL, mdr_caution_id((mdr_caution)i));
        }
    }
    mdr_json_end_array(j);
}

static void put_items(mdr_json *j, const mdr_control_step *s)
{
    mdr_json_array(j, "items");
    for (int i = 0; i < s->n_items; i++) {
        const mdr_control_item *item = &s->items[i];
        mdr_json_object(j, NULL);
        mdr_json_int(j, "item", i + 1);
        mdr_json_text(j, "material_id", item->material_id);
        mdr_json_text(j, "name", item->name);
        mdr_json_int(j, "mass_mg", item->mass_mg);
        mdr_json_number(j, "volume_l", item->volume_l);
        mdr_json_bool(j, "dye", item->dye);
        put_cautions(j, item->cautions);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

static void number_or_null(mdr_json *j, const char *key, bool there, double value)
{
    if (there) {
        mdr_json_number(j, key, value);
    } else {
        mdr_json_null(j, key);
    }
}

static void put_check(mdr_json *j, const mdr_control_step *s)
{
    const mdr_control_check *c = &s->check;
    if (s->kind != MDR_STEP_CHECK) {
        mdr_json_null(j, "check");
        return;
    }
    mdr_json_object(j, "check");
    mdr_json_text(j, "kind", mdr_check_id(c->kind));
    mdr_json_text(j, "words", mdr_check_words(c->kind));
    mdr_json_text(j, "unit", mdr_check_unit(c->kind));
    number_or_null(j, "low", c->has_low, c->low);
    number_or_null(j, "high", c->has_high, c->high);
    number_or_null(j, "expected", c->has_expected, c->expected);
    mdr_json_text(j, "method", c->method);
    mdr_json_text(j, "remedy", c->remedy);
    mdr_json_text(j, "on_fail", mdr_on_fail_id(c->on_fail));
    mdr_json_bool(j, "cooled", c->cooled);
    mdr_json_number(j, "least", mdr_check_least(c->kind));
    mdr_json_number(j, "most", mdr_check_most(c->kind));
    mdr_json_end_object(j);
}

void mdr_control_step_write(mdr_json *j, const mdr_control_step *s)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "key", s->key);
    mdr_json_int(j, "bath", s->bath);
    mdr_json_text(j, "kind", mdr_step_kind_id(s->kind));
    mdr_json_text(j, "words", mdr_step_kind_words(s->kind));
    mdr_json_text(j, "note", s->note);
    mdr_json_number(j, "start_min", s->start_min);
    mdr_json_number(j, "minutes", s->minutes);
    mdr_json_number(j, "temp_start_c", s->temp_start_c);
    mdr_json_number(j, "temp_end_c", s->temp_end_c);
    mdr_json_number(j, "volume_l", s->volume_l);
    mdr_json_number(j, "water_temp_c", s->water_temp_c);
    mdr_json_number(j, "flow_l_per_min", s->flow_l_per_min);
    mdr_json_number(j, "liquor_l", s->liquor_l);
    mdr_json_bool(j, "beside", s->beside);
    if (s->kind == MDR_STEP_DOSE) {
        mdr_json_text(j, "curve", mdr_curve_id(s->curve));
    } else {
        mdr_json_null(j, "curve");
    }
    mdr_json_int(j, "portions", s->portions);
    put_cautions(j, s->cautions);
    put_items(j, s);
    put_check(j, s);
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
        mdr_control_step_write(j, &r->steps[i]);
        mdr_json_end_object(j);
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
