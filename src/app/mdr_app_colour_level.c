/* Whether readings along and across a lot lie close together. */
#include "app/mdr_app_colour_in.h"
#include "core/colour/mdr_level.h"
#include "wire/mdr_real.h"

#include <string.h>

/* -- where a reading was taken: said in its name -- */

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static char lower(char c)
{
    return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

/* A run of letters that is this word, whatever their case. */
static bool is_word(const char *at, size_t len, const char *word)
{
    for (size_t i = 0; i < len; i++) {
        if (lower(at[i]) != word[i]) {
            return false;
        }
    }
    return word[len] == '\0';
}

static bool side_of(const char *name, mdr_side *out)
{
    static const struct {
        const char *word;
        mdr_side side;
    } SIDES[] = {{"left", MDR_SIDE_LEFT},
                 {"centre", MDR_SIDE_CENTRE},
                 {"center", MDR_SIDE_CENTRE},
                 {"middle", MDR_SIDE_CENTRE},
                 {"right", MDR_SIDE_RIGHT}};
    for (const char *at = name; *at != '\0';) {
        size_t len = 0;
        while (is_letter(at[len])) {
            len++;
        }
        for (size_t i = 0; i < sizeof SIDES / sizeof SIDES[0]; i++) {
            if (len > 0 && is_word(at, len, SIDES[i].word)) {
                *out = SIDES[i].side;
                return true;
            }
        }
        at += len > 0 ? len : 1;
    }
    return false;
}

/* "120 m", "12.5m": a number and the letter m alone behind it. */
static bool place_of(const char *name, double *out_m)
{
    static const char DIGITS[] = "0123456789.";
    for (const char *at = name; *at != '\0';) {
        const size_t len = strspn(at, DIGITS);
        const char *behind = at + len + (at[len] == ' ' ? 1 : 0);
        if (len > 0 && lower(*behind) == 'm' && !is_letter(behind[1]) &&
            mdr_real_read(at, len, out_m)) {
            return true;
        }
        at += len > 0 ? len : 1;
    }
    return false;
}

/* Without a word on place or side, the order of the file is the order along the lot. */
static void places_of(mdr_colour_desk *d, const mdr_colour_chosen *c, mdr_level_reading *r)
{
    bool said = false;
    for (int i = 0; i < c->n; i++) {
        const char *name = c->samples[i].name;
        r[i].has_place = place_of(name, &r[i].at_m);
        r[i].has_side = side_of(name, &r[i].side);
        said = said || r[i].has_place || r[i].has_side;
    }
    if (said) {
        return;
    }
    for (int i = 0; i < c->n; i++) {
        r[i].has_place = true;
        r[i].at_m = i;
    }
    mdr_sheet_note(d->sheet, "No name says where it was read: the first reading was taken as the "
                             "beginning of the lot, the last as its end.");
}

/* -- writing -- */

static const mdr_sheet_column READINGS[] = {
    {"reading", "reading", 0},
    {"at_m", "at m", 1},
    {"side", "side", 0},
    {"l", "L*", 2},
    {"a", "a*", 2},
    {"b", "b*", 2},
    {"de", "dE mean", 2},
};
enum { N_READINGS_COLUMNS = (int)(sizeof READINGS / sizeof READINGS[0]) };

static const char *const SIDE_WORDS[MDR_SIDE_COUNT] = {
    [MDR_SIDE_LEFT] = "left", [MDR_SIDE_CENTRE] = "centre", [MDR_SIDE_RIGHT] = "right"};

static void put_readings(mdr_colour_desk *d, const mdr_colour_chosen *c, const mdr_level_reading *r,
                         const mdr_level *v)
{
    const mdr_sheet_table like = {.key = "readings",
                                  .label = "Readings",
                                  .columns = READINGS,
                                  .n_columns = N_READINGS_COLUMNS,
                                  .n_rows = c->n};
    mdr_sheet_table *t = mdr_sheet_table_open(d->sheet, &like);
    for (int i = 0; i < c->n; i++) {
        const char *side = SIDE_WORDS[r[i].side];
        mdr_sheet_cell_put(t, mdr_cell_text(c->samples[i].name, c->samples[i].name));
        mdr_sheet_cell_put(t, r[i].has_place ? mdr_cell_number(r[i].at_m) : mdr_cell_none());
        mdr_sheet_cell_put(t, r[i].has_side ? mdr_cell_text(side, side) : mdr_cell_none());
        mdr_sheet_cell_put(t, mdr_cell_number(r[i].lab.l));
        mdr_sheet_cell_put(t, mdr_cell_number(r[i].lab.a));
        mdr_sheet_cell_put(t, mdr_cell_number(r[i].lab.b));
        mdr_sheet_cell_put(t, mdr_cell_number(mdr_difference_of(v->mean, r[i].lab, &d->spec).de));
    }
}

/* One of the four measures, its limit, whether it is over it. */
static void put_measure(mdr_colour_desk *d, const char *key, const char *label, bool is, double de)
{
    mdr_sheet_line_put(d->sheet, key, label, "", 2, is ? mdr_cell_number(de) : mdr_cell_none());
}

/* "pair, end": which limits are passed. */
static const char *over_of(mdr_colour_desk *d, const mdr_level *v)
{
    const struct {
        const char *word;
        bool is;
    } OVER[] = {{"spread", v->over_spread},
                {"pair", v->over_pair},
                {"end", v->over_end},
                {"side", v->over_side}};
    const char *text = "";
    for (size_t i = 0; i < sizeof OVER / sizeof OVER[0]; i++) {
        if (OVER[i].is) {
            text =
                mdr_sheet_text(d->sheet, "%s%s%s", text, text[0] != '\0' ? ", " : "", OVER[i].word);
        }
    }
    return text;
}

static void put_result(mdr_colour_desk *d, const mdr_colour_chosen *c, const mdr_level *v,
                       const mdr_level_limits *limits)
{
    mdr_sheet *s = d->sheet;
    const bool asked = limits->spread_de > 0.0 || limits->pair_de > 0.0 || limits->end_de > 0.0 ||
                       limits->side_de > 0.0;
    const char *over = over_of(d, v);
    const char *pair = mdr_sheet_text(s, "%s / %s", c->samples[v->pair_first].name,
                                      c->samples[v->pair_second].name);
    const char *sides =
        mdr_sheet_text(s, "%s / %s", SIDE_WORDS[v->side_first], SIDE_WORDS[v->side_second]);
    mdr_sheet_line_put(s, "n", "readings", "", 0, mdr_cell_number(v->n));
    mdr_sheet_line_put(s, "level", asked ? "the lot" : NULL, "", 0,
                       asked ? mdr_cell_flag(v->level, "is level", "is not level")
                             : mdr_cell_none());
    mdr_sheet_line_put(s, "over", over[0] != '\0' ? "over its limit" : NULL, "", 0,
                       mdr_cell_text(over, over));
    put_measure(d, "spread_de", "spread: furthest from the mean", true, v->spread_de);
    put_measure(d, "mean_de", "mean distance from the mean", true, v->mean_de);
    put_measure(d, "pair_de", "worst pair", true, v->pair_de);
    mdr_sheet_line_put(s, "pair", "which", "", 0, mdr_cell_text(pair, pair));
    put_measure(d, "end_de", "end to end", v->has_ends, v->end_de);
    put_measure(d, "side_de", "side to side", v->has_sides, v->side_de);
    mdr_sheet_line_put(s, "sides", v->has_sides ? "which" : NULL, "", 0,
                       v->has_sides ? mdr_cell_text(sides, sides) : mdr_cell_none());
}

static mdr_code check_limits(const mdr_colour_desk *d, const mdr_level *v, mdr_err *err)
{
    const bool end = mdr_colour_given(d, MDR_COLOUR_NUMBER_END) && !v->has_ends;
    const bool side = mdr_colour_given(d, MDR_COLOUR_NUMBER_SIDE) && !v->has_sides;
    if (!end && !side) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, end ? "end_de" : "side_de",
                                 "there is a limit, but nothing to hold against it");
    mdr_err_remedy(err, "name readings after where they were taken, as `120 m left`");
    return rc;
}

static mdr_code readings_of(mdr_colour_desk *d, mdr_colour_chosen *c, mdr_level_reading **out,
                            mdr_err *err)
{
    mdr_colour_samples all = {.n = 0};
    MDR_TRY(mdr_colour_samples_read(d, 0, MDR_REPEATS_KEPT, &all, err));
    MDR_TRY(mdr_colour_samples_alike(d, &all, NULL, c, err));
    mdr_level_reading *r = MDR_NEW_N(d->arena, mdr_level_reading, (size_t)c->n);
    if (r == NULL) {
        (void)MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the readings");
        return MDR_E_NOMEM;
    }
    for (int i = 0; i < c->n; i++) {
        MDR_TRY(mdr_colour_lab_of(d, &c->samples[i], 0, &r[i].lab, err));
    }
    places_of(d, c, r);
    *out = r;
    return MDR_OK;
}

mdr_code mdr_colour_answer_level(mdr_colour_desk *d, mdr_err *err)
{
    mdr_colour_chosen c = {.n = 0};
    mdr_level_reading *r = NULL;
    mdr_level v = {.n = 0};
    const mdr_level_limits limits = {
        .spread_de = mdr_colour_number_or(d, MDR_COLOUR_NUMBER_SPREAD, 0.0),
        .pair_de = mdr_colour_number_or(d, MDR_COLOUR_NUMBER_PAIR, 0.0),
        .end_de = mdr_colour_number_or(d, MDR_COLOUR_NUMBER_END, 0.0),
        .side_de = mdr_colour_number_or(d, MDR_COLOUR_NUMBER_SIDE, 0.0)};
    MDR_TRY(mdr_colour_one_light(d, err));
    MDR_TRY(readings_of(d, &c, &r, err));
    if (mdr_level_of(r, c.n, &d->spec, &limits, &v, err) != MDR_OK) {
        mdr_err_within(err, "%.60s", d->ask->file[0].name);
        mdr_err_remedy(err, "a lot is read at 2 to %d places", MDR_LEVEL_MAX);
        return MDR_E_RANGE;
    }
    MDR_TRY(check_limits(d, &v, err));
    mdr_colour_caption(d, true);
    put_result(d, &c, &v, &limits);
    put_readings(d, &c, r, &v);
    mdr_colour_because(d, MDR_COLOUR_WHY_LEVEL);
    mdr_colour_because_formula(d);
    return MDR_OK;
}
