/* pH of baths against two databases of an open geochemical program, the pH standard, and the
 * integral behind the mixing terms. Tables: tests/oracle/<name>.csv. */
#include "core/bath/mdr_equil.h"
#include "core/plan/mdr_records.h"
#include "t.h"

enum { T_C, SODA, BICARB, CAUSTIC, SALT, SULPHATE, PH_PITZER, PH_PHREEQC, GRID_COLS };
extern const double bath_ph_grid[][GRID_COLS];
extern const int bath_ph_grid_rows;
enum { C_T, C_K1, C_K2, C_KW, C_HAC, C_A, C_EPS, C_COLS };
extern const double equil_constants[][C_COLS];
extern const int equil_constants_rows;
enum { A_T, A_MEASURED, A_FIT, A_COLS };
extern const double acetic_pka[][A_COLS];
extern const int acetic_pka_rows;
enum { B_T, B_STANDARD, B_DAVIES, B_COLS };
extern const double carbonate_buffer[][B_COLS];
extern const int carbonate_buffer_rows;

static mdr_mix mix_of(double temp_c, double soda, double bicarb, double caustic, double salt,
                      double sulphate)
{
    mdr_mix mix = {.temp_c = temp_c};
    mdr_mix_add(&mix, MDR_SUB_NA2CO3, soda);
    mdr_mix_add(&mix, MDR_SUB_NAHCO3, bicarb);
    mdr_mix_add(&mix, MDR_SUB_NAOH, caustic);
    mdr_mix_add(&mix, MDR_SUB_NACL, salt);
    mdr_mix_add(&mix, MDR_SUB_NA2SO4, sulphate);
    return mix;
}

static mdr_mix grid_mix(const double *row)
{
    return mix_of(row[T_C], row[SODA], row[BICARB], row[CAUSTIC], row[SALT], row[SULPHATE]);
}

/* Grade O: the stated uncertainty covers the distance to the database of the same kind. */
static void within_the_stated_uncertainty(void **state)
{
    (void)state;
    for (int i = 0; i < bath_ph_grid_rows; i++) {
        const double *row = bath_ph_grid[i];
        const mdr_mix mix = grid_mix(row);
        const double stated = mdr_equil_uncertainty_ph(&mix);
        CHECK_NEAR(mdr_equil_ph(&mix), row[PH_PITZER], stated, "PHREEQC 3, pitzer.dat");
    }
}

/* Grade O: nowhere further outside the two databases than the better known baths allow. */
static void between_the_two_databases(void **state)
{
    (void)state;
    static const double BESIDE = 0.075; /* largest: 20 g/L soda with 80 g/L sulphate at 80 degC */
    for (int i = 0; i < bath_ph_grid_rows; i++) {
        const double *row = bath_ph_grid[i];
        const mdr_mix mix = grid_mix(row);
        const double ph = mdr_equil_ph(&mix);
        const double low = fmin(row[PH_PITZER], row[PH_PHREEQC]) - BESIDE;
        const double high = fmax(row[PH_PITZER], row[PH_PHREEQC]) + BESIDE;
        CHECK_NEAR(ph, 0.5 * (low + high), 0.5 * (high - low), "PHREEQC 3, both databases");
    }
}

/* Grade O: caustic baths have no carbonate to disagree on. */
static void caustic_is_exact(void **state)
{
    (void)state;
    for (int i = 0; i < bath_ph_grid_rows; i++) {
        const double *row = bath_ph_grid[i];
        if (row[CAUSTIC] > 0.0 && row[SODA] <= 0.0) {
            const mdr_mix mix = grid_mix(row);
            CHECK_NEAR(mdr_equil_ph(&mix), row[PH_PITZER], 0.01, "PHREEQC 3, pitzer.dat");
        }
    }
}

/* Grade M: the standard itself, 0.02 asked for. */
static void carbonate_standard(void **state)
{
    (void)state;
    for (int i = 0; i < carbonate_buffer_rows; i++) {
        const double *row = carbonate_buffer[i];
        const mdr_mix mix = mix_of(row[B_T], 0.025 * 105.988, 0.025 * 84.007, 0, 0, 0);
        CHECK_NEAR(mdr_equil_ph(&mix), row[B_STANDARD], 0.01, "NBS pH standard, from memory");
    }
}

static void constants(void **state)
{
    (void)state;
    for (int i = 0; i < equil_constants_rows; i++) {
        const double *row = equil_constants[i];
        const mdr_equil_constants k = mdr_equil_constants_at(row[C_T]);
        CHECK_NEAR(-k.carbonic1, row[C_K1], 5.1e-5, "Plummer and Busenberg 1982");
        CHECK_NEAR(-k.carbonic2, row[C_K2], 5.1e-5, "Plummer and Busenberg 1982");
        CHECK_NEAR(-k.water, row[C_KW], 5.1e-5, "USGS database");
        CHECK_NEAR(-k.acetic, row[C_HAC], 5.1e-5, "fit to Harned and Ehlers");
        CHECK_NEAR(mdr_pitzer_permittivity(row[C_T]), row[C_EPS], 6e-4, "Malmberg and Maryott");
        CHECK_NEAR(mdr_pitzer_a_phi(row[C_T]) * 3.0 / log(10.0), row[C_A], 1e-4,
                   "Debye-Hueckel slope from the same table");
    }
    for (int i = 0; i < acetic_pka_rows; i++) {
        const double *row = acetic_pka[i];
        CHECK_NEAR(-mdr_equil_constants_at(row[A_T]).acetic, row[A_MEASURED], 0.0011,
                   "Harned and Ehlers 1933, from memory");
    }
    const mdr_equil_constants k = mdr_equil_constants_at(25.0);
    CHECK_NEAR(-k.formic, 3.752, 0.002, "Harned and Embree 1934, from memory");
    CHECK_NEAR(-k.citric1, 3.128, 0.002, "Bates and Pinching 1949, from memory");
    CHECK_NEAR(-k.citric2, 4.761, 0.002, "Bates and Pinching 1949, from memory");
    CHECK_NEAR(-k.citric3, 6.396, 0.002, "Bates and Pinching 1949, from memory");
    CHECK_NEAR(-k.bisulphate, 1.979, 0.002, "USGS database");
    CHECK_NEAR(-k.peroxide, 11.65, 1e-9, "Evans and Uri 1949, from memory");
}

/* J(x) = x/4 - 1 + 1/x int_0^inf (1 - exp(-(x/y) e^-y)) y^2 dy by Simpson's rule. */
static double j_integral(double x)
{
    enum { N = 20000 };
    const double most = 60.0, h = most / N;
    double sum = 0.0;
    for (int i = 1; i < N; i++) {
        const double y = i * h;
        sum += (i % 2 == 1 ? 4.0 : 2.0) * (1.0 - exp(-(x / y) * exp(-y))) * y * y;
    }
    return x / 4.0 - 1.0 + sum * h / 3.0 / x;
}

/* Grade D: the integral that the fit stands for. */
static void mixing_integral(void **state)
{
    (void)state;
    static const double XS[] = {0.1, 0.3, 1, 2, 4, 8, 16, 32, 64};
    for (size_t i = 0; i < N_OF(XS); i++) {
        const double exact = j_integral(XS[i]);
        CHECK_NEAR(mdr_pitzer_j(XS[i]), exact, 0.015 * exact, "Pitzer 1975, the integral itself");
        const double slope = XS[i] * (mdr_pitzer_j(XS[i] * 1.0001) - mdr_pitzer_j(XS[i] * 0.9999)) /
                             (XS[i] * 0.0002);
        CHECK_NEAR(mdr_pitzer_xj1(XS[i]), slope, 1e-6 * slope, "difference quotient");
    }
}

/* Grade O: mean activity coefficients at 25 degC; a convention for single ions cancels. */
static void mean_activity(void **state)
{
    (void)state;
    const struct {
        int substance, cation, anion;
        double m_salt, n_cation, n_anion, gamma;
        const char *source;
    } rows[] = {
        {MDR_SUB_NACL, MDR_ION_NA, MDR_ION_CL, 0.1, 1, 1, 0.778,
         "Robinson and Stokes, from memory"},
        {MDR_SUB_NACL, MDR_ION_NA, MDR_ION_CL, 1.0, 1, 1, 0.657,
         "Robinson and Stokes, from memory"},
        {MDR_SUB_NAOH, MDR_ION_NA, MDR_ION_OH, 1.0, 1, 1, 0.678,
         "Robinson and Stokes, from memory"},
        {MDR_SUB_NA2SO4, MDR_ION_NA, MDR_ION_SO4, 0.1, 2, 1, 0.452,
         "Robinson and Stokes, from memory"},
        {MDR_SUB_NA2SO4, MDR_ION_NA, MDR_ION_SO4, 1.0, 2, 1, 0.201,
         "Robinson and Stokes, from memory"},
    };
    const mdr_pitzer p = mdr_pitzer_at(25.0);
    for (size_t i = 0; i < N_OF(rows); i++) {
        double m[MDR_ION_COUNT] = {0};
        mdr_activity act;
        m[rows[i].cation] = rows[i].m_salt * rows[i].n_cation;
        m[rows[i].anion] = rows[i].m_salt * rows[i].n_anion;
        mdr_pitzer_activity(&p, m, &act);
        const double ln = (rows[i].n_cation * act.ln_gamma[rows[i].cation] +
                           rows[i].n_anion * act.ln_gamma[rows[i].anion]) /
                          (rows[i].n_cation + rows[i].n_anion);
        CHECK_NEAR(exp(ln), rows[i].gamma, 0.012, rows[i].source);
    }
    /* osmotic coefficient of 1 mol/kg NaCl is 0.9355: ln a_w = -phi * 2 m * 0.018015 */
    double m[MDR_ION_COUNT] = {[MDR_ION_NA] = 1.0, [MDR_ION_CL] = 1.0};
    mdr_activity act;
    mdr_pitzer_activity(&p, m, &act);
    CHECK_NEAR(act.ln_water, -0.9355 * 2.0 * 0.0180153, 1e-4, "Robinson and Stokes, from memory");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(within_the_stated_uncertainty),
        cmocka_unit_test(between_the_two_databases),
        cmocka_unit_test(caustic_is_exact),
        cmocka_unit_test(carbonate_standard),
        cmocka_unit_test(constants),
        cmocka_unit_test(mixing_integral),
        cmocka_unit_test(mean_activity),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
