/*
 * The chemistry of the plan: worked numbers by hand beside it; each warning once where it is due
 * and once where it is not; what a need refuses; and the footprint, whose stages add up to the lot
 * on every lot of the demo mill.
 */
#define _XOPEN_SOURCE 700
#include "t.h"

#include "core/bath/mdr_equil.h"
#include "core/bath/mdr_washoff.h"
#include "demo_kit.h"
#include "plan_kit.h"

/* Molar masses, g/mol: [ciaaw] */
static const double NAOH = 39.997, HAC = 60.052, DITHIONITE = 174.107, H2O2 = 34.0147;
static const double O2 = 31.998, NA2SO4 = 142.042, NAHCO3 = 84.0066, CA = 40.078, MG = 24.305;
static const double CACO3 = 100.0869, MMOL_PER_L_OF_1_DH = 0.17832;

/* Doses keep their items here until the next test. */
static mdr_route_item pool[64];
static int n_pool;

static mdr_route_step give(const char *id, mdr_basis basis, double amount)
{
    mdr_route_item *item = &pool[n_pool++ % 64];
    *item = kit_item(id, basis, amount);
    return kit_dose(item, 10);
}

/* g/L of the active substance */
static mdr_route_step pure(const char *id, double g_per_l)
{
    const mdr_route_step step = give(id, MDR_BASIS_G_PER_L, g_per_l);
    pool[(n_pool - 1) % 64].of_active = true;
    return step;
}

static mdr_route_step acid_to(const char *id, double ph)
{
    const mdr_route_step step = give(id, MDR_BASIS_NEUTRALISE, 1);
    pool[(n_pool - 1) % 64].to_ph = ph;
    return step;
}

static mdr_route_step dye(void)
{
    return give("", MDR_BASIS_RECIPE, 1);
}

#define BATH(b, ...)                                           \
    kit_bench_bath((b), (const mdr_route_step[]){__VA_ARGS__}, \
                   (int)(sizeof((const mdr_route_step[]){__VA_ARGS__}) / sizeof(mdr_route_step)))

static void run(kit_bench *b)
{
    if (kit_bench_run(b) != MDR_OK) {
        fail_msg("%s (%s)", b->err.msg, b->err.place);
    }
}

static double val(const kit_bench *b, mdr_fig_id id)
{
    return kit_bench_value(b, id);
}

/* Whether it is said, and if so once and of this bath (0: of the lot); frees the bench. */
static bool says(kit_bench *b, mdr_warn_id id, int bath)
{
    int n = 0;
    run(b);
    for (int i = 0; i < b->plan->n_warns; i++) {
        if (b->plan->warns[i].id == id) {
            assert_int_equal(b->plan->warns[i].at.bath, bath);
            n++;
        }
    }
    kit_bench_free(b);
    if (n > 1) {
        fail_msg("%s is said %d times", mdr_warn_text_id(id), n);
    }
    return n == 1;
}

#define READY(b, dye_class) kit_bench_ready(&(b), 1000, 8, (dye_class))

/* -- worked numbers -- */

static void neutralising(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(0), pure("caustic", 1), kit_drain());
    BATH(&b, kit_fill(0), acid_to("acid", 6.3), kit_drain());
    run(&b);
    const mdr_plan_bath *acid = &b.plan->baths[1];
    const double e28_kg = 2500.0 / 1000.0 / NAOH * HAC;
    CHECK_NEAR(e28_kg, 3.754, 5e-4, "D: E28");
    /* at pH 6.3 a part stays undissociated: 10^(4.717 - 6.3) of the acetate, pKa 4.758 at 15 degC
       [harned-acetic] less 0.041 for the activity of acetate */
    CHECK_NEAR(val(&b, acid->steps[1].items[0].active_kg), e28_kg * (1 + pow(10, 4.717 - 6.3)),
               2e-3, "D: E28, 2.5 L/kg at 1 g/L NaOH, 1000 kg");
    CHECK_NEAR(val(&b, acid->carried_alkali_mol), 2500.0 / NAOH, 1e-2, "D: 2500 L at 1 g/L");
    CHECK_NEAR(val(&b, acid->start_g_per_l[MDR_IN_NAOH]), 2500.0 / 8000.0, 1e-9,
               "D: thinned by the fill");
    CHECK_NEAR(val(&b, acid->electrolyte_g_per_l), 2500.0 / 8000.0, 1e-9, "D: caustic alone");
    CHECK_NEAR(val(&b, acid->carried_acid_mol), 0, 1e-12, "D: none");
    CHECK_NEAR(val(&b, acid->steps[1].ph), 6.3, 1e-6, "D: where it was wanted");
    CHECK_NEAR(val(&b, acid->ph_end), 6.3, 1e-6, "D: and it stays");
    kit_bench_free(&b);
}

/* A factor on the need; 6.3 when the route does not say. */
static void factor_and_default(void **state)
{
    (void)state;
    double kg[3];
    for (int i = 0; i < 3; i++) {
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        BATH(&b, kit_fill(0), pure("soda", 2), kit_drain());
        BATH(&b, kit_fill(0), acid_to("formic", i == 1 ? 0 : MDR_ROUTE_TO_PH), kit_drain());
        pool[(n_pool - 1) % 64].amount = i == 2 ? 0.8 : 1.0;
        run(&b);
        kg[i] = val(&b, b.plan->baths[1].steps[1].items[0].active_kg);
        kit_bench_free(&b);
    }
    assert_true(kg[0] > 1);
    CHECK_NEAR(kg[1], kg[0], 1e-12, "D: 6.3 either way");
    CHECK_NEAR(kg[2], 0.8 * kg[0], 1e-12, "D: the factor");
}

/* Every acid brings the bath to the same pH; moles in the order of what each can give there. */
static void four_acids(void **state)
{
    (void)state;
    static const char *const IDS[] = {"acid", "formic", "citric", "sulphuric"};
    static const double MOLAR[] = {60.052, 46.025, 192.124, 98.078};
    double mol[4];
    for (int i = 0; i < 4; i++) {
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        BATH(&b, kit_fill(0), pure("soda", 2), kit_drain());
        BATH(&b, kit_fill(0), acid_to(IDS[i], 5.5), kit_drain());
        run(&b);
        CHECK_NEAR(val(&b, b.plan->baths[1].steps[1].ph), 5.5, 1e-6, "D: where it was wanted");
        mol[i] = 1000.0 * val(&b, b.plan->baths[1].steps[1].items[0].active_kg) / MOLAR[i];
        kit_bench_free(&b);
    }
    assert_true(mol[0] > mol[1] && mol[1] > 2.0 * mol[3] && mol[3] > mol[2] && mol[2] > 0);
}

/* The pH of a step is that of everything given so far, at the temperature the route asks for. */
static void ph_step_by_step(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    b.site.alkalinity_mmol_per_l = 2;
    BATH(&b, kit_fill(40), pure("soda", 10), kit_heat(60, 1), kit_check(MDR_CHECK_PH, 3, 13),
         pure("salt", 50), kit_hold(5), kit_cool(30, 1), kit_rinse(10, 200), kit_drain());
    run(&b);
    const mdr_plan_bath *bath = &b.plan->baths[0];
    const double bicarb = 2 * NAHCO3 / 1000, kept = exp(-2000.0 / 8000.0);
    const struct {
        int step;
        double temp_c, soda, salt, bicarb;
    } rows[] = {{0, 40, 0, 0, bicarb},
                {1, 40, 10, 0, bicarb},
                {2, 60, 10, 0, bicarb},
                {3, 60, 10, 0, bicarb},
                {4, 60, 10, 50, bicarb},
                {5, 60, 10, 50, bicarb},
                {6, 30, 10, 50, bicarb},
                {7, val(&b, bath->steps[7].temp_end_c), 10 * kept, 50 * kept, bicarb}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        mdr_mix mix = {.temp_c = rows[i].temp_c};
        mdr_mix_add(&mix, MDR_SUB_NA2CO3, rows[i].soda);
        mdr_mix_add(&mix, MDR_SUB_NA2SO4, rows[i].salt);
        mdr_mix_add(&mix, MDR_SUB_NAHCO3, rows[i].bicarb);
        CHECK_NEAR(val(&b, bath->steps[rows[i].step].ph), mdr_equil_ph(&mix), 1e-6,
                   "D: what is in the bath by then");
        CHECK_NEAR(bath->steps[rows[i].step].ph_uncertainty, mdr_equil_uncertainty_ph(&mix), 1e-7,
                   "D: and its doubt");
        mix.temp_c = 25;
        if (bath->steps[rows[i].step].ph_cold != MDR_FIG_NONE) {
            assert_int_equal(rows[i].step, 3);
            CHECK_NEAR(val(&b, bath->steps[3].ph_cold), mdr_equil_ph(&mix), 1e-6, "D: cold");
        }
    }
    assert_true(bath->steps[3].ph_cold != MDR_FIG_NONE);
    assert_true(bath->steps[8].ph == MDR_FIG_NONE); /* the drain */
    CHECK_NEAR(val(&b, bath->ph_start), val(&b, bath->steps[0].ph), 1e-12, "D: as filled");
    kit_bench_free(&b);
}

/* Pure water has no pH worth a figure, nor has a bath above 100 degC. */
static void no_ph(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    b.machine.temp_max_c = 135;
    BATH(&b, kit_fill(0), kit_hold(5), pure("soda", 5), kit_heat(110, 1), kit_cool(95, 1),
         kit_drain());
    run(&b);
    const mdr_plan_step *s = b.plan->baths[0].steps;
    assert_true(b.plan->baths[0].ph_start == MDR_FIG_NONE && s[1].ph == MDR_FIG_NONE);
    CHECK_NEAR(s[1].ph_uncertainty, 0, 0, "D: of nothing");
    assert_true(s[2].ph != MDR_FIG_NONE && s[3].ph == MDR_FIG_NONE && s[4].ph != MDR_FIG_NONE);
    kit_bench_free(&b);
}

/* 1000 + 1000 mg/kg of Ca and Mg, a demineralising bath and a scour. */
static void hardness(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    b.lot.article.calcium_mg_per_kg = 1000;
    b.lot.article.magnesium_mg_per_kg = 1000;
    b.site.hardness_dh = 4;
    BATH(&b, kit_fill(40), give("demin", MDR_BASIS_G_PER_L, 0.8), kit_heat(55, 2), kit_drain());
    BATH(&b, kit_fill(40), give("seq", MDR_BASIS_SEQUESTER, 1), pure("caustic", 2), kit_heat(98, 2),
         kit_drain());
    BATH(&b, kit_fill(40), kit_hold(5), kit_rinse(10, 300), kit_drain());
    run(&b);
    const double fabric = 1000 / CA + 1000 / MG; /* mmol/kg */
    const double water = 4 * MMOL_PER_L_OF_1_DH; /* mmol/L */
    const mdr_plan_bath *bath = b.plan->baths;
    CHECK_NEAR(fabric, 66.09, 0.01, "D: docs/methods/hardness.md");
    const double first = 0.7 * fabric * 1000 + 8000 * water;
    CHECK_NEAR(val(&b, bath[0].hardness_total_dh), first / 8000 / MMOL_PER_L_OF_1_DH, 2e-3,
               "P: acid with sequestrant takes 70 %");
    const double held = 6400 * 90 / CACO3; /* mmol */
    CHECK_NEAR(val(&b, bath[0].hardness_dh), (first - held) / 8000 / MMOL_PER_L_OF_1_DH, 2e-3,
               "D: 6.4 kg at 90 mg CaCO3/g");
    const double carried = 2500.0 / 8000.0;
    const double second = first * carried + 5500 * water + 0.3 * 0.3 * fabric * 1000;
    CHECK_NEAR(val(&b, bath[1].steps[1].items[0].mass_kg),
               (second - held * carried) * CACO3 / 120 / 1000, 5e-3,
               "D: all of it, less what is carried in already held; 30 % of what is left");
    CHECK_NEAR(val(&b, bath[1].hardness_dh), 0, 1e-9, "D: the need, given, leaves none");
    CHECK_NEAR(val(&b, bath[1].hardness_total_dh), second / 8000 / MMOL_PER_L_OF_1_DH, 2e-3,
               "D: held or not");
    const double kept = exp(-3000.0 / 8000.0);
    const double there = second * carried + 5500 * water + 0.05 * 0.3 * 0.7 * fabric * 1000;
    const double third = there * kept + 8000 * water * (1 - kept);
    CHECK_NEAR(val(&b, bath[2].hardness_total_dh), third / 8000 / MMOL_PER_L_OF_1_DH, 2e-3,
               "D: thinned towards the water's");
    CHECK_NEAR(val(&b, bath[2].hardness_dh),
               (third - second * carried * kept) / 8000 / MMOL_PER_L_OF_1_DH, 2e-3,
               "D: less what the carried sequestrant holds");
    kit_bench_free(&b);
}

/* A fabric nobody has measured: the middle of the published range. */
static void unknown_fabric(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    b.site.hardness_dh = 0;
    BATH(&b, kit_fill(0), kit_hold(1), kit_drain());
    run(&b);
    CHECK_NEAR(val(&b, b.plan->baths[0].hardness_total_dh),
               0.05 * (800 / CA + 800 / MG) / 8 / MMOL_PER_L_OF_1_DH, 1e-3,
               "S: 400 to 1200 mg/kg each [cotton-metals]; P: 5 % of it");
    kit_bench_free(&b);
}

/* A bath that goes on in the liquor of the one before has its pH from the start. */
static void going_on(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(40), pure("soda", 5), kit_hold(5));
    BATH(&b, kit_hold(5), kit_check(MDR_CHECK_PH, 3, 13), kit_drain());
    run(&b);
    const mdr_plan_bath *bath = b.plan->baths;
    assert_true(bath[1].continues && bath[1].steps[0].ph != MDR_FIG_NONE);
    CHECK_NEAR(val(&b, bath[1].ph_start), val(&b, bath[0].ph_end), 1e-9, "D: nothing changed");
    CHECK_NEAR(val(&b, bath[1].steps[0].ph), val(&b, bath[0].ph_end), 1e-9, "D: nothing changed");
    assert_true(val(&b, bath[1].steps[1].ph_cold) > val(&b, bath[1].steps[1].ph));
    const double second = 0.95 * 0.05 * (800 / CA + 800 / MG) / 8; /* mmol/L */
    CHECK_NEAR(val(&b, bath[1].hardness_total_dh),
               val(&b, bath[0].hardness_total_dh) + second / MMOL_PER_L_OF_1_DH, 0.02,
               "D: 5 % of the rest, and no new water");
    kit_bench_free(&b);
}

/* Parts of the equilibria that no bath of the oracle tells apart. */
static void fine_print_of_the_ph(void **state)
{
    (void)state;
    /* 34.3 kJ/mol over R ln 10 and from 25 to 60 degC: 0.631 */
    CHECK_NEAR(mdr_equil_constants_at(60).peroxide, -11.65 + 0.631, 1e-3, "M: [evans-uri]");
    mdr_mix inside = {.temp_c = 80}, outside = {.temp_c = 81};
    mdr_mix_add(&inside, MDR_SUB_NA2CO3, 10);
    mdr_mix_add(&outside, MDR_SUB_NA2CO3, 10);
    CHECK_NEAR(mdr_equil_uncertainty_ph(&outside) / mdr_equil_uncertainty_ph(&inside), 1.5, 1e-12,
               "D: half as much again outside of 20 to 80 degC");
    inside.temp_c = outside.temp_c = 60;
    mdr_mix_add(&inside, MDR_SUB_NA2SO4, 50);
    mdr_mix_add(&outside, MDR_SUB_NA2SO4, 50.01);
    CHECK_NEAR(mdr_equil_uncertainty_ph(&outside) / mdr_equil_uncertainty_ph(&inside), 1.5, 1e-3,
               "D: and beyond 50 g/L of salt");
    mdr_mix with_peroxide = {.temp_c = 60}, with_citric = {.temp_c = 60};
    mdr_mix_add(&with_peroxide, MDR_SUB_NAOH, 2);
    mdr_mix_add(&with_citric, MDR_SUB_NAOH, 2);
    CHECK_NEAR(mdr_equil_uncertainty_ph(&with_citric), 0.03, 1e-9, "D: caustic");
    mdr_mix_add(&with_peroxide, MDR_SUB_H2O2, 1);
    mdr_mix_add(&with_citric, MDR_SUB_CITRIC, 1);
    CHECK_NEAR(mdr_equil_uncertainty_ph(&with_peroxide), 0.15, 1e-9, "M: constant of peroxide");
    CHECK_NEAR(mdr_equil_uncertainty_ph(&with_citric), 0.10, 1e-9, "M: constants of citric acid");
    /* the triple Na-OH-CO3, -0.017 [usgs-pitzer], in the mean activity of caustic */
    const mdr_pitzer with = mdr_pitzer_at(25);
    mdr_pitzer without = with;
    without.n_psi = 0;
    double m[MDR_ION_COUNT] = {0};
    m[MDR_ION_NA] = 2;
    m[MDR_ION_OH] = 1;
    m[MDR_ION_CO3] = 0.5;
    mdr_activity a, b;
    mdr_pitzer_activity(&with, m, &a);
    mdr_pitzer_activity(&without, m, &b);
    CHECK_NEAR(a.ln_gamma[MDR_ION_NA] + a.ln_gamma[MDR_ION_OH] - b.ln_gamma[MDR_ION_NA] -
                   b.ln_gamma[MDR_ION_OH],
               -0.017 * (1 * 0.5 + 2 * 0.5), 1e-12, "D: each ion's product of the other two");
    CHECK_NEAR(a.ln_water - b.ln_water, -0.0180153 * 2 * 2 * 1 * 0.5 * -0.017, 1e-12,
               "D: of all three in the water");
}

/* What the kind of bath brings out of the fabric. */
static void released_parts(void **state)
{
    (void)state;
    const struct {
        const char *a, *c;
        double heat_c, part;
    } rows[] = {
        {"demin", "", 55, 0.7},     {"demin", "caustic", 98, 0.3}, {"demin", "soda", 55, 0.05},
        {"seq", "acid", 98, 0.7},   {"seq", "citric", 40, 0.7},    {"seq", "caustic", 98, 0.3},
        {"seq", "soda", 80, 0.3},   {"seq", "soda", 79, 0.05},     {"seq", "", 98, 0.05},
        {"caustic", "", 98, 0.05},  {"acid", "", 40, 0.05},        {"seq", "sulphuric", 40, 0.7},
        {"seq", "formic", 40, 0.7}, {"seq", "salt", 98, 0.05}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        b.site.hardness_dh = 0;
        b.lot.article.calcium_mg_per_kg = CA; /* 1 mmol/kg */
        b.lot.article.magnesium_mg_per_kg = MG;
        BATH(&b, kit_fill(0), pure(rows[i].a, 1),
             rows[i].c[0] != '\0' ? pure(rows[i].c, 1) : kit_hold(1), kit_heat(rows[i].heat_c, 0),
             kit_drain());
        run(&b);
        CHECK_NEAR(val(&b, b.plan->baths[0].hardness_total_dh),
                   2 * rows[i].part / 8 / MMOL_PER_L_OF_1_DH, 1e-4, "P: part by the kind of bath");
        kit_bench_free(&b);
    }
}

/* 60 min at 98 degC leave 35 %; what is left is carried, and catalase takes it to 1 mg/L. */
static void peroxide_and_catalase(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    mdr_route_step at_once = pure("peroxide", 2);
    mdr_route_step catalase = give("catalase", MDR_BASIS_CATALASE, 1);
    at_once.minutes = catalase.minutes = 1e-6;
    BATH(&b, kit_fill(98), kit_hold(30), at_once, kit_hold(60), kit_drain());
    BATH(&b, kit_fill(50), catalase, kit_hold(5), kit_check(MDR_CHECK_PEROXIDE, -1, 5),
         kit_drain());
    run(&b);
    const mdr_plan_bath *bath = b.plan->baths;
    const double left = 2000 * exp(-0.0175 * 60);
    CHECK_NEAR(left / 2000, 0.35, 1e-3, "P: 35 % after an hour at 98 degC");
    CHECK_NEAR(val(&b, bath[0].peroxide_mg_per_l), left, 1e-3, "P: from when it is given");
    CHECK_NEAR(val(&b, bath[0].steps[2].dissolved_kg[MDR_IN_H2O2]), 16, 1e-5, "D: 2 g/L");
    CHECK_NEAR(val(&b, bath[0].steps[3].dissolved_kg[MDR_IN_H2O2]), left * 8e-3, 1e-5,
               "D: at the end of the hold");
    const double start = left * 2500 / 8000;
    CHECK_NEAR(val(&b, bath[1].start_g_per_l[MDR_IN_H2O2]) * 1000, start, 1e-3, "D: thinned");
    CHECK_NEAR(val(&b, bath[1].steps[1].items[0].mass_kg), (start - 1) * 8000 / 1500 / 1000, 1e-6,
               "D: down to 1 mg/L at 1500 mg/g");
    const double then = exp(-0.0175 * exp2(-4.8) * 8); /* 5 and 3 min at 50 degC */
    CHECK_NEAR(val(&b, bath[1].steps[3].peroxide_mg_per_l), then, 1e-3, "D: what the check reads");
    const mdr_plan_mass *m = NULL;
    for (int i = 0; i < bath[1].n_masses; i++) {
        m = bath[1].masses[i].material == kit_material("peroxide") ? &bath[1].masses[i] : m;
    }
    assert_non_null(m);
    CHECK_NEAR(m->consumed_kg, (start - then) * 8e-3, 1e-5, "D: by catalase and time");
    kit_bench_free(&b);
}

/* The same heat on a ramp: by the exact integral. */
static void peroxide_on_a_ramp(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    mdr_route_step at_once = pure("peroxide", 2);
    at_once.minutes = 1e-6;
    BATH(&b, kit_fill(78), at_once, kit_heat(98, 0.5), kit_drain());
    run(&b);
    const double equivalent = 20 / 0.5 * (1 - 0.25) / (2 * log(2)); /* 2^-2 to 2^0 */
    CHECK_NEAR(val(&b, b.plan->baths[0].peroxide_mg_per_l), 2000 * exp(-0.0175 * equivalent), 0.01,
               "D: integral of 2^((T - 98)/10) over the ramp");
    kit_bench_free(&b);
}

/* 60 g/L of salt, four fills and drains at 8 and 2.5 L/kg: the table of rinses. */
static void rinsing(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(0), pure("salt", 60), kit_drain());
    for (int i = 0; i < 4; i++) {
        BATH(&b, kit_fill(0), kit_drain());
    }
    run(&b);
    double want = 60;
    for (int i = 1; i <= 4; i++) {
        want *= 2.5 / 8;
        CHECK_NEAR(val(&b, b.plan->baths[i].end_g_per_l[MDR_IN_NA2SO4]), want, 1e-9,
                   "D: x 2.5/8 each");
        CHECK_NEAR(val(&b, b.plan->baths[i].electrolyte_g_per_l), want, 1e-9, "D: the salt");
    }
    CHECK_NEAR(want, 0.57, 5e-3, "D: docs/methods/rinsing.md, four baths");
    kit_bench_free(&b);
}

/* The vat: water and dye take theirs at once, air and heat over the time. */
static void vat_reserve(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    b.machine.air_g_o2_per_kg_h = 6;
    mdr_route_step at_once = pure("dithionite", 6);
    at_once.minutes = 1e-6;
    BATH(&b, kit_fill(60), dye(), pure("caustic", 5), at_once, kit_hold(40), kit_drain());
    run(&b);
    const mdr_plan_bath *bath = &b.plan->baths[0];
    const double per_o2 = DITHIONITE / O2;
    const double water = 10.08e-3 * per_o2; /* oxygen at 15 degC, [oxygen-saturation] */
    const double by_dye = 2.5 * 0.105;      /* 20 kg in 8000 L, 0.35 x 0.30 g/g */
    const double start = 6 - water - by_dye;
    const double a = 6.0 * 1000 / 8000 / 60 * per_o2, k = 0.05 / 60; /* at 60 degC */
    const double held = start * exp(-k * 40) - a * (1 - exp(-k * 40)) / k;
    CHECK_NEAR(val(&b, bath->steps[3].dithionite_g_per_l), start, 2e-3, "D: taken at once");
    CHECK_NEAR(val(&b, bath->steps[4].dithionite_g_per_l), held, 2e-3, "D: dD/dt = -a - k D");
    assert_true(bath->steps[2].dithionite_g_per_l == MDR_FIG_NONE);
    CHECK_NEAR(val(&b, bath->dithionite_g_per_l), held, 2e-3, "D: at the end of the bath");
    /* oxygen of water and air leaves one sulphuric acid each, the dye two, heat half a one */
    const double heat = start - held - a * 40;
    CHECK_NEAR(val(&b, bath->end_g_per_l[MDR_IN_H2SO4]),
               (water + a * 40 + 2 * by_dye + 0.5 * heat) * 98.078 / DITHIONITE, 2e-3,
               "D: docs/methods/vat.md");
    CHECK_NEAR(val(&b, bath->end_g_per_l[MDR_IN_NA2SO4]), (6 - held) * NA2SO4 / DITHIONITE, 2e-3,
               "D: one sulphate each");
    CHECK_NEAR(val(&b, bath->end_g_per_l[MDR_IN_NAOH]), 5, 1e-9, "D: as given");
    mdr_mix mix = {.temp_c = 60};
    mdr_mix_add(&mix, MDR_SUB_NAOH, 5);
    mdr_mix_add(&mix, MDR_SUB_H2SO4,
                (water + a * 40 + 2 * by_dye + 0.5 * heat) * 98.078 / DITHIONITE);
    mdr_mix_add(&mix, MDR_SUB_NA2SO4, (6 - held) * NA2SO4 / DITHIONITE);
    mdr_mix_add(&mix, MDR_SUB_DITHIONITE, held);
    CHECK_NEAR(val(&b, bath->steps[4].ph), mdr_equil_ph(&mix), 1e-3, "D: of all that is there");
    kit_bench_free(&b);
}

/* A second dithionite meets the dye no more; without a figure the kind of machine says the air. */
static void vat_in_parts(void **state)
{
    (void)state;
    const struct {
        int kind;
        double air;
    } kinds[] = {{MDR_MACHINE_WINCH, 7}, {MDR_MACHINE_JET, 3.5}, {MDR_MACHINE_AIRFLOW, 12}};
    for (size_t i = 0; i < N_OF(kinds); i++) {
        kit_bench b;
        READY(b, MDR_CLASS_VAT);
        b.machine.kind = kinds[i].kind;
        mdr_route_step first = pure("dithionite", 3), second = pure("dithionite", 2);
        first.minutes = second.minutes = 1e-6;
        BATH(&b, kit_fill(60), dye(), pure("caustic", 5), first, kit_hold(10), second, kit_hold(5),
             kit_drain());
        run(&b);
        const mdr_plan_step *s = b.plan->baths[0].steps;
        const double a = kinds[i].air * 1000 / 8000 / 60 * DITHIONITE / O2, k = 0.05 / 60;
        const double before = val(&b, s[3].dithionite_g_per_l);
        CHECK_NEAR(before, 3 - 10.08e-3 * DITHIONITE / O2 - 2.5 * 0.105, 2e-3,
                   "D: the first meets");
        CHECK_NEAR(val(&b, s[5].dithionite_g_per_l),
                   before * exp(-k * 10) - a * (1 - exp(-k * 10)) / k + 2, 2e-3,
                   "I: air by kind; D: the second meets neither water nor dye");
        kit_bench_free(&b);
    }
}

/* Dithionite that is carried in meets the oxygen of the fill; a rinse thins it like everything. */
static void dithionite_is_rinsed(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    b.machine.air_g_o2_per_kg_h = 1e-9;
    BATH(&b, kit_fill(40), pure("caustic", 5), pure("dithionite", 8), kit_drain());
    BATH(&b, kit_fill(0), kit_rinse(20, 300), kit_drain());
    run(&b);
    const mdr_plan_bath *bath = &b.plan->baths[1];
    const double start = val(&b, bath->start_g_per_l[MDR_IN_DITHIONITE]);
    const double water = 5500.0 / 8000 * 10.08e-3 * DITHIONITE / O2;
    CHECK_NEAR(val(&b, bath->steps[0].dithionite_g_per_l), start - water, 5e-3, "D: of the fill");
    CHECK_NEAR(val(&b, bath->end_g_per_l[MDR_IN_DITHIONITE]), (start - water) * exp(-6000.0 / 8000),
               0.01, "D: 6000 L through 8000 L");
    kit_bench_free(&b);
}

static void oxidising(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    kit_bench_stage(&b, MDR_STAGE_DYEING);
    BATH(&b, kit_fill(60), dye(), pure("caustic", 5), pure("dithionite", 6), kit_drain());
    kit_bench_stage(&b, MDR_STAGE_AFTER);
    BATH(&b, kit_fill(40), give("peroxide", MDR_BASIS_OXIDISE, 1), kit_drain());
    run(&b);
    const mdr_plan_bath *bath = &b.plan->baths[1];
    const double carried_kg = val(&b, bath->start_kg[MDR_IN_DITHIONITE]);
    assert_true(carried_kg > 1);
    const double met_kg = carried_kg - 5.5 * 10.08e-3 * DITHIONITE / O2; /* oxygen of the fill */
    CHECK_NEAR(val(&b, bath->steps[1].items[0].active_kg),
               2 * (20 * 0.105 * H2O2 / DITHIONITE + met_kg * 3 * H2O2 / DITHIONITE), 1e-3,
               "D: docs/methods/vat.md#oxidation, 20 kg of dye");
    kit_bench_free(&b);
}

/* Little dye still gets what a dilute bath needs to work. */
static void oxidising_at_least(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    BATH(&b, kit_fill(60), dye(), kit_drain());
    BATH(&b, kit_fill(40), give("peroxide", MDR_BASIS_OXIDISE, 0.5), kit_drain());
    run(&b);
    CHECK_NEAR(val(&b, b.plan->baths[1].steps[1].items[0].active_kg), 0.5 * 8, 1e-9,
               "P: 1 g/L, and the route's factor");
    kit_bench_free(&b);
}

/* Peroxide by the whiteness: 1.75 g/L of 100 % for W10 65 by the table, in parts as well. */
static void whitening(void **state)
{
    (void)state;
    for (int i = 0; i < 3; i++) {
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        mdr_route_step dose = give(i == 2 ? "soda" : "peroxide", MDR_BASIS_WHITEN, 1.2);
        pool[(n_pool - 1) % 64].to_whiteness = i == 1 ? 86 : 65;
        dose.share_pct = 50;
        BATH(&b, kit_fill(60), dose, kit_drain());
        const mdr_code rc = kit_bench_run(&b);
        if (i == 0) {
            assert_int_equal(rc, MDR_OK);
            CHECK_NEAR(val(&b, b.plan->baths[0].steps[1].items[0].active_kg), 1.75 * 8 * 1.2 / 2,
                       1e-9, "P: 3.5 g/L of 50 %");
        } else {
            assert_int_equal(rc, i == 1 ? MDR_E_RANGE : MDR_E_CONFLICT);
            assert_string_equal(b.err.place, i == 1
                                                 ? "bath 1 \"Bath\", step 2, item 1.target_w10"
                                                 : "bath 1 \"Bath\", step 2, item 1, material_id");
        }
        kit_bench_free(&b);
    }
}

/* However many doses the dye comes in, all of it is reduced, goes on, and is oxidised. */
static void dye_in_many_doses(void **state)
{
    (void)state;
    kit_bench b;
    mdr_material many[8];
    READY(b, MDR_CLASS_VAT);
    for (int i = 0; i < 8; i++) {
        static const char *const IDS[] = {"v1", "v2", "v3", "v4", "v5", "v6", "v7", "v8"};
        many[i] = *kit_material("vat-in");
        many[i].material_id = IDS[i];
        b.dyes[i] = (mdr_recipe_dye){&many[i], 5};
    }
    b.lot.shade.n_dyes = 8;
    mdr_route_step part = dye();
    part.share_pct = 10;
    mdr_route_step dithionite = pure("dithionite", 12);
    dithionite.minutes = 1e-6;
    BATH(&b, kit_fill(60), part, part, part, part, part, part, part, part, part, part,
         pure("caustic", 5), dithionite, kit_drain());
    for (int i = 0; i < 4; i++) {
        BATH(&b, kit_fill(0), kit_hold(60), kit_drain()); /* the air takes what is carried */
    }
    BATH(&b, kit_fill(40), give("peroxide", MDR_BASIS_OXIDISE, 1), kit_drain());
    run(&b);
    const mdr_plan_bath *vat = &b.plan->baths[0];
    CHECK_NEAR(val(&b, vat->steps[12].dithionite_g_per_l),
               12 - 10.08e-3 * DITHIONITE / O2 - 50 * 0.105, 2e-3, "D: 400 kg of dye, 80 items");
    CHECK_NEAR(val(&b, vat->loose_mg_per_kg), 0.02 * 400e3, 1e-6, "P: 90 less 88 % of 400 g/kg");
    CHECK_NEAR(val(&b, b.plan->baths[5].steps[1].items[0].active_kg),
               2 * 400 * 0.105 * H2O2 / DITHIONITE, 1e-3, "D: 400 kg of dye");
    kit_bench_free(&b);
}

/* Loose dye: 20 kg, 80 % on, 70 % fixed; half of it leaves in 10 min at 95 degC. */
static void wash_off(void **state)
{
    (void)state;
    for (int own = 0; own < 2; own++) {
        kit_bench b;
        READY(b, MDR_CLASS_REACTIVE);
        mdr_material mine = *kit_material("dye");
        mine.exhaustion_pct = 90;
        mine.fixation_pct = 84;
        b.dyes[0].dye = own == 1 ? &mine : b.dyes[0].dye;
        BATH(&b, kit_fill(60), dye(), kit_drain());
        BATH(&b, kit_fill(95), kit_hold(10), kit_drain());
        run(&b);
        const double loose = own == 1 ? 20 * 0.06 : 20 * 0.10; /* kg */
        CHECK_NEAR(val(&b, b.plan->baths[0].loose_mg_per_kg), loose * 1000, 1e-9,
                   own == 1 ? "D: 90 less 84 %" : "P: usual of reactive dyes, 80 and 70 %");
        CHECK_NEAR(val(&b, b.plan->baths[1].loose_mg_per_kg), loose * 500, 1e-6,
                   "P: half of it in 10 min at 95 degC, no electrolyte");
        const mdr_plan_mass *m = &b.plan->baths[0].masses[0];
        CHECK_NEAR(m->fixed_kg, own == 1 ? 16.8 : 14, 1e-9, "D: fixed");
        CHECK_NEAR(m->fibre_out_kg, loose, 1e-9, "D: loose on the fibre");
        CHECK_NEAR(m->drained_kg + m->carried_out_kg, own == 1 ? 2 : 4, 1e-9, "D: in the liquor");
        kit_bench_free(&b);
    }
}

/* Usual of the class; a fixation above the usual exhaustion lifts that with it. */
static void uptake_by_class(void **state)
{
    (void)state;
    const struct {
        mdr_dye_class dye_class;
        double fixation, loose_pct;
    } rows[] = {{MDR_CLASS_REACTIVE, 0, 10},
                {MDR_CLASS_DIRECT, 0, 3},
                {MDR_CLASS_VAT, 0, 2},
                {MDR_CLASS_DIRECT, 95, 0},
                {MDR_CLASS_REACTIVE, 75, 5}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        kit_bench b;
        READY(b, rows[i].dye_class);
        mdr_material mine = *b.dyes[0].dye;
        mine.fixation_pct = rows[i].fixation;
        b.dyes[0].dye = &mine;
        BATH(&b, kit_fill(60), dye(), kit_drain());
        run(&b);
        CHECK_NEAR(val(&b, b.plan->baths[0].loose_mg_per_kg), rows[i].loose_pct * 200, 1e-9,
                   "P: exhaustion less fixation of 20 g/kg");
        char key[48];
        (void)snprintf(key, sizeof key, "material.%s.usual_exhaustion_pct", mine.material_id);
        const double shown = val(&b, mdr_fig_find(&b.plan->figs, key));
        assert_true(shown >= rows[i].fixation); /* never less goes on than stays */
        kit_bench_free(&b);
    }
}

/* Salt and alkali hold the loose dye back. */
static void electrolyte_hinders(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_REACTIVE);
    BATH(&b, kit_fill(60), dye(), pure("salt", 5), pure("soda", 1.4), kit_drain());
    BATH(&b, kit_fill(95), kit_hold(10), kit_drain());
    run(&b);
    CHECK_NEAR(val(&b, b.plan->baths[1].electrolyte_g_per_l), 2, 1e-9, "D: 6.4 x 2.5/8");
    CHECK_NEAR(val(&b, b.plan->baths[1].loose_mg_per_kg), 2000 * sqrt(0.5), 1e-6,
               "P: half the rate at 2 g/L");
    kit_bench_free(&b);
}

/* A product whose acid is only known in moles counts as acetic acid. */
static void as_acetic(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(0), give("demin", MDR_BASIS_G_PER_L, 1), kit_drain());
    run(&b);
    CHECK_NEAR(val(&b, b.plan->baths[0].end_g_per_l[MDR_IN_HAC]), 3 * HAC / 1000, 1e-5,
               "D: 8 kg at 3 mol/kg in 8000 L");
    kit_bench_free(&b);
}

/* The temperature that the chemistry reckons with is that of the steps: of a fill that mixes, of a
 * heating with nothing to heat, of a rinse. */
static void temperature_of_the_chemistry(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(60), pure("soda", 5), kit_heat(40, 1), kit_hold(1), kit_drain());
    BATH(&b, kit_fill(0), kit_hold(1), kit_rinse(10, 300), kit_drain());
    run(&b);
    const mdr_plan_bath *bath = b.plan->baths;
    CHECK_NEAR(val(&b, bath[0].steps[2].ph), val(&b, bath[0].steps[1].ph), 1e-12,
               "D: it stays at 60 degC");
    const double mixed_c = val(&b, mdr_fig_find(&b.plan->figs, "b2.chem_temp_c"));
    assert_true(mixed_c > 20 && mixed_c < 40);
    CHECK_NEAR(mixed_c, val(&b, bath[1].steps[0].temp_end_c), 1e-9, "D: the same mixture");
    CHECK_NEAR(val(&b, mdr_fig_find(&b.plan->figs, "b2.s3.chem_temp_c")),
               val(&b, bath[1].steps[2].temp_end_c), 1e-9, "D: the same rinse");
    kit_bench_free(&b);
}

/* Minutes at 98 degC that a straight ramp counts for. */
static double equivalent_min(double minutes, double from_c, double to_c)
{
    const double x = log(2) * (to_c - from_c) / 10;
    return minutes * exp2((from_c - 98) / 10) * (fabs(x) > 1e-9 ? (exp(x) - 1) / x : 1);
}

/* A rinse thins and its minutes count; a dose beside a hold has no minutes of its own. */
static void peroxide_in_rinse_and_beside(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    b.site.hot_water_c = 85;
    mdr_route_step beside = pure("peroxide", 2), hot_rinse = kit_rinse(30, 100);
    beside.with_next = true;
    hot_rinse.has_temp = true;
    hot_rinse.temp_c = 85;
    BATH(&b, kit_fill(85), beside, kit_hold(30), hot_rinse, kit_drain());
    run(&b);
    const mdr_plan_step *s = b.plan->baths[0].steps;
    const double held = 16 * exp(-0.0175 * equivalent_min(30, 85, 85));
    CHECK_NEAR(val(&b, s[2].dissolved_kg[MDR_IN_H2O2]), held, 1e-6, "P: half an hour at 85 degC");
    const double minutes = equivalent_min(30, val(&b, s[3].temp_start_c), val(&b, s[3].temp_end_c));
    CHECK_NEAR(val(&b, s[3].dissolved_kg[MDR_IN_H2O2]),
               held * exp(-3000.0 / 8000) * exp(-0.0175 * minutes), 1e-6, "D: thinned and decayed");
    kit_bench_free(&b);
}

/* Dithionite meets the oxygen that the fill brought, however late it comes, and no dye but vat dyes. */
static void what_dithionite_meets(void **state)
{
    (void)state;
    for (int at_once_filled = 0; at_once_filled < 2; at_once_filled++) {
        kit_bench b;
        READY(b, MDR_CLASS_REACTIVE);
        b.machine.air_g_o2_per_kg_h = 1e-9;
        mdr_route_step at_once = pure("dithionite", 3);
        at_once.minutes = 1e-6;
        if (at_once_filled == 1) {
            BATH(&b, kit_fill(40), dye(), pure("caustic", 3), at_once, kit_drain());
        } else {
            BATH(&b, kit_fill(40), dye(), pure("caustic", 3));
            BATH(&b, at_once, kit_drain());
        }
        run(&b);
        const mdr_plan_bath *last = &b.plan->baths[b.plan->n_baths - 1];
        CHECK_NEAR(val(&b, last->dithionite_g_per_l), 3 - 10.08e-3 * DITHIONITE / O2, 2e-3,
                   "D: oxygen at 15 degC");
        kit_bench_free(&b);
    }
}

/* Peroxide meets dithionite first, then the reduced dye, both portions of it. */
static void peroxide_meets(void **state)
{
    (void)state;
    const double per_dye = 0.105 * H2O2 / DITHIONITE, per_dithionite = 3 * H2O2 / DITHIONITE;
    for (int enough = 0; enough < 2; enough++) {
        kit_bench b;
        READY(b, MDR_CLASS_VAT);
        b.machine.air_g_o2_per_kg_h = 1e-9;
        mdr_route_step half = dye();
        half.share_pct = 50;
        mdr_route_step acts = pure("peroxide", enough == 1 ? 0.3 : 0.05);
        acts.minutes = 1e-6;
        BATH(&b, kit_fill(20), half, pure("caustic", 5), pure("dithionite", 1), half,
             pure("dithionite", 1), kit_drain());
        BATH(&b, kit_fill(20), kit_hold(1), acts, kit_drain());
        run(&b);
        const mdr_plan_step *s = b.plan->baths[1].steps;
        const double there_kg = val(&b, s[1].dissolved_kg[MDR_IN_DITHIONITE]);
        const double left_kg = val(&b, s[2].dissolved_kg[MDR_IN_DITHIONITE]);
        const mdr_warn *w = kit_bench_warned(&b, MDR_WARN_NOT_OXIDISED);
        assert_true(there_kg > 1.5);
        assert_non_null(w);
        if (enough == 1) {
            const double over_kg = 2.4 - there_kg * per_dithionite;
            assert_true(over_kg > 0.05 && over_kg < 20 * per_dye);
            CHECK_NEAR(left_kg, 0, 1e-12, "D: the dithionite is gone");
            CHECK_NEAR(w->args[0].number, 20 - over_kg / per_dye, 0.01, "D: the rest of 20 kg");
            CHECK_NEAR(val(&b, s[2].dissolved_kg[MDR_IN_H2O2]), 0, 1e-12, "D: and the peroxide");
        } else {
            CHECK_NEAR(left_kg, there_kg - 0.4 / per_dithionite, 2e-3, "D: three for one");
            CHECK_NEAR(w->args[0].number, 20, 1e-9, "D: the dye has not been reached");
        }
        kit_bench_free(&b);
    }
}

/* A dye with its exhaustion alone: no more is fixed than goes on. */
static void fixed_within_exhaustion(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_REACTIVE);
    mdr_material mine = *kit_material("dye");
    mine.exhaustion_pct = 60;
    b.dyes[0].dye = &mine;
    BATH(&b, kit_fill(60), dye(), kit_drain());
    run(&b);
    CHECK_NEAR(val(&b, b.plan->baths[0].loose_mg_per_kg), 0, 1e-12, "D: 60 less 60 %");
    CHECK_NEAR(b.plan->baths[0].masses[0].fixed_kg, 12, 1e-9, "D: of 20 kg");
    CHECK_NEAR(val(&b, b.plan->foot.total.dye_kg), 8, 1e-9, "D: the rest goes to the drain");
    kit_bench_free(&b);
}

/* -- warnings: where due, and where not -- */

static void needs_speak(void **state)
{
    (void)state;
    for (int due = 0; due < 2; due++) {
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        BATH(&b, kit_fill(50), due == 1 ? kit_hold(1) : pure("peroxide", 1), kit_drain());
        BATH(&b, kit_fill(50), give("catalase", MDR_BASIS_CATALASE, 1), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_NO_NEED, 2), due);

        READY(b, MDR_CLASS_NONE);
        BATH(&b, kit_fill(50), due == 1 ? pure("seq", 20) : kit_hold(1),
             give("seq", MDR_BASIS_SEQUESTER, 1), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_NO_NEED, 1), due);

        READY(b, MDR_CLASS_NONE);
        BATH(&b, kit_fill(50), due == 1 ? pure("salt", 1) : pure("soda", 1), kit_drain());
        BATH(&b, kit_fill(50), acid_to("acid", 5), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_NO_ALKALI, 2), 0);
        READY(b, MDR_CLASS_NONE);
        BATH(&b, kit_fill(50), due == 1 ? pure("acid", 1) : pure("soda", 1), kit_drain());
        BATH(&b, kit_fill(50), acid_to("acid", 5), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_NO_ALKALI, 2), due);

        READY(b, MDR_CLASS_NONE); /* a quarter too much of a strong acid is far too much */
        BATH(&b, kit_fill(50), pure("caustic", 1), kit_drain());
        BATH(&b, kit_fill(50), acid_to(due == 1 ? "sulphuric" : "acid", 6), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_OVERSHOOT, 2), due);

        READY(b, MDR_CLASS_NONE);
        b.machine.temp_max_c = 135;
        BATH(&b, kit_fill(50), pure("soda", 2), kit_heat(due == 1 ? 101 : 100, 0),
             acid_to("acid", 6), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_PH_HOT, 1), due);
    }
}

/* It is a quarter more that is tried. */
static void overshoot_by_a_quarter(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(50), pure("caustic", 1), kit_drain());
    BATH(&b, kit_fill(50), acid_to("sulphuric", 6), kit_drain());
    run(&b);
    const mdr_plan_bath *bath = &b.plan->baths[1];
    mdr_mix mix = {.temp_c = 50};
    mdr_mix_add(&mix, MDR_SUB_NAOH, 2.5 / 8);
    mdr_mix_add(&mix, MDR_SUB_H2SO4, 1.25 * val(&b, bath->steps[1].items[0].active_kg) / 8);
    const mdr_warn *w = kit_bench_warned(&b, MDR_WARN_OVERSHOOT);
    assert_non_null(w);
    CHECK_NEAR(w->args[0].number, 25, 1e-9, "P: a quarter");
    CHECK_NEAR(w->args[1].number, mdr_equil_ph(&mix), 1e-6, "D: pH with a quarter more");
    CHECK_NEAR(w->args[2].number, 6, 1e-12, "D: as wanted");
    kit_bench_free(&b);
}

/* Above 100 degC the need is that at 100. */
static void hot_need(void **state)
{
    (void)state;
    double kg[2];
    for (int i = 0; i < 2; i++) {
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        b.machine.temp_max_c = 135;
        BATH(&b, kit_fill(50), pure("soda", 2), kit_heat(i == 0 ? 100 : 120, 0), acid_to("acid", 6),
             kit_drain());
        run(&b);
        kg[i] = val(&b, b.plan->baths[0].steps[3].items[0].active_kg);
        kit_bench_free(&b);
    }
    CHECK_NEAR(kg[1], kg[0], 1e-9, "D: reckoned at 100 degC");
}

static bool window(double low, double high, bool cooled, mdr_check_kind kind)
{
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    mdr_route_step check = kit_check(kind, low, high);
    check.check.cooled = cooled;
    BATH(&b, kit_fill(50), pure("soda", 10), kit_heat(60, 1), check, kit_drain());
    return says(&b, MDR_WARN_PH_WINDOW, 1);
}

/* 10 g/L of soda: pH 10.75 at 60 degC, 11.36 cold (docs/methods/bath-ph.md); doubt 0.03. */
static void ph_window(void **state)
{
    (void)state;
    assert_false(window(10.6, 10.9, false, MDR_CHECK_PH));
    assert_true(window(10.6, 10.9, true, MDR_CHECK_PH));
    assert_false(window(11.2, 11.5, true, MDR_CHECK_PH));
    assert_true(window(11.2, 11.5, false, MDR_CHECK_PH));
    assert_true(window(11.2, 11.5, false, MDR_CHECK_CORE_PH));
    assert_false(window(-1, 10.9, false, MDR_CHECK_PH));
    assert_true(window(-1, 10.6, false, MDR_CHECK_PH));
    assert_false(window(10.6, -1, false, MDR_CHECK_PH));
    assert_true(window(10.9, -1, false, MDR_CHECK_PH));
    assert_false(window(-1, 10.73, false, MDR_CHECK_PH)); /* within its doubt */
    assert_false(window(10.77, -1, false, MDR_CHECK_PH));
    assert_false(window(1, 2, false, MDR_CHECK_HARDNESS)); /* another quantity */
}

static bool catalase_at(double temp_c, const char *with, double g_per_l, bool *works)
{
    kit_bench b;
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(temp_c), pure("peroxide", 0.5), pure(with, g_per_l),
         give("catalase", MDR_BASIS_CATALASE, 1), kit_check(MDR_CHECK_PEROXIDE, -1, 5),
         kit_drain());
    run(&b);
    *works = val(&b, b.plan->baths[0].steps[4].peroxide_mg_per_l) < 1.0;
    if (*works == (kit_bench_warned(&b, MDR_WARN_PEROXIDE_LEFT) != NULL)) {
        fail_msg("what the check reads and what is said of it differ");
    }
    return says(&b, MDR_WARN_CATALASE_WINDOW, 1);
}

static void catalase_window(void **state)
{
    (void)state;
    bool works = false;
    assert_false(catalase_at(50, "salt", 1, &works));
    assert_true(works);
    assert_true(catalase_at(60, "salt", 1, &works)); /* too hot */
    assert_false(works);
    assert_true(catalase_at(25, "salt", 1, &works)); /* too cold */
    assert_false(works);
    assert_true(catalase_at(50, "soda", 1, &works)); /* too alkaline */
    assert_false(works);
    assert_true(catalase_at(50, "acid", 1, &works)); /* too acid */
    assert_false(works);
}

static void peroxide_before_dye(void **state)
{
    (void)state;
    for (int due = 0; due < 2; due++) {
        kit_bench b;
        READY(b, MDR_CLASS_REACTIVE);
        /* 5 mg/L are allowed: 16 mg/L thinned by 2.5/8; at 20 degC it hardly decays */
        BATH(&b, kit_fill(20), pure("peroxide", due == 1 ? 0.0162 : 0.0159), kit_drain());
        BATH(&b, kit_fill(20), dye(), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_PEROXIDE_DYE, 2), due);
    }
    kit_bench b; /* and it is no matter where nothing is dyed */
    READY(b, MDR_CLASS_NONE);
    BATH(&b, kit_fill(20), pure("peroxide", 2), kit_drain());
    BATH(&b, kit_fill(20), kit_drain());
    assert_false(says(&b, MDR_WARN_PEROXIDE_DYE, 2));
}

static void hardness_speaks(void **state)
{
    (void)state;
    const struct {
        double dh;
        bool near, over;
    } rows[] = {{2.9, false, false}, {3.1, true, false}, {4.9, true, false}, {5.1, false, true}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        for (int which = 0; which < 3; which++) {
            kit_bench b;
            READY(b, which == 2 ? MDR_CLASS_NONE : MDR_CLASS_REACTIVE);
            b.lot.article.calcium_mg_per_kg = b.lot.article.magnesium_mg_per_kg = 1e-6;
            b.site.hardness_dh = rows[i].dh;
            BATH(&b, kit_fill(40), which == 2 ? kit_hold(1) : dye(), kit_drain());
            const mdr_warn_id id = which == 0 ? MDR_WARN_HARDNESS_NEAR : MDR_WARN_HARDNESS_OVER;
            const bool due = which == 0 ? rows[i].near : which == 1 && rows[i].over;
            assert_int_equal(says(&b, id, 1), due);
        }
        kit_bench b;
        READY(b, MDR_CLASS_NONE);
        b.lot.article.calcium_mg_per_kg = b.lot.article.magnesium_mg_per_kg = 1e-6;
        b.site.hardness_dh = rows[i].dh;
        BATH(&b, kit_fill(40), kit_check(MDR_CHECK_HARDNESS, -1, 4), pure("seq", 9), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_HARDNESS_CHECK, 1), rows[i].dh > 4); /* held or not */
    }
}

/* Salt 60 and soda 15 g/L, then a soap after so many rinses, neutralised or not. */
static bool soap(int rinses, bool acid, double soap_c, mdr_stage_kind stage, mdr_warn_id id)
{
    kit_bench b;
    READY(b, MDR_CLASS_REACTIVE);
    BATH(&b, kit_fill(60), dye(), pure("salt", 60), pure("soda", 15), kit_drain());
    kit_bench_stage(&b, stage);
    for (int i = 0; i < rinses; i++) {
        BATH(&b, kit_fill(40), acid && i == rinses - 1 ? acid_to("acid", 5.5) : kit_hold(1),
             kit_drain());
    }
    BATH(&b, kit_fill(50), give("soap", MDR_BASIS_G_PER_L, 1), kit_heat(soap_c, 2), kit_hold(10),
         kit_drain());
    return says(&b, id, rinses + 2);
}

static void soap_speaks(void **state)
{
    (void)state;
    assert_true(soap(1, true, 95, MDR_STAGE_AFTER, MDR_WARN_SOAP_SALT));
    assert_false(soap(3, true, 95, MDR_STAGE_AFTER, MDR_WARN_SOAP_SALT)); /* 0.7 g/L */
    assert_false(soap(1, true, 84, MDR_STAGE_AFTER, MDR_WARN_SOAP_SALT));
    assert_true(soap(1, true, 85, MDR_STAGE_AFTER, MDR_WARN_SOAP_SALT));
    assert_false(soap(1, true, 95, MDR_STAGE_DYEING, MDR_WARN_SOAP_SALT));
    assert_true(soap(3, false, 95, MDR_STAGE_AFTER, MDR_WARN_SOAP_ALKALI));
    assert_false(soap(3, true, 95, MDR_STAGE_AFTER, MDR_WARN_SOAP_ALKALI));
    assert_false(soap(3, false, 84, MDR_STAGE_AFTER, MDR_WARN_SOAP_ALKALI));
}

/* 1 % of the usual dye: two hot soaps are usual; of a black as many as of the deepest. */
static bool soaps_say(mdr_nature nature, double depth, int soaps, double soap_c, mdr_warn_id id)
{
    kit_bench b;
    READY(b, MDR_CLASS_REACTIVE);
    mdr_material mine = *kit_material("dye");
    mine.nature = (int)nature;
    b.dyes[0] = (mdr_recipe_dye){&mine, depth};
    BATH(&b, kit_fill(60), dye(), kit_hold(10), kit_heat(95, 2), kit_drain()); /* no soap */
    kit_bench_stage(&b, MDR_STAGE_AFTER);
    for (int i = 0; i < soaps; i++) {
        BATH(&b, kit_fill(soap_c), kit_hold(10), kit_drain());
    }
    BATH(&b, kit_fill(40), kit_drain());
    return says(&b, id, 0);
}

static void soaps_counted(void **state)
{
    (void)state;
    static const double DEPTHS[] = {0.3, 1, 3, 6};
    for (size_t i = 0; i < N_OF(DEPTHS); i++) {
        const mdr_washoff_usual_baths usual = mdr_washoff_usual(DEPTHS[i]);
        const int least = usual.hot_soaps_least, most = usual.hot_soaps_most;
        const mdr_nature plain = MDR_NATURE_USUAL;
        assert_false(soaps_say(plain, DEPTHS[i], least, 95, MDR_WARN_SOAPS_FEW));
        assert_int_equal(soaps_say(plain, DEPTHS[i], least - 1, 95, MDR_WARN_SOAPS_FEW), least > 0);
        assert_false(soaps_say(plain, DEPTHS[i], most, 95, MDR_WARN_SOAPS_MANY));
        assert_true(soaps_say(plain, DEPTHS[i], most + 1, 95, MDR_WARN_SOAPS_MANY));
        assert_int_equal(soaps_say(plain, DEPTHS[i], least, 80, MDR_WARN_SOAPS_FEW), least > 0);
    }
    const int deep = mdr_washoff_usual(6).hot_soaps_least;
    assert_true(deep > mdr_washoff_usual(1).hot_soaps_least);
    const int most = mdr_washoff_usual(6).hot_soaps_most;
    assert_true(most > mdr_washoff_usual(3).hot_soaps_most);
    assert_false(soaps_say(MDR_NATURE_BLACK, 3, most, 95, MDR_WARN_SOAPS_MANY));
    assert_true(soaps_say(MDR_NATURE_BLACK, 1, most, 95, MDR_WARN_SOAPS_MANY)); /* a grey */
    assert_true(soaps_say(MDR_NATURE_PHTHALOCYANINE, 1, deep - 1, 95, MDR_WARN_SOAPS_FEW));
    assert_false(soaps_say(MDR_NATURE_PHTHALOCYANINE, 1, most, 95, MDR_WARN_SOAPS_MANY));
}

static void loose_dye(void **state)
{
    (void)state;
    for (int soaps = 3; soaps <= 4; soaps++) { /* 2000 mg/kg: 1000, 500, 250, 125; 150 may stay */
        kit_bench b;
        READY(b, MDR_CLASS_REACTIVE);
        BATH(&b, kit_fill(60), dye(), kit_drain());
        for (int i = 0; i < soaps; i++) {
            BATH(&b, kit_fill(95), kit_hold(10), kit_drain());
        }
        run(&b);
        const mdr_warn *w = kit_bench_warned(&b, MDR_WARN_LOOSE_DYE);
        assert_int_equal(w != NULL, soaps == 3);
        if (w != NULL) {
            CHECK_NEAR(w->args[0].number, 250, 0.01, "P: halved each time");
            CHECK_NEAR(w->args[2].number, 1, 1e-9, "D: one more leaves 125");
        }
        assert_int_equal(says(&b, MDR_WARN_LOOSE_DYE, 0), soaps == 3);
    }
}

/* A vat of this dye; then rinses, then peroxide or none. */
typedef struct vat {
    const char *dye;
    double salt, caustic, dithionite, hold_c;
    int rinses;
    double peroxide;
} vat;

static bool vat_says(const vat *v, mdr_warn_id id, int bath)
{
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    b.dyes[0].dye = kit_material(v->dye);
    b.machine.air_g_o2_per_kg_h = 1;
    BATH(&b, kit_fill(v->hold_c), dye(), pure("caustic", v->caustic),
         v->dithionite > 0 ? pure("dithionite", v->dithionite) : kit_hold(1),
         v->salt > 0 ? pure("nacl", v->salt) : kit_hold(2), kit_hold(30), kit_drain());
    kit_bench_stage(&b, MDR_STAGE_AFTER);
    for (int i = 0; i < v->rinses; i++) {
        BATH(&b, kit_fill(30), kit_hold(1), kit_drain());
    }
    BATH(&b, kit_fill(40), v->peroxide > 0 ? pure("peroxide", v->peroxide) : kit_hold(1),
         kit_drain());
    return says(&b, id, bath);
}

static void vat_speaks(void **state)
{
    (void)state;
    const vat good = {"vat-in", 0, 5, 6, 60, 4, 1};
    static const mdr_warn_id ALL[] = {MDR_WARN_NO_REDUCTION, MDR_WARN_RESERVE_SHORT,
                                      MDR_WARN_VAT_CAUSTIC,  MDR_WARN_REDUCER_LEFT,
                                      MDR_WARN_NOT_OXIDISED, MDR_WARN_VAT_TEMP,
                                      MDR_WARN_VAT_SALT,     MDR_WARN_VAT_SALT_MISSING};
    for (size_t i = 0; i < N_OF(ALL); i++) {
        assert_false(vat_says(&good, ALL[i], 0));
    }
    vat v = good;
    v.dithionite = 0;
    assert_true(vat_says(&v, MDR_WARN_NO_REDUCTION, 1));
    assert_true(vat_says(&v, MDR_WARN_NOT_OXIDISED, 0)); /* peroxide does not act on a pigment */
    v.dithionite = 1.5;                                  /* water, dye, air and heat take 1.2 */
    assert_true(vat_says(&v, MDR_WARN_RESERVE_SHORT, 1));
    v = good;
    v.rinses = 0;
    assert_true(vat_says(&v, MDR_WARN_REDUCER_LEFT, 2));
    v = good;
    v.peroxide = 0;
    assert_true(vat_says(&v, MDR_WARN_NOT_OXIDISED, 0));
    /* 20 kg of dye take 0.41 kg of peroxide, 0.051 g/L */
    v.peroxide = 0.045;
    assert_true(vat_says(&v, MDR_WARN_NOT_OXIDISED, 0));
    v.peroxide = 0.055;
    assert_false(vat_says(&v, MDR_WARN_NOT_OXIDISED, 0));
    /* water, dye and air of 35 min take 0.44 g/L of caustic, heat a little; 1 g/L must stay */
    v = good;
    v.caustic = 1.4;
    assert_true(vat_says(&v, MDR_WARN_VAT_CAUSTIC, 1));
    v.caustic = 1.9;
    assert_false(vat_says(&v, MDR_WARN_VAT_CAUSTIC, 1));
    const struct {
        const char *dye;
        double temp_c;
        bool due;
    } temps[] = {{"vat-in", 62, false},  {"vat-in", 62.5, true}, {"vat-in", 48, false},
                 {"vat-in", 47.5, true}, {"vat-iw", 52, false},  {"vat-iw", 60, true}};
    for (size_t i = 0; i < N_OF(temps); i++) {
        v = good;
        v.dye = temps[i].dye;
        v.hold_c = temps[i].temp_c;
        assert_int_equal(vat_says(&v, MDR_WARN_VAT_TEMP, 1), temps[i].due);
    }
    v = good;
    v.salt = 5;
    assert_true(vat_says(&v, MDR_WARN_VAT_SALT, 1));
    v.dye = "vat-iw";
    v.hold_c = 48;
    assert_false(vat_says(&v, MDR_WARN_VAT_SALT, 1));
    v.salt = 0;
    assert_true(vat_says(&v, MDR_WARN_VAT_SALT_MISSING, 1));
}

/* The reserve is judged before the drain, at the last step that works with it. */
static void where_the_reserve_is_judged(void **state)
{
    (void)state;
    kit_bench b;
    READY(b, MDR_CLASS_VAT);
    BATH(&b, kit_fill(60), dye(), pure("caustic", 5), pure("dithionite", 3), kit_hold(20),
         kit_drain());
    run(&b);
    const mdr_plan_step *s = b.plan->baths[0].steps;
    const double worked = val(&b, s[4].dithionite_g_per_l);
    assert_true(worked < 1);
    const mdr_warn *w = kit_bench_warned(&b, MDR_WARN_RESERVE_SHORT);
    assert_non_null(w);
    assert_int_equal(w->at.step, 5);
    CHECK_NEAR(w->args[0].number, worked, 1e-12, "D: at the end of the hold");
    kit_bench_free(&b);
}

/* The vat's temperature is that of its longest hold after the dithionite. */
static void vat_temperature(void **state)
{
    (void)state;
    for (int due = 0; due < 2; due++) {
        kit_bench b;
        READY(b, MDR_CLASS_VAT);
        b.machine.air_g_o2_per_kg_h = 1;
        BATH(&b, kit_fill(80), dye(), kit_hold(90), kit_cool(60, 2), pure("caustic", 5),
             pure("dithionite", 6), kit_hold(due == 1 ? 10 : 20), kit_cool(40, 2), kit_hold(15),
             kit_drain());
        assert_int_equal(says(&b, MDR_WARN_VAT_TEMP, 1), due);
    }
}

/* A little dithionite is no matter; acid is one like peroxide; soap is not. */
static void reducer(void **state)
{
    (void)state;
    const struct {
        const char *id;
        double dithionite;
        bool due;
    } rows[] = {{"acid", 6, true},     {"formic", 6, true}, {"sulphuric", 6, true},
                {"peroxide", 6, true}, {"soda", 6, false},  {"acid", 0.31, false},
                {"acid", 0.7, true}};
    for (size_t i = 0; i < N_OF(rows); i++) {
        kit_bench b;
        READY(b, MDR_CLASS_VAT);
        b.machine.air_g_o2_per_kg_h = 0.01;
        BATH(&b, kit_fill(20), pure("caustic", 5), pure("dithionite", rows[i].dithionite),
             kit_drain());
        BATH(&b, kit_fill(40), pure(rows[i].id, 1), kit_drain());
        assert_int_equal(says(&b, MDR_WARN_REDUCER_LEFT, 2), rows[i].due);
    }
}

static bool direct_says(const char *id, mdr_curve_kind curve, int doses, double rate,
                        mdr_warn_id warn)
{
    kit_bench b;
    READY(b, MDR_CLASS_DIRECT);
    b.dyes[0].dye = kit_material(id);
    mdr_route_step salt = pure("salt", 10);
    salt.curve = curve;
    salt.portions = 4;
    salt.exponent = 2;
    BATH(&b, kit_fill(40), dye(), kit_heat(95, rate), salt, doses > 1 ? salt : kit_hold(1),
         kit_hold(30), kit_cool(70, 2), kit_drain());
    return says(&b, warn, 1);
}

static void direct_speaks(void **state)
{
    (void)state;
    const mdr_warn_id salt = MDR_WARN_DIRECT_SALT, heat = MDR_WARN_DIRECT_HEAT;
    assert_false(direct_says("direct-a", MDR_CURVE_LINEAR, 1, 2, salt));
    assert_true(direct_says("direct-b", MDR_CURVE_LINEAR, 1, 2, salt));
    assert_true(direct_says("direct-b", MDR_CURVE_DEGRESSIVE, 1, 2, salt));
    assert_false(direct_says("direct-b", MDR_CURVE_PORTIONS, 1, 2, salt));
    assert_false(direct_says("direct-b", MDR_CURVE_PROGRESSIVE, 1, 2, salt));
    assert_false(direct_says("direct-b", MDR_CURVE_LINEAR, 2, 2, salt));
    assert_false(direct_says("direct-b", MDR_CURVE_LINEAR, 1, 2, heat));
    assert_true(direct_says("direct-c", MDR_CURVE_PORTIONS, 1, 1.1, heat));
    assert_false(direct_says("direct-c", MDR_CURVE_PORTIONS, 1, 1, heat));
}

/* -- what a need refuses -- */

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

/* -- footprint -- */

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
    const struct CMUnitTest tests[] = {cmocka_unit_test(neutralising),
                                       cmocka_unit_test(factor_and_default),
                                       cmocka_unit_test(four_acids),
                                       cmocka_unit_test(ph_step_by_step),
                                       cmocka_unit_test(no_ph),
                                       cmocka_unit_test(fine_print_of_the_ph),
                                       cmocka_unit_test(hardness),
                                       cmocka_unit_test(unknown_fabric),
                                       cmocka_unit_test(released_parts),
                                       cmocka_unit_test(peroxide_and_catalase),
                                       cmocka_unit_test(peroxide_on_a_ramp),
                                       cmocka_unit_test(going_on),
                                       cmocka_unit_test(rinsing),
                                       cmocka_unit_test(vat_reserve),
                                       cmocka_unit_test(vat_in_parts),
                                       cmocka_unit_test(dithionite_is_rinsed),
                                       cmocka_unit_test(oxidising),
                                       cmocka_unit_test(oxidising_at_least),
                                       cmocka_unit_test(whitening),
                                       cmocka_unit_test(dye_in_many_doses),
                                       cmocka_unit_test(wash_off),
                                       cmocka_unit_test(uptake_by_class),
                                       cmocka_unit_test(electrolyte_hinders),
                                       cmocka_unit_test(as_acetic),
                                       cmocka_unit_test(temperature_of_the_chemistry),
                                       cmocka_unit_test(peroxide_in_rinse_and_beside),
                                       cmocka_unit_test(what_dithionite_meets),
                                       cmocka_unit_test(peroxide_meets),
                                       cmocka_unit_test(fixed_within_exhaustion),
                                       cmocka_unit_test(needs_speak),
                                       cmocka_unit_test(overshoot_by_a_quarter),
                                       cmocka_unit_test(hot_need),
                                       cmocka_unit_test(ph_window),
                                       cmocka_unit_test(catalase_window),
                                       cmocka_unit_test(peroxide_before_dye),
                                       cmocka_unit_test(hardness_speaks),
                                       cmocka_unit_test(soap_speaks),
                                       cmocka_unit_test(soaps_counted),
                                       cmocka_unit_test(loose_dye),
                                       cmocka_unit_test(vat_speaks),
                                       cmocka_unit_test(where_the_reserve_is_judged),
                                       cmocka_unit_test(vat_temperature),
                                       cmocka_unit_test(reducer),
                                       cmocka_unit_test(direct_speaks),
                                       cmocka_unit_test(refusals),
                                       cmocka_unit_test(out_of_reach),
                                       cmocka_unit_test(footprint_by_hand),
                                       cmocka_unit_test(scouring),
                                       cmocka_unit_test(stages_add_up)};
    return cmocka_run_group_tests(tests, kit_demo_make, kit_demo_drop);
}
