/* Signatures under records. */
#include <assert.h>
#include <string.h>

#include "app/mdr_app_people_in.h"

static bool is_pin(const char *secret)
{
    const size_t n = strlen(secret);
    return n >= MDR_PIN_LEAST && n <= MDR_PIN_MOST && strspn(secret, "0123456789") == n;
}

static mdr_code pin_not_enough(mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_DENIED, "pin", "a PIN is not enough here");
    mdr_err_remedy(err, "give the password");
    return MDR_E_DENIED;
}

/* Who signs, and by what. */
typedef struct signer {
    const mdr_person *person; /* NULL: nobody of that name */
    mdr_secret_try t;
    bool own; /* whoever is signed in */
} signer;

static mdr_code find_person(mdr_app *app, const char *name, const char *badge, mdr_arena *arena,
                            const mdr_person **out, mdr_err *err)
{
    char hash[MDR_SHA256_TEXT];
    if (badge == NULL) {
        return mdr_mill_person(app->mill, name, arena, out, err);
    }
    mdr_account_of("badge", badge, hash);
    return mdr_mill_person_of_badge(app->mill, hash, arena, out, err);
}

static mdr_code find_signer(mdr_app *app, const mdr_who *who, const mdr_sign_ask *ask,
                            mdr_arena *arena, signer *s, mdr_err *err)
{
    const char *name =
        mdr_name_folded(ask->person_id != NULL ? ask->person_id : who->person_id, arena);
    if (name == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the signature");
    }
    s->own = ask->badge == NULL && strcmp(name, who->person_id) == 0;
    MDR_TRY(find_person(app, name, ask->badge, arena, &s->person, err));
    /* a password is never digits alone (mdr_password_check), so the two cannot be confused */
    s->t = (mdr_secret_try){.secret = ask->secret, .pin = is_pin(ask->secret)};
    const bool known = s->person != NULL && s->person->active;
    s->t.hash = !known ? NULL : s->t.pin ? s->person->pin_hash : s->person->password_hash;
    const char *typed = ask->badge != NULL ? ask->badge : name;
    mdr_account_of("person", s->person != NULL ? s->person->person_id : typed, s->t.account);
    return MDR_OK;
}

/* Before the secret is looked at: nothing here tells whether it is right. */
static mdr_code check_kind(const mdr_who *who, const mdr_sign_ask *ask, const signer *s,
                           mdr_err *err)
{
    if (s->t.pin && s->own && !mdr_pin_is_enough(who)) {
        return pin_not_enough(err);
    }
    if (s->t.pin && !s->own && ask->badge == NULL) {
        (void)MDR_FAIL(err, MDR_E_ARG, "badge", "a PIN without a badge signs nothing");
        mdr_err_remedy(err, "scan the badge, or give the password");
        return MDR_E_ARG;
    }
    return MDR_OK;
}

static mdr_code check_right(const signer *s, mdr_action action, mdr_err *err)
{
    const mdr_who as = {.person_id = s->person->person_id,
                        .name = s->person->name,
                        .roles = mdr_roles_in(s->person, s->t.pin),
                        .signed_in = true};
    if (s->t.pin && !mdr_roles_may(as.roles, action) && mdr_roles_may(s->person->roles, action)) {
        return pin_not_enough(err);
    }
    return mdr_app_may(&as, action, err);
}

static const char *roles_text(uint32_t roles, mdr_action action, mdr_arena *arena)
{
    const char *text = "";
    for (int i = 0; i < MDR_ROLE_COUNT && text != NULL; i++) {
        if ((roles & mdr_action_roles(action) & MDR_ROLE_BIT(i)) != 0) {
            text = mdr_arena_printf(arena, "%s%s%s", text, text[0] != '\0' ? ", " : "",
                                    mdr_role_id((mdr_role)i));
        }
    }
    return text;
}

static mdr_code check_ask(const mdr_sign_ask *ask, mdr_err *err)
{
    if (ask->meaning == NULL || ask->meaning[0] == '\0') {
        (void)MDR_FAIL(err, MDR_E_ARG, "meaning", "the meaning of the signature is missing");
        mdr_err_remedy(err, "say it: performed, checked, approved");
        return MDR_E_ARG;
    }
    const char *texts[] = {ask->secret, ask->person_id, ask->badge};
    for (int i = 0; i < 3; i++) {
        if (texts[i] != NULL && strlen(texts[i]) > MDR_PASSWORD_MOST) {
            return mdr_secret_refused("signature", err);
        }
    }
    return MDR_OK;
}

static mdr_code fill(const mdr_who *who, uint32_t roles, const mdr_sign_ask *ask,
                     int64_t now_utc_ms, mdr_arena *arena, mdr_signature *out, mdr_err *err)
{
    const mdr_signature s = {.person_id = mdr_arena_text(arena, who->person_id),
                             .name = mdr_arena_text(arena, who->name),
                             .roles = roles_text(roles, ask->action, arena),
                             .meaning = mdr_arena_text(arena, ask->meaning),
                             .utc_ms = now_utc_ms};
    if (s.person_id == NULL || s.name == NULL || s.roles == NULL || s.meaning == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the signature");
    }
    *out = s;
    return MDR_OK;
}

static mdr_code try_signer(mdr_app *app, const mdr_from *from, const mdr_who *who,
                           const mdr_sign_ask *ask, mdr_arena *arena, signer *s, mdr_err *err)
{
    bool fits = false;
    mdr_sign_ask given = *ask;
    given.secret = ask->secret != NULL ? ask->secret : "";
    MDR_TRY(find_signer(app, who, &given, arena, s, err));
    MDR_TRY(check_kind(who, &given, s, err));
    MDR_TRY(mdr_secret_tried(app, from, &s->t, &fits, NULL, err));
    return fits && s->person != NULL ? check_right(s, ask->action, err)
                                     : mdr_secret_refused("signature", err);
}

mdr_code mdr_app_sign(mdr_app *app, const mdr_from *from, const mdr_who *who,
                      const mdr_sign_ask *ask, mdr_arena *arena, mdr_signature *out, mdr_err *err)
{
    signer s = {0};
    MDR_TRY(mdr_app_may(who, MDR_ACT_RECORD, err));
    MDR_TRY(check_ask(ask, err));
    if (who->demo) {
        return fill(who, who->roles, ask, from->now_utc_ms, arena, out, err);
    }
    MDR_TRY(try_signer(app, from, who, ask, arena, &s, err));
    assert(s.person != NULL); /* else it was refused */
    const mdr_who as = {.person_id = s.person->person_id, .name = s.person->name};
    return fill(&as, mdr_roles_in(s.person, s.t.pin), ask, from->now_utc_ms, arena, out, err);
}

mdr_code mdr_app_second_person(const char *first_person_id, const char *second_person_id,
                               mdr_err *err)
{
    if (strcmp(first_person_id, second_person_id) != 0) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_CONFLICT, "person_id", "the second person must not be the first");
    mdr_err_value(err, "%s", second_person_id);
    mdr_err_remedy(err, "let somebody else sign in and sign");
    return MDR_E_CONFLICT;
}
