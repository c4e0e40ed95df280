/*
 * mdr_shade_block.h - three-digit shade codes: rolls are put into blocks of colour space around the
 * standard, and what has the same code may be sewn together.
 *
 * The standard is 555. Each digit counts blocks along one axis; which axes, how wide, and which way
 * the digits rise are agreed between mill and buyer and therefore all parameters. The outermost
 * blocks, 1 and 9, have no far end: what lies beyond is marked.
 *
 * Layer: core/colour (pure). Methods: docs/methods/shade.md#three-digit-codes
 * Source: common practice.
 */
#ifndef MDR_SHADE_BLOCK_H
#define MDR_SHADE_BLOCK_H

#include <stdbool.h>

#include "core/colour/mdr_difference.h"

enum { MDR_BLOCK_AXES = 3, MDR_BLOCK_FIRST = 1, MDR_BLOCK_CENTRE = 5, MDR_BLOCK_LAST = 9 };

typedef enum mdr_block_axes {
    MDR_BLOCK_LCH,     /* dL*, dC*, dH* */
    MDR_BLOCK_LAB,     /* dL*, da*, db*: the only ones for greys, which have no hue */
    MDR_BLOCK_FORMULA, /* the formula's weighted parts of lightness, chroma, hue */
    MDR_BLOCK_AXES_COUNT
} mdr_block_axes;

typedef struct mdr_block_spec {
    mdr_block_axes axes;
    mdr_difference_spec formula;  /* for MDR_BLOCK_FORMULA */
    double width[MDR_BLOCK_AXES]; /* whole width of a block, in units of the axis; above 0 */
    bool falls[MDR_BLOCK_AXES];   /* the digit falls where the axis rises (dL*: darker is higher) */
    bool edge_outward;            /* a colour exactly on an edge: to the block further out */
} mdr_block_spec;

typedef struct mdr_block {
    int digit[MDR_BLOCK_AXES];
    bool beyond[MDR_BLOCK_AXES]; /* further out than block 1 or 9 is wide */
    double part[MDR_BLOCK_AXES]; /* along the axes */
    char code[4];                /* "556" */
    bool hue_is_weak;            /* an axis of hue on a standard that is nearly grey */
} mdr_block;

/* errors: MDR_E_RANGE "width[i]" not finite or not above 0, or as mdr_difference_check; MDR_E_ARG
 * "axes" */
mdr_code mdr_block_check(const mdr_block_spec *spec, mdr_err *err) MDR_MUST_CHECK;
/* Of a specification that passes the check. Edges are found to within 1e-9 of a width, so that a
 * sum of decimals falls on the side it was meant to. */
mdr_block mdr_block_of(mdr_lab standard, mdr_lab sample, const mdr_block_spec *spec);

#endif
