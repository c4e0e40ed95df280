/* Dips made, submitted, decided; the recipe of a shade. */
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_bulk.h"
#include "app/mdr_app_lab_in.h"
#include "wire/mdr_bench_ask.h"

_Static_assert((int)MDR_DIP_DYES_MAX == (int)MDR_RECIPE_DYES_MAX, "one recipe text for both");

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the laboratory");
}

typedef struct mix {
    mdr_dip_dye dyes[MDR_DIP_DYES_MAX];
    int n;
} mix;

static mdr_code read_mix(const char *recipe, mdr_arena *arena, mix *out, mdr_err *err)
{
    mdr_dyelab_recipe r = {0};
    MDR_TRY(mdr_app_recipe_words(recipe, arena, &r, err));
    out->n = r.n;
    for (int i = 0; i < r.n; i++) {
        out->dyes[i] = (mdr_dip_dye){.dye_id = r.dye_id[i], .depth_pct_owf = r.depth_pct_owf[i]};
    }
    return MDR_OK;
}

/* -- a new dip -- */

/* The newest round is open while nothing of it was submitted or decided. */
static int round_of(const mdr_bench *bench, const char *shade_id)
{
    int newest = 0;
    bool open = false;
    for (int i = 0; i < bench->n_dips; i++) {
        const mdr_dip *d = &bench->dips[i];
        if (strcmp(d->shade_id, shade_id) != 0 || d->round < newest) {
            continue;
        }
        open = (d->round > newest || open) && d->state == MDR_DIP_MADE;
        newest = d->round;
    }
    return open ? newest : newest + 1;
}

/* SHADE.ROUND and the first letter that is free; behind Z come AA, AB ... */
static const char *number_of(const mdr_bench *bench, const char *shade_id, int round,
                             mdr_arena *arena)
{
    enum { LETTERS = 26 };
    const char *id = NULL;
    for (int k = 0; k < LETTERS * (LETTERS + 1); k++) {
        const int last = 'A' + k % LETTERS;
        id = k < LETTERS ? mdr_arena_printf(arena, "%s.%d%c", shade_id, round, last)
                         : mdr_arena_printf(arena, "%s.%d%c%c", shade_id, round,
                                            'A' + k / LETTERS - 1, last);
        if (id == NULL || mdr_bench_dip_of(bench, id) == NULL) {
            break;
        }
    }
    return id;
}

typedef struct done {
    const mdr_app_lab_ask *ask;
    const char *dip_id;
    const char *lots_of; /* shade whose recipe changed, or NULL */
} done;

static mdr_code answer_dip(mdr_app *app, const done *d, mdr_arena *arena, mdr_blob *out,
                           mdr_err *err)
{
    enum { SIZE_HINT = 2048 };
    mdr_lab_view v;
    MDR_TRY(mdr_lab_view_open(app, arena, &v, err));
    const mdr_dip *dip = mdr_bench_dip_of(v.bench, d->dip_id);
    if (dip == NULL) {
        return MDR_FAIL(err, MDR_E_NOTFOUND, "dip_id", "the dip has been removed in the meantime");
    }
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_lab_put_dip(&j, "dip", &v, dip);
    if (d->lots_of != NULL) {
        mdr_lab_put_lots(&j, "lots", &v, d->lots_of, MDR_LAB_LOTS_TO_COME);
    } else {
        mdr_json_array(&j, "lots");
        mdr_json_end_array(&j);
    }
    mdr_json_end_object(&j);
    const char *recipe = mdr_dip_recipe_text(dip->dyes, dip->n_dyes, arena);
    mdr_lab_say(d->ask, mdr_arena_printf(arena, "%s: %s, round %d of %s, %s%s", dip->dip_id,
                                         mdr_dip_state_id((mdr_dip_state)dip->state), dip->round,
                                         dip->shade_id, recipe != NULL ? recipe : "",
                                         d->lots_of != NULL ? ", now the recipe" : ""));
    return mdr_lab_done(&j, out, err);
}

static mdr_code no_substrate(const char *substrate, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "substrate",
                                 "no undyed cloth of this substrate was measured");
    mdr_err_value(err, "%s", substrate);
    mdr_err_remedy(err, "choose one that was, or add its cloth to the laboratory");
    return rc;
}

mdr_code mdr_app_lab_dip_new(mdr_app *app, const mdr_app_lab_ask *ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    mdr_dip_post p;
    const mdr_bench *bench = NULL;
    mix m;
    mdr_dip dip = {.sample_id = "", .decided_by = "", .state = MDR_DIP_MADE};
    MDR_TRY(mdr_wire_dip_post_read(ask->body.bytes, ask->body.len, arena, found, &p, err));
    MDR_TRY(mdr_app_bench(app, &bench, err));
    MDR_TRY(read_mix(p.recipe, arena, &m, err));
    MDR_TRY(mdr_lab_day(p.made, ask->today, "made", &dip.made_utc_ms, err));
    if (mdr_bench_cloth_of(bench, p.substrate) == NULL) {
        return no_substrate(p.substrate, err);
    }
    dip.shade_id = p.shade_id;
    dip.substrate = p.substrate;
    dip.remark = p.remark;
    dip.round = p.round != 0 ? p.round : round_of(bench, p.shade_id);
    dip.dip_id = p.dip_id[0] != '\0' ? p.dip_id : number_of(bench, p.shade_id, dip.round, arena);
    dip.dyes = m.dyes;
    dip.n_dyes = m.n;
    if (dip.dip_id == NULL) {
        return no_memory(err);
    }
    MDR_TRY(mdr_mill_begin(app->mill, err));
    mdr_code rc = mdr_mill_dip_add(app->mill, &app->masters, &dip, err);
    if (rc == MDR_OK) {
        rc = answer_dip(app, &(done){ask, dip.dip_id, NULL}, arena, out, err);
    }
    return mdr_lab_settle(app, rc, err);
}

/* -- a step of a dip -- */

static mdr_code was_needed(mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "was",
                                 "the recipe the shade had when it was looked at is missing");
    mdr_err_remedy(err, "give the recipe that came with the shade");
    return rc;
}

static mdr_code check_put(const mdr_dip_put *p, mdr_err *err)
{
    if (!p->recipe_of_shade) {
        return MDR_OK;
    }
    if (p->state != MDR_DIP_APPROVED) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "recipe_of_shade",
                                     "only an approved dip can become the recipe of the shade");
        mdr_err_remedy(err, "give state approved too, or set the recipe of the shade by itself");
        return rc;
    }
    return p->was != NULL ? MDR_OK : was_needed(err);
}

/* Who enters what was measured need not be one who decides. */
static mdr_code check_right(const mdr_app_lab_ask *ask, const mdr_dip_put *p, mdr_err *err)
{
    const bool decides = p->state == MDR_DIP_APPROVED || p->state == MDR_DIP_REJECTED;
    if (ask->only_enters && (decides || p->recipe_of_shade)) {
        (void)MDR_FAIL(err, MDR_E_DENIED, "state", "this person may not decide about a dip");
        mdr_err_remedy(err, "ask a technologist, the quality office or a manager");
        return MDR_E_DENIED;
    }
    return MDR_OK;
}

/* The step of the dip and the recipe of its shade stand or fall together. */
static mdr_code change(mdr_app *app, const mdr_bench *bench, const char *dip_id,
                       const mdr_dip_change *c, const mdr_dip_put *p, mdr_err *err)
{
    MDR_TRY(mdr_mill_dip_change(app->mill, bench, dip_id, c, err));
    if (!p->recipe_of_shade) {
        return MDR_OK;
    }
    const mdr_dip *dip = mdr_bench_dip_of(bench, dip_id);
    const mdr_shade_mix taken = {dip->shade_id, dip->dyes, dip->n_dyes, NULL};
    return mdr_mill_recipe_take(app->mill, &app->masters, &taken, p->was, err);
}

/* NOLINTNEXTLINE(readability-function-cognitive-complexity) one refusal after the other */
mdr_code mdr_app_lab_dip_change(mdr_app *app, const mdr_app_lab_ask *ask, mdr_arena *arena,
                                mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    mdr_dip_put p;
    const mdr_bench *bench = NULL;
    MDR_TRY(mdr_wire_dip_put_read(ask->body.bytes, ask->body.len, arena, found, &p, err));
    MDR_TRY(check_put(&p, err));
    MDR_TRY(check_right(ask, &p, err));
    mdr_dip_change c = {.by = p.by,
                        .remark = p.remark,
                        .sample_id = p.sample_id,
                        .state = p.state,
                        .revision = p.revision};
    MDR_TRY(mdr_lab_day("", ask->today, "today", &c.today_utc_ms, err));
    MDR_TRY(mdr_app_bench(app, &bench, err));
    const mdr_dip *dip = mdr_bench_dip_of(bench, ask->id);
    const char *shade_id = dip != NULL ? mdr_arena_text(arena, dip->shade_id) : "";
    if (shade_id == NULL) {
        return no_memory(err);
    }
    MDR_TRY(mdr_mill_begin(app->mill, err));
    mdr_code rc = change(app, bench, ask->id, &c, &p, err);
    if (rc == MDR_OK) {
        rc = answer_dip(app, &(done){ask, ask->id, p.recipe_of_shade ? shade_id : NULL}, arena, out,
                        err);
    }
    return mdr_lab_settle(app, rc, err);
}

/* -- the recipe of a shade -- */

static mdr_code answer_recipe(mdr_app *app, const mdr_app_lab_ask *ask, const char *was,
                              mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    enum { SIZE_HINT = 1024 };
    mdr_lab_view v;
    MDR_TRY(mdr_lab_view_open(app, arena, &v, err));
    const mdr_shade *shade = mdr_masters_shade(&app->masters, ask->id);
    if (shade == NULL) {
        return MDR_FAIL(err, MDR_E_NOTFOUND, "shade_id",
                        "the shade has been removed in the meantime");
    }
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_json_text(&j, "shade_id", shade->shade_id);
    mdr_lab_put_recipe(&j, &v, shade);
    mdr_lab_put_lots(&j, "lots", &v, shade->shade_id, MDR_LAB_LOTS_TO_COME);
    mdr_json_end_object(&j);
    const char *recipe = mdr_shade_recipe_text(shade, arena);
    mdr_lab_say(ask, mdr_arena_printf(arena, "%s: %s; it was %s", shade->shade_id,
                                      recipe != NULL ? recipe : "",
                                      was[0] != '\0' ? was : "without recipe"));
    return mdr_lab_done(&j, out, err);
}

/* "RB-1=1.1": of the dyes of this mix that have one. NULL: no memory. */
static const char *factors_text(const mix *m, const mdr_recipe_bulk *bulk, mdr_arena *arena)
{
    const char *text = "";
    for (int i = 0; i < m->n && text != NULL; i++) {
        if (bulk->factor[i] != 1.0) {
            text = mdr_arena_printf(arena, "%s%s%s=%g", text, text[0] != '\0' ? "," : "",
                                    m->dyes[i].dye_id, bulk->factor[i]);
        }
    }
    return text;
}

/* Lots that ended since the page was read may have taught something else. */
static mdr_code check_factors(const char *seen, const char *now, mdr_err *err)
{
    if (seen[0] == '\0' || strcmp(seen, now) == 0) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "factors",
                                 "the lots now teach other factors than those on the screen");
    mdr_err_value(err, "%s", seen);
    mdr_err_allowed(err, "%s", now[0] != '\0' ? now : "none");
    mdr_err_remedy(err, "find the recipe again, and choose again");
    return rc;
}

/* The laboratory's mix times what the lots of the machine taught. */
static mdr_code multiply(mdr_app *app, const char *shade_id, const mdr_recipe_put *p, mix *m,
                         mdr_arena *arena, const mdr_recipe_bulk **out, mdr_err *err)
{
    const mdr_bulk_offers *offers = NULL;
    const mdr_bulk_ask ask = {shade_id, p->machine_id, p->best_guess};
    mdr_recipe_bulk *bulk = MDR_NEW(arena, mdr_recipe_bulk);
    if (bulk == NULL) {
        return no_memory(err);
    }
    MDR_TRY(mdr_app_bulk_offers_mill(app, &ask, arena, &offers, err));
    bulk->machine_id = offers->asked.machine_id;
    for (int i = 0; i < m->n; i++) {
        const mdr_bulk_offer *o = mdr_bulk_offer_of(offers, m->dyes[i].dye_id);
        bulk->factor[i] = o != NULL ? o->multiply : 1.0;
        bulk->words[i] = o != NULL ? o->words : "";
        m->dyes[i].depth_pct_owf = mdr_bulk_depth(m->dyes[i].depth_pct_owf, bulk->factor[i]);
    }
    const char *now = factors_text(m, bulk, arena);
    if (now == NULL) {
        return no_memory(err);
    }
    MDR_TRY(check_factors(p->factors, now, err));
    *out = bulk;
    return MDR_OK;
}

mdr_code mdr_app_lab_recipe(mdr_app *app, const mdr_app_lab_ask *ask, mdr_arena *arena,
                            mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    mdr_recipe_put p;
    mix m;
    const mdr_recipe_bulk *bulk = NULL;
    MDR_TRY(mdr_wire_recipe_put_read(ask->body.bytes, ask->body.len, arena, found, &p, err));
    MDR_TRY(read_mix(p.recipe, arena, &m, err));
    MDR_TRY(mdr_app_refresh(app, err));
    if (p.machine_id[0] != '\0') {
        MDR_TRY(multiply(app, ask->id, &p, &m, arena, &bulk, err));
    }
    const mdr_shade_mix taken = {ask->id, m.dyes, m.n, bulk};
    MDR_TRY(mdr_mill_begin(app->mill, err));
    mdr_code rc = mdr_mill_recipe_take(app->mill, &app->masters, &taken, p.was, err);
    rc = rc == MDR_OK ? answer_recipe(app, ask, p.was, arena, out, err) : rc;
    return mdr_lab_settle(app, rc, err);
}

/* -- for who changes without having read -- */

mdr_code mdr_app_lab_recipe_now(mdr_app *app, const char *shade_id, mdr_arena *arena,
                                const char **out, mdr_err *err)
{
    MDR_TRY(mdr_app_refresh(app, err));
    const mdr_shade *shade = mdr_masters_shade(&app->masters, shade_id);
    if (shade == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "shade_id", "there is no such shade");
        mdr_err_value(err, "%s", shade_id);
        mdr_err_remedy(err, "choose one that exists, or add it to table shade first");
        return rc;
    }
    *out = mdr_shade_recipe_text(shade, arena);
    return *out != NULL ? MDR_OK : no_memory(err);
}
