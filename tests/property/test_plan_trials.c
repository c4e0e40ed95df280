/* 1,000 random lots x routes x machines: every figure is its rule applied to figures before it, a key
 * leads to one figure, and no step breaks a limit of the machine unnoticed.
 */
#include "t.h"

#include "plan_trial_kit.h"

static void figures_are_their_rules(const mdr_plan *p)
{
    const mdr_figs *f = &p->figs;
    for (mdr_fig_id id = 0; id < f->count; id++) {
        const mdr_fig *fig = mdr_fig_at(f, id);
        assert_true(isfinite(fig->value));
        if (fig->rule < 0) {
            assert_non_null(fig->table);
            continue;
        }
        double in[256];
        assert_true(fig->n_inputs < 256);
        for (int i = 0; i < fig->n_inputs; i++) {
            assert_true(f->pool[fig->inputs + i] <
                        id); /* no figure rests on a later one: no circles */
            in[i] = mdr_fig_value(f, f->pool[fig->inputs + i]);
        }
        CHECK_NEAR(mdr_rule_of((mdr_rule)fig->rule)->compute(in, fig->n_inputs), fig->value, 0,
                   "D: a figure is its rule");
    }
}

/* A key names one computed figure; inputs read twice from one field carry the same value. */
static void keys_are_unique(const mdr_plan *p)
{
    const mdr_figs *f = &p->figs;
    char key[160];
    for (mdr_fig_id id = 0; id < f->count; id++) {
        (void)mdr_fig_key(f, id, key, sizeof key);
        const mdr_fig_id first = mdr_fig_find(f, key);
        if (first != id) {
            if (mdr_fig_at(f, id)->rule >= 0) {
                fail_msg("two figures are called %s", key);
            }
            CHECK_NEAR(mdr_fig_value(f, id), mdr_fig_value(f, first), 0, "D: one field, one value");
        }
    }
}

static bool warned(const mdr_plan *p, mdr_warn_id id, int bath, int step)
{
    for (int i = 0; i < p->n_warns; i++) {
        const mdr_warn *w = &p->warns[i];
        if (w->id == id && (bath == 0 || w->at.bath == bath) && (step == 0 || w->at.step == step)) {
            return true;
        }
    }
    return false;
}

/* Said of the lot as a whole. */
static bool warned_of_lot(const mdr_plan *p, mdr_warn_id id)
{
    for (int i = 0; i < p->n_warns; i++) {
        if (p->warns[i].id == id && p->warns[i].at.bath == 0) {
            return true;
        }
    }
    return false;
}

static void step_limits(const mdr_plan *p, const mdr_plan_bath *bath, int s)
{
    const mdr_machine *m = p->machine;
    const mdr_plan_step *step = &bath->steps[s];
    const int b = bath->number;
    const double minutes = val(p, step->minutes);
    const double rise = fabs(val(p, step->temp_end_c) - val(p, step->temp_start_c));
    const bool ramp = step->asked->kind == MDR_STEP_HEAT || step->asked->kind == MDR_STEP_COOL;
    assert_true(minutes >= 0);
    if (step->asked->kind == MDR_STEP_FILL && step->asked->has_temp &&
        step->asked->temp_c > m->temp_max_c) {
        assert_true(warned(p, MDR_WARN_TEMP_OVER, b, s + 1));
    }
    if (step->asked->kind == MDR_STEP_RINSE) {
        assert_true(val(p, step->volume_l) <=
                    m->rinse_l_per_min * step->asked->minutes * (1 + 1e-9));
        assert_true((step->asked->flow_l_per_min > m->rinse_l_per_min) ==
                    warned(p, MDR_WARN_RINSE_FLOW, b, s + 1));
    }
    if (step->asked->kind == MDR_STEP_FILL && step->asked->ratio_l_per_kg > 0) {
        const double ratio = step->asked->ratio_l_per_kg;
        assert_true((ratio < m->ratio_min_l_per_kg) == warned(p, MDR_WARN_RATIO_UNDER, b, 0));
        assert_true((ratio * val(p, p->load_kg) < m->liquor_min_l * (1 - 1e-9)) ==
                    warned(p, MDR_WARN_RATIO_RAISED, b, 0));
    }
    CHECK_NEAR(val(p, step->end_min), val(p, step->start_min) + minutes, 1e-9,
               "D: end = start + minutes");
    if (val(p, step->temp_end_c) > m->temp_max_c && ramp && rise > 0) {
        assert_true(warned(p, MDR_WARN_TEMP_OVER, b, s + 1));
    }
    if (ramp && rise > 0) {
        const double most =
            step->asked->kind == MDR_STEP_HEAT ? m->heat_max_c_per_min : m->cool_max_c_per_min;
        assert_true(rise / minutes <=
                    most * (1 + 1e-9)); /* never steeper than the control allows */
        if (step->asked->rate_c_per_min > 0 &&
            minutes > 1.06 * rise / step->asked->rate_c_per_min + 0.6) {
            assert_true(warned(p, MDR_WARN_RAMP_SLOWER, b, s + 1) ||
                        warned(p, MDR_WARN_NOT_REACHED, b, s + 1) ||
                        warned(p, MDR_WARN_RATE_OVER, b, s + 1));
        }
    }
    if (step->asked->kind == MDR_STEP_DRAIN && val(p, step->temp_start_c) > m->drain_temp_max_c) {
        assert_true(warned(p, MDR_WARN_DRAIN_HOT, b, s + 1));
    }
    if (step->asked->kind == MDR_STEP_DOSE && val(p, step->least_minutes) > minutes * (1 + 1e-9)) {
        assert_true(warned(p, MDR_WARN_TANK_TIME, b, s + 1));
    }
    if (step->beside) {
        const mdr_plan_step *last = &bath->steps[bath->n_steps - 1];
        if (last->asked->kind == MDR_STEP_DRAIN &&
            val(p, step->end_min) > val(p, last->start_min) + 1e-6) {
            assert_true(warned(p, MDR_WARN_DOSE_OUTLIVES, b, bath->n_steps));
        }
    }
}

static void limits_are_noticed(const mdr_plan *p)
{
    const mdr_machine *m = p->machine;
    const double load_kg = val(p, p->load_kg);
    assert_true((load_kg > m->load_max_kg) == warned_of_lot(p, MDR_WARN_LOAD_OVER));
    assert_true((load_kg < m->load_min_kg) == warned_of_lot(p, MDR_WARN_LOAD_UNDER));
    assert_true((p->lot->ratio_l_per_kg < m->ratio_min_l_per_kg) ==
                warned_of_lot(p, MDR_WARN_RATIO_UNDER));
    assert_true((load_kg * p->lot->ratio_l_per_kg < m->liquor_min_l) ==
                warned_of_lot(p, MDR_WARN_RATIO_RAISED));
    assert_true((val(p, p->cycle_min) > m->cycle_max_min) == warned_of_lot(p, MDR_WARN_CYCLE));
    for (int b = 0; b < p->n_baths; b++) {
        const mdr_plan_bath *bath = &p->baths[b];
        if (val(p, bath->final_l) > m->liquor_max_l + 1e-3) {
            assert_true(warned(p, MDR_WARN_LIQUOR_OVER, b + 1, 0));
        }
        if (!bath->continues && val(p, bath->final_l) > val(p, bath->liquor_l) + 1e-3) {
            assert_true(warned(p, MDR_WARN_ADDITIONS_OVER, b + 1, 0) ||
                        warned(p, MDR_WARN_CARRIED_OVER, b + 1, 0));
        }
        const double begun_l = val(p, bath->carried_l) + val(p, bath->fill_l);
        if (!bath->continues && begun_l < 0.98 * m->liquor_min_l - 1e-6) {
            assert_true(warned(p, MDR_WARN_CIRCULATION, b + 1, 0));
        }
        for (int s = 0; s < bath->n_steps; s++) {
            step_limits(p, bath, s);
        }
    }
}

static void curve_is_a_curve(const mdr_plan *p)
{
    assert_true(p->n_points > 2);
    for (int i = 0; i < p->n_points; i++) {
        assert_true(isfinite(p->curve[i].temp_c) && p->curve[i].temp_c > 0 &&
                    p->curve[i].temp_c < 160);
        assert_true(i == 0 || p->curve[i].t_min >= p->curve[i - 1].t_min - 1e-9);
    }
    CHECK_NEAR(p->curve[p->n_points - 1].t_min, val(p, p->total_min), 1e-6,
               "D: the curve ends with the lot");
}

static void a_thousand_plans(void **state)
{
    (void)state;
    static trial t;
    int warnings = 0;
    for (int i = 0; i < ROUNDS; i++) {
        mdr_arena *arena = mdr_arena_new(64u << 20);
        assert_non_null(arena);
        const mdr_plan *p = plan_of(&t, arena);
        if (i % 4 == 0) { /* as long as planning again */
            figures_are_their_rules(p);
        }
        if (i < 12) { /* quadratic */
            keys_are_unique(p);
        }
        limits_are_noticed(p);
        curve_is_a_curve(p);
        warnings += p->n_warns;
        mdr_arena_free(arena);
    }
    assert_true(warnings > ROUNDS); /* the trials do run into limits */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_thousand_plans),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
