/*
 * mdr_term.h - what a terminal can show, and text that fits it. Layer: cli.
 *
 * Colour only on a terminal and without NO_COLOR; characters beyond ASCII only when the locale
 * names UTF-8. Every line of the program fits 96 columns.
 */
#ifndef MDR_TERM_H
#define MDR_TERM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { MDR_TERM_WIDTH = 96 };

typedef struct mdr_term {
    bool colour, utf8;
} mdr_term;

typedef enum mdr_tint {
    MDR_TINT_NONE,
    MDR_TINT_STRONG,
    MDR_TINT_FAINT,
    MDR_TINT_WARN,
    MDR_TINT_STOP
} mdr_tint;

/* Looks at the standard output and the environment. */
mdr_term mdr_term_look(void);
/* Prints text in this tint. */
void mdr_term_put(const mdr_term *t, mdr_tint tint, const char *text);

/* Columns that the text takes: one a character, none for combining marks. */
int mdr_text_columns(const char *text);
/* Prints the text cut or padded to this width; negative width: right-aligned. */
void mdr_text_pad(const char *text, int width);
/* Prints at most this many columns of it, and no blanks behind: the end of a line. */
void mdr_text_cut(const char *text, int width);
/* Prints the text in lines of at most `width` columns, broken at spaces; every line but the
 * first begins with `indent` spaces. Ends with a line end. */
void mdr_text_wrap(const char *text, int indent, int width);

/* "2026-12-09": the UTC day of a time stamp. */
const char *mdr_text_day(int64_t utc_ms, char out[16]);
/* "7:05" from minutes. */
const char *mdr_text_clock(double minutes, char out[32]);
/* "62 400": a whole number with spaces between the thousands. */
const char *mdr_text_whole(double value, char out[32]);
/* A mass to weigh: as many decimals as a balance of that range shows. */
const char *mdr_text_kg(double kg, char out[32]);
/* At most `decimals` decimals, without trailing zeros: "6", "6.5". */
const char *mdr_text_number(double value, int decimals, char out[32]);

#endif
