/* A dyeing that goes on from another one's mark is the one from the beginning, to the last bit. */
#include "t.h"

#include <string.h>

#include "core/exhaust/mdr_rope_mark.h"
#include "dyeing_kit.h"

enum { DYES = 2, MOMENTS = 8, DOSES = 3 };

/* I: salt, two doses of dye, a wait, alkali while the bath warms, a wait. */
typedef struct lot {
    mdr_dyeing_moment course[MOMENTS];
    mdr_dyeing_dose doses[DOSES];
    mdr_dye_rates dyes[DYES];
    mdr_dyeing_in in;
} lot;

static lot base;
static mdr_arena *arena;

static void fill(lot *l, double zone_fraction)
{
    *l = (lot){.course = {{3, 40, 1600, 0.3, 7, false},
                          {25, 40, 1600, 0.3, 7, false},
                          {40, 60, 1600, 0.6, 7, false},
                          {70, 60, 1600, 0.6, 7, false},
                          {95, 60, 1700, 0.8, 10.5, false},
                          {110, 65, 1700, 0.8, 11, false},
                          {150, 65, 1700, 0.8, 11, false},
                          {171.3, 65, 1700, 0.8, 11, false}},
               .doses = {{.start_min = 3, .minutes = 20, .kg = 2, .exponent = 1},
                         {.start_min = 5, .minutes = 15, .kg = 1, .exponent = 2, .dye = 1},
                         {.start_min = 50, .minutes = 12, .kg = 0.5, .portions = 3, .dye = 1}},
               .dyes = {kit_reactive(), kit_direct()},
               .in = {.rope = kit_rope(),
                      .sample_min = 1.0,
                      .n_dyes = DYES,
                      .n_moments = MOMENTS,
                      .n_doses = DOSES,
                      .slices = 7,
                      .steps_per_turn = 12}};
    l->in.rope.zone_fraction = zone_fraction;
}

/* Pointers of a copy are its own, but for the rates. */
static const mdr_dyeing *run(lot *l, mdr_rope_trails *trails, double strike_most_pct)
{
    const mdr_dyeing *d = NULL;
    mdr_err err = {0};
    l->in.course = l->course;
    l->in.doses = l->doses;
    l->in.dyes = base.dyes;
    l->in.trails = trails;
    l->in.strike_most_pct = strike_most_pct;
    if (mdr_dyeing_run(&l->in, arena, &d, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return d;
}

static mdr_rope_trails *trails_for(int slices, int samples)
{
    const mdr_rope_room room = {.slices = slices,
                                .tubes = 1,
                                .dyes = DYES,
                                .doses = DOSES,
                                .modes = MDR_DYEING_MODES_USUAL,
                                .stations = 12,
                                .samples = samples};
    mdr_rope_trails *t = NULL;
    assert_int_equal(mdr_rope_trails_make(&room, arena, &t, NULL), MDR_OK);
    return t;
}

static void same(const void *a, const void *b, size_t bytes)
{
    assert_memory_equal(a, b, bytes);
}

static void same_dyeing(const mdr_dyeing *a, const mdr_dyeing *b)
{
    assert_int_equal(a->n_samples, b->n_samples);
    assert_int_equal(a->steps, b->steps);
    assert_true(a->mass_error == b->mass_error && a->cut_short == b->cut_short);
    const size_t rows = (size_t)a->n_samples * sizeof(double), all = rows * DYES;
    const size_t map = (size_t)a->n_samples * DYES * (size_t)a->n_slices * sizeof(float);
    same(a->t_min, b->t_min, rows);
    same(a->contacts, b->contacts, rows);
    same(a->given, b->given, all);
    same(a->bath_active, b->bath_active, all);
    same(a->bath_hydrolysed, b->bath_hydrolysed, all);
    same(a->held, b->held, all);
    same(a->on_fibre, b->on_fibre, all);
    same(a->fixed, b->fixed, all);
    same(a->hydrolysed, b->hydrolysed, all);
    same(a->strike_per_contact_pct, b->strike_per_contact_pct, all);
    same(a->spread, b->spread, all);
    same(a->map, b->map, map);
    same(a->fixed_map, b->fixed_map, map);
}

/* From the trail and from the beginning; minutes that were spared. */
static double both(lot *l, mdr_rope_trails *t)
{
    const double before_min = mdr_rope_spared_min(t);
    const mdr_dyeing *on = run(l, t, 0.0);
    same_dyeing(on, run(l, NULL, 0.0));
    return mdr_rope_spared_min(t) - before_min;
}

static void end_later(lot *l, double by_min)
{
    l->course[7].t_min += by_min;
}
static void wait_longer(lot *l, double by_min)
{
    for (int i = 6; i < MOMENTS; i++) {
        l->course[i].t_min += by_min;
    }
}
static void alkali_slower(lot *l, double by_min)
{
    for (int i = 4; i < MOMENTS; i++) {
        l->course[i].t_min += by_min;
    }
}
static void warmer(lot *l, double by_c)
{
    for (int i = 2; i < MOMENTS; i++) {
        l->course[i].temp_c += by_c;
    }
}
static void portions_slower(lot *l, double by_min)
{
    l->doses[2].minutes += by_min;
}
static void second_dye_bent(lot *l, double by)
{
    l->doses[1].exponent += by;
}
static void oxidised(lot *l, double by)
{
    l->course[6].oxidises = l->course[7].oxidises = by != 0.0;
}
static void rope_slower(lot *l, double by_min)
{
    l->in.rope.cycle_min += by_min;
}
static void begun_earlier(lot *l, double by_min)
{
    l->course[0].t_min -= by_min;
}
static void more_dye(lot *l, double by_kg)
{
    l->doses[2].kg += by_kg;
}

/* What is changed, by how much, and from when on the dyeing is another one (0: from the beginning). */
static void load_more(lot *l, double by)
{
    l->in.rope.load_kg *= 1.0 + by;
}
static void held_more(lot *l, double by)
{
    l->in.rope.held_l_per_kg += by;
}
static void zone_other(lot *l, double by)
{
    l->in.rope.zone_fraction += l->in.rope.zone_fraction > 0.5 ? -by : by;
}
static void exchange_faster(lot *l, double by)
{
    l->in.rope.exchange_per_min += by;
}
static void flow_more(lot *l, double by)
{
    l->in.rope.flow_l_per_min += by;
}
static void slices_fewer(lot *l, double by)
{
    l->in.slices -= (int)by;
}
static void steps_fewer(lot *l, double by)
{
    l->in.steps_per_turn -= (int)by;
}
static void modes_fewer(lot *l, double by)
{
    l->in.modes = MDR_DYEING_MODES_USUAL - (int)by;
}
static void samples_rarer(lot *l, double by)
{
    l->in.sample_min += by;
}
static void first_dye_bent(lot *l, double by)
{
    l->doses[0].exponent += by;
}
static void fewer_portions(lot *l, double by)
{
    l->doses[2].portions -= (int)by;
}
static void later_dose(lot *l, double by_min)
{
    l->doses[2].start_min += by_min;
}
static void other_dye(lot *l, double by)
{
    (void)by;
    l->doses[2].dye = 0;
}
static void dose_less(lot *l, double by)
{
    l->in.n_doses -= (int)by;
}
static void saltier(lot *l, double by)
{
    for (int i = 4; i < MOMENTS; i++) {
        l->course[i].sodium_mol_per_l += by;
    }
}
static void more_alkaline(lot *l, double by)
{
    for (int i = 4; i < MOMENTS; i++) {
        l->course[i].ph += by;
    }
}
static void fuller(lot *l, double by_l)
{
    for (int i = 4; i < MOMENTS; i++) {
        l->course[i].liquor_l += by_l;
    }
}

typedef struct change {
    void (*make)(lot *l, double by);
    double by, from_min;
} change;
/* The first of them can be made again and again. */
enum { IN_A_ROW = 13 };
static const change CHANGES[] = {
    {end_later, 9.0, 171.3},     {end_later, -4.0, 167.3},     {wait_longer, 5.0, 150.0},
    {wait_longer, -7.0, 143.0},  {alkali_slower, 10.0, 70.0},  {alkali_slower, -3.0, 70.0},
    {warmer, 5.0, 25.0},         {portions_slower, 4.0, 50.0}, {oxidised, 1.0, 110.0},
    {second_dye_bent, 1.0, 0.0}, {rope_slower, 0.1, 0.0},      {begun_earlier, 1.0, 0.0},
    {more_dye, 0.1, 0.0},        {load_more, 0.1, 0.0},        {held_more, 0.2, 0.0},
    {zone_other, 0.1, 0.0},      {exchange_faster, 0.5, 0.0},  {flow_more, 100.0, 0.0},
    {slices_fewer, 1.0, 0.0},    {steps_fewer, 2.0, 0.0},      {modes_fewer, 1.0, 0.0},
    {samples_rarer, 1.0, 0.0},   {first_dye_bent, 0.5, 0.0},   {fewer_portions, 1.0, 50.0},
    {later_dose, 2.0, 50.0},     {other_dye, 0.0, 0.0},        {dose_less, 1.0, 0.0},
    {saltier, 0.1, 70.0},        {more_alkaline, 0.3, 70.0},   {fuller, 50.0, 70.0}};

static void goes_on_from_what_is_shared(void **state)
{
    (void)state;
    static const double ZONES[] = {0.02, 0.7, 1.0};
    static const double MARKS_APART_MIN = 6.0,
                        AHEAD_MIN = 0.5; /* D: 169 samples in 31; two blocks */
    for (size_t z = 0; z < N_OF(ZONES); z++) {
        for (size_t i = 0; i < N_OF(CHANGES); i++) {
            const change *c = &CHANGES[i];
            fill(&base, ZONES[z]);
            mdr_rope_trails *t = trails_for(7, 400);
            assert_true(both(&base, t) == 0.0); /* nothing to go on from */
            lot l = base;
            c->make(&l, c->by);
            const double spared_min = both(&l, t), most_min = c->from_min - 3.0;
            if (c->from_min == 0.0) {
                assert_true(spared_min == 0.0);
                continue;
            }
            assert_true(spared_min <= most_min);
            assert_true(spared_min >= most_min - MARKS_APART_MIN - AHEAD_MIN);
        }
    }
}

/* One after the other, each from what is left of those before: nothing gets mixed up. */
static void many_in_a_row(void **state)
{
    (void)state;
    unsigned long dice = 20260101; /* D: any; reproducible */
    fill(&base, 0.3);
    mdr_rope_trails *t = trails_for(7, 150); /* behind that no marks */
    lot at = base;
    int spared = 0;
    for (int i = 0; i < 60; i++) {
        lot l = at;
        dice = dice * 6364136223846793005UL + 1442695040888963407UL;
        const change *c = &CHANGES[(dice >> 33) % IN_A_ROW];
        c->make(&l, (dice >> 40) % 2 == 0 ? c->by : -0.25 * c->by);
        const bool sound = l.course[7].t_min > l.course[6].t_min + 1.0 &&
                           l.course[4].t_min > l.course[3].t_min + 1.0 &&
                           l.course[0].t_min >= 0.0 && l.doses[1].exponent > 0.3 &&
                           l.course[7].t_min > 120.0 && l.course[7].temp_c < 95.0 &&
                           l.course[2].temp_c > 5.0 && l.course[6].t_min > l.course[5].t_min + 1.0;
        if (!sound) {
            continue;
        }
        spared += both(&l, t) > 0.0;
        at = (dice >> 45) % 3 == 0 ? l : at;
    }
    assert_true(spared > 20);
}

static void without_room_from_the_beginning(void **state)
{
    (void)state;
    fill(&base, 0.1);
    mdr_rope_trails *t = trails_for(6, 400);
    assert_true(both(&base, t) == 0.0 && both(&base, t) == 0.0);
    const double uptake[7] = {1, 1.1, 1, 0.9, 1, 1, 1};
    base.in.rope.slice_uptake = uptake;
    t = trails_for(7, 400);
    assert_true(both(&base, t) == 0.0 && both(&base, t) == 0.0);
}

/* Cut short exactly where the whole one first strikes faster; the numbers until then are the same. */
static void cut_where_it_strikes_too_fast(void **state)
{
    (void)state;
    static const double OF_MOST[] = {0.05, 0.4, 0.8, 0.999, 1.0, 3.0};
    fill(&base, 0.1);
    const mdr_dyeing *whole = run(&base, NULL, 0.0);
    double most = 0.0;
    for (int i = 0; i < whole->n_samples * DYES; i++) {
        most = fmax(most, whole->strike_per_contact_pct[i]);
    }
    mdr_rope_trails *t = trails_for(7, 400);
    for (size_t k = 0; k < N_OF(OF_MOST); k++) {
        const double limit = OF_MOST[k] * most;
        int until = 0;
        while (until < whole->n_samples &&
               fmax(whole->strike_per_contact_pct[until * DYES],
                    whole->strike_per_contact_pct[until * DYES + 1]) <= limit) {
            until++;
        }
        const mdr_dyeing *cut = run(&base, NULL, limit);
        same_dyeing(cut, run(&base, t, limit)); /* also from a trail that was cut short */
        assert_int_equal(cut->cut_short, OF_MOST[k] < 1.0);
        assert_int_equal(cut->n_samples, cut->cut_short ? until + 1 : whole->n_samples);
        const size_t all = (size_t)cut->n_samples * DYES * sizeof(double);
        same(cut->on_fibre, whole->on_fibre, all);
        same(cut->strike_per_contact_pct, whole->strike_per_contact_pct, all);
        assert_true(!cut->cut_short || cut->steps < whole->steps);
    }
    same_dyeing(whole, run(&base, t, 0.0));
    assert_true(mdr_rope_spared_min(t) > 100.0);
}

static void refused(void **state)
{
    (void)state;
    mdr_rope_room room = {7, 1, 2, 3, 4, 1, 0};
    mdr_rope_trails *t = NULL;
    mdr_err err = {0};
    assert_int_equal(mdr_rope_trails_make(&room, arena, &t, &err), MDR_E_ARG);
    assert_string_equal(err.place, "room");
    room.samples = 10;
    mdr_arena *scant = mdr_arena_new(4096);
    assert_int_equal(mdr_rope_trails_make(&room, scant, &t, &err), MDR_E_NOMEM);
    assert_null(t);
    mdr_arena_free(scant);
    const mdr_dyeing *d = NULL;
    base.in.strike_most_pct = (double)NAN;
    assert_int_equal(mdr_dyeing_run(&base.in, arena, &d, &err), MDR_E_RANGE);
    assert_string_equal(err.place, "strike_most_pct");
}

static int setup(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)512 << 20);
    return 0;
}

static int teardown(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(goes_on_from_what_is_shared, setup, teardown),
        cmocka_unit_test_setup_teardown(many_in_a_row, setup, teardown),
        cmocka_unit_test_setup_teardown(without_room_from_the_beginning, setup, teardown),
        cmocka_unit_test_setup_teardown(cut_where_it_strikes_too_fast, setup, teardown),
        cmocka_unit_test_setup_teardown(refused, setup, teardown)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
