/*
 * mdr_material_known.h - what the records know of a dye, as the search for its rates takes it.
 *
 * Layer: core/plan (pure, total). Methods: docs/methods/exhaust-rates.md#known-numbers
 *
 * The records keep no conditions beside the numbers: they are those of the standard dyeing of the
 * dye's group (core/exhaust/mdr_dye_standard.h).
 */
#ifndef MDR_MATERIAL_KNOWN_H
#define MDR_MATERIAL_KNOWN_H

#include "core/exhaust/mdr_dye_known.h"
#include "core/plan/mdr_records.h"

/* NONE counts as reactive: it is no dye's. */
mdr_dye_way mdr_class_way(int dye_class);

/* For a dye. The fixation of direct and vat dyes is what soaping leaves, which no rate tells: it is
 * not handed on. Text of the material is pointed to. */
mdr_dye_known mdr_material_known(const mdr_material *dye);

#endif
