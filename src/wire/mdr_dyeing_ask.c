#include "wire/mdr_dyeing_ask.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/exhaust/mdr_dyeing_answers.h"
#include "wire/mdr_limit.h"
#include "wire/mdr_wire.h"

static_assert(sizeof(mdr_curve_kind) == sizeof(int), "an enum is stored as an int");

#define N_OF(a)              ((int)(sizeof(a) / sizeof((a)[0])))
#define ID_OF(name, id, ...) id,
static const char *const CURVE_IDS[] = {MDR_CURVES(ID_OF)};
static const mdr_words CURVE_WORDS = {CURVE_IDS, N_OF(CURVE_IDS)};

/* -- one step -- */

#define OF_STEP(key_, kind_, must_, has_, words_)                                              \
    {                                                                                          \
        .key = #key_, .kind = MDR_FIELD_##kind_, .may = MDR_FIELD_ALWAYS, .must = (must_),     \
        .offset = offsetof(mdr_dyeing_change, key_), .has = offsetof(mdr_dyeing_change, has_), \
        .words = (words_)                                                                      \
    }
static const mdr_field STEP_FIELDS[] = {
    OF_STEP(step, INT, MDR_FIELD_ALWAYS, has_step, NULL),
    OF_STEP(minutes, NUMBER, 0, has_minutes, NULL),
    OF_STEP(curve, WORD, 0, has_curve, &CURVE_WORDS),
    OF_STEP(exponent, NUMBER, 0, has_exponent, NULL),
    OF_STEP(portions, INT, 0, has_portions, NULL),
    OF_STEP(amount_pct, NUMBER, 0, has_amount, NULL),
    OF_STEP(to_c, NUMBER, 0, has_to, NULL),
    OF_STEP(rate_c_per_min, NUMBER, 0, has_rate, NULL),
    OF_STEP(offset_min, NUMBER, 0, has_offset, NULL),
};
static const mdr_shape STEP_SHAPE = {.what = "a change of a step",
                                     .fields = STEP_FIELDS,
                                     .n_fields = N_OF(STEP_FIELDS),
                                     .size = sizeof(mdr_dyeing_change),
                                     .most = MDR_DYEING_CHANGES_MOST,
                                     .null_is_absent = true};

#define AT(m) offsetof(mdr_dyeing_ask, m)
#define PLAIN(key_, kind_, has_)                                                              \
    {                                                                                         \
        .key = #key_, .kind = MDR_FIELD_##kind_, .may = MDR_FIELD_ALWAYS, .offset = AT(key_), \
        .has = (has_)                                                                         \
    }
static const mdr_field FIELDS[] = {
    PLAIN(bath, INT, AT(has_bath)),
    PLAIN(slices, INT, 0),
    PLAIN(speed_m_per_min, NUMBER, AT(has_speed)),
    PLAIN(dose_salt_min, NUMBER, AT(has_salt_min)),
    PLAIN(dose_dye_min, NUMBER, AT(has_dye_min)),
    PLAIN(dose_alkali_min, NUMBER, AT(has_alkali_min)),
    PLAIN(salt_pct, NUMBER, 0),
    PLAIN(alkali_pct, NUMBER, 0),
    PLAIN(temp_shift_c, NUMBER, 0),
    PLAIN(uneven_preparation_pct, NUMBER, 0),
    PLAIN(strike_limit_pct_per_contact, NUMBER, 0),
    PLAIN(fixing_limit_de, NUMBER, 0),
    PLAIN(sensitivity, BOOL, 0),
    PLAIN(map, BOOL, 0),
    {.key = "tube_share_pct",
     .kind = MDR_FIELD_NUMBERS,
     .may = MDR_FIELD_ALWAYS,
     .most = MDR_DYEING_TUBES_MAX,
     .offset = AT(tube_share_pct),
     .count = AT(n_shares)},
    {.key = "steps",
     .kind = MDR_FIELD_LIST,
     .may = MDR_FIELD_ALWAYS,
     .offset = AT(steps),
     .count = AT(n_steps),
     .shape = &STEP_SHAPE},
};
static const mdr_shape SHAPE = {.what = "a change of a dyeing",
                                .fields = FIELDS,
                                .n_fields = N_OF(FIELDS),
                                .null_is_absent = true};

/* -- ranges -- */

/* Invented: wide enough for every dyeing, narrow enough for a slipped decimal point. */
#define LIMIT(key_, least_, most_, unit_, over_)             \
    {                                                        \
#key_, AT(key_), (least_), (most_), (unit_), (over_) \
    }
static const mdr_limit LIMITS[] = {
    LIMIT(speed_m_per_min, 1, 1000, "m/min", false),
    LIMIT(dose_salt_min, 0.5, 600, "min", false),
    LIMIT(dose_dye_min, 0.5, 600, "min", false),
    LIMIT(dose_alkali_min, 0.5, 600, "min", false),
    LIMIT(salt_pct, 0, 300, "%", false),
    LIMIT(alkali_pct, 0, 300, "%", false),
    LIMIT(temp_shift_c, -30, 30, "degC", false),
    LIMIT(uneven_preparation_pct, 0, 50, "%", false),
    LIMIT(strike_limit_pct_per_contact, 0.05, 20, "% per contact", false),
    LIMIT(fixing_limit_de, 0.05, 10, "CMC(2:1)", false),
    LIMIT(tube_share_pct, 0.5, 100, "% of the load", false),
};

typedef struct range {
    const char *key;
    double value, least, most;
    bool given;
    const char *allowed;
} range;

static void check_step(mdr_reader *r, int i, const mdr_dyeing_change *c)
{
    const range of_step[] = {
        {"step", c->step, 1, MDR_ROUTE_STEPS_MAX, c->has_step, "the number of a step"},
        {"minutes", c->minutes, 0.5, 600, c->has_minutes, "0.5 to 600 min"},
        {"exponent", c->exponent, 0.1, 10, c->has_exponent, "0.1 to 10"},
        {"portions", c->portions, 2, 20, c->has_portions, "2 to 20"},
        {"amount_pct", c->amount_pct, 0, 300, c->has_amount, "0 to 300 %"},
        {"to_c", c->to_c, 5, 100, c->has_to, "5 to 100 degC"},
        {"rate_c_per_min", c->rate_c_per_min, 0.05, 20, c->has_rate, "0.05 to 20 degC/min"},
        {"offset_min", c->offset_min, 0, 600, c->has_offset, "0 to 600 min"},
    };
    for (int k = 0; k < N_OF(of_step); k++) {
        if (of_step[k].given &&
            !(of_step[k].value >= of_step[k].least && of_step[k].value <= of_step[k].most)) {
            char key[64];
            (void)snprintf(key, sizeof key, "steps[%d].%s", i, of_step[k].key);
            mdr_limit_fault(r, key, of_step[k].value, of_step[k].allowed);
        }
    }
}

/* Of two changes of one step the second would win without a word. */
static void check_once(mdr_reader *r, int i, const mdr_dyeing_ask *q)
{
    for (int k = 0; k < i; k++) {
        if (q->steps[k].has_step && q->steps[i].has_step && q->steps[k].step == q->steps[i].step) {
            char key[64];
            (void)snprintf(key, sizeof key, "steps[%d].step", i);
            mdr_limit_fault(r, key, q->steps[i].step, "each step once: put its changes together");
            return;
        }
    }
}

static void check_shares(mdr_reader *r, const mdr_dyeing_ask *q)
{
    static const double WHOLE_PCT = 100.0, SLACK_PCT = 0.5; /* typed with a decimal or none */
    double sum = 0.0;
    for (int i = 0; i < q->n_shares; i++) {
        sum += q->tube_share_pct[i];
    }
    if (q->n_shares > 0 && !(fabs(sum - WHOLE_PCT) <= SLACK_PCT)) {
        mdr_limit_fault(r, "tube_share_pct", sum, "shares that add up to 100 %");
    }
}

static void ranges(mdr_reader *r, const json_t *doc, const mdr_dyeing_ask *q)
{
    mdr_limits_check(r, doc, q, LIMITS, N_OF(LIMITS));
    if (q->has_bath && (q->bath < 1 || q->bath > MDR_ROUTE_BATHS_MAX)) {
        mdr_limit_fault(r, "bath", q->bath, "the number of a bath");
    }
    if (q->slices < MDR_DYEING_SLICES_LEAST || q->slices > MDR_DYEING_SLICES_MOST) {
        mdr_limit_fault(r, "slices", q->slices, "8 to 100");
    }
    check_shares(r, q);
    for (int i = 0; i < q->n_steps; i++) {
        check_step(r, i, &q->steps[i]);
        check_once(r, i, q);
    }
}

/* -- the lot -- */

/* Taken out as it stands: its keys are those of a planned lot, and read there. */
static void take_lot(mdr_reader *r, json_t *doc, mdr_dyeing_ask *q)
{
    static const size_t DIGITS = 17; /* a double comes back to the last bit */
    json_t *lot = json_object_get(doc, "lot");
    if (json_is_object(lot)) {
        char *text = json_dumps(lot, JSON_COMPACT | JSON_REAL_PRECISION(DIGITS));
        q->lot = text != NULL ? mdr_arena_text(r->arena, text) : NULL;
        q->lot_len = q->lot != NULL ? strlen(q->lot) : 0;
        r->no_memory = r->no_memory || q->lot == NULL;
        free(text);
    } else if (lot != NULL && !json_is_null(lot)) {
        mdr_reader_say(r, "lot", "lot must be an object", "write {\"ratio_l_per_kg\": 7}");
    }
    (void)json_object_del(doc, "lot");
}

mdr_code mdr_wire_dyeing_ask_read(const char *text, size_t len, mdr_arena *arena,
                                  mdr_err_list *found, mdr_dyeing_ask *out, mdr_err *err)
{
    enum { SLICES_USUAL = 40 };
    mdr_reader r = {.arena = arena, .found = found};
    mdr_dyeing_ask q = {.slices = SLICES_USUAL,
                        .salt_pct = 100.0,
                        .alkali_pct = 100.0,
                        .strike_limit_pct_per_contact = MDR_STRIKE_LIMIT_PCT_PER_CONTACT,
                        .sensitivity = true,
                        .map = true};
    if (len == 0) {
        *out = q;
        return MDR_OK;
    }
    json_t *doc = mdr_reader_parse(&r, text, len, MDR_WIRE_ROUTE_MAX);
    if (doc != NULL) {
        take_lot(&r, doc, &q);
        mdr_reader_fill(&r, doc, &SHAPE, &q);
        ranges(&r, doc, &q);
        json_decref(doc);
    }
    MDR_TRY(mdr_reader_done(&r, err));
    *out = q;
    return MDR_OK;
}
