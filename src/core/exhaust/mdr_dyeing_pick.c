#include "core/exhaust/mdr_dyeing_parts.h"

bool mdr_dyeing_has_wide(void)
{
#ifdef MDR_DYEING_TWICE
    return __builtin_cpu_supports("avx2") != 0;
#else
    return false;
#endif
}

#ifndef MDR_DYEING_TWICE /* never called */
mdr_code mdr_dyeing_run_wide(const mdr_dyeing_in *in, mdr_arena *arena, const mdr_dyeing **out,
                             mdr_err *err)
{
    return mdr_dyeing_run_base(in, arena, out, err);
}
#endif

mdr_code mdr_dyeing_run(const mdr_dyeing_in *in, mdr_arena *arena, const mdr_dyeing **out,
                        mdr_err *err)
{
    return mdr_dyeing_has_wide() ? mdr_dyeing_run_wide(in, arena, out, err)
                                 : mdr_dyeing_run_base(in, arena, out, err);
}

double mdr_dyeing_last(const mdr_dyeing *d, const double *per_dye, int dye)
{
    return per_dye[(d->n_samples - 1) * d->n_dyes + dye];
}
