/*
 * mdr_app_bulk.h - laboratory to bulk, offered with a recipe: what the lots taught of each dye for a
 * shade on a machine, and a laboratory's recipe with it.
 *
 * Layer: app. An offer changes nothing: who takes it says so (PUT /api/shades/{id}/recipe), and the
 * recipe then carries the factor. Methods: docs/methods/laboratory-to-bulk.md#with-the-recipe
 * Sources: [normal-normal] by core/quality/mdr_bulk_factor.h
 */
#ifndef MDR_APP_BULK_H
#define MDR_APP_BULK_H

#include "app/mdr_app_learn.h"

/* For which shade on which machine; best_guess: factors whose range holds 1 too. */
typedef struct mdr_bulk_ask {
    const char *shade_id, *machine_id;
    bool best_guess;
} mdr_bulk_ask;

typedef struct mdr_bulk_offer {
    const char *dye_id;
    double multiply;   /* to 0.001; 1: not offered, `use` says why */
    const char *words; /* factor, range, what it rests on, what became of it */
    mdr_bulk_known known;
    mdr_bulk_use use;
} mdr_bulk_offer;

typedef struct mdr_bulk_offers {
    mdr_bulk_ask asked;
    const mdr_bulk_offer *of; /* dyes that any lot was dyed with, by id */
    int n, lots;              /* lots that were looked at */
} mdr_bulk_offers;

/*
 * Everything is copied into the arena, but for the texts of `ask`.
 *   errors  as mdr_app_learn
 */
mdr_code mdr_app_bulk_offers(const mdr_learn_in *in, const mdr_bulk_ask *ask, mdr_arena *arena,
                             const mdr_bulk_offers **out, mdr_err *err) MDR_MUST_CHECK;
/* From the lots of the mill; the texts of `ask` are copied too.
 *   errors  MDR_E_NOTFOUND "shade", "machine": there is none of this number */
mdr_code mdr_app_bulk_offers_mill(mdr_app *app, const mdr_bulk_ask *ask, mdr_arena *arena,
                                  const mdr_bulk_offers **out, mdr_err *err) MDR_MUST_CHECK;

/* NULL: no lot was dyed with it. */
const mdr_bulk_offer *mdr_bulk_offer_of(const mdr_bulk_offers *offers, const char *dye_id);
/* 1: nothing is offered for this dye. */
double mdr_bulk_offered(const mdr_bulk_offers *offers, const char *dye_id);
/* A depth times a factor as a recipe keeps it: to a millionth of a per cent. Total. */
double mdr_bulk_depth(double depth_pct_owf, double factor);

#endif
