/* What colour measured cloth has, how white, how strong, how fast: worked examples. */
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

/* A cloth that reflects above 560 nm only: redder and lighter under the yellow light. */
static void read_a_colour(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_READ);
    (void)snprintf(kit.text[0], COLOUR_TEXT, "wavelength_nm,red\n");
    for (int nm = 400; nm <= 700; nm += 10) {
        const size_t len = strlen(kit.text[0]);
        (void)snprintf(kit.text[0] + len, COLOUR_TEXT - len, "%d,%g\n", nm, nm < 580 ? 0.03 : 0.6);
    }
    colour_close_file(&kit);
    kit.ask.word[MDR_COLOUR_WORD_ILLUMINANTS] = "D65,A";
    const mdr_sheet *s = colour_ask(&kit);
    assert_true(colour_value(s, "colours", 1, "l") > colour_value(s, "colours", 0, "l") + 3);
    assert_true(colour_value(s, "colours", 1, "inconstancy_de") > 0.5);
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

/* The colour that a file gives one reading is not that of the mean. */
static void repeats_have_no_own_colour(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_READ);
    size_t len = (size_t)snprintf(kit.text[0], COLOUR_TEXT,
                                  "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B");
    for (int nm = 400; nm <= 700; nm += 20) {
        len += (size_t)snprintf(kit.text[0] + len, COLOUR_TEXT - len, " SPECTRAL_NM%d", nm);
    }
    len += (size_t)snprintf(kit.text[0] + len, COLOUR_TEXT - len, "\nEND_DATA_FORMAT\nBEGIN_DATA");
    for (int i = 0; i < 3; i++) {
        len += (size_t)snprintf(kit.text[0] + len, COLOUR_TEXT - len, "\n%s 50 0 0",
                                i < 2 ? "a" : "b");
        for (int nm = 400; nm <= 700; nm += 20) {
            len += (size_t)snprintf(kit.text[0] + len, COLOUR_TEXT - len, " 0.2");
        }
    }
    (void)snprintf(kit.text[0] + len, COLOUR_TEXT - len, "\nEND_DATA\n");
    colour_close_file(&kit);
    kit.ask.is[MDR_COLOUR_SWITCH_REPEATS] = true;
    const mdr_sheet *s = colour_ask(&kit);
    assert_int_equal(colour_cell(s, "samples", 0, "own_l")->kind, MDR_CELL_NONE);
    colour_near(s, "samples", 1, "own_l", 50, 1e-9, "I: read once");
    assert_int_equal(colour_cell(s, "samples", 1, "own_de")->kind, MDR_CELL_NONE); /* no light */
}

static void repeats_that_cannot_be_averaged(void **state)
{
    (void)state;
    colour_begin(&kit, MDR_COLOUR_READ);
    colour_labs(&kit, "D65 10", "a 40 1 1\na 41 1 1");
    kit.ask.is[MDR_COLOUR_SWITCH_REPEATS] = true;
    colour_refused(&kit, MDR_E_CONFLICT, "one.csv:8", "without curves");
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

/* Flat curves are W = Y, tint 0: by hand. */
static void whiteness_that_does_not_count(void **state)
{
    (void)state;
    static const char *const WHY[] = {"", "too_strong", "too_grey"};
    colour_begin(&kit, MDR_COLOUR_WHITENESS);
    colour_flat(&kit, "white,SCI,0.9;raw,SCI,0.65;grey,SCI,0.3");
    const mdr_sheet *s = colour_ask(&kit);
    for (int i = 0; i < 3; i++) {
        assert_string_equal(colour_text(s, "samples", i, "why_not"), WHY[i]);
    }
    colour_near(s, "samples", 0, "whiteness", 90, 0.02, "D: W = Y");
    colour_begin(&kit, MDR_COLOUR_WHITENESS); /* a green tint: x and y above those of white */
    colour_labs(&kit, "D65 10", "greenish 95 -3 0");
    assert_string_equal(colour_text(colour_ask(&kit), "samples", 0, "why_not"), "too_tinted");
    colour_begin(&kit, MDR_COLOUR_WHITENESS);
    colour_labs(&kit, "D65 10", "black 0 0 0");
    colour_refused(&kit, MDR_E_RANGE, "one.csv:8", "reflects nothing");
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
        cmocka_unit_test(read_a_colour),
        cmocka_unit_test(read_repeats),
        cmocka_unit_test(repeats_have_no_own_colour),
        cmocka_unit_test(repeats_that_cannot_be_averaged),
        cmocka_unit_test(whiteness),
        cmocka_unit_test(whiteness_that_does_not_count),
        cmocka_unit_test(strength),
        cmocka_unit_test(fastness),
        cmocka_unit_test(whys),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
