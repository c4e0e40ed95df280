/*
 * mdr_group.h - entries that come together are brought to the disk together.
 *
 * Layer: http, inside only; nothing of the transport. To be sure of the disk takes some milliseconds,
 * for one entry as for twenty: whoever writes is set aside for a moment, and a thread of its own stores
 * all that wait in one transaction. When that fails each is tried by itself, so that every writer hears
 * what is wrong with his own. Nobody is answered, and nobody reads, before it is on the disk.
 */
#ifndef MDR_GROUP_H
#define MDR_GROUP_H

#include <pthread.h>

#include "http/mdr_http_in.h"

typedef struct mdr_group mdr_group;

/* One entry; belongs to the group from mdr_group_give until `done` is called. */
typedef struct mdr_group_member {
    const mdr_endpoint *endpoint;
    mdr_request *request;
    mdr_reply *reply;          /* filled when it is done */
    void (*done)(void *about); /* in the thread of the group */
    void *about;
    struct mdr_group_member *next;
} mdr_group_member;

/* Whether this one only appends to the record. */
bool mdr_group_is_for(const mdr_endpoint *endpoint);
/* `lock`: of the app; held by whoever uses it, and by the group while it stores.
 *   errors  MDR_E_NOMEM, MDR_E_IO no thread */
mdr_code mdr_group_start(mdr_app *app, pthread_mutex_t *lock, mdr_group **out,
                         mdr_err *err) MDR_MUST_CHECK;
/* False: it is closed, and nothing is done. */
bool mdr_group_give(mdr_group *group, mdr_group_member *member);
/* Takes nothing more, and waits until all that was given is stored. NULL is allowed. */
void mdr_group_finish(mdr_group *group);
/* Finishes and forgets. NULL is allowed. */
void mdr_group_free(mdr_group *group);

#endif
