/*
 * mdr_cmd_bath.h - options and answers that `madder bath` and `madder rinse` share.
 * Layer: cli, private to it.
 */
#ifndef MDR_CMD_BATH_H
#define MDR_CMD_BATH_H

#include "cli/mdr_cmd.h"

/* Places of the questions in the bits of mdr_own_opt.of. */
typedef enum mdr_bath_place {
    MDR_ASK_PH,
    MDR_ASK_DOSE,
    MDR_ASK_PROBE,
    MDR_ASK_SAME_PH,
    MDR_ASK_NEUTRALISE,
    MDR_ASK_TITRATE,
    MDR_ASK_HARDNESS,
    MDR_ASK_SALT,
    MDR_ASK_VAT,
    MDR_ASK_RINSE,
    MDR_ASK_COUNT
} mdr_bath_place;

#define MDR_BATH_ASK_RINSE (1u << MDR_ASK_RINSE)
#define MDR_BATH_ASK_ALL   ((1u << MDR_ASK_COUNT) - 1u)

extern const mdr_own_opt mdr_bath_options[];

extern const mdr_command_more mdr_bath_more;
#endif
