/*
 * mdr_app_people_in.h - what the rooms of people share: tries that fail, and what follows.
 * Layer: app, inside only.
 */
#ifndef MDR_APP_PEOPLE_IN_H
#define MDR_APP_PEOPLE_IN_H

#include "app/mdr_app_in.h"
#include "app/mdr_app_people.h"

/* One try of a secret. */
typedef struct mdr_secret_try {
    char account[MDR_SHA256_TEXT]; /* never a typed name: people type passwords there */
    const char *hash;              /* that it must fit; NULL: nobody's */
    const char *secret;
    bool pin;
} mdr_secret_try;

/* Fills the account: of a person, or of a badge's hash. */
void mdr_account_of(const char *kind, const char *id, char out[MDR_SHA256_TEXT]);
/*
 * Does the secret fit? Waits are asked before, and the failure is counted before the answer is known:
 * many tries at once find the same wait. *failures (may be NULL): of this account from there.
 *   errors  MDR_E_WAIT; what the store gives
 */
mdr_code mdr_secret_tried(mdr_app *app, const mdr_from *from, const mdr_secret_try *t, bool *fits,
                          int *failures, mdr_err *err) MDR_MUST_CHECK;

/* A stored person; *out NULL when there is none. */
mdr_code mdr_person_of(mdr_app *app, const char *person_id, mdr_arena *arena,
                       const mdr_person **out, mdr_err *err) MDR_MUST_CHECK;
/* What the person may in a session, or under a signature, of this kind. */
uint32_t mdr_roles_in(const mdr_person *person, bool by_pin);
/* A name as it is kept, whatever a keyboard made of it; NULL: no memory. */
const char *mdr_name_folded(const char *name, mdr_arena *arena);
/* Is a PIN enough for this session? */
bool mdr_pin_is_enough(const mdr_who *who);
/* Tries the password or PIN of whoever is signed in; `place` of the refusal.
 * errors: MDR_E_SIGN_IN, MDR_E_WAIT, MDR_E_DENIED a PIN is not enough */
typedef struct mdr_own_secret {
    const char *secret;
    bool pin;
} mdr_own_secret;
mdr_code mdr_own_secret_tried(mdr_app *app, const mdr_from *from, const mdr_who *who,
                              const mdr_own_secret *own, mdr_arena *arena, int *failures,
                              mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_secret_refused(const char *place, mdr_err *err);

#endif
