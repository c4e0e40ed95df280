/*
 * mdr_backup.h - a copy of the mill in one file, made while it is in use, and looked through before it
 * counts.
 *
 * Layer: mill. A copied file of a database in use can lack what was stored last and still look whole;
 * so the rows are copied out of the database itself, written beside, brought to the disk, opened, and
 * checked (pages, references, chain of events) before it gets its name.
 *
 * Whoever writes meanwhile does not wait for all of it: events, batches and moves of stock, which are
 * never changed, are copied in pieces; only what came meanwhile and all the other tables in one go.
 * A copy that nobody but its owner may read: it holds what passwords are checked by.
 */
#ifndef MDR_BACKUP_H
#define MDR_BACKUP_H

#include "mill/mdr_record.h"

typedef struct mdr_backup_report {
    int64_t bytes, events;
    char head[MDR_SHA256_TEXT]; /* hash of the newest event; zeros when there is none */
} mdr_backup_report;

/*
 * Copies the mill into a new file.
 *   errors  MDR_E_CONFLICT the file is there already; MDR_E_IO it cannot be written, or what was
 *           written is not whole (nothing is left behind); MDR_E_PARSE the mill itself is damaged
 */
mdr_code mdr_mill_backup(mdr_mill *mill, const char *path, mdr_backup_report *out,
                         mdr_err *err) MDR_MUST_CHECK;

/* Pages, references and chain of an open mill. errors: MDR_E_PARSE what is wrong first */
mdr_code mdr_mill_inspect(mdr_mill *mill, mdr_chain_report *out, mdr_err *err) MDR_MUST_CHECK;

#endif
