/*
 * mdr_decimal.h - decimal numbers as people type them, whatever the locale of the machine.
 *
 * Layer: base. A number is digits with an optional sign and an optional point: "12", "-0.5",
 * "1.50". What a spreadsheet or a habit adds to it (comma, thousands separators, exponent, unit,
 * nan) is refused with a message of its own, because guessing would be wrong by a factor of 1000.
 * Exact: integers throughout, no binary fraction in between.
 */
#ifndef MDR_DECIMAL_H
#define MDR_DECIMAL_H

#include <stddef.h>
#include <stdint.h>

#include "base/mdr_err.h"

enum {
    MDR_DECIMAL_DIGITS_MAX =
        15,                   /* so that every number read is exact in an int64 and in a double */
    MDR_DECIMAL_TEXT_MAX = 32 /* room for every number written */
};

/* digits / 10^decimals, without zeros at the end of the fraction. */
typedef struct mdr_decimal {
    int64_t digits;
    int decimals; /* 0..MDR_DECIMAL_DIGITS_MAX */
} mdr_decimal;

/* errors: MDR_E_PARSE not a plain decimal; MDR_E_RANGE more than 15 digits. `place` stays empty. */
mdr_code mdr_decimal_read(const char *text, size_t len, mdr_decimal *out,
                          mdr_err *err) MDR_MUST_CHECK;
/* The nearest double (one correctly rounded division). */
double mdr_decimal_value(mdr_decimal d);

/*
 * The number as a count of units of which `per_unit` make one: 1.5 with 1000000 is 1500000.
 * Half a unit is rounded away from zero; that happens only where a unit has no finite decimal
 * (milliseconds in minutes).
 *   per_unit  1..1000000
 *   errors    MDR_E_RANGE: more decimals than needed to tell units apart (they would be lost), or
 *             too large for an int64; `place` and `value` stay empty
 */
mdr_code mdr_decimal_units(mdr_decimal d, int64_t per_unit, int64_t *out,
                           mdr_err *err) MDR_MUST_CHECK;
/* Decimals that are needed to tell units apart: 6 for 1000000, 5 for 60000, 0 for 1. */
int mdr_decimal_places(int64_t per_unit);
/* The shortest decimal that mdr_decimal_units reads back as `units`. Always terminated; returns
 * its length. out_size >= MDR_DECIMAL_TEXT_MAX. */
int mdr_decimal_write(char *out, size_t out_size, int64_t units, int64_t per_unit);

#endif
