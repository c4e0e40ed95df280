/* CSV and CGATS text of spectra: layouts seen in public files, and what must be refused. */
#include "spectra_kit.h"

static const mdr_spectra_options AS_IS = {MDR_SCALE_UNKNOWN, false};

/* "400,410,..." and "0.10,0.11,..." : from start on, every 10 nm, 31 of them. */
static const char *header(int start_nm, const char *before)
{
    static char buffers[4][2000];
    static int turn;
    char *text = buffers[turn++ % 4]; /* several in one call of printf */
    int n = 0;
    for (int i = 0; i < 31; i++) {
        n += snprintf(text + n, 2000 - (size_t)n, "%s%s%d", i > 0 ? "," : "", before,
                      start_nm + 10 * i);
    }
    return text;
}

static const char *values(double first, double per)
{
    static char buffers[4][2000];
    static int turn;
    char *text = buffers[turn++ % 4];
    int n = 0;
    for (int i = 0; i < 31; i++) {
        n += snprintf(text + n, 2000 - (size_t)n, "%s%.4f", i > 0 ? "," : "",
                      (first + 0.01 * i) * per);
    }
    return text;
}

static void check_curve(const mdr_spectra_item *item, double start_nm, double first)
{
    assert_non_null(item->spectrum);
    CHECK_NEAR(item->spectrum->start_nm, start_nm, 0, "D");
    CHECK_NEAR(item->spectrum->step_nm, 10, 0, "D");
    assert_int_equal(item->spectrum->n, 31);
    for (int i = 0; i < 31; i++) {
        CHECK_NEAR(item->spectrum->v[i], first + 0.01 * i, 1e-12, "D");
    }
}

static void csv_rows(void **state)
{
    (void)state;
    static const char *const NAMES[] = {"", "R", "nm", "SPECTRAL_", "SPECTRAL_NM", "w", "SPEC_"};
    for (size_t k = 0; k < N_OF(NAMES); k++) {
        char text[6000];
        (void)snprintf(text, sizeof text, "# a comment\nname,specular,batch,%s\nblue,SPIN,7,%s\n",
                       header(380, NAMES[k]), values(0.1, 1));
        (void)snprintf(text + strlen(text), sizeof text - strlen(text), "blue,SPEX,7,%s\r\n",
                       values(0.08, 1));
        spectra_try t = spectra_read(text);
        assert_int_equal(t.got->n, 2);
        assert_int_equal(t.got->format, MDR_SPECTRA_CSV);
        assert_int_equal(t.got->scale, MDR_SCALE_FRACTION);
        assert_string_equal(t.got->items[0].name, "blue");
        assert_int_equal(t.got->items[0].specular, MDR_SPECULAR_INCLUDED);
        assert_int_equal(t.got->items[1].specular, MDR_SPECULAR_EXCLUDED);
        assert_int_equal(t.got->items[1].line, 4);
        check_curve(&t.got->items[0], 380, 0.1);
        check_curve(&t.got->items[1], 380, 0.08);
        assert_true(spectra_has_notice(&t, "\"batch\" is not read"));
        assert_true(spectra_has_notice(&t, "read as fractions"));
        spectra_done(&t);
    }
}

static void csv_columns(void **state)
{
    (void)state;
    char text[4000] = "wavelength_nm,blue [%],red\n";
    for (int i = 30; i >= 0; i--) { /* from long to short, as some instruments have it */
        (void)snprintf(text + strlen(text), sizeof text - strlen(text), "%d,%.3f,%.3f\n",
                       400 + 10 * i, 10 + 1.0 * i, 20 + 1.0 * i);
    }
    spectra_try t = spectra_read(text);
    assert_int_equal(t.got->n, 2);
    assert_int_equal(t.got->scale, MDR_SCALE_PERCENT);
    assert_string_equal(t.got->items[1].name, "red");
    check_curve(&t.got->items[0], 400, 0.1);
    check_curve(&t.got->items[1], 400, 0.2);
    spectra_done(&t);
}

static void csv_values(void **state)
{
    (void)state;
    char text[8000] = "sample,wavelength_nm,reflectance_pct\n";
    for (int k = 0; k < 2; k++) {
        for (int i = 0; i < 31; i++) {
            (void)snprintf(text + strlen(text), sizeof text - strlen(text), "%s,%d,%.3f\n",
                           k == 0 ? "blue" : "red", 400 + 10 * i, 10 * (k + 1) + 1.0 * i);
        }
    }
    spectra_try t = spectra_read(text);
    assert_int_equal(t.got->n, 2);
    check_curve(&t.got->items[0], 400, 0.1);
    check_curve(&t.got->items[1], 400, 0.2);
    assert_true(spectra_has_notice(&t, "per cent: as the file says"));
    spectra_done(&t);
}

/* The largest value decides: to 1.5 fractions, 5 to 150 per cent, else it is asked. */
static void scales(void **state)
{
    (void)state;
    static const struct {
        double largest;
        mdr_spectra_scale asked, want;
        const char *message;
    } ROWS[] = {
        {1.5, MDR_SCALE_UNKNOWN, MDR_SCALE_FRACTION, NULL},
        {1.51, MDR_SCALE_UNKNOWN, MDR_SCALE_UNKNOWN, "fractions or per cent?"},
        {4.99, MDR_SCALE_UNKNOWN, MDR_SCALE_UNKNOWN, "fractions or per cent?"},
        {5, MDR_SCALE_UNKNOWN, MDR_SCALE_PERCENT, NULL},
        {150, MDR_SCALE_UNKNOWN, MDR_SCALE_PERCENT, NULL},
        {150.1, MDR_SCALE_UNKNOWN, MDR_SCALE_UNKNOWN, "neither as fraction nor"},
        {1.6, MDR_SCALE_PERCENT, MDR_SCALE_PERCENT, NULL},
        {0.9, MDR_SCALE_PERCENT, MDR_SCALE_PERCENT, NULL},
        {1.6, MDR_SCALE_FRACTION, MDR_SCALE_FRACTION, "above 150 %"},
        {90, MDR_SCALE_FRACTION, MDR_SCALE_FRACTION, "above 150 %"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        char text[3000];
        (void)snprintf(text, sizeof text, "name,%s,710\nx,%s,%g\n", header(400, ""), values(0.1, 1),
                       ROWS[i].largest);
        spectra_try t =
            spectra_try_n(text, strlen(text), (mdr_spectra_options){ROWS[i].asked, false});
        if (ROWS[i].message != NULL) {
            assert_null(t.got);
            assert_non_null(strstr(t.err.msg, ROWS[i].message));
            assert_string_equal(t.err.place, "f:2:33");
        } else {
            assert_non_null(t.got);
            assert_int_equal(t.got->scale, ROWS[i].want);
            const double per = ROWS[i].want == MDR_SCALE_PERCENT ? 100 : 1;
            CHECK_NEAR(t.got->items[0].spectrum->v[31], ROWS[i].largest / per, 1e-15, "D");
        }
        spectra_done(&t);
    }
}

/* Every fault with its place; nothing comes out. */
static void csv_refused(void **state)
{
    (void)state;
    static const struct {
        const char *row, *place, *message;
        mdr_code code;
    } ROWS[] = {
        {"x,0.1,0.2,NaN,0.4,0.5", "f:2:4", "this is no number", MDR_E_PARSE},
        {"x,0.1,0.2,,0.4,0.5", "f:2:4", "a value is missing", MDR_E_PARSE},
        {"x,0.1,-0.2,0.3,0.4,0.5", "f:2:3", "below 0", MDR_E_RANGE},
        {"x,0.1,0.2,0.3,0.4", "f:2", "", MDR_E_PARSE}, /* too few cells */
        {"x,0.1,0.2,0.3,1e400,0.5", "f:2:5", "this is no number", MDR_E_PARSE},
        {"x,0.1,0.2,0.3,0.4,\"0.5", "f:2", "never closed", MDR_E_PARSE},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        char text[500];
        (void)snprintf(text, sizeof text, "name,420,480,540,600,660\n%s\n", ROWS[i].row);
        spectra_try t = spectra_try_text(text);
        assert_int_equal(t.code, ROWS[i].code);
        assert_string_equal(t.err.place, ROWS[i].place);
        assert_non_null(strstr(t.err.msg, ROWS[i].message));
        spectra_done(&t);
    }
}

static void whole_file_refused(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t len; /* 0: to the end */
        const char *place, *message;
    } ROWS[] = {
        {"", 0, "f:1", "empty"},
        {"name,batch\nx,1\n", 0, "f:1", "names no wavelengths"},
        {"name;400;410;420;430\n", 0, "f:1", "semicolons"},
        {"name,400,410,420,430\nx,\0", 24, "f:2", "NUL byte"},
        {"\xFF\xFEn\0a\0", 6, "f:1", "NUL byte"},
        {"name,400,410,420,430\n", 0, "f", "no sample"},
        {"wavelength_nm,x\n", 0, "f:1", "neither spectrum nor"},
        {"wavelength_nm,x\n900,0.1\n", 0, "f:1", "neither spectrum nor"},
        {"name,400,410,420,430\nx,0.1,0.2,0.3,0.4\n", 0, "f:2", "cannot end here"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const size_t len = ROWS[i].len > 0 ? ROWS[i].len : strlen(ROWS[i].text);
        spectra_try t = spectra_try_n(ROWS[i].text, len, AS_IS);
        assert_null(t.got);
        assert_string_equal(t.err.place, ROWS[i].place);
        if (strstr(t.err.msg, ROWS[i].message) == NULL) {
            fail_msg("row %zu: \"%s\" does not say \"%s\"", i, t.err.msg, ROWS[i].message);
        }
        spectra_done(&t);
    }
}

static void same_names(void **state)
{
    (void)state;
    char text[6000];
    (void)snprintf(text, sizeof text, "name,%s\nx,%s\n", header(400, ""), values(0.1, 1));
    (void)snprintf(text + strlen(text), sizeof text - strlen(text), "y,%s\n", values(0.2, 1));
    (void)snprintf(text + strlen(text), sizeof text - strlen(text), "x,%s\n", values(0.3, 1));
    spectra_try t = spectra_try_text(text);
    assert_int_equal(t.code, MDR_E_CONFLICT);
    assert_string_equal(t.err.place, "f:4");
    assert_string_equal(t.err.value, "x");
    spectra_done(&t);
    t = spectra_try_n(text, strlen(text), (mdr_spectra_options){MDR_SCALE_UNKNOWN, true});
    assert_non_null(t.got);
    assert_int_equal(t.got->n, 3);
    check_curve(&t.got->items[2], 400, 0.3);
    spectra_done(&t);
}

/* Every fault is found, not the first only. */
static void all_faults(void **state)
{
    (void)state;
    char text[6000];
    /* what is no number ends the reading of values; ranges are looked at when all are numbers */
    (void)snprintf(text, sizeof text, "name,%s\nx,a,%s\ny,%s\n", header(400, ""),
                   values(0.1, 1) + 7, values(-0.02, 1));
    spectra_try t = spectra_try_text(text);
    assert_int_equal(t.found.total, 1);
    assert_string_equal(t.err.place, "f:2:2");
    spectra_done(&t);
    (void)snprintf(text, sizeof text, "name,%s\ny,%s\nz,%s\n", header(400, ""), values(-0.02, 1),
                   values(-0.01, 1));
    t = spectra_try_text(text);
    assert_int_equal(t.found.total, 3);
    assert_string_equal(t.found.items[2].place, "f:3:2");
    assert_string_equal(t.found.items[1].place, "f:2:3");
    spectra_done(&t);
}

static void outside_the_range(void **state)
{
    (void)state;
    char text[6000];
    (void)snprintf(text, sizeof text, "name,300,310,%s,840\nx,9,9,%s,9\n", header(400, ""),
                   values(0.1, 1));
    spectra_try t = spectra_read(text);
    check_curve(&t.got->items[0], 400, 0.1);
    assert_true(spectra_has_notice(&t, "3 values outside"));
    spectra_done(&t);
}

static void uneven_wavelengths(void **state)
{
    (void)state;
    char text[6000] = "wavelength,x\n";
    for (int i = 0; i < 60; i++) {
        const double nm = 381 + 6 * i + i % 3;
        (void)snprintf(text + strlen(text), sizeof text - strlen(text), "%g,%.6f\n", nm,
                       0.1 + (nm - 380) / 1000);
    }
    spectra_try t = spectra_read(text);
    assert_true(t.got->items[0].resampled);
    assert_true(spectra_has_notice(&t, "irregular"));
    const mdr_spectrum *s = t.got->items[0].spectrum;
    for (int i = 0; i < s->n; i++) {
        CHECK_NEAR(s->v[i], 0.1 + (s->start_nm + s->step_nm * i - 380) / 1000, 1e-9, "D: a line");
    }
    spectra_done(&t);
}

/* -- CGATS ------------------------------------------------------------------------------------- */

/* One word a column: of the wavelengths, or of the values. */
static const char *spaced(const char *with_commas)
{
    static char text[8][2000];
    static int turn;
    char *out = text[turn++ % 8];
    (void)snprintf(out, 2000, "%s", with_commas);
    for (char *c = out; *c != '\0'; c++) {
        *c = *c == ',' ? ' ' : *c;
    }
    return out;
}

static void cgats_plain(void **state)
{
    (void)state;
    char text[9000];
    (void)snprintf(
        text, sizeof text,
        "CGATS.17\r\nORIGINATOR \"somebody, \tsomewhere\"\r\n# comment\r\nKEYWORD \"OWN\"\r\n"
        "OWN \"BEGIN_DATA\"\r\nILLUMINATION_NAME \"D50\"\r\nOBSERVER_ANGLE \"10\"\r\n"
        "MEASUREMENT_GEOMETRY \"d/8 SCE\"\r\nNUMBER_OF_FIELDS 36\r\nBEGIN_DATA_FORMAT\r\n"
        "SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B %s\r\nEND_DATA_FORMAT\r\nNUMBER_OF_SETS 2\r\n"
        "BEGIN_DATA\r\n1 \"light blue\" 50 -1.5 2 %s\r\n2\tred\t40 1 2\n%s END_DATA\r\n",
        spaced(header(380, "SPECTRAL_NM")), spaced(values(0.1, 1)), spaced(values(0.2, 1)));
    spectra_try t = spectra_read(text);
    assert_int_equal(t.got->format, MDR_SPECTRA_CGATS);
    assert_int_equal(t.got->n, 2);
    check_curve(&t.got->items[0], 380, 0.1);
    check_curve(&t.got->items[1], 380, 0.2);
    assert_string_equal(t.got->items[0].name, "light blue");
    assert_string_equal(t.got->items[0].id, "1");
    assert_int_equal(t.got->items[0].specular, MDR_SPECULAR_EXCLUDED);
    assert_true(t.got->items[1].has_lab && t.got->items[1].has_light);
    CHECK_NEAR(t.got->items[0].lab.a, -1.5, 0, "D");
    assert_int_equal(t.got->items[0].illuminant, MDR_ILL_D50);
    assert_int_equal(t.got->items[0].observer, MDR_OBSERVER_10);
    assert_int_equal(t.notices.total, 1); /* the scale; the counts agree */
    spectra_done(&t);
}

/* Wrong and missing counts, several tables, a format over several lines, unsorted columns, names of
 * neither kind, a declared scale. */
static void cgats_relatives(void **state)
{
    (void)state;
    char text[12000];
    (void)snprintf(
        text, sizeof text,
        "CTI3\n\nSPECTRAL_NORM \"100.000000\"\nNUMBER_OF_FIELDS 3\nBEGIN_DATA_FORMAT\n%s\n"
        "END_DATA_FORMAT\nNUMBER_OF_SETS 99999999999\nBEGIN_DATA\n%s\nEND_DATA\n"
        "CAL\nBEGIN_DATA_FORMAT\nSAMPLE_LOC\n710 %s\nEND_DATA_FORMAT\nBEGIN_DATA\n"
        "A1 41 %s\n A2 52 %s\nEND_DATA\n",
        spaced(header(400, "SPEC_")), spaced(values(0.1, 100)), spaced(header(400, "")),
        spaced(values(0.1, 100)), spaced(values(0.2, 100)));
    spectra_try t = spectra_read(text);
    assert_int_equal(t.got->n, 3);
    assert_int_equal(t.got->scale, MDR_SCALE_PERCENT);
    assert_string_equal(t.got->items[0].name, "1"); /* no name: its place */
    assert_string_equal(t.got->items[1].name, "A1");
    check_curve(&t.got->items[0], 400, 0.1);
    assert_int_equal(t.got->items[1].spectrum->n, 32);
    CHECK_NEAR(t.got->items[2].spectrum->v[31], 0.52, 1e-12, "D: 710 nm stood first");
    assert_true(spectra_has_notice(&t, "NUMBER_OF_FIELDS says 3"));
    assert_true(spectra_has_notice(&t, "as the file says"));
    spectra_done(&t);
}

static void cgats_pairs(void **state)
{
    (void)state;
    char text[9000] = "IT8.7/2\nBEGIN_DATA_FORMAT\nSAMPLE_ID\n";
    for (int i = 0; i < 31; i++) {
        strcat(text, "SPECTRAL_NM SPECTRAL_PCT\n");
    }
    strcat(text, "END_DATA_FORMAT\nBEGIN_DATA\nA1\n");
    for (int i = 0; i < 31; i++) {
        (void)snprintf(text + strlen(text), sizeof text - strlen(text), "%d %.3f\n", 400 + 10 * i,
                       1.0 * i / 30); /* per cent, though all are below 1.5 */
    }
    strcat(text, "END_DATA\n");
    spectra_try t = spectra_read(text);
    assert_int_equal(t.got->scale, MDR_SCALE_PERCENT);
    CHECK_NEAR(t.got->items[0].spectrum->v[30], 0.01, 1e-15, "D");
    spectra_done(&t);
}

static void cgats_refused(void **state)
{
    (void)state;
    static const struct {
        const char *text, *place, *message;
    } ROWS[] = {
        {"CGATS.17\nBEGIN_DATA\n1 2\nEND_DATA\n", "f:2:1", "without a format"},
        {"CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID RGB_R\nEND_DATA_FORMAT\nBEGIN_DATA\n1 2\n"
         "END_DATA\n",
         "f:6", "neither spectrum nor"},
        {"CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L\n", "f:2:1", "cut off"},
        {"CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\n1 50\n",
         "f:5:1", "cut off"},
        {"CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\n1 50\n2\n"
         "END_DATA\n",
         "f:8:1", "too few values"},
        {"CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\n1 nan\n"
         "END_DATA\n",
         "f:6:3", "no number"},
        {"CGATS.17\nORIGINATOR \"half\nBEGIN_DATA\n", "f:2:12", "not closed"},
        {"CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n"
         "END_DATA\n",
         "f", "no sample"},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        spectra_try t = spectra_try_text(ROWS[i].text);
        assert_null(t.got);
        if (strcmp(t.err.place, ROWS[i].place) != 0 || strstr(t.err.msg, ROWS[i].message) == NULL) {
            fail_msg("row %zu: %s: %s\n    want %s: %s", i, t.err.place, t.err.msg, ROWS[i].place,
                     ROWS[i].message);
        }
        spectra_done(&t);
    }
}

static void memory_runs_out(void **state)
{
    (void)state;
    char text[6000];
    (void)snprintf(text, sizeof text, "name,%s\nx,%s\n", header(400, ""), values(0.1, 1));
    const mdr_spectra_file file = {"f", text, strlen(text)};
    int refused = 0;
    for (unsigned n = 1; n < 40; n++) {
        mdr_arena *arena = mdr_arena_new(64 << 20);
        const mdr_spectra *got = NULL;
        mdr_err err;
        mdr_arena_fail_at(n);
        const mdr_code rc =
            mdr_spectra_read(&file, &AS_IS, arena, (mdr_spectra_report){NULL, NULL}, &got, &err);
        mdr_arena_fail_at(0);
        assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
        assert_int_equal(rc == MDR_OK, got != NULL);
        refused += rc != MDR_OK;
        mdr_arena_free(arena);
    }
    assert_true(refused > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(csv_rows),          cmocka_unit_test(csv_columns),
        cmocka_unit_test(csv_values),        cmocka_unit_test(scales),
        cmocka_unit_test(csv_refused),       cmocka_unit_test(whole_file_refused),
        cmocka_unit_test(same_names),        cmocka_unit_test(all_faults),
        cmocka_unit_test(outside_the_range), cmocka_unit_test(uneven_wavelengths),
        cmocka_unit_test(cgats_plain),       cmocka_unit_test(cgats_relatives),
        cmocka_unit_test(cgats_pairs),       cmocka_unit_test(cgats_refused),
        cmocka_unit_test(memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
