#include "core/recipe/mdr_match.h"

#include <math.h>
#include <string.h>

#include "core/recipe/mdr_lattice.h"

/* At a limit to what weighing could ever tell apart. */
static const double AT_LIMIT = 1e-9;

static void describe(const mdr_kernel *k, const mdr_set *s, const int *place, mdr_match *out)
{
    mdr_match m = {.de = sqrt(s->square_first),
                   .objective = sqrt(s->square),
                   .evaluations = s->evaluations,
                   .converged = s->converged};
    m.tie = sqrt(fmax(s->square - s->square_first, 0.0) / k->tie_weight);
    for (int i = 0; i < s->size; i++) {
        const double limit = k->dyes[s->dye[i]].limit_pct_owf;
        const double depth = s->depth_pct_owf[i];
        m.depth_pct_owf[place[i]] = depth;
        m.at_limit[place[i]] = depth >= limit * (1.0 - AT_LIMIT);
        m.at_zero[place[i]] = depth <= limit * AT_LIMIT;
    }
    *out = m;
}

mdr_code mdr_match_dyes(const mdr_cloth *cloth, const mdr_target *shade, const mdr_dye *dyes, int n,
                        mdr_arena *arena, mdr_match *out, mdr_err *err)
{
    static const int AS_GIVEN[MDR_COMBO_MAX] = {0, 1, 2, 3};
    mdr_kernel *k;
    mdr_lattice *l;
    if (n < 1 || n > MDR_COMBO_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "dyes", "dyes of one recipe");
        mdr_err_value(err, "%d", n);
        mdr_err_allowed(err, "1 to %d", MDR_COMBO_MAX);
        return rc;
    }
    MDR_TRY(mdr_kernel_make(cloth, shade, dyes, n, arena, &k, err));
    MDR_TRY(mdr_lattice_make(k, n, arena, &l, err));
    const int all = l->first[n + 1];
    mdr_lattice_solve(l, 0, all);
    mdr_lattice_polish(l, all - 1);
    describe(k, &l->sets[all - 1], AS_GIVEN, out);
    return MDR_OK;
}
