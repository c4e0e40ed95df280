/*
 * mdr_line_ask.h - a question to the finishing desk as it is asked:
 * {"do": "settings", "line": "open-width", "relaxed_gsm": 180, ...}.
 *
 * Layer: wire. The command line and the HTTP server ask with the same document. Keys and ranges:
 * docs/api.md, POST /api/line. Every wrong key, type and range is reported.
 *
 * A tube is measured flat: for a tubular line every width has the key layflat in place of width, and
 * is doubled here, as the core describes a tube as if it were cut open.
 */
#ifndef MDR_LINE_ASK_H
#define MDR_LINE_ASK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"
#include "core/knit/mdr_grey.h"
#include "core/plan/mdr_records.h"
#include "core/quality/mdr_fabric_result.h"

/* X(enumerator, id, words) */
#define MDR_LINE_QUESTIONS(X)                                                          \
    X(MDR_LINE_SETTINGS, "settings", "How to set the finishing line")                  \
    X(MDR_LINE_READ, "read", "The rest of the line, from what was read on the fabric") \
    X(MDR_LINE_DRY, "dry", "What drying costs, and how fast the fabric may run")       \
    X(MDR_LINE_FIT, "fit", "The drying of an oven, from one run")                      \
    X(MDR_LINE_PAD, "pad", "Padder: trough and feed")                                  \
    X(MDR_LINE_RESULT, "result", "Results against the specification")                  \
    X(MDR_LINE_INSPECT, "inspect", "Four-point inspection")                            \
    X(MDR_LINE_GREY, "grey", "Grey fabric and yarn for an order, rolls to lots")

/* Widths: full open as X##width_cm, flat as X##layflat_cm. X(enumerator, beginning, end) */
#define MDR_LINE_WIDTHS(X)                  \
    X(MDR_WIDTH_RELAXED, "relaxed_", "_cm") \
    X(MDR_WIDTH_START, "start_", "_cm")     \
    X(MDR_WIDTH_ASKED, "", "_cm")           \
    X(MDR_WIDTH_TOL, "", "_tol_cm")         \
    X(MDR_WIDTH_MIN, "", "_min_cm")         \
    X(MDR_WIDTH_MAX, "", "_max_cm")         \
    X(MDR_WIDTH_READ, "read_", "_cm")

#define MDR_LINE_MEMBER(name, ...) name,
typedef enum mdr_line_question {
    MDR_LINE_QUESTIONS(MDR_LINE_MEMBER) MDR_LINE_QUESTION_COUNT
} mdr_line_question;
typedef enum mdr_line_width { MDR_LINE_WIDTHS(MDR_LINE_MEMBER) MDR_WIDTH_COUNT } mdr_line_width;
#undef MDR_LINE_MEMBER

enum { MDR_GRADES = MDR_PROPERTY_COUNT - MDR_PROPERTY_PILLING, MDR_LINE_DEFECTS_MAX = 1000 };

typedef struct mdr_line_list {
    const double *values;
    int n;
} mdr_line_list;

/* One width: as typed, and (after reading) full open in width_cm whichever was given. */
typedef struct mdr_line_wide {
    double width_cm, layflat_cm;
    bool has_width, has_layflat;
} mdr_line_wide;

/* Members that were not given hold their defaults. has_*: given. */
typedef struct mdr_line_ask {
    mdr_line_question question;
    int line; /* mdr_finish_line */
    mdr_line_wide wide[MDR_WIDTH_COUNT];
    /* relaxed fabric; fabric at the beginning of the line */
    double relaxed_gsm, relaxed_courses_per_cm, relaxed_wales_per_cm;
    double start_courses_per_cm, start_length_shrink_pct, start_width_shrink_pct;
    double start_moisture_kg_per_kg, regain_pct;
    int needles;
    /* wanted: residuals, or a specification */
    double length_residual_pct, width_residual_pct;
    double gsm, gsm_tol_pct, length_shrink_pct, width_shrink_pct, growth_pct;
    /* machines */
    double overfeed_min_pct, overfeed_max_pct, compact_min_pct, compact_max_pct;
    double squeeze_overfeed_pct, squeeze_moisture_kg_per_kg;
    double pad_overfeed_pct, pad_moisture_kg_per_kg;
    double dry_overfeed_pct, dry_width_change_pct, dry_moisture_kg_per_kg;
    double compact_overfeed_pct, compact_width_change_pct, compact_moisture_kg_per_kg;
    /* read */
    int pass;
    double read_courses_per_cm, read_moisture_kg_per_kg, read_wet_gsm;
    /* dry, fit */
    double moisture_in_kg_per_kg, moisture_out_kg_per_kg, air_c, air_kg_per_kg;
    double exhaust_c, exhaust_kg_per_kg, fresh_c, fresh_kg_per_kg, fabric_in_c, fabric_out_c;
    double heat_loss_pct, oven_m, h_w_per_m2_k, entry_s, critical_kg_per_kg, equilibrium_kg_per_kg;
    double set_c, set_dwell_s, speed_m_per_min, speed_min_m_per_min, speed_max_m_per_min;
    double better_moisture_in_kg_per_kg, better_exhaust_kg_per_kg;
    /* pad */
    double add_on_pct, pickup_in_pct, pickup_out_pct, fabric_kg, trough_kg;
    /* result */
    double mark_cm, sample_cm2, bow_max_pct, skew_max_pct, twist_max_pct, spirality_max_deg;
    double courses_per_cm, moisture_kg_per_kg;
    mdr_line_list length_before_cm, length_after_cm, width_before_cm, width_after_cm;
    mdr_line_list sample_g, measured_width_cm, measured_layflat_cm, bow_cm, skew_cm;
    mdr_line_list diagonal_ac_cm, diagonal_bd_cm, spirality_deg;
    int grade[MDR_GRADES], grade_min[MDR_GRADES]; /* halves above grade 1 */
    /* inspect */
    double length_m, length_yd, width_inch, limit_per_100_m2, limit_per_100_yd2;
    int points;
    mdr_line_list defect_at_m, defect_mm, hole_at_m, hole_mm;
    mdr_line_list defect_at_yd, defect_inch, hole_at_yd, hole_inch;
    /* grey */
    double finished_kg, grey_kg, reject_pct, knit_waste_pct, lot_min_kg, lot_max_kg;
    int lots_max;
    mdr_line_list loss_pct, roll_kg;
    bool has_wales, has_needles, has_start_courses, has_length_residual, has_width_residual;
    bool has_dry_overfeed, has_dry_width;
    bool has_gsm, has_length_shrink, has_width_shrink, has_wet_gsm, has_air, has_exhaust,
        has_exhaust_c, has_out_c;
    bool has_set_c, has_dwell, has_speed, has_better_moisture, has_better_exhaust, has_trough;
    bool has_bow_max, has_skew_max, has_twist_max, has_spirality_max, has_courses;
    bool has_grade[MDR_GRADES], has_grade_min[MDR_GRADES];
    bool has_length_m, has_length_yd, has_width_inch, has_limit_m2, has_limit_yd2, has_points;
    bool has_finished, has_grey, has_lot_max;
} mdr_line_ask;

/* Reads a question. Every fault goes to `found` (may be NULL), the first one to err.
 *   errors  MDR_E_PARSE, MDR_E_RANGE (place: the key); MDR_E_NOMEM */
mdr_code mdr_wire_line_ask_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                                mdr_line_ask *out, mdr_err *err) MDR_MUST_CHECK;

const char *mdr_line_question_id(mdr_line_question q);
const char *mdr_line_question_words(mdr_line_question q);
/* Grade of an index of mdr_line_ask.grade. */
double mdr_line_grade(int halves);

#endif
