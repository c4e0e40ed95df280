/*
 * mdr_stock.h - what the weigh room keeps in the mill: scales, weighing classes, containers of
 * deliveries, and the moves of stock.
 *
 * A *stock lot* is one container, or several alike of one delivery under one label. A *move* is mass
 * that came, was weighed out, or was found to be more or less; it is never changed or taken away. The
 * stock of a material is the opening stock of its table and the sum of its moves: that is what
 * mdr_material.stock_kg of mdr_mill_masters is.
 *
 * Layer: mill. Masses are whole milligrams, times UTC ms. Format: docs/formats.md
 */
#ifndef MDR_STOCK_H
#define MDR_STOCK_H

#include "core/run/mdr_weigh.h"
#include "mill/mdr_mill.h"

#define MDR_STOCK_MOVES(X)                         \
    X(MDR_STOCK_RECEIVED, "received", "Received")  \
    X(MDR_STOCK_WEIGHED, "weighed", "Weighed out") \
    X(MDR_STOCK_ADJUSTED, "adjusted", "Counted anew")
typedef enum mdr_stock_kind { MDR_STOCK_MOVES(MDR_ENUM_MEMBER) } mdr_stock_kind;
const char *mdr_stock_kind_id(mdr_stock_kind k);
const char *mdr_stock_kind_words(mdr_stock_kind k);

typedef struct mdr_stock_lot {
    const char *stock_lot_id, *material_id;
    const char *supplier_lot, *remark; /* "" */
    int64_t expiry_utc_ms;             /* midnight of the last good day; 0: keeps */
    /* from its moves */
    int64_t received_mg, left_mg;
    int64_t received_utc_ms, opened_utc_ms; /* first move, first weighing; 0: none */
} mdr_stock_lot;

/* All of it, each sorted by its id. */
typedef struct mdr_weighing {
    const mdr_scale *scales;
    const mdr_weigh_class *classes;
    const mdr_stock_lot *lots;
    int n_scales, n_classes, n_lots;
} mdr_weighing;
mdr_code mdr_mill_weighing(mdr_mill *mill, mdr_arena *arena, mdr_weighing *out,
                           mdr_err *err) MDR_MUST_CHECK;
/* NULL when there is none. */
const mdr_scale *mdr_weighing_scale(const mdr_weighing *w, const char *scale_id);
const mdr_weigh_class *mdr_weighing_class(const mdr_weighing *w, const char *class_id);
const mdr_stock_lot *mdr_weighing_lot(const mdr_weighing *w, const char *stock_lot_id);
typedef struct mdr_stock_move {
    const char *entry_id; /* made by the device, 8..80 bytes: the same twice is booked once */
    mdr_stock_kind kind;
    const char *material_id;
    const char *stock_lot_id; /* "": not known; RECEIVED needs it */
    int64_t mass_mg;          /* RECEIVED > 0, WEIGHED < 0, ADJUSTED what it is more */
    int64_t at_utc_ms;
    const char *by;
    const char *batch_id, *text; /* "" ; ADJUSTED needs a text: why */
} mdr_stock_move;

/*
 * Books one move. *again: this entry was booked before, nothing changed.
 *   errors  MDR_E_NOTFOUND "material_id", "stock_lot"; MDR_E_CONFLICT "entry_id" booked before with
 *           other content, "stock_lot" holds another material; MDR_E_ARG "entry_id", "by", "text",
 *           MDR_E_RANGE "mass_mg"
 */
mdr_code mdr_mill_stock_book(mdr_mill *mill, const mdr_stock_move *move, bool *again,
                             mdr_err *err) MDR_MUST_CHECK;
/*
 * A delivery: the container and the move, in one transaction. `move->stock_lot_id`, `material_id` and
 * `kind` are those of the lot.
 *   errors  as above; MDR_E_CONFLICT "stock_lot" this number is taken; MDR_E_ARG "stock_lot" no id
 */
mdr_code mdr_mill_stock_receive(mdr_mill *mill, const mdr_stock_lot *lot,
                                const mdr_stock_move *move, bool *again,
                                mdr_err *err) MDR_MUST_CHECK;

#endif
