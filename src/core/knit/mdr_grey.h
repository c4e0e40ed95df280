/*
 * mdr_grey.h - how much grey fabric and yarn an order takes, and which rolls go into which lot.
 *
 * Layer: core/knit (pure). Methods: docs/methods/specification.md#grey-need, #rolls-to-lots
 *
 * A loss is a part of what goes IN. So a need is divided by (1 - loss), never multiplied by
 * (1 + loss): 10 % lost take 11.1 % more.
 *
 * Sources (keys of docs/sources.md)
 *   [mass-balance] losses, commercial mass
 *   [bin-packing]  lots: first-fit decreasing, bound ceil(sum/capacity)
 *   [definition]   the bound on the remainder, shown in the section
 */
#ifndef MDR_GREY_H
#define MDR_GREY_H

#include "base/mdr_err.h"

enum { MDR_GREY_LOSSES_MAX = 16 };

typedef struct mdr_grey_losses {
    double reject_pct;                    /* of the finished fabric, sorted out at the end */
    double loss_pct[MDR_GREY_LOSSES_MAX]; /* bleach, biopolish, cutting edges .. in any order */
    int n_losses;
    double knit_waste_pct; /* of the yarn */
} mdr_grey_losses;

typedef struct mdr_grey_need {
    double finished_kg; /* good fabric, as ordered */
    double inspected_kg;
    double grey_kg;
    double yarn_kg;
} mdr_grey_need;

/* finished_kg 0 to 1e9 (else MDR_E_RANGE, place "finished_kg"); every per cent in [0, 100),
 * n_losses 0 .. 16 (places "losses.reject_pct", "losses.loss_pct[i]", "losses.knit_waste_pct",
 * "losses.n_losses"). */
mdr_code mdr_grey_of_finished(double finished_kg, const mdr_grey_losses *losses, mdr_grey_need *out,
                              mdr_err *err) MDR_MUST_CHECK;
/* What so much grey fabric will give. Inverse of the above; place "grey_kg". */
mdr_code mdr_grey_to_finished(double grey_kg, const mdr_grey_losses *losses, mdr_grey_need *out,
                              mdr_err *err) MDR_MUST_CHECK;

/* Mass at another regain: bone-dry mass x (1 + regain). Total; regains >= 0, % of the dry mass. */
double mdr_grey_mass_at_regain_kg(double mass_kg, double regain_now_pct, double regain_then_pct);
/* Regain (% of the dry mass) of a moisture content (% of the moist mass), in [0, 100). */
double mdr_grey_regain_of_content_pct(double content_pct);

enum { MDR_GREY_ROLLS_MAX = 500, MDR_GREY_LEFT_OVER = -1 };

typedef struct mdr_grey_rolls {
    const double *roll_kg; /* n of them */
    int n;
    double lot_min_kg, lot_max_kg; /* what the machine takes */
    int lots_max;                  /* at most so many lots; 0: as many as it takes */
} mdr_grey_rolls;

typedef struct mdr_grey_lots {
    int n_lots;
    double placed_kg, remainder_kg; /* in lots; in none */
    int n_left_over;
    int n_too_heavy; /* of these: alone heavier than the machine takes */
    /* No assignment can do better; too heavy rolls are set aside first. The answer may be above
     * them: it is found by improving step by step, not by trying everything. */
    int bound_lots;            /* ceil(sum / lot_max) */
    double bound_remainder_kg; /* from the masses alone */
} mdr_grey_lots;

/*
 * Every roll to a lot, or left over; every lot within the machine's range; the remainder as small
 * as first-fit decreasing and improvement by moves and exchanges make it.
 *   lot_of   n numbers: lot 0 .. n_lots - 1, or MDR_GREY_LEFT_OVER
 *   lot_kg   n numbers: masses of the lots, the first n_lots of them
 *   errors   MDR_E_ARG (place "n") n not 1 .. 500, (place "lots_max") < 0; MDR_E_RANGE: (places
 *            "lot_min_kg", "lot_max_kg") not 0 <= min <= max, 0 < max <= 1e6;
 *            ("roll_kg[i]") not more than 0, up to 1e5
 *   quality  against trying everything, 3 to 9 rolls and tight limits: the least remainder in 99 of
 *            100; with rolls small beside the lot it is met nearly always
 *   cost     eleven starts of at most 4 n steps, each O(n^2)
 */
mdr_code mdr_grey_rolls_to_lots(const mdr_grey_rolls *rolls, int *lot_of, double *lot_kg,
                                mdr_grey_lots *out, mdr_err *err) MDR_MUST_CHECK;

#endif
