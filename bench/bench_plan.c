/* Times of the planner alone: one lot, and up to a thousand. Processor time, which other work on the
 * machine disturbs least. Prints "NAME VALUE" lines.
 *   usage: bench_plan MILL LOT */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "app/mdr_app_in.h"
#include "bench_kit.h"

enum { REPEATS = 201, ROUNDS = 7, POINTS = 4, ARENA = 64 << 20 };

static double now_us(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec * 1e6 + (double)t.tv_nsec / 1e3;
}

static double part_of(double *values, int n, double part)
{
    qsort(values, (size_t)n, sizeof *values, bench_rising);
    return values[(int)(part * (n - 1))];
}

static void fail(const mdr_err *err)
{
    (void)fprintf(stderr, "bench_plan: %s (%s)\n", err->msg, err->place);
    exit(1);
}

/* The plan of one lot, everything loaded before. */
static void core_plan(mdr_app *app, const char *lot)
{
    static double us[REPEATS];
    mdr_err err = {0};
    mdr_app_desk desk;
    mdr_arena *held = mdr_arena_new(ARENA);
    int figures = 0;
    if (mdr_app_desk_set(app, lot, (mdr_blob){0}, held, NULL, &desk, &err) != MDR_OK) {
        fail(&err);
    }
    for (int i = 0; i < REPEATS; i++) {
        mdr_arena *arena = mdr_arena_new(ARENA);
        const mdr_plan *plan = NULL;
        const double begun = now_us();
        if (mdr_plan_make(&desk.in, arena, &plan, &err) != MDR_OK) {
            fail(&err);
        }
        us[i] = now_us() - begun;
        figures = plan->figs.count;
        mdr_arena_free(arena);
    }
    const double median = part_of(us, REPEATS, 0.5);
    (void)printf("plan_core_us %.1f\n", median);
    (void)printf("plan_core_p90_us %.1f\n", part_of(us, REPEATS, 0.9));
    (void)printf("plan_figures %d\n", figures);
    mdr_arena_free(held);
}

/* Plans as the app makes them: the lot read from the file each time. */
static double plans_ms(mdr_app *app, int lots)
{
    mdr_err err = {0};
    static const char *const IDS[] = {"L26-0101", "L26-0103", "L26-0107", "L26-0110", "L26-0111",
                                      "L26-0112", "L26-0113", "L26-0115", "L26-0119", "L26-0124"};
    const double begun = now_us();
    for (int i = 0; i < lots; i++) {
        mdr_arena *arena = mdr_arena_new(ARENA);
        const mdr_plan *plan = NULL;
        if (mdr_app_plan(app, IDS[i % 10], (mdr_blob){0}, arena, NULL, &plan, &err) != MDR_OK) {
            fail(&err);
        }
        mdr_arena_free(arena);
    }
    return (now_us() - begun) / 1e3;
}

static void growth(mdr_app *app)
{
    static const double LOTS[POINTS] = {1, 10, 100, 1000};
    double ms[POINTS];
    for (int p = 0; p < POINTS; p++) {
        double round_ms[ROUNDS];
        for (int r = 0; r < ROUNDS; r++) {
            round_ms[r] = plans_ms(app, (int)LOTS[p]);
        }
        ms[p] = bench_say("plan_lots", (int)LOTS[p], round_ms, ROUNDS);
    }
    (void)printf("plan_lots_exponent %.2f\n", bench_exponent(LOTS, ms, POINTS));
}

int main(int argc, char **argv)
{
    mdr_err err = {0};
    mdr_app *app = NULL;
    if (argc != 3) {
        (void)fprintf(stderr, "usage: bench_plan MILL LOT\n");
        return 2;
    }
    mdr_arena_keep_memory(); /* as the program does */
    if (mdr_app_open(argv[1], false, &app, &err) != MDR_OK) {
        fail(&err);
    }
    core_plan(app, argv[2]);
    growth(app);
    mdr_app_close(app);
    return 0;
}
