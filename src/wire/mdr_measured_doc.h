/*
 * mdr_measured_doc.h - a measured sample of a shade check: as an entry brings it, as the record keeps
 * it, as it is shown. docs/api.md, POST /api/batches/{id}/events.
 *
 * Layer: wire. The form that is stored is canonical, like all of an event (mdr_run_doc.h).
 */
#ifndef MDR_MEASURED_DOC_H
#define MDR_MEASURED_DOC_H

#include "core/run/mdr_measured.h"
#include "wire/mdr_file_text.h"
#include "wire/mdr_json.h"

/* What a device sends: one of the laboratory's samples, or a file of spectra. Texts are "" when not
 * given. */
typedef struct mdr_entry_sample {
    const char *sample_id;
    mdr_file_text file; /* name NULL: none */
    const char *sample; /* which one of the file */
    const char *substrate;
    int specular; /* unknown: what the file says */
    int scale;    /* mdr_spectra_scale */
} mdr_entry_sample;
extern const mdr_entry_sample mdr_no_entry_sample;
extern const mdr_shape mdr_entry_sample_shape;

typedef struct mdr_measured_curve {
    double start_nm, step_nm;
    const double *reflectance;
    int n_reflectance;
} mdr_measured_curve;

/* As it is read from the record. */
typedef struct mdr_measured_in {
    const char *sample_id, *name, *substrate, *standard_id;
    mdr_measured_curve sample, standard;
    int specular;
} mdr_measured_in;
extern const mdr_measured_in mdr_no_measured_in;
extern const mdr_shape mdr_measured_shape;

/* errors: MDR_E_RANGE what is stored is no spectrum ("measured.sample"); MDR_E_NOMEM */
mdr_code mdr_wire_measured_of(const mdr_measured_in *in, mdr_arena *arena, const mdr_measured **out,
                              mdr_err *err) MDR_MUST_CHECK;

/* Member "measured" of a stored event. */
void mdr_wire_put_measured(mdr_json *j, const mdr_measured *m);
/* A colour as it is shown: "l", "a", "b", "swatch", "in_gamut"; members of an object that is open. */
void mdr_wire_put_lab(mdr_json *j, const mdr_lab *lab);
/* "difference", "dl", "dc", "dh", "da", "db". */
void mdr_wire_put_difference(mdr_json *j, const mdr_difference *d);
/* Member `key`: the difference with its parts and both colours; null without a sample. */
void mdr_wire_put_measured_look(mdr_json *j, const char *key, const mdr_measured *m);

#endif
