/* What is said of a document that cannot be read, and where. */
#include <stdio.h>
#include <string.h>

#include "wire/mdr_near.h"
#include "wire/mdr_shape_in.h"

/* -- places -- */

void mdr_reader_fault(mdr_reader *r, const char *key, mdr_err *e)
{
    (void)snprintf(e->place, sizeof e->place, "%s", r->place);
    if (key != NULL) {
        const size_t n = strlen(e->place);
        (void)snprintf(e->place + n, sizeof e->place - n, "%s%.60s", n > 0 ? "." : "", key);
    }
    if (r->count++ == 0) {
        r->first = *e;
    }
    if (r->found != NULL) {
        mdr_err_list_add(r->found, e);
    }
}

void mdr_reader_say(mdr_reader *r, const char *key, const char *message, const char *remedy)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_PARSE, "", "%s", message);
    mdr_err_remedy(&e, "%s", remedy);
    mdr_reader_fault(r, key, &e);
}

mdr_code mdr_reader_done(const mdr_reader *r, mdr_err *err)
{
    if (r->no_memory) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to read the document");
    }
    if (r->count == 0) {
        return MDR_OK;
    }
    if (err != NULL) {
        *err = r->first;
    }
    return r->first.code;
}

size_t mdr_shape_enter(mdr_reader *r, const char *key, int index)
{
    const size_t back = r->place_len;
    char step[80];
    if (index < 0) {
        (void)snprintf(step, sizeof step, "%s%.60s", back > 0 ? "." : "", key);
    } else {
        (void)snprintf(step, sizeof step, "%s%.50s[%d]", back > 0 ? "." : "", key, index);
    }
    const size_t n = strlen(step);
    if (back + n < sizeof r->place) {
        memcpy(r->place + back, step, n + 1);
        r->place_len = back + n;
    }
    return back;
}

void mdr_shape_leave(mdr_reader *r, size_t back)
{
    r->place_len = back;
    r->place[back] = '\0';
}

static const char *type_words(const json_t *v)
{
    switch (json_typeof(v)) {
    case JSON_OBJECT:
        return "an object";
    case JSON_ARRAY:
        return "a list";
    case JSON_STRING:
        return "a text";
    case JSON_INTEGER:
    case JSON_REAL:
        return "a number";
    case JSON_TRUE:
    case JSON_FALSE:
        return "true or false";
    case JSON_NULL:
        break;
    }
    return "null";
}

void mdr_shape_show_value(mdr_err *e, const json_t *v)
{
    if (json_is_string(v)) {
        mdr_err_value(e, "%s", json_string_value(v));
    } else if (json_is_integer(v)) {
        mdr_err_value(e, "%lld", (long long)json_integer_value(v));
    } else if (json_is_real(v)) {
        mdr_err_value(e, "%.15g", json_real_value(v));
    } else if (json_is_boolean(v)) {
        mdr_err_value(e, "%s", json_is_true(v) ? "true" : "false");
    } else {
        mdr_err_value(e, "%s", type_words(v));
    }
}

void mdr_shape_wrong_type(mdr_reader *r, const char *key, const json_t *v, const char *wanted)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_PARSE, "", "%.60s must be %s, not %s", key != NULL ? key : "this",
                   wanted, type_words(v));
    mdr_shape_show_value(&e, v);
    mdr_err_allowed(&e, "%s", wanted);
    if (json_is_string(v) && strstr(wanted, "number") != NULL) {
        mdr_err_remedy(&e,
                       "write the number without quotation marks, with a point as decimal sign");
    } else {
        mdr_err_remedy(&e, "write it as %s", wanted);
    }
    mdr_reader_fault(r, key, &e);
}

/* Gathers words with commas between; the last one that fits ends the text. */
typedef struct choices {
    char text[200];
    size_t len;
} choices;

static void add_choice(choices *c, const char *word)
{
    const size_t n = strlen(word) + (c->len > 0 ? 2 : 0);
    if (c->len + n < sizeof c->text) {
        (void)snprintf(c->text + c->len, sizeof c->text - c->len, "%s%s", c->len > 0 ? ", " : "",
                       word);
        c->len += n;
    }
}

/* A long choice goes where there is room for it. */
static void show_choices(mdr_err *e, const choices *c, const char *nearest)
{
    if (c->len < sizeof e->allowed) {
        mdr_err_allowed(e, "%s", c->text);
        if (nearest != NULL) {
            mdr_err_remedy(e, "did you mean \"%s\"?", nearest);
        }
    } else {
        mdr_err_remedy(e, "one of: %s", c->text);
    }
}

typedef struct nearest {
    const char *typed, *word;
    int distance;
} nearest;

static void try_near(nearest *n, const char *word)
{
    const int d = mdr_near_distance(n->typed, word);
    if (mdr_near_enough(n->typed, d) && (n->word == NULL || d < n->distance)) {
        n->word = word;
        n->distance = d;
    }
}

void mdr_shape_wrong_word(mdr_reader *r, const mdr_field *f, const char *word)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_PARSE, "", "\"%.60s\" is no word for %s", word, f->key);
    mdr_err_value(&e, "%s", word);
    mdr_err_remedy(&e, "take one of these words");
    choices c = {.len = 0};
    nearest near = {.typed = word};
    for (int i = 0; i < f->words->n; i++) {
        add_choice(&c, f->words->ids[i]);
        try_near(&near, f->words->ids[i]);
    }
    show_choices(&e, &c, near.word);
    mdr_reader_fault(r, f->key, &e);
}

void mdr_shape_unknown_key(mdr_reader *r, const mdr_shape *s, uint32_t mask, const char *word,
                           const char *key)
{
    mdr_err e;
    if (word != NULL) {
        (void)MDR_FAIL(&e, MDR_E_PARSE, "", "%s \"%s\" has no \"%.60s\"", s->what, word, key);
    } else {
        (void)MDR_FAIL(&e, MDR_E_PARSE, "", "%s has no \"%.60s\"", s->what, key);
    }
    choices c = {.len = 0};
    nearest near = {.typed = key};
    for (int i = 0; i < s->n_fields; i++) {
        if ((s->fields[i].may & mask) != 0) {
            add_choice(&c, s->fields[i].key);
            try_near(&near, s->fields[i].key);
        }
    }
    mdr_err_value(&e, "%s", key);
    mdr_err_remedy(&e, "leave it out");
    show_choices(&e, &c, near.word);
    mdr_reader_fault(r, key, &e);
}

void mdr_shape_missing_key(mdr_reader *r, const mdr_shape *s, const mdr_field *f)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_PARSE, "", "%s needs \"%s\"", s->what, f->key);
    mdr_err_remedy(&e, "add \"%s\"", f->key);
    if (f->exact != NULL) {
        mdr_err_allowed(&e, "\"%s\"", f->exact);
    } else if (f->words != NULL) {
        choices c = {.len = 0};
        for (int k = 0; k < f->words->n; k++) {
            add_choice(&c, f->words->ids[k]);
        }
        show_choices(&e, &c, NULL);
    }
    mdr_reader_fault(r, f->key, &e);
}
