/*
 * mdr_rope_colour.h - the colour of a stretch of fabric that holds more or less of each dye than the
 * shade asks for.
 *
 * For the rope of a dyeing: which colour has the slice that got 4 % too much blue.
 *
 * Layer: core/recipe (pure). Methods: docs/methods/exhaust-answers.md#colour-along-the-rope
 *
 * Two ways, and mdr_rope_colour.from says which:
 *   ladders  the recipe's mixture (mdr_mixture.h), each depth times its factor. Every dye has a
 *            ladder and the cloth is known.
 *   shade    no ladders: the shade's CIELAB as reflectance in three wide bands, X/Xn, Y/Yn, Z/Zn;
 *            K/S of each band shared out among the dyes by what their swatches absorb there, times
 *            their depth; each share goes with its dye's factor. Meets the shade exactly at
 *            factors of 1; tells lighter from darker well, and the direction of the hue; not for
 *            a recipe.
 *
 * Symbols: factor = dye there / dye that the shade is made of.
 *
 * Sources (keys of docs/sources.md)
 *   [kubelka-munk]  K/S adds up over the dyes
 *   [cie-15]        CIELAB; [srgb] swatches
 *   [common-practice]  wide bands: ours, no source
 */
#ifndef MDR_ROPE_COLOUR_H
#define MDR_ROPE_COLOUR_H

#include "core/recipe/mdr_mixture.h"

#include "core/colour/mdr_cielab.h"

typedef enum mdr_colour_from { MDR_COLOUR_OF_LADDERS, MDR_COLOUR_OF_SHADE } mdr_colour_from;

enum { MDR_WIDE_BANDS = 3 };

typedef struct mdr_rope_colour {
    mdr_colour_from from;
    int n; /* dyes */
    /* shade */
    double ks[MDR_WIDE_BANDS];
    double share[MDR_WIDE_BANDS][MDR_RECIPE_DYES_MAX]; /* sum 1 */
    double bare[MDR_WIDE_BANDS];                       /* K/S of the undyed cloth, part of ks */
    /* ladders */
    const mdr_cloth *cloth;
    const mdr_weights *weights;
    mdr_part parts[MDR_RECIPE_DYES_MAX];
} mdr_rope_colour;

typedef struct mdr_rope_dye {
    double depth_pct_owf;
    const char *swatch; /* "#rrggbb"; "" or anything else: grey */
} mdr_rope_dye;

/* By the shade. n 1 .. MDR_RECIPE_DYES_MAX. Total: a colour outside what a dyed cloth can be is
 * taken at the nearest reflectance that has a K/S. */
void mdr_rope_colour_of_shade(mdr_lab shade, const mdr_rope_dye *dyes, int n, mdr_rope_colour *out);

/* By ladders; everything pointed to must outlive `out`.
 *   errors  those of mdr_mixture_of for the recipe itself */
mdr_code mdr_rope_colour_of_ladders(const mdr_cloth *cloth, const mdr_weights *weights,
                                    const mdr_part *parts, int n, mdr_rope_colour *out,
                                    mdr_err *err) MDR_MUST_CHECK;

/* CIELAB with these factors, each >= 0. Total: deeper than a ladder allows is taken along its last
 * straight line. */
mdr_lab mdr_rope_colour_at(const mdr_rope_colour *c, const double *factor);

#endif
