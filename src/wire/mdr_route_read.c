#include "wire/mdr_route_shape.h"
#include "wire/mdr_wire.h"

mdr_code mdr_wire_route_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                             const mdr_route **out, mdr_err *err)
{
    mdr_reader r = {.arena = arena, .found = found};
    mdr_route *route = MDR_NEW(arena, mdr_route);
    if (route == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to read the route");
    }
    json_t *doc = mdr_reader_parse(&r, text, len, MDR_WIRE_ROUTE_MAX);
    if (doc != NULL) {
        *route = *(const mdr_route *)mdr_route_shape.absent;
        mdr_reader_fill(&r, doc, &mdr_route_shape, route);
        json_decref(doc);
    }
    MDR_TRY(mdr_reader_done(&r, err));
    MDR_TRY(mdr_route_check_all(route, found, err));
    *out = route;
    return MDR_OK;
}
