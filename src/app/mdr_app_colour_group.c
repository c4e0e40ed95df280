/* Which rolls go together, and in which order they are laid up. */
#include "app/mdr_app_colour_in.h"
#include "core/colour/mdr_shade_block.h"
#include "core/colour/mdr_shade_group.h"
#include "core/colour/mdr_shade_order.h"

#include <string.h>

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the answer");
}

typedef struct rolls {
    mdr_colour_chosen samples;
    mdr_lab *lab;
    const mdr_shade_groups *groups;
    const mdr_shade_order *order; /* NULL: too many */
    mdr_shade_matrix matrix;
    mdr_lab standard;
    mdr_block_spec blocks;
    bool has_codes;
} rolls;

/* -- three-digit codes -- */

static mdr_code axes_of(const mdr_colour_desk *d, mdr_block_axes *out, mdr_err *err)
{
    static const struct {
        const char *word;
        mdr_block_axes axes;
    } AXES[MDR_BLOCK_AXES_COUNT] = {
        {"lch", MDR_BLOCK_LCH}, {"lab", MDR_BLOCK_LAB}, {"formula", MDR_BLOCK_FORMULA}};
    const char *typed = d->ask->word[MDR_COLOUR_WORD_AXES];
    *out = MDR_BLOCK_LCH;
    for (int i = 0; typed != NULL && i < MDR_BLOCK_AXES_COUNT; i++) {
        if (strcmp(typed, AXES[i].word) == 0) {
            *out = AXES[i].axes;
            return MDR_OK;
        }
    }
    if (typed == NULL) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "axes", "there are no such axes");
    mdr_err_value(err, "%s", typed);
    mdr_err_allowed(err, "lch, lab, formula");
    mdr_err_remedy(err, "choose one of these; lab for greys");
    return rc;
}

static mdr_code blocks_of(const mdr_colour_desk *d, mdr_block_spec *out, mdr_err *err)
{
    const mdr_colour_list *falls = &d->ask->number[MDR_COLOUR_NUMBER_FALLS];
    mdr_block_spec b = {.formula = d->spec, .edge_outward = d->ask->is[MDR_COLOUR_SWITCH_OUTWARD]};
    MDR_TRY(mdr_colour_need(d, MDR_COLOUR_NUMBER_WIDTHS,
                            "give the whole widths of a block along the three axes, as agreed with "
                            "the buyer",
                            err));
    MDR_TRY(axes_of(d, &b.axes, err));
    for (int i = 0; i < MDR_BLOCK_AXES; i++) {
        b.width[i] = d->ask->number[MDR_COLOUR_NUMBER_WIDTHS].v[i];
    }
    for (int i = 0; i < falls->n; i++) {
        const int axis = (int)falls->v[i];
        if ((double)axis != falls->v[i]) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "falls", "this is not an axis");
            mdr_err_value(err, "%g", falls->v[i]);
            mdr_err_allowed(err, "1, 2 or 3");
            mdr_err_remedy(err, "count the axes from 1");
            return rc;
        }
        b.falls[axis - 1] = true;
    }
    MDR_TRY(mdr_block_check(&b, err));
    *out = b;
    return MDR_OK;
}

static mdr_lab mean_of(const rolls *r)
{
    mdr_lab sum = {0.0, 0.0, 0.0};
    for (int i = 0; i < r->samples.n; i++) {
        sum.l += r->lab[i].l;
        sum.a += r->lab[i].a;
        sum.b += r->lab[i].b;
    }
    return (mdr_lab){sum.l / r->samples.n, sum.a / r->samples.n, sum.b / r->samples.n};
}

/* -- reading the rolls -- */

static mdr_code labs_of(mdr_colour_desk *d, rolls *r, mdr_err *err)
{
    if (r->samples.n == 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, d->ask->file[0].name,
                                     "there is no roll besides the standard");
        mdr_err_remedy(err, "measure the rolls into the same file");
        return rc;
    }
    r->lab = MDR_NEW_N(d->arena, mdr_lab, (size_t)r->samples.n);
    if (r->lab == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < r->samples.n; i++) {
        MDR_TRY(mdr_colour_lab_of(d, &r->samples.samples[i], 0, &r->lab[i], err));
    }
    return MDR_OK;
}

/* What is 555: the one that is named, the colour that is given, else the mean. */
static void standard_of_rolls(mdr_colour_desk *d, rolls *r)
{
    if (mdr_colour_given(d, MDR_COLOUR_NUMBER_STANDARD_LAB)) {
        const double *v = d->ask->number[MDR_COLOUR_NUMBER_STANDARD_LAB].v;
        r->standard = (mdr_lab){v[0], v[1], v[2]};
        return;
    }
    r->standard = mean_of(r);
    if (r->has_codes) {
        mdr_sheet_note(d->sheet, "No standard was named: 555 is the mean of the rolls.");
    }
}

static mdr_code named_standard(mdr_colour_desk *d, const mdr_colour_samples *all, rolls *r,
                               mdr_colour_sample *out, mdr_err *err)
{
    const char *name = d->ask->word[MDR_COLOUR_WORD_STANDARD];
    MDR_TRY(mdr_colour_standard_of(all, name, out, err));
    MDR_TRY(mdr_colour_lab_of(d, out, 0, &r->standard, err));
    mdr_sheet_line_put(d->sheet, "standard", "standard", "", 0,
                       mdr_cell_text(out->name, out->name));
    return MDR_OK;
}

static mdr_code rolls_read(mdr_colour_desk *d, rolls *r, mdr_err *err)
{
    const bool named = d->ask->word[MDR_COLOUR_WORD_STANDARD] != NULL;
    const bool repeats = d->ask->is[MDR_COLOUR_SWITCH_REPEATS];
    mdr_colour_samples all = {.n = 0};
    mdr_colour_sample standard = {.item = NULL};
    MDR_TRY(mdr_colour_samples_read(d, 0, repeats ? MDR_REPEATS_AVERAGED : MDR_REPEATS_REFUSED,
                                    &all, err));
    if (named) {
        MDR_TRY(named_standard(d, &all, r, &standard, err));
    }
    MDR_TRY(mdr_colour_samples_alike(d, &all, standard.item, &r->samples, err));
    MDR_TRY(labs_of(d, r, err));
    if (!named) {
        standard_of_rolls(d, r);
    }
    return MDR_OK;
}

/* Too many rolls is said of the file, not of the matrix. */
static mdr_code matrix_of(mdr_colour_desk *d, rolls *r, mdr_err *err)
{
    if (r->samples.n > MDR_ROLLS_MAX) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, d->ask->file[0].name, "too many rolls at once");
        mdr_err_value(err, "%d", r->samples.n);
        mdr_err_allowed(err, "up to %d", MDR_ROLLS_MAX);
        mdr_err_remedy(err, "group one shade at a time");
        return rc;
    }
    return mdr_shade_matrix_of(r->lab, r->samples.n, &d->spec, d->arena, &r->matrix, err);
}

/* -- writing -- */

static const mdr_sheet_column ROLLS[] = {
    {"roll", "roll", 0}, {"group", "group", 0}, {"code", "code", 0}, {"beyond", NULL, 0},
    {"l", "L*", 2},      {"a", "a*", 2},        {"b", "b*", 2},      {"de", "dE mean", 2},
    {"part_1", NULL, 2}, {"part_2", NULL, 2},   {"part_3", NULL, 2},
};
static const mdr_sheet_column GROUPS[] = {
    {"group", "group", 0}, {"rolls", "rolls", 0}, {"widest_de", "widest dE", 2}};
static const mdr_sheet_column ORDER[] = {{"place", "place", 0},
                                         {"roll", "roll", 0},
                                         {"group", "group", 0},
                                         {"step_de", "dE to the next", 2}};
enum {
    N_ROLLS_COLUMNS = (int)(sizeof ROLLS / sizeof ROLLS[0]),
    N_GROUPS_COLUMNS = (int)(sizeof GROUPS / sizeof GROUPS[0]),
    N_ORDER_COLUMNS = (int)(sizeof ORDER / sizeof ORDER[0])
};

static const char HUE_IS_WEAK[] = "The standard is nearly grey: its hue says little; ask with axes "
                                  "lab.";

static void put_code(mdr_colour_desk *d, mdr_sheet_table *t, const mdr_block *b, bool is)
{
    bool beyond = false;
    for (int i = 0; i < MDR_BLOCK_AXES; i++) {
        beyond = beyond || (is && b->beyond[i]);
    }
    const char *code = mdr_sheet_text(d->sheet, "%s", b->code);
    const char *words = beyond ? mdr_sheet_text(d->sheet, "%s beyond", code) : code;
    mdr_sheet_cell_put(t, is ? mdr_cell_text(code, words) : mdr_cell_none());
    mdr_sheet_cell_put(t, is ? mdr_cell_flag(beyond, "beyond", "within") : mdr_cell_none());
}

static void put_rolls(mdr_colour_desk *d, const rolls *r)
{
    const mdr_lab mean = mean_of(r);
    const mdr_sheet_table like = {.key = "rolls",
                                  .label = "Rolls",
                                  .columns = ROLLS,
                                  .n_columns = N_ROLLS_COLUMNS,
                                  .n_rows = r->samples.n};
    mdr_sheet_table *t = mdr_sheet_table_open(d->sheet, &like);
    for (int i = 0; i < r->samples.n; i++) {
        mdr_block b = {.code = ""};
        const mdr_lab *lab = &r->lab[i];
        if (r->has_codes) {
            b = mdr_block_of(r->standard, *lab, &r->blocks);
        }
        if (b.hue_is_weak) {
            mdr_sheet_note(d->sheet, HUE_IS_WEAK);
        }
        const char *name = r->samples.samples[i].name;
        mdr_sheet_cell_put(t, mdr_cell_text(name, name));
        mdr_sheet_cell_put(t, mdr_cell_number(r->groups->group[i] + 1));
        put_code(d, t, &b, r->has_codes);
        mdr_sheet_cell_put(t, mdr_cell_number(lab->l));
        mdr_sheet_cell_put(t, mdr_cell_number(lab->a));
        mdr_sheet_cell_put(t, mdr_cell_number(lab->b));
        mdr_sheet_cell_put(t, mdr_cell_number(mdr_difference_of(mean, *lab, &d->spec).de));
        for (int k = 0; k < MDR_BLOCK_AXES; k++) {
            mdr_sheet_cell_put(t, r->has_codes ? mdr_cell_number(b.part[k]) : mdr_cell_none());
        }
    }
}

static void put_groups(mdr_colour_desk *d, const mdr_shade_groups *g)
{
    const mdr_sheet_table like = {.key = "groups",
                                  .label = "Groups",
                                  .columns = GROUPS,
                                  .n_columns = N_GROUPS_COLUMNS,
                                  .n_rows = g->n_groups};
    mdr_sheet_table *t = mdr_sheet_table_open(d->sheet, &like);
    for (int i = 0; i < g->n_groups; i++) {
        mdr_sheet_cell_put(t, mdr_cell_number(i + 1));
        mdr_sheet_cell_put(t, mdr_cell_number(g->size[i]));
        mdr_sheet_cell_put(t, mdr_cell_number(g->widest_de[i]));
    }
}

static void put_order(mdr_colour_desk *d, const rolls *r)
{
    const mdr_shade_order *o = r->order;
    const mdr_sheet_table like = {.key = "order",
                                  .label = "Order for cutting",
                                  .columns = ORDER,
                                  .n_columns = N_ORDER_COLUMNS,
                                  .n_rows = o != NULL ? o->n : 0};
    mdr_sheet_table *t = mdr_sheet_table_open(d->sheet, &like);
    for (int i = 0; i < like.n_rows; i++) {
        const char *name = r->samples.samples[o->roll[i]].name;
        mdr_sheet_cell_put(t, mdr_cell_number(i + 1));
        mdr_sheet_cell_put(t, mdr_cell_text(name, name));
        mdr_sheet_cell_put(t, mdr_cell_number(r->groups->group[o->roll[i]] + 1));
        mdr_sheet_cell_put(
            t, i + 1 < o->n ? mdr_cell_number(mdr_shade_de(&r->matrix, o->roll[i], o->roll[i + 1]))
                            : mdr_cell_none());
    }
    if (o == NULL) {
        mdr_sheet_note(d->sheet, "An order for cutting is made for up to 400 rolls.");
        return;
    }
    mdr_sheet_line_put(d->sheet, "order_de", "sum of the steps", "", 2,
                       mdr_cell_number(o->total_de));
    mdr_sheet_line_put(d->sheet, "order_is_best", "no order is shorter", "", 0,
                       mdr_cell_flag(o->proven, "proven", "not proven"));
    mdr_colour_because(d, MDR_COLOUR_WHY_ORDER);
}

static void put_lines(mdr_colour_desk *d, const rolls *r, double most_de)
{
    const mdr_shade_groups *g = r->groups;
    mdr_sheet_line_put(d->sheet, "n", "rolls", "", 0, mdr_cell_number(g->n));
    mdr_sheet_line_put(d->sheet, "most_de", "largest difference within a group", "", 2,
                       mdr_cell_number(most_de));
    mdr_sheet_line_put(d->sheet, "n_groups", "groups", "", 0, mdr_cell_number(g->n_groups));
    mdr_sheet_line_put(d->sheet, "least_groups", "no grouping has fewer than", "", 0,
                       mdr_cell_number(g->least_groups));
    mdr_sheet_line_put(d->sheet, "groups_are_fewest", "fewest", "", 0,
                       mdr_cell_flag(g->proven, "proven", "not proven"));
}

static mdr_code sort_rolls(mdr_colour_desk *d, rolls *r, mdr_err *err)
{
    const double most_de = d->ask->number[MDR_COLOUR_NUMBER_MOST].v[0];
    MDR_TRY(matrix_of(d, r, err));
    MDR_TRY(mdr_shade_group(&r->matrix, most_de, MDR_GROUP_EFFORT, d->arena, &r->groups, err));
    if (r->samples.n <= MDR_ORDER_MAX) {
        MDR_TRY(mdr_shade_order_of(&r->matrix, d->arena, &r->order, err));
    }
    put_lines(d, r, most_de);
    put_rolls(d, r);
    put_groups(d, r->groups);
    put_order(d, r);
    return MDR_OK;
}

mdr_code mdr_colour_answer_group(mdr_colour_desk *d, mdr_err *err)
{
    rolls r = {.has_codes = d->ask->is[MDR_COLOUR_SWITCH_CODES]};
    MDR_TRY(mdr_colour_one_light(d, err));
    MDR_TRY(mdr_colour_need(d, MDR_COLOUR_NUMBER_MOST,
                            "give the largest difference that may be sewn together, as 0.5", err));
    if (r.has_codes) {
        MDR_TRY(blocks_of(d, &r.blocks, err));
        mdr_colour_because(d, MDR_COLOUR_WHY_CODES);
    }
    MDR_TRY(rolls_read(d, &r, err));
    mdr_colour_caption(d, true);
    mdr_colour_because(d, MDR_COLOUR_WHY_GROUPS);
    mdr_colour_because_formula(d);
    return sort_rolls(d, &r, err);
}
