/*
 * mdr_spectra_in.h - what the three readers of spectra share: samples as they are found, faults and
 * notices with their place.
 *
 * Layer: wire, inside of mdr_spectra only.
 */
#ifndef MDR_SPECTRA_IN_H
#define MDR_SPECTRA_IN_H

#include "wire/mdr_spectra.h"

typedef struct mdr_sample_point {
    double wavelength_nm, v;
    int line, column;
} mdr_sample_point;

/* A sample while the file is being read. */
typedef struct mdr_sample {
    const char *name, *id, *kind, *condition;
    int line;
    mdr_specular specular;
    mdr_spectra_scale scale; /* as declared for this sample */
    int n, room;
    mdr_sample_point *points;
    bool has_lab, has_light;
    mdr_lab lab;
    mdr_illuminant illuminant;
    mdr_observer observer;
} mdr_sample;

typedef struct mdr_spectra_build {
    const char *file;
    mdr_arena *arena;
    mdr_err_list *found, *notices;
    mdr_err first;
    long faults;
    bool no_memory;
    int n, room;
    mdr_sample **samples;
    long dropped; /* points outside 340 to 830 nm */
} mdr_spectra_build;

/* A new sample with all texts "", or NULL: too many, or no memory (noted in the build). */
mdr_sample *mdr_build_sample(mdr_spectra_build *b, int line);
void mdr_build_point(mdr_spectra_build *b, mdr_sample *s, mdr_sample_point p);
/* A copy in the arena; "" when there is no memory. */
const char *mdr_build_text(mdr_spectra_build *b, const char *text, size_t len);

/* column 0: not known. The faulty text may be NULL. */
void mdr_build_fault(mdr_spectra_build *b, mdr_code code, int line, int column, const char *text,
                     size_t len, const char *message);
void mdr_build_remedy(mdr_spectra_build *b, const char *remedy); /* of the fault just added */
/* "FILE:LINE:COLUMN" as far as known (0: not known). */
void mdr_build_place(const mdr_spectra_build *b, int line, int column, char *out, size_t size);
void mdr_build_keep(mdr_spectra_build *b, const mdr_err *err); /* a fault with its own place */
void mdr_build_notice(mdr_spectra_build *b, int line, const char *fmt, ...) MDR_PRINTF(3, 4);

/* The readers; faults go to the build. */
void mdr_spectra_read_csv(mdr_spectra_build *b, const char *text, size_t len);
void mdr_spectra_read_cgats(mdr_spectra_build *b, const char *text, size_t len);
void mdr_spectra_read_cxf(mdr_spectra_build *b, const char *text, size_t len);

/* "SPECTRAL_NM380", "R380", "380", "380 nm [%]": a wavelength from 300 to 1100 nm. `percent` is set
 * when the name has a %. */
bool mdr_name_is_wavelength(const char *text, size_t len, double *nm, bool *percent);
/* "SPIN", "SCI", "Specular_Included", "SPEX", "SCE", "45/0" ... anywhere in the text. */
mdr_specular mdr_specular_of_text(const char *text, size_t len);
/* "2", "10", "2_Degree", "10 degree", "ObserverAngle=2Degree": the number before or without a word. */
bool mdr_observer_of_text(const char *text, size_t len, mdr_observer *out);
bool mdr_same_word(const char *text, size_t len, const char *word); /* in any case */

#endif
