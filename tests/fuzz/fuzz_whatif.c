/* Any bytes as a what-if: refused with a reason, or within its ranges. */
#include <stdint.h>

#include "core/plan/mdr_records.h"
#include "wire/mdr_wire.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

static void check_id(const char *id)
{
    require(id == NULL || mdr_id_valid(id));
}

/* What was taken is within the ranges of docs/formats.md. */
static void check_taken(const mdr_what_if *w)
{
    check_id(w->machine_id);
    check_id(w->route_id);
    require(!w->has_load || w->load_kg == 0 || (w->load_kg >= 0.1 && w->load_kg <= 5000));
    require(!w->has_ratio || (w->ratio_l_per_kg >= 2 && w->ratio_l_per_kg <= 40));
    require(!w->has_speed || w->speed_m_per_min == 0 ||
            (w->speed_m_per_min >= 1 && w->speed_m_per_min <= 1000));
    require(!w->has_tubes || (w->tubes_used >= 0 && w->tubes_used <= 16));
    require(w->revision >= 0);
    require(w->route == NULL || mdr_route_check_all(w->route, NULL, NULL) == MDR_OK);
}

static void check_faults(const mdr_err_list *found, const mdr_err *err)
{
    require(err->msg[0] != '\0' && found->count > 0 && found->total >= found->count);
    for (int i = 0; i < found->count; i++) {
        require(found->items[i].msg[0] != '\0');
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mdr_arena *arena = mdr_arena_new(64 << 20);
    require(arena != NULL);
    mdr_err_list found = mdr_err_list_make(arena, 50);
    mdr_what_if w;
    mdr_err err = {0};
    if (mdr_wire_what_if_read((const char *)data, size, arena, &found, &w, &err) == MDR_OK) {
        check_taken(&w);
    } else {
        check_faults(&found, &err);
    }
    require(mdr_wire_error(&err, &found, arena)[0] == '{');
    mdr_arena_free(arena);
    return 0;
}
