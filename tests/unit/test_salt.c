#include "t.h"

#include "core/bath/mdr_salt.h"
#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

enum { BANDS = 7, BOTH = 2 };
#define OPEN 100.0 /* the upper end of a band that only says "and all above" */

/* Published tables as they stand: a range printed for an amount gives its two ends. */
/* The tests keep depths and amounts in arrays of their own. */
static double of_depth(const double *max, const double *amount, int n, double depth, bool linear,
                       bool less)
{
    mdr_dose_band bands[16];
    assert_true(n > 0 && n <= 16);
    for (int i = 0; i < n; i++) {
        bands[i] = (mdr_dose_band){max[i], amount[i]};
    }
    return mdr_salt_of_depth(bands, n, depth, linear, less);
}

static const struct table {
    int n;
    double max[BANDS], low[BANDS], high[BANDS];
    const char *src;
} TABLES[] = {
    {6,
     {0.3, 0.5, 1, 2, 3, OPEN},
     {10, 20, 30, 40, 50, 60},
     {10, 20, 30, 40, 50, 60},
     "S: salt-soda-pages, class A, salt"},
    {6,
     {0.3, 0.5, 1, 2, 3, OPEN},
     {5, 5, 7.5, 10, 5, 5},
     {5, 5, 7.5, 10, 5, 5},
     "S: salt-soda-pages, class A, soda"},
    {6,
     {0.3, 0.5, 1, 2, 3, OPEN},
     {0, 0, 0, 0, 0.3, 0.5},
     {0, 0, 0, 0, 0.3, 0.5},
     "S: salt-soda-pages, class A, NaOH 50 %"},
    {6,
     {0.2, 1, 2, 3, 5, OPEN},
     {10, 20, 30, 40, 50, 80},
     {10, 20, 30, 40, 60, 80},
     "S: salt-soda-pages, class B, salt"},
    {6,
     {0.2, 1, 2, 3, 5, OPEN},
     {2, 5, 8, 10, 10, 12},
     {2, 5, 8, 10, 10, 12},
     "S: salt-soda-pages, class B, soda"},
    /* the sixth amount is not printed, and the five may stand one column off: their order is what
     * is read here, not their place */
    {5,
     {0.2, 1, 2, 3, 5},
     {0.3, 0.7, 0.9, 1.2, 1.4},
     {0.3, 0.7, 0.9, 1.2, 1.4},
     "S: salt-soda-pages, class B, caustic only, alignment uncertain"},
    {7,
     {0.1, 0.5, 1, 2, 3, 4, OPEN},
     {10, 20, 30, 50, 60, 70, 80},
     {10, 20, 40, 50, 60, 70, 100},
     "P: composite table, salt"},
    {7,
     {0.1, 0.5, 1, 2, 3, 4, OPEN},
     {3, 5, 8, 10, 15, 18, 20},
     {5, 8, 10, 15, 15, 20, 20},
     "P: composite table, soda"},
};

static const double *amounts(const struct table *t, int which)
{
    return which == 0 ? t->low : t->high;
}

static double lower_end(const struct table *t, int band)
{
    return band == 0 ? 0.0 : t->max[band - 1];
}

static void tables_as_they_stand(void **state)
{
    (void)state;
    for (size_t k = 0; k < N_OF(TABLES); k++) {
        const struct table *t = &TABLES[k];
        for (int which = 0; which < BOTH; which++) {
            const double *a = amounts(t, which);
            for (int b = 0; b < t->n; b++) {
                const double low = lower_end(t, b), top = t->max[b];
                const double at[] = {low + 1e-6, 0.5 * (low + top), top};
                for (size_t i = 0; i < N_OF(at); i++) {
                    CHECK_NEAR(of_depth(t->max, a, t->n, at[i], false, false), a[b], 0, t->src);
                    CHECK_NEAR(of_depth(t->max, a, t->n, at[i], false, true), a[b > 0 ? b - 1 : 0],
                               0, "contract: the band before it");
                }
            }
            CHECK_NEAR(of_depth(t->max, a, t->n, 0, false, false), a[0], 0,
                       "contract: depth 0 is in the first band");
        }
    }
    CHECK_NEAR(of_depth(TABLES[0].max, TABLES[0].low, 6, 0.1 + 0.2, false, false), 10, 0,
               "D: 0.1 + 0.2 is a hair above 0.3, and still its band");
}

static const struct {
    double depth, salt, salt_less, soda;
} LINEAR[] = {
    {0.15, 10, 10, 5},                          /* the middle of the first band */
    {0.05, 10, 10, 5},                          /* constant below it */
    {0, 10, 10, 5},      {0.275, 15, 10, 5},    /* half way from 0.15 to 0.4 */
    {0.4, 20, 10, 5},    {0.575, 25, 15, 6.25}, /* half way from 0.4 to 0.75 */
    {0.75, 30, 20, 7.5}, {1.5, 40, 30, 10},
    {1.8, 43, 33, 8.5}, /* 3/10 of the way from 1.5 to 2.5, soda falling */
    {2.5, 50, 40, 5},    {2.75, 55, 45, 5},
    {3, 60, 50, 5},      /* the last band at its lower end */
    {3.0001, 60, 50, 5}, /* and constant above */
    {OPEN, 60, 50, 5},
};

static void linear_by_hand(void **state)
{
    (void)state;
    const char *src = "D: by hand, class A; amounts at 0.15, 0.4, 0.75, 1.5, 2.5 and 3 %";
    for (size_t i = 0; i < N_OF(LINEAR); i++) {
        const double d = LINEAR[i].depth;
        CHECK_NEAR(of_depth(TABLES[0].max, TABLES[0].low, 6, d, true, false), LINEAR[i].salt, 1e-12,
                   src);
        CHECK_NEAR(of_depth(TABLES[0].max, TABLES[0].low, 6, d, true, true), LINEAR[i].salt_less,
                   1e-12, src);
        CHECK_NEAR(of_depth(TABLES[1].max, TABLES[1].low, 6, d, true, false), LINEAR[i].soda, 1e-12,
                   src);
    }
}

/* No leap anywhere, and never beyond the two amounts it stands between. */
static void linear_is_continuous_and_between(void **state)
{
    (void)state;
    enum { STEPS = 80000 };
    const double to = 8.0, h = to / STEPS;
    for (size_t k = 0; k < N_OF(TABLES); k++) {
        const struct table *t = &TABLES[k];
        const double top = fmin(to, t->max[t->n - 1]);
        for (int mode = 0; mode < 4; mode++) {
            const double *a = amounts(t, mode % 2);
            const bool less = mode >= 2;
            double before = of_depth(t->max, a, t->n, 0, true, less);
            for (int i = 1; i <= STEPS && i * h <= top; i++) {
                const double depth = i * h;
                const double now = of_depth(t->max, a, t->n, depth, true, less);
                /* steepest printed: 10 g/L in 0.25 %, 40 in 0.5 */
                assert_true(fabs(now - before) <= 81 * h);
                before = now;

                int band = 0;
                while (depth > t->max[band]) {
                    band++;
                }
                /* one band to either side holds the two neighbours whichever they are */
                double low = 1e9, high = -1e9;
                for (int b = band - 1; b <= band + 1; b++) {
                    const int c = (b < 0 ? 0 : b >= t->n ? t->n - 1 : b) - less;
                    low = fmin(low, a[c < 0 ? 0 : c]);
                    high = fmax(high, a[c < 0 ? 0 : c]);
                }
                assert_true(now >= low - 1e-13 && now <= high + 1e-13);
            }
        }
    }
}

static void single_band_and_two(void **state)
{
    (void)state;
    const double one_max[] = {5}, one[] = {33}, two_max[] = {1, OPEN}, two[] = {10, 20};
    for (int mode = 0; mode < 4; mode++) {
        for (double d = 0; d <= 5; d += 0.25) {
            CHECK_NEAR(of_depth(one_max, one, 1, d, mode % 2 == 1, mode >= 2), 33, 0,
                       "contract: one band is constant");
        }
    }
    CHECK_NEAR(of_depth(two_max, two, 2, 0.75, true, false), 15, 1e-14,
               "D: half way from 0.5 to 1");
    CHECK_NEAR(of_depth(two_max, two, 2, 1, true, false), 20, 0, "D: last, lower end");
    CHECK_NEAR(of_depth(two_max, two, 2, 50, true, true), 10, 0, "D: one band less");
}

static const struct {
    int from, to, swap;
    double factor, tol;
    const char *src;
} SWAPS[] = {
    {MDR_SUB_NACL, MDR_SUB_NA2SO4, MDR_SWAP_MASS, 1, 0, "P: one for one by mass"},
    {MDR_SUB_NA2SO4, MDR_SUB_NACL, MDR_SWAP_MASS, 1, 0, "P: one for one by mass"},
    {MDR_SUB_NACL, MDR_SUB_NA2SO4, MDR_SWAP_SODIUM, 1.2152, 5e-5, "D: 142.04/2/58.443"},
    {MDR_SUB_NA2SO4, MDR_SUB_NACL, MDR_SWAP_SODIUM, 0.82291, 5e-6, "D: 2*58.443/142.04"},
    {MDR_SUB_NACL, MDR_SUB_NA2SO4, MDR_SWAP_IONIC, 0.81013, 5e-6, "D: 142.04/3/58.443"},
    {MDR_SUB_NA2SO4, MDR_SUB_NACL, MDR_SWAP_IONIC, 1.23436, 5e-6, "D: 3*58.443/142.04"},
    {MDR_SUB_NACL, MDR_SUB_NACL, MDR_SWAP_IONIC, 1, 0, "contract: the same"},
    {MDR_SUB_NA2SO4, MDR_SUB_NA2SO4, MDR_SWAP_SODIUM, 1, 0, "contract: the same"},
    {MDR_SUB_NAOH, MDR_SUB_NAOH, MDR_SWAP_MASS, 1, 0, "contract: the same"},
    {MDR_SUB_NACL, MDR_SUB_NA2CO3, MDR_SWAP_SODIUM, 0, 0, "contract: soda is no salt here"},
    {MDR_SUB_NA2CO3, MDR_SUB_NA2SO4, MDR_SWAP_MASS, 0, 0, "contract: nor the other way"},
    {MDR_SUB_OTHER, MDR_SUB_NACL, MDR_SWAP_MASS, 0, 0, "contract: unknown for a salt"},
    {MDR_SUB_NACL, MDR_SUB_OTHER, MDR_SWAP_IONIC, 0, 0, "contract: a salt for unknown"},
    {MDR_SUB_NACL, MDR_SUB_NA2SO4, 99, 0, 0, "contract: no such swap"},
    {MDR_SUB_NACL, 99, MDR_SWAP_SODIUM, 0, 0, "contract: no such substance"},
};

static void swaps(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(SWAPS); i++) {
        CHECK_NEAR(mdr_salt_swap_factor(SWAPS[i].from, SWAPS[i].to, SWAPS[i].swap), SWAPS[i].factor,
                   SWAPS[i].tol, SWAPS[i].src);
    }
    CHECK_NEAR(mdr_salt_swap_factor(MDR_SUB_NACL, MDR_SUB_NA2SO4, MDR_SWAP_SODIUM), 1.215, 5e-4,
               "D: handbook, 1 g NaCl has the sodium of 1.215 g Na2SO4");
    CHECK_NEAR(mdr_strength_decahydrate_factor(), 2.2684, 5e-5, "D: handbook, 322.20/142.04");
    CHECK_NEAR(mdr_strength_decahydrate_factor() *
                   mdr_salt_swap_factor(MDR_SUB_NACL, MDR_SUB_NA2SO4, MDR_SWAP_SODIUM),
               2.7565, 5e-5, "D: 322.20/2/58.443, crystals for common salt");
}

/* What a swap promises to keep is kept: the replaced bath has the same sodium, or the same ionic
 * strength, and there and back is where it began. */
static void swaps_keep_their_promise(void **state)
{
    (void)state;
    static const int S[] = {MDR_SUB_NACL, MDR_SUB_NA2SO4};
    for (int i = 0; i < 2; i++) {
        const int from = S[i], to = S[1 - i];
        const double sodium = mdr_salt_swap_factor(from, to, MDR_SWAP_SODIUM);
        const double ionic = mdr_salt_swap_factor(from, to, MDR_SWAP_IONIC);
        CHECK_NEAR(mdr_salt_sodium_mol_per_l(to, 60 * sodium), mdr_salt_sodium_mol_per_l(from, 60),
                   1e-15, "D: equal sodium");
        CHECK_NEAR(mdr_salt_ionic_mol_per_l(to, 60 * ionic), mdr_salt_ionic_mol_per_l(from, 60),
                   1e-15, "D: equal ionic strength");
        CHECK_NEAR(sodium * mdr_salt_swap_factor(to, from, MDR_SWAP_SODIUM), 1, 1e-15,
                   "D: there and back");
        CHECK_NEAR(ionic * mdr_salt_swap_factor(to, from, MDR_SWAP_IONIC), 1, 1e-15,
                   "D: there and back");
    }
}

static void ions(void **state)
{
    (void)state;
    CHECK_NEAR(mdr_salt_ionic_mol_per_l(MDR_SUB_NACL, 1), 0.0171, 5e-5, "D: handbook");
    CHECK_NEAR(mdr_salt_ionic_mol_per_l(MDR_SUB_NA2SO4, 1), 0.0211, 5e-5, "D: handbook");
    CHECK_NEAR(mdr_salt_ionic_mol_per_l(MDR_SUB_NACL, 50), 0.855534, 5e-7, "D: 50/58.443");
    CHECK_NEAR(mdr_salt_ionic_mol_per_l(MDR_SUB_NA2SO4, 50), 1.056041, 5e-7, "D: 3*50/142.04");
    CHECK_NEAR(mdr_salt_sodium_mol_per_l(MDR_SUB_NACL, 50), 0.855534, 5e-7, "D: 50/58.443");
    CHECK_NEAR(mdr_salt_sodium_mol_per_l(MDR_SUB_NA2SO4, 50), 0.704027, 5e-7, "D: 2*50/142.04");
    CHECK_NEAR(mdr_salt_sodium_mol_per_l(MDR_SUB_NA2CO3, 20), 0.377401, 5e-7, "D: 2*20/105.988");
    CHECK_NEAR(mdr_salt_sodium_mol_per_l(MDR_SUB_HAC, 20), 0, 0, "contract: no sodium");
    CHECK_NEAR(mdr_salt_ionic_mol_per_l(MDR_SUB_NA2CO3, 20), 0, 0, "contract: not reckoned");
    CHECK_NEAR(MDR_SALT_SHORT_RATIO_L_PER_KG, 6, 0, "P: below 6 L/kg one band less");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(tables_as_they_stand),
                                       cmocka_unit_test(linear_by_hand),
                                       cmocka_unit_test(linear_is_continuous_and_between),
                                       cmocka_unit_test(single_band_and_two),
                                       cmocka_unit_test(swaps),
                                       cmocka_unit_test(swaps_keep_their_promise),
                                       cmocka_unit_test(ions)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
