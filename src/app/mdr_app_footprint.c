/* The chemistry of a lot over its time, and its footprint beside that of another route. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "wire/mdr_wire.h"

mdr_code mdr_app_chemistry_json(mdr_app *app, const char *lot_id, mdr_blob what_if,
                                mdr_arena *arena, mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    const mdr_plan *plan = NULL;
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_app_plan(app, lot_id, what_if, arena, found, &plan, err));
    MDR_TRY(mdr_wire_chemistry(plan, arena, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

/* Both plans are made from one look at the records: a plan points into them. */
mdr_code mdr_app_compare(mdr_app *app, const char *lot_id, const char *against, mdr_arena *arena,
                         const mdr_plan **plan, const mdr_plan **other, mdr_err *err)
{
    mdr_app_desk desk;
    const mdr_plan *second = NULL;
    MDR_TRY(mdr_app_desk_set(app, lot_id, (mdr_blob){0}, arena, NULL, &desk, err));
    mdr_plan_in in = desk.in;
    const mdr_plan *first = NULL;
    MDR_TRY(mdr_plan_make(&in, arena, &first, err));
    if (against != NULL && against[0] != '\0') {
        const mdr_code rc = mdr_app_route_resolved(app, against, &desk.in.route, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "against");
            return rc;
        }
        MDR_TRY(mdr_app_desk_gather(app, &desk, arena, err));
        MDR_TRY(mdr_plan_make(&desk.in, arena, &second, err));
    }
    *plan = first;
    *other = second;
    return MDR_OK;
}

mdr_code mdr_app_footprint_json(mdr_app *app, const char *lot_id, const char *against,
                                mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    const mdr_plan *plan = NULL;
    const mdr_plan *other = NULL;
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_app_compare(app, lot_id, against, arena, &plan, &other, err));
    MDR_TRY(mdr_wire_footprint(plan, other, arena, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}
