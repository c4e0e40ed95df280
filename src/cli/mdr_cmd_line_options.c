/* The options of `madder line`: each a member of the question (docs/api.md). */
#include <stdio.h>

#include "cli/mdr_cmd_line.h"

#define BIT(k)  (1u << (k))
#define READ    BIT(MDR_LINE_ASK_READ)
#define SET     (BIT(MDR_LINE_ASK_SETTINGS) | READ)
#define DRY     BIT(MDR_LINE_ASK_DRY)
#define PAD     BIT(MDR_LINE_ASK_PAD)
#define RESULT  BIT(MDR_LINE_ASK_RESULT)
#define INSPECT BIT(MDR_LINE_ASK_INSPECT)
#define GREY    BIT(MDR_LINE_ASK_GREY)
#define LINES   (SET | RESULT)
#define OVEN    (DRY | BIT(MDR_LINE_ASK_FIT))

/* name, value, words, key, questions, a word */
const mdr_own_opt mdr_line_options[] = {
    {"line", "LINE", "open-width or tubular (a tube: flat widths)", "line", LINES, true},
    {"relaxed-gsm", "G/M2", "weight of the washed and tumbled sample", "relaxed_gsm", SET, false},
    {"relaxed-courses", "1/CM", "its courses", "relaxed_courses_per_cm", SET, false},
    {"relaxed-width", "CM", "its full open width; or --relaxed-wales", "relaxed_width_cm", SET,
     false},
    {"relaxed-layflat", "CM", "tube: its flat width", "relaxed_layflat_cm", SET, false},
    {"relaxed-wales", "1/CM", "its wales of one face, with --needles", "relaxed_wales_per_cm", SET,
     false},
    {"needles", "N", "of the cylinder", "needles", SET, false},
    {"length-residual", "%", "length shrinkage to be left, exactly", "length_residual_pct", SET,
     false},
    {"width-residual", "%", "width shrinkage to be left, exactly", "width_residual_pct", SET,
     false},
    {"gsm", "G/M2", "weight asked for; dry, fit: conditioned", "gsm", LINES | OVEN, false},
    {"gsm-tol", "%", "its tolerance, both ways (5)", "gsm_tol_pct", LINES, false},
    {"width", "CM", "full open width: asked for, dried, inspected", "width_cm",
     LINES | DRY | INSPECT, false},
    {"width-tol", "CM", "its tolerance, both ways (2.54)", "width_tol_cm", LINES, false},
    {"layflat", "CM", "tube: flat width asked for", "layflat_cm", LINES, false},
    {"layflat-tol", "CM", "tube: its tolerance (1.27)", "layflat_tol_cm", LINES, false},
    {"length-shrink", "%", "length shrinkage, at most", "length_shrink_pct", LINES, false},
    {"width-shrink", "%", "width shrinkage, at most", "width_shrink_pct", LINES, false},
    {"growth", "%", "growth in washing that is accepted (2)", "growth_pct", LINES, false},
    {"start-width", "CM", "fabric at the beginning of the line", "start_width_cm", SET, false},
    {"start-layflat", "CM", "tube: the same", "start_layflat_cm", SET, false},
    {"start-courses", "1/CM", "its courses", "start_courses_per_cm", SET, false},
    {"start-length-shrink", "%", "not read: shrinkage it has there (10)", "start_length_shrink_pct",
     SET, false},
    {"start-width-shrink", "%", "not read: shrinkage it has there (5)", "start_width_shrink_pct",
     SET, false},
    {"start-moisture", "KG/KG", "its moisture on bone dry (2)", "start_moisture_kg_per_kg", SET,
     false},
    {"regain", "%", "of conditioned fabric (8.5)", "regain_pct", LINES | OVEN, false},
    {"width-min", "CM", "narrowest the machine grips (80)", "width_min_cm", LINES, false},
    {"width-max", "CM", "widest the machine grips (240)", "width_max_cm", LINES, false},
    {"layflat-min", "CM", "tube: narrowest spread (40)", "layflat_min_cm", LINES, false},
    {"layflat-max", "CM", "tube: widest spread (120)", "layflat_max_cm", LINES, false},
    {"overfeed-min", "%", "of stenter or spreader (0)", "overfeed_min_pct", LINES, false},
    {"overfeed-max", "%", "of stenter (50) or spreader (30)", "overfeed_max_pct", LINES, false},
    {"compact-min", "%", "of the compactor (0)", "compact_min_pct", LINES, false},
    {"compact-max", "%", "of the compactor (15)", "compact_max_pct", LINES, false},
    {"compact-overfeed", "%", "wanted of the compactor (8)", "compact_overfeed_pct", LINES, false},
    {"compact-width", "%", "width it gives, below 0 takes (0)", "compact_width_change_pct", LINES,
     false},
    {"compact-moisture", "KG/KG", "behind the compactor (0.06)", "compact_moisture_kg_per_kg",
     LINES, false},
    {"squeeze-overfeed", "%", "below 0: stretch (-4; tube -5)", "squeeze_overfeed_pct", SET, false},
    {"squeeze-moisture", "KG/KG", "behind the squeezer (0.84; 0.90)", "squeeze_moisture_kg_per_kg",
     SET, false},
    {"pad-overfeed", "%", "of the padder (-1)", "pad_overfeed_pct", LINES, false},
    {"pad-moisture", "KG/KG", "behind the padder (0.95)", "pad_moisture_kg_per_kg", LINES, false},
    {"dry-overfeed", "%", "tube: of the relax dryer (5)", "dry_overfeed_pct", LINES, false},
    {"dry-width", "%", "tube: width it gives (-4)", "dry_width_change_pct", LINES, false},
    {"dry-moisture", "KG/KG", "behind the dryer (0.07)", "dry_moisture_kg_per_kg", LINES, false},
    {"pass", "N", "read: number of the pass behind which was read", "pass", READ, false},
    {"read-width", "CM", "read: full open width", "read_width_cm", READ, false},
    {"read-layflat", "CM", "read, tube: flat width", "read_layflat_cm", READ, false},
    {"read-courses", "1/CM", "read: courses", "read_courses_per_cm", READ, false},
    {"read-moisture", "KG/KG", "read: moisture on bone dry", "read_moisture_kg_per_kg", READ,
     false},
    {"read-wet-gsm", "G/M2", "read: weight by cutter, as it was", "read_wet_gsm", READ, false},
    {"moisture-in", "KG/KG", "on bone dry, into the oven", "moisture_in_kg_per_kg", OVEN, false},
    {"moisture-out", "KG/KG", "out of the oven (0.07)", "moisture_out_kg_per_kg", OVEN, false},
    {"air-temp", "C", "air of the oven (150)", "air_c", OVEN, false},
    {"air-humidity", "KG/KG", "of it, on dry air (as the exhaust)", "air_kg_per_kg", OVEN, false},
    {"exhaust-humidity", "KG/KG", "of the exhaust (0.05)", "exhaust_kg_per_kg", DRY, false},
    {"exhaust-temp", "C", "of the exhaust (20 below the air)", "exhaust_c", DRY, false},
    {"fresh-temp", "C", "fresh air (25)", "fresh_c", DRY, false},
    {"fresh-humidity", "KG/KG", "fresh air (0.012)", "fresh_kg_per_kg", DRY, false},
    {"fabric-in-temp", "C", "fabric coming in (25)", "fabric_in_c", DRY, false},
    {"fabric-out-temp", "C", "going out (30 below the air)", "fabric_out_c", DRY, false},
    {"heat-loss", "%", "of the heat put in (10)", "heat_loss_pct", DRY, false},
    {"oven", "M", "heated length", "oven_m", OVEN, false},
    {"h", "W/M2K", "heat transfer at each face, from fit", "h_w_per_m2_k", DRY, false},
    {"entry", "S", "until the wet fabric is warm (3)", "entry_s", OVEN, false},
    {"critical", "KG/KG", "moisture where the surface dries out (0.25)", "critical_kg_per_kg", OVEN,
     false},
    {"equilibrium", "KG/KG", "moisture it keeps in hot air (0.01)", "equilibrium_kg_per_kg", OVEN,
     false},
    {"set-temp", "C", "heat setting: of the fabric", "set_c", DRY, false},
    {"set-dwell", "S", "heat setting: at that temperature", "set_dwell_s", DRY, false},
    {"speed", "M/MIN", "fit: of the run; dry: wanted (the most)", "speed_m_per_min", OVEN, false},
    {"speed-min", "M/MIN", "slowest of the machine (5)", "speed_min_m_per_min", DRY, false},
    {"speed-max", "M/MIN", "fastest of the machine (80)", "speed_max_m_per_min", DRY, false},
    {"better-moisture", "KG/KG", "entry moisture to compare with", "better_moisture_in_kg_per_kg",
     DRY, false},
    {"better-exhaust", "KG/KG", "exhaust to compare with (0.10)", "better_exhaust_kg_per_kg", DRY,
     false},
    {"add-on", "%", "product wanted on the fabric", "add_on_pct", PAD, false},
    {"pickup-in", "%", "liquor in the fabric coming in (0)", "pickup_in_pct", PAD, false},
    {"pickup-out", "%", "liquor in the fabric going out", "pickup_out_pct", PAD, false},
    {"fabric", "KG", "fabric, as the pick-ups are counted", "fabric_kg", PAD, false},
    {"trough", "KG", "liquor in the trough", "trough_kg", PAD, false},
    {"mark", "CM", "length of every mark before washing (35)", "mark_cm", RESULT, false},
    {"length-before", "CM,..", "marks one by one instead", "length_before_cm", RESULT, false},
    {"length-after", "CM,..", "marks after washing, along", "length_after_cm", RESULT, false},
    {"width-before", "CM,..", "marks one by one instead", "width_before_cm", RESULT, false},
    {"width-after", "CM,..", "marks after washing, across", "width_after_cm", RESULT, false},
    {"sample", "G,..", "weights of cut samples", "sample_g", RESULT, false},
    {"cutter", "CM2", "area of the cutter (100)", "sample_cm2", RESULT, false},
    {"measured-width", "CM,..", "full open width as read", "measured_width_cm", RESULT, false},
    {"measured-layflat", "CM,..", "tube: flat width as read", "measured_layflat_cm", RESULT, false},
    {"bow", "CM,..", "from the straight line", "bow_cm", RESULT, false},
    {"bow-max", "%", "bow, at most", "bow_max_pct", RESULT, false},
    {"skew", "CM,..", "from the straight line", "skew_cm", RESULT, false},
    {"skew-max", "%", "skew, at most", "skew_max_pct", RESULT, false},
    {"diagonal-ac", "CM,..", "of washed squares, for the twist", "diagonal_ac_cm", RESULT, false},
    {"diagonal-bd", "CM,..", "the other one", "diagonal_bd_cm", RESULT, false},
    {"twist-max", "%", "twist by the diagonals, at most", "twist_max_pct", RESULT, false},
    {"spirality", "DEG,..", "angle on washed samples", "spirality_deg", RESULT, false},
    {"spirality-max", "DEG", "angle, at most", "spirality_max_deg", RESULT, false},
    {"courses", "1/CM", "as counted on the lot, for settings", "courses_per_cm", RESULT, false},
    {"moisture", "KG/KG", "of the lot, on bone dry (0.085)", "moisture_kg_per_kg", RESULT, false},
    {"pilling", "GRADE", "1 to 5 in halves: 4-5", "pilling", RESULT, true},
    {"pilling-min", "GRADE", "at least", "pilling_min", RESULT, true},
    {"wash-change", "GRADE", "fastness to washing, shade", "wash_change", RESULT, true},
    {"wash-change-min", "GRADE", "at least", "wash_change_min", RESULT, true},
    {"wash-stain", "GRADE", "fastness to washing, staining", "wash_stain", RESULT, true},
    {"wash-stain-min", "GRADE", "at least", "wash_stain_min", RESULT, true},
    {"sweat-change", "GRADE", "perspiration, shade", "sweat_change", RESULT, true},
    {"sweat-change-min", "GRADE", "at least", "sweat_change_min", RESULT, true},
    {"sweat-stain", "GRADE", "perspiration, staining", "sweat_stain", RESULT, true},
    {"sweat-stain-min", "GRADE", "at least", "sweat_stain_min", RESULT, true},
    {"rub-dry", "GRADE", "rubbing, dry", "rub_dry", RESULT, true},
    {"rub-dry-min", "GRADE", "at least", "rub_dry_min", RESULT, true},
    {"rub-wet", "GRADE", "rubbing, wet", "rub_wet", RESULT, true},
    {"rub-wet-min", "GRADE", "at least", "rub_wet_min", RESULT, true},
    {"light", "GRADE", "light, 1 to 8 in halves", "light", RESULT, true},
    {"light-min", "GRADE", "at least", "light_min", RESULT, true},
    {"length-m", "M", "of the piece; with --width", "length_m", INSPECT, false},
    {"length-yd", "YD", "of the piece; with --width-inch", "length_yd", INSPECT, false},
    {"width-inch", "INCH", "of the piece", "width_inch", INSPECT, false},
    {"points", "N", "counted already", "points", INSPECT, false},
    {"defect-at-m", "M,..", "where each defect is", "defect_at_m", INSPECT, false},
    {"defect-mm", "MM,..", "how long each defect is", "defect_mm", INSPECT, false},
    {"hole-at-m", "M,..", "where each hole is", "hole_at_m", INSPECT, false},
    {"hole-mm", "MM,..", "how large each hole is", "hole_mm", INSPECT, false},
    {"defect-at-yd", "YD,..", "in yards", "defect_at_yd", INSPECT, false},
    {"defect-inch", "INCH,..", "in inches", "defect_inch", INSPECT, false},
    {"hole-at-yd", "YD,..", "in yards", "hole_at_yd", INSPECT, false},
    {"hole-inch", "INCH,..", "in inches", "hole_inch", INSPECT, false},
    {"limit-m2", "N", "points per 100 m2, at most", "limit_per_100_m2", INSPECT, false},
    {"limit-yd2", "N", "points per 100 yd2, at most", "limit_per_100_yd2", INSPECT, false},
    {"finished", "KG", "finished fabric ordered", "finished_kg", GREY, false},
    {"grey", "KG", "or grey fabric there is", "grey_kg", GREY, false},
    {"reject", "%", "of the finished fabric (1)", "reject_pct", GREY, false},
    {"loss", "%,..", "each loss from grey to finished", "loss_pct", GREY, false},
    {"knit-waste", "%", "of the yarn (2)", "knit_waste_pct", GREY, false},
    {"roll", "KG,..", "weights of the rolls", "roll_kg", GREY, false},
    {"lot-min", "KG", "least a machine takes (0)", "lot_min_kg", GREY, false},
    {"lot-max", "KG", "most a machine takes", "lot_max_kg", GREY, false},
    {"lots-max", "N", "at most so many lots (0: any)", "lots_max", GREY, false},
    {NULL, NULL, NULL, NULL, 0, false},
};

void mdr_cmd_line_questions(void)
{
    (void)puts(
        "\nQuestions, and what each needs at least:\n"
        "  settings      --line --relaxed-gsm --relaxed-courses --relaxed-width, and the goal:\n"
        "                --gsm --width --length-shrink --width-shrink, or both residuals\n"
        "  read          the same, --pass --read-width --read-courses --read-moisture\n"
        "  dry           --width --gsm --moisture-in --oven --h: speed, heat, what would save\n"
        "  fit           --gsm --moisture-in --moisture-out --air-temp --air-humidity --oven "
        "--speed\n"
        "  pad           --add-on --pickup-out --fabric: trough and feed\n"
        "  result        --gsm --width --length-shrink --width-shrink and what was measured\n"
        "  inspect       --length-m --width and points or defects: four-point system\n"
        "  grey          --finished --loss, or --roll --lot-max\n"
        "Several numbers with commas between: --length-after 33.5,33.7,33.6\n"
        "Example:  madder line settings --line open-width --relaxed-gsm 180 --relaxed-courses 20 "
        "--relaxed-width 150 --gsm 160 --width 160 --length-shrink 5 --width-shrink 7");
}
