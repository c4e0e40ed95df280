/*
 * mdr_shorten_out.h - the answer to the search for a shorter dyeing, put together by app.
 *
 * Layer: wire. Document: docs/api.md, POST /api/lots/{id}/shorten.
 */
#ifndef MDR_SHORTEN_OUT_H
#define MDR_SHORTEN_OUT_H

#include "core/exhaust/mdr_dye_shorten.h"
#include "wire/mdr_dyeing_out.h"

/* One point of the trade-off, and what it would change in the mill. */
typedef struct mdr_shorten_offer {
    const mdr_shorten_point *point;
    const bool *changed;          /* [step] */
    const char *const *why_words; /* [step] */
    const char *const *changes;   /* sentences */
    int n_changes;
    const mdr_route *route; /* with the changes */
} mdr_shorten_offer;

typedef struct mdr_shorten_answer {
    const mdr_dyeing_out *dyeing; /* of the programme that is to be shortened; not run */
    /* everything below: unless dyeing->planned->missing */
    const mdr_shorten_in *in;
    const mdr_shorten_out *out;
    double de_limit, fixing_limit_de, de_per_spread; /* CMC(2:1), and for a spread of 1 */
    const double *kg;                                /* [dye] */
    mdr_shorten_offer *offers;                       /* one a point */
    int lots_on_route;
    const char *words;
    const mdr_dyeing_reason *why; /* what it rests on */
    const char *notes[8];
    int n_notes;
} mdr_shorten_answer;

/* errors: MDR_E_NOMEM */
mdr_code mdr_wire_shorten(const mdr_shorten_answer *answer, mdr_arena *arena, char **text,
                          size_t *len, mdr_err *err) MDR_MUST_CHECK;

#endif
