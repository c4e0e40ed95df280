#define MDR_KERNEL_NAME mdr_kernel_eval_base
#include "core/recipe/mdr_kernel_body.h"
