/* Questions to the finishing desk that are refused: the place, the words. */
#include "app_line_kit.h"

#define Q(what, rest) "{\"do\":\"" what "\"," rest "}"
static const desk_refusal REFUSED[] = {
    {"{}", "do", MDR_E_PARSE},
    {"{\"do\":\"setings\"}", "do", MDR_E_PARSE},
    {"{\"do\":\"settings\"}", "line", MDR_E_PARSE},
    {Q("settings", OPEN), "gsm", MDR_E_PARSE},
    {Q("settings", OPEN "," SPEC "," RESIDUAL), "length_residual_pct", MDR_E_PARSE},
    {Q("settings", OPEN ",\"length_residual_pct\":4"), "width_residual_pct", MDR_E_PARSE},
    {Q("settings", OPEN ",\"gsm\":160"), "width_cm", MDR_E_PARSE},
    {Q("settings", TUBE ",\"gsm\":160,\"length_shrink_pct\":5,\"width_shrink_pct\":5"),
     "layflat_cm", MDR_E_PARSE},
    {Q("settings", TUBE "," SPEC), "width_cm", MDR_E_PARSE},
    {Q("settings", OPEN "," RESIDUAL ",\"start_layflat_cm\":80,\"start_courses_per_cm\":17"),
     "start_layflat_cm", MDR_E_PARSE},
    {Q("settings", OPEN "," RESIDUAL ",\"start_width_cm\":160"), "start_courses_per_cm",
     MDR_E_PARSE},
    {Q("settings", OPEN "," RESIDUAL ",\"relaxed_wales_per_cm\":15,\"needles\":2000"),
     "relaxed_wales_per_cm", MDR_E_PARSE},
    {Q("settings", "\"line\":\"open-width\",\"relaxed_gsm\":180,\"relaxed_courses_per_cm\":20,"
                   "\"relaxed_wales_per_cm\":15," RESIDUAL),
     "needles", MDR_E_PARSE},
    {Q("settings", OPEN "," RESIDUAL ",\"needles\":2"), "needles", MDR_E_RANGE},
    {Q("settings", OPEN "," RESIDUAL ",\"overfeed_min_pct\":60"), "overfeed_min_pct", MDR_E_RANGE},
    {Q("settings", OPEN "," RESIDUAL ",\"width_min_cm\":300"), "width_min_cm", MDR_E_RANGE},
    {Q("settings", TUBE "," RESIDUAL ",\"layflat_min_cm\":130"), "layflat_min_cm", MDR_E_RANGE},
    {Q("settings", OPEN "," RESIDUAL ",\"compact_overfeed_pct\":20"), "compact_overfeed_pct",
     MDR_E_RANGE},
    {Q("settings", OPEN "," RESIDUAL ",\"dry_overfeed_pct\":5"), "dry_overfeed_pct", MDR_E_PARSE},
    {Q("settings", OPEN "," SPEC ",\"width_tol_cm\":90"), "width_tol_cm", MDR_E_RANGE},
    {Q("settings", OPEN "," RESIDUAL ",\"pad_moisture_kg_per_kg\":0.5"), "pad_moisture_kg_per_kg",
     MDR_E_INFEAS},
    {Q("settings", TUBE "," RESIDUAL ",\"dry_moisture_kg_per_kg\":1.5"), "dry_moisture_kg_per_kg",
     MDR_E_INFEAS},
    {Q("settings", OPEN "," RESIDUAL ",\"start_moisture_kg_per_kg\":0.5"),
     "squeeze_moisture_kg_per_kg", MDR_E_INFEAS},
    {Q("settings", OPEN "," RESIDUAL ",\"pass\":1"), "pass", MDR_E_PARSE},
    {Q("read", OPEN "," RESIDUAL ",\"pass\":5,\"read_width_cm\":150,\"read_courses_per_cm\":18,"
                    "\"read_moisture_kg_per_kg\":0.07"),
     "pass", MDR_E_RANGE},
    {Q("read", OPEN "," RESIDUAL ",\"pass\":2,\"read_courses_per_cm\":18,"
                    "\"read_moisture_kg_per_kg\":0.9"),
     "read_width_cm", MDR_E_PARSE},
    {Q("read", OPEN "," RESIDUAL ",\"pass\":1,\"read_width_cm\":150,\"read_courses_per_cm\":18,"
                    "\"read_moisture_kg_per_kg\":1.2"),
     "pad_moisture_kg_per_kg", MDR_E_INFEAS},
    {Q("settings", OPEN "," RESIDUAL ",\"start_width_cm\":2,\"start_courses_per_cm\":17"),
     "relaxed_width_cm", MDR_E_RANGE},
    {Q("settings", TUBE "," RESIDUAL ",\"start_layflat_cm\":1,\"start_courses_per_cm\":17"),
     "relaxed_layflat_cm", MDR_E_RANGE},
    {DRY ",\"air_kg_per_kg\":9.9,\"speed_m_per_min\":20,\"set_c\":160,\"set_dwell_s\":5}", "set_c",
     MDR_E_INFEAS},
    {Q("fit", "\"gsm\":180,\"moisture_in_kg_per_kg\":0.7,\"moisture_out_kg_per_kg\":0.1,"
              "\"air_c\":60,\"air_kg_per_kg\":1,\"oven_m\":24,\"speed_m_per_min\":25"),
     "air_kg_per_kg", MDR_E_INFEAS},
    {Q("result", SPEC ",\"sample_g\":[1.5,0.05]"), "sample_g[1]", MDR_E_RANGE},
    {Q("result", SPEC ",\"length_after_cm\":[33],\"width_after_cm\":[20],\"sample_g\":[1.6],"
                      "\"measured_width_cm\":[1.2]"),
     "width_after_cm", MDR_E_RANGE},
    {DRY ",\"set_c\":190}", "set_dwell_s", MDR_E_PARSE},
    {DRY ",\"set_c\":190,\"set_dwell_s\":30}", "set_c", MDR_E_INFEAS},
    {DRY ",\"speed_min_m_per_min\":90}", "speed_min_m_per_min", MDR_E_RANGE},
    {DRY ",\"exhaust_kg_per_kg\":0.01}", "exhaust_kg_per_kg", MDR_E_INFEAS},
    {Q("fit", "\"gsm\":180,\"moisture_in_kg_per_kg\":0.7,\"moisture_out_kg_per_kg\":0.005,"
              "\"air_c\":150,\"air_kg_per_kg\":0.1,\"oven_m\":24,\"speed_m_per_min\":25"),
     "moisture_out_kg_per_kg", MDR_E_INFEAS},
    {Q("pad", "\"add_on_pct\":2,\"pickup_in_pct\":80,\"pickup_out_pct\":80,\"fabric_kg\":5"),
     "pickup_out_pct", MDR_E_RANGE},
    {Q("pad", "\"add_on_pct\":12,\"pickup_in_pct\":70,\"pickup_out_pct\":80,\"fabric_kg\":5"),
     "add_on_pct", MDR_E_INFEAS},
    {Q("result", "\"gsm\":160,\"length_shrink_pct\":5,\"width_shrink_pct\":7"), "width_cm",
     MDR_E_PARSE},
    {RESULT ",\"length_before_cm\":[35]}", "length_before_cm", MDR_E_RANGE},
    {RESULT ",\"length_before_cm\":[35,35,80]}", "length_after_cm[2]", MDR_E_RANGE},
    {RESULT ",\"diagonal_ac_cm\":[35]}", "diagonal_bd_cm", MDR_E_RANGE},
    {RESULT ",\"diagonal_ac_cm\":[35,35],\"diagonal_bd_cm\":[36,9]}", "diagonal_bd_cm[1]",
     MDR_E_RANGE},
    {RESULT ",\"bow_cm\":[1,90]}", "bow_cm[1]", MDR_E_RANGE},
    {Q("result", SPEC ",\"bow_cm\":[1]"), "measured_width_cm", MDR_E_PARSE},
    {RESULT ",\"spirality_deg\":[1,99]}", "spirality_deg[1]", MDR_E_RANGE},
    {RESULT ",\"spirality_deg\":[1,\"2\"]}", "spirality_deg[1]", MDR_E_PARSE},
    {RESULT ",\"spirality_deg\":2}", "spirality_deg", MDR_E_PARSE},
    {RESULT ",\"measured_layflat_cm\":[80]}", "measured_layflat_cm", MDR_E_PARSE},
    {RESULT ",\"pilling\":\"4.5\"}", "pilling", MDR_E_PARSE},
    {RESULT ",\"pilling\":\"5-6\"}", "pilling", MDR_E_PARSE},
    {Q("result", SPEC ",\"length_after_cm\":[33.6],\"width_after_cm\":[34.9],\"sample_g\":[1.6],"
                      "\"measured_width_cm\":[150],\"courses_per_cm\":18,"
                      "\"dry_moisture_kg_per_kg\":1.5"),
     "dry_moisture_kg_per_kg", MDR_E_INFEAS},
    {Q("inspect", "\"width_cm\":150"), "length_m", MDR_E_PARSE},
    {Q("inspect", "\"length_m\":100"), "width_cm", MDR_E_PARSE},
    {Q("inspect", "\"length_m\":100,\"width_cm\":150,\"width_inch\":60"), "width_inch",
     MDR_E_PARSE},
    {Q("inspect", "\"length_yd\":100,\"width_inch\":60,\"limit_per_100_m2\":20"),
     "limit_per_100_m2", MDR_E_PARSE},
    {Q("inspect", "\"length_m\":100,\"width_cm\":150,\"defect_at_m\":[1,2],\"defect_mm\":[5]"),
     "defect_mm", MDR_E_RANGE},
    {Q("inspect", "\"length_m\":100,\"width_cm\":150,\"hole_at_yd\":[1]"), "hole_at_yd",
     MDR_E_PARSE},
    {Q("inspect", "\"length_m\":100,\"width_cm\":150,\"hole_at_m\":[1],\"hole_mm\":[9],"
                  "\"points\":3"),
     "points", MDR_E_PARSE},
    {Q("inspect", "\"length_m\":100,\"width_cm\":150,\"points\":-3"), "points", MDR_E_RANGE},
    {"{\"do\":\"grey\"}", "finished_kg", MDR_E_PARSE},
    {Q("grey", "\"finished_kg\":100"), "loss_pct", MDR_E_PARSE},
    {Q("grey", "\"finished_kg\":100,\"grey_kg\":100,\"loss_pct\":[5]"), "grey_kg", MDR_E_PARSE},
    {Q("grey", "\"finished_kg\":100,\"loss_pct\":[5,100]"), "loss_pct[1]", MDR_E_RANGE},
    {Q("grey", "\"roll_kg\":[25]"), "lot_max_kg", MDR_E_PARSE},
    {Q("grey", "\"roll_kg\":[25],\"lot_max_kg\":50,\"lot_min_kg\":60"), "lot_min_kg", MDR_E_RANGE},
    {Q("grey", "\"roll_kg\":[25,0],\"lot_max_kg\":50"), "roll_kg[1]", MDR_E_RANGE},
    {Q("grey", "\"finished_kg\":1,\"loss_pct\":[1,1,1,1,1,1,1,1,1,1,1,1,1,1,1,1,1]"), "loss_pct",
     MDR_E_RANGE},
};

static void refusals(void **state)
{
    (void)state;
    desk_check_refusals(&kit, REFUSED, N_OF(REFUSED));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(refusals)};
    return cmocka_run_group_tests_name("app: line", tests, set_up, tear_down);
}
