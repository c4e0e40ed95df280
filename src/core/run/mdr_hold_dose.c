/* A dose of a remedy: what is weighed, what the tank makes of it, what the vessel has room for. */
#include <math.h>

#include "core/run/mdr_hold_work.h"
#include "core/units/mdr_strength.h"

static const double MG_PER_KG = 1e6;
static const double DOSE_MOST_C = 80.0; /* the tank is opened into liquor up to this; common
                                                practice */

static double density(const mdr_material *m)
{
    double strength_pct = 0.0, density_kg_per_l = m->density_kg_per_l;
    if (!(density_kg_per_l > 0.0) && m->baume > 0.0 &&
        mdr_strength_of_baume(m->substance, m->baume, &strength_pct, &density_kg_per_l, NULL) !=
            MDR_OK) {
        return 0.0;
    }
    return density_kg_per_l;
}

/* What one product makes up to in the tank, and what of it is a liquid product. */
static double made_l(const mdr_hold_dose *d, double *product_l)
{
    static const double DILUTION_L_PER_L = 1.0; /* as on a plan; common practice */
    const double kg_per_l = density(d->material);
    *product_l = 0.0;
    if (mdr_form_is_liquid((mdr_form)d->material->form) && kg_per_l > 0.0) {
        *product_l = mdr_strength_volume_l(d->product_kg, kg_per_l);
        return *product_l * (1.0 + DILUTION_L_PER_L);
    }
    return d->material->solubility_g_per_l > 0.0
               ? d->product_kg * 1000.0 / d->material->solubility_g_per_l
               : 0.0;
}

static void write_item(mdr_hold_work *w, mdr_control_item *item, const mdr_hold_dose *d,
                       double product_l)
{
    const mdr_material *m = d->material;
    *item = (mdr_control_item){.material_id = m->material_id,
                               .name = m->name,
                               .mass_mg = (int64_t)llround(d->product_kg * MG_PER_KG),
                               .volume_l = product_l,
                               .dye = m->is_dye,
                               .substance = m->substance,
                               .cautions = m->cautions};
    if (item->mass_mg < 1) {
        mdr_hold_break(w, mdr_hold_say(w, "hold.cannot.weigh", mdr_lang_str(m->name)));
    }
    w->remedy.cost_minor += d->product_kg * m->price_minor_per_kg;
    if (m->stock_kg > 0.0 && m->stock_kg < d->product_kg) {
        mdr_hold_caution(w, mdr_hold_say(w, "hold.give.stock", mdr_lang_str(m->name),
                                         mdr_lang_num(m->stock_kg, 1),
                                         mdr_lang_num(d->product_kg, 1)));
    }
}

/* Where the vessel is too full for fresh water the tank takes liquor of the bath. */
static const char *tank_room(mdr_hold_work *w, double made, double products_l, double *added_l)
{
    const double room_l = w->in->machine->liquor_max_l - w->now.liquor_l;
    const bool fresh = w->in->machine->tank_water == MDR_TANK_FRESH;
    if (fresh && made <= room_l) {
        *added_l = made;
        w->remedy.water_l += made - products_l;
        return "";
    }
    *added_l = products_l;
    if (products_l > room_l) {
        mdr_hold_break(w,
                       mdr_hold_say(w, "hold.cannot.volume", mdr_lang_num(products_l - room_l, 0),
                                    mdr_lang_num(w->in->machine->liquor_max_l, 0)));
    }
    return fresh ? mdr_hold_say(w, "hold.give.with-liquor") : "";
}

static double dose_min(const mdr_machine *m, double volume_l, double asked_min)
{
    if (!(m->tank_flow_l_per_min > 0.0 && m->tank_l > 0.0)) {
        return asked_min;
    }
    const double loads = fmax(1.0, ceil(volume_l / m->tank_l));
    return fmax(asked_min, volume_l / m->tank_flow_l_per_min + (loads - 1.0) * m->tank_prepare_min);
}

void mdr_hold_give(mdr_hold_work *w, const mdr_hold_dose *doses, int n, double minutes,
                   mdr_curve_kind curve)
{
    if (w->now.temp_c > DOSE_MOST_C + 0.5) {
        mdr_hold_to_temp(w, DOSE_MOST_C);
    }
    mdr_control_item *items = MDR_NEW_N(w->arena, mdr_control_item, (size_t)n);
    mdr_control_step *s = mdr_hold_open(w, MDR_STEP_DOSE, "");
    if (items == NULL || s == NULL) {
        w->no_memory = w->no_memory || items == NULL;
        return;
    }
    double made = 0.0, products_l = 0.0, added_l = 0.0;
    for (int i = 0; i < n; i++) {
        double product_l = 0.0;
        made += made_l(&doses[i], &product_l);
        products_l += product_l;
        write_item(w, &items[i], &doses[i], product_l);
        mdr_hold_add(
            &w->now, doses[i].material->substance,
            mdr_strength_active(doses[i].product_kg, mdr_hold_strength_pct(doses[i].material)));
        s->cautions |= items[i].cautions;
    }
    s->note = tank_room(w, made, products_l, &added_l);
    s->items = items;
    s->n_items = n;
    s->curve = curve;
    s->exponent = curve == MDR_CURVE_PROGRESSIVE ? 2.0 : 1.0; /* usual; common practice */
    s->volume_l = added_l;
    w->now.liquor_l += added_l;
    mdr_hold_shut(w, s, dose_min(w->in->machine, made, minutes));
}

void mdr_hold_give_one(mdr_hold_work *w, const mdr_material *material, double product_kg,
                       double minutes)
{
    mdr_hold_give(w, &(mdr_hold_dose){material, product_kg}, 1, minutes, MDR_CURVE_LINEAR);
}
