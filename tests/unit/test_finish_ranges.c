/* What the numbers of finishing may be. Ranges: I, wide enough for every knit fabric and machine, narrow
 * enough for a slipped decimal point; those of moist air: S, where its formulas are known. */
#include "t.h"

#include "core/finish/mdr_drying.h"
#include "core/finish/mdr_padding.h"
#include "core/finish/mdr_psychro.h"
#include "core/finish/mdr_settle.h"
#include "core/finish/mdr_stenter.h"
#include "edge_kit.h"

static const mdr_web WEB = {.width_cm = 165,
                            .courses_per_cm = 17.0,
                            .wales_per_cm = 13.7,
                            .dry_gsm = 129.6,
                            .moisture_kg_per_kg = 0.84,
                            .speed_m_per_min = 40,
                            .length_m = 2300,
                            .temp_c = 25};

/* -- a fabric, as it is and as it was read -- */

static mdr_code ask_web(const void *record, mdr_err *err)
{
    return mdr_web_check(record, err);
}

static mdr_code ask_reading(const void *record, mdr_err *err)
{
    mdr_web out;
    double off;
    return mdr_web_read(&WEB, record, &out, &off, err);
}

static void fabric(void **state)
{
    (void)state;
#define AT(m) offsetof(mdr_web, m)
    static const kit_edge EDGES[] = {
        {"width_cm", AT(width_cm), 1, 1000},
        {"courses_per_cm", AT(courses_per_cm), 0.5, 100},
        {"wales_per_cm", AT(wales_per_cm), 0.5, 100},
        {"dry_gsm", AT(dry_gsm), 10, 2000},
        {"moisture_kg_per_kg", AT(moisture_kg_per_kg), 0, 5},
        {"speed_m_per_min", AT(speed_m_per_min), 0, 500},
        {"length_m", AT(length_m), 0.01, 1e6},
        {"temp_c", AT(temp_c), -20, 300},
    };
#undef AT
    mdr_web web = WEB;
    kit_edges(EDGES, N_OF(EDGES), &web, ask_web);
#define AT(m) offsetof(mdr_web_reading, m)
    static const kit_edge READ[] = {
        {"width_cm", AT(width_cm), 1, 1000},
        {"courses_per_cm", AT(courses_per_cm), 0.5, 100},
        {"moisture_kg_per_kg", AT(moisture_kg_per_kg), 0, 5},
        {"wet_gsm", AT(wet_gsm), 0, 12000},
    };
#undef AT
    mdr_web_reading reading = {
        .width_cm = 160, .courses_per_cm = 17, .moisture_kg_per_kg = 0.1, .wet_gsm = 0};
    kit_edges(READ, N_OF(READ), &reading, ask_reading);
}

/* -- a pass -- */

static mdr_code ask_pass(const void *record, mdr_err *err)
{
    return mdr_pass_check(record, err);
}

static void pass(void **state)
{
    (void)state;
#define AT(m) offsetof(mdr_pass, m)
    static const kit_edge EDGES[] = {
        {"overfeed_fraction", AT(overfeed_fraction), -0.5, 1},
        {"moisture_kg_per_kg", AT(moisture_kg_per_kg), 0, 5},
        {"temp_c", AT(temp_c), -20, 300},
        {"speed_m_per_min", AT(speed_m_per_min), 0, 500},
    };
    static const kit_edge GRIPPED = {"width_cm", AT(width_cm), 1, 1000};
    static const kit_edge LOOSE = {"width_change_fraction", AT(width_change_fraction), -0.5, 1};
#undef AT
    mdr_pass p = {.kind = MDR_PASS_STENTER, .width_cm = 150};
    kit_edges(EDGES, N_OF(EDGES), &p, ask_pass);
    kit_edges(&GRIPPED, 1, &p, ask_pass);
    p.kind = MDR_PASS_COMPACT;
    kit_edges(&LOOSE, 1, &p, ask_pass);
}

/* -- a line that is set -- */

typedef struct setting {
    mdr_goal goal;
    mdr_line_limits limits;
} setting;

static mdr_code ask_setting(const void *record, mdr_err *err)
{
    const setting *s = record;
    const mdr_line line = mdr_line_open(150);
    mdr_settled out;
    return mdr_line_settle(&WEB, &line, &s->goal, &s->limits, &out, err);
}

static void line(void **state)
{
    (void)state;
#define AT(m) offsetof(setting, m)
    static const kit_edge EDGES[] = {
        {"relaxed.courses_per_cm", AT(goal.relaxed.courses_per_cm), 0.5, 100},
        {"relaxed.wales_per_cm", AT(goal.relaxed.wales_per_cm), 0.5, 100},
        {"residual.length_fraction", AT(goal.residual.length_fraction), -0.3, 0.6},
        {"residual.width_fraction", AT(goal.residual.width_fraction), -0.3, 0.6},
        {"limits.width_min_cm", AT(limits.width_min_cm), 1, 1000},
        {"limits.width_max_cm", AT(limits.width_max_cm), 1, 1000},
        {"limits.overfeed_min_fraction", AT(limits.overfeed_min_fraction), -0.5, 1},
        {"limits.overfeed_max_fraction", AT(limits.overfeed_max_fraction), -0.5, 1},
        {"limits.compact_min_fraction", AT(limits.compact_min_fraction), -0.5, 1},
        {"limits.compact_max_fraction", AT(limits.compact_max_fraction), -0.5, 1},
        {"compact_fraction", AT(goal.compact_fraction), 0, 0.15}, /* of this compactor */
    };
#undef AT
    setting s = {
        .goal = {.relaxed = {19.64, 15.0}, .residual = {0.04, 0.05}, .compact_fraction = 0.08},
        .limits = {.width_min_cm = 80,
                   .width_max_cm = 240,
                   .overfeed_max_fraction = 0.20,
                   .compact_max_fraction = 0.15}};
    kit_edges(EDGES, N_OF(EDGES), &s, ask_setting);
}

/* Of a line of which some passes were run: what is left, and nothing behind it. */
static void rest(void **state)
{
    (void)state;
    mdr_line all = mdr_line_open(150);
    all.passes[all.n].width_cm = 4711; /* none of its passes */
    const mdr_line left = mdr_line_rest(&all, 1);
    assert_int_equal(left.n, all.n - 1);
    for (int i = 0; i < left.n; i++) {
        assert_int_equal(left.passes[i].kind, all.passes[i + 1].kind);
    }
    CHECK_NEAR(left.passes[left.n].width_cm, 0, 0, "D: behind its last");
}

/* -- stenter, oven, padder -- */

static mdr_code ask_stenter(const void *record, mdr_err *err)
{
    mdr_stenter out;
    return mdr_stenter_balance(record, &out, err);
}

static void stenter(void **state)
{
    (void)state;
#define AT(m) offsetof(mdr_stenter_in, m)
    static const kit_edge EDGES[] = {
        {"dry_kg_per_h", AT(dry_kg_per_h), 0.1, 20000},
        {"moisture_in_kg_per_kg", AT(moisture_in_kg_per_kg), 0, 5},
        {"moisture_out_kg_per_kg", AT(moisture_out_kg_per_kg), 0, 5},
        {"fresh_kg_per_kg", AT(fresh_kg_per_kg), 0, 0.1},
        {"fresh_c", AT(fresh_c), -20, 60},
        {"exhaust_kg_per_kg", AT(exhaust_kg_per_kg), 0, 10},
        {"exhaust_c", AT(exhaust_c), 0, MDR_PSYCHRO_MAX_C},
        {"fabric_in_c", AT(fabric_in_c), -20, 300},
        {"fabric_out_c", AT(fabric_out_c), -20, 300},
        {"loss_fraction", AT(loss_fraction), 0, 0.9},
        {"pressure_pa", AT(pressure_pa), MDR_PSYCHRO_MIN_PA, MDR_PSYCHRO_MAX_PA},
    };
#undef AT
    mdr_stenter_in in = {.dry_kg_per_h = 400,
                         .moisture_in_kg_per_kg = 0.70,
                         .moisture_out_kg_per_kg = 0.07,
                         .fresh_kg_per_kg = 0.012,
                         .fresh_c = 30,
                         .exhaust_kg_per_kg = 0.1,
                         .exhaust_c = 130,
                         .fabric_in_c = 30,
                         .fabric_out_c = 120,
                         .loss_fraction = 0.10,
                         .pressure_pa = MDR_PSYCHRO_ATM_PA};
    kit_edges(EDGES, N_OF(EDGES), &in, ask_stenter);
}

typedef struct drying {
    mdr_drying_in in;
    double seconds, oven_m, speed_m_per_min, entry_s, moisture_kg_per_kg, from_c, to_c;
} drying;

static mdr_code ask_time(const void *record, mdr_err *err)
{
    mdr_drying out;
    return mdr_drying_time(&((const drying *)record)->in, &out, err);
}

static mdr_code ask_after(const void *record, mdr_err *err)
{
    const drying *d = record;
    double out;
    return mdr_drying_moisture_after(&d->in, d->seconds, &out, err);
}

static mdr_code ask_fit(const void *record, mdr_err *err)
{
    const drying *d = record;
    double out;
    return mdr_drying_fit_h(&d->in, d->oven_m, d->speed_m_per_min, d->entry_s, &out, err);
}

static mdr_code ask_warm(const void *record, mdr_err *err)
{
    const drying *d = record;
    double out;
    return mdr_drying_warm_up_s(&d->in, d->moisture_kg_per_kg, d->from_c, d->to_c, &out, err);
}

static mdr_code ask_speed(const void *record, mdr_err *err)
{
    mdr_speed out;
    return mdr_drying_speed(record, &out, err);
}

static void oven(void **state)
{
    (void)state;
#define AT(m) offsetof(drying, m)
    static const kit_edge TIME[] = {
        {"dry_gsm", AT(in.dry_gsm), 10, 2000},
        {"moisture_in_kg_per_kg", AT(in.moisture_in_kg_per_kg), 0, 5},
        {"critical_kg_per_kg", AT(in.critical_kg_per_kg), 0, 5},
        {"equilibrium_kg_per_kg", AT(in.equilibrium_kg_per_kg), 0, 5},
        {"moisture_out_kg_per_kg", AT(in.moisture_out_kg_per_kg), 0, 5},
        {"air_c", AT(in.air_c), 40, MDR_PSYCHRO_MAX_C},
        {"air_kg_per_kg", AT(in.air_kg_per_kg), 0, 10},
        {"pressure_pa", AT(in.pressure_pa), MDR_PSYCHRO_MIN_PA, MDR_PSYCHRO_MAX_PA},
        {"h_w_per_m2_k", AT(in.h_w_per_m2_k), 1, 1000},
    };
    static const kit_edge AFTER[] = {{"seconds", AT(seconds), 0, 1e6}};
    static const kit_edge FIT[] = {{"oven_m", AT(oven_m), 0.1, 100},
                                   {"speed_m_per_min", AT(speed_m_per_min), 0.1, 500},
                                   {"entry_s", AT(entry_s), 0, 60}};
    static const kit_edge WARM[] = {
        {"dry_gsm", AT(in.dry_gsm), 10, 2000},
        {"air_c", AT(in.air_c), 40, MDR_PSYCHRO_MAX_C},
        {"moisture_kg_per_kg", AT(moisture_kg_per_kg), 0, 5},
        {"from_c", AT(from_c), -20, 300},
        {"to_c", AT(to_c), -20, 300},
    };
#undef AT
    drying d = {.in = {.dry_gsm = 150,
                       .moisture_in_kg_per_kg = 0.7,
                       .moisture_out_kg_per_kg = 0.07,
                       .critical_kg_per_kg = 0.25,
                       .equilibrium_kg_per_kg = 0.01,
                       .air_c = 150,
                       .air_kg_per_kg = 0.1,
                       .pressure_pa = MDR_PSYCHRO_ATM_PA,
                       .h_w_per_m2_k = 80},
                .seconds = 30,
                .oven_m = 18,
                .speed_m_per_min = 20,
                .entry_s = 3,
                .moisture_kg_per_kg = 0.1,
                .from_c = 30,
                .to_c = 100};
    kit_edges(TIME, N_OF(TIME), &d, ask_time);
    kit_edges(AFTER, N_OF(AFTER), &d, ask_after);
    kit_edges(FIT, N_OF(FIT), &d, ask_fit);
    kit_edges(WARM, N_OF(WARM), &d, ask_warm);
#define AT(m) offsetof(mdr_oven, m)
    static const kit_edge SPEED[] = {
        {"length_m", AT(length_m), 0.1, 100},
        {"speed_min_m_per_min", AT(speed_min_m_per_min), 0.1, 500},
        {"speed_max_m_per_min", AT(speed_max_m_per_min), 5, 500}, /* from the least */
        {"entry_s", AT(entry_s), 0, 3600},
        {"drying_s", AT(drying_s), 0, 3600},
        {"set_warm_up_s", AT(set_warm_up_s), 0, 3600},
        {"set_dwell_s", AT(set_dwell_s), 0, 3600},
    };
#undef AT
    mdr_oven o = {.length_m = 18,
                  .speed_min_m_per_min = 5,
                  .speed_max_m_per_min = 60,
                  .entry_s = 3,
                  .drying_s = 30};
    kit_edges(SPEED, N_OF(SPEED), &o, ask_speed);
}

typedef struct padded {
    double add_on_kg_per_kg, in_kg_per_kg, out_kg_per_kg, fabric_kg;
} padded;

static mdr_code ask_padding(const void *record, mdr_err *err)
{
    const padded *p = record;
    mdr_padding out;
    return mdr_padding_make(p->add_on_kg_per_kg, p->in_kg_per_kg, p->out_kg_per_kg, p->fabric_kg,
                            &out, err);
}

static void padder(void **state)
{
    (void)state;
#define AT(m) offsetof(padded, m)
    static const kit_edge EDGES[] = {
        {"add_on_kg_per_kg", AT(add_on_kg_per_kg), 0, 1},
        {"pickup_in_kg_per_kg", AT(in_kg_per_kg), 0, 3},
        {"pickup_out_kg_per_kg", AT(out_kg_per_kg), 0, 3},
        {"fabric_kg", AT(fabric_kg), 0, 1e6},
    };
#undef AT
    padded p = {0.02, 0.6, 0.9, 300};
    kit_edges(EDGES, N_OF(EDGES), &p, ask_padding);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fabric), cmocka_unit_test(pass),    cmocka_unit_test(line),
        cmocka_unit_test(rest),   cmocka_unit_test(stenter), cmocka_unit_test(oven),
        cmocka_unit_test(padder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
