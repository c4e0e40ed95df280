/*
 * mdr_cmd_document.h - what several commands do alike: write the document that app is asked with, and
 * take their first argument for one of a few words.
 * Layer: cli, private to it.
 */
#ifndef MDR_CMD_DOCUMENT_H
#define MDR_CMD_DOCUMENT_H

#include "cli/mdr_cmd.h"
#include "cli/mdr_jout.h"

/* Writes the members of the document; false: what is wrong has been said. */
typedef bool mdr_put_members(mdr_cli *c, mdr_jout *j, const void *about);

/* The document in c->arena. Returns MDR_EXIT_DONE, or the status to leave with. */
int mdr_cli_document(mdr_cli *c, mdr_put_members *put, const void *about, mdr_blob *out);

/* Which of the words the first argument is; -1: none, and the nearest has been named. `what` it is, in
 * the singular: "question". */
int mdr_cli_word(mdr_cli *c, const char *const *words, int n, const char *what);

#endif
