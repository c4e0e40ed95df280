#include "core/plan/mdr_fig.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "core/plan/mdr_rules.h"

typedef struct qty_info {
    const char *key, *unit, *label;
} qty_info;

static const qty_info QTY[MDR_QTY_COUNT] = {
#define MDR_QTY(name, key, unit, label) [name] = {key, unit, label},
#include "core/plan/mdr_quantities.def"
#undef MDR_QTY
};

static const mdr_rule_info RULES[MDR_RULE_COUNT] = {
#define MDR_RULE(name, id, title, words, source, anchor, function) \
    [name] = {id, title, words, source, anchor, function},
#include "core/plan/mdr_rules.def"
#undef MDR_RULE
};

const mdr_rule_info *mdr_rule_of(mdr_rule rule)
{
    assert((int)rule >= 0 && (int)rule < MDR_RULE_COUNT);
    return &RULES[rule];
}

mdr_figs mdr_figs_make(mdr_arena *arena)
{
    return (mdr_figs){.arena = arena};
}

/* Room for `need` more elements of `size` in *items; keeps what is there. */
static bool reserve(mdr_figs *f, void **items, int count, int *room, int need, size_t size)
{
    if (f->failed) {
        return false;
    }
    if (count + need <= *room) {
        return true;
    }
    int bigger = *room == 0 ? 512 : *room * 2;
    while (bigger < count + need) {
        bigger *= 2;
    }
    void *more = mdr_arena_alloc(f->arena, (size_t)bigger, size);
    if (more == NULL) {
        f->failed = true;
        return false;
    }
    if (count > 0) {
        memcpy(more, *items, (size_t)count * size);
    }
    *items = more;
    *room = bigger;
    return true;
}

static mdr_fig_id push(mdr_figs *f, const mdr_fig *fig)
{
    void *items = f->items;
    if (!reserve(f, &items, f->count, &f->room, 1, sizeof *f->items)) {
        return MDR_FIG_NONE;
    }
    f->items = items;
    f->items[f->count] = *fig;
    return f->count++;
}

mdr_fig_id mdr_fig_input(mdr_figs *f, double value, const char *unit, const char *label,
                         mdr_fig_source source)
{
    assert(isfinite(value));
    const mdr_fig fig = {.value = value,
                         .unit = unit,
                         .label = label,
                         .rule = -1,
                         .at = source.at,
                         .table = source.table,
                         .record_id = source.record_id,
                         .field = source.field};
    return push(f, &fig);
}

mdr_fig_id mdr_fig_rule(mdr_figs *f, mdr_qty qty, mdr_where at, mdr_rule rule,
                        const mdr_fig_id *inputs, int n_inputs)
{
    enum { STACK = 64 };
    double on_stack[STACK];
    double *values = on_stack;
    if (n_inputs > STACK) {
        values = mdr_arena_alloc(f->arena, (size_t)n_inputs, sizeof *values);
        f->failed = f->failed || values == NULL;
    }
    void *pool = f->pool;
    if (!reserve(f, &pool, f->pool_count, &f->pool_room, n_inputs + 1, sizeof *f->pool)) {
        return MDR_FIG_NONE;
    }
    f->pool = pool;
    const int first = f->pool_count;
    int n = 0;
    for (int i = 0; i < n_inputs; i++) {
        if (inputs[i] != MDR_FIG_NONE) { /* an absent quantity takes no part */
            values[n++] = mdr_fig_value(f, inputs[i]);
            f->pool[f->pool_count++] = inputs[i];
        }
    }
    const double value = RULES[rule].compute(values, n);
    assert(isfinite(value));
    const mdr_fig fig = {.value = value,
                         .unit = QTY[qty].unit,
                         .label = QTY[qty].label,
                         .rule = (int32_t)rule,
                         .inputs = first,
                         .n_inputs = n,
                         .qty = (int16_t)qty,
                         .at = at};
    return push(f, &fig);
}

double mdr_fig_value(const mdr_figs *f, mdr_fig_id id)
{
    return id == MDR_FIG_NONE || id >= f->count ? 0.0 : f->items[id].value;
}

const mdr_fig *mdr_fig_at(const mdr_figs *f, mdr_fig_id id)
{
    assert(id >= 0 && id < f->count);
    return &f->items[id];
}

/* A cursor that never runs past its end. */
typedef struct writer {
    char *out;
    size_t size, n;
} writer;

static void put_text(writer *w, const char *text)
{
    for (; *text != '\0'; text++) {
        if (w->n + 1 < w->size) {
            w->out[w->n] = *text;
        }
        w->n++;
    }
}

static void put_place(writer *w, char letter, int number)
{
    if (number == 0) {
        return;
    }
    char digits[8];
    int n = 0;
    for (int left = number; left > 0 && n < 8; left /= 10) {
        digits[n++] = (char)('0' + left % 10);
    }
    const char head[2] = {letter, '\0'};
    put_text(w, head);
    while (n > 0) {
        const char digit[2] = {digits[--n], '\0'};
        put_text(w, digit);
    }
    put_text(w, ".");
}

static void put_where(writer *w, mdr_where at)
{
    put_place(w, 'b', at.bath);
    put_place(w, 's', at.step);
    put_place(w, 'i', at.item);
}

/* Tables of which a plan reads more than one record. */
static bool is_many(const char *table)
{
    return strcmp(table, "material") == 0 || strcmp(table, "dose_table") == 0 ||
           strcmp(table, "roll") == 0 || strcmp(table, "recipe") == 0 ||
           strcmp(table, "substance") == 0 || strcmp(table, "stage") == 0 ||
           strcmp(table, "pass") == 0 || strcmp(table, "reading") == 0 ||
           strcmp(table, "finisher") == 0 || strcmp(table, "wash_sample") == 0;
}

int mdr_fig_key(const mdr_figs *f, mdr_fig_id id, char *out, size_t out_size)
{
    const mdr_fig *fig = mdr_fig_at(f, id);
    writer w = {out, out_size, 0};
    if (fig->table != NULL) {
        put_text(&w, fig->table);
        put_text(&w, ".");
        if (is_many(fig->table)) {
            put_text(&w, fig->record_id);
            put_text(&w, ".");
        }
    }
    put_where(&w, fig->at);
    put_text(&w, fig->rule >= 0 ? QTY[fig->qty].key : fig->field);
    if (out_size > 0) {
        out[w.n < out_size ? w.n : out_size - 1] = '\0';
    }
    return (int)w.n;
}

void mdr_fig_belongs(mdr_figs *f, mdr_fig_id id, const char *table, const char *record_id)
{
    if (id != MDR_FIG_NONE) {
        f->items[id].table = table;
        f->items[id].record_id = record_id;
    }
}

mdr_fig_id mdr_fig_find(const mdr_figs *f, const char *key)
{
    char mine[160];
    for (mdr_fig_id id = 0; id < f->count; id++) {
        (void)mdr_fig_key(f, id, mine, sizeof mine);
        if (strcmp(mine, key) == 0) {
            return id;
        }
    }
    return MDR_FIG_NONE;
}
