/*
 * card_look.h - a document as others see it: its words with their places, by poppler's pdftotext.
 * Include after t.h; needs _POSIX_C_SOURCE 200809L.
 */
#ifndef CARD_LOOK_H
#define CARD_LOOK_H

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { LOOK_WORDS = 20000, LOOK_LETTERS = 160 };

typedef struct look_word {
    int page;
    double x0, y0, x1, y1;
    char text[LOOK_LETTERS];
} look_word;

typedef struct look {
    int pages, count;
    double width, height; /* of a page, points */
    look_word *words;
} look;

static char look_folder[] = "/tmp/madder-look-XXXXXX";

static inline int look_begin(void **state)
{
    (void)state;
    return mkdtemp(look_folder) == NULL ? -1 : 0;
}

/* For a group teardown. */
static inline int look_end(void **state)
{
    char command[96];
    (void)state;
    (void)snprintf(command, sizeof command, "rm -rf %s", look_folder);
    return system(command);
}

static inline void look_put(const void *bytes, size_t len)
{
    char path[64];
    (void)snprintf(path, sizeof path, "%s/x.pdf", look_folder);
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(bytes, 1, len, f), len);
    assert_int_equal(fclose(f), 0);
}

static inline FILE *look_run(const char *command)
{
    char line[256];
    (void)snprintf(line, sizeof line, "cd %s && %s", look_folder, command);
    FILE *p = popen(line, "r");
    assert_non_null(p);
    return p;
}

/* Every word of the document with its box; to be freed with look_free. */
static inline look look_at(const void *bytes, size_t len)
{
    look l = {.words = calloc(LOOK_WORDS, sizeof(look_word))};
    char line[1024];
    assert_non_null(l.words);
    look_put(bytes, len);
    FILE *p = look_run("pdftotext -bbox x.pdf -");
    while (fgets(line, sizeof line, p) != NULL) {
        look_word w = {.page = l.pages};
        const char *word = strstr(line, "<word ");
        const char *page = strstr(line, "<page ");
        if (page != NULL) {
            l.pages++;
            assert_int_equal(
                sscanf(page, "<page width=\"%lf\" height=\"%lf\">", &l.width, &l.height), 2);
        } else if (word != NULL) {
            assert_int_equal(
                sscanf(word, "<word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\">%159[^<]",
                       &w.x0, &w.y0, &w.x1, &w.y1, w.text),
                5);
            assert_true(l.count < LOOK_WORDS);
            l.words[l.count++] = w;
        }
    }
    assert_int_equal(pclose(p), 0);
    return l;
}

static inline void look_free(look *l)
{
    free(l->words);
    l->words = NULL;
}

/* How often a word that begins like this stands on a page (0: on any). */
static inline int look_count(const look *l, const char *begin, int page)
{
    int n = 0;
    for (int i = 0; i < l->count; i++) {
        n += (page == 0 || l->words[i].page == page) &&
             strncmp(l->words[i].text, begin, strlen(begin)) == 0;
    }
    return n;
}

/* Words that lie on each other or off the page: the first is printed. A box of pdftotext is as high as the font's tallest letter and deepest tail: of its
 * height a quarter at the top and at the foot is no ink that the next line could touch. */
static inline int look_faults(const look *l, const char *what)
{
    int faults = 0;
    for (int i = 0; i < l->count; i++) {
        const look_word *a = &l->words[i];
        if (a->x0 < -0.5 || a->y0 < -0.5 || a->x1 > l->width + 0.5 || a->y1 > l->height + 0.5) {
            faults++ == 0 ? print_message("%s: page %d: %s\n", what, a->page, a->text) : (void)0;
        }
        for (int k = i + 1; k < l->count && l->words[k].page == a->page; k++) {
            const look_word *b = &l->words[k];
            const double ha = (a->y1 - a->y0) * 0.25, hb = (b->y1 - b->y0) * 0.25;
            const double w = fmin(a->x1, b->x1) - fmax(a->x0, b->x0);
            const double h = fmin(a->y1 - ha, b->y1 - hb) - fmax(a->y0 + ha, b->y0 + hb);
            if (w > 0.6 && h > 0.3) {
                faults++ == 0 ? print_message("%s: page %d: \"%s\" on \"%s\" by %.1f x %.1f pt\n",
                                              what, a->page, a->text, b->text, w, h)
                              : (void)0;
            }
        }
    }
    return faults;
}

#endif
