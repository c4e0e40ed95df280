/*
 * mdr_weigh_label.h - labels for what was weighed: one a container, with a code that a scanner reads.
 *
 * Layer: card. 100 x 80 mm, a page each. What must be read from two steps away is large: product,
 * mass, lot; dangers stand as signs with their letters. docs/methods/weighing.md#labels-and-scanners
 */
#ifndef MDR_WEIGH_LABEL_H
#define MDR_WEIGH_LABEL_H

#include <stdint.h>

#include "card/mdr_card.h"

/* Texts are "" when not known. */
typedef struct mdr_weigh_label {
    const char *code; /* what the scanner reads; "" none */
    const char *name, *material_id;
    const char *lot_id, *machine_id, *bath, *step;
    int64_t mass_mg;    /* asked for */
    int64_t weighed_mg; /* 0: not yet */
    int64_t needed_utc_ms;
    uint32_t cautions;
    int number, numbers; /* of the portions */
} mdr_weigh_label;

typedef struct mdr_weigh_labels {
    const mdr_weigh_label *labels;
    int n;
    const char *batch_id, *place;
    bool invented;
} mdr_weigh_labels;

/* errors: MDR_E_NOTFOUND no labels; MDR_E_RANGE a label that no page holds; MDR_E_NOMEM; MDR_E_IO */
mdr_code mdr_card_weigh_labels(const mdr_weigh_labels *what, const mdr_card_print *print,
                               mdr_arena *arena, unsigned char **pdf, size_t *len,
                               mdr_err *err) MDR_MUST_CHECK;

#endif
