/* Four-point inspection; grey need and rolls to lots. */
#include "app/mdr_app_line_in.h"
#include "core/knit/mdr_grey.h"
#include "core/knit/mdr_inspect.h"

static const double MM_PER_CM = 10.0;

/* -- inspection -- */

static void add(mdr_inspect_defect *to, int *n, mdr_line_list at, mdr_line_list size, bool hole)
{
    for (int i = 0; i < at.n; i++) {
        to[(*n)++] =
            (mdr_inspect_defect){.at = at.values[i], .length = size.values[i], .hole = hole};
    }
}

static mdr_code count_points(mdr_line_desk *d, int *points, mdr_err *err)
{
    const mdr_line_ask *q = d->q;
    const bool metric = q->has_length_m;
    const mdr_line_list at = metric ? q->defect_at_m : q->defect_at_yd;
    const mdr_line_list holes = metric ? q->hole_at_m : q->hole_at_yd;
    int n = 0;
    if (q->has_points || at.n + holes.n == 0) {
        *points = q->points;
        return MDR_OK;
    }
    mdr_inspect_defect *all =
        MDR_NEW_N(d->desk.arena, mdr_inspect_defect, (size_t)(at.n + holes.n));
    if (all == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the defects");
    }
    add(all, &n, at, metric ? q->defect_mm : q->defect_inch, false);
    add(all, &n, holes, metric ? q->hole_mm : q->hole_inch, true);
    return mdr_inspect_total(metric ? MDR_INSPECT_MM : MDR_INSPECT_INCH, all, n, points, err);
}

mdr_code mdr_answer_inspect(mdr_line_desk *d, mdr_err *err)
{
    const mdr_line_ask *q = d->q;
    const bool metric = q->has_length_m;
    int points = 0;
    MDR_TRY(count_points(d, &points, err));
    const double per_100 =
        metric ? mdr_inspect_per_100_m2(points, q->length_m,
                                        MM_PER_CM * q->wide[MDR_WIDTH_ASKED].width_cm)
               : mdr_inspect_per_100_yd2(points, q->length_yd, q->width_inch);
    mdr_desk_number(&d->desk, "points", "points", "", points);
    mdr_desk_number(&d->desk, metric ? "points_per_100_m2" : "points_per_100_yd2",
                    metric ? "points per 100 m2" : "points per 100 square yards", "", per_100);
    if (metric ? q->has_limit_m2 : q->has_limit_yd2) {
        const double limit = metric ? q->limit_per_100_m2 : q->limit_per_100_yd2;
        const bool passes = mdr_inspect_passes(per_100, limit);
        mdr_desk_text(&d->desk, "verdict", "the piece", passes ? "pass" : "fail",
                      passes ? "passes" : "fails");
        mdr_desk_number(&d->desk, "over", "beyond the limit by", "",
                        passes ? 0.0 : per_100 - limit);
    } else {
        mdr_desk_note(&d->desk, "The limit is the buyer's own: 40 for a piece, or 28 with 20 on "
                                "average over all, are seen per 100 square yards.");
    }
    mdr_line_because(d, MDR_WHY_POINTS);
    if (!q->has_points) {
        mdr_desk_note(&d->desk, metric
                                    ? "A defect that runs on is to be given once for each metre."
                                    : "A defect that runs on is to be given once for each yard.");
    }
    return MDR_OK;
}

/* -- grey need -- */

static mdr_code put_need(mdr_line_desk *d, mdr_err *err)
{
    const mdr_line_ask *q = d->q;
    mdr_grey_losses losses = {.reject_pct = q->reject_pct,
                              .n_losses = q->loss_pct.n,
                              .knit_waste_pct = q->knit_waste_pct};
    mdr_grey_need need;
    for (int i = 0; i < q->loss_pct.n; i++) {
        losses.loss_pct[i] = q->loss_pct.values[i];
    }
    MDR_TRY(q->has_finished ? mdr_grey_of_finished(q->finished_kg, &losses, &need, err)
                            : mdr_grey_to_finished(q->grey_kg, &losses, &need, err));
    mdr_desk_number(&d->desk, "finished_kg", "good finished fabric", "kg", need.finished_kg);
    mdr_desk_number(&d->desk, "inspected_kg", "to the inspection table", "kg", need.inspected_kg);
    mdr_desk_number(&d->desk, "grey_kg", "grey fabric", "kg", need.grey_kg);
    mdr_desk_number(&d->desk, "yarn_kg", "yarn", "kg", need.yarn_kg);
    mdr_line_because(d, MDR_WHY_GREY);
    mdr_desk_note(&d->desk,
                  "Losses divide: what is lost is a part of what goes in. Rejects 1 % and "
                  "knitting waste 2 % are common practice when not given.");
    return MDR_OK;
}

static void put_lots(mdr_desk *d, const mdr_grey_lots *lots)
{
    mdr_desk_group(d, "lots", "Lots");
    mdr_desk_number(d, "lots", "lots", "", lots->n_lots);
    mdr_desk_number(d, "placed_kg", "in lots", "kg", lots->placed_kg);
    mdr_desk_number(d, "remainder_kg", "left over", "kg", lots->remainder_kg);
    mdr_desk_number(d, "rolls_left_over", "rolls left over", "", lots->n_left_over);
    mdr_desk_number(d, "rolls_too_heavy", "of these heavier than the machine takes", "",
                    lots->n_too_heavy);
    mdr_desk_number(d, "least_lots", "no fewer lots than", "", lots->bound_lots);
    mdr_desk_number(d, "least_remainder_kg", "no less left over than", "kg",
                    lots->bound_remainder_kg);
    mdr_desk_group(d, NULL, NULL);
}

static const mdr_answer_column ROLLS[] = {{"roll", "roll", ""},
                                          {"roll_kg", "weight", "kg"},
                                          {"lot", "lot", ""},
                                          {"lot_kg", "lot of", "kg"}};
enum { N_ROLLS = (int)(sizeof ROLLS / sizeof ROLLS[0]) };

static mdr_code put_rolls(mdr_line_desk *d, mdr_err *err)
{
    const mdr_line_ask *q = d->q;
    const int n = q->roll_kg.n;
    const mdr_grey_rolls rolls = {.roll_kg = q->roll_kg.values,
                                  .n = n,
                                  .lot_min_kg = q->lot_min_kg,
                                  .lot_max_kg = q->lot_max_kg,
                                  .lots_max = q->lots_max};
    int *lot_of = MDR_NEW_N(d->desk.arena, int, (size_t)n);
    double *lot_kg = MDR_NEW_N(d->desk.arena, double, (size_t)n);
    mdr_grey_lots lots;
    if (lot_of == NULL || lot_kg == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the lots");
    }
    MDR_TRY(mdr_grey_rolls_to_lots(&rolls, lot_of, lot_kg, &lots, err));
    put_lots(&d->desk, &lots);
    MDR_TRY(mdr_desk_table(&d->desk, "rolls", "Rolls, in the order given; lot 0: left over", ROLLS,
                           N_ROLLS, n, err));
    double *cell = d->desk.a->table.cells;
    for (int i = 0; i < n; i++) {
        const bool placed = lot_of[i] != MDR_GREY_LEFT_OVER;
        *cell++ = i + 1;
        *cell++ = q->roll_kg.values[i];
        *cell++ = placed ? lot_of[i] + 1 : 0;
        *cell++ = placed ? lot_kg[lot_of[i]] : 0.0;
    }
    mdr_line_because(d, MDR_WHY_LOTS);
    return MDR_OK;
}

mdr_code mdr_answer_grey(mdr_line_desk *d, mdr_err *err)
{
    if (d->q->has_finished || d->q->has_grey) {
        MDR_TRY(put_need(d, err));
    }
    return d->q->roll_kg.n > 0 ? put_rolls(d, err) : MDR_OK;
}
