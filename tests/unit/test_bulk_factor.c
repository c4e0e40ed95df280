#include "t.h"

#include <string.h>

#include "core/quality/mdr_bulk_factor.h"
#include "dye_kit.h"

static mdr_arena *arena;

static int open_arena(void **state)
{
    (void)state;
    arena = mdr_arena_new((size_t)256 << 20);
    return arena == NULL;
}

static int close_arena(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

static mdr_bulk learn(const mdr_bulk_lot *lots, int n, const mdr_bulk_prior *prior)
{
    mdr_bulk b;
    mdr_err err = {0};
    if (mdr_bulk_of(lots, n, prior, arena, &b, &err) != MDR_OK) {
        fail_msg("%s at %s (%s)", err.msg, err.place, err.value);
    }
    return b;
}

/* A mill of the same shape as the method assumes. */
typedef struct mill {
    mdr_bulk_lot lots[2000];
    int n;
    double theta[8][40]; /* true ln factor by machine and shade */
} mill;

static void shuffle(mill *m, uint64_t *seed)
{
    for (int i = m->n - 1; i > 0; i--) {
        const int k = (int)(kit_uniform(seed) * (i + 1));
        const mdr_bulk_lot keep = m->lots[i];
        m->lots[i] = m->lots[k];
        m->lots[k] = keep;
    }
}

static void draw_mill(mill *m, int machines, int shades, const mdr_bulk_prior *spread,
                      uint64_t *seed)
{
    m->n = 0;
    const double mu = spread->mill * kit_normal(seed);
    for (int j = 0; j < machines; j++) {
        const double machine = mu + spread->machine * kit_normal(seed);
        for (int s = 0; s < shades; s++) {
            m->theta[j][s] = machine + spread->cell * kit_normal(seed);
            const int lots = (int)(5 * kit_uniform(seed)); /* none to four */
            for (int i = 0; i < lots; i++) {
                const double planned = 0.1 + 3 * kit_uniform(seed);
                m->lots[m->n++] = (mdr_bulk_lot){
                    s, j, planned, planned * exp(m->theta[j][s] + spread->lot * kit_normal(seed))};
            }
        }
    }
    shuffle(m, seed);
}

/* -- the same answer from the joint distribution -- */

enum { UNKNOWNS = 60 };

/* Inverse by elimination; positive definite, so no pivots. */
static void invert(double a[UNKNOWNS][UNKNOWNS], double inv[UNKNOWNS][UNKNOWNS], int n)
{
    memset(inv, 0, sizeof(double) * UNKNOWNS * UNKNOWNS);
    for (int i = 0; i < n; i++) {
        inv[i][i] = 1;
    }
    for (int c = 0; c < n; c++) {
        const double pivot = a[c][c];
        for (int k = 0; k < n; k++) {
            a[c][k] /= pivot;
            inv[c][k] /= pivot;
        }
        for (int r = 0; r < n; r++) {
            const double times = r == c ? 0 : a[r][c];
            for (int k = 0; k < n; k++) {
                a[r][k] -= times * a[c][k];
                inv[r][k] -= times * inv[c][k];
            }
        }
    }
}

static void couple(double a[UNKNOWNS][UNKNOWNS], int i, int k, double precision)
{
    a[i][i] += precision;
    a[k][k] += precision;
    a[i][k] -= precision;
    a[k][i] -= precision;
}

static int machine_at(const mdr_bulk *b, int machine)
{
    int j = 0;
    while (b->machines[j].machine != machine) {
        j++;
    }
    return j;
}

static void check_known(const mdr_bulk_known *k, double mean, double variance)
{
    const char *src = "D: joint normal distribution of mill, machines and cells";
    CHECK_NEAR(log(k->factor), mean, 1e-9, src);
    CHECK_NEAR(log(k->high / k->low) / 2 / 1.959964, sqrt(variance), 1e-9, src);
}

/* Unknown 0 is the mill, then machines, then cells; every lot is a row. */
static void joint_answer(const mill *m, const mdr_bulk *b, const mdr_bulk_prior *prior)
{
    static double a[UNKNOWNS][UNKNOWNS], inv[UNKNOWNS][UNKNOWNS];
    double rhs[UNKNOWNS] = {0}, x[UNKNOWNS] = {0};
    const int n = 1 + b->n_machines + b->n_cells;
    assert_true(n <= UNKNOWNS);
    memset(a, 0, sizeof a);
    a[0][0] = prior->mill > 0 ? 1 / (prior->mill * prior->mill) : 0;
    for (int j = 0; j < b->n_machines; j++) {
        couple(a, 0, 1 + j, 1 / (b->machine_spread * b->machine_spread));
    }
    for (int c = 0; c < b->n_cells; c++) {
        couple(a, 1 + machine_at(b, b->cells[c].machine), 1 + b->n_machines + c,
               1 / (b->cell_spread * b->cell_spread));
        for (int i = 0; i < m->n; i++) {
            const mdr_bulk_lot *l = &m->lots[i];
            if (l->shade == b->cells[c].shade && l->machine == b->cells[c].machine &&
                !b->left_out[i]) {
                const double precision = 1 / (b->lot_spread * b->lot_spread);
                const int u = 1 + b->n_machines + c;
                a[u][u] += precision;
                rhs[u] += precision * log(l->found_pct / l->planned_pct);
            }
        }
    }
    invert(a, inv, n);
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < n; k++) {
            x[i] += inv[i][k] * rhs[k];
        }
    }
    const double cell2 = b->cell_spread * b->cell_spread,
                 machine2 = b->machine_spread * b->machine_spread;
    check_known(&b->mill, x[0], inv[0][0]);
    check_known(&b->next, x[0], inv[0][0] + cell2 + machine2);
    for (int j = 0; j < b->n_machines; j++) {
        check_known(&b->machines[j].known, x[1 + j], inv[1 + j][1 + j]);
        check_known(&b->machines[j].next, x[1 + j], inv[1 + j][1 + j] + cell2);
    }
    for (int c = 0; c < b->n_cells; c++) {
        const int u = 1 + b->n_machines + c;
        check_known(&b->cells[c].known, x[u], inv[u][u]);
    }
}

static mill drawn;

static void as_the_joint_distribution(void **state)
{
    (void)state;
    uint64_t seed = 5;
    for (int round = 0; round < 30; round++) {
        mdr_bulk_prior prior = mdr_bulk_usual();
        const mdr_bulk_prior truth = {0.04 + 0.02 * (round % 3), 0.08, 0.06, 0.1};
        prior.mill = round % 2 == 0 ? 0 : prior.mill;
        draw_mill(&drawn, 1 + round % 4, 3 + round % 9, &truth, &seed);
        if (drawn.n > 0) {
            const mdr_bulk b = learn(drawn.lots, drawn.n, &prior);
            joint_answer(&drawn, &b, &prior);
        }
    }
}

/* Many mills: spreads are found, the ranges hold what they promise, and drawn factors are nearer to
 * the truth than the lots' own. */
static void ranges_hold(void **state)
{
    (void)state;
    uint64_t seed = 9;
    const mdr_bulk_prior truth = {0.06, 0.08, 0.07, 0.12}, prior = mdr_bulk_usual();
    int cells = 0, held = 0, unseen = 0, held_unseen = 0;
    double drawn_off = 0, own_off = 0, lot = 0, cell = 0;
    enum { MILLS = 150 };
    for (int round = 0; round < MILLS; round++) {
        draw_mill(&drawn, 6, 30, &truth, &seed);
        const mdr_arena_mark here = mdr_arena_here(arena);
        const mdr_bulk b = learn(drawn.lots, drawn.n, &prior);
        double sum[6][30] = {{0}};
        for (int i = 0; i < drawn.n; i++) {
            const mdr_bulk_lot *l = &drawn.lots[i];
            sum[l->machine][l->shade] += log(l->found_pct / l->planned_pct);
        }
        for (int j = 0; j < 6; j++) {
            for (int s = 0; s < 30; s++) {
                const mdr_bulk_known k = mdr_bulk_at(&b, s, j);
                const double t = drawn.theta[j][s];
                const bool in = log(k.low) <= t && t <= log(k.high);
                if (k.level == MDR_BULK_CELL) {
                    const double own = sum[j][s] / k.lots;
                    cells++;
                    held += in;
                    drawn_off += (log(k.factor) - t) * (log(k.factor) - t);
                    own_off += (own - t) * (own - t);
                } else {
                    assert_int_equal(k.level, MDR_BULK_MACHINE);
                    unseen++;
                    held_unseen += in;
                }
            }
        }
        lot += b.lot_spread * b.lot_spread / MILLS;
        cell += b.cell_spread * b.cell_spread / MILLS;
        mdr_arena_back(arena, here);
    }
    CHECK_NEAR((double)held / cells, 0.95, 0.01, "D: 95 % of the true factors of cells");
    CHECK_NEAR((double)held_unseen / unseen, 0.95, 0.015, "D: of shades not dyed there yet");
    CHECK_NEAR(sqrt(lot), 0.06, 0.002, "D: as drawn");
    CHECK_NEAR(sqrt(cell), 0.08, 0.003, "D: as drawn");
    assert_true(drawn_off < 0.85 * own_off);
}

/* One lot is next to nothing, forty are nearly everything. */
static void few_and_many(void **state)
{
    (void)state;
    const mdr_bulk_prior usual = mdr_bulk_usual();
    mdr_bulk_lot lots[41];
    for (int i = 0; i < 41; i++) {
        lots[i] = (mdr_bulk_lot){i < 40 ? 1 : 2, 0, 2, i < 40 ? (i % 2 == 0 ? 2.3 : 2.2) : 1.8};
    }
    const mdr_bulk one = learn(lots, 1, &usual);
    /* by hand: variances lot and cell 0.0025 each, machine 0.0025, mill 0.0225: of the 0.03 that ln 1.15
     * is made of, all but the lot's is the cell's */
    const double y = log(1.15);
    CHECK_NEAR(log(one.cells[0].known.factor), y * 0.0275 / 0.03, 1e-12, "D: one lot");
    CHECK_NEAR(log(one.mill.factor), y * 0.0225 / 0.03, 1e-12, "D: one lot");
    CHECK_NEAR(one.cells[0].known.own_weight, 0.5, 1e-12, "D: cell against lot");
    CHECK_NEAR(one.mill.own_weight, 0.75, 1e-12, "D");
    assert_true(one.lot_df == 0 && one.cell_df == 0 && one.machine_df == 0);
    CHECK_NEAR(one.lot_spread, 0.05, 1e-12, "contract: as given beforehand");
    const mdr_bulk many = learn(lots, 41, &usual);
    const mdr_bulk_known big = mdr_bulk_at(&many, 1, 0), small = mdr_bulk_at(&many, 2, 0);
    assert_true(big.own_weight > 0.95 && big.lots == 40);
    CHECK_NEAR(log(big.factor), 0.5 * (log(1.15) + log(1.1)), 0.002, "D: its own mean");
    assert_true(small.factor > 0.9 && small.factor < big.factor); /* drawn upwards */
    assert_true(small.high / small.low > 2 * big.high / big.low - 1);
    assert_int_equal(many.lot_df, 39);
    const mdr_bulk_known none = mdr_bulk_at(&many, 3, 0), other = mdr_bulk_at(&many, 1, 7);
    assert_true(none.level == MDR_BULK_MACHINE && none.lots == 41);
    assert_true(other.level == MDR_BULK_MILL && other.lots == 41);
    assert_true(other.high / other.low > none.high / none.low);
}

/* Swapping what was planned and found turns every factor round; the order of lots is none. */
static void turned_round(void **state)
{
    (void)state;
    uint64_t seed = 21;
    const mdr_bulk_prior usual = mdr_bulk_usual();
    draw_mill(&drawn, 3, 12, &usual, &seed);
    static mill turned;
    turned.n = drawn.n;
    for (int i = 0; i < drawn.n; i++) {
        const mdr_bulk_lot *l = &drawn.lots[drawn.n - 1 - i];
        turned.lots[i] = (mdr_bulk_lot){l->shade, l->machine, l->found_pct, l->planned_pct};
    }
    shuffle(&turned, &seed);
    const mdr_bulk a = learn(drawn.lots, drawn.n, &usual), b = learn(turned.lots, turned.n, &usual);
    assert_int_equal(a.n_cells, b.n_cells);
    for (int c = 0; c < a.n_cells; c++) {
        assert_int_equal(a.cells[c].shade, b.cells[c].shade);
        CHECK_NEAR(a.cells[c].known.factor * b.cells[c].known.factor, 1, 1e-12, "D");
        CHECK_NEAR(a.cells[c].known.low * b.cells[c].known.high, 1, 1e-12, "D");
    }
}

static void odd_lots(void **state)
{
    (void)state;
    const mdr_bulk_prior usual = mdr_bulk_usual();
    mdr_bulk_lot lots[12];
    for (int i = 0; i < 12; i++) {
        lots[i] = (mdr_bulk_lot){i < 6 ? 1 : 2, 0, 1, 1.05 + 0.01 * (i % 3)};
    }
    mdr_bulk b = learn(lots, 12, &usual);
    assert_int_equal(b.n_left_out, 0);
    lots[4].found_pct = 1.8; /* wrong dye weighed */
    b = learn(lots, 12, &usual);
    assert_int_equal(b.n_left_out, 1);
    assert_true(b.left_out[4]);
    assert_int_equal(b.cells[0].known.lots, 5);
    assert_int_equal(b.mill.lots, 11);
    assert_int_equal(b.lot_df, 9);
    const double cell2 = b.cell_spread * b.cell_spread, lot2 = b.lot_spread * b.lot_spread;
    CHECK_NEAR(b.cells[0].known.own_weight, cell2 / (cell2 + lot2 / 5), 1e-12, "D: of five lots");
    assert_true(b.cells[0].known.factor < 1.08);
    /* near enough to be no other thing, however alike the rest is */
    lots[4].found_pct = 1.13;
    assert_int_equal(learn(lots, 12, &usual).n_left_out, 0);
    /* two of six are no odd lots but another way of dyeing */
    lots[4].found_pct = lots[1].found_pct = 1.8;
    assert_int_equal(learn(lots, 12, &usual).n_left_out, 0);
    /* small cells are held against their machine, from a quarter on: six shades of one lot */
    mdr_bulk_lot small[7];
    for (int i = 0; i < 7; i++) {
        small[i] = (mdr_bulk_lot){i, 3, 1, 1.0 + 0.002 * i};
    }
    small[6].machine = 5; /* another machine */
    assert_int_equal(learn(small, 6, &usual).n_left_out, 0);
    small[2].found_pct = 1.24;
    assert_int_equal(learn(small, 6, &usual).n_left_out, 0); /* less than a quarter */
    small[2].found_pct = 2.5;
    b = learn(small, 6, &usual);
    assert_true(b.n_left_out == 1 && b.left_out[2]);
    assert_int_equal(b.n_cells, 5); /* the shade has no other lot: it goes by its machine */
    assert_int_equal(mdr_bulk_at(&b, 2, 3).level, MDR_BULK_MACHINE);
    assert_true(b.mill.factor < 1.1);
    assert_int_equal(learn(small, 4, &usual).n_left_out, 0);
    small[4].machine = small[5].machine = 4; /* another machine's lots are no help */
    assert_int_equal(learn(small, 7, &usual).n_left_out, 0);
    /* four lots cannot tell which is odd */
    lots[4].found_pct = 1.05;
    assert_int_equal(learn(lots, 4, &usual).n_left_out, 0);
}

/* Of lots that scatter normally hardly one is called odd. */
static void odd_by_chance(void **state)
{
    (void)state;
    uint64_t seed = 33;
    const mdr_bulk_prior usual = mdr_bulk_usual();
    static mdr_bulk_lot lots[600];
    int out = 0, all = 0;
    for (int round = 0; round < 60; round++) {
        const int in_cell = 5 + round % 4;
        for (int i = 0; i < 600; i++) {
            lots[i] = (mdr_bulk_lot){i / in_cell, 0, 1, exp(0.06 * kit_normal(&seed))};
        }
        const mdr_arena_mark here = mdr_arena_here(arena);
        out += learn(lots, 600, &usual).n_left_out;
        all += 600;
        mdr_arena_back(arena, here);
    }
    assert_true(out < all / 200);
}

static void uses(void **state)
{
    (void)state;
    const mdr_bulk_known sure = {1.1, 1.05, 1.15, 0.8, 9, MDR_BULK_CELL},
                         maybe = {1.03, 0.97, 1.09, 0.4, 1, MDR_BULK_MACHINE},
                         wild = {1.5, 1.4, 1.6, 0.9, 30, MDR_BULK_CELL},
                         pale = {0.69, 0.6, 0.8, 0.9, 30, MDR_BULK_CELL};
    mdr_bulk_use u = mdr_bulk_use_of(&sure, false, false);
    assert_true(u.verdict == MDR_BULK_NOT_ASKED);
    CHECK_NEAR(u.multiply, 1, 0, "contract: never silently");
    u = mdr_bulk_use_of(&sure, true, false);
    assert_true(u.verdict == MDR_BULK_APPLIED);
    CHECK_NEAR(u.multiply, 1.1, 0, "contract");
    const char *said = mdr_bulk_say(&sure, &u, arena);
    assert_string_equal(said,
                        "1.100 (1.050 to 1.150), 9 lots of this shade on this machine weighing "
                        "80 %; applied");
    u = mdr_bulk_use_of(&maybe, true, false);
    assert_true(u.verdict == MDR_BULK_UNPROVEN);
    CHECK_NEAR(u.multiply, 1, 0, "contract");
    said = mdr_bulk_say(&maybe, &u, arena);
    assert_non_null(strstr(said, "1 lot of other shades on this machine"));
    assert_non_null(strstr(said, "not applied"));
    CHECK_NEAR(mdr_bulk_use_of(&maybe, true, true).multiply, 1.03, 0, "contract");
    for (int asked = 0; asked < 2; asked++) {
        u = mdr_bulk_use_of(&wild, asked != 0, true);
        assert_true(u.verdict == MDR_BULK_BEYOND);
        CHECK_NEAR(u.multiply, 1, 0, "contract");
        assert_true(mdr_bulk_use_of(&pale, asked != 0, true).verdict == MDR_BULK_BEYOND);
    }
}

#define REFUSED(call, code_, place_)             \
    do {                                         \
        mdr_err e_ = {0};                        \
        mdr_err *err = &e_;                      \
        assert_int_equal((call), (code_));       \
        assert_string_equal(e_.place, (place_)); \
    } while (0)

static void refusals(void **state)
{
    (void)state;
    mdr_bulk b = {.n_cells = -7};
    const mdr_bulk_prior usual = mdr_bulk_usual(), stiff = {0.05, 0, 0.05, 0},
                         loose = {0.05, 0.05, 0.05, 3}, lost = {(double)NAN, 0.05, 0.05, 0},
                         slow = {0.05, 0.05, 0.0001, 0};
    static const struct {
        mdr_bulk_lot lot;
        const char *place;
    } rows[] = {
        {{-1, 0, 1, 1}, "lots[1].shade"},        {{0, 1000001, 1, 1}, "lots[1].machine"},
        {{0, 0, 0, 1}, "lots[1].planned_pct"},   {{0, 0, (double)NAN, 1}, "lots[1].planned_pct"},
        {{0, 0, 21, 20}, "lots[1].planned_pct"}, {{0, 0, 1, -1}, "lots[1].found_pct"},
        {{0, 0, 1, 5.1}, "lots[1].found_pct"},   {{0, 0, 5.1, 1}, "lots[1].found_pct"}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        const mdr_bulk_lot lots[2] = {{0, 0, 1, 1}, rows[i].lot};
        REFUSED(mdr_bulk_of(lots, 2, &usual, arena, &b, err), MDR_E_RANGE, rows[i].place);
        assert_true(mdr_bulk_can(&lots[0]) && !mdr_bulk_can(&lots[1]));
    }
    const mdr_bulk_lot one = {0, 0, 1, 1.1};
    REFUSED(mdr_bulk_of(&one, 0, &usual, arena, &b, err), MDR_E_ARG, "n");
    REFUSED(mdr_bulk_of(&one, 20001, &usual, arena, &b, err), MDR_E_ARG, "n");
    REFUSED(mdr_bulk_of(&one, 1, &stiff, arena, &b, err), MDR_E_RANGE, "prior.cell");
    REFUSED(mdr_bulk_of(&one, 1, &loose, arena, &b, err), MDR_E_RANGE, "prior.mill");
    REFUSED(mdr_bulk_of(&one, 1, &lost, arena, &b, err), MDR_E_RANGE, "prior.lot");
    REFUSED(mdr_bulk_of(&one, 1, &slow, arena, &b, err), MDR_E_RANGE, "prior.machine");
    for (size_t bytes = 16; bytes < 600; bytes += 16) { /* wherever memory ends */
        mdr_arena *small = mdr_arena_new(bytes);
        mdr_err err = {0};
        const mdr_code rc = mdr_bulk_of(&one, 1, &usual, small, &b, &err);
        assert_true(rc == MDR_E_NOMEM || (rc == MDR_OK && bytes > 256));
        b.n_cells = rc == MDR_OK ? -7 : b.n_cells;
        mdr_arena_free(small);
    }
    assert_int_equal(b.n_cells, -7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_the_joint_distribution),
        cmocka_unit_test(ranges_hold),
        cmocka_unit_test(few_and_many),
        cmocka_unit_test(turned_round),
        cmocka_unit_test(odd_lots),
        cmocka_unit_test(odd_by_chance),
        cmocka_unit_test(uses),
        cmocka_unit_test(refusals),
    };
    return cmocka_run_group_tests(tests, open_arena, close_arena);
}
