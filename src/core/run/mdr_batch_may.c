/* What may happen to a batch, by its state and by that of the step. */
#include <math.h>
#include <string.h>

#include "core/run/mdr_batch_in.h"
#include "core/run/mdr_weigh.h"

#define IN(state) (1u << (unsigned)(state))
enum {
    LIVE = IN(MDR_BATCH_IDLE) | IN(MDR_BATCH_RUNNING) | IN(MDR_BATCH_PAUSED) | IN(MDR_BATCH_HELD) |
           IN(MDR_BATCH_COMPLETE),
    ALWAYS = LIVE | IN(MDR_BATCH_RELEASED) | IN(MDR_BATCH_STOPPED) | IN(MDR_BATCH_REJECTED),
    AT_WORK =
        IN(MDR_BATCH_IDLE) | IN(MDR_BATCH_RUNNING) | IN(MDR_BATCH_PAUSED) | IN(MDR_BATCH_HELD),
    RUNNING = IN(MDR_BATCH_RUNNING),
    GOES_ON = IN(MDR_BATCH_RUNNING) | IN(MDR_BATCH_HELD)
};

static mdr_code conflict(mdr_err *err, const char *place, const char *msg, const char *remedy)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, place, "%s", msg);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

static mdr_code missing(mdr_err *err, const char *place, const char *msg)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, place, "%s", msg);
    mdr_err_remedy(err, "say it and send the entry again");
    return rc;
}

static mdr_code wrong_state(const mdr_batch *b, const mdr_event *e, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_CONFLICT, "kind", "not now: the batch is \"%s\"",
                                 mdr_batch_state_words(b->state));
    mdr_err_value(err, "%s", mdr_event_id(e->kind));
    mdr_err_remedy(err, "load the batch again and look what it waits for");
    return rc;
}

/* Whether the step may begin: those before it are over, or run beside it. */
static mdr_code may_begin(const mdr_batch *b, int at, const mdr_event *e, mdr_err *err)
{
    (void)e;
    const mdr_batch_step *s = &b->steps[at];
    const bool alone = s->asked->kind == MDR_STEP_DRAIN || s->asked->kind == MDR_STEP_UNLOAD ||
                       (at > 0 && b->steps[at - 1].asked->bath != s->asked->bath);
    if (s->state != MDR_STEP_WAITS) {
        return conflict(err, "step", "this step has begun already",
                        "load the batch again: somebody entered it before");
    }
    for (int i = 0; i < at; i++) {
        const mdr_batch_step *before = &b->steps[i];
        const bool beside = before->state == MDR_STEP_RUNS && before->asked->beside && !alone;
        if (!mdr_step_over(before) && !beside) {
            const mdr_code rc = conflict(err, "step", "a step before this one is not over",
                                         "end the step that runs, or leave it out with a reason");
            mdr_err_allowed(err, "%s", before->asked->key);
            return rc;
        }
    }
    if (!mdr_batch_weighed(s)) {
        return conflict(err, "step", "not everything of this dose is weighed",
                        "weigh what is missing first");
    }
    return MDR_OK;
}

static mdr_code may_end(const mdr_batch *b, int at, const mdr_event *e, mdr_err *err)
{
    (void)e;
    const mdr_batch_step *s = &b->steps[at];
    if (s->state != MDR_STEP_RUNS) {
        return conflict(err, "step",
                        mdr_step_over(s) ? "this step is over already" : "this step has not begun",
                        "load the batch again and look which step runs");
    }
    if (s->asked->kind == MDR_STEP_CHECK) {
        return conflict(err, "step", "a hold point ends with its reading", "enter the reading");
    }
    return MDR_OK;
}

static mdr_code may_skip(const mdr_batch *b, int at, const mdr_event *e, mdr_err *err)
{
    (void)e;
    const mdr_batch_step *s = &b->steps[at];
    if (mdr_step_over(s)) {
        return conflict(err, "step", "this step is over already", "load the batch again");
    }
    if (s->asked->kind == MDR_STEP_CHECK) {
        return conflict(err, "step", "a hold point is not left out",
                        "enter a reading; who may can then accept it");
    }
    return MDR_OK;
}

static mdr_code find_item(const mdr_batch_step *s, const mdr_event *e, mdr_err *err)
{
    if (e->item >= 1 && e->item <= s->asked->n_items) {
        return MDR_OK;
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "item", "this step has no such material");
    mdr_err_value(err, "%d", e->item);
    mdr_err_allowed(err, "1 to %d", s->asked->n_items);
    mdr_err_remedy(err, "weigh one that the step asks for");
    return rc;
}

static mdr_code may_weigh(const mdr_batch *b, int at, const mdr_event *e, mdr_err *err)
{
    const mdr_batch_step *s = &b->steps[at];
    MDR_TRY(find_item(s, e, err));
    const mdr_control_item *item = &s->asked->items[e->item - 1];
    if (s->dosed || s->state != MDR_STEP_WAITS) {
        return conflict(err, "step", "the dose has begun or is over already",
                        "write a remark, or correct the entry that is wrong");
    }
    if (strcmp(item->material_id, e->material_id) != 0) {
        const mdr_code rc = conflict(err, "material_id", "another material is asked for here",
                                     "put it back and take the one that is asked for");
        mdr_err_value(err, "%s", e->material_id);
        mdr_err_allowed(err, "%s", item->material_id);
        return rc;
    }
    if (e->mass_mg <= 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "mass_mg", "a weighed mass must be above 0");
        mdr_err_value(err, "%lld", (long long)e->mass_mg);
        mdr_err_allowed(err, "1 or more");
        mdr_err_remedy(err, "read the scale again");
        return rc;
    }
    return MDR_OK;
}

static mdr_code may_check_weighing(const mdr_batch *b, int at, const mdr_event *e, mdr_err *err)
{
    const mdr_batch_step *s = &b->steps[at];
    MDR_TRY(find_item(s, e, err));
    const mdr_batch_item *item = &s->items[e->item - 1];
    if (item->weighed_seq == 0 || item->weighed_seq != e->of_seq) {
        return conflict(err, "of_seq", "this weighing is not the one that counts",
                        "load the batch again and look at the newest weighing");
    }
    if (item->checked_seq != 0) {
        return conflict(err, "of_seq", "this weighing was checked already", "load the batch again");
    }
    return mdr_weigh_may_check(item->weighed_by, mdr_event_person(e), err);
}

static mdr_code may_read(const mdr_batch *b, int at, const mdr_event *e, mdr_err *err)
{
    const mdr_batch_step *s = &b->steps[at];
    const mdr_check_kind kind = s->asked->check.kind;
    if (s->asked->kind != MDR_STEP_CHECK) {
        return conflict(err, "step", "this step takes no reading", "choose a hold point");
    }
    if (e->measured != NULL && kind != MDR_CHECK_SHADE) {
        return conflict(err, "sample", "only the shade is read on a measured sample",
                        "enter the reading as a number");
    }
    if (mdr_step_over(s)) {
        return conflict(err, "step", "this hold point was read and passed already",
                        "load the batch again: somebody entered it before");
    }
    if (s->state == MDR_STEP_WAITS) {
        MDR_TRY(may_begin(b, at, e, err));
    }
    if (!(e->value >= mdr_check_least(kind) && e->value <= mdr_check_most(kind))) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "value", "a reading of this kind cannot have this value");
        mdr_err_value(err, "%.9g %s", e->value, mdr_check_unit(kind));
        mdr_err_allowed(err, "%g to %g", mdr_check_least(kind), mdr_check_most(kind));
        mdr_err_remedy(err, "read the instrument again");
        return rc;
    }
    return MDR_OK;
}

static mdr_code newest_reading(const mdr_batch_step *s, const mdr_event *e, mdr_err *err)
{
    if (s->reading_seq == 0 || s->reading_seq != e->of_seq || mdr_step_over(s)) {
        return conflict(err, "of_seq", "this reading is not the one to decide on",
                        "load the batch again and look at the newest reading");
    }
    return MDR_OK;
}

static mdr_code outside(const mdr_batch_step *s, mdr_err *err)
{
    const mdr_code rc = conflict(err, "decision", "the reading is outside its limits",
                                 "correct it, read it again, accept it as it is, or stop");
    mdr_err_value(err, "%.9g", s->reading);
    return rc;
}

/* A sample without limits: whatever was seen, it once passed by itself, and the record keeps that. */
static bool passed_once(const mdr_control_check *c)
{
    return c->kind == MDR_CHECK_SAMPLE && !c->has_low && !c->has_high;
}

static mdr_code may_decide(const mdr_batch *b, int at, const mdr_event *e, mdr_err *err)
{
    const mdr_batch_step *s = &b->steps[at];
    MDR_TRY(newest_reading(s, e, err));
    if (s->decided && s->decision != MDR_DECISION_CORRECT) {
        return conflict(err, "of_seq", "it was decided already", "load the batch again");
    }
    if (e->decision == MDR_DECISION_PASS && !s->in_limits && !passed_once(&s->asked->check)) {
        return outside(s, err);
    }
    if (e->decision == MDR_DECISION_ACCEPT && e->text[0] == '\0') {
        return missing(err, "text", "why it is accepted is not said");
    }
    if (e->decision == MDR_DECISION_STOP && e->text[0] == '\0') {
        return missing(err, "text", "why it is stopped is not said");
    }
    return MDR_OK;
}

static mdr_code may_remedy(const mdr_batch *b, int at, const mdr_event *e, mdr_err *err)
{
    const mdr_batch_step *s = &b->steps[at];
    MDR_TRY(newest_reading(s, e, err));
    if (s->decided && s->decision != MDR_DECISION_CORRECT) {
        return conflict(err, "of_seq", "it was decided otherwise", "load the batch again");
    }
    if (e->n_steps < 1 || e->n_steps > MDR_ROUTE_STEPS_MAX) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "steps", "a remedy without steps");
        mdr_err_value(err, "%d", e->n_steps);
        mdr_err_allowed(err, "1 to %d", (int)MDR_ROUTE_STEPS_MAX);
        mdr_err_remedy(err, "choose one of the remedies, or decide otherwise");
        return rc;
    }
    for (int i = 0; i < e->n_steps; i++) {
        if (mdr_batch_find(b, e->steps[i].key) >= 0) {
            const mdr_code rc = conflict(err, "steps", "a step of this number is there already",
                                         "load the batch again");
            mdr_err_value(err, "%s", e->steps[i].key);
            return rc;
        }
    }
    return MDR_OK;
}

static mdr_code may_dose(const mdr_batch *b, int at, const mdr_event *e, mdr_err *err)
{
    (void)e;
    const mdr_batch_step *s = &b->steps[at];
    if (s->asked->kind != MDR_STEP_DOSE || s->state != MDR_STEP_RUNS) {
        return conflict(err, "step", "no dose runs in this step", "begin the dose first");
    }
    return MDR_OK;
}

/* What must be said, in which states of the batch, and what of the step must fit. */
typedef struct rule {
    unsigned states; /* of the batch, a bit each */
    bool text;
    mdr_code (*step)(const mdr_batch *b, int at, const mdr_event *e, mdr_err *err);
} rule;

static const rule RULES[MDR_EVENT_COUNT] = {
    [MDR_EVENT_MADE] = {IN(MDR_BATCH_IDLE), false, NULL},
    [MDR_EVENT_BEGUN] = {IN(MDR_BATCH_IDLE), false, NULL},
    [MDR_EVENT_STEP_BEGUN] = {RUNNING, false, may_begin},
    [MDR_EVENT_STEP_ENDED] = {GOES_ON, false, may_end},
    [MDR_EVENT_STEP_SKIPPED] = {RUNNING, true, may_skip},
    [MDR_EVENT_WEIGHED] = {AT_WORK, false, may_weigh},
    [MDR_EVENT_WEIGHING_CHECKED] = {AT_WORK, false, may_check_weighing},
    [MDR_EVENT_DOSED] = {GOES_ON, false, may_dose},
    [MDR_EVENT_READING] = {RUNNING, false, may_read},
    [MDR_EVENT_DECISION] = {IN(MDR_BATCH_HELD), false, may_decide},
    [MDR_EVENT_REMEDY] = {IN(MDR_BATCH_HELD), false, may_remedy},
    [MDR_EVENT_INTERRUPTED] = {GOES_ON, false, NULL},
    [MDR_EVENT_RESUMED] = {IN(MDR_BATCH_PAUSED), false, NULL},
    [MDR_EVENT_TAKEN_OVER] = {AT_WORK, false, NULL},
    [MDR_EVENT_REMARK] = {ALWAYS, true, NULL},
    [MDR_EVENT_CORRECTED] = {ALWAYS, true, NULL},
    [MDR_EVENT_STOPPED] = {LIVE, true, NULL},
    [MDR_EVENT_RELEASED] = {IN(MDR_BATCH_COMPLETE), false, NULL},
    [MDR_EVENT_REJECTED] = {IN(MDR_BATCH_COMPLETE), true, NULL},
};

static mdr_code may_step(const mdr_batch *b, const rule *r, const mdr_event *e, mdr_err *err)
{
    if (e->step[0] == '\0') {
        return missing(err, "step", "which step it is about is not said");
    }
    const int at = mdr_batch_find(b, e->step);
    if (at < 0) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "step", "the batch has no such step");
        mdr_err_value(err, "%s", e->step);
        mdr_err_remedy(err, "load the batch again and choose one of its steps");
        return rc;
    }
    return r->step(b, at, e, err);
}

static mdr_code may_correct(const mdr_batch *b, const mdr_event *e, mdr_err *err)
{
    if (e->of_seq < 1 || e->of_seq > b->last_seq) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "of_seq", "there is no such entry");
        mdr_err_value(err, "%lld", (long long)e->of_seq);
        mdr_err_remedy(err, "choose an entry of this batch");
        return rc;
    }
    if (e->field[0] == '\0') {
        return missing(err, "field", "what is corrected is not said");
    }
    if (e->is[0] == '\0') {
        return missing(err, "is", "what it should be is not said");
    }
    for (int i = 0; i < b->n_steps; i++) {
        if (b->steps[i].measured != NULL && b->steps[i].reading_seq == e->of_seq &&
            strcmp(e->field, "value") == 0) {
            return conflict(err, "of_seq", "this difference was worked out from a measured sample",
                            "decide to read again, and measure the sample anew");
        }
    }
    return MDR_OK;
}

mdr_code mdr_batch_stands(const mdr_batch *b, const mdr_event *e, mdr_err *err)
{
    const rule *r = &RULES[e->kind];
    if ((r->states & IN(b->state)) == 0) {
        return wrong_state(b, e, err);
    }
    if (r->text && e->text[0] == '\0') {
        return missing(err, "text", "why, or what was seen, is not said");
    }
    if (e->has_temp && !(e->temp_c >= 0.0 && e->temp_c <= MDR_TEMP_READ_MOST_C)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "temp_c", "no bath is so warm or so cold");
        mdr_err_value(err, "%.9g", e->temp_c);
        mdr_err_allowed(err, "0 to %g", MDR_TEMP_READ_MOST_C);
        mdr_err_remedy(err, "read the thermometer again");
        return rc;
    }
    if (r->step != NULL) {
        return may_step(b, r, e, err);
    }
    return e->kind == MDR_EVENT_CORRECTED ? may_correct(b, e, err) : MDR_OK;
}

mdr_code mdr_batch_may(const mdr_batch *b, const mdr_event *e, mdr_err *err)
{
    MDR_TRY(mdr_batch_stands(b, e, err));
    if (e->kind != MDR_EVENT_DECISION || e->decision != MDR_DECISION_PASS) {
        return MDR_OK;
    }
    const mdr_batch_step *s = &b->steps[mdr_batch_find(b, e->step)]; /* it stands: it is there */
    return s->in_limits ? MDR_OK : outside(s, err);
}
