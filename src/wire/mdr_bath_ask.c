#include "wire/mdr_bath_ask.h"

#include <assert.h>
#include <string.h>

#include "core/bath/mdr_reduction.h"
#include "core/bath/mdr_sequester.h"
#include "core/plan/mdr_records.h"
#include "wire/mdr_bath_ask_in.h"
#include "wire/mdr_limit.h"

/* Words are stored through int. */
static_assert(sizeof(mdr_bath_question) == sizeof(int), "an enum is stored as an int");
static_assert(sizeof(mdr_bath_part) == sizeof(int), "an enum is stored as an int");

#define N_OF(a)              ((int)(sizeof(a) / sizeof((a)[0])))
#define ID_OF(name, id, ...) id,
#define WORDS(name, LIST)                                  \
    static const char *const name##_IDS[] = {LIST(ID_OF)}; \
    static const mdr_words name = {name##_IDS, N_OF(name##_IDS)}

WORDS(QUESTION_WORDS, MDR_BATH_QUESTIONS);
WORDS(PART_WORDS, MDR_BATH_PARTS);
WORDS(CURVE_WORDS, MDR_BATH_CURVES);
WORDS(KIND_WORDS, MDR_BATH_TITRATIONS);
WORDS(SALT_WORDS, MDR_BATH_SALTS);
WORDS(MACHINE_WORDS, MDR_MACHINE_KINDS);
static const char *const READING_IDS[] = {"cold", "bath"};
static const mdr_words READING_WORDS = {READING_IDS, N_OF(READING_IDS)};

#define TEXT_OF(name, id, words) words,
static const char *const QUESTION_TEXTS[] = {MDR_BATH_QUESTIONS(TEXT_OF)};
static const char *const SALT_TEXTS[] = {MDR_BATH_SALTS(TEXT_OF)};
static const char *const CURVE_TEXTS[] = {MDR_BATH_CURVES(TEXT_OF)};
static const char *const TITRATION_TEXTS[] = {MDR_BATH_TITRATIONS(TEXT_OF)};
#define PART_TEXT(name, id, substance, words) words,
static const char *const PART_TEXTS[] = {MDR_BATH_PARTS(PART_TEXT)};
#define PART_SUBSTANCE(name, id, substance, words) substance,
static const int PART_SUBSTANCES[] = {MDR_BATH_PARTS(PART_SUBSTANCE)};

#define BIT(k)   ((uint32_t)1 << (k))
#define PH       BIT(MDR_BATH_PH)
#define DOSE     BIT(MDR_BATH_DOSE)
#define PROBE    BIT(MDR_BATH_PROBE)
#define SAME_PH  BIT(MDR_BATH_SAME_PH)
#define NEUTRAL  BIT(MDR_BATH_NEUTRALISE)
#define HARDNESS BIT(MDR_BATH_HARDNESS)
#define SALT     BIT(MDR_BATH_SALT)
#define VAT      BIT(MDR_BATH_VAT)
#define RINSE    BIT(MDR_BATH_RINSE)
#define MIX      (PH | DOSE | PROBE | SAME_PH | NEUTRAL)
#define COLD     (PH | PROBE)
#define PEROXIDE BIT(MDR_TITRATE_PEROXIDE)
#define ALKALI   BIT(MDR_TITRATE_ALKALI)
#define TWO      BIT(MDR_TITRATE_TWO_ALKALIS)
#define ALWAYS   MDR_FIELD_ALWAYS
#define AT(m)    offsetof(mdr_bath_ask, m)

#define NUM(key_, may_, must_, ...)                                             \
    {                                                                           \
        .key = #key_, .kind = MDR_FIELD_NUMBER, .may = (may_), .must = (must_), \
        .offset = AT(key_), __VA_ARGS__                                         \
    }
#define WORD(key_, may_, must_, words_, ...)                                                      \
    {                                                                                             \
        .key = #key_, .kind = MDR_FIELD_WORD, .may = (may_), .must = (must_), .offset = AT(key_), \
        .words = &(words_), __VA_ARGS__                                                           \
    }
#define HAS(m) .has = AT(m)
#define NOT    .has = 0
/* A vat is told its caustic and dithionite; mixed alkali has two sodas of its own. */
#define IN_VAT(name)  ((name) == MDR_PART_NAOH || (name) == MDR_PART_DITHIONITE ? VAT : 0u)
#define IN_SAME(name) ((name) == MDR_PART_NA2CO3 ? SAME_PH : 0u)
#define PART(name, id, substance, words)           \
    {.key = id "_g_per_l",                         \
     .kind = MDR_FIELD_NUMBER,                     \
     .may = (MIX & ~IN_SAME(name)) | IN_VAT(name), \
     .must = IN_VAT(name),                         \
     .offset = AT(part_g_per_l) + (name) * sizeof(double)},

static const mdr_field FIELDS[] = {
    {.key = "do",
     .kind = MDR_FIELD_WORD,
     .may = ALWAYS,
     .must = ALWAYS,
     .offset = AT(question),
     .words = &QUESTION_WORDS},
    NUM(temp_c, MIX | VAT, MIX | VAT, NOT),
    NUM(cold_c, COLD, 0, NOT),
    MDR_BATH_PARTS(PART) WORD(dose, DOSE, DOSE, PART_WORDS, NOT),
    NUM(amount_g_per_l, DOSE | SALT, DOSE | SALT, NOT),
    {.key = "points", .kind = MDR_FIELD_INT, .may = DOSE, .offset = AT(points)},
    WORD(curve, DOSE, 0, CURVE_WORDS, NOT),
    NUM(exponent, DOSE, 0, HAS(has_exponent)),
    NUM(minutes, DOSE | VAT, VAT, HAS(has_minutes)),
    NUM(ph, PROBE, PROBE, NOT),
    WORD(reading_is, PROBE, 0, READING_WORDS, NOT),
    WORD(unknown, PROBE, PROBE, PART_WORDS, NOT),
    NUM(soda_only_g_per_l, SAME_PH, SAME_PH, NOT),
    NUM(soda_mixed_g_per_l, SAME_PH, SAME_PH, NOT),
    NUM(liquor_l, NEUTRAL | VAT, NEUTRAL | VAT, HAS(has_liquor)),
    NUM(strength_pct, NEUTRAL, 0, HAS(has_strength)),
    NUM(target_ph, NEUTRAL, 0, NOT),
    WORD(acid, NEUTRAL, NEUTRAL, PART_WORDS, HAS(has_acid)),
    NUM(capacity_mg_per_g, HARDNESS, 0, HAS(has_capacity)),
    NUM(water_dh, HARDNESS, 0, NOT),
    NUM(calcium_mg_per_kg, HARDNESS, HARDNESS, NOT),
    NUM(magnesium_mg_per_kg, HARDNESS, HARDNESS, NOT),
    NUM(released_part, HARDNESS, 0, NOT),
    NUM(product_g_per_l, HARDNESS, 0, NOT),
    NUM(allowed_dh, HARDNESS, 0, NOT),
    NUM(ratio_l_per_kg, HARDNESS | SALT | RINSE, HARDNESS | RINSE, HAS(has_ratio)),
    WORD(from, SALT, SALT, SALT_WORDS, NOT),
    WORD(to, SALT, SALT, SALT_WORDS, NOT),
    NUM(dye_g_per_l, VAT, VAT, NOT),
    NUM(load_kg, VAT | RINSE, VAT | RINSE, NOT),
    NUM(water_c, VAT, 0, NOT),
    NUM(air_g_o2_per_kg_h, VAT, 0, HAS(has_air)),
    NUM(reserve_g_per_l, VAT, 0, NOT),
    NUM(dithionite_per_dye_g_per_g, VAT, 0, NOT),
    WORD(machine_kind, VAT, VAT, MACHINE_WORDS, NOT),
    NUM(retained_l_per_kg, RINSE, RINSE, NOT),
    NUM(start_g_per_l, RINSE, RINSE, NOT),
    NUM(target_g_per_l, RINSE, RINSE, NOT),
    NUM(flow_l_per_min, RINSE, RINSE, NOT),
    NUM(fill_l_per_min, RINSE, RINSE, NOT),
    NUM(drain_l_per_min, RINSE, RINSE, NOT),
    NUM(run_min, RINSE, RINSE, NOT),
};
static const mdr_shape SHAPE = {.what = "the question",
                                .fields = FIELDS,
                                .n_fields = N_OF(FIELDS),
                                .by = "do",
                                .null_is_absent = true};

/* Here the kind of titration decides what has to be read off. */
static const mdr_field TITRATE_FIELDS[] = {
    {.key = "do",
     .kind = MDR_FIELD_WORD,
     .may = ALWAYS,
     .must = ALWAYS,
     .offset = AT(question),
     .words = &QUESTION_WORDS},
    WORD(kind, ALWAYS, ALWAYS, KIND_WORDS, NOT),
    NUM(sample_ml, ALWAYS, ALWAYS, NOT),
    NUM(titrant_ml, ALWAYS & ~TWO, ALWAYS & ~TWO, NOT),
    NUM(phenolphthalein_ml, TWO, TWO, NOT),
    NUM(methyl_orange_ml, TWO, TWO, NOT),
    NUM(titrant_eq_per_l, ALWAYS, ALWAYS, NOT),
    WORD(substance, ALKALI, 0, PART_WORDS, NOT),
    NUM(liquor_l, PEROXIDE | ALKALI | TWO, 0, HAS(has_liquor)),
    NUM(capacity_mg_per_g, PEROXIDE, 0, HAS(has_capacity)),
    WORD(acid, ALKALI | TWO, 0, PART_WORDS, HAS(has_acid)),
    NUM(strength_pct, ALKALI | TWO, 0, HAS(has_strength)),
};
static const mdr_shape TITRATE_SHAPE = {.what = "the titration",
                                        .fields = TITRATE_FIELDS,
                                        .n_fields = N_OF(TITRATE_FIELDS),
                                        .by = "kind",
                                        .null_is_absent = true};

/* -- ranges -- */

/* What the numbers can be. Temperatures: validity of the models. The rest is invented: wide enough
 * for every bath, narrow enough for a slipped decimal point. */
#define LIMIT(key_, least_, most_, unit_, over_)             \
    {                                                        \
#key_, AT(key_), (least_), (most_), (unit_), (over_) \
    }
#define PART_LIMIT(name, id, substance, words) \
    {id "_g_per_l", AT(part_g_per_l) + (name) * sizeof(double), 0, 500, "g/L of bath", false},

static const mdr_limit LIMITS[] = {
    LIMIT(temp_c, 0, 100, "degC", false),
    LIMIT(cold_c, 0, 100, "degC", false),
    MDR_BATH_PARTS(PART_LIMIT) LIMIT(amount_g_per_l, 0, 500, "g/L of bath", true),
    LIMIT(exponent, 0.1, 10, "", false),
    LIMIT(minutes, 0, 1440, "min", true),
    LIMIT(ph, 0, 14, "", false),
    LIMIT(soda_only_g_per_l, 0, 500, "g/L of bath", true),
    LIMIT(soda_mixed_g_per_l, 0, 500, "g/L of bath", false),
    LIMIT(liquor_l, 0.01, 100000, "L", false),
    LIMIT(strength_pct, 0.1, 100, "% w/w", false),
    LIMIT(target_ph, 2, 12, "", false),
    LIMIT(capacity_mg_per_g, 0.01, 1e6, "mg/g", false),
    LIMIT(sample_ml, 0.001, 10000, "mL", false),
    LIMIT(water_dh, 0, 100, "dH", false),
    LIMIT(calcium_mg_per_kg, 0, 20000, "mg/kg", false),
    LIMIT(magnesium_mg_per_kg, 0, 20000, "mg/kg", false),
    LIMIT(released_part, 0, 1, "", false),
    LIMIT(product_g_per_l, 0, 100, "g/L of bath", false),
    LIMIT(allowed_dh, 0, 100, "dH", false),
    LIMIT(ratio_l_per_kg, 1, 100, "L/kg", false),
    LIMIT(dye_g_per_l, 0, 100, "g/L of bath", false),
    LIMIT(load_kg, 0.1, 5000, "kg", false),
    LIMIT(water_c, 0, 100, "degC", false),
    LIMIT(air_g_o2_per_kg_h, 0, 100, "g/(kg h)", false),
    LIMIT(reserve_g_per_l, 0, 50, "g/L of bath", false),
    LIMIT(dithionite_per_dye_g_per_g, 0, 2, "g/g", false),
    LIMIT(retained_l_per_kg, 0, 100, "L/kg", true),
    LIMIT(start_g_per_l, 0, 500, "g/L", true),
    LIMIT(target_g_per_l, 0.0001, 500, "g/L", false),
    LIMIT(flow_l_per_min, 0.1, 20000, "L/min", false),
    LIMIT(fill_l_per_min, 0.1, 20000, "L/min", false),
    LIMIT(drain_l_per_min, 0.1, 20000, "L/min", false),
    LIMIT(run_min, 0, 600, "min", true),
};
/* A vat is not set cold: its decay is known from there on. */
static const mdr_limit VAT_TEMP = LIMIT(temp_c, 20, 100, "degC", false);
enum { POINTS_LEAST = 2, POINTS_MOST = 101 };

static void ranges(mdr_reader *r, const json_t *doc, const mdr_bath_ask *q)
{
    for (int i = 0; i < N_OF(LIMITS); i++) {
        const bool vat = q->question == MDR_BATH_VAT && LIMITS[i].offset == VAT_TEMP.offset;
        mdr_limits_check(r, doc, q, vat ? &VAT_TEMP : &LIMITS[i], 1);
    }
    if (q->points < POINTS_LEAST || q->points > POINTS_MOST) {
        mdr_limit_fault(r, "points", q->points, "2 to 101");
    }
}

static mdr_bath_ask nothing_given(void)
{
    return (mdr_bath_ask){
        .cold_c = 25.0, /* a laboratory's room */
        .points = 21,
        .curve = MDR_BATH_LINEAR,
        .reading_is = MDR_READING_COLD,
        .strength_pct = 100.0,
        .target_ph = 6.3, /* common practice: between 6 and 7 before the dye */
        .substance = MDR_PART_NAOH,
        .released_part = MDR_SEQUESTER_RELEASED_HOT_ALKALI,
        .water_c = 20.0,
        .reserve_g_per_l = MDR_REDUCTION_RESERVE_G_PER_L,
        .dithionite_per_dye_g_per_g = mdr_reduction_usual_per_dye_g_per_g(),
    };
}

mdr_code mdr_wire_bath_ask_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                                mdr_bath_ask *out, mdr_err *err)
{
    enum { DOCUMENT_MAX = 1 << 16 };
    mdr_reader r = {.arena = arena, .found = found};
    mdr_bath_ask q = nothing_given();
    json_t *doc = mdr_reader_parse(&r, text, len, DOCUMENT_MAX);
    if (doc != NULL) {
        const char *word = json_string_value(json_object_get(doc, "do"));
        const bool titrate =
            word != NULL && strcmp(word, mdr_bath_question_id(MDR_BATH_TITRATE)) == 0;
        mdr_reader_fill(&r, doc, titrate ? &TITRATE_SHAPE : &SHAPE, &q);
        ranges(&r, doc, &q);
        mdr_bath_ask_together(&r, doc, &q);
        json_decref(doc);
    }
    MDR_TRY(mdr_reader_done(&r, err));
    *out = q;
    return MDR_OK;
}

/* -- ids and words -- */

static const char *text_at(const char *const *texts, int n, int i)
{
    return i >= 0 && i < n ? texts[i] : NULL;
}

const char *mdr_bath_question_id(mdr_bath_question q)
{
    return text_at(QUESTION_WORDS_IDS, N_OF(QUESTION_WORDS_IDS), (int)q);
}

const char *mdr_bath_question_words(mdr_bath_question q)
{
    return text_at(QUESTION_TEXTS, N_OF(QUESTION_TEXTS), (int)q);
}

const char *mdr_bath_part_id(mdr_bath_part p)
{
    return text_at(PART_WORDS_IDS, N_OF(PART_WORDS_IDS), (int)p);
}

const char *mdr_bath_part_words(mdr_bath_part p)
{
    return text_at(PART_TEXTS, N_OF(PART_TEXTS), (int)p);
}

int mdr_bath_part_substance(mdr_bath_part p)
{
    return (int)p >= 0 && (int)p < N_OF(PART_SUBSTANCES) ? PART_SUBSTANCES[p] : MDR_SUB_OTHER;
}

const char *mdr_bath_salt_id(mdr_bath_salt s)
{
    return text_at(SALT_WORDS_IDS, N_OF(SALT_WORDS_IDS), (int)s);
}

const char *mdr_bath_salt_words(mdr_bath_salt s)
{
    return text_at(SALT_TEXTS, N_OF(SALT_TEXTS), (int)s);
}

const char *mdr_bath_curve_id(mdr_bath_curve c)
{
    return text_at(CURVE_WORDS_IDS, N_OF(CURVE_WORDS_IDS), (int)c);
}

const char *mdr_bath_curve_words(mdr_bath_curve c)
{
    return text_at(CURVE_TEXTS, N_OF(CURVE_TEXTS), (int)c);
}

const char *mdr_bath_titration_id(mdr_bath_titration t)
{
    return text_at(KIND_WORDS_IDS, N_OF(KIND_WORDS_IDS), (int)t);
}

const char *mdr_bath_titration_words(mdr_bath_titration t)
{
    return text_at(TITRATION_TEXTS, N_OF(TITRATION_TEXTS), (int)t);
}
