/* A measured sample under a light. */
#include "app/mdr_app_colour_in.h"

static const char NO_LIGHT[] =
    "Colours without a curve do not say under which light they hold; they "
    "were taken as those of the light asked for.";
static const char HELD[] =
    "Some curves do not reach 400 or 700 nm: their outermost values are held "
    "there.";
static const char CUT[] = "Between the points of some curves the interpolation swung below 0; 0 "
                          "stands there.";

/* Weights are dear and files mostly have one grid: they are made again only for another one. */
static const mdr_grid_weights *weights_for(mdr_colour_desk *d, int i, const mdr_spectrum *s)
{
    mdr_grid_weights *w = &d->grid[i];
    if (w->n != s->n || w->start_nm != s->start_nm || w->step_nm != s->step_nm) {
        mdr_grid_weights_of(d->light[i], d->observer, s, w);
    }
    return w;
}

static mdr_code given_lab(mdr_colour_desk *d, const mdr_colour_sample *s, int i, mdr_lab *out,
                          mdr_err *err)
{
    const mdr_spectra_item *item = s->item;
    if (item->has_light && (item->illuminant != d->light[i] || item->observer != d->observer)) {
        MDR_TRY(mdr_colour_fail(s, err, MDR_E_CONFLICT,
                                "this sample has a colour only, and it is that of another light",
                                "ask for the light it was given for, or give its curve"));
    }
    if (!item->has_light) {
        mdr_sheet_note(d->sheet, NO_LIGHT);
    }
    *out = item->lab;
    return MDR_OK;
}

mdr_code mdr_colour_xyz_of(mdr_colour_desk *d, const mdr_colour_sample *s, int i, mdr_xyz *out,
                           mdr_xyz *white, mdr_err *err)
{
    if (s->item->spectrum != NULL) {
        const mdr_grid_weights *w = weights_for(d, i, s->item->spectrum);
        *white = mdr_white_of_grid(w);
        return mdr_xyz_of_spectrum(s->item->spectrum, w, out, err);
    }
    const mdr_weights w = mdr_weights_of(d->light[i], d->observer);
    mdr_lab lab;
    MDR_TRY(given_lab(d, s, i, &lab, err));
    *white = mdr_white_of(&w);
    *out = mdr_xyz_of_lab(lab, *white);
    return MDR_OK;
}

mdr_code mdr_colour_lab_of(mdr_colour_desk *d, const mdr_colour_sample *s, int i, mdr_lab *out,
                           mdr_err *err)
{
    mdr_xyz xyz, white;
    if (s->item->spectrum == NULL) {
        return given_lab(d, s, i, out, err);
    }
    MDR_TRY(mdr_colour_xyz_of(d, s, i, &xyz, &white, err));
    *out = mdr_lab_of_xyz(xyz, white);
    return MDR_OK;
}

mdr_code mdr_colour_curve_of(mdr_colour_desk *d, const mdr_colour_sample *s, mdr_curve *out,
                             mdr_err *err)
{
    if (s->item->spectrum == NULL) {
        return mdr_colour_fail(s, err, MDR_E_CONFLICT, "this sample has a colour only",
                               "this question needs its curve");
    }
    mdr_curve_notes notes;
    *out = mdr_curve_of_spectrum(s->item->spectrum, &notes);
    if (notes.held_low || notes.held_high) {
        mdr_sheet_note(d->sheet, HELD);
    }
    if (notes.cut > 0) {
        mdr_sheet_note(d->sheet, CUT);
    }
    return MDR_OK;
}
