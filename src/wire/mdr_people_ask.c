#include "wire/mdr_people_ask.h"

#include "wire/mdr_shape.h"

enum { PEOPLE_POST_MAX = 16 << 10 }; /* names and secrets only */

#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))
#define ALWAYS  MDR_FIELD_ALWAYS
#define TEXT(rec, key_, must_)                                                \
    {                                                                         \
        .key = #key_, .kind = MDR_FIELD_TEXT, .may = ALWAYS, .must = (must_), \
        .offset = offsetof(rec, key_)                                         \
    }
#define SHAPE(name, rec, what_, fields_)                      \
    static const mdr_shape name = {.what = (what_),           \
                                   .fields = (fields_),       \
                                   .n_fields = N_OF(fields_), \
                                   .size = sizeof(rec),       \
                                   .null_is_absent = true}

static const mdr_field SIGN_IN_FIELDS[] = {
    TEXT(mdr_sign_in_post, person_id, 0), TEXT(mdr_sign_in_post, password, 0),
    TEXT(mdr_sign_in_post, badge, 0),     TEXT(mdr_sign_in_post, pin, 0),
    TEXT(mdr_sign_in_post, device, 0),
};
SHAPE(SIGN_IN_SHAPE, mdr_sign_in_post, "a sign-in", SIGN_IN_FIELDS);

static const mdr_field UNLOCK_FIELDS[] = {
    TEXT(mdr_unlock_post, password, 0),
    TEXT(mdr_unlock_post, pin, 0),
};
SHAPE(UNLOCK_SHAPE, mdr_unlock_post, "an unlocking", UNLOCK_FIELDS);

static const mdr_field PASSWORD_FIELDS[] = {
    TEXT(mdr_password_put, was, ALWAYS),
    TEXT(mdr_password_put, password, ALWAYS),
};
SHAPE(PASSWORD_SHAPE, mdr_password_put, "a new password", PASSWORD_FIELDS);

#define PERSON_REST                                                                             \
    TEXT(mdr_person_put, password, 0), TEXT(mdr_person_put, badge, 0),                          \
        TEXT(mdr_person_put, pin, 0),                                                           \
    {                                                                                           \
        .key = "active", .kind = MDR_FIELD_BOOL, .may = ALWAYS,                                 \
        .offset = offsetof(mdr_person_put, active), .has = offsetof(mdr_person_put, has_active) \
    }
static const mdr_field NEW_FIELDS[] = {
    TEXT(mdr_person_put, person_id, ALWAYS),
    TEXT(mdr_person_put, name, ALWAYS),
    TEXT(mdr_person_put, roles, ALWAYS),
    PERSON_REST,
};
SHAPE(NEW_SHAPE, mdr_person_put, "a new person", NEW_FIELDS);

static const mdr_field CHANGE_FIELDS[] = {
    TEXT(mdr_person_put, name, 0),
    TEXT(mdr_person_put, roles, 0),
    PERSON_REST,
};
SHAPE(CHANGE_SHAPE, mdr_person_put, "a change of a person", CHANGE_FIELDS);

typedef struct document {
    const char *text;
    size_t len;
    const mdr_shape *shape;
} document;

static mdr_code read(const document *d, mdr_arena *arena, mdr_err_list *found, void *out,
                     mdr_err *err)
{
    mdr_reader r = {.arena = arena, .found = found};
    json_t *doc = mdr_reader_parse(&r, d->text, d->len, PEOPLE_POST_MAX);
    if (doc != NULL) {
        mdr_reader_fill(&r, doc, d->shape, out);
        json_decref(doc);
    }
    return mdr_reader_done(&r, err);
}

mdr_code mdr_wire_sign_in_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                               mdr_sign_in_post *out, mdr_err *err)
{
    mdr_sign_in_post p = {0};
    MDR_TRY(read(&(document){text, len, &SIGN_IN_SHAPE}, arena, found, &p, err));
    *out = p;
    return MDR_OK;
}

mdr_code mdr_wire_unlock_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                              mdr_unlock_post *out, mdr_err *err)
{
    mdr_unlock_post p = {0};
    MDR_TRY(read(&(document){text, len, &UNLOCK_SHAPE}, arena, found, &p, err));
    *out = p;
    return MDR_OK;
}

mdr_code mdr_wire_password_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                                mdr_password_put *out, mdr_err *err)
{
    mdr_password_put p = {0};
    MDR_TRY(read(&(document){text, len, &PASSWORD_SHAPE}, arena, found, &p, err));
    *out = p;
    return MDR_OK;
}

mdr_code mdr_wire_person_read(const char *text, size_t len, bool fresh, mdr_arena *arena,
                              mdr_err_list *found, mdr_person_put *out, mdr_err *err)
{
    mdr_person_put p = {.active = true};
    const document d = {text, len, fresh ? &NEW_SHAPE : &CHANGE_SHAPE};
    MDR_TRY(read(&d, arena, found, &p, err));
    *out = p;
    return MDR_OK;
}
