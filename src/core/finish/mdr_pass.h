/*
 * mdr_pass.h - one pass of the fabric through a finishing machine: its settings, and the fabric
 * that comes out.
 *
 * Layer: core/finish (pure).
 * Methods: docs/methods/finishing.md#passes
 *
 * A machine either grips the width (pins, clips, a spreader's frame): then the width is a
 * setting. Or the fabric finds its own: then only its change is known, from the mill's last lots.
 *
 * The dry mass of a finish put on by the padder (0.5 to 3 % of the fabric) is not added to the
 * fabric's: it is not in the relaxed sample either, unless the mill washes finished fabric.
 *
 * Sources (keys of docs/sources.md)
 *   [mass-balance]        what a pass does to loops, mass and speed
 *   [finishing-settings]  usual settings; each says how well it is known
 */
#ifndef MDR_PASS_H
#define MDR_PASS_H

#include <stdbool.h>

#include "core/finish/mdr_web.h"

typedef enum mdr_pass_kind {
    /* open width */
    MDR_PASS_DEWATER, /* squeeze, slit open, spread */
    MDR_PASS_PAD,     /* trough and squeeze: softener, finish */
    MDR_PASS_STENTER,
    MDR_PASS_COMPACT, /* felt or shoe */
    /* tube */
    MDR_PASS_BALLOON, /* balloon squeeze */
    MDR_PASS_SPREAD,  /* frame inside the tube, with overfeed */
    MDR_PASS_RELAX_DRY,
    MDR_PASS_TUBE_COMPACT,
    MDR_PASS_KINDS
} mdr_pass_kind;

typedef struct mdr_pass {
    mdr_pass_kind kind;
    double width_cm;              /* out; only where the machine grips, else not looked at */
    double width_change_fraction; /* only where it does not: width out / width in - 1 */
    double overfeed_fraction;     /* below 0: stretched */
    double moisture_kg_per_kg;    /* out, on bone dry; a spreader leaves it as it is */
    double temp_c;                /* of the fabric leaving */
    double speed_m_per_min;       /* of the fabric leaving */
} mdr_pass;

bool mdr_pass_grips(mdr_pass_kind kind);    /* stenter, spreader */
bool mdr_pass_compacts(mdr_pass_kind kind); /* both compactors */

typedef struct mdr_pass_range {
    double low, usual, high;
} mdr_pass_range;

/* What is usual, to start from and to remark on; never a limit. The mill's own take their place. */
typedef struct mdr_pass_usual {
    mdr_pass_range overfeed_fraction;
    mdr_pass_range width_change_fraction; /* 0 where the machine grips */
    mdr_pass_range moisture_kg_per_kg;    /* out */
    mdr_pass_range machine_c;             /* air, felt, shoe; 0: cold */
    mdr_pass_range speed_m_per_min;
} mdr_pass_usual;

const mdr_pass_usual *mdr_pass_usual_of(mdr_pass_kind kind);
/* A pass with the usual settings; width_cm where the machine grips. */
mdr_pass mdr_pass_with_usual(mdr_pass_kind kind, double width_cm);

/* Fabric compacted outside of this does not keep it: too dry the loops do not move, too damp they
 * are not set. kg per kg bone dry. Common practice. */
#define MDR_PASS_COMPACT_DRIEST_KG_PER_KG  0.04
#define MDR_PASS_COMPACT_DAMPEST_KG_PER_KG 0.10

/* Display of a compactor that counts length taken away, and of one that counts feed. */
double mdr_pass_length_loss(const mdr_pass *pass);
/* Speed of the fabric going in, so that the pass leaves with its own. */
double mdr_pass_speed_in_m_per_min(const mdr_pass *pass);

/* Overfeed -0.5 .. 1, width 1 .. 1000 cm, its change -0.5 .. 1, moisture 0 .. 5, -20 .. 300 C, speed
 * 0 .. 500; MDR_E_RANGE with the field as the place. MDR_E_ARG: no such kind. */
mdr_code mdr_pass_check(const mdr_pass *pass, mdr_err *err) MDR_MUST_CHECK;

/*
 * The fabric after the pass.
 *   in      a web that passes its check
 *   errors  as above; MDR_E_INFEAS (place "moisture_kg_per_kg") when a padder is to dry, or a
 *           squeezer or dryer to wet the fabric. A compactor may do either: it steams and heats.
 */
mdr_code mdr_pass_apply(const mdr_web *in, const mdr_pass *pass, mdr_web *out,
                        mdr_err *err) MDR_MUST_CHECK;

/* n passes one after the other: after[i] is the fabric behind passes[i]. On an error the place
 * begins with passes[i] and nothing beyond after[i - 1] is written. */
mdr_code mdr_pass_run(const mdr_web *in, const mdr_pass *passes, int n, mdr_web *after,
                      mdr_err *err) MDR_MUST_CHECK;

#endif
