/* A batch told event by event, and the report of it as it was run. Include after t.h. */
#ifndef RUN_KIT_H
#define RUN_KIT_H

#include <string.h>

#include "core/run/mdr_run_report.h"

static const int64_t NOON = 1795674519603; /* one day in November 2026 */

typedef struct story {
    mdr_arena *arena;
    mdr_batch batch;
    mdr_event events[32];
    int n;
    int64_t now_utc_ms;
    int64_t each_ms; /* that passes behind each event by itself */
} story;

static inline void tell(story *s, mdr_event_kind kind, const char *step, mdr_event e)
{
    mdr_err err = {0};
    assert_true(s->n < (int)N_OF(s->events));
    e.kind = kind;
    e.step = step;
    e.seq = s->n + 1;
    e.by = "anna";
    e.happened_utc_ms = e.at_utc_ms = s->now_utc_ms;
    s->now_utc_ms += s->each_ms;
    s->events[s->n++] = e;
    if (mdr_batch_apply(&s->batch, &e, s->arena, &err) != MDR_OK) {
        fail_msg("%s %s: %s: %s", mdr_event_id(kind), step, err.place, err.msg);
    }
}

static inline mdr_event none(void)
{
    return mdr_event_none(MDR_EVENT_COUNT);
}

/* At noon, begun. */
static inline void open_story(story *s, const mdr_control *control, int64_t each_ms)
{
    mdr_err err = {0};
    memset(s, 0, sizeof *s); /* it is large: no second one on the stack */
    s->arena = mdr_arena_new(1 << 20);
    s->now_utc_ms = NOON;
    s->each_ms = each_ms;
    assert_int_equal(mdr_batch_open("L-1.1", control, s->arena, &s->batch, &err), MDR_OK);
    tell(s, MDR_EVENT_BEGUN, "", none());
}

static inline const mdr_run_report *report_of(story *s)
{
    const mdr_run_report *r = NULL;
    mdr_err err = {0};
    assert_int_equal(mdr_run_report_make(&s->batch, s->events, s->n, s->arena, &r, &err), MDR_OK);
    return r;
}

#endif
