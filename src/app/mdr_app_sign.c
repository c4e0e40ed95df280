/* Signatures under records. */
#include <string.h>

#include "app/mdr_app_people_in.h"

static bool is_pin(const char *secret)
{
    const size_t n = strlen(secret);
    return n >= MDR_PIN_LEAST && n <= MDR_PIN_MOST && strspn(secret, "0123456789") == n;
}

mdr_code mdr_app_sign(mdr_app *app, const mdr_from *from, const mdr_who *who,
                      const mdr_sign_ask *ask, mdr_arena *arena, mdr_signature *out, mdr_err *err)
{
    MDR_TRY(mdr_app_may(who, ask->action, err));
    if (ask->meaning == NULL || ask->meaning[0] == '\0') {
        (void)MDR_FAIL(err, MDR_E_ARG, "meaning", "what is meant by the signature is missing");
        mdr_err_remedy(err, "say it: performed, checked, approved");
        return MDR_E_ARG;
    }
    if (!who->demo) {
        const char *secret = ask->secret != NULL ? ask->secret : "";
        if (strlen(secret) > MDR_PASSWORD_MOST) {
            return mdr_secret_refused("secret", err);
        }
        /* a password is never digits alone (mdr_password_check), so the two cannot be confused */
        const mdr_own_secret own = {.secret = secret, .pin = is_pin(secret)};
        MDR_TRY(mdr_own_secret_tried(app, from, who, &own, arena, NULL, err));
    }
    const mdr_signature s = {.person_id = mdr_arena_text(arena, who->person_id),
                             .name = mdr_arena_text(arena, who->name),
                             .meaning = mdr_arena_text(arena, ask->meaning),
                             .utc_ms = from->now_utc_ms};
    if (s.person_id == NULL || s.name == NULL || s.meaning == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the signature");
    }
    *out = s;
    return MDR_OK;
}

mdr_code mdr_app_second_person(const char *first_person_id, const char *second_person_id,
                               mdr_err *err)
{
    if (strcmp(first_person_id, second_person_id) != 0) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_CONFLICT, "person_id",
                   "the second person must be another than the first");
    mdr_err_value(err, "%s", second_person_id);
    mdr_err_remedy(err, "let somebody else sign in and sign");
    return MDR_E_CONFLICT;
}
