/* The dyeing inside a plan: times, temperatures, litres, dye, sodium and pH are the plan's own, for
 * every lot of the demo mill and some baths made for it. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include "core/plan/mdr_chem_curve.h"
#include "core/plan/mdr_plan_dyeing.h"
#include "demo_kit.h"
#include "plan_kit.h"

static double val(const mdr_plan *p, mdr_fig_id id)
{
    return mdr_fig_value(&p->figs, id);
}

static const mdr_plan_dyeing *dyeing_of(const mdr_plan *plan, mdr_arena *arena)
{
    const mdr_plan_dyeing *d = NULL;
    mdr_err err = {0};
    assert_int_equal(mdr_plan_dyeing_make(plan, 0, arena, &d, &err), MDR_OK);
    return d;
}

static mdr_dye_course course_of(const mdr_plan_dyeing *d, mdr_ph_table **table, mdr_arena *arena)
{
    mdr_dye_course c = {0};
    mdr_err err = {0};
    if (mdr_ph_table_make(&d->programme, arena, table, &err) != MDR_OK ||
        mdr_dye_programme_course(&d->programme, *table, arena, &c, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return c;
}

/* Straight between the moments, as the model reads it. */
static mdr_dyeing_moment read_at(const mdr_dye_course *c, double t_min)
{
    int i = 0;
    while (i + 2 < c->n_moments && c->moments[i + 1].t_min <= t_min) {
        i++;
    }
    const mdr_dyeing_moment *a = &c->moments[i], *b = a + 1;
    const double u = fmin(1.0, fmax(0.0, (t_min - a->t_min) / (b->t_min - a->t_min)));
    return (mdr_dyeing_moment){.t_min = t_min,
                               .temp_c = a->temp_c + u * (b->temp_c - a->temp_c),
                               .liquor_l = a->liquor_l + u * (b->liquor_l - a->liquor_l),
                               .sodium_mol_per_l = a->sodium_mol_per_l +
                                                   u * (b->sodium_mol_per_l - a->sodium_mol_per_l),
                               .ph = a->ph + u * (b->ph - a->ph)};
}

static void steps_are_the_plans(const mdr_plan *plan, const mdr_plan_dyeing *d)
{
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    const mdr_dye_programme *p = &d->programme;
    const double minutes = mdr_dye_programme_times(p, times);
    for (int i = 0; i < p->n_steps; i++) {
        const mdr_plan_step *s = &d->bath->steps[d->first_step + i];
        assert_int_equal(p->steps[i].number, d->first_step + i + 1);
        CHECK_NEAR(times[i].start_min + d->start_min, val(plan, s->start_min), 1e-9, "D: plan");
        CHECK_NEAR(times[i].end_min + d->start_min, val(plan, s->end_min), 1e-9, "D: plan");
        if (!s->beside) {
            CHECK_NEAR(times[i].to_c, val(plan, s->temp_end_c), 1e-9, "D: plan");
        }
    }
    const mdr_plan_step *last = &d->bath->steps[d->first_step + p->n_steps - 1];
    if (!last->beside) {
        CHECK_NEAR(minutes + d->start_min, val(plan, last->end_min), 1e-9, "D: plan");
    }
}

static bool anything_beside(const mdr_plan_dyeing *d)
{
    for (int i = 0; i < d->programme.n_steps; i++) {
        if (d->programme.steps[i].beside) {
            return true;
        }
    }
    return false;
}

static void states_are_the_plans(const mdr_plan *plan, const mdr_plan_dyeing *d,
                                 const mdr_dye_course *c)
{
    for (int i = 0; i < d->programme.n_steps; i++) {
        const mdr_plan_step *s = &d->bath->steps[d->first_step + i];
        const mdr_dyeing_moment m = read_at(c, val(plan, s->end_min) - d->start_min);
        if (anything_beside(d)) {
            continue;
        }
        CHECK_NEAR(m.temp_c, val(plan, s->temp_end_c), 1e-9, "D: plan");
        if (d->programme.steps[i].kind !=
            MDR_DYE_RAMP) { /* the fill is brought to heat in between */
            CHECK_NEAR(m.liquor_l, s->liquor_end_l, 1e-6, "D: plan");
        }
        mdr_mix mix = {0};
        for (int k = 0; k < MDR_DISSOLVED_COUNT; k++) {
            mdr_mix_add(&mix, (int)mdr_dissolved_substance((mdr_dissolved)k),
                        1000.0 * val(plan, s->dissolved_kg[k]) / val(plan, d->bath->liquor_l));
        }
        CHECK_NEAR(m.sodium_mol_per_l, mix.mol_per_kg[MDR_TOTAL_NA], 1e-9, "D: plan");
    }
    const mdr_dyeing_moment end = c->moments[c->n_moments - 1];
    if (d->programme.n_steps == d->bath->n_steps - 1 - d->first_step) {
        CHECK_NEAR(end.liquor_l, val(plan, d->bath->final_l), 1e-6, "D: plan");
    }
}

static double worst_ph;
static int n_ph;

/* Every point of the bath's curve; a portion is a step there and takes a moment here. */
static void ph_is_the_curves(const mdr_plan *plan, const mdr_plan_dyeing *d,
                             const mdr_dye_course *c, mdr_arena *arena)
{
    mdr_chem_curve curve = {0};
    mdr_err err = {0};
    assert_int_equal(mdr_chem_curve_make(plan, arena, &curve, &err), MDR_OK);
    for (int i = 0; i < curve.n; i++) {
        const mdr_chem_point *q = &curve.points[i];
        const double t_min = q->t_min - d->start_min;
        if (q->bath != d->bath->number || !q->ph_known || t_min < 0.02 ||
            t_min > c->minutes - 1e-6) {
            continue;
        }
        bool jump = false;
        for (int s = 0; s < d->programme.n_steps; s++) {
            jump = jump || d->programme.steps[s].portions > 0;
        }
        const double ph = read_at(c, t_min).ph;
        if (!jump) {
            worst_ph = fmax(worst_ph, fabs(ph - q->ph));
            n_ph++;
        }
    }
}

static int dyed, without;

static void one_lot(const kit_desk *k)
{
    const mdr_plan_dyeing *d = dyeing_of(k->plan, k->arena);
    if (d->missing != MDR_DYEING_IS_THERE) {
        assert_int_equal(d->missing, MDR_DYEING_NO_DYE);
        without++;
        return;
    }
    dyed++;
    double kg = 0.0, dosed_kg = 0.0;
    for (int i = 0; i < d->programme.n_dyes; i++) {
        kg += d->dye_kg[i];
    }
    mdr_ph_table *table = NULL;
    const mdr_dye_course c = course_of(d, &table, k->arena);
    for (int i = 0; i < c.n_doses; i++) {
        dosed_kg += c.doses[i].kg;
    }
    CHECK_NEAR(dosed_kg, kg, 1e-12 * kg, "D: every dose is in the course");
    double asked_kg = 0.0;
    for (int i = 0; i < k->plan->lot->shade->n_dyes; i++) {
        asked_kg +=
            val(k->plan, k->plan->load_kg) * k->plan->lot->shade->dyes[i].depth_pct_owf / 100.0;
    }
    CHECK_NEAR(kg, asked_kg, 1e-9 * kg, "D: depth x load");
    steps_are_the_plans(k->plan, d);
    states_are_the_plans(k->plan, d, &c);
    ph_is_the_curves(k->plan, d, &c, k->arena);
}

static void every_demo_lot(void **state)
{
    (void)state;
    worst_ph = 0;
    assert_int_equal(kit_each_lot(one_lot), 24);
    assert_int_equal(dyed, 23);
    assert_int_equal(without, 1);
    assert_true(n_ph > 2000);
    CHECK_NEAR(worst_ph, 0, 0.01,
               "D: the plan's curve of the baths; the hair of the methods' page");
}

/* -- baths made for it -- */

static void run(kit_bench *b)
{
    if (kit_bench_run(b) != MDR_OK) {
        fail_msg("%s (%s)", b->err.msg, b->err.place);
    }
}

static void beside_the_heating(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_REACTIVE);
    const mdr_route_item salt = kit_item("salt", MDR_BASIS_G_PER_L, 40);
    const mdr_route_item dye = kit_item("", MDR_BASIS_RECIPE, 1);
    const mdr_route_item soda = kit_item("soda", MDR_BASIS_G_PER_L, 15);
    mdr_route_step with = kit_dose(&dye, 30);
    with.with_next = true;
    with.offset_min = 4;
    mdr_route_step portions = kit_dose(&salt, 20);
    portions.curve = MDR_CURVE_PORTIONS;
    portions.portions = 4;
    mdr_route_step slow = kit_dose(&soda, 30);
    slow.curve = MDR_CURVE_PROGRESSIVE;
    slow.exponent = 2;
    const mdr_route_step steps[] = {kit_fill(40), portions, with,         kit_heat(60, 1),
                                    kit_hold(20), slow,     kit_hold(40), kit_drain()};
    kit_bench_bath(&b, steps, 8);
    run(&b);
    const mdr_plan_dyeing *d = dyeing_of(b.plan, b.arena);
    steps_are_the_plans(b.plan, d);
    assert_int_equal(d->first_step, 1);
    assert_int_equal(d->programme.n_steps, 6);
    const mdr_dye_step *s = d->programme.steps;
    assert_int_equal(s[0].gives, MDR_GIVES_SALT);
    assert_int_equal(s[0].portions, 4);
    assert_int_equal(s[1].gives, MDR_GIVES_DYE);
    assert_true(s[1].beside && s[1].offset_min == 4.0);
    assert_int_equal(s[2].kind, MDR_DYE_RAMP);
    assert_int_equal(s[4].gives, MDR_GIVES_ALKALI);
    CHECK_NEAR(s[4].exponent, 2, 0, "D: route");
    CHECK_NEAR(s[0].salt_kg, 320, 1e-9, "D: 40 g/L in 8000 L");
    CHECK_NEAR(s[4].alkali_kg, 120, 1e-9, "D: 15 g/L in 8000 L");
    CHECK_NEAR(s[4].mol[MDR_TOTAL_CARBONATE], 120e3 / 105.988, 0.1, "D: moles of soda");
    CHECK_NEAR(s[2].mol[MDR_TOTAL_NA], 0, 1e-9, "D: heating dissolves nothing");
    mdr_ph_table *table = NULL;
    const mdr_dye_course c = course_of(d, &table, b.arena);
    CHECK_NEAR(c.moments[c.n_moments - 1].liquor_l, val(b.plan, d->bath->final_l), 1e-6, "D: plan");
    kit_bench_free(&b);
}

static mdr_no_dyeing missing_of(mdr_dye_class dye_class, double ratio, double hot_c)
{
    kit_bench b;
    kit_bench_ready(&b, 1000, ratio, dye_class);
    const mdr_route_item salt = kit_item("salt", MDR_BASIS_G_PER_L, 40);
    const mdr_route_item dye = kit_item("", MDR_BASIS_RECIPE, 1);
    mdr_route_step fill = kit_fill(40);
    fill.level_l = ratio < 5 ? 1000 * ratio : 0;
    b.machine.liquor_min_l = 100;
    b.machine.ratio_min_l_per_kg = 1;
    b.machine.temp_max_c = 135;
    const mdr_route_step steps[] = {fill, kit_dose(dye_class == MDR_CLASS_NONE ? &salt : &dye, 30),
                                    kit_heat(hot_c, 2), kit_hold(20), kit_drain()};
    kit_bench_bath(&b, steps, 5);
    run(&b);
    const mdr_no_dyeing missing = dyeing_of(b.plan, b.arena)->missing;
    kit_bench_free(&b);
    return missing;
}

static void when_there_is_nothing_to_simulate(void **state)
{
    (void)state;
    assert_int_equal(missing_of(MDR_CLASS_NONE, 8, 60), MDR_DYEING_NO_DYE);
    assert_int_equal(missing_of(MDR_CLASS_DIRECT, 8, 98), MDR_DYEING_IS_THERE);
    assert_int_equal(missing_of(MDR_CLASS_DIRECT, 8, 110), MDR_DYEING_TOO_HOT);
    assert_int_equal(missing_of(MDR_CLASS_DIRECT, 2, 60), MDR_DYEING_BELOW_ROPE);
    /* a vat dye without dithionite is a pigment */
    assert_int_equal(missing_of(MDR_CLASS_VAT, 8, 60), MDR_DYEING_NOT_REDUCED);
    assert_string_equal(mdr_no_dyeing_id(MDR_DYEING_NOT_REDUCED), "not-reduced");
    assert_string_equal(mdr_no_dyeing_id(MDR_DYEING_NO_DYE), "no-dye");
    for (int why = MDR_DYEING_IS_THERE; why <= MDR_DYEING_NOT_REDUCED; why++) {
        const char *words = mdr_no_dyeing_words((mdr_no_dyeing)why);
        assert_int_equal(words[0] != '\0', why != MDR_DYEING_IS_THERE);
    }
    assert_null(mdr_no_dyeing_id((mdr_no_dyeing)99));
    assert_null(mdr_no_dyeing_words((mdr_no_dyeing)99));
}

/* The bath with most dye, unless one is named; a rinse ends the dyeing, a rinse before begins it. */
static void which_bath_and_which_steps(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_REACTIVE);
    const mdr_route_item some = kit_item("", MDR_BASIS_RECIPE, 0.2);
    const mdr_route_item most = kit_item("", MDR_BASIS_RECIPE, 0.8);
    const mdr_route_step first[] = {kit_fill(40), kit_dose(&some, 30), kit_hold(20), kit_drain()};
    const mdr_route_step second[] = {kit_fill(40),        kit_rinse(5, 100), kit_hold(5),
                                     kit_dose(&most, 30), kit_hold(20),      kit_rinse(5, 100),
                                     kit_dose(&some, 5),  kit_hold(5),       kit_drain()};
    kit_bench_bath(&b, first, 4);
    kit_bench_bath(&b, second, 9);
    run(&b);
    const mdr_plan_dyeing *d = dyeing_of(b.plan, b.arena), *named = NULL;
    assert_int_equal(d->bath->number, 2);
    assert_int_equal(d->n_others, 1);
    assert_int_equal(d->others[0], 1);
    assert_int_equal(d->first_step, 2);
    assert_int_equal(d->programme.n_steps, 3);
    assert_true(d->cut);
    CHECK_NEAR(d->dye_kg[0], 16, 1e-9, "D: 0.8 of 2 % of 1000 kg");
    mdr_err err = {0};
    assert_int_equal(mdr_plan_dyeing_make(b.plan, 1, b.arena, &named, &err), MDR_OK);
    assert_int_equal(named->bath->number, 1);
    assert_true(!named->cut);
    named = NULL;
    assert_int_equal(mdr_plan_dyeing_make(b.plan, 3, b.arena, &named, &err), MDR_E_NOTFOUND);
    assert_string_equal(err.place, "bath");
    assert_null(named);
    kit_bench_free(&b);
}

/* A few grams of dye are a dyeing too: a small lot in a pale shade. */
static void a_few_grams(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_REACTIVE);
    const mdr_route_item hardly = kit_item("", MDR_BASIS_RECIPE, 0.002);
    const mdr_route_item salt = kit_item("salt", MDR_BASIS_G_PER_L, 0.01);
    const mdr_route_item soda = kit_item("soda", MDR_BASIS_G_PER_L, 0.01);
    const mdr_route_step steps[] = {kit_fill(40),       kit_rinse(5, 100), kit_dose(&hardly, 30),
                                    kit_dose(&salt, 5), kit_hold(20),      kit_dose(&soda, 5),
                                    kit_rinse(5, 100),  kit_drain()};
    kit_bench_bath(&b, steps, 8);
    run(&b);
    const mdr_plan_dyeing *d = dyeing_of(b.plan, b.arena);
    CHECK_NEAR(d->dye_kg[0], 0.04, 1e-9, "D: 0.002 of 2 % of 1000 kg");
    assert_int_equal(d->first_step, 2);
    assert_int_equal(d->programme.n_steps, 4); /* the rinse behind it is none of the dyeing */
    assert_int_equal(d->programme.steps[0].gives, MDR_GIVES_DYE);
    assert_int_equal(d->programme.steps[1].gives, MDR_GIVES_SALT);
    assert_int_equal(d->programme.steps[3].gives, MDR_GIVES_ALKALI);
    kit_bench_free(&b);
}

static void rope_of_each_kind(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_REACTIVE);
    const mdr_route_item dye = kit_item("", MDR_BASIS_RECIPE, 1);
    const mdr_route_step steps[] = {kit_fill(40), kit_dose(&dye, 30), kit_drain()};
    kit_bench_bath(&b, steps, 3);
    run(&b);
    const double rope_m = val(b.plan, b.plan->rope_m);
    const double held_l = 1000 * b.lot.article.retained_l_per_kg;
    for (int kind = MDR_MACHINE_WINCH; kind <= MDR_MACHINE_SAMPLE; kind++) {
        b.machine.kind = kind;
        b.machine.circulation_l_per_min = 5000;
        const mdr_exchange_usual u = mdr_exchange_usual_of(kind);
        const mdr_dyeing_rope r = mdr_plan_dyeing_rope(b.plan, 100);
        CHECK_NEAR(r.cycle_min, rope_m / 100, 1e-12, "D: rope / speed");
        CHECK_NEAR(r.exchange_per_min,
                   u.soaking_per_min + u.flow_part * 5000 / (held_l * u.zone_fraction), 1e-12,
                   "D: part of the flow / liquor in the zone");
        double sum = 0;
        for (int t = 0; t < r.tubes; t++) {
            sum += r.tube_share[t];
        }
        CHECK_NEAR(sum, 1, 1e-12, "D: shares");
        b.machine.circulation_l_per_min = 0;
        assert_true((mdr_plan_dyeing_rope(b.plan, 100).exchange_per_min > 0.0) ==
                    (kind == MDR_MACHINE_WINCH || kind == MDR_MACHINE_SAMPLE));
    }
    kit_bench_free(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_demo_lot),
        cmocka_unit_test(beside_the_heating),
        cmocka_unit_test(when_there_is_nothing_to_simulate),
        cmocka_unit_test(which_bath_and_which_steps),
        cmocka_unit_test(a_few_grams),
        cmocka_unit_test(rope_of_each_kind),
    };
    return cmocka_run_group_tests(tests, kit_demo_make, kit_demo_drop);
}
