/* People: adding and changing them. */
#include <string.h>

#include "app/mdr_app_people_in.h"
#include "wire/mdr_people_ask.h"

mdr_code mdr_app_people(mdr_app *app, mdr_arena *arena, mdr_person **out, int *n_out, mdr_err *err)
{
    return mdr_mill_people(app->mill, arena, out, n_out, err);
}

/* -- what may be -- */

static mdr_code check_id(const char *id, mdr_err *err)
{
    enum { LEAST = 2, MOST = 32 };
    const size_t n = strlen(id);
    const bool fits =
        n >= LEAST && n <= MOST && strspn(id, "abcdefghijklmnopqrstuvwxyz0123456789-_.") == n;
    if (!fits || strcmp(id, "demo") == 0) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "person_id", "nobody can sign in under this name");
        mdr_err_value(err, "%s", id);
        mdr_err_allowed(err, "2 to 32 of a-z, 0-9, - _ . (not \"demo\")");
        mdr_err_remedy(err, "take a short name in small letters: anna, j.smith");
        return rc;
    }
    return MDR_OK;
}

static mdr_code check_name(const char *name, mdr_err *err)
{
    enum { MOST = 80 };
    size_t n = 0;
    bool plain = true;
    for (const char *c = name; *c != '\0'; c++) {
        plain = plain && (unsigned char)*c >= 0x20 && *c != 0x7F;
        n += ((unsigned char)*c & 0xC0) != 0x80 ? 1 : 0;
    }
    if (n < 1 || n > MOST || !plain || name[0] == ' ') {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "name", "this name cannot be printed");
        mdr_err_value(err, "%s", name);
        mdr_err_allowed(err, "1 to 80 characters");
        mdr_err_remedy(err, "write it as it shall stand under a record");
        return rc;
    }
    return MDR_OK;
}

/* A place for the hashes of a change. */
typedef struct hashes {
    char password[MDR_SECRET_TEXT], pin[MDR_SECRET_TEXT], badge[MDR_SHA256_TEXT];
} hashes;

static mdr_code badge_and_pin(const char *place, const char *msg, const char *remedy, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "%s", msg);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

/* What is to become of badge and PIN, each by itself. */
static mdr_code take_badge(const mdr_person_change *c, mdr_person *p, hashes *h, mdr_err *err)
{
    if (c->badge != NULL && c->badge[0] == '\0') {
        p->badge_hash = p->pin_hash = NULL;
    } else if (c->badge != NULL) {
        MDR_TRY(mdr_badge_check(c->badge, err));
        mdr_account_of("badge", c->badge, h->badge);
        p->badge_hash = h->badge;
    }
    if (c->pin != NULL) {
        MDR_TRY(mdr_pin_check(c->pin, err));
        MDR_TRY(mdr_hashing_make(c->hashing, c->pin, h->pin, err));
        p->pin_hash = h->pin;
    }
    return MDR_OK;
}

/* And whether they go together. */
static mdr_code check_badge(const mdr_person_change *c, const mdr_person *p, mdr_err *err)
{
    if (p->badge_hash != NULL && p->pin_hash == NULL) {
        return badge_and_pin("pin", "a badge and a PIN go together", "give both", err);
    }
    if (p->badge_hash == NULL && p->pin_hash != NULL) {
        return badge_and_pin("badge", "a PIN without a badge opens nothing", "give both", err);
    }
    const bool given = c->pin != NULL || (c->badge != NULL && c->badge[0] != '\0');
    return given && (p->roles & mdr_roles_of_pin()) == 0
               ? badge_and_pin("badge", "a badge is not enough for what this person may do",
                               "badges are for the roles operator, weigh-room and lab", err)
               : MDR_OK;
}

static mdr_code take_password(const mdr_person_change *c, mdr_person *p, hashes *h, mdr_err *err)
{
    if (c->password != NULL) {
        MDR_TRY(mdr_password_check(c->password, p->person_id, p->name, err));
        MDR_TRY(mdr_hashing_make(c->hashing, c->password, h->password, err));
        p->password_hash = h->password;
    }
    return MDR_OK;
}

/* The person as it is to be; texts in *h and in the change. */
static mdr_code apply(const mdr_person_change *c, mdr_person *p, hashes *h, mdr_err *err)
{
    if (c->name != NULL) {
        MDR_TRY(check_name(c->name, err));
        p->name = c->name;
    }
    if (c->roles != NULL) {
        MDR_TRY(mdr_roles_read(c->roles, &p->roles, err));
    }
    p->active = c->has_active ? c->active : p->active;
    MDR_TRY(take_password(c, p, h, err));
    MDR_TRY(take_badge(c, p, h, err));
    return check_badge(c, p, err);
}

static bool lets_others_in(const mdr_person *p)
{
    return p->active && p->password_hash != NULL && mdr_roles_may(p->roles, MDR_ACT_PEOPLE_CHANGE);
}

/* With this person as it is to be: is there still one who can let others in? */
static mdr_code check_manager(mdr_app *app, const mdr_person *to_be, mdr_arena *arena, mdr_err *err)
{
    mdr_person *all = NULL;
    int n = 0;
    bool there = lets_others_in(to_be);
    MDR_TRY(mdr_mill_people(app->mill, arena, &all, &n, err));
    for (int i = 0; i < n; i++) {
        there =
            there || (strcmp(all[i].person_id, to_be->person_id) != 0 && lets_others_in(&all[i]));
    }
    if (!there) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "roles",
                                     "nobody would be left who can let others sign in");
        mdr_err_allowed(err, "one active manager with a password, or more");
        mdr_err_remedy(err, "the first person is a manager with a password; then add the others");
        return rc;
    }
    return MDR_OK;
}

/* -- adding and changing -- */

/* What a new person cannot be without. */
static mdr_code check_new(const mdr_person_change *c, mdr_err *err)
{
    uint32_t roles = 0;
    MDR_TRY(check_id(c->person_id != NULL ? c->person_id : "", err));
    MDR_TRY(check_name(c->name != NULL ? c->name : "", err));
    return mdr_roles_read(c->roles != NULL ? c->roles : "", &roles, err);
}

mdr_code mdr_app_person_add(mdr_app *app, const mdr_person_change *change, int64_t now_utc_ms,
                            mdr_arena *arena, mdr_err *err)
{
    hashes h;
    bool any = false;
    MDR_TRY(check_new(change, err));
    MDR_TRY(mdr_mill_people_any(app->mill, &any, err));
    mdr_person p = {.person_id = change->person_id,
                    .name = change->name,
                    .active = true,
                    .created_utc_ms = now_utc_ms};
    MDR_TRY(apply(change, &p, &h, err));
    if (!any) {
        MDR_TRY(check_manager(app, &p, arena, err));
    }
    const mdr_code rc = mdr_mill_person_add(app->mill, &p, err);
    mdr_wipe(&h, sizeof h);
    return rc;
}

static mdr_code no_person(const char *person_id, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_NOTFOUND, "person_id", "there is no person of this name");
    mdr_err_value(err, "%s", person_id);
    mdr_err_remedy(err, "see the list of people for the names there are");
    return rc;
}

static bool ends_sessions(const mdr_person *was, const mdr_person *is,
                          const mdr_person_change *change)
{
    return change->password != NULL || change->pin != NULL || change->badge != NULL ||
           was->roles != is->roles || was->active != is->active;
}

static mdr_code store_change(mdr_app *app, const mdr_person *p, bool ends, const char *but_session,
                             mdr_err *err)
{
    MDR_TRY(mdr_mill_begin(app->mill, err));
    mdr_code rc = mdr_mill_person_put(app->mill, p, err);
    if (rc == MDR_OK && ends) {
        rc = mdr_mill_sessions_end(app->mill, p->person_id, but_session, err);
    }
    if (rc != MDR_OK) {
        mdr_mill_rollback(app->mill);
        return rc;
    }
    return mdr_mill_commit(app->mill, err);
}

mdr_code mdr_app_person_change(mdr_app *app, const mdr_person_change *change,
                               const char *but_session, mdr_arena *arena, mdr_err *err)
{
    hashes h;
    const mdr_person *was = NULL;
    MDR_TRY(mdr_mill_person(app->mill, change->person_id, arena, &was, err));
    if (was == NULL) {
        return no_person(change->person_id, err);
    }
    mdr_person p = *was;
    MDR_TRY(apply(change, &p, &h, err));
    MDR_TRY(check_manager(app, &p, arena, err));
    const mdr_code rc = store_change(app, &p, ends_sessions(was, &p, change), but_session, err);
    mdr_wipe(&h, sizeof h);
    return rc;
}

mdr_code mdr_app_person_save(mdr_app *app, const mdr_people_ask *ask, const mdr_who *who,
                             const char *person_id, mdr_blob *out, mdr_err *err)
{
    mdr_person_put put;
    const bool fresh = person_id[0] == '\0';
    const int64_t now_utc_ms = ask->from->now_utc_ms;
    MDR_TRY(mdr_wire_person_read(ask->body.bytes, ask->body.len, fresh, ask->arena, ask->found,
                                 &put, err));
    const mdr_person_change change = {.person_id = fresh ? put.person_id : person_id,
                                      .name = put.name,
                                      .roles = put.roles,
                                      .password = put.password,
                                      .badge = put.badge,
                                      .pin = put.pin,
                                      .active = put.active,
                                      .has_active = put.has_active,
                                      .hashing = ask->from->hashing};
    MDR_TRY(fresh ? mdr_app_person_add(app, &change, now_utc_ms, ask->arena, err)
                  : mdr_app_person_change(app, &change, who->session, ask->arena, err));
    return mdr_app_people_json(app, now_utc_ms, ask->arena, out, err);
}

mdr_code mdr_app_sessions_end(mdr_app *app, const char *person_id, mdr_arena *arena, mdr_err *err)
{
    const mdr_person *person = NULL;
    MDR_TRY(mdr_mill_person(app->mill, person_id, arena, &person, err));
    return person == NULL ? no_person(person_id, err)
                          : mdr_mill_sessions_end(app->mill, person_id, NULL, err);
}

mdr_code mdr_app_password_change(mdr_app *app, const mdr_people_ask *ask, const mdr_who *who,
                                 mdr_err *err)
{
    mdr_password_put put;
    MDR_TRY(
        mdr_wire_password_read(ask->body.bytes, ask->body.len, ask->arena, ask->found, &put, err));
    if (who->demo || who->by_pin || strlen(put.was) > MDR_PASSWORD_MOST) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "was", "there is no password to change here");
        mdr_err_remedy(err, "sign in with a password first, or ask a manager");
        return rc;
    }
    const mdr_own_secret own = {.secret = put.was};
    MDR_TRY(mdr_own_secret_tried(app, ask->from, who, &own, ask->arena, NULL, err));
    const mdr_person_change change = {
        .person_id = who->person_id, .password = put.password, .hashing = ask->from->hashing};
    return mdr_app_person_change(app, &change, who->session, ask->arena, err);
}
