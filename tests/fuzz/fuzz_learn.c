/* Any bytes as a book of lots: it is refused with a place, or it is learned from and can be written. */
#include <stdint.h>
#include <string.h>

#include "app/mdr_app_learn.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mdr_learn_in in;
    mdr_blob json;
    mdr_err err = {0};
    mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
    if (arena == NULL) {
        return 0;
    }
    const mdr_blob text = {(const char *)data, size};
    if (mdr_app_learn_read("f.csv", text, arena, NULL, &in, &err) != MDR_OK) {
        require(err.msg[0] != '\0');
        require(err.code == MDR_E_NOMEM || strncmp(err.place, "f.csv", 5) == 0);
    } else {
        for (int i = 0; i < in.n; i++) {
            require(in.lots[i].lot_id[0] != '\0');
        }
        in.base = (int)(size % 30);
        in.long_list = size % 2 == 0;
        if (mdr_app_learn_json(&in, arena, &json, &err) == MDR_OK) {
            require(json.len > 2 && json.bytes[json.len - 1] == '}');
        } else { /* what was read can be too much, never wrong */
            require(err.code == MDR_E_NOMEM || err.code == MDR_E_ARG);
        }
    }
    mdr_arena_free(arena);
    return 0;
}
