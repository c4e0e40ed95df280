/* Questions that need no mill: the options become the question, as HTTP asks it. */
#include "cli/mdr_cmd_ask.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/mdr_cmd_document.h"
#include "cli/mdr_term.h"

/* -- the question -- */

/* Value behind an option of this name; several questions may use the name. */
static const char *given(const mdr_cli *c, const mdr_ask_desk *desk, const char *name)
{
    for (int i = 0; desk->options[i].name != NULL; i++) {
        if (c->own[i] != NULL && strcmp(desk->options[i].name, name) == 0) {
            return c->own[i];
        }
    }
    return NULL;
}

static const mdr_own_opt *option_of(const mdr_ask_desk *desk, const char *name, int place)
{
    for (const mdr_own_opt *o = desk->options; o->name != NULL; o++) {
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

/* "33.5,33.6" as [33.5, 33.6]; NULL after a complaint. */
static const char *list_member(mdr_cli *c, const mdr_own_opt *o, const char *text)
{
    const char *json = mdr_arena_printf(c->arena, ", \"%s\": [", o->key);
    for (const char *at = text; json != NULL; at++) {
        char number[32];
        double v = 0;
        const size_t n = strcspn(at, ",");
        (void)snprintf(number, sizeof number, "%.*s", (int)n, at);
        if (n >= sizeof number || !read_number(number, &v)) {
            (void)mdr_cli_misuse(c, "give numbers with commas between and no spaces, as 33.5,33.6",
                                 "--%s: %s is not a list of numbers", o->name, text);
            return NULL;
        }
        json = mdr_arena_printf(c->arena, "%s%s%.17g", json, at == text ? "" : ", ", v);
        at += n;
        if (*at == '\0') {
            break;
        }
    }
    return json != NULL ? mdr_arena_printf(c->arena, "%s]", json) : NULL;
}

static const char *member(mdr_cli *c, const mdr_own_opt *o, const char *text)
{
    if (strchr(o->value, ',') != NULL) {
        return list_member(c, o, text);
    }
    char remedy[80];
    (void)snprintf(remedy, sizeof remedy, "`madder help %s` lists what it can be",
                   c->command->name);
    if (o->is_word) {
        if (text[strspn(text,
                        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-")] !=
            '\0') {
            (void)mdr_cli_misuse(c, remedy, "--%s: %s is no word it knows", o->name, text);
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
static const char *question_of(mdr_cli *c, const mdr_ask_desk *desk, int place)
{
    const char *json = mdr_arena_printf(c->arena, "{\"do\": \"%s\"", desk->places[place]);
    for (int i = 0; json != NULL && desk->options[i].name != NULL; i++) {
        const mdr_own_opt *o = &desk->options[i];
        if (c->own[i] != NULL && option_of(desk, o->name, place) == NULL) {
            char remedy[80];
            (void)snprintf(remedy, sizeof remedy, "`madder help %s` lists its options",
                           c->command->name);
            (void)mdr_cli_misuse(c, remedy, "`madder %s %s` has no option --%s", desk->command,
                                 desk->places[place], o->name);
            return NULL;
        }
        const char *text = given(c, desk, o->name);
        if (text != NULL && option_of(desk, o->name, place) == o) {
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

static const char *word_at(const mdr_answer_table *t, int row, int column)
{
    const mdr_answer_word *w = t->texts != NULL ? &t->texts[row * t->n_columns + column] : NULL;
    return w != NULL && w->text != NULL ? w->words : NULL;
}

/* Columns on the screen, two blanks in front included; below 0 for a column of numbers, which
 * stand to the right. */
static int width_of(const mdr_answer_table *t, int column)
{
    char cell[HEAD_MAX];
    int width = head(&t->columns[column], cell);
    if (word_at(t, 0, column) == NULL) {
        return -width;
    }
    for (int row = 0; row < t->n_rows; row++) {
        const char *word = word_at(t, row, column);
        const int columns = word != NULL ? mdr_text_columns(word) + 2 : 0;
        width = columns > width ? columns : width;
    }
    return width;
}

static void put_cell(const char *text, int width, bool last)
{
    if (width < 0) {
        mdr_text_pad(text, width);
        return;
    }
    (void)fputs("  ", stdout);
    if (last) {
        (void)fputs(text, stdout); /* no blanks behind */
    } else {
        mdr_text_pad(text, width - 2);
    }
}

static void put_row(const mdr_answer_table *t, int row)
{
    for (int i = 0; i < t->n_columns; i++) {
        char number[32];
        const char *word = word_at(t, row, i);
        const double value = t->cells[row * t->n_columns + i];
        put_cell(word != NULL ? word : figures(value, t->columns[i].unit, number), width_of(t, i),
                 i == t->n_columns - 1);
    }
    (void)puts("");
}

static void put_table(const mdr_answer_table *t)
{
    char cell[HEAD_MAX];
    if (t->n_columns == 0) {
        return;
    }
    (void)printf("\n  %s\n", t->label);
    for (int i = 0; i < t->n_columns; i++) {
        (void)head(&t->columns[i], cell);
        put_cell(cell, width_of(t, i), i == t->n_columns - 1);
    }
    (void)puts("");
    for (int row = 0; row < t->n_rows; row++) {
        put_row(t, row);
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

void mdr_cmd_ask_put(mdr_cli *c, const mdr_answer *a)
{
    const mdr_term term = mdr_term_look();
    mdr_term_put(&term, MDR_TINT_STRONG, a->words);
    (void)puts("");
    put_lines(a);
    put_table(&a->table);
    put_words(c, a);
}

/* -- the command -- */

/* A person at a terminal knows the option, not the member. */
static void name_option(mdr_err *e, const mdr_ask_desk *desk, int place)
{
    for (const mdr_own_opt *o = desk->options; o->name != NULL; o++) {
        if ((o->of & (1u << place)) != 0 && strcmp(o->key, e->place) == 0) {
            (void)snprintf(e->place, sizeof e->place, "--%s (%s)", o->name, o->key);
            if (strncmp(e->remedy, "add \"", 5) == 0) { /* a member that is not there */
                (void)snprintf(e->msg, sizeof e->msg, "--%s is missing", o->name);
                mdr_err_remedy(e, "give --%s %s: %s", o->name, o->value != NULL ? o->value : "",
                               o->words);
            }
            return;
        }
    }
}

static int fail(mdr_cli *c, const mdr_ask_desk *desk, int place)
{
    if (!c->json) {
        name_option(&c->err, desk, place);
        for (int i = 0; i < c->found.count; i++) {
            name_option(&c->found.items[i], desk, place);
        }
    }
    return mdr_cli_fail(c);
}

int mdr_cmd_ask(mdr_cli *c, const mdr_ask_desk *desk, int place)
{
    const char *json = question_of(c, desk, place);
    if (json == NULL) {
        return MDR_EXIT_USAGE;
    }
    const mdr_blob question = {.bytes = json, .len = strlen(json)};
    if (c->json) {
        mdr_blob out = {0};
        if (desk->json(question, c->arena, &c->found, &out, &c->err) != MDR_OK) {
            return fail(c, desk, place);
        }
        return mdr_cli_put_json(c, out);
    }
    const mdr_answer *a = NULL;
    if (desk->answer(question, c->arena, &c->found, &a, &c->err) != MDR_OK) {
        return fail(c, desk, place);
    }
    mdr_cmd_ask_put(c, a);
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

int mdr_cmd_ask_named(mdr_cli *c, const mdr_ask_desk *desk)
{
    for (int i = 0; i < desk->n_places; i++) {
        if (is_place(c->args[0], desk->places[i])) {
            return mdr_cmd_ask(c, desk, i);
        }
    }
    (void)mdr_cli_word(c, desk->places, desk->n_places, "question");
    return MDR_EXIT_USAGE;
}
