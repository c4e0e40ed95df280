#include "core/run/mdr_measured.h"

#include <stddef.h>

#include "core/colour/mdr_cielab.h"
#include "core/colour/mdr_weights.h"

mdr_measured_look mdr_measured_see(const mdr_measured *m)
{
    const mdr_weights light = mdr_weights_of(MDR_ILL_D65, MDR_OBSERVER_10);
    const mdr_difference_spec formula = mdr_difference_usual(MDR_DE_CMC);
    mdr_measured_look look = {.standard_curve = mdr_curve_of_spectrum(m->standard, NULL),
                              .sample_curve = mdr_curve_of_spectrum(m->sample, NULL)};
    look.standard = mdr_lab_of_curve(&look.standard_curve, &light);
    look.sample = mdr_lab_of_curve(&look.sample_curve, &light);
    look.difference = mdr_difference_of(look.standard, look.sample, &formula);
    return look;
}
