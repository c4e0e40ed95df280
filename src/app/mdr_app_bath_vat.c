/* The reserve of a vat: who takes the dithionite, how long it lasts, what oxidises the dye. */
#include <math.h>

#include "app/mdr_app_bath_in.h"
#include "base/mdr_lang.h"
#include "core/bath/mdr_reduction.h"

enum { RESERVE_POINTS = 13 };
static const double G_PER_KG = 1000.0;

static const mdr_answer_column RESERVE_COLUMNS[] = {
    {"time_min", "time", "min"}, {"dithionite_g_per_l", "dithionite left", "g/L"}};

/* What is there once water and dye have taken theirs, and where it goes. */
typedef struct vat {
    mdr_reduction_in in;
    mdr_reduction_need need;
    double start_g_per_l;
} vat;

static mdr_code vat_of(const mdr_bath_ask *q, vat *v, mdr_err *err)
{
    double oxygen_mg_per_l = 0.0;
    MDR_TRY(mdr_reduction_oxygen_mg_per_l(q->water_c, &oxygen_mg_per_l, err));
    const double air =
        q->has_air ? q->air_g_o2_per_kg_h : mdr_reduction_air_g_o2_per_kg_h(q->machine_kind);
    v->in = (mdr_reduction_in){.dye_g_per_l = q->dye_g_per_l,
                               .dithionite_per_dye_g_per_g = q->dithionite_per_dye_g_per_g,
                               .oxygen_mg_per_l = oxygen_mg_per_l,
                               .air_loss_g_per_l_min =
                                   mdr_reduction_air_loss_g_per_l_min(air, q->load_kg, q->liquor_l),
                               .heat_per_min = mdr_reduction_heat_per_min(q->temp_c),
                               .minutes = q->minutes,
                               .reserve_g_per_l = q->reserve_g_per_l};
    v->need = mdr_reduction_budget(&v->in);
    v->start_g_per_l = fmax(
        q->part_g_per_l[MDR_PART_DITHIONITE] - v->need.water_g_per_l - v->need.dye_g_per_l, 0.0);
    return MDR_OK;
}

static double left_after(const vat *v, double minutes)
{
    return mdr_reduction_left_g_per_l(v->start_g_per_l, v->in.air_loss_g_per_l_min,
                                      v->in.heat_per_min, minutes);
}

static void put_need(mdr_bath_desk *d, const mdr_reduction_need *need)
{
    mdr_desk_group(&d->desk, "need_g_per_l", "Who takes it");
    mdr_desk_number(&d->desk, "water", "dithionite: oxygen of the water", "g/L",
                    need->water_g_per_l);
    mdr_desk_number(&d->desk, "dye", "the dye", "g/L", need->dye_g_per_l);
    mdr_desk_number(&d->desk, "air", "air on the rope", "g/L", need->air_g_per_l);
    mdr_desk_number(&d->desk, "heat", "decay", "g/L", need->heat_g_per_l);
    mdr_desk_number(&d->desk, "reserve", "reserve at the end", "g/L", need->reserve_g_per_l);
    mdr_desk_number(&d->desk, "total", "in all", "g/L", need->total_g_per_l);
    mdr_desk_number(&d->desk, "naoh", "caustic soda they take with them", "g/L",
                    need->naoh_g_per_l);
    mdr_desk_group(&d->desk, NULL, NULL);
}

/* As the plan has it: what the equations ask for with excess, at least what the bath needs to work. */
static double oxidant_kg(const mdr_bath_ask *q, double dye_kg, double dithionite_kg)
{
    return mdr_reduction_oxidant_given_kg(dye_kg, q->dithionite_per_dye_g_per_g, dithionite_kg,
                                          MDR_REDUCTION_OXIDANT_EXCESS,
                                          MDR_REDUCTION_OXIDANT_LEAST_G_PER_L, q->liquor_l);
}

static void put_oxidant(mdr_bath_desk *d, double left_g_per_l)
{
    const mdr_bath_ask *q = d->q;
    const double lot_kg_per_g_per_l = q->liquor_l / G_PER_KG;
    const double dye_kg = q->dye_g_per_l * lot_kg_per_g_per_l;
    mdr_desk_number(&d->desk, "h2o2_kg", "H2O2 100 % to oxidise, nothing rinsed", "kg",
                    oxidant_kg(q, dye_kg, left_g_per_l * lot_kg_per_g_per_l));
    mdr_desk_number(&d->desk, "h2o2_rinsed_kg", "the same, dithionite rinsed out", "kg",
                    oxidant_kg(q, dye_kg, 0.0));
}

static void cautions(mdr_bath_desk *d, const vat *v)
{
    mdr_desk_note(&d->desk, mdr_lang_text("caution.corrosive-alkali"));
    mdr_desk_note(&d->desk, mdr_lang_text("caution.reducer"));
    const double naoh_left = d->q->part_g_per_l[MDR_PART_NAOH] - v->need.naoh_g_per_l;
    if (!(naoh_left > 0.0)) {
        mdr_desk_note(
            &d->desk,
            "The caustic does not even cover what the reactions take: the leuco dye falls "
            "out and dithionite decays many times faster.");
    }
    if (!d->q->has_air) {
        mdr_desk_note(
            &d->desk,
            "What air takes is invented by kind of machine: titrate one blank vat twice and "
            "give air_g_o2_per_kg_h.");
    }
    mdr_desk_note(&d->desk, "One addition at the start; later portions lose less. Pure dye in the "
                            "delivered one and decay "
                            "are from memory.");
}

mdr_code mdr_answer_vat(mdr_bath_desk *d, mdr_err *err)
{
    const mdr_bath_ask *q = d->q;
    const double given_g_per_l = q->part_g_per_l[MDR_PART_DITHIONITE];
    vat v;
    MDR_TRY(vat_of(q, &v, err));
    MDR_TRY(mdr_desk_table(&d->desk, "reserve", "reserve over the time", RESERVE_COLUMNS, 2,
                           RESERVE_POINTS, err));
    double *cell = d->desk.a->table.cells;
    for (int i = 0; i < RESERVE_POINTS; i++) {
        const double minutes = q->minutes * i / (RESERVE_POINTS - 1);
        *cell++ = minutes;
        *cell++ = left_after(&v, minutes);
    }
    const double left_g_per_l = left_after(&v, q->minutes);
    const bool enough = given_g_per_l >= v.need.total_g_per_l;
    double spent_min = 0.0;
    mdr_desk_text(&d->desk, "verdict", "the dithionite given is", enough ? "enough" : "short",
                  enough ? "enough" : "short");
    mdr_desk_number(&d->desk, "given_g_per_l", "dithionite given", "g/L", given_g_per_l);
    put_need(d, &v.need);
    mdr_desk_number(&d->desk, "naoh_left_g_per_l", "caustic soda left for the leuco dye", "g/L",
                    q->part_g_per_l[MDR_PART_NAOH] - v.need.naoh_g_per_l);
    mdr_desk_number(&d->desk, "left_g_per_l", "dithionite left at the end", "g/L", left_g_per_l);
    if (mdr_reduction_spent_min(v.start_g_per_l, v.in.air_loss_g_per_l_min, v.in.heat_per_min,
                                &spent_min)) {
        mdr_desk_number(&d->desk, "spent_min", "spent after", "min", spent_min);
    } else {
        mdr_desk_none(&d->desk, "spent_min", "spent after", "min");
        mdr_desk_note(&d->desk, "Without air the dithionite is never quite spent.");
    }
    put_oxidant(d, left_g_per_l);
    mdr_bath_because(d, MDR_WHY_BUDGET);
    mdr_bath_because(d, MDR_WHY_RESERVE);
    mdr_bath_because(d, MDR_WHY_OXYGEN);
    mdr_bath_because(d, MDR_WHY_VAT_DYE);
    mdr_bath_because(d, MDR_WHY_AIR);
    mdr_bath_because(d, MDR_WHY_DECAY);
    mdr_bath_because(d, MDR_WHY_OXIDANT);
    cautions(d, &v);
    return MDR_OK;
}
