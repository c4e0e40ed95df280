/* The demo mill through the use cases: that it is whole, and that its one-tonne medium lot is the
 * common practice of the trade, step by step. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/mdr_app.h"

static char folder[] = "/tmp/madder-demo-XXXXXX";
static char path[64];

static int make_mill(void **state)
{
    (void)state;
    mdr_err err = {0};
    if (mkdtemp(folder) == NULL) {
        return -1;
    }
    (void)snprintf(path, sizeof path, "%s/demo.mill", folder);
    return mdr_app_new(path, true, &err) == MDR_OK ? 0 : -1;
}

static int drop_mill(void **state)
{
    (void)state;
    (void)unlink(path);
    return rmdir(folder); /* fails when something half-written was left */
}

typedef struct desk {
    mdr_app *app;
    mdr_arena *arena;
    const mdr_plan *plan;
} desk;

static desk open_lot(const char *lot_id)
{
    desk d = {.arena = mdr_arena_new(64 << 20)};
    mdr_err err = {0};
    assert_int_equal(mdr_app_open(path, false, &d.app, &err), MDR_OK);
    if (mdr_app_plan(d.app, lot_id, (mdr_blob){0}, d.arena, NULL, &d.plan, &err) != MDR_OK) {
        fail_msg("%s: %s: %s", lot_id, err.place, err.msg);
    }
    return d;
}

static void close_lot(desk *d)
{
    mdr_app_close(d->app);
    mdr_arena_free(d->arena);
}

static double val(const desk *d, mdr_fig_id id)
{
    return mdr_fig_value(&d->plan->figs, id);
}

/* The n-th step from `from` on that is of this kind; fails when there is none. */
static int next_of(const mdr_plan_bath *bath, int from, mdr_step_kind kind)
{
    for (int i = from; i < bath->n_steps; i++) {
        if (bath->steps[i].asked->kind == kind) {
            return i;
        }
    }
    fail_msg("bath %d has no %s after step %d", bath->number, mdr_step_kind_id(kind), from);
    return -1;
}

static int dose_of(const mdr_plan_bath *bath, int from, int substance)
{
    for (int i = from; i < bath->n_steps; i++) {
        for (int k = 0; k < bath->steps[i].n_items; k++) {
            if (bath->steps[i].items[k].material->substance == substance) {
                return i;
            }
        }
    }
    fail_msg("bath %d doses no %s after step %d", bath->number,
             mdr_substance_id((mdr_substance)substance), from);
    return -1;
}

static const mdr_plan_bath *bath_with(const desk *d, int substance)
{
    for (int b = 0; b < d->plan->n_baths; b++) {
        for (int i = 0; i < d->plan->baths[b].n_steps; i++) {
            const mdr_plan_step *step = &d->plan->baths[b].steps[i];
            if (step->n_items > 0 && step->items[0].material->substance == substance) {
                return &d->plan->baths[b];
            }
        }
    }
    fail_msg("no bath doses %s", mdr_substance_id((mdr_substance)substance));
    return NULL;
}

#define PRACTICE        "P: common practice of the trade for a white-to-medium cotton knit lot"
#define NEAR(got, want) CHECK_NEAR(got, want, 0.5, PRACTICE)

static void scour_and_bleach(void **state)
{
    (void)state;
    desk d = open_lot("L26-0107");
    assert_true(val(&d, d.plan->load_kg) > 900 &&
                val(&d, d.plan->load_kg) < 1100); /* about a tonne */
    const mdr_plan_bath *bath = bath_with(&d, MDR_SUB_NAOH);
    const int fill = next_of(bath, 0, MDR_STEP_FILL);
    NEAR(val(&d, bath->steps[fill].temp_end_c), 40);
    const int auxiliaries = next_of(bath, fill, MDR_STEP_DOSE);
    NEAR(val(&d, bath->steps[auxiliaries].temp_start_c), 40);
    const int caustic = dose_of(bath, auxiliaries + 1, MDR_SUB_NAOH);
    NEAR(val(&d, bath->steps[caustic].temp_start_c), 60);
    const int peroxide = dose_of(bath, caustic + 1, MDR_SUB_H2O2);
    NEAR(val(&d, bath->steps[peroxide].temp_start_c), 70);
    const int hour = next_of(bath, peroxide, MDR_STEP_HOLD);
    NEAR(val(&d, bath->steps[hour].temp_start_c), 98);
    NEAR(val(&d, bath->steps[hour].minutes), 60);
    const int cool = next_of(bath, hour, MDR_STEP_COOL);
    NEAR(val(&d, bath->steps[cool].temp_end_c), 78);
    assert_int_equal(bath->steps[cool + 1].asked->kind, MDR_STEP_CHECK); /* sample */
    const mdr_plan_bath *wash = bath + 1;
    const int run = next_of(wash, 0, MDR_STEP_HOLD);
    NEAR(val(&d, wash->steps[run].temp_start_c), 80);
    NEAR(val(&d, wash->steps[run].minutes), 10);
    close_lot(&d);
}

static bool has_check(const mdr_plan_bath *bath, mdr_check_kind kind, double high)
{
    for (int i = 0; i < bath->n_steps; i++) {
        const mdr_route_check *c = &bath->steps[i].asked->check;
        if (bath->steps[i].asked->kind == MDR_STEP_CHECK && c->kind == kind && c->has_high &&
            c->high <= high) {
            return true;
        }
    }
    return false;
}

static void run_follows(const desk *d, const mdr_plan_bath *bath, int dose, double dosed_min,
                        double run_min)
{
    NEAR(val(d, bath->steps[dose].minutes), dosed_min);
    assert_int_equal(bath->steps[dose + 1].asked->kind, MDR_STEP_HOLD);
    NEAR(val(d, bath->steps[dose + 1].minutes), run_min);
}

static void dyeing(void **state)
{
    (void)state;
    desk d = open_lot("L26-0107");
    const mdr_plan_bath *bath = bath_with(&d, MDR_SUB_DYE);
    assert_true(has_check(bath - 1, MDR_CHECK_PEROXIDE, 5)); /* peroxide is gone */
    assert_true(has_check(bath, MDR_CHECK_PH, 6.5));
    const int salt = dose_of(bath, 0, MDR_SUB_NA2SO4);
    run_follows(&d, bath, salt, 10, 10);
    const int dye = dose_of(bath, salt + 1, MDR_SUB_DYE);
    run_follows(&d, bath, dye, 30, 20);
    const int first = dose_of(bath, dye + 1, MDR_SUB_NA2CO3);
    NEAR(val(&d, bath->steps[first].temp_start_c), 60);
    run_follows(&d, bath, first, 15, 15);
    const int second = dose_of(bath, first + 1, MDR_SUB_NA2CO3);
    run_follows(&d, bath, second, 20, 20);
    CHECK_NEAR(bath->steps[first].asked->share_pct + bath->steps[second].asked->share_pct, 100,
               1e-9, "D: two parts of one amount");
    close_lot(&d);
}

static void check_finds_what_is_documented(void **state)
{
    (void)state;
    mdr_app *app = NULL;
    mdr_arena *arena = mdr_arena_new(16 << 20);
    mdr_err_list found = mdr_err_list_make(arena, 200);
    assert_int_equal(mdr_app_open(path, false, &app, NULL), MDR_OK);
    assert_int_equal(mdr_app_check(app, &found, NULL), MDR_OK);
    static const char *const ODD[] = {"RV-3",     "L26-0104", "L26-0119",
                                      "L26-0120", "L26-0117", "L26-0118"}; /* docs/demo.md */
    for (size_t i = 0; i < N_OF(ODD); i++) {
        int seen = 0;
        for (int k = 0; k < found.count; k++) {
            seen += strstr(found.items[k].place, ODD[i]) != NULL ? 1 : 0;
        }
        if (seen == 0) {
            fail_msg("check does not find %s", ODD[i]);
        }
    }
    for (int k = 0; k < found.count; k++) { /* and nothing else */
        bool known = false;
        for (size_t i = 0; i < N_OF(ODD); i++) {
            known = known || strstr(found.items[k].place, ODD[i]) != NULL;
        }
        if (!known) {
            fail_msg("check finds more than is documented: %s: %s", found.items[k].place,
                     found.items[k].msg);
        }
    }
    mdr_app_close(app);
    mdr_arena_free(arena);
}

static void an_old_file_is_never_replaced(void **state)
{
    (void)state;
    struct stat before;
    struct stat after;
    mdr_err err = {0};
    assert_int_equal(stat(path, &before), 0);
    assert_int_equal(mdr_app_new(path, true, &err), MDR_E_CONFLICT);
    assert_int_equal(stat(path, &after), 0);
    assert_true(before.st_ino == after.st_ino && before.st_size == after.st_size);
    assert_true(strlen(err.remedy) > 0);
    assert_int_equal(mdr_app_new("/nowhere/at/all.mill", true, &err), MDR_E_IO);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(scour_and_bleach), cmocka_unit_test(dyeing),
                                       cmocka_unit_test(check_finds_what_is_documented),
                                       cmocka_unit_test(an_old_file_is_never_replaced)};
    return cmocka_run_group_tests(tests, make_mill, drop_mill);
}
