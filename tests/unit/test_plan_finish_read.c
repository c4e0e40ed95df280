/* The finishing of a plan: the rest of the line from what was read behind a pass. */
#include "t.h"

#include "plan_finish_kit.h"

/* The rest of the line from what was read, as mdr_web_read and mdr_line_settle would. */
static void expect_rest(const bench *b, const mdr_pass_reading *r)
{
    const mdr_plan_finish *f = b->f;
    const mdr_plan_pass *at = &f->passes[r->pass - 1];
    const mdr_web planned = {.width_cm = val(b, at->width_cm),
                             .courses_per_cm = val(b, at->courses_per_cm),
                             .wales_per_cm = val(b, at->wales_per_cm),
                             .dry_gsm = val(b, at->dry_gsm),
                             .moisture_kg_per_kg = val(b, at->moisture_pct) / 100,
                             .length_m = val(b, at->length_m),
                             .temp_c = 25};
    const mdr_web_reading reading = {.width_cm = r->lies_cm * (f->tube ? 2 : 1),
                                     .courses_per_cm = r->courses_per_cm,
                                     .moisture_kg_per_kg = r->moisture_pct / 100,
                                     .wet_gsm = r->wet_gsm};
    mdr_web web;
    double off;
    assert_int_equal(mdr_web_read(&planned, &reading, &web, &off, NULL), MDR_OK);
    if (r->wet_gsm > 0) {
        CHECK_NEAR(val(b, at->weighed_off_pct), 100 * off, 1e-8, "D: mdr_web_read");
    }
    if (r->pass == f->n_passes) {
        same(val(b, f->outcome[MDR_DEMAND_GSM].value), mdr_web_conditioned_gsm(&web, 0.085),
             "g/m2");
        return;
    }
    const mdr_settled s = settle_from(b, &web, r->pass);
    for (int i = r->pass; i < f->n_passes; i++) {
        const mdr_plan_pass *pass = &f->passes[i];
        same(val(b, pass->overfeed_pct), 100 * s.line.passes[i - r->pass].overfeed_fraction,
             "feed");
        same(val(b, pass->width_cm), s.after[i - r->pass].width_cm, "width");
        same(val(b, pass->courses_per_cm), s.after[i - r->pass].courses_per_cm, "courses");
        same(val(b, pass->dry_gsm), s.after[i - r->pass].dry_gsm, "bone dry g/m2");
        same(val(b, pass->length_m), s.after[i - r->pass].length_m, "length");
    }
    same(val(b, f->outcome[MDR_DEMAND_LENGTH].value), 100 * s.reached.length_fraction,
         "length left");
}

static void readings(void **state)
{
    (void)state;
    for (int tube = 0; tube < 2; tube++) {
        for (int k = 1; k <= 4; k++) {
            bench b;
            ready(&b, tube == 1);
            run(&b);
            const double before = val(&b, b.f->passes[0].overfeed_pct);
            const mdr_plan_pass *planned = &b.f->passes[k - 1];
            const mdr_pass_reading r = {k, val(&b, planned->width_cm) * (tube == 1 ? 0.49 : 0.98),
                                        val(&b, planned->courses_per_cm) * 1.03,
                                        val(&b, planned->moisture_pct) + 2,
                                        val(&b, planned->wet_gsm) * 1.06};
            over(&b);
            b.in.readings = &r;
            b.in.n_readings = 1;
            run(&b);
            assert_true(b.f->passes[k - 1].read == &r);
            CHECK_NEAR(val(&b, b.f->passes[0].overfeed_pct), before, 1e-9, "D: it is past");
            expect_rest(&b, &r);
            assert_int_equal(warned(&b, MDR_WARN_FINISH_LEFT),
                             (k >= (tube == 1 ? 2 : 3) && k < 4) ? 1 : 0);
            over(&b);
        }
    }
}

static void readings_that_cannot_be(void **state)
{
    (void)state;
    static const struct {
        mdr_pass_reading first, second;
        mdr_code code;
        const char *place;
    } ROWS[] = {
        {{0, 150, 18, 80, 0}, {1, 150, 18, 80, 0}, MDR_E_RANGE, "readings[0].pass"},
        {{1, 150, 18, 80, 0}, {5, 150, 18, 80, 0}, MDR_E_RANGE, "readings[1].pass"},
        {{1, 0, 18, 80, 0}, {2, 150, 18, 80, 0}, MDR_E_RANGE, "readings[0].lies_cm"},
        {{1, 150, (double)NAN, 80, 0},
         {2, 150, 18, 80, 0},
         MDR_E_RANGE,
         "readings[0].courses_per_cm"},
        {{1, 150, 18, -1, 0}, {2, 150, 18, 80, 0}, MDR_E_RANGE, "readings[0].moisture_pct"},
        {{1, 150, 18, 80, 0}, {2, 150, 18, 80, 1e6}, MDR_E_RANGE, "readings[1].wet_gsm"},
        {{2, 150, 18, 80, 0}, {2, 151, 18, 80, 0}, MDR_E_CONFLICT, "readings[1].pass"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        bench b;
        ready(&b, false);
        const mdr_pass_reading both[] = {ROWS[i].first, ROWS[i].second};
        b.in.readings = both;
        b.in.n_readings = 2;
        mdr_err err = {0};
        b.arena = mdr_arena_new((size_t)4 << 20);
        assert_int_equal(mdr_plan_make(&b.in, b.arena, &b.plan, &err), ROWS[i].code);
        assert_string_equal(err.place, ROWS[i].place);
        assert_true(strlen(err.remedy) > 0);
        over(&b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings),
        cmocka_unit_test(readings_that_cannot_be),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
