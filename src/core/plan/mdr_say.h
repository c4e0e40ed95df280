/*
 * mdr_say.h - the sentence of a warning, and of a caution.
 * Layer: core/plan (pure; text from the language catalogue).
 */
#ifndef MDR_SAY_H
#define MDR_SAY_H

#include "core/plan/mdr_plan.h"

/* "Bath 4: the dose takes 12 tank loads and at least 58 min, but has 30 min." Returns length. */
int mdr_say_warn(const mdr_warn *warn, char *out, size_t out_size);
/* "note", "warning", "stop" */
const char *mdr_severity_id(mdr_severity severity);
/* The caution's sentence. */
const char *mdr_say_caution(mdr_caution caution);

#endif
