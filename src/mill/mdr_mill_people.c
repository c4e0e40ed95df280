#include <string.h>

#include "mill/mdr_mill_bound.h"
#include "mill/mdr_people.h"

/* -- roles -- */

static const char *const ROLE_IDS[] = {
#define X(member, id, words) id,
    MDR_ROLES(X)
#undef X
};
static const char *const ROLE_WORDS[] = {
#define X(member, id, words) words,
    MDR_ROLES(X)
#undef X
};

const char *mdr_role_id(mdr_role role)
{
    return (unsigned)role < MDR_ROLE_COUNT ? ROLE_IDS[role] : NULL;
}

const char *mdr_role_words(mdr_role role)
{
    return (unsigned)role < MDR_ROLE_COUNT ? ROLE_WORDS[role] : NULL;
}

static int role_of(const char *word, size_t n)
{
    for (int i = 0; i < MDR_ROLE_COUNT; i++) {
        if (strlen(ROLE_IDS[i]) == n && memcmp(ROLE_IDS[i], word, n) == 0) {
            return i;
        }
    }
    return -1;
}

mdr_code mdr_roles_read(const char *text, uint32_t *out, mdr_err *err)
{
    uint32_t roles = 0;
    const char *at = text;
    bool more = true;
    while (more) {
        const size_t n = strcspn(at, ",");
        const int role = role_of(at, n);
        if (role < 0 || (roles & MDR_ROLE_BIT(role)) != 0) {
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_RANGE, "roles",
                         role < 0 ? "there is no such role" : "a role is there twice");
            mdr_err_value(err, "%.*s", (int)n, at);
            mdr_err_allowed(err, "technologist, lab, weigh-room, operator, finisher, planner, "
                                 "quality, manager");
            mdr_err_remedy(err, "write the roles with commas between, without blanks: lab,quality");
            return rc;
        }
        roles |= MDR_ROLE_BIT(role);
        more = at[n] == ',';
        at += n + 1;
    }
    *out = roles;
    return MDR_OK;
}

/* -- reading -- */

mdr_code mdr_mill_people_any(mdr_mill *mill, bool *out, mdr_err *err)
{
    int64_t n = 0;
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT EXISTS (SELECT 1 FROM \"person\")", NULL, &n, err));
    *out = n != 0;
    return MDR_OK;
}

/* Roles as bits: one row a role, whose place is that of MDR_ROLES. */
#define PERSON_COLUMNS                                                                         \
    "SELECT \"person_id\", \"name\", \"active\", \"password_hash\", \"badge_hash\", "          \
    "\"pin_hash\", \"created_utc_ms\", (SELECT group_concat(\"role\") FROM \"person_role\" r " \
    "WHERE r.\"person_id\" = p.\"person_id\") FROM \"person\" p "

static mdr_code read_person(mdr_mill *mill, sqlite3_stmt *stmt, mdr_arena *arena, mdr_person *out,
                            mdr_err *err)
{
    enum { ID, NAME, ACTIVE, PASSWORD, BADGE, PIN, CREATED, ROLES };
    bool ok = true;
    *out = (mdr_person){.person_id = mdr_mill_column_text(stmt, ID, arena, &ok),
                        .name = mdr_mill_column_text(stmt, NAME, arena, &ok),
                        .active = sqlite3_column_int64(stmt, ACTIVE) != 0,
                        .password_hash = mdr_mill_column_text(stmt, PASSWORD, arena, &ok),
                        .badge_hash = mdr_mill_column_text(stmt, BADGE, arena, &ok),
                        .pin_hash = mdr_mill_column_text(stmt, PIN, arena, &ok),
                        .created_utc_ms = sqlite3_column_int64(stmt, CREATED)};
    const char *roles = mdr_mill_column_text(stmt, ROLES, arena, &ok);
    if (!ok) {
        return mdr_mill_no_memory(mill, err);
    }
    return roles != NULL ? mdr_roles_read(roles, &out->roles, err) : MDR_OK;
}

static mdr_code one_person(mdr_mill *mill, const mdr_mill_call *call, mdr_arena *arena,
                           const mdr_person **out, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    mdr_person *person = NULL;
    mdr_code rc = mdr_mill_call_open(mill, call, &stmt, err);
    rc = rc == MDR_OK ? mdr_mill_sql_step(mill, stmt, &row, err) : rc;
    if (rc == MDR_OK && row) {
        person = MDR_NEW(arena, mdr_person);
        rc = person != NULL ? read_person(mill, stmt, arena, person, err)
                            : mdr_mill_no_memory(mill, err);
    }
    (void)sqlite3_finalize(stmt);
    if (rc == MDR_OK) {
        *out = person;
    }
    return rc;
}

mdr_code mdr_mill_person(mdr_mill *mill, const char *person_id, mdr_arena *arena,
                         const mdr_person **out, mdr_err *err)
{
    const mdr_mill_call call = {
        PERSON_COLUMNS "WHERE \"person_id\" = ?1", {MDR_BOUND_TEXT(person_id)}, 1};
    return one_person(mill, &call, arena, out, err);
}

mdr_code mdr_mill_person_of_badge(mdr_mill *mill, const char *badge_hash, mdr_arena *arena,
                                  const mdr_person **out, mdr_err *err)
{
    const mdr_mill_call call = {
        PERSON_COLUMNS "WHERE \"badge_hash\" = ?1", {MDR_BOUND_TEXT(badge_hash)}, 1};
    return one_person(mill, &call, arena, out, err);
}

static mdr_code list_people(mdr_mill *mill, sqlite3_stmt *stmt, mdr_arena *arena, mdr_person *list,
                            int n, mdr_err *err)
{
    bool row = false;
    for (int i = 0; i < n; i++) {
        MDR_TRY(mdr_mill_sql_step(mill, stmt, &row, err));
        MDR_TRY(read_person(mill, stmt, arena, &list[i], err));
    }
    return MDR_OK;
}

static mdr_code people_seen(mdr_mill *mill, mdr_arena *arena, mdr_person **out, int *n_out,
                            mdr_err *err)
{
    int64_t n = 0;
    sqlite3_stmt *stmt = NULL;
    const mdr_mill_call call = {PERSON_COLUMNS "ORDER BY \"person_id\"", {{0}}, 0};
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT count(*) FROM \"person\"", NULL, &n, err));
    mdr_person *list = MDR_NEW_N(arena, mdr_person, (size_t)n + 1);
    if (list == NULL) {
        return mdr_mill_no_memory(mill, err);
    }
    mdr_code rc = mdr_mill_call_open(mill, &call, &stmt, err);
    rc = rc == MDR_OK ? list_people(mill, stmt, arena, list, (int)n, err) : rc;
    (void)sqlite3_finalize(stmt);
    if (rc == MDR_OK) {
        *out = list;
        *n_out = (int)n;
    }
    return rc;
}

mdr_code mdr_mill_people(mdr_mill *mill, mdr_arena *arena, mdr_person **out, int *n_out,
                         mdr_err *err)
{
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    const mdr_code rc = people_seen(mill, arena, out, n_out, err);
    mdr_mill_snapshot_end(mill);
    return rc;
}

/* -- writing -- */

static mdr_code write_roles(mdr_mill *mill, const mdr_person *p, mdr_err *err)
{
    MDR_TRY(
        mdr_mill_call_aside(mill,
                            &(mdr_mill_call){"DELETE FROM \"person_role\" WHERE \"person_id\" = ?1",
                                             {MDR_BOUND_TEXT(p->person_id)},
                                             1},
                            NULL, err));
    for (int i = 0; i < MDR_ROLE_COUNT; i++) {
        if ((p->roles & MDR_ROLE_BIT(i)) != 0) {
            MDR_TRY(mdr_mill_call_aside(
                mill,
                &(mdr_mill_call){
                    "INSERT INTO \"person_role\" (\"person_id\", \"role\") VALUES (?1, ?2)",
                    {MDR_BOUND_TEXT(p->person_id), MDR_BOUND_TEXT(ROLE_IDS[i])},
                    2},
                NULL, err));
        }
    }
    return MDR_OK;
}

static mdr_code taken(const char *place, const char *msg, const char *remedy, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, place, "%s", msg);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

static mdr_code badge_is_free(mdr_mill *mill, const mdr_person *p, mdr_err *err)
{
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    const mdr_mill_call call = {
        "SELECT 1 FROM \"person\" WHERE \"badge_hash\" = ?1 AND \"person_id\" <> ?2",
        {MDR_BOUND_TEXT(p->badge_hash), MDR_BOUND_TEXT(p->person_id)},
        2};
    mdr_code rc = mdr_mill_call_open(mill, &call, &stmt, err);
    rc = rc == MDR_OK ? mdr_mill_sql_step(mill, stmt, &row, err) : rc;
    (void)sqlite3_finalize(stmt);
    if (rc == MDR_OK && row) {
        rc = taken("badge", "this badge is another person's", "give another badge", err);
    }
    return rc;
}

static mdr_code add_within(mdr_mill *mill, const mdr_person *p, mdr_err *err)
{
    int64_t there = 0;
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT count(*) FROM \"person\" WHERE \"person_id\" = ?1",
                                p->person_id, &there, err));
    if (there > 0) {
        const mdr_code rc = taken("person_id", "there is a person of this name already",
                                  "choose another; a name is never given twice", err);
        mdr_err_value(err, "%s", p->person_id);
        return rc;
    }
    MDR_TRY(badge_is_free(mill, p, err));
    MDR_TRY(mdr_mill_call_aside(
        mill,
        &(mdr_mill_call){
            "INSERT INTO \"person\" (\"person_id\", \"name\", \"active\", \"password_hash\", "
            "\"badge_hash\", \"pin_hash\", \"created_utc_ms\") VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            {MDR_BOUND_TEXT(p->person_id), MDR_BOUND_TEXT(p->name),
             MDR_BOUND_NUMBER(p->active ? 1 : 0), MDR_BOUND_TEXT(p->password_hash),
             MDR_BOUND_TEXT(p->badge_hash), MDR_BOUND_TEXT(p->pin_hash),
             MDR_BOUND_NUMBER(p->created_utc_ms)},
            7},
        NULL, err));
    return write_roles(mill, p, err);
}

static mdr_code put_within(mdr_mill *mill, const mdr_person *p, mdr_err *err)
{
    int changed = 0;
    MDR_TRY(badge_is_free(mill, p, err));
    MDR_TRY(mdr_mill_call_aside(
        mill,
        &(mdr_mill_call){
            "UPDATE \"person\" SET \"name\" = ?2, \"active\" = ?3, \"password_hash\" = ?4, "
            "\"badge_hash\" = ?5, \"pin_hash\" = ?6 WHERE \"person_id\" = ?1",
            {MDR_BOUND_TEXT(p->person_id), MDR_BOUND_TEXT(p->name),
             MDR_BOUND_NUMBER(p->active ? 1 : 0), MDR_BOUND_TEXT(p->password_hash),
             MDR_BOUND_TEXT(p->badge_hash), MDR_BOUND_TEXT(p->pin_hash)},
            6},
        &changed, err));
    if (changed == 0) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_NOTFOUND, "person_id", "there is no person of this name");
        mdr_err_value(err, "%s", p->person_id);
        mdr_err_remedy(err, "madder people list shows them");
        return rc;
    }
    return write_roles(mill, p, err);
}

static mdr_code written(mdr_mill *mill, const mdr_person *p,
                        mdr_code (*within)(mdr_mill *, const mdr_person *, mdr_err *), mdr_err *err)
{
    MDR_TRY(mdr_mill_begin(mill, err));
    const mdr_code rc = within(mill, p, err);
    if (rc != MDR_OK) {
        mdr_mill_rollback(mill);
        return rc;
    }
    return mdr_mill_commit(mill, err);
}

mdr_code mdr_mill_person_add(mdr_mill *mill, const mdr_person *person, mdr_err *err)
{
    return written(mill, person, add_within, err);
}

mdr_code mdr_mill_person_put(mdr_mill *mill, const mdr_person *person, mdr_err *err)
{
    return written(mill, person, put_within, err);
}
