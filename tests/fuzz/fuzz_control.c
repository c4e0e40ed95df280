/* Any bytes as the frozen plan of a batch, as it lies in the mill file: refused with a reason, or a batch
 * can be opened on it, and it is written as it was read. */
#include <stdint.h>
#include <string.h>

#include "core/run/mdr_batch.h"
#include "wire/mdr_run_doc.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const mdr_control *control = NULL, *again = NULL;
    char *text[2] = {NULL, NULL};
    size_t len[2] = {0, 0};
    mdr_batch batch;
    mdr_err err = {0};
    mdr_arena *arena = mdr_arena_new((size_t)128 << 20);
    require(arena != NULL);
    if (mdr_wire_control_read((const char *)data, size, arena, &control, &err) != MDR_OK) {
        require(err.msg[0] != '\0' && control == NULL);
    } else if (mdr_wire_control_write(control, arena, &text[0], &len[0], &err) == MDR_OK) {
        require(mdr_wire_control_read(text[0], len[0], arena, &again, &err) == MDR_OK);
        require(mdr_wire_control_write(again, arena, &text[1], &len[1], &err) == MDR_OK);
        require(len[0] == len[1] && memcmp(text[0], text[1], len[0]) == 0);
        if (mdr_batch_open("B-1", control, arena, &batch, &err) != MDR_OK) {
            require(err.msg[0] != '\0');
        }
    } else {
        require(err.msg[0] != '\0');
    }
    mdr_arena_free(arena);
    return 0;
}
