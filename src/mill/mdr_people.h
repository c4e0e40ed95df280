/*
 * mdr_people.h - people, their sessions and failed tries in the mill file.
 *
 * Layer: mill. Rows only: who may what, how long a session lasts and when the next try may come is
 * the business of app. Times are UTC ms. What is stored of sessions and tries does not count as a
 * change of the mill (mdr_mill_state): no figure rests on it.
 */
#ifndef MDR_PEOPLE_H
#define MDR_PEOPLE_H

#include "lock/mdr_digest.h"
#include "mill/mdr_mill.h"

/* X(enumerator, id in the file and in JSON, words) */
#define MDR_ROLES(X)                                                                  \
    X(MDR_ROLE_TECHNOLOGIST, "technologist", "plans lots, writes routes and recipes") \
    X(MDR_ROLE_LAB, "lab", "dyes and measures in the laboratory")                     \
    X(MDR_ROLE_WEIGH_ROOM, "weigh-room", "weighs dyes and chemicals")                 \
    X(MDR_ROLE_OPERATOR, "operator", "runs the dyeing machines")                      \
    X(MDR_ROLE_FINISHER, "finisher", "runs the finishing line")                       \
    X(MDR_ROLE_PLANNER, "planner", "plans orders, lots and machines")                 \
    X(MDR_ROLE_QUALITY, "quality", "releases lots, decides about shades")             \
    X(MDR_ROLE_MANAGER, "manager", "runs the mill: people, tables, backup")

typedef enum mdr_role {
#define X(member, id, words) member,
    MDR_ROLES(X)
#undef X
        MDR_ROLE_COUNT
} mdr_role;

#define MDR_ROLE_BIT(role) (1u << (unsigned)(role))
#define MDR_ROLES_ALL      ((1u << (unsigned)MDR_ROLE_COUNT) - 1u)

const char *mdr_role_id(mdr_role role);
const char *mdr_role_words(mdr_role role);
/* "lab,quality" as bits; each word once. errors: MDR_E_RANGE, place "roles" */
mdr_code mdr_roles_read(const char *text, uint32_t *out, mdr_err *err) MDR_MUST_CHECK;

/* Texts are NULL where there is none. */
typedef struct mdr_person {
    const char *person_id, *name;
    const char *password_hash, *badge_hash, *pin_hash;
    int64_t created_utc_ms;
    uint32_t roles; /* bits */
    bool active;
} mdr_person;

/* Is there anybody, active or not? */
mdr_code mdr_mill_people_any(mdr_mill *mill, bool *out, mdr_err *err) MDR_MUST_CHECK;
/* Sorted by id. */
mdr_code mdr_mill_people(mdr_mill *mill, mdr_arena *arena, mdr_person **out, int *n_out,
                         mdr_err *err) MDR_MUST_CHECK;
/* By id, or by the badge's hash: *out is NULL when there is none. */
mdr_code mdr_mill_person(mdr_mill *mill, const char *person_id, mdr_arena *arena,
                         const mdr_person **out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_mill_person_of_badge(mdr_mill *mill, const char *badge_hash, mdr_arena *arena,
                                  const mdr_person **out, mdr_err *err) MDR_MUST_CHECK;
/* A new person, or all fields of a known one (created_utc_ms stays as it was).
 *   errors  MDR_E_CONFLICT  the id is taken, the badge is another's; MDR_E_NOTFOUND */
mdr_code mdr_mill_person_add(mdr_mill *mill, const mdr_person *person, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_mill_person_put(mdr_mill *mill, const mdr_person *person, mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_session {
    const char *token_sha256; /* hexadecimal */
    const char *person_id, *device, *address;
    const char
        *device_sha256; /* of the key that the page holds at that device; "": bound to none */
    int64_t created_utc_ms, last_seen_utc_ms, expires_utc_ms;
    bool by_pin, locked;
} mdr_session;

/* *out NULL: there is none. */
mdr_code mdr_mill_session(mdr_mill *mill, const char *token_sha256, mdr_arena *arena,
                          const mdr_session **out, mdr_err *err) MDR_MUST_CHECK;
/* All, newest first. */
mdr_code mdr_mill_sessions(mdr_mill *mill, mdr_arena *arena, mdr_session **out, int *n_out,
                           mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_mill_session_add(mdr_mill *mill, const mdr_session *session,
                              mdr_err *err) MDR_MUST_CHECK;
/* Stores last_seen and locked. */
mdr_code mdr_mill_session_touch(mdr_mill *mill, const mdr_session *session,
                                mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_mill_session_end(mdr_mill *mill, const char *token_sha256,
                              mdr_err *err) MDR_MUST_CHECK;
/* All of a person but one ("" or NULL: all). */
mdr_code mdr_mill_sessions_end(mdr_mill *mill, const char *person_id, const char *but_token_sha256,
                               mdr_err *err) MDR_MUST_CHECK;
/* Forgets sessions that have run out, and tries older than `tries_before_utc_ms`. */
mdr_code mdr_mill_sessions_sweep(mdr_mill *mill, int64_t now_utc_ms, int64_t tries_before_utc_ms,
                                 mdr_err *err) MDR_MUST_CHECK;

typedef struct mdr_try {
    const char *account, *address;
    int64_t failures, last_utc_ms; /* 0, 0: none */
} mdr_try;
/* Fills failures and last_utc_ms. */
mdr_code mdr_mill_try_read(mdr_mill *mill, mdr_try *t, mdr_err *err) MDR_MUST_CHECK;
/* failures 0 forgets. */
mdr_code mdr_mill_try_write(mdr_mill *mill, const mdr_try *t, mdr_err *err) MDR_MUST_CHECK;

#endif
