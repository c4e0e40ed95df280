#include "wire/mdr_recipe_post.h"

#include <stdlib.h>
#include <string.h>

#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))

#define TEXT_FIELD(name, key_)                         \
    {.key = #key_,                                     \
     .kind = MDR_FIELD_OBJECT,                         \
     .may = MDR_FIELD_ALWAYS,                          \
     .offset = offsetof(mdr_recipe_post, files[name]), \
     .shape = &mdr_file_text_shape},
static const mdr_field FILES_FIELDS[] = {MDR_RECIPE_TEXTS(TEXT_FIELD)};
static const mdr_shape FILES_SHAPE = {.what = "files",
                                      .fields = FILES_FIELDS,
                                      .n_fields = N_OF(FILES_FIELDS),
                                      .size = sizeof(mdr_recipe_post),
                                      .null_is_absent = true};

static const mdr_field FROM_FIELDS[] = {
    {.key = "substrate",
     .kind = MDR_FIELD_TEXT,
     .may = MDR_FIELD_ALWAYS,
     .must = MDR_FIELD_ALWAYS,
     .offset = offsetof(mdr_recipe_post_from, substrate)},
    {.key = "shade",
     .kind = MDR_FIELD_TEXT,
     .may = MDR_FIELD_ALWAYS,
     .offset = offsetof(mdr_recipe_post_from, shade)},
    {.key = "machine",
     .kind = MDR_FIELD_TEXT,
     .may = MDR_FIELD_ALWAYS,
     .offset = offsetof(mdr_recipe_post_from, machine)},
    {.key = "best_guess",
     .kind = MDR_FIELD_BOOL,
     .may = MDR_FIELD_ALWAYS,
     .offset = offsetof(mdr_recipe_post_from, best_guess)},
};
static const mdr_shape FROM_SHAPE = {.what = "samples of the mill",
                                     .fields = FROM_FIELDS,
                                     .n_fields = N_OF(FROM_FIELDS),
                                     .size = sizeof(mdr_recipe_post_from),
                                     .null_is_absent = true};

static const mdr_field TOP_FIELDS[] = {
    {.key = "files", .kind = MDR_FIELD_OBJECT, .may = MDR_FIELD_ALWAYS, .shape = &FILES_SHAPE},
    {.key = "from",
     .kind = MDR_FIELD_OBJECT,
     .may = MDR_FIELD_ALWAYS,
     .offset = offsetof(mdr_recipe_post, from),
     .has = offsetof(mdr_recipe_post, has_from),
     .shape = &FROM_SHAPE}};
static const mdr_shape TOP_SHAPE = {.what = "a question with files",
                                    .fields = TOP_FIELDS,
                                    .n_fields = N_OF(TOP_FIELDS),
                                    .size = sizeof(mdr_recipe_post),
                                    .null_is_absent = true};

static void check_names(mdr_reader *r, mdr_recipe_post *p)
{
    for (int i = 0; i < MDR_RECIPE_TEXT_COUNT; i++) {
        mdr_file_text_check(r, FILES_FIELDS[i].key, &p->files[i]);
    }
}

/* Samples come from one place. */
static void check_sources(mdr_reader *r, mdr_recipe_post *p)
{
    for (int i = 0; i < MDR_RECIPE_TEXT_COUNT && p->has_from; i++) {
        if (p->files[i].name != NULL) {
            mdr_reader_say(r, "from", "samples are given as files and from the mill",
                           "leave out files, or from");
            return;
        }
    }
}

/* The files go into the record and out of the document; what is left is the question. */
static void part(mdr_reader *r, json_t *doc, mdr_recipe_post *p)
{
    json_t *alone = json_object();
    if (alone == NULL) {
        r->no_memory = true;
        return;
    }
    for (int i = 0; i < N_OF(TOP_FIELDS); i++) {
        json_t *member = json_object_get(doc, TOP_FIELDS[i].key);
        if (member != NULL) {
            r->no_memory = json_object_set(alone, TOP_FIELDS[i].key, member) != 0 || r->no_memory;
            (void)json_object_del(doc, TOP_FIELDS[i].key);
        }
    }
    mdr_reader_fill(r, alone, &TOP_SHAPE, p);
    json_decref(alone);
    check_names(r, p);
    check_sources(r, p);
    char *rest = json_dumps(doc, JSON_COMPACT | JSON_REAL_PRECISION(17));
    p->question_len = rest != NULL ? strlen(rest) : 0;
    p->question = rest != NULL ? mdr_arena_text_n(r->arena, rest, p->question_len) : NULL;
    r->no_memory = r->no_memory || p->question == NULL;
    free(rest);
}

mdr_code mdr_wire_recipe_post_read(const char *text, size_t len, mdr_arena *arena,
                                   mdr_err_list *found, mdr_recipe_post *out, mdr_err *err)
{
    mdr_reader r = {.arena = arena, .found = found};
    mdr_recipe_post p = {.question = NULL};
    json_t *doc = mdr_reader_parse(&r, text, len, MDR_FILE_POST_MAX);
    if (doc != NULL) {
        part(&r, doc, &p);
        json_decref(doc);
    }
    MDR_TRY(mdr_reader_done(&r, err));
    *out = p;
    return MDR_OK;
}
