/* A lot's dyeing as people ask for it: every lot of the demo mill, changes, and what is refused. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include <jansson.h>
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_dyeing.h"
#include "app/mdr_app_shorten.h"
#include "demo_kit.h"
#include "why_kit.h"

static mdr_arena *arena;

static const mdr_dyeing_out *asked(const char *lot_id, const char *ask)
{
    const mdr_dyeing_out *o = NULL;
    mdr_err err = {0};
    mdr_arena_free(arena);
    arena = mdr_arena_new(256u << 20);
    const mdr_blob q = {ask, strlen(ask)};
    if (mdr_app_dyeing(kit_app, lot_id, q, arena, NULL, &o, &err) != MDR_OK) {
        fail_msg("%s %s: %s: %s", lot_id, ask, err.place, err.msg);
    }
    return o;
}

static void refused(const char *lot_id, const char *ask, mdr_code code, const char *place)
{
    const mdr_dyeing_out *o = NULL;
    mdr_err err = {0};
    mdr_arena *a = mdr_arena_new(256u << 20);
    mdr_err_list found = mdr_err_list_make(a, 20);
    const mdr_blob q = {ask, strlen(ask)};
    const mdr_code rc = mdr_app_dyeing(kit_app, lot_id, q, a, &found, &o, &err);
    if (rc != code || strcmp(err.place, place) != 0) {
        fail_msg("%s: %d at \"%s\" (%s), want %d at \"%s\"", ask, rc, err.place, err.msg, code,
                 place);
    }
    assert_null(o);
    mdr_arena_free(a);
}

/* -- every lot -- */

static void in_percent(double v)
{
    assert_true(isfinite(v) && v >= -1e-9 && v <= 100.0 + 1e-9);
}

static void is_sound(const mdr_dyeing_out *o)
{
    const mdr_dyeing *d = o->result.dyeing;
    assert_true(d->mass_error < 1e-9);
    assert_true(o->n_notes > 0 && o->n_notes < MDR_DYEING_NOTES_MAX);
    for (int i = 0; i < d->n_dyes; i++) {
        const mdr_dye_answer *a = &o->result.answers.dyes[i];
        in_percent(a->exhaustion_pct);
        in_percent(a->fixation_pct);
        in_percent(a->loose_pct);
        CHECK_NEAR(a->exhaustion_pct + a->left_pct, 100, 1e-6, "D: it is somewhere");
        assert_true(o->dyes[i].rates.id != NULL && o->dyes[i].rates.words[0] != '\0');
    }
    for (int k = 0; k < d->n_samples; k++) {
        assert_true(isfinite(o->de[k]) && isfinite(o->spread_pct[k]) && isfinite(o->strike_pct[k]));
        assert_true((o->de[k] < 0.0) == (o->spread_pct[k] < 0.0));
    }
    assert_true(o->strike.words[0] != '\0' && o->level.words[0] != '\0' &&
                o->tone.words[0] != '\0');
    assert_true(o->strike_step > 0);
    assert_true(o->has_loose == (o->wash_off_words != NULL));
    for (int i = 0; i < o->study->programme.n_steps; i++) {
        assert_true(!o->changed[i]);
        assert_true(o->step_words[i][0] != '\0');
    }
}

/* What the record knows of a dye was measured elsewhere, but not in another world. */
static void is_near_the_record(const mdr_dyeing_out *o)
{
    for (int i = 0; o->has_loose && i < o->result.answers.n_dyes; i++) {
        const mdr_material *m = o->dyes[i].material;
        const mdr_dye_answer *a = &o->result.answers.dyes[i];
        if (m->fixation_pct > 0.0) {
            CHECK_NEAR(a->fixation_pct, m->fixation_pct, 25, "P: same dye, another bath");
        }
    }
}

static void every_demo_lot(void **state)
{
    (void)state;
    mdr_arena *a = mdr_arena_new(8 << 20);
    mdr_app_lot *lots = NULL;
    int n = 0, dyed = 0, white = 0;
    mdr_err err = {0};
    assert_int_equal(mdr_app_lots(kit_app, a, &lots, &n, &err), MDR_OK);
    for (int i = 0; i < n; i++) {
        if (strcmp(lots[i].lot_id, "L26-0120") == 0) {
            continue; /* it has no rolls and cannot be planned */
        }
        const mdr_dyeing_out *o = asked(lots[i].lot_id, "{\"sensitivity\": false, \"slices\": 12}");
        if (o->planned->missing != MDR_DYEING_IS_THERE) {
            assert_int_equal(o->planned->missing, MDR_DYEING_NO_DYE);
            white++;
            continue;
        }
        dyed++;
        is_sound(o);
        is_near_the_record(o);
        assert_null(o->effects);
        assert_null(o->margin);
    }
    assert_int_equal(dyed, 23);
    assert_int_equal(white, 1);
    mdr_arena_free(a);
}

/* Dyes that the demo laboratory has measured, but whose samples give another colour than the shade: it is
 * said, and they do not count. A direct shade that it has not measured. Where they do count: http/dyeing. */
static void samples_that_miss_the_shade(void **state)
{
    (void)state;
#define NO_RERUNS "{\"sensitivity\": false, \"map\": false, \"slices\": 12}"
    const mdr_dyeing_out *o = asked("L26-0105", NO_RERUNS);
    assert_int_equal(o->colour_from, MDR_COLOUR_OF_SHADE);
    bool said = false;
    for (int i = 0; i < o->n_notes; i++) {
        said = said || strstr(o->notes[i], "CMC(2:1) from its shade") != NULL;
    }
    assert_true(said);
    assert_int_equal(asked("L26-0112", NO_RERUNS)->colour_from, MDR_COLOUR_OF_SHADE);
}

/* -- changes -- */

static const char LOT[] = "L26-0105";

static const mdr_dye_step *step_of(const mdr_dyeing_out *o, int number)
{
    for (int i = 0; i < o->study->programme.n_steps; i++) {
        if (o->study->programme.steps[i].number == number) {
            return &o->study->programme.steps[i];
        }
    }
    fail_msg("no step %d", number);
    return NULL;
}

static void changes_are_taken(void **state)
{
    (void)state;
    const mdr_dyeing_out *o = asked(
        LOT, "{\"sensitivity\": false, \"map\": false, \"slices\": 8, \"speed_m_per_min\": 150,"
             "\"dose_salt_min\": 15, \"dose_alkali_min\": 150, \"salt_pct\": 80,"
             "\"steps\": [{\"step\": 9, \"minutes\": 60, \"curve\": \"progressive\"},"
             "{\"step\": 11, \"to_c\": 65, \"rate_c_per_min\": 0.5},"
             "{\"step\": 10, \"minutes\": 5}, {\"step\": 13, \"portions\": 4},"
             "{\"step\": 15, \"exponent\": 0.4, \"amount_pct\": 120}]}");
    assert_null(o->map);
    CHECK_NEAR(o->study->programme.speed_m_per_min, 150, 0, "D: asked");
    CHECK_NEAR(step_of(o, 6)->minutes, 15, 1e-9, "D: the only salt");
    CHECK_NEAR(step_of(o, 6)->amount, 0.8, 1e-12, "D: 80 %");
    CHECK_NEAR(step_of(o, 13)->minutes + step_of(o, 15)->minutes + step_of(o, 17)->minutes, 150,
               1e-9, "D: all alkali");
    CHECK_NEAR(step_of(o, 13)->minutes, 40, 1e-9, "D: 20 of 75 min");
    CHECK_NEAR(step_of(o, 9)->exponent, 2, 0, "D: the usual one");
    CHECK_NEAR(step_of(o, 9)->minutes, 60, 0, "D: asked");
    CHECK_NEAR(step_of(o, 11)->to_c, 65, 0, "D: asked");
    assert_int_equal(step_of(o, 13)->portions, 4);
    CHECK_NEAR(step_of(o, 15)->exponent, 0.4, 0, "D: asked");
    CHECK_NEAR(step_of(o, 15)->amount, 1.2, 1e-12, "D: 120 %");
    CHECK_NEAR(o->result.rope.cycle_min, o->study->rope_m / 150, 1e-12, "D: rope / speed");
    for (int i = 0; i < o->study->programme.n_steps; i++) {
        const int number = o->study->programme.steps[i].number;
        const bool touched = number == 6 || (number >= 9 && number <= 11) || number == 13 ||
                             number == 15 || number == 17;
        assert_int_equal(o->changed[i], touched);
    }
}

/* A ramp that is sent below where the bath is goes down. */
static void a_ramp_turned_round(void **state)
{
    (void)state;
    const mdr_dyeing_out *o = asked(LOT, "{\"sensitivity\": false, \"map\": false, \"slices\": 8,"
                                         "\"steps\": [{\"step\": 11, \"to_c\": 35}]}");
    int i = 0;
    while (o->study->programme.steps[i].number != 11) {
        i++;
    }
    CHECK_NEAR(o->times[i].to_c, 35, 0, "D: asked");
    const double minutes = o->times[i].end_min - o->times[i].start_min;
    assert_true(minutes > 5 - 1e-9 &&
                minutes < 7); /* at 1 degC/min while the water is cold enough */
}

static void warmer_and_unequal(void **state)
{
    (void)state;
    const mdr_dyeing_out *o =
        asked(LOT, "{\"sensitivity\": false, \"slices\": 16, \"temp_shift_c\": -4,"
                   "\"tube_share_pct\": [60, 40], \"uneven_preparation_pct\": 10}");
    CHECK_NEAR(o->study->programme.start_c, 36, 0.01, "D: 40 - 4");
    CHECK_NEAR(step_of(o, 11)->to_c, 56, 0, "D: 60 - 4");
    CHECK_NEAR(o->rope.tube_share[0], 0.6, 1e-12, "D: asked");
    assert_int_equal(o->map->tubes, 2);
    assert_int_equal(o->map->slices, 32);
    assert_true(o->before.even.between_pct > 0.0);
    assert_true(o->end.de_most >= o->end.de_tubes);
    int most = 0;
    for (int i = 0; i < o->map->times * o->map->slices; i++) {
        most = abs(o->map->off[i]) > most ? abs(o->map->off[i]) : most;
    }
    assert_int_equal(most, 127);
}

static void the_lot_planned_otherwise(void **state)
{
    (void)state;
    const mdr_dyeing_out *o = asked(LOT, "{\"sensitivity\": false, \"map\": false, \"slices\": 8,"
                                         "\"lot\": {\"ratio_l_per_kg\": 8}}");
    CHECK_NEAR(o->planned->programme.conc_l, 8 * 295, 1e-6, "D: 8 L/kg");
    refused(LOT, "{\"lot\": {\"ratio_l_per_kg\": 99}}", MDR_E_RANGE, "lot.ratio_l_per_kg");
    refused(LOT, "{\"lot\": {\"rato\": 9}}", MDR_E_PARSE, "lot.rato");
    refused(LOT, "{\"lot\": 7}", MDR_E_PARSE, "lot");
}

/* Longer doses strike less; a limit is against what it is asked for. */
static void the_way_it_goes(void **state)
{
    (void)state;
#define QUICK "\"sensitivity\": false, \"map\": false, \"slices\": 12"
    const double base = asked(LOT, "{" QUICK "}")->result.answers.strike_most_pct;
    assert_true(asked(LOT, "{" QUICK ", \"dose_dye_min\": 80}")->result.answers.strike_most_pct <
                0.8 * base);
    const mdr_dyeing_out *fast = asked(LOT, "{" QUICK ", \"dose_dye_min\": 8}");
    assert_true(fast->result.answers.strike_most_pct > 1.5 * base);
    const mdr_dyeing_out *strict = asked(LOT, "{" QUICK ", \"strike_limit_pct_per_contact\": 0.1}");
    assert_string_equal(strict->strike.id, "over");
    assert_string_equal(strict->level.id, "doubtful");
    assert_true(strict->result.answers.over_limit_min > 20);
    CHECK_NEAR(strict->strike_step, 9, 0, "D: while the dye is given");
}

static void reruns(void **state)
{
    (void)state;
    const mdr_dyeing_out *o = asked("L26-0106", "{\"map\": false, \"slices\": 8}");
    assert_int_equal(o->n_effects, MDR_MISHAP_COUNT);
    for (int i = 0; i < o->n_effects; i++) {
        const mdr_dyeing_effect *e = &o->effects[i];
        assert_int_equal(e->mishap, i);
        assert_true(e->de >= 0.0 && isfinite(e->de_most) && fabs(e->fixation_pct) < 30);
    }
    assert_true(o->effects[MDR_MISHAP_SALT_MORE].fixation_pct > 0.0);
    assert_true(o->effects[MDR_MISHAP_SALT_LESS].fixation_pct < 0.0);
    assert_true(o->effects[MDR_MISHAP_SALT_MORE].dl < 0.0); /* deeper */
    const mdr_dyeing_margin *m = o->margin;
    assert_true(m->fixation_pct[0] < o->result.answers.fixation_pct &&
                m->fixation_pct[1] > o->result.answers.fixation_pct);
    assert_true(m->strike_pct[0] < m->strike_pct[1] && m->de_shade > 0.0);
    /* a direct dye has no alkali to be late with, and nothing to fix */
    const mdr_dyeing_out *direct = asked("L26-0112", "{\"map\": false, \"slices\": 8}");
    for (int i = 0; i < direct->n_effects; i++) {
        assert_true(direct->effects[i].mishap != MDR_MISHAP_ALKALI_LATE &&
                    direct->effects[i].mishap != MDR_MISHAP_ALKALI_FAST);
    }
    assert_true(!direct->has_loose && !direct->has_before);
}

/* -- refusals -- */

static void what_is_refused(void **state)
{
    (void)state;
    refused(LOT, "{", MDR_E_PARSE, "1:1");
    refused(LOT, "{\"slices\": 7}", MDR_E_RANGE, "slices");
    refused(LOT, "{\"slices\": 101}", MDR_E_RANGE, "slices");
    refused(LOT, "{\"bath\": 0}", MDR_E_RANGE, "bath");
    refused(LOT, "{\"bath\": 1}", MDR_E_NOTFOUND, "bath");
    refused(LOT, "{\"sped\": 1}", MDR_E_PARSE, "sped");
    refused(LOT, "{\"speed_m_per_min\": 0}", MDR_E_RANGE, "speed_m_per_min");
    refused(LOT, "{\"speed_m_per_min\": 999}", MDR_E_RANGE, "speed_m_per_min");
    refused(LOT, "{\"dose_salt_min\": 0}", MDR_E_RANGE, "dose_salt_min");
    refused(LOT, "{\"salt_pct\": -1}", MDR_E_RANGE, "salt_pct");
    refused(LOT, "{\"temp_shift_c\": 31}", MDR_E_RANGE, "temp_shift_c");
    refused(LOT, "{\"temp_shift_c\": -30, \"steps\": [{\"step\": 11, \"to_c\": 4}]}", MDR_E_RANGE,
            "steps[0].to_c");
    refused(LOT, "{\"tube_share_pct\": [60, 30]}", MDR_E_RANGE, "tube_share_pct");
    refused(LOT, "{\"tube_share_pct\": [60, 20, 20]}", MDR_E_RANGE, "tube_share_pct");
    refused(LOT, "{\"tube_share_pct\": [91, 9]}", MDR_E_RANGE, "tube_share_pct[1]");
    refused(LOT, "{\"tube_share_pct\": [100, 0]}", MDR_E_RANGE, "tube_share_pct[1]");
    refused(LOT, "{\"strike_limit_pct_per_contact\": 0}", MDR_E_RANGE,
            "strike_limit_pct_per_contact");
    refused(LOT, "{\"uneven_preparation_pct\": 51}", MDR_E_RANGE, "uneven_preparation_pct");
    refused("L99", "{}", MDR_E_NOTFOUND, "lot");
}

static void steps_that_are_refused(void **state)
{
    (void)state;
    static const struct {
        const char *step, *place;
        mdr_code code;
    } ROWS[] = {
        {"\"minutes\": 5", "steps[0].step", MDR_E_PARSE},
        {"\"step\": 1, \"minutes\": 5", "steps[0].step", MDR_E_RANGE},
        {"\"step\": 40, \"minutes\": 5", "steps[0].step", MDR_E_RANGE},
        {"\"step\": 0, \"minutes\": 5", "steps[0].step", MDR_E_RANGE},
        {"\"step\": 9, \"minutes\": 0.1", "steps[0].minutes", MDR_E_RANGE},
        {"\"step\": 11, \"minutes\": 5", "steps[0].minutes", MDR_E_RANGE},
        {"\"step\": 10, \"curve\": \"linear\"", "steps[0].curve", MDR_E_RANGE},
        {"\"step\": 10, \"exponent\": 2", "steps[0].exponent", MDR_E_RANGE},
        {"\"step\": 10, \"portions\": 2", "steps[0].portions", MDR_E_RANGE},
        {"\"step\": 9, \"portions\": 21", "steps[0].portions", MDR_E_RANGE},
        {"\"step\": 9, \"curve\": \"bent\"", "steps[0].curve", MDR_E_PARSE},
        {"\"step\": 9, \"curve\": \"linear\", \"exponent\": 2", "steps[0].exponent", MDR_E_RANGE},
        {"\"step\": 9, \"curve\": \"linear\", \"portions\": 3", "steps[0].portions", MDR_E_RANGE},
        {"\"step\": 9, \"portions\": 3, \"exponent\": 2", "steps[0].exponent", MDR_E_RANGE},
        {"\"step\": 9, \"curve\": \"progressive\", \"exponent\": 0.5", "steps[0].exponent",
         MDR_E_RANGE},
        {"\"step\": 9, \"curve\": \"degressive\", \"exponent\": 2", "steps[0].exponent",
         MDR_E_RANGE},
        {"\"step\": 9, \"amount_pct\": 90", "steps[0].amount_pct", MDR_E_RANGE},
        {"\"step\": 6, \"amount_pct\": 301", "steps[0].amount_pct", MDR_E_RANGE},
        {"\"step\": 9, \"offset_min\": 3", "steps[0].offset_min", MDR_E_RANGE},
        {"\"step\": 9, \"to_c\": 50", "steps[0].to_c", MDR_E_RANGE},
        {"\"step\": 9, \"rate_c_per_min\": 1", "steps[0].rate_c_per_min", MDR_E_RANGE},
        {"\"step\": 11, \"rate_c_per_min\": 0.01", "steps[0].rate_c_per_min", MDR_E_RANGE},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        char ask[200];
        (void)snprintf(ask, sizeof ask, "{\"steps\": [{%s}]}", ROWS[i].step);
        refused(LOT, ask, ROWS[i].code, ROWS[i].place);
    }
}

/* -- the document -- */

static json_t *document(const char *lot_id, const char *ask)
{
    mdr_blob out = {0};
    mdr_err err = {0};
    json_error_t bad;
    mdr_arena_free(arena);
    arena = mdr_arena_new(256u << 20);
    if (mdr_app_dyeing_json(kit_app, lot_id, (mdr_blob){ask, strlen(ask)}, arena, NULL, &out,
                            &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    json_t *doc = json_loadb(out.bytes, out.len, JSON_REJECT_DUPLICATES, &bad);
    assert_non_null(doc);
    return doc;
}

static size_t length(const json_t *doc, const char *a, const char *b)
{
    return json_array_size(json_object_get(json_object_get(doc, a), b));
}

static void the_document(void **state)
{
    (void)state;
    json_t *doc = document(LOT, "{\"sensitivity\": false, \"slices\": 10}");
    const size_t samples = length(doc, "curves", "t_min");
    assert_true(samples >= 246 && samples < 300); /* D: 246 min with dye, a minute apart at most */
    assert_int_equal(length(doc, "curves", "de"), samples);
    assert_int_equal(length(doc, "programme", "steps"), 19);
    const json_t *map = json_object_get(doc, "map");
    const size_t times = (size_t)json_integer_value(json_object_get(map, "times"));
    assert_int_equal(times, 80);
    assert_int_equal(strlen(json_string_value(json_object_get(map, "rgb"))),
                     times * 10 * 3 / 3 * 4);
    assert_int_equal(strlen(json_string_value(json_object_get(map, "off"))),
                     (times * 10 + 2) / 3 * 4);
    assert_int_equal(json_object_size(json_object_get(doc, "why")), MDR_DYEING_WHY_COUNT);
    assert_true(json_is_null(json_object_get(doc, "sensitivity")));
    assert_true(json_is_true(json_object_get(doc, "simulated")));
    json_decref(doc);
    doc = document("L26-0102", "");
    assert_true(json_is_false(json_object_get(doc, "simulated")));
    assert_string_equal(json_string_value(json_object_get(json_object_get(doc, "reason"), "code")),
                        "no-dye");
    assert_null(json_object_get(doc, "curves"));
    json_decref(doc);
    doc = document("L26-0113", "{\"slices\": 8}"); /* a vat dyeing */
    assert_true(json_is_null(json_object_get(doc, "wash_off")));
    assert_true(json_is_null(
        json_object_get(json_array_get(json_object_get(doc, "dyes"), 0), "fixation_pct")));
    json_decref(doc);
}

static void whys_lead_somewhere(void **state)
{
    (void)state;
    int n = 0;
    const mdr_dyeing_reason *r = mdr_app_dyeing_whys(&n);
    mdr_answer_why whys[MDR_DYEING_WHY_COUNT + 1];
    assert_int_equal(n, MDR_DYEING_WHY_COUNT);
    for (int i = 0; i < n; i++) {
        whys[i] = (mdr_answer_why){r[i].label, r[i].words, r[i].source, r[i].anchor};
    }
    r = mdr_app_shorten_why();
    whys[n] = (mdr_answer_why){r->label, r->words, r->source, r->anchor};
    why_kit_check(whys, n + 1);
}

/* Every allocation that fails is said, and nothing is answered. */
static void memory_runs_out(void **state)
{
    (void)state;
    static const char ASK[] = "{\"slices\": 8, \"sensitivity\": false}";
    int failed = 0;
    for (size_t bytes = 1u << 14; bytes < (8u << 20); bytes = bytes * 3 / 2) {
        mdr_arena *small = mdr_arena_new(bytes);
        mdr_blob out = {0};
        mdr_err err = {0};
        const mdr_code rc = mdr_app_dyeing_json(kit_app, LOT, (mdr_blob){ASK, sizeof ASK - 1},
                                                small, NULL, &out, &err);
        assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
        assert_true((rc == MDR_OK) == (out.len > 0));
        failed += rc != MDR_OK;
        mdr_arena_free(small);
    }
    assert_true(failed > 3);
}

static int drop(void **state)
{
    mdr_arena_free(arena);
    return kit_demo_drop(state);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_demo_lot),     cmocka_unit_test(samples_that_miss_the_shade),
        cmocka_unit_test(changes_are_taken),  cmocka_unit_test(a_ramp_turned_round),
        cmocka_unit_test(warmer_and_unequal), cmocka_unit_test(the_lot_planned_otherwise),
        cmocka_unit_test(the_way_it_goes),    cmocka_unit_test(reruns),
        cmocka_unit_test(what_is_refused),    cmocka_unit_test(steps_that_are_refused),
        cmocka_unit_test(the_document),       cmocka_unit_test(whys_lead_somewhere),
        cmocka_unit_test(memory_runs_out),
    };
    return cmocka_run_group_tests(tests, kit_demo_make, drop);
}
