/* Any bytes as a what-if: refused with a reason, or within its ranges. */
#include <math.h>
#include <stdint.h>

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
    mdr_what_if w;
    mdr_err err = {0};
    if (mdr_wire_what_if_read((const char *)data, size, arena, &found, &w, &err) != MDR_OK) {
        require(err.msg[0] != '\0');
    } else {
        require(!w.has_load || (w.load_kg >= 0.0 && w.load_kg <= 5000.0));
        require(!w.has_ratio || (w.ratio_l_per_kg >= 2.0 && w.ratio_l_per_kg <= 40.0));
        require(!w.has_speed || (isfinite(w.speed_m_per_min) && w.speed_m_per_min >= 0.0));
        require(w.revision >= 0);
    }
    mdr_arena_free(arena);
    return 0;
}
