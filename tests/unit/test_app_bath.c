/* Questions about a bath, asked as JSON: numbers against published tables, every
 * failing allocation, and that what answers rest on is there to be read. */
#include "app_bath_kit.h"

static const mdr_answer *ask(const char *question)
{
    const mdr_answer *a = NULL;
    mdr_err err = {0};
    if (mdr_app_bath(blob(question), arena, NULL, &a, &err) != MDR_OK) {
        fail_msg("%s: %s, %s %s", question, err.msg, err.place, err.value);
    }
    return a;
}

static const mdr_answer_line *line_of(const mdr_answer *a, const char *group, const char *key)
{
    for (int i = 0; i < a->n_lines; i++) {
        const mdr_answer_line *l = &a->lines[i];
        const bool same =
            group[0] == '\0' ? l->group == NULL : l->group != NULL && strcmp(l->group, group) == 0;
        if (same && strcmp(l->key, key) == 0) {
            return l;
        }
    }
    fail_msg("%s has no %s.%s", a->question, group, key);
    return NULL;
}

/* -- numbers -- */

#define RINSE                                                                                  \
    "{\"do\":\"rinse\",\"load_kg\":1000,\"ratio_l_per_kg\":8,\"retained_l_per_kg\":2.5,"       \
    "\"start_g_per_l\":60,\"target_g_per_l\":2,\"flow_l_per_min\":300,\"fill_l_per_min\":800," \
    "\"drain_l_per_min\":1000,\"run_min\":5}"
#define VAT                                                                                  \
    "{\"do\":\"vat\",\"temp_c\":60,\"dye_g_per_l\":1.5,\"naoh_g_per_l\":6,"                  \
    "\"dithionite_g_per_l\":5,\"minutes\":60,\"machine_kind\":\"overflow\",\"load_kg\":500," \
    "\"liquor_l\":5000}"
#define PHREEQC "O: PHREEQC 3 with pitzer.dat, docs/methods/bath-ph.md"

static const struct {
    const char *question, *group, *key;
    double want, tol;
    const char *src;
} NUMBERS[] = {
    /* pH, g/kg of water */
    {"{\"do\":\"ph\",\"temp_c\":60,\"na2co3_g_per_l\":20,\"na2so4_g_per_l\":50}", "", "ph", 10.75,
     0.04, PHREEQC},
    {"{\"do\":\"ph\",\"temp_c\":60,\"na2co3_g_per_l\":20,\"na2so4_g_per_l\":50}", "", "ph_cold",
     11.34, 0.04, PHREEQC},
    {"{\"do\":\"ph\",\"temp_c\":80,\"na2co3_g_per_l\":10,\"cold_c\":60}", "", "ph", 10.48, 0.04,
     PHREEQC},
    {"{\"do\":\"ph\",\"temp_c\":80,\"na2co3_g_per_l\":10,\"cold_c\":60}", "", "ph_cold", 10.73,
     0.04, PHREEQC},
    {"{\"do\":\"ph\",\"temp_c\":60,\"na2co3_g_per_l\":5,\"naoh_g_per_l\":0.5,"
     "\"na2so4_g_per_l\":50}",
     "", "ph", 10.94, 0.04, PHREEQC},
    {"{\"do\":\"ph\",\"temp_c\":60,\"na2co3_g_per_l\":20,\"nacl_g_per_l\":50}", "", "ph", 10.68,
     0.04, PHREEQC},
    {"{\"do\":\"ph\",\"temp_c\":25,\"naoh_g_per_l\":2}", "", "ph", 12.61, 0.04, PHREEQC},
    {"{\"do\":\"ph\",\"temp_c\":25,\"na2co3_g_per_l\":1,\"acetic_g_per_l\":0.5}", "", "ph", 9.27,
     0.09, "D: Davies, closed bath; another activity model"},
    {"{\"do\":\"ph\",\"temp_c\":25,\"na2co3_g_per_l\":1,\"acetic_g_per_l\":1}", "", "ph", 5.97,
     0.09, "D: Davies, closed bath"},
    {"{\"do\":\"ph\",\"temp_c\":25,\"na2co3_g_per_l\":1,\"acetic_g_per_l\":1.133}", "", "ph", 5.67,
     0.09, "D: Davies, closed bath, equivalence"},
    {"{\"do\":\"ph\",\"temp_c\":60,\"na2co3_g_per_l\":20}", "species_mol_per_kg", "Na+",
     2 * 20 / 105.988, 1e-9, "D: two sodium a soda"},
    {"{\"do\":\"ph\",\"temp_c\":60,\"h2so4_g_per_l\":2}", "species_mol_per_kg", "SO4--", 0.0052,
     0.0006, "D: s(c + s)/(c - s) = 0.009, c 0.0204 mol/kg, K2 0.005 at 60 degC over activities"},
    /* a dose: half a g/L of soda is most of the way */
    {"{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":20}", "", "ph_end",
     10.83, 0.04, PHREEQC},
    {"{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":20}", "", "ph_start",
     6.51, 0.01, "S: half of pKw 13.015, Plummer and Busenberg's ion product"},
    {"{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":20}", "",
     "half_way_dose_fraction", 0.0003, 0.0002,
     "D: Davies table: pH 8.67 lies below 0.01 g/L, which gives 8.96"},
    /* a probe: 10 g/L of soda reads 11.36 at 25 and is 10.75 at 60 */
    {"{\"do\":\"probe\",\"temp_c\":60,\"ph\":11.36,\"unknown\":\"na2co3\"}", "", "ph_bath", 10.75,
     0.01, "D: Davies, 11.36 and 10.75; the difference is the same in both models"},
    {"{\"do\":\"probe\",\"temp_c\":60,\"ph\":11.36,\"unknown\":\"na2co3\"}", "", "amount_g_per_l",
     10, 0.5, "D: Davies, 10 g/L; the curve is flat"},
    {"{\"do\":\"probe\",\"temp_c\":60,\"ph\":11.34,\"unknown\":\"naoh\",\"reading_is\":"
     "\"bath\"}",
     "", "amount_g_per_l", 1, 0.05, PHREEQC},
    {"{\"do\":\"probe\",\"temp_c\":60,\"ph\":11.34,\"unknown\":\"naoh\",\"reading_is\":"
     "\"bath\"}",
     "", "ph_cold", 12.33, 0.04, PHREEQC},
    {"{\"do\":\"probe\",\"temp_c\":25,\"ph\":5.97,\"unknown\":\"acetic\",\"na2co3_g_per_"
     "l\":1}",
     "", "amount_g_per_l", 1, 0.05, "D: Davies"},
    /* mixed alkali: with h of 20 g/L soda, OH- 0.0085 mol/kg, of which 5 g/L soda give 0.0021 */
    {"{\"do\":\"same_ph\",\"temp_c\":60,\"soda_only_g_per_l\":20,\"soda_mixed_g_per_l\":5,"
     "\"na2so4_g_per_l\":50}",
     "", "naoh_g_per_l", 0.25, 0.02, "D: mass action K = 0.0085^2/0.18, 40 x (0.0085 - 0.0021)"},
    {"{\"do\":\"same_ph\",\"temp_c\":60,\"soda_only_g_per_l\":20,\"soda_mixed_g_per_l\":5,"
     "\"na2so4_g_per_l\":50}",
     "", "saved_g_per_l", 14.75, 0.02, "D: 20 - 5 - 0.25"},
    {"{\"do\":\"neutralise\",\"temp_c\":25,\"na2co3_g_per_l\":1,\"liquor_l\":2000,\"acid\":"
     "\"acetic\","
     "\"strength_pct\":80,\"target_ph\":5.97}",
     "", "acid_g_per_l", 1, 0.05, "D: Davies"},
    {"{\"do\":\"neutralise\",\"temp_c\":25,\"na2co3_g_per_l\":1,\"liquor_l\":2000,\"acid\":"
     "\"acetic\","
     "\"strength_pct\":80,\"target_ph\":5.97}",
     "", "product_kg", 2.5, 0.13, "D: 1 g/L in 2000 L at 80 %"},
    {"{\"do\":\"neutralise\",\"temp_c\":25,\"naoh_g_per_l\":4,\"liquor_l\":1000,\"acid\":\"h2so4\","
     "\"target_ph\":7}",
     "", "acid_g_per_l", 4.904, 0.005, "D: strong by strong: 98.08 / 2 / 39.997 x 4"},
    {"{\"do\":\"neutralise\",\"temp_c\":25,\"acetic_g_per_l\":1,\"liquor_l\":1000,\"acid\":"
     "\"formic\"}",
     "", "acid_g_per_l", 0, 0, "D: sour already"},
    /* titration */
    {"{\"do\":\"titrate\",\"kind\":\"peroxide\",\"sample_ml\":1000,\"titrant_ml\":1,"
     "\"titrant_eq_per_l\":0.588}",
     "", "peroxide_mg_per_l", 10, 0.001, "S: AATCC 102: 1 mL of 0.588 N is 10.0 mg"},
    {"{\"do\":\"titrate\",\"kind\":\"peroxide\",\"sample_ml\":1000,\"titrant_ml\":1,"
     "\"titrant_eq_per_l\":0.588,\"liquor_l\":8000,\"capacity_mg_per_g\":50}",
     "", "catalase_kg", 1.44, 0.0001, "D: 9 mg/L x 8000 L / 50 mg/g"},
    {"{\"do\":\"titrate\",\"kind\":\"alkali\",\"sample_ml\":100,\"titrant_ml\":25,\"titrant_eq_per_"
     "l\":0.1,\"acid\":\"acetic\"}",
     "", "acid_g_per_l", 1.501, 0.001, "D: 0.025 eq/L x 60.052 g/eq"},
    {"{\"do\":\"titrate\",\"kind\":\"alkali\",\"sample_ml\":100,\"titrant_ml\":25,\"titrant_eq_per_"
     "l\":0.1,"
     "\"liquor_l\":2500,\"acid\":\"acetic\"}",
     "", "acid_kg", 3.75, 0.005, "D: E28: 2500 L at 1 g/L NaOH take 3.75 kg"},
    {"{\"do\":\"titrate\",\"kind\":\"alkali\",\"sample_ml\":100,\"titrant_ml\":25,\"titrant_eq_per_"
     "l\":0.1,"
     "\"substance\":\"na2co3\"}",
     "", "alkali_g_per_l", 1.325, 0.001, "D: 0.025 eq/L x 52.994 g/eq"},
    {"{\"do\":\"titrate\",\"kind\":\"two_alkalis\",\"sample_ml\":10,\"phenolphthalein_ml\":15,"
     "\"methyl_orange_ml\":20,\"titrant_eq_per_l\":0.1}",
     "", "naoh_g_per_l", 4.0, 0.001, "M: Vogel: 2P - M = 10 mL of 0.1 N on 10 mL"},
    {"{\"do\":\"titrate\",\"kind\":\"two_alkalis\",\"sample_ml\":10,\"phenolphthalein_ml\":15,"
     "\"methyl_orange_ml\":20,\"titrant_eq_per_l\":0.1}",
     "", "na2co3_g_per_l", 5.299, 0.001, "M: Vogel: 2(M - P) = 10 mL"},
    {"{\"do\":\"titrate\",\"kind\":\"dithionite\",\"sample_ml\":10,\"titrant_ml\":10,"
     "\"titrant_eq_per_l\":0.1}",
     "", "dithionite_g_per_l", 4.353, 0.001, "M: 1 mL of 0.1 N is 4.353 mg"},
    {"{\"do\":\"titrate\",\"kind\":\"salt\",\"sample_ml\":10,\"titrant_ml\":10,\"titrant_eq_per_"
     "l\":0.1}",
     "", "salt_g_per_l", 5.844, 0.001, "D: 58.443 g/mol"},
    /* hardness */
    {"{\"do\":\"hardness\",\"calcium_mg_per_kg\":1000,\"magnesium_mg_per_kg\":1000,\"ratio_l_per_"
     "kg\":10,"
     "\"released_part\":1}",
     "", "total_mg_caco3_per_l", 661.5, 0.1, "D: 24.95 + 41.14 mmol/kg, a tenth of it in 1 L"},
    {"{\"do\":\"hardness\",\"calcium_mg_per_kg\":1000,\"magnesium_mg_per_kg\":1000,\"ratio_l_per_"
     "kg\":10,"
     "\"released_part\":1}",
     "", "free_dh", 37.06, 0.01, "D: 661.5 / 17.848"},
    {"{\"do\":\"hardness\",\"water_dh\":3,\"calcium_mg_per_kg\":0,\"magnesium_mg_per_kg\":0,"
     "\"ratio_l_per_kg\":10,\"capacity_mg_per_g\":120,\"product_g_per_l\":0.2,\"allowed_dh\":1}",
     "", "need_g_per_l", 0.2975, 0.0005, "D: 2 dH x 17.848 / 120"},
    {"{\"do\":\"hardness\",\"water_dh\":3,\"calcium_mg_per_kg\":0,\"magnesium_mg_per_kg\":0,"
     "\"ratio_l_per_kg\":10,\"capacity_mg_per_g\":120,\"product_g_per_l\":0.2,\"allowed_dh\":1}",
     "", "bound_dh", 1.3447, 0.0005, "D: 0.2 x 120 / 17.848"},
    /* salts */
    {"{\"do\":\"salt\",\"from\":\"nacl\",\"to\":\"na2so4\",\"amount_g_per_l\":50}", "equal_sodium",
     "g_per_l", 60.76, 0.01, "D: 1.2152 a g"},
    {"{\"do\":\"salt\",\"from\":\"nacl\",\"to\":\"na2so4\",\"amount_g_per_l\":50}", "equal_ionic",
     "g_per_l", 40.51, 0.01, "D: 142.04 / (3 x 58.443) a g"},
    {"{\"do\":\"salt\",\"from\":\"nacl\",\"to\":\"na2so4\",\"amount_g_per_l\":50,\"ratio_l_per_"
     "kg\":8}",
     "equal_mass", "decahydrate_g_per_l", 113.42, 0.01, "D: 2.2684 a g"},
    {"{\"do\":\"salt\",\"from\":\"nacl\",\"to\":\"na2so4\",\"amount_g_per_l\":50,\"ratio_l_per_"
     "kg\":8}",
     "given", "g_per_kg", 400, 1e-9, "D: 50 x 8"},
    {"{\"do\":\"salt\",\"from\":\"na2so4_10h2o\",\"to\":\"na2so4\",\"amount_g_per_l\":113.42}",
     "equal_mass", "g_per_l", 50, 0.01, "D: crystals to anhydrous"},
    /* vat: docs/methods/vat.md */
    {VAT, "need_g_per_l", "water", 0.0495, 0.0001, "D: 9.09 mg/L at 20 degC x 5.441"},
    {VAT, "need_g_per_l", "dye", 0.1575, 1e-9, "M: 0.105 a g, from memory"},
    {VAT, "need_g_per_l", "air", 2.177, 0.001, "I: 4 g O2/(kg h), 100 g/L for an hour"},
    {VAT, "need_g_per_l", "total", 3.49, 0.005, "D: vat.md, dithionite budget, at 10 L/kg"},
    {VAT, "", "left_g_per_l", 2.436, 0.005, "D: dD/dt by hand in steps of 5 min, from 4.793"},
    {VAT, "", "spent_min", 125.3, 0.5, "D: ln(1 + k D0/a)/k, k 0.000833, a 0.03628"},
    {VAT, "", "h2o2_rinsed_kg", 5, 1e-9, "P: at least 1 g/L of 5000 L; by the equations 0.3077 kg"},
    /* rinse */
    {RINSE, "fill_drain", "baths", 3, 0, "D: ln(1/30)/ln(2.5/8) = 2.92"},
    {RINSE, "fill_drain", "end_g_per_l", 1.831, 0.001, "D: E18: 60 x 0.0305"},
    {RINSE, "fill_drain", "water_l", 16500, 1e-6, "D: 3 x 5.5 x 1000"},
    {RINSE, "overflow", "water_l", 23404, 1, "D: 5500 + 8000 ln(18.75/2)"},
    {RINSE, "", "water_saved_l", 6904, 1, "D: the difference"},
};

static void numbers(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(NUMBERS); i++) {
        const mdr_answer *a = ask(NUMBERS[i].question);
        const mdr_answer_line *l = line_of(a, NUMBERS[i].group, NUMBERS[i].key);
        if (l->kind != MDR_ANSWER_NUMBER || !(fabs(l->value - NUMBERS[i].want) <= NUMBERS[i].tol)) {
            fail_msg("%s\n    %s: got %.8g, want %g +- %g\n    source: %s", NUMBERS[i].question,
                     NUMBERS[i].key, l->value, NUMBERS[i].want, NUMBERS[i].tol, NUMBERS[i].src);
        }
        assert_true(a->n_whys > 0); /* no number without what it rests on */
        const bool about_ph = strstr("ph dose probe same_ph neutralise", a->question) != NULL;
        assert_true(a->has_uncertainty == about_ph);
    }
}

/* -- words -- */

static const struct {
    const char *question, *key, *want, *src;
} TEXTS[] = {
    {"{\"do\":\"titrate\",\"kind\":\"peroxide\",\"sample_ml\":1000,\"titrant_ml\":0.29,"
     "\"titrant_eq_per_l\":1}",
     "verdict", "pass", "P: 4.93 mg/L, limit 5"},
    {"{\"do\":\"titrate\",\"kind\":\"peroxide\",\"sample_ml\":1000,\"titrant_ml\":0.3,"
     "\"titrant_eq_per_l\":1}",
     "verdict", "stop", "P: 5.10 mg/L, limit 5"},
    {"{\"do\":\"hardness\",\"water_dh\":2.99,\"calcium_mg_per_kg\":0,\"magnesium_mg_per_kg\":0,"
     "\"ratio_l_per_kg\":10}",
     "verdict", "pass", "P: below 3 dH"},
    {"{\"do\":\"hardness\",\"water_dh\":3.01,\"calcium_mg_per_kg\":0,\"magnesium_mg_per_kg\":0,"
     "\"ratio_l_per_kg\":10}",
     "verdict", "remark", "P: from 3 dH"},
    {"{\"do\":\"hardness\",\"water_dh\":5.01,\"calcium_mg_per_kg\":0,\"magnesium_mg_per_kg\":0,"
     "\"ratio_l_per_kg\":10}",
     "verdict", "warning", "P: from 5 dH"},
    {VAT, "verdict", "enough", "D: 5 of 3.49 g/L"},
    {"{\"do\":\"vat\",\"temp_c\":60,\"dye_g_per_l\":1.5,\"naoh_g_per_l\":6,\"dithionite_g_per_l\":"
     "3,"
     "\"minutes\":60,\"machine_kind\":\"overflow\",\"load_kg\":500,\"liquor_l\":5000}",
     "verdict", "short", "D: 3 of 3.49 g/L"},
    {RINSE, "less_water", "fill_drain", "D: 16500 against 23404 L"},
    {"{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":20}", "curve", "linear",
     "D: the default"},
};

static void texts(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(TEXTS); i++) {
        const mdr_answer_line *l = line_of(ask(TEXTS[i].question), "", TEXTS[i].key);
        if (l->kind != MDR_ANSWER_TEXT || strcmp(l->text, TEXTS[i].want) != 0) {
            fail_msg("%s\n    %s: got %s, want %s\n    source: %s", TEXTS[i].question, TEXTS[i].key,
                     l->text, TEXTS[i].want, TEXTS[i].src);
        }
    }
}

/* -- tables -- */

static double cell(const mdr_answer_table *t, int row, const char *key)
{
    for (int i = 0; i < t->n_columns; i++) {
        if (strcmp(t->columns[i].key, key) == 0) {
            return t->cells[row * t->n_columns + i];
        }
    }
    fail_msg("no column %s", key);
    return 0;
}

static void dose_curve(void **state)
{
    (void)state;
    /* 40 of these points a g/L: 0.5 g/L is row 1 */
    const mdr_answer *a =
        ask("{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":20,"
            "\"points\":41,\"minutes\":60}");
    assert_int_equal(a->table.n_rows, 41);
    CHECK_NEAR(cell(&a->table, 1, "ph"), 10.21, 0.05, "D: Davies, 0.5 g/L of soda at 60 degC");
    CHECK_NEAR(cell(&a->table, 20, "ph"), 10.76, 0.05, "D: Davies, 10 g/L");
    CHECK_NEAR(cell(&a->table, 10, "time_min"), 15, 1e-12, "D: a quarter of an hour");
    for (int i = 1; i < a->table.n_rows; i++) {
        assert_true(cell(&a->table, i, "ph") > cell(&a->table, i - 1, "ph"));
    }
    a = ask("{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":20,\"points\":3,"
            "\"curve\":\"progressive\",\"exponent\":3}");
    CHECK_NEAR(cell(&a->table, 1, "dose_fraction"), 0.125, 1e-12, "D: 0.5^3");
    assert_int_equal(a->table.n_columns, 4); /* no minutes, no time */
    a = ask("{\"do\":\"dose\",\"temp_c\":60,\"dose\":\"na2co3\",\"amount_g_per_l\":20,\"points\":3,"
            "\"curve\":\"degressive\"}");
    CHECK_NEAR(cell(&a->table, 1, "dose_fraction"), 0.707106781, 1e-9, "D: sqrt(0.5)");
    /* salt leads nowhere by itself: no half way, and no number in its place */
    a = ask("{\"do\":\"dose\",\"temp_c\":60,\"na2co3_g_per_l\":5,\"dose\":\"nacl\",\"amount_g_per_"
            "l\":50}");
    assert_int_equal(line_of(a, "", "half_way_dose_fraction")->kind, MDR_ANSWER_NONE);
}

static void other_tables(void **state)
{
    (void)state;
    const mdr_answer *a = ask("{\"do\":\"same_ph\",\"temp_c\":60,\"soda_only_g_per_l\":20,"
                              "\"soda_mixed_g_per_l\":5,\"na2so4_g_per_l\":50}");
    assert_int_equal(a->table.n_rows, 11);
    CHECK_NEAR(cell(&a->table, 10, "ph_mixed"), cell(&a->table, 10, "ph_soda"), 1e-6,
               "D: what was asked for");
    assert_true(cell(&a->table, 3, "ph_mixed") <
                cell(&a->table, 3, "ph_soda")); /* D: less buffer */
    a = ask("{\"do\":\"neutralise\",\"temp_c\":25,\"na2co3_g_per_l\":1,\"liquor_l\":1000,"
            "\"acid\":\"acetic\"}");
    assert_int_equal(a->table.n_rows, 4);
    CHECK_NEAR(cell(&a->table, 1, "ph"), 6.3, 1e-6, "D: what was asked for");
    for (int i = 1; i < 4; i++) {
        assert_true(cell(&a->table, i, "ph") < cell(&a->table, i - 1, "ph"));
    }
    a = ask(VAT);
    assert_int_equal(a->table.n_rows, 13);
    CHECK_NEAR(cell(&a->table, 12, "dithionite_g_per_l"), line_of(a, "", "left_g_per_l")->value, 0,
               "D: the same moment");
    CHECK_NEAR(cell(&a->table, 0, "dithionite_g_per_l"), 4.793, 0.001, "D: 5 - 0.0495 - 0.1575");
}

/* A reading and its way back: what is found gives the reading again. */
static void there_and_back(void **state)
{
    (void)state;
    const char *const UNKNOWN[] = {"naoh", "na2co3", "acetic", "formic", "citric", "h2so4"};
    for (size_t i = 0; i < N_OF(UNKNOWN); i++) {
        const bool base = i < 2;
        const char *q = mdr_arena_printf(
            arena, "{\"do\":\"probe\",\"temp_c\":70,\"cold_c\":30,\"ph\":%s,\"unknown\":\"%s\",%s}",
            base ? "11.2" : "6.5", UNKNOWN[i],
            base ? "\"na2so4_g_per_l\":30" : "\"na2co3_g_per_l\":2");
        const double cold_ph = line_of(ask(q), "", "ph_cold")->value;
        CHECK_NEAR(cold_ph, base ? 11.2 : 6.5, 1e-6, UNKNOWN[i]);
        const double bath_ph = line_of(ask(q), "", "ph_bath")->value;
        const double amount = line_of(ask(q), "", "amount_g_per_l")->value;
        q = mdr_arena_printf(
            arena,
            "{\"do\":\"probe\",\"temp_c\":70,\"cold_c\":30,\"reading_is\":\"bath\","
            "\"ph\":%.12g,\"unknown\":\"%s\",%s}",
            bath_ph, UNKNOWN[i], base ? "\"na2so4_g_per_l\":30" : "\"na2co3_g_per_l\":2");
        CHECK_NEAR(line_of(ask(q), "", "amount_g_per_l")->value, amount, 1e-4 * amount, UNKNOWN[i]);
    }
}

/* -- memory -- */

static void no_memory(void **state)
{
    (void)state;
    mdr_blob out = {0};
    mdr_err err = {0};
    int failed = 0;
    for (unsigned n = 1; n < 20; n++) {
        mdr_arena *small = mdr_arena_new(ARENA_BYTES);
        assert_non_null(small);
        mdr_arena_fail_at(n);
        const mdr_code rc = mdr_app_bath_json(blob(VAT), small, NULL, &out, &err);
        mdr_arena_fail_at(0);
        assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
        failed += rc == MDR_E_NOMEM;
        mdr_arena_free(small);
    }
    assert_true(failed > 0);
    mdr_arena *tiny = mdr_arena_new(512);
    assert_non_null(tiny);
    assert_int_equal(mdr_app_bath_json(blob(VAT), tiny, NULL, &out, &err), MDR_E_NOMEM);
    mdr_arena_free(tiny);
}

/* -- what answers rest on -- */

static void whys_can_be_read(void **state)
{
    (void)state;
    int n = 0;
    const mdr_answer_why *whys = mdr_app_bath_whys(&n);
    assert_true(n >= 30);
    why_kit_check(whys, n);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers),         cmocka_unit_test(texts),
        cmocka_unit_test(dose_curve),      cmocka_unit_test(other_tables),
        cmocka_unit_test(there_and_back),  cmocka_unit_test(no_memory),
        cmocka_unit_test(whys_can_be_read)};
    return cmocka_run_group_tests_name("app: bath", tests, set_up, tear_down);
}
