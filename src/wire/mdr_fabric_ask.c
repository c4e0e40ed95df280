#include "wire/mdr_fabric_ask.h"

#include <assert.h>
#include <string.h>

#include "core/knit/mdr_knit_fit.h"
#include "core/knit/mdr_spec.h"
#include "core/plan/mdr_records.h"
#include "wire/mdr_limit.h"

static_assert(sizeof(mdr_fabric_question) == sizeof(int), "an enum is stored as an int");

#define N_OF(a)                  ((int)(sizeof(a) / sizeof((a)[0])))
#define ID_OF(name, id, words)   id,
#define TEXT_OF(name, id, words) words,

static const char *const QUESTION_IDS[] = {MDR_FABRIC_QUESTIONS(ID_OF)};
static const char *const QUESTION_TEXTS[] = {MDR_FABRIC_QUESTIONS(TEXT_OF)};
static const char *const CONSTRUCTION_IDS[] = {MDR_CONSTRUCTIONS(ID_OF)};
static const mdr_words QUESTION_WORDS = {QUESTION_IDS, N_OF(QUESTION_IDS)};
static const mdr_words CONSTRUCTION_WORDS = {CONSTRUCTION_IDS, N_OF(CONSTRUCTION_IDS)};

#define AT(m)     offsetof(mdr_fabric_ask, m)
#define KNITTED   ((uint32_t)1 << MDR_FABRIC_KNITTED)
#define WASHED    ((uint32_t)1 << MDR_FABRIC_WASHED)
#define CONSTANTS ((uint32_t)1 << MDR_FABRIC_CONSTANTS)
#define ASKED     (KNITTED | WASHED)
#define ALWAYS    MDR_FIELD_ALWAYS

#define FIELD(key_, kind_, may_, must_, ...)                                               \
    {                                                                                      \
        .key = #key_, .kind = (kind_), .may = (may_), .must = (must_), .offset = AT(key_), \
        __VA_ARGS__                                                                        \
    }
#define NUM(key, may, must) FIELD(key, MDR_FIELD_NUMBER, may, must, .has = 0)
#define LIST(key_, may_, must_)                                                        \
    {                                                                                  \
        .key = #key_, .kind = MDR_FIELD_NUMBERS, .may = (may_), .must = (must_),       \
        .offset = AT(key_) + offsetof(mdr_fabric_list, values),                        \
        .count = AT(key_) + offsetof(mdr_fabric_list, n), .most = MDR_KNIT_SAMPLES_MAX \
    }
#define HAD(key, may, has_) FIELD(key, MDR_FIELD_NUMBER, may, 0, .has = AT(has_))

static const mdr_field FIELDS[] = {
    {.key = "do",
     .kind = MDR_FIELD_WORD,
     .may = ALWAYS,
     .must = ALWAYS,
     .offset = AT(question),
     .words = &QUESTION_WORDS},
    FIELD(construction, MDR_FIELD_WORD, KNITTED | CONSTANTS, KNITTED | CONSTANTS,
          .words = &CONSTRUCTION_WORDS),
    HAD(ne, KNITTED | CONSTANTS, has_ne),
    HAD(tex, KNITTED | CONSTANTS, has_tex),
    NUM(loop_cm, KNITTED, KNITTED),
    FIELD(needles, MDR_FIELD_INT, KNITTED, 0, .has = AT(has_needles)),
    FIELD(feeders, MDR_FIELD_INT, KNITTED, 0, .has = AT(has_feeders)),
    HAD(gauge_per_inch, KNITTED, has_gauge),
    HAD(diameter_inch, KNITTED, has_diameter),
    NUM(elastane_pct, KNITTED, 0),
    NUM(relaxed_gsm, WASHED, WASHED),
    NUM(relaxed_width_cm, WASHED, WASHED),
    LIST(sample_loop_cm, CONSTANTS, CONSTANTS),
    LIST(sample_courses_per_cm, CONSTANTS, CONSTANTS),
    LIST(sample_wales_per_cm, CONSTANTS, CONSTANTS),
    LIST(sample_gsm, CONSTANTS, CONSTANTS),
    LIST(sample_ne, CONSTANTS, 0),
    NUM(gsm, ASKED, ASKED),
    NUM(gsm_tol_pct, ASKED, 0),
    NUM(width_cm, ASKED, ASKED),
    NUM(width_tol_cm, ASKED, 0),
    NUM(length_shrink_pct, ASKED, ASKED),
    NUM(width_shrink_pct, ASKED, ASKED),
    NUM(growth_pct, ASKED, 0),
    HAD(spirality_pct, KNITTED, has_spirality),
    HAD(torque_pct, KNITTED, has_torque),
    FIELD(map_frames, MDR_FIELD_INT, ASKED, 0, .has = AT(has_map)),
    HAD(map_loop_pct, ASKED, has_loop_pct),
    HAD(map_width_low_cm, ASKED, has_window_part[0]),
    HAD(map_width_high_cm, ASKED, has_window_part[1]),
    HAD(map_gsm_low, ASKED, has_window_part[2]),
    HAD(map_gsm_high, ASKED, has_window_part[3]),
};
static const mdr_shape SHAPE = {.what = "the question",
                                .fields = FIELDS,
                                .n_fields = N_OF(FIELDS),
                                .by = "do",
                                .null_is_absent = true};

/* Those of the specification as mdr_spec_check has them; the rest is invented: wide enough for
 * every knit, narrow enough for a slipped decimal point. */
#define LIMIT(key_, least_, most_, unit_, over_)             \
    {                                                        \
#key_, AT(key_), (least_), (most_), (unit_), (over_) \
    }
static const mdr_limit LIMITS[] = {
    LIMIT(ne, 1, 200, "Ne", false),
    LIMIT(tex, 3, 600, "tex", false),
    LIMIT(loop_cm, 0.1, 2, "cm", false),
    LIMIT(gauge_per_inch, 3, 80, "needles per inch", false),
    LIMIT(diameter_inch, 3, 60, "inch", false),
    LIMIT(elastane_pct, 0, 40, "% of the fabric", false),
    LIMIT(relaxed_gsm, 10, 2000, "g/m2", false),
    LIMIT(relaxed_width_cm, 1, 1000, "cm", false),
    LIMIT(gsm, 10, 2000, "g/m2", false),
    LIMIT(gsm_tol_pct, 0, 50, "%", false),
    LIMIT(width_cm, 1, 1000, "cm", false),
    LIMIT(width_tol_cm, 0, 100, "cm", false),
    LIMIT(length_shrink_pct, 0, 50, "%", false),
    LIMIT(width_shrink_pct, 0, 50, "%", false),
    LIMIT(growth_pct, 0.1, 50, "%", false),
    LIMIT(spirality_pct, 0, 100, "%", true),
    LIMIT(torque_pct, 0, 100, "%", false),
    LIMIT(map_loop_pct, 0.1, 40, "%", false),
    LIMIT(map_width_low_cm, 1, 1000, "cm", false),
    LIMIT(map_width_high_cm, 1, 1000, "cm", false),
    LIMIT(map_gsm_low, 1, 3000, "g/m2", false),
    LIMIT(map_gsm_high, 1, 3000, "g/m2", false),
};
enum { NEEDLES_LEAST = 20, NEEDLES_MOST = 10000, FEEDERS_LEAST = 1, FEEDERS_MOST = 400 };
enum { MAP_FRAMES_MOST = 81 }; /* more loop lengths than a slider of a tablet has pixels for */

static void together(mdr_reader *r, const mdr_fabric_ask *q)
{
    if (q->has_ne == q->has_tex) {
        mdr_reader_say(r, q->has_ne ? "tex" : "ne", "the yarn is told by its count, once",
                       "give either ne or tex");
    }
    if (q->has_needles == (q->has_gauge && q->has_diameter)) {
        mdr_reader_say(r, "needles", "the width needs the needles of the cylinder, once",
                       "give either needles, or gauge_per_inch and diameter_inch");
    }
    if (q->has_needles && (q->needles < NEEDLES_LEAST || q->needles > NEEDLES_MOST)) {
        mdr_limit_fault(r, "needles", q->needles, "20 to 10000");
    }
    if (q->has_feeders && (q->feeders < FEEDERS_LEAST || q->feeders > FEEDERS_MOST)) {
        mdr_limit_fault(r, "feeders", q->feeders, "1 to 400");
    }
    if (q->has_spirality && !q->has_feeders) {
        mdr_reader_say(r, "feeders", "the spirality needs the feeders of the machine",
                       "give feeders");
    }
    if (q->has_torque && !q->has_spirality) {
        mdr_reader_say(r, "torque_pct", "what the torque adds belongs to a spirality asked for",
                       "give spirality_pct, or leave it out");
    }
}

/* Every sample has all of its numbers. */
static void check_samples(mdr_reader *r, const mdr_fabric_ask *q)
{
    const struct {
        const char *key;
        int n;
    } lists[] = {{"sample_courses_per_cm", q->sample_courses_per_cm.n},
                 {"sample_wales_per_cm", q->sample_wales_per_cm.n},
                 {"sample_gsm", q->sample_gsm.n},
                 {"sample_ne", q->sample_ne.n}};
    const int n = q->sample_loop_cm.n, most = N_OF(lists) - (q->sample_ne.n == 0 ? 1 : 0);
    for (int i = 0; i < most; i++) {
        if (lists[i].n != n) {
            mdr_reader_say(r, lists[i].key, "the lists are not of one length",
                           "give as many numbers as there are loop lengths");
        }
    }
    if (n < MDR_KNIT_SAMPLES_MIN) {
        mdr_reader_say(r, "sample_loop_cm", "one sample tells nothing about the next",
                       "wash at least two, better three");
    }
    if ((q->sample_ne.n > 0) == (q->has_ne || q->has_tex) || (q->has_ne && q->has_tex)) {
        mdr_reader_say(r, "ne", "the yarn is told by its count, once",
                       "give ne or tex for all samples, or sample_ne for each");
    }
}

static void check_map(mdr_reader *r, mdr_fabric_ask *q)
{
    int parts = 0;
    for (int i = 0; i < N_OF(q->has_window_part); i++) {
        parts += q->has_window_part[i];
    }
    q->has_window = parts == N_OF(q->has_window_part);
    if (!q->has_map && (q->has_loop_pct || parts > 0)) {
        mdr_reader_say(r, "map_frames", "what a map shows belongs to a map", "give map_frames too");
    }
    if (q->has_map &&
        (q->map_frames < 1 || q->map_frames > MAP_FRAMES_MOST || q->map_frames % 2 == 0)) {
        mdr_limit_fault(r, "map_frames", q->map_frames, "1 to 81, odd: the middle one as asked");
    }
    if (parts > 0 && !q->has_window) {
        mdr_reader_say(
            r, "map_width_low_cm", "what a map shows is told whole",
            "give map_width_low_cm, map_width_high_cm, map_gsm_low and map_gsm_high, or none");
    }
    if (q->has_window && !(q->map_width_high_cm > q->map_width_low_cm)) {
        mdr_limit_fault(r, "map_width_high_cm", q->map_width_high_cm, "more than map_width_low_cm");
    }
    if (q->has_window && !(q->map_gsm_high > q->map_gsm_low)) {
        mdr_limit_fault(r, "map_gsm_high", q->map_gsm_high, "more than map_gsm_low");
    }
}

mdr_code mdr_wire_fabric_ask_read(const char *text, size_t len, mdr_arena *arena,
                                  mdr_err_list *found, mdr_fabric_ask *out, mdr_err *err)
{
    enum { DOCUMENT_MAX = 1 << 16 };
    /* common practice: more is another fabric, to be knitted as a trial first */
    static const double USUAL_MAP_LOOP_PCT = 10.0;
    mdr_reader r = {.arena = arena, .found = found};
    const mdr_spec_demand usual = mdr_spec_usual_demand(100.0, 100.0, 0.0, 0.0);
    mdr_fabric_ask q = {.gsm_tol_pct = usual.gsm_tol_pct,
                        .width_tol_cm = usual.width_tol_cm,
                        .growth_pct = -100.0 * usual.length_shrink_min_frac,
                        .map_loop_pct = USUAL_MAP_LOOP_PCT};
    json_t *doc = mdr_reader_parse(&r, text, len, DOCUMENT_MAX);
    if (doc != NULL) {
        mdr_reader_fill(&r, doc, &SHAPE, &q);
        mdr_limits_check(&r, doc, &q, LIMITS, N_OF(LIMITS));
        if (r.count == 0 && q.question == MDR_FABRIC_CONSTANTS) {
            check_samples(&r, &q);
        } else if (r.count == 0) {
            if (q.width_tol_cm > 0.5 * q.width_cm) {
                mdr_limit_fault(&r, "width_tol_cm", q.width_tol_cm, "0 to half of width_cm");
            }
            if (q.question == MDR_FABRIC_KNITTED) {
                together(&r, &q);
            }
            check_map(&r, &q);
        }
        json_decref(doc);
    }
    MDR_TRY(mdr_reader_done(&r, err));
    *out = q;
    return MDR_OK;
}

bool mdr_wire_fabric_takes(const char *key, double value)
{
    if (strcmp(key, "needles") == 0) {
        return value >= NEEDLES_LEAST && value <= NEEDLES_MOST;
    }
    if (strcmp(key, "feeders") == 0) {
        return value >= FEEDERS_LEAST && value <= FEEDERS_MOST;
    }
    for (int i = 0; i < N_OF(LIMITS); i++) {
        if (strcmp(key, LIMITS[i].key) == 0) {
            return value >= LIMITS[i].least && value <= LIMITS[i].most &&
                   !(LIMITS[i].over && value <= LIMITS[i].least);
        }
    }
    MDR_UNREACHABLE();
}

const char *mdr_fabric_question_id(mdr_fabric_question q)
{
    return QUESTION_IDS[q];
}

const char *mdr_fabric_question_words(mdr_fabric_question q)
{
    return QUESTION_TEXTS[q];
}
