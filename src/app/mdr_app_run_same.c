/* An entry that comes again because the answer to it was lost. */
#include <string.h>

#include "app/mdr_app_run_in.h"
#include "app/mdr_app_shade.h"

/* What was made when the entry was stored is not in it when it is sent again: the steps of a remedy,
 * the difference of a sample. Who signed it then need not sign again. */
static mdr_code same_body(const mdr_event_row *there, const mdr_entry *in, mdr_arena *arena,
                          bool *same, mdr_err *err)
{
    const mdr_event *e = &in->event;
    char *body = NULL;
    size_t len = 0;
    mdr_event stored, mine = *e;
    MDR_TRY(mdr_app_run_event(there, arena, &stored, err));
    if (in->has_sample) {
        *same = stored.measured != NULL && strcmp(stored.step, e->step) == 0 &&
                mdr_app_shade_same(in, stored.measured, arena);
        return MDR_OK;
    }
    mine.meaning = stored.meaning;
    mine.signed_by = stored.signed_by;
    mine.signed_name = stored.signed_name;
    mine.signed_as = stored.signed_as;
    mine.signed_utc_ms = stored.signed_utc_ms;
    MDR_TRY(mdr_wire_event_write(&mine, arena, &body, &len, err));
    *same = e->kind == MDR_EVENT_REMEDY || strcmp(there->body, body) == 0;
    return MDR_OK;
}

mdr_code mdr_app_run_same(const mdr_event_row *there, const mdr_entry *in, mdr_arena *arena,
                          mdr_err *err)
{
    const mdr_event *e = &in->event;
    bool same = strcmp(there->batch_id, e->batch_id) == 0 &&
                strcmp(there->kind, mdr_event_id(e->kind)) == 0;
    if (same) {
        MDR_TRY(same_body(there, in, arena, &same, err));
    }
    if (same) {
        return MDR_OK;
    }
    const mdr_code rc =
        MDR_FAIL(err, MDR_E_CONFLICT, "entry_id", "another entry has this number already");
    mdr_err_value(err, "%s", e->entry_id);
    mdr_err_remedy(err, "give the new entry a number of its own");
    return rc;
}
