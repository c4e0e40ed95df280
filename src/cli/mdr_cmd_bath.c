/* Questions about a bath that need no mill: the options become the question, as HTTP asks it. */
#include "cli/mdr_cmd_bath.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_bath.h"
#include "cli/mdr_term.h"

static const char *const PLACES[MDR_ASK_COUNT] = {
    [MDR_ASK_PH] = "ph",
    [MDR_ASK_DOSE] = "dose",
    [MDR_ASK_PROBE] = "probe",
    [MDR_ASK_SAME_PH] = "same_ph",
    [MDR_ASK_NEUTRALISE] = "neutralise",
    [MDR_ASK_TITRATE] = "titrate",
    [MDR_ASK_HARDNESS] = "hardness",
    [MDR_ASK_SALT] = "salt",
    [MDR_ASK_VAT] = "vat",
    [MDR_ASK_RINSE] = "rinse",
};

/* -- the question -- */

/* Value behind an option of this name; several questions may use the name. */
static const char *given(const mdr_cli *c, const char *name)
{
    for (int i = 0; mdr_bath_options[i].name != NULL; i++) {
        if (c->own[i] != NULL && strcmp(mdr_bath_options[i].name, name) == 0) {
            return c->own[i];
        }
    }
    return NULL;
}

static const mdr_own_opt *option_of(const char *name, mdr_bath_place place)
{
    for (const mdr_own_opt *o = mdr_bath_options; o->name != NULL; o++) {
        if ((o->of & (1u << place)) != 0 && strcmp(o->name, name) == 0) {
            return o;
        }
    }
    return NULL;
}

/* "60", " 60" and "0x3c" are numbers to C, only the first is one here. */
static bool read_number(const char *text, double *out)
{
    char *end = NULL;
    *out = strtod(text, &end);
    return text[0] != '\0' && text[strspn(text, "+-.0123456789eE")] == '\0' && *end == '\0' &&
           isfinite(*out);
}

static const char *member(mdr_cli *c, const mdr_own_opt *o, const char *text)
{
    if (o->is_word) {
        if (text[strspn(text,
                        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-")] !=
            '\0') {
            (void)mdr_cli_misuse(c, "`madder help bath` lists what it can be",
                                 "--%s: %s is no word it knows", o->name, text);
            return NULL;
        }
        return mdr_arena_printf(c->arena, ", \"%s\": \"%s\"", o->key, text);
    }
    double v = 0;
    if (!read_number(text, &v)) {
        (void)mdr_cli_misuse(c, "give a number such as 20 or 6.5, with a point and without unit",
                             "--%s: %s is not a number", o->name, text);
        return NULL;
    }
    return mdr_arena_printf(c->arena, ", \"%s\": %.17g", o->key, v);
}

/* NULL after a complaint, or without memory. */
static const char *question_of(mdr_cli *c, mdr_bath_place place)
{
    const char *json = mdr_arena_printf(c->arena, "{\"do\": \"%s\"", PLACES[place]);
    for (int i = 0; json != NULL && mdr_bath_options[i].name != NULL; i++) {
        const mdr_own_opt *o = &mdr_bath_options[i];
        if (c->own[i] != NULL && option_of(o->name, place) == NULL) {
            char remedy[80];
            (void)snprintf(remedy, sizeof remedy, "`madder help %s` lists its options",
                           c->command->name);
            (void)mdr_cli_misuse(c, remedy, "`madder bath %s` has no option --%s", PLACES[place],
                                 o->name);
            return NULL;
        }
        const char *text = given(c, o->name);
        if (text != NULL && option_of(o->name, place) == o) {
            const char *more = member(c, o, text);
            json = more != NULL ? mdr_arena_printf(c->arena, "%s%s", json, more) : NULL;
        }
    }
    return json != NULL ? mdr_arena_printf(c->arena, "%s}", json) : NULL;
}

/* -- the answer -- */

/* Four figures are more than any of these are known to. */
static const char *figures(double v, const char *unit, char out[32])
{
    enum { FIGURES = 4 };
    if (strcmp(unit, "pH") == 0) {
        (void)snprintf(out, 32, "%.2f", v);
        return out;
    }
    if (fabs(v) >= 1e4) {
        return mdr_text_whole(v, out);
    }
    if (v != 0.0 && fabs(v) < 1e-3) {
        (void)snprintf(out, 32, "%.2e", v);
        return out;
    }
    const int tens = v != 0.0 ? (int)floor(log10(fabs(v))) : 0;
    const int decimals = FIGURES - 1 - tens;
    return mdr_text_number(v, decimals, out);
}

enum { LABEL_WIDTH = 44, NUMBER_WIDTH = 10 };

static void put_line(const mdr_answer *a, const mdr_answer_line *line)
{
    char number[32];
    (void)fputs(line->group != NULL ? "    " : "  ", stdout);
    mdr_text_pad(line->label, line->group != NULL ? LABEL_WIDTH - 2 : LABEL_WIDTH);
    if (line->kind == MDR_ANSWER_TEXT) {
        (void)printf("  %s\n", line->words);
    } else if (line->kind == MDR_ANSWER_NONE) {
        mdr_text_pad("-", -NUMBER_WIDTH);
        (void)puts("");
    } else {
        mdr_text_pad(figures(line->value, line->unit, number), -NUMBER_WIDTH);
        if (strcmp(line->unit, "pH") == 0 && a->has_uncertainty) {
            (void)printf(" +- %.2f\n", a->uncertainty_ph);
        } else {
            (void)printf("%s%s\n", line->unit[0] != '\0' ? " " : "", line->unit);
        }
    }
}

static void put_lines(const mdr_answer *a)
{
    const char *group = NULL;
    for (int i = 0; i < a->n_lines; i++) {
        const mdr_answer_line *line = &a->lines[i];
        if (line->group != NULL && (group == NULL || strcmp(group, line->group) != 0)) {
            (void)printf("  %s\n", line->group_label);
        }
        group = line->group;
        put_line(a, line);
    }
}

enum { COLUMN_WIDTH = 13, HEAD_MAX = 48 };

/* Head of a column into `out`; returns the columns it takes on the screen, two blanks between. */
static int head(const mdr_answer_column *c, char out[HEAD_MAX])
{
    const bool unit = c->unit[0] != '\0' && strcmp(c->unit, c->label) != 0;
    (void)snprintf(out, HEAD_MAX, "%s%s%s", c->label, unit ? " " : "", unit ? c->unit : "");
    const int width = mdr_text_columns(out) + 2;
    return width > COLUMN_WIDTH ? width : COLUMN_WIDTH;
}

static void put_table(const mdr_answer_table *t)
{
    char cell[HEAD_MAX];
    if (t->n_columns == 0) {
        return;
    }
    (void)printf("\n  %s\n", t->label);
    for (int i = 0; i < t->n_columns; i++) {
        const int width = head(&t->columns[i], cell);
        mdr_text_pad(cell, -width);
    }
    (void)puts("");
    for (int row = 0; row < t->n_rows; row++) {
        for (int i = 0; i < t->n_columns; i++) {
            char number[32];
            const int width = head(&t->columns[i], cell);
            mdr_text_pad(figures(t->cells[row * t->n_columns + i], t->columns[i].unit, number),
                         -width);
        }
        (void)puts("");
    }
}

static void put_words(mdr_cli *c, const mdr_answer *a)
{
    enum { INDENT = 8 };
    (void)puts("");
    if (a->n_whys > 0) {
        const mdr_answer_why *w = a->whys[0];
        const char *text = mdr_arena_printf(c->arena, "%s: %s (%s; docs/methods/%s)", w->label,
                                            w->words, w->source, w->anchor);
        (void)fputs("  Why   ", stdout);
        mdr_text_wrap(text != NULL ? text : w->words, INDENT, MDR_TERM_WIDTH - INDENT);
    }
    for (int i = 0; i < a->n_notes; i++) {
        (void)fputs("  Note  ", stdout);
        mdr_text_wrap(a->notes[i], INDENT, MDR_TERM_WIDTH - INDENT);
    }
}

/* -- the command -- */

/* A person at a terminal knows the option, not the member. */
static void name_option(mdr_err *e, mdr_bath_place place)
{
    for (const mdr_own_opt *o = mdr_bath_options; o->name != NULL; o++) {
        if ((o->of & (1u << place)) != 0 && strcmp(o->key, e->place) == 0) {
            (void)snprintf(e->place, sizeof e->place, "--%s (%s)", o->name, o->key);
            return;
        }
    }
}

static int fail(mdr_cli *c, mdr_bath_place place)
{
    if (!c->json) {
        name_option(&c->err, place);
        for (int i = 0; i < c->found.count; i++) {
            name_option(&c->found.items[i], place);
        }
    }
    return mdr_cli_fail(c);
}

int mdr_cmd_bath_ask(mdr_cli *c, mdr_bath_place place)
{
    const char *json = question_of(c, place);
    if (json == NULL) {
        return MDR_EXIT_USAGE;
    }
    const mdr_blob question = {.bytes = json, .len = strlen(json)};
    if (c->json) {
        mdr_blob out = {0};
        if (mdr_app_bath_json(question, c->arena, &c->found, &out, &c->err) != MDR_OK) {
            return fail(c, place);
        }
        return mdr_cli_put_json(c, out);
    }
    const mdr_answer *a = NULL;
    if (mdr_app_bath(question, c->arena, &c->found, &a, &c->err) != MDR_OK) {
        return fail(c, place);
    }
    const mdr_term term = mdr_term_look();
    mdr_term_put(&term, MDR_TINT_STRONG, a->words);
    (void)puts("");
    put_lines(a);
    put_table(&a->table);
    put_words(c, a);
    return MDR_EXIT_DONE;
}

/* "same-ph" is "same_ph": options have hyphens, members have not. */
static bool is_place(const char *typed, const char *word)
{
    size_t i = 0;
    for (; typed[i] != '\0' && (typed[i] == '-' ? '_' : typed[i]) == word[i]; i++) {
    }
    return typed[i] == '\0' && word[i] == '\0';
}

int mdr_cmd_bath(mdr_cli *c)
{
    int best = -1, least = 3; /* more than two typing errors is another word */
    for (int i = 0; i < MDR_ASK_COUNT; i++) {
        if (is_place(c->args[0], PLACES[i])) {
            return mdr_cmd_bath_ask(c, (mdr_bath_place)i);
        }
        const int d = mdr_word_distance(c->args[0], PLACES[i]);
        if (d < least) {
            least = d;
            best = i;
        }
    }
    char remedy[80] = "`madder help bath` lists the questions";
    if (best >= 0) {
        (void)snprintf(remedy, sizeof remedy, "did you mean `madder bath %s`?", PLACES[best]);
    }
    return mdr_cli_misuse(c, remedy, "unknown question %s", c->args[0]);
}
