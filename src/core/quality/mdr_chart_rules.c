#include "core/quality/mdr_chart_rules.h"

#include <math.h>
#include <stddef.h>

static const struct {
    const char *id, *words;
    int points;
    const char *source;
} RULES[MDR_CHART_RULE_COUNT] = {
#define X(name, id, words, points, source) {id, words, points, source},
    MDR_CHART_RULES(X)
#undef X
};

const char *mdr_chart_rule_id(mdr_chart_rule r)
{
    return RULES[r].id;
}

const char *mdr_chart_rule_words(mdr_chart_rule r)
{
    return RULES[r].words;
}

int mdr_chart_rule_points(mdr_chart_rule r)
{
    return RULES[r].points;
}

const char *mdr_chart_rule_source(mdr_chart_rule r)
{
    return RULES[r].source;
}

/* Of the last `points` up to `at`, those beyond `zone` on the side of the last one, itself included
 * and beyond: a rule is completed by a point that is part of the pattern. */
static int beyond_same_side(const mdr_chart_point *at, int points, double zone)
{
    const double side = at->z > 0.0 ? 1.0 : -1.0;
    int n = 0;
    for (int i = 0; i < points; i++) {
        n += side * at[-i].z > zone;
    }
    return side * at->z > zone ? n : 0;
}

static bool trend(const mdr_chart_point *at, int points)
{
    bool up = true, down = true;
    for (int i = 0; i < points - 1; i++) {
        up = up && at[-i].z > at[-i - 1].z;
        down = down && at[-i].z < at[-i - 1].z;
    }
    return up || down;
}

static bool zigzag(const mdr_chart_point *at, int points)
{
    for (int i = 0; i < points - 2; i++) {
        if (!((at[-i].z - at[-i - 1].z) * (at[-i - 1].z - at[-i - 2].z) < 0.0)) {
            return false;
        }
    }
    return true;
}

static bool all_within(const mdr_chart_point *at, int points, bool within)
{
    for (int i = 0; i < points; i++) {
        if ((fabs(at[-i].z) < MDR_CHART_ZONE_B) != within) {
            return false;
        }
    }
    return true;
}

/* `points`: as many as the rule looks at, or as there are. */
static bool completes(mdr_chart_rule rule, const mdr_chart_point *at, int points)
{
    switch (rule) {
    case MDR_CHART_BEYOND:
        return fabs(at->z) > MDR_CHART_LIMIT;
    case MDR_CHART_TWO_OF_THREE:
        return beyond_same_side(at, points, MDR_CHART_ZONE_A) >= 2;
    case MDR_CHART_FOUR_OF_FIVE:
        return beyond_same_side(at, points, MDR_CHART_ZONE_B) >= 4;
    case MDR_CHART_EIGHT_ONE_SIDE:
    case MDR_CHART_NINE_ONE_SIDE:
        return beyond_same_side(at, points, 0.0) == points;
    case MDR_CHART_SIX_TREND:
        return trend(at, points);
    case MDR_CHART_FOURTEEN_ZIGZAG:
        return zigzag(at, points);
    case MDR_CHART_FIFTEEN_CLOSE:
        return all_within(at, points, true);
    case MDR_CHART_EIGHT_APART:
        return all_within(at, points, false);
    case MDR_CHART_RULE_COUNT:
        break;
    }
    MDR_UNREACHABLE();
}

/* Two of three and four of five need no third or fifth point: two points at the very start can
 * complete the pattern. */
static int points_needed(mdr_chart_rule rule)
{
    return rule == MDR_CHART_TWO_OF_THREE   ? 2
           : rule == MDR_CHART_FOUR_OF_FIVE ? 4
                                            : RULES[rule].points;
}

void mdr_chart_apply_rules(mdr_chart *c)
{
    int run = 0; /* points in a row that rules may look at, up to this one */
    c->n_out = 0;
    for (int i = 0; i < c->n; i++) {
        mdr_chart_point *at = &c->points[i];
        run = at->has_value && !at->left_out ? run + 1 : 0;
        at->rules = 0;
        for (int r = 0; r < MDR_CHART_RULE_COUNT; r++) {
            const mdr_chart_rule rule = (mdr_chart_rule)r;
            if ((c->rules & MDR_CHART_BIT(r)) != 0 && run >= points_needed(rule) &&
                completes(rule, at, run < RULES[r].points ? run : RULES[r].points)) {
                at->rules |= MDR_CHART_BIT(r);
            }
        }
        c->n_out += at->rules != 0;
    }
}
