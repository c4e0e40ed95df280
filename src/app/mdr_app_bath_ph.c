/* Questions about the pH: of a bath, during a dose, from a reading, mixed alkali, neutralising. */
#include <math.h>

#include "app/mdr_app_bath_in.h"
#include "base/mdr_lang.h"
#include "core/bath/mdr_dosing.h"
#include "core/bath/mdr_equil.h"
#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

static const double G_PER_KG = 1000.0;

/* -- mixes -- */

/* 1 L of liquor counts as 1 kg of water, mdr_equil.h. */
static void add(mdr_mix *mix, mdr_bath_part part, double g_per_l)
{
    mdr_mix_add(mix, mdr_bath_part_substance(part), g_per_l);
}

static mdr_code mix_of(const mdr_bath_ask *q, double temp_c, mdr_mix *out, mdr_err *err)
{
    *out = (mdr_mix){.temp_c = temp_c};
    for (int i = 0; i < MDR_PART_COUNT; i++) {
        add(out, (mdr_bath_part)i, q->part_g_per_l[i]);
    }
    return mdr_mix_check(out, err);
}

static mdr_mix at_temp(mdr_mix mix, double temp_c)
{
    mix.temp_c = temp_c;
    return mix;
}

/* The largest amount to try, g/L, that the model still knows in this mix. */
static double most_of(const mdr_mix *mix, int substance)
{
    double most = 200.0; /* invented: no bath holds more acid or alkali */
    for (int i = 0; i < 20; i++) {
        mdr_mix with = *mix;
        mdr_mix_add(&with, substance, most);
        if (mdr_mix_valid(&with)) {
            break;
        }
        most *= 0.5;
    }
    return most;
}

/* pH with so much more of a part. */
static mdr_code ph_with(const mdr_equil_model *model, const mdr_mix *mix, mdr_bath_part part,
                        double g_per_l, double *ph, mdr_err *err)
{
    mdr_mix with = *mix;
    mdr_equil result;
    add(&with, part, g_per_l);
    MDR_TRY(mdr_mix_check(&with, err));
    mdr_equil_solve(model, &with, -1.0, &result);
    *ph = result.ph;
    return MDR_OK;
}

/* -- what every answer with a pH says -- */

static void part(mdr_bath_desk *d, const char *key, const char *label, mdr_bath_part p)
{
    mdr_desk_text(&d->desk, key, label, mdr_bath_part_id(p), mdr_bath_part_words(p));
}

static void explain(mdr_bath_desk *d, const mdr_mix *mix)
{
    d->desk.a->has_uncertainty = true;
    d->desk.a->uncertainty_ph = mdr_equil_uncertainty_ph(mix);
    mdr_bath_because(d, MDR_WHY_PH);
    mdr_bath_because(d, MDR_WHY_ACTIVITY);
    mdr_bath_because(d, MDR_WHY_UNCERTAINTY);
}

/* Below this, eq/L, the dust of the air weighs as much as the bath. Invented. */
static const double HARDLY_BUFFERED_EQ_PER_L = 1e-3;

static void caution(mdr_bath_desk *d, const mdr_mix *mix)
{
    const double soda_eq_per_l =
        d->q->soda_only_g_per_l * mdr_substance_alkali_mol_per_kg(MDR_SUB_NA2CO3) / G_PER_KG;
    double eq_per_l = soda_eq_per_l, salt_g_per_l = 0.0;
    for (int i = 0; i < MDR_PART_COUNT; i++) {
        const int substance = mdr_bath_part_substance((mdr_bath_part)i);
        const double each =
            mdr_substance_alkali_mol_per_kg(substance) + mdr_substance_acid_mol_per_kg(substance);
        eq_per_l += d->q->part_g_per_l[i] * each / G_PER_KG;
    }
    salt_g_per_l = d->q->part_g_per_l[MDR_PART_NACL] + d->q->part_g_per_l[MDR_PART_NA2SO4];
    if (eq_per_l < HARDLY_BUFFERED_EQ_PER_L) {
        mdr_desk_note(
            &d->desk,
            "Hardly anything in the bath as given holds its pH: carbon dioxide of the air, the "
            "water's own hydrogen carbonate and the cotton move it by whole units.");
    }
    if (mix->temp_c < 20.0 || mix->temp_c > 80.0 || salt_g_per_l > 50.0) {
        mdr_desk_note(&d->desk,
                      "Outside 20 to 80 degC or above 50 g/L of salt the two models were not "
                      "compared: the uncertainty is an estimate.");
    }
    if (d->q->part_g_per_l[MDR_PART_DITHIONITE] > 0.0) {
        mdr_desk_note(&d->desk,
                      "Dithionite counts as a neutral salt; what it turns into takes alkali.");
    }
}

/* -- ph -- */

static void species(mdr_bath_desk *d, const mdr_equil *e)
{
    static const struct {
        mdr_ion ion;
        const char *key;
    } IONS[] = {
        {MDR_ION_NA, "Na+"},           {MDR_ION_H, "H+"},
        {MDR_ION_OH, "OH-"},           {MDR_ION_CO3, "CO3--"},
        {MDR_ION_HCO3, "HCO3-"},       {MDR_ION_CO2, "CO2"},
        {MDR_ION_CL, "Cl-"},           {MDR_ION_SO4, "SO4--"},
        {MDR_ION_HSO4, "HSO4-"},       {MDR_ION_ACETATE, "acetate-"},
        {MDR_ION_FORMATE, "formate-"}, {MDR_ION_H2CIT, "H2citrate-"},
        {MDR_ION_HCIT, "Hcitrate--"},  {MDR_ION_CIT, "citrate---"},
        {MDR_ION_HO2, "HO2-"},
    };
    const struct {
        double mol_per_kg;
        const char *key;
    } WHOLE[] = {{e->acetic_mol_per_kg, "acetic acid"},
                 {e->formic_mol_per_kg, "formic acid"},
                 {e->citric_mol_per_kg, "citric acid"},
                 {e->peroxide_mol_per_kg, "H2O2"}};
    mdr_desk_group(&d->desk, "species_mol_per_kg", "In which form");
    for (size_t i = 0; i < sizeof IONS / sizeof IONS[0]; i++) {
        if (e->mol_per_kg[IONS[i].ion] > 0.0) {
            mdr_desk_number(&d->desk, IONS[i].key, IONS[i].key, "mol/kg",
                            e->mol_per_kg[IONS[i].ion]);
        }
    }
    for (size_t i = 0; i < sizeof WHOLE / sizeof WHOLE[0]; i++) {
        if (WHOLE[i].mol_per_kg > 0.0) {
            mdr_desk_number(&d->desk, WHOLE[i].key, WHOLE[i].key, "mol/kg", WHOLE[i].mol_per_kg);
        }
    }
    mdr_desk_group(&d->desk, NULL, NULL);
}

mdr_code mdr_answer_ph(mdr_bath_desk *d, mdr_err *err)
{
    mdr_mix mix;
    mdr_equil e;
    MDR_TRY(mix_of(d->q, d->q->temp_c, &mix, err));
    const mdr_equil_model model = mdr_equil_model_at(mix.temp_c);
    const mdr_mix cold = at_temp(mix, d->q->cold_c);
    mdr_equil_solve(&model, &mix, -1.0, &e);
    mdr_desk_number(&d->desk, "ph", "pH in the bath", "pH", e.ph);
    mdr_desk_number(&d->desk, "ph_cold", "pH of the cooled sample", "pH", mdr_equil_ph(&cold));
    mdr_desk_number(&d->desk, "temp_c", "bath", "degC", mix.temp_c);
    mdr_desk_number(&d->desk, "cold_c", "sample", "degC", cold.temp_c);
    mdr_desk_number(&d->desk, "ionic_mol_per_kg", "ionic strength", "mol/kg", e.ionic_mol_per_kg);
    mdr_desk_number(&d->desk, "oh_activity", "activity of OH-", "", e.oh_activity);
    species(d, &e);
    explain(d, &mix);
    caution(d, &mix);
    return MDR_OK;
}

/* -- dose -- */

/* Dose at which half of the way to the last pH is gone; none when it does not lead one way. */
static void half_way(mdr_bath_desk *d, const mdr_mix *mix, double start_ph, double end_ph)
{
    const mdr_bath_ask *q = d->q;
    const int substance = mdr_bath_part_substance(q->dose);
    const bool acid = mdr_substance_acid_mol_per_kg(substance) > 0.0;
    double g_per_l = 0.0;
    if ((acid ? start_ph - end_ph : end_ph - start_ph) > 0.0 &&
        mdr_equil_need(mix, substance, 0.5 * (start_ph + end_ph), q->amount_g_per_l, &g_per_l,
                       NULL) == MDR_OK) {
        mdr_desk_number(&d->desk, "half_way_dose_fraction",
                        "part of the dose for half of the change", "", g_per_l / q->amount_g_per_l);
    } else {
        mdr_desk_none(&d->desk, "half_way_dose_fraction", "part of the dose for half of the change",
                      "");
    }
}

static const mdr_answer_column DOSE_COLUMNS[] = {{"time_fraction", "time/whole", ""},
                                                 {"dose_fraction", "dose/whole", ""},
                                                 {"dose_g_per_l", "dosed", "g/L"},
                                                 {"ph", "pH", "pH"},
                                                 {"time_min", "time", "min"}};

/* Writes the curve; the first and the last pH besides. */
static mdr_code curve(mdr_bath_desk *d, const mdr_mix *mix, double *start_ph, double *end_ph,
                      mdr_err *err)
{
    const mdr_bath_ask *q = d->q;
    const mdr_equil_model model = mdr_equil_model_at(mix->temp_c);
    MDR_TRY(mdr_desk_table(&d->desk, "points", "pH while it is dosed", DOSE_COLUMNS,
                           q->has_minutes ? 5 : 4, q->points, err));
    double *cell = d->desk.a->table.cells;
    for (int i = 0; i < q->points; i++) {
        const double tau = (double)i / (q->points - 1);
        const double dosed = q->curve == MDR_BATH_LINEAR ? mdr_dosing_linear(tau)
                                                         : mdr_dosing_power(tau, q->exponent);
        MDR_TRY(ph_with(&model, mix, q->dose, dosed * q->amount_g_per_l, end_ph, err));
        *start_ph = i == 0 ? *end_ph : *start_ph;
        *cell++ = tau;
        *cell++ = dosed;
        *cell++ = dosed * q->amount_g_per_l;
        *cell++ = *end_ph;
        if (q->has_minutes) {
            *cell++ = tau * q->minutes;
        }
    }
    return MDR_OK;
}

mdr_code mdr_answer_dose(mdr_bath_desk *d, mdr_err *err)
{
    const mdr_bath_ask *q = d->q;
    mdr_mix mix;
    double start_ph = 0.0, end_ph = 0.0;
    MDR_TRY(mix_of(q, q->temp_c, &mix, err));
    mdr_mix last = mix;
    add(&last, q->dose, q->amount_g_per_l);
    MDR_TRY(mdr_mix_check(&last, err));
    MDR_TRY(curve(d, &mix, &start_ph, &end_ph, err));
    part(d, "dose", "dosed", q->dose);
    mdr_desk_text(&d->desk, "curve", "curve", mdr_bath_curve_id(q->curve),
                  mdr_bath_curve_words(q->curve));
    mdr_desk_number(&d->desk, "exponent", "exponent of the curve", "", q->exponent);
    mdr_desk_number(&d->desk, "ph_start", "pH before", "pH", start_ph);
    mdr_desk_number(&d->desk, "ph_end", "pH after", "pH", end_ph);
    half_way(d, &mix, start_ph, end_ph);
    explain(d, &last);
    mdr_bath_because(d, MDR_WHY_CURVE);
    caution(d, &mix);
    mdr_desk_note(
        &d->desk,
        "Mixed at once and nothing used up: in the machine the pH follows the rope's turns, "
        "and dye and cotton take alkali.");
    return MDR_OK;
}

/* -- probe -- */

/* An ordinary electrode after calibration; common practice. */
static const double READING_ERROR_PH = 0.05;

/* Amount for a reading; INFEAS when there would have to be less than none of it. */
static mdr_code amount_for(const mdr_bath_desk *d, const mdr_mix *mix, double reading_ph,
                           double *g_per_l, mdr_err *err)
{
    const int substance = mdr_bath_part_substance(d->q->unknown);
    const double without = mdr_equil_ph(mix);
    mdr_code rc = mdr_equil_need(mix, substance, reading_ph, most_of(mix, substance), g_per_l, err);
    if (rc == MDR_E_INFEAS && err != NULL) {
        mdr_err_remedy(err, "read again, or look at what else is in the bath");
        mdr_err_allowed(err, "pH %.2f was read", reading_ph);
    }
    MDR_TRY(rc);
    if (!(*g_per_l > 0.0) && fabs(without - reading_ph) > READING_ERROR_PH) {
        rc = MDR_FAIL(err, MDR_E_INFEAS, "", "no amount of it explains this reading");
        mdr_err_value(err, "pH %.2f read", reading_ph);
        mdr_err_allowed(err, "pH %.2f without any of it", without);
        mdr_err_remedy(err, "read again, or look at what else is in the bath");
    }
    return rc;
}

static void bound(mdr_bath_desk *d, const mdr_mix *mix, double reading_ph, const char *key,
                  const char *label)
{
    double g_per_l = 0.0;
    if (amount_for(d, mix, reading_ph, &g_per_l, NULL) == MDR_OK) {
        mdr_desk_number(&d->desk, key, label, "g/L", g_per_l);
    } else {
        mdr_desk_none(&d->desk, key, label, "g/L");
    }
}

mdr_code mdr_answer_probe(mdr_bath_desk *d, mdr_err *err)
{
    const mdr_bath_ask *q = d->q;
    const bool cold = q->reading_is == MDR_READING_COLD;
    const int substance = mdr_bath_part_substance(q->unknown);
    const double sign = mdr_substance_acid_mol_per_kg(substance) > 0.0 ? -1.0 : 1.0;
    mdr_mix mix;
    double g_per_l = 0.0;
    MDR_TRY(mix_of(q, cold ? q->cold_c : q->temp_c, &mix, err));
    const mdr_code rc = amount_for(d, &mix, q->ph, &g_per_l, err);
    if (rc != MDR_OK) {
        if (rc == MDR_E_INFEAS && err != NULL) {
            err->place[0] = '\0';
            mdr_err_within(err, "ph");
        }
        return rc;
    }
    mdr_mix whole = mix;
    add(&whole, q->unknown, g_per_l);
    const mdr_mix hot = at_temp(whole, q->temp_c), sample = at_temp(whole, q->cold_c);
    part(d, "unknown", "looked for", q->unknown);
    mdr_desk_number(&d->desk, "amount_g_per_l", "in the bath", "g/L", g_per_l);
    bound(d, &mix, q->ph - sign * READING_ERROR_PH, "amount_least_g_per_l",
          "if the reading is off by 0.05, least");
    bound(d, &mix, q->ph + sign * READING_ERROR_PH, "amount_most_g_per_l",
          "if the reading is off by 0.05, most");
    mdr_desk_number(&d->desk, "ph_bath", "pH in the bath", "pH", mdr_equil_ph(&hot));
    mdr_desk_number(&d->desk, "ph_cold", "pH of the cooled sample", "pH", mdr_equil_ph(&sample));
    mdr_desk_number(&d->desk, "temp_c", "bath", "degC", q->temp_c);
    mdr_desk_number(&d->desk, "cold_c", "sample", "degC", q->cold_c);
    explain(d, &hot);
    mdr_bath_because(d, MDR_WHY_NEED);
    mdr_desk_note(
        &d->desk,
        "A probe corrects its own slope for temperature, never the chemistry: compare a rate or a "
        "recipe with the pH of the bath, not with that of the cooled sample.");
    mdr_desk_note(&d->desk, "The amount says what the pH says; titrate when it matters.");
    return MDR_OK;
}

/* -- same_ph -- */

static const mdr_answer_column SAME_COLUMNS[] = {{"dose_fraction", "dose/whole", ""},
                                                 {"ph_soda", "soda alone", "pH"},
                                                 {"ph_mixed", "mixed", "pH"}};
enum { SAME_POINTS = 11 };

static mdr_code compare(mdr_bath_desk *d, const mdr_mix *base, double soda_g_per_l,
                        double mixed_g_per_l, double naoh_g_per_l, mdr_err *err)
{
    const mdr_equil_model model = mdr_equil_model_at(base->temp_c);
    MDR_TRY(mdr_desk_table(&d->desk, "points", "pH while it is dosed evenly", SAME_COLUMNS, 3,
                           SAME_POINTS, err));
    double *cell = d->desk.a->table.cells;
    for (int i = 0; i < SAME_POINTS; i++) {
        const double dosed = (double)i / (SAME_POINTS - 1);
        mdr_mix mixed = *base;
        add(&mixed, MDR_PART_NA2CO3, dosed * mixed_g_per_l);
        *cell++ = dosed;
        MDR_TRY(ph_with(&model, base, MDR_PART_NA2CO3, dosed * soda_g_per_l, cell++, err));
        MDR_TRY(ph_with(&model, &mixed, MDR_PART_NAOH, dosed * naoh_g_per_l, cell++, err));
    }
    return MDR_OK;
}

mdr_code mdr_answer_same_ph(mdr_bath_desk *d, mdr_err *err)
{
    const double soda_g_per_l = d->q->soda_only_g_per_l;
    const double mixed_g_per_l = d->q->soda_mixed_g_per_l;
    mdr_mix base;
    double naoh_g_per_l = 0.0;
    MDR_TRY(mix_of(d->q, d->q->temp_c, &base, err));
    mdr_mix soda = base;
    add(&soda, MDR_PART_NA2CO3, soda_g_per_l);
    MDR_TRY(mdr_mix_check(&soda, err));
    mdr_mix mixed = base;
    add(&mixed, MDR_PART_NA2CO3, mixed_g_per_l);
    const double ph = mdr_equil_ph(&soda);
    MDR_TRY(mdr_equil_need(&mixed, MDR_SUB_NAOH, ph, most_of(&mixed, MDR_SUB_NAOH), &naoh_g_per_l,
                           err));
    MDR_TRY(compare(d, &base, soda_g_per_l, mixed_g_per_l, naoh_g_per_l, err));
    mdr_desk_number(&d->desk, "ph", "pH of both", "pH", ph);
    mdr_desk_number(&d->desk, "soda_only_g_per_l", "soda alone", "g/L", soda_g_per_l);
    mdr_desk_number(&d->desk, "soda_mixed_g_per_l", "soda of the mixed alkali", "g/L",
                    mixed_g_per_l);
    mdr_desk_number(&d->desk, "naoh_g_per_l", "caustic soda 100 % with it", "g/L", naoh_g_per_l);
    mdr_desk_number(&d->desk, "saved_g_per_l", "less alkali", "g/L",
                    soda_g_per_l - mixed_g_per_l - naoh_g_per_l);
    explain(d, &soda);
    mdr_bath_because(d, MDR_WHY_NEED);
    caution(d, &soda);
    mdr_desk_note(
        &d->desk,
        "The same pH at the start is not the same reserve: with less soda the pH falls more "
        "while dye and cotton take alkali. Common practice: try it on one lot.");
    mdr_desk_note(&d->desk, mdr_lang_text("caution.corrosive-alkali"));
    return MDR_OK;
}

/* -- neutralise -- */

static const mdr_answer_column OVER_COLUMNS[] = {
    {"given_pct", "given", "%"}, {"acid_g_per_l", "acid 100 %", "g/L"}, {"ph", "pH", "pH"}};

static mdr_code overshoot(mdr_bath_desk *d, const mdr_mix *mix, double need_g_per_l, mdr_err *err)
{
    static const double GIVEN_PCT[] = {90.0, 100.0, 110.0, 125.0};
    enum { N = sizeof GIVEN_PCT / sizeof GIVEN_PCT[0] };
    const mdr_equil_model model = mdr_equil_model_at(mix->temp_c);
    MDR_TRY(mdr_desk_table(&d->desk, "overshoot", "if more or less of it is given", OVER_COLUMNS, 3,
                           N, err));
    double *cell = d->desk.a->table.cells;
    for (int i = 0; i < N; i++) {
        const double g_per_l = need_g_per_l * GIVEN_PCT[i] / 100.0;
        *cell++ = GIVEN_PCT[i];
        *cell++ = g_per_l;
        MDR_TRY(ph_with(&model, mix, d->q->acid, g_per_l, cell++, err));
    }
    return MDR_OK;
}

mdr_code mdr_answer_neutralise(mdr_bath_desk *d, mdr_err *err)
{
    const mdr_bath_ask *q = d->q;
    const int acid = mdr_bath_part_substance(q->acid);
    mdr_mix mix;
    double need_g_per_l = 0.0;
    MDR_TRY(mix_of(q, q->temp_c, &mix, err));
    MDR_TRY(mdr_equil_need(&mix, acid, q->target_ph, most_of(&mix, acid), &need_g_per_l, err));
    MDR_TRY(overshoot(d, &mix, need_g_per_l, err));
    const double acid_kg = need_g_per_l * q->liquor_l / G_PER_KG;
    mdr_mix after = mix;
    add(&after, q->acid, need_g_per_l);
    part(d, "acid", "acid", q->acid);
    mdr_desk_number(&d->desk, "ph_before", "pH before", "pH", mdr_equil_ph(&mix));
    mdr_desk_number(&d->desk, "ph", "pH after", "pH", mdr_equil_ph(&after));
    mdr_desk_number(&d->desk, "acid_g_per_l", "acid 100 %", "g/L", need_g_per_l);
    mdr_desk_number(&d->desk, "acid_kg", "acid 100 %", "kg", acid_kg);
    mdr_desk_number(&d->desk, "strength_pct", "strength of the product", "% w/w", q->strength_pct);
    mdr_desk_number(&d->desk, "product_kg", "product to weigh", "kg",
                    mdr_strength_delivered(acid_kg, q->strength_pct));
    explain(d, &after);
    mdr_bath_because(d, MDR_WHY_NEED);
    mdr_bath_because(d, MDR_WHY_DELIVERED);
    caution(d, &mix);
    if (!(need_g_per_l > 0.0)) {
        mdr_desk_note(&d->desk, "The bath is there already: no acid.");
    } else if (mix.mol_per_kg[MDR_TOTAL_CARBONATE] > 0.0) {
        mdr_desk_note(
            &d->desk,
            "Soda becomes carbon dioxide, which leaves a running bath: the pH then climbs. Run "
            "10 min and read again before more acid.");
    }
    if (need_g_per_l > 0.0) {
        mdr_desk_note(&d->desk, mdr_lang_text("caution.corrosive-acid"));
    }
    mdr_desk_note(
        &d->desk,
        "What sits in the core of the rope is not in this bath: check the fabric, not the liquor.");
    return MDR_OK;
}
