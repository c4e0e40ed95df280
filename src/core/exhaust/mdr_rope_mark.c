#include "core/exhaust/mdr_rope_mark.h"

#include <math.h>
#include <string.h>

#include "core/exhaust/mdr_rope_mark_parts.h"

/* Invented: more trails or marks spare little more, and have to be copied. */
enum { TRAILS = 3, MARKS = 32, MOMENTS = 512 };
/* Samples that some slice has not come to yet, at a mark. Those of a turn and a few; else no mark is left. */
enum { PARTLY_SEEN = 12 };
/* How far ahead of its time the course is looked at: half a block for rates, half a station's time for
 * samples; and room. */
static const double AHEAD_BLOCKS = 2.0;

typedef struct mark {
    mdr_bath_dye bath[MDR_DYEING_DYES_MAX];
    double t_min, contacts, mass_error;
    unsigned char *bytes; /* of rope, slices, and samples that are partly seen */
    int samples, whole;   /* taken; seen of all slices */
    int steps;
    bool closed;
} mark;

typedef struct trail {
    mdr_dyeing_in in; /* course and doses are copies */
    mdr_dyeing_moment *course;
    mdr_dyeing_dose *doses;
    mdr_watch rows; /* samples only, until the last mark */
    mark marks[MARKS];
    double block_min;
    unsigned long used; /* when it was of use; 0: nothing in it */
    int n_marks;
} trail;

struct mdr_rope_trails {
    mdr_rope_room room;
    trail trail[TRAILS];
    trail *own; /* of the run that is on; NULL: leaves none */
    mdr_rope_tables tables;
    double spared_min;
    unsigned long clock;
    int every; /* samples from mark to mark */
};

/* -- what is carried -- */

typedef struct porter {
    unsigned char *at;
    bool back; /* from the mark into the run */
} porter;

static void carry(porter *p, void *what, size_t bytes)
{
    if (p->back) {
        memcpy(what, p->at, bytes);
    } else {
        memcpy(p->at, what, bytes);
    }
    p->at += bytes;
}

static void carry_samples(porter *p, const mdr_run *r, int from, int to)
{
    const mdr_watch *w = r->watch;
    const size_t dyes = (size_t)r->in->n_dyes, all = dyes * (size_t)r->n_slices;
    const size_t n = (size_t)(to - from), first = (size_t)from;
    carry(p, w->seen + first * dyes, n * dyes * sizeof *w->seen);
    carry(p, w->map + first * all, n * all * sizeof *w->map);
    carry(p, w->fixed_map + first * all, n * all * sizeof *w->fixed_map);
}

static void carry_rope(porter *p, const mdr_run *r)
{
    const mdr_watch *w = r->watch;
    const size_t slices = (size_t)r->n_slices, all = slices * (size_t)r->in->n_dyes;
    const size_t stations = (size_t)r->n_stations;
    carry(p, r->store, all * (size_t)r->stride * sizeof *r->store);
    carry(p, r->content, all * sizeof *r->content);
    carry(p, r->way, slices * sizeof *r->way);
    carry(p, r->in_kg, (size_t)r->in->n_doses * sizeof *r->in_kg);
    for (int k = 0; k < r->in->rope.tubes; k++) {
        carry(p, r->tube[k].next_min, stations * sizeof *r->tube[k].next_min);
        carry(p, r->tube[k].slice, stations * sizeof *r->tube[k].slice);
    }
    carry(p, w->next, slices * sizeof *w->next);
    carry(p, w->stay, slices * sizeof *w->stay);
    carry(p, w->came, all * sizeof *w->came);
    carry(p, w->went, all * sizeof *w->went);
}

static size_t bytes_of(const mdr_rope_room *m)
{
    const size_t slices = (size_t)m->slices, all = slices * (size_t)m->dyes;
    const size_t stride = (size_t)MDR_STORE_A + 2 * (size_t)m->modes;
    return all * (stride + 1) * sizeof(double) + slices * sizeof(mdr_way) +
           (size_t)m->doses * sizeof(double) +
           (size_t)m->tubes * (size_t)m->stations * (sizeof(double) + sizeof(int)) +
           slices * (sizeof(int) + sizeof(mdr_stay)) + 2 * all * sizeof(mdr_sight) +
           PARTLY_SEEN * ((size_t)m->dyes * sizeof(mdr_seen) + 2 * all * sizeof(float));
}

static void copy_rows(const mdr_watch *from, mdr_watch *to, size_t rows, size_t dyes, size_t slices)
{
    const size_t all = rows * dyes;
    memcpy(to->t_min, from->t_min, rows * sizeof *to->t_min);
    memcpy(to->contacts, from->contacts, rows * sizeof *to->contacts);
    memcpy(to->given, from->given, all * sizeof *to->given);
    memcpy(to->bath_active, from->bath_active, all * sizeof *to->bath_active);
    memcpy(to->bath_hydrolysed, from->bath_hydrolysed, all * sizeof *to->bath_hydrolysed);
    memcpy(to->seen, from->seen, all * sizeof *to->seen);
    memcpy(to->map, from->map, all * slices * sizeof *to->map);
    memcpy(to->fixed_map, from->fixed_map, all * slices * sizeof *to->fixed_map);
}

/* -- room -- */

static bool make_trail(const mdr_rope_room *m, mdr_arena *arena, trail *t)
{
    const size_t rows = (size_t)m->samples, all = rows * (size_t)m->dyes, marks = bytes_of(m);
    t->course = MDR_NEW_N(arena, mdr_dyeing_moment, MOMENTS);
    t->doses = MDR_NEW_N(arena, mdr_dyeing_dose, (size_t)m->doses);
    t->rows = (mdr_watch){.t_min = MDR_NEW_N(arena, double, rows),
                          .contacts = MDR_NEW_N(arena, double, rows),
                          .given = MDR_NEW_N(arena, double, all),
                          .bath_active = MDR_NEW_N(arena, double, all),
                          .bath_hydrolysed = MDR_NEW_N(arena, double, all),
                          .seen = MDR_NEW_N(arena, mdr_seen, all),
                          .map = MDR_NEW_N(arena, float, all *(size_t)m->slices),
                          .fixed_map = MDR_NEW_N(arena, float, all *(size_t)m->slices)};
    unsigned char *bytes = MDR_NEW_N(arena, unsigned char, MARKS *marks);
    if (t->course == NULL || t->doses == NULL || t->rows.t_min == NULL ||
        t->rows.contacts == NULL || t->rows.given == NULL || t->rows.bath_active == NULL ||
        t->rows.bath_hydrolysed == NULL || t->rows.seen == NULL || t->rows.map == NULL ||
        t->rows.fixed_map == NULL || bytes == NULL) {
        return false;
    }
    for (size_t i = 0; i < MARKS; i++) {
        t->marks[i].bytes = bytes + i * marks;
    }
    return true;
}

mdr_code mdr_rope_trails_make(const mdr_rope_room *room, mdr_arena *arena, mdr_rope_trails **out,
                              mdr_err *err)
{
    if (room->slices < 1 || room->tubes < 1 || room->dyes < 1 || room->doses < 1 ||
        room->modes < 1 || room->stations < 1 || room->samples < 1) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, "room", "there must be room for one of everything");
        mdr_err_allowed(err, "%s", "1 or more");
        return rc;
    }
    mdr_rope_trails *t = MDR_NEW(arena, mdr_rope_trails);
    bool made = t != NULL;
    if (made) {
        const size_t dyes = (size_t)room->dyes;
        t->tables.drift = MDR_NEW_N(arena, mdr_drift, MDR_DRIFT_SETS * dyes);
        t->tables.heat = MDR_NEW_N(arena, mdr_drift_heat, MDR_HEAT_SETS * dyes);
        made = t->tables.drift != NULL && t->tables.heat != NULL;
    }
    for (int i = 0; i < TRAILS && made; i++) {
        made = make_trail(room, arena, &t->trail[i]);
    }
    if (!made) {
        return MDR_FAIL(err, MDR_E_NOMEM, "room", "no memory for the marks of a dyeing");
    }
    t->room = *room;
    *out = t;
    return MDR_OK;
}

double mdr_rope_spared_min(const mdr_rope_trails *t)
{
    return t->spared_min;
}

mdr_rope_tables mdr_rope_tables_of(const mdr_rope_trails *t, int dyes)
{
    return t != NULL && dyes <= t->room.dyes ? t->tables : (mdr_rope_tables){NULL, NULL};
}

/* Uneven slices have their own numbers, which lie nowhere that lasts. */
static bool has_room(const mdr_rope_trails *t, const mdr_run *r)
{
    const mdr_rope_room *m = &t->room;
    const mdr_dyeing_in *in = r->in;
    return in->rope.slice_uptake == NULL && r->n_slices <= m->slices &&
           in->rope.tubes <= m->tubes && in->n_dyes <= m->dyes && in->n_doses <= m->doses &&
           r->fibre.modes <= m->modes && r->n_stations <= m->stations && in->n_moments <= MOMENTS;
}

/* -- what two dyeings share -- */

static bool same_state(const mdr_dyeing_moment *a, const mdr_dyeing_moment *b)
{
    return a->temp_c == b->temp_c && a->liquor_l == b->liquor_l &&
           a->sodium_mol_per_l == b->sodium_mol_per_l && a->ph == b->ph &&
           a->oxidises == b->oxidises;
}

/* Up to when two courses are one; below all times: never. */
static double same_course_min(const mdr_dyeing_in *a, const mdr_dyeing_in *b)
{
    const int n = a->n_moments < b->n_moments ? a->n_moments : b->n_moments;
    int i = 0;
    while (i < n && a->course[i].t_min == b->course[i].t_min &&
           same_state(&a->course[i], &b->course[i])) {
        i++;
    }
    if (i == 0) {
        return -HUGE_VAL;
    }
    const mdr_dyeing_moment *last = &a->course[i - 1];
    if (i == a->n_moments && i == b->n_moments) {
        return HUGE_VAL;
    }
    if (i < n && same_state(last, &a->course[i]) && same_state(last, &b->course[i])) {
        return fmin(a->course[i].t_min, b->course[i].t_min); /* a wait that is longer in one */
    }
    return last->t_min;
}

static bool same_dose(const mdr_dyeing_dose *a, const mdr_dyeing_dose *b)
{
    return a->start_min == b->start_min && a->minutes == b->minutes && a->exponent == b->exponent &&
           a->portions == b->portions;
}

static double same_doses_min(const mdr_dyeing_in *a, const mdr_dyeing_in *b)
{
    double until_min = HUGE_VAL;
    for (int i = 0; i < a->n_doses; i++) {
        const mdr_dyeing_dose *x = &a->doses[i], *y = &b->doses[i];
        if (x->kg != y->kg || x->dye != y->dye) {
            return -HUGE_VAL; /* parts are of all the dye */
        }
        if (!same_dose(x, y)) {
            until_min = fmin(until_min, fmin(x->start_min, y->start_min));
        }
    }
    return until_min;
}

static bool same_rope(const mdr_dyeing_rope *a, const mdr_dyeing_rope *b)
{
    bool same = a->load_kg == b->load_kg && a->held_l_per_kg == b->held_l_per_kg &&
                a->cycle_min == b->cycle_min && a->zone_fraction == b->zone_fraction &&
                a->exchange_per_min == b->exchange_per_min &&
                a->flow_l_per_min == b->flow_l_per_min && a->slice_uptake == b->slice_uptake &&
                a->tubes == b->tubes;
    for (int k = 0; k < a->tubes && same; k++) {
        same = a->tube_share[k] == b->tube_share[k];
    }
    return same;
}

static double shared_until_min(const mdr_dyeing_in *a, const mdr_dyeing_in *b)
{
    if (a->dyes != b->dyes || a->n_dyes != b->n_dyes || a->n_doses != b->n_doses ||
        a->slices != b->slices || a->modes != b->modes || a->steps_per_turn != b->steps_per_turn ||
        a->sample_min != b->sample_min || !same_rope(&a->rope, &b->rope)) {
        return -HUGE_VAL;
    }
    return fmin(same_course_min(a, b), same_doses_min(a, b));
}

/* The last mark of a trail that a dyeing shares; below 0: none. */
static int shared_mark(const trail *t, const mdr_dyeing_in *in)
{
    if (t->used == 0) {
        return -1;
    }
    const double until_min = shared_until_min(&t->in, in) - AHEAD_BLOCKS * t->block_min;
    int k = t->n_marks - 1;
    while (k >= 0 && t->marks[k].t_min > until_min) {
        k--;
    }
    return k;
}

/* -- taking up and leaving -- */

static void set_back(mdr_run *r, const trail *t, const mark *m)
{
    porter p = {m->bytes, true};
    mdr_watch *w = r->watch;
    copy_rows(&t->rows, w, (size_t)m->samples, (size_t)r->in->n_dyes, (size_t)r->n_slices);
    carry_rope(&p, r);
    carry_samples(&p, r, m->whole, m->samples);
    w->n = m->samples;
    memcpy(r->bath, m->bath, sizeof r->bath);
    r->t_min = m->t_min;
    r->contacts = m->contacts;
    r->mass_error = m->mass_error;
    r->steps = m->steps;
    r->closed = m->closed;
    r->piece = mdr_course_piece(r->in, r->t_min, 0);
}

static void copy_mark(const mark *from, mark *to, size_t bytes)
{
    unsigned char *room = to->bytes;
    *to = *from;
    to->bytes = room;
    memcpy(room, from->bytes, bytes);
}

/* The trail that was of no use for longest, but for the one in use. */
static trail *oldest(mdr_rope_trails *t, const trail *in_use)
{
    trail *old = NULL;
    for (int i = 0; i < TRAILS; i++) {
        trail *k = &t->trail[i];
        if (k != in_use && (old == NULL || k->used < old->used)) {
            old = k;
        }
    }
    return old;
}

void mdr_rope_take_up(mdr_rope_trails *t, mdr_run *r)
{
    if (t == NULL) {
        return;
    }
    t->own = NULL;
    if (!has_room(t, r)) {
        return;
    }
    const mdr_dyeing_in *in = r->in;
    trail *from = NULL;
    int at = -1;
    for (int i = 0; i < TRAILS; i++) {
        const int k = shared_mark(&t->trail[i], in);
        if (k >= 0 && (from == NULL || t->trail[i].marks[k].t_min > from->marks[at].t_min)) {
            from = &t->trail[i];
            at = k;
        }
    }
    t->own = oldest(t, from);
    t->own->used = 0;
    t->own->n_marks = at + 1;
    const double all_min = in->course[in->n_moments - 1].t_min - in->course[0].t_min;
    t->every = 1 + (int)(all_min / in->sample_min) / (MARKS - 1);
    if (from == NULL) {
        return;
    }
    t->clock++;
    from->used = t->clock;
    t->spared_min += from->marks[at].t_min - r->t_min;
    for (int k = 0; k <= at; k++) {
        copy_mark(&from->marks[k], &t->own->marks[k], bytes_of(&t->room));
    }
    set_back(r, from, &from->marks[at]);
}

static int whole_samples(const mdr_run *r)
{
    int whole = r->watch->n;
    for (int s = 0; s < r->n_slices; s++) {
        whole = r->watch->next[s] < whole ? r->watch->next[s] : whole;
    }
    return whole;
}

void mdr_rope_mark(mdr_rope_trails *t, const mdr_run *r)
{
    const int n = r->watch->n;
    if (t == NULL || t->own == NULL || n % t->every != 0 || n > t->room.samples ||
        t->own->n_marks == MARKS) {
        return;
    }
    const int whole = whole_samples(r);
    if (n - whole > PARTLY_SEEN) {
        return;
    }
    mark *m = &t->own->marks[t->own->n_marks];
    porter p = {m->bytes, false};
    carry_rope(&p, r);
    carry_samples(&p, r, whole, n);
    memcpy(m->bath, r->bath, sizeof m->bath);
    m->t_min = r->t_min;
    m->contacts = r->contacts;
    m->mass_error = r->mass_error;
    m->samples = n;
    m->whole = whole;
    m->steps = r->steps;
    m->closed = r->closed;
    t->own->n_marks++;
}

void mdr_rope_leave(mdr_rope_trails *t, const mdr_run *r)
{
    if (t == NULL || t->own == NULL || t->own->n_marks == 0) {
        return;
    }
    trail *own = t->own;
    const mdr_dyeing_in *in = r->in;
    copy_rows(r->watch, &own->rows, (size_t)own->marks[own->n_marks - 1].samples,
              (size_t)in->n_dyes, (size_t)r->n_slices);
    memcpy(own->course, in->course, (size_t)in->n_moments * sizeof *own->course);
    memcpy(own->doses, in->doses, (size_t)in->n_doses * sizeof *own->doses);
    own->in = *in;
    own->in.course = own->course;
    own->in.doses = own->doses;
    own->block_min = r->block_min;
    t->clock++;
    own->used = t->clock;
    t->own = NULL;
}
