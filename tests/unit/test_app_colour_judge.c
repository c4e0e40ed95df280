/* Measured cloth held against its standard, grouped, looked at along a lot: worked examples. */
#include "colour_kit.h"

static colour_kit kit;

static int set_up(void **state)
{
    (void)state;
    kit.arena = mdr_arena_new(64 << 20);
    return kit.arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    mdr_arena_free(kit.arena);
    return 0;
}

/* -- difference -- */

extern const double ciede2000_pairs[][8];
extern const int ciede2000_pairs_rows;
extern const double difference_checks[][14];
extern const int difference_checks_rows;

static double de_of(const double *standard, const double *sample, const char *formula)
{
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_STANDARD_LAB, 3, standard);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_SAMPLE_LAB, 3, sample);
    kit.ask.word[MDR_COLOUR_WORD_FORMULA] = formula;
    return colour_value(colour_ask(&kit), "lights", 0, "de");
}

static void formulas(void **state)
{
    (void)state;
    for (int i = 0; i < ciede2000_pairs_rows; i++) {
        const double *p = ciede2000_pairs[i];
        colour_de_near(de_of(p + 1, p + 4, "ciede2000"), p[7], 5e-5, "S: Sharma 2005, table 1");
    }
    for (int i = 0; i < difference_checks_rows; i++) {
        const double *p = difference_checks[i];
        colour_de_near(de_of(p, p + 3, NULL), p[8], 1e-6, "O: difference_checks.csv");
        colour_de_near(de_of(p, p + 3, "cmc"), p[8], 1e-6, "O: difference_checks.csv");
        colour_de_near(de_of(p, p + 3, "cie76"), p[6], 1e-6, "O: difference_checks.csv");
        colour_de_near(de_of(p, p + 3, "cie94"), p[10], 1e-6, "O: difference_checks.csv");
        colour_de_near(de_of(p, p + 3, "din99"), p[13], 1e-6, "O: difference_checks.csv");
    }
}

static void weights_of_the_formula(void **state)
{
    (void)state;
    const double *p = difference_checks[7];
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_STANDARD_LAB, 3, p);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_SAMPLE_LAB, 3, p + 3);
    colour_number(&kit, MDR_COLOUR_NUMBER_L, 1);
    const mdr_sheet *s = colour_ask(&kit);
    assert_string_equal(s->caption, "D65; 10 degree observer; CMC(1:1)");
    colour_near(s, "lights", 0, "de", p[7], 1e-6, "O: difference_checks.csv");
    kit.ask.word[MDR_COLOUR_WORD_FORMULA] = "ciede2000";
    colour_number(&kit, MDR_COLOUR_NUMBER_L, 2);
    s = colour_ask(&kit);
    assert_string_equal(s->caption, "D65; 10 degree observer; CIEDE2000(2:1:1)");
    colour_near(s, "lights", 0, "de", p[12], 1e-6, "O: difference_checks.csv");
}

/* Standards of one file against samples of another; one light fails. */
static void verdicts(void **state)
{
    (void)state;
    const double tolerance[] = {2.0, 0.5}, limit[] = {-3, -1.5};
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_flat(&kit, "grey,SCI,0.2;other,SCI,0.3");
    colour_flat(&kit, "grey,SCI,0.2;darker,SCI,0.19;gloss,SCE,0.2");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "grey";
    kit.ask.word[MDR_COLOUR_WORD_ILLUMINANTS] = "D65,A";
    kit.ask.word[MDR_COLOUR_WORD_FORMULA] = "cie76";
    colour_numbers(&kit, MDR_COLOUR_NUMBER_TOLERANCE, 2, tolerance);
    const mdr_sheet *s = colour_ask(&kit);
    const double dl = l_of(0.19) - l_of(0.2);
    assert_int_equal(colour_table(s, "verdicts")->n_rows, 2);
    assert_true(colour_has_note(s, "1 sample was left out"));
    colour_line_near(s, "passed", 1, 0, "D: the same grey");
    colour_near(s, "verdicts", 0, "passes", 1, 0, "D: the same grey");
    colour_near(s, "verdicts", 1, "passes", 0, 0, "D: 1.1 above 0.5 under A");
    assert_string_equal(colour_text(s, "verdicts", 1, "worst_illuminant"), "A");
    assert_string_equal(colour_text(s, "verdicts", 1, "over"), "dE");
    assert_string_equal(colour_text(s, "verdicts", 1, "words"), "darker");
    colour_near(s, "lights", 2, "passes", 1, 0, "D: 1.1 below 2 under D65");
    colour_near(s, "lights", 3, "dl", dl, 1e-6, "D: L* of both");
    colour_near(s, "lights", 3, "most_de", 0.5, 0, "I: as asked");
    colour_near(s, "lights", 3, "metamerism_de", 0, 1e-6, "D: greys stay greys");
    assert_int_equal(colour_cell(s, "lights", 2, "metamerism_de")->kind, MDR_CELL_NONE);

    colour_number(&kit, MDR_COLOUR_NUMBER_TOLERANCE, 2); /* one for all lights */
    colour_numbers(&kit, MDR_COLOUR_NUMBER_LIMIT_DL, 2, limit);
    kit.ask.word[MDR_COLOUR_WORD_SAMPLE] = "darker";
    s = colour_ask(&kit);
    assert_int_equal(colour_table(s, "verdicts")->n_rows, 1);
    colour_near(s, "lights", 1, "passes", 1, 0, "D: limits on axes are of D65");
    assert_string_equal(colour_text(s, "verdicts", 0, "over"), "dL");
    assert_string_equal(colour_text(s, "verdicts", 0, "worst_illuminant"), "D65");
}

static void at_the_limit(void **state)
{
    (void)state;
    const double standard[] = {50, 0, 0}, sample[] = {51, 0, 0};
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_STANDARD_LAB, 3, standard);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_SAMPLE_LAB, 3, sample);
    kit.ask.word[MDR_COLOUR_WORD_FORMULA] = "cie76";
    colour_line_near(colour_ask(&kit), "passed", 1, 0, "D: 1.0 is not above 1");
    colour_number(&kit, MDR_COLOUR_NUMBER_TOLERANCE, 0.99);
    colour_line_near(colour_ask(&kit), "passed", 0, 0, "D: 1.0 is above 0.99");
}

/* All but the standard, which stands in the same file; by number, and the word all. */
static void one_file_for_both(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_flat(&kit, "a,SCI,0.2;b,SCI,0.3;c,-,0.4");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "#2";
    const mdr_sheet *s = colour_ask(&kit);
    assert_string_equal(colour_line(s, "standard")->text, "b");
    assert_int_equal(colour_table(s, "verdicts")->n_rows, 2);
    assert_string_equal(colour_text(s, "verdicts", 0, "sample"), "a");
    assert_string_equal(colour_text(s, "verdicts", 1, "sample"), "c");
    kit.ask.word[MDR_COLOUR_WORD_SAMPLE] = "all";
    assert_int_equal(colour_table(colour_ask(&kit), "verdicts")->n_rows, 2);
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE); /* unless a sample is called so */
    colour_flat(&kit, "a,SCI,0.2;all,SCI,0.3;c,SCI,0.4");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    kit.ask.word[MDR_COLOUR_WORD_SAMPLE] = "all";
    assert_int_equal(colour_table(colour_ask(&kit), "verdicts")->n_rows, 1);
}

/* Curves first seen on one grid, then on another: the weights follow. */
static void two_grids(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_flat(&kit, "a,SCI,0.2");
    (void)snprintf(
        kit.text[1], COLOUR_TEXT,
        "wavelength_nm,b\n400,0.2\n420,0.2\n440,0.2\n460,0.2\n480,0.2\n500,0.2\n520,0.2\n"
        "540,0.2\n560,0.2\n580,0.2\n600,0.2\n620,0.2\n640,0.2\n660,0.2\n680,0.2\n");
    colour_close_file(&kit);
    const mdr_sheet *s = colour_ask(&kit);
    colour_near(s, "lights", 0, "de", 0, 1e-9, "D: the same grey on two grids");
    (void)snprintf(kit.text[1], COLOUR_TEXT, "wavelength_nm,b\n");
    for (int nm = 400; nm <= 680; nm += 10) { /* the same steps, but fewer */
        const size_t len = strlen(kit.text[1]);
        (void)snprintf(kit.text[1] + len, COLOUR_TEXT - len, "%d,0.2\n", nm);
    }
    kit.ask.n_files = 1;
    colour_close_file(&kit);
    colour_near(colour_ask(&kit), "lights", 0, "de", 0, 1e-9, "D: the same grey on two grids");
}

/* A file of its own format: what it calls a standard, and conditions that tell readings apart. */
static void kinds_and_conditions(void **state)
{
    (void)state;
    static const struct {
        const char *kind, *name, *spec;
        double r;
    } OBJECTS[] = {{"Trial", "b", "u", 0.4},
                   {"Standard", "a", "u", 0.2},
                   {"Trial", "b", "v", 0.5},
                   {"Trial", "b", "u", 0.4}};
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    size_t len = (size_t)snprintf(kit.text[0], COLOUR_TEXT,
                                  "<CxF xmlns=\"http://colorexchangeformat.com/CxF3-core\">"
                                  "<Resources><ObjectCollection>");
    for (size_t i = 0; i < N_OF(OBJECTS); i++) {
        len += (size_t)snprintf(kit.text[0] + len, COLOUR_TEXT - len,
                                "<Object ObjectType=\"%s\" Name=\"%s\" Id=\"i%zu\"><ColorValues>"
                                "<ReflectanceSpectrum ColorSpecification=\"%s\">",
                                OBJECTS[i].kind, OBJECTS[i].name, i, OBJECTS[i].spec);
        for (int k = 0; k < 31; k++) {
            len += (size_t)snprintf(kit.text[0] + len, COLOUR_TEXT - len, "%g ", OBJECTS[i].r);
        }
        len += (size_t)snprintf(kit.text[0] + len, COLOUR_TEXT - len,
                                "</ReflectanceSpectrum></ColorValues></Object>");
    }
    len += (size_t)snprintf(kit.text[0] + len, COLOUR_TEXT - len,
                            "</ObjectCollection><ColorSpecificationCollection>");
    for (int i = 0; i < 2; i++) {
        len += (size_t)snprintf(
            kit.text[0] + len, COLOUR_TEXT - len,
            "<ColorSpecification Id=\"%c\"><MeasurementSpec><WavelengthRange StartWL=\"400\" "
            "Increment=\"10\"/><Device><DeviceIllumination>M%d</DeviceIllumination></Device>"
            "</MeasurementSpec></ColorSpecification>",
            'u' + i, i);
    }
    (void)snprintf(kit.text[0] + len, COLOUR_TEXT - len,
                   "</ColorSpecificationCollection></Resources></CxF>");
    colour_close_file(&kit);
    kit.ask.is[MDR_COLOUR_SWITCH_REPEATS] = true;
    const mdr_sheet *s = colour_ask(&kit);
    assert_string_equal(colour_line(s, "standard")->text, "a");
    assert_int_equal(colour_table(s, "verdicts")->n_rows, 2); /* b as M0, twice, and b as M1 */
    assert_string_equal(colour_text(s, "verdicts", 0, "condition"), "M0");
    assert_string_equal(colour_text(s, "verdicts", 1, "condition"), "M1");
    colour_near(s, "lights", 0, "sample_l", l_of(0.4), 1e-6, "D: mean of two equal readings");
    colour_near(s, "lights", 1, "sample_l", l_of(0.5), 1e-6, "D: read once");
}

/* A limit on an axis that fails under the first light is told of, however near another light is. */
static void what_failed_is_told(void **state)
{
    (void)state;
    const double tolerance[] = {2.0, 1.2}, limit[] = {-0.5, 0.5};
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_flat(&kit, "grey,SCI,0.2;darker,SCI,0.19");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "grey";
    kit.ask.word[MDR_COLOUR_WORD_ILLUMINANTS] = "D65,A";
    kit.ask.word[MDR_COLOUR_WORD_FORMULA] = "cie76";
    colour_numbers(&kit, MDR_COLOUR_NUMBER_TOLERANCE, 2, tolerance);
    assert_string_equal(colour_text(colour_ask(&kit), "verdicts", 0, "worst_illuminant"), "A");
    colour_numbers(&kit, MDR_COLOUR_NUMBER_LIMIT_DL, 2, limit);
    const mdr_sheet *s = colour_ask(&kit);
    assert_string_equal(colour_text(s, "verdicts", 0, "worst_illuminant"), "D65");
    assert_string_equal(colour_text(s, "verdicts", 0, "over"), "dL");
}

/* Along a*: chroma and no hue. Across it: hue and next to no chroma. */
static void parts(void **state)
{
    (void)state;
    const double standard[] = {50, 20, 0}, more[] = {50, 21, 0}, turned[] = {50, 20, 1};
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_STANDARD_LAB, 3, standard);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_SAMPLE_LAB, 3, more);
    const mdr_sheet *s = colour_ask(&kit);
    colour_near(s, "lights", 0, "da", 1, 1e-12, "D");
    colour_near(s, "lights", 0, "dc", 1, 1e-12, "D");
    colour_near(s, "lights", 0, "dh", 0, 1e-12, "D");
    assert_string_equal(colour_text(s, "lights", 0, "words"), "brighter");
    colour_numbers(&kit, MDR_COLOUR_NUMBER_SAMPLE_LAB, 3, turned);
    s = colour_ask(&kit);
    colour_near(s, "lights", 0, "db", 1, 1e-12, "D");
    colour_near(s, "lights", 0, "dc", 0.024984, 1e-6, "D: sqrt(401) - 20");
    colour_near(s, "lights", 0, "dh", 0.999688, 1e-6, "D: sqrt(1 - dc^2)");
    assert_string_equal(colour_text(s, "lights", 0, "words"), "yellower");
}

/* -- groups and level -- */

/* Greys a step apart: by hand. */
static void groups(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_GROUP);
    colour_labs(&kit, "D65 10", "r1 50.0 0 0\nr2 50.9 0 0\nr3 50.4 0 0\nr4 51.3 0 0\nstd 50 0 0");
    kit.ask.word[MDR_COLOUR_WORD_FORMULA] = "cie76";
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "std";
    colour_number(&kit, MDR_COLOUR_NUMBER_MOST, 0.5);
    const mdr_sheet *s = colour_ask(&kit);
    colour_line_near(s, "n_groups", 2, 0, "D: 50.0, 50.4 and 50.9, 51.3");
    colour_line_near(s, "groups_are_fewest", 1, 0, "D: r1 and r4 need two");
    colour_line_near(s, "order_de", 1.3, 1e-9, "D: along L*");
    colour_line_near(s, "n", 4, 0, "D: the standard is no roll");
    assert_int_equal(colour_table(s, "rolls")->n_rows, 4);
    colour_near(s, "rolls", 2, "group", 1, 0, "D: with r1");
    colour_near(s, "rolls", 3, "group", 2, 0, "D: with r2");
    colour_near(s, "groups", 0, "widest_de", 0.4, 1e-9, "D");
    assert_int_equal(colour_cell(s, "rolls", 0, "code")->kind, MDR_CELL_NONE);
    static const char *const ORDER[] = {"r1", "r3", "r2", "r4"};
    for (int i = 0; i < 4; i++) {
        assert_string_equal(colour_text(s, "order", i, "roll"), ORDER[i]);
    }
    colour_near(s, "order", 1, "step_de", 0.5, 1e-9, "D: 50.4 to 50.9");
    assert_int_equal(colour_cell(s, "order", 3, "step_de")->kind, MDR_CELL_NONE);
}

static void codes(void **state)
{
    (void)state;
    const double widths[] = {0.5, 0.3, 0.4}, falls[] = {1, 3}, lab[] = {50, 20, 20};
    colour_begin(&kit, MDR_COLOUR_GROUP);
    colour_labs(&kit, "D65 10", "r1 50.5 19.7 20.8\nr2 50 20 20\nr3 60 20 20");
    kit.ask.is[MDR_COLOUR_SWITCH_CODES] = true;
    kit.ask.word[MDR_COLOUR_WORD_AXES] = "lab";
    colour_number(&kit, MDR_COLOUR_NUMBER_MOST, 1);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_WIDTHS, 3, widths);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_STANDARD_LAB, 3, lab);
    const mdr_sheet *s = colour_ask(&kit);
    assert_string_equal(colour_text(s, "rolls", 0, "code"), "647"); /* D: +0.5, -0.3, +0.8 */
    assert_string_equal(colour_text(s, "rolls", 1, "code"), "555");
    assert_string_equal(colour_text(s, "rolls", 2, "code"), "955");
    colour_near(s, "rolls", 2, "beyond", 1, 0, "D: 10 is more than 4.5 widths");
    colour_near(s, "rolls", 0, "part_3", 0.8, 1e-9, "D");
    colour_numbers(&kit, MDR_COLOUR_NUMBER_FALLS, 2, falls);
    assert_string_equal(colour_text(colour_ask(&kit), "rolls", 0, "code"), "443");
    kit.ask.number[MDR_COLOUR_NUMBER_STANDARD_LAB].n = 0;
    assert_true(colour_has_note(colour_ask(&kit), "mean of the rolls"));
    const double edge[] = {50.25, 20, 20};
    colour_numbers(&kit, MDR_COLOUR_NUMBER_STANDARD_LAB, 3, edge); /* r1: +0.25, on the edge */
    kit.ask.number[MDR_COLOUR_NUMBER_FALLS].n = 0;
    assert_string_equal(colour_text(colour_ask(&kit), "rolls", 0, "code"), "547");
    kit.ask.is[MDR_COLOUR_SWITCH_OUTWARD] = true;
    assert_string_equal(colour_text(colour_ask(&kit), "rolls", 0, "code"), "647");
}

static void level(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_LEVEL);
    colour_labs(&kit, "D65 10",
                "\"0 m left\" 50.0 0 0\n\"0 m Right\" 50.4 0 0\n"
                "\"12.5m left\" 51.0 0 0\n\"12.5m right\" 50.9 0 0\n\"spare 3 mm\" 50.5 0 0");
    kit.ask.word[MDR_COLOUR_WORD_FORMULA] = "cie76";
    const mdr_sheet *s = colour_ask(&kit);
    colour_line_near(s, "end_de", 0.75, 1e-9, "D: docs/methods/shade.md#level");
    colour_line_near(s, "side_de", 0.15, 1e-9, "D: 50.5 and 50.65");
    colour_line_near(s, "pair_de", 1.0, 1e-9, "D: 50 and 51");
    colour_line_near(s, "spread_de", 0.56, 1e-9, "D: 50 from the mean 50.56");
    assert_string_equal(colour_line(s, "sides")->text, "left / right");
    assert_int_equal(colour_line(s, "level")->kind, MDR_CELL_NONE);
    colour_near(s, "readings", 2, "at_m", 12.5, 0, "I: in its name");
    assert_int_equal(colour_cell(s, "readings", 4, "at_m")->kind, MDR_CELL_NONE);
    assert_int_equal(colour_cell(s, "readings", 4, "side")->kind, MDR_CELL_NONE);
    colour_number(&kit, MDR_COLOUR_NUMBER_PAIR, 0.9);
    colour_number(&kit, MDR_COLOUR_NUMBER_END, 0.7);
    colour_number(&kit, MDR_COLOUR_NUMBER_SIDE, 0.2);
    s = colour_ask(&kit);
    colour_line_near(s, "level", 0, 0, "D: 1.0 above 0.9");
    assert_string_equal(colour_line(s, "over")->text, "pair, end");
}

/* Repeated names are readings here, and without a word on places their order counts. */
static void level_by_order(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_LEVEL);
    colour_flat(&kit, "lot,SCI,0.2;lot,SCI,0.25;lot,SCI,0.22");
    kit.ask.word[MDR_COLOUR_WORD_FORMULA] = "cie76";
    const mdr_sheet *s = colour_ask(&kit);
    colour_line_near(s, "end_de", l_of(0.22) - l_of(0.2), 1e-6, "D: first and last");
    assert_true(colour_has_note(s, "No name says where"));
    assert_int_equal(colour_line(s, "side_de")->kind, MDR_CELL_NONE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(formulas),
        cmocka_unit_test(weights_of_the_formula),
        cmocka_unit_test(verdicts),
        cmocka_unit_test(at_the_limit),
        cmocka_unit_test(one_file_for_both),
        cmocka_unit_test(two_grids),
        cmocka_unit_test(kinds_and_conditions),
        cmocka_unit_test(what_failed_is_told),
        cmocka_unit_test(parts),
        cmocka_unit_test(groups),
        cmocka_unit_test(codes),
        cmocka_unit_test(level),
        cmocka_unit_test(level_by_order),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
