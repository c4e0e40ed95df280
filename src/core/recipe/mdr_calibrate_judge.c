#include "core/recipe/mdr_calibrate_room.h"

#include <math.h>
#include <string.h>

static const double DOSE_SUSPECT = 0.08; /* invented: careful laboratories repeat to 3 % */
static const double SHADE_SUSPECT = 0.5; /* CMC; invented */
static const double NOISE_SUSPECT = 0.4; /* %; invented */
static const double NOISE_TIMES = 3.0;   /* invented */
static const double MUST_FALL_TO = 0.5;  /* invented */
static const double DISAGREE_PART = 0.3; /* of what makes one suspect; invented */
enum { TELL_MIN = 4, THIRD = 3 };

const char *mdr_rung_fault_id(mdr_rung_fault f)
{
#define X(name, id) id,
    static const char *const IDS[] = {MDR_RUNG_FAULTS(X)};
#undef X
    return f >= 0 && f < MDR_RUNG_FAULT_COUNT ? IDS[f] : NULL;
}

const char *mdr_rung_action_id(mdr_rung_action a)
{
#define X(name, id) id,
    static const char *const IDS[] = {MDR_RUNG_ACTIONS(X)};
#undef X
    return a >= 0 && a < MDR_RUNG_ACTION_COUNT ? IDS[a] : NULL;
}

/* The fifth difference of independent values has 1 + 25 + 100 + 100 + 25 + 1 times their variance;
 * that of an absorption edge is below a fifth of a per cent. */
double mdr_curve_noise_pct(const mdr_curve *c)
{
    enum { ORDER = 5 };
    double sum = 0.0;
    for (int b = 0; b + ORDER < MDR_BANDS; b++) {
        const double *v = &c->v[b];
        const double d = v[5] - v[0] - 5.0 * (v[4] - v[1]) + 10.0 * (v[3] - v[2]);
        sum += d * d;
    }
    return 100.0 * sqrt(sum / (252.0 * (MDR_BANDS - ORDER)));
}

/* How well the kept rungs agree, the deepest not asked: it has only the straight line. */
typedef struct agreement {
    double dose, shade; /* root mean squares of log dose error and of cmc_best */
} agreement;

static mdr_code agree(const mdr_ladder_in *in, const bool *keep, const mdr_weights *light,
                      mdr_workroom *work, agreement *out, mdr_err *err)
{
    agreement sum = {0};
    int n = 0;
    for (int i = 0; i < in->n; i++) {
        mdr_left_out left;
        if (!keep[i]) {
            continue;
        }
        MDR_TRY(mdr_workroom_leave_out(in, keep, i, light, work, &left, err));
        if (!left.beyond) {
            mdr_workroom_find_dose(in, i, work, &left);
            const double dose = log(left.depth_best_pct_owf / in->rungs[i].depth_pct_owf);
            sum.dose += dose * dose;
            sum.shade += left.cmc_best * left.cmc_best;
            n++;
        }
    }
    *out = n > 0 ? (agreement){sqrt(sum.dose / n), sqrt(sum.shade / n)} : sum;
    return MDR_OK;
}

typedef struct suspect {
    int by_dose, by_shade; /* without which the others agree best */
    agreement all, without_dose, without_shade;
} suspect;

static mdr_code find_suspect(const mdr_ladder_in *in, bool *keep, const mdr_weights *light,
                             mdr_workroom *work, suspect *out, mdr_err *err)
{
    suspect s = {.by_dose = -1, .by_shade = -1};
    MDR_TRY(agree(in, keep, light, work, &s.all, err));
    for (int i = 0; i < in->n; i++) {
        agreement a;
        if (!keep[i]) {
            continue;
        }
        keep[i] = false;
        const mdr_code rc = agree(in, keep, light, work, &a, err);
        keep[i] = true;
        if (rc != MDR_OK) {
            return rc;
        }
        if (s.by_dose < 0 || a.dose < s.without_dose.dose) {
            s.by_dose = i;
            s.without_dose = a;
        }
        if (s.by_shade < 0 || a.shade < s.without_shade.shade) {
            s.by_shade = i;
            s.without_shade = a;
        }
    }
    *out = s;
    return MDR_OK;
}

static mdr_code measure_all(const mdr_ladder_in *in, const bool *keep, const mdr_weights *light,
                            mdr_workroom *work, mdr_rung_verdict *v, mdr_err *err)
{
    for (int i = 0; i < in->n; i++) {
        MDR_TRY(mdr_workroom_leave_out(in, keep, i, light, work, &v[i].left, err));
        mdr_workroom_find_dose(in, i, work, &v[i].left);
    }
    return MDR_OK;
}

static void call_out_noise(const mdr_ladder_in *in, mdr_rung_verdict *v)
{
    double sorted[MDR_RUNGS_MAX];
    for (int i = 0; i < in->n; i++) {
        int at = i;
        v[i].noise_pct = mdr_curve_noise_pct(&in->rungs[i].curve);
        for (; at > 0 && sorted[at - 1] > v[i].noise_pct; at--) {
            sorted[at] = sorted[at - 1];
        }
        sorted[at] = v[i].noise_pct;
    }
    const double middle = sorted[(in->n - 1) / 2];
    for (int i = 0; i < in->n; i++) {
        if (v[i].noise_pct > NOISE_SUSPECT && v[i].noise_pct > NOISE_TIMES * middle) {
            v[i].fault = MDR_RUNG_NOISY;
            v[i].action = MDR_RUNG_MEASURE_AGAIN;
        }
    }
}

/* The others agree much better without it, and did not agree well with it. */
static bool cured(double before, double after, double suspect_at)
{
    return after < MUST_FALL_TO * before && before > DISAGREE_PART * suspect_at;
}

/* The next rung to call out, or -1; *fault says for what. */
static int next_out(const suspect *s, const mdr_rung_verdict *v, mdr_rung_fault *fault)
{
    const int dose = s->by_dose, shade = s->by_shade;
    if (shade >= 0 && cured(s->all.shade, s->without_shade.shade, SHADE_SUSPECT) &&
        v[shade].left.cmc_best > SHADE_SUSPECT) {
        *fault = MDR_RUNG_ODD;
        return shade;
    }
    if (dose >= 0 && cured(s->all.dose, s->without_dose.dose, DOSE_SUSPECT) &&
        fabs(v[dose].left.dose_error_pct) > 100.0 * DOSE_SUSPECT) {
        *fault = MDR_RUNG_WRONG_DOSE;
        return dose;
    }
    return -1;
}

static bool disagree(const suspect *s)
{
    return s->all.dose > DOSE_SUSPECT || s->all.shade > SHADE_SUSPECT;
}

static void nobody_knows(const mdr_ladder_in *in, const bool *keep, mdr_rung_verdict *v)
{
    for (int i = 0; i < in->n; i++) {
        if (keep[i]) {
            v[i].fault = MDR_RUNG_UNSURE;
            v[i].action = MDR_RUNG_DYE_MORE;
        }
    }
}

/* Where verdicts are worked out. */
typedef struct workplace {
    mdr_workroom *work;
    mdr_rung_verdict *v;
} workplace;

/* Calls out one more rung when `may_drop`; else, or when none can be named, *out is -1. */
static mdr_code call_out_one(const mdr_ladder_in *in, const mdr_weights *light, bool *keep,
                             bool may_drop, workplace *at, int *out, mdr_err *err)
{
    suspect s = {.by_dose = -1, .by_shade = -1};
    mdr_rung_fault fault = MDR_RUNG_GOOD;
    if (may_drop) {
        MDR_TRY(find_suspect(in, keep, light, at->work, &s, err));
    } else {
        MDR_TRY(agree(in, keep, light, at->work, &s.all, err));
    }
    *out = next_out(&s, at->v, &fault);
    if (*out >= 0) {
        at->v[*out].fault = fault;
        at->v[*out].action = MDR_RUNG_DYE_AGAIN;
        keep[*out] = false;
        /* what the others say once the wrong one no longer speaks */
        return measure_all(in, keep, light, at->work, at->v, err);
    }
    if (disagree(&s)) {
        nobody_knows(in, keep, at->v);
    }
    return MDR_OK;
}

static mdr_code call_out(const mdr_ladder_in *in, const mdr_weights *light, bool *keep,
                         workplace *at, mdr_err *err)
{
    int kept = 0;
    for (int i = 0; i < in->n; i++) {
        kept += keep[i];
    }
    const int least = kept - kept / THIRD;
    for (int out = 0; out >= 0 && kept >= 2; kept--) {
        MDR_TRY(call_out_one(in, light, keep, kept > least && kept >= TELL_MIN, at, &out, err));
    }
    return MDR_OK;
}

mdr_code mdr_ladder_judge(const mdr_ladder_in *in, const mdr_weights *light, mdr_arena *arena,
                          mdr_rung_verdict *out, mdr_err *err)
{
    mdr_rung_verdict v[MDR_RUNGS_MAX] = {0};
    bool keep[MDR_RUNGS_MAX];
    mdr_workroom *work;
    MDR_TRY(mdr_workroom_make(arena, &work, err));
    MDR_TRY(mdr_ladder_make(in, &work->predictor.ladder, err));
    if (in->n == 1) {
        v[0].noise_pct = mdr_curve_noise_pct(&in->rungs[0].curve);
        v[0].action = MDR_RUNG_DYE_MORE;
        out[0] = v[0];
        return MDR_OK;
    }
    for (int i = 0; i < in->n; i++) {
        keep[i] = true;
    }
    MDR_TRY(measure_all(in, keep, light, work, v, err));
    call_out_noise(in, v);
    for (int i = 0; i < in->n; i++) {
        keep[i] = v[i].fault == MDR_RUNG_GOOD;
    }
    MDR_TRY(call_out(in, light, keep, &(workplace){work, v}, err));
    memcpy(out, v, (size_t)in->n * sizeof *out);
    return MDR_OK;
}
