/*
 * mdr_lot_report.h - the lot report as PDF: what was done beside what was planned, who did it, and
 * whether it was right first time.
 *
 * Layer: card. A4 upright, as many pages as it takes. Nothing is reckoned here: core/run/mdr_run_report.h.
 * The newest hash of the record stands at the end: kept elsewhere, it shows later that nothing was cut
 * off or written anew.
 */
#ifndef MDR_LOT_REPORT_H
#define MDR_LOT_REPORT_H

#include "card/mdr_card.h"
#include "core/run/mdr_run_report.h"

/* Local time as people read it, "26 Nov 14:05"; the card knows no clock and no zone. */
typedef void mdr_time_words(int64_t utc_ms, char *out, size_t out_size);

typedef struct mdr_lot_report_print {
    const mdr_run_report *report;
    const char *place;    /* name of the mill */
    const char *currency; /* "EUR" */
    const char *head_hex; /* newest hash of the record */
    mdr_time_words *time_words;
    bool invented;
} mdr_lot_report_print;

/* errors: MDR_E_RANGE a row higher than a page; MDR_E_NOMEM; MDR_E_IO */
mdr_code mdr_card_lot_report(const mdr_lot_report_print *what, const mdr_card_print *print,
                             mdr_arena *arena, unsigned char **pdf, size_t *len,
                             mdr_err *err) MDR_MUST_CHECK;

#endif
