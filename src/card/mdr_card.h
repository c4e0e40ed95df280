/*
 * mdr_card.h - documents of a planned lot as PDF, and its process curve as SVG.
 *
 * Layer: card; the only folder that sees cairo, pango and qrencode. No clock: the caller says when
 * it is printed. PDF bytes live in the arena.
 */
#ifndef MDR_CARD_H
#define MDR_CARD_H

#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "core/plan/mdr_plan.h"

typedef struct mdr_card_print {
    const char *printed_at; /* "2026-11-25 14:03" */
    const char *printed_by; /* "" when nobody signed in */
    const char *version;    /* of the program */
} mdr_card_print;

/* The batch card: A4 upright, as many pages as it takes. */
mdr_code mdr_card_batch(const mdr_plan *plan, const mdr_card_print *print, mdr_arena *arena,
                        unsigned char **pdf, size_t *len, mdr_err *err) MDR_MUST_CHECK;
/* The setting sheet of the finishing line alone: A4 upright.
 * errors: MDR_E_NOTFOUND the plan has no finishing */
mdr_code mdr_card_settings(const mdr_plan *plan, const mdr_card_print *print, mdr_arena *arena,
                           unsigned char **pdf, size_t *len, mdr_err *err) MDR_MUST_CHECK;
/* Weigh slips: A6, a page for each bath that takes anything, more when one does not hold it all;
 * bath 0: all, else that bath's number.
 * errors: MDR_E_NOTFOUND no such bath, or nothing to weigh in it */
mdr_code mdr_card_slips(const mdr_plan *plan, int bath, const mdr_card_print *print,
                        mdr_arena *arena, unsigned char **pdf, size_t *len,
                        mdr_err *err) MDR_MUST_CHECK;

#endif
