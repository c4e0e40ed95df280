/* Lists of words: every enumerator has its id, no two have the same, and a value outside has none. */
#include "t.h"

#include <string.h>

#include "core/plan/mdr_plan.h"
#include "core/plan/mdr_records.h"
#include "core/plan/mdr_route.h"
#include "core/run/mdr_batch.h"
#include "core/run/mdr_clash.h"
#include "core/run/mdr_event.h"
#include "core/run/mdr_run_report.h"
#include "core/run/mdr_scan.h"
#include "core/run/mdr_weigh.h"

typedef const char *text_of(int k);

/* One that takes the number as such, so that all can stand in a table. */
#define BY_NUMBER(name, type)             \
    static const char *by_##name(int k)   \
    {                                     \
        return mdr_##name((mdr_##type)k); \
    }
BY_NUMBER(plan_demand_id, plan_demand)
BY_NUMBER(relaxed_from_id, relaxed_from)
BY_NUMBER(machine_kind_id, machine_kind)
BY_NUMBER(tank_water_id, tank_water)
BY_NUMBER(construction_id, construction)
BY_NUMBER(dye_class_id, dye_class)
BY_NUMBER(substance_id, substance)
BY_NUMBER(nature_id, nature)
BY_NUMBER(between_id, between)
BY_NUMBER(ratio_rule_id, ratio_rule)
BY_NUMBER(swap_id, swap)
BY_NUMBER(caution_id, caution)
BY_NUMBER(lot_stage_id, lot_stage)
BY_NUMBER(finish_line_id, finish_line)
BY_NUMBER(finisher_kind_id, pass_kind)
BY_NUMBER(stage_kind_id, stage_kind)
BY_NUMBER(step_kind_id, step_kind)
BY_NUMBER(basis_id, basis)
BY_NUMBER(dye_table_id, dye_table)
BY_NUMBER(curve_id, curve_kind)
BY_NUMBER(on_fail_id, on_fail)
BY_NUMBER(route_pass_id, route_pass_kind)
BY_NUMBER(not_first_id, not_first)
BY_NUMBER(weigh_verdict_id, weigh_verdict)
BY_NUMBER(batch_state_id, batch_state)
BY_NUMBER(step_state_id, step_state)
BY_NUMBER(clash_group_id, clash_group)
BY_NUMBER(gear_id, gear)
BY_NUMBER(scan_kind_id, scan_kind)
BY_NUMBER(weigh_way_id, weigh_way_kind)
BY_NUMBER(event_id, event_kind)
BY_NUMBER(decision_id, decision)
BY_NUMBER(interrupt_id, interrupt)
BY_NUMBER(plan_demand_words, plan_demand)
BY_NUMBER(plan_demand_unit, plan_demand)
BY_NUMBER(relaxed_from_words, relaxed_from)
BY_NUMBER(machine_kind_words, machine_kind)
BY_NUMBER(tank_water_words, tank_water)
BY_NUMBER(construction_words, construction)
BY_NUMBER(dye_class_words, dye_class)
BY_NUMBER(form_words, form)
BY_NUMBER(substance_words, substance)
BY_NUMBER(nature_words, nature)
BY_NUMBER(between_words, between)
BY_NUMBER(ratio_rule_words, ratio_rule)
BY_NUMBER(swap_words, swap)
BY_NUMBER(lot_stage_words, lot_stage)
BY_NUMBER(finisher_kind_words, pass_kind)
BY_NUMBER(stage_kind_words, stage_kind)
BY_NUMBER(step_kind_words, step_kind)
BY_NUMBER(basis_words, basis)
BY_NUMBER(curve_words, curve_kind)
BY_NUMBER(on_fail_words, on_fail)
BY_NUMBER(route_pass_words, route_pass_kind)
BY_NUMBER(not_first_words, not_first)
BY_NUMBER(weigh_verdict_words, weigh_verdict)
BY_NUMBER(batch_state_words, batch_state)
BY_NUMBER(step_state_words, step_state)
BY_NUMBER(clash_group_words, clash_group)
BY_NUMBER(scan_kind_words, scan_kind)
BY_NUMBER(weigh_way_words, weigh_way_kind)
BY_NUMBER(event_words, event_kind)
BY_NUMBER(decision_words, decision)
BY_NUMBER(interrupt_words, interrupt)

typedef struct list {
    const char *name;
    text_of *text;
} list;

#define ROW(name)        \
    {                    \
#name, by_##name \
    }
static const list IDS[] = {
    ROW(plan_demand_id),  ROW(relaxed_from_id), ROW(machine_kind_id),  ROW(tank_water_id),
    ROW(construction_id), ROW(dye_class_id),    ROW(substance_id),     ROW(nature_id),
    ROW(between_id),      ROW(ratio_rule_id),   ROW(swap_id),          ROW(caution_id),
    ROW(lot_stage_id),    ROW(finish_line_id),  ROW(finisher_kind_id), ROW(stage_kind_id),
    ROW(step_kind_id),    ROW(basis_id),        ROW(dye_table_id),     ROW(curve_id),
    ROW(on_fail_id),      ROW(route_pass_id),   ROW(not_first_id),     ROW(weigh_verdict_id),
    ROW(batch_state_id),  ROW(step_state_id),   ROW(clash_group_id),   ROW(gear_id),
    ROW(scan_kind_id),    ROW(weigh_way_id),    ROW(event_id),         ROW(decision_id),
    ROW(interrupt_id),
};
static const list WORDS[] = {
    ROW(plan_demand_words),  ROW(plan_demand_unit),    ROW(relaxed_from_words),
    ROW(machine_kind_words), ROW(tank_water_words),    ROW(construction_words),
    ROW(dye_class_words),    ROW(form_words),          ROW(substance_words),
    ROW(nature_words),       ROW(between_words),       ROW(ratio_rule_words),
    ROW(swap_words),         ROW(lot_stage_words),     ROW(finisher_kind_words),
    ROW(stage_kind_words),   ROW(step_kind_words),     ROW(basis_words),
    ROW(curve_words),        ROW(on_fail_words),       ROW(route_pass_words),
    ROW(not_first_words),    ROW(weigh_verdict_words), ROW(batch_state_words),
    ROW(step_state_words),   ROW(clash_group_words),   ROW(scan_kind_words),
    ROW(weigh_way_words),    ROW(event_words),         ROW(decision_words),
    ROW(interrupt_words),
};

enum { FAR_OUT = 1000 };

static int length_of(const list *l)
{
    int n = 0;
    while (n < FAR_OUT && l->text(n) != NULL) {
        n++;
    }
    return n;
}

/* Ids stand in stored documents: a pair of equal ones could not be read back. */
static void ids_tell_apart(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(IDS); i++) {
        const int n = length_of(&IDS[i]);
        if (n < 2) {
            fail_msg("%s has %d", IDS[i].name, n);
        }
        for (int k = 0; k < n; k++) {
            for (int other = 0; other < k; other++) {
                if (strcmp(IDS[i].text(k), IDS[i].text(other)) == 0) {
                    fail_msg("%s: %s twice", IDS[i].name, IDS[i].text(k));
                }
            }
        }
    }
}

static void nothing_outside(void **state)
{
    (void)state;
    const struct {
        const list *rows;
        size_t n;
    } all[] = {{IDS, N_OF(IDS)}, {WORDS, N_OF(WORDS)}};
    for (size_t a = 0; a < N_OF(all); a++) {
        for (size_t i = 0; i < all[a].n; i++) {
            const list *l = &all[a].rows[i];
            if (l->text(-1) != NULL || l->text(length_of(l)) != NULL || l->text(FAR_OUT) != NULL) {
                fail_msg("%s has something outside its list", l->name);
            }
        }
    }
}

static void words_are_as_many_as_ids(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(WORDS); i++) {
        for (size_t k = 0; k < N_OF(IDS); k++) {
            const size_t stem = strlen(IDS[k].name) - 2; /* "basis_" of "basis_id" */
            if (strncmp(IDS[k].name, WORDS[i].name, stem) == 0 &&
                strcmp(WORDS[i].name + stem, "words") == 0) {
                assert_int_equal(length_of(&WORDS[i]), length_of(&IDS[k]));
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(ids_tell_apart),
                                       cmocka_unit_test(nothing_outside),
                                       cmocka_unit_test(words_are_as_many_as_ids)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
