/*
 * mdr_dyed.h - what a batch was dyed with so far: the dye as it was weighed, shading additions counted
 * in, and how many of them were made.
 *
 * What is computed: mass of each dye, mg of the product as delivered, in the order first given.
 * Layer: core/run (pure). For the correction of a recipe, which begins where the bath stands.
 * Methods: docs/methods/hold-points.md#shade
 *
 * A dose counts when its step was begun; one that was left out does not.
 */
#ifndef MDR_DYED_H
#define MDR_DYED_H

#include "core/run/mdr_batch.h"

enum { MDR_DYED_MAX = 16 };

typedef struct mdr_dyed_dye {
    const char *material_id;
    int64_t mass_mg;
} mdr_dyed_dye;

typedef struct mdr_dyed {
    mdr_dyed_dye dye[MDR_DYED_MAX];
    int n;
    int n_additions; /* remedies that gave dye, or are about to */
    bool overflow;   /* more dyes than there is room for: the first ones stand here */
    bool stripped;   /* colour was taken off since: these masses are no longer on the cloth */
} mdr_dyed;

/* Total. */
mdr_dyed mdr_batch_dyed(const mdr_batch *b);

#endif
