/*
 * mdr_scan.h - what a scanner types: our own labels, and the GS1 labels of goods that come in.
 *
 * Our labels: a letter for what it is, a dash, the id, a dash, a check character:
 * "L-L26-0107-X". The check character is that of ISO/IEC 7064, MOD 37,36, over the letters and
 * digits of all that stands before it; capitals and small letters count as the same there, other
 * characters not at all. Every label says what it is, so that any label may be scanned on any screen.
 *
 * Layer: core/run (pure). Methods: docs/methods/weighing.md#labels-and-scanners
 *
 * Sources (keys of docs/sources.md)
 *   [iso-7064]    hybrid system MOD 37,36: finds every single wrong character and every swap of
 *                 neighbours but one kind (see docs)
 *   [gs1-general] application identifiers 01, 10, 11, 17, 21, 310n; FNC1 as ASCII 29; the two digits
 *                 of the year; lengths that end without FNC1
 */
#ifndef MDR_SCAN_H
#define MDR_SCAN_H

#include <stdbool.h>
#include <stdint.h>

#include "base/mdr_arena.h"
#include "base/mdr_err.h"

/* X(enumerator, prefix, id, words) */
#define MDR_SCANS(X)                                         \
    X(MDR_SCAN_LOT, 'L', "lot", "Lot")                       \
    X(MDR_SCAN_MACHINE, 'M', "machine", "Machine")           \
    X(MDR_SCAN_STOCK, 'C', "stock-lot", "Container")         \
    X(MDR_SCAN_PRODUCT, 'P', "material", "Storage place")    \
    X(MDR_SCAN_VESSEL, 'V', "vessel", "Vessel")              \
    X(MDR_SCAN_PERSON, 'U', "person", "Person")              \
    X(MDR_SCAN_WEIGHING, 'W', "weighing", "Weighed portion") \
    X(MDR_SCAN_GOODS, '\0', "goods", "Goods that came in")
#define MDR_SCAN_MEMBER(name, ...) name,
typedef enum mdr_scan_kind { MDR_SCANS(MDR_SCAN_MEMBER) MDR_SCAN_COUNT } mdr_scan_kind;
const char *mdr_scan_kind_id(mdr_scan_kind k);    /* NULL outside the list */
const char *mdr_scan_kind_words(mdr_scan_kind k); /* NULL outside the list */

enum {
    MDR_SCAN_TEXT_MAX = 256, /* bytes; GS1 allows 48 in a bar code, more in a square one */
    MDR_SCAN_GS1_TEXT_MAX = 20,
    MDR_SCAN_ITEM_MAX = 99
};

/* Texts live in the arena; "" when not there. */
typedef struct mdr_scan {
    mdr_scan_kind kind;
    const char *id; /* not GOODS: of the record; WEIGHING: of the batch */
    const char *step;
    int item;                           /* WEIGHING: key of the step and number in it, from 1 */
    const char *gtin;                   /* GOODS: 14 digits */
    const char *supplier_lot, *serial;  /* GOODS */
    int64_t made_utc_ms, expiry_utc_ms; /* GOODS: midnight of the day; 0: not said */
    int64_t mass_mg;                    /* GOODS: net; 0: not said */
    bool has_made, has_expiry;
} mdr_scan;

/* The check character of the letters and digits in text[0..len); '0' for none at all. */
char mdr_scan_check_char(const char *text, size_t len);

/*
 * The text of a label. `id`: 1..40 of A-Z a-z 0-9 - _ . with at least one letter or digit.
 *   errors  MDR_E_ARG (place "id") not such an id; (place "kind") GOODS or WEIGHING; MDR_E_NOMEM
 */
mdr_code mdr_scan_write(mdr_scan_kind kind, const char *id, mdr_arena *arena, const char **out,
                        mdr_err *err) MDR_MUST_CHECK;
/* Of one weighed portion: "W-L26-7.1/3.4/2-Z"; a batch may have 48 characters. errors: MDR_E_ARG "id", "step", "item" */
mdr_code mdr_scan_write_weighing(const char *batch_id, const char *step, int item, mdr_arena *arena,
                                 const char **out, mdr_err *err) MDR_MUST_CHECK;

/*
 * Reads what came from the scanner, any bytes; blanks, tabs and line ends around it are dropped.
 *   year    of today, for the two digits that GS1 gives (2000..2099)
 *   errors  MDR_E_PARSE no label of ours and none of GS1 (place: "scan:" and the place of the
 *           character, from 1), or the check character says that it was misread;
 *           MDR_E_RANGE a date or a mass that cannot be, an id too long; MDR_E_CONFLICT the same
 *           thing twice and different; MDR_E_NOMEM
 */
mdr_code mdr_scan_read(const char *text, size_t len, int year, mdr_arena *arena, mdr_scan *out,
                       mdr_err *err) MDR_MUST_CHECK;

#endif
