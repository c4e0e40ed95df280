/*
 * mdr_app_people.h - people of a mill: who they are, signing in and out, signatures.
 *
 * Layer: app. A mill without people is a demo for one: whoever reaches it may do everything, as the
 * "demo user". With the first person signing in begins, and never ends again.
 *
 * A token is 256 random bits; the mill holds its SHA-256 only. A failed try costs a wait that doubles
 * with each, per account and address, so that nobody is ever locked out of the shop by somebody else.
 * Unknown people, people who left and wrong secrets are answered alike, after the same time.
 * `now_utc_ms` is the caller's clock. Sources: [owasp-asvs], docs/people.md.
 */
#ifndef MDR_APP_PEOPLE_H
#define MDR_APP_PEOPLE_H

#include "app/mdr_app.h"
#include "app/mdr_hashing.h"
#include "app/mdr_rights.h"
#include "lock/mdr_secret.h"

/* Whose request it is. Texts are never NULL. */
typedef struct mdr_who {
    const char *person_id, *name;  /* "" when nobody is signed in */
    char session[MDR_SHA256_TEXT]; /* of the token, "" without one */
    int64_t ends_utc_ms;           /* when idle from now on; 0: never */
    uint32_t roles;                /* that count in this session */
    bool signed_in, demo, locked, by_pin;
} mdr_who;

/* Where a request comes from. */
typedef struct mdr_from {
    const char *token;      /* that it carries, or NULL */
    const char *address;    /* "192.168.1.20" */
    const char *device;     /* what the browser calls itself, or "" */
    const char *device_key; /* that the page holds at that device, or NULL */
    mdr_hashing *hashing;   /* secrets that are looked at beside; NULL: on the spot */
    int64_t now_utc_ms;
    bool link; /* a document asked for by following a link: no page can add its key */
} mdr_from;

/* A document that came with a request; faults of it go to `found` (may be NULL). */
typedef struct mdr_people_ask {
    const mdr_from *from;
    mdr_blob body;
    mdr_arena *arena;
    mdr_err_list *found;
} mdr_people_ask;

/* Who it is; notes that the session was used, locks or ends it when it was not for too long. A token
 * that is unknown, malformed or has run out is as none. */
mdr_code mdr_app_who(mdr_app *app, const mdr_from *from, mdr_arena *arena, mdr_who *out,
                     mdr_err *err) MDR_MUST_CHECK;
/* May it do that? errors: MDR_E_SIGN_IN nobody is signed in, or the screen is locked; MDR_E_DENIED */
mdr_code mdr_app_may(const mdr_who *who, mdr_action action, mdr_err *err) MDR_MUST_CHECK;

/*
 * Signs in by {"person_id", "password"} or {"badge", "pin"}; a session that the request carried ends.
 *   token    to be given to the browser, nowhere else
 *   errors   MDR_E_SIGN_IN  they do not fit; MDR_E_WAIT  too soon after a failure (value: seconds);
 *            MDR_E_CONFLICT  nobody signs in to this mill; MDR_E_PARSE, MDR_E_RANGE the document
 */
mdr_code mdr_app_sign_in(mdr_app *app, const mdr_people_ask *ask, char token[MDR_TOKEN_TEXT],
                         mdr_who *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_app_sign_out(mdr_app *app, const mdr_who *who, mdr_err *err) MDR_MUST_CHECK;
/* Locks the screen: the session stays, and nothing but unlocking and signing out is answered. */
mdr_code mdr_app_lock(mdr_app *app, const mdr_from *from, mdr_who *who,
                      mdr_err *err) MDR_MUST_CHECK;
/* {"password"} or {"pin"}; a PIN is enough where it was for signing in, or would be for all the
 * roles. The fifth failure ends the session. errors: MDR_E_SIGN_IN, MDR_E_WAIT, as above */
mdr_code mdr_app_unlock(mdr_app *app, const mdr_people_ask *ask, mdr_who *who,
                        mdr_err *err) MDR_MUST_CHECK;
/* {"was", "password"}: one's own; other sessions of the person end. */
mdr_code mdr_app_password_change(mdr_app *app, const mdr_people_ask *ask, const mdr_who *who,
                                 mdr_err *err) MDR_MUST_CHECK;

/* {"signed_in", "demo", "locked", "person_id", "name", "roles", "actions", ...}: docs/api.md */
mdr_code mdr_app_who_json(const mdr_who *who, mdr_arena *arena, mdr_blob *out,
                          mdr_err *err) MDR_MUST_CHECK;
/* Roles, actions and who may which. */
mdr_code mdr_app_rights_json(mdr_arena *arena, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* -- people -- */

mdr_code mdr_app_people(mdr_app *app, mdr_arena *arena, mdr_person **out, int *n_out,
                        mdr_err *err) MDR_MUST_CHECK;
/* With where they are signed in. */
mdr_code mdr_app_people_json(mdr_app *app, int64_t now_utc_ms, mdr_arena *arena, mdr_blob *out,
                             mdr_err *err) MDR_MUST_CHECK;
/* What is to be of a person; NULL: stays (nothing, for a new one). `badge` "" takes badge and PIN
 * away. */
typedef struct mdr_person_change {
    const char *person_id, *name, *roles, *password, *badge, *pin;
    bool active, has_active;
    mdr_hashing *hashing; /* as in mdr_from */
} mdr_person_change;
/* The first person of a mill must be a manager with a password, and the last active one of these
 * cannot cease to be: else nobody could let anybody in.
 *   errors  MDR_E_RANGE, MDR_E_CONFLICT with the member as place; MDR_E_NOTFOUND */
mdr_code mdr_app_person_add(mdr_app *app, const mdr_person_change *change, int64_t now_utc_ms,
                            mdr_arena *arena, mdr_err *err) MDR_MUST_CHECK;
/* Sessions of a person end when a secret or the roles change, or when the person becomes inactive;
 * `but_session` stays (NULL: none does). */
mdr_code mdr_app_person_change(mdr_app *app, const mdr_person_change *change,
                               const char *but_session, mdr_arena *arena,
                               mdr_err *err) MDR_MUST_CHECK;
/* The same from documents, answered by mdr_app_people_json. person_id "": a new one. */
mdr_code mdr_app_person_save(mdr_app *app, const mdr_people_ask *ask, const mdr_who *who,
                             const char *person_id, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* Ends all sessions of a person, also of one's own. errors: MDR_E_NOTFOUND */
mdr_code mdr_app_sessions_end(mdr_app *app, const char *person_id, mdr_arena *arena,
                              mdr_err *err) MDR_MUST_CHECK;
/* Is there anybody who signs in? */
mdr_code mdr_app_has_people(mdr_app *app, bool *out, mdr_err *err) MDR_MUST_CHECK;

/* -- signatures -- */

/* What stands under a record: who, by the name printed, when, and what is meant by it. */
typedef struct mdr_signature {
    const char *person_id, *name;
    const char *roles;   /* that hold the right, "quality, manager" */
    const char *meaning; /* "approved" */
    int64_t utc_ms;
} mdr_signature;

/*
 * Signs: whoever is signed in gives the password or PIN once more, or somebody else gives name or badge
 * with it; a failure counts as one at signing in. In a mill without people the demo user signs without.
 *   action   that the signature is for: asked of who signs, after the secret
 *   secret   password, or the PIN: one's own where that is enough (as in mdr_app_unlock), another's
 *            with the badge and for what badges are enough for
 *   errors   MDR_E_SIGN_IN, MDR_E_WAIT, MDR_E_DENIED; MDR_E_ARG no meaning, a PIN without a badge
 */
typedef struct mdr_sign_ask {
    mdr_action action;
    const char *secret, *meaning;
    const char *person_id, *badge; /* who signs; both NULL: whoever is signed in */
} mdr_sign_ask;
mdr_code mdr_app_sign(mdr_app *app, const mdr_from *from, const mdr_who *who,
                      const mdr_sign_ask *ask, mdr_arena *arena, mdr_signature *out,
                      mdr_err *err) MDR_MUST_CHECK;
/* The second of two people must be another than the first. errors: MDR_E_CONFLICT */
mdr_code mdr_app_second_person(const char *first_person_id, const char *second_person_id,
                               mdr_err *err) MDR_MUST_CHECK;

#endif
