/*
 * mdr_lang_table.h - the compiled catalogue, sorted by key. Layer: base. Written by
 * tools/lang2c.c; read only by mdr_lang.c.
 */
#ifndef MDR_LANG_TABLE_H
#define MDR_LANG_TABLE_H

typedef struct mdr_lang_entry {
    const char *key, *text;
} mdr_lang_entry;

extern const mdr_lang_entry mdr_lang_entries[];
extern const int mdr_lang_count;

#endif
