#include "core/colour/mdr_shade_group.h"

#include <math.h>
#include <string.h>

static const double LIMIT_SLACK = 1e-9; /* invented */

/* One roll that has been given a group, and what was tried for it. */
typedef struct choice {
    int roll, next, used; /* next group to try; groups in use before it */
} choice;

typedef struct search {
    const mdr_shade_matrix *m;
    double most_de;
    int n, best, least, effort;
    bool *unlike;    /* n x n */
    int *degree;     /* rolls unlike this one */
    int *group;      /* of each roll now, -1: none yet */
    int *closed;     /* n x n: rolls unlike roll r that are in group g now */
    int *n_closed;   /* groups closed to roll r now */
    int *best_group; /* the best grouping so far */
    choice *choices;
} search;

static size_t at(const search *s, int i, int k)
{
    return (size_t)i * (size_t)s->n + (size_t)k;
}

static mdr_code make(search *s, mdr_arena *arena, mdr_err *err)
{
    const size_t n = (size_t)s->n;
    s->unlike = MDR_NEW_N(arena, bool, n *n);
    s->degree = MDR_NEW_N(arena, int, n);
    s->group = MDR_NEW_N(arena, int, n);
    s->closed = MDR_NEW_N(arena, int, n *n);
    s->n_closed = MDR_NEW_N(arena, int, n);
    s->best_group = MDR_NEW_N(arena, int, n);
    s->choices = MDR_NEW_N(arena, choice, n);
    if (s->unlike == NULL || s->degree == NULL || s->group == NULL || s->closed == NULL ||
        s->n_closed == NULL || s->best_group == NULL || s->choices == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for %d rolls", s->n);
    }
    for (int i = 0; i < s->n; i++) {
        s->group[i] = -1;
        for (int k = 0; k < s->n; k++) {
            s->unlike[at(s, i, k)] = mdr_shade_de(s->m, i, k) > s->most_de + LIMIT_SLACK;
            s->degree[i] += s->unlike[at(s, i, k)];
        }
    }
    return MDR_OK;
}

static bool unlike_all(const search *s, int roll, const int *set, int size)
{
    for (int i = 0; i < size; i++) {
        if (!s->unlike[at(s, roll, set[i])]) {
            return false;
        }
    }
    return true;
}

/* A set of rolls that are pairwise unlike, grown from `first` by the rolls unlike most others. */
static int grow_set(const search *s, int first, int *set)
{
    int size = 1;
    set[0] = first;
    for (;;) {
        int next = -1;
        for (int i = 0; i < s->n; i++) {
            if ((next < 0 || s->degree[i] > s->degree[next]) && unlike_all(s, i, set, size)) {
                next = i;
            }
        }
        if (next < 0) {
            return size;
        }
        set[size++] = next;
    }
}

static int least_groups(const search *s, int *set)
{
    int most = 0;
    for (int i = 0; i < s->n; i++) {
        const int size = s->degree[i] < most ? 0 : grow_set(s, i, set);
        most = size > most ? size : most;
    }
    return most;
}

static void put(search *s, int roll, int group)
{
    s->group[roll] = group;
    for (int i = 0; i < s->n; i++) {
        if (s->unlike[at(s, roll, i)] && s->closed[at(s, i, group)]++ == 0) {
            s->n_closed[i]++;
        }
    }
}

static void take_back(search *s, int roll)
{
    const int group = s->group[roll];
    s->group[roll] = -1;
    for (int i = 0; i < s->n; i++) {
        if (s->unlike[at(s, roll, i)] && --s->closed[at(s, i, group)] == 0) {
            s->n_closed[i]--;
        }
    }
}

/* [brelaz-dsatur] the roll with the most groups closed to it, then with the most rolls unlike it. */
static int hardest(const search *s)
{
    int best = -1;
    for (int i = 0; i < s->n; i++) {
        if (s->group[i] >= 0) {
            continue;
        }
        if (best < 0 || s->n_closed[i] > s->n_closed[best] ||
            (s->n_closed[i] == s->n_closed[best] && s->degree[i] > s->degree[best])) {
            best = i;
        }
    }
    return best;
}

/* The next group open to the choice's roll that can still lead to fewer groups; -1: none. */
static int next_group(const search *s, const choice *c)
{
    if (c->used >= s->best) {
        return -1;
    }
    for (int g = c->next; g <= c->used && g <= s->best - 2; g++) {
        if (s->closed[at(s, c->roll, g)] == 0) {
            return g;
        }
    }
    return -1;
}

/* Goes through the groupings, hardest roll first, back on each choice. The first way down is the
 * greedy answer. Returns whether it came to the end. */
static bool go_through(search *s)
{
    int depth = 0, steps = 0;
    s->choices[0] = (choice){.roll = hardest(s)};
    while (depth >= 0) {
        choice *c = &s->choices[depth];
        if (s->group[c->roll] >= 0) {
            take_back(s, c->roll);
        }
        const int g = next_group(s, c);
        if (g < 0) {
            depth--;
            continue;
        }
        put(s, c->roll, g);
        c->next = g + 1;
        const int used = g + 1 > c->used ? g + 1 : c->used;
        if (depth + 1 < s->n) {
            s->choices[++depth] = (choice){.roll = hardest(s), .used = used};
        } else {
            s->best = used;
            memcpy(s->best_group, s->group, (size_t)s->n * sizeof *s->group);
        }
        if (s->best == s->least || (++steps > s->effort && s->best <= s->n)) {
            return s->best == s->least;
        }
    }
    return true;
}

/* Numbers as the rolls come, and what is in each group. */
static mdr_code describe(const search *s, mdr_arena *arena, mdr_shade_groups *out, mdr_err *err)
{
    const size_t groups = (size_t)s->best;
    int *number = MDR_NEW_N(arena, int, groups);
    int *size = MDR_NEW_N(arena, int, groups);
    int *group = MDR_NEW_N(arena, int, (size_t)s->n);
    double *widest = MDR_NEW_N(arena, double, groups);
    if (number == NULL || size == NULL || group == NULL || widest == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for %d groups", s->best);
    }
    int seen = 0;
    for (int i = 0; i < s->n; i++) {
        int *mine = &number[s->best_group[i]];
        *mine = *mine == 0 ? ++seen : *mine;
        group[i] = *mine - 1;
        size[group[i]]++;
        for (int k = 0; k < i; k++) {
            if (group[k] == group[i]) {
                widest[group[i]] = fmax(widest[group[i]], mdr_shade_de(s->m, i, k));
            }
        }
    }
    for (int g = 0; g < s->best; g++) {
        out->worst_de = fmax(out->worst_de, widest[g]);
    }
    out->group = group;
    out->size = size;
    out->widest_de = widest;
    return MDR_OK;
}

mdr_code mdr_shade_group(const mdr_shade_matrix *m, double most_de, int effort, mdr_arena *arena,
                         const mdr_shade_groups **out, mdr_err *err)
{
    if (!(most_de > 0.0 && most_de <= 1000.0)) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "most_de", "no limit of a difference within a group");
        mdr_err_value(err, "%g", most_de);
        mdr_err_allowed(err, "above 0, up to 1000");
        return rc;
    }
    search s = {.m = m, .most_de = most_de, .n = m->n, .best = m->n + 1, .effort = effort};
    mdr_shade_groups *groups = MDR_NEW(arena, mdr_shade_groups);
    MDR_TRY(make(&s, arena, err));
    if (groups == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for %d rolls", s.n);
    }
    s.least = least_groups(&s, s.best_group);
    groups->proven = go_through(&s);
    groups->n = s.n;
    groups->n_groups = s.best;
    groups->least_groups = groups->proven ? s.best : s.least;
    MDR_TRY(describe(&s, arena, groups, err));
    *out = groups;
    return MDR_OK;
}
