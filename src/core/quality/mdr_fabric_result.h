/*
 * mdr_fabric_result.h - what was measured on a finished lot, held against what was promised: a mean,
 * a spread and a verdict for each property.
 *
 * Layer: core/quality (pure).
 * Methods: docs/methods/fabric-results.md
 *
 * The mean of the readings is judged. A mean beyond its limit is missed, however much the readings
 * scatter; a mean within it is only near it when a reading lies beyond or the limit is less than
 * the standard deviation away. One reading has no spread, and so is never near.
 *
 * Twist after washing is known by two methods that give different numbers, per cent by the diagonals
 * and an angle: each has its own limit, and neither is computed from the other.
 *
 * Sources (keys of docs/sources.md)
 *   [iso-5077]    dimensional change; several marks averaged, both directions apart
 *   [iso-12127]   g/m2 by cutter
 *   [astm-d3882]  bow and skew
 *   [aatcc-179]   twist after washing by the diagonals of a square, per cent
 *   [iso-16322]   spirality after laundering, angle
 *   [iso-105]     fastness grades, half steps
 *   [iso-12945]   pilling grades
 *   [definition]  verdicts
 *
 * Symbols: grades 1 to 5 (light 1 to 8) in steps of a half, "4-5" being 4.5.
 */
#ifndef MDR_FABRIC_RESULT_H
#define MDR_FABRIC_RESULT_H

#include <stdbool.h>

#include "core/knit/mdr_spec.h"

/* Whose matter a property is. */
typedef enum mdr_matter {
    MDR_MATTER_LOOPS,  /* another pass of the finishing line moves the loops */
    MDR_MATTER_LINES,  /* the courses can be straightened where the width is gripped */
    MDR_MATTER_FABRIC, /* yarn, knitting, dye: no setting cures it */
    MDR_MATTERS
} mdr_matter;

/* X(enumerator, id, words, unit, mdr_matter) */
#define MDR_PROPERTIES(X)                                                                        \
    X(MDR_PROPERTY_LENGTH_CHANGE, "length_change", "length, by washing", "%", MDR_MATTER_LOOPS)  \
    X(MDR_PROPERTY_WIDTH_CHANGE, "width_change", "width, by washing", "%", MDR_MATTER_LOOPS)     \
    X(MDR_PROPERTY_GSM, "gsm", "weight", "g/m2", MDR_MATTER_LOOPS)                               \
    X(MDR_PROPERTY_WIDTH, "width", "full open width", "cm", MDR_MATTER_LOOPS)                    \
    X(MDR_PROPERTY_BOW, "bow", "bow", "%", MDR_MATTER_LINES)                                     \
    X(MDR_PROPERTY_SKEW, "skew", "skew", "%", MDR_MATTER_LINES)                                  \
    X(MDR_PROPERTY_TWIST_PCT, "twist", "twist after washing, diagonals", "%", MDR_MATTER_FABRIC) \
    X(MDR_PROPERTY_SPIRALITY_DEG, "spirality", "spirality after washing", "deg",                 \
      MDR_MATTER_FABRIC)                                                                         \
    X(MDR_PROPERTY_PILLING, "pilling", "pilling", "grade", MDR_MATTER_FABRIC)                    \
    X(MDR_PROPERTY_WASH_CHANGE, "wash_change", "washing, change of shade", "grade",              \
      MDR_MATTER_FABRIC)                                                                         \
    X(MDR_PROPERTY_WASH_STAIN, "wash_stain", "washing, staining", "grade", MDR_MATTER_FABRIC)    \
    X(MDR_PROPERTY_SWEAT_CHANGE, "sweat_change", "perspiration, change", "grade",                \
      MDR_MATTER_FABRIC)                                                                         \
    X(MDR_PROPERTY_SWEAT_STAIN, "sweat_stain", "perspiration, staining", "grade",                \
      MDR_MATTER_FABRIC)                                                                         \
    X(MDR_PROPERTY_RUB_DRY, "rub_dry", "rubbing, dry", "grade", MDR_MATTER_FABRIC)               \
    X(MDR_PROPERTY_RUB_WET, "rub_wet", "rubbing, wet", "grade", MDR_MATTER_FABRIC)               \
    X(MDR_PROPERTY_LIGHT, "light", "light", "grade", MDR_MATTER_FABRIC)

#define MDR_PROPERTY_MEMBER(name, ...) name,
typedef enum mdr_property { MDR_PROPERTIES(MDR_PROPERTY_MEMBER) MDR_PROPERTY_COUNT } mdr_property;
#undef MDR_PROPERTY_MEMBER

const char *mdr_property_id(mdr_property p);
const char *mdr_property_words(mdr_property p);
const char *mdr_property_unit(mdr_property p);
mdr_matter mdr_property_matter(mdr_property p);
bool mdr_property_is_grade(mdr_property p);

enum { MDR_READINGS_MAX = 24 };

typedef struct mdr_readings {
    double values[MDR_READINGS_MAX];
    int n; /* 0: not measured */
} mdr_readings;

typedef struct mdr_result_limit {
    double low, high;
    bool has_low, has_high; /* neither: not asked for */
} mdr_result_limit;

typedef struct mdr_result_in {
    mdr_readings readings[MDR_PROPERTY_COUNT]; /* in the unit of the property */
    mdr_result_limit limits[MDR_PROPERTY_COUNT];
} mdr_result_in;

/*
 * Dimensional change of each pair of marks, %: lengths before and after washing, same unit.
 *   errors  MDR_E_ARG (place "n") n not 1 .. 24; MDR_E_RANGE (places "before[i]", "after[i]")
 *           not 1 .. 1000, or a change beyond +-50 %, which is a wrong mark
 */
mdr_code mdr_readings_of_marks(const double *before_cm, const double *after_cm, int n,
                               mdr_readings *out, mdr_err *err) MDR_MUST_CHECK;
/* g/m2 of samples of one cutter. MDR_E_ARG as above; MDR_E_RANGE (places "mass[i]", "area_cm2"):
 * mass 0.01 .. 1000 g, area 1 .. 10000 cm2. */
mdr_code mdr_readings_of_cutter(const double *mass_g, int n, double area_cm2, mdr_readings *out,
                                mdr_err *err) MDR_MUST_CHECK;
/* Bow or skew, % of the width they were read across. Place "distance[i]": 0 .. half the width;
 * "width_cm": 1 .. 1000. */
mdr_code mdr_readings_of_bow(const double *distance_cm, int n, double width_cm, mdr_readings *out,
                             mdr_err *err) MDR_MUST_CHECK;
/* Twist, %, from the diagonals of squares marked before washing. Places "ac[i]", "bd[i]": 1 .. 1000,
 * and no more than half apart. */
mdr_code mdr_readings_of_squares(const double *ac_cm, const double *bd_cm, int n, mdr_readings *out,
                                 mdr_err *err) MDR_MUST_CHECK;

/* The four limits that a demand of mdr_spec.h sets; the others stay. */
void mdr_result_limit_by(const mdr_spec_demand *demand, mdr_result_limit *limits);

typedef enum mdr_result_verdict {
    MDR_RESULT_NOT_ASKED,
    MDR_RESULT_NOT_MEASURED, /* and asked for */
    MDR_RESULT_MET,
    MDR_RESULT_NEAR, /* met, but within the spread of the readings */
    MDR_RESULT_MISSED,
    MDR_RESULT_VERDICTS
} mdr_result_verdict;

const char *mdr_result_verdict_id(mdr_result_verdict v);
const char *mdr_result_verdict_words(mdr_result_verdict v);

typedef struct mdr_property_result {
    double mean;     /* 0 without readings; of magnitudes for bow, skew and twist; grades to the
                          nearest half */
    double spread;   /* standard deviation of the readings; 0 for one */
    double margin;   /* from the mean to the limit that is nearer; below 0: beyond it; 0 when not
                          judged */
    double limit;    /* that limit */
    int n, n_beyond; /* readings, and those of them beyond a limit */
    bool above;      /* that limit is an upper one */
    mdr_result_verdict verdict;
} mdr_property_result;

typedef struct mdr_fabric_result {
    mdr_property_result of[MDR_PROPERTY_COUNT];
    int n_met, n_near, n_missed, n_not_measured;
} mdr_fabric_result;

/*
 *   errors  MDR_E_RANGE, place "ID[i]" (ID of the property): not finite, or outside: changes +-50 %,
 *           10 .. 2000 g/m2, width 1 .. 1000 cm, bow, skew and twist +-100 %, spirality +-45 deg,
 *           grades 1 .. 5 (light 8) in halves; place "ID": a low limit above the high one
 */
mdr_code mdr_fabric_result_of(const mdr_result_in *in, mdr_fabric_result *out,
                              mdr_err *err) MDR_MUST_CHECK;

#endif
