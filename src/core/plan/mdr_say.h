/*
 * mdr_say.h - the sentence of a warning, and of a caution.
 * Layer: core/plan (pure; text from the language catalogue).
 */
#ifndef MDR_SAY_H
#define MDR_SAY_H

#include "core/plan/mdr_plan.h"

/* "The dose lasts 12 rope cycles; 15 or more are usual for dye, salt and alkali." Whole, in the arena;
 * NULL: no memory. */
const char *mdr_say_warn(const mdr_warn *warn, mdr_arena *arena);
/* "note", "warning", "stop" */
const char *mdr_severity_id(mdr_severity severity);
/* The caution's sentence. */
const char *mdr_say_caution(mdr_caution caution);

#endif
