/* Routes: reading, writing, taking stages from others, and what is refused where. */
#include "t.h"

#include <dirent.h>
#include <stdio.h>
#include <string.h>

#include "route_shelf_kit.h"
#include "wire/mdr_wire.h"

enum { ARENA = 8 << 20, TEXT = 1 << 17 };

/* A route whose only bath holds these steps. */
#define ROUTE(steps)                                                                           \
    "{\"format\":\"madder-route-1\",\"route_id\":\"R\",\"name\":\"N\",\"purpose\":\"\","       \
    "\"version\":1,\"dye_class\":\"none\",\"invented\":true,\"stages\":[{\"kind\":\"dyeing\"," \
    "\"name\":\"S\",\"baths\":[{\"name\":\"B\",\"steps\":[" steps "]}]}],\"passes\":[]}"
#define FILL  "{\"do\":\"fill\",\"temp_c\":40}"
#define DRAIN "{\"do\":\"drain\"}"
#define AT(n) "stages[0].baths[0].steps[" n "]"

static const struct {
    const char *what, *text;
    mdr_code code;
    const char *place; /* of the first fault */
} ROWS[] = {
    {"fine", ROUTE(FILL "," DRAIN), MDR_OK, ""},
    {"empty", "", MDR_E_PARSE, NULL},
    {"cut", "{\"format\":\"madder-route-1\"", MDR_E_PARSE, NULL},
    {"a key twice", "{\"format\":\"madder-route-1\",\"format\":\"x\"}", MDR_E_PARSE, NULL},
    {"another document", "{\"format\":\"x\"}", MDR_E_PARSE, NULL},
    {"unknown word", ROUTE(FILL ",{\"do\":\"dance\"}," DRAIN), MDR_E_PARSE, AT("1") ".do"},
    {"unknown key", ROUTE(FILL ",{\"do\":\"hold\",\"minutes\":5,\"minuts\":5}," DRAIN), MDR_E_PARSE,
     AT("1") ".minuts"},
    {"missing key", ROUTE(FILL ",{\"do\":\"hold\"}," DRAIN), MDR_E_PARSE, AT("1") ".minutes"},
    {"text for a number", ROUTE(FILL ",{\"do\":\"hold\",\"minutes\":\"5\"}," DRAIN), MDR_E_PARSE,
     AT("1") ".minutes"},
    {"zero time", ROUTE(FILL ",{\"do\":\"hold\",\"minutes\":0}," DRAIN), MDR_E_RANGE,
     AT("1") ".minutes"},
    {"negative time", ROUTE(FILL ",{\"do\":\"hold\",\"minutes\":-5}," DRAIN), MDR_E_RANGE,
     AT("1") ".minutes"},
    {"too hot", ROUTE(FILL ",{\"do\":\"heat\",\"temp_c\":400}," DRAIN), MDR_E_RANGE,
     AT("1") ".temp_c"},
    {"hold nobody reaches", ROUTE(FILL ",{\"do\":\"hold\",\"minutes\":5,\"temp_c\":60}," DRAIN),
     MDR_E_RANGE, AT("1") ".temp_c"},
    {"after the drain", ROUTE(FILL "," DRAIN ",{\"do\":\"hold\",\"minutes\":5}"), MDR_E_RANGE,
     AT("2") ".do"},
    {"fill not first", ROUTE(FILL ",{\"do\":\"hold\",\"minutes\":5}," FILL "," DRAIN), MDR_E_RANGE,
     AT("2") ".do"},
    {"check that cannot pass",
     ROUTE(FILL ",{\"do\":\"check\",\"minutes\":3,\"check\":{\"kind\":\"ph\",\"low\":7,\"high\":6,"
                "\"method\":\"m\",\"on_fail\":\"stop\",\"remedy\":\"r\"}}," DRAIN),
     MDR_E_RANGE, AT("1") ".check.low"},
    {"check outside what can be",
     ROUTE(FILL ",{\"do\":\"check\",\"minutes\":3,\"check\":{\"kind\":\"ph\",\"low\":15,\"method\":"
                "\"m\",\"on_fail\":\"stop\",\"remedy\":\"r\"}}," DRAIN),
     MDR_E_RANGE, AT("1") ".check.low"},
    {"shares above all of it",
     ROUTE(FILL ",{\"do\":\"dose\",\"minutes\":5,\"share_pct\":60,\"items\":[{\"material_id\":"
                "\"A\",\"basis\":\"g_per_l\",\"amount\":1}]},"
                "{\"do\":\"dose\",\"minutes\":5,\"share_pct\":60,\"items\":[{\"material_id\":\"A\","
                "\"basis\":\"g_per_l\",\"amount\":1}]}," DRAIN),
     MDR_E_RANGE, NULL},
    {"a dose that outlives its bath",
     ROUTE(FILL ",{\"do\":\"dose\",\"minutes\":30,\"with_next\":true,\"items\":[{\"material_id\":"
                "\"A\",\"basis\":\"g_per_l\",\"amount\":1}]},"
                "{\"do\":\"hold\",\"minutes\":5}," DRAIN),
     MDR_E_RANGE, NULL},
    {"amount of nothing",
     ROUTE(FILL ",{\"do\":\"dose\",\"minutes\":5,\"items\":[{\"material_id\":\"A\",\"basis\":\"g_"
                "per_l\",\"amount\":0}]}," DRAIN),
     MDR_E_RANGE, AT("1") ".items[0].amount"},
    {"a part of a need",
     ROUTE(FILL ",{\"do\":\"dose\",\"minutes\":5,\"share_pct\":50,\"items\":[{\"material_id\":"
                "\"A\",\"basis\":\"neutralise\"}]}," DRAIN),
     MDR_E_RANGE, AT("1") ".share_pct"},
    {"every need, whole and with a factor",
     ROUTE(FILL ",{\"do\":\"dose\",\"minutes\":5,\"items\":["
                "{\"material_id\":\"A\",\"basis\":\"neutralise\",\"to_ph\":5.5},"
                "{\"material_id\":\"A\",\"basis\":\"neutralise\",\"amount\":1.1},"
                "{\"material_id\":\"Q\",\"basis\":\"sequester\"},"
                "{\"material_id\":\"K\",\"basis\":\"catalase\",\"amount\":1.5},"
                "{\"material_id\":\"P\",\"basis\":\"oxidise\"}]}," DRAIN),
     MDR_OK, ""},
    {"a pH that nobody neutralises to",
     ROUTE(FILL ",{\"do\":\"dose\",\"minutes\":5,\"items\":[{\"material_id\":\"A\","
                "\"basis\":\"neutralise\",\"to_ph\":9.5}]}," DRAIN),
     MDR_E_RANGE, AT("1") ".items[0].to_ph"},
    {"a pH for another need",
     ROUTE(FILL ",{\"do\":\"dose\",\"minutes\":5,\"items\":[{\"material_id\":\"A\","
                "\"basis\":\"catalase\",\"to_ph\":6}]}," DRAIN),
     MDR_E_PARSE, AT("1") ".items[0].to_ph"},
    {"active substance of a need",
     ROUTE(FILL ",{\"do\":\"dose\",\"minutes\":5,\"items\":[{\"material_id\":\"A\","
                "\"basis\":\"oxidise\",\"of_active\":true}]}," DRAIN),
     MDR_E_PARSE, AT("1") ".items[0].of_active"},
    {"a curve that is none",
     ROUTE(FILL
           ",{\"do\":\"dose\",\"minutes\":5,\"curve\":{\"kind\":\"progressive\",\"exponent\":0.5},"
           "\"items\":[{\"material_id\":\"A\",\"basis\":\"g_per_l\",\"amount\":1}]}," DRAIN),
     MDR_E_RANGE, AT("1") ".curve.exponent"},
};

static void reading(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_arena *arena = mdr_arena_new(ARENA);
        mdr_err_list found = mdr_err_list_make(arena, 50);
        const mdr_route *route = NULL;
        mdr_err err = {0};
        const mdr_code rc =
            mdr_wire_route_read(ROWS[i].text, strlen(ROWS[i].text), arena, &found, &route, &err);
        if (rc != ROWS[i].code) {
            fail_msg("%s: got %s (%s: %s)", ROWS[i].what, mdr_code_id(rc), err.place, err.msg);
        }
        if (rc != MDR_OK) {
            assert_null(route);
            assert_true(err.msg[0] != '\0' && found.count >= 1);
            if (ROWS[i].place != NULL && strcmp(err.place, ROWS[i].place) != 0) {
                fail_msg("%s: at %s, want %s", ROWS[i].what, err.place, ROWS[i].place);
            }
        }
        mdr_arena_free(arena);
    }
}

/* Every fault of a document is reported, not the first. */
static void all_faults(void **state)
{
    (void)state;
    static const char TEXT3[] =
        ROUTE("{\"do\":\"fill\",\"temp_c\":\"hot\"},{\"do\":\"hold\"},{\"do\":\"dance\"}");
    mdr_arena *arena = mdr_arena_new(ARENA);
    mdr_err_list found = mdr_err_list_make(arena, 50);
    const mdr_route *route = NULL;
    assert_int_not_equal(mdr_wire_route_read(TEXT3, strlen(TEXT3), arena, &found, &route, NULL),
                         MDR_OK);
    assert_int_equal(found.count, 3);
    mdr_arena_free(arena);
}

/* -- the routes of the demo mill -- */

/* Reading what was written gives the same text again. */
static const mdr_route *round_trip(const char *path, mdr_arena *arena)
{
    static char text[TEXT];
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    const size_t n = fread(text, 1, sizeof text, f);
    (void)fclose(f);
    const mdr_route *route = NULL;
    const mdr_route *again = NULL;
    char *one = NULL;
    char *two = NULL;
    size_t one_len = 0;
    size_t two_len = 0;
    mdr_err err = {0};
    if (mdr_wire_route_read(text, n, arena, NULL, &route, &err) != MDR_OK) {
        fail_msg("%s: %s: %s", path, err.place, err.msg);
    }
    assert_int_equal(mdr_wire_route_write(route, arena, &one, &one_len, NULL), MDR_OK);
    assert_int_equal(mdr_wire_route_read(one, one_len, arena, NULL, &again, NULL), MDR_OK);
    assert_int_equal(mdr_wire_route_write(again, arena, &two, &two_len, NULL), MDR_OK);
    assert_string_equal(one, two);
    return route;
}

#define NEEDS                                                                    \
    ROUTE(FILL ",{\"do\":\"dose\",\"minutes\":5,\"items\":["                     \
               "{\"material_id\":\"A\",\"basis\":\"neutralise\",\"to_ph\":5.5}," \
               "{\"material_id\":\"A\",\"basis\":\"neutralise\"},"               \
               "{\"material_id\":\"Q\",\"basis\":\"sequester\"},"                \
               "{\"material_id\":\"K\",\"basis\":\"catalase\",\"amount\":1.5},"  \
               "{\"material_id\":\"P\",\"basis\":\"oxidise\"}]}," DRAIN)

static void needs_are_read(void **state)
{
    (void)state;
    static const struct {
        mdr_basis basis;
        double to_ph, amount; /* D: as written above; what is left out is 0 and 1 */
    } WANT[] = {{MDR_BASIS_NEUTRALISE, 5.5, 1},
                {MDR_BASIS_NEUTRALISE, 0, 1},
                {MDR_BASIS_SEQUESTER, 0, 1},
                {MDR_BASIS_CATALASE, 0, 1.5},
                {MDR_BASIS_OXIDISE, 0, 1}};
    mdr_arena *arena = mdr_arena_new(ARENA);
    const mdr_route *route = NULL;
    assert_int_equal(mdr_wire_route_read(NEEDS, strlen(NEEDS), arena, NULL, &route, NULL), MDR_OK);
    const mdr_route_step *dose = &route->stages[0].baths[0].steps[1];
    assert_int_equal(dose->n_items, N_OF(WANT));
    for (size_t i = 0; i < N_OF(WANT); i++) {
        assert_int_equal(dose->items[i].basis, WANT[i].basis);
        assert_true(dose->items[i].to_ph == WANT[i].to_ph);
        assert_true(dose->items[i].amount == WANT[i].amount);
    }
    mdr_arena_free(arena);
}

/* The pH and the factor that were given are written, once each; what goes without saying is not. */
static void needs_are_written(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(ARENA);
    const mdr_route *route = NULL;
    char *text = NULL;
    size_t len = 0;
    assert_int_equal(mdr_wire_route_read(NEEDS, strlen(NEEDS), arena, NULL, &route, NULL), MDR_OK);
    assert_int_equal(mdr_wire_route_write(route, arena, &text, &len, NULL), MDR_OK);
    static const char *const ONCE[][2] = {{"\"to_ph\"", "\"to_ph\": 5.5"},
                                          {"\"amount\"", "\"amount\": 1.5"}};
    for (size_t i = 0; i < N_OF(ONCE); i++) {
        const char *key = strstr(text, ONCE[i][0]);
        assert_non_null(key);
        assert_ptr_equal(key, strstr(text, ONCE[i][1]));
        assert_null(strstr(key + 1, ONCE[i][0]));
    }
    mdr_arena_free(arena);
}

static void demo_routes(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(32 << 20);
    shelf s = {.n = 0};
    DIR *dir = opendir(MDR_SOURCE_DIR "/data/demo/routes");
    assert_non_null(dir);
    for (const struct dirent *e = readdir(dir); e != NULL; e = readdir(dir)) {
        if (e->d_name[0] == 'R') {
            char path[600];
            (void)snprintf(path, sizeof path, "%s/data/demo/routes/%s", MDR_SOURCE_DIR, e->d_name);
            s.routes[s.n++] = round_trip(path, arena);
        }
    }
    (void)closedir(dir);
    assert_true(s.n >= 9);
    for (int i = 0; i < s.n; i++) {
        const mdr_route *whole = NULL;
        mdr_err err = {0};
        if (mdr_route_resolve(s.routes[i], look_up, &s, arena, &whole, &err) != MDR_OK ||
            mdr_route_check_all(whole, NULL, &err) != MDR_OK) {
            fail_msg("%s: %s: %s", s.routes[i]->route_id, err.place, err.msg);
        }
        for (int k = 0; k < whole->n_stages; k++) {
            assert_true(whole->stages[k].n_baths > 0);
        }
    }
    mdr_arena_free(arena);
}

/* -- stages taken from others -- */

static mdr_route taking(const char *id, mdr_route_stage *stage, const char *from,
                        const char *from_stage)
{
    *stage = (mdr_route_stage){
        .kind = MDR_STAGE_DYEING, .name = "S", .from_route = from, .from_stage = from_stage};
    return (mdr_route){
        .route_id = id, .name = id, .purpose = "", .version = 1, .stages = stage, .n_stages = 1};
}

static void circles(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(ARENA);
    mdr_route_stage sa;
    mdr_route_stage sb;
    const mdr_route a = taking("A", &sa, "B", "S");
    const mdr_route b = taking("B", &sb, "A", "S");
    shelf s = {.routes = {&a, &b}, .n = 2};
    const mdr_route *whole = NULL;
    mdr_err err = {0};
    assert_int_equal(mdr_route_resolve(&a, look_up, &s, arena, &whole, &err), MDR_E_CONFLICT);
    assert_non_null(strstr(err.msg, "A / S -> B / S -> A / S"));
    const mdr_route self = taking("A", &sa, "A", "S");
    assert_int_equal(mdr_route_resolve(&self, look_up, &s, arena, &whole, &err), MDR_E_CONFLICT);
    const mdr_route lost = taking("A", &sa, "Z", "S");
    assert_int_equal(mdr_route_resolve(&lost, look_up, &s, arena, &whole, &err), MDR_E_NOTFOUND);
    assert_string_equal(err.place, "stages[0].from_route");
    const mdr_route stage_lost = taking("A", &sa, "B", "T");
    assert_int_equal(mdr_route_resolve(&stage_lost, look_up, &s, arena, &whole, &err),
                     MDR_E_NOTFOUND);
    assert_string_equal(err.place, "stages[0].from_stage");
    assert_null(whole);
    mdr_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reading),        cmocka_unit_test(all_faults),
        cmocka_unit_test(needs_are_read), cmocka_unit_test(needs_are_written),
        cmocka_unit_test(demo_routes),    cmocka_unit_test(circles)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
