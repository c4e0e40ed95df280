/* A reading judged: within, or which corrections there are. */
#include "core/run/mdr_hold.h"

#include <math.h>
#include <string.h>

#include "base/mdr_lang.h"
#include "core/run/mdr_hold_work.h"

#define ID(name, id, ...)       id,
#define WORDS(name, id, words_) words_,
#define BARE_ID(name, id)       id,
#define VERDICT_KEY(name, id)   "hold.verdict." id,
#define REMEDY_KEY(name, id)    "remedy." id,
#define N_OF(a)                 ((int)(sizeof(a) / sizeof(a)[0]))
static const char *const VERDICT_IDS[] = {MDR_HOLD_VERDICTS(BARE_ID)};
static const char *const VERDICT_KEYS[] = {MDR_HOLD_VERDICTS(VERDICT_KEY)};
static const char *const ROLE_IDS[] = {MDR_HOLD_ROLES(ID)};
static const char *const ROLE_WORDS[] = {MDR_HOLD_ROLES(WORDS)};
static const char *const REMEDY_IDS[] = {MDR_REMEDIES(BARE_ID)};
static const char *const REMEDY_KEYS[] = {MDR_REMEDIES(REMEDY_KEY)};

static const char *of(const char *const *list, int n, int k)
{
    return k >= 0 && k < n ? list[k] : NULL;
}

const char *mdr_hold_verdict_id(mdr_hold_verdict k)
{
    return of(VERDICT_IDS, N_OF(VERDICT_IDS), (int)k);
}

const char *mdr_hold_verdict_words(mdr_hold_verdict k)
{
    const char *key = of(VERDICT_KEYS, N_OF(VERDICT_KEYS), (int)k);
    return key != NULL ? mdr_lang_text(key) : NULL;
}

const char *mdr_hold_role_id(mdr_hold_role k)
{
    return of(ROLE_IDS, N_OF(ROLE_IDS), (int)k);
}

const char *mdr_hold_role_words(mdr_hold_role k)
{
    return of(ROLE_WORDS, N_OF(ROLE_WORDS), (int)k);
}

const char *mdr_remedy_id(mdr_remedy_kind k)
{
    return of(REMEDY_IDS, N_OF(REMEDY_IDS), (int)k);
}

const char *mdr_remedy_words(mdr_remedy_kind k)
{
    const char *key = of(REMEDY_KEYS, N_OF(REMEDY_KEYS), (int)k);
    return key != NULL ? mdr_lang_text(key) : NULL;
}

const char *mdr_remedy_words_of(const char *id)
{
    for (int k = 0; k < MDR_REMEDY_COUNT; k++) {
        if (strcmp(REMEDY_IDS[k], id) == 0) {
            return mdr_remedy_words((mdr_remedy_kind)k);
        }
    }
    return id;
}

static const mdr_hold_why RULES[MDR_HOLD_RULE_COUNT] = {
#define MDR_HOLD_RULE(name, id, title, words, source, anchor) \
    [name] = {id, title, words, source, anchor, ""},
#include "core/run/mdr_hold_rules.def"
#undef MDR_HOLD_RULE
};

const mdr_hold_why *mdr_hold_rule_of(mdr_hold_rule rule)
{
    return (int)rule >= 0 && rule < MDR_HOLD_RULE_COUNT ? &RULES[rule] : NULL;
}

/* -- what is asked -- */

typedef struct field {
    const char *place;
    double value, least, most;
} field;

static mdr_code in_range(const field *fields, int n, mdr_err *err)
{
    for (int i = 0; i < n; i++) {
        const field *f = &fields[i];
        if (!(f->value >= f->least && f->value <= f->most)) { /* catches what is no number, too */
            const mdr_code rc =
                MDR_FAIL(err, MDR_E_RANGE, f->place, "no remedy can be worked out with this");
            mdr_err_value(err, "%g", f->value);
            mdr_err_allowed(err, "%g to %g", f->least, f->most);
            mdr_err_remedy(err, "look at the record, or enter what was meant");
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code check_vessel(const mdr_hold_in *in, mdr_err *err)
{
    static const double SOME = 1e-6, MOST_KG = 1e5, MOST_L = 1e6, MOST_FLOW = 1e5;
    const mdr_control_state *s = in->state;
    const mdr_machine *m = in->machine;
    const field fields[] = {
        {"state.load_kg", s->load_kg, SOME, MOST_KG},
        {"state.liquor_l", s->liquor_l, SOME, MOST_L},
        {"state.temp_c", s->temp_c, 0.0, 150.0},
        {"state.retained_l_per_kg", s->retained_l_per_kg, 0.0, 20.0},
        {"state.loose_mg_per_kg", s->loose_mg_per_kg, 0.0, 1e6},
        {"state.fix_temp_c", s->fix_temp_c, 0.0, 150.0},
        {"state.minutes_left", s->minutes_left, 0.0, 1e4},
        {"machine.liquor_max_l", m->liquor_max_l, SOME, MOST_L},
        {"machine.temp_max_c", m->temp_max_c, 20.0, 150.0},
        {"machine.drain_temp_max_c", m->drain_temp_max_c, 20.0, 150.0},
        {"machine.heat_max_c_per_min", m->heat_max_c_per_min, 0.01, 50.0},
        {"machine.fill_l_per_min", m->fill_l_per_min, SOME, MOST_FLOW},
        {"machine.drain_l_per_min", m->drain_l_per_min, SOME, MOST_FLOW},
        {"site.steam_barg", in->site->steam_barg, 0.0, 12.0},
        {"site.cold_water_c", in->site->cold_water_c, 0.0, 100.0},
        {"site.alkalinity_mmol_per_l", in->site->alkalinity_mmol_per_l, 0.0, 50.0},
    };
    MDR_TRY(in_range(fields, N_OF(fields), err));
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        const field dissolved = {mdr_substance_id(mdr_dissolved_substance((mdr_dissolved)i)),
                                 s->dissolved_kg[i], 0.0, MOST_KG};
        const mdr_code rc = in_range(&dissolved, 1, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "state.dissolved_kg");
            return rc;
        }
    }
    return MDR_OK;
}

/* Behind a dryer there is no vessel. */
static mdr_code check_drying(const mdr_hold_in *in, mdr_err *err)
{
    static const double SOME = 1e-6, MOST_KG = 1e5, MOST_M = 1e6;
    const mdr_control_drying *d = &in->state->drying;
    const field fields[] = {
        {"state.temp_c", in->state->temp_c, 0.0, 200.0},
        {"state.drying.dry_kg", d->dry_kg, SOME, MOST_KG},
        {"state.drying.length_m", d->length_m, 0.0, MOST_M},
        {"state.drying.in_pct", d->in_pct, 0.0, 500.0},
        {"state.drying.out_pct", d->out_pct, 0.0, 500.0},
        {"state.drying.speed_m_per_min", d->speed_m_per_min, 0.0, 500.0},
        {"state.drying.speed_max_m_per_min", d->speed_max_m_per_min, 0.0, 500.0},
        {"state.drying.oven_m", d->oven_m, 0.0, 100.0},
        {"state.drying.air_c", d->air_c, 0.0, 200.0},
        {"state.drying.air_kg_per_kg", d->air_kg_per_kg, 0.0, 10.0},
        {"state.drying.mj_per_kg", d->mj_per_kg, 0.0, 100.0},
    };
    return in_range(fields, N_OF(fields), err);
}

static mdr_code check_materials(const mdr_hold_in *in, mdr_err *err)
{
    for (int i = 0; i < in->n_materials; i++) {
        const mdr_material *m = in->materials[i];
        const field strength = {"strength_pct", mdr_hold_strength_pct(m), 1e-3, 1000.0};
        const mdr_code rc = in_range(&strength, 1, err);
        if (rc != MDR_OK) {
            mdr_err_within(err, "materials[%d]", i);
            return rc;
        }
    }
    return MDR_OK;
}

static const char *absent(const mdr_hold_in *in)
{
    return in->check == NULL     ? "check"
           : in->state == NULL   ? "state"
           : in->machine == NULL ? "machine"
           : in->site == NULL    ? "site"
                                 : NULL;
}

static mdr_code check_reading(const mdr_hold_in *in, mdr_err *err)
{
    const field fields[] = {
        {"reading", in->reading, mdr_check_least(in->check->kind), mdr_check_most(in->check->kind)},
        {"ph", in->ph, 0.0, 14.0}};
    MDR_TRY(in_range(fields, N_OF(fields), err));
    if (in->reading_seq > 0 && in->reading_seq <= in->judged_seq) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "reading_seq", "this reading was judged already");
        mdr_err_value(err, "%lld", (long long)in->reading_seq);
        mdr_err_allowed(err, "more than %lld", (long long)in->judged_seq);
        mdr_err_remedy(err, "enter a new reading");
        return rc;
    }
    return MDR_OK;
}

static mdr_code check_in(const mdr_hold_in *in, mdr_err *err)
{
    const char *what = absent(in);
    if (what != NULL) {
        return MDR_FAIL(err, MDR_E_ARG, what,
                        "a hold point is judged with its check, bath, machine and site");
    }
    MDR_TRY(check_reading(in, err));
    if (in->check->kind == MDR_CHECK_MOISTURE) {
        return check_drying(in, err);
    }
    MDR_TRY(check_vessel(in, err));
    return check_materials(in, err);
}

/* -- verdict -- */

bool mdr_hold_above(const mdr_hold_work *w)
{
    return w->in->check->has_high && w->in->reading > w->in->check->high;
}

double mdr_hold_aim(const mdr_hold_work *w, double inside)
{
    const mdr_control_check *c = w->in->check;
    if (c->has_expected && mdr_check_inside(c, c->expected)) {
        return c->expected;
    }
    return c->has_low && c->has_high ? 0.5 * (c->low + c->high)
           : c->has_high             ? c->high - inside
                                     : c->low + inside;
}

void mdr_hold_stop(mdr_hold_work *w, const char *words)
{
    w->out->verdict = MDR_HOLD_STOP;
    w->out->words = words;
}

void mdr_hold_settle(mdr_hold_work *w, const char *words_when_stopped)
{
    if (w->out->n_remedies == 0) {
        mdr_hold_stop(w, words_when_stopped);
        return;
    }
    if (w->in->check->on_fail == MDR_FAIL_STOP) {
        mdr_hold_stop(w, mdr_hold_say(w, "hold.verdict.route-stops"));
        return;
    }
    w->out->verdict = MDR_HOLD_CORRECT;
    w->out->words = mdr_hold_verdict_words(MDR_HOLD_CORRECT);
}

static mdr_hold_room *room_of(mdr_check_kind kind)
{
    switch (kind) {
    case MDR_CHECK_PH:
        return mdr_hold_ph;
    case MDR_CHECK_CORE_PH:
        return mdr_hold_core_ph;
    case MDR_CHECK_PEROXIDE:
        return mdr_hold_peroxide;
    case MDR_CHECK_ABSORBENCY:
        return mdr_hold_absorbency;
    case MDR_CHECK_WHITENESS:
        return mdr_hold_whiteness;
    case MDR_CHECK_HARDNESS:
        return mdr_hold_hardness;
    case MDR_CHECK_WEIGHT_LOSS:
        return mdr_hold_weight_loss;
    case MDR_CHECK_LEVEL:
        return mdr_hold_level;
    case MDR_CHECK_SHADE:
        return mdr_hold_shade_of_sample;
    case MDR_CHECK_REDUCTION:
    case MDR_CHECK_REDOX:
        return mdr_hold_reduced;
    case MDR_CHECK_SALT:
        return mdr_hold_salt;
    case MDR_CHECK_WASH_OFF:
        return mdr_hold_washoff;
    case MDR_CHECK_MOISTURE:
        return mdr_hold_moisture;
    case MDR_CHECK_SAMPLE:
        return mdr_hold_sample;
    }
    MDR_UNREACHABLE();
}

/* Lists of the work to the arena. */
static bool keep(mdr_hold_work *w)
{
    mdr_hold *h = w->out;
    mdr_remedy *remedies = MDR_NEW_N(w->arena, mdr_remedy, (size_t)h->n_remedies + 1);
    const char **missing = MDR_NEW_N(w->arena, const char *, (size_t)h->n_missing + 1);
    if (remedies == NULL || missing == NULL || w->no_memory) {
        return false;
    }
    for (int i = 0; i < h->n_remedies; i++) {
        remedies[i] = w->remedies[i];
    }
    for (int i = 0; i < h->n_missing; i++) {
        missing[i] = w->missing[i];
    }
    h->remedies = remedies;
    h->missing = missing;
    return true;
}

mdr_code mdr_hold_judge(const mdr_hold_in *in, mdr_arena *arena, const mdr_hold **out, mdr_err *err)
{
    MDR_TRY(check_in(in, err));
    mdr_hold_work *w = MDR_NEW(arena, mdr_hold_work);
    mdr_hold *h = MDR_NEW(arena, mdr_hold);
    if (w == NULL || h == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "hold point", "no memory to judge it");
    }
    w->in = in;
    w->arena = arena;
    w->out = h;
    w->start = (mdr_hold_vessel){.temp_c = in->state->temp_c, .liquor_l = in->state->liquor_l};
    for (int i = 0; i < MDR_DISSOLVED_COUNT; i++) {
        w->start.dissolved_kg[i] = in->state->dissolved_kg[i];
    }
    if (mdr_check_inside(in->check, in->reading)) {
        h->verdict = MDR_HOLD_PASS;
        h->words = mdr_hold_verdict_words(MDR_HOLD_PASS);
    } else {
        room_of(in->check->kind)(w);
    }
    if (!keep(w)) {
        return MDR_FAIL(err, MDR_E_NOMEM, "hold point", "no memory to judge it");
    }
    *out = h;
    return MDR_OK;
}
