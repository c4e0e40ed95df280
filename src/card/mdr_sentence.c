#include "card/mdr_sentence.h"

#include <stdarg.h>
#include <stdio.h>

#include "card/mdr_digits.h"

mdr_sentence mdr_sentence_begin(char *out)
{
    out[0] = '\0';
    return (mdr_sentence){.out = out};
}

void mdr_sentence_add(mdr_sentence *s, const char *fmt, ...)
{
    va_list ap;
    va_start(ap, fmt);
    const int n = vsnprintf(s->out + s->used, MDR_WORDS_MAX - s->used, fmt, ap);
    va_end(ap);
    const size_t room = MDR_WORDS_MAX - s->used - 1;
    s->used += n < 0 ? 0 : ((size_t)n < room ? (size_t)n : room);
}

void mdr_sentence_part(mdr_sentence *s)
{
    if (s->used > 0) {
        mdr_sentence_add(s, "  \u00b7  ");
    }
}

void mdr_sentence_number(mdr_sentence *s, double value, int least, int most, const char *unit)
{
    char text[MDR_DIGITS_MAX];
    mdr_digits_trim(text, value, least, most);
    mdr_sentence_add(s, "%s%s%s", text, unit[0] == '\0' ? "" : "\u00a0", unit);
}

void mdr_sentence_trace(mdr_sentence *s, double value, const char *unit)
{
    static const double SHOWN = 0.05; /* rounds to the last digit */
    static const double NOTHING = 1e-6;
    static const double WHOLE = 10.0; /* from here on a decimal is more than is known */
    if (value > NOTHING && value < SHOWN) {
        mdr_sentence_add(s, "under 0.1\u00a0%s", unit);
    } else {
        mdr_sentence_number(s, value, 0, value < WHOLE ? 1 : 0, unit);
    }
}

void mdr_sentence_volume(mdr_sentence *s, const mdr_plan *plan, mdr_fig_id id)
{
    char text[MDR_DIGITS_MAX];
    mdr_digits_volume(text, mdr_fig_value(&plan->figs, id));
    mdr_sentence_add(s, "%s", text);
}
