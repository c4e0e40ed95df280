/* A lot's dyeing: that salt, ropes and levelness come out as a dyer knows them, and mistakes that are told
 * where they were made. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include <stdio.h>
#include <string.h>

#include "app/mdr_app_dye.h"
#include "app/mdr_app_dyeing.h"
#include "app/mdr_app_dyeing_in.h"
#include "demo_kit.h"

static mdr_arena *arena;

static const mdr_dyeing_out *asked(const char *lot_id, const char *ask)
{
    const mdr_dyeing_out *o = NULL;
    mdr_err err = {0};
    if (mdr_app_dyeing(kit_app, lot_id, (mdr_blob){ask, strlen(ask)}, arena, NULL, &o, &err) !=
        MDR_OK) {
        fail_msg("%s %s: %s: %s", lot_id, ask, err.place, err.msg);
    }
    return o;
}

static mdr_err refused(const char *lot_id, const char *ask, mdr_code code, const char *place)
{
    const mdr_dyeing_out *o = NULL;
    mdr_err err = {0};
    const mdr_code rc =
        mdr_app_dyeing(kit_app, lot_id, (mdr_blob){ask, strlen(ask)}, arena, NULL, &o, &err);
    if (rc != code || strcmp(err.place, place) != 0) {
        fail_msg("%s: %d at \"%s\" (%s), want %d at \"%s\"", ask, rc, err.place, err.msg, code,
                 place);
    }
    assert_true(err.value[0] != '\0' && err.allowed[0] != '\0');
    return err;
}

#define QUICK "\"sensitivity\": false, \"map\": false, \"slices\": 12"

/* The palest lot of the demo mill, 0.05 % owf. P: less salt, less on the fibre. */
static void salt_in_a_pale_shade(void **state)
{
    (void)state;
    const mdr_dyeing_answers planned = asked("L26-0101", "{" QUICK "}")->result.answers;
    const mdr_dyeing_answers half =
        asked("L26-0101", "{" QUICK ", \"salt_pct\": 50}")->result.answers;
    const mdr_dyeing_answers twice =
        asked("L26-0101", "{" QUICK ", \"salt_pct\": 200}")->result.answers;
    for (int i = 0; i < planned.n_dyes; i++) {
        const mdr_dye_answer *p = &planned.dyes[i], *h = &half.dyes[i], *t = &twice.dyes[i];
        assert_true(h->before_alkali_pct < p->before_alkali_pct - 5);
        assert_true(h->exhaustion_pct < p->exhaustion_pct - 3);
        assert_true(h->fixation_pct < p->fixation_pct - 3);
        assert_true(t->before_alkali_pct > p->before_alkali_pct + 5);
        assert_true(t->fixation_pct > p->fixation_pct);
    }
}

/* A rope of a quarter of the load beside one of three quarters: the mean is that of the fabric. */
static void the_mean_of_unequal_ropes(void **state)
{
    (void)state;
    const mdr_dyeing_out *o = asked(
        "L26-0105", "{" QUICK ", \"tube_share_pct\": [25, 75], \"uneven_preparation_pct\": 20}");
    const mdr_dyeing *d = o->result.dyeing;
    const int last = d->n_samples - 1;
    assert_int_equal(o->result.rope.tubes, 2);
    double mean = 0, kg = 0;
    for (int s = 0; s < d->n_slices; s++) {
        mean +=
            mdr_dyeing_slice_share(d, &o->result.rope, s) * mdr_dyeing_slice(d, d->map, last, s);
    }
    for (int i = 0; i < d->n_dyes; i++) {
        kg += o->result.answers.dyes[i].kg * mdr_dyeing_last(d, d->on_fibre, i);
    }
    CHECK_NEAR(mean, kg / o->result.rope.load_kg, 1e-6 * mean,
               "D: the mean times the load is the dye on it");
    double end[MDR_DYE_DYES_MAX];
    mdr_dyer_end(&o->result, d->map, end);
    for (int i = 0; i < d->n_dyes; i++) {
        const double on = o->result.answers.dyes[i].kg * mdr_dyeing_last(d, d->on_fibre, i) /
                          o->result.rope.load_kg;
        CHECK_NEAR(end[i], on, 1e-6 * on, "D: the shade is the mean of the fabric");
    }
}

static void what_is_judged_is_said(void **state)
{
    (void)state;
    const mdr_dyeing_out *o = asked("L26-0105", "{" QUICK "}");
    assert_true(o->has_before && o->has_peak && o->has_fixing);
    double most = 0;
    for (int k = 0; k < o->result.dyeing->n_samples; k++) {
        most = fmax(most, o->de[k]);
    }
    CHECK_NEAR(o->peak.de_most, most, 1e-12, "contract: the peak of the curve");
    assert_true(o->peak.de_most > 1.0 &&
                o->fixing.de_most < 0.1); /* it evens out before the alkali */
    assert_true(o->peak.at_min < o->result.course.alkali_min);
    assert_true(o->fixing.at_min >= o->result.course.alkali_min - 1.0 &&
                o->fixing.at_min <= o->fixing_until_min);
    CHECK_NEAR(o->fixing_limit_de, 2 * o->level_limit_de, 1e-12, "contract: twice that of the end");
    assert_string_equal(o->level.id, "level");
    assert_non_null(strstr(o->judged_words, "Only shown: the peak"));
    const mdr_dyeing_out *strict = asked("L26-0105", "{" QUICK ", \"fixing_limit_de\": 0.05,"
                                                     "\"uneven_preparation_pct\": 30}");
    assert_true(strict->fixing.de_most > 0.05 && strict->end.de_most < strict->level_limit_de);
    assert_string_equal(strict->level.id, "doubtful");
    const double held = strict->de[strict->result.dyeing->n_samples - 1];
    assert_true(fabs(strict->end.de_most - held) >
                0.002); /* loose dye lies otherwise than fixed dye */
    assert_non_null(strstr(strict->level.words, "is being fixed"));
    const mdr_dyeing_out *vat = asked("L26-0113", "{" QUICK "}");
    assert_true(!vat->has_fixing && vat->has_peak);
    refused("L26-0105", "{\"fixing_limit_de\": 0}", MDR_E_RANGE, "fixing_limit_de");
}

static void mistakes_where_they_were_made(void **state)
{
    (void)state;
    refused("L26-0105",
            "{\"steps\": [{\"step\": 7, \"minutes\": 5}, {\"step\": 7, \"minutes\": 9}]}",
            MDR_E_RANGE, "steps[1].step");
    mdr_err err = refused("L26-0112", "{\"temp_shift_c\": 15}", MDR_E_RANGE, "temp_shift_c");
    assert_non_null(strstr(err.allowed, "to 5 degC"));
    err = refused("L26-0105", "{\"bath\": 40}", MDR_E_NOTFOUND, "bath");
    assert_string_equal(err.msg, "the lot has no such bath");
    err = refused("L26-0105", "{\"bath\": 1}", MDR_E_NOTFOUND, "bath");
    assert_string_equal(err.msg, "this bath gets no dye");
    /* how a vat dye is given does not matter when its reducer comes later */
    err = refused("L26-0113", "{\"dose_dye_min\": 20}", MDR_E_RANGE, "dose_dye_min");
    assert_non_null(strstr(err.remedy, "which gives the dithionite"));
}

static void a_dye_in_small_letters(void **state)
{
    (void)state;
    const mdr_sheet *sheet = NULL;
    mdr_err err = {0};
    assert_int_equal(mdr_app_dye(kit_app, "rr-1", arena, &sheet, &err), MDR_OK);
    assert_int_equal(mdr_app_dye(kit_app, "rr1", arena, &sheet, &err), MDR_E_NOTFOUND);
    assert_non_null(strstr(err.remedy, "RR-1"));
}

static int fresh(void **state)
{
    arena = mdr_arena_new((size_t)512 << 20);
    return kit_demo_make(state);
}

static int clear(void **state)
{
    mdr_arena_free(arena);
    return kit_demo_drop(state);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(salt_in_a_pale_shade),   cmocka_unit_test(the_mean_of_unequal_ropes),
        cmocka_unit_test(what_is_judged_is_said), cmocka_unit_test(mistakes_where_they_were_made),
        cmocka_unit_test(a_dye_in_small_letters),
    };
    return cmocka_run_group_tests(tests, fresh, clear);
}
