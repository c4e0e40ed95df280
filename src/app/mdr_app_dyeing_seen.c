/* The rope in colour: how far its slices are from one another, and the map. */
#include <math.h>
#include <stdlib.h>

#include "app/mdr_app_dyeing_in.h"
#include "core/colour/mdr_difference.h"
#include "core/units/mdr_swatch.h"

/* -- colours -- */

/* Samples that put the recipe elsewhere than the shade say nothing of its rope. Three times a usual
 * tolerance; invented. */
static const double NEAR_SHADE_DE = 3.0;

static bool meets_shade(mdr_dyer *d, int n)
{
    const mdr_shade *shade = d->out->plan->lot->shade;
    double factor[MDR_DYE_DYES_MAX], dl = 0.0;
    for (int i = 0; i < n; i++) {
        factor[i] = 1.0;
    }
    const double off = mdr_dyer_between((mdr_lab){shade->lab_l, shade->lab_a, shade->lab_b},
                                        mdr_rope_colour_at(&d->colour, factor), &dl);
    if (off > NEAR_SHADE_DE) {
        mdr_dyer_note(d, mdr_dyer_text(d,
                                       "By the laboratory's samples this recipe gives a colour "
                                       "%.1f CMC(2:1) from its shade: check the one or the other. "
                                       "The rope is shown in the shade's own colour.",
                                       off));
        return false;
    }
    return true;
}

void mdr_dyer_colour(mdr_dyer *d)
{
    const mdr_shade *shade = d->out->plan->lot->shade;
    mdr_rope_dye dyes[MDR_DYE_DYES_MAX];
    const int n = d->study->programme.n_dyes;
    for (int i = 0; i < n; i++) {
        dyes[i] = (mdr_rope_dye){.depth_pct_owf = d->out->dyes[i].depth_pct_owf,
                                 .swatch = d->out->dyes[i].material->swatch};
    }
    if (mdr_dyer_ladders(d) && meets_shade(d, n)) {
        d->out->colour_from = d->colour.from;
        return;
    }
    mdr_rope_colour_of_shade((mdr_lab){shade->lab_l, shade->lab_a, shade->lab_b}, dyes, n,
                             &d->colour);
    d->out->colour_from = d->colour.from;
}

double mdr_dyer_between(mdr_lab standard, mdr_lab sample, double *dl)
{
    const mdr_difference_spec cmc = mdr_difference_usual(MDR_DE_CMC);
    const mdr_difference diff = mdr_difference_of(standard, sample, &cmc);
    *dl = diff.dl;
    return diff.de;
}

static const float *of_slice(const mdr_dyeing *d, const float *map, int sample, int slice)
{
    return map + ((size_t)sample * (size_t)d->n_slices + (size_t)slice) * (size_t)d->n_dyes;
}

/* Over n slices from one on, by what they weigh. */
static void mean_of(const mdr_dyeing_result *r, const float *map, int sample, int from, int n,
                    double *mean)
{
    const mdr_dyeing *d = r->dyeing;
    double all = 0.0;
    for (int i = 0; i < d->n_dyes; i++) {
        mean[i] = 0.0;
    }
    for (int s = from; s < from + n; s++) {
        const double share = mdr_dyeing_slice_share(d, &r->rope, s);
        all += share;
        for (int i = 0; i < d->n_dyes; i++) {
            mean[i] += share * ((double)of_slice(d, map, sample, s)[i] - mean[i]) / all;
        }
    }
}

void mdr_dyer_end(const mdr_dyeing_result *r, const float *map, double *end)
{
    mean_of(r, map, r->dyeing->n_samples - 1, 0, r->dyeing->n_slices, end);
}

static mdr_lab lab_of(const mdr_dyer *d, int n, const double *on, const double *end)
{
    double factor[MDR_DYE_DYES_MAX];
    for (int i = 0; i < n; i++) {
        factor[i] = end[i] > 0.0 ? on[i] / end[i] : 0.0;
    }
    return mdr_rope_colour_at(&d->colour, factor);
}

static mdr_lab lab_of_slice(const mdr_dyer *d, const mdr_dyeing *dyeing, const float *map,
                            int sample, int slice, const double *end)
{
    double on[MDR_DYE_DYES_MAX];
    for (int i = 0; i < dyeing->n_dyes; i++) {
        on[i] = (double)of_slice(dyeing, map, sample, slice)[i];
    }
    return lab_of(d, dyeing->n_dyes, on, end);
}

/* Whether no slice has more, or none less, of some dye: the farthest colour is one of these. */
static void find_extremes(const mdr_dyeing *d, const float *map, int sample, int *slices, int *n)
{
    *n = 0;
    for (int i = 0; i < d->n_dyes; i++) {
        int most = 0, least = 0;
        for (int s = 1; s < d->n_slices; s++) {
            const float v = of_slice(d, map, sample, s)[i];
            most = v > of_slice(d, map, sample, most)[i] ? s : most;
            least = v < of_slice(d, map, sample, least)[i] ? s : least;
        }
        slices[(*n)++] = most;
        slices[(*n)++] = least;
    }
}

mdr_dyer_off mdr_dyer_de(const mdr_dyer *d, const mdr_dyeing_result *r, const float *map,
                         int sample)
{
    const mdr_dyeing *dyeing = r->dyeing;
    const int tubes = r->rope.tubes, slices = dyeing->n_slices / tubes;
    double mean[MDR_DYE_DYES_MAX], end[MDR_DYE_DYES_MAX], dl = 0.0;
    mdr_dyer_off off = {0.0, 0.0};
    mdr_dyer_end(r, map, end);
    mean_of(r, map, sample, 0, dyeing->n_slices, mean);
    const mdr_lab standard = lab_of(d, dyeing->n_dyes, mean, end);
    int extremes[2 * MDR_DYE_DYES_MAX], n = 0;
    find_extremes(dyeing, map, sample, extremes, &n);
    for (int k = 0; k < n; k++) {
        const mdr_lab lab = lab_of_slice(d, dyeing, map, sample, extremes[k], end);
        off.most = fmax(off.most, mdr_dyer_between(standard, lab, &dl));
    }
    for (int t = 0; t < tubes; t++) {
        mean_of(r, map, sample, t * slices, slices, mean);
        off.tubes =
            fmax(off.tubes, mdr_dyer_between(standard, lab_of(d, dyeing->n_dyes, mean, end), &dl));
    }
    return off;
}

const float *mdr_dyer_stays(const mdr_dyeing_result *r)
{
    return r->answers.fixes ? r->dyeing->fixed_map : r->dyeing->map;
}

mdr_lab mdr_dyer_mean(const mdr_dyer *d, const mdr_dyeing_answers *of,
                      const mdr_dyeing_answers *base)
{
    double factor[MDR_DYE_DYES_MAX];
    for (int i = 0; i < of->n_dyes; i++) {
        /* what is washed off does not colour; a direct dye stays by itself */
        const double now =
            d->out->has_loose ? of->dyes[i].fixation_pct : of->dyes[i].exhaustion_pct;
        const double was =
            d->out->has_loose ? base->dyes[i].fixation_pct : base->dyes[i].exhaustion_pct;
        factor[i] = was > 0.0 ? now / was : 1.0;
    }
    return mdr_rope_colour_at(&d->colour, factor);
}

/* -- map -- */

enum { TIMES_MOST = 80, COUNTS = 127 };

static void paint(const mdr_dyer *d, const mdr_dyeing *dyeing, int sample, const double *end,
                  unsigned char *rgb)
{
    for (int s = 0; s < dyeing->n_slices; s++) {
        char hex[8];
        bool in_gamut = false;
        const mdr_lab lab = lab_of_slice(d, dyeing, dyeing->map, sample, s, end);
        mdr_swatch_hex(lab.l, lab.a, lab.b, hex, &in_gamut);
        const unsigned long v = strtoul(hex + 1, NULL, 16);
        *rgb++ = (unsigned char)(v >> 16 & 255u);
        *rgb++ = (unsigned char)(v >> 8 & 255u);
        *rgb++ = (unsigned char)(v & 255u);
    }
}

/* Dye of a slice over the mean at that time, less 1, in per cent; bare: 0. */
static double off_pct(const mdr_dyeing *dyeing, int sample, int slice, double mean)
{
    return mean > 0.0 ? 100.0 * (mdr_dyeing_slice(dyeing, dyeing->map, sample, slice) / mean - 1.0)
                      : 0.0;
}

static double slice_mean(const mdr_dyeing_result *r, int sample)
{
    double sum = 0.0;
    for (int s = 0; s < r->dyeing->n_slices; s++) {
        sum += mdr_dyeing_slice_share(r->dyeing, &r->rope, s) *
               mdr_dyeing_slice(r->dyeing, r->dyeing->map, sample, s);
    }
    return sum;
}

/* One count is so much that the most uneven place has 127 of them. Before any dye to speak of is
 * on, the parts of next to nothing would set the scale: they are left at 0. */
static void chart(const mdr_dyer *d, const int *samples, mdr_dyeing_map *m, signed char *off)
{
    const mdr_dyeing *dyeing = d->out->result.dyeing;
    double most = 1e-6;
    for (int pass = 0; pass < 2; pass++) {
        for (int k = 0; k < m->times; k++) {
            const bool bare = d->out->spread_pct[samples[k]] < 0.0;
            const double mean = bare ? 0.0 : slice_mean(&d->out->result, samples[k]);
            for (int s = 0; s < dyeing->n_slices; s++) {
                const double v = off_pct(dyeing, samples[k], s, mean);
                if (pass == 0) {
                    most = fmax(most, fabs(v));
                } else {
                    off[k * dyeing->n_slices + s] = (signed char)lround(v / most * COUNTS);
                }
            }
        }
    }
    m->off_pct_per_count = most / COUNTS;
}

mdr_code mdr_dyer_map(mdr_dyer *d, mdr_err *err)
{
    const mdr_dyeing *dyeing = d->out->result.dyeing;
    const int n = dyeing->n_samples;
    mdr_dyeing_map *m = MDR_NEW(d->arena, mdr_dyeing_map);
    if (m == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the map of the rope");
    }
    m->times = n < TIMES_MOST ? n : TIMES_MOST;
    m->slices = dyeing->n_slices;
    m->tubes = d->out->result.rope.tubes;
    const size_t points = (size_t)m->times * (size_t)m->slices;
    double *t_min = MDR_NEW_N(d->arena, double, (size_t)m->times);
    unsigned char *rgb = MDR_NEW_N(d->arena, unsigned char, 3 * points);
    signed char *off = MDR_NEW_N(d->arena, signed char, points);
    if (t_min == NULL || rgb == NULL || off == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the map of the rope");
    }
    int samples[TIMES_MOST];
    double end[MDR_DYE_DYES_MAX];
    mdr_dyer_end(&d->out->result, dyeing->map, end);
    for (int k = 0; k < m->times; k++) {
        samples[k] = m->times > 1 ? (int)lround((double)k * (n - 1) / (m->times - 1)) : n - 1;
        t_min[k] = dyeing->t_min[samples[k]];
        paint(d, dyeing, samples[k], end, rgb + 3 * (size_t)k * (size_t)m->slices);
    }
    chart(d, samples, m, off);
    m->t_min = t_min;
    m->rgb = rgb;
    m->off = off;
    d->out->map = m;
    return MDR_OK;
}
