/*
 * mdr_cmd_record.h - the commands about the record of batches.
 * Layer: cli, private to it.
 */
#ifndef MDR_CMD_RECORD_H
#define MDR_CMD_RECORD_H

#include "cli/mdr_cmd.h"

extern const mdr_own_opt mdr_record_options[];
enum { MDR_RECORD_CSV, MDR_RECORD_BATCH };

int mdr_cmd_batches(mdr_cli *c);
int mdr_cmd_report(mdr_cli *c);
int mdr_cmd_record(mdr_cli *c);
int mdr_cmd_verify(mdr_cli *c);
int mdr_cmd_backup(mdr_cli *c);

#endif
