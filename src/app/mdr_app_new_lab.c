/* The demo mill's measured samples: the records are a table, their readings stand in files of spectra
 * as an instrument would have written them. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_new.h"
#include "base/mdr_embedded.h"
#include "mill/mdr_bench.h"
#include "wire/mdr_spectra.h"

extern const mdr_embedded mdr_embed_demo[];

static mdr_code read_spectra(const char *path, mdr_arena *arena, const mdr_spectra **out,
                             mdr_err *err)
{
    const mdr_embedded *e = mdr_embed_demo;
    while (e->name != NULL && strcmp(e->name, path) != 0) {
        e++;
    }
    if (e->name == NULL) {
        return MDR_FAIL(err, MDR_E_NOTFOUND, path, "the demo mill lacks its spectra");
    }
    const mdr_spectra_file file = {path, (const char *)e->bytes, e->len};
    return mdr_spectra_read(&file, &(mdr_spectra_options){.scale = MDR_SCALE_PERCENT}, arena,
                            (mdr_spectra_report){NULL, NULL}, out, err);
}

static const mdr_spectrum *spectrum_of(const mdr_spectra *s, const char *name)
{
    for (int i = 0; i < s->n; i++) {
        if (strcmp(s->items[i].name, name) == 0) {
            return s->items[i].spectrum;
        }
    }
    return NULL;
}

mdr_code mdr_app_demo_readings(mdr_app *app, mdr_arena *arena, mdr_err *err)
{
    static const char *const PATHS[] = {"lab/samples.csv", "lab/dips.csv"};
    enum { N_PATHS = sizeof PATHS / sizeof PATHS[0] };
    const mdr_spectra *spectra[N_PATHS] = {NULL};
    mdr_bench bench;
    for (int f = 0; f < N_PATHS; f++) {
        MDR_TRY(read_spectra(PATHS[f], arena, &spectra[f], err));
    }
    MDR_TRY(mdr_mill_bench(app->mill, arena, &bench, err));
    for (int i = 0; i < bench.n_samples; i++) {
        mdr_bench_sample s = bench.samples[i];
        s.spectrum = NULL;
        for (int f = 0; f < N_PATHS && s.spectrum == NULL && spectra[f] != NULL; f++) {
            s.spectrum = spectrum_of(spectra[f], s.name);
        }
        if (s.spectrum == NULL) {
            return MDR_FAIL(err, MDR_E_NOTFOUND, s.sample_id, "the demo mill lacks its readings");
        }
        MDR_TRY(mdr_mill_sample_put(app->mill, &s, err));
    }
    return MDR_OK;
}
