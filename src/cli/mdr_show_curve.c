/*
 * Bath temperature over time, drawn with characters: eight dots a character where the locale has
 * them (the Braille block), else a star.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/mdr_show.h"

enum {
    COLS = 84,  /* characters across */
    ROWS = 9,   /* characters down */
    DOTS_X = 2, /* dots in a character */
    DOTS_Y = 4
};

typedef struct canvas {
    unsigned char cell[ROWS][COLS]; /* set of dots, in the order of the Braille block */
} canvas;

static void dot(canvas *cv, int x, int y)
{
    /* Unicode 15.0, block 2800: dots 1-3 and 7 left from the top, 4-6 and 8 right */
    static const unsigned char BIT[DOTS_Y][DOTS_X] = {
        {0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}};
    if (x >= 0 && x < COLS * DOTS_X && y >= 0 && y < ROWS * DOTS_Y) {
        const unsigned char bit = BIT[y % DOTS_Y][x % DOTS_X];
        cv->cell[y / DOTS_Y][x / DOTS_X] = (unsigned char)(cv->cell[y / DOTS_Y][x / DOTS_X] | bit);
    }
}

typedef struct scale {
    double minutes, low_c, high_c;
} scale;

static int x_of(const scale *s, double minutes)
{
    return (int)lround(minutes / s->minutes * (COLS * DOTS_X - 1));
}

static int y_of(const scale *s, double temp_c)
{
    return (int)lround((s->high_c - temp_c) / (s->high_c - s->low_c) * (ROWS * DOTS_Y - 1));
}

static void segment(canvas *cv, const scale *s, const mdr_plan_point *a, const mdr_plan_point *b)
{
    const int x0 = x_of(s, a->t_min);
    const int y0 = y_of(s, a->temp_c);
    const int dx = x_of(s, b->t_min) - x0;
    const int dy = y_of(s, b->temp_c) - y0;
    const int adx = dx < 0 ? -dx : dx;
    const int ady = dy < 0 ? -dy : dy;
    const int n = adx > ady ? adx : ady;
    for (int i = 0; i <= n; i++) {
        const double f = n == 0 ? 0 : (double)i / n;
        dot(cv, x0 + (int)lround(f * dx), y0 + (int)lround(f * dy));
    }
}

static scale scale_of(const mdr_plan *plan)
{
    scale s = {.low_c = 20, .high_c = 100};
    for (int i = 0; i < plan->n_points; i++) {
        const mdr_plan_point *p = &plan->curve[i];
        s.minutes = fmax(s.minutes, p->t_min);
        s.low_c = fmin(s.low_c, floor(p->temp_c / 10) * 10);
        s.high_c = fmax(s.high_c, ceil(p->temp_c / 10) * 10);
    }
    return s;
}

static void put_cell(unsigned char bits, bool utf8)
{
    if (bits == 0) {
        (void)putchar(' ');
    } else if (utf8) {
        const unsigned code = 0x2800u + bits;
        const char c[4] = {(char)(0xE0u | code >> 12), (char)(0x80u | (code >> 6 & 0x3Fu)),
                           (char)(0x80u | (code & 0x3Fu)), '\0'};
        (void)fputs(c, stdout);
    } else {
        (void)putchar('*');
    }
}

static void put_hours(const scale *s)
{
    char line[COLS + 16];
    memset(line, ' ', sizeof line);
    int step = 1;
    while (s->minutes / 60 / step > 12) {
        step++;
    }
    for (int h = 0; h * 60 <= (int)s->minutes; h += step) {
        char label[16];
        const int n = snprintf(label, sizeof label, "%d h", h);
        const int x = x_of(s, h * 60.0) / DOTS_X;
        if (n > 0 && x + n < (int)sizeof line) {
            memcpy(line + x, label, (size_t)n);
        }
    }
    size_t end = sizeof line;
    while (end > 0 && line[end - 1] == ' ') {
        end--;
    }
    (void)printf("       %.*s\n", (int)end, line);
}

void mdr_show_curve(const mdr_plan *plan, const mdr_term *t)
{
    const scale s = scale_of(plan);
    canvas cv = {0};
    if (plan->n_points < 2 || s.minutes <= 0) {
        return;
    }
    for (int i = 1; i < plan->n_points; i++) {
        segment(&cv, &s, &plan->curve[i - 1], &plan->curve[i]);
    }
    mdr_term_put(t, MDR_TINT_FAINT, "   °C\n");
    for (int r = 0; r < ROWS; r++) {
        if (r % 2 == 0) {
            (void)printf("%5.0f", s.high_c - (s.high_c - s.low_c) * r / (ROWS - 1));
        } else {
            (void)printf("     ");
        }
        (void)fputs(t->utf8 ? " \xE2\x94\x82" : " |", stdout);
        int last = COLS;
        while (last > 0 && cv.cell[r][last - 1] == 0) {
            last--;
        }
        for (int x = 0; x < last; x++) {
            put_cell(cv.cell[r][x], t->utf8);
        }
        (void)putchar('\n');
    }
    put_hours(&s);
}
