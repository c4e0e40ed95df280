/* Any bytes as a route: refused with a reason, or read, written and read again to the same text. */
#include <stdint.h>
#include <string.h>

#include "wire/mdr_wire.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mdr_arena *arena = mdr_arena_new(64 << 20);
    require(arena != NULL);
    mdr_err_list found = mdr_err_list_make(arena, 50);
    const mdr_route *route = NULL;
    mdr_err err = {0};
    if (mdr_wire_route_read((const char *)data, size, arena, &found, &route, &err) != MDR_OK) {
        require(err.msg[0] != '\0' && route == NULL);
        mdr_arena_free(arena);
        return 0;
    }
    const mdr_route *again = NULL;
    char *text[2] = {NULL, NULL};
    size_t len[2] = {0, 0};
    require(mdr_wire_route_write(route, arena, &text[0], &len[0], NULL) == MDR_OK);
    require(mdr_wire_route_read(text[0], len[0], arena, NULL, &again, NULL) == MDR_OK);
    require(mdr_wire_route_write(again, arena, &text[1], &len[1], NULL) == MDR_OK);
    require(len[0] == len[1] && memcmp(text[0], text[1], len[0]) == 0);
    mdr_arena_free(arena);
    return 0;
}
