/* What a programme does to the lot, in the few numbers the search looks at. */
#include <math.h>
#include <string.h>

#include "core/exhaust/mdr_rope_mark.h"
#include "core/exhaust/mdr_shorten_parts.h"

/* How closely the rope is looked at. Numerical choice; the finer one changes the strike by less than
 * 2 % (test_dye_shorten_ways). Where the study says how closely it is judged, it is judged like that. */
typedef struct grain {
    int slices, modes, steps_per_turn;
} grain;
static const grain COARSE = {12, 4, 12}, FINE = {36, 4, 24};
enum { WIDE_SLICES = 8 }; /* in a wide zone, as for the margin */

static grain coarse_of(const mdr_shorten_in *in)
{
    grain g = COARSE;
    const int wide_steps = mdr_dye_wide_steps(in->study);
    if (wide_steps > 0) {
        g.slices = WIDE_SLICES;
        g.steps_per_turn = wide_steps;
    }
    return g;
}

static grain fine_of(const mdr_dyeing_case *study)
{
    const grain g = {study->slices > 0 ? study->slices : FINE.slices,
                     study->modes > 0 ? study->modes : FINE.modes,
                     study->steps_per_turn > 0 ? study->steps_per_turn : FINE.steps_per_turn};
    return g;
}

static double turn_min(const mdr_shorten_in *in, const mdr_dye_programme *p)
{
    return in->study->rope_m / p->speed_m_per_min;
}

static double spread_at(const mdr_shorten_in *in, const mdr_dyeing_result *r, const float *map,
                        int sample)
{
    const mdr_dyeing *d = r->dyeing;
    double low = HUGE_VAL, high = 0.0, mean = 0.0;
    for (int s = 0; s < d->n_slices; s++) {
        const float *q =
            map + ((size_t)sample * (size_t)d->n_slices + (size_t)s) * (size_t)d->n_dyes;
        double strength = 0.0;
        for (int k = 0; k < d->n_dyes; k++) {
            strength += in->weight[k] * (double)q[k];
        }
        low = fmin(low, strength);
        high = fmax(high, strength);
        mean += mdr_dyeing_slice_share(d, &r->rope, s) * strength;
    }
    return mean > 0.0 ? (high - low) / mean : 0.0;
}

static double spread_fixing(const mdr_shorten_in *in, const mdr_dyeing_result *r)
{
    double most = 0.0;
    for (int k = r->answers.fixing_first; k >= 0 && k <= r->answers.fixing_last; k++) {
        most = fmax(most, spread_at(in, r, r->dyeing->map, k));
    }
    return most;
}

/* Between the samples on both sides, so that it does not jump as the alkali moves. */
static double spread_when(const mdr_shorten_in *in, const mdr_dyeing_result *r, double t_min)
{
    const mdr_dyeing *d = r->dyeing;
    int i = 0;
    while (i + 2 < d->n_samples && d->t_min[i + 1] <= t_min) {
        i++;
    }
    if (d->n_samples < 2) {
        return spread_at(in, r, d->map, 0);
    }
    const double part = (t_min - d->t_min[i]) / (d->t_min[i + 1] - d->t_min[i]);
    const double before = spread_at(in, r, d->map, i), after = spread_at(in, r, d->map, i + 1);
    return before + fmin(fmax(part, 0.0), 1.0) * (after - before);
}

/* Steps that a sample lies in get its strike; the strike of a sample is that of the time before. */
static void strike_of_steps(const mdr_dyeing *d, const mdr_dye_time *times, int n_steps, int sample,
                            double strike, double *most)
{
    const double from = d->t_min[sample - 1], to = d->t_min[sample];
    for (int i = 0; i < n_steps; i++) {
        if (times[i].start_min < to && times[i].end_min > from) {
            most[i] = fmax(most[i], strike);
        }
    }
}

static void strikes(const mdr_dyeing *d, const mdr_dye_time *times, int n_steps,
                    mdr_dye_detail *out)
{
    for (int i = 1; i < d->n_samples; i++) {
        double most = 0.0;
        for (int k = 0; k < d->n_dyes; k++) {
            most = fmax(most, d->strike_per_contact_pct[i * d->n_dyes + k]);
        }
        strike_of_steps(d, times, n_steps, i, most, out->strike_of_step);
        if (most > out->effect.strike_pct_per_contact) {
            out->effect.strike_pct_per_contact = most;
            out->effect.strike_min = 0.5 * (d->t_min[i - 1] + d->t_min[i]);
        }
    }
}

/* Fewer than base has are never asked for more. */
void mdr_shorten_turns(const mdr_shorten_in *in, const mdr_dye_programme *p, double *short_by)
{
    for (int i = 0; i < p->n_steps; i++) {
        short_by[i] = -1.0;
        if (p->steps[i].kind == MDR_DYE_DOSE && !in->keep[i]) {
            const double least = fmin(in->turns_least[p->steps[i].gives],
                                      in->base->steps[i].minutes / turn_min(in, in->base));
            short_by[i] = least * turn_min(in, p) / p->steps[i].minutes - 1.0;
        }
    }
}

void mdr_shorten_read(const mdr_shorten_in *in, const mdr_dye_programme *p,
                      const mdr_dyeing_result *r, mdr_dye_detail *out)
{
    const mdr_dye_course *course = &r->course;
    const mdr_dyeing *d = r->dyeing;
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    *out = (mdr_dye_detail){.effect = {.minutes = course->minutes},
                            .alkali_min = course->alkali_min,
                            .cut_short = d->cut_short};
    (void)mdr_dye_programme_times(p, times);
    mdr_shorten_turns(in, p, out->turns_short);
    strikes(d, times, p->n_steps, out);
    if (d->cut_short) {
        return; /* nothing else is known of it */
    }
    if (course->alkali_min >= 0.0) {
        out->effect.spread_before = spread_when(in, r, course->alkali_min);
    }
    out->effect.spread_fixing = spread_fixing(in, r);
    out->effect.spread_end =
        spread_at(in, r, r->answers.fixes ? d->fixed_map : d->map, d->n_samples - 1);
    for (int k = 0; k < d->n_dyes; k++) {
        out->effect.fixed[k] = mdr_dyeing_last(d, in->fixes ? d->fixed : d->on_fibre, k);
    }
}

mdr_code mdr_shorten_look(const mdr_shorten_in *in, const mdr_dye_programme *p,
                          const mdr_dye_case *rates, const mdr_shorten_eye *eye, mdr_arena *arena,
                          mdr_dye_detail *out, mdr_err *err)
{
    const grain g = eye->fine ? fine_of(in->study) : coarse_of(in);
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    const mdr_arena_mark here = mdr_arena_here(arena);
    mdr_dyeing_result r;
    mdr_dyeing_case *c = MDR_NEW(arena, mdr_dyeing_case);
    if (c == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "base", "no memory for the dyeing");
    }
    *c = *in->study;
    c->programme = *p;
    c->rates = rates->dyes;
    c->sample_min = eye->fine ? mdr_dyeing_sample_min(mdr_dye_programme_times(p, times))
                              : MDR_SHORTEN_SAMPLE_MIN;
    c->strike_most_pct = eye->strike_most_pct;
    c->trails = eye->trails;
    c->slices = g.slices;
    c->modes = g.modes;
    c->steps_per_turn = g.steps_per_turn;
    MDR_TRY(mdr_dyeing_case_run(c, in->table, arena, &r, err));
    mdr_shorten_read(in, p, &r, out);
    mdr_arena_back(arena, here);
    return MDR_OK;
}

mdr_code mdr_shorten_trails(const mdr_shorten_in *in, mdr_arena *arena, mdr_rope_trails **out,
                            mdr_err *err)
{
    static const double LONGER = 1.5; /* than base; what is longer still leaves marks until then */
    const mdr_dyeing_rope *rope = &in->study->rope;
    const grain g = coarse_of(in);
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    const double minutes = mdr_dye_programme_times(in->base, times);
    const mdr_rope_room room = {
        .slices = g.slices * rope->tubes,
        .tubes = rope->tubes,
        .dyes = in->base->n_dyes,
        .doses = in->base->n_steps * in->base->n_dyes,
        .modes = g.modes,
        .stations = (int)ceil(rope->zone_fraction * g.steps_per_turn),
        .samples =
            (int)fmin(LONGER * minutes / MDR_SHORTEN_SAMPLE_MIN, MDR_DYEING_SAMPLES_MAX) + 1};
    return mdr_rope_trails_make(&room, arena, out, err);
}

mdr_code mdr_dye_effect_of(const mdr_shorten_in *in, const mdr_dye_programme *p,
                           const mdr_dye_case *rates, bool fine, mdr_arena *arena,
                           mdr_dye_effect *out, mdr_err *err)
{
    mdr_dye_detail detail;
    const mdr_shorten_eye eye = {.fine = fine};
    MDR_TRY(mdr_shorten_look(in, p, rates, &eye, arena, &detail, err));
    *out = detail.effect;
    return MDR_OK;
}
