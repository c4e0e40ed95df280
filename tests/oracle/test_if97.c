/* The steam table and the interpolation in it against the formulation itself: enthalpies of
 * boiling water (region 1) and dry saturated steam (region 2) written out here from IAPWS
 * R7-97(2012), tables 2, 10 and 11, and proved by the release's own verification values. */
#include "t.h"

#include "core/units/mdr_steam.h"

typedef struct term {
    int i, j;
    double n;
} term;

static const double R_KJ_PER_KG_K = 0.461526;

static const term REGION_1[] = {
    {0, -2, 0.14632971213167},        {0, -1, -0.84548187169114},
    {0, 0, -0.37563603672040e1},      {0, 1, 0.33855169168385e1},
    {0, 2, -0.95791963387872},        {0, 3, 0.15772038513228},
    {0, 4, -0.16616417199501e-1},     {0, 5, 0.81214629983568e-3},
    {1, -9, 0.28319080123804e-3},     {1, -7, -0.60706301565874e-3},
    {1, -1, -0.18990068218419e-1},    {1, 0, -0.32529748770505e-1},
    {1, 1, -0.21841717175414e-1},     {1, 3, -0.52838357969930e-4},
    {2, -3, -0.47184321073267e-3},    {2, 0, -0.30001780793026e-3},
    {2, 1, 0.47661393906987e-4},      {2, 3, -0.44141845330846e-5},
    {2, 17, -0.72694996297594e-15},   {3, -4, -0.31679644845054e-4},
    {3, 0, -0.28270797985312e-5},     {3, 6, -0.85205128120103e-9},
    {4, -5, -0.22425281908000e-5},    {4, -2, -0.65171222895601e-6},
    {4, 10, -0.14341729937924e-12},   {5, -8, -0.40516996860117e-6},
    {8, -11, -0.12734301741641e-8},   {8, -6, -0.17424871230634e-9},
    {21, -29, -0.68762131295531e-18}, {23, -31, 0.14478307828521e-19},
    {29, -38, 0.26335781662795e-22},  {30, -39, -0.11947622640071e-22},
    {31, -40, 0.18228094581404e-23},  {32, -41, -0.93537087292458e-25},
};

static const term REGION_2_IDEAL[] = {
    {0, 0, -0.96927686500217e1},  {0, 1, 0.10086655968018e2}, {0, -5, -0.56087911283020e-2},
    {0, -4, 0.71452738081455e-1}, {0, -3, -0.40710498223928}, {0, -2, 0.14240819171444e1},
    {0, -1, -0.43839511319450e1}, {0, 2, -0.28408632460772},  {0, 3, 0.21268463753307e-1},
};

static const term REGION_2_RESIDUAL[] = {
    {1, 0, -0.17731742473213e-2},   {1, 1, -0.17834862292358e-1},
    {1, 2, -0.45996013696365e-1},   {1, 3, -0.57581259083432e-1},
    {1, 6, -0.50325278727930e-1},   {2, 1, -0.33032641670203e-4},
    {2, 2, -0.18948987516315e-3},   {2, 4, -0.39392777243355e-2},
    {2, 7, -0.43797295650573e-1},   {2, 36, -0.26674547914087e-4},
    {3, 0, 0.20481737692309e-7},    {3, 1, 0.43870667284435e-6},
    {3, 3, -0.32277677238570e-4},   {3, 6, -0.15033924542148e-2},
    {3, 35, -0.40668253562649e-1},  {4, 1, -0.78847309559367e-9},
    {4, 2, 0.12790717852285e-7},    {4, 3, 0.48225372718507e-6},
    {5, 7, 0.22922076337661e-5},    {6, 3, -0.16714766451061e-10},
    {6, 16, -0.21171472321355e-2},  {6, 35, -0.23895741934104e2},
    {7, 0, -0.59059564324270e-17},  {7, 11, -0.12621808899101e-5},
    {7, 25, -0.38946842435739e-1},  {8, 8, 0.11256211360459e-10},
    {8, 36, -0.82311340897998e1},   {9, 13, 0.19809712802088e-7},
    {10, 4, 0.10406965210174e-18},  {10, 10, -0.10234747095929e-12},
    {10, 14, -0.10018179379511e-8}, {16, 29, -0.80882908646985e-10},
    {16, 50, 0.10693031879409},     {18, 57, -0.33662250574171},
    {20, 20, 0.89185845355421e-24}, {20, 35, 0.30629316876232e-12},
    {20, 48, -0.42002467698208e-5}, {21, 21, -0.59056029685639e-25},
    {22, 53, 0.37826947613457e-5},  {23, 39, -0.12768608934681e-14},
    {24, 26, 0.73087610595061e-28}, {24, 40, 0.55414715350778e-16},
    {24, 58, -0.94369707241210e-6},
};

/* d/dx of the sum of n y^i x^j */
static double slope_sum(const term *t, size_t count, double y, double x)
{
    double sum = 0;
    for (size_t k = 0; k < count; k++) {
        sum += t[k].n * pow(y, t[k].i) * t[k].j * pow(x, t[k].j - 1);
    }
    return sum;
}

static double enthalpy_1(double temp_k, double mpa)
{
    return R_KJ_PER_KG_K * 1386 *
           slope_sum(REGION_1, N_OF(REGION_1), 7.1 - mpa / 16.53, 1386 / temp_k - 1.222);
}

static double enthalpy_2(double temp_k, double mpa)
{
    const double tau = 540 / temp_k;
    return R_KJ_PER_KG_K * 540 *
           (slope_sum(REGION_2_IDEAL, N_OF(REGION_2_IDEAL), 1, tau) +
            slope_sum(REGION_2_RESIDUAL, N_OF(REGION_2_RESIDUAL), mpa, tau - 0.5));
}

static void oracle_is_the_standard(void **state)
{
    (void)state;
    const char *one = "S: IAPWS R7-97(2012) table 5", *two = "S: IAPWS R7-97(2012) table 15";
    CHECK_NEAR(enthalpy_1(300, 3), 115.331273, 5.1e-7, one);
    CHECK_NEAR(enthalpy_1(300, 80), 184.142828, 5.1e-7, one);
    CHECK_NEAR(enthalpy_1(500, 3), 975.542239, 5.1e-7, one);
    CHECK_NEAR(enthalpy_2(300, 0.0035), 2549.91145, 5.1e-6, two);
    CHECK_NEAR(enthalpy_2(700, 0.0035), 3335.68375, 5.1e-6, two);
    CHECK_NEAR(enthalpy_2(700, 30), 2631.49474, 5.1e-6, two);
}

/* The rows themselves are right to their last printed digit. */
static void rows_of_the_table(void **state)
{
    (void)state;
    static const double BARG[] = {0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 5, 6, 7, 8, 9, 10, 12};
    for (size_t i = 0; i < N_OF(BARG); i++) {
        const double mpa = (BARG[i] + MDR_STEAM_ATM_BAR) / 10;
        const double temp_k = mdr_steam_sat_temp_c(BARG[i]) + 273.15;
        CHECK_NEAR(mdr_steam_hfg_kj_per_kg(BARG[i]),
                   enthalpy_2(temp_k, mpa) - enthalpy_1(temp_k, mpa), 0.0051,
                   "O: regions 1 and 2 of R7-97; the table has two decimals");
    }
}

static void heat_of_condensation(void **state)
{
    (void)state;
    for (double barg = 0; barg <= 12; barg += 0.03125) {
        const double mpa = (barg + MDR_STEAM_ATM_BAR) / 10;
        const double temp_k = mdr_steam_sat_temp_c(barg) + 273.15;
        const double want = enthalpy_2(temp_k, mpa) - enthalpy_1(temp_k, mpa);
        CHECK_NEAR(mdr_steam_hfg_kj_per_kg(barg), want, 0.15,
                   "O: regions 1 and 2 of R7-97; the header promises 0.15");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(oracle_is_the_standard),
                                       cmocka_unit_test(rows_of_the_table),
                                       cmocka_unit_test(heat_of_condensation)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
