/*
 * mdr_rules.h - the functions behind the rules of mdr_rules.def. Layer: core/plan.
 * Each takes the values of its input figures, in the order its words name them.
 */
#ifndef MDR_RULES_H
#define MDR_RULES_H

#include "base/mdr_err.h"

#define MDR_RULE(name, id, title, words, source, anchor, function) \
    double function(const double *in, int n);
#include "core/plan/mdr_rules.def"
#undef MDR_RULE

/* What the drying rules are computed with, for the planner to ask before it makes the figure: they
 * cannot be had for every air and moisture. Inputs as those of the rules. */
mdr_code mdr_rule_drying_speed_of(const double *in, double *m_per_min, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_rule_drying_heat_of(const double *in, double *mj, mdr_err *err) MDR_MUST_CHECK;

#endif
