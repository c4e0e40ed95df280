/* The invented demo mill in a folder of its own, and desks set for its lots: copies of everything a
 * plan is made from, to be changed at will. Include after t.h, in one file a program. */
#ifndef DEMO_KIT_H
#define DEMO_KIT_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "app/mdr_app_in.h"
#include "demo_made.h"

static char kit_folder[] = "/tmp/madder-kit-XXXXXX";
static char kit_path[64];
static mdr_app *kit_app;

static inline int kit_demo_make(void **state)
{
    (void)state;
    mdr_err err = {0};
    if (mkdtemp(kit_folder) == NULL) {
        return -1;
    }
    (void)snprintf(kit_path, sizeof kit_path, "%s/demo.mill", kit_folder);
    mdr_code rc = mdr_app_new(kit_path, true, &err);
    if (rc == MDR_OK) {
        rc = mdr_app_open(kit_path, false, &kit_app, &err);
    }
    return demo_made(rc, &err);
}

static inline int kit_demo_drop(void **state)
{
    (void)state;
    mdr_app_close(kit_app);
    (void)unlink(kit_path);
    return rmdir(kit_folder);
}

/* One lot with everything it is planned from. */
typedef struct kit_desk {
    mdr_arena *arena;
    mdr_app_desk desk;
    mdr_site site;
    mdr_machine machine;
    mdr_article article;
    mdr_plan_in in; /* of the copies */
    const mdr_plan *plan;
} kit_desk;

static inline void kit_desk_plan(kit_desk *d)
{
    mdr_err err = {0};
    d->plan = NULL;
    if (mdr_plan_make(&d->in, d->arena, &d->plan, &err) != MDR_OK) {
        fail_msg("%s: %s: %s", d->in.lot->lot_id, err.place, err.msg);
    }
}

/* False: the lot has no rolls yet and cannot be planned. */
static inline bool kit_desk_open(kit_desk *d, const char *lot_id)
{
    mdr_err err = {0};
    memset(d, 0, sizeof *d);
    d->arena = mdr_arena_new(64 << 20);
    const mdr_code rc =
        mdr_app_desk_set(kit_app, lot_id, (mdr_blob){0}, d->arena, NULL, &d->desk, &err);
    if (rc != MDR_OK) {
        fail_msg("%s: %s: %s", lot_id, err.place, err.msg);
    }
    d->in = d->desk.in;
    d->in.lot = &d->desk.full.lot;
    d->site = *d->in.site;
    d->machine = *d->in.machine;
    d->article = *d->in.lot->article;
    d->in.site = &d->site;
    d->in.machine = &d->machine;
    d->desk.full.lot.article = &d->article;
    return d->desk.full.lot.n_rolls > 0 || d->desk.full.lot.weighed_kg > 0.0;
}

static inline void kit_desk_close(kit_desk *d)
{
    mdr_arena_free(d->arena);
}

/* Plans every lot of the demo mill that can be planned. Returns how many. */
static inline int kit_each_lot(void (*see)(const kit_desk *d))
{
    mdr_arena *arena = mdr_arena_new(8 << 20);
    mdr_app_lot *lots = NULL;
    int n = 0, planned = 0;
    mdr_err err = {0};
    assert_int_equal(mdr_app_lots(kit_app, arena, &lots, &n, &err), MDR_OK);
    for (int i = 0; i < n; i++) {
        kit_desk d;
        if (kit_desk_open(&d, lots[i].lot_id)) {
            kit_desk_plan(&d);
            see(&d);
            planned++;
        }
        kit_desk_close(&d);
    }
    mdr_arena_free(arena);
    return planned;
}

#endif
