/* What a need refuses; and the footprint, whose stages add up to the lot on every lot of the demo mill. */
#define _XOPEN_SOURCE 700
#include "t.h"

#include "demo_kit.h"
#include "plan_chem_kit.h"

static void refusals(void **state)
{
    (void)state;
    mdr_material no_capacity[] = {*kit_material("seq"), *kit_material("catalase")};
    no_capacity[0].capacity_mg_per_g = no_capacity[1].capacity_mg_per_g = 0;
    no_capacity[0].material_id = "seq0";
    no_capacity[1].material_id = "catalase0";
    const struct {
        const char *id;
        mdr_basis basis;
        double share_pct;
        mdr_code code;
        const char *field;
    } rows[] = {{"salt", MDR_BASIS_NEUTRALISE, 100, MDR_E_CONFLICT, "material_id"},
                {"caustic", MDR_BASIS_NEUTRALISE, 100, MDR_E_CONFLICT, "material_id"},
                {"demin", MDR_BASIS_NEUTRALISE, 100, MDR_E_CONFLICT, "material_id"},
                {"soap", MDR_BASIS_SEQUESTER, 100, MDR_E_CONFLICT, "material_id"},
                {"catalase", MDR_BASIS_SEQUESTER, 100, MDR_E_CONFLICT, "material_id"},
                {"seq0", MDR_BASIS_SEQUESTER, 100, MDR_E_CONFLICT, "material_id"},
                {"seq", MDR_BASIS_CATALASE, 100, MDR_E_CONFLICT, "material_id"},
                {"catalase0", MDR_BASIS_CATALASE, 100, MDR_E_CONFLICT, "material_id"},
                {"dithionite", MDR_BASIS_OXIDISE, 100, MDR_E_CONFLICT, "material_id"},
                {"acid", MDR_BASIS_NEUTRALISE, 50, MDR_E_CONFLICT, "share_pct"},
                {"seq", MDR_BASIS_SEQUESTER, 50, MDR_E_CONFLICT, "share_pct"},
                {"catalase", MDR_BASIS_CATALASE, 50, MDR_E_CONFLICT, "share_pct"},
                {"peroxide", MDR_BASIS_OXIDISE, 99, MDR_E_CONFLICT, "share_pct"}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        b.materials[b.n_materials++] = &no_capacity[0];
        b.materials[b.n_materials++] = &no_capacity[1];
        mdr_route_step dose = give(rows[i].id, rows[i].basis, 1);
        dose.share_pct = rows[i].share_pct;
        BATH(&b, kit_fill(0), pure("soda", 1), dose, kit_drain());
        assert_int_equal(kit_bench_run(&b), rows[i].code);
        char place[80];
        (void)snprintf(place, sizeof place, "bath 1 \"Bath\", step 3, item 1, %s", rows[i].field);
        assert_string_equal(b.err.place, place);
        assert_true(b.err.msg[0] != '\0' && b.err.value[0] != '\0' && b.err.allowed[0] != '\0' &&
                    b.err.remedy[0] != '\0');
        assert_null(b.plan);
        kit_bench_free(&b);
    }
}

/* No amount of acetic acid brings so much caustic to pH 3. */
static void out_of_reach(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(0), pure("soda", 60), acid_to("acid", 3), kit_drain());
    assert_int_equal(kit_bench_run(&b), MDR_E_INFEAS);
    assert_string_equal(b.err.place, "bath 1 \"Bath\", step 3, item 1.target_ph");
    assert_true(strlen(b.err.remedy) > 5 && strlen(b.err.value) > 3);
    assert_null(b.plan);
    kit_bench_free(&b);
}

/* Two products of known demand, salt, and one of unknown; by hand. */
static void footprint_by_hand(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_REACTIVE);
    mdr_material soap_known = *kit_material("soap"), dye_known = *kit_material("dye");
    soap_known.material_id = "soap2";
    soap_known.cod_g_per_g = 0.5;
    soap_known.co2_kg_per_kg = 1.6;
    dye_known.cod_g_per_g = 1.0;
    dye_known.fixation_pct = 75;
    b.materials[b.n_materials++] = &soap_known;
    b.dyes[0].dye = &dye_known;
    b.site.steam_co2_kg_per_t = 180;
    b.site.power_co2_kg_per_mwh = 400;
    b.site.water_co2_kg_per_m3 = 0.9;
    kit_bench_stage(&b, MDR_STAGE_PREPARE);
    BATH(&b, kit_fill(50), pure("caustic", 2), kit_heat(95, 2), kit_drain());
    BATH(&b, kit_fill(50), pure("soda", 1), kit_heat(90, 2), kit_drain());
    kit_bench_stage(&b, MDR_STAGE_DYEING);
    BATH(&b, kit_fill(40), pure("salt", 60), dye(), pure("acid", 1), kit_drain());
    kit_bench_stage(&b, MDR_STAGE_AFTER);
    BATH(&b, kit_fill(40), give("soap2", MDR_BASIS_G_PER_L, 1), give("soap", MDR_BASIS_G_PER_L, 2),
         kit_rinse(10, 300), kit_drain());
    run(&b);
    const mdr_plan_footprint *f = &b.plan->foot;
    assert_int_equal(f->n_stages, 3);
    CHECK_NEAR(val(&b, f->stages[0].cod_kg), 60, 1e-9, "P: 60 g/kg of raw cotton, once");
    CHECK_NEAR(val(&b, f->stages[1].cod_kg), 20 * 0.25 * 1.0 + 8 * 2 * O2 / HAC, 1e-3,
               "D: a quarter of the dye; acetic acid takes 2 O2");
    CHECK_NEAR(val(&b, f->stages[2].cod_kg), 8 * 0.5, 1e-9, "D: 8 kg at 0.5 g/g");
    CHECK_NEAR(val(&b, f->cod_g_per_kg), 60 + 5 + 8 * 2 * O2 / HAC + 4, 1e-3, "D: of 1000 kg");
    CHECK_NEAR(val(&b, f->cod_mg_per_l),
               val(&b, f->total.cod_kg) * 1e6 / val(&b, f->total.effluent_l), 1e-6,
               "D: mean over the effluent");
    CHECK_NEAR(val(&b, f->unknown_cod_kg), 16, 1e-9, "D: the other soap");
    CHECK_NEAR(val(&b, f->stages[1].salt_kg), 480, 1e-9, "D: 60 g/L in 8000 L");
    CHECK_NEAR(val(&b, f->stages[1].solids_kg) / 1000, 0.48, 1e-12, "D: 60 g/L x 8 L/kg");
    CHECK_NEAR(val(&b, f->stages[0].solids_kg), 24, 1e-9, "D: caustic and soda as given");
    CHECK_NEAR(val(&b, f->solids_kg_per_kg), 0.504, 1e-12, "D: both");
    CHECK_NEAR(val(&b, f->stages[1].dye_kg), 5, 1e-9, "D: 25 % of 20 kg is not fixed");
    CHECK_NEAR(val(&b, f->total.dye_kg), 5, 1e-9, "D: once");
    CHECK_NEAR(val(&b, f->stages[2].salt_kg), 0, 0, "D: counted where it was given");
    for (int i = 0; i < 3; i++) {
        const mdr_plan_foot *s = &f->stages[i];
        CHECK_NEAR(val(&b, s->co2_kg),
                   val(&b, s->steam_kg) * 0.18 + val(&b, s->power_kwh) * 0.4 +
                       val(&b, s->water_l) * 0.9e-3 + (i == 2 ? 8 * 1.6 : 0),
                   1e-9, "D: 180 kg/t, 400 kg/MWh, 0.9 kg/m3, the soap 1.6 kg/kg");
        CHECK_NEAR(val(&b, s->water_minor), val(&b, s->water_l) * 0.180, 1e-9, "D: 180 a m3");
        CHECK_NEAR(val(&b, s->effluent_minor), val(&b, s->effluent_l) * 0.240, 1e-9, "D: 240 a m3");
        CHECK_NEAR(val(&b, s->steam_minor), val(&b, s->steam_kg) * 3.8, 1e-9, "D: 3800 a t");
        CHECK_NEAR(val(&b, s->power_minor), val(&b, s->power_kwh) * 14, 1e-9, "D: 14000 a MWh");
    }
    /* the kit's products carry no figure of carbon dioxide but the one soap */
    double given_kg = 0;
    for (int i = 0; i < b.plan->n_totals; i++) {
        given_kg += val(&b, b.plan->totals[i].mass_kg);
    }
    CHECK_NEAR(val(&b, f->unknown_co2_kg), given_kg - 8, 1e-9, "D: all others");
    CHECK_NEAR(val(&b, f->stages[2].effluent_l), val(&b, b.plan->baths[3].drained_l) + 3000, 1e-9,
               "D: drained and rinsed");
    kit_bench_free(&b);
}

/* Cotton's own demand counts only where hot alkali or an enzyme of the preparation takes it off. */
static void scouring(void **state)
{
    (void)state;
    mdr_material enzyme = *kit_material("catalase"); /* demand of the product: not known */
    enzyme.material_id = "enzyme";
    enzyme.substance = MDR_SUB_ENZYME;
    const struct {
        const char *id;
        double heat_c;
        mdr_stage_kind stage;
        double cod_kg;
    } rows[] = {{"enzyme", 55, MDR_STAGE_PREPARE, 60}, {"enzyme", 55, MDR_STAGE_AFTER, 0},
                {"soda", 80, MDR_STAGE_PREPARE, 60},   {"caustic", 95, MDR_STAGE_PREPARE, 60},
                {"soda", 79, MDR_STAGE_PREPARE, 0},    {"salt", 95, MDR_STAGE_PREPARE, 0},
                {"soda", 95, MDR_STAGE_DYEING, 0}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        b.materials[b.n_materials++] = &enzyme;
        kit_bench_stage(&b, rows[i].stage);
        BATH(&b, kit_fill(40), pure(rows[i].id, 1), kit_heat(rows[i].heat_c, 2), kit_drain());
        run(&b);
        CHECK_NEAR(val(&b, b.plan->foot.total.cod_kg), rows[i].cod_kg, 1e-9, "P: 60 g/kg");
        kit_bench_free(&b);
    }
}

typedef struct pick {
    const char *name;
    size_t at;
} pick;

#define PICK(member)                             \
    {                                            \
#member, offsetof(mdr_plan_foot, member) \
    }
static const pick PICKS[] = {
    PICK(water_l),      PICK(effluent_l),  PICK(steam_kg),        PICK(power_kwh),
    PICK(chemicals_kg), PICK(salt_kg),     PICK(dye_kg),          PICK(cod_kg),
    PICK(solids_kg),    PICK(co2_kg),      PICK(water_minor),     PICK(effluent_minor),
    PICK(steam_minor),  PICK(power_minor), PICK(chemicals_minor), PICK(cost_minor)};

static double picked(const mdr_plan *p, const mdr_plan_foot *f, const pick *which)
{
    mdr_fig_id id = MDR_FIG_NONE;
    memcpy(&id, (const char *)f + which->at, sizeof id);
    assert_true(id != MDR_FIG_NONE);
    return mdr_fig_value(&p->figs, id);
}

static void adds_up(const kit_desk *d)
{
    const mdr_plan *p = d->plan;
    assert_int_equal(p->foot.n_stages, p->route->n_stages);
    for (size_t i = 0; i < N_OF(PICKS); i++) {
        double sum = 0;
        for (int s = 0; s < p->foot.n_stages; s++) {
            assert_ptr_equal(p->foot.stages[s].stage, &p->route->stages[s]);
            sum += picked(p, &p->foot.stages[s], &PICKS[i]);
        }
        const double lot = picked(p, &p->foot.total, &PICKS[i]);
        if (!(fabs(sum - lot) <= 1e-9 * fmax(1.0, lot))) {
            fail_msg("%s: %s of the stages %.12g, of the lot %.12g", p->lot->lot_id, PICKS[i].name,
                     sum, lot);
        }
    }
    const mdr_plan_foot *t = &p->foot.total;
    const double load_kg = mdr_fig_value(&p->figs, p->load_kg);
    CHECK_NEAR(mdr_fig_value(&p->figs, t->cost_minor), mdr_fig_value(&p->figs, p->cost_minor), 0,
               "D: the lot's cost");
    CHECK_NEAR(mdr_fig_value(&p->figs, p->foot.steam_kg_per_kg) * load_kg,
               mdr_fig_value(&p->figs, p->steam_kg), 1e-6, "D: per kg");
    CHECK_NEAR(mdr_fig_value(&p->figs, p->foot.power_kwh_per_kg) * load_kg,
               mdr_fig_value(&p->figs, p->power_kwh), 1e-6, "D: per kg");
    CHECK_NEAR(mdr_fig_value(&p->figs, p->foot.co2_kg_per_kg) * load_kg,
               mdr_fig_value(&p->figs, t->co2_kg), 1e-6, "D: per kg");
    CHECK_NEAR(mdr_fig_value(&p->figs, p->foot.cod_g_per_kg) * load_kg / 1000,
               mdr_fig_value(&p->figs, t->cod_kg), 1e-6, "D: per kg");
}

static void stages_add_up(void **state)
{
    (void)state;
    assert_int_equal(kit_each_lot(adds_up), 24);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(refusals), cmocka_unit_test(out_of_reach),
                                       cmocka_unit_test(footprint_by_hand),
                                       cmocka_unit_test(scouring), cmocka_unit_test(stages_add_up)};
    return cmocka_run_group_tests(tests, kit_demo_make, kit_demo_drop);
}
