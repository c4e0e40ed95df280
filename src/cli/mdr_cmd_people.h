/*
 * mdr_cmd_people.h - the commands for people and for the server's certificate.
 * Layer: cli, private to it.
 */
#ifndef MDR_CMD_PEOPLE_H
#define MDR_CMD_PEOPLE_H

#include "cli/mdr_cmd.h"

/* Bits of mdr_own_opt.of, in the order of the works. */
enum {
    MDR_PEOPLE_LIST,
    MDR_PEOPLE_ADD,
    MDR_PEOPLE_ROLES,
    MDR_PEOPLE_PASSWORD,
    MDR_PEOPLE_BADGE,
    MDR_PEOPLE_REMOVE,
    MDR_PEOPLE_BACK,
    MDR_PEOPLE_END,
    MDR_PEOPLE_COUNT
};
#define MDR_PEOPLE_ALL ((1u << MDR_PEOPLE_COUNT) - 1u)

extern const mdr_own_opt mdr_people_options[], mdr_tls_options[], mdr_serve_options[];

/* In mdr_serve_options. */
enum { MDR_SERVE_TLS, MDR_SERVE_NAME, MDR_SERVE_PLAIN };

int mdr_cmd_people(mdr_cli *c);
extern const mdr_command_more mdr_people_more;
int mdr_cmd_tls(mdr_cli *c);

/* "a,b" into at most `most` texts in the arena; -1: too many, or an empty one. */
int mdr_cli_split(mdr_cli *c, const char *list, const char **out, int most);

#endif
