/*
 * mdr_beside.h - one long calculation beside the thread that answers.
 *
 * Layer: http, inside only; nothing of the transport but the socket of who asked: when that is closed,
 * nobody wants the answer any more. A client that stops sending while it still reads counts as gone
 * (no browser does).
 */
#ifndef MDR_BESIDE_H
#define MDR_BESIDE_H

#include "app/mdr_app_work.h"
#include "http/mdr_workers.h"

/* Processor time; a search that takes more answers with what it has. Invented: more than ten times what one
 * takes. Who does not want to wait so long goes away. */
#define MDR_BESIDE_BUDGET_S 60.0

typedef struct mdr_beside {
    mdr_workers *workers;
    int client_fd; /* below 0: nobody to ask */
    mdr_app_work *work;
    double until_s; /* of the clock of the thread that runs it; set when it begins */
    mdr_blob out;
    mdr_code rc;
    mdr_err err;
    bool begun; /* false: closed or gone before its turn, rc and err say so */
    void (*done)(void *about);
    void *about;
} mdr_beside;

/* For mdr_workers_give: runs it, and calls `done` last. */
void mdr_beside_run(void *beside);

#endif
