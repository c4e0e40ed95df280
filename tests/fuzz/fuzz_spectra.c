/* Any bytes as a file of spectra: refused with a reason and nothing else, or spectra that can be
 * computed with. */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "core/colour/mdr_cielab.h"
#include "wire/mdr_spectra.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

static void look_at(const mdr_spectra_item *item)
{
    require(item->name != NULL && item->id != NULL && item->kind != NULL &&
            item->condition != NULL);
    require(item->spectrum != NULL || item->has_lab);
    require(!item->has_lab ||
            (isfinite(item->lab.l) && isfinite(item->lab.a) && isfinite(item->lab.b)));
    if (item->spectrum != NULL) {
        require(mdr_spectrum_check(item->spectrum, NULL) == MDR_OK);
        const mdr_lab lab = mdr_lab_of_spectrum(item->spectrum, MDR_ILL_D65, MDR_OBSERVER_10);
        require(isfinite(lab.l) && isfinite(lab.a) && isfinite(lab.b));
        const mdr_curve curve = mdr_curve_of_spectrum(item->spectrum, NULL);
        for (int i = 0; i < MDR_BANDS; i++) {
            require(curve.v[i] >= 0.0 && isfinite(curve.v[i]));
        }
    }
}

static void read(const mdr_spectra_file *file, mdr_spectra_options options)
{
    mdr_arena *arena = mdr_arena_new(256 << 20);
    require(arena != NULL);
    mdr_err_list found = mdr_err_list_make(arena, 50), notices = mdr_err_list_make(arena, 50);
    const mdr_spectra *got = NULL;
    mdr_err err = {0};
    const mdr_code rc =
        mdr_spectra_read(file, &options, arena, (mdr_spectra_report){&found, &notices}, &got, &err);
    if (rc != MDR_OK) {
        require(got == NULL && err.msg[0] != '\0' && err.code == rc);
        require(rc == MDR_E_NOMEM || found.total > 0);
    } else {
        require(got != NULL && got->n > 0 && found.total == 0);
        for (int i = 0; i < got->n && i < 20; i++) {
            look_at(&got->items[i]);
        }
    }
    mdr_arena_free(arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const mdr_spectra_file file = {"fuzz", (const char *)data, size};
    read(&file, (mdr_spectra_options){MDR_SCALE_UNKNOWN, false});
    read(&file, (mdr_spectra_options){MDR_SCALE_PERCENT, true});
    return 0;
}
