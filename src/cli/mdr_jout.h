/*
 * mdr_jout.h - writes JSON to a stream: commas, quotes and escapes in one place.
 * Layer: cli. Lists and plans come as JSON from app; this is for the small answers of commands.
 */
#ifndef MDR_JOUT_H
#define MDR_JOUT_H

#include <stdbool.h>
#include <stdio.h>

typedef struct mdr_jout {
    FILE *to;
    bool comma; /* the next member needs one */
} mdr_jout;

/* `bracket` is '{' or '['; `key` NULL inside a list and at the top. */
void mdr_jout_begin(mdr_jout *j, const char *key, char bracket);
void mdr_jout_end(mdr_jout *j, char bracket);
void mdr_jout_text(mdr_jout *j, const char *key, const char *text);
/* Shortest of 15..17 digits that reads back the same. */
void mdr_jout_number(mdr_jout *j, const char *key, double number);
void mdr_jout_bool(mdr_jout *j, const char *key, bool value);

#endif
