/* Files of measured cloth for tests, and questions about them. Curves and colours are invented. */
#ifndef COLOUR_KIT_H
#define COLOUR_KIT_H

#include <stdio.h>
#include <string.h>

#include "app/mdr_app_colour.h"
#include "t.h"

enum { COLOUR_TEXT = 32 * 1024 };

typedef struct colour_kit {
    mdr_arena *arena;
    mdr_colour_ask ask;
    char text[MDR_COLOUR_FILES_MAX][COLOUR_TEXT];
} colour_kit;

/* A new question; without files yet. */
static inline void colour_begin(colour_kit *k, mdr_colour_question question)
{
    memset(&k->ask, 0, sizeof k->ask);
    k->ask.question = question;
}

static inline void colour_close_file(colour_kit *k)
{
    mdr_colour_file *f = &k->ask.file[k->ask.n_files];
    f->name = k->ask.n_files == 0 ? "one.csv" : "two.csv";
    f->text = (mdr_blob){k->text[k->ask.n_files], strlen(k->text[k->ask.n_files])};
    k->ask.n_files++;
}

/* A file of flat curves: "name,specular,R;" for each. */
static inline void colour_flat(colour_kit *k, const char *samples)
{
    char *out = k->text[k->ask.n_files];
    size_t len = (size_t)snprintf(out, COLOUR_TEXT, "name,specular");
    for (int nm = 400; nm <= 700; nm += 10) {
        len += (size_t)snprintf(out + len, COLOUR_TEXT - len, ",%d", nm);
    }
    len += (size_t)snprintf(out + len, COLOUR_TEXT - len, "\n");
    for (const char *at = samples; *at != '\0';) {
        char name[40], specular[20];
        double r = 0;
        assert_int_equal(sscanf(at, "%39[^,],%19[^,],%lf", name, specular, &r), 3);
        len += (size_t)snprintf(out + len, COLOUR_TEXT - len, "%s,%s", name, specular);
        for (int i = 0; i < 31; i++) {
            len += (size_t)snprintf(out + len, COLOUR_TEXT - len, ",%.9f", r);
        }
        len += (size_t)snprintf(out + len, COLOUR_TEXT - len, "\n");
        assert_true(len < COLOUR_TEXT - 1000);
        at += strcspn(at, ";");
        at += *at == ';';
    }
    colour_close_file(k);
}

/* A file of colours: "name L a b" in lines, names in quotes; `light` as "D65 10", or "". */
static inline void colour_labs(colour_kit *k, const char *light, const char *lines)
{
    char name[20] = "";
    int degree = 0;
    char head[120] = "";
    if (sscanf(light, "%19s %d", name, &degree) == 2) {
        (void)snprintf(head, sizeof head, "ILLUMINATION_NAME \"%s\"\nOBSERVER_ANGLE \"%d\"\n", name,
                       degree);
    }
    (void)snprintf(k->text[k->ask.n_files], COLOUR_TEXT,
                   "CGATS.17\n%sBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n"
                   "BEGIN_DATA\n%s\nEND_DATA\n",
                   head, lines);
    colour_close_file(k);
}

static inline void colour_numbers(colour_kit *k, mdr_colour_number number, int n, const double *v)
{
    k->ask.number[number].n = n;
    memcpy(k->ask.number[number].v, v, (size_t)n * sizeof *v);
}

static inline void colour_number(colour_kit *k, mdr_colour_number number, double v)
{
    colour_numbers(k, number, 1, &v);
}

static inline const mdr_sheet *colour_ask(const colour_kit *k)
{
    const mdr_sheet *s = NULL;
    mdr_err err = {0};
    if (mdr_app_colour(&k->ask, k->arena, NULL, &s, &err) != MDR_OK) {
        fail_msg("%s: %s, %s %s", mdr_colour_question_id(k->ask.question), err.msg, err.place,
                 err.value);
    }
    return s;
}

static inline const mdr_sheet_table *colour_table(const mdr_sheet *s, const char *key)
{
    for (int i = 0; i < s->n_tables; i++) {
        if (strcmp(s->tables[i].key, key) == 0) {
            return &s->tables[i];
        }
    }
    fail_msg("%s has no table %s", s->question, key);
    return NULL;
}

static inline const mdr_cell *colour_cell(const mdr_sheet *s, const char *table, int row,
                                          const char *key)
{
    const mdr_sheet_table *t = colour_table(s, table);
    assert_int_equal(t->at, t->n_rows * t->n_columns); /* every cell was written */
    assert_in_range(row, 0, t->n_rows - 1);
    for (int i = 0; i < t->n_columns; i++) {
        if (strcmp(t->columns[i].key, key) == 0) {
            return &t->cells[row * t->n_columns + i];
        }
    }
    fail_msg("%s.%s has no column %s", s->question, table, key);
    return NULL;
}

static inline double colour_value(const mdr_sheet *s, const char *table, int row, const char *key)
{
    const mdr_cell *c = colour_cell(s, table, row, key);
    assert_true(c->kind == MDR_CELL_NUMBER || c->kind == MDR_CELL_FLAG);
    return c->value;
}

static inline const char *colour_text(const mdr_sheet *s, const char *table, int row,
                                      const char *key)
{
    const mdr_cell *c = colour_cell(s, table, row, key);
    assert_int_equal(c->kind, MDR_CELL_TEXT);
    return c->text;
}

static inline const mdr_cell *colour_line(const mdr_sheet *s, const char *key)
{
    for (int i = 0; i < s->n_lines; i++) {
        if (strcmp(s->lines[i].key, key) == 0) {
            return &s->lines[i].cell;
        }
    }
    fail_msg("%s has no %s", s->question, key);
    return NULL;
}

/* Functions, not macros: a test of many numbers stays easy to read. */
static inline void colour_de_near(double got, double want, double tol, const char *src)
{
    CHECK_NEAR(got, want, tol, src);
}

static inline void colour_near(const mdr_sheet *s, const char *table, int row, const char *key,
                               double want, double tol, const char *src)
{
    const double got = colour_value(s, table, row, key);
    if (!(fabs(got - want) <= tol)) {
        fail_msg("%s[%d].%s: got %.10g, want %.10g +- %g\n    source: %s", table, row, key, got,
                 want, tol, src);
    }
}

static inline void colour_line_near(const mdr_sheet *s, const char *key, double want, double tol,
                                    const char *src)
{
    const mdr_cell *c = colour_line(s, key);
    if (c->kind == MDR_CELL_NONE || !(fabs(c->value - want) <= tol)) {
        fail_msg("%s: got %.10g, want %.10g +- %g\n    source: %s", key, c->value, want, tol, src);
    }
}

static inline int colour_has_note(const mdr_sheet *s, const char *part)
{
    for (int i = 0; i < s->n_notes; i++) {
        if (strstr(s->notes[i], part) != NULL) {
            return 1;
        }
    }
    return 0;
}

/* Refused with this code at this place, and nothing answered. */
static inline void colour_refused(const colour_kit *k, mdr_code code, const char *place,
                                  const char *message)
{
    mdr_blob out = {0};
    mdr_err err = {0};
    mdr_err_list found = mdr_err_list_make(k->arena, 20);
    const mdr_code rc = mdr_app_colour_json(&k->ask, k->arena, &found, &out, &err);
    if (rc != code || strcmp(err.place, place) != 0 || strstr(err.msg, message) == NULL) {
        fail_msg("%s: got %s at %s (%s), want %s at %s (%s)",
                 mdr_colour_question_id(k->ask.question), mdr_code_id(rc), err.place, err.msg,
                 mdr_code_id(code), place, message);
    }
    assert_true(err.remedy[0] != '\0' && out.len == 0);
}

/* L* of a flat reflectance: 116 r^(1/3) - 16 */
static inline double l_of(double r)
{
    return 116.0 * cbrt(r) - 16.0;
}

/* R of K/S: 1 + k - sqrt(k^2 + 2 k) */
static inline double r_of(double ks)
{
    return 1.0 + ks - sqrt(ks * ks + 2.0 * ks);
}

#endif
