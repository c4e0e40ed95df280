/*
 * mdr_cxf_in.h - what reading a CxF3 document leaves behind, and putting it together.
 *
 * Layer: wire, inside of mdr_spectra only.
 */
#ifndef MDR_CXF_IN_H
#define MDR_CXF_IN_H

#include "wire/mdr_spectra_in.h"

enum { MDR_CXF_SPECS_MAX = 1000 };

typedef struct mdr_cxf_spec {
    const char *id, *condition;
    mdr_specular specular;
    double start_nm, increment_nm; /* 0: not given */
    bool has_illuminant, has_observer, not_reflectance;
    mdr_illuminant illuminant;
    mdr_observer observer;
} mdr_cxf_spec;

/* A spectrum or colour that waits for its colour specification. */
typedef struct mdr_cxf_waiting {
    struct mdr_cxf_waiting *next;
    mdr_sample *sample;
    const char *refers; /* Id of the specification */
    double start_nm;    /* 0: not given */
    int object;         /* which object of the file it belongs to */
    bool is_lab, is_custom;
} mdr_cxf_waiting;

typedef struct mdr_cxf {
    mdr_spectra_build *b;
    mdr_cxf_waiting *first, *last; /* in the order of the file */
    int n_specs;
    mdr_cxf_spec specs[MDR_CXF_SPECS_MAX];
} mdr_cxf;

/* Wavelengths to the spectra, colours to the spectra they belong to; what has neither is dropped. */
void mdr_cxf_join(mdr_cxf *c);

#endif
