/* The fold: what an event makes of a batch. What may happen stands in mdr_batch_may.c. */
#include "core/run/mdr_batch.h"

#include <string.h>

#include "core/plan/mdr_pick.h"
#include "core/run/mdr_batch_in.h"

MDR_PICK(mdr_batch_state_id, mdr_batch_state, MDR_BATCH_STATES(MDR_PICK_ID))
MDR_PICK(mdr_batch_state_words, mdr_batch_state, MDR_BATCH_STATES(MDR_PICK_WORDS))
MDR_PICK(mdr_step_state_id, mdr_step_state, MDR_STEP_STATES(MDR_PICK_ID))
MDR_PICK(mdr_step_state_words, mdr_step_state, MDR_STEP_STATES(MDR_PICK_WORDS))

enum { ROOM_FOR_REMEDIES = 16 };

static mdr_code no_memory(mdr_err *err)
{
    return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the batch");
}

static mdr_code step_make(const mdr_control_step *asked, mdr_arena *arena, mdr_batch_step *out,
                          mdr_err *err)
{
    mdr_batch_item *items = MDR_NEW_N(arena, mdr_batch_item, (size_t)asked->n_items + 1);
    if (items == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < asked->n_items; i++) {
        items[i] = (mdr_batch_item){.weighed_by = "", .checked_by = "", .stock_lot = ""};
    }
    *out =
        (mdr_batch_step){.asked = asked, .state = MDR_STEP_WAITS, .remedy_id = "", .items = items};
    return MDR_OK;
}

mdr_code mdr_batch_open(const char *batch_id, const mdr_control *control, mdr_arena *arena,
                        mdr_batch *out, mdr_err *err)
{
    mdr_batch b = {.batch_id = batch_id,
                   .control = control,
                   .state = MDR_BATCH_IDLE,
                   .n_steps = control->n_steps,
                   .room = control->n_steps + ROOM_FOR_REMEDIES,
                   .operator_id = ""};
    b.steps = MDR_NEW_N(arena, mdr_batch_step, (size_t)b.room);
    if (b.steps == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < b.n_steps; i++) {
        MDR_TRY(step_make(&control->steps[i], arena, &b.steps[i], err));
    }
    *out = b;
    return MDR_OK;
}

int mdr_batch_find(const mdr_batch *b, const char *key)
{
    for (int i = 0; i < b->n_steps; i++) {
        if (strcmp(b->steps[i].asked->key, key) == 0) {
            return i;
        }
    }
    return -1;
}

bool mdr_batch_weighed(const mdr_batch_step *s)
{
    for (int i = 0; i < s->asked->n_items; i++) {
        if (s->items[i].weighed_mg == 0) {
            return false;
        }
    }
    return true;
}

bool mdr_step_over(const mdr_batch_step *s)
{
    return s->state == MDR_STEP_DONE || s->state == MDR_STEP_LEFT_OUT;
}

/* -- what each kind does; the event has passed mdr_batch_stands -- */

/* Counts again what runs and where the batch stands. */
static void look_around(mdr_batch *b)
{
    b->running = 0;
    b->now = b->n_steps;
    for (int i = b->n_steps - 1; i >= 0; i--) {
        b->running += b->steps[i].state == MDR_STEP_RUNS ? 1 : 0;
        b->now = mdr_step_over(&b->steps[i]) ? b->now : i;
    }
    if (b->state == MDR_BATCH_RUNNING && b->now == b->n_steps) {
        b->state = MDR_BATCH_COMPLETE;
    }
}

static void end_at(mdr_batch_step *s, const mdr_event *e, mdr_step_state state)
{
    s->begun_utc_ms = s->begun_utc_ms != 0 ? s->begun_utc_ms : e->happened_utc_ms;
    s->ended_utc_ms = e->happened_utc_ms;
    s->state = state;
    s->dosed = s->dosed || (state == MDR_STEP_DONE && s->asked->kind == MDR_STEP_DOSE);
}

/* One function a kind; the step is NULL for kinds of the whole batch. */
typedef void effect(mdr_batch *b, mdr_batch_step *s, const mdr_event *e);

static void begin_step(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)b;
    if (s->state == MDR_STEP_WAITS) {
        s->state = MDR_STEP_RUNS;
        s->begun_utc_ms = e->happened_utc_ms;
    }
}

static void end_step(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)b;
    end_at(s, e, MDR_STEP_DONE);
}

static void leave_out(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)b;
    end_at(s, e, MDR_STEP_LEFT_OUT);
}

static void weigh(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)b;
    s->items[e->item - 1] = (mdr_batch_item){.weighed_mg = e->mass_mg,
                                             .weighed_seq = e->seq,
                                             .weighed_by = e->by,
                                             .checked_by = "",
                                             .stock_lot = e->stock_lot};
}

static void check_weighing(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)b;
    s->items[e->item - 1].checked_seq = e->seq;
    s->items[e->item - 1].checked_by = mdr_event_person(e);
}

static void dose(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)b;
    (void)e;
    s->dosed = true;
}

static void take_reading(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    begin_step(b, s, e);
    s->reading = e->value;
    s->measured = e->measured;
    s->reading_seq = e->seq;
    s->in_limits = mdr_check_inside(&s->asked->check, e->value);
    s->decided = false;
    b->state = MDR_BATCH_HELD; /* until somebody, or the limits, decide */
}

static void decide(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    s->decided = true;
    s->decision = e->decision;
    switch (e->decision) {
    case MDR_DECISION_PASS:
        end_at(s, e, MDR_STEP_DONE);
        b->state = MDR_BATCH_RUNNING;
        break;
    case MDR_DECISION_ACCEPT:
        end_at(s, e, MDR_STEP_DONE);
        b->state = MDR_BATCH_RUNNING;
        b->n_accepted++;
        break;
    case MDR_DECISION_REPEAT:
        b->state = MDR_BATCH_RUNNING;
        break;
    case MDR_DECISION_STOP:
        b->stop_asked = true;
        break;
    case MDR_DECISION_CORRECT: /* held until the remedy is approved */
    case MDR_DECISION_COUNT:
        break;
    }
}

static void begin(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)s;
    b->state = MDR_BATCH_RUNNING;
    b->begun_utc_ms = e->happened_utc_ms;
    b->operator_id = e->by;
}

static void interrupt(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)s;
    b->before_pause = b->state;
    b->state = MDR_BATCH_PAUSED;
    b->interrupt = e->interrupt;
    b->paused_since_utc_ms = e->happened_utc_ms;
    b->n_interrupts++;
}

static void resume(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)s;
    b->state = b->before_pause;
    if (e->happened_utc_ms > b->paused_since_utc_ms) {
        b->paused_ms += e->happened_utc_ms - b->paused_since_utc_ms;
    }
    b->paused_since_utc_ms = 0;
}

static void take_over(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)s;
    b->operator_id = e->by;
}

/* The weighing that counts holds what it is corrected to; who checked the mass of before has not checked
 * this one, as long as the dose has not begun. */
static void correct_item(const mdr_batch_step *s, mdr_batch_item *item, const mdr_event *e)
{
    if (item->weighed_mg == 0 || item->weighed_seq != e->of_seq) {
        return;
    }
    if (strcmp(e->field, "stock_lot") == 0) {
        item->stock_lot = e->is;
    }
    if (strcmp(e->field, "mass_mg") == 0 && e->mass_mg > 0) {
        item->weighed_mg = e->mass_mg;
        if (s->state == MDR_STEP_WAITS) {
            item->checked_seq = 0;
            item->checked_by = "";
        }
    }
}

/* A reading that was mistyped and not yet decided on is read as corrected; else the correction
 * stands beside the entry and changes nothing. */
static void correct(mdr_batch *b, mdr_batch_step *none, const mdr_event *e)
{
    (void)none;
    b->n_corrections++;
    for (int i = 0; i < b->n_steps; i++) {
        mdr_batch_step *s = &b->steps[i];
        if (s->reading_seq == e->of_seq && !s->decided && strcmp(e->field, "value") == 0) {
            s->reading = e->value;
            s->in_limits = mdr_check_inside(&s->asked->check, e->value);
        }
        for (int k = 0; k < s->asked->n_items; k++) {
            correct_item(s, &s->items[k], e);
        }
    }
}

static void finish(mdr_batch *b, const mdr_event *e, mdr_batch_state state)
{
    b->state = state;
    b->ended_utc_ms = e->happened_utc_ms;
    b->paused_since_utc_ms = 0;
}

static void stop(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)s;
    finish(b, e, MDR_BATCH_STOPPED);
}

static void release(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)s;
    finish(b, e, MDR_BATCH_RELEASED);
}

static void reject(mdr_batch *b, mdr_batch_step *s, const mdr_event *e)
{
    (void)s;
    finish(b, e, MDR_BATCH_REJECTED);
}

/* NULL: a remark changes nothing; a remedy needs memory and is done apart. */
static effect *const EFFECTS[MDR_EVENT_COUNT] = {
    [MDR_EVENT_BEGUN] = begin,         [MDR_EVENT_STEP_BEGUN] = begin_step,
    [MDR_EVENT_STEP_ENDED] = end_step, [MDR_EVENT_STEP_SKIPPED] = leave_out,
    [MDR_EVENT_WEIGHED] = weigh,       [MDR_EVENT_WEIGHING_CHECKED] = check_weighing,
    [MDR_EVENT_DOSED] = dose,          [MDR_EVENT_READING] = take_reading,
    [MDR_EVENT_DECISION] = decide,     [MDR_EVENT_INTERRUPTED] = interrupt,
    [MDR_EVENT_RESUMED] = resume,      [MDR_EVENT_TAKEN_OVER] = take_over,
    [MDR_EVENT_CORRECTED] = correct,   [MDR_EVENT_STOPPED] = stop,
    [MDR_EVENT_RELEASED] = release,    [MDR_EVENT_REJECTED] = reject,
};

/* The steps of the remedy stand before the check, which is read again after them. */
static void insert_remedy(mdr_batch *b, int at, const mdr_batch_step *fresh, const mdr_event *e)
{
    const int n = e->n_steps;
    memmove(&b->steps[at + n], &b->steps[at], (size_t)(b->n_steps - at) * sizeof *b->steps);
    memcpy(&b->steps[at], fresh, (size_t)n * sizeof *fresh);
    b->n_steps += n;
    b->n_remedies++;
    for (int i = 0; i < n; i++) {
        b->steps[at + i].remedy = b->n_remedies;
        b->steps[at + i].remedy_id = e->remedy_id;
    }
    mdr_batch_step *check = &b->steps[at + n];
    check->state = MDR_STEP_WAITS;
    check->decided = true;
    check->decision = MDR_DECISION_CORRECT;
    b->state = MDR_BATCH_RUNNING;
}

static mdr_code remedy(mdr_batch *b, const mdr_event *e, mdr_arena *arena, mdr_err *err)
{
    const int at = mdr_batch_find(b, e->step);
    mdr_batch_step *fresh = MDR_NEW_N(arena, mdr_batch_step, (size_t)e->n_steps);
    if (fresh == NULL) {
        return no_memory(err);
    }
    for (int i = 0; i < e->n_steps; i++) {
        MDR_TRY(step_make(&e->steps[i], arena, &fresh[i], err));
    }
    if (b->n_steps + e->n_steps > b->room) {
        const int room = b->n_steps + e->n_steps + ROOM_FOR_REMEDIES;
        mdr_batch_step *steps = MDR_NEW_N(arena, mdr_batch_step, (size_t)room);
        if (steps == NULL) {
            return no_memory(err);
        }
        memcpy(steps, b->steps, (size_t)b->n_steps * sizeof *steps);
        b->steps = steps;
        b->room = room;
    }
    insert_remedy(b, at, fresh, e);
    return MDR_OK;
}

mdr_code mdr_batch_apply(mdr_batch *b, const mdr_event *e, mdr_arena *arena, mdr_err *err)
{
    MDR_TRY(mdr_batch_stands(b, e, err));
    if (e->kind == MDR_EVENT_REMEDY) {
        MDR_TRY(remedy(b, e, arena, err));
    } else if (EFFECTS[e->kind] != NULL) {
        const int at = mdr_batch_find(b, e->step); /* it stands: found where it is needed */
        EFFECTS[e->kind](b, at >= 0 ? &b->steps[at] : NULL, e);
    }
    b->last_seq = e->seq;
    look_around(b);
    return MDR_OK;
}

/* -- what is to be expected -- */

static double left_ms(const mdr_batch_step *s, int64_t now_utc_ms)
{
    enum { MS_PER_MIN = 60000 };
    const double gone = (double)(now_utc_ms - s->begun_utc_ms);
    const double left = s->asked->minutes * MS_PER_MIN - (gone > 0.0 ? gone : 0.0);
    return left > 0.0 ? left : 0.0;
}

int64_t mdr_batch_forecast_end_ms(const mdr_batch *b, int64_t now_utc_ms)
{
    enum { MS_PER_MIN = 60000 };
    double runs = 0.0, to_come = 0.0, planned = -1.0;
    if (b->begun_utc_ms == 0) {
        return 0;
    }
    if (b->ended_utc_ms != 0) {
        return b->ended_utc_ms;
    }
    for (int i = 0; i < b->n_steps; i++) {
        const mdr_batch_step *s = &b->steps[i];
        if (s->state == MDR_STEP_RUNS && !s->asked->beside) {
            const double left = left_ms(s, now_utc_ms);
            runs = left > runs ? left : runs;
        } else if (s->state == MDR_STEP_WAITS && s->remedy > 0) {
            to_come += s->asked->minutes * MS_PER_MIN;
        } else if (s->state == MDR_STEP_WAITS && planned < 0.0) {
            planned = (b->control->total_min - s->asked->start_min) * MS_PER_MIN;
        }
    }
    return now_utc_ms + (int64_t)(runs + to_come + (planned > 0.0 ? planned : 0.0));
}

bool mdr_batch_right_first(const mdr_batch *b)
{
    return (b->state == MDR_BATCH_COMPLETE || b->state == MDR_BATCH_RELEASED) &&
           b->n_remedies == 0 && b->n_accepted == 0;
}
