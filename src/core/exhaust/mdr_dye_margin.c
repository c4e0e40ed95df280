#include "core/exhaust/mdr_dye_margin.h"

#include <math.h>

enum { SLICES = 8, SAMPLES = 80, WIDE_STEPS_LEAST = 4, WIDE_STEPS_MOST = 12 };
static const double WIDE_ZONE = 0.5, STATION_MIN = 0.45;

mdr_code mdr_dye_away_of(const mdr_dye_fit *const *fits, int n_dyes, mdr_arena *arena,
                         mdr_dye_away *out, mdr_err *err)
{
    mdr_dye_away away = {.n = 0};
    for (int i = 0; i < n_dyes; i++) {
        away.n = fits[i]->n_away > away.n ? fits[i]->n_away : away.n;
    }
    for (int k = 0; k < away.n; k++) {
        mdr_dye_rates *rates = MDR_NEW_N(arena, mdr_dye_rates, (size_t)n_dyes);
        if (rates == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for what the rates may be");
        }
        for (int i = 0; i < n_dyes; i++) {
            rates[i] = k < fits[i]->n_away ? fits[i]->away[k] : fits[i]->rates;
        }
        away.rates[k] = rates;
    }
    *out = away;
    return MDR_OK;
}

int mdr_dye_wide_steps(const mdr_dyeing_case *c)
{
    if (c->rope.zone_fraction < WIDE_ZONE) {
        return 0;
    }
    const double steps = c->rope_m / c->programme.speed_most_m_per_min / STATION_MIN;
    return (int)rint(fmin(fmax(steps, WIDE_STEPS_LEAST), WIDE_STEPS_MOST));
}

void mdr_dye_margin_coarsen(mdr_dyeing_case *c)
{
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    const double minutes = mdr_dye_programme_times(&c->programme, times);
    c->slices = c->slices > 0 && c->slices < SLICES ? c->slices : SLICES;
    c->sample_min = fmax(c->sample_min, minutes / SAMPLES);
    const int wide_steps = mdr_dye_wide_steps(c);
    if (wide_steps > 0 && (c->steps_per_turn == 0 || c->steps_per_turn > wide_steps)) {
        c->steps_per_turn = wide_steps;
    }
}

static mdr_code numbers_of(const mdr_margin_in *in, mdr_dyeing_case *c, int direction,
                           mdr_arena *arena, double *numbers, mdr_err *err)
{
    const mdr_arena_mark here = mdr_arena_here(arena);
    mdr_dyeing_result r;
    c->rates = direction < 0 ? in->study->rates : in->away->rates[direction];
    MDR_TRY(mdr_dyeing_case_run(c, in->table, arena, &r, err));
    in->read(in->about, &r, direction, numbers);
    mdr_arena_back(arena, here);
    return MDR_OK;
}

mdr_code mdr_dye_margin_of(const mdr_margin_in *in, mdr_arena *arena, double *margin, mdr_err *err)
{
    const mdr_arena_mark here = mdr_arena_here(arena);
    double usual[MDR_MARGIN_NUMBERS_MAX], square[MDR_MARGIN_NUMBERS_MAX] = {0.0};
    mdr_dyeing_case *c = MDR_NEW(arena, mdr_dyeing_case);
    if (c == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the reruns of the dyeing");
    }
    *c = *in->study;
    mdr_dye_margin_coarsen(c);
    MDR_TRY(numbers_of(in, c, -1, arena, usual, err));
    for (int k = 0; k < in->away->n && mdr_wanted(&in->go_on); k++) {
        double now[MDR_MARGIN_NUMBERS_MAX];
        MDR_TRY(numbers_of(in, c, k, arena, now, err));
        for (int i = 0; i < in->n_numbers; i++) {
            square[i] += (now[i] - usual[i]) * (now[i] - usual[i]);
        }
    }
    mdr_arena_back(arena, here);
    for (int i = 0; i < in->n_numbers; i++) {
        margin[i] = sqrt(square[i]);
    }
    return MDR_OK;
}
