/* Any bytes as CSV: the reader ends, stays within the text, and keeps its promises; every cell
 * is tried as a number too. */
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/mdr_csv.h"
#include "base/mdr_decimal.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

static void try_number(const char *text, size_t len)
{
    static const int64_t SCALES[] = {1, 1000, 10000, 60000, 1000000};
    mdr_decimal d;
    mdr_err err = {0};
    if (mdr_decimal_read(text, len, &d, &err) != MDR_OK) {
        require(err.msg[0] != '\0' && err.remedy[0] != '\0');
        return;
    }
    for (size_t i = 0; i < sizeof SCALES / sizeof SCALES[0]; i++) {
        int64_t units, back;
        mdr_decimal again;
        char out[MDR_DECIMAL_TEXT_MAX];
        if (mdr_decimal_units(d, SCALES[i], &units, NULL) != MDR_OK) {
            continue;
        }
        const int n = mdr_decimal_write(out, sizeof out, units, SCALES[i]);
        require(n > 0 && (size_t)n < sizeof out);
        if (mdr_decimal_read(out, (size_t)n, &again, NULL) == MDR_OK) { /* 15 digits at most */
            require(mdr_decimal_units(again, SCALES[i], &back, NULL) == MDR_OK && back == units);
        }
    }
}

static void check_fault(const mdr_err *err)
{
    require(err->msg[0] != '\0' && strncmp(err->place, "f.csv", 5) == 0);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mdr_csv csv;
    mdr_err err = {0};
    mdr_arena *arena = mdr_arena_new(16384 + size * 20);
    if (arena == NULL) {
        return 0;
    }
    mdr_code rc = mdr_csv_open(&csv, "f.csv", (const char *)data, size, arena, &err);
    if (rc != MDR_OK) {
        check_fault(&err);
        require(csv.broken);
    }
    size_t cells = 0;
    for (bool got = true; got && !csv.broken;) {
        rc = mdr_csv_next(&csv, &got, &err);
        if (rc != MDR_OK) {
            check_fault(&err);
            got = true;
            continue;
        }
        for (int i = 0; got && i < csv.n_cells; i++) {
            try_number(csv.cells[i].text, csv.cells[i].len);
            require(csv.cells[i].len <= size);
            cells++;
        }
    }
    require(cells <= size + 1);
    mdr_arena_free(arena);
    return 0;
}
