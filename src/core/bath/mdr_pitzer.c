#include "core/bath/mdr_pitzer.h"

#include <math.h>

enum { KIND, ION1, ION2, ION3, P0, PITZER_COLS = P0 + 6 };
enum { KIND_B0, KIND_B1, KIND_C, KIND_THETA, KIND_PSI, KIND_LAMBDA, KIND_ZETA };
extern const double pitzer[][PITZER_COLS];
extern const int pitzer_rows;

static const double KELVIN = 273.15;
static const double TR_K = 298.15;      /* reference of the parameters */
static const double B_DH = 1.2;         /* kg^1/2 mol^-1/2, [pitzer-1991] */
static const double ALPHA = 2.0;        /* [pitzer-1991], at least one ion of charge 1 */
static const double B_GUGGENHEIM = 1.5; /* [bates-guggenheim] */
static const double WATER_KG_PER_MOL = 0.0180153;

static const int CHARGE[MDR_ION_COUNT] = {
    [MDR_ION_NA] = 1,       [MDR_ION_H] = 1,        [MDR_ION_CL] = -1,    [MDR_ION_SO4] = -2,
    [MDR_ION_HSO4] = -1,    [MDR_ION_OH] = -1,      [MDR_ION_CO3] = -2,   [MDR_ION_HCO3] = -1,
    [MDR_ION_ACETATE] = -1, [MDR_ION_FORMATE] = -1, [MDR_ION_H2CIT] = -1, [MDR_ION_HCIT] = -2,
    [MDR_ION_CIT] = -3,     [MDR_ION_HO2] = -1,     [MDR_ION_CO2] = 0};

int mdr_ion_charge(mdr_ion ion)
{
    return CHARGE[ion];
}

/* [malmberg-maryott], 0 to 100 degC */
double mdr_pitzer_permittivity(double temp_c)
{
    return 87.740 + temp_c * (-0.40008 + temp_c * (9.398e-4 - 1.410e-6 * temp_c));
}

/* [kell-1975], 0 to 150 degC, given there in kg/m3 */
double mdr_pitzer_water_kg_per_l(double temp_c)
{
    const double t = temp_c;
    const double above =
        999.83952 +
        t * (16.945176 +
             t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - 280.54253e-12 * t))));
    return above / (1.0 + 16.879850e-3 * t) / 1000.0;
}

/* A = 1.824829e6 sqrt(rho) / (eps T)^1.5 for log10, a third of it in natural logarithms */
double mdr_pitzer_a_phi(double temp_c)
{
    static const double LN10 = 2.302585092994046;
    const double et = mdr_pitzer_permittivity(temp_c) * (temp_c + KELVIN);
    return 1.824829e6 * sqrt(mdr_pitzer_water_kg_per_l(temp_c)) / (et * sqrt(et)) * LN10 / 3.0;
}

/* -- unsymmetrical mixing: J(x) = x / (4 + C1 x^-C2 exp(-C3 x^C4)), [pitzer-1991] eq. for J -- */

typedef struct j_pair {
    double j, xj1; /* J and x dJ/dx */
} j_pair;

static j_pair j_of(double ln_x, double x)
{
    static const double C1 = 4.581, C2 = 0.7237, C3 = 0.0120, C4 = 0.528;
    const double power = C3 * exp(C4 * ln_x);
    const double e = C1 * exp(-C2 * ln_x - power);
    const double d = 4.0 + e;
    return (j_pair){x / d, x / d + x * e * (C2 + C4 * power) / (d * d)};
}

double mdr_pitzer_j(double x)
{
    return j_of(log(x), x).j;
}

double mdr_pitzer_xj1(double x)
{
    return j_of(log(x), x).xj1;
}

/* -- temperature -- */

enum { TERMS = PITZER_COLS - P0 };

static void terms_of(double t_k, double *terms)
{
    const double inverse = 1.0 / t_k, inverse_r = 1.0 / TR_K;
    terms[0] = 1.0;
    terms[1] = inverse - inverse_r;
    terms[2] = log(t_k / TR_K);
    terms[3] = t_k - TR_K;
    terms[4] = t_k * t_k - TR_K * TR_K;
    terms[5] = inverse * inverse - inverse_r * inverse_r;
}

static double at_temperature(const double *row, const double *terms)
{
    double value = 0.0;
    for (int i = 0; i < TERMS; i++) {
        value += row[P0 + i] * terms[i];
    }
    return value;
}

static void add_mixed(mdr_pitzer_mixed *list, int *n, const double *row, double value)
{
    list[(*n)++] = (mdr_pitzer_mixed){(int)row[ION1], (int)row[ION2], (int)row[ION3], value};
}

mdr_pitzer mdr_pitzer_at(double temp_c)
{
    mdr_pitzer p = {.temp_c = temp_c, .a_phi = mdr_pitzer_a_phi(temp_c)};
    double terms[TERMS];
    terms_of(temp_c + KELVIN, terms);
    for (int r = 0; r < pitzer_rows; r++) {
        const double *row = pitzer[r];
        const double value = at_temperature(row, terms);
        const int i = (int)row[ION1], j = (int)row[ION2];
        switch ((int)row[KIND]) {
        case KIND_B0:
            p.b0[i][j] = value;
            break;
        case KIND_B1:
            p.b1[i][j] = value;
            break;
        case KIND_C:
            p.c[i][j] = value / (2.0 * sqrt((double)(CHARGE[i] * -CHARGE[j])));
            break;
        case KIND_THETA:
            add_mixed(p.theta, &p.n_theta, row, value);
            break;
        case KIND_PSI:
            add_mixed(p.psi, &p.n_psi, row, value);
            break;
        case KIND_LAMBDA:
            add_mixed(p.lambda, &p.n_lambda, row, value);
            break;
        default:
            add_mixed(p.zeta, &p.n_zeta, row, value);
            break;
        }
    }
    return p;
}

/* -- activities -- */

/* What the terms add up to. */
typedef struct sums {
    const mdr_pitzer *p;
    const double *m;
    double ionic, root, z, total; /* I, sqrt(I), sum m|z|, sum m */
    double f, cc, osmotic;
    double *ln; /* per ion, without z^2 F and |z| CC */
} sums;

static void begin(sums *s)
{
    for (int i = 0; i < MDR_ION_COUNT; i++) {
        const int z = CHARGE[i] < 0 ? -CHARGE[i] : CHARGE[i];
        s->ionic += 0.5 * s->m[i] * (double)(z * z);
        s->z += s->m[i] * (double)z;
        s->total += s->m[i];
        s->ln[i] = 0.0;
    }
    s->root = sqrt(s->ionic);
    const double below = 1.0 + B_DH * s->root;
    s->f = -s->p->a_phi * (s->root / below + 2.0 / B_DH * log(below));
    s->osmotic = -s->p->a_phi * s->ionic * s->root / below;
}

/* Cation with anion: B, B' and C. */
static void unlike(sums *s)
{
    const double x = ALPHA * s->root;
    const double ex = exp(-x);
    const double g = 2.0 * (1.0 - (1.0 + x) * ex) / (x * x);
    const double g1 = -2.0 * (1.0 - (1.0 + x + 0.5 * x * x) * ex) / (x * x * s->ionic);
    for (int c = 0; c < MDR_ION_CATIONS; c++) {
        for (int a = MDR_ION_CATIONS; a < MDR_ION_CHARGED; a++) {
            const double b0 = s->p->b0[c][a], b1 = s->p->b1[c][a], cc = s->p->c[c][a];
            const double mm = s->m[c] * s->m[a];
            const double per = 2.0 * (b0 + b1 * g) + s->z * cc;
            s->f += mm * b1 * g1;
            s->cc += mm * cc;
            s->ln[c] += s->m[a] * per;
            s->ln[a] += s->m[c] * per;
            s->osmotic += mm * (b0 + b1 * ex + s->z * cc);
        }
    }
}

static void pairs(sums *s, const mdr_pitzer_mixed *list, int n)
{
    const double *m = s->m;
    for (int t = 0; t < n; t++) {
        const mdr_pitzer_mixed *q = &list[t];
        s->ln[q->i] += 2.0 * m[q->j] * q->value;
        s->ln[q->j] += 2.0 * m[q->i] * q->value;
        s->osmotic += m[q->i] * m[q->j] * q->value;
    }
}

static void triples(sums *s, const mdr_pitzer_mixed *list, int n)
{
    const double *m = s->m;
    for (int t = 0; t < n; t++) {
        const mdr_pitzer_mixed *q = &list[t];
        s->ln[q->i] += m[q->j] * m[q->k] * q->value;
        s->ln[q->j] += m[q->i] * m[q->k] * q->value;
        s->ln[q->k] += m[q->i] * m[q->j] * q->value;
        s->osmotic += m[q->i] * m[q->j] * m[q->k] * q->value;
    }
}

/* Anions of unlike charge; the two cations are both of charge 1. */
static void unsymmetrical(sums *s)
{
    enum { MOST = 3 };
    double by_charge[MOST + 1] = {0};
    for (int a = MDR_ION_CATIONS; a < MDR_ION_CHARGED; a++) {
        by_charge[-CHARGE[a]] += s->m[a];
    }
    const int most = by_charge[MOST] > 0.0 ? MOST : MOST - 1;
    const double x1 = 6.0 * s->p->a_phi * s->root;
    const double ln_x1 = log(x1);
    static const double LN[MOST + 1] = {0.0, 0.0, 0.6931471805599453, 1.0986122886681098};
    double extra[MOST + 1] = {0}; /* to ln gamma of each charge */
    for (int i = 1; i < most; i++) {
        for (int j = i + 1; j <= most; j++) {
            const j_pair both = j_of(ln_x1 + LN[i] + LN[j], x1 * i * j);
            const j_pair first = j_of(ln_x1 + 2.0 * LN[i], x1 * i * i);
            const j_pair second = j_of(ln_x1 + 2.0 * LN[j], x1 * j * j);
            const double zz = (double)(i * j);
            const double e = zz / (4.0 * s->ionic) * (both.j - 0.5 * first.j - 0.5 * second.j);
            const double e1 = -e / s->ionic + zz / (8.0 * s->ionic * s->ionic) *
                                                  (both.xj1 - 0.5 * first.xj1 - 0.5 * second.xj1);
            extra[i] += 2.0 * by_charge[j] * e;
            extra[j] += 2.0 * by_charge[i] * e;
            s->f += by_charge[i] * by_charge[j] * e1;
            s->osmotic += by_charge[i] * by_charge[j] * (e + s->ionic * e1);
        }
    }
    for (int a = MDR_ION_CATIONS; a < MDR_ION_CHARGED; a++) {
        s->ln[a] += extra[-CHARGE[a]];
    }
}

void mdr_pitzer_activity(const mdr_pitzer *p, const double *m, mdr_activity *out)
{
    sums s = {.p = p, .m = m, .ln = out->ln_gamma};
    begin(&s);
    unlike(&s);
    pairs(&s, p->theta, p->n_theta);
    pairs(&s, p->lambda, p->n_lambda);
    triples(&s, p->psi, p->n_psi);
    triples(&s, p->zeta, p->n_zeta);
    unsymmetrical(&s);
    for (int i = 0; i < MDR_ION_CHARGED; i++) {
        const double z = (double)CHARGE[i];
        s.ln[i] += z * z * s.f + fabs(z) * s.cc;
    }
    /* the scale of the pH standards: a single ion is fixed by convention, pairs do not change */
    const double convention = -3.0 * p->a_phi * s.root / (1.0 + B_GUGGENHEIM * s.root);
    const double shift = s.ln[MDR_ION_CL] - convention;
    for (int i = 0; i < MDR_ION_CHARGED; i++) {
        s.ln[i] += (double)CHARGE[i] * shift;
    }
    out->ln_water = -WATER_KG_PER_MOL * (s.total + 2.0 * s.osmotic);
    out->ionic_mol_per_kg = s.ionic;
}
