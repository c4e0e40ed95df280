/* Failed tries of secrets and the waits that follow. */
#include <string.h>

#include "app/mdr_app_people_in.h"

/* Seconds and counts: common practice. The first failures cost nothing, because people mistype. */
enum {
    FREE_PASSWORD = 4,
    FREE_PIN = 4, /* the fifth failure of a PIN waits long: a million PINs are soon tried */
    WAIT_PIN_S = 900,
    WAIT_MOST_S = 900,
    FREE_ADDRESS = 30,        /* of all accounts together: many names from one place */
    WAIT_ADDRESS_MOST_S = 30, /* short, for a whole mill may come from one address */
    FORGET_S = 24 * 3600,
    MS = 1000
};
static const char EVERYBODY[] = "";

void mdr_account_of(const char *kind, const char *id, char out[MDR_SHA256_TEXT])
{
    uint8_t digest[MDR_SHA256_BYTES];
    mdr_sha256_sum sum;
    mdr_sha256_begin(&sum);
    mdr_sha256_add(&sum, kind, strlen(kind) + 1);
    mdr_sha256_add(&sum, id, strlen(id));
    mdr_sha256_end(&sum, digest);
    mdr_hex(digest, sizeof digest, out);
}

/* 2, 4, 8 ... after the free ones, up to the most. */
static int64_t wait_s(int64_t failures, int64_t free, int64_t most_s)
{
    int64_t s = 1;
    for (int64_t i = free; i < failures && s < most_s; i++) {
        s *= 2;
    }
    return failures <= free ? 0 : s < most_s ? s : most_s;
}

static int64_t left_s(const mdr_try *t, int64_t wait, int64_t now_utc_ms)
{
    const int64_t since = now_utc_ms - t->last_utc_ms;
    /* a clock that was set back must not make the wait longer than it is */
    const int64_t gone = since < 0 ? 0 : since / MS;
    return wait > gone ? wait - gone : 0;
}

static mdr_code too_soon(int64_t seconds, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_WAIT, "sign_in", "too many tries failed; the next one must wait");
    mdr_err_value(err, "%lld", (long long)seconds);
    mdr_err_remedy(err, "try again in %lld s; nobody else has to wait", (long long)seconds);
    return MDR_E_WAIT;
}

static mdr_code read_try(mdr_app *app, mdr_try *t, int64_t now_utc_ms, mdr_err *err)
{
    MDR_TRY(mdr_mill_try_read(app->mill, t, err));
    if (now_utc_ms - t->last_utc_ms > (int64_t)FORGET_S * MS) {
        t->failures = 0;
    }
    return MDR_OK;
}

static void count_one(mdr_try *t, int64_t now_utc_ms)
{
    t->failures++;
    t->last_utc_ms = now_utc_ms;
}

/* Of the account from there, and of all accounts from there. */
typedef struct counts {
    mdr_try own, all;
} counts;

static mdr_code check_wait(mdr_app *app, counts *c, bool pin, int64_t now_utc_ms, mdr_err *err)
{
    MDR_TRY(read_try(app, &c->own, now_utc_ms, err));
    MDR_TRY(read_try(app, &c->all, now_utc_ms, err));
    const int64_t of_pin = c->own.failures > FREE_PIN ? WAIT_PIN_S : 0;
    const int64_t wait = pin ? of_pin : wait_s(c->own.failures, FREE_PASSWORD, WAIT_MOST_S);
    const int64_t own = left_s(&c->own, wait, now_utc_ms);
    const int64_t all =
        left_s(&c->all, wait_s(c->all.failures, FREE_ADDRESS, WAIT_ADDRESS_MOST_S), now_utc_ms);
    const int64_t left = own > all ? own : all;
    return left > 0 ? too_soon(left, err) : MDR_OK;
}

static mdr_code write_both(mdr_app *app, const counts *c, mdr_err *err)
{
    MDR_TRY(mdr_mill_try_write(app->mill, &c->own, err));
    return mdr_mill_try_write(app->mill, &c->all, err);
}

/* The failure is counted before the answer is known. `before`: what was counted of the address. */
static mdr_code count_try(mdr_app *app, const mdr_from *from, const mdr_secret_try *t, counts *c,
                          mdr_try *before, mdr_err *err)
{
    MDR_TRY(check_wait(app, c, t->pin, from->now_utc_ms, err));
    *before = c->all;
    count_one(&c->own, from->now_utc_ms);
    count_one(&c->all, from->now_utc_ms);
    return write_both(app, c, err);
}

/* It fits: the account begins anew, and the address is rid of this one; others may have failed from
 * there meanwhile. */
static mdr_code forgive(mdr_app *app, counts *c, const mdr_try *before, mdr_err *err)
{
    MDR_TRY(mdr_mill_try_read(app->mill, &c->all, err));
    if (c->all.failures <= before->failures + 1) {
        c->all = *before;
    } else {
        c->all.failures--;
    }
    c->own.failures = 0;
    return write_both(app, c, err);
}

/* Counts the try, once: when it was noted it was counted too. */
static mdr_code begin_try(mdr_app *app, const mdr_from *from, const mdr_secret_try *t, counts *c,
                          mdr_try *before, mdr_err *err)
{
    const mdr_hash_job *here = mdr_hashing_here(from->hashing);
    *c = (counts){.own = {.account = t->account, .address = from->address},
                  .all = {.account = EVERYBODY, .address = from->address}};
    *before = c->all;
    if (here == NULL) {
        return count_try(app, from, t, c, before, err);
    }
    before->failures = here->before_failures;
    before->last_utc_ms = here->before_utc_ms;
    return mdr_mill_try_read(app->mill, &c->own, err);
}

mdr_code mdr_secret_tried(mdr_app *app, const mdr_from *from, const mdr_secret_try *t, bool *fits,
                          int *failures, mdr_err *err)
{
    counts c;
    mdr_try before;
    mdr_hash_job *noted = NULL;
    bool same = false;
    MDR_TRY(begin_try(app, from, t, &c, &before, err));
    const mdr_code rc = mdr_hashing_fits(from->hashing, t->hash, t->secret, &same, &noted, err);
    if (noted != NULL) {
        noted->before_failures = before.failures;
        noted->before_utc_ms = before.last_utc_ms;
    }
    if (rc == MDR_OK && same) {
        MDR_TRY(forgive(app, &c, &before, err));
    }
    if (failures != NULL) {
        *failures = (int)c.own.failures;
    }
    *fits = same;
    return rc;
}

mdr_code mdr_secret_refused(const char *place, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_SIGN_IN, place, "this does not fit");
    mdr_err_remedy(err, "type it again; whoever forgot it asks a manager for a new one");
    return MDR_E_SIGN_IN;
}

mdr_code mdr_person_of(mdr_app *app, const char *person_id, mdr_arena *arena,
                       const mdr_person **out, mdr_err *err)
{
    return mdr_mill_person(app->mill, person_id, arena, out, err);
}

bool mdr_pin_is_enough(const mdr_who *who)
{
    return who->by_pin || (who->roles & ~mdr_roles_of_pin()) == 0;
}

mdr_code mdr_own_secret_tried(mdr_app *app, const mdr_from *from, const mdr_who *who,
                              const mdr_own_secret *own, mdr_arena *arena, int *failures,
                              mdr_err *err)
{
    const mdr_person *person = NULL;
    bool fits = false;
    if (own->pin && !mdr_pin_is_enough(who)) {
        (void)MDR_FAIL(err, MDR_E_DENIED, "pin", "a PIN is not enough here");
        mdr_err_remedy(err, "give the password");
        return MDR_E_DENIED;
    }
    MDR_TRY(mdr_person_of(app, who->person_id, arena, &person, err));
    const bool active = person != NULL && person->active;
    mdr_secret_try t = {.secret = own->secret, .pin = own->pin};
    t.hash = !active ? NULL : own->pin ? person->pin_hash : person->password_hash;
    mdr_account_of("person", who->person_id, t.account);
    MDR_TRY(mdr_secret_tried(app, from, &t, &fits, failures, err));
    return fits ? MDR_OK : mdr_secret_refused(own->pin ? "pin" : "password", err);
}
