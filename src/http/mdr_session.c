/* Signing in and out, the screen's lock, people. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "http/mdr_http_in.h"

/* -- the cookie -- */

/* Over TLS a name that a browser takes only from this very host, with Secure and for all paths. */
static const char *cookie_name(bool tls)
{
    return tls ? "__Host-madder" : "madder";
}

const char *mdr_cookie_token(const char *cookies, bool tls, mdr_arena *arena)
{
    const char *name = cookie_name(tls), *found = NULL;
    const size_t n = strlen(name);
    for (const char *at = cookies; at != NULL && *at != '\0';) {
        at += strspn(at, " ;");
        const size_t len = strcspn(at, ";");
        if (len > n && strncmp(at, name, n) == 0 && at[n] == '=') {
            if (found != NULL) {
                return NULL; /* a second one was put there by somebody else */
            }
            found = mdr_arena_text_n(arena, at + n + 1, len - n - 1);
        }
        at += len;
    }
    return found;
}

static const char *cookie(const mdr_request *q, const char *token)
{
    return mdr_arena_printf(q->arena, "%s=%s; Path=/; HttpOnly; SameSite=Strict%s%s",
                            cookie_name(q->tls), token, q->tls ? "; Secure" : "",
                            token[0] == '\0' ? "; Max-Age=0" : "");
}

/* -- the session -- */

static mdr_people_ask ask_of(mdr_request *q)
{
    return (mdr_people_ask){
        .from = &q->from, .body = q->body, .arena = q->arena, .found = &q->found};
}

mdr_code mdr_get_session(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return mdr_reply_json(reply, mdr_app_who_json(&q->who, q->arena, &reply->body, err));
}

mdr_code mdr_post_session(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    char token[MDR_TOKEN_TEXT];
    const mdr_people_ask ask = ask_of(q);
    MDR_TRY(mdr_app_sign_in(q->app, &ask, token, &q->who, err));
    reply->set_cookie = cookie(q, token);
    mdr_wipe(token, sizeof token);
    if (reply->set_cookie == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to sign in");
    }
    return mdr_get_session(q, reply, err);
}

mdr_code mdr_delete_session(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    MDR_TRY(mdr_app_sign_out(q->app, &q->who, err));
    reply->set_cookie = cookie(q, "");
    if (!q->who.demo) {
        q->who = (mdr_who){.person_id = "", .name = ""};
    }
    return mdr_get_session(q, reply, err);
}

mdr_code mdr_post_lock(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    MDR_TRY(mdr_app_lock(q->app, &q->from, &q->who, err));
    return mdr_get_session(q, reply, err);
}

mdr_code mdr_post_unlock(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    const mdr_people_ask ask = ask_of(q);
    MDR_TRY(mdr_app_unlock(q->app, &ask, &q->who, err));
    return mdr_get_session(q, reply, err);
}

mdr_code mdr_put_password(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    const mdr_people_ask ask = ask_of(q);
    MDR_TRY(mdr_app_password_change(q->app, &ask, &q->who, err));
    return mdr_get_session(q, reply, err);
}

/* -- people -- */

mdr_code mdr_get_people(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    return mdr_reply_json(
        reply, mdr_app_people_json(q->app, q->from.now_utc_ms, q->arena, &reply->body, err));
}

/* A new one, or the one that the address names. */
mdr_code mdr_save_person(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    const mdr_people_ask ask = ask_of(q);
    return mdr_reply_json(reply,
                          mdr_app_person_save(q->app, &ask, &q->who, q->id, &reply->body, err));
}

mdr_code mdr_delete_sessions(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    MDR_TRY(mdr_app_sessions_end(q->app, q->id, q->arena, err));
    return mdr_get_people(q, reply, err);
}

/* -- who may what -- */

/* {"rights": {...}, "endpoints": [...]}: both out of their tables. Patterns and ids are literals
 * without anything to escape. */
mdr_code mdr_get_rights(mdr_request *q, mdr_reply *reply, mdr_err *err)
{
    enum { ROW_MOST = 200 };
    mdr_blob rights = {0};
    MDR_TRY(mdr_app_rights_json(q->arena, &rights, err));
    const size_t room = rights.len + (size_t)(mdr_endpoints_count + 1) * ROW_MOST;
    char *text = MDR_NEW_N(q->arena, char, room);
    if (text == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the rights");
    }
    size_t n = (size_t)snprintf(text, room, "{\"rights\":%s,\"endpoints\":[", rights.bytes);
    for (int i = 0; i < mdr_endpoints_count; i++) {
        const mdr_endpoint *e = &mdr_endpoints[i];
        n += (size_t)snprintf(
            text + n, room - n, "%s{\"method\":\"%s\",\"pattern\":\"%s\",\"action\":\"%s\"}",
            i > 0 ? "," : "", mdr_method_name(e->method), e->pattern, mdr_action_id(e->action));
    }
    n += (size_t)snprintf(text + n, room - n, "]}");
    reply->body = (mdr_blob){.bytes = text, .len = n};
    return mdr_reply_json(reply, MDR_OK);
}
