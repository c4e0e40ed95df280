/*
 * mdr_secret_read.h - secrets typed by people: from the terminal without echo, or from the standard
 * input when that is asked for. Never from the command line, where every process could read them.
 * Layer: cli.
 */
#ifndef MDR_SECRET_READ_H
#define MDR_SECRET_READ_H

#include "cli/mdr_cmd.h"

enum { MDR_SECRET_LINE = 512 };

/* The next line of the standard input, without its end. */
int mdr_secret_line(mdr_cli *c, char out[MDR_SECRET_LINE]);
/* Asks on the terminal; with `again` twice, and both must be the same. */
int mdr_secret_ask(mdr_cli *c, const char *prompt, bool again, char out[MDR_SECRET_LINE]);

#endif
