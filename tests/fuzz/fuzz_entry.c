/* Any bytes as an entry of a tablet, and as the body of a stored event: refused with a reason, or what
 * is stored of it comes back letter by letter when it is read and written again. */
#include <stdint.h>
#include <string.h>

#include "wire/mdr_run_doc.h"
#include "wire/mdr_wire.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

/* What was read can be stored, and the stored text says the same. */
static void round_trip(const mdr_event *e, mdr_arena *arena)
{
    char *text = NULL, *again = NULL;
    size_t len = 0, len_again = 0;
    mdr_err err = {0};
    mdr_event back = mdr_event_none(e->kind);
    const mdr_code rc = mdr_wire_event_write(e, arena, &text, &len, &err);
    if (rc != MDR_OK) {
        require(err.msg[0] != '\0');
        return;
    }
    require(len >= 2 && text[0] == '{' && text[len - 1] == '}');
    if (e->kind ==
        MDR_EVENT_REMEDY) { /* its steps are filled in by the server before it is stored */
        return;
    }
    require(mdr_wire_event_read(text, len, arena, &back, &err) == MDR_OK);
    require(mdr_wire_event_write(&back, arena, &again, &len_again, &err) == MDR_OK);
    require(len == len_again && memcmp(text, again, len) == 0);
}

static void as_entry(const char *text, size_t len, mdr_arena *arena)
{
    mdr_entry in;
    mdr_err err = {0};
    mdr_err_list found = mdr_err_list_make(arena, 20);
    if (mdr_wire_entry_read(text, len, arena, &found, &in, &err) != MDR_OK) {
        require(err.code != MDR_OK && err.msg[0] != '\0');
        require(mdr_wire_error(&err, &found, arena)[0] == '{');
        return;
    }
    require((int)in.event.kind >= 0 && in.event.kind < MDR_EVENT_COUNT);
    require(in.event.entry_id != NULL && in.event.step != NULL && in.event.text != NULL);
    require(in.sent_utc_ms >= 0 && in.event.device_utc_ms >= 0);
    round_trip(&in.event, arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
    require(arena != NULL);
    as_entry((const char *)data, size, arena);
    if (size > 0) {
        mdr_err err = {0};
        mdr_event e = mdr_event_none((mdr_event_kind)(data[0] % MDR_EVENT_COUNT));
        if (mdr_wire_event_read((const char *)data + 1, size - 1, arena, &e, &err) == MDR_OK) {
            round_trip(&e, arena);
        } else {
            require(err.msg[0] != '\0');
        }
    }
    mdr_arena_free(arena);
    return 0;
}
