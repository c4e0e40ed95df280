/* Which dyes a search may take: all, but those forbidden; those that must be there; some only
 * together in a fixed ratio; some no deeper than said. */
#include <math.h>
#include <string.h>

#include "app/mdr_app_recipe_in.h"

static mdr_code contradiction(const char *place, const char *dye_id, mdr_err *err)
{
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_CONFLICT, place, "a dye cannot be both in every recipe and in none");
    mdr_err_value(err, "%s", dye_id);
    mdr_err_allowed(err, "in `must` or in `never`");
    mdr_err_remedy(err, "take it out of one of the two lists");
    return rc;
}

static mdr_code mark(const mdr_dyelab *lab, const char *list, const char *place,
                     mdr_choice_rule rule, mdr_dyelab_choices *c, mdr_err *err)
{
    for (const char *at = list; *at != '\0'; at++) {
        const size_t n = strcspn(at, ",");
        const int d = mdr_dyelab_dye_of(lab, at, n);
        if (d < 0) {
            return mdr_dyelab_no_dye(lab, place, at, n, err);
        }
        mdr_choice *one = &c->choice[c->of_dye[d]];
        if (one->rule != MDR_CHOICE_MAY && one->rule != rule) {
            return contradiction(place, lab->dyes[d].dye_id, err);
        }
        one->rule = rule;
        at += n;
        if (*at == '\0') {
            break;
        }
    }
    return MDR_OK;
}

/* One more part of the choice: a dye of its own, or one of several in a ratio. */
static void add_part(const mdr_dyelab *lab, mdr_dyelab_choices *c, int d, double share)
{
    mdr_choice *one = &c->choice[c->n];
    const int k = one->dye.parts++;
    one->dye.ladder[k] = lab->dyes[d].ladder;
    one->dye.strength_factor[k] = lab->dyes[d].strength_factor;
    one->dye.share[k] = share;
    one->facts[k] = lab->dyes[d].facts;
    c->dye[c->n][k] = d;
    c->of_dye[d] = c->n;
}

/* The dose of the first part at which the first of the parts meets its limit; 0: none has one. */
static double limit_of(const mdr_choice *one, const double *limit_pct_owf, const int *dye)
{
    double least = 0.0;
    for (int k = 0; k < one->dye.parts; k++) {
        const double limit = limit_pct_owf[dye[k]] / one->dye.share[k];
        least = limit > 0.0 && (least == 0.0 || limit < least) ? limit : least;
    }
    return least;
}

/* -- deepest doses -- */

/* Replaces what the dyes file says, which may only be lowered: a ladder ends where it ends. */
static mdr_code read_limits(mdr_dyelab *lab, double *limit_pct_owf, mdr_err *err)
{
    const char *list = lab->q->limits;
    for (int d = 0; d < lab->n_dyes; d++) {
        limit_pct_owf[d] = lab->dyes[d].limit_pct_owf;
    }
    for (int i = 0; list[0] != '\0'; i++) {
        mdr_dyelab_recipe one;
        const size_t n = strcspn(list, ",");
        const mdr_code rc = mdr_dyelab_recipe_of(lab, list, n, &one, err);
        if (rc != MDR_OK) {
            return mdr_dyelab_at(rc, "limits", err);
        }
        const int d = mdr_dyelab_dye_of(lab, one.dye_id[0], strlen(one.dye_id[0]));
        if (d < 0) {
            return mdr_dyelab_no_dye(lab, "limits", list, strlen(one.dye_id[0]), err);
        }
        const double deepest = lab->dyes[d].ladder->limit_pct_owf;
        limit_pct_owf[d] = one.depth_pct_owf[0] < deepest ? one.depth_pct_owf[0] : deepest;
        list += n + (list[n] != '\0' ? 1 : 0);
    }
    return MDR_OK;
}

/* -- fixed ratios -- */

static mdr_code bad_ratio(const mdr_dyelab *lab, const char *what, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "ratios", "%s", what);
    mdr_err_value(err, "%.60s", lab->q->ratios);
    mdr_err_allowed(err, "2 to %d dyes together, each dye once", MDR_COMBO_MAX);
    mdr_err_remedy(err, "write it like R-1=1,B-2=0.5; others together behind a ;");
    return rc;
}

static mdr_code add_ratio(mdr_dyelab *lab, const mdr_dyelab_recipe *parts, mdr_dyelab_choices *c,
                          mdr_err *err)
{
    if (parts->n < 2 || parts->n > MDR_COMBO_MAX) {
        return bad_ratio(lab, "so many dyes have no ratio", err);
    }
    for (int k = 0; k < parts->n; k++) {
        const size_t len = strlen(parts->dye_id[k]);
        const int d = mdr_dyelab_dye_of(lab, parts->dye_id[k], len);
        if (d < 0) {
            return mdr_dyelab_no_dye(lab, "ratios", parts->dye_id[k], len, err);
        }
        if (c->of_dye[d] >= 0) {
            return bad_ratio(lab, "a dye stands in two ratios", err);
        }
        add_part(lab, c, d, parts->depth_pct_owf[k] / parts->depth_pct_owf[0]);
    }
    c->n++;
    return MDR_OK;
}

static mdr_code read_ratios(mdr_dyelab *lab, mdr_dyelab_choices *c, mdr_err *err)
{
    for (const char *at = lab->q->ratios; *at != '\0';) {
        mdr_dyelab_recipe parts;
        const size_t n = strcspn(at, ";");
        const mdr_code rc = mdr_dyelab_recipe_of(lab, at, n, &parts, err);
        if (rc != MDR_OK) {
            return mdr_dyelab_at(rc, "ratios", err);
        }
        MDR_TRY(add_ratio(lab, &parts, c, err));
        at += n + (at[n] != '\0' ? 1 : 0);
    }
    return MDR_OK;
}

mdr_code mdr_dyelab_at(mdr_code rc, const char *member, mdr_err *err)
{
    if (err != NULL && rc != MDR_E_NOMEM) {
        (void)memcpy(err->place, member, strlen(member) + 1);
    }
    return rc;
}

mdr_code mdr_dyelab_choices_of(mdr_dyelab *lab, mdr_dyelab_choices *c, mdr_err *err)
{
    double limit_pct_owf[MDR_CHOICES_MAX];
    for (int d = 0; d < lab->n_dyes; d++) {
        c->of_dye[d] = -1;
    }
    MDR_TRY(read_limits(lab, limit_pct_owf, err));
    MDR_TRY(read_ratios(lab, c, err));
    for (int d = 0; d < lab->n_dyes; d++) {
        if (c->of_dye[d] < 0) {
            add_part(lab, c, d, 1.0);
            c->n++;
        }
    }
    for (int i = 0; i < c->n; i++) {
        c->choice[i].dye.limit_pct_owf = limit_of(&c->choice[i], limit_pct_owf, c->dye[i]);
    }
    MDR_TRY(mark(lab, lab->q->must, "must", MDR_CHOICE_MUST, c, err));
    return mark(lab, lab->q->never, "never", MDR_CHOICE_NEVER, c, err);
}

mdr_dyelab_recipe mdr_dyelab_recipe_found(const mdr_dyelab *lab, const mdr_dyelab_choices *c,
                                          const mdr_recipe *r)
{
    mdr_dyelab_recipe out = {.n = 0};
    for (int i = 0; i < r->n; i++) {
        const mdr_choice *one = &c->choice[r->choice[i]];
        for (int k = 0; k < one->dye.parts && out.n < MDR_RECIPE_DYES_MAX; k++) {
            out.dye_id[out.n] = lab->dyes[c->dye[r->choice[i]][k]].dye_id;
            out.depth_pct_owf[out.n++] = r->depth_pct_owf[i] * one->dye.share[k];
        }
    }
    return out;
}
