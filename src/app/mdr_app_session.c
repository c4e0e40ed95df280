/* Who it is; signing in and out, locking. */
#include <string.h>

#include "app/mdr_app_people_in.h"
#include "wire/mdr_people_ask.h"

enum {
    NOTED_MS = 60 * 1000,
    TRIES_KEPT_MS = 24 * 3600 * 1000,
    DEVICE_MOST = 120,
    ADDRESS_MOST = 63
};
static const char DEMO_USER[] = "demo user";

mdr_code mdr_app_has_people(mdr_app *app, bool *out, mdr_err *err)
{
    return mdr_mill_people_any(app->mill, out, err);
}

static mdr_who nobody(void)
{
    return (mdr_who){.person_id = "", .name = ""};
}

static mdr_who demo_user(void)
{
    return (mdr_who){.person_id = "demo",
                     .name = DEMO_USER,
                     .roles = MDR_ROLES_ALL,
                     .signed_in = true,
                     .demo = true};
}

/* 64 hexadecimal digits and nothing else: what is not is not looked up. */
static bool is_token(const char *token)
{
    return token != NULL && strlen(token) == MDR_TOKEN_TEXT - 1 &&
           strspn(token, "0123456789abcdef") == MDR_TOKEN_TEXT - 1;
}

static int64_t least(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

/* What the person may in such a session. */
uint32_t mdr_roles_in(const mdr_person *person, bool by_pin)
{
    return by_pin ? person->roles & mdr_roles_of_pin() : person->roles;
}

static void fill_who(const mdr_person *person, const mdr_session *s, mdr_who *out)
{
    *out = (mdr_who){.person_id = person->person_id,
                     .name = person->name,
                     .roles = mdr_roles_in(person, s->by_pin),
                     .signed_in = true,
                     .by_pin = s->by_pin,
                     .locked = s->locked};
    memcpy(out->session, s->token_sha256, MDR_SHA256_TEXT);
    out->ends_utc_ms =
        least(s->expires_utc_ms, s->last_seen_utc_ms + mdr_roles_times(out->roles).idle_ms);
}

/* The session has come as far as this request: is it still one, and locked? */
static mdr_code go_on(mdr_app *app, const mdr_from *from, mdr_session *s, const mdr_person *person,
                      mdr_who *out, mdr_err *err)
{
    const mdr_session_times times = mdr_roles_times(mdr_roles_in(person, s->by_pin));
    const int64_t now = from->now_utc_ms;
    const int64_t idle = now - s->last_seen_utc_ms;
    if (!person->active || mdr_roles_in(person, s->by_pin) == 0 || now >= s->expires_utc_ms ||
        idle >= times.idle_ms) {
        *out = nobody();
        return mdr_mill_session_end(app->mill, s->token_sha256, err);
    }
    const bool locks = !s->locked && times.lock_ms > 0 && idle >= times.lock_ms;
    const bool noted = idle >= NOTED_MS && !s->locked; /* a locked one is not used */
    s->locked = s->locked || locks;
    if (locks || noted) {
        s->last_seen_utc_ms = now;
        MDR_TRY(mdr_mill_session_touch(app->mill, s, err));
    }
    fill_who(person, s, out);
    return MDR_OK;
}

/* Cut where a character begins. */
static const char *cut(const char *text, size_t most, mdr_arena *arena)
{
    size_t n = strlen(text);
    if (n > most) {
        n = most;
        while (n > 0 && ((unsigned char)text[n] & 0xC0) == 0x80) {
            n--;
        }
    }
    return mdr_arena_text_n(arena, text, n);
}

/* A session that was begun with a device's key goes on with it only. Links to documents carry none: they
 * must come from where the session was begun, from the same browser. */
static bool same_device(const mdr_session *s, const mdr_from *from, mdr_arena *arena)
{
    char digest[MDR_SHA256_TEXT];
    if (s->device_sha256[0] == '\0') {
        return true;
    }
    if (is_token(from->device_key)) {
        mdr_sha256_text(from->device_key, strlen(from->device_key), digest);
        return mdr_same_bytes(digest, s->device_sha256, MDR_SHA256_TEXT - 1);
    }
    const char *device = cut(from->device, DEVICE_MOST, arena);
    return from->device_key == NULL && from->link && device != NULL &&
           strcmp(device, s->device) == 0 && strcmp(from->address, s->address) == 0;
}

mdr_code mdr_app_who(mdr_app *app, const mdr_from *from, mdr_arena *arena, mdr_who *out,
                     mdr_err *err)
{
    bool any = false;
    char digest[MDR_SHA256_TEXT];
    const mdr_session *session = NULL;
    const mdr_person *person = NULL;
    MDR_TRY(mdr_mill_people_any(app->mill, &any, err));
    if (!any) {
        *out = demo_user();
        return MDR_OK;
    }
    if (!is_token(from->token)) {
        *out = nobody();
        return MDR_OK;
    }
    mdr_sha256_text(from->token, strlen(from->token), digest);
    MDR_TRY(mdr_mill_session(app->mill, digest, arena, &session, err));
    if (session == NULL) {
        *out = nobody();
        return MDR_OK;
    }
    MDR_TRY(mdr_mill_person(app->mill, session->person_id, arena, &person, err));
    if (person == NULL) {
        *out = nobody();
        return MDR_OK;
    }
    if (!same_device(session, from, arena)) {
        *out = nobody();
        return MDR_OK;
    }
    mdr_session now = *session;
    return go_on(app, from, &now, person, out, err);
}

mdr_code mdr_app_may(const mdr_who *who, mdr_action action, mdr_err *err)
{
    if (action == MDR_ACT_OPEN) {
        return MDR_OK;
    }
    if (!who->signed_in) {
        (void)MDR_FAIL(err, MDR_E_SIGN_IN, "session", "nobody is signed in");
        mdr_err_remedy(err, "sign in, then ask again");
        return MDR_E_SIGN_IN;
    }
    if (action == MDR_ACT_SELF) {
        return MDR_OK;
    }
    if (who->locked) {
        (void)MDR_FAIL(err, MDR_E_SIGN_IN, "locked", "the screen is locked");
        mdr_err_remedy(err, "unlock it with the PIN or password, then ask again");
        return MDR_E_SIGN_IN;
    }
    if (!mdr_roles_may(who->roles, action)) {
        (void)MDR_FAIL(err, MDR_E_DENIED, mdr_action_id(action), "%s may not do this", who->name);
        mdr_err_value(err, "%s", mdr_action_id(action));
        mdr_err_remedy(err, "ask somebody who may: %s", mdr_action_words(action));
        return MDR_E_DENIED;
    }
    return MDR_OK;
}

/* -- signing in -- */

static mdr_code refuse_document(const char *msg, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_ARG, "sign_in", "%s", msg);
    mdr_err_allowed(err, "person_id and password, or badge and pin");
    mdr_err_remedy(err, "send these two and no other");
    return MDR_E_ARG;
}

static mdr_code check_post(const mdr_sign_in_post *p, mdr_err *err)
{
    const bool by_name = p->person_id != NULL && p->password != NULL;
    const bool by_badge = p->badge != NULL && p->pin != NULL;
    const bool half =
        (p->person_id != NULL) != (p->password != NULL) || (p->badge != NULL) != (p->pin != NULL);
    if (half || by_name == by_badge) {
        return refuse_document("who signs in, and by what, is not told", err);
    }
    const char *secret = by_name ? p->password : p->pin;
    const char *id = by_name ? p->person_id : p->badge;
    return strlen(secret) > MDR_PASSWORD_MOST || strlen(id) > MDR_PASSWORD_MOST
               ? refuse_document("this is too long to be a name or a password", err)
               : MDR_OK;
}

/* Screens with keys of their own like to begin with a capital. */
const char *mdr_name_folded(const char *name, mdr_arena *arena)
{
    char *copy = mdr_arena_text(arena, name);
    for (char *c = copy; c != NULL && *c != '\0'; c++) {
        if (*c >= 'A' && *c <= 'Z') {
            *c = (char)(unsigned char)(*c | 0x20); /* ASCII: a small letter is one bit away */
        }
    }
    return copy;
}

/* The person meant, or NULL; and the try that shows whether it is so. */
static mdr_code find_person(mdr_app *app, const mdr_sign_in_post *p, mdr_arena *arena,
                            const mdr_person **out, mdr_secret_try *t, mdr_err *err)
{
    char badge_hash[MDR_SHA256_TEXT];
    const bool by_pin = p->badge != NULL;
    if (by_pin) {
        mdr_account_of("badge", p->badge, badge_hash);
        MDR_TRY(mdr_mill_person_of_badge(app->mill, badge_hash, arena, out, err));
    } else {
        MDR_TRY(mdr_mill_person(app->mill, p->person_id, arena, out, err));
    }
    const mdr_person *person = *out;
    const bool lets_in = person != NULL && person->active && mdr_roles_in(person, by_pin) != 0;
    *t = (mdr_secret_try){.secret = by_pin ? p->pin : p->password, .pin = by_pin};
    t->hash = !lets_in ? NULL : by_pin ? person->pin_hash : person->password_hash;
    /* unknown names are counted under what was typed, or their wait would tell them apart */
    mdr_account_of("person",
                   person != NULL ? person->person_id
                   : by_pin       ? p->badge
                                  : p->person_id,
                   t->account);
    return MDR_OK;
}

/* A hash of older parameters is made anew while the secret is at hand. */
static mdr_code renew_hash(mdr_app *app, const mdr_from *from, const mdr_person *person,
                           const mdr_secret_try *t, mdr_err *err)
{
    char hash[MDR_SECRET_TEXT];
    if (!mdr_secret_is_old(t->hash)) {
        return MDR_OK;
    }
    mdr_person newer = *person;
    MDR_TRY(mdr_hashing_make(from->hashing, t->secret, hash, err));
    if (t->pin) {
        newer.pin_hash = hash;
    } else {
        newer.password_hash = hash;
    }
    return mdr_mill_person_put(app->mill, &newer, err);
}

static mdr_code open_session(mdr_app *app, const mdr_from *from, const mdr_person *person,
                             const mdr_session *wanted, char token[MDR_TOKEN_TEXT], mdr_who *out,
                             mdr_err *err)
{
    char digest[MDR_SHA256_TEXT], device_digest[MDR_SHA256_TEXT] = "";
    mdr_session s = *wanted;
    const mdr_session_times times = mdr_roles_times(mdr_roles_in(person, s.by_pin));
    mdr_token_new(token);
    mdr_sha256_text(token, strlen(token), digest);
    s.token_sha256 = digest;
    if (is_token(from->device_key)) {
        mdr_sha256_text(from->device_key, strlen(from->device_key), device_digest);
    }
    s.device_sha256 = device_digest;
    s.person_id = person->person_id;
    s.created_utc_ms = s.last_seen_utc_ms = from->now_utc_ms;
    s.expires_utc_ms = from->now_utc_ms + times.most_ms;
    MDR_TRY(mdr_mill_sessions_sweep(app->mill, from->now_utc_ms, from->now_utc_ms - TRIES_KEPT_MS,
                                    err));
    if (is_token(from->token)) { /* a token from before must not be one afterwards */
        char before[MDR_SHA256_TEXT];
        mdr_sha256_text(from->token, strlen(from->token), before);
        MDR_TRY(mdr_mill_session_end(app->mill, before, err));
    }
    MDR_TRY(mdr_mill_session_add(app->mill, &s, err));
    fill_who(person, &s, out);
    return MDR_OK;
}

static mdr_code nobody_signs_in(mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_CONFLICT, "person_id", "nobody signs in to this mill");
    mdr_err_remedy(err, "add the first person: madder people add NAME --name ... --roles manager");
    return MDR_E_CONFLICT;
}

static mdr_code read_post(mdr_app *app, const mdr_people_ask *ask, mdr_sign_in_post *post,
                          mdr_err *err)
{
    bool any = false;
    MDR_TRY(
        mdr_wire_sign_in_read(ask->body.bytes, ask->body.len, ask->arena, ask->found, post, err));
    MDR_TRY(check_post(post, err));
    MDR_TRY(mdr_mill_people_any(app->mill, &any, err));
    if (!any) {
        return nobody_signs_in(err);
    }
    post->person_id = mdr_name_folded(post->person_id != NULL ? post->person_id : "", ask->arena);
    post->device =
        cut(post->device != NULL ? post->device : ask->from->device, DEVICE_MOST, ask->arena);
    return post->person_id != NULL && post->device != NULL
               ? MDR_OK
               : MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to sign in");
}

mdr_code mdr_app_sign_in(mdr_app *app, const mdr_people_ask *ask, char token[MDR_TOKEN_TEXT],
                         mdr_who *out, mdr_err *err)
{
    mdr_sign_in_post post;
    mdr_secret_try t;
    const mdr_person *person = NULL;
    bool fits = false;
    MDR_TRY(read_post(app, ask, &post, err));
    MDR_TRY(find_person(app, &post, ask->arena, &person, &t, err));
    MDR_TRY(mdr_secret_tried(app, ask->from, &t, &fits, NULL, err));
    if (!fits) {
        return mdr_secret_refused("sign_in", err);
    }
    MDR_TRY(renew_hash(app, ask->from, person, &t, err));
    const char *address = cut(ask->from->address, ADDRESS_MOST, ask->arena);
    if (address == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to sign in");
    }
    const mdr_session wanted = {.device = post.device, .address = address, .by_pin = t.pin};
    return open_session(app, ask->from, person, &wanted, token, out, err);
}

mdr_code mdr_app_sign_out(mdr_app *app, const mdr_who *who, mdr_err *err)
{
    return who->session[0] != '\0' ? mdr_mill_session_end(app->mill, who->session, err) : MDR_OK;
}

static mdr_code set_lock(mdr_app *app, const mdr_from *from, mdr_who *who, bool locked,
                         mdr_err *err)
{
    if (who->demo || !who->signed_in) {
        return MDR_OK;
    }
    const mdr_session s = {
        .token_sha256 = who->session, .last_seen_utc_ms = from->now_utc_ms, .locked = locked};
    MDR_TRY(mdr_mill_session_touch(app->mill, &s, err));
    who->locked = locked;
    return MDR_OK;
}

mdr_code mdr_app_lock(mdr_app *app, const mdr_from *from, mdr_who *who, mdr_err *err)
{
    return set_lock(app, from, who, true, err);
}

static mdr_code read_unlock(const mdr_people_ask *ask, mdr_own_secret *out, mdr_err *err)
{
    mdr_unlock_post post;
    MDR_TRY(
        mdr_wire_unlock_read(ask->body.bytes, ask->body.len, ask->arena, ask->found, &post, err));
    *out = (mdr_own_secret){.secret = post.pin != NULL ? post.pin : post.password,
                            .pin = post.pin != NULL};
    if ((post.pin != NULL) == (post.password != NULL) || strlen(out->secret) > MDR_PASSWORD_MOST) {
        (void)MDR_FAIL(err, MDR_E_ARG, "unlock", "give the PIN or the password");
        mdr_err_allowed(err, "one of pin, password");
        return MDR_E_ARG;
    }
    return MDR_OK;
}

mdr_code mdr_app_unlock(mdr_app *app, const mdr_people_ask *ask, mdr_who *who, mdr_err *err)
{
    enum { TRIES = 5 };
    mdr_own_secret own;
    int failures = 0;
    MDR_TRY(read_unlock(ask, &own, err));
    if (who->demo || !who->locked) {
        return MDR_OK;
    }
    const mdr_code rc = mdr_own_secret_tried(app, ask->from, who, &own, ask->arena, &failures, err);
    if (rc == MDR_E_SIGN_IN && failures >= TRIES) {
        MDR_TRY(mdr_mill_session_end(app->mill, who->session, err));
    }
    return rc == MDR_OK ? set_lock(app, ask->from, who, false, err) : rc;
}
