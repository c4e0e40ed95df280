/*
 * mdr_workers.h - a few threads for long calculations, and a short queue before them.
 *
 * Layer: http, inside only. One thread gives; what is given runs in the order it came. Nothing is
 * begun beyond what the machine can do: who cannot wait is told so at once.
 */
#ifndef MDR_WORKERS_H
#define MDR_WORKERS_H

#include <stdbool.h>

#include "base/mdr_err.h"

enum { MDR_WORKERS_MAX = 8, MDR_WORKERS_WAITING_MAX = 64 };

typedef struct mdr_workers mdr_workers;

/* `threads` 1 .. MDR_WORKERS_MAX, fewer where the system gives no more; `waiting` 0 ..
 * MDR_WORKERS_WAITING_MAX may stand in the queue.   errors  MDR_E_ARG, MDR_E_NOMEM; MDR_E_IO not one thread */
mdr_code mdr_workers_start(int threads, int waiting, mdr_workers **out,
                           mdr_err *err) MDR_MUST_CHECK;
/* Cores that are there, 1 .. MDR_WORKERS_MAX. */
int mdr_workers_usual(void);
/* Whether one more would be taken; stays true until it is given. */
bool mdr_workers_room(mdr_workers *w);
/* False: there is no room, and `run` is not called. */
bool mdr_workers_give(mdr_workers *w, void (*run)(void *about), void *about);
/* From here on nothing more is taken. What was given still runs: it may ask for this. */
void mdr_workers_close(mdr_workers *w);
bool mdr_workers_closed(mdr_workers *w);
/* Closes, and waits until everything given has run. Then it may still be asked, and says no. */
void mdr_workers_finish(mdr_workers *w);
/* Finishes and forgets. NULL is allowed. */
void mdr_workers_free(mdr_workers *w);

#endif
