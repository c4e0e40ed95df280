#include <math.h>

#include "core/bath/mdr_dosing.h"
#include "core/exhaust/mdr_dyeing_parts.h"

int mdr_course_piece(const mdr_dyeing_in *in, double t_min, int guess)
{
    int i = guess;
    while (i > 0 && in->course[i].t_min > t_min) {
        i--;
    }
    /* of two moments at one time the later one counts from there on */
    while (i + 2 < in->n_moments && in->course[i + 1].t_min <= t_min) {
        i++;
    }
    return i;
}

double mdr_course_part(const mdr_dyeing_in *in, int piece, double t_min)
{
    const mdr_dyeing_moment *a = &in->course[piece], *b = a + 1;
    const double span_min = b->t_min - a->t_min;
    return span_min > 0.0 ? (t_min - a->t_min) / span_min : 1.0;
}

double mdr_course_liquor_l(const mdr_dyeing_in *in, int piece, double t_min)
{
    const double from_l = in->course[piece].liquor_l,
                 more_l = in->course[piece + 1].liquor_l - from_l;
    return more_l == 0.0 ? from_l : from_l + mdr_course_part(in, piece, t_min) * more_l;
}

double mdr_course_sodium(const mdr_dyeing_in *in, int piece, double t_min)
{
    const double from = in->course[piece].sodium_mol_per_l;
    const double more = in->course[piece + 1].sodium_mol_per_l - from;
    return more == 0.0 ? from : from + mdr_course_part(in, piece, t_min) * more;
}

mdr_dyeing_moment mdr_course_at(const mdr_dyeing_in *in, int piece, double t_min)
{
    const mdr_dyeing_moment *a = &in->course[piece], *b = a + 1;
    const double part = mdr_course_part(in, piece, t_min);
    return (mdr_dyeing_moment){.t_min = t_min,
                               .temp_c = a->temp_c + part * (b->temp_c - a->temp_c),
                               .liquor_l = a->liquor_l + part * (b->liquor_l - a->liquor_l),
                               .sodium_mol_per_l =
                                   a->sodium_mol_per_l +
                                   part * (b->sodium_mol_per_l - a->sodium_mol_per_l),
                               .ph = a->ph + part * (b->ph - a->ph),
                               .oxidises = a->oxidises || (part >= 1.0 && b->oxidises)};
}

bool mdr_course_at_once(const mdr_dyeing_dose *dose)
{
    return dose->portions > 0 || !(dose->minutes > 0.0);
}

double mdr_course_given_kg(const mdr_dyeing_dose *dose, double t_min)
{
    if (t_min < dose->start_min) {
        return 0.0;
    }
    const double end_min = dose->start_min + dose->minutes;
    if (t_min >= end_min) {
        return dose->kg;
    }
    const double tau = (t_min - dose->start_min) / dose->minutes;
    return dose->kg * (dose->portions > 0 ? mdr_dosing_portions(tau, dose->portions)
                                          : mdr_dosing_power(tau, dose->exponent));
}

static double sooner(double best, double at, double t_min)
{
    return at > t_min + MDR_DYEING_HAIR_MIN && at < best ? at : best;
}

double mdr_course_next_min(const mdr_dyeing_in *in, double t_min)
{
    double best = in->course[in->n_moments - 1].t_min;
    for (int i = 0; i < in->n_moments; i++) {
        best = sooner(best, in->course[i].t_min, t_min);
    }
    for (int i = 0; i < in->n_doses; i++) {
        const mdr_dyeing_dose *d = &in->doses[i];
        best = sooner(best, d->start_min, t_min);
        best = sooner(best, d->start_min + d->minutes, t_min);
        for (int k = 1; k < d->portions; k++) {
            best = sooner(best, d->start_min + d->minutes * k / d->portions, t_min);
        }
    }
    return best;
}
