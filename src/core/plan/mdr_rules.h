/*
 * mdr_rules.h - the functions behind the rules of mdr_rules.def. Layer: core/plan.
 * Each takes the values of its input figures, in the order its words name them.
 */
#ifndef MDR_RULES_H
#define MDR_RULES_H

#define MDR_RULE(name, id, title, words, source, anchor, function) \
    double function(const double *in, int n);
#include "core/plan/mdr_rules.def"
#undef MDR_RULE

#endif
