/*
 * mdr_cmd_footprint.h - `madder footprint`: its options, and what it prints.
 * Layer: cli, private to it.
 */
#ifndef MDR_CMD_FOOTPRINT_H
#define MDR_CMD_FOOTPRINT_H

#include "cli/mdr_cmd.h"
#include "cli/mdr_term.h"

#define MDR_FOOTPRINT_ASK_ALL 1u

extern const mdr_own_opt mdr_footprint_options[];

/* What the bars can show: X(enumerator, word of --of, label) */
#define MDR_FOOT_BARS(X)                             \
    X(MDR_FOOT_WATER, "water", "Water")              \
    X(MDR_FOOT_STEAM, "steam", "Steam")              \
    X(MDR_FOOT_POWER, "power", "Power")              \
    X(MDR_FOOT_COD, "cod", "Oxygen demand (COD)")    \
    X(MDR_FOOT_SOLIDS, "solids", "Dissolved solids") \
    X(MDR_FOOT_CO2, "co2", "Carbon dioxide")         \
    X(MDR_FOOT_COST, "cost", "Cost")
typedef enum mdr_foot_bar { MDR_FOOT_BARS(MDR_ENUM_MEMBER) MDR_FOOT_BAR_COUNT } mdr_foot_bar;

int mdr_cmd_footprint(mdr_cli *c);

/* `other` may be NULL: the lot alone. */
void mdr_show_footprint(const mdr_plan *plan, const mdr_plan *other, mdr_foot_bar bar,
                        const mdr_term *t);

#endif
