#include <string.h>

#include "core/plan/mdr_say.h"
#include "wire/mdr_plan_out.h"

/* -- keys -- */

static uint32_t hash_of(const char *text)
{
    uint32_t h = 2166136261u; /* FNV-1a, 32 bits */
    for (; *text != '\0'; text++) {
        h = (h ^ (unsigned char)*text) * 16777619u;
    }
    return h;
}

/* An input that is read twice is two figures with one key; only the first is written. */
static bool find_firsts(mdr_plan_out *o, int count, mdr_arena *arena)
{
    uint32_t size = 16;
    while (size < (uint32_t)count * 2u) {
        size *= 2u;
    }
    mdr_fig_id *slots = MDR_NEW_N(arena, mdr_fig_id, size); /* id + 1; 0: empty */
    if (slots == NULL) {
        return false;
    }
    for (mdr_fig_id i = 0; i < count; i++) {
        uint32_t at = hash_of(o->keys[i]) & (size - 1u);
        while (slots[at] != 0 && strcmp(o->keys[slots[at] - 1], o->keys[i]) != 0) {
            at = (at + 1u) & (size - 1u);
        }
        o->first[i] = slots[at] != 0 ? slots[at] - 1 : i;
        slots[at] = o->first[i] + 1;
    }
    return true;
}

static bool make_keys(mdr_plan_out *o, const mdr_figs *figs, mdr_arena *arena)
{
    char key[128];
    for (mdr_fig_id i = 0; i < figs->count; i++) {
        const int n = mdr_fig_key(figs, i, key, sizeof key);
        o->keys[i] = mdr_arena_text_n(arena, key, (size_t)n < sizeof key ? (size_t)n : strlen(key));
        if (o->keys[i] == NULL) {
            return false;
        }
    }
    return find_firsts(o, figs->count, arena);
}

mdr_code mdr_plan_out_make(const mdr_plan *plan, mdr_arena *arena, size_t size_hint,
                           mdr_plan_out *out, mdr_err *err)
{
    const size_t n = (size_t)plan->figs.count + 1;
    mdr_plan_out o = {.plan = plan};
    o.keys = (const char **)mdr_arena_alloc(arena, n, sizeof *o.keys);
    o.first = MDR_NEW_N(arena, mdr_fig_id, n);
    o.rules = MDR_NEW_N(arena, bool, (size_t)MDR_RULE_COUNT);
    if (o.keys == NULL || o.first == NULL || o.rules == NULL ||
        !make_keys(&o, &plan->figs, arena)) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to name the figures of the plan");
    }
    o.j = mdr_json_make(arena, size_hint, false);
    *out = o;
    return MDR_OK;
}

/* -- quantities and figures -- */

void mdr_out_quantity(mdr_plan_out *o, const char *key, mdr_fig_id id)
{
    if (id == MDR_FIG_NONE) {
        mdr_json_null(&o->j, key);
        return;
    }
    const mdr_fig *f = mdr_fig_at(&o->plan->figs, id);
    mdr_json_object(&o->j, key);
    mdr_json_number(&o->j, "value", f->value);
    mdr_json_text(&o->j, "unit", f->unit);
    mdr_json_text(&o->j, "figure", o->keys[id]);
    if (o->wanted != NULL) {
        o->wanted[id] = true;
    }
    mdr_json_end_object(&o->j);
}

void mdr_out_figure(mdr_plan_out *o, mdr_fig_id id)
{
    mdr_json *j = &o->j;
    const mdr_fig *f = mdr_fig_at(&o->plan->figs, id);
    mdr_json_text(j, "label", f->label);
    mdr_json_number(j, "value", f->value);
    mdr_json_text(j, "unit", f->unit);
    if (f->rule >= 0) {
        mdr_json_text(j, "rule", mdr_rule_of((mdr_rule)f->rule)->id);
        o->rules[f->rule] = true;
        return;
    }
    mdr_json_object(j, "source");
    mdr_json_text(j, "table", f->table);
    mdr_json_text(j, "record_id", f->record_id);
    mdr_json_text(j, "field", f->field);
    mdr_json_end_object(j);
}

/* What is wanted rests on others: an input always comes before what it is used in. */
static void want_inputs(mdr_plan_out *o)
{
    const mdr_figs *figs = &o->plan->figs;
    for (mdr_fig_id i = figs->count - 1; o->wanted != NULL && i >= 0; i--) {
        const mdr_fig *f = &figs->items[i];
        for (int32_t k = 0; o->wanted[i] && k < f->n_inputs; k++) {
            const mdr_fig_id input = figs->pool[f->inputs + k];
            o->wanted[input] = o->wanted[o->first[input]] = true;
        }
    }
}

void mdr_out_figures(mdr_plan_out *o)
{
    mdr_json *j = &o->j;
    const mdr_figs *figs = &o->plan->figs;
    want_inputs(o);
    mdr_json_object(j, "figures");
    for (mdr_fig_id i = 0; i < figs->count; i++) {
        if (o->first[i] != i || (o->wanted != NULL && !o->wanted[i])) {
            continue;
        }
        const mdr_fig *f = &figs->items[i];
        mdr_json_object(j, o->keys[i]);
        mdr_out_figure(o, i);
        if (f->rule >= 0) {
            mdr_json_array(j, "inputs");
            for (int32_t k = 0; k < f->n_inputs; k++) {
                mdr_json_text(j, NULL, o->keys[figs->pool[f->inputs + k]]);
            }
            mdr_json_end_array(j);
        }
        mdr_json_end_object(j);
    }
    mdr_json_end_object(j);
}

void mdr_out_rules(mdr_plan_out *o)
{
    mdr_json *j = &o->j;
    mdr_json_object(j, "rules");
    for (int i = 0; i < MDR_RULE_COUNT; i++) {
        if (!o->rules[i]) {
            continue;
        }
        const mdr_rule_info *r = mdr_rule_of((mdr_rule)i);
        mdr_json_object(j, r->id);
        mdr_json_text(j, "title", r->title);
        mdr_json_text(j, "words", r->words);
        mdr_json_text(j, "source", r->source);
        mdr_json_text(j, "anchor", r->anchor);
        mdr_json_end_object(j);
    }
    mdr_json_end_object(j);
}

/* -- a check -- */

void mdr_out_check(mdr_plan_out *o, const mdr_route_check *c, mdr_fig_id expected)
{
    mdr_json *j = &o->j;
    mdr_json_object(j, "check");
    mdr_json_text(j, "kind", mdr_check_id(c->kind));
    mdr_json_text(j, "words", mdr_check_words(c->kind));
    mdr_json_text(j, "unit", mdr_check_unit(c->kind));
    if (c->has_low) {
        mdr_json_number(j, "low", c->low);
    } else {
        mdr_json_null(j, "low");
    }
    if (c->has_high) {
        mdr_json_number(j, "high", c->high);
    } else {
        mdr_json_null(j, "high");
    }
    mdr_json_bool(j, "cooled", c->cooled);
    mdr_out_quantity(o, "expected", expected);
    mdr_json_text(j, "method", c->method);
    mdr_json_text(j, "on_fail", mdr_on_fail_id(c->on_fail));
    mdr_json_text(j, "on_fail_words", mdr_on_fail_words(c->on_fail));
    mdr_json_text(j, "remedy", c->remedy);
    mdr_json_end_object(j);
}

/* -- cautions -- */

void mdr_out_cautions(mdr_plan_out *o, uint32_t set)
{
    mdr_json_array(&o->j, "cautions");
    for (int i = 0; i < MDR_CAUTION_COUNT; i++) {
        if ((set >> i & 1u) != 0) {
            mdr_json_text(&o->j, NULL, mdr_caution_id((mdr_caution)i));
        }
    }
    mdr_json_end_array(&o->j);
    o->cautions |= set;
}

void mdr_out_caution_texts(mdr_plan_out *o)
{
    mdr_json_object(&o->j, "cautions");
    for (int i = 0; i < MDR_CAUTION_COUNT; i++) {
        if ((o->cautions >> i & 1u) != 0) {
            mdr_json_text(&o->j, mdr_caution_id((mdr_caution)i), mdr_say_caution((mdr_caution)i));
        }
    }
    mdr_json_end_object(&o->j);
}
