/* The shortest dyeing of a lot as people ask for it, against the simulation of what it offers. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include <stdio.h>
#include <string.h>

#include "app/mdr_app_dyeing.h"
#include "app/mdr_app_shorten.h"
#include "demo_kit.h"

static mdr_arena *arena, *beside;

/* The offer as a change of the lot's dyeing, as the page sends it. */
static void change_of(const mdr_shorten_offer *o, char *ask, size_t size)
{
    const mdr_dye_programme *p = &o->point->programme;
    size_t n = (size_t)snprintf(
        ask, size, "{\"map\": false, \"speed_m_per_min\": %.17g, \"steps\": [", p->speed_m_per_min);
    bool first = true;
    for (int i = 0; i < p->n_steps; i++) {
        const mdr_dye_step *s = &p->steps[i];
        if (!o->changed[i]) {
            continue;
        }
        n += (size_t)snprintf(ask + n, size - n, "%s{\"step\": %d", first ? "" : ", ", s->number);
        n += s->kind == MDR_DYE_RAMP
                 ? (size_t)snprintf(ask + n, size - n, ", \"rate_c_per_min\": %.17g}",
                                    s->rate_c_per_min)
             : s->kind == MDR_DYE_DOSE && s->portions < 2
                 ? (size_t)snprintf(ask + n, size - n, ", \"minutes\": %.17g, \"exponent\": %.17g}",
                                    s->minutes, s->exponent)
                 : (size_t)snprintf(ask + n, size - n, ", \"minutes\": %.17g}", s->minutes);
        first = false;
    }
    (void)snprintf(ask + n, size - n, "]}");
}

static const mdr_shorten_answer *shortened(const char *lot_id, const char *ask)
{
    const mdr_shorten_answer *a = NULL;
    mdr_err err = {0};
    if (mdr_app_shorten(kit_app, lot_id, (mdr_blob){ask, strlen(ask)}, arena, NULL, &a, &err) !=
        MDR_OK) {
        fail_msg("%s: %s: %s", lot_id, err.place, err.msg);
    }
    return a;
}

static const mdr_dyeing_out *simulated(const char *lot_id, const char *ask)
{
    const mdr_dyeing_out *o = NULL;
    mdr_err err = {0};
    if (mdr_app_dyeing(kit_app, lot_id, (mdr_blob){ask, strlen(ask)}, beside, NULL, &o, &err) !=
        MDR_OK) {
        fail_msg("%s %s: %s: %s", lot_id, ask, err.place, err.msg);
    }
    return o;
}

static void same_figures(const mdr_shorten_answer *a, const mdr_dye_effect *effect,
                         const mdr_dye_effect *worst, const mdr_dyeing_out *o)
{
    const mdr_dyeing_answers *is = &o->result.answers;
    CHECK_NEAR(effect->minutes, o->result.course.minutes, 1e-9, "contract: the same programme");
    CHECK_NEAR(effect->strike_pct_per_contact, is->strike_most_pct, 1e-9,
               "contract: judged as it is simulated");
    CHECK_NEAR(worst->strike_pct_per_contact, o->margin->strike_pct[1], 1e-9,
               "contract: one definition of the margin");
    for (int i = 0; i < is->n_dyes; i++) {
        CHECK_NEAR(100 * effect->fixed[i],
                   a->in->fixes ? is->dyes[i].fixation_pct : is->dyes[i].exhaustion_pct, 1e-7,
                   "contract: judged as it is simulated");
    }
}

/* What the search says of base and of each offer is what a simulation of them says. */
static void one_margin_for_both(void **state)
{
    (void)state;
    static const char *const LOTS[] = {"L26-0105"};
    for (size_t l = 0; l < N_OF(LOTS); l++) {
        char ask[4096];
        const mdr_shorten_answer *a = shortened(LOTS[l], "{\"points\": 1}");
        assert_true(a->out->n_points > 0);
        same_figures(a, &a->out->base, &a->out->base_worst, simulated(LOTS[l], "{\"map\": false}"));
        assert_true(a->out->base_worst.strike_pct_per_contact >
                    a->out->base.strike_pct_per_contact);
        for (int i = 0; i < a->out->n_points; i++) {
            const mdr_shorten_point *p = &a->out->points[i];
            change_of(&a->offers[i], ask, sizeof ask);
            same_figures(a, &p->effect, &p->worst, simulated(LOTS[l], ask));
        }
    }
}

static int fresh(void **state)
{
    arena = mdr_arena_new((size_t)512 << 20);
    beside = mdr_arena_new((size_t)512 << 20);
    return kit_demo_make(state);
}

static int clear(void **state)
{
    mdr_arena_free(arena);
    mdr_arena_free(beside);
    return kit_demo_drop(state);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(one_margin_for_both)};
    return cmocka_run_group_tests(tests, fresh, clear);
}
