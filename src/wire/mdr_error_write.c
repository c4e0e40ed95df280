#include "wire/mdr_json.h"
#include "wire/mdr_wire.h"

/* What is said when there is no memory left to say more. */
static const char NO_ROOM[] =
    "{\"error\":{\"code\":\"no_memory\",\"message\":\"memory limit reached\",\"place\":\"\","
    "\"value\":\"\",\"allowed\":\"\",\"remedy\":\"try again with less at once\",\"more\":[],"
    "\"total\":1}}";

static void put_error(mdr_json *j, const mdr_err *e)
{
    mdr_json_text(j, "code", mdr_code_id(e->code));
    mdr_json_text(j, "message", e->msg);
    mdr_json_text(j, "place", e->place);
    mdr_json_text(j, "value", e->value);
    mdr_json_text(j, "allowed", e->allowed);
    mdr_json_text(j, "remedy", e->remedy);
}

const char *mdr_wire_error(const mdr_err *err, const mdr_err_list *found, mdr_arena *arena)
{
    mdr_json j = mdr_json_make(arena, 2048, false);
    mdr_json_object(&j, NULL);
    mdr_json_object(&j, "error");
    put_error(&j, err);
    mdr_json_array(&j, "more");
    /* the first finding is the error itself */
    for (int i = 0; found != NULL && i < found->count; i++) {
        mdr_json_object(&j, NULL);
        put_error(&j, &found->items[i]);
        mdr_json_end_object(&j);
    }
    mdr_json_end_array(&j);
    mdr_json_int(&j, "total", found != NULL && found->total > 0 ? found->total : 1);
    mdr_json_end_object(&j);
    mdr_json_end_object(&j);
    char *text = NULL;
    size_t len = 0;
    return mdr_json_done(&j, &text, &len, NULL) == MDR_OK ? text : NO_ROOM;
}
