/* Questions about a bath that are refused: each alone, and all faults of one at once. */
#include "app_bath_kit.h"

/* -- refusals -- */

static const struct {
    const char *question;
    mdr_code code;
    const char *place, *value;
} BAD[] = {
    {"", MDR_E_PARSE, "", ""},
    {"[]", MDR_E_PARSE, "the document", "a list"},
    {"{}", MDR_E_PARSE, "do", ""},
    {"{\"do\":\"phh\"}", MDR_E_PARSE, "do", "phh"},
    {"{\"do\":7}", MDR_E_PARSE, "do", "7"},
    {"{\"do\":\"ph\"}", MDR_E_PARSE, "temp_c", ""},
    {"{\"do\":\"ph\",\"temp_c\":\"60\"}", MDR_E_PARSE, "temp_c", "60"},
    {"{\"do\":\"ph\",\"temp_c\":100.5}", MDR_E_RANGE, "temp_c", "100.5"},
    {"{\"do\":\"ph\",\"temp_c\":-1}", MDR_E_RANGE, "temp_c", "-1"},
    {"{\"do\":\"ph\",\"temp_c\":60,\"cold_c\":101}", MDR_E_RANGE, "cold_c", "101"},
    {"{\"do\":\"ph\",\"temp_c\":60,\"na2co3_g_per_l\":-0.1}", MDR_E_RANGE, "na2co3_g_per_l",
     "-0.1"},
    {"{\"do\":\"ph\",\"temp_c\":60,\"soda_g_per_l\":1}", MDR_E_PARSE, "soda_g_per_l",
     "soda_g_per_l"},
    {"{\"do\":\"ph\",\"temp_c\":60,\"ph\":7}", MDR_E_PARSE, "ph", "ph"},
    {"{\"do\":\"ph\",\"temp_c\":60,\"nacl_g_per_l\":400}", MDR_E_RANGE, "ionic strength",
     "6.84428 mol/kg"},
    {"{\"do\":\"dose\",\"temp_c\":60,\"amount_g_per_l\":5}", MDR_E_PARSE, "dose", ""},
    {"{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":0}", MDR_E_RANGE,
     "amount_g_per_l", "0"},
    {"{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":5,\"points\":1}",
     MDR_E_RANGE, "points", "1"},
    {"{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":5,\"points\":102}",
     MDR_E_RANGE, "points", "102"},
    {"{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":5,\"exponent\":2}",
     MDR_E_PARSE, "exponent", ""},
    {"{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":5,\"curve\":"
     "\"progressive\","
     "\"exponent\":0.5}",
     MDR_E_RANGE, "exponent", "0.5"},
    {"{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":5,\"curve\":"
     "\"degressive\","
     "\"exponent\":2}",
     MDR_E_RANGE, "exponent", "2"},
    {"{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2so4\",\"amount_g_per_l\":500}", MDR_E_RANGE,
     "ionic strength", "10.5604 mol/kg"},
    {"{\"do\":\"probe\",\"temp_c\":60,\"ph\":11,\"unknown\":\"nacl\"}", MDR_E_PARSE, "unknown",
     "nacl"},
    {"{\"do\":\"probe\",\"temp_c\":60,\"ph\":11,\"unknown\":\"nahco3\"}", MDR_E_PARSE, "unknown",
     "nahco3"},
    {"{\"do\":\"probe\",\"temp_c\":60,\"ph\":11,\"unknown\":\"naoh\",\"naoh_g_per_l\":1}",
     MDR_E_PARSE, "unknown", ""},
    {"{\"do\":\"probe\",\"temp_c\":60,\"ph\":5,\"unknown\":\"na2co3\"}", MDR_E_INFEAS, "ph",
     "pH 5.00 read"},
    {"{\"do\":\"probe\",\"temp_c\":60,\"ph\":13.9,\"unknown\":\"na2co3\"}", MDR_E_INFEAS, "ph",
     NULL},
    {"{\"do\":\"probe\",\"temp_c\":60,\"ph\":15,\"unknown\":\"na2co3\"}", MDR_E_RANGE, "ph", "15"},
    {"{\"do\":\"same_ph\",\"temp_c\":60,\"soda_mixed_g_per_l\":5}", MDR_E_PARSE,
     "soda_only_g_per_l", ""},
    {"{\"do\":\"same_ph\",\"temp_c\":60,\"soda_only_g_per_l\":5,\"soda_mixed_g_per_l\":5}",
     MDR_E_RANGE, "soda_mixed_g_per_l", "5"},
    {"{\"do\":\"neutralise\",\"temp_c\":60,\"liquor_l\":1000,\"acid\":\"naoh\"}", MDR_E_PARSE,
     "acid", "naoh"},
    {"{\"do\":\"neutralise\",\"temp_c\":60,\"liquor_l\":0,\"acid\":\"acetic\"}", MDR_E_RANGE,
     "liquor_l", "0"},
    {"{\"do\":\"neutralise\",\"temp_c\":60,\"liquor_l\":9,\"acid\":\"acetic\",\"strength_pct\":"
     "101}",
     MDR_E_RANGE, "strength_pct", "101"},
    {"{\"do\":\"neutralise\",\"temp_c\":25,\"liquor_l\":9,\"acid\":\"acetic\",\"target_ph\":2,"
     "\"na2co3_g_per_l\":20}",
     MDR_E_INFEAS, "target_ph", NULL},
    {"{\"do\":\"titrate\"}", MDR_E_PARSE, "kind", ""},
    {"{\"do\":\"titrate\",\"kind\":\"peroxide\",\"sample_ml\":100,\"titrant_eq_per_l\":0.1}",
     MDR_E_PARSE, "titrant_ml", ""},
    {"{\"do\":\"titrate\",\"kind\":\"peroxide\",\"sample_ml\":0,\"titrant_ml\":1,\"titrant_eq_per_"
     "l\":0.1}",
     MDR_E_RANGE, "sample_ml", "0"},
    {"{\"do\":\"titrate\",\"kind\":\"salt\",\"sample_ml\":9,\"titrant_ml\":1,\"titrant_eq_per_l\":"
     "21}",
     MDR_E_RANGE, "titrant_eq_per_l", "21"},
    {"{\"do\":\"titrate\",\"kind\":\"salt\",\"sample_ml\":9,\"titrant_ml\":1,\"titrant_eq_per_l\":"
     "1,"
     "\"liquor_l\":5}",
     MDR_E_PARSE, "liquor_l", "liquor_l"},
    {"{\"do\":\"titrate\",\"kind\":\"peroxide\",\"sample_ml\":9,\"titrant_ml\":1,\"titrant_eq_per_"
     "l\":1,"
     "\"liquor_l\":5}",
     MDR_E_PARSE, "capacity_mg_per_g", ""},
    {"{\"do\":\"titrate\",\"kind\":\"alkali\",\"sample_ml\":9,\"titrant_ml\":1,\"titrant_eq_per_"
     "l\":1,"
     "\"liquor_l\":5}",
     MDR_E_PARSE, "acid", ""},
    {"{\"do\":\"titrate\",\"kind\":\"alkali\",\"sample_ml\":9,\"titrant_ml\":1,\"titrant_eq_per_"
     "l\":1,"
     "\"substance\":\"nacl\"}",
     MDR_E_PARSE, "substance", "nacl"},
    {"{\"do\":\"titrate\",\"kind\":\"alkali\",\"sample_ml\":9,\"titrant_ml\":1,\"titrant_eq_per_"
     "l\":1,"
     "\"strength_pct\":80}",
     MDR_E_PARSE, "strength_pct", ""},
    {"{\"do\":\"titrate\",\"kind\":\"two_alkalis\",\"sample_ml\":9,\"phenolphthalein_ml\":3,"
     "\"methyl_orange_ml\":2,\"titrant_eq_per_l\":1}",
     MDR_E_RANGE, "phenolphthalein_ml", "3"},
    {"{\"do\":\"hardness\",\"calcium_mg_per_kg\":1,\"magnesium_mg_per_kg\":1}", MDR_E_PARSE,
     "ratio_l_per_kg", ""},
    {"{\"do\":\"hardness\",\"calcium_mg_per_kg\":1,\"magnesium_mg_per_kg\":1,\"ratio_l_per_kg\":8,"
     "\"released_part\":1.1}",
     MDR_E_RANGE, "released_part", "1.1"},
    {"{\"do\":\"hardness\",\"calcium_mg_per_kg\":1,\"magnesium_mg_per_kg\":1,\"ratio_l_per_kg\":8,"
     "\"product_g_per_l\":1}",
     MDR_E_PARSE, "capacity_mg_per_g", ""},
    {"{\"do\":\"salt\",\"from\":\"nacl\",\"to\":\"nacl\",\"amount_g_per_l\":50}", MDR_E_PARSE, "to",
     ""},
    {"{\"do\":\"salt\",\"from\":\"nacl\",\"to\":\"kcl\",\"amount_g_per_l\":50}", MDR_E_PARSE, "to",
     "kcl"},
    {"{\"do\":\"vat\",\"temp_c\":15,\"dye_g_per_l\":1,\"naoh_g_per_l\":6,\"dithionite_g_per_l\":5,"
     "\"minutes\":60,\"machine_kind\":\"jet\",\"load_kg\":500,\"liquor_l\":5000}",
     MDR_E_RANGE, "temp_c", "15"},
    {"{\"do\":\"vat\",\"temp_c\":60,\"dye_g_per_l\":1,\"naoh_g_per_l\":6,\"dithionite_g_per_l\":5,"
     "\"minutes\":60,\"machine_kind\":\"boat\",\"load_kg\":500,\"liquor_l\":5000}",
     MDR_E_PARSE, "machine_kind", "boat"},
    {"{\"do\":\"vat\",\"temp_c\":60,\"dye_g_per_l\":1,\"na2co3_g_per_l\":6}", MDR_E_PARSE, NULL,
     NULL},
    {"{\"do\":\"rinse\",\"load_kg\":1000,\"ratio_l_per_kg\":2.5,\"retained_l_per_kg\":2.5,"
     "\"start_g_per_l\":60,\"target_g_per_l\":2,\"flow_l_per_min\":300,\"fill_l_per_min\":800,"
     "\"drain_l_per_min\":1000,\"run_min\":5}",
     MDR_E_RANGE, "retained_l_per_kg", "2.5"},
    {"{\"do\":\"rinse\",\"load_kg\":1000,\"ratio_l_per_kg\":8,\"retained_l_per_kg\":2.5,"
     "\"start_g_per_l\":2,\"target_g_per_l\":2,\"flow_l_per_min\":300,\"fill_l_per_min\":800,"
     "\"drain_l_per_min\":1000,\"run_min\":5}",
     MDR_E_RANGE, "target_g_per_l", "2"},
};

static void refusals(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(BAD); i++) {
        const char untouched = 'x';
        mdr_blob out = {.bytes = &untouched, .len = 1};
        mdr_err err = {0};
        mdr_err_list found = mdr_err_list_make(arena, FOUND_MAX);
        const mdr_code rc = mdr_app_bath_json(blob(BAD[i].question), arena, &found, &out, &err);
        if (rc != BAD[i].code || err.code != rc || err.msg[0] == '\0' ||
            (BAD[i].place != NULL && strcmp(err.place, BAD[i].place) != 0) ||
            (BAD[i].value != NULL && strcmp(err.value, BAD[i].value) != 0)) {
            fail_msg("%s\n    %s %s: %s (%s), want %s %s (%s)", BAD[i].question, mdr_code_id(rc),
                     err.place, err.msg, err.value, mdr_code_id(BAD[i].code), BAD[i].place,
                     BAD[i].value);
        }
        if (rc == MDR_E_RANGE || rc == MDR_E_INFEAS) {
            assert_true(err.allowed[0] != '\0' && err.remedy[0] != '\0');
        }
        assert_ptr_equal(out.bytes, &untouched); /* nothing half-written */
    }
}

static void all_faults(void **state)
{
    (void)state;
    mdr_err_list found = mdr_err_list_make(arena, FOUND_MAX);
    const mdr_answer *a = NULL;
    assert_int_equal(
        mdr_app_bath(blob("{\"do\":\"ph\",\"temp_c\":200,\"cold_c\":-5,\"nacl_g_per_l\":-1,"
                          "\"x\":1,\"acetic_g_per_l\":true}"),
                     arena, &found, &a, NULL),
        MDR_E_PARSE);
    assert_int_equal(found.total, 5); /* D: each of them, not the first */
    assert_null(a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(refusals), cmocka_unit_test(all_faults)};
    return cmocka_run_group_tests_name("app: bath", tests, set_up, tear_down);
}
