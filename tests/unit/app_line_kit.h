/*
 * app_line_kit.h - questions to the finishing desk, asked as JSON, in parts.
 */
#ifndef APP_LINE_KIT_H
#define APP_LINE_KIT_H

#include "t.h"

#include <stdio.h>
#include <string.h>

#include "app/mdr_app_line.h"
#include "desk_kit.h"
#include "why_kit.h"

enum { ARENA_BYTES = 4 << 20 };

static desk_kit kit = {.answer = mdr_app_line, .json = mdr_app_line_json};

static int set_up(void **state)
{
    (void)state;
    kit.arena = mdr_arena_new(ARENA_BYTES);
    return kit.arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    mdr_arena_free(kit.arena);
    return 0;
}

#define OPEN                                                                     \
    "\"line\":\"open-width\",\"relaxed_gsm\":180,\"relaxed_courses_per_cm\":20," \
    "\"relaxed_width_cm\":150"
#define TUBE                                                                  \
    "\"line\":\"tubular\",\"relaxed_gsm\":180,\"relaxed_courses_per_cm\":20," \
    "\"relaxed_layflat_cm\":75"
#define RESIDUAL "\"length_residual_pct\":4,\"width_residual_pct\":5"
#define SPEC     "\"gsm\":160,\"width_cm\":160,\"length_shrink_pct\":5,\"width_shrink_pct\":7"
#define SET      "{\"do\":\"settings\"," OPEN "," RESIDUAL "}"
#define SET_SPEC "{\"do\":\"settings\"," OPEN "," SPEC "}"
#define SET_TUBE "{\"do\":\"settings\"," TUBE "," RESIDUAL "}"
#define WALES                                                           \
    "{\"do\":\"settings\",\"line\":\"open-width\",\"relaxed_gsm\":180," \
    "\"relaxed_courses_per_cm\":20,\"relaxed_wales_per_cm\":15,\"needles\":2250," RESIDUAL "}"
#define STARTED                                                                      \
    "{\"do\":\"settings\"," OPEN "," RESIDUAL ",\"start_width_cm\":165,"             \
    "\"start_courses_per_cm\":17,\"squeeze_overfeed_pct\":0,\"pad_overfeed_pct\":0," \
    "\"compact_overfeed_pct\":10,\"compact_width_change_pct\":2}"
#define DRY                                                                            \
    "{\"do\":\"dry\",\"width_cm\":180,\"gsm\":180,\"moisture_in_kg_per_kg\":0.7,"      \
    "\"moisture_out_kg_per_kg\":0.07,\"oven_m\":24,\"h_w_per_m2_k\":30,\"air_c\":150," \
    "\"exhaust_c\":130,\"fresh_c\":30,\"fabric_in_c\":30,\"fabric_out_c\":120,\"entry_s\":0"
#define DRY_20 DRY ",\"exhaust_kg_per_kg\":0.1,\"speed_m_per_min\":20"
#define FIT                                                                    \
    "{\"do\":\"fit\",\"gsm\":180,\"moisture_in_kg_per_kg\":0.7,\"entry_s\":0," \
    "\"moisture_out_kg_per_kg\":0.07,\"air_c\":150,\"air_kg_per_kg\":0.1,"     \
    "\"oven_m\":24,\"speed_m_per_min\":25.57}"
#define PAD                                                                        \
    "{\"do\":\"pad\",\"add_on_pct\":2,\"pickup_in_pct\":60,\"pickup_out_pct\":80," \
    "\"fabric_kg\":500,\"trough_kg\":40}"
#define MARKS                                                                  \
    "\"length_after_cm\":[31.8,31.9,31.85],\"width_after_cm\":[32.9,33,32.8]," \
    "\"sample_g\":[1.55,1.56,1.54],\"measured_width_cm\":[159.5,159.8]"
#define RESULT "{\"do\":\"result\"," SPEC "," MARKS
#define INSPECT_YD                                                                                 \
    "{\"do\":\"inspect\",\"length_yd\":150,\"width_inch\":56,\"points\":28,\"limit_per_100_yd2\":" \
    "12}"
#define INSPECT_M                                                                     \
    "{\"do\":\"inspect\",\"length_m\":100,\"width_cm\":150,\"limit_per_100_m2\":0.4," \
    "\"defect_at_m\":[3.2,3.7,9],\"defect_mm\":[300,200,60],\"hole_at_m\":[50],\"hole_mm\":[20]}"
#define GREY "{\"do\":\"grey\",\"finished_kg\":10000,\"loss_pct\":[5,3,1]}"
#define BACK "{\"do\":\"grey\",\"grey_kg\":11072.2,\"loss_pct\":[5,3,1]}"
#define ROLLS \
    "{\"do\":\"grey\",\"roll_kg\":[25,25,24,26,22,20,90],\"lot_min_kg\":60,\"lot_max_kg\":80}"

#endif
