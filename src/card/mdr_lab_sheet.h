/*
 * mdr_lab_sheet.h - the laboratory sheet as PDF: for each dip what to pipette from which solution,
 * before that how the solutions are made, and room for what was read and by whom.
 *
 * Layer: card. A4 upright, as many pages as it takes. The amounts are those of
 * core/recipe/mdr_dispense.h; nothing is reckoned here but the sum of a recipe. Masses g, volumes mL,
 * concentrations g/L, depths % on weight of fabric.
 * Sources: docs/methods/recipe-dispense.md
 */
#ifndef MDR_LAB_SHEET_H
#define MDR_LAB_SHEET_H

#include "card/mdr_card.h"
#include "core/recipe/mdr_dispense.h"

enum { MDR_LAB_DIPS_MAX = 12, MDR_LAB_LINES_MAX = 16 };

/* What is weighed in or pipetted besides dyes: which place of mdr_lab_pot_sheet.aux it has. */
enum { MDR_LAB_SALT, MDR_LAB_ALKALI, MDR_LAB_AUXES };

typedef struct mdr_lab_dip {
    const char *id;                         /* "" when it has none */
    const char *aux_why[MDR_LAB_AUXES];     /* where the amount comes from, "" when it was given */
    double depth_pct_owf[MDR_LAB_DYES_MAX]; /* of each dye; 0: none */
    double sample_g, ratio_l_per_kg;
    double aux_g_per_l[MDR_LAB_AUXES]; /* 0: none */
} mdr_lab_dip;

/* Texts are "" when not known. */
typedef struct mdr_lab_print {
    const char *place; /* whose laboratory */
    const char *shade, *cloth;
    const char *dye_id[MDR_LAB_DYES_MAX];
    const char *programme[MDR_LAB_LINES_MAX]; /* line by line */
    const mdr_lab_sheet *doses;               /* of as many pots as there are dips */
    const mdr_lab_dip *dips;
    const double *stock_g_per_l;
    uint32_t cautions; /* of all that is handled */
    int n_dyes, n_programme;
    int round; /* of dips of this shade; 0: not said */
    bool invented;
} mdr_lab_print;

/* errors: MDR_E_RANGE a row higher than a page; MDR_E_NOMEM; MDR_E_IO */
mdr_code mdr_card_laboratory(const mdr_lab_print *what, const mdr_card_print *print,
                             mdr_arena *arena, unsigned char **pdf, size_t *len,
                             mdr_err *err) MDR_MUST_CHECK;

#endif
