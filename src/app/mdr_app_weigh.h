/*
 * mdr_app_weigh.h - the weigh room: what is to be weighed, in the order the floor needs it; weighings
 * judged and booked; deliveries; labels and what a scanner read.
 *
 * Layer: app. Methods: docs/methods/weighing.md; documents and answers: docs/api.md
 */
#ifndef MDR_APP_WEIGH_H
#define MDR_APP_WEIGH_H

#include "app/mdr_app_run.h"
#include "core/run/mdr_clash.h"
#include "core/run/mdr_scan.h"
#include "mill/mdr_stock.h"
#include "wire/mdr_json.h"

/* X(enumerator, id, words) */
#define MDR_WEIGH_STATES(X)                                       \
    X(MDR_WEIGH_TO_WEIGH, "to-weigh", "To weigh")                 \
    X(MDR_WEIGH_TO_CHECK, "to-check", "Another person checks it") \
    X(MDR_WEIGH_DONE, "weighed", "Weighed")
typedef enum mdr_weigh_state { MDR_WEIGH_STATES(MDR_ENUM_MEMBER) } mdr_weigh_state;
const char *mdr_weigh_state_id(mdr_weigh_state k);
const char *mdr_weigh_state_words(mdr_weigh_state k);

/* One item of one dose. */
typedef struct mdr_app_weigh_line {
    mdr_weigh_turn turn;
    const mdr_batch *batch;
    const mdr_batch_step *step;
    const mdr_control_item *item;
    const mdr_batch_item *weighed;
    const mdr_material *material; /* NULL: it was taken out of its table since */
    mdr_weigh_class class;
    mdr_weigh_window window;
    mdr_weigh_way way;
    mdr_weigh_state state;
    mdr_stock_view stock; /* of the material, over all that is still to be weighed */
    bool two_persons;     /* by its class, or because it was more than the tolerance */
} mdr_app_weigh_line;

typedef struct mdr_app_weigh_list {
    const mdr_app_weigh_line *lines;
    int n;
    mdr_weighing mill;
    int64_t now_utc_ms;
} mdr_app_weigh_list;
/* All doses of open batches that have not begun. Points into the records of the app and the arena. */
mdr_code mdr_app_weigh_lines(mdr_app *app, int64_t now_utc_ms, mdr_arena *arena,
                             mdr_app_weigh_list *out, mdr_err *err) MDR_MUST_CHECK;
/* How a material is weighed: its class, or the usual one. */
mdr_weigh_class mdr_app_weigh_class(const mdr_weighing *w, const mdr_material *material);
/* It was weighed, and another person has still to check it. */
bool mdr_app_weigh_waits(mdr_app *app, const mdr_weighing *w, const mdr_control_item *item,
                         const mdr_batch_item *weighed);
/* Members "to_check" (what of the batch waits for that) and "check_blocks" (whether its doses may not begin
 * until then). */
mdr_code mdr_app_weigh_put_waits(mdr_app *app, const mdr_batch *b, mdr_json *j, mdr_arena *arena,
                                 mdr_err *err) MDR_MUST_CHECK;
/* How to weigh it, as sentences; returns how many. errors: none, texts that find no memory are left
 * out. */
enum { MDR_WEIGH_ADVICE_MAX = 4 };
int mdr_app_weigh_advice(const mdr_app_weigh_list *list, const mdr_app_weigh_line *line,
                         mdr_arena *arena, const char *out[MDR_WEIGH_ADVICE_MAX]);
mdr_code mdr_app_weighing_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                               mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;

/* -- entries into the record of a batch; called within its transaction -- */

/* Takes a weighing that fits the batch (mdr_batch_may): within its tolerance or with a reason, out of a
 * container that holds the material and is not past its date; then books it. What an earlier weighing
 * of the item took is put back first.
 *   errors  MDR_E_ARG "text"; MDR_E_RANGE "mass_mg"; MDR_E_NOTFOUND, MDR_E_CONFLICT "stock_lot";
 *           MDR_E_NOTFOUND "scale_id" */
mdr_code mdr_app_weigh_take(mdr_app *app, const mdr_batch *b, const mdr_event *e, mdr_arena *arena,
                            mdr_err *err) MDR_MUST_CHECK;

/* In a mill with people a dose begins when each of its weighings that asks for it was checked.
 *   errors  MDR_E_CONFLICT "step" */
mdr_code mdr_app_weigh_checked(mdr_app *app, const mdr_batch *b, const mdr_event *e,
                               mdr_arena *arena, mdr_err *err) MDR_MUST_CHECK;
/* Books what a corrected mass or container of the weighing that counts makes of the stock, as moves of
 * their own.
 *   errors  MDR_E_RANGE "is"; MDR_E_NOTFOUND, MDR_E_CONFLICT "is" no container of the material */
mdr_code mdr_app_weigh_correct(mdr_app *app, const mdr_batch *b, const mdr_event *e,
                               mdr_arena *arena, mdr_err *err) MDR_MUST_CHECK;

/* -- questions and changes by a document -- */

/* Was it right? scale_id "": not known. */
typedef struct mdr_app_weigh_question {
    const char *material_id, *scale_id;
    int64_t target_mg, mass_mg;
} mdr_app_weigh_question;
/* errors: MDR_E_NOTFOUND "material_id", "scale_id"; MDR_E_RANGE "target_mg", "mass_mg" */
mdr_code mdr_app_weigh_verdict(mdr_app *app, const mdr_app_weigh_question *q, mdr_arena *arena,
                               mdr_weigh_judged *out, const char **class_id,
                               mdr_err *err) MDR_MUST_CHECK;
/* A label that was read, and what it stands for; NULL: the mill has none of this number. */
typedef struct mdr_app_scan_found {
    mdr_scan scan;
    const char *name, *material_id;
} mdr_app_scan_found;
/* errors: as mdr_scan_read */
mdr_code mdr_app_scanned(mdr_app *app, const char *text, int64_t now_utc_ms, mdr_arena *arena,
                         mdr_app_scan_found *out, mdr_err *err) MDR_MUST_CHECK;

/* {"material_id", "target_mg", "mass_mg", "scale_id"?}: the verdict with its figures. */
mdr_code mdr_app_weigh_judge(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* {"text"}: what label it is and what it stands for in the mill. */
mdr_code mdr_app_scan(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                      mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* What is kept: each dye and chemical with its stock. */
mdr_code mdr_app_stock_json(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                            mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* {"entry_id", "stock_lot_id", "material_id", "mass_mg", "supplier_lot"?, "expiry"?, "remark"?}: a
 * delivery. */
mdr_code mdr_app_stock_receive(mdr_app *app, const mdr_app_run_ask *ask, mdr_arena *arena,
                               mdr_err_list *found, mdr_blob *out, mdr_err *err) MDR_MUST_CHECK;
/* Labels for the portions of a batch, PDF; step "" for all. errors: MDR_E_NOTFOUND */
mdr_code mdr_app_weigh_labels(mdr_app *app, const mdr_app_run_ask *ask, const char *step,
                              const char *printed_at, mdr_arena *arena, mdr_blob *out,
                              mdr_err *err) MDR_MUST_CHECK;

#endif
