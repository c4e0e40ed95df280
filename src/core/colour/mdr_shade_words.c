#include "core/colour/mdr_shade_words.h"

#include <math.h>
#include <stdbool.h>

typedef struct part {
    double size; /* weighted */
    mdr_shade_word word;
} part;

const char *mdr_shade_word_id(mdr_shade_word word)
{
    static const char *const IDS[MDR_WORD_COUNT] = {"lighter", "darker",  "brighter", "duller",
                                                    "redder",  "greener", "yellower", "bluer"};
    if ((int)word < 0 || word >= MDR_WORD_COUNT) {
        MDR_UNREACHABLE();
    }
    return IDS[word];
}

/* The neighbour that a hue turns to: 0 red, 90 yellow, 180 green, 270 blue. */
static mdr_shade_word turned(double h_deg, bool rising)
{
    static const mdr_shade_word NEXT[4] = {MDR_WORD_YELLOWER, MDR_WORD_GREENER, MDR_WORD_BLUER,
                                           MDR_WORD_REDDER};
    const int quarter = (int)(h_deg / 90.0) % 4;
    if (rising) {
        return NEXT[quarter];
    }
    /* exactly on an axis, falling leads away from it into the quarter before */
    const bool on_axis = h_deg == 90.0 * quarter;
    return NEXT[(quarter + (on_axis ? 2 : 3)) % 4];
}

static void add(part *parts, int *n, double size, mdr_shade_word word)
{
    int k = *n;
    for (; k > 0 && parts[k - 1].size < size; k--) {
        parts[k] = parts[k - 1];
    }
    parts[k] = (part){size, word};
    (*n)++;
}

mdr_shade_words mdr_shade_words_of(mdr_lab standard, mdr_lab sample, const mdr_difference *d)
{
    part parts[MDR_WORDS_MOST];
    int n = 0;
    add(parts, &n, fabs(d->wl), d->dl > 0.0 ? MDR_WORD_LIGHTER : MDR_WORD_DARKER);
    const mdr_lch from = mdr_lch_of_lab(standard);
    const double mean_c = 0.5 * (from.c + hypot(sample.a, sample.b));
    if (mean_c < MDR_GREY_CHROMA) {
        /* what the formula makes of a unit in the plane, from the two parts together */
        const double plain = hypot(d->dc, d->dh);
        const double weight = plain > 0.0 ? hypot(d->wc, d->wh) / plain : 0.0;
        add(parts, &n, fabs(d->da) * weight, d->da > 0.0 ? MDR_WORD_REDDER : MDR_WORD_GREENER);
        add(parts, &n, fabs(d->db) * weight, d->db > 0.0 ? MDR_WORD_YELLOWER : MDR_WORD_BLUER);
    } else {
        add(parts, &n, fabs(d->wc), d->dc > 0.0 ? MDR_WORD_BRIGHTER : MDR_WORD_DULLER);
        add(parts, &n, fabs(d->wh), turned(from.h_deg, d->dh > 0.0));
    }
    mdr_shade_words out = {.n = 0};
    const double least = fmax(MDR_WORD_LEAST, MDR_WORD_SHARE * d->de);
    for (int i = 0; i < n; i++) {
        if (parts[i].size >= least) {
            out.word[out.n++] = parts[i].word;
        }
    }
    return out;
}
