#include "core/colour/mdr_metamerism.h"

#include <math.h>

mdr_code mdr_metamerism_of(const mdr_curve *standard, const mdr_curve *sample,
                           const mdr_weights *reference, const mdr_weights *test,
                           const mdr_difference_spec *spec, mdr_metamerism *out, mdr_err *err)
{
    const mdr_xyz one_r = mdr_xyz_of_curve(standard, reference);
    const mdr_xyz two_r = mdr_xyz_of_curve(sample, reference);
    const mdr_xyz one_t = mdr_xyz_of_curve(standard, test);
    const mdr_xyz two_t = mdr_xyz_of_curve(sample, test);
    if (!(two_r.x > 0.0 && two_r.y > 0.0 && two_r.z > 0.0)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "sample",
                                     "a sample that reflects nothing has no metamerism");
        mdr_err_value(err, "X %g, Y %g, Z %g", two_r.x, two_r.y, two_r.z);
        mdr_err_allowed(err, "above 0");
        return rc;
    }
    const mdr_xyz corrected = {two_t.x * one_r.x / two_r.x, two_t.y * one_r.y / two_r.y,
                               two_t.z * one_r.z / two_r.z};
    const mdr_xyz white_r = mdr_white_of(reference), white_t = mdr_white_of(test);
    const mdr_lab lab_t = mdr_lab_of_xyz(one_t, white_t);
    out->index = mdr_difference_of(lab_t, mdr_lab_of_xyz(corrected, white_t), spec);
    out->index_de = out->index.de;
    out->test_de = mdr_difference_of(lab_t, mdr_lab_of_xyz(two_t, white_t), spec).de;
    out->reference_de =
        mdr_difference_of(mdr_lab_of_xyz(one_r, white_r), mdr_lab_of_xyz(two_r, white_r), spec).de;
    return MDR_OK;
}

/* [iso-105-j05] CMCCAT2000 */
static const double CAT[3][3] = {
    {0.7982, 0.3389, -0.1371}, {-0.5918, 1.5512, 0.0406}, {0.0008, 0.0239, 0.9753}};

static void times(const double m[3][3], const double v[3], double out[3])
{
    for (int i = 0; i < 3; i++) {
        out[i] = m[i][0] * v[0] + m[i][1] * v[1] + m[i][2] * v[2];
    }
}

/* The matrix' inverse by cofactors times v: exact to the last digit, where a printed inverse has
 * seven. */
static void solve(const double m[3][3], const double v[3], double out[3])
{
    double det = 0.0;
    for (int i = 0; i < 3; i++) {
        const int j = (i + 1) % 3, k = (i + 2) % 3;
        det += m[0][i] * (m[1][j] * m[2][k] - m[1][k] * m[2][j]);
    }
    for (int i = 0; i < 3; i++) {
        const int j = (i + 1) % 3, k = (i + 2) % 3;
        out[i] = 0.0;
        for (int r = 0; r < 3; r++) {
            const int s = (r + 1) % 3, t = (r + 2) % 3;
            out[i] += (m[s][j] * m[t][k] - m[s][k] * m[t][j]) * v[r] / det;
        }
    }
}

mdr_xyz mdr_adapted(mdr_xyz xyz, mdr_xyz from, mdr_xyz to, double degree)
{
    double seen[3], white_from[3], white_to[3], out[3];
    times(CAT, (const double[3]){xyz.x, xyz.y, xyz.z}, seen);
    times(CAT, (const double[3]){from.x, from.y, from.z}, white_from);
    times(CAT, (const double[3]){to.x, to.y, to.z}, white_to);
    for (int i = 0; i < 3; i++) {
        /* from.y / to.y for whites of unlike scale */
        seen[i] *= degree * from.y / to.y * white_to[i] / white_from[i] + 1.0 - degree;
    }
    solve(CAT, seen, out);
    return (mdr_xyz){out[0], out[1], out[2]};
}

mdr_inconstancy mdr_inconstancy_of(const mdr_curve *c, const mdr_weights *reference,
                                   const mdr_weights *test, const mdr_difference_spec *spec)
{
    const mdr_xyz white_r = mdr_white_of(reference), white_t = mdr_white_of(test);
    const mdr_xyz seen = mdr_adapted(mdr_xyz_of_curve(c, test), white_t, white_r, 1.0);
    mdr_inconstancy out = {.reference = mdr_lab_of_curve(c, reference),
                           .adapted = mdr_lab_of_xyz(seen, white_r)};
    out.difference = mdr_difference_of(out.reference, out.adapted, spec);
    return out;
}
