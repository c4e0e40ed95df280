#include "wire/mdr_real.h"

#include <stdint.h>

enum { DIGITS_KEPT = 18, EXPONENT_MOST = 300 };

typedef struct reading {
    uint64_t digits;
    int kept, exponent; /* value = digits x 10^exponent */
    bool any;
} reading;

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static void take(reading *r, char c, bool fraction)
{
    r->any = true;
    if (r->kept < DIGITS_KEPT) {
        r->digits = r->digits * 10u + (uint64_t)(c - '0');
        r->kept += r->digits > 0; /* zeros in front take no room */
        r->exponent -= fraction;
    } else {
        r->exponent += !fraction;
    }
}

/* The exponent behind the digits; false when there is something else. */
static bool take_exponent(const char *text, size_t len, size_t at, int *out)
{
    if (at == len) {
        return true;
    }
    if (text[at] != 'e' && text[at] != 'E') {
        return false;
    }
    at++;
    const bool minus = at < len && text[at] == '-';
    at += at < len && (text[at] == '-' || text[at] == '+');
    int n = 0;
    const size_t first = at;
    for (; at < len && is_digit(text[at]); at++) {
        n = n < 10000 ? n * 10 + (text[at] - '0') : n;
    }
    *out += minus ? -n : n;
    return at == len && at > first;
}

static double scaled(double value, int exponent)
{
    /* 1e22 is the largest power of ten that a double holds exactly */
    for (; exponent > 22; exponent -= 22) {
        value *= 1e22;
    }
    for (; exponent < -22; exponent += 22) {
        value /= 1e22;
    }
    double power = 1.0;
    for (int i = 0; i < (exponent < 0 ? -exponent : exponent); i++) {
        power *= 10.0;
    }
    return exponent < 0 ? value / power : value * power;
}

bool mdr_real_read(const char *text, size_t len, double *out)
{
    reading r = {.digits = 0};
    size_t at = 0;
    const bool minus = len > 0 && text[0] == '-';
    at += len > 0 && (text[0] == '-' || text[0] == '+');
    for (; at < len && is_digit(text[at]); at++) {
        take(&r, text[at], false);
    }
    if (at < len && text[at] == '.') {
        for (at++; at < len && is_digit(text[at]); at++) {
            take(&r, text[at], true);
        }
    }
    if (!r.any || !take_exponent(text, len, at, &r.exponent)) {
        return false;
    }
    if (r.exponent + r.kept > EXPONENT_MOST) {
        return false;
    }
    const bool nothing = r.exponent + r.kept < -EXPONENT_MOST;
    const double value = nothing ? 0.0 : scaled((double)r.digits, r.exponent);
    *out = minus ? -value : value;
    return true;
}
