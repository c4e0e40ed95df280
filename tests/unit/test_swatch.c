/* CIELAB -> sRGB. Expected colours: the way forward, sRGB -> CIELAB, computed apart from the code
 * in Python 3.11 from the chromaticities of the primaries and the white in IEC 61966-2-1:1999
 * table 1 and the transfer curve there, then CIELAB by CIE 15:2018 (O). The code under test uses
 * the standard's four-digit inverse matrix instead. */
#include "t.h"

#include <stdlib.h>
#include <string.h>

#include "core/units/mdr_swatch.h"

static const struct {
    double l, a, b;
    const char *hex;
    bool inside;
    const char *source;
} ROWS[] = {
    {100, 0, 0, "#ffffff", true, "D: white is white"},
    {0, 0, 0, "#000000", true, "D: black is black"},
    {50.0344, 0, 0, "#777777", true, "O: sRGB 119, grey"},
    {53.5850, 0, 0, "#808080", true, "O: sRGB 128, grey"},
    {0.2742, 0, 0, "#010101", true, "O: sRGB 1: the straight parts of both curves"},
    {2.7418, 0, 0, "#0a0a0a", true,
     "D: 10 / 255 / 12.92 of white, where the curve is still straight"},
    {53.2371, 80.0901, 67.2033, "#ff0000", true, "O: red primary"},
    {87.7355, -86.1816, 83.1866, "#00ff00", true, "O: green primary"},
    {32.3009, 79.1953, -107.8555, "#0000ff", true, "O: blue primary"},
    {97.1386, -21.5600, 94.4838, "#ffff00", true, "O: yellow"},
    {43.7977, 29.3188, 35.6379, "#a0522d", true, "O: a brown"},
    {43.3188, 1.2702, -28.3431, "#466895", true, "O: a blue"},
    {57.5, -60.0, -27.0, "#00a4b8", false,
     "D: linear -0.2203, 0.3729, 0.4780 by the standard's matrix; red is cut at 0"},
    {120, 0, 0, "#ffffff", false, "D: lighter than white is cut at white"},
    {-10, 0, 0, "#000000", false, "D: darker than black is cut at black"},
    {(double)NAN, 0, 0, "#808080", false, "contract"},
    {50, (double)INFINITY, 0, "#808080", false, "contract"},
    {1e300, 1e300, -1e300, NULL, false, "contract: terminated whatever comes"},
};

static void colours(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        char hex[8];
        bool inside = !ROWS[i].inside;
        memset(hex, 'x', sizeof hex);
        mdr_swatch_hex(ROWS[i].l, ROWS[i].a, ROWS[i].b, hex, &inside);
        assert_int_equal(hex[7], '\0');
        assert_int_equal(strspn(hex + 1, "0123456789abcdef"), 6);
        if (inside != ROWS[i].inside || (ROWS[i].hex != NULL && strcmp(hex, ROWS[i].hex) != 0)) {
            fail_msg("Lab(%g, %g, %g): got %s %s, want %s\n    source: %s", ROWS[i].l, ROWS[i].a,
                     ROWS[i].b, hex, inside ? "inside" : "outside",
                     ROWS[i].hex == NULL ? "any" : ROWS[i].hex, ROWS[i].source);
        }
    }
}

/* Along the greys the three channels are equal and never fall. D: a* = b* = 0 is the white scaled. */
static void greys(void **state)
{
    (void)state;
    long before = -1;
    for (int i = 0; i <= 1000; i++) {
        char hex[8];
        bool inside = false;
        mdr_swatch_hex(i / 10.0, 0, 0, hex, &inside);
        assert_true(inside);
        assert_memory_equal(hex + 1, hex + 3, 2);
        assert_memory_equal(hex + 1, hex + 5, 2);
        hex[3] = '\0';
        const long byte = strtol(hex + 1, NULL, 16);
        assert_true(byte >= before);
        before = byte;
    }
    char hex[8];
    mdr_swatch_hex(50, 0, 0, hex, NULL); /* the answer may be left out */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(colours), cmocka_unit_test(greys)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
