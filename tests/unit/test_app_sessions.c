/* Sessions and waits. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "people_kit.h"

/* -- sessions -- */

static void in_and_out(void **state)
{
    (void)state;
    mill m = with_people();
    const in a = sign_in(&m, ANNA);
    assert_int_equal(a.rc, MDR_OK);
    assert_true(a.who.signed_in && !a.who.by_pin);
    mdr_who w = who(&m, a.token);
    assert_string_equal(w.person_id, "anna");
    assert_string_equal(w.name, "Anna Berg");
    assert_int_equal(w.roles, MDR_R_M);
    assert_int_equal(w.ends_utc_ms, BEGIN + 15 * MIN);
    /* the token itself is not in the file */
    assert_int_equal(kit_count(m.app->mill, "SELECT count(*) FROM session"), 1);
    char sql[200];
    (void)snprintf(sql, sizeof sql, "SELECT count(*) FROM session WHERE token_sha256 = '%s'",
                   a.token);
    assert_int_equal(kit_count(m.app->mill, sql), 0);
    /* neither is what is stored a token */
    assert_false(who(&m, w.session).signed_in);
    char near[MDR_TOKEN_TEXT];
    memcpy(near, a.token, sizeof near);
    near[63] = near[63] == '0' ? '1' : '0';
    assert_false(who(&m, near).signed_in);
    near[63] = '\0';
    assert_false(who(&m, near).signed_in);
    assert_false(who(&m, "").signed_in);
    assert_false(who(&m, "' OR 1=1 --").signed_in);
    KIT_OK(mdr_app_sign_out(m.app, &w, &m.err), &m.err);
    assert_false(who(&m, a.token).signed_in);
    /* a name may begin with a capital, an unknown one fails as a wrong password does */
    assert_int_equal(
        sign_in(&m, "{\"person_id\":\"Anna\",\"password\":\"four words for anna\"}").rc, MDR_OK);
    assert_int_equal(sign_in(&m, ANNA_WRONG).rc, MDR_E_SIGN_IN);
    const mdr_err wrong = m.err;
    assert_int_equal(
        sign_in(&m, "{\"person_id\":\"nina\",\"password\":\"four words for lena\"}").rc,
        MDR_E_SIGN_IN);
    assert_string_equal(m.err.msg, wrong.msg);
    assert_string_equal(m.err.place, wrong.place);
    assert_string_equal(m.err.value, wrong.value);
    assert_string_equal(m.err.remedy, wrong.remedy);
    close_mill(&m);
}

static void a_new_token_each_time(void **state)
{
    (void)state;
    mill m = with_people();
    const in first = sign_in(&m, ANNA);
    const mdr_from f = from(&m, first.token);
    const in second = sign_in_at(&m, &f, LENA);
    assert_int_equal(second.rc, MDR_OK);
    assert_string_not_equal(first.token, second.token);
    assert_false(who(&m, first.token).signed_in); /* it was on this browser */
    /* a token that somebody put there becomes none */
    static const char PUT[] = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef";
    const mdr_from fixed = from(&m, PUT);
    const in third = sign_in_at(&m, &fixed, ANNA);
    assert_string_not_equal(third.token, PUT);
    assert_false(who(&m, PUT).signed_in);
    close_mill(&m);
}

static void sessions_run_out(void **state)
{
    (void)state;
    mill m = with_people();
    const in a = sign_in(&m, ANNA);
    m.now_utc_ms += 15 * MIN - 1;
    assert_true(who(&m, a.token).signed_in); /* and counts as used */
    m.now_utc_ms += 15 * MIN - 1;
    assert_true(who(&m, a.token).signed_in);
    m.now_utc_ms += 15 * MIN;
    assert_false(who(&m, a.token).signed_in);
    m.now_utc_ms -= 15 * MIN; /* ended is ended, whatever the clock says later */
    assert_false(who(&m, a.token).signed_in);
    const in o = sign_in(&m, OMAR);
    for (int i = 0; i < 82; i++) { /* used all the time, 12 h are the most */
        const mdr_who w = who(&m, o.token);
        assert_int_equal(w.signed_in, i * 9 < 720);
        assert_false(w.locked);
        m.now_utc_ms += 9 * MIN;
    }
    assert_int_equal(kit_count(m.app->mill, "SELECT count(*) FROM session"), 0);
    close_mill(&m);
}

static mdr_code unlock(mill *m, const char *token, const char *body)
{
    mdr_who w = who(m, token);
    const mdr_from f = from(m, token);
    const mdr_people_ask ask = {&f, text_of(body), m->arena, NULL};
    return mdr_app_unlock(m->app, &ask, &w, &m->err);
}

static void screens_lock(void **state)
{
    (void)state;
    mill m = with_people();
    const in o = sign_in(&m, OMAR);
    m.now_utc_ms += 10 * MIN;
    mdr_who w = who(&m, o.token);
    assert_true(w.signed_in && w.locked);
    assert_int_equal(mdr_app_may(&w, MDR_ACT_READ, &m.err), MDR_E_SIGN_IN);
    assert_string_equal(m.err.place, "locked");
    assert_int_equal(mdr_app_may(&w, MDR_ACT_SELF, &m.err), MDR_OK);
    assert_int_equal(unlock(&m, o.token, "{\"pin\":\"739155\"}"), MDR_E_SIGN_IN);
    assert_true(who(&m, o.token).locked);
    assert_int_equal(unlock(&m, o.token, "{}"), MDR_E_ARG);
    assert_int_equal(unlock(&m, o.token, "{\"pin\":\"739154\",\"password\":\"x\"}"), MDR_E_ARG);
    KIT_OK(unlock(&m, o.token, "{\"pin\":\"739154\"}"), &m.err);
    assert_false(who(&m, o.token).locked);
    /* by hand, and a session by password of one who decides wants the password */
    const in l = sign_in(&m, LENA);
    w = who(&m, l.token);
    const mdr_from f = from(&m, l.token);
    KIT_OK(mdr_app_lock(m.app, &f, &w, &m.err), &m.err);
    assert_true(who(&m, l.token).locked);
    assert_int_equal(unlock(&m, l.token, "{\"pin\":\"482913\"}"), MDR_E_DENIED);
    KIT_OK(unlock(&m, l.token, "{\"password\":\"another four for lena\"}"), &m.err);
    /* the fifth failure ends it */
    KIT_OK(mdr_app_lock(m.app, &f, &w, &m.err), &m.err);
    for (int i = 0; i < 5; i++) {
        m.now_utc_ms += 20 * S;
        assert_true(who(&m, l.token).signed_in);
        assert_int_equal(unlock(&m, l.token, "{\"password\":\"x\"}"), MDR_E_SIGN_IN);
    }
    assert_false(who(&m, l.token).signed_in);
    close_mill(&m);
}

static void badges_open_little(void **state)
{
    (void)state;
    mill m = with_people();
    const in l = sign_in(&m, LENA_BADGE);
    assert_int_equal(l.rc, MDR_OK);
    assert_true(l.who.by_pin);
    assert_int_equal(l.who.roles, MDR_R_L); /* not quality */
    const mdr_who w = who(&m, l.token);
    assert_int_equal(mdr_app_may(&w, MDR_ACT_LAB_ENTER, &m.err), MDR_OK);
    assert_int_equal(mdr_app_may(&w, MDR_ACT_RELEASE, &m.err), MDR_E_DENIED);
    assert_string_equal(m.err.value, "release");
    /* a badge whose roles are taken away opens nothing any more */
    KIT_OK(change(&m, (mdr_person_change){.person_id = "lena", .roles = "quality"}), &m.err);
    assert_false(who(&m, l.token).signed_in);
    assert_int_equal(sign_in(&m, LENA_BADGE).rc, MDR_E_SIGN_IN);
    static const char *const BAD[] = {
        "{}", "{\"badge\":\"U-OMAR-01\"}", "{\"person_id\":\"omar\",\"pin\":\"739154\"}",
        "{\"person_id\":\"anna\",\"password\":\"x\",\"badge\":\"b\",\"pin\":\"p\"}"};
    for (size_t i = 0; i < N_OF(BAD); i++) {
        assert_int_equal(sign_in(&m, BAD[i]).rc, MDR_E_ARG);
    }
    assert_int_equal(sign_in(&m, "{\"person_id\":7,\"password\":\"x\"}").rc, MDR_E_PARSE);
    assert_int_equal(sign_in(&m, "{\"person_id\":\"anna\",\"password\":\"x\",\"as\":\"lena\"}").rc,
                     MDR_E_PARSE);
    close_mill(&m);
}

static void changes_end_sessions(void **state)
{
    (void)state;
    mill m = with_people();
    const mdr_person_change CHANGES[] = {
        {.person_id = "omar", .roles = "operator,lab"},
        {.person_id = "omar", .pin = "951736"},
        {.person_id = "omar", .password = "quite new words here"},
        {.person_id = "omar", .active = false, .has_active = true},
    };
    for (size_t i = 0; i < N_OF(CHANGES); i++) {
        const in o = sign_in(&m, i < 2 ? OMAR : "{\"badge\":\"U-OMAR-01\",\"pin\":\"951736\"}");
        assert_int_equal(o.rc, MDR_OK);
        KIT_OK(change(&m, (mdr_person_change){.person_id = "omar", .name = "Omar S."}), &m.err);
        assert_true(who(&m, o.token).signed_in); /* a name is no right */
        KIT_OK(change(&m, CHANGES[i]), &m.err);
        assert_false(who(&m, o.token).signed_in);
    }
    /* whoever became inactive by another way has no session either */
    KIT_OK(change(&m, (mdr_person_change){.person_id = "lena", .roles = "lab,quality"}), &m.err);
    const in l = sign_in(&m, LENA);
    assert_true(who(&m, l.token).signed_in);
    KIT_OK(mdr_mill_sql_exec(m.app->mill, "UPDATE person SET active = 0 WHERE person_id = 'lena'",
                             &m.err),
           &m.err);
    assert_false(who(&m, l.token).signed_in);
    /* one's own password: the session that changes it stays, others end */
    const in here = sign_in(&m, ANNA), there = sign_in(&m, ANNA);
    const mdr_who w = who(&m, here.token);
    const mdr_from f = from(&m, here.token);
    mdr_people_ask ask = {&f, text_of("{\"was\":\"wrong\",\"password\":\"some five new words\"}"),
                          m.arena, NULL};
    assert_int_equal(mdr_app_password_change(m.app, &ask, &w, &m.err), MDR_E_SIGN_IN);
    ask.body = text_of("{\"was\":\"four words for anna\",\"password\":\"some five new words\"}");
    KIT_OK(mdr_app_password_change(m.app, &ask, &w, &m.err), &m.err);
    assert_true(who(&m, here.token).signed_in);
    assert_false(who(&m, there.token).signed_in);
    assert_int_equal(sign_in(&m, ANNA).rc, MDR_E_SIGN_IN);
    KIT_OK(mdr_app_sessions_end(m.app, "anna", m.arena, &m.err), &m.err);
    assert_false(who(&m, here.token).signed_in);
    assert_int_equal(mdr_app_sessions_end(m.app, "nina", m.arena, &m.err), MDR_E_NOTFOUND);
    close_mill(&m);
}

/* -- waits -- */

/* D: of the rule: 4 free, then 2, 4, 8 s. */
static void failures_wait(void **state)
{
    (void)state;
    mill m = with_people();
    for (int i = 0; i < 5; i++) {
        assert_int_equal(sign_in(&m, ANNA_WRONG).rc, MDR_E_SIGN_IN);
    }
    static const int WAIT_S[] = {2, 4, 8};
    for (size_t i = 0; i < N_OF(WAIT_S); i++) {
        assert_int_equal(sign_in(&m, ANNA).rc, MDR_E_WAIT); /* the right one waits too */
        assert_int_equal(strtol(m.err.value, NULL, 10), WAIT_S[i]);
        m.now_utc_ms += WAIT_S[i] * S - 1;
        assert_int_equal(sign_in(&m, ANNA_WRONG).rc, MDR_E_WAIT);
        m.now_utc_ms += 1;
        assert_int_equal(sign_in(&m, ANNA_WRONG).rc, MDR_E_SIGN_IN);
    }
    /* elsewhere, and for others, nobody waits */
    mdr_from f = from(&m, NULL);
    f.address = "192.168.1.21";
    assert_int_equal(sign_in_at(&m, &f, ANNA).rc, MDR_OK);
    assert_int_equal(sign_in(&m, LENA).rc, MDR_OK);
    /* a clock set back must not make it longer */
    m.now_utc_ms -= 3600 * S;
    assert_int_equal(sign_in(&m, ANNA).rc, MDR_E_WAIT);
    assert_true(strtol(m.err.value, NULL, 10) <= 16);
    m.now_utc_ms += 3600 * S + 16 * S;
    assert_int_equal(sign_in(&m, ANNA).rc, MDR_OK);
    assert_int_equal(sign_in(&m, ANNA_WRONG).rc, MDR_E_SIGN_IN); /* and all is forgotten */
    assert_int_equal(sign_in(&m, ANNA).rc, MDR_OK);
    /* what was typed as a name is nowhere */
    assert_int_equal(sign_in(&m, "{\"person_id\":\"mysecretword\",\"password\":\"x\"}").rc,
                     MDR_E_SIGN_IN);
    assert_int_equal(
        kit_count(m.app->mill, "SELECT count(*) FROM sign_in_try WHERE account LIKE '%my%'"), 0);
    close_mill(&m);
}

static void pins_wait_long(void **state)
{
    (void)state;
    mill m = with_people();
    for (int i = 0; i < 5; i++) {
        assert_int_equal(sign_in(&m, OMAR_WRONG).rc, MDR_E_SIGN_IN);
    }
    assert_int_equal(sign_in(&m, OMAR).rc, MDR_E_WAIT);
    assert_int_equal(strtol(m.err.value, NULL, 10), 900);
    m.now_utc_ms += 900 * S - 1;
    assert_int_equal(sign_in(&m, OMAR).rc, MDR_E_WAIT);
    m.now_utc_ms += 1;
    assert_int_equal(sign_in(&m, OMAR).rc, MDR_OK);
    close_mill(&m);
}

/* Many names from one place; written into the file, for 30 hashes take long. */
static void an_address_waits(void **state)
{
    (void)state;
    mill m = with_people();
    const mdr_try many = {
        .account = "", .address = "192.168.1.20", .failures = 30, .last_utc_ms = m.now_utc_ms};
    KIT_OK(mdr_mill_try_write(m.app->mill, &many, &m.err), &m.err);
    assert_int_equal(sign_in(&m, "{\"person_id\":\"nina\",\"password\":\"x\"}").rc, MDR_E_SIGN_IN);
    assert_int_equal(sign_in(&m, "{\"person_id\":\"nora\",\"password\":\"x\"}").rc, MDR_E_WAIT);
    m.now_utc_ms += 2 * S;
    assert_int_equal(sign_in(&m, ANNA).rc, MDR_OK);
    m.now_utc_ms += 25 * 3600 * S; /* after a day nothing is left */
    assert_int_equal(sign_in(&m, ANNA).rc, MDR_OK);
    assert_int_equal(kit_count(m.app->mill, "SELECT count(*) FROM sign_in_try"), 0);
    close_mill(&m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(in_and_out),         cmocka_unit_test(a_new_token_each_time),
        cmocka_unit_test(sessions_run_out),   cmocka_unit_test(screens_lock),
        cmocka_unit_test(badges_open_little), cmocka_unit_test(changes_end_sessions),
        cmocka_unit_test(failures_wait),      cmocka_unit_test(pins_wait_long),
        cmocka_unit_test(an_address_waits),
    };
    return cmocka_run_group_tests(tests, make_people, drop_people);
}
