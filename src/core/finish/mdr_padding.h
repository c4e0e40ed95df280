/*
 * mdr_padding.h - softener or finish on the padder: strength of the bath, of the feed, and of the
 * trough to begin with.
 *
 * Padded onto wet fabric, the water that comes in goes out again with the bath: the trough thins
 * until it stands at what the fabric carries away. Start it there, and feed stronger; else the
 * first metres hold more than the last (tailing).
 *
 * Layer: core/finish (pure). Liquor taken as fully interchanged with the water in the fabric, and
 * the product as not drawn to the fibre (a substantive softener thins the trough further).
 * Methods: docs/methods/finishing.md#padding
 *
 * Sources (keys of docs/sources.md)
 *   [mass-balance]  dry on wet, wet on wet
 *
 * Symbols: add_on kg of product per kg of fabric; pick-up kg of liquor per kg of the SAME fabric
 * (both on bone dry, or both on conditioned); strength kg of product per kg of liquor.
 */
#ifndef MDR_PADDING_H
#define MDR_PADDING_H

#include "base/mdr_err.h"

typedef struct mdr_padding {
    double trough_kg_per_kg; /* to fill the trough with, and what it then stays at */
    double feed_kg_per_kg;   /* to top it up with */
    double feed_kg;          /* feed liquor that this much fabric takes up */
    double product_kg;       /* in that feed; the trough's own content comes on top */
} mdr_padding;

/* Product that a bath leaves on fabric padded dry. */
double mdr_padding_add_on_kg_per_kg(double bath_kg_per_kg, double pickup_kg_per_kg);

/*
 *   add_on_kg_per_kg      0 .. 1
 *   pickup_in_kg_per_kg   0 .. 3; 0: dry fabric, then feed and trough are the same
 *   pickup_out_kg_per_kg  0 .. 3
 *   fabric_kg             0 .. 1e6, counted as the pick-up is
 *   errors  MDR_E_RANGE   one of these
 *           MDR_E_INFEAS  (place "pickup_out_kg_per_kg") the fabric leaves no wetter than it comes,
 *                         so there is no room for feed; or (place "add_on_kg_per_kg") the feed
 *                         would have to be stronger than the product as delivered
 */
mdr_code mdr_padding_make(double add_on_kg_per_kg, double pickup_in_kg_per_kg,
                          double pickup_out_kg_per_kg, double fabric_kg, mdr_padding *out,
                          mdr_err *err) MDR_MUST_CHECK;

#endif
