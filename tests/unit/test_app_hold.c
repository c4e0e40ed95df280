/* Hold points as they are asked: at the desk, and of a batch. */
#include "t.h"

#include <stdio.h>
#include <string.h>

#include "app/mdr_app_hold.h"
#include "app/mdr_app_hold_batch.h"
#include "desk_kit.h"
#include "hold_kit.h"
#include "why_kit.h"

static desk_kit kit = {.answer = mdr_app_hold, .json = mdr_app_hold_json};

static int set_up(void **state)
{
    (void)state;
    kit.arena = mdr_arena_new((size_t)1 << 23);
    return kit.arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    mdr_arena_free(kit.arena);
    return 0;
}

/* -- the desk -- */

#define HOLD(check, reading) \
    "{\"do\":\"hold\",\"check\":\"" check "\",\"reading\":" reading ",\"liquor_l\":8000"
#define PEROXIDE HOLD("peroxide", "25") ",\"catalase_mg_per_g\":1500}"
#define SALT_LOW HOLD("salt", "44") ",\"low\":50,\"high\":100,\"expected\":60}"

static const desk_number NUMBERS[] = {
    {PEROXIDE, "remedy_1", "expected", 1, 1e-3, "P: 1 mg/L is the aim"},
    {PEROXIDE, "remedy_2", "water_l", 11000, 1e-6, "D: 2 x (8000 - 2.5 x 1000) L"},
    {PEROXIDE, "", "high", 5, 0, "P: 5 mg/L where no limit is given"},
    {HOLD("salt", "110") ",\"high\":100}", "remedy_1", "water_l", 800, 1e-9, "D: 8000 x 0.1"},
    {HOLD("weight-loss", "7") ",\"expected\":4}", "remedy_1", "dye_factor", 93.0 / 96.0, 1e-12,
     "D: (100 - 7) / (100 - 4)"},
    {HOLD("hardness", "9") ",\"sequestrant_mg_per_g\":120}", "remedy_1", "expected", 2.5, 0.01,
     "I: half of 5 dH"},
    {HOLD("ph", "9.5") ",\"temp_c\":45,\"expected\":6.2}", "remedy_1", "expected", 6.2, 0.01,
     "contract: what the plan foresees"},
};

static void numbers(void **state)
{
    (void)state;
    desk_check_numbers(&kit, NUMBERS, N_OF(NUMBERS));
    const mdr_answer *a = desk_ask(&kit, PEROXIDE);
    assert_string_equal(desk_line(a, "", "verdict")->text, "correct");
    assert_string_equal(desk_line(a, "remedy_1", "approve")->text, "operator");
    CHECK_NEAR(a->table.cells[3], 0.128, 1e-6, "D: 24 mg/L x 8000 L / 1500 mg/g");
    assert_string_equal(a->table.texts[2].text, "catalase");
}

/* Every check answers, within and outside its usual limits, with reasons that can be read. */
static void every_check(void **state)
{
    (void)state;
    for (int c = 0; c <= MDR_CHECK_SAMPLE; c++) {
        const mdr_check_kind kind = (mdr_check_kind)c;
        for (int part = 0; part <= 10; part++) {
            char question[200];
            const double least = mdr_check_least(kind), most = mdr_check_most(kind);
            (void)snprintf(
                question, sizeof question,
                "{\"do\":\"hold\",\"check\":\"%s\",\"reading\":%.9g,\"liquor_l\":8000%s}",
                mdr_check_id(kind), least + (most - least) * part / 10,
                kind == MDR_CHECK_SALT ? ",\"low\":40,\"high\":90" : "");
            const mdr_answer *a = desk_ask(&kit, question);
            assert_true(a->n_whys > 0 && desk_line(a, "", "verdict")->words[0] != '\0');
            for (int i = 0; i < a->n_whys; i++) {
                why_kit_check(a->whys[i], 1);
            }
        }
    }
}

static const desk_refusal REFUSALS[] = {
    {"{\"do\":\"hold\"}", "check", MDR_E_PARSE},
    {"{\"do\":\"held\",\"check\":\"ph\",\"reading\":9,\"liquor_l\":8000}", "do", MDR_E_PARSE},
    {HOLD("ph", "15") "}", "reading", MDR_E_RANGE},
    {HOLD("pH", "9") "}", "check", MDR_E_PARSE},
    {HOLD("wash-off", "0.5") "}", "reading", MDR_E_RANGE},
    {HOLD("ph", "9") ",\"low\":-1}", "low", MDR_E_RANGE},
    {HOLD("ph", "9") ",\"low\":7,\"high\":6}", "high", MDR_E_RANGE},
    {HOLD("salt", "9") "}", "low", MDR_E_PARSE},
    {HOLD("ph", "9") ",\"acid\":\"naoh\"}", "acid", MDR_E_PARSE},
    {HOLD("ph", "9") ",\"failed\":-1}", "failed", MDR_E_RANGE},
    {HOLD("ph", "9") ",\"temp_c\":120}", "temp_c", MDR_E_RANGE},
    {HOLD("ph", "9") ",\"load_kg\":4000}", "load_kg", MDR_E_RANGE},
    {HOLD("ph", "9") ",\"liquor_max_l\":7000}", "liquor_max_l", MDR_E_RANGE},
    {HOLD("ph", "9") ",\"naoh_g_per_l\":-2}", "naoh_g_per_l", MDR_E_RANGE},
    {HOLD("ph", "9") ",\"stage\":\"later\"}", "stage", MDR_E_PARSE},
    {HOLD("ph", "9") ",\"colour\":1}", "colour", MDR_E_PARSE},
};

static void refusals(void **state)
{
    (void)state;
    desk_check_refusals(&kit, REFUSALS, N_OF(REFUSALS));
}

static void starved(void **state)
{
    (void)state;
    assert_true(desk_starve(&kit, PEROXIDE) > 3);
}

/* -- a batch -- */

typedef struct shop {
    mdr_arena *arena;
    mdr_control_state state;
    mdr_control_step steps[3];
    mdr_batch_step run[6];
    mdr_control control;
    mdr_batch batch;
    mdr_machine machine;
    mdr_site site;
    mdr_masters masters;
    mdr_app_hold_point point;
} shop;

/* A check of pH that read 10.8 in a bath that the plan thinks neutral. */
static void shop_open(shop *f)
{
    *f = (shop){
        .arena = mdr_arena_new((size_t)1 << 22),
        .machine = kit_machine(),
        .site = kit_site(),
        .state = {.load_kg = 1000, .liquor_l = 8000, .temp_c = 45, .retained_l_per_kg = 2.5}};
    f->steps[0] = (mdr_control_step){.key = "3.1", .kind = MDR_STEP_HOLD, .bath = 3};
    f->steps[1] = (mdr_control_step){.key = "3.2",
                                     .kind = MDR_STEP_CHECK,
                                     .bath = 3,
                                     .state = &f->state,
                                     .check = {.kind = MDR_CHECK_PH,
                                               .has_low = true,
                                               .has_high = true,
                                               .low = 5,
                                               .high = 7,
                                               .method = "",
                                               .remedy = "",
                                               .on_fail = MDR_FAIL_CORRECT}};
    f->steps[2] = (mdr_control_step){.key = "3.3", .kind = MDR_STEP_DRAIN, .bath = 3};
    for (int i = 0; i < 3; i++) {
        f->run[i].asked = &f->steps[i];
    }
    f->run[0].state = MDR_STEP_DONE;
    f->run[1].state = MDR_STEP_RUNS;
    f->run[1].reading_seq = 17;
    f->run[1].reading = 10.8;
    f->control.machine_id = "T1";
    f->batch = (mdr_batch){.control = &f->control, .steps = f->run, .n_steps = 3, .n_remedies = 1};
    f->masters = (mdr_masters){.site = &f->site,
                               .machines = &f->machine,
                               .n_machines = 1,
                               .materials = HOLD_PRODUCTS,
                               .n_materials = (int)N_OF(HOLD_PRODUCTS)};
    f->point = (mdr_app_hold_point){.batch = &f->batch, .step = "3.2"};
}

static const mdr_hold *shop_judge(shop *f)
{
    const mdr_hold *h = NULL;
    mdr_err err = {0};
    if (mdr_app_hold_judge(&f->point, &f->masters, f->arena, &h, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return h;
}

static void remedies_of_a_batch(void **state)
{
    (void)state;
    shop f;
    mdr_err err = {0};
    shop_open(&f);
    const mdr_hold *h = shop_judge(&f);
    const mdr_remedy *r = NULL;
    assert_int_equal(h->verdict, MDR_HOLD_CORRECT);
    assert_int_equal(mdr_app_hold_remedy(h, "acid", &r, &err), MDR_OK);
    assert_string_equal(r->steps[0].key, "R2.1"); /* the batch had one remedy already */
    assert_int_equal(r->steps[0].bath, 3);
    assert_int_equal(mdr_app_hold_remedy(h, "catalase", &r, &err), MDR_E_NOTFOUND);
    assert_string_equal(err.place, "remedy_id");
    mdr_blob out = {0};
    assert_int_equal(mdr_app_hold_remedies(&f.point, &f.masters, f.arena, &out, &err), MDR_OK);
    static const char *const SAID[] = {"\"verdict\":\"correct\"",  "\"remedy_id\":\"acid\"",
                                       "\"approve\":\"operator\"", "\"material_id\":\"ACETIC\"",
                                       "\"rule\":\"acid-to-ph\"",  "\"unit\":\"pH\""};
    for (size_t i = 0; i < N_OF(SAID); i++) {
        if (strstr(out.bytes, SAID[i]) == NULL) {
            fail_msg("not said: %s in %s", SAID[i], out.bytes);
        }
    }
    mdr_arena_free(f.arena);
}

/* The remedy that was run is in the bath when the check is read again. */
static void second_reading(void **state)
{
    (void)state;
    shop f;
    mdr_err err = {0};
    shop_open(&f);
    const mdr_remedy *first = NULL, *second = NULL, *blind = NULL;
    assert_int_equal(mdr_app_hold_remedy(shop_judge(&f), "acid", &first, &err), MDR_OK);
    f.run[3] = f.run[2];
    f.run[4] = f.run[1];
    f.run[4].reading = 8.5;
    f.run[4].reading_seq = 23;
    f.run[2] = (mdr_batch_step){.asked = &first->steps[1], .remedy = 1, .state = MDR_STEP_DONE};
    f.run[1] = (mdr_batch_step){.asked = &first->steps[0], .remedy = 1, .state = MDR_STEP_DONE};
    const mdr_batch_step drain = f.run[3];
    f.run[3] = f.run[4];
    f.run[4] = drain;
    f.batch.n_steps = 5;
    f.batch.n_remedies = 2;
    f.point.n_failed = 1;
    assert_int_equal(mdr_app_hold_remedy(shop_judge(&f), "acid", &second, &err), MDR_OK);
    assert_string_equal(second->steps[0].key, "R3.1");
    f.run[1].state = f.run[2].state = MDR_STEP_LEFT_OUT; /* approved, never run */
    assert_int_equal(mdr_app_hold_remedy(shop_judge(&f), "acid", &blind, &err), MDR_OK);
    /* acetate holds the pH: with it in the bath the same reading takes more acid */
    assert_true(hold_kit_kg(second, "ACETIC") > 1.02 * hold_kit_kg(blind, "ACETIC"));
    mdr_arena_free(f.arena);
}

static void refused(shop *f, mdr_code code, const char *place)
{
    mdr_blob out = {0};
    mdr_err err = {0};
    const mdr_code rc = mdr_app_hold_remedies(&f->point, &f->masters, f->arena, &out, &err);
    if (rc != code || strcmp(err.place, place) != 0 || out.len != 0) {
        fail_msg("want %s at %s, got %s at %s", mdr_code_id(code), place, mdr_code_id(rc),
                 err.place);
    }
}

static void what_a_batch_cannot_be_asked(void **state)
{
    (void)state;
    shop f;
    shop_open(&f);
    f.point.step = "9.9";
    refused(&f, MDR_E_NOTFOUND, "step");
    f.point.step = "3.1";
    refused(&f, MDR_E_CONFLICT, "step");
    f.point.step = "3.2";
    f.steps[1].state = NULL;
    refused(&f, MDR_E_CONFLICT, "step");
    f.steps[1].state = &f.state;
    f.run[1].reading_seq = 0;
    refused(&f, MDR_E_CONFLICT, "step");
    f.run[1].reading_seq = 17;
    f.control.machine_id = "gone";
    refused(&f, MDR_E_NOTFOUND, "machine_id");
    f.control.machine_id = "T1";
    f.masters.site = NULL;
    refused(&f, MDR_E_NOTFOUND, "site");
    f.masters.site = &f.site;
    f.run[1].reading = 15;
    refused(&f, MDR_E_RANGE, "reading");
    mdr_arena_free(f.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers),
        cmocka_unit_test(every_check),
        cmocka_unit_test(refusals),
        cmocka_unit_test(starved),
        cmocka_unit_test(remedies_of_a_batch),
        cmocka_unit_test(second_reading),
        cmocka_unit_test(what_a_batch_cannot_be_asked),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
