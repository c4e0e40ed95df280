#include "wire/mdr_near.h"

enum { LONGEST = 64 };

static size_t length(const char *text)
{
    size_t n = 0;
    while (n < LONGEST && text[n] != '\0') {
        n++;
    }
    return n;
}

static int least(int a, int b)
{
    return a < b ? a : b;
}

/* Optimal string alignment distance: Levenshtein's, where two neighbours exchanged count once. */
int mdr_near_distance(const char *a, const char *b)
{
    const size_t n = length(a), m = length(b);
    int rows[3][LONGEST + 1]; /* of the letters of a before the last, the last, this one */
    for (size_t k = 0; k <= m; k++) {
        rows[0][k] = rows[1][k] = (int)k;
    }
    for (size_t i = 1; i <= n; i++) {
        int *now = rows[(i + 1) % 3];
        const int *last = rows[i % 3], *before = rows[(i + 2) % 3];
        now[0] = (int)i;
        for (size_t k = 1; k <= m; k++) {
            const int change = last[k - 1] + (a[i - 1] == b[k - 1] ? 0 : 1);
            now[k] = least(least(last[k] + 1, now[k - 1] + 1), change);
            if (i > 1 && k > 1 && a[i - 1] == b[k - 2] && a[i - 2] == b[k - 1]) {
                now[k] = least(now[k], before[k - 2] + 1);
            }
        }
    }
    return rows[(n + 1) % 3][m];
}

bool mdr_near_enough(const char *typed, int distance)
{
    const int third = (int)(length(typed) / 3);
    return distance <= (third > 2 ? third : 2);
}
