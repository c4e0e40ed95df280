/* Numbers as the documents print them. Expected texts follow from the rules in mdr_digits.h (D);
 * days from the Gregorian calendar, checked with `date -u -d @N +%F` of GNU coreutils 9.1 (O). */
#include "t.h"

#include <string.h>

#include "card/mdr_digits.h"

#define NB  "\u00a0" /* no-break space before a unit */
#define NNB "\u202f" /* narrow no-break space between groups of digits */

static void same(const char *got, const char *want)
{
    if (strcmp(got, want) != 0) {
        fail_msg("got \"%s\", want \"%s\"", got, want);
    }
}

static void fixed(void **state)
{
    (void)state;
    static const struct {
        double value;
        int decimals;
        const char *text;
    } ROWS[] = {{0, 0, "0"},
                {0, 2, "0.00"},
                {1234.5, 1, "1234.5"},
                {2.5, 0, "3"}, /* halves away from zero */
                {-2.5, 0, "-3"},
                {0.125, 2, "0.13"},
                {9.996, 2, "10.00"}, /* carries into the whole part */
                {-0.004, 2, "0.00"}, /* no "-0.00" */
                {-0.006, 2, "-0.01"},
                {0.000001, 6, "0.000001"},
                {123456789012.25, 2, "123456789012.25"},
                {(double)NAN, 1, "\u2014"},
                {(double)INFINITY, 1, "\u2014"},
                {1e15, 0, "\u2014"},
                {1, 7, "\u2014"}};
    char out[MDR_DIGITS_MAX];
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_digits_fixed(out, ROWS[i].value, ROWS[i].decimals);
        same(out, ROWS[i].text);
    }
}

static void trimmed(void **state)
{
    (void)state;
    static const struct {
        double value;
        int least, most;
        const char *text;
    } ROWS[] = {{20, 0, 4, "20"},
                {2, 1, 5, "2.0"},
                {0.00123, 1, 5, "0.00123"},
                {1.25, 1, 5, "1.25"},
                {1.5, 0, 2, "1.5"},
                {100, 0, 0, "100"},
                {1200, 0, 2, "1200"},
                {0.999999, 0, 4, "1"},
                {10.10, 0, 2, "10.1"},
                {-3.50, 0, 2, "-3.5"},
                {(double)NAN, 0, 2, "\u2014"}};
    char out[MDR_DIGITS_MAX];
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_digits_trim(out, ROWS[i].value, ROWS[i].least, ROWS[i].most);
        same(out, ROWS[i].text);
    }
}

typedef void (*writer)(char out[MDR_DIGITS_MAX], double value);

static const struct {
    writer write;
    double value;
    const char *text;
} ROWS[] = {
    {mdr_digits_whole, 9999, "9999"},
    {mdr_digits_whole, 9999.5, "10" NNB "000"}, /* the group comes with the rounding */
    {mdr_digits_whole, 79344, "79" NNB "344"},
    {mdr_digits_whole, 123456, "123" NNB "456"},
    {mdr_digits_whole, 1234567, "1" NNB "234" NNB "567"},
    {mdr_digits_whole, -12345, "-12" NNB "345"},
    {mdr_digits_whole, (double)NAN, "\u2014"},
    /* to weigh: from 10 kg two decimals, from 1 kg three, below in g with one, below 1 g three */
    {mdr_digits_mass, 320, "320.00" NB "kg"},
    {mdr_digits_mass, 10, "10.00" NB "kg"},
    {mdr_digits_mass, 9.9995, "10.00" NB "kg"}, /* not "10.000" */
    {mdr_digits_mass, 9.9994, "9.999" NB "kg"},
    {mdr_digits_mass, 1, "1.000" NB "kg"},
    {mdr_digits_mass, 0.99996, "1.000" NB "kg"}, /* not "1000.0 g" */
    {mdr_digits_mass, 0.99994, "999.9" NB "g"},
    {mdr_digits_mass, 0.8824, "882.4" NB "g"},
    {mdr_digits_mass, 0.001, "1.0" NB "g"},
    {mdr_digits_mass, 0.0005, "0.500" NB "g"},
    {mdr_digits_mass, 0, "0.0" NB "g"},
    {mdr_digits_mass, (double)NAN, "\u2014" NB "kg"},
    {mdr_digits_mass_brief, 320, "320" NB "kg"},
    {mdr_digits_mass_brief, 28.72, "28.7" NB "kg"},
    {mdr_digits_mass_brief, 0.0121, "12.1" NB "g"},
    {mdr_digits_volume, 61234, "61" NNB "234" NB "L"},
    {mdr_digits_volume, 8000.5, "8001" NB "L"},
    {mdr_digits_volume, 99.96, "100" NB "L"}, /* not "100.0" */
    {mdr_digits_volume, 24.13, "24.1" NB "L"},
    {mdr_digits_volume, 9.996, "10.0" NB "L"},
    {mdr_digits_volume, 6.72, "6.72" NB "L"},
    {mdr_digits_volume, 0.9996, "1.00" NB "L"},
    {mdr_digits_volume, 0.25, "250" NB "mL"},
    {mdr_digits_volume, 0, "0" NB "L"},
    {mdr_digits_clock, 0, "0:00"},
    {mdr_digits_clock, 59.6, "1:00"},
    {mdr_digits_clock, 75.4, "1:15"},
    {mdr_digits_clock, 6000, "100:00"},
    {mdr_digits_clock, -0.2, "0:00"},
    {mdr_digits_clock, (double)INFINITY, "\u2014"},
    {mdr_digits_span, 42, "42" NB "min"},
    {mdr_digits_span, 59.7, "1" NB "h" NB "00" NB "min"},
    {mdr_digits_span, 582, "9" NB "h" NB "42" NB "min"},
    {mdr_digits_span, -1, "\u2014"},
};

static void quantities(void **state)
{
    (void)state;
    char out[MDR_DIGITS_MAX];
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        ROWS[i].write(out, ROWS[i].value);
        same(out, ROWS[i].text);
    }
}

static void days(void **state)
{
    (void)state;
    static const struct {
        long long utc_ms;
        const char *text;
    } DAYS[] = {{0, ""},
                {1, "1970-01-01"},
                {-1, "1969-12-31"},
                {951782399999, "2000-02-28"},
                {951782400000, "2000-02-29"}, /* a leap day in a century year */
                {951868800000, "2000-03-01"},
                {1796083200000, "2026-12-01"},
                {4107542400000, "2100-03-01"}, /* 2100 has no leap day */
                {4107542399999, "2100-02-28"}};
    char out[MDR_DIGITS_MAX];
    for (size_t i = 0; i < N_OF(DAYS); i++) {
        mdr_digits_day(out, DAYS[i].utc_ms);
        same(out, DAYS[i].text);
    }
}

/* Whatever the value, the text fits and ends. */
static void never_beyond_the_buffer(void **state)
{
    (void)state;
    static const writer WRITERS[] = {mdr_digits_whole,      mdr_digits_mass,  mdr_digits_volume,
                                     mdr_digits_mass_brief, mdr_digits_clock, mdr_digits_span};
    for (int power = -12; power <= 30; power++) {
        const double value = 7.77 * pow(10, power);
        for (size_t i = 0; i < N_OF(WRITERS); i++) {
            for (int sign = -1; sign <= 1; sign += 2) {
                char out[MDR_DIGITS_MAX];
                memset(out, 'x', sizeof out);
                WRITERS[i](out, sign * value);
                assert_non_null(memchr(out, '\0', sizeof out));
                assert_null(strchr(out, ','));
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(fixed), cmocka_unit_test(trimmed),
                                       cmocka_unit_test(quantities), cmocka_unit_test(days),
                                       cmocka_unit_test(never_beyond_the_buffer)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
