#include "core/colour/mdr_shade_block.h"

#include <math.h>

#include "core/colour/mdr_shade_words.h"

static const double EDGE_SLACK = 1e-9; /* invented: of a width */

mdr_code mdr_block_check(const mdr_block_spec *spec, mdr_err *err)
{
    if ((int)spec->axes < 0 || spec->axes >= MDR_BLOCK_AXES_COUNT) {
        return MDR_FAIL(err, MDR_E_ARG, "axes", "no such axes");
    }
    if (spec->axes == MDR_BLOCK_FORMULA) {
        MDR_TRY(mdr_difference_check(&spec->formula, err));
    }
    for (int i = 0; i < MDR_BLOCK_AXES; i++) {
        if (!(spec->width[i] >= 0.01 && spec->width[i] <= 100.0)) {
            const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "", "no width of a block");
            mdr_err_within(err, "width[%d]", i);
            mdr_err_value(err, "%g", spec->width[i]);
            mdr_err_allowed(err, "0.01 to 100");
            return rc;
        }
    }
    return MDR_OK;
}

static void parts_of(mdr_lab standard, mdr_lab sample, const mdr_block_spec *spec, double part[3])
{
    const mdr_difference_spec plain = mdr_difference_usual(MDR_DE_76);
    const bool weighted = spec->axes == MDR_BLOCK_FORMULA;
    const mdr_difference d =
        mdr_difference_of(standard, sample, weighted ? &spec->formula : &plain);
    part[0] = weighted ? d.wl : d.dl;
    part[1] = weighted ? d.wc : spec->axes == MDR_BLOCK_LAB ? d.da : d.dc;
    part[2] = weighted ? d.wh : spec->axes == MDR_BLOCK_LAB ? d.db : d.dh;
}

/* Whole blocks away from the centre. */
static double blocks(double widths, bool edge_outward)
{
    return edge_outward ? floor(widths + 0.5 + EDGE_SLACK) : ceil(widths - 0.5 - EDGE_SLACK);
}

mdr_block mdr_block_of(mdr_lab standard, mdr_lab sample, const mdr_block_spec *spec)
{
    const double outermost = MDR_BLOCK_LAST - MDR_BLOCK_CENTRE;
    mdr_block b = {.code = ""};
    parts_of(standard, sample, spec, b.part);
    for (int i = 0; i < MDR_BLOCK_AXES; i++) {
        const double away = blocks(fabs(b.part[i]) / spec->width[i], spec->edge_outward);
        b.beyond[i] = away > outermost;
        const int kept = (int)fmin(fmax(away, 0.0), outermost);
        const bool up = (b.part[i] > 0.0) != spec->falls[i];
        b.digit[i] = MDR_BLOCK_CENTRE + (up ? kept : -kept);
        b.code[i] = (char)('0' + b.digit[i]);
    }
    b.hue_is_weak = spec->axes != MDR_BLOCK_LAB && hypot(standard.a, standard.b) < MDR_GREY_CHROMA;
    return b;
}
