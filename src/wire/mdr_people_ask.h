/*
 * mdr_people_ask.h - what pages send about people: signing in, locking, a person. docs/api.md.
 *
 * Layer: wire. Every wrong key and type is reported; what names, passwords and roles may be is the
 * business of app. A secret that stands where a text must is never put into a message.
 */
#ifndef MDR_PEOPLE_ASK_H
#define MDR_PEOPLE_ASK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"

/* NULL: not given. */
typedef struct mdr_sign_in_post {
    const char *person_id, *password; /* these two */
    const char *badge, *pin;          /* or these two */
    const char *device;
} mdr_sign_in_post;

typedef struct mdr_unlock_post {
    const char *password, *pin; /* one of them */
} mdr_unlock_post;

typedef struct mdr_password_put {
    const char *was, *password;
} mdr_password_put;

typedef struct mdr_person_put {
    const char *person_id, *name, *roles, *password, *badge, *pin;
    bool active, has_active;
} mdr_person_put;

/* Every fault goes to `found` (may be NULL), the first one to err.
 *   errors  MDR_E_PARSE (place: the member); MDR_E_NOMEM */
mdr_code mdr_wire_sign_in_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                               mdr_sign_in_post *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_wire_unlock_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                              mdr_unlock_post *out, mdr_err *err) MDR_MUST_CHECK;
mdr_code mdr_wire_password_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                                mdr_password_put *out, mdr_err *err) MDR_MUST_CHECK;
/* With `fresh` person_id, name and roles must be there; without it person_id may not. */
mdr_code mdr_wire_person_read(const char *text, size_t len, bool fresh, mdr_arena *arena,
                              mdr_err_list *found, mdr_person_put *out,
                              mdr_err *err) MDR_MUST_CHECK;

#endif
