/* What is weighed first, when it is needed, and what the stock says to that. */
#include <string.h>

#include "core/run/mdr_weigh.h"

static const double MS_PER_MIN = 60000.0;

static int order(int64_t a, int64_t b)
{
    return a < b ? -1 : a > b;
}

int mdr_weigh_turn_compare(const mdr_weigh_turn *a, const mdr_weigh_turn *b)
{
    int by = order(a->due_utc_ms, b->due_utc_ms);
    by = by != 0 ? by : strcmp(a->batch_id, b->batch_id);
    by = by != 0 ? by : order(a->step, b->step);
    return by != 0 ? by : order(a->item, b->item);
}

static int64_t planned_ms(const mdr_batch_step *s)
{
    return s->asked->beside ? 0 : (int64_t)(s->asked->minutes * MS_PER_MIN);
}

int64_t mdr_weigh_needed_ms(const mdr_batch *b, int step, int64_t now_utc_ms)
{
    const mdr_batch_step *wanted = &b->steps[step];
    if (wanted->state == MDR_STEP_RUNS || wanted->state == MDR_STEP_DONE) {
        return wanted->begun_utc_ms;
    }
    if (wanted->state == MDR_STEP_LEFT_OUT) {
        return now_utc_ms;
    }
    int64_t at = now_utc_ms;
    for (int i = 0; i < step; i++) {
        const mdr_batch_step *s = &b->steps[i];
        if (s->state == MDR_STEP_RUNS) {
            const int64_t over = s->begun_utc_ms + planned_ms(s);
            at += s->asked->beside || over <= now_utc_ms ? 0 : over - now_utc_ms;
        } else if (s->state == MDR_STEP_WAITS) {
            at += planned_ms(s);
        }
    }
    return at;
}

mdr_stock_view mdr_stock_view_of(int64_t stock_mg, const mdr_stock_need *needs, int n)
{
    mdr_stock_view v = {.stock_mg = stock_mg};
    for (int i = 0; i < n; i++) {
        v.needed_mg += needs[i].mass_mg;
        if (v.needed_mg > stock_mg && v.runs_out_utc_ms == 0) {
            v.runs_out_utc_ms = needs[i].due_utc_ms;
        }
    }
    v.after_mg = stock_mg - v.needed_mg;
    v.short_by_mg = v.after_mg < 0 ? -v.after_mg : 0;
    return v;
}
