/* Any bytes as a question to the desks of bath, fabric and line: refused with a reason, or answered
 * with JSON. */
#include <stdint.h>
#include <string.h>

#include "app/mdr_app_bath.h"
#include "app/mdr_app_fabric.h"
#include "app/mdr_app_line.h"
#include "wire/mdr_wire.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

typedef mdr_code desk(mdr_blob question, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                      mdr_err *err);

static void ask(desk *json, mdr_blob question)
{
    mdr_arena *arena = mdr_arena_new(64 << 20);
    require(arena != NULL);
    mdr_err_list found = mdr_err_list_make(arena, 50);
    mdr_err err = {0};
    mdr_blob answer = {0};
    if (json(question, arena, &found, &answer, &err) == MDR_OK) {
        require(answer.len > 2 && answer.bytes[0] == '{');
        /* a number that is none would be written as null or as a word */
        require(memchr(answer.bytes, 'N', answer.len) == NULL ||
                strstr(answer.bytes, "NaN") == NULL);
    } else {
        require(err.msg[0] != '\0');
        require(mdr_wire_error(&err, &found, arena)[0] == '{');
    }
    mdr_arena_free(arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const mdr_blob question = {.bytes = (const char *)data, .len = size};
    ask(mdr_app_bath_json, question);
    ask(mdr_app_fabric_json, question);
    ask(mdr_app_line_json, question);
    return 0;
}
