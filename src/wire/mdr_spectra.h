/*
 * mdr_spectra.h - reads files of spectra as instruments and colour programs write them.
 *
 *   CSV     one sample a row, one sample a column, or one value a row; docs/formats.md
 *   CGATS   text of CGATS.17 and ISO 28178 and its relatives
 *   CxF3    XML of ISO 17972-1
 *
 * The format is found by looking at the text. Nothing is read in part: with any fault there is no
 * result. What had to be decided or left out stands in the notices.
 *
 * Scale. CxF3: 1.0 is 100 %, always. The others do not say it in the names of their columns; a
 * declaration (SPECTRAL_NORM, SPECTRAL_PCT, a % in a column's name) or the caller decides, else the
 * largest value of the file: up to 1.5 fractions; from 5 to 150 per cent; between, and above, the
 * question is put back to the user. The decision is always noted.
 *
 * Layer: wire; the only folder that sees libxml2. No file, no network: text in, records out, in the
 * arena. Methods: docs/formats.md#spectra
 */
#ifndef MDR_SPECTRA_H
#define MDR_SPECTRA_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_list.h"
#include "core/colour/mdr_cielab.h"
#include "core/colour/mdr_spectrum.h"
#include "core/colour/mdr_weights.h"

enum {
    MDR_SPECTRA_BYTES_MAX = 32 * 1024 * 1024,
    MDR_SPECTRA_MAX = 20000 /* in one file */
};

typedef enum mdr_spectra_scale {
    MDR_SCALE_UNKNOWN, /* decided by the rule above */
    MDR_SCALE_FRACTION,
    MDR_SCALE_PERCENT
} mdr_spectra_scale;

typedef enum mdr_spectra_format {
    MDR_SPECTRA_CSV,
    MDR_SPECTRA_CGATS,
    MDR_SPECTRA_CXF
} mdr_spectra_format;

typedef struct mdr_spectra_options {
    mdr_spectra_scale scale; /* beats what the file declares; not for CxF3 */
    bool repeats;            /* samples of the same name are repeated readings, not a mistake */
} mdr_spectra_options;

typedef struct mdr_spectra_item {
    const char *name;      /* "7" for the seventh when the file gives none */
    const char *id;        /* the file's own key, or "" */
    const char *kind;      /* "Standard", "Trial" ... of CxF3, or "" */
    const char *condition; /* how it was measured, in the file's words: "M1_Daylight", or "" */
    int line;              /* where it begins */
    mdr_specular specular;
    const mdr_spectrum *spectrum; /* NULL: the file gives a colour only */
    bool resampled;               /* the points were irregular */
    bool has_lab;                 /* as the file gives it, for comparison */
    mdr_lab lab;
    bool has_light; /* the file says under which light its own colour holds, and it is known here */
    mdr_illuminant illuminant;
    mdr_observer observer;
} mdr_spectra_item;

typedef struct mdr_spectra {
    mdr_spectra_format format;
    mdr_spectra_scale scale; /* that was used; unknown when there is no spectrum */
    int n;
    const mdr_spectra_item *items;
} mdr_spectra;

typedef struct mdr_spectra_file {
    const char *name; /* for messages */
    const char *text;
    size_t len;
} mdr_spectra_file;

/* Where every fault and every notice goes (notices are records with code MDR_OK); NULL: nowhere. */
typedef struct mdr_spectra_report {
    mdr_err_list *found, *notices;
} mdr_spectra_report;

/*
 * Places: "FILE:LINE:COLUMN" as far as known.
 *   errors  the first of `found`: MDR_E_PARSE, MDR_E_RANGE, MDR_E_CONFLICT; MDR_E_NOMEM
 */
mdr_code mdr_spectra_read(const mdr_spectra_file *file, const mdr_spectra_options *options,
                          mdr_arena *arena, mdr_spectra_report report, const mdr_spectra **out,
                          mdr_err *err) MDR_MUST_CHECK;

#endif
