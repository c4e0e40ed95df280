#include "wire/mdr_hold_ask.h"

#include <assert.h>
#include <string.h>

#include "wire/mdr_limit.h"

static_assert(sizeof(mdr_check_kind) == sizeof(int), "an enum is stored as an int");
static_assert(sizeof(mdr_hold_stage) == sizeof(int), "an enum is stored as an int");

#define N_OF(a)              ((int)(sizeof(a) / sizeof((a)[0])))
#define ID_OF(name, id, ...) id,
#define WORDS(name, LIST)                                  \
    static const char *const name##_IDS[] = {LIST(ID_OF)}; \
    static const mdr_words name = {name##_IDS, N_OF(name##_IDS)}

WORDS(CHECK_WORDS, MDR_CHECKS);
WORDS(PART_WORDS, MDR_BATH_PARTS);
WORDS(STAGE_WORDS, MDR_HOLD_STAGES);
WORDS(CLASS_WORDS, MDR_DYE_CLASSES);
static const char *const READING_IDS[] = {"cold", "bath"};
static const mdr_words READING_WORDS = {READING_IDS, N_OF(READING_IDS)};
static const char *const HOLD_IDS[] = {"hold"};
static const mdr_words HOLD_WORDS = {HOLD_IDS, N_OF(HOLD_IDS)};

#define ALWAYS MDR_FIELD_ALWAYS
#define AT(m)  offsetof(mdr_hold_ask, m)
#define NUM(key_, must_, ...)                                                   \
    {                                                                           \
        .key = #key_, .kind = MDR_FIELD_NUMBER, .may = ALWAYS, .must = (must_), \
        .offset = AT(key_), __VA_ARGS__                                         \
    }
#define WORD(key_, must_, words_)                                                                 \
    {                                                                                             \
        .key = #key_, .kind = MDR_FIELD_WORD, .may = ALWAYS, .must = (must_), .offset = AT(key_), \
        .words = &(words_)                                                                        \
    }
#define HAS(m) .has = AT(m)
#define NOT    .has = 0
#define PART(name, id, substance, words) \
    {.key = id "_g_per_l",               \
     .kind = MDR_FIELD_NUMBER,           \
     .may = ALWAYS,                      \
     .offset = AT(part_g_per_l) + (name) * sizeof(double)},

static const mdr_field FIELDS[] = {
    {.key = "do",
     .kind = MDR_FIELD_WORD,
     .may = ALWAYS,
     .must = ALWAYS,
     .offset = AT(question),
     .words = &HOLD_WORDS},
    WORD(check, ALWAYS, CHECK_WORDS),
    NUM(reading, ALWAYS, NOT),
    NUM(low, 0, HAS(has_low)),
    NUM(high, 0, HAS(has_high)),
    NUM(expected, 0, HAS(has_expected)),
    NUM(liquor_l, 0, HAS(has_liquor)), /* all but moisture: check_together */
    NUM(load_kg, 0, HAS(has_load)),
    NUM(temp_c, 0, NOT),
    NUM(retained_l_per_kg, 0, NOT),
    MDR_BATH_PARTS(PART) NUM(ph, 0, NOT),
    NUM(loose_mg_per_kg, 0, NOT),
    NUM(minutes_left, 0, NOT),
    NUM(fix_temp_c, 0, NOT),
    NUM(liquor_max_l, 0, HAS(has_liquor_max)),
    NUM(temp_max_c, 0, NOT),
    NUM(alkalinity_mmol_per_l, 0, NOT),
    NUM(water_dh, 0, NOT),
    NUM(acid_strength_pct, 0, NOT),
    NUM(catalase_mg_per_g, 0, HAS(has_catalase)),
    NUM(sequestrant_mg_per_g, 0, HAS(has_sequestrant)),
    NUM(fabric_m, 0, HAS(has_fabric)),
    NUM(moisture_in_pct, 0, NOT),
    NUM(moisture_out_pct, 0, NOT),
    NUM(speed_m_per_min, 0, NOT),
    NUM(speed_max_m_per_min, 0, NOT),
    NUM(oven_m, 0, NOT),
    NUM(air_c, 0, NOT),
    NUM(mj_per_kg, 0, NOT),
    {.key = "failed", .kind = MDR_FIELD_INT, .may = ALWAYS, .offset = AT(failed)},
    WORD(acid, 0, PART_WORDS),
    WORD(reading_is, 0, READING_WORDS),
    WORD(stage, 0, STAGE_WORDS),
    WORD(dye_class, 0, CLASS_WORDS),
};
static const mdr_shape SHAPE = {.what = "the question",
                                .fields = FIELDS,
                                .n_fields = N_OF(FIELDS),
                                .by = "do",
                                .null_is_absent = true};

/* Invented: wide enough for every bath, narrow enough for a slipped decimal point. What the reading can
 * be is the check's. */
#define LIMIT(key_, least_, most_, unit_, over_)             \
    {                                                        \
#key_, AT(key_), (least_), (most_), (unit_), (over_) \
    }
#define PART_LIMIT(name, id, substance, words) \
    {id "_g_per_l", AT(part_g_per_l) + (name) * sizeof(double), 0, 500, "g/L of bath", false},
static const mdr_limit LIMITS[] = {
    MDR_BATH_PARTS(PART_LIMIT) LIMIT(liquor_l, 1, 100000, "L", false),
    LIMIT(load_kg, 0.1, 5000, "kg", false),
    LIMIT(temp_c, 0, 140, "degC", false),
    LIMIT(retained_l_per_kg, 0, 10, "L/kg", true),
    LIMIT(ph, 0, 14, "", false),
    LIMIT(loose_mg_per_kg, 0, 100000, "mg/kg", false),
    LIMIT(minutes_left, 0, 1440, "min", false),
    LIMIT(fix_temp_c, 0, 140, "degC", false),
    LIMIT(liquor_max_l, 1, 100000, "L", false),
    LIMIT(temp_max_c, 40, 150, "degC", false),
    LIMIT(alkalinity_mmol_per_l, 0, 50, "mmol/L", false),
    LIMIT(water_dh, 0, 100, "dH", false),
    LIMIT(acid_strength_pct, 1, 100, "% w/w", false),
    LIMIT(catalase_mg_per_g, 0.01, 1e6, "mg/g", false),
    LIMIT(sequestrant_mg_per_g, 0.01, 1e6, "mg/g", false),
    LIMIT(fabric_m, 0, 100000, "m", false),
    LIMIT(moisture_in_pct, 0, 300, "% of bone dry", false),
    LIMIT(moisture_out_pct, 0, 300, "% of bone dry", false),
    LIMIT(speed_m_per_min, 0, 500, "m/min", false),
    LIMIT(speed_max_m_per_min, 0, 500, "m/min", false),
    LIMIT(oven_m, 0, 100, "m", false),
    LIMIT(air_c, 40, 200, "degC", false),
    LIMIT(mj_per_kg, 0, 100, "MJ/kg", false),
};

/* The check says what its reading and its limits can be. */
static void check_readings(mdr_reader *r, const json_t *doc, const mdr_hold_ask *q)
{
    const double least = mdr_check_least(q->check), most = mdr_check_most(q->check);
    const char *unit = mdr_check_unit(q->check);
    const mdr_limit limits[] = {
        LIMIT(reading, least, most, unit, false), LIMIT(low, least, most, unit, false),
        LIMIT(high, least, most, unit, false), LIMIT(expected, least, most, unit, false)};
    mdr_limits_check(r, doc, q, limits, N_OF(limits));
    if (q->has_low && q->has_high && q->low > q->high) {
        mdr_limit_fault(r, "high", q->high, "not below low");
    }
}

static void check_together(mdr_reader *r, const mdr_hold_ask *q)
{
    if (q->acid != MDR_PART_ACETIC && q->acid != MDR_PART_FORMIC && q->acid != MDR_PART_CITRIC &&
        q->acid != MDR_PART_H2SO4) {
        mdr_reader_say(r, "acid", "this is no acid", "take acetic, formic, citric or h2so4");
    }
    if (q->failed < 0 || q->failed > 20) {
        mdr_limit_fault(r, "failed", q->failed, "0 to 20");
    }
    if (!q->has_liquor && q->check != MDR_CHECK_MOISTURE) {
        mdr_reader_say(r, "liquor_l", "it is missing", "give the liquor in the vessel");
    }
    if (q->has_liquor_max && q->liquor_max_l < q->liquor_l) {
        mdr_limit_fault(r, "liquor_max_l", q->liquor_max_l, "not below liquor_l");
    }
    if (q->temp_max_c < q->temp_c) {
        mdr_limit_fault(r, "temp_c", q->temp_c, "not above temp_max_c");
    }
    if (q->has_load && q->retained_l_per_kg * q->load_kg >= q->liquor_l) {
        mdr_limit_fault(r, "load_kg", q->load_kg, "so much that the rope keeps less than liquor_l");
    }
}

mdr_code mdr_wire_hold_ask_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                                mdr_hold_ask *out, mdr_err *err)
{
    enum { DOCUMENT_MOST = 16384 };
    static const mdr_hold_ask DEFAULTS = {.temp_c = 50.0,
                                          .retained_l_per_kg = 2.5, /* wet-carry-over, the middle */
                                          .temp_max_c = 98.0,
                                          .liquor_l = 8000.0,      /* of moisture: not looked at */
                                          .moisture_in_pct = 75.0, /* a good squeeze */
                                          .moisture_out_pct = 7.0,
                                          .speed_m_per_min = 25.0,
                                          .speed_max_m_per_min = 60.0,
                                          .air_c = 150.0,
                                          .mj_per_kg = 5.0, /* typical, between 3.5 and 7 */
                                          .acid = MDR_PART_ACETIC,
                                          .acid_strength_pct = 80.0,
                                          .reading_is = MDR_READING_BATH,
                                          .dye_class = MDR_CLASS_REACTIVE};
    static const double USUAL_L_PER_KG = 8.0, USUAL_M_PER_KG = 3.0; /* 180 g/m2, 1.85 m: invented */
    mdr_reader r = {.arena = arena, .found = found};
    mdr_hold_ask q = DEFAULTS;
    json_t *doc = mdr_reader_parse(&r, text, len, DOCUMENT_MOST);
    if (doc != NULL) {
        mdr_reader_fill(&r, doc, &SHAPE, &q);
        if (r.count == 0) {
            mdr_limits_check(&r, doc, &q, LIMITS, N_OF(LIMITS));
            check_readings(&r, doc, &q);
            check_together(&r, &q);
        }
        json_decref(doc);
    }
    MDR_TRY(mdr_reader_done(&r, err));
    q.load_kg = q.has_load ? q.load_kg : q.liquor_l / USUAL_L_PER_KG;
    q.fabric_m = q.has_fabric ? q.fabric_m : q.load_kg * USUAL_M_PER_KG;
    *out = q;
    return MDR_OK;
}
