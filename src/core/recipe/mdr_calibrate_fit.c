#include "core/recipe/mdr_calibrate_room.h"

#include <math.h>

enum { K1_GRID = 8, K2_GRID = 5 };
static const double K1_MAX = 0.1, K2_MAX = 0.8; /* common practice: theory is 0.04 and 0.6 */
static const double K1_BELOW_DARKEST = 0.98;    /* invented: K/S must stay finite */
static const double K1_STEP_END = 0.0005, K2_STEP_END = 0.005; /* finer changes no recipe */

/* Root mean square over all rungs that can be left out; INFINITY where a reading has no K/S. */
typedef struct trial {
    double rms;
    int n;
} trial;

static mdr_code try_surface(const mdr_surface_fit_in *in, const mdr_surface *surface,
                            mdr_workroom *work, trial *out, mdr_err *err)
{
    static const bool ALL[MDR_RUNGS_MAX] = {true, true, true, true, true, true, true, true,
                                            true, true, true, true, true, true, true, true};
    double sum = 0.0;
    int n = 0;
    for (int d = 0; d < in->n; d++) {
        const mdr_ladder_in ladder = {.rungs = in->dyes[d].rungs,
                                      .n = in->dyes[d].n,
                                      .substrate = in->substrate,
                                      .surface = *surface,
                                      .beyond = 1.0};
        for (int i = 0; ladder.n > 1 && i < ladder.n; i++) {
            mdr_left_out left;
            const mdr_code rc =
                mdr_workroom_leave_out(&ladder, ALL, i, in->light, work, &left, err);
            if (rc != MDR_OK) {
                mdr_err_within(err, "dyes[%d]", d);
                return rc;
            }
            sum += left.cmc * left.cmc;
            n++;
        }
    }
    *out = (trial){n > 0 ? sqrt(sum / n) : 0.0, n};
    return MDR_OK;
}

static double darkest(const mdr_surface_fit_in *in)
{
    double least = 1.0;
    for (int d = 0; d < in->n; d++) {
        for (int i = 0; i < in->dyes[d].n; i++) {
            for (int b = 0; b < MDR_BANDS; b++) {
                least = fmin(least, in->dyes[d].rungs[i].curve.v[b]);
            }
        }
    }
    return least;
}

/* A place to look at; moves to `surface` when it is better there. */
typedef struct hunt {
    mdr_surface best;
    double rms, k1_max, k2_max;
} hunt;

static mdr_code look(const mdr_surface_fit_in *in, double k1, double k2, mdr_workroom *work,
                     hunt *h, mdr_err *err)
{
    trial t;
    const mdr_surface s = {fmin(fmax(k1, 0.0), h->k1_max), fmin(fmax(k2, 0.0), h->k2_max),
                           h->best.kind};
    MDR_TRY(try_surface(in, &s, work, &t, err));
    if (t.rms < h->rms) {
        h->rms = t.rms;
        h->best = s;
    }
    return MDR_OK;
}

static mdr_code look_on_grid(const mdr_surface_fit_in *in, mdr_workroom *work, hunt *h,
                             mdr_err *err)
{
    const int rows = in->fit_k2 ? K2_GRID : 0;
    for (int i = 0; i <= K1_GRID; i++) {
        for (int j = 0; j <= rows; j++) {
            const double k2 = in->fit_k2 ? h->k2_max * j / K2_GRID : in->start.k2;
            MDR_TRY(look(in, h->k1_max * i / K1_GRID, k2, work, h, err));
        }
    }
    return MDR_OK;
}

/* The valley runs askew: more outside goes with less inside. */
static const double AROUND[][2] = {{-1, 0}, {1, 0}, {0, -1}, {0, 1}, {-1, 1}, {1, -1}};
enum { SIDEWAYS = 2, DIRECTIONS = sizeof AROUND / sizeof AROUND[0] };

static mdr_code look_nearer(const mdr_surface_fit_in *in, mdr_workroom *work, hunt *h, mdr_err *err)
{
    const int directions = in->fit_k2 ? DIRECTIONS : SIDEWAYS;
    double step1 = h->k1_max / K1_GRID / 2.0, step2 = h->k2_max / K2_GRID / 2.0;
    while (step1 > K1_STEP_END || step2 > K2_STEP_END) {
        const double before = h->rms;
        const mdr_surface at = h->best;
        for (int i = 0; i < directions; i++) {
            MDR_TRY(
                look(in, at.k1 + AROUND[i][0] * step1, at.k2 + AROUND[i][1] * step2, work, h, err));
        }
        if (!(h->rms < before)) {
            step1 *= 0.5;
            step2 *= 0.5;
        }
    }
    return MDR_OK;
}

static mdr_code check_fit(const mdr_surface_fit_in *in, mdr_err *err)
{
    if (in->start.kind == MDR_SURFACE_NONE) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "start.kind", "no correction, nothing to fit");
        mdr_err_allowed(err, "limiting reflectance or surface formula");
        return rc;
    }
    return mdr_surface_check(&in->start, err);
}

mdr_code mdr_surface_fit_rungs(const mdr_surface_fit_in *in, mdr_arena *arena, mdr_surface_fit *out,
                               mdr_err *err)
{
    static const mdr_surface NONE = {.kind = MDR_SURFACE_NONE};
    mdr_workroom *work;
    trial none;
    MDR_TRY(check_fit(in, err));
    MDR_TRY(mdr_workroom_make(arena, &work, err));
    MDR_TRY(try_surface(in, &NONE, work, &none, err));
    if (none.n == 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "dyes", "no dye has two rungs to compare");
        mdr_err_remedy(err, "give k1 and k2, or dye more depths");
        return rc;
    }
    hunt h = {.best = in->start,
              .rms = (double)INFINITY,
              .k1_max = fmin(K1_MAX, K1_BELOW_DARKEST * darkest(in)),
              .k2_max = in->fit_k2 ? K2_MAX : in->start.k2};
    MDR_TRY(look_on_grid(in, work, &h, err));
    MDR_TRY(look_nearer(in, work, &h, err));
    *out = (mdr_surface_fit){
        .surface = h.best, .cmc_rms = h.rms, .cmc_rms_none = none.rms, .left_out = none.n};
    return MDR_OK;
}
