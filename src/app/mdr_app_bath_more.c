/* Questions that are answered by amounts: titration, hardness, salts, rinsing. */
#include "app/mdr_app_bath_in.h"
#include "core/bath/mdr_peroxide.h"
#include "core/bath/mdr_rinse.h"
#include "core/bath/mdr_salt.h"
#include "core/bath/mdr_sequester.h"
#include "core/bath/mdr_titrate.h"
#include "core/plan/mdr_records.h"
#include "core/units/mdr_strength.h"

static const double G_PER_KG = 1000.0;

/* -- titrate -- */

static mdr_titrate_in reading(const mdr_bath_ask *q)
{
    return (mdr_titrate_in){.sample_ml = q->sample_ml,
                            .titrant_ml = q->titrant_ml,
                            .titrant_eq_per_l = q->titrant_eq_per_l};
}

static mdr_code peroxide(mdr_bath_desk *d, mdr_err *err)
{
    const mdr_bath_ask *q = d->q;
    const mdr_titrate_in in = reading(q);
    double mg_per_l = 0.0;
    MDR_TRY(mdr_titrate_peroxide_mg_per_l(&in, &mg_per_l, err));
    const bool passes = mdr_peroxide_passes(mg_per_l);
    mdr_desk_number(&d->desk, "peroxide_mg_per_l", "H2O2 100 %", "mg/L", mg_per_l);
    mdr_desk_text(&d->desk, "verdict", "before the dye", passes ? "pass" : "stop",
                  passes ? "pass" : "stop: more catalase");
    mdr_desk_number(&d->desk, "limit_mg_per_l", "limit", "mg/L", MDR_PEROXIDE_LIMIT_MG_PER_L);
    mdr_bath_because(d, MDR_WHY_PEROXIDE);
    mdr_bath_because(d, MDR_WHY_HOLD_POINT);
    if (q->has_capacity) {
        mdr_desk_number(&d->desk, "catalase_kg", "catalase as delivered, down to 1 mg/L", "kg",
                        mdr_peroxide_extra_kg(mg_per_l, q->liquor_l, q->capacity_mg_per_g));
        mdr_bath_because(d, MDR_WHY_CATALASE);
        mdr_desk_note(&d->desk,
                      "Catalase works at pH 6 to 8 and 30 to 55 degC; common practice, its data "
                      "sheet comes first.");
    }
    mdr_desk_note(&d->desk,
                  "Permanganate also takes sulphite, nitrite and much of what is organic: a "
                  "dyed or dirty bath reads too high.");
    return MDR_OK;
}

/* Acid for what was found, when one is named; in kg when the liquor is given too. */
static mdr_code acid_for(mdr_bath_desk *d, double eq_per_l, mdr_err *err)
{
    const mdr_bath_ask *q = d->q;
    if (!q->has_acid) {
        return MDR_OK;
    }
    const double mol_per_kg = mdr_substance_acid_mol_per_kg(mdr_bath_part_substance(q->acid));
    double kg_per_l = 0.0, acid_kg = 0.0;
    MDR_TRY(mdr_titrate_acid_kg(eq_per_l, 1.0, mol_per_kg, &kg_per_l, err));
    mdr_desk_text(&d->desk, "acid", "acid", mdr_bath_part_id(q->acid),
                  mdr_bath_part_words(q->acid));
    mdr_desk_number(&d->desk, "acid_g_per_l", "acid 100 %", "g/L", kg_per_l * G_PER_KG);
    mdr_bath_because(d, MDR_WHY_ACID);
    if (q->has_liquor) {
        MDR_TRY(mdr_titrate_acid_kg(eq_per_l, q->liquor_l, mol_per_kg, &acid_kg, err));
        mdr_desk_number(&d->desk, "acid_kg", "acid 100 %", "kg", acid_kg);
        mdr_desk_number(&d->desk, "product_kg", "product to weigh", "kg",
                        mdr_strength_delivered(acid_kg, q->strength_pct));
        mdr_bath_because(d, MDR_WHY_DELIVERED);
    }
    mdr_desk_note(&d->desk, "What sits in the core of the rope is not in the flask: run 10 min and "
                            "titrate again.");
    return MDR_OK;
}

static mdr_code alkali(mdr_bath_desk *d, mdr_err *err)
{
    const mdr_titrate_in in = reading(d->q);
    double eq_per_l = 0.0, g_per_l = 0.0;
    MDR_TRY(mdr_titrate_eq_per_l(&in, &eq_per_l, err));
    MDR_TRY(
        mdr_titrate_alkali_g_per_l(&in, mdr_bath_part_substance(d->q->substance), &g_per_l, err));
    mdr_desk_text(&d->desk, "counted_as", "counted as", mdr_bath_part_id(d->q->substance),
                  mdr_bath_part_words(d->q->substance));
    mdr_desk_number(&d->desk, "alkali_g_per_l", "alkali, 100 %", "g/L", g_per_l);
    mdr_desk_number(&d->desk, "alkali_eq_per_l", "equivalents", "eq/L", eq_per_l);
    mdr_bath_because(d, MDR_WHY_EQUIVALENTS);
    mdr_bath_because(d, MDR_WHY_ALKALI);
    return acid_for(d, eq_per_l, err);
}

static mdr_code two_alkalis(mdr_bath_desk *d, mdr_err *err)
{
    const mdr_bath_ask *q = d->q;
    const mdr_titrate_two in = {.sample_ml = q->sample_ml,
                                .phenolphthalein_ml = q->phenolphthalein_ml,
                                .methyl_orange_ml = q->methyl_orange_ml,
                                .titrant_eq_per_l = q->titrant_eq_per_l};
    mdr_titrate_alkalis found;
    MDR_TRY(mdr_titrate_two_alkalis(&in, &found, err));
    const mdr_titrate_in whole = {.sample_ml = q->sample_ml,
                                  .titrant_ml = q->methyl_orange_ml,
                                  .titrant_eq_per_l = q->titrant_eq_per_l};
    double eq_per_l = 0.0;
    MDR_TRY(mdr_titrate_eq_per_l(&whole, &eq_per_l, err));
    mdr_desk_number(&d->desk, "naoh_g_per_l", "caustic soda", "g/L", found.naoh_g_per_l);
    mdr_desk_number(&d->desk, "na2co3_g_per_l", "soda", "g/L", found.na2co3_g_per_l);
    mdr_desk_number(&d->desk, "nahco3_g_per_l", "hydrogen carbonate", "g/L", found.nahco3_g_per_l);
    mdr_desk_number(&d->desk, "alkali_eq_per_l", "equivalents", "eq/L", eq_per_l);
    mdr_bath_because(d, MDR_WHY_EQUIVALENTS);
    mdr_bath_because(d, MDR_WHY_TWO_ALKALIS);
    return acid_for(d, eq_per_l, err);
}

typedef mdr_code titration(const mdr_titrate_in *in, double *g_per_l, mdr_err *err);

static mdr_code one_number(mdr_bath_desk *d, titration *by, const char *key, const char *label,
                           mdr_bath_why why, mdr_err *err)
{
    const mdr_titrate_in in = reading(d->q);
    double g_per_l = 0.0;
    MDR_TRY(by(&in, &g_per_l, err));
    mdr_desk_number(&d->desk, key, label, "g/L", g_per_l);
    mdr_bath_because(d, MDR_WHY_EQUIVALENTS);
    mdr_bath_because(d, why);
    return MDR_OK;
}

mdr_code mdr_answer_titrate(mdr_bath_desk *d, mdr_err *err)
{
    mdr_desk_text(&d->desk, "kind", "titration", mdr_bath_titration_id(d->q->kind),
                  mdr_bath_titration_words(d->q->kind));
    switch (d->q->kind) {
    case MDR_TITRATE_PEROXIDE:
        return peroxide(d, err);
    case MDR_TITRATE_ALKALI:
        return alkali(d, err);
    case MDR_TITRATE_TWO_ALKALIS:
        return two_alkalis(d, err);
    case MDR_TITRATE_DITHIONITE:
        return one_number(d, mdr_titrate_dithionite_g_per_l, "dithionite_g_per_l",
                          "dithionite, 100 %", MDR_WHY_DITHIONITE, err);
    case MDR_TITRATE_SALT:
        mdr_desk_note(&d->desk, "Silver counts chloride only: sodium sulphate is not found by it.");
        return one_number(d, mdr_titrate_salt_g_per_l, "salt_g_per_l", "common salt",
                          MDR_WHY_SALT_TITRE, err);
    case MDR_TITRATION_COUNT:
        break;
    }
    MDR_UNREACHABLE();
}

/* -- hardness -- */

static const char *hardness_verdict(double free_dh)
{
    return free_dh > MDR_SEQUESTER_WARNING_DH  ? "warning"
           : free_dh > MDR_SEQUESTER_REMARK_DH ? "remark"
                                               : "pass";
}

static const char *hardness_words(double free_dh)
{
    return free_dh > MDR_SEQUESTER_WARNING_DH  ? "warning: alkali precipitates it"
           : free_dh > MDR_SEQUESTER_REMARK_DH ? "remark: above 3 dH look at it"
                                               : "pass: soft enough";
}

static double dh(mdr_hardness h)
{
    return mdr_hardness_in(h, MDR_HARD_DH);
}

mdr_code mdr_answer_hardness(mdr_bath_desk *d, mdr_err *err)
{
    (void)err; /* nothing here can fail: the ranges were looked at when it was read */
    const mdr_bath_ask *q = d->q;
    const double fabric_mmol_per_kg =
        mdr_sequester_fabric_mmol_per_kg(q->calcium_mg_per_kg, q->magnesium_mg_per_kg);
    const mdr_hardness released =
        mdr_sequester_released(fabric_mmol_per_kg, q->released_part, q->ratio_l_per_kg);
    const mdr_hardness total =
        mdr_sequester_total(mdr_hardness_of(q->water_dh, MDR_HARD_DH), released);
    const mdr_hardness bound = q->has_capacity
                                   ? mdr_sequester_bound(q->product_g_per_l, q->capacity_mg_per_g)
                                   : (mdr_hardness){0.0};
    const double free_dh = dh(mdr_sequester_free(total, bound));
    mdr_desk_number(&d->desk, "water_dh", "water", "dH", q->water_dh);
    mdr_desk_number(&d->desk, "released_dh", "out of the cotton", "dH", dh(released));
    mdr_desk_number(&d->desk, "total_dh", "in all", "dH", dh(total));
    mdr_desk_number(&d->desk, "total_mg_caco3_per_l", "in all, as CaCO3", "mg/L",
                    mdr_hardness_in(total, MDR_HARD_PPM_CACO3));
    mdr_desk_number(&d->desk, "bound_dh", "held by the product", "dH", dh(bound));
    mdr_desk_number(&d->desk, "free_dh", "free", "dH", free_dh);
    mdr_desk_text(&d->desk, "verdict", "verdict", hardness_verdict(free_dh),
                  hardness_words(free_dh));
    mdr_desk_number(&d->desk, "fabric_left_mmol_per_kg", "left on the cotton, Ca + Mg", "mmol/kg",
                    mdr_sequester_fabric_left_mmol_per_kg(fabric_mmol_per_kg, q->released_part));
    mdr_bath_because(d, MDR_WHY_HARDNESS);
    mdr_bath_because(d, MDR_WHY_COTTON);
    mdr_bath_because(d, MDR_WHY_FREE);
    if (q->has_capacity) {
        const mdr_hardness allowed = mdr_hardness_of(q->allowed_dh, MDR_HARD_DH);
        const double need_g_per_l =
            mdr_sequester_need_g_per_l(total, allowed, q->capacity_mg_per_g);
        mdr_desk_number(&d->desk, "allowed_dh", "allowed free", "dH", q->allowed_dh);
        mdr_desk_number(&d->desk, "need_g_per_l", "product needed for that", "g/L", need_g_per_l);
        mdr_bath_because(d, MDR_WHY_SEQUESTRANT);
    }
    mdr_desk_note(&d->desk,
                  "The part that a bath takes out of the cotton is common practice (0.70 acid, "
                  "0.30 hot alkaline, "
                  "0.05 other): titrate the drained bath once and use your own.");
    if (d->q->product_g_per_l > 0.0) {
        mdr_desk_note(&d->desk, "What 1 g holds falls in acid, in heat and beside other metals.");
    }
    return MDR_OK;
}

/* -- salt -- */

static int salt_substance(mdr_bath_salt s)
{
    return s == MDR_SALT_NACL ? MDR_SUB_NACL : MDR_SUB_NA2SO4;
}

/* Grams as weighed of 1 g anhydrous. */
static double weighed_per_g(mdr_bath_salt s)
{
    return s == MDR_SALT_GLAUBER ? mdr_strength_decahydrate_factor() : 1.0;
}

static void put_salt(mdr_bath_desk *d, mdr_bath_salt salt, double anhydrous_g_per_l)
{
    const int substance = salt_substance(salt);
    const double g_per_l = anhydrous_g_per_l * weighed_per_g(salt);
    mdr_desk_number(&d->desk, "g_per_l", "as weighed", "g/L", g_per_l);
    mdr_desk_number(&d->desk, "sodium_mol_per_l", "sodium", "mol/L",
                    mdr_salt_sodium_mol_per_l(substance, anhydrous_g_per_l));
    mdr_desk_number(&d->desk, "ionic_mol_per_l", "ionic strength", "mol/L",
                    mdr_salt_ionic_mol_per_l(substance, anhydrous_g_per_l));
    if (substance == MDR_SUB_NA2SO4) {
        mdr_desk_number(&d->desk, "decahydrate_g_per_l", "as Glauber's salt crystals", "g/L",
                        anhydrous_g_per_l * mdr_strength_decahydrate_factor());
    }
    if (d->q->has_ratio) {
        mdr_desk_number(&d->desk, "g_per_kg", "on the fabric's mass", "g/kg",
                        g_per_l * d->q->ratio_l_per_kg);
    }
}

mdr_code mdr_answer_salt(mdr_bath_desk *d, mdr_err *err)
{
    (void)err; /* nothing here can fail: the words were looked at when it was read */
    static const struct {
        const char *key, *label;
    } GROUPS[] = {[MDR_SWAP_MASS] = {"equal_mass", "The same mass"},
                  [MDR_SWAP_SODIUM] = {"equal_sodium", "The same sodium"},
                  [MDR_SWAP_IONIC] = {"equal_ionic", "The same ionic strength"}};
    const mdr_bath_ask *q = d->q;
    const double from_g_per_l = q->amount_g_per_l / weighed_per_g(q->from);
    mdr_desk_text(&d->desk, "from", "from", mdr_bath_salt_id(q->from),
                  mdr_bath_salt_words(q->from));
    mdr_desk_text(&d->desk, "to", "to", mdr_bath_salt_id(q->to), mdr_bath_salt_words(q->to));
    mdr_desk_group(&d->desk, "given", "Given");
    put_salt(d, q->from, from_g_per_l);
    for (int i = 0; i < (int)(sizeof GROUPS / sizeof GROUPS[0]); i++) {
        mdr_desk_group(&d->desk, GROUPS[i].key, GROUPS[i].label);
        put_salt(d, q->to,
                 from_g_per_l *
                     mdr_salt_swap_factor(salt_substance(q->from), salt_substance(q->to), i));
    }
    mdr_desk_group(&d->desk, NULL, NULL);
    mdr_bath_because(d, MDR_WHY_SWAP);
    mdr_bath_because(d, MDR_WHY_IONS);
    mdr_desk_note(&d->desk,
                  "None of the three is right for every dye; the trade swaps by mass, anhydrous "
                  "for anhydrous.");
    return MDR_OK;
}

/* -- rinse -- */

static void put_way(mdr_bath_desk *d, const char *group, const char *label,
                    const mdr_rinse_way *way)
{
    mdr_desk_group(&d->desk, group, label);
    mdr_desk_number(&d->desk, "baths", "baths", "", way->baths);
    mdr_desk_number(&d->desk, "end_g_per_l", "left in the rope's liquor", "g/L", way->end_g_per_l);
    mdr_desk_number(&d->desk, "water_l", "water", "L", way->water_l);
    mdr_desk_number(&d->desk, "water_l_per_kg", "water", "L/kg", way->water_l_per_kg);
    mdr_desk_number(&d->desk, "time_min", "time", "min", way->minutes);
    mdr_desk_group(&d->desk, NULL, NULL);
}

mdr_code mdr_answer_rinse(mdr_bath_desk *d, mdr_err *err)
{
    const mdr_bath_ask *q = d->q;
    const mdr_rinse_in in = {.load_kg = q->load_kg,
                             .ratio_l_per_kg = q->ratio_l_per_kg,
                             .retained_l_per_kg = q->retained_l_per_kg,
                             .start_g_per_l = q->start_g_per_l,
                             .target_g_per_l = q->target_g_per_l,
                             .flow_l_per_min = q->flow_l_per_min,
                             .fill_l_per_min = q->fill_l_per_min,
                             .drain_l_per_min = q->drain_l_per_min,
                             .run_min = q->run_min};
    MDR_TRY(mdr_rinse_check(&in, err));
    const mdr_rinse_way fills = mdr_rinse_fill_drain(&in), flow = mdr_rinse_overflow(&in);
    const bool by_fills = fills.water_l <= flow.water_l;
    const double saved_l = by_fills ? flow.water_l - fills.water_l : fills.water_l - flow.water_l;
    const double longer_min =
        by_fills ? fills.minutes - flow.minutes : flow.minutes - fills.minutes;
    put_way(d, "fill_drain", "Fill and drain", &fills);
    put_way(d, "overflow", "One overflow", &flow);
    mdr_desk_text(&d->desk, "less_water", "less water by", by_fills ? "fill_drain" : "overflow",
                  by_fills ? "fill and drain" : "overflow");
    mdr_desk_number(&d->desk, "water_saved_l", "water saved by it", "L", saved_l);
    mdr_desk_number(&d->desk, "longer_min", "and longer by (minus: shorter)", "min", longer_min);
    mdr_bath_because(d, MDR_WHY_FILL_DRAIN);
    mdr_bath_because(d, MDR_WHY_OVERFLOW);
    mdr_desk_note(&d->desk,
                  "Ideal mixing, for what is dissolved: salt and alkali. Dye that holds on to "
                  "the cotton needs hot "
                  "baths, not water.");
    return MDR_OK;
}
