#include <string.h>

#include "mill/mdr_mill_cell_in.h"

/* Days since 1970-01-01 of a date of the Gregorian calendar, and back. Years begin in March, so
 * that the leap day is the last: H. Hinnant, "chrono-compatible low-level date algorithms",
 * days_from_civil and civil_from_days; from memory, tested against `date -u -d`. Here the year is
 * 2000..2099, where every fourth is a leap year. */
static int64_t days_of(int year, int month, int day)
{
    const int y = month <= 2 ? year - 1 : year;
    const int m = month <= 2 ? month + 9 : month - 3; /* March is 0 */
    const int in_year = (153 * m + 2) / 5 + day - 1;
    const int century = y / 100;
    return (int64_t)365 * y + y / 4 - century + century / 4 + in_year - 719468;
}

static bool two_digits(const char *p, int *out)
{
    if (p[0] < '0' || p[0] > '9' || p[1] < '0' || p[1] > '9') {
        return false;
    }
    *out = (p[0] - '0') * 10 + (p[1] - '0');
    return true;
}

static int days_in(int year, int month)
{
    static const int DAYS[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return month == 2 && year % 4 == 0 ? 29 : DAYS[month - 1];
}

bool mdr_mill_date_read(const char *text, size_t len, int64_t *out)
{
    int century, year, month, day;
    if (len != 10 || text[4] != '-' || text[7] != '-' || !two_digits(text, &century) ||
        !two_digits(text + 2, &year) || !two_digits(text + 5, &month) ||
        !two_digits(text + 8, &day)) {
        return false;
    }
    year += century * 100;
    if (century != 20 || month < 1 || month > 12 || day < 1 || day > days_in(year, month)) {
        return false;
    }
    *out = days_of(year, month, day) * MDR_MILL_DAY_MS;
    return true;
}

static void put_two(char *out, int n)
{
    out[0] = (char)('0' + n / 10 % 10);
    out[1] = (char)('0' + n % 10);
}

void mdr_mill_date_write(int64_t utc_ms, char out[MDR_MILL_DATE_TEXT])
{
    int64_t left = utc_ms / MDR_MILL_DAY_MS - days_of(2000, 1, 1);
    int year = 2000, month = 1;
    while (left >= 365 + (year % 4 == 0)) {
        left -= 365 + (year % 4 == 0);
        year++;
    }
    while (left >= days_in(year, month)) {
        left -= days_in(year, month);
        month++;
    }
    memcpy(out, "0000-00-00", MDR_MILL_DATE_TEXT);
    put_two(out, year / 100);
    put_two(out + 2, year % 100);
    put_two(out + 5, month);
    put_two(out + 8, (int)left + 1);
}
