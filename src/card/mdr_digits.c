#include "card/mdr_digits.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

static const double BEYOND = 1e15; /* more than a double can count to six decimals */
static const char DASH[] = "\u2014";
static const char GROUP[] = "\u202f"; /* narrow no-break space */

static bool sane(double value)
{
    return isfinite(value) && fabs(value) < BEYOND;
}

void mdr_digits_fixed(char out[MDR_DIGITS_MAX], double value, int decimals)
{
    if (!sane(value) || decimals < 0 || decimals > 6) {
        (void)snprintf(out, MDR_DIGITS_MAX, "%s", DASH);
        return;
    }
    long long scale = 1;
    for (int i = 0; i < decimals; i++) {
        scale *= 10;
    }
    /* The whole part apart: value * scale may leave the integers of a double. */
    double whole = 0.0;
    const double part = modf(fabs(value), &whole);
    long long units = (long long)whole;
    long long behind = llround(part * (double)scale);
    if (behind == scale) {
        units++;
        behind = 0;
    }
    const char *sign = value < 0.0 && (units != 0 || behind != 0) ? "-" : "";
    if (decimals == 0) {
        (void)snprintf(out, MDR_DIGITS_MAX, "%s%lld", sign, units);
    } else {
        (void)snprintf(out, MDR_DIGITS_MAX, "%s%lld.%0*lld", sign, units, decimals, behind);
    }
}

void mdr_digits_trim(char out[MDR_DIGITS_MAX], double value, int least, int most)
{
    mdr_digits_fixed(out, value, most);
    char *point = strchr(out, '.');
    if (point == NULL) {
        return;
    }
    size_t n = strlen(out);
    while (out[n - 1] == '0' && &out[n - 1] > point + least) {
        n--;
    }
    if (&out[n - 1] == point) {
        n--;
    }
    out[n] = '\0';
}

void mdr_digits_whole(char out[MDR_DIGITS_MAX], double value)
{
    char plain[MDR_DIGITS_MAX];
    mdr_digits_fixed(plain, value, 0);
    const size_t sign = plain[0] == '-' ? 1 : 0;
    const size_t digits = strlen(plain) - sign;
    if (digits < 5 || !sane(value)) {
        (void)snprintf(out, MDR_DIGITS_MAX, "%s", plain);
        return;
    }
    size_t used = 0;
    for (size_t i = 0; plain[i] != '\0'; i++) {
        if (i > sign && (digits + sign - i) % 3 == 0) {
            memcpy(out + used, GROUP, sizeof GROUP - 1);
            used += sizeof GROUP - 1;
        }
        out[used++] = plain[i];
    }
    out[used] = '\0';
}

/* `value` with its unit behind. */
static void with_unit(char out[MDR_DIGITS_MAX], double value, int decimals, const char *unit)
{
    char number[MDR_DIGITS_MAX];
    mdr_digits_fixed(number, value, decimals);
    (void)snprintf(out, MDR_DIGITS_MAX, "%.36s\u00a0%s", number, unit);
}

void mdr_digits_mass(char out[MDR_DIGITS_MAX], double mass_kg)
{
    const double size = fabs(mass_kg);
    /* The limits lie where rounding would reach the next band: 999.96 g is "1.000 kg". */
    if (!(size < 9.9995)) {
        with_unit(out, mass_kg, 2, "kg");
    } else if (size >= 0.99995) {
        with_unit(out, mass_kg, 3, "kg");
    } else if (size >= 0.0009995 || size == 0.0) {
        with_unit(out, mass_kg * 1000.0, 1, "g");
    } else {
        with_unit(out, mass_kg * 1000.0, 3, "g");
    }
}

void mdr_digits_mass_brief(char out[MDR_DIGITS_MAX], double mass_kg)
{
    char number[MDR_DIGITS_MAX];
    const bool grams = fabs(mass_kg) < 0.99995;
    mdr_digits_trim(number, grams ? mass_kg * 1000.0 : mass_kg, 0, 1);
    (void)snprintf(out, MDR_DIGITS_MAX, "%.36s\u00a0%s", number, grams ? "g" : "kg");
}

void mdr_digits_volume(char out[MDR_DIGITS_MAX], double volume_l)
{
    const double size = fabs(volume_l);
    if (size >= 99.95) {
        char number[MDR_DIGITS_MAX];
        mdr_digits_whole(number, volume_l);
        (void)snprintf(out, MDR_DIGITS_MAX, "%.36s\u00a0L", number);
    } else if (!(size < 9.995)) {
        with_unit(out, volume_l, 1, "L");
    } else if (size >= 0.9995 || size == 0.0) {
        with_unit(out, volume_l, size == 0.0 ? 0 : 2, "L");
    } else {
        with_unit(out, volume_l * 1000.0, 0, "mL");
    }
}

void mdr_digits_clock(char out[MDR_DIGITS_MAX], double time_min)
{
    if (!sane(time_min)) {
        (void)snprintf(out, MDR_DIGITS_MAX, "%s", DASH);
        return;
    }
    const long long minutes = llround(fabs(time_min));
    const char *sign = time_min < 0.0 && minutes != 0 ? "-" : "";
    (void)snprintf(out, MDR_DIGITS_MAX, "%s%lld:%02lld", sign, minutes / 60, minutes % 60);
}

void mdr_digits_span(char out[MDR_DIGITS_MAX], double time_min)
{
    if (!sane(time_min) || time_min < 0.0) {
        (void)snprintf(out, MDR_DIGITS_MAX, "%s", DASH);
        return;
    }
    const long long minutes = llround(time_min);
    if (minutes < 60) {
        (void)snprintf(out, MDR_DIGITS_MAX, "%lld\u00a0min", minutes);
    } else {
        (void)snprintf(out, MDR_DIGITS_MAX, "%lld\u00a0h\u00a0%02lld\u00a0min", minutes / 60,
                       minutes % 60);
    }
}

void mdr_digits_day(char out[MDR_DIGITS_MAX], long long utc_ms)
{
    if (utc_ms == 0) {
        out[0] = '\0';
        return;
    }
    /* Days since 1970 to the civil calendar by eras of 400 years counted from 1 March 0000, so
     * that a leap day ends its year. Derived from the Gregorian rule; checked in the test. */
    const long long day_ms = 86400000;
    long long days = utc_ms / day_ms - (utc_ms % day_ms < 0 ? 1 : 0);
    days += 719468; /* from 0000-03-01 to 1970-01-01 */
    const long long era = (days >= 0 ? days : days - 146096) / 146097;
    const long long day_of_era = days - era * 146097;
    const long long year_of_era =
        (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
    const long long day_of_year =
        day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    const long long shifted = (5 * day_of_year + 2) / 153; /* 0: March */
    const long long day = day_of_year - (153 * shifted + 2) / 5 + 1;
    const long long month = shifted < 10 ? shifted + 3 : shifted - 9;
    const long long year = year_of_era + era * 400 + (month <= 2 ? 1 : 0);
    (void)snprintf(out, MDR_DIGITS_MAX, "%04lld-%02lld-%02lld", year, month, day);
}
