/* Questions about measured cloth: worked examples, refusals, failing allocations. */
#include "colour_kit.h"
#include "why_kit.h"

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

/* L* of a flat reflectance: 116 r^(1/3) - 16 */
static double l_of(double r)
{
    return 116.0 * cbrt(r) - 16.0;
}

/* -- read -- */

static void read_colours(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_READ);
    colour_flat(&kit, "white,SCI,1;grey,SCE,0.2");
    kit.ask.word[MDR_COLOUR_WORD_ILLUMINANTS] = "D65,A";
    const mdr_sheet *s = colour_ask(&kit);
    assert_string_equal(s->caption, "D65, A; 10 degree observer; CMC(2:1)");
    assert_int_equal(colour_table(s, "colours")->n_rows, 4);
    for (int row = 0; row < 4; row++) { /* a grey is one under every light */
        const double r = row < 2 ? 1.0 : 0.2;
        colour_near(s, "colours", row, "l", l_of(r), 1e-6, "D: 116 r^(1/3) - 16");
        colour_near(s, "colours", row, "y", 100 * r, 1e-6, "D: Y of a flat curve");
        colour_near(s, "colours", row, "c", 0, 1e-6, "D: grey");
        assert_int_equal(colour_cell(s, "colours", row, "h_deg")->kind, MDR_CELL_NONE);
    }
    assert_int_equal(colour_cell(s, "colours", 0, "inconstancy_de")->kind, MDR_CELL_NONE);
    colour_near(s, "colours", 1, "inconstancy_de", 0, 1e-6, "D: white stays white");
    assert_string_equal(colour_text(s, "colours", 3, "illuminant"), "A");
    assert_string_equal(colour_text(s, "samples", 1, "specular"), "excluded");
    assert_string_equal(colour_text(s, "samples", 0, "swatch"), "#ffffff");
    colour_near(s, "samples", 0, "to_nm", 700, 0, "I: the file's own");
    colour_near(s, "samples", 0, "step_nm", 10, 0, "I: the file's own");
    assert_true(s->notices.count > 0 && strstr(s->notices.items[0].place, "one.csv") != NULL);
}

/* The file's own colour stands beside the one of its curve, under the file's own light. */
static void read_own_colour(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_READ);
    size_t len = (size_t)snprintf(
        kit.text[0], COLOUR_TEXT,
        "CGATS.17\nILLUMINATION_NAME \"D50\"\nOBSERVER_ANGLE \"2\"\nBEGIN_DATA_FORMAT\n"
        "SAMPLE_NAME LAB_L LAB_A LAB_B");
    for (int nm = 400; nm <= 700; nm += 20) {
        len += (size_t)snprintf(kit.text[0] + len, COLOUR_TEXT - len, " SPECTRAL_NM%d", nm);
    }
    len += (size_t)snprintf(kit.text[0] + len, COLOUR_TEXT - len,
                            "\nEND_DATA_FORMAT\nBEGIN_DATA\ngrey 52.83724 0 0");
    for (int nm = 400; nm <= 700; nm += 20) {
        len += (size_t)snprintf(kit.text[0] + len, COLOUR_TEXT - len, " 0.2");
    }
    (void)snprintf(kit.text[0] + len, COLOUR_TEXT - len, "\nEND_DATA\n");
    colour_close_file(&kit);
    const mdr_sheet *s = colour_ask(&kit);
    assert_string_equal(colour_text(s, "samples", 0, "own_illuminant"), "D50");
    colour_near(s, "samples", 0, "own_observer_deg", 2, 0, "I: the file's own");
    colour_near(s, "samples", 0, "own_l", 52.83724, 1e-9, "I: the file's own");
    colour_near(s, "samples", 0, "own_de", 1.0, 1e-4, "D: L* 51.83724 of r 0.2");
}

/* A colour alone is no colour under another light, and has none there. */
static void read_colour_alone(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_READ);
    colour_labs(&kit, "D50 2", "red 40 50 20");
    const mdr_sheet *s = colour_ask(&kit);
    assert_int_equal(colour_cell(s, "colours", 0, "l")->kind, MDR_CELL_NONE);
    assert_int_equal(colour_cell(s, "samples", 0, "swatch")->kind, MDR_CELL_NONE);
    assert_int_equal(colour_cell(s, "samples", 0, "from_nm")->kind, MDR_CELL_NONE);
    kit.ask.word[MDR_COLOUR_WORD_ILLUMINANTS] = "D50";
    colour_number(&kit, MDR_COLOUR_NUMBER_OBSERVER, 2);
    s = colour_ask(&kit);
    colour_near(s, "colours", 0, "a", 50, 1e-9, "I: the file's own");
    colour_near(s, "colours", 0, "h_deg", 21.801409, 1e-5, "D: atan 0.4");
    assert_false(colour_has_note(s, "do not say"));
    colour_begin(&kit, MDR_COLOUR_READ);
    colour_labs(&kit, "", "red 40 50 20");
    assert_true(colour_has_note(colour_ask(&kit), "do not say under which light"));
}

static void read_repeats(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_READ);
    colour_flat(&kit, "a,SCI,0.19;b,SCI,0.5;a,SCI,0.21;a,SCE,0.3");
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:4", "same name");
    kit.ask.is[MDR_COLOUR_SWITCH_REPEATS] = true;
    kit.ask.word[MDR_COLOUR_WORD_FORMULA] = "cie76";
    const mdr_sheet *s = colour_ask(&kit);
    assert_int_equal(colour_table(s, "colours")->n_rows, 3);
    colour_near(s, "colours", 0, "l", l_of(0.2), 1e-6, "D: mean of the curves");
    colour_near(s, "colours", 1, "l", l_of(0.5), 1e-6, "D: read once");
    colour_near(s, "colours", 2, "l", l_of(0.3), 1e-6, "D: another mode");
    colour_near(s, "samples", 0, "readings", 2, 0, "D: counted");
    colour_near(s, "samples", 2, "readings", 1, 0, "D: counted");
    assert_int_equal(colour_table(s, "readings")->n_rows, 1);
    colour_near(s, "readings", 0, "pair_de", l_of(0.21) - l_of(0.19), 1e-6,
                "D: two greys differ in L* alone");
    assert_int_equal(colour_cell(s, "readings", 0, "outlier")->kind, MDR_CELL_NONE);

    colour_begin(&kit, MDR_COLOUR_READ);
    colour_flat(&kit, "a,SCI,0.2;a,SCI,0.201;a,SCI,0.199;a,SCI,0.3;a,SCI,0.2005");
    kit.ask.is[MDR_COLOUR_SWITCH_REPEATS] = true;
    s = colour_ask(&kit);
    colour_near(s, "readings", 0, "outlier", 4, 0, "D: the fourth stands apart");
    assert_true(colour_value(s, "readings", 0, "outlier_de") > 9);
}

static void repeats_that_cannot_be_averaged(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_READ);
    colour_labs(&kit, "D65 10", "a 40 1 1\na 41 1 1");
    kit.ask.is[MDR_COLOUR_SWITCH_REPEATS] = true;
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:8", "without curves");
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
}

/* -- whiteness, strength, fastness -- */

extern const double whiteness_checks[][9];
extern const int whiteness_checks_rows;

static double f_of(double t)
{
    return cbrt(t); /* whites are far above the straight part */
}

static void whiteness(void **state)
{
    (void)state;
    const double white[] = {94.811, 100.0, 107.304}; /* D65, 10 degree */
    int looked_at = 0;
    for (int i = 0; i < whiteness_checks_rows; i++) {
        const double *w = whiteness_checks[i];
        if (w[3] != 65 || w[4] != 10) {
            continue;
        }
        const double fx = f_of(w[0] / white[0]), fy = f_of(w[1] / white[1]),
                     fz = f_of(w[2] / white[2]);
        char line[120];
        (void)snprintf(line, sizeof line, "w %.9f %.9f %.9f", 116 * fy - 16, 500 * (fx - fy),
                       200 * (fy - fz));
        colour_begin(&kit, MDR_COLOUR_WHITENESS);
        colour_labs(&kit, "D65 10", line);
        const mdr_sheet *s = colour_ask(&kit);
        colour_near(s, "samples", 0, "whiteness", w[5], 0.03, "O: whiteness_checks");
        colour_near(s, "samples", 0, "tint", w[6], 0.02, "O: whiteness_checks");
        colour_near(s, "samples", 0, "yellowness", w[7], 0.02, "O: whiteness_checks");
        colour_near(s, "samples", 0, "counts", w[8], 0, "O: whiteness_checks");
        assert_int_equal(colour_text(s, "samples", 0, "why_not")[0] == '\0', w[8] == 1.0);
        looked_at++;
    }
    assert_true(looked_at >= 6);
}

/* R of K/S: 1 + k - sqrt(k^2 + 2 k) */
static double r_of(double ks)
{
    return 1.0 + ks - sqrt(ks * ks + 2.0 * ks);
}

static void strength(void **state)
{
    (void)state;
    char samples[200];
    (void)snprintf(samples, sizeof samples, "std,SCI,%.9f;undyed,SCI,%.9f;strong,SCI,%.9f",
                   r_of(2.02), r_of(0.02), r_of(2.52));
    colour_begin(&kit, MDR_COLOUR_STRENGTH);
    colour_flat(&kit, samples);
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "std";
    kit.ask.word[MDR_COLOUR_WORD_SUBSTRATE] = "undyed";
    const mdr_sheet *s = colour_ask(&kit);
    assert_int_equal(colour_table(s, "samples")->n_rows, 1); /* the undyed is no sample */
    colour_near(s, "samples", 0, "peak_pct", 125, 1e-4, "D: 2.5/2 net");
    colour_near(s, "samples", 0, "sum_pct", 125, 1e-4, "D: flat curves");
    colour_near(s, "samples", 0, "weighted_pct", 125, 1e-4, "D: flat curves");
    colour_near(s, "samples", 0, "same_strength_de", 0, 1e-4, "D: one dye");
    assert_true(colour_value(s, "samples", 0, "de") > 1);
    kit.ask.word[MDR_COLOUR_WORD_SUBSTRATE] = NULL;
    s = colour_ask(&kit);
    assert_int_equal(colour_table(s, "samples")->n_rows, 2);
    colour_near(s, "samples", 1, "peak_pct", 100 * 2.52 / 2.02, 1e-4, "D: gross");
    assert_true(colour_has_note(s, "counts as dye"));
}

static void fastness(void **state)
{
    (void)state;
    const double before[] = {50, 0, 0}, after[] = {51.7, 0, 0};
    colour_begin(&kit, MDR_COLOUR_FASTNESS);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_STANDARD_LAB, 3, before);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_SAMPLE_LAB, 3, after);
    const mdr_sheet *s = colour_ask(&kit);
    assert_string_equal(colour_text(s, "samples", 0, "grade"), "4");
    colour_near(s, "samples", 0, "rating", 4, 1e-9, "D: 5 - 1.7/1.7");
    assert_string_equal(colour_line(s, "scale")->text, "change");
    kit.ask.is[MDR_COLOUR_SWITCH_STAINING] = true;
    s = colour_ask(&kit);
    colour_near(s, "samples", 0, "rating", 5 - 0.23 * 1.7, 1e-9, "D: A04 above 4");
    assert_string_equal(colour_line(s, "scale")->text, "staining");
    colour_begin(&kit, MDR_COLOUR_FASTNESS);
    colour_flat(&kit, "a,SCE,0.2;b,SCE,0.3");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    assert_true(colour_has_note(colour_ask(&kit), "specular part included"));
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
                "\"12.5m left\" 51.0 0 0\n\"12.5m right\" 50.9 0 0\n\"spare mm\" 50.5 0 0");
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

/* -- refusals -- */

typedef struct refusal {
    mdr_colour_question question;
    mdr_colour_number number;
    double v[2];
    int n;
    mdr_code code;
    const char *place, *message;
} refusal;

static const refusal BAD_NUMBERS[] = {
    {MDR_COLOUR_READ, MDR_COLOUR_NUMBER_OBSERVER, {5}, 1, MDR_E_RANGE, "observer", "observer"},
    {MDR_COLOUR_READ, MDR_COLOUR_NUMBER_OBSERVER, {2.5}, 1, MDR_E_RANGE, "observer", "observer"},
    {MDR_COLOUR_READ, MDR_COLOUR_NUMBER_OBSERVER, {2, 10}, 2, MDR_E_ARG, "observer", "count"},
    {MDR_COLOUR_GROUP, MDR_COLOUR_NUMBER_MOST, {0}, 1, MDR_E_RANGE, "most_de", "outside"},
    {MDR_COLOUR_GROUP, MDR_COLOUR_NUMBER_MOST, {NAN}, 1, MDR_E_RANGE, "most_de", "outside"},
    {MDR_COLOUR_GROUP, MDR_COLOUR_NUMBER_MOST, {INFINITY}, 1, MDR_E_RANGE, "most_de", "outside"},
    {MDR_COLOUR_GROUP, MDR_COLOUR_NUMBER_L, {1}, 1, MDR_E_ARG, "most_de", "missing"},
    {MDR_COLOUR_DIFFERENCE, MDR_COLOUR_NUMBER_L, {0.05}, 1, MDR_E_RANGE, "l", "outside"},
    {MDR_COLOUR_DIFFERENCE, MDR_COLOUR_NUMBER_H, {1}, 1, MDR_E_ARG, "h", "no such weight"},
    {MDR_COLOUR_DIFFERENCE,
     MDR_COLOUR_NUMBER_TOLERANCE,
     {1, 2},
     2,
     MDR_E_ARG,
     "tolerance",
     "one limit"},
    {MDR_COLOUR_DIFFERENCE,
     MDR_COLOUR_NUMBER_LIMIT_DC,
     {1, -1},
     2,
     MDR_E_RANGE,
     "limit_dc",
     "lower limit"},
    {MDR_COLOUR_DIFFERENCE,
     MDR_COLOUR_NUMBER_STANDARD_LAB,
     {50, 1},
     2,
     MDR_E_ARG,
     "standard_lab",
     "count"},
    {MDR_COLOUR_LEVEL, MDR_COLOUR_NUMBER_SIDE, {1}, 1, MDR_E_ARG, "side_de", "nothing to hold"},
};

static void bad_numbers(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(BAD_NUMBERS); i++) {
        const refusal *r = &BAD_NUMBERS[i];
        colour_begin(&kit, r->question);
        colour_flat(&kit, "a,SCI,0.2;b,SCI,0.3");
        colour_numbers(&kit, r->number, r->n, r->v);
        colour_refused(&kit, r->code, r->place, r->message);
    }
}

static void bad_words(void **state)
{
    (void)state;
    static const struct {
        mdr_colour_question question;
        mdr_colour_word word;
        const char *text;
        mdr_code code;
        const char *place;
    } ROWS[] = {
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_ILLUMINANTS, "D66", MDR_E_NOTFOUND, "illuminants"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_ILLUMINANTS, "D65,", MDR_E_NOTFOUND, "illuminants"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_ILLUMINANTS, "", MDR_E_NOTFOUND, "illuminants"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_ILLUMINANTS, "F2,fl2", MDR_E_CONFLICT, "illuminants"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_ILLUMINANTS, "A,C,F1,F2,F3,F4,F5,F6,F7", MDR_E_RANGE,
         "illuminants"},
        {MDR_COLOUR_GROUP, MDR_COLOUR_WORD_ILLUMINANTS, "D65,A", MDR_E_ARG, "illuminants"},
        {MDR_COLOUR_WHITENESS, MDR_COLOUR_WORD_ILLUMINANTS, "A", MDR_E_ARG, "illuminants"},
        {MDR_COLOUR_FASTNESS, MDR_COLOUR_WORD_ILLUMINANTS, "A", MDR_E_ARG, "illuminants"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_FORMULA, "cie2000", MDR_E_NOTFOUND, "formula"},
        {MDR_COLOUR_READ, MDR_COLOUR_WORD_SCALE, "pct", MDR_E_NOTFOUND, "scale"},
        {MDR_COLOUR_DIFFERENCE, MDR_COLOUR_WORD_STANDARD, "x", MDR_E_NOTFOUND, "one.csv"},
        {MDR_COLOUR_STRENGTH, MDR_COLOUR_WORD_SAMPLE, "b", MDR_E_CONFLICT, "one.csv"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        colour_begin(&kit, ROWS[i].question);
        colour_flat(&kit, "a,SCI,0.2;b,SCI,0.3");
        kit.ask.word[ROWS[i].word] = ROWS[i].text;
        colour_number(&kit, MDR_COLOUR_NUMBER_MOST, 1);
        colour_refused(&kit, ROWS[i].code, ROWS[i].place, "");
    }
}

static void bad_samples(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_READ);
    colour_refused(&kit, MDR_E_ARG, "file", "no file");
    colour_begin(&kit, MDR_COLOUR_READ); /* between the scales: the question is put back */
    colour_flat(&kit, "a,SCI,3");
    colour_refused(&kit, MDR_E_RANGE, "one.csv:2:3", "fractions or per cent");
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_flat(&kit, "a,SCI,0.2;b,SCE,0.2");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    colour_refused(&kit, MDR_E_NOTFOUND, "one.csv", "no sample to hold");
    kit.ask.word[MDR_COLOUR_WORD_SAMPLE] = "b";
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:3", "specular mode");
    const double lab[] = {50, 0, 0};
    colour_numbers(&kit, MDR_COLOUR_NUMBER_SAMPLE_LAB, 3, lab);
    colour_refused(&kit, MDR_E_ARG, "sample_lab", "both");
    colour_begin(&kit, MDR_COLOUR_LEVEL);
    colour_flat(&kit, "a,SCI,0.2;b,SCE,0.2");
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:3", "specular mode");
    colour_begin(&kit, MDR_COLOUR_LEVEL);
    colour_flat(&kit, "a,SCI,0.2");
    colour_refused(&kit, MDR_E_RANGE, "one.csv.n", "");
    colour_begin(&kit, MDR_COLOUR_GROUP);
    colour_flat(&kit, "a,SCI,0.2");
    colour_number(&kit, MDR_COLOUR_NUMBER_MOST, 1);
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    colour_refused(&kit, MDR_E_NOTFOUND, "one.csv", "no roll");
    kit.ask.is[MDR_COLOUR_SWITCH_CODES] = true;
    colour_refused(&kit, MDR_E_ARG, "widths", "missing");
}

/* What needs a curve, or a light, that a sample has not. */
static void not_by_colour_alone(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_STRENGTH);
    colour_labs(&kit, "D65 10", "a 50 0 0\nb 51 0 0");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:8", "colour only");
    colour_begin(&kit, MDR_COLOUR_DIFFERENCE);
    colour_labs(&kit, "D50 2", "a 50 0 0\nb 51 0 0");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:8", "another light");
    colour_begin(&kit, MDR_COLOUR_STRENGTH); /* fluorescent: no K/S */
    colour_flat(&kit, "a,SCI,0.2;b,SCI,1.1");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    colour_refused(&kit, MDR_E_RANGE, "one.csv:3.sample.v[0]", "");
    kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "b";
    colour_refused(&kit, MDR_E_RANGE, "one.csv:3.standard.v[0]", "");
}

/* -- memory -- */

static void ask_all(int which)
{
    const double widths[] = {0.5, 0.3, 0.4};
    colour_begin(&kit, (mdr_colour_question)which);
    colour_flat(&kit, "a,SCI,0.2;b,SCI,0.21;b,SCI,0.22;c,SCE,0.3");
    if (which == MDR_COLOUR_GROUP || which == MDR_COLOUR_LEVEL) {
        kit.ask.n_files = 0;
        colour_flat(&kit, "a,SCI,0.2;b,SCI,0.21;b,SCI,0.22;c,SCI,0.3");
    } else {
        kit.ask.word[MDR_COLOUR_WORD_STANDARD] = "a";
    }
    if (which == MDR_COLOUR_READ || which == MDR_COLOUR_DIFFERENCE) {
        kit.ask.word[MDR_COLOUR_WORD_ILLUMINANTS] = "D65,A";
    }
    kit.ask.is[MDR_COLOUR_SWITCH_REPEATS] = true;
    kit.ask.is[MDR_COLOUR_SWITCH_CODES] = true;
    colour_number(&kit, MDR_COLOUR_NUMBER_MOST, 0.5);
    colour_numbers(&kit, MDR_COLOUR_NUMBER_WIDTHS, 3, widths);
}

/* Every allocation is made to fail once: want of memory and nothing else, and nothing answered. */
static void no_memory(void **state)
{
    (void)state;
    for (int q = 0; q < MDR_COLOUR_QUESTION_COUNT; q++) {
        ask_all(q);
        mdr_code rc = MDR_E_NOMEM;
        unsigned n = 0;
        while (rc != MDR_OK) {
            mdr_arena *a = mdr_arena_new(32 << 20);
            mdr_blob out = {0};
            mdr_err err = {0};
            assert_non_null(a);
            mdr_arena_fail_at(++n);
            rc = mdr_app_colour_json(&kit.ask, a, NULL, &out, &err);
            mdr_arena_fail_at(0);
            if (rc != MDR_OK && rc != MDR_E_NOMEM) {
                fail_msg("%s: %s %s", mdr_colour_question_id(kit.ask.question), err.place, err.msg);
            }
            assert_int_equal(rc == MDR_OK, out.len > 0);
            mdr_arena_free(a);
        }
        assert_true(n > 1);
    }
}

/* The same with an arena that grows by little: every allocation, not every block, meets its end. */
static void little_memory(void **state)
{
    (void)state;
    enum { STEP_BYTES = 2048 };
    for (int q = 0; q < MDR_COLOUR_QUESTION_COUNT; q++) {
        ask_all(q);
        mdr_code rc = MDR_E_NOMEM;
        int failed = 0;
        for (size_t room = STEP_BYTES; rc != MDR_OK; room += STEP_BYTES) {
            mdr_arena *a = mdr_arena_new(room);
            mdr_blob out = {0};
            assert_non_null(a);
            rc = mdr_app_colour_json(&kit.ask, a, NULL, &out, NULL);
            assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
            failed += rc != MDR_OK;
            mdr_arena_free(a);
        }
        assert_true(failed > 5);
    }
}

static void whys(void **state)
{
    (void)state;
    int n = 0;
    const mdr_answer_why *all = mdr_app_colour_whys(&n);
    why_kit_check(all, n);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(read_colours),
        cmocka_unit_test(read_own_colour),
        cmocka_unit_test(read_colour_alone),
        cmocka_unit_test(read_repeats),
        cmocka_unit_test(repeats_that_cannot_be_averaged),
        cmocka_unit_test(formulas),
        cmocka_unit_test(weights_of_the_formula),
        cmocka_unit_test(verdicts),
        cmocka_unit_test(at_the_limit),
        cmocka_unit_test(one_file_for_both),
        cmocka_unit_test(two_grids),
        cmocka_unit_test(whiteness),
        cmocka_unit_test(strength),
        cmocka_unit_test(fastness),
        cmocka_unit_test(groups),
        cmocka_unit_test(codes),
        cmocka_unit_test(level),
        cmocka_unit_test(level_by_order),
        cmocka_unit_test(bad_numbers),
        cmocka_unit_test(bad_words),
        cmocka_unit_test(bad_samples),
        cmocka_unit_test(not_by_colour_alone),
        cmocka_unit_test(no_memory),
        cmocka_unit_test(little_memory),
        cmocka_unit_test(whys),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
