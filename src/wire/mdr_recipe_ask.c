#include "wire/mdr_recipe_ask.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "core/colour/mdr_difference.h"
#include "core/recipe/mdr_correct.h"
#include "core/recipe/mdr_dispense.h"
#include "wire/mdr_limit.h"
#include "wire/mdr_spectra.h"

static_assert(sizeof(mdr_recipe_question) == sizeof(int), "an enum is stored as an int");

#define N_OF(a)                  ((int)(sizeof(a) / sizeof((a)[0])))
#define ID_OF(name, id, words)   id,
#define TEXT_OF(name, id, words) words,

static const char *const QUESTION_IDS[] = {MDR_RECIPE_QUESTIONS(ID_OF)};
static const char *const QUESTION_TEXTS[] = {MDR_RECIPE_QUESTIONS(TEXT_OF)};
static const char *const SURFACE_IDS[] = {MDR_RECIPE_SURFACES(ID_OF)};
/* in the order of mdr_difference_formula, mdr_spectra_scale, mdr_tie */
static const char *const FORMULA_IDS[] = {"cie76", "cmc", "cie94", "ciede2000", "din99"};
static const char *const SCALE_IDS[] = {"auto", "fraction", "percent"};
static const char *const TIE_IDS[] = {"lights", "spectrum"};
static_assert(N_OF(FORMULA_IDS) == MDR_DE_COUNT, "every formula has a word");
static const mdr_words QUESTION_WORDS = {QUESTION_IDS, N_OF(QUESTION_IDS)};
static const mdr_words QUESTION_WORDS_FOR_PEOPLE = {QUESTION_TEXTS, N_OF(QUESTION_TEXTS)};
static const mdr_words SURFACE_WORDS = {SURFACE_IDS, N_OF(SURFACE_IDS)};
static const mdr_words FORMULA_WORDS = {FORMULA_IDS, N_OF(FORMULA_IDS)};
static const mdr_words SCALE_WORDS = {SCALE_IDS, N_OF(SCALE_IDS)};
static const mdr_words TIE_WORDS = {TIE_IDS, N_OF(TIE_IDS)};

#define BIT(q)    ((uint32_t)1 << (q))
#define CALIBRATE BIT(MDR_RECIPE_CALIBRATE)
#define PREDICT   BIT(MDR_RECIPE_PREDICT)
#define FIND      BIT(MDR_RECIPE_FIND)
#define CORRECT   BIT(MDR_RECIPE_CORRECT)
#define DISPENSE  BIT(MDR_RECIPE_DISPENSE)
#define COLOUR    (PREDICT | FIND | CORRECT)
#define MEASURED  (CALIBRATE | COLOUR)
#define ALWAYS    MDR_FIELD_ALWAYS
#define AT(m)     offsetof(mdr_recipe_ask, m)

#define FIELD(key_, kind_, may_, must_, ...)                                               \
    {                                                                                      \
        .key = #key_, .kind = (kind_), .may = (may_), .must = (must_), .offset = AT(key_), \
        __VA_ARGS__                                                                        \
    }
#define TEXT(key, may, must) FIELD(key, MDR_FIELD_TEXT, may, must, .has = 0)
#define NUM(key, may, must)  FIELD(key, MDR_FIELD_NUMBER, may, must, .has = 0)
#define HAS(key, may, has_)  FIELD(key, MDR_FIELD_NUMBER, may, 0, .has = AT(has_))
#define INT(key, may)        FIELD(key, MDR_FIELD_INT, may, 0, .has = 0)
#define WORD(key, may, list) FIELD(key, MDR_FIELD_WORD, may, 0, .words = &(list))

static const mdr_field FIELDS[] = {
    {.key = "do",
     .kind = MDR_FIELD_WORD,
     .may = ALWAYS,
     .must = ALWAYS,
     .offset = AT(question),
     .words = &QUESTION_WORDS},
    TEXT(cloth, MEASURED, 0),
    TEXT(standard, COLOUR, FIND | CORRECT),
    TEXT(sample, PREDICT | CORRECT, CORRECT),
    TEXT(recipe, PREDICT | CORRECT | DISPENSE, PREDICT | CORRECT | DISPENSE),
    TEXT(must, FIND, 0),
    TEXT(never, FIND, 0),
    TEXT(lights, MEASURED, 0),
    INT(observer, MEASURED),
    WORD(formula, COLOUR, FORMULA_WORDS),
    HAS(l, COLOUR, has_l),
    HAS(c, COLOUR, has_c),
    NUM(tolerance, FIND | CORRECT, 0),
    WORD(surface, MEASURED, SURFACE_WORDS),
    HAS(k1, MEASURED, has_k1),
    HAS(k2, MEASURED, has_k2),
    NUM(beyond, MEASURED, 0),
    WORD(scale, MEASURED, SCALE_WORDS),
    INT(dyes_max, FIND),
    INT(shown, FIND),
    WORD(tie, FIND, TIE_WORDS),
    NUM(weigh_least_pct_owf, FIND, 0),
    NUM(lot_kg, FIND, 0),
    NUM(wise_pct, CORRECT, 0),
    NUM(strength_sd, CORRECT, 0),
    INT(wise_count, CORRECT),
    INT(done_count, CORRECT),
    NUM(sample_g, DISPENSE, DISPENSE),
    NUM(ratio_l_per_kg, DISPENSE, DISPENSE),
    HAS(vessel_ml, DISPENSE, has_vessel),
    NUM(stock_g_per_l, DISPENSE, 0),
    NUM(pipette_least_ml, DISPENSE, 0),
    NUM(pipette_step_ml, DISPENSE, 0),
    NUM(salt_g_per_l, DISPENSE, 0),
    NUM(alkali_g_per_l, DISPENSE, 0),
};
static const mdr_shape SHAPE = {.what = "a question about recipes",
                                .fields = FIELDS,
                                .n_fields = N_OF(FIELDS),
                                .by = "do",
                                .size = sizeof(mdr_recipe_ask),
                                .null_is_absent = true};

#define LIMIT(key_, least_, most_, unit_, over_)                                               \
    {                                                                                          \
        .key = #key_, .offset = AT(key_), .least = (least_), .most = (most_), .unit = (unit_), \
        .over = (over_)                                                                        \
    }
static const mdr_limit LIMITS[] = {
    LIMIT(l, 0.1, 10, "", false),
    LIMIT(c, 0.1, 10, "", false),
    LIMIT(tolerance, 0, 100, "", true),
    LIMIT(k1, 0, 0.2, "", false),
    LIMIT(k2, 0, 0.9, "", false),
    LIMIT(beyond, 1, 3, "", false),
    LIMIT(weigh_least_pct_owf, 0, 30, "% owf", false),
    LIMIT(lot_kg, 0, 5000, "kg", false),
    LIMIT(wise_pct, 0, 200, "%", true),
    LIMIT(strength_sd, 0.001, 2, "", false),
    LIMIT(sample_g, 0, 1000, "g", true),
    LIMIT(ratio_l_per_kg, 1, 100, "L/kg", false),
    LIMIT(vessel_ml, 1, 100000, "mL", false),
    LIMIT(stock_g_per_l, 0.01, 500, "g/L", false),
    LIMIT(pipette_least_ml, 0.001, 100, "mL", false),
    LIMIT(pipette_step_ml, 0.0001, 10, "mL", false),
    LIMIT(salt_g_per_l, 0, 300, "g/L", false),
    LIMIT(alkali_g_per_l, 0, 100, "g/L", false),
};

static void whole(mdr_reader *r, const char *key, int v, int least, int most, const char *allowed)
{
    if (v < least || v > most) {
        mdr_limit_fault(r, key, v, allowed);
    }
}

static void together(mdr_reader *r, const mdr_recipe_ask *q)
{
    if (q->observer != MDR_OBSERVER_2 && q->observer != MDR_OBSERVER_10) {
        mdr_limit_fault(r, "observer", q->observer, "2 or 10 degree");
    }
    whole(r, "dyes_max", q->dyes_max, 1, MDR_COMBO_MAX, "1 to 4");
    whole(r, "shown", q->shown, 1, 100, "1 to 100");
    whole(r, "wise_count", q->wise_count, 0, 20, "0 to 20");
    whole(r, "done_count", q->done_count, 0, 20, "0 to 20");
    const bool given =
        q->surface == MDR_RECIPE_SURFACE_LIMIT || q->surface == MDR_RECIPE_SURFACE_GIVEN;
    if (given && !q->has_k1) {
        mdr_reader_say(r, "k1", "what the surface reflects is to be given",
                       "give k1, or leave surface out: then it is fitted");
    }
    if (q->surface == MDR_RECIPE_SURFACE_GIVEN && !q->has_k2) {
        mdr_reader_say(r, "k2", "what the surface sends back inside is to be given",
                       "give k2 (0.4 to 0.6 is usual), or leave surface out");
    }
    if (!given && q->has_k1) {
        mdr_reader_say(r, "k1", "k1 is given, but the surface is not",
                       "give surface limit or saunderson too");
    }
}

mdr_code mdr_wire_recipe_ask_read(const char *text, size_t len, mdr_arena *arena,
                                  mdr_err_list *found, mdr_recipe_ask *out, mdr_err *err)
{
    enum { DOCUMENT_MAX = 1 << 16, USUAL_SHOWN = 10, USUAL_DYES = 3 };
    mdr_reader r = {.arena = arena, .found = found};
    const mdr_correct_in usual = mdr_correct_usual();
    const mdr_lab_tools tools = mdr_lab_tools_usual();
    mdr_recipe_ask q = {.cloth = "",
                        .standard = "",
                        .sample = "",
                        .recipe = "",
                        .must = "",
                        .never = "",
                        .lights = "",
                        .observer = MDR_OBSERVER_10,
                        .formula = MDR_DE_CMC,
                        .tolerance = 1.0,
                        .beyond = 1.25,
                        .dyes_max = USUAL_DYES,
                        .shown = USUAL_SHOWN,
                        .wise_pct = usual.wise_pct,
                        .strength_sd = usual.strength_sd,
                        .wise_count = usual.wise_count,
                        .stock_g_per_l = 10.0,
                        .pipette_least_ml = tools.pipette_least_ml,
                        .pipette_step_ml = tools.pipette_step_ml};
    json_t *doc = mdr_reader_parse(&r, text, len, DOCUMENT_MAX);
    if (doc != NULL) {
        mdr_reader_fill(&r, doc, &SHAPE, &q);
        mdr_limits_check(&r, doc, &q, LIMITS, N_OF(LIMITS));
        if (r.count == 0) {
            together(&r, &q);
        }
        json_decref(doc);
    }
    MDR_TRY(mdr_reader_done(&r, err));
    *out = q;
    return MDR_OK;
}

static const mdr_field *field_of(const char *key)
{
    int i = 0;
    while (strcmp(FIELDS[i].key, key) != 0) {
        i++;
        assert(i < N_OF(FIELDS));
    }
    return &FIELDS[i];
}

static mdr_code complete_one(json_t *doc, uint32_t question, const mdr_recipe_default *d,
                             mdr_err *err)
{
    const mdr_field *f = field_of(d->key);
    const json_t *given = json_object_get(doc, d->key);
    if ((f->may & question) == 0 || (given != NULL && !json_is_null(given))) {
        return MDR_OK;
    }
    if (d->text == NULL && d->missing != NULL) {
        if ((f->must & question) == 0) {
            return MDR_OK;
        }
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, d->key, "%s", d->missing);
        mdr_err_remedy(err, "give %s", d->key);
        return rc;
    }
    json_t *value = d->text != NULL ? json_string(d->text) : json_real(d->number);
    return value != NULL && json_object_set_new(doc, d->key, value) == 0
               ? MDR_OK
               : MDR_FAIL(err, MDR_E_NOMEM, d->key, "no memory for the question");
}

mdr_code mdr_wire_recipe_complete(const char *text, size_t len, const mdr_recipe_default *defaults,
                                  int n, mdr_arena *arena, const char **out, mdr_err *err)
{
    json_t *doc = json_loadb(text, len, JSON_REJECT_DUPLICATES, NULL);
    const char *word = json_string_value(json_object_get(doc, "do"));
    uint32_t question = 0;
    for (int i = 0; i < N_OF(QUESTION_IDS) && word != NULL; i++) {
        question = strcmp(QUESTION_IDS[i], word) == 0 ? BIT(i) : question;
    }
    mdr_code rc = MDR_OK;
    for (int i = 0; i < n && question != 0 && rc == MDR_OK; i++) {
        rc = complete_one(doc, question, &defaults[i], err);
    }
    char *whole = question != 0 ? json_dumps(doc, JSON_COMPACT | JSON_REAL_PRECISION(17)) : NULL;
    json_decref(doc);
    *out =
        mdr_arena_text_n(arena, whole != NULL ? whole : text, whole != NULL ? strlen(whole) : len);
    free(whole);
    if (rc == MDR_OK && *out == NULL) {
        rc = MDR_FAIL(err, MDR_E_NOMEM, "do", "no memory for the question");
    }
    return rc;
}

const char *mdr_recipe_question_id(mdr_recipe_question q)
{
    return mdr_words_id(&QUESTION_WORDS, (int)q);
}

const char *mdr_recipe_question_words(mdr_recipe_question q)
{
    return mdr_words_id(&QUESTION_WORDS_FOR_PEOPLE, (int)q);
}
