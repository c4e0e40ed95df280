#include "wire/mdr_colour_ask.h"

#include <assert.h>
#include <string.h>

#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))

static_assert(sizeof(mdr_colour_question) == sizeof(int), "an enum is stored as an int");

/* As the document has it: numbers are lists of any length up to the most. */
typedef struct numbers {
    const double *v;
    int n;
} numbers;
typedef struct asked {
    mdr_colour_post post;
    numbers number[MDR_COLOUR_NUMBER_COUNT];
} asked;

static const char *const QUESTION_IDS[] = {
#define X(member, word, words) word,
    MDR_COLOUR_QUESTIONS(X)
#undef X
};
static const mdr_words QUESTION_WORDS = {QUESTION_IDS, N_OF(QUESTION_IDS)};

static const mdr_field FILES_FIELDS[] = {
    {.key = "samples",
     .kind = MDR_FIELD_OBJECT,
     .may = MDR_FIELD_ALWAYS,
     .offset = offsetof(mdr_colour_post, samples),
     .shape = &mdr_file_text_shape},
    {.key = "standard_file",
     .kind = MDR_FIELD_OBJECT,
     .may = MDR_FIELD_ALWAYS,
     .offset = offsetof(mdr_colour_post, standard_file),
     .shape = &mdr_file_text_shape},
};
static const mdr_shape FILES_SHAPE = {.what = "files",
                                      .fields = FILES_FIELDS,
                                      .n_fields = N_OF(FILES_FIELDS),
                                      .size = sizeof(mdr_colour_post),
                                      .null_is_absent = true};

static const mdr_field FIELDS[] = {{.key = "do",
                                    .kind = MDR_FIELD_WORD,
                                    .may = MDR_FIELD_ALWAYS,
                                    .must = MDR_FIELD_ALWAYS,
                                    .offset = offsetof(asked, post.question),
                                    .words = &QUESTION_WORDS},
                                   {.key = "files",
                                    .kind = MDR_FIELD_OBJECT,
                                    .may = MDR_FIELD_ALWAYS,
                                    .offset = offsetof(asked, post),
                                    .shape = &FILES_SHAPE},
#define X(member, key_, of)  \
    {.key = (key_),          \
     .kind = MDR_FIELD_TEXT, \
     .may = (uint32_t)(of),  \
     .offset = offsetof(asked, post.word[MDR_COLOUR_WORD_##member])},
                                   MDR_COLOUR_WORDS(X)
#undef X
#define X(member, key_, least, most_, n_least, n_most, of)            \
    {.key = (key_),                                                   \
     .kind = MDR_FIELD_NUMBERS,                                       \
     .most = MDR_COLOUR_LIST_MAX,                                     \
     .may = (uint32_t)(of),                                           \
     .offset = offsetof(asked, number[MDR_COLOUR_NUMBER_##member].v), \
     .count = offsetof(asked, number[MDR_COLOUR_NUMBER_##member].n)},
                                       MDR_COLOUR_NUMBERS(X)
#undef X
#define X(member, key_, of)  \
    {.key = (key_),          \
     .kind = MDR_FIELD_BOOL, \
     .may = (uint32_t)(of),  \
     .offset = offsetof(asked, post.is[MDR_COLOUR_SWITCH_##member])},
                                           MDR_COLOUR_SWITCHES(X)
#undef X
};
static const mdr_shape SHAPE = {.what = "a question about colour",
                                .fields = FIELDS,
                                .n_fields = N_OF(FIELDS),
                                .by = "do",
                                .size = sizeof(asked),
                                .null_is_absent = true};

/* A number becomes a list of one. */
static void wrap_numbers(mdr_reader *r, json_t *doc)
{
    for (int i = 0; i < N_OF(FIELDS); i++) {
        const json_t *v =
            FIELDS[i].kind == MDR_FIELD_NUMBERS ? json_object_get(doc, FIELDS[i].key) : NULL;
        if (v != NULL && json_is_number(v)) {
            json_t *list = json_pack("[f]", json_number_value(v));
            if (list == NULL || json_object_set_new(doc, FIELDS[i].key, list) != 0) {
                r->no_memory = true;
            }
        }
    }
}

static void fill(mdr_reader *r, json_t *doc, asked *a)
{
    wrap_numbers(r, doc);
    mdr_reader_fill(r, doc, &SHAPE, a);
    mdr_file_text_check(r, "samples", &a->post.samples);
    mdr_file_text_check(r, "standard_file", &a->post.standard_file);
    for (int i = 0; i < MDR_COLOUR_NUMBER_COUNT; i++) {
        mdr_colour_list *list = &a->post.number[i];
        if (a->number[i].n > 0) { /* at most MDR_COLOUR_LIST_MAX: read so */
            memcpy(list->v, a->number[i].v, (size_t)a->number[i].n * sizeof list->v[0]);
            list->n = a->number[i].n;
        }
    }
    if (a->post.standard_file.name != NULL && a->post.samples.name == NULL) {
        mdr_reader_say(r, "files.samples", "there is a file of the standard, and none of samples",
                       "one file that holds both is called samples");
    }
}

mdr_code mdr_wire_colour_post_read(const char *text, size_t len, mdr_arena *arena,
                                   mdr_err_list *found, mdr_colour_post *out, mdr_err *err)
{
    mdr_reader r = {.arena = arena, .found = found};
    asked a = {.post = {.question = MDR_COLOUR_READ}};
    json_t *doc = mdr_reader_parse(&r, text, len, MDR_FILE_POST_MAX);
    if (doc != NULL) {
        fill(&r, doc, &a);
        json_decref(doc);
    }
    MDR_TRY(mdr_reader_done(&r, err));
    *out = a.post;
    return MDR_OK;
}
