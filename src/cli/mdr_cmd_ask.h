/*
 * mdr_cmd_ask.h - a command that asks a question which needs no mill, its options being the members
 * of the question (docs/api.md).
 * Layer: cli, private to it.
 */
#ifndef MDR_CMD_ASK_H
#define MDR_CMD_ASK_H

#include "app/mdr_answer.h"
#include "cli/mdr_cmd.h"

typedef struct mdr_ask_desk {
    const char *command;
    const char *const *places; /* the questions, as in the document; bits of mdr_own_opt.of */
    int n_places;
    const mdr_own_opt *options;
    mdr_code (*answer)(mdr_blob question, mdr_arena *arena, mdr_err_list *found,
                       const mdr_answer **out, mdr_err *err);
    mdr_code (*json)(mdr_blob question, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                     mdr_err *err);
} mdr_ask_desk;

/* The answer in words. */
void mdr_cmd_ask_put(mdr_cli *c, const mdr_answer *a);
/* Asks, prints the answer or the fault; returns the exit status. */
int mdr_cmd_ask(mdr_cli *c, const mdr_ask_desk *desk, int place);
/* The same, the first argument being the question. */
int mdr_cmd_ask_named(mdr_cli *c, const mdr_ask_desk *desk);

#endif
