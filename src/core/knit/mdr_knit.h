/*
 * mdr_knit.h - what a knitted fabric measures, from how it was knitted: courses and wales per cm,
 * g/m2, width, tightness, spirality from feeder drop; and back from a wanted g/m2.
 *
 * Layer: core/knit (pure). Total functions: every argument that is a length, a count or a mass is
 * finite and > 0, elastane_pct in [0, 100). Constructions are mdr_construction of
 * core/plan/mdr_records.h; counts of yarn are mdr_tex.
 * Methods: docs/methods/knit.md
 *
 * Symbols
 *   l loop length cm; C courses per cm; W wales per cm; S = C W loops per cm2; N needles of one
 *   bed; F feeders; kc = C l, kw = W l, kr = kc/kw; ks_eff = beds x gsm_factor x kc x kw, so that
 *   g/m2 = ks_eff tex / (10 l)
 *
 * Conventions, kept apart by name
 *   loop length   of ONE needle loop: yarn of a course / loops in it. For rib and interlock the
 *                 loops of both beds are counted, so it is never "per repeat" or "per bed pair".
 *   counts        C and W, and so kc and kw, are seen on ONE face. Both faces of rib and interlock
 *                 carry as many: beds is 2 there and the g/m2 count both.
 *   needles       of ONE bed (the cylinder): they are the wales of a face, and give the width.
 *   width         full open width, twice the flat width of a tube.
 *   g/m2          conditioned, since the count of a yarn is that of conditioned yarn.
 *   relaxed       by washing and tumbling until nothing shrinks any more: MDR_RELAX_FULL.
 *
 * Valid: kc and kw stay put for tightness 9 to 19 (single jersey), and for one way of finishing.
 * The mill's own come from washed samples: mdr_knit_fit.h.
 *
 * Sources (keys of docs/sources.md)
 *   [munden-1959] [knapton-1968]  single jersey, dry, wet and fully relaxed
 *   [ijftr-interlock]             interlock, bleached cotton
 *   [knit-gsm-pages]              finished states: trade constants and practice points
 *   [knit-arithmetic]             needles, width, course length, output; published questions
 *   [definition] [mass-balance]   the rest
 */
#ifndef MDR_KNIT_H
#define MDR_KNIT_H

#include "core/plan/mdr_records.h"
#include "core/units/mdr_yarn.h"

typedef enum mdr_relax {
    MDR_RELAX_DRY,
    MDR_RELAX_WET,
    MDR_RELAX_FULL,
    MDR_RELAX_FINISHED, /* as usual after stenter and compactor: not relaxed */
} mdr_relax;
enum { MDR_RELAX_STATES = 4, MDR_KNIT_CONSTRUCTIONS = 5 };

/* How far a row of constants may be trusted. */
typedef enum mdr_knit_grade {
    MDR_KNIT_OWN,        /* from the mill's own washed samples */
    MDR_KNIT_LITERATURE, /* printed, or from memory of the literature */
    MDR_KNIT_PRACTICE,   /* common practice: calibrate */
    MDR_KNIT_INVENTED,   /* by analogy with single jersey: calibrate first */
} mdr_knit_grade;

typedef struct mdr_knit_constants {
    double kc_cm, kw_cm; /* C l and W l: courses and wales per cm, times cm of loop */
    double beds;         /* faces that carry loops of this length: 1 or 2 */
    double gsm_factor;   /* mass of all yarns / mass of the yarn described; fleece about 3 */
    /* Elastane pulls the fabric together: its length and width over those without elastane. 1
     * until the mill has measured; nothing is guessed. Their product is the area factor. */
    double length_factor, width_factor;
    mdr_knit_grade grade;
} mdr_knit_constants;

typedef struct mdr_knit {
    mdr_construction construction;
    mdr_tex yarn; /* without the elastane */
    double loop_cm;
    int needles; /* of one bed */
    int feeders;
    double elastane_pct; /* of the mass of the fabric */
} mdr_knit;

/* The table data/units/knit_constants.csv. A value outside either list stops the program. */
mdr_knit_constants mdr_knit_constants_of(mdr_construction construction, mdr_relax state);
/* kc kw x beds x gsm_factor: the whole of what the g/m2 depend on besides yarn and loop. Without
 * the contraction by elastane. */
double mdr_knit_ks_eff(const mdr_knit_constants *c);

double mdr_knit_courses_per_cm(const mdr_knit *k, const mdr_knit_constants *c);
double mdr_knit_wales_per_cm(const mdr_knit *k, const mdr_knit_constants *c);
/* On one face. */
double mdr_knit_loops_per_cm2(const mdr_knit *k, const mdr_knit_constants *c);
/* Conditioned g/m2, elastane included: yarn part / (1 - elastane part). */
double mdr_knit_gsm(const mdr_knit *k, const mdr_knit_constants *c);
/* Full open width, cm: N/W. */
double mdr_knit_width_cm(const mdr_knit *k, const mdr_knit_constants *c);
/* K = sqrt(tex)/l, sqrt(g/km)/cm. Single jersey: 9 slack, 13 to 16 usual, 19 tight. */
double mdr_knit_tightness(const mdr_knit *k);

/* Needles of one bed round a cylinder: pi D G to the nearest even number. */
int mdr_knit_needles(double diameter_inch, double gauge_per_inch);
/* Diameter, inch, that carries so many needles at this gauge. */
double mdr_knit_diameter_inch(double needles, double gauge_per_inch);
/* Yarn in one course of one bed, m. */
double mdr_knit_course_m(const mdr_knit *k);
/* Output at 100 % efficiency, kg/h: one bed; rib and interlock twice that. */
double mdr_knit_output_kg_per_h(const mdr_knit *k, double rev_per_min);

/* The wale line leans from the course because one turn adds F courses: F W / (N C) as per cent
 * (run per 100 of rise) and as an angle. Torque of the yarn comes on top and is not in it. */
double mdr_knit_feeder_drop_pct(const mdr_knit *k, const mdr_knit_constants *c);
double mdr_knit_feeder_drop_deg(const mdr_knit *k, const mdr_knit_constants *c);
/* 100 tan: 5 deg are 8.75 %. deg in (-90, 90). */
double mdr_knit_pct_of_deg(double deg);
double mdr_knit_deg_of_pct(double pct);

/* ks_eff that a measured g/m2 speaks of, elastane and its contraction taken off. */
double mdr_knit_ks_of_gsm(const mdr_knit *k, const mdr_knit_constants *c, double gsm);
/* Loop length, cm, that gives this g/m2 with the yarn of k. */
double mdr_knit_loop_cm_of_gsm(const mdr_knit *k, const mdr_knit_constants *c, double gsm);
/* Yarn that gives this g/m2 with the loop of k. */
mdr_tex mdr_knit_tex_of_gsm(const mdr_knit *k, const mdr_knit_constants *c, double gsm);

typedef struct mdr_knit_elastane {
    mdr_tex count;  /* on the bobbin: bare and unstretched */
    double draft;   /* stretched length / length on the bobbin, >= 1; 1: fed unstretched */
    double loop_cm; /* stretched, in one needle loop; plated beside the yarn: that of the yarn */
    double feeders_share; /* of the feeders that have it: 1, or 0.5 for every second one */
} mdr_knit_elastane;

/* Elastane, per cent of the mass of the fabric, from how it is fed. A count given as it lies in the
 * fabric (lengthened) goes in with draft 1. */
double mdr_knit_elastane_pct(const mdr_knit *k, const mdr_knit_elastane *e);

#endif
