/* People: a demo for one and its end, what a person may be, signatures, what it must not disturb. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "people_kit.h"

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
        cmocka_unit_test(without_people),
        cmocka_unit_test(what_a_person_may_be),
        cmocka_unit_test(the_last_manager_stays),
        cmocka_unit_test(the_mill_is_unchanged),
        cmocka_unit_test(signatures),
    };
    return cmocka_run_group_tests(tests, make_people, drop_people);
}
