/* People and rights as documents. */
#include <string.h>

#include "app/mdr_app_people_in.h"
#include "wire/mdr_json.h"

enum { SIZE_HINT = 4096 };

static mdr_code done(mdr_json *j, mdr_blob *out, mdr_err *err)
{
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

static void put_roles(mdr_json *j, const char *key, uint32_t roles)
{
    mdr_json_array(j, key);
    for (int i = 0; i < MDR_ROLE_COUNT; i++) {
        if ((roles & MDR_ROLE_BIT(i)) != 0) {
            mdr_json_text(j, NULL, mdr_role_id((mdr_role)i));
        }
    }
    mdr_json_end_array(j);
}

mdr_code mdr_app_who_json(const mdr_who *who, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_json_bool(&j, "signed_in", who->signed_in);
    mdr_json_bool(&j, "demo", who->demo);
    mdr_json_bool(&j, "locked", who->locked);
    mdr_json_text(&j, "person_id", who->person_id);
    mdr_json_text(&j, "name", who->name);
    mdr_json_bool(&j, "by_pin", who->by_pin);
    mdr_json_bool(&j, "pin_is_enough", who->signed_in && !who->demo && mdr_pin_is_enough(who));
    const mdr_session_times times = mdr_roles_times(who->roles);
    mdr_json_int(&j, "lock_after_ms", who->demo ? 0 : times.lock_ms);
    mdr_json_int(&j, "ends_utc_ms", who->ends_utc_ms);
    put_roles(&j, "roles", who->roles);
    mdr_json_array(&j, "actions");
    for (int i = MDR_ACT_FIRST; who->signed_in && !who->locked && i < MDR_ACT_END; i++) {
        if (mdr_roles_may(who->roles, (mdr_action)i)) {
            mdr_json_text(&j, NULL, mdr_action_id((mdr_action)i));
        }
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

mdr_code mdr_app_rights_json(mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "roles");
    for (int i = 0; i < MDR_ROLE_COUNT; i++) {
        mdr_json_object(&j, NULL);
        mdr_json_text(&j, "role", mdr_role_id((mdr_role)i));
        mdr_json_text(&j, "words", mdr_role_words((mdr_role)i));
        mdr_json_bool(&j, "badge", (MDR_ROLE_BIT(i) & mdr_roles_of_pin()) != 0);
        mdr_json_end_object(&j);
    }
    mdr_json_end_array(&j);
    mdr_json_array(&j, "actions");
    for (int i = MDR_ACT_FIRST; i < MDR_ACT_END; i++) {
        mdr_json_object(&j, NULL);
        mdr_json_text(&j, "action", mdr_action_id((mdr_action)i));
        mdr_json_text(&j, "words", mdr_action_words((mdr_action)i));
        put_roles(&j, "roles", mdr_action_roles((mdr_action)i));
        mdr_json_end_object(&j);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}

/* The digest of a token tells nothing that helps to make one, but is nobody's business either. */
static void put_sessions(mdr_json *j, const mdr_session *all, int n, const mdr_person *of,
                         int64_t now_utc_ms)
{
    mdr_json_array(j, "sessions");
    for (int i = 0; i < n; i++) {
        const mdr_session *s = &all[i];
        if (strcmp(s->person_id, of->person_id) != 0 || s->expires_utc_ms <= now_utc_ms) {
            continue;
        }
        mdr_json_object(j, NULL);
        mdr_json_text(j, "device", s->device);
        mdr_json_text(j, "address", s->address);
        mdr_json_int(j, "created_utc_ms", s->created_utc_ms);
        mdr_json_int(j, "last_seen_utc_ms", s->last_seen_utc_ms);
        mdr_json_bool(j, "by_pin", s->by_pin);
        mdr_json_bool(j, "locked", s->locked);
        mdr_json_end_object(j);
    }
    mdr_json_end_array(j);
}

mdr_code mdr_app_people_json(mdr_app *app, int64_t now_utc_ms, mdr_arena *arena, mdr_blob *out,
                             mdr_err *err)
{
    mdr_person *people = NULL;
    mdr_session *sessions = NULL;
    int n = 0, n_sessions = 0;
    MDR_TRY(mdr_mill_people(app->mill, arena, &people, &n, err));
    MDR_TRY(mdr_mill_sessions(app->mill, arena, &sessions, &n_sessions, err));
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_json_array(&j, "people");
    for (int i = 0; i < n; i++) {
        const mdr_person *p = &people[i];
        mdr_json_object(&j, NULL);
        mdr_json_text(&j, "person_id", p->person_id);
        mdr_json_text(&j, "name", p->name);
        mdr_json_bool(&j, "active", p->active);
        put_roles(&j, "roles", p->roles);
        mdr_json_bool(&j, "has_password", p->password_hash != NULL);
        mdr_json_bool(&j, "has_badge", p->badge_hash != NULL);
        mdr_json_int(&j, "created_utc_ms", p->created_utc_ms);
        put_sessions(&j, sessions, n_sessions, p, now_utc_ms);
        mdr_json_end_object(&j);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    return done(&j, out, err);
}
