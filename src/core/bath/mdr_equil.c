/*
 * Two loops. Inside: with activity coefficients held, the charges are a rising function of
 * ln a(H+) whose slope is known (each acid adds its total times the variance of its protons), so
 * a Newton step kept between bounds finds the zero. Outside: new activity coefficients from the
 * new composition. Salt is most of the ionic strength, so each outer step shrinks the error some
 * hundredfold; four or five are enough.
 */
#include "core/bath/mdr_equil.h"

#include <math.h>

static const double LN10 = 2.302585092994046;
static const double KELVIN = 273.15;

mdr_equil_constants mdr_equil_constants_at(double temp_c)
{
    const double t = temp_c + KELVIN;
    const double lg = log10(t);
    static const double R_J_PER_MOL_K = 8.314462618;      /* CODATA */
    static const double PEROXIDE_25C = -11.65;            /* [evans-uri], from memory */
    static const double PEROXIDE_HEAT_J_PER_MOL = 34.3e3; /* [evans-uri], from memory */
    return (mdr_equil_constants){
        .water = 293.29227 + 0.1360833 * t - 10576.913 / t - 123.73158 * lg - 6.996455e-5 * t * t,
        .carbonic1 =
            -356.3094 - 0.06091964 * t + 21834.37 / t + 126.8339 * lg - 1684915.0 / (t * t),
        .carbonic2 = -107.8871 - 0.03252849 * t + 5151.79 / t + 38.92561 * lg - 563713.9 / (t * t),
        .bisulphate = 5.3585 - 0.0183412 * t - 557.2461 / t,
        .acetic = -(1170.48 / t - 3.1649 + 0.013399 * t),
        .formic = -(1342.85 / t - 5.2743 + 0.0151682 * t),
        .citric1 = -(1255.6 / t - 4.5635 + 0.011673 * t),
        .citric2 = -(1585.2 / t - 5.4460 + 0.016399 * t),
        .citric3 = -(1814.9 / t - 6.3664 + 0.022389 * t),
        .peroxide = PEROXIDE_25C -
                    PEROXIDE_HEAT_J_PER_MOL / (R_J_PER_MOL_K * LN10) * (1.0 / t - 1.0 / 298.15)};
}

static double power_of_ten(double log10_k)
{
    return exp(LN10 * log10_k);
}

mdr_equil_model mdr_equil_model_at(double temp_c)
{
    const mdr_equil_constants k = mdr_equil_constants_at(temp_c);
    return (mdr_equil_model){.activity = mdr_pitzer_at(temp_c),
                             .k_water = power_of_ten(k.water),
                             .k_carbonic1 = power_of_ten(k.carbonic1),
                             .k_carbonic2 = power_of_ten(k.carbonic2),
                             .k_bisulphate = power_of_ten(k.bisulphate),
                             .k_acetic = power_of_ten(k.acetic),
                             .k_formic = power_of_ten(k.formic),
                             .k_citric1 = power_of_ten(k.citric1),
                             .k_citric2 = power_of_ten(k.citric2),
                             .k_citric3 = power_of_ten(k.citric3),
                             .k_peroxide = power_of_ten(k.peroxide)};
}

/* -- one acid with up to three protons -- */

enum { PROTONS_MAX = 3 };

/* Stoichiometric constants k[1..n]: concentration of the form with i protons over that with
 * i - 1 is a / k[i]. */
typedef struct acid {
    int n, charge;                      /* protons it can carry; charge with none */
    double total, per[PROTONS_MAX + 1]; /* per[i] = 1 / k[i] */
    double form[PROTONS_MAX + 1];       /* mol/kg by number of protons */
} acid;

/* Forms at this activity of H+; adds charge and slope dq/d ln a. */
static void spread(acid *x, double a, double *charge, double *slope)
{
    double weight[PROTONS_MAX + 1] = {1.0};
    double sum = 1.0, mean = 0.0, square = 0.0;
    for (int i = 1; i <= x->n; i++) {
        weight[i] = weight[i - 1] * a * x->per[i];
        sum += weight[i];
        mean += i * weight[i];
        square += (double)(i * i) * weight[i];
    }
    mean /= sum;
    for (int i = 0; i <= x->n; i++) {
        x->form[i] = x->total * (weight[i] / sum);
        *charge += (double)(x->charge + i) * x->form[i];
    }
    *slope += x->total * (square / sum - mean * mean);
}

/* -- the bath -- */

enum { CARBONATE, SULPHATE, ACETATE, FORMATE, CITRATE, PEROXIDE, N_ACIDS };

typedef struct bath {
    const mdr_equil_model *model;
    const mdr_mix *mix;
    mdr_activity act;
    double gamma[MDR_ION_COUNT], water; /* activity coefficients, activity of water */
    acid acids[N_ACIDS];
    double h, oh, charge, slope;
} bath;

static void begin(bath *b)
{
    const double *t = b->mix->mol_per_kg;
    b->acids[CARBONATE] = (acid){.n = 2, .charge = -2, .total = t[MDR_TOTAL_CARBONATE]};
    b->acids[SULPHATE] = (acid){.n = 1, .charge = -2, .total = t[MDR_TOTAL_SO4]};
    b->acids[ACETATE] = (acid){.n = 1, .charge = -1, .total = t[MDR_TOTAL_ACETATE]};
    b->acids[FORMATE] = (acid){.n = 1, .charge = -1, .total = t[MDR_TOTAL_FORMATE]};
    b->acids[CITRATE] = (acid){.n = 3, .charge = -3, .total = t[MDR_TOTAL_CITRATE]};
    b->acids[PEROXIDE] = (acid){.n = 1, .charge = -1, .total = t[MDR_TOTAL_PEROXIDE]};
}

/* Constants for concentrations from those for activities. Neutral molecules but CO2 count as
 * ideal. */
static void correct(bath *b)
{
    for (int i = 0; i < MDR_ION_COUNT; i++) {
        b->gamma[i] = exp(b->act.ln_gamma[i]);
    }
    b->water = exp(b->act.ln_water);
    const mdr_equil_model *m = b->model;
    const double *g = b->gamma;
    b->acids[CARBONATE].per[1] = g[MDR_ION_CO3] / (m->k_carbonic2 * g[MDR_ION_HCO3]);
    b->acids[CARBONATE].per[2] = g[MDR_ION_HCO3] / (m->k_carbonic1 * g[MDR_ION_CO2] * b->water);
    b->acids[SULPHATE].per[1] = g[MDR_ION_SO4] / (m->k_bisulphate * g[MDR_ION_HSO4]);
    b->acids[ACETATE].per[1] = g[MDR_ION_ACETATE] / m->k_acetic;
    b->acids[FORMATE].per[1] = g[MDR_ION_FORMATE] / m->k_formic;
    b->acids[CITRATE].per[1] = g[MDR_ION_CIT] / (m->k_citric3 * g[MDR_ION_HCIT]);
    b->acids[CITRATE].per[2] = g[MDR_ION_HCIT] / (m->k_citric2 * g[MDR_ION_H2CIT]);
    b->acids[CITRATE].per[3] = g[MDR_ION_H2CIT] / m->k_citric1;
    b->acids[PEROXIDE].per[1] = g[MDR_ION_HO2] / m->k_peroxide;
}

/* Charges of the bath at this activity of H+. */
static void charges(bath *b, double a)
{
    const double *t = b->mix->mol_per_kg;
    b->h = a / b->gamma[MDR_ION_H];
    b->oh = b->model->k_water * b->water / (a * b->gamma[MDR_ION_OH]);
    b->charge = t[MDR_TOTAL_NA] - t[MDR_TOTAL_CL] + b->h - b->oh;
    b->slope = b->h + b->oh;
    for (int i = 0; i < N_ACIDS; i++) {
        if (b->acids[i].total > 0.0) {
            spread(&b->acids[i], a, &b->charge, &b->slope);
        }
    }
}

/* Zero of the charges between the bounds that the sign has shown so far. Below the rounding of the
 * sum of charges there is nothing to find. */
static double balance(bath *b, double ln_a)
{
    static const double LEAST_LN_A = -18.0 * 2.302585092994046;
    static const double MOST_LN_A = 3.0 * 2.302585092994046;
    static const double ROUNDING = 4e-16;
    const double *t = b->mix->mol_per_kg;
    const double noise = ROUNDING * (t[MDR_TOTAL_NA] + t[MDR_TOTAL_CL] + 2.0 * t[MDR_TOTAL_SO4]);
    double low = LEAST_LN_A, high = MOST_LN_A;
    for (int i = 0; i < 100; i++) {
        charges(b, exp(ln_a));
        if (fabs(b->charge) <= noise) {
            break;
        }
        if (b->charge > 0.0) {
            high = ln_a;
        } else {
            low = ln_a;
        }
        double next = ln_a - b->charge / b->slope;
        if (!(next > low && next < high)) {
            next = 0.5 * (low + high);
        }
        if (fabs(next - ln_a) <= ROUNDING * fabs(ln_a)) {
            break;
        }
        ln_a = next;
    }
    return ln_a;
}

static void concentrations(const bath *b, double *m)
{
    const double *t = b->mix->mol_per_kg;
    m[MDR_ION_NA] = t[MDR_TOTAL_NA];
    m[MDR_ION_H] = b->h;
    m[MDR_ION_CL] = t[MDR_TOTAL_CL];
    m[MDR_ION_OH] = b->oh;
    m[MDR_ION_SO4] = b->acids[SULPHATE].form[0];
    m[MDR_ION_HSO4] = b->acids[SULPHATE].form[1];
    m[MDR_ION_CO3] = b->acids[CARBONATE].form[0];
    m[MDR_ION_HCO3] = b->acids[CARBONATE].form[1];
    m[MDR_ION_CO2] = b->acids[CARBONATE].form[2];
    m[MDR_ION_ACETATE] = b->acids[ACETATE].form[0];
    m[MDR_ION_FORMATE] = b->acids[FORMATE].form[0];
    m[MDR_ION_CIT] = b->acids[CITRATE].form[0];
    m[MDR_ION_HCIT] = b->acids[CITRATE].form[1];
    m[MDR_ION_H2CIT] = b->acids[CITRATE].form[2];
    m[MDR_ION_HO2] = b->acids[PEROXIDE].form[0];
}

static double residue(const double *m)
{
    double sum = 0.0, all = 0.0;
    for (int i = 0; i < MDR_ION_CHARGED; i++) {
        const double z = (double)mdr_ion_charge((mdr_ion)i);
        sum += z * m[i];
        all += fabs(z) * m[i];
    }
    return fabs(sum) / all;
}

/* Activity coefficients of the first guess: everything as it would be at this pH in pure water. */
static void first_guess(bath *b, double ln_a, double *m)
{
    for (int i = 0; i < MDR_ION_COUNT; i++) {
        b->act.ln_gamma[i] = 0.0;
    }
    b->act.ln_water = 0.0;
    correct(b);
    charges(b, exp(ln_a));
    concentrations(b, m);
}

void mdr_equil_solve(const mdr_equil_model *model, const mdr_mix *mix, double start_ph,
                     mdr_equil *out)
{
    enum { OUTER_MAX = 60 };
    static const double TOLERANCE = 1e-12; /* of ln a(H+) */
    static const double NOISE = 1e-7;      /* an unbuffered salt bath: rounding of the charges over
                                         their slope; steps below it that no longer shrink */
    bath b = {.model = model, .mix = mix};
    begin(&b);
    double ln_a = -LN10 * (start_ph >= 0.0 ? start_ph : 7.0);
    double *m = out->mol_per_kg;
    first_guess(&b, ln_a, m);
    if (start_ph < 0.0) {
        ln_a = balance(&b, ln_a);
        concentrations(&b, m);
    }
    int n = 0;
    double step = 1.0, before = 0.0;
    do {
        before = fabs(step);
        mdr_pitzer_activity(&model->activity, m, &b.act);
        correct(&b);
        const double next = balance(&b, ln_a);
        concentrations(&b, m);
        step = next - ln_a;
        ln_a = next;
        n++;
    } while (n < OUTER_MAX && fabs(step) > TOLERANCE &&
             !(fabs(step) < NOISE && fabs(step) >= before));
    out->ph = -ln_a / LN10;
    out->ionic_mol_per_kg = b.act.ionic_mol_per_kg;
    out->acetic_mol_per_kg = b.acids[ACETATE].form[1];
    out->formic_mol_per_kg = b.acids[FORMATE].form[1];
    out->citric_mol_per_kg = b.acids[CITRATE].form[3];
    out->peroxide_mol_per_kg = b.acids[PEROXIDE].form[1];
    out->oh_activity = b.oh * b.gamma[MDR_ION_OH];
    out->charge_residue = residue(m);
    out->iterations = n;
}

/* Charge that one mole of these totals brings at the activity of H+ the bath stands at. */
static double charge_per_mol(bath *b, const double *per_mol, double a)
{
    double charge = per_mol[MDR_TOTAL_NA] - per_mol[MDR_TOTAL_CL];
    double slope = 0.0;
    static const int TOTAL[N_ACIDS] = {
        [CARBONATE] = MDR_TOTAL_CARBONATE, [SULPHATE] = MDR_TOTAL_SO4,
        [ACETATE] = MDR_TOTAL_ACETATE,     [FORMATE] = MDR_TOTAL_FORMATE,
        [CITRATE] = MDR_TOTAL_CITRATE,     [PEROXIDE] = MDR_TOTAL_PEROXIDE};
    for (int i = 0; i < N_ACIDS; i++) {
        acid one = b->acids[i];
        one.total = per_mol[TOTAL[i]];
        if (one.total > 0.0) {
            spread(&one, a, &charge, &slope);
        }
    }
    return charge;
}

/* At a given pH the charges are a straight line in the amount, but for the activity coefficients:
 * the same outer loop as for the pH. */
double mdr_equil_amount_mol_per_kg(const mdr_equil_model *model, const mdr_mix *mix,
                                   const double *per_mol, double ph, double most_mol_per_kg)
{
    enum { OUTER_MAX = 60 };
    static const double TOLERANCE = 1e-13;
    const double a = exp(-LN10 * ph);
    mdr_mix now = *mix;
    double m[MDR_ION_COUNT];
    double amount = 0.0, step = 1.0;
    bath b = {.model = model, .mix = &now};
    begin(&b);
    first_guess(&b, -LN10 * ph, m);
    for (int n = 0; n < OUTER_MAX && fabs(step) > TOLERANCE * (1.0 + fabs(amount)); n++) {
        mdr_pitzer_activity(&model->activity, m, &b.act);
        correct(&b);
        charges(&b, a);
        const double per = charge_per_mol(&b, per_mol, a);
        if (!(fabs(per) > 0.0) || fabs(amount - b.charge / per) > most_mol_per_kg) {
            return -1.0; /* it brings nothing at this pH: the amount runs away */
        }
        step = -b.charge / per;
        amount += step;
        for (int i = 0; i < MDR_TOTAL_COUNT; i++) { /* never below nothing on the way */
            now.mol_per_kg[i] = fmax(0.0, mix->mol_per_kg[i] + amount * per_mol[i]);
        }
        const mdr_activity act = b.act;
        begin(&b); /* the totals have changed */
        b.act = act;
        correct(&b);
        charges(&b, a);
        concentrations(&b, m);
    }
    return amount;
}

double mdr_equil_ph(const mdr_mix *mix)
{
    const mdr_equil_model model = mdr_equil_model_at(mix->temp_c);
    mdr_equil result;
    mdr_equil_solve(&model, mix, -1.0, &result);
    return result.ph;
}
