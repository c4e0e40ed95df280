/*
 * mdr_cli.h - the command line. Layer: cli; calls app and http, nothing below them.
 */
#ifndef MDR_CLI_H
#define MDR_CLI_H

/* Runs the command that the arguments name and returns the exit status: 0 done, 1 the job found
 * something bad or failed, 2 wrong use. */
int mdr_cli_main(int argc, char **argv);

#endif
