/* Every rule leads somewhere: its anchor is a heading below docs/methods, and its source a key of
 * docs/sources.md. */
#include "anchor_kit.h"
#include "t.h"

#include <stdio.h>
#include <string.h>

#include "core/plan/mdr_fig.h"
#include "core/run/mdr_hold.h"

enum { LINE = 4096 };

/* How many headings of this file have this slug; -1: no such file. */
static int headings(const char *file, const char *anchor)
{
    char path[512], line[LINE], got[128];
    (void)snprintf(path, sizeof path, MDR_SOURCE_DIR "/docs/methods/%s", file);
    FILE *in = fopen(path, "r");
    if (in == NULL) {
        return -1;
    }
    int found = 0;
    while (fgets(line, sizeof line, in) != NULL) {
        if (line[0] == '#') {
            anchor_of_heading(line, got, sizeof got);
            found += strcmp(got, anchor) == 0;
        }
    }
    (void)fclose(in);
    return found;
}

static int source_lines(const char *key)
{
    char want[128], line[LINE];
    (void)snprintf(want, sizeof want, "- `%s`:", key);
    FILE *in = fopen(MDR_SOURCE_DIR "/docs/sources.md", "r");
    assert_non_null(in);
    int found = 0;
    while (fgets(line, sizeof line, in) != NULL) {
        found += strncmp(line, want, strlen(want)) == 0;
    }
    (void)fclose(in);
    return found;
}

static void anchors_are_headings(void **state)
{
    (void)state;
    for (int r = 0; r < MDR_RULE_COUNT; r++) {
        const mdr_rule_info *rule = mdr_rule_of((mdr_rule)r);
        const char *hash = strchr(rule->anchor, '#');
        if (hash == NULL) {
            fail_msg("rule %s: anchor \"%s\" has no #", rule->id, rule->anchor);
        } else {
            char file[64];
            (void)snprintf(file, sizeof file, "%.*s", (int)(hash - rule->anchor), rule->anchor);
            if (headings(file, hash + 1) != 1) {
                fail_msg("rule %s: docs/methods/%s needs one heading \"%s\"", rule->id, file,
                         hash + 1);
            }
        }
    }
}

static void sources_have_a_line(void **state)
{
    (void)state;
    for (int r = 0; r < MDR_RULE_COUNT; r++) {
        const mdr_rule_info *rule = mdr_rule_of((mdr_rule)r);
        if (source_lines(rule->source) != 1) {
            fail_msg("rule %s: docs/sources.md needs one line \"- `%s`: ...\"", rule->id,
                     rule->source);
        }
    }
}

static void rules_are_told_apart(void **state)
{
    (void)state;
    for (int r = 0; r < MDR_RULE_COUNT; r++) {
        const mdr_rule_info *rule = mdr_rule_of((mdr_rule)r);
        assert_non_null(rule->compute);
        assert_true(strlen(rule->title) > 0 && strlen(rule->words) > 0);
        for (int other = 0; other < r; other++) {
            assert_string_not_equal(rule->id, mdr_rule_of((mdr_rule)other)->id);
        }
    }
}

static void hold_points_too(void **state)
{
    (void)state;
    for (int r = 0; r < MDR_HOLD_RULE_COUNT; r++) {
        const mdr_hold_why *rule = mdr_hold_rule_of((mdr_hold_rule)r);
        const char *hash = strchr(rule->anchor, '#');
        assert_true(hash != NULL && strlen(rule->title) > 0 && strlen(rule->words) > 0);
        char file[64];
        (void)snprintf(file, sizeof file, "%.*s", hash != NULL ? (int)(hash - rule->anchor) : 0,
                       rule->anchor);
        if (hash == NULL || headings(file, hash + 1) != 1 || source_lines(rule->source) != 1) {
            fail_msg("rule %s: docs/methods/%s and the source %s must be there once", rule->id,
                     rule->anchor, rule->source);
        }
        for (int other = 0; other < r; other++) {
            assert_string_not_equal(rule->id, mdr_hold_rule_of((mdr_hold_rule)other)->id);
        }
        for (int plan = 0; plan < MDR_RULE_COUNT; plan++) {
            assert_string_not_equal(rule->id, mdr_rule_of((mdr_rule)plan)->id);
        }
    }
    assert_null(mdr_hold_rule_of(MDR_HOLD_RULE_COUNT));
}

static void looking_is_able_to_fail(void **state)
{
    (void)state;
    assert_int_equal(headings("heat.md", "ramp-time"), 1);
    assert_int_equal(headings("heat.md", "ramp-tim"), 0);
    assert_int_equal(headings("no-such-page.md", "ramp-time"), -1);
    assert_int_equal(source_lines("iapws-if97"), 1);
    assert_int_equal(source_lines("iapws"), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(anchors_are_headings),    cmocka_unit_test(sources_have_a_line),
        cmocka_unit_test(rules_are_told_apart),    cmocka_unit_test(hold_points_too),
        cmocka_unit_test(looking_is_able_to_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
