/* The demo mill through the use cases: that it is whole, and that its one-tonne medium lot is the
 * common practice of the trade, step by step. */
#define _POSIX_C_SOURCE 200809L
#include "demo_made.h"
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
    return demo_made(mdr_app_new(path, true, &err), &err);
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

#define PRACTICE "P: common practice of the trade for a medium reactive shade on a cotton knit"

enum { ANY_TIME = -1, NO_DOSE = -1 };

/* One step that is not a check: kind, minutes where they are prescribed, temperature of the bath
 * at its start and end, what is dosed, and which part of it. */
typedef struct line {
    mdr_step_kind kind;
    double minutes, from_c, to_c;
    int substance;
    double share_pct;
} line;

static const line SCOUR[] = {
    {MDR_STEP_FILL, ANY_TIME, 0, 40, NO_DOSE, 100},
    {MDR_STEP_DOSE, ANY_TIME, 40, 40, MDR_SUB_OTHER, 100}, /* auxiliaries */
    {MDR_STEP_HEAT, ANY_TIME, 40, 60, NO_DOSE, 100},
    {MDR_STEP_DOSE, ANY_TIME, 60, 60, MDR_SUB_NAOH, 100},
    {MDR_STEP_HEAT, ANY_TIME, 60, 70, NO_DOSE, 100},
    {MDR_STEP_DOSE, ANY_TIME, 70, 70, MDR_SUB_H2O2, 100},
    {MDR_STEP_HEAT, ANY_TIME, 70, 98, NO_DOSE, 100},
    {MDR_STEP_HOLD, 60, 98, 98, NO_DOSE, 100},
    {MDR_STEP_COOL, ANY_TIME, 98, 78, NO_DOSE, 100},
    {MDR_STEP_DRAIN, ANY_TIME, 78, 78, NO_DOSE, 100},
};
static const line WASH[] = {
    {MDR_STEP_HEAT, ANY_TIME, 0, 80, NO_DOSE, 100},
    {MDR_STEP_HOLD, 10, 80, 80, NO_DOSE, 100},
};
static const line DYEING[] = {
    {MDR_STEP_DOSE, 10, 40, 40, MDR_SUB_NA2SO4, 100},
    {MDR_STEP_HOLD, 10, 40, 40, NO_DOSE, 100},
    {MDR_STEP_DOSE, 30, 40, 40, MDR_SUB_DYE, 100},
    {MDR_STEP_HOLD, 20, 40, 40, NO_DOSE, 100},
    {MDR_STEP_HEAT, ANY_TIME, 40, 60, NO_DOSE, 100},
    {MDR_STEP_DOSE, 15, 60, 60, MDR_SUB_NA2CO3, 40},
    {MDR_STEP_HOLD, 15, 60, 60, NO_DOSE, 100},
    {MDR_STEP_DOSE, 20, 60, 60, MDR_SUB_NA2CO3, 60},
    {MDR_STEP_HOLD, 20, 60, 60, NO_DOSE, 100},
};

static int bath_named(const desk *d, const char *name)
{
    for (int b = 0; b < d->plan->n_baths; b++) {
        if (strcmp(d->plan->baths[b].asked->name, name) == 0) {
            return b;
        }
    }
    fail_msg("there is no bath named %s", name);
    return -1;
}

static void same_line(const desk *d, const mdr_plan_step *step, const line *want)
{
    assert_string_equal(mdr_step_kind_id(step->asked->kind), mdr_step_kind_id(want->kind));
    if (want->minutes > 0) {
        CHECK_NEAR(val(d, step->minutes), want->minutes, 1e-9, PRACTICE);
    }
    if (want->from_c > 0) {
        CHECK_NEAR(val(d, step->temp_start_c), want->from_c, 1e-9, PRACTICE);
    }
    CHECK_NEAR(val(d, step->temp_end_c), want->to_c, 1e-9, PRACTICE);
    CHECK_NEAR(step->asked->share_pct, want->share_pct, 1e-9, PRACTICE);
    assert_int_equal(step->n_items > 0, want->substance != NO_DOSE);
    for (int k = 0; k < step->n_items; k++) {
        const int substance = step->items[k].material->substance;
        if (want->substance == MDR_SUB_OTHER) { /* auxiliaries: sequestrant and a little acid too */
            assert_true(substance == MDR_SUB_OTHER || substance == MDR_SUB_SEQUESTRANT ||
                        substance == MDR_SUB_HAC);
        } else {
            assert_int_equal(substance, want->substance);
        }
    }
}

/* The steps of the bath from `from` on, checks aside, are these in this order. Returns the index
 * of the first step compared. */
static int follows(const desk *d, const mdr_plan_bath *bath, const line *lines, int n, int from)
{
    int first = -1;
    int i = from;
    for (int k = 0; k < n; k++, i++) {
        while (i < bath->n_steps && bath->steps[i].asked->kind == MDR_STEP_CHECK) {
            i++;
        }
        if (i == bath->n_steps) {
            fail_msg("bath %d ends before %s", bath->number, mdr_step_kind_id(lines[k].kind));
        }
        first = first < 0 ? i : first;
        same_line(d, &bath->steps[i], &lines[k]);
    }
    return first;
}

/* A check of this kind among the steps before `end`. */
static const mdr_route_check *check_before(const mdr_plan_bath *bath, int end, mdr_check_kind kind)
{
    for (int i = 0; i < end; i++) {
        const mdr_route_step *asked = bath->steps[i].asked;
        if (asked->kind == MDR_STEP_CHECK && asked->check.kind == kind) {
            return &asked->check;
        }
    }
    fail_msg("bath %d has no check of %s in time", bath->number, mdr_check_words(kind));
    return NULL;
}

static void scour_and_bleach(void **state)
{
    (void)state;
    desk d = open_lot("L26-0107");
    assert_true(val(&d, d.plan->load_kg) >= 900 && val(&d, d.plan->load_kg) <= 1100);
    const int b = bath_named(&d, "Scour-bleach");
    const mdr_plan_bath *bath = &d.plan->baths[b];
    assert_int_equal(follows(&d, bath, SCOUR, N_OF(SCOUR), 0), 0);
    /* the sample is looked at after cooling, before the drain */
    const mdr_plan_step *last = &bath->steps[bath->n_steps - 2];
    assert_int_equal(last->asked->kind, MDR_STEP_CHECK);
    assert_int_equal(last->asked->check.kind, MDR_CHECK_SAMPLE);
    CHECK_NEAR(val(&d, last->temp_start_c), 78, 1e-9, PRACTICE);
    const mdr_plan_bath *wash = &d.plan->baths[b + 1]; /* the hot wash comes next */
    assert_int_equal(wash->steps[0].asked->kind, MDR_STEP_FILL);
    (void)follows(&d, wash, WASH, N_OF(WASH), 1);
    close_lot(&d);
}

static void dyeing(void **state)
{
    (void)state;
    desk d = open_lot("L26-0107");
    const int b = bath_named(&d, "Dyeing");
    const mdr_plan_bath *bath = &d.plan->baths[b];
    int salt = 0;
    while (salt < bath->n_steps &&
           !(bath->steps[salt].n_items > 0 &&
             bath->steps[salt].items[0].material->substance == MDR_SUB_NA2SO4)) {
        salt++;
    }
    (void)follows(&d, bath, DYEING, N_OF(DYEING), salt);
    /* before it: no peroxide is left, and the pH is that of dyeing */
    const mdr_route_check *ph = check_before(bath, salt, MDR_CHECK_PH);
    assert_true(ph->has_low && ph->has_high);
    CHECK_NEAR(ph->low, 6, 1e-9, PRACTICE);
    CHECK_NEAR(ph->high, 6.5, 1e-9, PRACTICE);
    const mdr_route_check *left =
        check_before(&d.plan->baths[b - 1], d.plan->baths[b - 1].n_steps, MDR_CHECK_PEROXIDE);
    assert_true(left->has_high && left->high <= 5);
    /* both parts of the soda are one amount */
    const double parts = DYEING[5].share_pct + DYEING[7].share_pct;
    CHECK_NEAR(parts, 100, 1e-9, "D: two parts of one amount");
    double soda_kg[2] = {0, 0};
    int n = 0;
    for (int i = salt; i < bath->n_steps && n < 2; i++) {
        if (bath->steps[i].n_items > 0 &&
            bath->steps[i].items[0].material->substance == MDR_SUB_NA2CO3) {
            soda_kg[n++] = val(&d, bath->steps[i].items[0].mass_kg);
        }
    }
    CHECK_NEAR(soda_kg[0] / soda_kg[1], 40.0 / 60.0, 1e-9, "D: their shares");
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
    static const char *const ODD[] = {"RV-3",     "L26-0104", "L26-0119", "L26-0120",
                                      "L26-0117", "L26-0118", "L26-0121", "L26-0105",
                                      "L26-0123", "L26-0124"}; /* docs/demo.md */
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
