/*
 * mdr_yarn.h - linear density of yarn: the tex system and its relatives.
 *
 * Layer: core/units (pure). Inside the program a linear density is ALWAYS a mdr_tex;
 * other systems exist only at the edges (typing in, printing out).
 *
 * Sources
 *   [ISO1144] ISO 1144:2016, tex system: 1 tex = 1 g per 1000 m.
 *   [NIST811] NIST SP 811, app. B.8: 1 yd = 0.9144 m and 1 lb = 453.59237 g, exact.
 *   English cotton count: hanks of 840 yd per pound, hence
 *   tex * Ne = 453.59237 * 1000 / (840 * 0.9144) = 590.5412...   (derived, not typed in)
 */
#ifndef MDR_YARN_H
#define MDR_YARN_H

#include "base/mdr_err.h"

/* A wrapper, so that a count in Ne can never be passed where tex is meant. */
typedef struct mdr_tex {
    double g_per_km;
} mdr_tex;

typedef enum mdr_yarn_sys {
    MDR_YARN_TEX,    /* g / km */
    MDR_YARN_DTEX,   /* g / 10 km */
    MDR_YARN_DENIER, /* g / 9 km */
    MDR_YARN_NM,     /* m / g, indirect: larger is finer */
    MDR_YARN_NE,     /* 840-yd hanks / lb, indirect: larger is finer */
} mdr_yarn_sys;

/*
 * Linear density from a count in the given system.
 *   count   range (0, 1e6]
 *   out     set on MDR_OK only
 *   errors  MDR_E_RANGE (place "count"): not finite, <= 0 or > 1e6
 */
mdr_code mdr_yarn_to_tex(double count, mdr_yarn_sys sys, mdr_tex *out, mdr_err *err) MDR_MUST_CHECK;

/* Count in the given system; t.g_per_km must be > 0 (asserted). */
double mdr_yarn_from_tex(mdr_tex t, mdr_yarn_sys sys);

/*
 * Reads "Ne 30", "30 Ne", "20tex", "167 dtex" (unit names are not case-sensitive;
 * decimal point only, in every locale).
 *   errors  MDR_E_PARSE (place "count"): no number, or trailing text
 *           MDR_E_UNIT  (place "unit") : unit missing or unknown
 *           MDR_E_RANGE as above
 */
mdr_code mdr_yarn_parse(const char *text, mdr_tex *out, mdr_err *err) MDR_MUST_CHECK;

#endif
