/* Stages that a route takes from others: through several, in circles, without memory. */
#include "route_bench_kit.h"
#include "route_shelf_kit.h"

/* -- stages taken from others -- */

static void taken_over_two_routes(void **state)
{
    (void)state;
    static bench b;
    mdr_arena *arena = mdr_arena_new(ARENA);
    set_up_bench(&b);
    const mdr_route_stage middle = {
        .kind = MDR_STAGE_DYEING, .name = "Passed on", .from_route = "R", .from_stage = "First"};
    const mdr_route_stage top[] = {
        {.kind = MDR_STAGE_PREPARE, .name = "Mine", .from_route = "M", .from_stage = "Passed on"},
        b.stages[1]};
    const mdr_route m = {
        .route_id = "M", .name = "M", .purpose = "", .stages = &middle, .n_stages = 1};
    const mdr_route t = {
        .route_id = "T", .name = "T", .purpose = "", .version = 3, .stages = top, .n_stages = 2};
    shelf s = {.routes = {&b.route, &m, &t}, .n = 3};
    const mdr_route *whole = NULL;
    mdr_err err = {.code = MDR_OK};
    assert_int_equal(mdr_route_resolve(&t, look_up, &s, arena, &whole, &err), MDR_OK);
    assert_int_equal(whole->n_stages, 2);
    assert_ptr_equal(whole->stages[0].baths, b.baths);
    assert_int_equal(whole->stages[0].n_baths, 1);
    assert_string_equal(whole->stages[0].name, "Mine");         /* its own name */
    assert_int_equal(whole->stages[0].kind, MDR_STAGE_PREPARE); /* and kind */
    assert_string_equal(whole->stages[0].from_route, "M");      /* and still says whence */
    assert_ptr_equal(whole->stages[1].baths, b.stages[1].baths);
    assert_int_equal(whole->version, 3);
    assert_int_equal(top[0].n_baths, 0); /* the document itself is left alone */
    mdr_arena_free(arena);
}

/* A circle that the first stage only leads into is a circle too; the message shows it. */
static void a_circle_further_on(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new(ARENA);
    const mdr_route_stage sa = {.name = "S", .from_route = "B", .from_stage = "S"};
    const mdr_route_stage sb = {.name = "S", .from_route = "C", .from_stage = "S"};
    const mdr_route_stage sc = {.name = "S", .from_route = "B", .from_stage = "S"};
    const mdr_route a = {.route_id = "A", .name = "", .purpose = "", .stages = &sa, .n_stages = 1};
    const mdr_route b = {.route_id = "B", .name = "", .purpose = "", .stages = &sb, .n_stages = 1};
    const mdr_route c = {.route_id = "C", .name = "", .purpose = "", .stages = &sc, .n_stages = 1};
    shelf s = {.routes = {&a, &b, &c}, .n = 3};
    const mdr_route *whole = NULL;
    mdr_err err = {.code = MDR_OK};
    assert_int_equal(mdr_route_resolve(&a, look_up, &s, arena, &whole, &err), MDR_E_CONFLICT);
    assert_non_null(strstr(err.msg, "B / S -> C / S -> B / S"));
    assert_string_equal(err.place, "stages[0].from_route");
    assert_true(err.remedy[0] != '\0');
    assert_null(whole);
    mdr_arena_free(arena);
}

/* Twenty routes in a row, each taking from the next, are no circle. */
static void a_long_chain(void **state)
{
    (void)state;
    static bench b;
    enum { LINKS = 20 };
    static char ids[LINKS][8];
    static mdr_route_stage stages[LINKS];
    static mdr_route routes[LINKS];
    mdr_arena *arena = mdr_arena_new(ARENA);
    shelf s = {.n = LINKS};
    set_up_bench(&b);
    for (int i = 0; i < LINKS; i++) {
        (void)snprintf(ids[i], sizeof ids[i], "L%d", i);
        const bool last = i == LINKS - 1;
        stages[i] = (mdr_route_stage){.name = "S", .from_route = "", .from_stage = ""};
        stages[i].baths = last ? b.baths : NULL;
        stages[i].n_baths = last ? 1 : 0;
        routes[i] = (mdr_route){
            .route_id = ids[i], .name = "", .purpose = "", .stages = &stages[i], .n_stages = 1};
        s.routes[i] = &routes[i];
    }
    for (int i = 0; i + 1 < LINKS; i++) {
        stages[i].from_route = ids[i + 1];
        stages[i].from_stage = "S";
    }
    const mdr_route *whole = NULL;
    assert_int_equal(mdr_route_resolve(&routes[0], look_up, &s, arena, &whole, NULL), MDR_OK);
    assert_ptr_equal(whole->stages[0].baths, b.baths);
    mdr_arena_free(arena);
}

static void resolving_without_memory(void **state)
{
    (void)state;
    static bench b;
    shelf s = {.n = 0};
    set_up_bench(&b);
    for (size_t bytes = 1; bytes < 2000; bytes += 50) {
        mdr_arena *arena = mdr_arena_new(bytes);
        const mdr_route *whole = NULL;
        mdr_err err = {.code = MDR_OK};
        const mdr_code rc = mdr_route_resolve(&b.route, look_up, &s, arena, &whole, &err);
        assert_true(rc == MDR_OK || (rc == MDR_E_NOMEM && whole == NULL && err.msg[0] != '\0'));
        mdr_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(taken_over_two_routes), cmocka_unit_test(a_circle_further_on),
        cmocka_unit_test(a_long_chain), cmocka_unit_test(resolving_without_memory)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
