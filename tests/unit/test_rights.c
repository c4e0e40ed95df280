#include "t.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "app/mdr_rights.h"

/* The policy written down a second time, a word an action: who may not is left out.
 * P: who does what in a dyehouse; a mill with other ways changes the table and this. */
static const struct {
    const char *action, *roles;
} POLICY[] = {
    {"read", "technologist,lab,weigh-room,operator,finisher,planner,quality,manager"},
    {"plan-change", "technologist,planner,manager"},
    {"route-change", "technologist,manager"},
    {"table-import", "technologist,planner,manager"},
    {"lab-enter", "technologist,lab,quality,manager"},
    {"lab-approve", "technologist,quality,manager"},
    {"run-start", "technologist,operator,planner,manager"},
    {"run-enter", "technologist,lab,weigh-room,operator,finisher,manager"},
    {"record", "technologist,lab,weigh-room,operator,finisher,planner,quality,manager"},
    {"weigh", "technologist,weigh-room,manager"},
    {"remedy-approve", "technologist,quality,manager"},
    {"release", "quality,manager"},
    {"record-export", "technologist,quality,manager"},
    {"people-change", "manager"},
    {"backup", "manager"},
};

static void policy(void **state)
{
    (void)state;
    assert_int_equal(N_OF(POLICY), MDR_ACT_END - MDR_ACT_FIRST);
    for (int a = MDR_ACT_FIRST; a < MDR_ACT_END; a++) {
        const char *id = mdr_action_id((mdr_action)a);
        uint32_t want = 0;
        assert_string_equal(id, POLICY[a - MDR_ACT_FIRST].action);
        assert_int_equal(mdr_roles_read(POLICY[a - MDR_ACT_FIRST].roles, &want, NULL), MDR_OK);
        for (int r = 0; r < MDR_ROLE_COUNT; r++) {
            if (mdr_roles_may(MDR_ROLE_BIT(r), (mdr_action)a) != ((want & MDR_ROLE_BIT(r)) != 0)) {
                fail_msg("%s: %s", id, mdr_role_id((mdr_role)r));
            }
        }
    }
}

static void nobody_may_what_is_in_no_row(void **state)
{
    (void)state;
    assert_false(mdr_roles_may(MDR_ROLES_ALL, MDR_ACT_NONE));
    assert_false(mdr_roles_may(MDR_ROLES_ALL, MDR_ACT_OPEN));
    assert_false(mdr_roles_may(MDR_ROLES_ALL, MDR_ACT_SELF));
    assert_false(mdr_roles_may(MDR_ROLES_ALL, MDR_ACT_END));
    assert_false(mdr_roles_may(MDR_ROLES_ALL, (mdr_action)999));
    assert_false(mdr_roles_may(0, MDR_ACT_READ));
}

static void roles_as_text(void **state)
{
    (void)state;
    uint32_t roles = 7;
    mdr_err err = {0};
    assert_int_equal(mdr_roles_read("lab", &roles, &err), MDR_OK);
    assert_int_equal(roles, MDR_R_L);
    assert_int_equal(mdr_roles_read("manager,lab", &roles, &err), MDR_OK);
    assert_int_equal(roles, MDR_R_L | MDR_R_M);
    static const char *const BAD[] = {"",        ",",   "lab,",        ",lab",
                                      "lab,lab", "Lab", "lab quality", "labs"};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        roles = 99;
        assert_int_equal(mdr_roles_read(BAD[i], &roles, &err), MDR_E_RANGE);
        assert_string_equal(err.place, "roles");
        assert_int_equal(roles, 99);
    }
}

/* D: the shortest of several counts; nothing lasts longer than a shift. */
static void times(void **state)
{
    (void)state;
    const int64_t min = 60000;
    assert_int_equal(mdr_roles_times(MDR_R_M).idle_ms, 15 * min);
    assert_int_equal(mdr_roles_times(MDR_R_M).lock_ms, 0);
    assert_int_equal(mdr_roles_times(MDR_R_O).idle_ms, 720 * min);
    assert_int_equal(mdr_roles_times(MDR_R_O).lock_ms, 10 * min);
    assert_int_equal(mdr_roles_times(MDR_R_O | MDR_R_L).idle_ms, 120 * min);
    assert_int_equal(mdr_roles_times(MDR_R_O | MDR_R_L).lock_ms, 10 * min);
    assert_int_equal(mdr_roles_times(MDR_R_O | MDR_R_M).idle_ms, 15 * min);
    for (uint32_t roles = 1; roles <= MDR_ROLES_ALL; roles++) {
        const mdr_session_times t = mdr_roles_times(roles);
        assert_true(t.idle_ms > 0 && t.idle_ms <= t.most_ms && t.most_ms == 720 * min);
    }
    assert_int_equal(mdr_roles_of_pin(), MDR_R_O | MDR_R_W | MDR_R_L);
}

/* The table that people read is the one that counts. */
static void documented(void **state)
{
    (void)state;
    static char text[1 << 16];
    FILE *f = fopen(MDR_SOURCE_DIR "/docs/people.md", "r");
    assert_non_null(f);
    const size_t n = fread(text, 1, sizeof text - 1, f);
    text[n] = '\0';
    (void)fclose(f);
    for (int a = MDR_ACT_FIRST; a < MDR_ACT_END; a++) {
        char line[200] = "";
        size_t at = (size_t)snprintf(line, sizeof line, "| `%s` |", mdr_action_id((mdr_action)a));
        for (int r = 0; r < MDR_ROLE_COUNT; r++) {
            at += (size_t)snprintf(line + at, sizeof line - at, " %s |",
                                   mdr_roles_may(MDR_ROLE_BIT(r), (mdr_action)a) ? "yes" : "");
        }
        if (strstr(text, line) == NULL) {
            fail_msg("docs/people.md lacks: %s", line);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(policy), cmocka_unit_test(nobody_may_what_is_in_no_row),
        cmocka_unit_test(roles_as_text), cmocka_unit_test(times), cmocka_unit_test(documented)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
