/* CxF3: a real file of 144 patches, what hangs on its details, and hostile XML. */
#include "spectra_kit.h"

#include <stdlib.h>

#define CXF "<CxF xmlns=\"http://colorexchangeformat.com/CxF3-core\">"

static char *file_text(const char *path)
{
    FILE *in = fopen(path, "rb");
    assert_non_null(in);
    char *text = calloc(1, 1 << 20);
    assert_non_null(text);
    const size_t n = fread(text, 1, (1 << 20) - 1, in);
    assert_true(n > 1000);
    (void)fclose(in);
    return text;
}

/* The file's own CIELAB (D50, 2 degree) from its own spectra: 380 to 680 nm, not 400 to 700. */
static void real_file(void **state)
{
    (void)state;
    char *text = file_text(MDR_SOURCE_DIR "/tests/samples/cxf_144_patches.cxf");
    spectra_try t = spectra_read(text);
    assert_int_equal(t.got->n, 144);
    assert_int_equal(t.got->format, MDR_SPECTRA_CXF);
    assert_string_equal(t.got->items[143].kind, "Target");
    assert_string_equal(t.got->items[0].name, "1");
    double sum = 0, most = 0;
    for (int i = 0; i < 144; i++) {
        const mdr_spectra_item *item = &t.got->items[i];
        assert_true(item->spectrum != NULL && item->has_lab && item->has_light);
        assert_int_equal(item->illuminant, MDR_ILL_D50);
        assert_int_equal(item->observer, MDR_OBSERVER_2);
        assert_int_equal(item->specular, MDR_SPECULAR_NONE); /* 45/0 */
        CHECK_NEAR(item->spectrum->start_nm, 380, 0, "S: the file");
        assert_int_equal(item->spectrum->n, 31);
        const mdr_lab lab = mdr_lab_of_spectrum(item->spectrum, item->illuminant, item->observer);
        const double de = sqrt((lab.l - item->lab.l) * (lab.l - item->lab.l) +
                               (lab.a - item->lab.a) * (lab.a - item->lab.a) +
                               (lab.b - item->lab.b) * (lab.b - item->lab.b));
        sum += de;
        most = fmax(most, de);
    }
    CHECK_NEAR(sum / 144, 0, 0.08, "S: the file's own CIELAB");
    CHECK_NEAR(most, 0, 0.12, "S: the file's own CIELAB");
    spectra_done(&t);
    /* cut off anywhere, there is no result and no crash */
    const size_t len = strlen(text);
    for (size_t cut = len - 20; cut > 300; cut = cut * 7 / 8) {
        t = spectra_try_n(text, cut, (mdr_spectra_options){MDR_SCALE_UNKNOWN, false});
        assert_int_equal(t.code, MDR_E_PARSE);
        assert_non_null(strstr(t.err.msg, "not well-formed"));
        spectra_done(&t);
    }
    free(text);
}

static const char *thirty_one(void)
{
    return "0.1 0.11 0.12 0.13 0.14 0.15 0.16 0.17 0.18 0.19 0.2 0.21 0.22 0.23 0.24 0.25 0.26 "
           "0.27 "
           "0.28 0.29 0.3 0.31 0.32 0.33 0.34 0.35 0.36 0.37 0.38 0.39 0.4";
}

static const char *document(const char *objects, const char *specs)
{
    static char text[20000];
    (void)snprintf(
        text, sizeof text,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" CXF
        "<Resources><ObjectCollection>%s</ObjectCollection>\n"
        "<ColorSpecificationCollection>%s</ColorSpecificationCollection></Resources></CxF>",
        objects, specs);
    return text;
}

static const char *object(const char *name, const char *values)
{
    static char text[4][8000];
    static int turn;
    char *out = text[turn++ % 4];
    (void)snprintf(
        out, 8000,
        "<Object ObjectType=\"Trial\" Name=\"%s\" Id=\"i\"><ColorValues>%s</ColorValues></Object>",
        name, values);
    return out;
}

static const char *spectrum(const char *attributes)
{
    static char text[4][1000];
    static int turn;
    char *out = text[turn++ % 4];
    (void)snprintf(out, 1000, "<ReflectanceSpectrum %s>%s</ReflectanceSpectrum>", attributes,
                   thirty_one());
    return out;
}

#define SPEC(id, inside) "<ColorSpecification Id=\"" id "\">" inside "</ColorSpecification>"
#define RANGE            "<WavelengthRange StartWL=\"400\" Increment=\"10\"/>"

/* Several spectra of one object, each by its own specification; a start of its own beats it. */
static void several_spectra(void **state)
{
    (void)state;
    char values[3000];
    (void)snprintf(
        values, sizeof values,
        "%s%s%s<ColorCIELab ColorSpecification=\"b\"><L>50</L><A> 1 </A><B>-2</B></ColorCIELab>",
        spectrum("ColorSpecification=\"a\""), spectrum("ColorSpecification=\"b\""),
        spectrum("StartWL=\"380\" ColorSpecification=\"c\""));
    spectra_try t = spectra_read(document(
        object("x &amp; y", values),
        SPEC("a", RANGE
             "<GeometryChoice><SphereGeometry>Specular_Included</SphereGeometry></GeometryChoice>")
            SPEC("b", RANGE
                 "<GeometryChoice><SphereGeometry><SphereGeometryConfiguration>Specular_Excluded"
                 "</SphereGeometryConfiguration></SphereGeometry></"
                 "GeometryChoice><TristimulusSpec><Illuminant>F11"
                 "</Illuminant><Observer>10_Degree</Observer></TristimulusSpec>")
                SPEC("c", "<Device><DeviceIllumination>M1_Daylight</DeviceIllumination></"
                          "Device>" RANGE)));
    assert_int_equal(t.got->n, 3);
    const mdr_spectra_item *item = t.got->items;
    for (int i = 0; i < 3; i++) {
        assert_string_equal(item[i].name, "x & y");
        assert_string_equal(item[i].kind, "Trial");
        CHECK_NEAR(item[i].spectrum->start_nm, i == 2 ? 380 : 400, 0, "D");
        CHECK_NEAR(item[i].spectrum->v[30], 0.4, 1e-15, "D");
        assert_int_equal(item[i].has_lab, i == 1);
    }
    assert_int_equal(item[0].specular, MDR_SPECULAR_INCLUDED);
    assert_int_equal(item[1].specular, MDR_SPECULAR_EXCLUDED);
    CHECK_NEAR(item[1].lab.a, 1, 0, "D");
    assert_int_equal(item[1].illuminant, MDR_ILL_F11);
    assert_string_equal(item[2].condition, "M1_Daylight");
    spectra_done(&t);
}

/* Two objects on one line: the colour of the second is not given to the first. */
static void objects_are_kept_apart(void **state)
{
    (void)state;
    char both[6000];
    (void)snprintf(
        both, sizeof both, "%s%s", object("x", spectrum("ColorSpecification=\"a\"")),
        object("y",
               "<ColorCIELab ColorSpecification=\"a\"><L>1</L><A>2</A><B>3</B></ColorCIELab>"));
    spectra_try t = spectra_read(document(both, SPEC("a", RANGE)));
    assert_int_equal(t.got->n, 2);
    assert_false(t.got->items[0].has_lab);
    assert_true(t.got->items[1].has_lab && t.got->items[1].spectrum == NULL);
    assert_string_equal(t.got->items[1].name, "y");
    spectra_done(&t);
    /* nor that of the first to the second */
    (void)snprintf(
        both, sizeof both, "%s%s",
        object("x", "<ColorCIELab ColorSpecification=\"a\"><L>1</L><A>2</A><B>3</B></ColorCIELab>"),
        object("y", spectrum("ColorSpecification=\"a\"")));
    t = spectra_read(document(both, SPEC("a", RANGE)));
    assert_int_equal(t.got->n, 2);
    assert_true(t.got->items[0].has_lab && t.got->items[0].spectrum == NULL);
    assert_false(t.got->items[1].has_lab);
    spectra_done(&t);
}

/* No step, no wavelengths: told, not guessed. */
static void no_wavelengths(void **state)
{
    (void)state;
    char both[6000];
    (void)snprintf(both, sizeof both, "%s%s",
                   object("x", spectrum("StartWL=\"400\" ColorSpecification=\"a\"")),
                   object("y", spectrum("ColorSpecification=\"b\"")));
    spectra_try t = spectra_read(
        document(both, SPEC("a", "<WavelengthRange StartWL=\"400\"/>") SPEC("b", RANGE)));
    assert_int_equal(t.got->n, 1);
    assert_string_equal(t.got->items[0].name, "y");
    assert_true(spectra_has_notice(&t, "x: a spectrum without wavelengths"));
    spectra_done(&t);
    t = spectra_read(document(both, SPEC("A", RANGE) SPEC("b", RANGE))); /* ids in their own case */
    assert_int_equal(t.got->n, 1);
    assert_true(spectra_has_notice(&t, "\"a\" is not in the file"));
    spectra_done(&t);
    t = spectra_read(
        document(both, SPEC("a", RANGE "<MeasurementType>Spectrum_Transmittance</MeasurementType>")
                           SPEC("b", RANGE)));
    assert_int_equal(t.got->n, 1);
    assert_true(spectra_has_notice(&t, "not a measurement of reflectance"));
    spectra_done(&t);
}

static void points(void **state)
{
    (void)state;
    char values[3000] = "<CustomSpectrum ColorSpecification=\"a\">";
    for (int i = 30; i >= 0; i--) {
        (void)snprintf(values + strlen(values), sizeof values - strlen(values),
                       "<SpectralPoint WL=\"%d\"> %.2f </SpectralPoint>", 400 + 10 * i,
                       0.1 + 0.01 * i);
    }
    strcat(values, "</CustomSpectrum>");
    spectra_try t = spectra_read(document(object("x", values), SPEC("a", "")));
    CHECK_NEAR(t.got->items[0].spectrum->start_nm, 400, 0, "D: sorted");
    CHECK_NEAR(t.got->items[0].spectrum->v[3], 0.13, 1e-15, "D");
    spectra_done(&t);
    char *hit = strstr(values, "WL=\"450\"");
    assert_non_null(hit);
    memcpy(hit, "WL=\"460\"", 8);
    t = spectra_try_text(document(object("x", values), SPEC("a", "")));
    assert_int_equal(t.code, MDR_E_CONFLICT);
    assert_non_null(strstr(t.err.msg, "the same wavelength"));
    spectra_done(&t);
}

static void prefixes(void **state)
{
    (void)state;
    char text[4000];
    (void)snprintf(
        text, sizeof text,
        "<?xml version='1.0' encoding='ISO-8859-1'?><c:CxF "
        "xmlns:c='http://colorexchangeformat.com/CxF3-core' "
        "xmlns:o='urn:other'><c:Resources>"
        "<c:ObjectCollection><c:Object Name='x' Id='1'><c:ColorValues><c:ReflectanceSpectrum "
        "ColorSpecification='a'><![CDATA[%s]]></c:ReflectanceSpectrum></c:ColorValues></c:Object>"
        "</c:ObjectCollection><c:ColorSpecificationCollection><c:ColorSpecification Id='a'>"
        "<c:WavelengthRange StartWL='400' Increment='10'/></c:ColorSpecification>"
        "</c:ColorSpecificationCollection></c:Resources></c:CxF>",
        thirty_one());
    spectra_try t = spectra_read(text);
    assert_int_equal(t.got->n, 1);
    spectra_done(&t);
}

static void hostile(void **state)
{
    (void)state;
    static const struct {
        const char *text, *message;
    } ROWS[] = {
        {"<!DOCTYPE CxF [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\">]>" CXF "&b;</CxF>",
         "document types and entities"},
        {"<!DOCTYPE CxF SYSTEM \"file:///etc/passwd\">" CXF "</CxF>",
         "document types and entities"},
        {CXF "<!-- <!ENTITY --></CxF>", "document types and entities"},
        {CXF "&unknown;</CxF>", "not well-formed"},
        {CXF "<Resources></CxF>", "not well-formed"},
        {CXF, "not well-formed"},
        {"<", "not well-formed"},
        {"<CxF></CxF>", "not CxF3"},
        {"<html xmlns=\"http://colorexchangeformat.com/CxF3-core\"/>", "not CxF3"},
        {"<CxF xmlns=\"http://colorexchangeformat.com/CxF2\"/>", "not CxF3"},
        {CXF "</CxF>", "no sample"},
        {"<?xml version=\"1.0\" encoding=\"UTF-7\"?>" CXF "+ADw-a+AD4-</CxF>", "not well-formed"},
        {CXF "<a>\xC3\x28</a></CxF>", "not well-formed"}, /* no UTF-8 */
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        spectra_try t = spectra_try_text(ROWS[i].text);
        assert_null(t.got);
        if (strstr(t.err.msg, ROWS[i].message) == NULL) {
            fail_msg("row %zu: \"%s\" does not say \"%s\"", i, t.err.msg, ROWS[i].message);
        }
        spectra_done(&t);
    }
}

/* Depth without end is the parser's limit; a long text is ours. */
static void deep_and_long(void **state)
{
    (void)state;
    char *text = calloc(1, 200000);
    assert_non_null(text);
    strcpy(text, CXF);
    for (size_t i = strlen(text); i < 30000; i += 3) {
        memcpy(text + i, "<a>", 3);
    }
    spectra_try t = spectra_try_text(text);
    assert_int_equal(t.code, MDR_E_PARSE);
    spectra_done(&t);
    strcpy(text, CXF "<Object Name='x'><ReflectanceSpectrum ColorSpecification='a'>");
    const size_t n = strlen(text);
    memset(text + n, ' ', 100000);
    strcpy(text + n + 100000, "</ReflectanceSpectrum></Object></CxF>");
    t = spectra_try_text(text);
    assert_int_equal(t.code, MDR_E_PARSE);
    assert_non_null(strstr(t.err.msg, "64 KiB"));
    spectra_done(&t);
    free(text);
}

/* Faults name the line of their element. */
static void lines(void **state)
{
    (void)state;
    spectra_try t = spectra_try_text(
        CXF "\n<Object Name='x'>\n<ReflectanceSpectrum ColorSpecification='a'>0.1 NaN\n"
            "</ReflectanceSpectrum>\n</Object></CxF>");
    assert_int_equal(t.code, MDR_E_PARSE);
    assert_string_equal(t.err.value, "NaN");
    assert_true(strcmp(t.err.place, "f:3") == 0 || strcmp(t.err.place, "f:4") == 0);
    spectra_done(&t);
    char negative[3000];
    (void)snprintf(
        negative, sizeof negative,
        "\n\n<ReflectanceSpectrum ColorSpecification=\"a\">-0.05 %s</ReflectanceSpectrum>",
        thirty_one());
    t = spectra_try_text(document(object("x", negative), SPEC("a", RANGE)));
    assert_int_equal(t.code, MDR_E_RANGE);
    assert_string_equal(t.err.place, "f:4");
    spectra_done(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(real_file),
        cmocka_unit_test(several_spectra),
        cmocka_unit_test(objects_are_kept_apart),
        cmocka_unit_test(no_wavelengths),
        cmocka_unit_test(points),
        cmocka_unit_test(prefixes),
        cmocka_unit_test(hostile),
        cmocka_unit_test(deep_and_long),
        cmocka_unit_test(lines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
