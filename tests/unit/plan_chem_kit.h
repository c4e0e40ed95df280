/* Short words for baths whose chemistry is tested: doses of a substance, the plan of them, what it says. */
#ifndef PLAN_CHEM_KIT_H
#define PLAN_CHEM_KIT_H

#include "plan_kit.h"

/* Molar masses, g/mol: [ciaaw] */
static const double NAOH = 39.997, HAC = 60.052, DITHIONITE = 174.107, H2O2 = 34.0147;
static const double O2 = 31.998, NA2SO4 = 142.042, NAHCO3 = 84.0066, CA = 40.078, MG = 24.305;
static const double CACO3 = 100.0869, MMOL_PER_L_OF_1_DH = 0.17832;

/* Doses keep their items here until the next test. */
static mdr_route_item pool[64];
static int n_pool;

static inline mdr_route_step give(const char *id, mdr_basis basis, double amount)
{
    mdr_route_item *item = &pool[n_pool++ % 64];
    *item = kit_item(id, basis, amount);
    return kit_dose(item, 10);
}

/* g/L of the active substance */
static inline mdr_route_step pure(const char *id, double g_per_l)
{
    const mdr_route_step step = give(id, MDR_BASIS_G_PER_L, g_per_l);
    pool[(n_pool - 1) % 64].of_active = true;
    return step;
}

static inline mdr_route_step acid_to(const char *id, double ph)
{
    const mdr_route_step step = give(id, MDR_BASIS_NEUTRALISE, 1);
    pool[(n_pool - 1) % 64].to_ph = ph;
    return step;
}

static inline mdr_route_step dye(void)
{
    return give("", MDR_BASIS_RECIPE, 1);
}

#define BATH(b, ...)                                           \
    kit_bench_bath((b), (const mdr_route_step[]){__VA_ARGS__}, \
                   (int)(sizeof((const mdr_route_step[]){__VA_ARGS__}) / sizeof(mdr_route_step)))

static inline void run(kit_bench *b)
{
    if (kit_bench_run(b) != MDR_OK) {
        fail_msg("%s (%s)", b->err.msg, b->err.place);
    }
}

static inline double val(const kit_bench *b, mdr_fig_id id)
{
    return kit_bench_value(b, id);
}

/* Whether it is said, and if so once and of this bath (0: of the lot); frees the bench. */
static inline bool says(kit_bench *b, mdr_warn_id id, int bath)
{
    int n = 0;
    run(b);
    for (int i = 0; i < b->plan->n_warns; i++) {
        if (b->plan->warns[i].id == id) {
            assert_int_equal(b->plan->warns[i].at.bath, bath);
            n++;
        }
    }
    kit_bench_free(b);
    if (n > 1) {
        fail_msg("%s is said %d times", mdr_warn_text_id(id), n);
    }
    return n == 1;
}

#define READY(b, dye_class) kit_bench_ready(&(b), 1000, 8, (dye_class))

#endif
