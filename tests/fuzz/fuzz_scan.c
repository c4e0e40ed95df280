/* Any bytes from a scanner: refused with a reason and a place, or a label that keeps its promises;
 * our own comes back letter by letter when it is written again. */
#include <stdint.h>
#include <string.h>

#include "core/run/mdr_scan.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

static void check_goods(const mdr_scan *s)
{
    require(strlen(s->gtin) == 14 || s->gtin[0] == '\0');
    require(strlen(s->supplier_lot) <= MDR_SCAN_GS1_TEXT_MAX);
    require(strlen(s->serial) <= MDR_SCAN_GS1_TEXT_MAX);
    require(s->gtin[0] != '\0' || s->supplier_lot[0] != '\0' || s->serial[0] != '\0');
    require(s->mass_mg >= 0 && s->mass_mg <= INT64_C(999999000000));
    require(s->has_made || s->made_utc_ms == 0);
    require(s->has_expiry || s->expiry_utc_ms == 0);
    require(s->made_utc_ms % 86400000 == 0 && s->expiry_utc_ms % 86400000 == 0);
    require(s->id[0] == '\0' && s->item == 0);
}

static void check_own(const mdr_scan *s, const uint8_t *data, size_t size, mdr_arena *arena)
{
    const char *again = NULL;
    require(s->id[0] != '\0' && s->gtin[0] == '\0');
    if (s->kind == MDR_SCAN_WEIGHING) {
        require(mdr_scan_write_weighing(s->id, s->step, s->item, arena, &again, NULL) == MDR_OK);
    } else {
        require(s->item == 0 && mdr_scan_write(s->kind, s->id, arena, &again, NULL) == MDR_OK);
    }
    const size_t n = strlen(again);
    size_t at = 0;
    while (at + n <= size && memcmp(data + at, again, n) != 0) {
        at++;
    }
    require(at + n <= size);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mdr_scan s;
    mdr_err err = {0};
    mdr_arena *arena = mdr_arena_new((size_t)1 << 16);
    if (arena == NULL) {
        return 0;
    }
    if (mdr_scan_read((const char *)data, size, 2026, arena, &s, &err) != MDR_OK) {
        require(err.msg[0] != '\0' && strncmp(err.place, "scan:", 5) == 0);
        for (const char *c = err.value; *c != '\0'; c++) {
            require(*c >= 0x20 && *c < 0x7F);
        }
    } else if (s.kind == MDR_SCAN_GOODS) {
        check_goods(&s);
    } else {
        check_own(&s, data, size, arena);
    }
    mdr_arena_free(arena);
    return 0;
}
