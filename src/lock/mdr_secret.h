/*
 * mdr_secret.h - passwords and PINs as hashes, random tokens, comparisons that take one time.
 *
 * Layer: lock. The only folder that sees libsodium. May be called from several threads; a hash takes
 * 64 MiB and about 0.3 s, and at most two are made at once: a third caller waits.
 * Sources: [rfc-9106] (Argon2id), [owasp-asvs] (length, block list, no forced change).
 */
#ifndef MDR_SECRET_H
#define MDR_SECRET_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_err.h"

enum {
    MDR_PASSWORD_LEAST = 12, /* characters [owasp-asvs] */
    MDR_PASSWORD_MOST = 256, /* bytes; long enough for any sentence */
    MDR_PIN_LEAST = 6,       /* digits */
    MDR_PIN_MOST = 12,
    MDR_BADGE_LEAST = 8, /* characters of a badge's code */
    MDR_BADGE_MOST = 64,
    MDR_SECRET_TEXT = 128, /* of a hash, with the end */
    MDR_TOKEN_BYTES = 32,
    MDR_TOKEN_TEXT = 2 * MDR_TOKEN_BYTES + 1
};

/* Of the system's generator; cannot fail (it stops the program first). */
void mdr_random_bytes(void *out, size_t len);
/* 256 random bits as hexadecimal text. */
void mdr_token_new(char out[MDR_TOKEN_TEXT]);
/* Takes as long for a difference at the first byte as for one at the last. */
bool mdr_same_bytes(const void *a, const void *b, size_t len);
/* Zeros that the compiler does not leave out. */
void mdr_wipe(void *at, size_t len);

/* Argon2id, m = 64 MiB, t = 3, p = 1, with its own salt, in the usual text form
 * "$argon2id$v=19$m=65536,t=3,p=1$...". errors: MDR_E_NOMEM */
mdr_code mdr_secret_hash(const char *secret, char out[MDR_SECRET_TEXT],
                         mdr_err *err) MDR_MUST_CHECK;
/* NULL or "" for the hash: false, after as long as a true hash takes, so that time does not tell
 * who is known here. Also false when memory is short. */
bool mdr_secret_fits(const char *hash, const char *secret);
/* Made with other parameters than are used now: to be made anew when the secret is next seen. */
bool mdr_secret_is_old(const char *hash);

/*
 * What may be a password: 12 characters or more, valid UTF-8 without control characters, not one of
 * the usual ones (a committed list; also with digits and signs put behind), not the person's own
 * name, five different characters at least. Nothing else is asked for, and none ever runs out.
 *   person_id, name  of whom it is to be; "" when not known
 *   errors  MDR_E_RANGE, place "password"; the value is never in the record
 */
mdr_code mdr_password_check(const char *password, const char *person_id, const char *name,
                            mdr_err *err) MDR_MUST_CHECK;
/* 6 to 12 digits that neither run nor repeat. errors: MDR_E_RANGE, place "pin" */
mdr_code mdr_pin_check(const char *pin, mdr_err *err) MDR_MUST_CHECK;
/* 8 to 64 visible ASCII characters. errors: MDR_E_RANGE, place "badge" */
mdr_code mdr_badge_check(const char *badge, mdr_err *err) MDR_MUST_CHECK;

#endif
