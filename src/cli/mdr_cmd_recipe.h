/*
 * mdr_cmd_recipe.h - recipe: from measured samples to recipes. Layer: cli.
 */
#ifndef MDR_CMD_RECIPE_H
#define MDR_CMD_RECIPE_H

#include "cli/mdr_cmd.h"

enum {
    MDR_RECIPE_ASK_CALIBRATE,
    MDR_RECIPE_ASK_PREDICT,
    MDR_RECIPE_ASK_FIND,
    MDR_RECIPE_ASK_CORRECT,
    MDR_RECIPE_ASK_DISPENSE,
    MDR_RECIPE_ASK_COUNT
};
#define MDR_RECIPE_ASK_ALL ((1u << MDR_RECIPE_ASK_COUNT) - 1u)

extern const mdr_own_opt mdr_recipe_options[];

int mdr_cmd_recipe(mdr_cli *c);
extern const mdr_command_more mdr_recipe_more;

#endif
