/* Can a specification be met, asked as JSON: worked examples, refusals, failing allocations. */
#include "t.h"

#include <stdio.h>
#include <string.h>

#include "app/mdr_app_fabric.h"
#include "app/mdr_app_fabric_map.h"
#include "desk_kit.h"
#include "why_kit.h"

enum { ARENA_BYTES = 1 << 20 };

static desk_kit kit = {.answer = mdr_app_fabric, .json = mdr_app_fabric_json};

static int set_up(void **state)
{
    (void)state;
    kit.arena = mdr_arena_new(ARENA_BYTES);
    return kit.arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    mdr_arena_free(kit.arena);
    return 0;
}

static const mdr_answer *ask(const char *question)
{
    return desk_ask(&kit, question);
}

#define ASKED "\"gsm\":160,\"width_cm\":160,\"length_shrink_pct\":5,\"width_shrink_pct\":4"
#define SHORT \
    "{\"do\":\"washed\",\"relaxed_gsm\":160,\"relaxed_width_cm\":150,\"width_tol_cm\":2," ASKED "}"
#define JERSEY                                                                            \
    "{\"do\":\"knitted\",\"construction\":\"single-jersey\",\"tex\":20,\"loop_cm\":0.28," \
    "\"needles\":2640,\"feeders\":96,\"spirality_pct\":5,\"gsm\":150,\"width_cm\":180,"   \
    "\"length_shrink_pct\":5,\"width_shrink_pct\":5}"
#define BY_NE                                                                      \
    "{\"do\":\"knitted\",\"construction\":\"rib-1x1\",\"ne\":30,\"loop_cm\":0.28," \
    "\"gauge_per_inch\":18,\"diameter_inch\":30,\"gsm\":200,\"width_cm\":130,"     \
    "\"length_shrink_pct\":5,\"width_shrink_pct\":5}"

#define MAPPED                                                                            \
    "{\"do\":\"knitted\",\"construction\":\"single-jersey\",\"ne\":30,\"loop_cm\":0.278," \
    "\"gauge_per_inch\":24,\"diameter_inch\":30,\"map_frames\":3,\"map_loop_pct\":5," ASKED "}"

static const desk_number NUMBERS[] = {
    {SHORT, "limit_wanted", "width_cm", 156.25, 1e-9, "D: 150 / 0.96"},
    {SHORT, "limit_wanted", "width_shrink_pct", 5.0632911, 1e-6, "D: 1 - 150/158"},
    {SHORT, "clash_pct", "width_against_shrinkage", 1.12, 1e-9, "D: 158/156.25 - 1"},
    {SHORT, "clash_pct", "gsm_against_width", 0, 1e-12, "D: 152 g/m2 x 158 cm is more than 95 %"},
    {SHORT, "knit_change", "loop_pct", 1.12, 1e-9, "D: the width goes with the loop"},
    {SHORT, "knit_change", "needles_pct", 1.12, 1e-9, "D: the width goes with the needles"},
    {JERSEY, "relaxed", "courses_per_cm", 5.5 / 0.28, 1e-9, "Knapton 1968: kc 5.5"},
    {JERSEY, "relaxed", "wales_per_cm", 15, 1e-9, "Knapton 1968: kw 4.2"},
    {JERSEY, "relaxed", "width_cm", 176, 1e-9, "D: 2640 needles / 15 wales"},
    {JERSEY, "relaxed", "gsm", 165, 1e-9, "D: 5.5 x 4.2 x 20 / (10 x 0.28)"},
    {JERSEY, "relaxed", "tightness", 15.972, 5e-4, "D: sqrt(20)/0.28"},
    {JERSEY, "spirality", "feeder_pct", 2.7768595, 1e-6, "D: 100 x 96 x 15/(2640 x 19.642857)"},
    {JERSEY, "spirality", "over_pct", 0, 1e-12, "D: less than 5 %"},
    {BY_NE, "relaxed", "tex", 19.684708, 1e-6, "D: 590.5412/30"},
    {BY_NE, "relaxed", "needles", 1696, 0, "D: pi x 30 x 18 = 1696.5, to the nearest even"},
};

static void numbers(void **state)
{
    (void)state;
    desk_check_numbers(&kit, NUMBERS, N_OF(NUMBERS));
}

static void verdicts(void **state)
{
    (void)state;
    assert_string_equal(desk_line(ask(SHORT), "", "verdict")->text, "not_met");
    const mdr_answer *yes = ask(JERSEY);
    assert_string_equal(desk_line(yes, "", "verdict")->text, "met");
    assert_true(yes->table.n_rows >= 3);          /* the corners of an area */
    for (int i = 0; i < yes->table.n_rows; i++) { /* D: every corner within the limits asked for */
        const double *c = &yes->table.cells[i * yes->table.n_columns];
        assert_true(c[0] >= 177.46 - 1e-9 && c[0] <= 182.54 + 1e-9);
        assert_true(c[1] >= 142.5 - 1e-9 && c[1] <= 157.5 + 1e-9);
        assert_true(c[2] <= 5 + 1e-9 && c[3] <= 5 + 1e-9);
    }
    assert_int_equal(desk_line(ask(SHORT), "limit_wanted", "gsm")->kind, MDR_ANSWER_NONE);
    assert_int_equal(desk_line(ask(SHORT), "knit_change", "tex_pct")->kind, MDR_ANSWER_NONE);
}

/* A cure, done as it says, is one: the question asked again is met. */
static void a_cure_cures(void **state)
{
    (void)state;
    const double loop_pct = desk_line(ask(SHORT), "knit_change", "loop_pct")->value;
    const double q = 1.0 + loop_pct / 100.0 + 1e-9;
    char again[400];
    (void)snprintf(again, sizeof again,
                   "{\"do\":\"washed\",\"relaxed_gsm\":%.12f,\"relaxed_width_cm\":%.12f,"
                   "\"width_tol_cm\":2," ASKED "}",
                   160.0 / q, 150.0 * q);
    assert_string_equal(desk_line(ask(again), "", "verdict")->text, "met");
}

static const desk_refusal REFUSED[] = {
    {"{}", "do", MDR_E_PARSE},
    {"{\"do\":\"wahsed\"," ASKED "}", "do", MDR_E_PARSE},
    {"{\"do\":\"washed\"," ASKED "}", "relaxed_gsm", MDR_E_PARSE},
    {"{\"do\":\"washed\",\"relaxed_gsm\":5,\"relaxed_width_cm\":150," ASKED "}", "relaxed_gsm",
     MDR_E_RANGE},
    {"{\"do\":\"washed\",\"relaxed_gsm\":160,\"relaxed_width_cm\":150,\"width_tol_cm\":90," ASKED
     "}",
     "width_tol_cm", MDR_E_RANGE},
    {"{\"do\":\"washed\",\"ne\":30,\"relaxed_gsm\":160,\"relaxed_width_cm\":150," ASKED "}", "ne",
     MDR_E_PARSE},
    {"{\"do\":\"knitted\",\"construction\":\"single-jersey\",\"loop_cm\":0.3,\"needles\":"
     "2000," ASKED "}",
     "ne", MDR_E_PARSE},
    {"{\"do\":\"knitted\",\"construction\":\"single-jersey\",\"ne\":30,\"tex\":20,\"loop_cm\":0.3,"
     "\"needles\":2000," ASKED "}",
     "tex", MDR_E_PARSE},
    {"{\"do\":\"knitted\",\"construction\":\"single-jersey\",\"ne\":30,\"loop_cm\":0.3," ASKED "}",
     "needles", MDR_E_PARSE},
    {"{\"do\":\"knitted\",\"construction\":\"single-jersey\",\"ne\":30,\"loop_cm\":0.3,"
     "\"needles\":2," ASKED "}",
     "needles", MDR_E_RANGE},
    {"{\"do\":\"knitted\",\"construction\":\"single-jersey\",\"ne\":30,\"loop_cm\":0.3,"
     "\"needles\":2000,\"spirality_pct\":5," ASKED "}",
     "feeders", MDR_E_PARSE},
    {"{\"do\":\"knitted\",\"construction\":\"single-jersey\",\"ne\":30,\"loop_cm\":3,"
     "\"needles\":2000," ASKED "}",
     "loop_cm", MDR_E_RANGE},
    {"{\"do\":\"washed\",\"relaxed_gsm\":160,\"relaxed_width_cm\":150,\"map_frames\":2," ASKED "}",
     "map_frames", MDR_E_RANGE},
    {"{\"do\":\"washed\",\"relaxed_gsm\":160,\"relaxed_width_cm\":150,\"map_gsm_low\":9," ASKED "}",
     "map_frames", MDR_E_PARSE},
};

static void refusals(void **state)
{
    (void)state;
    desk_check_refusals(&kit, REFUSED, N_OF(REFUSED));
}

static void no_memory(void **state)
{
    (void)state;
    assert_true(desk_starve(&kit, SHORT) + desk_starve(&kit, JERSEY) + desk_starve(&kit, MAPPED) >=
                6);
}

/* What each frame says, in the order it is written. Frames 95, 100 and 105 % of the loop. */
static void a_map(void **state)
{
    (void)state;
    const mdr_answer *a = ask(MAPPED);
    assert_non_null(a->put_more);
    assert_null(ask(SHORT)->put_more);
    const mdr_fabric_map *m = a->more;
    assert_int_equal(m->n_frames, 3);
    assert_int_equal(m->now, 1);
    CHECK_NEAR(m->frames[0].loop_cm, 0.2641, 1e-12, "D: 0.278 x 0.95 to a thousandth of a mm");
    CHECK_NEAR(m->frames[1].loop_cm, 0.278, 0, "D: as asked");
    CHECK_NEAR(m->frames[2].loop_cm, 0.2919, 1e-12, "D: 0.278 x 1.05");
    const double metre = m->frames[1].in.relaxed.gsm * m->frames[1].in.relaxed.width_cm;
    for (int i = 0; i < m->n_frames; i++) {
        const mdr_fabric_frame *f = &m->frames[i];
        CHECK_NEAR(f->in.relaxed.width_cm, 2262 * f->loop_cm / 4.2, 1e-9, "Knapton 1968: kw 4.2");
        CHECK_NEAR(f->in.relaxed.gsm * f->in.relaxed.width_cm, metre, 1e-8, "D: mass of a metre");
        assert_int_equal(f->n_cures > 0, !f->answer.feasible);
        assert_int_equal(f->feasible.n > 0, f->answer.feasible);
    }
    const mdr_spec_window *w = &m->window;
    assert_true(w->width_cm.low < 157.4 && w->width_cm.high > 162.6); /* the box, 160 +- 2.54 */
    assert_true(w->gsm.low < 152 && w->gsm.high > 168);               /* 160 +- 5 % */
    assert_true(m->n_lines >= 4);
    for (int i = 0; i < m->n_lines; i++) {
        const double pct = m->lines[i].shrink_pct;
        CHECK_NEAR(pct, round(pct), 0, "round per cents");
    }
}

static void whys_can_be_read(void **state)
{
    (void)state;
    int n = 0;
    const mdr_answer_why *whys = mdr_app_fabric_whys(&n);
    assert_true(n >= 8);
    why_kit_check(whys, n);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers),          cmocka_unit_test(verdicts),
        cmocka_unit_test(a_cure_cures),     cmocka_unit_test(a_map),
        cmocka_unit_test(refusals),         cmocka_unit_test(no_memory),
        cmocka_unit_test(whys_can_be_read),
    };
    return cmocka_run_group_tests_name("app: fabric", tests, set_up, tear_down);
}
