/* A desk asked as its callers do: answers looked up, refusals, too little memory. */
#ifndef DESK_KIT_H
#define DESK_KIT_H

#include "t.h"

#include <string.h>

#include "app/mdr_answer.h"

typedef struct desk_kit {
    mdr_arena *arena;
    mdr_code (*answer)(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                       const mdr_answer **out, mdr_err *err);
    mdr_code (*json)(mdr_blob question, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                     mdr_err *err);
} desk_kit;

static inline mdr_blob desk_blob(const char *text)
{
    return (mdr_blob){.bytes = text, .len = strlen(text)};
}

static inline const mdr_answer *desk_ask(const desk_kit *k, const char *question)
{
    const mdr_answer *a = NULL;
    mdr_err err = {0};
    if (k->answer(desk_blob(question), k->arena, NULL, &a, &err) != MDR_OK) {
        fail_msg("%s: %s, %s %s", question, err.msg, err.place, err.value);
    }
    return a;
}

/* NULL: there is no such line. */
static inline const mdr_answer_line *desk_find(const mdr_answer *a, const char *group,
                                               const char *key)
{
    for (int i = 0; i < a->n_lines; i++) {
        const char *in = a->lines[i].group != NULL ? a->lines[i].group : "";
        if (strcmp(in, group) == 0 && strcmp(a->lines[i].key, key) == 0) {
            return &a->lines[i];
        }
    }
    return NULL;
}

static inline const mdr_answer_line *desk_line(const mdr_answer *a, const char *group,
                                               const char *key)
{
    const mdr_answer_line *line = desk_find(a, group, key);
    if (line == NULL) {
        fail_msg("%s has no %s.%s", a->question, group, key);
    }
    return line;
}

typedef struct desk_number {
    const char *question, *group, *key;
    double want, tol;
    const char *src;
} desk_number;

static inline void desk_check_numbers(const desk_kit *k, const desk_number *rows, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        const mdr_answer *a = desk_ask(k, rows[i].question);
        const mdr_answer_line *l = desk_line(a, rows[i].group, rows[i].key);
        if (l->kind != MDR_ANSWER_NUMBER || !(fabs(l->value - rows[i].want) <= rows[i].tol)) {
            fail_msg("%s\n    %s.%s: got %.10g, want %.10g +- %g\n    source: %s", rows[i].question,
                     rows[i].group, rows[i].key, l->value, rows[i].want, rows[i].tol, rows[i].src);
        }
        assert_true(a->n_whys > 0);
    }
}

typedef struct desk_refusal {
    const char *question, *place;
    mdr_code code;
} desk_refusal;

static inline void desk_check_refusals(const desk_kit *k, const desk_refusal *rows, size_t n)
{
    enum { FOUND_MAX = 20 };
    for (size_t i = 0; i < n; i++) {
        mdr_blob out = {0};
        mdr_err err = {0};
        mdr_err_list found = mdr_err_list_make(k->arena, FOUND_MAX);
        const mdr_code rc = k->json(desk_blob(rows[i].question), k->arena, &found, &out, &err);
        if (rc != rows[i].code || strcmp(err.place, rows[i].place) != 0) {
            fail_msg("%s: %s at %s, want %s at %s", rows[i].question, mdr_code_id(rc), err.place,
                     mdr_code_id(rows[i].code), rows[i].place);
        }
        assert_true(err.remedy[0] != '\0' && out.len == 0);
    }
}

/* With memory growing step by step: want of it and nothing else, until it is enough. Returns how
 * often it was not. */
static inline int desk_starve(const desk_kit *k, const char *question)
{
    int failed = 0;
    mdr_code rc = MDR_E_NOMEM;
    for (size_t room = 256; rc != MDR_OK; room += 256) {
        mdr_arena *little = mdr_arena_new(room);
        mdr_blob out = {0};
        mdr_err err = {0};
        assert_non_null(little);
        rc = k->json(desk_blob(question), little, NULL, &out, &err);
        assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
        failed += rc != MDR_OK;
        mdr_arena_free(little);
    }
    return failed;
}

#endif
