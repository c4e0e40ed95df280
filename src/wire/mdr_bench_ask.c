#include "wire/mdr_bench_ask.h"

#include "core/colour/mdr_spectrum.h"
#include "wire/mdr_shape.h"
#include "wire/mdr_spectra.h"

#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))

/* In the order of mdr_bench_kind, mdr_specular, mdr_spectra_scale, mdr_dip_state. */
static const char *const KIND_IDS[] = {"cloth", "rung", "standard", "dip", "bulk"};
static const char *const SPECULAR_IDS[] = {"unknown", "included", "excluded", "none"};
static const char *const SCALE_IDS[] = {"auto", "fraction", "percent"};
static const char *const STATE_IDS[] = {"made", "submitted", "approved", "rejected"};
static const mdr_words KINDS = {KIND_IDS, N_OF(KIND_IDS)};
static const mdr_words SPECULARS = {SPECULAR_IDS, N_OF(SPECULAR_IDS)};
static const mdr_words SCALES = {SCALE_IDS, N_OF(SCALE_IDS)};
static const mdr_words STATES = {STATE_IDS, N_OF(STATE_IDS)};
_Static_assert(MDR_SPECULAR_EXCLUDED == 2 && MDR_SPECULAR_NONE == 3, "words stand in their order");
_Static_assert(MDR_SCALE_FRACTION == 1 && MDR_SCALE_PERCENT == 2, "words stand in their order");

#define ALWAYS MDR_FIELD_ALWAYS
#define FIELD(rec, key_, kind_, must_, ...)                                      \
    {                                                                            \
        .key = #key_, .kind = MDR_FIELD_##kind_, .may = ALWAYS, .must = (must_), \
        .offset = offsetof(rec, key_), __VA_ARGS__                               \
    }
#define TEXT(rec, key, must)       FIELD(rec, key, TEXT, must, .has = 0)
#define WORD(rec, key, must, list) FIELD(rec, key, WORD, must, .words = &(list))
#define SHAPE(name, rec, what_, fields_, absent_)             \
    static const mdr_shape name = {.what = (what_),           \
                                   .fields = (fields_),       \
                                   .n_fields = N_OF(fields_), \
                                   .size = sizeof(rec),       \
                                   .absent = (absent_),       \
                                   .null_is_absent = true}

/* -- samples -- */

static const mdr_field FILE_FIELDS[] = {
    {.key = "name",
     .kind = MDR_FIELD_TEXT,
     .may = ALWAYS,
     .must = ALWAYS,
     .offset = offsetof(mdr_bench_post, file_name)},
    TEXT(mdr_bench_post, text, ALWAYS),
};
SHAPE(FILE_SHAPE, mdr_bench_post, "a file", FILE_FIELDS, NULL);

static const mdr_field AS_FIELDS[] = {
    TEXT(mdr_bench_as, sample, ALWAYS), WORD(mdr_bench_as, kind, ALWAYS, KINDS),
    TEXT(mdr_bench_as, sample_id, 0),   TEXT(mdr_bench_as, name, 0),
    TEXT(mdr_bench_as, dye_id, 0),      FIELD(mdr_bench_as, depth_pct_owf, NUMBER, 0, .has = 0),
    TEXT(mdr_bench_as, shade_id, 0),    TEXT(mdr_bench_as, lot_id, 0),
    TEXT(mdr_bench_as, dip_id, 0),      TEXT(mdr_bench_as, remark, 0),
};
static const mdr_bench_as NO_AS = {.sample = "",
                                   .sample_id = "",
                                   .name = "",
                                   .dye_id = "",
                                   .shade_id = "",
                                   .lot_id = "",
                                   .dip_id = "",
                                   .remark = ""};
static const mdr_shape AS_SHAPE = {.what = "what a sample is",
                                   .fields = AS_FIELDS,
                                   .n_fields = N_OF(AS_FIELDS),
                                   .size = sizeof(mdr_bench_as),
                                   .absent = &NO_AS,
                                   .most = MDR_SPECTRA_MAX,
                                   .null_is_absent = true};

static const mdr_field POST_FIELDS[] = {
    {.key = "file", .kind = MDR_FIELD_OBJECT, .may = ALWAYS, .must = ALWAYS, .shape = &FILE_SHAPE},
    TEXT(mdr_bench_post, substrate, 0),
    TEXT(mdr_bench_post, measured, 0),
    WORD(mdr_bench_post, specular, 0, SPECULARS),
    WORD(mdr_bench_post, scale, 0, SCALES),
    FIELD(mdr_bench_post, replace, BOOL, 0, .has = 0),
    {.key = "as",
     .kind = MDR_FIELD_LIST,
     .may = ALWAYS,
     .offset = offsetof(mdr_bench_post, as),
     .has = offsetof(mdr_bench_post, has_as),
     .count = offsetof(mdr_bench_post, n_as),
     .shape = &AS_SHAPE},
};
SHAPE(POST_SHAPE, mdr_bench_post, "measured samples", POST_FIELDS, NULL);

static const mdr_field DIP_FIELDS[] = {
    TEXT(mdr_dip_post, shade_id, ALWAYS),
    TEXT(mdr_dip_post, substrate, ALWAYS),
    TEXT(mdr_dip_post, recipe, ALWAYS),
    TEXT(mdr_dip_post, made, 0),
    TEXT(mdr_dip_post, dip_id, 0),
    TEXT(mdr_dip_post, remark, 0),
    FIELD(mdr_dip_post, round, INT, 0, .has = 0),
};
SHAPE(DIP_SHAPE, mdr_dip_post, "a dip", DIP_FIELDS, NULL);

static const mdr_field CHANGE_FIELDS[] = {
    FIELD(mdr_dip_put, revision, INT, ALWAYS, .has = 0),
    WORD(mdr_dip_put, state, 0, STATES),
    TEXT(mdr_dip_put, by, 0),
    TEXT(mdr_dip_put, sample_id, 0),
    TEXT(mdr_dip_put, remark, 0),
    FIELD(mdr_dip_put, recipe_of_shade, BOOL, 0, .has = 0),
    TEXT(mdr_dip_put, was, 0),
};
SHAPE(CHANGE_SHAPE, mdr_dip_put, "a change of a dip", CHANGE_FIELDS, NULL);

static const mdr_field RECIPE_FIELDS[] = {
    TEXT(mdr_recipe_put, recipe, ALWAYS),
    TEXT(mdr_recipe_put, was, ALWAYS),
    TEXT(mdr_recipe_put, machine_id, 0),
    TEXT(mdr_recipe_put, factors, 0),
    FIELD(mdr_recipe_put, best_guess, BOOL, 0, .has = 0),
};
SHAPE(RECIPE_SHAPE, mdr_recipe_put, "a recipe of a shade", RECIPE_FIELDS, NULL);

typedef struct document {
    const char *text;
    size_t len;
    const mdr_shape *shape;
} document;

static mdr_code read(const document *d, mdr_arena *arena, mdr_err_list *found, void *out,
                     mdr_err *err)
{
    mdr_reader r = {.arena = arena, .found = found};
    json_t *doc = mdr_reader_parse(&r, d->text, d->len, MDR_BENCH_POST_MAX);
    if (doc != NULL) {
        mdr_reader_fill(&r, doc, d->shape, out);
        json_decref(doc);
    }
    return mdr_reader_done(&r, err);
}

mdr_code mdr_wire_bench_post_read(const char *text, size_t len, mdr_arena *arena,
                                  mdr_err_list *found, mdr_bench_post *out, mdr_err *err)
{
    mdr_bench_post p = {.substrate = "", .measured = ""};
    MDR_TRY(read(&(document){text, len, &POST_SHAPE}, arena, found, &p, err));
    *out = p;
    return MDR_OK;
}

mdr_code mdr_wire_dip_post_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                                mdr_dip_post *out, mdr_err *err)
{
    mdr_dip_post p = {.made = "", .dip_id = "", .remark = ""};
    MDR_TRY(read(&(document){text, len, &DIP_SHAPE}, arena, found, &p, err));
    *out = p;
    return MDR_OK;
}

mdr_code mdr_wire_dip_put_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                               mdr_dip_put *out, mdr_err *err)
{
    mdr_dip_put p = {.state = -1};
    MDR_TRY(read(&(document){text, len, &CHANGE_SHAPE}, arena, found, &p, err));
    *out = p;
    return MDR_OK;
}

mdr_code mdr_wire_recipe_put_read(const char *text, size_t len, mdr_arena *arena,
                                  mdr_err_list *found, mdr_recipe_put *out, mdr_err *err)
{
    mdr_recipe_put p = {.recipe = "", .was = "", .machine_id = "", .factors = ""};
    MDR_TRY(read(&(document){text, len, &RECIPE_SHAPE}, arena, found, &p, err));
    *out = p;
    return MDR_OK;
}
