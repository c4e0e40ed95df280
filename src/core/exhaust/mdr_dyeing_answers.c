#include "core/exhaust/mdr_dyeing_answers.h"

#include <math.h>

static const double PCT = 100.0, MG_PER_KG = 1e6;

static double at(const mdr_dyeing *d, const double *per_dye, int sample, int dye)
{
    return per_dye[(size_t)sample * (size_t)d->n_dyes + (size_t)dye];
}

double mdr_dyeing_slice_share(const mdr_dyeing *d, const mdr_dyeing_rope *rope, int slice)
{
    const int slices = d->n_slices / rope->tubes;
    return rope->tube_share[slice / slices] / slices;
}

double mdr_dyeing_slice(const mdr_dyeing *d, const float *map, int sample, int slice)
{
    const float *on =
        map + ((size_t)sample * (size_t)d->n_slices + (size_t)slice) * (size_t)d->n_dyes;
    double sum = 0.0;
    for (int i = 0; i < d->n_dyes; i++) {
        sum += (double)on[i];
    }
    return sum;
}

/* -- evenness -- */

typedef struct extent {
    double least, most, sum; /* sum: weighed */
    double weight;
} extent;

static void take(extent *e, double v, double weight)
{
    e->least = e->weight > 0.0 ? fmin(e->least, v) : v;
    e->most = e->weight > 0.0 ? fmax(e->most, v) : v;
    e->sum += weight * v;
    e->weight += weight;
}

static double spread_pct(const extent *e)
{
    return e->sum > 0.0 ? PCT * (e->most - e->least) * e->weight / e->sum : 0.0;
}

mdr_evenness mdr_dyeing_evenness(const mdr_dyeing *d, const float *map, const mdr_dyeing_rope *rope,
                                 int sample)
{
    mdr_evenness out = {.sample = sample};
    extent all = {0}, means = {0};
    const int slices = d->n_slices / rope->tubes;
    for (int t = 0; t < rope->tubes; t++) {
        extent one = {0};
        for (int s = t * slices; s < (t + 1) * slices; s++) {
            const double v = mdr_dyeing_slice(d, map, sample, s);
            const double share = mdr_dyeing_slice_share(d, rope, s);
            take(&one, v, share);
            take(&all, v, share);
        }
        take(&means, one.sum / one.weight, one.weight);
        out.along_pct = fmax(out.along_pct, spread_pct(&one));
    }
    out.spread_pct = spread_pct(&all);
    out.between_pct = spread_pct(&means);
    return out;
}

/* -- strike -- */

double mdr_dyeing_strike(const mdr_dyeing *d, int sample, int *dye)
{
    *dye = 0;
    for (int i = 1; i < d->n_dyes; i++) {
        if (at(d, d->strike_per_contact_pct, sample, i) >
            at(d, d->strike_per_contact_pct, sample, *dye)) {
            *dye = i;
        }
    }
    return at(d, d->strike_per_contact_pct, sample, *dye);
}

static double since_before(const mdr_dyeing *d, int sample)
{
    return sample > 0 ? d->t_min[sample] - d->t_min[sample - 1] : 0.0;
}

static void strike(const mdr_dyeing *d, double limit_pct, mdr_dyeing_answers *out)
{
    for (int k = 1; k < d->n_samples; k++) {
        int fastest = 0;
        const double most = mdr_dyeing_strike(d, k, &fastest);
        /* the rise belongs to the time between two samples */
        const double middle_min = 0.5 * (d->t_min[k] + d->t_min[k - 1]);
        if (most > out->strike_most_pct) {
            out->strike_most_pct = most;
            out->strike_at_min = middle_min;
            out->strike_dye = fastest;
        }
        out->over_limit_min += most > limit_pct ? since_before(d, k) : 0.0;
        for (int i = 0; i < d->n_dyes; i++) {
            const double v = at(d, d->strike_per_contact_pct, k, i);
            mdr_dye_answer *a = &out->dyes[i];
            if (v > a->strike_most_pct) {
                a->strike_most_pct = v;
                a->strike_at_min = middle_min;
            }
            a->over_limit_min += v > limit_pct ? since_before(d, k) : 0.0;
        }
    }
}

/* -- uptake -- */

static double half_min(const mdr_dyeing *d, int dye)
{
    const double half = 0.5 * at(d, d->on_fibre, d->n_samples - 1, dye);
    for (int k = 1; k < d->n_samples; k++) {
        const double a = at(d, d->on_fibre, k - 1, dye), b = at(d, d->on_fibre, k, dye);
        if (b >= half && b > a) {
            return d->t_min[k - 1] + (half - a) / (b - a) * since_before(d, k);
        }
    }
    return d->t_min[d->n_samples - 1];
}

/* The last sample that is not behind this time. */
static int sample_before(const mdr_dyeing *d, double t_min)
{
    int k = 0;
    while (k + 1 < d->n_samples && d->t_min[k + 1] <= t_min + 1e-9) {
        k++;
    }
    return k;
}

static void uptake(const mdr_dyeing *d, int dye, double before_min, mdr_dye_answer *a)
{
    const int last = d->n_samples - 1;
    const double on = at(d, d->on_fibre, last, dye), fixed = at(d, d->fixed, last, dye);
    a->exhaustion_pct = PCT * on;
    a->fixation_pct = PCT * fixed;
    a->yield_pct = on > 0.0 ? PCT * fixed / on : 0.0;
    a->hydrolysed_pct = PCT * at(d, d->hydrolysed, last, dye);
    a->loose_pct = PCT * fmax(0.0, on - fixed);
    a->left_pct = PCT * (at(d, d->bath_active, last, dye) + at(d, d->bath_hydrolysed, last, dye) +
                         at(d, d->held, last, dye));
    a->half_min = half_min(d, dye);
    a->spread_end_pct = PCT * at(d, d->spread, last, dye);
    a->before_alkali_pct = -1.0;
    if (before_min >= 0.0) {
        const int k = sample_before(d, before_min);
        /* dye that comes later has no uptake before the alkali */
        if (at(d, d->given, k, dye) > 1.0 - 1e-9) {
            a->before_alkali_pct = PCT * at(d, d->on_fibre, k, dye);
        }
    }
}

/* -- together or apart -- */

static void apart(const mdr_dyeing *d, mdr_dyeing_answers *out)
{
    const int last = d->n_samples - 1;
    for (int k = 0; k < d->n_samples; k++) {
        int first = 0, behind = 0;
        double most = -1.0, least = 2.0;
        for (int i = 0; i < d->n_dyes; i++) {
            const double end = at(d, d->on_fibre, last, i);
            const double part = end > 0.0 ? at(d, d->on_fibre, k, i) / end : 0.0;
            first = part > most ? i : first;
            behind = part < least ? i : behind;
            most = fmax(most, part);
            least = fmin(least, part);
        }
        if (PCT * (most - least) > out->apart_most_pct) {
            out->apart_most_pct = PCT * (most - least);
            out->apart_at_min = d->t_min[k];
            out->apart_first = first;
            out->apart_last = behind;
        }
    }
}

/* -- while dye is being fixed -- */

/* Of all dyes at a sample: of each its part of what is given. */
static double all_of(const mdr_dyeing *d, const double *per_dye, const double *kg, int sample)
{
    double sum = 0.0;
    for (int i = 0; i < d->n_dyes; i++) {
        sum += kg[i] * at(d, per_dye, sample, i);
    }
    return sum;
}

/* From the alkali on, and not before there is dye to speak of. */
static void fixing(const mdr_dyeing *d, const double *kg, double all_kg, int from,
                   mdr_dyeing_answers *out)
{
    const double most_kg =
        (1.0 - MDR_FIXING_LEFT_PCT / PCT) * all_of(d, d->fixed, kg, d->n_samples - 1);
    int first = from;
    while (first + 1 < d->n_samples &&
           all_of(d, d->on_fibre, kg, first) < MDR_BARE_PCT / PCT * all_kg) {
        first++;
    }
    out->fixing_first = out->fixing_last = first;
    while (out->fixing_last + 1 < d->n_samples &&
           all_of(d, d->fixed, kg, out->fixing_last) < most_kg) {
        out->fixing_last++;
    }
}

void mdr_dyeing_answers_of(const mdr_dyeing *d, const mdr_dyeing_rope *rope, const double *kg,
                           double before_min, double limit_pct, mdr_dyeing_answers *out)
{
    *out = (mdr_dyeing_answers){.n_dyes = d->n_dyes};
    double all_kg = 0.0;
    for (int i = 0; i < d->n_dyes; i++) {
        mdr_dye_answer *a = &out->dyes[i];
        a->kg = kg[i];
        uptake(d, i, before_min, a);
        all_kg += kg[i];
        out->exhaustion_pct += kg[i] * a->exhaustion_pct;
        out->fixation_pct += kg[i] * a->fixation_pct;
        out->loose_mg_per_kg += MG_PER_KG * kg[i] * a->loose_pct / PCT / rope->load_kg;
    }
    out->exhaustion_pct /= all_kg;
    out->fixation_pct /= all_kg;
    strike(d, limit_pct, out);
    apart(d, out);
    const int last = d->n_samples - 1;
    out->fixes = before_min >= 0.0;
    out->end = mdr_dyeing_evenness(d, out->fixes ? d->fixed_map : d->map, rope, last);
    out->fixing_first = out->fixing_last = -1;
    if (last > 0 && since_before(d, last) > 0.0) {
        out->contacts_per_min = (d->contacts[last] - d->contacts[last - 1]) / since_before(d, last);
    }
    if (before_min >= 0.0) {
        const int k = sample_before(d, before_min);
        out->has_before = PCT * all_of(d, d->on_fibre, kg, k) / all_kg >= MDR_BARE_PCT;
        out->before = mdr_dyeing_evenness(d, d->map, rope, k);
        fixing(d, kg, all_kg, k, out);
    }
}
