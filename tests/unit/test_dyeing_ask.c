/* Wrong questions to the dyebath: each is refused at its place. Memory that ends. */
#include "t.h"

#include <string.h>

#include "core/exhaust/mdr_dyeing.h"
#include "dyeing_kit.h"

/* A question that can be answered, and all it points at. */
typedef struct question {
    mdr_dye_rates dyes[2];
    mdr_dyeing_moment course[3];
    mdr_dyeing_dose doses[2];
    double uptake[8];
    mdr_dyeing_in in;
} question;

static void good(question *q)
{
    memset(q, 0, sizeof *q);
    q->dyes[0] = kit_reactive();
    q->dyes[1] = kit_direct();
    for (int i = 0; i < 3; i++) {
        q->course[i] = (mdr_dyeing_moment){
            .t_min = 10.0 * i, .temp_c = 60, .liquor_l = 1600, .sodium_mol_per_l = 0.5, .ph = 7};
    }
    for (int i = 0; i < 2; i++) {
        q->doses[i] =
            (mdr_dyeing_dose){.start_min = 1, .minutes = 5, .kg = 1, .exponent = 1, .dye = i};
    }
    for (int i = 0; i < 8; i++) {
        q->uptake[i] = 1;
    }
    q->in = (mdr_dyeing_in){.dyes = q->dyes,
                            .course = q->course,
                            .doses = q->doses,
                            .rope = kit_rope(),
                            .sample_min = 5,
                            .n_dyes = 2,
                            .n_moments = 3,
                            .n_doses = 2,
                            .slices = 4};
    q->in.rope.tubes = 2;
    q->in.rope.tube_share[0] = q->in.rope.tube_share[1] = 0.5;
    q->in.rope.slice_uptake = q->uptake;
}

static void refuse(const question *q, mdr_code code, const char *place)
{
    mdr_err err = {0};
    const mdr_dyeing *d = NULL;
    mdr_arena *arena = mdr_arena_new((size_t)16 << 20);
    const mdr_code rc = mdr_dyeing_run(&q->in, arena, &d, &err);
    if (rc != code || strcmp(err.place, place) != 0) {
        fail_msg("wanted %s at %s, got %s at %s", mdr_code_id(code), place, mdr_code_id(rc),
                 err.place);
    }
    assert_null(d); /* written on success only */
    assert_true(code != MDR_E_RANGE || (err.value[0] != '\0' && err.allowed[0] != '\0'));
    mdr_arena_free(arena);
}

static void numbers(void **state)
{
    (void)state;
    static question q;
    static const struct {
        double *at;
        double bad[2];
        const char *place;
    } ROWS[] = {
        {&q.dyes[1].diffusion_per_min, {0, NAN}, "dyes[1].diffusion_per_min"},
        {&q.course[1].t_min, {-1, NAN}, "course[1].t_min"},
        {&q.course[2].t_min, {9.9, INFINITY}, "course[2].t_min"},
        {&q.course[0].temp_c, {-0.1, 100.1}, "course[0].temp_c"},
        {&q.course[2].temp_c, {NAN, 101}, "course[2].temp_c"},
        {&q.course[0].liquor_l, {500, NAN}, "course[0].liquor_l"},
        {&q.course[2].liquor_l, {1599, 0}, "course[2].liquor_l"},
        {&q.course[1].sodium_mol_per_l, {-0.1, NAN}, "course[1].sodium_mol_per_l"},
        {&q.course[1].ph, {-1, 14.5}, "course[1].ph"},
        {&q.doses[0].kg, {-1, NAN}, "doses[0].kg"},
        {&q.doses[1].start_min, {-0.1, 20.1}, "doses[1].start_min"},
        {&q.doses[1].minutes, {-1, 19.5}, "doses[1].minutes"},
        {&q.doses[0].exponent, {0, NAN}, "doses[0].exponent"},
        {&q.in.rope.load_kg, {0, NAN}, "rope.load_kg"},
        {&q.in.rope.held_l_per_kg, {0, 51}, "rope.held_l_per_kg"},
        {&q.in.rope.cycle_min, {0, NAN}, "rope.cycle_min"},
        {&q.in.rope.zone_fraction, {0, 1.01}, "rope.zone_fraction"},
        {&q.in.rope.exchange_per_min, {-1, 10001}, "rope.exchange_per_min"},
        {&q.in.rope.flow_l_per_min, {-1, NAN}, "rope.flow_l_per_min"},
        {&q.in.rope.tube_share[0], {0, NAN}, "rope.tube_share[0]"},
        {&q.in.rope.tube_share[1], {0.51, 0.49}, "rope.tube_share"},
        {&q.uptake[7], {0, NAN}, "rope.slice_uptake[7]"},
        {&q.in.sample_min, {0, 1e-4}, "sample_min"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        for (int k = 0; k < 2; k++) {
            good(&q);
            *ROWS[i].at = ROWS[i].bad[k];
            refuse(&q, MDR_E_RANGE, ROWS[i].place);
        }
    }
    good(&q);
    q.in.rope.cycle_min = 0.01;
    q.in.steps_per_turn = 10000;
    refuse(&q, MDR_E_RANGE, "rope.cycle_min");
}

static void counts(void **state)
{
    (void)state;
    static question q;
    static const struct {
        int *at;
        int bad;
        mdr_code code;
        const char *place;
    } ROWS[] = {
        {&q.in.n_dyes, 0, MDR_E_ARG, "dyes"},
        {&q.in.n_dyes, 17, MDR_E_RANGE, "dyes"},
        {&q.in.n_doses, 0, MDR_E_ARG, "doses"},
        {&q.in.n_doses, 1, MDR_E_ARG, "dyes[1]"},
        {&q.in.n_moments, 1, MDR_E_ARG, "course"},
        {&q.in.slices, 0, MDR_E_RANGE, "slices"},
        {&q.in.slices, MDR_DYEING_SLICES_MAX + 1, MDR_E_RANGE, "slices"},
        {&q.in.modes, -1, MDR_E_RANGE, "modes"},
        {&q.in.modes, MDR_CYLINDER_MODES_MAX + 1, MDR_E_RANGE, "modes"},
        {&q.in.steps_per_turn, -1, MDR_E_RANGE, "steps_per_turn"},
        {&q.in.rope.tubes, 0, MDR_E_RANGE, "rope.tubes"},
        {&q.in.rope.tubes, 17, MDR_E_RANGE, "rope.tubes"},
        {&q.doses[0].dye, 2, MDR_E_RANGE, "doses[0].dye"},
        {&q.doses[0].dye, -1, MDR_E_RANGE, "doses[0].dye"},
        {&q.doses[1].portions, -1, MDR_E_RANGE, "doses[1].portions"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        good(&q);
        *ROWS[i].at = ROWS[i].bad;
        refuse(&q, ROWS[i].code, ROWS[i].place);
    }
    good(&q);
    q.course[0].t_min = q.course[1].t_min = q.course[2].t_min = 5;
    refuse(&q, MDR_E_RANGE, "course[2].t_min");
}

static void memory(void **state)
{
    (void)state;
    static question q;
    good(&q);
    mdr_code rc = MDR_E_NOMEM;
    unsigned n = 0;
    while (rc != MDR_OK) {
        mdr_err err = {0};
        const mdr_dyeing *d = NULL;
        mdr_arena *arena = mdr_arena_new((size_t)16 << 20);
        assert_non_null(arena);
        mdr_arena_fail_at(++n);
        rc = mdr_dyeing_run(&q.in, arena, &d, &err);
        mdr_arena_fail_at(0);
        assert_true(rc == MDR_OK || (rc == MDR_E_NOMEM && d == NULL && err.code == MDR_E_NOMEM));
        mdr_arena_free(arena);
    }
    for (size_t limit = 1000; limit < 2000000; limit += 37000) {
        mdr_err err = {0};
        const mdr_dyeing *d = NULL;
        mdr_arena *arena = mdr_arena_new(limit);
        rc = mdr_dyeing_run(&q.in, arena, &d, &err);
        assert_true(rc == MDR_OK ? d != NULL : rc == MDR_E_NOMEM && d == NULL);
        mdr_arena_free(arena);
    }
    assert_int_equal(rc, MDR_OK);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(numbers), cmocka_unit_test(counts),
                                       cmocka_unit_test(memory)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
