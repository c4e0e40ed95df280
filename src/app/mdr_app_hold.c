/* A hold point without a batch: the question becomes a bath, a usual machine and usual products. */
#include "app/mdr_app_hold.h"

#include <string.h>

#include "app/mdr_desk.h"
#include "core/finish/mdr_stenter.h"
#include "core/finish/mdr_web.h"
#include "wire/mdr_hold_ask.h"
#include "wire/mdr_hold_out.h"

static const double G_PER_KG = 1000.0;

/* Limits where none are given; the handbook of the trade, docs/methods/hold-points.md. */
static const struct {
    double low, high; /* below -1e4: none */
} USUAL[] = {
#define NONE (-1e5)
    [MDR_CHECK_PH] = {6.0, 7.0},          [MDR_CHECK_CORE_PH] = {6.0, 7.0},
    [MDR_CHECK_PEROXIDE] = {NONE, 5.0},   [MDR_CHECK_ABSORBENCY] = {NONE, 5.0},
    [MDR_CHECK_WHITENESS] = {60.0, NONE}, [MDR_CHECK_HARDNESS] = {NONE, 5.0},
    [MDR_CHECK_WEIGHT_LOSS] = {3.0, 6.0}, [MDR_CHECK_LEVEL] = {NONE, 0.5},
    [MDR_CHECK_SHADE] = {NONE, 1.0},      [MDR_CHECK_REDUCTION] = {4.0, NONE},
    [MDR_CHECK_REDOX] = {NONE, -750.0},   [MDR_CHECK_SALT] = {NONE, NONE},
    [MDR_CHECK_WASH_OFF] = {4.0, NONE},   [MDR_CHECK_SAMPLE] = {1.0, NONE},
    [MDR_CHECK_MOISTURE] = {6.0, 9.0},
};

static mdr_code limits_of(const mdr_hold_ask *q, mdr_control_check *c, bool *usual, mdr_err *err)
{
    *c = (mdr_control_check){.kind = q->check,
                             .has_low = q->has_low,
                             .has_high = q->has_high,
                             .has_expected = q->has_expected,
                             .low = q->low,
                             .high = q->high,
                             .expected = q->expected,
                             .cooled = q->reading_is == MDR_READING_COLD,
                             .method = "",
                             .remedy = "",
                             .on_fail = MDR_FAIL_CORRECT};
    *usual = !q->has_low && !q->has_high;
    if (!*usual) {
        return MDR_OK;
    }
    c->low = USUAL[q->check].low;
    c->high = USUAL[q->check].high;
    c->has_low = c->low > NONE;
    c->has_high = c->high > NONE;
    if (c->has_low || c->has_high) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_PARSE, "low", "this check has no usual limits");
    mdr_err_remedy(err, "give low, high or both");
    return rc;
}
#undef NONE

static mdr_control_drying drying_of(const mdr_hold_ask *q)
{
    const double dry_kg = q->load_kg / (1.0 + MDR_WEB_REGAIN_KG_PER_KG);
    return (mdr_control_drying){.dry_kg = dry_kg,
                                .length_m = q->fabric_m,
                                .in_pct = q->moisture_in_pct,
                                .out_pct = q->has_expected ? q->expected : q->moisture_out_pct,
                                .speed_m_per_min = q->speed_m_per_min,
                                .speed_max_m_per_min = q->speed_max_m_per_min,
                                .oven_m = q->oven_m,
                                .air_c = q->air_c,
                                .air_kg_per_kg = MDR_STENTER_EXHAUST_POOR_KG_PER_KG,
                                .mj_per_kg = q->mj_per_kg,
                                .steams = true};
}

static mdr_control_state state_of(const mdr_hold_ask *q)
{
    mdr_control_state s = {.load_kg = q->load_kg,
                           .liquor_l = q->liquor_l,
                           .temp_c = q->temp_c,
                           .retained_l_per_kg = q->retained_l_per_kg,
                           .loose_mg_per_kg = q->loose_mg_per_kg,
                           .fix_temp_c = q->fix_temp_c,
                           .minutes_left = q->minutes_left,
                           .dye_class = q->dye_class,
                           .dyed = q->stage != MDR_HOLD_BEFORE,
                           .dyebath = q->stage == MDR_HOLD_DYEING || q->stage == MDR_HOLD_FIXING,
                           .fixing = q->stage == MDR_HOLD_FIXING};
    s.drying = drying_of(q);
    for (int i = 0; i < MDR_PART_COUNT; i++) {
        const int what = mdr_dissolved_of(mdr_bath_part_substance((mdr_bath_part)i));
        if (what >= 0) {
            s.dissolved_kg[what] = q->part_g_per_l[i] * q->liquor_l / G_PER_KG;
        }
    }
    return s;
}

/* A machine of middling speed, as big as the liquor asks for. Invented. */
static mdr_machine machine_of(const mdr_hold_ask *q)
{
    static const double ROOM = 1.25, FILL_MIN = 8.0, DRAIN_MIN = 6.0;
    return (mdr_machine){.machine_id = "",
                         .name = "",
                         .kind = MDR_MACHINE_OVERFLOW,
                         .liquor_max_l = q->has_liquor_max ? q->liquor_max_l : ROOM * q->liquor_l,
                         .temp_max_c = q->temp_max_c,
                         .drain_temp_max_c = 80.0,
                         .heat_max_c_per_min = 2.0,
                         .cool_max_c_per_min = 2.0,
                         .fill_l_per_min = q->liquor_l / FILL_MIN,
                         .drain_l_per_min = q->liquor_l / DRAIN_MIN,
                         .tank_water = MDR_TANK_BATH};
}

#define STUFF(id_, name_, group_, substance_, strength_, form_, density_, solubility_)       \
    {                                                                                        \
        .material_id = (id_), .name = (name_), .group = (group_), .substance = (substance_), \
        .strength_pct = (strength_), .form = (form_), .density_kg_per_l = (density_),        \
        .solubility_g_per_l = (solubility_)                                                  \
    }
/* As usually delivered; common practice. The first is the acid that was asked for, the last two are
 * at hand when their capacity was given. */
static const mdr_material PRODUCTS[] = {
    STUFF("acid", "acid", "acid", MDR_SUB_HAC, 80, MDR_FORM_LIQUID, 1.07, 0),
    STUFF("caustic-50", "caustic soda 50 %", "alkali", MDR_SUB_NAOH, 50, MDR_FORM_LIQUID, 1.525, 0),
    STUFF("soda", "soda ash", "alkali", MDR_SUB_NA2CO3, 99, MDR_FORM_POWDER, 0, 180),
    STUFF("bicarb", "hydrogen carbonate", "alkali", MDR_SUB_NAHCO3, 99, MDR_FORM_POWDER, 0, 70),
    STUFF("salt", "common salt", "salt", MDR_SUB_NACL, 99, MDR_FORM_CRYSTAL, 0, 300),
    STUFF("sulphate", "sodium sulphate", "salt", MDR_SUB_NA2SO4, 99, MDR_FORM_POWDER, 0, 300),
    STUFF("peroxide-50", "peroxide 50 %", "bleach", MDR_SUB_H2O2, 50, MDR_FORM_LIQUID, 1.196, 0),
    STUFF("dithionite", "dithionite 88 %", "reducing agent", MDR_SUB_DITHIONITE, 88,
          MDR_FORM_POWDER, 0, 200),
    STUFF("wetting", "wetting agent", "surfactant", MDR_SUB_OTHER, 100, MDR_FORM_LIQUID, 1.0, 0),
    STUFF("leveller", "leveller", "levelling", MDR_SUB_OTHER, 100, MDR_FORM_LIQUID, 1.0, 0),
    STUFF("soap", "soaping agent", "washing", MDR_SUB_OTHER, 100, MDR_FORM_LIQUID, 1.0, 0),
    STUFF("fixing", "fixing agent", "fixing", MDR_SUB_OTHER, 100, MDR_FORM_LIQUID, 1.0, 0),
    STUFF("catalase", "catalase", "enzyme", MDR_SUB_CATALASE, 100, MDR_FORM_LIQUID, 1.0, 0),
    STUFF("sequestrant", "sequestrant", "sequestrant", MDR_SUB_SEQUESTRANT, 100, MDR_FORM_LIQUID,
          1.0, 0),
};
enum { N_PRODUCTS = (int)(sizeof PRODUCTS / sizeof PRODUCTS[0]) };

typedef struct shelf {
    mdr_material stuff[N_PRODUCTS];
    const mdr_material *list[N_PRODUCTS];
} shelf;

static shelf *shelf_of(const mdr_hold_ask *q, mdr_arena *arena)
{
    shelf *s = MDR_NEW(arena, shelf);
    if (s == NULL) {
        return NULL;
    }
    for (int i = 0; i < N_PRODUCTS; i++) {
        s->stuff[i] = PRODUCTS[i];
        s->stuff[i].capacity_mg_per_g =
            PRODUCTS[i].substance == MDR_SUB_CATALASE      ? q->catalase_mg_per_g
            : PRODUCTS[i].substance == MDR_SUB_SEQUESTRANT ? q->sequestrant_mg_per_g
                                                           : 0.0;
        s->list[i] = &s->stuff[i];
    }
    s->stuff[0].substance = mdr_bath_part_substance(q->acid);
    s->stuff[0].name = mdr_bath_part_words(q->acid);
    s->stuff[0].strength_pct = q->acid_strength_pct;
    return s;
}

/* -- the answer -- */

static void put_remedy(mdr_desk *d, const mdr_remedy *r, int i, const char *unit)
{
    const char *key = mdr_arena_printf(d->arena, "remedy_%d", i + 1);
    const char *label = mdr_arena_printf(d->arena, "%d  %s", i + 1, mdr_remedy_words(r->kind));
    mdr_desk_group(d, key != NULL ? key : "remedy", label != NULL ? label : "");
    mdr_desk_text(d, "approve", "may be approved by", mdr_hold_role_id(r->approve),
                  mdr_hold_role_words(r->approve));
    mdr_desk_number(d, "minutes", "takes", "min", r->minutes);
    mdr_desk_number(d, "water_l", "water", "L", r->water_l);
    if (r->has_expected) {
        mdr_desk_number(d, "expected", "expected reading", unit, r->expected);
        mdr_desk_number(d, "expected_low", "at least", unit, r->expected_low);
        mdr_desk_number(d, "expected_high", "at most", unit, r->expected_high);
    } else {
        mdr_desk_none(d, "expected", "expected reading: no model says", unit);
    }
    if (r->dye_factor > 0.0) {
        mdr_desk_number(d, "dye_factor", "every dye times", "", r->dye_factor);
    }
    mdr_desk_group(d, NULL, NULL);
}

static const mdr_answer_column COLUMNS[] = {
    {"remedy", "remedy", ""},   {"step", "step", ""},      {"product", "product", ""},
    {"mass_kg", "weigh", "kg"}, {"minutes", "run", "min"}, {"temp_end_c", "to", "degC"},
    {"liquor_l", "liquor", "L"}};
enum { N_COLUMNS = (int)(sizeof COLUMNS / sizeof COLUMNS[0]) };

/* A row a step; a remedy's dose has one product, a shading addition a row for each. */
static int rows_of(const mdr_hold *h)
{
    int n = 0;
    for (int r = 0; r < h->n_remedies; r++) {
        for (int i = 0; i < h->remedies[r].n_steps; i++) {
            const int items = h->remedies[r].steps[i].n_items;
            n += items > 1 ? items : 1;
        }
    }
    return n;
}

static void put_row(mdr_answer_table *t, int row, int remedy, const mdr_control_step *s, int item)
{
    double *cells = &t->cells[(size_t)row * N_COLUMNS];
    mdr_answer_word *texts = &t->texts[(size_t)row * N_COLUMNS];
    const mdr_control_item *it = item < s->n_items ? &s->items[item] : NULL;
    cells[0] = remedy;
    texts[1] = (mdr_answer_word){mdr_step_kind_id(s->kind), mdr_step_kind_words(s->kind)};
    texts[2] =
        it != NULL ? (mdr_answer_word){it->material_id, it->name} : (mdr_answer_word){"", "-"};
    cells[3] = it != NULL ? (double)it->mass_mg / 1e6 : 0.0;
    cells[4] = s->minutes;
    cells[5] = s->temp_end_c;
    cells[6] = s->liquor_l;
}

static mdr_code put_steps(mdr_desk *d, const mdr_hold *h, mdr_err *err)
{
    const int n = rows_of(h);
    int row = 0;
    if (n == 0) {
        return MDR_OK;
    }
    MDR_TRY(mdr_desk_table_of_words(d, "steps", "Steps", COLUMNS, N_COLUMNS, n, err));
    for (int r = 0; r < h->n_remedies; r++) {
        for (int i = 0; i < h->remedies[r].n_steps; i++) {
            const mdr_control_step *s = &h->remedies[r].steps[i];
            for (int item = 0; item == 0 || item < s->n_items; item++) {
                put_row(&d->a->table, row++, r + 1, s, item);
            }
        }
    }
    return MDR_OK;
}

static bool told(const mdr_answer *a, const char *label)
{
    for (int i = 0; i < a->n_whys; i++) {
        if (strcmp(a->whys[i]->label, label) == 0) {
            return true;
        }
    }
    return false;
}

/* Each rule once, with the numbers of the remedy that comes first. */
static mdr_code put_whys(mdr_desk *d, const mdr_hold *h, mdr_err *err)
{
    for (int r = 0; r < h->n_remedies; r++) {
        for (int i = 0; i < h->remedies[r].n_why && d->a->n_whys < MDR_ANSWER_WHYS; i++) {
            const mdr_hold_why *w = &h->remedies[r].why[i];
            mdr_answer_why *why = MDR_NEW(d->arena, mdr_answer_why);
            const char *words = mdr_arena_printf(d->arena, "%s: %s", w->words, w->working);
            if (why == NULL || words == NULL) {
                return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the answer");
            }
            *why = (mdr_answer_why){w->title, words, w->source, w->anchor};
            if (!told(d->a, w->title)) {
                mdr_desk_because(d, why);
            }
        }
    }
    return MDR_OK;
}

static void note(mdr_desk *d, const char *text)
{
    if (d->a->n_notes < MDR_ANSWER_NOTES) {
        mdr_desk_note(d, text);
    }
}

static void put_notes(mdr_desk *d, const mdr_hold *h, bool usual)
{
    for (int i = 0; i < h->n_remedies; i++) {
        const char *text = mdr_arena_printf(d->arena, "%d: %s", i + 1, h->remedies[i].words);
        note(d, text != NULL ? text : h->remedies[i].words);
    }
    for (int i = 0; i < h->n_missing; i++) {
        note(d, h->missing[i]);
    }
    for (int r = 0; r < h->n_remedies; r++) {
        for (int i = 0; i < h->remedies[r].n_cautions; i++) {
            note(d, h->remedies[r].cautions[i]);
        }
    }
    if (usual) {
        note(d, "Limits: the usual ones, as none were given.");
    }
}

typedef struct whole {
    const mdr_hold *hold;
    mdr_check_kind kind;
} whole;

static void write_hold(struct mdr_json *json, const void *more)
{
    const whole *w = more;
    mdr_json_object(json, "hold");
    mdr_hold_write(json, w->hold, w->kind);
    mdr_json_end_object(json);
}

static mdr_code put_answer(mdr_desk *d, const mdr_hold_ask *q, const mdr_control_check *c,
                           const mdr_hold *h, mdr_err *err)
{
    const char *unit = mdr_check_unit(c->kind);
    mdr_desk_text(d, "check", "check", mdr_check_id(c->kind), mdr_check_words(c->kind));
    mdr_desk_number(d, "reading", "reading", unit, q->reading);
    if (c->has_low) {
        mdr_desk_number(d, "low", "at least", unit, c->low);
    }
    if (c->has_high) {
        mdr_desk_number(d, "high", "at most", unit, c->high);
    }
    mdr_desk_text(d, "verdict", "verdict", mdr_hold_verdict_id(h->verdict), h->words);
    for (int i = 0; i < h->n_remedies; i++) {
        put_remedy(d, &h->remedies[i], i, unit);
    }
    MDR_TRY(put_steps(d, h, err));
    return put_whys(d, h, err);
}

static const mdr_answer_why LIMITS_WHY = {"Verdict", "low <= reading <= high, as far as given",
                                          "definition", "hold-points.md#verdict"};

mdr_code mdr_app_hold(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                      const mdr_answer **out, mdr_err *err)
{
    mdr_hold_ask q;
    mdr_control_check check;
    bool usual = false;
    mdr_desk d;
    const mdr_hold *hold = NULL;
    MDR_TRY(mdr_wire_hold_ask_read(question.bytes, question.len, arena, found, &q, err));
    MDR_TRY(limits_of(&q, &check, &usual, err));
    MDR_TRY(mdr_desk_open(&d, arena, "hold", "What to do at a hold point", err));
    shelf *s = shelf_of(&q, arena);
    whole *w = MDR_NEW(arena, whole);
    if (s == NULL || w == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the answer");
    }
    const mdr_control_state state = state_of(&q);
    const mdr_machine machine = machine_of(&q);
    const mdr_site site = {.cold_water_c = 15.0, /* common practice */
                           .hot_water_c = 60.0,
                           .cooling_water_c = 18.0,
                           .steam_barg = 4.0,
                           .hardness_dh = q.water_dh,
                           .alkalinity_mmol_per_l = q.alkalinity_mmol_per_l};
    const mdr_hold_in in = {.check = &check,
                            .state = &state,
                            .machine = &machine,
                            .site = &site,
                            .materials = s->list,
                            .n_materials = N_PRODUCTS,
                            .reading = q.reading,
                            .ph = q.ph,
                            .n_failed = q.failed,
                            .bath = 1,
                            .remedy_number = 1};
    MDR_TRY(mdr_hold_judge(&in, arena, &hold, err));
    MDR_TRY(put_answer(&d, &q, &check, hold, err));
    if (d.a->n_whys == 0) {
        mdr_desk_because(&d, &LIMITS_WHY);
    }
    put_notes(&d, hold, usual);
    *w = (whole){hold, check.kind};
    d.a->put_more = write_hold;
    d.a->more = w;
    *out = d.a;
    return MDR_OK;
}

mdr_code mdr_app_hold_json(mdr_blob question, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                           mdr_err *err)
{
    const mdr_answer *a = NULL;
    MDR_TRY(mdr_app_hold(question, arena, found, &a, err));
    return mdr_answer_json(a, arena, out, err);
}
