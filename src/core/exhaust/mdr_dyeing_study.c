#include "core/exhaust/mdr_dyeing_study.h"

#include <math.h>
#include <stddef.h>

static const double TAU = 6.283185307179586; /* one wave */
static const double TEMP_MOST_C = 100.0;     /* of mdr_dye_rates.h */
/* By how much things go wrong: common practice. */
static const double SHIFT_C = 5.0, SALT_PART = 0.1, LATE_MIN = 15.0, FAST_PART = 0.5,
                    SLOW_PART = 0.8, FLOW_PART = 2.0 / 3.0;

#define PICK_ID(name, id, words) id,
static const char *const IDS[] = {MDR_MISHAPS(PICK_ID)};
#undef PICK_ID
#define PICK_WORDS(name, id, words) words,
static const char *const WORDS[] = {MDR_MISHAPS(PICK_WORDS)};
#undef PICK_WORDS

const char *mdr_mishap_id(mdr_mishap m)
{
    return (size_t)m < MDR_MISHAP_COUNT ? IDS[m] : NULL;
}

const char *mdr_mishap_words(mdr_mishap m)
{
    return (size_t)m < MDR_MISHAP_COUNT ? WORDS[m] : NULL;
}

/* -- one run -- */

double mdr_dyeing_sample_min(double minutes)
{
    static const double SAMPLES = 160.0, LEAST_MIN = 0.5, MOST_MIN = 1.0;
    return fmin(fmax(LEAST_MIN, minutes / SAMPLES), MOST_MIN);
}

static bool are_alike(const mdr_dyeing_rope *rope)
{
    for (int t = 1; t < rope->tubes; t++) {
        if (rope->tube_share[t] != rope->tube_share[0]) {
            return false;
        }
    }
    return rope->tubes > 1;
}

/* The wave begins where the rope does, so the ropes stay alike. */
static mdr_code prepare(const mdr_dyeing_case *c, mdr_arena *arena, mdr_dyeing_rope *rope,
                        mdr_err *err)
{
    if (!(c->uneven_pct >= 0.0 && c->uneven_pct <= 90.0)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "uneven_pct", "no such preparation");
        mdr_err_value(err, "%g", c->uneven_pct);
        mdr_err_allowed(err, "0 to 90 %%");
        return rc;
    }
    if (c->uneven_pct == 0.0) {
        return MDR_OK;
    }
    double *uptake = MDR_NEW_N(arena, double, (size_t)(rope->tubes * c->slices));
    if (uptake == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the slices");
    }
    for (int i = 0; i < rope->tubes * c->slices; i++) {
        const int s = i % c->slices;
        uptake[i] = 1.0 + 0.01 * c->uneven_pct * sin(TAU * (s + 0.5) / c->slices);
    }
    rope->slice_uptake = uptake;
    return MDR_OK;
}

static void all_dye(const mdr_dye_course *course, double *kg)
{
    for (int i = 0; i < MDR_DYE_DYES_MAX; i++) {
        kg[i] = 0.0;
    }
    for (int i = 0; i < course->n_doses; i++) {
        kg[course->doses[i].dye] += course->doses[i].kg;
    }
}

/* The last moment at which no dye is in yet: before it there is nothing to reckon. */
static int first_moment(const mdr_dye_course *course)
{
    double first_min = course->moments[course->n_moments - 1].t_min;
    int i = 0;
    for (int k = 0; k < course->n_doses; k++) {
        first_min = fmin(first_min, course->doses[k].start_min);
    }
    while (i + 2 < course->n_moments && course->moments[i + 1].t_min <= first_min) {
        i++;
    }
    return i;
}

mdr_code mdr_dyeing_case_run(const mdr_dyeing_case *c, mdr_ph_table *table, mdr_arena *arena,
                             mdr_dyeing_result *out, mdr_err *err)
{
    mdr_dyeing_result r = {.rope = c->rope};
    MDR_TRY(mdr_dye_programme_course(&c->programme, table, arena, &r.course, err));
    r.rope.cycle_min = c->rope_m / c->programme.speed_m_per_min;
    if (are_alike(&r.rope)) {
        r.one_for_all = true;
        r.rope.tubes = 1;
        r.rope.tube_share[0] = 1.0;
    }
    MDR_TRY(prepare(c, arena, &r.rope, err));
    const int first = first_moment(&r.course);
    const mdr_dyeing_in in = {.dyes = c->rates,
                              .n_dyes = c->programme.n_dyes,
                              .course = r.course.moments + first,
                              .n_moments = r.course.n_moments - first,
                              .doses = r.course.doses,
                              .n_doses = r.course.n_doses,
                              .rope = r.rope,
                              .slices = c->slices,
                              .modes = c->modes,
                              .steps_per_turn = c->steps_per_turn,
                              .sample_min = c->sample_min,
                              .strike_most_pct = c->strike_most_pct,
                              .trails = c->trails};
    MDR_TRY(mdr_dyeing_run(&in, arena, &r.dyeing, err));
    double kg[MDR_DYE_DYES_MAX];
    all_dye(&r.course, kg);
    mdr_dyeing_answers_of(r.dyeing, &r.rope, kg, c->reactive ? r.course.alkali_min : -1.0,
                          c->limit_pct_per_contact, &r.answers);
    *out = r;
    return MDR_OK;
}

/* -- what goes wrong -- */

static bool shift(mdr_dye_programme *p, double by_c)
{
    bool fits = p->start_c + by_c >= 0.0 && p->start_c + by_c <= TEMP_MOST_C;
    p->start_c += by_c;
    for (int i = 0; i < p->n_steps; i++) {
        if (p->steps[i].kind == MDR_DYE_RAMP) {
            p->steps[i].to_c += by_c;
            fits = fits && p->steps[i].to_c <= TEMP_MOST_C && p->steps[i].to_c >= 0.0;
        }
    }
    return fits;
}

static bool scale(mdr_dye_programme *p, mdr_dye_gives gives, double by)
{
    bool any = false, fits = true;
    for (int i = 0; i < p->n_steps; i++) {
        if (p->steps[i].gives == gives) {
            p->steps[i].amount *= by;
            any = true;
            fits = fits && p->steps[i].amount <= MDR_DYE_AMOUNT_MOST;
        }
    }
    return any && fits;
}

/* Index of the first alkali behind (or with) the first dye; below 0: none. */
static int first_alkali(const mdr_dye_programme *p)
{
    bool dyed = false;
    for (int i = 0; i < p->n_steps; i++) {
        dyed = dyed || p->steps[i].gives == MDR_GIVES_DYE;
        if (dyed && p->steps[i].gives == MDR_GIVES_ALKALI) {
            return i;
        }
    }
    return -1;
}

/* The run in front of the alkali is longer; without one, a run is put there. */
static bool late_alkali(mdr_dye_programme *p)
{
    const int at = first_alkali(p);
    if (at < 0) {
        return false;
    }
    if (at > 0 && p->steps[at - 1].kind == MDR_DYE_RUN) {
        p->steps[at - 1].minutes += LATE_MIN;
        return true;
    }
    if (p->n_steps == MDR_DYE_STEPS_MAX) {
        return false;
    }
    for (int i = p->n_steps; i > at; i--) {
        p->steps[i] = p->steps[i - 1];
    }
    p->steps[at] =
        (mdr_dye_step){.kind = MDR_DYE_RUN, .minutes = LATE_MIN, .amount = 1.0, .exponent = 1.0};
    p->n_steps++;
    return true;
}

/* The time that is saved is run behind it: the dyeing is as long as before. */
static bool fast_alkali(mdr_dye_programme *p)
{
    const int first = first_alkali(p);
    for (int i = first < 0 ? p->n_steps : first; i < p->n_steps; i++) {
        mdr_dye_step *s = &p->steps[i];
        if (s->gives == MDR_GIVES_ALKALI) {
            const double saved_min = (1.0 - FAST_PART) * s->minutes;
            s->minutes -= saved_min;
            if (i + 1 < p->n_steps && p->steps[i + 1].kind == MDR_DYE_RUN && !s->beside) {
                p->steps[i + 1].minutes += saved_min;
            }
        }
    }
    return first >= 0;
}

bool mdr_dyeing_mishap(mdr_dyeing_case *c, mdr_mishap m)
{
    mdr_dye_programme *p = &c->programme;
    switch (m) {
    case MDR_MISHAP_WARM:
        return shift(p, SHIFT_C);
    case MDR_MISHAP_COLD:
        return shift(p, -SHIFT_C);
    case MDR_MISHAP_SALT_MORE:
        return scale(p, MDR_GIVES_SALT, 1.0 + SALT_PART);
    case MDR_MISHAP_SALT_LESS:
        return scale(p, MDR_GIVES_SALT, 1.0 - SALT_PART);
    case MDR_MISHAP_ALKALI_LATE:
        return c->reactive && late_alkali(p);
    case MDR_MISHAP_ALKALI_FAST:
        return c->reactive && fast_alkali(p);
    case MDR_MISHAP_SLOW_REEL:
        p->speed_m_per_min *= SLOW_PART;
        p->speed_least_m_per_min = fmin(p->speed_least_m_per_min, p->speed_m_per_min);
        return true;
    case MDR_MISHAP_LOW_FLOW:
        c->rope.exchange_per_min *= FLOW_PART;
        c->rope.flow_l_per_min *= FLOW_PART;
        return c->rope.flow_l_per_min > 0.0;
    case MDR_MISHAP_COUNT:
        break;
    }
    return false;
}
