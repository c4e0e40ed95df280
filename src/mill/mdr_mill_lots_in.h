/*
 * mdr_mill_lots_in.h - what reading one lot and listing many have in common.
 *
 * Layer: mill, inside only.
 */
#ifndef MDR_MILL_LOTS_IN_H
#define MDR_MILL_LOTS_IN_H

#include "mill/mdr_mill_rows.h"

/* A lot from its row and its order's, without rolls and revision. `masters` may be older than the
 * lot: then what the lot refers to can be absent.
 *   errors  MDR_E_CONFLICT */
mdr_code mdr_mill_lot_fill(const mdr_masters *masters, const mdr_row_lot *row,
                           const mdr_order *order, mdr_lot_full *out, mdr_err *err) MDR_MUST_CHECK;
/* MDR_E_CONFLICT: the mill was changed while it was read. */
mdr_code mdr_mill_lot_stale(const char *lot_id, mdr_err *err);
/* MDR_E_NOTFOUND with up to five of the lots there are. */
mdr_code mdr_mill_lot_unknown(mdr_mill *mill, const char *lot_id, mdr_err *err);

#endif
