/* The bath at every hold point of the demo mill's lots, and the remedies of readings that are off. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include "core/bath/mdr_equil.h"
#include "core/run/mdr_hold.h"
#include "demo_kit.h"
#include "plan_kit.h"
#include "wire/mdr_run_doc.h"

typedef struct tally {
    int checks, ph, dyed, fixing, corrected, stopped;
} tally;

/* The mill's chemicals. */
static int at_hand(const mdr_material **list)
{
    int n = 0;
    for (int i = 0; i < kit_app->masters.n_materials; i++) {
        if (!kit_app->masters.materials[i].is_dye) {
            list[n++] = &kit_app->masters.materials[i];
        }
    }
    return n;
}

static mdr_control_check check_of(const mdr_plan *plan, const mdr_plan_bath *b,
                                  const mdr_plan_step *s)
{
    const mdr_route_check *c = &s->asked->check;
    const mdr_fig_id expected = mdr_plan_expected(b, s);
    return (mdr_control_check){.kind = c->kind,
                               .has_low = c->has_low,
                               .has_high = c->has_high,
                               .low = c->low,
                               .high = c->high,
                               .has_expected = expected != MDR_FIG_NONE,
                               .expected = mdr_fig_value(&plan->figs, expected),
                               .cooled = c->cooled,
                               .method = "",
                               .remedy = "",
                               .on_fail = c->on_fail};
}

/* A little outside, on the side there is a limit; NaN: there is none. */
static double off(const mdr_control_check *c)
{
    const double span = mdr_check_most(c->kind) - mdr_check_least(c->kind);
    return c->has_high  ? fmin(mdr_check_most(c->kind), c->high + 0.05 * span)
           : c->has_low ? fmax(mdr_check_least(c->kind), c->low - 0.05 * span)
                        : (double)NAN;
}

/* The state reads what the plan expects: the same bath, the same pH. */
static void same_bath(const kit_desk *d, const mdr_control_check *c, const mdr_control_state *s,
                      tally *t)
{
    if ((c->kind != MDR_CHECK_PH && c->kind != MDR_CHECK_CORE_PH) || !c->has_expected) {
        return;
    }
    mdr_mix mix = {.temp_c = c->cooled ? MDR_PLAN_COLD_C : s->temp_c};
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        mdr_mix_add(&mix, (int)mdr_dissolved_substance((mdr_dissolved)i),
                    s->dissolved_kg[i] * 1000.0 / s->liquor_l);
    }
    if (fabs(mdr_equil_ph(&mix) - c->expected) > 0.02) {
        fail_msg("%s: the state reads %.3f, the plan %.3f", d->in.lot->lot_id, mdr_equil_ph(&mix),
                 c->expected);
    }
    t->ph++;
}

static void judge(const kit_desk *d, int bath, int step, tally *t)
{
    const mdr_plan *plan = d->plan;
    const mdr_plan_bath *b = &plan->baths[bath - 1];
    const mdr_material *list[200];
    const mdr_control_check c = check_of(plan, b, &b->steps[step - 1]);
    const mdr_control_state s = mdr_control_state_at(plan, bath, step);
    const double reading = off(&c);
    const mdr_hold_in in = {.check = &c,
                            .state = &s,
                            .machine = plan->machine,
                            .site = plan->site,
                            .materials = list,
                            .n_materials = at_hand(list),
                            .reading = reading,
                            .bath = bath,
                            .remedy_number = 1};
    const mdr_hold *h = NULL;
    mdr_err err = {0};
    t->checks++;
    t->dyed += s.dyed;
    t->fixing += s.fixing;
    same_bath(d, &c, &s, t);
    if (isnan(reading)) {
        return;
    }
    if (mdr_hold_judge(&in, d->arena, &h, &err) != MDR_OK) {
        fail_msg("%s bath %d step %d: %s %s", d->in.lot->lot_id, bath, step, err.place, err.msg);
    }
    assert_int_not_equal(h->verdict, MDR_HOLD_PASS);
    t->corrected += h->verdict == MDR_HOLD_CORRECT;
    t->stopped += h->verdict == MDR_HOLD_STOP;
    for (int i = 0; i < h->n_remedies; i++) {
        for (int k = 0; k < h->remedies[i].n_steps; k++) {
            assert_true(h->remedies[i].steps[k].liquor_l <=
                        fmax(plan->machine->liquor_max_l, s.liquor_l) + 1e-6);
        }
    }
}

static tally all;

static void see(const kit_desk *d)
{
    for (int b = 1; b <= d->plan->n_baths; b++) {
        for (int s = 1; s <= d->plan->baths[b - 1].n_steps; s++) {
            if (d->plan->baths[b - 1].steps[s - 1].asked->kind == MDR_STEP_CHECK) {
                judge(d, b, s, &all);
            }
        }
    }
}

static void every_check_of_the_mill(void **state)
{
    (void)state;
    assert_true(kit_each_lot(see) > 10);
    assert_true(all.checks > 100 && all.ph > 30 && all.dyed > 20 && all.dyed < all.checks);
    assert_true(all.fixing > 3 && all.fixing < all.dyed && all.corrected > 3 * all.stopped);
}

static void is_kept(const mdr_control *c, mdr_arena *arena)
{
    const mdr_control *again = NULL;
    char *text = NULL, *same = NULL;
    size_t len = 0, same_len = 0;
    assert_int_equal(mdr_wire_control_write(c, arena, &text, &len, NULL), MDR_OK);
    assert_int_equal(mdr_wire_control_read(text, len, arena, &again, NULL), MDR_OK);
    assert_int_equal(mdr_wire_control_write(again, arena, &same, &same_len, NULL), MDR_OK);
    assert_string_equal(same, text);
    assert_non_null(strstr(text, "\"steam_kj_per_kg\":"));
}

static void is_the_plan(const mdr_plan *plan, const mdr_control_drying *w)
{
    const mdr_plan_pass *stenter = &plan->finish->passes[1];
    const mdr_figs *f = &plan->figs;
    CHECK_NEAR(w->in_pct, mdr_fig_value(f, plan->finish->passes[0].moisture_pct), 0.0, "O: plan");
    CHECK_NEAR(w->mj_per_kg * w->dry_kg * (w->in_pct - w->out_pct) / 100,
               mdr_fig_value(f, stenter->heat_mj), 1e-6, "D: heat of the pass");
    CHECK_NEAR(w->length_m / w->speed_m_per_min, mdr_fig_value(f, stenter->minutes), 1e-9,
               "D: time of the pass");
    assert_true(w->steams && w->oven_m > 0.0 && w->air_kg_per_kg > 0.0);
}

/* Each step has what it takes, by the rule that its actual temperatures are held against. */
static void steam_of_the_steps(void **state)
{
    (void)state;
    kit_desk d = {0};
    const mdr_control *c = NULL;
    double steam_kg = 0.0;
    assert_true(kit_desk_open(&d, "L26-0105"));
    kit_desk_plan(&d);
    assert_int_equal(mdr_control_make(d.plan, 1, d.arena, &c, NULL), MDR_OK);
    for (int i = 0; i < c->n_steps; i++) {
        const mdr_control_step *s = &c->steps[i];
        steam_kg += s->steam_kg;
        if (s->kind == MDR_STEP_HEAT && s->steam_kg > 0.0) {
            const double kj_per_k =
                1.34 * c->load_kg + 4.18 * s->liquor_l + 0.5 * d.plan->machine->steel_kg;
            CHECK_NEAR(s->steam_kg * c->steam_kj_per_kg,
                       kj_per_k * (s->temp_end_c - s->temp_start_c),
                       1e-9 * s->steam_kg * c->steam_kj_per_kg, "D: the ramp of the plan");
        }
    }
    CHECK_NEAR(steam_kg, c->steam_kg, 1e-9 * steam_kg, "D: of all steps");
    is_kept(c, d.arena);
    kit_desk_close(&d);
}

/* The fabric and the dryer are the plan's, and the stored document keeps them. */
static void behind_the_dryer(void **state)
{
    (void)state;
    kit_desk d = {0};
    const mdr_control *c = NULL;
    assert_true(kit_desk_open(&d, "L26-0111"));
    kit_desk_plan(&d);
    assert_int_equal(mdr_control_make(d.plan, 1, d.arena, &c, NULL), MDR_OK);
    assert_int_equal(c->n_baths, d.plan->n_baths + 1);
    const mdr_control_step *s = &c->steps[c->n_steps - 1];
    assert_int_equal(s->bath, c->n_baths);
    assert_int_equal(s->check.kind, MDR_CHECK_MOISTURE);
    const mdr_control_drying *w = &s->state->drying;
    is_the_plan(d.plan, w);
    CHECK_NEAR(w->out_pct, s->check.expected, 0.0, "D: what the plan foresees");
    is_kept(c, d.arena);
    kit_desk_close(&d);
}

/* The liquor of one bath goes on into the next, whose first step gives the alkali. */
static void alkali_first(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_REACTIVE);
    const mdr_route_item dye = kit_item("", MDR_BASIS_RECIPE, 1);
    const mdr_route_item soda = kit_item("soda", MDR_BASIS_G_PER_L, 15);
    const mdr_route_step dyes[] = {kit_fill(40), kit_dose(&dye, 30), kit_hold(20)};
    const mdr_route_step fixes[] = {kit_dose(&soda, 30), kit_hold(40), kit_drain()};
    kit_bench_bath(&b, dyes, 3);
    kit_bench_bath(&b, fixes, 3);
    if (kit_bench_run(&b) != MDR_OK) {
        fail_msg("%s (%s)", b.err.msg, b.err.place);
    }
    assert_true(b.plan->baths[1].continues);
    const mdr_control_state waits = mdr_control_state_at(b.plan, 1, 3);
    assert_true(waits.dyed && waits.dyebath && !waits.fixing);
    const mdr_control_state given = mdr_control_state_at(b.plan, 2, 2);
    assert_true(given.dyed && given.dyebath && given.fixing);
    kit_bench_free(&b);
}

/* How a hold point is read stands with it as the route says; nothing where it says nothing. */
static void words_of_a_check(void **state)
{
    (void)state;
    kit_bench b;
    kit_bench_ready(&b, 1000, 8, MDR_CLASS_REACTIVE);
    mdr_route_step told = kit_check(MDR_CHECK_PH, 6, 7), silent = told;
    told.check.method = "a cooled sample, glass electrode";
    told.check.remedy = "acetic acid in portions";
    silent.check.method = silent.check.remedy = NULL;
    const mdr_route_step steps[] = {kit_fill(40), kit_hold(5), told, silent, kit_drain()};
    kit_bench_bath(&b, steps, 5);
    if (kit_bench_run(&b) != MDR_OK) {
        fail_msg("%s (%s)", b.err.msg, b.err.place);
    }
    const mdr_control *c = NULL;
    assert_int_equal(mdr_control_make(b.plan, 1, b.arena, &c, NULL), MDR_OK);
    assert_string_equal(c->steps[2].check.method, "a cooled sample, glass electrode");
    assert_string_equal(c->steps[2].check.remedy, "acetic acid in portions");
    assert_string_equal(c->steps[3].check.method, "");
    assert_string_equal(c->steps[3].check.remedy, "");
    kit_bench_free(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_check_of_the_mill), cmocka_unit_test(steam_of_the_steps),
        cmocka_unit_test(behind_the_dryer), cmocka_unit_test(alkali_first),
        cmocka_unit_test(words_of_a_check)};
    return cmocka_run_group_tests(tests, kit_demo_make, kit_demo_drop);
}
