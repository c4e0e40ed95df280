/* What a batch was dyed with so far, and how many additions were made. Everything invented. */
#include "t.h"

#include <string.h>

#include "core/run/mdr_dyed.h"

static const mdr_control_item YELLOW = {.material_id = "Y",
                                        .name = "Y",
                                        .mass_mg = 1000,
                                        .dye = true},
                              BLUE = {
                                  .material_id = "B", .name = "B", .mass_mg = 3000, .dye = true};
static const mdr_control_item BOTH[] = {
    {.material_id = "Y", .name = "Y", .mass_mg = 1000, .dye = true},
    {.material_id = "B", .name = "B", .mass_mg = 3000, .dye = true},
    {.material_id = "SALT", .name = "Salt", .mass_mg = 9000}};

enum { ROOM = 8 };
typedef struct shop {
    mdr_control_step asked[ROOM];
    mdr_batch_item items[ROOM][3];
    mdr_batch_step steps[ROOM];
    mdr_batch batch;
} shop;

static void step(shop *f, const mdr_control_item *items, int n, int remedy, const char *remedy_id,
                 mdr_step_state state)
{
    const int i = f->batch.n_steps++;
    f->asked[i] =
        (mdr_control_step){.key = "", .kind = MDR_STEP_DOSE, .items = items, .n_items = n};
    f->steps[i] = (mdr_batch_step){.asked = &f->asked[i],
                                   .remedy = remedy,
                                   .remedy_id = remedy_id,
                                   .state = state,
                                   .items = f->items[i]};
    f->batch.steps = f->steps;
}

static int64_t mass(const mdr_dyed *d, const char *id)
{
    for (int i = 0; i < d->n; i++) {
        if (strcmp(d->dye[i].material_id, id) == 0) {
            return d->dye[i].mass_mg;
        }
    }
    return 0;
}

static void as_weighed(void **state)
{
    (void)state;
    shop f = {0};
    mdr_dyed d = mdr_batch_dyed(&f.batch);
    assert_int_equal(d.n, 0);
    step(&f, BOTH, 3, 0, "", MDR_STEP_DONE);
    f.items[0][0].weighed_mg = 1010;
    d = mdr_batch_dyed(&f.batch);
    assert_int_equal(d.n, 2); /* salt is no dye */
    assert_int_equal(mass(&d, "Y"), 1010);
    assert_int_equal(mass(&d, "B"), 3000);
    assert_int_equal(d.n_additions, 0);
    step(&f, &YELLOW, 1, 1, "shade-add", MDR_STEP_WAITS);
    d = mdr_batch_dyed(&f.batch);
    assert_int_equal(d.n_additions, 1); /* approved: it is on its way */
    assert_int_equal(mass(&d, "Y"), 1010);
    f.steps[1].state = MDR_STEP_RUNS;
    d = mdr_batch_dyed(&f.batch);
    assert_int_equal(mass(&d, "Y"), 2010);
    step(&f, &BLUE, 1, 1, "shade-add", MDR_STEP_DONE); /* the same addition in a second tank */
    step(&f, &BLUE, 1, 2, "shade-add", MDR_STEP_DONE);
    step(&f, &BLUE, 1, 3, "shade-add", MDR_STEP_LEFT_OUT);
    d = mdr_batch_dyed(&f.batch);
    assert_int_equal(d.n_additions, 2);
    assert_int_equal(mass(&d, "B"), 9000);
    assert_false(d.stripped || d.overflow);
}

static void colour_off(void **state)
{
    (void)state;
    static const struct {
        const char *remedy_id;
        mdr_step_state state;
        bool stripped;
    } ROWS[] = {{"strip-part", MDR_STEP_DONE, true},   {"strip-full", MDR_STEP_RUNS, true},
                {"strip-full", MDR_STEP_WAITS, false}, {"strip-full", MDR_STEP_LEFT_OUT, false},
                {"soap-down", MDR_STEP_DONE, false},   {"", MDR_STEP_DONE, false}};
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        shop f = {0};
        step(&f, BOTH, 2, 0, "", MDR_STEP_DONE);
        step(&f, NULL, 0, 1, ROWS[i].remedy_id, ROWS[i].state);
        assert_int_equal(mdr_batch_dyed(&f.batch).stripped, ROWS[i].stripped);
    }
}

static void too_many_dyes(void **state)
{
    (void)state;
    static char ids[MDR_DYED_MAX + 1][8];
    static mdr_control_item many[MDR_DYED_MAX + 1];
    static mdr_batch_item none[MDR_DYED_MAX + 1];
    shop f = {0};
    for (int i = 0; i <= MDR_DYED_MAX; i++) {
        ids[i][0] = (char)('A' + i);
        many[i] = (mdr_control_item){.material_id = ids[i], .name = "", .mass_mg = 1, .dye = true};
    }
    step(&f, many, MDR_DYED_MAX, 0, "", MDR_STEP_DONE);
    f.steps[0].items = none;
    assert_false(mdr_batch_dyed(&f.batch).overflow);
    f.asked[0].n_items++;
    const mdr_dyed d = mdr_batch_dyed(&f.batch);
    assert_true(d.overflow && d.n == MDR_DYED_MAX);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(as_weighed), cmocka_unit_test(colour_off),
                                       cmocka_unit_test(too_many_dyes)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
