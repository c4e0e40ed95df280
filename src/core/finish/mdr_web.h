/*
 * mdr_web.h - the fabric as it runs through the finishing line: what it measures, and what no
 * machine can change.
 *
 * Stretch, overfeed and spreading move loops about; they neither make nor destroy them. So
 * through every dry pass three numbers stay: needles (wales x width), courses (courses x length)
 * and bone dry mass (g/m2 x width x length). Everything here follows from these three.
 *
 * Layer: core/finish (pure).
 * Methods: docs/methods/finishing.md
 *
 * Sources (keys of docs/sources.md)
 *   [mass-balance]   the three numbers that stay; overfeed, compaction, residual shrinkage
 *   [cotton-regain]  8.5 % commercial regain of cotton
 *
 * Symbols: C, W courses and wales 1/cm; moisture kg of water per kg of BONE DRY fabric; overfeed
 * OF = speed in / speed out - 1, so length out / length in = 1/(1 + OF): above 0 the fabric gets
 * shorter, below 0 it is stretched. Fractions throughout: 0.08 is 8 %.
 */
#ifndef MDR_WEB_H
#define MDR_WEB_H

#include "base/mdr_err.h"

/* Water in commercially dry cotton, kg per kg bone dry. [cotton-regain]. Standard air (20 C, 65 %
 * RH) gives 0.07 to 0.08. */
#define MDR_WEB_REGAIN_KG_PER_KG 0.085

/* A tube is described as if it were cut open: width_cm is its circumference, twice the lay-flat. */
typedef struct mdr_web {
    double width_cm;
    double courses_per_cm, wales_per_cm;
    double dry_gsm; /* bone dry */
    double moisture_kg_per_kg;
    double speed_m_per_min; /* 0: it stands, or nobody knows */
    double length_m;        /* of the whole lot */
    double temp_c;
} mdr_web;

/* The fully relaxed fabric, from a washed and tumbled sample. */
typedef struct mdr_relaxed {
    double courses_per_cm, wales_per_cm;
} mdr_relaxed;

/* What washing still takes off, of the length and width as they are; below 0 it will grow. */
typedef struct mdr_residual {
    double length_fraction, width_fraction;
} mdr_residual;

/* What the finisher reads off the fabric to see whether the pass did what it should. */
typedef struct mdr_web_measure {
    double width_cm, layflat_cm; /* layflat_cm: of a tube */
    double courses_per_cm, wales_per_cm;
    double wet_gsm;         /* as it is now, with its water */
    double conditioned_gsm; /* at the regain asked for */
    double moisture_kg_per_kg;
} mdr_web_measure;

/* Width 1 .. 1000 cm, courses and wales 0.5 .. 100 per cm, 10 .. 2000 g/m2, moisture 0 .. 5,
 * speed 0 .. 500, length 0.01 .. 1e6 m, -20 .. 300 C; else MDR_E_RANGE with the field as the
 * place. */
mdr_code mdr_web_check(const mdr_web *web, mdr_err *err) MDR_MUST_CHECK;

/* Below, `web` is one that passes the check. All total. */
double mdr_web_needles(const mdr_web *web); /* one bed's, as wales are counted on one face */
double mdr_web_courses(const mdr_web *web); /* of the whole lot */
double mdr_web_dry_kg(const mdr_web *web);
double mdr_web_dry_kg_per_h(const mdr_web *web); /* bone dry fabric passing at its speed */

double mdr_web_wet_gsm(const mdr_web *web);
/* g/m2 in equilibrium with air that leaves this regain; >= 0. */
double mdr_web_conditioned_gsm(const mdr_web *web, double regain_kg_per_kg);
/* Bone dry g/m2 of fabric weighed at this regain. Inverse of the above. */
double mdr_web_dry_gsm_of(double conditioned_gsm, double regain_kg_per_kg);
mdr_web_measure mdr_web_measured(const mdr_web *web, double regain_kg_per_kg);

/* Bone dry based moisture of a wet pick-up, which a mill counts on fabric that already holds its
 * regain: (1 + regain)(1 + pick-up) - 1. pickup >= -regain/(1 + regain). */
double mdr_web_moisture_of_pickup(double pickup_kg_per_kg, double regain_kg_per_kg);
double mdr_web_pickup_of_moisture(double moisture_kg_per_kg, double regain_kg_per_kg);

/* The same compaction said in two ways: 8 % overfeed is 7.41 % less length. overfeed > -1;
 * loss < 1. Inverse of each other. */
double mdr_web_loss_of_overfeed(double overfeed_fraction);
double mdr_web_overfeed_of_loss(double loss_fraction);

/* The web after it was fed with this overfeed (> -1) and brought to this width (> 0). The same dry
 * mass passes each minute, so the speed becomes that of the exit. Moisture and temperature stay. */
mdr_web mdr_web_overfed(const mdr_web *web, double overfeed_fraction, double width_out_cm);

/* What is left to shrink: 1 - C/Cr and 1 - W/Wr. */
mdr_residual mdr_web_residual(const mdr_web *web, const mdr_relaxed *relaxed);
/* A residual after its direction was changed to `ratio` (> 0) times the length or width:
 * 1 - (1 - s)/ratio. NOT s - (1 - ratio), the rule of thumb. */
double mdr_web_residual_after(double residual_fraction, double ratio);
/* This fabric brought to where it would still shrink by `residual` (< 1). */
mdr_web mdr_web_with_residual(const mdr_web *web, const mdr_relaxed *relaxed,
                              mdr_residual residual);

/* What was read off the fabric after a pass. */
typedef struct mdr_web_reading {
    double width_cm, courses_per_cm;
    double moisture_kg_per_kg;
    double wet_gsm; /* of a cutter, as it was; 0: not weighed */
} mdr_web_reading;

/*
 * The web as it really came out: width and courses as read, the rest from what cannot have
 * changed. The scale does not enter the state. It is the check: when it disagrees with loops and
 * mass, yarn, loop length or the moisture reading is off, and no width or overfeed cures that.
 *   web                the web as it was planned to be, or as it went in
 *   weighed_off_fraction   weighed / expected g/m2 - 1; 0 when not weighed
 *   errors             MDR_E_RANGE (place: the reading's field)
 */
mdr_code mdr_web_read(const mdr_web *web, const mdr_web_reading *reading, mdr_web *out,
                      double *weighed_off_fraction, mdr_err *err) MDR_MUST_CHECK;

#endif
