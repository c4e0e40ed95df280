#include "wire/mdr_plan_out.h"
#include "wire/mdr_wire.h"

/* Where the walk stands in one figure: which of its inputs comes next. */
typedef struct level {
    mdr_fig_id id;
    int32_t next;
} level;

typedef struct walk {
    mdr_plan_out o;
    bool *shown;
    level *levels; /* at most one a figure, since a figure rests only on those before it */
    int depth;
} walk;

static void put_rule(mdr_json *j, const mdr_rule_info *r)
{
    mdr_json_object(j, "rule");
    mdr_json_text(j, "id", r->id);
    mdr_json_text(j, "title", r->title);
    mdr_json_text(j, "words", r->words);
    mdr_json_text(j, "source", r->source);
    mdr_json_text(j, "anchor", r->anchor);
    mdr_json_end_object(j);
}

/* Opens a figure; one that rests on others stays open until its inputs are written. */
static void open_figure(walk *w, mdr_fig_id id)
{
    mdr_json *j = &w->o.j;
    const mdr_fig *f = mdr_fig_at(&w->o.plan->figs, id);
    mdr_json_object(j, NULL);
    mdr_json_text(j, "figure", w->o.keys[id]);
    const mdr_fig_id first = w->o.first[id];
    const bool again = w->shown[first];
    w->shown[first] = true;
    mdr_json_text(j, "label", f->label);
    mdr_json_number(j, "value", f->value);
    mdr_json_text(j, "unit", f->unit);
    if (f->rule < 0) {
        mdr_json_object(j, "source");
        mdr_json_text(j, "table", f->table);
        mdr_json_text(j, "record_id", f->record_id);
        mdr_json_text(j, "field", f->field);
        mdr_json_end_object(j);
        mdr_json_end_object(j);
        return;
    }
    put_rule(j, mdr_rule_of((mdr_rule)f->rule));
    if (again) {
        mdr_json_bool(j, "shown_above", true);
        mdr_json_end_object(j);
        return;
    }
    mdr_json_array(j, "inputs");
    w->levels[w->depth++] = (level){.id = id};
}

mdr_code mdr_wire_why(const mdr_plan *plan, mdr_fig_id figure, mdr_arena *arena, char **text,
                      size_t *len, mdr_err *err)
{
    const mdr_figs *figs = &plan->figs;
    walk w = {.depth = 0};
    MDR_TRY(mdr_plan_out_make(plan, arena, (size_t)16 * 1024, &w.o, err));
    w.shown = MDR_NEW_N(arena, bool, (size_t)figs->count + 1);
    w.levels = MDR_NEW_N(arena, level, (size_t)figs->count + 1);
    if (w.shown == NULL || w.levels == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to explain the figure");
    }
    open_figure(&w, figure);
    while (w.depth > 0) {
        level *at = &w.levels[w.depth - 1];
        const mdr_fig *f = mdr_fig_at(figs, at->id);
        if (at->next < f->n_inputs) {
            open_figure(&w, figs->pool[f->inputs + at->next++]);
        } else {
            mdr_json_end_array(&w.o.j);
            mdr_json_end_object(&w.o.j);
            w.depth--;
        }
    }
    return mdr_json_done(&w.o.j, text, len, err);
}
