/* Dips through their states, and the recipe of a shade. */
#include <math.h>
#include <string.h>

#include "base/mdr_decimal.h"
#include "mill/mdr_bench.h"
#include "mill/mdr_mill_rows.h"

/* -- mixes of dyes as text -- */

typedef struct mix_line {
    const char *dye_id;
    double depth_pct_owf;
} mix_line;

static void add_line(mdr_mill_text *out, bool first, mix_line line)
{
    enum { PER_UNIT = 1000000 }; /* as the store counts depths */
    char depth[MDR_DECIMAL_TEXT_MAX];
    (void)mdr_decimal_write(depth, sizeof depth, llround(line.depth_pct_owf * PER_UNIT), PER_UNIT);
    mdr_mill_text_add(out, first ? "" : ",");
    mdr_mill_text_add(out, line.dye_id);
    mdr_mill_text_add(out, "=");
    mdr_mill_text_add(out, depth);
}

const char *mdr_dip_recipe_text(const mdr_dip_dye *dyes, int n, mdr_arena *arena)
{
    mdr_mill_text out = {.arena = arena};
    mdr_mill_text_add(&out, "");
    for (int i = 0; i < n; i++) {
        add_line(&out, i == 0, (mix_line){dyes[i].dye_id, dyes[i].depth_pct_owf});
    }
    return mdr_mill_text_get(&out);
}

const char *mdr_shade_recipe_text(const mdr_shade *shade, mdr_arena *arena)
{
    mdr_mill_text out = {.arena = arena};
    mdr_mill_text_add(&out, "");
    for (int i = 0; i < shade->n_dyes; i++) {
        const mdr_recipe_dye *d = &shade->dyes[i];
        add_line(&out, i == 0, (mix_line){d->dye->material_id, d->depth_pct_owf});
    }
    return mdr_mill_text_get(&out);
}

/* -- what a mix may be -- */

static mdr_code bad_mix(const char *value, const char *msg, const char *allowed, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "recipe", "%s", msg);
    mdr_err_value(err, "%s", value);
    mdr_err_allowed(err, "%s", allowed);
    mdr_err_remedy(err, "correct the recipe");
    return rc;
}

static mdr_code check_dye(const mdr_masters *masters, const mdr_shade *shade, const mdr_dip_dye *d,
                          mdr_err *err)
{
    /* the range of the recipe table */
    static const double LEAST_PCT_OWF = 0.0001, MOST_PCT_OWF = 20.0;
    const mdr_material *dye = mdr_masters_material(masters, d->dye_id);
    char value[64];
    if (dye == NULL || !dye->is_dye) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "recipe", "there is no such dye");
        mdr_err_value(err, "%s", d->dye_id);
        mdr_err_remedy(err, "correct the recipe, or add the dye to table dye first");
        return rc;
    }
    if (dye->dye_class != shade->dye_class) {
        (void)sqlite3_snprintf(sizeof value, value, "%s (%s)", d->dye_id,
                               mdr_dye_class_id((mdr_dye_class)dye->dye_class));
        return bad_mix(value, "a dye of another class than the shade",
                       mdr_dye_class_id((mdr_dye_class)shade->dye_class), err);
    }
    if (!(d->depth_pct_owf >= LEAST_PCT_OWF && d->depth_pct_owf <= MOST_PCT_OWF)) {
        (void)sqlite3_snprintf(sizeof value, value, "%s=%g", d->dye_id, d->depth_pct_owf);
        return bad_mix(value, "the depth is outside the allowed range", "0.0001 to 20 % owf", err);
    }
    return MDR_OK;
}

mdr_code mdr_dip_dyes_check(const mdr_masters *masters, const mdr_shade *shade,
                            const mdr_dip_dye *dyes, int n, mdr_err *err)
{
    if (shade->dye_class == MDR_CLASS_NONE) {
        return bad_mix(shade->shade_id, "a shade of class none takes no dyes", "", err);
    }
    if (n < 1 || n > MDR_DIP_DYES_MAX) {
        return bad_mix("", "a recipe has 1 to 8 dyes", "1 to 8 dyes, each once", err);
    }
    for (int i = 0; i < n; i++) {
        MDR_TRY(check_dye(masters, shade, &dyes[i], err));
        for (int k = 0; k < i; k++) {
            if (strcmp(dyes[k].dye_id, dyes[i].dye_id) == 0) {
                return bad_mix(dyes[i].dye_id, "the recipe names a dye twice",
                               "1 to 8 dyes, each once", err);
            }
        }
    }
    return MDR_OK;
}

/* -- dips -- */

static const mdr_shade *shade_of(const mdr_masters *masters, const char *shade_id, mdr_err *err)
{
    const mdr_shade *shade = mdr_masters_shade(masters, shade_id);
    if (shade == NULL) {
        (void)MDR_FAIL(err, MDR_E_NOTFOUND, "shade_id", "there is no such shade");
        mdr_err_value(err, "%s", shade_id);
        mdr_err_remedy(err, "choose one that exists, or add it to table shade first");
    }
    return shade;
}

static mdr_code write_dip(mdr_mill *mill, const mdr_dip *dip, mdr_err *err)
{
    int64_t there = 0;
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT count(*) FROM \"dip\" WHERE \"dip_id\"=?1",
                                dip->dip_id, &there, err));
    if (there > 0) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_CONFLICT, "dip_id", "a dip of this number exists already");
        mdr_err_value(err, "%s", dip->dip_id);
        mdr_err_remedy(err, "give it another number");
        return rc;
    }
    MDR_TRY(mdr_mill_row_put(mill, mdr_table_find("dip"), dip, err));
    for (int i = 0; i < dip->n_dyes; i++) {
        mdr_dip_dye one = dip->dyes[i];
        one.dip_id = dip->dip_id;
        one.line = i + 1;
        MDR_TRY(mdr_mill_row_put(mill, mdr_table_find("dip_dye"), &one, err));
    }
    return MDR_OK;
}

mdr_code mdr_mill_dip_add(mdr_mill *mill, const mdr_masters *masters, const mdr_dip *dip,
                          mdr_err *err)
{
    const mdr_shade *shade = shade_of(masters, dip->shade_id, err);
    if (shade == NULL) {
        return MDR_E_NOTFOUND;
    }
    MDR_TRY(mdr_dip_dyes_check(masters, shade, dip->dyes, dip->n_dyes, err));
    MDR_TRY(mdr_mill_begin(mill, err));
    const mdr_code rc = write_dip(mill, dip, err);
    if (rc != MDR_OK) {
        mdr_mill_rollback(mill);
        return rc;
    }
    return mdr_mill_commit(mill, err);
}

unsigned mdr_dip_state_next(mdr_dip_state state)
{
    switch (state) {
    case MDR_DIP_MADE:
        return 1u << MDR_DIP_SUBMITTED | 1u << MDR_DIP_REJECTED;
    case MDR_DIP_SUBMITTED:
        return 1u << MDR_DIP_APPROVED | 1u << MDR_DIP_REJECTED;
    case MDR_DIP_APPROVED:
        return 1u << MDR_DIP_REJECTED; /* an approval can be taken back, and stays on record so */
    case MDR_DIP_REJECTED:
        break; /* dye a new one */
    }
    return 0;
}

static mdr_code no_such_step(const mdr_dip *dip, int state, mdr_err *err)
{
    char may[64] = "";
    const unsigned next = mdr_dip_state_next((mdr_dip_state)dip->state);
    for (int i = MDR_DIP_MADE; i <= MDR_DIP_REJECTED; i++) {
        if ((next >> (unsigned)i & 1u) != 0) {
            const size_t n = strlen(may);
            (void)sqlite3_snprintf((int)(sizeof may - n), may + n, "%s%s", n > 0 ? ", " : "",
                                   mdr_dip_state_id((mdr_dip_state)i));
        }
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "state", "a dip that is %s cannot become %s",
                                 mdr_dip_state_id((mdr_dip_state)dip->state),
                                 mdr_dip_state_id((mdr_dip_state)state));
    mdr_err_value(err, "%s", mdr_dip_state_id((mdr_dip_state)state));
    mdr_err_allowed(err, "%s", may);
    mdr_err_remedy(err, may[0] != '\0' ? "take one of the steps that can be"
                                       : "it stays as it is: make a new dip");
    return rc;
}

/* One dip a shade is approved. */
static mdr_code check_approved(mdr_mill *mill, const mdr_dip *dip, mdr_err *err)
{
    int64_t there = 0;
    MDR_TRY(mdr_mill_sql_number(
        mill, "SELECT count(*) FROM \"dip\" WHERE \"state\"='approved' AND \"shade_id\"=?1",
        dip->shade_id, &there, err));
    if (there == 0) {
        return MDR_OK;
    }
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_CONFLICT, "state", "another dip of the shade is approved");
    mdr_err_value(err, "%s", dip->shade_id);
    mdr_err_remedy(err, "reject that one first: one dip of a shade is the approved one");
    return rc;
}

static mdr_code set_state(mdr_mill *mill, const mdr_dip_change *c, mdr_dip *dip, mdr_err *err)
{
    if (c->state < 0 || c->state == dip->state) {
        return MDR_OK;
    }
    const bool decides = c->state == MDR_DIP_APPROVED || c->state == MDR_DIP_REJECTED;
    if (c->state > MDR_DIP_REJECTED ||
        (mdr_dip_state_next((mdr_dip_state)dip->state) >> (unsigned)c->state & 1u) == 0) {
        return no_such_step(dip, c->state, err);
    }
    if (decides && (c->by == NULL || c->by[0] == '\0')) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, "by", "the name of the person who decided is missing");
        mdr_err_remedy(err, "name who approved or rejected it");
        return rc;
    }
    if (c->state == MDR_DIP_APPROVED) {
        MDR_TRY(check_approved(mill, dip, err));
    }
    dip->state = c->state;
    dip->decided_by = decides ? c->by : "";
    dip->decided_utc_ms = decides ? c->today_utc_ms : 0;
    return MDR_OK;
}

static mdr_code sample_conflict(const char *value, const char *msg, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "sample_id", "%s", msg);
    mdr_err_value(err, "%s", value);
    mdr_err_remedy(err, "choose the measured sample of this dip");
    return rc;
}

static mdr_code set_sample(const mdr_bench *bench, const mdr_dip_change *c, mdr_dip *dip,
                           mdr_err *err)
{
    if (c->sample_id == NULL || strcmp(c->sample_id, dip->sample_id) == 0) {
        return MDR_OK;
    }
    const mdr_bench_sample *s = mdr_bench_sample_of(bench, c->sample_id);
    if (s == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "sample_id", "there is no such sample");
        mdr_err_value(err, "%s", c->sample_id);
        mdr_err_remedy(err, "add the measured sample first");
        return rc;
    }
    if (dip->state == MDR_DIP_APPROVED || dip->state == MDR_DIP_REJECTED) {
        return sample_conflict(c->sample_id, "the dip is decided: what it was measured as stays",
                               err);
    }
    if (s->kind != MDR_BENCH_DIP || strcmp(s->shade_id, dip->shade_id) != 0 ||
        strcmp(s->substrate, dip->substrate) != 0) {
        return sample_conflict(c->sample_id,
                               "this is no sample of a dip of its shade and substrate", err);
    }
    for (int i = 0; i < bench->n_dips; i++) {
        if (strcmp(bench->dips[i].sample_id, c->sample_id) == 0) {
            return sample_conflict(c->sample_id, "the sample belongs to another dip", err);
        }
    }
    dip->sample_id = c->sample_id;
    return MDR_OK;
}

static mdr_code check_revision(mdr_mill *mill, const mdr_dip *dip, const mdr_dip_change *c,
                               mdr_err *err)
{
    int64_t now = 0;
    MDR_TRY(mdr_mill_sql_number(mill, "SELECT \"revision\" FROM \"dip\" WHERE \"dip_id\"=?1",
                                dip->dip_id, &now, err));
    if (now == c->revision && dip->revision == c->revision) {
        return MDR_OK;
    }
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_CONFLICT, "revision", "somebody else changed the dip in the meantime");
    mdr_err_value(err, "%d", c->revision);
    mdr_err_allowed(err, "%lld", (long long)now);
    mdr_err_remedy(err, "load the laboratory again, then change it");
    return rc;
}

mdr_code mdr_mill_dip_change(mdr_mill *mill, const mdr_bench *bench, const char *dip_id,
                             const mdr_dip_change *change, mdr_err *err)
{
    const mdr_dip *stored = mdr_bench_dip_of(bench, dip_id);
    if (stored == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "dip_id", "there is no such dip");
        mdr_err_value(err, "%s", dip_id);
        mdr_err_remedy(err, "look at the list of dips");
        return rc;
    }
    mdr_dip dip = *stored;
    dip.remark = change->remark != NULL ? change->remark : dip.remark;
    MDR_TRY(mdr_mill_begin(mill, err));
    mdr_code rc = check_revision(mill, stored, change, err);
    rc = rc == MDR_OK ? set_sample(bench, change, &dip, err) : rc;
    rc = rc == MDR_OK ? set_state(mill, change, &dip, err) : rc;
    rc = rc == MDR_OK ? mdr_mill_row_put(mill, mdr_table_find("dip"), &dip, err) : rc;
    if (rc != MDR_OK) {
        mdr_mill_rollback(mill);
        return rc;
    }
    return mdr_mill_commit(mill, err);
}
