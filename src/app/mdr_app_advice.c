/* Loading advice of an order. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "core/plan/mdr_say.h"
#include "wire/mdr_json.h"

static mdr_code order_of(mdr_app *app, const char *order_id, mdr_arena *arena,
                         const mdr_order **out, mdr_err *err)
{
    mdr_order *orders = NULL;
    int n = 0;
    MDR_TRY(mdr_mill_orders(app->mill, arena, &orders, &n, err));
    for (int i = 0; i < n; i++) {
        if (strcmp(orders[i].order_id, order_id) == 0) {
            *out = &orders[i];
            return MDR_OK;
        }
    }
    (void)MDR_FAIL(err, MDR_E_NOTFOUND, "order_id", "there is no such order");
    mdr_err_value(err, "%s", order_id);
    mdr_err_allowed(err, "one of the %d orders of the mill", n);
    if (n > 0) {
        mdr_err_remedy(err, "list them with: madder orders; the first is %s", orders[0].order_id);
    }
    return MDR_E_NOTFOUND;
}

mdr_code mdr_app_advice(mdr_app *app, const char *order_id, mdr_arena *arena, mdr_advice **out,
                        int *n_out, double *grey_kg, mdr_err *err)
{
    const mdr_order *order = NULL;
    MDR_TRY(mdr_app_refresh(app, err));
    MDR_TRY(order_of(app, order_id, arena, &order, err));
    const mdr_article *article = mdr_masters_article(&app->masters, order->article_id);
    if (article == NULL) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_NOTFOUND, "article_id", "the article of the order is not there");
        mdr_err_value(err, "%s", order->article_id);
        return rc;
    }
    const mdr_advice_in in = {.order_kg = mdr_grey_need_kg(order->ordered_kg, order->loss_pct),
                              .article = article,
                              .machines = app->masters.machines,
                              .n_machines = app->masters.n_machines};
    *grey_kg = in.order_kg;
    return mdr_advice_make(&in, arena, out, n_out, err);
}

static void put_way(mdr_json *j, const mdr_advice *a)
{
    mdr_json_object(j, NULL);
    mdr_json_text(j, "machine_id", a->machine->machine_id);
    mdr_json_text(j, "machine", a->machine->name);
    mdr_json_text(j, "kind", mdr_machine_kind_id((mdr_machine_kind)a->machine->kind));
    mdr_json_int(j, "lots", a->lots);
    mdr_json_number(j, "lot_kg", a->lot_kg);
    mdr_json_number(j, "fill_pct", a->fill_pct);
    mdr_json_number(j, "ratio_l_per_kg", a->ratio_l_per_kg);
    mdr_json_number(j, "liquor_l", a->liquor_l);
    mdr_json_number(j, "rope_m", a->rope_m);
    mdr_json_number(j, "cycle_min", a->cycle_min);
    mdr_json_bool(j, "suits", a->suits);
    mdr_json_array(j, "reasons");
    for (int i = 0; i < a->n_reasons; i++) {
        const char *text = mdr_say_warn(&a->reasons[i], j->arena);
        j->no_memory = j->no_memory || text == NULL;
        mdr_json_text(j, NULL, text);
    }
    mdr_json_end_array(j);
    mdr_json_end_object(j);
}

mdr_code mdr_app_advice_json(mdr_app *app, const char *order_id, mdr_arena *arena, mdr_blob *out,
                             mdr_err *err)
{
    enum { ADVICE_BYTES = 8 * 1024 };
    mdr_advice *ways = NULL;
    int n = 0;
    double grey_kg = 0.0;
    MDR_TRY(mdr_app_advice(app, order_id, arena, &ways, &n, &grey_kg, err));
    mdr_json j = mdr_json_make(arena, ADVICE_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_json_text(&j, "order_id", order_id);
    mdr_json_number(&j, "grey_kg", grey_kg);
    mdr_json_array(&j, "advice");
    for (int i = 0; i < n; i++) {
        put_way(&j, &ways[i]);
    }
    mdr_json_end_array(&j);
    mdr_json_end_object(&j);
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}
