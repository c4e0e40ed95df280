#include <math.h>
#include <stdio.h>
#include <string.h>

#include "core/plan/mdr_route_walk.h"

enum { NAME_MAX_BYTES = 120, PURPOSE_MAX_BYTES = 400, NOTE_MAX_BYTES = 300, VERSION_MAX = 1000000 };

void mdr_walk_add(mdr_route_walk *w, const char *field, mdr_err *err)
{
    char place[sizeof err->place] = "";
    size_t n = 0;
    const struct {
        const char *name;
        int index;
    } PATH[] = {{w->pass >= 0 ? "passes" : "stages", w->pass >= 0 ? w->pass : w->stage},
                {"baths", w->bath},
                {"steps", w->step},
                {"items", w->item}};
    for (size_t i = 0; i < sizeof PATH / sizeof PATH[0] && PATH[i].index >= 0; i++) {
        n += (size_t)snprintf(place + n, sizeof place - n, "%s%s[%d]", n > 0 ? "." : "",
                              PATH[i].name, PATH[i].index);
    }
    if (field != NULL) {
        (void)snprintf(place + n, sizeof place - n, "%s%s", n > 0 ? "." : "", field);
    }
    memcpy(err->place, place, sizeof place);
    if (w->count++ == 0) {
        w->first = *err;
    }
    if (w->found != NULL) {
        mdr_err_list_add(w->found, err);
    }
}

bool mdr_walk_number(mdr_route_walk *w, const char *field, double v, mdr_walk_range range)
{
    if (isfinite(v) && v <= range.most && (range.open ? v > range.least : v >= range.least)) {
        return true;
    }
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "", "%s is out of range", field);
    mdr_err_value(&e, "%.15g", v);
    mdr_err_allowed(&e, "%s%g to %g%s%s", range.open ? "above " : "", range.least, range.most,
                    range.unit[0] != '\0' ? " " : "", range.unit);
    mdr_err_remedy(&e, "give a value in this range; look at the unit and at the decimal point");
    mdr_walk_add(w, field, &e);
    return false;
}

void mdr_walk_text(mdr_route_walk *w, const char *field, const char *text, size_t least,
                   size_t most)
{
    const size_t n = strlen(text);
    bool control = false;
    for (size_t i = 0; i < n; i++) {
        control = control || (unsigned char)text[i] < 0x20u || text[i] == 0x7f;
    }
    if (n >= least && n <= most && !control) {
        return;
    }
    mdr_err e;
    if (n < least) {
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "%s is missing", field);
    } else if (n > most) {
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "%s is too long", field);
        mdr_err_value(&e, "%zu bytes", n);
    } else {
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "%s holds a control character", field);
        mdr_err_remedy(&e, "write it in one line");
    }
    mdr_err_allowed(&e, "%zu to %zu bytes in one line", least, most);
    mdr_walk_add(w, field, &e);
}

void mdr_walk_id(mdr_route_walk *w, const char *field, const char *id)
{
    if (mdr_id_valid(id)) {
        return;
    }
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "",
                   id[0] == '\0' ? "%s is missing" : "%s cannot be used as a number", field);
    mdr_err_value(&e, "%.60s", id);
    mdr_err_allowed(&e, "1 to 40 of A-Z a-z 0-9 - _ .");
    mdr_walk_add(w, field, &e);
}

/* Too few or too many of something. */
static void count_of(mdr_route_walk *w, const char *field, int n, int least, int most)
{
    if (n >= least && n <= most) {
        return;
    }
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "", n < least ? "too few %s" : "too many %s", field);
    mdr_err_value(&e, "%d", n);
    mdr_err_allowed(&e, "%d to %d", least, most);
    mdr_err_remedy(&e, n < least ? "add what is missing" : "leave some out, or part it in two");
    mdr_walk_add(w, field, &e);
}

/* Stages are referred to by name, so a name may stand only once. */
static void stage_name(mdr_route_walk *w, int index)
{
    const mdr_route_stage *stages = w->route->stages;
    mdr_walk_text(w, "name", stages[index].name, 1, NAME_MAX_BYTES);
    for (int i = 0; i < index; i++) {
        if (stages[index].name[0] != '\0' && strcmp(stages[i].name, stages[index].name) == 0) {
            mdr_err e;
            (void)MDR_FAIL(&e, MDR_E_RANGE, "", "two stages have the same name");
            mdr_err_value(&e, "%.60s", stages[index].name);
            mdr_err_remedy(&e, "name it otherwise; stages[%d] has this name", i);
            mdr_walk_add(w, "name", &e);
            return;
        }
    }
}

static void one_bath(mdr_route_walk *w, const mdr_route_bath *bath, mdr_vessel *vessel)
{
    mdr_walk_text(w, "name", bath->name, 1, NAME_MAX_BYTES);
    count_of(w, "steps", bath->n_steps, 1, MDR_ROUTE_STEPS_MAX);
    for (int i = 0; i < bath->n_steps && i < MDR_ROUTE_STEPS_MAX; i++) {
        w->step = i;
        mdr_walk_step(w, &bath->steps[i]);
    }
    w->step = -1;
    if (bath->n_steps <= MDR_ROUTE_STEPS_MAX) {
        mdr_walk_bath(w, bath, vessel);
    }
}

static void one_stage(mdr_route_walk *w, int index, mdr_vessel *vessel)
{
    const mdr_route_stage *stage = &w->route->stages[index];
    w->stage = index;
    stage_name(w, index);
    const bool taken = stage->from_route[0] != '\0' || stage->from_stage[0] != '\0';
    if (taken) {
        mdr_walk_id(w, "from_route", stage->from_route);
        mdr_walk_text(w, "from_stage", stage->from_stage, 1, NAME_MAX_BYTES);
    }
    if (taken && stage->n_baths == 0) {
        *vessel = (mdr_vessel){.liquor = MDR_LIQUOR_UNKNOWN, .warmth = MDR_WARMTH_UNKNOWN};
    } else {
        count_of(w, "baths", stage->n_baths, 1, MDR_ROUTE_BATHS_MAX);
    }
    for (int i = 0; i < stage->n_baths && i < MDR_ROUTE_BATHS_MAX; i++) {
        w->bath = i;
        one_bath(w, &stage->baths[i], vessel);
    }
    w->bath = -1;
    w->stage = -1;
}

static void one_pass(mdr_route_walk *w, int index)
{
    const mdr_route_pass *pass = &w->route->passes[index];
    mdr_err e;
    w->pass = index;
    mdr_walk_text(w, "note", pass->note, 0, NOTE_MAX_BYTES);
    if (pass->has_check) {
        mdr_walk_check(w, &pass->check);
    }
    if (pass->has_check && pass->check.kind != MDR_CHECK_MOISTURE) {
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "behind a pass only the moisture is checked");
        mdr_err_value(&e, "%s", mdr_check_id(pass->check.kind));
        mdr_err_allowed(&e, "%s", mdr_check_id(MDR_CHECK_MOISTURE));
        mdr_err_remedy(&e, "put other checks into a bath");
        mdr_walk_add(w, "check.kind", &e);
    } else if (pass->has_check && !mdr_route_pass_dries(pass->kind)) {
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "this pass does not dry the fabric in air");
        mdr_err_value(&e, "%s", mdr_route_pass_id(pass->kind));
        mdr_err_allowed(&e, "stenter, heat-set, relax-dry");
        mdr_err_remedy(&e, "check the moisture behind the pass that dries");
        mdr_walk_add(w, "check", &e);
    }
    w->pass = -1;
}

static void head(mdr_route_walk *w)
{
    const mdr_route *r = w->route;
    mdr_walk_id(w, "route_id", r->route_id);
    mdr_walk_text(w, "name", r->name, 1, NAME_MAX_BYTES);
    mdr_walk_text(w, "purpose", r->purpose, 0, PURPOSE_MAX_BYTES);
    (void)mdr_walk_number(w, "version", r->version,
                          (mdr_walk_range){.least = 1, .most = VERSION_MAX, .unit = ""});
    count_of(w, "stages", r->n_stages, 1, MDR_ROUTE_STAGES_MAX);
    count_of(w, "passes", r->n_passes, 0, MDR_ROUTE_PASSES_MAX);
}

mdr_code mdr_route_check_all(const mdr_route *route, mdr_err_list *found, mdr_err *err)
{
    mdr_route_walk w = {.route = route, .found = found};
    w.stage = w.bath = w.step = w.item = w.pass = -1;
    head(&w);
    mdr_vessel vessel = {.liquor = MDR_LIQUOR_NONE, .warmth = MDR_WARMTH_COLD};
    int baths = 0;
    for (int i = 0; i < route->n_stages && i < MDR_ROUTE_STAGES_MAX; i++) {
        one_stage(&w, i, &vessel);
        baths += route->stages[i].n_baths;
    }
    if (baths > MDR_ROUTE_BATHS_MAX) {
        count_of(&w, "baths of the whole route", baths, 0, MDR_ROUTE_BATHS_MAX);
    }
    for (int i = 0; i < route->n_passes && i < MDR_ROUTE_PASSES_MAX; i++) {
        one_pass(&w, i);
    }
    if (w.count == 0) {
        return MDR_OK;
    }
    if (err != NULL) {
        *err = w.first;
    }
    return w.first.code;
}
