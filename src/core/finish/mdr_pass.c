#include "core/finish/mdr_pass.h"

#include "core/finish/mdr_bound.h"

/* [finishing-settings], as data: P common practice without a source, S printed, I invented.
 * Overfeed, width change, moisture out, machine C, speed; low, usual, high of each. Moisture on
 * bone dry: squeezed to 65 .. 80 % of conditioned mass is 0.79 .. 0.95 with regain 8.5 %. */
static const mdr_pass_usual USUAL[MDR_PASS_KINDS] = {
    [MDR_PASS_DEWATER] = {{-0.10, -0.04, 0.0},   /* I: extraction is the worst step for stretch */
                          {-0.05, 0.0, 0.15},    /* I */
                          {0.79, 0.84, 0.95},    /* P */
                          {0.0, 0.0, 0.0},       /* cold */
                          {20.0, 40.0, 60.0}},   /* I */
    [MDR_PASS_PAD] = {{-0.05, -0.01, 0.0},       /* I */
                      {-0.05, 0.0, 0.0},         /* I */
                      {0.84, 0.95, 1.06},        /* P: 70 .. 90 % of conditioned mass */
                      {0.0, 0.0, 0.0},           /* cold */
                      {20.0, 30.0, 50.0}},       /* I */
    [MDR_PASS_STENTER] = {{0.05, 0.15, 0.50},    /* P: the display says 0.20 .. 0.50, the fabric
                                                    that hangs free keeps less of it */
                          {0.0, 0.0, 0.0},       /* gripped */
                          {0.05, 0.07, 0.08},    /* P */
                          {130.0, 150.0, 160.0}, /* S (elastic fabric), P 120 .. 170 */
                          {15.0, 25.0, 40.0}},   /* P */
    [MDR_PASS_COMPACT] = {{0.05, 0.08, 0.15},    /* P: rigid fabric; rib takes more */
                          {-0.02, 0.0, 0.03},    /* I; S: a rigid single jersey widened 2 % */
                          {0.04, 0.06, 0.10},    /* P */
                          {100.0, 115.0, 130.0}, /* P */
                          {15.0, 20.0, 30.0}},   /* P */
    [MDR_PASS_BALLOON] = {{-0.10, -0.05, 0.0},   /* I */
                          {-0.05, 0.0, 0.10},    /* I */
                          {0.79, 0.90, 1.06},    /* P */
                          {0.0, 0.0, 0.0},       /* cold */
                          {20.0, 40.0, 60.0}},   /* I */
    [MDR_PASS_SPREAD] = {{0.0, 0.10, 0.30},      /* I; S: spreading only helps with overfeed */
                         {0.0, 0.0, 0.0},        /* gripped */
                         {0.0, 0.0, 0.0},        /* not looked at */
                         {0.0, 0.0, 0.0},        /* cold */
                         {20.0, 40.0, 60.0}},    /* I */
    [MDR_PASS_RELAX_DRY] = {{0.0, 0.05, 0.15},   /* I */
                            {-0.10, -0.04, 0.0}, /* I; S: width shrinks first */
                            {0.05, 0.07, 0.08},  /* P */
                            {120.0, 140.0, 160.0} /* P */,
                            {10.0, 20.0, 30.0}},   /* I */
    [MDR_PASS_TUBE_COMPACT] = {{0.05, 0.08, 0.15}, /* P */
                               {-0.05, 0.0, 0.05}, /* I */
                               {0.04, 0.06, 0.10}, /* P */
                               {100.0, 115.0, 130.0},
                               {15.0, 20.0, 30.0}}, /* P, as open width */
};

/* Room temperature of cold wet fabric, C. Invented. */
static const double COLD_C = 25.0;
/* Fabric leaves a dryer cooler than its air: here as much as in the worked balance. Invented. */
static const double COOLER_BY_C = 20.0;

bool mdr_pass_grips(mdr_pass_kind kind)
{
    return kind == MDR_PASS_STENTER || kind == MDR_PASS_SPREAD;
}

bool mdr_pass_compacts(mdr_pass_kind kind)
{
    return kind == MDR_PASS_COMPACT || kind == MDR_PASS_TUBE_COMPACT;
}

const mdr_pass_usual *mdr_pass_usual_of(mdr_pass_kind kind)
{
    return &USUAL[kind];
}

mdr_pass mdr_pass_with_usual(mdr_pass_kind kind, double width_cm)
{
    const mdr_pass_usual *u = &USUAL[kind];
    return (mdr_pass){
        .kind = kind,
        .width_cm = mdr_pass_grips(kind) ? width_cm : 0.0,
        .width_change_fraction = u->width_change_fraction.usual,
        .overfeed_fraction = u->overfeed_fraction.usual,
        .moisture_kg_per_kg = u->moisture_kg_per_kg.usual,
        .temp_c = u->machine_c.usual > 0.0 ? u->machine_c.usual - COOLER_BY_C : COLD_C,
        .speed_m_per_min = u->speed_m_per_min.usual,
    };
}

double mdr_pass_length_loss(const mdr_pass *pass)
{
    return mdr_web_loss_of_overfeed(pass->overfeed_fraction);
}

double mdr_pass_speed_in_m_per_min(const mdr_pass *pass)
{
    return pass->speed_m_per_min * (1.0 + pass->overfeed_fraction);
}

mdr_code mdr_pass_check(const mdr_pass *pass, mdr_err *err)
{
    if (!((int)pass->kind >= 0 && (int)pass->kind < MDR_PASS_KINDS)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "kind", "there is no such pass");
        mdr_err_value(err, "%d", (int)pass->kind);
        mdr_err_allowed(err, "0 to %d", MDR_PASS_KINDS - 1);
        return rc;
    }
    const mdr_bound width =
        mdr_pass_grips(pass->kind)
            ? (mdr_bound){"width_cm", pass->width_cm, 1.0, 1000.0}
            : (mdr_bound){"width_change_fraction", pass->width_change_fraction, -0.5, 1.0};
    const mdr_bound all[] = {
        width,
        /* a display of 50 % is usual; a per cent typed as a fraction is far outside */
        {"overfeed_fraction", pass->overfeed_fraction, -0.5, 1.0},
        {"moisture_kg_per_kg", pass->moisture_kg_per_kg, 0.0, 5.0},
        {"temp_c", pass->temp_c, -20.0, 300.0},
        {"speed_m_per_min", pass->speed_m_per_min, 0.0, 500.0},
    };
    return mdr_bound_check(all, (int)(sizeof all / sizeof all[0]), "no machine is set to this",
                           err);
}

/* Water cannot come from nowhere: only the padder's trough and a compactor's steam bring it. */
static mdr_code check_moisture(const mdr_web *in, const mdr_pass *pass, mdr_err *err)
{
    const double more = pass->moisture_kg_per_kg - in->moisture_kg_per_kg;
    const bool pads = pass->kind == MDR_PASS_PAD;
    const bool as_it_likes = pass->kind == MDR_PASS_SPREAD || mdr_pass_compacts(pass->kind);
    if (as_it_likes || (pads ? more >= 0.0 : more <= 0.0)) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_INFEAS, "moisture_kg_per_kg",
                                 pads ? "a padder does not dry the fabric"
                                      : "this machine does not wet the fabric");
    mdr_err_value(err, "%g", pass->moisture_kg_per_kg);
    mdr_err_allowed(err, "at %s %g", pads ? "least" : "most", in->moisture_kg_per_kg);
    mdr_err_remedy(err, "check the moisture before and behind the pass");
    return rc;
}

mdr_code mdr_pass_apply(const mdr_web *in, const mdr_pass *pass, mdr_web *out, mdr_err *err)
{
    MDR_TRY(mdr_pass_check(pass, err));
    MDR_TRY(check_moisture(in, pass, err));
    const double width_cm = mdr_pass_grips(pass->kind)
                                ? pass->width_cm
                                : in->width_cm * (1.0 + pass->width_change_fraction);
    mdr_web is = mdr_web_overfed(in, pass->overfeed_fraction, width_cm);
    if (pass->kind != MDR_PASS_SPREAD) {
        is.moisture_kg_per_kg = pass->moisture_kg_per_kg;
    }
    is.temp_c = pass->temp_c;
    is.speed_m_per_min = pass->speed_m_per_min;
    *out = is;
    return MDR_OK;
}

mdr_code mdr_pass_run(const mdr_web *in, const mdr_pass *passes, int n, mdr_web *after,
                      mdr_err *err)
{
    for (int i = 0; i < n; i++) {
        const mdr_code rc = mdr_pass_apply(i == 0 ? in : &after[i - 1], &passes[i], &after[i], err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "passes[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}
