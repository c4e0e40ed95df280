/* What the planner takes of a machine: exactly at each limit it goes, just beyond it is refused by name. */
#include "plan_bath_kit.h"

#include <stddef.h>

#define FIELD(name, low, high)                                   \
    {                                                            \
        "machine." #name, offsetof(mdr_machine, name), low, high \
    }

/* D: as the mill lets them in, docs/formats.md, machine. */
static const struct {
    const char *place;
    size_t at;
    double low, high;
} FIELDS[] = {
    FIELD(load_max_kg, 0.1, 5000),
    FIELD(ratio_min_l_per_kg, 1, 40),
    FIELD(speed_max_m_per_min, 1, 1000),
    FIELD(temp_max_c, 50, 140),
    FIELD(exchanger_kw_per_k, 0.01, 500),
    FIELD(circulation_l_per_min, 0, 50000),
    FIELD(steam_max_kg_per_h, 1, 20000),
    FIELD(steel_kg, 1, 50000),
    FIELD(heat_max_c_per_min, 0.1, 10),
    FIELD(cool_max_c_per_min, 0.1, 10),
    FIELD(fill_l_per_min, 0.5, 10000),
    FIELD(drain_l_per_min, 0.5, 10000),
    FIELD(rinse_l_per_min, 0.5, 10000),
    FIELD(tank_l, 0.5, 5000),
    FIELD(tank_flow_l_per_min, 0.1, 1000),
    FIELD(tank_prepare_min, 0, 60),
    FIELD(load_time_min, 0, 240),
    FIELD(unload_time_min, 0, 240),
    FIELD(power_kw, 0, 1000),
};

/* Whether the machine's field number i, with this value, is what the plan is refused for. */
static bool is_refused(size_t i, double value)
{
    bench b;
    ready(&b, 1000, 8, true);
    memcpy((char *)&b.machine + FIELDS[i].at, &value, sizeof value);
    const mdr_route_step steps[] = {kit_fill(40), kit_drain()};
    add(&b, steps, 2);
    const bool refused =
        run(&b) == MDR_E_RANGE && strcmp(b.err.place, FIELDS[i].place) == 0 && b.plan == NULL;
    mdr_arena_free(b.arena);
    return refused;
}

static void machines_at_their_limits(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(FIELDS); i++) {
        const double low = FIELDS[i].low, high = FIELDS[i].high;
        const double beyond[] = {low - 1e-6, high + 1e-6, (double)NAN, (double)INFINITY};
        if (is_refused(i, low) || is_refused(i, high)) {
            fail_msg("%s is refused at its limit", FIELDS[i].place);
        }
        for (size_t k = 0; k < N_OF(beyond); k++) {
            if (!is_refused(i, beyond[k])) {
                fail_msg("%s may be %.17g", FIELDS[i].place, beyond[k]);
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(machines_at_their_limits)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
