/* The finishing desk, asked as JSON: worked examples, failing allocations. */
#include "app_line_kit.h"

static const mdr_answer *ask(const char *question)
{
    return desk_ask(&kit, question);
}

static double number(const mdr_answer *a, const char *group, const char *key)
{
    const mdr_answer_line *l = desk_line(a, group, key);
    assert_int_equal(l->kind, MDR_ANSWER_NUMBER);
    return l->value;
}

static const char *text(const mdr_answer *a, const char *group, const char *key)
{
    const mdr_answer_line *l = desk_line(a, group, key);
    assert_int_equal(l->kind, MDR_ANSWER_TEXT);
    return l->text;
}

static bool notes(const mdr_answer *a, const char *part)
{
    for (int i = 0; i < a->n_notes; i++) {
        if (strstr(a->notes[i], part) != NULL) {
            return true;
        }
    }
    return false;
}

static const desk_number NUMBERS[] = {
    {SET, "finished", "width_cm", 150 / 0.95, 1e-9, "D: relaxed width/(1 - sW)"},
    {SET, "finished", "gsm", 180 * 0.96 * 0.95, 1e-9, "D: relaxed g/m2 (1 - sL)(1 - sW)"},
    {SET, "finished", "courses_per_cm", 19.2, 1e-9, "D: 20 x 0.96"},
    {SET, "stenter", "set_width_cm", 150 / 0.95, 1e-9, "D: nothing widens later"},
    {SET, "compactor", "set_overfeed_pct", 8, 1e-9, "P: usual"},
    {SET, "compactor", "length_loss_pct", 7.4074074, 1e-6, "D: 8/1.08"},
    {SET, "stenter", "set_overfeed_pct", 100 * (19.2 / (18 * 0.96 * 0.99 * 1.08) - 1), 1e-9,
     "D: 10 % shrinkage at the start, squeezer -4 %, padder -1 %, compactor 8 %"},
    {SET, "dewatering", "courses_per_cm", 18 * 0.96, 1e-9, "D: stretched by 4 %"},
    {SET, "stenter", "wet_gsm", 180 / 1.085 * 1.07 * (19.2 / 1.08 / 20) * 0.95, 1e-9,
     "D: bone dry, loops of this place, 7 % of water"},
    {SET, "compactor", "conditioned_gsm", 180 * 0.96 * 0.95, 1e-9, "D: finished"},
    {WALES, "finished", "width_cm", 150 / 0.95, 1e-9, "D: 2250/15 = 150 relaxed"},
    {STARTED, "stenter", "set_overfeed_pct", 100 * (19.2 / (17 * 1.1) - 1), 1e-9,
     "D: as read at the start"},
    {STARTED, "stenter", "set_width_cm", 150 / 0.95 / 1.02, 1e-9, "D: the compactor widens 2 %"},
    {SET_TUBE, "finished", "layflat_cm", 75 / 0.95, 1e-9, "D: a tube is told flat"},
    {SET_TUBE, "finished", "gsm", 180 * 0.96 * 0.95, 1e-9, "D: weight of one layer"},
    {SET_TUBE, "spreader", "set_layflat_cm", 75 / 0.95 / 0.96, 1e-9,
     "D: the dryer takes 4 % of the width"},
    {SET_TUBE, "spreader", "set_overfeed_pct", 100 * (19.2 / (18 * 0.95 * 0.99 * 1.05 * 1.08) - 1),
     1e-9, "D: usual overfeeds taken off"},
    {DRY_20 "}", "drying", "rate_kg_per_m2_h", 8.30, 0.005, "O: handbook table, h 30"},
    {DRY_20 "}", "drying", "total_s", 56.3, 0.06, "O: handbook table, h 30"},
    {DRY_20 "}", "speed", "most_m_per_min", 25.6, 0.05, "O: handbook table, oven 24 m"},
    {DRY_20 "}", "heat", "evaporated_kg_per_h", 225.8, 0.06, "O: handbook balance"},
    {DRY_20 "}", "heat", "air_kg_per_h", 2565, 1, "O: handbook balance"},
    {DRY_20 "}", "heat", "mj_per_kg_evaporated", 4.47, 0.006, "O: handbook balance"},
    {DRY_20 ",\"better_exhaust_kg_per_kg\":0.15}", "saving", "exhaust_pct", 100 * (1 - 4.00 / 4.47),
     0.2, "O: handbook balance, 0.10 to 0.15"},
    {DRY ",\"exhaust_kg_per_kg\":0.05,\"speed_m_per_min\":20}", "saving", "exhaust_pct", 28, 0.5,
     "O: handbook, 0.05 to 0.10 unasked"},
    {"{\"do\":\"dry\",\"width_cm\":180,\"gsm\":180,\"moisture_in_kg_per_kg\":0.6,\"oven_m\":24,"
     "\"h_w_per_m2_k\":30,\"exhaust_kg_per_kg\":0.1,\"fresh_c\":30,\"fabric_in_c\":30,"
     "\"better_moisture_in_kg_per_kg\":0.5}",
     "saving", "squeeze_pct", 17.6, 0.1, "O: handbook, entry 60 to 50 %"},
    {FIT, "", "h_w_per_m2_k", 30, 0.05, "O: handbook table, backwards"},
    {PAD, "", "trough_pct", 2.5, 1e-9, "S: 2 % wet on wet, 80 %"},
    {PAD, "", "feed_pct", 10, 1e-9, "S: 2/(80 - 60)"},
    {PAD, "", "feed_kg", 100, 1e-9, "D: 500 x 0.2"},
    {PAD, "", "trough_product_kg", 1, 1e-9, "D: 40 x 2.5 %"},
    {RESULT "}", "length_change", "mean_pct", -9, 1e-9, "D: 31.85 of 35 cm"},
    {RESULT "}", "width_change", "mean_pct", -6, 1e-9, "D: 32.9 of 35 cm"},
    {RESULT "}", "gsm", "mean_gsm", 155, 1e-9, "D: 1.55 g of 100 cm2"},
    {RESULT "}", "width", "margin_cm", 159.65 - 157.46, 1e-9, "D: nearer limit 160 - 2.54"},
    {RESULT "}", "relaxed", "gsm", 155 / (0.91 * 0.94), 1e-9, "D: as the test left it"},
    {RESULT ",\"mark_cm\":35,\"length_before_cm\":[31.8,31.9,31.85]}", "length_change", "mean_pct",
     0, 1e-9, "D: marks one by one"},
    {INSPECT_YD, "", "points_per_100_yd2", 12.0, 1e-9, "S: 28 points, 150 yd, 56 inch"},
    {INSPECT_YD, "", "over", 0, 1e-12, "D: at the limit passes"},
    {INSPECT_M, "", "points", 7, 0, "D: 4 at most in metre 3, 1 by 60 mm, hole 2"},
    {INSPECT_M, "", "points_per_100_m2", 100000.0 * 7 / (100 * 1500), 1e-9, "D"},
    {GREY, "", "grey_kg", 11072, 0.5, "O: handbook"},
    {GREY, "", "yarn_kg", 11298, 0.5, "O: handbook"},
    {BACK, "", "finished_kg", 10000, 0.1, "D: the same backwards"},
    {ROLLS, "lots", "lots", 2, 0, "D: 142 kg in lots of 60 to 80"},
    {ROLLS, "lots", "remainder_kg", 90, 1e-9, "D: one is too heavy"},
    {ROLLS, "lots", "rolls_too_heavy", 1, 0, "D"},
};

static void numbers(void **state)
{
    (void)state;
    desk_check_numbers(&kit, NUMBERS, N_OF(NUMBERS));
}

static void a_specification(void **state)
{
    (void)state;
    const mdr_answer *a = ask(SET_SPEC);
    assert_string_equal(text(a, "", "verdict"), "met");
    assert_true(fabs(number(a, "finished", "width_cm") - 160) <= 2.54);
    assert_true(fabs(number(a, "finished", "gsm") - 160) <= 8);
    assert_true(number(a, "finished", "length_shrink_pct") <= 5);
    assert_true(number(a, "finished", "width_shrink_pct") <= 7);
    assert_true(notes(a, "assumed"));
    a = ask("{\"do\":\"settings\"," OPEN "," SPEC ",\"gsm_tol_pct\":0.5,\"width_tol_cm\":0.1,"
            "\"overfeed_max_pct\":1,\"compact_max_pct\":9}");
    assert_string_equal(text(a, "", "verdict"), "not_met");
    assert_string_equal(text(a, "length_miss", "limit"), "compact_max");
    CHECK_NEAR(number(a, "length_miss", "set_pct"), 9, 1e-9, "D: its limit");
    assert_null(desk_find(a, "clash_pct", "gsm_against_width")); /* the fabric could */
    a = ask("{\"do\":\"settings\"," OPEN
            ",\"gsm\":190,\"width_cm\":160,\"length_shrink_pct\":5,\"width_shrink_pct\":7}");
    assert_string_equal(text(a, "", "verdict"), "not_met");
    assert_true(number(a, "clash_pct", "gsm_against_width") > 0);
    desk_line(a, "limit_wanted", "gsm");
}

static void machine_limits(void **state)
{
    (void)state;
    const mdr_answer *a = ask("{\"do\":\"settings\"," OPEN "," RESIDUAL ",\"width_max_cm\":150}");
    assert_string_equal(text(a, "", "verdict"), "not_met");
    assert_string_equal(text(a, "width_miss", "limit"), "width_max");
    CHECK_NEAR(number(a, "width_miss", "wanted_width_cm"), 150 / 0.95, 1e-9, "D");
    CHECK_NEAR(number(a, "width_miss", "width_cm"), 150, 1e-9, "D");
    CHECK_NEAR(number(a, "width_miss", "off_pct"), -5, 1e-9, "D: 150 does not shrink");
    a = ask("{\"do\":\"settings\"," TUBE "," RESIDUAL ",\"layflat_max_cm\":75}");
    CHECK_NEAR(number(a, "width_miss", "wanted_layflat_cm"), 75 / 0.95 / 0.96, 1e-9, "D");
    CHECK_NEAR(number(a, "width_miss", "layflat_cm"), 75, 1e-9, "D");
    a = ask("{\"do\":\"settings\"," OPEN "," RESIDUAL ",\"dry_moisture_kg_per_kg\":0.15}");
    assert_true(notes(a, "damper than 0.10"));
    a = ask("{\"do\":\"settings\"," OPEN "," RESIDUAL ",\"dry_moisture_kg_per_kg\":0.03}");
    assert_true(notes(a, "drier than 0.04"));
}

#define READ_FORM                                                                \
    "{\"do\":\"read\"," OPEN "," RESIDUAL ",\"pass\":3,\"read_width_cm\":%.17g," \
    "\"read_courses_per_cm\":%.17g,\"read_moisture_kg_per_kg\":0.07,"            \
    "\"read_wet_gsm\":%.17g}"
#define END_FORM                                                          \
    "{\"do\":\"read\"," TUBE "," RESIDUAL                                 \
    ",\"pass\":5,\"read_layflat_cm\":%.17g,\"read_courses_per_cm\":19.2," \
    "\"read_moisture_kg_per_kg\":0.06}"

/* Read as planned, the rest of the line is as it was; off, the compactor makes up for it. */
static void after_a_reading(void **state)
{
    (void)state;
    const mdr_answer *plan = ask(SET);
    char question[600];
    const double width = number(plan, "stenter", "width_cm");
    const double courses = number(plan, "stenter", "courses_per_cm");
    const double weight = number(plan, "stenter", "wet_gsm");
    (void)snprintf(question, sizeof question, READ_FORM, width, courses, weight);
    const mdr_answer *same = ask(question);
    CHECK_NEAR(number(same, "compactor", "set_overfeed_pct"), 8, 1e-9, "D: nothing changed");
    CHECK_NEAR(number(same, "read", "weighed_off_pct"), 0, 1e-9, "D: as expected");
    assert_null(desk_find(same, "stenter", "set_width_cm"));
    assert_string_equal(text(same, "", "verdict"), "met");
    (void)snprintf(question, sizeof question, READ_FORM, width, courses * 0.98, weight);
    const mdr_answer *off = ask(question);
    CHECK_NEAR(number(off, "compactor", "set_overfeed_pct"), 100 * (1.08 / 0.98 - 1), 1e-9,
               "D: what the stenter left undone");
    CHECK_NEAR(number(off, "read", "courses_off_pct"), -2, 1e-9, "D");
    CHECK_NEAR(number(off, "read", "weighed_off_pct"), 100 * (1 / 0.98 - 1), 1e-9,
               "D: fewer courses weigh less");
    assert_false(notes(off, "Weighed"));
    (void)snprintf(question, sizeof question, READ_FORM, width, courses, weight * 1.04);
    assert_true(notes(ask(question), "Weighed"));
}

static void behind_the_last_pass(void **state)
{
    (void)state;
    char question[400];
    (void)snprintf(question, sizeof question, END_FORM, 75 / 0.95);
    const mdr_answer *a = ask(question);
    assert_string_equal(text(a, "", "verdict"), "met");
    assert_null(desk_find(a, "tube_compactor", "set_overfeed_pct"));
    assert_int_equal(desk_line(a, "read", "weighed_off_pct")->kind, MDR_ANSWER_NONE);
    (void)snprintf(question, sizeof question, END_FORM, 77.0);
    a = ask(question);
    assert_string_equal(text(a, "", "verdict"), "not_met");
    CHECK_NEAR(number(a, "finished", "width_shrink_pct"), 100 * (1 - 75 / 77.0), 1e-9, "D");
}

static void drying_limits(void **state)
{
    (void)state;
    const mdr_answer *a = ask(DRY ",\"exhaust_kg_per_kg\":0.1}");
    assert_string_equal(text(a, "speed", "limited_by"), "evaporation");
    CHECK_NEAR(number(a, "heat", "dry_kg_per_h"),
               number(a, "speed", "most_m_per_min") * 60 * 1.8 * 0.18 / 1.085, 1e-9,
               "D: at the most there is");
    a = ask(DRY ",\"exhaust_kg_per_kg\":0.1,\"speed_max_m_per_min\":15}");
    assert_string_equal(text(a, "speed", "limited_by"), "machine");
    a = ask(DRY ",\"exhaust_kg_per_kg\":0.1,\"speed_m_per_min\":40}");
    assert_true(notes(a, "as dry as wanted"));
    assert_true(number(a, "speed", "moisture_reached_kg_per_kg") > 0.07);
    a = ask("{\"do\":\"dry\",\"width_cm\":180,\"gsm\":180,\"moisture_in_kg_per_kg\":0.7,"
            "\"oven_m\":24,\"h_w_per_m2_k\":60,\"air_c\":200,\"set_c\":190,\"set_dwell_s\":30}");
    assert_string_equal(text(a, "speed", "limited_by"), "dwell");
    CHECK_NEAR(number(a, "speed", "dwell_s"), 30, 1e-6, "D: as asked for, at this speed");
    assert_true(notes(a, "exhaust was not given"));
}

/* What is said about other settings is what is answered when they are asked for. */
static void one_question_answers_the_other(void **state)
{
    (void)state;
    char question[400];
    const mdr_answer *fast = ask(DRY ",\"exhaust_kg_per_kg\":0.1,\"speed_m_per_min\":40}");
    (void)snprintf(question, sizeof question,
                   "{\"do\":\"fit\",\"gsm\":180,\"moisture_in_kg_per_kg\":0.7,\"entry_s\":0,"
                   "\"moisture_out_kg_per_kg\":%.17g,\"air_c\":150,\"air_kg_per_kg\":0.1,"
                   "\"oven_m\":24,\"speed_m_per_min\":40}",
                   number(fast, "speed", "moisture_reached_kg_per_kg"));
    CHECK_NEAR(number(ask(question), "", "h_w_per_m2_k"), 30, 1e-9, "D: the oven it came from");
#define SAVING                                                                       \
    "\"do\":\"dry\",\"width_cm\":180,\"gsm\":180,\"oven_m\":24,\"h_w_per_m2_k\":30," \
    "\"speed_m_per_min\":10,\"air_kg_per_kg\":0.1"
    const mdr_answer *now =
        ask("{" SAVING ",\"moisture_in_kg_per_kg\":0.7,\"exhaust_kg_per_kg\":0.05,"
            "\"better_moisture_in_kg_per_kg\":0.5,\"better_exhaust_kg_per_kg\":0.12}");
    const mdr_answer *then =
        ask("{" SAVING ",\"moisture_in_kg_per_kg\":0.5,\"exhaust_kg_per_kg\":0.12}");
    CHECK_NEAR(
        number(now, "saving", "both_pct"),
        100 * (1 - number(then, "heat", "mj_per_kg_dry") / number(now, "heat", "mj_per_kg_dry")),
        1e-9, "D: heat per kg of fabric then and now");
}

static const char *cell(const mdr_answer *a, int row, int column)
{
    return a->table.texts[row * a->table.n_columns + column].text;
}

static void results(void **state)
{
    (void)state;
    const mdr_answer *a = ask(RESULT ",\"courses_per_cm\":18.2}");
    assert_string_equal(text(a, "", "verdict"), "refinish");
    assert_string_equal(text(a, "length_change", "verdict"), "missed");
    assert_string_equal(text(a, "width", "verdict"), "met");
    assert_true(notes(a, "compactor alone"));
    assert_null(desk_find(a, "stenter", "set_width_cm"));
    CHECK_NEAR(number(a, "compactor", "set_overfeed_pct"),
               100 * ((1 - number(a, "finished", "length_shrink_pct") / 100) / 0.91 - 1), 1e-9,
               "D: courses closer by what is taken off the length");
    assert_string_equal(cell(a, 0, 0), "missed");
    assert_string_equal(cell(a, 0, 1), "length_change");
    CHECK_NEAR(a->table.cells[2], 4, 1e-9, "D: 9 - 5");

    a = ask(RESULT ",\"pilling\":\"3\",\"pilling_min\":\"3-4\"}");
    assert_string_equal(text(a, "", "verdict"), "claim_risk");
    CHECK_NEAR(number(a, "pilling", "margin_grade"), -0.5, 1e-12, "D: 3 - 3.5");
    assert_true(notes(a, "courses_per_cm"));

    a = ask("{\"do\":\"result\"," SPEC ",\"length_after_cm\":[33.6],\"width_after_cm\":[32.9],"
            "\"sample_g\":[1.6],\"measured_width_cm\":[160],\"twist_max_pct\":5,"
            "\"spirality_deg\":[2]}");
    assert_string_equal(text(a, "", "verdict"), "undecided");
    assert_string_equal(text(a, "twist", "verdict"), "not_measured");
    assert_string_equal(text(a, "spirality", "verdict"), "not_asked");
    a = ask("{\"do\":\"result\"," SPEC ",\"length_after_cm\":[33.6],\"width_after_cm\":[32.9],"
            "\"sample_g\":[1.6],\"measured_width_cm\":[160],\"light\":\"7-8\",\"light_min\":\"4\","
            "\"bow_cm\":[3.2],\"bow_max_pct\":3}");
    assert_string_equal(text(a, "", "verdict"), "release");
    assert_int_equal(a->table.n_columns, 0);
    CHECK_NEAR(number(a, "bow", "mean_pct"), 2, 1e-12, "D: 3.2 of 160");
}

static void results_of_a_tube(void **state)
{
    (void)state;
    const mdr_answer *a =
        ask("{\"do\":\"result\",\"line\":\"tubular\",\"gsm\":160,\"layflat_cm\":80,"
            "\"length_shrink_pct\":5,\"width_shrink_pct\":7,\"length_after_cm\":[33.6],"
            "\"width_after_cm\":[34.65],\"sample_g\":[1.65],\"measured_layflat_cm\":[76,77],"
            "\"courses_per_cm\":18}");
    assert_string_equal(text(a, "width", "verdict"), "missed");
    CHECK_NEAR(number(a, "width", "mean_layflat_cm"), 76.5, 1e-12, "D");
    CHECK_NEAR(number(a, "width", "margin_layflat_cm"), 76.5 - 78.73, 1e-9, "D: 80 - 1.27");
    assert_string_equal(text(a, "", "verdict"), "refinish");
    CHECK_NEAR(number(a, "spreader", "set_layflat_cm") * 0.96, number(a, "finished", "layflat_cm"),
               1e-9, "D: the dryer takes 4 %");
    assert_null(
        desk_find(a, "balloon_squeeze", "layflat_cm")); /* dry fabric begins at the padder */
}

static void inspections(void **state)
{
    (void)state;
    assert_string_equal(text(ask(INSPECT_YD), "", "verdict"), "pass");
    assert_string_equal(text(ask(INSPECT_M), "", "verdict"), "fail");
    const mdr_answer *none = ask("{\"do\":\"inspect\",\"length_m\":100,\"width_cm\":150}");
    CHECK_NEAR(number(none, "", "points"), 0, 0, "D: no defect");
    assert_null(desk_find(none, "", "verdict"));
}

static void rolls(void **state)
{
    (void)state;
    const mdr_answer *a = ask(ROLLS);
    double lot[3] = {0};
    assert_int_equal(a->table.n_rows, 7);
    for (int i = 0; i < 7; i++) {
        const double *c = &a->table.cells[i * a->table.n_columns];
        CHECK_NEAR(c[0], i + 1, 0, "D: in the order given");
        lot[(int)c[2]] += c[1];
    }
    CHECK_NEAR(lot[0], 90, 1e-9, "D: left over");
    assert_true(lot[1] >= 60 && lot[1] <= 80 && lot[2] >= 60 && lot[2] <= 80);
}

static void no_memory(void **state)
{
    (void)state;
    static const char *const QUESTIONS[] = {SET_TUBE, RESULT "}", ROLLS, INSPECT_M};
    for (size_t i = 0; i < N_OF(QUESTIONS); i++) {
        assert_true(desk_starve(&kit, QUESTIONS[i]) >= 2);
    }
}

static void whys_can_be_read(void **state)
{
    (void)state;
    int n = 0;
    const mdr_answer_why *whys = mdr_app_line_whys(&n);
    assert_true(n >= 15);
    why_kit_check(whys, n);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(numbers),
                                       cmocka_unit_test(a_specification),
                                       cmocka_unit_test(machine_limits),
                                       cmocka_unit_test(after_a_reading),
                                       cmocka_unit_test(behind_the_last_pass),
                                       cmocka_unit_test(drying_limits),
                                       cmocka_unit_test(one_question_answers_the_other),
                                       cmocka_unit_test(results),
                                       cmocka_unit_test(results_of_a_tube),
                                       cmocka_unit_test(inspections),
                                       cmocka_unit_test(rolls),
                                       cmocka_unit_test(no_memory),
                                       cmocka_unit_test(whys_can_be_read)};
    return cmocka_run_group_tests_name("app: line", tests, set_up, tear_down);
}
