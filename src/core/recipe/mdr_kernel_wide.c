#define MDR_KERNEL_NAME mdr_kernel_eval_wide
#include "core/recipe/mdr_kernel_body.h"

/* Without AVX2 at hand the function above is the same as the base one, and never called. */
bool mdr_kernel_has_wide(void)
{
#if defined(__AVX2__)
    return __builtin_cpu_supports("avx2") != 0;
#else
    return false;
#endif
}

mdr_kernel_eval *mdr_kernel_best(void)
{
    return mdr_kernel_has_wide() ? mdr_kernel_eval_wide : mdr_kernel_eval_base;
}
