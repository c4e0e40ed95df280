/*
 * mdr_run_heat.h - the steam of a batch as it was run: the plan's, changed by the temperatures that
 * were recorded.
 * Layer: core/run, inside only. Methods: docs/methods/record.md#actual-heat
 *
 * Sources (keys of docs/sources.md): [perry-heat] specific heats, [iapws-if97] heat of the steam
 * Symbols: C kJ/K of fabric, liquor and steel; T degC; r kJ/kg of the steam.
 */
#ifndef MDR_RUN_HEAT_H
#define MDR_RUN_HEAT_H

#include "core/run/mdr_run_report.h"

/* Fills in what the lines of steps, which have their temperatures, and the sums say of heat. Total. */
void mdr_run_report_heat(mdr_run_report *r);

#endif
