#include "mill/mdr_mill_rules.h"

#include <string.h>

#include "base/mdr_decimal.h"
#include "core/plan/mdr_material_known.h"
#include "core/plan/mdr_records.h"
#include "mill/mdr_bench.h"
#include "mill/mdr_mill_cell_in.h"
#include "mill/mdr_mill_rows.h"

typedef struct row {
    const mdr_table *table;
    const mdr_mill_cell *cells;
    mdr_mill_sink sink;
} row;

static const mdr_mill_cell ABSENT = {.bad = true};

static const mdr_mill_cell *get(const row *r, const char *name)
{
    const int i = mdr_mill_col_index(r->table, name);
    return i < 0 ? &ABSENT : &r->cells[i];
}

static bool known(const mdr_mill_cell *c)
{
    return c->given && !c->bad;
}

static void shown(const row *r, const char *name, char out[MDR_DECIMAL_TEXT_MAX])
{
    const mdr_col *col = &r->table->cols[mdr_mill_col_index(r->table, name)];
    (void)mdr_decimal_write(out, MDR_DECIMAL_TEXT_MAX, get(r, name)->number,
                            mdr_mill_per_unit(col));
}

/* -- a least that exceeds its greatest -------------------------------------------------------- */

static const struct {
    const char *table, *least, *most;
} PAIRS[] = {
    {"machine", "load_min_kg", "load_max_kg"},
    {"machine", "liquor_min_l", "liquor_max_l"},
    {"machine", "speed_min_m_per_min", "speed_max_m_per_min"},
    {"finisher", "width_min_cm", "width_max_cm"},
    {"finisher", "overfeed_min_pct", "overfeed_pct"},
    {"finisher", "overfeed_pct", "overfeed_max_pct"},
    {"finisher", "speed_m_per_min", "speed_max_m_per_min"},
};

static void check_pairs(const row *r)
{
    char least[MDR_DECIMAL_TEXT_MAX], most[MDR_DECIMAL_TEXT_MAX];
    for (size_t i = 0; i < sizeof PAIRS / sizeof PAIRS[0]; i++) {
        if (strcmp(PAIRS[i].table, r->table->name) != 0) {
            continue;
        }
        const mdr_mill_cell *a = get(r, PAIRS[i].least), *b = get(r, PAIRS[i].most);
        if (known(a) && known(b) && a->number > b->number) {
            mdr_err e;
            shown(r, PAIRS[i].least, least);
            shown(r, PAIRS[i].most, most);
            (void)MDR_FAIL(&e, MDR_E_RANGE, PAIRS[i].least, "the least exceeds the greatest");
            mdr_err_value(&e, "%s", least);
            mdr_err_allowed(&e, "at most %s, the value of %s", most, PAIRS[i].most);
            mdr_err_remedy(&e, "correct %s or %s", PAIRS[i].least, PAIRS[i].most);
            r->sink.take(r->sink.context, &e);
        }
    }
}

/* -- dyes and chemicals ----------------------------------------------------------------------- */

static void report(const row *r, const char *column, const char *msg, const char *remedy)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_PARSE, column, "%s", msg);
    mdr_err_remedy(&e, "%s", remedy);
    r->sink.take(r->sink.context, &e);
}

static void check_form(const row *r)
{
    const mdr_mill_cell *form = get(r, "form");
    const mdr_mill_cell *density = get(r, "density_kg_per_l");
    const mdr_mill_cell *solubility = get(r, "solubility_g_per_l");
    const mdr_mill_cell *baume = get(r, "baume"); /* a dye has none */
    const bool chemical = baume != &ABSENT;
    if (!known(form)) {
        return;
    }
    const bool liquid = mdr_form_is_liquid((mdr_form)form->number);
    const bool unread = density->bad || (chemical && baume->bad);
    if (liquid && !unread && !density->given && !baume->given) {
        report(r, "density_kg_per_l", "a liquid or paste without density",
               chemical ? "fill in density_kg_per_l, or baume for NaOH, NaCl and Na2SO4"
                        : "fill in density_kg_per_l");
    }
    if (!liquid && !solubility->bad && !solubility->given) {
        report(r, "solubility_g_per_l", "a solid without solubility",
               "fill in solubility_g_per_l: how many grams of it a litre dissolves well");
    }
}

static void check_strength(const row *r)
{
    const mdr_mill_cell *strength = get(r, "strength_pct"), *baume = get(r, "baume");
    const mdr_mill_cell *substance = get(r, "substance");
    if (!strength->bad && !baume->bad && strength->given == baume->given) {
        report(r, strength->given ? "baume" : "strength_pct",
               strength->given ? "strength and degree Baume are both given"
                               : "neither strength nor degree Baume is given",
               "give exactly one of strength_pct and baume");
    }
    if (!known(substance)) {
        return;
    }
    const mdr_substance s = (mdr_substance)substance->number;
    if (s == MDR_SUB_DYE) {
        report(r, "substance", "a dye among the chemicals", "put it into the table dye");
    }
    if (known(baume) && s != MDR_SUB_NAOH && s != MDR_SUB_NACL && s != MDR_SUB_NA2SO4) {
        report(r, "baume", "degree Baume tells the strength of NaOH, NaCl and Na2SO4 only",
               "give strength_pct instead, and density_kg_per_l");
    }
}

static bool is_hex(char c)
{
    return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
}

static void report_text(const row *r, const char *column, const char *msg, const char *allowed)
{
    mdr_err e;
    const mdr_mill_cell *c = get(r, column);
    (void)MDR_FAIL(&e, MDR_E_PARSE, column, "%s", msg);
    mdr_err_value(&e, "%.*s", (int)c->len, c->text);
    mdr_err_allowed(&e, "%s", allowed);
    mdr_err_remedy(&e, "write it like that");
    r->sink.take(r->sink.context, &e);
}

static void check_swatch(const row *r)
{
    const mdr_mill_cell *c = get(r, "swatch");
    if (!known(c)) {
        return;
    }
    bool good = c->len == 7 && c->text[0] == '#';
    for (size_t i = 1; good && i < 7; i++) {
        good = is_hex(c->text[i]);
    }
    if (!good) {
        report_text(r, "swatch", "not a colour", "#rrggbb, for example #b03a2e, or empty");
    }
}

/* Parts of one and the same dyeing: what is fixed was on the fabric, and more comes with time. */
static const struct {
    const char *less, *more, *msg;
} PARTS[] = {
    {"fixation_pct", "exhaustion_pct", "the fixation exceeds the exhaustion"},
    {"primary_exhaustion_pct", "exhaustion_pct", "more goes on before the alkali than by the end"},
    {"fix_first_pct", "fixation_pct", "more is fixed first than by the end"},
    {"fix_first_pct", "exhaustion_pct", "more is fixed first than goes on"},
};

static void check_parts(const row *r)
{
    char less[MDR_DECIMAL_TEXT_MAX], more[MDR_DECIMAL_TEXT_MAX];
    for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++) {
        const mdr_mill_cell *a = get(r, PARTS[i].less), *b = get(r, PARTS[i].more);
        if (!known(a) || !known(b) || a->number <= b->number) {
            continue;
        }
        mdr_err err;
        shown(r, PARTS[i].less, less);
        shown(r, PARTS[i].more, more);
        (void)MDR_FAIL(&err, MDR_E_RANGE, PARTS[i].less, "%s", PARTS[i].msg);
        mdr_err_value(&err, "%s", less);
        mdr_err_allowed(&err, "at most %s, the value of %s", more, PARTS[i].more);
        mdr_err_remedy(&err, "count both on the dye used, and correct %s or %s", PARTS[i].less,
                       PARTS[i].more);
        r->sink.take(r->sink.context, &err);
    }
}

/* A dyeing group belongs to one class, and only a reactive dye is fixed by alkali. */
static void check_kinetics(const row *r)
{
    static const char *const REACTIVE_ONLY[] = {"primary_exhaustion_pct", "fix_first_pct",
                                                "fix_first_min"};
    const mdr_mill_cell *class = get(r, "dye_class"), *group = get(r, "dyeing_group");
    if (!known(class) || class->number == MDR_CLASS_NONE) {
        return;
    }
    const mdr_dye_way way = mdr_class_way((int)class->number);
    if (known(group) && group->number != MDR_GROUP_UNSTATED &&
        mdr_dye_group_way((mdr_dye_group)group->number) != way) {
        report_text(r, "dyeing_group", "the group is of another class than the dye",
                    "a group of the dye's class, or unstated");
    }
    for (size_t i = 0; way != MDR_WAY_REACTIVE && i < 3; i++) {
        if (known(get(r, REACTIVE_ONLY[i]))) {
            report(r, REACTIVE_ONLY[i], "only a reactive dye is fixed by alkali", "leave it empty");
        }
    }
}

static void check_dye(const row *r)
{
    const mdr_mill_cell *c = get(r, "dye_class");
    if (known(c) && c->number == MDR_CLASS_NONE) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_PARSE, "dye_class", "a dye belongs to a class");
        mdr_err_value(&e, "none");
        mdr_err_allowed(&e, "reactive, direct, vat");
        mdr_err_remedy(&e, "write the class of the dye");
        r->sink.take(r->sink.context, &e);
    }
    check_swatch(r);
    check_parts(r);
    check_kinetics(r);
    check_form(r);
}

/* -- site ------------------------------------------------------------------------------------- */

static void check_site(const row *r)
{
    const mdr_mill_cell *c = get(r, "currency");
    if (!known(c)) {
        return;
    }
    bool good = c->len == 3;
    for (size_t i = 0; good && i < 3; i++) {
        good = c->text[i] >= 'A' && c->text[i] <= 'Z';
    }
    if (!good) {
        report_text(r, "currency", "not a currency code", "three capital letters of ISO 4217: EUR");
    }
}

/* -- laboratory ------------------------------------------------------------------------------- */

/* Which cells a kind of sample has, and which it must leave empty. */
static void check_sample(const row *r)
{
    static const struct {
        const char *column;
        unsigned kinds; /* those that have it */
    } OWNED[] = {
        {"dye_id", 1u << MDR_BENCH_RUNG},
        {"depth_pct_owf", 1u << MDR_BENCH_RUNG},
        {"shade_id", 1u << MDR_BENCH_STANDARD | 1u << MDR_BENCH_DIP | 1u << MDR_BENCH_BULK},
        {"lot_id", 1u << MDR_BENCH_BULK},
    };
    const mdr_mill_cell *kind = get(r, "kind"), *substrate = get(r, "substrate");
    if (!known(kind)) {
        return;
    }
    const mdr_bench_kind k = (mdr_bench_kind)kind->number;
    for (size_t i = 0; i < sizeof OWNED / sizeof OWNED[0]; i++) {
        const mdr_mill_cell *c = get(r, OWNED[i].column);
        const bool must = (OWNED[i].kinds >> (unsigned)k & 1u) != 0;
        if (!c->bad && c->given != must) {
            mdr_err e;
            (void)MDR_FAIL(&e, MDR_E_PARSE, OWNED[i].column,
                           must ? "a sample of this kind needs it"
                                : "a sample of this kind has none");
            mdr_err_value(&e, "%s", mdr_bench_kind_id(k));
            mdr_err_remedy(&e, must ? "fill in %s, or correct kind" : "empty %s, or correct kind",
                           OWNED[i].column);
            r->sink.take(r->sink.context, &e);
        }
    }
    if (k != MDR_BENCH_STANDARD && !substrate->bad && !substrate->given) {
        report(r, "substrate", "which cloth and process it is of is not said",
               "fill in substrate, as of the ladders");
    }
}

static void check_dip(const row *r)
{
    static const char *const DECIDED[] = {"decided_by", "decided"};
    const mdr_mill_cell *state = get(r, "state");
    if (!known(state)) {
        return;
    }
    const bool decided = state->number == MDR_DIP_APPROVED || state->number == MDR_DIP_REJECTED;
    for (size_t i = 0; i < sizeof DECIDED / sizeof DECIDED[0]; i++) {
        const mdr_mill_cell *c = get(r, DECIDED[i]);
        if (!c->bad && c->given != decided) {
            report(r, DECIDED[i],
                   decided ? "who decided, and when, is not said" : "a dip that is not decided yet",
                   decided ? "fill in decided_by and decided" : "empty it, or correct state");
        }
    }
}

void mdr_mill_rules(const mdr_table *table, const mdr_mill_cell *cells, mdr_mill_sink sink)
{
    const row r = {table, cells, sink};
    check_pairs(&r);
    if (strcmp(table->name, "dye") == 0) {
        check_dye(&r);
    } else if (strcmp(table->name, "chemical") == 0) {
        check_form(&r);
        check_strength(&r);
    } else if (strcmp(table->name, "site") == 0) {
        check_site(&r);
    } else if (strcmp(table->name, "lab_sample") == 0) {
        check_sample(&r);
    } else if (strcmp(table->name, "dip") == 0) {
        check_dip(&r);
    }
}
