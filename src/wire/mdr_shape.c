#include "wire/mdr_shape.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

#include "wire/mdr_shape_in.h"

/* -- parsing -- */

json_t *mdr_reader_parse(mdr_reader *r, const char *text, size_t len, size_t most)
{
    mdr_err e;
    if (len > most) {
        (void)MDR_FAIL(&e, MDR_E_PARSE, "", "the document is too large");
        mdr_err_value(&e, "%zu bytes", len);
        mdr_err_allowed(&e, "at most %zu bytes", most);
        mdr_err_remedy(&e, "leave out what is not asked for");
        mdr_reader_fault(r, NULL, &e);
        return NULL;
    }
    if (len == 0) {
        (void)MDR_FAIL(&e, MDR_E_PARSE, "", "the document is empty");
        mdr_err_allowed(&e, "a JSON object");
        mdr_err_remedy(&e, "give the document; this one has not a single character");
        mdr_reader_fault(r, NULL, &e);
        return NULL;
    }
    json_error_t at;
    json_t *doc = json_loadb(text, len, JSON_REJECT_DUPLICATES, &at);
    if (doc != NULL && json_is_object(doc)) {
        return doc;
    }
    if (doc != NULL) {
        mdr_shape_wrong_type(r, "the document", doc, "an object");
        json_decref(doc);
        return NULL;
    }
    r->no_memory = json_error_code(&at) == json_error_out_of_memory;
    (void)MDR_FAIL(&e, MDR_E_PARSE, "", "this is not JSON: %s", at.text);
    mdr_err_remedy(&e,
                   "JSON has double quotation marks, no comma after the last member, no comments");
    char where[32];
    (void)snprintf(where, sizeof where, "%d:%d", at.line, at.column);
    const size_t back = mdr_shape_enter(r, where, -1);
    mdr_reader_fault(r, NULL, &e);
    mdr_shape_leave(r, back);
    return NULL;
}

/* -- fields -- */

const char *mdr_words_id(const mdr_words *words, int i)
{
    return i >= 0 && i < words->n ? words->ids[i] : NULL;
}

static void store(void *record, size_t offset, const void *value, size_t size)
{
    memcpy((char *)record + offset, value, size);
}

static void read_text(mdr_reader *r, const mdr_field *f, const json_t *v, void *record)
{
    if (!json_is_string(v)) {
        mdr_shape_wrong_type(r, f->key, v, "a text");
        return;
    }
    const char *copy = mdr_arena_text_n(r->arena, json_string_value(v), json_string_length(v));
    if (copy == NULL) {
        r->no_memory = true;
        return;
    }
    store(record, f->offset, &copy, sizeof copy);
}

static void read_number(mdr_reader *r, const mdr_field *f, const json_t *v, void *record)
{
    if (!json_is_number(v)) {
        mdr_shape_wrong_type(r, f->key, v, "a number");
        return;
    }
    const double number = json_number_value(v);
    store(record, f->offset, &number, sizeof number);
}

static void read_int(mdr_reader *r, const mdr_field *f, const json_t *v, void *record)
{
    const json_int_t wide = json_integer_value(v);
    if (!json_is_integer(v) || wide < INT_MIN || wide > INT_MAX) {
        mdr_shape_wrong_type(r, f->key, v, "a whole number");
        return;
    }
    const int number = (int)wide;
    store(record, f->offset, &number, sizeof number);
}

static void read_long(mdr_reader *r, const mdr_field *f, const json_t *v, void *record)
{
    static const json_int_t MOST = (json_int_t)1 << 53; /* a page counts in doubles */
    const json_int_t wide = json_integer_value(v);
    if (!json_is_integer(v) || wide < -MOST || wide > MOST) {
        mdr_shape_wrong_type(r, f->key, v, "a whole number");
        return;
    }
    const int64_t number = wide;
    store(record, f->offset, &number, sizeof number);
}

static void read_bool(mdr_reader *r, const mdr_field *f, const json_t *v, void *record)
{
    if (!json_is_boolean(v)) {
        mdr_shape_wrong_type(r, f->key, v, "true or false");
        return;
    }
    const bool yes = json_is_true(v);
    store(record, f->offset, &yes, sizeof yes);
}

static int word_index(const mdr_words *words, const json_t *v)
{
    const char *text = json_string_value(v); /* NULL when it is no string */
    for (int i = 0; text != NULL && i < words->n; i++) {
        if (strcmp(words->ids[i], text) == 0) {
            return i;
        }
    }
    return -1;
}

static void read_word(mdr_reader *r, const mdr_field *f, const json_t *v, void *record)
{
    if (!json_is_string(v)) {
        mdr_shape_wrong_type(r, f->key, v, "a text");
        return;
    }
    const int index = word_index(f->words, v);
    if (index < 0) {
        mdr_shape_wrong_word(r, f, json_string_value(v));
        return;
    }
    store(record, f->offset, &index, sizeof index);
}

static void read_exact(mdr_reader *r, const mdr_field *f, const json_t *v)
{
    if (!json_is_string(v) || strcmp(json_string_value(v), f->exact) != 0) {
        mdr_err e;
        (void)MDR_FAIL(&e, MDR_E_PARSE, "", "this is another kind of document");
        mdr_shape_show_value(&e, v);
        mdr_err_allowed(&e, "\"%s\"", f->exact);
        mdr_reader_fault(r, f->key, &e);
    }
}

/* An array of no more elements than are read; else false after a fault. */
static bool is_list(mdr_reader *r, const char *key, const json_t *v, int most)
{
    if (!json_is_array(v)) {
        mdr_shape_wrong_type(r, key, v, "a list");
        return false;
    }
    const size_t n = json_array_size(v);
    if (n <= (size_t)most) {
        return true;
    }
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "", "too many %s", key);
    mdr_err_value(&e, "%zu", n);
    mdr_err_allowed(&e, "at most %d", most);
    mdr_err_remedy(&e, "leave out what goes beyond, or ask in parts");
    mdr_reader_fault(r, key, &e);
    return false;
}

static void read_numbers(mdr_reader *r, const mdr_field *f, const json_t *v, void *record)
{
    if (!is_list(r, f->key, v, f->most)) {
        return;
    }
    const int n = (int)json_array_size(v);
    double *numbers = n > 0 ? MDR_NEW_N(r->arena, double, (size_t)n) : NULL;
    if (n > 0 && numbers == NULL) {
        r->no_memory = true;
        return;
    }
    for (int i = 0; i < n; i++) {
        const json_t *element = json_array_get(v, (size_t)i);
        if (json_is_number(element)) {
            numbers[i] = json_number_value(element);
        } else {
            const size_t back = mdr_shape_enter(r, f->key, i);
            mdr_shape_wrong_type(r, NULL, element, "a number");
            mdr_shape_leave(r, back);
        }
    }
    store(record, f->offset, &numbers, sizeof numbers);
    store(record, f->count, &n, sizeof n);
}

static void read_set(mdr_reader *r, const mdr_field *f, const json_t *v, void *record)
{
    uint32_t set = 0;
    if (!is_list(r, f->key, v, f->words->n)) {
        return;
    }
    for (size_t i = 0; i < json_array_size(v); i++) {
        const json_t *element = json_array_get(v, i);
        const int index = word_index(f->words, element);
        if (index >= 0) {
            set |= 1u << (unsigned)index;
        } else {
            const size_t back = mdr_shape_enter(r, f->key, (int)i);
            mdr_shape_wrong_type(r, NULL, element, "one of the words that are known here");
            mdr_shape_leave(r, back);
        }
    }
    store(record, f->offset, &set, sizeof set);
}

/* Objects within objects: as deep as the shapes are nested, which is fixed at build time.
 * NOLINTBEGIN(misc-no-recursion) */
static void read_object(mdr_reader *r, const mdr_field *f, json_t *v, void *record)
{
    if (!json_is_object(v)) {
        mdr_shape_wrong_type(r, f->key, v, "an object");
        return;
    }
    const size_t back = mdr_shape_enter(r, f->key, -1);
    mdr_reader_fill(r, v, f->shape, (char *)record + f->offset);
    mdr_shape_leave(r, back);
}

static void read_list(mdr_reader *r, const mdr_field *f, const json_t *v, void *record)
{
    const mdr_shape *s = f->shape;
    if (!is_list(r, f->key, v, s->most)) {
        return;
    }
    const size_t n = json_array_size(v);
    char *elements = n > 0 ? mdr_arena_alloc(r->arena, n, s->size) : NULL;
    if (n > 0 && elements == NULL) {
        r->no_memory = true;
        return;
    }
    for (size_t i = 0; i < n && !r->no_memory; i++) {
        json_t *element = json_array_get(v, i);
        char *into = elements + i * s->size;
        if (s->absent != NULL) {
            memcpy(into, s->absent, s->size);
        }
        const size_t back = mdr_shape_enter(r, f->key, (int)i);
        if (json_is_object(element)) {
            mdr_reader_fill(r, element, s, into);
        } else {
            mdr_shape_wrong_type(r, NULL, element, "an object");
        }
        mdr_shape_leave(r, back);
    }
    const int count = (int)n;
    store(record, f->offset, &elements, sizeof elements);
    store(record, f->count, &count, sizeof count);
}

static void read_field(mdr_reader *r, const mdr_field *f, json_t *v, void *record)
{
    switch (f->kind) {
    case MDR_FIELD_TEXT:
        read_text(r, f, v, record);
        break;
    case MDR_FIELD_NUMBER:
        read_number(r, f, v, record);
        break;
    case MDR_FIELD_INT:
        read_int(r, f, v, record);
        break;
    case MDR_FIELD_LONG:
        read_long(r, f, v, record);
        break;
    case MDR_FIELD_SET:
        read_set(r, f, v, record);
        break;
    case MDR_FIELD_BOOL:
        read_bool(r, f, v, record);
        break;
    case MDR_FIELD_WORD:
        read_word(r, f, v, record);
        break;
    case MDR_FIELD_EXACT:
        read_exact(r, f, v);
        break;
    case MDR_FIELD_OBJECT:
        read_object(r, f, v, record);
        break;
    case MDR_FIELD_NUMBERS:
        read_numbers(r, f, v, record);
        break;
    case MDR_FIELD_LIST:
        read_list(r, f, v, record);
        break;
    }
    if (f->has != 0) {
        const bool yes = true;
        store(record, f->has, &yes, sizeof yes);
    }
}

/* -- objects -- */

static const mdr_field *field_of(const mdr_shape *s, const char *key, uint32_t mask)
{
    for (int i = 0; i < s->n_fields; i++) {
        if ((s->fields[i].may & mask) != 0 && strcmp(s->fields[i].key, key) == 0) {
            return &s->fields[i];
        }
    }
    return NULL;
}

/* The bit of the word that decides; every bit when nothing decides or the word is not known
 * (which is reported when it is read as a field). */
static uint32_t mask_of(const mdr_shape *s, const json_t *object, const char **word)
{
    *word = NULL;
    if (s->by == NULL) {
        return MDR_FIELD_ALWAYS;
    }
    const json_t *v = json_object_get(object, s->by);
    const mdr_field *f = field_of(s, s->by, MDR_FIELD_ALWAYS);
    const int index = v != NULL && f != NULL ? word_index(f->words, v) : -1;
    if (index < 0) {
        return MDR_FIELD_ALWAYS;
    }
    *word = f->words->ids[index];
    return (uint32_t)1 << index;
}

static bool given(const mdr_shape *s, const json_t *v)
{
    return v != NULL && !(s->null_is_absent && json_is_null(v));
}

static void missing_keys(mdr_reader *r, const json_t *object, const mdr_shape *s, uint32_t mask)
{
    for (int i = 0; i < s->n_fields; i++) {
        const mdr_field *f = &s->fields[i];
        /* with the deciding word unknown, only what every word needs is missed */
        const bool needed =
            mask == MDR_FIELD_ALWAYS ? f->must == MDR_FIELD_ALWAYS : (f->must & mask) != 0;
        if (needed && !given(s, json_object_get(object, f->key))) {
            mdr_shape_missing_key(r, s, f);
        }
    }
}

void mdr_reader_fill(mdr_reader *r, json_t *object, const mdr_shape *s, void *record)
{
    const char *word = NULL;
    const uint32_t mask = mask_of(s, object, &word);
    missing_keys(r, object, s, mask);
    const char *key;
    json_t *v;
    json_object_foreach(object, key, v)
    {
        const mdr_field *f = field_of(s, key, mask);
        if (f == NULL) {
            mdr_shape_unknown_key(r, s, mask, word, key);
        } else if (given(s, v)) {
            read_field(r, f, v, record);
        }
    }
}
/* NOLINTEND(misc-no-recursion) */
