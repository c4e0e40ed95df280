#include "app/mdr_hashing.h"

#include <string.h>

void mdr_hashing_again(mdr_hashing *h)
{
    h->at = 0;
    h->wanted = false;
}

void mdr_hashing_run(mdr_hashing *h)
{
    mdr_hash_job *job = &h->jobs[h->n - 1];
    if (job->make) {
        job->rc = mdr_secret_hash(job->secret, job->hash, &job->err);
    } else {
        job->fits = mdr_secret_fits(job->hash, job->secret);
    }
    job->done = true;
}

void mdr_hashing_forget(mdr_hashing *h)
{
    mdr_wipe(h, sizeof *h);
}

mdr_hash_job *mdr_hashing_here(mdr_hashing *h)
{
    return h != NULL && h->at < h->n ? &h->jobs[h->at] : NULL;
}

/* Notes a new one. */
static mdr_code want(mdr_hashing *h, const char *hash, const char *secret, mdr_hash_job **note,
                     mdr_err *err)
{
    if (h->n == MDR_HASHES_MAX || strlen(secret) > MDR_PASSWORD_MOST ||
        (hash != NULL && strlen(hash) >= MDR_SECRET_TEXT)) {
        return MDR_FAIL(err, MDR_E_ARG, "secret", "too many secrets, or too long ones");
    }
    mdr_hash_job *job = &h->jobs[h->n++];
    *job = (mdr_hash_job){.make = false};
    memcpy(job->secret, secret, strlen(secret) + 1);
    if (hash != NULL) {
        memcpy(job->hash, hash, strlen(hash) + 1);
    }
    h->wanted = true;
    if (note != NULL) {
        *note = job;
    }
    return MDR_FAIL(err, MDR_E_CONFLICT, "secret", "the password or PIN is still being checked");
}

/* What stands there must be of this secret: the store may have changed meanwhile. */
static bool is_same(const mdr_hash_job *job, const char *hash, const char *secret)
{
    return job->done && strcmp(job->secret, secret) == 0 &&
           (job->make || strcmp(job->hash, hash != NULL ? hash : "") == 0);
}

mdr_code mdr_hashing_fits(mdr_hashing *h, const char *hash, const char *secret, bool *fits,
                          mdr_hash_job **note, mdr_err *err)
{
    mdr_hash_job *job = mdr_hashing_here(h);
    if (h == NULL) {
        *fits = mdr_secret_fits(hash, secret);
        return MDR_OK;
    }
    if (job == NULL) {
        return want(h, hash, secret, note, err);
    }
    h->at++;
    *fits = !job->make && is_same(job, hash, secret) && job->fits;
    return MDR_OK;
}

mdr_code mdr_hashing_make(mdr_hashing *h, const char *secret, char out[MDR_SECRET_TEXT],
                          mdr_err *err)
{
    mdr_hash_job *job = mdr_hashing_here(h), *noted = NULL;
    if (h == NULL) {
        return mdr_secret_hash(secret, out, err);
    }
    if (job == NULL) {
        const mdr_code rc = want(h, NULL, secret, &noted, err);
        if (noted != NULL) {
            noted->make = true;
        }
        return rc;
    }
    h->at++;
    if (!job->make || !is_same(job, NULL, secret)) {
        return MDR_FAIL(err, MDR_E_CONFLICT, "secret", "the person was changed in the meantime");
    }
    if (job->rc != MDR_OK) {
        if (err != NULL) {
            *err = job->err;
        }
        return job->rc;
    }
    memcpy(out, job->hash, MDR_SECRET_TEXT);
    return MDR_OK;
}
