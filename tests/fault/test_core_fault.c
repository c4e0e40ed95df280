/* Too little memory, at every place where core asks for some: the arena's cap is raised from nothing
 * until the job is done. Each run says that the memory is what lacks, and leaves its answer alone. */
#include "../unit/t.h"

#include <stdio.h>
#include <string.h>

#include "core/colour/mdr_shade_group.h"
#include "core/colour/mdr_shade_order.h"
#include "core/plan/mdr_advice.h"
#include "core/run/mdr_batch.h"
#include "core/run/mdr_hold.h"
#include "core/run/mdr_run_report.h"
#include "core/run/mdr_scan.h"
#include "plan_kit.h"

typedef struct job {
    const char *name;
    /* *out stays NULL unless it is done */
    mdr_code (*run)(mdr_arena *arena, const void **out, mdr_err *err);
    size_t step; /* the cap grows by so many bytes: less than what is asked for at once */
} job;

/* -- what the jobs are given -- */

static kit_bench bench;
static const mdr_control *control;
static mdr_arena *kept;

static mdr_route_item salt, acid;

static int ready(void **state)
{
    (void)state;
    salt = kit_item("salt", MDR_BASIS_G_PER_L, 50);
    acid = kit_item("acid", MDR_BASIS_G_PER_L, 1);
    const mdr_route_step steps[] = {
        kit_fill(30),    kit_dose(&salt, 10), kit_dose(&acid, 10),
        kit_heat(60, 2), kit_hold(20),        kit_check(MDR_CHECK_PH, -1, 7.5),
        kit_drain(),
    };
    mdr_err err = {0};
    kit_bench_ready(&bench, 500, 8, MDR_CLASS_REACTIVE);
    kit_bench_bath(&bench, steps, (int)N_OF(steps));
    kept = mdr_arena_new(16 << 20);
    return kit_bench_run(&bench) == MDR_OK &&
                   mdr_control_make(bench.plan, 1, kept, &control, &err) == MDR_OK
               ? 0
               : -1;
}

static int done(void **state)
{
    (void)state;
    kit_bench_free(&bench);
    mdr_arena_free(kept);
    return 0;
}

/* -- the jobs -- */

static mdr_code plan(mdr_arena *arena, const void **out, mdr_err *err)
{
    const mdr_plan_in in = {.lot = &bench.lot.lot,
                            .machine = &bench.machine,
                            .route = &bench.route,
                            .site = &bench.site,
                            .materials = bench.materials,
                            .n_materials = bench.n_materials,
                            .tables = bench.tables,
                            .n_tables = bench.n_tables};
    const mdr_plan *p = NULL;
    const mdr_code rc = mdr_plan_make(&in, arena, &p, err);
    *out = p;
    return rc;
}

static mdr_code freeze(mdr_arena *arena, const void **out, mdr_err *err)
{
    const mdr_control *c = NULL;
    const mdr_code rc = mdr_control_make(bench.plan, 1, arena, &c, err);
    *out = c;
    return rc;
}

static mdr_code advice(mdr_arena *arena, const void **out, mdr_err *err)
{
    const mdr_machine machines[] = {bench.machine, bench.machine};
    const mdr_advice_in in = {.order_kg = 900,
                              .article = &bench.lot.article,
                              .machines = machines,
                              .n_machines = (int)N_OF(machines)};
    mdr_advice *list = NULL;
    int n = 0;
    const mdr_code rc = mdr_advice_make(&in, arena, &list, &n, err);
    *out = list;
    return rc;
}

/* Opened, and a remedy put in that needs more room than there was. */
static mdr_code batch(mdr_arena *arena, const void **out, mdr_err *err)
{
    static const mdr_control_step CHECK[] = {
        {.key = "1.1",
         .bath = 1,
         .kind = MDR_STEP_CHECK,
         .check = {.kind = MDR_CHECK_PH, .has_low = true, .low = 10}}};
    static const mdr_control SHORT = {
        .lot_id = "L-1", .machine_id = "M-1", .steps = CHECK, .n_steps = 1};
    static mdr_batch b;
    static mdr_control_step more[60];
    static char keys[60][8];
    for (size_t i = 0; i < N_OF(more); i++) {
        (void)snprintf(keys[i], sizeof keys[i], "R1.%d", (int)i + 1);
        more[i] = control->steps[1]; /* with something to weigh */
        more[i].key = keys[i];
    }
    mdr_event e[] = {mdr_event_none(MDR_EVENT_BEGUN), mdr_event_none(MDR_EVENT_READING),
                     mdr_event_none(MDR_EVENT_REMEDY)};
    e[1].value = 9;
    e[2].of_seq = 2;
    e[2].steps = more;
    e[2].n_steps = (int)N_OF(more);
    MDR_TRY(mdr_batch_open("L-1.1", &SHORT, arena, &b, err));
    for (size_t i = 0; i < N_OF(e); i++) {
        e[i].seq = (int64_t)i + 1;
        e[i].step = i > 0 ? "1.1" : "";
        MDR_TRY(mdr_batch_apply(&b, &e[i], arena, err));
    }
    *out = &b;
    return MDR_OK;
}

static mdr_code report(mdr_arena *arena, const void **out, mdr_err *err)
{
    mdr_batch b;
    const mdr_run_report *r = NULL;
    MDR_TRY(mdr_batch_open("L-1.1", control, kept, &b, err));
    const mdr_event made = mdr_event_none(MDR_EVENT_MADE);
    const mdr_code rc = mdr_run_report_make(&b, &made, 1, arena, &r, err);
    *out = r;
    return rc;
}

static mdr_code hold(mdr_arena *arena, const void **out, mdr_err *err)
{
    const mdr_control_step *check = NULL;
    for (int i = 0; i < control->n_steps; i++) {
        check = control->steps[i].kind == MDR_STEP_CHECK ? &control->steps[i] : check;
    }
    assert_non_null(check);
    const mdr_control_state s = mdr_control_state_at(bench.plan, 1, 6);
    const mdr_hold_in in = {.check = &check->check,
                            .state = &s,
                            .machine = &bench.machine,
                            .site = &bench.site,
                            .materials = bench.materials,
                            .n_materials = bench.n_materials,
                            .reading = 9,
                            .bath = 1,
                            .remedy_number = 1};
    const mdr_hold *h = NULL;
    const mdr_code rc = mdr_hold_judge(&in, arena, &h, err);
    *out = h;
    return rc;
}

static mdr_code scan_own(mdr_arena *arena, const void **out, mdr_err *err)
{
    const char *text = NULL;
    static mdr_scan s;
    MDR_TRY(mdr_scan_write_weighing("L26-0107.1", "3.4", 2, arena, &text, err));
    MDR_TRY(mdr_scan_read(text, strlen(text), 2026, arena, &s, err));
    *out = &s;
    return MDR_OK;
}

static mdr_code scan_goods(mdr_arena *arena, const void **out, mdr_err *err)
{
    static const char LABEL[] = "010401234567890110L7\x1d"
                                "21S9";
    static mdr_scan s;
    MDR_TRY(mdr_scan_read(LABEL, sizeof LABEL - 1, 2026, arena, &s, err));
    *out = &s;
    return MDR_OK;
}

static mdr_code group(mdr_arena *arena, const void **out, mdr_err *err)
{
    static const mdr_difference_spec PLAIN = {MDR_DE_76, 1, 1, 1};
    mdr_lab rolls[12];
    mdr_shade_matrix m;
    const mdr_shade_groups *g = NULL;
    for (size_t i = 0; i < N_OF(rolls); i++) {
        rolls[i] = (mdr_lab){50.0 + 0.3 * (double)i, 20, 10};
    }
    MDR_TRY(mdr_shade_matrix_of(rolls, (int)N_OF(rolls), &PLAIN, arena, &m, err));
    const mdr_code rc = mdr_shade_group(&m, 1.0, 1000, arena, &g, err);
    *out = g;
    return rc;
}

static const job JOBS[] = {
    {"plan", plan, 1024},       {"control", freeze, 48},  {"advice", advice, 64},
    {"batch", batch, 256},      {"report", report, 64},   {"hold", hold, 512},
    {"own label", scan_own, 4}, {"label", scan_goods, 4}, {"shade groups", group, 64},
};

static void says_that_memory_lacks(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(JOBS); i++) {
        size_t cap = 0;
        for (mdr_code rc = MDR_E_NOMEM; rc != MDR_OK; cap += JOBS[i].step) {
            const void *out = NULL;
            mdr_err err = {0};
            mdr_arena *arena = mdr_arena_new(cap);
            rc = JOBS[i].run(arena, &out, &err);
            if ((rc != MDR_OK && rc != MDR_E_NOMEM) || (rc == MDR_OK) != (out != NULL) ||
                (rc != MDR_OK && (err.code != rc || err.msg[0] == '\0'))) {
                fail_msg("%s with %zu bytes: %s: %s", JOBS[i].name, cap, err.place, err.msg);
            }
            mdr_arena_free(arena);
            assert_true(cap < (size_t)16 << 20);
        }
        assert_true(cap > 4 * JOBS[i].step); /* it did ask for memory */
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(says_that_memory_lacks)};
    return cmocka_run_group_tests(tests, ready, done);
}
