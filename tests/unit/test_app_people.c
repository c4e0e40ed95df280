/* People, sessions, waits and signatures, by a clock of the test's own. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "app/mdr_app_in.h"
#include "app/mdr_app_people.h"
#include "mill_kit.h"

static const char MANAGER[] = "four words for anna", LAB[] = "another four for lena";
static const int64_t BEGIN = INT64_C(1790000000000), S = 1000, MIN = 60000;

typedef struct mill {
    kit_dir dir;
    mdr_app *app;
    mdr_arena *arena;
    int64_t now_utc_ms;
    mdr_err err;
} mill;

static mill open_mill(void)
{
    mill m = {.dir = kit_dir_make(), .now_utc_ms = BEGIN};
    KIT_OK(mdr_mill_create(m.dir.file, &m.err), &m.err);
    KIT_OK(mdr_app_open(m.dir.file, true, &m.app, &m.err), &m.err);
    m.arena = mdr_arena_new((size_t)8 << 20);
    return m;
}

static void close_mill(mill *m)
{
    mdr_arena_free(m->arena);
    mdr_app_close(m->app);
    kit_dir_remove(&m->dir);
}

static mdr_code add(mill *m, mdr_person_change c)
{
    return mdr_app_person_add(m->app, &c, m->now_utc_ms, m->arena, &m->err);
}

static char kept_folder[] = "/tmp/madder-people-XXXXXX";
static char kept[80]; /* a mill with people, made once: hashes take long */

static void copy_file(const char *from_path, const char *to_path)
{
    char bytes[4096];
    FILE *from_file = fopen(from_path, "rb"), *to_file = fopen(to_path, "wb");
    assert_true(from_file != NULL && to_file != NULL);
    for (size_t n = 1; n > 0;) {
        n = fread(bytes, 1, sizeof bytes, from_file);
        assert_int_equal(fwrite(bytes, 1, n, to_file), n);
    }
    (void)fclose(from_file);
    assert_int_equal(fclose(to_file), 0);
}

/* anna manages, lena is lab and quality with a badge, omar runs machines by badge only. */
static int make_people(void **state)
{
    (void)state;
    mill m = open_mill();
    const mdr_person_change PEOPLE[] = {
        {.person_id = "anna", .name = "Anna Berg", .roles = "manager", .password = MANAGER},
        {.person_id = "lena",
         .name = "Lena Ode",
         .roles = "lab,quality",
         .password = LAB,
         .badge = "U-LENA-01",
         .pin = "482913"},
        {.person_id = "omar",
         .name = "Omar Said",
         .roles = "operator",
         .badge = "U-OMAR-01",
         .pin = "739154"},
    };
    bool good = mkdtemp(kept_folder) != NULL;
    for (size_t i = 0; i < N_OF(PEOPLE) && good; i++) {
        good = add(&m, PEOPLE[i]) == MDR_OK;
    }
    (void)snprintf(kept, sizeof kept, "%s/people.mill", kept_folder);
    copy_file(m.dir.file, kept);
    close_mill(&m);
    return good ? 0 : -1;
}

static int drop_people(void **state)
{
    (void)state;
    return unlink(kept) + rmdir(kept_folder);
}

static mill with_people(void)
{
    mill m = {.dir = kit_dir_make(), .now_utc_ms = BEGIN};
    copy_file(kept, m.dir.file);
    KIT_OK(mdr_app_open(m.dir.file, true, &m.app, &m.err), &m.err);
    m.arena = mdr_arena_new((size_t)8 << 20);
    return m;
}

static mdr_from from(const mill *m, const char *token)
{
    return (mdr_from){.token = token,
                      .address = "192.168.1.20",
                      .device = "tablet 4",
                      .now_utc_ms = m->now_utc_ms};
}

static mdr_who who(mill *m, const char *token)
{
    mdr_who w;
    const mdr_from f = from(m, token);
    KIT_OK(mdr_app_who(m->app, &f, m->arena, &w, &m->err), &m->err);
    return w;
}

static mdr_blob text_of(const char *text)
{
    return (mdr_blob){text, strlen(text)};
}

typedef struct in {
    mdr_code rc;
    char token[MDR_TOKEN_TEXT];
    mdr_who who;
} in;

static in sign_in_at(mill *m, const mdr_from *f, const char *body)
{
    in i = {.rc = MDR_OK};
    const mdr_people_ask ask = {f, text_of(body), m->arena, NULL};
    i.rc = mdr_app_sign_in(m->app, &ask, i.token, &i.who, &m->err);
    return i;
}

static in sign_in(mill *m, const char *body)
{
    const mdr_from f = from(m, NULL);
    return sign_in_at(m, &f, body);
}

#define ANNA       "{\"person_id\":\"anna\",\"password\":\"four words for anna\"}"
#define ANNA_WRONG "{\"person_id\":\"anna\",\"password\":\"four words for lena\"}"
#define LENA       "{\"person_id\":\"lena\",\"password\":\"another four for lena\"}"
#define LENA_BADGE "{\"badge\":\"U-LENA-01\",\"pin\":\"482913\"}"
#define OMAR       "{\"badge\":\"U-OMAR-01\",\"pin\":\"739154\"}"
#define OMAR_WRONG "{\"badge\":\"U-OMAR-01\",\"pin\":\"739155\"}"

/* -- a demo for one, and its end -- */

static void without_people(void **state)
{
    (void)state;
    mill m = open_mill();
    const mdr_who w = who(&m, NULL);
    assert_true(w.signed_in && w.demo && !w.locked);
    assert_string_equal(w.name, "demo user");
    for (int a = MDR_ACT_FIRST; a < MDR_ACT_END; a++) {
        assert_int_equal(mdr_app_may(&w, (mdr_action)a, &m.err), MDR_OK);
    }
    assert_int_equal(mdr_app_may(&w, MDR_ACT_NONE, &m.err), MDR_E_DENIED);
    assert_int_equal(sign_in(&m, ANNA).rc, MDR_E_CONFLICT);
    /* the first must be one who can let others in */
    assert_int_equal(add(&m,
                         (mdr_person_change){
                             .person_id = "lena", .name = "Lena", .roles = "lab", .password = LAB}),
                     MDR_E_CONFLICT);
    assert_string_equal(m.err.place, "roles");
    assert_int_equal(
        add(&m, (mdr_person_change){.person_id = "anna", .name = "Anna", .roles = "manager"}),
        MDR_E_CONFLICT);
    assert_true(who(&m, NULL).demo);
    KIT_OK(add(&m,
               (mdr_person_change){
                   .person_id = "anna", .name = "Anna", .roles = "manager", .password = MANAGER}),
           &m.err);
    const mdr_who after = who(&m, NULL);
    assert_false(after.signed_in || after.demo);
    assert_int_equal(mdr_app_may(&after, MDR_ACT_READ, &m.err), MDR_E_SIGN_IN);
    assert_int_equal(mdr_app_may(&after, MDR_ACT_OPEN, &m.err), MDR_OK);
    close_mill(&m);
}

static void what_a_person_may_be(void **state)
{
    (void)state;
    mill m = with_people();
    const struct {
        mdr_person_change c;
        mdr_code rc;
        const char *place;
    } ROWS[] = {
        {{.person_id = "Anna2", .name = "x", .roles = "lab"}, MDR_E_RANGE, "person_id"},
        {{.person_id = "a", .name = "x", .roles = "lab"}, MDR_E_RANGE, "person_id"},
        {{.person_id = "demo", .name = "x", .roles = "lab"}, MDR_E_RANGE, "person_id"},
        {{.person_id = "a/b", .name = "x", .roles = "lab"}, MDR_E_RANGE, "person_id"},
        {{.name = "x", .roles = "lab"}, MDR_E_RANGE, "person_id"},
        {{.person_id = "bo", .name = "", .roles = "lab"}, MDR_E_RANGE, "name"},
        {{.person_id = "bo", .name = "a\nb", .roles = "lab"}, MDR_E_RANGE, "name"},
        {{.person_id = "bo", .roles = "lab"}, MDR_E_RANGE, "name"},
        {{.person_id = "bo", .name = "Bo", .roles = "boss"}, MDR_E_RANGE, "roles"},
        {{.person_id = "bo", .name = "Bo"}, MDR_E_RANGE, "roles"},
        {{.person_id = "bo", .name = "Bo", .roles = "lab", .password = "short"},
         MDR_E_RANGE,
         "password"},
        {{.person_id = "bo", .name = "Bo", .roles = "lab", .badge = "U-BO-0001"},
         MDR_E_RANGE,
         "pin"},
        {{.person_id = "bo", .name = "Bo", .roles = "lab", .pin = "482913"}, MDR_E_RANGE, "badge"},
        {{.person_id = "bo",
          .name = "Bo",
          .roles = "quality",
          .badge = "U-BO-0001",
          .pin = "482913"},
         MDR_E_RANGE,
         "badge"},
        {{.person_id = "bo", .name = "Bo", .roles = "lab", .badge = "U-OMAR-01", .pin = "482913"},
         MDR_E_CONFLICT,
         "badge"},
        {{.person_id = "anna", .name = "Another Anna", .roles = "lab"},
         MDR_E_CONFLICT,
         "person_id"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        assert_int_equal(add(&m, ROWS[i].c), ROWS[i].rc);
        assert_string_equal(m.err.place, ROWS[i].place);
        assert_true(m.err.remedy[0] != '\0');
    }
    mdr_person *people = NULL;
    int n = 0;
    KIT_OK(mdr_app_people(m.app, m.arena, &people, &n, &m.err), &m.err);
    assert_int_equal(n, 3);
    assert_string_equal(people[2].name, "Omar Said");
    /* secrets are nowhere in the file as they are */
    assert_int_equal(kit_count(m.app->mill, "SELECT count(*) FROM person WHERE badge_hash LIKE "
                                            "'%OMAR%' OR pin_hash LIKE '%739154%' OR "
                                            "password_hash LIKE '%words%'"),
                     0);
    close_mill(&m);
}

static mdr_code change(mill *m, mdr_person_change c)
{
    return mdr_app_person_change(m->app, &c, NULL, m->arena, &m->err);
}

static void the_last_manager_stays(void **state)
{
    (void)state;
    mill m = with_people();
    assert_int_equal(change(&m, (mdr_person_change){.person_id = "anna", .roles = "lab"}),
                     MDR_E_CONFLICT);
    assert_int_equal(
        change(&m, (mdr_person_change){.person_id = "anna", .active = false, .has_active = true}),
        MDR_E_CONFLICT);
    KIT_OK(change(&m, (mdr_person_change){.person_id = "lena", .roles = "manager,lab"}), &m.err);
    KIT_OK(
        change(&m, (mdr_person_change){.person_id = "anna", .active = false, .has_active = true}),
        &m.err);
    assert_int_equal(change(&m, (mdr_person_change){.person_id = "lena", .roles = "lab"}),
                     MDR_E_CONFLICT);
    assert_int_equal(change(&m, (mdr_person_change){.person_id = "nina", .roles = "lab"}),
                     MDR_E_NOTFOUND);
    assert_int_equal(sign_in(&m, ANNA).rc, MDR_E_SIGN_IN); /* the secret fits, the person left */
    close_mill(&m);
}

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

/* -- what it must not disturb -- */

static void the_mill_is_unchanged(void **state)
{
    (void)state;
    mill m = with_people();
    int64_t before = 0, after = 0;
    KIT_OK(mdr_mill_state(m.app->mill, &before, &m.err), &m.err);
    const in a = sign_in(&m, ANNA);
    (void)sign_in(&m, ANNA_WRONG);
    m.now_utc_ms += 5 * MIN;
    (void)who(&m, a.token);
    KIT_OK(change(&m, (mdr_person_change){.person_id = "omar", .name = "Omar S."}), &m.err);
    KIT_OK(mdr_mill_state(m.app->mill, &after, &m.err), &m.err);
    assert_int_equal(after, before);
    kit_fill(m.app->mill);
    KIT_OK(mdr_mill_state(m.app->mill, &after, &m.err), &m.err);
    assert_int_not_equal(after, before);
    close_mill(&m);
}

/* -- signatures -- */

static mdr_code sign(mill *m, const char *token, const mdr_sign_ask *ask, mdr_signature *out)
{
    const mdr_who w = who(m, token);
    const mdr_from f = from(m, token);
    return mdr_app_sign(m->app, &f, &w, ask, m->arena, out, &m->err);
}

static void signatures(void **state)
{
    (void)state;
    mill m = with_people();
    mdr_signature s = {.name = NULL};
    const in l = sign_in(&m, LENA), o = sign_in(&m, OMAR);
    mdr_sign_ask ask = {
        .action = MDR_ACT_RELEASE, .secret = "another four for lena", .meaning = "released"};
    KIT_OK(sign(&m, l.token, &ask, &s), &m.err);
    assert_string_equal(s.person_id, "lena");
    assert_string_equal(s.name, "Lena Ode");
    assert_string_equal(s.meaning, "released");
    assert_int_equal(s.utc_ms, BEGIN);
    ask.secret = "another four for Lena";
    assert_int_equal(sign(&m, l.token, &ask, &s), MDR_E_SIGN_IN);
    ask.secret = "482913"; /* her PIN is not enough for that session */
    assert_int_equal(sign(&m, l.token, &ask, &s), MDR_E_DENIED);
    ask.secret = NULL;
    assert_int_equal(sign(&m, l.token, &ask, &s), MDR_E_SIGN_IN);
    ask =
        (mdr_sign_ask){.action = MDR_ACT_RELEASE, .secret = "another four for lena", .meaning = ""};
    assert_int_equal(sign(&m, l.token, &ask, &s), MDR_E_ARG);
    ask = (mdr_sign_ask){.action = MDR_ACT_RUN_ENTER, .secret = "739154", .meaning = "performed"};
    KIT_OK(sign(&m, o.token, &ask, &s), &m.err);
    assert_string_equal(s.name, "Omar Said");
    ask.action = MDR_ACT_RELEASE;
    assert_int_equal(sign(&m, o.token, &ask, &s), MDR_E_DENIED);
    assert_int_equal(sign(&m, NULL, &ask, &s), MDR_E_SIGN_IN);
    /* at his screen she signs with her own: name and password, or badge and PIN for what that opens */
    ask = (mdr_sign_ask){.action = MDR_ACT_RELEASE,
                         .secret = "another four for lena",
                         .meaning = "released",
                         .person_id = "Lena"};
    KIT_OK(sign(&m, o.token, &ask, &s), &m.err);
    assert_string_equal(s.person_id, "lena");
    assert_string_equal(s.roles, "quality");
    ask.secret = "482913";
    assert_int_equal(sign(&m, o.token, &ask, &s), MDR_E_ARG);
    assert_string_equal(m.err.place, "badge");
    ask.person_id = "nobody";
    ask.secret = "another four for lena";
    assert_int_equal(sign(&m, o.token, &ask, &s), MDR_E_SIGN_IN);
    assert_string_equal(m.err.place, "signature");
    assert_int_equal(mdr_app_second_person("lena", "omar", &m.err), MDR_OK);
    assert_int_equal(mdr_app_second_person("lena", "lena", &m.err), MDR_E_CONFLICT);
    assert_string_equal(m.err.place, "person_id");
    close_mill(&m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_people),         cmocka_unit_test(what_a_person_may_be),
        cmocka_unit_test(the_last_manager_stays), cmocka_unit_test(in_and_out),
        cmocka_unit_test(a_new_token_each_time),  cmocka_unit_test(sessions_run_out),
        cmocka_unit_test(screens_lock),           cmocka_unit_test(badges_open_little),
        cmocka_unit_test(changes_end_sessions),   cmocka_unit_test(failures_wait),
        cmocka_unit_test(pins_wait_long),         cmocka_unit_test(an_address_waits),
        cmocka_unit_test(the_mill_is_unchanged),  cmocka_unit_test(signatures)};
    return cmocka_run_group_tests(tests, make_people, drop_people);
}
