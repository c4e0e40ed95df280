/* The ladders of a shade's dyes, when the mill's laboratory has measured all of them on one cloth. */
#include <string.h>

#include "app/mdr_app_dyeing_in.h"

typedef struct measured {
    mdr_cloth cloth;
    mdr_weights weights;
    mdr_ladder ladders[MDR_DYE_DYES_MAX];
    mdr_rung rungs[MDR_RUNGS_MAX];
} measured;

/* As measured: what the surface sends back is left in, since only differences are asked for. */
static const mdr_surface SURFACE = {.kind = MDR_SURFACE_NONE};
/* Deepest allowed over deepest measured: a slice that got far too much is still answered. */
static const double BEYOND = 1.25;

static bool is_rung(const mdr_bench_sample *s, const mdr_bench_sample *cloth, const char *dye_id)
{
    return s->kind == MDR_BENCH_RUNG && s->spectrum != NULL && s->specular == cloth->specular &&
           strcmp(s->substrate, cloth->substrate) == 0 && strcmp(s->dye_id, dye_id) == 0;
}

static bool make_ladder(const mdr_bench *bench, const mdr_bench_sample *cloth,
                        const mdr_curve *undyed, const char *dye_id, measured *m, mdr_ladder *out)
{
    int n = 0;
    for (int i = 0; i < bench->n_samples && n < MDR_RUNGS_MAX; i++) {
        const mdr_bench_sample *s = &bench->samples[i];
        if (is_rung(s, cloth, dye_id)) {
            mdr_curve_notes notes;
            m->rungs[n++] =
                (mdr_rung){s->depth_pct_owf, mdr_curve_of_spectrum(s->spectrum, &notes)};
        }
    }
    const mdr_ladder_in in = {
        .rungs = m->rungs, .n = n, .substrate = *undyed, .surface = SURFACE, .beyond = BEYOND};
    return n > 0 && mdr_ladder_make(&in, out, NULL) == MDR_OK;
}

/* All dyes on this cloth; false: something is missing, or the recipe is deeper than was measured. */
static bool on_cloth(mdr_dyer *d, const mdr_bench *bench, const mdr_bench_sample *cloth,
                     measured *m)
{
    mdr_part parts[MDR_DYE_DYES_MAX];
    mdr_curve_notes notes;
    const int n = d->study->programme.n_dyes;
    const mdr_curve undyed = mdr_curve_of_spectrum(cloth->spectrum, &notes);
    if (mdr_cloth_make(&undyed, &SURFACE, &m->cloth, NULL) != MDR_OK) {
        return false;
    }
    for (int i = 0; i < n; i++) {
        const mdr_dyeing_dye *dye = &d->out->dyes[i];
        if (!make_ladder(bench, cloth, &undyed, dye->material->material_id, m, &m->ladders[i])) {
            return false;
        }
        parts[i] = (mdr_part){
            .ladder = &m->ladders[i], .depth_pct_owf = dye->depth_pct_owf, .strength_factor = 1.0};
    }
    m->weights = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    return mdr_rope_colour_of_ladders(&m->cloth, &m->weights, parts, n, &d->colour, NULL) == MDR_OK;
}

bool mdr_dyer_ladders(mdr_dyer *d)
{
    const mdr_bench *bench = &d->app->bench;
    if (!d->app->bench_loaded) {
        return false;
    }
    measured *m = MDR_NEW(d->arena, measured);
    for (int i = 0; m != NULL && i < bench->n_samples; i++) {
        const mdr_bench_sample *s = &bench->samples[i];
        if (s->kind == MDR_BENCH_CLOTH && s->spectrum != NULL && on_cloth(d, bench, s, m)) {
            return true;
        }
    }
    return false;
}
