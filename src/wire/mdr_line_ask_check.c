/* What must go together in a question to the finishing desk. */
#include <stdio.h>

#include "core/finish/mdr_settle.h"
#include "wire/mdr_limit.h"
#include "wire/mdr_line_ask_in.h"

/* -- widths of a tube -- */

static void one_width(mdr_reader *r, mdr_line_ask *q, int i)
{
    const bool tube = q->line == MDR_LINE_TUBULAR;
    mdr_line_wide *w = &q->wide[i];
    const mdr_line_width_keys *key = &mdr_line_width_keys_of[i];
    char remedy[80];
    (void)snprintf(remedy, sizeof remedy, "give %s", tube ? key->layflat : key->width);
    if (tube && w->has_width) {
        mdr_reader_say(r, key->width, "a tube is measured flat, and is twice as wide", remedy);
    } else if (!tube && w->has_layflat) {
        mdr_reader_say(r, key->layflat, "only a tube has a flat width", remedy);
    } else if (w->has_layflat) {
        w->width_cm = 2.0 * w->layflat_cm;
        w->has_width = true;
    }
}

/* The key under which this width was or is to be given. */
static const char *key_of(const mdr_line_ask *q, mdr_line_width i)
{
    const mdr_line_width_keys *key = &mdr_line_width_keys_of[i];
    return q->line == MDR_LINE_TUBULAR ? key->layflat : key->width;
}

static void need(mdr_reader *r, bool given, const char *key, const char *message)
{
    if (!given) {
        char remedy[80];
        (void)snprintf(remedy, sizeof remedy, "add %s", key);
        mdr_reader_say(r, key, message, remedy);
    }
}

static void not_given(mdr_reader *r, bool given, const char *key, const char *message)
{
    if (given) {
        mdr_reader_say(r, key, message, "leave it out");
    }
}

/* -- a line and its goal -- */

static void in_order(mdr_reader *r, const char *key, double least, double most, const char *upper)
{
    if (least > most) {
        char allowed[sizeof((mdr_err *)NULL)->allowed];
        (void)snprintf(allowed, sizeof allowed, "at most %s, %g", upper, most);
        mdr_limit_fault(r, key, least, allowed);
    }
}

static void machines(mdr_reader *r, const mdr_line_ask *q)
{
    const mdr_line_wide *w = q->wide;
    const double flat = q->line == MDR_LINE_TUBULAR ? 0.5 : 1.0;
    in_order(r, key_of(q, MDR_WIDTH_MIN), flat * w[MDR_WIDTH_MIN].width_cm,
             flat * w[MDR_WIDTH_MAX].width_cm, key_of(q, MDR_WIDTH_MAX));
    in_order(r, "overfeed_min_pct", q->overfeed_min_pct, q->overfeed_max_pct, "overfeed_max_pct");
    if (q->line != MDR_LINE_TUBULAR) {
        const char *settled = "width and overfeed of the stenter are what is asked for";
        not_given(r, q->has_dry_overfeed, "dry_overfeed_pct", settled);
        not_given(r, q->has_dry_width, "dry_width_change_pct", settled);
    }
    in_order(r, "compact_min_pct", q->compact_min_pct, q->compact_max_pct, "compact_max_pct");
    if (q->compact_overfeed_pct < q->compact_min_pct ||
        q->compact_overfeed_pct > q->compact_max_pct) {
        char allowed[sizeof((mdr_err *)NULL)->allowed];
        (void)snprintf(allowed, sizeof allowed, "compact_min_pct %g to compact_max_pct %g",
                       q->compact_min_pct, q->compact_max_pct);
        mdr_limit_fault(r, "compact_overfeed_pct", q->compact_overfeed_pct, allowed);
    }
}

static void tolerance(mdr_reader *r, const mdr_line_ask *q)
{
    const double flat = q->line == MDR_LINE_TUBULAR ? 0.5 : 1.0;
    const double tol_cm = q->wide[MDR_WIDTH_TOL].width_cm;
    if (tol_cm > 0.5 * q->wide[MDR_WIDTH_ASKED].width_cm) {
        mdr_limit_fault(r, key_of(q, MDR_WIDTH_TOL), flat * tol_cm, "0 to half of the width");
    }
}

static void relaxed(mdr_reader *r, mdr_line_ask *q)
{
    mdr_line_wide *w = &q->wide[MDR_WIDTH_RELAXED];
    enum { NEEDLES_LEAST = 20, NEEDLES_MOST = 10000 };
    if (w->has_width == q->has_wales) {
        mdr_reader_say(r, q->has_wales ? "relaxed_wales_per_cm" : key_of(q, MDR_WIDTH_RELAXED),
                       "the width of the relaxed fabric is told once",
                       "give either its width, or relaxed_wales_per_cm and needles");
    } else if (q->has_wales) {
        need(r, q->has_needles, "needles", "a count of wales needs the needles of the cylinder");
    }
    if (q->has_needles && (q->needles < NEEDLES_LEAST || q->needles > NEEDLES_MOST)) {
        mdr_limit_fault(r, "needles", q->needles, "20 to 10000");
    }
    if (q->has_wales && q->has_needles && r->count == 0) {
        w->width_cm = q->needles / q->relaxed_wales_per_cm;
    }
}

static void goal(mdr_reader *r, const mdr_line_ask *q)
{
    const bool asked = q->wide[MDR_WIDTH_ASKED].has_width;
    const bool residual = q->has_length_residual || q->has_width_residual;
    const bool spec = q->has_gsm || asked || q->has_length_shrink || q->has_width_shrink;
    if (residual == spec) {
        mdr_reader_say(r, residual ? "length_residual_pct" : "gsm", "the line needs one goal",
                       "give either length_residual_pct and width_residual_pct, or the "
                       "specification: gsm, width, length_shrink_pct, width_shrink_pct");
    } else if (residual) {
        need(r, q->has_length_residual, "length_residual_pct", "the length needs a goal too");
        need(r, q->has_width_residual, "width_residual_pct", "the width needs a goal too");
    } else {
        const char *message = "a specification has weight, width and both shrinkages";
        need(r, q->has_gsm, "gsm", message);
        need(r, asked, key_of(q, MDR_WIDTH_ASKED), message);
        need(r, q->has_length_shrink, "length_shrink_pct", message);
        need(r, q->has_width_shrink, "width_shrink_pct", message);
        tolerance(r, q);
    }
}

static void line_and_goal(mdr_reader *r, mdr_line_ask *q)
{
    const char *message = "the fabric at the beginning is told by width and courses";
    relaxed(r, q);
    goal(r, q);
    if (q->wide[MDR_WIDTH_START].has_width || q->has_start_courses) {
        need(r, q->has_start_courses, "start_courses_per_cm", message);
        need(r, q->wide[MDR_WIDTH_START].has_width, key_of(q, MDR_WIDTH_START), message);
    }
}

static void reading(mdr_reader *r, const mdr_line_ask *q)
{
    const mdr_line usual =
        q->line == MDR_LINE_TUBULAR ? mdr_line_tubular(100.0) : mdr_line_open(100.0);
    if (q->pass < 1 || q->pass > usual.n) {
        char allowed[32];
        (void)snprintf(allowed, sizeof allowed, "1 to %d", usual.n);
        mdr_limit_fault(r, "pass", q->pass, allowed);
    }
    need(r, q->wide[MDR_WIDTH_READ].has_width, key_of(q, MDR_WIDTH_READ),
         "a reading has the width");
}

/* -- lists -- */

static void as_many(mdr_reader *r, const char *key, mdr_line_list list, const char *other,
                    mdr_line_list others)
{
    if (list.n != others.n) {
        char allowed[sizeof((mdr_err *)NULL)->allowed];
        (void)snprintf(allowed, sizeof allowed, "as many as %s, %d", other, others.n);
        mdr_limit_fault(r, key, list.n, allowed);
    }
}

static void results(mdr_reader *r, const mdr_line_ask *q)
{
    const bool tube = q->line == MDR_LINE_TUBULAR;
    const char *flat = "a tube is measured flat, and is twice as wide";
    const char *open = "bow and skew are read across an open width";
    need(r, q->wide[MDR_WIDTH_ASKED].has_width, key_of(q, MDR_WIDTH_ASKED),
         "a specification has a width");
    tolerance(r, q);
    if (q->length_before_cm.n > 0) {
        as_many(r, "length_before_cm", q->length_before_cm, "length_after_cm", q->length_after_cm);
    }
    if (q->width_before_cm.n > 0) {
        as_many(r, "width_before_cm", q->width_before_cm, "width_after_cm", q->width_after_cm);
    }
    as_many(r, "diagonal_bd_cm", q->diagonal_bd_cm, "diagonal_ac_cm", q->diagonal_ac_cm);
    if (tube) {
        not_given(r, q->measured_width_cm.n > 0, "measured_width_cm", flat);
        not_given(r, q->bow_cm.n > 0, "bow_cm", open);
        not_given(r, q->skew_cm.n > 0, "skew_cm", open);
        not_given(r, q->has_bow_max, "bow_max_pct", open);
        not_given(r, q->has_skew_max, "skew_max_pct", open);
    } else {
        not_given(r, q->measured_layflat_cm.n > 0, "measured_layflat_cm",
                  "only a tube has a flat width");
        if (q->bow_cm.n > 0 || q->skew_cm.n > 0) {
            need(r, q->measured_width_cm.n > 0, "measured_width_cm", open);
        }
    }
}

/* Points counted, or a list of defects, in one system of units. */
static void inspection(mdr_reader *r, const mdr_line_ask *q)
{
    const bool metric = q->has_length_m;
    const char *mixed = "metres go with cm and mm, yards with inches";
    const bool wide = q->wide[MDR_WIDTH_ASKED].has_width;
    if (q->has_length_m == q->has_length_yd) {
        mdr_reader_say(r, "length_m", "the length of the piece is told once",
                       "give either length_m with width_cm, or length_yd with width_inch");
        return;
    }
    need(r, metric ? wide : q->has_width_inch, metric ? "width_cm" : "width_inch",
         "points are counted per area");
    not_given(r, metric ? q->has_width_inch : wide, metric ? "width_inch" : "width_cm", mixed);
    not_given(r, metric ? q->has_limit_yd2 : q->has_limit_m2,
              metric ? "limit_per_100_yd2" : "limit_per_100_m2", mixed);
    not_given(r,
              metric ? q->defect_at_yd.n > 0 || q->defect_inch.n > 0
                     : q->defect_at_m.n > 0 || q->defect_mm.n > 0,
              metric ? "defect_at_yd" : "defect_at_m", mixed);
    not_given(r,
              metric ? q->hole_at_yd.n > 0 || q->hole_inch.n > 0
                     : q->hole_at_m.n > 0 || q->hole_mm.n > 0,
              metric ? "hole_at_yd" : "hole_at_m", mixed);
    if (metric) {
        as_many(r, "defect_mm", q->defect_mm, "defect_at_m", q->defect_at_m);
        as_many(r, "hole_mm", q->hole_mm, "hole_at_m", q->hole_at_m);
    } else {
        as_many(r, "defect_inch", q->defect_inch, "defect_at_yd", q->defect_at_yd);
        as_many(r, "hole_inch", q->hole_inch, "hole_at_yd", q->hole_at_yd);
    }
}

static void points_once(mdr_reader *r, const mdr_line_ask *q)
{
    enum { POINTS_MOST = 1000000 };
    const bool listed = q->defect_at_m.n + q->defect_at_yd.n + q->hole_at_m.n + q->hole_at_yd.n > 0;
    not_given(r, q->has_points && listed, "points", "the points follow from the defects");
    if (q->has_points && (q->points < 0 || q->points > POINTS_MOST)) {
        mdr_limit_fault(r, "points", q->points, "0 to 1000000");
    }
}

static void grey(mdr_reader *r, const mdr_line_ask *q)
{
    const bool order = q->has_finished || q->has_grey;
    if (!order && q->roll_kg.n == 0) {
        mdr_reader_say(r, "finished_kg", "there is nothing to count",
                       "give finished_kg, grey_kg or roll_kg");
    }
    not_given(r, q->has_finished && q->has_grey, "grey_kg", "the one follows from the other");
    if (order) {
        need(r, q->loss_pct.n > 0, "loss_pct", "from grey to finished something is lost");
    }
    if (q->roll_kg.n > 0) {
        need(r, q->has_lot_max, "lot_max_kg", "lots need what the machine takes");
        in_order(r, "lot_min_kg", q->lot_min_kg, q->lot_max_kg, "lot_max_kg");
    }
    if (q->lots_max < 0 || q->lots_max > MDR_GREY_ROLLS_MAX) {
        mdr_limit_fault(r, "lots_max", q->lots_max, "0 to 500");
    }
}

static void drying(mdr_reader *r, const mdr_line_ask *q)
{
    if (q->question == MDR_LINE_DRY) {
        need(r, q->wide[MDR_WIDTH_ASKED].has_width, "width_cm", "what is dried has a width");
        in_order(r, "speed_min_m_per_min", q->speed_min_m_per_min, q->speed_max_m_per_min,
                 "speed_max_m_per_min");
    }
    if (q->has_set_c != q->has_dwell) {
        need(r, q->has_set_c, "set_c", "setting needs temperature and time");
        need(r, q->has_dwell, "set_dwell_s", "setting needs temperature and time");
    }
}

void mdr_line_ask_together(mdr_reader *r, mdr_line_ask *q)
{
    for (int i = 0; i < MDR_WIDTH_COUNT; i++) {
        one_width(r, q, i);
    }
    switch (q->question) {
    case MDR_LINE_READ:
        reading(r, q);
        line_and_goal(r, q);
        machines(r, q);
        break;
    case MDR_LINE_SETTINGS:
        line_and_goal(r, q);
        machines(r, q);
        break;
    case MDR_LINE_RESULT:
        results(r, q);
        machines(r, q);
        break;
    case MDR_LINE_INSPECT:
        inspection(r, q);
        points_once(r, q);
        break;
    case MDR_LINE_GREY:
        grey(r, q);
        break;
    case MDR_LINE_DRY:
    case MDR_LINE_FIT:
        drying(r, q);
        break;
    case MDR_LINE_PAD:
        if (q->pickup_out_pct <= q->pickup_in_pct) {
            mdr_limit_fault(r, "pickup_out_pct", q->pickup_out_pct, "more than pickup_in_pct");
        }
        break;
    case MDR_LINE_QUESTION_COUNT:
        break;
    }
}
