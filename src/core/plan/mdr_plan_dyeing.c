#include "core/plan/mdr_plan_dyeing.h"

#include <math.h>
#include <stddef.h>

#include "base/mdr_lang.h"
#include "core/units/mdr_steam.h"

static const double G_PER_KG = 1000.0;
/* Rates of the dyes are known up to here (mdr_dye_rates.h). */
static const double TEMP_MOST_C = 100.0;

#define PICK(name, id) id,
static const char *const IDS[] = {MDR_NO_DYEINGS(PICK)};
#undef PICK
#define PICK(name, id) "dyeing." id,
static const char *const KEYS[] = {MDR_NO_DYEINGS(PICK)};
#undef PICK

const char *mdr_no_dyeing_id(mdr_no_dyeing why)
{
    return (size_t)why < sizeof IDS / sizeof IDS[0] ? IDS[why] : NULL;
}

const char *mdr_no_dyeing_words(mdr_no_dyeing why)
{
    if ((size_t)why >= sizeof KEYS / sizeof KEYS[0]) {
        return NULL;
    }
    const char *text = mdr_lang_text(KEYS[why]);
    return text != NULL ? text : ""; /* there is one: nothing to say */
}

static double value(const mdr_plan *plan, mdr_fig_id id)
{
    return mdr_fig_value(&plan->figs, id);
}

/* -- which bath -- */

static double dye_of(const mdr_plan *plan, const mdr_plan_step *step)
{
    double kg = 0.0;
    for (int i = 0; i < step->n_items; i++) {
        kg += step->items[i].material->is_dye ? value(plan, step->items[i].active_kg) : 0.0;
    }
    return kg;
}

static double dye_of_bath(const mdr_plan *plan, const mdr_plan_bath *bath)
{
    double kg = 0.0;
    for (int i = 0; i < bath->n_steps; i++) {
        kg += dye_of(plan, &bath->steps[i]);
    }
    return kg;
}

static mdr_code no_such_bath(const mdr_plan *plan, int number, mdr_err *err)
{
    const int last = plan->n_baths > 0 ? plan->baths[plan->n_baths - 1].number : 0;
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_NOTFOUND, "bath",
                 number > last ? "the lot has no such bath" : "this bath gets no dye");
    mdr_err_value(err, "%d", number);
    mdr_err_allowed(err, "1 to %d, one that gets dye", last);
    mdr_err_remedy(err, "leave it out for the bath with most dye");
    return rc;
}

static mdr_code find_bath(const mdr_plan *plan, int number, mdr_plan_dyeing *d, mdr_err *err)
{
    double most_kg = 0.0;
    for (int b = 0; b < plan->n_baths; b++) {
        const double kg = dye_of_bath(plan, &plan->baths[b]);
        const bool wanted = number == 0 ? kg > most_kg : plan->baths[b].number == number;
        if (kg > 0.0 && wanted) {
            most_kg = kg;
            d->bath = &plan->baths[b];
        }
    }
    if (d->bath == NULL && number != 0) {
        return no_such_bath(plan, number, err);
    }
    for (int b = 0; b < plan->n_baths; b++) {
        if (&plan->baths[b] != d->bath && dye_of_bath(plan, &plan->baths[b]) > 0.0) {
            d->others[d->n_others++] = plan->baths[b].number;
        }
    }
    return MDR_OK;
}

/* -- which steps -- */

static bool ends_liquor(mdr_step_kind kind)
{
    return kind == MDR_STEP_RINSE || kind == MDR_STEP_DRAIN || kind == MDR_STEP_UNLOAD ||
           kind == MDR_STEP_LOAD || kind == MDR_STEP_FILL;
}

/* First and one past the last step of the programme. */
static void find_steps(const mdr_plan *plan, mdr_plan_dyeing *d, int *last)
{
    const mdr_plan_bath *bath = d->bath;
    bool dyed = false;
    *last = bath->n_steps;
    for (int i = 0; i < bath->n_steps; i++) {
        const bool dyes = dye_of(plan, &bath->steps[i]) > 0.0;
        if (i >= *last) {
            d->cut = d->cut || dyes;
        } else if (ends_liquor(bath->steps[i].asked->kind)) {
            *last = dyed ? i : *last;
            d->first_step = dyed ? d->first_step : i + 1;
        }
        dyed = dyed || dyes;
    }
}

/* -- steps -- */

static const mdr_fig_id *dissolved_before(const mdr_plan_bath *bath, int index)
{
    return index > 0 ? bath->steps[index - 1].dissolved_kg : bath->start_kg;
}

static void totals_of(const mdr_plan *plan, const mdr_fig_id *dissolved_kg, double *mol)
{
    mdr_mix mix = {0};
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        /* grams, not grams per kg: the totals are then moles */
        mdr_mix_add(&mix, (int)mdr_dissolved_substance((mdr_dissolved)i),
                    G_PER_KG * value(plan, dissolved_kg[i]));
    }
    for (int t = 0; t < MDR_TOTAL_COUNT; t++) {
        mol[t] = mix.mol_per_kg[t];
    }
}

static bool is_salt(int substance)
{
    return substance == MDR_SUB_NACL || substance == MDR_SUB_NA2SO4;
}

static bool is_alkali(int substance)
{
    return substance == MDR_SUB_NAOH || substance == MDR_SUB_NA2CO3 || substance == MDR_SUB_NAHCO3;
}

/* Index of the dye, entered when it is new; -1: there is no more room. */
static int dye_index(mdr_plan_dyeing *d, const mdr_material *dye)
{
    for (int i = 0; i < d->programme.n_dyes; i++) {
        if (d->dyes[i] == dye) {
            return i;
        }
    }
    if (d->programme.n_dyes == MDR_DYE_DYES_MAX) {
        d->missing = MDR_DYEING_TOO_MANY;
        return -1;
    }
    d->dyes[d->programme.n_dyes] = dye;
    return d->programme.n_dyes++;
}

static void take_items(const mdr_plan *plan, mdr_plan_dyeing *d, const mdr_plan_step *from,
                       mdr_dye_step *s)
{
    bool dye = false;
    for (int i = 0; i < from->n_items; i++) {
        const mdr_material *m = from->items[i].material;
        const double kg = value(plan, from->items[i].active_kg);
        const int k = m->is_dye ? dye_index(d, m) : -1;
        if (k >= 0) {
            s->dye_kg[k] += kg;
            d->dye_kg[k] += kg;
        }
        dye = dye || m->is_dye;
        s->salt_kg += is_salt(m->substance) ? kg : 0.0;
        s->alkali_kg += is_alkali(m->substance) ? kg : 0.0;
        s->reduces = s->reduces || (m->substance == MDR_SUB_DITHIONITE && kg > 0.0);
    }
    s->gives = dye                  ? MDR_GIVES_DYE
               : s->alkali_kg > 0.0 ? MDR_GIVES_ALKALI
               : s->salt_kg > 0.0   ? MDR_GIVES_SALT
                                    : MDR_GIVES_OTHER;
}

static void take_dose(const mdr_plan *plan, mdr_plan_dyeing *d, const mdr_plan_step *from,
                      mdr_dye_step *s)
{
    const mdr_route_step *asked = from->asked;
    const bool bent = asked->curve == MDR_CURVE_PROGRESSIVE || asked->curve == MDR_CURVE_DEGRESSIVE;
    s->kind = MDR_DYE_DOSE;
    s->minutes = asked->minutes;
    s->exponent = bent ? asked->exponent : 1.0;
    s->portions = asked->curve == MDR_CURVE_PORTIONS ? asked->portions : 0;
    s->beside = from->beside;
    s->offset_min = from->beside ? asked->offset_min : 0.0;
    s->volume_l = value(plan, from->volume_l);
    s->least_min = value(plan, from->least_minutes);
    take_items(plan, d, from, s);
}

static void take_step(const mdr_plan *plan, mdr_plan_dyeing *d, int index)
{
    const mdr_plan_step *from = &d->bath->steps[index];
    mdr_dye_step *s = &d->programme.steps[d->programme.n_steps++];
    const mdr_step_kind kind = from->asked->kind;
    *s = (mdr_dye_step){.kind = MDR_DYE_RUN, .number = index + 1, .amount = 1.0, .exponent = 1.0};
    if (kind == MDR_STEP_DOSE) {
        take_dose(plan, d, from, s);
    } else if (kind == MDR_STEP_HEAT || kind == MDR_STEP_COOL) {
        s->kind = MDR_DYE_RAMP;
        s->toward = kind == MDR_STEP_HEAT ? 1 : -1;
        s->to_c = from->asked->temp_c;
        s->rate_c_per_min = from->asked->rate_c_per_min;
    } else {
        s->minutes = value(plan, from->minutes);
    }
    double before[MDR_TOTAL_COUNT];
    totals_of(plan, dissolved_before(d->bath, index), before);
    totals_of(plan, from->dissolved_kg, s->mol);
    for (int t = 0; t < MDR_TOTAL_COUNT; t++) {
        s->mol[t] -= before[t];
    }
}

static mdr_dye_vessel vessel_of(const mdr_plan *plan)
{
    const mdr_machine *m = plan->machine;
    const mdr_site *site = plan->site;
    return (mdr_dye_vessel){
        .load_kg = value(plan, plan->load_kg),
        .steel_kg = m->steel_kg,
        .ua_kw_per_k = mdr_heat_effective_kw_per_k(m->exchanger_kw_per_k, m->circulation_l_per_min),
        .steam_c = mdr_steam_sat_temp_c(site->steam_barg),
        .steam_max_kw =
            mdr_heat_steam_kw(m->steam_max_kg_per_h, mdr_steam_hfg_kj_per_kg(site->steam_barg)),
        .cooling_c = site->cooling_water_c,
        .heat_max_c_per_min = m->heat_max_c_per_min,
        .cool_max_c_per_min = m->cool_max_c_per_min};
}

/* Whether there is dithionite when the dyeing begins, or some step of it gives any. */
static bool is_reduced(const mdr_plan *plan, const mdr_plan_dyeing *d)
{
    bool any = value(plan, dissolved_before(d->bath, d->first_step)[MDR_IN_DITHIONITE]) > 0.0;
    for (int i = 0; i < d->programme.n_steps; i++) {
        any = any || d->programme.steps[i].reduces;
    }
    return any;
}

static void judge(const mdr_plan *plan, mdr_plan_dyeing *d)
{
    const mdr_dyeing_rope rope = mdr_plan_dyeing_rope(plan, d->programme.speed_m_per_min);
    double hottest_c = d->programme.start_c;
    for (int i = 0; i < d->programme.n_steps; i++) {
        hottest_c =
            fmax(hottest_c, d->programme.steps[i].kind == MDR_DYE_RAMP ? d->programme.steps[i].to_c
                                                                       : hottest_c);
    }
    if (d->missing != MDR_DYEING_IS_THERE) {
        return;
    }
    if (d->programme.start_l <= rope.held_l_per_kg * rope.load_kg) {
        d->missing = MDR_DYEING_BELOW_ROPE;
    } else if (hottest_c > TEMP_MOST_C) {
        d->missing = MDR_DYEING_TOO_HOT;
    } else if (d->programme.oxidises && !is_reduced(plan, d)) {
        d->missing = MDR_DYEING_NOT_REDUCED;
    }
}

static void make_programme(const mdr_plan *plan, mdr_plan_dyeing *d)
{
    mdr_dye_programme *p = &d->programme;
    int last = 0;
    find_steps(plan, d, &last);
    const mdr_plan_step *first = &d->bath->steps[d->first_step];
    d->start_min = value(plan, first->start_min);
    p->start_c = value(plan, first->temp_start_c);
    p->start_l = first->liquor_start_l;
    p->conc_l = value(plan, d->bath->liquor_l);
    totals_of(plan, dissolved_before(d->bath, d->first_step), p->start_mol);
    p->speed_m_per_min = value(plan, plan->speed_m_per_min);
    /* a lot may be planned faster or slower than the machine's range; a warning of the plan */
    p->speed_least_m_per_min = fmin(plan->machine->speed_min_m_per_min, p->speed_m_per_min);
    p->speed_most_m_per_min = fmax(plan->machine->speed_max_m_per_min, p->speed_m_per_min);
    p->vessel = vessel_of(plan);
    p->oxidises = plan->route->dye_class == MDR_CLASS_VAT;
    for (int i = d->first_step; i < last; i++) {
        take_step(plan, d, i);
    }
    judge(plan, d);
}

mdr_code mdr_plan_dyeing_make(const mdr_plan *plan, int bath_number, mdr_arena *arena,
                              const mdr_plan_dyeing **out, mdr_err *err)
{
    mdr_plan_dyeing *d = MDR_NEW(arena, mdr_plan_dyeing);
    if (d == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the dyeing of the lot");
    }
    MDR_TRY(find_bath(plan, bath_number, d, err));
    if (d->bath == NULL) {
        d->missing = MDR_DYEING_NO_DYE;
    } else if (!(value(plan, d->bath->liquor_l) > 0.0)) {
        d->missing = MDR_DYEING_NO_LIQUOR;
    } else {
        make_programme(plan, d);
    }
    *out = d;
    return MDR_OK;
}

/* -- the rope -- */

mdr_exchange_usual mdr_exchange_usual_of(int machine_kind)
{
    switch ((mdr_machine_kind)machine_kind) {
    case MDR_MACHINE_JET:
    case MDR_MACHINE_OVERFLOW:
        return (mdr_exchange_usual){0.10, 0.30, 0.0};
    case MDR_MACHINE_AIRFLOW: /* sprayed on: little flow, more of it works */
        return (mdr_exchange_usual){0.10, 0.50, 0.0};
    case MDR_MACHINE_WINCH:
    case MDR_MACHINE_SAMPLE:
        break;
    }
    return (mdr_exchange_usual){0.70, 0.10, 1.0};
}

mdr_dyeing_rope mdr_plan_dyeing_rope(const mdr_plan *plan, double speed_m_per_min)
{
    const mdr_machine *m = plan->machine;
    const mdr_exchange_usual usual = mdr_exchange_usual_of(m->kind);
    mdr_dyeing_rope rope = {.load_kg = value(plan, plan->load_kg),
                            .tubes = plan->lot->tubes_used > 0 ? plan->lot->tubes_used : m->tubes,
                            .held_l_per_kg = plan->lot->article->retained_l_per_kg,
                            .cycle_min = value(plan, plan->rope_m) / speed_m_per_min,
                            .zone_fraction = usual.zone_fraction,
                            .flow_l_per_min = m->circulation_l_per_min};
    const double zone_l = rope.held_l_per_kg * rope.load_kg * usual.zone_fraction;
    rope.exchange_per_min =
        usual.soaking_per_min + usual.flow_part * m->circulation_l_per_min / zone_l;
    for (int t = 0; t < rope.tubes; t++) {
        rope.tube_share[t] = 1.0 / rope.tubes;
    }
    return rope;
}
