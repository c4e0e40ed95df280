/*
 * mdr_hashing.h - passwords tried and kept beside the thread that answers, which others wait for.
 *
 * Layer: app. A use case that comes to a secret nobody has looked at yet notes it and ends with an error
 * (`wanted`); mdr_hashing_run then does the work in any thread, and the same use case is asked again:
 * it comes the same way to the same place, and finds the answer there. Without a mdr_hashing (NULL, the
 * command line) it is done on the spot.
 */
#ifndef MDR_HASHING_H
#define MDR_HASHING_H

#include <stdint.h>

#include "lock/mdr_secret.h"

enum { MDR_HASHES_MAX = 4 }; /* a password and a PIN tried and made anew */

typedef struct mdr_hash_job {
    char secret[MDR_PASSWORD_MOST + 1];
    char hash[MDR_SECRET_TEXT];             /* that it must fit, "" nobody's; or that was made */
    int64_t before_failures, before_utc_ms; /* of the address, kept for the one who asks */
    mdr_err err;
    mdr_code rc; /* of making */
    bool make, done, fits;
} mdr_hash_job;

/* Zeros at first. */
typedef struct mdr_hashing {
    mdr_hash_job jobs[MDR_HASHES_MAX];
    int n, at;   /* noted; the next that the use case comes to */
    bool wanted; /* the last one is still to be run */
} mdr_hashing;

/* Before each asking. */
void mdr_hashing_again(mdr_hashing *h);
/* Does what is wanted; touches nothing but *h. */
void mdr_hashing_run(mdr_hashing *h);
/* Nothing of a secret stays. */
void mdr_hashing_forget(mdr_hashing *h);

/* -- for use cases; h may be NULL -- */

/* The job that stands here from the asking before, or NULL: it is the first time. */
mdr_hash_job *mdr_hashing_here(mdr_hashing *h);
/* As mdr_secret_fits. errors: MDR_E_CONFLICT it is wanted; `note` gets the job then, may be NULL */
mdr_code mdr_hashing_fits(mdr_hashing *h, const char *hash, const char *secret, bool *fits,
                          mdr_hash_job **note, mdr_err *err) MDR_MUST_CHECK;
/* As mdr_secret_hash. */
mdr_code mdr_hashing_make(mdr_hashing *h, const char *secret, char out[MDR_SECRET_TEXT],
                          mdr_err *err) MDR_MUST_CHECK;

#endif
